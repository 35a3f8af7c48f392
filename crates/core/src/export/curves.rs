//! Curves as a table: what arrives at each frequency, and between which levels all
//! footswitch states lie.

use super::table::{Cell, Table};
use crate::response::PointAnswer;
use crate::states::States;

/// The columns of a table of curves. Frequencies are in Hz; levels in dB from the
/// source's EMF, empty where nothing comes through, and those of all states where no
/// state was looked at.
pub const CURVE_COLUMNS: [&str; 6] = ["variant", "place", "frequency_hz", "level_db", "lowest_db", "highest_db"];

/// A curve, whose it is, and where it is taken.
#[derive(Debug, Clone, Copy)]
pub struct CurveOf<'a> {
    /// What the player calls the variant.
    pub variant: &'a str,
    /// What the endpoint or the test point is called.
    pub place: &'a str,
    /// What arrives there as everything stands.
    pub answer: &'a PointAnswer,
    /// All footswitch states there, where they are known.
    pub states: Option<&'a States>,
}

/// The curves one below the other, each with all its frequencies from low to high: in
/// a rig with ways that meet again there are more of them than all states are told at.
#[must_use]
pub fn curves(of: &[CurveOf<'_>]) -> String {
    let mut table = Table::with_columns(&CURVE_COLUMNS);
    for one in of {
        let curve = &one.answer.curve;
        for (hz, level) in curve.hz().iter().zip(curve.levels()) {
            let at = one.states.and_then(|states| Some((states, place_of(states.hz(), *hz)?)));
            let edge = |edge: fn(&States) -> &[f64]| {
                let db = at.and_then(|(states, at)| edge(states).get(at).copied());
                Cell::Number(db.filter(|db| db.is_finite()))
            };
            table.record(&[
                Cell::Words(one.variant),
                Cell::Words(one.place),
                Cell::Number(Some(*hz)),
                Cell::Number(level.decibels()),
                edge(States::lowest_db),
                edge(States::highest_db),
            ]);
        }
    }
    table.text()
}

/// Where a frequency stands in a sweep, if it is just one of it.
fn place_of(sweep: &[f64], hz: f64) -> Option<usize> {
    sweep.binary_search_by(|other| other.total_cmp(&hz)).ok()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cascade::LineCache;
    use crate::file;
    use crate::network::Sweep;
    use crate::response::{Request, respond};

    #[test]
    fn a_curve_without_states_has_its_levels_all_the_same() {
        let project = file::blank().unwrap();
        let request = Request::of(&project, &project.variants[0]);
        let response = respond(&request, &mut LineCache::new(Sweep::audio()));
        let answer = response.main().unwrap();
        let table = curves(&[CurveOf { variant: "one, two", place: "Amp", answer, states: None }]);
        let lines: Vec<&str> = table.split_terminator("\r\n").collect();
        assert_eq!(lines.len(), 1 + answer.curve.hz().len());
        assert_eq!(lines[0], CURVE_COLUMNS.join(","));
        let (hz, level) = (answer.curve.hz()[7], answer.curve.levels()[7].decibels().unwrap());
        assert_eq!(lines[8], format!("\"one, two\",Amp,{hz},{level},,"));
    }
}
