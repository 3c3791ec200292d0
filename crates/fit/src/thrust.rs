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

pub use form::shaft::{RingPlace, RingTrim, Shaft, ring, ring_edge, shaft};

use form::front::{CLOCK, Front, packing};
use form::{Finding, Part, Severity};
use geometry::loft::Loft;
use project::airframe::ThrustLine;

/// How much the gap behind the spinner differs across it if the ring is left square to the datum axis: D sin of the whole
/// angle, mm.
pub fn gap_difference(line: &ThrustLine) -> f64 {
    line.spinner.diameter * shaft(line).total_deg.to_radians().sin()
}

/// Thickness of a spacer under one edge of a mount of this width that turns it by an angle: width times tan, mm.
pub fn spacer(mount_width: f64, degrees: f64) -> f64 {
    mount_width * degrees.to_radians().tan()
}

/// The foam or packing between the form's front face and the ring's rear face.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wedge {
    /// Thickness along the datum axis on the circle of the ring's radius on the front face, at 12, 3, 6 and 9 o'clock as seen looking
    /// aft (so 3 o'clock is to port), mm: with a ring of radius R about the shaft, R tan of the angle more or less than at the
    /// centre. Negative where the form reaches ahead of the ring's rear face and is trimmed by as much.
    pub clock: [f64; 4],
    /// The same at the ring's centre.
    pub centre: f64,
}

/// The wedge between the ring and a form whose front face stands at station `front`.
pub fn wedge(ring: &RingPlace, front: f64) -> Wedge {
    let [_, y, z] = ring.rear.point;
    let r = 0.5 * ring.diameter;
    let clock = CLOCK.map(|[starboard, up]| packing(&ring.rear, front, [y + r * starboard, z + r * up]));
    Wedge { clock, centre: front - ring.rear.point[0] }
}

/// How the ring meets the front of the form where it is cut by the ring's plane.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RingMeeting {
    /// How far the form stands proud of the ring where it differs most, mm; negative where it stands back.
    pub proud: f64,
    /// Half-breadth (negative to port) and height of that place of the ring's edge.
    pub at: [f64; 2],
    /// Its station.
    pub station: f64,
}

/// Edge places at which the ring is compared.
const AROUND: u32 = 72;
/// Chord error of the outline that is compared, mm.
const FINE: f64 = 0.01;

/// The greatest difference between the ring's edge and the form, along the ring's radius in its rear face, where the form is cut;
/// see [`Front`].
pub fn ring_meeting(line: &ThrustLine, loft: &Loft) -> Option<RingMeeting> {
    meeting(&Front::of(line, loft, 0.0, FINE)?)
}

fn meeting(front: &Front) -> Option<RingMeeting> {
    let (proud, turn) = front.worst(AROUND)?;
    let [station, y, z] = front.edge(turn);
    Some(RingMeeting { proud, at: [y, z], station })
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
    let Some(front) = Front::of(line, loft, 0.0, FINE) else {
        found.push(behind_all(line, loft));
        return found;
    };
    found.extend(meeting_finding(&front));
    found.extend(wedge_finding(&front, loft));
    found
}

fn behind_all(line: &ThrustLine, loft: &Loft) -> Finding {
    let (at, rear) = (ring(line).rear.point[0], loft.x_range().1);
    let what = "The ring's plane lies behind the rear end of the form, so it trims all of it away.";
    let hint =
        "Set the firewall's station and the distance from it to the hub so that the ring stands at the form's front.";
    Finding::new(Severity::Error, Part::Thrust, what, hint).at_station(at).with(at, rear, "mm")
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

fn meeting_finding(front: &Front) -> Option<Finding> {
    let meeting = meeting(front).filter(|m| m.proud.abs() > RING_MISMATCH)?;
    let stands = if meeting.proud > 0.0 { "stands proud of" } else { "stands back inside" };
    let what = format!("The front of the form {stands} the ring by {:.2} mm.", meeting.proud.abs());
    // Rounded first, so that a height of nothing has no minus.
    let height = (10.0 * front.ring.rear.point[2]).round() / 10.0 + 0.0;
    let hint = format!(
        "Let the front section be {:.1} mm across, centred at a height of {height:.1} mm.",
        front.ring.diameter
    );
    let finding = Finding::new(Severity::Warning, Part::Thrust, what, hint);
    Some(finding.at_station(meeting.station).at_point(meeting.at).with(meeting.proud.abs(), RING_MISMATCH, "mm"))
}

fn wedge_finding(front: &Front, loft: &Loft) -> Option<Finding> {
    let face = loft.x_range().0;
    let wedge = wedge(&front.ring, face);
    let most = wedge.clock.iter().chain([&wedge.centre]).fold(0.0_f64, |m, w| m.max(w.abs()));
    if most <= FRONT_STANDS_OFF {
        return None;
    }
    let (what, hint) = match (front.is_trimmed(), front.is_packed()) {
        (true, false) => (
            format!("The ring's plane trims the form's front: by {}.", clock(wedge.clock.map(|w| -w))),
            "Cut the glued plug to that plane, and check it by the template of the front on the ring's plane.",
        ),
        (false, _) => (
            format!(
                "The form begins behind the ring's plane all round, so nothing of it is trimmed; between them stand {}.",
                clock(wedge.clock)
            ),
            "Fill with foam or packing and sand it to the ring, move the ring aft, or let the form begin further ahead.",
        ),
        (true, true) => (
            format!(
                "The ring's plane trims one side of the form's front and stands off the other: {}.",
                clock(wedge.clock)
            ),
            "Plus: fill with foam or packing; minus: trim the form to the ring's plane.",
        ),
    };
    let finding = Finding::new(Severity::Note, Part::Thrust, what, hint).at_station(face);
    Some(finding.with(most, FRONT_STANDS_OFF, "mm"))
}

/// Four thicknesses in words; signed where some are negative.
fn clock(thickness: [f64; 4]) -> String {
    let signed = thickness.iter().any(|t| *t < 0.0);
    let [twelve, three, six, nine] = thickness.map(|t| if signed { format!("{t:+.1}") } else { format!("{t:.1}") });
    format!("{twelve} mm at 12 o'clock, {three} at 3, {six} at 6 and {nine} at 9, looking aft")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::space::{add, times, triad};
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

    /// Closed form: with R the ring's radius the wedge is R tan of the angle more or less than at the centre.
    #[test]
    fn the_wedge_is_r_tan_theta_about_its_centre() {
        let mut line = line(120.0, 2.0, 2.5);
        let r = 0.5 * ring(&line).diameter;
        assert_eq!(2.0 * r, 74.0);
        let w = wedge(&ring(&line), 90.0);
        let (down, side) = (r * 2f64.to_radians().tan(), r * 2.5f64.to_radians().tan());
        // Shaft down and to starboard at the front: the top of the ring stands ahead, and so does its port side.
        for (clock, off) in w.clock.into_iter().zip([down, side, -down, -side]) {
            assert!((clock - w.centre - off).abs() < 1e-12, "{w:?}");
        }
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

    /// Closed form: a cylinder of radius 50 cut by a plane that leans by 3 degrees is an ellipse of half axes 50 and 50 / cos 3°,
    /// so a ring of its own diameter about the cut's centre stands 50 (1 / cos 3° - 1) inside it above and below.
    #[test]
    fn a_tilted_ring_on_a_straight_form() {
        let lofted = cylinder(50.0);
        let loft = lofted.skin.as_ref().unwrap().loft();
        let mut line = at_front(3.0, 100.0, 0.0);
        line.hub_distance = 190.0;
        // The ring's rear face stands gap and thickness behind the hub along the shaft: so high its centre lies on the axis.
        line.hub_height = -5.0 * 3f64.to_radians().sin();
        let meeting = ring_meeting(&line, loft).unwrap();
        let beyond = 50.0 / 3f64.to_radians().cos() - 50.0;
        assert!((meeting.proud - beyond).abs() < 0.011, "{meeting:?} against {beyond}");
        let wedge = wedge(&ring(&line), 0.0);
        let expected = 100.0 * 3f64.to_radians().tan();
        assert!((wedge.clock[0] - wedge.clock[2] - expected).abs() < 1e-9, "{wedge:?} against {expected}");
        let told = findings(&line, loft);
        assert!(told.iter().any(|f| f.severity == Severity::Note && f.what.contains("12 o'clock")), "{told:?}");
    }

    #[test]
    fn it_is_told_whether_the_plane_trims_stands_off_or_misses() {
        let lofted = cylinder(50.0);
        let loft = lofted.skin.as_ref().unwrap().loft();
        for (hub_distance, words) in [
            (190.0, "trims the form's front: by 12."),
            (205.0, "trims one side"),
            (215.0, "behind the ring's plane all round"),
            (-5.0, "behind the rear end"),
        ] {
            let line = ThrustLine { hub_distance, ..at_front(3.0, 100.0, 0.0) };
            let told = findings(&line, loft);
            assert!(told.iter().any(|f| f.what.contains(words)), "{hub_distance}: {told:?}");
        }
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
