//! The catalogue: read once from the files inside the program, then searched.

use std::sync::LazyLock;

use super::{CablePart, Part, Wanted, load};
use crate::words::search::{Match, Query};

/// Parts and leads to choose from.
#[derive(Debug, Clone, PartialEq)]
pub struct Catalogue {
    /// The parts, group by group.
    pub parts: Vec<Part>,
    /// What leads can be made of.
    pub cables: Vec<CablePart>,
}

macro_rules! file {
    ($name:literal) => {
        ($name, include_str!(concat!("../../../../assets/parts/", $name)))
    };
}

/// In the order of `Group`.
const PARTS: [(&str, &str); 15] = [
    file!("instruments.ron"),
    file!("tuners.ron"),
    file!("buffers.ron"),
    file!("dynamics.ron"),
    file!("drives.ron"),
    file!("fuzz.ron"),
    file!("treadles.ron"),
    file!("modulation.ron"),
    file!("delay_reverb.ron"),
    file!("multi_effects.ron"),
    file!("switching.ron"),
    file!("wireless.ron"),
    file!("direct.ron"),
    file!("amps.ron"),
    file!("supplies.ron"),
];

static CATALOGUE: LazyLock<Catalogue> = LazyLock::new(|| {
    #[allow(clippy::expect_used, reason = "the files are compiled in, and a test reads them all")]
    load::load(file!("common.ron"), &PARTS, file!("cables.ron")).expect("the catalogue inside the program is sound")
});

/// The catalogue that ships with the program.
#[must_use]
pub fn catalogue() -> &'static Catalogue {
    &CATALOGUE
}

impl Catalogue {
    /// The part with that key.
    #[must_use]
    pub fn part(&self, key: &str) -> Option<&Part> {
        self.parts.iter().find(|part| part.key == key)
    }

    /// What a lead is made of, by its key.
    #[must_use]
    pub fn cable(&self, key: &str) -> Option<&CablePart> {
        self.cables.iter().find(|cable| cable.key == key)
    }

    /// The parts that meet every need of the query ([`Wanted`]) and in which every word that
    /// is left is found, best first: those whose name starts with it, then with all its words
    /// in the name, whole ones first, then the rest. An empty query finds all, in the
    /// catalogue's order.
    #[must_use]
    pub fn search(&self, query: &str) -> Vec<&Part> {
        self.ranked(query).into_iter().map(|(_, part)| part).collect()
    }

    /// The same with how well each fits.
    #[must_use]
    pub fn ranked(&self, query: &str) -> Vec<(Match, &Part)> {
        let wanted = Wanted::read(query);
        let (whole, words) = (Query::of(query), Query::of(&wanted.words));
        let rank = |part: &Part| {
            // Needs alone are in no name.
            let left = match words.is_empty() && !wanted.needs.is_empty() {
                true => Match::Elsewhere,
                false => matched(part, &words)?,
            };
            // Where the name has all that was typed, as in "9 V battery", it goes before.
            let whole = matched(part, &whole).unwrap_or(Match::Elsewhere);
            wanted.fits(part).then_some((whole, left))
        };
        let mut found: Vec<((Match, Match), &Part)> =
            self.parts.iter().filter_map(|part| Some((rank(part)?, part))).collect();
        // A stable sort: equal matches stay in the catalogue's order.
        found.sort_by_key(|(how, _)| *how);
        found.into_iter().map(|((whole, left), part)| (whole.min(left), part)).collect()
    }
}

fn matched(part: &Part, query: &Query) -> Option<Match> {
    query.matched(&part.name, &[part.group.name(), &part.about, &part.words.join(" ")])
}

#[cfg(test)]
mod tests;
