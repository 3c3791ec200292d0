//! How far apart the formers stand, what sanding straight between them leaves, and where the curve wants them.

use super::composer::{Align, Composer, Table};
use super::{Subject, fine, mm};

pub(super) fn set(c: &mut Composer, s: &Subject<'_>) {
    let Some(planned) = s.planned.filter(|p| !p.present.is_empty()) else { return };
    let allowed = s.document.build.stack.allowed_sagitta;
    let between = if planned.used { "from face to face" } else { "from station to station" };
    c.heading_of("Former spacing", 40.0);
    c.text(&format!(
        "Foam that is sanded straight {between} misses the curve of the form by the sagitta of the bay. {} mm are allowed. Where it is \
         more, sand round by an outside template, or use thinner boards.",
        fine(allowed)
    ));
    let right = Align::Right;
    let mut table = Table::new(&[("From mm", right), ("To mm", right), ("Sagitta mm", right), ("", Align::Left)]);
    for bay in &planned.present {
        let more = if bay.sagitta > allowed { "more than is allowed" } else { "" };
        table.row([mm(bay.from), mm(bay.to), fine(bay.sagitta), more.to_owned()]);
    }
    c.table(&table);
    let stations: Vec<String> = planned.proposal.stations.iter().map(|x| mm(*x)).collect();
    let left = planned.proposal.bays.iter().map(|b| b.sagitta).fold(0.0, f64::max);
    c.text(&format!(
        "The curve asks for faces at these {} stations: {} mm. They would leave at most {} mm.",
        stations.len(),
        stations.join(", "),
        fine(left)
    ));
}
