//! `rigwright compare`: all variants side by side, as a table for people.

use std::collections::BTreeMap;

use rigwright_core::cascade::LineCache;
use rigwright_core::compare::{
    self, Against, Compared, Comparison, JUMPS_COUNTED, LEVEL_TAKEN, NoComparison, STRAIGHT_WAY, WorstJump,
    compare_fed, difference, money,
};
use rigwright_core::network::{Sweep, third_octaves_hz};
use rigwright_core::response::PointAnswer;
use rigwright_core::rig::{
    Feeding, Project, Sound, State, Variant, VariantId, jack_name, test_point_name, unfed_carriers,
};
use rigwright_core::states::Target;
use rigwright_core::units::{Level, engineering, hertz, metres};
use rigwright_core::watch::Watch;
use rigwright_core::words::capital;

use super::arguments::Compare;
use super::text::Page;
use super::{Aside, choose, compare_json, open, refuse, stopped, table, words};

/// All that is printed of a comparison, before it is text or JSON.
pub struct Table<'a> {
    pub project: &'a Project,
    pub sound: Option<&'a Sound>,
    /// What the base is called.
    pub base: &'a str,
    pub comparison: Comparison<'a>,
    /// The frequencies of the differences, in Hz.
    pub hz: Vec<f64>,
    /// Whether units without power count as fed.
    pub feeding: Feeding,
}

impl<'a> Table<'a> {
    /// The variants with units that get no power, and what is said of those.
    fn unfed(&self) -> impl Iterator<Item = (&'a Variant, String)> {
        let said = |variant: &'a std::sync::Arc<Variant>| {
            let carriers = unfed_carriers(&variant.rig);
            Some((&**variant, words::unfed(&variant.rig, &carriers, self.feeding)?))
        };
        self.project.variants.iter().filter_map(said)
    }
}

/// What the guitar straight into the amp is called, and asked for by.
const STRAIGHT: &str = "straight";

/// The answer to what was asked.
pub fn answer(asked: &Compare, watch: &dyn Watch) -> Result<String, Aside> {
    let project = open::project(&asked.file)?;
    let sound = choose::sound(&project, asked.sound.as_deref(), &asked.file)?;
    let against = against(&project, asked)?;
    let made = project.variants.iter().filter_map(|variant| Some((variant.id, sound?.realise(variant).state)));
    let made: BTreeMap<VariantId, State> = made.collect();
    let state = |variant| made.get(&variant).unwrap_or(&project.state);
    let feeding = asked.power.unwrap_or_default();
    let comparison = match compare_fed(&project, &state, against, feeding, &mut LineCache::new(Sweep::audio()), watch) {
        Ok(comparison) => comparison,
        Err(NoComparison::NothingStraight) => {
            return refuse(format!(
                "In no variant of {} does a signal come {STRAIGHT_WAY}, so there is nothing to plug in straight.",
                open::shown(&asked.file)
            ));
        }
        Err(NoComparison::Stopped) => return stopped(),
        Err(NoComparison::NoSuchVariant) => return no_variant(asked),
    };
    let base = match against {
        Against::Straight => compare::STRAIGHT,
        Against::Variant(id) => project.variant(id).map_or("", |variant| &variant.name),
    };
    let table = Table { project: &project, sound, base, comparison, hz: third_octaves_hz(), feeding };
    if asked.json {
        compare_json::render(&table).or_else(|error| refuse(format!("This can't be written as JSON: {error}.")))
    } else {
        Ok(render(&table))
    }
}

/// A variant called "straight" is asked for by its name like any other.
fn against(project: &Project, asked: &Compare) -> Result<Against, Aside> {
    let Some(first) = project.variants.first() else { return no_variant(asked) };
    let Some(name) = &asked.against else { return Ok(Against::Variant(first.id)) };
    if let Some(variant) = choose::named(&project.variants, name, |variant| &variant.name).first() {
        return Ok(Against::Variant(variant.id));
    }
    if name == STRAIGHT {
        return Ok(Against::Straight);
    }
    let names = project.variants.iter().map(|variant| variant.name.as_str());
    choose::missing("variant", name, &asked.file, names.chain([STRAIGHT]))
}

fn no_variant<T>(asked: &Compare) -> Result<T, Aside> {
    refuse(format!("{} holds no variant to compare.", open::shown(&asked.file)))
}

/// Where a variant's level is taken: "Amp left, in".
pub fn place(one: &Compared<'_>) -> Option<String> {
    one.target.map(|target| match target {
        Target::Endpoint(jack) => jack_name(&one.variant.rig, jack),
        Target::Point(point) => test_point_name(&one.variant.rig, point),
    })
}

/// How much higher a variant is than the base at each frequency, in dB.
pub fn differences(table: &Table<'_>, own: Option<&PointAnswer>) -> Vec<Option<f64>> {
    let one = |hz: &f64| difference(own?.level_at(*hz), table.comparison.base.as_ref()?.level_at(*hz));
    table.hz.iter().map(one).collect()
}

fn render(table: &Table<'_>) -> String {
    let mut page = Page::default();
    page.lines(table::underlined(&table.project.title, '='));
    if let Some(sound) = table.sound {
        page.line(&format!("Sound: {}", sound.name));
    }
    for (variant, unfed) in table.unfed() {
        page.line(&format!("Not fed in {}: {unfed}", variant.name));
    }
    page.line(&format!("Compared with: {}", table.base));
    page.gap();
    page.lines(overview(table));
    told(table, &capital(LEVEL_TAKEN), &mut page, |one| {
        vec![place(one).filter(|_| one.answer.is_some()).unwrap_or_else(|| "no signal gets there".to_owned())]
    });
    told(table, &format!("Worst jump, {JUMPS_COUNTED}"), &mut page, |one| {
        vec![one.row.worst_jump.map_or_else(no_jump, |jump| jumps(one, &jump))]
    });
    told(table, "What it costs more", &mut page, |one| vec![one.row.cost.told(&table.project.currency)]);
    told(table, "Why there is none", &mut page, reasons);
    levels(table, &mut page);
    page.text
}

/// One line a variant, figures only.
fn overview(table: &Table<'_>) -> Vec<String> {
    let headings = ["", "peak", "height", "−3 dB", "sounds like", "worst jump", "costs more"].map(str::to_owned);
    let none = || "none".to_owned();
    let rows: Vec<Vec<String>> = table
        .comparison
        .variants
        .iter()
        .map(|one| {
            let figures = one.row.figures.as_ref();
            let peak = figures.and_then(|figures| figures.peak.ok());
            let minus3 = figures.and_then(|figures| figures.minus3.ok());
            let lead = figures.and_then(|figures| figures.lead_equivalent.as_ref().ok());
            let jump = one.row.worst_jump;
            vec![
                one.variant.name.clone(),
                peak.map_or_else(none, |peak| hertz(peak.hz)),
                peak.map_or_else(none, |peak| format!("{:.1} dB", peak.height_db)),
                minus3.map_or_else(none, |minus3| hertz(minus3.hz)),
                lead.map_or_else(none, |lead| metres(*lead)),
                jump.map_or_else(none, |jump| Level::Decibels(jump.db).to_string()),
                money(one.row.cost.more(), &table.project.currency),
            ]
        })
        .collect();
    table::columns(&headings, &rows)
}

/// A heading and what there is to say of each variant, where there is anything.
fn told(table: &Table<'_>, heading: &str, page: &mut Page, say: impl Fn(&Compared<'_>) -> Vec<String>) {
    let each = table.comparison.variants.iter();
    let rows: Vec<(String, String)> =
        each.flat_map(|one| say(one).into_iter().map(|words| (one.variant.name.clone(), words))).collect();
    if rows.is_empty() {
        return;
    }
    page.gap();
    page.line(heading);
    page.indented(table::pairs(&rows));
}

fn no_jump() -> String {
    "no switch is heard".to_owned()
}

/// "switching Compressor on, peak 2.43 kHz to 3.68 kHz, +10.0 dB at 4.93 kHz"
fn jumps(one: &Compared<'_>, jump: &WorstJump) -> String {
    format!("{}, {}", jump.step_words(&one.variant.rig), jump.words())
}

fn reasons(one: &Compared<'_>) -> Vec<String> {
    let Some(figures) = &one.row.figures else { return Vec::new() };
    let mut found = Vec::new();
    if let Err(why) = &figures.peak {
        found.push(format!("peak: {why}"));
    }
    if let Err(why) = &figures.minus3 {
        found.push(format!("−3 dB: {why}"));
    }
    if let Err(why) = &figures.lead_equivalent {
        found.push(format!("sounds like: {why}"));
    }
    found
}

/// One row a frequency, one column a variant that isn't the base itself.
fn levels(table: &Table<'_>, page: &mut Page) {
    let base = |one: &&Compared<'_>| table.comparison.against == Against::Variant(one.variant.id);
    let shown: Vec<(&str, Vec<Option<f64>>)> = table
        .comparison
        .variants
        .iter()
        .filter(|one| !base(one))
        .map(|one| (one.variant.name.as_str(), differences(table, one.answer.as_ref())))
        .collect();
    if shown.is_empty() {
        return;
    }
    page.gap();
    page.line(&format!("Difference in dB from {}", table.base));
    let headings: Vec<String> =
        std::iter::once("").chain(shown.iter().map(|(name, _)| *name)).map(str::to_owned).collect();
    let cell = |db: Option<f64>| db.map_or_else(|| "none".to_owned(), decibels);
    let rows: Vec<Vec<String>> = table
        .hz
        .iter()
        .enumerate()
        .map(|(at, hz)| {
            let cells = shown.iter().map(|(_, db)| cell(db.get(at).copied().flatten()));
            std::iter::once(engineering(*hz, "Hz", 3)).chain(cells).collect()
        })
        .collect();
    page.indented(table::columns(&headings, &rows));
}

/// "−0.5": the unit stands above the table.
fn decibels(db: f64) -> String {
    Level::Decibels(db).to_string().trim_end_matches(" dB").to_owned()
}
