//! What leaves the program besides its own files: pictures as SVG and PNG, tables as
//! comma-separated values. The window and the command line make them here, from what
//! a screen reads.

use std::path::Path;

use rigwright_core::export::{self, CurveOf};

use crate::picture::{self, Description, Look, NoPicture, Pixels};
use crate::views::pictures::Pictured;
use crate::views::{Facts, card};

/// What can leave the program.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Exported {
    /// The circuit drawing of the variant in hand.
    Drawing,
    /// The level plot.
    Plot,
    /// The power diagram of the variant in hand.
    Power,
    /// The curves of the variants that are shown, as numbers.
    Curves,
    /// What the variant in hand is made of.
    Parts,
    /// The key card and the legend, which are of no rig.
    Card,
}

/// How it is written down.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Format {
    /// A picture of lines, to be scaled and edited.
    Svg,
    /// A picture of pixels.
    Png,
    /// A table.
    Csv,
}

/// What a file is made from: all that is read of the window.
#[derive(Debug, Clone, PartialEq)]
pub enum Gathered {
    /// A picture.
    Picture(Description),
    /// A table's text.
    Table(String),
}

impl Exported {
    /// All of them.
    pub const ALL: [Self; 6] = [Self::Drawing, Self::Plot, Self::Power, Self::Curves, Self::Parts, Self::Card];

    /// What it is called, after "the".
    #[must_use]
    pub fn noun(self) -> &'static str {
        match self {
            Self::Drawing => "drawing",
            Self::Plot => "level plot",
            Self::Power => "power diagram",
            Self::Curves => "table of curves",
            Self::Parts => "parts list",
            Self::Card => "sheet of keys and signs",
        }
    }

    /// Whether it is a picture.
    #[must_use]
    pub fn is_picture(self) -> bool {
        self == Self::Card || self.pictured().is_some()
    }

    /// The picture of a rig that it is, if it is one.
    fn pictured(self) -> Option<Pictured> {
        match self {
            Self::Drawing => Some(Pictured::Drawing),
            Self::Plot => Some(Pictured::Plot),
            Self::Power => Some(Pictured::Power),
            Self::Curves | Self::Parts | Self::Card => None,
        }
    }

    /// How names of its files may end, without the point; the first where nobody says.
    #[must_use]
    pub fn endings(self) -> &'static [&'static str] {
        if self.is_picture() { &["svg", "png"] } else { &["csv"] }
    }

    /// The format that a file's name asks for; the error is which endings there are, ".svg or .png".
    pub fn format_of(self, path: &Path) -> Result<Format, String> {
        let ending = path.extension().and_then(|ending| ending.to_str()).unwrap_or_default();
        let asked = self.endings().iter().find(|known| known.eq_ignore_ascii_case(ending));
        asked.and_then(|ending| Format::of(ending)).ok_or_else(|| {
            let endings: Vec<String> = self.endings().iter().map(|ending| format!(".{ending}")).collect();
            endings.join(" or ")
        })
    }

    /// Gathers what it is made from. The answers that `facts` holds should be to the rig
    /// as it stands: old ones are drawn as old.
    pub fn gathered(self, look: Look, facts: &Facts<'_>) -> Result<Gathered, NoPicture> {
        match self.pictured() {
            Some(pictured) => {
                let request = picture::Request { title: pictured.title(facts), size: pictured.size(facts), look };
                picture::taken(&request, |ui| pictured.paint(ui, facts)).map(Gathered::Picture)
            }
            None if self == Self::Card => card(look),
            None if self == Self::Curves => Ok(Gathered::Table(curves(facts))),
            None => Ok(Gathered::Table(export::parts(&[facts.variant], &facts.project.currency))),
        }
    }
}

impl Format {
    /// The one that names end for like this.
    fn of(ending: &str) -> Option<Self> {
        match ending {
            "svg" => Some(Self::Svg),
            "png" => Some(Self::Png),
            "csv" => Some(Self::Csv),
            _ => None,
        }
    }
}

/// The key card and the legend on one sheet.
pub fn card(look: Look) -> Result<Gathered, NoPicture> {
    let request = picture::Request { title: card::TITLE.to_owned(), size: card::size(), look };
    picture::taken(&request, card::paint).map(Gathered::Picture)
}

/// Why a picture can't be made of pixels.
pub const TOO_LARGE: &str = "it is too large for pixels";

impl Gathered {
    /// A file's bytes; the error is why there are none, in the words that follow a name.
    pub fn bytes(&self, format: Format) -> Result<Vec<u8>, String> {
        match self {
            Self::Table(text) => Ok(text.clone().into_bytes()),
            Self::Picture(picture) if format == Format::Svg => Ok(picture::svg(picture).into_bytes()),
            Self::Picture(picture) => {
                let pixels = Pixels::of(picture).ok_or(TOO_LARGE)?;
                picture::png(&pixels).map_err(|error| format!("its pixels can't be written down, {error}"))
            }
        }
    }
}

/// The curves of the variants that are shown, where levels are taken.
fn curves(facts: &Facts<'_>) -> String {
    let shown = facts.project.variants.iter().filter(|variant| facts.inputs.shows(variant.id));
    let curves: Vec<CurveOf<'_>> = shown
        .filter_map(|variant| {
            let response = facts.answers.get(variant.id)?;
            let endpoint = response.endpoints.get(facts.inputs.endpoint_of(response));
            let place = match facts.project.test_point {
                Some(_) => "test point",
                None => endpoint.map_or("", |endpoint| endpoint.name.as_str()),
            };
            Some(CurveOf {
                variant: &variant.name,
                place,
                answer: facts.inputs.answer(facts.project, response)?,
                states: facts.states(variant.id).and_then(|states| states.as_ref().as_ref().ok()),
            })
        })
        .collect();
    export::curves(&curves)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_names_ending_says_which_kind_of_file() {
        assert_eq!(Exported::Plot.format_of(Path::new("a/b.SVG")), Ok(Format::Svg));
        assert_eq!(Exported::Power.format_of(Path::new("b.png")), Ok(Format::Png));
        assert_eq!(Exported::Parts.format_of(Path::new("b.csv")), Ok(Format::Csv));
        assert_eq!(Exported::Parts.format_of(Path::new("b.svg")), Err(".csv".to_owned()));
        assert_eq!(Exported::Drawing.format_of(Path::new("b.svg.gz")), Err(".svg or .png".to_owned()));
        assert_eq!(Exported::Drawing.format_of(Path::new("svg")), Err(".svg or .png".to_owned()));
    }
}
