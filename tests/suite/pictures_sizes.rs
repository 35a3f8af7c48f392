//! Screens in every size of window: as large as most, small, smallest, and everything twice as
//! large; in the others' modules each stands in one size.

use egui::{Key, Modifiers};
use rigwright_core::file;

use crate::pictures::both;
use crate::window::{Setup, Window};

/// A screen in the sizes that the others don't have everything in: small, everything twice as
/// large, and usual. Each picture is a test by itself.
macro_rules! in_sizes {
    ($($screen:ident: $prepare:expr;)*) => {$(
        mod $screen {
            use super::*;

            fn at(name: &str, size: [f32; 2], scale: f32) {
                let name = format!("{}-at-{name}", stringify!($screen));
                both(&name, || Setup { size, scale, ..Setup::demo() }, $prepare);
            }

            #[test]
            fn small() {
                at("small", [800.0, 560.0], 1.0);
            }

            #[test]
            fn double() {
                at("double", [700.0, 425.0], 2.0);
            }

            #[test]
            fn usual() {
                at("usual", [1024.0, 700.0], 1.0);
            }
        }
    )*};
}

in_sizes! {
    power: |window: &mut Window| window.command(Key::Num2);
    catalogue: |window: &mut Window| {
        window.press(Key::I);
        window.type_text("drive");
    };
    finder: |window: &mut Window| window.command(Key::K);
    selected: |window: &mut Window| (0..3).for_each(|_| window.press(Key::ArrowRight));
}

/// The panel's pages with everything twice as large, where they stand below the plot.
macro_rules! pages {
    ($($page:ident: $tab:literal;)*) => {$(
        #[test]
        fn $page() {
            let setup = || Setup { size: [700.0, 425.0], scale: 2.0, ..Setup::demo() };
            both(concat!("page-", stringify!($page)), setup, |window| {
                window.named($tab).scroll_to_me();
                window.run();
                window.click($tab);
                window.harness.remove_cursor();
            });
        }
    )*};
}

pages! {
    figures: "Figures";
    switches: "Switches";
    sounds: "Sounds";
    compare: "Compare";
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
