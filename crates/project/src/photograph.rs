//! What is known of how a picture was taken, and what was picked and traced in it.
//!
//! A photograph is not a drawing: it has a camera, and from the camera and what is traced follow the sections. What follows
//! is never kept here. Pixels count from the picture's upper left corner; lengths are millimetres at the model unless they say
//! otherwise, in the project's axes: x aft from the datum, y to starboard, z up.

use crate::document::KnownDistance;

/// What is known of a photograph beside its place under the drawing.
#[derive(Clone, Debug, PartialEq)]
pub struct Photograph {
    /// Further known distances, for a scale from several and for the one that does not go with the others.
    pub distances: Vec<NamedDistance>,
    /// A flat figure of known sides, by which its plane is read square.
    pub figure: Option<FlatFigure>,
    /// Lines that are straight in truth, by three or more points each, px: they tell the lens's distortion.
    pub straight: Vec<Vec<[f64; 2]>>,
    /// The focal length to start from.
    pub focal: Option<FocalLength>,
    /// From the camera to the centre plane, mm at full size; in a picture of the face to the datum's plane, in one of the plan to
    /// the waterline at 0. It reads depths where no camera is solved.
    pub distance_mm: Option<f64>,
    /// Things whose place on the machine is known. No two have one name.
    pub landmarks: Vec<Landmark>,
    /// How closely landmarks were picked, in each direction, px (one standard deviation).
    pub picked_px: f64,
    /// What was traced.
    pub traces: Vec<Trace>,
    /// How closely traces follow what is seen, px (one standard deviation).
    pub traced_px: f64,
}

impl Default for Photograph {
    fn default() -> Self {
        Self {
            distances: Vec::new(),
            figure: None,
            straight: Vec::new(),
            focal: None,
            distance_mm: None,
            landmarks: Vec::new(),
            picked_px: 1.0,
            traces: Vec::new(),
            traced_px: 1.0,
        }
    }
}

/// A further known distance.
#[derive(Clone, Debug, PartialEq)]
pub struct NamedDistance {
    /// What the builder calls it.
    pub name: String,
    /// Its two ends and its length.
    pub known: KnownDistance,
    /// How well the length is known, mm of the size it was given in (one standard deviation); 0 is exact.
    pub trust_mm: f64,
}

/// A flat figure of known sides: a hatch, a chequered board, letters.
#[derive(Clone, Debug, PartialEq)]
pub struct FlatFigure {
    /// Four or more of its points.
    pub points: Vec<FigurePoint>,
    /// Whether its lengths are of the full-size machine (and are divided by the model scale).
    pub full_size: bool,
}

/// A point of a flat figure.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FigurePoint {
    /// Where the picture shows it, px.
    pub pixel: [f64; 2],
    /// Where it lies in its plane, mm.
    pub plane: [f64; 2],
}

/// A focal length to start from: typed, or from what the camera wrote. Cropping voids it, so it is never gospel.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FocalLength {
    /// In pixels.
    pub px: f64,
    /// How far it may be off, px (one standard deviation); 0 holds it.
    pub tolerance_px: f64,
}

/// A thing whose place on the machine is known, picked in a picture. In several pictures the same name is the same thing.
#[derive(Clone, Debug, PartialEq)]
pub struct Landmark {
    /// What the builder calls it.
    pub name: String,
    /// Where it lies.
    pub place: LandmarkPlace,
    /// How far off that may be along each axis, mm at the model (one standard deviation); 0 is exact.
    pub trust_mm: f64,
    /// Where it was picked, px.
    pub pixel: [f64; 2],
    /// Whether it counts.
    pub used: bool,
}

/// Where a landmark lies: measured, or tied to the first form or to the airframe, so that it follows them.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum LandmarkPlace {
    /// Measured, mm.
    At([f64; 3]),
    /// Centre of the hub: of the spinner's back plate.
    Hub,
    /// On the shaft, so far ahead of the hub, mm.
    SpinnerTip {
        /// Length of the spinner.
        ahead: f64,
    },
    /// Where the shaft meets the firewall.
    Mount,
    /// On the first form's crown, at a station.
    Crown {
        /// Distance aft of the datum.
        station: f64,
    },
    /// On the first form's keel, at a station.
    Keel {
        /// Distance aft of the datum.
        station: f64,
    },
    /// Where the first form is widest, at a station.
    Breadth {
        /// Distance aft of the datum.
        station: f64,
        /// Which half.
        side: Side,
    },
    /// Top of the fuselage's end.
    FuselageCrown,
    /// Bottom of the fuselage's end.
    FuselageKeel,
    /// Where the fuselage's end is widest.
    FuselageBreadth {
        /// Which half.
        side: Side,
    },
}

/// A half of the machine.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Side {
    /// To the left of who sits in it.
    Port,
    /// To the right.
    Starboard,
}

impl Side {
    /// -1 to port, 1 to starboard.
    pub fn sign(self) -> f64 {
        match self {
            Self::Port => -1.0,
            Self::Starboard => 1.0,
        }
    }
}

/// Something traced on the first form.
#[derive(Clone, Debug, PartialEq)]
pub struct Trace {
    /// What it is.
    pub of: Traced,
    /// Its points in order along it, px.
    pub points: Vec<[f64; 2]>,
}

/// What a trace is of.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Traced {
    /// The outline against what is behind.
    Outline,
    /// A line that runs round the form: a panel line, an edge of paint.
    Seam {
        /// Where, mm aft of the datum.
        station: f64,
    },
}
