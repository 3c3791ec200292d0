//! Handles of an outline, in the places of the view that it is drawn in, and what dragging one changes.

use crate::on_shell::item::OpeningGrip;
use project::opening::{Opening, Outline, OutlinePoint};
use project::promise::MIN_SIZE;
use std::f64::consts::FRAC_1_SQRT_2;

/// The handles of an opening: what each changes, and its place.
pub(super) fn handles(opening: &Opening) -> Vec<(OpeningGrip, [f64; 2])> {
    let mut found = vec![(OpeningGrip::Whole, middle(&opening.outline))];
    found.extend(sizes(&opening.outline));
    if let Outline::Drawn { points } = &opening.outline {
        found.extend(points.iter().enumerate().map(|(index, p)| (OpeningGrip::Point(index), p.at)));
    }
    if let Some(inner) = opening.duct.as_ref().and_then(|duct| duct.inner.as_ref()) {
        found.push((OpeningGrip::Inner, middle(inner)));
        found.extend(sizes(inner).into_iter().filter_map(|(grip, at)| Some((inner_grip(grip)?, at))));
    }
    found
}

/// The handle of the inner outline that does the same.
fn inner_grip(grip: OpeningGrip) -> Option<OpeningGrip> {
    match grip {
        OpeningGrip::Width => Some(OpeningGrip::InnerWidth),
        OpeningGrip::Height => Some(OpeningGrip::InnerHeight),
        _ => None,
    }
}

/// The opening with a handle brought to a place.
pub(super) fn moved(opening: &Opening, grip: OpeningGrip, to: [f64; 2]) -> Option<Opening> {
    let mut next = opening.clone();
    let inner = next.duct.as_mut().and_then(|duct| duct.inner.as_mut());
    match grip {
        OpeningGrip::Inner => place(inner?, to),
        OpeningGrip::InnerWidth => size(inner?, 0, to)?,
        OpeningGrip::InnerHeight => size(inner?, 1, to)?,
        OpeningGrip::Whole => place(&mut next.outline, to),
        OpeningGrip::Width => size(&mut next.outline, 0, to)?,
        OpeningGrip::Height => size(&mut next.outline, 1, to)?,
        OpeningGrip::Turn => turn(&mut next.outline, to)?,
        OpeningGrip::Radius => round(&mut next.outline, to)?,
        OpeningGrip::Point(index) => {
            let Outline::Drawn { points } = &mut next.outline else { return None };
            points.get_mut(index)?.at = to;
        }
    }
    Some(next)
}

/// The middle of an outline; of a drawn one the middle between its outermost points.
pub(crate) fn middle(outline: &Outline) -> [f64; 2] {
    match outline {
        Outline::Ellipse { centre, .. } | Outline::Box { centre, .. } => *centre,
        Outline::Drawn { points } => [0, 1].map(|axis| {
            let [low, high] = ends(points, axis);
            f64::midpoint(low, high)
        }),
    }
}

/// How far it reaches along both places of the view, before it is turned.
pub(crate) fn bounds(outline: &Outline) -> [f64; 2] {
    match outline {
        Outline::Ellipse { size, .. } | Outline::Box { size, .. } => *size,
        Outline::Drawn { points } => [0, 1].map(|axis| {
            let [low, high] = ends(points, axis);
            (high - low).max(MIN_SIZE)
        }),
    }
}

fn ends(points: &[OutlinePoint], axis: usize) -> [f64; 2] {
    let places = points.iter().map(|p| p.at[axis]);
    places.fold([f64::INFINITY, f64::NEG_INFINITY], |[low, high], v| [low.min(v), high.max(v)])
}

/// The same outline so many times as large, about its middle.
pub(crate) fn scaled(outline: &Outline, times: f64) -> Outline {
    let about = middle(outline);
    match outline.clone() {
        Outline::Ellipse { centre, size, turn_deg } => {
            Outline::Ellipse { centre, size: size.map(|s| s * times), turn_deg }
        }
        Outline::Box { centre, size, radius, turn_deg } => {
            Outline::Box { centre, size: size.map(|s| s * times), radius: radius * times, turn_deg }
        }
        Outline::Drawn { mut points } => {
            for p in &mut points {
                p.at = [0, 1].map(|axis| about[axis] + times * (p.at[axis] - about[axis]));
            }
            Outline::Drawn { points }
        }
    }
}

fn sizes(outline: &Outline) -> Vec<(OpeningGrip, [f64; 2])> {
    let (centre, size, turn_deg) = match outline {
        Outline::Ellipse { centre, size, turn_deg } | Outline::Box { centre, size, turn_deg, .. } => {
            (*centre, *size, *turn_deg)
        }
        Outline::Drawn { .. } => return Vec::new(),
    };
    let half = size.map(|s| 0.5 * s);
    let at = |own| placed(centre, turn_deg, own);
    let mut found = vec![
        (OpeningGrip::Width, at([half[0], 0.0])),
        (OpeningGrip::Height, at([0.0, half[1]])),
        (OpeningGrip::Turn, at([-half[0], 0.0])),
    ];
    if let Outline::Box { radius, .. } = outline {
        // The middle of the corner's arc.
        let inward = radius * (1.0 - FRAC_1_SQRT_2);
        found.push((OpeningGrip::Radius, at([half[0] - inward, half[1] - inward])));
    }
    found
}

/// A place of the outline's own axes in the view.
fn placed(centre: [f64; 2], turn_deg: f64, [a, b]: [f64; 2]) -> [f64; 2] {
    let (sin, cos) = turn_deg.to_radians().sin_cos();
    [centre[0] + a * cos - b * sin, centre[1] + a * sin + b * cos]
}

/// A place of the view in the outline's own axes.
fn own(centre: [f64; 2], turn_deg: f64, at: [f64; 2]) -> [f64; 2] {
    placed([0.0; 2], -turn_deg, [at[0] - centre[0], at[1] - centre[1]])
}

/// Moves the whole so that its middle lies at a place.
pub(crate) fn place(outline: &mut Outline, to: [f64; 2]) {
    let from = middle(outline);
    match outline {
        Outline::Ellipse { centre, .. } | Outline::Box { centre, .. } => *centre = to,
        Outline::Drawn { points } => {
            for p in points {
                p.at = [p.at[0] + to[0] - from[0], p.at[1] + to[1] - from[1]];
            }
        }
    }
}

/// Sets the size along one of its axes, about its middle; corners stay within it.
fn size(outline: &mut Outline, axis: usize, to: [f64; 2]) -> Option<()> {
    let least = |at: [f64; 2]| (2.0 * at[axis].abs()).max(MIN_SIZE);
    match outline {
        Outline::Ellipse { centre, size, turn_deg } => size[axis] = least(own(*centre, *turn_deg, to)),
        Outline::Box { centre, size, radius, turn_deg } => {
            size[axis] = least(own(*centre, *turn_deg, to));
            *radius = radius.min(0.5 * size[0].min(size[1]));
        }
        Outline::Drawn { .. } => return None,
    }
    Some(())
}

/// Turns it about its middle, so that the end across from its width's handle points at a place.
fn turn(outline: &mut Outline, to: [f64; 2]) -> Option<()> {
    match outline {
        Outline::Ellipse { centre, turn_deg, .. } | Outline::Box { centre, turn_deg, .. } => {
            let way = [centre[0] - to[0], centre[1] - to[1]];
            if way[0].hypot(way[1]) < MIN_SIZE {
                return None;
            }
            *turn_deg = way[1].atan2(way[0]).to_degrees();
        }
        Outline::Drawn { .. } => return None,
    }
    Some(())
}

/// Rounds the corners of a box until the middle of one's arc comes as near to a place as its diagonal passes it.
fn round(outline: &mut Outline, to: [f64; 2]) -> Option<()> {
    let Outline::Box { centre, size, radius, turn_deg } = outline else { return None };
    let [a, b] = own(*centre, *turn_deg, to);
    let inward = 0.5 * (0.5 * size[0] - a + 0.5 * size[1] - b);
    *radius = (inward / (1.0 - FRAC_1_SQRT_2)).clamp(0.0, 0.5 * size[0].min(size[1]));
    Some(())
}

/// A point put into a drawn outline where it was clicked, between the two whose chord passes it nearest; its index.
pub(super) fn with_point(opening: &Opening, at: [f64; 2]) -> Option<(Opening, usize)> {
    let mut next = opening.clone();
    let Outline::Drawn { points } = &mut next.outline else { return None };
    let ends = points.iter().zip(points.iter().cycle().skip(1));
    let distance = ends.map(|(a, b)| geometry::flatten::distance_to_chord(at, a.at, b.at)).enumerate();
    let (before, _) = distance.min_by(|a, b| a.1.total_cmp(&b.1))?;
    points.insert(before + 1, OutlinePoint { at, corner: false });
    Some((next, before + 1))
}

#[cfg(test)]
mod tests {
    use super::*;
    use project::opening::{Duct, Purpose, Seen};

    fn opening(outline: Outline) -> Opening {
        let inner = Some(Outline::Ellipse { centre: [22.0, 3.0], size: [14.0, 9.0], turn_deg: -20.0 });
        let duct = Some(Duct { depth: 30.0, lip_radius: 2.0, wall: 1.0, inner });
        Opening { name: "Intake".into(), purpose: Purpose::Intake, seen: Seen::Ahead, mirrored: true, outline, duct }
    }

    fn outlines() -> [Outline; 3] {
        let point = |at, corner| OutlinePoint { at, corner };
        [
            Outline::Ellipse { centre: [20.0, 5.0], size: [30.0, 18.0], turn_deg: 25.0 },
            Outline::Box { centre: [20.0, 5.0], size: [30.0, 18.0], radius: 4.0, turn_deg: -70.0 },
            Outline::Drawn {
                points: vec![point([0.0, 0.0], true), point([30.0, 2.0], false), point([12.0, 20.0], false)],
            },
        ]
    }

    /// Every handle dragged to where it is changes nothing, and dragged on it comes under the pointer, at least along one way.
    #[test]
    fn every_handle_stays_under_the_pointer() {
        for outline in outlines() {
            let before = opening(outline);
            for (grip, at) in handles(&before) {
                let place = |to| {
                    let after = moved(&before, grip, to).unwrap_or_else(|| panic!("{grip:?}"));
                    handles(&after).into_iter().find(|h| h.0 == grip).expect("it stays").1
                };
                let apart = |a: [f64; 2], b: [f64; 2]| (a[0] - b[0]).hypot(a[1] - b[1]);
                assert!(apart(place(at), at) < 1e-9, "{grip:?}");
                let follows = (0..16).any(|way| {
                    let (sin, cos) = (f64::from(way) * std::f64::consts::PI / 8.0 + 0.1).sin_cos();
                    let to = place([at[0] + cos, at[1] + sin]);
                    ((to[0] - at[0]) * cos + (to[1] - at[1]) * sin - 1.0).abs() < 0.12
                });
                assert!(follows, "{grip:?} of {:?}", before.outline);
            }
        }
    }

    #[test]
    fn a_box_made_narrow_keeps_its_corners_within_it() {
        let [_, slot, _] = outlines();
        let narrow = moved(&opening(slot), OpeningGrip::Width, [21.0, 5.0]).expect("a box");
        let Outline::Box { size, radius, .. } = narrow.outline else { panic!("still a box") };
        assert!(radius <= 0.5 * size[0].min(size[1]));
        assert_eq!(
            project::promise::check_opening(
                &moved(&narrow_of(size, radius), OpeningGrip::Radius, [0.0, 0.0]).expect("a box")
            ),
            Ok(())
        );
    }

    fn narrow_of(size: [f64; 2], radius: f64) -> Opening {
        opening(Outline::Box { centre: [0.0, 0.0], size, radius, turn_deg: 0.0 })
    }

    #[test]
    fn a_point_goes_between_the_two_it_was_clicked_between() {
        let [.., drawn] = outlines();
        let (with, index) = with_point(&opening(drawn.clone()), [6.0, 11.0]).expect("drawn");
        assert_eq!(index, 3, "between the last and the first");
        let Outline::Drawn { points } = &with.outline else { panic!("drawn") };
        assert_eq!((points.len(), points[3].at), (4, [6.0, 11.0]));
        let (with, index) = with_point(&opening(drawn), [15.0, 0.0]).expect("drawn");
        assert_eq!(index, 1);
        assert_eq!(project::promise::check_opening(&with), Ok(()));
        let [ellipse, ..] = outlines();
        assert!(with_point(&opening(ellipse), [0.0, 0.0]).is_none());
    }
}
