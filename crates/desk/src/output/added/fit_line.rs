//! The line along which an added form meets the first, laid flat: wrapped round the finished first shell it shows where the added one
//! belongs.

use super::super::openings::{Flat, place_lines};
use crate::shell::added::{AddedMeeting, land, meetings};
use form::Lofted;
use form::meeting::MeetingLine;
use form::seen::SurfaceNode;
use form::space::{Vector, add, unit};
use geometry::loft::Loft;
use geometry::mesh::Mesh;
use plug::{Point, Region};
use project::document::Document;
use project::opening::Seen;
use sheets::{CardTemplate, Mark, MarkPen, Part};
use std::sync::Arc;

/// Card around the line, mm.
const MARGIN: f64 = 15.0;
/// How closely the surface is followed, mm.
const CLOSE: f64 = 0.02;

/// A template for every closed line on the first form, that of the mirror image too.
pub(crate) fn parts(document: &Document, lofted: &[Arc<Lofted>]) -> Vec<Part> {
    templates(document, lofted).iter().map(CardTemplate::part).collect()
}

fn templates(document: &Document, lofted: &[Arc<Lofted>]) -> Vec<CardTemplate> {
    let all = meetings(document, lofted);
    let skin = lofted.first().and_then(|first| first.whole_skin());
    let (Some(skin), Some(first)) = (skin.filter(|_| !all.is_empty()), document.forms.first()) else {
        return Vec::new();
    };
    let mesh = skin.loft().mesh(CLOSE);
    let draw = Draughtsman { document, first: &first.name, loft: skin.loft(), mesh: &mesh };
    let each = |added: &AddedMeeting| {
        let lines = added.meeting.both(&added.mount);
        let drawn = lines.iter().enumerate().filter_map(|(k, line)| draw.template(added, k, lines.len(), line));
        drawn.collect::<Vec<_>>()
    };
    all.iter().flat_map(each).collect()
}

struct Draughtsman<'a> {
    document: &'a Document,
    first: &'a str,
    loft: &'a Loft,
    mesh: &'a Mesh,
}

impl Draughtsman<'_> {
    /// `None` for an open line, and for one that cannot be laid flat in one piece.
    fn template(&self, added: &AddedMeeting, k: usize, count: usize, line: &MeetingLine) -> Option<CardTemplate> {
        if !line.closed() {
            return None;
        }
        let places: Vec<Vector> = line.places.iter().map(|p| p.point).collect();
        let seen = self.seen(line);
        let up = if matches!(seen, Seen::Above | Seen::Below) { [-1.0, 0.0, 0.0] } else { [0.0, 0.0, 1.0] };
        let (low, high) = self.loft.x_range();
        let on_face = |p: Vector| (p[0] - low).abs() < 1e-9 || (p[0] - high).abs() < 1e-9;
        let flat = Flat::of(self.mesh, &places, (seen.sight(), up), MARGIN, on_face).ok()?;
        let edge = Region::of(&flat.edge());
        let card = edge.grown(MARGIN).intersection(&flat.region());
        let name = &self.document.forms.get(added.form)?.name;
        let which = which(line, k, count);
        let mut contours: Vec<Vec<Point>> = card.pieces.iter().flatten().cloned().collect();
        contours.extend(edge.pieces.iter().flatten().cloned());
        let land = land(self.document);
        let mut marks = place_lines(seen, &flat, &card);
        marks.extend(shrunk(&edge, land).pieces.into_iter().flatten().map(|mut points| {
            points.extend(points.first().copied());
            Mark { points, pen: MarkPen::Hidden, name: format!("land {land:.0} mm") }
        }));
        Some(CardTemplate {
            id: format!("fit-line-{}-{}", added.form + 1, k + 1),
            title: format!("Fit line: {name}{which}"),
            short: format!("L{}{}", added.form + 1, if k == 0 { String::new() } else { format!("-{}", k + 1) }),
            contours,
            marks,
            head: vec![format!("on the finished shell of {}, this side OUTSIDE", self.first)],
            notes: vec![
                format!("{name} meets it along the inner edge, {:.0} mm long", line.length()),
                "lay its stations and waterlines on those of the shell, draw along the inner edge".to_owned(),
                format!("within the line roughen {land:.0} mm for the land, and open what air or exhaust passes"),
            ],
            sides: Some(sides(seen).map(str::to_owned)),
            up: !matches!(seen, Seen::Above | Seen::Below),
            project: self.document.name.clone(),
            form: self.first.to_owned(),
        })
    }

    /// From where the line is best seen: against the middle of the normals along it.
    fn seen(&self, line: &MeetingLine) -> Seen {
        let normals = line.places.iter().filter_map(|p| SurfaceNode::at(self.loft, p.first)).map(|node| node.normal);
        let middle = unit(normals.fold([0.0; 3], add));
        let against = |seen: &Seen| seen.sight().iter().zip(middle).map(|(a, b)| a * b).sum::<f64>();
        Seen::ALL.into_iter().min_by(|a, b| against(a).total_cmp(&against(b))).unwrap_or_default()
    }
}

/// What of a region lies more than `by` mm within it.
fn shrunk(region: &Region, by: f64) -> Region {
    let Some((low, high)) = region.bounds() else { return Region::default() };
    let reach = 2.0 * by + 1.0;
    let around = Region::rectangle(low.map(|v| v - reach), high.map(|v| v + reach)).without(region);
    region.without(&around.grown(by))
}

/// Which of several lines it is.
fn which(line: &MeetingLine, k: usize, count: usize) -> String {
    let across = line.places.iter().map(|p| p.point[1]);
    let (least, most) = across.fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), y| (a.min(y), b.max(y)));
    match (count, least > 0.0, most < 0.0) {
        (1, ..) => String::new(),
        (2, true, _) => ", starboard".to_owned(),
        (2, _, true) => ", port".to_owned(),
        _ => format!(", line {}", k + 1),
    }
}

/// What lies at the left and at the right.
fn sides(seen: Seen) -> [&'static str; 2] {
    match seen {
        Seen::Ahead | Seen::Below => ["STARBOARD", "PORT"],
        Seen::Starboard => ["REAR", "FRONT"],
        Seen::Port => ["FRONT", "REAR"],
        Seen::Above => ["PORT", "STARBOARD"],
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shell::added::tests::{document, lofted};

    #[test]
    fn both_blisters_have_a_template_and_its_edge_is_as_long_as_the_line() {
        let document = document();
        let lofted = lofted(&document);
        let all = templates(&document, &lofted);
        let titles: Vec<&str> = all.iter().map(|t| t.title.as_str()).collect();
        assert_eq!(titles, ["Fit line: Blister, starboard", "Fit line: Blister, port"]);
        let lines = meetings(&document, &lofted)[0].meeting.both(&meetings(&document, &lofted)[0].mount);
        for (template, line) in all.iter().zip(&lines) {
            let edge = template.contours.last().unwrap();
            let round: f64 = (0..edge.len())
                .map(|i| {
                    let (a, b) = (edge[i], edge[(i + 1) % edge.len()]);
                    (b[0] - a[0]).hypot(b[1] - a[1])
                })
                .sum();
            assert!((round / line.length() - 1.0).abs() < 2e-3, "{round} {}", line.length());
            assert!(template.marks.iter().any(|m| m.pen == MarkPen::Station));
        }
    }
}
