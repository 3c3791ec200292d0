//! How far apart the formers stand, what sanding straight between them leaves, and where the curve wants them.

use super::composer::{Align, Composer, Table};
use super::{Subject, fine, mm};
use plug::BaySagitta;

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
    c.table(&bays(&planned.present, allowed));
    if planned.present.iter().any(|bay| bay.sagitta > allowed) {
        c.text("* more than is allowed.");
    }
    let stations: Vec<String> = planned.proposal.stations.iter().map(|x| mm(*x)).collect();
    let left = planned.proposal.bays.iter().map(|b| b.sagitta).fold(0.0, f64::max);
    c.text(&format!(
        "The curve asks for faces at these {} stations: {} mm. They would leave at most {} mm.",
        stations.len(),
        stations.join(", "),
        fine(left)
    ));
}

/// Two bays beside each other, so that a long stack keeps to its page.
fn bays(present: &[BaySagitta], allowed: f64) -> Table {
    let right = Align::Right;
    let head = [("From mm", right), ("To mm", right), ("Sagitta mm", right), ("", Align::Left)];
    let cells = |bay: &BaySagitta| {
        let mark = if bay.sagitta > allowed { "*" } else { "" };
        [mm(bay.from), mm(bay.to), fine(bay.sagitta), mark.to_owned()]
    };
    let half = present.len().div_ceil(2);
    let mut table = Table::new(&[head, head].concat());
    for (index, bay) in present.iter().take(half).enumerate() {
        let beside = present.get(half + index).map(cells).unwrap_or_default();
        table.row(cells(bay).into_iter().chain(beside));
    }
    table
}
