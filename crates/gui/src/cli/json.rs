//! The report for programs. The keys stay as they are.

use rigwright_core::diagnosis::Diagnosis;
use rigwright_core::response::{self, words as response_words};
use rigwright_core::rig::{
    Device, Feeding, Problem, Rig, Switch, SwitchKey, SwitchSetting, device_name, jack_name, switch_name,
};
use rigwright_core::states::{Jump, States};
use rigwright_core::units::Level;
use serde::{Serialize, Serializer};

use super::gather::{Point, Report, VariantReport};
use super::power::{Hummed, Loop, Power};
use super::words;

/// Writes a report as one line of JSON; numbers in full, silence as null.
pub fn render(report: &Report<'_>) -> Result<String, serde_json::Error> {
    let top = Top {
        title: report.title,
        variants: report.variants.iter().map(|variant| Variant::of(report, variant)).collect(),
    };
    let mut text = serde_json::to_string(&top)?;
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
    sound: Option<&'a str>,
    /// Units that the sound asks for and this variant lacks.
    sound_lacks: Vec<&'a str>,
    /// Units that get no power, and whether all that is said of the signal takes them as fed.
    unfed: Vec<String>,
    as_if_all_fed: bool,
    endpoints: Vec<PointReport<'a>>,
    /// So many more a signal reaches.
    endpoints_left_out: usize,
    test_point: Option<PointReport<'a>>,
    runs: Vec<Run>,
    states: Option<AllStates<'a>>,
    jumps: Vec<SwitchJump>,
    findings: Vec<FindingJson<'a>>,
    problems: Vec<Wrong<'a>>,
    power: Power,
    ground_loops: Vec<Loop>,
    /// Of a great many not all are listed.
    ground_loop_count: usize,
    hum: Hummed,
}

/// What is wrong.
#[derive(Serialize)]
struct Wrong<'a> {
    rule: &'static str,
    text: String,
    /// The devices that it is about, by name.
    about: Vec<&'a str>,
}

impl<'a> Wrong<'a> {
    fn of(problem: &'a Problem) -> Self {
        Self { rule: problem.rule(), text: problem.to_string(), about: problem.about() }
    }
}

#[derive(Serialize)]
struct FindingJson<'a> {
    rule: &'static str,
    severity: &'static str,
    text: &'a str,
    why: &'a str,
    /// What the buttons of the window say.
    fixes: Vec<&'a str>,
    /// What each of them gives up, if anything.
    gives_up: Vec<Option<&'a str>>,
}

impl<'a> FindingJson<'a> {
    fn of(finding: &'a Diagnosis) -> Self {
        Self {
            rule: finding.rule.key,
            severity: finding.severity.key(),
            text: &finding.text,
            why: &finding.why,
            fixes: finding.remedies.iter().map(|remedy| remedy.words.as_str()).collect(),
            gives_up: finding.remedies.iter().map(|remedy| remedy.gives_up.as_deref()).collect(),
        }
    }
}

#[derive(Serialize)]
struct AllStates<'a> {
    /// As text: it outgrows what other programs hold as a number.
    count: String,
    count_log2: f64,
    /// States that differ there, as text.
    different: String,
    exact: bool,
    /// Over which switches states range: "foot", or "presets" where these are the only
    /// ones, or "all" where those that a hand works vary too.
    over: &'static str,
    note: String,
    source: Option<&'a str>,
    endpoint: &'a str,
    switches: Vec<OneSwitch>,
    left_out: Vec<LeftOut>,
    hz: &'a [f64],
    min_db: &'a [f64],
    max_db: &'a [f64],
    /// Bounds from outside, where a block had too many settings to go through.
    outer_min_db: Option<&'a [f64]>,
    outer_max_db: Option<&'a [f64]>,
    /// With `--at`: a state that makes each edge.
    #[serde(skip_serializing_if = "Option::is_none")]
    at: Option<Vec<Edges>>,
}

/// Where switches stand that aren't at their defaults; all others of those that vary are.
type Settings = serde_json::Map<String, serde_json::Value>;

#[derive(Serialize)]
struct OneSwitch {
    switch: String,
    device_id: u64,
    key: &'static str,
    worked_by: &'static str,
    positions: Vec<String>,
    default: String,
    varies: bool,
}

/// A position that silences the place, and is in no count and no jump.
#[derive(Serialize)]
struct LeftOut {
    switch: String,
    position: String,
    why: &'static str,
}

#[derive(Serialize)]
struct Edges {
    hz: f64,
    min_db: f64,
    min_set: Settings,
    max_db: f64,
    max_set: Settings,
}

/// Switches in their positions, by name.
fn settings(rig: &Rig, settings: &[SwitchSetting]) -> Settings {
    let each = settings.iter().map(|set| (switch_name(rig, set.switch), position_name(rig, *set).into()));
    each.collect()
}

/// A count, as text where a number of JavaScript has no room for it.
fn count<S: Serializer>(count: &usize, to: S) -> Result<S::Ok, S::Error> {
    const MOST: usize = 1 << 53;
    if *count > MOST { to.serialize_str(&count.to_string()) } else { count.serialize(to) }
}

fn position_name(rig: &Rig, set: SwitchSetting) -> String {
    let device = rig.device(set.switch.device);
    device.map_or_else(|| set.to.0.to_string(), |device| device.position_name(set.switch.key, set.to))
}

fn over(report: &Report<'_>, states: &States) -> &'static str {
    let is_preset = |switch: &Switch| matches!(switch.id.key, SwitchKey::Preset | SwitchKey::Patch);
    match states.switches.is_empty() || !states.switches.iter().all(is_preset) {
        _ if report.vary_hand => "all",
        true => "foot",
        false => "presets",
    }
}

impl<'a> AllStates<'a> {
    fn of(report: &Report<'_>, variant: &'a VariantReport<'_>, states: &'a States) -> Self {
        let rig = variant.rig;
        let one = |device: &Device, switch: Switch| OneSwitch {
            switch: switch_name(rig, switch.id),
            device_id: device.id.0,
            key: switch.id.key.key(),
            worked_by: switch.worked_by.key(),
            positions: switch.all_positions().map(|at| device.position_name(switch.id.key, at)).collect(),
            default: device.position_name(switch.id.key, switch.default),
            varies: states.switches.iter().any(|varying| varying.id == switch.id),
        };
        let switches = rig.devices.iter().flat_map(|device| device.all_switches().map(move |switch| (device, switch)));
        let left_out = states.mutes.iter().map(|mute| LeftOut {
            switch: switch_name(rig, mute.switch),
            position: position_name(rig, *mute),
            why: "it silences what is heard there",
        });
        let edges = || {
            let at = |(at, hz): (usize, &f64)| Edges {
                hz: *hz,
                min_db: states.lowest_db()[at],
                min_set: settings(rig, &states.lowest_state(at)),
                max_db: states.highest_db()[at],
                max_set: settings(rig, &states.highest_state(at)),
            };
            states.hz().iter().enumerate().map(at).collect()
        };
        let target = variant.target();
        Self {
            count: states.switch_states.to_string(),
            count_log2: states.switch_states.log2(),
            different: states.different.to_string(),
            exact: states.exact,
            over: over(report, states),
            note: states.note(),
            source: target.and_then(|point| point.source.as_deref()),
            endpoint: target.map_or("", |point| &point.name),
            switches: switches.map(|(device, switch)| one(device, switch)).collect(),
            left_out: left_out.collect(),
            hz: states.hz(),
            min_db: states.lowest_db(),
            max_db: states.highest_db(),
            outer_min_db: states.bounds_db().map(|(lowest, _)| lowest),
            outer_max_db: states.bounds_db().map(|(_, highest)| highest),
            at: report.asked_hz.then(edges),
        }
    }
}

#[derive(Serialize)]
struct SwitchJump {
    switch: String,
    device_id: u64,
    key: &'static str,
    from: String,
    to: String,
    endpoint: String,
    source: Option<String>,
    rise_db: f64,
    rise_hz: f64,
    rise_set: Settings,
    fall_db: f64,
    fall_hz: f64,
    fall_set: Settings,
    /// The level that it is set to, which is in neither.
    level_db: f64,
    /// The furthest of both up to where the endpoint still gives something.
    heard_db: Option<f64>,
    heard_hz: Option<f64>,
    heard_to_hz: f64,
    /// The peak before and after it, among the same others.
    peak_off_hz: Option<f64>,
    peak_on_hz: Option<f64>,
    /// Whether every state was looked at; if not, it goes at least so far.
    exact: bool,
    /// Settings of the others that the switch can tell apart.
    #[serde(serialize_with = "count")]
    contexts: usize,
}

#[derive(Serialize)]
struct PointReport<'a> {
    jack: &'a str,
    levels: Levels<'a>,
    peak: Option<Peak>,
    #[serde(skip_serializing_if = "Option::is_none")]
    peak_reason: Option<String>,
    /// The first frequencies at which several ways nearly cancel.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    nulls_hz: Vec<f64>,
    minus3_hz: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    minus3_reason: Option<String>,
    lead_equivalent: Equivalent,
}

#[derive(Serialize)]
struct Levels<'a> {
    hz: &'a [f64],
    db: Vec<Option<f64>>,
    /// With `--complex`: the voltage over the source's EMF.
    #[serde(skip_serializing_if = "Option::is_none")]
    re: Option<Vec<Option<f64>>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    im: Option<Vec<Option<f64>>>,
}

impl<'a> Levels<'a> {
    fn of(report: &'a Report<'_>, point: &Point) -> Self {
        let transfer = || report.hz.iter().map(|hz| point.answer.transfer_at(*hz));
        Self {
            hz: &report.hz,
            db: point.levels.iter().map(|level: &Level| level.decibels()).collect(),
            re: report.complex.then(|| transfer().map(|ratio| Some(ratio?.re)).collect()),
            im: report.complex.then(|| transfer().map(|ratio| Some(ratio?.im)).collect()),
        }
    }
}

/// A peak, the same wherever one is written.
#[derive(Serialize)]
pub struct Peak {
    hz: f64,
    db: f64,
    height_db: f64,
}

impl From<response::Peak> for Peak {
    fn from(peak: response::Peak) -> Self {
        Self { hz: peak.hz, db: peak.db, height_db: peak.height_db }
    }
}

/// A lead equivalent, or why there is none.
#[derive(Serialize)]
pub struct Equivalent {
    /// Metres.
    pub m: Option<f64>,
    /// Why there are none.
    pub reason: Option<String>,
}

#[derive(Serialize)]
struct Run {
    from: String,
    ends: Vec<String>,
    /// The numbers by which the file and the problems name leads.
    leads: Vec<u64>,
    farads: f64,
    high_impedance: bool,
    text: String,
}

impl<'a> Variant<'a> {
    fn of(report: &'a Report<'_>, variant: &'a VariantReport<'_>) -> Self {
        let runs = variant.runs.iter().map(|run| Run {
            from: jack_name(variant.rig, run.from),
            ends: run.ends.iter().map(|&end| jack_name(variant.rig, end)).collect(),
            leads: run.leads.iter().map(|lead| lead.0).collect(),
            farads: run.capacitance,
            high_impedance: run.high_impedance,
            text: response_words::amount(run),
        });
        Self {
            name: variant.name,
            sound: report.sound,
            sound_lacks: variant.missing.iter().flat_map(|one| &one.names).map(String::as_str).collect(),
            unfed: variant.unfed.iter().map(|id| device_name(variant.rig, *id)).collect(),
            as_if_all_fed: variant.feeding == Feeding::AllFed,
            endpoints: variant.endpoints.iter().map(|point| PointReport::of(report, point)).collect(),
            endpoints_left_out: variant.endpoints_left_out,
            test_point: variant.test_point.as_ref().map(|point| PointReport::of(report, point)),
            runs: runs.collect(),
            states: variant.states.as_ref().map(|states| AllStates::of(report, variant, states)),
            jumps: variant.switches.as_ref().map_or_else(Vec::new, |states| jumps(variant, states)),
            findings: variant.findings.iter().map(FindingJson::of).collect(),
            problems: variant.problems.iter().map(Wrong::of).collect(),
            power: Power::of(&variant.power),
            ground_loops: variant.power.loops.iter().map(|found| Loop::of(variant.rig, found)).collect(),
            ground_loop_count: variant.power.loop_count,
            hum: Hummed::of(&variant.power.hum, &variant.power.loops),
        }
    }
}

fn jumps(variant: &VariantReport<'_>, states: &States) -> Vec<SwitchJump> {
    let target = variant.target();
    let position = |switch, to| position_name(variant.rig, SwitchSetting { switch, to });
    let hz = |at: usize| states.hz().get(at).copied().unwrap_or_default();
    let level = |jump: &Jump| {
        let at = |to| variant.rig.device(jump.device()).map_or(0.0, |own| own.set_level_db(jump.switch.key, to));
        at(jump.to) - at(jump.from)
    };
    let heard = |jump: &Jump| variant.heard.iter().find(|heard| heard.furthest.is_of(jump));
    let each = states.jumps.iter().map(|jump| SwitchJump {
        switch: words::switch(variant.rig, jump.switch),
        device_id: jump.device().0,
        key: jump.switch.key.key(),
        from: position(jump.switch, jump.from),
        to: position(jump.switch, jump.to),
        endpoint: target.map_or_else(String::new, |point| point.name.clone()),
        source: target.and_then(|point| point.source.clone()),
        rise_db: jump.rise.db,
        rise_hz: hz(jump.rise.at),
        rise_set: settings(variant.rig, &jump.rise.among),
        fall_db: jump.fall.db,
        fall_hz: hz(jump.fall.at),
        fall_set: settings(variant.rig, &jump.fall.among),
        level_db: if jump.is_whole { 0.0 } else { level(jump) },
        heard_db: heard(jump).map(|heard| heard.furthest.db),
        heard_hz: heard(jump).map(|heard| heard.furthest.hz),
        heard_to_hz: states.heard_hz.1,
        peak_off_hz: heard(jump).and_then(|heard| heard.peak?.before),
        peak_on_hz: heard(jump).and_then(|heard| heard.peak?.after),
        exact: jump.exact,
        contexts: jump.contexts,
    });
    each.collect()
}

impl<'a> PointReport<'a> {
    fn of(report: &'a Report<'_>, point: &'a Point) -> Self {
        let answer = &point.answer;
        let peak = answer.peak.as_ref();
        let equivalent = answer.lead_equivalent.as_ref();
        Self {
            jack: &point.name,
            levels: Levels::of(report, point),
            peak: peak.ok().copied().map(Into::into),
            peak_reason: peak.err().map(ToString::to_string),
            nulls_hz: answer.nulls_hz.clone(),
            minus3_hz: answer.minus3.as_ref().ok().map(|minus3| minus3.hz),
            minus3_reason: answer.minus3.as_ref().err().map(ToString::to_string),
            lead_equivalent: Equivalent {
                m: equivalent.ok().copied(),
                reason: equivalent.err().map(ToString::to_string),
            },
        }
    }
}
