//! The key card and the legend as a plain text, to be printed and pinned up.

use super::table;
use crate::help::{Line, Topic};

/// What `rigwright keys` prints.
pub fn text() -> String {
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
