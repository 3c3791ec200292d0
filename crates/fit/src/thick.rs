//! A shell thicker than the radius it has to follow: its inside folds back on itself.

use crate::outline::apart;
use form::{Finding, Part, Severity};
use geometry::loft::Loft;
use project::document::Form;

/// Chord error of the outlines whose radii are measured, mm: so close that three neighbouring points are one arc.
const FINE: f64 = 0.002;
/// Chord error of the outlines that are moved inward, mm.
const COARSE: f64 = 0.05;

/// Where a thickness finds no room at a station.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TooThick {
    /// Station, mm.
    pub station: f64,
    /// Half-breadth and height of the place on the skin.
    pub at: [f64; 2],
    /// The radius there in the plane of the section, mm. Where it is larger than the thickness, the body bends too sharply
    /// along its length.
    pub radius: f64,
}

/// The place of a section at which a thickness (mm, along the normal) is larger than the local radius, if there is one: the
/// tightest convex bend of the section that is no knuckle, else a place at which the section moved inward folds back.
pub fn too_thick(loft: &Loft, station: f64, thickness: f64) -> Option<TooThick> {
    let section = loft.section(station)?;
    let knuckles: Vec<[f64; 2]> = section.knuckles().into_iter().map(|(_, p)| p).collect();
    let outline = section.polyline(FINE);
    let smooth = |w: &&[[f64; 2]]| knuckles.iter().all(|k| apart(*k, w[1]) > 1e-6);
    let bends = outline.windows(3).filter(smooth).filter_map(|w| Some((convex_radius(w[0], w[1], w[2])?, w[1])));
    let tightest = bends.min_by(|a, b| a.0.total_cmp(&b.0));
    if let Some((radius, at)) = tightest.filter(|(radius, _)| *radius < thickness) {
        return Some(TooThick { station, at, radius });
    }
    let at = loft.offset_section(station, thickness, COARSE).folded.first().copied()?;
    Some(TooThick { station, at, radius: tightest.map_or(f64::INFINITY, |t| t.0) })
}

/// Radius of the circle through three points of an outline, where it turns inward on its way from crown to keel.
fn convex_radius(a: [f64; 2], b: [f64; 2], c: [f64; 2]) -> Option<f64> {
    let cross = (b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0]);
    (cross < 0.0).then(|| apart(a, b) * apart(b, c) * apart(a, c) / (-2.0 * cross))
}

/// What is found at stations and control sections, as one finding at the tightest place.
pub fn finding(form: &Form, loft: &Loft, thickness: f64) -> Option<Finding> {
    if thickness <= 0.0 {
        return None;
    }
    let controls = form.sections.iter().enumerate().map(|(i, s)| (Part::Section(i), s.station));
    let stations = form.stations.iter().enumerate().map(|(i, x)| (Part::Station(i), *x));
    let (low, high) = loft.x_range();
    let places = controls.chain(stations).filter(|(_, x)| *x >= low && *x <= high);
    let found = places.filter_map(|(part, x)| Some((part, too_thick(loft, x, thickness)?)));
    let (part, tightest) = found.min_by(|a, b| a.1.radius.total_cmp(&b.1.radius))?;
    let bend = if tightest.radius < thickness {
        format!("bends here by a radius of {:.2} mm", tightest.radius)
    } else {
        "bends too sharply along its length here".to_owned()
    };
    let what = format!("The shell is {thickness:.2} mm thick, but {bend}.");
    let hint = "Make the corner rounder, make it a knuckle, or plan a thinner laminate.";
    let finding = Finding::new(Severity::Warning, part, what, hint).at_station(tightest.station).at_point(tightest.at);
    Some(finding.with(thickness, tightest.radius.min(thickness), "mm"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::{cylinder, lofted};
    use project::document::{ArcKind, SectionShape};
    use std::sync::Arc;

    fn boxy(rho: f64) -> Form {
        let mut form = cylinder(50.0, 200.0);
        for section in &mut form.sections {
            let SectionShape::Shaped(unit) = &mut Arc::make_mut(section).shape else { continue };
            unit.arcs = vec![ArcKind::Conic { rho }; 2];
        }
        form
    }

    /// The conic's own curvature at its shoulder, in closed form, where it is tightest.
    #[test]
    fn the_radius_is_that_of_the_shoulder() {
        let form = boxy(0.9);
        let lofted = lofted(&form);
        let loft = lofted.skin.as_ref().unwrap().loft();
        let arc = geometry::conic::ConicArc::new([0.0, 50.0], [50.0, 50.0], [50.0, 0.0], 0.9);
        let jet = arc.jet(0.5);
        let radius = 1.0 / geometry::spline::curvature2(jet.d1, jet.d2).abs();
        let told = too_thick(loft, 100.0, 4.0).unwrap();
        assert!((told.radius - radius).abs() < 0.01 * radius, "{told:?} against {radius}");
        assert!((told.at[0] - 47.5).abs() < 0.1 && (told.at[1] - 47.5).abs() < 0.1, "{told:?}");
        assert!(too_thick(loft, 100.0, 1.02 * radius).is_some());
        assert_eq!(too_thick(loft, 100.0, 0.98 * radius), None);
    }

    #[test]
    fn a_circle_has_room_and_a_tight_shoulder_is_told() {
        let round = cylinder(50.0, 200.0);
        assert_eq!(finding(&round, lofted(&round).skin.as_ref().unwrap().loft(), 3.0), None);
        let boxy = boxy(0.9);
        let skin = lofted(&boxy).skin.unwrap();
        assert_eq!(finding(&boxy, skin.loft(), 0.0), None);
        let told = finding(&boxy, skin.loft(), 4.0).unwrap();
        assert_eq!(told.place.part, Part::Section(0));
    }
}
