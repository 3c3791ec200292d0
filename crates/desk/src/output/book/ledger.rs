//! The ledger: every layer of the stack with its stations and the running sum.

use super::composer::{Align, Composer, Table};
use super::{Subject, facts, fine};
use plug::{Layer, LayerKind, Plan};
use project::build::Closing;

pub(super) fn set(c: &mut Composer, s: &Subject<'_>, plan: &Plan) {
    c.chapter("The stack");
    c.text(
        "From the front aft, as it lies when it is glued. Sand or choose every layer to the thickness in the stack: the sum must come \
         out, or the plug does not meet the fuselage.",
    );
    let mut table = Table::new(&[
        ("Layer", Align::Left),
        ("Measured mm", Align::Right),
        ("In the stack mm", Align::Right),
        ("Front at mm", Align::Right),
        ("Rear at mm", Align::Right),
        ("Sum mm", Align::Right),
    ]);
    for layer in &plan.ledger.layers {
        table.row([
            name(layer),
            fine(layer.measured),
            fine(layer.thickness),
            fine(layer.front),
            fine(layer.rear),
            fine(layer.sum),
        ]);
    }
    c.table(&table);
    c.table(&facts(closing(s, plan)));
    super::spacing::set(c, s);
}

/// What a layer is called.
fn name(layer: &Layer) -> String {
    let changed = if (layer.thickness - layer.measured).abs() > 0.005 { " (to be made so)" } else { "" };
    let plain = match layer.kind {
        LayerKind::RingPlate => "Ring plate".to_owned(),
        LayerKind::NoseFoam => "Nose foam".to_owned(),
        LayerKind::Card(n) => format!("Card {n}"),
        LayerKind::Board(n) => format!("Board {n}"),
    };
    format!("{plain}{changed}")
}

fn closing(s: &Subject<'_>, plan: &Plan) -> Vec<(String, String)> {
    let ledger = &plan.ledger;
    let how = match s.document.build.stack.closing {
        Closing::LastBoard => "the last board takes up the difference",
        Closing::MoveDatum => "the first face is moved",
        Closing::Spread => "all boards share the difference",
    };
    let off = if ledger.difference < 0.0 { "too long by" } else { "too short by" };
    vec![
        ("Front of the stack".to_owned(), format!("{} mm", fine(ledger.front))),
        ("Where it has to end".to_owned(), format!("{} mm", fine(ledger.end))),
        (
            "Glue".to_owned(),
            format!(
                "{} joints of {} mm: {} mm",
                ledger.joints(),
                fine(ledger.glue),
                fine(ledger.glue * ledger.joints() as f64)
            ),
        ),
        ("As measured, glue and all".to_owned(), format!("{} mm", fine(ledger.measured_length))),
        (format!("As measured {off}"), format!("{} mm: {how}", fine(ledger.difference.abs()))),
    ]
}
