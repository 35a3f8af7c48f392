//! What the program remembers about its user from one start to the next.

use std::path::{Path, PathBuf};

use serde::{Deserialize, Serialize};

use super::Scale;

/// How many files are remembered, and how many parts.
const MOST_RECENT: usize = 8;

/// Which look is wanted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Theme {
    /// Graphite.
    Dark,
    /// Paper.
    Light,
    /// As the desktop has it.
    #[default]
    System,
}

/// A change of the settings. Each window tells the disk its changes and not its
/// settings, so that one doesn't undo another's.
#[derive(Debug, Clone, PartialEq)]
pub enum Amendment {
    /// This file was opened or saved.
    Remember(PathBuf),
    /// This file is gone.
    Forget(PathBuf),
    /// Parts of the catalogue, by their keys, were put into a rig, the last one last.
    PutIn(Vec<String>),
    /// Another look.
    Look(Theme),
    /// The strip of other starts was put away.
    DismissStarts,
    /// All of the window in another size.
    Scale(Scale),
    /// Less is to move, or as much as usual.
    LessMovement(bool),
    /// Dragging on empty paper moves the sheet, or selects.
    PaperMoves(bool),
    /// The paper has dots, or none.
    Dots(bool),
}

/// What the player wants of the sheet.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Habits {
    /// Whether dragging on empty paper moves the sheet, and doesn't select.
    pub paper_moves: bool,
    /// Whether the paper has dots.
    pub dots: bool,
}

impl Default for Habits {
    fn default() -> Self {
        Self { paper_moves: false, dots: true }
    }
}

/// The settings. They are of help and never needed.
#[derive(Debug, Clone, PartialEq)]
pub struct Settings {
    /// The look.
    pub theme: Theme,
    /// Files that were open of late, the last one first.
    pub recent: Vec<PathBuf>,
    /// Keys of the parts that were put into a rig of late, the last one first.
    pub used_parts: Vec<String>,
    /// Whether the strip of other starts was put away.
    pub starts_dismissed: bool,
    /// How large everything is drawn; 1 is as the desktop has it.
    pub zoom: f32,
    /// What is wanted of the sheet.
    pub habits: Habits,
    /// Whether nothing glides or blinks.
    pub less_movement: bool,
}

impl Default for Settings {
    fn default() -> Self {
        Self {
            theme: Theme::System,
            recent: Vec::new(),
            used_parts: Vec::new(),
            starts_dismissed: false,
            zoom: 1.0,
            habits: Habits::default(),
            less_movement: false,
        }
    }
}

impl Settings {
    /// The settings that a file holds; what it doesn't say, or says with a word
    /// that this program doesn't know, is as by default. None where it can't be
    /// understood at all.
    #[must_use]
    pub fn read(bytes: &[u8]) -> Option<Self> {
        let text = std::str::from_utf8(bytes).ok()?.trim_start_matches('\u{feff}');
        let stored = if text.trim().is_empty() { Stored::default() } else { ron::from_str(text).ok()? };
        Some(Self::from_stored(stored))
    }

    /// What a file is to hold that held this before a change; none where it can't be understood.
    #[must_use]
    pub fn amended(held: &[u8], amendment: Option<&Amendment>) -> Option<String> {
        let mut settings = Self::read(held)?;
        amendment.into_iter().for_each(|amendment| settings.amend(amendment));
        Some(settings.to_text())
    }

    /// Does a change.
    pub fn amend(&mut self, amendment: &Amendment) {
        match amendment {
            Amendment::Remember(path) => self.remember(path),
            Amendment::Forget(path) => self.forget(path),
            Amendment::PutIn(parts) => parts.iter().for_each(|part| self.put_in(part)),
            Amendment::Look(theme) => self.theme = *theme,
            Amendment::DismissStarts => self.starts_dismissed = true,
            Amendment::Scale(scale) => self.zoom = scale.factor(),
            Amendment::PaperMoves(moves) => self.habits.paper_moves = *moves,
            Amendment::Dots(dots) => self.habits.dots = *dots,
            Amendment::LessMovement(less) => self.less_movement = *less,
        }
    }

    fn from_stored(stored: Stored) -> Self {
        let recent = first_once(stored.recent.into_iter().filter(|path| !path.is_empty()).map(PathBuf::from));
        let used_parts = first_once(stored.used_parts.into_iter().filter(|part| !part.is_empty()));
        let theme = match stored.theme.as_str() {
            "dark" => Theme::Dark,
            "light" => Theme::Light,
            _ => Theme::System,
        };
        let zoom = if stored.zoom.is_finite() { stored.zoom.clamp(0.5, 3.0) } else { 1.0 };
        let habits = Habits { paper_moves: stored.paper_moves, dots: stored.dots };
        let (starts_dismissed, less_movement) = (stored.starts_dismissed, stored.less_movement);
        Self { theme, recent, used_parts, starts_dismissed, zoom, habits, less_movement }
    }

    /// The settings as a text.
    #[must_use]
    pub fn to_text(&self) -> String {
        let theme = match self.theme {
            Theme::Dark => "dark",
            Theme::Light => "light",
            Theme::System => "system",
        };
        // A path that isn't Unicode can't be written down, and is left out.
        let recent = self.recent.iter().filter_map(|path| path.to_str()).map(str::to_owned).collect();
        let stored = Stored {
            theme: theme.to_owned(),
            recent,
            used_parts: self.used_parts.clone(),
            starts_dismissed: self.starts_dismissed,
            zoom: self.zoom,
            paper_moves: self.habits.paper_moves,
            dots: self.habits.dots,
            less_movement: self.less_movement,
        };
        ron::ser::to_string_pretty(&stored, ron::ser::PrettyConfig::default().struct_names(false)).unwrap_or_default()
    }

    /// Puts a file at the head of the recent ones.
    fn remember(&mut self, path: &Path) {
        self.forget(path);
        self.recent.insert(0, path.to_path_buf());
        self.recent.truncate(MOST_RECENT);
    }

    /// Takes a file off the recent ones: it is gone.
    fn forget(&mut self, path: &Path) {
        self.recent.retain(|known| known != path);
    }

    /// Puts a part at the head of those that were used.
    fn put_in(&mut self, part: &str) {
        self.used_parts.retain(|known| known != part);
        self.used_parts.insert(0, part.to_owned());
        self.used_parts.truncate(MOST_RECENT);
    }
}

/// The first few, each once.
fn first_once<T: PartialEq>(all: impl Iterator<Item = T>) -> Vec<T> {
    let mut kept: Vec<T> = Vec::new();
    for one in all {
        if kept.len() < MOST_RECENT && !kept.contains(&one) {
            kept.push(one);
        }
    }
    kept
}

/// What the file holds. Unknown fields are passed over, so that an older
/// program reads a newer one's file; the theme is a word for the same reason.
#[derive(Serialize, Deserialize)]
#[serde(default)]
struct Stored {
    theme: String,
    recent: Vec<String>,
    used_parts: Vec<String>,
    starts_dismissed: bool,
    zoom: f32,
    paper_moves: bool,
    dots: bool,
    less_movement: bool,
}

impl Default for Stored {
    fn default() -> Self {
        let (recent, used_parts) = Default::default();
        let Habits { paper_moves, dots } = Habits::default();
        Self {
            theme: String::new(),
            recent,
            used_parts,
            starts_dismissed: false,
            zoom: 1.0,
            paper_moves,
            dots,
            less_movement: false,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn settings_survive_being_written_down() {
        let habits = Habits { paper_moves: true, dots: false };
        let mut settings =
            Settings { theme: Theme::Light, zoom: 1.25, starts_dismissed: true, habits, ..Settings::default() };
        settings.less_movement = true;
        settings.remember(Path::new("/rigs/\"pit\" ä.ron"));
        settings.remember(Path::new("C:\\rigs\\tour.ron"));
        settings.put_in("mild-drive");
        assert_eq!(Settings::read(settings.to_text().as_bytes()), Some(settings));
    }

    #[test]
    fn what_is_not_known_is_as_by_default() {
        for text in ["", "\n", "()", "(zoom: NaN)", "(zoom: inf)", "(theme: \"purple\")"] {
            assert_eq!(Settings::read(text.as_bytes()), Some(Settings::default()), "{text}");
        }
        let newer = "\u{feff}(theme: \"dark\", later: [1, (a: 2)], zoom: 99.0, recent: [\"\", \"a\", \"a\"], used_parts: \
                     [\"\", \"b\", \"c\", \"b\"])";
        let read = Settings::read(newer.as_bytes()).unwrap();
        assert_eq!((read.theme, read.zoom), (Theme::Dark, 3.0));
        assert_eq!(read.recent, [PathBuf::from("a")]);
        assert_eq!(read.used_parts, ["b", "c"]);
    }

    #[test]
    fn what_cannot_be_understood_is_not_amended() {
        let change = Amendment::Look(Theme::Dark);
        for bytes in [&b"("[..], b"nonsense", b"(zoom: [])", b"\0", b"(theme: \"\xff\")"] {
            assert_eq!(Settings::read(bytes), None, "{bytes:?}");
            assert_eq!(Settings::amended(bytes, Some(&change)), None, "{bytes:?}");
        }
    }

    #[test]
    fn a_change_leaves_what_another_window_changed() {
        let other = "(theme: \"light\", starts_dismissed: true, zoom: 1.5, recent: [\"a\", \"b\"])";
        let amended = |change| Settings::read(Settings::amended(other.as_bytes(), Some(&change)).unwrap().as_bytes());
        let before = Settings::read(other.as_bytes()).unwrap();
        let recent = |names: &[&str]| names.iter().map(PathBuf::from).collect::<Vec<_>>();
        let remembered = Settings { recent: recent(&["b", "a"]), ..before.clone() };
        assert_eq!(amended(Amendment::Remember("b".into())), Some(remembered));
        let forgotten = Settings { recent: recent(&["b"]), ..before.clone() };
        assert_eq!(amended(Amendment::Forget("a".into())), Some(forgotten));
        assert_eq!(amended(Amendment::Look(Theme::Dark)), Some(Settings { theme: Theme::Dark, ..before.clone() }));
        let calmer = Settings { less_movement: true, ..before.clone() };
        assert_eq!(amended(Amendment::LessMovement(true)), Some(calmer));
        let scaled = Settings { zoom: 0.75, ..before.clone() };
        assert_eq!(amended(Amendment::Scale(Scale::Percent75)), Some(scaled));
        for moves in [true, false] {
            let habits = Habits { paper_moves: moves, dots: !moves };
            let before = amended(Amendment::PaperMoves(moves)).unwrap();
            assert_eq!(before.habits, Habits { dots: true, ..habits });
            assert_eq!(amended(Amendment::Dots(!moves)).unwrap().habits, Habits { paper_moves: false, ..habits });
        }
        let put_in = Amendment::PutIn(vec!["buffer".into(), "wah".into()]);
        assert_eq!(
            amended(put_in),
            Some(Settings { used_parts: vec!["wah".into(), "buffer".into()], ..before.clone() })
        );
        assert_eq!(amended(Amendment::DismissStarts), Some(before));
    }

    #[test]
    fn the_last_files_come_first_and_once() {
        let mut settings = Settings::default();
        for i in [1, 2, 3, 4, 5, 6, 7, 8, 9, 3] {
            settings.remember(Path::new(&format!("{i}.ron")));
        }
        let names: Vec<_> = settings.recent.iter().map(|path| path.display().to_string()).collect();
        assert_eq!(names, ["3.ron", "9.ron", "8.ron", "7.ron", "6.ron", "5.ron", "4.ron", "2.ron"]);
        settings.forget(Path::new("9.ron"));
        assert_eq!(settings.recent.len(), 7);
    }

    #[test]
    fn the_last_eight_parts_come_first_and_once() {
        let mut settings = Settings::default();
        let parts = [1, 2, 3, 4, 5, 6, 7, 8, 9, 3].map(|part| part.to_string());
        settings.amend(&Amendment::PutIn(parts.to_vec()));
        assert_eq!(settings.used_parts, ["3", "9", "8", "7", "6", "5", "4", "2"]);
    }

    #[cfg(unix)]
    #[test]
    fn a_path_that_is_not_unicode_costs_nothing_else() {
        use std::os::unix::ffi::OsStrExt;
        let mut settings = Settings::default();
        settings.remember(Path::new("a.ron"));
        settings.remember(Path::new(std::ffi::OsStr::from_bytes(b"\xff.ron")));
        let read = Settings::read(settings.to_text().as_bytes()).unwrap();
        assert_eq!(read.recent, [PathBuf::from("a.ron")]);
    }
}
