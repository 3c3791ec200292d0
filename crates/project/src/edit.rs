//! Every change of a document is one of these. Applying one gives a new document or a reason why not.

mod airframe;
mod build;
mod forms;
mod label;
mod lines;
mod lock;
mod openings;
mod photographs;
mod pictures;
pub(crate) mod pin;
mod section_points;
mod sections;
pub(crate) mod shell;
mod stations;

pub use lock::{lock_all, locked_by};

use std::sync::Arc;

use crate::airframe::{Airframe, DrawOff, FuselageEnd, Gauge, KeepOut, ThrustLine};
use crate::build::Build;
use crate::document::{
    ArcKind, ControlSection, Document, Form, KnownDistance, Lengthwise, LineEnd, LineName, LinePoint, LinePointKind,
    PaperSetup, Picture, Placement, PointRole, UnitPoint,
};
use crate::mount::Mount;
use crate::opening::Opening;
use crate::photograph::{FlatFigure, FocalLength, Landmark, NamedDistance, Trace};
use crate::shell::Shell;

/// A change of the document: a closed list, so that undo, tests and the command list can know them all.
///
/// `form`, `section`, `point`, `station`, `picture` and `index` are indices into the lists of the document the edit is
/// applied to. Lengths in mm, angles in degrees.
#[derive(Clone, Debug, PartialEq)]
#[allow(missing_docs, reason = "the fields are named once above")]
#[allow(clippy::large_enum_variant, reason = "an edit is made, applied and dropped: its size does not matter")]
pub enum Edit {
    /// Renames the project.
    SetName(String),
    /// Sets full size divided by model. Pictures keep their place.
    SetModelScale(f64),
    /// Sets paper, margin, overlap and print correction.
    SetPaper(PaperSetup),

    /// Adds a form at the end of the list.
    AddForm(Form),
    /// Puts another form in a form's place, e.g. one read from a table of offsets.
    ReplaceForm { form: usize, with: Form },
    /// Renames a form.
    RenameForm { form: usize, name: String },
    /// Removes a form; the last one cannot be removed.
    RemoveForm { form: usize },
    /// Chooses fair or straight between control sections.
    SetLengthwise { form: usize, lengthwise: Lengthwise },
    /// Sets the edge radii of flat ends.
    SetEdgeRadii { form: usize, front: f64, rear: f64 },

    /// Adds a point to a master line, where its x puts it.
    AddLinePoint { form: usize, line: LineName, point: LinePoint },
    /// Moves a point; it keeps its place in the order (x stays between the neighbours).
    MoveLinePoint { form: usize, line: LineName, point: usize, x: f64, value: f64 },
    /// Makes a point smooth, a corner, or of fixed slope.
    SetLinePointKind { form: usize, line: LineName, point: usize, kind: LinePointKind },
    /// Removes a point.
    RemoveLinePoint { form: usize, line: LineName, point: usize },
    /// Sets how a line leaves its ends.
    SetLineEnds { form: usize, line: LineName, front: LineEnd, rear: LineEnd },

    /// Adds a control section at its station.
    AddSection { form: usize, section: ControlSection },
    /// Puts another shape in a control section's place (also: pins or unpins it).
    ReplaceSection { form: usize, section: usize, with: ControlSection },
    /// Moves a control section along the body.
    MoveSection { form: usize, section: usize, station: f64 },
    /// Copies a control section's unit shape to another station.
    CopySection { form: usize, section: usize, station: f64 },
    /// Removes a control section.
    RemoveSection { form: usize, section: usize },
    /// Adds a point behind `after` in a shaped section; both arcs around it take the kind of the one it divides.
    AddSectionPoint { form: usize, section: usize, after: usize, u: f64, v: f64, role: PointRole },
    /// Moves a point of a shaped section. Marks keep what makes them marks.
    MoveSectionPoint { form: usize, section: usize, point: usize, u: f64, v: f64 },
    /// Makes a point smooth or a knuckle.
    SetSectionPointRole { form: usize, section: usize, point: usize, role: PointRole },
    /// Removes a point that is not crown, breadth or keel.
    RemoveSectionPoint { form: usize, section: usize, point: usize },
    /// Sets the curve between `arc` and `arc + 1`.
    SetArc { form: usize, section: usize, arc: usize, kind: ArcKind },
    /// Sets whether crown and keel leave the centre plane at an angle.
    SetRidges { form: usize, section: usize, crown: bool, keel: bool },

    /// Adds a station.
    AddStation { form: usize, x: f64 },
    /// Moves a station.
    MoveStation { form: usize, station: usize, x: f64 },
    /// Removes a station.
    RemoveStation { form: usize, station: usize },
    /// Sets the whole list of stations.
    SetStations { form: usize, stations: Vec<f64> },

    /// Adds a picture.
    AddPicture(Picture),
    /// Removes a picture.
    RemovePicture { picture: usize },
    /// Renames a picture.
    RenamePicture { picture: usize, name: String },
    /// Moves, turns or scales a picture by hand.
    PlacePicture { picture: usize, placement: Placement },
    /// Scales a picture by two points and their distance, about the first point. Drawn lines stay where they are.
    ScalePicture { picture: usize, known: KnownDistance },
    /// Sets or clears the second known distance.
    CheckPicture { picture: usize, known: Option<KnownDistance> },
    /// Turns a picture so that two picked points lie level, about the first point.
    LevelPicture { picture: usize, points: [[f64; 2]; 2] },
    /// Sets opacity, lock and hiding.
    ShowPicture { picture: usize, opacity: f64, locked: bool, hidden: bool },

    /// Sets the further known distances of a picture.
    SetDistances { picture: usize, distances: Vec<NamedDistance> },
    /// Sets or clears the flat figure of known sides.
    SetFigure { picture: usize, figure: Option<FlatFigure> },
    /// Sets the lines that are straight in truth.
    SetStraightLines { picture: usize, lines: Vec<Vec<[f64; 2]>> },
    /// Sets or clears the focal length to start from.
    SetFocalLength { picture: usize, focal: Option<FocalLength> },
    /// Sets or clears the distance to the camera, mm at full size.
    SetCameraDistance { picture: usize, distance_mm: Option<f64> },
    /// Sets how closely landmarks were picked and lines traced, px.
    SetCloseness { picture: usize, picked_px: f64, traced_px: f64 },
    /// Adds a landmark at the end of a picture's list.
    AddLandmark { picture: usize, landmark: Landmark },
    /// Puts another landmark in one's place: names, moves, uses or leaves it out.
    ReplaceLandmark { picture: usize, index: usize, with: Landmark },
    /// Removes a landmark.
    RemoveLandmark { picture: usize, index: usize },
    /// Adds a trace at the end of a picture's list.
    AddTrace { picture: usize, trace: Trace },
    /// Puts another trace in one's place.
    ReplaceTrace { picture: usize, index: usize, with: Trace },
    /// Removes a trace.
    RemoveTrace { picture: usize, index: usize },

    /// Sets or clears the end of the existing fuselage.
    SetFuselage(Option<FuselageEnd>),
    /// Sets or clears shaft, spinner and ring.
    SetThrust(Option<ThrustLine>),
    /// Adds a keep-out at the end of the list.
    AddKeepOut(KeepOut),
    /// Puts another keep-out in one's place.
    ReplaceKeepOut { index: usize, with: KeepOut },
    /// Removes a keep-out.
    RemoveKeepOut { index: usize },
    /// Adds a gauge at the end of the list.
    AddGauge(Gauge),
    /// Puts another gauge in one's place.
    ReplaceGauge { index: usize, with: Gauge },
    /// Removes a gauge.
    RemoveGauge { index: usize },
    /// Sets the way the shell is drawn off.
    SetDrawOff(DrawOff),
    /// Sets how the plug is built. Stations of outside templates are put in order, each once.
    SetBuild(Build),
    /// Sets laminate, cloth, release and weights of the shell.
    SetShell(Shell),
    /// Adds an opening at the end of a form's list.
    AddOpening { form: usize, opening: Opening },
    /// Puts another opening in one's place.
    ReplaceOpening { form: usize, index: usize, with: Opening },
    /// Removes an opening.
    RemoveOpening { form: usize, index: usize },
    /// Puts a form after the first on the first one, or takes it off.
    SetMount { form: usize, mount: Option<Mount> },
    /// Sets how the plug of a form after the first is built. Stations of outside templates are put in order, each once.
    SetFormBuild { form: usize, build: Option<Build> },

    /// Several edits as one undoable step; all or none.
    Together { label: String, edits: Vec<Edit> },
}

/// Why an edit was refused. The text is shown to the builder.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[error("{reason} {hint}")]
pub struct Refused {
    /// What stands in the way.
    pub reason: String,
    /// What to do instead.
    pub hint: String,
}

impl Refused {
    /// What stands in the way, and what to do instead.
    pub fn new(reason: impl Into<String>, hint: impl Into<String>) -> Self {
        Self { reason: reason.into(), hint: hint.into() }
    }
}

impl Edit {
    /// Applies the edit.
    ///
    /// # Errors
    /// An index that does not exist, a value that is not finite or out of range, or a change that would break what the
    /// document promises (the last form, more of something than all forms may have together, a mark of a section, a point locked
    /// by a pinned section, the station of a section that follows the fuselage).
    pub fn apply(&self, document: &Document) -> Result<Document, Refused> {
        let mut next = document.clone();
        self.change(&mut next)?;
        pin::settle(self, &mut next)?;
        shell::settle_first(&mut next);
        shell::settle_coats(&mut next);
        crate::promise::check_totals(&next)?;
        Ok(next)
    }

    /// Changes a scratch copy, which is thrown away if the edit is refused halfway.
    fn change(&self, d: &mut Document) -> Result<(), Refused> {
        match self {
            Self::SetName(name) => forms::set_name(d, name),
            Self::SetModelScale(scale) => forms::set_model_scale(d, *scale),
            Self::SetPaper(setup) => forms::set_paper(d, *setup),
            Self::Together { edits, .. } => edits.iter().try_for_each(|edit| edit.change(d)),
            Self::AddForm(form) => forms::add(d, form),
            Self::ReplaceForm { form, with } => forms::replace(d, *form, with),
            Self::RemoveForm { form } => forms::remove(d, *form),
            Self::SetBuild(build) => build::set(d, build),
            Self::SetShell(shell) => shell::set(d, shell),
            Self::SetMount { form, mount } => shell::set_mount(d, *form, *mount),
            Self::SetFormBuild { form, build } => build::set_of_form(d, *form, build.as_ref()),
            Self::AddOpening { form, opening } => openings::add(forms::form_mut(d, *form)?, opening),
            Self::ReplaceOpening { form, index, with } => openings::replace(forms::form_mut(d, *form)?, *index, with),
            Self::RemoveOpening { form, index } => openings::remove(forms::form_mut(d, *form)?, *index),
            Self::SetFuselage(end) => pin::set_fuselage(d, end.as_ref()),
            Self::SetThrust(_)
            | Self::AddKeepOut(_)
            | Self::ReplaceKeepOut { .. }
            | Self::RemoveKeepOut { .. }
            | Self::AddGauge(_)
            | Self::ReplaceGauge { .. }
            | Self::RemoveGauge { .. }
            | Self::SetDrawOff(_) => self.change_airframe(Arc::make_mut(&mut d.airframe)),
            Self::AddPicture(_)
            | Self::RemovePicture { .. }
            | Self::RenamePicture { .. }
            | Self::PlacePicture { .. }
            | Self::ScalePicture { .. }
            | Self::CheckPicture { .. }
            | Self::LevelPicture { .. }
            | Self::ShowPicture { .. } => self.change_picture(d),
            Self::SetDistances { picture, .. }
            | Self::SetFigure { picture, .. }
            | Self::SetStraightLines { picture, .. }
            | Self::SetFocalLength { picture, .. }
            | Self::SetCameraDistance { picture, .. }
            | Self::SetCloseness { picture, .. }
            | Self::AddLandmark { picture, .. }
            | Self::ReplaceLandmark { picture, .. }
            | Self::RemoveLandmark { picture, .. }
            | Self::AddTrace { picture, .. }
            | Self::ReplaceTrace { picture, .. }
            | Self::RemoveTrace { picture, .. } => self.change_photograph(d, *picture),
            Self::RenameForm { form, .. }
            | Self::SetLengthwise { form, .. }
            | Self::SetEdgeRadii { form, .. }
            | Self::AddLinePoint { form, .. }
            | Self::MoveLinePoint { form, .. }
            | Self::SetLinePointKind { form, .. }
            | Self::RemoveLinePoint { form, .. }
            | Self::SetLineEnds { form, .. }
            | Self::AddSection { form, .. }
            | Self::ReplaceSection { form, .. }
            | Self::MoveSection { form, .. }
            | Self::CopySection { form, .. }
            | Self::RemoveSection { form, .. }
            | Self::AddSectionPoint { form, .. }
            | Self::MoveSectionPoint { form, .. }
            | Self::SetSectionPointRole { form, .. }
            | Self::RemoveSectionPoint { form, .. }
            | Self::SetArc { form, .. }
            | Self::SetRidges { form, .. } => self.change_form(forms::form_mut(d, *form)?),
            Self::AddStation { form, .. }
            | Self::MoveStation { form, .. }
            | Self::RemoveStation { form, .. }
            | Self::SetStations { form, .. } => {
                stations::are_the_builders(d, *form)?;
                self.change_form(forms::form_mut(d, *form)?)
            }
        }
    }

    fn change_form(&self, f: &mut Form) -> Result<(), Refused> {
        match self {
            Self::RenameForm { name, .. } => forms::rename(f, name),
            Self::SetLengthwise { lengthwise, .. } => forms::set_lengthwise(f, *lengthwise),
            Self::SetEdgeRadii { front, rear, .. } => forms::set_edge_radii(f, *front, *rear),
            Self::AddLinePoint { line, point, .. } => lines::add(f, *line, *point),
            Self::MoveLinePoint { line, point, x, value, .. } => lines::move_point(f, *line, *point, *x, *value),
            Self::SetLinePointKind { line, point, kind, .. } => lines::set_kind(f, *line, *point, *kind),
            Self::RemoveLinePoint { line, point, .. } => lines::remove(f, *line, *point),
            Self::SetLineEnds { line, front, rear, .. } => lines::set_ends(f, *line, *front, *rear),
            Self::AddStation { x, .. } => stations::add(f, *x),
            Self::MoveStation { station, x, .. } => stations::move_to(f, *station, *x),
            Self::RemoveStation { station, .. } => stations::remove(f, *station),
            Self::SetStations { stations, .. } => stations::set(f, stations),
            _ => self.change_section(f),
        }
    }

    fn change_section(&self, f: &mut Form) -> Result<(), Refused> {
        match self {
            Self::AddSection { section, .. } => sections::add(f, section),
            Self::ReplaceSection { section, with, .. } => sections::replace(f, *section, with),
            Self::MoveSection { section, station, .. } => sections::move_to(f, *section, *station),
            Self::CopySection { section, station, .. } => sections::copy(f, *section, *station),
            Self::RemoveSection { section, .. } => sections::remove(f, *section),
            Self::AddSectionPoint { section, after, u, v, role, .. } => {
                section_points::add(f, *section, *after, UnitPoint { u: *u, v: *v, role: *role })
            }
            Self::MoveSectionPoint { section, point, u, v, .. } => {
                section_points::move_point(f, *section, *point, *u, *v)
            }
            Self::SetSectionPointRole { section, point, role, .. } => {
                section_points::set_role(f, *section, *point, *role)
            }
            Self::RemoveSectionPoint { section, point, .. } => section_points::remove(f, *section, *point),
            Self::SetArc { section, arc, kind, .. } => section_points::set_arc(f, *section, *arc, *kind),
            Self::SetRidges { section, crown, keel, .. } => section_points::set_ridges(f, *section, *crown, *keel),
            _ => Ok(()),
        }
    }

    fn change_airframe(&self, a: &mut Airframe) -> Result<(), Refused> {
        match self {
            Self::SetThrust(thrust) => airframe::set_thrust(a, *thrust),
            Self::AddKeepOut(keep_out) => airframe::add_keep_out(a, keep_out),
            Self::ReplaceKeepOut { index, with } => airframe::replace_keep_out(a, *index, with),
            Self::RemoveKeepOut { index } => airframe::remove_keep_out(a, *index),
            Self::AddGauge(gauge) => airframe::add_gauge(a, gauge),
            Self::ReplaceGauge { index, with } => airframe::replace_gauge(a, *index, with),
            Self::RemoveGauge { index } => airframe::remove_gauge(a, *index),
            Self::SetDrawOff(way) => airframe::set_draw_off(a, *way),
            _ => Ok(()),
        }
    }

    fn change_picture(&self, d: &mut Document) -> Result<(), Refused> {
        match self {
            Self::AddPicture(picture) => pictures::add(d, picture),
            Self::RemovePicture { picture } => pictures::remove(d, *picture),
            Self::RenamePicture { picture, name } => pictures::rename(d, *picture, name),
            Self::PlacePicture { picture, placement } => pictures::place(d, *picture, *placement),
            Self::ScalePicture { picture, known } => pictures::scale(d, *picture, *known),
            Self::CheckPicture { picture, known } => pictures::check(d, *picture, *known),
            Self::LevelPicture { picture, points } => pictures::level(d, *picture, *points),
            Self::ShowPicture { picture, opacity, locked, hidden } => {
                pictures::show(d, *picture, *opacity, *locked, *hidden)
            }
            _ => Ok(()),
        }
    }
}

/// An index into one of the document's lists does not exist (any more).
fn gone(what: &str, index: usize) -> Refused {
    Refused::new(format!("There is no {what} {}.", index + 1), "Choose one that is in the list.")
}
