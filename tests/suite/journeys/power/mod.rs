//! Supplies, rails and what hangs on them.

mod dragging;
mod keys;
mod loops;
mod planning;
mod saying;

use rigwright_core::diagnosis::Severity;
use rigwright_core::power::{Check, Headroom, check};
use rigwright_core::rig::{OutletRef, Rig};

use super::device_id;
use crate::window::{Setup, Window};

/// The demo on the Power screen, in a window that shows all of it.
fn demo() -> Window {
    let mut window = Setup { size: [1440.0, 1500.0], ..Setup::demo() }.open();
    window.click("Power");
    window
}

/// What the core says of the variant in hand.
fn checked(window: &Window) -> Check {
    check(&window.variant(0).rig, &Headroom::default())
}

fn dangers(window: &Window) -> usize {
    checked(window).problems.iter().filter(|problem| problem.severity == Severity::Danger).count()
}

/// The outlet that feeds a unit, as supply and number.
fn fed_by(rig: &Rig, name: &str) -> Option<(String, u8)> {
    let from = rig.feed_to(device_id(rig, name))?.from.outlets().next()?;
    Some((rig.device(from.supply).unwrap().name.clone(), from.outlet))
}

fn outlet(rig: &Rig, supply: &str, number: u8) -> OutletRef {
    OutletRef::new(device_id(rig, supply), number)
}

/// The middle of a unit's box, whatever is said of it.
fn unit(window: &Window, name: &str) -> egui::Pos2 {
    let start = format!("{name}, ");
    let found = window.all_from(&start);
    let of_power = |name: &str| name.contains("fed") || name.contains("on the mains") || name.contains("nobody");
    let node = found.iter().find(|node| {
        use egui_kittest::kittest::NodeT;
        node.accesskit_node().label().is_some_and(|name| of_power(&name))
    });
    node.unwrap_or_else(|| panic!("no box of {name} in {:#?}", window.texts())).rect().center()
}

/// The middle of a rail.
fn rail(window: &Window, place: &str) -> egui::Pos2 {
    window.from(&format!("Rail of {place}, ")).rect().center()
}
