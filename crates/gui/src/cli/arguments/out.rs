//! The arguments of commands that write a file.

use std::path::{Path, PathBuf};

use lexopt::{Arg, Parser};

use super::{Command, Invocation, asks_for_help, misread, no_file, once, take_file, unknown, value};
use crate::cli::{Aside, refuse};
use crate::export::Exported;
use crate::picture::Look;

/// What a picture was asked for.
#[derive(Debug, Clone, PartialEq)]
pub struct Picture {
    /// The file.
    pub file: PathBuf,
    /// What it is of.
    pub what: Exported,
    /// Where it goes; the name's ending says which kind it is.
    pub out: PathBuf,
    /// The name of the variant, in place of the first.
    pub variant: Option<String>,
    /// The name of the sound wanted in place of the state in hand.
    pub sound: Option<String>,
    /// Its look.
    pub look: Look,
}

/// What a table was asked for.
#[derive(Debug, Clone, PartialEq)]
pub struct Export {
    /// The file.
    pub file: PathBuf,
    /// What it is of.
    pub what: Exported,
    /// Where it goes.
    pub out: PathBuf,
    /// The name of the only variant wanted.
    pub variant: Option<String>,
    /// The name of the sound wanted in place of the state in hand.
    pub sound: Option<String>,
}

/// How the key card was asked for.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct KeyCard {
    /// The picture that it becomes; where there is none it is printed as text.
    pub out: Option<PathBuf>,
    /// The look of the picture.
    pub look: Look,
}

const KEYS: Command =
    Command { usage: "rigwright keys", options: "--out FILE.svg|FILE.png, --look dark|light and --help" };
const PICTURE: Command = Command {
    usage: "rigwright picture FILE --what chain --out FILE.svg",
    options: "--what chain|plot|power, --out FILE.svg|FILE.png, --variant NAME, --sound NAME, --look dark|light and \
              --help",
};
const EXPORT: Command = Command {
    usage: "rigwright export FILE --as csv --what curves --out FILE.csv",
    options: "--as csv, --what curves|parts, --out FILE.csv, --variant NAME, --sound NAME and --help",
};

/// What came, each at most once.
#[derive(Default)]
struct Came {
    file: Option<PathBuf>,
    what: Option<Exported>,
    out: Option<PathBuf>,
    variant: Option<String>,
    sound: Option<String>,
    look: Option<Look>,
    format: Option<()>,
}

/// Reads the arguments of `picture`.
pub fn picture(words: Parser) -> Result<Invocation, Aside> {
    let kinds = [("chain", Exported::Drawing), ("plot", Exported::Plot), ("power", Exported::Power)];
    let Some(came) = read(words, &PICTURE, &kinds)? else { return Ok(Invocation::Help) };
    let (file, what, out) = needed(&PICTURE, &kinds, (came.file, came.what, came.out))?;
    let Came { variant, sound, look, .. } = came;
    Ok(Invocation::Picture(Picture { file, what, out, variant, sound, look: look.unwrap_or_default() }))
}

/// Reads the arguments of `export`.
pub fn export(words: Parser) -> Result<Invocation, Aside> {
    let kinds = [("curves", Exported::Curves), ("parts", Exported::Parts)];
    let Some(came) = read(words, &EXPORT, &kinds)? else { return Ok(Invocation::Help) };
    let (file, what, out) = needed(&EXPORT, &kinds, (came.file, came.what, came.out))?;
    if came.format.is_none() {
        return refuse(format!("It has to be said how the table is to be written: {}.", EXPORT.usage));
    }
    Ok(Invocation::Export(Export { file, what, out, variant: came.variant, sound: came.sound }))
}

/// What came; none where help is wanted.
fn read(mut words: Parser, command: &Command, kinds: &[(&str, Exported)]) -> Result<Option<Came>, Aside> {
    let mut came = Came::default();
    let is_picture = command.usage == PICTURE.usage;
    loop {
        match words.next() {
            Ok(None) => return Ok(Some(came)),
            Ok(Some(Arg::Value(word))) => take_file(&mut came.file, word, command)?,
            Ok(Some(Arg::Long("what"))) => {
                let name = value(&mut words, "--what", &names(kinds))?;
                let Some((_, what)) = kinds.iter().find(|(known, _)| *known == name) else {
                    return refuse(format!("After --what comes {}, and “{name}” came.", names(kinds)));
                };
                once(&mut came.what, *what, "--what")?;
            }
            Ok(Some(Arg::Long("out"))) => {
                once(&mut came.out, out_path(&mut words)?, "--out")?;
            }
            Ok(Some(Arg::Long("variant"))) => {
                let name = value(&mut words, "--variant", super::VARIANT_NAME)?;
                once(&mut came.variant, name, "--variant")?;
            }
            Ok(Some(Arg::Long("sound"))) => {
                let name = value(&mut words, "--sound", super::SOUND_NAME)?;
                once(&mut came.sound, name, "--sound")?;
            }
            Ok(Some(Arg::Long("look"))) if is_picture => {
                once(&mut came.look, look(&mut words)?, "--look")?;
            }
            Ok(Some(Arg::Long("as"))) if !is_picture => match value(&mut words, "--as", "“csv”")?.as_str() {
                "csv" => once(&mut came.format, (), "--as")?,
                other => return refuse(format!("After --as comes “csv”, and “{other}” came.")),
            },
            Ok(Some(option)) if asks_for_help(&option) => return Ok(None),
            Ok(Some(option)) => return unknown(&option, command),
            Err(error) => return misread(error),
        }
    }
}

/// Reads the arguments of `keys`.
pub fn keys(mut words: Parser) -> Result<Invocation, Aside> {
    let (mut out, mut its_look) = (None, None);
    loop {
        match words.next() {
            Ok(None) => break,
            Ok(Some(Arg::Long("out"))) => once(&mut out, out_path(&mut words)?, "--out")?,
            Ok(Some(Arg::Long("look"))) => once(&mut its_look, look(&mut words)?, "--look")?,
            Ok(Some(Arg::Value(word))) => {
                let word = Path::new(&word).display();
                return refuse(format!("No file is expected behind {}, and “{word}” came.", KEYS.usage));
            }
            Ok(Some(option)) if asks_for_help(&option) => return Ok(Invocation::Help),
            Ok(Some(option)) => return unknown(&option, &KEYS),
            Err(error) => return misread(error),
        }
    }
    if out.is_none() && its_look.is_some() {
        return refuse("A look is a picture's: where the picture goes has to be said with --out.");
    }
    Ok(Invocation::Keys(KeyCard { out, look: its_look.unwrap_or_default() }))
}

/// The name behind --out.
fn out_path(words: &mut Parser) -> Result<PathBuf, Aside> {
    let name = words.value().or_else(|_| refuse("After --out comes a file's name; nothing came."))?;
    Ok(PathBuf::from(name))
}

/// The look behind --look.
fn look(words: &mut Parser) -> Result<Look, Aside> {
    match value(words, "--look", LOOKS)?.as_str() {
        "dark" => Ok(Look::Dark),
        "light" => Ok(Look::Light),
        other => refuse(format!("After --look comes {LOOKS}, and “{other}” came.")),
    }
}

const LOOKS: &str = "“dark” or “light”";

/// "“chain”, “plot” or “power”".
fn names(kinds: &[(&str, Exported)]) -> String {
    let quoted: Vec<String> = kinds.iter().map(|(name, _)| format!("“{name}”")).collect();
    match quoted.split_last() {
        Some((last, others)) if !others.is_empty() => format!("{} or {last}", others.join(", ")),
        _ => quoted.concat(),
    }
}

type Needed<T> = (T, Exported, PathBuf);

/// The file, what is wanted of it, and where that goes, all of which have to be said.
fn needed(
    command: &Command,
    kinds: &[(&str, Exported)],
    came: (Option<PathBuf>, Option<Exported>, Option<PathBuf>),
) -> Result<Needed<PathBuf>, Aside> {
    let Some(file) = came.0 else { return no_file(command) };
    let Some(what) = came.1 else {
        return refuse(format!("What it is to be of has to be said: --what takes {}.", names(kinds)));
    };
    let Some(out) = came.2 else {
        return refuse(format!("Where it goes has to be said: {}.", command.usage));
    };
    Ok((file, what, out))
}
