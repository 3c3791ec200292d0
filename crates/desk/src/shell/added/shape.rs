//! The curves of an added form in the axes of the first, to be drawn in any view.

use super::Document;
use form::Lofted;
use form::meeting::{Placed, mirrored, outline_along};
use form::space::Vector;
use geometry::loft::Loft;
use project::document::LineName;

/// A curve through places, mm, in the axes of the first form.
type Curve = Vec<Vector>;

/// Curves of an added form as it is mounted.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct AddedShape {
    /// Crown and keel.
    pub centre: Vec<Curve>,
    /// The breadth line on both sides.
    pub breadth: Vec<Curve>,
    /// Its control sections, all round.
    pub sections: Vec<Curve>,
    /// Its rims, all round.
    pub rims: Vec<Curve>,
    /// There is a second one on the other side: every curve [`mirrored`].
    pub mirrored: bool,
}

impl AddedShape {
    /// Every curve, and those of the mirror image where there is one.
    pub fn curves(&self) -> Vec<Curve> {
        let own = [&self.centre, &self.breadth, &self.sections, &self.rims].into_iter().flatten().cloned();
        own.flat_map(|curve| {
            let twin = self.mirrored.then(|| curve.iter().copied().map(mirrored).collect());
            std::iter::once(curve).chain(twin)
        })
        .collect()
    }
}

/// The curves of form number `index`, chords within `tolerance` mm; `None` for a form that is not mounted or has no surface.
pub fn shape(document: &Document, index: usize, lofted: &Lofted, tolerance: f64) -> Option<AddedShape> {
    let form = document.forms.get(index).filter(|_| index > 0)?;
    let mount = form.mount?;
    let loft = lofted.skin.as_ref()?.loft();
    let placed = Placed::new(&mount);
    let put = |curve: Curve| curve.into_iter().map(|p| placed.to_first(p)).collect::<Curve>();
    let (low, high) = loft.x_range();
    let line = |name: LineName| {
        let points = lofted.line(name).map(|line| line.polyline(tolerance)).unwrap_or_default();
        points.into_iter().filter(|p| (low..=high).contains(&p[0]))
    };
    let breadth = |side: f64| {
        let height = &loft.lines().breadth_height;
        line(LineName::Breadth).map(|[x, y]| [x, side * y, height.at(x).value]).collect()
    };
    let centre = [LineName::Crown, LineName::Keel].map(|name| line(name).map(|[x, z]| [x, 0.0, z]).collect());
    let round = |x: f64| all_round(loft, x, tolerance);
    let stations = form.sections.iter().map(|s| s.station).filter(|x| *x > low && *x < high);
    Some(AddedShape {
        centre: centre.into_iter().map(put).collect(),
        breadth: [breadth(1.0), breadth(-1.0)].into_iter().map(put).collect(),
        sections: stations.filter_map(round).map(put).collect(),
        rims: [low, high].into_iter().filter_map(round).map(put).collect(),
        mirrored: mount.mirrored,
    })
}

/// The outline of a mounted form as parallel light along `sight` (in the first form's axes) shows it, without its mirror image.
pub fn outline(document: &Document, index: usize, lofted: &Lofted, sight: Vector, tolerance: f64) -> Vec<Curve> {
    let mount = document.forms.get(index).filter(|_| index > 0).and_then(|form| form.mount);
    let (Some(mount), Some(skin)) = (mount, &lofted.skin) else { return Vec::new() };
    let placed = Placed::new(&mount);
    let curves = outline_along(skin.loft(), placed.way_to_own(sight), tolerance);
    curves.into_iter().map(|curve| curve.into_iter().map(|p| placed.to_first(p)).collect()).collect()
}

/// The section at a station, all round; nothing of one that is a point.
fn all_round(loft: &Loft, x: f64, tolerance: f64) -> Option<Curve> {
    let half = loft.section(x)?.polyline(tolerance);
    let starboard = half.iter().map(|p| [x, p[0], p[1]]);
    let round: Curve = starboard.chain(half.iter().rev().skip(1).map(|p| [x, -p[0], p[1]])).collect();
    (round.len() > 2).then_some(round)
}
