//! Brackets and the leads around them.

use std::sync::Arc;

use egui::vec2;
use rigwright_core::cascade::LineCache;
use rigwright_core::file;
use rigwright_core::network::Sweep;
use rigwright_core::parts::catalogue;
use rigwright_core::response::{Request, respond};
use rigwright_core::rig::{
    DeviceId, Jack, JackRef, Lead, LeadId, Position, Project, Rig, SwitchKey, SwitchRef, Variant, VariantId,
};

use super::*;

/// Brackets that a lead's line runs along or goes through.
fn touched(variant: &Variant, drawing: &Drawing, response: &Response) -> Vec<String> {
    let mut found = Vec::new();
    for bracket in of(drawing, &variant.rig, response, Tokens::BOTH[0].1) {
        let line = bracket.line();
        let is_drawn = !bracket.words.is_empty() || line.width() > NARROWEST;
        let drawn: Vec<Rect> = bracket
            .pieces(None)
            .map(|[from, to]| Rect::from_x_y_ranges(from + 1.0..=to - 1.0, line.top() - 3.0..=line.top() + 3.0))
            .collect();
        for shape in drawing.leads.iter().filter(|_| is_drawn) {
            let pieces = shape.points.windows(2).map(|w| Rect::from_two_pos(w[0], w[1]));
            let is_touched = |piece: &Rect| drawn.iter().any(|own| own.intersects(*piece));
            found.extend(pieces.filter(is_touched).map(|piece| format!("{line:?} by {:?} at {piece:?}", shape.id)));
        }
    }
    found
}

#[test]
fn no_lead_touches_a_bracket_of_a_shipped_rig() {
    for project in [file::demo(), file::few_on_a_daisy(), file::large_modular(), file::multi_effects(), file::blank()] {
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

/// Leads to and from the loops hang below a switcher's rail, and so does a buffered run's bracket.
#[test]
fn a_bracket_gives_way_to_the_leads_of_loops() {
    let project = file::demo().unwrap();
    let model = &project.variants[0].rig;
    let part = |key: &str, id| catalogue().part(key).unwrap().device(DeviceId(id));
    let devices = vec![
        part("single-coil-guitar", 1),
        part("loop-switcher-4", 2),
        part("buffer", 3),
        part("mild-drive", 4),
        part("valve-amp", 5),
    ];
    let ways = [
        (1, Jack::Out, 2, Jack::In),
        (2, Jack::Send(1), 3, Jack::In),
        (3, Jack::Out, 2, Jack::Return(1)),
        (2, Jack::Send(2), 4, Jack::In),
        (4, Jack::Out, 2, Jack::Return(2)),
        (2, Jack::Out, 5, Jack::In),
    ];
    let lead = |(id, (from, out, to, into)): (u64, (u64, Jack, u64, Jack))| Lead {
        id: LeadId(id),
        from: JackRef::new(DeviceId(from), out),
        to: JackRef::new(DeviceId(to), into),
        ..model.leads[1].clone()
    };
    let rig = Rig { devices, leads: (100..).zip(ways).map(lead).collect(), feeds: Vec::new() };
    let variant = Variant::of(VariantId(900), "loops", rig);
    let mut project = Project::around(Arc::new(variant.clone()), 901);
    for (device, key) in [(2, SwitchKey::Loop(1)), (2, SwitchKey::Loop(2)), (4, SwitchKey::Bypass)] {
        project.state.positions.insert(SwitchRef { device: DeviceId(device), key }, Position::ON);
    }
    let response = respond(&Request::of(&project, &variant), &mut LineCache::new(Sweep::audio()));
    let drawing = Drawing::of(&variant, vec2(1400.0, 420.0));
    let brackets = of(&drawing, &variant.rig, &response, Tokens::BOTH[0].1);
    assert!(brackets.iter().any(|bracket| !bracket.crossed.is_empty()), "none is crossed, so none was tested");
    assert_eq!(touched(&variant, &drawing, &response), [""; 0]);
    // The guitar's run and the drive's go over the same rail.
    let above: Vec<Rect> = brackets.iter().filter(|bracket| !bracket.below).map(Bracket::line).collect();
    assert!(above.len() > 1);
    for (at, one) in above.iter().enumerate() {
        assert!(above[..at].iter().all(|other| !other.expand(2.0).intersects(*one)), "{above:?}");
    }
}

#[test]
fn a_lead_that_goes_through_a_bracket_is_seen() {
    let project = file::demo().unwrap();
    let variant = &project.variants[0];
    let response = respond(&Request::of(&project, variant), &mut LineCache::new(Sweep::audio()));
    let mut drawing = Drawing::of(variant, vec2(1400.0, 420.0));
    let line = of(&drawing, &variant.rig, &response, Tokens::BOTH[0].1)[0].line();
    // Along it, where nothing gives way.
    drawing.leads[0].points = vec![line.left_top() + vec2(40.0, 0.0), line.right_top() - vec2(40.0, 0.0)];
    assert_eq!(touched(variant, &drawing, &response).len(), 1);
}
