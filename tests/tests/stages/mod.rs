//! Every stage of the way from a document to what leaves the program. What one of them refuses, it refuses in words.
//!
//! Shared by the tests of random projects, the example that times them and the fuzz target `pipeline`.

use desk::output::{self, MeshFormat, View};
use desk::shell::airflow::airflow;
use desk::shell::cloth::{ClothSurface, SurfaceSource, cloth_plan};
use desk::shell::release::{joints, release};
use desk::shell::{Source, mass};
use desk::{Planned, Reckoned, findings_anew};
use form::Lofted;
use project::document::Document;
use std::sync::Arc;

/// Runs one stage, which it is given by name.
pub(crate) type Around<'a> = dyn FnMut(&'static str, &mut dyn FnMut()) + 'a;

/// Nobody stops the work.
fn on(_: f32) -> bool {
    true
}

/// All there is to say and to write of a document, each stage by itself and with nothing reckoned before.
pub(crate) fn every_stage(document: &Document, around: &mut Around<'_>) {
    around("findings", &mut || drop(findings_anew(document)));
    let lofted: Vec<Arc<Lofted>> = document.forms.iter().map(|form| Arc::new(form::loft(form))).collect();
    around("parts", &mut || drop(output::parts(document, &lofted)));
    paper(document, &lofted, around);
    for (index, form) in document.forms.iter().enumerate() {
        let lofted = &lofted[index];
        around("offsets", &mut || drop(output::document_offsets(document, index, lofted)));
        let trim = output::ring_plane(document, index);
        around("mesh", &mut || drop(output::mesh_file(form, lofted, 0.2, trim.as_ref(), MeshFormat::Stl)));
        around("picture", &mut || drop(output::picture(form, lofted, View::Shaded)));
    }
    around("all forms", &mut || drop(output::assembled(document, &lofted, 0.2)));
    shell(document, &lofted, around);
}

/// Sheets and book to PDF, and the drawings for machines that cut.
fn paper(document: &Document, lofted: &[Arc<Lofted>], around: &mut Around<'_>) {
    around("sheets", &mut || {
        if let Ok(layout) = output::sheets_by(document, lofted, &Reckoned::default(), &document.paper, &mut on) {
            drop(sheets::pdf::write_pdf(&layout.set));
        }
    });
    around("book", &mut || {
        if let Ok(book) = output::book_by(document, lofted, &Reckoned::default(), &mut on) {
            drop(sheets::pdf::write_pdf(&book));
        }
    });
    around("cutting files", &mut || drop(output::cut_sheets_by(document, lofted, &Reckoned::default(), 0.1)));
}

/// Air, cloth, release, mass.
fn shell(document: &Document, lofted: &[Arc<Lofted>], around: &mut Around<'_>) {
    for (index, lofted) in lofted.iter().enumerate() {
        around("air", &mut || drop(airflow(document, index, lofted)));
        around("cloth", &mut || {
            let surface = SurfaceSource::of(document, index, lofted).and_then(|of| ClothSurface::new(&of).ok());
            if let Some(surface) = surface {
                drop(cloth_plan(document, index, &surface, &mut on));
            }
        });
    }
    let source = Source::of(document, lofted);
    around("release", &mut || drop(release(&source, &mut on)));
    around("joints", &mut || drop(joints(&source, &mut on)));
    around("mass", &mut || {
        let planned = Planned::of(document, lofted).ok().flatten();
        drop(mass::weigh(&source, planned.as_ref(), &mut on));
    });
}
