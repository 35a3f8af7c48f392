//! Words on the sheet of the signal: none over another, none cut by the way they are placed,
//! whatever the rig and however it is seen.

use egui::{Key, Rect, Shape};
use rigwright_core::file;
use rigwright_core::rig::Project;

use crate::generator::{broken, healthy, several, wider};
use crate::journeys::half_finished;
use crate::laws::rigs::project;
use crate::rigs;
use crate::window::{Setup, Window};

/// Texts that are painted within the sheet, and where.
fn written(window: &Window) -> Vec<(String, Rect)> {
    let sheet = window.sheet();
    let mut found = Vec::new();
    for clipped in &window.harness.output().shapes {
        // The border of the sheet stays free.
        if clipped.clip_rect != sheet.shrink(1.0) {
            continue;
        }
        gather(&clipped.shape, &mut found);
    }
    found
}

fn gather(shape: &Shape, found: &mut Vec<(String, Rect)>) {
    match shape {
        Shape::Text(text) => {
            found.push((text.galley.text().to_owned(), Rect::from_min_size(text.pos, text.galley.size())));
        }
        Shape::Vec(shapes) => shapes.iter().for_each(|shape| gather(shape, found)),
        _ => {}
    }
}

/// All pairs that lie on each other by more than rounding.
fn overlapping(texts: &[(String, Rect)]) -> Vec<String> {
    let mut found = Vec::new();
    for (at, (one, a)) in texts.iter().enumerate() {
        for (other, b) in &texts[at + 1..] {
            let both = a.intersect(*b);
            if both.width() > 0.5 && both.height() > 0.5 {
                found.push(format!("“{one}” and “{other}” by {:.1} × {:.1}", both.width(), both.height()));
            }
        }
    }
    found
}

/// Opens a rig in a small window and looks at it fitted, close up, and from far.
fn look(project: &Project, what: &str, least: usize) {
    let bytes = file::write(project).unwrap();
    let mut window = Setup { size: [1024.0, 700.0], ..Setup::file("/rigs/own.ron", bytes) }.open();
    for (zoom, keys) in [("fitted", vec![]), ("larger", vec![Key::Plus; 3]), ("smaller", vec![Key::Minus; 6])] {
        keys.iter().for_each(|key| window.press(*key));
        let texts = written(&window);
        let wrong = overlapping(&texts);
        assert!(wrong.is_empty(), "{what}, {zoom}: {wrong:#?}");
        if zoom == "fitted" {
            assert!(texts.len() >= least, "{what}: only {texts:?}");
        }
    }
}

#[test]
fn no_two_texts_overlap_on_two_hundred_random_rigs_at_three_zooms() {
    for seed in 0..200_u64 {
        let size = 3 + (seed as usize * 7) % 24;
        let (kind, case) = match seed % 4 {
            0 => ("healthy", healthy(seed, size)),
            1 => ("wider", wider(seed, 3 + size / 2)),
            2 => ("several", several(seed, 3 + size / 2)),
            _ => ("broken", broken(seed, size)),
        };
        look(&project(&case), &format!("{kind} {seed}"), 1);
    }
}

#[test]
fn nor_on_rigs_that_people_draw() {
    look(&file::demo().unwrap(), "the demo", 40);
    look(&file::large_modular().unwrap(), "the large board", 30);
    look(&rigs::sixty_four(), "sixty-four devices", 30);
    look(&half_finished(), "a half-finished rig", 8);
}
