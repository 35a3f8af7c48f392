//! How far ways can go together, whatever each of them is: bounds where there are
//! too many choices to go through.

use super::{Begin, Choice, Choices};
use crate::network::{SeenAdmittance, Spectrum, Transfer};
use crate::plan::Behaviour;
use crate::watch::Stopped;

/// A bound of what arrives over all ways of a block, at each frequency.
#[derive(Debug, Clone, PartialEq)]
pub struct Reach {
    /// The admittance where the ways part lies within so many S of the one that is told.
    pub radius: Vec<f64>,
    /// The most of the voltage there that can arrive, as a power ratio.
    pub most: Vec<f64>,
    /// The least.
    pub least: Vec<f64>,
}

/// What one way can be.
struct Span {
    /// The least and the greatest real part of its admittance, in S, at each frequency.
    re: Vec<(f64, f64)>,
    /// The same of the imaginary part.
    im: Vec<(f64, f64)>,
    /// The same of how much arrives over it.
    gain: Vec<(f64, f64)>,
}

impl Choices<'_, '_> {
    /// A block as one choice within which all its choices lie; none where one of its
    /// ways alone has too many, or more happens than that ways part. Of ways that feel each
    /// other it says nothing.
    pub fn reach(&mut self, begin: Begin) -> Result<Option<Choice>, Stopped> {
        if self.is_meshed() {
            return Ok(None);
        }
        let (at, has_outputs) = match begin {
            Begin::Station(at) => (at, false),
            Begin::Outputs(at) => (at, true),
        };
        let station = &self.plan.stations[at];
        let [alternative] = &station.alternatives[..] else { return Ok(None) };
        if matches!(&alternative.behaviour, Behaviour::Pass { rungs, .. } if !rungs.rungs.is_empty()) {
            return Ok(None);
        }
        let mut spans = Vec::new();
        for (_, wire) in station.wires(alternative) {
            self.is_cut = false;
            let choices = match &alternative.behaviour {
                Behaviour::Isolate { output, .. } => self.of_source(output, wire)?,
                _ => self.of_wire(wire)?,
            };
            if self.is_cut || choices.iter().any(|choice| choice.seen == SeenAdmittance::Short) {
                return Ok(None);
            }
            spans.push(Span::of(&choices, self.line_cache.sweep().len(), has_outputs));
        }
        Ok(Some(together(&spans, self.line_cache.sweep().len())))
    }
}

impl Span {
    fn of(choices: &[Choice], points: usize, has_outputs: bool) -> Self {
        let none = || vec![(f64::INFINITY, f64::NEG_INFINITY); points];
        let mut span = Self { re: none(), im: none(), gain: none() };
        let take = |range: &mut (f64, f64), value: f64| *range = (range.0.min(value), range.1.max(value));
        for choice in choices {
            for at in 0..points {
                let seen = match &choice.seen {
                    SeenAdmittance::Admittance(y) if !has_outputs => (y.re[at], y.im[at]),
                    _ => (0.0, 0.0),
                };
                let gain = choice.transfer.as_ref().and_then(|transfer| transfer.at(at)).map_or(0.0, |sum| sum.norm());
                take(&mut span.re[at], seen.0);
                take(&mut span.im[at], seen.1);
                take(&mut span.gain[at], gain);
            }
        }
        span
    }
}

/// All ways together: admittances and gains add up, these at worst against each other.
fn together(spans: &[Span], points: usize) -> Choice {
    let mut seen = Spectrum::constant(0.0.into(), points);
    let mut reach = Reach { radius: vec![0.0; points], most: vec![0.0; points], least: vec![0.0; points] };
    for at in 0..points {
        let (mut half_re, mut half_im, mut most) = (0.0, 0.0, 0.0);
        for span in spans {
            let (re, im) = (span.re[at], span.im[at]);
            seen.re[at] += 0.5 * (re.0 + re.1);
            seen.im[at] += 0.5 * (im.0 + im.1);
            half_re += 0.5 * (re.1 - re.0);
            half_im += 0.5 * (im.1 - im.0);
            most += span.gain[at].1;
        }
        // One way at its least, all others against it at their most.
        let least = spans.iter().map(|span| span.gain[at].0 - (most - span.gain[at].1)).fold(0.0, f64::max);
        reach.radius[at] = half_re.hypot(half_im);
        (reach.most[at], reach.least[at]) = (most * most, least * least);
    }
    let transfer = Some(Transfer::whole(points));
    Choice { seen: SeenAdmittance::Admittance(seen), stands: Vec::new(), hidden: None, transfer, reach: Some(reach) }
}
