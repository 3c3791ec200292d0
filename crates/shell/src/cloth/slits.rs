//! When one piece cannot do it: slits, where they must begin, and the cloth laid down anew beyond them.
//!
//! A slit runs along a yarn from a tip T inside the cloth to its edge. Beyond the tip the cloth on one side of it is let go and laid
//! down again: from the yarn across T, which stays, with a new yarn that leaves T straight and square to it. On that side shear
//! then counts from T only, as curvature ahead of the slit no longer sums up in it. Where the form bulges the two edges come to lie
//! over one another (a dart), where it is hollow they part (a gore is set in).
//!
//! ```text
//!       j |      :  laid anew
//!         |      :  . ' new yarn
//!         |------T========= slit
//!         |      :
//!         +------:--------- i   start
//! ```

mod anew;
mod trials;

use super::gaps::{gaps, sorted};
use super::judge::judged;
use super::{Cloth, Gap, Judgement};
use crate::drape::{Cell, Net, Number, Surface};
use anew::cut;
use form::space::Vector;
use trials::{Search, Trial};

/// A slit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cut {
    /// Where it begins, in yarns from the start.
    pub tip: Number,
    /// The way it runs from there in the flat: one of the four ways along yarns.
    pub way: Number,
    /// The way from it, across, to the side that is laid anew; the other stays.
    pub side: Number,
    /// Its length to the cut edge, mm.
    pub length: f64,
    /// Its tip on the form, mm.
    pub tip_at: Vector,
    /// Its mouth on the form: where the edge that stays meets the cloth's edge, mm.
    pub mouth_at: Vector,
    /// By how much its edges would lie over one another at the mouth, mm: what is more than the overlap is cut off; negative where they
    /// part by that much and a gore is needed.
    pub lap: f64,
    /// Length from the tip over which the edges do not lie over one another by the overlap that was asked for, mm: lay a strip of
    /// cloth, twice the overlap wide, under it.
    pub strip: f64,
    /// Area of the part that lies open between its edges, for a gore to cover, mm².
    pub gore: f64,
}

/// A part of the cloth that has been laid down by itself.
#[derive(Clone, Debug, PartialEq)]
pub struct Piece {
    /// Its net, with numbers of its own.
    pub net: Net,
    /// Where its [0, 0] is in the whole cloth.
    pub offset: Number,
    /// The quarter round its [0, 0] that is its own; all four if there is none.
    way: Option<Number>,
    /// What of it is cut off beside the slit, as it would lie over its neighbour by more than the overlap.
    dart: Dart,
    /// Quarters, by corner in its own numbers and way, that are let go.
    let_go: Vec<[Number; 2]>,
}

/// Cells cut off beside a slit: at every step along it, so many across.
#[derive(Clone, Debug, Default, PartialEq)]
struct Dart {
    along: usize,
    cells: Vec<i32>,
}

impl Dart {
    /// Cells cut off at that step along the slit; past its end as many as there.
    fn cut_off(&self, step: usize) -> i32 {
        self.cells.get(step).or(self.cells.last()).copied().unwrap_or(0)
    }

    fn cuts_off(&self, steps: Number) -> bool {
        steps[1 - self.along] < self.cut_off(usize::try_from(steps[self.along]).unwrap_or(0))
    }
}

impl Piece {
    fn holds(&self, cell: Number) -> bool {
        self.way.is_none_or(|way| lies_in(cell, [0, 0], way) && !self.dart.cuts_off(steps_to(cell, way)))
            && !self.let_go.iter().any(|[corner, way]| lies_in(cell, *corner, *way))
    }

    /// Whether a node, in its own numbers, belongs to some cell that it holds.
    pub fn covers(&self, [i, j]: Number) -> bool {
        [[i, j], [i - 1, j], [i, j - 1], [i - 1, j - 1]].into_iter().any(|cell| self.holds(cell))
    }

    /// Its cells with four nodes, numbered in the whole cloth.
    pub fn cells(&self) -> impl Iterator<Item = Cell> {
        let numbered = |c: Cell| Cell { number: [c.number[0] + self.offset[0], c.number[1] + self.offset[1]], ..c };
        self.net.cells().filter(|c| self.holds(c.number)).map(numbered)
    }

    fn missed(&self) -> f64 {
        self.net.missed_where(|cell| self.holds(cell))
    }

    fn gaps(&self) -> Vec<Gap> {
        gaps(&self.net, |cell| self.holds(cell))
    }
}

/// Whether a cell lies in the quarter of a corner.
fn lies_in(cell: Number, corner: Number, way: Number) -> bool {
    (0..2).all(|k| if way[k] > 0 { cell[k] >= corner[k] } else { cell[k] < corner[k] })
}

/// Steps from a quarter's corner [0, 0] to a cell of it.
fn steps_to(cell: Number, way: Number) -> Number {
    [0, 1].map(|k| if way[k] > 0 { cell[k] } else { -cell[k] - 1 })
}

/// A cloth with its slits.
#[derive(Clone, Debug, PartialEq)]
pub struct Mended {
    /// What lies down by itself: first the cloth around the start, then what is laid anew beyond each slit.
    pub pieces: Vec<Piece>,
    /// The slits.
    pub cuts: Vec<Cut>,
    /// What the cloth with its slits says: the proof of the cure.
    pub judgement: Judgement,
    /// Whether fewer slits have been excluded for this start and warp, at the tips that are tried: every quarter that locks has one, or
    /// all sets of fewer have been laid and did not lie down. Otherwise there were too many of them to try.
    pub fewest: bool,
}

/// The quarters, in the order in which they are mended.
const WAYS: [Number; 4] = [[1, -1], [-1, -1], [-1, 1], [1, 1]];
/// Most slits.
const MOST: usize = 24;

impl Mended {
    /// A cloth without slits.
    pub fn uncut(net: Net, cloth: &Cloth) -> Self {
        let mut mended = Self::laid(net, Judgement::default());
        mended.judge(cloth, 0.0);
        mended
    }

    /// A cloth without slits that has been judged already.
    pub fn laid(net: Net, judgement: Judgement) -> Self {
        let whole = Piece { net, offset: [0, 0], way: None, dart: Dart::default(), let_go: Vec::new() };
        Self { pieces: vec![whole], cuts: Vec::new(), judgement, fewest: true }
    }

    /// All cells.
    pub fn cells(&self) -> impl Iterator<Item = Cell> {
        self.pieces.iter().flat_map(Piece::cells)
    }

    /// Judges what lies, that should cover a part of that area, mm².
    fn judge(&mut self, cloth: &Cloth, part_area: f64) {
        let side = self.pieces[0].net.cell();
        let missing: f64 = self.pieces.iter().map(Piece::missed).sum();
        let gores: f64 = self.cuts.iter().map(|cut| cut.gore).sum();
        // Edges that lie over one another are counted twice: what is missed is found where it is more than they are.
        self.judgement = judged(self.cells(), missing, side, (cloth, part_area - gores));
        if missing > 0.0 {
            self.judgement.gaps = sorted(self.pieces.iter().flat_map(Piece::gaps).collect());
        }
    }
}

/// Slits a net where its cloth locks: the fewest that a search finds, each as short as may be. Every quarter of the net is mended by
/// itself, as what is let go in one changes nothing in the others: by the slit that helps most, and so on, and then, where that takes
/// several, by trying sets of fewer, first one, then two (see [`Mended::fewest`]). The judgement of what comes out says whether it is
/// cured, all of a part of that area, mm², reached as well. `None` if `go_on` says so, which is told how many slits there are.
pub fn mend(
    surface: &impl Surface,
    net: &Net,
    (cloth, part_area): (&Cloth, f64),
    overlap: f64,
    go_on: &mut dyn FnMut(usize) -> bool,
) -> Option<Mended> {
    let whole = Mended::uncut(net.clone(), cloth);
    let search = Search { surface, with: (cloth, overlap) };
    let mut chains: Chains = WAYS.map(|way| (way, Vec::new()));
    let mut made = 0;
    for (way, chain) in &mut chains {
        *chain = search.one_by_one(&whole.pieces[0], *way, MOST - made, &mut || go_on(made))?;
        made += chain.len();
    }
    let laid = |chains: &Chains| {
        let mut mended = whole.clone();
        chains.iter().for_each(|(way, chain)| mended.take(*way, chain, overlap));
        mended.judge(cloth, part_area);
        mended
    };
    let mut best = laid(&chains);
    for k in 0..chains.len() {
        let (way, chain) = &chains[k];
        let (found, all_tried) = search.fewer(&whole.pieces[0], *way, chain, &mut || go_on(made))?;
        let mut fewest = best.fewest && all_tried;
        if let Some(found) = found {
            let before = std::mem::replace(&mut chains[k].1, found);
            let fewer = laid(&chains);
            // The proof is the whole cloth: what is laid anew may end short of the part without a fold.
            if fewer.judgement.bad() <= best.judgement.bad() {
                best = fewer;
            } else {
                // The search ended with these; others of as many may do.
                (chains[k].1, fewest) = (before, false);
            }
        }
        best.fewest = fewest;
    }
    Some(best)
}

/// The slits of every quarter, each beyond the one before.
type Chains = [(Number, Vec<Trial>); 4];

impl Mended {
    /// Cuts slits one after the other into what the one before lays anew.
    fn take(&mut self, way: Number, chain: &[Trial], overlap: f64) {
        let mut last = 0;
        for trial in chain {
            let cut = cut(&self.pieces[last], way, trial, overlap);
            let piece = &mut self.pieces[last];
            piece.let_go.push([trial.corner, way]);
            let offset = [0, 1].map(|k| piece.offset[k] + trial.corner[k]);
            self.cuts.push(cut);
            self.pieces.push(Piece { offset, ..trial.piece.clone() });
            last = self.pieces.len() - 1;
        }
    }
}

#[cfg(test)]
mod tests;
