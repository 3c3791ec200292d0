//! Can the cured shell be drawn off its plug?
//!
//! Drawn along a way w, a place with outward normal n stays free of the plug as long as n · w is not negative; the angle whose sine
//! it is, is the draft. Where it is negative the plug is undercut. That is a matter of the true surface, and so are its areas here.
//! Whether an undercut holds the shell, or the shell slips over it because it is shallow, is told by how far the plug stands beyond
//! the sections that have to pass it.

mod cell;
mod joint;
mod passage;
mod search;
mod survey;
mod undercut;

pub use joint::{HalfShell, Joint, Parting};
pub use passage::{Passage, Tight};
pub use survey::{Spot, Survey};
pub use undercut::Patch;

use form::space::{Vector, dot, length, times};
use form::{Finding, Part, Severity};
use undercut::Region;

/// What the shell is to be drawn off by.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wanted {
    /// The way the shell goes, of any length.
    pub way: Vector,
    /// Draft below which a place is tight, degrees; 1 to 3 is common practice, no source.
    pub draft_deg: f64,
    /// By how much the shell may be sprung over the plug, mm; try it on a test piece.
    pub spring: f64,
}

impl Default for Wanted {
    fn default() -> Self {
        Self { way: [-1.0, 0.0, 0.0], draft_deg: 1.0, spring: 0.2 }
    }
}

/// Why there is no answer.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum ReleaseError {
    /// No way.
    #[error("the shell has no way to go; give a direction, such as ahead")]
    NoWay,
    /// A number out of its range.
    #[error("{what} is {value}, and must lie between 0 and {most}; correct it where the release is set")]
    OutOfRange {
        /// Which number.
        what: &'static str,
        /// What it is.
        value: f64,
        /// The most it may be.
        most: f64,
    },
    /// No surface.
    #[error("nothing of the form is covered by the shell; check its ends and the plane of the ring")]
    NothingCovered,
}

/// The answer in a word.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// Nothing holds it.
    Free,
    /// Nothing holds it, but some of it has less draft than is wanted and will stick.
    Tight,
    /// It must be sprung over the plug, by no more than is allowed.
    Springs,
    /// It does not come off this way.
    Held,
}

/// What was found for one way.
#[derive(Clone, Debug, PartialEq)]
pub struct Release {
    /// The way, a unit vector.
    pub way: Vector,
    /// The answer.
    pub verdict: Verdict,
    /// Area of the shell on the plug, mm².
    pub area: f64,
    /// Undercut area, mm².
    pub undercut: f64,
    /// Undercut by place, the greatest first.
    pub patches: Vec<Patch>,
    /// Area with draft, but less than is wanted, mm².
    pub tight: f64,
    /// What of the plug stands in the way of sections that pass over it; `None` for a way across the body.
    pub passage: Option<Passage>,
}

/// A place for the draft angle map.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DraftCell {
    /// Its corners, in turn around it, mm.
    pub corners: [Vector; 4],
    /// Draft at them, degrees.
    pub draft_deg: [f64; 4],
}

/// Undercut below this is told, but holds nothing, mm².
const HOLDS: f64 = 1.0;
/// Less than this is no excess, mm: outlines are chords.
const TOUCHES: f64 = 0.05;

/// What to do where neither way nor joint frees the shell.
pub const DIG_OUT: &str = "Keep the shell in one piece and dig the foam out from the open end, with hand tools, away from the laminate. \
     Polystyrene foam can be dissolved instead, with acetone for instance, once the resin has cured through: test both foam and a \
     cured offcut of the laminate first, for solvents swell resin that is not. Work outdoors, away from flames, with gloves and \
     a vapour filter; follow the maker's data sheet and local rules.";

impl Survey<'_> {
    /// Whether the shell comes off along a way.
    ///
    /// # Errors
    /// No way, a number out of its range, or no surface.
    pub fn release(&self, wanted: &Wanted) -> Result<Release, ReleaseError> {
        let way = wanted.checked()?;
        self.within_trim(|shell| {
            let area = self.area_within(shell);
            if area <= 0.0 {
                return Err(ReleaseError::NothingCovered);
            }
            let patches = self.undercut(way, shell);
            let undercut: f64 = patches.iter().map(|p| p.area).fold(0.0, std::ops::Add::add);
            let sine = wanted.draft_deg.to_radians().sin();
            let tight = self.area_within_also(shell, &|spot| sine - dot(spot.n, way)) - undercut;
            let passage = passage::passage(self.loft(), self.depth, way);
            let verdict = verdict(wanted, undercut, tight, passage.as_ref());
            Ok(Release { way, verdict, area, undercut, patches, tight: tight.max(0.0), passage })
        })
    }

    /// The way of least undercut, and of several without any that of the greatest least draft; `[-1, 0, 0]`, ahead, is kept if no
    /// other is better. Searched over cells counted whole, so ask [`Survey::release`] about it.
    pub fn best_way(&self) -> Vector {
        self.within_trim(|shell| search::best_way(self, shell, &[[-1.0, 0.0, 0.0]]))
    }

    /// Ways to part the shell in two, the one with least undercut first.
    pub fn joints(&self) -> Vec<Joint> {
        self.within_trim(|shell| joint::joints(self, shell))
    }

    /// The shell parted in one way; a station across is brought within the form.
    pub fn joint(&self, parting: Parting) -> Joint {
        let (low, high) = self.loft().x_range();
        let parting = match parting {
            Parting::Across(station) => Parting::Across(station.clamp(low, high)),
            other => other,
        };
        self.within_trim(|shell| joint::joint(self, shell, parting))
    }

    /// The line along which a parting runs on the plug, mm.
    pub fn joint_lines(&self, parting: Parting) -> Vec<Vec<Vector>> {
        joint::lines(self, parting)
    }

    /// Draft angles over the shell, for drawing.
    pub fn draft_map(&self, way: Vector) -> Vec<DraftCell> {
        let way = times(way, 1.0 / length(way).max(1e-300));
        self.within_trim(|shell| {
            let shown = self.cells.iter().filter(|c| shell.iter().all(|r| r(c.middle()) >= 0.0));
            let draft = |spot: Spot| dot(spot.n, way).clamp(-1.0, 1.0).asin().to_degrees();
            shown.map(|c| c.corners()).map(|c| DraftCell { corners: c.map(|s| s.p), draft_deg: c.map(draft) }).collect()
        })
    }

    /// With the regions that make up the shell: what the ring's plane leaves.
    fn within_trim<T>(&self, ask: impl FnOnce(&[&Region<'_>]) -> T) -> T {
        match self.surface.trim() {
            None => ask(&[]),
            Some(trim) => ask(&[&|spot: &Spot| -trim.ahead(spot.p)]),
        }
    }

    fn area_within_also(&self, shell: &[&Region<'_>], region: &Region<'_>) -> f64 {
        let mut all = shell.to_vec();
        all.push(region);
        self.area_within(&all)
    }
}

impl Wanted {
    fn checked(&self) -> Result<Vector, ReleaseError> {
        let size = length(self.way);
        if !(size.is_finite() && size > 1e-9) {
            return Err(ReleaseError::NoWay);
        }
        for (what, value, most) in
            [("the draft, degrees,", self.draft_deg, 45.0), ("the spring, mm,", self.spring, 20.0)]
        {
            if !(0.0..=most).contains(&value) {
                return Err(ReleaseError::OutOfRange { what, value, most });
            }
        }
        Ok(times(self.way, 1.0 / size))
    }
}

fn verdict(wanted: &Wanted, undercut: f64, tight: f64, passage: Option<&Passage>) -> Verdict {
    let excess = passage.map_or(0.0, |p| p.worst.excess);
    let slips = |by: f64| passage.is_some() && excess <= by;
    if undercut < HOLDS && excess <= TOUCHES {
        if tight < HOLDS { Verdict::Free } else { Verdict::Tight }
    } else if slips(TOUCHES) {
        Verdict::Tight
    } else if slips(wanted.spring) {
        Verdict::Springs
    } else {
        Verdict::Held
    }
}

impl Release {
    /// What deserves a look, by place, with what the hand can do.
    pub fn findings(&self, wanted: &Wanted) -> Vec<Finding> {
        let mut out = Vec::new();
        let severity = if self.verdict == Verdict::Held { Severity::Warning } else { Severity::Note };
        for patch in self.patches.iter().filter(|p| p.area >= HOLDS) {
            let what = format!(
                "Along this way {:.0} mm² of the plug are undercut, by up to {:.1}°, from {:.0} to {:.0} mm.",
                patch.area, -patch.worst_deg, patch.stations.0, patch.stations.1
            );
            let hint = "Draw the shell off another way, part it along the proposed joint line, or take the plug out in pieces.";
            let finding = Finding::new(severity, Part::Release, what, hint).at_station(patch.centre[0]);
            out.push(finding.at_point([patch.worst[1], patch.worst[2]]).with(patch.worst_deg, 0.0, "°"));
        }
        if let Some(tight) = self.passage.map(|p| p.worst).filter(|t| t.excess > TOUCHES) {
            let what = format!(
                "The plug at {:.0} mm stands {:.2} mm beyond the shell's section at {:.0} mm, which has to pass over it.",
                tight.station, tight.excess, tight.passing
            );
            let hint = "Narrow the form there, part the shell, or spring a thin shell over it if so little is left.";
            let finding = Finding::new(severity, Part::Release, what, hint).at_station(tight.station);
            out.push(finding.at_point(tight.at).with(tight.excess, wanted.spring, "mm"));
        }
        if self.tight >= HOLDS {
            let what = format!("{:.0} mm² have less draft than {:.1}° and will stick.", self.tight, wanted.draft_deg);
            let hint = "Wax and release these sides with care, or let the form widen a little towards its open end.";
            out.push(Finding::new(Severity::Note, Part::Release, what, hint).with(self.tight, 0.0, "mm²"));
        }
        out
    }
}
