//! One list that finds anything, in the middle of the window: what is typed narrows it,
//! arrows walk, Enter does. Pages of help are shown in its place.

mod entries;
mod page;

use egui::{Button, Id, Key, Modal, Modifiers, RichText, ScrollArea, TextEdit, Ui, WidgetInfo, vec2};
use rigwright_core::rig::LONGEST_NAME;
use rigwright_core::terms::Term;
use rigwright_core::units::counted;

use self::entries::{Does, Entry, Found, found};
pub use self::page::section;
use crate::command::Command;
use crate::help::Topic;
use crate::theme::{self, Tokens, text};
use crate::views::{Facts, Intent};
use crate::widgets::panel;

/// The list while it is open.
#[derive(Debug)]
pub struct Finder {
    typed: String,
    /// The place of the marked entry, counted over all groups.
    marked: usize,
    fresh: bool,
    help_first: bool,
    /// The page that is read, and a term of it.
    page: Option<(Topic, Option<&'static Term>)>,
}

impl Finder {
    /// Opens the list, with nothing typed; help first, or commands.
    #[must_use]
    pub fn open(help_first: bool) -> Self {
        Self { typed: String::new(), marked: 0, fresh: true, help_first, page: None }
    }

    /// Shows it; `false` when it is done. `cannot` says why a command can't be done now.
    pub fn ui(
        &mut self,
        ui: &Ui,
        facts: &Facts<'_>,
        cannot: &dyn Fn(Command) -> Option<&'static str>,
        out: &mut Vec<Intent>,
    ) -> bool {
        let mut chosen = None;
        let modal = Modal::new(Id::unique("finder")).frame(panel::modal(ui)).show(ui.ctx(), |ui| {
            ui.set_width(600.0_f32.min(ui.ctx().content_rect().width() - 60.0));
            match self.page {
                Some((topic, term)) => {
                    let fresh = std::mem::take(&mut self.fresh);
                    if page::ui(ui, topic, term, fresh) {
                        (self.page, self.fresh) = (None, true);
                    }
                }
                None => chosen = self.list(ui, facts, cannot),
            }
        });
        match chosen {
            None => !modal.should_close(),
            Some(Does::Help(topic, term)) => {
                (self.page, self.fresh) = (Some((topic, term)), true);
                true
            }
            Some(does) => {
                out.extend(intent(does));
                false
            }
        }
    }

    fn list(
        &mut self,
        ui: &mut Ui,
        facts: &Facts<'_>,
        cannot: &dyn Fn(Command) -> Option<&'static str>,
    ) -> Option<Does> {
        self.field(ui);
        let groups = found(&self.typed, facts, cannot, self.help_first);
        let entries: Vec<&Entry> = groups.iter().flat_map(|found| &found.entries).collect();
        let walked = self.keys(ui, entries.len());
        let marked = entries.get(self.marked).copied();
        let enter = ui.input(|input| input.key_pressed(Key::Enter));
        let mut chosen = marked.filter(|_| enter);
        let height = (ui.ctx().content_rect().height() - 220.0).clamp(100.0, 420.0);
        // Of that height from the first frame on: else the list would jump under the pointer.
        let area = ScrollArea::vertical().max_height(height).min_scrolled_height(height).auto_shrink([false, true]);
        area.show(ui, |ui| {
            if entries.is_empty() {
                panel::quiet(ui, "Nothing goes by these words. Fewer letters find more.");
            }
            let mut at = 0;
            for group in &groups {
                heading(ui, group);
                for entry in &group.entries {
                    if row(ui, entry, at == self.marked, walked) {
                        chosen = Some(entry);
                    }
                    at += 1;
                }
            }
        });
        ui.add_space(4.0);
        about(ui, marked);
        chosen.filter(|entry| entry.cannot().is_none()).map(|entry| entry.does.clone())
    }

    fn field(&mut self, ui: &mut Ui) {
        let hint = "A command, a device, a finding, a part, a term …";
        let response = ui.add(
            TextEdit::singleline(&mut self.typed).char_limit(LONGEST_NAME).hint_text(hint).desired_width(f32::INFINITY),
        );
        response.widget_info(|| {
            let mut info = WidgetInfo::labeled(egui::Role::TextInput, true, "Find anything");
            info.current_text_value = Some(self.typed.clone());
            info
        });
        if self.fresh {
            response.request_focus();
            self.fresh = false;
        }
        if response.changed() {
            self.marked = 0;
        }
    }

    /// Walks; whether the mark was moved.
    fn keys(&mut self, ui: &Ui, count: usize) -> bool {
        let pressed = |key| ui.input_mut(|input| input.consume_key(Modifiers::NONE, key));
        let before = self.marked;
        for (key, by) in [(Key::ArrowDown, 1), (Key::PageDown, PAGE)] {
            if pressed(key) {
                self.marked += by;
            }
        }
        for (key, by) in [(Key::ArrowUp, 1), (Key::PageUp, PAGE)] {
            if pressed(key) {
                self.marked = self.marked.saturating_sub(by);
            }
        }
        self.marked = self.marked.min(count.saturating_sub(1));
        self.marked != before
    }
}

/// So many entries a page key goes past.
const PAGE: usize = 10;

fn intent(does: Does) -> Option<Intent> {
    match does {
        Does::Command(command, _) => Some(Intent::Command(command)),
        Does::Select(item) => Some(Intent::Find(item)),
        Does::Diagnosis(told) => Some(Intent::ShowDiagnosis(told)),
        Does::Part(key, _) => Some(Intent::InsertPart(key)),
        Does::Help(..) => None,
    }
}

fn heading(ui: &mut Ui, group: &Found) {
    ui.add_space(4.0);
    let mut words = group.group.name().to_owned();
    if group.more > 0 {
        words = format!("{words}: {} more, type to find them", counted(group.more));
    }
    ui.label(RichText::new(words).font(text::small()).color(Tokens::of(ui).copper));
}

/// One line; true if it is clicked.
fn row(ui: &mut Ui, entry: &Entry, marked: bool, walked: bool) -> bool {
    let possible = entry.cannot().is_none();
    let words = RichText::new(&entry.words).family(theme::medium());
    let button = Button::selectable(marked, words)
        .shortcut_text(RichText::new(&entry.right).font(text::small()))
        .min_size(vec2(ui.available_width(), 0.0))
        .truncate();
    let response = ui.add_enabled(possible, button);
    let named = match entry.right.is_empty() {
        true => entry.words.clone(),
        false => format!("{}, {}", entry.words, entry.right),
    };
    response.widget_info(|| WidgetInfo::selected(egui::Role::Button, possible, marked, &named));
    if marked && walked {
        response.scroll_to_me(None);
    }
    response.clicked()
}

/// What the marked entry does, under the list, always as high.
fn about(ui: &mut Ui, marked: Option<&Entry>) {
    let tokens = Tokens::of(ui);
    let words = marked.map_or_else(String::new, Entry::about);
    let ink = if marked.is_some_and(|entry| entry.cannot().is_some()) { tokens.alarm } else { tokens.quiet };
    let (rect, _) = ui.allocate_exact_size(vec2(ui.available_width(), ABOUT), egui::Sense::hover());
    let mut child = ui.new_child(egui::UiBuilder::new().max_rect(rect));
    child.add(egui::Label::new(RichText::new(words).font(text::small()).color(ink)).wrap());
}

/// Three lines of small letters, in points.
const ABOUT: f32 = 48.0;
