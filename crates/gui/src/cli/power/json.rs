//! Power for programs. The keys stay as they are; numbers in V, A, W, VA and h, unless a key says otherwise.

use rigwright_core::diagnosis::Diagnosis;
use rigwright_core::ground::{GroundLoop, Likelihood};
use rigwright_core::hum::{First, Hum};
use rigwright_core::power::{self, BatteryLife, Load, Noise, OutletCheck, SupplyCheck, TapCheck, words};
use rigwright_core::rig::{Country, Feed, Rig, device_name};
use rigwright_core::units::Volts;
use serde::Serialize;

use super::PowerReport;

/// All of `rigwright power --json`, in one line.
pub fn render(title: &str, reports: &[(&str, PowerReport<'_>)]) -> Result<String, serde_json::Error> {
    let variants = reports.iter().map(|(name, report)| Variant {
        name,
        power: Power::of(report),
        ground_loops: report.loops.iter().map(|found| Loop::of(report.rig, found)).collect(),
        ground_loop_count: report.loop_count,
        hum: Hummed::of(&report.hum, &report.loops),
    });
    let mut text = serde_json::to_string(&Top { title, variants: variants.collect() })?;
    text.push('\n');
    Ok(text)
}

#[derive(Serialize)]
struct Top<'a> {
    title: &'a str,
    variants: Vec<Variant<'a>>,
}

#[derive(Serialize)]
struct Variant<'a> {
    name: &'a str,
    power: Power,
    ground_loops: Vec<Loop>,
    /// Of a great many not all are listed.
    ground_loop_count: usize,
    hum: Hummed,
}

/// `.power` of a variant.
#[derive(Serialize)]
pub struct Power {
    supplies: Vec<Supply>,
    taps: Vec<Tap>,
    unfed: Vec<String>,
    unknown: Vec<String>,
    /// Who shares a 0 V with whom.
    zero_volts: Vec<Vec<String>>,
    problems: Vec<Problem>,
    /// Of so many of them nobody looked for fixes, the rig being too large.
    without_fixes: usize,
    mains_va: f64,
    mains_w: f64,
    mains_plugs: usize,
    /// The mains that it is played on, home first.
    mains: Vec<Venue>,
    batteries: Vec<Battery>,
    allocation: Option<Allocation>,
    /// Why none was looked for, where one was asked for.
    allocation_left_out: Option<String>,
    /// Whether the best allocation is proved to be the best; null where none was looked for.
    proved: Option<bool>,
}

#[derive(Serialize)]
struct Supply {
    name: String,
    fed: bool,
    /// VA of the mains, W of anything else.
    taken: f64,
    taken_w: f64,
    /// In W.
    load: Amount,
    outlets: Vec<Outlet>,
}

#[derive(Serialize)]
struct Outlet {
    outlet: u8,
    volts: Option<f64>,
    form: &'static str,
    /// In A.
    load: Amount,
    units: Vec<String>,
}

#[derive(Serialize)]
struct Amount {
    running: f64,
    /// At the moment all is switched on.
    start_up: f64,
    /// What of that lasts longer than milliseconds.
    start_up_lasting: f64,
    limit: Option<f64>,
}

#[derive(Serialize)]
struct Tap {
    unit: String,
    from: String,
    volts: Option<f64>,
    drop: f64,
    form: &'static str,
    running: f64,
    start_up: f64,
}

#[derive(Serialize)]
struct Problem {
    rule: &'static str,
    severity: &'static str,
    text: String,
    why: String,
    fixes: Vec<String>,
}

impl Problem {
    fn of(told: &Diagnosis) -> Self {
        Self {
            rule: told.rule.key,
            severity: told.severity.key(),
            text: told.text.clone(),
            why: told.why.clone(),
            fixes: told.remedies.iter().map(|remedy| remedy.words.clone()).collect(),
        }
    }
}

#[derive(Serialize)]
struct Venue {
    /// Null at home.
    country: Option<&'static str>,
    volts: f64,
}

#[derive(Serialize)]
struct Battery {
    device: String,
    /// The middle of the band.
    hours: Option<f64>,
    /// Until what hangs on it gets too little.
    hours_least: Option<f64>,
    hours_most: Option<f64>,
    /// What is too little; null where a converter keeps the voltage.
    until_volts: Option<f64>,
    /// Until it is empty, where units have had too little before.
    empty_hours_least: Option<f64>,
    empty_hours_most: Option<f64>,
}

impl Battery {
    fn of(rig: &Rig, found: &BatteryLife) -> Self {
        let life = found.life.as_ref();
        let empty = life.and_then(|life| life.empty);
        Self {
            device: device_name(rig, found.device),
            hours: life.map(|life| life.hours.middle()),
            hours_least: life.map(|life| life.hours.least),
            hours_most: life.map(|life| life.hours.most),
            until_volts: life.and_then(|life| life.until),
            empty_hours_least: empty.map(|hours| hours.least),
            empty_hours_most: empty.map(|hours| hours.most),
        }
    }
}

#[derive(Serialize)]
struct Allocation {
    text: String,
    unfed: Vec<String>,
    adapters: u32,
    sharing: u32,
    changes: Vec<String>,
    conflict: Option<Vec<String>>,
    cures: Vec<String>,
    /// In the order of wishes, the first the weightiest.
    penalty: Penalty,
    /// Units that run at another voltage than before.
    changed: Vec<Changed>,
    noisy: Vec<Noisy>,
}

#[derive(Serialize)]
struct Penalty {
    unfed: u32,
    changed_voltage: u32,
    noisy: u32,
    over_headroom: u32,
    adapters: u32,
    sharing: u32,
    microwatts: u64,
}

#[derive(Serialize)]
struct Changed {
    unit: String,
    was: f64,
    now: f64,
}

#[derive(Serialize)]
struct Noisy {
    units: Vec<String>,
    why: &'static str,
    text: String,
}

/// One of `.ground_loops` of a variant.
#[derive(Serialize)]
pub struct Loop {
    rank: &'static str,
    likelihood: &'static str,
    /// By signal leads and supply leads.
    length_m: f64,
    text: String,
    why: Option<String>,
    path: String,
    devices: Vec<String>,
    cures: Vec<String>,
}

/// `.hum` of a variant: what to ask first, and the loops, those of one 0 V together.
#[derive(Serialize)]
pub struct Hummed {
    question: String,
    no_loops: Vec<String>,
    facts: Vec<Fact>,
}

#[derive(Serialize)]
struct Fact {
    text: String,
    why: Option<String>,
    likelihood: &'static str,
    /// Places in `.ground_loops`, from 0.
    loops: Vec<usize>,
    cures: Vec<Remedy>,
}

#[derive(Serialize)]
struct Remedy {
    text: String,
    /// Whether the window does it by a button.
    button: bool,
}

impl Power {
    /// What is known of a variant's power.
    pub fn of(report: &PowerReport<'_>) -> Self {
        let (rig, check) = (report.rig, &report.check);
        let names = |ids: &[rigwright_core::rig::DeviceId]| ids.iter().map(|id| device_name(rig, *id)).collect();
        let feeds = check.feeds.iter().filter_map(|figures| Some((rig.feed(figures.feed)?, figures)));
        let batteries = check.batteries.iter().map(|life| Battery::of(rig, life));
        let venue = |(country, volts): (Option<Country>, Volts)| Venue {
            country: country.map(Country::name),
            volts: volts.get(),
        };
        let problems = report.told.problems.iter().map(Problem::of);
        Self {
            supplies: check.supplies.iter().map(|supply| Supply::of(rig, supply)).collect(),
            taps: feeds.flat_map(|(feed, figures)| figures.taps.iter().map(|tap| Tap::of(rig, feed, tap))).collect(),
            unfed: names(&check.unfed),
            unknown: names(&check.unknown),
            zero_volts: check.zero_volts.all().map(|(_, devices)| names(devices)).collect(),
            problems: problems.collect(),
            without_fixes: report.told.without_remedies,
            mains_va: check.mains.volt_amperes,
            mains_w: check.mains.watts(),
            mains_plugs: check.mains.plugs,
            mains: report.mains.all().map(venue).collect(),
            batteries: batteries.collect(),
            allocation: report.allocation.as_ref().map(|(found, changes)| Allocation {
                text: words::outcome(rig, found),
                unfed: names(&found.unfed),
                adapters: found.penalty.adapters,
                sharing: found.penalty.sharing,
                changes: changes.clone(),
                conflict: found.conflict.as_ref().map(|conflict| names(&conflict.units)),
                cures: found.conflict.iter().flat_map(|c| &c.cures).map(|cure| words::cure(rig, cure)).collect(),
                penalty: Penalty::of(&found.penalty),
                changed: found.changed.iter().map(|one| Changed::of(rig, one)).collect(),
                noisy: found.noisy.iter().map(|one| Noisy::of(rig, one)).collect(),
            }),
            allocation_left_out: report.too_large.map(|why| why.to_string()),
            proved: report.allocation.as_ref().map(|(found, _)| found.proved),
        }
    }
}

impl Penalty {
    fn of(penalty: &power::Penalty) -> Self {
        Self {
            unfed: penalty.unfed,
            changed_voltage: penalty.changed,
            noisy: penalty.noisy,
            over_headroom: penalty.tight,
            adapters: penalty.adapters,
            sharing: penalty.sharing,
            microwatts: penalty.microwatts,
        }
    }
}

impl Changed {
    fn of(rig: &Rig, changed: &power::Changed) -> Self {
        Self { unit: device_name(rig, changed.device), was: changed.was, now: changed.now }
    }
}

impl Noisy {
    fn of(rig: &Rig, noisy: &power::Noisy) -> Self {
        let why = match noisy.why {
            Noise::Together => "together",
            Noise::OneLead => "one-lead",
            Noise::Gain { .. } => "much-gain",
        };
        let units = noisy.units.iter().map(|unit| device_name(rig, *unit)).collect();
        Self { units, why, text: words::noisy(rig, noisy) }
    }
}

impl Supply {
    fn of(rig: &Rig, figures: &SupplyCheck) -> Self {
        Self {
            name: device_name(rig, figures.supply),
            fed: figures.fed,
            taken: figures.volt_amperes,
            taken_w: figures.taken,
            load: Amount::of(&figures.total),
            outlets: figures.outlets.iter().map(|outlet| Outlet::of(rig, outlet)).collect(),
        }
    }
}

impl Outlet {
    fn of(rig: &Rig, figures: &OutletCheck) -> Self {
        let setting = rig.outlet(figures.outlet).and_then(|outlet| outlet.setting());
        Self {
            outlet: figures.outlet.outlet,
            volts: figures.volts,
            form: setting.map_or("", |setting| setting.form.name()),
            load: Amount::of(&figures.load),
            units: figures.devices.iter().map(|id| device_name(rig, *id)).collect(),
        }
    }
}

impl Amount {
    fn of(load: &Load) -> Self {
        Self { running: load.running, start_up: load.start_up, start_up_lasting: load.lasting, limit: load.limit }
    }
}

impl Tap {
    fn of(rig: &Rig, feed: &Feed, tap: &TapCheck) -> Self {
        Self {
            unit: device_name(rig, tap.device),
            from: words::from(rig, feed.from),
            volts: tap.volts,
            drop: tap.drop,
            form: tap.form.name(),
            running: tap.running,
            start_up: tap.start_up,
        }
    }
}

impl Loop {
    /// A loop of a rig.
    pub fn of(rig: &Rig, found: &GroundLoop) -> Self {
        Self {
            rank: found.rank.key(),
            likelihood: found.likelihood.key(),
            length_m: found.length,
            text: found.text.clone(),
            why: found.why.clone(),
            path: found.path.clone(),
            devices: found.devices().iter().map(|id| device_name(rig, *id)).collect(),
            cures: found.cures.iter().map(|cure| cure.words(rig)).collect(),
        }
    }
}

impl Hummed {
    /// What may hum; `loops` are those that it tells.
    pub fn of(hum: &Hum, loops: &[GroundLoop]) -> Self {
        let fact = |told: &Diagnosis| Fact {
            // A fact has no full stop here.
            text: told.text.strip_suffix('.').unwrap_or(&told.text).to_owned(),
            why: (!told.why.is_empty()).then(|| told.why.clone()),
            likelihood: likeliest(told, loops).map_or("", Likelihood::key),
            loops: told.about.loops.clone(),
            cures: told
                .remedies
                .iter()
                .map(|remedy| Remedy { text: remedy.words.clone(), button: remedy.edit.is_some() })
                .collect(),
        };
        let First { question, no_loops } = hum.first.clone();
        Self { question, no_loops, facts: hum.told.iter().map(fact).collect() }
    }
}

/// How likely the likeliest of some loops is to be heard.
fn likeliest(told: &Diagnosis, loops: &[GroundLoop]) -> Option<Likelihood> {
    told.about.loops.iter().filter_map(|at| loops.get(*at)).map(|each| each.likelihood).min()
}
