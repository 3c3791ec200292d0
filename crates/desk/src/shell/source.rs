//! The parts of a document that its shell follows from.

use crate::output::NotLofted;
use form::{FinishedSkin, Lofted};
use project::document::Document;
use shell::drape::{Cover, End};
use std::sync::Arc;

/// What a shell follows from: forms with their lofts, airframe, build and the shell's own numbers. Cheap to copy, and its own master,
/// so it can go to another thread; two of them are equal when they lead to the same shell.
#[derive(Clone, Debug)]
pub struct Source {
    document: Document,
    lofted: Vec<Arc<Lofted>>,
}

impl Source {
    /// Those of a document, with the loft of each of its forms.
    pub fn of(document: &Document, lofted: &[Arc<Lofted>]) -> Self {
        // Pictures have no say, and comparing them would compare their bytes.
        Self { document: Document { pictures: Vec::new(), ..document.clone() }, lofted: lofted.to_vec() }
    }

    /// Those of a document, each form lofted anew.
    pub fn anew(document: &Document) -> Self {
        let lofted: Vec<Arc<Lofted>> = document.forms.iter().map(|form| Arc::new(form::loft(form))).collect();
        Self::of(document, &lofted)
    }

    /// The document, without its pictures.
    pub fn document(&self) -> &Document {
        &self.document
    }

    /// The loft of each form.
    pub fn lofted(&self) -> &[Arc<Lofted>] {
        &self.lofted
    }

    /// Whether the first form has a surface; without one there is no shell.
    pub fn has_surface(&self) -> bool {
        self.skin().is_ok()
    }

    /// The finished skin of the first form.
    ///
    /// # Errors
    /// It cannot be lofted yet.
    pub fn skin(&self) -> Result<&FinishedSkin, NotLofted> {
        self.skin_of(0)
    }

    /// The finished skin of a form.
    ///
    /// # Errors
    /// It cannot be lofted yet, or there is no such form.
    pub fn skin_of(&self, form: usize) -> Result<&FinishedSkin, NotLofted> {
        let name = self.document.forms.get(form).map(|f| f.name.clone()).unwrap_or_default();
        let Some(lofted) = self.lofted.get(form) else {
            return Err(NotLofted { form: name, reasons: "Draw it first.".into() });
        };
        lofted.whole_skin().ok_or_else(|| NotLofted::of(&name, lofted))
    }

    /// What of the first form the shell covers.
    pub fn cover(&self) -> Cover {
        cover(&self.document)
    }
}

/// What of the first form the shell covers: its closed ends, the cloth beyond its open ones, and the plane of its ring.
pub fn cover(document: &Document) -> Cover {
    let draping = &document.shell.draping;
    let end = |closed: bool, allowance: f64| if closed { End::Closed } else { End::Open(allowance) };
    Cover {
        front: end(draping.closed_front, draping.allowance[0]),
        rear: end(draping.closed_rear, draping.allowance[1]),
        trim: fit::ring_trim(&document.airframe),
    }
}

impl PartialEq for Source {
    fn eq(&self, other: &Self) -> bool {
        fn same<T: PartialEq>(a: &Arc<T>, b: &Arc<T>) -> bool {
            Arc::ptr_eq(a, b) || a == b
        }
        let (a, b) = (&self.document, &other.document);
        let lofts = self.lofted.len() == other.lofted.len()
            && self.lofted.iter().zip(&other.lofted).all(|(a, b)| Arc::ptr_eq(a, b));
        let forms = a.forms.len() == b.forms.len() && a.forms.iter().zip(&b.forms).all(|(a, b)| same(a, b));
        lofts && forms && same(&a.airframe, &b.airframe) && same(&a.build, &b.build) && same(&a.shell, &b.shell)
    }
}
