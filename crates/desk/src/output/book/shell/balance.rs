//! Mass, centre of gravity, and the ballast that restores it.

use super::super::composer::{Align, Composer, Table};
use super::super::{Subject, facts, mm};
use super::{ShellSubject, ranged};
use crate::shell::mass::{PlugMass, Weighing};
use project::laminate::Span;
use shell::balance::{Balance, Ballast};
use shell::mass::Part;

pub(super) fn set(c: &mut Composer, s: &Subject<'_>, shell: &ShellSubject) {
    c.chapter("Mass and balance");
    c.text(
        "Reckoned before anything is built, so every number has its range: bounds within which it comes out as long as what was entered holds. \
         Weigh the parts as they are made and write it beside.",
    );
    let weighing = &shell.weighing;
    parts(c, weighing);
    against(c, weighing);
    if let Some(balance) = &weighing.balance {
        aircraft(c, s, balance);
    }
    if let Some(plug) = &weighing.plug {
        plug_facts(c, plug);
    }
    if !weighing.missing.is_empty() {
        c.heading("Not weighed yet");
        c.list(weighing.missing.iter().map(|m| ("–", format!("{}. {}", m.what, m.hint))));
    }
}

/// A place, with how far it may be off where that is more than half a millimetre.
fn place(span: Span) -> String {
    if span.high - span.low > 0.5 { ranged(span, 1) } else { mm(span.likely) }
}

fn row(table: &mut Table, name: &str, mass: Span, centre: &[Span; 3]) {
    let [x, y, z] = centre.map(place);
    table.row([name.to_owned(), ranged(mass, 1), x, y, z, String::new()]);
}

fn parts(c: &mut Composer, weighing: &Weighing) {
    let right = Align::Right;
    let mut table = Table::new(&[
        ("Part", Align::Left),
        ("Mass g", right),
        ("Station mm", right),
        ("To starboard mm", right),
        ("Height mm", right),
        ("Weighed g", right),
    ]);
    let each = |table: &mut Table, part: &Part| row(table, &capital(&part.name), part.mass, &part.centre);
    weighing.parts.iter().for_each(|line| each(&mut table, &line.part));
    if let Some(whole) = &weighing.whole {
        row(&mut table, "All that comes on", whole.mass, &whole.centre);
    }
    c.table(&table);
    if let Some(whole) = &weighing.whole {
        // g mm² to kg cm² would hide small shells; g m² are 1e-6 of them.
        let moment = |span: Span| format!("{} kg mm²", ranged(span.times(1e-3), 0));
        let [x, y, z] = whole.inertia.map(moment);
        c.text(&format!(
            "Moments of inertia about its own centre: {x} about the axis along the body, {y} across, {z} upright."
        ));
    }
}

fn against(c: &mut Composer, weighing: &Weighing) {
    let (Some(whole), Some(replaced)) = (&weighing.whole, &weighing.replaced) else { return };
    c.heading("Against the part that it replaces");
    let old = replaced.part.mass;
    let more = Span {
        low: whole.mass.low - old.high,
        likely: whole.mass.likely - old.likely,
        high: whole.mass.high - old.low,
    };
    c.table(&facts([
        (
            capital(&replaced.part.name),
            format!("{} g at station {} mm", ranged(old, 0), place(replaced.part.centre[0])),
        ),
        (
            "All that comes on".to_owned(),
            format!("{} g at station {} mm", ranged(whole.mass, 0), place(whole.centre[0])),
        ),
        ("More, or less if negative".to_owned(), format!("{} g", ranged(more, 0))),
    ]));
}

fn aircraft(c: &mut Composer, s: &Subject<'_>, balance: &Balance) {
    c.heading("The aircraft before and after");
    let right = Align::Right;
    let mut table = Table::new(&[
        ("", Align::Left),
        ("Mass g", right),
        ("Centre of gravity, station mm", right),
        ("To starboard mm", right),
        ("Height mm", right),
    ]);
    for (name, mass, centre) in
        [("Before", balance.mass_before, balance.before), ("After, without ballast", balance.mass_after, balance.after)]
    {
        let [x, y, z] = centre.map(place);
        table.row([name.to_owned(), ranged(mass, 0), x, y, z]);
    }
    let [x, y, z] = balance.shift.map(|span| ranged(span, 1));
    table.row(["Shift".to_owned(), String::new(), x, y, z]);
    c.table(&table);
    c.loud(&ballast(s, balance));
    c.text("Weigh and balance the finished aircraft all the same: what flies is what the scales say, not this page.");
}

fn ballast(s: &Subject<'_>, balance: &Balance) -> String {
    let weights = &s.document.shell.weights;
    match &balance.ballast {
        Ballast::None => {
            format!("No ballast: the likely shift is within the {} mm that are allowed.", mm(weights.allowed))
        }
        Ballast::Add { place, station, grams } => {
            let name = weights.ballast.get(*place).map_or("ballast", |p| p.name.as_str());
            format!(
                "Ballast: {} g in \"{name}\" at station {} mm bring the centre of gravity to where it is wanted. Begin with the least and \
                 weigh again.",
                ranged(*grams, 0),
                mm(*station)
            )
        }
        Ballast::NoPlace { aft } => format!(
            "Ballast is needed {} the centre of gravity, and no place for it is named there.",
            if *aft { "behind" } else { "ahead of" }
        ),
    }
}

fn plug_facts(c: &mut Composer, plug: &PlugMass) {
    c.heading("The plug");
    let mut rows =
        vec![("Foam".to_owned(), format!("{:.2} litres, {} g", plug.foam_volume / 1e6, ranged(plug.foam, 0)))];
    if plug.planned {
        rows.push(("Card".to_owned(), format!("{} g", ranged(plug.card, 0))));
    } else {
        rows.push(("Card".to_owned(), "not known without a stack: the plug is taken to be all foam".into()));
    }
    c.table(&facts(rows));
}

fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}
