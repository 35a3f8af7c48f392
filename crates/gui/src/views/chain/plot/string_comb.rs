//! What is heard of one string by where the pickups stand: a line beside the curve, taking the string
//! for an ideal one.

use egui::{Color32, ComboBox, Painter, Role, Shape, Stroke, Ui, WidgetInfo};
use egui_plot::{PlotPoint, PlotTransform};
use rigwright_core::response::StringComb;
use rigwright_core::rig::Kind;
use rigwright_core::units::Level;

use crate::state::{Input, open_strings};
use crate::views::{Facts, Intent};

/// Width of the line.
const LINE: f32 = 1.1;
/// Its nulls go down to this, in dB below the least of the plot.
const BELOW_DB: f64 = 3.0;
const NONE: &str = "no string";

/// Which string it is of, where somebody says where the pickups stand.
pub fn choose(ui: &mut Ui, facts: &Facts<'_>, out: &mut Vec<Intent>) {
    let is_known = |kind: &Kind| matches!(kind, Kind::Guitar(guitar) if guitar.pickup.place.is_some());
    let is_told = facts.project.test_point.is_none() && !facts.inputs.is_difference();
    if !is_told || !facts.variant.rig.devices.iter().any(|device| is_known(&device.kind)) {
        return;
    }
    let all = open_strings(&facts.variant.rig);
    let chosen = facts.inputs.string().filter(|at| *at < all.len());
    let shown = chosen.map_or_else(|| NONE.to_owned(), |at| words(all[at].1));
    let combo = ComboBox::from_id_salt("string").selected_text(shown).show_ui(ui, |ui| {
        if ui.selectable_label(chosen.is_none(), NONE).clicked() {
            out.push(Intent::Input(Input::OpenString(None)));
        }
        for (at, (_, name)) in all.iter().enumerate() {
            if ui.selectable_label(chosen == Some(at), words(name)).clicked() {
                out.push(Intent::Input(Input::OpenString(Some(at))));
            }
        }
    });
    combo.response.widget_info(|| WidgetInfo::labeled(Role::ComboBox, true, "string that the pickups hear"));
    let tip = "A line for the harmonics of one string, open or fretted, as each pickup hears them where it stands: a \
               string taken as ideal, with the same of every harmonic in it.";
    combo.response.on_hover_text(tip);
}

fn words(string: &str) -> String {
    format!("{string}, an ideal string")
}

/// The line, down to the foot of the plot where there is a null.
pub fn paint(painter: &Painter, comb: &StringComb, transform: &PlotTransform, ink: Color32) {
    let least = transform.bounds().min()[1] - BELOW_DB;
    let at = |(hz, level): (&f64, &Level)| {
        let db = level.decibels().unwrap_or(least).max(least);
        transform.position_from_point(&PlotPoint::new(hz.log10(), db))
    };
    let points = comb.hz.iter().zip(&comb.levels).map(at).collect();
    painter.add(Shape::line(points, Stroke::new(LINE, ink)));
}
