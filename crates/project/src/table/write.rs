//! From stations to text.

use std::fmt::Write;

use super::{HEADER, TableStation};
use crate::document::MeasuredSection;

/// Writes a table of offsets that [`super::read_table`] reads back: to a millionth of a millimetre, knuckles and ridges
/// doubled.
pub fn write_table(stations: &[TableStation]) -> String {
    let mut text = format!("{HEADER}\n");
    for station in stations {
        for (at, [y, z]) in station.section.points.iter().enumerate() {
            for _ in 0..times(&station.section, at) {
                let [x, y, z] = [station.x, *y, *z].map(rounded);
                // Writing to a string does not fail.
                let _ = writeln!(text, "{x:.6},{y:.6},{z:.6}");
            }
        }
    }
    text
}

/// How often the row of a point is written.
fn times(section: &MeasuredSection, at: usize) -> usize {
    let ridge = (at == 0 && section.crown_ridge) || (at + 1 == section.points.len() && section.keel_ridge);
    let knuckle = section.knuckles.iter().any(|knuckle| knuckle.point == at);
    if section.has_shape() && (ridge || knuckle) { 2 } else { 1 }
}

/// Without the sign of a zero.
fn rounded(mm: f64) -> f64 {
    (mm * 1e6).round() / 1e6 + 0.0
}
