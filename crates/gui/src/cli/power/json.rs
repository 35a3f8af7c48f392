//! Power for programs. The keys stay as they are; numbers in V, A, W, VA and h, unless a key says otherwise.

use rigwright_core::ground::GroundLoop;
use rigwright_core::power::{self, Load, Noise, OutletCheck, SupplyCheck, TapCheck};
use rigwright_core::rig::{Feed, Rig};
use serde::Serialize;

use super::PowerReport;
use crate::cli::words::device;
use crate::state::power_words;

/// All of `rigwright power --json`, in one line.
pub fn render(title: &str, reports: &[(&str, PowerReport<'_>)]) -> Result<String, serde_json::Error> {
    let variants = reports.iter().map(|(name, report)| Variant {
        name,
        power: Power::of(report),
        ground_loops: report.loops.iter().map(|found| Loop::of(report.rig, found)).collect(),
        ground_loop_count: report.loop_count,
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
    mains_plugs: usize,
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
    start_up: f64,
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
    why: &'static str,
    fixes: Vec<String>,
}

#[derive(Serialize)]
struct Battery {
    device: String,
    hours: Option<f64>,
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
    text: String,
    path: String,
    devices: Vec<String>,
    cures: Vec<String>,
}

impl Power {
    /// What is known of a variant's power.
    pub fn of(report: &PowerReport<'_>) -> Self {
        let (rig, check) = (report.rig, &report.check);
        let names = |ids: &[rigwright_core::rig::DeviceId]| ids.iter().map(|id| device(rig, *id)).collect();
        let feeds = check.feeds.iter().filter_map(|figures| Some((rig.feed(figures.feed)?, figures)));
        let batteries =
            check.batteries.iter().map(|life| Battery { device: device(rig, life.device), hours: life.hours });
        let problems = report.told.iter().map(|(problem, mends)| Problem {
            rule: problem.what.key(),
            severity: severity(problem.severity),
            text: problem.words(rig),
            why: problem.why(),
            fixes: mends.iter().map(|mend| mend.words.clone()).collect(),
        });
        Self {
            supplies: check.supplies.iter().map(|supply| Supply::of(rig, supply)).collect(),
            taps: feeds.flat_map(|(feed, figures)| figures.taps.iter().map(|tap| Tap::of(rig, feed, tap))).collect(),
            unfed: names(&check.unfed),
            unknown: names(&check.unknown),
            zero_volts: check.zero_volts.all().map(|(_, devices)| names(devices)).collect(),
            problems: problems.collect(),
            without_fixes: report.without_mends,
            mains_va: check.mains.volt_amperes(),
            mains_plugs: check.mains.plugs,
            batteries: batteries.collect(),
            allocation: report.allocation.as_ref().map(|(found, changes)| Allocation {
                text: power_words::outcome(rig, found),
                unfed: names(&found.unfed),
                adapters: found.penalty.adapters,
                sharing: found.penalty.sharing,
                changes: changes.clone(),
                conflict: found.conflict.as_ref().map(|conflict| names(&conflict.units)),
                cures: found.conflict.iter().flat_map(|c| &c.cures).map(|cure| power_words::cure(rig, cure)).collect(),
                penalty: Penalty::of(&found.penalty),
                changed: found.changed.iter().map(|one| Changed::of(rig, one)).collect(),
                noisy: found.noisy.iter().map(|one| Noisy::of(rig, one)).collect(),
            }),
            allocation_left_out: report.too_large.map(|why| why.to_string()),
            proved: report.allocation.as_ref().map(|(found, _)| found.proved),
        }
    }
}

fn severity(severity: rigwright_core::power::Severity) -> &'static str {
    use rigwright_core::power::Severity;
    match severity {
        Severity::Danger => "danger",
        Severity::Act => "act",
        Severity::Know => "know",
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
        Self { unit: device(rig, changed.device), was: changed.was, now: changed.now }
    }
}

impl Noisy {
    fn of(rig: &Rig, noisy: &power::Noisy) -> Self {
        let why = match noisy.why {
            Noise::Together => "together",
            Noise::OneLead => "one-lead",
            Noise::Gain { .. } => "much-gain",
        };
        let units = noisy.units.iter().map(|unit| device(rig, *unit)).collect();
        Self { units, why, text: power_words::noisy(rig, noisy) }
    }
}

impl Supply {
    fn of(rig: &Rig, figures: &SupplyCheck) -> Self {
        Self {
            name: device(rig, figures.supply),
            fed: figures.fed,
            taken: figures.taken,
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
            units: figures.devices.iter().map(|id| device(rig, *id)).collect(),
        }
    }
}

impl Amount {
    fn of(load: &Load) -> Self {
        Self { running: load.running, start_up: load.start_up, limit: load.limit }
    }
}

impl Tap {
    fn of(rig: &Rig, feed: &Feed, tap: &TapCheck) -> Self {
        Self {
            unit: device(rig, tap.device),
            from: power_words::from(rig, feed.from),
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
            text: found.text.clone(),
            path: found.path.clone(),
            devices: found.devices().iter().map(|id| device(rig, *id)).collect(),
            cures: found.cures.iter().map(|cure| cure.words(rig)).collect(),
        }
    }
}
