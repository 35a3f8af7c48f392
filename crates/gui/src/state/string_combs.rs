//! What the rig in hand hears of one string by where its pickups stand, where that is asked for.

use std::collections::BTreeSet;

use rigwright_core::response::{Request, StringComb, string_comb};
use rigwright_core::rig::{DeviceId, Instrument, JackRef, Kind, Project, Rig, Variant};
use rigwright_core::units::{Hertz, pitch};

use super::answers::is_quick;
use super::deferred::{Deferred, SameQuestion, Schedule};
use super::same_question::narrowed;
use crate::jobs::{Host, Lane};

/// A rig, where it is heard, and the open string.
#[derive(Debug, Clone, PartialEq)]
struct Asked {
    request: Request,
    endpoint: JackRef,
    open: Hertz,
}

impl SameQuestion for Asked {
    fn same(&self, other: &Self) -> bool {
        self.request.same(&other.request) && (self.endpoint, self.open) == (other.endpoint, other.open)
    }
}

impl Asked {
    fn answer(&self) -> Option<StringComb> {
        string_comb(&self.request, self.endpoint, self.open)
    }
}

/// The last such answer.
#[derive(Debug, Default)]
pub struct StringCombs {
    kept: Option<Deferred<Asked, Option<StringComb>>>,
}

impl StringCombs {
    /// Sees to it that there is an answer at an endpoint of a variant without the devices `unfed`:
    /// now, or in a while where it takes long. None is asked for without a string.
    pub fn update(
        &mut self,
        project: &Project,
        (variant, unfed): (&Variant, &BTreeSet<DeviceId>),
        (endpoint, open): (Option<JackRef>, Option<Hertz>),
        host: &dyn Host,
    ) {
        let (Some(endpoint), Some(open)) = (endpoint, open) else {
            self.kept = None;
            return;
        };
        let request = narrowed(Request { unfed: unfed.clone(), ..Request::of(project, variant) });
        let asked = Asked { request, endpoint, open };
        let kept = self.kept.get_or_insert_default();
        if kept.answers(&asked) || is_quick(&asked.request.rig) {
            kept.answer(&asked, || asked.answer());
        } else {
            let schedule = Schedule { host, lane: Lane::Answers, finish_running: true };
            let later = asked.clone();
            kept.ask(&asked, schedule, move |_| Some(later.answer()));
        }
    }

    /// The answer, if one is asked for and is there.
    #[must_use]
    pub fn shown(&self) -> Option<&StringComb> {
        self.kept.as_ref()?.shown().filter(|found| !found.old)?.answer.as_ref().as_ref()
    }

    /// Whether it is being worked out.
    #[must_use]
    pub fn is_computing(&self) -> bool {
        self.kept.as_ref().is_some_and(|kept| kept.progress().is_some())
    }
}

/// Frequency in Hz and name of the instrument's open strings.
#[must_use]
pub fn open_strings(rig: &Rig) -> &'static [(f64, &'static str)] {
    use std::sync::LazyLock;
    type Notes = Vec<(f64, &'static str)>;
    fn of(strings: &[(f64, &'static str)]) -> Notes {
        strings.iter().map(|(note, name)| (pitch::frequency_hz(*note), *name)).collect()
    }
    static GUITAR: LazyLock<Notes> = LazyLock::new(|| of(&pitch::GUITAR_STRINGS));
    static BASS: LazyLock<Notes> = LazyLock::new(|| of(&pitch::BASS_STRINGS));
    let bass = rig.devices.iter().find_map(|device| match &device.kind {
        Kind::Guitar(guitar) => Some(guitar.instrument == Instrument::Bass),
        Kind::Active(source) => Some(source.instrument == Instrument::Bass),
        _ => None,
    });
    if bass == Some(true) { &BASS } else { &GUITAR }
}
