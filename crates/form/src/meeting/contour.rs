//! Lines of a skin along which some measure of it is nought: where a plane cuts it, and where it turns away from parallel light.
//!
//! Crossings of the measure with edges of triangles are bracketed roots on the skin; between two of them the root is sought square to
//! the chord.

use super::boxes::Bounds;
use super::chain::linked;
use super::crossing::{along, between};
use super::grid::Grid;
use super::linear::solve;
use super::skin::{At, Jet, Skin};
use crate::space::{Vector, cross, dot, length, sub, times, unit};
use geometry::loft::Loft;
use std::collections::HashMap;

/// A plane.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Plane {
    /// A place of it, mm.
    pub at: Vector,
    /// Square to it, of any length but none.
    pub normal: Vector,
}

impl Plane {
    fn height(&self, p: Vector) -> f64 {
        dot(sub(p, self.at), unit(self.normal))
    }
}

/// The curves in which a plane cuts the skin moved inward by `inward` mm along its normal, as polylines in the form's own axes; the
/// last place of a closed one is its first once more. Flat ends are open. Only what lies in the box `within` (two opposite corners) and
/// little beyond is sought where one is given. Places lie within 1e-6 mm of plane and moved skin; chords within `tolerance` mm, as far
/// as their middles tell.
pub fn cut_by_plane(
    loft: &Loft,
    plane: &Plane,
    inward: f64,
    within: Option<[Vector; 2]>,
    tolerance: f64,
) -> Vec<Vec<Vector>> {
    let skin = Skin::new(loft, None);
    let place = |jet: &Jet| if inward == 0.0 { jet.p } else { sub(jet.p, times(jet.normal(), inward)) };
    let coarse = Grid::coarse(&skin);
    let bounds = within.map_or_else(|| coarse.bounds(), Bounds::of);
    let Some(span) = coarse.span(&bounds.grown(inward.abs())) else { return Vec::new() };
    let grid = Grid::fine(&skin, &span, span.step).with_fans();
    let contour = Contour { skin: &skin, measure: &|jet| plane.height(place(jet)), place: &place, tolerance };
    contour.lines(&grid)
}

/// The outline of a form in parallel light along `sight`: where its skin turns away, and the rims of its flat ends. Polylines in the
/// form's own axes; parts that are hidden are there too.
pub fn outline_along(loft: &Loft, sight: Vector, tolerance: f64) -> Vec<Vec<Vector>> {
    let skin = Skin::new(loft, None);
    let contour = Contour { skin: &skin, measure: &|jet| dot(jet.normal(), sight), place: &|jet| jet.p, tolerance };
    let mut out = contour.lines(&Grid::coarse(&skin).with_fans());
    let ends = [0.0, 1.0].into_iter().zip(skin.tips()).filter(|(_, tip)| !tip);
    out.extend(ends.filter_map(|(s, _)| rim(&skin, s, tolerance)));
    out
}

/// All round the section at an end.
fn rim(skin: &Skin<'_>, s: f64, tolerance: f64) -> Option<Vec<Vector>> {
    let section = skin.section(s)?;
    let half = section.polyline(tolerance);
    let starboard = half.iter().map(|p| [section.x(), p[0], p[1]]);
    Some(starboard.chain(half.iter().rev().skip(1).map(|p| [section.x(), -p[0], p[1]])).collect())
}

/// A value this near to nought is nought: for heights in mm, and for cosines.
const NOUGHT: f64 = 1e-9;
/// A chord shorter than this is never divided, mm.
const SHORT: f64 = 0.02;
const DEEP: u32 = 8;

struct Contour<'a> {
    skin: &'a Skin<'a>,
    measure: &'a dyn Fn(&Jet) -> f64,
    place: &'a dyn Fn(&Jet) -> Vector,
    tolerance: f64,
}

#[derive(Clone, Copy)]
struct Spot {
    at: At,
    point: Vector,
}

impl Contour<'_> {
    fn value(&self, at: At) -> Option<(f64, Jet)> {
        let jet = self.skin.jet(at)?;
        Some(((self.measure)(&jet), jet))
    }

    fn lines(&self, grid: &Grid) -> Vec<Vec<Vector>> {
        let values = self.values(grid);
        let (mut known, mut spots, mut segments) = (HashMap::new(), Vec::new(), Vec::new());
        for triangle in grid.triangles() {
            let mut ends = Vec::new();
            for (i, j) in [(0, 1), (1, 2), (2, 0)] {
                let (a, b) = (triangle.nodes[i].min(triangle.nodes[j]), triangle.nodes[i].max(triangle.nodes[j]));
                if (values[a as usize] > 0.0) == (values[b as usize] > 0.0) {
                    continue;
                }
                let number = known.get(&(a, b)).copied().or_else(|| {
                    let found = self.on_edge([triangle.at[i], triangle.at[j]])?;
                    spots.push(found);
                    known.insert((a, b), spots.len() - 1);
                    Some(spots.len() - 1)
                });
                ends.extend(number);
            }
            if let [a, b] = ends[..] {
                segments.push([a, b]);
            }
        }
        let line = |chain: super::chain::Chain| {
            let again = chain.places.first().copied().filter(|_| chain.closed);
            let corners: Vec<Spot> = chain.places.iter().copied().chain(again).map(|i| spots[i]).collect();
            let mut out = vec![corners[0].point];
            for w in corners.windows(2) {
                self.fill(&w[0], &w[1], DEEP, &mut out);
                out.push(w[1].point);
            }
            out
        };
        linked(spots.len(), &segments).into_iter().map(line).collect()
    }

    /// The measure at every node.
    fn values(&self, grid: &Grid) -> Vec<f64> {
        let row = |s: &f64| {
            let row = self.skin.row(*s);
            let value = move |v: &f64| row.as_ref().map_or(f64::NAN, |row| (self.measure)(&row.jet(*v)));
            grid.columns.iter().map(value).collect::<Vec<f64>>()
        };
        grid.rows.iter().flat_map(row).collect()
    }

    /// The root on an edge of parameters, by bisection and the false position in turn.
    fn on_edge(&self, edge: [At; 2]) -> Option<Spot> {
        let (mut low, mut high) = (0.0, 1.0);
        let mut at_low = self.value(edge[0])?.0;
        let mut at_high = self.value(edge[1])?.0;
        let mut best = edge[0];
        for step in 0..60 {
            let false_position = low + (high - low) * at_low / (at_low - at_high);
            let share = if step % 3 == 2 || !false_position.is_finite() { 0.5 * (low + high) } else { false_position };
            best = along(&edge, share);
            let here = self.value(best)?.0;
            if here.abs() < NOUGHT || high - low < 1e-14 {
                break;
            }
            if (here > 0.0) == (at_low > 0.0) { (low, at_low) = (share, here) } else { (high, at_high) = (share, here) }
        }
        Some(Spot { at: best, point: (self.place)(&self.skin.jet(best)?) })
    }

    fn fill(&self, a: &Spot, b: &Spot, depth: u32, out: &mut Vec<Vector>) {
        let chord = sub(b.point, a.point);
        if depth == 0 || length(chord) < SHORT {
            return;
        }
        let Some(middle) = self.middle(a, b, chord) else { return };
        if length(sub(middle.point, between(a.point, b.point, 0.5))) <= self.tolerance {
            return;
        }
        self.fill(a, &middle, depth - 1, out);
        out.push(middle.point);
        self.fill(&middle, b, depth - 1, out);
    }

    /// The root square to a chord at its middle, by the secant method; `None` where it is not found near by.
    fn middle(&self, a: &Spot, b: &Spot, chord: Vector) -> Option<Spot> {
        let round = self.skin.round();
        let turn = b.at[1] - a.at[1];
        let turn = turn - round * (turn / round).round();
        let start = [0.5 * (a.at[0] + b.at[0]), a.at[1] + 0.5 * turn];
        let (first, jet) = self.value(start)?;
        let [p, q] = jet.by;
        let across = cross(jet.normal(), chord);
        let step = solve([[dot(p, p), dot(p, q)], [dot(p, q), dot(q, q)]], [dot(p, across), dot(q, across)])?;
        let at = |t: f64| [start[0] + t * step[0], start[1] + t * step[1]];
        let (mut t0, mut f0, mut t1) = (0.0, first, 0.01);
        for _ in 0..20 {
            let (f1, jet) = self.value(at(t1))?;
            if f1.abs() < NOUGHT {
                return Some(Spot { at: at(t1), point: (self.place)(&jet) });
            }
            let next = t1 - f1 * (t1 - t0) / (f1 - f0);
            (t0, f0) = (t1, f1);
            t1 = next;
            if !t1.is_finite() || t1.abs() > 0.5 {
                return None;
            }
        }
        None
    }
}
