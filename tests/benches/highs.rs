//! The two searches of power by this program and by HiGHS, an independent
//! solver of integer programs, timed in one run on one machine:
//! `cargo bench -p rigwright-tests --bench highs`.
//!
//! The script under `references` is told the rigs in plain numbers and writes
//! the rules down anew, as rows. Both optima have to be the same: the whole
//! penalty of an allocation, the whole price of the least supplies. Where the
//! solver's time runs out its bound is told, and nothing is said to agree.
//! Small random rigs follow, in which every rule has something to say. Without
//! python3 and highspy it says that it wasn't run.

use std::sync::Arc;
use std::time::{Duration, Instant};

use rigwright_core::parts::Part;
use rigwright_core::power::{AllocationQuestion, Least, LeastAnswer, LeastQuestion, Penalty, Rules, allocate, least};
use rigwright_core::rig::{Power, Rig};
use rigwright_core::watch::Unwatched;
use serde_json::{Value, json};

mod loads;
mod script;
mod small;
mod told;

use loads::{Load, Sockets};

/// What the solver has for one case.
const SECONDS: f64 = 300.0;

fn main() {
    if let Err(why) = run() {
        println!("not run: {why}");
    }
}

fn run() -> Result<(), String> {
    println!("{:<40} {:>10} {:>9} {:>7}  optimum", "case", "ours, ms", "HiGHS, s", "ratio");
    for load in [Load::Fits, Load::TooMuch] {
        for sockets in [Sockets::Isolated, Sockets::Grouped] {
            let rules = Rules { most_plugs: 5, ..Rules::default() };
            let question = AllocationQuestion { rig: Arc::new(loads::sixteen_outlets(sockets, load)), rules };
            Case::allocate(format!("one supply, {sockets:?}, {load:?}"), &question).ask()?;
        }
    }
    for what in Least::ALL {
        for most_plugs in [1, 5] {
            let rules = Rules { most_plugs, ..Rules::default() };
            let question = least_of(loads::hard_case(), rules, what);
            Case::least(format!("{}, {most_plugs} to a lead", what.name()), &question).ask()?;
        }
    }
    many("small rigs, to be fed", (0..100).map(small_allocation).collect())?;
    many("small rigs, least supplies", (0..60).map(small_least).collect())?;
    println!("Ours also tells what stands in the way where not all can be fed. HiGHS is told the least that we found,");
    println!("and asked for anything less.");
    Ok(())
}

fn least_of(rig: Rig, rules: Rules, what: Least) -> LeastQuestion {
    LeastQuestion { rig: Arc::new(rig), rules, least: what, keep: false, batteries: false, parts: None }
}

fn small_allocation(seed: u64) -> Case {
    let mut dice = small::Dice::new(seed);
    let rig = small::rig(&mut dice);
    let rules = small::rules(&mut dice, &rig);
    Case::allocate(format!("small rig {seed}"), &AllocationQuestion { rig: Arc::new(rig), rules })
}

/// With or without supplies that are there and stay, of the whole catalogue or of a few of its parts.
fn small_least(seed: u64) -> Case {
    let mut dice = small::Dice::new(seed);
    let mut rig = small::rig(&mut dice);
    let keep = dice.chance(0.33);
    rig.devices.retain(|device| keep || device.kind.supply().is_none());
    rig.devices.truncate(8);
    if !keep {
        rig.feeds.clear();
    }
    let rules = small::rules(&mut dice, &rig);
    let batteries = dice.chance(0.33);
    let mut question = LeastQuestion { keep, batteries, ..least_of(rig, rules, dice.pick(&Least::ALL)) };
    if dice.chance(0.5) {
        let all = told::choice(&question).into_iter().map(|part| part.key.clone());
        question.parts = Some(all.filter(|_| dice.chance(0.33)).collect());
    }
    Case::least(format!("least for small rig {seed}"), &question)
}

/// A question, what we found, and how long that took.
struct Case {
    name: String,
    told: Value,
    ours: Vec<u64>,
    proved: bool,
    took: Duration,
    words: String,
}

impl Case {
    fn allocate(name: String, question: &AllocationQuestion) -> Self {
        let (found, took) = timed(|| allocate(question, &Unwatched).expect("nobody stops it"));
        let penalty = found.penalty;
        let Penalty { unfed, changed, noisy, tight, adapters, sharing, microwatts } = penalty;
        let counts = [unfed, changed, noisy, tight, adapters, sharing].map(u64::from);
        let words = format!(
            "{unfed} unfed, {changed} at another voltage, {noisy} noisy, {tight} tight, {adapters} adapters, sharing {sharing}, {microwatts} µW",
        );
        let ours = counts.into_iter().chain([microwatts]).collect();
        Self { name, told: told::allocate(question, SECONDS), ours, proved: found.proved, took, words }
    }

    fn least(name: String, question: &LeastQuestion) -> Self {
        let (answer, took) = timed(|| least(question, &Unwatched).expect("nobody stops it"));
        let parts = told::choice(question);
        let prices = prices(question.least);
        let order: Vec<Vec<u64>> = prices.iter().map(|price| parts.iter().map(|part| price(part)).collect()).collect();
        let ours: Vec<u64> = prices.iter().map(|price| total(&answer, &parts, price)).collect();
        let totals = &answer.totals;
        let words = format!(
            "{}{:.0} of money, {} boxes, {} mains plugs, {:.0} mm²",
            if answer.quiet { "" } else { "not quiet, " },
            totals.money.get(),
            totals.boxes,
            totals.mains_plugs,
            totals.board_area * 1e6
        );
        let told = told::least(question, &answer, &order, &ours, SECONDS);
        Self { name, told, ours, proved: answer.proved, took, words }
    }

    fn ask(&self) -> Result<(), String> {
        let answers = solved(std::slice::from_ref(&self.told))?;
        let seconds = seconds(&answers[0]);
        let proved = if self.proved { "" } else { ", not proved by us" };
        let ending = match self.agrees(&answers[0]) {
            Ok(()) => format!("both{proved}"),
            Err(bound) => format!("ours{proved}; HiGHS didn't finish, {bound}"),
        };
        row(&self.name, self.took, seconds, &format!("{}: {ending}", self.words));
        Ok(())
    }

    /// Fails where the optima differ. Where the solver's time ran out, its bound.
    fn agrees(&self, theirs: &Value) -> Result<(), String> {
        let values: Vec<u64> = theirs["values"].as_array().into_iter().flatten().filter_map(Value::as_u64).collect();
        match theirs["status"].as_str() {
            Some("optimal") => {
                assert_eq!(values, self.ours, "{}: theirs beside ours", self.name);
                Ok(())
            }
            Some("limit") => {
                assert_eq!(values[..], self.ours[..values.len()], "{}: theirs beside ours", self.name);
                let next = self.ours.get(values.len());
                Err(format!("{values:?} agree, then its bound is {} and ours {next:?}", theirs["bound"]))
            }
            _ => panic!("{}: {:?} by us, {theirs} by HiGHS", self.name, self.ours),
        }
    }
}

/// Asks a set of cases at once.
fn many(name: &str, cases: Vec<Case>) -> Result<(), String> {
    let told: Vec<Value> = cases.iter().map(|case| case.told.clone()).collect();
    let answers = solved(&told)?;
    let mut agree = 0;
    for (case, theirs) in cases.iter().zip(&answers) {
        match case.agrees(theirs) {
            Ok(()) => agree += 1,
            Err(bound) => println!("{}: HiGHS didn't finish, {bound}", case.name),
        }
    }
    let unproved = cases.iter().filter(|case| !case.proved).count();
    let ours = cases.iter().map(|case| case.took).sum();
    let ending = format!("{agree} of {} the same by both, {unproved} not proved by us", cases.len());
    row(name, ours, answers.iter().map(seconds).sum(), &ending);
    // The search doesn't look at modules on modules that hang on plain plugs. What would that bring?
    let rows = told.into_iter().map(|mut told| {
        told["rules"]["rows"] = json!(true);
        told
    });
    let answers = solved(&rows.collect::<Vec<_>>())?;
    let better = cases.iter().zip(&answers).filter(|(case, theirs)| {
        theirs["status"] == "less" || (theirs["status"] == "optimal" && theirs["values"] != json!(case.ours))
    });
    println!("{:<40} modules on modules would better {} of them", "", better.count());
    Ok(())
}

/// What the solver answers to some questions, or why it can't be asked.
fn solved(questions: &[Value]) -> Result<Vec<Value>, String> {
    let told = json!({ "questions": questions });
    let mut answer = script::ask("integer_program.py", "numpy and highspy", &told)?;
    let answers: Vec<Value> = answer["answers"].as_array_mut().map(std::mem::take).unwrap_or_default();
    assert_eq!(answers.len(), questions.len(), "an answer to each question");
    Ok(answers)
}

fn row(name: &str, ours: Duration, seconds: f64, ending: &str) {
    let ms = ours.as_secs_f64() * 1e3;
    println!("{name:<40} {ms:>10.2} {seconds:>9.2} {:>7.1}  {ending}", seconds * 1e3 / ms);
}

fn seconds(answer: &Value) -> f64 {
    answer["seconds"].as_f64().unwrap_or(f64::NAN)
}

type Price = fn(&Part) -> u64;

/// What is compared, in turn.
fn prices(what: Least) -> Vec<Price> {
    let cents: Price = |part| (part.body.price.get() * 100.0).round() as u64;
    let boxes: Price = |_| 1;
    let plugs: Price = |part| u64::from(matches!(part.power, Power::Mains(_)));
    let area: Price = |part| {
        let size = part.body.size.metres();
        size.map_or(0, |[width, length, _]| (width * length * 1e6).round() as u64)
    };
    match what {
        Least::Money => vec![cents, boxes],
        Least::Boxes => vec![boxes, cents],
        Least::MainsPlugs => vec![plugs, cents, boxes],
        Least::BoardArea => vec![area, cents, boxes],
    }
}

fn total(answer: &LeastAnswer, parts: &[&Part], price: &Price) -> u64 {
    parts.iter().map(|part| price(part) * told::bought(answer, part) as u64).sum()
}

/// The shortest of several times, fewer of what takes long.
fn timed<T>(mut work: impl FnMut() -> T) -> (T, Duration) {
    let begin = Instant::now();
    let mut shortest = Duration::MAX;
    loop {
        let start = Instant::now();
        let found = work();
        shortest = shortest.min(start.elapsed());
        if begin.elapsed() > Duration::from_millis(100) {
            return (found, shortest);
        }
    }
}
