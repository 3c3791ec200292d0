//! Every traced point of every photograph in one list.

use crate::outline::Spot;
use crate::task::Task;
use nalgebra::Vector2;

/// What a traced point belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Trace {
    /// The outline.
    Outline,
    /// A seam, by its index in its photograph.
    Seam(usize),
}

/// A traced point.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Point {
    pub(crate) photograph: usize,
    pub(crate) trace: Trace,
    /// Index within its outline or seam.
    pub(crate) index: usize,
    pub(crate) pixel: Vector2<f64>,
    /// Of a seam.
    pub(crate) station: f64,
    /// Which points share a closeness: the outline of a photograph, or all its seams.
    pub(crate) group: usize,
}

/// What the search remembers of a point.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Memory {
    /// The place it was last seen to show.
    pub(crate) spot: Option<Spot>,
    /// Left out as an outlier.
    pub(crate) left_out: bool,
}

/// Points that share a closeness.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Group {
    pub(crate) photograph: usize,
    pub(crate) outline: bool,
    /// As the builder states it, px.
    pub(crate) stated: f64,
    /// As it is used, px: wider where the form cannot follow what was traced.
    pub(crate) used: f64,
}

pub(crate) fn points(task: &Task) -> Vec<Point> {
    let mut out = Vec::new();
    for (photograph, p) in task.photographs.iter().enumerate() {
        let mut push = |trace, station, pixels: &[[f64; 2]]| {
            let group = 2 * photograph + usize::from(trace != Trace::Outline);
            let all = pixels.iter().enumerate();
            out.extend(all.map(|(index, q)| Point {
                photograph,
                trace,
                index,
                pixel: Vector2::from(*q),
                station,
                group,
            }));
        };
        push(Trace::Outline, 0.0, &p.outline);
        p.seams.iter().enumerate().for_each(|(i, seam)| push(Trace::Seam(i), seam.station, &seam.pixels));
    }
    out
}

/// Two for each photograph: its outline and its seams.
pub(crate) fn groups(task: &Task) -> Vec<Group> {
    let of = |(photograph, p): (usize, &crate::task::Photograph)| {
        let group = |outline: bool, stated: f64| Group { photograph, outline, stated, used: stated };
        [group(true, p.outline_sigma), group(false, p.seam_sigma)]
    };
    task.photographs.iter().enumerate().flat_map(of).collect()
}
