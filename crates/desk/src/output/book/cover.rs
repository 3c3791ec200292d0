//! The cover: the form, its main dimensions, and how the book is to be read.

use super::composer::Composer;
use super::{Subject, facts, mm};
use crate::output::picture::{Shown, shaded};
use geometry::loft::Loft;
use project::build::Process;
use project::document::Form;
use sheets::png::PngError;

/// Pixels of the picture: enough for the width of a page.
const PIXELS: [u32; 2] = [1120, 840];
/// Stations that are searched for the greatest breadth and height.
const SEARCHED: usize = 400;
/// Estimated error of volume over surface, and of surface over length, mm.
const TOLERANCE: f64 = 1e-4;

/// The picture on it, as PNG.
///
/// # Errors
/// It cannot be drawn.
pub(super) fn picture(form: &Form, loft: &Loft) -> Result<Vec<u8>, PngError> {
    shaded(form, loft, PIXELS, &Shown::default())
}

pub(super) fn set(c: &mut Composer, s: &Subject<'_>) {
    c.chapter("Build book");
    c.title(&s.document.name, 11.0);
    c.text(&format!("{}, scale 1 : {}", s.form.name, mm(s.document.model_scale).trim_end_matches(".0")));
    c.picture(&s.cover, PIXELS, 0.5 * c.height());
    c.caption("The finished form from ahead, with its stations.");
    c.table(&facts(dimensions(s)));
    c.text(
        "Stations count in millimetres aft of the datum, heights above the datum waterline. Whoever looks aft from the nose has \
         starboard, the pilot's right, at the left hand; all cross templates are drawn so. Formers, boards and bays count from the \
         front.",
    );
    if s.plan.is_none() {
        c.loud(
            "This project has no stack of boards and cards yet. Ledger, formers with slots, foam blocks, cutting plan and gauges are \
             missing from this book until there is one.",
        );
    }
}

fn dimensions(s: &Subject<'_>) -> Vec<(String, String)> {
    let (front, rear) = s.loft.x_range();
    let at = |k: usize| front + (rear - front) * k as f64 / SEARCHED as f64;
    let sections = || (0..=SEARCHED).filter_map(|k| s.loft.section(at(k)));
    let breadth = sections().map(|q| (2.0 * q.half_breadth(), q.x())).max_by(|a, b| a.0.total_cmp(&b.0));
    let height = sections().map(|q| (q.top() - q.bottom(), q.x())).max_by(|a, b| a.0.total_cmp(&b.0));
    let greatest = |found: Option<(f64, f64)>| {
        found.map_or_else(String::new, |(size, x)| format!("{} mm, at station {}", mm(size), mm(x)))
    };
    let body = s.loft.measures(TOLERANCE);
    let process = match s.document.build.process {
        Process::OverPlug => "cloth over the plug: the plug is smaller than the form by what lies on it",
        Process::FemaleMould => "a female mould is taken from the plug: the plug is the finished form",
    };
    let coat = s.document.build.coat;
    vec![
        ("Length".to_owned(), format!("{} mm, from station {} to {}", mm(rear - front), mm(front), mm(rear))),
        ("Greatest breadth".to_owned(), greatest(breadth)),
        ("Greatest height".to_owned(), greatest(height)),
        ("Volume".to_owned(), format!("{:.2} litres", body.volume / 1e6)),
        ("Surface without flat ends".to_owned(), format!("{:.3} m²", body.lateral_surface / 1e6)),
        ("Process".to_owned(), process.to_owned()),
        (
            "Laminate, filler, paint".to_owned(),
            format!("{:.2} + {:.2} + {:.2} = {:.2} mm", coat.laminate, coat.filler, coat.paint, coat.total()),
        ),
    ]
}
