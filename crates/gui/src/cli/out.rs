//! Pictures and tables, each in a file that is named.

use std::path::Path;
use std::sync::Arc;

use rigwright_core::export;
use rigwright_core::rig::{Project, Sound, State, Variant};
use rigwright_core::watch::{Part, Watch};

use super::arguments::{Export, Picture};
use super::open::shown;
use super::worked::Worked;
use super::{Aside, choose, open, refuse};
use crate::export::{Exported, Format, Gathered, card};
use crate::jobs;
use crate::picture::{Look, NoPicture};

/// Makes a picture; what to say of it.
pub fn picture(asked: &Picture, watch: &dyn Watch) -> Result<String, Aside> {
    let format = format_of(asked.what, &asked.out)?;
    let project = open::project(&asked.file)?;
    let sound = choose::sound(&project, asked.sound.as_deref(), &asked.file)?.cloned();
    let chosen = choose::variants(&project, asked.variant.as_deref(), &asked.file)?;
    let Some(in_hand) = chosen.first().map(|variant| Arc::clone(variant)) else {
        return refuse(NO_VARIANT);
    };
    let state = state_in(&project, sound.as_ref(), &in_hand);
    // One state for all that is drawn: who makes the sound by another one stays out.
    let stands_so = |variant: &&Arc<Variant>| state_in(&project, sound.as_ref(), variant) == state;
    let shown: Vec<_> = match asked.what {
        Exported::Plot => chosen.iter().copied().filter(stands_so).map(|variant| variant.id).collect(),
        _ => vec![in_hand.id],
    };
    let apart: Vec<&str> = match asked.what {
        Exported::Plot => {
            chosen.iter().filter(|variant| !shown.contains(&variant.id)).map(|v| v.name.as_str()).collect()
        }
        _ => Vec::new(),
    };
    let told = match super::words::some_of(apart.iter().copied()) {
        names if names.is_empty() => String::new(),
        names => format!(" Left out, since the sound is made by another state there: {names}."),
    };
    let standing = Project { state, ..project.clone() };
    let worked = Worked::out(standing, in_hand.id, &|id| shown.contains(&id), watch)?;
    let gathered = gathered(asked.what, asked.look, &worked)?;
    write(&gathered, format, &asked.out)?;
    let of = if shown.len() > 1 { project.title.as_str() } else { in_hand.name.as_str() };
    Ok(said(asked.what, of, &asked.out, &told))
}

/// Makes a table; what to say of it.
pub fn export(asked: &Export, watch: &dyn Watch) -> Result<String, Aside> {
    let format = format_of(asked.what, &asked.out)?;
    let project = open::project(&asked.file)?;
    let sound = choose::sound(&project, asked.sound.as_deref(), &asked.file)?.cloned();
    let chosen = choose::variants(&project, asked.variant.as_deref(), &asked.file)?;
    let table = match asked.what {
        Exported::Parts => {
            let variants: Vec<&Variant> = chosen.iter().map(|variant| &***variant).collect();
            export::parts(&variants, &project.currency)
        }
        _ => curves(&project, sound.as_ref(), &chosen, watch)?,
    };
    write(&Gathered::Table(table), format, &asked.out)?;
    let of = if let [one] = chosen.as_slice() { one.name.as_str() } else { project.title.as_str() };
    Ok(said(asked.what, of, &asked.out, ""))
}

/// Makes the picture of the key card; what to say of it.
pub fn key_card(out: &Path, look: Look) -> Result<String, Aside> {
    let what = Exported::Card;
    let format = format_of(what, out)?;
    write(&made(what, card(look))?, format, out)?;
    Ok(super::words::one_line(&format!("The {} is in “{}”.", what.noun(), shown(out))) + "\n")
}

const NO_VARIANT: &str = "The file holds no variant.";

/// The curves of variants, each in the state in which it makes the sound.
fn curves(
    project: &Project,
    sound: Option<&Sound>,
    chosen: &[&Arc<Variant>],
    watch: &dyn Watch,
) -> Result<String, Aside> {
    let mut table = String::new();
    let count = chosen.len().max(1) as f64;
    for (at, variant) in chosen.iter().enumerate() {
        let watch = Part { whole: watch, from: at as f64 / count, to: (at + 1) as f64 / count };
        let standing = Project { state: state_in(project, sound, variant), ..project.clone() };
        let worked = Worked::out(standing, variant.id, &|id| id == variant.id, &watch)?;
        let Gathered::Table(text) = gathered(Exported::Curves, Look::Light, &worked)? else { continue };
        // One heading is enough.
        let body = text.split_once('\n').map_or("", |(_, body)| body);
        table += if at == 0 { &text } else { body };
    }
    Ok(table)
}

fn state_in(project: &Project, sound: Option<&Sound>, variant: &Variant) -> State {
    sound.map_or_else(|| project.state.clone(), |sound| sound.realise(variant).state)
}

fn format_of(what: Exported, out: &Path) -> Result<Format, Aside> {
    what.format_of(out).or_else(|endings| {
        refuse(format!("After --out comes a name that ends in {endings}, and “{}” came.", shown(out)))
    })
}

fn gathered(what: Exported, look: Look, worked: &Worked) -> Result<Gathered, Aside> {
    made(what, what.gathered(look, &worked.facts()))
}

fn made(what: Exported, gathered: Result<Gathered, NoPicture>) -> Result<Gathered, Aside> {
    gathered.or_else(|error| refuse(format!("The {} can't be made: {error}.", what.noun())))
}

/// Writes all of it or nothing.
fn write(gathered: &Gathered, format: Format, out: &Path) -> Result<(), Aside> {
    let bytes = gathered.bytes(format).or_else(|why| refuse(format!("“{}” isn't written: {why}.", shown(out))))?;
    jobs::write_whole(out, &bytes).or_else(refuse)
}

fn said(what: Exported, of: &str, out: &Path, told: &str) -> String {
    let sentence = format!("The {} of “{of}” is in “{}”.{told}", what.noun(), shown(out));
    super::words::one_line(&sentence) + "\n"
}
