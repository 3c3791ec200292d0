//! From rows of points to a measured section: doubled rows are knuckles and ridges.

use super::TableError;
use crate::document::{MeasuredKnuckle, MeasuredSection};

/// A point, and the line it stands on.
#[derive(Clone, Copy, Debug)]
pub(super) struct Row {
    pub(super) line: usize,
    pub(super) point: [f64; 2],
}

/// A station without breadth: a point or a stem edge. Doubled rows say nothing there.
pub(super) fn edge_of(rows: &[Row]) -> MeasuredSection {
    let mut points: Vec<_> = rows.iter().map(|row| row.point).collect();
    points.dedup();
    if points.len() == 1 {
        points.push(points[0]);
    }
    MeasuredSection::through(points)
}

/// The section along rows that begin and end on the centre plane.
///
/// # Errors
/// The same point a third time.
pub(super) fn section_of(rows: &[Row]) -> Result<MeasuredSection, TableError> {
    let mut section = MeasuredSection::through(Vec::new());
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
