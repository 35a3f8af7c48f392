//! What each kind of device is to the signal: its circuits.

use super::{Alternative, Behaviour, HIGH_IMPEDANCE};
use crate::network::{Branch, Ladder};
use crate::rig::{
    Amp, Bypass, Control, Device, DirectBox, Input, Jack, Kind, Pedal, Position, Splitter, Stage, State, Treadle,
    Tuner, WithoutPower,
};
use crate::units::{Farads, Level, Ohms};

/// What a device is from one of its input jacks, in each position of its switch.
pub fn alternatives(device: &Device, jack: Jack, controls: &State) -> Vec<Alternative> {
    let foot = |control| controls.turn(device.id, control);
    match &device.kind {
        Kind::Pedal(pedal) | Kind::Treadle(Treadle::Wah { pedal }) => switched(pedal, false),
        Kind::Tuner(Tuner::Through { pedal, mutes }) => switched(pedal, *mutes),
        Kind::Buffer(buffer) => fixed(isolate(&buffer.stage, Level::Decibels(0.0))),
        Kind::Wireless(set) => fixed(isolate(&set.stage, Level::Decibels(0.0))),
        Kind::Splitter(Splitter::Buffered { stage, .. }) => fixed(isolate(stage, Level::Decibels(0.0))),
        Kind::Splitter(Splitter::Passive { .. }) => fixed(pass(Ladder::new(), false)),
        Kind::Treadle(Treadle::BufferedVolume { stage, taper, .. }) => {
            fixed(isolate(stage, Level::from_ratio(taper.part_below(foot(Control::Treadle)))))
        }
        Kind::Treadle(Treadle::PassiveVolume { pot, .. }) => {
            let (above, below) = pot.split(foot(Control::Treadle));
            let mut rungs = Ladder::new();
            rungs.series(Branch::Resistor(above));
            rungs.shunt(Branch::Resistor(below));
            // Half-way a pot is a source of a quarter of itself.
            fixed(pass(rungs, pot.resistance.get() / 4.0 >= HIGH_IMPEDANCE.get()))
        }
        Kind::DirectBox(DirectBox::Active { input, .. }) => fixed(hang(load(input))),
        Kind::DirectBox(DirectBox::Transformer { turns, load, .. }) => {
            let reflected = Ohms::clamped(turns.get() * turns.get() * load.get());
            fixed(hang(Branch::Resistor(reflected)))
        }
        Kind::Transformer(transformer) => {
            // One to one, so each side is seen from the other as it is.
            let mut rungs = Ladder::new();
            rungs.series(Branch::Resistor(transformer.winding));
            rungs.shunt(Branch::Parallel(vec![
                Branch::Inductor(transformer.magnetising),
                Branch::Capacitor(transformer.capacitance),
            ]));
            rungs.series(Branch::Resistor(transformer.winding));
            fixed(pass(rungs, false))
        }
        Kind::Tuner(Tuner::Tap { input }) => fixed(Behaviour::End { load: load(input) }),
        Kind::Interface(interface) => fixed(Behaviour::End { load: load(&interface.input) }),
        Kind::Amp(amp) => fixed(Behaviour::End { load: amp_load(amp, jack) }),
        Kind::Guitar(_)
        | Kind::Active(_)
        | Kind::Mixer(_)
        | Kind::Switcher(_)
        | Kind::MultiEffects(_)
        | Kind::Selector(_)
        | Kind::Supply(_) => Vec::new(),
    }
}

fn fixed(behaviour: Behaviour) -> Vec<Alternative> {
    vec![Alternative::always(behaviour)]
}

/// Input and outputs joined over these rungs.
pub fn pass(rungs: Ladder, high_impedance: bool) -> Behaviour {
    Behaviour::Pass { rungs, high_impedance }
}

/// A load that hangs on a run which goes on.
fn hang(load: Branch) -> Behaviour {
    let mut rungs = Ladder::new();
    rungs.shunt(load);
    pass(rungs, false)
}

/// What an input hangs on a run.
pub fn load(input: &Input) -> Branch {
    // No resistance at all is a short, as the player typed it.
    let inside = Branch::Parallel(vec![Branch::Resistor(input.resistance), Branch::Capacitor(input.capacitance)]);
    match input.coupling {
        Some(coupling) => Branch::Series(vec![Branch::Capacitor(coupling), inside]).simplified(),
        None => inside.simplified(),
    }
}

/// What stands between a stage's EMF and its output jack.
pub fn output_ladder(stage: &Stage) -> Ladder {
    let mut output = resistor_ladder(stage.output);
    output.shunt(Branch::Capacitor(stage.output_capacitance));
    output
}

/// A stage that isolates, and how far a foot has it open.
pub fn isolate(stage: &Stage, foot: Level) -> Behaviour {
    Behaviour::Isolate {
        load: load(&stage.input),
        output: output_ladder(stage),
        level: Level::Decibels(stage.level.get()).then(foot),
        polarity: stage.polarity,
        latency: stage.latency,
        high_impedance: stage.output >= HIGH_IMPEDANCE,
    }
}

fn switched(pedal: &Pedal, mutes: bool) -> Vec<Alternative> {
    let on = Stage { output: pedal.output(), ..pedal.on };
    let on = isolate(&on, if mutes { Level::Silent } else { Level::Decibels(0.0) });
    let off = match pedal.bypass {
        Bypass::True => pass(Ladder::new(), false),
        Bypass::Buffered => isolate(&pedal.off, Level::Decibels(0.0)),
        Bypass::AlwaysLoading => hang(load(&pedal.off.input)),
    };
    [(Position::OFF, off), (Position::ON, on)]
        .map(|(position, behaviour)| Alternative { position: Some(position), behaviour, out: None })
        .into()
}

/// What a device is without power. An input hangs on the run with the values that
/// it has with power: its resistors are there still. [memory, S: dead-run]
pub fn unpowered(kind: &Kind, alternatives: &[Alternative]) -> Behaviour {
    if let Some(pedal) = kind.pedal() {
        return match (pedal.unpowered(), pedal.bypass) {
            (WithoutPower::Passes, Bypass::True | Bypass::Buffered) => pass(Ladder::new(), false),
            (WithoutPower::Passes, Bypass::AlwaysLoading) => hang(load(&pedal.off.input)),
            (WithoutPower::Silent | WithoutPower::Unknown, Bypass::Buffered) => isolate(&pedal.off, Level::Silent),
            // The relay has stayed at the effect.
            (WithoutPower::Silent | WithoutPower::Unknown, _) => isolate(&pedal.on, Level::Silent),
        };
    }
    match alternatives.first().map(|only| only.behaviour.clone()) {
        Some(mut through @ Behaviour::Isolate { .. }) => {
            if let Behaviour::Isolate { level, .. } = &mut through {
                *level = Level::Silent;
            }
            through
        }
        Some(through) => through,
        None => pass(Ladder::new(), false),
    }
}

/// What always hangs at a device's input.
pub fn wiring(kind: &Kind) -> Farads {
    match kind {
        Kind::Buffer(buffer) => buffer.wiring,
        Kind::Treadle(Treadle::PassiveVolume { wiring, .. } | Treadle::BufferedVolume { wiring, .. })
        | Kind::Splitter(Splitter::Passive { wiring } | Splitter::Buffered { wiring, .. }) => *wiring,
        kind => kind.pedal().map_or(Farads::of(0.0), |pedal| pedal.wiring),
    }
}

fn amp_load(amp: &Amp, jack: Jack) -> Branch {
    match (jack, &amp.effects_loop) {
        (Jack::Return(_), Some(way)) => load(&way.back),
        _ => {
            let grid = amp.grid.map_or(Branch::Open, |grid| {
                Branch::Series(vec![Branch::Resistor(grid.stopper), Branch::Capacitor(grid.miller())])
            });
            Branch::Parallel(vec![load(&amp.input), grid]).simplified()
        }
    }
}

/// An EMF behind a resistance.
pub fn resistor_ladder(output: Ohms) -> Ladder {
    let mut ladder = Ladder::new();
    ladder.series(Branch::Resistor(output));
    ladder
}
