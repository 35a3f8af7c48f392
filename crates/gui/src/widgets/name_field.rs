//! A field for a name: it may be empty while it is being typed, and is never
//! left so. It takes no more than a name can have.

use egui::{Id, Response, Role, TextEdit, Ui, WidgetInfo};
use rigwright_core::rig::LONGEST_NAME;

/// What came of a frame.
pub struct Named {
    /// The field.
    pub response: Response,
    /// A new name, not empty.
    pub name: Option<String>,
}

/// A field called `label` that holds `value`. What is typed is told at once,
/// but for nothing at all, which the field keeps to itself until it is left.
pub fn edit(ui: &mut Ui, id: Id, label: &str, value: &str, look: impl FnOnce(TextEdit<'_>) -> TextEdit<'_>) -> Named {
    let focused = ui.memory(|memory| memory.has_focus(id));
    let kept: Option<String> = ui.data(|data| data.get_temp(id));
    let empty = kept.filter(|_| focused);
    let mut typed = empty.unwrap_or_else(|| value.to_owned());
    let response = ui.add(look(TextEdit::singleline(&mut typed).id(id).char_limit(LONGEST_NAME)));
    let words = label.to_owned();
    let current = typed.clone();
    response.widget_info(move || {
        let mut info = WidgetInfo::labeled(Role::TextInput, true, &words);
        info.current_text_value = Some(current.clone());
        info
    });
    let blank = typed.trim().is_empty();
    if blank && !response.lost_focus() {
        ui.data_mut(|data| data.insert_temp(id, typed.clone()));
    } else {
        ui.data_mut(|data| data.remove::<String>(id));
    }
    let name = (response.changed() && !blank).then_some(typed);
    Named { response, name }
}
