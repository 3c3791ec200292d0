//! Where forms meet, marked on their cards.
//!
//! ```text
//!     card of the first form          card of an added form
//!        ___|___|___  ticks where       .-----.
//!       /           \ the line           \_____\__ surface of the first form
//!      |             | crosses          - - - - -  the land inside it
//! ```

use crate::reckoned::Reckoned;
use crate::shell::added::land;
use form::Lofted;
use form::meeting::{MeetingLine, MeetingPlace, Placed, Plane, cut_by_plane};
use form::seen::SurfaceNode;
use form::space::{Vector, add, sub, times};
use geometry::loft::Loft;
use plug::Point;
use project::document::Document;
use sheets::{Mark, MarkPen};
use std::sync::Arc;

/// How far a tick reaches into the card from the finished skin, mm.
const TICK: f64 = 12.0;
/// Chord error of curves on cards, mm.
const CLOSE: f64 = 0.02;
/// Places of a line that is clipped lie no further apart, mm.
const STEP: f64 = 0.4;

/// What the cards of a form tell of the forms it is joined to.
#[derive(Default)]
pub(crate) struct Joint<'a> {
    /// Lines on this form, which is the first, with the names of the forms that meet it there.
    on: Vec<(&'a str, Vec<MeetingLine>)>,
    skin: Option<&'a Loft>,
    into: Option<Sunk<'a>>,
}

/// What an added form is sunk into.
struct Sunk<'a> {
    name: &'a str,
    first: &'a Loft,
    own: &'a Loft,
    placed: Placed,
    mirrored: bool,
    land: f64,
}

/// A line to be marked: (half-breadth, height) in a cross plane, (station, height) in the centre plane.
pub(crate) struct JointMark {
    points: Vec<Point>,
    pen: MarkPen,
    name: String,
}

impl JointMark {
    /// A stretch of it as it is drawn.
    pub(crate) fn drawn(&self, points: Vec<Point>) -> Mark {
        Mark { points, pen: self.pen, name: self.name.clone() }
    }

    /// Its stretches where `on_card` says so.
    pub(crate) fn runs(&self, on_card: impl Fn(Point) -> bool) -> Vec<Vec<Point>> {
        let mut fine: Vec<Point> = Vec::new();
        for w in self.points.windows(2) {
            let count = ((w[1][0] - w[0][0]).hypot(w[1][1] - w[0][1]) / STEP).ceil().max(1.0);
            fine.extend((0..count as usize).map(|i| [0, 1].map(|k| w[0][k] + (w[1][k] - w[0][k]) * i as f64 / count)));
        }
        fine.extend(self.points.last());
        let on: Vec<Option<Point>> = fine.into_iter().map(|p| on_card(p).then_some(p)).collect();
        let runs = on.split(Option::is_none).map(|run| run.iter().flatten().copied().collect::<Vec<Point>>());
        runs.filter(|run| run.len() > 2).collect()
    }
}

impl<'a> Joint<'a> {
    /// Of form number `index`; lofts as they are, so that a form without a surface has none.
    pub(crate) fn of(document: &'a Document, lofted: &'a [Arc<Lofted>], index: usize, known: &Reckoned) -> Self {
        let loft = |i: usize| Some(lofted.get(i)?.whole_skin()?.loft());
        let name = |i: usize| document.forms.get(i).map_or("", |form| form.name.as_str());
        if index == 0 {
            let all = known.meetings(document, lofted);
            let on = all.iter().map(|added| (name(added.form), added.meeting.both(&added.mount))).collect();
            return Self { on, skin: loft(0), into: None };
        }
        let mount = document.forms.get(index).and_then(|form| form.mount);
        let into = mount.zip(loft(0)).zip(loft(index)).map(|((mount, first), own)| Sunk {
            name: name(0),
            first,
            own,
            placed: Placed::new(&mount),
            mirrored: mount.mirrored,
            land: land(document),
        });
        Self { into, ..Self::default() }
    }

    /// What the cross plane at a station has to tell.
    pub(crate) fn on_station(&self, x: f64) -> Vec<JointMark> {
        let mut marks = self.ticks(|p| p[0] - x, |[_, y, z]| [y, z]);
        if let Some(into) = &self.into {
            let section = into.own.section(x);
            let box_ = section.map(|s| {
                let wide = s.half_breadth();
                [[x, -wide, s.bottom()], [x, wide, s.top()]]
            });
            let plane = |placed: &Placed| Plane {
                at: placed.to_first([x, 0.0, 0.0]),
                normal: placed.way_to_first([1.0, 0.0, 0.0]),
            };
            marks.extend(
                box_.into_iter().flat_map(|corners| into.curves(&plane(&into.placed), corners, |[_, y, z]| [y, z])),
            );
        }
        marks
    }

    /// What the centre plane has to tell.
    pub(crate) fn on_centre(&self) -> Vec<JointMark> {
        let mut marks = self.ticks(|p| p[1], |[x, _, z]| [x, z]);
        if let Some(into) = &self.into {
            let (low, high) = into.own.x_range();
            let ends = |line: &geometry::line::Line| {
                let values = line.polyline(1.0).into_iter().map(|p| p[1]);
                values.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), z| (low.min(z), high.max(z)))
            };
            let lines = into.own.lines();
            let corners = [[low, 0.0, ends(&lines.keel).0], [high, 0.0, ends(&lines.crown).1]];
            let placed = &into.placed;
            let plane = Plane { at: placed.to_first([0.0; 3]), normal: placed.way_to_first([0.0, 1.0, 0.0]) };
            marks.extend(into.curves(&plane, corners, |[x, _, z]| [x, z]));
        }
        marks
    }

    /// What the marks are, for the notes of a card without names at its marks.
    pub(crate) fn notes(&self) -> Vec<String> {
        let meets = self.on.iter().filter(|(_, lines)| !lines.is_empty());
        meets.map(|(name, _)| format!("ticks: {name} meets it here")).chain(self.sunk_notes()).collect()
    }

    /// What every card of an added form says, as a small one has no room for names at its marks.
    pub(crate) fn sunk_notes(&self) -> Vec<String> {
        let Some(sunk) = &self.into else { return Vec::new() };
        let lines = format!("thin line: surface of {}; dashed: {:.0} mm of land inside it", sunk.name, sunk.land);
        let twice = "two shells from this plug: for the other side the marks are mirrored";
        std::iter::once(lines).chain(sunk.mirrored.then(|| twice.to_owned())).collect()
    }

    /// Ticks where lines on this form pass a plane, given by a height above it; `flat` gives places in the plane.
    fn ticks(&self, height: impl Fn(Vector) -> f64, flat: impl Fn(Vector) -> Point) -> Vec<JointMark> {
        let mut marks = Vec::new();
        let Some(skin) = self.skin else { return marks };
        for (name, line) in self.on.iter().flat_map(|(name, lines)| lines.iter().map(move |line| (name, line))) {
            for (a, b) in steps(line) {
                let (above, below) = (height(a.point), height(b.point));
                if (above > 0.0) == (below > 0.0) {
                    continue;
                }
                let at = add(a.point, times(sub(b.point, a.point), above / (above - below)));
                let Some(node) = SurfaceNode::at(skin, a.first) else { continue };
                let (p, outward) = (flat(at), flat(node.normal));
                let long = outward[0].hypot(outward[1]);
                if long > 1e-6 {
                    let to = [0, 1].map(|k| p[k] - TICK * outward[k] / long);
                    marks.push(JointMark {
                        points: vec![p, to],
                        pen: MarkPen::Heavy,
                        name: format!("{name} meets it"),
                    });
                }
            }
        }
        marks
    }
}

impl Sunk<'_> {
    /// The first form's surface, and the land within it, as a plane of the added form (given in the first one's axes) cuts them, where the
    /// box between two corners of the added form's own axes is near.
    fn curves(&self, plane: &Plane, [low, high]: [Vector; 2], flat: impl Fn(Vector) -> Point) -> Vec<JointMark> {
        let corner = |i: usize| [0, 1, 2].map(|k| if i >> k & 1 == 0 { low[k] } else { high[k] });
        let corners: Vec<Vector> = (0..8).map(|i| self.placed.to_first(corner(i))).collect();
        let least = [0, 1, 2].map(|k| corners.iter().map(|c| c[k]).fold(f64::INFINITY, f64::min));
        let most = [0, 1, 2].map(|k| corners.iter().map(|c| c[k]).fold(f64::NEG_INFINITY, f64::max));
        let one = |(inward, pen, name): (f64, MarkPen, String)| {
            let curves = cut_by_plane(self.first, plane, inward, Some([least, most]), CLOSE);
            let own = |curve: Vec<Vector>| curve.into_iter().map(|p| flat(self.placed.to_own(p))).collect();
            curves.into_iter().map(own).map(|points| JointMark { points, pen, name: name.clone() }).collect::<Vec<_>>()
        };
        let surface = (0.0, MarkPen::Station, format!("surface of {}", self.name));
        let within = (self.land, MarkPen::Hidden, format!("land {:.0} mm", self.land));
        [surface, within].into_iter().filter(|line| line.0 == 0.0 || self.land > 0.0).flat_map(one).collect()
    }
}

/// Neighbouring places of a line.
fn steps(line: &MeetingLine) -> impl Iterator<Item = (&MeetingPlace, &MeetingPlace)> {
    let again = line.places.first().filter(|_| line.closed());
    line.places.iter().zip(line.places.iter().skip(1).chain(again))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shell::added::tests::{document, lofted, on_the_side};
    use fit::outline::Outline;

    /// Distance of a place from the cowl's outline at its station; negative inside.
    fn beyond(cowl: &Loft, p: Vector) -> f64 {
        let outline = Outline::new(cowl.section(p[0]).unwrap().polyline(1e-3)).unwrap();
        outline.nearest([p[1].abs(), p[2]]).distance
    }

    /// A cross plane of the blister is none of the cowl; what is marked in it lies on the cowl all the same.
    #[test]
    fn what_is_marked_on_a_blister_s_card_lies_on_the_cowl_and_the_land_within_it() {
        let document = document();
        let lofted = lofted(&document);
        let (joint, placed) = (Joint::of(&document, &lofted, 1, &Reckoned::default()), Placed::new(&on_the_side()));
        let cowl = lofted[0].whole_skin().unwrap().loft();
        let marks = joint.on_station(60.0);
        let of = |pen: MarkPen| marks.iter().filter(move |m| m.pen == pen).flat_map(|m| m.points.iter().copied());
        assert!(of(MarkPen::Station).count() > 1 && of(MarkPen::Hidden).count() > 1);
        for [y, z] in of(MarkPen::Station) {
            assert!(beyond(cowl, placed.to_first([60.0, y, z])).abs() < 2e-3);
        }
        for [y, z] in of(MarkPen::Hidden) {
            let inside = -beyond(cowl, placed.to_first([60.0, y, z]));
            // Along the normal, which leans a little out of the cross plane.
            assert!((15.0 - 1e-3..15.6).contains(&inside), "{inside}");
        }
        let middle = joint.on_centre();
        let surface = middle.iter().filter(|m| m.pen == MarkPen::Station).flat_map(|m| m.points.iter().copied());
        assert!(surface.clone().count() > 1);
        assert!(surface.map(|[x, z]| beyond(cowl, placed.to_first([x, 0.0, z])).abs()).all(|off| off < 2e-3));
        assert_eq!(joint.sunk_notes().len(), 2);
    }

    #[test]
    fn ticks_on_the_cowl_begin_on_the_line_and_go_inward_on_both_sides() {
        let document = document();
        let lofted = lofted(&document);
        let joint = Joint::of(&document, &lofted, 0, &Reckoned::default());
        let cowl = lofted[0].whole_skin().unwrap().loft();
        assert!(joint.on_station(20.0).is_empty(), "ahead of the blister");
        let ticks = joint.on_station(120.0);
        assert_eq!(ticks.len(), 4, "two for each side");
        for tick in &ticks {
            let [from, to] = [tick.points[0], tick.points[1]].map(|[y, z]| beyond(cowl, [120.0, y, z]));
            assert!(from.abs() < 0.02 && (to + TICK).abs() < 0.3, "{from} {to}");
        }
        assert_eq!(ticks.iter().filter(|t| t.points[0][0] > 0.0).count(), 2);
        assert_eq!(joint.notes(), ["ticks: Blister meets it here"]);
    }

    #[test]
    fn a_line_is_kept_where_there_is_card() {
        let mark = JointMark { points: vec![[-5.0, 0.0], [5.0, 0.0]], pen: MarkPen::Station, name: String::new() };
        let runs = mark.runs(|p| p[0].abs() > 2.0);
        assert_eq!(runs.len(), 2);
        assert!(runs.iter().flatten().all(|p| p[0].abs() > 2.0) && runs[1].last() == Some(&[5.0, 0.0]));
    }
}
