//! An independent nodal solve of a whole rig in one state.
//!
//! Nothing of the program's plan, ladders or lines is used: devices and leads
//! are read here into one netlist of resistors, coils, capacitors and lines,
//! with a source wherever a device isolates, and each source's part of the
//! netlist is solved as a set of linear equations (modified nodal analysis
//! [S: nodal]). A source follows the voltages of nodes before it, with their phase.
//! Where several sources drive one part, the whole rig is one set of equations.

mod matrix;
mod netlist;
mod pickups;
mod stamps;
mod stereo;

pub use matrix::chain;
pub use netlist::Netlist;

use num_complex::Complex64;
use rigwright_core::rig::JackRef;

/// A level, and how well it can be known.
#[derive(Debug, Clone, Copy)]
pub struct Heard {
    /// dB from the first source's EMF.
    pub db: f64,
    /// The largest node voltage over this one, summed over the sources on the
    /// way: an error of ε in the largest voltage is ε times this here.
    pub smallness: f64,
    /// Whether all sources stand in one set of equations, which knows no exact silence.
    pub whole: bool,
}

impl Netlist {
    /// The level at an input jack; none where it is silent or no signal gets there.
    pub fn level_at_jack(&self, jack: JackRef, hz: f64) -> Option<Heard> {
        self.level(self.node_of(jack)?, hz)
    }

    /// The level at the test point, likewise.
    pub fn level_at_point(&self, hz: f64) -> Option<Heard> {
        self.level(self.point()?, hz)
    }

    /// The mean of the powers over all falls of the coins: of signs that are a thing of chance
    /// no two add but as powers.
    fn level(&self, node: usize, hz: f64) -> Option<Heard> {
        if self.coins == 0 {
            return self.level_as_fallen(node, hz);
        }
        let falls = (0..1 << self.coins).map(|fallen| self.fallen_as(fallen).level_as_fallen(node, hz));
        let falls: Vec<Option<Heard>> = falls.collect();
        let whole = falls.iter().flatten().any(|heard| heard.whole);
        let power = |heard: &Heard| 10f64.powf(heard.db / 10.0);
        let mean = falls.iter().flatten().map(power).sum::<f64>() / falls.len() as f64;
        // The largest voltage of any fall over the mean's own.
        let volts = falls.iter().flatten().map(|heard| power(heard).sqrt() * heard.smallness).fold(0.0, f64::max);
        (mean > 0.0).then(|| Heard { db: 10.0 * mean.log10(), smallness: volts / mean.sqrt(), whole })
    }

    fn level_as_fallen(&self, node: usize, hz: f64) -> Option<Heard> {
        if self.is_joined() {
            let voltages = matrix::solve_whole(self, std::f64::consts::TAU * hz);
            let here = voltages.at(self.root(node)).norm();
            let smallness = voltages.largest / here;
            // What is left of sums to the last digits is nothing.
            return (smallness < 1e14).then(|| Heard { db: 20.0 * here.log10(), smallness, whole: true });
        }
        let (voltage, smallness) = self.voltage(node, hz, 0)?;
        Some(Heard { db: 20.0 * voltage.norm().log10(), smallness, whole: false })
    }

    /// The voltage at a node, each string's EMF being 1 V, and how well it can be known.
    fn voltage(&self, node: usize, hz: f64, sources_behind: usize) -> Option<(Complex64, f64)> {
        assert!(sources_behind < 1000, "what drives the node is driven by it");
        let source = self.source_of(node)?;
        let omega = std::f64::consts::TAU * hz;
        let follows = source.follows.iter().filter_map(|follows| {
            let (before, smallness) = match follows.node {
                Some(control) => self.voltage(control, hz, sources_behind + 1)?,
                None => (Complex64::new(1.0, 0.0), 0.0),
            };
            let gain = self.sign(follows) * 10f64.powf(follows.gain_db? / 20.0);
            Some((before * Complex64::from_polar(1.0, -omega * follows.seconds) * gain, smallness))
        });
        let follows: Vec<(Complex64, f64)> = follows.collect();
        let sum: Complex64 = follows.iter().map(|(volts, _)| volts).sum();
        let magnitudes: f64 = follows.iter().map(|(volts, _)| volts.norm()).sum();
        if sum.norm() <= 1e-10 * magnitudes {
            return None;
        }
        // Of a difference of large numbers no more is known than of these.
        let before = match &follows[..] {
            [(_, smallness)] => *smallness,
            _ => follows.iter().map(|(volts, smallness)| volts.norm() * (smallness + 1.0)).sum::<f64>() / sum.norm(),
        };
        let voltages = matrix::solve(self, source, omega);
        let here = voltages.at(self.root(node));
        if here.norm() == 0.0 {
            return None;
        }
        Some((sum * here, before + voltages.largest / here.norm()))
    }
}
