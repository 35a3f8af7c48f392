//! Aligned columns of plain text; widths count characters, not bytes.

/// A heading longer than this is cut.
const WIDEST: usize = 28;
const GAP: &str = "  ";

/// Rows under headings, everything to the right of its column.
pub fn columns(headings: &[String], rows: &[Vec<String>]) -> Vec<String> {
    let headings: Vec<String> = headings.iter().map(|heading| cut(heading)).collect();
    let widths: Vec<usize> = headings
        .iter()
        .enumerate()
        .map(|(at, heading)| {
            let cells = rows.iter().filter_map(|row| row.get(at));
            cells.chain([heading]).map(|cell| length(cell)).max().unwrap_or(0)
        })
        .collect();
    let line = |cells: &[String]| {
        let cells = cells.iter().zip(&widths).map(|(cell, &width)| format!("{}{cell}", space(width, cell)));
        cells.collect::<Vec<_>>().join(GAP)
    };
    std::iter::once(line(&headings)).chain(rows.iter().map(|row| line(row))).collect()
}

/// Names and what belongs to them, the second parts under one another.
pub fn pairs(rows: &[(String, String)]) -> Vec<String> {
    let width = rows.iter().map(|(name, _)| length(name)).max().unwrap_or(0);
    rows.iter().map(|(name, text)| format!("{name}{}{GAP}{text}", space(width, name))).collect()
}

/// The text with a line of its length under it.
pub fn underlined(text: &str, with: char) -> [String; 2] {
    [text.to_owned(), with.to_string().repeat(length(text))]
}

fn length(text: &str) -> usize {
    text.chars().count()
}

/// What a cell lacks of its width.
fn space(width: usize, cell: &str) -> String {
    " ".repeat(width.saturating_sub(length(cell)))
}

fn cut(heading: &str) -> String {
    if length(heading) <= WIDEST {
        return heading.to_owned();
    }
    heading.chars().take(WIDEST - 1).chain(['…']).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_count_characters() {
        let row = |cells: [&str; 2]| cells.map(str::to_owned).to_vec();
        let lines = columns(&row(["Hz", "Ä, “in”"]), &[row(["20 Hz", "−0.5"]), row(["1 kHz", "+10.2"])]);
        assert_eq!(lines, ["   Hz  Ä, “in”", "20 Hz     −0.5", "1 kHz    +10.2"]);
    }

    #[test]
    fn pairs_stand_under_one_another() {
        let rows = [("−3 dB".to_owned(), "a".to_owned()), ("Peak".to_owned(), "b".to_owned())];
        assert_eq!(pairs(&rows), ["−3 dB  a", "Peak   b"]);
        assert!(pairs(&[]).is_empty());
    }

    #[test]
    fn long_headings_are_cut() {
        let heading = "ü".repeat(40);
        let lines = columns(&[heading], &[vec!["1".to_owned()]]);
        assert_eq!(length(&lines[0]), WIDEST);
        assert!(lines[0].ends_with('…'));
    }
}
