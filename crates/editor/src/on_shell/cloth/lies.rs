//! A ply as it lies, made ready to be drawn and told.

use crate::on_shell::heat::scale::Scale;
use crate::on_shell::heat::{HeatMap, Patch, normal_of};
use desk::shell::cloth::{HeatCell, Level, PlaceOnForm, PlyToLay, heat};
use form::space::Vector;
use shell::cloth::{Cut, Judgement, Mended};
use std::collections::HashMap;
use std::sync::Arc;

/// Every so many yarns are drawn.
const EVERY: i32 = 4;

/// A ply that lies on the form.
#[derive(Debug)]
pub(crate) struct Lies {
    pub(crate) judgement: Judgement,
    pub(crate) scale: Scale,
    pub(crate) heat: Arc<HeatMap>,
    /// The cells flat, with their shear, degrees.
    pub(crate) flat: Vec<([[f64; 2]; 4], Option<f64>)>,
    /// Its slits on the form, from the tip to the edge.
    pub(crate) slits: Vec<Vec<Vector>>,
}

impl Lies {
    /// Of a ply's cloth.
    pub(crate) fn new(cloth: &Mended, ply: &PlyToLay) -> Self {
        let locking_deg = ply.fabric.locking_deg;
        let cells = heat(cloth, locking_deg);
        Self {
            judgement: cloth.judgement.clone(),
            scale: Scale::Shear { locking_deg },
            flat: cells.iter().map(|cell| (cell.flat, cell.on_part.then_some(cell.shear_deg))).collect(),
            heat: Arc::new(HeatMap::new(patches(&cells))),
            slits: cloth.cuts.iter().map(|cut| on_form(cloth, cut)).collect(),
        }
    }

    /// The place of the greatest shear.
    pub(crate) fn greatest(&self) -> PlaceOnForm {
        PlaceOnForm::of(self.judgement.greatest_at)
    }
}

/// Cells with the mean shear at every crossing of yarns, by size; crossings at both edges of a slit stay apart.
fn patches(cells: &[HeatCell]) -> Vec<Patch> {
    let key = |p: Vector| p.map(|c| (c * 1e3).round() as i64);
    let mut around: HashMap<[i64; 3], (f64, f64)> = HashMap::new();
    for cell in cells {
        for corner in cell.corners {
            let (sum, count) = around.entry(key(corner)).or_default();
            *sum += cell.shear_deg.abs();
            *count += 1.0;
        }
    }
    let mean = |p: Vector| around.get(&key(p)).map_or(0.0, |(sum, count)| sum / count);
    let patch = |cell: &HeatCell| Patch {
        corners: cell.corners,
        values: cell.corners.map(mean),
        value: cell.shear_deg.abs(),
        beyond: cell.level == Level::Locked,
        hatched: (cell.number[0] - cell.number[1]).rem_euclid(2) == 0,
        faint: !cell.on_part,
        lines: [cell.number[1].rem_euclid(EVERY) == 0, false, false, cell.number[0].rem_euclid(EVERY) == 0],
        normal: normal_of(&cell.corners),
    };
    cells.iter().map(patch).collect()
}

/// The edge of a slit that stays where it is, node by node.
fn on_form(cloth: &Mended, cut: &Cut) -> Vec<Vector> {
    let node = |n: i32| {
        let whole = [0, 1].map(|k| cut.tip[k] + n * cut.way[k]);
        cloth.pieces.iter().find_map(|piece| {
            let own = [0, 1].map(|k| whole[k] - piece.offset[k]);
            piece.net.node(own).filter(|_| piece.covers(own)).map(|node| node.p)
        })
    };
    let cell = cloth.pieces.first().map_or(1.0, |piece| piece.net.cell());
    (0..=(cut.length / cell).round() as i32).map_while(node).collect()
}
