//! The way on and off: is the shell, drawn forward, free of back plate, motor and fuselage?
//!
//! ```text
//!       shell    ____.----._____          Seen from the shell, what stands on the bench goes aft through it: at every
//!            .--'   motor      |          station behind it the inside outline must hold the motor's silhouette,
//!           (      [####]      | lap      shifted by what the way leads aside.
//!            '--.____.----._____|
//!        <------- drawn off
//! ```
//!
//! Each solid's surface is carried aft along the way from station to station of the shell's grid and compared with the
//! outline there, in the plane of the station. Excess within 0.05 mm.

use crate::fuselage::{FuselageShape, lap_outline};
use crate::outline::Outline;
use crate::shell::Shell;
use crate::solid::Placed;
use crate::space::{Vector, add, times};
use form::{Finding, Part, Severity};
use project::airframe::{FuselageEnd, LapSide};

/// What the shell hits on its way.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hit {
    /// By how much, mm, beyond the inside of the shell.
    pub excess: f64,
    /// The place on what it hits, where it stands on the bench.
    pub on_solid: [f64; 3],
    /// The station of the shell that hits it.
    pub station: f64,
    /// Half-breadth (negative to port) and height on the shell there.
    pub at: [f64; 2],
}

/// Less than this is no hit, mm: outlines and silhouettes are chords.
const TOUCHES: f64 = 0.05;
/// Around a solid, and along it between its two edges.
const AROUND: usize = 96;
const ALONG: usize = 4;

/// The greatest excess of a solid on the shell's way along `ahead` (a unit vector that points forward); `None` where it
/// passes, and where the way does not lead forward at all.
pub fn hit(solid: &Placed, shell: &Shell<'_>, ahead: [f64; 3]) -> Option<Hit> {
    let aft = times(ahead, -1.0);
    if aft[0] < 0.1 {
        return None;
    }
    let mut worst: Option<Hit> = None;
    for place in silhouette(solid) {
        for (station, outline) in shell.outlines().filter(|(x, _)| *x >= place[0]) {
            let there = add(place, times(aft, (station - place[0]) / aft[0]));
            if shell.is_cut_off(there) {
                continue;
            }
            let at = [there[1], there[2]];
            let excess = outline.nearest(at).distance + shell.wall;
            if excess > TOUCHES && worst.is_none_or(|w| excess > w.excess) {
                worst = Some(Hit { excess, on_solid: place, station, at });
            }
        }
    }
    worst
}

fn silhouette(solid: &Placed) -> impl Iterator<Item = Vector> + '_ {
    let along = |j: usize| 1.0 + j as f64 / ALONG as f64;
    (0..AROUND).flat_map(move |i| (0..=ALONG).map(move |j| solid.surface(i as f64 / AROUND as f64, along(j))))
}

/// Stations of the lap that are compared with each other.
const LAP_STEPS: u32 = 4;

/// The greatest excess of the fuselage on the way of the shell's lap, and of what the form has behind the fuselage's end.
pub fn fuselage_hit(end: &FuselageEnd, fuselage: &FuselageShape, shell: &Shell<'_>, ahead: [f64; 3]) -> Option<Hit> {
    if -ahead[0] < 0.1 {
        return None;
    }
    let aside = [ahead[1] / -ahead[0], ahead[2] / -ahead[0]];
    let lap = lap_hit(end, fuselage, aside);
    let behind = behind_hit(end, fuselage, shell, aside);
    [lap, behind].into_iter().flatten().max_by(|a, b| a.excess.total_cmp(&b.excess))
}

fn lap_hit(end: &FuselageEnd, fuselage: &FuselageShape, aside: [f64; 2]) -> Option<Hit> {
    let station = |i: u32| end.station + end.lap.length * f64::from(i) / f64::from(LAP_STEPS);
    let mut worst: Option<Hit> = None;
    for i in 1..=LAP_STEPS {
        let lap = lap_outline(end, fuselage, station(i));
        for k in 0..i {
            let shift = aside.map(|a| a * (station(i) - station(k)));
            let body = fuselage.at(station(k));
            let (inner, outer, shift) = match end.lap.side {
                LapSide::Over => (&body, &lap, shift.map(|s| -s)),
                LapSide::Into => (&lap, &body, shift),
            };
            let found = greatest_excess(inner, outer, shift, 0.0);
            if found.0 > TOUCHES && worst.is_none_or(|w| found.0 > w.excess) {
                let on_solid = [station(k), found.1[0], found.1[1]];
                worst = Some(Hit { excess: found.0, on_solid, station: station(i), at: found.1 });
            }
        }
    }
    worst
}

fn behind_hit(end: &FuselageEnd, fuselage: &FuselageShape, shell: &Shell<'_>, aside: [f64; 2]) -> Option<Hit> {
    let stations = shell.outlines().filter(|(x, _)| *x > end.station + 0.05);
    let hits = stations.map(|(x, outline)| {
        let shift = aside.map(|a| -a * (x - end.station));
        let (excess, at) = greatest_excess(fuselage.outline(), outline, shift, shell.wall);
        Hit { excess, on_solid: [end.station, at[0] - shift[0], at[1] - shift[1]], station: x, at }
    });
    hits.filter(|h| h.excess > TOUCHES).max_by(|a, b| a.excess.total_cmp(&b.excess))
}

/// How far the shifted inner outline, both sides, reaches beyond the outer one less its wall, and where.
fn greatest_excess(inner: &Outline, outer: &Outline, shift: [f64; 2], wall: f64) -> (f64, [f64; 2]) {
    let mut worst = (f64::NEG_INFINITY, [0.0; 2]);
    for side in [1.0, -1.0] {
        for p in inner.points() {
            let q = [side * p[0] + shift[0], p[1] + shift[1]];
            let excess = outer.nearest(q).distance + wall;
            if excess > worst.0 {
                worst = (excess, q);
            }
        }
    }
    worst
}

/// A hit as a finding; `name` begins the sentence.
pub fn finding(name: &str, hit: &Hit, hint: &str) -> Finding {
    let what = format!(
        "Drawn off, the shell hits {name}: it stands {:.1} mm beyond the shell's inside at {:.1} mm.",
        hit.excess, hit.station
    );
    let finding = Finding::new(Severity::Warning, Part::DrawOff, what, hint);
    finding.at_station(hit.station).at_point(hit.at).with(hit.excess, 0.0, "mm")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::{cylinder, lofted, round};
    use project::airframe::{FuselageSection, Lap, Solid};

    const FORWARD: [f64; 3] = [-1.0, 0.0, 0.0];

    fn fuselage_end(radius: f64, further: Option<f64>, side: LapSide, clearance: f64) -> FuselageEnd {
        let circle = |r: f64| FuselageSection::Circle { diameter: 2.0 * r, centre_height: 0.0 };
        FuselageEnd {
            station: 200.0,
            section: circle(radius),
            further: further.map(|r| (210.0, circle(r))),
            lap: Lap { side, length: 10.0, clearance },
            screws: None,
            allowed_gap: 0.5,
            allowed_break_deg: 3.0,
            pinned: None,
        }
    }

    /// Closed form: a motor of radius 40 behind which the shell closes to an inside radius of 35 - 1.
    #[test]
    fn a_motor_wider_than_the_shell_behind_it_is_hit() {
        let form = round(&[[0.0, 50.0], [100.0, 45.0], [200.0, 35.0]]);
        let lofted = lofted(&form);
        let shell = Shell::new(lofted.skin.as_ref().unwrap().loft(), 1.0, None);
        let solid =
            |diameter| Placed::new(Solid::Cylinder { diameter, length: 30.0 }, [20.0, 0.0, 0.0], [1.0, 0.0, 0.0]);
        let found = hit(&solid(80.0), &shell, FORWARD).unwrap();
        assert!((found.excess - 6.0).abs() < 0.03 && (found.station - 200.0).abs() < 1e-9, "{found:?}");
        assert_eq!(hit(&solid(67.0), &shell, FORWARD), None);
    }

    /// Closed form: drawn along a shaft turned by 3 degrees, a motor near the front of a straight shell shifts aside by tan 3°
    /// of the 170 mm it has left behind it.
    #[test]
    fn a_slanting_way_leads_aside() {
        let lofted = lofted(&cylinder(50.0, 200.0));
        let shell = Shell::new(lofted.skin.as_ref().unwrap().loft(), 1.0, None);
        let solid = Placed::new(Solid::Cylinder { diameter: 90.0, length: 30.0 }, [0.0, 0.0, 0.0], [1.0, 0.0, 0.0]);
        assert_eq!(hit(&solid, &shell, FORWARD), None);
        let slope = 3f64.to_radians().tan();
        let ahead = crate::space::unit([-1.0, slope, 0.0]);
        let found = hit(&solid, &shell, ahead).unwrap();
        // From its front edge at x = 0 the way leads 200 tan 3° to port; 45 + 10.48 - 49 are left over.
        assert!((found.excess - (45.0 + 200.0 * slope - 49.0)).abs() < 0.05, "{found:?}");
        assert!(found.at[0] < 0.0);
    }

    /// Closed form: over a fuselage that narrows by 1 mm in radius along the lap, 0.4 mm of clearance lack 0.6 mm.
    #[test]
    fn a_lap_over_a_fuselage_that_narrows_aft_is_caught() {
        let lofted = lofted(&cylinder(50.0, 200.0));
        let shell = Shell::new(lofted.skin.as_ref().unwrap().loft(), 1.0, None);
        let check = |end: &FuselageEnd, ahead| {
            fuselage_hit(end, &FuselageShape::of(end).unwrap(), &shell, ahead).map_or(0.0, |h| h.excess)
        };
        assert!((check(&fuselage_end(50.0, Some(49.0), LapSide::Over, 0.4), FORWARD) - 0.6).abs() < 0.01);
        assert_eq!(check(&fuselage_end(50.0, Some(51.0), LapSide::Over, 0.4), FORWARD), 0.0);
        assert_eq!(check(&fuselage_end(50.0, Some(49.0), LapSide::Into, 0.4), FORWARD), 0.0);
        assert!((check(&fuselage_end(50.0, Some(51.0), LapSide::Into, 0.4), FORWARD) - 0.6).abs() < 0.01);
        // A way turned by 3 degrees leads 10 tan 3° = 0.524 mm aside along the lap.
        let slope = 3f64.to_radians().tan();
        let ahead = crate::space::unit([-1.0, 0.0, -slope]);
        for side in [LapSide::Over, LapSide::Into] {
            let found = check(&fuselage_end(50.0, None, side, 0.3), ahead);
            assert!((found - (10.0 * slope - 0.3)).abs() < 0.01, "{found}");
            assert_eq!(check(&fuselage_end(50.0, None, side, 0.6), ahead), 0.0);
        }
    }
}
