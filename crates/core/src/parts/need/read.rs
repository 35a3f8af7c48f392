//! From what a person types to needs: "true-bypass delay, <30mA" is a kind of bypass, a
//! current and a word.

use super::{Bound, Need};
use crate::rig::{Bypass, SizeClass};
use crate::units::{Dimension, Parsed, parse};

/// What is said in fixed words, of two that begin alike the longer one first.
const PHRASES: [(&[&str], Need); 9] = [
    (&["true", "bypass"], Need::Bypass(Bypass::True)),
    (&["buffered", "bypass"], Need::Bypass(Bypass::Buffered)),
    (&["buffered"], Need::Buffered),
    (&["always", "loading", "bypass"], Need::Bypass(Bypass::AlwaysLoading)),
    (&["always", "loading"], Need::Bypass(Bypass::AlwaysLoading)),
    (&["selectable", "bypass"], Need::SelectableBypass),
    (&["bypass", "selectable"], Need::SelectableBypass),
    (&["selectable"], Need::Selectable),
    (&["mini"], Need::Size(SizeClass::Mini)),
];

/// Which need a number is.
type Measure = fn(Bound) -> Need;

/// How a number is compared.
type Compare = fn(f64) -> Bound;

/// What may stand before a number, of two that begin alike the longer one first.
const BEFORE: [(&[&str], Compare); 22] = [
    (&["under"], Bound::AtMost),
    (&["below"], Bound::AtMost),
    (&["less", "than"], Bound::AtMost),
    (&["at", "most"], Bound::AtMost),
    (&["up", "to"], Bound::AtMost),
    (&["no", "more", "than"], Bound::AtMost),
    (&["not", "over"], Bound::AtMost),
    (&["max"], Bound::AtMost),
    (&["maximum"], Bound::AtMost),
    (&["<"], Bound::AtMost),
    (&["<="], Bound::AtMost),
    (&["over"], Bound::AtLeast),
    (&["above"], Bound::AtLeast),
    (&["more", "than"], Bound::AtLeast),
    (&["at", "least"], Bound::AtLeast),
    (&["no", "less", "than"], Bound::AtLeast),
    (&["not", "under"], Bound::AtLeast),
    (&["from"], Bound::AtLeast),
    (&["min"], Bound::AtLeast),
    (&["minimum"], Bound::AtLeast),
    (&[">"], Bound::AtLeast),
    (&[">="], Bound::AtLeast),
];

/// What may stand behind a number.
const BEHIND: [(&[&str], Compare); 6] = [
    (&["or", "less"], Bound::AtMost),
    (&["or", "more"], Bound::AtLeast),
    (&["max"], Bound::AtMost),
    (&["maximum"], Bound::AtMost),
    (&["min"], Bound::AtLeast),
    (&["minimum"], Bound::AtLeast),
];

/// What is measured with a unit: its letter, and which need a number of it is.
const MEASURED: [(Dimension, char, Measure); 3] = [
    (Dimension::Voltage, 'v', Need::Voltage),
    (Dimension::Current, 'a', Need::Current),
    (Dimension::Mass, 'g', Need::Mass),
];

/// Units that are written out, as `units::parse` takes them.
const WRITTEN_OUT: [(&str, &str); 4] = [("volt", "v"), ("volts", "v"), ("milliamp", "ma"), ("milliamps", "ma")];

/// Needs in the order in which they were typed, each once, and the words that are left.
pub(super) fn read(query: &str) -> (Vec<Need>, String) {
    let tokens = tokens(query);
    let (mut needs, mut words): (Vec<Need>, Vec<&str>) = Default::default();
    let mut rest = tokens.as_slice();
    while let [first, others @ ..] = rest {
        match phrase(rest).or_else(|| quantity(rest)) {
            Some((need, behind)) => {
                if !needs.contains(&need) {
                    needs.push(need);
                }
                rest = behind;
            }
            None => {
                words.push(first);
                rest = others;
            }
        }
    }
    (needs, words.join(" "))
}

/// Words, numbers and signs in small letters, each by itself. Of "MA" a person means mA.
fn tokens(query: &str) -> Vec<String> {
    let letters: Vec<char> = query.to_lowercase().replace('≤', "<=").replace('≥', ">=").chars().collect();
    let is_letter = |at: Option<usize>| at.and_then(|at| letters.get(at)).is_some_and(|c| c.is_alphabetic());
    let mut apart = String::new();
    for (at, &c) in letters.iter().enumerate() {
        let is_part_of_sign = c == '=' && at.checked_sub(1).is_some_and(|before| "<>".contains(letters[before]));
        match c {
            '=' if is_part_of_sign => apart.push_str("= "),
            '<' | '>' if letters.get(at + 1) == Some(&'=') => apart.extend([' ', c]),
            '<' | '>' => apart.extend([' ', c, ' ']),
            c if is_currency(c) => apart.extend([' ', c, ' ']),
            // "true-bypass" is two words; "9-18" is no number, and stays what it is.
            '-' if is_letter(at.checked_sub(1)) && is_letter(Some(at + 1)) => apart.push(' '),
            c => apart.push(c),
        }
    }
    let without_ends = |token: &str| {
        token.trim_end_matches(|c| ".,;:!?)”\"".contains(c)).trim_start_matches(|c| "(“\"".contains(c)).to_owned()
    };
    apart.split_whitespace().map(without_ends).filter(|token| !token.is_empty()).collect()
}

fn is_currency(c: char) -> bool {
    matches!(c, '€' | '$' | '£' | '¥')
}

/// What stands behind some words, if that is how `tokens` begin.
fn behind<'a>(tokens: &'a [String], words: &[&str]) -> Option<&'a [String]> {
    let (start, rest) = tokens.split_at_checked(words.len())?;
    (start == words).then_some(rest)
}

fn phrase(tokens: &[String]) -> Option<(Need, &[String])> {
    PHRASES.iter().find_map(|(words, need)| Some((*need, behind(tokens, words)?)))
}

fn compared<'a>(tokens: &'a [String], table: &[(&[&str], Compare)]) -> Option<(Compare, &'a [String])> {
    table.iter().find_map(|(words, compare)| Some((*compare, behind(tokens, words)?)))
}

/// A number with its unit, or a price, with what compares it: "under 30 mA", "80 or less".
fn quantity(tokens: &[String]) -> Option<(Need, &[String])> {
    let (is_price, tokens) = match behind(tokens, &["price"]) {
        Some(rest) => (true, rest),
        None => (false, tokens),
    };
    let (before, tokens) = match compared(tokens, &BEFORE) {
        Some((compare, rest)) => (Some(compare), rest),
        None => (None, tokens),
    };
    let with_unit = measured(tokens).filter(|_| !is_price);
    let (need, value, has_unit, rest) = match with_unit {
        Some((need, value, rest)) => (need, value, true, rest),
        None => money(tokens)?,
    };
    let (after, rest) = match compared(rest, &BEHIND) {
        // "9 V max 30 mA": the comparison is the next number's.
        Some((_, next)) if next.first().is_some_and(|token| begins_a_number(token)) => (None, rest),
        Some((compare, next)) if before.is_none() => (Some(compare), next),
        _ => (None, rest),
    };
    // A bare number is a price only where something says so: "250" is a pot's, too.
    let compare = before.or(after);
    if !has_unit && !is_price && compare.is_none() {
        return None;
    }
    Some((need(compare.unwrap_or(Bound::Exactly)(value)), rest))
}

type Measured<'a> = (Measure, f64, &'a [String]);

/// A number with the unit of a voltage, a current or a mass, in one or two pieces.
fn measured(tokens: &[String]) -> Option<Measured<'_>> {
    let (first, rest) = tokens.split_first()?;
    if !begins_a_number(first) {
        return None;
    }
    if first.chars().any(char::is_alphabetic) {
        let (need, value) = in_unit(first)?;
        return Some((need, value, rest));
    }
    let (unit, rest) = rest.split_first()?;
    let is_word = unit.chars().all(char::is_alphabetic);
    let unit = WRITTEN_OUT.iter().find(|(word, _)| word == unit).map_or(unit.as_str(), |(_, unit)| unit);
    let (need, value) = in_unit(&format!("{first} {unit}")).filter(|_| is_word)?;
    Some((need, value, rest))
}

fn in_unit(text: &str) -> Option<(Measure, f64)> {
    MEASURED.iter().find_map(|(dimension, letter, need)| {
        let value = positive(text, *dimension).filter(|_| text.contains(*letter))?;
        Some((*need, value))
    })
}

/// A number as a price; `true` where a currency's sign stands beside it.
fn money(tokens: &[String]) -> Option<(Measure, f64, bool, &[String])> {
    let sign = |tokens: &'_ [String]| tokens.first().is_some_and(|token| token.chars().all(is_currency));
    let is_before = sign(tokens);
    let (number, rest) = tokens.get(usize::from(is_before)..)?.split_first()?;
    let value = positive(number, Dimension::Number).filter(|_| begins_a_number(number))?;
    let is_behind = !is_before && sign(rest);
    Some((Need::Price, value, is_before || is_behind, rest.get(usize::from(is_behind)..)?))
}

fn begins_a_number(token: &str) -> bool {
    token.starts_with(|c: char| c.is_ascii_digit() || c == '.')
}

/// Where "1,500" has two readings, the first: how the query was understood is said.
fn positive(text: &str, dimension: Dimension) -> Option<f64> {
    let value = match parse(text, dimension).ok()? {
        Parsed::Value(value) | Parsed::Ambiguous([value, _]) => value,
    };
    (value > 0.0).then_some(value)
}
