//! Texts, written so that a person can read them in the file.

use ron::value::RawValue;
use serde::{Serialize, Serializer};

use super::tie::Stored;

/// A text. The writer's own way escapes apostrophes and the marks that many
/// scripts put on letters; this one escapes only what has to be.
#[derive(Debug, Clone, PartialEq, Eq, Default, serde::Deserialize)]
#[serde(transparent)]
pub struct Text(pub String);

impl Stored<String> for Text {
    fn store(from: &String) -> Self {
        Self(from.clone())
    }
    fn restore(self) -> String {
        self.0
    }
}

impl Serialize for Text {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        match RawValue::from_ron(&quoted(&self.0)) {
            Ok(raw) => raw.serialize(to),
            Err(_) => self.0.serialize(to),
        }
    }
}

fn quoted(text: &str) -> String {
    let mut quoted = String::with_capacity(text.len() + 2);
    quoted.push('"');
    for c in text.chars() {
        match c {
            '"' | '\\' => quoted.extend(['\\', c]),
            // A line break of the file itself may be changed on its way from one computer to another.
            '\n' => quoted.push_str("\\n"),
            '\t' => quoted.push_str("\\t"),
            // Line separators would break the layout, and what has no shape can't be edited.
            c if c.is_control() || matches!(c, '\u{2028}' | '\u{2029}' | '\u{feff}') => {
                quoted.extend(c.escape_unicode())
            }
            c => quoted.push(c),
        }
    }
    quoted.push('"');
    quoted
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_what_has_to_be_is_escaped() {
        assert_eq!(quoted("player's \"α\"\nback\\slash"), r#""player's \"α\"\nback\\slash""#);
        let odd: String =
            (0..0x300).chain([0x301, 0x2028, 0x2029, 0xfeff, 0x1f3b8]).filter_map(char::from_u32).collect();
        let written = ron::to_string(&Text(odd.clone())).unwrap();
        assert_eq!(written.lines().count(), 1);
        assert_eq!(ron::from_str::<Text>(&written).unwrap().0, odd);
    }
}
