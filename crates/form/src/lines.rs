//! Master lines of the document as curves.

use geometry::line::{Line, LineEnd, LineError, LinePoint, Pass};
use project::document as doc;

/// The curve of a master line.
///
/// # Errors
/// Fewer than two points; others only for a line that breaks the document's promises.
pub fn line(line: &doc::MasterLine) -> Result<Line, LineError> {
    let points: Vec<LinePoint> = line.points.iter().map(point).collect();
    Line::new(&points, end(line.front), end(line.rear))
}

fn point(p: &doc::LinePoint) -> LinePoint {
    let pass = match p.kind {
        doc::LinePointKind::Smooth => Pass::Smooth,
        doc::LinePointKind::Corner => Pass::Corner,
        doc::LinePointKind::Slope(degrees) => Pass::Slope(degrees),
    };
    LinePoint { x: p.x, value: p.value, pass }
}

fn end(end: doc::LineEnd) -> LineEnd {
    match end {
        doc::LineEnd::Free => LineEnd::Free,
        doc::LineEnd::Natural => LineEnd::Natural,
        doc::LineEnd::Upright => LineEnd::Upright,
    }
}
