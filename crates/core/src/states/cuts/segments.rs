//! The largest swing in each segment of the way between two cuts, and so for any set of them.

use crate::watch::Stopped;

use super::chain::{Chain, Node};
use super::stretches::Stretches;
use super::swings::{Extremes, Swing, Swings, halves, larger};
use crate::watch::Pace;

/// What any set of cuts leaves, by the places of the two that bound a segment.
pub struct Segments {
    /// How many places there are.
    places: usize,
    /// By (left bound, right bound): 0 is the start, or the spot; a place is its number plus one.
    largest: Vec<Option<Swing>>,
}

impl Segments {
    /// Looks at all segments.
    pub fn of(chain: &Chain, stretches: &Stretches, pace: &mut Pace<'_>) -> Result<Self, Stopped> {
        let mut swings = Swings::new(chain, stretches);
        let pairs = Pairs::of(chain, &mut swings, pace)?;
        let mut units = Vec::new();
        for nodes in swings.halved() {
            units.push(Halved::of(chain, &swings, nodes, stretches.points(), pace)?);
        }
        let places = chain.places.len();
        let mut found = Self { places, largest: vec![None; (places + 1) * (places + 1)] };
        for left in 0..=places {
            for right in (0..=places).filter(|right| *right == 0 || *right > left) {
                let bounds = (left.checked_sub(1), right.checked_sub(1));
                let within = units.iter().map(|unit| unit.within(chain, bounds));
                found.largest[left * (places + 1) + right] = within.fold(pairs.within(chain, bounds), larger);
            }
        }
        Ok(found)
    }

    /// The largest swing with cuts at these places, in the signal's order.
    pub fn largest(&self, cuts: &[usize]) -> Option<Swing> {
        let left = std::iter::once(0).chain(cuts.iter().map(|place| place + 1));
        let right = cuts.iter().map(|place| place + 1).chain([0]);
        left.zip(right).map(|(left, right)| self.largest[left * (self.places + 1) + right]).fold(None, larger)
    }
}

/// By its number, a place that bounds a segment at the left and one at the right;
/// none for the start and the spot.
type Bounds = (Option<usize>, Option<usize>);

/// Where a segment begins and ends.
fn extent(chain: &Chain, (left, right): Bounds) -> (usize, usize) {
    (left.map_or(0, |place| chain.places[place].at), right.map_or(chain.spot_at(), |place| chain.places[place].at))
}

/// The largest swings of single switches between two ends, as far as both lie in a segment.
struct Pairs {
    /// By level of both ends, stops' and the outermost: of all pairs within.
    stops: Vec<Vec<Option<Swing>>>,
    /// By place and level: from the place to a stop up to there.
    from_place: Vec<Vec<Option<Swing>>>,
    /// By place and level: to the place from a stop at or behind there.
    to_place: Vec<Vec<Option<Swing>>>,
    /// From one place to another.
    places: Vec<Vec<Option<Swing>>>,
}

impl Pairs {
    fn of(chain: &Chain, swings: &mut Swings<'_>, pace: &mut Pace<'_>) -> Result<Self, Stopped> {
        let levels = chain.path.stops.len() + 2;
        let places = chain.places.len();
        let mut found = Self {
            stops: vec![vec![None; levels]; levels],
            from_place: vec![vec![None; levels]; places],
            to_place: vec![vec![None; levels]; places],
            places: vec![vec![None; places]; places],
        };
        for (source, from) in chain.sources.iter().enumerate() {
            for (sink, to) in chain.sinks.iter().enumerate().filter(|(_, to)| to.at > from.at) {
                let swing = swings.between(source, sink, pace)?;
                found.take((from.place, to.place), from.at / 2, to.at / 2, swing);
            }
            let swing = swings.behind_the_spot(source, pace)?;
            found.take((from.place, None), from.at / 2, levels - 1, swing);
        }
        found.gather();
        Ok(found)
    }

    fn take(&mut self, places: Bounds, from: usize, to: usize, swing: Option<Swing>) {
        let slot = match places {
            (None, None) => &mut self.stops[from][to],
            (Some(left), None) => &mut self.from_place[left][to],
            (None, Some(right)) => &mut self.to_place[right][from],
            (Some(left), Some(right)) => &mut self.places[left][right],
        };
        *slot = larger(*slot, swing);
    }

    /// From single ends to all ends within.
    fn gather(&mut self) {
        let levels = self.stops.len();
        for width in 1..levels {
            for from in 0..levels - width {
                let to = from + width;
                let shorter = larger(self.stops[from][to - 1], self.stops[from + 1][to]);
                self.stops[from][to] = larger(self.stops[from][to], shorter);
            }
        }
        for row in &mut self.from_place {
            (1..levels).for_each(|to| row[to] = larger(row[to], row[to - 1]));
        }
        for row in &mut self.to_place {
            (0..levels - 1).rev().for_each(|from| row[from] = larger(row[from], row[from + 1]));
        }
    }

    fn within(&self, chain: &Chain, bounds: Bounds) -> Option<Swing> {
        let (from, to) = extent(chain, bounds);
        // The first and the last level that is a beginning or an end by itself.
        let (first, last) = (from.div_ceil(2), to / 2);
        if first > last {
            return None;
        }
        let inside = self.stops[first][last];
        let left = bounds.0.and_then(|left| self.from_place[left][last]);
        let right = bounds.1.and_then(|right| self.to_place[right][first]);
        let both = bounds.0.zip(bounds.1).and_then(|(left, right)| self.places[left][right]);
        larger(larger(inside, left), larger(right, both))
    }
}

/// A unit that isolates on and off: what is before it and what is behind it don't know of each other.
struct Halved {
    at: usize,
    /// The places between it and the last barrier before it.
    left: Vec<usize>,
    /// The places between it and the first barrier behind it.
    right: Vec<usize>,
    /// By both bounds; last comes what no place bounds.
    swings: Vec<Vec<Option<Swing>>>,
}

impl Halved {
    fn of(
        chain: &Chain,
        swings: &Swings<'_>,
        (on, off): (Node, Node),
        points: usize,
        pace: &mut Pace<'_>,
    ) -> Result<Self, Stopped> {
        let (first, last) = (chain.barrier_before(on.at), chain.barrier_behind(on.at));
        let sources = chain.sources.iter().enumerate().filter(|(_, source)| first <= source.at && source.at < on.at);
        let ends = sources.rev().map(|(source, end)| (source, end.place));
        let (left, before) = grown(points, ends, |source, into| swings.before(source, &on, &off, into));
        let sinks = chain.sinks.iter().enumerate().filter(|(_, sink)| on.at < sink.at && sink.at <= last);
        let ends = sinks.map(|(sink, end)| (sink, end.place));
        let (right, behind) = grown(points, ends, |sink, into| swings.behind(sink, &on, &off, into));
        let Some(switch) = on.stand.map(|stand| stand.setting.switch) else {
            return Ok(Self { at: on.at, left, right, swings: Vec::new() });
        };
        let mut found = Vec::new();
        for before in &before {
            found.push(behind.iter().map(|behind| halves(switch, off.gain_db, before, behind)).collect());
            pace.did((4 * behind.len() * points) as u64)?;
        }
        Ok(Self { at: on.at, left, right, swings: found })
    }

    fn within(&self, chain: &Chain, bounds: Bounds) -> Option<Swing> {
        let (from, to) = extent(chain, bounds);
        if !(from < self.at && self.at < to) {
            return None;
        }
        let among = |places: &[usize], bound: Option<usize>| {
            bound.and_then(|bound| places.iter().position(|place| *place == bound)).unwrap_or(places.len())
        };
        self.swings[among(&self.left, bounds.0)][among(&self.right, bounds.1)]
    }
}

/// Extremes over ends, from the nearest on: for each place as the bound, and for
/// none. A place's own stretch counts only where it is the bound, a stop's
/// wherever the bound lies beyond it.
fn grown(
    points: usize,
    ends: impl Iterator<Item = (usize, Option<usize>)>,
    take: impl Fn(usize, &mut Extremes),
) -> (Vec<usize>, Vec<Extremes>) {
    let (mut places, mut found) = (Vec::new(), Vec::new());
    let mut all = Extremes::none(points);
    for (end, place) in ends {
        match place {
            Some(place) => {
                let mut bounded = all.clone();
                take(end, &mut bounded);
                places.push(place);
                found.push(bounded);
            }
            None => take(end, &mut all),
        }
    }
    found.push(all);
    (places, found)
}
