//! Every screen and state that matters, in both looks, against the pictures that are
//! kept: `UPDATE_SNAPSHOTS=1` writes them anew, and then they are looked at.

use std::fs::File;
use std::path::Path;
use std::sync::Arc;

use egui::{Key, vec2};
use egui_kittest::kittest::NodeT;
use egui_kittest::{SnapshotOptions, SnapshotResults};
use image::codecs::png::{CompressionType, FilterType, PngEncoder};
use rigwright::jobs::{Host, LeftStatus, Origin, Pick};
use rigwright_core::file;
use rigwright_core::rig::{
    DeviceId, Jack, JackRef, Kind, Lead, LeadId, Polarity, Position, Project, Rig, SwitchKey, SwitchRef, Variant,
};

use rigwright_core::units::{Metres, Seconds};

use crate::journeys::half_finished;
use crate::journeys::unfed::feed_the_mild_drive_18_volts;
use crate::rigs;
use crate::window::{Setup, Window};

/// Takes a picture in each look, after what is to be done has been done.
pub fn both(name: &str, setup: impl Fn() -> Setup, prepare: impl Fn(&mut Window)) {
    both_in("pictures", name, setup, prepare);
}

fn both_in(folder: &str, name: &str, setup: impl Fn() -> Setup, prepare: impl Fn(&mut Window)) {
    // Rounding may differ from machine to machine, a little and in few places.
    let options = SnapshotOptions::new().output_path(folder).threshold(1.0).max_failed_pixels(60);
    let mut results = SnapshotResults::new();
    for look in ["dark", "light"] {
        let mut window = setup().look(look).open();
        prepare(&mut window);
        window.run();
        let name = format!("{name}-{look}");
        results.add(window.harness.try_snapshot_options(&name, &options));
        if std::env::var_os("UPDATE_SNAPSHOTS").is_some() {
            shrink(&Path::new(folder).join(name).with_extension("png"));
        }
    }
}

/// Writes a kept picture again as small as can be; the harness is quick about it, and
/// that costs three times the room.
fn shrink(path: &Path) {
    let picture = image::open(path).unwrap().to_rgb8();
    let file = File::create(path).unwrap();
    // Flat colours compress best as they are, without a filter.
    let encoder = PngEncoder::new_with_quality(file, CompressionType::Best, FilterType::NoFilter);
    picture.write_with_encoder(encoder).unwrap();
}

/// In a small window, where room is scarce and pictures weigh little.
pub fn demo() -> Setup {
    Setup { size: [1024.0, 700.0], ..Setup::demo() }
}

/// What there is to know of power and of ground loops in one list with the signal's, one of
/// the loops pointed at, so that its way is lit.
#[test]
fn all_diagnoses_in_one_list() {
    both("diagnoses", demo, |window| {
        window.find_and_click(|window| window.named("Of power and ground loops: 9 to know …"));
        window.named("Set the ground lift of DI box").scroll_to_me();
        window.run();
        let below = window.named("Set the ground lift of DI box").rect();
        window.harness.hover_at(below.left_top() + vec2(5.0, -8.0));
    });
}

/// A project of a test's own, in a window of that size.
pub fn own(project: &Project) -> Setup {
    Setup { size: demo().size, ..Setup::file("/rigs/own.ron", file::write(project).unwrap()) }
}

#[test]
fn the_demo() {
    // The front page shows these.
    both_in("../assets/pictures", "window", Setup::demo, |_| {});
}

/// Twice as large as usual, and in the smallest window.
#[test]
fn twice_as_large() {
    both("size-double", || Setup { size: [700.0, 425.0], scale: 2.0, ..Setup::demo() }, |_| {});
}

#[test]
fn twice_as_large_in_a_small_window() {
    both("size-double-small", || Setup { size: [512.0, 350.0], scale: 2.0, ..Setup::demo() }, |_| {});
}

#[test]
fn a_small_window() {
    both("size-small", || Setup { size: [800.0, 560.0], ..Setup::demo() }, |_| {});
}

#[test]
fn a_unit_that_is_on_and_selected() {
    both("unit", demo, |window| {
        window.click("Switch of Compressor");
        window.click_device("Compressor");
    });
}

#[test]
fn the_guitar_selected() {
    both("guitar", demo, |window| window.click_device("Guitar"));
}

#[test]
fn a_term_that_explains_itself() {
    both("term", demo, |window| {
        window.click("Figures");
        window.focus("What “lead equivalent” means");
    });
}

#[test]
fn the_peak_explains_itself() {
    both("term-peak", demo, |window| window.focus("What “peak” means"));
}

#[test]
fn the_bands_explain_themselves() {
    both("term-states", demo, |window| window.focus("What “all states” means"));
}

#[test]
fn a_lead_selected() {
    both("lead", demo, |window| window.click_lead("Guitar", "Tuner"));
}

#[test]
fn a_number_that_is_being_typed_and_one_that_has_a_way_back() {
    both("typing", demo, |window| {
        window.click_lead("Guitar", "Tuner");
        window.fill("one plug of the lead", "40p");
        window.focus("capacitance a metre of the lead");
        window.command(Key::A);
        window.type_text("200p");
    });
}

#[test]
fn a_number_with_two_readings() {
    both("readings", demo, |window| {
        window.click_lead("Guitar", "Tuner");
        window.fill("length of the lead", "1,500");
    });
}

#[test]
fn a_lead_pointed_at() {
    both("plus", demo, |window| {
        let lead = window.lead("Compressor", "Wah").rect();
        window.harness.hover_at(lead.left_center() + vec2(5.0, 0.0));
    });
}

fn middle(window: &Window, name: &str) -> egui::Pos2 {
    window.device(name).rect().center()
}

#[test]
fn a_unit_held_over_a_lead() {
    both("hold-lead", demo, |window| {
        let onto = window.lead("Fuzz", "Octave").rect().center();
        window.hold(middle(window, "Compressor"), onto);
    });
}

#[test]
fn a_unit_held_over_free_paper() {
    both("hold-paper", demo, |window| {
        let start = middle(window, "Wah");
        window.hold(start, start + vec2(150.0, 56.0));
    });
}

#[test]
fn a_guitar_held_where_it_cannot_go() {
    both("hold-refused", demo, |window| {
        let onto = window.lead("Fuzz", "Octave").rect().center();
        window.hold(middle(window, "Guitar"), onto);
    });
}

#[test]
fn the_catalogue_with_a_query() {
    both("catalogue", demo, |window| {
        window.click("Insert a part on the lead from Guitar to Tuner");
        window.type_text("buffer");
    });
}

/// Two of the player's own parts, before those of the catalogue.
fn keep(window: &mut Window, device: &str, name: &str) {
    window.click_device(device);
    window.find_and_click(|window| window.from("Keep as my own part…"));
    window.fill("Name of the part", name);
    window.click("Put this away");
}

#[test]
fn own_parts_in_the_catalogue() {
    both("own-parts", demo, |window| {
        keep(window, "Fuzz", "My germanium fuzz");
        keep(window, "Delay", "Delay from the attic");
        window.click("Insert a part on the lead from Guitar to Tuner");
        window.type_text("9 V");
    });
}

#[test]
fn a_device_that_is_to_be_kept() {
    both("own-part-kept", demo, |window| {
        keep(window, "Fuzz", "Fuzz");
        window.click_device("Octave");
        window.find_and_click(|window| window.from("Keep as my own part…"));
        window.focus("Name of the part");
        window.command(Key::A);
        window.type_text("Fuzz");
    });
}

#[test]
fn what_has_the_keyboard() {
    both("keyboard", demo, |window| {
        let name = window.device("Chorus").accesskit_node().label().unwrap();
        window.focus(&name);
        window.press(Key::Tab);
        window.press_with(egui::Modifiers::SHIFT, Key::Tab);
    });
}

#[test]
fn the_list_that_finds_anything() {
    both("finder", demo, |window| window.command(Key::K));
}

#[test]
fn the_list_with_a_query() {
    both("found", demo, |window| {
        window.command(Key::K);
        window.type_text("buff");
        window.press(Key::ArrowDown);
    });
}

#[test]
fn the_key_card() {
    both("keys", demo, |window| {
        window.press(Key::F1);
        window.type_text("key card");
        window.press(Key::Enter);
    });
}

#[test]
fn a_term_that_was_looked_for() {
    both("terms", demo, |window| {
        window.command(Key::K);
        window.type_text("lead equi");
        window.press(Key::Enter);
        steps(window);
    });
}

#[test]
fn a_finding_that_was_looked_for() {
    both("finding-found", demo, |window| {
        window.command(Key::K);
        window.type_text("moves the peak");
        window.find_and_click(|window| {
            let mut found = window.all_from("");
            found.retain(|node| node.accesskit_node().label().is_some_and(|name| name.ends_with(", to act on")));
            found.pop().unwrap_or_else(|| panic!("{:#?}", window.texts()))
        });
        steps(window);
    });
}

/// Until a list has come to where it scrolls.
pub fn steps(window: &mut Window) {
    for _ in 0..30 {
        window.harness.step();
    }
}

#[test]
fn silence() {
    both("silence", demo, |window| {
        window.click_device("Guitar");
        let slider = window.slider("volume").rect();
        window.drag(slider.right_center() - vec2(8.0, 0.0), slider.left_center() - vec2(30.0, 0.0));
        let free = window.sheet().left_bottom() + vec2(60.0, -30.0);
        window.click_at(free);
    });
}

#[test]
fn a_unit_without_a_feed() {
    both("unfed", demo, |window| {
        window.command(Key::Num2);
        let at = window.from("Delay, fed by ").rect().center();
        window.click_at(at);
        window.press(Key::U);
        window.command(Key::Num1);
        window.press(Key::E);
        window.press(Key::Escape);
    });
}

/// Four loops: one of two units that is in, one of one, a patch lead, and an empty one.
fn switched() -> Project {
    let mut project = file::blank().unwrap();
    project.title = "Four loops".to_owned();
    let mut rig = rigs::looped(4, 2);
    let names = ["Fuzz", "Mild drive", "Compact delay"];
    let (kept, gone) = ([11, 12, 13], [14, 15, 16, 17, 18]);
    rig.devices.retain(|device| !gone.contains(&device.id.0));
    for (id, name) in kept.iter().zip(names) {
        rig.devices.iter_mut().find(|device| device.id.0 == *id).unwrap().name = name.to_owned();
    }
    let short = |rig: &mut Rig, from: (u64, Jack), to: (u64, Jack)| {
        let [from, to] = [from, to].map(|(device, jack)| JackRef::new(DeviceId(device), jack));
        rig.leads.retain(|lead| lead.from != from && lead.to != to);
        let lead = Lead { id: LeadId(2000 + from.device.0), from, to, ..rig.leads[3].clone() };
        rig.leads.push(lead);
    };
    rig.leads.retain(|lead| ![lead.from, lead.to].iter().any(|jack| gone.contains(&jack.device.0)));
    short(&mut rig, (13, Jack::Out), (3, Jack::Return(2)));
    short(&mut rig, (3, Jack::Send(3)), (3, Jack::Return(3)));
    project.variants = vec![Arc::new(Variant { rig: Arc::new(rig), ..(*project.variants[0]).clone() })];
    let switch = SwitchRef { device: DeviceId(3), key: SwitchKey::Loop(1) };
    project.state.positions.insert(switch, Position::ON);
    project.state.positions.insert(SwitchRef::bypass(DeviceId(12)), Position::ON);
    project.next_id = 10_000;
    project
}

#[test]
fn a_loop_switcher() {
    both("switcher", || Setup { size: [1280.0, 900.0], ..own(&switched()) }, |_| {});
}

/// A guitar in two ways at once, a delay late in one of them.
fn two_ways() -> Project {
    let mut project = file::blank().unwrap();
    project.title = "Dry beside wet".to_owned();
    let mut late = rigs::level_unit(-3.0);
    if let Kind::Pedal(pedal) = &mut late {
        pedal.on.latency = Seconds::of(2e-3);
    }
    let mut rig =
        rigs::mixed(vec![rigs::true_bypass(30e-12)], vec![rigs::true_bypass(30e-12), late], [Polarity::Same; 2]);
    for lead in &mut rig.leads {
        (lead.cable, lead.length) = (rigs::real_cable(), Metres::of(0.3));
    }
    rig.leads[0].length = Metres::of(6.0);
    rig.leads[1].length = Metres::of(6.0);
    for (id, name) in
        [(1, "Guitar"), (2, "Amp"), (3, "Splitter"), (4, "Mixer"), (11, "Fuzz"), (21, "Chorus"), (22, "Delay")]
    {
        rig.devices.iter_mut().find(|device| device.id.0 == id).unwrap().name = name.to_owned();
    }
    rig.devices[0].kind = Kind::Guitar(rigs::HB.guitar());
    rig.devices[1].kind = rigs::amp(1e6, 0.0);
    project.variants = vec![Arc::new(Variant { rig: Arc::new(rig), ..(*project.variants[0]).clone() })];
    project.state.positions.insert(SwitchRef::bypass(DeviceId(22)), Position::ON);
    project.next_id = 10_000;
    project
}

#[test]
fn two_ways_at_once() {
    both("two-ways", || Setup { size: [1280.0, 900.0], ..own(&two_ways()) }, |window| window.click("Figures"));
}

#[test]
fn a_mixer_that_is_selected() {
    both("mixer", || Setup { size: [1280.0, 1100.0], ..own(&two_ways()) }, |window| window.click_device("Mixer"));
}

#[test]
fn the_loops_of_a_jump_that_is_pointed_at() {
    both(
        "switcher-lit",
        || Setup { size: [1280.0, 1300.0], ..own(&switched()) },
        |window| {
            window.click("Switches");
            let said =
                window.texts().into_iter().find(|text| text.ends_with("with Fuzz on and loops 2 and 3 of switcher in"));
            let said = said.unwrap_or_else(|| panic!("{:?}", window.texts()));
            window.harness.hover_at(window.named(&said).rect().center());
            window.run();
        },
    );
}

#[test]
fn a_loop_switcher_that_is_selected() {
    both(
        "switcher-selected",
        || Setup { size: [1280.0, 1300.0], ..own(&switched()) },
        |window| {
            let at = window.from("switcher, ").rect().left_center() + vec2(14.0, 0.0);
            window.click_at(at);
        },
    );
}

#[test]
fn an_amp_with_channels() {
    let tall = || Setup { size: [1024.0, 1100.0], ..Setup::demo() };
    both("channels", tall, |window| {
        window.click_device("Amp left");
        window.click("has channels to switch between");
        window.click("channel of Amp left");
        window.click("lead");
    });
}

#[test]
fn a_danger_of_power_on_the_chain() {
    both("danger", || Setup { size: [1440.0, 1500.0], ..Setup::demo() }, feed_the_mild_drive_18_volts);
}

#[test]
fn a_half_finished_rig() {
    both("problems", || own(&half_finished()), |_| {});
}

#[test]
fn figures_of_a_rig_that_is_left_out() {
    both("figures", demo, |window| {
        window.click("Figures");
        window.click("Curve of All true bypass");
        window.harness.remove_cursor();
    });
}

#[test]
fn a_test_point() {
    both("test-point", demo, |window| {
        window.click_lead("Tremolo", "Delay");
        window.press(Key::T);
        let free = window.sheet().left_bottom() + vec2(60.0, -30.0);
        window.click_at(free);
    });
}

#[test]
fn the_question_about_unsaved_work() {
    both("unsaved", demo, |window| {
        window.click("Switch of Compressor");
        window.close();
    });
}

#[test]
fn the_question_about_a_file_that_somebody_else_changed() {
    let name = "/rigs/the very long name of a rig for a tour.ron";
    let setup = || Setup { size: [800.0, 560.0], ..Setup::file(name, file::DEMO_BYTES) };
    both("changed-elsewhere", setup, |window| {
        let origin = |title: &str| Origin { title: title.to_owned(), path: Some(name.into()), base: None };
        window.click("Switch of Compressor");
        for title in ["Pit rig", "Pit rig, the other one"] {
            window.host.put_left_of(origin(title), LeftStatus::Unsaved, file::BLANK_BYTES);
        }
        window.host.load_recovery();
        window.host.put_file(name, file::BLANK_BYTES);
        window.command(Key::S);
    });
}

#[test]
fn a_blank_rig() {
    both("blank", || own(&file::blank().unwrap()), |_| {});
}

#[test]
fn the_smallest_window_at_double_scale() {
    both("double", || Setup { size: [800.0, 560.0], scale: 2.0, ..Setup::demo() }, |_| {});
}

#[test]
fn strips_and_a_menu() {
    let setup = || {
        let setup = demo();
        setup.host.put_left(file::BLANK_BYTES);
        setup
    };
    both("menu", setup, |window| {
        window.host.will_pick(Pick::Path("/rigs/gone.ron".into()));
        window.command(Key::O);
        window.click("Rig");
    });
}

#[test]
fn sixty_four_devices() {
    both("many", || own(&rigs::sixty_four()), |_| {});
}

#[test]
fn sixty_four_devices_close_up() {
    let setup = || own(&rigs::sixty_four());
    both("close", setup, |window| {
        // What is selected comes to the middle, and close up opens into its circuit with values.
        window.click_device("Tuner, buffered");
        window.press_with(egui::Modifiers::SHIFT, Key::F);
        for _ in 0..4 {
            window.press(Key::Plus);
        }
    });
}
