//! The document: what the builder has decided, and nothing that can be computed from it.
//!
//! Lengths are millimetres at the model, angles degrees. Axes: x aft from the datum, y to starboard, z up. A form is
//! symmetric, so only half of it stands here. Parts are shared (`Arc`), so a copy is cheap and undo is a list of
//! documents. These types are deliberately not serialisable: the file has its own (see [`crate::file`]).

use std::sync::Arc;

use crate::airframe::Airframe;
use crate::build::Build;
use crate::mount::Mount;
use crate::opening::Opening;
use crate::photograph::Photograph;
use crate::shell::Shell;

/// Everything the builder has decided.
#[derive(Clone, Debug, PartialEq)]
pub struct Document {
    /// The project's name, shown in the title and on every sheet.
    pub name: String,
    /// Full size divided by model: 4.0 for a quarter-scale model.
    pub model_scale: f64,
    /// The lofted bodies of the project; never empty in a document that was opened or made new.
    pub forms: Vec<Arc<Form>>,
    /// The pictures that lie under the drawing.
    pub pictures: Vec<Arc<Picture>>,
    /// How sheets are laid on paper.
    pub paper: PaperSetup,
    /// What lies on the bench already and the forms must fit.
    pub airframe: Arc<Airframe>,
    /// How the plug of the first form is built.
    pub build: Arc<Build>,
    /// Laminate, cloth, release and weights of the shell.
    pub shell: Arc<Shell>,
}

/// One lofted body.
#[derive(Clone, Debug, PartialEq)]
pub struct Form {
    /// What the builder calls it.
    pub name: String,
    /// Crown, keel, breadth and breadth height.
    pub lines: MasterLines,
    /// The sections that the builder has shaped, by rising station.
    pub sections: Vec<Arc<ControlSection>>,
    /// The cross planes that are cut and printed, rising, in mm aft of the datum.
    pub stations: Vec<f64>,
    /// How the unit shape runs between control sections.
    pub lengthwise: Lengthwise,
    /// Edge radius of a flat front face in mm, 0 for a sharp edge.
    pub front_edge_radius: f64,
    /// Edge radius of a flat rear face in mm, 0 for a sharp edge.
    pub rear_edge_radius: f64,
    /// Openings that are cut through it.
    pub openings: Vec<Arc<Opening>>,
    /// Where a form after the first sits on the first one; `None` for a form that stands for itself.
    pub mount: Option<Mount>,
    /// How the plug of a form after the first is built; `None` for as the first one's, without a stack.
    pub build: Option<Arc<Build>>,
}

/// The four master lines of a form.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct MasterLines {
    /// Upper edge of the centre plane outline, z over x.
    pub crown: Arc<MasterLine>,
    /// Lower edge of the centre plane outline, z over x.
    pub keel: Arc<MasterLine>,
    /// Greatest half-breadth, y over x.
    pub breadth: Arc<MasterLine>,
    /// Height at which the section is widest, z over x.
    pub breadth_height: Arc<MasterLine>,
}

/// Names one of the four master lines.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum LineName {
    /// Upper edge of the centre plane outline.
    Crown,
    /// Lower edge of the centre plane outline.
    Keel,
    /// Greatest half-breadth.
    Breadth,
    /// Height of the greatest half-breadth.
    BreadthHeight,
}

impl LineName {
    /// All four, in the order in which they are listed everywhere.
    pub const ALL: [LineName; 4] = [Self::Crown, Self::Keel, Self::Breadth, Self::BreadthHeight];

    /// The trade's word for the line.
    pub fn label(self) -> &'static str {
        match self {
            Self::Crown => "Crown",
            Self::Keel => "Keel",
            Self::Breadth => "Breadth",
            Self::BreadthHeight => "Breadth height",
        }
    }
}

impl MasterLines {
    /// The line of that name.
    pub fn get(&self, name: LineName) -> &Arc<MasterLine> {
        match name {
            LineName::Crown => &self.crown,
            LineName::Keel => &self.keel,
            LineName::Breadth => &self.breadth,
            LineName::BreadthHeight => &self.breadth_height,
        }
    }

    /// The line of that name, to be changed.
    pub fn get_mut(&mut self, name: LineName) -> &mut Arc<MasterLine> {
        match name {
            LineName::Crown => &mut self.crown,
            LineName::Keel => &mut self.keel,
            LineName::Breadth => &mut self.breadth,
            LineName::BreadthHeight => &mut self.breadth_height,
        }
    }
}

/// A spline through points, rising in x.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct MasterLine {
    /// The points, by rising x.
    pub points: Vec<LinePoint>,
    /// How the line leaves its foremost point.
    pub front: LineEnd,
    /// How the line arrives at its rearmost point.
    pub rear: LineEnd,
}

/// A point of a master line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LinePoint {
    /// Distance aft of the datum, mm.
    pub x: f64,
    /// Height z, or half-breadth y for the breadth line, mm.
    pub value: f64,
    /// How the line passes through the point.
    pub kind: LinePointKind,
}

/// How a master line passes through a point.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum LinePointKind {
    /// Smooth in slope and curvature.
    Smooth,
    /// The line breaks here.
    Corner,
    /// Smooth, with this slope in degrees: 0 level, positive rising aft. At an end it sets the end's slope.
    Slope(f64),
}

/// How a master line behaves at an end.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum LineEnd {
    /// Runs on as the neighbouring bay bends (not-a-knot).
    #[default]
    Free,
    /// Without curvature at the end.
    Natural,
    /// Upright: no slope in x, a blunt nose.
    Upright,
}

/// How the unit shape runs along the body between control sections.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Lengthwise {
    /// A curvature-continuous cubic over all control sections.
    #[default]
    Fair,
    /// Straight from one control section to the next.
    Straight,
}

/// A section that the builder has shaped.
#[derive(Clone, Debug, PartialEq)]
pub struct ControlSection {
    /// Distance aft of the datum, mm.
    pub station: f64,
    /// Its shape.
    pub shape: SectionShape,
}

/// The shape of a control section.
#[derive(Clone, Debug, PartialEq)]
pub enum SectionShape {
    /// Drawn by the builder in unit coordinates: moving a master line carries it along.
    Shaped(UnitSection),
    /// Held to measured points in mm: it locks a point on each master line at its station.
    Pinned(MeasuredSection),
}

/// A half section in unit coordinates, from crown (0, 1) over breadth (1, 0) to keel (0, -1).
///
/// u = y / breadth; v = (z - breadth height) / (crown - breadth height) above the breadth and
/// (z - breadth height) / (breadth height - keel) below it.
#[derive(Clone, Debug, PartialEq)]
pub struct UnitSection {
    /// From crown to keel; the first is the crown mark, the last the keel mark, exactly one is the breadth mark.
    pub points: Vec<UnitPoint>,
    /// The arcs between neighbouring points, one fewer than the points.
    pub arcs: Vec<ArcKind>,
    /// The section leaves the centre plane at an angle at the crown (a ridge) instead of square.
    pub crown_ridge: bool,
    /// The same at the keel.
    pub keel_ridge: bool,
}

/// A point of a control section in unit coordinates.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct UnitPoint {
    /// y / breadth.
    pub u: f64,
    /// Height in the half box it lies in.
    pub v: f64,
    /// What the point is.
    pub role: PointRole,
}

/// What a point of a control section is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum PointRole {
    /// The first point, at (0, 1).
    Crown,
    /// The widest point, at (1, 0); with a knuckle's number it is a corner too.
    Breadth {
        /// The knuckle that runs through the breadth here, if any.
        knuckle: Option<u32>,
    },
    /// The last point, at (0, -1).
    Keel,
    /// Smooth.
    Smooth,
    /// A corner that runs along the body. Points of the same number correspond from section to section.
    Knuckle {
        /// Its number, the same in every section it runs through.
        number: u32,
        /// At this section it is faded out: still corresponding, but smooth.
        faded: bool,
    },
}

impl PointRole {
    /// Number of the knuckle that passes through the point, faded or not.
    pub fn knuckle(self) -> Option<u32> {
        match self {
            Self::Breadth { knuckle } => knuckle,
            Self::Knuckle { number, .. } => Some(number),
            Self::Crown | Self::Keel | Self::Smooth => None,
        }
    }
}

/// The curve between two neighbouring points of a control section.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum ArcKind {
    /// Part of an interpolating cubic spline, together with the neighbouring cubic arcs.
    Cubic,
    /// A conic by its end tangents and fullness.
    Conic {
        /// Fullness: below 0.5 an ellipse, 0.5 a parabola, above a hyperbola.
        rho: f64,
    },
    /// A superelliptic quarter in the box of its two points, level at the upper and upright at the lower end above the
    /// breadth, and the other way round below it.
    Superelliptic {
        /// Its exponent: 2 an ellipse, larger is fuller.
        exponent: f64,
    },
}

/// A half section as measured, in mm.
#[derive(Clone, Debug, PartialEq)]
pub struct MeasuredSection {
    /// (half-breadth, height) from crown to keel; the first and the last lie on the centre plane.
    pub points: Vec<[f64; 2]>,
    /// Indices into `points` that are knuckles, with the knuckle's number.
    pub knuckles: Vec<MeasuredKnuckle>,
    /// The section leaves the centre plane at an angle at the crown.
    pub crown_ridge: bool,
    /// The same at the keel.
    pub keel_ridge: bool,
    /// The point that serves as the breadth mark; `None` takes the middle of what is nearly widest on the curve.
    pub breadth_point: Option<usize>,
    /// Where no point is named: the share of the girth from the crown, 0 to 1, at which the breadth mark lies.
    pub breadth_girth: Option<f64>,
}

/// A knuckle of a measured section.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct MeasuredKnuckle {
    /// Index into the measured points.
    pub point: usize,
    /// Number of the knuckle, the same in every section it runs through.
    pub number: u32,
}

/// A picture under the drawing.
#[derive(Clone, Debug, PartialEq)]
pub struct Picture {
    /// What the builder calls it.
    pub name: String,
    /// The view it lies under.
    pub view: PictureView,
    /// The picture's bytes as they came (JPEG or PNG), held once and shared by every revision of the document.
    pub bytes: Arc<[u8]>,
    /// Where the file form keeps the bytes, relative to the project file, e.g. `pictures/side-1a2b3c.jpg`.
    pub file: String,
    /// Width and height in pixels after the camera's orientation is applied.
    pub size_px: [u32; 2],
    /// Where the picture lies.
    pub placement: Placement,
    /// Two points and their real distance, by which it was set to scale.
    pub scale: Option<KnownDistance>,
    /// A second known distance, to check the first.
    pub check: Option<KnownDistance>,
    /// Two picked points that shall lie level, px.
    pub level: Option<[[f64; 2]; 2]>,
    /// 0 invisible to 1 opaque.
    pub opacity: f64,
    /// Protects it from being moved.
    pub locked: bool,
    /// Not drawn.
    pub hidden: bool,
    /// How it was taken, and what is picked and traced in it.
    pub photograph: Photograph,
}

/// The view that a picture lies under.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum PictureView {
    /// Side view: picture right is aft, picture up is up.
    Side,
    /// Face view: looking aft, starboard is on the left.
    Face,
    /// Half-breadth plan.
    Plan,
    /// A view from elsewhere, kept for reference and shown on a card of its own.
    Reference,
}

/// How a picture lies in its view: view = offset + scale * rotate(pixel), pixel y counted downwards, view right and up as
/// the drawing shows it. [`Placement::to_view`] is the one place that computes it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Placement {
    /// Millimetres at the model for one pixel.
    pub mm_per_px: f64,
    /// Turns the picture counter-clockwise on the drawing, degrees.
    pub rotation_deg: f64,
    /// Where the picture's corner at pixel (0, 0) lies on the view, mm right and up: (x, z) side, (x, y) plan and, as
    /// the face view looks aft and has starboard on its left, (-y, z) face.
    pub offset: [f64; 2],
    /// The picture looks the other way (nose to the right in a side view): mirrored left to right about its pixel x = 0.
    pub mirrored: bool,
}

/// Two points of a picture and the real distance between them.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct KnownDistance {
    /// First point, px.
    pub a: [f64; 2],
    /// Second point, px.
    pub b: [f64; 2],
    /// The distance in mm, at full size or at the model.
    pub distance_mm: f64,
    /// Whether the distance is of the full-size machine (and is divided by the model scale).
    pub full_size: bool,
}

impl KnownDistance {
    /// The distance at the model, mm.
    pub fn model_mm(&self, model_scale: f64) -> f64 {
        if self.full_size { self.distance_mm / model_scale } else { self.distance_mm }
    }

    /// Millimetres at the model for one pixel of the picture, as this distance says.
    pub fn mm_per_px(&self, model_scale: f64) -> f64 {
        let pixels = (self.b[0] - self.a[0]).hypot(self.b[1] - self.a[1]);
        self.model_mm(model_scale) / pixels
    }
}

/// How sheets are laid on paper.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PaperSetup {
    /// The paper.
    pub paper: Paper,
    /// Unprinted margin all round, mm.
    pub margin: f64,
    /// How far neighbouring tiles of a split part repeat each other, mm.
    pub overlap: f64,
    /// Measured length of the printed 100 mm line along the page's width and height, mm; 100 means a true printer.
    pub measured: [f64; 2],
}

impl Default for PaperSetup {
    fn default() -> Self {
        Self { paper: Paper::A4, margin: 10.0, overlap: 10.0, measured: [100.0, 100.0] }
    }
}

/// A paper size.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Paper {
    /// 210 x 297 mm.
    #[default]
    A4,
    /// 297 x 420 mm.
    A3,
    /// 420 x 594 mm.
    A2,
    /// 594 x 841 mm.
    A1,
    /// 841 x 1189 mm.
    A0,
    /// 8.5 x 11 inch.
    Letter,
    /// 11 x 17 inch.
    Tabloid,
    /// One sheet as large as it needs to be.
    OneSheet,
}

impl Paper {
    /// Every paper, in the order in which they are offered.
    pub const ALL: [Paper; 8] =
        [Self::A4, Self::A3, Self::A2, Self::A1, Self::A0, Self::Letter, Self::Tabloid, Self::OneSheet];

    /// Width and height upright in mm (ISO 216; ANSI/ASME Y14.1 in inches times 25.4); `None` for one large sheet.
    pub fn size_mm(self) -> Option<[f64; 2]> {
        match self {
            Self::A4 => Some([210.0, 297.0]),
            Self::A3 => Some([297.0, 420.0]),
            Self::A2 => Some([420.0, 594.0]),
            Self::A1 => Some([594.0, 841.0]),
            Self::A0 => Some([841.0, 1189.0]),
            Self::Letter => Some([215.9, 279.4]),
            Self::Tabloid => Some([279.4, 431.8]),
            Self::OneSheet => None,
        }
    }

    /// The name on screen, on sheets and on the command line (in lower case there).
    pub fn label(self) -> &'static str {
        match self {
            Self::A4 => "A4",
            Self::A3 => "A3",
            Self::A2 => "A2",
            Self::A1 => "A1",
            Self::A0 => "A0",
            Self::Letter => "Letter",
            Self::Tabloid => "Tabloid",
            Self::OneSheet => "One sheet",
        }
    }
}
