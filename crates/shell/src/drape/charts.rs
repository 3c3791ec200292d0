//! The parameters of an outside: its sheets, how it runs on past them, and its poles.

use super::outside::{End, Outside, Seam};
use super::patch::Read;
use super::surface::{At, Jet, Margin, Surface};
use form::space::{add, length, times};

impl Outside {
    /// Place and derivatives read from the patches, with straight continuation beyond `first` and `second`, the limits of a sheet.
    #[inline]
    fn read(&self, at: At, first: [f64; 2], second: [f64; 2]) -> Jet {
        let held = [at[0].max(first[0]).min(first[1]), at[1].max(second[0]).min(second[1])];
        let over = [at[0] - held[0], at[1] - held[1]];
        let port = second[0] >= self.runs;
        let (v, end) =
            if port { (2.0 * self.runs - held[1], 2.0 * self.runs - second[0]) } else { (held[1], second[1]) };
        let (i, j) = (self.first_lines.within(held[0], first[1]), self.second_lines.within(v, end));
        let (local, scale) = ([i.local, j.local], [i.scale, j.scale]);
        let patch = &self.patches[i.interval * self.second_lines.intervals() + j.interval];
        let Read { mut p, by } = patch.read(local);
        let mut by = [times(by[0], scale[0]), times(by[1], scale[1])];
        if port {
            p[1] = -p[1];
            by = [[by[0][0], -by[0][1], by[0][2]], [-by[1][0], by[1][1], -by[1][2]]];
        }
        if over == [0.0, 0.0] {
            return Jet { p, by };
        }
        let mut mixed = times(patch.mixed(local), scale[0] * scale[1]);
        if port {
            mixed = [-mixed[0], mixed[1], -mixed[2]];
        }
        let p = add(p, add(add(times(by[0], over[0]), times(by[1], over[1])), times(mixed, over[0] * over[1])));
        Jet { p, by: [add(by[0], times(mixed, over[1])), add(by[1], times(mixed, over[0]))] }
    }

    /// Limits of a sheet; of one that runs on past an open end, those of the surface.
    #[inline]
    fn limits(&self, sheet: usize) -> [[f64; 2]; 2] {
        let (across, round) = ((sheet - 2) / self.around(), (sheet - 2) % self.around());
        let [low, high] = self.ends();
        let from = if across == 0 { low } else { self.creases[across - 1] };
        let to = self.creases.get(across).copied().unwrap_or(high);
        [[from, to], [round as f64, round as f64 + 1.0]]
    }

    /// Whether it is open at both ends.
    fn is_tube(&self) -> bool {
        self.caps.iter().all(|cap| cap.is_infinite())
    }

    fn around(&self) -> usize {
        2 * self.runs as usize
    }

    /// The second parameter once round, and how often it has gone round.
    #[inline]
    fn wound(&self, v: f64) -> (f64, f64) {
        if v >= 0.0 && v < 2.0 * self.runs {
            return (v, 0.0);
        }
        let turns = (v / (2.0 * self.runs)).floor();
        ((v - turns * 2.0 * self.runs).clamp(0.0, 2.0 * self.runs), turns)
    }

    #[inline]
    pub(super) fn in_cap(&self, s: f64) -> Option<usize> {
        if s < self.caps[0] {
            Some(0)
        } else if s > self.caps[1] {
            Some(1)
        } else {
            None
        }
    }

    /// Clock angle of a second parameter, in half turns.
    pub(super) fn angle(&self, v: f64) -> f64 {
        let (v, turns) = self.wound(v);
        let port = v > self.runs;
        let v = if port { 2.0 * self.runs - v } else { v };
        let k = (v as usize).min(self.angles.len() - 2);
        let a = self.angles[k] + (v - k as f64) * (self.angles[k + 1] - self.angles[k]);
        2.0 * turns + if port { 2.0 - a } else { a }
    }

    pub(super) fn second_of(&self, angle: f64) -> f64 {
        let turns = (0.5 * angle).floor();
        let a = angle - 2.0 * turns;
        let (port, a) = if a > 1.0 { (true, 2.0 - a) } else { (false, a) };
        let k = (self.angles.partition_point(|x| *x <= a).max(1) - 1).min(self.angles.len() - 2);
        let v = k as f64 + (a - self.angles[k]) / (self.angles[k + 1] - self.angles[k]);
        turns * 2.0 * self.runs + if port { 2.0 * self.runs - v } else { v }
    }

    /// Change of the clock angle by the second parameter, half turns.
    pub(super) fn pace(&self, v: f64) -> f64 {
        let (v, _) = self.wound(v);
        let v = if v > self.runs { 2.0 * self.runs - v } else { v };
        let k = (v as usize).min(self.angles.len() - 2);
        self.angles[k + 1] - self.angles[k]
    }

    /// How far out a place lies past the ends and the line of a half, without a seam.
    pub(super) fn end_margin(&self, at: At, jet: &Jet) -> Margin {
        let s = at[0];
        let [low, high] = self.ends();
        let speed = length(jet.by[0]);
        let mut out = Margin { part: f64::NEG_INFINITY, cloth: f64::NEG_INFINITY };
        let mut beyond = |by: f64, allowance: f64| {
            out = Margin { part: out.part.max(by), cloth: out.cloth.max(by - allowance) };
        };
        if let End::Open(allowance) = self.cover.front {
            let trimmed = self.cover.trim.map_or(f64::NEG_INFINITY, |plane| plane.ahead(jet.p));
            if self.caps[0] < low {
                beyond(((low - s) * speed).max(trimmed), allowance);
            } else {
                beyond(trimmed, allowance);
            }
        }
        match self.cover.rear {
            End::Open(allowance) if self.caps[1] > high => beyond((s - high) * speed, allowance),
            End::Open(_) | End::Closed => (),
        }
        if let Some(portion) = &self.portion {
            beyond(portion.beyond(self, at, jet), portion.overlap);
        }
        out
    }
}

impl Surface for Outside {
    #[inline]
    fn sheet(&self, [s, v]: At) -> usize {
        self.in_cap(s).unwrap_or_else(|| {
            let round = (self.wound(v).0 as usize).min(self.around() - 1);
            2 + self.creases.partition_point(|c| *c <= s) * self.around() + round
        })
    }

    #[inline]
    fn jet(&self, sheet: usize, [s, v]: At) -> Jet {
        let (wound, turns) = self.wound(v);
        if sheet < 2 {
            let round = (wound as usize).min(self.around() - 1) as f64;
            return self.read([s, wound], self.ends(), [round, round + 1.0]);
        }
        let [first, second] = self.limits(sheet);
        let v = nearest_turn(v - turns * 2.0 * self.runs, second, 2.0 * self.runs);
        self.read([s, v], first, second)
    }

    #[inline]
    fn moved(&self, at: At, by: [f64; 2]) -> At {
        let Some(end) = self.in_cap(at[0]) else { return [at[0] + by[0], at[1] + by[1]] };
        let pole = self.ends()[end];
        let (r, inward) = ((at[0] - pole).abs(), if end == 0 { 1.0 } else { -1.0 });
        let angle = self.angle(at[1]);
        // Beside the pole a small step may be many turns of the derivatives there.
        let turned = std::f64::consts::PI * self.pace(at[1]) * by[1];
        let (out, across) = (r + inward * by[0], r * turned);
        let swung = across.atan2(out) / std::f64::consts::PI;
        [pole + inward * out.hypot(across), self.second_of(angle + swung)]
    }

    #[inline]
    fn wound_to(&self, at: At, near: At) -> At {
        let period = 2.0 * self.runs;
        [at[0], at[1] + period * ((near[1] - at[1]) / period).round()]
    }

    fn leaves(&self, sheet: usize, from: At, to: At) -> Option<(f64, usize)> {
        if sheet < 2 {
            return None;
        }
        let [first, second] = self.limits(sheet);
        let period = 2.0 * self.runs;
        let at = nearest_turn(from[1], second, period);
        let there = at + to[1] - from[1];
        let (across, round) = ((sheet - 2) / self.around(), (sheet - 2) % self.around());
        let share = |a: f64, b: f64, edge: f64| ((edge - a) / (b - a)).clamp(0.0, 1.0);
        let (low, high) = (first[0].max(self.caps[0]), first[1].min(self.caps[1]));
        let of = |across: usize, round: usize| 2 + across * self.around() + round;
        let mut best: Option<(f64, usize)> = None;
        let mut at_edge = |found: f64, sheet: usize| {
            if best.is_none_or(|b| found < b.0) {
                best = Some((found, sheet));
            }
        };
        let slack = 1e-12 * (1.0 + period);
        if to[0] < low - slack && (self.caps[0] >= first[0] || across > 0) {
            let next = if self.caps[0] >= first[0] { 0 } else { of(across - 1, round) };
            at_edge(share(from[0], to[0], low), next);
        }
        if to[0] > high + slack && (self.caps[1] <= first[1] || across < self.creases.len()) {
            let next = if self.caps[1] <= first[1] { 1 } else { of(across + 1, round) };
            at_edge(share(from[0], to[0], high), next);
        }
        if there < second[0] - slack {
            at_edge(share(at, there, second[0]), of(across, (round + self.around() - 1) % self.around()));
        }
        if there > second[1] + slack {
            at_edge(share(at, there, second[1]), of(across, (round + 1) % self.around()));
        }
        best
    }

    fn margin(&self, at: At, jet: &Jet) -> Margin {
        let mut out = self.end_margin(at, jet);
        if let Some(Seam { round, overlap }) = self.seam {
            let beyond = ((at[1] - round).max(round - 2.0 * self.runs - at[1])) * length(jet.by[1]);
            out = Margin { part: out.part.max(beyond), cloth: out.cloth.max(beyond - overlap) };
        }
        out
    }

    fn overrun(&self) -> f64 {
        self.overrun
    }

    fn most_overrun(&self) -> f64 {
        match (self.is_tube(), self.portion) {
            (true, None) => f64::INFINITY,
            // About the middle of the other half it ends in any case.
            (_, Some(_)) => self.longest,
            (false, None) => self.overrun,
        }
    }

    fn longest_yarn(&self) -> f64 {
        if self.is_tube() { f64::INFINITY } else { self.longest }
    }
}

/// A second parameter moved by whole turns to where it is nearest to a sheet.
#[inline]
fn nearest_turn(v: f64, [from, to]: [f64; 2], period: f64) -> f64 {
    let off = v - 0.5 * (from + to);
    if 2.0 * off.abs() < period { v } else { v - period * (off / period).round() }
}
