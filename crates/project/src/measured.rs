//! What a measured section gives to the master lines and to a shaped section.

use crate::document::{ArcKind, LineName, MeasuredSection, PointRole, UnitPoint, UnitSection};
use geometry::measured::{Measured, MeasuredCurve};

/// The values of the master lines at a measured section's station, mm. `None` where the section does not tell.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MasterValues {
    /// Height of the crown.
    pub crown: f64,
    /// Height of the keel.
    pub keel: f64,
    /// Greatest half-breadth.
    pub breadth: Option<f64>,
    /// Height of the greatest half-breadth; a section without breadth but with height has none.
    pub breadth_height: Option<f64>,
}

impl MasterValues {
    /// The value for a line.
    pub fn get(&self, line: LineName) -> Option<f64> {
        match line {
            LineName::Crown => Some(self.crown),
            LineName::Keel => Some(self.keel),
            LineName::Breadth => self.breadth,
            LineName::BreadthHeight => self.breadth_height,
        }
    }
}

impl MeasuredSection {
    /// A smooth section through points from crown to keel, without knuckles or ridges.
    pub fn through(points: Vec<[f64; 2]>) -> Self {
        Self {
            points,
            knuckles: Vec::new(),
            crown_ridge: false,
            keel_ridge: false,
            breadth_point: None,
            breadth_girth: None,
        }
    }

    /// Some point lies off the centre plane.
    pub fn has_breadth(&self) -> bool {
        self.points.iter().any(|[y, _]| *y > crate::promise::ON_CENTRE)
    }

    /// Some points lie higher than others.
    pub fn has_height(&self) -> bool {
        let crown = self.points.first().map_or(0.0, |[_, z]| *z);
        self.points.iter().any(|[_, z]| (z - crown).abs() > crate::promise::MIN_MEASURED_GAP)
    }

    /// It has breadth and height, and so gives a unit shape. Otherwise it only pins the master lines.
    pub fn has_shape(&self) -> bool {
        self.has_breadth() && self.has_height()
    }
}

/// The curve through a measured section's points; `None` where no curve can be laid through them.
pub fn curve(section: &MeasuredSection) -> Option<MeasuredCurve> {
    let knuckles: Vec<(u32, usize)> = section.knuckles.iter().map(|k| (k.number, k.point)).collect();
    let measured = Measured {
        points: &section.points,
        knuckles: &knuckles,
        crown_ridge: section.crown_ridge,
        keel_ridge: section.keel_ridge,
        breadth_point: section.breadth_point,
        breadth_girth: section.breadth_girth,
    };
    MeasuredCurve::new(&measured).ok()
}

/// What a measured section says of crown, keel, breadth and breadth height.
///
/// Breadth and its height are those of the widest place of the curve through the points, which may lie between two of
/// them. The section must keep its promises ([`crate::promise::check_measured`]); one without points gives zeros.
pub fn master_values(section: &MeasuredSection) -> MasterValues {
    let height = |point: Option<&[f64; 2]>| point.map_or(0.0, |[_, z]| *z);
    let [crown, keel] = [height(section.points.first()), height(section.points.last())];
    if !section.has_breadth() {
        let breadth_height = (!section.has_height()).then_some(crown);
        return MasterValues { crown, keel, breadth: Some(0.0), breadth_height };
    }
    let mark = if section.has_height() {
        curve(section).map(|c| [c.half_breadth, c.breadth_height])
    } else {
        section.points.iter().copied().reduce(|a, b| if b[0] > a[0] { b } else { a })
    };
    MasterValues { crown, keel, breadth: mark.map(|m| m[0]), breadth_height: mark.map(|m| m[1]) }
}

/// A measured section in unit coordinates, its points joined by cubics, for a copy elsewhere; `None` if it lacks breadth,
/// or height above or below the breadth.
pub fn unit_section(section: &MeasuredSection) -> Option<UnitSection> {
    let values = master_values(section);
    let [breadth, middle] = [values.breadth?, values.breadth_height?];
    let [above, below] = [values.crown - middle, middle - values.keel];
    let least = crate::promise::MIN_POINT_GAP;
    if breadth < least || above < least || below < least {
        return None;
    }
    let (mark, is_point) = curve(section)?.breadth_mark();
    let last = section.points.len() - 1;
    let to_unit = |(at, [y, z]): (usize, &[f64; 2])| {
        let knuckle = section.knuckles.iter().find(|knuckle| knuckle.point == at).map(|knuckle| knuckle.number);
        let (u, v, role) = match knuckle {
            _ if at == 0 => (0.0, 1.0, PointRole::Crown),
            _ if at == last => (0.0, -1.0, PointRole::Keel),
            knuckle if is_point && at == mark => (1.0, 0.0, PointRole::Breadth { knuckle }),
            Some(number) => (y / breadth, share(z - middle, above, below), PointRole::Knuckle { number, faded: false }),
            None => (y / breadth, share(z - middle, above, below), PointRole::Smooth),
        };
        UnitPoint { u, v, role }
    };
    let mut points: Vec<_> = section.points.iter().enumerate().map(to_unit).collect();
    if !is_point {
        points.insert(mark, UnitPoint { u: 1.0, v: 0.0, role: PointRole::Breadth { knuckle: None } });
    }
    let arcs = vec![ArcKind::Cubic; points.len() - 1];
    Some(UnitSection { points, arcs, crown_ridge: section.crown_ridge, keel_ridge: section.keel_ridge })
}

/// Height over the breadth as a share of the half box it lies in.
fn share(height: f64, above: f64, below: f64) -> f64 {
    height / if height > 0.0 { above } else { below }
}
