//! The best place to begin and the best way to turn the cloth, by search.
//!
//! Starts stand on the centre plane, on the crown and on the keel, over the length of the form, and at closed ends; of a half of a form
//! in its middle and beside that. The warp turns from fore and aft to athwart. All are tried with large cells, then the surroundings of the best ones, closer and closer; at the end
//! the best ones with the cells that were asked for.

use super::judge::judge;
use super::slits::{Mended, mend};
use super::{Cloth, Judgement};
use crate::drape::{At, Net, Outside, Seam, Start};
use crate::release::Parting;

/// A way of laying the cloth, and what comes of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Found {
    /// Where it begins.
    pub at: At,
    /// Angle of the warp from the way forward, degrees.
    pub angle_deg: f64,
    /// Where its edges meet, if it goes round.
    pub seam: Option<Seam>,
    /// What the net says.
    pub judgement: Judgement,
}

impl Found {
    /// The start of its net.
    pub fn start(&self, outside: &Outside) -> Start {
        outside.start(self.at, self.angle_deg)
    }

    /// The outside with its seam.
    pub fn seamed(&self, outside: &Outside) -> Outside {
        outside.clone().with_seam(self.seam)
    }

    /// What counts against it: first the share that folds or is missed, then the greatest shear, and a little its mean.
    fn cost(&self) -> f64 {
        let j = &self.judgement;
        let all = (j.covered + j.missed).max(f64::MIN_POSITIVE);
        1e3 * (j.locked + j.missed) / all + j.greatest_deg.abs() + 0.2 * j.rms_deg
    }
}

const STATIONS: u32 = 14;
/// Of a balanced weave: at 90 degrees it lies as at 0.
const ANGLES: u32 = 8;
/// How many of the best are looked at more closely.
const KEPT: usize = 4;
/// Rounds of looking closer, each at half the distances.
const ROUNDS: u32 = 3;
/// Cells of the search, as a multiple of those asked for, or of those that follow the form if these are smaller.
const COARSE: f64 = 2.5;
/// Ways that differ by less are one: as a share of the form's length, and in degrees.
const ALIKE: (f64, f64) = (0.02, 5.0);

/// The best few ways of laying one piece, the best first, each with the cell asked for; `None` if `go_on`, which is told the share
/// that is done, says so.
pub fn search(
    outside: &Outside,
    cloth: &Cloth,
    cell: f64,
    overlap: f64,
    go_on: &mut dyn FnMut(f64) -> bool,
) -> Option<Vec<Found>> {
    let starts = starts(outside);
    let total = starts.len() as f64 * f64::from(ANGLES) + KEPT as f64 * (8.0 * f64::from(ROUNDS) + 4.0);
    let coarse = COARSE * cell.min(outside.fitting_cell()).max(cell / COARSE);
    let part_area = outside.part_area();
    let mut done = 0.0;
    let mut all = Vec::new();
    let mut tried = |at: At, angle_deg: f64, cell: f64, cost: f64| {
        done += cost;
        go_on((done / total).min(1.0)).then(|| lay(outside, cloth, [part_area, cell, overlap], at, angle_deg))
    };
    for at in starts {
        for k in 0..ANGLES {
            all.extend(tried(at, 90.0 * f64::from(k) / f64::from(ANGLES), coarse, 1.0)?);
        }
    }
    let [low, high] = outside.ends();
    let mut by = [0.5 * (high - low) / f64::from(STATIONS), 0.5 * 90.0 / f64::from(ANGLES)];
    for _ in 0..ROUNDS {
        sort(&mut all);
        for best in all.clone().into_iter().take(KEPT) {
            for k in (0..9).filter(|k| *k != 4) {
                let s = best.at[0] + by[0] * f64::from(k % 3 - 1);
                let angle = best.angle_deg + by[1] * f64::from(k / 3 - 1);
                if s > low && s < high {
                    all.extend(tried([s, best.at[1]], angle, coarse, 1.0)?);
                }
            }
        }
        by = by.map(|b| 0.5 * b);
    }
    sort(&mut all);
    let mut fine = Vec::new();
    for best in distinct(all, high - low) {
        fine.extend(tried(best.at, best.angle_deg, cell, 4.0)?);
    }
    sort(&mut fine);
    Some(fine)
}

/// The best few that differ.
fn distinct(all: Vec<Found>, long: f64) -> Vec<Found> {
    let mut kept: Vec<Found> = Vec::new();
    for way in all {
        let turned = |other: &Found| {
            let by = (way.angle_deg - other.angle_deg).rem_euclid(90.0);
            by.min(90.0 - by)
        };
        let alike = |other: &Found| {
            way.at[1] == other.at[1] && (way.at[0] - other.at[0]).abs() < ALIKE.0 * long && turned(other) < ALIKE.1
        };
        if !kept.iter().any(alike) {
            kept.push(way);
        }
        if kept.len() == KEPT {
            break;
        }
    }
    kept
}

fn sort(all: &mut [Found]) {
    all.sort_by(|a, b| a.cost().total_cmp(&b.cost()));
}

/// Starts on crown and keel, and beside closed ends; for a half those in its middle.
fn starts(outside: &Outside) -> Vec<At> {
    let [low, high] = outside.ends();
    let along = (1..STATIONS).map(|k| low + (high - low) * f64::from(k) / f64::from(STATIONS));
    if let Some(half) = outside.portion() {
        let [s, v] = outside.natural_start();
        let beside = match half.parting {
            Parting::CentrePlane => vec![v, v - 0.3 * outside.keel() / 2.0, v + 0.3 * outside.keel() / 2.0],
            Parting::Breadth => vec![v],
            Parting::Across(_) => return vec![[s, v]],
        };
        return along.flat_map(|s| beside.iter().map(move |v| [s, *v])).collect();
    }
    let mut out: Vec<At> = along.flat_map(|s| [[s, 0.0], [s, outside.keel()]]).collect();
    let beside = [[low + 1e-6, 0.0], [high - 1e-6, 0.0]];
    out.extend(beside.into_iter().filter(|at| outside.seam_opposite(*at, 0.0).is_none()));
    out
}

fn lay(
    outside: &Outside,
    cloth: &Cloth,
    [part_area, cell, overlap]: [f64; 3],
    at: At,
    angle_deg: f64,
) -> Option<Found> {
    let seam = outside.seam_opposite(at, overlap);
    let seamed = outside.clone().with_seam(seam);
    let net = Net::drape(&seamed, &seamed.start(at, angle_deg), cell).ok()?;
    Some(Found { at, angle_deg, seam, judgement: judge(&net, cloth, part_area) })
}

/// The way of laying that needs the fewest slits, of those found and the plain one (on the crown half way, the warp fore and aft), with
/// its slits; those that are not cured come last. `None` if `go_on` says so, which is told how many ways have been tried.
pub fn cure(
    outside: &Outside,
    cloth: &Cloth,
    found: &[Found],
    cell: f64,
    overlap: f64,
    go_on: &mut dyn FnMut(usize) -> bool,
) -> Option<(Found, Mended)> {
    let [low, high] = outside.ends();
    let part_area = outside.part_area();
    let plain = match outside.portion() {
        None => vec![[0.5 * (low + high), 0.0], [0.5 * (low + high), outside.keel()]],
        Some(_) => vec![outside.natural_start()],
    };
    let plain = plain.into_iter().map(|at| lay(outside, cloth, [part_area, cell, overlap], at, 0.0));
    let mut best: Option<(Found, Mended)> = None;
    for (k, way) in found.iter().cloned().chain(plain.flatten()).enumerate() {
        let seamed = way.seamed(outside);
        let Ok(net) = Net::drape(&seamed, &way.start(&seamed), cell) else { continue };
        let mended = mend(&seamed, &net, (cloth, part_area), overlap, &mut |_| go_on(k))?;
        let against = |m: &Mended| (m.judgement.bad(), m.cuts.len());
        if best.as_ref().is_none_or(|(_, b)| against(&mended) < against(b)) {
            best = Some((way, mended));
        }
    }
    best
}
