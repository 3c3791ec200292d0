//! How far a form lies from another: outlines square to themselves, sections by half-breadths.

use geometry::loft::Loft;
use project::document::{Document, LineName};

/// Distances, mm at the model.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Compared {
    /// Greatest distance of crown and keel from those of the other, square to them.
    pub(crate) side: f64,
    /// The same of the outline seen from ahead.
    pub(crate) face: f64,
    /// Root mean square difference of half-breadths over 23 stations and 19 heights.
    pub(crate) sections: f64,
}

pub(crate) fn loft(document: &Document) -> Loft {
    form::loft(&document.forms[0]).skin.expect("a whole form").loft().clone()
}

pub(crate) fn compare(form: &Document, truth: &Document) -> Compared {
    let side = [LineName::Crown, LineName::Keel].map(|name| {
        let curve = |d: &Document| {
            let line = form::line(d.forms[0].lines.get(name)).unwrap();
            (0..=360).map(|x| [f64::from(x), line.at(f64::from(x)).value]).collect::<Vec<_>>()
        };
        farthest(&curve(form), &curve(truth))
    });
    let (a, b) = (loft(form), loft(truth));
    let face = farthest(&face(&a), &face(&b));
    Compared { side: side[0].max(side[1]), face, sections: sections(&a, &b) }
}

pub(crate) fn half_breadth(loft: &Loft, x: f64, z: f64) -> Option<f64> {
    let points = loft.section(x)?.polyline(0.002);
    let [a, b] = points.windows(2).find(|w| w[0][1] >= z && w[1][1] < z).map(|w| [w[0], w[1]])?;
    Some(a[0] + (a[1] - z) / (a[1] - b[1]) * (b[0] - a[0]))
}

/// From crown to keel the greatest half-breadth of all sections.
fn face(loft: &Loft) -> Vec<[f64; 2]> {
    let sections: Vec<Vec<[f64; 2]>> =
        (1..72).filter_map(|i| Some(loft.section(5.0 * f64::from(i))?.polyline(0.01))).collect();
    let at = |points: &Vec<[f64; 2]>, z: f64| {
        let pair = points.windows(2).find(|w| w[0][1] >= z && w[1][1] < z)?;
        let t = (pair[0][1] - z) / (pair[0][1] - pair[1][1]);
        Some(pair[0][0] + t * (pair[1][0] - pair[0][0]))
    };
    let widest = |z: f64| sections.iter().filter_map(|s| at(s, z)).fold(0.0, f64::max);
    let ends = |pick: fn(f64, f64) -> f64, of: fn(&Vec<[f64; 2]>) -> f64| sections.iter().map(of).reduce(pick).unwrap();
    let (keel, crown) = (ends(f64::min, |s| s[s.len() - 1][1]), ends(f64::max, |s| s[0][1]));
    let inner = (1..400).map(|i| keel + (crown - keel) * f64::from(i) / 400.0).map(|z| [widest(z), z]);
    [[0.0, keel]].into_iter().chain(inner).chain([[0.0, crown]]).collect()
}

/// The greatest distance of a point of one curve from the other.
fn farthest(points: &[[f64; 2]], curve: &[[f64; 2]]) -> f64 {
    let nearest = |p: &[f64; 2]| curve.windows(2).map(|w| distance(*p, w[0], w[1])).fold(f64::INFINITY, f64::min);
    points.iter().map(nearest).fold(0.0, f64::max)
}

fn distance(p: [f64; 2], a: [f64; 2], b: [f64; 2]) -> f64 {
    let (u, v) = ([b[0] - a[0], b[1] - a[1]], [p[0] - a[0], p[1] - a[1]]);
    let t = ((u[0] * v[0] + u[1] * v[1]) / (u[0] * u[0] + u[1] * u[1])).clamp(0.0, 1.0);
    (v[0] - t * u[0]).hypot(v[1] - t * u[1])
}

fn sections(form: &Loft, truth: &Loft) -> f64 {
    let (mut sum, mut count) = (0.0, 0.0);
    for i in 1..24 {
        let x = 15.0 * f64::from(i);
        let section = truth.section(x).unwrap();
        let (crown, keel) = (section.crown(), section.keel());
        for j in 1..20 {
            let z = keel + (crown - keel) * f64::from(j) / 20.0;
            // Where the form does not reach so high, it has no half-breadth at all.
            let off = half_breadth(form, x, z).unwrap_or(0.0) - half_breadth(truth, x, z).unwrap();
            sum += off * off;
            count += 1.0;
        }
    }
    f64::sqrt(sum / count)
}
