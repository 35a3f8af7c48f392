//! A frame of a window that nobody sees.

use egui::{Color32, Context, Pos2, RawInput, Rect, Theme, Ui, UiBuilder, Vec2, ViewportId};

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
