//! The catalogue: find a part and plug it in.

use egui::{Id, Key, Modal, Modifiers, Response, RichText, ScrollArea, Sense, TextEdit, Ui, vec2};
use rigwright_core::parts::{Group, Part, catalogue};
use rigwright_core::rig::{Jack, Rig, Variant, place_name};

use crate::state::plugging;
use crate::theme::{Tokens, text};
use crate::views::{Intent, Purpose};
use crate::widgets::panel;

/// What is wanted where another part is to take a device's place.
pub const REPLACE: &str = "Another part in its place";

/// Whether the catalogue stays open.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Stays {
    /// Somebody is still looking.
    Open,
    /// A part was chosen, or none was wanted.
    Closed,
    /// A part is being dragged out.
    Carried(String),
}

/// The catalogue while it is open.
#[derive(Debug)]
pub struct Picker {
    purpose: Purpose,
    query: String,
    marked: usize,
    fresh: bool,
}

impl Picker {
    /// Opens it for a purpose.
    #[must_use]
    pub fn open(purpose: Purpose) -> Self {
        Self { purpose, query: String::new(), marked: 0, fresh: true }
    }

    /// Shows it, and whether it stays.
    pub fn ui(&mut self, ui: &Ui, variant: &Variant, out: &mut Vec<Intent>) -> Stays {
        let rig = &variant.rig;
        let mut chosen: Option<String> = None;
        let mut carried: Option<String> = None;
        let modal = Modal::new(Id::unique("catalogue")).frame(panel::modal(ui)).show(ui.ctx(), |ui| {
            ui.set_width(520.0_f32.min(ui.ctx().content_rect().width() - 60.0));
            panel::heading(
                ui,
                &match self.purpose {
                    Purpose::Lead(lead) => format!("Insert a part between {}", plugging::ends(variant, lead)),
                    Purpose::Behind(output) => format!("Add a part behind {}", place_name(rig, output)),
                    Purpose::Sheet => "Put a part on the sheet".to_owned(),
                    Purpose::Supply => "Add a supply, a module or a battery".to_owned(),
                    Purpose::Replace(_) => REPLACE.to_owned(),
                },
            );
            self.search(ui);
            let found: Vec<&Part> =
                catalogue().search(&self.query).into_iter().filter(|part| self.fits(part, rig)).collect();
            self.keys(ui, found.len());
            if ui.input(|input| input.key_pressed(Key::Enter))
                && let Some(part) = found.get(self.marked)
            {
                chosen = Some(part.key.clone());
            }
            let height = (ui.ctx().content_rect().height() - 220.0).clamp(120.0, 420.0);
            ScrollArea::vertical().max_height(height).min_scrolled_height(height).auto_shrink([false, true]).show(
                ui,
                |ui| {
                    if found.is_empty() {
                        panel::quiet(ui, "No part goes by that name. Try fewer letters: “drive”, “delay”, “buffer”.");
                    }
                    let mut group = None;
                    for (i, part) in found.iter().enumerate() {
                        if self.query.is_empty() && group != Some(part.group) {
                            group = Some(part.group);
                            ui.add_space(4.0);
                            panel::quiet(ui, part.group.name());
                        }
                        let row = self.row(ui, part, i);
                        if row.clicked() {
                            chosen = Some(part.key.clone());
                        }
                        if row.drag_started() && self.is_dragged_from() {
                            carried = Some(part.key.clone());
                        }
                    }
                },
            );
            panel::quiet(ui, "Generic parts of our own; prices are invented. Every number can be changed afterwards.");
        });
        self.fresh = false;
        if let Some(part) = carried {
            return Stays::Carried(part);
        }
        if let Some(part) = chosen {
            let change = match self.purpose {
                Purpose::Lead(lead) => plugging::insert(variant, lead, &part),
                Purpose::Behind(output) => plugging::add_behind(variant, output, &part),
                Purpose::Sheet | Purpose::Supply => plugging::add(variant, &part, None),
                Purpose::Replace(device) => {
                    out.push(Intent::Replace { device, part });
                    None
                }
            };
            out.extend(change.map(Intent::Change));
            return Stays::Closed;
        }
        if modal.should_close() { Stays::Closed } else { Stays::Open }
    }

    /// Whether a row can be dragged out, over the sheet of the signal.
    fn is_dragged_from(&self) -> bool {
        matches!(self.purpose, Purpose::Lead(_) | Purpose::Behind(_) | Purpose::Sheet)
    }

    /// On a lead only what has a way through; in a device's place only what has its jacks.
    fn fits(&self, part: &Part, rig: &Rig) -> bool {
        let jacks = part.kind.jacks();
        match self.purpose {
            Purpose::Lead(_) => jacks.contains(&Jack::In) && jacks.contains(&Jack::Out),
            Purpose::Behind(_) => jacks.contains(&Jack::In),
            // A supply has no place on the Chain screen's sheet.
            Purpose::Sheet => !jacks.is_empty(),
            Purpose::Supply => part.group == Group::Supplies,
            Purpose::Replace(device) => rig.device(device).is_some_and(|device| device.kind.jacks() == jacks),
        }
    }

    fn search(&mut self, ui: &mut Ui) {
        let edit =
            TextEdit::singleline(&mut self.query).hint_text("What are you looking for?").desired_width(f32::INFINITY);
        let response = ui.add(edit);
        response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::TextInput, true, "Find a part"));
        if self.fresh {
            response.request_focus();
        }
        if response.changed() {
            self.marked = 0;
        }
    }

    fn keys(&mut self, ui: &Ui, count: usize) {
        let pressed = |key| ui.input_mut(|input| input.consume_key(Modifiers::NONE, key));
        if pressed(Key::ArrowDown) {
            self.marked += 1;
        }
        if pressed(Key::ArrowUp) {
            self.marked = self.marked.saturating_sub(1);
        }
        self.marked = self.marked.min(count.saturating_sub(1));
    }

    fn row(&self, ui: &mut Ui, part: &Part, index: usize) -> Response {
        let tokens = Tokens::of(ui);
        let marked = index == self.marked;
        let name = RichText::new(&part.name).family(crate::theme::medium());
        let button = egui::Button::selectable(marked, name).min_size(vec2(ui.available_width(), 0.0)).wrap();
        let response = ui.add(button.sense(Sense::click_and_drag()));
        if marked {
            response.scroll_to_me(None);
        }
        let about = RichText::new(&part.about).font(text::small()).color(tokens.quiet);
        let indent = egui::Frame::new().inner_margin(egui::Margin { left: 10, right: 4, top: 0, bottom: 4 });
        indent.show(ui, |ui| ui.add(egui::Label::new(about).wrap()));
        response
    }
}
