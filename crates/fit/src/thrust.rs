//! The thrust line: shaft, mount, spinner and ring.
//!
//! ```text
//!   side view          ring  firewall          plan     mount
//!        spinner      |     |  mount                      o-.
//!          ______     |     |.-o                              '-.
//!         (      |    |  .-'|        up                          '-o hub, on the centre plane
//!         (      o--'-|     |  <--- down-thrust                side-thrust
//!          hub         gap
//! ```
//!
//! Down-thrust is the angle seen from the side, side-thrust the one seen from above, so the shaft points along
//! (-1, tan side, -tan down). The hub stays on the centre plane and the mount is shifted for it: with L from firewall to
//! hub along the shaft by L sin of the angle, if there is only one angle (the printed rule); with both, by L times the
//! component of the unit vector, which is that rule made exact.

use crate::outline::Outline;
use crate::space::{Vector, add, dot, sub, times, triad, unit};
use form::{Finding, Part, Severity};
use geometry::loft::Loft;
use project::airframe::ThrustLine;

/// The plane that trims the front of the form: what lies ahead of it is cut off.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RingTrim {
    /// A place of the plane, mm.
    pub point: [f64; 3],
    /// Its unit normal, pointing ahead, away from the form.
    pub normal: [f64; 3],
}

impl RingTrim {
    /// How far a place lies ahead of the plane, mm.
    pub fn ahead(&self, p: [f64; 3]) -> f64 {
        dot(sub(p, self.point), self.normal)
    }

    /// The station at which the plane has this half-breadth and height.
    pub fn station(&self, [y, z]: [f64; 2]) -> f64 {
        let [nx, ny, nz] = self.normal;
        self.point[0] - (ny * (y - self.point[1]) + nz * (z - self.point[2])) / nx
    }
}

/// What follows from a thrust line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Shaft {
    /// Unit vector along the shaft, pointing ahead.
    pub ahead: [f64; 3],
    /// Centre of the hub: of the spinner's back plate.
    pub hub: [f64; 3],
    /// Where the shaft meets the firewall: the centre of the mount.
    pub mount: [f64; 3],
    /// Angle between shaft and datum axis, degrees.
    pub total_deg: f64,
}

/// The shaft of a thrust line.
pub fn shaft(line: &ThrustLine) -> Shaft {
    let tan = |degrees: f64| degrees.to_radians().tan();
    let ahead = unit([-1.0, tan(line.side_thrust_deg), -tan(line.down_thrust_deg)]);
    let reach = times(ahead, line.hub_distance);
    let hub = [line.firewall + reach[0], 0.0, line.hub_height];
    Shaft { ahead, hub, mount: sub(hub, reach), total_deg: (-ahead[0]).clamp(-1.0, 1.0).acos().to_degrees() }
}

impl Shaft {
    /// How far the mount is shifted against the hub: to starboard and up, mm.
    pub fn mount_offset(&self) -> [f64; 2] {
        [self.mount[1] - self.hub[1], self.mount[2] - self.hub[2]]
    }
}

/// How much the gap behind the spinner differs across it if the ring is left square to the datum axis: D sin of the whole
/// angle, mm.
pub fn gap_difference(line: &ThrustLine) -> f64 {
    line.spinner.diameter * shaft(line).total_deg.to_radians().sin()
}

/// Thickness of a spacer under one edge of a mount of this width that turns it by an angle: width times tan, mm.
pub fn spacer(mount_width: f64, degrees: f64) -> f64 {
    mount_width * degrees.to_radians().tan()
}

/// The ring in space.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RingPlace {
    /// Its front face: what the spinner's back plate faces.
    pub front: RingTrim,
    /// Its rear face: the plane that trims the form.
    pub rear: RingTrim,
    /// Its diameter, mm: the spinner's, less the step on both sides.
    pub diameter: f64,
}

/// Where the ring stands: its face the chosen gap behind the back plate, square to the thrust line or to the datum axis.
pub fn ring(line: &ThrustLine) -> RingPlace {
    let shaft = shaft(line);
    let normal = if line.ring.square_to_thrust { shaft.ahead } else { [-1.0, 0.0, 0.0] };
    let centre = sub(shaft.hub, times(shaft.ahead, line.spinner.gap));
    // Along the shaft, so that the ring's rear face is centred on it too.
    let through = line.ring.thickness / dot(normal, shaft.ahead);
    let rear = sub(centre, times(shaft.ahead, through));
    RingPlace {
        front: RingTrim { point: centre, normal },
        rear: RingTrim { point: rear, normal },
        diameter: line.spinner.diameter - 2.0 * line.ring.step,
    }
}

/// `count` places of the edge of the ring's rear face, from the top to starboard and round.
pub fn ring_edge(ring: &RingPlace, count: u32) -> Vec<[f64; 3]> {
    (0..count).map(|i| edge_place(ring, f64::from(i) / f64::from(count))).collect()
}

/// The place of the rear face's edge at a share of a turn from the top to starboard.
fn edge_place(ring: &RingPlace, turn: f64) -> Vector {
    let [_, starboard, up] = triad(times(ring.rear.normal, -1.0));
    let (sin, cos) = (turn * std::f64::consts::TAU).sin_cos();
    let r = 0.5 * ring.diameter;
    add(ring.rear.point, add(times(starboard, r * sin), times(up, r * cos)))
}

/// The foam or packing between the form's front face and the ring's rear face.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wedge {
    /// Thickness along the datum axis at 12, 3, 6 and 9 o'clock as seen looking aft (so 3 o'clock is to port), mm.
    /// Negative where the form reaches ahead of the ring's rear face and is trimmed by as much.
    pub clock: [f64; 4],
    /// The same at the ring's centre.
    pub centre: f64,
}

/// The wedge between the ring and a form whose front face stands at station `front`.
pub fn wedge(ring: &RingPlace, front: f64) -> Wedge {
    // Looking aft, 3 o'clock is on the right hand, which is port.
    let clock = [0.0, 0.75, 0.5, 0.25].map(|turn| front - edge_place(ring, turn)[0]);
    Wedge { clock, centre: front - ring.rear.point[0] }
}

/// How the ring meets the front section of the form.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RingMeeting {
    /// How far the form stands proud of the ring where it differs most, mm; negative where it stands back.
    pub proud: f64,
    /// Half-breadth (negative to port) and height of that place.
    pub at: [f64; 2],
    /// Station of the section that was compared.
    pub station: f64,
}

/// Edge places at which the ring is compared.
const AROUND: u32 = 72;
/// Chord error of the section that is compared, mm.
const FINE: f64 = 0.01;

/// The greatest difference between the ring's edge and the skin of the form, which is taken where the ring's rear face
/// meets it. Where the form does not reach that far ahead, its front section is compared along the shaft instead.
pub fn ring_meeting(line: &ThrustLine, loft: &Loft) -> Option<RingMeeting> {
    let (ring, shaft) = (ring(line), shaft(line));
    let (front, rear) = loft.x_range();
    let mut worst: Option<RingMeeting> = None;
    let face = Outline::new(loft.section(front)?.polyline(FINE))?;
    for p in ring_edge(&ring, AROUND) {
        let (station, q) = if p[0] <= front {
            (front, add(p, times(shaft.ahead, (front - p[0]) / shaft.ahead[0])))
        } else {
            (p[0].min(rear), p)
        };
        let nearest = if station > front {
            Outline::new(loft.section(station)?.polyline(FINE))?.nearest([q[1], q[2]])
        } else {
            face.nearest([q[1], q[2]])
        };
        if worst.is_none_or(|w| nearest.distance.abs() > w.proud.abs()) {
            worst = Some(RingMeeting { proud: -nearest.distance, at: [q[1], q[2]], station });
        }
    }
    worst
}

/// How far ring and front section may differ before it is told, mm (common practice, no source).
pub const RING_MISMATCH: f64 = 0.5;
/// How far the form's front may stand from the ring's rear face before it is told, mm.
const FRONT_STANDS_OFF: f64 = 0.5;

/// What is found about shaft, spinner and ring.
pub fn findings(line: &ThrustLine, loft: &Loft) -> Vec<Finding> {
    let mut found = Vec::new();
    if ring(line).diameter <= 0.0 || line.spinner.diameter <= 0.0 {
        let what = "The ring has no diameter left.";
        let hint = "Give the spinner's diameter, and a step smaller than half of it.";
        let finding = Finding::new(Severity::Warning, Part::Thrust, what, hint);
        return vec![finding.with(ring(line).diameter, 0.0, "mm")];
    }
    found.extend(square_ring_finding(line));
    found.extend(meeting_finding(line, loft));
    found.extend(wedge_finding(line, loft));
    found
}

fn square_ring_finding(line: &ThrustLine) -> Option<Finding> {
    let difference = gap_difference(line);
    let least = line.spinner.gap - 0.5 * difference;
    if line.ring.square_to_thrust || least >= 0.5 * line.spinner.gap {
        return None;
    }
    let what = format!(
        "The ring is left square to the datum axis, so the gap behind the spinner differs by {difference:.2} mm across it and comes down to {least:.2} mm."
    );
    let hint = "Set the ring square to the thrust line, or widen the gap.";
    let severity = if least <= 0.0 { Severity::Error } else { Severity::Warning };
    Some(Finding::new(severity, Part::Thrust, what, hint).with(least, 0.5 * line.spinner.gap, "mm"))
}

fn meeting_finding(line: &ThrustLine, loft: &Loft) -> Option<Finding> {
    let meeting = ring_meeting(line, loft).filter(|m| m.proud.abs() > RING_MISMATCH)?;
    let stands = if meeting.proud > 0.0 { "stands proud of" } else { "stands back inside" };
    let what = format!("The front of the form {stands} the ring by {:.2} mm.", meeting.proud.abs());
    let hint = format!(
        "Let the front section be {:.1} mm across, centred at a height of {:.1} mm.",
        ring(line).diameter,
        ring(line).rear.point[2]
    );
    let finding = Finding::new(Severity::Warning, Part::Thrust, what, hint);
    Some(finding.at_station(meeting.station).at_point(meeting.at).with(meeting.proud.abs(), RING_MISMATCH, "mm"))
}

fn wedge_finding(line: &ThrustLine, loft: &Loft) -> Option<Finding> {
    let front = loft.x_range().0;
    let wedge = wedge(&ring(line), front);
    let most = wedge.clock.iter().chain([&wedge.centre]).fold(0.0_f64, |m, w| m.max(w.abs()));
    if most <= FRONT_STANDS_OFF {
        return None;
    }
    let [twelve, three, six, nine] = wedge.clock;
    let what = format!(
        "Between the form's front face and the ring stand {twelve:+.1} mm at 12 o'clock, {three:+.1} at 3, {six:+.1} at 6 and {nine:+.1} at 9, looking aft."
    );
    let hint = "Plus: fill with foam or packing; minus: trim the form to the ring's plane.";
    let finding = Finding::new(Severity::Note, Part::Thrust, what, hint).at_station(front);
    Some(finding.with(most, FRONT_STANDS_OFF, "mm"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use project::airframe::{Ring, Spinner};

    fn line(hub_distance: f64, down: f64, side: f64) -> ThrustLine {
        ThrustLine {
            firewall: 200.0,
            hub_distance,
            hub_height: 12.0,
            down_thrust_deg: down,
            side_thrust_deg: side,
            spinner: Spinner { diameter: 75.0, gap: 2.0 },
            ring: Ring { thickness: 3.0, step: 0.5, square_to_thrust: true },
        }
    }

    /// Printed by Airfield Models (P. K. Johnson, 2003): 5 inch and 4 degrees give 0.34878 inch; by the Beeton RC club: 6.5
    /// inch and 2.5 degrees give 0.2835 inch. L sin of the angle, L along the shaft.
    #[test]
    fn the_mount_is_shifted_as_the_printed_examples_say() {
        for (inch, degrees, printed, digits) in [(5.0, 4.0, 0.34878, 5e-6), (6.5, 2.5, 0.2835, 5e-5)] {
            let side = shaft(&line(inch * 25.4, 0.0, degrees)).mount_offset();
            assert!((-side[0] / 25.4 - printed).abs() < digits && side[1] == 0.0, "{side:?}");
            let down = shaft(&line(inch * 25.4, degrees, 0.0)).mount_offset();
            assert!((down[1] / 25.4 - printed).abs() < digits && down[0] == 0.0, "{down:?}");
        }
    }

    /// L sin of the angle in mm, computed: 120 mm at 2 and 2.5 degrees, 100 mm at 3.
    #[test]
    fn offsets_in_millimetres() {
        for (l, degrees, offset) in [(120.0, 2.0, 4.188), (120.0, 2.5, 5.234), (100.0, 3.0, 5.234)] {
            assert!((shaft(&line(l, degrees, 0.0)).mount_offset()[1] - offset).abs() < 5e-4);
        }
    }

    /// Printed: a mount 2.75 inch wide needs a spacer of 0.120 inch for 2.5 degrees.
    #[test]
    fn a_spacer_is_width_times_tan() {
        assert!((spacer(2.75, 2.5) - 0.120).abs() < 5e-4);
        assert!((spacer(2.75, 2.5) - 0.120_068).abs() < 5e-7);
    }

    /// Computed in closed form: 2 degrees down and 2.5 right.
    #[test]
    fn two_angles_combine() {
        let shaft = shaft(&line(120.0, 2.0, 2.5));
        let expected = [-0.998_441, 0.043_593, -0.034_866];
        for (component, value) in shaft.ahead.into_iter().zip(expected) {
            assert!((component - value).abs() < 1e-6, "{:?}", shaft.ahead);
        }
        assert!((shaft.total_deg - 3.199_98).abs() < 1e-4, "{}", shaft.total_deg);
        assert!(shaft.hub[1] == 0.0 && shaft.hub[2] == 12.0);
        assert!((shaft.mount[0] - 200.0).abs() < 1e-12);
    }

    /// D sin of the angle, computed: 75 mm at 2.5 degrees, 57 and 76 mm at 2, 102 mm at 3.
    #[test]
    fn the_gap_differs_by_d_sin() {
        for (diameter, degrees, expected) in
            [(75.0, 2.5, 3.271), (57.0, 2.0, 1.989), (76.0, 2.0, 2.652), (102.0, 3.0, 5.338)]
        {
            let mut line = line(120.0, degrees, 0.0);
            line.spinner.diameter = diameter;
            assert!((gap_difference(&line) - expected).abs() < 5e-4);
        }
    }

    /// Measured on the ring itself: the back plate's edge against a ring left square.
    #[test]
    fn a_square_ring_shows_the_difference_in_its_gap() {
        let mut line = line(120.0, 2.5, 0.0);
        line.ring.square_to_thrust = false;
        let (shaft, ring) = (shaft(&line), ring(&line));
        let [_, _, up] = triad(times(shaft.ahead, -1.0));
        let gap = |side: f64| ring.front.ahead(add(shaft.hub, times(up, side * 37.5)));
        assert!(((gap(1.0) - gap(-1.0)).abs() - 3.271).abs() < 5e-4);
        line.ring.square_to_thrust = true;
        let ring = super::ring(&line);
        let gap = |side: f64| ring.front.ahead(add(shaft.hub, times(up, side * 37.5)));
        assert!((gap(1.0) - 2.0).abs() < 1e-12 && (gap(-1.0) - 2.0).abs() < 1e-12);
    }

    #[test]
    fn the_wedge_is_even_for_a_ring_that_is_square_and_tilts_with_the_shaft() {
        let mut line = line(120.0, 2.0, 2.5);
        let r = 0.5 * ring(&line).diameter;
        assert_eq!(2.0 * r, 74.0);
        let w = wedge(&ring(&line), 90.0);
        // The plane falls back by tan of the angle seen from the side, and from above.
        let down = 2.0 * r * (2f64.to_radians().tan()) * crate::space::triad([1.0, -0.043_661, 0.034_921])[2][2];
        assert!(((w.clock[0] - w.clock[2]).abs() - down).abs() < 5e-3, "{w:?}, {down}");
        // Shaft down and to starboard at the front: the top of the ring stands ahead, and so does its port side.
        assert!(w.clock[0] > w.clock[2] && w.clock[1] > w.clock[3], "{w:?}");
        assert!((0.25 * w.clock.iter().sum::<f64>() - w.centre).abs() < 1e-9);
        line.ring.square_to_thrust = false;
        let w = wedge(&ring(&line), 90.0);
        assert!(w.clock.iter().all(|c| (c - w.centre).abs() < 1e-9), "{w:?}");
    }

    #[test]
    fn the_trim_plane_gives_its_own_station() {
        let trim = ring(&line(120.0, 2.0, 2.5)).rear;
        for yz in [[0.0, 0.0], [30.0, -12.0], [-5.0, 40.0]] {
            assert!(trim.ahead([trim.station(yz), yz[0], yz[1]]).abs() < 1e-12);
        }
    }

    fn cylinder(radius: f64) -> form::Lofted {
        crate::testing::lofted(&crate::testing::cylinder(radius, 200.0))
    }

    fn at_front(down: f64, diameter: f64, step: f64) -> ThrustLine {
        let mut line = line(205.0, down, 0.0);
        (line.hub_height, line.spinner.diameter, line.ring.step) = (0.0, diameter, step);
        line
    }

    #[test]
    fn a_ring_of_the_form_s_own_diameter_meets_it() {
        let lofted = cylinder(50.0);
        let loft = lofted.skin.as_ref().unwrap().loft();
        let proud = |line: &ThrustLine| ring_meeting(line, loft).unwrap().proud;
        assert!(proud(&at_front(0.0, 100.0, 0.0)).abs() < 0.02);
        assert!((proud(&at_front(0.0, 100.0, 1.5)) - 1.5).abs() < 0.02);
        assert!((proud(&at_front(0.0, 104.0, 0.0)) + 2.0).abs() < 0.02);
        assert_eq!(findings(&at_front(0.0, 100.0, 0.0), loft), []);
        let told = findings(&at_front(0.0, 104.0, 0.0), loft);
        assert!(told.len() == 1 && told[0].what.contains("stands back inside the ring by 2.0"), "{told:?}");
    }

    /// Closed form: a ring of radius 50 tilted by 3 degrees about its centre is 50 cos 3° high where the form is cut, and its
    /// plane stands 50 tan 3° ahead at its top edge, seen along the datum axis.
    #[test]
    fn a_tilted_ring_on_a_straight_form() {
        let lofted = cylinder(50.0);
        let loft = lofted.skin.as_ref().unwrap().loft();
        let line = at_front(3.0, 100.0, 0.0);
        let told = findings(&line, loft);
        // The ring's centre has gone down the shaft by 5 mm sin 3°, and a place ahead of the form is carried back along it.
        let meeting = ring_meeting(&line, loft).unwrap();
        assert!(meeting.proud.abs() < 0.6, "{meeting:?}");
        let wedge = wedge(&ring(&line), 0.0);
        let expected = 100.0 * 3f64.to_radians().sin();
        assert!((wedge.clock[0] - wedge.clock[2] - expected).abs() < 1e-9, "{wedge:?} against {expected}");
        assert!(told.iter().any(|f| f.severity == Severity::Note && f.what.contains("12 o'clock")), "{told:?}");
    }

    #[test]
    fn a_ring_left_square_is_told_where_its_gap_closes() {
        let lofted = cylinder(50.0);
        let loft = lofted.skin.as_ref().unwrap().loft();
        let mut line = at_front(3.0, 100.0, 0.0);
        line.ring.square_to_thrust = false;
        // 100 mm sin 3° = 5.23 mm of difference: half of it is more than the gap of 2 mm, so the spinner touches.
        let told = findings(&line, loft);
        assert!(told.iter().any(|f| f.severity == Severity::Error && f.what.contains("5.23")), "{told:?}");
        line.spinner.gap = 8.0;
        assert!(findings(&line, loft).iter().all(|f| f.severity != Severity::Error));
        line.spinner.diameter = 0.0;
        assert_eq!(findings(&line, loft).len(), 1);
    }
}
