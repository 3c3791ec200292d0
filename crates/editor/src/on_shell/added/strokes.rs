//! Lines and handles of added forms on the floor of the first one, and of the first one on theirs.

use super::lies::{Curve, Lies};
use super::{selected, turning};
use crate::floor::airframe::{Pen, SpaceLine, behind, seen};
use crate::floor::layout::View;
use crate::floor::scene::{Handle, HandleShape, Stroke, StrokeKind};
use crate::on_shell::item::AddedGrip;
use form::meeting::{Placed, Plane, cut_by_plane, mirrored};
use project::document::{Form, LineName};
use project::mount::Mount;

/// How near drawn lines keep to the curves, mm.
const DRAWN: f64 = 0.05;
/// The views, in the order of the outlines.
const VIEWS: [View; 3] = [View::Side, View::Plan, View::Face];

/// Outlines and meeting lines of all added forms, and weaker those of mirror images.
pub(super) fn on_the_first(lies: &Lies) -> Vec<Stroke> {
    let mut strokes = Vec::new();
    for (form, one) in lies.all() {
        let met = meeting_lines(lies, form);
        for (view, outlines) in VIEWS.into_iter().zip(&one.outlines) {
            let target = Some(selected(form, AddedGrip::Place, view));
            let mut stroke = |kind, points: &mut dyn Iterator<Item = [f64; 3]>| {
                let points = points.map(|p| seen(view, p)).collect();
                strokes.push(Stroke { view, kind, target, points });
            };
            for line in outlines {
                stroke(StrokeKind::Shell, &mut line.iter().copied());
            }
            for line in &met {
                stroke(StrokeKind::Meeting, &mut line.iter().copied());
            }
            // The side view shows both in one place.
            if one.mount.mirrored && view != View::Side {
                for line in outlines.iter().chain(&met) {
                    stroke(StrokeKind::ShellFaint, &mut line.iter().map(|p| mirrored(*p)));
                }
            }
        }
    }
    strokes
}

fn meeting_lines(lies: &Lies, form: usize) -> Vec<Curve> {
    lies.meeting(form).iter().flat_map(|meeting| &meeting.lines).map(form::meeting::MeetingLine::points).collect()
}

/// The first form in the axes of an added one that is shown: its outlines, its section in the plane of the one that is shown
/// strongly, and the meeting line.
pub(super) fn ghost(lies: &Lies, form: usize, station: Option<f64>) -> Vec<Stroke> {
    let Some(one) = lies.one(form) else { return Vec::new() };
    let placed = Placed::new(&one.mount);
    let mut strokes = Vec::new();
    let mut stroke = |view, kind, line: &[[f64; 3]]| {
        let points = line.iter().map(|p| seen(view, *p)).collect();
        strokes.push(Stroke { view, kind, target: None, points });
    };
    for (k, view) in VIEWS.into_iter().enumerate() {
        let ground = lies.met(form).and_then(|met| met.ground.get(k));
        ground.into_iter().flatten().for_each(|line| stroke(view, StrokeKind::Ghost, line));
        for line in meeting_lines(lies, form) {
            let own: Vec<[f64; 3]> = line.iter().map(|p| placed.to_own(*p)).collect();
            stroke(view, StrokeKind::Meeting, &own);
        }
    }
    if let Some((first, x)) = lies.first().zip(station) {
        let plane = Plane { at: placed.to_first([x, 0.0, 0.0]), normal: placed.way_to_first([1.0, 0.0, 0.0]) };
        for line in cut_by_plane(first, &plane, 0.0, None, DRAWN) {
            let own: Vec<[f64; 3]> = line.iter().map(|p| placed.to_own(*p)).collect();
            stroke(View::Face, StrokeKind::GhostSection, &own);
        }
    }
    strokes
}

/// What the shaded view shows besides surfaces: meeting lines, in the axes of the form that is shown.
pub(super) fn in_space(lies: &Lies, shown: usize) -> Vec<SpaceLine> {
    let mut lines = Vec::new();
    for (form, one) in lies.all().filter(|(form, _)| shown == 0 || *form == shown) {
        let placed = Placed::new(&one.mount);
        let mut line = |points| lines.push(SpaceLine { pen: Pen::Whole, points });
        for points in meeting_lines(lies, form) {
            if form == shown {
                line(points.iter().map(|p| placed.to_own(*p)).collect());
                continue;
            }
            if one.mount.mirrored {
                line(points.iter().map(|p| mirrored(*p)).collect());
            }
            line(points);
        }
        if form != shown {
            lines.extend(one.sections.iter().map(|s| SpaceLine { pen: Pen::Dashed, points: s.clone() }));
        }
    }
    lines
}

/// The handles of one: its place, and once it is selected which way it lies.
pub(super) fn handles(form: usize, f: &Form, mount: &Mount, chosen: bool) -> Vec<Handle> {
    let placed = Placed::new(mount);
    let crown = f.lines.get(LineName::Crown);
    let length = crown.points.last().map_or(50.0, |p| p.x);
    let height = crown.points.iter().map(|p| p.value.abs()).fold(20.0, f64::max);
    let mut handles = Vec::new();
    for view in VIEWS {
        let mut handle = |grip, at, shape, word: &str| {
            let label = format!("{}{word}, {}", f.name, behind(view));
            let target = selected(form, grip, view);
            handles.push(Handle { view, at: seen(view, at), shape, target, label, locked: false });
        };
        handle(AddedGrip::Place, mount.place, HandleShape::Mark, "");
        if chosen {
            let end = placed.to_first(turning::way_end(view, length, height));
            handle(AddedGrip::Way, end, HandleShape::Shoulder, ", way");
        }
    }
    handles
}
