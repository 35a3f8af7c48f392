//! Nodes, parts between them, and sources.

use std::collections::{BTreeMap, BTreeSet};

use rigwright_core::rig::{Device, DeviceId, Input, JackRef, Lead, Rig, State, TestPoint};

use super::stamps;

/// Node 0 is 0 V.
pub const GROUND: usize = 0;

/// A part between two nodes; a line has a first end and a second.
#[derive(Debug, Clone, Copy)]
pub enum Part {
    Resistor {
        ohms: f64,
    },
    Coil {
        henries: f64,
    },
    Capacitor {
        farads: f64,
        loss_tangent: f64,
    },
    Line {
        ohms: f64,
        henries: f64,
        farads: f64,
        loss_tangent: f64,
    },
    /// A coil whose field others may share, under a number.
    Winding {
        number: usize,
        henries: f64,
    },
    /// Its second end stands above its first by so many times the voltage of a node.
    Emf {
        of: usize,
        ratio: f64,
    },
}

/// An EMF at a node of its own.
#[derive(Debug, Clone)]
pub struct Source {
    pub hot: usize,
    /// What its voltage is the sum of.
    pub follows: Vec<Follows>,
}

/// What an EMF follows.
#[derive(Debug, Clone, Copy)]
pub struct Follows {
    /// The node whose voltage it follows; none for strings.
    pub node: Option<usize>,
    /// From there to the EMF; none is silence.
    pub gain_db: Option<f64>,
    /// −1 where the signal is turned over.
    pub sign: f64,
    /// How much later.
    pub seconds: f64,
    /// Which throw of a coin decides on its sign besides, where its phases are its own.
    pub coin: Option<u32>,
}

impl Follows {
    /// At once and as it comes.
    pub fn at_once(node: Option<usize>, gain_db: Option<f64>) -> Self {
        Self { node, gain_db, sign: 1.0, seconds: 0.0, coin: None }
    }
}

#[derive(Debug, Clone, Default)]
pub struct Netlist {
    /// Of each node, one that it is joined to; itself at the root.
    joined: Vec<usize>,
    jacks: BTreeMap<JackRef, usize>,
    parts: Vec<(usize, usize, Part)>,
    sources: Vec<Source>,
    point: Option<usize>,
    plugged: BTreeSet<JackRef>,
    /// Set where resistors join several sides.
    pub is_joined: bool,
    /// Pairs of windings and their mutual inductance in H, both currents from first end to second.
    pub mutual: Vec<(usize, usize, f64)>,
    windings: usize,
    /// How many coins are thrown.
    pub coins: u32,
    /// How they have fallen, one a bit.
    pub fallen: u32,
}

impl Netlist {
    /// All of a rig in a state, with a node at the test point.
    pub fn of(rig: &Rig, state: &State, point: Option<TestPoint>) -> Self {
        Self::without_power(rig, state, point, &BTreeSet::new())
    }

    /// The same with some devices that get no power.
    pub fn without_power(rig: &Rig, state: &State, point: Option<TestPoint>, unfed: &BTreeSet<DeviceId>) -> Self {
        let mut netlist = Self { joined: vec![GROUND], ..Self::default() };
        netlist.plugged.extend(rig.leads.iter().flat_map(|lead| [lead.from, lead.to]));
        for device in &rig.devices {
            stamps::device(&mut netlist, device, state, !unfed.contains(&device.id));
        }
        for lead in &rig.leads {
            netlist.lead(lead, point.filter(|point| point.lead == lead.id));
        }
        netlist
    }

    fn lead(&mut self, lead: &Lead, point: Option<TestPoint>) {
        let (from, to) = (self.jack(lead.from), self.jack(lead.to));
        self.capacitor(from, GROUND, lead.cable.plug.get());
        self.capacitor(to, GROUND, lead.cable.plug.get());
        let length = lead.length.get();
        match point {
            None => self.line(from, to, lead, length),
            Some(point) => {
                let middle = self.node();
                self.line(from, middle, lead, length * point.along.get());
                self.line(middle, to, lead, length * (1.0 - point.along.get()));
                self.point = Some(middle);
            }
        }
    }

    fn line(&mut self, from: usize, to: usize, lead: &Lead, length: f64) {
        let cable = &lead.cable;
        let ohms = cable.resistance.get() * length;
        let henries = cable.inductance.get() * length;
        let farads = cable.capacitance.get() * length;
        let loss_tangent = cable.loss_tangent.get();
        if ohms == 0.0 && henries == 0.0 {
            self.join(from, to);
            if farads > 0.0 {
                self.parts.push((from, GROUND, Part::Capacitor { farads, loss_tangent }));
            }
        } else {
            self.parts.push((from, to, Part::Line { ohms, henries, farads, loss_tangent }));
        }
    }

    /// The same with its coins fallen otherwise.
    pub fn fallen_as(&self, fallen: u32) -> Self {
        Self { fallen, ..self.clone() }
    }

    /// 1 or −1, by what it follows and how its coin has fallen.
    pub fn sign(&self, follows: &Follows) -> f64 {
        let tails = follows.coin.is_some_and(|coin| self.fallen & 1 << coin != 0);
        if tails { -follows.sign } else { follows.sign }
    }

    /// Whether a lead is plugged into a jack.
    pub fn is_plugged(&self, jack: JackRef) -> bool {
        self.plugged.contains(&jack)
    }

    pub fn node(&mut self) -> usize {
        self.joined.push(self.joined.len());
        self.joined.len() - 1
    }

    pub fn jack(&mut self, jack: JackRef) -> usize {
        if let Some(node) = self.jacks.get(&jack) {
            return *node;
        }
        let node = self.node();
        self.jacks.insert(jack, node);
        node
    }

    pub fn join(&mut self, a: usize, b: usize) {
        let (a, b) = (self.root(a), self.root(b));
        // Ground stays a root, so that it can be told.
        let (low, high) = (a.min(b), a.max(b));
        self.joined[high] = low;
    }

    pub fn resistor(&mut self, a: usize, b: usize, ohms: f64) {
        if ohms == 0.0 {
            self.join(a, b);
        } else {
            self.parts.push((a, b, Part::Resistor { ohms }));
        }
    }

    pub fn coil(&mut self, a: usize, b: usize, henries: f64) {
        if henries == 0.0 {
            self.join(a, b);
        } else {
            self.parts.push((a, b, Part::Coil { henries }));
        }
    }

    pub fn capacitor(&mut self, a: usize, b: usize, farads: f64) {
        if farads > 0.0 {
            self.parts.push((a, b, Part::Capacitor { farads, loss_tangent: 0.0 }));
        }
    }

    pub fn load(&mut self, jack: usize, input: Input) {
        let node = match input.coupling {
            None => jack,
            Some(coupling) => {
                let inside = self.node();
                self.capacitor(jack, inside, coupling.get());
                inside
            }
        };
        self.resistor(node, GROUND, input.resistance.get());
        self.capacitor(node, GROUND, input.capacitance.get());
    }

    /// A coil of any inductance, above 0, whose field others may share; its number.
    pub fn winding(&mut self, a: usize, b: usize, henries: f64) -> usize {
        self.windings += 1;
        self.parts.push((a, b, Part::Winding { number: self.windings, henries }));
        self.windings
    }

    /// `b` stands above `a` by so many times the voltage of the node `of`.
    pub fn emf(&mut self, a: usize, b: usize, of: usize, ratio: f64) {
        self.parts.push((a, b, Part::Emf { of, ratio }));
    }

    /// An EMF behind a resistance at `node`.
    pub fn source(&mut self, node: usize, ohms: f64, follows: Vec<Follows>) {
        let hot = self.node();
        self.resistor(hot, node, ohms);
        self.sources.push(Source { hot, follows });
    }

    /// An EMF behind a capacitor and a resistance at `node`.
    pub fn piezo(&mut self, node: usize, farads: f64, ohms: f64, gain_db: Option<f64>) {
        let (hot, inside) = (self.node(), self.node());
        self.capacitor(hot, inside, farads);
        self.resistor(inside, node, ohms);
        self.sources.push(Source { hot, follows: vec![Follows::at_once(None, gain_db)] });
    }

    /// An EMF at a node itself.
    pub fn ideal_source(&mut self, hot: usize, gain_db: Option<f64>) {
        self.sources.push(Source { hot, follows: vec![Follows::at_once(None, gain_db)] });
    }

    pub fn root(&self, mut node: usize) -> usize {
        while self.joined[node] != node {
            node = self.joined[node];
        }
        node
    }

    pub fn node_of(&self, jack: JackRef) -> Option<usize> {
        self.jacks.get(&jack).copied()
    }

    pub fn point(&self) -> Option<usize> {
        self.point
    }

    pub fn sources(&self) -> &[Source] {
        &self.sources
    }

    /// Whether several sources may drive one part of it, or one what it follows.
    pub fn is_joined(&self) -> bool {
        self.is_joined
    }

    /// The parts that hang together with any source.
    pub fn driven(&self) -> Vec<(usize, usize, Part)> {
        self.around_any(self.sources.iter().map(|source| self.root(source.hot)).collect())
    }

    /// The parts that hang together with a node, other than through ground, their
    /// ends as roots.
    pub fn around(&self, node: usize) -> Vec<(usize, usize, Part)> {
        self.around_any(BTreeSet::from([self.root(node)]))
    }

    fn around_any(&self, mut reached: BTreeSet<usize>) -> Vec<(usize, usize, Part)> {
        let all: Vec<_> = self.parts.iter().map(|(a, b, part)| (self.root(*a), self.root(*b), *part)).collect();
        loop {
            let before = reached.len();
            for (a, b, part) in &all {
                if let Part::Emf { of, .. } = part {
                    let of = self.root(*of);
                    if [*a, *b, of].iter().any(|node| *node != GROUND && reached.contains(node)) {
                        reached.extend([*a, *b, of].into_iter().filter(|node| *node != GROUND));
                    }
                } else if *a != GROUND && *b != GROUND && (reached.contains(a) || reached.contains(b)) {
                    reached.extend([*a, *b]);
                }
            }
            if reached.len() == before {
                break;
            }
        }
        let ours = |node: &usize| *node != GROUND && reached.contains(node);
        all.into_iter().filter(|(a, b, _)| ours(a) || ours(b)).collect()
    }

    /// The source that drives a node, if any.
    pub fn source_of(&self, node: usize) -> Option<&Source> {
        let around = self.around(node);
        let root = self.root(node);
        self.sources.iter().find(|source| {
            let hot = self.root(source.hot);
            // Ground is everywhere, so a source that is shorted there is nobody's.
            let follows = |part: &Part| matches!(part, Part::Emf { of, .. } if self.root(*of) == hot);
            hot == root || hot != GROUND && around.iter().any(|(a, b, part)| *a == hot || *b == hot || follows(part))
        })
    }
}

/// A device's jack, in short.
pub fn of(device: &Device, jack: rigwright_core::rig::Jack) -> JackRef {
    JackRef::new(device.id, jack)
}
