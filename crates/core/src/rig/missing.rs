//! What a sound asks for that the rig in hand lacks, and who has it.

use super::{OutOfReach, Project, Realised, Sound, Variant, device_name};
use crate::words::list;

/// Units that a sound asks for and a rig lacks, told in one breath since the same rigs have them.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Missing<'a> {
    /// What they are called there, or their numbers where nobody has them.
    pub names: Vec<String>,
    /// The rigs that have them.
    pub homes: Vec<&'a str>,
}

/// What a sound asks for that a rig lacks.
#[must_use]
pub fn missing<'a>(project: &'a Project, variant: &Variant, sound: &Sound) -> Vec<Missing<'a>> {
    let lacking = sound.realise(variant).lacks;
    let mut told: Vec<Missing<'a>> = Vec::new();
    for id in lacking {
        let having: Vec<&Variant> = project
            .variants
            .iter()
            .map(AsRef::as_ref)
            .filter(|other: &&Variant| other.rig.device(id).is_some())
            .collect();
        let device = having.first().and_then(|other| other.rig.device(id));
        let name = device.map_or_else(|| format!("unit {}", id.0), |device| device.name.clone());
        let homes: Vec<&str> = having.iter().map(|other| other.name.as_str()).collect();
        match told.iter_mut().find(|known| known.homes == homes) {
            Some(known) => known.names.push(name),
            None => told.push(Missing { names: vec![name], homes }),
        }
    }
    told
}

/// "Asks for Fuzz, which this rig lacks (it is in All true bypass)."; none if nothing is missing.
#[must_use]
pub fn missing_words(missing: &[Missing<'_>]) -> Option<String> {
    let sentences: Vec<String> = missing.iter().map(sentence).collect();
    (!sentences.is_empty()).then(|| sentences.join(" "))
}

/// "Needs loops 1 and 3 of Switcher together, and no preset has both in."
#[must_use]
pub fn out_of_reach_words(variant: &Variant, made: &Realised) -> Vec<String> {
    let words = |one: &OutOfReach| {
        let numbers: Vec<String> = one.loops.iter().map(ToString::to_string).collect();
        let name = device_name(&variant.rig, one.switcher);
        match numbers.len() {
            1 => format!("Needs loop {} of {name}, and nothing puts it in.", numbers[0]),
            _ => format!("Needs loops {} of {name} together, and no preset has them all in.", list(&numbers)),
        }
    };
    made.out_of_reach.iter().map(words).collect()
}

fn sentence(missing: &Missing<'_>) -> String {
    let Missing { names, homes } = missing;
    let it = if names.len() == 1 { "it is" } else { "they are" };
    let home = if homes.is_empty() { format!("{it} in no rig here") } else { format!("{it} in {}", list(homes)) };
    format!("Asks for {}, which this rig lacks ({home}).", list(names))
}
