//! A device's switches: where those stand that it has besides on and off, and
//! how each is worked.

use egui::{CollapsingHeader, ComboBox, Id, Role, Ui, WidgetInfo};
use rigwright_core::rig::{
    Action, Amp, Channel, Device, Edit, Kind, Polarity, Position, Switch, SwitchHabit, SwitchSetting, WorkedBy,
    free_name,
};

use super::choices::choose;
use super::inspector::set;
use super::{naming, stereo};
use crate::state::Change;
use crate::views::{Facts, Intent};
use crate::widgets::{panel, small};

/// The channels that an amp has where somebody says that it has any.
const CHANNELS: [&str; 2] = ["clean", "lead"];

/// Where its other switches stand.
pub fn positions(ui: &mut Ui, facts: &Facts<'_>, device: &Device, out: &mut Vec<Intent>) {
    let own = device.kind.on_off_key();
    for switch in device.all_switches().filter(|switch| Some(switch.id.key) != own) {
        let stands = facts.project.state.position(&switch);
        let label = format!("{} of {}", switch.id.key, device.name);
        ui.horizontal_wrapped(|ui| {
            ui.label(switch.id.key.key());
            let name = |position: Position| device.position_name(switch.id.key, position);
            let combo = ComboBox::from_id_salt(&label).selected_text(name(stands)).show_ui(ui, |ui| {
                for position in switch.all_positions() {
                    if ui.selectable_label(position == stands, name(position)).clicked() && position != stands {
                        let step = format!("set the {label} to {}", name(position));
                        let edit = Edit::Switch(SwitchSetting { switch: switch.id, to: position });
                        out.push(Intent::Change(Change::new(step, edit)));
                    }
                }
            });
            combo.response.widget_info(|| WidgetInfo::labeled(Role::ComboBox, true, &label));
        });
    }
}

/// How each is worked.
pub fn habits(ui: &mut Ui, facts: &Facts<'_>, device: &Device, out: &mut Vec<Intent>) {
    let mut changed = device.clone();
    for switch in device.all_switches().filter(|switch| switch.locked.is_none()) {
        let title = match device.kind.on_off_key() == Some(switch.id.key) {
            true => "How its switch works".to_owned(),
            false => format!("How its {} is switched", switch.id.key),
        };
        CollapsingHeader::new(title).id_salt(("how", switch.id.key.key())).show(ui, |ui| {
            habit(
                ui,
                device,
                &switch,
                changed.switches.entry(switch.id.key).or_insert(SwitchHabit::usual(switch.id.key)),
            );
        });
        // What is as usual is not said.
        if changed.switches.get(&switch.id.key) == Some(&SwitchHabit::usual(switch.id.key)) {
            changed.switches.remove(&switch.id.key);
        }
    }
    if changed.switches != device.switches {
        out.push(set(facts, changed, format!("change how {} is switched", device.name)));
    }
}

fn habit(ui: &mut Ui, device: &Device, switch: &Switch, habit: &mut SwitchHabit) {
    let by = [(WorkedBy::Foot, "a foot"), (WorkedBy::Hand, "a hand"), (WorkedBy::Controller, "a controller")];
    choose(ui, "worked by", &mut habit.worked_by, &by);
    if habit.worked_by != WorkedBy::Foot {
        let words = "It stands where the state in hand or the sound has it, and all states hold it there.";
        panel::quiet(ui, words);
    }
    let mut action = switch.action;
    choose(ui, "a step on it", &mut action, &Action::ALL.map(|action| (action, action.name())));
    if action != switch.action {
        habit.action = Some(action);
    }
    let mut default = switch.default;
    let names: Vec<(Position, String)> =
        switch.all_positions().map(|at| (at, device.position_name(switch.id.key, at))).collect();
    let names: Vec<(Position, &str)> = names.iter().map(|(at, name)| (*at, name.as_str())).collect();
    choose(ui, "at rest it is", &mut default, &names);
    if default != switch.default {
        habit.default = default;
    }
    ui.checkbox(&mut habit.remembered, "comes back as it was left when power returns");
}

/// An amp's channels by name.
pub fn channels(ui: &mut Ui, facts: &Facts<'_>, device: &Device, out: &mut Vec<Intent>) {
    let Kind::Amp(amp) = &device.kind else { return };
    let mut has = !amp.channels.is_empty();
    if ui.checkbox(&mut has, "has channels to switch between").clicked() {
        let channels = if has { CHANNELS.map(Channel::named).into() } else { Vec::new() };
        out.push(with_channels(facts, device, amp, channels, "change the channels"));
    }
    let mut removed = None;
    for (at, channel) in amp.channels.iter().enumerate() {
        ui.horizontal(|ui| {
            let id = Id::unique(("name of a channel", device.id.0, at));
            let label = format!("Name of channel {} of {}", at + 1, device.name);
            let renamed = |name: String| {
                let mut channels = amp.channels.clone();
                channels[at].name = name;
                let step = format!("rename a channel of {}", device.name);
                Change::new(step, edit_of(facts, device, amp, channels))
            };
            naming::name(ui, (id, &label, &channel.name), 120.0, renamed, out);
            let can_go = amp.channels.len() > 2;
            let less = ui.add_enabled(can_go, small::button("Take out"));
            let words = format!("Take out channel {}", at + 1);
            less.widget_info(|| WidgetInfo::labeled(Role::Button, can_go, &words));
            if less.clicked() {
                removed = Some(at);
            }
        });
        let mut polarity = channel.polarity;
        let label = format!("loudspeaker to input in “{}”", channel.name);
        stereo::polarity(ui, &label, &mut polarity, &Polarity::OF_A_UNIT);
        if polarity != channel.polarity {
            let mut channels = amp.channels.clone();
            channels[at].polarity = polarity;
            out.push(with_channels(facts, device, amp, channels, "change a channel"));
        }
    }
    if let Some(at) = removed {
        let mut channels = amp.channels.clone();
        channels.remove(at);
        out.push(with_channels(facts, device, amp, channels, "take out a channel"));
    }
    let room = amp.channels.len() < Position::MOST;
    if has && !amp.channels.is_empty() && ui.add_enabled(room, small::button("One more channel")).clicked() {
        let mut channels = amp.channels.clone();
        let name = free_name("channel", |name| amp.channels.iter().any(|there| there.name == name));
        channels.push(Channel::named(&name));
        out.push(with_channels(facts, device, amp, channels, "add a channel"));
    }
}

fn with_channels(facts: &Facts<'_>, device: &Device, amp: &Amp, channels: Vec<Channel>, step: &str) -> Intent {
    Intent::Change(Change::new(format!("{step} of {}", device.name), edit_of(facts, device, amp, channels)))
}

fn edit_of(facts: &Facts<'_>, device: &Device, amp: &Amp, channels: Vec<Channel>) -> Edit {
    let kind = Kind::Amp(Amp { channels, ..amp.clone() });
    Edit::SetDevice { variant: facts.variant.id, device: Box::new(Device { kind, ..device.clone() }) }
}
