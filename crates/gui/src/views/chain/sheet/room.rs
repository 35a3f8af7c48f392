//! Where words find room on the sheet: off other words, off symbols, and off lines unless
//! they lie on one.

use egui::{Rangef, Rect};

/// Between two words, in points.
const BETWEEN: f32 = 2.0;

/// Whether two rectangles have more in common than an edge.
#[must_use]
pub fn overlap(a: Rect, b: Rect) -> bool {
    a.min.x < b.max.x && a.max.x > b.min.x && a.min.y < b.max.y && a.max.y > b.min.y
}

/// What is taken, in points of the screen.
#[derive(Debug, Default)]
pub struct Room {
    words: Vec<Rect>,
    symbols: Vec<Rect>,
    lines: Vec<Rect>,
}

impl Room {
    /// With words that stand already.
    #[must_use]
    pub fn with(words: Vec<Rect>) -> Self {
        Self { words, ..Self::default() }
    }

    /// A symbol stands there.
    pub fn symbol(&mut self, rect: Rect) {
        self.symbols.push(rect);
    }

    /// A line runs there.
    pub fn line(&mut self, rect: Rect) {
        self.lines.push(rect);
    }

    /// Whether words would touch nothing; words that lie `on_a_line` may touch lines.
    #[must_use]
    pub fn is_free(&self, rect: Rect, on_a_line: bool) -> bool {
        let touches = |other: &Rect| overlap(rect, *other);
        let near = rect.expand2(egui::vec2(BETWEEN, 0.5));
        let beside = |other: &Rect| overlap(near, *other);
        !self.words.iter().any(beside)
            && !self.symbols.iter().any(touches)
            && (on_a_line || !self.lines.iter().any(touches))
    }

    /// Words stand there from now on.
    pub fn take(&mut self, rect: Rect) {
        self.words.push(rect);
    }
}

/// A name as it may be written, the best way first: in one line, in two, and less of it; cut
/// within a word only where it is one word and nothing else fits.
///
/// `width` tells how wide words are, `room` how wide they may be.
pub fn wordings(name: &str, room: f32, width: impl Fn(&str) -> f32) -> Vec<Vec<String>> {
    let mut found = Vec::new();
    if width(name) <= room {
        found.push(vec![name.to_owned()]);
    }
    let words: Vec<&str> = name.split_whitespace().collect();
    let in_two = (1..words.len()).map(|at| [words[..at].join(" "), words[at..].join(" ")]);
    let widest = |lines: &[String; 2]| lines.iter().map(|line| width(line)).fold(0.0, f32::max);
    let best = in_two.map(|lines| (widest(&lines), lines)).min_by(|a, b| a.0.total_cmp(&b.0));
    if let Some((_, lines)) = best.filter(|(widest, _)| *widest <= room) {
        found.push(lines.to_vec());
    }
    for count in (1..words.len()).rev() {
        let short = format!("{} …", words[..count].join(" "));
        if width(&short) <= room {
            found.push(vec![short]);
        }
    }
    if let Some(first) = words.first().filter(|first| width(first) > room) {
        let mut short = (*first).to_owned();
        while short.pop().is_some() && width(&format!("{short}…")) > room {}
        found.push(vec![format!("{short}…")]);
    }
    found
}

/// What is left of a range where others lie on it.
pub fn without(whole: Rangef, gaps: impl Iterator<Item = Rangef>) -> impl Iterator<Item = Rangef> {
    let mut left = vec![whole];
    for gap in gaps {
        let parts = |part: Rangef| {
            let before = Rangef::new(part.min, part.max.min(gap.min));
            let after = Rangef::new(part.min.max(gap.max), part.max);
            [before, after].into_iter().filter(|part| part.max > part.min)
        };
        left = left.into_iter().flat_map(parts).collect();
    }
    left.into_iter()
}

#[cfg(test)]
mod tests {
    use super::*;
    use egui::{pos2, vec2};

    fn at(x: f32, y: f32) -> Rect {
        Rect::from_min_size(pos2(x, y), vec2(40.0, 12.0))
    }

    #[test]
    fn words_keep_off_what_is_there() {
        let mut room = Room::with(vec![at(0.0, 0.0)]);
        room.symbol(at(100.0, 0.0));
        room.line(at(200.0, 0.0));
        assert!(!room.is_free(at(41.0, 0.0), false), "too near to the words beside it");
        assert!(room.is_free(at(43.0, 0.0), false));
        assert!(!room.is_free(at(70.0, 5.0), true), "on a symbol");
        assert!(!room.is_free(at(210.0, 4.0), false) && room.is_free(at(210.0, 4.0), true));
        room.take(at(43.0, 0.0));
        assert!(!room.is_free(at(43.0, 0.0), false));
    }

    #[test]
    fn a_name_is_written_in_two_lines_before_it_is_shortened() {
        let width = |words: &str| 6.0 * words.chars().count() as f32;
        let told = |name: &str, room: f32| -> Vec<String> {
            wordings(name, room, width).into_iter().map(|lines| lines.join("/")).collect()
        };
        assert_eq!(told("Tuner", 90.0), ["Tuner"]);
        assert_eq!(
            told("Compact digital delay", 96.0),
            ["Compact/digital delay", "Compact …"],
            "thirteen letters in the longest line, and not fifteen"
        );
        assert_eq!(told("Hard-clipping", 60.0), ["Hard-clip…"], "one word that is too long");
        assert_eq!(told("", 60.0), [""]);
    }
}
