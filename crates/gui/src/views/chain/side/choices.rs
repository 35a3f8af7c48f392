//! What is chosen: kind of bypass, tapers, tone order, treble bleed, and what it may have besides.

use egui::{ComboBox, Ui};
use rigwright_core::parts::effect;
use rigwright_core::parts::usual::{BLEED, BUFFER, COUPLING, LEVEL_POT, PARALLEL_BLEED, PEAK, PIEZO, SERIES_BLEED};
use rigwright_core::rig::{
    Bypass, Desk, Device, DirectBox, Effect, InputFor, Kind, MOST_LOOPS, Mixer, Polarity, Selector, SizeClass, Taper,
    ToDesk, Tone, ToneOrder, Treadle, TrebleBleed, Tuner, WithoutPower,
};
use rigwright_core::units::Turn;

use super::inspector::set;
use super::{effects_loop, pickups, stereo};
use crate::views::{Facts, Intent};

/// All that can be chosen of a device.
pub fn choices(ui: &mut Ui, facts: &Facts<'_>, device: &Device, out: &mut Vec<Intent>) {
    let mut changed = device.clone();
    if let Kind::Pedal(_) = device.kind {
        effect_choice(ui, &mut changed);
    }
    if let Some(pedal) = changed.kind.pedal_mut() {
        let kinds = if pedal.selectable.is_empty() {
            vec![Bypass::True, Bypass::Buffered, Bypass::AlwaysLoading]
        } else {
            pedal.selectable.clone()
        };
        let options: Vec<(Bypass, &str)> = kinds.into_iter().map(|kind| (kind, kind.name())).collect();
        choose(ui, "bypass", &mut pedal.bypass, &options);
        let says = [(None, "as its input tells"), (Some(true), "yes, it wants the guitar"), (Some(false), "no")];
        choose(ui, "gain depends on what drives it", &mut pedal.gain_by_source, &says);
        let says = [
            (None, "as its bypass has it"),
            (Some(WithoutPower::Passes), "lets the signal pass"),
            (Some(WithoutPower::Silent), "is silent"),
            (Some(WithoutPower::Unknown), "a relay, nobody says"),
        ];
        choose(ui, "without power", &mut pedal.without_power, &says);
        have(ui, "its output is a level pot", &mut pedal.level_pot, LEVEL_POT);
    }
    if let Some(input) = changed.kind.input_mut() {
        have(ui, "a small capacitor in the way to its input", &mut input.coupling, COUPLING);
    }
    if let Some(pedal) = changed.kind.pedal_mut().filter(|pedal| pedal.bypass == Bypass::AlwaysLoading) {
        have(ui, "the same while off", &mut pedal.off.input.coupling, COUPLING);
    }
    match &mut changed.kind {
        Kind::Guitar(guitar) => {
            if let Some(volume) = &mut guitar.volume {
                taper(ui, "volume taper", &mut volume.taper);
                ui.push_id("volume", |ui| ui.checkbox(&mut volume.no_load, pickups::NO_LOAD));
            }
            if let Some(Tone { pot, order, .. }) = &mut guitar.tone {
                taper(ui, "tone taper", &mut pot.taper);
                ui.push_id("tone", |ui| ui.checkbox(&mut pot.no_load, pickups::NO_LOAD));
                choose(
                    ui,
                    "tone wired to",
                    order,
                    &[(ToneOrder::OnInput, "the volume's input"), (ToneOrder::OnWiper, "the volume's wiper (older)")],
                );
            }
            if guitar.volume.is_some() {
                bleed(ui, &mut guitar.treble_bleed);
            }
            have(ui, OWN_PEAK, &mut guitar.peak, PEAK);
            have(ui, "strings of another length than usual", &mut guitar.scale, guitar.instrument.usual_scale());
        }
        Kind::Active(source) => {
            have(ui, "a bare piezo, without a preamplifier", &mut source.piezo, PIEZO);
            have(ui, OWN_PEAK, &mut source.peak, PEAK);
        }
        Kind::Treadle(Treadle::PassiveVolume { pot, .. }) => taper(ui, "taper", &mut pot.taper),
        Kind::Treadle(Treadle::BufferedVolume { taper: law, .. }) => taper(ui, "taper", law),
        Kind::Tuner(Tuner::Through { mutes, .. }) => {
            ui.checkbox(mutes, "mutes while on");
        }
        Kind::DirectBox(direct) => {
            let active = matches!(direct, DirectBox::Active { .. });
            to_desk(ui, direct.to_desk_mut(), active);
        }
        Kind::Mixer(Mixer::Buffered { first, second, .. }) => {
            stereo::polarity(ui, "first input", &mut first.polarity, &Polarity::OF_A_UNIT);
            stereo::polarity(ui, "second input", &mut second.polarity, &Polarity::OF_A_UNIT);
        }
        Kind::Selector(selector) => {
            have(ui, "a buffer in it", selector.buffer_mut(), BUFFER);
            if let Selector::Outputs { both, .. } = selector {
                ui.checkbox(both, "a third position joins both");
            }
        }
        Kind::Switcher(switcher) => {
            let loops: Vec<(u8, String)> = (1..=MOST_LOOPS).map(|loops| (loops, loops.to_string())).collect();
            let loops: Vec<(u8, &str)> = loops.iter().map(|(loops, words)| (*loops, words.as_str())).collect();
            choose(ui, "loops", &mut switcher.loops, &loops);
            have(ui, "a buffer at its input", &mut switcher.input, BUFFER);
            if switcher.input.is_some() && switcher.loops > 1 {
                let before = |loops: u8| match loops {
                    0 => "right at the input".to_owned(),
                    1 => "behind loop 1".to_owned(),
                    loops => format!("behind loops 1 to {loops}"),
                };
                let places: Vec<(u8, String)> = (0..switcher.loops).map(|loops| (loops, before(loops))).collect();
                let places: Vec<(u8, &str)> = places.iter().map(|(loops, words)| (*loops, words.as_str())).collect();
                let mut place = switcher.loops_before_buffer();
                choose(ui, "that buffer stands", &mut place, &places);
                if place != switcher.loops_before_buffer() {
                    switcher.before_buffer = place;
                }
            }
            have(ui, "a buffer at its output", &mut switcher.output, BUFFER);
            let says = [
                (WithoutPower::Passes, "lets the signal pass, all loops out"),
                (WithoutPower::Silent, "is silent"),
                (WithoutPower::Unknown, "relays, nobody says"),
            ];
            choose(ui, "without power", &mut switcher.without_power, &says);
        }
        Kind::Interface(interface) => {
            ui.checkbox(&mut interface.second, "a second input like the first");
            let takes = InputFor::ALL.map(|takes| (takes, takes.name()));
            choose(ui, "set for", &mut interface.takes, &takes);
            ui.checkbox(&mut interface.phantom, "phantom power stands on its inputs");
            ui.checkbox(&mut interface.is_desk, "a desk, and not a box beside a computer");
            if !interface.is_desk {
                ui.checkbox(&mut interface.earthed_computer, "its computer is earthed by its mains lead");
            }
        }
        Kind::MultiEffects(unit) => {
            ui.checkbox(&mut unit.balanced, "its outputs are balanced");
            effects_loop::level(ui, "its outputs give", &mut unit.gives);
            let patches = !unit.patches.is_empty();
            effects_loop::choices(ui, &mut unit.effects_loop, patches);
        }
        Kind::Amp(amp) => {
            effects_loop::choices(ui, &mut amp.effects_loop, false);
            if amp.channels.is_empty() {
                stereo::polarity(ui, "its loudspeaker to its input", &mut amp.polarity, &Polarity::OF_A_UNIT);
            }
        }
        _ => {}
    }
    stereo::choices(ui, &mut changed.kind);
    let sizes = SizeClass::ALL.map(|size| (size, size.describe()));
    choose(ui, "size", &mut changed.body.size, &sizes);
    if changed != *device {
        out.push(set(facts, changed, format!("change {}", device.name)));
    }
}

/// A pedal's kind of effect: its part's, until another is chosen.
fn effect_choice(ui: &mut Ui, device: &mut Device) {
    let said = effect(device);
    let mut chosen = said;
    let nobody = said.is_none().then_some((None, "nobody says"));
    let kinds = Effect::ALL.map(|effect| (Some(effect), effect.name()));
    let options: Vec<(Option<Effect>, &str)> = nobody.into_iter().chain(kinds).collect();
    choose(ui, "kind of effect", &mut chosen, &options);
    if chosen != said {
        device.effect = chosen;
    }
}

/// A DI box's balanced output. [default: not plugged in]
fn to_desk(ui: &mut Ui, to: &mut ToDesk, active: bool) {
    let desks = [
        (Desk::Nowhere, "not plugged in"),
        (Desk::Earthed, "to a desk that its mains lead earths"),
        (Desk::NotEarthed, "to a desk that isn't earthed"),
    ];
    choose(ui, "XLR", &mut to.desk, &desks);
    ui.checkbox(&mut to.lifted, "ground lift set: parts the signal's grounds, never a mains earth");
    if active {
        ui.checkbox(&mut to.phantom, "fed by the desk's phantom power");
    }
}

const OWN_PEAK: &str = "a highest voltage of its own";

/// Something that it may have: ticked, it has the usual one, whose numbers are among the others.
pub fn have<T: Copy>(ui: &mut Ui, label: &str, value: &mut Option<T>, usual: T) {
    let mut has = value.is_some();
    if ui.checkbox(&mut has, label).clicked() {
        *value = has.then_some(usual);
    }
}

/// One of several, by a list that opens.
pub fn choose<T: PartialEq + Copy>(ui: &mut Ui, label: &str, value: &mut T, options: &[(T, &str)]) {
    let shown = options.iter().find(|(option, _)| option == value).map_or("another", |(_, words)| words);
    ui.horizontal_wrapped(|ui| {
        ui.label(label);
        let combo = ComboBox::from_id_salt(label).selected_text(shown).show_ui(ui, |ui| {
            for (option, words) in options {
                ui.selectable_value(value, *option, *words);
            }
        });
        combo.response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::ComboBox, true, label));
    });
}

/// A pot's law.
pub fn taper(ui: &mut Ui, label: &str, taper: &mut Taper) {
    let half = match taper {
        Taper::Linear => Turn::of(0.15),
        Taper::TwoSegments { half } | Taper::Exponential { half } => *half,
    };
    choose(
        ui,
        label,
        taper,
        &[
            (Taper::Linear, "linear"),
            (Taper::TwoSegments { half }, "audio, two straight segments"),
            (Taper::Exponential { half }, "audio, smooth"),
        ],
    );
}

/// What bridges a volume pot.
pub fn bleed(ui: &mut Ui, bleed: &mut Option<TrebleBleed>) {
    let keep = *bleed;
    let form = |form: Option<TrebleBleed>| match form {
        None => 0,
        Some(TrebleBleed::Capacitor { .. }) => 1,
        Some(TrebleBleed::Parallel { .. }) => 2,
        Some(TrebleBleed::Series { .. }) => 3,
    };
    let mut chosen = form(keep);
    let options = [
        (0, "none"),
        (1, "capacitor alone"),
        (2, "capacitor and resistor side by side"),
        (3, "capacitor and resistor in series"),
    ];
    choose(ui, "treble bleed", &mut chosen, &options);
    if chosen != form(keep) {
        *bleed = match chosen {
            1 => Some(BLEED),
            2 => Some(PARALLEL_BLEED),
            3 => Some(SERIES_BLEED),
            _ => None,
        };
    }
}
