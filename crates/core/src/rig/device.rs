//! Devices: everything that stands between the strings and the speaker.

use std::collections::BTreeMap;

use super::switcher;
use super::{
    ActiveSource, Amp, Buffer, Control, DeviceId, DirectBox, Effect, Guitar, Input, Instrument, Interface, Jack, Mixer,
    MultiEffects, Pedal, PickupWiring, Position, Power, Selector, Splitter, Stage, Stereo, Supply, SwitchHabit,
    SwitchKey, Switcher, Transformer, Treadle, Tuner, Wireless,
};
use crate::units::{Grams, Hertz, Price};

/// A guitar speaker is about 20 dB down by 6-7 kHz: what happens above this is
/// hardly heard. [memory, S: heard-to]
pub const SPEAKER_TO: Hertz = Hertz::of(5_000.0);
/// The same for a desk, an interface or a speaker with a horn. [practice, S: heard-to]
pub const HEARD_TO: Hertz = Hertz::of(10_000.0);

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
    /// A mixer.
    Mixer(Mixer),
    /// A loop switcher.
    Switcher(Switcher),
    /// A selector of outputs or of inputs.
    Selector(Selector),
    /// A multi-effects unit.
    MultiEffects(MultiEffects),
    /// A wireless set.
    Wireless(Wireless),
    /// A box that feeds a desk.
    DirectBox(DirectBox),
    /// A recording interface.
    Interface(Interface),
    /// An isolating transformer.
    Transformer(Transformer),
    /// An amplifier.
    Amp(Amp),
    /// A supply, or a module of one: it has outlets and no signal.
    Supply(Supply),
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
    /// All of them, from the least on.
    pub const ALL: [Self; 8] = [
        Self::Mini,
        Self::Compact,
        Self::Standard,
        Self::Wide,
        Self::Large,
        Self::ExtraLarge,
        Self::Treadle,
        Self::OffBoard,
    ];

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

    /// Width, length and height in m; none for what is never on the board. [memory]
    #[must_use]
    pub fn metres(self) -> Option<[f64; 3]> {
        let millimetres = match self {
            Self::Mini => [45.0, 95.0, 55.0],
            Self::Compact => [75.0, 130.0, 60.0],
            Self::Standard => [65.0, 120.0, 55.0],
            Self::Wide => [100.0, 120.0, 60.0],
            Self::Large => [120.0, 145.0, 60.0],
            Self::ExtraLarge => [190.0, 120.0, 60.0],
            Self::Treadle => [100.0, 255.0, 80.0],
            Self::OffBoard => return None,
        };
        Some(millimetres.map(|value| value * 1e-3))
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
    /// Whether it stays on in every state: the switch that turns it on and off is locked.
    pub stays_on: bool,
    /// What is said of its switches; those that it hasn't now wait for a kind that has them.
    pub switches: BTreeMap<SwitchKey, SwitchHabit>,
    /// Size, mass, price.
    pub body: Body,
    /// What it takes to work.
    pub power: Power,
    /// Up to where an endpoint still gives something, so that a change of tone
    /// is heard; where nobody says, its kind tells.
    pub heard_to: Option<Hertz>,
    /// Which effect it makes, if it is a pedal; where nobody says, its part does.
    pub effect: Option<Effect>,
    /// What it is.
    pub kind: Kind,
}

impl Device {
    /// Up to where a change of tone is heard; none for what is no endpoint.
    #[must_use]
    pub fn heard_to(&self) -> Option<Hertz> {
        let usual = self.kind.heard_to()?;
        Some(self.heard_to.unwrap_or(usual))
    }

    /// Whether it can be turned on and off.
    #[must_use]
    pub fn has_switch(&self) -> bool {
        self.kind.on_off_key().is_some() && !self.stays_on
    }

    /// Whether it is on in a state.
    #[must_use]
    pub fn is_on(&self, state: &super::State) -> bool {
        self.on_off().is_some_and(|switch| state.position(&switch) == Position::ON)
    }

    /// Whether a foot turns it on and off, so that all states range over that.
    #[must_use]
    pub fn has_footswitch(&self) -> bool {
        self.on_off().is_some_and(|switch| switch.varies())
    }

    /// Whether the desk feeds it by phantom power, so that it takes no outlet.
    #[must_use]
    pub fn is_fed_by_phantom(&self) -> bool {
        matches!(&self.kind, Kind::DirectBox(direct) if direct.to_desk().phantom)
    }

    /// Whether it stays off the board, so that its lead is the long one:
    /// instruments and amps always, others where their size class says so.
    #[must_use]
    pub fn is_off_board(&self) -> bool {
        self.body.size == SizeClass::OffBoard || self.kind.is_instrument() || matches!(self.kind, Kind::Amp(_))
    }
}

impl Kind {
    /// Its jacks, in the order in which a drawing shows them.
    #[must_use]
    pub fn jacks(&self) -> &'static [Jack] {
        if let Some(stereo) = self.stereo() {
            return stereo.jacks(self.loops() > 0);
        }
        match self {
            Self::Guitar(_) | Self::Active(_) => &[Jack::Out],
            Self::Splitter(_) | Self::Selector(Selector::Outputs { .. }) => &[Jack::In, Jack::Out, Jack::SecondOut],
            Self::Mixer(_) | Self::Selector(Selector::Inputs { .. }) => &[Jack::In, Jack::SecondIn, Jack::Out],
            Self::Switcher(Switcher { loops, .. }) => switcher::jacks(*loops),
            Self::MultiEffects(MultiEffects { stereo: None, effects_loop: Some(_), .. }) => {
                &[Jack::In, Jack::Out, Jack::Send(1), Jack::Return(1)]
            }
            Self::Interface(Interface { second: true, .. }) => &[Jack::In, Jack::SecondIn],
            Self::Tuner(Tuner::Tap { .. }) | Self::Interface(_) => &[Jack::In],
            Self::Amp(Amp { effects_loop: Some(_), .. }) => &[Jack::In, Jack::Send(1), Jack::Return(1)],
            Self::Amp(_) => &[Jack::In],
            Self::Supply(_) => &[],
            _ => &[Jack::In, Jack::Out],
        }
    }

    /// What is written beside a jack: a DI box's output is the input's own contact.
    #[must_use]
    pub fn jack_name(&self, jack: Jack) -> String {
        match (self, jack) {
            (Self::DirectBox(_), Jack::Out) => "through".to_owned(),
            (kind, Jack::SecondOut) if kind.stereo().is_some() => "right out".to_owned(),
            (kind, Jack::SecondIn) if kind.stereo().is_some() => "right in".to_owned(),
            _ => jack.to_string(),
        }
    }

    /// Where a signal that comes in at `jack` goes on to; empty where it ends.
    #[must_use]
    pub fn onward(&self, jack: Jack) -> &'static [Jack] {
        if let Some(stereo) = self.stereo() {
            return stereo.onward(self.loops() > 0, jack);
        }
        match (self, jack) {
            (Self::Splitter(_) | Self::Selector(Selector::Outputs { .. }), Jack::In) => &[Jack::Out, Jack::SecondOut],
            (Self::Mixer(_) | Self::Selector(Selector::Inputs { .. }), Jack::In | Jack::SecondIn) => &[Jack::Out],
            (Self::Switcher(Switcher { loops, .. }), jack) => switcher::onward(*loops, jack),
            (Self::MultiEffects(MultiEffects { effects_loop: Some(_), .. }), Jack::In) => &[Jack::Out, Jack::Send(1)],
            (Self::MultiEffects(MultiEffects { effects_loop: Some(_), .. }), Jack::Return(1)) => &[Jack::Out],
            (Self::Amp(_), _) => &[],
            (kind, Jack::In) if kind.jacks().contains(&Jack::Out) => &[Jack::Out],
            _ => &[],
        }
    }

    /// Where a signal has come in that leaves by `jack` with all loops out; none
    /// for what starts there.
    #[must_use]
    pub fn input_of(&self, jack: Jack) -> Option<Jack> {
        let inputs = self.jacks().iter().copied().filter(|input| !input.is_output());
        inputs.into_iter().find(|input| self.onward(*input).contains(&jack))
    }

    /// Whether it is played: a guitar, a bass, something with strings and electronics.
    #[must_use]
    pub fn is_instrument(&self) -> bool {
        matches!(self, Self::Guitar(_) | Self::Active(_))
    }

    /// Whether it is played and its pickups drive what it is plugged into by themselves.
    #[must_use]
    pub fn is_passive_instrument(&self) -> bool {
        let has_none = |wiring: &PickupWiring| wiring.preamplifier.is_none();
        matches!(self, Self::Guitar(guitar) if guitar.pickup_wiring.as_deref().is_none_or(has_none))
    }

    /// Whether a signal starts at `jack`: an instrument's output, an amp's send.
    #[must_use]
    pub fn starts(&self, jack: Jack) -> bool {
        match self {
            _ if self.is_instrument() => jack == Jack::Out,
            Self::Amp(_) => jack == Jack::Send(1) && self.jacks().contains(&jack),
            _ => false,
        }
    }

    /// Whether a signal has reached its goal at `jack`: an amp, a desk, an interface.
    #[must_use]
    pub fn is_endpoint(&self, jack: Jack) -> bool {
        match self {
            Self::Amp(amp) => match (jack, amp.effects_loop) {
                (Jack::In, _) => true,
                (Jack::Return(1), Some(way)) => !way.mixes_inside(),
                (Jack::PowerStage, Some(way)) => way.mixes_inside(),
                _ => false,
            },
            Self::Interface(Interface { second: true, .. }) => matches!(jack, Jack::In | Jack::SecondIn),
            Self::Interface(_) | Self::DirectBox(_) => jack == Jack::In,
            _ => false,
        }
    }

    /// Whether a lead may end at `jack` for good: at an endpoint, or at an amp's return, behind
    /// which one lies.
    #[must_use]
    pub fn is_goal(&self, jack: Jack) -> bool {
        self.is_endpoint(jack) || matches!((self, jack), (Self::Amp(_), Jack::Return(_)))
    }

    /// Where levels of it are told: at jacks, or inside.
    pub fn endpoints(&self) -> impl Iterator<Item = Jack> + '_ {
        let inside = [Jack::PowerStage];
        self.jacks().iter().copied().chain(inside).filter(|jack| self.is_endpoint(*jack))
    }

    /// Up to where an endpoint of this kind usually gives something; none for what is no endpoint.
    #[must_use]
    pub fn heard_to(&self) -> Option<Hertz> {
        match self {
            Self::Amp(_) => Some(SPEAKER_TO),
            Self::Interface(_) | Self::DirectBox(_) => Some(HEARD_TO),
            _ => None,
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

    /// A unit's second channel, if it has one.
    #[must_use]
    pub fn stereo(&self) -> Option<&Stereo> {
        match self {
            Self::MultiEffects(unit) => unit.stereo.as_ref(),
            kind => kind.pedal().and_then(|pedal| pedal.stereo.as_ref()),
        }
    }

    /// The same, to change: where there may be one.
    pub fn stereo_mut(&mut self) -> Option<&mut Option<Stereo>> {
        match self {
            Self::MultiEffects(unit) => Some(&mut unit.stereo),
            kind => kind.pedal_mut().map(|pedal| &mut pedal.stereo),
        }
    }

    /// The path of what isolates: of a unit with a footswitch the one while it is on.
    #[must_use]
    pub fn stage(&self) -> Option<&Stage> {
        match self {
            Self::Buffer(buffer) => Some(&buffer.stage),
            Self::Treadle(Treadle::BufferedVolume { stage, .. }) | Self::Splitter(Splitter::Buffered { stage, .. }) => {
                Some(stage)
            }
            Self::Wireless(set) => Some(&set.stage),
            Self::MultiEffects(unit) => Some(&unit.stage),
            Self::Selector(selector) => selector.buffer(),
            kind => kind.pedal().map(|pedal| &pedal.on),
        }
    }

    /// The same, to change.
    pub fn stage_mut(&mut self) -> Option<&mut Stage> {
        match self {
            Self::Buffer(buffer) => Some(&mut buffer.stage),
            Self::Treadle(Treadle::BufferedVolume { stage, .. }) | Self::Splitter(Splitter::Buffered { stage, .. }) => {
                Some(stage)
            }
            Self::Wireless(set) => Some(&mut set.stage),
            Self::MultiEffects(unit) => Some(&mut unit.stage),
            Self::Selector(selector) => selector.buffer_mut().as_mut(),
            kind => kind.pedal_mut().map(|pedal| &mut pedal.on),
        }
    }

    /// The input that counts most: of a unit with a footswitch the one while on.
    pub fn input_mut(&mut self) -> Option<&mut Input> {
        match self {
            Self::Pedal(pedal) | Self::Tuner(Tuner::Through { pedal, .. }) | Self::Treadle(Treadle::Wah { pedal }) => {
                Some(&mut pedal.on.input)
            }
            Self::Buffer(buffer) => Some(&mut buffer.stage.input),
            Self::Treadle(Treadle::BufferedVolume { stage, .. }) | Self::Splitter(Splitter::Buffered { stage, .. }) => {
                Some(&mut stage.input)
            }
            Self::Wireless(set) => Some(&mut set.stage.input),
            Self::MultiEffects(unit) => Some(&mut unit.stage.input),
            Self::Selector(selector) => selector.buffer_mut().as_mut().map(|stage| &mut stage.input),
            Self::Mixer(Mixer::Buffered { first, .. }) => Some(&mut first.input),
            Self::Switcher(switcher) => switcher.input.as_mut().map(|stage| &mut stage.input),
            Self::DirectBox(DirectBox::Active { input, .. }) | Self::Tuner(Tuner::Tap { input }) => Some(input),
            Self::Interface(interface) => Some(&mut interface.input),
            Self::Amp(amp) => Some(&mut amp.input),
            Self::Guitar(_)
            | Self::Active(_)
            | Self::Treadle(Treadle::PassiveVolume { .. })
            | Self::Splitter(Splitter::Passive { .. })
            | Self::Mixer(Mixer::Passive { .. })
            | Self::DirectBox(DirectBox::Transformer { .. })
            | Self::Transformer(_)
            | Self::Supply(_) => None,
        }
    }

    /// The controls that the curve depends on.
    #[must_use]
    pub fn controls(&self) -> Vec<Control> {
        match self {
            Self::Guitar(guitar) => {
                let volume = guitar.volume.map(|_| Control::Volume);
                let tone = guitar.tone.map(|_| Control::Tone);
                let own = guitar.pickup_wiring.as_deref().map(PickupWiring::controls);
                own.into_iter().flatten().chain(volume).chain(tone).collect()
            }
            Self::Treadle(Treadle::PassiveVolume { .. } | Treadle::BufferedVolume { .. }) => {
                vec![Control::Treadle]
            }
            _ => Vec::new(),
        }
    }

    /// What one of its controls is called.
    #[must_use]
    pub fn control_name(&self, control: Control) -> String {
        match (self, control) {
            (Self::Guitar(Guitar { pickup_wiring: Some(wiring), .. }), Control::VolumeOf(pickup)) => {
                format!("volume of {}", wiring.name(pickup))
            }
            (Self::Guitar(Guitar { pickup_wiring: Some(wiring), .. }), Control::ToneOf(pickup)) => {
                format!("tone of {}", wiring.name(pickup))
            }
            (_, control) => control.name(),
        }
    }

    /// In words, for lists and for a screen reader.
    #[must_use]
    pub fn noun(&self) -> &'static str {
        match self {
            Self::Guitar(Guitar { instrument: Instrument::Bass, .. }) => "bass",
            Self::Guitar(_) => "guitar",
            Self::Active(ActiveSource { piezo: Some(_), .. }) => "piezo instrument",
            Self::Active(_) => "active instrument",
            Self::Pedal(_) => "pedal",
            Self::Buffer(_) => "buffer",
            Self::Tuner(Tuner::Through { .. }) => "tuner",
            Self::Tuner(Tuner::Tap { .. }) => "tuner on a tap",
            Self::Treadle(Treadle::PassiveVolume { .. }) => "passive volume pedal",
            Self::Treadle(Treadle::BufferedVolume { .. }) => "buffered volume pedal",
            Self::Treadle(Treadle::Wah { .. }) => "wah",
            Self::Splitter(Splitter::Passive { .. }) => "passive splitter",
            Self::Splitter(Splitter::Buffered { .. }) => "buffered splitter",
            Self::Mixer(_) => "mixer",
            Self::Switcher(_) => "loop switcher",
            Self::Selector(Selector::Outputs { .. }) => "selector of outputs",
            Self::Selector(Selector::Inputs { .. }) => "selector of inputs",
            Self::MultiEffects(_) => "multi-effects unit",
            Self::Wireless(_) => "wireless set",
            Self::DirectBox(DirectBox::Active { .. }) => "active DI box",
            Self::DirectBox(DirectBox::Transformer { .. }) => "transformer DI box",
            Self::Interface(Interface { is_desk: true, .. }) => "desk",
            Self::Interface(_) => "recording interface",
            Self::Transformer(_) => "isolating transformer",
            Self::Amp(_) => "amp",
            Self::Supply(_) => "supply",
        }
    }
}
