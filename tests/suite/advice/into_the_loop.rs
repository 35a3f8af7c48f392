//! Echo and the like into an amp's loop, as a second opinion.

use std::sync::Arc;

use rigwright_core::advice::{Advice, AdviceQuestion, Wishes, advise};
use rigwright_core::cascade::LineCache;
use rigwright_core::network::Sweep;
use rigwright_core::parts::catalogue;
use rigwright_core::rig::{
    Device, DeviceId, EffectsLoop, Jack, JackRef, Kind, Limits, LineLevel, Project, Rig, State, Variant, VariantId,
    apply, problems,
};
use rigwright_core::states::Target;
use rigwright_core::units::Decibels;
use rigwright_core::watch::Unwatched;

use crate::rigs::{chain, real_cable};

const AMP: DeviceId = DeviceId(5);

/// A guitar, a drive, a chorus, a delay and an amp with a loop.
fn rig(change: impl FnOnce(&mut EffectsLoop)) -> Rig {
    let part = |key: &str, id: u64| -> Device { catalogue().part(key).expect(key).device(DeviceId(id)) };
    let keys = ["single-coil-guitar", "mild-drive", "chorus-buffered", "compact-digital-delay", "valve-amp-loop"];
    let devices: Vec<Device> = keys.into_iter().zip(1..).map(|(key, id)| part(key, id)).collect();
    let kinds = devices.iter().map(|device| (device.name.as_str(), device.kind.clone())).collect();
    let mut rig = chain(kinds, &[5.0, 0.15, 0.15, 6.0], &real_cable());
    rig.devices.clone_from(&devices);
    let Kind::Amp(amp) = &mut rig.devices[4].kind else { panic!("no amp") };
    change(amp.effects_loop.as_mut().expect("it has a loop"));
    rig
}

fn ask(rig: Rig) -> (Project, Advice) {
    let project = Project::around(Arc::new(Variant::of(VariantId(900), "only", rig)), 1000);
    let question = AdviceQuestion {
        variant: Arc::clone(&project.variants[0]),
        controls: State::default(),
        target: Target::Endpoint(JackRef::new(AMP, Jack::In)),
        wishes: Wishes { buffers: 0, bypass: false, leads: false, switcher: false, ..Wishes::default() },
        limits: Limits::default(),
    };
    let advice = advise(&question, &mut LineCache::new(Sweep::audio()), &Unwatched).expect("nobody stops it");
    (project, advice)
}

fn into_the_loop(advice: &Advice) -> Option<&rigwright_core::advice::Suggestion> {
    advice.practice.iter().find(|usual| usual.words.contains("into the loop of"))
}

#[test]
fn what_stands_late_goes_into_an_empty_loop_by_two_leads() {
    let (project, advice) = ask(rig(|_| {}));
    let suggestion = into_the_loop(&advice).expect("a loop is free");
    let words = suggestion.words.as_str();
    assert!(words.starts_with("Put Chorus, buffered bypass and Compact digital delay into the loop of"), "{words}");
    assert!(words.contains(", by two leads of 6 m "), "{words}");
    assert!(suggestion.caution.as_ref().is_some_and(|caution| caution.contains("loops of screens")));
    let after = apply(&project, &suggestion.edit.resolved(project.next_id)).expect("it can be done");
    let rig = &after.variants[0].rig;
    assert!(problems(rig).is_empty(), "{:?}", problems(rig));
    let to = |from: (u64, Jack)| {
        let lead = rig.lead_from(JackRef::new(DeviceId(from.0), from.1)).expect("a lead");
        (lead.to.device.0, lead.to.jack, lead.length.get())
    };
    assert_eq!(to((2, Jack::Out)), (5, Jack::In, 6.0));
    assert_eq!(to((5, Jack::Send(1))), (3, Jack::In, 6.0));
    assert_eq!(to((3, Jack::Out)), (4, Jack::In, 0.15));
    assert_eq!(to((4, Jack::Out)), (5, Jack::Return(1), 6.0));
    // It can't be put there twice.
    assert!(into_the_loop(&ask((**rig).clone()).1).is_none());
}

#[test]
fn a_parallel_loop_or_one_for_line_level_is_no_place_for_them() {
    assert!(into_the_loop(&ask(rig(|way| way.dry = Some(Decibels::of(0.0)))).1).is_none());
    assert!(into_the_loop(&ask(rig(|way| way.send_gives = Some(LineLevel::PlusFour))).1).is_none());
    // Without a unit that stands late there is nothing to put there.
    let mut drives = rig(|_| {});
    for at in [2, 3] {
        let part = catalogue().part("mild-drive").expect("a drive");
        drives.devices[at] = part.device(drives.devices[at].id);
    }
    assert!(into_the_loop(&ask(drives).1).is_none());
}
