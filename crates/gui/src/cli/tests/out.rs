//! Pictures and tables in files, and what is said where there can be none.

use std::sync::Arc;

use rigwright_core::file;
use rigwright_core::rig::{Control, Knob, Project, Sound, SoundId, Variant, VariantId};
use rigwright_core::units::Turn;

use crate::help::{Line, Topic};

use super::{Desk, fine, plain, refused};

fn two(first: &str, second: &str) -> Project {
    let mut project = plain();
    let one = (*project.variants[0]).clone();
    let of = |id, name: &str| Arc::new(Variant { id: VariantId(id), name: name.to_owned(), ..one.clone() });
    project.variants = vec![of(one.id.0, first), of(project.next_id, second)];
    project.next_id += 1;
    project
}

#[test]
fn each_picture_is_a_file_and_one_sentence() {
    let desk = Desk::new();
    let name = desk.save(&two("Pub", "Hall"));
    for (what, of) in [("chain", "drawing"), ("plot", "level plot"), ("power", "power diagram")] {
        for ending in ["svg", "png"] {
            let out = desk.path(&format!("{what}.{ending}"));
            let out = out.to_str().unwrap();
            let said = fine(&["picture", &name, "--what", what, "--out", out]);
            let whose = if what == "plot" { "Untitled rig" } else { "Pub" };
            assert_eq!(said, format!("The {of} of “{whose}” is in “{out}”.\n"));
            let bytes = std::fs::read(out).unwrap();
            let begins: &[u8] = if ending == "svg" { b"<svg " } else { b"\x89PNG\r\n\x1a\n" };
            assert!(bytes.starts_with(begins) && bytes.len() > 1000, "{out}");
        }
    }
}

#[test]
fn the_key_card_is_a_picture_with_every_key_and_every_sign() {
    let desk = Desk::new();
    let (svg, png) = (desk.path("keys.svg"), desk.path("keys.png"));
    for out in [svg.to_str().unwrap(), png.to_str().unwrap()] {
        assert_eq!(fine(&["keys", "--out", out]), format!("The sheet of keys and signs is in “{out}”.\n"));
    }
    let drawn = std::fs::read_to_string(&svg).unwrap();
    for topic in [Topic::Keys, Topic::Legend] {
        for line in topic.page().sections.into_iter().flat_map(|section| section.lines) {
            let (Line::Pair(of, _) | Line::Sign(_, of, _)) = line else { continue };
            assert!(drawn.contains(&of), "{of}");
        }
    }
    assert!(std::fs::read(&png).unwrap().starts_with(b"\x89PNG\r\n\x1a\n"));
    fine(&["keys", "--look", "dark", "--out", svg.to_str().unwrap()]);
    assert_ne!(std::fs::read_to_string(&svg).unwrap(), drawn);
    assert_eq!(
        refused(&["keys", "--out", "keys.pdf"]),
        "After --out comes a name that ends in .svg or .png, and “keys.pdf” came."
    );
    assert!(refused(&["keys", "--look", "dark"]).starts_with("A look is a picture's"));
    assert_eq!(refused(&["keys", "--out"]), "After --out comes a file's name; nothing came.");
}

#[test]
fn the_same_rig_gives_the_same_bytes_and_another_look_others() {
    let desk = Desk::new();
    let name = desk.save(&plain());
    let made = |out: &str, more: &[&str]| {
        let path = desk.path(out);
        let args = [&["picture", &name, "--what", "chain", "--out", path.to_str().unwrap()][..], more].concat();
        fine(&args);
        std::fs::read(path).unwrap()
    };
    let (light, dark) = (made("a.svg", &[]), made("b.svg", &["--look", "dark"]));
    assert_eq!(light, made("c.svg", &["--look", "light"]));
    assert_ne!(light, dark);
}

#[test]
fn a_variant_is_chosen_by_its_name() {
    let desk = Desk::new();
    let name = desk.save(&two("Pub", "Hall"));
    let out = desk.path("hall.svg");
    let out = out.to_str().unwrap();
    let said = fine(&["picture", &name, "--what", "plot", "--variant", "hall", "--out", out]);
    assert!(said.contains("“Hall”"), "{said}");
    let text = std::fs::read_to_string(out).unwrap();
    assert!(text.contains("<title>Hall</title>") && !text.contains("<title>Pub</title>"));
    let sentence = refused(&["picture", &name, "--what", "plot", "--variant", "Attic", "--out", out]);
    assert!(sentence.starts_with("There is no variant “Attic”"), "{sentence}");
}

/// A switch that only the sound moves: the caption tells how everything stands.
#[test]
fn a_sound_says_how_everything_stands() {
    let desk = Desk::new();
    let mut project = file::demo().unwrap();
    let rig = &project.variants[0].rig;
    let unit = rig.devices.iter().find(|device| device.name == "Compressor").unwrap();
    let state = project.state.with(rig, &rig.all_turned_on(&[unit.id]));
    project.sounds.push(Sound::of(SoundId(project.next_id), "Squeezed", state));
    project.next_id += 1;
    let name = desk.save(&project);
    let out = desk.path("x.svg");
    let out = out.to_str().unwrap();
    let titles = |more: &[&str]| {
        fine(&[&["picture", &name, "--what", "chain", "--out", out][..], more].concat());
        let text = std::fs::read_to_string(out).unwrap();
        (text.contains("<title>Everything off"), text.contains("<title>On: Compressor"))
    };
    assert_eq!(titles(&[]), (true, false));
    assert_eq!(titles(&["--sound", "Squeezed"]), (false, true));
}

/// One plot has one state: a rig that makes the sound by another one isn't in it. In a
/// table each rig stands by itself.
#[test]
fn a_rig_that_makes_a_sound_otherwise_stays_out_of_the_plot_and_not_out_of_the_table() {
    let desk = Desk::new();
    let mut project = two("Pub", "Hall");
    let guitar = project.variants[0].rig.devices[0].id;
    let mut soft = project.state.clone();
    soft.turned.insert(Knob { device: guitar, control: Control::Volume }, Turn::of(0.5));
    let mut sound = Sound::of(SoundId(project.next_id), "Soft", project.state.clone());
    sound.made_in.insert(project.variants[1].id, soft);
    project.sounds.push(sound);
    project.next_id += 1;
    let name = desk.save(&project);
    let (plot, table) = (desk.path("p.svg"), desk.path("t.csv"));
    let (plot, table) = (plot.to_str().unwrap(), table.to_str().unwrap());
    let said = fine(&["picture", &name, "--what", "plot", "--sound", "soft", "--out", plot]);
    assert!(said.ends_with(" Left out, since the sound is made by another state there: “Hall”.\n"), "{said}");
    let text = std::fs::read_to_string(plot).unwrap();
    assert!(text.contains("<title>Pub</title>") && !text.contains("<title>Hall</title>"));
    assert!(!fine(&["picture", &name, "--what", "plot", "--out", plot]).contains("Left out"));
    fine(&["export", &name, "--as", "csv", "--what", "curves", "--sound", "soft", "--out", table]);
    let text = std::fs::read_to_string(table).unwrap();
    let level = |variant: &str| {
        let line = text.lines().find(|line| line.starts_with(variant)).unwrap();
        line.split(',').nth(3).unwrap().parse::<f64>().unwrap()
    };
    assert!(level("Hall,") < level("Pub,") - 3.0, "half turned down there: {} and {}", level("Hall,"), level("Pub,"));
}

#[test]
fn tables_hold_all_variants_or_one() {
    let desk = Desk::new();
    let name = desk.save(&two("Pub", "=Hall"));
    let out = desk.path("t.csv");
    let out = out.to_str().unwrap();
    let table = |what: &str, more: &[&str]| {
        fine(&[&["export", &name, "--as", "csv", "--what", what, "--out", out][..], more].concat());
        std::fs::read_to_string(out).unwrap()
    };
    for what in ["curves", "parts"] {
        let both = table(what, &[]);
        assert!(both.starts_with("variant,") && both.matches("variant,").count() == 1, "one heading");
        assert!(both.contains("\r\nPub,") && both.contains("\r\n'=Hall,"), "a name is no formula");
        let one = table(what, &["--variant", "Pub"]);
        assert!(one.contains("\r\nPub,") && !one.contains("=Hall"));
    }
}

#[test]
fn what_is_left_unsaid_is_asked_for() {
    let desk = Desk::new();
    let name = desk.save(&plain());
    let out = desk.path("x.svg");
    let out = out.to_str().unwrap();
    let picture = |more: &[&str]| refused(&[&["picture", &name][..], more].concat());
    assert_eq!(
        picture(&["--out", out]),
        "What it is to be of has to be said: --what takes “chain”, “plot” or “power”."
    );
    assert_eq!(
        picture(&["--what", "floor", "--out", out]),
        "After --what comes “chain”, “plot” or “power”, and “floor” came."
    );
    assert_eq!(
        picture(&["--what", "plot"]),
        "Where it goes has to be said: rigwright picture FILE --what chain --out FILE.svg."
    );
    let pdf = desk.path("x.pdf");
    let sentence = picture(&["--what", "plot", "--out", pdf.to_str().unwrap()]);
    assert!(sentence.starts_with("After --out comes a name that ends in .svg or .png, and “"), "{sentence}");
    assert_eq!(picture(&["--look", "pink"]), "After --look comes “dark” or “light”, and “pink” came.");
    assert_eq!(picture(&["--what", "plot", "--what", "plot"]), "--what came twice; it is taken once.");
    assert!(picture(&["--as", "csv"]).starts_with("There is no option “--as” here; rigwright picture FILE"));
    assert_eq!(
        refused(&["picture", "--what", "plot", "--out", out]),
        "A file is expected: rigwright picture FILE --what chain --out FILE.svg."
    );
    let export = |more: &[&str]| refused(&[&["export", &name][..], more].concat());
    assert_eq!(export(&["--as", "netlist"]), "After --as comes “csv”, and “netlist” came.");
    assert_eq!(
        export(&["--what", "parts", "--out", "x.csv"]),
        "It has to be said how the table is to be written: rigwright export FILE --as csv --what curves --out FILE.csv."
    );
    assert!(export(&["--as", "csv", "--what", "parts", "--out", out]).contains("a name that ends in .csv"));
    assert!(!desk.path("x.svg").exists(), "nothing was written");
}

#[test]
fn a_file_that_cant_be_written_is_told_and_leaves_nothing() {
    let desk = Desk::new();
    let name = desk.save(&plain());
    let nowhere = desk.path("attic").join("x.svg");
    let sentence = refused(&["picture", &name, "--what", "chain", "--out", nowhere.to_str().unwrap()]);
    assert!(sentence.contains("can't be saved in") && sentence.ends_with("that folder isn't there."), "{sentence}");
    let folder = desk.path("folder.csv");
    std::fs::create_dir(&folder).unwrap();
    let sentence = refused(&["export", &name, "--as", "csv", "--what", "parts", "--out", folder.to_str().unwrap()]);
    assert!(sentence.ends_with("a folder has that name."), "{sentence}");
    let left = std::fs::read_dir(desk.folder.path()).unwrap().count();
    assert_eq!(left, 2, "the rig and the folder");
}
