//! How several pickups of one instrument are joined: selector, controls of their own, push-pulls.
//!
//! Each pickup goes to its own controls, where it has any; the selector joins some of
//! them; what it joins goes on to the guitar's volume and tone, or straight to the jack.

use super::{Control, Device, Guitar, Kind, Pickup, Position, Pot, Stage, State, SwitchKey, Tone, TrebleBleed};
use crate::units::Coupling;

/// The most pickups of one instrument.
pub const MOST_PICKUPS: u8 = 4;
/// The most push-pull switches of one instrument.
pub const MOST_PUSH_PULLS: u8 = 4;

/// What an instrument with several pickups has beside the first of them and its volume and tone.
#[derive(Debug, Clone, PartialEq, serde::Serialize, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PickupWiring {
    /// What the first pickup has of its own.
    pub first: OwnControls,
    /// The others, three at most.
    pub others: Vec<OtherPickup>,
    /// What each position of the selector joins; none where all pickups are joined for good.
    #[serde(default)]
    pub selector: Vec<SelectorPosition>,
    /// How the pickups' own volumes are wired.
    #[serde(default)]
    pub own_volumes: OwnVolumes,
    /// A pot that turns one of the first two pickups down and then the other: each half of it is
    /// wired as a volume with its pickup on the wiper.
    #[serde(default)]
    pub blend: Option<Pot>,
    /// Its push-pull switches, four at most.
    #[serde(default)]
    pub push_pulls: Vec<PushPull>,
    /// The part of their fields that two pickups side by side share, below a half.
    #[serde(default = "apart")]
    pub coupling: Coupling,
    /// A preamplifier behind all that, if it has one.
    #[serde(default)]
    pub preamplifier: Option<Stage>,
}

/// Pickups a hand apart share next to nothing.
const fn apart() -> Coupling {
    Coupling::of(0.0)
}

/// A pickup beside the first.
#[derive(Debug, Clone, PartialEq, serde::Serialize, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub struct OtherPickup {
    /// The pickup.
    pub pickup: Pickup,
    /// What it has of its own.
    pub own: OwnControls,
}

/// What one of several pickups has of its own.
#[derive(Debug, Clone, PartialEq, Default, serde::Serialize, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub struct OwnControls {
    /// What the player calls the pickup.
    pub name: String,
    /// Its own volume, if it has one.
    #[serde(default)]
    pub volume: Option<Pot>,
    /// Its own tone, if it has one.
    #[serde(default)]
    pub tone: Option<Tone>,
    /// Across its own volume, if anything is.
    #[serde(default)]
    pub treble_bleed: Option<TrebleBleed>,
}

/// How the pickups' own volumes are wired.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, serde::Serialize, serde::Deserialize)]
pub enum OwnVolumes {
    /// The pickup at the top of the track, the wipers joined: the usual way. One turned down
    /// to nothing is a short for all that are joined.
    #[default]
    WipersJoined,
    /// The pickup at the wiper, the tops joined: one turned down leaves the others.
    PickupsOnWipers,
}

impl OwnVolumes {
    /// Both.
    pub const ALL: [Self; 2] = [Self::WipersJoined, Self::PickupsOnWipers];

    /// In words.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::WipersJoined => "wipers joined (usual)",
            Self::PickupsOnWipers => "pickups on the wipers",
        }
    }
}

/// What one position of the selector joins.
#[derive(Debug, Clone, PartialEq, serde::Serialize, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SelectorPosition {
    /// What the player calls it.
    pub name: String,
    /// The pickups.
    pub pickups: Vec<JoinedPickup>,
    /// Whether they stand one on another, and not side by side. Then the first one's own controls
    /// are in use, and the others' aren't.
    #[serde(default)]
    pub in_series: bool,
}

/// A pickup as it is joined.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub struct JoinedPickup {
    /// Which, counted from 1.
    pub pickup: u8,
    /// Whether its ends are swapped.
    #[serde(default)]
    pub turned_over: bool,
    /// Whether one of its two coils alone is joined.
    #[serde(default)]
    pub half: bool,
}

impl JoinedPickup {
    /// A pickup as it comes.
    #[must_use]
    pub const fn of(pickup: u8) -> Self {
        Self { pickup, turned_over: false, half: false }
    }
}

/// What a push-pull switch does when it is pulled.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
pub enum PushPull {
    /// One coil alone of a pickup.
    Half {
        /// Which, counted from 1.
        pickup: u8,
    },
    /// A pickup's ends are swapped.
    TurnOver {
        /// Which, counted from 1.
        pickup: u8,
    },
    /// A pickup is joined to what the selector joins.
    Add {
        /// Which, counted from 1.
        pickup: u8,
    },
    /// What the selector joins stands one on another.
    InSeries,
    /// All tone controls are out.
    NoTone,
}

impl PickupWiring {
    /// One pickup under a name, nothing else.
    #[must_use]
    pub fn of(first: &str) -> Self {
        Self {
            first: OwnControls { name: first.to_owned(), ..OwnControls::default() },
            others: Vec::new(),
            selector: Vec::new(),
            own_volumes: OwnVolumes::default(),
            blend: None,
            push_pulls: Vec::new(),
            coupling: apart(),
            preamplifier: None,
        }
    }

    /// How many pickups there are with the first.
    #[must_use]
    pub fn pickups(&self) -> u8 {
        u8::try_from(self.others.len()).unwrap_or(u8::MAX).saturating_add(1).min(MOST_PICKUPS)
    }

    /// What a pickup, counted from 1, has of its own.
    #[must_use]
    pub fn own(&self, pickup: u8) -> Option<&OwnControls> {
        match pickup {
            0 => None,
            1 => Some(&self.first),
            at => self.others.get(usize::from(at) - 2).filter(|_| at <= MOST_PICKUPS).map(|other| &other.own),
        }
    }

    /// The same, to change.
    pub fn own_mut(&mut self, pickup: u8) -> Option<&mut OwnControls> {
        match pickup {
            0 => None,
            1 => Some(&mut self.first),
            at => self.others.get_mut(usize::from(at) - 2).map(|other| &mut other.own),
        }
    }

    /// What a pickup is called.
    #[must_use]
    pub fn name(&self, pickup: u8) -> String {
        let own = self.own(pickup).map(|own| own.name.trim()).filter(|name| !name.is_empty());
        own.map_or_else(|| format!("pickup {pickup}"), str::to_owned)
    }

    /// Its own controls, in the order of the pickups, and the blend.
    #[must_use]
    pub fn controls(&self) -> Vec<Control> {
        let mut found = Vec::new();
        for pickup in 1..=self.pickups() {
            let Some(own) = self.own(pickup) else { continue };
            found.extend(own.volume.map(|_| Control::VolumeOf(pickup)));
            found.extend(own.tone.map(|_| Control::ToneOf(pickup)));
        }
        found.extend(self.blend.filter(|_| !self.others.is_empty()).map(|_| Control::Blend));
        found
    }

    /// How many positions its switch with that key has; none where it has no such switch.
    #[must_use]
    pub fn positions(&self, key: SwitchKey) -> Option<usize> {
        match key {
            SwitchKey::Pickups => Some(self.selector.len().min(Position::MOST)).filter(|many| *many > 1),
            SwitchKey::PushPull(number) => {
                let is_there = (1..=MOST_PUSH_PULLS).contains(&number) && usize::from(number) <= self.push_pulls.len();
                is_there.then_some(2)
            }
            _ => None,
        }
    }

    /// The keys of its switches.
    #[must_use]
    pub fn switch_keys(&self) -> Vec<SwitchKey> {
        let all = [SwitchKey::Pickups].into_iter().chain((1..=MOST_PUSH_PULLS).map(SwitchKey::PushPull));
        all.filter(|key| self.positions(*key).is_some()).collect()
    }

    /// What a position of a switch is called.
    #[must_use]
    pub fn position_name(&self, key: SwitchKey, position: Position) -> Option<String> {
        let at = usize::from(position.0);
        match key {
            SwitchKey::Pickups => {
                let own = self.selector.get(at).map(|own| own.name.trim()).filter(|name| !name.is_empty());
                Some(own.map_or_else(|| format!("position {}", at + 1), str::to_owned))
            }
            SwitchKey::PushPull(number) => match at {
                0 => Some("pushed".to_owned()),
                1 => Some(match self.push_pulls.get(usize::from(number).checked_sub(1)?)? {
                    PushPull::Half { pickup } => format!("one coil of {}", self.name(*pickup)),
                    PushPull::TurnOver { pickup } => format!("{} turned over", self.name(*pickup)),
                    PushPull::Add { pickup } => format!("{} added", self.name(*pickup)),
                    PushPull::InSeries => "in series".to_owned(),
                    PushPull::NoTone => "tone out".to_owned(),
                }),
                _ => None,
            },
            _ => None,
        }
    }

    /// What is joined in a position of the selector with these push-pulls pulled, none of them twice:
    /// a pickup that isn't there is left out.
    #[must_use]
    pub fn joined(&self, position: Position, pulled: &[PushPull]) -> SelectorPosition {
        let all = || SelectorPosition {
            name: String::new(),
            pickups: (1..=self.pickups()).map(JoinedPickup::of).collect(),
            in_series: false,
        };
        let mut joined = self.selector.get(usize::from(position.0)).cloned().unwrap_or_else(all);
        for pull in pulled {
            match *pull {
                PushPull::Add { pickup } => joined.pickups.push(JoinedPickup::of(pickup)),
                PushPull::InSeries => joined.in_series = true,
                PushPull::Half { .. } | PushPull::TurnOver { .. } | PushPull::NoTone => {}
            }
        }
        let mut kept: Vec<JoinedPickup> = Vec::new();
        for mut one in joined.pickups {
            if self.own(one.pickup).is_none() || kept.iter().any(|other| other.pickup == one.pickup) {
                continue;
            }
            for pull in pulled {
                match *pull {
                    PushPull::Half { pickup } if pickup == one.pickup => one.half = true,
                    PushPull::TurnOver { pickup } if pickup == one.pickup => one.turned_over ^= true,
                    _ => {}
                }
            }
            kept.push(one);
        }
        SelectorPosition { pickups: kept, ..joined }
    }
}

impl Guitar {
    /// One pickup and no controls.
    #[must_use]
    pub const fn of(instrument: super::Instrument, pickup: Pickup) -> Self {
        Self {
            instrument,
            pickup,
            volume: None,
            tone: None,
            treble_bleed: None,
            peak: None,
            scale: None,
            pickup_wiring: None,
        }
    }

    /// A pickup, counted from 1.
    #[must_use]
    pub fn nth_pickup(&self, number: u8) -> Option<&Pickup> {
        match number {
            0 => None,
            1 => Some(&self.pickup),
            at => Some(&self.pickup_wiring.as_ref()?.others.get(usize::from(at) - 2)?.pickup),
        }
    }
}

impl Device {
    /// What joins its pickups, if it has several.
    #[must_use]
    pub fn pickup_wiring(&self) -> Option<&PickupWiring> {
        match &self.kind {
            Kind::Guitar(guitar) => guitar.pickup_wiring.as_deref(),
            _ => None,
        }
    }

    /// What of its pickups is joined in a state, and which push-pulls are pulled; none where it
    /// hasn't several.
    #[must_use]
    pub fn joined_pickups(&self, state: &State) -> Option<(SelectorPosition, Vec<PushPull>)> {
        let wiring = self.pickup_wiring()?;
        let stands = |key| self.switch(key).map(|switch| state.position(&switch)).unwrap_or_default();
        let is_pulled = |number: u8| stands(SwitchKey::PushPull(number)) == Position::ON;
        let pulled = wiring.push_pulls.iter().zip(1..=MOST_PUSH_PULLS).filter(|(_, number)| is_pulled(*number));
        let pulled: Vec<PushPull> = pulled.map(|(push_pull, _)| *push_pull).collect();
        Some((wiring.joined(stands(SwitchKey::Pickups), &pulled), pulled))
    }
}
