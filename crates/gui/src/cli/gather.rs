//! All that a report says, before it is text or JSON.

use std::sync::Arc;

use rigwright_core::cascade::LineCache;
use rigwright_core::compare::{Heard, heard, peaks_within};
use rigwright_core::diagnosis::{Diagnosis, Severity};
use rigwright_core::findings::{self, MOST_WORK};
use rigwright_core::network::{Sweep, third_octaves_hz};
use rigwright_core::power::volts_in_use;
use rigwright_core::response::{PointAnswer, Request, RunAnswer, respond};
use rigwright_core::rig::{
    Device, DeviceId, Feeding, JackRef, Missing, Problem, Project, Rig, State, Variant, device_name, jack_name,
    missing, out_of_reach_words, problems, switch_problems, test_point_name, unfed_carriers,
};
use rigwright_core::states::{MOST_STEPS, NoStates, Question, States, Target, explore_within};
use rigwright_core::units::Level;
use rigwright_core::watch::{Part, Stopped, Watch};

use super::choose::Chosen;
use super::power::{self, PowerReport};
use super::set;

/// So many devices of all variants together are gone over for what switches do to the peak.
const MOST_FOR_PEAKS: usize = 8_000;

/// What is known of the chosen variants.
#[derive(Debug)]
pub struct Report<'a> {
    /// The project's title.
    pub title: &'a str,
    /// The sound that was chosen, and no state in hand.
    pub sound: Option<&'a str>,
    /// Whether frequencies were asked for.
    pub asked_hz: bool,
    /// Whether levels have their phase beside them.
    pub complex: bool,
    /// Whether all states range over what a hand works, too.
    pub vary_hand: bool,
    /// The frequencies of all levels, in Hz, in the order asked.
    pub hz: Vec<f64>,
    /// So many figures tell the frequencies apart for a reader.
    pub figures: usize,
    /// One a variant.
    pub variants: Vec<VariantReport<'a>>,
}

/// What is known of one variant.
#[derive(Debug)]
pub struct VariantReport<'a> {
    /// Its name.
    pub name: &'a str,
    /// Its rig.
    pub rig: &'a Rig,
    /// How everything stands.
    pub state: State,
    /// What the chosen sound asks for that it lacks.
    pub missing: Vec<Missing<'a>>,
    /// Loops that the sound needs and that can't be put in together, a sentence each.
    pub out_of_reach: Vec<String>,
    /// The endpoints that a signal reaches; of hundreds the first.
    pub endpoints: Vec<Point>,
    /// So many more it reaches.
    pub endpoints_left_out: usize,
    /// The test point, if a signal gets there.
    pub test_point: Option<Point>,
    /// What each run amounts to.
    pub runs: Vec<RunAnswer>,
    /// All footswitch states at the test point, or else at the first endpoint, at the report's frequencies.
    pub states: Option<States>,
    /// The same over the program's own grid, for what each switch does.
    pub switches: Option<States>,
    /// How far each switch goes where it is heard, the furthest first.
    pub heard: Vec<Heard>,
    /// What its owner should know, what to act on first.
    pub findings: Vec<Diagnosis>,
    /// Devices of the signal that get no power.
    pub unfed: Vec<DeviceId>,
    /// Whether they count as fed in all that is said of the signal.
    pub feeding: Feeding,
    /// What is wrong.
    pub problems: Vec<Problem>,
    /// What feeds it, and its ground loops.
    pub power: PowerReport<'a>,
}

impl VariantReport<'_> {
    /// Where all states are looked at: the test point, or else the first endpoint.
    pub fn target(&self) -> Option<&Point> {
        self.test_point.as_ref().or_else(|| self.endpoints.first())
    }
}

/// What is known of one place.
#[derive(Debug)]
pub struct Point {
    /// "Amp left, in", or where on which lead.
    pub name: String,
    /// What 0 dB is there.
    pub reference: String,
    /// What 0 dB is made by, if a signal starts there.
    pub source: Option<String>,
    /// One a frequency of the report.
    pub levels: Vec<Level>,
    /// The curve's figures.
    pub answer: PointAnswer,
}

/// What a report may take for one of its variants, in steps: its share of what
/// one may take by itself.
#[derive(Debug, Clone, Copy)]
struct Share {
    states: u64,
    findings: u64,
    variants: u64,
}

impl Share {
    fn of(variants: usize) -> Self {
        let variants = variants.max(1) as u64;
        // Reading, drawing up and writing down many rigs takes as long as states of one do.
        let states = if variants == 1 { MOST_STEPS } else { MOST_STEPS / (2 * variants) };
        // What findings take is less than half of what the worst rig takes.
        Self { states, findings: (2 * MOST_WORK / variants).min(MOST_WORK), variants }
    }

    /// Of how many switches of a rig the peak is looked at.
    fn peaks(self, rig: &Rig) -> usize {
        peaks_within(MOST_FOR_PEAKS / usize::try_from(self.variants).unwrap_or(usize::MAX), rig)
    }
}

/// Computes a report; at the third-octave centres where no frequencies are given.
/// None where it is told to stop.
pub fn gather<'a>(
    project: &'a Project,
    chosen: &Chosen<'a>,
    at: Option<&[f64]>,
    watch: &dyn Watch,
) -> Option<Report<'a>> {
    let at_given = at.is_some();
    let (hz, figures) = at.map_or_else(|| (third_octaves_hz(), 3), |at| (at.to_vec(), 5));
    let mut cache = LineCache::new(Sweep::audio());
    let mut variants = Vec::new();
    let count = chosen.variants.len() as f64;
    for (at, variant) in chosen.variants.iter().enumerate() {
        let watch = Part { whole: watch, from: at as f64 / count, to: (at + 1) as f64 / count };
        let missing = chosen.sound.map_or_else(Vec::new, |sound| missing(project, variant, sound));
        let share = Share::of(chosen.variants.len());
        let made = chosen.sound.map(|sound| sound.realise(variant));
        let out_of_reach = made.as_ref().map_or_else(Vec::new, |made| out_of_reach_words(variant, made));
        let base = made.as_ref().map_or(&project.state, |made| &made.state);
        let state = match &chosen.set {
            Some(sets) => set::state(&variant.rig, base, sets),
            None => base.clone(),
        };
        let played = |device: &&Device| device.kind.is_instrument() && Some(device.name.as_str()) == chosen.source;
        let played = variant.rig.devices.iter().find(played).map(|device| device.id);
        let state = State { instrument: played.or(state.instrument), ..state };
        variants.push(VariantReport {
            missing,
            out_of_reach,
            ..gather_one(project, variant, (state, chosen), &hz, share, &mut cache, &watch)?
        });
    }
    let sound = chosen.sound.map(|sound| sound.name.as_str());
    let Chosen { complex, vary_hand, .. } = *chosen;
    Some(Report { title: &project.title, sound, asked_hz: at_given, complex, vary_hand, hz, figures, variants })
}

fn gather_one<'a>(
    project: &Project,
    variant: &'a Arc<Variant>,
    (state, chosen): (State, &Chosen<'_>),
    hz: &[f64],
    share: Share,
    cache: &mut LineCache,
    watch: &dyn Watch,
) -> Option<VariantReport<'a>> {
    let part = |from: f64, to: f64| Part { whole: watch, from, to };
    if !watch.go_on(0.0) {
        return None;
    }
    let rig: &Rig = &variant.rig;
    let (state, feeding) = (&state, chosen.feeding);
    let unfed = feeding.unfed(rig);
    let request = Request { state: state.clone(), unfed: unfed.clone(), ..Request::of(project, variant) };
    let response = respond(&request, cache);
    let point = |name: String, answer: PointAnswer| {
        let levels = hz.iter().map(|&hz| answer.level_at(hz)).collect();
        let source = Some(device_name(rig, answer.source.device));
        Point { name, reference: reference(rig, answer.source), source, levels, answer }
    };
    let endpoints_left_out = response.endpoints_left_out;
    let response_jack = response.endpoints.first().map(|endpoint| endpoint.jack);
    let endpoints = response.endpoints.into_iter();
    let endpoints = endpoints.map(|endpoint| point(jack_name(rig, endpoint.jack), endpoint.at)).collect();
    let test_point = response.test_point.zip(request.test_point);
    let test_point = test_point.map(|(answer, at)| point(test_point_name(rig, at), answer));
    let target = request.test_point.map(Target::Point);
    let target = target.or_else(|| response_jack.map(Target::Endpoint));
    let question = target.map(|target| Question {
        rig: if chosen.vary_hand { Arc::new(rig.all_by_foot()) } else { Arc::clone(&variant.rig) },
        controls: state.clone(),
        target,
        unfed: unfed.clone(),
    });
    let switches = all_states(question.as_ref(), share, cache, &part(0.1, 0.4))?;
    let both = question.as_ref().zip(switches.as_ref());
    let heard = both.map_or_else(Vec::new, |(question, states)| heard(question, states, share.peaks(rig), cache));
    let states = all_states(question.as_ref(), share, &mut LineCache::new(Sweep::at(hz)), &part(0.4, 0.5))?;
    let judged = |asked| judge(project, variant, asked, switches.as_ref(), share, cache, &part(0.5, 0.9));
    let findings = match question.as_ref().map(judged) {
        Some(found) => found.ok()?,
        None => Vec::new(),
    };
    if !watch.go_on(0.9) {
        return None;
    }
    Some(VariantReport {
        name: &variant.name,
        rig,
        state: state.clone(),
        missing: Vec::new(),
        out_of_reach: Vec::new(),
        endpoints,
        endpoints_left_out,
        test_point,
        runs: response.runs,
        states,
        switches,
        heard,
        findings,
        unfed: unfed_carriers(rig),
        feeding,
        problems: problems(rig).into_iter().chain(switch_problems(project, variant)).collect(),
        power: power::gather(project, variant, false),
    })
}

/// All states, where there are any; none where it is told to stop.
fn all_states(
    question: Option<&Question>,
    share: Share,
    cache: &mut LineCache,
    watch: &dyn Watch,
) -> Option<Option<States>> {
    match question.map(|question| explore_within(share.states, question, cache, watch)) {
        Some(Err(NoStates::Stopped)) => None,
        Some(found) => Some(found.ok()),
        None => Some(None),
    }
}

/// The findings of a rig at the target whose states were asked for.
fn judge(
    project: &Project,
    variant: &Arc<Variant>,
    asked: &Question,
    states: Option<&States>,
    share: Share,
    cache: &mut LineCache,
    watch: &dyn Watch,
) -> Result<Vec<Diagnosis>, Stopped> {
    let question = findings::FindingsQuestion {
        variant: Arc::clone(variant),
        controls: asked.controls.clone(),
        target: asked.target,
        limits: project.limits,
        volts: volts_in_use(&variant.rig),
        unfed: asked.unfed.clone(),
    };
    findings::findings_within(share.findings, &question, states, cache, watch)
}

/// What there is to act on in a variant, as everything stands.
pub fn to_act_on(project: &Project, variant: &Arc<Variant>, watch: &dyn Watch) -> Option<Vec<Diagnosis>> {
    let (share, cache) = (Share::of(project.variants.len()), &mut LineCache::new(Sweep::audio()));
    let request = Request::of(project, variant);
    let target = match request.test_point {
        Some(point) => Some(Target::Point(point)),
        None => respond(&request, cache).endpoints.first().map(|endpoint| Target::Endpoint(endpoint.jack)),
    };
    let Some(target) = target else { return Some(Vec::new()) };
    let question =
        Question { rig: Arc::clone(&variant.rig), controls: project.state.clone(), target, unfed: Default::default() };
    let part = |from: f64, to: f64| Part { whole: watch, from, to };
    let states = all_states(Some(&question), share, cache, &part(0.1, 0.5))?;
    let found = judge(project, variant, &question, states.as_ref(), share, cache, &part(0.5, 1.0)).ok()?;
    Some(found.into_iter().filter(|finding| finding.severity == Severity::Act).collect())
}

/// What 0 dB is, by where the signal starts.
fn reference(rig: &Rig, source: JackRef) -> String {
    match rig.device(source.device).is_some_and(|device| device.kind.is_instrument()) {
        true => format!("the voltage made inside the instrument ({})", device_name(rig, source.device)),
        false => format!("the open voltage of {}", jack_name(rig, source)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use rigwright_core::compare::MOST_PEAKS;

    #[test]
    fn peaks_are_looked_at_up_to_a_share() {
        let chain = |devices: usize| {
            let blank = rigwright_core::file::blank().unwrap();
            let device = blank.variants[0].rig.devices[0].clone();
            Rig { devices: vec![device; devices], ..Rig::default() }
        };
        assert_eq!(Share::of(1).peaks(&chain(100)), MOST_PEAKS);
        assert_eq!(Share::of(1).peaks(&chain(1000)), 8);
        assert_eq!(Share::of(100).peaks(&chain(5)), 16);
        // The furthest jump's always.
        assert_eq!(Share::of(100).peaks(&chain(1000)), 1);
    }
}
