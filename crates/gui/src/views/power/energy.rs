//! What the rig takes of the mains and of its batteries over an evening, and which mains that is.

use egui::{DragValue, Role, Ui, WidgetInfo};
use rigwright_core::power::words as said;
use rigwright_core::rig::device_name;
use rigwright_core::units::trimmed;

use super::canvas::Scene;
use super::mains::MainsPanel;
use crate::views::{Facts, Intent};
use crate::widgets::panel;

/// The panel's own state.
#[derive(Debug)]
pub struct Energy {
    hours: f64,
    mains: MainsPanel,
}

impl Default for Energy {
    /// A show with its sound check. [practice, S: show]
    fn default() -> Self {
        Self { hours: 4.0, mains: MainsPanel::default() }
    }
}

impl Energy {
    /// Energy and battery life.
    pub fn ui(&mut self, ui: &mut Ui, facts: &Facts<'_>, scene: &Scene<'_>, out: &mut Vec<Intent>) {
        let Some(check) = scene.answer.map(|answer| &answer.check) else { return };
        if check.mains.plugs == 0 && check.batteries.is_empty() {
            return;
        }
        ui.separator();
        panel::heading(ui, "Mains and batteries");
        ui.horizontal(|ui| {
            ui.label("switched on for");
            let field =
                ui.add(DragValue::new(&mut self.hours).range(0.1..=48.0).speed(0.1).suffix(" h").max_decimals(1));
            field.widget_info(|| WidgetInfo::labeled(Role::SpinButton, true, "Hours switched on"));
        });
        if check.mains.plugs > 0 {
            let taken = trimmed(check.mains.watts(), 3);
            let energy = trimmed(check.mains.watt_hours(self.hours), 3);
            let plugs = match check.mains.plugs {
                1 => "1 wall socket".to_owned(),
                count => format!("{count} wall sockets"),
            };
            panel::quiet(ui, format!("{taken} W at {plugs}: {energy} Wh at most."));
            if check.mains.volt_amperes > check.mains.watts() + 0.05 {
                let apparent = trimmed(check.mains.volt_amperes, 3);
                panel::quiet(
                    ui,
                    format!("As apparent power, by which fuses and transformers are rated: {apparent} VA."),
                );
            }
            self.mains.ui(ui, facts, out);
        }
        for life in &check.batteries {
            let name = device_name(scene.rig, life.device);
            panel::quiet(
                ui,
                match &life.life {
                    None => format!("Nothing draws on {name}."),
                    Some(life) => {
                        let whole = match life.hours {
                            hours if hours.most < self.hours => ": not the whole of it",
                            hours if hours.least < self.hours => ": perhaps not the whole of it",
                            _ => "",
                        };
                        format!("{name} {}{whole}.", said::lasts(life))
                    }
                },
            );
        }
        if check.batteries.iter().any(|life| life.life.is_some_and(|life| life.until.is_some())) {
            panel::quiet(ui, said::PLUG_LEFT_IN);
        }
    }
}
