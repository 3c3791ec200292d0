//! What stands behind an intake, as the flow sees it: spinner and keep-outs on a cross plane.

use fit::solid::Placed;
use form::openings::Hole;
use form::shaft::shaft;
use form::space::{Vector, triad};
use i_overlay::core::fill_rule::FillRule;
use i_overlay::core::overlay_rule::OverlayRule;
use i_overlay::float::single::SingleFloatOverlay;
use project::document::Document;
use project::opening::Seen;
use std::f64::consts::TAU;

/// Something that takes from an intake.
#[derive(Clone, Debug, PartialEq)]
pub struct Blocked {
    /// What it is.
    pub name: String,
    /// The area that is seen of it through the hole along the flow, mm².
    pub area: f64,
}

/// The shadow of something on a cross plane.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Obstacle {
    pub(super) name: String,
    /// Its outline (y, z).
    pub(super) shadow: Vec<[f64; 2]>,
}

/// Places round a circle: its polygon lacks 1e-5 of its area.
const ROUND: u32 = 1024;
/// Chord error of an intake's outline, mm.
const FINE: f64 = 1e-3;

/// The spinner's disc and all keep-outs that have a place.
pub(super) fn obstacles(document: &Document) -> Vec<Obstacle> {
    let airframe = &document.airframe;
    let shaft = airframe.thrust.as_ref().map(shaft);
    let mut out = Vec::new();
    if let Some((line, shaft)) = airframe.thrust.as_ref().zip(shaft.as_ref()).filter(|(l, _)| l.spinner.diameter > 0.0)
    {
        let [_, level, up] = triad(shaft.ahead);
        let r = 0.5 * line.spinner.diameter;
        let place = |i: u32| {
            let (sin, cos) = (TAU * f64::from(i) / f64::from(ROUND)).sin_cos();
            [1, 2].map(|k| shaft.hub[k] + r * (cos * level[k] + sin * up[k]))
        };
        let shadow = hull((0..ROUND).map(place).collect());
        out.push(Obstacle { name: "Spinner".to_owned(), shadow });
    }
    for keep_out in &airframe.keep_outs {
        let Ok(solid) = Placed::of(keep_out, shaft.as_ref()) else { continue };
        let edge = |along: f64| (0..ROUND).map(move |i| (f64::from(i) / f64::from(ROUND), along));
        let places = edge(1.0).chain(edge(2.0)).map(|(round, along)| {
            let p = solid.surface(round, along);
            [p[1], p[2]]
        });
        out.push(Obstacle { name: keep_out.name.clone(), shadow: hull(places.collect()) });
    }
    out
}

/// The outline (y, z) through which the flow comes into a hole of the first form; nothing where its edge is not one closed line.
pub(super) fn face(hole: &Hole) -> Vec<[f64; 2]> {
    match hole.seen {
        // From ahead the outline itself is what the flow sees.
        Seen::Ahead if hole.whole().is_some() => hole.curve.points(FINE),
        _ => face_in_space(hole, |p| p),
    }
}

/// The same of a hole that stands elsewhere: `at` tells where its places are.
pub(super) fn face_in_space(hole: &Hole, at: impl Fn(Vector) -> Vector) -> Vec<[f64; 2]> {
    let places = hole.whole().into_iter().flat_map(|run| &run.places);
    places.map(|p| at(p.place.point)).map(|p| [p[1], p[2]]).collect()
}

/// What is seen of each obstacle through a face, and of all of them together.
pub(super) fn behind(face: &[[f64; 2]], obstacles: &[Obstacle]) -> (Vec<Blocked>, f64) {
    if face.is_empty() {
        return (Vec::new(), 0.0);
    }
    let seen = |shadows: &[Vec<[f64; 2]>]| {
        let shadows: Vec<Vec<[f64; 2]>> = shadows.to_vec();
        let shapes = face.to_vec().overlay(&shadows, OverlayRule::Intersect, FillRule::NonZero);
        shapes.iter().flatten().map(|ring| area(ring)).sum::<f64>().abs()
    };
    let one = |o: &Obstacle| Blocked { name: o.name.clone(), area: seen(std::slice::from_ref(&o.shadow)) };
    let blocked: Vec<Blocked> = obstacles.iter().map(one).filter(|b| b.area > 1e-3).collect();
    let shadows: Vec<Vec<[f64; 2]>> = obstacles.iter().map(|o| o.shadow.clone()).collect();
    let together = if blocked.is_empty() { 0.0 } else { seen(&shadows) };
    (blocked, together)
}

/// Signed area of a polygon.
fn area(ring: &[[f64; 2]]) -> f64 {
    ring.iter().zip(ring.iter().cycle().skip(1)).map(|(a, b)| 0.5 * (a[0] * b[1] - a[1] * b[0])).sum()
}

/// The convex hull of some places, round positively (A. Andrew, Inf. Proc. Letters 9, 1979).
fn hull(mut points: Vec<[f64; 2]>) -> Vec<[f64; 2]> {
    points.sort_by(|a, b| a[0].total_cmp(&b[0]).then(a[1].total_cmp(&b[1])));
    points.dedup();
    let half = |points: &mut dyn Iterator<Item = [f64; 2]>| {
        let mut out: Vec<[f64; 2]> = Vec::new();
        for p in points {
            while let [.., a, b] = out[..] {
                if (b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0]) > 0.0 {
                    break;
                }
                out.pop();
            }
            out.push(p);
        }
        out.pop();
        out
    };
    let mut lower = half(&mut points.iter().copied());
    lower.extend(half(&mut points.iter().rev().copied()));
    lower
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_hull_of_a_box_with_places_inside_is_the_box() {
        let box_and_more = vec![[0.0, 0.0], [4.0, 0.0], [2.0, 1.0], [4.0, 3.0], [2.0, 0.0], [0.0, 3.0], [1.0, 2.0]];
        let hull = hull(box_and_more);
        assert_eq!(hull.len(), 4);
        assert!((area(&hull) - 12.0).abs() < 1e-12);
    }
}
