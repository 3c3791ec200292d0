//! Compensation for the width of the cut: outside contours grow by half the kerf, holes and slots shrink by it.

use i_overlay::core::fill_rule::FillRule;
use i_overlay::core::overlay_rule::OverlayRule;
use i_overlay::float::single::SingleFloatOverlay;
use i_overlay::mesh::float::outline::offset::OutlineOffset;
use i_overlay::mesh::float::style::{LineJoin, OutlineStyle};

use crate::sheet::{Drawing, Item, Part, Path, Purpose, Segment, Stroke};

type Point = [f64; 2];

/// Curves are replaced by chords that stay this close to them, mm.
const CHORD: f64 = 0.005;
/// Angle between neighbouring points of a corner's arc, radians: 3e-4 of half a kerf from the arc.
const ROUND_STEP: f64 = 0.05;

/// The part as a tool that takes away `kerf_mm` must be led, so that what is left is the part as drawn.
///
/// Every closed contour that is cut is moved by half the kerf into the waste, all of the part together, so that a contour within
/// another is a hole (even-odd). Corners that stick out become arcs of half a kerf, corners of holes stay sharp as far as they can;
/// the offset is exact within 0.01 mm. Open cuts, and all that is not cut, stay where they are. With a kerf of 0 nothing changes.
#[must_use]
pub fn compensated(part: &Part, kerf_mm: f64) -> Part {
    // Written so that what is not a number changes nothing.
    if !(kerf_mm.is_finite() && kerf_mm > 0.0) {
        return part.clone();
    }
    let mut contours: Vec<Vec<Point>> = Vec::new();
    let mut drawing = Drawing::default();
    for item in &part.drawing.items {
        match item {
            Item::Path(p) if p.stroke.as_ref().is_some_and(|s| s.purpose == Purpose::Cut) => {
                let (closed, open) = split(p);
                contours.extend(closed);
                open.into_iter().for_each(|points| drawing.push(Path::polyline(&points, Stroke::cut())));
            }
            other => drawing.push(other.clone()),
        }
    }
    let none: Vec<Vec<Point>> = Vec::new();
    let shapes: Vec<Vec<Vec<Point>>> = contours.overlay_as::<i64>(&none, OverlayRule::Subject, FillRule::EvenOdd);
    let style = OutlineStyle::new(0.5 * kerf_mm).line_join(LineJoin::Round(ROUND_STEP));
    let grown: Vec<Vec<Vec<Point>>> = shapes.outline_as::<i64>(&style);
    for shape in &grown {
        // Holes first: a piece must lie fast until all in it is cut.
        for contour in shape.iter().rev() {
            drawing.push(Path::polygon(contour, Some(Stroke::cut()), None));
        }
    }
    let bounds = drawing.bounds().union(&part.bounds);
    Part { drawing, bounds, ..part.clone() }
}

/// The closed and the open runs of a path, flattened.
fn split(path: &Path) -> (Vec<Vec<Point>>, Vec<Vec<Point>>) {
    let (mut closed, mut open) = (Vec::new(), Vec::new());
    let mut run: Vec<Point> = Vec::new();
    let mut finish = |run: &mut Vec<Point>, ends: bool| {
        let points = std::mem::take(run);
        // A run that comes back to its first point is closed, whether or not it says so.
        let meets = points.len() > 3 && points.first() == points.last();
        if ends || meets {
            closed.push(points);
        } else if points.len() > 1 {
            open.push(points);
        }
    };
    for segment in &path.segments {
        match *segment {
            Segment::Move(p) => {
                finish(&mut run, false);
                run.push(p);
            }
            Segment::Line(p) => run.push(p),
            Segment::Cubic(a, b, p) => {
                let from = run.last().copied().unwrap_or(a);
                flatten([from, a, b, p], &mut run);
            }
            Segment::Close => finish(&mut run, true),
        }
    }
    finish(&mut run, false);
    (closed, open)
}

/// Points on a cubic after its first, in equal steps of the parameter: the error of a chord is at most h²/8 of the greatest second
/// derivative, which is 6 times the greatest second difference of the control points.
fn flatten([p, a, b, q]: [Point; 4], out: &mut Vec<Point>) {
    let bend = |u: Point, v: Point, w: Point| (u[0] - 2.0 * v[0] + w[0]).hypot(u[1] - 2.0 * v[1] + w[1]);
    let greatest = 6.0 * bend(p, a, b).max(bend(a, b, q));
    let steps = (greatest / (8.0 * CHORD)).sqrt().ceil().clamp(1.0, 2000.0) as usize;
    out.extend((1..steps).map(|k| {
        let t = k as f64 / steps as f64;
        let s = 1.0 - t;
        let weights = [s * s * s, 3.0 * s * s * t, 3.0 * s * t * t, t * t * t];
        [0, 1].map(|i| weights[0] * p[i] + weights[1] * a[i] + weights[2] * b[i] + weights[3] * q[i])
    }));
    out.push(q);
}
