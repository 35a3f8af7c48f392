//! Which units a search for a better order leaves before and behind the selected one.

use std::collections::BTreeSet;

use egui::{Button, CollapsingHeader, ComboBox, Label, RichText, Role, Ui, WidgetInfo};
use rigwright_core::rig::{Device, DeviceId, Edit, Jack, JackRef, KeptOrder, Rig};

use crate::state::Change;
use crate::theme::text;
use crate::views::{Facts, Intent};
use crate::widgets::panel;

/// The orders that are kept of a device, and lists to keep more.
pub fn orders(ui: &mut Ui, facts: &Facts<'_>, device: &Device, out: &mut Vec<Intent>) {
    let rig = &facts.variant.rig;
    if !is_on_the_way(device) {
        return;
    }
    let kept: Vec<KeptOrder> = facts
        .variant
        .kept_orders
        .iter()
        .copied()
        .filter(|order| order.before == device.id || order.behind == device.id)
        .collect();
    let title = if kept.is_empty() { "Order".to_owned() } else { format!("Order, {} kept", kept.len()) };
    CollapsingHeader::new(title).id_salt("orders").show(ui, |ui| {
        panel::quiet(ui, "Advice about the order leaves alone what is kept here.");
        for order in &kept {
            self::kept(ui, facts, order, out);
        }
        ui.horizontal_wrapped(|ui| {
            for before in [true, false] {
                let order = |id| match before {
                    true => KeptOrder { before: device.id, behind: id },
                    false => KeptOrder { before: id, behind: device.id },
                };
                let others = rig.devices.iter().filter(|other| other.id != device.id && is_on_the_way(other));
                let free: Vec<&Device> =
                    others.filter(|other| !facts.variant.kept_orders.contains(&order(other.id))).collect();
                let way = if before { "before" } else { "behind" };
                let combo = ComboBox::from_id_salt(("keep", before))
                    .selected_text(format!("keep it {way}…"))
                    .width(130.0)
                    .show_ui(ui, |ui| {
                        if free.is_empty() {
                            ui.label("No other unit is there.");
                        }
                        for other in free {
                            if ui.button(&other.name).clicked() {
                                let step = format!("keep {} {way} {}", device.name, other.name);
                                out.push(change(facts, order(other.id), true, step));
                                ui.close();
                            }
                        }
                    });
                let words = format!("Keep {} {way}", device.name);
                combo.response.widget_info(|| WidgetInfo::labeled(Role::ComboBox, true, &words));
            }
        });
    });
}

/// One that is kept, with the button that lets go of it.
fn kept(ui: &mut Ui, facts: &Facts<'_>, order: &KeptOrder, out: &mut Vec<Intent>) {
    let rig = &facts.variant.rig;
    let name = |id| rig.device(id).map_or("a unit that is gone", |device| device.name.as_str());
    let words = format!("{} before {}", name(order.before), name(order.behind));
    ui.horizontal(|ui| {
        let button = ui.add(Button::new(RichText::new("Let go").font(text::small())));
        let label = format!("Let go of the order: {words}");
        button.widget_info(|| WidgetInfo::labeled(Role::Button, true, &label));
        if button.clicked() {
            out.push(change(facts, *order, false, format!("let go of the order {words}")));
        }
        let turned = feeds(rig, order.behind, order.before);
        let note = if turned { format!("{words} (the other way round now)") } else { words };
        ui.add(Label::new(RichText::new(note).font(text::small())).wrap());
    });
}

fn change(facts: &Facts<'_>, order: KeptOrder, kept: bool, step: String) -> Intent {
    Intent::Change(Change::new(step, Edit::KeepOrder { variant: facts.variant.id, order, kept }))
}

fn is_on_the_way(device: &Device) -> bool {
    let jacks = device.kind.jacks();
    jacks.contains(&Jack::In) && jacks.contains(&Jack::Out)
}

/// Whether the signal goes from one device to another, over whatever is between.
fn feeds(rig: &Rig, from: DeviceId, to: DeviceId) -> bool {
    let mut seen = BTreeSet::from([from]);
    let mut next = vec![from];
    while let Some(at) = next.pop() {
        let Some(device) = rig.device(at) else { continue };
        for out in device.kind.onward(Jack::In) {
            let Some(lead) = rig.lead_from(JackRef::new(at, *out)) else { continue };
            if lead.to.device == to {
                return true;
            }
            if seen.insert(lead.to.device) {
                next.push(lead.to.device);
            }
        }
    }
    false
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_signal_goes_one_way() {
        let project = rigwright_core::file::demo().unwrap();
        let rig = &project.variants[0].rig;
        let id = |name: &str| rig.devices.iter().find(|device| device.name == name).unwrap().id;
        assert!(feeds(rig, id("Compressor"), id("Delay")));
        assert!(feeds(rig, id("Tuner"), id("Amp left")) && feeds(rig, id("Tuner"), id("Amp right")));
        assert!(!feeds(rig, id("Delay"), id("Compressor")) && !feeds(rig, id("Wah"), id("Wah")));
    }
}
