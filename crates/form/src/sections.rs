//! Control sections of the document as control shapes.

use geometry::control::ControlShape;
use geometry::shaped::{Shaped, ShapedArc, ShapedCurve, ShapedError, ShapedRole};
use project::document::{ArcKind, ControlSection, PointRole, SectionShape, UnitSection};

/// Why a control section gives no shape, or gives it only in part.
#[derive(Clone, Debug, PartialEq)]
pub enum SectionProblem {
    /// No curve.
    NoCurve(String),
    /// Arcs asked to be conics whose end tangents no conic can join.
    NotConic(Vec<usize>),
}

/// The control shape of a section, with what is wrong with it. A pinned section without breadth or height gives a shape
/// without halves and no problem.
pub fn control_shape(section: &ControlSection) -> (Option<ControlShape>, Option<SectionProblem>) {
    match &section.shape {
        SectionShape::Pinned(measured) if !measured.has_shape() => (None, None),
        SectionShape::Pinned(measured) => match project::measured::curve(measured) {
            Some(curve) => (Some(curve.control_shape(section.station)), None),
            None => (None, Some(SectionProblem::NoCurve("no curve can be laid through its measured points".into()))),
        },
        SectionShape::Shaped(unit) => match shaped_curve(unit) {
            Ok(curve) => {
                let problem = (!curve.not_conic.is_empty()).then(|| SectionProblem::NotConic(curve.not_conic.clone()));
                (Some(curve.control_shape(section.station)), problem)
            }
            Err(e) => (None, Some(SectionProblem::NoCurve(e.to_string()))),
        },
    }
}

/// The curve of a shaped section in unit coordinates.
///
/// # Errors
/// No curve can be laid through its points.
pub fn shaped_curve(unit: &UnitSection) -> Result<ShapedCurve, ShapedError> {
    let points: Vec<[f64; 2]> = unit.points.iter().map(|p| [p.u, p.v]).collect();
    let roles: Vec<ShapedRole> = unit.points.iter().map(|p| role(p.role)).collect();
    let arcs: Vec<ShapedArc> = unit.arcs.iter().map(|a| arc(*a)).collect();
    ShapedCurve::new(&Shaped {
        points: &points,
        roles: &roles,
        arcs: &arcs,
        crown_ridge: unit.crown_ridge,
        keel_ridge: unit.keel_ridge,
    })
}

fn role(role: PointRole) -> ShapedRole {
    match role {
        PointRole::Crown | PointRole::Keel | PointRole::Smooth => ShapedRole::Smooth,
        PointRole::Breadth { knuckle: None } => ShapedRole::Breadth,
        PointRole::Breadth { knuckle: Some(n) } => ShapedRole::BreadthKnuckle(n),
        PointRole::Knuckle { number, faded: false } => ShapedRole::Knuckle(number),
        PointRole::Knuckle { number, faded: true } => ShapedRole::Faded(number),
    }
}

fn arc(kind: ArcKind) -> ShapedArc {
    match kind {
        ArcKind::Cubic => ShapedArc::Cubic,
        ArcKind::Conic { rho } => ShapedArc::Conic(rho),
        ArcKind::Superelliptic { exponent } => ShapedArc::Superelliptic(exponent),
    }
}
