//! Rows of numbers as spreadsheets write them: lines, columns and decimals, before anybody knows what they mean.
//!
//! Columns are parted by tabs, semicolons, commas or spaces. A decimal comma is understood wherever the comma does not part
//! the columns; which of both it does is decided once for the whole text.

use super::TableError;
use crate::promise::check_mm;

/// A line that says something: its number from 1, and its text without spaces around it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Line<'a> {
    pub(super) number: usize,
    pub(super) text: &'a str,
}

/// The lines of a text, without a byte order mark, blank lines and `#` comments; any line ends.
pub(super) fn lines(text: &str) -> Vec<Line<'_>> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let numbered = text.split('\n').enumerate().map(|(index, line)| Line { number: index + 1, text: line.trim() });
    // A row of separators alone is what a spreadsheet makes of an empty one.
    numbered.filter(|line| line.text.chars().any(|c| !is_space(c)) && !line.text.starts_with('#')).collect()
}

fn is_space(c: char) -> bool {
    c.is_whitespace() || matches!(c, ',' | ';' | '"')
}

/// What parts the columns of a table.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Separator {
    Tab,
    Semicolon,
    Comma,
    Spaces,
}

impl Separator {
    /// In the order in which they are preferred where several would do.
    const ALL: [Self; 4] = [Self::Tab, Self::Semicolon, Self::Comma, Self::Spaces];

    /// What parts rows of `columns` numbers: whatever makes most of the rows right, or else what is there.
    pub(super) fn of(rows: &[Line<'_>], columns: usize) -> Self {
        let right = |separator: &Self| {
            let is_right = |row: &&Line<'_>| {
                let cells = separator.split(row.text);
                cells.len() == columns && cells.iter().all(|cell| separator.number(cell).is_some())
            };
            rows.iter().filter(is_right).count()
        };
        let most = Self::ALL.iter().map(right).max().unwrap_or(0);
        let there = |separator: &Self| match separator {
            Self::Tab => rows.iter().any(|row| row.text.contains('\t')),
            Self::Semicolon => rows.iter().any(|row| row.text.contains(';')),
            Self::Comma => rows.iter().any(|row| row.text.contains(',')),
            Self::Spaces => true,
        };
        let fits = |separator: &Self| if most > 0 { right(separator) == most } else { there(separator) };
        Self::ALL.into_iter().find(fits).unwrap_or(Self::Comma)
    }

    /// The cells of a row, without quotes; empty ones at its end are left out.
    pub(super) fn split(self, row: &str) -> Vec<&str> {
        let mut cells: Vec<&str> = match self {
            Self::Tab => row.split('\t').map(bare).collect(),
            Self::Semicolon => row.split(';').map(bare).collect(),
            Self::Comma => row.split(',').map(bare).collect(),
            Self::Spaces => row.split_whitespace().map(bare).collect(),
        };
        while cells.last().is_some_and(|cell| cell.is_empty()) {
            cells.pop();
        }
        cells
    }

    /// A number in a cell.
    fn number(self, cell: &str) -> Option<f64> {
        let decimal_comma = self != Self::Comma && cell.matches(',').count() == 1 && !cell.contains('.');
        let number = if decimal_comma { cell.replace(',', ".").parse() } else { cell.parse::<f64>() };
        // Spreadsheets write a minus sign of their own.
        number.ok().or_else(|| cell.strip_prefix('\u{2212}')?.replace(',', ".").parse::<f64>().ok().map(|n| -n))
    }
}

fn bare(cell: &str) -> &str {
    cell.trim().trim_matches('"').trim()
}

/// The numbers of a row, in mm; `what` names its columns.
pub(super) fn numbers<const N: usize>(
    line: Line<'_>,
    separator: Separator,
    what: [&str; N],
    mm: f64,
) -> Result<[f64; N], TableError> {
    let cells = separator.split(line.text);
    if cells.len() != N {
        let count = cells.len();
        return Err(TableError::at(
            line.number,
            format!("A row has {} numbers, this one has {count}: “{}”.", count_word(N), short(line.text)),
            hint(separator, count, N),
        ));
    }
    let mut numbers = [0.0; N];
    for ((number, cell), what) in numbers.iter_mut().zip(cells).zip(what) {
        *number = mm
            * separator.number(cell).ok_or_else(|| {
                TableError::at(
                    line.number,
                    format!("{what} is “{}”, which is no number.", short(cell)),
                    "Write it as digits, such as 12.5.",
                )
            })?;
        check_mm(what, *number).map_err(|refused| TableError::at(line.number, refused.reason, refused.hint))?;
    }
    Ok(numbers)
}

fn count_word(n: usize) -> &'static str {
    if n == 2 { "two" } else { "three" }
}

fn hint(separator: Separator, count: usize, wanted: usize) -> &'static str {
    match (wanted, separator) {
        (_, Separator::Comma) if count > wanted => {
            "Part the columns by semicolons or tabs, or write points in the numbers: here commas do both."
        }
        (2, _) => "Give half-breadth and height.",
        _ => "Give station, half-breadth and height.",
    }
}

/// As much of a text as an error needs.
fn short(text: &str) -> String {
    const MOST: usize = 30;
    let cut: String = text.chars().take(MOST).collect();
    if text.chars().count() > MOST { format!("{cut}…") } else { cut }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn parted(text: &str, columns: usize) -> Separator {
        Separator::of(&lines(text), columns)
    }

    #[test]
    fn the_separator_is_found_for_the_whole_text() {
        assert_eq!(parted("0\t60,5\n40,25\t0", 2), Separator::Tab);
        assert_eq!(parted("0;60,5\n40,25;0", 2), Separator::Semicolon);
        assert_eq!(parted("0,60.5\n40.25,0", 2), Separator::Comma);
        assert_eq!(parted("0, 60.5\n40.25, 0", 2), Separator::Comma);
        assert_eq!(parted("0 60,5\n40,25 0\n0 -55", 2), Separator::Spaces);
        assert_eq!(parted("0 60\n40 0", 2), Separator::Spaces);
        assert_eq!(parted("300 0 60,5\n300 40,25 0", 3), Separator::Spaces);
    }

    #[test]
    fn numbers_are_read_with_either_decimal_sign_and_either_minus() {
        assert_eq!(Separator::Tab.number("1,5"), Some(1.5));
        assert_eq!(Separator::Spaces.number("-1.5e1"), Some(-15.0));
        assert_eq!(Separator::Comma.number("\u{2212}3.25"), Some(-3.25));
        assert_eq!(Separator::Comma.number("1,5"), None);
        assert_eq!(Separator::Tab.number("1.000,5"), None);
    }

    #[test]
    fn lines_that_say_nothing_are_left_out_and_the_others_keep_their_numbers() {
        let found = lines("\u{feff}# note\r\n\r\n 0;1 \r\n;;\r\n2;3");
        assert_eq!(found, [Line { number: 3, text: "0;1" }, Line { number: 5, text: "2;3" }]);
    }
}
