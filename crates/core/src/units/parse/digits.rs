//! Figures with what stands between them: points, commas, spaces.

/// The number that figures say, written with a point and without what parts thousands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Digits {
    /// One reading.
    One(String),
    /// A single comma with three figures behind: "1,500".
    Either {
        /// The comma is the decimal point.
        decimal: String,
        /// The comma parts thousands.
        thousands: String,
    },
}

/// Whether a text is nothing but figures.
pub(super) fn is_plain(text: &str) -> bool {
    !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit())
}

/// What figures, points, commas and spaces say together; nothing where they say no number.
///
/// A point alone is the decimal point, so is a comma, unless it could part thousands.
/// Where both stand, the last one is decimal. What stands several times, and spaces,
/// part groups of three.
pub(super) fn read(text: &str) -> Option<Digits> {
    let one = |whole: String, decimals: &str| Some(Digits::One(format!("{whole}.{decimals}0")));
    let count = |sign| text.matches(sign).count();
    let (points, commas) = (count('.'), count(','));
    if text.contains(' ') {
        // With spaces between thousands a comma or a point can only be decimal.
        let (whole, decimals) = match points + commas {
            0 => (text, ""),
            1 => text.split_once(['.', ','])?,
            _ => return None,
        };
        return one(grouped(whole, ' ')?, &decimal_groups(decimals)?);
    }
    match (points, commas) {
        (0, 0) => is_plain(text).then(|| Digits::One(text.to_owned())),
        (1, 0) => decimal(text, '.').map(Digits::One),
        (0, 1) => {
            let decimal = decimal(text, ',')?;
            Some(match grouped(text, ',').filter(|_| !text.starts_with('0')) {
                Some(thousands) => Digits::Either { decimal, thousands },
                None => Digits::One(decimal),
            })
        }
        (_, 0) => grouped(text, '.').map(Digits::One),
        (0, _) => grouped(text, ',').map(Digits::One),
        (_, 1) if text.rfind(',') > text.rfind('.') => {
            let (whole, decimals) = text.split_once(',')?;
            one(grouped(whole, '.')?, is_plain(decimals).then_some(decimals)?)
        }
        (1, _) if text.rfind('.') > text.rfind(',') => {
            let (whole, decimals) = text.split_once('.')?;
            one(grouped(whole, ',')?, is_plain(decimals).then_some(decimals)?)
        }
        _ => None,
    }
}

/// "1.5", ".5" and "5." with a sign of its own for the point.
fn decimal(text: &str, point: char) -> Option<String> {
    let (whole, decimals) = text.split_once(point)?;
    let plain = |part: &str| part.is_empty() || is_plain(part);
    (plain(whole) && plain(decimals) && !(whole.is_empty() && decimals.is_empty()))
        .then(|| format!("0{whole}.{decimals}0"))
}

/// Figures in groups of three, the first with one to three; or all together.
fn grouped(text: &str, between: char) -> Option<String> {
    let mut groups = text.split(between);
    let first = groups.next().filter(|first| is_plain(first))?;
    let rest: Vec<&str> = groups.collect();
    let threes = rest.iter().all(|group| is_plain(group) && group.len() == 3);
    (rest.is_empty() || (threes && first.len() <= 3)).then(|| format!("{first}{}", rest.concat()))
}

/// Decimals, which may stand in groups of three as well, the last one as long as it is.
fn decimal_groups(text: &str) -> Option<String> {
    let groups: Vec<&str> = text.split(' ').collect();
    let (last, before) = groups.split_last()?;
    let threes = before.iter().all(|group| is_plain(group) && group.len() == 3);
    let fits = before.is_empty() || (is_plain(last) && last.len() <= 3);
    let plain = last.is_empty() || is_plain(last);
    (threes && fits && plain).then(|| groups.concat())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn number(text: &str) -> Option<f64> {
        match read(text)? {
            Digits::One(one) => one.parse().ok(),
            Digits::Either { .. } => panic!("{text} has two readings"),
        }
    }

    #[test]
    fn what_has_one_reading() {
        for (text, says) in [
            ("12", 12.0),
            ("1.5", 1.5),
            (".5", 0.5),
            ("5.", 5.0),
            ("1,5", 1.5),
            ("1,50", 1.5),
            ("1,5000", 1.5),
            ("1500,250", 1500.25),
            ("0,500", 0.5),
            ("1.500", 1.5),
            ("1 500", 1500.0),
            ("1 500 000", 1.5e6),
            ("1 500,250", 1500.25),
            ("1 500.250 5", 1500.2505),
            ("1,500,000", 1.5e6),
            ("1.500.000", 1.5e6),
            ("1.500,5", 1500.5),
            ("1,500.5", 1500.5),
            ("1,500.500", 1500.5),
            ("1.500,500", 1500.5),
            ("1,500,000.25", 1_500_000.25),
        ] {
            assert_eq!(number(text), Some(says), "{text}");
        }
    }

    #[test]
    fn a_comma_before_three_figures_has_two() {
        for (text, decimal, thousands) in
            [("1,500", 1.5, 1500.0), ("12,000", 12.0, 12000.0), ("999,999", 999.999, 999_999.0)]
        {
            let Some(Digits::Either { decimal: a, thousands: b }) = read(text) else { panic!("{text}") };
            assert_eq!((a.parse(), b.parse()), (Ok(decimal), Ok(thousands)), "{text}");
        }
    }

    #[test]
    fn what_is_no_number() {
        for text in [
            "",
            ".",
            ",",
            " ",
            "1 5",
            "12 34",
            "1500 000",
            "1..5",
            "1,,5",
            "1.5.5",
            "1,5,5",
            "1.500,",
            "1.5,5",
            "1,500.000,5",
            "1.500,5.5",
            "1,500.5,5",
            ",500,000",
            "1 500.5,5",
            "1  500",
        ] {
            assert_eq!(read(text), None, "{text}");
        }
    }
}
