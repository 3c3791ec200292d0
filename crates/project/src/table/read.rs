//! From text to stations.

use super::{HEADER, TableError, TableStation};
use crate::document::{MeasuredKnuckle, MeasuredSection};
use crate::file::MAX_TEXT;
use crate::promise::{MAX_SECTIONS, MIN_SECTION_GAP, ON_CENTRE, apart, check_count, check_measured, check_mm};

/// Reads a table of offsets. A byte order mark, any line ends, blank lines, spaces and `#` comments are taken as they come.
///
/// # Errors
/// The first fault, with its line: a missing header, a row that is no three numbers, numbers out of range, stations that
/// do not rise, fewer than two of them, a section that does not run from centre plane to centre plane or has too few
/// points, or stations with different numbers of knuckles.
pub fn read_table(text: &str) -> Result<Vec<TableStation>, TableError> {
    if text.len() > MAX_TEXT {
        return Err(TableError::whole("The table is larger than 32 MiB.", "Leave out rows that are not needed."));
    }
    let mut stations: Vec<TableStation> = Vec::new();
    for rows in grouped(&rows(text)?) {
        let station = station_of(rows)?;
        check_behind(stations.last(), &station, rows[0].line)?;
        stations.push(station);
    }
    check_stations(&stations)?;
    Ok(stations)
}

/// A point of the table.
#[derive(Clone, Copy)]
struct Row {
    line: usize,
    x: f64,
    point: [f64; 2],
}

fn rows(text: &str) -> Result<Vec<Row>, TableError> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let numbered = text.lines().enumerate().map(|(index, line)| (index + 1, line.trim()));
    let mut lines = numbered.filter(|(_, line)| !line.is_empty() && !line.starts_with('#'));
    let (line, header) = lines.next().ok_or_else(|| TableError::whole("The table is empty.", HEADER_HINT))?;
    check_header(line, header)?;
    let rows = lines.map(|(line, text)| row(line, text)).collect::<Result<Vec<_>, _>>()?;
    if rows.is_empty() {
        return Err(TableError::at(line, "The table has no rows under its header.", "Add a row for each point."));
    }
    Ok(rows)
}

const HEADER_HINT: &str = "Begin with the row station_mm,half_breadth_mm,height_mm and then a row for each point.";
const COMMAS: &str = "Save the table with commas between the columns and points in the numbers.";

fn check_header(line: usize, header: &str) -> Result<(), TableError> {
    let plain: String = header.chars().filter(|c| !c.is_whitespace() && *c != '"').collect();
    if plain.eq_ignore_ascii_case(HEADER) {
        return Ok(());
    }
    let hint = if header.contains(';') || header.contains('\t') { COMMAS } else { HEADER_HINT };
    Err(TableError::at(line, "This is not the header of a table of offsets.", hint))
}

fn row(line: usize, text: &str) -> Result<Row, TableError> {
    let mut fields = text.split(',');
    let (Some(x), Some(y), Some(z), None) = (fields.next(), fields.next(), fields.next(), fields.next()) else {
        let count = text.split(',').count();
        let hint = if text.contains(';') || text.contains('\t') || count > 3 {
            COMMAS
        } else {
            "Give station, half-breadth and height."
        };
        return Err(TableError::at(line, format!("A row has three numbers, this one has {count}."), hint));
    };
    let x = number(line, "The station", x)?;
    let y = number(line, "The half-breadth", y)?;
    let z = number(line, "The height", z)?;
    if y < -ON_CENTRE {
        return Err(TableError::at(
            line,
            format!("The half-breadth is negative ({y})."),
            "Give the starboard side only.",
        ));
    }
    Ok(Row { line, x, point: [if y.abs() <= ON_CENTRE { 0.0 } else { y }, z] })
}

fn number(line: usize, what: &str, text: &str) -> Result<f64, TableError> {
    let text = text.trim().trim_matches('"').trim();
    let number: f64 = text.parse().map_err(|_| {
        TableError::at(line, format!("{what} is {text:?}, which is no number."), "Write it as digits, such as 12.5.")
    })?;
    check_mm(what, number).map_err(|refused| TableError::at(line, refused.reason, refused.hint))?;
    Ok(number)
}

/// The rows of each station.
fn grouped(rows: &[Row]) -> impl Iterator<Item = &[Row]> {
    rows.chunk_by(|row, next| row.x == next.x)
}

fn check_behind(before: Option<&TableStation>, station: &TableStation, line: usize) -> Result<(), TableError> {
    match before {
        Some(before) if !apart(before.x, station.x, MIN_SECTION_GAP) => Err(TableError::at(
            line,
            format!("Station {} mm does not come behind station {} mm.", station.x, before.x),
            format!("List stations from front to rear, at least {MIN_SECTION_GAP} mm apart, each in one piece."),
        )),
        _ => Ok(()),
    }
}

/// `rows` is never empty.
fn station_of(rows: &[Row]) -> Result<TableStation, TableError> {
    let first = rows[0];
    let last = rows[rows.len() - 1];
    for end in [first, last] {
        if end.point[0] != 0.0 {
            return Err(TableError::at(
                end.line,
                format!("Station {} mm begins or ends {} mm off the centre plane.", end.x, end.point[0]),
                "Give its first and its last point a half-breadth of 0.",
            ));
        }
    }
    let edge = rows.iter().all(|row| row.point[0] == 0.0);
    let section = if edge { edge_of(rows) } else { section_of(rows)? };
    check_measured(&section).map_err(|refused| {
        TableError::at(first.line, format!("Station {} mm: {}", first.x, refused.reason), refused.hint)
    })?;
    Ok(TableStation { x: first.x, section })
}

/// A station without breadth: a point or a stem edge. Doubled rows say nothing there.
fn edge_of(rows: &[Row]) -> MeasuredSection {
    let mut points: Vec<_> = rows.iter().map(|row| row.point).collect();
    points.dedup();
    if points.len() == 1 {
        points.push(points[0]);
    }
    plain(points)
}

fn section_of(rows: &[Row]) -> Result<MeasuredSection, TableError> {
    let mut section = plain(Vec::new());
    for run in rows.chunk_by(is_doubled) {
        if run.len() > 2 {
            return Err(TableError::at(
                run[2].line,
                "The same point stands here a third time.",
                "Once is a point, twice is a knuckle or a ridge.",
            ));
        }
        if run.len() == 2 {
            note_double(&mut section, run, rows);
        }
        section.points.push(run[0].point);
    }
    Ok(section)
}

/// Two rows are one point doubled if they differ by no more than the last figure that a table is written to: programs that
/// reckon a row twice do not always get the same last digit.
fn is_doubled(row: &Row, next: &Row) -> bool {
    row.point.iter().zip(next.point).all(|(a, b)| (a - b).abs() <= SAME)
}

/// A millionth of a millimetre.
const SAME: f64 = 1e-6;

/// Doubled at an end of the section: a ridge; elsewhere a knuckle at the point that comes next.
fn note_double(section: &mut MeasuredSection, run: &[Row], rows: &[Row]) {
    if run[0].line == rows[0].line {
        section.crown_ridge = true;
    } else if run[1].line == rows[rows.len() - 1].line {
        section.keel_ridge = true;
    } else {
        let number = section.knuckles.last().map_or(1, |knuckle| knuckle.number + 1);
        section.knuckles.push(MeasuredKnuckle { point: section.points.len(), number });
    }
}

fn plain(points: Vec<[f64; 2]>) -> MeasuredSection {
    MeasuredSection {
        points,
        knuckles: Vec::new(),
        crown_ridge: false,
        keel_ridge: false,
        breadth_point: None,
        breadth_girth: None,
    }
}

fn check_stations(stations: &[TableStation]) -> Result<(), TableError> {
    if let [only] = stations {
        return Err(TableError::whole(
            format!("The table has one station only, at {} mm.", only.x),
            "Give at least two, front and rear.",
        ));
    }
    check_count("stations", stations.len(), MAX_SECTIONS)
        .map_err(|refused| TableError::whole(refused.reason, refused.hint))?;
    let mut shaped = stations.iter().filter(|station| station.section.has_shape());
    let Some(first) = shaped.next() else {
        return Err(TableError::whole(
            "No station of the table has both breadth and height.",
            "Give at least one section with a shape.",
        ));
    };
    let count = |station: &TableStation| station.section.knuckles.len();
    match shaped.find(|station| count(station) != count(first)) {
        None => Ok(()),
        Some(other) => Err(TableError::whole(
            format!(
                "Station {} mm has {}, station {} mm has {}.",
                first.x,
                knuckles(count(first)),
                other.x,
                knuckles(count(other))
            ),
            "Double the same knuckles at every station.",
        )),
    }
}

/// "1 knuckle", "2 knuckles", "no knuckle".
fn knuckles(count: usize) -> String {
    match count {
        0 => "no knuckle".to_owned(),
        1 => "1 knuckle".to_owned(),
        n => format!("{n} knuckles"),
    }
}
