//! Whether the shell comes off its plug, where it is held, and along which line it would be parted.

mod words;

pub use words::place_of;

use super::Source;
use crate::output::NotLofted;
use form::space::{Vector, unit};
use form::{Finding, FinishedSkin, PlugSurface};
use project::airframe::DrawOff;
use project::document::Document;
use shell::release::{DraftCell, Joint, Parting, Release, ReleaseError, Survey, Wanted};

/// Why there is no answer.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum ReleaseFailure {
    /// The form cannot be lofted yet.
    #[error(transparent)]
    NotLofted(#[from] NotLofted),
    /// No way, a number out of its range, or nothing that the shell covers.
    #[error(transparent)]
    Release(#[from] ReleaseError),
}

/// What was found.
#[derive(Clone, Debug, PartialEq)]
pub struct Releasing {
    /// The way, the draft and the spring that were asked about.
    pub wanted: Wanted,
    /// Where the way comes from.
    pub way_from: WayFrom,
    /// In one piece along that way.
    pub whole: Release,
    /// Each patch of undercut in the builder's words, in the order of `whole.patches`.
    pub places: Vec<String>,
    /// A way that leaves less undercut, where the shell is held along this one.
    pub better: Option<Better>,
    /// The joint that the document chose, with what remains undercut; `None` for a shell in one piece.
    pub chosen: Option<Joint>,
    /// Draft angles over the shell along the way.
    pub draft: Vec<DraftCell>,
    /// The answer in a sentence or two.
    pub summary: String,
    /// What to do.
    pub advice: Vec<String>,
    /// What deserves a look.
    pub findings: Vec<Finding>,
}

/// Where the way comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WayFrom {
    /// The way that the document gives for the release.
    Own,
    /// Along the thrust line, as the airframe says.
    ThrustLine,
    /// Along the datum axis.
    Datum,
}

/// A better way.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Better {
    /// The way, a unit vector.
    pub way: Vector,
    /// Undercut along it, mm².
    pub undercut: f64,
}

/// Another way is worth telling where it leaves less than this share of the undercut.
const WORTH: f64 = 0.8;

/// The way that the document asks about, and where it comes from.
pub fn way(document: &Document) -> (Vector, WayFrom) {
    let airframe = &document.airframe;
    match document.shell.release.way {
        Some(own) => (own, WayFrom::Own),
        None if airframe.draw_off == DrawOff::ThrustLine && airframe.thrust.is_some() => {
            (fit::way_off(airframe), WayFrom::ThrustLine)
        }
        None => (fit::way_off(airframe), WayFrom::Datum),
    }
}

/// How the library calls a joint that the document chose; `None` for a shell in one piece.
pub fn parting_of(chosen: project::shell::Parting) -> Option<Parting> {
    match chosen {
        project::shell::Parting::Whole => None,
        project::shell::Parting::BreadthLine => Some(Parting::Breadth),
        project::shell::Parting::CentrePlane => Some(Parting::CentrePlane),
        project::shell::Parting::Across(station) => Some(Parting::Across(station)),
    }
}

/// Whether the shell comes off as the document asks. `progress` is told how far the work is, from 0 to 1, and answers whether to
/// go on; `None` when it does not.
///
/// # Errors
/// The form cannot be lofted yet, there is no way, or nothing is covered.
pub fn release(source: &Source, progress: &mut dyn FnMut(f32) -> bool) -> Result<Option<Releasing>, ReleaseFailure> {
    let document = source.document();
    let (way, way_from) = way(document);
    let set = &document.shell.release;
    let wanted = Wanted { way, draft_deg: set.draft_deg, spring: set.spring };
    if !progress(0.0) {
        return Ok(None);
    }
    let skin = source.skin()?;
    let survey = Survey::fitting(skin.loft(), taken_off(source)?, &source.cover());
    if !progress(0.4) {
        return Ok(None);
    }
    let whole = survey.release(&wanted)?;
    if !progress(0.6) {
        return Ok(None);
    }
    let better = (whole.verdict == shell::release::Verdict::Held).then(|| better(&survey, &wanted, &whole)).flatten();
    if !progress(0.7) {
        return Ok(None);
    }
    let chosen = parting_of(set.parting).map(|parting| survey.joint(parting));
    if !progress(0.9) {
        return Ok(None);
    }
    let draft = survey.draft_map(unit(way));
    let places = whole.patches.iter().map(|patch| place_of(patch, skin.loft())).collect();
    let findings = words::findings(&wanted, &whole, chosen.as_ref());
    let found = Releasing {
        summary: words::summary(&wanted, way_from, &whole, chosen.as_ref()),
        advice: words::advice(&whole, better, chosen.as_ref()),
        wanted,
        way_from,
        whole,
        places,
        better,
        chosen,
        draft,
        findings,
    };
    Ok(progress(1.0).then_some(found))
}

/// All ways to part the shell in two, the one with least undercut first. `progress` as in [`release()`].
///
/// # Errors
/// The form cannot be lofted yet.
pub fn joints(source: &Source, progress: &mut dyn FnMut(f32) -> bool) -> Result<Option<Vec<Joint>>, ReleaseFailure> {
    if !progress(0.0) {
        return Ok(None);
    }
    let survey = Survey::fitting(source.skin()?.loft(), taken_off(source)?, &source.cover());
    if !progress(0.3) {
        return Ok(None);
    }
    let joints = survey.joints();
    Ok(progress(1.0).then_some(joints))
}

/// The line along which the document parts the shell of a skin, on its plug; none for a shell in one piece.
pub fn parting_lines(document: &Document, skin: &FinishedSkin) -> Vec<Vec<Vector>> {
    let Some(parting) = parting_of(document.shell.release.parting) else { return Vec::new() };
    let off = PlugSurface::of(skin, &document.build).taken_off();
    Survey::fitting(skin.loft(), off, &super::cover(document)).joint_lines(parting)
}

fn taken_off(source: &Source) -> Result<f64, NotLofted> {
    Ok(PlugSurface::of(source.skin()?, &source.document().build).taken_off())
}

fn better(survey: &Survey<'_>, wanted: &Wanted, whole: &Release) -> Option<Better> {
    let way = survey.best_way();
    let found = survey.release(&Wanted { way, ..*wanted }).ok()?;
    (found.undercut < WORTH * whole.undercut).then_some(Better { way, undercut: found.undercut })
}
