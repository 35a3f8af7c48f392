//! How a file's lines are broken.

/// A line's length in characters, its indent included, up to which brackets stay on it.
const WIDTH: usize = 100;

/// Puts what is short on one line: `from: (device: 1, jack: Out),` reads and
/// compares better than four lines. `pretty` has one entry a line, each but the
/// last line closed by a comma, and texts without line breaks in them, so a
/// line that ends in an opening bracket opens, and one that starts with a
/// closing bracket closes.
pub fn fold(pretty: &str) -> String {
    let mut lines: Vec<String> = Vec::new();
    let mut open: Vec<usize> = Vec::new();
    for line in pretty.lines() {
        let opens = line.ends_with(['(', '[']);
        let closes = line.trim_start().starts_with([')', ']']);
        if opens {
            open.push(lines.len());
        }
        lines.push(line.to_owned());
        if closes
            && let Some(start) = open.pop()
            // The outermost brackets stay as they are.
            && !open.is_empty()
            && let Some(folded) = one_line(lines.get(start..).unwrap_or_default())
        {
            lines.truncate(start);
            lines.push(folded);
        }
    }
    lines.push(String::new());
    lines.join("\n")
}

/// A bracket's lines as one, if that is short enough. What was too long inside
/// makes the outside too long as well.
fn one_line(lines: &[String]) -> Option<String> {
    let (first, rest) = lines.split_first()?;
    let (last, inside) = rest.split_last()?;
    let inside: Vec<&str> = inside.iter().map(|line| line.trim_start()).collect();
    let inside = inside.join(" ");
    let whole = format!("{first}{}{}", inside.strip_suffix(',').unwrap_or(&inside), last.trim_start());
    (whole.chars().count() <= WIDTH).then_some(whole)
}

#[cfg(test)]
mod tests {
    use super::fold;

    #[test]
    fn short_brackets_are_closed_on_their_line() {
        let pretty = "(\n    id: 1,\n    from: (\n        device: 1,\n        jack: Out,\n    ),\n    on: [\n        3,\n        (\n            a: 1,\n        ),\n    ],\n)";
        assert_eq!(fold(pretty), "(\n    id: 1,\n    from: (device: 1, jack: Out),\n    on: [3, (a: 1)],\n)\n");
    }

    #[test]
    fn long_brackets_and_brackets_around_them_stay_open() {
        let long = "x".repeat(90);
        let pretty =
            format!("(\n    a: (\n        b: (\n            c: \"{long}(\",\n            d: 1,\n        ),\n    ),\n)");
        assert_eq!(fold(&pretty), format!("{pretty}\n"));
    }
}
