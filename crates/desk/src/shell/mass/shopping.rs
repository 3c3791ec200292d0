//! What to buy for all shells together.

use super::{Missing, OneShell};
use project::document::Document;
use project::laminate::Span;
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
            cloth: sum.cloth + row.cloth,
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
