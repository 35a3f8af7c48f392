//! Needs as they are read, and the parts that meet them, counted in the catalogue's files by a
//! reader of lines that knows nothing of the program's own.

use super::*;
use crate::parts::catalogue;

const FILES: [&str; 15] = [
    include_str!("../../../../../assets/parts/instruments.ron"),
    include_str!("../../../../../assets/parts/tuners.ron"),
    include_str!("../../../../../assets/parts/buffers.ron"),
    include_str!("../../../../../assets/parts/dynamics.ron"),
    include_str!("../../../../../assets/parts/drives.ron"),
    include_str!("../../../../../assets/parts/fuzz.ron"),
    include_str!("../../../../../assets/parts/treadles.ron"),
    include_str!("../../../../../assets/parts/modulation.ron"),
    include_str!("../../../../../assets/parts/delay_reverb.ron"),
    include_str!("../../../../../assets/parts/multi_effects.ron"),
    include_str!("../../../../../assets/parts/switching.ron"),
    include_str!("../../../../../assets/parts/wireless.ron"),
    include_str!("../../../../../assets/parts/direct.ron"),
    include_str!("../../../../../assets/parts/amps.ron"),
    include_str!("../../../../../assets/parts/supplies.ron"),
];

/// A part as its lines say.
struct Lines {
    key: &'static str,
    text: &'static str,
}

fn all() -> Vec<Lines> {
    let blocks = FILES.iter().flat_map(|file| file.split("            key: \"").skip(1));
    blocks
        .map(|text| {
            let (key, text) = text.split_once('"').unwrap();
            Lines { key, text }
        })
        .collect()
}

impl Lines {
    /// The rest of the first line that begins so.
    fn line(&self, start: &str) -> Option<&'static str> {
        self.text.lines().find_map(|line| line.trim_start().strip_prefix(start))
    }

    fn is_supply(&self) -> bool {
        self.line("kind: Supply(").is_some()
    }

    fn bypass(&self, kind: &str) -> bool {
        let is = self.line("bypass: ").is_some_and(|line| line.trim_end_matches(',') == kind);
        is || self.line("selectable: [").is_some_and(|line| line.contains(kind))
    }

    /// What it draws at a socket: least and most voltage, current.
    fn ways(&self) -> Vec<[f64; 3]> {
        let Some(power) = self.line("power: Low(") else { return Vec::new() };
        let ways = power.split("(least: ").skip(1);
        ways.map(|way| [number(way, ""), number(way, "most: "), number(way, "running: ")]).collect()
    }

    /// What its outlets give: voltage, current.
    fn gives(&self) -> Vec<[f64; 2]> {
        let outlets = self.text.lines().filter(|line| line.trim_start().starts_with("(settings: ["));
        let settings = outlets.flat_map(|line| line.split("(volts: ").skip(1));
        settings.map(|setting| [number(setting, ""), number(setting, "limit: ")]).collect()
    }

    /// The two voltages of its mains inlet, or its own battery's twice.
    fn inlet(&self) -> Option<[f64; 2]> {
        if let Some(mains) = self.line("power: Mains(least: ") {
            return Some([number(mains, ""), number(mains, "most: ")]);
        }
        let battery = self.line("power: Battery(volts: ").filter(|_| !self.is_supply())?;
        Some([number(battery, ""); 2])
    }

    fn body(&self, name: &str) -> f64 {
        number(self.line("body: (").unwrap(), name)
    }
}

/// The number behind a name.
fn number(text: &str, name: &str) -> f64 {
    let rest = &text[text.find(name).unwrap() + name.len()..];
    let end = rest.find(|c: char| !(c.is_ascii_digit() || ".e-".contains(c))).unwrap();
    rest[..end].parse().unwrap()
}

fn found(query: &str) -> Vec<String> {
    let mut keys: Vec<String> = catalogue().search(query).into_iter().map(|part| part.key.clone()).collect();
    keys.sort_unstable();
    keys
}

/// Fails unless a query finds just those parts of which the lines say so, neither none nor all.
#[track_caller]
fn finds(queries: &[&str], says: impl Fn(&Lines) -> bool) {
    let all = all();
    assert_eq!(all.len(), catalogue().parts.len());
    let mut expected: Vec<&str> = all.iter().filter(|part| says(part)).map(|part| part.key).collect();
    expected.sort_unstable();
    assert!(!expected.is_empty() && expected.len() < all.len(), "{queries:?} finds {}", expected.len());
    for query in queries {
        assert_eq!(found(query), expected, "{query}");
    }
}

#[test]
fn a_voltage_is_taken_or_given() {
    for volts in [5.0, 9.0, 12.0, 18.0, 24.0, 120.0, 230.0] {
        let typed = [format!("{volts} V"), format!("{volts}v"), format!("{volts} volts"), format!("{volts}.0 V,")];
        finds(&typed.each_ref().map(String::as_str), |part| {
            let takes = part.ways().iter().any(|[least, most, _]| (*least..=*most).contains(&volts));
            let gives = part.gives().iter().any(|[given, _]| *given == volts);
            takes || gives || part.inlet().is_some_and(|[least, most]| (least..=most).contains(&volts))
        });
    }
    finds(&["over 15 V under 20 V", "≥15V <=20 volts"], |part| {
        let within = |least: f64, most: f64| most >= 15.0 && least <= 20.0;
        let takes = part.ways().iter().any(|[least, most, _]| within(*least, *most));
        // The doubler takes 9 V, which is under 20, and gives 18, which is over 15 and under 20.
        takes || part.gives().iter().any(|[given, _]| within(*given, *given))
    });
}

#[test]
fn a_current_is_drawn_by_a_unit_or_given_by_an_outlet() {
    for milliamperes in [5.0, 20.0, 30.0, 100.0, 200.0] {
        let told = |part: &Lines| -> Vec<f64> {
            let drawn: Vec<f64> = part.ways().iter().map(|way| way[2]).filter(|_| !part.is_supply()).collect();
            drawn.into_iter().chain(part.gives().into_iter().map(|given| given[1])).collect()
        };
        let limit = milliamperes * 1e-3 + 1e-12;
        let typed = ["under {} mA", "< {}mA", "<{}MA", "at most {} mA", "{} mA or less", "{} milliamps max"];
        let typed = typed.map(|text| text.replace("{}", &milliamperes.to_string()));
        finds(&typed.each_ref().map(String::as_str), |part| told(part).iter().any(|current| *current <= limit));
        let limit = milliamperes * 1e-3 - 1e-12;
        let typed = ["over {} mA", ">= {}mA", "at least {}ma", "from {} mA"];
        let typed = typed.map(|text| text.replace("{}", &milliamperes.to_string()));
        finds(&typed.each_ref().map(String::as_str), |part| told(part).iter().any(|current| *current >= limit));
    }
    finds(&["1 A", "1000 mA"], |part| part.gives().iter().any(|given| given[1] == 1.0));
}

#[test]
fn a_voltage_and_a_current_are_met_at_one_socket() {
    finds(&["18 V under 20 mA", "under 20 mA, 18 V", "18v <20ma"], |part| {
        let drawn = |way: &[f64; 3]| !part.is_supply() && (way[0]..=way[1]).contains(&18.0) && way[2] <= 0.02;
        part.ways().iter().any(drawn) || part.gives().iter().any(|[volts, limit]| *volts == 18.0 && *limit <= 0.02)
    });
    finds(&["over 300 mA 18 V", "18 V >=300mA"], |part| {
        part.gives().iter().any(|[volts, limit]| *volts == 18.0 && *limit >= 0.3)
    });
    // Both at one socket or each at another: a doubler is found by what goes in and what comes out.
    assert!(found("9 V 18 V").contains(&"voltage-doubler".to_owned()));
}

#[test]
fn kinds_of_bypass_are_had_or_can_be_set() {
    let switcher = |part: &Lines| part.line("kind: Switcher(").is_some();
    finds(&["true bypass", "True-Bypass", "“true bypass”"], |part| part.bypass("True") || switcher(part));
    finds(&["buffered bypass", "buffered-bypass"], |part| part.bypass("Buffered"));
    finds(&["always loading", "always-loading bypass", "always loading bypass"], |part| part.bypass("AlwaysLoading"));
    finds(&["buffered"], |part| {
        let always = ["Splitter(Buffered(", "Mixer(Buffered(", "Treadle(BufferedVolume(", "MultiEffects("];
        let kind = part.line("kind: ").unwrap();
        let switcher = switcher(part) && (part.line("input: ").is_some() || part.line("output: ").is_some());
        let selector = kind.starts_with("Selector(") && part.text.contains("buffer: (");
        part.bypass("Buffered") || switcher || selector || always.iter().any(|start| kind.starts_with(start))
    });
    finds(&["selectable bypass", "bypass selectable"], |part| part.line("selectable: [").is_some());
    finds(&["selectable"], |part| {
        let choice = |line: &str| line.trim_start().starts_with("(settings: [") && line.matches("(volts: ").count() > 1;
        part.line("selectable: [").is_some() || part.text.lines().any(choice)
    });
}

#[test]
fn sizes_masses_and_prices() {
    finds(&["mini"], |part| part.line("body: (size: Mini,").is_some());
    finds(&["under 80", "under 80 €", "under €80", "<80$", "price at most 80", "80 or less"], |part| {
        part.body("price: ") <= 80.0
    });
    finds(&["over 1000 €", "at least 1.000,00 €", "price from 1000"], |part| part.body("price: ") >= 1000.0);
    finds(&["120 €", "€ 120", "price 120"], |part| part.body("price: ") == 120.0);
    finds(&["under 300 g", "< 0.3kg", "0,3 kg max"], |part| part.body("mass: ") <= 300.0);
    finds(&["over 10 kg"], |part| part.body("mass: ") >= 10_000.0);
}

#[test]
fn needs_hold_together_with_the_words_that_are_left() {
    finds(&["true bypass delay under 40 mA", "delay, true-bypass, <40mA", "under 40 mA true bypass delay"], |part| {
        let says = part.text.to_lowercase().contains("delay") || FILES[8].contains(part.key);
        says && part.bypass("True") && part.ways().iter().any(|way| way[2] <= 0.04)
    });
    assert_eq!(found("true bypass delay under 40 mA"), ["analogue-delay"]);
    // 35 mA are more than 30.
    assert!(found("true bypass delay under 30 mA").is_empty());
    // An instrument with such a battery inside is found, too, behind the batteries.
    let batteries: Vec<&str> = catalogue().search("9 V battery").iter().map(|part| part.key.as_str()).collect();
    assert_eq!(batteries[..2], ["battery-9v", "battery-9v-carbon"]);
    assert!(batteries.contains(&"active-bass") && !batteries.contains(&"small-wireless"));
    assert_eq!(found("mini tuner"), ["tuner-selectable"]);
    assert!(found("true bypass kazoo").is_empty());
}

#[test]
fn every_part_is_found_by_its_name_before_all_others() {
    for part in &catalogue().parts {
        let found = catalogue().search(&part.name);
        let first = found.first().unwrap_or_else(|| panic!("{} isn't found", part.name));
        // A name that others begin with is found with them.
        assert!(first.name.starts_with(&part.name), "{} for {}", first.name, part.name);
    }
}

#[test]
fn what_is_no_need_is_a_word() {
    for words in [
        "delay", "250", "10m", "6lr61", "220k", "one 0 v", "under", "up to", "100 va", "500 mah", "9-18 v", "price",
        "v 9", "bypass", "true", "-9 v", "9 vx", "min", "€",
    ] {
        assert_eq!(Wanted::read(words), Wanted { needs: Vec::new(), words: words.to_owned() });
    }
    assert_eq!(Wanted::read(" ?! "), Wanted::default());
    assert_eq!(Wanted::read("").in_words(), "");
    let read = Wanted::read("Tube amp under  230 V");
    assert_eq!((read.words.as_str(), read.needs), ("tube amp", vec![Need::Voltage(Bound::AtMost(230.0))]));
}

#[test]
fn a_number_is_compared_by_what_belongs_to_it() {
    let needs = |query: &str| Wanted::read(query).needs;
    let both = [Need::Voltage(Bound::Exactly(9.0)), Need::Current(Bound::AtMost(0.03))];
    for query in ["9 V max 30 mA", "9V at most 30mA", "9 V, 30 mA max", "9 V 30 mA or less", "9v 9 V ≤30ma"] {
        assert_eq!(needs(query), both, "{query}");
    }
    assert_eq!(needs("over 1,5 A"), [Need::Current(Bound::AtLeast(1.5))]);
    assert_eq!(needs("1,500 mA"), [Need::Current(Bound::Exactly(1.5e-3))], "the first of two readings");
    assert_eq!(needs("3V7"), [Need::Voltage(Bound::Exactly(3.7))]);
}

#[test]
fn how_a_query_was_understood_is_read_as_the_same_again() {
    for (query, words) in [
        ("9v delay true-bypass <30ma", "9 V, true bypass, at most 30 mA and “delay”"),
        ("mini", "mini"),
        ("Tape Echo", "“tape echo”"),
        ("buffered >1.5a", "buffered and at least 1.5 A"),
        ("buffered bypass under 80€", "buffered bypass and price at most 80"),
        ("always loading, 120 €", "always-loading bypass and price 120"),
        ("bypass selectable over 1 kg", "selectable bypass and at least 1 kg"),
        ("selectable 230 volts", "selectable and 230 V"),
    ] {
        let wanted = Wanted::read(query);
        assert_eq!(wanted.in_words(), words);
        let needs: Vec<String> = wanted.needs.iter().map(|need| need.in_words()).collect();
        assert_eq!(Wanted::read(&needs.join(", ")).needs, wanted.needs, "{query}");
    }
}
