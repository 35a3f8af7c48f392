//! The numbers with which a guitar's further pickups and their controls begin.

use super::{Label, Source};
use crate::rig::{
    Guitar, Input, OtherPickup, OwnControls, PickupPlace, PickupWiring, Pot, Stage, Taper, Tone, ToneOrder, TrebleBleed,
};
use crate::units::{Coupling, Decibels, Farads, Metres, Ohms, Turn};

use super::usual::{BLEED, PARALLEL_BLEED, SERIES_BLEED};

/// A volume or a tone of a pickup's own. [practice, S: pots]
pub const POT: Pot = Pot::of(Ohms::of(250e3), Taper::Exponential { half: Turn::of(0.15) });
/// A tone control of a pickup's own. [practice, S: pots]
pub const TONE: Tone = Tone { pot: POT, capacitor: Farads::of(22e-9), order: ToneOrder::OnInput };
/// A blend between two pickups. [practice, S: pots]
pub const BLEND: Pot = Pot::of(Ohms::of(250e3), Taper::Linear);
/// A preamplifier on board. [memory, S: on-board]
pub const PREAMPLIFIER: Stage =
    Stage::of(Input::of(Ohms::of(1e6), Farads::of(20e-12)), Ohms::of(1e3), Decibels::of(0.0));
/// How far apart a humbucker's coils are. [memory, S: pickup-place]
pub const COILS_APART: Metres = Metres::of(0.018);
/// From the bridge to each pickup, counted from the bridge on. [memory, S: pickup-place]
const FROM_BRIDGE: [f64; 4] = [0.045, 0.16, 0.1, 0.13];

/// Where a pickup usually stands, counted from 1.
#[must_use]
pub fn place(pickup: u8) -> PickupPlace {
    let at = usize::from(pickup).clamp(1, FROM_BRIDGE.len()) - 1;
    PickupPlace { from_bridge: Metres::of(FROM_BRIDGE[at]), width: Metres::of(0.01), coils_apart: None }
}

/// A further pickup: one like the first.
#[must_use]
pub fn other(guitar: &Guitar) -> OtherPickup {
    let number = guitar.pickup_wiring.as_deref().map_or(1, PickupWiring::pickups).saturating_add(1);
    let mut pickup = guitar.pickup;
    pickup.place = pickup.place.map(|own| PickupPlace { coils_apart: own.coils_apart, ..place(number) });
    OtherPickup { pickup, own: OwnControls { name: format!("pickup {number}"), ..OwnControls::default() } }
}

/// Sets what a guitar has besides to what that begins with.
pub(super) fn begin(guitar: &mut Guitar) {
    guitar.scale = guitar.scale.map(|_| guitar.instrument.usual_scale());
    let set = |at: &mut Option<PickupPlace>, number: u8| {
        *at = at.map(|own| PickupPlace { coils_apart: own.coils_apart.map(|_| COILS_APART), ..place(number) });
    };
    set(&mut guitar.pickup.place, 1);
    let like = guitar.pickup;
    let Some(wiring) = &mut guitar.pickup_wiring else { return };
    begin_own(&mut wiring.first);
    for (number, other) in (2..).zip(&mut wiring.others) {
        let place = other.pickup.place;
        other.pickup = like;
        other.pickup.place = place;
        set(&mut other.pickup.place, number);
        begin_own(&mut other.own);
    }
    wiring.blend = wiring.blend.map(|_| BLEND);
    wiring.coupling = Coupling::of(0.0);
    wiring.preamplifier = wiring.preamplifier.map(|_| PREAMPLIFIER);
}

fn begin_own(own: &mut OwnControls) {
    own.volume = own.volume.map(|_| POT);
    own.tone = own.tone.map(|tone| Tone { order: tone.order, ..TONE });
    own.treble_bleed = own.treble_bleed.map(|bleed| match bleed {
        TrebleBleed::Capacitor { .. } => BLEED,
        TrebleBleed::Parallel { .. } => PARALLEL_BLEED,
        TrebleBleed::Series { .. } => SERIES_BLEED,
    });
}

/// Where the number at a path comes from, if it is one of those.
pub(super) fn source(path: &str) -> Option<Source> {
    let ends = |end: &str| path.ends_with(end);
    let (label, note) = match path {
        "scale" => (Label::Memory, "most guitars 628-648 mm, most basses 864 mm"),
        _ if ends("place.from_bridge") => (Label::Memory, "bridge pickups 30-50 mm, neck pickups 150-170 mm"),
        _ if ends("place.width") => (Label::Memory, "a coil hears about 10 mm of a string"),
        _ if ends("place.coils_apart") => (Label::Memory, "the coils of a humbucker about 18 mm apart"),
        _ if !path.starts_with("pickup_wiring.") => return None,
        "pickup_wiring.coupling" => (Label::Memory, "pickups a hand apart share next to nothing of their fields"),
        _ if path.starts_with("pickup_wiring.preamplifier.") => (Label::Memory, "on-board electronics 0.1-10 kΩ"),
        _ if path.contains(".treble_bleed.") => (Label::Page, "articles on wiring"),
        _ if ends(".tone.capacitor") => (Label::Practice, "22 nF usual; 47, 10-15 nF"),
        _ if ends(".half") => (Label::Practice, "audio taper, 10 or 15 % at half turn"),
        _ if path.contains(".volume.") || path.contains(".tone.") || path.contains(".blend.") => {
            (Label::Practice, "250 kΩ with single coils, 500 kΩ with humbuckers, ±20 %")
        }
        _ => (Label::Invented, "like the first pickup until you set it"),
    };
    Some(Source { label, note: note.to_owned() })
}
