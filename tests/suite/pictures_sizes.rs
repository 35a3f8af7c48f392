//! Screens in every size of window: as large as most, small, smallest, and everything twice as
//! large; in the others' modules each stands in one size.

use egui::{Key, Modifiers};
use rigwright_core::file;

use crate::pictures::both;
use crate::window::{Setup, Window};

/// The sizes that the others don't have everything in: a name, points, and how much larger.
const SIZES: [(&str, [f32; 2], f32); 3] =
    [("small", [800.0, 560.0], 1.0), ("double", [700.0, 425.0], 2.0), ("usual", [1024.0, 700.0], 1.0)];

fn in_sizes(screen: &str, prepare: impl Fn(&mut Window)) {
    for (name, size, scale) in SIZES {
        both(&format!("{screen}-at-{name}"), || Setup { size, scale, ..Setup::demo() }, &prepare);
    }
}

#[test]
fn power_in_every_size() {
    in_sizes("power", |window| window.command(Key::Num2));
}

#[test]
fn the_catalogue_in_every_size() {
    in_sizes("catalogue", |window| {
        window.press(Key::I);
        window.type_text("drive");
    });
}

#[test]
fn the_list_that_finds_anything_in_every_size() {
    in_sizes("finder", |window| window.command(Key::K));
}

#[test]
fn a_selected_unit_in_every_size() {
    in_sizes("selected", |window| {
        window.press(Key::ArrowRight);
        window.press(Key::ArrowRight);
        window.press(Key::ArrowRight);
    });
}

#[test]
fn three_quarters_of_the_size() {
    both("size-three-quarters", || Setup { size: [1366.0, 933.0], scale: 0.75, ..Setup::demo() }, |_| {});
}

#[test]
fn several_things_are_selected() {
    let setup = || Setup { size: [1440.0, 900.0], ..Setup::demo() };
    both("several", setup, |window| {
        window.click_device("Mild drive");
        for name in ["Hard drive", "Fuzz"] {
            let at = window.device(name).rect().center();
            window.click_with(Modifiers::SHIFT, at);
        }
        window.harness.remove_cursor();
    });
}

#[test]
fn notes_an_arrow_and_the_overview() {
    let mut project = file::demo().unwrap();
    let variant = std::sync::Arc::make_mut(&mut project.variants[0]);
    let at = |x, y| rigwright_core::rig::CanvasPoint { x, y };
    let note = |id, text: &str, place, arrow| rigwright_core::rig::Note {
        id: rigwright_core::rig::NoteId(id),
        text: text.to_owned(),
        at: place,
        arrow,
    };
    let (id, first) = (project.next_id, at(330.0, 110.0));
    variant.notes.push(note(
        id,
        "Try the buffer before this one, and listen to the chorus.",
        first,
        Some(at(380.0, 20.0)),
    ));
    variant.notes.push(note(id + 1, "Spare lead in the lid.", at(-60.0, 110.0), None));
    project.next_id += 2;
    let text = file::write(&project).unwrap();
    both(
        "notes",
        || Setup { size: [1024.0, 700.0], ..Setup::file("/rigs/own.ron", text.clone()) },
        |window| {
            window.press(Key::Plus);
            window.press(Key::Plus);
            window.press(Key::Plus);
        },
    );
}
