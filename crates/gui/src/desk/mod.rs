//! The whole window, free of the windowing library: `logic` changes things,
//! `ui` shows them and collects what is asked for.

mod apply;
mod bars;
mod beside;
mod dropped;
mod exports;
mod files;
mod finder;
mod focus;
mod left;
mod menu;
mod movement;
mod opening;
mod own_parts;
mod own_questions;
mod possible;
mod power;
mod previews;
mod questions;
mod saving;
mod screens;
mod selecting;
mod sounds;
mod starts;

use std::collections::BTreeMap;
use std::path::PathBuf;
use std::sync::Arc;
use std::time::Duration;

use egui::{CentralPanel, Context, Ui, ViewportCommand};
use rigwright_core::compare::Against;
use rigwright_core::ground::GroundLoop;
use rigwright_core::response::Response;
use rigwright_core::rig::{Project, UNTITLED, Variant, VariantId};
use rigwright_core::units::Hertz;
use rigwright_core::{advice, file};

use crate::command::Command;
use crate::jobs::Host;
use crate::state::own_parts::amendment;
use crate::state::{
    Amendment, Answers, Document, Ghost, Ghosts, Inputs, OwnParts, PowerAnswers, PowerPreviews, Refusal, Selection,
    Settings, Sounds, Straight, StringCombs, Theme, WantedAnswers, open_strings,
};
use crate::theme;
use crate::views::finder::Finder;
use crate::views::starts::Starts;
use crate::views::{self, Facts, Intent, Pointed, PowerFacts, Screen, cautions};

/// What the window begins with.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Start {
    /// The rig that ships with the program.
    Demo,
    /// A file.
    File(PathBuf),
}

/// The whole window.
pub struct Desk {
    document: Document,
    answers: Answers,
    ghosts: Ghosts,
    /// What speaks against the change that is pointed at.
    refusal: Refusal,
    power_previews: PowerPreviews,
    sounds: Sounds,
    string_combs: StringCombs,
    /// What is asked of the analyses besides the project.
    inputs: Inputs,
    straight: Straight,
    power_answers: PowerAnswers,
    /// What the pointer rested on in the last frame.
    pointed: Option<Pointed>,
    selection: Selection,
    settings: Settings,
    /// The parts of the player's own.
    own_parts: OwnParts,
    /// The variant in hand.
    showing: VariantId,
    screens: Vec<Box<dyn Screen>>,
    /// Which of them is shown.
    open_screen: usize,
    /// The ground loop that is lit until it is hidden.
    loop_shown: Option<GroundLoop>,
    /// Whether the page of cautions is open.
    cautions: bool,
    /// The list that finds anything, while it is open.
    finder: Option<Finder>,
    starts: Option<Starts>,
    /// Whether the line that says how to begin is shown with the demo.
    says_how_to_begin: bool,
    files: files::Files,
    /// Pictures and tables on their way out.
    exports: exports::Exports,
    /// Files of own parts on their way.
    own_files: own_parts::OwnFiles,
    /// What was asked for and not yet done.
    intents: Vec<Intent>,
    /// A sentence for the person, until it is put away or folds by itself.
    notice: Option<bars::Notice>,
    question: Option<questions::PendingQuestion>,
    installed: bool,
    /// The window's title as the desktop was last told it.
    told_title: String,
    leaving: bool,
    /// What waits for a text field to hand over what is typed in it.
    after_focus: Option<Command>,
    /// Whether something had the keyboard at the end of the last frame: Escape
    /// takes that away before anybody is asked.
    had_focus: bool,
    /// Where the keyboard is.
    focus: focus::Focus,
    /// The last to go: what is still being worked out is told to stop before.
    host: Arc<dyn Host>,
}

impl Desk {
    /// A window that begins with `start`.
    #[must_use]
    pub fn new(host: Arc<dyn Host>, start: Start) -> Self {
        let settings = host.load_settings().map_or_else(|| Some(Settings::default()), |held| Settings::read(&held));
        if settings.is_none() {
            // It is put aside, and said once.
            host.amend_settings(Box::new(|held| Settings::amended(held, None)));
        }
        let settings = settings.unwrap_or_default();
        let own_parts = OwnParts::read(host.load_own_parts().as_deref());
        if own_parts.is_err() {
            // It is put aside, or left as it is; either is said.
            host.amend_own_parts(amendment(None));
        }
        let (project, notice) = match file::demo() {
            Ok(project) => (project, None),
            Err(error) => (empty(), Some(bars::Notice::trouble(format!("The demo can't be opened: {error}")))),
        };
        host.load_recovery();
        let says_how_to_begin = !settings.starts_dismissed;
        let showing = project.variants.first().map_or(VariantId(0), |variant| variant.id);
        let mut desk = Self {
            document: Document::new(project),
            answers: Answers::default(),
            ghosts: Ghosts::default(),
            refusal: Refusal::default(),
            power_previews: PowerPreviews::default(),
            sounds: Sounds::default(),
            string_combs: StringCombs::default(),
            inputs: Inputs::default(),
            straight: Straight::default(),
            power_answers: PowerAnswers::default(),
            pointed: None,
            selection: Selection::default(),
            settings,
            own_parts: own_parts.unwrap_or_default(),
            showing,
            screens: views::screens(),
            open_screen: 0,
            loop_shown: None,
            cautions: false,
            finder: None,
            starts: None,
            says_how_to_begin,
            files: files::Files::with_demo(),
            exports: exports::Exports::default(),
            own_files: own_parts::OwnFiles::default(),
            intents: Vec::new(),
            notice,
            question: None,
            installed: false,
            told_title: String::new(),
            leaving: false,
            after_focus: None,
            had_focus: false,
            focus: focus::Focus::default(),
            host,
        };
        if let Start::File(path) = start {
            desk.open(path);
        }
        desk
    }

    /// The project as it stands.
    #[must_use]
    pub fn project(&self) -> &Arc<Project> {
        self.document.project()
    }

    /// The answers as they stand.
    #[must_use]
    pub fn answers(&self) -> &Answers {
        &self.answers
    }

    /// What there is to know of the sounds.
    #[must_use]
    pub fn sounds(&self) -> &Sounds {
        &self.sounds
    }

    /// The curve of what is pointed at.
    #[must_use]
    pub fn ghost(&self) -> Option<&Ghost> {
        self.ghosts.shown()
    }

    /// What comes of the machine before a frame: with less movement a wheel's notch scrolls at once.
    pub fn take_input(&self, ctx: &Context, input: &mut egui::RawInput) {
        if self.settings.less_movement {
            movement::wheel_at_once(input, &ctx.options(|options| options.input_options));
        }
    }

    /// What is done before each frame: answers of jobs, keys, what screens asked for.
    pub fn logic(&mut self, ctx: &Context) {
        if !self.installed {
            theme::install(ctx);
            // Its keys are commands of ours, so that the size is remembered.
            ctx.options_mut(|options| options.zoom_with_keyboard = false);
            self.choose_look(ctx);
            if self.settings.less_movement {
                theme::set_movement(ctx, true);
            }
            self.installed = true;
        }
        self.focus.follow(ctx);
        for event in self.host.poll() {
            self.happened(event);
        }
        self.was_read();
        self.own_parts_read();
        self.take_dropped(ctx);
        self.hand_over();
        self.set_mine_aside();
        let covered = self.question.is_some() || self.picker_is_open() || self.cautions || self.finder.is_some();
        let covered = covered || self.starts.is_some();
        if !covered {
            self.take_clipboard_keys(ctx);
        }
        let on_symbol = self.screen().has_focus();
        let pressed = if covered { None } else { Command::pressed(ctx, on_symbol) };
        if let Some(command) = pressed {
            self.intents.push(Intent::Command(command));
        }
        // Escape lets go of what is selected, where nothing else wants it.
        let previews = self.power_previews.looked_at().is_some();
        let busy = self.screens.iter().any(|screen| screen.is_busy()) || self.cautions || previews;
        let busy = busy || self.finder.is_some() || self.starts.is_some();
        let nothing_else = self.question.is_none() && !busy;
        if nothing_else && !self.had_focus && ctx.input(|input| input.key_pressed(egui::Key::Escape)) {
            self.selection = Selection::default();
        }
        if previews && self.finder.is_none() && self.starts.is_none() {
            self.put_preview_away(ctx);
        }
        let due = self.after_focus.take();
        for intent in std::mem::take(&mut self.intents) {
            self.apply(intent, ctx);
        }
        // What was being typed is in the project by now.
        if let Some(command) = due {
            self.apply(Intent::Command(command), ctx);
        }
        self.see_elsewhere(ctx);
        self.take_what_arrived(ctx);
        let project = Arc::clone(self.document.project());
        if project.variant(self.showing).is_none()
            && let Some(first) = project.variants.first()
        {
            self.showing = first.id;
        }
        if let Some(variant) = project.variant(self.showing) {
            self.selection.retain(variant);
        }
        self.answers.update(&project, self.showing, &*self.host);
        self.answers.set_in_vain.update(&project, self.showing);
        if let Some(variant) = project.variant(self.showing) {
            let unfed = self.answers.fed.left_out(variant.id);
            self.sounds.update(&self.document, (variant, &unfed), self.inputs.sounds(), &*self.host);
            let endpoint = self.answers.get(variant.id).and_then(|response| self.inputs.endpoint(response));
            let string = self
                .inputs
                .string()
                .and_then(|at| open_strings(&variant.rig).get(at))
                .map(|(hz, _)| Hertz::clamped(*hz));
            self.string_combs.update(&project, (variant, &unfed), (endpoint, string), &*self.host);
        }
        if self.inputs.against(&project) == Against::Straight {
            let (inputs, answers) = (&self.inputs, &self.answers);
            self.straight.update(&project, |variant| inputs.endpoint(answers.get(variant.id)?));
        }
        self.refresh_power();
        self.preview();
        self.refresh_answers(ctx);
        self.export(ctx);
        self.keep_against_a_crash(ctx);
        self.closing(ctx);
        self.watch_the_file(ctx);
        self.fold_notice(ctx);
        self.has_begun();
        let title = self.window_title();
        if title != self.told_title {
            ctx.send_viewport_cmd(ViewportCommand::Title(title.clone()));
            self.told_title = title;
        }
    }

    /// Puts away what was only to know, after a while.
    fn fold_notice(&mut self, ctx: &Context) {
        match self.notice.as_mut().and_then(|notice| notice.folds_in(self.host.now_seconds())) {
            None => {}
            Some(left) if left > 0.0 => ctx.request_repaint_after(Duration::from_secs_f64(left)),
            Some(_) => self.notice = None,
        }
    }

    /// What takes longer than the curves: at once where it is quick, or else beside the window.
    fn refresh_answers(&mut self, ctx: &Context) {
        let project = Arc::clone(self.document.project());
        let endpoint = |response: &Response| self.inputs.endpoint(response);
        self.answers.refresh(&WantedAnswers {
            project: &project,
            showing: self.showing,
            endpoint: &endpoint,
            compares: self.inputs.compares(),
            peaks: self.inputs.peaks(),
            host: &*self.host,
        });
        let previews = self.ghosts.is_computing() || self.power_previews.is_computing();
        let others = self.sounds.is_computing()
            || self.string_combs.is_computing()
            || previews
            || self.files.is_busy()
            || self.exports.is_busy();
        let others = others || self.reads_own_parts();
        if self.answers.is_computing() || self.power_answers.is_computing() || others {
            // It asks for a frame when it is done; until then its progress is shown.
            ctx.request_repaint_after(Duration::from_millis(100));
        }
    }

    /// The question of what would be better than the rig in hand.
    fn advice_question(&self) -> Option<advice::AdviceQuestion> {
        let endpoint = |response: &Response| self.inputs.endpoint(response);
        let wants = WantedAnswers {
            project: self.document.project(),
            showing: self.showing,
            endpoint: &endpoint,
            compares: self.inputs.compares(),
            peaks: self.inputs.peaks(),
            host: &*self.host,
        };
        self.answers.advice_question(&wants, self.inputs.wishes())
    }

    /// What is shown.
    pub fn ui(&mut self, ui: &mut Ui) {
        let project = Arc::clone(self.document.project());
        let Some(variant) = project.variant(self.showing).cloned() else {
            return;
        };
        bars::top(self, ui);
        bars::variants(self, ui, &project, &variant);
        bars::strips(self, ui);
        let ground = egui::Frame::new().fill(theme::Tokens::of(ui).ground);
        let mut asked = Vec::new();
        let mut finder = self.finder.take();
        let impossible = if finder.is_some() { self.impossible() } else { BTreeMap::new() };
        CentralPanel::no_frame().frame(ground).show(ui, |ui| {
            let question = self.advice_question();
            let state_highlight =
                self.pointed.as_ref().and_then(|pointed| previews::state_highlight(pointed, &variant));
            let looked_at = match &self.pointed {
                Some(Pointed::About(about)) => Some(&**about),
                _ => None,
            };
            let facts = Facts {
                project: &project,
                variant: &variant,
                answers: &self.answers,
                sounds: &self.sounds,
                inputs: &self.inputs,
                straight: &self.straight,
                selection: &self.selection,
                state_highlight: state_highlight.as_ref(),
                looked_at,
                string_comb: self.string_combs.shown(),
                ghost: self.ghosts.shown(),
                refused: self.refusal.why(),
                advice: self.answers.advice(question.as_ref()),
                used_parts: &self.settings.used_parts,
                habits: self.settings.habits,
                own_parts: &self.own_parts,
                power: PowerFacts {
                    answer: self.power_answers.shown(),
                    loop_shown: self.loop_shown.as_ref(),
                    allocation: self.power_answers.allocation(&variant.rig),
                    least: self.power_answers.least(&variant.rig),
                    progress: self.power_answers.progress(),
                    called_off: self.power_answers.is_called_off(),
                    died: self.power_answers.died(),
                    seeking_died: self.power_answers.seeking_died(),
                    seeking_least_died: self.power_answers.seeking_least_died(),
                    best_offer: self.power_previews.best(),
                    least_offer: self.power_previews.least(),
                    change_looked_at: self.power_previews.looked_at(),
                    previewed: self.power_previews.previewed(),
                    seeking: self.power_answers.seeking(),
                    seeking_least: self.power_answers.seeking_least(),
                },
            };
            self.screens[self.open_screen].ui(ui, &facts, &mut asked);
            let cannot = |command: Command| impossible.get(&command).copied();
            if finder.as_mut().is_some_and(|finder| !finder.ui(ui, &facts, &cannot, &mut asked)) {
                finder = None;
            }
        });
        self.finder = finder;
        if self.starts.as_mut().is_some_and(|starts| !starts.ui(ui, &mut asked)) {
            self.starts = None;
        }
        let points = || {
            asked.iter().rev().filter_map(|intent| match intent {
                Intent::Point(pointed) => Some(pointed),
                _ => None,
            })
        };
        // What is being typed goes before what the pointer happens to rest on.
        let typed = points().find(|pointed| matches!(pointed, Pointed::Typed(_)));
        let pointed = typed.or_else(|| points().next()).cloned();
        if pointed != self.pointed {
            self.pointed = pointed;
            ui.ctx().request_repaint();
        }
        self.intents.extend(asked.into_iter().filter(|intent| !matches!(intent, Intent::Point(_))));
        self.ask(ui);
        if self.cautions {
            let answer = self.power_answers.shown().map(|shown| Arc::clone(shown.answer));
            let called = cautions::called_for(&variant.rig, answer.as_deref());
            self.cautions = cautions::ui(ui, &called);
        }
        self.focus.show(ui.ctx(), theme::Tokens::of(ui));
        self.had_focus = ui.memory(|memory| memory.focused().is_some());
        if !self.intents.is_empty() {
            ui.ctx().request_repaint();
        }
    }

    /// What the power of the rig in hand amounts to.
    #[must_use]
    pub fn power_answers(&self) -> &PowerAnswers {
        &self.power_answers
    }

    fn picker_is_open(&self) -> bool {
        self.screens.iter().any(|screen| screen.picker_is_open())
    }

    fn showing(&self) -> Option<&Arc<Variant>> {
        self.document.project().variant(self.showing)
    }

    fn choose_look(&self, ctx: &Context) {
        ctx.set_theme(match self.settings.theme {
            Theme::Dark => egui::ThemePreference::Dark,
            Theme::Light => egui::ThemePreference::Light,
            Theme::System => egui::ThemePreference::System,
        });
        if (self.settings.zoom - 1.0).abs() > 1e-3 {
            ctx.set_zoom_factor(self.settings.zoom);
        }
    }

    /// Changes the settings, here and where they are kept.
    fn amend(&mut self, amendment: Amendment) {
        self.settings.amend(&amendment);
        self.host.amend_settings(Box::new(move |held| Settings::amended(held, Some(&amendment))));
    }
}

/// What is shown if even the assets can't be read: one empty variant.
fn empty() -> Project {
    let variant = Variant::of(VariantId(1), "first rig", Default::default());
    let project = Project::around(Arc::new(variant), 2);
    Project { title: UNTITLED.to_owned(), currency: "€".into(), ..project }
}
