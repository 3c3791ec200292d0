//! What is computed from the shown form: lines, sections, measures, mesh, findings. Brought up to date before anything
//! is drawn, and only when the form has changed.

use form::{FinishedSkin, Lofted};
use geometry::body::{AreaAt, BodyMeasures};
use geometry::line::Line;
use geometry::loft::Loft;
use geometry::weave::Weave;
use project::document::{Form, LineName};
use std::sync::Arc;

/// How near the drawn lines keep to the curves, mm: a tenth of what the eye sees at the usual scale.
const DRAWN: f64 = 0.02;
/// How many places of the curve of areas are drawn.
const AREA_PLACES: usize = 121;
/// The measures of the body are exact to this, mm.
const MEASURED: f64 = 1e-3;

/// Everything derived from one form.
#[derive(Debug, Default)]
pub(crate) struct Derived {
    form: Option<Arc<Form>>,
    lofted: Option<Arc<Lofted>>,
    lines: [Vec<[f64; 2]>; 4],
    pub(crate) stations: Vec<Measured>,
    pub(crate) controls: Vec<Vec<[f64; 2]>>,
    pub(crate) areas: Vec<AreaAt>,
    pub(crate) body: Option<BodyMeasures>,
    /// From the foremost to the rearmost end, mm.
    pub(crate) length: f64,
    /// Counts the changes, so that pictures made from it know when they are old.
    pub(crate) revision: u64,
}

/// A station's section and its measures.
#[derive(Clone, Debug)]
pub(crate) struct Measured {
    /// The station's index in the form.
    pub(crate) station: usize,
    pub(crate) x: f64,
    /// Half section from crown to keel: (half-breadth, height).
    pub(crate) outline: Vec<[f64; 2]>,
    pub(crate) area: f64,
    pub(crate) girth: f64,
    pub(crate) half_breadth: f64,
    pub(crate) top: f64,
    pub(crate) bottom: f64,
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
    pub(crate) fn refresh(&mut self, form: &Arc<Form>, loft: impl FnOnce() -> Arc<Lofted>) {
        if self.form.as_ref().is_some_and(|old| Arc::ptr_eq(old, form) || old == form) {
            return;
        }
        let lofted = loft();
        let mut derived = Self { form: Some(form.clone()), revision: self.revision + 1, ..Self::default() };
        derived.lines = LineName::ALL.map(|name| polyline(&lofted, form, name));
        if let Some(skin) = &lofted.skin {
            derived.measure(form, skin.loft());
        }
        derived.lofted = Some(lofted);
        *self = derived;
    }

    /// As [`Self::refresh`], without a desk that remembers lofts.
    #[cfg(test)]
    pub(crate) fn refresh_alone(&mut self, form: &Arc<Form>) {
        self.refresh(form, || Arc::new(form::loft(form)));
    }

    fn measure(&mut self, form: &Form, loft: &Loft) {
        let stations = form.stations.iter().enumerate();
        let weave = loft.weave(DRAWN);
        self.stations = stations.filter_map(|(station, &x)| measured(loft, &weave, station, x)).collect();
        let outline = |x| loft.section(x).map(|s| s.outline(&weave)).unwrap_or_default();
        self.controls = form.sections.iter().map(|s| outline(s.station)).collect();
        self.areas = loft.curve_of_areas(AREA_PLACES);
        self.body = Some(loft.measures(MEASURED));
        let (front, rear) = loft.x_range();
        self.length = rear - front;
    }

    /// The surface, once there is one.
    pub(crate) fn loft(&self) -> Option<&Loft> {
        self.lofted.as_ref()?.skin.as_ref().map(FinishedSkin::loft)
    }

    /// Lines and surface as they were lofted last.
    pub(crate) fn lofted(&self) -> Option<&Arc<Lofted>> {
        self.lofted.as_ref()
    }

    /// A master line as a curve, if it can be drawn.
    pub(crate) fn curve(&self, name: LineName) -> Option<&Line> {
        self.lofted.as_ref()?.line(name)
    }

    /// A master line as a polyline.
    pub(crate) fn line(&self, name: LineName) -> &[[f64; 2]] {
        let index = LineName::ALL.iter().position(|n| *n == name).unwrap_or(0);
        &self.lines[index]
    }

    /// A master line's value at x; nothing outside its ends.
    pub(crate) fn value(&self, name: LineName, x: f64) -> Option<f64> {
        let line = self.curve(name)?;
        let (front, rear) = line.range();
        (front..=rear).contains(&x).then(|| line.at(x).value)
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

/// A master line as it is drawn; one that is no curve yet still shows its points.
fn polyline(lofted: &Lofted, form: &Form, name: LineName) -> Vec<[f64; 2]> {
    let points = || form.lines.get(name).points.iter().map(|p| [p.x, p.value]).collect();
    lofted.line(name).map_or_else(points, |line| line.polyline(DRAWN))
}

fn measured(loft: &Loft, weave: &Weave, station: usize, x: f64) -> Option<Measured> {
    let section = loft.section(x)?;
    let measures = section.measures();
    Some(Measured {
        station,
        x,
        outline: section.outline(weave),
        area: measures.area,
        girth: measures.girth,
        half_breadth: section.half_breadth(),
        top: section.top(),
        bottom: section.bottom(),
    })
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
        let mut derived = Derived::default();
        derived.refresh_alone(&Arc::new(project::starter::blank_form(300.0, 100.0, 90.0, 120.0)));
        assert!(derived.half_box(0.0).is_some() && derived.half_box(300.0).is_some());
        assert_eq!(derived.half_box(-1.0), None);
        assert_eq!(derived.half_box(301.0), None);
    }

    #[test]
    fn stations_outside_the_form_are_left_out_and_the_others_keep_their_number() {
        let mut form = project::starter::blank_form(300.0, 100.0, 90.0, 120.0);
        form.stations = vec![-30.0, 60.0, 120.0];
        let mut derived = Derived::default();
        derived.refresh_alone(&Arc::new(form));
        assert_eq!(derived.stations.iter().map(|s| s.station).collect::<Vec<_>>(), [1, 2]);
    }
}
