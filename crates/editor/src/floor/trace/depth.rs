//! Clicks on a face picture read where the fuselage's section lies: it stands behind the plane that the picture's scale holds
//! for, so it is shown too small.

use desk::photographs::{Depth, DepthSource};
use photo::depth::Plane;
use project::document::{Document, Picture};
use std::sync::Arc;

/// A place of the face view as it was clicked, and as it is in truth; (to port, height), mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Read {
    pub(super) at: [f64; 2],
    /// How far the plain scale would have been off, mm.
    pub(super) corrected: f64,
}

/// How a picture is read at the station of a section.
#[derive(Clone, Debug)]
pub(super) struct AtDepth {
    depth: Arc<Depth>,
    plane: Plane,
}

impl PartialEq for AtDepth {
    fn eq(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.depth, &other.depth) && self.plane == other.plane
    }
}

impl AtDepth {
    /// By the picture's camera or the distance to it; `None` if neither is known.
    pub(super) fn of(document: &Document, picture: &Picture, station: f64) -> Option<Self> {
        let depth = Arc::new(Depth::of(document, picture).ok()?);
        Some(Self { depth, plane: Plane::at_station(station) })
    }

    /// What it is known from, as a part of a sentence.
    pub(super) fn source(&self) -> &'static str {
        match self.depth.source() {
            DepthSource::Camera => "the camera",
            DepthSource::Distance => "the distance to the camera",
        }
    }

    /// Reads a place; `None` where the picture does not show the plane.
    pub(super) fn read(&self, shown: [f64; 2]) -> Option<Read> {
        let reading = self.depth.read_shown(shown, &self.plane).ok()?;
        let [_, y, z] = reading.at;
        Some(Read { at: [-y, z], corrected: reading.error_mm().unwrap_or(0.0) })
    }
}
