//! The order of assembly, and whether every part finds its way in past those that are there already.

use crate::breadth::BreadthHalf;
use crate::centre::Centre;
use crate::finding::finding;
use crate::formers::Former;
use crate::region::Span;
use crate::slots::{Joining, Joint, Template};
use form::{Finding, Severity};

/// How a part comes to its place.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Way {
    /// It lies on the bench first.
    First,
    /// From above.
    Down,
    /// From below.
    Up,
    /// From its own side toward the centre plane.
    Inward,
}

impl Way {
    /// The words for it.
    pub fn label(self) -> &'static str {
        match self {
            Self::First => "first of all",
            Self::Down => "from above",
            Self::Up => "from below",
            Self::Inward => "from its side, toward the centre",
        }
    }
}

/// One step of the assembly.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// What comes.
    pub part: String,
    /// How.
    pub way: Way,
    /// Whether nothing is in its way.
    pub free: bool,
}

/// The steps for card parts; foam follows from the sides, bay by bay, as bays are open there.
pub(crate) fn steps(
    centre: Option<&Centre>,
    formers: &[Former],
    breadth: &[BreadthHalf],
    joints: &[Joint],
    (card, opens_up): (f64, bool),
) -> (Vec<Step>, Vec<Finding>) {
    let mut steps = Vec::new();
    if centre.is_some() {
        steps.push(Step { part: "Centre template".to_owned(), way: Way::First, free: true });
    }
    let (whole, halves): (Vec<&Former>, Vec<&Former>) = formers.iter().partition(|f| !f.in_halves);
    let way = if opens_up { Way::Down } else { Way::Up };
    for former in whole {
        let free = centre.is_none_or(|c| former_passes(former, c, card, opens_up));
        steps.push(Step { part: format!("Former {}", former.number), way, free });
    }
    for former in halves {
        let beside = |s: &Span| s.0 >= 0.5 * card - TOUCH || s.1 <= -0.5 * card + TOUCH;
        let free = former.part.pieces.iter().all(|piece| {
            let ys = || piece.iter().flatten().map(|p| p[0]);
            beside(&(ys().fold(f64::INFINITY, f64::min), ys().fold(f64::NEG_INFINITY, f64::max)))
        });
        steps.push(Step { part: format!("Former {}, both halves", former.number), way: Way::Inward, free });
    }
    for half in breadth {
        let free = formers.iter().all(|f| breadth_passes(half, f, joints));
        let side = if half.side == Template::BreadthPort { "port" } else { "starboard" };
        steps.push(Step { part: format!("Breadth template, {side} half"), way: Way::Inward, free });
    }
    let findings = steps.iter().filter(|s| !s.free).map(blocked).collect();
    (steps, findings)
}

/// Parts may touch within this, mm.
const TOUCH: f64 = 1e-6;

/// A former that comes along z passes if, wherever the two cards cross, none of its material has to go through the template's.
fn former_passes(former: &Former, centre: &Centre, card: f64, from_above: bool) -> bool {
    let inside = 0.5 * card - TOUCH;
    let ys = [-inside, 0.0, inside];
    let xs = [former.front + TOUCH, former.middle(), former.rear - TOUCH];
    xs.iter().all(|x| {
        let still = centre.part.spans(0, *x);
        ys.iter().all(|y| passes(&former.part.spans(0, *y), &still, from_above))
    })
}

/// A half of the breadth template comes from its side.
fn breadth_passes(half: &BreadthHalf, former: &Former, joints: &[Joint]) -> bool {
    let joined =
        joints.iter().any(|j| j.former == former.number && j.with == half.side && matches!(j.how, Joining::HalfLap(_)));
    if !joined {
        return true;
    }
    let starboard = half.side == Template::BreadthStarboard;
    let own = |spans: Vec<Span>| -> Vec<Span> {
        spans.into_iter().filter(|s| if starboard { s.1 > 0.0 } else { s.0 < 0.0 }).collect()
    };
    passes(&own(half.part.spans(0, former.middle())), &own(former.part.spans(1, half.height)), starboard)
}

/// Whether all that moves stays on the side it comes from of all that is still there.
fn passes(moving: &[Span], still: &[Span], from_above: bool) -> bool {
    let lowest = |spans: &[Span]| spans.iter().map(|s| s.0).fold(f64::INFINITY, f64::min);
    let highest = |spans: &[Span]| spans.iter().map(|s| s.1).fold(f64::NEG_INFINITY, f64::max);
    if from_above { lowest(moving) >= highest(still) - TOUCH } else { highest(moving) <= lowest(still) + TOUCH }
}

fn blocked(step: &Step) -> Finding {
    let what = format!("{} does not come to its place {}: another part is in the way.", step.part, step.way.label());
    finding(
        Severity::Error,
        what,
        "Open the slots the other way, or leave the breadth template or the shaft's hole out.",
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_comes_from_above_must_lie_above() {
        assert!(passes(&[(10.0, 50.0)], &[(-30.0, 9.5)], true));
        assert!(!passes(&[(10.0, 50.0)], &[(-30.0, 9.5), (60.0, 70.0)], true));
        assert!(passes(&[(-30.0, 9.5)], &[(10.0, 50.0)], false));
        assert!(passes(&[(10.0, 50.0)], &[], true));
    }
}
