//! Devices: everything that stands between the strings and the speaker.

use super::{ActiveSource, Control, DeviceId, Guitar, Jack, Pot, Taper};
use crate::network::miller_capacitance;
use crate::units::{Decibels, Farads, Grams, Ohms, Price, Ratio};

/// What an input does to whatever drives it: a resistance and a capacitance to 0 V.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Input {
    /// Input resistance.
    pub resistance: Ohms,
    /// Input capacitance.
    pub capacitance: Farads,
}

/// A path that isolates: an input, an output resistance and a level between.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Stage {
    /// What drives it sees this.
    pub input: Input,
    /// Output resistance.
    pub output: Ohms,
    /// Level from input to open output.
    pub level: Decibels,
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

/// A box that feeds a desk and passes the signal on.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize, serde::Deserialize)]
pub enum DirectBox {
    /// With electronics: a fixed input.
    Active {
        /// Its input.
        input: Input,
    },
    /// A transformer: the run sees its load times the turns ratio squared.
    Transformer {
        /// Turns, input to output.
        turns: Ratio,
        /// The desk's microphone input.
        load: Ohms,
    },
}

/// A recording interface's input.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Interface {
    /// Its input.
    pub input: Input,
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

/// The jacks between an amp's preamplifier and its power stage.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub struct EffectsLoop {
    /// Output resistance of the send.
    pub send: Ohms,
    /// Input of the return.
    pub back: Input,
}

/// An amplifier.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize, serde::Deserialize)]
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
}

/// What a device is.
#[derive(Debug, Clone, PartialEq, serde::Serialize, serde::Deserialize)]
pub enum Kind {
    /// A passive guitar or bass.
    Guitar(Guitar),
    /// An instrument with electronics of its own.
    Active(ActiveSource),
    /// A unit with a footswitch.
    Pedal(Pedal),
    /// A buffer.
    Buffer(Buffer),
    /// A tuner.
    Tuner(Tuner),
    /// A treadle.
    Treadle(Treadle),
    /// A splitter.
    Splitter(Splitter),
    /// A wireless set.
    Wireless(Wireless),
    /// A box that feeds a desk.
    DirectBox(DirectBox),
    /// A recording interface.
    Interface(Interface),
    /// An amplifier.
    Amp(Amp),
}

/// Our own rounded classes of size.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, serde::Serialize, serde::Deserialize)]
pub enum SizeClass {
    /// 45 × 95 × 55 mm
    Mini,
    /// 75 × 130 × 60 mm
    Compact,
    /// 65 × 120 × 55 mm
    Standard,
    /// 100 × 120 × 60 mm
    Wide,
    /// 120 × 145 × 60 mm
    Large,
    /// 190 × 120 × 60 mm
    ExtraLarge,
    /// 100 × 255 × 80 mm
    Treadle,
    /// Never on the board.
    OffBoard,
}

impl SizeClass {
    /// In words, with its width, length and height in mm. [memory]
    #[must_use]
    pub fn describe(self) -> &'static str {
        match self {
            Self::Mini => "mini, 45 × 95 × 55 mm",
            Self::Compact => "compact, 75 × 130 × 60 mm",
            Self::Standard => "standard, 65 × 120 × 55 mm",
            Self::Wide => "wide, 100 × 120 × 60 mm",
            Self::Large => "large, 120 × 145 × 60 mm",
            Self::ExtraLarge => "extra large, 190 × 120 × 60 mm",
            Self::Treadle => "treadle, 100 × 255 × 80 mm",
            Self::OffBoard => "off the board",
        }
    }
}

/// What it takes to own and carry it.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Body {
    /// Size class.
    pub size: SizeClass,
    /// Mass.
    pub mass: Grams,
    /// Price; the catalogue's are invented.
    pub price: Price,
}

/// A device of a rig.
#[derive(Debug, Clone, PartialEq)]
pub struct Device {
    /// Its name for good.
    pub id: DeviceId,
    /// What the player calls it.
    pub name: String,
    /// The part of the catalogue that it was made from; empty for none.
    pub part: String,
    /// Size, mass, price.
    pub body: Body,
    /// What it is.
    pub kind: Kind,
}

impl Kind {
    /// Its jacks, in the order in which a drawing shows them.
    #[must_use]
    pub fn jacks(&self) -> &'static [Jack] {
        match self {
            Self::Guitar(_) | Self::Active(_) => &[Jack::Out],
            Self::Splitter(_) => &[Jack::In, Jack::Out, Jack::SecondOut],
            Self::Tuner(Tuner::Tap { .. }) | Self::Interface(_) => &[Jack::In],
            Self::Amp(Amp { effects_loop: Some(_), .. }) => &[Jack::In, Jack::Send(1), Jack::Return(1)],
            Self::Amp(_) => &[Jack::In],
            _ => &[Jack::In, Jack::Out],
        }
    }

    /// Where a signal that comes in at `jack` goes on to; empty where it ends.
    #[must_use]
    pub fn onward(&self, jack: Jack) -> &'static [Jack] {
        match (self, jack) {
            (Self::Splitter(_), Jack::In) => &[Jack::Out, Jack::SecondOut],
            (Self::Amp(_), _) => &[],
            (kind, Jack::In) if kind.jacks().contains(&Jack::Out) => &[Jack::Out],
            _ => &[],
        }
    }

    /// Whether a signal starts at `jack`: an instrument's output, an amp's send.
    #[must_use]
    pub fn starts(&self, jack: Jack) -> bool {
        match self {
            Self::Guitar(_) | Self::Active(_) => jack == Jack::Out,
            Self::Amp(_) => jack == Jack::Send(1) && self.jacks().contains(&jack),
            _ => false,
        }
    }

    /// Whether a signal has reached its goal at `jack`: an amp, a desk, an interface.
    #[must_use]
    pub fn is_endpoint(&self, jack: Jack) -> bool {
        match self {
            Self::Amp(_) => matches!(jack, Jack::In | Jack::Return(_)),
            Self::Interface(_) | Self::DirectBox(_) => jack == Jack::In,
            _ => false,
        }
    }

    /// The pedal inside, where there is a footswitch.
    #[must_use]
    pub fn pedal(&self) -> Option<&Pedal> {
        match self {
            Self::Pedal(pedal) | Self::Tuner(Tuner::Through { pedal, .. }) | Self::Treadle(Treadle::Wah { pedal }) => {
                Some(pedal)
            }
            _ => None,
        }
    }

    /// The same, to change.
    pub fn pedal_mut(&mut self) -> Option<&mut Pedal> {
        match self {
            Self::Pedal(pedal) | Self::Tuner(Tuner::Through { pedal, .. }) | Self::Treadle(Treadle::Wah { pedal }) => {
                Some(pedal)
            }
            _ => None,
        }
    }

    /// The controls that the curve depends on.
    #[must_use]
    pub fn controls(&self) -> Vec<Control> {
        match self {
            Self::Guitar(guitar) => {
                let volume = guitar.volume.map(|_| Control::Volume);
                let tone = guitar.tone.map(|_| Control::Tone);
                volume.into_iter().chain(tone).collect()
            }
            Self::Treadle(Treadle::PassiveVolume { .. } | Treadle::BufferedVolume { .. }) => {
                vec![Control::Treadle]
            }
            _ => Vec::new(),
        }
    }

    /// Whether it stays off the board: its lead is the long one.
    #[must_use]
    pub fn is_off_board(&self) -> bool {
        matches!(self, Self::Guitar(_) | Self::Active(_) | Self::Amp(_) | Self::DirectBox(_) | Self::Interface(_))
    }

    /// In words, for lists and for a screen reader.
    #[must_use]
    pub fn noun(&self) -> &'static str {
        match self {
            Self::Guitar(Guitar { instrument: super::Instrument::Bass, .. }) => "bass",
            Self::Guitar(_) => "guitar",
            Self::Active(_) => "active instrument",
            Self::Pedal(_) => "pedal",
            Self::Buffer(_) => "buffer",
            Self::Tuner(Tuner::Through { .. }) => "tuner",
            Self::Tuner(Tuner::Tap { .. }) => "tuner on a tap",
            Self::Treadle(Treadle::PassiveVolume { .. }) => "passive volume treadle",
            Self::Treadle(Treadle::BufferedVolume { .. }) => "buffered volume treadle",
            Self::Treadle(Treadle::Wah { .. }) => "wah",
            Self::Splitter(Splitter::Passive { .. }) => "passive splitter",
            Self::Splitter(Splitter::Buffered { .. }) => "buffered splitter",
            Self::Wireless(_) => "wireless set",
            Self::DirectBox(DirectBox::Active { .. }) => "active DI box",
            Self::DirectBox(DirectBox::Transformer { .. }) => "transformer DI box",
            Self::Interface(_) => "recording interface",
            Self::Amp(_) => "amp",
        }
    }
}
