//! From the catalogue's files to parts. A source that a part leaves out is
//! taken from its file, then from the common list.

use std::collections::{BTreeMap, BTreeSet};

use serde::Deserialize;

use super::{CablePart, Catalogue, Group, Part, Source};
use crate::conductor::coax_capacitance;
use crate::rig::{Body, Bypass, Cable, DeviceId, Effect, Kind, Power, fields, power_fields};
use crate::units::{Farads, FaradsPerMetre, HenriesPerMetre, Hertz, LossTangent, Metres, OhmsPerMetre, Price};

type Sources = BTreeMap<String, Source>;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct PartFile {
    group: Group,
    sources: Sources,
    parts: Vec<RawPart>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RawPart {
    key: String,
    name: String,
    about: String,
    words: Vec<String>,
    body: Body,
    power: Power,
    #[serde(default)]
    heard_to: Option<Hertz>,
    #[serde(default)]
    effect: Option<Effect>,
    kind: Kind,
    sources: Sources,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct CableFile {
    sources: Sources,
    cables: Vec<RawCable>,
}

/// A lead's capacitance: told, or calculated from its cross-section.
#[derive(Deserialize)]
enum Capacitance {
    Given(FaradsPerMetre),
    Coax { core: f64, screen: f64, permittivity: f64 },
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RawCable {
    key: String,
    name: String,
    about: String,
    capacitance: Capacitance,
    #[serde(default)]
    handling_noise: bool,
    resistance: OhmsPerMetre,
    inductance: HenriesPerMetre,
    loss_tangent: LossTangent,
    plug: Farads,
    default_length: Metres,
    price_per_metre: Price,
    price_plugs: Price,
    sources: Sources,
}

/// Reads the files, given as name and text, parts in the catalogue's order.
/// Errors name the file.
pub(super) fn load(common: (&str, &str), parts: &[(&str, &str)], cables: (&str, &str)) -> Result<Catalogue, String> {
    let common: Sources = read(common)?;
    let mut catalogue = Catalogue { parts: Vec::new(), cables: Vec::new() };
    for file in parts {
        let PartFile { group, sources, parts } = read(*file)?;
        for raw in parts {
            catalogue.parts.push(raw.into_part(group, &[&sources, &common]));
        }
    }
    let CableFile { sources, cables: raw } = read(cables)?;
    for cable in raw {
        let key = cable.key.clone();
        let part = cable.into_cable(&sources).ok_or_else(|| format!("{}: {key}: no such coax", cables.0))?;
        catalogue.cables.push(part);
    }
    Ok(catalogue)
}

fn read<T: serde::de::DeserializeOwned>((name, text): (&str, &str)) -> Result<T, String> {
    ron::from_str(text).map_err(|error| format!("{name}:{error}"))
}

impl RawPart {
    fn into_part(self, group: Group, fallbacks: &[&Sources]) -> Part {
        let Self { key, name, about, words, body, power, heard_to, effect, kind, sources } = self;
        let mut part = Part { key, name, group, about, words, body, power, heard_to, effect, kind, sources };
        let paths = paths(&part);
        for path in &paths {
            fill(&mut part.sources, path, fallbacks);
        }
        // What stood for all of a kind has been given to each.
        let kinds: BTreeSet<String> = paths.iter().map(|path| without_counts(path)).collect();
        part.sources.retain(|path, _| paths.contains(path) || !kinds.contains(path));
        part
    }
}

impl RawCable {
    fn into_cable(self, fallback: &Sources) -> Option<CablePart> {
        let mut sources = self.sources;
        for path in CablePart::PATHS {
            fill(&mut sources, path, &[fallback]);
        }
        let capacitance = match self.capacitance {
            Capacitance::Given(capacitance) => capacitance,
            Capacitance::Coax { core, screen, permittivity } => coax_capacitance(core, screen, permittivity)?,
        };
        Some(CablePart {
            cable: Cable {
                name: self.name.clone(),
                capacitance,
                resistance: self.resistance,
                inductance: self.inductance,
                loss_tangent: self.loss_tangent,
                plug: self.plug,
            },
            key: self.key,
            name: self.name,
            about: self.about,
            handling_noise: self.handling_noise,
            default_length: self.default_length,
            price_per_metre: self.price_per_metre,
            price_plugs: self.price_plugs,
            sources,
        })
    }
}

/// A source that is given without counts stands for all of its kind:
/// "outlets.settings.limit" for "outlets.3.settings.1.limit". The part's own
/// such sources come before those of its file.
fn fill(sources: &mut Sources, path: &str, fallbacks: &[&Sources]) {
    let general = without_counts(path);
    let own = sources.get(&general).cloned();
    let fallback = own
        .as_ref()
        .or_else(|| fallbacks.iter().find_map(|sources| sources.get(path).or_else(|| sources.get(&general))));
    if let Some(source) = fallback.filter(|_| !sources.contains_key(path)) {
        sources.insert(path.to_owned(), source.clone());
    }
}

fn without_counts(path: &str) -> String {
    let steps: Vec<&str> = path.split('.').filter(|step| step.parse::<u8>().is_err()).collect();
    steps.join(".")
}

/// Every number that a device made from the part can show: a pedal shows other
/// ones with each kind of bypass, and a player may change the kind.
pub(super) fn paths(part: &Part) -> BTreeSet<String> {
    let mut found = BTreeSet::new();
    let mut device = part.device(DeviceId(0));
    for bypass in [Bypass::True, Bypass::Buffered, Bypass::AlwaysLoading] {
        if let Some(pedal) = device.kind.pedal_mut() {
            pedal.bypass = bypass;
        }
        found.extend(fields(&device).into_iter().map(|field| field.path));
    }
    found.extend(power_fields(&device).into_iter().map(|field| field.path));
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_slip_in_a_file_is_named_with_its_place() {
        let good = ("cables.ron", "(sources: {}, cables: [])");
        let error = load(("common.ron", "{}"), &[("amps.ron", "(group: Amps,\nsauces: {})")], good).unwrap_err();
        assert!(error.starts_with("amps.ron:2:"), "{error}");
    }
}
