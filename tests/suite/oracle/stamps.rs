//! What each kind of device is electrically, written from circuits [S: nodal] and not from the program.

use rigwright_core::rig::{
    Bypass, Control, Device, DirectBox, EffectsLoop, Guitar, Jack, Kind, LineLevel, Mixer, MultiEffects, Patch, Pedal,
    Polarity, Position, Selector, Splitter, Stage, State, SwitchKey, SwitchRef, Switcher, Taper, ToneOrder, Treadle,
    TrebleBleed, Tuner, WithoutPower,
};
use rigwright_core::units::{Decibels, Ohms};

use super::netlist::{Follows, GROUND, Netlist, of};
use super::{pickups, stereo};

/// A device in a state; without power its amplifying stages give nothing, its
/// resistors are there still, and a mechanical switch joins as it does with power.
pub fn device(net: &mut Netlist, device: &Device, state: &State, fed: bool) {
    let jacks: Vec<usize> = device.kind.jacks().iter().map(|jack| net.jack(of(device, *jack))).collect();
    let turn = |control| state.turn(device.id, control).get();
    let unchanged = fed.then_some(0.0);
    let is_played = state.instrument.is_none_or(|id| id == device.id);
    // A tuner in the way is muted, any other unit bypassed; of two positions the second is on.
    let key = if matches!(device.kind, Kind::Tuner(_)) { SwitchKey::Mute } else { SwitchKey::Bypass };
    let is_on = device.stays_on || stands(device, state, key) == Position(1);
    if let (Some(stereo), Some(inside)) = (device.kind.stereo(), device.kind.pedal()) {
        let mutes = matches!(device.kind, Kind::Tuner(Tuner::Through { mutes: true, .. }));
        return stereo::pedal(net, device, inside, stereo, (is_on, !mutes), fed);
    }
    match &device.kind {
        Kind::Guitar(inside) if inside.pickup_wiring.is_some() => {
            pickups::guitar(net, device, inside, state, jacks[0], is_played.then_some(0.0));
        }
        Kind::Guitar(inside) => {
            guitar(net, inside, jacks[0], (turn(Control::Volume), turn(Control::Tone)), is_played.then_some(0.0));
        }
        Kind::Active(active) => {
            let (gain, ohms) = (decibels(active.gain.get()).filter(|_| fed && is_played), active.output.get());
            match active.piezo {
                None => net.source(jacks[0], ohms, vec![Follows::at_once(None, gain)]),
                Some(piezo) => net.piezo(jacks[0], piezo.get(), ohms, gain),
            }
        }
        Kind::Pedal(inside) | Kind::Treadle(Treadle::Wah { pedal: inside }) => match fed {
            true => pedal(net, inside, is_on, false, &jacks),
            false => pedal_without_power(net, inside, &jacks),
        },
        Kind::Tuner(Tuner::Through { pedal: inside, mutes }) => match fed {
            true => pedal(net, inside, is_on, *mutes, &jacks),
            false => pedal_without_power(net, inside, &jacks),
        },
        Kind::Tuner(Tuner::Tap { input }) => net.load(jacks[0], *input),
        Kind::Buffer(buffer) => {
            net.capacitor(jacks[0], GROUND, buffer.wiring.get());
            isolate(net, &buffer.stage, unchanged, &jacks);
        }
        Kind::Wireless(set) => isolate(net, &set.stage, unchanged, &jacks),
        Kind::Treadle(Treadle::PassiveVolume { pot, wiring }) => {
            net.capacitor(jacks[0], GROUND, wiring.get());
            let part = part_below(pot.taper, turn(Control::Treadle));
            net.resistor(jacks[0], jacks[1], pot.resistance.get() * (1.0 - part));
            net.resistor(jacks[1], GROUND, pot.resistance.get() * part);
        }
        Kind::Treadle(Treadle::BufferedVolume { stage, taper, wiring }) => {
            net.capacitor(jacks[0], GROUND, wiring.get());
            isolate(net, stage, decibels(part_below(*taper, turn(Control::Treadle))).filter(|_| fed), &jacks);
        }
        Kind::Splitter(Splitter::Passive { wiring }) => {
            net.capacitor(jacks[0], GROUND, wiring.get());
            net.join(jacks[0], jacks[1]);
            net.join(jacks[0], jacks[2]);
        }
        Kind::Splitter(Splitter::Buffered { stage, wiring }) => {
            net.capacitor(jacks[0], GROUND, wiring.get());
            isolate(net, stage, unchanged, &jacks);
        }
        Kind::DirectBox(inside) => {
            net.join(jacks[0], jacks[1]);
            match inside {
                DirectBox::Active { input, .. } => net.load(jacks[0], *input),
                DirectBox::Transformer { turns, load, .. } => {
                    net.resistor(jacks[0], GROUND, turns.get().powi(2) * load.get());
                }
            }
        }
        // Two windings of one number of turns: series, shunt, series [S: transformer].
        Kind::Transformer(inside) => {
            let middle = net.node();
            net.resistor(jacks[0], middle, inside.winding.get());
            net.coil(middle, GROUND, inside.magnetising.get());
            net.capacitor(middle, GROUND, inside.capacitance.get());
            net.resistor(middle, jacks[1], inside.winding.get());
        }
        Kind::Mixer(Mixer::Buffered { first, second, output, wiring }) => {
            let follows = [(first, jacks[0]), (second, jacks[1])].map(|(from, jack)| {
                net.capacitor(jack, GROUND, wiring.get());
                net.load(jack, from.input);
                let sign = if from.polarity == Polarity::Same { 1.0 } else { -1.0 };
                Follows {
                    node: Some(jack),
                    gain_db: unchanged.map(|db| db + from.level.get()),
                    sign,
                    seconds: 0.0,
                    coin: None,
                }
            });
            net.source(jacks[2], output.get(), follows.into());
        }
        Kind::Mixer(Mixer::Passive { first, second, wiring }) => {
            net.is_joined = true;
            for (jack, resistor) in [(jacks[0], first), (jacks[1], second)] {
                net.capacitor(jack, GROUND, wiring.get());
                net.resistor(jack, jacks[2], resistor.get());
            }
        }
        Kind::Switcher(inside) => {
            let is_in = |number: u8| match inside.by_presets && !inside.presets.is_empty() {
                true => {
                    let at = stands(device, state, SwitchKey::Preset).0;
                    let at = if usize::from(at) < inside.presets.len() { at } else { 0 };
                    inside.presets[usize::from(at)].loops.contains(&number)
                }
                false => stands(device, state, SwitchKey::Loop(number)) == Position(1),
            };
            switcher(net, device, inside, &is_in, fed);
        }
        // No signal goes through it.
        Kind::Supply(_) => {}
        Kind::Interface(interface) => jacks.iter().for_each(|jack| net.load(*jack, interface.input)),
        Kind::MultiEffects(unit) => multi_effects(net, device, unit, state, fed),
        Kind::Selector(inside) => {
            let Position(at) = stands(device, state, SwitchKey::Selector);
            // The contacts, whatever the power does.
            let (first, second) = (at == 0 || at == 2, at == 1 || at == 2);
            match inside {
                Selector::Outputs { buffer, wiring, .. } => {
                    net.capacitor(jacks[0], GROUND, wiring.get());
                    let ways = [(first, jacks[1]), (second, jacks[2])].into_iter().filter(|(joined, _)| *joined);
                    let ways: Vec<usize> = ways.map(|(_, jack)| jack).collect();
                    match buffer {
                        Some(stage) => {
                            let all: Vec<usize> = std::iter::once(jacks[0]).chain(ways).collect();
                            isolate(net, stage, unchanged, &all);
                        }
                        None => ways.into_iter().for_each(|jack| net.join(jacks[0], jack)),
                    }
                }
                Selector::Inputs { buffer, wiring } => {
                    let behind = net.node();
                    for (joined, jack) in [(first, jacks[0]), (second, jacks[1])] {
                        net.capacitor(jack, GROUND, wiring.get());
                        if joined {
                            net.join(jack, behind);
                        }
                    }
                    match buffer {
                        Some(stage) => isolate(net, stage, unchanged, &[behind, jacks[2]]),
                        None => net.join(behind, jacks[2]),
                    }
                }
            }
        }
        Kind::Amp(amp) => {
            net.load(jacks[0], amp.input);
            if let Some(grid) = amp.grid {
                let behind = net.node();
                net.resistor(jacks[0], behind, grid.stopper.get());
                let miller = grid.grid_cathode.get() + grid.grid_plate.get() * (1.0 + grid.gain.get());
                net.capacitor(behind, GROUND, miller);
            }
            if let Some(way) = amp.effects_loop {
                net.load(jacks[2], way.back);
                let mixes = net.is_plugged(of(device, Jack::Return(1))) && (way.dry.is_some() || way.has_switch);
                let is_in = !mixes || effects_loop_is_in(device, &way, &[], state);
                if is_in {
                    net.source(jacks[1], way.send.get(), vec![Follows::at_once(None, unchanged)]);
                }
                if mixes {
                    amp_inside(net, device, &way, is_in, fed);
                }
            }
        }
    }
}

/// Where a switch stands: as the state has it, or else as at rest.
pub fn stands(device: &Device, state: &State, key: SwitchKey) -> Position {
    let rests = device.switches.get(&key).map_or(Position(0), |habit| habit.default);
    state.positions.get(&SwitchRef { device: device.id, key }).copied().unwrap_or(rests)
}

/// Which of a unit's patches is called, if it has any: the first where none of that number is.
fn called<'a>(device: &Device, patches: &'a [Patch], state: &State) -> Option<&'a Patch> {
    patches.get(usize::from(stands(device, state, SwitchKey::Patch).0)).or(patches.first())
}

/// Whether the one loop of a unit or an amp is in: by a patch, by a switch of its own, or always.
fn effects_loop_is_in(device: &Device, way: &EffectsLoop, patches: &[Patch], state: &State) -> bool {
    match called(device, patches, state) {
        Some(patch) => patch.loop_in,
        None => !way.has_switch || stands(device, state, SwitchKey::Loop(1)) == Position(1),
    }
}

/// In dB, what a return puts on what it gets: a return made for 10 dB more gives 10 dB less.
fn return_db(way: &EffectsLoop) -> f64 {
    let volts = |level: LineLevel| match level {
        LineLevel::Instrument => 0.1,
        LineLevel::MinusTen => 0.1 * 10f64.sqrt(),
        // 1 mW in 600 Ω is 0 dBu.
        LineLevel::PlusFour => (0.6f64 * 10f64.powf(0.4)).sqrt(),
    };
    let apart = match (way.send_gives, way.back_expects) {
        (Some(gives), Some(expects)) => 20.0 * (volts(gives) / volts(expects)).log10(),
        _ => 0.0,
    };
    way.back_level.get() + apart
}

fn sign_of(polarity: Polarity) -> f64 {
    if polarity == Polarity::Same { 1.0 } else { -1.0 }
}

/// All that adds up behind the preamplifier: its own signal, unless it has gone out, and what
/// comes back while the loop is in.
fn amp_inside(net: &mut Netlist, device: &Device, way: &EffectsLoop, is_in: bool, fed: bool) {
    let back = net.jack(of(device, Jack::Return(1)));
    let stage = net.jack(of(device, Jack::PowerStage));
    let has_start = net.is_plugged(of(device, Jack::Send(1)));
    let gain = |db: f64| fed.then_some(db);
    let mut follows = Vec::new();
    if has_start && (!is_in || way.dry.is_some()) {
        let db = if is_in { way.dry.map_or(0.0, Decibels::get) } else { 0.0 };
        follows.push(Follows::at_once(None, gain(db)));
    }
    if is_in {
        let (sign, seconds) = (sign_of(way.back_polarity), way.back_latency.get());
        follows.push(Follows { node: Some(back), gain_db: gain(return_db(way)), sign, seconds, coin: None });
    }
    if !follows.is_empty() {
        net.source(stage, 0.0, follows);
    }
}

/// An input, and outputs that follow what has come through the middle: the signal itself,
/// unless it has gone out by the send, and what comes back while the loop is in.
fn multi_effects(net: &mut Netlist, device: &Device, unit: &MultiEffects, state: &State, fed: bool) {
    let at = |net: &mut Netlist, jack| net.jack(of(device, jack));
    let input = at(net, Jack::In);
    net.capacitor(input, GROUND, unit.wiring.get());
    net.load(input, unit.stage.input);
    let patch = called(device, &unit.patches, state);
    let own = (unit.stage.level.get() + patch.map_or(0.0, |patch| patch.level.get())).clamp(-1000.0, 1000.0);
    let straight = (sign_of(unit.stage.polarity), unit.stage.latency.get());
    let gain = |db: f64| fed.then_some(db);
    let mut follows = Vec::new();
    let dry = |db: f64| Follows {
        node: Some(input),
        gain_db: gain(own + db),
        sign: straight.0,
        seconds: straight.1,
        coin: None,
    };
    match &unit.effects_loop {
        None => follows.push(dry(0.0)),
        Some(way) => {
            let (send, back) = (at(net, Jack::Send(1)), at(net, Jack::Return(1)));
            net.load(back, way.back);
            let returned = net.is_plugged(of(device, Jack::Return(1)));
            let used = returned || net.is_plugged(of(device, Jack::Send(1)));
            let is_in = used && effects_loop_is_in(device, way, &unit.patches, state);
            if is_in {
                net.source(send, way.send.get(), vec![dry(way.send_level.get())]);
            }
            match (is_in, returned, way.dry) {
                // Out, or with no plug in the return: its contact joins the halves.
                (false, ..) | (true, false, _) => follows.push(dry(0.0)),
                (true, true, stays) => follows.extend(stays.map(|level| dry(level.get()))),
            }
            if is_in && returned {
                let (sign, seconds) = (sign_of(way.back_polarity), way.back_latency.get());
                follows.push(Follows { node: Some(back), gain_db: gain(return_db(way)), sign, seconds, coin: None });
            }
        }
    }
    if let Some(stereo) = &unit.stereo {
        let second = unit.stereo.filter(|stereo| stereo.second_in).map(|_| at(net, Jack::SecondIn));
        second.into_iter().for_each(|second| net.capacitor(second, GROUND, unit.wiring.get()));
        return stereo::multi_effects(net, device, &unit.stage, stereo, &follows, gain(own));
    }
    let out = at(net, Jack::Out);
    if !follows.is_empty() {
        net.source(out, unit.stage.output.get(), follows);
    }
    net.capacitor(out, GROUND, unit.stage.output_capacitance.get());
}

/// A rail from input to output, its loops' relays one behind another. A relay has
/// two change-over contacts: at rest they join the rail across the loop, pulled in
/// they join it to the send and the return to the rail.
fn switcher(net: &mut Netlist, device: &Device, inside: &Switcher, is_in: &dyn Fn(u8) -> bool, fed: bool) {
    let jack = |net: &mut Netlist, jack| net.jack(of(device, jack));
    let (input, output) = (jack(net, Jack::In), jack(net, Jack::Out));
    net.capacitor(input, GROUND, inside.wiring.get());
    let passes = inside.without_power == WithoutPower::Passes;
    let mut rail = net.node();
    // At least one loop stands behind the buffer, whatever the number says.
    let before_buffer = inside.before_buffer.min(inside.loops.saturating_sub(1));
    let buffer = |net: &mut Netlist, from: usize, to: usize| match (&inside.input, fed) {
        (Some(stage), true) => isolate(net, stage, Some(0.0), &[from, to]),
        (Some(stage), false) if !passes => isolate(net, stage, None, &[from, to]),
        _ => net.join(from, to),
    };
    match inside.input.is_some() && before_buffer == 0 {
        true => buffer(net, input, rail),
        false if !fed && !passes => {}
        false => net.join(input, rail),
    }
    for number in 1..=inside.loops {
        if inside.input.is_some() && before_buffer > 0 && number == before_buffer + 1 {
            let after = net.node();
            buffer(net, rail, after);
            rail = after;
        }
        net.capacitor(rail, GROUND, inside.contacts.get());
        let after = net.node();
        let (send, back) = (of(device, Jack::Send(number)), of(device, Jack::Return(number)));
        // With no plug in either, the two jacks' own contacts stand in for the loop.
        let is_empty = !net.is_plugged(send) && !net.is_plugged(back);
        if fed && is_in(number) && !is_empty {
            let (send, back) = (net.jack(send), net.jack(back));
            net.join(rail, send);
            net.join(back, after);
        } else {
            net.join(rail, after);
        }
        rail = after;
    }
    match (&inside.output, fed) {
        (Some(stage), true) => isolate(net, stage, Some(0.0), &[rail, output]),
        (Some(stage), false) if !passes => isolate(net, stage, None, &[rail, output]),
        _ => net.join(rail, output),
    }
}

fn pedal(net: &mut Netlist, pedal: &Pedal, is_on: bool, mutes: bool, jacks: &[usize]) {
    net.capacitor(jacks[0], GROUND, pedal.wiring.get());
    match (is_on, pedal.bypass) {
        (true, _) => isolate(net, &given(pedal), (!mutes).then_some(0.0), jacks),
        (false, Bypass::Buffered) => isolate(net, &pedal.off, Some(0.0), jacks),
        (false, Bypass::True) => net.join(jacks[0], jacks[1]),
        (false, Bypass::AlwaysLoading) => {
            net.join(jacks[0], jacks[1]);
            net.load(jacks[0], pedal.off.input);
        }
    }
}

/// What a pedal is while on. The set level is that of the open output: a level pot is a source
/// of what is beside its wiper.
pub fn given(pedal: &Pedal) -> Stage {
    let Some(level) = pedal.level_pot else { return pedal.on };
    let part = part_below(level.pot.taper, level.turn.get());
    let whole = level.pot.resistance.get();
    let (above, below) = (pedal.on.output.get() + whole * (1.0 - part), whole * part);
    let ohms = if above + below > 0.0 { above * below / (above + below) } else { 0.0 };
    Stage { output: Ohms::of(ohms), ..pedal.on }
}

/// What lets through lets through; where nothing comes through, the input of the
/// stage that stands in the way hangs there: the buffer's, or the effect's where a
/// relay has stayed at it.
pub fn pedal_without_power(net: &mut Netlist, pedal: &Pedal, jacks: &[usize]) {
    net.capacitor(jacks[0], GROUND, pedal.wiring.get());
    let passes = match pedal.without_power {
        Some(said) => said == WithoutPower::Passes,
        None => pedal.bypass != Bypass::Buffered,
    };
    match (passes, pedal.bypass) {
        (true, bypass) => {
            net.join(jacks[0], jacks[1]);
            if bypass == Bypass::AlwaysLoading {
                net.load(jacks[0], pedal.off.input);
            }
        }
        (false, Bypass::Buffered) => isolate(net, &pedal.off, None, jacks),
        (false, _) => isolate(net, &pedal.on, None, jacks),
    }
}

/// A load at the first jack, and at each other jack a source that follows it.
fn isolate(net: &mut Netlist, stage: &Stage, more_db: Option<f64>, jacks: &[usize]) {
    let Stage { input, output, output_capacitance, level, polarity, latency } = *stage;
    let (sign, seconds) = (if polarity == Polarity::Same { 1.0 } else { -1.0 }, latency.get());
    net.load(jacks[0], input);
    let gain = more_db.map(|more| more + Decibels::get(level));
    for out in &jacks[1..] {
        net.source(
            *out,
            output.get(),
            vec![Follows { node: Some(jacks[0]), gain_db: gain, sign, seconds, coin: None }],
        );
        net.capacitor(*out, GROUND, output_capacitance.get());
    }
}

fn guitar(net: &mut Netlist, guitar: &Guitar, out: usize, (volume, tone): (f64, f64), gain_db: Option<f64>) {
    let pickup = &guitar.pickup;
    let (hot, inside, terminal) = (net.node(), net.node(), net.node());
    net.ideal_source(hot, gain_db);
    net.resistor(hot, inside, pickup.resistance.get());
    net.coil(inside, terminal, pickup.inductance.get());
    if let Some(loss) = pickup.eddy_loss {
        net.resistor(inside, terminal, loss.get());
    }
    net.capacitor(terminal, GROUND, pickup.capacitance.get());
    match guitar.volume {
        None => net.join(terminal, out),
        Some(pot) => {
            let part = part_below(pot.taper, volume);
            net.resistor(terminal, out, pot.resistance.get() * (1.0 - part));
            if !(pot.no_load && volume == 1.0) {
                net.resistor(out, GROUND, pot.resistance.get() * part);
            }
            treble_bleed(net, guitar.treble_bleed, terminal, out);
        }
    }
    if let Some(branch) = guitar.tone.filter(|branch| !(branch.pot.no_load && tone == 1.0)) {
        let at = match branch.order {
            ToneOrder::OnInput => terminal,
            ToneOrder::OnWiper => out,
        };
        let behind = net.node();
        let part = part_below(branch.pot.taper, tone);
        net.resistor(at, behind, branch.pot.resistance.get() * part);
        net.capacitor(behind, GROUND, branch.capacitor.get());
    }
}

/// What bridges a volume's track.
pub fn treble_bleed(net: &mut Netlist, bleed: Option<TrebleBleed>, input: usize, wiper: usize) {
    match bleed {
        None => {}
        Some(TrebleBleed::Capacitor { capacitance }) => net.capacitor(input, wiper, capacitance.get()),
        Some(TrebleBleed::Parallel { capacitance, resistance }) => {
            net.capacitor(input, wiper, capacitance.get());
            net.resistor(input, wiper, resistance.get());
        }
        Some(TrebleBleed::Series { capacitance, resistance }) => {
            let between = net.node();
            net.capacitor(input, between, capacitance.get());
            net.resistor(between, wiper, resistance.get());
        }
    }
}

fn decibels(ratio: f64) -> Option<f64> {
    (ratio > 0.0).then(|| 20.0 * ratio.log10())
}

/// α of a law [S: taper], written anew.
pub fn part_below(taper: Taper, x: f64) -> f64 {
    match taper {
        Taper::Linear => x,
        Taper::TwoSegments { half } if x <= 0.5 => 2.0 * half.get() * x,
        Taper::TwoSegments { half } => 1.0 - (1.0 - x) * 2.0 * (1.0 - half.get()),
        Taper::Exponential { half } => {
            // (bˣ − 1)/(b − 1) with b = e^s is expm1(sx)/expm1(s).
            let s = 2.0 * (1.0 / half.get() - 1.0).ln();
            if s == 0.0 { x } else { (s * x).exp_m1() / s.exp_m1() }
        }
    }
}
