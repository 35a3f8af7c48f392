//! Words as outlines: set by the same shaper as the screen's, drawn from the faces
//! that are in the program. A picture holds no fonts, and looks alike wherever it is
//! opened.

use std::collections::BTreeMap;

use egui::{FontDefinitions, FontFamily, FontTweak, Pos2, pos2};
use harfrust::{BufferFlags, ShapeOptions, ShaperData, UnicodeBuffer};
use skrifa::instance::{LocationRef, Size};
use skrifa::outline::{DrawSettings, OutlinePen};
use skrifa::{FontRef, GlyphId, MetadataProvider};

use super::Segment;

/// The faces that words are set in.
pub struct Letters<'a> {
    faces: BTreeMap<&'a str, Face<'a>>,
    chains: &'a BTreeMap<FontFamily, Vec<String>>,
}

struct Face<'a> {
    font: FontRef<'a>,
    shaper: ShaperData,
    tweak: &'a FontTweak,
    units_per_em: f32,
}

/// A letter of a line as the screen has it.
#[derive(Debug, Clone, Copy)]
pub struct Placed<'a> {
    /// The letter.
    pub letter: char,
    /// Where it begins, on the line that letters stand on.
    pub at: Pos2,
    /// Its typeface.
    pub family: &'a FontFamily,
    /// Its size in points.
    pub size: f32,
}

impl<'a> Letters<'a> {
    /// The faces of a window.
    pub fn of(definitions: &'a FontDefinitions) -> Self {
        let face = |(name, data): (&'a String, &'a std::sync::Arc<egui::FontData>)| {
            let font = FontRef::from_index(data.bytes(), data.index).ok()?;
            let shaper = ShaperData::new(&font);
            let units_per_em = f32::from(font.metrics(Size::unscaled(), LocationRef::default()).units_per_em);
            Some((name.as_str(), Face { font, shaper, tweak: &data.tweak, units_per_em }))
        };
        Self { faces: definitions.font_data.iter().filter_map(face).collect(), chains: &definitions.families }
    }

    /// The outlines of a line of letters.
    pub fn outline(&self, line: &[Placed<'_>], out: &mut Vec<Segment>) {
        let mut rest = line;
        let mut before: Option<&str> = None;
        while let Some(first) = rest.first() {
            let Some(name) = self.face_of(first, before) else { return };
            before = Some(name);
            let goes_on = |(at, letter): (usize, &Placed<'_>)| {
                let alike = letter.family == first.family && letter.size == first.size && letter.at.y == first.at.y;
                // Each word begins where the screen has it: spaces may be of any width.
                let begins_anew = at > 0 && line_ends_before(rest, at);
                alike && !begins_anew && self.face_of(letter, Some(name)) == Some(name)
            };
            let end = rest.iter().enumerate().position(|letter| !goes_on(letter)).unwrap_or(rest.len()).max(1);
            let (run, next) = rest.split_at(end);
            if let Some(face) = self.faces.get(name) {
                face.outline(run, out);
            }
            rest = next;
        }
    }

    /// The face that a letter is set in: the first of its family that has it. A mark
    /// stays with the letter that it stands on.
    fn face_of<'n>(&'n self, letter: &Placed<'_>, before: Option<&'n str>) -> Option<&'n str> {
        if let Some(name) = before.filter(|_| joins(letter.letter)) {
            return Some(name);
        }
        let chain = self.chains.get(letter.family)?;
        let has = |name: &&String| {
            self.faces.get(name.as_str()).is_some_and(|face| face.font.charmap().map(letter.letter).is_some())
        };
        chain.iter().find(has).or_else(|| chain.first()).map(String::as_str)
    }
}

/// Whether the run ends between a letter and the one before it: words are set one by one.
fn line_ends_before(line: &[Placed<'_>], at: usize) -> bool {
    let is_space = |at: usize| line.get(at).is_some_and(|letter| letter.letter.is_whitespace());
    is_space(at) || is_space(at - 1)
}

/// Marks over and under letters, and what joins and chooses their shapes.
fn joins(letter: char) -> bool {
    matches!(letter, '\u{300}'..='\u{36f}' | '\u{1ab0}'..='\u{1aff}' | '\u{1dc0}'..='\u{1dff}' | '\u{200c}' | '\u{200d}'
        | '\u{20d0}'..='\u{20ff}' | '\u{fe00}'..='\u{fe0f}' | '\u{fe20}'..='\u{fe2f}')
}

impl Face<'_> {
    /// The outlines of letters that are all in this face, of one size and on one line.
    fn outline(&self, run: &[Placed<'_>], out: &mut Vec<Segment>) {
        let Some(first) = run.first() else { return };
        let size = first.size * self.tweak.scale;
        let scale = size / self.units_per_em;
        let base = first.at.y + size * self.tweak.y_offset_factor + self.tweak.y_offset;
        let mut buffer = UnicodeBuffer::new();
        buffer.set_flags(BufferFlags::BEGINNING_OF_TEXT | BufferFlags::END_OF_TEXT);
        buffer.push_str(&run.iter().map(|letter| letter.letter).collect::<String>());
        buffer.guess_segment_properties();
        let set = self.shaper.shaper(&self.font).build().shape(buffer, ShapeOptions::new());
        let glyphs = self.font.outline_glyphs();
        let mut x = first.at.x;
        for (info, place) in set.glyph_infos().iter().zip(set.glyph_positions()) {
            let from = pos2(x + place.x_offset as f32 * scale, base - place.y_offset as f32 * scale);
            if let Some(glyph) = glyphs.get(GlyphId::new(info.glyph_id)) {
                let settings = DrawSettings::unhinted(Size::new(size), LocationRef::default());
                // A letter whose outline is broken is left out, as on the screen.
                let _ = glyph.draw(settings, &mut Pen { from, out });
            }
            x += place.x_advance as f32 * scale;
        }
    }
}

/// Takes outlines with y upward, and lays them down with y downward.
struct Pen<'o> {
    from: Pos2,
    out: &'o mut Vec<Segment>,
}

impl Pen<'_> {
    fn at(&self, x: f32, y: f32) -> Pos2 {
        pos2(self.from.x + x, self.from.y - y)
    }
}

impl OutlinePen for Pen<'_> {
    fn move_to(&mut self, x: f32, y: f32) {
        self.out.push(Segment::Move(self.at(x, y)));
    }

    fn line_to(&mut self, x: f32, y: f32) {
        self.out.push(Segment::Line(self.at(x, y)));
    }

    fn quad_to(&mut self, cx: f32, cy: f32, x: f32, y: f32) {
        self.out.push(Segment::Quadratic(self.at(cx, cy), self.at(x, y)));
    }

    fn curve_to(&mut self, ax: f32, ay: f32, bx: f32, by: f32, x: f32, y: f32) {
        self.out.push(Segment::Cubic(self.at(ax, ay), self.at(bx, by), self.at(x, y)));
    }

    fn close(&mut self) {
        self.out.push(Segment::Close);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::picture::Primitive;
    use crate::theme;
    use egui::{Color32, Rect};

    fn outlined(text: &str) -> Vec<Segment> {
        let definitions = theme::fonts();
        let letters = Letters::of(&definitions);
        let family = FontFamily::Proportional;
        let place = |(at, letter): (usize, char)| Placed {
            letter,
            at: pos2(10.0 * at as f32, 100.0),
            family: &family,
            size: 20.0,
        };
        let line: Vec<Placed<'_>> = text.chars().enumerate().map(place).collect();
        let mut out = Vec::new();
        letters.outline(&line, &mut out);
        out
    }

    fn bounds(text: &str) -> Rect {
        let outline = outlined(text);
        Primitive::Words { words: String::new(), outline, ink: Color32::WHITE }.bounds()
    }

    #[test]
    fn letters_stand_on_their_line_at_their_size() {
        let h = bounds("H");
        // assets/fonts: the capitals of these faces are 1490 of 2048 units high.
        assert!((h.bottom() - 100.0).abs() < 0.01 && (h.height() - 20.0 * 1490.0 / 2048.0).abs() < 0.01, "{h:?}");
        assert!(bounds("p").bottom() > 103.0, "below the line");
        assert_eq!(outlined(" ").len(), 0);
    }

    #[test]
    fn a_word_is_set_by_the_face_and_the_next_one_begins_where_it_is_told() {
        let one = bounds("HH");
        assert!(one.width() > 20.0 && one.width() < 40.0, "not at the places given: {one:?}");
        let two = bounds("H H");
        assert!((two.right() - (20.0 + bounds("H").right())).abs() < 0.01, "{two:?}");
    }

    #[test]
    fn a_mark_stands_over_its_letter_whichever_way_it_is_written() {
        let (whole, parts) = (bounds("é"), bounds("e\u{301}"));
        assert!((whole.top() - parts.top()).abs() < 0.6 && (whole.right() - parts.right()).abs() < 0.6);
        assert!(whole.top() < bounds("e").top() - 2.0);
    }

    #[test]
    fn what_the_text_face_lacks_comes_from_another() {
        assert!(!outlined("♯").is_empty());
        assert!(!outlined("a♯b").is_empty());
    }
}
