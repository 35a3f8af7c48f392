//! A list with something chosen in it.

use egui::{ComboBox, Role, Ui, WidgetInfo};

/// A list under the name that is read out; true if something else was chosen.
pub fn choose<T: PartialEq + Clone>(ui: &mut Ui, name: &str, value: &mut T, options: &[(T, String)]) -> bool {
    let before = value.clone();
    let shown = options.iter().find(|(option, _)| option == value).map_or("another", |(_, words)| words.as_str());
    let combo = ComboBox::from_id_salt(name).selected_text(shown).width(190.0).truncate().show_ui(ui, |ui| {
        for (option, words) in options {
            ui.selectable_value(value, option.clone(), words);
        }
    });
    combo.response.widget_info(|| {
        let mut info = WidgetInfo::labeled(Role::ComboBox, true, name);
        info.current_text_value = Some(shown.to_owned());
        info
    });
    *value != before
}
