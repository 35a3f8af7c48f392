//! A picture as SVG 1.1: paths and nothing else, so that every program shows it alike.
//! Words are outlines, and say what they are as the title of their group.

use std::fmt::Write;

use egui::{Color32, Pos2, Rect, Stroke, pos2, vec2};

use super::{Description, Item, Primitive, Segment};

/// A picture as a text.
#[must_use]
pub fn svg(picture: &Description) -> String {
    let (width, height) = (number(picture.size.x), number(picture.size.y));
    let mut out = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}\" height=\"{height}\" \
         viewBox=\"0 0 {width} {height}\" role=\"img\">\n<title>{}</title>\n",
        escaped(&picture.title)
    );
    let clips = clips(&picture.items);
    if !clips.is_empty() {
        out += "<defs>\n";
        for (at, clip) in clips.iter().enumerate() {
            let _ = writeln!(out, "<clipPath id=\"clip{at}\"><path d=\"{}\"/></clipPath>", rectangle(*clip, 0.0));
        }
        out += "</defs>\n";
    }
    let whole = Rect::from_min_size(Pos2::ZERO, picture.size);
    let _ = writeln!(out, "<path d=\"{}\"{}/>", rectangle(whole, 0.0), fill(picture.ground));
    // What lies inside the same edges stands in one group.
    for group in picture.items.chunk_by(|a, b| a.clip == b.clip) {
        let clip = group.first().and_then(|item| item.clip);
        let at = clip.and_then(|clip| clips.iter().position(|known| *known == clip));
        if let Some(at) = at {
            let _ = writeln!(out, "<g clip-path=\"url(#clip{at})\">");
        }
        group.iter().for_each(|item| shape(&mut out, &item.shape));
        if at.is_some() {
            out += "</g>\n";
        }
    }
    out += "</svg>\n";
    out
}

/// All edges beyond which something isn't seen, each once.
fn clips(items: &[Item]) -> Vec<Rect> {
    let mut found: Vec<Rect> = Vec::new();
    for clip in items.iter().filter_map(|item| item.clip) {
        if !found.contains(&clip) {
            found.push(clip);
        }
    }
    found
}

fn shape(out: &mut String, shape: &Primitive) {
    // Writing into a text has no way to fail.
    let _ = match shape {
        Primitive::Polyline { points, closed, fill: ink, stroke: line } => {
            let fill = fill(if *closed { *ink } else { Color32::TRANSPARENT });
            writeln!(out, "<path d=\"{}\"{fill}{}/>", polyline(points, *closed), stroke(*line))
        }
        Primitive::Rectangle { rect, corner, fill: ink, stroke: line } => {
            writeln!(out, "<path d=\"{}\"{}{}/>", rectangle(*rect, *corner), fill(*ink), stroke(*line))
        }
        Primitive::Ellipse { centre, radius, fill: ink, stroke: line } => {
            let (cx, cy, rx, ry) = (number(centre.x), number(centre.y), number(radius.x), number(radius.y));
            let place = format!("cx=\"{cx}\" cy=\"{cy}\" rx=\"{rx}\" ry=\"{ry}\"");
            writeln!(out, "<ellipse {place}{}{}/>", fill(*ink), stroke(*line))
        }
        Primitive::Words { words, outline, ink } => {
            let words = escaped(words);
            writeln!(out, "<g{}><title>{words}</title><path d=\"{}\"/></g>", fill(*ink), path(outline))
        }
    };
}

/// A length to a hundredth of a point, as short as can be.
fn number(value: f32) -> String {
    let text = format!("{value:.2}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

fn place(at: Pos2) -> String {
    format!("{} {}", number(at.x), number(at.y))
}

fn polyline(points: &[Pos2], closed: bool) -> String {
    let mut d = String::new();
    for (at, point) in points.iter().enumerate() {
        d.push(if at == 0 { 'M' } else { 'L' });
        d += &place(*point);
    }
    if closed {
        d.push('Z');
    }
    d
}

fn path(outline: &[Segment]) -> String {
    let mut d = String::new();
    for segment in outline {
        match *segment {
            Segment::Move(to) => d = d + "M" + &place(to),
            Segment::Line(to) => d = d + "L" + &place(to),
            Segment::Quadratic(by, to) => d = d + "Q" + &place(by) + " " + &place(to),
            Segment::Cubic(a, b, to) => d = d + "C" + &place(a) + " " + &place(b) + " " + &place(to),
            Segment::Close => d.push('Z'),
        }
    }
    d
}

fn rectangle(rect: Rect, corner: f32) -> String {
    if corner <= 0.0 {
        return polyline(&[rect.left_top(), rect.right_top(), rect.right_bottom(), rect.left_bottom()], true);
    }
    let (r, Rect { min, max }) = (corner, rect);
    let arc = |to: Pos2| format!("A{0} {0} 0 0 1 {1}", number(r), place(to));
    let line = |to: Pos2| format!("L{}", place(to));
    [
        format!("M{}", place(min + vec2(r, 0.0))),
        line(pos2(max.x - r, min.y)),
        arc(pos2(max.x, min.y + r)),
        line(pos2(max.x, max.y - r)),
        arc(pos2(max.x - r, max.y)),
        line(pos2(min.x + r, max.y)),
        arc(pos2(min.x, max.y - r)),
        line(pos2(min.x, min.y + r)),
        arc(pos2(min.x + r, min.y)),
        "Z".to_owned(),
    ]
    .concat()
}

fn fill(ink: Color32) -> String {
    if ink == Color32::TRANSPARENT {
        return " fill=\"none\"".to_owned();
    }
    paint("fill", ink)
}

fn stroke(line: Stroke) -> String {
    if line.is_empty() {
        return String::new();
    }
    format!("{} stroke-width=\"{}\"", paint("stroke", line.color), number(line.width))
}

fn paint(what: &str, ink: Color32) -> String {
    let [red, green, blue, opacity] = ink.to_srgba_unmultiplied();
    let mut text = format!(" {what}=\"#{red:02x}{green:02x}{blue:02x}\"");
    if opacity < u8::MAX {
        let _ = write!(text, " {what}-opacity=\"{}\"", number(f32::from(opacity) / 255.0));
    }
    text
}

/// Words as XML takes them; what it doesn't take at all is replaced.
fn escaped(words: &str) -> String {
    let mut out = String::with_capacity(words.len());
    for letter in words.chars() {
        match letter {
            '&' => out += "&amp;",
            '<' => out += "&lt;",
            '>' => out += "&gt;",
            '"' => out += "&quot;",
            '\t' | '\n' | ' '..='\u{fffd}' | '\u{10000}'.. => out.push(letter),
            _ => out.push(char::REPLACEMENT_CHARACTER),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_short() {
        let numbers = [1.0, 0.5, 12.345, -0.001, 100.0, -3.1].map(number);
        assert_eq!(numbers, ["1", "0.5", "12.35", "0", "100", "-3.1"]);
    }

    #[test]
    fn words_never_end_the_markup() {
        assert_eq!(
            escaped("a<b>&\"c\" \u{0}\u{1b}\u{ffff} ä😀"),
            "a&lt;b&gt;&amp;&quot;c&quot; \u{fffd}\u{fffd}\u{fffd} ä😀"
        );
    }

    #[test]
    fn what_has_no_ink_has_none_here() {
        assert_eq!(fill(Color32::TRANSPARENT), " fill=\"none\"");
        assert_eq!(stroke(Stroke::NONE), "");
        assert_eq!(fill(Color32::WHITE), " fill=\"#ffffff\"");
        let half = Color32::WHITE.gamma_multiply(0.5);
        assert_eq!(fill(half), " fill=\"#ffffff\" fill-opacity=\"0.5\"");
    }

    #[test]
    fn what_is_cut_off_stands_in_a_group_of_its_own() {
        let rect = Rect::from_min_max(pos2(0.0, 0.0), pos2(9.0, 9.0));
        let item = |clip| Item {
            clip,
            shape: Primitive::Rectangle { rect, corner: 2.0, fill: Color32::WHITE, stroke: Stroke::NONE },
        };
        let clip = Some(Rect::from_min_max(pos2(1.0, 1.0), pos2(5.0, 5.0)));
        let items = vec![item(clip), item(clip), item(None)];
        let picture = Description { title: "A & B".into(), size: vec2(10.0, 10.0), ground: Color32::BLACK, items };
        let text = svg(&picture);
        assert_eq!(text.matches("<clipPath").count(), 1);
        assert_eq!(text.matches("<g clip-path=\"url(#clip0)\">").count(), 1);
        assert!(text.contains("<title>A &amp; B</title>"));
        assert!(
            text.contains("M2 0L7 0A2 2 0 0 1 9 2L9 7A2 2 0 0 1 7 9L2 9A2 2 0 0 1 0 7L0 2A2 2 0 0 1 2 0Z"),
            "{text}"
        );
    }
}
