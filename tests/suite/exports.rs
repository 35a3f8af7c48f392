//! Tables and pictures from the command line, read back by independent readers and held
//! against the answers themselves.

use std::collections::BTreeMap;
use std::ffi::OsString;
use std::path::Path;
use std::sync::Arc;

use rigwright::cli::{Outcome, run};
use rigwright_core::cascade::LineCache;
use rigwright_core::compare::cost;
use rigwright_core::export::{CURVE_COLUMNS, PART_COLUMNS};
use rigwright_core::file;
use rigwright_core::network::Sweep;
use rigwright_core::response::{Request, respond};
use rigwright_core::rig::{Project, Rig, Variant};
use rigwright_core::states::{Question, Target, explore};
use roxmltree::Document;

use crate::laws::files::random_project;
use crate::rigs;

/// Has the command line write a file.
fn written(project: &Project, args: &[&str], ending: &str) -> Vec<u8> {
    let folder = tempfile::tempdir().unwrap();
    let (rig, out) = (folder.path().join("rig.ron"), folder.path().join(format!("out.{ending}")));
    std::fs::write(&rig, file::write(project).unwrap()).unwrap();
    let path = |path: &Path| path.as_os_str().to_owned();
    let mut all: Vec<OsString> = vec![args[0].into(), path(&rig), "--out".into(), path(&out)];
    all.extend(args[1..].iter().map(OsString::from));
    let (mut said, mut err) = (Vec::new(), Vec::new());
    let outcome = run(&all, &mut said, &mut err);
    assert_eq!(outcome, Outcome::Exit(0), "{}", String::from_utf8_lossy(&err));
    std::fs::read(out).unwrap()
}

fn records(bytes: &[u8]) -> (Vec<String>, Vec<csv::StringRecord>) {
    let mut reader = csv::Reader::from_reader(bytes);
    let heading = reader.headers().unwrap().iter().map(str::to_owned).collect();
    (heading, reader.records().map(Result::unwrap).collect())
}

fn number(field: &str) -> Option<f64> {
    (!field.is_empty()).then(|| field.parse().unwrap())
}

/// Every level, and between which all states lie, is what the core answers, to the last digit.
fn assert_curves_are_the_answers(project: &Project) -> usize {
    let (heading, records) = records(&written(project, &["export", "--as", "csv", "--what", "curves"], "csv"));
    assert_eq!(heading, CURVE_COLUMNS);
    let mut rest = records.as_slice();
    for variant in &project.variants {
        let mut cache = LineCache::new(Sweep::audio());
        let response = respond(&Request::of(project, variant), &mut cache);
        let (target, place, answer) = match project.test_point {
            Some(point) => {
                let Some(answer) = &response.test_point else { continue };
                (Target::Point(point), "test point", answer)
            }
            None => {
                let Some(endpoint) = response.endpoints.first() else { continue };
                (Target::Endpoint(endpoint.jack), endpoint.name.as_str(), &endpoint.at)
            }
        };
        let controls = project.state.held(&variant.rig);
        let question = Question { rig: Arc::clone(&variant.rig), controls, target, unfed: Default::default() };
        let states = explore(&question, &mut cache).ok();
        let edges: BTreeMap<u64, (f64, f64)> = states
            .iter()
            .flat_map(|states| {
                let edges = states.lowest_db().iter().copied().zip(states.highest_db().iter().copied());
                states.hz().iter().map(|hz| hz.to_bits()).zip(edges)
            })
            .collect();
        let (own, others) = rest.split_at(answer.curve.hz().len());
        rest = others;
        for ((record, hz), level) in own.iter().zip(answer.curve.hz()).zip(answer.curve.levels()) {
            let named = |name: &str| {
                if name.starts_with(['=', '+', '-', '@', '\t', '\r']) { format!("'{name}") } else { name.to_owned() }
            };
            assert_eq!((&record[0], &record[1]), (named(&variant.name).as_str(), named(place).as_str()));
            assert_eq!(number(&record[2]), Some(*hz));
            assert_eq!(number(&record[3]), level.decibels());
            let edge = edges.get(&hz.to_bits());
            let finite = |db: f64| db.is_finite().then_some(db);
            assert_eq!(number(&record[4]), edge.and_then(|edge| finite(edge.0)));
            assert_eq!(number(&record[5]), edge.and_then(|edge| finite(edge.1)));
        }
    }
    assert!(rest.is_empty(), "{} records more", rest.len());
    records.len()
}

#[test]
fn curves_read_back_are_the_answers() {
    assert_eq!(assert_curves_are_the_answers(&file::demo().unwrap()), 512);
    assert!(assert_curves_are_the_answers(&file::large_modular().unwrap()) >= 256);
    let mut tested = file::demo().unwrap();
    let lead = tested.variants[0].rig.leads[3].id;
    tested.test_point = Some(rigwright_core::rig::TestPoint { lead, along: rigwright_core::units::Turn::of(0.5) });
    assert!(assert_curves_are_the_answers(&tested) >= 256);
}

/// The prices of a list add up to what the comparison says that the whole rig costs.
fn assert_parts_add_up(project: &Project) {
    let (heading, records) = records(&written(project, &["export", "--as", "csv", "--what", "parts"], "csv"));
    assert_eq!(heading, PART_COLUMNS);
    let mut rest = records.as_slice();
    for variant in &project.variants {
        let nothing = Rig::default();
        let whole = cost(&variant.rig, &nothing).added;
        let pieces = whole.devices.len() + whole.leads.len();
        let (mut count, mut sum, mut unpriced, mut lines) = (0, 0.0, 0, 0);
        while count < pieces {
            let record = &rest[lines];
            lines += 1;
            let of: usize = record[5].parse().unwrap();
            count += of;
            match (number(&record[6]), number(&record[7])) {
                (Some(each), Some(all)) => {
                    assert!((each * of as f64 - all).abs() < 0.005 * of as f64 + 0.005, "{record:?}");
                    sum += all;
                }
                (None, None) => unpriced += of,
                _ => panic!("{record:?}"),
            }
            assert_eq!(&record[8], project.currency.as_str());
        }
        assert_eq!((count, unpriced), (pieces, whole.leads_without_price), "{}", variant.name);
        assert!((sum - whole.price).abs() < 0.005 * lines as f64 + 0.005, "{sum} and {}", whole.price);
        rest = &rest[lines..];
    }
    assert!(rest.is_empty());
}

#[test]
fn parts_add_up_to_what_the_comparison_says() {
    for project in [file::demo(), file::blank(), file::few_on_a_daisy(), file::large_modular(), file::multi_effects()] {
        assert_parts_add_up(&project.unwrap());
    }
}

#[test]
fn every_devices_name_is_in_the_drawing_and_every_fed_one_among_the_rails() {
    for project in [file::demo(), file::few_on_a_daisy(), file::large_modular()] {
        let project = project.unwrap();
        for variant in &project.variants {
            let of = |what: &str| {
                let bytes = written(&project, &["picture", "--what", what, "--variant", &variant.name], "svg");
                let text = String::from_utf8(bytes).unwrap();
                let document = Document::parse(&text).unwrap();
                let titles = document.descendants().filter(|node| node.has_tag_name("title"));
                let titles: Vec<String> = titles.filter_map(|node| node.text().map(str::to_owned)).collect();
                assert_eq!(titles[0], format!("{}: {}", project.title, variant.name));
                titles
            };
            let (drawing, rails) = (of("chain"), of("power"));
            // A name that is too long for its place is cut, and ends in dots.
            let is_there = |titles: &[String], name: &str| {
                titles
                    .iter()
                    .any(|title| title == name || title.strip_suffix('…').is_some_and(|cut| name.starts_with(cut)))
            };
            for device in &variant.rig.devices {
                let name = device.name.as_str();
                if !device.kind.jacks().is_empty() {
                    assert!(is_there(&drawing, name), "{name} in {drawing:?}");
                } else {
                    assert!(
                        is_there(&rails, name) || rails.iter().any(|title| name.starts_with(title.as_str())),
                        "{name} in {rails:?}"
                    );
                }
                if variant.rig.feed_to(device.id).is_some() && device.kind.supply().is_none() {
                    assert!(is_there(&rails, name), "{name} in {rails:?}");
                }
            }
        }
    }
}

/// Lines that go nowhere, numbers that are none: an SVG reader would refuse them or draw nothing.
fn assert_sound(svg: &str) {
    let document = Document::parse(svg).unwrap();
    let root = document.root_element();
    assert!(root.has_tag_name("svg"));
    let side = |name: &str| root.attribute(name).unwrap().parse::<f32>().unwrap();
    let (width, height) = (side("width"), side("height"));
    assert!((600.0..13_000.0).contains(&width) && (50.0..13_000.0).contains(&height), "{width} by {height}");
    assert!(!svg.contains("NaN") && !svg.contains("inf"));
    let drawn = document.descendants().filter(|node| node.has_tag_name("path") || node.has_tag_name("ellipse"));
    assert!(drawn.count() > 5);
    let ids: Vec<&str> = document.descendants().filter_map(|node| node.attribute("id")).collect();
    for clip in document.descendants().filter_map(|node| node.attribute("clip-path")) {
        let id = clip.trim_start_matches("url(#").trim_end_matches(')');
        assert!(ids.contains(&id), "{clip}");
    }
}

#[test]
fn rigs_of_every_kind_have_pictures() {
    for project in [rigs::sixty_four(), with_names_of_all_sorts(), silent(), file::blank().unwrap()] {
        for what in ["chain", "plot", "power"] {
            let svg = written(&project, &["picture", "--what", what], "svg");
            assert_sound(std::str::from_utf8(&svg).unwrap());
        }
    }
}

#[test]
fn random_rigs_have_pictures_and_tables() {
    for seed in 0..12 {
        let project = random_project(seed, 1 + 2 * seed as usize);
        for what in ["chain", "plot", "power"] {
            let svg = written(&project, &["picture", "--what", what], "svg");
            assert_sound(std::str::from_utf8(&svg).unwrap());
        }
        assert_curves_are_the_answers(&project);
        assert_parts_add_up(&project);
    }
}

/// Letters of several scripts, marks, what XML minds, what a spreadsheet minds, and nothing at all.
fn with_names_of_all_sorts() -> Project {
    let mut project = file::demo().unwrap();
    project.title = "A <b> & \"c\"".to_owned();
    let names = ["=1+1", "Ünïcode e\u{301}", "<svg>&amp;", "Ж Ω ♯ 😀", "tab\there", "", "]]>", "two\nlines", "\u{1}"];
    let variants = project.variants.iter().map(|variant| {
        let mut rig = (*variant.rig).clone();
        for (device, name) in rig.devices.iter_mut().zip(names) {
            device.name = name.to_owned();
        }
        Arc::new(Variant { rig: Arc::new(rig), ..(**variant).clone() })
    });
    project.variants = variants.collect();
    project
}

#[test]
fn names_of_all_sorts_are_read_back_as_they_are() {
    let project = with_names_of_all_sorts();
    assert_curves_are_the_answers(&project);
    assert_parts_add_up(&project);
    let svg = String::from_utf8(written(&project, &["picture", "--what", "chain"], "svg")).unwrap();
    let document = Document::parse(&svg).unwrap();
    let titles: Vec<&str> =
        document.descendants().filter(|node| node.has_tag_name("title")).filter_map(|node| node.text()).collect();
    assert!(titles[0].starts_with("A <b> & \"c\": "));
    for name in ["=1+1", "Ünïcode e\u{301}", "<svg>&amp;", "Ж Ω ♯ 😀"] {
        assert!(titles.contains(&name), "{name} in {titles:?}");
    }
}

/// A rig in which nothing is plugged in: no level, no run, no feed.
fn silent() -> Project {
    let mut project = file::demo().unwrap();
    let mut variant = (*project.variants[0]).clone();
    let rig = Arc::make_mut(&mut variant.rig);
    rig.leads.clear();
    rig.feeds.clear();
    project.variants = vec![Arc::new(variant)];
    project
}

#[test]
fn a_rig_without_leads_has_a_table_with_a_heading_alone() {
    let (heading, records) = records(&written(&silent(), &["export", "--as", "csv", "--what", "curves"], "csv"));
    assert_eq!(heading, CURVE_COLUMNS);
    assert!(records.is_empty());
}

/// The SVG and the pixels are of one picture: as large, and with ink in the same places.
#[test]
fn pixels_are_as_large_as_the_lines() {
    let project = file::demo().unwrap();
    for what in ["chain", "plot", "power"] {
        let svg = String::from_utf8(written(&project, &["picture", "--what", what], "svg")).unwrap();
        let png = image::load_from_memory(&written(&project, &["picture", "--what", what], "png")).unwrap().to_rgb8();
        let document = Document::parse(&svg).unwrap();
        let side = |name: &str| document.root_element().attribute(name).unwrap().parse::<u32>().unwrap();
        assert_eq!(png.dimensions(), (2 * side("width"), 2 * side("height")));
        let ground = document.descendants().find_map(|node| node.attribute("fill")).unwrap();
        let [red, green, blue] = png.get_pixel(0, 0).0;
        assert_eq!(format!("#{red:02x}{green:02x}{blue:02x}"), ground);
        // Every dot and ring that isn't the ground's colour has its ink where the SVG says.
        let mut checked = 0;
        for dot in document.descendants().filter(|node| node.has_tag_name("ellipse")) {
            let (fill, opacity) = (dot.attribute("fill").unwrap(), dot.attribute("fill-opacity"));
            let length = |name: &str| dot.attribute(name).unwrap().parse::<f32>().unwrap();
            if fill == "none" || fill == ground || opacity.is_some() || length("rx") < 2.5 {
                continue;
            }
            let pixel = png.get_pixel((2.0 * length("cx")) as u32, (2.0 * length("cy")) as u32).0;
            if dot.attribute("stroke").is_none() {
                assert_eq!(format!("#{:02x}{:02x}{:02x}", pixel[0], pixel[1], pixel[2]), fill, "{what}");
                checked += 1;
            }
        }
        assert!(checked > 0, "{what}");
    }
}
