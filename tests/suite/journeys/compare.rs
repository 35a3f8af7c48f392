//! Rigs side by side: copied, changed, left out and brought back, as differences.

use std::sync::Arc;

use egui::Key;
use rigwright_core::cascade::LineCache;
use rigwright_core::compare::{Against, Comparison, compare, difference};
use rigwright_core::file;
use rigwright_core::network::Sweep;
use rigwright_core::parts::catalogue;
use rigwright_core::rig::{Edit, Project, Variant, VariantId, apply};
use rigwright_core::units::{Level, Metres, hertz, metres};

use crate::window::{Setup, Window};

/// The demo's two rigs, one with a short low-capacitance lead and no fuzz, and
/// one that is three units only.
pub fn four_variants() -> Project {
    let mut project = file::demo().unwrap();
    for (name, without) in [
        ("Short lead, no fuzz", &["Fuzz"][..]),
        ("Three units", &["Fuzz", "Octave", "Phaser", "Tremolo", "Chorus", "Hard drive", "Wah", "Tuner"]),
    ] {
        let id = VariantId(project.next_id);
        let variant = Variant { id, name: name.to_owned(), ..(*project.variants[0]).clone() };
        project = apply(&project, &Edit::AddVariant(Arc::new(variant))).unwrap();
        for name in without {
            let device =
                project.variant(id).unwrap().rig.devices.iter().find(|device| device.name == *name).unwrap().id;
            project = apply(&project, &Edit::RemoveDevice { variant: id, device }).unwrap();
        }
    }
    let short = &project.variants[2];
    let mut lead = short.rig.leads.iter().find(|lead| lead.length.get() == 6.0).unwrap().clone();
    lead.length = Metres::of(3.0);
    lead.cable = catalogue().cable("low-capacitance-lead").unwrap().cable.clone();
    apply(&project, &Edit::SetLead { variant: short.id, lead: Box::new(lead) }).unwrap()
}

const STRAIGHT: &str = "the guitar straight into the amp";
const BANDS: &str = "bands: every state each rig can be in";
const BAND: &str = "band: every state this rig can be in";

/// What the core says, computed afresh.
fn fresh(project: &Project, against: Against) -> Comparison<'_> {
    compare(project, &project.state, against, &mut LineCache::new(Sweep::audio())).expect("a base")
}

/// The line of a variant as the table has to read it out.
fn sentences(project: &Project, against: Against, variant: usize) -> Vec<String> {
    let comparison = fresh(project, against);
    let one = &comparison.variants[variant];
    let figures = one.row.figures.as_ref().unwrap();
    let peak = figures.peak.unwrap();
    let lead = figures.lead_equivalent.as_ref().map(|length| metres((length * 10.0).round() / 10.0));
    let jump = one.row.worst_jump.unwrap();
    let device = &one.variant.rig.device(jump.device()).unwrap().name;
    let name = &one.variant.name;
    let at = format!("{name}: peak at {}, {:.1} dB above 200 Hz", hertz(peak.hz), peak.height_db);
    let peak = jump.peak.moved_words().map_or_else(String::new, |moved| format!("peak {moved}, "));
    vec![
        at,
        match lead {
            Ok(length) => format!("{name}: sounds like {length} of its own lead, straight into the amp"),
            Err(why) => format!("{name}: sounds like no plain lead: {why}"),
        },
        format!("{name}: worst jump {peak}{} at {}, switching {device} on", Level::Decibels(jump.db), hertz(jump.hz)),
        format!("{name}: {}", one.row.cost.told(&project.currency)),
    ]
}

fn plot_says(window: &Window) -> String {
    [window.texts_from("Level plot "), window.texts_from("Difference plot ")].concat().remove(0)
}

/// Chooses from one of the two lists of bases.
fn choose(window: &mut Window, list: &str, base: &str) {
    window.click(list);
    // The entry below the list, and not the rig of that name elsewhere on the screen.
    let below = window.named(list).rect().left_bottom();
    let entries = window.all_from(base).into_iter().map(|node| node.rect());
    let entry = entries.filter(|rect| rect.top() > below.y - 1.0 || rect.bottom() < below.y - 20.0);
    let at = entry.min_by(|a, b| a.left_center().distance(below).total_cmp(&b.left_center().distance(below))).unwrap();
    window.click_at(at.center());
}

const IN_PLOT: &str = "what the difference is from";
const IN_TABLE: &str = "what the rigs are compared with";

#[test]
fn a_copy_with_another_lead_is_compared_line_by_line() {
    let mut window = Window::demo();
    window.click("New variant from this one");
    window.click_lead("Guitar", "Tuner");
    window.fill("length of the lead", "3 m");
    window.press(Key::Escape);
    window.click("Compare");
    let project = window.project();
    let first = Against::Variant(project.variants[0].id);
    for variant in 0..3 {
        let name = &project.variants[variant].name;
        let said = window.texts_from(&format!("{name}: "));
        assert_eq!(said, sentences(&project, first, variant));
    }
    // A 3 m lead is bought, the 6 m one is left over: 3 a metre and 9 for the plugs, invented.
    window.assert_says("All true bypass 2: added 18 €, left out 27 €");
    assert!(window.painted().iter().any(|text| text == "−9 €"), "{:?}", window.painted());
    window.assert_idle();
}

#[test]
fn the_worst_jump_of_the_table_is_the_one_among_the_findings() {
    let mut window = Setup { size: [1440.0, 3000.0], ..Setup::demo() }.open();
    let found = window.texts_from("Switching Compressor on moves the peak from ").remove(0);
    let figures = found.trim_start_matches("Switching Compressor on moves the peak from ");
    let mut figures = figures.split(", ");
    let figures = format!("peak {}, {}", figures.next().unwrap(), figures.next().unwrap());
    window.click("Compare");
    assert_eq!(
        window.texts_from("All true bypass: worst jump"),
        [format!("All true bypass: worst jump {figures}, switching Compressor on")]
    );
    window.assert_says("Jumps are those of the findings: up to 5 kHz at a guitar amp and 10 kHz elsewhere");
    // Below the fuzz's input there is no low-impedance fuzz: then its switch counts like any other.
    window.click("Findings");
    window.click("When this speaks up …");
    window.fill("gain depends on the source up to", "1k");
    window.click("Compare");
    assert!(window.texts_from("All true bypass: worst jump")[0].ends_with("switching Fuzz on"));
    window.assert_idle();
}

#[test]
fn figures_are_of_the_rigs_that_are_compared_and_of_the_one_in_hand() {
    let mut window = Window::of(&four_variants());
    window.click("Figures");
    let peaks = super::peak_lines(&window.project());
    assert_eq!(super::shown_peaks(&window), peaks);
    assert!(!window.says("left out") && !window.says("not compared"));
    window.click("Curve of Buffer after the guitar");
    assert_eq!(super::shown_peaks(&window), [&peaks[0], &peaks[2], &peaks[3]].map(Clone::clone));
    window.assert_says("One rig is left out. A click on its name above the plot brings it back.");
    assert!(!window.says("not compared"));
    // The one in hand is what the page is about; it says that it isn't compared.
    window.click("Curve of All true bypass");
    assert_eq!(super::shown_peaks(&window), [&peaks[0], &peaks[2], &peaks[3]].map(Clone::clone));
    window.assert_says("not compared");
    window.click("Curve of Three units");
    window.assert_says("2 rigs are left out.");
    for name in ["Buffer after the guitar", "All true bypass", "Three units"] {
        window.click(&format!("Curve of {name}"));
    }
    assert_eq!(super::shown_peaks(&window), peaks);
    assert!(!window.says("left out") && !window.says("not compared"));
}

#[test]
fn a_rig_that_is_left_out_is_left_out_everywhere() {
    let mut window = Window::demo();
    window.click("Compare");
    let painted = |window: &Window, words: &str| window.painted().iter().filter(|text| *text == words).count();
    let line = |window: &Window| window.texts_from("Buffer after the guitar: ").len();
    assert_eq!((line(&window), painted(&window, BANDS), painted(&window, BAND)), (4, 1, 0));
    window.click("Curve of Buffer after the guitar");
    assert_eq!((line(&window), painted(&window, BANDS), painted(&window, BAND)), (0, 0, 1));
    assert!(!plot_says(&window).contains("Buffer after the guitar"));
    window.focus("Curve of All true bypass");
    window.press(Key::Space);
    assert_eq!((painted(&window, BANDS), painted(&window, BAND)), (0, 0));
    window.assert_says("Every rig is left out");
    window.press(Key::Space);
    window.click("Curve of Buffer after the guitar");
    assert_eq!((line(&window), painted(&window, BANDS), painted(&window, BAND)), (4, 1, 0));
    window.assert_idle();
}

#[test]
fn differences_from_the_guitar_straight_into_the_amp() {
    let mut window = Window::demo();
    let before = window.project();
    window.click("Difference");
    choose(&mut window, IN_PLOT, STRAIGHT);
    let said = plot_says(&window);
    assert!(said.starts_with(&format!("Difference plot from 20 Hz to 20 kHz, dB from {STRAIGHT}.")), "{said}");
    let comparison = fresh(&before, Against::Straight);
    let base = comparison.base.as_ref().unwrap();
    for one in &comparison.variants {
        let answer = one.answer.as_ref().unwrap();
        let hz = answer.curve.hz();
        let db = |hz: &f64| difference(answer.level_at(*hz), base.level_at(*hz)).unwrap();
        let most = hz.iter().max_by(|a, b| db(a).abs().total_cmp(&db(b).abs())).unwrap();
        let told =
            format!("{}: {} at {}, where it differs most", one.variant.name, Level::Decibels(db(most)), hertz(*most));
        assert!(said.contains(&told), "{told} in {said}");
    }
    // Peaks belong to levels; what 0 dB is stands at its line.
    let painted = window.painted();
    assert!(painted.contains(&format!("0 dB: {STRAIGHT}")));
    assert!(!painted.iter().any(|text| text == "2.58 kHz"), "{painted:?}");
    // A knob moves both alike: the straight guitar has the same one.
    window.click_device("Guitar");
    let slider = window.slider("tone").rect();
    window.click_at(slider.center());
    window.press(Key::Escape);
    let turned = window.project();
    assert_ne!(turned.state, before.state);
    let low = fresh(&turned, Against::Straight);
    let answer = low.variants[0].answer.as_ref().unwrap();
    let told = plot_says(&window);
    let at = answer
        .curve
        .hz()
        .iter()
        .map(|hz| difference(answer.level_at(*hz), low.base.as_ref().unwrap().level_at(*hz)).unwrap());
    let most = at.fold(0.0_f64, |most, db| if db.abs() > most.abs() { db } else { most });
    assert!(told.contains(&format!("All true bypass: {} at ", Level::Decibels(most))), "{most} in {told}");
    window.click("Level");
    assert!(plot_says(&window).starts_with("Level plot "));
    window.assert_idle();
}

#[test]
fn under_the_pointer_stand_differences() {
    let mut window = Window::demo();
    window.click("Difference");
    let plot = window.from("Difference plot ").rect();
    window.harness.hover_at(plot.center() + egui::vec2(150.0, 0.0));
    window.run();
    let painted = window.painted();
    assert!(painted.iter().any(|text| text.ends_with(", from All true bypass")), "{painted:?}");
    assert!(painted.iter().any(|text| text == "0.0 dB  All true bypass"), "the base is no different from itself");
    let other = painted.iter().find(|text| text.ends_with("dB  Buffer after the guitar")).unwrap();
    let place = painted.iter().find_map(|text| text.strip_suffix(", from All true bypass")).unwrap();
    // The card gives three figures of the frequency: somewhere in that step the core agrees.
    let project = window.project();
    let comparison = fresh(&project, Against::Variant(project.variants[0].id));
    let (own, base) = (comparison.variants[1].answer.as_ref().unwrap(), comparison.base.as_ref().unwrap());
    let steps = (0..20_000).map(|step| 1000.0 * 20.0_f64.powf(f64::from(step) / 20_000.0));
    let told = steps.filter(|hz| hertz(*hz) == place).any(|hz| {
        let db = difference(own.level_at(hz), base.level_at(hz)).unwrap();
        *other == format!("{}  Buffer after the guitar", Level::Decibels(db))
    });
    assert!(told, "{other} at {place}");
}

#[test]
fn the_base_is_one_choice_for_plot_and_table() {
    let mut window = Window::demo();
    window.click("Compare");
    assert_eq!(window.value(IN_TABLE), "All true bypass");
    choose(&mut window, IN_TABLE, STRAIGHT);
    window.click("Difference");
    assert_eq!(window.value(IN_PLOT), STRAIGHT);
    let project = window.project();
    assert_eq!(window.texts_from("All true bypass: "), sentences(&project, Against::Straight, 0));
    window.click("Curve of All true bypass");
    choose(&mut window, IN_PLOT, "Buffer after the guitar");
    assert_eq!(window.value(IN_TABLE), "Buffer after the guitar");
    window.assert_says("Buffer after the guitar: nothing added");
    // A base that goes makes room for the first rig; undone, it is the base again.
    window.named("Variant Buffer after the guitar").click_secondary();
    window.run();
    window.click("Remove this variant");
    assert_eq!(window.value(IN_TABLE), STRAIGHT, "with one rig left there is nothing else to compare with");
    window.command(Key::Z);
    assert_eq!(window.value(IN_TABLE), "Buffer after the guitar");
    window.assert_idle();
}

#[test]
fn one_rig_alone_is_compared_with_no_board_at_all() {
    let mut window = Window::blank();
    window.click("Compare");
    assert_eq!(window.value(IN_TABLE), STRAIGHT);
    window.assert_says("nothing added");
    window.click("Difference");
    assert!(plot_says(&window).contains(": no difference"), "{}", plot_says(&window));
    assert!(!window.painted().iter().any(|text| text.starts_with("band")), "without a switch there is no band");
    // Without a way to the amp there is nothing to plug in straight.
    window.click_lead("Guitar", "Amp");
    window.press(Key::Delete);
    window.assert_says("No signal comes from an instrument with a lead");
    window.assert_idle();
}

#[test]
fn a_silent_base_is_no_difference() {
    let mut window = Window::demo();
    window.click("Difference");
    window.click("Switch of Tuner");
    window.assert_says("nothing to tell, one of the two is silent");
    window.click("Level");
    assert!(window.painted().iter().any(|text| text.starts_with("Nothing comes through.")));
    window.assert_idle();
}

#[test]
fn a_click_on_a_name_takes_that_rig_in_hand() {
    let mut window = Window::demo();
    window.click("Compare");
    window.click("Buffer after the guitar");
    assert!(window.has("Insert a part on the lead from Guitar to Buffer"));
    window.assert_idle();
}

#[test]
fn where_the_test_point_is_missing_there_are_no_figures() {
    let mut window = Window::demo();
    window.click("Variant Buffer after the guitar");
    window.click_lead("Buffer", "Tuner");
    window.press(Key::T);
    window.press(Key::Escape);
    window.click("Compare");
    window.assert_says("All true bypass: no peak, no signal gets to where the level is taken");
    window.assert_says("Buffer after the guitar: peak at ");
}
