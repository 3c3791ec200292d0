//! A control line: the line along the body through a fixed place of the half section.
//!
//! What the control shapes say of that place is solved once; every further station is then one short sum.

use crate::control::Half;
use crate::loft::Loft;
use crate::section::{Section, SurfacePlace, index};
use crate::unit::Strand;

/// The line along the body at a fraction of a run.
#[derive(Clone, Debug)]
pub struct ControlLine<'a> {
    loft: &'a Loft,
    half: Half,
    strand: Strand,
}

impl Loft {
    /// The control line at a fraction of a run between two marks.
    pub fn control_line(&self, half: Half, run: usize, fraction: f64) -> ControlLine<'_> {
        ControlLine { loft: self, half, strand: self.halves()[index(half)].strand(run, fraction) }
    }
}

impl ControlLine<'_> {
    /// The surface at a station, exactly as [`Section::at`] has it there; beyond an end as at the end.
    pub fn at(&self, x: f64) -> SurfacePlace {
        let (low, high) = self.loft.x_range();
        let x = x.clamp(low, high);
        let bay = self.loft.halves()[index(self.half)].bay(x);
        self.loft.frame(x).carry(self.half, &self.strand.at(&bay))
    }

    /// The surface where the line meets a section of the same loft.
    pub fn in_section(&self, section: &Section<'_>) -> SurfacePlace {
        section.place(self.half, &self.strand)
    }
}
