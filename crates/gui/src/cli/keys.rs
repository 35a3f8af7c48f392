//! The key card and the legend, to be printed and pinned up: as a plain text, or as a
//! picture with the signs drawn.

use super::arguments::KeyCard;
use super::{Aside, out, table};
use crate::help::{Line, Topic};

/// What `rigwright keys` prints.
pub fn answer(asked: &KeyCard) -> Result<String, Aside> {
    match &asked.out {
        Some(path) => out::key_card(path, asked.look),
        None => Ok(text()),
    }
}

fn text() -> String {
    let mut lines = Vec::new();
    for topic in [Topic::Keys, Topic::Legend] {
        let page = topic.page();
        lines.extend(table::underlined(page.title, '='));
        for section in page.sections {
            lines.push(String::new());
            lines.extend(table::underlined(section.heading, '-'));
            let pairs: Vec<(String, String)> = section
                .lines
                .into_iter()
                .filter_map(|line| match line {
                    Line::Pair(of, words) | Line::Sign(_, of, words) => Some((of, words)),
                    Line::Sentence(_) => None,
                })
                .collect();
            lines.extend(table::pairs(&pairs));
        }
        lines.push(String::new());
    }
    lines.join("\n")
}
