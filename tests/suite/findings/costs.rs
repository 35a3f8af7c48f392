//! What a fix gives up, in one sentence. [S: gives-up]

use rigwright_core::diagnosis::Diagnosis;
use rigwright_core::findings::rules;
use rigwright_core::parts::catalogue;
use rigwright_core::rig::{Bypass, Device, DeviceId, Kind, Rig, Tuner};

use super::{found, of, only, project, remedied, unit};
use crate::checks::board::board;
use crate::rigs::{SC, amp, bare_cable, buffer, chain};

#[track_caller]
fn gives_up<'a>(finding: &'a Diagnosis, words: &str) -> Option<&'a str> {
    let fix = finding.remedies.iter().find(|fix| fix.words.starts_with(words));
    fix.unwrap_or_else(|| panic!("no fix “{words}…” in {:#?}", finding.remedies)).gives_up.as_deref()
}

fn selectable(bypass: Bypass) -> Kind {
    let mut kind = unit(bypass, 1e6, 1e6, 1e3);
    let Kind::Pedal(pedal) = &mut kind else { unreachable!() };
    pedal.selectable = vec![Bypass::True, Bypass::Buffered];
    kind
}

fn fuzz() -> Kind {
    unit(Bypass::True, 1e6, 10e3, 1e3)
}

fn tuner(bypass: Bypass) -> Kind {
    let Kind::Pedal(pedal) = unit(bypass, 1e6, 1e6, 1e3) else { unreachable!() };
    Kind::Tuner(Tuner::Through { pedal, mutes: true })
}

fn row(between: Vec<(&'static str, Kind)>, metres: &[f64]) -> Rig {
    let mut kinds = vec![("guitar", Kind::Guitar(SC.guitar()))];
    kinds.extend(between);
    kinds.push(("amp", amp(1e6, 0.0)));
    chain(kinds, metres, &bare_cable())
}

/// What rings on after an echo or a reverb is switched off needs its buffer.
#[test]
fn true_bypass_cuts_a_tail() {
    let rig = |name| row(vec![(name, selectable(Bypass::Buffered)), ("fuzz", fuzz())], &[5.0, 0.0, 0.0]);
    let words = |name: &'static str| {
        let finding = only(&project(rig(name)), rules::BUFFER_BEFORE_FUZZ);
        gives_up(&finding, &format!("Set {name} to true bypass")).map(str::to_owned)
    };
    assert_eq!(words("hall reverb").as_deref(), Some("Switched off, hall reverb cuts its tail short."));
    assert_eq!(words("echo").as_deref(), Some("Switched off, echo cuts its tail short."));
    let other = "While off, drive no longer keeps what stands behind it off the guitar.";
    assert_eq!(words("drive").as_deref(), Some(other));
    // By its part, whatever it is called.
    let mut named = rig("drive");
    let part = catalogue().part("hall-reverb").expect("the catalogue has one");
    named.devices[1] = Device { name: "Cathedral".to_owned(), ..part.device(DeviceId(2)) };
    let finding = only(&project(named), rules::BUFFER_BEFORE_FUZZ);
    let tail = "Switched off, Cathedral cuts its tail short.";
    assert_eq!(gives_up(&finding, "Set Cathedral to true bypass"), Some(tail));
}

/// A tuner wants the strings: a fuzz goes behind one that is a plain wire while
/// off, and where it has to go before the tuner, that is said.
#[test]
fn a_fuzz_in_front_goes_behind_the_tuner() {
    let units = |first| vec![("tuner", first), ("drive", unit(Bypass::True, 1e6, 1e6, 1e3)), ("fuzz", fuzz())];
    let dull = |first| only(&project(row(units(first), &[5.0, 0.5, 0.5, 8.0])), rules::DULL_ALL_OFF);
    let before = project(row(units(tuner(Bypass::True)), &[5.0, 0.5, 0.5, 8.0]));
    let finding = dull(tuner(Bypass::True));
    let fix = finding.remedies.iter().find(|fix| fix.words.starts_with("Move fuzz")).expect("a move");
    assert!(fix.words.starts_with("Move fuzz behind tuner and put a buffer behind it: "), "{}", fix.words);
    let after = remedied(&before, fix);
    let names: Vec<&str> = {
        let rig = &after.variants[0].rig;
        rig.leads.iter().filter_map(|lead| Some(rig.device(lead.to.device)?.name.as_str())).collect()
    };
    let place = |name: &str| names.iter().position(|other| *other == name).unwrap();
    assert!(place("tuner") < place("fuzz") && place("fuzz") < place("drive"), "{names:?}");
    assert_eq!(fix.gives_up.as_deref(), Some("drive then shapes what comes out of fuzz, and no longer what goes in."));

    // One with a buffer would keep the guitar from it.
    let finding = only(
        &project(row(vec![("tuner", tuner(Bypass::Buffered)), ("fuzz", fuzz())], &[5.0, 0.0, 0.0])),
        rules::BUFFER_BEFORE_FUZZ,
    );
    let hears = "tuner then stands behind it and, while fuzz is on, hears that and not the strings.";
    assert_eq!(gives_up(&finding, "Move fuzz before tuner"), Some(hears));
}

#[test]
fn a_buffer_wants_power_and_a_lead_has_to_reach() {
    let finding = only(&project(board(SC)), rules::DULL_ALL_OFF);
    let power = Some("It needs power: without, nothing comes through.");
    assert_eq!(gives_up(&finding, "Put a buffer after the guitar's lead"), power);
    assert_eq!(gives_up(&finding, "Use a low-capacitance lead to amp"), Some("It is a lead to buy."));
    let finding = only(&project(row(Vec::new(), &[12.0])), rules::DULL_ALL_OFF);
    let reach = Some("It has to reach from where you stand to the board.");
    assert_eq!(gives_up(&finding, "Use a lead of 3 m"), reach);
}

#[test]
fn a_bypass_that_becomes_a_buffer_wants_power_too() {
    let units = vec![("drive", selectable(Bypass::True))];
    let finding = of(&project(row(units, &[5.0, 8.0])), rules::TONE_JUMP).remove(0);
    let power = Some("Off, it then passes nothing without power.");
    assert_eq!(gives_up(&finding, "Set drive to buffered bypass"), power);
}

#[test]
fn a_buffer_that_goes_may_be_wanted_again() {
    let units = vec![("one", buffer(1e6, 100.0)), ("two", buffer(1e6, 100.0))];
    let all = of(&project(row(units, &[5.0, 0.0, 0.0])), rules::USELESS_BUFFER);
    let again = Some("Longer leads or more units behind it may want one again.");
    assert_eq!(gives_up(&all[0], "Take "), again);
}

/// No more than one sentence each.
#[test]
fn one_sentence_each() {
    let mut said = 0;
    for project in [project(board(SC)), rigwright_core::file::demo().expect("the demo opens")] {
        for fix in found(&project).iter().flat_map(|finding| &finding.remedies) {
            let Some(gives_up) = &fix.gives_up else { continue };
            assert!(gives_up.ends_with('.') && !gives_up.trim_end_matches('.').contains(". "), "{gives_up}");
            said += 1;
        }
    }
    assert!(said > 4, "{said}");
}
