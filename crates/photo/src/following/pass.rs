//! One run of an edge between corners: chosen along the picked line, then measured along the edge itself.

use super::curve::{Frame, curvature, distance, frames, through};
use super::measure::{Measure, median};
use super::path::Grid;
use super::smooth::smoothed;
use super::strip::{Sampling, Strip, is_on, margin, offset, samples};
use super::{Doubt, EdgePoint, Following, SAME_PLACE};
use crate::Photo;
use std::ops::Range;

/// Picks between two corners.
pub(super) struct Run {
    pub(super) picks: Vec<[f64; 2]>,
    pub(super) closed: bool,
}

/// How far to each side of the chosen edge it is measured, pixels.
const NARROW: f64 = 2.5;
/// How far to each side of the measured edge its noise is looked at, pixels.
const BESIDE: f64 = 12.0;
/// The Gaussian along the edge by which samples are averaged, pixels.
const ALONG: f64 = 1.5;
/// What a path pays for a move of one sample aside, against a gain of at most 1 for each pixel.
const STIFFNESS: f32 = 0.15;
/// An edge stands out of its noise by this much at least. In three colours noise alone does so once in 70 000.
const LEAST_SIGNAL: f64 = 5.0;
/// A change of light smaller than this is none: about two levels of 255 in the darks.
const LEAST_STRENGTH: f64 = 0.002;
/// Half a window of smoothing, pixels.
const SMOOTH: usize = 8;

impl Run {
    pub(super) fn new(picks: &[[f64; 2]]) -> Self {
        let mut kept: Vec<[f64; 2]> = Vec::with_capacity(picks.len());
        for &pick in picks {
            if kept.last().is_none_or(|&last| distance(last, pick) > 0.01) {
                kept.push(pick);
            }
        }
        let closed = kept.len() >= 4 && distance(kept[0], kept[kept.len() - 1]) <= SAME_PLACE;
        if closed {
            let (first, last) = (kept[0], kept.len() - 1);
            kept[last] = first;
        }
        Self { picks: kept, closed }
    }

    /// The picked line, of a closed one with a piece of its end before its beginning and the other way round; and which of
    /// its points are the line itself.
    fn line(&self) -> (Vec<[f64; 2]>, Range<usize>) {
        let line = through(&self.picks, self.closed);
        let last = line.len() - 1;
        if !self.closed {
            return (line, 0..last + 1);
        }
        let over = (last / 2).min(60);
        let before = &line[last - over..last];
        let after = &line[1..=over];
        ([before, &line, after].concat(), over..over + last + 1)
    }
}

/// The edge chosen along the picked line.
struct Chosen {
    /// Points of the edge, one for each frame of the picked line.
    line: Vec<[f64; 2]>,
    /// Where another edge competes.
    rival: Vec<bool>,
    /// Which of them belong to the line itself.
    own: Range<usize>,
}

/// Points along the edge near a run.
pub(super) fn followed(picture: &Photo, run: &Run, how: &Following) -> Vec<EdgePoint> {
    let chosen = chosen(picture, run, how);
    // Rough picks leave waves in the line that was chosen, and samples averaged along a wave are off: so once more, along the
    // line that was measured.
    let first = Measured::along(picture, &chosen.line, how, 0.5 * BESIDE);
    let smooth = smoothed_line(&first.frames, &first.offsets(), SMOOTH / 2);
    let Measured { frames, found } = Measured::along(picture, &smooth, how, BESIDE);
    let chosen_row: Vec<usize> = frames.iter().map(|f| first.frames[f.source].source).collect();
    let off_line = off_line(&found);
    let own: Vec<usize> = (0..frames.len()).filter(|&i| chosen.own.contains(&chosen_row[i])).collect();
    let point = |row: usize| {
        let mut point = placed(picture, &frames, row, found[row], how);
        if point.doubt.is_none() {
            let rival = chosen.rival[chosen_row[row]].then_some(Doubt::TwoEdges);
            point.doubt = rival.or(off_line[row].then_some(Doubt::OffLine));
        }
        point
    };
    spaced(&own, how.spacing, run.closed).into_iter().map(point).collect()
}

/// An edge measured in linear light, close to a line that is known already; its noise is looked at as far as `beside`, pixels.
struct Measured {
    frames: Vec<Frame>,
    found: Vec<Option<Measure>>,
}

impl Measured {
    fn along(picture: &Photo, line: &[[f64; 2]], how: &Following, beside: f64) -> Self {
        let frames = frames(line);
        let reach = samples(beside) + margin(how.scale);
        let strip = Strip::sampled(picture, &frames, reach, Sampling::Measured);
        let strip = strip.averaged_along(ALONG).differentiated_across(how.scale);
        let path = path(&strip, NARROW, |_| 1.0);
        let found = path.iter().enumerate().map(|(row, &j)| strip.measure(row, j, how.scale)).collect();
        Self { frames, found }
    }

    /// Offset and weight of every row.
    fn offsets(&self) -> Vec<(f64, f64)> {
        let clear = |m: &Measure| m.signal_to_noise >= LEAST_SIGNAL && m.offset.abs() <= NARROW + 1.0;
        let one =
            |m: &Option<Measure>| m.filter(clear).map_or((0.0, 0.01), |m| (m.offset, m.signal_to_noise.min(20.0)));
        self.found.iter().map(one).collect()
    }
}

/// A line moved by offsets (each with its weight) that are made smooth over `half` rows to each side.
fn smoothed_line(frames: &[Frame], offsets: &[(f64, f64)], half: usize) -> Vec<[f64; 2]> {
    let (offsets, weights): (Vec<f64>, Vec<f64>) = offsets.iter().copied().unzip();
    frames.iter().zip(smoothed(&offsets, &weights, half)).map(|(f, o)| f.across(o)).collect()
}

fn nearness(half_width: f64) -> impl Fn(f64) -> f32 + Copy {
    move |off: f64| (1.0 - 0.6 * (off / half_width).powi(2)) as f32
}

fn chosen(picture: &Photo, run: &Run, how: &Following) -> Chosen {
    let (line, own) = run.line();
    let frames = frames(&line);
    let half = samples(how.half_width);
    let strip = Strip::sampled(picture, &frames, half + margin(how.scale), Sampling::Seen);
    let strip = strip.averaged_along(ALONG).differentiated_across(how.scale);
    let near = nearness(how.half_width);
    let path = path(&strip, how.half_width, near);
    let refined = |(row, &j): (usize, &usize)| match strip.measure(row, j, how.scale) {
        Some(m) if m.offset.abs() <= how.half_width + 1.0 => (m.offset, m.signal_to_noise.min(20.0) + 0.01),
        _ => (offset(j, strip.reach), 0.01),
    };
    let offsets: Vec<(f64, f64)> = path.iter().enumerate().map(refined).collect();
    let rival = path.iter().enumerate().map(|(row, &j)| strip.has_rival(row, j, half, near)).collect();
    let own_rows: Vec<usize> = (0..frames.len()).filter(|&i| own.contains(&frames[i].source)).collect();
    let own = own_rows.first().map_or(0..0, |&first| first..first + own_rows.len());
    Chosen { line: smoothed_line(&frames, &offsets, SMOOTH), rival, own }
}

/// The strongest path within `half_width` pixels of the line, after `weight` by offset. Strength saturates at what is usual
/// along the line, so that one bright spot does not draw the path away.
fn path(strip: &Strip, half_width: f64, weight: impl Fn(f64) -> f32) -> Vec<usize> {
    let half = samples(half_width);
    let first = strip.reach - half;
    let strongest = |row: usize| (0..=2 * half).map(|j| strip.size(row, first + j)).fold(0.0, f32::max);
    let mut usual: Vec<f32> = (0..strip.rows).map(strongest).filter(|s| *s > 0.0).collect();
    let usual = median(&mut usual).unwrap_or(1.0);
    let grid = Grid::new(strip.rows, 2 * half + 1, |row, j| {
        let off = offset(first + j, strip.reach);
        let size = strip.size(row, first + j);
        let size = if size.is_finite() { size } else { 0.0 };
        // The last term keeps the path in the middle where there is nothing.
        weight(off) * size / (size + usual) - 1e-3 * (off / half_width).powi(2) as f32
    });
    grid.best_path(STIFFNESS).into_iter().map(|j| first + j).collect()
}

/// Which rows lie off the line of their neighbours: by four of their deviations, or four times what is usual, and half a pixel.
fn off_line(found: &[Option<Measure>]) -> Vec<bool> {
    let clear = |m: &Option<Measure>| m.filter(|m| m.signal_to_noise >= LEAST_SIGNAL);
    let offsets: Vec<f64> = found.iter().map(|m| m.map_or(0.0, |m| m.offset)).collect();
    let weights: Vec<f64> = found.iter().map(|m| if clear(m).is_some() { 1.0 } else { 1e-3 }).collect();
    let smooth = smoothed(&offsets, &weights, SMOOTH);
    let off: Vec<f64> = offsets.iter().zip(&smooth).map(|(o, s)| (o - s).abs()).collect();
    let usual = 1.4826 * median(&mut off.clone()).unwrap_or(0.0);
    found
        .iter()
        .zip(off)
        .map(|(m, off)| clear(m).is_some_and(|m| off > 0.5 && off > 4.0 * usual.max(m.deviation)))
        .collect()
}

/// The point of a row, with what the row itself says against it.
fn placed(picture: &Photo, frames: &[Frame], row: usize, found: Option<Measure>, how: &Following) -> EdgePoint {
    let frame = &frames[row];
    let Some(m) = found else {
        let reach = NARROW + 3.5 * how.scale;
        let whole = [-reach, 0.0, reach].iter().all(|&o| is_on(picture, frame.across(o)));
        let doubt = if whole { Doubt::NoEdge } else { Doubt::OffPicture };
        return EdgePoint {
            pixel: frame.at,
            strength: 0.0,
            signal_to_noise: 0.0,
            deviation: NARROW,
            doubt: Some(doubt),
        };
    };
    let blur = (m.width_squared - how.scale * how.scale).clamp(0.0, 9.0);
    // The blurred edge lies nearer to the centre of its bend; a bend tighter than the blur is a corner.
    let put_back = (0.5 * blur * curvature(frames, row)).clamp(-0.5, 0.5);
    let stands_out = m.signal_to_noise >= LEAST_SIGNAL && m.strength >= LEAST_STRENGTH;
    EdgePoint {
        pixel: if stands_out { frame.across(m.offset - put_back) } else { frame.at },
        strength: m.strength,
        signal_to_noise: m.signal_to_noise,
        deviation: if stands_out { m.deviation } else { NARROW },
        doubt: (!stands_out).then_some(Doubt::NoEdge),
    }
}

/// Rows about `spacing` apart, from the first to the last.
fn spaced(rows: &[usize], spacing: f64, closed: bool) -> Vec<usize> {
    let last = rows.len().saturating_sub(1);
    let pieces = ((last as f64 / spacing).round() as usize).max(1);
    let count = if closed { pieces } else { pieces + 1 };
    let mut picked: Vec<usize> = (0..count).filter_map(|k| rows.get(k * last / pieces).copied()).collect();
    picked.dedup();
    picked
}
