//! A frame of a window that nobody sees.

use egui::{Color32, Context, Pos2, RawInput, Rect, Theme, Ui, UiBuilder, Vec2, ViewportId, vec2};

use super::Description;
use super::gather::gather;
use crate::theme;

/// Which look a picture has.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Look {
    /// Paper, as it is printed.
    #[default]
    Light,
    /// Graphite.
    Dark,
}

/// What a picture is to be.
#[derive(Debug, Clone, PartialEq)]
pub struct Request {
    /// What it is of, in words.
    pub title: String,
    /// How wide and how high it is, in points.
    pub size: Vec2,
    /// Its look.
    pub look: Look,
}

/// Something was painted that no picture can hold: a fault of the program.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct NoPicture(&'static str);

impl std::fmt::Display for NoPicture {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "there is {} in it, which no picture file can hold", self.0)
    }
}

/// Letters are placed to a fraction of a point: a screen of so many pixels a point.
const FINENESS: f32 = 4.0;

/// More than a picture is ever high, in points.
const ENDLESS: f32 = 20_000.0;

/// How high something is where it has so much width, in points.
pub fn height(width: f32, mut paint: impl FnMut(&mut Ui)) -> f32 {
    let ctx = Context::default();
    theme::install(&ctx);
    let whole = Rect::from_min_size(Pos2::ZERO, vec2(width, ENDLESS));
    let mut bottom = 0.0;
    for _ in 0..2 {
        let input = RawInput { screen_rect: Some(whole), focused: false, ..RawInput::default() };
        let output = ctx.run_ui(input, |ui| {
            bottom = ui.scope_builder(UiBuilder::new().max_rect(whole), |ui| paint(ui)).response.rect.bottom();
        });
        output.drop_without_applying_deltas();
    }
    bottom
}

/// A picture of what `paint` paints into a window of just that size; it gives back the
/// colour that lies behind. It is called more than once: sizes settle in the first frame.
pub fn taken(request: &Request, mut paint: impl FnMut(&mut Ui) -> Color32) -> Result<Description, NoPicture> {
    let ctx = Context::default();
    theme::install(&ctx);
    ctx.set_theme(if request.look == Look::Dark { Theme::Dark } else { Theme::Light });
    let size = request.size.max(Vec2::splat(1.0)).ceil();
    let whole = Rect::from_min_size(Pos2::ZERO, size);
    let mut ground = Color32::TRANSPARENT;
    let mut frame = || {
        let mut input = RawInput { screen_rect: Some(whole), focused: false, ..RawInput::default() };
        input.viewports.entry(ViewportId::ROOT).or_default().native_pixels_per_point = Some(FINENESS);
        ctx.run_ui(input, |ui| {
            ui.scope_builder(UiBuilder::new().max_rect(whole), |ui| ground = paint(ui));
        })
    };
    frame().drop_without_applying_deltas();
    let mut output = frame();
    let shapes = std::mem::take(&mut output.shapes);
    output.drop_without_applying_deltas();
    let items = gather(&shapes, size, &theme::fonts()).map_err(NoPicture)?;
    Ok(Description { title: request.title.clone(), size, ground, items })
}
