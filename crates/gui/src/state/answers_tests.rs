//! What is computed, and what isn't.

use super::*;
use rigwright_core::compare::{Against, compare};
use rigwright_core::file;
use rigwright_core::parts::catalogue;
use rigwright_core::rig::{
    CanvasPoint, DeviceId, Edit, FeedId, Lead, LeadId, Limits, OutletRef, PowerEdit, Variant, apply,
};
use rigwright_core::units::{Metres, Ohms};

use crate::jobs::TestHost;

/// The blank rig twice: the variants share the rig, and the second gets a device that the first hasn't.
fn two() -> Project {
    let blank = file::blank().unwrap();
    let id = VariantId(blank.next_id);
    let copy = Variant { id, name: "copy".to_owned(), ..(*blank.variants[0]).clone() };
    apply(&blank, &Edit::AddVariant(Arc::new(copy))).unwrap()
}

#[test]
fn what_no_answer_depends_on_computes_none() {
    let project = two();
    let mut answers = Answers::default();
    assert!(answers.update(&project, project.variants[0].id, &TestHost::new()));
    assert_eq!(answers.computed(), 2);
    assert!(!answers.update(&project, project.variants[0].id, &TestHost::new()));
    let (variant, device) = (project.variants[0].id, project.variants[0].rig.devices[0].id);
    let place = Some(CanvasPoint { x: 3.0, y: 4.0 });
    let moved = apply(&project, &Edit::Place { variant, device, place }).unwrap();
    let renamed = apply(&moved, &Edit::SetTitle("tour".to_owned())).unwrap();
    assert!(!answers.update(&renamed, renamed.variants[0].id, &TestHost::new()));
    assert_eq!(answers.computed(), 2);
}

#[test]
fn an_edit_computes_its_own_variant_only() {
    let project = two();
    let mut answers = Answers::default();
    answers.update(&project, project.variants[0].id, &TestHost::new());
    let (first, second) = (project.variants[0].id, project.variants[1].id);
    let before = Arc::clone(answers.get(first).unwrap());
    let mut lead = project.variants[1].rig.leads[0].clone();
    lead.length = Metres::of(30.0);
    let edit = Edit::SetLead { variant: second, lead: Box::new(lead) };
    let longer = apply(&project, &edit).unwrap();
    assert!(answers.update(&longer, longer.variants[0].id, &TestHost::new()));
    assert_eq!(answers.computed(), 3);
    assert!(Arc::ptr_eq(answers.get(first).unwrap(), &before));
    assert_ne!(**answers.get(second).unwrap(), *before);
    assert!(answers.update(&project, project.variants[0].id, &TestHost::new()), "back again");
    assert_eq!(**answers.get(second).unwrap(), *before);
}

#[test]
fn a_switch_that_a_variant_lacks_is_nothing_to_it() {
    let mut project = two();
    let device = rigwright_core::parts::catalogue().part("mild-drive").unwrap().device(DeviceId(project.next_id));
    let id = device.id;
    let (first, second) = (project.variants[0].id, project.variants[1].id);
    let add = Edit::AddDevice { variant: second, device: Box::new(device), place: None };
    project = apply(&project, &add).unwrap();
    let mut answers = Answers::default();
    answers.update(&project, project.variants[0].id, &TestHost::new());
    let before = Arc::clone(answers.get(first).unwrap());
    let stepped = apply(&project, &Edit::Switch(rigwright_core::rig::SwitchSetting::on(id))).unwrap();
    answers.update(&stepped, stepped.variants[0].id, &TestHost::new());
    assert!(Arc::ptr_eq(answers.get(first).unwrap(), &before));
    assert_eq!(answers.computed(), 3);
}

#[test]
fn gone_variants_are_dropped() {
    let project = two();
    let mut answers = Answers::default();
    answers.update(&project, project.variants[0].id, &TestHost::new());
    let gone = project.variants[1].id;
    let one = apply(&project, &Edit::RemoveVariant(gone)).unwrap();
    assert!(answers.update(&one, one.variants[0].id, &TestHost::new()));
    assert!(answers.get(gone).is_none());
    assert_eq!(answers.computed(), 2);
}

/// The answers to the demo, worked out on a machine in memory.
struct Fixture {
    host: TestHost,
    answers: Answers,
    compares: bool,
}

impl Fixture {
    fn new() -> Self {
        Self { host: TestHost::new(), answers: Answers::default(), compares: false }
    }

    /// What was worked out for this project.
    fn of(&mut self, project: &Project) -> u64 {
        let before = self.answers.computed();
        self.answers.update(project, project.variants[0].id, &self.host);
        let compares = self.compares;
        self.answers.refresh(&WantedAnswers { compares, ..wants(project, &self.host) });
        self.answers.computed() - before
    }

    fn advice_question(&self, project: &Project) -> advice::AdviceQuestion {
        self.answers.advice_question(&wants(project, &self.host), advice::Wishes::default()).unwrap()
    }
}

fn wants<'a>(project: &'a Project, host: &'a TestHost) -> WantedAnswers<'a> {
    let showing = project.variants[0].id;
    WantedAnswers { project, showing, endpoint: &first_endpoint, compares: false, peaks: 0, host }
}

fn first_endpoint(response: &Response) -> Option<JackRef> {
    response.endpoints.first().map(|endpoint| endpoint.jack)
}

/// Edits of power of the demo's first variant, each on its own.
fn edits_of_power(project: &Project) -> Vec<Edit> {
    let (variant, fresh) = (project.variants[0].id, project.next_id);
    let rig = &project.variants[0].rig;
    let feed = rig.feeds[0].clone();
    let device = feed.taps[0].device;
    let supply = rig.supplies().next().unwrap().0;
    let mut other = supply.clone();
    (other.id, other.name) = (DeviceId(fresh), "Buffer".to_owned());
    let power = Box::new(rig.device(rig.feeds[1].taps[0].device).unwrap().power.clone());
    let mut edits: Vec<Edit> = [
        PowerEdit::Unplug(device),
        PowerEdit::RemoveFeed(feed.id),
        PowerEdit::SetPower { device, power },
        PowerEdit::PlugIn { device, outlet: OutletRef::new(supply.id, 5), feed: FeedId(fresh) },
    ]
    .into_iter()
    .map(|edit| Edit::Power { variant, edit })
    .collect();
    edits.push(Edit::AddDevice { variant, device: Box::new(other), place: None });
    edits.push(Edit::RemoveDevice { variant, device: supply.id });
    edits
}

#[test]
fn an_edit_of_power_works_nothing_out_and_leaves_nothing_old() {
    let project = file::demo().unwrap();
    let mut fixture = Fixture::new();
    assert!(fixture.of(&project) > 0);
    let question = fixture.advice_question(&project);
    fixture.answers.seek(&question, &fixture.host);
    let mut before = project.clone();
    for edit in edits_of_power(&project) {
        let after = apply(&project, &edit).unwrap();
        assert_ne!(after.variants[0].rig, project.variants[0].rig, "{edit:?}");
        // What a drive can give goes by its voltage, and findings tell that.
        let other_volts = volts_in_use(&after.variants[0].rig) != volts_in_use(&before.variants[0].rig);
        assert_eq!(fixture.of(&after), u64::from(other_volts), "{edit:?}");
        before = after.clone();
        // What is shown is what a window that just opened would work out, ids of fixes included.
        let mut anew = Fixture::new();
        anew.of(&after);
        let id = after.variants[0].id;
        assert_eq!(fixture.answers.get(id), anew.answers.get(id));
        let (kept, fresh) = (fixture.answers.findings().unwrap(), anew.answers.findings().unwrap());
        assert!(!kept.old && kept.answer == fresh.answer, "{edit:?}");
        let question = fixture.advice_question(&after);
        anew.answers.seek(&question, &anew.host);
        let kept = fixture.answers.advice(Some(&question)).unwrap();
        assert!(!kept.old && kept.answer == anew.answers.advice(Some(&question)).unwrap().answer, "{edit:?}");
        // Each fix can be done.
        let findings = fixture.answers.findings().unwrap().answer;
        let mut fixes = findings.iter().flat_map(|finding| &finding.remedies).filter_map(|fix| fix.edit.as_ref());
        assert!(fixes.all(|fix| apply(&after, fix).is_ok()), "{edit:?}");
    }
}

#[test]
fn a_fix_leaves_what_its_unit_takes_as_it_is_now() {
    let project = file::demo().unwrap();
    let mut fixture = Fixture::new();
    fixture.of(&project);
    let after = edits_of_power(&project).into_iter().fold(project.clone(), |project, edit| match edit {
        Edit::Power { edit: PowerEdit::SetPower { power, .. }, variant } => {
            let devices: Vec<DeviceId> = project.variants[0].rig.carriers().map(|device| device.id).collect();
            devices.into_iter().fold(project, |project, device| {
                let edit = PowerEdit::SetPower { device, power: power.clone() };
                apply(&project, &Edit::Power { variant, edit }).unwrap()
            })
        }
        _ => project,
    });
    // Each device takes a low voltage now, and findings go by the voltage of each.
    assert_eq!(fixture.of(&after), 1);
    let question = fixture.advice_question(&after);
    fixture.answers.seek(&question, &fixture.host);
    let findings = Arc::clone(fixture.answers.findings().unwrap().answer);
    let advice = Arc::clone(fixture.answers.advice(Some(&question)).unwrap().answer);
    let fixes = findings.iter().flat_map(|finding| &finding.remedies).filter_map(|fix| fix.edit.as_ref());
    for edit in fixes.chain(advice.suggestions.iter().map(|one| &one.edit)) {
        let mended = apply(&after, edit).unwrap();
        for device in after.variants[0].rig.carriers() {
            let now = mended.variants[0].rig.device(device.id);
            assert!(now.is_none_or(|now| now.power == device.power || now.part != device.part), "{edit:?}");
        }
    }
}

#[test]
fn a_change_of_the_signal_works_all_of_it_out() {
    let project = file::demo().unwrap();
    let variant = project.variants[0].id;
    let mut lead = project.variants[0].rig.leads[0].clone();
    lead.length = Metres::of(9.0);
    let mut renamed = project.variants[0].rig.devices[1].clone();
    renamed.name = "Something else".to_owned();
    let mut fixture = Fixture::new();
    fixture.of(&project);
    for edit in
        [Edit::SetLead { variant, lead: Box::new(lead) }, Edit::SetDevice { variant, device: Box::new(renamed) }]
    {
        let after = apply(&project, &edit).unwrap();
        assert_eq!(fixture.of(&after), 3, "curve, states and findings: {edit:?}");
        assert_eq!(fixture.of(&project), 3, "and back: {edit:?}");
    }
}

#[test]
fn findings_that_wait_for_the_states_are_marked_as_old() {
    let mut project = file::blank().unwrap();
    let variant = project.variants[0].id;
    let lead = project.variants[0].rig.leads[0].clone();
    // So many true-bypass units that their states are worked out beside the window.
    for _ in 0..110 {
        let id = project.next_id;
        let unit = catalogue().part("mild-drive").unwrap().device(DeviceId(id));
        let patch = Lead { id: LeadId(id + 1), ..lead.clone() };
        let edit = Edit::Insert { variant, lead: lead.id, device: Box::new(unit), patch: Box::new(patch) };
        project = apply(&project, &edit).unwrap();
    }
    let mut fixture = Fixture::new();
    while fixture.of(&project) > 0 {}
    assert!(!fixture.answers.findings().unwrap().old);
    fixture.host.hold_work(true);
    let own = project.variants[0].rig.leads[0].clone();
    let longer = Lead { length: Metres::of(9.0), ..own };
    let after = apply(&project, &Edit::SetLead { variant, lead: Box::new(longer) }).unwrap();
    fixture.of(&after);
    assert!(fixture.answers.states(variant).unwrap().old, "they are worked out at once");
    assert!(fixture.answers.findings().unwrap().old);
    fixture.host.hold_work(false);
    while fixture.of(&after) > 0 {}
    assert!(!fixture.answers.findings().unwrap().old);
}

#[test]
fn worst_jumps_are_worked_out_while_rigs_are_compared() {
    let project = file::demo().unwrap();
    let (first, second) = (project.variants[0].id, project.variants[1].id);
    let mut fixture = Fixture::new();
    fixture.of(&project);
    assert!(fixture.answers.worst_jump(first).is_none(), "nobody asked");
    fixture.compares = true;
    assert_eq!(fixture.of(&project), 2, "one a variant");
    let cache = &mut LineCache::new(Sweep::audio());
    let fresh = compare(&project, &project.state, Against::Variant(first), cache).unwrap();
    for one in &fresh.variants {
        let shown = fixture.answers.worst_jump(one.variant.id).unwrap();
        assert!(!shown.old && one.row.worst_jump.is_some());
        assert_eq!(**shown.answer, one.row.worst_jump);
    }
    assert_eq!(fixture.of(&project), 0);
    // Another rig while nobody compares: what is kept is known to be old, and worked out when it is asked for.
    fixture.compares = false;
    let mut lead = project.variants[0].rig.leads[0].clone();
    lead.length = Metres::of(9.0);
    let longer = apply(&project, &Edit::SetLead { variant: first, lead: Box::new(lead) }).unwrap();
    assert_eq!(fixture.of(&longer), 3, "curve, states and findings");
    assert!(fixture.answers.worst_jump(first).unwrap().old && !fixture.answers.worst_jump(second).unwrap().old);
    fixture.compares = true;
    assert_eq!(fixture.of(&longer), 1);
    assert!(!fixture.answers.worst_jump(first).unwrap().old);
    // Where a fuzz begins is part of the question.
    let limits = Limits { fuzz: Ohms::of(1e3), ..project.limits };
    let stricter = apply(&longer, &Edit::SetLimits(Box::new(limits))).unwrap();
    fixture.of(&stricter);
    let fuzz = project.variants[0].rig.devices.iter().find(|device| device.name == "Fuzz").unwrap().id;
    let shown = fixture.answers.worst_jump(first).unwrap();
    assert_eq!(shown.answer.unwrap().device(), fuzz);
}
