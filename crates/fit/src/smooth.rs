//! The point that makes a line fair again: moved towards where the line would pass without it, by as little as does it.

use crate::fair::{WrongBend, wrong_bends};
use form::Mend;
use project::document::{Form, LineName, MasterLine};
use project::edit::{Edit, locked_by};
use std::sync::Arc;

/// Shares of the way to where the line would pass without the point.
const SHARES: [f64; 5] = [0.2, 0.4, 0.6, 0.8, 1.0];
/// A point is moved by at most this share of the line's length: more is another shape, not a fairer one.
const MOST_MOVE: f64 = 0.05;
/// Values are offered rounded to this, mm.
const ROUNDED: f64 = 0.001;

/// The least move of one free inner point after which this bend is gone and no other has come; `None` where no single point
/// does it. `index` is the form's in the document.
pub(crate) fn mend(form: &Form, index: usize, name: LineName, bend: &WrongBend, known: usize) -> Option<Mend> {
    let line = form.lines.get(name);
    let last = line.points.len().saturating_sub(1);
    let moves = (1..last).filter(|&i| locked_by(form, name, line.points[i].x).is_none());
    let best = moves.filter_map(|i| Some((i, least_move(line, i, bend, known)?)));
    let (point, value) = best.min_by(|a, b| by(line, *a).abs().total_cmp(&by(line, *b).abs()))?;
    let delta = by(line, (point, value));
    let way = match (name, delta > 0.0) {
        (LineName::Breadth, true) => "out",
        (LineName::Breadth, false) => "in",
        (_, true) => "up",
        (_, false) => "down",
    };
    let label =
        format!("Move point {} of the {} line {way} by {:.2} mm", point + 1, name.label().to_lowercase(), delta.abs());
    let x = line.points[point].x;
    Some(Mend { label, edit: Edit::MoveLinePoint { form: index, line: name, point, x, value } })
}

fn by(line: &MasterLine, (point, value): (usize, f64)) -> f64 {
    value - line.points[point].value
}

/// The value nearest to its own at which a point leaves fewer wrong bends, and none where this one was.
fn least_move(line: &MasterLine, point: usize, bend: &WrongBend, known: usize) -> Option<f64> {
    let here = line.points[point];
    let length = line.points.last()?.x - line.points.first()?.x;
    let without = with(line, |points| points.retain(|p| p.x != here.x))?;
    let there = form::line(&without).ok()?.at(here.x).value;
    if (there - here.value).abs() > MOST_MOVE * length {
        return None;
    }
    SHARES.into_iter().map(|share| round(here.value + share * (there - here.value))).find(|value| {
        let moved = with(line, |points| points[point].value = *value);
        let left = moved.and_then(|l| Some(wrong_bends(&l, &form::line(&l).ok()?)));
        left.is_some_and(|left| left.len() < known && !left.iter().any(|b| overlap(b, bend)))
    })
}

fn overlap(a: &WrongBend, b: &WrongBend) -> bool {
    a.from_to.0 < b.from_to.1 && b.from_to.0 < a.from_to.1
}

fn round(value: f64) -> f64 {
    (value / ROUNDED).round() * ROUNDED
}

fn with(line: &MasterLine, change: impl FnOnce(&mut Vec<project::document::LinePoint>)) -> Option<Arc<MasterLine>> {
    let mut next = line.clone();
    change(&mut next.points);
    (next.points.len() >= 2).then(|| Arc::new(next))
}

#[cfg(test)]
mod tests {
    use crate::testing::{cylinder, free, lofted};
    use form::Part;
    use project::document::{Form, LineName};
    use std::sync::Arc;

    #[test]
    fn one_point_takes_the_swing_out_of_an_end() {
        let mut form = cylinder(50.0, 240.0);
        form.lines.crown = free(&[[0.0, 50.0], [60.0, 80.0], [140.0, 95.0], [240.0, 100.0]]);
        let told = crate::shape_findings(&form, 0, &lofted(&form));
        assert!(told.len() == 1 && told[0].place.part == Part::Line(LineName::Crown), "{told:?}");
        let mend = told[0].mend.as_ref().unwrap();
        let mut document = project::starter::new_document("Test");
        document.forms = vec![Arc::new(form)];
        let next: Arc<Form> = mend.edit.apply(&document).unwrap().forms[0].clone();
        assert_eq!(crate::shape_findings(&next, 0, &lofted(&next)), []);
        let moved = next.lines.crown.points.iter().zip(&document.forms[0].lines.crown.points);
        let by: f64 = moved.map(|(a, b)| (a.value - b.value).abs()).sum();
        assert!(by > 0.0 && by < 3.0, "{mend:?}");
    }
}
