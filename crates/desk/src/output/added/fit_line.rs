//! The line along which an added form meets the first, laid flat: wrapped round the finished first shell it shows where the added one
//! belongs.

use super::super::openings::{Flat, ground, place_lines};
use super::super::remembering::FitSource;
use crate::reckoned::Reckoned;
use crate::shell::added::{AddedMeeting, land};
use form::Lofted;
use form::meeting::{MeetingLine, Placed, Plane, Stop, cut_by_plane, twin};
use form::seen::SurfaceNode;
use form::space::{Vector, add, dot, length, sub, unit};
use geometry::loft::Loft;
use geometry::mesh::Mesh;
use plug::{Point, Region};
use project::document::Document;
use project::opening::Seen;
use sheets::{CardTemplate, Mark, MarkPen, Part};
use std::sync::Arc;

/// Card around the line, mm.
const MARGIN: f64 = 15.0;
/// How closely lines on the surface are followed, mm.
const CLOSE: f64 = 0.02;

/// A template for every closed line where an added form meets the first, that of the mirror image too.
pub(crate) fn parts(document: &Document, lofted: &[Arc<Lofted>], added: &AddedMeeting, known: &Reckoned) -> Vec<Part> {
    let (Some(first), Some(own)) = (lofted.first(), lofted.get(added.form)) else { return Vec::new() };
    let name = |i: usize| document.forms.get(i).map(|form| form.name.clone()).unwrap_or_default();
    let source = FitSource {
        index: added.form,
        lofted: [first, own].map(Arc::clone),
        mount: added.mount,
        names: [document.name.clone(), name(0), name(added.form)],
        land: land(document),
    };
    let make = || templates(document, lofted, added, known).iter().map(CardTemplate::part).collect();
    Arc::unwrap_or_clone(known.fit_lines.made_now(&source, make))
}

fn templates(document: &Document, lofted: &[Arc<Lofted>], added: &AddedMeeting, known: &Reckoned) -> Vec<CardTemplate> {
    let (Some(own), Some(form)) = (lofted.first(), document.forms.first()) else { return Vec::new() };
    let Some(skin) = own.whole_skin() else { return Vec::new() };
    let mesh = ground(own, None, known);
    let draw = Draughtsman { document, lofted, first: &form.name, loft: skin.loft(), mesh: &mesh };
    let (own, lines) = (added.meeting.lines.len(), added.meeting.both(&added.mount));
    // The first form is symmetric, and nothing cuts it here: what lies on the other side lies flat as the mirror image.
    let flats: Vec<Option<Flat>> =
        lines.iter().take(own).enumerate().map(|(k, line)| draw.flat(added, k, line)).collect();
    let flat = |k: usize| {
        let own = flats.get(k % own.max(1))?.as_ref()?;
        Some(if k < flats.len() { own.clone() } else { own.mirrored() })
    };
    let drawn =
        lines.iter().enumerate().filter_map(|(k, line)| draw.template(added, (k, lines.len()), line, &flat(k)?));
    drawn.collect()
}

struct Draughtsman<'a> {
    document: &'a Document,
    lofted: &'a [Arc<Lofted>],
    first: &'a str,
    loft: &'a Loft,
    mesh: &'a Mesh,
}

impl Draughtsman<'_> {
    /// `None` for a line that does not go round, and for one that cannot be laid flat in one piece.
    fn flat(&self, added: &AddedMeeting, k: usize, line: &MeetingLine) -> Option<Flat> {
        let places = self.round(added, k, line)?;
        let seen = self.seen(line);
        let up = if matches!(seen, Seen::Above | Seen::Below) { [-1.0, 0.0, 0.0] } else { [0.0, 0.0, 1.0] };
        let (low, high) = self.loft.x_range();
        let on_face = |p: Vector| (p[0] - low).abs() < 1e-9 || (p[0] - high).abs() < 1e-9;
        Flat::of(self.mesh, &places, (seen.sight(), up), MARGIN, on_face).ok()
    }

    fn template(
        &self,
        added: &AddedMeeting,
        (k, count): (usize, usize),
        line: &MeetingLine,
        flat: &Flat,
    ) -> Option<CardTemplate> {
        let seen = self.seen(line);
        let edge = flat.opening();
        let card = edge.grown(MARGIN).intersection(&flat.region());
        let name = &self.document.forms.get(added.form)?.name;
        let which = which(line, k, count);
        let mut contours: Vec<Vec<Point>> = card.pieces.iter().flatten().cloned().collect();
        contours.extend(edge.pieces.iter().flatten().cloned());
        let land = land(self.document);
        let mut marks = place_lines(seen, flat, &card);
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
            notes: notes(name, line, land),
            sides: Some(sides(seen).map(str::to_owned)),
            up: !matches!(seen, Seen::Above | Seen::Below),
            project: self.document.name.clone(),
            form: self.first.to_owned(),
            ..CardTemplate::default()
        })
    }

    /// The line once round; one that begins and ends at one flat end of the added form is led on where the plane of that end cuts the
    /// first form.
    fn round(&self, added: &AddedMeeting, k: usize, line: &MeetingLine) -> Option<Vec<Vector>> {
        let mut places: Vec<Vector> = line.places.iter().map(|p| p.point).collect();
        let front = match line.ends {
            None => return Some(places),
            Some([Stop::Rim { of_added: true, front: a }, Stop::Rim { of_added: true, front: b }]) if a == b => a,
            Some(_) => return None,
        };
        let (low, high) = self.lofted.get(added.form)?.whole_skin()?.loft().x_range();
        let mirrored = k >= added.meeting.lines.len();
        let placed = Placed::new(&if mirrored { twin(&added.mount) } else { added.mount });
        let end = [if front { low } else { high }, 0.0, 0.0];
        let plane = Plane { at: placed.to_first(end), normal: placed.way_to_first([1.0, 0.0, 0.0]) };
        let (from, to) = (*places.last()?, *places.first()?);
        let curves = cut_by_plane(self.loft, &plane, 0.0, Some([from, to]), CLOSE);
        let far = |curve: &Vec<Vector>| curve.iter().map(|p| length(sub(*p, from))).fold(f64::INFINITY, f64::min);
        let nearest = curves.into_iter().min_by(|a, b| far(a).total_cmp(&far(b)))?;
        places.extend(between(&nearest, from, to));
        Some(places)
    }

    /// From where the line is best seen: against the middle of the normals along it.
    fn seen(&self, line: &MeetingLine) -> Seen {
        let normals = line.places.iter().filter_map(|p| SurfaceNode::at(self.loft, p.first)).map(|node| node.normal);
        let middle = unit(normals.fold([0.0; 3], add));
        let against = |seen: &Seen| seen.sight().iter().zip(middle).map(|(a, b)| a * b).sum::<f64>();
        Seen::ALL.into_iter().min_by(|a, b| against(a).total_cmp(&against(b))).unwrap_or_default()
    }
}

/// What of a curve lies between two of its places, from the first to the second.
fn between(curve: &[Vector], from: Vector, to: Vector) -> Vec<Vector> {
    let way = sub(to, from);
    let share = |p: Vector| dot(sub(p, from), way) / dot(way, way).max(1e-12);
    let inside = curve.iter().copied().filter(|p| (0.02..0.98).contains(&share(*p)));
    let mut out: Vec<Vector> = inside.collect();
    out.sort_by(|a, b| share(*a).total_cmp(&share(*b)));
    out
}

fn notes(name: &str, line: &MeetingLine, land: f64) -> Vec<String> {
    let mut notes = vec![
        format!("{name} meets it along the inner edge, {:.0} mm long", line.length()),
        "lay its stations and waterlines on those of the shell, draw along the inner edge".to_owned(),
        format!("within the line roughen {land:.0} mm for the land, and open what air or exhaust passes"),
    ];
    if !line.closed() {
        notes.push(format!("the short straight stretch is the open end of {name}"));
    }
    notes
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
    use project::document::{LineName, MasterLine};

    fn all(document: &Document, lofted: &[Arc<Lofted>]) -> Vec<CardTemplate> {
        let known = Reckoned::default();
        let meetings = known.meetings(document, lofted);
        meetings.iter().flat_map(|added| templates(document, lofted, added, &known)).collect()
    }

    /// Cut off flat 80 mm aft its line begins and ends at that rim, which stands out of the cowl.
    #[test]
    fn a_line_that_ends_at_an_open_end_is_led_on_along_it() {
        let mut document = document();
        let form = Arc::make_mut(&mut document.forms[1]);
        for name in LineName::ALL {
            let line = Arc::make_mut(form.lines.get_mut(name));
            *line =
                MasterLine { points: line.points.iter().filter(|p| p.x <= 80.0).copied().collect(), ..line.clone() };
        }
        let height = Arc::make_mut(form.lines.get_mut(LineName::BreadthHeight));
        height.points.iter_mut().for_each(|p| p.x *= 80.0 / 60.0);
        let lofted = lofted(&document);
        let added = &Reckoned::default().meetings(&document, &lofted)[0];
        assert!(added.meeting.lines.len() == 1 && !added.meeting.lines[0].closed(), "{:?}", added.meeting.lines.len());
        let all = all(&document, &lofted);
        assert_eq!(all.len(), 2);
        assert!(all.iter().all(|t| t.notes.iter().any(|note| note.contains("open end of Blister"))));
    }

    #[test]
    fn both_blisters_have_a_template_and_its_edge_is_as_long_as_the_line() {
        let document = document();
        let lofted = lofted(&document);
        let all = all(&document, &lofted);
        let titles: Vec<&str> = all.iter().map(|t| t.title.as_str()).collect();
        assert_eq!(titles, ["Fit line: Blister, starboard", "Fit line: Blister, port"]);
        let lines = {
            let added = &Reckoned::default().meetings(&document, &lofted)[0];
            added.meeting.both(&added.mount)
        };
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
