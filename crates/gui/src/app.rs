//! The windowing library's side: a native window around the desk.

use std::ffi::OsString;
use std::path::PathBuf;
use std::sync::Arc;

use crate::desk::{Desk, Start};
use crate::jobs::{RealHost, from_the_root};

/// Opens the window and comes back when it is closed. The error is one line
/// that says why there is none.
pub fn run_window(file: Option<PathBuf>) -> Result<(), String> {
    let start = file.map_or(Start::Demo, |file| Start::File(from_the_root(file)));
    eframe::run_native(
        "rigwright",
        options(),
        Box::new(move |cc| {
            let ctx = cc.egui_ctx.clone();
            let host = RealHost::new(Arc::new(move || ctx.request_repaint()));
            Ok(Box::new(App { desk: Desk::new(Arc::new(host), start) }))
        }),
    )
    .map_err(|error| reason(&error))
}

const ICON: &[u8] = include_bytes!("../../../assets/icon.png");

struct App {
    desk: Desk,
}

impl eframe::App for App {
    fn logic(&mut self, ctx: &egui::Context, _frame: &mut eframe::Frame) {
        self.desk.logic(ctx);
    }

    fn raw_input_hook(&mut self, ctx: &egui::Context, raw_input: &mut egui::RawInput) {
        self.desk.take_input(ctx, raw_input);
    }

    fn ui(&mut self, ui: &mut egui::Ui, _frame: &mut eframe::Frame) {
        self.desk.ui(ui);
    }
}

fn options() -> eframe::NativeOptions {
    // Without an icon the desktop shows its own; that is no reason to stay shut.
    let icon = eframe::icon_data::from_png_bytes(ICON).unwrap_or_default();
    let viewport = egui::ViewportBuilder::default()
        .with_title("Rigwright")
        .with_app_id("rigwright")
        .with_inner_size([1440.0, 900.0])
        .with_min_inner_size([800.0, 560.0])
        // No larger than the screen that it opens on.
        .with_clamp_size_to_monitor_size(true)
        .with_icon(icon);
    eframe::NativeOptions { viewport, renderer: eframe::Renderer::Glow, ..Default::default() }
}

/// Why there is no window, for people. What the windowing layers say beside it
/// is about their own source files.
fn reason(error: &eframe::Error) -> String {
    match error {
        eframe::Error::Winit(_) | eframe::Error::WinitEventLoop(_) => no_display(&|name| std::env::var_os(name)),
        eframe::Error::Glutin(_) | eframe::Error::NoGlutinConfigs(..) | eframe::Error::OpenGL(_) => {
            one_line(&format!("the display can't draw with OpenGL: {error}"))
        }
        _ => one_line(&error.to_string()),
    }
}

/// Whether no display is named at all or the one that is named doesn't answer.
fn no_display(variable: &dyn Fn(&str) -> Option<OsString>) -> String {
    let named = ["WAYLAND_DISPLAY", "DISPLAY"].into_iter().find_map(|name| variable(name).filter(|it| !it.is_empty()));
    match named {
        Some(display) => format!("the display {} doesn't answer", display.display()),
        None => "there is no display".to_owned(),
    }
}

/// The words without the line breaks, and no more of them than are read.
fn one_line(text: &str) -> String {
    let mut words: String = text.split_whitespace().collect::<Vec<_>>().join(" ");
    if let Some((end, _)) = words.char_indices().nth(160) {
        words.truncate(end);
        words.push('…');
    }
    words
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_icon_is_a_picture() {
        let icon = eframe::icon_data::from_png_bytes(ICON).unwrap();
        assert!(icon.width >= 64 && icon.width == icon.height);
    }

    #[test]
    fn a_display_that_refuses_is_told_from_none() {
        assert_eq!(no_display(&|_| None), "there is no display");
        assert_eq!(no_display(&|_| Some(OsString::new())), "there is no display");
        let named = |name: &str| (name == "DISPLAY").then(|| OsString::from(":7"));
        assert_eq!(no_display(&named), "the display :7 doesn't answer");
    }

    #[test]
    fn errors_are_one_short_line() {
        assert_eq!(one_line("no display:\n  0: none\n"), "no display: 0: none");
        assert_eq!(one_line(&"ä".repeat(1000)).chars().count(), 161);
    }
}
