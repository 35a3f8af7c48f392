//! Devices: guitars, pedals and everything up to the amp.

use super::number::{Decibels, Farads, Grams, Henries, Ohms, Price, Ratio, Turn, or_none};
use super::power::{Power, Supply, is_no, said};
use super::text::Text;
use super::tie::{Id, Stored, stored_enums, stored_structs};
use crate::rig;

stored_enums! {
    /// A pot's law.
    enum Taper {
        Linear,
        TwoSegments { half: Turn },
        Exponential { half: Turn },
    }

    /// Where the tone branch joins the volume pot.
    enum ToneOrder {
        OnInput,
        OnWiper,
    }

    /// What bridges the volume pot.
    enum TrebleBleed {
        Capacitor { capacitance: Farads },
        Parallel { capacitance: Farads, resistance: Ohms },
        Series { capacitance: Farads, resistance: Ohms },
    }

    /// Which strings.
    enum Instrument {
        Guitar,
        Bass,
    }

    /// What a pedal does while off.
    enum Bypass {
        True,
        Buffered,
        AlwaysLoading,
    }

    /// A tuner.
    enum Tuner {
        Through { pedal: Pedal, mutes: bool },
        Tap { input: Input },
    }

    /// A unit worked by the foot's angle.
    enum Treadle {
        PassiveVolume { pot: Pot, wiring: Farads },
        BufferedVolume { stage: Stage, taper: Taper, wiring: Farads },
        Wah { pedal: Pedal },
    }

    /// One input, two outputs.
    enum Splitter {
        Passive { wiring: Farads },
        Buffered { stage: Stage, wiring: Farads },
    }

    /// A box that feeds a desk.
    enum DirectBox {
        Active { input: Input },
        Transformer { turns: Ratio, load: Ohms },
    }

    /// What a device is.
    enum Kind {
        Guitar(inside: Guitar),
        Active(inside: ActiveSource),
        Pedal(inside: Pedal),
        Buffer(inside: Buffer),
        Tuner(inside: Tuner),
        Treadle(inside: Treadle),
        Splitter(inside: Splitter),
        Wireless(inside: Wireless),
        DirectBox(inside: DirectBox),
        Interface(inside: Interface),
        Amp(inside: Amp),
        Supply(inside: Supply),
    }

    /// Our own rounded classes of size.
    enum SizeClass {
        Mini,
        Compact,
        Standard,
        Wide,
        Large,
        ExtraLarge,
        Treadle,
        OffBoard,
    }
}

stored_structs! {
    /// A potentiometer.
    struct Pot {
        resistance: Ohms,
        taper: Taper,
    }

    /// A magnetic pickup.
    struct Pickup {
        resistance: Ohms,
        inductance: Henries,
        capacitance: Farads,
        #[serde(default, serialize_with = "or_none")]
        eddy_loss: Option<Ohms>,
    }

    /// The tone control.
    struct Tone {
        pot: Pot,
        capacitor: Farads,
        order: ToneOrder,
    }

    /// A passive guitar or bass.
    struct Guitar {
        instrument: Instrument,
        pickup: Pickup,
        #[serde(default)]
        volume: Option<Pot>,
        #[serde(default)]
        tone: Option<Tone>,
        #[serde(default)]
        treble_bleed: Option<TrebleBleed>,
    }

    /// An instrument with electronics of its own.
    struct ActiveSource {
        instrument: Instrument,
        output: Ohms,
        gain: Ratio,
    }

    /// What an input does to whatever drives it.
    struct Input {
        resistance: Ohms,
        capacitance: Farads,
    }

    /// A path that isolates.
    struct Stage {
        input: Input,
        output: Ohms,
        level: Decibels,
    }

    /// A unit with a footswitch.
    struct Pedal {
        bypass: Bypass,
        #[serde(default)]
        selectable: Vec<Bypass>,
        on: Stage,
        off: Stage,
        wiring: Farads,
    }

    /// A buffer that is always in the way.
    struct Buffer {
        stage: Stage,
        wiring: Farads,
    }

    /// Transmitter and receiver as one.
    struct Wireless {
        stage: Stage,
    }

    /// A recording interface's input.
    struct Interface {
        input: Input,
    }

    /// A valve's grid behind its stopper.
    struct GridStage {
        stopper: Ohms,
        grid_cathode: Farads,
        grid_plate: Farads,
        gain: Ratio,
    }

    /// The jacks between an amp's preamplifier and its power stage.
    struct EffectsLoop {
        send: Ohms,
        back: Input,
    }

    /// An amplifier.
    struct Amp {
        input: Input,
        #[serde(default)]
        grid: Option<GridStage>,
        #[serde(default)]
        effects_loop: Option<EffectsLoop>,
    }

    /// What it takes to own and carry it.
    struct Body {
        size: SizeClass,
        mass: Grams,
        price: Price,
    }

    /// A device of a rig.
    struct Device {
        id: Id,
        name: Text,
        #[serde(default)]
        part: Text,
        #[serde(default, skip_serializing_if = "is_no")]
        stays_on: bool,
        body: Body,
        // Nobody has said where it is left out; see the step to version 3.
        #[serde(default, deserialize_with = "said", skip_serializing_if = "Option::is_none")]
        power: Option<Power>,
        kind: Kind,
    }
}
