//! What devices are made of: inputs, stages, bypasses, and each kind's own struct.

use super::{EffectsLoop, NO_LATENCY, Polarity, Position, Pot, Stereo, Taper, WithoutPower};
use crate::network::miller_capacitance;
use crate::units::{Decibels, Farads, Henries, Ohms, Ratio, Seconds, Turn};

/// What an input does to whatever drives it: a resistance and a capacitance to 0 V.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Input {
    /// Input resistance.
    pub resistance: Ohms,
    /// Input capacitance.
    pub capacitance: Farads,
    /// A capacitor in the way to both, where it is so small that it counts.
    #[serde(default)]
    pub coupling: Option<Farads>,
}

impl Input {
    /// One that is joined straight, or by a capacitor too large to count.
    #[must_use]
    pub const fn of(resistance: Ohms, capacitance: Farads) -> Self {
        Self { resistance, capacitance, coupling: None }
    }
}

/// A path that isolates: an input, an output resistance and a level between.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Stage {
    /// What drives it sees this.
    pub input: Input,
    /// Output resistance.
    pub output: Ohms,
    /// Capacitance to 0 V behind it, at the output.
    #[serde(default = "nothing")]
    pub output_capacitance: Farads,
    /// Level from input to open output.
    pub level: Decibels,
    /// Whether the signal is turned over on its way.
    #[serde(default)]
    pub polarity: Polarity,
    /// How much later the signal comes out than it went in.
    #[serde(default = "at_once")]
    pub latency: Seconds,
}

/// What hardly any unit has at its output, and no part unless it says so.
fn nothing() -> Farads {
    Farads::of(0.0)
}

/// What comes out of an analogue path in the moment in which it goes in.
pub(super) fn at_once() -> Seconds {
    NO_LATENCY
}

/// A path that changes no level.
pub(super) fn unchanged() -> Decibels {
    Decibels::of(0.0)
}

impl Stage {
    /// One with nothing across its output, that neither turns the signal over nor holds it up.
    #[must_use]
    pub const fn of(input: Input, output: Ohms, level: Decibels) -> Self {
        Self {
            input,
            output,
            output_capacitance: Farads::of(0.0),
            level,
            polarity: Polarity::Same,
            latency: NO_LATENCY,
        }
    }
}

/// A pot as a unit's level control, its wiper the output.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LevelPot {
    /// The pot.
    pub pot: Pot,
    /// Where it stands.
    pub turn: Turn,
}

impl LevelPot {
    /// The resistance of the wiper as a source, `behind` driving the pot:
    /// (behind + what is above the wiper) beside what is below it [textbook].
    /// At half of the resistance and with nothing behind it a quarter of the pot.
    #[must_use]
    pub fn output(&self, behind: Ohms) -> Ohms {
        let (above, below) = self.pot.split(self.turn);
        let (above, below) = (behind.get() + above.get(), below.get());
        let sum = above + below;
        if sum > 0.0 { Ohms::clamped(above * below / sum) } else { Ohms::of(0.0) }
    }
}

/// What a pedal does to the signal while it is off.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, serde::Serialize, serde::Deserialize)]
pub enum Bypass {
    /// A switch joins input and output; only the wiring's capacitance stays.
    True,
    /// A buffer stays in the way.
    Buffered,
    /// Input and output are joined, and the circuit's input still hangs on them.
    AlwaysLoading,
}

impl Bypass {
    /// In words.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::True => "true bypass",
            Self::Buffered => "buffered bypass",
            Self::AlwaysLoading => "always-loading bypass",
        }
    }
}

/// A unit with a footswitch.
#[derive(Debug, Clone, PartialEq, serde::Serialize, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Pedal {
    /// The kind of bypass it is set to.
    pub bypass: Bypass,
    /// The kinds it can be set to inside; empty where there is no choice.
    #[serde(default)]
    pub selectable: Vec<Bypass>,
    /// What it is while on: it isolates.
    pub on: Stage,
    /// What it is while off: the buffer of a buffered bypass, or the input that
    /// an always-loading bypass leaves hanging. True bypass makes no use of it.
    pub off: Stage,
    /// Capacitance of jacks, switch and wiring, on its input side, on or off.
    pub wiring: Farads,
    /// The pot at its output while on, if that is one; `on.output` then drives it.
    #[serde(default)]
    pub level_pot: Option<LevelPot>,
    /// Whether its gain depends on what drives it; where nobody says, its input tells.
    #[serde(default)]
    pub gain_by_source: Option<bool>,
    /// What the signal meets at it without power; where nobody says, its bypass tells.
    #[serde(default)]
    pub without_power: Option<WithoutPower>,
    /// Its second channel, if it has one.
    #[serde(default)]
    pub stereo: Option<Stereo>,
}

impl Pedal {
    /// One without a pot at its output, its gain and what it is without power as its parts tell.
    #[must_use]
    pub fn of(bypass: Bypass, on: Stage, off: Stage, wiring: Farads) -> Self {
        Self {
            bypass,
            selectable: Vec::new(),
            on,
            off,
            wiring,
            level_pot: None,
            gain_by_source: None,
            without_power: None,
            stereo: None,
        }
    }

    /// Output resistance while on, by where its level pot stands if it has one.
    #[must_use]
    pub fn output(&self) -> Ohms {
        self.level_pot.map_or(self.on.output, |pot| pot.output(self.on.output))
    }
}

/// A buffer that is always in the way.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Buffer {
    /// Its path.
    pub stage: Stage,
    /// Capacitance of jacks and wiring, on its input side.
    pub wiring: Farads,
}

/// A tuner.
#[derive(Debug, Clone, PartialEq, serde::Serialize, serde::Deserialize)]
#[allow(clippy::large_enum_variant, reason = "a rig has one or two, and each lies in a device that is as large")]
pub enum Tuner {
    /// In the signal's way, with a footswitch; it may mute while on.
    Through {
        /// Bypass, input and output as of any pedal.
        pedal: Pedal,
        /// Whether nothing comes out while it is on.
        mutes: bool,
    },
    /// Hanging on a second output, always listening.
    Tap {
        /// Its input.
        input: Input,
    },
}

/// A unit worked by the foot's angle.
#[derive(Debug, Clone, PartialEq, serde::Serialize, serde::Deserialize)]
pub enum Treadle {
    /// A pot in the run.
    PassiveVolume {
        /// The pot.
        pot: Pot,
        /// Capacitance of jacks and wiring, on its input side.
        wiring: Farads,
    },
    /// A volume between two buffers.
    BufferedVolume {
        /// Its path with the toe down.
        stage: Stage,
        /// How the level follows the foot.
        taper: Taper,
        /// Capacitance of jacks and wiring, on its input side.
        wiring: Farads,
    },
    /// A wah: on, it isolates and is drawn flat.
    Wah {
        /// Bypass, input and output as of any pedal.
        pedal: Pedal,
    },
}

/// One input, two outputs.
#[derive(Debug, Clone, PartialEq, serde::Serialize, serde::Deserialize)]
pub enum Splitter {
    /// Three jacks joined: each side loads the other.
    Passive {
        /// Capacitance of jacks and wiring.
        wiring: Farads,
    },
    /// A buffer with two outputs, each behind its own resistance.
    Buffered {
        /// Its path to either output.
        stage: Stage,
        /// Capacitance of jacks and wiring, on its input side.
        wiring: Farads,
    },
}

/// Transmitter and receiver as one.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Wireless {
    /// The transmitter's input, the receiver's output and the level between.
    pub stage: Stage,
}

/// A box that feeds a desk and passes the signal on: its through jack is the
/// input's own contact.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize, serde::Deserialize)]
pub enum DirectBox {
    /// With electronics: a fixed input.
    Active {
        /// Its input.
        input: Input,
        /// Its balanced output.
        #[serde(default)]
        to_desk: ToDesk,
    },
    /// A transformer: the run sees its load times the turns ratio squared.
    Transformer {
        /// Turns, input to output.
        turns: Ratio,
        /// The desk's microphone input.
        load: Ohms,
        /// Its balanced output.
        #[serde(default = "ToDesk::apart")]
        to_desk: ToDesk,
    },
}

/// Where a DI box's balanced output goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default, serde::Serialize, serde::Deserialize)]
pub enum Desk {
    /// Nobody has plugged it in.
    #[default]
    Nowhere,
    /// To a desk that the mains lead earths.
    Earthed,
    /// To one that isn't earthed: of class II, or on a battery.
    NotEarthed,
}

/// A DI box's balanced output.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, serde::Serialize, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ToDesk {
    /// Where it goes.
    #[serde(default)]
    pub desk: Desk,
    /// Whether the ground lift is set: the XLR lead's screen isn't joined to the
    /// box's signal ground. It has to do with no mains earth.
    #[serde(default)]
    pub lifted: bool,
    /// Whether the desk's phantom power feeds the box, so that it takes no outlet. [standard, memory, S: phantom]
    #[serde(default)]
    pub phantom: bool,
}

impl ToDesk {
    /// A transformer's: its two sides are apart until a switch joins them. [common practice, no source]
    #[must_use]
    pub fn apart() -> Self {
        Self { lifted: true, ..Self::default() }
    }

    /// Whether the box's signal ground is joined to a desk's.
    #[must_use]
    pub fn joins(self) -> bool {
        self.desk != Desk::Nowhere && !self.lifted
    }
}

impl DirectBox {
    /// Its balanced output.
    #[must_use]
    pub fn to_desk(&self) -> ToDesk {
        match self {
            Self::Active { to_desk, .. } | Self::Transformer { to_desk, .. } => *to_desk,
        }
    }

    /// The same, to change.
    pub fn to_desk_mut(&mut self) -> &mut ToDesk {
        match self {
            Self::Active { to_desk, .. } | Self::Transformer { to_desk, .. } => to_desk,
        }
    }
}

/// Two like windings on one core: the signal goes on, the 0 V doesn't.
///
/// Leakage inductance is left out: a few mH and a lead's capacitance meet far
/// above what is heard. [memory]
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Transformer {
    /// Resistance of each winding.
    pub winding: Ohms,
    /// Magnetising inductance: it hangs on the signal and takes the lows of a feeble source.
    pub magnetising: Henries,
    /// Capacitance of the windings.
    pub capacitance: Farads,
}

/// What an input of a desk or an interface is set to take.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default, serde::Serialize, serde::Deserialize)]
pub enum InputFor {
    /// An instrument: a high input resistance.
    #[default]
    Instrument,
    /// A line.
    Line,
    /// A microphone: so much gain that a line overdrives it.
    Microphone,
}

impl InputFor {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Instrument, Self::Line, Self::Microphone];

    /// In words.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Instrument => "an instrument",
            Self::Line => "a line",
            Self::Microphone => "a microphone",
        }
    }
}

/// The inputs of a recording interface or of a desk.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Interface {
    /// Its input.
    pub input: Input,
    /// Whether the computer that it is plugged into is earthed by its mains
    /// lead, and so this box's 0 V too.
    #[serde(default)]
    pub earthed_computer: bool,
    /// Whether it has a second input like the first: right beside left.
    #[serde(default)]
    pub second: bool,
    /// What its inputs are set to take.
    #[serde(default)]
    pub takes: InputFor,
    /// Whether phantom power stands on its inputs. [standard, memory, S: phantom]
    #[serde(default)]
    pub phantom: bool,
    /// Whether it is a desk, and not a box beside a computer.
    #[serde(default)]
    pub is_desk: bool,
}

impl Interface {
    /// One input for an instrument.
    #[must_use]
    pub const fn of(input: Input) -> Self {
        let (earthed_computer, second, phantom, is_desk) = (false, false, false, false);
        Self { input, earthed_computer, second, takes: InputFor::Instrument, phantom, is_desk }
    }
}

/// A valve's grid behind its stopper.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub struct GridStage {
    /// Resistance from the jack to the grid.
    pub stopper: Ohms,
    /// Capacitance of grid to cathode.
    pub grid_cathode: Farads,
    /// Capacitance of grid to plate.
    pub grid_plate: Farads,
    /// The stage's voltage gain, its sign left out.
    pub gain: Ratio,
}

impl GridStage {
    /// Its Miller capacitance.
    #[must_use]
    pub fn miller(&self) -> Farads {
        miller_capacitance(self.grid_cathode, self.grid_plate, self.gain)
    }
}

/// An amplifier.
#[derive(Debug, Clone, PartialEq, serde::Serialize, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Amp {
    /// Input resistance and the stray capacitance at the jack.
    pub input: Input,
    /// The first grid, in a valve amp.
    #[serde(default)]
    pub grid: Option<GridStage>,
    /// Send and return, if it has them.
    #[serde(default)]
    pub effects_loop: Option<EffectsLoop>,
    /// Its channels, where it has more than one to step between.
    #[serde(default)]
    pub channels: Vec<Channel>,
    /// Whether its loudspeaker pushes where the signal at its input rises; where it has channels,
    /// each says so itself.
    #[serde(default)]
    pub polarity: Polarity,
}

/// A channel of an amp.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Channel {
    /// What it is called.
    pub name: String,
    /// Whether the loudspeaker pushes where the signal at the input rises.
    #[serde(default)]
    pub polarity: Polarity,
}

impl Channel {
    /// One with a name.
    #[must_use]
    pub fn named(name: &str) -> Self {
        Self { name: name.to_owned(), polarity: Polarity::Same }
    }
}

impl Amp {
    /// One with an input and nothing else that it may have.
    #[must_use]
    pub const fn of(input: Input) -> Self {
        Self { input, grid: None, effects_loop: None, channels: Vec::new(), polarity: Polarity::Same }
    }

    /// What it does to the sign of a signal, in a position of the switch of its channels.
    #[must_use]
    pub fn polarity_at(&self, channel: Position) -> Polarity {
        self.channels.get(usize::from(channel.0)).map_or(self.polarity, |channel| channel.polarity)
    }
}
