//! The card parts put in space: no two overlap, and every half-lap has its clearances.

use super::Plugged;
use super::flat::{Point, Span, joined, spans};
use super::set::Card;
use crate::folder::number;
use serde_json::Value;

/// What is promised of every clearance, mm.
const CLEARANCE: f64 = 0.05;
/// Two parts that touch, on paper, mm.
const TOUCH: f64 = 0.01;

pub(crate) fn check(plug: &Plugged) {
    for said in plug.stack["formers"].as_array().unwrap() {
        let n = said["number"].as_u64().unwrap() as usize;
        let former = &plug.set.formers[&n];
        if let Some(centre) = &plug.set.centre {
            with_centre(plug, n, former, centre, said);
        }
        for (half, name) in plug.set.breadth.iter().zip(["breadth template, starboard", "breadth template, port"]) {
            with_breadth(plug, n, former, half, said, name);
        }
    }
}

/// What a card has of an axis over the thickness of the other card.
fn over(contours: &[Vec<Point>], held: usize, (from, to): Span) -> Vec<Span> {
    let at = |k: f64| from + TOUCH + (to - from - 2.0 * TOUCH) * k;
    joined([0.0, 0.25, 0.5, 0.75, 1.0].iter().flat_map(|&k| spans(contours, held, at(k))).collect())
}

fn overlap(a: &[Span], b: &[Span]) -> f64 {
    let pairs = a.iter().flat_map(|s| b.iter().map(move |t| s.1.min(t.1) - s.0.max(t.0)));
    pairs.fold(0.0, f64::max)
}

fn gap(a: &[Span], b: &[Span]) -> f64 {
    let pairs = a.iter().flat_map(|s| b.iter().map(move |t| s.0.max(t.0) - s.1.min(t.1)));
    pairs.fold(f64::INFINITY, f64::min)
}

fn faces(said: &Value) -> Span {
    (number(&said["front_mm"]), number(&said["rear_mm"]))
}

fn joint<'a>(said: &'a Value, with: &str) -> Option<&'a Value> {
    said["joints"].as_array().unwrap().iter().find(|j| j["with"] == with)
}

fn with_centre(plug: &Plugged, n: usize, former: &Card, centre: &Card, said: &Value) {
    let half = 0.5 * plug.wanted.card;
    let mine = over(&former.contours, 0, (-half, half));
    let theirs = over(&centre.contours, 0, faces(said));
    let lost = overlap(&mine, &theirs);
    assert!(lost < TOUCH, "former {n} and the centre template overlap by {lost} mm");
    let Some(joint) = joint(said, "centre template") else {
        assert!(theirs.is_empty() || mine.is_empty(), "former {n} meets the centre template without a joint");
        return;
    };
    if joint["butted"] == true {
        return butts(n, former, half);
    }
    assert!(former.pieces() == 1, "former {n} is half-lapped and yet in pieces");
    let end = gap(&mine, &theirs);
    assert!((end - plug.wanted.end_clearance).abs() < CLEARANCE, "former {n}: {end} mm left at the slots' ends");
    let opens_up = !plug.wanted.centre_opens_up;
    let middle = 0.5 * (faces(said).0 + faces(said).1);
    let (own, other) = (spans(&former.contours, 0, 0.0), spans(&centre.contours, 0, middle));
    let (width, web) = (plug.wanted.slot(), plug.wanted.least_web);
    // A ridge stands higher on the axis than at the slot's corners.
    let blunt = if plug.body.has_ridge() { 0.3 + 0.5 * width } else { 0.3 };
    let lap = Lap { name: format!("former {n}"), opens_up, width, web, blunt, other };
    lap.check(&former.contours, 0.0, number(&joint["former_slot_mm"]), (true, true));
    let ends = plug.stack["centre_template"].clone();
    let reaches = |end: &Value| (middle - number(end)).abs() > plug.wanted.slot();
    let both = (reaches(&ends["front_mm"]), reaches(&ends["rear_mm"]));
    let lap =
        Lap { name: format!("centre template at former {n}"), opens_up: !opens_up, width, web, blunt, other: own };
    lap.check(&centre.contours, middle, number(&joint["template_slot_mm"]), both);
}

/// Halves end at the template's faces.
fn butts(n: usize, former: &Card, half: f64) {
    let ys = || former.contours.iter().flatten().map(|p| p[0]);
    let inner = [
        ys().filter(|y| *y > 0.0).fold(f64::INFINITY, f64::min),
        -ys().filter(|y| *y < 0.0).fold(f64::NEG_INFINITY, f64::max),
    ];
    assert!(inner.iter().all(|y| (y - half).abs() < TOUCH), "the halves of former {n} begin at {inner:?}, not {half}");
}

/// A slot along the second coordinate, as one of its two parts has it.
struct Lap {
    name: String,
    opens_up: bool,
    width: f64,
    web: f64,
    /// What the edge may differ, on the axis, from a chord between the slot's corners.
    blunt: f64,
    /// What the other part has left on the axis.
    other: Vec<Span>,
}

impl Lap {
    /// The slot at `middle`: its width and place, its depth, and the web that it leaves. `both`: whether there is card at its lower
    /// and at its upper side; a slot at the end of a part has one side.
    fn check(&self, contours: &[Vec<Point>], middle: f64, depth: f64, both: (bool, bool)) {
        let left = spans(contours, 0, middle);
        let own = if self.opens_up { left.first() } else { left.last() };
        let own = own.unwrap_or_else(|| panic!("{} has nothing left", self.name));
        let (end, web) = if self.opens_up { (own.1, own.1 - own.0) } else { (own.0, own.1 - own.0) };
        assert!(web >= self.web - CLEARANCE, "{}: a web of {web} mm, not {}", self.name, self.web);
        self.sides(contours, (middle, end, depth), both);
        let drawn = self.mouth(contours, middle).map(|mouth| (mouth - end).abs());
        // Between the slot's corners the edge is not there to measure: a chord stands for it.
        let good = drawn.is_none_or(|drawn| (drawn - depth).abs() < self.blunt);
        assert!(good, "{}: a slot {drawn:?} mm deep, not {depth}", self.name);
    }

    /// Both sides of the slot, looked for at several heights: nowhere nearer than they should be, and somewhere just there. (A shaft's
    /// channel can take a side away over some height.)
    fn sides(&self, contours: &[Vec<Point>], (middle, end, depth): (f64, f64, f64), both: (bool, bool)) {
        let half = 0.5 * self.width;
        let mut nearest = [f64::NEG_INFINITY, f64::INFINITY];
        for share in [0.1, 0.3, 0.5, 0.7, 0.9] {
            let inside = end + share * depth * if self.opens_up { 1.0 } else { -1.0 };
            for span in spans(contours, 1, inside) {
                assert!(span.1 <= middle || span.0 >= middle, "{}: its slot is closed at {inside}", self.name);
                if span.1 <= middle {
                    nearest[0] = nearest[0].max(span.1);
                } else {
                    nearest[1] = nearest[1].min(span.0);
                }
            }
        }
        for (side, there, want) in [(nearest[0], both.0, middle - half), (nearest[1], both.1, middle + half)] {
            let good = if side.is_finite() { (side - want).abs() < TOUCH } else { !there };
            assert!(good, "{}: a side of the slot at {side}, not {want}", self.name);
        }
    }

    /// Where the slot leaves what both parts have in common; of its own part that is halfway between its two corners, if it has both.
    fn mouth(&self, contours: &[Vec<Point>], middle: f64) -> Option<f64> {
        let half = 0.5 * self.width + TOUCH;
        let corner = |at: f64| {
            let spans = spans(contours, 0, at);
            if self.opens_up { spans.last().map(|s| s.1) } else { spans.first().map(|s| s.0) }
        };
        let own = 0.5 * (corner(middle - half)? + corner(middle + half)?);
        Some(if self.opens_up { own.min(self.other.last()?.1) } else { own.max(self.other.first()?.0) })
    }
}

fn with_breadth(plug: &Plugged, n: usize, former: &Card, half: &Card, said: &Value, name: &str) {
    let height = number(&plug.stack["breadth_template_mm"]);
    let t = 0.5 * plug.wanted.card;
    let port = name.ends_with("port");
    let own = |s: &Span| if port { s.0 < 0.0 } else { s.1 > 0.0 };
    let mine: Vec<Span> = over(&former.contours, 1, (height - t, height + t)).into_iter().filter(own).collect();
    let theirs = over(&half.contours, 0, faces(said));
    let lost = overlap(&mine, &theirs);
    assert!(lost < TOUCH, "former {n} and the {name} overlap by {lost} mm");
    let Some(joint) = joint(said, name) else {
        assert!(theirs.is_empty(), "the {name} reaches former {n} without a joint");
        return;
    };
    let end = gap(&mine, &theirs);
    assert!(
        (end - plug.wanted.end_clearance).abs() < CLEARANCE,
        "former {n}, {name}: {end} mm left at the slots' ends"
    );
    assert!((number(&joint["slot_width_mm"]) - plug.wanted.slot()).abs() < 1e-9);
}
