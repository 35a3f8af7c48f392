//! How sentences are put together from words, and how something is found by its words.

pub mod search;

/// "A", "A and B", "A, B and C"; nothing of none.
#[must_use]
pub fn list<T: AsRef<str>>(words: &[T]) -> String {
    let words: Vec<&str> = words.iter().map(AsRef::as_ref).collect();
    match words.split_last() {
        None => String::new(),
        Some((last, [])) => (*last).to_owned(),
        Some((last, before)) => format!("{} and {last}", before.join(", ")),
    }
}

/// The same; of more than one past `most` only so many: "A, B and 4 more".
#[must_use]
pub fn few(words: &[String], most: usize) -> String {
    if words.len() <= most + 1 {
        return list(words);
    }
    let (shown, left) = words.split_at(most);
    let rest = format!("{} more", left.len());
    list(&shown.iter().map(String::as_str).chain([rest.as_str()]).collect::<Vec<_>>())
}

/// The sentence with a capital letter first.
#[must_use]
pub fn capital(sentence: &str) -> String {
    let mut letters = sentence.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// The sentence as it stands within another.
#[must_use]
pub fn lower(sentence: &str) -> String {
    let mut letters = sentence.chars();
    letters.next().map_or_else(String::new, |first| first.to_lowercase().chain(letters).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn names(count: usize) -> Vec<String> {
        (1..=count).map(|number| format!("U{number}")).collect()
    }

    #[test]
    fn lists_are_whole_or_short() {
        assert_eq!(list(&names(0)), "");
        assert_eq!((list(&names(1)), list(&names(2))), ("U1".to_owned(), "U1 and U2".to_owned()));
        assert_eq!(list(&["a", "b", "c"]), "a, b and c");
        for (count, told) in [
            (0, ""),
            (1, "U1"),
            (2, "U1 and U2"),
            (3, "U1, U2 and U3"),
            // "and 1 more" would be no shorter.
            (4, "U1, U2, U3 and U4"),
            (6, "U1, U2, U3 and 3 more"),
        ] {
            assert_eq!(few(&names(count), 3), told);
        }
    }

    #[test]
    fn first_letters_change_and_nothing_else() {
        assert_eq!((capital("nine more"), capital("")), ("Nine more".to_owned(), String::new()));
        assert_eq!((lower("Move Tuner"), lower("")), ("move Tuner".to_owned(), String::new()));
    }
}
