//! What the plot shows in numbers: levels or differences, curves and bands.

use std::sync::Arc;

use egui::Color32;
use rigwright_core::compare::difference;
use rigwright_core::response::words::peak_line;
use rigwright_core::response::{PointAnswer, Response};
use rigwright_core::states::States;
use rigwright_core::units::{Level, hertz};

use super::style::Style;
use crate::state::AllStates;

/// A variant that is shown, or a sound on the variant in hand.
pub struct Shown<'a> {
    /// What it is called.
    pub name: &'a str,
    /// Its accent.
    pub ink: Color32,
    /// Its line and hatching.
    pub style: &'static Style,
    /// All that is known of it as everything stands.
    pub response: &'a Arc<Response>,
    /// What arrives where levels are taken.
    pub answer: &'a PointAnswer,
    /// All its footswitch states; none of a sound, which is one of them.
    pub all: Option<&'a Arc<AllStates>>,
    /// Whether those are of the rig before its last change.
    pub old: bool,
    /// Whether the curve itself is.
    pub curve_old: bool,
    /// Whether it is the variant in hand.
    pub in_hand: bool,
}

impl Shown<'_> {
    /// Its footswitch states, if there are any that sound.
    #[must_use]
    pub fn states(&self) -> Option<&States> {
        self.all?.as_ref().as_ref().ok()
    }
}

/// What the vertical axis says.
#[derive(Clone, Copy)]
pub enum VerticalAxis<'a> {
    /// Levels.
    Level,
    /// How much higher than a base, which may be missing or silent.
    Difference {
        /// What arrives there.
        base: Option<&'a PointAnswer>,
        /// What it is called.
        name: &'a str,
    },
}

/// In the difference view bands are shown down to this, if no curve goes deeper.
const DEEP_DB: f64 = -19.0;

/// A band in numbers: log10 of the frequency in Hz, lowest, highest in dB.
pub type Strip = Vec<[f64; 3]>;

impl VerticalAxis<'_> {
    /// A level of an answer, or its difference, at a frequency, exactly.
    #[must_use]
    pub fn at(&self, answer: &PointAnswer, hz: f64) -> Option<f64> {
        match self {
            VerticalAxis::Level => answer.level_at(hz).decibels(),
            VerticalAxis::Difference { base, .. } => difference(answer.level_at(hz), (*base)?.level_at(hz)),
        }
    }

    /// A curve as stretches of points (log10 f, dB), cut where there is nothing.
    #[must_use]
    pub fn stretches(&self, answer: &PointAnswer) -> Vec<Vec<[f64; 2]>> {
        let mut found = vec![Vec::new()];
        for (at, hz) in answer.curve.hz().iter().enumerate() {
            let value = answer.curve.levels().get(at).and_then(|level| Some(level.decibels()? - self.zero(at, *hz)?));
            match (value, found.last_mut()) {
                (Some(db), Some(stretch)) => stretch.push([hz.log10(), db]),
                (None, Some(stretch)) if !stretch.is_empty() => found.push(Vec::new()),
                _ => {}
            }
        }
        found.retain(|stretch| !stretch.is_empty());
        found
    }

    /// The band of all states. In the difference view it is all states less the
    /// base as that stands: what any state may be away from it.
    #[must_use]
    pub fn strip(&self, states: &States) -> Strip {
        let edges = states.lowest_db().iter().zip(states.highest_db());
        let each = states.hz().iter().zip(edges).enumerate();
        let strip = each.filter_map(|(at, (hz, (low, high)))| {
            let zero = self.zero(at, *hz)?;
            Some([hz.log10(), low - zero, high - zero])
        });
        strip.collect()
    }

    /// What is 0 dB at a frequency. Almost always it has the same index in the base's
    /// curve: only a comb has points of its own.
    fn zero(&self, at: usize, hz: f64) -> Option<f64> {
        match self {
            VerticalAxis::Level => Some(0.0),
            VerticalAxis::Difference { base, .. } => {
                let base = (*base)?;
                match base.curve.hz().get(at) == Some(&hz) {
                    true => base.curve.levels().get(at)?.decibels(),
                    false => base.level_at(hz).decibels(),
                }
            }
        }
    }

    /// Bottom and top of the plot in dB: all of every curve, but not more than 45 dB.
    #[must_use]
    pub fn range(&self, shown: &[Shown<'_>]) -> (f64, f64) {
        let curves = shown.iter().flat_map(|curve| self.stretches(curve.answer)).flatten().map(|[_, db]| db);
        let (mut low, mut high) =
            curves.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), db| (low.min(db), high.max(db)));
        // A band's upper edge is looked at as much as the curve; how deep it goes matters less.
        let mut deepest = 0.0_f64;
        for [_, lowest, highest] in shown.iter().filter_map(Shown::states).flat_map(|states| self.strip(states)) {
            high = high.max(highest);
            deepest = deepest.min(lowest);
        }
        if let VerticalAxis::Difference { .. } = self {
            (low, high) = (low.min(deepest.max(DEEP_DB)), high.max(0.0));
        } else if low > high {
            return (-25.0, 10.0);
        }
        let above = if matches!(self, VerticalAxis::Level) { 6.0 } else { 3.0 };
        let top = ((high + above) / 5.0).ceil() * 5.0;
        let bottom = ((low - 1.0) / 5.0).floor() * 5.0;
        (bottom.max(top - 45.0).min(top - 15.0), top)
    }

    /// What the plot shows, for a screen reader.
    #[must_use]
    pub fn summary(&self, shown: &[Shown<'_>]) -> String {
        let before = |curve: &Shown<'_>| if curve.curve_old { ", before the last change" } else { "" };
        let told: Vec<String> = shown.iter().map(|curve| self.told(curve) + before(curve)).collect();
        let title = match self {
            VerticalAxis::Level => "Level plot from 20 Hz to 20 kHz.".to_owned(),
            VerticalAxis::Difference { name, .. } => format!("Difference plot from 20 Hz to 20 kHz, dB from {name}."),
        };
        format!("{title} {}", told.join(". "))
    }

    fn told(&self, curve: &Shown<'_>) -> String {
        let name = curve.name;
        if let VerticalAxis::Level = self {
            let peak = match curve.answer.peak {
                Ok(peak) => peak_line(&peak).replacen('P', "p", 1),
                Err(why) => format!("no peak, {why}"),
            };
            return match curve.answer.minus3 {
                Ok(point) => format!("{name}: {peak}, 3 dB down at {}", hertz(point.hz)),
                Err(_) => format!("{name}: {peak}"),
            };
        }
        let points: Vec<[f64; 2]> = self.stretches(curve.answer).concat();
        let most = points.iter().max_by(|a, b| a[1].abs().total_cmp(&b[1].abs()));
        match most {
            Some([_, db]) if db.abs() < 0.05 => format!("{name}: no difference"),
            Some([log_hz, db]) => {
                let at = hertz(10.0_f64.powf(*log_hz));
                format!("{name}: {} at {at}, where it differs most", Level::Decibels(*db))
            }
            None => format!("{name}: nothing to tell, one of the two is silent"),
        }
    }
}
