//! The form as a picture's camera shows it: its lines and its silhouette, in pixels of the picture.
//!
//! The silhouette is where the true lofted surface turns away from the camera, n · (eye - p) = 0. It is looked for on a grid of
//! the loft's own parameters (station, and place of the half section), on both sides; the flat ends and the corners of the
//! surface take part as cells without size, so that rims and knuckles become parts of it by themselves. Crossings are refined on
//! the surface by a bracketing root and linked from cell to cell (marching squares, W. Lorensen and H. Cline 1987, in the plane).
//!
//! A line's place is behind the form where its surface faces away, or where the line of sight meets the form on its way.
//! The second is asked of the grid's triangles, which lie a little beside the surface: what they say within a few millimetres of the
//! place itself is not believed. On the silhouette the surface's bend along the line of sight decides instead (J. Koenderink,
//! "What does the occluding contour tell us about solid shape?", Perception 13, 1984): where it is hollow, the silhouette hides
//! itself.
//!
//! What lies behind the camera, or where its lens shows nothing, is cut off.

mod contact;
mod cover;
mod eye;
mod grid;
mod handles;
mod lines;
mod link;
mod nearest;
mod path;
mod silhouette;

pub use contact::{Contact, contact};
pub use grid::{Spot, SurfaceNode};
pub use handles::{Handle, HandleOf};
pub use nearest::{Near, NearWhat};
pub use silhouette::{SilhouetteKind, SilhouettePlace};

use crate::skin::Lofted;
use cover::Cover;
use eye::Eye;
use grid::Grid;
use photo::PictureCamera;
use project::document::Form;
use project::photograph::Side;

/// Which lines are asked for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wanted {
    /// How far chords may lie beside the lines they stand for, px.
    pub tolerance_px: f64,
    /// Crown, keel, and the breadth line on both sides.
    pub master_lines: bool,
    /// Control sections, all round, and their points.
    pub sections: bool,
    /// Stations, all round.
    pub stations: bool,
    /// Knuckles, and the lines along the body midway between marks.
    pub control_lines: bool,
    /// The silhouette.
    pub silhouette: bool,
}

impl Default for Wanted {
    fn default() -> Self {
        Self {
            tolerance_px: 0.3,
            master_lines: true,
            sections: true,
            stations: true,
            control_lines: true,
            silhouette: true,
        }
    }
}

/// What a line is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum SeenPart {
    /// The crown.
    Crown,
    /// The keel.
    Keel,
    /// Where the form is widest.
    Breadth(Side),
    /// A control section, all round; its index in the form.
    ControlSection(usize),
    /// A station, all round; its index in the form, and where it is, mm.
    Station(usize, f64),
    /// A knuckle, by its number.
    Knuckle(u32, Side),
    /// A line along the body midway between two marks.
    ControlLine(Side),
    /// Where the surface turns away.
    Silhouette,
}

/// How a stretch of a line is seen.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Sight {
    /// The form stands before it.
    Hidden,
    /// In sight, with the form behind it or around it.
    InSight,
    /// In sight, against the background: of the silhouette only.
    Outline,
}

/// A stretch of a line that is seen in one way.
#[derive(Clone, Debug, PartialEq)]
pub struct Run {
    /// How it is seen.
    pub sight: Sight,
    /// Two or more places in order.
    pub places: Vec<SeenPlace>,
}

/// A place of a line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SeenPlace {
    /// Where the picture shows it, px.
    pub pixel: [f64; 2],
    /// Where it is, mm.
    pub point: [f64; 3],
}

/// A line of the form.
#[derive(Clone, Debug, PartialEq)]
pub struct SeenLine {
    /// What it is.
    pub part: SeenPart,
    /// Its stretches in order. Where one ends and the next begins at the same place, the line goes on.
    pub runs: Vec<Run>,
}

/// A form seen through a picture's camera.
#[derive(Clone, Debug, Default)]
pub struct Seen {
    /// All lines that were asked for, the silhouette among them.
    pub lines: Vec<SeenLine>,
    /// The silhouette once more, curve by curve, with all that is known of each place.
    pub silhouette: Vec<Vec<SilhouettePlace>>,
    /// The points of the control sections that can be taken hold of.
    pub handles: Vec<Handle>,
}

/// The lines of a form as a camera shows them. A form that cannot be lofted yet gives the master lines it has, all of them in
/// sight.
pub fn seen(lofted: &Lofted, form: &Form, camera: &PictureCamera, wanted: &Wanted) -> Seen {
    let eye = Eye::new(camera);
    let Some(skin) = &lofted.skin else {
        return Seen { lines: lines::half_drawn(lofted, &eye, wanted), ..Seen::default() };
    };
    let grid = Grid::new(skin.loft(), form, &eye);
    let cover = Cover::new(&grid);
    let mut out = Seen::default();
    let look = path::Look { eye: &eye, cover: &cover, tolerance: wanted.tolerance_px };
    lines::collect(&grid, form, &look, wanted, &mut out.lines);
    if wanted.sections {
        out.handles = handles::handles(&grid, form, &look);
    }
    if wanted.silhouette {
        out.silhouette = silhouette::curves(&grid, &look);
        out.lines.extend(out.silhouette.iter().map(|curve| silhouette::line(curve, wanted.tolerance_px)));
    }
    out
}

/// The silhouette alone, for solving.
pub fn silhouette(lofted: &Lofted, form: &Form, camera: &PictureCamera) -> Vec<Vec<SilhouettePlace>> {
    let wanted = Wanted {
        master_lines: false,
        sections: false,
        stations: false,
        control_lines: false,
        silhouette: true,
        ..Wanted::default()
    };
    seen(lofted, form, camera, &wanted).silhouette
}
