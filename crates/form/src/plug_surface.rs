//! The surface of the plug: the one place where laminate, filler and paint are taken off the finished skin.

use crate::front::Front;
use crate::skin::FinishedSkin;
use geometry::loft::Loft;
use geometry::offset::OffsetSection;
use project::airframe::ThrustLine;
use project::build::{Build, Process};

/// What the foam is sanded to. Its sections are those of the finished skin moved inward along the normal, then cut.
#[derive(Clone, Debug)]
pub struct PlugSurface {
    finished: Loft,
    taken_off: f64,
}

impl PlugSurface {
    /// The plug of a finished skin: less its coat when cloth goes over the plug, the skin itself for a female mould.
    pub fn of(skin: &FinishedSkin, build: &Build) -> Self {
        let taken_off = match build.process {
            Process::OverPlug => build.coat.total(),
            Process::FemaleMould => 0.0,
        };
        Self { finished: skin.loft().clone(), taken_off }
    }

    /// Thickness taken off along the normal, mm.
    pub fn taken_off(&self) -> f64 {
        self.taken_off
    }

    /// First and last end, mm; flat ends stay where they are.
    pub fn x_range(&self) -> (f64, f64) {
        self.finished.x_range()
    }

    /// Its front on the ring's plane; see [`Front::of`].
    pub fn front(&self, line: &ThrustLine, tolerance: f64) -> Option<Front> {
        Front::of(line, &self.finished, self.taken_off, tolerance)
    }

    /// The half section of the plug at a station, moved further inward by `inset` mm (for card that must not stand proud).
    /// Chords stay within `tolerance` mm.
    pub fn section(&self, x: f64, inset: f64, tolerance: f64) -> OffsetSection {
        self.section_where(x, inset, tolerance, &|_, _| true)
    }

    /// The same, followed closely only where `wanted` says so of a chord's two ends (half-breadth, height), for reading a few
    /// places of it; other chords may be long, with their ends on the curve.
    pub fn section_where(
        &self,
        x: f64,
        inset: f64,
        tolerance: f64,
        wanted: &impl Fn([f64; 2], [f64; 2]) -> bool,
    ) -> OffsetSection {
        let total = self.taken_off + inset;
        if total == 0.0 {
            let outline = self.finished.section(x).map(|s| s.polyline(tolerance)).unwrap_or_default();
            return OffsetSection { outline, folded: Vec::new() };
        }
        self.finished.offset_section_where(x, total, tolerance, wanted)
    }
}
