//! The reader's errors and paths, in a guitarist's words.

use ron::Error;

/// What is wrong and what was expected.
pub fn in_words(error: &Error) -> String {
    match error {
        Error::MissingStructField { field, .. } => {
            format!("“{field}” is missing; expected it before this bracket closes")
        }
        Error::DuplicateStructField { field, .. } => format!("“{field}” stands here twice; expected it once"),
        // Our own ranges and names: they say what they expect.
        Error::Message(reason) => reason.clone(),
        Error::ExpectedFloat | Error::FloatUnderscore => A_NUMBER.to_owned(),
        // A number with a type written behind it.
        Error::InvalidValueForType { expected, .. } if expected.contains("floating point") => A_NUMBER.to_owned(),
        Error::ExpectedInteger | Error::InvalidIntegerDigit { .. } | Error::UnderscoreAtBeginning => {
            "expected a whole number".to_owned()
        }
        Error::IntegerOutOfBounds => "this whole number is negative or too large; expected one from 0 up".to_owned(),
        Error::ExpectedString | Error::ExpectedChar => "expected a text in double quotes".to_owned(),
        Error::ExpectedStringEnd => "this text never ends; expected a closing double quote".to_owned(),
        Error::InvalidEscape(_) => {
            "this backslash means nothing; expected two of them for a backslash in a text, or \\n for a new line"
                .to_owned()
        }
        Error::ExpectedBoolean => "expected true or false".to_owned(),
        Error::ExpectedArray => "expected a list in square brackets".to_owned(),
        Error::ExpectedStructLike | Error::ExpectedNamedStructLike(_) | Error::ExpectedOption => {
            "expected an opening bracket “(”".to_owned()
        }
        Error::ExpectedDifferentStructName { found, .. } => format!("expected an opening bracket “(”, not “{found}”"),
        Error::ExpectedComma => "expected a comma or a closing bracket before this".to_owned(),
        Error::ExpectedArrayEnd => "expected a comma or the closing bracket “]” before this".to_owned(),
        Error::ExpectedStructLikeEnd | Error::ExpectedOptionEnd => {
            "expected a comma or the closing bracket “)” before this".to_owned()
        }
        Error::ExpectedMapColon => "expected a colon between the field's name and this".to_owned(),
        Error::ExpectedIdentifier | Error::InvalidIdentifier(_) | Error::SuggestRawIdentifier(_) => {
            "expected a name, of a field or of a choice".to_owned()
        }
        Error::Eof => "the file ends too early; expected its brackets and quotes to be closed".to_owned(),
        Error::TrailingCharacters => {
            "something follows the project's closing bracket; expected the file to end here".to_owned()
        }
        Error::UnclosedBlockComment => "a comment that starts with “/*” never ends; expected “*/”".to_owned(),
        Error::ExceededRecursionLimit => {
            "brackets are nested too deep; expected the few levels that a project has".to_owned()
        }
        Error::UnexpectedChar(c) => {
            format!("“{c}” doesn't belong here; expected a name, a number, a text or a bracket")
        }
        Error::ExpectedAttribute | Error::ExpectedAttributeEnd | Error::NoSuchExtension(_) => {
            "“#” doesn't belong here; expected an opening bracket “(”".to_owned()
        }
        Error::InvalidValueForType { expected, found } => format!("expected {expected}, not {found}"),
        // The rest can't come up in a project's fields; the reader's own words have to do.
        other => other.to_string().to_lowercase(),
    }
}

/// A field that isn't one, or wasn't yet.
pub fn no_such_field(found: &str, expected: &[&str]) -> String {
    format!("“{found}” doesn't belong here; expected {}", one_of(expected))
}

/// A choice that isn't one, or wasn't yet.
pub fn no_such_choice(found: &str, expected: &[&str]) -> String {
    format!("“{found}” is no choice here; expected {}", one_of(expected))
}

const A_NUMBER: &str = "expected a number, such as 6.0 or 22e-9";

fn one_of(names: &[&str]) -> String {
    match names {
        [] => "nothing".to_owned(),
        [name] => format!("“{name}”"),
        [names @ .., last] => {
            let names: Vec<String> = names.iter().map(|name| format!("“{name}”")).collect();
            format!("{} or “{last}”", names.join(", "))
        }
    }
}

/// “pickup.capacitance” of the 1st device of the 1st variant, for
/// `variants[0].devices[0].kind.Guitar.pickup.capacitance`.
pub fn place_in_words(path: &str) -> String {
    let mut places: Vec<String> = Vec::new();
    let mut fields: Vec<&str> = Vec::new();
    for step in path.split('.') {
        let (name, at) = match step.split_once('[') {
            Some((name, at)) => (name, at.trim_end_matches(']').parse::<usize>().ok()),
            None => (step, None),
        };
        if let Some(at) = at {
            places.extend(quoted(&fields));
            places.push(format!("the {} {}", ordinal(at.saturating_add(1)), singular(name)));
            fields.clear();
        // A kind and its choice needn't be said: a device has one. Choices have capitals, fields have none.
        } else if name != "kind" && !name.starts_with(|c: char| c.is_uppercase()) {
            fields.push(name);
        }
    }
    places.extend(quoted(&fields));
    places.reverse();
    places.join(" of ")
}

fn quoted(fields: &[&str]) -> Option<String> {
    (!fields.is_empty()).then(|| format!("“{}”", fields.join(".")))
}

fn singular(list: &str) -> &str {
    match list {
        "turned" => "turned knob",
        "on" => "entry of “on”",
        "selectable" => "entry of “selectable”",
        _ => list.strip_suffix('s').unwrap_or(list),
    }
}

fn ordinal(n: usize) -> String {
    let ending = match (n % 10, n % 100) {
        (_, 11..=13) => "th",
        (1, _) => "st",
        (2, _) => "nd",
        (3, _) => "rd",
        _ => "th",
    };
    format!("{n}{ending}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_path_reads_from_the_field_outward() {
        let path = "variants[0].devices[11].kind.Guitar.pickup.capacitance";
        assert_eq!(place_in_words(path), "“pickup.capacitance” of the 12th device of the 1st variant");
        assert_eq!(place_in_words("variants[1].leads[2].length"), "“length” of the 3rd lead of the 2nd variant");
        assert_eq!(place_in_words("variants[1].devices[21].kind"), "the 22nd device of the 2nd variant");
        assert_eq!(
            place_in_words("sounds[3].state.turned[0].to"),
            "“to” of the 1st turned knob of “state” of the 4th sound"
        );
        assert_eq!(place_in_words("test_point.along"), "“test_point.along”");
    }
}
