//! Edits of the master lines.

use std::sync::Arc;

use super::{Refused, gone, lock};
use crate::document::{Form, LineEnd, LineName, LinePoint, LinePointKind, MasterLine};
use crate::promise::{self, MIN_POINT_GAP};

impl MasterLine {
    /// How far the point may move in x without passing its neighbours, mm: least and most.
    pub fn room(&self, point: usize) -> [f64; 2] {
        let before = point.checked_sub(1).and_then(|at| self.points.get(at));
        let behind = self.points.get(point + 1);
        [
            before.map_or(-promise::MAX_MM, |point| point.x + MIN_POINT_GAP),
            behind.map_or(promise::MAX_MM, |point| point.x - MIN_POINT_GAP),
        ]
    }
}

pub(super) fn add(f: &mut Form, name: LineName, point: LinePoint) -> Result<(), Refused> {
    promise::check_line_value(name, point.x, point.value)?;
    let line = Arc::make_mut(f.lines.get_mut(name));
    let at = line.points.partition_point(|other| other.x < point.x);
    line.points.insert(at, point);
    promise::check_line(name, line)
}

pub(super) fn move_point(f: &mut Form, name: LineName, index: usize, x: f64, value: f64) -> Result<(), Refused> {
    promise::check_line_value(name, x, value)?;
    let old = point_of(f, name, index)?;
    lock::check_free(f, name, old.x)?;
    let line = Arc::make_mut(f.lines.get_mut(name));
    let [least, most] = line.room(index);
    line.points[index] = LinePoint { x, value, ..old };
    promise::check_line(name, line).map_err(|_| passes(least, most))
}

fn passes(least: f64, most: f64) -> Refused {
    Refused::new(
        "A point cannot pass its neighbours.",
        format!("Keep it from {least:.3} to {most:.3} mm aft of the datum, or remove the neighbour."),
    )
}

pub(super) fn set_kind(f: &mut Form, name: LineName, index: usize, kind: LinePointKind) -> Result<(), Refused> {
    promise::check_line_kind(kind)?;
    let old = point_of(f, name, index)?;
    Arc::make_mut(f.lines.get_mut(name)).points[index] = LinePoint { kind, ..old };
    Ok(())
}

pub(super) fn remove(f: &mut Form, name: LineName, index: usize) -> Result<(), Refused> {
    let old = point_of(f, name, index)?;
    lock::check_free(f, name, old.x)?;
    Arc::make_mut(f.lines.get_mut(name)).points.remove(index);
    Ok(())
}

pub(super) fn set_ends(f: &mut Form, name: LineName, front: LineEnd, rear: LineEnd) -> Result<(), Refused> {
    let line = Arc::make_mut(f.lines.get_mut(name));
    (line.front, line.rear) = (front, rear);
    Ok(())
}

fn point_of(f: &Form, name: LineName, index: usize) -> Result<LinePoint, Refused> {
    let point = f.lines.get(name).points.get(index).copied();
    point.ok_or_else(|| gone(&format!("point on the {} line with number", name.label().to_lowercase()), index))
}
