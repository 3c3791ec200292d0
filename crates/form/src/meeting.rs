//! Where an added form meets the first one: both finished skins, met along a line.
//!
//! ```text
//!        added form, in its own axes                first form
//!             .-----.                                 x aft, y to starboard, z up
//!        ----(-------)-----> its x     Placed    ____________________
//!             '--*--*                 ------->      *  *  *  *         * lies on both surfaces
//! ```
//!
//! The topology of the line is found on triangles whose corners lie on both surfaces, every place of it then on the surfaces
//! themselves: edges of triangles are parameter lines, so a crossing of an edge with the other surface is three equations for
//! three parameters (Newton's method), and a place between two of them is four equations for four, the fourth being the plane square
//! to the chord. Creases lie along edges, so that places on a crease are solved on it. Equal heights, as on the centre plane that
//! both forms may share, are kept apart by moving the corners of one form by a hundred-thousandth of a millimetre (symbolic
//! perturbation: H. Edelsbrunner and E. P. Mücke, "Simulation of Simplicity", ACM Transactions on Graphics 9, 1990; here by a number),
//! and only for the question of what crosses what. Two loops that lie nearer together than the triangles are far from the surface may
//! be taken for one.
//!
//! Flat ends count as open: a line that runs into the rim of an end stops there.

mod boxes;
mod chain;
mod contour;
mod crossing;
mod grid;
mod linear;
mod place;
mod placed;
mod skin;
mod stands;

pub use contour::{Plane, cut_by_plane, outline_along};
pub use placed::{Placed, mirrored, twin};
pub use stands::Stands;

use crate::seen::Spot;
use crate::space::{Vector, length, sub};
use geometry::loft::Loft;
use grid::{Grid, Span};
use project::mount::Mount;
use project::photograph::Side;
use skin::Skin;

/// Where two forms meet.
#[derive(Clone, Debug, PartialEq)]
pub struct Meeting {
    /// The lines along which their skins meet, of the form as it is mounted, not of its mirror image.
    pub lines: Vec<MeetingLine>,
    /// How the added form stands to the first.
    pub stands: Stands,
}

/// A line on both skins.
#[derive(Clone, Debug, PartialEq)]
pub struct MeetingLine {
    /// Its places in order.
    pub places: Vec<MeetingPlace>,
    /// What it ends at; `None` for a closed one, whose last place is followed by the first.
    pub ends: Option<[Stop; 2]>,
}

/// A place on both skins.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MeetingPlace {
    /// Where it is in the axes of the first form, mm.
    pub point: Vector,
    /// The place on the first form.
    pub first: Spot,
    /// The place on the added form, in its own parameters.
    pub added: Spot,
}

/// What a line ends at.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stop {
    /// The rim of a flat end.
    Rim {
        /// Of the added form; otherwise of the first.
        of_added: bool,
        /// Its front end.
        front: bool,
    },
    /// The skins touch there at so small an angle that the line could not be followed.
    Lost,
}

impl MeetingLine {
    /// Whether it runs back into itself.
    pub fn closed(&self) -> bool {
        self.ends.is_none()
    }

    /// Its places, mm; of a closed line the first stands at the end once more.
    pub fn points(&self) -> Vec<Vector> {
        let again = self.places.first().filter(|_| self.closed());
        self.places.iter().chain(again).map(|place| place.point).collect()
    }

    /// Its length, mm, of the chords.
    pub fn length(&self) -> f64 {
        self.points().windows(2).map(|w| length(sub(w[1], w[0]))).sum()
    }

    /// The same line of the mirror image, which is the same form mounted by [`twin`].
    #[must_use]
    pub fn mirrored(&self) -> Self {
        let turn = |spot: Spot| Spot {
            side: match spot.side {
                Side::Starboard => Side::Port,
                Side::Port => Side::Starboard,
            },
            ..spot
        };
        let place =
            |p: &MeetingPlace| MeetingPlace { point: mirrored(p.point), first: turn(p.first), added: turn(p.added) };
        Self { places: self.places.iter().map(place).collect(), ends: self.ends }
    }
}

impl Meeting {
    /// All lines on the first form: those of the form as it is mounted, and those of its mirror image where there is one.
    pub fn both(&self, mount: &Mount) -> Vec<MeetingLine> {
        let twins = self.lines.iter().filter(|_| mount.mirrored).map(MeetingLine::mirrored);
        self.lines.iter().cloned().chain(twins).collect()
    }

    /// Whether some line could not be followed to its end.
    pub fn lost(&self) -> bool {
        self.lines.iter().flat_map(|line| line.ends.iter().flatten()).any(|stop| *stop == Stop::Lost)
    }
}

/// How far the corners of the added form are moved for the question of what crosses what, mm, each time another way.
const NUDGES: [Vector; 3] = [[3.1e-6, 7.3e-6, -4.7e-6], [-6.1e-6, 5.9e-6, 2.3e-6], [1.9e-6, -8.3e-6, 5.3e-6]];

/// Where an added form meets the first one, both by their finished skins. Every place lies on both skins within 1e-6 mm; chords stay
/// within `tolerance` mm of the line, as far as their middles tell.
///
/// Pure; some milliseconds.
pub fn meeting(first: &Loft, added: &Loft, mount: &Mount, tolerance: f64) -> Meeting {
    let placed = Placed::new(mount);
    let skins = [Skin::new(first, None), Skin::new(added, Some(placed))];
    let mut lines = Vec::new();
    if let Some(spans) = spans(&skins) {
        let grids = [0, 1].map(|k| Grid::fine(&skins[k], &spans[k], spans[k].step));
        for nudge in NUDGES {
            lines = place::lines(&skins, &crossing::crossings(&grids, nudge), tolerance);
            if !lines.iter().any(|l| l.ends.iter().flatten().any(|stop| *stop == Stop::Lost)) {
                break;
            }
        }
    }
    let stands = if lines.is_empty() { stands::stands(first, added, &placed) } else { Stands::Meets };
    Meeting { lines, stands }
}

/// The stretches of both skins that lie near each other; `None` where none do.
fn spans(skins: &[Skin<'_>; 2]) -> Option<[Span; 2]> {
    let whole = [0, 1].map(|k| Grid::coarse(&skins[k]));
    let added = whole[1].bounds();
    let near = whole[0].span(&added)?;
    let other = whole[1].span(&near.bounds)?;
    let near = whole[0].span(&other.bounds)?;
    Some([near, other])
}
