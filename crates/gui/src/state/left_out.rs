//! What is said where an answer about a large rig ends before the rig does, for
//! the window and for the command line.

use rigwright_core::units::counted;

/// Of so many endpoints no level is worked out.
#[must_use]
pub fn endpoints(left_out: usize) -> Option<String> {
    match left_out {
        0 => None,
        1 => Some("One more input of an amp, a DI box or an interface is reached, and isn't told.".to_owned()),
        more => Some(format!(
            "{} more inputs of amps, DI boxes and interfaces are reached, and aren't told.",
            counted(more)
        )),
    }
}

/// Of so many problems of power nothing that mends them was looked for.
#[must_use]
pub fn mends(left_out: usize) -> Option<String> {
    let problems = match left_out {
        0 => return None,
        1 => "one of them",
        _ => "others",
    };
    Some(format!("What mends {problems} wasn't looked for: in so large a rig it would take too long."))
}

/// How many loops there are.
#[must_use]
pub fn loops(count: usize) -> Option<String> {
    match count {
        0 => None,
        1 => Some("one possible cause of hum".to_owned()),
        count => Some(format!("{} possible causes of hum, the likeliest first", counted(count))),
    }
}

/// Of `count` loops so many are told, if there are more.
#[must_use]
pub fn more_loops(told: usize, count: usize) -> Option<String> {
    let more = count.checked_sub(told).filter(|more| *more > 0)?;
    let are = if more == 1 { "is" } else { "are" };
    Some(format!("Told here are {}; there {are} {} more like them.", counted(told), counted(more)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_is_said_where_all_is_told() {
        assert_eq!((endpoints(0), mends(0), loops(0), more_loops(7, 7)), (None, None, None, None));
    }

    #[test]
    fn one_and_many_are_told_apart() {
        assert!(endpoints(1).is_some_and(|words| words.starts_with("One more input of")));
        assert!(endpoints(308).is_some_and(|words| words.starts_with("308 more inputs of")));
        assert!(mends(1).is_some_and(|words| words.contains("one of them")));
        assert_eq!(more_loops(100, 101).as_deref(), Some("Told here are 100; there is 1 more like them."));
        assert_eq!(more_loops(100, 3999).as_deref(), Some("Told here are 100; there are 3899 more like them."));
        assert_eq!(loops(12_345).as_deref(), Some("12\u{202F}345 possible causes of hum, the likeliest first"));
    }
}
