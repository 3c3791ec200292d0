//! What to buy for all shells together.

use super::{Missing, OneShell, Weighing};
use crate::shell::cloth::RollPlan;
use project::document::Document;
use project::laminate::{Extent, Fabric, Schedule, Span};
use shell::laminate::{Item, PlyMass, Pots, shopping as shopping_of};

/// Cloth that is cut, as a share of the area covered, until it has been laid out on the roll: trim, overlaps and what falls beside the
/// pattern (common practice, no source).
const CUT: [f64; 3] = [1.15, 1.4, 1.8];

pub(super) fn shopping(document: &Document, shells: &[OneShell], missing: &mut Vec<Missing>) -> Vec<Item> {
    if shells.is_empty() {
        return Vec::new();
    }
    let schedule = &document.shell.laminate;
    let of_ply = |ply: usize| {
        let rows = shells.iter().flat_map(|shell| &shell.plies).filter(|row| row.ply == ply);
        rows.fold(PlyMass { area: 0.0, cloth: 0.0, resin: Span::default() }, |sum, row| PlyMass {
            area: sum.area + row.area,
            cloth: sum.cloth + row.cloth.likely,
            resin: sum.resin.plus(row.resin),
        })
    };
    let plies: Vec<PlyMass> = (0..schedule.plies.len()).map(of_ply).collect();
    let mixed = shells.iter().map(|shell| shell.pots.mixed).sum();
    let pots = Pots { pots: Vec::new(), mixed, bounded_by_life: false };
    let [low, likely, high] = CUT;
    match shopping_of(schedule, &plies, &pots, Span { low, likely, high }) {
        Ok(items) => items,
        Err(why) => {
            missing.push(Missing::new("The shopping list", format!("{}.", super::sentence(&why.to_string()))));
            Vec::new()
        }
    }
}

impl Weighing {
    /// What to buy, cloth of the first form's whole plies by the length that comes off the roll, as the plan of the cloth lays its
    /// patterns; what else is cut of that cloth, for strips, patches and added forms, by its area. Cloth whose patterns do not all fit
    /// between the selvedges stays by area.
    pub fn shopping_by_roll(&self, schedule: &Schedule, rolls: &[RollPlan]) -> Vec<Item> {
        let fits =
            |item: &&Item| rolls.iter().find(|roll| roll.too_wide.is_empty() && cloth_name(&roll.fabric) == item.what);
        let mut out = Vec::new();
        for item in &self.shopping {
            let Some(roll) = fits(&item).filter(|roll| roll.length > 0.0) else {
                out.push(item.clone());
                continue;
            };
            let metres = 1e-3 * roll.length;
            let what = format!("{}, off a roll {:.0} mm wide", item.what, roll.fabric.roll_width);
            out.push(Item { what, amount: Span::new(metres, metres, SPARE * metres), unit: "m" });
            let rest = self.besides(schedule, &item.what);
            if rest > 0.0 {
                let what = format!("{}, for strips, patches and added forms", item.what);
                let [low, likely, high] = CUT.map(|share| 1e-6 * share * rest);
                out.push(Item { what, amount: Span { low, likely, high }, unit: "m²" });
            }
        }
        out
    }

    /// Cloth of a name that is not among the patterns of the first form's whole plies, mm².
    fn besides(&self, schedule: &Schedule, what: &str) -> f64 {
        let rows = self.shells.iter().flat_map(|shell| shell.plies.iter().map(move |row| (shell.form, row)));
        let own = rows.filter(|(form, row)| *form > 0 || row.extent != Extent::Whole);
        let of = own.filter(|(_, row)| schedule.plies.get(row.ply).is_some_and(|ply| cloth_name(&ply.fabric) == what));
        of.map(|(_, row)| row.area * row.crowding.likely).fold(0.0, std::ops::Add::add)
    }
}

/// Cut so much more than the patterns take, for a crooked end (common practice, no source).
const SPARE: f64 = 1.1;

/// A cloth as the shopping list names it.
fn cloth_name(fabric: &Fabric) -> String {
    format!("{}, {} g/m²", fabric.name, fabric.areal_weight)
}
