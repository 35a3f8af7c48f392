//! A unit with two channels, written from circuits [S: nodal] and not from the program.

use rigwright_core::rig::{Alone, Bypass, Device, Jack, JackRef, Pedal, Polarity, Stage, Stereo};

use super::netlist::{Follows, GROUND, Netlist, of};
use super::stamps::{given, pedal_without_power};

/// The channels of a unit: each an input and an output, the second where there is one.
struct Channels {
    input: [Option<usize>; 2],
    output: [usize; 2],
    /// Whether the second output follows the second input, and not the first.
    apart: bool,
    plugged: JackRef,
}

impl Channels {
    fn of(net: &mut Netlist, device: &Device, stereo: &Stereo) -> Self {
        let second_in = of(device, Jack::SecondIn);
        let apart = stereo.second_in && net.is_plugged(second_in);
        let second = stereo.second_in.then(|| net.jack(second_in));
        let input = [Some(net.jack(of(device, Jack::In))), second];
        let output = [Jack::Out, Jack::SecondOut].map(|jack| net.jack(of(device, jack)));
        Self { input, output, apart, plugged: of(device, Jack::SecondOut) }
    }

    fn inputs(&self) -> Vec<usize> {
        self.input.iter().flatten().copied().collect()
    }

    /// The input that a channel's signal comes from.
    fn from(&self, channel: usize) -> Option<usize> {
        if channel == 1 && self.apart { self.input[1] } else { self.input[0] }
    }
}

/// A pedal with two channels: on, off or without power.
pub fn pedal(
    net: &mut Netlist,
    device: &Device,
    inside: &Pedal,
    stereo: &Stereo,
    (is_on, gives): (bool, bool),
    fed: bool,
) {
    let channels = Channels::of(net, device, stereo);
    if !fed {
        for channel in 0..2 {
            if let Some(input) = channels.input[channel].filter(|_| channel == 0 || channels.apart) {
                pedal_without_power(net, inside, &[input, channels.output[channel]]);
            }
        }
        // What an open second input hangs on nothing is heard nowhere.
        return;
    }
    for input in channels.inputs() {
        net.capacitor(input, GROUND, inside.wiring.get());
    }
    if is_on {
        let stage = given(inside);
        for input in channels.inputs() {
            net.load(input, stage.input);
        }
        let follows = [0, 1].map(|channel| {
            let node = channels.from(channel);
            Follows { node, ..through(net, &stage, gives.then_some(0.0), stereo, channel) }
        });
        return outputs(net, &channels, stereo, &stage, follows.map(|one| vec![one]));
    }
    for channel in 0..2 {
        let (from, out) = (channels.from(channel), channels.output[channel]);
        let own = channels.input[channel].filter(|_| channel == 0 || channels.apart);
        match (inside.bypass, from, own) {
            (Bypass::Buffered, Some(from), _) => {
                if let Some(own) = own {
                    net.load(own, inside.off.input);
                }
                let Stage { level, polarity, latency, .. } = inside.off;
                let sign = if polarity == Polarity::Same { 1.0 } else { -1.0 };
                let seconds = latency.get();
                let follows = Follows { node: Some(from), gain_db: Some(level.get()), sign, seconds, coin: None };
                net.source(out, inside.off.output.get(), vec![follows]);
                net.capacitor(out, GROUND, inside.off.output_capacitance.get());
            }
            (bypass, _, Some(own)) => {
                net.join(own, out);
                if bypass == Bypass::AlwaysLoading {
                    net.load(own, inside.off.input);
                }
            }
            _ => {}
        }
    }
}

/// What a channel makes of its signal: the unit's own path, and where it stands between left and right.
pub fn through(net: &mut Netlist, stage: &Stage, more_db: Option<f64>, stereo: &Stereo, channel: usize) -> Follows {
    let mut sign = if stage.polarity == Polarity::Same { 1.0 } else { -1.0 };
    let mut seconds = stage.latency.get();
    let mut gain_db = more_db.map(|more| more + stage.level.get());
    let mut coin = None;
    if let Some(pan) = stereo.pan {
        // Equal powers: the two are sine and cosine of one angle.
        let angle = pan.get() * std::f64::consts::FRAC_PI_2;
        let part = if channel == 0 { angle.cos() } else { angle.sin() };
        gain_db = gain_db.filter(|_| part > 1e-12).map(|db| db + 20.0 * part.log10());
    }
    if channel == 1 {
        gain_db = gain_db.map(|db| db + stereo.right_level.get());
        seconds += stereo.right_latency.get();
        match stereo.right {
            Polarity::Inverted => sign = -sign,
            Polarity::Uncorrelated => {
                coin = Some(net.coins);
                net.coins += 1;
            }
            Polarity::Same | Polarity::Unknown => {}
        }
    }
    Follows { node: None, gain_db, sign, seconds, coin }
}

/// Both outputs; or one that gives both, where nothing is plugged into the other.
fn outputs(net: &mut Netlist, channels: &Channels, stereo: &Stereo, stage: &Stage, follows: [Vec<Follows>; 2]) {
    let all_in_one = stereo.alone == Alone::Both && !net.is_plugged(channels.plugged);
    let [left, right] = follows;
    let each = match all_in_one {
        true => vec![(channels.output[0], [left, right].concat())],
        false => vec![(channels.output[0], left), (channels.output[1], right)],
    };
    for (out, follows) in each {
        net.source(out, stage.output.get(), follows);
        net.capacitor(out, GROUND, stage.output_capacitance.get());
    }
}

/// A multi-effects unit's outputs; `middle` is what comes out of its middle, heard from its first input.
pub fn multi_effects(
    net: &mut Netlist,
    device: &Device,
    stage: &Stage,
    stereo: &Stereo,
    middle: &[Follows],
    own_db: Option<f64>,
) {
    let channels = Channels::of(net, device, stereo);
    let bare = Stage { level: rigwright_core::units::Decibels::of(0.0), polarity: Polarity::Same, ..*stage };
    let bare = Stage { latency: rigwright_core::rig::NO_LATENCY, ..bare };
    let sides = [0, 1].map(|channel| through(net, &bare, Some(0.0), stereo, channel));
    let beside = |one: &Follows, side: &Follows| Follows {
        gain_db: one.gain_db.zip(side.gain_db).map(|(a, b)| a + b),
        sign: one.sign * side.sign,
        seconds: one.seconds + side.seconds,
        coin: side.coin,
        ..*one
    };
    let left = middle.iter().map(|one| beside(one, &sides[0])).collect();
    let right = match channels.input[1].filter(|_| channels.apart) {
        // Past the loop.
        Some(second) => {
            let sign = if stage.polarity == Polarity::Same { 1.0 } else { -1.0 };
            let straight =
                Follows { node: Some(second), gain_db: own_db, sign, seconds: stage.latency.get(), coin: None };
            vec![beside(&straight, &sides[1])]
        }
        None => middle.iter().map(|one| beside(one, &sides[1])).collect(),
    };
    if let Some(second) = channels.input[1] {
        net.load(second, stage.input);
    }
    outputs(net, &channels, stereo, stage, [left, right]);
}
