//! Painting rails, symbols, boxes, bars, returns.

use egui::{Align2, Pos2, Rect, Stroke, StrokeKind, pos2, vec2};
use rigwright_core::diagnosis::Severity;
use rigwright_core::power::{Check, Load};
use rigwright_core::rig::{Device, Form, MainsSupply, Power, Supply};
use rigwright_core::units::trimmed;

use super::brush::Brush;
use super::layout::{Converter, Layout, RailKey, RailRow, UnitBox};
use super::returns::SharedReturn;
use super::trace::Stretch;
use super::words;

/// A rail's line.
pub const RAIL: f32 = 2.2;
/// Symbols and stems.
const THIN: f32 = 1.5;
/// Returns that are shared.
const RETURN: f32 = 1.2;

/// The mains at the left.
pub fn mains(brush: &Brush<'_>, layout: &Layout, words: &str) {
    let (x, top, bottom) = layout.mains;
    let quiet = brush.with(brush.tokens.quiet, THIN);
    quiet.words(pos2(x - 24.0, top - 14.0), Align2::LEFT_CENTER, words, 11.0, false);
    if bottom > top {
        brush.with(brush.tokens.ink, RAIL).line(&[pos2(x, top), pos2(x, bottom)]);
    }
}

/// A supply's symbol with its captions, and the line that its outlets branch from.
pub fn converter(brush: &Brush<'_>, shape: &Converter, device: &Device, supply: &Supply, check: Option<&Check>) {
    let tokens = brush.tokens;
    let ink = brush.with(tokens.ink, THIN);
    if let Some(fed_by) = &shape.fed_by {
        ink.with(tokens.ink, if shape.depth == 0 { RAIL } else { THIN }).line(fed_by);
        if shape.depth > 0 {
            ink.dot(fed_by[0], 3.2);
        }
    }
    let (x, top, bottom) = shape.spine;
    ink.line(&[pos2(shape.rect.right(), top), pos2(x, top)]);
    if bottom > top {
        ink.line(&[pos2(x, top), pos2(x, bottom)]);
    }
    let to = supply.outlets.first().and_then(|outlet| outlet.setting()).map_or(Form::CentreNegative, |s| s.form);
    match &device.power {
        Power::Battery(_) => ink.battery(shape.rect),
        Power::Low(_) if supply.passes => {
            // Nothing is converted: wire to wire.
            ink.block(shape.rect, 2.0, tokens.raised);
            let (left, right) = (shape.rect.left_center(), shape.rect.right_center());
            ink.line(&[left, right]);
            ink.dot(shape.rect.center(), 3.4);
        }
        power => ink.converter(shape.rect, matches!(power, Power::Mains(_)), to, tokens.raised),
    }
    if let Power::Mains(mains) = &device.power {
        let at = pos2(shape.rect.left() - 22.0, top - 15.0);
        if mains.earthed {
            ink.with(tokens.ink, 1.2).protective_earth(at)
        } else {
            ink.with(tokens.quiet, 1.1).class_two(at)
        }
    }
    let mut below = shape.rect.center_bottom();
    // Left of the line that its outlets branch from there is room for so much.
    let room = 98.0;
    let name = if shape.depth > 0 {
        vec![ink.cut(&device.name, 11.5, true, room)]
    } else {
        ink.two_lines(&device.name, 11.5, true, room)
    };
    for (at, line) in name.iter().enumerate() {
        below.y += if at > 0 { 13.0 } else { 0.0 };
        label(&ink, below + vec2(0.0, 12.0), line, 11.5, true);
    }
    let quiet = ink.with(tokens.quiet, THIN);
    label(&quiet, below + vec2(0.0, 26.0), &words::supply(device, supply, check), 10.5, false);
    if let Some(total) = check.and_then(|check| check.supply(device.id)).map(|figures| figures.total)
        && let Some(limit) = total.limit
    {
        let load = words::load(total.running, limit, "W");
        label(&quiet, below + vec2(0.0, 39.0), &load, 10.5, false);
    }
}

/// Words on a patch of the sheet, so that lines don't run through them.
fn label(brush: &Brush<'_>, at: Pos2, words: &str, points: f32, strong: bool) {
    let size = vec2(brush.width(words, points, strong) + 4.0, points + 2.0);
    let patch = brush.rect_at(Rect::from_center_size(at, size));
    brush.painter.rect_filled(patch, 0.0, brush.tokens.sheet);
    brush.words(at, Align2::CENTER_CENTER, words, points, strong);
}

/// How a rail looks.
pub struct RailLook<'a> {
    /// What it is called.
    pub title: &'a str,
    /// How power comes, at an outlet.
    pub form: Option<Form>,
    /// Whether a click on the title opens a list.
    pub choice: bool,
    /// Whether something is about to be dropped here.
    pub goal: bool,
    /// Whether the title is pointed at or focused.
    pub pointed: bool,
}

/// A rail with its title; where the title's words end.
pub fn rail(brush: &Brush<'_>, row: &RailRow, look: &RailLook<'_>, has_units: bool) -> Rect {
    let tokens = brush.tokens;
    let shelf = matches!(row.key, RailKey::NotFed | RailKey::Unknown | RailKey::Batteries);
    if look.goal {
        let band = brush.rect_at(row.band.expand2(vec2(2.0, -3.0)));
        brush.painter.rect_filled(band, 6.0, tokens.teal.gamma_multiply(0.10));
        let stroke = Stroke::new(1.5, tokens.teal);
        brush.painter.rect_stroke(band, 6.0, stroke, StrokeKind::Inside);
    }
    if !shelf {
        let ink = if has_units { tokens.ink } else { tokens.faint };
        let line = brush.with(ink, RAIL);
        line.line(&[pos2(row.left, row.y), pos2(row.right, row.y)]);
        let mut from = row.y;
        for &y in &row.further {
            line.line(&[pos2(row.title.x - 8.0, from), pos2(row.title.x - 8.0, y), pos2(row.right, y)]);
            from = y;
        }
    }
    let ink = if look.pointed { tokens.teal } else { tokens.ink };
    let words = brush.with(ink, THIN).words(row.title, Align2::LEFT_BOTTOM, look.title, 12.0, true);
    let mut right = words.right();
    if look.choice {
        let at = pos2(right + 9.0, words.center().y + 1.0);
        let arrow = [at + vec2(-4.0, -2.0), at + vec2(0.0, 2.5), at + vec2(4.0, -2.0)];
        brush.with(if look.pointed { tokens.teal } else { tokens.quiet }, THIN).line(&arrow);
        right += 18.0;
    }
    let title = Rect::from_min_max(words.min, pos2(right, words.bottom()));
    if let Some(form) = look.form {
        let left = pos2(right + 12.0, words.center().y);
        let quiet = brush.with(tokens.quiet, 1.1);
        let end = quiet.form(left, form);
        let words = words::short_form(form);
        // Deep down there is room for the mark alone.
        if row.bar.is_none_or(|bar| end + 17.0 + quiet.width(words, 10.5, false) < bar.left()) {
            quiet.words(pos2(end + 7.0, left.y), Align2::LEFT_CENTER, words, 10.5, false);
        }
    }
    title
}

/// The load of an outlet beside its rating, with the marks of headroom and start-up.
pub fn bar(brush: &Brush<'_>, rect: Rect, load: &Load, used: f64) {
    let tokens = brush.tokens;
    let Some(limit) = load.limit else { return };
    level(brush, rect, load, used);
    let over = load.part() > 1.0 + 1e-9;
    let mut words = words::load(load.running, limit, "A");
    if over {
        words.push_str(", over");
    }
    let ink = if over { tokens.alarm } else { tokens.ink };
    let at = pos2(rect.right() + 10.0, rect.center().y);
    brush.with(ink, THIN).words(at, Align2::LEFT_CENTER, &words, 11.0, over);
}

/// The bar itself, without its words.
pub fn level(brush: &Brush<'_>, rect: Rect, load: &Load, used: f64) {
    let tokens = brush.tokens;
    let Some(limit) = load.limit else { return };
    let part = load.part();
    let over = part > 1.0 + 1e-9;
    let tight = part > used + 1e-9;
    let ink = if over {
        tokens.alarm
    } else if tight {
        tokens.copper
    } else {
        tokens.teal
    };
    let corner = 0.5 * rect.height() * brush.zoom;
    brush.painter.rect_filled(brush.rect_at(rect), corner, tokens.raised);
    if part > 0.0 {
        let width = rect.width() * part.min(1.0) as f32;
        let filled = Rect::from_min_size(rect.min, vec2(width.max(1.5), rect.height()));
        brush.painter.rect_filled(brush.rect_at(filled), corner.min(0.5 * width * brush.zoom), ink);
    }
    let mark = |part: f64| rect.left() + rect.width() * part.clamp(0.0, 1.0) as f32;
    let x = mark(used);
    brush.with(tokens.quiet, 1.1).line(&[pos2(x, rect.top() - 3.0), pos2(x, rect.bottom() + 3.0)]);
    if limit > 0.0 && load.lasting > load.running + 1e-12 {
        let part = load.lasting / limit;
        let x = mark(part);
        let ink = if part > 1.0 + 1e-9 { tokens.alarm } else { tokens.ink };
        let tip = pos2(x, rect.bottom() + 1.5);
        let points = [tip, tip + vec2(-3.6, 6.0), tip + vec2(3.6, 6.0)].map(|p| brush.at(p)).to_vec();
        brush.painter.add(egui::Shape::convex_polygon(points, ink, Stroke::NONE));
    }
}

/// How a unit's box looks.
pub struct BoxLook {
    /// What it draws.
    pub draw: String,
    /// What stands under it.
    pub under: String,
    /// What is wrong with what it gets.
    pub wrong: Option<Severity>,
    /// Selected, pointed at, focused.
    pub selected: bool,
    /// Pointed at or focused.
    pub pointed: bool,
    /// A part of the loop that is shown.
    pub highlighted: bool,
    /// It hangs on nothing.
    pub loose: bool,
    /// It is earthed by its own mains lead.
    pub earthed: Option<bool>,
}

/// A unit's box on its stem.
pub fn unit(brush: &Brush<'_>, shape: &UnitBox, device: &Device, look: &BoxLook) {
    let tokens = brush.tokens;
    if !look.loose {
        let ink = brush.with(tokens.ink, THIN);
        ink.line(&[shape.tap, shape.rect.center_top()]);
        ink.dot(shape.tap, 3.2);
    }
    let (border, weight) = match (look.wrong, look.selected || look.pointed) {
        (Some(Severity::Danger | Severity::Act), _) => (tokens.alarm, 1.6),
        (_, true) => (if look.selected { tokens.copper } else { tokens.teal }, 1.4),
        _ => (tokens.border, 1.0),
    };
    let frame = brush.with(border, weight);
    frame.block(shape.rect, 6.0, tokens.raised);
    if look.loose {
        // Dashes over the border: it is plugged in nowhere.
        let r = shape.rect;
        let corners = [r.left_top(), r.right_top(), r.right_bottom(), r.left_bottom(), r.left_top()];
        brush.with(tokens.quiet, 1.2).dashed(&corners);
    }
    if look.selected {
        let around = shape.rect.expand(3.5);
        let corners =
            [around.left_top(), around.right_top(), around.right_bottom(), around.left_bottom(), around.left_top()];
        brush.with(tokens.copper, 1.2).dashed(&corners);
    }
    if look.highlighted {
        let rect = brush.rect_at(shape.rect);
        brush.painter.rect_stroke(rect, 6.0 * brush.zoom, Stroke::new(2.6, tokens.copper), StrokeKind::Middle);
    }
    let ink = brush.with(tokens.ink, 1.0);
    let name = ink.cut(&device.name, 12.0, true, shape.rect.width() - 12.0);
    ink.words(shape.rect.center() - vec2(0.0, 8.0), Align2::CENTER_CENTER, &name, 12.0, true);
    let quiet = ink.with(tokens.quiet, 1.0);
    quiet.words(shape.rect.center() + vec2(0.0, 9.0), Align2::CENTER_CENTER, &look.draw, 10.5, false);
    let under = shape.rect.center_bottom() + vec2(0.0, 12.0);
    let wrong = matches!(look.wrong, Some(Severity::Danger | Severity::Act));
    let below = ink.with(if wrong { tokens.alarm } else { tokens.quiet }, 1.1);
    match look.earthed {
        Some(earthed) => {
            let width = below.width(&look.under, 10.5, false);
            below.words(under + vec2(9.0, 0.0), Align2::CENTER_CENTER, &look.under, 10.5, false);
            let mark = under - vec2(0.5 * width + 4.0, 0.0);
            if earthed { below.protective_earth(mark) } else { below.class_two(mark) }
        }
        None => {
            below.words(under, Align2::CENTER_CENTER, &look.under, 10.5, wrong);
        }
    }
}

/// A shared return: thin, broken, under the boxes, with its words.
pub fn shared(brush: &Brush<'_>, shared: &SharedReturn, shouts: bool) {
    let ink = if shouts { brush.tokens.copper } else { brush.tokens.quiet };
    let thin = brush.with(ink, RETURN);
    for line in &shared.lines {
        thin.dashed(line);
    }
    for &(x, top, bottom) in &shared.brackets {
        thin.bracket(x, top, bottom);
    }
    let mut at = shared.at;
    if shared.earthed {
        thin.protective_earth(at + vec2(7.0, 0.0));
        at.x += 20.0;
    }
    thin.words(at, Align2::LEFT_CENTER, &shared.words, 10.5, shouts);
}

/// The way of a loop, broad under everything else.
pub fn trace(brush: &Brush<'_>, stretches: &[Stretch]) {
    let copper = brush.tokens.copper;
    for stretch in stretches {
        if stretch.signal {
            brush.with(copper, 2.4).dashed(&stretch.points);
        } else {
            brush.with(copper.gamma_multiply(0.35), 9.0).line(&stretch.points);
            brush.with(copper, 2.4).line(&stretch.points);
        }
    }
}

/// What is being dragged, under the pointer.
pub fn ghost(brush: &Brush<'_>, at: Rect, name: &str, does: &str) {
    let tokens = brush.tokens;
    let teal = brush.with(tokens.teal, 1.6);
    teal.block(at, 6.0, tokens.raised);
    let ink = brush.with(tokens.ink, 1.0);
    let name = ink.cut(name, 12.0, true, at.width() - 12.0);
    ink.words(at.center(), Align2::CENTER_CENTER, &name, 12.0, true);
    let width = teal.width(does, 11.0, true) + 10.0;
    let patch = Rect::from_center_size(at.center_bottom() + vec2(0.0, 13.0), vec2(width, 17.0));
    teal.painter.rect_filled(teal.rect_at(patch), 4.0, tokens.sheet);
    teal.words(patch.center(), Align2::CENTER_CENTER, does, 11.0, true);
}

/// "mains 230 V", as it is at home, where something hangs on it.
pub fn mains_words(devices: &[Device], mains: &MainsSupply) -> String {
    let hangs = devices.iter().any(|device| matches!(device.power, Power::Mains(_)));
    if hangs { format!("mains {} V", trimmed(mains.volts.get(), 4)) } else { "no mains".to_owned() }
}
