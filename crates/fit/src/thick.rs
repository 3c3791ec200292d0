//! A shell thicker than the radius it has to follow: its inside folds back on itself.
//!
//! Looked at are the sections at all stations and control sections, and the crown, keel and breadth lines along the body.
//! Knuckles, ridges and corners do not count: an inset trims them to a sharp edge.

use crate::outline::apart;
use form::{Finding, Lofted, Part, Severity};
use geometry::loft::Loft;
use project::document::{Form, LineName};

/// Chord error of the outlines whose radii are measured, mm: so close that three neighbouring points are one arc.
const FINE: f64 = 0.005;
/// A section smaller than this, mm, is a point, which bends no shell: there the shell ends.
const POINT: f64 = 1e-6;
/// Teeth of the comb in every bay of a line.
const TEETH: usize = 24;

/// The tightest convex bend of something.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bend {
    /// Its radius, mm.
    pub radius: f64,
    /// Where: station, and half-breadth and height where it lies on a section.
    pub station: f64,
    /// Half-breadth and height, on a section.
    pub at: Option<[f64; 2]>,
}

/// The tightest convex bend of a section that is no knuckle; `None` where it has none, or beyond the form.
pub fn tightest_of_section(loft: &Loft, station: f64) -> Option<Bend> {
    let section = loft.section(station).filter(|s| s.breadth() > POINT || s.crown() - s.keel() > POINT)?;
    let knuckles: Vec<[f64; 2]> = section.knuckles().into_iter().map(|(_, p)| p).collect();
    let outline = section.outline(&loft.weave(FINE));
    let smooth = |w: &&[[f64; 2]]| knuckles.iter().all(|k| apart(*k, w[1]) > 1e-6);
    let bends = outline.windows(3).filter(smooth).filter_map(|w| Some((convex_radius(w[0], w[1], w[2])?, w[1])));
    let (radius, at) = bends.min_by(|a, b| a.0.total_cmp(&b.0))?;
    Some(Bend { radius, station, at: Some(at) })
}

/// The tightest convex bend of a master line along the body; the breadth height bends nothing by itself.
pub fn tightest_of_line(lofted: &Lofted, name: LineName) -> Option<Bend> {
    let convex = match name {
        LineName::Crown | LineName::Breadth => -1.0,
        LineName::Keel => 1.0,
        LineName::BreadthHeight => return None,
    };
    let teeth = lofted.line(name)?.comb(TEETH);
    let sharpest = teeth.iter().max_by(|a, b| (convex * a.curvature).total_cmp(&(convex * b.curvature)))?;
    let curvature = convex * sharpest.curvature;
    (curvature > 0.0).then(|| Bend { radius: 1.0 / curvature, station: sharpest.at[0], at: None })
}

/// Radius of the circle through three points of an outline, where it turns inward on its way from crown to keel.
fn convex_radius(a: [f64; 2], b: [f64; 2], c: [f64; 2]) -> Option<f64> {
    let cross = (b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0]);
    (cross < 0.0).then(|| apart(a, b) * apart(b, c) * apart(a, c) / (-2.0 * cross))
}

/// The tightest of all bends whose radius is less than the thickness, as one finding.
pub fn finding(form: &Form, lofted: &Lofted, thickness: f64) -> Option<Finding> {
    let loft = lofted.skin.as_ref()?.loft();
    let controls = form.sections.iter().enumerate().map(|(i, s)| (Part::Section(i), s.station));
    let stations = form.stations.iter().enumerate().map(|(i, x)| (Part::Station(i), *x));
    let sections = controls.chain(stations).filter_map(|(part, x)| Some((part, tightest_of_section(loft, x)?)));
    let lines = LineName::ALL.into_iter().filter_map(|name| Some((Part::Line(name), tightest_of_line(lofted, name)?)));
    let tight = sections.chain(lines).filter(|(_, bend)| bend.radius < thickness);
    let (part, bend) = tight.min_by(|a, b| a.1.radius.total_cmp(&b.1.radius))?;
    let what = format!("The shell is {thickness:.2} mm thick, but bends here by a radius of {:.2} mm.", bend.radius);
    let hint = "Make the bend rounder, make it a knuckle or a corner, or plan a thinner laminate.";
    let finding = Finding::new(Severity::Warning, part, what, hint).at_station(bend.station);
    let finding = bend.at.map_or(finding.clone(), |at| finding.at_point(at));
    Some(finding.with(thickness, bend.radius, "mm"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::{cylinder, free, lofted};
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

    /// The conic's own curvature at its shoulder, in closed form, where it is tightest; and what an inset says of it.
    #[test]
    fn the_radius_is_that_of_the_shoulder() {
        let lofted = lofted(&boxy(0.9));
        let loft = lofted.skin.as_ref().unwrap().loft();
        let arc = geometry::conic::ConicArc::new([0.0, 50.0], [50.0, 50.0], [50.0, 0.0], 0.9);
        let jet = arc.jet(0.5);
        let radius = 1.0 / geometry::spline::curvature2(jet.d1, jet.d2).abs();
        let told = tightest_of_section(loft, 100.0).unwrap();
        assert!((told.radius - radius).abs() < 0.01 * radius, "{told:?} against {radius}");
        let at = told.at.unwrap();
        assert!((at[0] - 47.5).abs() < 0.1 && (at[1].abs() - 47.5).abs() < 0.1, "{told:?}");
        assert!(!loft.offset_section(100.0, 1.5 * radius, 0.02).folded.is_empty());
        assert!(loft.offset_section(100.0, 0.9 * radius, 0.02).folded.is_empty());
    }

    /// Closed form: an arc of radius 40 along the crown.
    #[test]
    fn a_line_bends_by_its_own_radius() {
        let mut form = cylinder(50.0, 200.0);
        let arc: Vec<[f64; 2]> = (0..=80)
            .map(|i| {
                let a = 0.025 * f64::from(i) - 1.0;
                [100.0 + 40.0 * a.sin(), 30.0 + 40.0 * a.cos()]
            })
            .collect();
        form.lines.crown = free(&arc);
        let bend = tightest_of_line(&lofted(&form), LineName::Crown).unwrap();
        assert!((bend.radius - 40.0).abs() < 0.05, "{bend:?}");
        assert_eq!(tightest_of_line(&lofted(&form), LineName::Keel), None);
        let told = finding(&form, &lofted(&form), 45.0).unwrap();
        assert_eq!(told.place.part, Part::Line(LineName::Crown));
    }

    #[test]
    fn a_circle_has_room_and_a_tight_shoulder_is_told() {
        let round = cylinder(50.0, 200.0);
        assert_eq!(finding(&round, &lofted(&round), 3.0), None);
        let boxy = boxy(0.9);
        assert_eq!(finding(&boxy, &lofted(&boxy), 0.0), None);
        let told = finding(&boxy, &lofted(&boxy), 4.0).unwrap();
        assert!(matches!(told.place.part, Part::Section(_) | Part::Station(_)) && told.place.at.is_some(), "{told:?}");
    }
}
