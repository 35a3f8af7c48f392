//! From arguments to what was asked.

mod out;

use std::ffi::{OsStr, OsString};
use std::io;
use std::path::{Path, PathBuf};

use lexopt::{Arg, Parser};
use rigwright_core::rig::Feeding;
use rigwright_core::units::{Dimension, Hertz, Parsed, parse as quantity, shown};

use super::{Aside, open, power, refuse};

pub use out::{Export, KeyCard, Picture};

/// What the arguments ask for.
#[derive(Debug, Clone, PartialEq)]
pub enum Invocation {
    /// The help.
    Help,
    /// The program's version.
    Version,
    /// The key card and the legend.
    Keys(KeyCard),
    /// The window.
    Window(Option<PathBuf>),
    /// The report.
    Report(Report),
    /// The problems of a file.
    Check(PathBuf),
    /// What feeds what.
    Power(power::PowerArguments),
    /// The variants side by side.
    Compare(Compare),
    /// A picture in a file.
    Picture(Picture),
    /// A table in a file.
    Export(Export),
}

/// What a report was asked for.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Report {
    /// The file.
    pub file: PathBuf,
    /// For programs and not for people.
    pub json: bool,
    /// Frequencies in Hz, in the order asked; the third-octave centres if none.
    pub at: Option<Vec<f64>>,
    /// The name of the only variant wanted.
    pub variant: Option<String>,
    /// The name of the sound wanted in place of the state in hand.
    pub sound: Option<String>,
    /// Whether units without power count as fed, as they do if nobody says.
    pub power: Option<Feeding>,
    /// Where footswitches stand, in place of the state in hand.
    pub set: Option<String>,
    /// The name of the instrument that is played, in place of what the state says.
    pub source: Option<String>,
    /// Whether levels have their phase beside them.
    pub complex: bool,
    /// Whether all states range over what a hand works, too.
    pub vary_hand: bool,
}

/// What a comparison was asked for.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Compare {
    /// The file.
    pub file: PathBuf,
    /// For programs and not for people.
    pub json: bool,
    /// The name of the sound wanted in place of the state in hand.
    pub sound: Option<String>,
    /// The variant that the others are compared with, or "straight"; the first variant if none.
    pub against: Option<String>,
    /// Whether units without power count as fed, as they do if nobody says.
    pub power: Option<Feeding>,
}

/// Where hearing begins, and the curves.
const LOWEST_HEARD_HZ: f64 = 20.0;

/// What names are, where one is missing.
const VARIANT_NAME: &str = "a variant's name";
const SOUND_NAME: &str = "a sound's name";

/// What a command knows; the help says more.
struct Command {
    usage: &'static str,
    options: &'static str,
}

const WINDOW: Command = Command { usage: "rigwright [FILE]", options: "--help and --version" };
const REPORT: Command = Command {
    usage: "rigwright report FILE",
    options: "--json, --at HZ,HZ,…, --variant NAME, --sound NAME, --set SWITCH=POSITION,…, --source NAME, --vary hand, \
              --complex, --power as-drawn and --help",
};
const CHECK: Command = Command { usage: "rigwright check FILE", options: "--help" };
const POWER: Command = Command { usage: "rigwright power FILE", options: "--allocate, --json and --help" };
const COMPARE: Command = Command {
    usage: "rigwright compare FILE",
    options: "--json, --sound NAME, --against NAME, --against straight, --power as-drawn and --help",
};
const COMMANDS: &str = "the commands are report, compare, power, picture, export, check, keys and help";

/// Reads the arguments, the program's name left out.
pub fn parse(args: &[OsString]) -> Result<Invocation, Aside> {
    let mut words = Parser::from_args(args.iter().cloned());
    let word = match words.next() {
        Ok(None) => return Ok(Invocation::Window(None)),
        Ok(Some(Arg::Short('V') | Arg::Long("version"))) => return Ok(Invocation::Version),
        Ok(Some(Arg::Value(word))) => word,
        Ok(Some(option)) if asks_for_help(&option) => return Ok(Invocation::Help),
        Ok(Some(option)) => return unknown(&option, &WINDOW),
        Err(error) => return misread(error),
    };
    match word.to_str() {
        Some("help") => Ok(Invocation::Help),
        Some("report") => report(words),
        Some("check") => check(words),
        Some("power") => feeding(words),
        Some("compare") => compare(words),
        Some("picture") => out::picture(words),
        Some("export") => out::export(words),
        Some("keys") => out::keys(words),
        _ => window(word, words),
    }
}

fn window(word: OsString, mut words: Parser) -> Result<Invocation, Aside> {
    let file = PathBuf::from(word);
    match std::fs::metadata(&file) {
        Ok(about) => {
            if let Some(why) = open::no_rig(&file, &about) {
                return refuse(why);
            }
        }
        Err(error) if matches!(error.kind(), io::ErrorKind::NotFound | io::ErrorKind::InvalidFilename) => {
            let shown = open::shown(&file);
            return refuse(format!("There is no file “{shown}”, and no command of that name; {COMMANDS}."));
        }
        // The window says what is the matter.
        Err(_) => {}
    }
    match words.next() {
        Ok(None) => Ok(Invocation::Window(Some(file))),
        Ok(Some(option)) if asks_for_help(&option) => Ok(Invocation::Help),
        Ok(Some(Arg::Value(second))) => one_file(&WINDOW, &second),
        Ok(Some(option)) => unknown(&option, &WINDOW),
        Err(error) => misread(error),
    }
}

fn check(mut words: Parser) -> Result<Invocation, Aside> {
    let mut file = None;
    loop {
        match words.next() {
            Ok(None) => break,
            Ok(Some(Arg::Value(word))) => take_file(&mut file, word, &CHECK)?,
            Ok(Some(option)) if asks_for_help(&option) => return Ok(Invocation::Help),
            Ok(Some(option)) => return unknown(&option, &CHECK),
            Err(error) => return misread(error),
        }
    }
    file.map_or_else(|| no_file(&CHECK), |file| Ok(Invocation::Check(file)))
}

fn feeding(mut words: Parser) -> Result<Invocation, Aside> {
    let mut asked = power::PowerArguments::default();
    let mut file = None;
    loop {
        match words.next() {
            Ok(None) => break,
            Ok(Some(Arg::Value(word))) => take_file(&mut file, word, &POWER)?,
            Ok(Some(Arg::Long("json"))) => asked.json = true,
            Ok(Some(Arg::Long("allocate"))) => asked.allocate = true,
            Ok(Some(option)) if asks_for_help(&option) => return Ok(Invocation::Help),
            Ok(Some(option)) => return unknown(&option, &POWER),
            Err(error) => return misread(error),
        }
    }
    let Some(file) = file else {
        return no_file(&POWER);
    };
    asked.file = file;
    Ok(Invocation::Power(asked))
}

fn report(mut words: Parser) -> Result<Invocation, Aside> {
    let mut asked = Report::default();
    let mut file = None;
    loop {
        match words.next() {
            Ok(None) => break,
            Ok(Some(Arg::Value(word))) => take_file(&mut file, word, &REPORT)?,
            Ok(Some(Arg::Long("json"))) => asked.json = true,
            Ok(Some(Arg::Long("at"))) => {
                let text = value(&mut words, "--at", "frequencies, something like --at 82,2.4k,5k")?;
                once(&mut asked.at, frequencies(&text)?, "--at")?;
            }
            Ok(Some(Arg::Long("variant"))) => {
                let name = value(&mut words, "--variant", VARIANT_NAME)?;
                once(&mut asked.variant, name, "--variant")?;
            }
            Ok(Some(Arg::Long("sound"))) => {
                let name = value(&mut words, "--sound", SOUND_NAME)?;
                once(&mut asked.sound, name, "--sound")?;
            }
            Ok(Some(Arg::Long("power"))) => once(&mut asked.power, feeding_of(&mut words)?, "--power")?,
            Ok(Some(Arg::Long("set"))) => {
                let text = value(&mut words, "--set", "switches, something like --set \"Wah=on,Delay=off\"")?;
                once(&mut asked.set, text, "--set")?;
            }
            Ok(Some(Arg::Long("source"))) => {
                let name = value(&mut words, "--source", "an instrument's name")?;
                once(&mut asked.source, name, "--source")?;
            }
            Ok(Some(Arg::Long("complex"))) => asked.complex = true,
            Ok(Some(Arg::Long("vary"))) => match value(&mut words, "--vary", "“hand”")?.as_str() {
                "hand" => asked.vary_hand = true,
                other => return refuse(format!("After --vary comes “hand”, and “{other}” came.")),
            },
            Ok(Some(option)) if asks_for_help(&option) => return Ok(Invocation::Help),
            Ok(Some(option)) => return unknown(&option, &REPORT),
            Err(error) => return misread(error),
        }
    }
    let Some(file) = file else {
        return no_file(&REPORT);
    };
    asked.file = file;
    Ok(Invocation::Report(asked))
}

fn compare(mut words: Parser) -> Result<Invocation, Aside> {
    let mut asked = Compare::default();
    let mut file = None;
    loop {
        match words.next() {
            Ok(None) => break,
            Ok(Some(Arg::Value(word))) => take_file(&mut file, word, &COMPARE)?,
            Ok(Some(Arg::Long("json"))) => asked.json = true,
            Ok(Some(Arg::Long("sound"))) => {
                let name = value(&mut words, "--sound", SOUND_NAME)?;
                once(&mut asked.sound, name, "--sound")?;
            }
            Ok(Some(Arg::Long("power"))) => once(&mut asked.power, feeding_of(&mut words)?, "--power")?,
            Ok(Some(Arg::Long("against"))) => {
                let name = value(&mut words, "--against", "a variant's name, or “straight”")?;
                once(&mut asked.against, name, "--against")?;
            }
            Ok(Some(option)) if asks_for_help(&option) => return Ok(Invocation::Help),
            Ok(Some(option)) => return unknown(&option, &COMPARE),
            Err(error) => return misread(error),
        }
    }
    asked.file = match file {
        Some(file) => file,
        None => return no_file(&COMPARE),
    };
    Ok(Invocation::Compare(asked))
}

/// "as-drawn" or "all-fed".
fn feeding_of(words: &mut Parser) -> Result<Feeding, Aside> {
    let expected = "“as-drawn” or “all-fed”";
    match value(words, "--power", expected)?.as_str() {
        "as-drawn" => Ok(Feeding::AsDrawn),
        "all-fed" => Ok(Feeding::AllFed),
        other => refuse(format!("After --power comes {expected}, and “{other}” came.")),
    }
}

/// "82,2.4k,5 kHz" as Hz, in the order given.
fn frequencies(text: &str) -> Result<Vec<f64>, Aside> {
    if let Some(why) = decimal_comma(text) {
        return refuse(why);
    }
    let one = |part: &str| {
        let hz = match quantity(part, Dimension::Frequency).map_err(|error| error.to_string())? {
            Parsed::Value(hz) => hz,
            // Only a comma can be read in two ways, and those stand between frequencies here.
            Parsed::Ambiguous(readings) => {
                let [first, second] = readings.map(|hz| shown(hz, Dimension::Frequency, Hertz::UNIT));
                return Err(format!("“{part}” may be {first} or {second}"));
            }
        };
        Hertz::new(hz).map(Hertz::get).map_err(|error| error.to_string())
    };
    let all: Result<Vec<f64>, String> = text.split(',').map(one).collect();
    all.or_else(|why| refuse(format!("After --at, {why}; several have commas between them, as in --at 82,2.4k,5k.")))
}

/// A comma stands between frequencies here, and for many people it is the decimal
/// sign: "2,4k", "82,4". It gives itself away by a bare number below what can be
/// heard, which nobody asks a level at without saying its unit.
fn decimal_comma(text: &str) -> Option<String> {
    let parts: Vec<&str> = text.split(',').map(str::trim).collect();
    let bare = |part: &str| {
        let digits = !part.is_empty() && part.bytes().all(|byte| byte.is_ascii_digit());
        digits && part.parse::<f64>().is_ok_and(|hz| hz < LOWEST_HEARD_HZ)
    };
    let at = (1..parts.len()).find(|&at| bare(parts[at - 1]) || bare(parts[at]))?;
    let (first, second) = (parts[at - 1], parts[at]);
    let with_unit =
        |part: &str| if part.ends_with(|c: char| c.is_ascii_digit()) { format!("{part}Hz") } else { part.to_owned() };
    Some(format!(
        "After --at, “{first},{second}” may be one frequency or two, since a comma stands between frequencies here: \
         write {first}.{second} for the one, {},{} for the two.",
        with_unit(first),
        with_unit(second)
    ))
}

fn asks_for_help(arg: &Arg<'_>) -> bool {
    matches!(arg, Arg::Short('h') | Arg::Long("help"))
}

fn take_file(slot: &mut Option<PathBuf>, word: OsString, command: &Command) -> Result<(), Aside> {
    if slot.is_some() {
        return one_file(command, &word);
    }
    *slot = Some(PathBuf::from(word));
    Ok(())
}

fn value(words: &mut Parser, option: &str, expected: &str) -> Result<String, Aside> {
    match words.value() {
        Ok(value) => Ok(value.to_string_lossy().into_owned()),
        Err(_) => refuse(format!("After {option} comes {expected}; nothing came.")),
    }
}

fn once<T>(slot: &mut Option<T>, value: T, option: &str) -> Result<(), Aside> {
    if slot.replace(value).is_some() {
        return refuse(format!("{option} came twice; it is taken once."));
    }
    Ok(())
}

fn one_file<T>(command: &Command, second: &OsStr) -> Result<T, Aside> {
    let second = Path::new(second).display();
    refuse(format!("One file is expected, as in {}, and “{second}” came besides.", command.usage))
}

fn no_file<T>(command: &Command) -> Result<T, Aside> {
    refuse(format!("A file is expected: {}.", command.usage))
}

fn unknown<T>(option: &Arg<'_>, command: &Command) -> Result<T, Aside> {
    let option = match option {
        Arg::Short(letter) => format!("-{letter}"),
        Arg::Long(name) => format!("--{name}"),
        Arg::Value(word) => word.to_string_lossy().into_owned(),
    };
    refuse(format!("There is no option “{option}” here; {} knows {}.", command.usage, command.options))
}

fn misread<T>(error: lexopt::Error) -> Result<T, Aside> {
    match error {
        lexopt::Error::UnexpectedValue { option, value } => {
            refuse(format!("{option} stands alone, and “{}” came with it.", value.to_string_lossy()))
        }
        other => refuse(format!("The arguments can't be read: {other}.")),
    }
}
