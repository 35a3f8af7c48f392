//! The panel at the side: what is selected, and its pages.

mod advice;
mod choices;
mod compare;
mod effects_loop;
mod figures;
mod findings;
mod inspector;
mod jump_curve;
mod jumps;
mod lead_inspector;
mod naming;
mod note_inspector;
mod numbered;
mod orders;
mod patches;
mod pickups;
mod presets;
mod several_inspector;
mod sound_details;
mod sounds;
mod stereo;
mod switches;

use egui::{RichText, ScrollArea, Sense, Stroke, Ui, WidgetInfo, vec2};
use rigwright_core::diagnosis::Diagnosis;

use self::advice::AdvicePanel;
use self::findings::Findings;
use self::inspector::Inspector;
use self::jumps::Jumps;
use self::lead_inspector::LeadInspector;
use self::several_inspector::SeveralInspector;
use self::sounds::Sounds;
use crate::state::{Input, Selection};
use crate::theme::{Tokens, text};
use crate::views::{Facts, Intent};

/// What the panel can show besides what is selected.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Page {
    /// What to act on and what to know.
    #[default]
    Findings,
    /// What each variant does to the tone, in figures.
    Figures,
    /// What each switch does.
    Switches,
    /// The sounds that were kept.
    Sounds,
    /// The variants side by side.
    Compare,
}

impl Page {
    const ALL: [Self; 5] = [Self::Findings, Self::Figures, Self::Switches, Self::Sounds, Self::Compare];

    fn name(self) -> &'static str {
        match self {
            Self::Findings => "Findings",
            Self::Figures => "Figures",
            Self::Switches => "Switches",
            Self::Sounds => "Sounds",
            Self::Compare => "Compare",
        }
    }
}

/// The panel's own state.
#[derive(Debug, Default)]
pub struct Side {
    page: Page,
    /// What was selected in the last frame, and whether the panel shows that or a page.
    shown_last: Selection,
    shows_selected: bool,
    /// Whether the page was turned by somebody else than its tab.
    page_is_new: bool,
    inspector: Inspector,
    lead_inspector: LeadInspector,
    several_inspector: SeveralInspector,
    findings: Findings,
    advice: AdvicePanel,
    jumps: Jumps,
    sounds: Sounds,
}

impl Side {
    /// Shows a diagnosis in the list of findings.
    pub fn show_diagnosis(&mut self, told: &Diagnosis) {
        self.page = Page::Findings;
        self.page_is_new = true;
        self.findings.look_for(told);
    }

    /// The panel in all the room there is.
    pub fn ui(&mut self, ui: &mut Ui, facts: &Facts<'_>, out: &mut Vec<Intent>) {
        let rig = &facts.variant.rig;
        let device = facts.selection.device().and_then(|id| rig.device(id));
        let lead = facts.selection.lead().and_then(|id| rig.lead(id));
        // What is newly selected is shown; a page that was asked for since then stays.
        if self.shown_last != *facts.selection {
            self.shown_last = facts.selection.clone();
            self.shows_selected = true;
        }
        let several = facts.selection.is_several();
        let note = facts.selection.note().and_then(|id| facts.variant.note(id));
        let selected = device.is_some() || lead.is_some() || note.is_some() || several;
        let shows_selected = self.shows_selected && selected;
        self.tabs(ui, selected, out);
        let (device, lead) = if shows_selected { (device, lead) } else { (None, None) };
        let page = if shows_selected { "selected" } else { self.page.name() };
        ScrollArea::vertical().id_salt(page).auto_shrink([false, false]).show(ui, |ui| {
            if shows_selected && several {
                self.several_inspector.ui(ui, facts, out);
            } else if let Some(device) = device {
                self.inspector.device(ui, facts, device, out);
            } else if let Some(lead) = lead {
                self.lead_inspector.ui(ui, facts, lead, out);
            } else if let Some(note) = note.filter(|_| shows_selected) {
                note_inspector::ui(ui, facts, note, out);
            } else {
                self.page(ui, facts, out);
            }
        });
    }

    fn page(&mut self, ui: &mut Ui, facts: &Facts<'_>, out: &mut Vec<Intent>) {
        match self.page {
            Page::Findings => {
                self.findings.ui(ui, facts, out);
                self.advice.ui(ui, facts, out);
            }
            Page::Figures => figures::ui(ui, facts, out),
            Page::Switches => self.jumps.ui(ui, facts, out),
            Page::Sounds => self.sounds.ui(ui, facts, out),
            Page::Compare => compare::ui(ui, facts, out),
        }
    }

    /// A tab for each page, and before them one for what is selected.
    fn tabs(&mut self, ui: &mut Ui, selected: bool, out: &mut Vec<Intent>) {
        let ink = Tokens::of(ui).ink;
        let names = selected.then_some(SELECTED).into_iter().chain(Page::ALL.map(Page::name));
        let words = names.map(|name| ui.painter().layout_no_wrap(name.to_owned(), text::heading(), ink));
        let (count, width) = words.fold((0.0, 0.0), |(count, width), galley| (count + 1.0, width + galley.size().x));
        let beside = beside(width, count, ui.available_width());
        let shows_selected = selected && self.shows_selected;
        ui.horizontal_wrapped(|ui| {
            ui.spacing_mut().item_spacing.x = BETWEEN;
            if selected && tab(ui, SELECTED, beside, shows_selected) {
                self.shows_selected = true;
            }
            for page in Page::ALL {
                if tab(ui, page.name(), beside, !shows_selected && self.page == page) {
                    self.page = page;
                    self.shows_selected = false;
                    self.page_is_new = true;
                }
            }
        });
        ui.add_space(4.0);
        if std::mem::take(&mut self.page_is_new) {
            // What the page is about may have to be worked out first.
            out.push(Intent::Input(Input::Compares(self.page == Page::Compare)));
            if self.page != Page::Switches {
                out.push(Intent::Input(Input::Peaks(0)));
            }
        }
    }
}

/// The tab of what is selected.
const SELECTED: &str = "Selected";
/// Between two tabs, in points.
const BETWEEN: f32 = 2.0;
/// On each side of a tab's words: at best, and at least.
const BESIDE: (f32, f32) = (7.0, 3.0);

/// So much on each side of a tab's words that all tabs stand on one line, if
/// they can; or else as much as at best, on two lines. `words` is how wide all
/// words together are.
fn beside(words: f32, tabs: f32, available: f32) -> f32 {
    let left = available - words - (tabs - 1.0) * BETWEEN;
    // Whole halves of points, so that rounding doesn't push the last one down.
    let each = (left / tabs).floor() / 2.0;
    if each < BESIDE.1 { BESIDE.0 } else { each.min(BESIDE.0) }
}

/// A page's name; the one that is open is underlined.
fn tab(ui: &mut Ui, name: &str, beside: f32, open: bool) -> bool {
    let tokens = Tokens::of(ui);
    let ink = if open { tokens.ink } else { tokens.quiet };
    let galley = ui.painter().layout_no_wrap(name.to_owned(), text::heading(), ink);
    let (rect, hit) = ui.allocate_exact_size(galley.size() + vec2(2.0 * beside, 8.0), Sense::click());
    hit.widget_info(|| WidgetInfo::selected(egui::Role::Tab, true, open, name));
    ui.painter().galley(rect.min + vec2(beside, 3.0), galley, ink);
    if open || hit.hovered() || hit.has_focus() {
        let ink = if hit.has_focus() || !open { tokens.teal } else { tokens.copper };
        let line = rect.shrink2(vec2(beside, 0.0));
        ui.painter().hline(line.x_range(), rect.bottom() - 1.0, Stroke::new(2.0, ink));
    }
    hit.clicked()
}

/// A quiet sentence in place of a page's contents.
pub fn nothing(ui: &mut Ui, words: &str) {
    let tokens = Tokens::of(ui);
    ui.add(egui::Label::new(RichText::new(words).font(text::small()).color(tokens.quiet)).wrap());
}
