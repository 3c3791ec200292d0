//! The formers, their joints, and what plug and finished form differ by.

use super::composer::{Align, Composer, Table};
use super::{Subject, fine, mm};
use plug::{Former, HalfLap, Joining, Plan, Template};

pub(super) fn set(c: &mut Composer, s: &Subject<'_>, plan: &Plan) {
    c.chapter("Formers and joints");
    c.text(&format!(
        "All formers lie {} mm inside the foam, so that card, which is harder, never stands proud. Cut on the line, slots included; try \
         every slot on a scrap of the same card before all are cut.",
        mm(s.document.build.formers.inset)
    ));
    formers(c, plan);
    joints(c, plan);
    if let Some((x, _)) = &plan.first_face {
        c.text(&format!(
            "The foremost face, at station {} mm, has no card: its outline is printed to be drawn on the foam.",
            mm(*x)
        ));
    }
    c.heading("Plug against finished form");
    c.text(&format!(
        "{} mm are taken off along the normal. Measure the plug against its own column.",
        fine(plan.taken_off)
    ));
    let right = Align::Right;
    let mut table =
        Table::new(&[("Where", Align::Left), ("Station mm", right), ("Finished form mm", right), ("Plug mm", right)]);
    for row in &plan.differences {
        table.row([row.what.clone(), mm(row.station), fine(row.finished), fine(row.plug)]);
    }
    c.table(&table);
}

fn formers(c: &mut Composer, plan: &Plan) {
    let right = Align::Right;
    let mut table = Table::new(&[
        ("Former", right),
        ("Front face at mm", right),
        ("Rear face at mm", right),
        ("Breadth mm", right),
        ("Height mm", right),
        ("Greatest bevel", right),
        ("Made", Align::Left),
        ("Holes", Align::Left),
    ]);
    for f in &plan.formers {
        let size = f.outline.bounds().map_or([0.0; 2], |(a, b)| [b[0] - a[0], b[1] - a[1]]);
        let made = if f.in_halves { "two halves" } else { "whole" };
        table.row([
            f.number.to_string(),
            fine(f.front),
            fine(f.rear),
            mm(size[0]),
            mm(size[1]),
            bevel(f),
            made.to_owned(),
            holes(f),
        ]);
    }
    c.table(&table);
}

fn bevel(former: &Former) -> String {
    let steepest = former.bevels.iter().map(|b| b.angle_deg).fold(0.0, f64::max);
    if steepest > 0.0 { format!("{steepest:.0}°") } else { "–".to_owned() }
}

fn holes(former: &Former) -> String {
    let shaft = former.shaft.map(|_| "shaft".to_owned());
    let dowels = (!former.dowels.is_empty()).then(|| super::count(former.dowels.len(), "dowel"));
    let all: Vec<String> = shaft.into_iter().chain(dowels).collect();
    if all.is_empty() { "–".to_owned() } else { all.join(", ") }
}

fn joints(c: &mut Composer, plan: &Plan) {
    if plan.joints.is_empty() {
        return;
    }
    c.heading("Half-laps");
    let right = Align::Right;
    let mut table = Table::new(&[
        ("Former", right),
        ("With", Align::Left),
        ("Slot width mm", right),
        ("Slot in the former mm", right),
        ("Slot in the template mm", right),
    ]);
    // Both halves of a breadth template are slotted alike.
    for joint in plan.joints.iter().filter(|j| j.with != Template::BreadthPort) {
        let with = match joint.with {
            Template::Centre => "centre template",
            Template::BreadthStarboard | Template::BreadthPort => "breadth template, each half",
        };
        let cells = match &joint.how {
            Joining::HalfLap(lap) => slots(lap),
            Joining::Butted => ["–".to_owned(), "butted in halves".to_owned(), "–".to_owned()],
        };
        table.row([joint.former.to_string(), with.to_owned()].into_iter().chain(cells));
    }
    c.table(&table);
}

fn slots(lap: &HalfLap) -> [String; 3] {
    [fine(lap.width), fine(lap.former_depth()), fine(lap.template_depth())]
}
