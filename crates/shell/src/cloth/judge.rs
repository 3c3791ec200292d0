//! What a net says of the cloth: greatest shear, where it locks, whether one piece can do it.

use super::{Cloth, Gap, WATCH, gaps};
use crate::drape::{Cell, Net, Number};
use form::space::Vector;
use std::collections::{BTreeMap, BTreeSet};

/// A connected patch of cloth past its locking angle: there it folds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wrinkle {
    /// Place of its most sheared cell, mm.
    pub at: Vector,
    /// Shear there, degrees.
    pub shear_deg: f64,
    /// Its area, mm².
    pub area: f64,
}

/// What a net says of a cloth.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Judgement {
    /// Greatest shear on the part by size, signed, degrees; like all that follows, of cells that lie on it for the most part.
    pub greatest_deg: f64,
    /// Where that is, mm.
    pub greatest_at: Vector,
    /// Root of the mean square of the shear over the part, degrees.
    pub rms_deg: f64,
    /// Area of the part under cloth, mm².
    pub covered: f64,
    /// Area past the locking angle, mm².
    pub locked: f64,
    /// Area past [`WATCH`] of the locking angle, mm², what is locked included.
    pub watched: f64,
    /// Area of the part that the net should reach and does not, because it is shut or because its yarns ran out, mm²: about.
    pub missed: f64,
    /// The patches past the locking angle, the largest first.
    pub wrinkles: Vec<Wrinkle>,
    /// The patches that are not reached, as far as crossings beside them tell, the largest first. What is missed beyond the end of all
    /// yarns has none.
    pub gaps: Vec<Gap>,
}

impl Judgement {
    /// Whether one piece of the cloth lies down without a fold, and everywhere.
    pub fn one_piece(&self) -> bool {
        self.locked == 0.0 && self.missed == 0.0
    }

    /// What two parts of a cloth say together.
    #[must_use]
    pub fn with(&self, other: &Self) -> Self {
        let greatest = if other.greatest_deg.abs() > self.greatest_deg.abs() { other } else { self };
        let squares = |j: &Self| j.rms_deg * j.rms_deg * j.covered;
        let covered = self.covered + other.covered;
        let mut wrinkles = [self.wrinkles.clone(), other.wrinkles.clone()].concat();
        wrinkles.sort_by(|a, b| b.area.total_cmp(&a.area));
        let gaps = gaps::sorted([self.gaps.clone(), other.gaps.clone()].concat());
        Self {
            greatest_deg: greatest.greatest_deg,
            greatest_at: greatest.greatest_at,
            rms_deg: ((squares(self) + squares(other)) / covered.max(f64::MIN_POSITIVE)).sqrt(),
            covered,
            locked: self.locked + other.locked,
            watched: self.watched + other.watched,
            missed: self.missed + other.missed,
            wrinkles,
            gaps,
        }
    }

    /// What is against it: area that locks or is not reached, mm².
    pub fn bad(&self) -> f64 {
        self.locked + self.missed
    }

    /// Share of the part past the locking angle.
    pub fn locked_share(&self) -> f64 {
        self.locked / (self.covered + self.missed).max(f64::MIN_POSITIVE)
    }
}

/// A net short of the part's area by less than this share has reached all of it, unless cells are missing.
const SHORT: f64 = 0.01;

/// Judges a net that should cover a part of that area, mm².
pub fn judge(net: &Net, cloth: &Cloth, part_area: f64) -> Judgement {
    let missing = net.missed();
    let mut judgement = judged(net.cells(), missing, net.cell(), (cloth, part_area));
    if missing > 0.0 {
        judgement.gaps = gaps::gaps(net, |_| true);
    }
    judgement
}

impl Judgement {
    /// Takes in what a net is short of the part's area. Beyond the first cells that are missing there may be more, of which no node tells.
    fn fall_short(&mut self, short: f64, part_area: f64) {
        if short > SHORT * part_area || (self.missed > 0.0 && short > 0.0) {
            self.missed = self.missed.max(short);
        }
    }
}

/// Judges cells, with the number of cells that are missing, that should cover a part of that area, mm².
pub(super) fn judged(
    cells: impl Iterator<Item = Cell>,
    missing: f64,
    side: f64,
    (cloth, part_area): (&Cloth, f64),
) -> Judgement {
    let square = side * side;
    let mut out = Judgement { missed: missing * square, ..Judgement::default() };
    let (mut squares, mut reached) = (0.0, 0.0);
    let mut locked: BTreeMap<Number, Cell> = BTreeMap::new();
    for cell in cells.filter(|c| c.on_part > 0.0) {
        let area = square * cell.on_part * cell.shear_deg.to_radians().cos();
        out.covered += area;
        reached += area * cell.arched;
        squares += area * cell.shear_deg * cell.shear_deg;
        if !cell.counts() {
            continue;
        }
        if cell.shear_deg.abs() > out.greatest_deg.abs() {
            (out.greatest_deg, out.greatest_at) = (cell.shear_deg, cell.middle);
        }
        if cell.shear_deg.abs() > WATCH * cloth.locking_deg {
            out.watched += area;
        }
        if cell.shear_deg.abs() > cloth.locking_deg {
            out.locked += area;
            locked.insert(cell.number, cell);
        }
    }
    out.rms_deg = (squares / out.covered.max(f64::MIN_POSITIVE)).sqrt();
    out.wrinkles = wrinkles(&locked, square);
    out.fall_short(part_area - reached, part_area);
    out
}

/// Connected patches of cells.
fn wrinkles(locked: &BTreeMap<Number, Cell>, square: f64) -> Vec<Wrinkle> {
    let mut left: BTreeSet<Number> = locked.keys().copied().collect();
    let mut out = Vec::new();
    while let Some(first) = left.pop_first() {
        let mut wrinkle = Wrinkle { at: [0.0; 3], shear_deg: 0.0, area: 0.0 };
        let mut open = vec![first];
        while let Some(number) = open.pop() {
            let Some(cell) = locked.get(&number) else { continue };
            wrinkle.area += square * cell.on_part * cell.shear_deg.to_radians().cos();
            if cell.shear_deg.abs() > wrinkle.shear_deg.abs() {
                (wrinkle.at, wrinkle.shear_deg) = (cell.middle, cell.shear_deg);
            }
            let [i, j] = number;
            let beside = [[i + 1, j], [i - 1, j], [i, j + 1], [i, j - 1]];
            open.extend(beside.into_iter().filter(|n| left.remove(n)));
        }
        out.push(wrinkle);
    }
    out.sort_by(|a, b| b.area.total_cmp(&a.area));
    out
}
