//! `plugwright mass`.

use super::{open, say};
use crate::arguments::Mass;
use crate::failure::Failure;
use desk::Reckoned;
use desk::shell::Source;
use desk::shell::cloth::{ClothPlan, RollPlan};
use desk::shell::mass::{Line, LineKind, OneShell, PlyRow, Weighing};
use project::document::Document;
use project::laminate::{Extent, Span};
use serde_json::{Value, json};
use shell::balance::{Balance, Ballast};
use shell::laminate::Item;
use shell::mass::MassProperties;
use std::process::ExitCode;
use std::sync::Arc;

pub(crate) fn run(arguments: &Mass) -> Result<ExitCode, Failure> {
    let document = open(&arguments.project)?;
    let source = Source::anew(&document);
    let known = Reckoned::default();
    let planned = known.planned(&document, source.lofted())?;
    // Nobody gives it up, so there is an answer.
    let Some(weighing) = known.weighing(&source, planned.as_deref(), &mut |_| true)? else {
        return Ok(ExitCode::SUCCESS);
    };
    let cloth = patterns(&source, &known);
    let rolls = cloth.as_ref().map_or(&[][..], |plan| &plan.rolls);
    if arguments.json {
        say(&report(&weighing, &document, rolls).to_string());
    } else {
        in_words(&weighing, &document, rolls);
    }
    Ok(ExitCode::SUCCESS)
}

/// The patterns of the first form's cloth, where its laminate has a ply to be cut by one; why there are none is told by `cloth`.
fn patterns(source: &Source, known: &Reckoned) -> Option<Arc<ClothPlan>> {
    let plan = known.cloth(source.document(), 0, source.lofted().first()?, &mut |_| true).ok()??;
    (!plan.assumed).then_some(plan)
}

/// What to buy by the length that comes off the roll, beside the areas: only those items that the patterns tell.
fn by_roll(weighing: &Weighing, document: &Document, rolls: &[RollPlan]) -> Vec<Item> {
    let all = weighing.shopping_by_roll(&document.shell.laminate, rolls);
    all.into_iter().filter(|item| item.unit == "m").collect()
}

fn span(s: Span) -> Value {
    json!({ "low": s.low, "likely": s.likely, "high": s.high })
}

fn spans(all: [Span; 3]) -> Value {
    json!(all.map(span))
}

fn report(weighing: &Weighing, document: &Document, rolls: &[RollPlan]) -> Value {
    let item = |item: &Item| json!({ "what": item.what, "amount": span(item.amount), "unit": item.unit });
    let thickness = weighing.thickness.as_ref().ok().map(|over| {
        json!({
            "laminate_mm": span(over.schedule.laminate), "filler_mm": span(over.schedule.filler),
            "paint_mm": span(over.schedule.paint), "total_mm": span(over.schedule.total()),
            "taken_off_mm": over.taken_off, "feeds_plug": over.feeds, "female_mould": over.female_mould,
        })
    });
    json!({
        "thickness": thickness,
        "shells": weighing.shells.iter().map(one_shell).collect::<Vec<_>>(),
        "shopping": weighing.shopping.iter().map(item).collect::<Vec<_>>(),
        "cloth_off_the_roll": by_roll(weighing, document, rolls).iter().map(item).collect::<Vec<_>>(),
        "parts": weighing.parts.iter().map(line).collect::<Vec<_>>(),
        "whole": weighing.whole.as_ref().map(whole),
        "replaced": weighing.replaced.as_ref().map(line),
        "balance": weighing.balance.as_ref().map(|it| balance(it, document)),
        "plug": weighing.plug.map(|plug| json!({
            "foam_volume_mm3": plug.foam_volume, "foam_g": span(plug.foam), "card_g": span(plug.card), "planned": plug.planned,
        })),
        "not_weighed_yet": weighing.missing.iter().map(|m| json!({ "what": m.what, "hint": m.hint })).collect::<Vec<_>>(),
    })
}

fn one_shell(shell: &OneShell) -> Value {
    json!({
        "name": shell.name, "form": shell.form + 1, "area_mm2": shell.area, "cut_out_mm2": shell.cut_out,
        "lap_mm2": shell.lap, "plies": shell.plies.iter().map(ply).collect::<Vec<_>>(), "mass": whole(&shell.mass),
        "resin_mixed_g": span(shell.pots.mixed),
        "pots": shell.pots.pots.iter().map(|pot| json!({
            "from_ply": pot.plies.0 + 1, "to_ply": pot.plies.1 + 1, "resin_g": pot.resin, "hardener_g": pot.hardener,
            "minutes": pot.minutes,
        })).collect::<Vec<_>>(),
    })
}

fn ply(row: &PlyRow) -> Value {
    let extent = match &row.extent {
        Extent::Whole => json!("whole"),
        Extent::Strip { from, to } => json!({ "strip_mm": [from, to] }),
        Extent::Patches { places, size } => json!({ "patches_mm": places, "size_mm": size }),
    };
    json!({
        "ply": row.ply + 1, "cloth": row.fabric, "areal_weight_g_m2": row.areal_weight, "warp_deg": row.warp_deg,
        "extent": extent, "crowding": span(row.crowding), "by_coupon": row.by_coupon, "fibre_volume": span(row.fibre_volume),
        "thickness_mm": span(row.thickness), "area_mm2": row.area, "cloth_g": span(row.cloth), "resin_g": span(row.resin),
        "mass_g": span(row.mass),
    })
}

fn line(line: &Line) -> Value {
    json!({
        "kind": kind(line.kind), "name": line.part.name, "mass_g": span(line.part.mass),
        "centre_mm": spans(line.part.centre),
    })
}

fn kind(kind: LineKind) -> &'static str {
    match kind {
        LineKind::Shell => "shell",
        LineKind::Added => "added form",
        LineKind::Ring => "ring",
        LineKind::Duct => "duct",
        LineKind::Screws => "screws",
        LineKind::Other => "other part",
    }
}

fn whole(it: &MassProperties) -> Value {
    json!({
        "mass_g": span(it.mass), "centre_mm": spans(it.centre), "inertia_g_mm2": spans(it.inertia),
        "products_g_mm2": it.products,
    })
}

fn balance(it: &Balance, document: &Document) -> Value {
    let ballast = match &it.ballast {
        Ballast::None => json!({ "needed": false }),
        Ballast::Add { place, station, grams } => json!({
            "needed": true, "place": document.shell.weights.ballast.get(*place).map(|p| &p.name), "station_mm": station,
            "mass_g": span(*grams),
        }),
        Ballast::NoPlace { aft } => json!({ "needed": true, "place": null, "must_lie_aft": aft }),
    };
    json!({
        "mass_before_g": span(it.mass_before), "mass_after_g": span(it.mass_after), "before_mm": spans(it.before),
        "after_mm": spans(it.after), "shift_mm": spans(it.shift), "ballast": ballast,
    })
}

fn in_words(weighing: &Weighing, document: &Document, rolls: &[RollPlan]) {
    if let Ok(over) = &weighing.thickness {
        let t = &over.schedule;
        say(&format!(
            "thickness {} mm: laminate {:.3}, filler {:.3}, paint {:.3}; taken off the plug {:.3} mm",
            ranged(t.total(), 3),
            t.laminate.likely,
            t.filler.likely,
            t.paint.likely,
            over.taken_off
        ));
    }
    weighing.shells.iter().for_each(shell_in_words);
    parts_in_words(weighing);
    if let Some(it) = &weighing.balance {
        balance_in_words(it, document);
    }
    if let Some(plug) = &weighing.plug {
        let from = if plug.planned { "by the plan" } else { "taken to be all foam" };
        let card = if plug.card.high > 0.0 { format!(", card {} g", ranged(plug.card, 0)) } else { String::new() };
        say(&format!("plug, {from}: foam {:.2} l, {} g{card}", plug.foam_volume * 1e-6, ranged(plug.foam, 0)));
    }
    if !weighing.shopping.is_empty() {
        say("");
    }
    for item in &weighing.shopping {
        say(&format!(
            "to buy: {}, {} {}",
            item.what,
            ranged(item.amount, if item.unit == "g" { 0 } else { 2 }),
            item.unit
        ));
    }
    for item in by_roll(weighing, document, rolls) {
        say(&format!("of which the patterns take: {}, {} {}", item.what, ranged(item.amount, 2), item.unit));
    }
    for m in &weighing.missing {
        say(&format!("not weighed yet: {}. {}", m.what, m.hint));
    }
}

fn shell_in_words(shell: &OneShell) {
    say("");
    say(&format!(
        "{}: {} m2, openings {} m2, lap {} m2",
        shell.name,
        metres(shell.area),
        metres(shell.cut_out),
        metres(shell.lap)
    ));
    for row in &shell.plies {
        let extent = match &row.extent {
            Extent::Whole => "whole".to_owned(),
            Extent::Strip { from, to } => format!("strip {from:.0} to {to:.0} mm"),
            Extent::Patches { places, .. } => format!("{} patches", places.len()),
        };
        say(&format!(
            "ply {:<2} {}, {:.0} g/m2 at {:.0} degrees, {extent}: fibre {} of volume, {} mm, {:.4} m2, crowded {} times, cloth {} g, resin {} g",
            row.ply + 1,
            row.fabric,
            row.areal_weight,
            row.warp_deg,
            ranged(row.fibre_volume, 2),
            ranged(row.thickness, 3),
            row.area * 1e-6,
            ranged(row.crowding, 3),
            ranged(row.cloth, 1),
            ranged(row.resin, 1)
        ));
    }
    for (k, pot) in shell.pots.pots.iter().enumerate() {
        say(&format!(
            "pot {:<2} resin {:.1} g, hardener {:.1} g, laid in {:.0} min, {}",
            k + 1,
            pot.resin,
            pot.hardener,
            pot.minutes,
            plies(shell, pot.plies)
        ));
    }
}

/// Which plies a pot serves: "ply 1", "plies 1 to 3".
fn plies(shell: &OneShell, (first, last): (usize, usize)) -> String {
    let number = |index: usize| shell.plies.get(index).map_or(index, |row| row.ply) + 1;
    match (number(first), number(last)) {
        (one, other) if one == other => format!("ply {one}"),
        (one, other) => format!("plies {one} to {other}"),
    }
}

/// Square metres; a zero has no sign, whatever summing left of it.
fn metres(square_mm: f64) -> String {
    format!("{:.4}", square_mm * 1e-6 + 0.0)
}

fn parts_in_words(weighing: &Weighing) {
    if weighing.parts.is_empty() {
        return;
    }
    say("");
    for line in &weighing.parts {
        say(&format!("{:<40} {} g, {}", line.part.name, ranged(line.part.mass, 1), at(&line.part.centre)));
    }
    if let Some(it) = &weighing.whole {
        say(&format!("{:<40} {} g, {}", "together", ranged(it.mass, 1), at(&it.centre)));
    }
    if let Some(line) = &weighing.replaced {
        say(&format!(
            "{:<40} {} g, {}",
            format!("in place of {}", line.part.name),
            ranged(line.part.mass, 1),
            at(&line.part.centre)
        ));
    }
}

fn balance_in_words(it: &Balance, document: &Document) {
    say("");
    say(&format!(
        "aircraft before  {} g, centre of gravity at {} mm",
        ranged(it.mass_before, 0),
        ranged(it.before[0], 1)
    ));
    say(&format!(
        "aircraft after   {} g, centre of gravity at {} mm",
        ranged(it.mass_after, 0),
        ranged(it.after[0], 1)
    ));
    say(&format!("shift            {} mm", ranged(it.shift[0], 1)));
    match &it.ballast {
        Ballast::None => say("no ballast needed"),
        Ballast::Add { place, station, grams } => {
            let name = document.shell.weights.ballast.get(*place).map_or("", |p| p.name.as_str());
            say(&format!("ballast          {} g in \"{name}\" at {station:.0} mm", ranged(*grams, 0)));
        }
        Ballast::NoPlace { aft } => {
            let side = if *aft { "aft of" } else { "ahead of" };
            say(&format!("ballast is needed {side} the centre of gravity, but no place for it is named there"));
        }
    }
}

fn at(centre: &[Span; 3]) -> String {
    format!("at x {} y {} z {} mm", ranged(centre[0], 1), ranged(centre[1], 1), ranged(centre[2], 1))
}

/// "12.3 (10.1 to 15.0)", without a range where there is none.
fn ranged(s: Span, digits: usize) -> String {
    let number = |v: f64| {
        let text = format!("{v:.digits$}");
        if text.trim_matches(['-', '0', '.']).is_empty() { format!("{:.digits$}", 0.0) } else { text }
    };
    let [low, likely, high] = s.ends().map(number);
    if low == high { likely } else { format!("{likely} ({low} to {high})") }
}
