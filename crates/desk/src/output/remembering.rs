//! What the parts of the sheets follow from, so that they are remembered by it.

pub(crate) use super::openings::TrimSource;
use crate::shell::Source;
use form::Lofted;
use form::shaft::RingTrim;
use project::document::Document;
use project::mount::Mount;
use std::sync::Arc;

/// A form's surface as a mesh, cut off at the ring's plane where there is one.
#[derive(Clone, Debug)]
pub(crate) struct Ground {
    pub(crate) lofted: Arc<Lofted>,
    pub(crate) trim: Option<RingTrim>,
}

impl PartialEq for Ground {
    fn eq(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.lofted, &other.lofted) && self.trim == other.trim
    }
}

/// What the templates of the lines where an added form meets the first follow from.
#[derive(Clone, Debug)]
pub(crate) struct FitSource {
    /// The added form's number, and both lofts.
    pub(crate) index: usize,
    pub(crate) lofted: [Arc<Lofted>; 2],
    pub(crate) mount: Mount,
    /// Project, first form, added form.
    pub(crate) names: [String; 3],
    pub(crate) land: f64,
}

impl PartialEq for FitSource {
    fn eq(&self, other: &Self) -> bool {
        let lofts = self.lofted.iter().zip(&other.lofted).all(|(a, b)| Arc::ptr_eq(a, b));
        lofts
            && (self.index, self.mount, self.land) == (other.index, other.mount, other.land)
            && self.names == other.names
    }
}

/// What all parts of a project follow from: all of it but its pictures and its paper.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct PartsSource {
    pub(crate) shell: Source,
    name: String,
    model_scale: f64,
}

impl PartsSource {
    pub(crate) fn of(document: &Document, lofted: &[Arc<Lofted>]) -> Self {
        let (name, model_scale) = (document.name.clone(), document.model_scale);
        Self { shell: Source::of(document, lofted), name, model_scale }
    }
}
