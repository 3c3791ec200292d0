//! Sections solved from photographs, with all that the builder should see before accepting them.

use super::accepted::{TakenUp, acceptance};
use super::gathered::{Breadth, Gathered, LeftOut, SolveFailure, Used, gather};
use form::{Lofted, Severity};
use geometry::loft::Loft;
use project::document::Document;
use project::edit::Edit;
use sight::advice::Advice;
use sight::solution::{Grade, SectionNumbers};
use sight::{SightError, Solution};
use std::borrow::Cow;

/// What a solve found. Nothing of the document has changed yet.
#[derive(Clone, Debug)]
pub struct Solved {
    /// The photographs that took part, in the order of [`Solved::solution`]'s.
    pub used: Vec<Used>,
    /// The pictures that did not, and why.
    pub left_out: Vec<LeftOut>,
    /// Form, cameras, residuals, findings.
    pub solution: Solution,
    /// The form's stations before and after, with the band.
    pub stations: Vec<StationChange>,
    /// How each control section took up what was solved.
    pub sections: Vec<(f64, TakenUp)>,
    /// Standard deviation of the half-breadths over the form, root mean square, mm.
    pub band: f64,
    /// The same before the photographs spoke, mm.
    pub prior_band: f64,
    /// What would help most comes first.
    pub advice: Vec<Advice>,
    /// Accepts it all as one step.
    pub accept: Edit,
    /// The document after that step.
    pub after: Document,
}

/// A station before and after.
#[derive(Clone, Debug, PartialEq)]
pub struct StationChange {
    /// mm aft of the datum.
    pub station: f64,
    /// The superelliptic section nearest to what was drawn.
    pub before: SectionNumbers,
    /// The same of what was solved.
    pub after: SectionNumbers,
    /// Half-breadths by height, from keel to crown.
    pub rows: Vec<HeightChange>,
}

/// A half-breadth before and after, on the lofted forms.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HeightChange {
    /// z, mm.
    pub z: f64,
    /// Half-breadth as drawn, mm.
    pub before: f64,
    /// Half-breadth once accepted, mm.
    pub after: f64,
    /// Standard deviation of that, mm.
    pub sigma: f64,
    /// What it was before the photographs spoke, mm.
    pub prior_sigma: f64,
}

impl StationChange {
    /// Standard deviation of the half-breadths, root mean square, mm.
    pub fn band(&self) -> f64 {
        rms(self.rows.iter().map(|r| r.sigma))
    }

    /// The greatest change of a half-breadth, mm.
    pub fn greatest_change(&self) -> f64 {
        self.rows.iter().map(|r| (r.after - r.before).abs()).fold(0.0, f64::max)
    }
}

/// Heights at which a section's half-breadths are told, evenly between crown and keel, where it lies level and they say little.
const HEIGHTS: usize = 19;
/// Chord error of the sections whose half-breadths are told, mm.
const CHORD: f64 = 0.005;
/// Stations that are told where the builder has none.
const STATIONS: usize = 9;
/// A band that is left with more than this share of what it was before makes a result weak.
const WEAK: f64 = 0.5;

impl Solved {
    /// Whether the result is not to be relied on: the photographs say little, so that most of what is shown is guessed; or what
    /// was traced hardly goes with what was drawn and marked ([`Solution::is_doubtful`]).
    pub fn is_weak(&self) -> bool {
        self.band > WEAK * self.prior_band || self.solution.is_doubtful()
    }

    /// What is as good as guessed: functions and the stations where the photographs add little.
    pub fn guessed(&self) -> Vec<(&'static str, Vec<f64>)> {
        let functions = self.solution.task().model.functions();
        let guessed = |function: &sight::sketch::Function| {
            let at = |x: &f64| {
                let trusts = self.solution.trust(*x);
                trusts.iter().any(|t| t.function == *function && t.grade() == Grade::Guessed)
            };
            let stations: Vec<f64> = self.stations.iter().map(|s| s.station).filter(at).collect();
            (function.label(), stations)
        };
        functions.iter().map(guessed).filter(|(_, stations)| !stations.is_empty()).collect()
    }
}

/// Solves the sections of the first form from the photographs of the document, together with their cameras.
///
/// `progress` is told a rising share from 0 to 1; the solve is given up when it answers `false`.
///
/// # Errors
/// The form is not drawn far enough, no photograph can be used, or what is traced does not fix an answer.
pub fn solve(document: &Document, breadth: Breadth, progress: &dyn Fn(f64) -> bool) -> Result<Solved, SolveFailure> {
    let Gathered { task, used, left_out } = gather(document, breadth)?;
    let solution = sight::solve(&task, progress).map_err(|why| named(document, &used, why))?;
    let form = document.forms.first().ok_or(SolveFailure::NoForm)?;
    let lofted = form::loft(form);
    let skin = lofted.skin.as_ref().ok_or(SolveFailure::NoForm)?;
    let accepted = acceptance(form, skin.loft(), &solution);
    let in_force = document.in_force();
    let own = in_force.forms.first().map(|f| f.stations.as_slice()).unwrap_or_default();
    let after = accepted.edit.apply(document)?;
    let lofted_after = after.forms.first().map(|f| form::loft(f)).ok_or(SolveFailure::NoForm)?;
    let loft_after = lofted_after.skin.as_ref().ok_or(SolveFailure::Unlofted)?.loft();
    check_sound([(document, &lofted), (&after, &lofted_after)])?;
    let lofts = [skin.loft(), loft_after];
    let stations: Vec<StationChange> =
        stations(own, skin.loft()).iter().filter_map(|x| station(&solution, lofts, *x)).collect();
    let advice = solution.advice();
    let rows = || stations.iter().flat_map(|s| &s.rows);
    let (band, prior_band) = (rms(rows().map(|r| r.sigma)), rms(rows().map(|r| r.prior_sigma)));
    let (accept, sections) = (accepted.edit, accepted.sections);
    Ok(Solved { used, left_out, solution, stations, sections, band, prior_band, advice, accept, after })
}

/// A form that was sound as it is drawn has to be so once the solve is accepted.
fn check_sound([before, after]: [(&Document, &Lofted); 2]) -> Result<(), SolveFailure> {
    let error = |(document, lofted): (&Document, &Lofted)| {
        let first = Document { forms: document.forms.iter().take(1).cloned().collect(), ..document.clone() };
        let found = form::check(&first, |_| Cow::Borrowed(lofted));
        found.into_iter().find(|f| f.severity == Severity::Error && f.place.form == Some(0))
    };
    match error(after) {
        Some(finding) if error(before).is_none() => {
            let station = finding.place.station.map_or_else(String::new, |x| format!(" at {x:.0} mm"));
            Err(SolveFailure::Unsound { what: finding.what, station })
        }
        _ => Ok(()),
    }
}

/// A refusal with the name of the picture that it is about.
fn named(document: &Document, used: &[Used], why: SightError) -> SolveFailure {
    let number = why.photograph().and_then(|n| n.checked_sub(1));
    let picture = number.and_then(|n| used.get(n)).and_then(|u| document.pictures.get(u.picture));
    match picture {
        Some(picture) => SolveFailure::Picture { picture: picture.name.clone(), why },
        None => why.into(),
    }
}

fn station(solution: &Solution, [before, after]: [&Loft; 2], x: f64) -> Option<StationChange> {
    let found = solution.section(x, HEIGHTS)?;
    let (before, after) = (before.section(x)?.polyline(CHORD), after.section(x)?.polyline(CHORD));
    let row = |r: &sight::solution::HeightRow| {
        let (before, after) = (half_breadth(&before, r.z)?, half_breadth(&after, r.z)?);
        Some(HeightChange { z: r.z, before, after, sigma: r.sigma, prior_sigma: r.prior_sigma })
    };
    let rows = found.rows.iter().filter_map(row).collect();
    Some(StationChange { station: x, before: found.before, after: found.after, rows })
}

/// Half-breadth of a section at a height, from its points from crown to keel.
fn half_breadth(points: &[[f64; 2]], z: f64) -> Option<f64> {
    let pair = points.windows(2).find(|w| w[0][1] >= z && w[1][1] < z)?;
    let t = (pair[0][1] - z) / (pair[0][1] - pair[1][1]);
    Some(pair[0][0] + t * (pair[1][0] - pair[0][0]))
}

fn rms(values: impl Iterator<Item = f64>) -> f64 {
    let (count, sum) = values.fold((0.0_f64, 0.0), |(count, sum), v| (count + 1.0, sum + v * v));
    (sum / count.max(1.0)).sqrt()
}

/// The builder's stations between the ends, which are given; some evenly where there are none.
fn stations(own: &[f64], loft: &Loft) -> Vec<f64> {
    let (low, high) = loft.x_range();
    let inner: Vec<f64> = own.iter().copied().filter(|x| *x > low && *x < high).collect();
    if inner.is_empty() {
        return (1..=STATIONS).map(|i| low + (high - low) * i as f64 / (STATIONS as f64 + 1.0)).collect();
    }
    inner
}
