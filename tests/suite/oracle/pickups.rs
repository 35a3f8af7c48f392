//! A guitar of several pickups, drawn part by part: each winding as an EMF, its wire and its coil in a
//! row, whatever its ends are joined to.

use rigwright_core::rig::{
    Control, Device, Guitar, OwnControls, OwnVolumes, Pickup, PickupWiring, Position, Pot, PushPull, Stage, State,
    SwitchKey, Taper, Tone, ToneOrder, TrebleBleed,
};

use super::netlist::{Follows, GROUND, Netlist};
use super::stamps::{part_below, stands, treble_bleed};

/// One of the pickups that are joined.
struct Drawn {
    number: u8,
    pickup: Pickup,
    half: bool,
    turned_over: bool,
}

/// All of it in a state; `gain_db` none where nobody plays it.
pub fn guitar(net: &mut Netlist, device: &Device, guitar: &Guitar, state: &State, out: usize, gain_db: Option<f64>) {
    let wiring = guitar.pickup_wiring.as_ref().expect("several pickups");
    let turn = |control| state.turn(device.id, control).get();
    let pulled: Vec<PushPull> = (1..=4)
        .zip(&wiring.push_pulls)
        .filter(|(number, _)| stands(device, state, SwitchKey::PushPull(*number)) == Position(1))
        .map(|(_, pull)| *pull)
        .collect();
    let strings = net.node();
    net.ideal_source(strings, gain_db);
    let at = usize::from(stands(device, state, SwitchKey::Pickups).0);
    let (drawn, in_series) = joined(guitar, wiring, at, &pulled);
    let tone_out = pulled.contains(&PushPull::NoTone);
    let bus = net.node();
    let mut below = GROUND;
    let mut windings: Vec<(u8, Option<usize>, f64, bool)> = Vec::new();
    for (place, one) in drawn.iter().enumerate() {
        let top = net.node();
        windings.push((one.number, wind(net, one, strings, below, top), one.pickup.inductance.get(), one.half));
        let last = place + 1 == drawn.len();
        match in_series {
            true if !last => below = top,
            true => own(net, wiring, drawn[0].number, top, bus, tone_out, &turn),
            false => own(net, wiring, one.number, top, bus, tone_out, &turn),
        }
    }
    for (at, (number, winding, henries, half)) in windings.iter().enumerate() {
        for (other, second, more, other_half) in &windings[..at] {
            if number.abs_diff(*other) == 1
                && let (Some(winding), Some(second)) = (winding, second)
            {
                let part = |half: bool| if half { 0.5 } else { 1.0 };
                let both = henries * part(*half) * more * part(*other_half);
                net.mutual.push((*winding, *second, wiring.coupling.get() * both.sqrt()));
            }
        }
    }
    let own_tone = guitar.tone.filter(|_| !tone_out);
    let jack = if wiring.preamplifier.is_some() { net.node() } else { out };
    let turns = (turn(Control::Volume), turn(Control::Tone));
    volume_and_tone(net, guitar.volume, guitar.treble_bleed, own_tone, bus, jack, turns);
    if let Some(Stage { input, output, output_capacitance, level, .. }) = wiring.preamplifier {
        net.load(jack, input);
        let played = gain_db.map(|db| db + level.get());
        net.source(out, output.get(), vec![Follows::at_once(Some(jack), played)]);
        net.capacitor(out, GROUND, output_capacitance.get());
    }
}

/// What is joined, no pickup twice, and whether in series.
fn joined(guitar: &Guitar, wiring: &PickupWiring, at: usize, pulled: &[PushPull]) -> (Vec<Drawn>, bool) {
    let pickups: Vec<Pickup> =
        [guitar.pickup].into_iter().chain(wiring.others.iter().map(|other| other.pickup)).collect();
    let mut numbers: Vec<(u8, bool, bool)> = match wiring.selector.get(at) {
        Some(position) => position.pickups.iter().map(|one| (one.pickup, one.half, one.turned_over)).collect(),
        None => (1..=pickups.len() as u8).map(|number| (number, false, false)).collect(),
    };
    for pull in pulled {
        if let PushPull::Add { pickup } = pull {
            numbers.push((*pickup, false, false));
        }
    }
    let mut drawn: Vec<Drawn> = Vec::new();
    for (number, half, turned_over) in numbers {
        let Some(pickup) = usize::from(number).checked_sub(1).and_then(|at| pickups.get(at)) else { continue };
        if drawn.iter().any(|other| other.number == number) {
            continue;
        }
        let half = half || pulled.contains(&PushPull::Half { pickup: number });
        let turns = pulled.iter().filter(|pull| **pull == PushPull::TurnOver { pickup: number }).count();
        drawn.push(Drawn { number, pickup: *pickup, half, turned_over: turned_over != (turns % 2 == 1) });
    }
    let in_series =
        wiring.selector.get(at).is_some_and(|position| position.in_series) || pulled.contains(&PushPull::InSeries);
    (drawn, in_series)
}

/// A winding from `below` to `top`: half of it is one of two coils in series.
fn wind(net: &mut Netlist, one: &Drawn, strings: usize, below: usize, top: usize) -> Option<usize> {
    let share = if one.half { 0.5 } else { 1.0 };
    let (cold, hot) = if one.turned_over { (top, below) } else { (below, top) };
    let (after_emf, after_wire) = (net.node(), net.node());
    net.emf(cold, after_emf, strings, share);
    net.resistor(after_emf, after_wire, one.pickup.resistance.get() * share);
    let henries = one.pickup.inductance.get() * share;
    let winding = match henries {
        0.0 => {
            net.join(after_wire, hot);
            None
        }
        henries => Some(net.winding(after_wire, hot, henries)),
    };
    if let Some(loss) = one.pickup.eddy_loss {
        net.resistor(after_wire, hot, loss.get() * share);
    }
    net.capacitor(below, top, one.pickup.capacitance.get() / share);
    winding
}

fn own(
    net: &mut Netlist,
    wiring: &PickupWiring,
    number: u8,
    top: usize,
    bus: usize,
    tone_out: bool,
    turn: &impl Fn(Control) -> f64,
) {
    let OwnControls { volume, tone, treble_bleed: bleed, .. } = match number {
        1 => wiring.first.clone(),
        number => wiring.others[usize::from(number) - 2].own.clone(),
    };
    let tone = tone.filter(|_| !tone_out);
    let turns = (turn(Control::VolumeOf(number)), turn(Control::ToneOf(number)));
    let after = net.node();
    match wiring.own_volumes {
        OwnVolumes::WipersJoined => volume_and_tone(net, volume, bleed, tone, top, after, turns),
        OwnVolumes::PickupsOnWipers => {
            // The pickup is on the wiper: the ends of the track are 0 V and what all share.
            match volume {
                None => net.join(top, after),
                Some(pot) => {
                    track(net, pot, turns.0, [after, top]);
                    treble_bleed(net, bleed, top, after);
                }
            }
            tone_branch(net, tone, turns.1, top, after);
        }
    }
    match wiring.blend.filter(|_| !wiring.others.is_empty() && number <= 2) {
        None => net.join(after, bus),
        Some(pot) => {
            let x = turn(Control::Blend);
            let up = if number == 1 { (2.0 - 2.0 * x).min(1.0) } else { (2.0 * x).min(1.0) };
            track(net, Pot { taper: Taper::Linear, ..pot }, up, [bus, after]);
        }
    }
}

/// A pot's track, from its top over its wiper to 0 V.
fn track(net: &mut Netlist, pot: Pot, turn: f64, [top, wiper]: [usize; 2]) {
    let part = part_below(pot.taper, turn);
    net.resistor(top, wiper, pot.resistance.get() * (1.0 - part));
    if !(pot.no_load && turn == 1.0) {
        net.resistor(wiper, GROUND, pot.resistance.get() * part);
    }
}

fn tone_branch(net: &mut Netlist, tone: Option<Tone>, turn: f64, input: usize, wiper: usize) {
    let Some(tone) = tone.filter(|tone| !(tone.pot.no_load && turn == 1.0)) else { return };
    let at = match tone.order {
        ToneOrder::OnInput => input,
        ToneOrder::OnWiper => wiper,
    };
    let behind = net.node();
    net.resistor(at, behind, tone.pot.resistance.get() * part_below(tone.pot.taper, turn));
    net.capacitor(behind, GROUND, tone.capacitor.get());
}

fn volume_and_tone(
    net: &mut Netlist,
    volume: Option<Pot>,
    bleed: Option<TrebleBleed>,
    tone: Option<Tone>,
    input: usize,
    wiper: usize,
    turns: (f64, f64),
) {
    tone_branch(net, tone, turns.1, input, wiper);
    match volume {
        None => net.join(input, wiper),
        Some(pot) => {
            track(net, pot, turns.0, [input, wiper]);
            treble_bleed(net, bleed, input, wiper);
        }
    }
}
