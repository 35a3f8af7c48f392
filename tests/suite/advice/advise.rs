//! Advice: each suggestion is what it says, what is proved is true, and the
//! player's wishes are kept.

use std::cell::Cell;
use std::sync::Arc;

use rigwright_core::advice::{Advice, AdviceQuestion, Wishes, advise};
use rigwright_core::cascade::LineCache;
use rigwright_core::compare::{Against, compare};
use rigwright_core::file;
use rigwright_core::findings::rules;
use rigwright_core::network::Sweep;
use rigwright_core::response::{Request, respond};
use rigwright_core::rig::{
    Device, DeviceId, Edit, Jack, JackRef, KeptOrder, Kind, Lead, Project, Variant, apply, problems,
};
use rigwright_core::states::Target;
use rigwright_core::watch::{Stopped, Unwatched, Watch};

use super::edited::{explored, worst_db};
use crate::rigs::{SC, amp, chain, real_cable, true_bypass};

const AMP_LEFT: DeviceId = DeviceId(16);

fn asked(project: &Project, variant: usize) -> AdviceQuestion {
    AdviceQuestion {
        variant: Arc::clone(&project.variants[variant]),
        controls: project.state.held(&project.variants[variant].rig),
        target: Target::Endpoint(JackRef::new(AMP_LEFT, Jack::In)),
        wishes: Wishes::default(),
        limits: project.limits,
    }
}

fn ask(question: &AdviceQuestion) -> Advice {
    advise(question, &mut LineCache::new(Sweep::audio()), &Unwatched).expect("nobody stops it")
}

/// The worst jump in dB that a player minds and the lead equivalent in metres of
/// a variant, worked out afresh.
fn afresh(project: &Project, variant: &Arc<Variant>, question: &AdviceQuestion) -> (Option<f64>, Option<f64>) {
    let mut cache = LineCache::new(Sweep::audio());
    let heard: Vec<f64> = cache.sweep().hz().iter().copied().filter(|hz| (40.0..=5_000.0).contains(hz)).collect();
    let rig = variant.rig.fuzzes_held_off(&question.limits);
    let mut jumps = LineCache::new(Sweep::at(&heard));
    let states = explored(&rig, &question.controls, question.target, &mut jumps).expect("it sounds");
    let request = Request { state: question.controls.clone(), ..Request::of(project, variant) };
    let response = respond(&request, &mut cache);
    let Target::Endpoint(jack) = question.target else { panic!("taken at an endpoint") };
    let end = response.endpoints.iter().find(|endpoint| endpoint.jack == jack).expect("the signal gets there");
    (worst_db(&states), end.at.lead_equivalent.as_ref().ok().copied())
}

#[test]
fn every_suggestion_is_what_it_says() {
    let project = file::demo().expect("the demo opens");
    let mut checked = 0;
    for index in 0..project.variants.len() {
        let question = asked(&project, index);
        let advice = ask(&question);
        let now = afresh(&project, &project.variants[index], &question);
        assert_eq!(advice.now.worst_jump.map(|(db, _, _)| db), now.0);
        assert_eq!(advice.now.lead_equivalent.as_ref().ok().copied(), now.1);
        for suggestion in advice.suggestions.iter().chain(&advice.practice) {
            let next = apply(&project, &suggestion.edit).expect(&suggestion.words);
            let (worst, metres) = afresh(&next, &next.variants[index], &question);
            let told = suggestion.after.worst_jump.map(|(db, _, _)| db);
            assert!((told.unwrap_or(0.0) - worst.unwrap_or(0.0)).abs() < 1e-9, "{}", suggestion.words);
            let told = suggestion.after.lead_equivalent.as_ref().ok().copied();
            assert_eq!(told.is_some(), metres.is_some(), "{}", suggestion.words);
            assert!((told.unwrap_or(0.0) - metres.unwrap_or(0.0)).abs() < 1e-6, "{}", suggestion.words);
            // What puts electronics in the way says that these want power.
            let brings = ["Put a buffer", "to buffered", "loop switcher"];
            let electronics = brings.iter().any(|words| suggestion.words.contains(words));
            assert_eq!(suggestion.needs.is_some(), electronics, "{}: {:?}", suggestion.words, suggestion.needs);
            // Other variants stay as they are.
            let others = project.variants.iter().zip(&next.variants).filter(|(old, _)| old.id != question.variant.id);
            others.for_each(|(old, new)| assert_eq!(old, new, "{}", suggestion.words));
            checked += 1;
        }
        for (at, suggestion) in advice.suggestions.iter().enumerate() {
            let worst = |figures: &rigwright_core::advice::Figures| figures.worst_jump.map_or(0.0, |(db, _, _)| db);
            let smaller = worst(&suggestion.after) <= worst(&advice.now) - 0.1 + 1e-9;
            let metres = |figures: &rigwright_core::advice::Figures| figures.lead_equivalent.clone();
            let less_dull = match (metres(&advice.now), metres(&suggestion.after)) {
                (Ok(now), Ok(after)) => after <= now - 0.1 + 1e-9,
                (Err(_), Ok(_)) => true,
                _ => false,
            };
            assert!(smaller || less_dull, "{} betters nothing", suggestion.words);
            assert!(advice.suggestions[..at].iter().all(|other| other.edit != suggestion.edit));
        }
    }
    assert!(checked >= 10, "{checked}");
}

/// A guitar, six true-bypass units, an amp: few enough to try all pairs of places.
fn small() -> (Project, AdviceQuestion) {
    let mut kinds = vec![("Guitar", Kind::Guitar(SC.guitar()))];
    kinds.extend((0..6).map(|_| ("Unit", true_bypass(40e-12))));
    kinds.push(("Amp", amp(1e6, 100e-12)));
    let rig = chain(kinds, &[5.0, 0.3, 0.2, 0.6, 0.2, 0.3, 6.0], &real_cable());
    let mut project = file::blank().expect("the blank rig opens");
    project.next_id = 5000;
    Arc::make_mut(&mut project.variants[0]).rig = Arc::new(rig);
    let question =
        AdviceQuestion { target: Target::Endpoint(JackRef::new(DeviceId(8), Jack::In)), ..asked(&project, 0) };
    (project, question)
}

/// "… than 2.66 dB." of what was proved about something.
fn proved(advice: &Advice, about: &str) -> f64 {
    let sentence = advice.proved.iter().find(|sentence| sentence.contains(about)).expect(about);
    let figure = sentence.split(" than ").last().and_then(|rest| rest.split(' ').next()).expect(sentence);
    figure.parse().expect(sentence)
}

/// Every place for one buffer and every pair of places, each rig really built and looked at in full.
#[test]
fn what_is_proved_of_buffers_is_what_trying_them_all_shows() {
    let (project, question) = small();
    let advice = ask(&question);
    let insert = advice.suggestions.iter().find_map(|suggestion| match &suggestion.edit {
        Edit::Insert { device, patch, .. } => Some((device.clone(), patch.clone())),
        _ => None,
    });
    let (buffer, patch) = insert.expect("a buffer is among what is suggested");
    let leads: Vec<Lead> = project.variants[0].rig.leads.clone();
    let put = |project: &Project, lead: &Lead, number: u64| {
        let mut device = buffer.clone();
        device.id = DeviceId(6000 + 2 * number);
        let patch = Lead { id: rigwright_core::rig::LeadId(6001 + 2 * number), ..(*patch).clone() };
        let edit = Edit::Insert { variant: question.variant.id, lead: lead.id, device, patch: Box::new(patch) };
        apply(project, &edit).expect("a lead takes a buffer")
    };
    let worst = |project: &Project| afresh(project, &project.variants[0], &question).0.unwrap_or(0.0);
    let (mut single, mut pair) = (f64::INFINITY, f64::INFINITY);
    for (number, first) in leads.iter().enumerate() {
        let one = put(&project, first, 0);
        single = single.min(worst(&one));
        for second in &leads[number + 1..] {
            pair = pair.min(worst(&put(&one, second, 1)));
        }
    }
    // It is told rounded to hundredths, never above what was found.
    let told = (proved(&advice, "one buffer"), proved(&advice, "two buffers"));
    assert!(told.0 <= single + 1e-9 && single - told.0 <= 0.01, "{told:?} {single}");
    assert!(told.1 <= pair + 1e-9 && pair - told.1 <= 0.01, "{told:?} {pair}");
}

/// A player reads both beside one another.
#[test]
fn the_worst_jump_is_the_one_that_is_found() {
    let project = file::demo().expect("the demo opens");
    let question = asked(&project, 0);
    let (db, device, hz) = ask(&question).now.worst_jump.expect("the demo jumps");
    let mut cache = LineCache::new(Sweep::audio());
    let rig = &project.variants[0].rig;
    let states = explored(rig, &question.controls, question.target, &mut cache).expect("it sounds");
    let asked = rigwright_core::findings::FindingsQuestion {
        variant: Arc::clone(&question.variant),
        controls: question.controls.clone(),
        target: question.target,
        limits: question.limits,
        volts: Default::default(),
        unfed: Default::default(),
    };
    let found = rigwright_core::findings::findings(&asked, Some(&states), &mut cache, &Unwatched).expect("let go on");
    let jump = found.iter().find(|one| one.rule == rules::TONE_JUMP).expect("it is found");
    assert_eq!((jump.about.devices[0], jump.about.hz), (device, Some(hz)));
    assert!(jump.text.contains(&format!(", +{db:.1} dB at ")), "{}, {db}", jump.text);
    let against = Against::Variant(project.variants[0].id);
    let comparison = compare(&project, &question.controls, against, &mut cache).expect("the base is there");
    let worst = comparison.variants[0].row.worst_jump.expect("the demo jumps");
    assert_eq!((worst.device(), worst.db.abs(), worst.hz), (device, db, hz));
    // All of them tell the same peak.
    let moved = worst.peak.told().expect("its peak moves");
    assert!(jump.text.contains(&format!(" on {moved}, ")), "{}, {moved}", jump.text);
}

/// The player's own limit says which input is a low-impedance fuzz's.
#[test]
fn a_fuzz_by_the_players_limit_is_kept_at_the_guitar() {
    let project = file::demo().expect("the demo opens");
    let mut question = asked(&project, 0);
    let cautions = |advice: &Advice| advice.suggestions.iter().filter(|one| one.caution.is_some()).count();
    assert!(cautions(&ask(&question)) > 0);
    // Below 1 kΩ there is none: nothing is said of it, and its switch counts like any other.
    question.limits.fuzz = rigwright_core::units::Ohms::of(1e3);
    let advice = ask(&question);
    let told = advice.suggestions.iter().filter_map(|one| one.caution.as_ref());
    assert!(told.clone().all(|caution| !caution.contains("behind a buffer")), "{:?}", told.collect::<Vec<_>>());
    let fuzz = project.variants[0].rig.devices.iter().find(|device| device.name == "Fuzz").expect("there is one").id;
    assert_eq!(advice.now.worst_jump.map(|(_, device, _)| device), Some(fuzz));
}

#[test]
fn kept_orders_are_kept() {
    let mut project = file::demo().expect("the demo opens");
    let rig = Arc::clone(&project.variants[0].rig);
    let id = |name: &str| rig.devices.iter().find(|device| device.name == name).expect(name).id;
    let kept = [
        KeptOrder { before: id("Compressor"), behind: id("Fuzz") },
        KeptOrder { before: id("Wah"), behind: id("Mild drive") },
    ];
    for variant in &mut project.variants {
        Arc::make_mut(variant).kept_orders = kept.into();
    }
    let mut moves = 0;
    for index in 0..project.variants.len() {
        let advice = ask(&asked(&project, index));
        for suggestion in advice.suggestions.iter().chain(&advice.practice) {
            moves += usize::from(suggestion.words.starts_with("Move"));
            let next = apply(&project, &suggestion.edit).expect(&suggestion.words);
            let order = along(&next.variants[index]);
            for KeptOrder { before, behind } in kept {
                let place = |id| order.iter().position(|other| *other == id).expect("it is on the way");
                assert!(place(before) < place(behind), "{}", suggestion.words);
            }
        }
    }
    assert!(moves > 0, "no move was suggested, so none was tested");
}

/// The devices from the guitar on, along the first output of each and through all loops.
fn along(variant: &Variant) -> Vec<DeviceId> {
    let rig = &variant.rig;
    let mut found = vec![rig.devices[0].id];
    let mut from = JackRef::new(rig.devices[0].id, Jack::Out);
    while let Some(lead) = rig.lead_from(from) {
        let to = rig.device(lead.to.device).expect("leads end at devices");
        if lead.to.jack == Jack::In {
            found.push(to.id);
        }
        from = match (&to.kind, lead.to.jack) {
            (Kind::Switcher(_), Jack::In) => JackRef::new(to.id, Jack::Send(1)),
            (Kind::Switcher(switcher), Jack::Return(number)) if number < switcher.loops => {
                let next = JackRef::new(to.id, Jack::Send(number + 1));
                if rig.lead_from(next).is_some() { next } else { JackRef::new(to.id, Jack::Out) }
            }
            _ => JackRef::new(to.id, Jack::Out),
        };
    }
    found
}

/// Every unit of the row in a loop, in the row's order, on for good; leads that there were
/// are used again, and the rig is as whole as before.
#[test]
fn a_loop_switcher_takes_the_units_in_order() {
    let demo = file::demo().expect("the demo opens");
    let (few, of_few) = small();
    for (project, question) in [(&demo, asked(&demo, 0)), (&few, of_few)] {
        let only = Wishes { buffers: 0, bypass: false, leads: false, order: false, ..Wishes::default() };
        let advice = ask(&AdviceQuestion { wishes: only, ..question.clone() });
        assert!(!advice.suggestions.is_empty(), "none betters the rig");
        for suggestion in &advice.suggestions {
            assert!(suggestion.words.contains("loop switcher"), "{}", suggestion.words);
            let besides = suggestion.besides.as_deref().expect("it says what else it does");
            assert!(besides.contains("switching loops out") && besides.contains(" mA at 9 V"), "{besides}");
            assert!(suggestion.cost.get() > 200.0 && suggestion.width.get() > 0.1, "{suggestion:?}");
            let next = apply(project, &suggestion.edit).expect(&suggestion.words);
            let (old, new) = (&project.variants[0], &next.variants[0]);
            assert_eq!(problems(&new.rig), problems(&old.rig), "{}", suggestion.words);
            let switcher =
                new.rig.devices.iter().find(|device| matches!(device.kind, Kind::Switcher(_))).expect("it is there");
            let order: Vec<DeviceId> = along(new).into_iter().filter(|id| *id != switcher.id).collect();
            assert_eq!(order, along(old), "{}", suggestion.words);
            let in_loops: Vec<&Device> =
                new.rig.devices.iter().filter(|device| !new.rig.loops_around(device.id).is_empty()).collect();
            assert!(in_loops.len() >= 6 && in_loops.iter().all(|device| device.stays_on), "{}", in_loops.len());
            assert!(
                old.rig.leads.iter().all(|lead| new.rig.lead(lead.id).is_some_and(|kept| kept.length == lead.length))
            );
            let more = new.rig.leads.len() - old.rig.leads.len();
            assert_eq!(more, in_loops.len() + 1, "a lead to each return, and one from the first send");
        }
    }
}

/// Lets it go on so many times.
struct Stop {
    at: usize,
    asked: Cell<usize>,
    last: Cell<f64>,
}

impl Watch for Stop {
    fn go_on(&self, done: f64) -> bool {
        assert!((self.last.get() - 1e-9..=1.0).contains(&done), "{} after {}", done, self.last.get());
        self.last.set(done);
        self.asked.set(self.asked.get() + 1);
        self.asked.get() <= self.at
    }
}

#[test]
fn told_to_stop_it_stops_whenever_that_is() {
    let project = file::demo().expect("the demo opens");
    let question = asked(&project, 0);
    let watch = |at| Stop { at, asked: Cell::new(0), last: Cell::new(0.0) };
    let all = watch(usize::MAX);
    advise(&question, &mut LineCache::new(Sweep::audio()), &all).expect("it is let go on");
    let times = all.asked.get();
    assert!(times > 20, "it says how far it is only {times} times");
    for at in [0, 1, 2, times / 4, times / 2, times - 1] {
        let stop = watch(at);
        assert_eq!(advise(&question, &mut LineCache::new(Sweep::audio()), &stop), Err(Stopped));
        assert_eq!(stop.asked.get(), at + 1, "it went on after it was told to stop");
    }
}
