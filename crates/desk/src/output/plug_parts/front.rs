//! What the ring's plane asks of the front: its own template, and what stands on the foam's face and blocks.

use super::{Draughtsman, TICK, contours, cross, mark, plug_note};
use plug::{Point, Region, RingFront};
use project::build::Process;
use sheets::{CardTemplate, Mark, MarkPen};

/// Chords of circles stay this close, mm.
const ROUND: f64 = 0.005;
/// Names of the clock points, looking aft.
const HOURS: [&str; 4] = ["12", "3", "6", "9"];
/// Less than this is as good as nothing on foam, mm.
const NOTHING: f64 = 0.05;

impl Draughtsman<'_> {
    /// The outline of the plug where the ring's plane cuts it, seen along the shaft from ahead.
    pub(super) fn front_plane(&self, front: &RingFront) -> CardTemplate {
        let outline: Vec<Point> = front.plug.outline.iter().map(|p| aft(p.on_plane)).collect();
        let part = Region::of(&outline).without(&self.hole(front));
        let mut t = self.template("front-plane".to_owned(), "Front, on the ring plane".to_owned(), contours(&part));
        t.short = "front".to_owned();
        let ring = &front.plug.ring;
        t.head = vec!["on the ring's rear face, looking aft along the shaft".to_owned()];
        t.sides = Some(["STARBOARD".to_owned(), "PORT".to_owned()]);
        t.up = true;
        t.marks = self.front_marks(front, &outline);
        t.notes = vec![
            format!("lay it on the trimmed front; the ring is {:.1} mm across", ring.diameter),
            beyond_the_ring(front),
            wedge_words(front),
            plug_note(self.document),
        ];
        if front.plug.is_packed() {
            t.notes.push("broad grey edge: packed, the form begins behind the ring there".to_owned());
        }
        t
    }

    /// The shaft's hole in the ring's plane, about the ring's centre.
    fn hole(&self, front: &RingFront) -> Region {
        let radius = 0.5 * self.document.build.formers.shaft_hole;
        let rear = &front.plug.ring.rear;
        let (Some(shaft), true) = (&self.plan.shaft, radius > 0.0) else { return Region::default() };
        // As the shaft's slope aft has no share in the plane's own directions, the hole is round where the ring is square to it.
        let along = [1.0, shaft.slope[0], shaft.slope[1]];
        let lean = front.plug.ring.across().map(|axis| (0..3).map(|k| axis[k] * along[k]).sum::<f64>());
        let length = along.iter().map(|c| c * c).sum::<f64>().sqrt();
        let facing = (0..3).map(|k| rear.normal[k] * along[k]).sum::<f64>().abs();
        Region::ellipse([0.0, 0.0], [radius * length / facing, radius], aft(lean), ROUND)
    }

    fn front_marks(&self, front: &RingFront, outline: &[Point]) -> Vec<Mark> {
        let circle = Region::disc([0.0, 0.0], 0.5 * front.plug.ring.diameter, ROUND);
        let mut marks: Vec<Mark> =
            contours(&circle).into_iter().map(|c| mark(closed(c), MarkPen::Level, "ring's edge")).collect();
        if self.document.build.process == Process::OverPlug {
            let finished = front.finished.outline.iter().map(|p| aft(p.on_plane)).collect();
            marks.push(mark(closed(finished), MarkPen::Hidden, "finished form"));
        }
        let on_centre = |p: &&form::front::FrontPlace| p.at[1].abs() < 1e-6;
        let ends: Vec<Point> = front.plug.outline.iter().filter(on_centre).map(|p| aft(p.on_plane)).collect();
        marks.push(mark(ends, MarkPen::Centre, "centre plane"));
        marks.extend(cross([0.0, 0.0], 0.5 * self.document.build.formers.shaft_hole, "thrust line"));
        for ([starboard, up], hour) in form::front::CLOCK.into_iter().zip(HOURS) {
            let way = aft([starboard, up]);
            if let Some(r) = form::front::farthest(outline, [0.0, 0.0], way) {
                marks.push(tick(way.map(|c| c * r), way, hour));
            }
        }
        let packed: Vec<Option<Point>> = front.plug.outline.iter().map(|p| p.packed.then(|| aft(p.on_plane))).collect();
        let runs = packed.split(Option::is_none).filter(|run| run.len() > 1);
        marks.extend(runs.map(|run| mark(run.iter().flatten().copied().collect(), MarkPen::Heavy, "")));
        marks
    }

    /// Ticks on the foremost face, with what is taken off or packed there.
    pub(super) fn clock_marks(&self) -> Vec<Mark> {
        let Some(front) = &self.plan.front else { return Vec::new() };
        let ticks = front.clock.iter().zip(form::front::CLOCK).zip(HOURS);
        ticks.map(|((c, way), hour)| tick(aft(c.at), aft(way), &format!("{hour}: {:+.1}", c.packing))).collect()
    }

    /// What is taken off or packed at the foremost face, in words, if a part begins there.
    pub(super) fn wedge_note(&self, station: f64) -> Option<String> {
        let front = self.plan.front.as_ref().filter(|f| (f.face - station).abs() < 1e-6)?;
        Some(wedge_words(front))
    }
}

/// A place (to starboard, up) as it is drawn looking aft.
fn aft([starboard, up]: Point) -> Point {
    [-starboard, up]
}

fn closed(mut points: Vec<Point>) -> Vec<Point> {
    points.extend(points.first().copied());
    points
}

/// A tick from a place of an outline inward.
fn tick(at: Point, outward: Point, name: &str) -> Mark {
    mark(vec![at, [0, 1].map(|k| at[k] - TICK * outward[k])], MarkPen::Station, name)
}

/// How far the finished form stands beyond the ring's edge, all round.
fn beyond_the_ring(front: &RingFront) -> String {
    let at = |eighth: u32| {
        // Looking aft the clock runs to port first.
        let turn = 1.0 - f64::from(eighth) / 8.0;
        Some(format!("{:+.1} at {}", front.finished.proud(turn)?, hour(turn)))
    };
    let all: Vec<String> = (0..8).filter_map(at).collect();
    let worst = front.finished.worst(72).map(|(proud, turn)| format!(", most {proud:+.2} at {}", hour(turn)));
    format!("finished form beyond the ring's edge, mm: {}{}", all.join(", "), worst.unwrap_or_default())
}

/// A share of a turn from the top to starboard, as the clock's hour and minute looking aft.
fn hour(turn: f64) -> String {
    let minutes = ((1.0 - turn) * 720.0).round() as u32 % 720;
    let hour = if minutes < 60 { 12 } else { minutes / 60 };
    if minutes.is_multiple_of(60) { hour.to_string() } else { format!("{hour}:{:02}", minutes % 60) }
}

fn wedge_words(front: &RingFront) -> String {
    let [a, b, c, d] = front.clock.map(|c| c.packing);
    let all = [a, b, c, d];
    let value = |v: f64| format!("{:.1}", v.abs());
    if all.iter().all(|v| v.abs() < NOTHING) {
        "the foremost face is the ring's plane".to_owned()
    } else if all.iter().all(|v| *v < NOTHING) {
        format!(
            "take off the foremost face, to the ring's plane: {} mm at 12, {} at 3, {} at 6, {} at 9",
            value(a),
            value(b),
            value(c),
            value(d)
        )
    } else if all.iter().all(|v| *v > -NOTHING) {
        format!(
            "pack ahead of the foremost face, to the ring's plane: {} mm at 12, {} at 3, {} at 6, {} at 9",
            value(a),
            value(b),
            value(c),
            value(d)
        )
    } else {
        format!(
            "from the foremost face to the ring's plane: {a:+.1} mm at 12, {b:+.1} at 3, {c:+.1} at 6, {d:+.1} at 9; plus packs, minus takes off"
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_clock_runs_to_port_first_looking_aft() {
        assert_eq!([0.0, 0.75, 0.5, 0.25, 0.875, 0.625].map(hour), ["12", "3", "6", "9", "1:30", "4:30"]);
    }
}
