//! Variants and sounds by their names.

use std::path::Path;
use std::sync::Arc;

use rigwright_core::rig::{Device, Feeding, Project, Sound, Variant};

use super::arguments::Report;
use super::open::shown;
use super::set::{self, Set};
use super::words::some_of;
use super::{Aside, refuse};

/// What a report is about.
#[derive(Debug, Clone, PartialEq)]
pub struct Chosen<'a> {
    /// These variants, in the project's order.
    pub variants: Vec<&'a Arc<Variant>>,
    /// This sound, or the state in hand.
    pub sound: Option<&'a Sound>,
    /// Whether units without power count as fed.
    pub feeding: Feeding,
    /// Where footswitches stand, in place of the state in hand or the sound's.
    pub set: Option<Vec<Set>>,
    /// The instrument that is played, in place of what the state says: its name.
    pub source: Option<&'a str>,
    /// Whether levels have their phase beside them.
    pub complex: bool,
    /// Whether all states range over what a hand works, too.
    pub vary_hand: bool,
}

/// What was asked for of this project; a name that it lacks is told with those it has.
pub fn from<'a>(project: &'a Project, asked: &Report) -> Result<Chosen<'a>, Aside> {
    let variants = variants(project, asked.variant.as_deref(), &asked.file)?;
    let devices = variants.iter().flat_map(|variant| &variant.rig.devices);
    let instruments: Vec<&Device> = devices.filter(|device| device.kind.is_instrument()).collect();
    let set = asked.set.as_deref().map(|text| set::parse(text, &variants)).transpose()?;
    Ok(Chosen {
        variants,
        set,
        source: source(&instruments, asked)?,
        complex: asked.complex,
        vary_hand: asked.vary_hand,
        sound: sound(project, asked.sound.as_deref(), &asked.file)?,
        feeding: asked.power.unwrap_or_default(),
    })
}

/// The variants of that name, or all.
pub fn variants<'a>(project: &'a Project, name: Option<&str>, file: &Path) -> Result<Vec<&'a Arc<Variant>>, Aside> {
    let Some(name) = name else { return Ok(project.variants.iter().collect()) };
    let found = named(&project.variants, name, |variant| &variant.name);
    if found.is_empty() {
        return missing("variant", name, file, project.variants.iter().map(|v| v.name.as_str()));
    }
    Ok(found)
}

/// The name of an instrument, if one is wanted.
fn source<'a>(instruments: &[&'a Device], asked: &Report) -> Result<Option<&'a str>, Aside> {
    let Some(name) = &asked.source else { return Ok(None) };
    match named(instruments, name, |device| &device.name).first() {
        Some(device) => Ok(Some(&device.name)),
        None => missing("instrument", name, &asked.file, instruments.iter().map(|device| device.name.as_str())),
    }
}

/// The sound of that name, if one is wanted.
pub fn sound<'a>(project: &'a Project, name: Option<&str>, file: &Path) -> Result<Option<&'a Sound>, Aside> {
    let Some(name) = name else { return Ok(None) };
    match named(&project.sounds, name, |sound| &sound.name).first() {
        Some(&sound) => Ok(Some(sound)),
        None => missing("sound", name, file, project.sounds.iter().map(|s| s.name.as_str())),
    }
}

/// All of exactly that name, or else all whose name differs in capitals only.
pub fn named<'a, T>(all: &'a [T], wanted: &str, name: impl Fn(&T) -> &str) -> Vec<&'a T> {
    let exact: Vec<&T> = all.iter().filter(|one| name(one) == wanted).collect();
    if !exact.is_empty() {
        return exact;
    }
    let wanted = wanted.to_lowercase();
    all.iter().filter(|one| name(one).to_lowercase() == wanted).collect()
}

/// Nothing of that name; the sentence tells which names there are.
pub fn missing<'a, T>(what: &str, name: &str, file: &Path, there: impl Iterator<Item = &'a str>) -> Result<T, Aside> {
    let file = shown(file);
    let there = some_of(there);
    if there.is_empty() {
        return refuse(format!("There is no {what} “{name}” in {file}; it holds no {what}s at all."));
    }
    refuse(format!("There is no {what} “{name}” in {file}; expected one of {there}."))
}
