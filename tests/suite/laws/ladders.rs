//! Laws of every ladder of passive parts.

use proptest::prelude::*;
use rigwright_core::cascade::{LineCache, admittance_into, level_at, levels};
use rigwright_core::network::{Branch, Ladder, Line, Rung, SeenAdmittance, Sweep};
use rigwright_core::units::{
    Farads, FaradsPerMetre, Henries, HenriesPerMetre, Level, LossTangent, Metres, Ohms, OhmsPerMetre,
};

use super::cases;
use crate::oracle;

const HZ: [f64; 5] = [20.0, 311.0, 2500.0, 7000.0, 20_000.0];

fn log(low: f64, high: f64) -> impl Strategy<Value = f64> {
    (low.ln()..high.ln()).prop_map(f64::exp)
}

fn element() -> impl Strategy<Value = Branch> {
    prop_oneof![
        4 => log(1.0, 10e6).prop_map(|r| Branch::Resistor(Ohms::of(r))),
        4 => log(1e-12, 100e-9).prop_map(|c| Branch::Capacitor(Farads::of(c))),
        1 => log(1e-6, 10.0).prop_map(|l| Branch::Inductor(Henries::of(l))),
    ]
}

fn branch() -> impl Strategy<Value = Branch> {
    let pair = || prop::collection::vec(element(), 2..4);
    prop_oneof![
        4 => element(),
        1 => pair().prop_map(Branch::Series),
        1 => pair().prop_map(Branch::Parallel),
    ]
}

fn line() -> impl Strategy<Value = Line> {
    let length = prop_oneof![1 => Just(0.0), 1 => Just(1e-6), 3 => log(0.05, 300.0)];
    let or_none = |value: f64| prop_oneof![1 => Just(0.0), 3 => Just(value)];
    (length, or_none(0.12), or_none(0.35e-6), or_none(100e-12), or_none(0.05)).prop_map(|(length, r, l, c, loss)| {
        Line {
            length: Metres::of(length),
            resistance: OhmsPerMetre::of(r),
            inductance: HenriesPerMetre::of(l),
            capacitance: FaradsPerMetre::of(c),
            loss_tangent: LossTangent::of(loss),
        }
    })
}

fn rung() -> impl Strategy<Value = Rung> {
    prop_oneof![
        2 => branch().prop_map(Rung::Series),
        3 => branch().prop_map(Rung::Shunt),
        3 => line().prop_map(Rung::Line),
    ]
}

fn rungs(least: usize) -> impl Strategy<Value = Vec<Rung>> {
    prop::collection::vec(rung(), least..12)
}

fn ladder(rungs: &[Rung]) -> Ladder {
    let mut ladder = Ladder::new();
    for rung in rungs {
        match rung {
            Rung::Series(branch) => ladder.series(branch.clone()),
            Rung::Shunt(branch) => ladder.shunt(branch.clone()),
            Rung::Line(line) => ladder.line(*line),
            Rung::Leg(leg) => ladder.leg(leg.clone()),
            Rung::Source(_) => unreachable!("none is drawn here"),
        }
    }
    ladder
}

fn at_mark(ladder: &Ladder, mark: usize) -> Vec<f64> {
    let levels = levels(ladder, mark, &mut LineCache::new(Sweep::at(&HZ)));
    levels.into_iter().map(|level| level.decibels().expect("no short in it")).collect()
}

fn at_end(ladder: &Ladder) -> Vec<f64> {
    at_mark(ladder, ladder.rungs.len())
}

fn near(a: &[f64], b: &[f64], allowed: f64) -> Result<(), TestCaseError> {
    for (a, b) in a.iter().zip(b) {
        prop_assert!((a - b).abs() <= allowed, "{a} dB against {b} dB");
    }
    Ok(())
}

/// Between a source's resistance and a load.
fn between(source: f64, inner: &[Rung], load: f64) -> Ladder {
    let mut whole = Ladder::new();
    whole.series(Branch::Resistor(Ohms::of(source)));
    whole.extend(&ladder(inner));
    whole.shunt(Branch::Resistor(Ohms::of(load)));
    whole
}

proptest! {
    #![proptest_config(cases(400))]

    /// Reciprocity: E on the left drives the current through the load on the right
    /// that the same E on the right drives through the same resistance on the left.
    #[test]
    fn reciprocity(inner in rungs(1), source in log(1.0, 1e6), load in log(10.0, 10e6)) {
        let forward = at_end(&between(source, &inner, load));
        let backward: Vec<Rung> = inner.iter().rev().cloned().collect();
        let backward = at_end(&between(load, &backward, source));
        let current = |level: &f64, through: f64| level - 20.0 * through.log10();
        let forward: Vec<f64> = forward.iter().map(|level| current(level, load)).collect();
        let backward: Vec<f64> = backward.iter().map(|level| current(level, source)).collect();
        near(&forward, &backward, 1e-7)?;
    }

    /// No more power gets to the load than the source has to give: E²/4R.
    #[test]
    fn no_power_from_nothing(inner in rungs(1), source in log(1.0, 1e6), load in log(10.0, 10e6)) {
        let most = 10.0 * (load / (4.0 * source)).log10();
        for level in at_end(&between(source, &inner, load)) {
            prop_assert!(level <= most + 1e-9, "{level} dB where {most} dB are the most");
        }
    }

    /// Passivity: what a ladder takes from its source is never negative.
    #[test]
    fn passivity(inner in rungs(1)) {
        let mut line_cache = LineCache::new(Sweep::at(&HZ));
        if let SeenAdmittance::Admittance(y) = admittance_into(&ladder(&inner).rungs, &mut line_cache) {
            for (re, im) in y.re.iter().zip(&y.im) {
                prop_assert!(re.is_finite() && im.is_finite());
                prop_assert!(*re >= -1e-12 * re.hypot(*im), "{re} + j{im}");
            }
        }
    }

    /// The whole is its left part, loaded, and then its right part: however a
    /// ladder is cut, the levels add up.
    #[test]
    fn a_cascade_may_be_cut_anywhere(inner in rungs(2), source in log(1.0, 1e6), cut in 0.0..1.0) {
        let whole = between(source, &inner, 1e6);
        let cut = 1 + (cut * (whole.rungs.len() - 1) as f64) as usize;
        let right = Ladder { rungs: whole.rungs[cut..].to_vec() };
        let sum: Vec<f64> =
            at_mark(&whole, cut).iter().zip(at_end(&right)).map(|(a, b)| a + b).collect();
        near(&at_end(&whole), &sum, 1e-7)?;
    }

    /// A lead of no length is no lead, wherever it is put in.
    #[test]
    fn no_length_is_no_lead(inner in rungs(1), line in line(), place in 0.0..1.0) {
        let plain = between(8e3, &inner, 1e6);
        let mut with = plain.clone();
        let place = 1 + (place * (plain.rungs.len() - 1) as f64) as usize;
        with.rungs.insert(place, Rung::Line(Line { length: Metres::of(0.0), ..line }));
        near(&at_end(&plain), &at_end(&with), 0.0)?;
        // Marked within, too, where the lead lies behind the mark.
        near(&at_mark(&plain, 1), &at_mark(&with, 1), 1e-9)?;
    }

    /// Cutting a lead in two changes nothing.
    #[test]
    fn a_lead_may_be_cut(before in rungs(1), after in rungs(1), line in line(), part in 0.0..=1.0) {
        let joined = [before.clone(), vec![Rung::Line(line)], after.clone()].concat();
        let (near_end, far_end) = line.cut(part);
        let parted =
            [before, vec![Rung::Line(near_end), Rung::Line(far_end)], after].concat();
        let (joined, parted) = (between(8e3, &joined, 1e6), between(8e3, &parted, 1e6));
        near(&at_end(&joined), &at_end(&parted), 1e-7)?;
    }

    /// What hangs on one point hangs there in any order, as a rung or as a leg.
    #[test]
    fn shunts_on_one_point_have_no_order(
        before in rungs(1),
        after in rungs(1),
        shunts in prop::collection::vec(branch(), 2..5),
        leg in rungs(1),
    ) {
        let whole = |shunts: Vec<Rung>| {
            between(8e3, &[before.clone(), shunts, after.clone()].concat(), 1e6)
        };
        let mut one_way: Vec<Rung> = shunts.iter().cloned().map(Rung::Shunt).collect();
        one_way.push(Rung::Leg(ladder(&leg)));
        let other_way: Vec<Rung> = one_way.iter().rev().cloned().collect();
        let as_legs: Vec<Rung> = one_way
            .iter()
            .map(|rung| match rung {
                Rung::Leg(_) => rung.clone(),
                shunt => Rung::Leg(ladder(std::slice::from_ref(shunt))),
            })
            .collect();
        let expected = at_end(&whole(one_way.clone()));
        near(&expected, &at_end(&whole(other_way)), 1e-7)?;
        near(&expected, &at_end(&whole(as_legs)), 1e-7)?;
        // The voltage on that point is one, wherever among them it is taken.
        let whole = whole(one_way.clone());
        let first = 1 + ladder(&before).rungs.len();
        let expected = at_mark(&whole, first);
        for mark in first..=first + ladder(&one_way).rungs.len() {
            near(&expected, &at_mark(&whole, mark), 1e-7)?;
        }
    }

    /// Over a sweep and at one frequency: one answer.
    #[test]
    fn swept_or_single(inner in rungs(1), leg in rungs(1), place in 0.0..1.0) {
        let mut inner = inner;
        inner.push(Rung::Leg(ladder(&leg)));
        let whole = between(8e3, &inner, 1e6);
        let mark = (place * (whole.rungs.len() + 1) as f64) as usize;
        let single: Vec<f64> = HZ
            .iter()
            .map(|hz| level_at(&whole, mark, *hz).decibels().expect("no short in it"))
            .collect();
        near(&at_mark(&whole, mark), &single, 1e-8)?;
    }

    /// The exact telegrapher line, near every switch between series and function:
    /// cosh x, Z₀ sinh x, sinh x / Z₀ as the nodal solve has them.
    #[test]
    fn a_line_is_the_telegraphers(line in line(), hz in log(20.0, 200e3)) {
        let length = line.length.get();
        let per_metre = [
            line.resistance.get(), line.inductance.get(), line.capacitance.get(),
        ].map(|value| value * length);
        let [ohms, henries, farads] = per_metre;
        let omega = std::f64::consts::TAU * hz;
        let expected = oracle::chain(ohms, henries, farads, line.loss_tangent.get(), omega);
        let got = line.chain(omega);
        for (got, expected) in [(got.0, expected.0), (got.1, expected.1), (got.2, expected.2)] {
            prop_assert!((got - expected).norm() <= 2e-14 * expected.norm(), "{got} against {expected}");
        }
    }

    /// A short to 0 V anywhere on the way silences all that comes after, and only that.
    #[test]
    fn a_short_silences(before in rungs(1), after in rungs(1)) {
        let mut whole = between(8e3, &before, 1e6);
        whole.shunt(Branch::Resistor(Ohms::of(0.0)));
        whole.extend(&ladder(&after));
        let mut line_cache = LineCache::new(Sweep::at(&HZ));
        let end = levels(&whole, whole.rungs.len(), &mut line_cache);
        prop_assert!(end.iter().all(|level| *level == Level::Silent));
        // At the source itself the ideal EMF still stands.
        near(&at_mark(&whole, 0), &[0.0; HZ.len()], 0.0)?;
    }
}
