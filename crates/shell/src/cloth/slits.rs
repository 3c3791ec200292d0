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

use super::judge::judged;
use super::{Cloth, Judgement};
use crate::drape::{Arm, Cell, Net, Number, Surface};
use form::space::{Vector, cross, dot, length, sub};

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
    /// By how much its edges would lie over one another at the mouth, mm: what is more than the overlap is cut off; negative where they part by that much and a gore is needed.
    pub lap: f64,
    /// Length from the tip over which the edges do not lie over one another by the overlap that was asked for, mm: lay a strip of
    /// cloth, twice the overlap wide, under it.
    pub strip: f64,
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
    fn cuts_off(&self, steps: Number) -> bool {
        let along = usize::try_from(steps[self.along]).unwrap_or(0).min(self.cells.len().saturating_sub(1));
        self.cells.get(along).is_some_and(|cells| steps[1 - self.along] < *cells)
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
}

/// Most slits.
const MOST: usize = 24;

/// A quarter of a piece, as seen from a corner.
#[derive(Clone, Copy, Debug)]
struct Quarter {
    piece: usize,
    way: Number,
}

/// A slit that has been tried.
struct Trial {
    corner: Number,
    along: usize,
    piece: Piece,
    bad: f64,
    length: i32,
}

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
        Self { pieces: vec![whole], cuts: Vec::new(), judgement }
    }

    /// All cells.
    pub fn cells(&self) -> impl Iterator<Item = Cell> {
        self.pieces.iter().flat_map(Piece::cells)
    }

    /// Judges what lies, that should cover a part of that area, mm².
    fn judge(&mut self, cloth: &Cloth, part_area: f64) {
        let side = self.pieces[0].net.cell();
        let missing = self.pieces.iter().map(Piece::missed).sum();
        // Edges that lie over one another are counted twice: what is missed is found where it is more than they are.
        self.judgement = judged(self.cells(), missing, side, (cloth, part_area));
    }
}

/// Slits a net where its cloth locks, with few slits, each as short as may be. Every quarter of the net is mended by itself: by one
/// slit if one will do, else by the one that helps most, and so on; that fewer would not do is not proved then. The judgement of what comes out says whether
/// it is cured, all of a part of that area, mm², reached as well. `None` if `go_on` says so, which is told how many slits there are.
pub fn mend(
    surface: &impl Surface,
    net: &Net,
    (cloth, part_area): (&Cloth, f64),
    overlap: f64,
    go_on: &mut dyn FnMut(usize) -> bool,
) -> Option<Mended> {
    let mut mended = Mended::uncut(net.clone(), cloth);
    let mut quarters: Vec<Quarter> = [[1, 1], [-1, 1], [-1, -1], [1, -1]].map(|way| Quarter { piece: 0, way }).to_vec();
    while let Some(quarter) = quarters.pop() {
        let (cells, bad) = bad_in(&mended.pieces[quarter.piece], quarter.way, cloth);
        if cells.is_empty() || mended.cuts.len() >= MOST {
            continue;
        }
        if !go_on(mended.cuts.len()) {
            return None;
        }
        let Some(trial) = best(surface, &mended.pieces[quarter.piece], quarter.way, &cells, (cloth, overlap)) else {
            continue;
        };
        if trial.bad > 0.98 * bad {
            continue;
        }
        let cut = cut(&mended.pieces[quarter.piece], quarter.way, &trial, overlap);
        let piece = &mut mended.pieces[quarter.piece];
        piece.let_go.push([trial.corner, quarter.way]);
        let offset = [0, 1].map(|k| piece.offset[k] + trial.corner[k]);
        mended.cuts.push(cut);
        mended.pieces.push(Piece { offset, ..trial.piece });
        quarters.push(Quarter { piece: mended.pieces.len() - 1, way: quarter.way });
    }
    mended.judge(cloth, part_area);
    Some(mended)
}

/// Cells past locking or missing of a quarter, in steps from its corner, with their area in mm² of cloth.
fn bad_in(piece: &Piece, way: Number, cloth: &Cloth) -> (Vec<Number>, f64) {
    let inside = |cell: Number| lies_in(cell, [0, 0], way) && piece.holds(cell);
    let net = &piece.net;
    let locks = |c: &Cell| c.counts() && c.shear_deg.abs() > cloth.locking_deg && inside(c.number);
    let mut cells = net.missing(inside);
    let missing = cells.len() as f64;
    cells.extend(net.cells().filter(locks).map(|c| c.number));
    let area = (cells.len() as f64 - 0.5 * missing) * net.cell() * net.cell();
    (cells.into_iter().map(|cell| steps_to(cell, way)).collect(), area)
}

/// The best of the slits that are tried in a quarter: their tips lie before all that is bad in both ways, so that only what is laid
/// anew can still be; that it is less than before shows in the end. At a yarn on which the quarter starts a slit always helps.
fn best(surface: &impl Surface, piece: &Piece, way: Number, bad: &[Number], with: (&Cloth, f64)) -> Option<Trial> {
    let least = |k: usize| bad.iter().map(|steps| steps[k]).min().unwrap_or(0);
    let first = [least(0), least(1)];
    let mut best: Option<Trial> = None;
    for along in [0, 1] {
        for share in [1.0, 0.75, 0.5, 0.25, 0.0] {
            for across in [1.0, 0.75, 0.5] {
                let mut steps = first;
                steps[along] = (share * f64::from(first[along])) as i32;
                steps[1 - along] = (across * f64::from(first[1 - along])) as i32;
                let corner = [0, 1].map(|k| steps[k] * way[k]);
                let trial = tried(surface, piece, way, corner, along, with);
                let Some(trial) = trial.filter(|_| corner != [0, 0]) else { continue };
                if best.as_ref().is_none_or(|b| (trial.bad, trial.length) < (b.bad, b.length)) {
                    best = Some(trial);
                }
            }
        }
    }
    best
}

fn tried(
    surface: &impl Surface,
    piece: &Piece,
    way: Number,
    corner: Number,
    along: usize,
    (cloth, overlap): (&Cloth, f64),
) -> Option<Trial> {
    let (net, length) = laid_anew(surface, &piece.net, way, corner, along)?;
    let laps = laps(&piece.net, &net, way, corner, along);
    let cut_off = |lap: &f64| ((lap - overlap) / net.cell()).max(0.0) as i32;
    let dart = Dart { along, cells: laps.iter().map(cut_off).collect() };
    let piece = Piece { net, offset: [0, 0], way: Some(way), dart, let_go: Vec::new() };
    let (_, bad) = bad_in(&piece, way, cloth);
    Some(Trial { corner, along, piece, bad, length })
}

/// By how much the two edges of a slit lie over one another at every link from its tip, mm; past the end of the edge that stays it goes
/// on growing evenly.
fn laps(old: &Net, anew: &Net, way: Number, corner: Number, along: usize) -> Vec<f64> {
    let step = |from: Number, k: usize, n: i32| {
        if k == 0 { [from[0] + n * way[0], from[1]] } else { [from[0], from[1] + n * way[1]] }
    };
    let mut laps = vec![0.0];
    let mut seen: Option<(f64, f64)> = None;
    for n in 1.. {
        let number = step([0, 0], along, n);
        let Some(edge) = anew.node(number) else { break };
        let found = old.node(step(corner, along, n)).zip(anew.node(step(number, 1 - along, 1)));
        let lap = found.map(|(stays, next)| {
            let apart = sub(stays.p, edge.p);
            length(apart).copysign(dot(apart, sub(next.p, edge.p)))
        });
        seen = lap.map(|lap| (f64::from(n), lap)).or(seen);
        laps.push(lap.or_else(|| seen.map(|(m, lap)| lap * f64::from(n) / m)).unwrap_or(0.0));
    }
    laps
}

/// The net beyond a corner: from the yarn across it, with a new yarn along, square to that. With the number of links of the new
/// yarn within the cut line.
fn laid_anew(surface: &impl Surface, net: &Net, way: Number, corner: Number, along: usize) -> Option<(Net, i32)> {
    let tip = net.node(corner)?;
    let towards = |k: usize, n: i32| {
        if k == 0 { [corner[0] + n * way[0], corner[1]] } else { [corner[0], corner[1] + n * way[1]] }
    };
    let nodes = (1..).map_while(|n| net.node(towards(1 - along, n)).copied()).collect();
    let mut across = Arm { nodes, end: None };
    // Outside the cut line it runs on straight, so that what is laid anew is not short of it there.
    if let [.., a, b] = across.nodes[..] {
        let on = Arm::straight(surface, b.at, sub(b.p, a.p), net.cell());
        across.nodes.extend(on.nodes);
        across.end = on.end;
    }
    // Where the cloth ends there is no edge that stays, and so no slit.
    let old = net.node(towards(along, 1)).filter(|old| old.margin.cloth <= 0.0)?;
    let first = across.nodes.first()?;
    let (yarn, old) = (sub(first.p, tip.p), sub(old.p, tip.p));
    let square = cross(tip.normal(), yarn);
    let square = if dot(square, old) < 0.0 { form::space::times(square, -1.0) } else { square };
    let new = Arm::straight(surface, tip.at, square, net.cell());
    // Without a yarn along the slit nothing is laid anew, and nothing that is not there can be bad.
    if new.nodes.is_empty() {
        return None;
    }
    let length = new.nodes.iter().take_while(|n| n.margin.cloth <= 0.0).count() as i32;
    let mut arms: [Arm; 4] = Default::default();
    let side = |k: usize| if way[k] > 0 { k } else { k + 2 };
    arms[side(along)] = new;
    arms[side(1 - along)] = across;
    Some((Net::between(surface, net.cell(), tip, arms)?, length))
}

/// What is to be told of a slit.
fn cut(piece: &Piece, way: Number, trial: &Trial, overlap: f64) -> Cut {
    let (k, net) = (trial.along, &piece.net);
    let step = |n: i32| {
        if k == 0 {
            [trial.corner[0] + n * way[0], trial.corner[1]]
        } else {
            [trial.corner[0], trial.corner[1] + n * way[1]]
        }
    };
    let laps = laps(net, &trial.piece.net, way, trial.corner, k);
    let tip_at = net.node(trial.corner).map_or([0.0; 3], |n| n.p);
    let mut out = Cut {
        tip: [0, 1].map(|k| piece.offset[k] + trial.corner[k]),
        way: if k == 0 { [way[0], 0] } else { [0, way[1]] },
        side: if k == 0 { [0, way[1]] } else { [way[0], 0] },
        length: 0.0,
        tip_at,
        mouth_at: tip_at,
        lap: 0.0,
        strip: 0.0,
    };
    for (n, lap) in (0..).zip(laps).skip(1) {
        let Some(stays) = net.node(step(n)).filter(|stays| stays.margin.cloth <= 0.0) else { break };
        out.length = f64::from(n) * net.cell();
        (out.mouth_at, out.lap) = (stays.p, lap);
        if lap < overlap {
            out.strip = out.length;
        }
    }
    out
}
