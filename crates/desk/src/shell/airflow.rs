//! What openings let in and out.
//!
//! An intake counts by its area square to the flow (its projection on a cross plane), less what is seen of spinner and keep-outs
//! through it along the flow, and never by more than its duct's narrowest place. The gap between the spinner's back plate and the ring
//! counts as an intake of its own. An outlet, an exhaust hole too, counts by its area on the surface, or its duct's narrowest place.
//!
//! The ratio of outlets to intakes is held against a rule of thumb (common practice, no source): only a measured temperature tells
//! whether a motor is cool enough.

mod blocked;
mod findings;

pub use blocked::Blocked;

use form::openings::{Areas, Hole, Narrowest, Target, holes};
use form::{Finding, Lofted};
use project::document::Document;
use project::opening::{Purpose, Seen};
use project::shell::AirRatio;

/// The rule of thumb in words.
pub const RULE: &str = "a rule of thumb (common practice, no source): measure the temperature";

/// Chord error of edges, mm.
const FINE: f64 = 0.05;

/// One hole.
#[derive(Clone, Debug, PartialEq)]
pub struct HoleAir {
    /// Index of the opening in the form.
    pub opening: usize,
    /// It is the mirror image.
    pub mirrored: bool,
    /// The opening's name.
    pub name: String,
    /// What it is for.
    pub purpose: Purpose,
    /// From where it is cut.
    pub seen: Seen,
    /// Its areas, mm².
    pub areas: Areas,
    /// What stands behind it, as the flow sees it: for intakes.
    pub blocked: Vec<Blocked>,
    /// The area that all of that takes from it together, mm².
    pub blocked_area: f64,
    /// The narrowest place of its duct, if it has one.
    pub narrowest: Option<Narrowest>,
    /// What it counts for, mm²; 0 for an access hole.
    pub effective: f64,
}

/// The gap between the spinner's back plate and the ring.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RingGap {
    /// Its width along the shaft, mm.
    pub gap: f64,
    /// Its area all round at the spinner's diameter, π D gap, mm².
    pub around: f64,
    /// The bore of the ring through which it must go on, mm².
    pub bore: f64,
    /// The smaller of both: what counts.
    pub effective: f64,
}

/// All air of a form.
#[derive(Clone, Debug, PartialEq)]
pub struct Airflow {
    /// Every hole, the mirror image after its own.
    pub holes: Vec<HoleAir>,
    /// The gap at the ring, on the first form with a thrust line.
    pub ring_gap: Option<RingGap>,
    /// Sum of the intakes with the ring's gap, mm².
    pub intake: f64,
    /// Sum of outlets and exhaust holes, mm².
    pub outlet: f64,
    /// Outlets over intakes, where there are intakes.
    pub ratio: Option<f64>,
    /// What it is held against.
    pub rule: AirRatio,
    /// What deserves a look.
    pub findings: Vec<Finding>,
}

/// The air of form number `index`; `None` while it cannot be lofted, or has neither an opening nor a gap at the ring.
pub fn airflow(document: &Document, index: usize, lofted: &Lofted) -> Option<Airflow> {
    let form = document.forms.get(index)?;
    let target = Target::of(document, index, lofted)?;
    let cut: Vec<Hole> = holes(&target, form, FINE).into_iter().filter_map(Result::ok).collect();
    let ring_gap = ring_gap(document).filter(|_| index == 0);
    if cut.is_empty() && ring_gap.is_none() {
        return None;
    }
    let obstacles = if index == 0 { blocked::obstacles(document) } else { Vec::new() };
    let one = |hole: &Hole| {
        let name = form.openings.get(hole.opening).map(|o| o.name.clone()).unwrap_or_default();
        hole_air(name, hole, &target, &obstacles)
    };
    let all: Vec<HoleAir> = cut.iter().map(one).collect();
    let sum = |of: &dyn Fn(&HoleAir) -> bool| all.iter().filter(|h| of(h)).map(|h| h.effective).sum::<f64>();
    let intake = sum(&|h| h.purpose == Purpose::Intake) + ring_gap.map_or(0.0, |gap| gap.effective);
    let outlet = sum(&|h| matches!(h.purpose, Purpose::Outlet | Purpose::Exhaust));
    let ratio = (intake > 0.0).then(|| outlet / intake);
    let rule = document.shell.air_ratio;
    let mut air = Airflow { holes: all, ring_gap, intake, outlet, ratio, rule, findings: Vec::new() };
    let mut found = findings::of(&air);
    if index == 0 {
        found.extend(findings::ducts(document, &cut, &target));
    }
    found.iter_mut().for_each(|f| f.place.form = Some(index));
    air.findings = found;
    Some(air)
}

/// What is found about the air of form number `index`.
pub fn findings(document: &Document, index: usize, lofted: &Lofted) -> Vec<Finding> {
    let any = document.forms.get(index).is_some_and(|form| !form.openings.is_empty());
    any.then(|| airflow(document, index, lofted)).flatten().map(|air| air.findings).unwrap_or_default()
}

fn hole_air(name: String, hole: &Hole, target: &Target<'_>, obstacles: &[blocked::Obstacle]) -> HoleAir {
    let areas = hole.areas(target);
    let narrowest = hole.passage(target).map(|passage| passage.narrowest());
    let is_intake = hole.purpose == Purpose::Intake;
    let (blocked, blocked_area) = if is_intake { blocked::behind(hole, obstacles) } else { (Vec::new(), 0.0) };
    let open = match hole.purpose {
        Purpose::Intake => (areas.to_flow - blocked_area).max(0.0),
        Purpose::Outlet | Purpose::Exhaust => areas.surface,
        Purpose::Access => 0.0,
    };
    HoleAir {
        opening: hole.opening,
        mirrored: hole.mirrored,
        name,
        purpose: hole.purpose,
        seen: hole.seen,
        areas,
        blocked,
        blocked_area,
        narrowest,
        effective: narrowest.map_or(open, |n| open.min(n.area)),
    }
}

/// The gap at the ring of the first form.
pub fn ring_gap(document: &Document) -> Option<RingGap> {
    let line = document.airframe.thrust.as_ref()?;
    let (diameter, gap) = (line.spinner.diameter, line.spinner.gap);
    let bore = document.shell.weights.ring_bore * form::shaft::ring(line).diameter;
    let around = std::f64::consts::PI * diameter * gap;
    let bore = 0.25 * std::f64::consts::PI * bore * bore;
    let effective = around.min(bore);
    (effective > 0.0).then_some(RingGap { gap, around, bore, effective })
}
