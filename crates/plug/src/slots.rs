//! Half-laps: slots by which formers and templates interlock.
//!
//! ```text
//!     former            template           together
//!   .-------.           .-- --.            both have material over the height H of the joint; each slot runs from its own
//!   |       |           |  |  |  depth     end of H to beyond the middle: depth + depth = H + end clearance, so that the
//!   |  | |  |           |  '--' -.         slots' ends stand that clearance apart and the parts meet at their edges.
//!   '--' '--'   depth   '--------'
//! ```
//!
//! Heights and widths are read on the joint's axis, the line that the middle planes of the two cards share.

use crate::region::{Point, Region, Span, shared};
use project::build::Formers;

/// What a former is joined to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Template {
    /// The centre template.
    Centre,
    /// The starboard half of the breadth template.
    BreadthStarboard,
    /// Its port half.
    BreadthPort,
}

/// A former's joint with a template.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Joint {
    /// The former's number.
    pub former: usize,
    /// What it is joined to.
    pub with: Template,
    /// How.
    pub how: Joining,
}

/// How two cards meet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Joining {
    /// Slot in slot.
    HalfLap(HalfLap),
    /// The former is in two halves that butt on the template's faces.
    Butted,
}

/// Two slots that meet. All mm along the joint's axis: heights at the centre template, half-breadths at a breadth template.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HalfLap {
    /// Where both parts have material before the slots are cut.
    pub material: Span,
    /// Where the former's slot ends.
    pub former_end: f64,
    /// Where the template's slot ends.
    pub template_end: f64,
    /// The former's slot opens toward the upper end of the axis (up, or outward), the template's toward the lower; or the reverse.
    pub former_opens_up: bool,
    /// Width of both slots, mm.
    pub width: f64,
}

impl HalfLap {
    /// Depth of the former's slot, from its end of the common material.
    pub fn former_depth(&self) -> f64 {
        if self.former_opens_up { self.material.1 - self.former_end } else { self.former_end - self.material.0 }
    }

    /// Depth of the template's slot.
    pub fn template_depth(&self) -> f64 {
        if self.former_opens_up { self.template_end - self.material.0 } else { self.material.1 - self.template_end }
    }

    /// The lap over that material, its slots meeting in the middle.
    pub(crate) fn over(material: Span, former_opens_up: bool, card: f64, wanted: &Formers) -> Self {
        let middle = 0.5 * (material.0 + material.1);
        let half = 0.5 * wanted.end_clearance * if former_opens_up { -1.0 } else { 1.0 };
        Self {
            material,
            former_end: middle + half,
            template_end: middle - half,
            former_opens_up,
            width: card + wanted.slot_clearance,
        }
    }
}

/// Joins a former to the centre template, cutting both; in halves where a web would be too thin or the former's material over the
/// axis is not one stretch. `None` where the template does not reach the former.
///
/// The web is read on the slot's axis and at both of its sides.
pub(crate) fn join_centre(
    former: &mut Region,
    centre: &mut Region,
    (front, rear): Span,
    card: f64,
    wanted: &Formers,
) -> Option<Joining> {
    // A template that ends within the card's thickness does not reach its middle plane, but is in its way all the same.
    let middle = 0.5 * (front + rear);
    let reach = (0.5 * (rear - front)).max(LEAST_REACH);
    if centre.intersection(&Region::rectangle([middle - reach, -FAR], [middle + reach, FAR])).is_empty() {
        return None;
    }
    let on_centre = centre.spans(0, middle);
    let common = shared(&former.spans(0, 0.0), &on_centre);
    if let [material] = common[..] {
        let lap = HalfLap::over(material, !wanted.centre_opens_up, card, wanted);
        let half = 0.5 * lap.width;
        let (f, c) = (slot(0, (-half, half), lap.former_end, lap.former_opens_up), (middle - half, middle + half));
        let c = slot(0, c, lap.template_end, !lap.former_opens_up);
        let webs = [
            web(former, &[-half, 0.0, half], &lap, true),
            web(centre, &[middle - half, middle, middle + half], &lap, false),
        ];
        if webs.iter().all(|w| *w >= wanted.least_web) {
            *former = former.without(&f);
            *centre = centre.without(&c);
            return Some(Joining::HalfLap(lap));
        }
    }
    *former = former.without(&Region::rectangle([-0.5 * card, -FAR], [0.5 * card, FAR]));
    Some(Joining::Butted)
}

/// Half of the thickness within which a template is looked for, at least, mm: a card may be given as nothing.
const LEAST_REACH: f64 = 1e-3;

/// Beyond every part, mm.
pub(crate) const FAR: f64 = 1e5;

/// The rectangle of a slot along coordinate `1 - across`, from its end to beyond the part's edge.
pub(crate) fn slot(across: usize, sides: Span, end: f64, opens_up: bool) -> Region {
    let along = if opens_up { (end, FAR) } else { (-FAR, end) };
    let corner = |s: f64, t: f64| -> Point { if across == 0 { [s, t] } else { [t, s] } };
    Region::rectangle(corner(sides.0, along.0), corner(sides.1, along.1))
}

/// What is left of a part beyond the end of its slot, at the thinnest of the given places across it.
fn web(part: &Region, across: &[f64], lap: &HalfLap, former: bool) -> f64 {
    let end = if former { lap.former_end } else { lap.template_end };
    let opens_up = lap.former_opens_up == former;
    let left = |x: &f64| {
        let spans = part.spans(0, *x);
        let span = spans.iter().find(|s| s.0 <= end && end <= s.1);
        span.map(|s| if opens_up { end - s.0 } else { s.1 - end })
    };
    // A side that has no material at all is the open side of a rebate at the template's end.
    across.iter().filter_map(left).fold(f64::INFINITY, f64::min)
}

#[cfg(test)]
mod tests {
    use super::*;
    use project::build::Build;

    fn wanted(centre_opens_up: bool) -> Formers {
        Formers { centre_opens_up, ..Build::default().formers }
    }

    #[test]
    fn the_two_depths_are_the_common_height_and_the_end_clearance() {
        for up in [true, false] {
            let (mut former, mut centre) =
                (Region::rectangle([-40.0, -30.0], [40.0, 50.0]), Region::rectangle([0.0, -28.0], [300.0, 52.0]));
            let joint = join_centre(&mut former, &mut centre, (99.0, 101.0), 2.0, &wanted(up)).unwrap();
            let Joining::HalfLap(lap) = joint else { panic!("a half-lap finds room in 78 mm") };
            assert!((lap.material.0 + 28.0).abs() < 1e-6 && (lap.material.1 - 50.0).abs() < 1e-6);
            assert!((lap.former_depth() + lap.template_depth() - 78.5).abs() < 1e-6);
            // Read back from the cut parts: what is left at the axis ends where the other's slot does.
            let (f, c) = (former.spans(0, 0.0)[0], centre.spans(0, 100.0)[0]);
            let gap = if up { f.0 - c.1 } else { c.0 - f.1 };
            assert!((gap - 0.5).abs() < 1e-6, "{f:?} {c:?}");
        }
    }

    #[test]
    fn a_low_former_is_made_in_halves_and_leaves_the_template_whole() {
        let (mut former, mut centre) =
            (Region::rectangle([-40.0, -7.0], [40.0, 7.0]), Region::rectangle([0.0, -28.0], [300.0, 52.0]));
        let before = centre.clone();
        assert_eq!(join_centre(&mut former, &mut centre, (99.0, 101.0), 2.0, &wanted(true)), Some(Joining::Butted));
        assert_eq!((former.pieces.len(), centre), (2, before));
        assert_eq!(join_centre(&mut former, &mut Region::default(), (99.0, 101.0), 2.0, &wanted(true)), None);
    }
}
