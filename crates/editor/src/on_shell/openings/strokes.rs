//! Lines and handles of openings: strong in the view in which they are drawn, weaker as they lie on the surface in the others.

use super::laid::{Laid, OneHole};
use super::{grips, on_view, selected, sizes, view_of};
use crate::floor::airframe::{Pen, SpaceLine, behind, seen};
use crate::floor::layout::View;
use crate::floor::scene::{Handle, HandleShape, Stroke, StrokeKind};
use crate::on_shell::item::OpeningGrip;
use crate::view::Selected;
use form::openings::{OutlineCurve, Passage, Strip, mirror_image};
use project::document::Form;
use project::opening::{Opening, Outline, Seen};

/// How near lines keep to the curves, mm.
const DRAWN: f64 = 0.02;
/// Places along the rounding of a lip.
const ARC: usize = 8;

/// The lines of all openings.
pub(super) fn of(form: &Form, laid: &Laid) -> Vec<Stroke> {
    let mut strokes = Vec::new();
    for (index, opening) in form.openings.iter().enumerate() {
        as_drawn(&mut strokes, index, opening);
        let holes = laid.one(index).and_then(|laid| laid.holes.as_ref().ok());
        for hole in holes.into_iter().flatten() {
            on_the_surface(&mut strokes, index, opening, hole);
        }
    }
    strokes
}

/// Back to where it began.
fn looped<P: Copy>(mut points: Vec<P>) -> Vec<P> {
    points.extend(points.first().copied());
    points
}

/// The outline in its own view; its mirror image there weaker, the duct's inner outline dashed.
fn as_drawn(strokes: &mut Vec<Stroke>, index: usize, opening: &Opening) {
    let view = view_of(opening.seen);
    let target = Some(selected(index, OpeningGrip::Whole, opening.seen));
    let mut stroke = |kind, from: Seen, curve: &OutlineCurve| {
        let points = looped(curve.points(DRAWN)).into_iter().map(|p| on_view(from, p)).collect();
        strokes.push(Stroke { view, kind, target, points });
    };
    let Ok(curve) = OutlineCurve::of(&opening.outline) else { return };
    stroke(StrokeKind::Shell, opening.seen, &curve);
    // From the other side the mirror image is the same in this view.
    if opening.mirrored && !matches!(opening.seen, Seen::Starboard | Seen::Port) {
        let (from, mirrored) = mirror_image(opening.seen, &curve);
        stroke(StrokeKind::ShellFaint, from, &mirrored);
    }
    let inner = opening.duct.as_ref().and_then(|duct| duct.inner.as_ref());
    if let Some(inner) = inner.and_then(|inner| OutlineCurve::of(inner).ok()) {
        stroke(StrokeKind::ShellHidden, opening.seen, &inner);
    }
}

/// The rim on the surface in the other views, and the duct behind it.
fn on_the_surface(strokes: &mut Vec<Stroke>, index: usize, opening: &Opening, laid: &OneHole) {
    let target = Some(selected(index, OpeningGrip::Whole, opening.seen));
    for view in [View::Side, View::Plan, View::Face] {
        if view == view_of(opening.seen) {
            continue;
        }
        for points in rims(laid) {
            let points = points.iter().map(|p| seen(view, *p)).collect();
            strokes.push(Stroke { view, kind: StrokeKind::ShellFaint, target, points });
        }
    }
    duct(strokes, target, opening, laid);
}

/// The duct in the views across its line of sight: its inner outline, and its wall where a plane through the middle cuts it.
fn duct(strokes: &mut Vec<Stroke>, target: Option<Selected>, opening: &Opening, laid: &OneHole) {
    let Some((passage, centre)) = laid.passage.as_ref().zip(laid.hole.centre.as_ref()) else { return };
    let ring: Vec<[f64; 3]> = passage.strips.iter().map(|strip| strip.inner).collect();
    for (view, axis) in [(View::Side, 1), (View::Plan, 2), (View::Face, 0)] {
        if view == view_of(opening.seen) {
            continue;
        }
        let walls = walls(passage, axis, centre.point[axis]);
        for line in walls.into_iter().chain([looped(ring.clone())]) {
            let points = line.into_iter().map(|p| seen(view, p)).collect();
            strokes.push(Stroke { view, kind: StrokeKind::ShellHidden, target, points });
        }
    }
}

/// The straight lines of a wall that lie in a plane square to an axis, each from the lip's rounding, or the rim, to the inner outline.
fn walls(passage: &Passage, axis: usize, value: f64) -> Vec<Vec<[f64; 3]>> {
    let strips = &passage.strips;
    let pairs = strips.iter().zip(strips.iter().cycle().skip(1));
    let side = |strip: &Strip| strip.outer.point[axis] - value;
    let crossing = pairs.filter(|(a, b)| (side(a) < 0.0) != (side(b) < 0.0));
    crossing
        .map(|(a, b)| {
            let share = side(a) / (side(a) - side(b));
            let between = |p: [f64; 3], q: [f64; 3]| [0, 1, 2].map(|k| p[k] + share * (q[k] - p[k]));
            let edge = match (a.lip, b.lip) {
                (Some(a), Some(b)) => a.arc(ARC).into_iter().zip(b.arc(ARC)).map(|(p, q)| between(p, q)).collect(),
                _ => vec![between(a.outer.point, b.outer.point)],
            };
            edge.into_iter().chain([between(a.inner, b.inner)]).collect()
        })
        .collect()
}

/// The rim in space, as far as the line of sight meets the form.
fn rims(laid: &OneHole) -> Vec<Vec<[f64; 3]>> {
    let run = |run: &form::openings::Run| {
        let points: Vec<[f64; 3]> = run.places.iter().map(|p| p.place.point).collect();
        if run.closed { looped(points) } else { points }
    };
    laid.hole.runs.iter().map(run).collect()
}

/// The rims for the shaded view.
pub(super) fn in_space(laid: &Laid) -> Vec<SpaceLine> {
    let holes = laid.all().iter().filter_map(|laid| laid.holes.as_ref().ok()).flatten();
    holes.flat_map(rims).map(|points| SpaceLine { pen: Pen::Whole, points }).collect()
}

/// The handles of one: its middle, and all others once it is selected.
pub(super) fn handles(index: usize, opening: &Opening, all: bool) -> Vec<Handle> {
    let view = view_of(opening.seen);
    let taken = if all { usize::MAX } else { 1 };
    let handle = |(grip, at): (OpeningGrip, [f64; 2])| Handle {
        view,
        at: on_view(opening.seen, at),
        shape: shape(opening, grip),
        target: selected(index, grip, opening.seen),
        label: format!("{}{}, {}", opening.name, word(opening.seen, grip), behind(view)),
        locked: false,
    };
    grips::handles(opening).into_iter().take(taken).map(handle).collect()
}

fn shape(opening: &Opening, grip: OpeningGrip) -> HandleShape {
    match (grip, &opening.outline) {
        (OpeningGrip::Whole | OpeningGrip::Inner, _) => HandleShape::Mark,
        (OpeningGrip::Turn | OpeningGrip::Radius, _) => HandleShape::Shoulder,
        (OpeningGrip::Point(point), Outline::Drawn { points }) if points.get(point).is_some_and(|p| p.corner) => {
            HandleShape::Corner
        }
        _ => HandleShape::Smooth,
    }
}

fn word(from: Seen, grip: OpeningGrip) -> String {
    let [first, second] = sizes(from).map(str::to_lowercase);
    match grip {
        OpeningGrip::Whole => String::new(),
        OpeningGrip::Width => format!(", {first}"),
        OpeningGrip::Height => format!(", {second}"),
        OpeningGrip::Radius => ", corner radius".to_owned(),
        OpeningGrip::Turn => ", turn".to_owned(),
        OpeningGrip::Point(point) => format!(", point {}", point + 1),
        OpeningGrip::Inner => ", inner outline".to_owned(),
        OpeningGrip::InnerWidth => format!(", inner {first}"),
        OpeningGrip::InnerHeight => format!(", inner {second}"),
    }
}
