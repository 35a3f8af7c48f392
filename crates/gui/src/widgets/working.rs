//! What is being worked out: how far it is, and a button that calls it off.

use egui::{ProgressBar, Ui};

use super::panel;
use crate::theme::Tokens;

/// Seconds after which it is said that something takes a while.
const SAY_AFTER: f64 = 0.3;

/// Since when something is being worked out.
#[derive(Debug, Clone, Copy, Default)]
pub struct Working {
    since: Option<f64>,
}

/// What a person wants.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WorkRequest {
    /// That it is called off.
    Stop,
    /// That it goes on.
    GoOn,
}

impl Working {
    /// A bar where `done` says how far it is and it takes a while, or a word
    /// where it was called off.
    pub fn ui(&mut self, ui: &mut Ui, done: Option<f64>, called_off: bool) -> Option<WorkRequest> {
        let now = ui.input(|input| input.time);
        let Some(done) = done else {
            self.since = None;
            if called_off {
                panel::quiet(ui, "Stopped before it was all worked out.");
                return ui.button("Go on").clicked().then_some(WorkRequest::GoOn);
            }
            return None;
        };
        if now - *self.since.get_or_insert(now) < SAY_AFTER {
            return None;
        }
        let tokens = Tokens::of(ui);
        let row = ui.horizontal(|ui| {
            let percent = format!("{:.0} %", done * 100.0);
            ui.add(ProgressBar::new(done as f32).desired_width(160.0).text(percent).fill(tokens.teal));
            ui.button("Stop").on_hover_text("Leaves it at what is known so far").clicked()
        });
        row.inner.then_some(WorkRequest::Stop)
    }
}
