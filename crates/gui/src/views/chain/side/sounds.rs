//! The sounds: how everything stands, kept under names, chosen with a click.

use egui::{Button, Id, Key, Label, Modifiers, Rect, Response, RichText, Role, Sense, Stroke, Ui, WidgetInfo};
use rigwright_core::rig::{
    Edit, LONGEST_NAME, Project, Sound, SoundEdit, SoundId, State, Variant, free_name, missing, missing_words,
    out_of_reach_words,
};

use super::nothing;
use super::sound_details;
use crate::state::{Change, Input};
use crate::theme::{self, Tokens, text};
use crate::views::{Facts, Intent};
use crate::widgets::entry::entry;
use crate::widgets::{panel, small};
use rigwright_core::rig::standing::state_words;

/// The page's own state.
#[derive(Debug, Default)]
pub struct Sounds {
    /// The name of the next sound, once something was typed.
    typed: Option<String>,
    /// The one whose details are open.
    open: Option<SoundId>,
    /// The one that is dragged to another place of the list.
    held: Option<SoundId>,
}

impl Sounds {
    /// A field to keep one more, and the list.
    pub fn ui(&mut self, ui: &mut Ui, facts: &Facts<'_>, out: &mut Vec<Intent>) {
        self.keep(ui, facts, out);
        ui.add_space(4.0);
        let sounds = &facts.project.sounds;
        if sounds.is_empty() {
            nothing(ui, "No sound is kept yet. Set the switches for a verse, and keep that.");
        }
        let mut rows: Vec<Rect> = Vec::new();
        for at in 0..sounds.len() {
            rows.push(self.sound(ui, facts, at, out));
        }
        self.drop_held(ui, sounds, &rows, out);
    }

    /// How everything stands, to be kept under a name.
    fn keep(&mut self, ui: &mut Ui, facts: &Facts<'_>, out: &mut Vec<Intent>) {
        ui.horizontal(|ui| {
            let free = suggested_name(facts.project, facts.variant);
            let mut name = self.typed.clone().unwrap_or_else(|| free.clone());
            let room = (ui.available_width() - 150.0).max(80.0);
            let field = egui::TextEdit::singleline(&mut name);
            let field = ui.add(field.hint_text(&free).desired_width(room).char_limit(LONGEST_NAME));
            let current = name.clone();
            field.widget_info(move || {
                let mut info = WidgetInfo::labeled(Role::TextInput, true, "Name of the next sound");
                info.current_text_value = Some(current.clone());
                info
            });
            if field.changed() {
                self.typed = Some(name.clone());
            }
            let enter = field.lost_focus() && ui.input(|input| input.key_pressed(Key::Enter));
            let tip = "Keeps how everything stands, every switch and control";
            if ui.button("Keep as a sound").on_hover_text(tip).clicked() || enter {
                let name = name.trim();
                out.push(Intent::KeepSound(if name.is_empty() { free } else { name.to_owned() }));
                self.typed = None;
            }
        });
    }

    /// One of the list, and where it stands on the screen.
    fn sound(&mut self, ui: &mut Ui, facts: &Facts<'_>, at: usize, out: &mut Vec<Intent>) -> Rect {
        let tokens = Tokens::of(ui);
        let sound = &facts.project.sounds[at];
        let made = sound.realise(facts.variant);
        let chosen = made.state.stands_as(&facts.project.state);
        let origin = facts.sounds.came_from() == Some(sound.id);
        let ink = if chosen { tokens.teal } else { tokens.border };
        let top = ui.cursor().min;
        entry(ui, ink, 1.0, |ui| {
            ui.horizontal(|ui| {
                let hit = name(ui, sound, chosen);
                self.moves(ui, facts, at, &hit, out);
                ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
                    self.right(ui, facts, sound, out);
                });
            });
            let words = state_words(&made.state, facts.variant);
            if chosen {
                let words = RichText::new(format!("{words}. As it stands now.")).font(text::small());
                ui.add(Label::new(words.color(tokens.teal)).wrap());
            } else {
                panel::quiet(ui, format!("{words}."));
            }
            for words in out_of_reach_words(facts.variant, &made) {
                ui.add(Label::new(RichText::new(words).font(text::small()).color(tokens.copper)).wrap());
            }
            if let Some(words) = missing_words(&missing(facts.project, facts.variant, sound)) {
                ui.add(Label::new(RichText::new(words).font(text::small()).color(tokens.copper)).wrap());
            }
            if origin && !chosen {
                ui.horizontal_wrapped(|ui| {
                    ui.label(RichText::new("Changed since.").font(text::small()).color(tokens.copper));
                    let tip = "Makes the sound as everything stands now";
                    let now = facts.project.state.clone();
                    if ui.add(small::button("Keep the change")).on_hover_text(tip).clicked() {
                        let edit = match made.own {
                            true => made_here(facts, sound, Some(now.clone())),
                            false => SoundEdit::Set(Box::new(sound.clone().kept_as(&now, facts.variant))),
                        };
                        out.push(change(edit, format!("keep the change of {}", sound.name)));
                    }
                    let tip = "Makes the sound so in this rig, and as before in the others";
                    let several = facts.project.variants.len() > 1 && !made.own;
                    if several && ui.add(small::button("Keep it for this rig only")).on_hover_text(tip).clicked() {
                        let step = format!("make {} in its own way in {}", sound.name, facts.variant.name);
                        out.push(change(made_here(facts, sound, Some(now)), step));
                    }
                });
            }
            if made.own {
                ui.horizontal_wrapped(|ui| {
                    ui.label(RichText::new("Made in its own way in this rig.").font(text::small()).color(tokens.quiet));
                    let tip = "Lets go of this rig's own way of making it";
                    if ui.add(small::button("As in the other rigs")).on_hover_text(tip).clicked() {
                        let step = format!("make {} in {} as in the others", sound.name, facts.variant.name);
                        out.push(change(made_here(facts, sound, None), step));
                    }
                });
            }
            if self.open == Some(sound.id) {
                sound_details::ui(ui, facts.project, at, out);
            } else if origin && !sound.notes.is_empty() {
                // What there is to set by hand, while it is in use.
                panel::quiet(ui, sound.notes.as_str());
            }
        });
        Rect::from_min_max(top, ui.cursor().min.max(top + egui::vec2(ui.available_width(), 0.0)))
    }

    /// Whether its curve is shown and its details are open.
    fn right(&mut self, ui: &mut Ui, facts: &Facts<'_>, sound: &Sound, out: &mut Vec<Intent>) {
        let open = self.open == Some(sound.id);
        let more = ui.add(small::button(if open { "Less" } else { "More" }));
        let label = format!("{} of the sound {}", if open { "Less" } else { "More" }, sound.name);
        more.widget_info(|| WidgetInfo::labeled(Role::Button, true, &label));
        if more.on_hover_text("Its name, its notes, its place in the list").clicked() {
            self.open = if open { None } else { Some(sound.id) };
        }
        let mut shown = facts.inputs.sounds().contains(&sound.id);
        let curve = ui.checkbox(&mut shown, RichText::new("Curve").font(text::small()));
        let label = format!("Show the curve of the sound {}", sound.name);
        curve.widget_info(|| WidgetInfo::selected(Role::CheckBox, true, shown, &label));
        if curve.on_hover_text("Draws this rig's curve with everything as this sound has it").changed() {
            out.push(Intent::Input(Input::Sound(sound.id, shown)));
        }
    }

    /// A click chooses it, a drag or Alt with an arrow key moves it.
    fn moves(&mut self, ui: &Ui, facts: &Facts<'_>, at: usize, hit: &Response, out: &mut Vec<Intent>) {
        let sound = &facts.project.sounds[at];
        if hit.clicked() {
            out.push(Intent::Recall(sound.id));
        }
        if hit.drag_started() {
            self.held = Some(sound.id);
        }
        if hit.has_focus() {
            for (key, to) in [(Key::ArrowUp, at.checked_sub(1)), (Key::ArrowDown, Some(at + 1))] {
                if ui.input_mut(|input| input.consume_key(Modifiers::ALT, key)) {
                    out.extend(to.map(|to| moved(sound, to)));
                    // The arrow would move the focus elsewhere.
                    ui.memory_mut(|memory| memory.request_focus(hit.id));
                }
            }
        }
    }

    /// Shows where the held one would go, and puts it there when it is let go.
    fn drop_held(&mut self, ui: &Ui, sounds: &[Sound], rows: &[Rect], out: &mut Vec<Intent>) {
        let Some(held) = self.held else { return };
        let released = ui.input(|input| input.pointer.primary_released());
        let dragged = released || ui.ctx().dragged_id().is_some();
        let from = sounds.iter().position(|sound| sound.id == held);
        let (Some(from), Some(pointer), true) = (from, ui.ctx().pointer_latest_pos(), dragged) else {
            self.held = None;
            return;
        };
        // Counted with the held one still in its place.
        let gap = rows.iter().filter(|row| row.center().y < pointer.y).count();
        let to = if gap > from { gap - 1 } else { gap };
        if released {
            self.held = None;
            if to != from {
                out.push(moved(&sounds[from], to));
            }
        } else if let Some(last) = rows.last() {
            let y = rows.get(gap).map_or(last.bottom(), |row| row.top());
            ui.painter().hline(last.x_range(), y, Stroke::new(2.0, Tokens::of(ui).teal));
        }
    }
}

/// Its name, which chooses it.
fn name(ui: &mut Ui, sound: &Sound, chosen: bool) -> Response {
    let words = RichText::new(&sound.name).family(theme::medium());
    let id = Id::unique(("sound", sound.id.0));
    let room = (ui.available_width() - 138.0).max(60.0);
    let button = Button::new(words).truncate().sense(Sense::click_and_drag());
    // Its id is the sound's, so that it keeps the keyboard wherever it is moved to.
    let hit = ui.scope_builder(egui::UiBuilder::new().scope_id(id), |ui| {
        ui.set_max_width(room);
        ui.add(button)
    });
    let label = format!("Sound {}", sound.name);
    hit.inner.widget_info(|| WidgetInfo::selected(Role::Button, true, chosen, &label));
    hit.inner
        .on_hover_text("Sets every switch and control like that. Drag it, or press Alt with an arrow key, to move it.")
}

/// How the rig in hand makes a sound: by a state of its own, or as the others.
fn made_here(facts: &Facts<'_>, sound: &Sound, state: Option<State>) -> SoundEdit {
    SoundEdit::MakeIn { sound: sound.id, variant: facts.variant.id, state: state.map(Box::new) }
}

/// A change of the sounds.
pub fn change(edit: SoundEdit, step: String) -> Intent {
    Intent::Change(Change::new(step, Edit::Sound(edit)))
}

/// A sound in another place of the list.
pub fn moved(sound: &Sound, to: usize) -> Intent {
    change(SoundEdit::Move { sound: sound.id, to }, format!("move the sound {}", sound.name))
}

/// A name that no sound has: after what is on, or else a number.
fn suggested_name(project: &Project, variant: &Variant) -> String {
    let switched = variant.rig.devices.iter().filter(|device| device.has_switch() && device.is_on(&project.state));
    let on: Vec<&str> = switched.map(|device| device.name.as_str()).collect();
    let wanted = match on.len() {
        0 => "All off".to_owned(),
        1 | 2 => on.join(" and "),
        _ => format!("Sound {}", project.sounds.len() + 1),
    };
    let taken = |name: &str| project.sounds.iter().any(|sound| sound.name == name);
    free_name(&wanted, taken)
}
