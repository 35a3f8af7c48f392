//! The whole window on a machine in memory, with eyes and hands to use it.
//!
//! What a journey asks for is what a person asks for: a name that is read out, a
//! place on the screen, a key. Each event is a frame of its own.

mod eyes;
mod hands;

use std::sync::Arc;
use std::time::Duration;

use egui::{Event, Ui, UiBuilder, ViewportCommand, ViewportEvent, ViewportId};
use egui_kittest::Harness;
use rigwright::desk::{Desk, Start};
use rigwright::jobs::TestHost;
use rigwright_core::file;
use rigwright_core::rig::{Project, Variant};

use crate::raster::SoftwareRenderer;

/// A program that was started.
pub struct Window {
    pub harness: Harness<'static, Desk>,
    pub host: Arc<TestHost>,
}

/// How it is started.
pub struct Setup {
    pub host: Arc<TestHost>,
    pub start: Start,
    /// In points.
    pub size: [f32; 2],
    /// Pixels a point.
    pub scale: f32,
}

impl Setup {
    /// On a desktop like any other, with the program's own demo.
    pub fn demo() -> Self {
        Self { host: Arc::new(TestHost::new()), start: Start::Demo, size: [1440.0, 900.0], scale: 1.0 }
    }

    /// With a file that holds these bytes.
    pub fn file(path: &str, bytes: impl Into<Vec<u8>>) -> Self {
        let setup = Self { start: Start::File(path.into()), ..Self::demo() };
        setup.host.put_file(path, bytes);
        setup
    }

    /// With a look that was chosen in an earlier session; a picture needs that.
    /// The strip of other starts was put away then, too.
    pub fn look(self, theme: &str) -> Self {
        self.host.put_settings(&format!("(theme: \"{theme}\", starts_dismissed: true)"));
        self
    }

    pub fn open(self) -> Window {
        let desk = Desk::new(Arc::clone(&self.host) as Arc<_>, self.start);
        let harness = Harness::builder().with_size(self.size).with_pixels_per_point(self.scale);
        // What has no name fails a journey of its own, not all of them.
        let harness = harness.with_max_steps(8).with_accessibility_check(false);
        let harness = harness.with_render_cursor(false).renderer(SoftwareRenderer::default());
        let harness = harness.build_ui_state(frame, desk);
        // The program's style came with the first frame, and its text cursor blinks.
        harness.ctx.all_styles_mut(|style| style.visuals.text_cursor.blink = false);
        let mut window = Window { harness, host: self.host };
        window.run();
        window
    }
}

/// The window in all the room there is, as the native one has it.
fn frame(ui: &mut Ui, desk: &mut Desk) {
    desk.logic(&ui.ctx().clone());
    let whole = UiBuilder::new().max_rect(ui.ctx().content_rect());
    ui.scope_builder(whole, |ui| desk.ui(ui));
}

impl Window {
    pub fn demo() -> Self {
        Setup::demo().open()
    }

    /// A guitar, a lead and an amp, in `/rigs/blank.ron`.
    pub fn blank() -> Self {
        Setup::file("/rigs/blank.ron", file::BLANK_BYTES).open()
    }

    pub fn of(project: &Project) -> Self {
        Setup::file("/rigs/own.ron", file::write(project).unwrap()).open()
    }

    pub fn project(&self) -> Arc<Project> {
        Arc::clone(self.harness.state().project())
    }

    /// The variant at an index.
    pub fn variant(&self, index: usize) -> Arc<Variant> {
        Arc::clone(&self.project().variants[index])
    }

    /// Fails unless the project is just like that; names the first difference.
    #[track_caller]
    pub fn assert_is(&self, expected: &Project) {
        let now = self.project();
        let (text, other) = (file::write(&now).unwrap(), file::write(expected).unwrap());
        let mut lines = text.lines().zip(other.lines()).enumerate();
        let different = lines.find(|(_, (line, other))| line != other);
        assert!(*now == *expected, "the project is another: line and what is there, and what should be: {different:?}");
    }

    /// Goes on until the screen is at rest; fails if it doesn't come to rest.
    #[track_caller]
    pub fn run(&mut self) {
        self.harness.run();
    }

    /// Fails if the window asks for another frame although nothing goes on.
    #[track_caller]
    pub fn assert_idle(&mut self) {
        self.harness.remove_cursor();
        // Unsaved work is kept once more after two seconds, and what was only to know folds
        // after eight.
        self.host.advance(8.0);
        self.run();
        let delay = self.harness.output().viewport_output[&ViewportId::ROOT].repaint_delay;
        assert_eq!(delay, Duration::MAX, "{:?}", self.harness.ctx.repaint_causes());
    }

    /// Goes on until the screen is at rest, and gives back what the desktop was told.
    pub fn told(&mut self) -> Vec<ViewportCommand> {
        let mut told = Vec::new();
        for _ in 0..10 {
            self.harness.step();
            let output = &self.harness.output().viewport_output[&ViewportId::ROOT];
            told.extend(output.commands.iter().cloned());
            if output.repaint_delay != Duration::ZERO {
                break;
            }
        }
        told
    }

    /// Does these one after another, and gives back what the desktop was told meanwhile.
    pub fn told_after(&mut self, events: impl IntoIterator<Item = Event>) -> Vec<ViewportCommand> {
        let mut told = Vec::new();
        for event in events {
            self.harness.event(event);
            told.extend(self.told());
        }
        told
    }

    /// Clicks the window's own cross, as the desktop passes it on; true if it closes.
    pub fn close(&mut self) -> bool {
        let root = self.harness.input_mut().viewports.entry(ViewportId::ROOT).or_default();
        root.events.push(ViewportEvent::Close);
        !self.told().contains(&ViewportCommand::CancelClose)
    }
}
