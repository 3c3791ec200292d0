//! Plain sheets unfold exactly: glass or veneer wrapped round a part that bends one way only.
//!
//! Strips between neighbouring rulings are laid down side by side with the lengths they have in space. What has Gaussian curvature
//! does not unfold; twist and bow tell.

use crate::drape::{Jet, Outside, Surface};
use form::space::{Vector, cross, dot, length, sub};

/// A sheet unfolded between two edges.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Unfolded {
    /// One edge, mm.
    pub first: Vec<[f64; 2]>,
    /// The other.
    pub second: Vec<[f64; 2]>,
    /// Greatest angle between the normals at the two ends of a ruling, degrees: 0 where the sheet bends one way only.
    pub twist_deg: f64,
    /// Greatest distance of the surface from the middle of a ruling, mm: 0 where rulings are straight.
    pub bow: f64,
}

impl Unfolded {
    /// Whether a plain sheet would lie down: twist below a degree, bow below 0.1 mm.
    pub fn lies_down(&self) -> bool {
        self.twist_deg < 1.0 && self.bow < 0.1
    }

    /// Its area, mm².
    pub fn area(&self) -> f64 {
        let round: Vec<[f64; 2]> = self.first.iter().chain(self.second.iter().rev()).copied().collect();
        let twice = |k: usize| {
            let (a, b) = (round[k], round[(k + 1) % round.len()]);
            a[0] * b[1] - a[1] * b[0]
        };
        0.5 * (0..round.len()).map(twice).sum::<f64>().abs()
    }
}

/// Unfolds the sheet between two values of the first parameter, from one value of the second to another, in `count` strips. For a
/// cone or cylinder the outline goes to the exact one with the square of their number.
pub fn develop(outside: &Outside, between: [f64; 2], round: [f64; 2], count: usize) -> Unfolded {
    let count = count.max(1);
    let ruling = |k: usize| {
        let v = round[0] + (round[1] - round[0]) * k as f64 / count as f64;
        let jet = |s: f64| outside.jet(outside.sheet([s, v]), [s, v]);
        [jet(between[0]), jet(0.5 * (between[0] + between[1])), jet(between[1])]
    };
    unfold((0..=count).map(ruling))
}

/// Unfolds strips between rulings, each given by its start, middle and end.
pub fn unfold(rulings: impl Iterator<Item = [Jet; 3]>) -> Unfolded {
    let mut out = Unfolded::default();
    let mut before: Option<[Vector; 2]> = None;
    for [a, m, b] in rulings {
        let (na, nb) = (a.normal(), b.normal());
        out.twist_deg = out.twist_deg.max(length(cross(na, nb)).atan2(dot(na, nb)).to_degrees());
        let middle = [0, 1, 2].map(|k| 0.5 * (a.p[k] + b.p[k]));
        let along = form::space::unit(sub(b.p, a.p));
        out.bow = out.bow.max(length(cross(sub(m.p, middle), along)));
        match (before, out.first.last().copied().zip(out.second.last().copied())) {
            (Some([pa, pb]), Some((fa, fb))) => {
                // The strip is flat but for a twist that vanishes with its width: both diagonals would serve.
                let first = third(fa, fb, length(sub(a.p, pa)), length(sub(a.p, pb)));
                let second = third(first, fb, length(sub(b.p, a.p)), length(sub(b.p, pb)));
                out.first.push(first);
                out.second.push(second);
            }
            _ => {
                out.first.push([0.0, 0.0]);
                out.second.push([length(sub(b.p, a.p)), 0.0]);
            }
        }
        before = Some([a.p, b.p]);
    }
    out
}

/// The corner to the left of the way from `a` to `b` at these distances from both.
fn third(a: [f64; 2], b: [f64; 2], from_a: f64, from_b: f64) -> [f64; 2] {
    let d = [b[0] - a[0], b[1] - a[1]];
    let base = d[0].hypot(d[1]).max(f64::MIN_POSITIVE);
    let along = (from_a * from_a - from_b * from_b + base * base) / (2.0 * base);
    let up = (from_a * from_a - along * along).max(0.0).sqrt();
    let e = [d[0] / base, d[1] / base];
    [a[0] + along * e[0] - up * e[1], a[1] + along * e[1] + up * e[0]]
}
