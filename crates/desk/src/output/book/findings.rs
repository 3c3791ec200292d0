//! What is still open.

use super::Subject;
use super::composer::{Align, Composer, Table};

pub(super) fn set(c: &mut Composer, s: &Subject<'_>) {
    c.chapter("Findings still open");
    if s.findings.is_empty() {
        c.text("None: nothing was found that stands in the way.");
        return;
    }
    c.text("Errors must be mended before anything is cut; warnings deserve a look; notes are worth knowing.");
    let mut table = Table::new(&[
        ("", Align::Left),
        ("Where", Align::Left),
        ("What", Align::Left),
        ("Measured", Align::Left),
        ("What to do", Align::Left),
    ]);
    for f in &s.findings {
        let measured = match (f.measured, f.allowed) {
            (Some(m), Some(a)) => format!("{m}, allowed {a}"),
            (Some(m), None) => m.to_string(),
            _ => String::new(),
        };
        table.row([f.severity.label().to_owned(), f.place_label(), f.what.clone(), measured, f.hint.clone()]);
    }
    c.table(&table);
}
