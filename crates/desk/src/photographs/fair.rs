//! Points of a line that were read in a photograph, made a master line with a tolerance and the fewest points that hold it.

use super::lines::LineReading;
use geometry::faired::{FairError, Fairing, Outcome, TracedPoint, fair};
use geometry::line as curve;
use project::document::{Document, Form, LineEnd, LineName, LinePoint, LinePointKind, MasterLine};
use project::edit::{Edit, Refused};
use std::sync::Arc;

/// A line faired from what was read. Nothing of the document has changed yet.
#[derive(Clone, Debug)]
pub struct Faired {
    /// Puts it in its place in the first form, as one step.
    pub edit: Edit,
    /// The line as it will be.
    pub line: MasterLine,
    /// How it follows what was read.
    pub fit: FairFit,
}

/// How a faired line follows what was read.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FairFit {
    /// Whether the tolerance holds; its text says what would.
    pub outcome: Outcome,
    /// Greatest distance of a point, mm.
    pub worst: f64,
    /// Where, mm aft of the datum.
    pub worst_at: f64,
    /// Root mean square distance, mm.
    pub rms: f64,
}

/// Why a line cannot be faired.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum FairFailure {
    /// There is no form in the project.
    #[error("This project has no form.")]
    NoForm,
    /// The points give no line.
    #[error("{0}")]
    Points(#[from] FairError),
    /// The document refuses it.
    #[error(transparent)]
    Refused(#[from] Refused),
}

/// A line gets at most so many points.
const MOST_POINTS: usize = 14;

/// An end of a line that is faired.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct FairEnd {
    /// Where it stands fast, (x, value).
    pub(super) fixed: Option<[f64; 2]>,
    pub(super) end: LineEnd,
}

/// A line of the first form anew from what was read of it, within `tolerance` mm. Where the form has that line, its ends and
/// corners stay where they are, and so do its points beyond what was read.
///
/// # Errors
/// There is no form, too little was read, or the form would break its promises.
pub fn faired(document: &Document, reading: &LineReading, tolerance: f64) -> Result<Faired, FairFailure> {
    let form = document.forms.first().ok_or(FairFailure::NoForm)?;
    let old = form.lines.get(reading.line);
    let (Some(first), Some(last)) = (reading.points.first(), reading.points.last()) else {
        return Err(FairError::TooFew.into());
    };
    let fast = |point: Option<&LinePoint>| point.map(|p| [p.x, p.value]);
    let reach = |end: Option<[f64; 2]>, traced: f64| {
        let margin = NEAR_END * (last.x - first.x);
        end.filter(|e| (e[0] - traced).abs() < margin)
    };
    let ends = [
        FairEnd { fixed: reach(fast(old.points.first()), first.x), end: old.front },
        FairEnd { fixed: reach(fast(old.points.last()), last.x), end: old.rear },
    ];
    let inside = |p: &&LinePoint| p.x > first.x && p.x < last.x;
    let corners = old.points.iter().filter(inside).filter(|p| p.kind == LinePointKind::Corner).map(|p| p.x);
    let (mut line, fit) = master_line(reading, ends, corners.collect(), tolerance)?;
    let (low, high) = (line.points[0].x, line.points[line.points.len() - 1].x);
    let beyond = old.points.iter().filter(|p| p.x < low - APART || p.x > high + APART);
    line.points.extend(beyond.copied());
    line.points.sort_by(|a, b| a.x.total_cmp(&b.x));
    let edit = replaced(form, reading.line, &line);
    edit.apply(document)?;
    Ok(Faired { edit, line, fit })
}

/// A line's own end this near to what was read, as a share of it, is its end.
const NEAR_END: f64 = 0.15;
/// Points nearer than this along x are one, mm.
const APART: f64 = 0.5;

fn replaced(form: &Form, name: LineName, line: &MasterLine) -> Edit {
    let mut with = form.clone();
    *with.lines.get_mut(name) = Arc::new(line.clone());
    let label = format!("Fair the {} from its trace", name.label().to_lowercase());
    Edit::Together { label, edits: vec![Edit::ReplaceForm { form: 0, with }] }
}

/// The line between its ends, and how it follows what was read.
pub(super) fn master_line(
    reading: &LineReading,
    ends: [FairEnd; 2],
    corners: Vec<f64>,
    tolerance: f64,
) -> Result<(MasterLine, FairFit), FairError> {
    let inside = |x: f64| ends[0].fixed.is_none_or(|f| x > f[0]) && ends[1].fixed.is_none_or(|f| x < f[0]);
    let traced: Vec<TracedPoint> = reading
        .points
        .iter()
        .filter(|p| inside(p.x))
        .map(|p| TracedPoint { x: p.x, value: p.value, deviation: p.sigma.unwrap_or(0.0) })
        .collect();
    let fixed = |end: FairEnd| end.fixed.map(|[x, value]| curve::LinePoint { x, value, pass: curve::Pass::Smooth });
    let how = Fairing {
        tolerance,
        // Few points stand in a steep nose: a share below 1 would take them for mistakes.
        share: 1.0,
        most_points: MOST_POINTS,
        front: end(ends[0].end),
        rear: end(ends[1].end),
        fixed_front: fixed(ends[0]),
        fixed_rear: fixed(ends[1]),
        corners,
    };
    let found = fair(&traced, &how)?;
    let points = found.points.iter().map(point).collect();
    let fit = FairFit { outcome: found.outcome, worst: found.worst, worst_at: found.worst_at[0], rms: found.rms };
    Ok((MasterLine { points, front: ends[0].end, rear: ends[1].end }, fit))
}

fn point(p: &curve::LinePoint) -> LinePoint {
    let kind = match p.pass {
        curve::Pass::Smooth => LinePointKind::Smooth,
        curve::Pass::Corner => LinePointKind::Corner,
        curve::Pass::Slope(degrees) => LinePointKind::Slope(degrees),
    };
    LinePoint { x: p.x, value: p.value, kind }
}

fn end(end: LineEnd) -> curve::LineEnd {
    match end {
        LineEnd::Free => curve::LineEnd::Free,
        LineEnd::Natural => curve::LineEnd::Natural,
        LineEnd::Upright => curve::LineEnd::Upright,
    }
}
