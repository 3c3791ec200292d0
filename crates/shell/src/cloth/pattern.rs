//! The flat pattern: a net's own plane grid, cut where the cloth ends.
//!
//! In the flat every cell is a square. Each is cut along the line at which its corners' distances to the cut line say; edges that
//! two cells share fall away, and what is left is chained to outlines. The edges of a slit are kept.

use super::Cloth;
use super::slits::{Cut, Mended, Piece};
use crate::drape::{Node, Number};
use form::space::Vector;
use std::collections::BTreeMap;

/// A mark at the edge where a station crosses it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Notch {
    /// The station, mm aft of the datum.
    pub station: f64,
    /// Where it crosses the outline in the flat, mm.
    pub at: [f64; 2],
    /// The same on the form, mm.
    pub on_form: Vector,
    /// Unit vector along the outline there, the cloth at its left.
    pub along: [f64; 2],
}

/// How the pattern is cut from the roll.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RollCut {
    /// Length off the roll, mm.
    pub length: f64,
    /// Width taken up between the selvedges, mm; more than the cloth is wide if it does not fit.
    pub across: f64,
    /// Whether the pattern's warp lies along the roll; otherwise its weft does, which a balanced weave allows.
    pub warp_along: bool,
    /// Whether it fits between the selvedges.
    pub fits: bool,
}

/// A closed outline in the flat, the cloth at its left.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Outline {
    /// Places in the flat, mm: along the warp, along the weft, from the start cross.
    pub flat: Vec<[f64; 2]>,
    /// The same on the form, mm.
    pub on_form: Vec<Vector>,
}

/// A flat pattern, 1:1 in mm. The start cross lies at (0, 0), the grain (the warp) along the first axis.
#[derive(Clone, Debug, PartialEq)]
pub struct Pattern {
    /// Where the cloth is cut; the first is the largest.
    pub outlines: Vec<Outline>,
    /// Where it is trimmed on the form.
    pub trim: Vec<Outline>,
    /// The slits, from the tip to the edge.
    pub slits: Vec<[[f64; 2]; 2]>,
    /// Stations along the cut edge.
    pub notches: Vec<Notch>,
    /// Area of the cloth, mm².
    pub area: f64,
    /// From the roll.
    pub roll: RollCut,
}

/// The pattern of a cloth with notches at these stations.
pub fn pattern(mended: &Mended, cloth: &Cloth, stations: &[f64]) -> Pattern {
    let outlines = contour(mended, &|n| n.margin.cloth);
    let trim = contour(mended, &|n| n.margin.part);
    let cell = mended.pieces.first().map_or(1.0, |p| p.net.cell());
    let flat = |n: Number| n.map(|k| f64::from(k) * cell);
    let slit = |c: &Cut| {
        let tip = flat(c.tip);
        [tip, [0, 1].map(|k| tip[k] + c.length * f64::from(c.way[k]))]
    };
    Pattern {
        slits: mended.cuts.iter().map(slit).collect(),
        notches: outlines.iter().flat_map(|o| notches(o, stations)).collect(),
        area: outlines.iter().map(|o| area(&o.flat)).sum(),
        roll: roll(&outlines, cloth),
        outlines,
        trim,
    }
}

/// Twice-used places are told apart to this, mm.
const SAME: f64 = 1e-6;
type Key = [i64; 2];

#[derive(Clone, Copy, Debug)]
struct Corner {
    flat: [f64; 2],
    p: Vector,
}

impl Corner {
    fn key(&self) -> Key {
        self.flat.map(|c| (c / SAME).round() as i64)
    }
}

/// Outlines along which a distance that nodes have is 0.
fn contour(mended: &Mended, out: &impl Fn(&Node) -> f64) -> Vec<Outline> {
    // Where a cut runs along a line of the net, slivers of the next cells repeat an edge there and back: each is counted.
    let mut shared: BTreeMap<(Key, Key), Vec<[Corner; 2]>> = BTreeMap::new();
    let mut kept: Vec<[Corner; 2]> = Vec::new();
    for piece in &mended.pieces {
        let cell = piece.net.cell();
        for number in piece.cells().map(|c| c.number) {
            let corners = clipped(piece, number, out);
            for (k, from) in corners.iter().enumerate() {
                let to = corners[(k + 1) % corners.len()];
                let (a, b) = (from.key(), to.key());
                if a == b {
                    continue;
                }
                if mended.cuts.iter().any(|cut| lies_on(cut, cell, from.flat) && lies_on(cut, cell, to.flat)) {
                    kept.push([*from, to]);
                } else if shared.get_mut(&(b, a)).and_then(Vec::pop).is_none() {
                    shared.entry((a, b)).or_default().push([*from, to]);
                }
            }
        }
    }
    kept.extend(shared.into_values().flatten());
    let mut outlines = chained(&kept);
    outlines.sort_by(|a, b| area(&b.flat).total_cmp(&area(&a.flat)));
    outlines
}

/// Whether a flat place lies on a slit, beyond its tip or on it.
fn lies_on(cut: &Cut, cell: f64, p: [f64; 2]) -> bool {
    let along = usize::from(cut.way[0] == 0);
    let from_tip = [0, 1].map(|k| p[k] - f64::from(cut.tip[k]) * cell);
    from_tip[1 - along].abs() < SAME && from_tip[along] * f64::from(cut.way[along]) > -SAME
}

/// What of a cell lies inside.
fn clipped(piece: &Piece, number: Number, out: &impl Fn(&Node) -> f64) -> Vec<Corner> {
    let own = [0, 1].map(|k| number[k] - piece.offset[k]);
    let Some(nodes) = piece.net.corners(own) else { return Vec::new() };
    let cell = piece.net.cell();
    const ROUND: [Number; 4] = [[0, 0], [1, 0], [1, 1], [0, 1]];
    let corner = |k: usize| Corner { flat: [0, 1].map(|c| f64::from(number[c] + ROUND[k][c]) * cell), p: nodes[k].p };
    let mut inside = Vec::new();
    for k in 0..4 {
        let next = (k + 1) % 4;
        let (d, e) = (out(nodes[k]), out(nodes[next]));
        if d <= 0.0 {
            inside.push(corner(k));
        }
        if (d <= 0.0) != (e <= 0.0) {
            // From the same end by both cells that share the edge, so that both find the same place.
            let (a, b, d, e) = if k < 2 { (corner(k), corner(next), d, e) } else { (corner(next), corner(k), e, d) };
            let share = d / (d - e);
            let flat = [0, 1].map(|c| a.flat[c] + share * (b.flat[c] - a.flat[c]));
            inside.push(Corner { flat, p: [0, 1, 2].map(|c| a.p[c] + share * (b.p[c] - a.p[c])) });
        }
    }
    inside
}

/// Edges chained to closed outlines. Where several go on, the one furthest to the left is taken, and back only if there is no other:
/// so a slit is run along to its tip and back.
fn chained(edges: &[[Corner; 2]]) -> Vec<Outline> {
    let mut from: BTreeMap<Key, Vec<usize>> = BTreeMap::new();
    for (k, edge) in edges.iter().enumerate() {
        from.entry(edge[0].key()).or_default().push(k);
    }
    let mut used = vec![false; edges.len()];
    let mut outlines = Vec::new();
    for first in 0..edges.len() {
        let mut outline = Outline::default();
        let mut at = first;
        while !used[at] {
            used[at] = true;
            outline.flat.push(edges[at][0].flat);
            outline.on_form.push(edges[at][0].p);
            let next = from.get(&edges[at][1].key()).into_iter().flatten().copied().filter(|k| !used[*k]);
            let Some(next) = next.max_by(|a, b| turn(&edges[at], &edges[*a]).total_cmp(&turn(&edges[at], &edges[*b])))
            else {
                break;
            };
            at = next;
        }
        if outline.flat.len() > 2 {
            outlines.push(straightened(&outline));
        }
    }
    outlines
}

/// Angle from one edge to the next, positive to the left; straight back counts as furthest right.
fn turn(a: &[Corner; 2], b: &[Corner; 2]) -> f64 {
    let way = |e: &[Corner; 2]| [e[1].flat[0] - e[0].flat[0], e[1].flat[1] - e[0].flat[1]];
    let (d, e) = (way(a), way(b));
    let angle = (d[0] * e[1] - d[1] * e[0]).atan2(d[0] * e[0] + d[1] * e[1]);
    if angle > std::f64::consts::PI - 1e-6 { -angle } else { angle }
}

/// An outline without the places amid its straight stretches.
fn straightened(outline: &Outline) -> Outline {
    let n = outline.flat.len();
    let bends = |k: &usize| {
        let (a, b, c) = (outline.flat[(k + n - 1) % n], outline.flat[*k], outline.flat[(k + 1) % n]);
        let (d, e) = ([b[0] - a[0], b[1] - a[1]], [c[0] - b[0], c[1] - b[1]]);
        let straight = (d[0] * e[1] - d[1] * e[0]).abs() < 1e-9 && d[0] * e[0] + d[1] * e[1] > 0.0;
        !straight
    };
    let kept: Vec<usize> = (0..n).filter(bends).collect();
    Outline {
        flat: kept.iter().map(|k| outline.flat[*k]).collect(),
        on_form: kept.iter().map(|k| outline.on_form[*k]).collect(),
    }
}

/// Signed area inside an outline, mm²; positive where the inside is at its left.
fn area(round: &[[f64; 2]]) -> f64 {
    let next = round.iter().cycle().skip(1);
    0.5 * round.iter().zip(next).map(|(a, b)| a[0] * b[1] - a[1] * b[0]).sum::<f64>()
}

fn notches(outline: &Outline, stations: &[f64]) -> Vec<Notch> {
    let n = outline.flat.len();
    let mut out = Vec::new();
    for k in 0..n {
        let next = (k + 1) % n;
        let (x, to) = (outline.on_form[k][0], outline.on_form[next][0]);
        let (a, b) = (outline.flat[k], outline.flat[next]);
        let d = [b[0] - a[0], b[1] - a[1]];
        let long = d[0].hypot(d[1]).max(f64::MIN_POSITIVE);
        for &station in stations.iter().filter(|s| (x <= **s) != (to <= **s)) {
            let share = (station - x) / (to - x);
            let at = [0, 1].map(|c| a[c] + share * d[c]);
            let (p, q) = (outline.on_form[k], outline.on_form[next]);
            let on_form = [0, 1, 2].map(|c| p[c] + share * (q[c] - p[c]));
            out.push(Notch { station, at, on_form, along: d.map(|c| c / long) });
        }
    }
    out
}

/// The shorter way off the roll of those that fit, or the narrower one where none does.
fn roll(outlines: &[Outline], cloth: &Cloth) -> RollCut {
    let extent = |k: usize| {
        let values = || outlines.iter().flat_map(|o| o.flat.iter().map(move |p| p[k]));
        (values().fold(f64::NEG_INFINITY, f64::max) - values().fold(f64::INFINITY, f64::min)).max(0.0)
    };
    let (warp, weft) = (extent(0), extent(1));
    let of = |length: f64, across: f64, warp_along: bool| RollCut {
        length,
        across,
        warp_along,
        fits: across <= cloth.width,
    };
    let (a, b) = (of(warp, weft, true), of(weft, warp, false));
    match (a.fits, b.fits) {
        (true, true) => {
            if b.length < a.length {
                b
            } else {
                a
            }
        }
        (true, false) => a,
        (false, true) => b,
        (false, false) => {
            if b.across < a.across {
                b
            } else {
                a
            }
        }
    }
}
