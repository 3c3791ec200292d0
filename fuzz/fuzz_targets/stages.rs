//! Every stage of the way from a document to what leaves the program. What one of them refuses, it refuses in words.

use desk::output::{self, MeshFormat, View};
use desk::shell::cloth::{ClothSurface, SurfaceSource, cloth_plan};
use desk::shell::release::{joints, release};
use desk::shell::{Source, mass};
use desk::{Planned, Reckoned, findings_anew};
use form::Lofted;
use project::document::Document;
use std::sync::Arc;

/// Nobody stops the work.
fn on(_: f32) -> bool {
    true
}

/// All there is to say and to write of a document.
pub(crate) fn every_stage(document: &Document) {
    drop(findings_anew(document));
    let lofted: Vec<Arc<Lofted>> = document.forms.iter().map(|form| Arc::new(form::loft(form))).collect();
    drop(output::parts(document, &lofted));
    paper(document, &lofted);
    for (index, form) in document.forms.iter().enumerate() {
        drop(output::document_offsets(document, index, &lofted[index]));
        let trim = output::ring_plane(document, index);
        drop(output::mesh_file(form, &lofted[index], 0.2, trim.as_ref(), MeshFormat::Stl));
        drop(output::picture(form, &lofted[index], View::Shaded));
    }
    drop(output::assembled(document, &lofted, 0.2));
    shell(document, &lofted);
}

/// Sheets and book to PDF, and the drawings for machines that cut.
fn paper(document: &Document, lofted: &[Arc<Lofted>]) {
    let known = &Reckoned::default();
    if let Ok(layout) = output::sheets_by(document, lofted, known, &document.paper, &mut on) {
        drop(sheets::pdf::write_pdf(&layout.set));
    }
    if let Ok(book) = output::book_by(document, lofted, known, &mut on) {
        drop(sheets::pdf::write_pdf(&book));
    }
    drop(output::cut_sheets_by(document, lofted, known, 0.1));
}

/// Cloth, release, mass.
fn shell(document: &Document, lofted: &[Arc<Lofted>]) {
    for (index, lofted) in lofted.iter().enumerate() {
        let surface = SurfaceSource::of(document, index, lofted).and_then(|of| ClothSurface::new(&of).ok());
        if let Some(surface) = surface {
            drop(cloth_plan(document, index, &surface, &mut on));
        }
    }
    let source = Source::of(document, lofted);
    drop(release(&source, &mut on));
    drop(joints(&source, &mut on));
    drop(mass::weigh(&source, Planned::of(document, lofted).ok().flatten().as_ref(), &mut on));
}
