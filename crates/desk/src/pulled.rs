//! The form pulled in a photograph: what was taken hold of goes under the pointer, by one edit.
//!
//! A pixel is a line of sight, and what is taken hold of moves where that line meets what it may move in: a point of a control
//! section in the plane of its station, a point of crown or keel in the centre plane, a point of the breadth line across and along
//! the body. The silhouette has no points of its own: the one number that moves it most at that place is chosen when it is taken
//! hold of, and told; then that number is solved so that the silhouette passes under the pointer.
//!
//! Pure functions of the document; lengths in mm at the model.

mod line;
mod section;
mod sight;
mod silhouette;

use form::UnitMemory;
use form::seen::{HandleOf, Near, NearWhat, SeenPart, SilhouettePlace};
use photo::PictureCamera;
use project::document::{Document, Form, LineName};
use project::edit::{Edit, Refused};
use project::photograph::Side;
use std::sync::Arc;

/// What is taken hold of.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Hold {
    /// A point of a control section.
    SectionPoint {
        /// The section's index in the form.
        section: usize,
        /// The point's index, from the crown.
        point: usize,
        /// On which side it is pulled.
        side: Side,
    },
    /// A control section's curve between two of its points.
    SectionCurve {
        /// The section's index in the form.
        section: usize,
        /// Where, mm.
        point: [f64; 3],
    },
    /// A point of the crown, keel or breadth line.
    LinePoint {
        /// Which line.
        line: LineName,
        /// The point's index.
        point: usize,
        /// On which side it is pulled.
        side: Side,
    },
    /// A place of the crown, keel or breadth line.
    Line {
        /// Which line.
        line: LineName,
        /// Where, mm.
        point: [f64; 3],
    },
    /// A place of the silhouette.
    Silhouette(SilhouettePlace),
}

impl Hold {
    /// What is taken hold of by taking something of a seen form; `None` for what cannot be pulled, such as a station.
    pub fn of(near: &Near) -> Option<Self> {
        let point = near.place.point;
        match near.what {
            NearWhat::Silhouette(place) => Some(Self::Silhouette(place)),
            NearWhat::Handle(handle) => Some(match handle.of {
                HandleOf::SectionPoint { section, point } => Self::SectionPoint { section, point, side: handle.side },
                HandleOf::LinePoint { line, point } => Self::LinePoint { line, point, side: handle.side },
            }),
            NearWhat::Line(part) => match part {
                SeenPart::Crown => Some(Self::Line { line: LineName::Crown, point }),
                SeenPart::Keel => Some(Self::Line { line: LineName::Keel, point }),
                SeenPart::Breadth(_) => Some(Self::Line { line: LineName::Breadth, point }),
                SeenPart::ControlSection(section) => Some(Self::SectionCurve { section, point }),
                SeenPart::Station(..) | SeenPart::Knuckle(..) | SeenPart::ControlLine(_) | SeenPart::Silhouette => None,
            },
        }
    }
}

/// Within this of the pointer, px, what is pulled counts as being there.
pub const REACHED_PX: f64 = 0.05;

/// A step of a pull.
#[derive(Clone, Debug, PartialEq)]
pub struct Pulled {
    /// What brings the form there, from the document of the grip.
    pub edit: Edit,
    /// How far from the pointer what is held lies after the edit, px.
    pub miss_px: f64,
}

impl Pulled {
    /// Whether what is held is under the pointer.
    pub fn reached(&self) -> bool {
        self.miss_px <= REACHED_PX
    }
}

/// Something taken hold of, in the document as it was then.
#[derive(Debug)]
pub struct Grip {
    held: Held,
    moves: Moves,
    label: String,
}

/// The form, the camera, and what was lofted last.
#[derive(Debug)]
struct Held {
    document: Arc<Document>,
    form: usize,
    camera: PictureCamera,
    memory: UnitMemory,
}

/// What a pull changes.
#[derive(Debug)]
enum Moves {
    Section(section::SectionMove),
    Line(line::LineMove),
    Silhouette(silhouette::SilhouetteMove),
}

impl Held {
    fn form(&self) -> Result<&Arc<Form>, Refused> {
        let gone = || Refused::new("The form is not there any more.", "Choose another one.");
        self.document.forms.get(self.form).ok_or_else(gone)
    }
}

impl Grip {
    /// Takes hold of something of a form that a camera shows.
    ///
    /// # Errors
    /// It cannot be pulled, and why, with what to do instead.
    pub fn take(document: &Arc<Document>, form: usize, camera: &PictureCamera, hold: &Hold) -> Result<Self, Refused> {
        let mut held = Held { document: Arc::clone(document), form, camera: *camera, memory: UnitMemory::default() };
        let moves = match *hold {
            Hold::SectionPoint { section, point, side } => section::point(&held, section, point, side)?,
            Hold::SectionCurve { section, point } => section::curve(&held, section, point)?,
            Hold::LinePoint { line, point, side } => line::at_point(&held, line, point, side)?,
            Hold::Line { line, point } => line::at_station(&held, line, point)?,
            Hold::Silhouette(place) => silhouette::choose(&mut held, &place)?,
        };
        let label = match &moves {
            Moves::Section(moves) => moves.label(&held)?,
            Moves::Line(moves) => moves.label(&held)?,
            Moves::Silhouette(moves) => moves.label(),
        };
        Ok(Self { held, moves, label })
    }

    /// What a pull will change, such as "moves the breadth at station 216.0 mm".
    pub fn label(&self) -> &str {
        &self.label
    }

    /// The edit, of the document that the grip was taken in, that brings what is held under a pixel, or as near to it as it can
    /// come.
    ///
    /// # Errors
    /// Nothing can be moved there, and why.
    pub fn pull(&mut self, pixel: [f64; 2]) -> Result<Pulled, Refused> {
        let pulled = match &mut self.moves {
            Moves::Section(moves) => moves.pull(&self.held, pixel),
            Moves::Line(moves) => moves.pull(&self.held, pixel),
            Moves::Silhouette(moves) => moves.pull(&mut self.held, pixel),
        }?;
        // What the document refuses is told now, not when it is let go.
        pulled.edit.apply(&self.held.document)?;
        Ok(pulled)
    }
}

/// A station as labels name it.
fn at(station: f64) -> String {
    format!("at station {station:.1} mm")
}
