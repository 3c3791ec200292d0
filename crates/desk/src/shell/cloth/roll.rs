//! What comes off the roll: all plies of one cloth, close beside one another between the selvedges.
//!
//! Patterns keep their grain: the warp runs along the roll, either way round; only where that does not fit between the selvedges the
//! weft does, which a balanced weave allows. They are laid one after the other, each as near the beginning of the roll as those before
//! let it; every order is tried of a few, the largest first of many. Edges are compared in strips across the roll, each as far as the
//! pattern reaches anywhere in it, so that patterns never lie over one another.

use super::PlyPlan;
use project::laminate::Fabric;

/// A pattern on the roll.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Laid {
    /// Index into the plan's plies.
    pub ply: usize,
    /// Where its start cross lies, mm: along the roll from the first cut, across it from one selvedge.
    pub at: [f64; 2],
    /// By how many quarter turns, counter-clockwise, its warp is turned from the way along the roll.
    pub quarters: u8,
}

impl Laid {
    /// Where a place of the flat pattern lies on the roll, mm: along it and across.
    pub fn place(&self, flat: [f64; 2]) -> [f64; 2] {
        let turned = turned(flat, self.quarters);
        [0, 1].map(|k| self.at[k] + turned[k])
    }
}

/// A piece of cloth off the roll.
#[derive(Clone, Debug, PartialEq)]
pub struct RollPlan {
    /// The cloth.
    pub fabric: Fabric,
    /// Length to cut off, mm; patterns that are too wide are not in it.
    pub length: f64,
    /// Area of the patterns on it, mm².
    pub cut_area: f64,
    /// Where they lie.
    pub laid: Vec<Laid>,
    /// Plies whose pattern is wider than the roll either way, as indices into the plan's plies.
    pub too_wide: Vec<usize>,
}

impl RollPlan {
    /// Share of the piece that is left over.
    pub fn waste(&self) -> f64 {
        let all = self.length * self.fabric.roll_width;
        if all > 0.0 { (1.0 - self.cut_area / all).max(0.0) } else { 0.0 }
    }
}

/// Cloth left between two patterns, and at the selvedges, mm.
const BETWEEN: f64 = 5.0;
/// Width of the strips in which edges are compared, mm.
const STRIP: f64 = 5.0;
/// So many patterns are tried in every order.
const FEW: usize = 5;

/// A plan for every cloth, in the order of the plies. `mirrored` patterns are cut as seen from inside.
pub fn roll_plans(plies: &[PlyPlan], mirrored: bool) -> Vec<RollPlan> {
    let mut fabrics: Vec<&Fabric> = Vec::new();
    for ply in plies {
        if !fabrics.contains(&&ply.ply.fabric) {
            fabrics.push(&ply.ply.fabric);
        }
    }
    let of = |fabric: &Fabric| {
        let own = plies.iter().enumerate().filter(|(_, ply)| ply.ply.fabric == *fabric);
        let pieces = own.map(|(index, ply)| Piece::of(index, ply, mirrored)).collect();
        roll_plan(fabric, pieces)
    };
    fabrics.into_iter().map(of).collect()
}

/// A pattern to be laid.
struct Piece {
    ply: usize,
    area: f64,
    outlines: Vec<Vec<[f64; 2]>>,
}

impl Piece {
    fn of(ply: usize, plan: &PlyPlan, mirrored: bool) -> Self {
        let side = if mirrored { -1.0 } else { 1.0 };
        let outline = |o: &shell::cloth::Outline| o.flat.iter().map(|p| [p[0], side * p[1]]).collect();
        Self { ply, area: plan.pattern.area, outlines: plan.pattern.outlines.iter().map(outline).collect() }
    }

    /// Its reach in strips, turned.
    fn profile(&self, quarters: u8) -> Profile {
        let turn = |o: &Vec<[f64; 2]>| o.iter().map(|p| turned(*p, quarters)).collect();
        let outlines: Vec<Vec<[f64; 2]>> = self.outlines.iter().map(turn).collect();
        Profile::of(&outlines)
    }
}

/// How far a pattern reaches along the roll in every strip across it.
struct Profile {
    /// Its least place along the roll, and across it.
    low: [f64; 2],
    /// Its size along the roll, and across it.
    size: [f64; 2],
    /// From where to where in every strip, from its least place on; nothing where it is not.
    reach: Vec<Option<[f64; 2]>>,
}

impl Profile {
    fn of(outlines: &[Vec<[f64; 2]>]) -> Self {
        let all = || outlines.iter().flatten();
        let least = |k: usize| all().map(|p| p[k]).fold(f64::INFINITY, f64::min);
        let most = |k: usize| all().map(|p| p[k]).fold(f64::NEG_INFINITY, f64::max);
        if all().next().is_none() {
            return Self { low: [0.0; 2], size: [0.0; 2], reach: Vec::new() };
        }
        let low = [least(0), least(1)];
        let size = [most(0) - low[0], most(1) - low[1]];
        let mut reach = vec![None; (size[1] / STRIP) as usize + 1];
        for outline in outlines {
            for (k, from) in outline.iter().enumerate() {
                let to = outline[(k + 1) % outline.len()];
                edge(&mut reach, [from[0] - low[0], from[1] - low[1]], [to[0] - low[0], to[1] - low[1]]);
            }
        }
        Self { low, size, reach }
    }
}

/// Widens the reach of the strips that an edge passes.
fn edge(reach: &mut [Option<[f64; 2]>], a: [f64; 2], b: [f64; 2]) {
    let (a, b) = if a[1] <= b[1] { (a, b) } else { (b, a) };
    let last = reach.len() - 1;
    let [first, end] = [a, b].map(|p| ((p[1] / STRIP) as usize).min(last));
    for (strip, reach) in reach.iter_mut().enumerate().take(end + 1).skip(first) {
        let at = |across: f64| {
            let across = across.clamp(a[1], b[1]);
            let share = if b[1] > a[1] { (across - a[1]) / (b[1] - a[1]) } else { 0.0 };
            a[0] + share * (b[0] - a[0])
        };
        let mut ends = [at(strip as f64 * STRIP), at((strip + 1) as f64 * STRIP)];
        if b[1] <= a[1] {
            ends = [a[0], b[0]];
        }
        let (least, most) = (ends[0].min(ends[1]), ends[0].max(ends[1]));
        *reach = Some(reach.map_or([least, most], |[from, to]: [f64; 2]| [from.min(least), to.max(most)]));
    }
}

fn turned([x, y]: [f64; 2], quarters: u8) -> [f64; 2] {
    match quarters % 4 {
        0 => [x, y],
        1 => [-y, x],
        2 => [-x, -y],
        _ => [y, -x],
    }
}

fn roll_plan(fabric: &Fabric, pieces: Vec<Piece>) -> RollPlan {
    let width = fabric.roll_width;
    let fits = |profile: &Profile| profile.size[1] + 2.0 * BETWEEN <= width;
    // With the warp along the roll if that fits, else with the weft.
    let ways = |piece: &Piece| [[0, 2], [1, 3]].into_iter().find(|ways| fits(&piece.profile(ways[0])));
    let (fit, wide): (Vec<Piece>, Vec<Piece>) = pieces.into_iter().partition(|piece| ways(piece).is_some());
    let profiles: Vec<(&Piece, [(u8, Profile); 2])> = fit
        .iter()
        .filter_map(|piece| Some((piece, ways(piece)?.map(|quarters| (quarters, piece.profile(quarters))))))
        .collect();
    let best = orders(&fit)
        .into_iter()
        .map(|order| laid_in_order(&order, &profiles, width))
        .min_by(|a, b| a.0.total_cmp(&b.0))
        .unwrap_or_default();
    RollPlan {
        fabric: fabric.clone(),
        length: best.0,
        cut_area: fit.iter().map(|piece| piece.area).sum(),
        laid: best.1,
        too_wide: wide.iter().map(|piece| piece.ply).collect(),
    }
}

/// The orders that are tried: all of a few, else the largest first.
fn orders(pieces: &[Piece]) -> Vec<Vec<usize>> {
    if pieces.len() > FEW {
        let mut order: Vec<usize> = (0..pieces.len()).collect();
        order.sort_by(|a, b| pieces[*b].area.total_cmp(&pieces[*a].area));
        return vec![order];
    }
    let mut all = vec![Vec::new()];
    for next in 0..pieces.len() {
        let with = |order: Vec<usize>| {
            (0..=order.len()).map(move |at| {
                let mut order = order.clone();
                order.insert(at, next);
                order
            })
        };
        all = all.into_iter().flat_map(with).collect();
    }
    all
}

/// Length of roll that patterns need in an order, and where each lies.
fn laid_in_order(order: &[usize], pieces: &[(&Piece, [(u8, Profile); 2])], width: f64) -> (f64, Vec<Laid>) {
    let mut taken = vec![0.0_f64; (width / STRIP) as usize + 1];
    let (mut length, mut laid) = (0.0_f64, Vec::new());
    for (piece, ways) in order.iter().filter_map(|k| pieces.get(*k)) {
        let mut best: Option<(f64, usize, &(u8, Profile))> = None;
        for way in ways {
            let room = width - 2.0 * BETWEEN - way.1.size[1];
            for shift in 0..=(room / STRIP) as usize {
                let from = nearest(&taken, &way.1, shift);
                if best.as_ref().is_none_or(|(b, _, w)| from + way.1.size[0] < b + w.1.size[0] - 1e-9) {
                    best = Some((from, shift, way));
                }
            }
        }
        let Some((from, shift, (quarters, profile))) = best else { continue };
        for (taken, reach) in taken.iter_mut().skip(shift).zip(&profile.reach) {
            *taken = reach.map_or(*taken, |[_, to]| taken.max(from + to + BETWEEN));
        }
        length = length.max(from + profile.size[0] + BETWEEN);
        let at = [from + BETWEEN - profile.low[0], shift as f64 * STRIP + BETWEEN - profile.low[1]];
        laid.push(Laid { ply: piece.ply, at, quarters: *quarters });
    }
    (if laid.is_empty() { 0.0 } else { length + BETWEEN }, laid)
}

/// The least place along the roll at which a pattern is clear of those before; the strips beside it count too, for what lies between.
fn nearest(taken: &[f64], profile: &Profile, shift: usize) -> f64 {
    let clear = |k: usize, own: f64| {
        let beside = [k.checked_sub(1), Some(k), Some(k + 1)];
        let most = beside.into_iter().flatten().filter_map(|k| taken.get(k)).fold(0.0_f64, |a, b| a.max(*b));
        most - own
    };
    let strips = profile.reach.iter().enumerate();
    strips.filter_map(|(k, reach)| Some(clear(k + shift, reach.as_ref()?[0]))).fold(0.0, f64::max)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn piece(ply: usize, outline: &[[f64; 2]]) -> Piece {
        let next = outline.iter().cycle().skip(1);
        let area = 0.5 * outline.iter().zip(next).map(|(a, b)| a[0] * b[1] - a[1] * b[0]).sum::<f64>();
        Piece { ply, area, outlines: vec![outline.to_vec()] }
    }

    fn fabric(roll_width: f64) -> Fabric {
        Fabric { roll_width, ..Fabric::usual() }
    }

    #[test]
    fn rectangles_lie_beside_one_another_where_the_roll_is_wide_enough() {
        let rectangle = [[-100.0, -50.0], [100.0, -50.0], [100.0, 50.0], [-100.0, 50.0]];
        let plan = |width: f64| roll_plan(&fabric(width), vec![piece(0, &rectangle), piece(1, &rectangle)]);
        assert!((plan(240.0).length - (200.0 + 2.0 * BETWEEN)).abs() < 1e-9, "{:?}", plan(240.0));
        assert!((plan(150.0).length - (400.0 + 3.0 * BETWEEN)).abs() < 1e-9, "{:?}", plan(150.0));
        // Too narrow for the warp along the roll, wide enough for none.
        assert_eq!((plan(90.0).too_wide, plan(90.0).length), (vec![0, 1], 0.0));
    }

    #[test]
    fn a_pattern_wider_than_the_roll_is_turned_a_quarter() {
        let tall = [[0.0, 0.0], [60.0, 0.0], [60.0, 300.0], [0.0, 300.0]];
        let plan = roll_plan(&fabric(200.0), vec![piece(0, &tall)]);
        assert!((plan.length - (300.0 + 2.0 * BETWEEN)).abs() < 1e-9 && plan.laid[0].quarters % 2 == 1, "{plan:?}");
    }

    #[test]
    fn two_triangles_lie_head_to_foot_and_nothing_overlaps() {
        let triangle = [[0.0, 0.0], [200.0, 0.0], [0.0, 200.0]];
        let plan = roll_plan(&fabric(215.0), vec![piece(0, &triangle), piece(1, &triangle)]);
        assert!(plan.length < 260.0, "{}", plan.length);
        let corners = |laid: &Laid| triangle.map(|p| laid.place(p));
        let [a, b] = [corners(&plan.laid[0]), corners(&plan.laid[1])];
        for p in a.iter().chain(&b) {
            assert!(p[0] >= BETWEEN - 1e-9 && p[0] <= plan.length - BETWEEN + 1e-9, "{p:?}");
            assert!(p[1] >= BETWEEN - 1e-9 && p[1] <= 215.0 - BETWEEN + 1e-9, "{p:?}");
        }
        // Their long edges are parallel: all of one lies on one side of the other's.
        let side = |p: [f64; 2], from: [f64; 2], to: [f64; 2]| {
            (to[0] - from[0]) * (p[1] - from[1]) - (to[1] - from[1]) * (p[0] - from[0])
        };
        let own = side(a[0], a[1], a[2]).signum();
        assert!(b.iter().all(|p| own * side(*p, a[1], a[2]) < 0.0), "{a:?} {b:?}");
    }
}
