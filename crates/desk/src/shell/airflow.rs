//! What openings let in and out.
//!
//! An intake counts by its area square to the flow (its projection on a cross plane), less what is seen of spinner and keep-outs
//! through it along the flow, and never by more than its duct's narrowest place. The gap between the spinner's back plate and the ring
//! counts as an intake of its own. An outlet, an exhaust hole too, counts by its area on the surface, or its duct's narrowest place.
//!
//! The air of the first form counts the openings of the forms that are put on it too: a chin scoop feeds the same engine. Such a hole
//! stands to the flow as it is mounted; what it shows square to it is the sum of its normals in the axes of the first form.
//!
//! The ratio of outlets to intakes is held against a rule of thumb (common practice, no source): only a measured temperature tells
//! whether a motor is cool enough.

mod blocked;
mod findings;

pub use blocked::Blocked;

use crate::reckoned::Reckoned;
use form::meeting::{Placed, mirrored};
use form::openings::{Areas, Hole, Narrowest, Target, holes};
use form::space::Vector;
use form::{Finding, Lofted};
use project::document::{Document, Form};
use project::mount::Mount;
use project::opening::{Purpose, Seen};
use project::shell::AirRatio;
use std::sync::Arc;

/// The rule of thumb in words.
pub const RULE: &str = "a rule of thumb (common practice, no source): measure the temperature";

/// Chord error of edges, mm.
const FINE: f64 = 0.05;

/// One hole.
#[derive(Clone, Debug, PartialEq)]
pub struct HoleAir {
    /// Index of the form.
    pub form: usize,
    /// Index of the opening in the form.
    pub opening: usize,
    /// It is the mirror image, of the opening or of the whole form.
    pub mirrored: bool,
    /// The opening's name, with that of its form where it is an added one.
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

/// The air of form number `index` alone; `None` while it cannot be lofted, or has neither an opening nor a gap at the ring.
pub fn airflow(document: &Document, index: usize, lofted: &Lofted) -> Option<Airflow> {
    let target = Target::of(document, index, lofted)?;
    let openings = Openings::of(document, index, &target)?;
    let obstacles = if index == 0 { blocked::obstacles(document) } else { Vec::new() };
    openings.summed(openings.airs(None, &obstacles))
}

/// The air of form number `index`: of the first one with the openings of all that is put on it, of one that is put on it without a
/// ratio of its own. `None` as for [`airflow`], which tells of a form alone.
pub(crate) fn airflow_by(document: &Document, index: usize, lofted: &[Arc<Lofted>]) -> Option<Airflow> {
    if index > 0 {
        let mut air = airflow(document, index, lofted.get(index)?)?;
        if document.forms.get(index)?.mount.is_some() {
            air.ratio = None;
            air.findings.retain(|f| !findings::is_ratio(f));
        }
        return Some(air);
    }
    let target = Target::of(document, 0, lofted.first()?)?;
    let openings = Openings::of(document, 0, &target)?;
    let obstacles = blocked::obstacles(document);
    let mut all = openings.airs(None, &obstacles);
    for (index, lofted) in lofted.iter().enumerate().skip(1) {
        let mount = document.forms.get(index).and_then(|form| form.mount);
        let (Some(mount), Some(target)) = (mount, Target::of(document, index, lofted)) else { continue };
        let added = Openings::of(document, index, &target);
        all.extend(added.into_iter().flat_map(|added| added.airs(Some(&mount), &obstacles)));
    }
    openings.summed(all)
}

/// What is found about the air of form number `index`, by the air that is remembered.
pub fn findings(document: &Document, index: usize, lofted: &[Arc<Lofted>], known: &Reckoned) -> Vec<Finding> {
    let has = |form: &Arc<Form>| !form.openings.is_empty();
    let any = if index == 0 { document.forms.iter().any(has) } else { document.forms.get(index).is_some_and(has) };
    any.then(|| known.airflow(document, index, lofted)).flatten().map(|air| air.findings.clone()).unwrap_or_default()
}

/// The openings of a form, cut.
struct Openings<'a> {
    document: &'a Document,
    form: &'a Form,
    index: usize,
    target: &'a Target<'a>,
    cut: Vec<Hole>,
}

impl<'a> Openings<'a> {
    fn of(document: &'a Document, index: usize, target: &'a Target<'a>) -> Option<Self> {
        let form = document.forms.get(index)?;
        let cut = holes(target, form, FINE).into_iter().filter_map(Result::ok).collect();
        Some(Self { document, form, index, target, cut })
    }

    /// What each lets through; of one that is put on the first form as it is mounted, and what its mirror image lets through.
    fn airs(&self, mount: Option<&Mount>, obstacles: &[blocked::Obstacle]) -> Vec<HoleAir> {
        let Some(mount) = mount else {
            return self.cut.iter().map(|hole| self.air(hole, None, obstacles)).collect();
        };
        let frame = Placed::new(mount);
        let sides: &[bool] = if mount.mirrored { &[false, true] } else { &[false] };
        let both = self.cut.iter().flat_map(|hole| sides.iter().map(move |twin| (hole, *twin)));
        both.map(|(hole, twin)| self.air(hole, Some((&frame, twin)), obstacles)).collect()
    }

    fn air(&self, hole: &Hole, placed: Option<(&Placed, bool)>, obstacles: &[blocked::Obstacle]) -> HoleAir {
        let mut areas = hole.areas(self.target);
        let own = self.form.openings.get(hole.opening).map(|o| o.name.clone()).unwrap_or_default();
        let name = if placed.is_some() { format!("{own} ({})", self.form.name) } else { own };
        if let Some((frame, _)) = placed {
            // Towards the flow or away from it: an edge lets through what it shows square to it.
            areas.to_flow = frame.way_to_first(areas.vector)[0].abs();
        }
        let narrowest = hole.passage(self.target).map(|passage| passage.narrowest());
        let is_intake = hole.purpose == Purpose::Intake;
        let face = || match placed {
            None => blocked::face(hole),
            Some((frame, twin)) => {
                let at = |p: Vector| if twin { mirrored(frame.to_first(p)) } else { frame.to_first(p) };
                blocked::face_in_space(hole, at)
            }
        };
        let (blocked, blocked_area) = if is_intake { blocked::behind(&face(), obstacles) } else { (Vec::new(), 0.0) };
        let open = match hole.purpose {
            Purpose::Intake => (areas.to_flow - blocked_area).max(0.0),
            Purpose::Outlet | Purpose::Exhaust => areas.surface,
            Purpose::Access => 0.0,
        };
        HoleAir {
            form: self.index,
            opening: hole.opening,
            mirrored: hole.mirrored || placed.is_some_and(|(_, twin)| twin),
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

    /// Sums, ratio and findings.
    fn summed(&self, all: Vec<HoleAir>) -> Option<Airflow> {
        let ring_gap = ring_gap(self.document).filter(|_| self.index == 0);
        if all.is_empty() && ring_gap.is_none() {
            return None;
        }
        let sum = |of: &dyn Fn(&HoleAir) -> bool| all.iter().filter(|h| of(h)).map(|h| h.effective).sum::<f64>();
        let intake = sum(&|h| h.purpose == Purpose::Intake) + ring_gap.map_or(0.0, |gap| gap.effective);
        let outlet = sum(&|h| matches!(h.purpose, Purpose::Outlet | Purpose::Exhaust));
        let ratio = (intake > 0.0).then(|| outlet / intake);
        let rule = self.document.shell.air_ratio;
        let mut air = Airflow { holes: all, ring_gap, intake, outlet, ratio, rule, findings: Vec::new() };
        let mut found = findings::of(&air, self.index);
        if self.index == 0 {
            found.extend(findings::ducts(self.document, &self.cut, self.target));
        }
        found.iter_mut().for_each(|f| f.place.form = Some(self.index));
        air.findings = found;
        Some(air)
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
