//! The least supplies: against every set of a short list, and the hard case over the whole catalogue.

use std::collections::BTreeSet;
use std::sync::Arc;

use rigwright_tests::Dice;

use super::brute::all_can_be_fed;
use super::*;
use crate::diagnosis::Severity;
use crate::parts::{Part, catalogue};
use crate::power::allocate::modules::loose;
use crate::power::{Headroom, Least, LeastAnswer, LeastQuestion, Rules, Weight, check, least};
use crate::rig::{Project, Variant, VariantId, apply};
use crate::watch::Unwatched;

const FREE: u64 = 1000;

fn question(rig: &Rig, rules: &Rules, least_of: Least, parts: Option<&[&str]>) -> LeastQuestion {
    LeastQuestion {
        rig: Arc::new(rig.clone()),
        rules: rules.clone(),
        least: least_of,
        keep: false,
        batteries: false,
        parts: parts.map(|keys| keys.iter().map(|key| (*key).to_owned()).collect()),
    }
}

fn ask(rig: &Rig, rules: &Rules, least_of: Least, parts: Option<&[&str]>) -> LeastAnswer {
    least(&question(rig, rules, least_of, parts), &Unwatched).unwrap()
}

/// What a set costs, what is asked for first.
fn costs(part: &Part, least: Least) -> (u64, u64) {
    let cents = (part.body.price.get() * 100.0).round() as u64;
    let plugs = u64::from(matches!(part.power, Power::Mains(_)));
    let area = part.body.size.metres().map_or(0, |[width, length, _]| (width * length * 1e6).round() as u64);
    match least {
        Least::Money => (cents, 1),
        Least::Boxes => (1, cents),
        Least::MainsPlugs => (plugs, cents),
        Least::BoardArea => (area, cents),
    }
}

fn sum(parts: &[&Part], counts: &[usize], least: Least) -> (u64, u64) {
    parts.iter().zip(counts).fold((0, 0), |sum, (part, count)| {
        let cost = costs(part, least);
        (sum.0 + cost.0 * *count as u64, sum.1 + cost.1 * *count as u64)
    })
}

/// The rules with headroom as a must, and, where it is to be quiet, what is wished for too.
fn held(rules: &Rules, quiet: bool) -> Rules {
    let must = |weight: Weight| if quiet && weight == Weight::Wish { Weight::Must } else { weight };
    let margin = if rules.margin == Weight::Wish { Weight::Must } else { rules.margin };
    Rules { keep_apart: must(rules.keep_apart), few_gains: must(rules.few_gains), margin, ..rules.clone() }
}

/// Every set of up to so many boxes, the cheapest first, until one feeds all units: each
/// way of plugging them in is tried, apart from the search that is tested.
fn brute(rig: &Rig, rules: &Rules, parts: &[&Part], least: Least, most: usize, quiet: bool) -> Option<(u64, u64)> {
    let mut sets: Vec<Vec<usize>> = vec![vec![0; parts.len()]];
    let mut last = sets.clone();
    for _ in 0..most {
        let next: BTreeSet<Vec<usize>> =
            last.iter().flat_map(|set| (0..parts.len()).map(move |at| with(set.clone(), |set| set[at] += 1))).collect();
        last = next.into_iter().collect();
        sets.extend(last.iter().cloned());
    }
    sets.sort_by_key(|set| (sum(parts, set, least), set.clone()));
    let held = held(rules, quiet);
    let feeds = |set: &Vec<usize>| {
        let mut whole = rig.clone();
        let copies = parts.iter().zip(set).flat_map(|(part, count)| (0..*count).map(move |_| *part));
        whole.devices.extend((FREE..).zip(copies).map(|(id, part)| part.device(DeviceId(id))));
        all_can_be_fed(&whole, &Rules { across: false, ..held.clone() })
    };
    sets.iter().find(|set| feeds(set)).map(|set| sum(parts, set, least))
}

/// A few units of usual kinds.
fn units_of(dice: &mut Dice, count: usize) -> Vec<Device> {
    let need = |dice: &mut Dice| {
        let ma = dice.pick(&[1.0, 10.0, 20.0, 40.0]);
        match dice.below(9) {
            0 => needs(vec![way(18.0, 18.0, CentreNegative, ma, ma)]),
            1 => needs(vec![way(9.0, 9.0, Alternating, 200.0, 300.0)]),
            2 => with(nine(1.0), |need| (need.positive_ground, need.apart) = (true, Apart::Everybody)),
            3 | 4 => with(nine(150.0), |need| (need.digital, need.apart) = (true, Apart::OtherKind)),
            5 => needs(vec![way(9.0, 18.0, CentreNegative, ma, 2.0 * ma)]),
            _ => nine(ma),
        }
    };
    let device = |id, dice: &mut Dice| {
        let mut device = unit(id, need(dice));
        if dice.chance(0.4) {
            device.part = "mild-drive".to_owned();
        }
        device
    };
    (10..10 + count as u64).map(|id| device(id, dice)).collect()
}

#[test]
fn no_cheaper_set_of_a_short_list_does() {
    let lists: [&[&str]; 5] = [
        &["shared-eight", "ac-adaptor-9v"],
        &["wall-adaptor-9v", "wall-adaptor-18v", "ac-adaptor-9v", "isolated-five", "shared-eight"],
        &["hub-24v", "module-four", "module-ac", "wall-adaptor-9v", "isolated-four"],
        &["wall-adaptor-9v", "ac-adaptor-9v", "isolating-converter", "voltage-doubler", "distributor-five"],
        &["mixed-eight", "two-group-eight", "linear-eight", "wall-adaptor-9v", "module-strong", "hub-24v"],
    ];
    let (mut kinds, mut loud) = (BTreeSet::new(), 0);
    for seed in 0..150 {
        let dice = &mut Dice::new(seed ^ 0x500);
        let keys = lists[seed as usize % lists.len()];
        let parts: Vec<&Part> = keys.iter().map(|key| catalogue().part(key).unwrap()).collect();
        let count = 1 + dice.below(4);
        let rig = rig(units_of(dice, count), Vec::new());
        let weight = |dice: &mut Dice| dice.pick(&[Weight::Wish, Weight::Wish, Weight::Must, Weight::Nothing]);
        let (most_plugs, keep_apart, few_gains) = (dice.pick(&[1, 1, 3]), weight(dice), weight(dice));
        let rules = Rules { most_plugs, keep_apart, few_gains, ..Rules::default() };
        let least_of = Least::ALL[dice.below(4)];
        let answer = ask(&rig, &rules, least_of, Some(keys));
        assert!(answer.proved, "case {seed}");
        let asked = with(rig.clone(), |rig| rig.devices.retain(|device| !answer.hopeless.contains(&device.id)));
        for id in &answer.hopeless {
            let alone = with(rig.clone(), |rig| rig.devices.retain(|device| device.id == *id));
            assert_eq!(brute(&alone, &rules, &parts, least_of, 2, false), None, "case {seed}: {id:?} can be fed");
        }
        let most = if parts.len() > 5 { 3 } else { 4 };
        let expected = brute(&asked, &rules, &parts, least_of, most, answer.quiet);
        if !answer.quiet {
            assert_eq!(brute(&asked, &rules, &parts, least_of, most, true), None, "case {seed}: a quiet one");
            loud += 1;
        }
        let bought = answer.bought.clone().unwrap();
        let counts = counts(&answer, keys).unwrap();
        let got = sum(&parts, &counts, least_of);
        // More boxes than were tried one by one can only be right if none of those did.
        if counts.iter().sum::<usize>() <= most {
            assert_eq!(Some(got), expected, "case {seed}: {bought:?}");
        } else {
            assert!(expected.is_none_or(|expected| got < expected), "case {seed}: {bought:?}");
        }
        assert_eq!(answer.allocation.unfed, answer.hopeless, "case {seed}");
        kinds.extend(bought.into_iter().map(|one| one.part));
    }
    assert!(kinds.len() > 10 && loud > 2, "{kinds:?} {loud}");
}

/// What an answer bought, in the order of a list.
fn counts(answer: &LeastAnswer, keys: &[&str]) -> Option<Vec<usize>> {
    let bought = answer.bought.as_ref()?;
    Some(keys.iter().map(|key| bought.iter().find(|one| one.part == *key).map_or(0, |one| one.count)).collect())
}

#[test]
fn loose_modules_that_are_there_hang_only_where_they_help() {
    let keys = ["wall-adaptor-9v", "wall-adaptor-18v", "isolated-four", "hub-24v", "ac-adaptor-9v"];
    let parts: Vec<&Part> = keys.iter().map(|key| catalogue().part(key).unwrap()).collect();
    let there = supply(1, mains(true), isolated(&[setting(9.0, 200.0, CentreNegative); 2]));
    let (mut nothing, mut less) = (0, 0);
    for seed in 0..40 {
        let dice = &mut Dice::new(seed ^ 0x700);
        let loose = dice.pick(&["voltage-doubler", "distributor-five", "module-four", "isolating-converter"]);
        let count = 1 + dice.below(4);
        let mut devices = vec![there.clone(), catalogue().part(loose).unwrap().device(DeviceId(2))];
        devices.extend(units_of(dice, count));
        let with_module = rig(devices, Vec::new());
        let rules = Rules { most_plugs: dice.pick(&[1, 1, 3]), ..Rules::default() };
        let least_of = Least::ALL[dice.below(4)];
        let kept = LeastQuestion { keep: true, ..question(&with_module, &rules, least_of, Some(&keys)) };
        let answer = least(&kept, &Unwatched).unwrap();
        assert!(answer.proved, "case {seed}");
        let asked = with(with_module, |rig| rig.devices.retain(|device| !answer.hopeless.contains(&device.id)));
        let expected = brute(&asked, &rules, &parts, least_of, 4, answer.quiet);
        let got = counts(&answer, &keys).map(|counts| sum(&parts, &counts, least_of));
        assert_eq!(got, expected, "case {seed} with {loose}: {:?}", answer.bought);
        assert_eq!(answer.allocation.unfed, answer.hopeless, "case {seed}");
        nothing += usize::from(got == Some((0, 0)));
        less += usize::from(answer.allocation.placed.iter().any(|lead| lead.from.outlets().any(|o| o.supply.0 == 2)));
    }
    assert!(nothing > 4 && less > 4, "{nothing} {less}");
}

#[test]
fn boxes_that_share_the_mains_earth_are_no_answer_for_units_that_are_kept_apart() {
    let digital = with(nine(150.0), |need| (need.digital, need.apart) = (true, Apart::OtherKind));
    let rig = rig(vec![unit(10, nine(20.0)), unit(11, digital)], Vec::new());
    for least_of in Least::ALL {
        let rules = Rules { keep_apart: Weight::Must, ..Rules::default() };
        let answer = ask(&rig, &rules, least_of, Some(&["shared-eight"]));
        assert_eq!((answer.bought, answer.proved), (None, true), "{least_of:?}");
        assert!(answer.hopeless.is_empty());
        // As a wish it is given up where nothing else is to be had, and that is said.
        let answer = ask(&rig, &Rules::default(), least_of, Some(&["shared-eight"]));
        assert_eq!((answer.quiet, answer.proved, answer.allocation.penalty.noisy), (false, true, 2), "{least_of:?}");
        let rules = Rules::default();
        let answer = ask(&rig, &rules, least_of, Some(&["shared-eight", "isolated-twelve"]));
        let bought: Vec<_> = answer.bought.into_iter().flatten().map(|one| (one.part, one.count)).collect();
        assert_eq!(bought, [("isolated-twelve".to_owned(), 1)], "{least_of:?}");
    }
}

/// The rig after the answer's edit, as a player would take it.
fn taken(rig: &Rig, answer: &LeastAnswer) -> Rig {
    let project = Project::around(Arc::new(Variant::of(VariantId(900), "", rig.clone())), FREE);
    (*apply(&project, &answer.edit(VariantId(900))).unwrap().variants[0].rig).clone()
}

/// Whatever is drawn before, with the supplies kept or not, with a module that
/// hangs right or wrong: taken, each unit has one lead, and nothing is loud.
#[test]
fn what_is_taken_leaves_no_lead_of_before_in_its_way() {
    let keys = ["wall-adaptor-9v", "wall-adaptor-18v", "isolated-four", "isolated-five", "ac-adaptor-9v"];
    let (mut kept, mut wrong) = (0, 0);
    for seed in 0..60 {
        let dice = &mut Dice::new(seed ^ 0x1100);
        let there = supply(1, mains(false), isolated(&[setting(9.0, 200.0, CentreNegative); 3]));
        let module = catalogue().part(dice.pick(&["isolating-converter", "module-four"])).unwrap().device(DeviceId(2));
        let mut devices = vec![there, module];
        let count = 2 + dice.below(4);
        devices.extend(units_of(dice, count));
        // Some hang on one lead whatever they want, one alone, and the module on a plain socket that may not suit it.
        let mut feeds = vec![daisy(50, at(1, 1), &[10, 11]), straight(51, at(1, 2), 2)];
        if count > 2 && dice.chance(0.6) {
            feeds.push(straight(52, at(1, 3), 12));
        }
        let before = rig(devices, feeds);
        let keep = dice.chance(0.6);
        let rules = Rules { most_plugs: dice.pick(&[1, 3]), ..Rules::default() };
        let asked = LeastQuestion { keep, ..question(&before, &rules, Least::ALL[dice.below(4)], Some(&keys)) };
        let answer = least(&asked, &Unwatched).unwrap();
        let after = taken(&before, &answer);
        let checked = check(&after, &Headroom::default());
        // A module may have come loose; units have not.
        let unfed: Vec<DeviceId> = checked.unfed.iter().copied().filter(|id| *id != DeviceId(2)).collect();
        assert_eq!(unfed, answer.hopeless, "case {seed}");
        for unit in crate::power::allocate::units(&after) {
            let leads = after.feeds.iter().flat_map(|feed| &feed.taps).filter(|tap| tap.device == unit.id).count();
            assert_eq!(leads, usize::from(!answer.hopeless.contains(&unit.id)), "case {seed}: {after:?}");
        }
        // Who isn't fed was compared above.
        let fed = checked.problems.iter().filter(|problem| problem.what.key() != "unfed");
        let loud: Vec<_> = fed.filter(|problem| problem.severity != Severity::Know).collect();
        assert!(loud.is_empty(), "case {seed}: {loud:?}");
        assert!(crate::rig::problems(&after).iter().all(|problem| !problem.to_string().contains("supply lead")));
        kept += usize::from(keep);
        wrong += usize::from(!answer.allocation.wrong.is_empty());
    }
    assert!((20..50).contains(&kept) && wrong > 5, "{kept} {wrong}");
}

/// Eighteen units: five at 18 V, one at 12 V AC, one positive ground, three digital at 300 mA.
pub fn hard_case() -> Rig {
    let mut devices = Vec::new();
    let mut add = |need: Need| devices.push(unit(10 + devices.len() as u64, need));
    for ma in [20.0, 30.0, 30.0, 45.0, 60.0] {
        add(needs(vec![way(18.0, 18.0, CentreNegative, ma, 2.0 * ma)]));
    }
    add(needs(vec![way(12.0, 12.0, Alternating, 180.0, 360.0)]));
    add(with(nine(0.5), |need| (need.positive_ground, need.apart) = (true, Apart::Everybody)));
    for _ in 0..3 {
        let hungry = needs(vec![way(9.0, 9.0, CentreNegative, 300.0, 450.0)]);
        add(with(hungry, |need| (need.digital, need.apart) = (true, Apart::OtherKind)));
    }
    for ma in [5.0, 8.0, 10.0, 10.0, 12.0, 20.0, 25.0, 35.0] {
        add(needs(vec![way(9.0, 9.0, CentreNegative, ma, 2.0 * ma)]));
    }
    rig(devices, Vec::new())
}

#[test]
fn the_hard_case_is_solved_and_proved_over_the_whole_catalogue() {
    for (least_of, most_plugs) in Least::ALL.into_iter().flat_map(|least_of| [(least_of, 1), (least_of, 5)]) {
        let rules = Rules { most_plugs, ..Rules::default() };
        let answer = ask(&hard_case(), &rules, least_of, None);
        assert!(answer.proved && answer.allocation.proved && answer.hopeless.is_empty(), "{least_of:?}");
        assert!(answer.allocation.unfed.is_empty(), "{least_of:?} {:?}", answer.allocation);
        let drawn = taken(&hard_case(), &answer);
        let checked = check(&drawn, &Headroom::default());
        assert!(checked.unfed.is_empty(), "{least_of:?}");
        let loud: Vec<_> = checked.problems.iter().filter(|problem| problem.severity != Severity::Know).collect();
        assert!(loud.is_empty(), "{least_of:?}: {loud:?}");
        assert!(loose(&drawn).is_empty());
    }
}
