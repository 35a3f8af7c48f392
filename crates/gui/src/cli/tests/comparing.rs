//! The comparison: it says what the core says. Whether that is true is tested there.

use rigwright_core::cascade::LineCache;
use rigwright_core::compare::{Against, Comparison, compare, difference};
use rigwright_core::file;
use rigwright_core::network::{Sweep, third_octaves_hz};
use rigwright_core::rig::{Control, Jack, JackRef, Knob, LeadId, Project, State, TestPoint};
use rigwright_core::units::{Level, Turn, hertz};
use serde_json::Value;

use super::{Desk, fine, plain, refused, rig_mut};

fn json(project: &Project, options: &[&str]) -> Value {
    let desk = Desk::new();
    let name = desk.save(project);
    let text = fine(&[&["compare", &name, "--json"], options].concat());
    assert_eq!(text.lines().count(), 1);
    serde_json::from_str(&text).unwrap()
}

fn text(project: &Project, options: &[&str]) -> String {
    let desk = Desk::new();
    let name = desk.save(project);
    fine(&[&["compare", &name], options].concat())
}

fn fresh<'a>(project: &'a Project, state: &State, against: Against) -> Comparison<'a> {
    compare(project, state, against, &mut LineCache::new(Sweep::audio())).unwrap()
}

fn keys(value: &Value) -> Vec<&str> {
    let mut keys: Vec<&str> = value.as_object().unwrap().keys().map(String::as_str).collect();
    keys.sort_unstable();
    keys
}

/// JSON readers are off by a last bit at times.
fn near(shown: &Value, number: Option<f64>) -> bool {
    match (shown.as_f64(), number) {
        (Some(shown), Some(number)) => (shown - number).abs() <= 1e-14 * number.abs().max(1e-3),
        (None, None) => shown.is_null(),
        _ => false,
    }
}

#[test]
fn json_has_the_keys_that_others_rely_on() {
    let report = json(&file::demo().unwrap(), &[]);
    assert_eq!(keys(&report), ["against", "currency", "sound", "straight", "title", "variants"]);
    assert_eq!((&report["against"], &report["straight"]), (&"All true bypass".into(), &false.into()));
    assert_eq!(report["currency"], "€");
    let variant = &report["variants"][1];
    let expected = [
        "added",
        "added_leads_without_price",
        "at",
        "difference",
        "lead_equivalent",
        "left_out",
        "left_out_leads_without_price",
        "minus3_hz",
        "name",
        "peak",
        "worst_jump",
    ];
    assert_eq!(keys(variant), expected);
    assert_eq!(keys(&variant["peak"]), ["db", "height_db", "hz"]);
    assert_eq!(keys(&variant["lead_equivalent"]), ["m", "reason"]);
    assert_eq!(keys(&variant["worst_jump"]), ["db", "exact", "hz", "peak_off_hz", "peak_on_hz", "switch"]);
    assert_eq!(keys(&variant["difference"]), ["db", "hz"]);
    assert_eq!(variant["at"], "Amp left, in");
}

#[test]
fn json_says_what_the_core_says_in_full() {
    let demo = file::demo().unwrap();
    let first = Against::Variant(demo.variants[0].id);
    let second = demo.variants[1].name.clone();
    for (options, against) in [
        (&[][..], first),
        (&["--against", "straight"][..], Against::Straight),
        (&["--against", &second][..], Against::Variant(demo.variants[1].id)),
    ] {
        let report = json(&demo, options);
        let core = fresh(&demo, &demo.state, against);
        assert_eq!(report["straight"], against == Against::Straight);
        assert_eq!(report["variants"].as_array().unwrap().len(), demo.variants.len());
        for (shown, one) in report["variants"].as_array().unwrap().iter().zip(&core.variants) {
            let figures = one.row.figures.as_ref().unwrap();
            assert_eq!(shown["name"], one.variant.name);
            assert!(near(&shown["peak"]["hz"], figures.peak.ok().map(|peak| peak.hz)));
            assert!(near(&shown["peak"]["db"], figures.peak.ok().map(|peak| peak.db)));
            assert!(near(&shown["minus3_hz"], figures.minus3.ok().map(|minus3| minus3.hz)));
            assert!(near(&shown["lead_equivalent"]["m"], figures.lead_equivalent.clone().ok()));
            let jump = one.row.worst_jump.unwrap();
            let name = &one.variant.rig.device(jump.device()).unwrap().name;
            assert_eq!(shown["worst_jump"]["switch"], *name);
            assert!(near(&shown["worst_jump"]["db"], Some(jump.db)) && near(&shown["worst_jump"]["hz"], Some(jump.hz)));
            assert_eq!(shown["worst_jump"]["exact"], jump.exact);
            assert!(near(&shown["added"], Some(one.row.cost.added.price)));
            assert!(near(&shown["left_out"], Some(one.row.cost.left_out.price)));
            let (own, base) = (one.answer.as_ref().unwrap(), core.base.as_ref().unwrap());
            let hz = third_octaves_hz();
            assert_eq!(shown["difference"]["hz"].as_array().unwrap().len(), hz.len());
            for (at, hz) in hz.iter().enumerate() {
                assert!(near(&shown["difference"]["hz"][at], Some(*hz)));
                let db = difference(own.level_at(*hz), base.level_at(*hz));
                assert!(near(&shown["difference"]["db"][at], db), "{hz}: {} and {db:?}", shown["difference"]["db"][at]);
            }
        }
    }
}

#[test]
fn a_sound_is_compared_as_it_stands() {
    let demo = file::demo().unwrap();
    let sound = demo.sounds.iter().find(|sound| !sound.state.turned.is_empty()).unwrap();
    let report = json(&demo, &["--sound", &sound.name.to_uppercase()]);
    assert_eq!(report["sound"], sound.name);
    let core = fresh(&demo, &sound.state, Against::Variant(demo.variants[0].id));
    let figures = core.variants[1].row.figures.as_ref().unwrap();
    assert!(near(&report["variants"][1]["minus3_hz"], figures.minus3.ok().map(|minus3| minus3.hz)));
    assert!(text(&demo, &["--sound", &sound.name]).contains(&format!("\nSound: {}\n", sound.name)));
    let desk = Desk::new();
    let sentence = refused(&["compare", &desk.save(&demo), "--sound", "Encore"]);
    assert!(sentence.starts_with("There is no sound “Encore” in "), "{sentence}");
}

#[test]
fn the_page_is_a_table_and_its_reasons() {
    let demo = file::demo().unwrap();
    let page = text(&demo, &["--against", "straight"]);
    let core = fresh(&demo, &demo.state, Against::Straight);
    assert!(page.contains("\nCompared with: the guitar straight into the amp\n"), "{page}");
    assert!(page.contains("\nDifference in dB from the guitar straight into the amp\n"));
    assert!(page.contains("\nWorst jump, up to 5 kHz at a guitar amp and 10 kHz elsewhere unless you set it otherwise, low-impedance fuzz left out\n"), "{page}");
    for one in &core.variants {
        let line = page.lines().find(|line| line.trim_start().starts_with(&one.variant.name)).unwrap();
        let jump = one.row.worst_jump.unwrap();
        assert!(line.contains(&hertz(one.row.figures.as_ref().unwrap().peak.unwrap().hz)), "{line}");
        assert!(line.contains(&Level::Decibels(jump.db).to_string()), "{line}");
        let cost = one.row.cost.told("€");
        assert!(page.lines().any(|line| line.ends_with(&cost)), "{cost} in {page}");
        let device = &one.variant.rig.device(jump.device()).unwrap().name;
        let told = page.lines().find(|line| line.contains(&format!("switching {device} on, ")));
        assert!(told.is_some_and(|line| line.contains(&Level::Decibels(jump.db).to_string())), "{page}");
    }
    assert!(page.lines().all(|line| line.trim_end() == line));
    // The base itself has no column of noughts.
    let page = text(&demo, &[]);
    let heading = page.lines().skip_while(|line| !line.starts_with("Difference in dB")).nth(1).unwrap();
    assert_eq!(heading.trim(), demo.variants[1].name);
}

#[test]
fn silence_and_missing_ways_are_null_with_a_reason() {
    let mut project = plain();
    let guitar = project.variants[0].rig.devices[0].id;
    project.state.turned.insert(Knob { device: guitar, control: Control::Volume }, Turn::CLOSED);
    let shown = &json(&project, &["--against", "straight"])["variants"][0];
    assert!(shown["peak"].is_null() && shown["worst_jump"].is_null());
    assert_eq!(shown["peak_reason"], "nothing comes through");
    assert!(shown["difference"]["db"].as_array().unwrap().iter().all(Value::is_null));
    let page = text(&project, &["--against", "straight"]);
    assert!(page.contains("no switch is heard") && page.contains("peak: nothing comes through"), "{page}");

    let mut project = plain();
    rig_mut(&mut project).leads.clear();
    let shown = &json(&project, &[])["variants"][0];
    assert!(shown["at"].is_null() && shown["minus3_hz"].is_null());
    assert_eq!(shown["lead_equivalent"]["reason"], "no signal gets there");
    assert!(text(&project, &[]).contains("no signal gets there"));
    let desk = Desk::new();
    let name = desk.save(&project);
    let sentence = refused(&["compare", &name, "--against", "straight"]);
    assert_eq!(
        sentence,
        format!(
            "In no variant of {name} does a signal come from an instrument with a lead to an amp, a DI box or an \
             interface, so there is nothing to plug in straight."
        )
    );
}

#[test]
fn a_test_point_is_where_the_levels_are_taken() {
    let mut project = plain();
    let lead: LeadId = project.variants[0].rig.leads[0].id;
    project.test_point = Some(TestPoint { lead, along: Turn::of(0.5) });
    assert_eq!(json(&project, &[])["variants"][0]["at"], "on the lead from Guitar to Amp, half-way");
}

#[test]
fn a_base_that_isnt_there_is_told_with_those_that_are() {
    let demo = file::demo().unwrap();
    let desk = Desk::new();
    let name = desk.save(&demo);
    assert_eq!(
        refused(&["compare", &name, "--against", "Encore"]),
        format!(
            "There is no variant “Encore” in {name}; expected one of “All true bypass”, “Buffer after the guitar”, \
             “straight”."
        )
    );
    // A variant of that name is meant by its name.
    let mut project = plain();
    std::sync::Arc::make_mut(&mut project.variants[0]).name = "straight".to_owned();
    assert_eq!(json(&project, &["--against", "straight"])["straight"], false);
}

#[test]
fn leads_without_a_price_are_counted() {
    let mut project = plain();
    rig_mut(&mut project).leads[0].cable.name = "Wire\nfrom the attic".to_owned();
    let mut second = (*project.variants[0]).clone();
    second.id = rigwright_core::rig::VariantId(project.next_id);
    second.name = "two\u{1b}[31m".to_owned();
    let rig = std::sync::Arc::make_mut(&mut second.rig);
    let amp = rig.devices[1].id;
    rig.leads[0].length = rigwright_core::units::Metres::of(2.0);
    assert_eq!(rig.leads[0].to, JackRef::new(amp, Jack::In));
    project.next_id += 1;
    project.variants.push(std::sync::Arc::new(second));
    let shown = &json(&project, &[])["variants"][1];
    assert_eq!((&shown["added"], &shown["added_leads_without_price"]), (&0.0.into(), &1.into()));
    assert_eq!(shown["left_out_leads_without_price"], 1);
    let page = text(&project, &[]);
    assert!(page.contains("added 1 lead without a price, left out 1 lead without a price"), "{page}");
    assert!(page.chars().all(|c| c == '\n' || !c.is_control()));
}
