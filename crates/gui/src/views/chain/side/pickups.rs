//! A guitar's pickups, and what joins them: names, controls of their own, the selector's positions,
//! push-pulls.

use egui::{CollapsingHeader, Id, Role, Ui, WidgetInfo};
use rigwright_core::parts::usual_pickups::{BLEND, COILS_APART, POT, PREAMPLIFIER, TONE, other, place};
use rigwright_core::rig::{
    Device, Edit, Guitar, JoinedPickup, Kind, MOST_PICKUPS, MOST_PUSH_PULLS, OwnVolumes, Pickup, PickupWiring,
    Position, PushPull, SelectorPosition, free_name,
};

use super::choices::{bleed, choose, have, taper};
use super::inspector::set;
use super::naming;
use crate::state::Change;
use crate::views::{Facts, Intent};
use crate::widgets::{panel, small};

/// What the first two pickups are called where nobody has called them anything.
const NAMES: [&str; 2] = ["bridge", "neck"];

/// All of them, folded away where there is but one pickup.
pub fn pickups(ui: &mut Ui, facts: &Facts<'_>, device: &Device, out: &mut Vec<Intent>) {
    let Kind::Guitar(guitar) = &device.kind else { return };
    let mut changed = guitar.clone();
    let title = "Pickups and what joins them";
    CollapsingHeader::new(title).default_open(guitar.pickup_wiring.is_some()).show(ui, |ui| {
        each(ui, facts, device, &mut changed, out);
        if changed.pickup_wiring.is_some() {
            selector(ui, facts, device, &mut changed, out);
            push_pulls(ui, &mut changed);
            if let Some(wiring) = &mut changed.pickup_wiring {
                have(ui, "a blend between the first two", &mut wiring.blend, BLEND);
                have(ui, "a preamplifier behind them", &mut wiring.preamplifier, PREAMPLIFIER);
            }
        }
    });
    if changed != *guitar {
        let kind = Kind::Guitar(changed);
        out.push(set(facts, Device { kind, ..device.clone() }, format!("change the pickups of {}", device.name)));
    }
}

/// Each pickup by itself.
fn each(ui: &mut Ui, facts: &Facts<'_>, device: &Device, guitar: &mut Guitar, out: &mut Vec<Intent>) {
    let count = guitar.pickup_wiring.as_deref().map_or(1, PickupWiring::pickups);
    let mut removed = None;
    for number in 1..=count {
        ui.push_id(number, |ui| {
            if let Some(wiring) = &guitar.pickup_wiring {
                ui.horizontal(|ui| {
                    let name = wiring.own(number).map_or("", |own| own.name.as_str());
                    let id = Id::unique(("name of a pickup", device.id.0, number));
                    let label = format!("Name of pickup {number} of {}", device.name);
                    let renamed = |name| {
                        let mut changed = wiring.clone();
                        changed.own_mut(number).into_iter().for_each(|own| own.name = String::clone(&name));
                        rewired(facts, device, changed, "rename a pickup")
                    };
                    naming::name(ui, (id, &label, name), 120.0, renamed, out);
                    // Selector and push-pulls count pickups from the first on.
                    if number == count && number > 1 {
                        let less = ui.add(small::button("Take out"));
                        less.widget_info(|| {
                            WidgetInfo::labeled(Role::Button, true, format!("Take out pickup {number}"))
                        });
                        removed = less.clicked().then_some(number).or(removed);
                    }
                });
            }
            own(ui, guitar, number);
        });
    }
    if removed.is_some()
        && let Some(wiring) = &mut guitar.pickup_wiring
    {
        wiring.others.pop();
        if wiring.others.is_empty() {
            guitar.pickup_wiring = None;
        }
    }
    let room = count < MOST_PICKUPS;
    if ui.add_enabled(room, small::button("One more pickup")).clicked() {
        let another = other(guitar);
        let wiring = guitar.pickup_wiring.get_or_insert_with(|| Box::new(PickupWiring::of(NAMES[0])));
        wiring.others.push(another);
        if let [second] = &mut wiring.others[..] {
            NAMES[1].clone_into(&mut second.own.name);
            let position = |name: &str, pickups: &[u8]| SelectorPosition {
                name: name.to_owned(),
                pickups: pickups.iter().map(|pickup| JoinedPickup::of(*pickup)).collect(),
                in_series: false,
            };
            wiring.selector = vec![position(NAMES[0], &[1]), position("both", &[1, 2]), position(NAMES[1], &[2])];
        }
    }
}

/// What one pickup is and has.
fn own(ui: &mut Ui, guitar: &mut Guitar, number: u8) {
    if let Some(own) = guitar.pickup_wiring.as_mut().and_then(|wiring| wiring.own_mut(number)) {
        have(ui, "a volume of its own", &mut own.volume, POT);
        if let Some(volume) = &mut own.volume {
            taper(ui, "its volume’s taper", &mut volume.taper);
            ui.checkbox(&mut volume.no_load, NO_LOAD);
            bleed(ui, &mut own.treble_bleed);
        }
        have(ui, "a tone of its own", &mut own.tone, TONE);
        if let Some(tone) = &mut own.tone {
            taper(ui, "its tone’s taper", &mut tone.pot.taper);
            ui.checkbox(&mut tone.pot.no_load, NO_LOAD);
        }
    }
    let pickup: Option<&mut Pickup> = match number {
        1 => Some(&mut guitar.pickup),
        at => guitar
            .pickup_wiring
            .as_mut()
            .and_then(|wiring| wiring.others.get_mut(usize::from(at) - 2))
            .map(|other| &mut other.pickup),
    };
    let Some(pickup) = pickup else { return };
    have(ui, "where it stands is known", &mut pickup.place, place(number));
    if let Some(place) = &mut pickup.place {
        have(ui, "it has two coils", &mut place.coils_apart, COILS_APART);
    }
}

/// A pot whose track is cut at its full end.
pub const NO_LOAD: &str = "no load at the full end";

/// What each position of the selector joins.
fn selector(ui: &mut Ui, facts: &Facts<'_>, device: &Device, guitar: &mut Guitar, out: &mut Vec<Intent>) {
    let Some(wiring) = &mut guitar.pickup_wiring else { return };
    let has_own = (1..=wiring.pickups()).any(|number| wiring.own(number).is_some_and(|own| own.volume.is_some()));
    if has_own {
        choose(ui, "their volumes", &mut wiring.own_volumes, &OwnVolumes::ALL.map(|way| (way, way.name())));
    }
    let drawn = wiring.clone();
    for (at, position) in wiring.selector.iter_mut().enumerate() {
        ui.push_id(("position", at), |ui| {
            let id = Id::unique(("name of a position", device.id.0, at));
            let label = format!("Name of position {} of the selector of {}", at + 1, device.name);
            let renamed = |name: String| {
                let mut changed = drawn.clone();
                changed.selector[at].name = name;
                rewired(facts, device, changed, "rename a position of the selector")
            };
            naming::name(ui, (id, &label, &drawn.selector[at].name), 160.0, renamed, out);
            ui.indent("joins", |ui| joins(ui, &drawn, position));
        });
    }
    ui.horizontal_wrapped(|ui| {
        let room = wiring.selector.len() < Position::MOST;
        if ui.add_enabled(room, small::button("One more position")).clicked() {
            let is_taken = |name: &str| wiring.selector.iter().any(|there| there.name == name);
            let (name, pickups) = (free_name("position", is_taken), vec![JoinedPickup::of(1)]);
            wiring.selector.push(SelectorPosition { name, pickups, in_series: false });
        }
        // Sounds count positions from the first on: only the last can go without moving others.
        let last = small::button("Take out the last position");
        if ui.add_enabled(!wiring.selector.is_empty(), last).clicked() {
            wiring.selector.pop();
        }
    });
    if wiring.selector.is_empty() {
        panel::quiet(ui, "No selector: all pickups are joined for good.");
    }
}

/// Which pickups one position joins, and how.
fn joins(ui: &mut Ui, wiring: &PickupWiring, position: &mut SelectorPosition) {
    for number in 1..=wiring.pickups() {
        let name = wiring.name(number);
        ui.horizontal_wrapped(|ui| {
            let at = position.pickups.iter().position(|one| one.pickup == number);
            let mut is_joined = at.is_some();
            if ui.checkbox(&mut is_joined, &name).clicked() {
                match at {
                    Some(at) => _ = position.pickups.remove(at),
                    None => position.pickups.push(JoinedPickup::of(number)),
                }
            }
            let Some(one) = position.pickups.iter_mut().find(|one| one.pickup == number) else { return };
            for (value, words) in [(&mut one.turned_over, "turned over"), (&mut one.half, "one coil")] {
                let hit = ui.toggle_value(value, words);
                let said = format!("{name}: {words} in “{}”", position.name);
                let is_on = *value;
                hit.widget_info(|| WidgetInfo::selected(Role::CheckBox, true, is_on, &said));
            }
        });
    }
    if position.pickups.len() > 1 {
        ui.checkbox(&mut position.in_series, "in series");
    }
}

/// What each push-pull does.
fn push_pulls(ui: &mut Ui, guitar: &mut Guitar) {
    let Some(wiring) = &mut guitar.pickup_wiring else { return };
    let options: Vec<(PushPull, String)> = (1..=wiring.pickups())
        .flat_map(|pickup| {
            let name = wiring.name(pickup);
            [
                (PushPull::Half { pickup }, format!("one coil of {name}")),
                (PushPull::TurnOver { pickup }, format!("turns {name} over")),
                (PushPull::Add { pickup }, format!("adds {name}")),
            ]
        })
        .chain([
            (PushPull::InSeries, "puts them in series".to_owned()),
            (PushPull::NoTone, "takes the tone out".to_owned()),
        ])
        .collect();
    let options: Vec<(PushPull, &str)> = options.iter().map(|(does, words)| (*does, words.as_str())).collect();
    for (at, does) in wiring.push_pulls.iter_mut().enumerate() {
        choose(ui, &format!("push-pull {}", at + 1), does, &options);
    }
    ui.horizontal_wrapped(|ui| {
        let room = wiring.push_pulls.len() < usize::from(MOST_PUSH_PULLS);
        if ui.add_enabled(room, small::button("One more push-pull")).clicked() {
            wiring.push_pulls.push(PushPull::InSeries);
        }
        if ui.add_enabled(!wiring.push_pulls.is_empty(), small::button("Take out the last push-pull")).clicked() {
            wiring.push_pulls.pop();
        }
    });
}

/// The change that joins a guitar's pickups as given.
fn rewired(facts: &Facts<'_>, device: &Device, wiring: Box<PickupWiring>, step: &str) -> Change {
    let mut changed = device.clone();
    if let Kind::Guitar(guitar) = &mut changed.kind {
        guitar.pickup_wiring = Some(wiring);
    }
    let edit = Edit::SetDevice { variant: facts.variant.id, device: Box::new(changed) };
    Change::new(format!("{step} of {}", device.name), edit)
}
