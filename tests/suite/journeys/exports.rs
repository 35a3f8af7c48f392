//! Pictures and tables leave the window: to a file, to the clipboard, and never with an
//! old number.

use egui::{Event, Key, Modifiers, OutputCommand, PointerButton, ViewportCommand};
use rigwright::jobs::Pick;
use rigwright_core::file;

use crate::window::{Setup, Window};

/// Chooses an entry of the submenu.
fn choose(window: &mut Window, entry: &str) {
    window.click("Rig");
    window.click("Export");
    let at = window.from(entry).rect().center();
    window.click_at(at);
}

/// The same, and what the clipboard was given.
fn copied(window: &mut Window, entry: &str) -> Vec<OutputCommand> {
    window.click("Rig");
    window.click("Export");
    let pos = window.from(entry).rect().center();
    let button = |pressed| {
        let modifiers = Modifiers::NONE;
        Event::PointerButton { pos, button: PointerButton::Primary, pressed, modifiers }
    };
    let mut found = Vec::new();
    for event in [Event::PointerMoved(pos), button(true), button(false), Event::PointerGone] {
        window.harness.event(event);
        found.extend(window.harness.output().platform_output.commands.iter().cloned());
    }
    for _ in 0..6 {
        window.harness.step();
        found.extend(window.harness.output().platform_output.commands.iter().cloned());
    }
    window.run();
    found
}

fn titles(svg: &str) -> Vec<String> {
    let document = roxmltree::Document::parse(svg).unwrap();
    let titles = document.descendants().filter(|node| node.has_tag_name("title"));
    titles.filter_map(|node| node.text()).map(str::to_owned).collect()
}

#[test]
fn each_picture_is_saved_and_says_what_is_in_it() {
    let mut window = Window::demo();
    let devices: Vec<String> = window.variant(0).rig.devices.iter().map(|device| device.name.clone()).collect();
    let is_supply = |name: &String| ["Isolated supply", "Daisy adaptor"].contains(&name.as_str());
    for (entry, noun) in [("drawing", "drawing"), ("plot", "level plot"), ("power diagram", "power diagram")] {
        let path = format!("/pictures/{noun}.svg");
        window.host.will_pick(Pick::Path(path.clone().into()));
        choose(&mut window, &format!("Save a picture of the {entry}…"));
        assert_eq!(window.host.suggested().unwrap(), format!("Pit rig, spring tour, {noun}.svg"));
        window.assert_says(&format!("The {noun} is in “{noun}.svg”."));
        let titles = titles(&window.file(&path).unwrap());
        assert_eq!(titles[0], "Pit rig, spring tour: All true bypass");
        match noun {
            "drawing" => {
                let missing: Vec<_> =
                    devices.iter().filter(|name| !is_supply(name) && !titles.contains(name)).collect();
                assert!(missing.is_empty(), "{missing:?} in {titles:?}");
                assert!(titles.iter().any(|title| title.contains("run")), "brackets: {titles:?}");
                assert!(!titles.contains(&"T".to_owned()), "what a hand would drag: {titles:?}");
            }
            "level plot" => {
                for expected in ["Level at Amp left, dB from the pickup", "Buffer after the guitar", "20 kHz", "E2"] {
                    assert!(titles.iter().any(|title| title == expected), "{expected} in {titles:?}");
                }
                assert!(!titles.contains(&"Difference".to_owned()), "what a hand would press");
            }
            _ => {
                let fed = ["Delay", "Daisy adaptor", "Amp left", "Outlet 5, 9 V", "250 of 500 mA"];
                assert!(fed.iter().all(|name| titles.contains(&(*name).to_owned())), "{titles:?}");
                assert!(!titles.iter().any(|title| title.contains("Drop")), "{titles:?}");
            }
        }
    }
    assert_eq!(window.project().title, "Pit rig, spring tour");
    window.assert_idle();
}

#[test]
fn a_name_that_ends_in_png_makes_pixels() {
    let mut window = Window::demo();
    window.host.will_pick(Pick::Path("/pictures/rig.png".into()));
    choose(&mut window, "Save a picture of the drawing…");
    let bytes = window.host.file("/pictures/rig.png").unwrap();
    let picture = image::load_from_memory(&bytes).unwrap().to_rgb8();
    assert!(picture.width() > 2000 && picture.height() > 500, "{:?}", picture.dimensions());
    let ground = *picture.get_pixel(0, 0);
    let ink = picture.pixels().filter(|pixel| **pixel != ground).count();
    let part = ink as f64 / f64::from(picture.width() * picture.height());
    assert!((0.01..0.5).contains(&part), "{part}");
    window.host.will_pick(Pick::Path("/pictures/plain".into()));
    choose(&mut window, "Save a picture of the plot…");
    assert!(window.file("/pictures/plain.svg").unwrap().starts_with("<svg"), "the first kind where nobody says");
}

#[test]
fn pictures_are_of_paper_whatever_the_window_looks_like() {
    let made = |look: &str| {
        let mut window = Setup::demo().look(look).open();
        window.host.will_pick(Pick::Path("/a.svg".into()));
        choose(&mut window, "Save a picture of the drawing…");
        window.file("/a.svg").unwrap()
    };
    assert_eq!(made("dark"), made("light"));
}

/// What is pointed at, selected or zoomed is no part of a picture.
#[test]
fn a_picture_shows_the_rig_and_not_what_is_done_to_it() {
    let mut window = Window::demo();
    let made = |window: &mut Window| {
        window.host.will_pick(Pick::Path("/a.svg".into()));
        choose(window, "Save a picture of the drawing…");
        window.file("/a.svg").unwrap()
    };
    let before = made(&mut window);
    window.click_device("Compressor");
    window.press(Key::Plus);
    assert_eq!(made(&mut window), before);
    window.press(Key::Escape);
    window.click("Switch of Compressor");
    let on = made(&mut window);
    assert_ne!(on, before);
    assert!(titles(&on).iter().any(|title| title == "On: Compressor, of 12 switches" || title.contains("Compressor")));
}

#[test]
fn the_clipboard_gets_an_image_or_text() {
    let mut window = Window::demo();
    for (entry, noun) in [("drawing", "drawing"), ("plot", "level plot"), ("power diagram", "power diagram")] {
        let commands = copied(&mut window, &format!("Copy a picture of the {entry}"));
        let [OutputCommand::CopyImage(image)] = commands.as_slice() else {
            panic!("{noun}: {} commands", commands.len())
        };
        assert!(image.size[0] > 1000 && image.size[1] > 500, "{:?}", image.size);
        let ground = image.pixels[0];
        assert!(image.pixels.iter().any(|pixel| *pixel != ground) && ground.is_opaque());
        window.assert_says(&format!("The {noun} is on the clipboard."));
    }
    for (entry, begins) in [
        ("Copy the curves as a table", "variant,place,frequency_hz,"),
        ("Copy the parts list", "variant,kind,part,"),
        ("Copy the drawing as SVG", "<svg "),
        ("Copy the plot as SVG", "<svg "),
        ("Copy the power diagram as SVG", "<svg "),
    ] {
        let commands = copied(&mut window, entry);
        let [OutputCommand::CopyText(text)] = commands.as_slice() else {
            panic!("{entry}: {} commands", commands.len())
        };
        assert!(text.starts_with(begins), "{}", text.lines().next().unwrap());
    }
    window.assert_idle();
}

#[test]
fn tables_are_of_what_is_shown_and_of_the_rig_in_hand() {
    let mut window = Window::demo();
    let variants_in = |window: &mut Window, entry: &str| {
        window.host.will_pick(Pick::Path("/t.csv".into()));
        choose(window, entry);
        let text = window.file("/t.csv").unwrap();
        let mut reader = csv::Reader::from_reader(text.as_bytes());
        let mut names: Vec<String> = reader.records().map(|record| record.unwrap()[0].to_owned()).collect();
        names.dedup();
        names
    };
    let (first, second) = ("All true bypass", "Buffer after the guitar");
    assert_eq!(variants_in(&mut window, "Save the curves as a table…"), [first, second]);
    assert_eq!(variants_in(&mut window, "Save the parts list…"), [first]);
    window.click(&format!("Curve of {first}"));
    window.click(&format!("Variant {second}"));
    assert_eq!(variants_in(&mut window, "Save the curves as a table…"), [second]);
    assert_eq!(variants_in(&mut window, "Save the parts list…"), [second]);
}

#[test]
fn without_a_dialog_the_path_is_typed_and_nothing_is_written_over_unasked() {
    const FIELD: &str = "Path of the file";
    let mut window = Window::demo();
    window.host.put_file("/pictures/old.svg", "precious");
    choose(&mut window, "Save a picture of the drawing…");
    window.assert_says("Save the drawing to which file?");
    assert_eq!(window.value(FIELD), "Pit rig, spring tour, drawing.svg");
    window.fill(FIELD, "/pictures/old.pdf");
    window.assert_says("“old.pdf” should end in .svg or .png, which says what kind of file it is.");
    window.fill(FIELD, "/pictures/old");
    window.assert_says("There is a file of that name");
    assert_eq!(window.file("/pictures/old.svg").unwrap(), "precious");
    window.click("Keep it");
    assert_eq!(window.file("/pictures/old.svg").unwrap(), "precious");
    choose(&mut window, "Save a picture of the drawing…");
    window.fill(FIELD, "/pictures/old.svg");
    window.click("Replace it");
    assert!(window.file("/pictures/old.svg").unwrap().starts_with("<svg"));
    window.assert_says("The drawing is in “old.svg”.");
    window.assert_idle();
}

#[test]
fn a_disk_that_refuses_is_told_and_a_dialog_that_is_closed_does_nothing() {
    let mut window = Window::demo();
    window.host.will_pick(Pick::Cancelled);
    choose(&mut window, "Save the parts list…");
    assert!(!window.says("The parts list is in"));
    window.host.fail_saves(Some("the disk is full"));
    window.host.will_pick(Pick::Path("/t.csv".into()));
    choose(&mut window, "Save the parts list…");
    window.assert_says("the disk is full");
    assert_eq!(window.file("/t.csv"), None);
    window.assert_idle();
}

/// With a rig whose states take a while, on a machine that doesn't get to them.
fn busy() -> Window {
    let project = crate::large::project("Loops", vec![crate::rigs::looped(8, 3)]);
    let setup = Setup::file("/rigs/own.ron", file::write(&project).unwrap());
    setup.host.hold_work(true);
    setup.open()
}

/// Answers that are still being worked out are waited for.
#[test]
fn an_old_number_never_leaves_as_a_new_one() {
    let mut window = busy();
    window.host.will_pick(Pick::Path("/t.csv".into()));
    choose(&mut window, "Save the curves as a table…");
    window.assert_says("The table of curves waits until its numbers are worked out …");
    assert_eq!(window.file("/t.csv"), None);
    window.host.hold_work(false);
    super::settle(&mut window);
    window.assert_says("The table of curves is in “t.csv”.");
    let text = window.file("/t.csv").unwrap();
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let records: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
    assert!(records.len() > 200 && records.iter().all(|record| !record[4].is_empty()), "all states are in it");
}

/// Nobody waits for ever.
#[test]
fn waiting_can_be_called_off() {
    let mut window = busy();
    window.host.will_pick(Pick::Path("/t.csv".into()));
    choose(&mut window, "Save the curves as a table…");
    window.click("Don't wait for it");
    assert!(!window.says("waits until its numbers"));
    window.host.hold_work(false);
    super::settle(&mut window);
    assert_eq!(window.file("/t.csv"), None);
}

/// A file that is still being made is waited for, as a save is.
#[test]
fn the_window_does_not_close_over_a_picture_that_is_being_made() {
    let mut window = Window::demo();
    window.host.hold_texts(true);
    window.host.will_pick(Pick::Path("/a.svg".into()));
    choose(&mut window, "Save a picture of the drawing…");
    assert!(!window.close());
    window.assert_says("Still saving");
    assert_eq!(window.file("/a.svg"), None);
    window.host.hold_texts(false);
    // The machine's answers each ask for a frame.
    let told: Vec<ViewportCommand> = (0..4).flat_map(|_| window.told()).collect();
    assert!(told.contains(&ViewportCommand::Close), "{told:?}");
    assert!(window.file("/a.svg").unwrap().starts_with("<svg"));
    assert!(window.close());
}

/// What was asked for of one rig is never made of the next.
#[test]
fn another_rig_takes_nothing_over() {
    let mut window = busy();
    window.host.will_pick(Pick::Path("/t.csv".into()));
    choose(&mut window, "Save the curves as a table…");
    window.assert_says("waits until its numbers are worked out");
    window.host.put_file("/rigs/b.ron", file::BLANK_BYTES);
    window.host.will_pick(Pick::Path("/rigs/b.ron".into()));
    window.command(Key::O);
    window.host.hold_work(false);
    super::settle(&mut window);
    assert_eq!(window.project().title, "Untitled rig");
    assert_eq!(window.file("/t.csv"), None);
}
