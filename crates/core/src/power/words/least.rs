//! The least supplies of the catalogue: which they are, what they come to, whether they are the least.

use super::allocation::{LAST_IN_ROW, NOT_PROVED};
use super::names;
use crate::parts::catalogue;
use crate::power::{LeastAnswer, LeastQuestion, Rules, Weight};
use crate::units::trimmed;

/// "For least money: Isolated supply, five outlets, and 2 × 9 V wall adaptor."
#[must_use]
pub fn bought(asked: &LeastQuestion, answer: &LeastAnswer) -> String {
    let Some(bought) = &answer.bought else {
        return match answer.proved {
            true => "No set of the catalogue's supplies feeds all of this rig under these rules.".to_owned(),
            false => {
                "No set of the catalogue's supplies was found that feeds all of this rig under these rules.".to_owned()
            }
        };
    };
    let named = bought.iter().map(|one| {
        let name = catalogue().part(&one.part).map_or(one.part.as_str(), |part| part.name.as_str());
        match one.count {
            1 => name.to_owned(),
            count => format!("{count} × {name}"),
        }
    });
    let named: Vec<String> = named.collect();
    let what = if named.is_empty() { "nothing more is wanted".to_owned() } else { named.join("; ") };
    format!("For {}: {what}.", asked.least.name())
}

/// What they come to, whether they keep quiet what is to be, and whether there are less.
#[must_use]
pub fn details(currency: &str, asked: &LeastQuestion, answer: &LeastAnswer) -> Vec<String> {
    let mut lines = Vec::new();
    let totals = &answer.totals;
    if totals.boxes > 0 {
        let plural = |count: usize, one: &str, many: &str| match count {
            1 => format!("1 {one}"),
            count => format!("{count} {many}"),
        };
        let boxes = plural(totals.boxes, "box", "boxes");
        let plugs = plural(totals.mains_plugs, "mains plug", "mains plugs");
        let area = trimmed(totals.board_area * 1e4, 3);
        let money = trimmed(totals.money.get(), 6);
        lines.push(format!("{money} {} (invented prices), {boxes}, {plugs}, {area} cm² of the board.", currency));
    }
    if !answer.hopeless.is_empty() {
        let names = names(&asked.rig, &answer.hopeless);
        lines.push(format!("Nothing in the catalogue feeds {names} under these rules."));
    }
    lines.extend(quiet(&asked.rules, answer).map(str::to_owned));
    lines.push(match answer.proved {
        true => format!("Proved: nothing less does under these rules. {}", LAST_IN_ROW),
        false => NOT_PROVED.to_owned(),
    });
    lines
}

/// Whether what is to be quiet is.
fn quiet(rules: &Rules, answer: &LeastAnswer) -> Option<&'static str> {
    let [apart, gains] = [rules.keep_apart, rules.few_gains].map(|weight| weight != Weight::Nothing);
    answer.bought.as_ref()?;
    match (answer.quiet, apart, gains) {
        (_, false, false) => None,
        (false, ..) if answer.proved => {
            Some("No set there keeps all of that quiet; this is the least of those that feed it.")
        }
        (false, ..) => Some("No set was found that keeps all of that quiet; this one feeds it."),
        (true, true, true) => Some(
            "The least of the quiet sets: digital apart from analogue, at most two drives, fuzzes or compressors and 40 dB of gain on a 0 V (practice).",
        ),
        (true, true, false) => Some("The least of the quiet sets: digital apart from analogue."),
        (true, false, true) => Some(
            "The least of the quiet sets: at most two drives, fuzzes or compressors and 40 dB of gain on a 0 V (practice).",
        ),
    }
}
