//! Finding something by what a person types: all words must occur, and beginnings go
//! before middles.

/// What was typed, word by word.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Query {
    words: Vec<String>,
}

/// How well something fits a query; the better, the smaller.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Match {
    /// The name begins with what was typed.
    NameStarts,
    /// Each word is a word of the name.
    WholeWords,
    /// Each word begins a word of the name.
    WordsOfName,
    /// Each word is in a word of the name.
    InName,
    /// Each word is in the name or in what else belongs to it.
    Elsewhere,
}

impl Query {
    /// What a text asks for; everything, where there is no word in it.
    #[must_use]
    pub fn of(text: &str) -> Self {
        Self { words: words(text) }
    }

    /// Whether it asks for everything.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.words.is_empty()
    }

    /// How well something fits: its name, and what else it may be found by.
    #[must_use]
    pub fn matched(&self, name: &str, rest: &[&str]) -> Option<Match> {
        if self.is_empty() {
            return Some(Match::NameStarts);
        }
        let name = words(name);
        let all = |fits: &dyn Fn(&String) -> bool| self.words.iter().all(fits);
        if name.join(" ").starts_with(&self.words.join(" ")) {
            return Some(Match::NameStarts);
        }
        if all(&|wanted| name.contains(wanted)) {
            return Some(Match::WholeWords);
        }
        if all(&|wanted| name.iter().any(|word| word.starts_with(wanted.as_str()))) {
            return Some(Match::WordsOfName);
        }
        if all(&|wanted| name.iter().any(|word| holds(word, wanted))) {
            return Some(Match::InName);
        }
        let rest: Vec<String> = rest.iter().flat_map(|text| words(text)).collect();
        all(&|wanted| name.iter().chain(&rest).any(|word| holds(word, wanted))).then_some(Match::Elsewhere)
    }
}

/// One or two letters are found at the start of a word only: "di" is in "radio" too.
fn holds(word: &str, wanted: &str) -> bool {
    word.starts_with(wanted) || (wanted.chars().count() > 2 && word.contains(wanted))
}

fn words(text: &str) -> Vec<String> {
    text.to_lowercase()
        .split(|c: char| !c.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .map(str::to_owned)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn beginnings_go_before_middles_and_all_words_must_occur() {
        let matched = |query: &str, name: &str| Query::of(query).matched(name, &["takes the last change back"]);
        assert_eq!(matched("", "Undo"), Some(Match::NameStarts));
        assert_eq!(matched("UN", "Undo"), Some(Match::NameStarts));
        assert_eq!(matched("point put", "Put a test point here"), Some(Match::WholeWords));
        assert_eq!(matched("poi tes", "Put a test point here"), Some(Match::WordsOfName));
        assert_eq!(matched("oint est", "Put a test point here"), Some(Match::InName));
        assert_eq!(matched("undo change", "Undo"), Some(Match::Elsewhere));
        assert_eq!(matched("do", "Undo"), None, "two letters only begin a word");
        assert_eq!(matched("undo nothing", "Undo"), None);
        assert!(Match::NameStarts < Match::Elsewhere);
    }
}
