//! An independent nodal solve of a whole rig in one state.
//!
//! Nothing of the program's plan, ladders or lines is used: devices and leads
//! are read here into one netlist of resistors, coils, capacitors and lines,
//! with a source wherever a device isolates, and each source's part of the
//! netlist is solved as a set of linear equations (modified nodal analysis
//! [S: nodal]). Levels of sources one behind another are added in dB.

mod matrix;
mod netlist;
mod stamps;

pub use matrix::chain;
pub use netlist::Netlist;

use rigwright_core::rig::JackRef;

/// A level, and how well it can be known.
#[derive(Debug, Clone, Copy)]
pub struct Heard {
    /// dB from the first source's EMF.
    pub db: f64,
    /// The largest node voltage over this one, summed over the sources on the
    /// way: an error of ε in the largest voltage is ε times this here.
    pub smallness: f64,
}

impl Netlist {
    /// The level at an input jack; none where it is silent or no signal gets there.
    pub fn level_at_jack(&self, jack: JackRef, hz: f64) -> Option<Heard> {
        self.level(self.node_of(jack)?, hz, 0)
    }

    /// The level at the test point, likewise.
    pub fn level_at_point(&self, hz: f64) -> Option<Heard> {
        self.level(self.point()?, hz, 0)
    }

    fn level(&self, node: usize, hz: f64, sources_behind: usize) -> Option<Heard> {
        assert!(sources_behind < 1000, "what drives the node is driven by it");
        let source = self.source_of(node)?;
        let before = match source.controlled_by {
            Some(control) => self.level(control, hz, sources_behind + 1)?,
            None => Heard { db: 0.0, smallness: 0.0 },
        };
        let voltages = matrix::solve(self, source, std::f64::consts::TAU * hz);
        let here = voltages.at(self.root(node));
        if here == 0.0 {
            return None;
        }
        Some(Heard {
            db: before.db + source.gain_db? + 20.0 * here.log10(),
            smallness: before.smallness + voltages.largest / here,
        })
    }
}
