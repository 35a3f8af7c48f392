//! Laws of the file: what is written is read again as it was, and nothing that
//! is read makes the program fall over.

use std::collections::BTreeMap;
use std::sync::Arc;

use proptest::prelude::*;
use rigwright_core::cascade::LineCache;
use rigwright_core::file;
use rigwright_core::network::Sweep;
use rigwright_core::response::{Request, respond};
use rigwright_core::rig::{
    CanvasPoint, KeptOrder, Note, NoteId, Project, Rig, RowWidth, Sound, SoundId, Variant, VariantId, problems,
};

use super::cases;
use super::rigs::project;
use crate::generator::{Dice, broken, choices, healthy, sends, several, stereo, wider, with_pickups};

/// Several variants, sounds, dragged symbols, awkward texts; broken rigs too.
pub fn random_project(seed: u64, size: usize) -> Project {
    let mut dice = Dice::new(seed);
    let case = healthy(seed, size);
    let mut whole = project(&if seed.is_multiple_of(3) { with_pickups(case, seed) } else { case });
    let texts = ["", "plain", "two\nlines\r\nand a tab\t", "“quoted” \"too\" \\", "Größe ½ → 🎸", "\u{0}\u{7f}"];
    let text = |dice: &mut Dice| dice.pick(&texts).to_owned();
    whole.title = text(&mut dice);
    whole.notes = text(&mut dice);
    whole.currency = text(&mut dice);
    for _ in 0..dice.below(3) {
        let rig: Rig =
            if dice.chance(0.5) { broken(dice.number(), size).rig } else { healthy(dice.number(), size).rig };
        let id = VariantId(whole.next_id + 1000);
        let places: BTreeMap<_, _> = rig
            .devices
            .iter()
            .map(|device| (device.id, CanvasPoint { x: 2e3 * dice.unit() - 1e3, y: dice.log(1e-9, 1e5) }))
            .filter(|(_, place)| place.x > -300.0)
            .collect();
        let kept_orders = rig.devices.windows(2).filter(|_| dice.chance(0.2));
        let kept_orders = kept_orders.map(|pair| KeptOrder { before: pair[0].id, behind: pair[1].id }).collect();
        let row_width = dice.chance(0.3).then(|| RowWidth::of(dice.log(1.0, 1e7)));
        let (name, rig) = (text(&mut dice), Arc::new(rig));
        let place = |dice: &mut Dice| CanvasPoint { x: 2e3 * dice.unit() - 1e3, y: dice.log(1e-9, 1e5) };
        let mut note = |number: usize| Note {
            id: NoteId(id.0 + 1 + number as u64),
            text: text(&mut dice),
            at: place(&mut dice),
            arrow: dice.chance(0.5).then(|| place(&mut dice)),
        };
        let notes: Vec<Note> = (0..2).map(&mut note).collect();
        whole.variants.push(Arc::new(Variant { id, name, rig, places, row_width, kept_orders, notes }));
        whole.next_id = id.0 + 3;
    }
    for _ in 0..dice.below(4) {
        let state = healthy(dice.number(), size).state;
        let id = SoundId(whole.next_id);
        let made_in = if dice.chance(0.3) { [(whole.variants[0].id, state.clone())].into() } else { BTreeMap::new() };
        whole.sounds.push(Sound { id, name: text(&mut dice), state, made_in, notes: text(&mut dice) });
        whole.next_id += 1;
    }
    // What came in since may have left ids behind; all are below the next.
    whole.next_id += dice.below(1000) as u64;
    whole
}

proptest! {
    #![proptest_config(cases(200))]

    #[test]
    fn what_is_written_is_read_again(seed: u64, size in 1_usize..24) {
        let whole = random_project(seed, size);
        let text = file::write(&whole).unwrap();
        match file::read(text.as_bytes()) {
            Ok(again) => {
                prop_assert!(again == whole, "{text}");
                prop_assert!(file::write(&again).unwrap() == text);
            }
            Err(why) => return Err(TestCaseError::fail(format!("{why}\n{text}"))),
        }
    }

    /// Text that somebody has torn: an error with a sentence, or a project that
    /// is answered like any other.
    #[test]
    fn torn_files_are_taken_calmly(seed: u64, size in 1_usize..6) {
        let mut dice = Dice::new(seed);
        let mut bytes = file::write(&random_project(seed, size)).unwrap().into_bytes();
        for _ in 0..=dice.below(3) {
            tear(&mut bytes, &mut dice);
        }
        match file::read(&bytes) {
            Err(why) => prop_assert!(!why.to_string().is_empty()),
            Ok(project) => {
                let mut line_cache = LineCache::new(Sweep::at(&[1000.0]));
                for variant in &project.variants {
                    let _ = problems(&variant.rig);
                    let _ = respond(&Request::of(&project, variant), &mut line_cache);
                }
                // And it can be saved again.
                prop_assert!(file::read(file::write(&project).unwrap().as_bytes()) == Ok(project));
            }
        }
    }
}

/// One slip of a text editor or of a disk.
fn tear(bytes: &mut Vec<u8>, dice: &mut Dice) {
    if bytes.is_empty() {
        return;
    }
    let at = dice.below(bytes.len());
    let end = (at + dice.below(40)).min(bytes.len());
    let words = ["NaN", "inf", "-1", "1e999", "18446744073709551615", "None", "Some(", "(((((", "\"", "/*", "\u{feff}"];
    match dice.below(7) {
        0 => bytes.truncate(at),
        1 => drop(bytes.drain(at..end)),
        2 => {
            let piece = bytes[at..end].to_vec();
            bytes.splice(at..at, piece);
        }
        3 => bytes[at] = dice.number() as u8,
        4 => {
            let word = dice.pick(&words);
            bytes.splice(at..at, word.bytes());
        }
        // A number of the file becomes another.
        _ => {
            let digits: Vec<usize> = (0..bytes.len()).filter(|at| bytes[*at].is_ascii_digit()).collect();
            if !digits.is_empty() {
                let at = dice.pick(&digits);
                let word = dice.pick(&words);
                bytes.splice(at..=at, word.bytes());
            }
        }
    }
}

/// The files that ship with the program are healthy and come back as they are.
#[test]
fn shipped_files_are_healthy() {
    let shipped = [file::demo(), file::blank(), file::few_on_a_daisy(), file::large_modular(), file::multi_effects()];
    for project in shipped.map(|project| project.expect("it opens")) {
        for variant in &project.variants {
            assert_eq!(problems(&variant.rig), []);
            let answer = respond(&Request::of(&project, variant), &mut LineCache::new(Sweep::audio()));
            assert!(!answer.endpoints.is_empty(), "{} reaches nobody", variant.name);
        }
        assert!(file::read(file::write(&project).unwrap().as_bytes()) == Ok(project));
    }
}

/// Switchers with presets, mixers, signs and delays, and which instrument is played.
#[test]
fn rigs_with_several_ways_are_read_again() {
    let shapes = [several, wider, sends, choices, stereo];
    for (seed, case) in (0..300).map(|at| (at / 5, shapes[at as usize % 5](at / 5, 9))) {
        let mut before = crate::findings::project(case.rig);
        before.state = case.state;
        before.test_point = case.point;
        let bytes = file::write(&before).unwrap_or_else(|error| panic!("seed {seed}: {error}"));
        let after = file::read(bytes.as_bytes()).unwrap_or_else(|error| panic!("seed {seed}: {error}"));
        assert_eq!(before, after, "seed {seed}");
    }
}
