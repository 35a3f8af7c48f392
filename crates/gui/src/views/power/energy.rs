//! What the rig takes of the mains and of its batteries over an evening.

use egui::{DragValue, Role, Ui, WidgetInfo};
use rigwright_core::units::trimmed;

use super::canvas::Scene;
use super::words;
use crate::widgets::panel;

/// The panel's own state.
#[derive(Debug)]
pub struct Energy {
    hours: f64,
}

impl Default for Energy {
    /// A show with its sound check. [common practice, no source]
    fn default() -> Self {
        Self { hours: 4.0 }
    }
}

impl Energy {
    /// Energy and battery life.
    pub fn ui(&mut self, ui: &mut Ui, scene: &Scene<'_>) {
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
            let taken = trimmed(check.mains.volt_amperes(), 3);
            let energy = trimmed(check.mains.watt_hours(self.hours), 3);
            let plugs = match check.mains.plugs {
                1 => "1 wall socket".to_owned(),
                count => format!("{count} wall sockets"),
            };
            panel::quiet(ui, format!("{taken} VA at {plugs}: {energy} Wh at most."));
        }
        for life in &check.batteries {
            let name = words::name(scene.rig, life.device);
            panel::quiet(
                ui,
                match life.hours {
                    None => format!("Nothing draws on {name}."),
                    Some(hours) if hours < self.hours => {
                        format!("{name} lasts {}, which is too short.", words::hours(hours))
                    }
                    Some(hours) => format!("{name} lasts {}.", words::hours(hours)),
                },
            );
        }
    }
}
