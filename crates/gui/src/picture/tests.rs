//! What is painted into a frame, and what of it is in the picture.

use egui::{Align2, Color32, FontId, Mesh, Pos2, Rect, Shape, Stroke, StrokeKind, Ui, pos2, vec2};

use super::*;

fn picture(mut paint: impl FnMut(&mut Ui)) -> Result<Description, NoPicture> {
    let request = Request { title: "A test".into(), size: vec2(200.0, 100.0), look: Look::Light };
    taken(&request, |ui| {
        paint(ui);
        Color32::WHITE
    })
}

fn only(paint: impl FnMut(&mut Ui)) -> Item {
    let mut items = picture(paint).unwrap().items;
    assert_eq!(items.len(), 1, "{items:#?}");
    items.remove(0)
}

fn area() -> Rect {
    Rect::from_min_max(pos2(20.0, 30.0), pos2(60.0, 50.0))
}

#[test]
fn a_border_lies_where_it_is_painted() {
    let line = Stroke::new(4.0, Color32::BLACK);
    for (kind, out) in [(StrokeKind::Inside, -2.0), (StrokeKind::Middle, 0.0), (StrokeKind::Outside, 2.0)] {
        let item = only(|ui| {
            ui.painter().rect(area(), 5.0, Color32::RED, line, kind);
        });
        let expected =
            Primitive::Rectangle { rect: area().expand(out), corner: 5.0 + out, fill: Color32::RED, stroke: line };
        assert_eq!(item, Item { clip: None, shape: expected });
    }
}

#[test]
fn what_nobody_sees_is_left_out_and_what_is_cut_off_says_where() {
    let none = picture(|ui| {
        ui.painter().rect_filled(area(), 0.0, Color32::TRANSPARENT);
        ui.painter().circle_filled(pos2(500.0, 20.0), 10.0, Color32::RED);
        ui.painter().line_segment([pos2(0.0, 0.0), pos2(9.0, 9.0)], Stroke::new(0.0, Color32::RED));
    });
    assert_eq!(none.unwrap().items, []);
    let clip = Rect::from_min_max(pos2(0.0, 0.0), pos2(30.0, 100.0));
    let item = only(|ui| {
        ui.painter().with_clip_rect(clip).circle_filled(pos2(30.0, 40.0), 10.0, Color32::RED);
    });
    assert_eq!(item.clip, Some(clip));
}

#[test]
fn words_are_outlines_where_they_are_painted_and_say_what_they_say() {
    let item = only(|ui| {
        ui.painter().text(
            pos2(100.0, 50.0),
            Align2::CENTER_CENTER,
            "Fuzz <2>",
            FontId::proportional(20.0),
            Color32::BLUE,
        );
    });
    let bounds = item.shape.bounds();
    assert!((bounds.center().x - 100.0).abs() < 1.5 && (bounds.center().y - 50.0).abs() < 4.0, "{bounds:?}");
    assert!(bounds.width() > 60.0 && bounds.height() > 12.0, "{bounds:?}");
    let Primitive::Words { words, ink, .. } = &item.shape else { panic!("{item:?}") };
    assert_eq!((words.as_str(), *ink), ("Fuzz <2>", Color32::BLUE));
}

/// The picture's letters take the room that the screen's take.
#[test]
fn words_are_as_wide_as_on_the_screen() {
    let mut width = 0.0;
    let words = "high-impedance run up to Delay: 1.35 nF";
    let item = only(|ui| {
        let at =
            ui.painter().text(pos2(2.0, 50.0), Align2::LEFT_CENTER, words, FontId::proportional(9.0), Color32::RED);
        width = at.width();
    });
    assert!((item.shape.bounds().width() - width).abs() < 1.5, "{} and {width}", item.shape.bounds().width());
}

#[test]
fn words_in_several_lines_and_inks_are_each_by_themselves() {
    let described = picture(|ui| {
        let galley = ui.painter().layout("one two three four".into(), FontId::proportional(20.0), Color32::RED, 80.0);
        ui.painter().galley(Pos2::ZERO, galley, Color32::RED);
    });
    let described = described.unwrap();
    let words: Vec<&str> = described.words().map(str::trim).collect();
    assert!(words.len() > 1 && words.join(" ") == "one two three four", "{words:?}");
    let tops: Vec<f32> = described.items.iter().map(|item| item.shape.bounds().top()).collect();
    assert!(tops.windows(2).all(|pair| pair[0] + 10.0 < pair[1]), "{tops:?}");
}

#[test]
fn what_no_picture_can_hold_is_told_and_not_left_out() {
    let mesh = || {
        let mut mesh = Mesh::default();
        mesh.add_colored_rect(area(), Color32::RED);
        Shape::mesh(mesh)
    };
    let found = picture(|ui| {
        ui.painter().add(mesh());
    });
    assert_eq!(found.unwrap_err().to_string(), "there is a net of triangles in it, which no picture file can hold");
}

#[test]
fn both_looks_have_their_own_ink() {
    let ink = |look| {
        let request = Request { title: String::new(), size: vec2(100.0, 40.0), look };
        let mut found = Color32::TRANSPARENT;
        taken(&request, |ui| {
            found = crate::theme::Tokens::of(ui).ink;
            crate::theme::Tokens::of(ui).sheet
        })
        .map(|described| (found, described.ground))
        .unwrap()
    };
    assert_ne!(ink(Look::Light), ink(Look::Dark));
}

/// Every shape as SVG, read by eye once and kept: lengths are points from the upper left corner.
#[test]
fn shapes_as_svg() {
    let described = picture(|ui| {
        let line = Stroke::new(1.5, Color32::BLACK);
        let painter = ui.painter();
        painter.line_segment([pos2(1.0, 2.0), pos2(3.25, 4.0)], line);
        painter.circle(pos2(50.0, 50.0), 10.0, Color32::RED, line);
        painter.add(Shape::convex_polygon(
            vec![pos2(0.0, 0.0), pos2(9.0, 0.0), pos2(9.0, 9.0)],
            Color32::RED,
            Stroke::NONE,
        ));
        painter.add(Shape::ellipse_stroke(pos2(80.0, 50.0), vec2(5.0, 14.0), line));
    });
    let text = svg(&described.unwrap());
    for expected in [
        "<path d=\"M1 2L3.25 4\" fill=\"none\" stroke=\"#000000\" stroke-width=\"1.5\"/>",
        "<ellipse cx=\"50\" cy=\"50\" rx=\"10\" ry=\"10\" fill=\"#ff0000\" stroke=\"#000000\" stroke-width=\"1.5\"/>",
        "<path d=\"M0 0L9 0L9 9Z\" fill=\"#ff0000\"/>",
        "<ellipse cx=\"80\" cy=\"50\" rx=\"5\" ry=\"14\" fill=\"none\" stroke=\"#000000\" stroke-width=\"1.5\"/>",
    ] {
        assert!(text.contains(expected), "{expected} in {text}");
    }
}
