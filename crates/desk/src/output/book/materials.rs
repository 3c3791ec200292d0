//! What is needed, and how much of it.

use super::composer::{Align, Composer, Table};
use super::{Subject, count, facts, mm};
use plug::{LayerKind, Plan};

pub(super) fn set(c: &mut Composer, s: &Subject<'_>) {
    c.chapter("Materials and counts");
    match &s.plan {
        Some(plan) => planned(c, s, plan),
        None => {
            c.text(
                "Not known yet: the project has no stack of boards and cards. Measure the boards and the card that you have, and \
                 enter them as the stack.",
            );
            super::spacing::set(c, s);
        }
    }
    c.heading("At the bench");
    c.list(tools(s).into_iter().map(|t| ("–", t)));
}

fn planned(c: &mut Composer, s: &Subject<'_>, plan: &Plan) {
    let foam = &s.document.build.foam;
    c.heading("Foam");
    let mut boards = Table::new(&[
        ("Thickness mm", Align::Right),
        ("Board mm", Align::Left),
        ("Boards", Align::Right),
        ("By area, no fewer than", Align::Right),
        ("Blocks", Align::Right),
        ("Left over", Align::Right),
    ]);
    for b in &plan.boards {
        boards.row([
            mm(b.thickness),
            format!("{:.0} × {:.0}", foam.board[0], foam.board[1]),
            b.nesting.boards.to_string(),
            b.nesting.area_bound.to_string(),
            b.blocks.len().to_string(),
            format!("{:.0} %", 100.0 * b.nesting.waste),
        ]);
    }
    c.table(&boards);
    let volume = |v: f64| format!("{:.2} litres", v / 1e6);
    c.table(&facts([
        ("Blocks".to_owned(), count(plan.blocks.len(), "block")),
        ("Foam as cut".to_owned(), volume(plan.mass.cut_volume)),
        ("Foam after sanding".to_owned(), volume(plan.mass.foam_volume)),
        ("Its mass".to_owned(), format!("{:.0} g at {:.0} kg/m³", plan.mass.foam, foam.density)),
    ]));
    c.heading("Card and glue");
    c.table(&facts(card_rows(s, plan)));
}

fn card_rows(s: &Subject<'_>, plan: &Plan) -> Vec<(String, String)> {
    let (foam, build) = (&s.document.build.foam, &s.document.build);
    let sheets = &plan.card_sheets;
    let mut rows = vec![
        ("Card".to_owned(), format!("{:.2} mm thick, {:.0} g/m²", plan.card, foam.card_weight)),
        (
            "Sheets for formers and templates".to_owned(),
            format!(
                "{} of {:.0} × {:.0} mm, at most, and more for the outside templates; by area no fewer than {}",
                sheets.boards, foam.card_sheet[0], foam.card_sheet[1], sheets.area_bound
            ),
        ),
        ("Card that is used".to_owned(), format!("{:.3} m², {:.0} g", plan.mass.card_area / 1e6, plan.mass.card)),
        ("Formers".to_owned(), count(plan.formers.len(), "former")),
        ("Centre template".to_owned(), if plan.centre.is_some() { "1" } else { "none" }.to_owned()),
        ("Halves of the breadth template".to_owned(), plan.breadth.len().to_string()),
        (
            "Outside templates".to_owned(),
            format!("{} at stations, {} along lines", plan.gauges.stations.len(), plan.gauges.lines.len()),
        ),
        ("Glue joints in the stack".to_owned(), format!("{} of {:.2} mm each", plan.ledger.joints(), plan.ledger.glue)),
    ];
    if let Some(ring) = plan.ledger.layers.iter().find(|l| l.kind == LayerKind::RingPlate) {
        rows.push(("Ring plate".to_owned(), format!("{:.2} mm thick", ring.thickness)));
    }
    if !build.formers.dowels.is_empty() {
        rows.push((
            "Alignment dowels".to_owned(),
            format!("{} of {:.1} mm diameter", 2 * build.formers.dowels.len(), build.formers.dowel_diameter),
        ));
    }
    rows
}

fn tools(s: &Subject<'_>) -> Vec<String> {
    let mut tools = vec![
        "Sharp knives with spare blades, a steel rule, a cutting mat.".to_owned(),
        "A flat board to build on, a square, calipers longer than the form is wide.".to_owned(),
        "A fine saw or a hot wire for the blocks, long sanding blocks, paper from coarse to fine.".to_owned(),
        "A glue that does not eat the foam: try it on a scrap first.".to_owned(),
        "Breathing protection for fine dust, gloves, eye protection, and a way to draw dust and fumes off.".to_owned(),
    ];
    if s.plan.is_some() {
        tools.push("Tape and straight pins to hold blocks while the glue sets.".to_owned());
    }
    tools
}
