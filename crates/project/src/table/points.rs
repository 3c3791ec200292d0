//! The points of one section, as measured on the bench: rows of half-breadth and height.

use super::TableError;
use super::cells::{self, Line, Separator};
use super::section::{Row, section_of};
use crate::document::MeasuredSection;
use crate::file::MAX_TEXT;
use crate::promise::{MAX_POINTS, ON_CENTRE, check_count};

/// A section that was read, and what the builder should know of the reading.
#[derive(Clone, Debug, PartialEq)]
pub struct PointsRead {
    /// The section.
    pub section: MeasuredSection,
    /// Whole sentences, such as that both halves were given.
    pub notes: Vec<String>,
}

/// Reads rows of half-breadth and height, `mm` to one of the unit they are in unless the heading names another (mm, cm, in).
/// Columns may be parted by tabs, semicolons, commas or spaces, decimals by a point or a comma; a heading, blank lines and `#`
/// comments are passed over. Rows may run from crown to keel or from keel to crown. Where both halves are given, port being
/// negative, the starboard half is taken and the other compared. A row given twice is a knuckle, at an end a ridge.
///
/// # Errors
/// The first fault with its line: no two numbers, out of range, off the centre plane at an end, given a third time; or, for
/// all rows, fewer than three points.
pub fn read_points(text: &str, mm: f64) -> Result<PointsRead, TableError> {
    if text.len() > MAX_TEXT {
        return Err(TableError::whole("The table is larger than 32 MiB.", "Leave out rows that are not needed."));
    }
    let lines = cells::lines(text);
    let (heading, rows) = parted(&lines);
    let mm = heading.and_then(unit_of).unwrap_or(mm);
    let separator = Separator::of(rows, 2);
    let rows = rows.iter().map(|line| row(*line, separator, mm)).collect::<Result<Vec<_>, _>>()?;
    check_count("measured points", rows.len().max(2), 2 * MAX_POINTS)
        .map_err(|refused| TableError::whole(refused.reason, refused.hint))?;
    let mut notes = Vec::new();
    let mut half = one_half(rows, &mut notes)?;
    if half.first().zip(half.last()).is_some_and(|(first, last)| first.point[1] < last.point[1]) {
        half.reverse();
        notes.push("The rows ran from keel to crown and were turned round.".into());
    }
    check_ends(&half)?;
    let section = section_of(&half)?;
    check_enough(&section)?;
    crate::promise::check_measured(&section)
        .map_err(|refused| TableError::at(half[0].line, refused.reason, refused.hint))?;
    notes.extend(corners(&section));
    Ok(PointsRead { section, notes })
}

/// The heading, if the first line is one, and the rows under it.
fn parted<'a, 'b>(lines: &'b [Line<'a>]) -> (Option<&'a str>, &'b [Line<'a>]) {
    let is_heading = |line: &Line<'_>| !line.text.chars().any(|c| c.is_ascii_digit());
    match lines.split_first() {
        Some((first, rest)) if is_heading(first) => (Some(first.text), rest),
        _ => (None, lines),
    }
}

/// Millimetres to the unit that a heading names.
fn unit_of(heading: &str) -> Option<f64> {
    let lower = heading.to_lowercase();
    let words = lower.split(|c: char| !c.is_alphanumeric());
    words.into_iter().find_map(|word| match word {
        "mm" | "millimetre" | "millimetres" | "millimeter" | "millimeters" => Some(1.0),
        "cm" | "centimetre" | "centimetres" | "centimeter" | "centimeters" => Some(10.0),
        "in" | "inch" | "inches" => Some(25.4),
        _ => None,
    })
}

fn row(line: Line<'_>, separator: Separator, mm: f64) -> Result<Row, TableError> {
    if separator.split(line.text).len() == 3 {
        return Err(TableError::at(
            line.number,
            "This row has three numbers.",
            "Give half-breadth and height alone. A whole table of offsets with stations is read by the Project menu.",
        ));
    }
    let [y, z] = cells::numbers(line, separator, ["The half-breadth", "The height"], mm)?;
    Ok(Row { line: line.number, point: [if y.abs() <= ON_CENTRE { 0.0 } else { y }, z] })
}

fn check_ends(half: &[Row]) -> Result<(), TableError> {
    for (end, name) in half.first().into_iter().zip(["crown"]).chain(half.last().into_iter().zip(["keel"])) {
        if end.point[0] != 0.0 {
            let off = end.point[0];
            return Err(TableError::at(
                end.line,
                format!("The section's end at the {name} lies {off:.2} mm off the centre plane."),
                format!("Add a row with half-breadth 0 and the height of the {name}."),
            ));
        }
    }
    Ok(())
}

fn check_enough(section: &MeasuredSection) -> Result<(), TableError> {
    let count = section.points.len();
    if count >= 3 && section.has_shape() {
        return Ok(());
    }
    let what = match count {
        0 => "There are no rows of numbers.".to_owned(),
        1 => "There is one point only.".to_owned(),
        n if n < 3 => format!("There are {n} points only."),
        _ => "The points have no breadth, or no height.".to_owned(),
    };
    Err(TableError::whole(what, "Give at least three, better seven: crown, some round the side, keel."))
}

fn corners(section: &MeasuredSection) -> Option<String> {
    let ridges = usize::from(section.crown_ridge) + usize::from(section.keel_ridge);
    match section.knuckles.len() + ridges {
        0 => None,
        1 => Some("One row was given twice: a corner.".into()),
        n => Some(format!("{n} rows were given twice: corners.")),
    }
}

/// One half of what was measured: the starboard one where both are given.
fn one_half(rows: Vec<Row>, notes: &mut Vec<String>) -> Result<Vec<Row>, TableError> {
    let port = rows.iter().any(|r| r.point[0] < 0.0);
    let starboard = rows.iter().any(|r| r.point[0] > 0.0);
    if !port {
        return Ok(rows);
    }
    if !starboard {
        notes.push("The port half was given; starboard is its mirror.".into());
        return Ok(rows.into_iter().map(mirrored).collect());
    }
    let [starboard, port] = halves(&rows)?;
    let differ = port.iter().map(|r| distance(mirrored(*r).point, &starboard)).fold(0.0, f64::max);
    notes.push(format!(
        "Both halves were given. The starboard one is taken; the port one differs by up to {differ:.2} mm."
    ));
    Ok(starboard)
}

fn mirrored(row: Row) -> Row {
    Row { point: [-row.point[0] + 0.0, row.point[1]], ..row }
}

/// Starboard and port, each with its ends on the centre plane. The rows go once around, beginning anywhere, or through one half
/// and then through the other in the same direction.
fn halves(rows: &[Row]) -> Result<[Vec<Row>; 2], TableError> {
    let around = once_around(rows);
    let side = |r: &Row| i8::from(r.point[0] > 0.0) - i8::from(r.point[0] < 0.0);
    let n = around.len();
    let before = |i: usize| (1..n).map(|k| side(&around[(i + n - k) % n])).find(|s| *s != 0);
    let first = (0..n).find(|&i| side(&around[i]) > 0 && before(i) == Some(-1)).unwrap_or(0);
    let turned: Vec<Row> = (0..n).map(|k| around[(first + k) % n]).collect();
    let last = turned.iter().rposition(|r| side(r) > 0).unwrap_or(0);
    if let Some(astray) = turned[..=last].iter().find(|r| side(r) < 0) {
        return Err(TableError::at(
            astray.line,
            "The rows change sides more than twice.",
            "List the points once around the section, or give one half only.",
        ));
    }
    let (starboard, rest) = turned.split_at(last + 1);
    let zeros = |rows: &mut dyn Iterator<Item = &Row>| rows.take_while(|r| side(r) == 0).count();
    let (behind, ahead) = (zeros(&mut rest.iter()), zeros(&mut rest.iter().rev()));
    let port = &rest[behind..rest.len() - ahead];
    let (Some(nearest), Some(farthest)) = (port.first(), port.last()) else { return Ok([around, Vec::new()]) };
    let start = on_centre(&rest[rest.len() - ahead..], farthest, &starboard[0]);
    let end = on_centre(&rest[..behind], &starboard[last], nearest);
    Ok([start.into_iter().chain(starboard.iter().copied()).chain(end).collect(), port.to_vec()])
}

/// A table that lists one half after the other in the same direction becomes one that goes once around.
fn once_around(rows: &[Row]) -> Vec<Row> {
    let both_on_centre = |w: &[Row]| w[0].point[0] == 0.0 && w[1].point[0] == 0.0 && w[0].point != w[1].point;
    let mut around = match rows.windows(2).position(both_on_centre) {
        Some(at) => rows[..=at].iter().chain(rows[at + 1..].iter().rev()).copied().collect(),
        None => rows.to_vec(),
    };
    // The last row may close the section by saying the first again.
    if around.len() > 3 && around[0].point == around[around.len() - 1].point {
        around.pop();
    }
    around
}

/// The rows on the centre plane between the two sides; what both halves say is said once. Where there is none, the place where
/// the straight line from side to side crosses it.
fn on_centre(rows: &[Row], from: &Row, to: &Row) -> Vec<Row> {
    if rows.is_empty() {
        let share = from.point[0] / (from.point[0] - to.point[0]);
        let height = from.point[1] + share * (to.point[1] - from.point[1]);
        return vec![Row { line: to.line, point: [0.0, height] }];
    }
    let mut rows = rows.to_vec();
    rows.dedup_by(|a, b| a.point == b.point);
    rows
}

/// The distance of a place from a polyline, mm.
fn distance(p: [f64; 2], line: &[Row]) -> f64 {
    let chords = line.windows(2).map(|w| geometry::flatten::distance_to_chord(p, w[0].point, w[1].point));
    chords.fold(f64::INFINITY, f64::min)
}
