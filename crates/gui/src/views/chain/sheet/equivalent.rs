//! Close up, a device opens into its equivalent circuit, with the values that
//! the computing uses.

use egui::{Align2, Pos2, Rect, pos2, vec2};
use rigwright_core::rig::{
    Bypass, Device, DirectBox, Guitar, Input, Kind, Mixer, Pedal, Selector, Splitter, Stage, State, Treadle, Tuner,
};
use rigwright_core::units::{Farads, Ohms, engineering};

use super::drawing::DeviceShape;
use super::pen::Pen;

/// From this zoom on.
pub const FROM_ZOOM: f32 = 1.9;
/// Height of the values' text in canvas units.
const TEXT: f32 = 8.0;

/// Paints the equivalent circuit around a device's symbol.
pub fn paint(pen: &Pen<'_>, shape: &DeviceShape, device: &Device, state: &State) {
    let p = pen.with(pen.tokens.quiet, 0.7);
    let at = shape.at;
    let input_at = pos2(at.x - shape.reach + 7.0, at.y);
    let output_at = pos2(at.x + shape.reach - 14.0, at.y);
    let stage = |stage: &Stage, wiring: Farads| {
        load(&p, input_at, &stage.input, wiring);
        series(&p, output_at, stage.output);
        across(&p, output_at, stage.output_capacitance);
    };
    match &device.kind {
        // Several pickups are on the card.
        Kind::Guitar(it) if it.pickup_wiring.is_some() => {}
        Kind::Guitar(it) => guitar(&p, at, it),
        Kind::Active(source) => {
            series(&p, output_at, source.output);
            if let Some(piezo) = source.piezo {
                let words = format!("behind {}", engineering(piezo.get(), "F", 3));
                p.text(output_at + vec2(0.0, 17.0), Align2::CENTER_CENTER, &words, TEXT, false);
            }
        }
        Kind::Pedal(it) | Kind::Tuner(Tuner::Through { pedal: it, .. }) | Kind::Treadle(Treadle::Wah { pedal: it }) => {
            pedal(&p, input_at, output_at, it, device.is_on(state));
        }
        Kind::Buffer(buffer) => stage(&buffer.stage, buffer.wiring),
        Kind::Wireless(set) => stage(&set.stage, Farads::of(0.0)),
        Kind::Selector(it) => match it.buffer() {
            Some(buffer) => stage(buffer, Farads::of(0.0)),
            None => {
                let (Selector::Outputs { wiring, .. } | Selector::Inputs { wiring, .. }) = it;
                capacitor(&p, input_at, *wiring);
            }
        },
        Kind::MultiEffects(unit) => stage(&unit.stage, unit.wiring),
        Kind::Splitter(Splitter::Buffered { stage: it, wiring })
        | Kind::Treadle(Treadle::BufferedVolume { stage: it, wiring, .. }) => stage(it, *wiring),
        Kind::Splitter(Splitter::Passive { wiring }) => capacitor(&p, input_at, *wiring),
        Kind::Treadle(Treadle::PassiveVolume { pot, wiring }) => {
            capacitor(&p, input_at, *wiring);
            p.text(
                at + vec2(0.0, 13.0),
                Align2::CENTER_CENTER,
                &engineering(pot.resistance.get(), "Ω", 3),
                TEXT,
                false,
            );
        }
        Kind::Tuner(Tuner::Tap { input }) | Kind::DirectBox(DirectBox::Active { input, .. }) => {
            load(&p, input_at, input, Farads::of(0.0));
        }
        Kind::DirectBox(DirectBox::Transformer { turns, load, .. }) => {
            let ohms = turns.get() * turns.get() * load.get();
            let words = format!("{}:1, seen as {}", turns.get(), engineering(ohms, "Ω", 3));
            p.text(at + vec2(-6.0, 30.0), Align2::RIGHT_CENTER, &words, TEXT, false);
        }
        Kind::Transformer(it) => {
            for at in [input_at + vec2(7.0, 0.0), output_at] {
                series(&p, at, it.winding);
            }
            let coil = engineering(it.magnetising.get(), "H", 3);
            let words = format!("{coil}, {}", engineering(it.capacitance.get(), "F", 3));
            p.text(at + vec2(0.0, -9.0), Align2::CENTER_CENTER, &words, TEXT, false);
        }
        Kind::Mixer(Mixer::Buffered { first, second, output, wiring }) => {
            load(&p, input_at, &first.input, *wiring);
            load(&p, input_at + vec2(22.0, 24.0), &second.input, *wiring);
            series(&p, output_at, *output);
        }
        Kind::Mixer(Mixer::Passive { first, second, wiring }) => {
            capacitor(&p, input_at, *wiring);
            for (at, resistor) in [(input_at + vec2(7.0, 0.0), first), (input_at + vec2(22.0, 24.0), second)] {
                series(&p, at, Ohms::clamped(resistor.get()));
            }
        }
        Kind::Switcher(it) => {
            if let Some(buffer) = &it.input {
                load(&p, input_at, &buffer.input, it.wiring);
            } else {
                capacitor(&p, input_at, it.wiring);
            }
            if let Some(buffer) = &it.output {
                series(&p, output_at, buffer.output);
            }
        }
        Kind::Supply(_) => {}
        Kind::Interface(it) => load(&p, input_at, &it.input, Farads::of(0.0)),
        Kind::Amp(amp) => {
            let words = engineering(amp.input.resistance.get(), "Ω", 3);
            p.text(at + vec2(-19.5, 20.0), Align2::LEFT_CENTER, &words, TEXT, false);
            capacitor(&p, input_at, amp.input.capacitance);
            if let Some(grid) = amp.grid {
                let stopper = engineering(grid.stopper.get(), "Ω", 3);
                p.rect(Rect::from_center_size(at + vec2(-9.0, 0.0), vec2(13.0, 5.0)), 0.0, pen.tokens.sheet);
                p.text(at + vec2(-9.0, -7.0), Align2::CENTER_CENTER, &stopper, TEXT, false);
                capacitor(&p, at + vec2(0.5, 0.0), grid.miller());
            }
        }
    }
}

fn pedal(p: &Pen<'_>, input_at: Pos2, output_at: Pos2, pedal: &Pedal, on: bool) {
    match (on, pedal.bypass) {
        (true, _) => {
            load(p, input_at, &pedal.on.input, pedal.wiring);
            series(p, output_at, pedal.output());
            across(p, output_at, pedal.on.output_capacitance);
        }
        (false, Bypass::True) => capacitor(p, input_at, pedal.wiring),
        (false, Bypass::Buffered) => {
            load(p, input_at, &pedal.off.input, pedal.wiring);
            series(p, output_at, pedal.off.output);
            across(p, output_at, pedal.off.output_capacitance);
        }
        (false, Bypass::AlwaysLoading) => load(p, input_at, &pedal.off.input, pedal.wiring),
    }
}

/// A resistor and a capacitor from the line to 0 V.
fn load(p: &Pen<'_>, at: Pos2, input: &Input, wiring: Farads) {
    let foot = at + vec2(9.0, 0.0);
    p.line(&[foot, foot + vec2(0.0, 4.0)]);
    p.rect(Rect::from_min_size(foot + vec2(-2.0, 4.0), vec2(4.0, 9.0)), 0.0, p.tokens.sheet);
    zero(p, foot + vec2(0.0, 13.0));
    p.text(foot + vec2(4.0, 8.5), Align2::LEFT_CENTER, &engineering(input.resistance.get(), "Ω", 3), TEXT, false);
    match input.coupling {
        None => capacitor(p, at, Farads::clamped(input.capacitance.get() + wiring.get())),
        Some(coupling) => {
            // The wiring lies before it.
            capacitor(p, at, wiring);
            let words = format!("behind {}", engineering(coupling.get(), "F", 3));
            p.text(foot + vec2(4.0, 17.0), Align2::LEFT_CENTER, &words, TEXT, false);
        }
    }
}

/// What lies across an output; nothing for no capacitance.
fn across(p: &Pen<'_>, output_at: Pos2, capacitance: Farads) {
    capacitor(p, output_at + vec2(9.0, 0.0), capacitance);
}

/// A capacitor from the line to 0 V; none for no capacitance.
fn capacitor(p: &Pen<'_>, at: Pos2, capacitance: Farads) {
    if capacitance.get() == 0.0 {
        return;
    }
    p.line(&[at, at + vec2(0.0, 7.0)]);
    for y in [7.0, 9.5] {
        p.line(&[at + vec2(-3.5, y), at + vec2(3.5, y)]);
    }
    zero(p, at + vec2(0.0, 9.5));
    let words = engineering(capacitance.get(), "F", 3);
    p.text(at + vec2(0.0, 22.0), Align2::CENTER_CENTER, &words, TEXT, false);
}

fn zero(p: &Pen<'_>, at: Pos2) {
    p.line(&[at, at + vec2(0.0, 4.0)]);
    for (i, half) in [3.0, 1.9, 0.8].into_iter().enumerate() {
        let y = 4.0 + 1.4 * i as f32;
        p.line(&[at + vec2(-half, y), at + vec2(half, y)]);
    }
}

/// A resistor in the line.
fn series(p: &Pen<'_>, at: Pos2, resistance: Ohms) {
    p.rect(Rect::from_center_size(at, vec2(11.0, 5.0)), 0.0, p.tokens.sheet);
    p.text(at + vec2(0.0, 8.0), Align2::CENTER_CENTER, &engineering(resistance.get(), "Ω", 3), TEXT, false);
}

fn guitar(p: &Pen<'_>, at: Pos2, guitar: &Guitar) {
    let pickup = &guitar.pickup;
    let words =
        format!("{}, {}", engineering(pickup.inductance.get(), "H", 3), engineering(pickup.resistance.get(), "Ω", 3));
    p.text(at + vec2(-46.0, -14.0), Align2::CENTER_CENTER, &words, TEXT, false);
    if let Some(loss) = pickup.eddy_loss {
        // Across the coil.
        let (left, right) = (at + vec2(-66.0, 0.0), at + vec2(-26.0, 0.0));
        p.line(&[left, left + vec2(0.0, 9.0), right + vec2(0.0, 9.0), right]);
        p.rect(Rect::from_center_size(at + vec2(-46.0, 9.0), vec2(13.0, 4.0)), 0.0, p.tokens.sheet);
        let words = format!("eddy loss {}", engineering(loss.get(), "Ω", 3));
        p.text(at + vec2(-46.0, 16.0), Align2::CENTER_CENTER, &words, TEXT, false);
    }
    capacitor(p, at + vec2(-19.0, 0.0), pickup.capacitance);
    if let Some(volume) = guitar.volume {
        let words = engineering(volume.resistance.get(), "Ω", 3);
        p.text(at + vec2(28.0, 0.0), Align2::CENTER_CENTER, &words, TEXT, false);
    }
    if let Some(tone) = guitar.tone {
        let words = format!(
            "tone {} and {}",
            engineering(tone.pot.resistance.get(), "Ω", 3),
            engineering(tone.capacitor.get(), "F", 3)
        );
        p.text(at + vec2(28.0, 31.0), Align2::CENTER_CENTER, &words, TEXT, false);
    }
}
