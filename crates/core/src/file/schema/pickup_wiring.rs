//! What joins an instrument's pickups.

use super::device::{Pickup, Pot, Stage, Tone, TrebleBleed};
use super::number::Coupling;
use super::power::is_no;
use super::state::PickupNumber;
use super::text::Text;
use super::tie::{Stored, stored_enums, stored_structs};
use crate::{rig, units};

stored_enums! {
    /// How the pickups' own volumes are wired.
    enum OwnVolumes {
        WipersJoined,
        PickupsOnWipers,
    }

    /// What a push-pull switch does.
    enum PushPull {
        Half { pickup: PickupNumber },
        TurnOver { pickup: PickupNumber },
        Add { pickup: PickupNumber },
        InSeries,
        NoTone,
    }
}

stored_structs! {
    /// What an instrument with several pickups has beside the first of them.
    struct PickupWiring {
        first: OwnControls,
        others: Vec<OtherPickup>,
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        selector: Vec<SelectorPosition>,
        #[serde(default = "wipers_joined", skip_serializing_if = "is_wipers_joined")]
        own_volumes: OwnVolumes,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        blend: Option<Pot>,
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        push_pulls: Vec<PushPull>,
        #[serde(default = "apart", skip_serializing_if = "is_apart")]
        coupling: Coupling,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        preamplifier: Option<Stage>,
    }

    /// A pickup beside the first.
    struct OtherPickup {
        pickup: Pickup,
        own: OwnControls,
    }

    /// What one of several pickups has of its own.
    struct OwnControls {
        #[serde(default)]
        name: Text,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        volume: Option<Pot>,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        tone: Option<Tone>,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        treble_bleed: Option<TrebleBleed>,
    }

    /// What one position of the selector joins.
    struct SelectorPosition {
        #[serde(default)]
        name: Text,
        pickups: Vec<JoinedPickup>,
        #[serde(default, skip_serializing_if = "is_no")]
        in_series: bool,
    }

    /// A pickup as it is joined.
    struct JoinedPickup {
        pickup: PickupNumber,
        #[serde(default, skip_serializing_if = "is_no")]
        turned_over: bool,
        #[serde(default, skip_serializing_if = "is_no")]
        half: bool,
    }
}

fn apart() -> Coupling {
    Coupling::store(&units::Coupling::of(0.0))
}

fn is_apart(coupling: &Coupling) -> bool {
    *coupling == apart()
}

fn wipers_joined() -> OwnVolumes {
    OwnVolumes::WipersJoined
}

fn is_wipers_joined(way: &OwnVolumes) -> bool {
    *way == OwnVolumes::WipersJoined
}

impl Stored<Box<rig::PickupWiring>> for PickupWiring {
    fn store(from: &Box<rig::PickupWiring>) -> Self {
        <Self as Stored<rig::PickupWiring>>::store(from)
    }

    fn restore(self) -> Box<rig::PickupWiring> {
        Box::new(self.restore())
    }
}
