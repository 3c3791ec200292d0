//! The shoulder of an arc between two points of a control section: the handle that sets its fullness or exponent.
//!
//! A conic's shoulder divides the way from the middle of its chord to the meeting of its end tangents in the ratio rho
//! (Liming's construction). A superelliptic quarter of exponent n meets the diagonal of its box at the share 2^(-1/n).
//! Either way it lies on a straight way, at a share that belongs to one fullness or exponent.

use geometry::arc::Arc;
use project::document::{ArcKind, ControlSection, SectionShape};

/// A straight way in unit coordinates, and how far along it the shoulder lies.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Shoulder {
    from: [f64; 2],
    way: [f64; 2],
    share: f64,
}

/// Ways shorter than this, in unit coordinates, belong to arcs that are all but straight and have no shoulder to take
/// hold of.
const SHORTEST: f64 = 0.01;

/// The shoulders of a shaped section's arcs, in order; none for cubics and for what cannot be a conic.
pub(crate) fn of(section: &ControlSection) -> Vec<Option<Shoulder>> {
    let SectionShape::Shaped(unit) = &section.shape else { return Vec::new() };
    let (shape, _) = form::control_shape(section);
    let halves = shape.into_iter().flat_map(|s| [s.upper, s.lower]).flatten();
    let arcs: Vec<Arc> = halves.flat_map(|half| half.chain.arcs().to_vec()).collect();
    unit.arcs.iter().zip(arcs).map(|(kind, arc)| Shoulder::new(*kind, &arc)).collect()
}

impl Shoulder {
    fn new(kind: ArcKind, arc: &Arc) -> Option<Self> {
        let (from, way, share) = match (kind, arc) {
            (ArcKind::Conic { .. }, Arc::Conic(conic)) => {
                let middle = std::array::from_fn(|k| f64::midpoint(conic.a[k], conic.b[k]));
                (middle, std::array::from_fn(|k| conic.c[k] - middle[k]), conic.rho())
            }
            (ArcKind::Superelliptic { .. }, Arc::Superelliptic(quarter)) => {
                let diagonal = std::array::from_fn(|k| quarter.ex[k] + quarter.ey[k]);
                (quarter.origin, diagonal, 0.5_f64.powf(1.0 / quarter.exponent))
            }
            _ => return None,
        };
        (way[0].hypot(way[1]) > SHORTEST).then_some(Self { from, way, share })
    }

    /// Where it lies, in unit coordinates.
    pub(crate) fn at(&self) -> [f64; 2] {
        std::array::from_fn(|k| self.from[k] + self.share * self.way[k])
    }

    /// The same kind of arc with its shoulder as near to a place as it can be.
    pub(crate) fn kind_through(&self, kind: ArcKind, at: [f64; 2]) -> ArcKind {
        let along = (0..2).map(|k| (at[k] - self.from[k]) * self.way[k]).sum::<f64>();
        let share = along / self.way.iter().map(|w| w * w).sum::<f64>();
        match kind {
            ArcKind::Cubic => ArcKind::Cubic,
            ArcKind::Conic { .. } => ArcKind::Conic { rho: share.clamp(0.05, 0.95) },
            ArcKind::Superelliptic { .. } => {
                let share = share.clamp(0.55, 0.97);
                ArcKind::Superelliptic { exponent: (0.5_f64.ln() / share.ln()).clamp(1.2, 20.0) }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use project::document::{PointRole, UnitPoint, UnitSection};

    fn section(kinds: [ArcKind; 3]) -> ControlSection {
        let point = |u, v, role| UnitPoint { u, v, role };
        let points = vec![
            point(0.0, 1.0, PointRole::Crown),
            point(0.75, 0.72, PointRole::Smooth),
            point(1.0, 0.0, PointRole::Breadth { knuckle: None }),
            point(0.0, -1.0, PointRole::Keel),
        ];
        let unit = UnitSection { points, arcs: kinds.to_vec(), crown_ridge: false, keel_ridge: false };
        ControlSection { station: 0.0, shape: SectionShape::Shaped(unit) }
    }

    #[test]
    fn a_shoulder_dragged_to_where_it_lies_changes_nothing() {
        for rho in [0.2, 0.414_213_562, 0.7] {
            let kinds = [ArcKind::Conic { rho }; 3];
            let shoulders = of(&section(kinds));
            assert_eq!(shoulders.len(), 3);
            for shoulder in shoulders {
                let shoulder = shoulder.expect("each of these arcs is a conic");
                let ArcKind::Conic { rho: again } = shoulder.kind_through(kinds[0], shoulder.at()) else { panic!() };
                assert!((again - rho).abs() < 1e-12);
            }
        }
    }

    #[test]
    fn the_shoulder_of_a_quarter_lies_on_the_diagonal_of_its_box() {
        let kinds = [ArcKind::Cubic, ArcKind::Cubic, ArcKind::Superelliptic { exponent: 2.5 }];
        let shoulders = of(&section(kinds));
        assert_eq!(shoulders[0], None);
        let shoulder = shoulders[2].expect("a quarter");
        let t = 0.5_f64.powf(1.0 / 2.5);
        assert!((shoulder.at()[0] - t).abs() < 1e-12 && (shoulder.at()[1] + t).abs() < 1e-12);
        let fuller = shoulder.kind_through(kinds[2], [0.9, -0.9]);
        let ArcKind::Superelliptic { exponent } = fuller else { panic!() };
        assert!((0.5_f64.powf(1.0 / exponent) - 0.9).abs() < 1e-12);
    }
}
