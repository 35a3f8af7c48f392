//! Parts of somebody's own, a file of which stands beside the settings or is handed on.

use super::device::{Body, Effect, Kind};
use super::number::{Hertz, or_none};
use super::power::Power;
use super::text::Text;
use super::tie::{Stored, stored_structs};
use crate::rig;

/// An own part's key.
#[derive(Debug, Clone, PartialEq, serde::Serialize, serde::Deserialize)]
#[serde(try_from = "String", into = "Text")]
pub struct OwnKey(Text);

impl TryFrom<String> for OwnKey {
    type Error = String;
    fn try_from(key: String) -> Result<Self, String> {
        let plain = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || matches!(c, '-' | rig::OWN_KEY_JOINT);
        if rig::own_key_of(&key).is_some() && key.chars().all(plain) && key.len() <= rig::LONGEST_NAME {
            Ok(Self(Text(key)))
        } else {
            Err(format!(
                "“{key}” is no own part's key; expected small letters, digits and hyphens with one “{}” among them",
                rig::OWN_KEY_JOINT
            ))
        }
    }
}

/// An own part's name.
#[derive(Debug, Clone, PartialEq, serde::Serialize, serde::Deserialize)]
#[serde(try_from = "String", into = "Text")]
pub struct OwnName(Text);

impl TryFrom<String> for OwnName {
    type Error = String;
    fn try_from(name: String) -> Result<Self, String> {
        match name.chars().count() {
            _ if name.trim().is_empty() => Err("an own part has no name here; expected one".to_owned()),
            count if count > rig::LONGEST_NAME => {
                Err(format!("this name has {count} characters; expected {} at most", rig::LONGEST_NAME))
            }
            _ => Ok(Self(Text(name))),
        }
    }
}

impl From<OwnKey> for Text {
    fn from(key: OwnKey) -> Self {
        key.0
    }
}

impl From<OwnName> for Text {
    fn from(name: OwnName) -> Self {
        name.0
    }
}

impl Stored<String> for OwnKey {
    fn store(from: &String) -> Self {
        Self(Text::store(from))
    }
    fn restore(self) -> String {
        self.0.restore()
    }
}

impl Stored<String> for OwnName {
    fn store(from: &String) -> Self {
        Self(Text::store(from))
    }
    fn restore(self) -> String {
        self.0.restore()
    }
}

stored_structs! {
    /// A part of somebody's own.
    struct OwnPart {
        key: OwnKey,
        name: OwnName,
        body: Body,
        power: Power,
        #[serde(default, skip_serializing_if = "Option::is_none", serialize_with = "or_none")]
        heard_to: Option<Hertz>,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        effect: Option<Effect>,
        kind: Kind,
    }
}

/// All that a file of own parts holds.
#[derive(Debug, Clone, PartialEq, serde::Serialize, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub struct OwnParts {
    /// The version of such files. It has another name than a project's, so that neither is
    /// taken for the other.
    pub own_parts: u32,
    /// The parts, as they were kept.
    #[serde(default)]
    pub parts: Vec<OwnPart>,
}
