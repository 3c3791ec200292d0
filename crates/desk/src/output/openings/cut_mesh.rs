//! The finished form as a mesh with its openings.

use super::lining::{Lining, linings};
use form::openings::Target;
use form::shaft::RingTrim;
use geometry::loft::Loft;
use geometry::mesh::Mesh;
use project::document::Form;

/// What a mesh is of.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum MeshKind {
    /// The closed body, as if there were no openings.
    #[default]
    Body,
    /// The closed body, the ducts of openings as pockets with a floor. A plain hole has no depth and stays closed.
    Pockets,
    /// The surface alone, without thickness: holes along the edges of openings, lined by lip and inside of their ducts, which are
    /// open at their inner ends. Flat ends are open, unless the shell is closed there.
    Skin,
}

/// How a mesh is wanted.
#[derive(Clone, Copy, Debug, Default)]
pub struct MeshOrder<'a> {
    /// What it is of.
    pub kind: MeshKind,
    /// Greatest distance of its triangles from the surface, mm.
    pub tolerance: f64,
    /// The plane of the ring, which cuts off what lies ahead of it.
    pub trim: Option<&'a RingTrim>,
    /// Whether the front and the rear of the skin are closed.
    pub closed_ends: [bool; 2],
}

/// A mesh, and what became of the openings.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct CutMesh {
    /// The mesh.
    pub mesh: Mesh,
    /// How many holes or pockets were cut.
    pub cut: usize,
    /// Openings that were not cut: name, and why.
    pub left_out: Vec<(String, String)>,
}

/// The mesh of a form.
///
/// Its triangles stay within the tolerance of the surface as [`Loft::mesh`] says; the edge of a hole runs along chords that stay
/// within the tolerance of the opening's edge on the surface, and every corner on it is shared by the triangles that meet there.
pub fn cut_mesh(form: &Form, loft: &Loft, order: &MeshOrder<'_>) -> CutMesh {
    let whole = loft.mesh(order.tolerance);
    let mesh = order.trim.map_or_else(|| whole.clone(), |trim| whole.trimmed(&trim.oblique()));
    let mut made = CutMesh { mesh, ..CutMesh::default() };
    if order.kind == MeshKind::Body {
        return made;
    }
    let target = Target::new(loft, order.trim.copied());
    // Half of the tolerance each for the surface and for the edge on it.
    for lining in linings(&target, form, 0.5 * order.tolerance) {
        match lining {
            Ok(lining) => made.cut(&lining, order.kind),
            Err(left_out) => made.left_out.push(left_out),
        }
    }
    if order.kind == MeshKind::Skin {
        made.mesh = opened(made.mesh, loft, order);
    }
    made
}

impl CutMesh {
    fn cut(&mut self, lining: &Lining, kind: MeshKind) {
        if kind == MeshKind::Pockets && lining.rings.is_empty() {
            let why = "it has no duct, so there is nothing to hollow out".to_owned();
            self.left_out.push((lining.name.clone(), why));
            return;
        }
        match self.mesh.with_hole(&lining.edge, lining.sight) {
            Ok((mut mesh, rim)) => {
                let last = mesh.line_hole(&rim, &lining.rings);
                if kind == MeshKind::Pockets {
                    mesh.close_hole(&last, lining.sight);
                }
                self.mesh = mesh;
                self.cut += 1;
            }
            Err(why) => self.left_out.push((lining.name.clone(), why.to_string())),
        }
    }
}

/// Without the flat ends that are open.
fn opened(mesh: Mesh, loft: &Loft, order: &MeshOrder<'_>) -> Mesh {
    const ON: f64 = 1e-6;
    let (front, rear) = loft.x_range();
    let [closed_front, closed_rear] = order.closed_ends;
    let mut mesh = mesh;
    if !closed_front {
        mesh = mesh.without_face(|p| (p[0] - front).abs() < ON);
        if let Some(trim) = order.trim {
            mesh = mesh.without_face(|p| trim.ahead(p).abs() < ON);
        }
    }
    if closed_rear { mesh } else { mesh.without_face(|p| (p[0] - rear).abs() < ON) }
}

#[cfg(test)]
mod tests {
    use super::super::tests::{document, duct, intake, outlet};
    use super::*;
    use form::openings::{Hole, holes};
    use geometry::mesh::Mesh;

    fn order(kind: MeshKind, tolerance: f64) -> MeshOrder<'static> {
        MeshOrder { kind, tolerance, trim: None, closed_ends: [false; 2] }
    }

    /// Vertices of each closed line of open edges.
    fn rims(mesh: &Mesh) -> Vec<Vec<[f64; 3]>> {
        let place = |l: &Vec<u32>| l.iter().map(|v| mesh.vertices[*v as usize]).collect();
        mesh.open_loops().iter().map(place).collect()
    }

    /// The hole's own area is an integral over the true surface; what the mesh loses comes nearer to it as the mesh gets closer. The
    /// open edges are the two flat ends and the edges of the holes, and these run along the outlines.
    #[test]
    fn the_skin_loses_the_area_of_its_openings() {
        let (document, lofted) = document(vec![outlet(true), intake(None)]);
        let form = &document.forms[0];
        let loft = lofted.whole_skin().unwrap().loft();
        let target = Target::new(loft, None);
        let all: Vec<Hole> = holes(&target, form, 0.01).into_iter().map(Result::unwrap).collect();
        let exact: f64 = all.iter().map(|h| h.areas(&target).surface).sum();
        let mut before = f64::INFINITY;
        for tolerance in [0.4, 0.1, 0.025] {
            let closed = cut_mesh(form, loft, &order(MeshKind::Body, tolerance)).mesh;
            let made = cut_mesh(form, loft, &order(MeshKind::Skin, tolerance));
            assert!(made.cut == 3 && made.left_out.is_empty(), "{:?}", made.left_out);
            let (front, rear) = loft.x_range();
            let sides = closed.without_face(|p| p[0] == front).without_face(|p| p[0] == rear);
            let off = (sides.area() - made.mesh.area() - exact).abs();
            assert!(off < 0.6 * before, "{off} mm² of {exact} at {tolerance}");
            before = off;
            let rims = rims(&made.mesh);
            assert_eq!(rims.len(), 2 + 3);
            let on_end = |rim: &&Vec<[f64; 3]>| rim.iter().all(|p| p[0] == front || p[0] == rear);
            assert_eq!(rims.iter().filter(on_end).count(), 2);
            for p in rims.iter().filter(|rim| !on_end(rim)).flatten() {
                let off = |h: &Hole| {
                    let [a, b] = h.seen.axes();
                    let same_side =
                        h.centre.is_some_and(|c| (0..3).map(|k| (c.point[k] - p[k]).powi(2)).sum::<f64>() < 1e4);
                    if same_side { h.curve.nearest([p[a], p[b]]).1 } else { f64::INFINITY }
                };
                let off = all.iter().map(off).fold(f64::INFINITY, f64::min);
                assert!(off <= tolerance, "{p:?} is {off} mm off its outline");
            }
        }
        assert!(before < 2e-3 * exact, "{before} of {exact}");
    }

    /// With both ends closed the only open edges are those of the holes.
    #[test]
    fn closed_ends_stay_closed() {
        let (document, lofted) = document(vec![outlet(false)]);
        let loft = lofted.whole_skin().unwrap().loft();
        let closed = MeshOrder { closed_ends: [true; 2], ..order(MeshKind::Skin, 0.1) };
        assert_eq!(cut_mesh(&document.forms[0], loft, &closed).mesh.open_loops().len(), 1);
    }

    /// A duct's pocket takes away its own volume: between its outline on the surface and its inner one straight behind it, the integral
    /// of the depth over the outline as it is seen. Both meshes are closed.
    #[test]
    fn a_pocket_takes_the_volume_of_its_duct() {
        let (document, lofted) = document(vec![intake(Some(duct(30.0, 0.0)))]);
        let form = &document.forms[0];
        let loft = lofted.whole_skin().unwrap().loft();
        let target = Target::new(loft, None);
        let hole = holes(&target, form, 0.01).remove(0).unwrap();
        // The floor lies so far behind the middle of the opening; how far the surface lies ahead of it is read on a fine grid.
        let floor = hole.centre.unwrap().point[2] - 30.0;
        let ([low, high], cells) = (hole.curve.bounds(), 160);
        let cell = [0, 1].map(|k| (high[k] - low[k]) / f64::from(cells));
        let mut exact = 0.0;
        for (i, j) in (0..cells).flat_map(|i| (0..cells).map(move |j| (i, j))) {
            let at = [low[0] + (f64::from(i) + 0.5) * cell[0], low[1] + (f64::from(j) + 0.5) * cell[1]];
            if hole.curve.inside(at) {
                exact += (target.meet(hole.seen, at).unwrap().point[2] - floor) * cell[0] * cell[1];
            }
        }
        let closed = cut_mesh(form, loft, &order(MeshKind::Body, 0.05)).mesh;
        let made = cut_mesh(form, loft, &order(MeshKind::Pockets, 0.05));
        assert!(made.cut == 1 && made.mesh.open_edges() == 0, "{:?}, {} open", made.left_out, made.mesh.open_edges());
        let gone = closed.volume() - made.mesh.volume();
        // The grid's cells miss the outline by a share of about 1 / cells each way, at random.
        assert!((gone - exact).abs() < 3e-3 * exact, "{gone} against {exact}");
    }

    /// A lip rounds the edge: it takes away a little more, and stays closed. A plain hole has no pocket, and that is told.
    #[test]
    fn a_lip_takes_a_little_more() {
        let volume = |openings: Vec<project::opening::Opening>| {
            let (document, lofted) = document(openings);
            let loft = lofted.whole_skin().unwrap().loft();
            let made = cut_mesh(&document.forms[0], loft, &order(MeshKind::Pockets, 0.05));
            assert_eq!(made.mesh.open_edges(), 0);
            (made.mesh.volume(), made.left_out)
        };
        let (sharp, _) = volume(vec![intake(Some(duct(30.0, 0.0)))]);
        let (round, _) = volume(vec![intake(Some(duct(30.0, 3.0)))]);
        // Closed form for a square corner: (1 - π/4) r² for each mm of the edge; corners here are near square.
        let about = (1.0 - std::f64::consts::FRAC_PI_4) * 9.0 * std::f64::consts::PI * 35.0;
        assert!(sharp - round > 0.3 * about && sharp - round < 3.0 * about, "{} against {about}", sharp - round);
        let (_, left_out) = volume(vec![intake(None)]);
        assert!(left_out.len() == 1 && left_out[0].1.contains("no duct"));
    }
}
