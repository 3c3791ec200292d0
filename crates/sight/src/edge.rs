//! The whole edge of a form against the background: where the facing of a grid of places changes sign, refined along the grid's
//! lines and linked from cell to cell (marching squares, Lorensen and Cline 1987 in the plane).

use crate::outline::{Sight, Spot};
use crate::pose::Pose;
use crate::shape::{Frame, Shape};
use nalgebra::{Vector2, Vector3};
use photo::Camera;
use std::collections::BTreeMap;
use std::f64::consts::TAU;

/// Stations and angles at which the surface is looked at for the edge.
const STATIONS: usize = 72;
const ANGLES: usize = 72;

/// A place of the edge and its pixel.
pub(crate) type Seen = (Spot, Vector2<f64>);

/// Curves of the edge that a camera sees or would see if nothing of the form stood before them: places and their pixels, in order
/// along each curve, about 72 over the form's length. Empty where the camera has no edge of the form before it.
pub fn edge(shape: &Shape<'_>, camera: &Camera) -> Vec<Vec<(Spot, [f64; 2])>> {
    let pose = Pose::new(camera, Vector3::zeros());
    let curves = Sight::new(shape, &pose).edge_curves();
    curves.into_iter().map(|c| c.into_iter().map(|(spot, q)| (spot, [q.x, q.y])).collect()).collect()
}

/// A crossing lies between a node of the grid and the next one, by angle or by station.
type Crossing = (usize, usize, bool);

impl Sight<'_> {
    /// All places of the edge, in no order.
    pub(crate) fn edge(&self) -> Vec<Seen> {
        self.crossings().into_values().collect()
    }

    /// The edge in curves.
    pub(crate) fn edge_curves(&self) -> Vec<Vec<Seen>> {
        let crossings = self.crossings();
        let mut links: BTreeMap<Crossing, Vec<Crossing>> = BTreeMap::new();
        for i in 0..STATIONS - 1 {
            for j in 0..ANGLES {
                let next = (j + 1) % ANGLES;
                let sides = [(i, j, true), (i, next, false), (i + 1, j, true), (i, j, false)];
                let crossed: Vec<Crossing> = sides.into_iter().filter(|s| crossings.contains_key(s)).collect();
                for pair in crossed.chunks_exact(2) {
                    links.entry(pair[0]).or_default().push(pair[1]);
                    links.entry(pair[1]).or_default().push(pair[0]);
                }
            }
        }
        chains(&links)
            .into_iter()
            .map(|chain| chain.iter().filter_map(|c| crossings.get(c).copied()).collect())
            .collect()
    }

    fn crossings(&self) -> BTreeMap<Crossing, Seen> {
        let (low, length) = (self.shape.model().range().0, self.shape.model().length());
        let station = |i: usize| low + length * (i as f64 + 0.5) / STATIONS as f64;
        let angle = |j: usize| TAU * (j as f64 + 0.5) / ANGLES as f64;
        let frames: Vec<Option<Frame>> = (0..STATIONS).map(|i| self.shape.frame(station(i))).collect();
        let facing = |f: &Option<Frame>, j: usize| f.as_ref().map_or(f64::NAN, |f| self.facing(&f.place(angle(j))));
        let grid: Vec<Vec<f64>> = frames.iter().map(|f| (0..ANGLES).map(|j| facing(f, j)).collect()).collect();
        let mut out = BTreeMap::new();
        for (i, frame) in frames.iter().enumerate() {
            let Some(frame) = frame else { continue };
            for j in 0..ANGLES {
                let here = grid[i][j];
                let next = grid[i][(j + 1) % ANGLES];
                if here * next < 0.0 {
                    let turned = |a: f64| Some(self.facing(&frame.place(a)));
                    let spot = Spot { x: station(i), angle: root(angle(j), here, angle(j + 1), next, turned) };
                    out.extend(self.seen(spot).map(|seen| ((i, j, true), seen)));
                }
                let aft = grid.get(i + 1).map_or(f64::NAN, |r| r[j]);
                if here * aft < 0.0 {
                    let moved = |x: f64| self.shape.place(x, angle(j)).map(|p| self.facing(&p));
                    let spot = Spot { x: root(station(i), here, station(i + 1), aft, moved), angle: angle(j) };
                    out.extend(self.seen(spot).map(|seen| ((i, j, false), seen)));
                }
            }
        }
        out
    }

    fn seen(&self, spot: Spot) -> Option<Seen> {
        Some((spot, self.pose.pixel(&self.shape.place(spot.x, spot.angle)?.point)?))
    }
}

/// Walks from every loose end, then round what is left.
fn chains(links: &BTreeMap<Crossing, Vec<Crossing>>) -> Vec<Vec<Crossing>> {
    let loose = links.iter().filter(|(_, l)| l.len() == 1).map(|(c, _)| *c);
    let mut done = std::collections::BTreeSet::new();
    let mut out = Vec::new();
    for start in loose.chain(links.keys().copied()) {
        let mut chain = Vec::new();
        let mut here = Some(start).filter(|c| !done.contains(c));
        while let Some(crossing) = here {
            done.insert(crossing);
            chain.push(crossing);
            here = links.get(&crossing).and_then(|l| l.iter().copied().find(|c| !done.contains(c)));
        }
        if chain.len() > 1 {
            out.push(chain);
        }
    }
    out
}

/// Root between two places of opposite sign: regula falsi after Illinois (Dowell and Jarratt 1971), which keeps the bracket.
pub(crate) fn root(mut a: f64, mut fa: f64, mut b: f64, mut fb: f64, f: impl Fn(f64) -> Option<f64>) -> f64 {
    for _ in 0..40 {
        let m = (a * fb - b * fa) / (fb - fa);
        let Some(fm) = f(m) else { return m };
        if fm.abs() < 1e-12 || (b - a).abs() < 1e-12 * (a.abs() + b.abs()) {
            return m;
        }
        if fm * fb < 0.0 {
            (a, fa) = (b, fb);
        } else {
            fa *= 0.5;
        }
        (b, fb) = (m, fm);
    }
    b
}
