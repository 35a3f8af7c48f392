//! Parts of the player's own, as the catalogue has parts; and the part of the catalogue
//! that one of them goes back to.

use super::{Catalogue, Group, Label, Part, Source, catalogue, load};
use crate::rig::{OwnPart, own_key_of};

/// The part that ships with the program which a device's part is, or which the own part
/// goes back to that it is: what a unit is for is known from that.
#[must_use]
pub fn shipped_part(key: &str) -> Option<&'static Part> {
    catalogue().part(own_key_of(key).unwrap_or(key))
}

/// What a part is called where own parts aren't at hand; its key, where it isn't known.
#[must_use]
pub fn part_name(key: &str) -> String {
    match (shipped_part(key), own_key_of(key)) {
        (Some(part), None) => part.name.clone(),
        (Some(part), Some(_)) => format!("{} (own part)", part.name),
        (None, Some(_)) => "own part".to_owned(),
        (None, None) => key.to_owned(),
    }
}

impl Catalogue {
    /// Parts of the player's own, to be searched as the others are.
    #[must_use]
    pub fn of_own(parts: &[OwnPart]) -> Self {
        Self { parts: parts.iter().map(Part::of_own).collect(), cables: Vec::new() }
    }
}

impl Part {
    /// A part of the player's own: each of its numbers is the player's, and it is found by
    /// the words of the part that it goes back to.
    #[must_use]
    pub fn of_own(own: &OwnPart) -> Self {
        let OwnPart { key, name, body, power, heard_to, effect, kind } = own.clone();
        let from = shipped_part(&key);
        let noun = kind.noun();
        let about = match from {
            Some(from) => format!("A part of yours, made from “{}” of the catalogue: {noun}.", from.name),
            None => format!("A part of yours: {noun}."),
        };
        let mut words: Vec<String> = ["own", "my", "mine", noun].map(str::to_owned).to_vec();
        if let Some(from) = from {
            words.extend([from.name.clone(), from.group.name().to_owned(), from.about.clone()]);
            words.extend(from.words.iter().cloned());
        }
        let sources = Default::default();
        let mut part = Self {
            key,
            name,
            group: Group::Own,
            about,
            words,
            body,
            power,
            heard_to,
            effect: effect.or(from.and_then(|from| from.effect)),
            kind,
            sources,
        };
        let source = Source { label: Label::Yours, note: format!("“{}”", part.name) };
        part.sources = load::paths(&part).into_iter().map(|path| (path, source.clone())).collect();
        part
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rig::{DeviceId, fields, power_fields};

    fn kept(of: &str, name: &str) -> OwnPart {
        let Part { body, power, heard_to, effect, kind, .. } = catalogue().part(of).unwrap().clone();
        OwnPart { key: format!("{of}~1"), name: name.to_owned(), body, power, heard_to, effect, kind }
    }

    #[test]
    fn every_number_of_an_own_part_is_the_players() {
        for part in &catalogue().parts {
            let own = Part::of_own(&kept(&part.key, "Mine"));
            let device = own.device(DeviceId(1));
            assert_eq!((device.part.as_str(), device.name.as_str()), (own.key.as_str(), "Mine"));
            assert_eq!((&device.kind, &device.power, device.body), (&part.kind, &part.power, part.body));
            for field in fields(&device).into_iter().chain(power_fields(&device)) {
                let source = own.source(&field.path).unwrap_or_else(|| panic!("{} of {}", field.path, part.key));
                assert_eq!(source.to_string(), "a part of yours: “Mine”");
            }
            assert_eq!(shipped_part(&own.key), Some(part), "what it is for is known");
        }
    }

    #[test]
    fn own_parts_are_found_by_name_by_words_of_where_they_come_from_and_by_need() {
        let shelf = Catalogue::of_own(&[kept("mild-drive", "Red box"), kept("analogue-delay", "Old echo")]);
        let found = |query: &str| shelf.search(query).into_iter().map(|part| part.name.as_str()).collect::<Vec<_>>();
        assert_eq!(found("red"), ["Red box"]);
        assert_eq!(found("overdrive"), ["Red box"], "by what it was made from");
        assert_eq!(found("own"), ["Red box", "Old echo"]);
        assert_eq!(found("9 V"), ["Red box", "Old echo"]);
        assert_eq!(found("true bypass delay"), ["Old echo"]);
        assert!(found("18 V").is_empty());
    }

    #[test]
    fn a_part_is_called_something_also_where_own_parts_are_not_at_hand() {
        assert_eq!(part_name("mild-drive"), "Mild drive");
        assert_eq!(part_name("mild-drive~0123"), "Mild drive (own part)");
        assert_eq!(part_name("~0123"), "own part");
        assert_eq!(part_name("something-else"), "something-else");
    }
}
