//! The surface that cloth lies on.

use super::ClothFailure;
use crate::output::{NotLofted, ring_plane};
use form::Lofted;
use project::build::{Build, Process};
use project::document::{Document, Form};
use project::shell::Draping;
use shell::drape::{Cover, Outside, is_closed, shallowest_parting};
use shell::release::Parting;
use std::sync::{Arc, Mutex, PoisonError};

/// The parts of a document that the surface follows from.
#[derive(Clone, Debug)]
pub struct SurfaceSource {
    name: String,
    first: bool,
    lofted: Arc<Lofted>,
    process: Process,
    taken_off: f64,
    cover: Cover,
    halves: Option<Parting>,
}

impl SurfaceSource {
    /// Those of a document's form, with its loft; `None` if there is no such form.
    pub fn of(document: &Document, form: usize, lofted: &Arc<Lofted>) -> Option<Self> {
        let it = document.forms.get(form)?;
        let build = build_of(document, form, it);
        // The ring's plane cuts the first form only.
        let cover = Cover { trim: ring_plane(document, form), ..crate::shell::cover(document) };
        let taken_off = taken_off(build);
        let closed = lofted.whole_skin().filter(|skin| is_closed(skin.loft(), taken_off, &cover));
        // The joint line is the first form's.
        let chosen = crate::shell::release::parting_of(document.shell.release.parting).filter(|_| form == 0);
        Some(Self {
            halves: closed.map(|skin| chosen.unwrap_or_else(|| shallowest_parting(skin.loft()))),
            name: it.name.clone(),
            first: form == 0,
            lofted: Arc::clone(lofted),
            process: build.process,
            taken_off,
            cover,
        })
    }

    /// The line along which cloth is laid in two halves: a form that is closed at both ends, round which no piece goes from one start. It
    /// is the joint line that the document chose, or else the one that leaves the shallowest halves.
    pub fn halves(&self) -> Option<Parting> {
        self.halves
    }

    /// Whether the form has a surface; without one no cloth can be laid.
    pub fn has_surface(&self) -> bool {
        self.lofted.whole_skin().is_some()
    }
}

/// How a form's plug is built: the first one's own, of another one its own or else as the first one's.
fn build_of<'a>(document: &'a Document, form: usize, it: &'a Form) -> &'a Build {
    it.build.as_deref().filter(|_| form > 0).unwrap_or(&document.build)
}

/// How far below the finished skin the first ply lies. On a plug that is all of the coat. In a mould, which is the finished form,
/// the paint goes in first (as a gel coat would) and the cloth onto it; filler is not needed there.
fn taken_off(build: &Build) -> f64 {
    match build.process {
        Process::OverPlug => build.coat.total(),
        Process::FemaleMould => build.coat.paint,
    }
}

/// The same loft in memory, the same coat and the same ends.
impl PartialEq for SurfaceSource {
    fn eq(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.lofted, &other.lofted)
            && self.first == other.first
            && self.process == other.process
            && self.taken_off == other.taken_off
            && self.cover == other.cover
            && self.halves == other.halves
    }
}

/// The surface that the first ply lies on, read once for all that is draped on it. Copies share it.
#[derive(Clone, Debug)]
pub struct ClothSurface {
    /// The outside, without a seam.
    pub outside: Outside,
    /// Its area that is to be covered, mm².
    pub part_area: f64,
    /// First and last station of the finished form, mm.
    pub stations: [f64; 2],
    /// Over the plug, or into a mould.
    pub process: Process,
    /// How far it lies below the finished skin, mm.
    pub taken_off: f64,
    /// Whether it is that of the first form, which the builder's start is meant for.
    pub first: bool,
    /// The line along which cloth is laid in two halves; see [`SurfaceSource::halves`].
    pub halves: Option<Parting>,
    /// Side of a cell that follows the form's size and curvature, mm.
    pub fitting_cell: f64,
}

impl ClothSurface {
    /// Reads the surface.
    ///
    /// # Errors
    /// The form cannot be lofted yet, or nothing is left of it once its coat is off.
    pub fn new(of: &SurfaceSource) -> Result<Self, ClothFailure> {
        let skin = of.lofted.whole_skin().ok_or_else(|| NotLofted::of(&of.name, &of.lofted))?;
        let outside = Outside::new(skin.loft(), of.taken_off, &of.cover)?;
        let (low, high) = skin.loft().x_range();
        Ok(Self {
            part_area: outside.part_area(),
            fitting_cell: outside.fitting_cell(),
            halves: of.halves,
            outside,
            stations: [low, high],
            process: of.process,
            taken_off: of.taken_off,
            first: of.first,
        })
    }
}

impl ClothSurface {
    /// Side of the net's cells, mm: the builder's, or one that follows the form.
    pub fn cell(&self, draping: &Draping) -> f64 {
        draping.cell.unwrap_or(self.fitting_cell)
    }
}

/// How many surfaces are kept: enough to go back and forth between the last steps.
const KEPT: usize = 4;

/// A surface with the parts that it was read from.
type Kept = (SurfaceSource, Arc<ClothSurface>);

/// Surfaces that were read of late, shared between threads. A copy shares them too.
#[derive(Clone, Debug, Default)]
pub struct Surfaces(Arc<Mutex<Vec<Kept>>>);

impl Surfaces {
    /// The surface of these parts, if it is remembered.
    pub fn known(&self, of: &SurfaceSource) -> Option<Arc<ClothSurface>> {
        let mut kept = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let at = kept.iter().position(|(known, _)| known == of)?;
        let found = kept.remove(at);
        let surface = Arc::clone(&found.1);
        kept.push(found);
        Some(surface)
    }

    /// The surface of these parts, remembered or read now.
    ///
    /// # Errors
    /// As [`ClothSurface::new`].
    pub fn surface(&self, of: &SurfaceSource) -> Result<Arc<ClothSurface>, ClothFailure> {
        if let Some(known) = self.known(of) {
            return Ok(known);
        }
        let read = Arc::new(ClothSurface::new(of)?);
        let mut kept = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if kept.len() == KEPT {
            kept.remove(0);
        }
        kept.push((of.clone(), Arc::clone(&read)));
        Ok(read)
    }
}
