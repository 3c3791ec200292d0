//! What a new project begins with.

use std::f64::consts::SQRT_2;
use std::sync::Arc;

use crate::document::{
    ArcKind, ControlSection, Document, Form, Lengthwise, LineEnd, LinePoint, LinePointKind, MasterLine, MasterLines,
    PaperSetup, PointRole, SectionShape, UnitPoint, UnitSection,
};
use crate::promise::{MAX_STATIONS, MIN_POINT_GAP, apart};

/// Distance of the stations of a new form, mm.
const PITCH: f64 = 30.0;
/// The fullness that makes a conic between two right-angled tangents a quarter of an ellipse.
pub const ELLIPSE_RHO: f64 = SQRT_2 - 1.0;

/// An empty project at quarter scale with one empty form: nothing is drawn yet.
pub fn new_document(name: &str) -> Document {
    Document {
        name: name.to_owned(),
        model_scale: 4.0,
        forms: vec![Arc::new(empty_form("Form 1"))],
        pictures: Vec::new(),
        paper: PaperSetup::default(),
        airframe: Arc::default(),
        build: Arc::default(),
        shell: Arc::default(),
    }
}

/// A form with nothing in it.
pub fn empty_form(name: &str) -> Form {
    Form {
        name: name.to_owned(),
        lines: MasterLines::default(),
        sections: Vec::new(),
        stations: Vec::new(),
        lengthwise: Lengthwise::Fair,
        front_edge_radius: 0.0,
        rear_edge_radius: 0.0,
        openings: Vec::new(),
        mount: None,
        build: None,
    }
}

/// A form to begin with: flat at both ends, fuller aft, elliptic sections at both ends, a station every 30 mm.
///
/// It reaches from 0 to `length`; `half_breadth`, `crown_height` and `keel_depth` are its greatest, measured from the
/// datum waterline, all in mm and positive. Only forms that keep to [`crate::promise`] come out of such numbers.
pub fn blank_form(length: f64, half_breadth: f64, crown_height: f64, keel_depth: f64) -> Form {
    let swelling = |full: f64| line(length, [0.7 * full, 0.95 * full, full]);
    Form {
        lines: MasterLines {
            crown: swelling(crown_height),
            keel: swelling(-keel_depth),
            breadth: swelling(half_breadth),
            breadth_height: line(length, [0.0; 3]),
        },
        sections: vec![elliptic(0.0), elliptic(length)],
        stations: stations(length),
        ..empty_form("Form 1")
    }
}

fn line(length: f64, values: [f64; 3]) -> Arc<MasterLine> {
    let at = [0.0, length / 2.0, length];
    let point = |(x, value)| LinePoint { x, value, kind: LinePointKind::Smooth };
    let points = at.into_iter().zip(values).map(point).collect();
    Arc::new(MasterLine { points, front: LineEnd::Free, rear: LineEnd::Free })
}

fn elliptic(station: f64) -> Arc<ControlSection> {
    Arc::new(ControlSection { station, shape: SectionShape::Shaped(two_conics(ELLIPSE_RHO)) })
}

/// The section that every new control section is: two conics of one fullness.
pub fn two_conics(rho: f64) -> UnitSection {
    let point = |u, v, role| UnitPoint { u, v, role };
    UnitSection {
        points: vec![
            point(0.0, 1.0, PointRole::Crown),
            point(1.0, 0.0, PointRole::Breadth { knuckle: None }),
            point(0.0, -1.0, PointRole::Keel),
        ],
        arcs: vec![ArcKind::Conic { rho }; 2],
        crown_ridge: false,
        keel_ridge: false,
    }
}

/// Every 30 mm and at both ends, as many as are allowed.
fn stations(length: f64) -> Vec<f64> {
    let all = (0_u32..).map(|n| f64::from(n) * PITCH);
    let before_end = all.take_while(|x| apart(*x, length, MIN_POINT_GAP)).take(MAX_STATIONS - 1);
    before_end.chain([length]).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::promise::{check_document, check_form};

    #[test]
    fn what_a_project_begins_with_keeps_its_promises() {
        assert_eq!(check_document(&new_document("Test")), Ok(()));
        assert_eq!(check_form(&blank_form(240.0, 90.0, 110.0, 80.0)), Ok(()));
        assert_eq!(check_form(&blank_form(99_999.0, 90.0, 110.0, 80.0)), Ok(()));
    }

    #[test]
    fn stations_stand_at_both_ends_and_every_thirty_between() {
        assert_eq!(blank_form(100.0, 1.0, 1.0, 1.0).stations, [0.0, 30.0, 60.0, 90.0, 100.0]);
        assert_eq!(blank_form(60.0, 1.0, 1.0, 1.0).stations, [0.0, 30.0, 60.0]);
    }
}
