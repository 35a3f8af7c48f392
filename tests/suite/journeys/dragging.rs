//! Symbols, leads and jacks under the mouse.

use egui::{Key, Pos2, vec2};

use super::{chain, device_id, is_on};
use crate::window::Window;

fn middle(window: &Window, device: &str) -> Pos2 {
    window.device(device).rect().center()
}

/// Free sheet, right at the bottom on the left.
fn nowhere(window: &Window) -> Pos2 {
    window.sheet().left_bottom() + vec2(120.0, -40.0)
}

#[test]
fn a_device_dropped_on_another_lead_is_plugged_in_there() {
    let mut window = Window::demo();
    let before = window.project();
    let onto = window.lead("Fuzz", "Octave").rect().center();
    window.drag(middle(&window, "Compressor"), onto);
    let rig = &window.variant(0).rig;
    assert_eq!(chain(rig)[..8], ["Guitar", "Tuner", "Wah", "Mild drive", "Hard drive", "Fuzz", "Compressor", "Octave"]);
    assert!(window.variant(0).places.is_empty(), "it stands where the drawing puts it");
    assert_eq!(rig.leads.len(), before.variants[0].rig.leads.len());
    window.command(Key::Z);
    window.assert_is(&before); // one step
    assert!(!is_on(&window.project(), device_id(&window.variant(0).rig, "Compressor")));
    window.assert_idle();
}

#[test]
fn a_device_dropped_beside_the_leads_stands_there_and_nothing_is_computed() {
    let mut window = Window::demo();
    let before = window.project();
    let computed = window.harness.state().answers().computed();
    let goal = nowhere(&window);
    window.drag(middle(&window, "Chorus"), goal);
    let variant = window.variant(0);
    let chorus = device_id(&variant.rig, "Chorus");
    assert_eq!(variant.places.keys().copied().collect::<Vec<_>>(), [chorus]);
    assert_eq!(variant.rig, before.variants[0].rig);
    assert_eq!(window.harness.state().answers().computed(), computed);
    window.command(Key::Z);
    window.assert_is(&before); // one step
    assert_eq!(window.harness.state().answers().computed(), computed);
    window.assert_idle();
}

#[test]
fn a_device_lands_under_the_pointer() {
    let mut window = Window::demo();
    // From the middle of the sheet to near it, so that the rest of the drawing keeps its size.
    let start = middle(&window, "Chorus");
    let goal = start + vec2(0.0, 130.0);
    window.drag(start, goal);
    let landed = middle(&window, "Chorus");
    assert!(landed.distance(goal) < 12.0, "{landed} for {goal}");
}

#[test]
fn a_drag_that_is_given_up_outside_changes_nothing() {
    let mut window = Window::demo();
    let before = window.project();
    let outside = window.sheet().center_bottom() + vec2(0.0, 200.0);
    window.drag(middle(&window, "Chorus"), outside);
    window.assert_is(&before);
    window.assert_idle();
}

#[test]
fn escape_gives_a_drag_up() {
    let mut window = Window::demo();
    let before = window.project();
    let goal = nowhere(&window);
    window.hold(middle(&window, "Chorus"), goal);
    window.press(Key::Escape);
    window.harness.drop_at(goal);
    window.run();
    window.assert_is(&before);
}

#[test]
fn a_guitar_has_no_way_through_and_the_window_says_so() {
    let mut window = Window::demo();
    let before = window.project();
    let onto = window.lead("Fuzz", "Octave").rect().center();
    window.drag(middle(&window, "Guitar"), onto);
    assert_eq!(window.variant(0).rig, before.variants[0].rig, "the rig is as it was");
    window.assert_says("Guitar has no input and output to plug a lead through");
    window.click("Put this away");
    assert!(!window.says("no input and output"));
}

#[test]
fn a_lead_is_pulled_from_one_free_jack_to_another() {
    let mut window = Window::demo();
    let before = window.project();
    window.click_lead("Splitter", "Amp left");
    window.press(Key::Delete);
    assert_eq!(window.variant(0).rig.leads.len(), 16);
    window.assert_says("no signal reaches Amp left");
    let from = window.named("Free jack: out of Splitter").rect().center();
    let to = window.named("Free jack: in of Amp left").rect().center();
    window.drag(from, to);
    let rig = &window.variant(0).rig;
    assert_eq!(rig.leads.len(), 17);
    let (splitter, amp) = (device_id(rig, "Splitter"), device_id(rig, "Amp left"));
    assert!(rig.leads.iter().any(|lead| lead.from.device == splitter && lead.to.device == amp));
    assert!(rig.leads.last().unwrap().length.get() >= 3.0, "to an amp off the board it is a long one");
    window.command(Key::Z);
    window.command(Key::Z);
    window.assert_is(&before);
    window.assert_idle();
}

#[test]
fn a_free_jack_is_joined_from_the_panel_too() {
    let mut window = Window::demo();
    window.click_lead("Splitter", "Amp left");
    window.press(Key::Delete);
    window.click_device("Amp left");
    window.assert_says("“in” is free");
    window.find_and_click(|window| window.list("join it to"));
    window.click("“out” of Splitter");
    assert_eq!(window.variant(0).rig.leads.len(), 17);
    assert!(!window.says("To fix"));
}

/// Whether the sheet can still be panned: something that hangs on the mouse forbids it.
fn pans(window: &mut Window) -> bool {
    let before = middle(window, "Fuzz");
    let free = window.sheet().left_bottom() + vec2(40.0, -20.0);
    window.pan(free, free + vec2(60.0, 0.0));
    middle(window, "Fuzz") != before
}

#[test]
fn what_is_taken_out_in_the_middle_of_a_drag_no_longer_hangs_on_the_mouse() {
    let mut window = Window::demo();
    let goal = nowhere(&window);
    window.hold(middle(&window, "Chorus"), goal);
    window.press(Key::Delete);
    window.harness.drop_at(goal);
    window.run();
    assert_eq!(window.variant(0).rig.devices.len(), 19);
    assert!(pans(&mut window));
    window.assert_idle();
}

#[test]
fn a_lead_whose_jack_is_taken_in_the_middle_of_a_drag_is_let_go() {
    let mut window = Window::demo();
    window.click_lead("Splitter", "Amp left");
    window.press(Key::Delete);
    let from = window.named("Free jack: out of Splitter").rect().center();
    let goal = nowhere(&window);
    window.hold(from, goal);
    window.command(Key::Z);
    window.harness.drop_at(goal);
    window.run();
    assert_eq!(window.variant(0).rig.leads.len(), 17);
    assert!(pans(&mut window));
}

#[test]
fn the_sheet_is_panned_zoomed_and_fitted_again() {
    let mut window = Window::demo();
    let fitted = window.device("Chorus").rect();
    let free = nowhere(&window);
    window.pan(free, free + vec2(90.0, -30.0));
    let panned = window.device("Chorus").rect();
    assert!((panned.center() - fitted.center() - vec2(90.0, -30.0)).length() < 9.0);
    window.press(Key::Plus);
    assert!(window.device("Chorus").rect().width() > 1.2 * fitted.width());
    window.press(Key::Minus);
    window.press(Key::F);
    assert!(window.device("Chorus").rect().center().distance(fitted.center()) < 0.5);
    window.assert_is(&rigwright_core::file::demo().unwrap()); // looking changes nothing
    window.assert_idle();
}

/// What is said beside the pointer while something is held.
#[track_caller]
fn assert_hint(window: &Window, words: &str) {
    assert!(window.painted().iter().any(|text| text == words), "“{words}” isn't in {:#?}", window.painted());
}

#[test]
fn what_letting_go_would_do_is_said_before() {
    let mut window = Window::demo();
    let before = window.project();
    let start = middle(&window, "Compressor");
    let onto = window.lead("Fuzz", "Octave").rect().center();
    window.hold(start, onto);
    assert_hint(&window, "plug in between Fuzz and Octave");
    // The curve that it would give is there already.
    assert!(window.harness.state().ghost().is_some());
    window.harness.hover_at(middle(&window, "Fuzz"));
    window.run();
    assert_hint(&window, "trade places with Fuzz");
    window.harness.hover_at(nowhere(&window));
    window.run();
    assert_hint(&window, "put the symbol here");
    assert!(window.harness.state().ghost().is_none());
    window.press(Key::Escape);
    window.harness.drop_at(nowhere(&window));
    window.run();
    window.assert_is(&before);
    window.assert_idle();
}

#[test]
fn what_cannot_be_dropped_says_why_while_it_is_held() {
    let mut window = Window::demo();
    let onto = window.lead("Fuzz", "Octave").rect().center();
    window.hold(middle(&window, "Guitar"), onto);
    window.run();
    assert_hint(&window, "Guitar has no input and output to plug a lead through; join it to a free jack instead");
    window.press(Key::Escape);
    window.harness.drop_at(onto);
    window.run();
    window.assert_is(&rigwright_core::file::demo().unwrap());
}

#[test]
fn the_unit_stays_under_the_pointer_where_the_button_went_down() {
    let mut window = Window::demo();
    let start = middle(&window, "Chorus");
    // Taken at its upper left corner.
    let grip = start + vec2(-20.0, -16.0);
    let goal = grip + vec2(14.0, 120.0);
    window.hold(grip, goal);
    let held = middle(&window, "Chorus");
    let off = held - start - (goal - grip);
    assert!(off.length() < 9.0, "it is {off} off");
}

#[test]
fn two_units_trade_places() {
    let mut window = Window::demo();
    let before = window.project();
    let order = |window: &Window| -> Vec<String> {
        chain(&window.variant(0).rig).iter().map(|name| (*name).to_owned()).collect()
    };
    let was = order(&window);
    window.drag(middle(&window, "Compressor"), middle(&window, "Fuzz"));
    let mut wanted = was.clone();
    let (one, other) =
        (was.iter().position(|n| n == "Compressor").unwrap(), was.iter().position(|n| n == "Fuzz").unwrap());
    wanted.swap(one, other);
    assert_eq!(order(&window), wanted);
    let metres = |window: &Window| window.variant(0).rig.leads.iter().map(|lead| lead.length).collect::<Vec<_>>();
    assert_eq!(metres(&window), before.variants[0].rig.leads.iter().map(|lead| lead.length).collect::<Vec<_>>());
    window.command(Key::Z);
    window.assert_is(&before);
}

#[test]
fn a_loose_unit_is_joined_by_dropping_it_with_its_body_over_a_lead() {
    let mut window = Window::blank();
    window.press(Key::I);
    window.type_text("mild drive");
    window.press(Key::Enter);
    assert!(!chain(&window.variant(0).rig).contains(&"Mild drive"), "it stands loose");
    let lead = window.lead("Guitar", "Amp").rect().center();
    // The pointer is well above the lead, the unit's box lies over it.
    let start = middle(&window, "Mild drive");
    window.drag(start, lead + vec2(0.0, -22.0));
    assert_eq!(chain(&window.variant(0).rig), ["Guitar", "Mild drive", "Amp"]);
    assert!(!window.says("To fix"));
    window.assert_idle();
}

#[test]
fn with_alt_a_unit_stands_on_a_lead_and_is_not_joined() {
    let mut window = Window::demo();
    let before = window.project();
    let onto = window.lead("Fuzz", "Octave").rect().center();
    let start = middle(&window, "Compressor");
    window.harness.event(egui::Event::ModifiersChanged(egui::Modifiers::ALT));
    window.drag(start, onto);
    assert_eq!(window.variant(0).rig, before.variants[0].rig);
    assert_eq!(window.variant(0).places.len(), 1);
}

#[test]
fn a_plug_is_pulled_to_another_jack_and_off() {
    let mut window = Window::demo();
    // An amp's jack is free where its lead is pulled out: the other amp's lead goes there.
    window.click_lead("Splitter", "Amp left");
    window.press(Key::Delete);
    let before = window.project();
    let plug = window.from("Plug in Amp right, in, of the lead from").rect().center();
    let to = window.named("Free jack: in of Amp left").rect().center();
    window.hold(plug, to);
    assert_hint(&window, "plug into Amp left, in");
    window.harness.drop_at(to);
    window.run();
    let rig = &window.variant(0).rig;
    let (left, right) = (device_id(rig, "Amp left"), device_id(rig, "Amp right"));
    assert!(
        rig.leads.iter().any(|lead| lead.to.device == left) && rig.leads.iter().all(|lead| lead.to.device != right)
    );
    window.command(Key::Z);
    window.assert_is(&before);
    // Onto a jack that another lead is in it doesn't go; off all jacks the lead goes away.
    let plug = window.from("Plug in Amp right, in, of the lead from").rect().center();
    let taken = window.from("Plug in Fuzz, in, of the lead from").rect().center();
    window.hold(plug, taken);
    assert_hint(&window, "another lead is in that jack: Fuzz, in");
    let off = nowhere(&window);
    window.harness.hover_at(off);
    window.run();
    assert_hint(&window, "take the lead away");
    window.harness.drop_at(off);
    window.run();
    assert_eq!(window.variant(0).rig.leads.len(), before.variants[0].rig.leads.len() - 1);
}

#[test]
fn a_part_is_dragged_out_of_the_catalogue_onto_a_lead_and_onto_the_sheet() {
    for onto_lead in [true, false] {
        let mut window = Window::demo();
        let before = window.project();
        window.press(Key::I);
        window.type_text("mild drive");
        let row = window.named("Mild drive").rect().center();
        let goal = if onto_lead { window.lead("Fuzz", "Octave").rect().center() } else { nowhere(&window) };
        window.hold(row, goal);
        assert!(!window.has("Find a part"), "the catalogue is out of the way");
        assert_hint(&window, if onto_lead { "plug in between Fuzz and Octave" } else { "put on the sheet" });
        window.harness.drop_at(goal);
        window.run();
        let variant = window.variant(0);
        let new = variant.rig.devices.last().unwrap();
        assert_eq!(new.name, "Mild drive 2");
        assert_eq!(chain(&variant.rig).contains(&"Mild drive 2"), onto_lead);
        assert_eq!(variant.places.contains_key(&new.id), !onto_lead);
        window.command(Key::Z);
        window.assert_is(&before);
        window.assert_idle();
    }
}

#[test]
fn tidy_puts_every_symbol_back_in_one_step() {
    let mut window = Window::demo();
    let fresh = window.project();
    let goal = nowhere(&window);
    window.drag(middle(&window, "Chorus"), goal);
    let placed = window.project();
    // With Alt, for there are leads below.
    let near = middle(&window, "Delay");
    window.harness.event(egui::Event::ModifiersChanged(egui::Modifiers::ALT));
    window.drag(near, near + vec2(0.0, 70.0));
    window.harness.event(egui::Event::ModifiersChanged(egui::Modifiers::NONE));
    assert_eq!(window.variant(0).places.len(), 2);
    window.press(Key::L);
    assert!(window.variant(0).places.is_empty());
    window.assert_is(&fresh);
    window.command(Key::Z);
    window.command(Key::Z);
    window.assert_is(&placed);
    window.menu("Tidy the drawing");
    window.assert_is(&fresh);
}

#[test]
fn a_rig_is_built_behind_what_is_selected_by_the_keyboard() {
    let mut window = Window::blank();
    window.click_device("Guitar");
    for part in ["tuner", "fuzz", "compact digital delay"] {
        window.press(Key::I);
        window.type_text(part);
        window.press(Key::Enter);
    }
    let rig = &window.variant(0).rig;
    let names = chain(rig);
    assert_eq!((names.len(), names[0], names[4]), (5, "Guitar", "Amp"));
    assert_eq!(names[3], "Compact digital delay");
    // Where the signal ends, the part comes before it; behind a free output it is joined.
    window.click_device("Amp");
    window.press(Key::I);
    window.type_text("buffer");
    window.press(Key::Enter);
    assert_eq!(chain(&window.variant(0).rig)[4..], ["Buffer", "Amp"]);
    window.click_lead("Buffer", "Amp");
    window.press(Key::Delete);
    window.click_device("Buffer");
    window.press(Key::I);
    window.assert_says("Add a part behind Buffer");
    window.type_text("hall reverb");
    window.press(Key::Enter);
    assert_eq!(chain(&window.variant(0).rig)[4..], ["Buffer", "Hall reverb"]);
}
