//! What is known of photographs in version 1.

use serde::{Deserialize, Deserializer, Serialize};

use super::picture::{KnownDistance, Size};
use super::{numbers, pair};
use crate::file::checked::{self, Number};
use crate::photograph as document;
use crate::promise;

type Pixel = (Number, Number);

#[derive(Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Photograph {
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    distances: Vec<NamedDistance>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    figure: Option<FlatFigure>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    straight: Vec<Vec<Pixel>>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    focal: Option<FocalLength>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    distance_mm: Option<Number>,
    #[serde(default = "one_pixel", skip_serializing_if = "is_one_pixel")]
    picked_px: Number,
    #[serde(default, skip_serializing_if = "Vec::is_empty", deserialize_with = "landmarks")]
    landmarks: Vec<Landmark>,
    #[serde(default = "one_pixel", skip_serializing_if = "is_one_pixel")]
    traced_px: Number,
    #[serde(default, skip_serializing_if = "Vec::is_empty", deserialize_with = "traces")]
    traces: Vec<Trace>,
}

#[derive(Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct NamedDistance {
    name: String,
    known: KnownDistance,
    #[serde(default)]
    trust_mm: Number,
}

#[derive(Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct FlatFigure {
    of: Size,
    points: Vec<FigurePoint>,
}

#[derive(Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct FigurePoint {
    px: Pixel,
    mm: (Number, Number),
}

#[derive(Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct FocalLength {
    px: Number,
    tolerance_px: Number,
}

#[derive(Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Landmark {
    name: String,
    place: Place,
    #[serde(default)]
    trust_mm: Number,
    px: Pixel,
    #[serde(default = "yes", skip_serializing_if = "is_yes")]
    used: bool,
}

#[derive(Clone, Copy, PartialEq, Serialize, Deserialize)]
enum Place {
    At(Number, Number, Number),
    Hub,
    SpinnerTip { ahead: Number },
    Mount,
    Crown { station: Number },
    Keel { station: Number },
    Breadth { station: Number, side: Side },
    FuselageCrown,
    FuselageKeel,
    FuselageBreadth { side: Side },
}

#[derive(Clone, Copy, PartialEq, Serialize, Deserialize)]
enum Side {
    Port,
    Starboard,
}

super::same_variants!(Side, document::Side, Port, Starboard);

#[derive(Clone, PartialEq, Serialize, Deserialize)]
enum Trace {
    Outline { points: Vec<Pixel> },
    Seam { station: Number, points: Vec<Pixel> },
}

/// A landmark that is not said to be left out counts.
fn yes() -> bool {
    true
}

#[allow(clippy::trivially_copy_pass_by_ref, reason = "serde asks so")]
fn is_yes(used: &bool) -> bool {
    *used
}

/// What a careful hand reaches.
fn one_pixel() -> Number {
    Number(1.0)
}

fn is_one_pixel(closeness: &Number) -> bool {
    *closeness == one_pixel()
}

fn landmarks<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Vec<Landmark>, D::Error> {
    checked::list(deserializer, promise::MAX_LANDMARKS, |_, landmark: &Landmark| {
        promise::check_landmark(&landmark.to_document())
    })
}

fn traces<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Vec<Trace>, D::Error> {
    checked::list(deserializer, promise::MAX_TRACES, |_, trace: &Trace| promise::check_trace(&trace.to_document()))
}

fn pixels(points: &[[f64; 2]]) -> Vec<Pixel> {
    points.iter().copied().map(numbers).collect()
}

fn pairs(points: &[Pixel]) -> Vec<[f64; 2]> {
    points.iter().copied().map(pair).collect()
}

impl Default for Photograph {
    fn default() -> Self {
        Self::from(&document::Photograph::default())
    }
}

impl From<&document::Photograph> for Photograph {
    fn from(p: &document::Photograph) -> Self {
        Self {
            distances: p.distances.iter().map(NamedDistance::from).collect(),
            figure: p.figure.as_ref().map(FlatFigure::from),
            straight: p.straight.iter().map(|line| pixels(line)).collect(),
            focal: p.focal.map(|f| FocalLength { px: Number(f.px), tolerance_px: Number(f.tolerance_px) }),
            distance_mm: p.distance_mm.map(Number),
            picked_px: Number(p.picked_px),
            landmarks: p.landmarks.iter().map(Landmark::from).collect(),
            traced_px: Number(p.traced_px),
            traces: p.traces.iter().map(Trace::from).collect(),
        }
    }
}

impl Photograph {
    pub(super) fn to_document(&self) -> document::Photograph {
        let focal = |f: FocalLength| document::FocalLength { px: f.px.0, tolerance_px: f.tolerance_px.0 };
        document::Photograph {
            distances: self.distances.iter().map(NamedDistance::to_document).collect(),
            figure: self.figure.as_ref().map(FlatFigure::to_document),
            straight: self.straight.iter().map(|line| pairs(line)).collect(),
            focal: self.focal.map(focal),
            distance_mm: self.distance_mm.map(|mm| mm.0),
            landmarks: self.landmarks.iter().map(Landmark::to_document).collect(),
            picked_px: self.picked_px.0,
            traces: self.traces.iter().map(Trace::to_document).collect(),
            traced_px: self.traced_px.0,
        }
    }
}

impl From<&document::NamedDistance> for NamedDistance {
    fn from(d: &document::NamedDistance) -> Self {
        Self { name: d.name.clone(), known: d.known.into(), trust_mm: Number(d.trust_mm) }
    }
}

impl NamedDistance {
    fn to_document(&self) -> document::NamedDistance {
        document::NamedDistance { name: self.name.clone(), known: self.known.into(), trust_mm: self.trust_mm.0 }
    }
}

impl From<&document::FlatFigure> for FlatFigure {
    fn from(figure: &document::FlatFigure) -> Self {
        let point = |p: &document::FigurePoint| FigurePoint { px: numbers(p.pixel), mm: numbers(p.plane) };
        Self { of: Size::of(figure.full_size), points: figure.points.iter().map(point).collect() }
    }
}

impl FlatFigure {
    fn to_document(&self) -> document::FlatFigure {
        let point = |p: &FigurePoint| document::FigurePoint { pixel: pair(p.px), plane: pair(p.mm) };
        document::FlatFigure { points: self.points.iter().map(point).collect(), full_size: self.of.is_full() }
    }
}

impl From<&document::Landmark> for Landmark {
    fn from(landmark: &document::Landmark) -> Self {
        Self {
            name: landmark.name.clone(),
            place: landmark.place.into(),
            trust_mm: Number(landmark.trust_mm),
            px: numbers(landmark.pixel),
            used: landmark.used,
        }
    }
}

impl Landmark {
    fn to_document(&self) -> document::Landmark {
        document::Landmark {
            name: self.name.clone(),
            place: self.place.into(),
            trust_mm: self.trust_mm.0,
            pixel: pair(self.px),
            used: self.used,
        }
    }
}

impl From<document::LandmarkPlace> for Place {
    fn from(place: document::LandmarkPlace) -> Self {
        use document::LandmarkPlace as Known;
        match place {
            Known::At([x, y, z]) => Self::At(Number(x), Number(y), Number(z)),
            Known::Hub => Self::Hub,
            Known::SpinnerTip { ahead } => Self::SpinnerTip { ahead: Number(ahead) },
            Known::Mount => Self::Mount,
            Known::Crown { station } => Self::Crown { station: Number(station) },
            Known::Keel { station } => Self::Keel { station: Number(station) },
            Known::Breadth { station, side } => Self::Breadth { station: Number(station), side: side.into() },
            Known::FuselageCrown => Self::FuselageCrown,
            Known::FuselageKeel => Self::FuselageKeel,
            Known::FuselageBreadth { side } => Self::FuselageBreadth { side: side.into() },
        }
    }
}

impl From<Place> for document::LandmarkPlace {
    fn from(place: Place) -> Self {
        match place {
            Place::At(x, y, z) => Self::At([x.0, y.0, z.0]),
            Place::Hub => Self::Hub,
            Place::SpinnerTip { ahead } => Self::SpinnerTip { ahead: ahead.0 },
            Place::Mount => Self::Mount,
            Place::Crown { station } => Self::Crown { station: station.0 },
            Place::Keel { station } => Self::Keel { station: station.0 },
            Place::Breadth { station, side } => Self::Breadth { station: station.0, side: side.into() },
            Place::FuselageCrown => Self::FuselageCrown,
            Place::FuselageKeel => Self::FuselageKeel,
            Place::FuselageBreadth { side } => Self::FuselageBreadth { side: side.into() },
        }
    }
}

impl From<&document::Trace> for Trace {
    fn from(trace: &document::Trace) -> Self {
        let points = pixels(&trace.points);
        match trace.of {
            document::Traced::Outline => Self::Outline { points },
            document::Traced::Seam { station } => Self::Seam { station: Number(station), points },
        }
    }
}

impl Trace {
    fn to_document(&self) -> document::Trace {
        match self {
            Self::Outline { points } => document::Trace { of: document::Traced::Outline, points: pairs(points) },
            Self::Seam { station, points } => {
                document::Trace { of: document::Traced::Seam { station: station.0 }, points: pairs(points) }
            }
        }
    }
}
