//! Passive networks that are no ladders: nodes, and admittances between them.
//!
//! Nodes are taken out one after another, each turned from a star into the mesh
//! of its neighbours: with y the admittances at a node and Σ their sum, two
//! neighbours come to be joined by yᵢ·yⱼ/Σ. Branches only ever add up, so that a
//! lead of a milliohm beside an input of a megohm costs no digits.

use std::collections::{BTreeMap, BTreeSet};

use num_complex::Complex64;

use super::Spectrum;

/// Branches between nodes and from nodes to 0 V.
#[derive(Debug, Clone)]
pub struct Nodal {
    points: usize,
    /// Of each node the admittance to 0 V in S, where there is any.
    shunts: Vec<Option<Spectrum>>,
    /// Admittances in S between two nodes, the lower number first.
    joints: BTreeMap<(usize, usize), Spectrum>,
    neighbours: Vec<BTreeSet<usize>>,
}

/// What is left of a network once only nodes of known voltage are there.
#[derive(Debug)]
pub struct Reduced {
    /// Of each node that was asked for, what of the voltage at each held node arrives
    /// there, the others being at 0 V; none where no way leads from one to the other.
    pub transfers: Vec<Vec<Option<Spectrum>>>,
    /// What is left between the first held node and 0 V or each held node, in S;
    /// none where nothing is.
    pub at_first: Vec<Option<Spectrum>>,
}

/// A node on its way out: its neighbours then, and what of the voltage at each of them is at it.
struct Gone {
    node: usize,
    weights: Vec<(usize, Spectrum)>,
}

impl Nodal {
    /// So many nodes, nothing between them, for so many frequencies.
    #[must_use]
    pub fn new(nodes: usize, points: usize) -> Self {
        let (shunts, neighbours) = (vec![None; nodes], vec![BTreeSet::new(); nodes]);
        Self { points, shunts, joints: BTreeMap::new(), neighbours }
    }

    /// A branch from a node to 0 V.
    pub fn shunt(&mut self, node: usize, admittance: &Spectrum) {
        match &mut self.shunts[node] {
            Some(sum) => sum.add(admittance),
            empty => *empty = Some(admittance.clone()),
        }
    }

    /// A branch between two nodes; from a node to itself it is none.
    pub fn join(&mut self, one: usize, other: usize, admittance: &Spectrum) {
        if one == other {
            return;
        }
        self.neighbours[one].insert(other);
        self.neighbours[other].insert(one);
        match self.joints.entry(between(one, other)) {
            std::collections::btree_map::Entry::Vacant(new) => {
                new.insert(admittance.clone());
            }
            std::collections::btree_map::Entry::Occupied(mut sum) => sum.get_mut().add(admittance),
        }
    }

    /// What arrives at the nodes `wanted` of the voltages at the nodes `held`.
    #[must_use]
    pub fn reduced(mut self, held: &[usize], wanted: &[usize]) -> Reduced {
        let mut left: BTreeSet<usize> = (0..self.shunts.len()).filter(|node| !held.contains(node)).collect();
        let mut gone: Vec<Gone> = Vec::with_capacity(left.len());
        // The one with the fewest neighbours next: networks of leads are nearly trees.
        while let Some(node) = left.iter().copied().min_by_key(|node| self.neighbours[*node].len()) {
            left.remove(&node);
            gone.push(self.take_out(node));
        }
        let mut known: Vec<Option<Vec<Option<Spectrum>>>> = vec![None; self.shunts.len()];
        for (number, node) in held.iter().enumerate() {
            let whole = |at: usize| (at == number).then(|| Spectrum::constant(1.0.into(), self.points));
            known[*node] = Some((0..held.len()).map(whole).collect());
        }
        for Gone { node, weights } in gone.into_iter().rev() {
            let mut sums: Vec<Option<Spectrum>> = vec![None; held.len()];
            for (neighbour, weight) in &weights {
                for (sum, there) in sums.iter_mut().zip(known[*neighbour].iter().flatten()) {
                    let Some(there) = there else { continue };
                    sum.get_or_insert_with(|| Spectrum::constant(0.0.into(), self.points)).add_product(weight, there);
                }
            }
            known[node] = Some(sums);
        }
        let first = held.first().copied();
        let at_first = |number: usize| {
            let first = first?;
            if number == 0 {
                self.shunts[first].clone()
            } else {
                self.joints.get(&between(first, held[number])).cloned()
            }
        };
        Reduced {
            transfers: wanted.iter().map(|node| known[*node].clone().unwrap_or_default()).collect(),
            at_first: (0..held.len()).map(at_first).collect(),
        }
    }

    /// Turns the star around a node into the mesh of its neighbours.
    fn take_out(&mut self, node: usize) -> Gone {
        let neighbours: Vec<usize> = std::mem::take(&mut self.neighbours[node]).into_iter().collect();
        let arms: Vec<Spectrum> = neighbours
            .iter()
            .map(|other| {
                self.neighbours[*other].remove(&node);
                self.joints.remove(&between(node, *other)).unwrap_or_default()
            })
            .collect();
        let shunt = self.shunts[node].take();
        let mut inverse = Spectrum::constant(0.0.into(), self.points);
        arms.iter().chain(&shunt).for_each(|arm| inverse.add(arm));
        each(&mut inverse, |sum| if sum.norm_sqr() > 0.0 { sum.inv() } else { sum });
        let weights: Vec<Spectrum> = arms.iter().map(|arm| arm.times(&inverse)).collect();
        for (at, one) in neighbours.iter().enumerate() {
            if let Some(shunt) = &shunt {
                self.shunt(*one, &weights[at].times(shunt));
            }
            for (other, arm) in neighbours.iter().zip(&arms).skip(at + 1) {
                self.join(*one, *other, &weights[at].times(arm));
            }
        }
        Gone { node, weights: neighbours.into_iter().zip(weights).collect() }
    }
}

fn between(one: usize, other: usize) -> (usize, usize) {
    (one.min(other), one.max(other))
}

fn each(spectrum: &mut Spectrum, change: impl Fn(Complex64) -> Complex64) {
    for (re, im) in spectrum.re.iter_mut().zip(spectrum.im.iter_mut()) {
        let value = change(Complex64::new(*re, *im));
        (*re, *im) = (value.re, value.im);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn siemens(value: f64) -> Spectrum {
        Spectrum::constant(value.into(), 1)
    }

    fn of(spectrum: &Option<Spectrum>) -> f64 {
        spectrum.as_ref().map_or(f64::NAN, |spectrum| spectrum.re[0])
    }

    /// A bridge of 1, 2, 3 and 4 Ω with 5 Ω across its middle, worked by hand from the
    /// two node equations [S: nodal].
    #[test]
    fn a_bridge_that_is_no_ladder_agrees_with_its_node_equations() {
        let mut bridge = Nodal::new(3, 1);
        bridge.join(0, 1, &siemens(1.0));
        bridge.join(0, 2, &siemens(1.0 / 2.0));
        bridge.shunt(1, &siemens(1.0 / 3.0));
        bridge.shunt(2, &siemens(1.0 / 4.0));
        bridge.join(1, 2, &siemens(1.0 / 5.0));
        let reduced = bridge.reduced(&[0], &[1, 2]);
        // (1 + 1/3 + 1/5)·a − b/5 = 1 and −a/5 + (1/2 + 1/4 + 1/5)·b = 1/2, in 60ths.
        let determinant = 92.0 * 57.0 - 12.0 * 12.0;
        let (a, b) = ((60.0 * 57.0 + 12.0 * 30.0) / determinant, (92.0 * 30.0 + 12.0 * 60.0) / determinant);
        assert!((of(&reduced.transfers[0][0]) - a).abs() < 1e-15);
        assert!((of(&reduced.transfers[1][0]) - b).abs() < 1e-15);
        // What the source gives goes to 0 V through 3 Ω and 4 Ω.
        assert!((of(&reduced.at_first[0]) - (a / 3.0 + b / 4.0)).abs() < 1e-15);
    }

    /// Two sources of 1 kΩ each into 1 kΩ: a third of each arrives [S: nodal].
    #[test]
    fn each_of_two_sources_is_loaded_by_the_other() {
        let mut net = Nodal::new(3, 1);
        [0, 1].into_iter().for_each(|source| net.join(source, 2, &siemens(1e-3)));
        net.shunt(2, &siemens(1e-3));
        let reduced = net.reduced(&[0, 1], &[2]);
        assert!(reduced.transfers[0].iter().all(|part| (of(part) - 1.0 / 3.0).abs() < 1e-15));
        assert!((of(&reduced.at_first[0]) - 1e-3 / 3.0).abs() < 1e-18);
        assert!((of(&reduced.at_first[1]) - 1e-3 / 3.0).abs() < 1e-18);
    }

    #[test]
    fn what_nothing_leads_to_gets_nothing() {
        let mut net = Nodal::new(3, 1);
        net.join(0, 1, &siemens(1.0));
        let reduced = net.reduced(&[0], &[1, 2]);
        assert_eq!(of(&reduced.transfers[0][0]), 1.0);
        assert!(reduced.transfers[1][0].is_none() && reduced.at_first[0].is_none());
    }

    /// 10 mΩ before 1 MΩ: no digit of the megohm is lost.
    #[test]
    fn a_short_lead_costs_no_digits() {
        let mut net = Nodal::new(2, 1);
        net.join(0, 1, &siemens(100.0));
        net.shunt(1, &siemens(1e-6));
        let seen = of(&net.reduced(&[0], &[]).at_first[0]);
        let exact = 1.0 / (1e6 + 0.01);
        assert!((seen / exact - 1.0).abs() < 4.0 * f64::EPSILON, "{seen}");
    }
}
