//! Where the shell is parted, as marks on the cards of the plug.

use crate::shell::release::parting_lines;
use form::space::Vector;
use project::document::{Document, Form};
use project::shell::Parting;
use sheets::{Mark, MarkPen};

type Point = [f64; 2];

/// Length of a tick, mm.
const TICK: f64 = 9.0;
/// What the marks are called.
const NAME: &str = "joint line";

/// The line along which the shell is parted; none where it stays in one piece.
#[derive(Clone, Debug, Default)]
pub(super) struct PartingMarks {
    parting: Parting,
    lines: Vec<Vec<Vector>>,
}

impl PartingMarks {
    /// That of a document's first form.
    pub(super) fn of(document: &Document, form: &Form) -> Self {
        let parting = document.shell.release.parting;
        let is_first = document.forms.first().is_some_and(|first| **first == *form);
        if parting == Parting::Whole || !is_first {
            return Self::default();
        }
        let lofted = form::loft(form);
        let lines = lofted.whole_skin().map(|skin| parting_lines(document, skin)).unwrap_or_default();
        Self { parting, lines }
    }

    /// Ticks on a card across, inward from its edge, as it is seen looking aft; `outline` in (half-breadth, height).
    pub(super) fn on_station(&self, x: f64, outline: &[Point]) -> Vec<Mark> {
        let (low, high) =
            outline.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), p| (l.min(p[1]), h.max(p[1])));
        let from = [0.0, 0.5 * (low + high)];
        let tick = |[y, z]: Point| {
            let length = y.hypot(z - from[1]);
            let way = [y / length, (z - from[1]) / length];
            let r = form::front::farthest(outline, from, way)?;
            let at = |r: f64| [-(from[0] + r * way[0]), from[1] + r * way[1]];
            Some(mark(vec![at(r), at(r - TICK)]))
        };
        self.lines.iter().filter_map(|line| crossing(line, 0, x)).filter_map(|[_, y, z]| tick([y, z])).collect()
    }

    /// The line as it is seen from the side, on the centre template.
    pub(super) fn on_centre(&self, holds: impl Fn(Point) -> bool) -> Vec<Mark> {
        if let Parting::Across(_) = self.parting {
            return self.across_centre();
        }
        // In the centre plane the card's own edges are the line.
        let Some(line) = self.lines.first().filter(|_| self.parting == Parting::BreadthLine) else { return Vec::new() };
        let seen: Vec<Option<Point>> = line.iter().map(|p| [p[0], p[2]]).map(|p| holds(p).then_some(p)).collect();
        let runs = seen.split(Option::is_none).map(|run| run.iter().flatten().copied().collect::<Vec<_>>());
        runs.filter(|run| run.len() > 1).map(mark).collect()
    }

    /// Ticks inward from crown and keel, where a line across passes them.
    fn across_centre(&self) -> Vec<Mark> {
        let line = self.lines.iter().flatten().map(|p| [p[0], p[2]]);
        let crown = line.clone().max_by(|a, b| a[1].total_cmp(&b[1]));
        let keel = line.min_by(|a, b| a[1].total_cmp(&b[1]));
        let tick = |[x, z]: Point, inward: f64| mark(vec![[x, z], [x, z + inward * TICK]]);
        crown.map(|p| tick(p, -1.0)).into_iter().chain(keel.map(|p| tick(p, 1.0))).collect()
    }

    /// Ticks on a card along a height, where the line crosses it: along its edge, as it is seen from above.
    pub(super) fn on_height(&self, height: f64, starboard: bool) -> Vec<Mark> {
        if let Parting::Across(_) = self.parting {
            let place = self.lines.iter().find_map(|line| crossing(line, 2, height));
            let sided = place.map(|[x, y, _]| [x, if starboard { y.abs() } else { -y.abs() }]);
            return sided.map(|[x, y]| mark(vec![[x, y], [x, y - TICK.copysign(y)]])).into_iter().collect();
        }
        if self.parting != Parting::BreadthLine {
            return Vec::new();
        }
        let own = self.lines.iter().filter(|line| line.iter().any(|p| (p[1] > 1e-6) == starboard && p[1].abs() > 1e-6));
        let places = own.filter_map(|line| crossing(line, 2, height));
        places.map(|[x, y, _]| mark(vec![[x, y], [x, y - TICK.copysign(y)]])).collect()
    }

    /// What the centre template has to say.
    pub(super) fn note(&self) -> Option<String> {
        match self.parting {
            Parting::Whole => None,
            Parting::BreadthLine => Some("the shell is parted along the joint line, here as seen from the side".into()),
            Parting::CentrePlane => Some("the shell is parted in the plane of this template".into()),
            Parting::Across(station) => Some(format!("the shell is parted across at station {station:.1} mm")),
        }
    }
}

fn mark(points: Vec<Point>) -> Mark {
    Mark { points, pen: MarkPen::Heavy, name: NAME.into() }
}

/// The first place of a line at which a coordinate has a value.
fn crossing(line: &[Vector], axis: usize, value: f64) -> Option<Vector> {
    line.windows(2).find_map(|w| {
        let (a, b) = (w[0][axis] - value, w[1][axis] - value);
        let share = if a == b { 0.0 } else { a / (a - b) };
        (a * b <= 0.0 && (a != 0.0 || b != 0.0)).then(|| [0, 1, 2].map(|k| w[0][k] + share * (w[1][k] - w[0][k])))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A line level at 10 mm from (0, 40) to (100, 60): at station 50 it lies 50 mm out.
    #[test]
    fn a_card_across_is_ticked_where_the_line_passes_it() {
        let side = |sign: f64| vec![[0.0, sign * 40.0, 10.0], [100.0, sign * 60.0, 10.0]];
        let marks = PartingMarks { parting: Parting::BreadthLine, lines: vec![side(1.0), side(-1.0)] };
        let outline = [[-50.0, -20.0], [50.0, -20.0], [50.0, 40.0], [-50.0, 40.0]];
        let found = marks.on_station(50.0, &outline);
        assert_eq!(found.len(), 2);
        // Looking aft, starboard is at the left.
        assert_eq!(found[0].points, [[-50.0, 10.0], [-50.0 + TICK, 10.0]]);
        assert_eq!(found[1].points, [[50.0, 10.0], [50.0 - TICK, 10.0]]);
        assert!(marks.on_station(101.0, &outline).is_empty());
        assert_eq!(marks.on_centre(|p| (p[0] - 50.0).abs() > 0.0).len(), 1);
    }

    #[test]
    fn a_card_along_a_height_is_ticked_where_the_line_comes_through_it() {
        let line = |sign: f64| vec![[0.0, sign * 40.0, 0.0], [100.0, sign * 40.0, 20.0]];
        let marks = PartingMarks { parting: Parting::BreadthLine, lines: vec![line(1.0), line(-1.0)] };
        assert_eq!(marks.on_height(5.0, true)[0].points, [[25.0, 40.0], [25.0, 40.0 - TICK]]);
        assert_eq!(marks.on_height(5.0, false)[0].points, [[25.0, -40.0], [25.0, -40.0 + TICK]]);
        assert!(marks.on_height(25.0, true).is_empty());
    }

    /// A ring of breadth 80 and height 40 mm at station 30.
    #[test]
    fn a_line_across_is_ticked_at_crown_and_keel_and_on_cards_along_a_height() {
        let ring =
            vec![[30.0, 0.0, 20.0], [30.0, 40.0, 0.0], [30.0, 0.0, -20.0], [30.0, -40.0, 0.0], [30.0, 0.0, 20.0]];
        let marks = PartingMarks { parting: Parting::Across(30.0), lines: vec![ring] };
        let centre = marks.on_centre(|_| true);
        assert_eq!(centre[0].points, [[30.0, 20.0], [30.0, 20.0 - TICK]]);
        assert_eq!(centre[1].points, [[30.0, -20.0], [30.0, -20.0 + TICK]]);
        assert_eq!(marks.on_height(10.0, true)[0].points, [[30.0, 20.0], [30.0, 20.0 - TICK]]);
        assert_eq!(marks.on_height(10.0, false)[0].points, [[30.0, -20.0], [30.0, -20.0 + TICK]]);
        assert!(marks.on_height(25.0, true).is_empty());
        assert!(marks.note().is_some_and(|note| note.contains("30.0 mm")));
    }
}
