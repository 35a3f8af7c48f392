//! The bars at the top: title and menus, variants, strips with something to say.

use std::sync::Arc;

use egui::{Button, Frame, Label, Margin, Panel, RichText, Sense, Stroke, Ui, vec2};
use rigwright_core::rig::{Edit, Project, Variant};

use super::files::Then;
use super::screens;
use super::{Desk, left, menu};
use crate::command::Command;
use crate::jobs::name_of;
use crate::state::{Change, Gesture};
use crate::theme::{self, Tokens, size, text};
use crate::views::starts::FILE;
use crate::views::{Intent, StatusFacts};
use crate::widgets::name_field;

/// As much of a file's name as the bar ever shows, and as little.
const MOST_OF_A_NAME: usize = 28;
const LEAST_OF_A_NAME: usize = 7;

/// What the buttons at the bar's right end take.
const RIGHT_SIDE: f32 = 260.0;

/// More strips than these would leave no room for the rig.
const MOST_LEFT_STRIPS: usize = 3;
/// In a window lower than this, in points, there is room for one.
const LOW_WINDOW: f32 = 700.0;

/// What is only to know folds after so many seconds.
const FOLDS_AFTER: f64 = 8.0;

/// A sentence for the person.
#[derive(Debug, Clone, PartialEq)]
pub struct Notice {
    words: String,
    trouble: bool,
    /// Since when it is on the screen, by the machine's clock; none until the next frame.
    since: Option<f64>,
}

impl Notice {
    /// Something went wrong.
    pub fn trouble(words: impl Into<String>) -> Self {
        Self { words: words.into(), trouble: true, since: None }
    }

    /// Something went wrong besides what is said already.
    pub fn trouble_too(said: Option<Self>, words: String) -> Self {
        match said {
            Some(said) if said.trouble && !said.words.contains(&words) => {
                Self::trouble(format!("{} {words}", said.words))
            }
            Some(said) if said.trouble => said,
            _ => Self::trouble(words),
        }
    }

    /// Something to know; it folds by itself after a while.
    pub fn word(words: impl Into<String>) -> Self {
        Self { words: words.into(), trouble: false, since: None }
    }

    /// Seconds until it folds, at a time of the machine's clock: none where it stays until it is
    /// put away, nothing or less where it is due.
    pub fn folds_in(&mut self, now: f64) -> Option<f64> {
        let since = *self.since.get_or_insert(now);
        (!self.trouble).then_some(FOLDS_AFTER - (now - since))
    }
}

fn command_button(ui: &mut Ui, command: Command, words: &str, enabled: bool, tip: &str, asked: &mut Vec<Intent>) {
    let tip = match command.shortcut_text() {
        Some(keys) => format!("{tip} ({keys})"),
        None => tip.to_owned(),
    };
    let response = ui.add_enabled(enabled, Button::new(words)).on_hover_text(tip);
    if response.clicked() {
        asked.push(Intent::Command(command));
    }
}

/// Title, menu, undo and redo.
pub fn top(desk: &mut Desk, ui: &mut Ui) {
    let tokens = Tokens::of(ui);
    let frame = Frame::new().fill(tokens.panel).inner_margin(Margin::symmetric(14, 8)).stroke(Stroke::NONE);
    Panel::top("top").frame(frame).show(ui, |ui| {
        ui.horizontal(|ui| {
            let buttons = fitting_buttons(desk, ui);
            menu::ui(desk, ui);
            title(desk, ui);
            if buttons == BUTTONS.len() {
                file_words(desk, ui);
            }
            // In the middle, or right behind where there is no room for that.
            let left = ui.max_rect().center().x - 0.5 * screens::width(desk, ui);
            ui.add_space((left - ui.cursor().left()).max(0.0));
            screens::tabs(desk, ui);
            ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| right_side(desk, ui, buttons));
        });
    });
}

/// The buttons at the right end: the first are left out last, and stand in the menu as well.
const BUTTONS: [&str; 4] = ["Undo", "Redo", "Save", "Light"];
/// What menu and title take at least, in points.
const MENU_AND_TITLE: f32 = 170.0;

/// So many of the buttons at the right end fit beside menu, title and tabs.
fn fitting_buttons(desk: &Desk, ui: &Ui) -> usize {
    let spacing = ui.spacing();
    let width = |words: &&str| {
        let words = ui.painter().layout_no_wrap((*words).to_owned(), text::body(), Tokens::of(ui).ink);
        words.size().x + 2.0 * spacing.button_padding.x + spacing.item_spacing.x
    };
    let room = ui.available_width() - screens::width(desk, ui) - MENU_AND_TITLE;
    let taken = |count: &usize| BUTTONS[..*count].iter().map(width).sum::<f32>();
    (0..=BUTTONS.len()).rev().find(|count| taken(count) <= room).unwrap_or(0)
}

/// Which file is in hand, and whether it holds what is on the screen.
fn file_words(desk: &Desk, ui: &mut Ui) {
    let path = desk.document.path();
    let saved = match &desk.files.saved_at {
        _ if desk.is_on_its_way() => Some("saving…".to_owned()),
        _ if desk.document.is_dirty() => Some("changed, not saved".to_owned()),
        saved_at => saved_at.as_ref().map(|at| format!("saved {at}")),
    };
    let words = |name: Option<String>| match (name, &saved) {
        (Some(name), Some(saved)) => format!("{name}: {saved}"),
        (name, saved) => name.or_else(|| saved.clone()).unwrap_or_default(),
    };
    let named = |most: usize| words(path.map(|path| shortened(&name_of(path), most)));
    let room = ui.available_width() - screens::width(desk, ui) - RIGHT_SIDE;
    let color = Tokens::of(ui).quiet;
    let width = |words: &str| ui.painter().layout_no_wrap(words.to_owned(), text::small(), color).size().x;
    let most = (LEAST_OF_A_NAME..MOST_OF_A_NAME).rev().find(|most| width(&named(*most)) <= room);
    let words = named(most.unwrap_or(LEAST_OF_A_NAME));
    let label = ui.label(RichText::new(words).font(text::small()).color(color));
    if let Some(path) = path {
        label.on_hover_text(path.display().to_string());
    }
}

/// A file's name as far as the bar has room for it.
fn shortened(name: &str, most: usize) -> String {
    match name.char_indices().nth(most) {
        Some((end, _)) => format!("{}…", &name[..end]),
        None => name.to_owned(),
    }
}

fn title(desk: &mut Desk, ui: &mut Ui) {
    let title = desk.document.project().title.clone();
    let id = egui::Id::unique("title of the project");
    let width = ui.painter().layout_no_wrap(title.clone(), text::title(), Tokens::of(ui).ink).size().x;
    let room = (0.24 * ui.available_width()).max(90.0);
    let named = name_field::edit(ui, id, "Title of the project", &title, |edit| {
        edit.font(text::title())
            .frame(Frame::NONE)
            .desired_width((width + 12.0).min(room))
            .align(egui::Align2::LEFT_CENTER)
            .min_size(vec2(0.0, 24.0))
    });
    if let Some(title) = named.name {
        let change = Change::new("change the title", Edit::SetTitle(title));
        desk.intents.push(Intent::Change(change.in_gesture(Gesture(id.value()))));
    }
    if named.response.lost_focus() {
        desk.intents.push(Intent::EndGesture);
    }
}

fn right_side(desk: &mut Desk, ui: &mut Ui, buttons: usize) {
    let asked = &mut desk.intents;
    let look = if ui.visuals().dark_mode { "Light" } else { "Dark" };
    let undo = desk.document.undo_name().map_or_else(|| "Nothing to undo".to_owned(), |name| format!("Undo: {name}"));
    let redo = desk.document.redo_name().map_or_else(|| "Nothing to redo".to_owned(), |name| format!("Redo: {name}"));
    if buttons > 3 {
        command_button(ui, Command::DarkLight, look, true, Command::DarkLight.tooltip(), asked);
    }
    if buttons > 1 {
        command_button(ui, Command::Redo, "Redo", desk.document.can_redo(), &redo, asked);
    }
    if buttons > 0 {
        command_button(ui, Command::Undo, "Undo", desk.document.can_undo(), &undo, asked);
    }
    if buttons > 2 {
        command_button(ui, Command::Save, "Save", true, Command::Save.tooltip(), asked);
    }
}

/// The variants, and how everything stands.
pub fn variants(desk: &mut Desk, ui: &mut Ui, project: &Arc<Project>, variant: &Arc<Variant>) {
    let tokens = Tokens::of(ui);
    let margin = Margin { left: size::GAP as i8, right: size::GAP as i8, top: 8, bottom: 8 };
    Panel::top("variants")
        .frame(Frame::new().fill(tokens.ground).inner_margin(margin))
        .show_separator_line(false)
        .show(ui, |ui| {
            ui.horizontal_wrapped(|ui| {
                for (index, each) in project.variants.iter().enumerate() {
                    chip(desk, ui, index, each, each.id == variant.id, project.variants.len() > 1);
                }
                command_button(
                    ui,
                    Command::CopyVariant,
                    Command::CopyVariant.text(),
                    true,
                    Command::CopyVariant.tooltip(),
                    &mut desk.intents,
                );
                let power = desk.power_answers.shown().map(|shown| &**shown.answer);
                let words = desk.screen().status_line(&StatusFacts { project, variant, power });
                ui.label(RichText::new(words).font(text::small()).color(tokens.quiet));
            });
        });
}

/// A variant: a click shows it, its menu renames or removes it.
fn chip(desk: &mut Desk, ui: &mut Ui, index: usize, variant: &Arc<Variant>, in_hand: bool, removable: bool) {
    let tokens = Tokens::of(ui);
    let ink = if in_hand { tokens.ink } else { tokens.quiet };
    let galley = ui.painter().layout_no_wrap(variant.name.clone(), text::body(), ink);
    let (rect, hit) = ui.allocate_exact_size(vec2(galley.size().x + 42.0, 28.0), Sense::click());
    let label = format!("Variant {}", variant.name);
    hit.widget_info(|| egui::WidgetInfo::selected(egui::Role::Button, true, in_hand, &label));
    let border = if in_hand {
        tokens.accent(index)
    } else if hit.hovered() || hit.has_focus() {
        tokens.teal
    } else {
        tokens.border
    };
    let fill = if in_hand { tokens.raised } else { tokens.panel };
    ui.painter().rect(rect, 6.0, fill, Stroke::new(1.0, border), egui::StrokeKind::Inside);
    ui.painter().circle_filled(rect.left_center() + vec2(16.0, 0.0), 4.5, tokens.accent(index));
    ui.painter().galley(rect.left_center() + vec2(28.0, -0.5 * galley.size().y), galley, ink);
    let hit = hit.on_hover_text("Shows this rig. A right click renames or removes it.");
    if hit.clicked() {
        desk.intents.push(Intent::Show(variant.id));
    }
    hit.context_menu(|ui| {
        let id = egui::Id::unique(("name of a variant", variant.id.0));
        let named = name_field::edit(ui, id, "Name of the variant", &variant.name, |edit| edit.desired_width(220.0));
        if let Some(name) = named.name {
            let edit = Edit::RenameVariant { variant: variant.id, name };
            let change = Change::new("rename a variant", edit).in_gesture(Gesture(id.value()));
            desk.intents.push(Intent::Change(change));
        }
        if named.response.lost_focus() {
            desk.intents.push(Intent::EndGesture);
        }
        if ui.add_enabled(removable, Button::new("Remove this variant")).clicked() {
            desk.intents.push(Intent::Change(Change::new("remove a variant", Edit::RemoveVariant(variant.id))));
            ui.close();
        }
    });
}

/// Strips below the bars: other starts, what an earlier session left, a notice.
pub fn strips(desk: &mut Desk, ui: &mut Ui) {
    let tokens = Tokens::of(ui);
    if let Some(notice) = desk.notice.clone() {
        let ink = if notice.trouble { tokens.alarm } else { tokens.teal };
        let mut held = false;
        let place = strip(ui, "notice", ink, &notice.words, |ui| {
            let button = ui.button("Put this away");
            held = button.has_focus();
            if button.clicked() {
                desk.notice = None;
            }
        });
        // Whoever points at it is reading it.
        if (held || ui.rect_contains_pointer(place))
            && let Some(notice) = &mut desk.notice
        {
            notice.since = None;
        }
    }
    if let Some(path) = desk.files.slow(desk.host.now_seconds()) {
        let words = match path.file_name() {
            Some(_) => format!("Opening “{}” …", name_of(path)),
            None => "Opening what was left unsaved …".to_owned(),
        };
        strip(ui, "opening", tokens.teal, &words, |ui| {
            if ui.button("Stop opening it").on_hover_text("Leaves it unopened").clicked() {
                desk.stop_opening();
            }
        });
    }
    if let Some(what) = desk.exports.waiting() {
        let words = format!("The {} waits until its numbers are worked out …", what.noun());
        strip(ui, "export", tokens.teal, &words, |ui| {
            if ui.button("Don't wait for it").on_hover_text("Leaves it unmade").clicked() {
                desk.exports.forget_waiting();
            }
        });
    }
    let hovering = ui.input(|input| input.raw.hovered_files.first().map(|file| file.path.clone()));
    if let Some(path) = hovering {
        let words = match path {
            Some(path) => format!("Let go to open “{}”.", name_of(&path)),
            None => "Let go to open the file.".to_owned(),
        };
        strip(ui, "dropping", tokens.teal, &words, |_| {});
    }
    left_strips(desk, ui);
    if desk.says_how_to_begin && desk.files.is_demo && desk.files.left.is_empty() {
        // In one line with its buttons at 1024 points.
        let words = "This is an invented demo rig: try anything. F1 helps.";
        let starts =
            [(Command::New, "A guitar and an amp"), (Command::Open, FILE), (Command::Starts, Command::Starts.text())];
        strip(ui, "starts", tokens.teal, words, |ui| {
            for (command, words) in starts {
                if ui.button(words).on_hover_text(command.tooltip()).clicked() {
                    desk.intents.push(Intent::Command(command));
                }
            }
            if ui.button("Don't show this again").clicked() {
                desk.dismiss_starts();
            }
        });
    }
}

/// One strip for each work that is in no file and not in hand, as far as there is room.
fn left_strips(desk: &mut Desk, ui: &mut Ui) {
    let all = desk.files.left.len();
    let mut answered = None;
    // In a low window one after the other: the rig wants its room.
    let most = if ui.ctx().content_rect().height() < LOW_WINDOW { 1 } else { MOST_LEFT_STRIPS };
    for (index, left) in desk.files.left.iter().take(most).enumerate() {
        let mut words = left::words(left);
        if index + 1 == most && all > most {
            words = format!("{words} There is more: {} of {all} are shown.", index + 1);
        }
        // Told apart where there are several.
        let named = |name: &str| if all > 1 { format!("{name}, {} of {all}", index + 1) } else { name.to_owned() };
        strip(ui, &format!("left {}", left.id), Tokens::of(ui).copper, &words, |ui| {
            for (name, opens) in [("Open it", true), ("Drop it", false)] {
                let button = ui.button(name);
                button.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Button, true, named(name)));
                if button.clicked() {
                    answered = Some((left.id, opens));
                }
            }
        });
    }
    match answered {
        Some((id, true)) => desk.leave_for(Then::Left(id)),
        Some((id, false)) => desk.drop_left(id),
        None => {}
    }
}

/// A strip with words and buttons; gives back where it stands.
fn strip(ui: &mut Ui, id: &str, ink: egui::Color32, words: &str, buttons: impl FnOnce(&mut Ui)) -> egui::Rect {
    let tokens = Tokens::of(ui);
    let margin = Margin { left: size::GAP as i8, right: size::GAP as i8, top: 0, bottom: 8 };
    Panel::top(format!("strip {id}"))
        .frame(Frame::new().fill(tokens.ground).inner_margin(margin))
        .show_separator_line(false)
        .show(ui, |ui| {
            Frame::new()
                .fill(tokens.panel)
                .stroke(Stroke::new(1.0, ink))
                .corner_radius(6)
                .inner_margin(Margin::symmetric(12, 6))
                .show(ui, |ui| {
                    ui.set_min_width(ui.available_width());
                    ui.horizontal_wrapped(|ui| {
                        ui.add(Label::new(RichText::new(words).family(theme::medium())).wrap());
                        buttons(ui);
                    });
                });
        })
        .response
        .rect
}
