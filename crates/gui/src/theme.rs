//! Every colour, size and typeface of the window, as tokens.
//!
//! Nothing outside this file names a raw colour (clippy's configuration holds that).

#![allow(clippy::disallowed_methods, reason = "this is the one place where raw colours are made")]

use std::sync::Arc;

use egui::{
    Color32, Context, CornerRadius, FontData, FontDefinitions, FontFamily, FontId, Margin, Stroke, TextStyle, Theme,
    Visuals, style::ScrollAnimation, vec2,
};

/// The colours of one theme.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tokens {
    /// Behind everything.
    pub ground: Color32,
    /// Panels and bars.
    pub panel: Color32,
    /// The sheet that the circuit is drawn on.
    pub sheet: Color32,
    /// Dots of the sheet, lines of the plot's grid.
    pub grid: Color32,
    /// Around panels and cards.
    pub border: Color32,
    /// Around what is worked: fields, boxes to tick, buttons.
    pub outline: Color32,
    /// Pressed and chosen things.
    pub raised: Color32,
    /// Text, and the ink of symbols.
    pub ink: Color32,
    /// Second-rank text.
    pub quiet: Color32,
    /// What is off, hanging faint above the line.
    pub faint: Color32,
    /// High-impedance runs.
    pub copper: Color32,
    /// Buffered runs, and what can be done.
    pub teal: Color32,
    /// What is wrong.
    pub alarm: Color32,
    /// One accent a variant, in their order.
    pub accents: [Color32; 6],
    /// Behind a modal question.
    pub veil: Color32,
}

const DARK: Tokens = Tokens {
    ground: Color32::from_rgb(0x15, 0x18, 0x1c),
    panel: Color32::from_rgb(0x1c, 0x20, 0x25),
    sheet: Color32::from_rgb(0x18, 0x1b, 0x20),
    grid: Color32::from_rgb(0x2b, 0x31, 0x38),
    border: Color32::from_rgb(0x2b, 0x31, 0x38),
    outline: Color32::from_rgb(0x63, 0x6b, 0x74),
    raised: Color32::from_rgb(0x2a, 0x30, 0x37),
    ink: Color32::from_rgb(0xd7, 0xdb, 0xe0),
    quiet: Color32::from_rgb(0x98, 0xa1, 0xab),
    faint: Color32::from_rgb(0x63, 0x6b, 0x74),
    copper: Color32::from_rgb(0xe3, 0x9a, 0x4b),
    teal: Color32::from_rgb(0x4f, 0xb3, 0xa5),
    alarm: Color32::from_rgb(0xe3, 0x76, 0x7a),
    accents: [
        Color32::from_rgb(0xe3, 0x9a, 0x4b),
        Color32::from_rgb(0x7f, 0xa7, 0xe8),
        Color32::from_rgb(0xc7, 0x8f, 0xd6),
        Color32::from_rgb(0x9c, 0xc4, 0x6a),
        Color32::from_rgb(0xe6, 0x82, 0x7a),
        Color32::from_rgb(0x6c, 0xc3, 0xd8),
    ],
    veil: Color32::from_rgba_premultiplied(0, 0, 0, 150),
};

const LIGHT: Tokens = Tokens {
    ground: Color32::from_rgb(0xee, 0xeb, 0xe4),
    panel: Color32::from_rgb(0xf7, 0xf5, 0xf0),
    sheet: Color32::from_rgb(0xfc, 0xfb, 0xf7),
    grid: Color32::from_rgb(0xdf, 0xdb, 0xd1),
    border: Color32::from_rgb(0xd5, 0xd0, 0xc4),
    outline: Color32::from_rgb(0x86, 0x87, 0x86),
    raised: Color32::from_rgb(0xe5, 0xe1, 0xd7),
    ink: Color32::from_rgb(0x22, 0x26, 0x2b),
    quiet: Color32::from_rgb(0x5d, 0x64, 0x6c),
    faint: Color32::from_rgb(0x86, 0x87, 0x86),
    copper: Color32::from_rgb(0x99, 0x52, 0x10),
    teal: Color32::from_rgb(0x15, 0x70, 0x65),
    alarm: Color32::from_rgb(0xb5, 0x2f, 0x36),
    accents: [
        Color32::from_rgb(0x99, 0x52, 0x10),
        Color32::from_rgb(0x2f, 0x5f, 0xb8),
        Color32::from_rgb(0x84, 0x42, 0x97),
        Color32::from_rgb(0x4d, 0x7a, 0x1c),
        Color32::from_rgb(0xad, 0x3d, 0x36),
        Color32::from_rgb(0x14, 0x76, 0x8c),
    ],
    veil: Color32::from_rgba_premultiplied(0, 0, 0, 90),
};

impl Tokens {
    /// Both themes' tokens, each with its name.
    pub const BOTH: [(&str, &Self); 2] = [("graphite", &DARK), ("paper", &LIGHT)];

    /// The tokens of the theme in use.
    #[must_use]
    pub fn of(ui: &egui::Ui) -> &'static Self {
        if ui.visuals().dark_mode { &DARK } else { &LIGHT }
    }

    /// The accent of the variant at an index.
    #[must_use]
    pub fn accent(&self, index: usize) -> Color32 {
        self.accents[index % self.accents.len()]
    }
}

/// How much of its ink something keeps, from 0 to 1.
pub mod strength {
    /// The edge of a band of states.
    pub const BAND_EDGE: f32 = 0.77;
    /// The ground behind what is selected, in teal.
    pub const SELECTION: f32 = 0.35;
}

/// Sizes, in points.
pub mod size {
    /// Space around and between panels.
    pub const GAP: f32 = 10.0;
    /// Corners of panels.
    pub const CORNER: u8 = 8;
    /// Inside of panels.
    pub const INSET: i8 = 12;
    /// A high-impedance run's line on the drawing, at zoom 1.
    pub const HIGH_IMPEDANCE_LINE: f32 = 2.6;
    /// A buffered run's line.
    pub const BUFFERED_LINE: f32 = 1.5;
    /// A symbol's line.
    pub const SYMBOL_LINE: f32 = 1.4;
    /// A curve of the plot.
    pub const CURVE: f32 = 2.2;
}

/// Text sizes, in points.
pub mod text {
    use super::{FontFamily, FontId};

    /// The project's title.
    #[must_use]
    pub fn title() -> FontId {
        FontId::new(15.0, super::semibold())
    }
    /// A panel's heading.
    #[must_use]
    pub fn heading() -> FontId {
        FontId::new(13.5, super::semibold())
    }
    /// Running text.
    #[must_use]
    pub fn body() -> FontId {
        FontId::new(13.0, FontFamily::Proportional)
    }
    /// Second-rank text.
    #[must_use]
    pub fn small() -> FontId {
        FontId::new(11.5, FontFamily::Proportional)
    }
    /// On the drawing, at a zoom.
    #[must_use]
    pub fn drawn(points: f32, zoom: f32) -> FontId {
        FontId::new(points * zoom, FontFamily::Proportional)
    }
    /// A device's name on the drawing, at a zoom.
    #[must_use]
    pub fn drawn_name(points: f32, zoom: f32) -> FontId {
        FontId::new(points * zoom, super::medium())
    }
}

/// The medium weight.
#[must_use]
pub fn medium() -> FontFamily {
    FontFamily::Name("medium".into())
}

/// The semibold weight.
#[must_use]
pub fn semibold() -> FontFamily {
    FontFamily::Name("semibold".into())
}

/// Sets typefaces and both themes' styles; once, before the first frame.
pub fn install(ctx: &Context) {
    ctx.set_fonts(fonts());
    for theme in [Theme::Dark, Theme::Light] {
        let tokens = if theme == Theme::Dark { &DARK } else { &LIGHT };
        ctx.style_mut_of(theme, |style| {
            style.visuals = visuals(tokens, theme == Theme::Dark);
            style.text_styles = [
                (TextStyle::Small, text::small()),
                (TextStyle::Body, text::body()),
                (TextStyle::Button, text::body()),
                (TextStyle::Monospace, FontId::new(12.5, FontFamily::Monospace)),
                (TextStyle::Heading, text::heading()),
            ]
            .into();
            style.spacing.item_spacing = vec2(8.0, 6.0);
            style.spacing.button_padding = vec2(10.0, 4.0);
            style.spacing.interact_size.y = 24.0;
            style.spacing.menu_margin = Margin::same(6);
            style.spacing.window_margin = Margin::same(14);
            style.animation_time = 0.0;
            style.spacing.scroll = egui::style::ScrollStyle::solid();
        });
    }
}

/// Whether nothing glides to its place and no text cursor blinks, or as usual.
pub fn set_movement(ctx: &Context, less: bool) {
    ctx.all_styles_mut(|style| {
        style.scroll_animation = if less { ScrollAnimation::none() } else { ScrollAnimation::default() };
        style.visuals.text_cursor.blink = !less;
    });
}

/// The typefaces, each with those that have what it lacks.
#[must_use]
pub fn fonts() -> FontDefinitions {
    let faces: [(&str, &'static [u8]); 3] = [
        ("text-regular", include_bytes!("../../../assets/fonts/text-regular.ttf")),
        ("text-medium", include_bytes!("../../../assets/fonts/text-medium.ttf")),
        ("text-semibold", include_bytes!("../../../assets/fonts/text-semibold.ttf")),
    ];
    let mut fonts = FontDefinitions::default();
    for (name, bytes) in faces {
        fonts.font_data.insert(name.to_owned(), Arc::new(FontData::from_static(bytes)));
    }
    // The defaults stay behind ours, for names in what ours doesn't have.
    let fallback = fonts.families.get(&FontFamily::Proportional).cloned().unwrap_or_default();
    for (family, face) in
        [(FontFamily::Proportional, "text-regular"), (medium(), "text-medium"), (semibold(), "text-semibold")]
    {
        let chain = std::iter::once(face.to_owned()).chain(fallback.iter().cloned()).collect();
        fonts.families.insert(family, chain);
    }
    fonts
}

fn visuals(tokens: &Tokens, dark: bool) -> Visuals {
    let mut v = if dark { Visuals::dark() } else { Visuals::light() };
    v.panel_fill = tokens.ground;
    v.window_fill = tokens.panel;
    v.window_stroke = Stroke::new(1.0, tokens.border);
    v.window_corner_radius = CornerRadius::same(size::CORNER);
    v.menu_corner_radius = CornerRadius::same(6);
    v.extreme_bg_color = tokens.sheet;
    v.text_edit_bg_color = Some(tokens.sheet);
    v.faint_bg_color = tokens.panel;
    v.weak_text_color = Some(tokens.quiet);
    v.error_fg_color = tokens.alarm;
    v.warn_fg_color = tokens.copper;
    v.hyperlink_color = tokens.teal;
    v.selection.bg_fill = tokens.teal.gamma_multiply(strength::SELECTION);
    v.selection.stroke = Stroke::new(1.5, tokens.ink);
    let states = [
        (&mut v.widgets.noninteractive, tokens.panel, tokens.border, tokens.ink),
        (&mut v.widgets.inactive, tokens.raised, tokens.outline, tokens.ink),
        (&mut v.widgets.hovered, tokens.raised, tokens.teal, tokens.ink),
        (&mut v.widgets.active, tokens.border, tokens.teal, tokens.ink),
        (&mut v.widgets.open, tokens.raised, tokens.teal, tokens.ink),
    ];
    for (widget, fill, border, ink) in states {
        widget.bg_fill = fill;
        widget.weak_bg_fill = fill;
        widget.bg_stroke = Stroke::new(1.0, border);
        widget.fg_stroke = Stroke::new(1.0, ink);
        widget.corner_radius = CornerRadius::same(6);
        widget.expansion = 0.0;
    }
    v
}
