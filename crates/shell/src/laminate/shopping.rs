//! What to buy for a laminate.

use super::Span;
use super::pots::Pots;
use super::{Extent, LaminateError, LayUp, PlyMass, Schedule};

/// A line of the shopping list.
#[derive(Clone, Debug, PartialEq)]
pub struct Item {
    /// What.
    pub what: String,
    /// How much; buy the high value.
    pub amount: Span,
    /// Unit of the amount.
    pub unit: &'static str,
}

/// Cloth, resin, hardener, filler, paint and what is thrown away afterwards. `cut` is the cloth that is cut for every ply as a share
/// of the area that it covers (trim allowance, overlaps, and what falls beside the pattern), not below 1.
///
/// # Errors
/// The schedule or the share is out of its range.
pub fn shopping(schedule: &Schedule, plies: &[PlyMass], pots: &Pots, cut: Span) -> Result<Vec<Item>, LaminateError> {
    schedule.check()?;
    if !cut.is_at_least(1.0) {
        return Err(LaminateError::Cut { share: cut.low });
    }
    let mut items = cloth(schedule, plies, cut);
    let resin = &schedule.resin;
    let (a, b) = (resin.parts(1.0).0, resin.parts(1.0).1);
    items.push(Item { what: format!("{}, resin", resin.name), amount: pots.mixed.times(a), unit: "g" });
    items.push(Item { what: format!("{}, hardener", resin.name), amount: pots.mixed.times(b), unit: "g" });
    let whole = whole_area(schedule, plies);
    for (what, film) in [("Filler", &schedule.filler), ("Paint, dry", &schedule.paint)] {
        if film.areal_mass.high > 0.0 {
            items.push(Item { what: what.into(), amount: film.areal_mass.times(1e-6 * whole), unit: "g" });
        }
    }
    items.extend(consumables(schedule.lay_up, whole, cut));
    Ok(items)
}

/// Area of the plies that cover the whole shell, mm².
fn whole_area(schedule: &Schedule, plies: &[PlyMass]) -> f64 {
    let whole = schedule.plies.iter().zip(plies).filter(|(ply, _)| ply.extent == Extent::Whole);
    whole.map(|(_, mass)| mass.area).fold(0.0, f64::max)
}

fn cloth(schedule: &Schedule, plies: &[PlyMass], cut: Span) -> Vec<Item> {
    let mut items: Vec<Item> = Vec::new();
    for (ply, mass) in schedule.plies.iter().zip(plies) {
        let what = format!("{}, {} g/m²", ply.fabric.name, ply.fabric.areal_weight);
        let amount = cut.times(1e-6 * mass.area * ply.crowding);
        match items.iter_mut().find(|item| item.what == what) {
            Some(item) => item.amount = item.amount.plus(amount),
            None => items.push(Item { what, amount, unit: "m²" }),
        }
    }
    items
}

fn consumables(lay_up: LayUp, area: f64, cut: Span) -> Vec<Item> {
    let names: &[&str] = match lay_up {
        LayUp::Brush | LayUp::Squeegee => &["Peel ply, if used"],
        LayUp::Bag => &["Peel ply", "Perforated film", "Breather", "Bagging film"],
        LayUp::Infusion => &["Peel ply", "Flow mesh", "Bagging film"],
    };
    let item = |what: &&str| Item { what: (*what).into(), amount: cut.times(1e-6 * area), unit: "m²" };
    names.iter().map(item).collect()
}
