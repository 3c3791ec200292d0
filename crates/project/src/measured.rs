//! What a measured section gives to the master lines and to a shaped section.

use crate::document::{ArcKind, LineName, MeasuredSection, PointRole, UnitPoint, UnitSection};

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
    /// Some point lies off the centre plane.
    pub fn has_breadth(&self) -> bool {
        self.points.iter().any(|[y, _]| *y > crate::promise::ON_CENTRE)
    }

    /// Some points lie higher than others.
    pub fn has_height(&self) -> bool {
        self.points.windows(2).any(|pair| pair[0][1] != pair[1][1])
    }

    /// It has breadth and height, and so gives a unit shape. Otherwise it only pins the master lines.
    pub fn has_shape(&self) -> bool {
        self.has_breadth() && self.has_height()
    }
}

/// What a measured section says of crown, keel, breadth and breadth height.
///
/// The section must keep its promises ([`crate::promise::check_measured`]); one without points gives zeros.
pub fn master_values(section: &MeasuredSection) -> MasterValues {
    let height = |point: Option<&[f64; 2]>| point.map_or(0.0, |[_, z]| *z);
    let [crown, keel] = [height(section.points.first()), height(section.points.last())];
    let widest = widest_index(section).map(|at| section.points[at]);
    let told = section.has_breadth() || !section.has_height();
    MasterValues {
        crown,
        keel,
        breadth: widest.map(|[y, _]| y),
        breadth_height: widest.filter(|_| told).map(|[_, z]| z),
    }
}

/// Index of the point that serves as the breadth mark: the one named, else the one farthest from the centre plane.
fn widest_index(section: &MeasuredSection) -> Option<usize> {
    let named = section.breadth_point.filter(|at| *at < section.points.len());
    let wider = |best: usize, at: usize| if section.points[at][0] > section.points[best][0] { at } else { best };
    named.or_else(|| (0..section.points.len()).reduce(wider))
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
    let mark = widest_index(section)?;
    let last = section.points.len() - 1;
    let to_unit = |(at, [y, z]): (usize, &[f64; 2])| {
        let knuckle = section.knuckles.iter().find(|knuckle| knuckle.point == at).map(|knuckle| knuckle.number);
        let (u, v, role) = match knuckle {
            _ if at == 0 => (0.0, 1.0, PointRole::Crown),
            _ if at == last => (0.0, -1.0, PointRole::Keel),
            knuckle if at == mark => (1.0, 0.0, PointRole::Breadth { knuckle }),
            Some(number) => (y / breadth, share(z - middle, above, below), PointRole::Knuckle { number, faded: false }),
            None => (y / breadth, share(z - middle, above, below), PointRole::Smooth),
        };
        UnitPoint { u, v, role }
    };
    let points: Vec<_> = section.points.iter().enumerate().map(to_unit).collect();
    let arcs = vec![ArcKind::Cubic; points.len() - 1];
    Some(UnitSection { points, arcs, crown_ridge: section.crown_ridge, keel_ridge: section.keel_ridge })
}

/// Height over the breadth as a share of the half box it lies in.
fn share(height: f64, above: f64, below: f64) -> f64 {
    height / if height > 0.0 { above } else { below }
}
