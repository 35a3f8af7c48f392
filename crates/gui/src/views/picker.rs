//! The catalogue: find a part and plug it in; what is the player's own stands first.

use egui::{Id, Key, Modal, Modifiers, Response, RichText, ScrollArea, Sense, TextEdit, Ui, vec2};
use rigwright_core::parts::{Group, Part, Wanted, catalogue};
use rigwright_core::rig::{Jack, LONGEST_NAME, Rig, place_name};
use rigwright_core::words::capital;

use crate::state::plugging;
use crate::theme::{Tokens, text};
use crate::views::{Facts, Intent, Purpose, own_part};
use crate::widgets::panel;

/// What is wanted where another part is to take a device's place.
pub const REPLACE: &str = "Another part in its place";

/// What is said where nothing is typed yet.
const EXAMPLES: &str = "By name, or by need: “18 V”, “under 30 mA”, “true bypass”, “mini”, “under 80 €”.";

/// Over the parts that were put in of late.
const USED_LAST: &str = "used last";

/// Whether the catalogue stays open.
#[derive(Debug, Clone, PartialEq)]
pub enum Stays {
    /// Somebody is still looking.
    Open,
    /// A part was chosen, or none was wanted.
    Closed,
    /// A part is being dragged out.
    Carried(Box<Part>),
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
    pub fn ui(&mut self, ui: &Ui, facts: &Facts<'_>, out: &mut Vec<Intent>) -> Stays {
        let (variant, rig) = (facts.variant, &facts.variant.rig);
        let mut chosen: Option<Box<Part>> = None;
        let mut carried: Option<Box<Part>> = None;
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
            let field = self.search(ui);
            let found = self.found(facts);
            // A question that stands before it has the keys.
            let on_top = ui.memory(|memory| memory.top_modal_layer()).is_none_or(|layer| layer == ui.layer_id());
            let walked = on_top && self.keys(ui, found.len());
            panel::quiet(ui, self.understood(found.len()));
            if on_top
                && ui.memory(|memory| memory.focused()).is_none_or(|focused| focused == field)
                && ui.input(|input| input.key_pressed(Key::Enter))
                && let Some(part) = found.get(self.marked).map(|(_, part)| part)
            {
                chosen = Some(Box::new((*part).clone()));
            }
            let height = (ui.ctx().content_rect().height() - 240.0).clamp(120.0, 420.0);
            ScrollArea::vertical().max_height(height).min_scrolled_height(height).auto_shrink([false, true]).show(
                ui,
                |ui| {
                    if found.is_empty() {
                        panel::quiet(ui, self.why_none());
                    }
                    let mut heading = None;
                    for (i, (over, part)) in found.iter().enumerate() {
                        if over.is_some() && heading != *over {
                            heading = *over;
                            ui.add_space(4.0);
                            panel::quiet(ui, heading.unwrap_or_default());
                        }
                        let row = self.row(ui, facts, part, i, out);
                        if walked && i == self.marked {
                            row.scroll_to_me(None);
                        }
                        // Who walks by Tab goes on from there by arrows.
                        if row.gained_focus() {
                            self.marked = i;
                        }
                        if row.clicked() {
                            chosen = Some(Box::new((*part).clone()));
                        }
                        if row.drag_started() && self.is_dragged_from() {
                            carried = Some(Box::new((*part).clone()));
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
                Purpose::Sheet | Purpose::Supply => Some(plugging::add(variant, &part, None)),
                Purpose::Replace(device) => {
                    out.push(Intent::Replace { device, part: part.key });
                    None
                }
            };
            out.extend(change.map(Intent::Change));
            return Stays::Closed;
        }
        if modal.should_close() { Stays::Closed } else { Stays::Open }
    }

    /// What is listed, each part with the heading that it stands under, if any: while nothing
    /// is typed those that were used last; own parts; and then the catalogue's.
    fn found<'a>(&self, facts: &Facts<'a>) -> Vec<(Option<&'static str>, &'a Part)> {
        let is_empty = self.query.trim().is_empty();
        let fits = |part: &&Part| self.fits(part, &facts.variant.rig);
        let used = facts.used_parts.iter().filter(|_| is_empty).filter_map(|key| facts.own_parts.part(key));
        let used = used.filter(fits).map(|part| (Some(USED_LAST), part));
        let own: Vec<&Part> = facts.own_parts.shelf().search(&self.query).into_iter().filter(fits).collect();
        let others = (!own.is_empty()).then_some(own_part::OTHERS);
        let searched = catalogue().search(&self.query).into_iter().filter(fits);
        let searched = searched.map(|part| (if is_empty { Some(part.group.name()) } else { others }, part));
        used.chain(own.into_iter().map(|part| (Some(own_part::HEADING), part))).chain(searched).collect()
    }

    /// How the query was understood and how much that finds, or what could be typed.
    fn understood(&self, count: usize) -> String {
        match Wanted::read(&self.query).in_words() {
            words if words.is_empty() => EXAMPLES.to_owned(),
            words => format!("{}: {count} {}", capital(&words), if count == 1 { "part" } else { "parts" }),
        }
    }

    fn why_none(&self) -> &'static str {
        if Wanted::read(&self.query).needs.is_empty() {
            "No part goes by that name. Try fewer letters: “drive”, “delay”, “buffer”."
        } else {
            "No part here meets all of that. Ask for less, or use fewer letters."
        }
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
            Purpose::Supply => part.kind.supply().is_some(),
            Purpose::Replace(device) => rig.device(device).is_some_and(|device| device.kind.jacks() == jacks),
        }
    }

    fn search(&mut self, ui: &mut Ui) -> Id {
        let edit = TextEdit::singleline(&mut self.query)
            .char_limit(LONGEST_NAME)
            .hint_text("What are you looking for?")
            .desired_width(f32::INFINITY);
        let response = ui.add(edit);
        response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::TextInput, true, "Find a part"));
        if self.fresh {
            response.request_focus();
        }
        if response.changed() {
            self.marked = 0;
        }
        response.id
    }

    /// Walks; whether the mark was moved.
    fn keys(&mut self, ui: &Ui, count: usize) -> bool {
        let pressed = |key| ui.input_mut(|input| input.consume_key(Modifiers::NONE, key));
        let before = self.marked;
        if pressed(Key::ArrowDown) {
            self.marked += 1;
        }
        if pressed(Key::ArrowUp) {
            self.marked = self.marked.saturating_sub(1);
        }
        self.marked = self.marked.min(count.saturating_sub(1));
        self.marked != before
    }

    fn row(&self, ui: &mut Ui, facts: &Facts<'_>, part: &Part, index: usize, out: &mut Vec<Intent>) -> Response {
        let tokens = Tokens::of(ui);
        let marked = index == self.marked;
        let name = RichText::new(&part.name).family(crate::theme::medium());
        let is_own = part.group == Group::Own;
        let mut button = egui::Button::selectable(marked, name).min_size(vec2(ui.available_width(), 0.0)).wrap();
        if is_own {
            button = button.shortcut_text(RichText::new(own_part::mark(part, facts)).font(text::small()));
        }
        let response = ui.add(button.sense(Sense::click_and_drag()));
        if is_own {
            let named = format!("{}, {}", part.name, own_part::mark(part, facts));
            response.widget_info(|| egui::WidgetInfo::selected(egui::Role::Button, true, marked, &named));
            own_part::menu(&response, part, out);
        }
        let about = RichText::new(&part.about).font(text::small()).color(tokens.quiet);
        let indent = egui::Frame::new().inner_margin(egui::Margin { left: 10, right: 4, top: 0, bottom: 4 });
        indent.show(ui, |ui| {
            ui.add(egui::Label::new(about).wrap());
            if is_own {
                own_part::buttons(ui, part, out);
            }
        });
        response
    }
}
