//! Who doesn't see the screen, or has no mouse: every screen as it is read out, and as the
//! keyboard walks through it.

use egui::accesskit::{Action, Role};
use egui::{Key, Modifiers, Rect};
use egui_kittest::Node;
use egui_kittest::kittest::NodeT;
use image::RgbaImage;
use rigwright_core::file;
use rigwright_core::response::words;
use rigwright_core::rig::{Edit, Rig, apply};
use rigwright_core::units::hertz;

use super::{answers, chain};
use crate::window::{Setup, Window};

/// What can be used, as it is read out: in which group, as what, under which name.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
struct Usable {
    group: String,
    role: String,
    name: String,
    value: String,
}

fn usable(window: &Window) -> Vec<Usable> {
    let read = |node: Node<'_>| {
        let node = node.accesskit_node();
        let data = node.data();
        let can = data.supports_action(Action::Click) || data.supports_action(Action::Focus);
        // Places are nothing to use, text can only be marked, and what scrolls follows the keyboard.
        let is_place = matches!(node.role(), Role::Window | Role::ScrollView | Role::Pane);
        let is_place = is_place || matches!(node.role(), Role::Label | Role::TextRun | Role::ScrollBar);
        (can && !node.is_hidden() && !is_place).then(|| Usable {
            group: format!("{:?}", node.parent_id()),
            role: format!("{:?}", node.role()),
            name: node.label().unwrap_or_default(),
            value: node.value().unwrap_or_default(),
        })
    };
    window.harness.root().children_recursive().filter_map(read).collect()
}

type State = (&'static str, fn() -> Window);

fn demo_and(act: impl FnOnce(&mut Window)) -> Window {
    let mut window = Window::demo();
    act(&mut window);
    window
}

/// The screens, each page of the panel at the side, and all that opens over them.
const STATES: [State; 20] = [
    ("the Chain screen", Window::demo),
    ("a blank rig", Window::blank),
    ("the Power screen", || demo_and(|window| window.command(Key::Num2))),
    ("a supply selected", || {
        demo_and(|window| {
            window.command(Key::Num2);
            let at = window.from("Isolated supply, supply").rect().center();
            window.click_at(at);
        })
    }),
    ("a device selected", || demo_and(|window| window.click_device("Fuzz"))),
    ("the guitar selected", || demo_and(|window| window.click_device("Guitar"))),
    ("a lead selected", || demo_and(|window| window.click_lead("Guitar", "Tuner"))),
    ("figures", || demo_and(|window| window.click("Figures"))),
    ("switches", || demo_and(|window| window.click("Switches"))),
    ("sounds", || demo_and(|window| window.click("Sounds"))),
    ("compare", || demo_and(|window| window.click("Compare"))),
    ("the catalogue", || demo_and(|window| window.click("Insert a part on the lead from Guitar to Tuner"))),
    ("the list that finds anything", || demo_and(|window| window.command(Key::K))),
    ("help", || demo_and(|window| (window.press(Key::F1), window.press(Key::Enter)).1)),
    ("cautions", || demo_and(|window| window.menu("Cautions…"))),
    ("the menu", || demo_and(|window| window.click("Rig"))),
    ("a question", || demo_and(|window| (window.click("Switch of Compressor"), window.command(Key::N)).1)),
    ("a path to type", || demo_and(|window| window.command(Key::S))),
    ("an own part", || {
        demo_and(|window| {
            window.click_device("Fuzz");
            window.find_and_click(|window| window.from("Keep as my own part…"));
            window.press(Key::Enter);
            window.click("Insert a part on the lead from Guitar to Tuner");
        })
    }),
    ("a small window", || Setup { size: [1024.0, 700.0], ..Setup::demo() }.open()),
];

#[test]
fn all_that_can_be_used_is_read_out_as_something_under_a_name_of_its_own() {
    let mut wrong = Vec::new();
    for (state, open) in STATES {
        let window = open();
        let mut all = usable(&window);
        assert!(all.len() > 3, "{state}: {all:?}");
        for one in &all {
            if one.name.trim().is_empty() {
                wrong.push(format!("{state}: no name: {one:?}"));
            }
            if ["Unknown", "GenericContainer"].contains(&one.role.as_str()) {
                wrong.push(format!("{state}: it isn't said what it is: {one:?}"));
            }
        }
        // A slider and the field beside it are one thing to the ear, of two roles.
        all.sort();
        for pair in all.windows(2) {
            let same = |one: &Usable| (one.group.clone(), one.role.clone(), one.name.clone());
            if same(&pair[0]) == same(&pair[1]) {
                wrong.push(format!("{state}: twice: {:?}", pair[0]));
            }
        }
    }
    wrong.dedup();
    assert!(wrong.is_empty(), "{wrong:#?}");
}

/// The devices of the drawing as they are read out, and what each says of its place.
fn read_devices(window: &Window) -> Vec<(String, String)> {
    let nodes = window.harness.root().children_recursive();
    let names = nodes.filter_map(|node| node.accesskit_node().label());
    let device = |name: String| {
        let (name, place) = name.split_once(", ")?;
        let (at, rest) = place.split_once(" of ")?;
        let count = rest.split(',').next()?;
        at.parse::<usize>().ok()?;
        count.parse::<usize>().ok()?;
        Some((name.to_owned(), format!("{at} of {count}")))
    };
    names.filter_map(device).collect()
}

/// The leads of the drawing as they are read out: "Guitar to Tuner".
fn read_leads(window: &Window) -> Vec<String> {
    let nodes = window.harness.root().children_recursive();
    let names = nodes.filter_map(|node| node.accesskit_node().label());
    names.filter_map(|name| Some(name.strip_prefix("Lead from ")?.split(',').next()?.to_owned())).collect()
}

#[track_caller]
fn assert_read_along(window: &Window, rig: &Rig) {
    let read = read_devices(window);
    let count = rig.devices.iter().filter(|device| !device.kind.jacks().is_empty()).count();
    assert_eq!(read.len(), count);
    for (at, (name, place)) in read.iter().enumerate() {
        assert_eq!(place, &format!("{} of {count}", at + 1), "{name}");
    }
    let place = |name: &str| read.iter().position(|(read, _)| read == name).unwrap();
    let leads = read_leads(window);
    assert_eq!(leads.len(), rig.leads.len());
    let lead = |from: &str, to: &str| leads.iter().position(|lead| *lead == format!("{from} to {to}")).unwrap();
    let chain = chain(rig);
    for pair in chain.windows(2) {
        assert!(place(pair[0]) < place(pair[1]), "{pair:?} in {read:?}");
    }
    for three in chain.windows(3) {
        assert!(lead(three[0], three[1]) < lead(three[1], three[2]), "{three:?} in {leads:?}");
    }
}

#[test]
fn a_rig_is_read_as_the_signal_goes_whatever_was_put_in_last() {
    let mut window = Window::demo();
    assert_read_along(&window, &window.variant(0).rig);
    window.click("Insert a part on the lead from Guitar to Tuner");
    window.type_text("flanger");
    window.press(Key::Enter);
    let rig = window.variant(0).rig.clone();
    assert_eq!(chain(&rig)[..3], ["Guitar", "Flanger", "Tuner"]);
    assert_ne!(rig.devices[1].name, "Flanger", "it isn't the order in which they came");
    assert_read_along(&window, &rig);
    // One that is moved to another lead is read there.
    let project = window.project();
    let variant = &project.variants[0];
    let onto = variant.rig.leads.iter().find(|lead| lead.from.device == variant.rig.devices[0].id).unwrap().id;
    let device = super::device_id(&variant.rig, "Chorus");
    let moved = apply(&project, &Edit::Move { variant: variant.id, device, onto }).unwrap();
    let window = Window::of(&moved);
    assert_eq!(chain(&window.variant(0).rig)[1], "Chorus");
    assert_read_along(&window, &window.variant(0).rig);
}

#[test]
fn a_curve_is_read_as_its_figures() {
    let window = Window::demo();
    let is_plot = |node: &Node<'_>| {
        let label = node.accesskit_node().label().unwrap_or_default();
        node.accesskit_node().role() == Role::Image && label.starts_with("Level plot")
    };
    let plot = window.harness.root().children_recursive().find(is_plot).unwrap().accesskit_node().label().unwrap();
    for (variant, response) in window.project().variants.iter().zip(answers(&window.project())) {
        let answer = response.main().unwrap();
        let peak = answer.peak.unwrap();
        let minus3 = answer.minus3.unwrap();
        let peak = words::peak_line(&peak).replacen('P', "p", 1);
        let figures = format!("{}: {peak}, 3 dB down at {}", variant.name, hertz(minus3.hz));
        assert!(plot.contains(&figures), "no “{figures}” in “{plot}”");
    }
}

/// How far around something with the keyboard a mark of that is looked for, in points.
const AROUND: f32 = 5.0;

/// So many pixels of a part of the window differ.
fn different(one: &RgbaImage, other: &RgbaImage, place: Rect) -> usize {
    let whole = Rect::from_min_size(egui::Pos2::ZERO, egui::vec2(one.width() as f32, one.height() as f32));
    let place = place.expand(AROUND).intersect(whole);
    let columns = place.left().floor() as u32..place.right().floor().max(0.0) as u32;
    let rows = place.top().floor() as u32..place.bottom().floor().max(0.0) as u32;
    rows.flat_map(|y| columns.clone().map(move |x| (x, y)))
        .filter(|(x, y)| one.get_pixel(*x, *y) != other.get_pixel(*x, *y))
        .count()
}

/// Presses Tab until what had the keyboard first has it again; at each stop what has it is
/// in sight, and looks otherwise than without it.
fn walk_round(mut window: Window, least: usize) {
    let mut wrong = Vec::new();
    let mut stops: Vec<egui::Id> = Vec::new();
    for _ in 0..600 {
        window.press(Key::Tab);
        window.run();
        let Some(id) = window.harness.ctx.memory(|memory| memory.focused()) else { continue };
        if stops.first() == Some(&id) {
            break;
        }
        assert!(
            !stops.contains(&id),
            "Tab goes in a small circle at {:?} after {} stops",
            window.focused(),
            stops.len()
        );
        stops.push(id);
        let name = window.focused().unwrap_or_else(|| format!("{id:?}, a sentence with terms"));
        let place = window.named_focus();
        // What lies under the edge of its list isn't seen either.
        let whole = window.harness.ctx.content_rect();
        let seen = window.harness.ctx.read_response(id).unwrap().interact_rect.intersect(whole);
        // Of what is larger than its room a part is enough.
        if seen.width() < 0.5 * place.width().min(60.0) || seen.height() < 0.5 * place.height().min(16.0) {
            wrong.push(format!("“{name}” has the keyboard at {place:?}, out of sight"));
            continue;
        }
        let with = window.harness.render().unwrap();
        window.harness.ctx.memory_mut(|memory| memory.surrender_focus(id));
        window.harness.step();
        let without = window.harness.render().unwrap();
        if different(&with, &without, seen) < 12 {
            wrong.push(format!("“{name}” looks the same with the keyboard and without, at {place:?}"));
        }
        window.harness.ctx.memory_mut(|memory| memory.request_focus(id));
        window.run();
    }
    assert!(stops.len() >= least, "only {} things have the keyboard", stops.len());
    // And one back.
    window.press_with(Modifiers::SHIFT, Key::Tab);
    assert_eq!(window.harness.ctx.memory(|memory| memory.focused()), stops.last().copied());
    assert!(wrong.is_empty(), "{} of {} stops: {wrong:#?}", wrong.len(), stops.len());
}

#[test]
fn the_keyboard_walks_through_the_chain_screen_and_is_seen_at_each_stop() {
    walk_round(Setup { size: [1024.0, 700.0], ..Setup::demo() }.look("dark").open(), 60);
}

#[test]
fn the_keyboard_walks_through_the_power_screen_and_is_seen_at_each_stop() {
    let setup = Setup { size: [1024.0, 700.0], ..Setup::demo() }.look("light");
    let mut window = setup.open();
    window.command(Key::Num2);
    walk_round(window, 30);
}

#[test]
fn the_keyboard_walks_through_the_panel_of_a_device_and_is_seen_at_each_stop() {
    let mut window = Setup::file("/rigs/blank.ron", file::BLANK_BYTES).look("light").open();
    window.click_device("Guitar");
    walk_round(window, 30);
}

#[test]
fn the_keyboard_walks_through_the_smallest_window_and_is_seen_at_each_stop() {
    walk_round(Setup { size: [800.0, 560.0], ..Setup::demo() }.look("dark").open(), 60);
}

#[test]
fn the_keyboard_stays_in_the_catalogue_while_it_is_open_and_is_seen_there() {
    let mut window = Setup { size: [1024.0, 700.0], ..Setup::demo() }.look("dark").open();
    window.click_device("Fuzz");
    window.find_and_click(|window| window.from("Keep as my own part…"));
    window.press(Key::Enter);
    window.click("Insert a part on the lead from Guitar to Tuner");
    walk_round(window, 60);
}

#[test]
fn what_a_search_finds_comes_in_sight_when_it_arrives() {
    let mut window = Setup { size: [1024.0, 700.0], ..Setup::demo() }.open();
    window.find_and_click(|window| window.named("Look for something better"));
    for _ in 0..3 {
        window.run();
    }
    let is_now = |node: &Node<'_>| node.value().is_some_and(|words| words.starts_with("Now: "));
    let now = window.harness.root().children_recursive().find(is_now).unwrap().rect();
    let whole = window.harness.ctx.content_rect();
    assert!(whole.contains(now.center()), "{now:?}");
    let tabs = window.named("Findings").rect();
    assert!(now.top() > tabs.bottom() && now.bottom() < whole.bottom(), "{now:?} under {tabs:?}");
    // Once: who scrolls away isn't brought back.
    window.assert_idle();
}

#[test]
fn less_movement_is_chosen_in_the_menu_and_remembered() {
    let mut window = Setup { size: [1024.0, 560.0], ..Setup::demo() }.open();
    // The test's own window never glides; it does what it is told, all the same.
    let glides = |window: &Window| window.harness.ctx.global_style().scroll_animation.duration.max > 0.0;
    window.harness.ctx.all_styles_mut(|style| style.scroll_animation = Default::default());
    assert!(glides(&window));
    let choose = |window: &mut Window| {
        window.click("Rig");
        window.find_and_click(|window| window.named("Scale and look"));
        let at = window.from("Less movement").rect().center();
        window.click_at(at);
    };
    choose(&mut window);
    assert!(!glides(&window) && !window.harness.ctx.global_style().visuals.text_cursor.blink);
    assert!(window.host.settings().unwrap().contains("less_movement: true"));
    let mut again = Setup { host: std::sync::Arc::clone(&window.host), size: [1024.0, 560.0], ..Setup::demo() }.open();
    assert!(!glides(&again));
    choose(&mut again);
    assert!(glides(&again));
    assert!(again.host.settings().unwrap().contains("less_movement: false"));
    again.assert_idle();
}
