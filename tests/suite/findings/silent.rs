//! Rigs in which nothing comes through, and what is said to silence them.

use rigwright_core::cascade::LineCache;
use rigwright_core::diagnosis::{Diagnosis, Severity};
use rigwright_core::findings::{findings, rules};
use rigwright_core::network::Sweep;
use rigwright_core::response::{Request, Silencer, silencers};
use rigwright_core::rig::{
    Bypass, Control, DeviceId, Jack, JackRef, Kind, Knob, Pedal, Pot, Project, Rig, Taper, Treadle, Tuner,
};
use rigwright_core::states::{Question as StatesQuestion, explore};
use rigwright_core::units::{Farads, Ohms, Turn};
use rigwright_core::watch::Unwatched;

use super::{only, project, question, target};
use crate::rigs::{SC, amp, bare_cable, buffer, chain, device, on, stage, true_bypass};

fn pot(ohms: f64) -> Pot {
    Pot::of(Ohms::of(ohms), Taper::Linear)
}

fn volume_pedal() -> Kind {
    Kind::Treadle(Treadle::PassiveVolume { pot: pot(250e3), wiring: Farads::of(0.0) })
}

fn rig(between: Vec<(&'static str, Kind)>) -> Rig {
    let mut guitar = SC.guitar();
    guitar.volume = Some(pot(250e3));
    let mut kinds = vec![("guitar", Kind::Guitar(guitar))];
    kinds.extend(between);
    kinds.push(("amp", amp(1e6, 0.0)));
    let metres = vec![1.0; kinds.len() - 1];
    chain(kinds, &metres, &bare_cable())
}

fn at_zero(mut project: Project, device: u64, control: Control) -> Project {
    project.state.turned.insert(Knob { device: DeviceId(device), control }, Turn::CLOSED);
    project
}

/// The findings with these units out of power.
fn unfed(project: &Project, ids: &[u64]) -> Vec<Diagnosis> {
    let mut cache = LineCache::new(Sweep::audio());
    let mut question = question(project, target(project).expect("an amp"));
    question.unfed = ids.iter().map(|id| DeviceId(*id)).collect();
    let states = StatesQuestion {
        rig: project.variants[0].rig.clone(),
        controls: project.state.clone(),
        target: question.target,
        unfed: question.unfed.clone(),
    };
    let states = explore(&states, &mut cache).ok();
    findings(&question, states.as_ref(), &mut cache, &Unwatched).expect("nobody stops it")
}

fn told(found: &[Diagnosis]) -> Vec<(&str, Severity)> {
    let silent = found.iter().filter(|finding| finding.rule == rules::SILENT);
    silent.map(|finding| (finding.text.as_str(), finding.severity)).collect()
}

#[test]
fn a_stage_without_power_is_named() {
    let project = project(rig(vec![("drive", true_bypass(0.0)), ("buffer", buffer(1e6, 100.0))]));
    assert!(told(&unfed(&project, &[])).is_empty());
    assert!(told(&unfed(&project, &[2])).is_empty(), "true bypass passes");
    let found = unfed(&project, &[2, 3]);
    assert_eq!(
        told(&found),
        [("Nothing comes through in any footswitch state: buffer has no feed.", Severity::Act)],
        "and not the drive, which passes"
    );
    assert_eq!(found[0].rule, rules::SILENT, "before all else");
    assert_eq!(found[0].about.devices, [DeviceId(3)]);
    assert!(found[0].why.contains("the Power screen feeds it"), "{}", found[0].why);
    let found = unfed(&project, &[3, 4]);
    assert_eq!(told(&found).len(), 1, "{found:?}");
}

#[test]
fn controls_at_zero_are_told_in_the_order_of_the_signal_and_are_no_fault() {
    let both = at_zero(project(rig(vec![("volume pedal", volume_pedal())])), 2, Control::Treadle);
    let both = at_zero(both, 1, Control::Volume);
    let finding = only(&both, rules::SILENT);
    assert_eq!(
        finding.text,
        "Nothing comes through in any footswitch state: the volume of guitar is at 0 and volume pedal has its heel down."
    );
    assert_eq!((finding.severity, finding.about.devices), (Severity::Know, vec![DeviceId(1), DeviceId(2)]));
}

#[test]
fn a_mute_that_stays_on_is_told_and_one_that_can_be_left_is_none() {
    let pedal = Pedal::of(Bypass::True, stage(1e6, 1e3), stage(1e6, 1e3), Farads::of(0.0));
    let mut rig = rig(vec![("tuner", Kind::Tuner(Tuner::Through { pedal, mutes: true }))]);
    assert!(told(&unfed(&project(rig.clone()), &[])).is_empty());
    rig.devices[1].stays_on = true;
    let finding = only(&project(rig), rules::SILENT);
    assert_eq!(
        finding.text,
        "Nothing comes through in any footswitch state: tuner mutes while it is on, and it stays on."
    );
    assert_eq!(finding.severity, Severity::Act);
}

#[test]
fn what_the_signal_does_not_come_through_silences_nothing() {
    // A volume pedal at its heel behind the test's target, and one that nothing is plugged into.
    let mut rig = rig(vec![("tap", true_bypass(0.0)), ("volume pedal", volume_pedal())]);
    rig.devices.push(device(9, "spare", volume_pedal()));
    let mut project = at_zero(project(rig), 3, Control::Treadle);
    project = at_zero(project, 9, Control::Treadle);
    project.state.positions = on(&[2]).positions;
    let request = Request::of(&project, &project.variants[0]);
    let at = |device: u64| silencers(&request, Some(JackRef::new(DeviceId(device), Jack::In)));
    assert_eq!(at(4), [Silencer::HeelDown(DeviceId(3))]);
    assert_eq!(at(3), [], "it stands behind that jack");
    assert_eq!(at(9), [], "no signal gets there");
}
