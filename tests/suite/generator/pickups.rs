//! Guitars of several pickups: any selector, own controls or none, push-pulls, a blend, a preamplifier.

use rigwright_core::rig::{
    Guitar, JoinedPickup, Kind, Knob, OtherPickup, OwnControls, OwnVolumes, PickupWiring, Position, Pot, PushPull,
    SelectorPosition, Stage, Tone, ToneOrder, TrebleBleed,
};
use rigwright_core::units::{Coupling, Farads, Ohms, Turn};

use super::{Case, Dice, parts};

/// The same rig in which every passive instrument has several pickups, its controls turned.
pub fn with_pickups(mut case: Case, seed: u64) -> Case {
    let mut dice = Dice::new(seed ^ 0x91c2);
    for device in &mut case.rig.devices {
        let Kind::Guitar(guitar) = &mut device.kind else { continue };
        joined(guitar, &mut dice);
        let switches = device.all_switches().map(|switch| (switch.id, Position(dice.below(switch.positions) as u8)));
        case.state.positions.extend(switches.collect::<Vec<_>>());
        for control in device.kind.controls() {
            let to = dice.pick(&[0.0, 0.3, 0.5, 0.5, 0.9, 1.0, 1.0]);
            if dice.chance(0.7) {
                case.state.turned.insert(Knob { device: device.id, control }, Turn::of(to));
            }
        }
    }
    case
}

/// Gives a guitar further pickups and all that joins them.
pub fn joined(guitar: &mut Guitar, dice: &mut Dice) {
    let mut wiring = PickupWiring::of("one");
    let others = dice.below(4);
    wiring.others =
        (0..others).map(|_| OtherPickup { pickup: parts::pickup(dice), own: OwnControls::default() }).collect();
    let has_own = dice.chance(0.6);
    let pickups = others as u8 + 1;
    for pickup in 1..=pickups {
        let own = own(dice, pickup, has_own);
        wiring.own_mut(pickup).into_iter().for_each(|at| *at = own.clone());
    }
    let positions = dice.below(5);
    wiring.selector = (0..positions).map(|at| position(dice, at, pickups)).collect();
    wiring.own_volumes = dice.pick(&OwnVolumes::ALL);
    wiring.blend = dice.chance(0.3).then(|| parts::pot(dice));
    wiring.push_pulls = (0..dice.below(4)).map(|_| push_pull(dice, pickups)).collect();
    wiring.coupling = Coupling::of(dice.pick(&[0.0, 0.0, 0.1, 0.3]));
    wiring.preamplifier = dice.chance(0.15).then(|| Stage { ..parts::stage(dice) });
    if has_own && dice.chance(0.5) {
        (guitar.volume, guitar.tone) = (None, None);
    }
    cut(&mut guitar.volume, dice);
    guitar.pickup_wiring = Some(Box::new(wiring));
}

fn cut(pot: &mut Option<Pot>, dice: &mut Dice) {
    pot.iter_mut().for_each(|pot| pot.no_load = dice.chance(0.3));
}

fn own(dice: &mut Dice, pickup: u8, has_own: bool) -> OwnControls {
    let mut own = OwnControls { name: format!("pickup {pickup}"), ..OwnControls::default() };
    if has_own {
        own.volume = dice.chance(0.8).then(|| parts::pot(dice));
        cut(&mut own.volume, dice);
        own.tone = dice.chance(0.5).then(|| Tone {
            pot: Pot { no_load: dice.chance(0.3), ..parts::pot(dice) },
            capacitor: Farads::of(dice.log(1e-9, 100e-9)),
            order: dice.pick(&[ToneOrder::OnInput, ToneOrder::OnWiper]),
        });
        own.treble_bleed = dice.chance(0.3).then(|| TrebleBleed::Series {
            capacitance: Farads::of(dice.log(100e-12, 3e-9)),
            resistance: Ohms::of(dice.log(10e3, 300e3)),
        });
    }
    own
}

/// One position in eight joins nothing, or a pickup that isn't there.
fn position(dice: &mut Dice, at: usize, pickups: u8) -> SelectorPosition {
    let many = dice.pick(&[1, 1, 2, 2, 2, 3, 4, 0]);
    let joined = |dice: &mut Dice| {
        let one_too_many = usize::from(dice.chance(0.1));
        JoinedPickup {
            pickup: 1 + dice.below(usize::from(pickups) + one_too_many) as u8,
            turned_over: dice.chance(0.2),
            half: dice.chance(0.2),
        }
    };
    SelectorPosition {
        name: format!("position {at}"),
        pickups: (0..many).map(|_| joined(dice)).collect(),
        in_series: dice.chance(0.3),
    }
}

fn push_pull(dice: &mut Dice, pickups: u8) -> PushPull {
    let pickup = 1 + dice.below(usize::from(pickups)) as u8;
    dice.pick(&[
        PushPull::Half { pickup },
        PushPull::TurnOver { pickup },
        PushPull::Add { pickup },
        PushPull::InSeries,
        PushPull::NoTone,
    ])
}
