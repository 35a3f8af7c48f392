//! The supply lead of the selected unit: where it begins, how long, how thick, what stands between.

use egui::{RichText, Ui};
use rigwright_core::conductor::Gauge;
use rigwright_core::power::TapCheck;
use rigwright_core::rig::{Connector, Device, DeviceId, Edit, Feed, FeedFrom, OutletRef, PowerEdit, Tap};
use rigwright_core::units::{Dimension, Metres};

use super::canvas::Scene;
use super::layout::first;
use super::{menus, words};
use crate::state::Change;
use crate::theme::Tokens;
use crate::views::Intent;
use crate::widgets::choose::choose;
use crate::widgets::quantity::{self, Quantity, Typed};
use crate::widgets::{panel, small};

/// The panel's own state.
#[derive(Debug, Default)]
pub struct FeedPanel {
    /// What is wrong with what was typed last, and of which device.
    wrong: Option<(DeviceId, String)>,
}

impl FeedPanel {
    /// What brings a device its power.
    pub fn ui(&mut self, ui: &mut Ui, scene: &Scene<'_>, device: &Device, out: &mut Vec<Intent>) {
        if device.power.need().is_none() {
            return;
        }
        fed_by(ui, scene, device, out);
        let Some(feed) = scene.rig.feed_to(device.id) else { return };
        let Some(at) = feed.taps.iter().position(|tap| tap.device == device.id) else { return };
        figures(ui, scene, device, feed);
        let mut changed = feed.clone();
        pair(ui, scene, device, &mut changed);
        lead(ui, device, &mut changed);
        self.length(ui, device, &mut changed.taps[at]);
        adapter(ui, device, &mut changed.taps[at]);
        if feed.is_daisy() {
            along(ui, &mut changed, at);
        }
        if changed != *feed {
            let step = format!("change the supply lead of {}", device.name);
            let edit = Edit::Power { variant: scene.variant, edit: PowerEdit::SetFeed(Box::new(changed)) };
            out.push(Intent::Change(Change::new(step, edit)));
        }
    }

    fn length(&mut self, ui: &mut Ui, device: &Device, tap: &mut Tap) {
        ui.horizontal(|ui| {
            ui.spacing_mut().item_spacing.x = 10.0;
            ui.label("lead up to its plug");
            let name = format!("Length of the supply lead of {}", device.name);
            let (_, typed) = quantity::edit(
                ui,
                &Quantity { name: &name, value: tap.length.get(), dimension: Dimension::Length, unit: "m" },
                "",
            );
            match typed {
                Typed::Nothing | Typed::Looked(_) => {}
                Typed::GaveUp => self.wrong = None,
                Typed::Wrong(words) => self.wrong = Some((device.id, words)),
                Typed::Value(value) | Typed::Stepped(value) => match Metres::new(value) {
                    Ok(length) => (tap.length, self.wrong) = (length, None),
                    Err(error) => self.wrong = Some((device.id, error.to_string())),
                },
            }
        });
        if let Some((_, words)) = self.wrong.as_ref().filter(|(id, _)| *id == device.id) {
            ui.label(RichText::new(words).color(Tokens::of(ui).alarm));
        }
    }
}

/// The outlet, for those who don't drag.
fn fed_by(ui: &mut Ui, scene: &Scene<'_>, device: &Device, out: &mut Vec<Intent>) {
    let feed = scene.rig.feed_to(device.id);
    let now = feed.map(|feed| first(feed.from));
    let mut chosen = now;
    let nothing = (None, "nothing".to_owned());
    let outlets = menus::outlets(scene, device).into_iter().map(|(outlet, words)| (Some(outlet), words));
    let options: Vec<(Option<OutletRef>, String)> = std::iter::once(nothing).chain(outlets).collect();
    ui.horizontal(|ui| {
        ui.label("fed by");
        choose(ui, &format!("What feeds {}", device.name), &mut chosen, &options);
    });
    match chosen {
        Some(outlet) if chosen != now => out.push(Intent::PlugIn { device: device.id, outlet }),
        None if now.is_some() => out.push(menus::unplug(scene, device)),
        _ => {}
    }
}

fn figures(ui: &mut Ui, scene: &Scene<'_>, device: &Device, feed: &Feed) {
    let Some(check) = scene.answer.map(|answer| &answer.check) else { return };
    let Some(tap) = check.tap(device.id) else { return };
    let Some(volts) = tap.volts else { return };
    let mut words = format!(
        "It gets {}, {} lost in the lead; it draws {}{}.",
        words::volts(volts),
        millivolts(tap.drop),
        words::current(tap.running),
        start_up(device, tap)
    );
    if feed.is_daisy()
        && let Some(feed) = check.feeds.iter().find(|each| each.feed == feed.id)
    {
        let offset = millivolts(feed.return_offset.abs());
        words.push_str(&format!(" Along this daisy lead the 0 V shifts by {offset}: that is where noise gets in."));
    }
    panel::quiet(ui, words);
}

/// ", 500 mA for some milliseconds at start-up", where that is more. [memory: how long]
fn start_up(device: &Device, tap: &TapCheck) -> String {
    if tap.start_up <= tap.running + 1e-12 {
        return String::new();
    }
    let need = device.power.need();
    let long = match (need.is_some_and(|need| need.heaters), tap.lasting < tap.start_up) {
        (true, _) => " for about a second",
        (false, true) => " for some milliseconds",
        (false, false) => "",
    };
    format!(", {}{long} at start-up", words::current(tap.start_up))
}

fn millivolts(volts: f64) -> String {
    format!("{} mV", rigwright_core::units::trimmed(volts * 1e3, 3))
}

/// Two outlets as one.
fn pair(ui: &mut Ui, scene: &Scene<'_>, device: &Device, feed: &mut Feed) {
    let own = first(feed.from);
    let Some(supply) = scene.rig.device(own.supply).and_then(|device| device.kind.supply()) else { return };
    let mut options = vec![(FeedFrom::One(own), "alone".to_owned())];
    for number in (1..=u8::MAX).take(supply.outlets.len()) {
        let other = OutletRef::new(own.supply, number);
        let taken = scene.rig.feed_from(other).is_some_and(|there| there.id != feed.id);
        if other == own || taken {
            continue;
        }
        options.push((FeedFrom::Series { lower: own, upper: other }, format!("in series with outlet {number}")));
        options.push((FeedFrom::Parallel { first: own, second: other }, format!("in parallel with outlet {number}")));
    }
    if options.len() > 1 {
        ui.horizontal(|ui| {
            ui.label("its outlet");
            choose(ui, &format!("Outlets of {} together", device.name), &mut feed.from, &options);
        });
    }
}

fn lead(ui: &mut Ui, device: &Device, feed: &mut Feed) {
    let gauges: Vec<(Gauge, String)> = Gauge::ALL.map(|gauge| (gauge, gauge.name().to_owned())).to_vec();
    ui.horizontal(|ui| {
        ui.label("its conductors");
        choose(ui, &format!("Conductors of the supply lead of {}", device.name), &mut feed.gauge, &gauges);
    });
}

fn adapter(ui: &mut Ui, device: &Device, tap: &mut Tap) {
    ui.checkbox(&mut tap.adapter.swaps_poles, "An adapter that reverses the polarity");
    let own = (None, "none: the lead's own plug".to_owned());
    let others = Connector::ALL.map(|connector| (Some(connector), connector.name().to_owned()));
    let options: Vec<(Option<Connector>, String)> = std::iter::once(own).chain(others).collect();
    ui.horizontal(|ui| {
        ui.label("adapter's plug");
        choose(ui, &format!("Adapter before {}", device.name), &mut tap.adapter.plug, &options);
    });
}

/// Its place on a daisy lead: the lead stays, its plugs change units.
fn along(ui: &mut Ui, feed: &mut Feed, at: usize) {
    ui.horizontal_wrapped(|ui| {
        let mut to = at;
        if ui.add_enabled(at > 0, small::button("Nearer to the outlet")).clicked() {
            to = at.saturating_sub(1);
        }
        if ui.add_enabled(at + 1 < feed.taps.len(), small::button("Farther from it")).clicked() {
            to = at + 1;
        }
        if to != at {
            let lengths: Vec<Metres> = feed.taps.iter().map(|tap| tap.length).collect();
            feed.taps.swap(at, to);
            for (tap, length) in feed.taps.iter_mut().zip(lengths) {
                tap.length = length;
            }
        }
    });
}
