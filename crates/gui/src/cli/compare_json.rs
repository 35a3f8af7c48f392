//! `rigwright compare --json`. The keys stay as they are.

use rigwright_core::compare::{Against, Compared};
use rigwright_core::rig::device_name;
use serde::Serialize;

use super::compare::{Table, differences, place};
use super::json::{Equivalent, Peak};

/// Writes a comparison as one line of JSON; numbers in full, silence as null.
pub fn render(table: &Table<'_>) -> Result<String, serde_json::Error> {
    let top = Top {
        title: &table.project.title,
        sound: table.sound.map(|sound| sound.name.as_str()),
        against: table.base,
        straight: table.comparison.against == Against::Straight,
        currency: &table.project.currency,
        variants: table.comparison.variants.iter().map(|one| Variant::of(table, one)).collect(),
    };
    let mut text = serde_json::to_string(&top)?;
    text.push('\n');
    Ok(text)
}

#[derive(Serialize)]
struct Top<'a> {
    title: &'a str,
    sound: Option<&'a str>,
    /// The variant that all are compared with, or what the straight lead is called.
    against: &'a str,
    straight: bool,
    currency: &'a str,
    variants: Vec<Variant<'a>>,
}

#[derive(Serialize)]
struct Variant<'a> {
    name: &'a str,
    at: Option<String>,
    peak: Option<Peak>,
    #[serde(skip_serializing_if = "Option::is_none")]
    peak_reason: Option<String>,
    minus3_hz: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    minus3_reason: Option<String>,
    lead_equivalent: Equivalent,
    worst_jump: Option<Jump>,
    /// Prices in the currency; leads that have none are counted beside them.
    added: f64,
    added_leads_without_price: usize,
    left_out: f64,
    left_out_leads_without_price: usize,
    difference: Difference<'a>,
}

#[derive(Serialize)]
struct Jump {
    switch: String,
    db: f64,
    hz: f64,
    exact: bool,
    peak_off_hz: Option<f64>,
    peak_on_hz: Option<f64>,
}

#[derive(Serialize)]
struct Difference<'a> {
    hz: &'a [f64],
    db: Vec<Option<f64>>,
}

impl<'a> Variant<'a> {
    fn of(table: &'a Table<'_>, one: &'a Compared<'_>) -> Self {
        let figures = one.row.figures.as_ref();
        let peak = figures.map(|figures| figures.peak);
        let minus3 = figures.map(|figures| figures.minus3);
        let lead = figures.map(|figures| &figures.lead_equivalent);
        let no_signal = || "no signal gets there".to_owned();
        Self {
            name: &one.variant.name,
            at: place(one).filter(|_| one.answer.is_some()),
            peak: peak.and_then(Result::ok).map(Into::into),
            peak_reason: peak.map_or_else(|| Some(no_signal()), |peak| peak.err().map(|why| why.to_string())),
            minus3_hz: minus3.and_then(Result::ok).map(|minus3| minus3.hz),
            minus3_reason: minus3.map_or_else(|| Some(no_signal()), |minus3| minus3.err().map(|why| why.to_string())),
            lead_equivalent: Equivalent {
                m: lead.and_then(|lead| lead.as_ref().ok()).copied(),
                reason: lead.map_or_else(|| Some(no_signal()), |lead| lead.as_ref().err().map(ToString::to_string)),
            },
            worst_jump: one.row.worst_jump.map(|jump| Jump {
                switch: device_name(&one.variant.rig, jump.device()),
                db: jump.db,
                hz: jump.hz,
                exact: jump.exact,
                peak_off_hz: jump.peak.before,
                peak_on_hz: jump.peak.after,
            }),
            added: one.row.cost.added.price,
            added_leads_without_price: one.row.cost.added.leads_without_price,
            left_out: one.row.cost.left_out.price,
            left_out_leads_without_price: one.row.cost.left_out.leads_without_price,
            difference: Difference { hz: &table.hz, db: differences(table, one.answer.as_ref()) },
        }
    }
}
