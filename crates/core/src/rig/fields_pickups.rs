//! The numbers of pickups, and of what joins several of them.

use super::fields::{Visitor, pot, stage, treble_bleed};
use super::{Guitar, MOST_PICKUPS, OwnControls, Pickup, PickupWiring};

/// What the numbers of one of several pickups are called.
struct Labels {
    pickup: [&'static str; 4],
    place: [&'static str; 3],
    volume: [&'static str; 2],
    tone: [&'static str; 3],
    bleed: [&'static str; 2],
}

macro_rules! labels {
    ($of:literal) => {
        Labels {
            pickup: [
                concat!($of, "resistance"),
                concat!($of, "inductance"),
                concat!($of, "winding capacitance"),
                concat!($of, "eddy loss, across the coil"),
            ],
            place: [
                concat!($of, "from the bridge"),
                concat!($of, "width of a coil along the string"),
                concat!($of, "its two coils apart"),
            ],
            volume: [concat!($of, "volume pot"), concat!($of, "its volume’s taper at half turn")],
            tone: [
                concat!($of, "tone pot"),
                concat!($of, "its tone’s taper at half turn"),
                concat!($of, "tone capacitor"),
            ],
            bleed: [concat!($of, "treble bleed capacitor"), concat!($of, "treble bleed resistor")],
        }
    };
}

const OF_SEVERAL: [Labels; MOST_PICKUPS as usize] =
    [labels!("pickup 1, "), labels!("pickup 2, "), labels!("pickup 3, "), labels!("pickup 4, ")];
const OF_ONE: [&str; 4] =
    ["pickup resistance", "pickup inductance", "winding capacitance", "eddy loss, across the coil"];
const PLACE_OF_ONE: [&str; 3] =
    ["pickup from the bridge", "width of a coil along the string", "the pickup’s two coils apart"];

/// A guitar's first pickup, which may be its only one.
pub fn first_pickup(guitar: &mut Guitar, see: &mut Visitor<'_>) {
    let (labels, place) = match guitar.pickup_wiring {
        Some(_) => (OF_SEVERAL[0].pickup, OF_SEVERAL[0].place),
        None => (OF_ONE, PLACE_OF_ONE),
    };
    pickup("pickup", (labels, place), &mut guitar.pickup, see);
}

/// What joins a guitar's pickups, and the others.
pub fn wiring(wiring: &mut PickupWiring, see: &mut Visitor<'_>) {
    own("pickup_wiring.first", &OF_SEVERAL[0], &mut wiring.first, see);
    for (at, (other, labels)) in wiring.others.iter_mut().zip(&OF_SEVERAL[1..]).enumerate() {
        let path = format!("pickup_wiring.others.{}", at + 1);
        pickup(&format!("{path}.pickup"), (labels.pickup, labels.place), &mut other.pickup, see);
        own(&format!("{path}.own"), labels, &mut other.own, see);
    }
    if let Some(blend) = &mut wiring.blend {
        see("pickup_wiring.blend.resistance", "blend pot", &mut blend.resistance);
    }
    see("pickup_wiring.coupling", "coupling of pickups side by side", &mut wiring.coupling);
    if let Some(preamplifier) = &mut wiring.preamplifier {
        let words = [
            "preamplifier’s input resistance",
            "preamplifier’s input capacitance",
            "preamplifier’s coupling capacitor",
            "preamplifier’s output resistance",
            "preamplifier’s output capacitance",
            "preamplifier’s level",
        ];
        stage("pickup_wiring.preamplifier", words, preamplifier, see);
    }
}

fn pickup(
    at: &str,
    (labels, place_labels): ([&'static str; 4], [&'static str; 3]),
    pickup: &mut Pickup,
    see: &mut Visitor<'_>,
) {
    see(&format!("{at}.resistance"), labels[0], &mut pickup.resistance);
    see(&format!("{at}.inductance"), labels[1], &mut pickup.inductance);
    see(&format!("{at}.capacitance"), labels[2], &mut pickup.capacitance);
    if let Some(eddy) = &mut pickup.eddy_loss {
        see(&format!("{at}.eddy_loss"), labels[3], eddy);
    }
    if let Some(place) = &mut pickup.place {
        see(&format!("{at}.place.from_bridge"), place_labels[0], &mut place.from_bridge);
        see(&format!("{at}.place.width"), place_labels[1], &mut place.width);
        if let Some(apart) = &mut place.coils_apart {
            see(&format!("{at}.place.coils_apart"), place_labels[2], apart);
        }
    }
}

fn own(at: &str, labels: &Labels, own: &mut OwnControls, see: &mut Visitor<'_>) {
    if let Some(volume) = &mut own.volume {
        pot(&format!("{at}.volume"), labels.volume, volume, see);
    }
    if let Some(tone) = &mut own.tone {
        pot(&format!("{at}.tone.pot"), [labels.tone[0], labels.tone[1]], &mut tone.pot, see);
        see(&format!("{at}.tone.capacitor"), labels.tone[2], &mut tone.capacitor);
    }
    treble_bleed(&format!("{at}.treble_bleed"), labels.bleed, &mut own.treble_bleed, see);
}
