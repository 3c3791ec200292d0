//! From text to stations.

use super::cells::{self, Line, Separator};
use super::section::{Row, edge_of, section_of};
use super::{HEADER, TableError, TableStation};
use crate::file::MAX_TEXT;
use crate::promise::{
    MAX_ALL_SECTION_POINTS, MAX_ALL_SECTIONS, MIN_SECTION_GAP, ON_CENTRE, apart, check_count, check_measured, told,
};

/// Reads a table of offsets. A byte order mark, any line ends, blank lines, spaces and `#` comments are taken as they come; so are
/// semicolons or tabs between the columns, with decimal commas, as some spreadsheets write them.
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
        check_behind(stations.last(), &station, rows[0].row.line)?;
        stations.push(station);
    }
    check_stations(&stations)?;
    Ok(stations)
}

/// A point of the table, with its station.
#[derive(Clone, Copy)]
struct Placed {
    x: f64,
    row: Row,
}

fn rows(text: &str) -> Result<Vec<Placed>, TableError> {
    let lines = cells::lines(text);
    let (header, lines) = lines.split_first().ok_or_else(|| TableError::whole("The table is empty.", HEADER_HINT))?;
    check_header(*header)?;
    if lines.is_empty() {
        return Err(TableError::at(
            header.number,
            "The table has no rows under its header.",
            "Add a row for each point.",
        ));
    }
    let separator = Separator::of(lines, 3);
    lines.iter().map(|line| row(*line, separator)).collect()
}

const HEADER_HINT: &str = "Begin with the row station_mm,half_breadth_mm,height_mm and then a row for each point.";

fn check_header(header: Line<'_>) -> Result<(), TableError> {
    let plain: String =
        header.text.chars().filter(|c| !c.is_whitespace() || *c == '\t').filter(|c| *c != '"').collect();
    let plain = plain.replace(['\t', ';'], ",");
    if plain.trim_end_matches(',').eq_ignore_ascii_case(HEADER) {
        return Ok(());
    }
    Err(TableError::at(header.number, "This is not the header of a table of offsets.", HEADER_HINT))
}

fn row(line: Line<'_>, separator: Separator) -> Result<Placed, TableError> {
    let [x, y, z] = cells::numbers(line, separator, ["The station", "The half-breadth", "The height"], 1.0)?;
    if y < -ON_CENTRE {
        return Err(TableError::at(
            line.number,
            format!("The half-breadth is negative ({y})."),
            "Give the starboard side only.",
        ));
    }
    Ok(Placed { x, row: Row { line: line.number, point: [if y.abs() <= ON_CENTRE { 0.0 } else { y }, z] } })
}

/// The rows of each station.
fn grouped(rows: &[Placed]) -> impl Iterator<Item = &[Placed]> {
    rows.chunk_by(|row, next| row.x == next.x)
}

fn check_behind(before: Option<&TableStation>, station: &TableStation, line: usize) -> Result<(), TableError> {
    match before {
        Some(before) if !apart(before.x, station.x, MIN_SECTION_GAP) => Err(TableError::at(
            line,
            format!("Station {} mm does not come behind station {} mm.", told(station.x), told(before.x)),
            format!("List stations from front to rear, at least {MIN_SECTION_GAP} mm apart, each in one piece."),
        )),
        _ => Ok(()),
    }
}

/// `placed` is never empty.
fn station_of(placed: &[Placed]) -> Result<TableStation, TableError> {
    let x = placed[0].x;
    let rows: Vec<Row> = placed.iter().map(|placed| placed.row).collect();
    for end in [rows[0], rows[rows.len() - 1]] {
        if end.point[0] != 0.0 {
            return Err(TableError::at(
                end.line,
                format!("Station {x} mm begins or ends {} mm off the centre plane.", end.point[0]),
                "Give its first and its last point a half-breadth of 0.",
            ));
        }
    }
    let edge = rows.iter().all(|row| row.point[0] == 0.0);
    let section = if edge { edge_of(&rows) } else { section_of(&rows)? };
    check_measured(&section)
        .map_err(|refused| TableError::at(rows[0].line, format!("Station {x} mm: {}", refused.reason), refused.hint))?;
    Ok(TableStation { x, section })
}

fn check_stations(stations: &[TableStation]) -> Result<(), TableError> {
    if let [only] = stations {
        return Err(TableError::whole(
            format!("The table has one station only, at {} mm.", only.x),
            "Give at least two, front and rear.",
        ));
    }
    let points = stations.iter().map(|station| station.section.points.len()).sum();
    check_count("stations", stations.len(), MAX_ALL_SECTIONS)
        .and_then(|()| check_count("points", points, MAX_ALL_SECTION_POINTS))
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
