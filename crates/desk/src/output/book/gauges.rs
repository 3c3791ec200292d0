//! Gauges to sand by, and the caliper table.

use super::composer::{Align, Composer, Table};
use super::{Subject, fine, mm};
use plug::{CaliperRow, Plan};

pub(super) fn set(c: &mut Composer, s: &Subject<'_>, plan: &Plan) {
    c.chapter("Gauges and calipers");
    outside(c, plan);
    c.heading("Widths to check with calipers");
    c.text(
        "Widths of the plug, straight across at the height above the datum waterline. Write what you measure in the empty row, and type \
         it into the program to see the deviations on the form.",
    );
    plan.gauges.calipers.iter().for_each(|row| calipers(c, row));
    if s.document.airframe.gauges.is_empty() {
        return;
    }
    c.heading("Gauges of the airframe");
    let mut table =
        Table::new(&[("Gauge", Align::Left), ("Station mm", Align::Right), ("On the finished form mm", Align::Right)]);
    for g in &s.document.airframe.gauges {
        table.row([g.name.clone(), mm(g.station), format!("{} ± {}", mm(g.value), fine(g.tolerance))]);
    }
    c.table(&table);
}

fn outside(c: &mut Composer, plan: &Plan) {
    if plan.gauges.stations.is_empty() && plan.gauges.lines.is_empty() {
        c.text("No outside templates are asked for. Name stations for them in the build to have them printed.");
        return;
    }
    let mut table =
        Table::new(&[("Outside template", Align::Left), ("Station mm", Align::Right), ("Side", Align::Left)]);
    for t in &plan.gauges.stations {
        table.row(["across".to_owned(), mm(t.station), t.side.label().to_owned()]);
    }
    for t in &plan.gauges.lines {
        table.row([format!("along the {} line", t.line.label()), "–".to_owned(), "–".to_owned()]);
    }
    c.text("Templates across stand on one common base line on the bench; the plug is done where they touch all along.");
    c.table(&table);
}

/// Heights, widths and an empty row, as one small table.
fn calipers(c: &mut Composer, row: &CaliperRow) {
    let columns: Vec<(&str, Align)> =
        [("", Align::Left)].into_iter().chain(row.widths.iter().map(|_| ("", Align::Right))).collect();
    let mut table = Table::new(&columns);
    let cells = |name: &str, value: &dyn Fn(&(f64, f64)) -> String| -> Vec<String> {
        [name.to_owned()].into_iter().chain(row.widths.iter().map(value)).collect()
    };
    c.lead(
        &format!(
            "Station {} mm: greatest width {} mm, keel at {}, crown at {} mm",
            mm(row.station),
            mm(row.greatest),
            mm(row.heights.0),
            mm(row.heights.1)
        ),
        22.0,
    );
    if row.widths.is_empty() {
        return;
    }
    table.row(cells("height", &|w| mm(w.0)));
    table.row(cells("width", &|w| mm(w.1)));
    table.row(cells("measured", &|_| String::new()));
    c.table(&table);
}
