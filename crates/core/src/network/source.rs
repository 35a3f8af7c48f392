//! A small network of windings and branches that drives one jack: what is inside a guitar
//! with several pickups.
//!
//! It stands for the EMF and the impedance that it amounts to at each frequency (Thévenin):
//! by modified nodal analysis, a voltage a node and a current a winding [S: nodal].

use std::collections::BTreeSet;

use num_complex::Complex64;

use super::{Branch, Spectrum};
use crate::units::{Henries, Ohms};

/// The number of 0 V among the nodes.
pub const ZERO_VOLTS: usize = 0;
/// The number of the jack among the nodes.
pub const JACK: usize = 1;
/// The most nodes that a network may have.
pub const MOST_NODES: usize = 24;
/// A sum of EMFs so much smaller than what went into it (−200 dB) is silence.
const NULL: f64 = 1e-10;

/// A coil of a pickup between two nodes: an EMF, a resistance, and an inductance with what is lost across it.
#[derive(Debug, Clone, PartialEq)]
pub struct Winding {
    /// From its cold end to its hot one.
    pub ends: [usize; 2],
    /// Resistance of its wire.
    pub resistance: Ohms,
    /// Inductance.
    pub inductance: Henries,
    /// Eddy-current loss across that inductance.
    pub loss: Option<Ohms>,
    /// Its EMF over the reference: 1, ½ for half of a pickup, below 0 turned over.
    pub emf: f64,
    /// Which pickup's it is.
    pub pickup: usize,
}

/// A network of nodes from which one jack is driven.
#[derive(Debug, Clone, PartialEq)]
pub struct SourceNetwork {
    /// How many nodes, 0 V and the jack among them.
    nodes: usize,
    branches: Vec<([usize; 2], Branch)>,
    windings: Vec<Winding>,
    /// Pairs of windings, by their places, with the part of their fields that they share.
    couplings: Vec<(usize, usize, f64)>,
    /// Whether a preamplifier stands at the jack, so that it is driven by no impedance.
    buffered: bool,
}

/// What a jack is driven by.
#[derive(Debug, Clone, PartialEq)]
pub enum Driven {
    /// By nothing: no way leads from the jack to 0 V.
    Open,
    /// By a short to 0 V.
    Shorted,
    /// By a network.
    By(SourceNetwork),
}

/// A network while it is drawn.
#[derive(Debug, Clone)]
pub struct SourceBuilder {
    /// Of each node, one that it is joined to; itself at the root.
    joined: Vec<usize>,
    network: SourceNetwork,
}

/// A network as an EMF behind an impedance, at each frequency.
#[derive(Debug, Clone, PartialEq)]
pub struct Thevenin {
    /// The open voltage over the reference EMF, no unit; never quite 0.
    pub emf: Spectrum,
    /// In Ω.
    pub impedance: Spectrum,
}

impl Default for SourceBuilder {
    fn default() -> Self {
        Self::new()
    }
}

impl SourceBuilder {
    /// 0 V and a jack, nothing between them.
    #[must_use]
    pub fn new() -> Self {
        let (branches, windings, couplings) = (Vec::new(), Vec::new(), Vec::new());
        let network = SourceNetwork { nodes: 2, branches, windings, couplings, buffered: false };
        Self { joined: vec![ZERO_VOLTS, JACK], network }
    }

    /// One node more.
    pub fn node(&mut self) -> usize {
        self.joined.push(self.joined.len());
        self.joined.len() - 1
    }

    /// A contact makes two nodes one.
    pub fn join(&mut self, one: usize, other: usize) {
        let (one, other) = (self.root(one), self.root(other));
        // 0 V and the jack stay roots.
        self.joined[one.max(other)] = one.min(other);
    }

    /// A branch between two nodes; a short joins them, an open one is none.
    pub fn branch(&mut self, one: usize, other: usize, branch: Branch) {
        match branch.simplified() {
            Branch::Open => {}
            Branch::Short => self.join(one, other),
            branch => self.network.branches.push(([one, other], branch)),
        }
    }

    /// A winding; its place among them.
    pub fn winding(&mut self, winding: Winding) -> usize {
        self.network.windings.push(winding);
        self.network.windings.len() - 1
    }

    /// Two windings share a part of their fields, below 1.
    pub fn couple(&mut self, one: usize, other: usize, part: f64) {
        if part > 0.0 {
            self.network.couplings.push((one, other, part));
        }
    }

    /// A preamplifier stands at the jack: what goes on from there is behind no impedance.
    pub fn buffer(&mut self) {
        self.network.buffered = true;
    }

    fn root(&self, mut node: usize) -> usize {
        while self.joined[node] != node {
            node = self.joined[node];
        }
        node
    }

    /// What the jack is driven by: parts that no way joins to it are left out.
    #[must_use]
    pub fn finish(mut self) -> Driven {
        if self.root(JACK) == ZERO_VOLTS {
            return Driven::Shorted;
        }
        let rooted = |ends: [usize; 2]| ends.map(|end| self.root(end));
        let mut network = self.network.clone();
        network.branches.iter_mut().for_each(|(ends, _)| *ends = rooted(*ends));
        network.windings.iter_mut().for_each(|winding| winding.ends = rooted(winding.ends));
        let (reached, kept) = network.around_jack();
        if !reached.contains(&ZERO_VOLTS) {
            return Driven::Open;
        }
        let is_left =
            |ends: &[usize; 2]| ends[0] != ends[1] && ends.iter().any(|end| *end > 0 && reached.contains(end));
        network.branches.retain(|(ends, _)| is_left(ends));
        let place = |at: usize| kept.iter().position(|kept| *kept == at);
        let couplings = network.couplings.iter();
        network.couplings =
            couplings.filter_map(|(one, other, part)| Some((place(*one)?, place(*other)?, *part))).collect();
        network.windings = kept.iter().map(|at| network.windings[*at].clone()).collect();
        self.network = network;
        Driven::By(self.numbered())
    }

    /// The network with the nodes that are in use numbered one after another.
    fn numbered(self) -> SourceNetwork {
        let mut network = self.network;
        let mut numbers: Vec<Option<usize>> = vec![None; self.joined.len()];
        (numbers[ZERO_VOLTS], numbers[JACK]) = (Some(ZERO_VOLTS), Some(JACK));
        let mut next = JACK;
        let mut number = |node: usize| {
            *numbers[node].get_or_insert_with(|| {
                next += 1;
                next
            })
        };
        network.branches.iter_mut().for_each(|(ends, _)| *ends = ends.map(&mut number));
        network.windings.iter_mut().for_each(|winding| winding.ends = winding.ends.map(&mut number));
        network.nodes = next + 1;
        network
    }
}

impl SourceNetwork {
    /// The nodes that hang together with the jack, 0 V being no way through, and the windings there. A
    /// winding whose field one of them shares counts too, even one that is shorted.
    fn around_jack(&self) -> (BTreeSet<usize>, Vec<usize>) {
        let mut reached = BTreeSet::new();
        let mut kept: BTreeSet<usize> = BTreeSet::new();
        let mut todo = vec![JACK];
        loop {
            while let Some(node) = todo.pop() {
                if !reached.insert(node) || node == ZERO_VOLTS {
                    continue;
                }
                let branches = self.branches.iter().filter(|(ends, _)| ends.contains(&node));
                todo.extend(branches.flat_map(|(ends, _)| *ends));
                let windings = self.windings.iter().enumerate().filter(|(_, winding)| winding.ends.contains(&node));
                for (at, winding) in windings {
                    // One that is shorted away from 0 V drives nothing.
                    if winding.ends[0] != winding.ends[1] {
                        kept.insert(at);
                    }
                    todo.extend(winding.ends);
                }
            }
            let coupled =
                self.couplings.iter().filter_map(|(one, other, _)| match (kept.contains(one), kept.contains(other)) {
                    (true, false) => Some(*other),
                    (false, true) => Some(*one),
                    _ => None,
                });
            let more: Vec<usize> = coupled.filter(|at| self.windings[*at].inductance.get() > 0.0).collect();
            if more.is_empty() {
                return (reached, kept.into_iter().collect());
            }
            for at in more {
                kept.insert(at);
                todo.extend(self.windings[at].ends.into_iter().filter(|end| *end != ZERO_VOLTS));
            }
        }
    }

    /// How many nodes it has, 0 V and the jack among them.
    #[must_use]
    pub fn nodes(&self) -> usize {
        self.nodes
    }

    /// Whether a preamplifier stands at the jack, so that there is no impedance.
    #[must_use]
    pub fn is_buffered(&self) -> bool {
        self.buffered
    }

    /// The EMF and the impedance at each ω (rad/s).
    #[must_use]
    pub fn thevenin(&self, omega: &[f64]) -> Thevenin {
        let none = || Spectrum { re: Vec::with_capacity(omega.len()), im: Vec::with_capacity(omega.len()) };
        let mut found = Thevenin { emf: none(), impedance: none() };
        let mut equations = Equations::new(self);
        for &omega in omega {
            let (emf, impedance) = self.thevenin_of(&mut equations, omega);
            for (spectrum, value) in [(&mut found.emf, emf), (&mut found.impedance, impedance)] {
                spectrum.re.push(value.re);
                spectrum.im.push(value.im);
            }
        }
        found
    }

    /// The EMF and the impedance at one ω (rad/s).
    #[must_use]
    pub fn thevenin_at(&self, omega: f64) -> (Complex64, Complex64) {
        self.thevenin_of(&mut Equations::new(self), omega)
    }

    fn thevenin_of(&self, equations: &mut Equations, omega: f64) -> (Complex64, Complex64) {
        equations.solve(self, omega);
        let (parts, impedance) = equations.at_jack();
        let sum: Complex64 = parts.iter().sum();
        let least = NULL * parts.iter().map(|part| part.norm()).sum::<f64>();
        let emf = if sum.norm() > least { sum } else { Complex64::new(least.max(f64::MIN_POSITIVE.sqrt()), 0.0) };
        (emf, if self.buffered { Complex64::new(0.0, 0.0) } else { impedance })
    }

    /// What of each pickup's reference EMF is at the open jack at ω (rad/s), its place being the
    /// pickup's number; as long as the greatest number asks for.
    #[must_use]
    pub fn parts_at(&self, omega: f64) -> Vec<Complex64> {
        let mut equations = Equations::new(self);
        equations.solve(self, omega);
        let most = self.windings.iter().map(|winding| winding.pickup + 1).max().unwrap_or(0);
        let mut found = vec![Complex64::new(0.0, 0.0); most];
        for (winding, part) in self.windings.iter().zip(equations.at_jack().0) {
            found[winding.pickup] += part;
        }
        found
    }

    /// Whether nothing comes out at any of a few frequencies far apart: no pickup is in it, or they cancel.
    #[must_use]
    pub fn is_silent(&self) -> bool {
        let mut equations = Equations::new(self);
        [6e2, 7e3, 8e4].into_iter().all(|omega| {
            equations.solve(self, omega);
            let (parts, _) = equations.at_jack();
            parts.iter().sum::<Complex64>().norm() <= NULL * parts.iter().map(|part| part.norm()).sum::<f64>()
        })
    }
}

/// The equations of a network at one frequency: the currents at each node but 0 V, and of each
/// winding the voltage across its coil and that across its wire.
struct Equations {
    /// How many unknowns.
    size: usize,
    /// A row an equation: its factors, then of each winding's EMF and of 1 A into the jack what is on the right.
    rows: Vec<Vec<Complex64>>,
}

impl Equations {
    fn new(network: &SourceNetwork) -> Self {
        let windings = network.windings.len();
        let size = network.nodes - 1 + 3 * windings;
        let zero = Complex64::new(0.0, 0.0);
        Self { size, rows: vec![vec![zero; size + windings + 1]; size] }
    }

    /// Writes the equations and eliminates all unknowns.
    fn solve(&mut self, network: &SourceNetwork, omega: f64) {
        let windings = network.windings.len();
        let own = network.nodes - 1;
        let j_omega = Complex64::new(0.0, omega);
        self.rows.iter_mut().for_each(|row| row.fill(0.0.into()));
        for (ends, branch) in &network.branches {
            self.admittance(ends.map(|end| end.checked_sub(1)), branch.admittance(omega));
        }
        for (at, winding) in network.windings.iter().enumerate() {
            let [cold, hot] = winding.ends.map(|end| end.checked_sub(1));
            // Between wire and coil is a node of its own.
            let (between, wire, coil) = (own + 3 * at, own + 3 * at + 1, own + 3 * at + 2);
            self.current(wire, [Some(between), hot]);
            self.current(coil, [cold, Some(between)]);
            if let Some(loss) = winding.loss.filter(|loss| loss.get() > 0.0) {
                self.admittance([cold, Some(between)], (1.0 / loss.get()).into());
            }
            // The wire from its inner end to the hot one, with the EMF in it: V(between) − V(hot) − R·i = −E.
            self.rows[wire][wire] -= winding.resistance.get();
            self.rows[wire][self.size + at] -= winding.emf;
            if winding.loss.is_none_or(|loss| loss.get() > 0.0) {
                self.rows[coil][coil] -= j_omega * winding.inductance.get();
            }
        }
        for (one, other, part) in &network.couplings {
            let [first, second] = [one, other].map(|at| &network.windings[*at]);
            // Two coils wound alike help one another whichever way their ends are joined.
            let mutual = part * (first.inductance.get() * second.inductance.get()).sqrt();
            let [one, other] = [one, other].map(|at| own + 3 * at + 2);
            self.rows[one][other] -= j_omega * mutual;
            self.rows[other][one] -= j_omega * mutual;
        }
        self.rows[JACK - 1][self.size + windings] += 1.0;
        self.eliminate();
    }

    /// A branch between two nodes; none is 0 V.
    fn admittance(&mut self, ends: [Option<usize>; 2], y: Complex64) {
        for end in ends.into_iter().flatten() {
            self.rows[end][end] += y;
        }
        if let [Some(one), Some(other)] = ends {
            self.rows[one][other] -= y;
            self.rows[other][one] -= y;
        }
    }

    /// A current from one node to another as an unknown, and in its own row the voltage between them.
    fn current(&mut self, unknown: usize, [from, to]: [Option<usize>; 2]) {
        for (end, sign) in [(from, 1.0), (to, -1.0)] {
            if let Some(end) = end {
                self.rows[end][unknown] += sign;
                self.rows[unknown][end] += sign;
            }
        }
    }

    /// Gauss and Jordan, the largest factor of a column first.
    fn eliminate(&mut self) {
        for column in 0..self.size {
            let size_of = |row: &Vec<Complex64>| row[column].norm_sqr();
            let largest =
                (column..self.size).max_by(|a, b| size_of(&self.rows[*a]).total_cmp(&size_of(&self.rows[*b])));
            let Some(largest) = largest else { return };
            self.rows.swap(column, largest);
            let pivot = std::mem::take(&mut self.rows[column]);
            if pivot[column].norm_sqr() > 0.0 {
                let inverse = pivot[column].inv();
                for (at, row) in self.rows.iter_mut().enumerate() {
                    // The rows above matter for the jack's alone.
                    if row.is_empty() || (at < column && at != JACK - 1) || row[column].norm_sqr() == 0.0 {
                        continue;
                    }
                    let factor = row[column] * inverse;
                    row[column..].iter_mut().zip(&pivot[column..]).for_each(|(value, there)| *value -= factor * there);
                }
            }
            self.rows[column] = pivot;
        }
    }

    /// What of each winding's EMF is at the open jack, and the impedance there.
    fn at_jack(&self) -> (Vec<Complex64>, Complex64) {
        let row = &self.rows[JACK - 1];
        let own = row[JACK - 1];
        let mut parts: Vec<Complex64> = row[self.size..].iter().map(|value| value / own).collect();
        let impedance = parts.pop().unwrap_or_default();
        (parts, impedance)
    }
}
