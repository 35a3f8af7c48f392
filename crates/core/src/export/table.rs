//! A table as comma-separated values after RFC 4180: records end in CRLF, a field
//! with a comma, a quote or a line break stands in quotes, a quote in it is doubled.

use std::borrow::Cow;

/// What a spreadsheet takes for the beginning of a formula.
const FORMULA: [char; 6] = ['=', '+', '-', '@', '\t', '\r'];

/// One field.
pub enum Cell<'a> {
    /// Somebody's words. Where they begin like a formula, an apostrophe is put before
    /// them, so that no spreadsheet works anything out from a name.
    Words(&'a str),
    /// A number in full, with a point; empty where there is none.
    Number(Option<f64>),
    /// A sum of money to the cent; empty where there is none.
    Money(Option<f64>),
    /// A count.
    Count(usize),
}

/// A table that is being written.
pub struct Table {
    text: String,
}

impl Table {
    /// A table with these columns and no records yet.
    pub fn with_columns(names: &[&str]) -> Self {
        let mut table = Self { text: String::new() };
        table.fields(names.iter().map(|name| Cow::Borrowed(*name)));
        table
    }

    /// Adds a record.
    pub fn record(&mut self, cells: &[Cell<'_>]) {
        self.fields(cells.iter().map(field));
    }

    fn fields<'a>(&mut self, fields: impl Iterator<Item = Cow<'a, str>>) {
        for (at, field) in fields.enumerate() {
            if at > 0 {
                self.text.push(',');
            }
            self.text.push_str(&quoted(field));
        }
        self.text.push_str("\r\n");
    }

    /// All of it.
    pub fn text(self) -> String {
        self.text
    }
}

fn field<'a>(cell: &Cell<'a>) -> Cow<'a, str> {
    match *cell {
        Cell::Words(words) => harmless(words),
        Cell::Number(number) => number.map_or(Cow::Borrowed(""), |number| Cow::Owned(number.to_string())),
        Cell::Money(sum) => sum.map_or(Cow::Borrowed(""), |sum| Cow::Owned(format!("{sum:.2}"))),
        Cell::Count(count) => Cow::Owned(count.to_string()),
    }
}

fn harmless(words: &str) -> Cow<'_, str> {
    if words.starts_with(FORMULA) { Cow::Owned(format!("'{words}")) } else { Cow::Borrowed(words) }
}

fn quoted(field: Cow<'_, str>) -> Cow<'_, str> {
    if field.contains(['"', ',', '\r', '\n']) {
        Cow::Owned(format!("\"{}\"", field.replace('"', "\"\"")))
    } else {
        field
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn line(cells: &[Cell<'_>]) -> String {
        let mut table = Table::with_columns(&["a"]);
        table.record(cells);
        table.text().strip_prefix("a\r\n").unwrap().to_owned()
    }

    #[test]
    fn quotes_stand_where_they_have_to_and_nowhere_else() {
        let words = [Cell::Words("plain"), Cell::Words("a, b"), Cell::Words("say \"on\""), Cell::Words("two\nlines")];
        assert_eq!(line(&words), "plain,\"a, b\",\"say \"\"on\"\"\",\"two\nlines\"\r\n");
        assert_eq!(line(&[Cell::Words(""), Cell::Words("Ω – ä")]), ",Ω – ä\r\n");
    }

    #[test]
    fn a_name_is_never_a_formula_and_a_number_is_left_alone() {
        let names = ["=1+1", "+1", "-1", "@sum", "\t=1", "\r=1", "=a,b"].map(Cell::Words);
        assert_eq!(line(&names), "'=1+1,'+1,'-1,'@sum,'\t=1,\"'\r=1\",\"'=a,b\"\r\n");
        assert_eq!(line(&[Cell::Words("a=1"), Cell::Number(Some(-3.5))]), "a=1,-3.5\r\n");
    }

    #[test]
    fn numbers_are_in_full_and_money_is_to_the_cent() {
        let third = 1.0 / 3.0;
        assert_eq!(line(&[Cell::Number(Some(third)), Cell::Number(None)]), format!("{third},\r\n"));
        assert_eq!(line(&[Cell::Money(Some(12.5)), Cell::Money(None), Cell::Count(3)]), "12.50,,3\r\n");
    }
}
