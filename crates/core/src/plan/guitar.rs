//! What stands between the strings and the jack of a passive instrument.
//!
//! Of one pickup it is a ladder. Several are a network: each pickup with its own controls,
//! joined as selector and push-pulls stand, then the guitar's volume and tone.

use crate::network::{Branch, Driven, JACK, Ladder, SourceBuilder, Winding, ZERO_VOLTS};
use crate::rig::{
    Control, Device, Guitar, JoinedPickup, Kind, OwnControls, OwnVolumes, Pickup, PickupWiring, Position, Pot,
    PushPull, SelectorPosition, Stage, State, Switch, SwitchSetting, Taper, Tone, ToneOrder, TrebleBleed,
};
use crate::units::{Farads, Henries, Level, Ohms, Turn};

use super::SourceChoice;
use super::kinds::{load, resistor_ladder};

/// What drives an instrument's jack.
pub struct Source {
    /// From the EMF to the jack.
    pub ladder: Ladder,
    /// Its level with that EMF as the reference.
    pub level: Level,
    /// Whether no preamplifier is between.
    pub is_passive: bool,
}

/// What drives a passive instrument's jack in a state.
pub fn source(device: &Device, guitar: &Guitar, state: &State) -> Source {
    match (&guitar.pickup_wiring, device.joined_pickups(state)) {
        (Some(wiring), Some((joined, pulled))) => {
            let turn = |control| state.turn(device.id, control);
            several(guitar, wiring, &joined, &pulled, &turn)
        }
        _ => {
            let ladder = one_pickup(guitar, &|control| state.turn(device.id, control));
            Source { ladder, level: Level::Decibels(0.0), is_passive: true }
        }
    }
}

/// An instrument's switches that all states range over, and what it is in each setting of them, the
/// defaults first; none where it has no such switch.
pub fn choices(device: &Device, state: &State) -> (Vec<Switch>, Vec<SourceChoice>) {
    let Kind::Guitar(guitar) = &device.kind else { return (Vec::new(), Vec::new()) };
    let varying: Vec<Switch> = device.all_switches().filter(Switch::varies).collect();
    let mut settings: Vec<Vec<SwitchSetting>> = vec![Vec::new()];
    for switch in &varying {
        let mut positions: Vec<Position> = switch.all_positions().collect();
        positions.sort_by_key(|to| (*to != switch.default, *to));
        let with = |to: &Position| {
            let at = SwitchSetting { switch: switch.id, to: *to };
            settings.iter().map(move |set| [&set[..], &[at]].concat()).collect::<Vec<_>>()
        };
        settings = positions.iter().flat_map(with).collect();
    }
    let choice = |settings: Vec<SwitchSetting>| {
        let mut here = state.clone();
        here.positions.extend(settings.iter().map(|at| (at.switch, at.to)));
        let Source { ladder, level, .. } = source(device, guitar, &here);
        SourceChoice { settings, source: ladder, level }
    };
    let choices = if varying.is_empty() { Vec::new() } else { settings.into_iter().map(choice).collect() };
    (varying, choices)
}

/// One pickup and its controls.
fn one_pickup(guitar: &Guitar, turn: &dyn Fn(Control) -> Turn) -> Ladder {
    let mut ladder = Ladder::new();
    let pickup = &guitar.pickup;
    let coil = Branch::Inductor(pickup.inductance);
    let coil = match pickup.eddy_loss {
        Some(loss) => Branch::Parallel(vec![coil, Branch::Resistor(loss)]),
        None => coil,
    };
    ladder.series(Branch::Series(vec![Branch::Resistor(pickup.resistance), coil]));
    ladder.shunt(Branch::Capacitor(pickup.capacitance));
    let (on_input, on_wiper) = tone_branches(guitar.tone, turn(Control::Tone));
    ladder.shunt(on_input);
    if let Some(volume) = guitar.volume {
        let (above, below) = track(volume, turn(Control::Volume));
        ladder.series(bridged(above, guitar.treble_bleed));
        ladder.shunt(below);
    }
    ladder.shunt(on_wiper);
    ladder
}

/// A tone control's branch to 0 V, on the volume's input or on its wiper: one of them is open.
fn tone_branches(tone: Option<Tone>, turn: Turn) -> (Branch, Branch) {
    let Some(tone) = tone.filter(|tone| !tone.pot.is_cut_at(turn)) else { return (Branch::Open, Branch::Open) };
    let (_, below) = tone.pot.split(turn);
    let branch = Branch::Series(vec![Branch::Resistor(below), Branch::Capacitor(tone.capacitor)]);
    match tone.order {
        ToneOrder::OnInput => (branch, Branch::Open),
        ToneOrder::OnWiper => (Branch::Open, branch),
    }
}

/// A pot's track above its wiper, and what is below to 0 V.
fn track(pot: Pot, turn: Turn) -> (Ohms, Branch) {
    let (above, below) = pot.split(turn);
    (above, if pot.is_cut_at(turn) { Branch::Open } else { Branch::Resistor(below) })
}

/// The upper part of the volume pot with the treble bleed across it.
fn bridged(above: Ohms, bleed: Option<TrebleBleed>) -> Branch {
    let bridge = match bleed {
        None => Branch::Open,
        Some(TrebleBleed::Capacitor { capacitance }) => Branch::Capacitor(capacitance),
        Some(TrebleBleed::Parallel { capacitance, resistance }) => {
            Branch::Parallel(vec![Branch::Capacitor(capacitance), Branch::Resistor(resistance)])
        }
        Some(TrebleBleed::Series { capacitance, resistance }) => {
            Branch::Series(vec![Branch::Capacitor(capacitance), Branch::Resistor(resistance)])
        }
    };
    Branch::Parallel(vec![Branch::Resistor(above), bridge])
}

/// Several pickups, joined as they are.
fn several(
    guitar: &Guitar,
    wiring: &PickupWiring,
    joined: &SelectorPosition,
    pulled: &[PushPull],
    turn: &dyn Fn(Control) -> Turn,
) -> Source {
    let mut net = SourceBuilder::new();
    let has_tone = !pulled.contains(&PushPull::NoTone);
    let bus = net.node();
    let mut wound: Vec<(u8, usize)> = Vec::new();
    let mut stack = ZERO_VOLTS;
    for (place, one) in joined.pickups.iter().enumerate() {
        let Some(pickup) = guitar.nth_pickup(one.pickup) else { continue };
        let hot = net.node();
        wound.push((one.pickup, wind(&mut net, pickup, *one, [stack, hot])));
        if !joined.in_series {
            own_controls(&mut net, wiring, one.pickup, [hot, bus], has_tone, turn);
        } else if place + 1 == joined.pickups.len() {
            own_controls(&mut net, wiring, joined.pickups[0].pickup, [hot, bus], has_tone, turn);
        } else {
            stack = hot;
        }
    }
    for (at, (pickup, winding)) in wound.iter().enumerate() {
        // Those side by side share a part of their fields.
        let beside = wound[..at].iter().filter(|(other, _)| other.abs_diff(*pickup) == 1);
        beside.for_each(|(_, other)| net.couple(*winding, *other, wiring.coupling.get()));
    }
    let tone = guitar.tone.filter(|_| has_tone);
    controls(&mut net, guitar.volume, tone, guitar.treble_bleed, [bus, JACK], turn, [Control::Volume, Control::Tone]);
    driven(net, wiring.preamplifier.as_ref())
}

/// A pickup's winding from its cold end to its hot one, with its capacitance across them.
fn wind(net: &mut SourceBuilder, pickup: &Pickup, joined: JoinedPickup, ends: [usize; 2]) -> usize {
    // Two coils alike: each has half of all, and twice the capacitance, since that of two in series is half.
    let part = if joined.half { 0.5 } else { 1.0 };
    net.branch(ends[0], ends[1], Branch::Capacitor(Farads::clamped(pickup.capacitance.get() / part)));
    net.winding(Winding {
        ends: if joined.turned_over { [ends[1], ends[0]] } else { ends },
        resistance: Ohms::clamped(pickup.resistance.get() * part),
        inductance: Henries::clamped(pickup.inductance.get() * part),
        loss: pickup.eddy_loss.map(|loss| Ohms::clamped(loss.get() * part)),
        emf: part,
        pickup: usize::from(joined.pickup) - 1,
    })
}

/// What a pickup has of its own, between its hot end and what joins them all.
fn own_controls(
    net: &mut SourceBuilder,
    wiring: &PickupWiring,
    pickup: u8,
    [hot, bus]: [usize; 2],
    has_tone: bool,
    turn: &dyn Fn(Control) -> Turn,
) {
    let nothing = OwnControls::default();
    let own = wiring.own(pickup).unwrap_or(&nothing);
    let tone = own.tone.filter(|_| has_tone);
    let names = [Control::VolumeOf(pickup), Control::ToneOf(pickup)];
    let behind = net.node();
    match wiring.own_volumes {
        OwnVolumes::WipersJoined => controls(net, own.volume, tone, own.treble_bleed, [hot, behind], turn, names),
        OwnVolumes::PickupsOnWipers => {
            on_wiper(net, own.volume.map(|pot| (pot, turn(names[0]))), own.treble_bleed, [hot, behind]);
            let (on_pickup, on_other) = tone_branches(tone, turn(names[1]));
            net.branch(hot, ZERO_VOLTS, on_pickup);
            net.branch(behind, ZERO_VOLTS, on_other);
        }
    }
    let blend = wiring.blend.filter(|_| !wiring.others.is_empty() && pickup <= 2).map(|pot| {
        let x = turn(Control::Blend).get();
        let own = if pickup == 1 { 2.0 * (1.0 - x) } else { 2.0 * x };
        // Half of such a track is bare metal: it is full up from its middle on.
        (Pot { taper: Taper::Linear, ..pot }, Turn::clamped(own.min(1.0)))
    });
    on_wiper(net, blend, None, [behind, bus]);
}

/// A pot with what it turns down at its wiper.
fn on_wiper(net: &mut SourceBuilder, pot: Option<(Pot, Turn)>, bleed: Option<TrebleBleed>, [wiper, top]: [usize; 2]) {
    match pot {
        None => net.join(wiper, top),
        Some((pot, turn)) => {
            let (above, below) = track(pot, turn);
            net.branch(wiper, top, bridged(above, bleed));
            net.branch(wiper, ZERO_VOLTS, below);
        }
    }
}

/// A volume with its tone, between what comes to the top of its track and its wiper.
fn controls(
    net: &mut SourceBuilder,
    volume: Option<Pot>,
    tone: Option<Tone>,
    bleed: Option<TrebleBleed>,
    [input, wiper]: [usize; 2],
    turn: &dyn Fn(Control) -> Turn,
    [volume_control, tone_control]: [Control; 2],
) {
    let (on_input, on_wiper) = tone_branches(tone, turn(tone_control));
    net.branch(input, ZERO_VOLTS, on_input);
    match volume {
        None => net.join(input, wiper),
        Some(pot) => {
            let (above, below) = track(pot, turn(volume_control));
            net.branch(input, wiper, bridged(above, bleed));
            net.branch(wiper, ZERO_VOLTS, below);
        }
    }
    net.branch(wiper, ZERO_VOLTS, on_wiper);
}

/// What the jack is driven by, over a preamplifier if there is one.
fn driven(mut net: SourceBuilder, preamplifier: Option<&Stage>) -> Source {
    if let Some(stage) = preamplifier {
        net.branch(JACK, ZERO_VOLTS, load(&stage.input));
        net.buffer();
    }
    let mut ladder = Ladder::new();
    let mut level = preamplifier.map_or(Level::Decibels(0.0), |stage| Level::Decibels(stage.level.get()));
    match net.finish() {
        Driven::By(network) => {
            if network.is_silent() {
                level = Level::Silent;
            }
            ladder.source(network);
        }
        // Behind a preamplifier nothing of that is felt.
        Driven::Open | Driven::Shorted if preamplifier.is_some() => level = Level::Silent,
        Driven::Open => {
            level = Level::Silent;
            ladder.series(Branch::Open);
        }
        Driven::Shorted => {
            level = Level::Silent;
            ladder.shunt(Branch::Short);
        }
    }
    if let Some(stage) = preamplifier {
        ladder.extend(&resistor_ladder(stage.output));
        ladder.shunt(Branch::Capacitor(stage.output_capacitance));
    }
    Source { ladder, level, is_passive: preamplifier.is_none() }
}
