//! Brackets and the leads around them.

use egui::vec2;
use rigwright_core::cascade::LineCache;
use rigwright_core::file;
use rigwright_core::network::Sweep;
use rigwright_core::response::{Request, respond};
use rigwright_core::rig::Variant;

use super::*;

/// Brackets that a lead's line runs along or goes through.
fn touched(variant: &Variant, drawing: &Drawing, response: &Response) -> Vec<String> {
    let mut found = Vec::new();
    for bracket in of(drawing, &variant.rig, response, Tokens::BOTH[0].1) {
        let line = bracket.line();
        let is_drawn = !bracket.words.is_empty() || line.width() > NARROWEST;
        for shape in drawing.leads.iter().filter(|_| is_drawn) {
            let pieces = shape.points.windows(2).map(|w| Rect::from_two_pos(w[0], w[1]));
            let is_touched = |piece: &Rect| line.expand2(vec2(-1.0, 3.0)).intersects(*piece);
            found.extend(pieces.filter(is_touched).map(|piece| format!("{line:?} by {:?} at {piece:?}", shape.id)));
        }
    }
    found
}

#[test]
fn no_lead_touches_a_bracket_of_a_shipped_rig() {
    for project in [file::demo(), file::few_on_a_daisy(), file::large_modular(), file::blank()] {
        let project = project.unwrap();
        for variant in &project.variants {
            let response = respond(&Request::of(&project, variant), &mut LineCache::new(Sweep::audio()));
            for sheet in [(1400.0, 420.0), (980.0, 300.0), (760.0, 220.0), (700.0, 900.0), (420.0, 300.0)] {
                let drawing = Drawing::of(variant, sheet.into());
                let touched = touched(variant, &drawing, &response);
                assert!(touched.is_empty(), "{} at {sheet:?}: {touched:#?}", variant.name);
            }
        }
    }
}

#[test]
fn a_lead_that_goes_through_a_bracket_is_seen() {
    let project = file::demo().unwrap();
    let variant = &project.variants[0];
    let response = respond(&Request::of(&project, variant), &mut LineCache::new(Sweep::audio()));
    let mut drawing = Drawing::of(variant, vec2(1400.0, 420.0));
    let at = of(&drawing, &variant.rig, &response, Tokens::BOTH[0].1)[0].line().center();
    drawing.leads[0].points = vec![at - vec2(0.0, 30.0), at + vec2(0.0, 30.0)];
    assert_eq!(touched(variant, &drawing, &response).len(), 1);
}
