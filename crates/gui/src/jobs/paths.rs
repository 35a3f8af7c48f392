//! Paths and file names, as people type them and as they should be.

use std::path::{Path, PathBuf};

/// The extension of the program's files.
pub const EXTENSION: &str = "ron";

/// A name for a project's file: its title, as far as every disk takes it.
#[must_use]
pub fn suggested_name(title: &str) -> String {
    named_as(title, EXTENSION)
}

/// A name with an ending for something that is called like this, as far as every disk takes it.
#[must_use]
pub fn named_as(title: &str, ending: &str) -> String {
    let fit = |c: char| {
        if c.is_control() || r#"/\:*?"<>|"#.contains(c) { '-' } else { c }
    };
    let name: String = title.trim().chars().map(fit).take(60).collect();
    let name = name.trim_matches(|c: char| c == '.' || c.is_whitespace());
    let name = if name.is_empty() { "rig" } else { name };
    format!("{name}.{ending}")
}

/// The path that was picked in a dialog, with the program's extension.
pub fn with_extension(picked: PathBuf, is_taken: impl Fn(&Path) -> bool) -> PathBuf {
    with_ending(picked, &[EXTENSION], is_taken)
}

/// The path that was picked in a dialog, with one of these endings; the first, if it has none of them.
///
/// The dialog asked before taking a name that is in use, but it asked about
/// the name as typed: with the extension added it may be another file's, and
/// that one isn't to be written over unasked.
pub fn with_ending(picked: PathBuf, endings: &[&str], is_taken: impl Fn(&Path) -> bool) -> PathBuf {
    let is_known = |extension: &std::ffi::OsStr| endings.iter().any(|ending| extension.eq_ignore_ascii_case(ending));
    let has_it = picked.extension().is_some_and(is_known);
    let ending = endings.first().copied().unwrap_or(EXTENSION);
    let Some(name) = picked.file_name().filter(|_| !has_it && !is_taken(&picked)) else {
        return picked;
    };
    let numbered = |n: u32| {
        let mut name = name.to_os_string();
        if n > 1 {
            name.push(format!(" {n}"));
        }
        name.push(format!(".{ending}"));
        picked.with_file_name(name)
    };
    (1..1000).map(numbered).find(|path| !is_taken(path)).unwrap_or_else(|| picked.clone())
}

/// A path for another file in the same folder: "pub.ron" becomes "pub 2.ron".
#[must_use]
pub fn beside(path: &Path) -> PathBuf {
    let stem = path.file_stem().map_or_else(|| "rig".to_owned(), |stem| stem.to_string_lossy().into_owned());
    let numbered = stem.rsplit_once(' ').and_then(|(stem, n)| Some((stem.to_owned(), n.parse::<u32>().ok()?)));
    let (stem, number) = numbered.unwrap_or((stem, 1));
    path.with_file_name(format!("{stem} {}.{EXTENSION}", number.saturating_add(1)))
}

/// The path that a person typed or pasted.
pub fn typed(text: &str, home: Option<&Path>) -> Option<PathBuf> {
    let text = text.trim();
    let quoted = |mark: char| text.strip_prefix(mark).and_then(|text| text.strip_suffix(mark));
    let text = quoted('"').or_else(|| quoted('\'')).unwrap_or(text);
    if text.is_empty() {
        return None;
    }
    let path = match (text.strip_prefix('~'), home) {
        (Some(""), Some(home)) => home.to_path_buf(),
        (Some(rest), Some(home)) if rest.starts_with(['/', '\\']) => home.join(rest.trim_start_matches(['/', '\\'])),
        _ => PathBuf::from(text),
    };
    Some(from_the_root(path))
}

/// The same path, also when the working folder is another one.
pub fn from_the_root(path: PathBuf) -> PathBuf {
    std::path::absolute(&path).unwrap_or(path)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn titles_become_names() {
        assert_eq!(suggested_name("Pit band, act 2"), "Pit band, act 2.ron");
        assert_eq!(suggested_name(" a/b: c? "), "a-b- c-.ron");
        assert_eq!(suggested_name("..."), "rig.ron");
        assert_eq!(suggested_name(""), "rig.ron");
        assert_eq!(suggested_name(&"ä".repeat(500)).chars().count(), 64);
    }

    #[test]
    fn an_extension_is_added_without_writing_over_anything() {
        let taken = |path: &Path| ["old.txt", "a.ron", "a 2.ron"].iter().any(|name| path == Path::new(name));
        let picked = |name: &str| with_extension(PathBuf::from(name), taken);
        assert_eq!(picked("tour.ron"), Path::new("tour.ron"));
        assert_eq!(picked("tour.RON"), Path::new("tour.RON"));
        assert_eq!(picked("tour"), Path::new("tour.ron"));
        assert_eq!(picked("v1.2"), Path::new("v1.2.ron"));
        assert_eq!(picked("old.txt"), Path::new("old.txt"), "the dialog asked about that one");
        assert_eq!(picked("a"), Path::new("a 3.ron"));
    }

    #[test]
    fn pictures_end_in_one_of_theirs() {
        let picked = |name: &str| with_ending(PathBuf::from(name), &["svg", "png"], |path| path == Path::new("a.svg"));
        assert_eq!(picked("b.PNG"), Path::new("b.PNG"));
        assert_eq!(picked("b"), Path::new("b.svg"));
        assert_eq!(picked("a"), Path::new("a 2.svg"));
        assert_eq!(named_as("act 1/2, drawing", "svg"), "act 1-2, drawing.svg");
    }

    #[test]
    fn a_name_beside_another_is_numbered() {
        let beside = |path: &str| beside(Path::new(path));
        assert_eq!(beside("/rigs/pub.ron"), Path::new("/rigs/pub 2.ron"));
        assert_eq!(beside("/rigs/pub 2.ron"), Path::new("/rigs/pub 3.ron"));
        assert_eq!(beside("/rigs/act two.ron"), Path::new("/rigs/act two 2.ron"));
        assert_eq!(beside("/rigs/old.txt"), Path::new("/rigs/old 2.ron"));
    }

    #[test]
    fn typed_paths_are_understood() {
        let home = Path::new("/home/player");
        let typed = |text: &str| typed(text, Some(home));
        assert_eq!(typed("  "), None);
        assert_eq!(typed("\"\""), None);
        #[cfg(unix)]
        {
            let path = |text: &str| Some(PathBuf::from(text));
            assert_eq!(typed(" '/rigs/my tour.ron' "), path("/rigs/my tour.ron"));
            assert_eq!(typed("~/tour.ron"), path("/home/player/tour.ron"));
            assert_eq!(typed("~"), path("/home/player"));
        }
        assert!(typed("tour.ron").is_some_and(|path| path.is_absolute() && path.ends_with("tour.ron")));
        assert!(typed("~tour.ron").is_some_and(|path| path.ends_with("~tour.ron")));
    }
}
