//! Everything stands somewhere, once, and nothing stands on anything else.

use std::collections::BTreeMap;

use rigwright_core::file;
use rigwright_core::ground::ground_loops;
use rigwright_core::power::ZeroVolts;
use rigwright_core::rig::{DeviceId, Feed, FeedId, Rig};

use super::*;
use crate::views::power::{returns, trace};

fn rigs() -> Vec<Rig> {
    let projects = [file::demo(), file::few_on_a_daisy(), file::large_modular(), file::multi_effects(), file::blank()];
    projects.into_iter().flat_map(|project| project.unwrap().variants).map(|v| v.rig.as_ref().clone()).collect()
}

fn drawn(rig: &Rig, width: f32) -> Layout {
    let zero_volts = ZeroVolts::of(rig);
    Layout::of(rig, width, &|outlet| returns::is_shared(rig, &zero_volts, outlet))
}

fn named(rig: &Rig, name: &str) -> DeviceId {
    rig.devices.iter().find(|device| device.name == name).unwrap().id
}

#[test]
fn every_unit_that_takes_power_stands_once() {
    for rig in rigs() {
        let layout = drawn(&rig, 900.0);
        for device in &rig.devices {
            let boxes = layout.boxes.iter().filter(|unit| unit.device == device.id).count();
            let symbols = layout.converters.iter().filter(|converter| converter.device == device.id).count();
            let wanted = match (&device.power, device.kind.supply()) {
                (_, Some(_)) => (0, 1),
                (Power::Nothing, None) => (0, 0),
                _ => (1, 0),
            };
            assert_eq!((boxes, symbols), wanted, "{}", device.name);
        }
    }
}

#[test]
fn nothing_stands_on_anything_else() {
    for (rig, width) in rigs().into_iter().flat_map(|rig| [(rig.clone(), 760.0), (rig, 1400.0)]) {
        let layout = drawn(&rig, width);
        let boxes = layout.boxes.iter().map(|unit| unit.rect);
        let all: Vec<Rect> = boxes.chain(layout.converters.iter().map(|converter| converter.rect)).collect();
        for (at, rect) in all.iter().enumerate() {
            assert!(layout.bounds.contains_rect(*rect), "{rect} in {}", layout.bounds);
            assert!(all[..at].iter().all(|other| !other.intersects(*rect)), "{rect} stands on another");
        }
        let lines: Vec<f32> = layout.rows.iter().map(|row| row.y).collect();
        assert!(lines.is_sorted(), "from the top down: {lines:?}");
    }
}

#[test]
fn a_long_daisy_lead_goes_on_below() {
    let rig = file::demo().unwrap().variants[0].rig.as_ref().clone();
    let narrow = drawn(&rig, 560.0);
    let adaptor = OutletRef::new(named(&rig, "Daisy adaptor"), 1);
    let row = narrow.row(RailKey::Outlet(adaptor)).unwrap();
    assert!(!row.further.is_empty());
    assert!(drawn(&rig, 1400.0).row(RailKey::Outlet(adaptor)).unwrap().further.is_empty());
    let taps = narrow.boxes.iter().filter(|unit| unit.key == row.key).map(|unit| (unit.tap.y, unit.tap.x));
    let taps: Vec<_> = taps.collect();
    assert!(taps.is_sorted_by(|a, b| a <= b), "like text: {taps:?}");
}

#[test]
fn modules_hang_as_deep_as_they_are_plugged() {
    let rig = file::large_modular().unwrap().variants[0].rig.as_ref().clone();
    let layout = drawn(&rig, 1000.0);
    let depth = |name: &str| layout.converter(named(&rig, name)).unwrap().depth;
    assert_eq!(["Hub", "Module analogue", "Isolator"].map(depth), [0, 1, 2]);
    let fed_by = layout.converter(named(&rig, "Isolator")).unwrap().fed_by.clone().unwrap();
    let rail = layout.row(RailKey::Outlet(OutletRef::new(named(&rig, "Module analogue"), 7))).unwrap();
    assert_eq!(fed_by[0].y, rail.y, "its line begins on the rail that feeds it");
}

#[test]
fn a_circle_of_modules_is_drawn_all_the_same() {
    let mut rig = file::large_modular().unwrap().variants[0].rig.as_ref().clone();
    let (hub, module) = (named(&rig, "Module analogue"), named(&rig, "Distributor"));
    rig.feeds.retain(|feed| feed.taps.iter().all(|tap| tap.device != hub));
    rig.feeds.push(Feed::straight(FeedId(900), OutletRef::new(module, 1), hub));
    let layout = drawn(&rig, 1000.0);
    assert!(layout.converter(hub).is_some() && layout.converter(module).is_some());
}

#[test]
fn shared_returns_are_those_of_the_core() {
    for rig in rigs() {
        let zero_volts = ZeroVolts::of(&rig);
        let layout = drawn(&rig, 1000.0);
        let drawn: Vec<Vec<DeviceId>> =
            returns::shared(&rig, &zero_volts, &layout).into_iter().map(|shared| shared.devices).collect();
        let told: Vec<Vec<DeviceId>> =
            zero_volts.all().map(|(_, devices)| devices.to_vec()).filter(|devices| devices.len() > 1).collect();
        assert_eq!(drawn, told);
    }
}

#[test]
fn brackets_join_rails_of_one_supply_only() {
    let rig = file::large_modular().unwrap().variants[0].rig.as_ref().clone();
    let layout = drawn(&rig, 1000.0);
    let shared = returns::shared(&rig, &ZeroVolts::of(&rig), &layout);
    let analogue = shared.iter().max_by_key(|shared| shared.devices.len()).unwrap();
    // Those of the module itself, and those of the distributor that hangs on it.
    assert_eq!(analogue.brackets.len(), 2);
    let span: BTreeMap<i32, (f32, f32)> =
        analogue.brackets.iter().map(|(x, top, bottom)| (*x as i32, (*top, *bottom))).collect();
    let (outer, inner) = (span.values().next().unwrap(), span.values().nth(1).unwrap());
    assert!(outer.0 < inner.0 && inner.1 < outer.1, "{span:?}");
}

#[test]
fn the_way_of_a_loop_goes_by_all_of_its_units() {
    for rig in rigs() {
        let layout = drawn(&rig, 1000.0);
        for found in ground_loops(&rig) {
            let stretches = trace::trace(&rig, &layout, &found);
            let near = |rect: Rect| {
                let points = stretches.iter().flat_map(|stretch| &stretch.points);
                points.into_iter().filter(|p| rect.expand(8.0).contains(**p)).count() > 0
            };
            for device in found.devices() {
                if let Some(unit) = layout.unit(device) {
                    assert!(near(unit.rect), "{}: nothing leads to {device:?}: {stretches:?}", found.path);
                }
            }
        }
    }
}
