//! The shaft: where the thrust line runs, and the hole it needs in a cross plane.

use crate::region::{Point, Region};
use crate::surface::CUT;
use project::airframe::Airframe;

/// A straight shaft from ahead of the plug to its rear end; its hub lies on the centre plane.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Shaft {
    /// Radius of its hole, square to the shaft, mm.
    pub radius: f64,
    /// Station of the hub, mm.
    pub hub: f64,
    /// Height of the hub, mm.
    pub hub_height: f64,
    /// Change of (y, z) per mm aft.
    pub slope: [f64; 2],
    /// Station up to which there is a shaft (the firewall), mm.
    pub rear: f64,
}

impl Shaft {
    /// The shaft of an airframe with a hole of this diameter, mm; without a thrust line it runs along the datum axis through the
    /// whole plug. `None` for no hole.
    pub fn of(airframe: &Airframe, diameter: f64) -> Option<Self> {
        let radius = 0.5 * diameter;
        if radius <= 0.0 {
            return None;
        }
        let along_datum = Self { radius, hub: 0.0, hub_height: 0.0, slope: [0.0; 2], rear: f64::INFINITY };
        let Some(thrust) = &airframe.thrust else { return Some(along_datum) };
        let line = form::shaft::shaft(thrust);
        let slope = [1, 2].map(|k| line.ahead[k] / line.ahead[0]);
        Some(Self { radius, hub: line.hub[0], hub_height: line.hub[2], slope, rear: thrust.firewall })
    }

    /// (y, z) of its centre at a station.
    pub fn at(&self, x: f64) -> Point {
        let aft = x - self.hub;
        [self.slope[0] * aft, self.hub_height + self.slope[1] * aft]
    }

    /// The ellipse in which it pierces the cross plane at a station: the radius across its lean, radius / cos(lean) along it.
    pub fn hole(&self, x: f64) -> Region {
        Region::ellipse(self.at(x), [self.radius * self.stretch(), self.radius], self.slope, 0.5 * CUT)
    }

    /// The hole that a card between two stations needs: all that the shaft passes on its way through the card's thickness. The shaft
    /// moves along its lean, which is the ellipse's long axis too, so that is an ellipse at each face and the strip between them.
    pub fn through(&self, front: f64, rear: f64) -> Region {
        let (a, b) = (self.at(front), self.at(rear));
        let (dy, dz) = (b[0] - a[0], b[1] - a[1]);
        let length = dy.hypot(dz);
        if length < 1e-9 {
            return self.hole(front);
        }
        let out = [-dz / length * self.radius, dy / length * self.radius];
        let corner = |p: Point, side: f64| [p[0] + side * out[0], p[1] + side * out[1]];
        let strip = Region::of(&[corner(a, -1.0), corner(b, -1.0), corner(b, 1.0), corner(a, 1.0)]);
        self.hole(front).union(&self.hole(rear)).union(&strip)
    }

    /// 1 / cos of the angle between shaft and datum axis.
    fn stretch(&self) -> f64 {
        (1.0 + self.slope[0].powi(2) + self.slope[1].powi(2)).sqrt()
    }

    /// The stations between which the shaft cuts a card of the centre plane, of this half thickness, if it does.
    pub(crate) fn meets_centre(&self, half_thickness: f64) -> Option<(f64, f64)> {
        self.meets(0, 0.0, half_thickness)
    }

    /// The channel it cuts into a waterline's card between two stations, seen from above (x, y); none where it passes above or below.
    pub(crate) fn channel_at(&self, height: f64, half_thickness: f64, (from, to): (f64, f64)) -> Region {
        let Some((a, b)) = self.meets(1, height, half_thickness) else { return Region::default() };
        let (from, to) = (a.max(from), b.min(to));
        if to > from { self.strip(0, from, to) } else { Region::default() }
    }

    /// The channel it cuts into the centre plane between two stations, seen from the side (x, z).
    pub(crate) fn channel(&self, from: f64, to: f64) -> Region {
        self.strip(1, from, to)
    }

    /// The stations between which it comes this near to a plane that holds coordinate `k` of (y, z).
    fn meets(&self, k: usize, at: f64, half_thickness: f64) -> Option<(f64, f64)> {
        let reach = self.radius * self.stretch() + half_thickness;
        let hub = [0.0, self.hub_height][k] - at;
        if self.slope[k].abs() < 1e-12 {
            return (hub.abs() < reach).then_some((f64::NEG_INFINITY, self.rear));
        }
        let (middle, half) = (self.hub - hub / self.slope[k], reach / self.slope[k].abs());
        let (from, to) = (middle - half, (middle + half).min(self.rear));
        (to > from).then_some((from, to))
    }

    /// What it passes between two stations, seen with x and coordinate `k` of (y, z).
    fn strip(&self, k: usize, from: f64, to: f64) -> Region {
        let half = self.radius * self.stretch();
        let (a, b) = (self.at(from)[k], self.at(to)[k]);
        Region::of(&[[from, a - half], [to, b - half], [to, b + half], [from, a + half]])
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use project::airframe::{Ring, Spinner, ThrustLine};

    fn airframe(down: f64, side: f64) -> Airframe {
        let thrust = ThrustLine {
            firewall: 120.0,
            hub_distance: 120.0,
            hub_height: 5.0,
            down_thrust_deg: down,
            side_thrust_deg: side,
            spinner: Spinner { diameter: 60.0, gap: 2.0 },
            ring: Ring { thickness: 3.0, step: 0.0, square_to_thrust: true },
        };
        Airframe { thrust: Some(thrust), ..Airframe::default() }
    }

    /// Closed form: a cylinder leaning by d pierces a cross plane in an ellipse of radii r and r / cos d.
    #[test]
    fn the_hole_is_the_ellipse_of_a_leaning_cylinder() {
        let shaft = Shaft::of(&airframe(30.0, 0.0), 20.0).unwrap();
        let (low, high) = shaft.hole(60.0).bounds().unwrap();
        let tall = 10.0 / 30f64.to_radians().cos();
        assert!(
            (high[1] - low[1] - 2.0 * tall).abs() < 0.02 && (high[0] - low[0] - 20.0).abs() < 0.02,
            "{low:?} {high:?}"
        );
        let area = std::f64::consts::PI * 10.0 * tall;
        assert!((shaft.hole(60.0).area() - area).abs() < 0.002 * area);
    }

    /// Closed form: the hole through a card is the hole in one plane and the strip 2 r wide that the centre's way of thickness times
    /// tan covers; at every station within the card the shaft lies in it, and at both faces it touches its edge.
    #[test]
    fn the_hole_through_a_card_holds_the_shaft_over_its_thickness() {
        for (down, side) in [(3.0, 0.0), (2.0, 2.5), (-20.0, 10.0), (0.0, 0.0)] {
            let shaft = Shaft::of(&airframe(down, side), 10.0).unwrap();
            let through = shaft.through(40.0, 42.0);
            for x in [40.0, 40.4, 41.0, 42.0] {
                assert!(shaft.hole(x).without(&through).area() < 0.02, "{down}, {side} at {x}");
            }
            let way = 2.0 * f64::to_radians(down).tan().hypot(f64::to_radians(side).tan());
            let exact = shaft.hole(41.0).area() + way * 10.0;
            assert!((through.area() - exact).abs() < 1e-3 * exact, "{} against {exact}", through.area());
        }
    }

    #[test]
    fn a_waterline_card_is_cut_where_the_shaft_passes_it() {
        let shaft = Shaft::of(&airframe(0.0, 0.0), 10.0).unwrap();
        let channel = shaft.channel_at(8.0, 1.0, (0.0, 300.0)).bounds().unwrap();
        assert!((channel.0[1] + 5.0).abs() < 1e-6 && (channel.1[1] - 5.0).abs() < 1e-6, "{channel:?}");
        assert!((channel.1[0] - 120.0).abs() < 1e-6, "it ends at the firewall: {channel:?}");
        assert!(shaft.channel_at(12.0, 1.0, (0.0, 300.0)).is_empty());
    }

    /// The offset of the mount at the firewall is L sin θ, and the front points down and to starboard.
    #[test]
    fn at_the_firewall_the_shaft_is_off_by_l_sin_theta() {
        let shaft = Shaft::of(&airframe(0.0, 3.0), 10.0).unwrap();
        assert!((shaft.at(120.0)[0] + 120.0 * 3f64.to_radians().sin()).abs() < 1e-9);
        let down = Shaft::of(&airframe(2.0, 0.0), 10.0).unwrap();
        assert!((down.at(120.0)[1] - 5.0 - 120.0 * 2f64.to_radians().sin()).abs() < 1e-9);
        assert!(Shaft::of(&airframe(2.0, 0.0), 0.0).is_none());
    }
}
