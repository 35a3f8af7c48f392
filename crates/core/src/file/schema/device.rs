//! Devices: guitars, pedals and everything up to the amp.

use super::number::{
    Decibels, Farads, Grams, Henries, Hertz, Metres, MixingOhms, Number, Ohms, Price, Ratio, Seconds, Turn, Volts,
    or_none,
};
use super::pickup_wiring::PickupWiring;
use super::power::{Power, Supply, is_no, said};
use super::state::{LoopNumber, SwitchHabit};
use super::text::Text;
use super::tie::{Id, Stored, stored_enums, stored_structs};
use crate::{rig, units};

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

    /// A pedal's kind of effect.
    enum Effect {
        Boost,
        Drive,
        Distortion,
        Fuzz,
        Compressor,
        Gate,
        Equaliser,
        Filter,
        Chorus,
        Flanger,
        Phaser,
        Vibrato,
        Tremolo,
        Rotary,
        RingModulator,
        Octave,
        PitchShifter,
        Delay,
        Reverb,
        Looper,
        Other,
    }

    /// What the signal meets at a unit without power.
    enum WithoutPower {
        Passes,
        Silent,
        Unknown,
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

    /// Two inputs, one output.
    enum Mixer {
        Buffered { first: MixerInput, second: MixerInput, output: Ohms, wiring: Farads },
        Passive { first: MixingOhms, second: MixingOhms, wiring: Farads },
    }

    /// A box with a switch between two ways.
    enum Selector {
        Outputs {
            both: bool,
            #[serde(default, skip_serializing_if = "Option::is_none")]
            buffer: Option<Stage>,
            wiring: Farads,
        },
        Inputs {
            #[serde(default, skip_serializing_if = "Option::is_none")]
            buffer: Option<Stage>,
            wiring: Farads,
        },
    }

    /// What a path does to the sign of a signal.
    enum Polarity {
        Same,
        Inverted,
        Unknown,
        Uncorrelated,
    }

    /// What the left output of a stereo unit gives while nothing is plugged into the right one.
    enum Alone {
        Left,
        Both,
    }

    /// A box that feeds a desk.
    enum DirectBox {
        Active {
            input: Input,
            #[serde(default = "joined_to_desk", skip_serializing_if = "is_joined_to_desk")]
            to_desk: ToDesk,
        },
        Transformer {
            turns: Ratio,
            load: Ohms,
            #[serde(default = "apart_from_desk", skip_serializing_if = "is_apart_from_desk")]
            to_desk: ToDesk,
        },
    }

    /// What an input of a desk or an interface is set to take.
    enum InputFor {
        Instrument,
        Line,
        Microphone,
    }

    /// The level that a send gives, or that a return expects.
    enum LineLevel {
        Instrument,
        MinusTen,
        PlusFour,
    }

    /// Where a DI box's balanced output goes.
    enum Desk {
        Nowhere,
        Earthed,
        NotEarthed,
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
        Transformer(inside: Transformer),
        Switcher(inside: Switcher),
        Mixer(inside: Mixer),
        MultiEffects(inside: MultiEffects),
        Selector(inside: Selector),
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
        #[serde(default, skip_serializing_if = "is_no")]
        no_load: bool,
    }

    /// Where a pickup stands under the strings.
    struct PickupPlace {
        from_bridge: Metres,
        width: Metres,
        #[serde(default, skip_serializing_if = "Option::is_none", serialize_with = "or_none")]
        coils_apart: Option<Metres>,
    }

    /// A magnetic pickup.
    struct Pickup {
        resistance: Ohms,
        inductance: Henries,
        capacitance: Farads,
        #[serde(default, serialize_with = "or_none")]
        eddy_loss: Option<Ohms>,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        place: Option<PickupPlace>,
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
        #[serde(default, skip_serializing_if = "Option::is_none", serialize_with = "or_none")]
        peak: Option<Volts>,
        #[serde(default, skip_serializing_if = "Option::is_none", serialize_with = "or_none")]
        scale: Option<Metres>,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        pickup_wiring: Option<PickupWiring>,
    }

    /// An instrument with electronics of its own.
    struct ActiveSource {
        instrument: Instrument,
        output: Ohms,
        gain: Ratio,
        #[serde(default, skip_serializing_if = "Option::is_none", serialize_with = "or_none")]
        piezo: Option<Farads>,
        #[serde(default, skip_serializing_if = "Option::is_none", serialize_with = "or_none")]
        peak: Option<Volts>,
    }

    /// What an input does to whatever drives it.
    struct Input {
        resistance: Ohms,
        capacitance: Farads,
        #[serde(default, skip_serializing_if = "Option::is_none", serialize_with = "or_none")]
        coupling: Option<Farads>,
    }

    /// A path that isolates.
    struct Stage {
        input: Input,
        output: Ohms,
        #[serde(default = "nothing", skip_serializing_if = "is_nothing")]
        output_capacitance: Farads,
        level: Decibels,
        #[serde(default = "as_it_comes", skip_serializing_if = "is_as_it_comes")]
        polarity: Polarity,
        #[serde(default = "at_once", skip_serializing_if = "is_at_once")]
        latency: Seconds,
    }

    /// One input of a mixer.
    struct MixerInput {
        input: Input,
        level: Decibels,
        #[serde(default = "as_it_comes", skip_serializing_if = "is_as_it_comes")]
        polarity: Polarity,
    }

    /// A pot as a unit's level control.
    struct LevelPot {
        pot: Pot,
        turn: Turn,
    }

    /// A unit with a footswitch.
    struct Pedal {
        bypass: Bypass,
        #[serde(default)]
        selectable: Vec<Bypass>,
        on: Stage,
        off: Stage,
        wiring: Farads,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        level_pot: Option<LevelPot>,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        gain_by_source: Option<bool>,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        without_power: Option<WithoutPower>,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        stereo: Option<Stereo>,
    }

    /// A unit's second channel.
    struct Stereo {
        #[serde(default, skip_serializing_if = "is_no")]
        second_in: bool,
        #[serde(default = "as_it_comes", skip_serializing_if = "is_as_it_comes")]
        right: Polarity,
        #[serde(default = "unchanged", skip_serializing_if = "is_unchanged")]
        right_level: Decibels,
        #[serde(default = "at_once", skip_serializing_if = "is_at_once")]
        right_latency: Seconds,
        #[serde(default, skip_serializing_if = "Option::is_none", serialize_with = "or_none")]
        pan: Option<Turn>,
        #[serde(default = "left_alone", skip_serializing_if = "is_left_alone")]
        alone: Alone,
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
        #[serde(default, skip_serializing_if = "is_no")]
        earthed_computer: bool,
        #[serde(default, skip_serializing_if = "is_no")]
        second: bool,
        #[serde(default = "for_an_instrument", skip_serializing_if = "is_for_an_instrument")]
        takes: InputFor,
        #[serde(default, skip_serializing_if = "is_no")]
        phantom: bool,
        #[serde(default, skip_serializing_if = "is_no")]
        is_desk: bool,
    }

    /// A DI box's balanced output.
    struct ToDesk {
        desk: Desk,
        lifted: bool,
        phantom: bool,
    }

    /// Two like windings on one core.
    struct Transformer {
        winding: Ohms,
        magnetising: Henries,
        capacitance: Farads,
    }

    /// A loop switcher.
    struct Switcher {
        loops: LoopNumber,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        input: Option<Stage>,
        #[serde(default, skip_serializing_if = "is_zero")]
        before_buffer: u8,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        output: Option<Stage>,
        contacts: Farads,
        wiring: Farads,
        without_power: WithoutPower,
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        presets: Vec<Preset>,
        #[serde(default, skip_serializing_if = "is_no")]
        by_presets: bool,
    }

    /// Loops that are in together.
    struct Preset {
        name: Text,
        loops: Vec<LoopNumber>,
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
        #[serde(default = "unchanged", skip_serializing_if = "is_unchanged")]
        send_level: Decibels,
        back: Input,
        #[serde(default = "unchanged", skip_serializing_if = "is_unchanged")]
        back_level: Decibels,
        #[serde(default = "as_it_comes", skip_serializing_if = "is_as_it_comes")]
        back_polarity: Polarity,
        #[serde(default = "at_once", skip_serializing_if = "is_at_once")]
        back_latency: Seconds,
        #[serde(default, skip_serializing_if = "Option::is_none", serialize_with = "or_none")]
        dry: Option<Decibels>,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        send_gives: Option<LineLevel>,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        back_expects: Option<LineLevel>,
        #[serde(default, skip_serializing_if = "is_no")]
        has_switch: bool,
    }

    /// A unit whose effects are called together, as patches.
    struct MultiEffects {
        stage: Stage,
        wiring: Farads,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        stereo: Option<Stereo>,
        #[serde(default, skip_serializing_if = "is_no")]
        balanced: bool,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        gives: Option<LineLevel>,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        effects_loop: Option<EffectsLoop>,
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        patches: Vec<Patch>,
    }

    /// One of the things that a multi-effects unit can be.
    struct Patch {
        name: Text,
        #[serde(default = "unchanged", skip_serializing_if = "is_unchanged")]
        level: Decibels,
        #[serde(default, skip_serializing_if = "is_no")]
        loop_in: bool,
    }

    /// An amplifier.
    struct Amp {
        input: Input,
        #[serde(default)]
        grid: Option<GridStage>,
        #[serde(default)]
        effects_loop: Option<EffectsLoop>,
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        channels: Vec<Channel>,
        #[serde(default = "as_it_comes", skip_serializing_if = "is_as_it_comes")]
        polarity: Polarity,
    }

    /// A channel of an amp.
    struct Channel {
        name: Text,
        #[serde(default = "as_it_comes", skip_serializing_if = "is_as_it_comes")]
        polarity: Polarity,
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
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        switches: Vec<SwitchHabit>,
        body: Body,
        // Nobody has said where it is left out; see the step to version 3.
        #[serde(default, deserialize_with = "said", skip_serializing_if = "Option::is_none")]
        power: Option<Power>,
        #[serde(default, skip_serializing_if = "Option::is_none", serialize_with = "or_none")]
        heard_to: Option<Hertz>,
        // The part that it was made from says it where it is left out.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        effect: Option<Effect>,
        kind: Kind,
    }
}

/// What a path does to the sign where nobody says.
fn as_it_comes() -> Polarity {
    Polarity::Same
}

fn is_as_it_comes(polarity: &Polarity) -> bool {
    *polarity == as_it_comes()
}

/// What a stereo unit's left output gives alone, where nobody says.
fn left_alone() -> Alone {
    Alone::Left
}

fn is_left_alone(alone: &Alone) -> bool {
    *alone == left_alone()
}

/// A path that changes no level.
fn unchanged() -> Decibels {
    Number(units::Decibels::of(0.0))
}

fn is_unchanged(level: &Decibels) -> bool {
    *level == unchanged()
}

/// What an input takes where nobody says.
fn for_an_instrument() -> InputFor {
    InputFor::Instrument
}

fn is_for_an_instrument(takes: &InputFor) -> bool {
    *takes == for_an_instrument()
}

/// How late a path is where nobody says.
fn at_once() -> Seconds {
    Number(units::Seconds::of(0.0))
}

fn is_at_once(latency: &Seconds) -> bool {
    *latency == at_once()
}

/// The balanced output of an active DI box, where nobody has plugged it in.
fn joined_to_desk() -> ToDesk {
    ToDesk { desk: Desk::Nowhere, lifted: false, phantom: false }
}

fn is_joined_to_desk(to_desk: &ToDesk) -> bool {
    *to_desk == joined_to_desk()
}

/// The same of a transformer's: its sides are apart.
fn apart_from_desk() -> ToDesk {
    ToDesk { desk: Desk::Nowhere, lifted: true, phantom: false }
}

fn is_apart_from_desk(to_desk: &ToDesk) -> bool {
    *to_desk == apart_from_desk()
}

/// What a file that doesn't speak of an output's capacitance was understood to say.
fn nothing() -> Farads {
    Farads::store(&units::Farads::of(0.0))
}

fn is_nothing(capacitance: &Farads) -> bool {
    *capacitance == nothing()
}

/// Whether a number says nothing.
#[allow(clippy::trivially_copy_pass_by_ref, reason = "serde hands over a reference")]
fn is_zero(number: &u8) -> bool {
    *number == 0
}
