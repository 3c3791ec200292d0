//! The line on the surfaces themselves.

use super::chain::Chain;
use super::crossing::{Crossing, Crossings, along, between};
use super::linear::solve;
use super::skin::{At, Jet, Skin};
use super::{MeetingLine, MeetingPlace, Stop};
use crate::space::{Vector, add, dot, length, sub, times};

/// How far the two surfaces may be apart at a place of the line, mm. Newton's method commonly ends far below.
const APART: f64 = 1e-7;
const MOST_STEPS: usize = 12;
/// A chord shorter than this is never divided, mm.
const SHORT: f64 = 0.02;
const DEEP: u32 = 10;
/// Ends of lines nearer than this are one, mm.
const SAME: f64 = 1e-5;
/// How far the surfaces may carry a place from where the triangles put it: so many times the length of its edge.
const ASTRAY: f64 = 3.0;

/// A place on both skins.
#[derive(Clone, Copy, Debug)]
struct Place {
    point: Vector,
    at: [At; 2],
}

/// The lines through the crossings of triangles, on the skins themselves.
pub(super) fn lines(skins: &[Skin<'_>; 2], found: &Crossings, tolerance: f64) -> Vec<MeetingLine> {
    let solver = Solver { skins, breaks: [0, 1].map(|k| skins[k].breaks()), tolerance };
    let mut runs: Vec<Run> = found.chains.iter().filter_map(|chain| solver.run(found, chain)).collect();
    join(&mut runs);
    let spots =
        |p: &Place| MeetingPlace { point: p.point, first: skins[0].spot(p.at[0]), added: skins[1].spot(p.at[1]) };
    let line = |run: Run| MeetingLine { places: run.places.iter().map(spots).collect(), ends: run.ends };
    runs.into_iter().map(line).collect()
}

struct Run {
    places: Vec<Place>,
    ends: Option<[Stop; 2]>,
}

/// A crossing of triangles, and what became of it on the skins.
struct Solved {
    place: Place,
    /// Where the triangles had it.
    before: Vector,
    /// On a crease or a rim, where the line needs it.
    fixed: bool,
}

struct Solver<'a> {
    skins: &'a [Skin<'a>; 2],
    /// Parameters along at which the skins may have a crease round, with the rims.
    breaks: [Vec<f64>; 2],
    tolerance: f64,
}

impl Solver<'_> {
    fn run(&self, found: &Crossings, chain: &Chain) -> Option<Run> {
        let mut corners: Vec<Solved> = Vec::new();
        for solved in chain.places.iter().filter_map(|i| self.solved(&found.places[*i])) {
            // Where the surface lies beside its triangles, neighbours may change places: then the less needed one goes.
            while corners.last().is_some_and(|last| !ahead(last, &solved) && solved.fixed && !last.fixed) {
                corners.pop();
            }
            if corners.last().is_none_or(|last| ahead(last, &solved)) {
                corners.push(solved);
            }
        }
        while let (true, [first, .., last]) = (chain.closed && corners.len() > 3, &corners[..])
            && !ahead(last, first)
        {
            let drop = if last.fixed && !first.fixed { 0 } else { corners.len() - 1 };
            corners.remove(drop);
        }
        let corners: Vec<Place> = corners.into_iter().map(|solved| solved.place).collect();
        if corners.len() < 2 {
            return None;
        }
        let ends = (!chain.closed).then(|| {
            [chain.places.first(), chain.places.last()].map(|end| end.map_or(Stop::Lost, |i| stop(&found.places[*i])))
        });
        let mut places = vec![corners[0]];
        for w in corners.windows(2) {
            self.fill(&w[0], &w[1], DEEP, &mut places);
            places.push(w[1]);
        }
        if let (true, Some(last)) = (chain.closed, corners.last()) {
            self.fill(last, &corners[0], DEEP, &mut places);
        }
        Some(Run { places, ends })
    }

    fn jets(&self, at: &[At; 2]) -> Option<[Jet; 2]> {
        Some([self.skins[0].jet(at[0])?, self.skins[1].jet(at[1])?])
    }

    /// A crossing on the skins: on the very edge where that is a crease or a rim, else as near as may be to where the triangles had it.
    fn solved(&self, crossing: &Crossing) -> Option<Solved> {
        let k = crossing.edge_of;
        let own = along(&crossing.edge, crossing.share);
        let ends = [self.skins[k].jet(crossing.edge[0])?.p, self.skins[k].jet(crossing.edge[1])?.p];
        let reach = ASTRAY * length(sub(ends[1], ends[0]));
        let before = between(ends[0], ends[1], crossing.share);
        if self.is_fixed(crossing)
            && let Some(place) = self.on_edge(crossing, reach)
        {
            return Some(Solved { place, before, fixed: true });
        }
        let at = if k == 0 { [own, crossing.other] } else { [crossing.other, own] };
        Some(Solved { place: self.nearest(at, reach)?, before, fixed: false })
    }

    fn is_fixed(&self, crossing: &Crossing) -> bool {
        let [a, b] = crossing.edge;
        let round = a[1] == b[1] && a[1].fract() == 0.0;
        round || (a[0] == b[0] && self.breaks[crossing.edge_of].iter().any(|s| (s - a[0]).abs() < 1e-9))
    }

    /// Where an edge of one skin crosses the other skin: the share of the edge and the two parameters there are solved for.
    fn on_edge(&self, crossing: &Crossing, reach: f64) -> Option<Place> {
        let (k, o) = (crossing.edge_of, 1 - crossing.edge_of);
        let step = [0, 1].map(|c| crossing.edge[1][c] - crossing.edge[0][c]);
        let (mut share, mut other) = (crossing.share, crossing.other);
        for _ in 0..MOST_STEPS {
            let own = along(&crossing.edge, share);
            let (edge, surface) = (self.skins[k].jet(own)?, self.skins[o].jet(other)?);
            let miss = sub(surface.p, edge.p);
            if length(miss) < APART {
                let at = if k == 0 { [own, other] } else { [other, own] };
                return Some(Place { point: edge.p, at });
            }
            let way = add(times(edge.by[0], step[0]), times(edge.by[1], step[1]));
            let rows = [0, 1, 2].map(|c| [way[c], -surface.by[0][c], -surface.by[1][c]]);
            let [t, s, v] = solve(rows, miss)?;
            share += t.clamp(-1.0, 1.0);
            if (share - crossing.share).abs() > ASTRAY {
                return None;
            }
            other = moved(other, [s, v], &surface, reach);
        }
        None
    }

    /// The place of both skins near two parameters, by steps as short as may be.
    fn nearest(&self, mut at: [At; 2], reach: f64) -> Option<Place> {
        let start = self.jets(&at)?[0].p;
        for _ in 0..2 * MOST_STEPS {
            let jets = self.jets(&at)?;
            let miss = sub(jets[1].p, jets[0].p);
            if length(sub(jets[0].p, start)) > reach {
                return None;
            }
            if length(miss) < APART {
                return Some(Place { point: jets[0].p, at });
            }
            // Of all steps that meet it the shortest, each parameter counted in mm.
            let columns = [jets[0].by[0], jets[0].by[1], times(jets[1].by[0], -1.0), times(jets[1].by[1], -1.0)];
            let sizes = columns.map(length);
            if sizes.iter().any(|size| !(*size > 1e-12 && size.is_finite())) {
                return None;
            }
            let ways: Vec<Vector> = columns.iter().zip(sizes).map(|(c, size)| times(*c, 1.0 / size)).collect();
            let square = [0, 1, 2].map(|i| [0, 1, 2].map(|j| ways.iter().map(|w| w[i] * w[j]).sum()));
            let by: Vector = solve(square, miss)?;
            let step: Vec<f64> = ways.iter().zip(sizes).map(|(w, size)| dot(*w, by) / size).collect();
            at = [moved(at[0], [step[0], step[1]], &jets[0], reach), moved(at[1], [step[2], step[3]], &jets[1], reach)];
        }
        None
    }

    /// Places between two, until chords are close to the line.
    fn fill(&self, a: &Place, b: &Place, depth: u32, out: &mut Vec<Place>) {
        let chord = sub(b.point, a.point);
        let long = length(chord);
        if depth == 0 || long < SHORT {
            return;
        }
        let Some(middle) = self.middle(a, b, chord, long) else { return };
        if length(sub(middle.point, between(a.point, b.point, 0.5))) <= self.tolerance {
            return;
        }
        self.fill(a, &middle, depth - 1, out);
        out.push(middle);
        self.fill(&middle, b, depth - 1, out);
    }

    /// A place of both skins between two: in the plane that halves the chord, or where that is beside the line, as it can be of a loop of
    /// few triangles, the nearest one.
    fn middle(&self, a: &Place, b: &Place, chord: Vector, long: f64) -> Option<Place> {
        let at = [0, 1].map(|k| {
            let round = self.skins[k].round();
            let turn = b.at[k][1] - a.at[k][1];
            let turn = turn - round * (turn / round).round();
            [0.5 * (a.at[k][0] + b.at[k][0]), a.at[k][1] + 0.5 * turn]
        });
        let half = between(a.point, b.point, 0.5);
        self.in_plane(at, half, chord, long).or_else(|| {
            let place = self.nearest(at, long)?;
            let share = dot(sub(place.point, a.point), chord) / (long * long);
            (0.1..0.9).contains(&share).then_some(place)
        })
    }

    fn in_plane(&self, mut at: [At; 2], half: Vector, chord: Vector, long: f64) -> Option<Place> {
        for _ in 0..MOST_STEPS {
            let jets = self.jets(&at)?;
            let miss = sub(jets[1].p, jets[0].p);
            let off = dot(sub(half, jets[0].p), chord);
            if length(sub(jets[0].p, half)) > long {
                return None;
            }
            if length(miss) < APART && off.abs() < 1e-3 * long * long {
                return Some(Place { point: jets[0].p, at });
            }
            let [p, q] = [jets[0].by, jets[1].by];
            let row = |c: usize| [p[0][c], p[1][c], -q[0][c], -q[1][c]];
            let rows = [row(0), row(1), row(2), [dot(p[0], chord), dot(p[1], chord), 0.0, 0.0]];
            let step = solve(rows, [miss[0], miss[1], miss[2], off])?;
            at = [moved(at[0], [step[0], step[1]], &jets[0], long), moved(at[1], [step[2], step[3]], &jets[1], long)];
        }
        None
    }
}

/// Whether a place lies ahead of another on the skins as it does on the triangles.
fn ahead(from: &Solved, to: &Solved) -> bool {
    let (now, before) = (sub(to.place.point, from.place.point), sub(to.before, from.before));
    length(now) > 1e-9 && dot(now, before) >= 0.0
}

/// Parameters moved by a step, which is shortened to `most` mm, and held between the ends of the form.
fn moved(at: At, step: [f64; 2], jet: &Jet, most: f64) -> At {
    let long = length(add(times(jet.by[0], step[0]), times(jet.by[1], step[1])));
    let by = if long > most { most / long } else { 1.0 };
    [(at[0] + by * step[0]).clamp(0.0, 1.0), at[1] + by * step[1]]
}

/// What a line ends at whose last crossing this is.
fn stop(crossing: &Crossing) -> Stop {
    let of_added = crossing.edge_of == 1;
    match crossing.edge.map(|at| at[0]) {
        [a, b] if a == 0.0 && b == 0.0 => Stop::Rim { of_added, front: true },
        [a, b] if a == 1.0 && b == 1.0 => Stop::Rim { of_added, front: false },
        _ => Stop::Lost,
    }
}

/// Joins lines whose ends are one place, as at an end that is an edge, where both sides of the form come together.
fn join(runs: &mut Vec<Run>) {
    let near =
        |a: Option<&Place>, b: Option<&Place>| a.zip(b).is_some_and(|(a, b)| length(sub(a.point, b.point)) < SAME);
    let mut i = 0;
    while i < runs.len() {
        let joined = (i + 1..runs.len()).find_map(|j| {
            let (a, b) = (&runs[i], &runs[j]);
            if a.ends.is_none() || b.ends.is_none() {
                return None;
            }
            let ([a0, a1], [b0, b1]) = ([a.places.first(), a.places.last()], [b.places.first(), b.places.last()]);
            let ways = [
                (near(a1, b0), false, false),
                (near(a1, b1), false, true),
                (near(a0, b0), true, false),
                (near(a0, b1), true, true),
            ];
            ways.into_iter().find(|w| w.0).map(|w| (j, w.1, w.2))
        });
        match joined {
            Some((j, turn_own, turn_other)) => {
                let mut other = runs.remove(j);
                turn(&mut runs[i], turn_own);
                turn(&mut other, turn_other);
                runs[i].places.extend(other.places.into_iter().skip(1));
                if let (Some(ends), Some(others)) = (&mut runs[i].ends, other.ends) {
                    ends[1] = others[1];
                }
            }
            None => {
                let run = &mut runs[i];
                if run.ends.is_some() && run.places.len() > 3 && near(run.places.first(), run.places.last()) {
                    run.places.pop();
                    run.ends = None;
                }
                i += 1;
            }
        }
    }
}

fn turn(run: &mut Run, wanted: bool) {
    if wanted {
        run.places.reverse();
        run.ends.iter_mut().for_each(|ends| ends.reverse());
    }
}
