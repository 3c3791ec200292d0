//! The fuselage near its end as a surface, the lap on it and the screws around it.

use super::FINE;
use super::section::outline;
use crate::outline::Outline;
use project::airframe::{FuselageEnd, LapSide, ScrewSpacing, Screws};

/// The fuselage as a surface near its end.
#[derive(Clone, Debug)]
pub struct FuselageShape {
    station: f64,
    outline: Outline,
    further: Option<(f64, Outline)>,
}

impl FuselageShape {
    /// The shape of a fuselage end; `None` while its section has no outline. A further section at the same station, or
    /// without outline, is left out.
    pub fn of(end: &FuselageEnd) -> Option<Self> {
        let further = end.further.as_ref().and_then(|(x, section)| Some((*x, outline(section, FINE)?)));
        let further = further.filter(|(x, _)| (x - end.station).abs() > 1e-6);
        Some(Self { station: end.station, outline: outline(&end.section, FINE)?, further })
    }

    /// Its outline at a station: straight between its two sections and beyond them, the same everywhere where there is only
    /// one.
    pub fn at(&self, x: f64) -> Outline {
        match &self.further {
            Some((far, outline)) if x != self.station => {
                self.outline.towards(outline, (x - self.station) / (far - self.station))
            }
            _ => self.outline.clone(),
        }
    }

    /// The outline at its own station.
    pub fn outline(&self) -> &Outline {
        &self.outline
    }

    /// How fast the fuselage grows outward aft, at a place near its outline, mm per mm; `None` without a further section.
    pub fn slope(&self, q: [f64; 2]) -> Option<f64> {
        let (far, outline) = self.further.as_ref()?;
        let (here, there) = (self.outline.nearest(q).distance, outline.nearest(q).distance);
        Some((here - there) / (far - self.station))
    }
}

/// The outline that the lap must have at a station: for a shell that goes over the fuselage the inside of the shell, the
/// fuselage's outline with the clearance added; for one that goes into it the outside of the shell's lap, the fuselage's
/// outline (that of the opening) less the clearance.
pub fn lap_outline(end: &FuselageEnd, fuselage: &FuselageShape, x: f64) -> Outline {
    let by = match end.lap.side {
        LapSide::Over => end.lap.clearance,
        LapSide::Into => -end.lap.clearance,
    };
    fuselage.at(x).moved_out(by)
}

/// Places of the screws, (x, y, z) in mm, around the whole section: on the fuselage's outline, evenly by its girth, the first
/// half a pitch from the crown so that the set is the same on both sides. Starboard from crown to keel, then up to port.
/// At most [`MOST_SCREWS`].
pub fn screw_places(end: &FuselageEnd, fuselage: &FuselageShape, screws: &Screws) -> Vec<[f64; 3]> {
    let x = end.station + end.lap.length - screws.edge_distance;
    let outline = fuselage.at(x);
    let girth = 2.0 * outline.length();
    let count = match screws.spacing {
        ScrewSpacing::Count(count) => count.min(MOST_SCREWS),
        ScrewSpacing::Pitch(pitch) if pitch > 0.0 => {
            (girth / pitch - 1e-9).ceil().clamp(1.0, f64::from(MOST_SCREWS)) as u32
        }
        ScrewSpacing::Pitch(_) => 0,
    };
    let place = |i: u32| {
        let along = girth * (f64::from(i) + 0.5) / f64::from(count);
        let port = along > 0.5 * girth;
        let [y, z] = outline.at_length(if port { girth - along } else { along });
        [x, if port { -y } else { y }, z]
    };
    (0..count).map(place).collect()
}

/// More screws than this are not placed.
pub const MOST_SCREWS: u32 = 400;
