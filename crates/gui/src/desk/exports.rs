//! Pictures and tables on their way out of the window: to a file or to the clipboard.
//!
//! What is asked for waits until its answers are there, so that no old number goes
//! out as a new one; what is read of the window is gathered in a frame, and made into
//! bytes beside it.

use std::collections::VecDeque;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use egui::{ColorImage, Context};

use super::Desk;
use super::bars::Notice;
use super::questions::{PathFor, PendingQuestion};
use crate::export::{Exported, Format, Gathered, TOO_LARGE};
use crate::jobs::{Content, Export, Lane, NotSaved, Replaces, name_of, named_as};
use crate::picture::{Look, Pixels};
use crate::state::{Deferred, Habits, SameQuestion, Schedule, Selection};
use crate::views::{Facts, PowerFacts};

/// Where something goes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum To {
    /// To the clipboard.
    Clipboard,
    /// A picture to the clipboard, as the text of its lines.
    ClipboardAsSvg,
    /// To a file.
    File {
        /// Which.
        path: PathBuf,
        /// What it may replace.
        replaces: Replaces,
        /// The path as it was typed, to be typed on.
        typed: Option<String>,
    },
}

/// Something that was asked for.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Order {
    number: u64,
    what: Exported,
    to: To,
}

impl SameQuestion for Order {
    fn same(&self, other: &Self) -> bool {
        self.number == other.number
    }
}

/// What goes out.
#[derive(Debug)]
enum Made {
    Bytes(Vec<u8>),
    Image(Arc<ColorImage>),
    Text(String),
}

/// The work on it.
type Making = Deferred<Order, Result<Made, String>>;

/// What is on its way out.
#[derive(Debug, Default)]
pub struct Exports {
    numbers: u64,
    /// What a dialog asks a name for.
    asked: Option<Exported>,
    /// What waits for its answers, or for what was asked for before.
    waiting: VecDeque<Order>,
    making: Option<(Order, Making)>,
    /// What the machine has and didn't answer yet.
    sent: Vec<Order>,
}

impl Exports {
    /// What waits is of a rig that isn't in hand any more.
    pub fn forget_waiting(&mut self) {
        self.waiting.clear();
    }

    /// What waits for its answers, if anything does.
    pub fn waiting(&self) -> Option<Exported> {
        self.waiting.front().map(|order| order.what)
    }

    /// Whether something is being made.
    pub fn is_busy(&self) -> bool {
        self.making.is_some() || !self.waiting.is_empty()
    }

    /// Whether a file isn't written yet: the window's end would cut it off.
    pub fn goes_to_a_file(&self) -> bool {
        let orders = self.waiting.iter().chain(self.making.iter().map(|(order, _)| order)).chain(&self.sent);
        orders.into_iter().any(|order| matches!(order.to, To::File { .. }))
    }

    fn order(&mut self, what: Exported, to: To) {
        self.numbers += 1;
        self.waiting.push_back(Order { number: self.numbers, what, to });
    }
}

impl Desk {
    /// Asks for a name, and has it written there.
    pub(super) fn save_export(&mut self, what: Exported) {
        self.exports.asked = Some(what);
        self.host.pick_export(self.suggested_export(what), what.endings());
    }

    /// Has it put on the clipboard.
    pub(super) fn copy_export(&mut self, what: Exported) {
        self.exports.order(what, To::Clipboard);
    }

    /// Has a picture put on the clipboard as the text of an SVG.
    pub(super) fn copy_as_svg(&mut self, what: Exported) {
        self.exports.order(what, To::ClipboardAsSvg);
    }

    /// "Pit rig, drawing.svg".
    fn suggested_export(&self, what: Exported) -> String {
        // What it is stands at the end, and must not be cut off there.
        let title: String = self.document.project().title.chars().take(40).collect();
        let ending = what.endings().first().copied().unwrap_or_default();
        if what == Exported::Card {
            return named_as(what.noun(), ending);
        }
        named_as(&format!("{}, {}", title.trim(), what.noun()), ending)
    }

    /// A name was chosen in a dialog, which asked about a file that is there.
    pub(super) fn picked_export(&mut self, path: PathBuf) {
        if let Some(what) = self.exports.asked.take() {
            self.export_to(what, path, Replaces::Anything, None);
        }
    }

    /// This desktop has no dialogs: the path is to be typed. False where the dialog was another's.
    pub(super) fn type_export_path(&mut self) -> bool {
        let Some(what) = self.exports.asked.take() else { return false };
        let typed = self.suggested_export(what);
        self.question = Some(PendingQuestion::Path { what: PathFor::Export(what), typed, wrong: None });
        true
    }

    /// Nobody chose a name.
    pub(super) fn call_off_export(&mut self) {
        self.exports.asked = None;
    }

    /// A path was typed; nobody was asked about a file that is there.
    pub(super) fn typed_export(&mut self, what: Exported, path: PathBuf, typed: String) {
        let ending = what.endings().first().copied().unwrap_or_default();
        let path = if path.extension().is_none() { path.with_extension(ending) } else { path };
        self.export_to(what, path, Replaces::Only(Vec::new()), Some(typed));
    }

    /// The same although there is a file of that name, which holds this.
    pub(super) fn replace_export(&mut self, what: Exported, path: PathBuf, found: Content) {
        self.export_to(what, path, Replaces::Only(vec![found]), None);
    }

    fn export_to(&mut self, what: Exported, path: PathBuf, replaces: Replaces, typed: Option<String>) {
        if let Err(endings) = what.format_of(&path) {
            let wrong = format!("“{}” should end in {endings}, which says what kind of file it is.", name_of(&path));
            self.not_exported(what, typed, wrong);
            return;
        }
        self.exports.order(what, To::File { path, replaces, typed });
    }

    fn not_exported(&mut self, what: Exported, typed: Option<String>, why: String) {
        match typed.filter(|_| self.question.is_none()) {
            Some(typed) => {
                let what = PathFor::Export(what);
                self.question = Some(PendingQuestion::Path { what, typed, wrong: Some(why) });
            }
            None => self.notice = Some(Notice::trouble(why)),
        }
    }

    /// Goes on with what is on its way out.
    pub(super) fn export(&mut self, ctx: &Context) {
        let was_busy = self.exports.is_busy();
        self.gather_export();
        self.hand_export_over(ctx);
        if was_busy {
            // What waits for no more than that goes on.
            self.waited();
        }
    }

    /// Gathers what waits, once its answers are there.
    fn gather_export(&mut self) {
        if self.exports.making.is_some() || self.exports.waiting().is_none_or(|what| self.is_in_work(what)) {
            return;
        }
        let Some(order) = self.exports.waiting.pop_front() else { return };
        if self.is_old(order.what) {
            let why = "its numbers are those of before the last change, and the new ones aren't worked out";
            self.not_made(order.what, why);
            return;
        }
        let gathered = self.with_facts(|facts| order.what.gathered(Look::Light, facts));
        let gathered = match gathered {
            Some(Ok(gathered)) => gathered,
            Some(Err(why)) => return self.not_made(order.what, &why.to_string()),
            None => return,
        };
        let to_file = match &order.to {
            To::File { path, .. } => order.what.format_of(path).ok(),
            To::ClipboardAsSvg => Some(Format::Svg),
            To::Clipboard => None,
        };
        let mut making = Deferred::default();
        let schedule = Schedule { host: &*self.host, lane: Lane::Files, finish_running: false };
        making.ask(&order, schedule, move |_| Some(made(gathered, to_file)));
        self.exports.making = Some((order, making));
    }

    /// Whether answers that something is made from are still being worked out.
    fn is_in_work(&self, what: Exported) -> bool {
        match what {
            Exported::Parts | Exported::Card => false,
            Exported::Power => self.power_answers.progress().is_some(),
            Exported::Drawing => self.answers.progress_of_curve(self.showing).is_some(),
            Exported::Plot | Exported::Curves => self.answers.is_computing_curves() || self.sounds.is_computing(),
        }
    }

    /// Whether answers that something is made from are of before the last change: the work
    /// on the new ones was called off, or died.
    fn is_old(&self, what: Exported) -> bool {
        let project = self.document.project();
        let states_are_old = |id| self.answers.states(id).is_some_and(|shown| shown.old);
        let mut shown = project.variants.iter().map(|variant| variant.id).filter(|id| self.inputs.shows(*id));
        match what {
            Exported::Parts | Exported::Card => false,
            Exported::Power => self.power_answers.shown().is_none_or(|shown| shown.old),
            Exported::Drawing => self.answers.is_old(self.showing),
            Exported::Plot | Exported::Curves => shown.any(|id| self.answers.is_old(id) || states_are_old(id)),
        }
    }

    fn not_made(&mut self, what: Exported, why: &str) {
        self.notice = Some(Notice::trouble(format!("The {} can't be made: {why}.", what.noun())));
    }

    /// What a screen reads of the rig in hand, with nothing pointed at or selected.
    fn with_facts<T>(&self, read: impl FnOnce(&Facts<'_>) -> T) -> Option<T> {
        let nothing = Selection::default();
        Some(read(&Facts {
            project: self.document.project(),
            variant: self.showing()?,
            answers: &self.answers,
            sounds: &self.sounds,
            inputs: &self.inputs,
            straight: &self.straight,
            selection: &nothing,
            state_highlight: None,
            looked_at: None,
            string_comb: self.string_combs.shown(),
            ghost: None,
            refused: None,
            advice: None,
            habits: Habits::default(),
            used_parts: &[],
            own_parts: &self.own_parts,
            power: PowerFacts { answer: self.power_answers.shown(), ..PowerFacts::default() },
        }))
    }

    /// Hands on what was made.
    fn hand_export_over(&mut self, ctx: &Context) {
        let Some((_, making)) = &mut self.exports.making else { return };
        making.poll();
        if making.shown().is_none() && !making.died() {
            return;
        }
        let Some((order, making)) = self.exports.making.take() else { return };
        // That something died is said already.
        let Some(made) = making.shown() else { return };
        match (&**made.answer, &order.to) {
            (Err(why), _) => self.not_made(order.what, why),
            (Ok(Made::Bytes(bytes)), To::File { path, replaces, .. }) => {
                let (path, replaces) = (path.clone(), replaces.clone());
                self.host.export(Export { path, bytes: bytes.clone(), token: order.number, replaces });
                self.exports.sent.push(order);
            }
            (Ok(Made::Image(image)), _) => {
                ctx.copy_image((**image).clone());
                self.say_copied(order.what);
            }
            (Ok(Made::Text(text)), _) => {
                ctx.copy_text(text.clone());
                self.say_copied(order.what);
            }
            (Ok(Made::Bytes(bytes)), To::ClipboardAsSvg) => {
                ctx.copy_text(String::from_utf8_lossy(bytes).into_owned());
                self.say_copied(order.what);
            }
            (Ok(Made::Bytes(_)), To::Clipboard) => {}
        }
    }

    fn say_copied(&mut self, what: Exported) {
        self.notice = Some(Notice::word(format!("The {} is on the clipboard.", what.noun())));
    }

    /// A file was written, or wasn't.
    pub(super) fn exported(&mut self, path: &Path, number: u64, result: Result<(), NotSaved>) {
        let Some(at) = self.exports.sent.iter().position(|order| order.number == number) else { return };
        let Order { what, to, .. } = self.exports.sent.remove(at);
        let typed = match to {
            To::File { typed, .. } => typed,
            To::Clipboard | To::ClipboardAsSvg => None,
        };
        match result {
            Ok(()) => {
                let words = format!("The {} is in “{}”.", what.noun(), name_of(path));
                self.notice = Some(Notice::word(words));
            }
            Err(NotSaved::Why(why)) => self.not_exported(what, typed, why),
            Err(NotSaved::Other(found)) if self.question.is_none() => {
                self.question = Some(PendingQuestion::ReplaceExport { what, path: path.to_path_buf(), found });
            }
            Err(NotSaved::Other(_)) => {
                let words = format!("The {} isn't saved: there is a file “{}”.", what.noun(), name_of(path));
                self.notice = Some(Notice::trouble(words));
            }
        }
        self.waited();
    }
}

/// What goes out, made beside the window.
fn made(gathered: Gathered, to_file: Option<Format>) -> Result<Made, String> {
    match (gathered, to_file) {
        (gathered, Some(format)) => gathered.bytes(format).map(Made::Bytes),
        (Gathered::Table(text), None) => Ok(Made::Text(text)),
        (Gathered::Picture(picture), None) => {
            let pixels = Pixels::of(&picture).ok_or(TOO_LARGE)?;
            let size = [pixels.width as usize, pixels.height as usize];
            // Nothing shines through, so that it doesn't matter how opacity is held.
            Ok(Made::Image(Arc::new(ColorImage::from_rgba_premultiplied(size, &pixels.rgba))))
        }
    }
}
