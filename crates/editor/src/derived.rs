//! What is computed from the shown form: lines, sections, measures, mesh, findings. Brought up to date before anything
//! is drawn, and only when the form has changed.

use project::document::{Form, LineName};
use std::sync::Arc;

/// Everything derived from one form.
#[derive(Debug, Default)]
pub(crate) struct Derived {
    form: Option<Arc<Form>>,
    lines: [Vec<[f64; 2]>; 4],
    pub(crate) stations: Vec<Measured>,
    pub(crate) controls: Vec<Vec<[f64; 2]>>,
    /// Section area over x, mm and mm².
    pub(crate) areas: Vec<[f64; 2]>,
    pub(crate) body: Option<BodyMeasures>,
    /// Counts the changes, so that pictures made from it know when they are old.
    pub(crate) revision: u64,
}

/// A station's section and its measures.
#[derive(Clone, Debug)]
pub(crate) struct Measured {
    pub(crate) x: f64,
    /// Half section from crown to keel: (half-breadth, height).
    pub(crate) outline: Vec<[f64; 2]>,
    pub(crate) area: f64,
    pub(crate) girth: f64,
    pub(crate) half_breadth: f64,
}

/// Measures of the whole body.
#[derive(Clone, Copy, Debug)]
pub(crate) struct BodyMeasures {
    pub(crate) length: f64,
    pub(crate) volume: f64,
    pub(crate) surface: f64,
    pub(crate) centroid: [f64; 3],
}

/// The four master lines at one x: what unit coordinates are measured in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct HalfBox {
    pub(crate) crown: f64,
    pub(crate) keel: f64,
    pub(crate) breadth: f64,
    pub(crate) height: f64,
}

impl HalfBox {
    /// Unit coordinates to (half-breadth, height) in mm.
    pub(crate) fn model(&self, [u, v]: [f64; 2]) -> [f64; 2] {
        let half = if v >= 0.0 { self.crown - self.height } else { self.height - self.keel };
        [u * self.breadth, self.height + v * half]
    }

    /// (half-breadth, height) in mm to unit coordinates; nothing where the box has no breadth or height.
    pub(crate) fn unit(&self, [y, z]: [f64; 2]) -> Option<[f64; 2]> {
        let half = if z >= self.height { self.crown - self.height } else { self.height - self.keel };
        let unit = [y / self.breadth, (z - self.height) / half];
        unit.iter().all(|c| c.is_finite()).then_some(unit)
    }
}

impl Derived {
    /// Brings everything up to date with a form; does nothing when it has not changed.
    pub(crate) fn refresh(&mut self, form: &Arc<Form>) {
        if self.form.as_ref().is_some_and(|old| Arc::ptr_eq(old, form) || old == form) {
            return;
        }
        let revision = self.revision + 1;
        *self = Self { form: Some(form.clone()), revision, ..Self::default() };
        for (index, line) in LineName::ALL.into_iter().enumerate() {
            self.lines[index] = form.lines.get(line).points.iter().map(|p| [p.x, p.value]).collect();
        }
    }

    /// A master line as a polyline.
    pub(crate) fn line(&self, name: LineName) -> &[[f64; 2]] {
        let index = LineName::ALL.iter().position(|n| *n == name).unwrap_or(0);
        &self.lines[index]
    }

    /// A master line's value at x; nothing outside its ends.
    pub(crate) fn value(&self, name: LineName, x: f64) -> Option<f64> {
        along(self.line(name), x)
    }

    /// The master lines at x, where all four reach.
    pub(crate) fn half_box(&self, x: f64) -> Option<HalfBox> {
        Some(HalfBox {
            crown: self.value(LineName::Crown, x)?,
            keel: self.value(LineName::Keel, x)?,
            breadth: self.value(LineName::Breadth, x)?,
            height: self.value(LineName::BreadthHeight, x)?,
        })
    }

    /// The x of the station with the largest area.
    pub(crate) fn widest_station(&self) -> f64 {
        let widest = self.stations.iter().max_by(|a, b| a.area.total_cmp(&b.area));
        widest.map_or(f64::INFINITY, |s| s.x)
    }
}

/// The value of a polyline rising in x.
pub(crate) fn along(points: &[[f64; 2]], x: f64) -> Option<f64> {
    let after = points.partition_point(|p| p[0] < x);
    if after == 0 {
        return points.first().filter(|p| (p[0] - x).abs() < 1e-6).map(|p| p[1]);
    }
    let (a, b) = (points.get(after - 1)?, points.get(after)?);
    let share = if b[0] > a[0] { (x - a[0]) / (b[0] - a[0]) } else { 0.0 };
    Some(a[1] + share * (b[1] - a[1]))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn unit_coordinates_go_there_and_back() {
        let half_box = HalfBox { crown: 60.0, keel: -80.0, breadth: 50.0, height: 10.0 };
        assert_eq!(half_box.model([1.0, 0.0]), [50.0, 10.0]);
        assert_eq!(half_box.model([0.0, 1.0]), [0.0, 60.0]);
        assert_eq!(half_box.model([0.0, -1.0]), [0.0, -80.0]);
        for unit in [[0.3, 0.8], [0.9, -0.4]] {
            let again = half_box.unit(half_box.model(unit)).unwrap();
            assert!((again[0] - unit[0]).abs() < 1e-12 && (again[1] - unit[1]).abs() < 1e-12);
        }
        assert_eq!(HalfBox { breadth: 0.0, ..half_box }.unit([0.0, 5.0]), None);
    }

    #[test]
    fn a_line_has_no_value_outside_its_ends() {
        let line = [[0.0, 0.0], [10.0, 20.0]];
        assert_eq!(along(&line, 5.0), Some(10.0));
        assert_eq!(along(&line, 0.0), Some(0.0));
        assert_eq!(along(&line, 10.0), Some(20.0));
        assert_eq!(along(&line, 11.0), None);
        assert_eq!(along(&line, -1.0), None);
        assert_eq!(along(&[], 0.0), None);
    }
}
