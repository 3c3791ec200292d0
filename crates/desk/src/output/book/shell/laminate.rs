//! Plies, the resin for them in pots, and what to buy.

use super::super::composer::{Align, Composer, Table};
use super::super::{Subject, count, facts, fine, mm};
use super::{ShellSubject, ranged};
use crate::shell::mass::OneShell;
use project::laminate::{Extent, LayUp};
use shell::laminate::Item;

pub(super) fn set(c: &mut Composer, s: &Subject<'_>, shell: &ShellSubject) {
    c.chapter("Plies and resin");
    c.text(
        "From the plug outward. A number stands for what is likely; the range that it may come out in stands in brackets. Two hands do not \
         lay up the same laminate, and thicknesses that are quoted for presses are seldom reached with a brush.",
    );
    for (one, name) in each_once(&shell.weighing.shells) {
        table(c, one, &name);
    }
    thickness(c, s, shell);
    how_got(c, s);
    pots(c, s, shell);
    let rolls = s.cloth.as_ref().map_or(&[][..], |plan| &plan.rolls);
    shopping(c, &shell.weighing.shopping_by_roll(&s.document.shell.laminate, rolls));
}

fn covers(extent: &Extent) -> String {
    match extent {
        Extent::Whole => "the whole shell".into(),
        Extent::Strip { from, to } => format!("all round from {} to {} mm", mm(*from), mm(*to)),
        Extent::Patches { places, size } => {
            format!(
                "{} of {:.0} × {:.0} mm",
                count(places.len(), "patch").replace("patchs", "patches"),
                size[0],
                size[1]
            )
        }
    }
}

/// Shells with what stands over them, nothing over a single one; two that are mirror images are told once.
fn each_once(shells: &[OneShell]) -> Vec<(&OneShell, String)> {
    let first = |k: usize| shells.iter().position(|one| one.form == shells[k].form) == Some(k);
    let name = |one: &OneShell| {
        let two = shells.iter().filter(|other| other.form == one.form).count() == 2;
        let plain = one.name.rsplit_once(", ").map_or(one.name.as_str(), |(name, _)| name);
        if two { format!("{plain}, each of the two") } else { one.name.clone() }
    };
    let titled = |one| (one, if shells.len() > 1 { name(one) } else { String::new() });
    (0..shells.len()).filter(|k| first(*k)).map(|k| titled(&shells[k])).collect()
}

fn table(c: &mut Composer, one: &OneShell, name: &str) {
    if !name.is_empty() {
        c.heading(name);
    }
    let right = Align::Right;
    let mut table = Table::new(&[
        ("Ply", right),
        ("Cloth", Align::Left),
        ("Warp", right),
        ("Covers", Align::Left),
        ("Fibre, share of volume", right),
        ("Thickness mm", right),
        ("Area m²", right),
        ("Cloth g", right),
        ("Resin g", right),
    ]);
    for row in &one.plies {
        let measured = if row.by_coupon { ", by coupon" } else { "" };
        table.row([
            (row.ply + 1).to_string(),
            format!("{}, {:.0} g/m²", row.fabric, row.areal_weight),
            format!("{:.0}°", row.warp_deg).replace('-', "−"),
            covers(&row.extent),
            format!("{}{measured}", ranged(row.fibre_volume, 2)),
            ranged(row.thickness, 2),
            format!("{:.3}", row.area / 1e6),
            ranged(row.cloth, 0),
            ranged(row.resin, 0),
        ]);
    }
    c.table(&table);
    let mut rows = vec![("Area between its ends".to_owned(), format!("{:.3} m²", one.area / 1e6))];
    if one.lap > 0.0 {
        rows.push(("Lap on the fuselage".to_owned(), format!("{:.3} m²", one.lap / 1e6)));
    }
    if one.cut_out > 0.0 {
        rows.push(("Openings cut out of it afterwards".to_owned(), format!("{:.4} m²", one.cut_out / 1e6)));
    }
    c.table(&facts(rows));
}

fn thickness(c: &mut Composer, s: &Subject<'_>, shell: &ShellSubject) {
    let Ok(over) = &shell.weighing.thickness else { return };
    c.heading("Thickness");
    let t = &over.schedule;
    let taken = if over.female_mould {
        "nothing: the shell is laid into a female mould".to_owned()
    } else if over.feeds {
        format!("{} mm: the plug follows the plies", fine(over.taken_off))
    } else {
        format!("{} mm, entered by hand", fine(over.taken_off))
    };
    c.table(&facts([
        ("Plies that cover the whole shell".to_owned(), format!("{} mm", ranged(t.laminate, 2))),
        ("Filler, after sanding".to_owned(), format!("{} mm", ranged(t.filler, 2))),
        ("Paint".to_owned(), format!("{} mm", ranged(t.paint, 2))),
        ("All of it".to_owned(), format!("{} mm", ranged(t.total(), 2))),
        ("Taken off the plug".to_owned(), taken),
    ]));
    let reinforced = s.document.shell.laminate.plies.iter().any(|ply| ply.extent != Extent::Whole);
    if reinforced {
        c.text("Strips and patches are not in it: lay them inside, once the shell is off its plug, or they show as a step outside.");
    }
}

fn how_got(c: &mut Composer, s: &Subject<'_>) {
    c.heading("How these numbers are got, and how to better them");
    let laminate = &s.document.shell.laminate;
    let span = laminate.lay_up.fibre_volume();
    let way = match laminate.lay_up {
        LayUp::Brush => "by brush or roller",
        LayUp::Squeegee => "with a squeegee",
        LayUp::Bag => "under a vacuum bag",
        LayUp::Infusion => "by infusion",
    };
    c.text(&format!(
        "A ply is as thick as its areal weight over the density of its fibre and the share of the volume that is fibre; resin fills the \
         rest. Laid up {way}, {} of the volume is taken to be fibre: makers' own hand lay-up thicknesses, plates measured in \
         laboratories, and tables that nobody reviewed span that range.",
        ranged(span, 2)
    ));
    c.text(
        "A coupon of your own is better than any table: on a waxed sheet of glass lay up four plies or more of the same cloth, 100 mm square, \
         in the same way and the same warmth. Once cured, trim its edges, measure it with a micrometer in five places, and enter the number \
         of plies and the thickness. Weigh it too: a coupon that is heavier than reckoned is wet, one that is lighter has voids.",
    );
}

fn pots(c: &mut Composer, s: &Subject<'_>, shell: &ShellSubject) {
    let resin = &s.document.shell.laminate.resin;
    c.heading("Resin, pot by pot");
    c.text(&format!(
        "{}, 100 parts to {} of hardener by weight, as entered: check it against the maker's sheet. {:.0} % more than is laid is mixed for \
         what stays in pots and brushes. A pot holds no more than {:.0} g, which stay cool, nor than can be laid in {:.0} minutes.",
        resin.name,
        trimmed(resin.hardener_per_100),
        100.0 * resin.waste,
        resin.largest_pot,
        resin.pot_life
    ));
    for (one, name) in each_once(&shell.weighing.shells) {
        if !name.is_empty() {
            c.lead(&name, 20.0);
        }
        let right = Align::Right;
        let mut table = Table::new(&[
            ("Pot", right),
            ("Resin g", right),
            ("Hardener g", right),
            ("Together g", right),
            ("Laid in, min", right),
            ("Plies", Align::Left),
            ("Mixed at", Align::Left),
        ]);
        for (k, pot) in one.pots.pots.iter().enumerate() {
            let (from, to) = (pot.plies.0 + 1, pot.plies.1 + 1);
            table.row([
                (k + 1).to_string(),
                format!("{:.1}", pot.resin),
                format!("{:.1}", pot.hardener),
                format!("{:.1}", pot.mixed()),
                format!("{:.0}", pot.minutes),
                if from == to { from.to_string() } else { format!("{from} to {to}") },
                String::new(),
            ]);
        }
        c.table(&table);
        c.text(&format!("Mixed in all: {} g; have the greater amount at hand.", ranged(one.pots.mixed, 0)));
    }
    c.loud(
        "Resin heats itself as it cures, the more the more of it stands together. Never mix more than a pot at a time, pour it into a flat \
         tray at once, and set a pot that grows warm or smokes outdoors on stone, away from everything. Gloves, eye protection and fresh \
         air from mixing until it has cured.",
    );
}

fn trimmed(value: f64) -> String {
    let text = format!("{value:.1}");
    text.trim_end_matches(".0").to_owned()
}

fn shopping(c: &mut Composer, items: &[Item]) {
    if items.is_empty() {
        return;
    }
    c.heading("To buy");
    let mut table =
        Table::new(&[("What", Align::Left), ("Likely", Align::Right), ("Buy", Align::Right), ("", Align::Left)]);
    for item in items {
        let number = |v: f64| match item.unit {
            "g" => format!("{:.0}", v.ceil()),
            "m²" => format!("{v:.2}"),
            "m" => format!("{v:.2}"),
            _ => format!("{v:.0}"),
        };
        table.row([item.what.clone(), number(item.amount.likely), number(item.amount.high), item.unit.to_owned()]);
    }
    c.table(&table);
    c.text("Besides: release for the plug, brushes or rollers, flat trays, scales that show a tenth of a gram, gloves, and offcuts for coupons.");
}
