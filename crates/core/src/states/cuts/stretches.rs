//! Every passive stretch between two ends, evaluated once: |E/V|² at each frequency.

use super::super::path::Exit;
use super::NoCuts;
use super::chain::Chain;
use crate::cascade::{self, LineCache};
use crate::network::{ChainRow, SeenAdmittance};
use crate::watch::Pace;

/// The most values that are kept, 8 bytes each.
const MOST_VALUES: usize = 8 << 20;
/// How many steps of an inner loop carrying a row over a lead is worth.
const STEPS_A_ROW: usize = 8;

/// The stretches of a chain.
pub struct Stretches {
    points: usize,
    sinks: usize,
    /// By source and then by sink: the number of the first of its values.
    first: Vec<Option<u32>>,
    /// How many combinations of side runs lie between.
    many: Vec<u32>,
    /// By number: whether nothing comes through.
    silent: Vec<bool>,
    /// By number, `points` values each.
    loss: Vec<f64>,
}

/// The combinations of one stretch.
#[derive(Clone, Copy)]
pub struct Stretch<'s> {
    all: &'s Stretches,
    first: usize,
    /// How many there are.
    pub many: usize,
}

impl<'s> Stretch<'s> {
    /// |E/V|² at each frequency in one combination; none where it is silent.
    pub fn loss(self, combination: usize) -> Option<&'s [f64]> {
        let at = self.first + combination;
        (!self.all.silent[at]).then(|| &self.all.loss[at * self.all.points..][..self.all.points])
    }
}

impl Stretches {
    /// Evaluates all stretches.
    pub fn of(chain: &Chain, line_cache: &mut LineCache, pace: &mut Pace<'_>) -> Result<Self, NoCuts> {
        let (sources, sinks) = (chain.sources.len(), chain.sinks.len());
        let points = line_cache.sweep().len();
        let mut found = Self {
            points,
            sinks,
            first: vec![None; sources * sinks],
            many: vec![0; sources * sinks],
            silent: Vec::new(),
            loss: Vec::new(),
        };
        for source in 0..sources {
            found.walk(chain, source, line_cache, pace)?;
        }
        Ok(found)
    }

    /// The stretch between two ends, if no barrier stands between them.
    pub fn between(&self, source: usize, sink: usize) -> Option<Stretch<'_>> {
        let at = source * self.sinks + sink;
        self.first[at].map(|first| Stretch { all: self, first: first as usize, many: self.many[at] as usize })
    }

    /// How many frequencies there are.
    pub fn points(&self) -> usize {
        self.points
    }

    /// All stretches that begin at a source.
    fn walk(
        &mut self,
        chain: &Chain,
        source: usize,
        line_cache: &mut LineCache,
        pace: &mut Pace<'_>,
    ) -> Result<(), NoCuts> {
        let begin = &chain.sources[source];
        let mut rows = vec![cascade::row_through(chain.rungs(source), line_cache)];
        // Behind a buffer the first lead is what the buffer left of it.
        let mut own = begin.place.map(|place| &chain.places[place].after);
        for level in begin.at / 2..=chain.path.stops.len() {
            for place in chain.places.iter().filter(|place| own.is_none() && place.at == 2 * level + 1) {
                let there = rows.iter().map(|row| cascade::row_on(row.clone(), &place.before.rungs, line_cache));
                let there: Vec<ChainRow> = there.collect();
                self.end(source, place.sink, &there, &chain.sinks[place.sink].load);
            }
            let arrive = own.take().unwrap_or_else(|| chain.arrive(level));
            rows = rows.into_iter().map(|row| cascade::row_on(row, &arrive.rungs, line_cache)).collect();
            let (next, next_at) = (level + 1, 2 * level + 2);
            for (sink, end) in chain.sinks.iter().enumerate().filter(|(_, sink)| sink.at == next_at) {
                self.end(source, sink, &rows, &end.load);
            }
            pace.did((STEPS_A_ROW * rows.len() * self.points) as u64)?;
            if self.silent.len() * self.points > MOST_VALUES {
                return Err(NoCuts::TooMany);
            }
            if !chain.passes.get(next).is_some_and(|passes| *passes) {
                break;
            }
            if let Some(Exit { rungs, .. }) = chain.path.stops.get(level).and_then(|stop| stop.pass()) {
                rows = rows.into_iter().map(|row| cascade::row_on(row, &rungs.rungs, line_cache)).collect();
            }
            for (_, choices) in chain.side_runs.iter().filter(|(at, _)| *at == next_at) {
                rows =
                    choices.iter().flat_map(|choice| rows.iter().map(|row| known_choices(row, &choice.seen))).collect();
            }
        }
        Ok(())
    }

    /// Keeps one stretch.
    fn end(&mut self, source: usize, sink: usize, rows: &[ChainRow], load: &SeenAdmittance) {
        let at = source * self.sinks + sink;
        self.first[at] = Some(self.silent.len() as u32);
        self.many[at] = rows.len() as u32;
        for row in rows {
            // A load that is a short is no end.
            self.silent.push(row.silent);
            keep(row, load, &mut self.loss);
        }
    }
}

fn known_choices(row: &ChainRow, seen: &SeenAdmittance) -> ChainRow {
    let mut row = row.clone();
    row.hang(seen);
    row
}

/// |A + B·Y|² at each frequency.
pub fn powers(row: &ChainRow, load: &SeenAdmittance) -> Vec<f64> {
    let mut found = Vec::with_capacity(row.a.len());
    keep(row, load, &mut found);
    found
}

/// The same, behind what is kept already.
fn keep(row: &ChainRow, load: &SeenAdmittance, loss: &mut Vec<f64>) {
    let a = row.a.re.iter().zip(&row.a.im);
    match load {
        SeenAdmittance::Open | SeenAdmittance::Short => loss.extend(a.map(|(re, im)| re * re + im * im)),
        SeenAdmittance::Admittance(y) => {
            let rest = row.b.re.iter().zip(&row.b.im).zip(y.re.iter().zip(&y.im));
            loss.extend(a.zip(rest).map(|((ar, ai), ((br, bi), (yr, yi)))| {
                let (re, im) = (ar + br * yr - bi * yi, ai + br * yi + bi * yr);
                re * re + im * im
            }));
        }
    }
}
