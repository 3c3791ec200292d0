//! From a trace and its picture to a proposal.

use super::Scope;
use super::kept::Kept;
use crate::light_table::tracing::{apart, curve};
use desk::Progress;
use photo::following::{Doubt, EdgePoint, follow, snap};
use project::photograph::Trace;
use std::ops::RangeInclusive;
use std::sync::Arc;

/// How the edge is sought.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct How {
    /// How far to each side of the trace, px.
    pub(crate) half_width: f64,
    /// How far apart the points are that are found, px.
    pub(crate) spacing: f64,
}

/// Which points of a trace are drawn to the edge.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Part {
    /// All.
    Whole,
    /// From one to another, as far as there are so many.
    From(RangeInclusive<usize>),
    /// One alone.
    Point(usize),
}

/// The part that is meant with a point selected.
pub(super) fn part(scope: Scope, point: Option<usize>) -> Part {
    match (scope, point) {
        (Scope::Stretch, Some(point)) => Part::From(point.saturating_sub(1)..=point + 1),
        (Scope::Point, Some(point)) => Part::Point(point),
        _ => Part::Whole,
    }
}

/// What is sought.
#[derive(Clone)]
pub(super) struct Wanted {
    pub(super) picture: usize,
    pub(super) trace: usize,
    pub(super) before: Trace,
    pub(super) bytes: Arc<[u8]>,
    pub(super) part: Part,
    pub(super) how: How,
}

impl PartialEq for Wanted {
    fn eq(&self, other: &Self) -> bool {
        let same_place = (self.picture, self.trace) == (other.picture, other.trace) && self.before == other.before;
        same_place && Arc::ptr_eq(&self.bytes, &other.bytes) && self.part == other.part && self.how == other.how
    }
}

/// A run of points that something speaks against.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Doubtful {
    pub(crate) doubt: Doubt,
    /// Where, px, in order.
    pub(crate) line: Vec<[f64; 2]>,
}

/// What was found.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Found {
    /// What takes the place of the trace: the trace itself, and further ones where a stretch between is left out.
    pub(crate) pieces: Vec<Vec<[f64; 2]>>,
    /// What is left out, in order, numbered from 1 where it is shown.
    pub(crate) doubtful: Vec<Doubtful>,
    /// How many points nothing speaks against.
    pub(crate) sure: usize,
    /// Standard deviation of those as the noise beside the edge warrants, root mean square, px.
    pub(crate) deviation: f64,
    /// The farthest that one of them lies from the old line, px.
    pub(crate) moved: f64,
}

/// Paint, haze and lenses shift an edge by more than noise tells. A working value, no source.
const LEAST_CLOSENESS: f64 = 0.3;
/// So many doubtful points in a row break the trace; fewer are passed over.
const BREAK: usize = 3;

impl Found {
    /// How closely the trace follows what is seen, px, as a suggestion.
    pub(crate) fn closeness(&self) -> f64 {
        (10.0 * self.deviation.max(LEAST_CLOSENESS)).ceil() / 10.0
    }

    /// What to say of it.
    pub(super) fn summary(&self) -> String {
        let doubts = match self.doubtful.len() {
            0 => String::new(),
            1 => " One place is doubtful.".into(),
            n => format!(" {n} places are doubtful."),
        };
        format!("{} points on the edge.{doubts} Enter takes them, Escape drops them.", self.sure)
    }
}

/// Seeks the edge.
pub(super) fn seek(wanted: &Wanted, kept: &Kept, progress: &Progress) -> Result<Found, String> {
    progress.tell(0.05);
    let photo = kept.photo(&wanted.bytes)?;
    progress.tell(0.7);
    if progress.is_cancelled() {
        // Nobody reads this any more.
        return Err(String::new());
    }
    let how = photo::following::Following {
        half_width: wanted.how.half_width,
        spacing: wanted.how.spacing,
        ..Default::default()
    };
    let points = &wanted.before.points;
    let found = match &wanted.part {
        Part::Point(point) => one(points, *point, |at| snap(&photo, at, &how).map_err(|e| e.to_string())),
        Part::Whole => {
            let edge = follow(&photo, points, &how).map_err(|e| e.to_string())?;
            let closed = edge.closed;
            whole(points, &edge.points, closed)
        }
        Part::From(range) => {
            let last = (*range.end()).min(points.len().saturating_sub(1));
            let first = (*range.start()).min(last);
            let edge = follow(&photo, &points[first..=last], &how).map_err(|e| e.to_string())?;
            stretch(points, first, last, &edge.points)
        }
    };
    progress.tell(1.0);
    found
}

const NOTHING: &str = "No edge is sure anywhere along this line. Pick closer to the edge, or search wider.";

/// One point drawn to the edge.
fn one(
    points: &[[f64; 2]],
    point: usize,
    edge_at: impl FnOnce([f64; 2]) -> Result<EdgePoint, String>,
) -> Result<Found, String> {
    let mut next = points.to_vec();
    let there = next.get_mut(point).ok_or(NOTHING)?;
    let edge = edge_at(*there)?;
    let moved = apart(*there, edge.pixel);
    *there = edge.pixel;
    let doubtful = edge.doubt.map(|doubt| Doubtful { doubt, line: vec![edge.pixel] });
    Ok(Found {
        pieces: vec![next],
        doubtful: doubtful.into_iter().collect(),
        sure: 1,
        deviation: edge.deviation,
        moved,
    })
}

/// The whole trace anew: what is doubtful over several points is left out, so that nothing is invented there.
fn whole(old: &[[f64; 2]], edge: &[EdgePoint], closed: bool) -> Result<Found, String> {
    let runs = runs(edge);
    let mut pieces: Vec<Vec<[f64; 2]>> = vec![Vec::new()];
    for run in &runs {
        let points = edge[run.clone()].iter().map(|p| p.pixel);
        match (edge[*run.start()].doubt, pieces.last_mut()) {
            (None, Some(piece)) => piece.extend(points),
            (Some(_), _) if run.clone().count() >= BREAK => pieces.push(Vec::new()),
            _ => {}
        }
    }
    if closed && pieces.len() == 1 {
        let first = pieces[0].first().copied();
        pieces[0].extend(first);
    }
    // A single point shows no direction.
    pieces.retain(|piece| piece.len() >= 2);
    // The longest one stays what it was.
    pieces.sort_by_key(|piece| std::cmp::Reverse(piece.len()));
    told(old, edge, &runs, pieces)
}

/// A stretch anew; the trace stays one.
fn stretch(old: &[[f64; 2]], first: usize, last: usize, edge: &[EdgePoint]) -> Result<Found, String> {
    let mut points = old[..first].to_vec();
    points.extend(edge.iter().filter(|p| p.doubt.is_none()).map(|p| p.pixel));
    points.extend_from_slice(&old[last + 1..]);
    let runs = runs(edge);
    told(old, edge, &runs, vec![points])
}

fn told(
    old: &[[f64; 2]],
    edge: &[EdgePoint],
    runs: &[RangeInclusive<usize>],
    pieces: Vec<Vec<[f64; 2]>>,
) -> Result<Found, String> {
    let sure: Vec<&EdgePoint> = edge.iter().filter(|p| p.doubt.is_none()).collect();
    if sure.is_empty() || pieces.is_empty() {
        return Err(NOTHING.into());
    }
    let doubtful = runs.iter().filter_map(|run| {
        let doubt = edge[*run.start()].doubt?;
        Some(Doubtful { doubt, line: edge[run.clone()].iter().map(|p| p.pixel).collect() })
    });
    let squares: f64 = sure.iter().map(|p| p.deviation * p.deviation).sum();
    let off = |p: &&EdgePoint| curve::nearest(old, p.pixel).map_or(0.0, |place| place.distance);
    Ok(Found {
        pieces,
        doubtful: doubtful.collect(),
        sure: sure.len(),
        deviation: (squares / sure.len() as f64).sqrt(),
        moved: sure.iter().map(off).fold(0.0, f64::max),
    })
}

/// Neighbours against which the same speaks, or nothing.
fn runs(edge: &[EdgePoint]) -> Vec<RangeInclusive<usize>> {
    let mut out: Vec<RangeInclusive<usize>> = Vec::new();
    for i in 0..edge.len() {
        match out.last_mut() {
            Some(run) if edge[*run.end()].doubt == edge[i].doubt => *run = *run.start()..=i,
            _ => out.push(i..=i),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    fn edge(doubts: &[Option<Doubt>]) -> Vec<EdgePoint> {
        let point = |(i, doubt): (usize, &Option<Doubt>)| EdgePoint {
            pixel: [10.0 * i as f64, 53.0],
            strength: 0.5,
            signal_to_noise: 20.0,
            deviation: 0.1,
            doubt: *doubt,
        };
        doubts.iter().enumerate().map(point).collect()
    }

    const OLD: [[f64; 2]; 2] = [[0.0, 50.0], [200.0, 50.0]];

    #[test]
    fn a_long_doubtful_stretch_breaks_the_trace_and_a_short_one_is_passed_over() {
        let (hidden, rival) = (Some(Doubt::NoEdge), Some(Doubt::TwoEdges));
        let doubts = [None, None, rival, None, None, None, hidden, hidden, hidden, None, None];
        let found = whole(&OLD, &edge(&doubts), false).expect("an edge");
        let counts: Vec<usize> = found.pieces.iter().map(Vec::len).collect();
        assert_eq!(counts, [5, 2]);
        assert_eq!(found.doubtful.len(), 2);
        assert_eq!((found.doubtful[0].doubt, found.doubtful[1].line.len()), (Doubt::TwoEdges, 3));
        assert_eq!(found.sure, 7);
        assert!((found.moved - 3.0).abs() < 1e-9 && (found.deviation - 0.1).abs() < 1e-12);
        assert_eq!(found.closeness(), 0.3, "never below what paint and lenses do");
    }

    #[test]
    fn a_stretch_leaves_the_rest_of_the_trace_alone() {
        let old: Vec<[f64; 2]> = (0..6).map(|i| [40.0 * f64::from(i), 50.0]).collect();
        let found = stretch(&old, 1, 3, &edge(&[None, Some(Doubt::OffLine), None])).expect("an edge");
        let expected = [[0.0, 50.0], [0.0, 53.0], [20.0, 53.0], [160.0, 50.0], [200.0, 50.0]];
        assert_eq!(found.pieces, [expected.to_vec()]);
    }

    #[test]
    fn where_everything_is_doubtful_nothing_is_proposed() {
        assert!(whole(&OLD, &edge(&[Some(Doubt::NoEdge); 5]), false).is_err());
        assert!(whole(&OLD, &edge(&[None]), false).is_err(), "one point is no trace");
    }

    #[test]
    fn a_closed_line_ends_where_it_began() {
        let found = whole(&OLD, &edge(&[None; 5]), true).expect("an edge");
        assert_eq!(found.pieces[0].len(), 6);
        assert_eq!(found.pieces[0].first(), found.pieces[0].last());
    }
}
