//! The demo's daisy lead as one fact, and cures that are changes.

use std::sync::Arc;

use super::*;
use crate::file;
use crate::ground::{Likelihood, count, ground_loops};
use crate::power::check;
use crate::rig::{Edit, Project, apply};

fn told(project: &Project) -> (Vec<GroundLoop>, Hum) {
    let variant = &project.variants[0];
    let headroom = Headroom::of(&project.limits);
    let (loops, check) = (ground_loops(&variant.rig), check(&variant.rig, &headroom));
    let found = hum(&HumQuestion { variant, loops: &loops, check: &check, headroom: &headroom });
    (loops, found)
}

/// How likely the likeliest of the loops is heard that are told.
fn likelihood(loops: &[GroundLoop], told: &Diagnosis) -> Likelihood {
    told.about.loops.iter().map(|at| loops[*at].likelihood).min().unwrap()
}

fn changed(project: &Project, edit: &Edit) -> Project {
    apply(project, edit).unwrap()
}

#[test]
fn every_loop_is_told_once() {
    for project in [file::demo().unwrap(), file::few_on_a_daisy().unwrap(), file::large_modular().unwrap()] {
        let (loops, found) = told(&project);
        let mut all: Vec<usize> = found.told.iter().flat_map(|fact| fact.about.loops.iter().copied()).collect();
        all.sort_unstable();
        assert!(all.iter().copied().eq(0..loops.len()), "{all:?}");
        assert!(found.told.is_sorted_by_key(|fact| likelihood(&loops, fact)), "the likeliest first");
    }
}

#[test]
fn the_loops_of_one_daisy_lead_are_one_fact_with_the_change_that_breaks_most() {
    let demo = file::demo().unwrap();
    let (loops, found) = told(&demo);
    let fact = found.told.iter().find(|fact| fact.text.contains("Daisy adaptor")).unwrap();
    // Six units on it, and the patch leads between them.
    assert_eq!(fact.about.loops.len(), 5, "{}", fact.text);
    assert!(fact.text.starts_with("Tuner, Compressor, Wah and 3 more share a daisy lead of Daisy adaptor with a digital unit, and their leads close 5 loops of up to "), "{}", fact.text);
    // One outlet is free, and the tuner is what the others want to be rid of.
    let remedy = &fact.remedies[0];
    assert_eq!(remedy.words, "Move Tuner to outlet 5 of Isolated supply: 1 of the 5 loops gone");
    let after = changed(&demo, remedy.edit.as_ref().unwrap());
    assert_eq!(count(&after.variants[0].rig), loops.len() - 1);
    let (after_loops, after) = told(&after);
    let left = after.told.iter().find(|fact| fact.text.contains("Daisy adaptor")).unwrap();
    assert!(likelihood(&after_loops, left) > likelihood(&loops, fact), "{}", left.text);
    assert!(fact.remedies[1].edit.is_none());
}

/// Six units on one adaptor, five free isolated outlets beside it: one change breaks all five loops.
#[test]
fn as_many_units_move_as_there_are_free_outlets() {
    let mut project = file::demo().unwrap();
    let variant = Arc::make_mut(&mut project.variants[0]);
    let rig = Arc::make_mut(&mut variant.rig);
    rig.feeds.retain(|feed| feed.is_daisy() && feed.taps.len() == 6);
    rig.leads.retain(|lead| lead.length < crate::units::Metres::of(1.0));
    let (loops, found) = told(&project);
    assert_eq!((loops.len(), found.told.len()), (5, 1));
    let edit = found.told[0].remedies[0].edit.as_ref().unwrap();
    assert!(found.told[0].remedies[0].words.ends_with(": all 5 loops gone"), "{:?}", found.told[0].remedies);
    assert_eq!(count(&changed(&project, edit).variants[0].rig), 0);
}

#[test]
fn what_is_no_loop_stands_first() {
    let (_, found) = told(&file::demo().unwrap());
    assert_eq!(found.first.question, "Does it hum with the guitar's volume at 0?");
    assert_eq!(found.first.no_loops.len(), 3);
    assert!(found.first.no_loops[1].contains("Wah") && found.first.no_loops[1].contains("Isolated supply"));
    assert!(found.first.no_loops[2].contains("screen is open"));
}

fn by_two_earths(found: &Hum) -> &Diagnosis {
    let by_amps = |fact: &&Diagnosis| fact.text.starts_with("Amp left and Amp right are both earthed");
    found.told.iter().find(by_amps).unwrap()
}

/// Both amps behind the buffered splitter: a transformer can be put in, and the loop is gone.
#[test]
fn a_transformer_is_put_into_the_lead_to_an_amp() {
    let demo = file::demo().unwrap();
    let (loops, found) = told(&demo);
    let fact = by_two_earths(&found);
    let transformer = fact.remedies.iter().find(|remedy| remedy.edit.is_some()).unwrap();
    assert_eq!(transformer.words, "Put an isolating transformer in the lead from Splitter to Amp left");
    assert!(fact.remedies[0].words.contains("one distribution of one circuit, if its rating allows"));
    let after = changed(&demo, transformer.edit.as_ref().unwrap());
    let rig = &after.variants[0].rig;
    assert_eq!(ground_loops(rig).len(), loops.len() - 1);
    // On the board, at the near end of the long lead.
    let new = rig.devices.iter().find(|device| device.part == "instrument-transformer").unwrap();
    let long = rig.leads.iter().find(|lead| lead.from.device == new.id).unwrap();
    assert!(long.length >= crate::units::Metres::of(6.0));
}

/// The house desk and the right amp are both earthed, and the DI box's switch joins them.
#[test]
fn a_ground_lift_is_set_by_a_button() {
    let demo = file::demo().unwrap();
    let (loops, found) = told(&demo);
    let fact = found.told.iter().find(|fact| fact.text.contains("the desk are both earthed")).unwrap();
    assert_eq!(fact.remedies[0].words, "Set the ground lift of DI box");
    let after = changed(&demo, fact.remedies[0].edit.as_ref().unwrap());
    let left = ground_loops(&after.variants[0].rig);
    assert_eq!(left.len(), loops.len() - 1);
    assert!(left.iter().all(|each| !each.path.contains("desk")));
}

/// With a passive splitter the guitar drives the amps' leads: a buffer goes before the transformer.
#[test]
fn a_buffer_goes_before_a_transformer_where_a_guitar_drives_the_lead() {
    let mut project = file::demo().unwrap();
    let rig = Arc::make_mut(&mut Arc::make_mut(&mut project.variants[0]).rig);
    // As it was before the DI box: the splitter's second side goes straight to the right amp.
    let di = rig.devices.iter().find(|device| device.name == "DI box").unwrap().id;
    rig.leads.retain(|lead| lead.to.device != di);
    let splitter_out = crate::rig::JackRef::new(
        rig.devices.iter().find(|device| device.name == "Splitter").unwrap().id,
        crate::rig::Jack::SecondOut,
    );
    rig.leads.iter_mut().filter(|lead| lead.from.device == di).for_each(|lead| lead.from = splitter_out);
    rig.devices.retain(|device| device.id != di);
    let splitter = crate::parts::catalogue().part("passive-splitter").unwrap().kind.clone();
    let from = rig.devices[0].id;
    let at = rig.devices.iter().position(|device| device.name == "Splitter").unwrap();
    rig.devices[at].kind = splitter;
    let (to, amps) = (rig.devices[at].id, rig.devices.clone());
    let ids =
        |id| amps.iter().any(|device| device.id == id && (matches!(device.kind, crate::rig::Kind::Amp(_)) || id == to));
    rig.leads.retain(|lead| ids(lead.from.device) && ids(lead.to.device));
    let mut first = rig.leads[0].clone();
    first.id = crate::rig::LeadId(project.next_id);
    first.from = crate::rig::JackRef::new(from, crate::rig::Jack::Out);
    first.to = crate::rig::JackRef::new(to, crate::rig::Jack::In);
    rig.leads.push(first);
    project.next_id += 1;
    let (loops, found) = told(&project);
    assert_eq!(loops.len(), 1);
    let fact = by_two_earths(&found);
    let remedy = fact.remedies.iter().find(|remedy| remedy.edit.is_some()).unwrap();
    assert!(remedy.words.starts_with("Put a buffer and behind it an isolating transformer in the lead from Splitter"));
    let after = changed(&project, remedy.edit.as_ref().unwrap());
    let rig = &after.variants[0].rig;
    assert_eq!(ground_loops(rig).len(), 0);
    let part = |part: &str| rig.devices.iter().find(|device| device.part == part).unwrap().id;
    let between = |lead: &&crate::rig::Lead| {
        (lead.from.device, lead.to.device) == (part("buffer"), part("instrument-transformer"))
    };
    assert_eq!(rig.leads.iter().filter(between).count(), 1, "the buffer stands before the transformer");
}
