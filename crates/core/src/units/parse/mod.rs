//! Reading what a person types: "4.7k", "4k7", "22n", "20 ft", "3,3 nF".

mod digits;
mod dimension;
mod length;

use std::fmt;

use self::digits::{Digits, is_plain};
pub use self::dimension::Dimension;

/// What a text says.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Parsed {
    /// One number, in the SI unit.
    Value(f64),
    /// One of two numbers, and nobody can tell which but who typed it: "1,500" is 1.5
    /// with a decimal comma, which comes first, and 1500 where commas part thousands.
    Ambiguous([f64; 2]),
}

/// What was typed is no such quantity.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ParseError {
    /// What was typed.
    pub text: String,
    /// What was expected.
    pub dimension: Dimension,
}

impl fmt::Display for ParseError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "“{}” is not understood here; type something like {}", self.text, self.dimension.example())
    }
}

impl std::error::Error for ParseError {}

/// The number in SI units that `text` says.
///
/// A prefix or the unit's letter may stand for the point ("4k7", "4R7"), and the unit
/// may be left out. A comma is read as a decimal point, but for what can only part
/// thousands, and for "1,500", which can be both. Errors: anything else.
pub fn parse(text: &str, dimension: Dimension) -> Result<Parsed, ParseError> {
    read(text, dimension).ok_or_else(|| ParseError { text: text.trim().to_owned(), dimension })
}

fn read(text: &str, dimension: Dimension) -> Option<Parsed> {
    let plain = written_plainly(text);
    let (sign, unsigned) = match plain.strip_prefix('-') {
        Some(rest) => ("-", rest),
        None => ("", plain.strip_prefix('+').unwrap_or(&plain)),
    };
    let unsigned = unsigned.trim_start();
    let parsed = one_step(unsigned, dimension)
        .or_else(|| length::compound(unsigned).filter(|_| dimension == Dimension::Length))?;
    let signed = |value: f64| if sign.is_empty() { value } else { -value };
    let parsed = match parsed {
        Parsed::Value(value) => Parsed::Value(signed(value)),
        Parsed::Ambiguous(readings) => Parsed::Ambiguous(readings.map(signed)),
    };
    let is_finite = match parsed {
        Parsed::Value(value) => value.is_finite(),
        Parsed::Ambiguous(readings) => readings.iter().all(|value| value.is_finite()),
    };
    is_finite.then_some(parsed)
}

/// The same with one sign for what has several: minus, spaces, micro, primes.
fn written_plainly(text: &str) -> String {
    let one = |c: char| match c {
        '−' | '–' => '-',
        'μ' => 'µ',
        '′' | '’' | '‘' => '\'',
        '″' | '”' | '“' => '"',
        c if c.is_whitespace() => ' ',
        c => c,
    };
    text.trim().chars().map(one).collect::<String>().replace("''", "\"")
}

/// A number, a power of ten, and a unit with its prefix, each but the first one as may be.
fn one_step(text: &str, dimension: Dimension) -> Option<Parsed> {
    let end = text.find(|c: char| !(c.is_ascii_digit() || "., ".contains(c))).unwrap_or(text.len());
    let (number, rest) = text.split_at(end);
    let number = number.trim_end();
    let (exponent, rest) = exponent(rest)?;
    let behind = behind(&rest.replace(' ', ""), dimension)?;
    let power = exponent.unwrap_or(0).checked_add(i64::from(behind.power))?;
    // Put together before it is read: 450 p is the very number that 450e-12 is.
    let value = |digits: &str| Some(format!("{digits}e{power}").parse::<f64>().ok()? * behind.factor);
    if !behind.decimals.is_empty() {
        let whole = is_plain(number) && exponent.is_none();
        return whole.then(|| value(&format!("{number}.{}", behind.decimals)))?.map(Parsed::Value);
    }
    match digits::read(number)? {
        Digits::One(digits) => value(&digits).map(Parsed::Value),
        Digits::Either { decimal, thousands } => Some(Parsed::Ambiguous([value(&decimal)?, value(&thousands)?])),
    }
}

/// The power of ten of "4.5e-10", and what comes behind; nothing where it has no end.
fn exponent(text: &str) -> Option<(Option<i64>, &str)> {
    let Some(rest) = text.strip_prefix(['e', 'E']) else { return Some((None, text)) };
    let (sign, figures) = match rest.strip_prefix('-') {
        Some(figures) => (-1, figures),
        None => (1, rest.strip_prefix('+').unwrap_or(rest)),
    };
    let end = figures.find(|c: char| !c.is_ascii_digit()).unwrap_or(figures.len());
    let power: i64 = figures[..end].parse().ok()?;
    Some((Some(sign * power), &figures[end..]))
}

/// What stands behind the figures.
struct Behind {
    /// A power of ten.
    power: i32,
    /// What the number is multiplied by besides.
    factor: f64,
    /// Decimals behind the letter that stands for the point.
    decimals: String,
}

fn behind(text: &str, dimension: Dimension) -> Option<Behind> {
    // The unit first: "5m" is five metres where a length is asked for.
    let (mut power, mut factor, mut rest) = (0, 1.0, text);
    for (unit, exponent, size) in dimension.units() {
        if let Some(before) = without_end(rest, unit) {
            (power, factor, rest) = (*exponent, *size, before);
            break;
        }
    }
    if rest.is_empty() {
        return Some(Behind { power, factor, decimals: String::new() });
    }
    let decimals = match dimension.mark().and_then(|mark| without_start(rest, mark)) {
        Some(decimals) if is_plain(decimals) => decimals,
        _ => {
            let (prefix, decimals) = prefix(rest).filter(|_| dimension.takes_prefix())?;
            power += prefix;
            decimals
        }
    };
    (decimals.is_empty() || is_plain(decimals)).then(|| Behind { power, factor, decimals: decimals.to_owned() })
}

/// The power of ten of a prefix, and what comes behind.
fn prefix(text: &str) -> Option<(i32, &str)> {
    if let Some((mega, rest)) = text.split_at_checked(3)
        && mega.eq_ignore_ascii_case("meg")
    {
        return Some((6, rest));
    }
    let mut chars = text.chars();
    let power = match chars.next()? {
        'G' => 9,
        'M' => 6,
        'k' | 'K' => 3,
        'm' => -3,
        'u' | 'U' | 'µ' => -6,
        'n' | 'N' => -9,
        'p' | 'P' => -12,
        _ => return None,
    };
    Some((power, chars.as_str()))
}

/// The text without a word at its end, whatever its letters' size.
fn without_end<'a>(text: &'a str, word: &str) -> Option<&'a str> {
    let (before, end) = text.split_at_checked(text.len().checked_sub(word.len())?)?;
    end.eq_ignore_ascii_case(word).then_some(before)
}

fn without_start(text: &str, letter: char) -> Option<&str> {
    let mut chars = text.chars();
    chars.next().filter(|first| first.eq_ignore_ascii_case(&letter)).map(|_| chars.as_str())
}

#[cfg(test)]
mod tests;
