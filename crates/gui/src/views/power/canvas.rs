//! The sheet of rails: how it is seen, and what is being dragged over it.

use std::sync::Arc;

use egui::{Rect, Role, ScrollArea, Sense, Stroke, StrokeKind, Ui, Vec2, WidgetInfo, vec2};
use rigwright_core::diagnosis::About;
use rigwright_core::ground::GroundLoop;
use rigwright_core::power::{Headroom, ZeroVolts};
use rigwright_core::rig::{DeviceId, MainsSupply, Rig, VariantId};

use super::brush::Brush;
use super::layout::Layout;
use super::returns::{self, SharedReturn};
use super::sheet::Sheet;
use crate::state::{OwnParts, PowerAnswer};
use crate::theme::{Tokens, size};
use crate::views::{Facts, Intent};

/// The least zoom, and the greatest.
const ZOOM: std::ops::RangeInclusive<f32> = 0.4..=2.5;
/// Narrower than this the drawing scrolls sideways.
const LEAST_WIDTH: f32 = 660.0;

/// A unit that is being dragged, held at an offset from its box's corner in canvas units.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Drag {
    /// Which.
    pub device: DeviceId,
    /// From the corner to the pointer.
    pub hold: egui::Vec2,
}

/// What is drawn.
pub struct Scene<'a> {
    /// In which variant.
    pub variant: VariantId,
    /// The rig, as it is or as it would be.
    pub rig: &'a Arc<Rig>,
    /// Its figures.
    pub answer: Option<&'a PowerAnswer>,
    /// They are of the rig before its last change.
    pub old: bool,
    /// The part of a rating that may be used.
    pub used: f64,
    /// The parts that its devices were made from.
    pub own_parts: &'a OwnParts,
    /// The mains that it is played on.
    pub mains: &'a MainsSupply,
    /// What it would be the result of; nothing can be dragged in it.
    pub is_preview: bool,
    /// Whether it is for a picture, in which nothing can be worked at all.
    pub is_picture: bool,
    /// Whether the work on the answer died.
    pub died: bool,
    /// What is selected.
    pub selected: Option<DeviceId>,
    /// The loop that is pointed at or shown.
    pub shown: Option<&'a GroundLoop>,
    /// What a diagnosis is about that is pointed at.
    pub looked_at: Option<&'a About>,
}

impl<'a> Scene<'a> {
    /// The rig in hand, nothing of it selected or pointed at.
    pub fn of(facts: &Facts<'a>) -> Self {
        let shown = facts.power.answer.as_ref();
        Self {
            variant: facts.variant.id,
            rig: &facts.variant.rig,
            answer: shown.map(|shown| &**shown.answer),
            old: shown.is_some_and(|shown| shown.old),
            used: Headroom::of(&facts.project.limits).used,
            own_parts: facts.own_parts,
            mains: &facts.project.mains,
            is_preview: false,
            is_picture: false,
            died: facts.power.died,
            selected: None,
            shown: None,
            looked_at: None,
        }
    }
}

impl Scene<'_> {
    /// Whether nothing can be changed in it.
    pub fn is_fixed(&self) -> bool {
        self.is_preview || self.is_picture
    }

    /// Whether a device is highlighted, by a ground loop or by what is pointed at.
    pub fn is_highlighted(&self, device: DeviceId) -> bool {
        let by_loop = self.shown.is_some_and(|shown| shown.devices().contains(&device));
        by_loop || self.looked_at.is_some_and(|about| about.devices.contains(&device))
    }
}

/// The geometry of a rig at a width.
#[derive(Debug)]
struct Kept {
    rig: Arc<Rig>,
    width: f32,
    layout: Layout,
    shared: Vec<SharedReturn>,
}

impl Kept {
    fn of(scene: &Scene<'_>, width: f32) -> Self {
        let rig = scene.rig;
        let zero_volts = ZeroVolts::of(rig);
        let layout = Layout::of(rig, width, &|outlet| returns::is_shared(rig, &zero_volts, outlet));
        let shared = returns::shared(rig, &zero_volts, &layout);
        Self { rig: Arc::clone(rig), width, layout, shared }
    }
}

/// How large all of it is at a width, in points.
pub fn whole_size(scene: &Scene<'_>, width: f32) -> Vec2 {
    Kept::of(scene, width).layout.bounds.size()
}

/// All of it at a width, with nothing around it.
pub fn whole(ui: &mut Ui, scene: &Scene<'_>, width: f32) {
    let kept = Kept::of(scene, width);
    let tokens = Tokens::of(ui);
    let (rect, ground) = ui.allocate_exact_size(kept.layout.bounds.size(), Sense::hover());
    let painter = ui.painter().clone();
    let brush = Brush { painter: &painter, origin: rect.min, zoom: 1.0, tokens, ink: tokens.ink, weight: 1.5 };
    let mut sheet = Sheet {
        canvas: &mut Canvas::default(),
        scene,
        layout: &kept.layout,
        shared: &kept.shared,
        brush: &brush,
        visible: rect,
        ground: &ground,
        out: &mut Vec::new(),
    };
    sheet.show(ui);
}

/// The sheet's own state; no part of the project.
#[derive(Debug)]
pub struct Canvas {
    zoom: f32,
    fit: bool,
    pub(super) drag: Option<Drag>,
    kept: Option<Kept>,
}

impl Default for Canvas {
    fn default() -> Self {
        Self { zoom: 1.0, fit: false, drag: None, kept: None }
    }
}

impl Canvas {
    /// Shows all rails from the next frame on.
    pub fn fit(&mut self) {
        self.fit = true;
    }

    /// Zooms.
    pub fn zoom(&mut self, factor: f32) {
        self.zoom = (self.zoom * factor).clamp(*ZOOM.start(), *ZOOM.end());
    }

    /// Whether something is being dragged over the sheet.
    pub fn is_dragging(&self) -> bool {
        self.drag.is_some()
    }

    /// The sheet in all the room there is.
    pub fn ui(&mut self, ui: &mut Ui, scene: &Scene<'_>, out: &mut Vec<Intent>) {
        let tokens = Tokens::of(ui);
        let screen = ui.available_rect_before_wrap();
        let stroke = Stroke::new(1.0, tokens.border);
        ui.painter().rect(screen, f32::from(size::CORNER), tokens.sheet, stroke, StrokeKind::Inside);
        if ui.rect_contains_pointer(screen) {
            let pinch = ui.input(egui::InputState::zoom_delta);
            if (pinch - 1.0).abs() > 1e-4 {
                self.zoom(pinch);
            }
        }
        let inside = screen.shrink(1.5);
        let across = inside.width() - ui.spacing().scroll.allocated_width() - 2.0;
        let mut child = ui.new_child(egui::UiBuilder::new().max_rect(inside).id_salt("rails"));
        child.set_clip_rect(inside.intersect(ui.clip_rect()));
        if std::mem::take(&mut self.fit) {
            // Boxes that no longer wrap take less height: twice is enough to know.
            for _ in 0..2 {
                let height = self.layout(scene, across).layout.bounds.height();
                self.zoom = (inside.height() / height).clamp(*ZOOM.start(), 1.0);
            }
        }
        let Some(kept) = self.take(scene, across) else { return };
        let area = ScrollArea::both().id_salt("rails").auto_shrink([false, false]);
        area.show(&mut child, |ui| {
            let bounds = kept.layout.bounds.size() * self.zoom;
            let room = bounds.max(ui.available_size());
            let (rect, ground) = ui.allocate_exact_size(room, Sense::click());
            let words = "Sheet with the rig's power: rails from supplies to units";
            ground.widget_info(|| WidgetInfo::labeled(Role::Group, true, words));
            let painter = ui.painter().clone();
            let brush =
                Brush { painter: &painter, origin: rect.min, zoom: self.zoom, tokens, ink: tokens.ink, weight: 1.5 };
            let visible = Rect::from_min_size(inside.min, inside.size());
            self.scroll_while_dragging(ui, visible);
            let mut sheet = Sheet {
                canvas: self,
                scene,
                layout: &kept.layout,
                shared: &kept.shared,
                brush: &brush,
                visible,
                ground: &ground,
                out,
            };
            sheet.show(ui);
        });
        self.kept = Some(kept);
    }

    fn layout(&mut self, scene: &Scene<'_>, width: f32) -> &Kept {
        let width = (width / self.zoom).max(LEAST_WIDTH).round();
        let fresh = match &self.kept {
            Some(kept) => kept.width != width || !(Arc::ptr_eq(&kept.rig, scene.rig) || kept.rig == *scene.rig),
            None => true,
        };
        if fresh {
            self.kept = None;
        }
        self.kept.get_or_insert_with(|| Kept::of(scene, width))
    }

    fn take(&mut self, scene: &Scene<'_>, width: f32) -> Option<Kept> {
        self.layout(scene, width);
        self.kept.take()
    }

    /// Near the sheet's upper or lower edge it moves under what is dragged.
    fn scroll_while_dragging(&self, ui: &Ui, visible: Rect) {
        const NEAR: f32 = 28.0;
        let Some(pointer) = ui.ctx().pointer_hover_pos().filter(|p| self.drag.is_some() && visible.contains(*p)) else {
            return;
        };
        let by = match pointer.y {
            y if y < visible.top() + NEAR => 7.0,
            y if y > visible.bottom() - NEAR => -7.0,
            _ => return,
        };
        ui.scroll_with_delta(vec2(0.0, by));
        ui.ctx().request_repaint();
    }
}
