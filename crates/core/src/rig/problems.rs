//! What is wrong with a rig that opens all the same: every problem, by part and jack.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt;

use super::circles;
use super::names::unnamed;
use super::problems_pickups::{PickupFault, pickup_problems};
use super::{
    Device, DeviceId, FeedId, Jack, JackRef, Kind, Lead, LeadId, OutletRef, Position, Rig, SoundId, SwitchRef, Tuner,
    name_of, power_problems,
};

/// Something of a rig that can't be as drawn.
#[derive(Debug, Clone, PartialEq)]
pub enum Problem {
    /// A lead is plugged into a device that isn't there, or a jack that the device lacks.
    MissingJack {
        /// The lead.
        lead: LeadId,
        /// The lead in words: "the lead from Guitar to Amp".
        words: String,
        /// The device's name, or its number.
        device: String,
        /// The jack.
        jack: Jack,
    },
    /// A lead starts in an input, or ends in an output.
    WrongWay {
        /// The lead.
        lead: LeadId,
        /// The lead in words.
        words: String,
        /// The device's name.
        device: String,
        /// The jack.
        jack: Jack,
    },
    /// Two leads in one jack.
    TwoLeads {
        /// The device's name.
        device: String,
        /// The jack.
        jack: Jack,
        /// Both leads.
        leads: (LeadId, LeadId),
        /// Both in words.
        words: (String, String),
    },
    /// The signal comes back to where it was.
    Circle {
        /// The names of the devices on it, in order.
        devices: Vec<String>,
    },
    /// A loop of a switcher or a multi-effects unit in which something lacks: what leaves by
    /// its send comes back nowhere, or nothing leaves by it.
    DeadLoop {
        /// Whose loop.
        device: DeviceId,
        /// Its name.
        name: String,
        /// Which loop, counted from 1.
        number: u8,
        /// Whether something is plugged into the send.
        from_send: bool,
        /// Whether the signal goes on inside; else the loop silences all while it is in.
        goes_on: bool,
    },
    /// An instrument's selector or push-pull joins no pickup, or one that isn't there.
    Pickups {
        /// The instrument.
        device: DeviceId,
        /// Its name.
        name: String,
        /// What is wrong.
        fault: PickupFault,
    },
    /// No instrument at all.
    NoInstrument,
    /// An instrument, or an amp's send that is in use, from which no signal gets to an endpoint.
    EndsNowhere {
        /// Where it starts.
        from: String,
        /// The last device that it reaches.
        last: String,
    },
    /// A device that no signal reaches.
    NotJoined {
        /// The device.
        device: DeviceId,
        /// Its name.
        name: String,
    },
    /// A feed begins at an outlet that isn't there.
    MissingOutlet {
        /// The feed.
        feed: FeedId,
        /// The feed in words: "the supply lead from Supply to Delay".
        words: String,
        /// The supply's name, or its number.
        supply: String,
        /// The outlet.
        outlet: OutletRef,
    },
    /// An outlet's selector stands where it has no position.
    NoSuchSetting {
        /// The outlet.
        outlet: OutletRef,
        /// The supply's name.
        supply: String,
        /// The position, counted from 1.
        setting: u8,
    },
    /// Two feeds in one outlet.
    OutletTwice {
        /// The second of the feeds.
        feed: FeedId,
        /// The supply's name.
        supply: String,
        /// The outlet.
        outlet: OutletRef,
    },
    /// A feed without a plug.
    FeedsNothing {
        /// The feed.
        feed: FeedId,
        /// The feed in words.
        words: String,
    },
    /// A feed's plug is in a device that isn't there.
    FeedsMissingDevice {
        /// The feed.
        feed: FeedId,
        /// The feed in words.
        words: String,
        /// The device's number in words.
        device: String,
    },
    /// A feed's plug is in a device that takes nothing at a socket.
    TakesNoFeed {
        /// The feed.
        feed: FeedId,
        /// The device.
        device: DeviceId,
        /// Its name.
        name: String,
    },
    /// A device has two plugs for one socket.
    FedTwice {
        /// The second feed.
        feed: FeedId,
        /// The device.
        device: DeviceId,
        /// Its name.
        name: String,
    },
    /// Modules that feed each other round in a circle, or one that feeds itself.
    FeedsItself {
        /// Their names, in order.
        devices: Vec<String>,
    },
    /// A state sets a switch that its device doesn't have, or has in fewer positions.
    NoSuchPosition {
        /// The sound and its name; none for the state in hand.
        sound: Option<(SoundId, String)>,
        /// The device's name.
        device: String,
        /// Which switch.
        switch: SwitchRef,
        /// The position.
        to: Position,
        /// How many positions the switch has; none where there is no such switch.
        positions: Option<usize>,
    },
}

impl Problem {
    /// Its name for programs; it stays as it is.
    #[must_use]
    pub fn rule(&self) -> &'static str {
        match self {
            Self::MissingJack { .. } => "missing-jack",
            Self::WrongWay { .. } => "wrong-way",
            Self::TwoLeads { .. } => "two-leads",
            Self::Circle { .. } => "circle",
            Self::NoInstrument => "no-instrument",
            Self::EndsNowhere { .. } => "ends-nowhere",
            Self::DeadLoop { .. } => "dead-loop",
            Self::NotJoined { .. } => "not-joined",
            Self::Pickups { fault, .. } => fault.rule(),
            Self::MissingOutlet { .. } => "missing-outlet",
            Self::NoSuchSetting { .. } => "no-such-setting",
            Self::OutletTwice { .. } => "outlet-twice",
            Self::FeedsNothing { .. } => "feeds-nothing",
            Self::FeedsMissingDevice { .. } => "feeds-missing-device",
            Self::TakesNoFeed { .. } => "takes-no-feed",
            Self::FedTwice { .. } => "fed-twice",
            Self::FeedsItself { .. } => "feeds-itself",
            Self::NoSuchPosition { .. } => "no-such-position",
        }
    }

    /// The names of the devices that it is about.
    #[must_use]
    pub fn about(&self) -> Vec<&str> {
        match self {
            Self::MissingJack { device, .. }
            | Self::WrongWay { device, .. }
            | Self::TwoLeads { device, .. }
            | Self::FeedsMissingDevice { device, .. }
            | Self::NoSuchPosition { device, .. } => vec![device],
            Self::Circle { devices } | Self::FeedsItself { devices } => devices.iter().map(String::as_str).collect(),
            Self::DeadLoop { name, .. } | Self::Pickups { name, .. } => vec![name],
            Self::EndsNowhere { from, last } if from == last => vec![from],
            Self::EndsNowhere { from, last } => vec![from, last],
            Self::NotJoined { name, .. } | Self::TakesNoFeed { name, .. } | Self::FedTwice { name, .. } => vec![name],
            Self::MissingOutlet { supply, .. }
            | Self::NoSuchSetting { supply, .. }
            | Self::OutletTwice { supply, .. } => vec![supply],
            Self::NoInstrument | Self::FeedsNothing { .. } => Vec::new(),
        }
    }
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::MissingJack { words, device, jack, .. } => {
                write!(f, "{words} is plugged into “{jack}” of {device}, which has no such jack")
            }
            Self::WrongWay { words, device, jack, .. } if jack.is_output() => {
                write!(f, "{words} ends in “{jack}” of {device}; a lead ends in an input")
            }
            Self::WrongWay { words, device, jack, .. } => {
                write!(f, "{words} starts in “{jack}” of {device}; a lead starts in an output")
            }
            Self::TwoLeads { device, jack, words: (a, b), .. } => {
                write!(f, "{a} and {b} are both plugged into “{jack}” of {device}; a jack takes one")
            }
            Self::Circle { devices } => {
                write!(f, "the signal goes round in a circle: {}", devices.join(", "))
            }
            Self::Pickups { name, fault, .. } => fault.tell(name, f),
            Self::NoInstrument => f.write_str("there is no guitar, bass or other instrument to start from"),
            Self::DeadLoop { name, goes_on: true, .. } => write!(
                f,
                "what leaves by the send of {name} doesn't come back by its return: {name} sounds as if nothing were in its loop"
            ),
            Self::DeadLoop { name, number, from_send: true, .. } => write!(
                f,
                "what leaves by send {number} of {name} doesn't come back by return {number}: loop {number} is silent while it is in"
            ),
            Self::DeadLoop { name, number, from_send: false, .. } => write!(
                f,
                "a lead comes to return {number} of {name} and none leaves by send {number}: loop {number} is silent while it is in"
            ),
            Self::EndsNowhere { from, last } if from == last => {
                write!(f, "nothing is plugged into {from}; join it to an amp, a DI box or an interface")
            }
            Self::EndsNowhere { from, last } => {
                write!(f, "the signal of {from} ends at {last}; join that to an amp, a DI box or an interface")
            }
            Self::NotJoined { name, .. } => write!(f, "no signal reaches {name}"),
            Self::MissingOutlet { words, supply, outlet, .. } => {
                write!(f, "{words} is plugged into outlet {} of {supply}, which has no such outlet", outlet.outlet)
            }
            Self::NoSuchSetting { outlet, supply, setting } => {
                write!(f, "outlet {} of {supply} is set to position {setting}, which it lacks", outlet.outlet)
            }
            Self::OutletTwice { supply, outlet, .. } => {
                write!(f, "two supply leads are plugged into outlet {} of {supply}; an outlet takes one", outlet.outlet)
            }
            Self::FeedsNothing { words, .. } => write!(f, "{words} has no plug that feeds anything"),
            Self::FeedsMissingDevice { words, device, .. } => {
                write!(f, "{words} is to feed {device}, which isn't there")
            }
            Self::TakesNoFeed { name, .. } => {
                write!(f, "a supply lead is plugged into {name}, which has no socket for one")
            }
            Self::FedTwice { name, .. } => write!(f, "two supply leads are plugged into {name}; its socket takes one"),
            Self::FeedsItself { devices } => {
                write!(f, "power goes round in a circle: {}", devices.join(", "))
            }
            Self::NoSuchPosition { sound, device, switch, to, positions } => {
                match sound {
                    Some((_, sound)) => write!(f, "the sound “{sound}” sets")?,
                    None => f.write_str("the state in hand sets")?,
                }
                write!(f, " the {} of {device}", switch.key)?;
                match positions {
                    None => f.write_str(", which has no such switch"),
                    Some(has) => write!(f, " to position {}, and it has {has}", to.0 + 1),
                }
            }
        }
    }
}

/// All problems of a rig, in the order of its leads and devices, then of its feeds.
#[must_use]
pub fn problems(rig: &Rig) -> Vec<Problem> {
    let mut found = signal_problems(rig);
    found.extend(power_problems(rig));
    found
}

/// Those of them that are about the signal: what stands in the way of judging its tone.
#[must_use]
pub fn signal_problems(rig: &Rig) -> Vec<Problem> {
    let index = Index::of(rig);
    let mut found = lead_problems(rig, &index);
    if !rig.devices.iter().any(|d| matches!(d.kind, Kind::Guitar(_) | Kind::Active(_))) {
        found.push(Problem::NoInstrument);
    }
    found.extend(rig.devices.iter().flat_map(pickup_problems));
    let mut reached: BTreeSet<JackRef> = BTreeSet::new();
    for device in &rig.devices {
        for jack in device.kind.jacks().iter().filter(|jack| device.kind.starts(**jack)) {
            let start = JackRef::new(device.id, *jack);
            let unused_send = matches!(jack, Jack::Send(_)) && !index.leads.contains_key(&start);
            if unused_send {
                continue;
            }
            let mut walk = Walk {
                index: &index,
                reached: &mut reached,
                ends: false,
                last: device.id,
                path: Vec::new(),
                circle: None,
            };
            walk.along(start);
            let (ends, last, circle) = (walk.ends, walk.last, walk.circle);
            if let Some(circle) = circle {
                found.push(Problem::Circle { devices: circle.iter().map(|id| index.name(*id)).collect() });
            } else if !ends {
                found.push(Problem::EndsNowhere { from: index.name(device.id), last: index.name(last) });
            }
        }
    }
    found.extend(stray_circles(rig, &index, &reached));
    if !found.iter().any(|problem| matches!(problem, Problem::Circle { .. }))
        && let Some(circle) = circles::past_switchers(&index)
    {
        found.push(Problem::Circle { devices: circle.iter().map(|id| index.name(*id)).collect() });
    }
    found.extend(dead_loops(rig, &index));
    let reached: BTreeSet<DeviceId> = reached.into_iter().map(|jack| jack.device).collect();
    for device in &rig.devices {
        let listens = device.kind.jacks().contains(&Jack::In);
        if listens && !reached.contains(&device.id) {
            found.push(Problem::NotJoined { device: device.id, name: device.name.clone() });
        }
    }
    found
}

/// A rig's devices by their ids, and the first lead from each jack: of thousands
/// of leads each is looked at once.
pub(super) struct Index<'a> {
    pub devices: BTreeMap<DeviceId, &'a Device>,
    /// The first lead from each output.
    pub leads: BTreeMap<JackRef, &'a Lead>,
    /// The jacks that leads are plugged into, at either end.
    pub plugged: BTreeSet<JackRef>,
}

impl<'a> Index<'a> {
    fn of(rig: &'a Rig) -> Self {
        let mut found = Self { devices: BTreeMap::new(), leads: BTreeMap::new(), plugged: BTreeSet::new() };
        for device in &rig.devices {
            found.devices.entry(device.id).or_insert(device);
        }
        for lead in &rig.leads {
            found.leads.entry(lead.from).or_insert(lead);
            found.plugged.extend([lead.from, lead.to]);
        }
        found
    }

    fn name(&self, id: DeviceId) -> String {
        self.devices.get(&id).map_or_else(|| unnamed(id), |device| name_of(device))
    }

    /// Whether a signal that leaves by an output comes to an input of a device, or to where it is meant to end.
    fn comes_back(&self, send: JackRef, device: DeviceId) -> bool {
        let (mut todo, mut seen) = (vec![send], BTreeSet::new());
        while let Some(lead) = todo.pop().map(|from| self.leads.get(&from)) {
            let Some(lead) = lead.filter(|lead| seen.insert(lead.to)) else { continue };
            let Some(next) = self.devices.get(&lead.to.device) else { continue };
            let is_end = next.kind.is_goal(lead.to.jack) || matches!(next.kind, Kind::Tuner(Tuner::Tap { .. }));
            if lead.to.device == device || is_end {
                return true;
            }
            todo.extend(next.kind.onward(lead.to.jack).iter().map(|out| JackRef::new(lead.to.device, *out)));
        }
        false
    }

    /// Whether a signal that comes in by an input gets to where it is meant to end.
    fn leads_to_goal(&self, input: JackRef) -> bool {
        let (mut todo, mut seen) = (vec![input], BTreeSet::new());
        while let Some(input) = todo.pop().filter(|_| seen.len() <= self.leads.len()) {
            let Some(device) = self.devices.get(&input.device).filter(|_| seen.insert(input)) else { continue };
            if device.kind.is_goal(input.jack) {
                return true;
            }
            let onward = device.kind.onward(input.jack).iter().map(|out| JackRef::new(device.id, *out));
            todo.extend(onward.filter_map(|out| Some(self.leads.get(&out)?.to)));
        }
        false
    }

    /// A lead as a person speaks of it.
    fn words(&self, lead: &Lead) -> String {
        format!("the lead from {} to {}", self.name(lead.from.device), self.name(lead.to.device))
    }
}

fn lead_problems(rig: &Rig, index: &Index<'_>) -> Vec<Problem> {
    let mut found = Vec::new();
    // The first lead at each jack, whichever end of it.
    let mut first: BTreeMap<JackRef, &Lead> = BTreeMap::new();
    for lead in &rig.leads {
        for (end, should_be_output) in [(lead.from, true), (lead.to, false)] {
            let there = index.devices.get(&end.device).is_some_and(|device| device.kind.jacks().contains(&end.jack));
            let words = || index.words(lead);
            let device = index.name(end.device);
            if !there {
                found.push(Problem::MissingJack { lead: lead.id, words: words(), device, jack: end.jack });
            } else if end.jack.is_output() != should_be_output {
                found.push(Problem::WrongWay { lead: lead.id, words: words(), device, jack: end.jack });
            }
            if let Some(other) = first.get(&end) {
                let device = index.name(end.device);
                let both = (index.words(other), words());
                found.push(Problem::TwoLeads { device, jack: end.jack, leads: (other.id, lead.id), words: both });
            }
        }
        for end in [lead.from, lead.to] {
            first.entry(end).or_insert(lead);
        }
    }
    found
}

struct Walk<'a> {
    index: &'a Index<'a>,
    reached: &'a mut BTreeSet<JackRef>,
    ends: bool,
    last: DeviceId,
    /// The inputs that the signal has come in by, each with the output that it goes on to.
    path: Vec<(JackRef, Jack)>,
    circle: Option<Vec<DeviceId>>,
}

impl Walk<'_> {
    /// Follows the signal from an output jack.
    fn along(&mut self, from: JackRef) {
        let Some(lead) = self.index.leads.get(&from) else {
            return;
        };
        let Some(device) = self.index.devices.get(&lead.to.device) else {
            return;
        };
        if !device.kind.jacks().contains(&lead.to.jack) {
            return;
        }
        if !self.reached.insert(lead.to) {
            if let Some(at) = self.path.iter().position(|(input, _)| *input == lead.to)
                && circles::can_close(self.index, &self.path[at..])
            {
                let mut devices: Vec<DeviceId> = self.path[at..].iter().map(|(input, _)| input.device).collect();
                devices.dedup();
                self.circle = Some(devices);
            }
            // Another signal has come by here before.
            self.ends = self.ends || self.index.leads_to_goal(lead.to);
            return;
        }
        self.last = device.id;
        // A tuner on a tap is no goal, but nothing is wrong with ending there.
        self.ends |= device.kind.is_goal(lead.to.jack);
        if matches!(device.kind, Kind::Tuner(Tuner::Tap { .. })) {
            return;
        }
        for out in device.kind.onward(lead.to.jack) {
            self.path.push((lead.to, *out));
            self.along(JackRef::new(device.id, *out));
            self.path.pop();
        }
    }
}

/// Loops of switchers that are silent while they are in. One that leads to an amp
/// or to a tuner on a tap is meant so.
fn dead_loops(rig: &Rig, index: &Index<'_>) -> Vec<Problem> {
    let mut found = Vec::new();
    for device in &rig.devices {
        // What leaves by an amp's send is a chain of its own, told where that ends nowhere.
        if !matches!(device.kind, Kind::Switcher(_) | Kind::MultiEffects(_)) {
            continue;
        }
        for number in 1..=device.kind.loops() {
            let jack = |jack| JackRef::new(device.id, jack);
            let (send, back) = (jack(Jack::Send(number)), jack(Jack::Return(number)));
            let from_send = index.leads.contains_key(&send);
            if from_send && index.comes_back(send, device.id) || !from_send && !index.plugged.contains(&back) {
                continue;
            }
            // With no plug in a unit's return, or with the dry signal beside it, it sounds without the loop.
            let inside = device.kind.effects_loop();
            let goes_on = inside.is_some_and(|way| way.dry.is_some() || !index.plugged.contains(&back));
            if goes_on && !from_send {
                continue;
            }
            found.push(Problem::DeadLoop { device: device.id, name: name_of(device), number, from_send, goes_on });
        }
    }
    found
}

/// Circles that no instrument feeds.
fn stray_circles(rig: &Rig, index: &Index<'_>, reached: &BTreeSet<JackRef>) -> Vec<Problem> {
    let mut found = Vec::new();
    let mut seen: BTreeSet<JackRef> = reached.clone();
    for lead in &rig.leads {
        if seen.contains(&lead.to) || !index.devices.contains_key(&lead.to.device) {
            continue;
        }
        let mut walk =
            Walk { index, reached: &mut seen, ends: false, last: lead.from.device, path: vec![], circle: None };
        walk.along(lead.from);
        if let Some(circle) = walk.circle {
            found.push(Problem::Circle { devices: circle.iter().map(|id| index.name(*id)).collect() });
        }
    }
    found
}
