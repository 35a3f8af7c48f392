//! Supply leads that can't be as they are drawn, each with what takes it out of the way.

use egui::{Label, RichText, Ui};
use rigwright_core::diagnosis::Remedy;
use rigwright_core::rig::{Edit, FeedId, PowerEdit, Problem};
use rigwright_core::words::capital;

use super::canvas::Scene;
use crate::theme::Tokens;
use crate::views::{Intent, remedy};
use crate::widgets::entry::entry;
use crate::widgets::more::STRETCH;

/// Problems of supply leads; those of the signal are told on the Chain screen.
pub fn ui(ui: &mut Ui, scene: &Scene<'_>, found: &[Problem], out: &mut Vec<Intent>) {
    let tokens = Tokens::of(ui);
    for problem in found.iter().filter(|problem| is_of_power(problem)).take(STRETCH) {
        let Some(mend) = mend(scene, problem) else { continue };
        entry(ui, tokens.alarm, 1.0, |ui| {
            ui.add(Label::new(RichText::new(capital(&format!("{problem}."))).color(tokens.ink)).wrap());
            if let Some((words, edit)) = mend {
                remedy::ui(ui, &Remedy::of(words, edit), false, out);
            }
        });
    }
}

/// Whether it is a problem of a supply lead.
fn is_of_power(problem: &Problem) -> bool {
    matches!(
        problem,
        Problem::MissingOutlet { .. }
            | Problem::OutletTwice { .. }
            | Problem::FeedsNothing { .. }
            | Problem::FeedsMissingDevice { .. }
            | Problem::TakesNoFeed { .. }
            | Problem::FedTwice { .. }
            | Problem::NoSuchSetting { .. }
            | Problem::FeedsItself { .. }
    )
}

/// None for what is no problem of a supply lead; inside, none for what one change doesn't mend.
fn mend(scene: &Scene<'_>, problem: &Problem) -> Option<Option<(&'static str, Edit)>> {
    let power = |words: &'static str, edit| Some(Some((words, Edit::Power { variant: scene.variant, edit })));
    let away = |feed: &FeedId| power("Take this lead away", PowerEdit::RemoveFeed(*feed));
    match problem {
        Problem::MissingOutlet { feed, .. }
        | Problem::OutletTwice { feed, .. }
        | Problem::FeedsNothing { feed, .. } => away(feed),
        Problem::FeedsMissingDevice { feed, .. } => {
            let kept = scene.rig.feed(*feed).map(|feed| {
                let mut kept = feed.clone();
                kept.taps.retain(|tap| scene.rig.device(tap.device).is_some());
                kept
            });
            match kept.filter(|kept| !kept.taps.is_empty()) {
                Some(kept) => power("Take this plug away", PowerEdit::SetFeed(Box::new(kept))),
                None => away(feed),
            }
        }
        Problem::TakesNoFeed { device, .. } | Problem::FedTwice { device, .. } => {
            power("Unplug it", PowerEdit::Unplug(*device))
        }
        Problem::NoSuchSetting { outlet, .. } => {
            power("Set it to its first voltage", PowerEdit::Choose { outlet: *outlet, setting: 1 })
        }
        Problem::FeedsItself { .. } => Some(None),
        _ => None,
    }
}
