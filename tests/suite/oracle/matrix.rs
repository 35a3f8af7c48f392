//! The equations of one source's part of a netlist, and their solution.
//!
//! Unknowns are the voltages of nodes and the currents of coils, of resistors
//! that don't end at ground, and of lines. A line stands as its chain equations
//! V₁ = a·V₂ + b·I₂, I₁ = c·V₂ + a·I₂, so that a short lead puts no huge
//! conductance beside a small one.

use std::collections::BTreeMap;

use nalgebra::{DMatrix, DVector};
use num_complex::Complex64;

use super::netlist::{GROUND, Netlist, Part, Source};

/// Currents are counted in µA, near the voltages' order of size.
const CURRENT: f64 = 1e-6;

pub struct Voltages {
    by_root: BTreeMap<usize, Complex64>,
    /// The largest of them, the EMF's 1 V included.
    pub largest: f64,
}

impl Voltages {
    /// The voltage at a node's root; 0 V at ground.
    pub fn at(&self, root: usize) -> Complex64 {
        self.by_root.get(&root).copied().unwrap_or_default()
    }
}

/// Voltages with an EMF of 1 V.
pub fn solve(netlist: &Netlist, source: &Source, omega: f64) -> Voltages {
    let hot = netlist.root(source.hot);
    if hot == GROUND {
        // A source without resistance into a short: the short wins.
        return Voltages { by_root: BTreeMap::new(), largest: 1.0 };
    }
    let parts = netlist.around(hot);
    let mut system = System::new(hot, &parts);
    for (a, b, part) in &parts {
        if a != b {
            system.stamp(*a, *b, &rooted(netlist, part), omega);
        }
    }
    system.share_fields(netlist, omega);
    system.solve()
}

/// The same part, whatever it follows as its root.
fn rooted(netlist: &Netlist, part: &Part) -> Part {
    match *part {
        Part::Emf { of, ratio } => Part::Emf { of: netlist.root(of), ratio },
        other => other,
    }
}

/// All voltages of a whole netlist at once, every source in the same equations: some
/// parts have several sources, and what one gives may be felt before it.
pub fn solve_whole(netlist: &Netlist, omega: f64) -> Voltages {
    let hots: Vec<usize> = netlist.sources().iter().map(|source| netlist.root(source.hot)).collect();
    let parts = netlist.driven();
    let alone = hots.iter().map(|hot| (*hot, GROUND, Part::Resistor { ohms: 1e9 }));
    // Each source has an equation, also one on which nothing hangs.
    let parts: Vec<_> = parts.into_iter().chain(alone).collect();
    let mut system = System::new(GROUND, &parts);
    for (a, b, part) in &parts {
        if a != b {
            system.stamp(*a, *b, &rooted(netlist, part), omega);
        }
    }
    system.share_fields(netlist, omega);
    for (source, hot) in netlist.sources().iter().zip(&hots) {
        let Some(row) = system.rows.get(hot).copied() else { continue };
        // In the place of Kirchhoff's equation: the EMF less what it follows is nothing.
        system.matrix.row_mut(row).fill(Complex64::default());
        system.matrix[(row, row)] = Complex64::new(1.0, 0.0);
        system.right[row] = Complex64::default();
        for follows in &source.follows {
            let Some(gain_db) = follows.gain_db else { continue };
            let ratio = netlist.sign(follows) * 10f64.powf(gain_db / 20.0);
            let gain = Complex64::from_polar(1.0, -omega * follows.seconds) * ratio;
            match follows.node.map(|node| netlist.root(node)) {
                None => system.right[row] += gain,
                Some(node) => {
                    if let Some(column) = system.rows.get(&node) {
                        system.matrix[(row, *column)] -= gain;
                    }
                }
            }
        }
    }
    system.solve()
}

struct System {
    hot: usize,
    rows: BTreeMap<usize, usize>,
    next: usize,
    /// Of each winding its current, by the winding's number.
    windings: BTreeMap<usize, usize>,
    matrix: DMatrix<Complex64>,
    right: DVector<Complex64>,
}

impl System {
    fn new(hot: usize, parts: &[(usize, usize, Part)]) -> Self {
        let mut rows = BTreeMap::new();
        for node in parts.iter().flat_map(|(a, b, _)| [*a, *b]) {
            if node != GROUND && node != hot {
                let next = rows.len();
                rows.entry(node).or_insert(next);
            }
        }
        let currents = parts.iter().filter(|(a, b, part)| a != b && has_current(*a, *b, part)).count();
        let size = rows.len() + currents;
        let next = rows.len();
        let (windings, matrix, right) = (BTreeMap::new(), DMatrix::zeros(size, size), DVector::zeros(size));
        Self { hot, rows, next, windings, matrix, right }
    }

    /// Adds `factor` times the voltage of a node to an equation.
    fn voltage(&mut self, row: usize, node: usize, factor: Complex64) {
        if node == GROUND {
            return;
        }
        if node == self.hot {
            self.right[row] -= factor;
        } else if let Some(column) = self.rows.get(&node) {
            self.matrix[(row, *column)] += factor;
        }
    }

    /// Adds a current `factor`·V(node) that leaves `from`, in Kirchhoff's equation.
    fn leaves(&mut self, from: usize, node: usize, factor: Complex64) {
        if let Some(row) = self.rows.get(&from).copied() {
            self.voltage(row, node, factor / CURRENT);
        }
    }

    /// Adds `factor` times an unknown current that leaves `from`.
    fn leaves_unknown(&mut self, from: usize, current: usize, factor: Complex64) {
        if let Some(row) = self.rows.get(&from).copied() {
            self.matrix[(row, current)] += factor;
        }
    }

    fn stamp(&mut self, a: usize, b: usize, part: &Part, omega: f64) {
        let one = Complex64::new(1.0, 0.0);
        if let Part::Line { ohms, henries, farads, loss_tangent } = *part {
            let (cosh, upper, lower) = chain(ohms, henries, farads, loss_tangent, omega);
            let current = self.take_current();
            // V₁ − a·V₂ − b·I₂ = 0
            self.voltage(current, a, one);
            self.voltage(current, b, -cosh);
            self.matrix[(current, current)] -= upper * CURRENT;
            // I₁ = c·V₂ + a·I₂ leaves the first end, I₂ arrives at the second.
            self.leaves(a, b, lower);
            self.leaves_unknown(a, current, cosh);
            self.leaves_unknown(b, current, -one);
            return;
        }
        if has_current(a, b, part) {
            // V_a − V_b − z·I = 0
            let z = match *part {
                Part::Resistor { ohms } => Complex64::new(ohms, 0.0),
                Part::Coil { henries } | Part::Winding { henries, .. } => Complex64::new(0.0, omega * henries),
                Part::Emf { .. } => Complex64::new(0.0, 0.0),
                _ => admittance(part, omega).inv(),
            };
            let current = self.take_current();
            self.voltage(current, a, one);
            self.voltage(current, b, -one);
            match *part {
                // V_a − V_b + ratio·V_of = 0
                Part::Emf { of, ratio } => self.voltage(current, of, Complex64::new(ratio, 0.0)),
                Part::Winding { number, .. } => {
                    self.windings.insert(number, current);
                }
                _ => {}
            }
            self.matrix[(current, current)] -= z * CURRENT;
            self.leaves_unknown(a, current, one);
            self.leaves_unknown(b, current, -one);
        } else {
            let node = if a == GROUND { b } else { a };
            self.leaves(node, node, admittance(part, omega));
        }
    }

    /// What a current in one winding induces in others.
    fn share_fields(&mut self, netlist: &Netlist, omega: f64) {
        for (one, other, henries) in &netlist.mutual {
            let (Some(one), Some(other)) = (self.windings.get(one), self.windings.get(other)) else { continue };
            let induced = Complex64::new(0.0, omega * henries) * CURRENT;
            self.matrix[(*one, *other)] -= induced;
            self.matrix[(*other, *one)] -= induced;
        }
    }

    fn take_current(&mut self) -> usize {
        self.next += 1;
        self.next - 1
    }

    /// Gauss with each row at unit size, refined twice by its own residual.
    fn solve(mut self) -> Voltages {
        if self.matrix.is_empty() {
            // Nothing hangs on the source but what goes straight to ground.
            return Voltages { by_root: BTreeMap::from([(self.hot, Complex64::new(1.0, 0.0))]), largest: 1.0 };
        }
        for at in 0..self.matrix.nrows() {
            let size = self.matrix.row(at).iter().map(|z| z.norm()).fold(0.0, f64::max);
            assert!(size > 0.0, "an empty equation");
            self.matrix.row_mut(at).scale_mut(1.0 / size);
            self.right[at] /= size;
        }
        let factors = self.matrix.clone().lu();
        let mut found = factors.solve(&self.right).expect("a passive circuit has one solution");
        for _ in 0..2 {
            let residual = &self.right - &self.matrix * &found;
            found += factors.solve(&residual).expect("a passive circuit has one solution");
        }
        let mut by_root: BTreeMap<usize, Complex64> =
            self.rows.iter().map(|(root, row)| (*root, found[*row])).collect();
        if self.hot != GROUND {
            by_root.insert(self.hot, Complex64::new(1.0, 0.0));
        }
        let largest = by_root.values().map(|volts| volts.norm()).fold(0.0, f64::max);
        Voltages { by_root, largest }
    }
}

/// Whether a part's current is an unknown of its own.
fn has_current(a: usize, b: usize, part: &Part) -> bool {
    matches!(part, Part::Line { .. } | Part::Winding { .. } | Part::Emf { .. }) || (a != GROUND && b != GROUND)
}

fn admittance(part: &Part, omega: f64) -> Complex64 {
    match *part {
        Part::Resistor { ohms } => Complex64::new(1.0 / ohms, 0.0),
        Part::Coil { henries } => Complex64::new(0.0, -1.0 / (omega * henries)),
        Part::Capacitor { farads, loss_tangent } => Complex64::new(loss_tangent, 1.0) * (omega * farads),
        Part::Line { .. } | Part::Winding { .. } | Part::Emf { .. } => unreachable!("it is no single admittance"),
    }
}

/// cosh γl, Z₀·sinh γl, sinh γl / Z₀ of the telegrapher line [S: line], by its
/// characteristic impedance and hyperbolic functions of real and imaginary part.
pub fn chain(ohms: f64, henries: f64, farads: f64, loss_tangent: f64, omega: f64) -> (Complex64, Complex64, Complex64) {
    let z = Complex64::new(ohms, omega * henries);
    if farads == 0.0 {
        return (Complex64::new(1.0, 0.0), z, Complex64::new(0.0, 0.0));
    }
    let y = Complex64::new(omega * farads * loss_tangent, omega * farads);
    if ohms == 0.0 && henries == 0.0 {
        return (Complex64::new(1.0, 0.0), z, y);
    }
    // √z·√y, not √(z·y): both in the first quadrant, so the branch is right.
    let (root_z, root_y) = (z.sqrt(), y.sqrt());
    let x = root_z * root_y;
    let impedance = root_z / root_y;
    let sinh = Complex64::new(x.re.sinh() * x.im.cos(), x.re.cosh() * x.im.sin());
    let cosh = Complex64::new(x.re.cosh() * x.im.cos(), x.re.sinh() * x.im.sin());
    (cosh, impedance * sinh, sinh / impedance)
}
