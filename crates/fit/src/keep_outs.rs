//! What the shell must not touch: the least distance from a keep-out to the inside of the shell, and where.
//!
//! The inside of the shell is the finished skin moved inward by the wall. For a place inside, the distance to it is the
//! distance to the skin less the wall, so the least distance between the skin and the solid is sought on the true surface
//! (see [`crate::shell`]) and the wall taken off. Where the solid sticks out through the skin the distance is negative: how
//! far its outermost place lies beyond the inside of the shell. Tolerance 0.05 mm.

use crate::mend::Trial;
use crate::outline::Outline;
use crate::shell::{Least, Shell};
use crate::solid::{NotPlaced, Placed};
use crate::space::{Vector, add, length, sub, times, unit};
use crate::thrust::Shaft;
use form::{Finding, Lofted, Mend, Part, Severity};
use project::airframe::KeepOut;
use project::document::{Form, LineName};

/// The least distance between a solid and the inside of the shell.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Clearance {
    /// Distance, mm; negative where the solid reaches beyond the inside of the shell.
    pub distance: f64,
    /// The place on the solid.
    pub on_solid: [f64; 3],
    /// The place on the inside of the shell.
    pub on_shell: [f64; 3],
}

/// Around and along the solid's surface, for what sticks out.
const AROUND: usize = 48;
const ALONG: usize = 18;
/// Of these outermost places the true distance is sought.
const OUTERMOST: usize = 8;

/// The least distance between a solid and the inside of the shell; `None` where nothing is left of the shell.
pub fn clearance(solid: &Placed, shell: &Shell<'_>) -> Option<Clearance> {
    let out = sticking_out(solid, shell);
    if out.is_some() {
        return out;
    }
    let least = shell.least(&|p| solid.distance(p).distance)?;
    let on_solid = solid.distance(least.at).at;
    let inward = unit(sub(on_solid, least.at));
    // A solid that only just breaks the skin between two looked-at places: the way inward is then from solid to skin.
    let inward = if least.value < 0.0 { times(inward, -1.0) } else { inward };
    Some(Clearance { distance: least.value - shell.wall, on_solid, on_shell: add(least.at, times(inward, shell.wall)) })
}

/// How far a solid sticks out through the skin, if it does: its outermost place that lies beside the form.
fn sticking_out(solid: &Placed, shell: &Shell<'_>) -> Option<Clearance> {
    let mut outside: Vec<(f64, [f64; 2])> = Vec::new();
    for i in 0..AROUND {
        for j in 0..=ALONG {
            let at = [i as f64 / AROUND as f64, 3.0 * j as f64 / ALONG as f64];
            let beyond = beyond_skin(solid.surface(at[0], at[1]), shell);
            outside.extend(beyond.filter(|d| *d > 0.0).map(|d| (d, at)));
        }
    }
    outside.sort_by(|a, b| b.0.total_cmp(&a.0));
    let true_distance = |at: [f64; 2]| {
        let p = solid.surface(at[0], at[1]);
        beyond_skin(p, shell).filter(|d| *d > 0.0)?;
        nearest(p, shell).map(|l| (l.value, p, l.at))
    };
    let starts = outside.iter().take(OUTERMOST).filter_map(|(_, at)| Some((true_distance(*at)?, *at)));
    let (mut best, mut at) = starts.max_by(|a, b| a.0.0.total_cmp(&b.0.0))?;
    let mut step = 1.0 / AROUND as f64;
    while step > 1e-4 {
        let ways = [[1.0, 0.0], [-1.0, 0.0], [0.0, 3.0], [0.0, -3.0]];
        let next = ways.iter().map(|w| [at[0] + w[0] * step, (at[1] + w[1] * step).clamp(0.0, 3.0)]);
        let better = next.filter_map(|to| Some((true_distance(to)?, to))).max_by(|a, b| a.0.0.total_cmp(&b.0.0));
        match better.filter(|b| b.0.0 > best.0 + 1e-6) {
            Some((value, to)) => (best, at) = (value, to),
            None => step *= 0.5,
        }
    }
    let (beyond, on_solid, skin) = best;
    let inward = unit(sub(skin, on_solid));
    Some(Clearance { distance: -beyond - shell.wall, on_solid, on_shell: add(skin, times(inward, shell.wall)) })
}

fn nearest(p: Vector, shell: &Shell<'_>) -> Option<Least> {
    shell.least(&|q| length(sub(q, p)))
}

/// How far a place lies outside the outline at its own station, mm; `None` beyond the ends and ahead of the trim plane.
fn beyond_skin(p: Vector, shell: &Shell<'_>) -> Option<f64> {
    if shell.is_cut_off(p) {
        return None;
    }
    let outline: Outline = shell.outline(p[0])?;
    Some(outline.nearest([p[1], p[2]]).distance)
}

/// A keep-out where it stands, with its least distance to the inside of the shell.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Standing {
    /// The solid in space.
    pub solid: Placed,
    /// Its least distance; `None` where nothing is left of the shell.
    pub clearance: Option<Clearance>,
}

/// Every keep-out in its place.
pub fn standing(keep_outs: &[KeepOut], shaft: Option<&Shaft>, shell: &Shell<'_>) -> Vec<Result<Standing, NotPlaced>> {
    let one = |k: &KeepOut| Placed::of(k, shaft).map(|solid| Standing { solid, clearance: clearance(&solid, shell) });
    keep_outs.iter().map(one).collect()
}

/// What is found about a keep-out, number `i` of the airframe.
pub fn finding(i: usize, keep_out: &KeepOut, standing: &Result<Standing, NotPlaced>) -> Option<Finding> {
    let standing = match standing {
        Ok(standing) => standing,
        Err(why) => return Some(not_placed(i, keep_out, *why)),
    };
    let found = standing.clearance.filter(|c| c.distance < keep_out.clearance - 1e-6)?;
    let name = &keep_out.name;
    let (severity, what) = if found.distance < 0.0 {
        (Severity::Error, format!("{name} reaches {:.1} mm beyond the inside of the shell.", -found.distance))
    } else {
        (Severity::Warning, format!("{name} comes within {:.1} mm of the inside of the shell.", found.distance))
    };
    let lacking = keep_out.clearance - found.distance;
    let hint = format!("Move it, or move the form out by {lacking:.1} mm here.");
    let [x, y, z] = found.on_shell;
    let finding = Finding::new(severity, Part::KeepOut(i), what, hint).at_station(x).at_point([y, z]);
    Some(finding.with(found.distance, keep_out.clearance, "mm"))
}

/// No point is sought for more than this, mm: that would be another form.
const MOST_MENDED: f64 = 25.0;

/// The one point that gives a keep-out its clearance, if there is one: of the line that lies where it comes nearest. `index`
/// is the form's in the document. Nothing is offered that was not applied and measured.
pub fn mend(keep_out: &KeepOut, standing: &Standing, form: &Form, index: usize, shell: &Shell<'_>) -> Option<Mend> {
    let near = standing.clearance.filter(|c| keep_out.clearance - c.distance < MOST_MENDED)?;
    let value = |lofted: &Lofted| {
        let shell = Shell::new(lofted.skin.as_ref()?.loft(), shell.wall, shell.trim());
        clearance(&standing.solid, &shell).map(|c| c.distance)
    };
    let fits = |distance: f64| distance >= keep_out.clearance;
    // Aimed a little farther, so that what is found fits.
    let target = keep_out.clearance + 0.05;
    let mut trial = Trial::new(form, index, target, 0.1, &value, &fits)?;
    let [x, y, z] = near.on_shell;
    let middle = shell.loft().lines().breadth_height.at(x).value;
    let above = if z > middle { LineName::Crown } else { LineName::Keel };
    let lines = if y.abs() > (z - middle).abs() { [LineName::Breadth, above] } else { [above, LineName::Breadth] };
    lines.iter().find_map(|line| trial.mend(*line, x))
}

fn not_placed(i: usize, keep_out: &KeepOut, why: NotPlaced) -> Finding {
    let (what, hint) = match why {
        NotPlaced::NoThrustLine => (
            format!("{} lies on the thrust line, and there is none yet.", keep_out.name),
            "Give the thrust line, or place it freely.",
        ),
        NotPlaced::NoSize => {
            (format!("{} has no size yet.", keep_out.name), "Give it a length and a size across, both above zero.")
        }
    };
    Finding::new(Severity::Note, Part::KeepOut(i), what, hint)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::{cylinder, forms, lofted, sphere};
    use project::airframe::{KeepOutPlace, Solid};
    use project::document::Form;
    use proptest::prelude::*;

    fn clear(form: &Form, wall: f64, shape: Solid, front: [f64; 3], axis: [f64; 3]) -> Clearance {
        let lofted = lofted(form);
        let shell = Shell::new(lofted.skin.as_ref().unwrap().loft(), wall, None);
        clearance(&Placed::new(shape, front, axis), &shell).unwrap()
    }

    const AFT: [f64; 3] = [1.0, 0.0, 0.0];

    /// Closed form: radii 50 and 20, axes 8 mm apart, a wall of 1.2 mm: 50 - 1.2 - 20 - 8 = 20.8 mm.
    #[test]
    fn a_cylinder_in_a_cylinder() {
        let motor = Solid::Cylinder { diameter: 40.0, length: 60.0 };
        for (front, y, z) in
            [([40.0, 0.0, 8.0], 0.0, 1.0), ([40.0, -8.0, 0.0], -1.0, 0.0), ([40.0, 4.8, -6.4], 0.6, -0.8)]
        {
            let c = clear(&cylinder(50.0, 200.0), 1.2, motor, front, AFT);
            assert!((c.distance - 20.8).abs() < 0.01, "{c:?}");
            assert!((c.on_solid[1] - 28.0 * y).abs() < 0.3 && (c.on_solid[2] - 28.0 * z).abs() < 0.3, "{c:?}");
            assert!((c.on_shell[1].hypot(c.on_shell[2]) - 48.8).abs() < 0.01, "{c:?}");
        }
    }

    /// Closed form: a cylinder of radius 20 from x = -30 to 30 about the axis of a sphere of radius 80 has its edges
    /// 80 - √(30² + 20²) mm from it.
    #[test]
    fn a_cylinder_in_a_sphere() {
        let c = clear(&sphere(80.0), 0.8, Solid::Cylinder { diameter: 40.0, length: 60.0 }, [-30.0, 0.0, 0.0], AFT);
        let expected = 80.0 - f64::hypot(30.0, 20.0) - 0.8;
        assert!((c.distance - expected).abs() < 0.02, "{} against {expected}", c.distance);
    }

    /// Closed form: the far corner of a box in a sphere.
    #[test]
    fn a_box_in_a_sphere() {
        let shape = Solid::Box { length: 40.0, breadth: 30.0, height: 50.0 };
        let c = clear(&sphere(80.0), 1.0, shape, [5.0, 6.0, -3.0], AFT);
        let corner = [45.0, 21.0, -28.0];
        let expected = 80.0 - length(corner) - 1.0;
        assert!((c.distance - expected).abs() < 0.02, "{} against {expected}", c.distance);
        assert!(length(sub(c.on_solid, corner)) < 0.5, "{c:?}");
    }

    /// Closed form: radius 55 in radius 50 sticks out by 5 mm, and by the wall more beyond its inside.
    #[test]
    fn what_sticks_out_is_negative() {
        let c = clear(
            &cylinder(50.0, 200.0),
            1.5,
            Solid::Cylinder { diameter: 110.0, length: 60.0 },
            [40.0, 0.0, 0.0],
            AFT,
        );
        assert!((c.distance + 6.5).abs() < 0.05, "{c:?}");
        // The corner of a box, beyond a sphere.
        let shape = Solid::Box { length: 40.0, breadth: 30.0, height: 50.0 };
        let c = clear(&sphere(80.0), 1.5, shape, [25.0, 30.0, 22.0], AFT);
        let corner = length([65.0, 45.0, 47.0]);
        assert!((c.distance + (corner - 80.0) + 1.5).abs() < 0.05, "{c:?} against {corner}");
        // Wholly outside, beside the form.
        let c = clear(
            &cylinder(50.0, 200.0),
            1.5,
            Solid::Cylinder { diameter: 10.0, length: 20.0 },
            [90.0, 100.0, 0.0],
            AFT,
        );
        assert!((c.distance + 56.5).abs() < 0.05, "{c:?}");
    }

    #[test]
    fn findings_tell_near_beyond_and_without_place() {
        let lofted = lofted(&cylinder(50.0, 200.0));
        let shell = Shell::new(lofted.skin.as_ref().unwrap().loft(), 1.0, None);
        let keep_out = |diameter: f64, place: KeepOutPlace| KeepOut {
            name: "Motor".into(),
            shape: Solid::Cylinder { diameter, length: 50.0 },
            place,
            clearance: 5.0,
        };
        let free = KeepOutPlace::Free { front: [50.0, 0.0, 0.0], pitch_deg: 0.0, yaw_deg: 0.0 };
        let line = KeepOutPlace::OnThrustLine { behind_hub: 10.0 };
        let all = [
            keep_out(80.0, free),
            keep_out(92.0, free),
            keep_out(100.0, free),
            keep_out(40.0, line),
            keep_out(0.0, free),
        ];
        let standing = standing(&all, None, &shell);
        let one = |i: usize| finding(i, &all[i], &standing[i]);
        let found: Vec<Finding> = (0..all.len()).filter_map(one).collect();
        let told: Vec<(Part, Severity)> = found.iter().map(|f| (f.place.part, f.severity)).collect();
        assert_eq!(
            told,
            [
                (Part::KeepOut(1), Severity::Warning),
                (Part::KeepOut(2), Severity::Error),
                (Part::KeepOut(3), Severity::Note),
                (Part::KeepOut(4), Severity::Note),
            ]
        );
        assert!((found[0].measured.unwrap().value - 3.0).abs() < 0.01, "{:?}", found[0]);
    }

    #[test]
    fn what_is_offered_gives_the_clearance() {
        let form = crate::testing::round(&[[0.0, 50.0], [100.0, 52.0], [200.0, 50.0]]);
        let lofted = lofted(&form);
        let shell = Shell::new(lofted.skin.as_ref().unwrap().loft(), 1.0, None);
        let place = KeepOutPlace::Free { front: [70.0, 6.0, 0.0], pitch_deg: 0.0, yaw_deg: 0.0 };
        let shape = Solid::Box { length: 50.0, breadth: 84.0, height: 10.0 };
        let keep_out = KeepOut { name: "Motor".into(), shape, place, clearance: 5.0 };
        let standing = standing(std::slice::from_ref(&keep_out), None, &shell)[0].unwrap();
        assert!(standing.clearance.unwrap().distance < 4.0, "{standing:?}");
        let mend = mend(&keep_out, &standing, &form, 0, &shell).unwrap();
        assert!(mend.label.contains("breadth line out"), "{mend:?}");
        let mut document = project::starter::new_document("Test");
        document.forms = vec![std::sync::Arc::new(form)];
        let next = mend.edit.apply(&document).unwrap();
        let lofted = crate::testing::lofted(&next.forms[0]);
        let shell = Shell::new(lofted.skin.as_ref().unwrap().loft(), 1.0, None);
        let distance = clearance(&standing.solid, &shell).unwrap().distance;
        assert!((5.0..5.2).contains(&distance), "{distance}");
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(24))]

        /// A small ball-like box in a random form: no sampled place of the skin is nearer than what was found.
        #[test]
        fn no_place_of_the_skin_is_nearer(form in forms(), x in 0.2..0.8_f64, y in -15.0..15.0_f64, z in -15.0..15.0_f64) {
            let lofted = lofted(&form);
            let loft = lofted.skin.as_ref().unwrap().loft();
            let (low, high) = loft.x_range();
            let shell = Shell::new(loft, 0.0, None);
            let solid = Placed::new(
                Solid::Cylinder { diameter: 8.0, length: 12.0 },
                [low + x * (high - low), y, z],
                [1.0, 0.3, -0.2],
            );
            let found = clearance(&solid, &shell).unwrap();
            prop_assume!(found.distance > 0.0);
            prop_assert!((solid.distance(found.on_shell).distance - found.distance).abs() < 1e-6);
            for i in 0..=150 {
                let x = low + (high - low) * f64::from(i) / 150.0;
                for [y, z] in loft.section(x).unwrap().polyline_of(0.05, 20) {
                    for side in [y, -y] {
                        let d = solid.distance([x, side, z]).distance;
                        prop_assert!(d >= found.distance - 0.05, "{d} at {x}, {side}, {z} against {found:?}");
                    }
                }
            }
        }

        /// A rod through the side of a random form: no sampled place of it lies farther out than what was found.
        #[test]
        fn no_place_of_the_solid_sticks_out_farther(form in forms(), x in 0.3..0.6_f64, turn in 0.0..std::f64::consts::TAU, tilt in -0.5..0.5_f64) {
            let lofted = lofted(&form);
            let loft = lofted.skin.as_ref().unwrap().loft();
            let (low, high) = loft.x_range();
            let shell = Shell::new(loft, 0.0, None);
            let shape = Solid::Cylinder { diameter: 12.0, length: 110.0 };
            let solid = Placed::new(shape, [low + x * (high - low), 0.0, 0.0], [tilt, turn.cos(), turn.sin()]);
            let found = clearance(&solid, &shell).unwrap();
            let skin: Vec<Vector> = (0..=120)
                .flat_map(|i| {
                    let x = low + (high - low) * f64::from(i) / 120.0;
                    let half = loft.section(x).unwrap().polyline_of(0.2, 12);
                    half.into_iter().flat_map(move |[y, z]| [[x, y, z], [x, -y, z]])
                })
                .collect();
            for i in 0..24 {
                for along in [0.0, 0.5, 1.0, 1.5, 2.0, 2.5, 3.0] {
                    let p = solid.surface(f64::from(i) / 24.0, along);
                    if beyond_skin(p, &shell).is_none_or(|d| d <= 0.0) {
                        continue;
                    }
                    // Places of the skin are looked at on a net, so the true distance is a little less than this.
                    let out = skin.iter().map(|q| length(sub(*q, p))).fold(f64::INFINITY, f64::min);
                    let spacing = (high - low) / 120.0 + 8.0;
                    let true_at_least = (out * out - spacing * spacing).max(0.0).sqrt();
                    prop_assert!(-found.distance >= true_at_least - 0.05, "{true_at_least} at {p:?} against {found:?}");
                }
            }
            // And it does lie that far out: the place that was found is on the solid, and no skin is nearer to it.
            if found.distance < 0.0 {
                prop_assert!(solid.distance(found.on_solid).distance.abs() < 1e-6);
                let out = skin.iter().map(|q| length(sub(*q, found.on_solid))).fold(f64::INFINITY, f64::min);
                prop_assert!(out >= -found.distance - 0.05, "{out} against {found:?}");
            }
        }
    }
}
