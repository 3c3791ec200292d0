//! A joint line, where the shell cannot be drawn off in one.
//!
//! Three ways to part it are compared: along the line of greatest breadth (an upper and a lower shell), along the centre plane (a
//! starboard and a port shell), and across at the station that leaves least undercut (a front and a rear shell, parted where a barrel is
//! widest). Each half gets its own best way.

use super::search::best_way;
use super::survey::{Spot, Survey};
use super::undercut::{Patch, Region};
use form::space::{Vector, length, sub};
use geometry::loft::Loft;
use geometry::section::Section;

/// Which way the shell is parted.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Parting {
    /// Along the line of greatest breadth.
    Breadth,
    /// Along the centre plane.
    CentrePlane,
    /// Across at a station, mm.
    Across(f64),
}

impl Parting {
    /// Its name, and those of its two halves.
    pub fn labels(self) -> (&'static str, [&'static str; 2]) {
        match self {
            Self::Breadth => ("along the line of greatest breadth", ["upper shell", "lower shell"]),
            Self::CentrePlane => ("along the centre plane", ["starboard shell", "port shell"]),
            Self::Across(_) => ("across", ["front shell", "rear shell"]),
        }
    }
}

/// One half of a parted shell.
#[derive(Clone, Debug, PartialEq)]
pub struct HalfShell {
    /// The way it is drawn off, a unit vector.
    pub way: Vector,
    /// Undercut that remains, mm².
    pub undercut: f64,
    /// Where it is, the greatest first.
    pub patches: Vec<Patch>,
    /// Its area on the plug, mm².
    pub area: f64,
}

/// A proposal.
#[derive(Clone, Debug, PartialEq)]
pub struct Joint {
    /// How it parts the shell.
    pub parting: Parting,
    /// The line on the plug, mm: one or two polylines, from front to rear, or once round from the crown to starboard.
    pub lines: Vec<Vec<Vector>>,
    /// Upper, starboard or front shell, then the other.
    pub halves: [HalfShell; 2],
}

impl Joint {
    /// Undercut of both halves, mm².
    pub fn undercut(&self) -> f64 {
        self.halves[0].undercut + self.halves[1].undercut
    }

    /// Length of the joint, mm.
    pub fn length(&self) -> f64 {
        self.lines.iter().flat_map(|l| l.windows(2)).map(|w| length(sub(w[1], w[0]))).sum()
    }
}

/// Stations of a joint line, and of the table of the breadth line.
const STEPS: u32 = 120;
/// Undercut below this does not tell proposals apart, mm².
const SAME: f64 = 1.0;

/// All three proposals: least undercut first, then the shortest joint.
pub(crate) fn joints(survey: &Survey<'_>, shell: &[&Region<'_>]) -> Vec<Joint> {
    let station = widest(survey, shell);
    let (low, high) = survey.loft().x_range();
    let across = (station > low && station < high).then_some(Parting::Across(station));
    let all = [Parting::Breadth, Parting::CentrePlane].into_iter().chain(across);
    let mut found: Vec<Joint> = all.map(|parting| joint(survey, shell, parting)).collect();
    let counted = |joint: &Joint| (joint.undercut() / SAME).floor();
    found.sort_by(|a, b| counted(a).total_cmp(&counted(b)).then(a.length().total_cmp(&b.length())));
    found
}

/// The shell parted in one way.
pub(crate) fn joint(survey: &Survey<'_>, shell: &[&Region<'_>], parting: Parting) -> Joint {
    let halves = match parting {
        Parting::Breadth => {
            let breadth = BreadthLine::new(survey);
            halves(survey, shell, &|spot: &Spot| breadth.round(spot.station) - spot.round, [0.0, 0.0, 1.0])
        }
        Parting::CentrePlane => halves(survey, shell, &|spot: &Spot| spot.p[1], [0.0, 1.0, 0.0]),
        Parting::Across(station) => halves(survey, shell, &|spot: &Spot| station - spot.station, [-1.0, 0.0, 0.0]),
    };
    Joint { parting, lines: lines(survey, parting), halves }
}

/// Where it runs on the plug.
pub(crate) fn lines(survey: &Survey<'_>, parting: Parting) -> Vec<Vec<Vector>> {
    match parting {
        Parting::Breadth => BreadthLine::new(survey).lines(survey),
        Parting::CentrePlane => vec![along(survey, |_| 0.0), along(survey, |_| survey.runs)],
        Parting::Across(station) => vec![once_round(survey, station)],
    }
}

fn halves(survey: &Survey<'_>, shell: &[&Region<'_>], first: &Region<'_>, natural: Vector) -> [HalfShell; 2] {
    let second = |spot: &Spot| -first(spot);
    let half = |part: &Region<'_>, natural: Vector| {
        let mut regions = shell.to_vec();
        regions.push(part);
        let best = best_way(survey, &regions, &[natural]);
        let tried = [natural, best].map(|way| (way, survey.undercut(way, &regions)));
        let sum = |patches: &[Patch]| patches.iter().map(|p| p.area).fold(0.0, std::ops::Add::add);
        let [a, b] = tried;
        let (way, patches) = if sum(&b.1) <= sum(&a.1) { b } else { a };
        HalfShell { way, undercut: sum(&patches), patches, area: survey.area_within(&regions) }
    };
    [half(first, natural), half(&second, natural.map(|c| -c))]
}

/// The station at which parting across leaves least undercut for a front half drawn ahead and a rear half drawn aft; of several the
/// middle one.
fn widest(survey: &Survey<'_>, shell: &[&Region<'_>]) -> f64 {
    let (low, high) = survey.loft().x_range();
    let cells: Vec<(f64, f64, f64)> = survey
        .cells
        .iter()
        .filter(|c| shell.iter().all(|r| r(c.middle()) >= 0.0))
        .map(|c| (c.middle().station, c.middle().n[0], c.area))
        .collect();
    let cost = |x: f64| -> f64 {
        let against = |(at, n, _): &&(f64, f64, f64)| if *at < x { *n > 1e-6 } else { *n < -1e-6 };
        cells.iter().filter(against).map(|c| c.2).sum()
    };
    let at = |k: u32| low + (high - low) * f64::from(k) / f64::from(STEPS);
    let costs: Vec<(f64, f64)> = (0..=STEPS).map(|k| (at(k), cost(at(k)))).collect();
    let least = costs.iter().map(|c| c.1).fold(f64::INFINITY, f64::min);
    let best: Vec<f64> = costs.iter().filter(|c| c.1 <= least + 1e-9).map(|c| c.0).collect();
    refined(survey.loft(), best.get(best.len() / 2).copied().unwrap_or(low), (high - low) / f64::from(STEPS))
}

/// The station near `x` of the greatest breadth, by thirds; `x` itself where the breadth has no greatest value there.
fn refined(loft: &Loft, x: f64, step: f64) -> f64 {
    let (low, high) = loft.x_range();
    let breadth = |x: f64| loft.section(x).map_or(0.0, |s| s.half_breadth());
    let (mut a, mut b) = ((x - step).max(low), (x + step).min(high));
    if breadth(a).max(breadth(b)) >= breadth(x) - 1e-9 {
        return x;
    }
    for _ in 0..40 {
        let (p, q) = (a + (b - a) / 3.0, b - (b - a) / 3.0);
        if breadth(p) < breadth(q) { a = p } else { b = q }
    }
    0.5 * (a + b)
}

/// Where the form is widest, as a place round the half section at evenly spaced stations.
struct BreadthLine {
    range: (f64, f64),
    round: Vec<f64>,
}

impl BreadthLine {
    fn new(survey: &Survey<'_>) -> Self {
        let (low, high) = survey.loft().x_range();
        let at = |k: u32| {
            let x = low + (high - low) * f64::from(k).clamp(0.001, f64::from(STEPS) - 0.001) / f64::from(STEPS);
            survey.loft().section(x).map_or(0.5 * survey.runs, |s| widest_of(&s))
        };
        Self { range: (low, high), round: (0..=STEPS).map(at).collect() }
    }

    fn round(&self, x: f64) -> f64 {
        let (low, high) = self.range;
        let at = ((x - low) / (high - low) * f64::from(STEPS)).clamp(0.0, f64::from(STEPS));
        let k = (at as usize).min(STEPS as usize - 1);
        self.round[k] + (at - k as f64) * (self.round[k + 1] - self.round[k])
    }

    fn lines(&self, survey: &Survey<'_>) -> Vec<Vec<Vector>> {
        let starboard = along(survey, |x| self.round(x));
        let port = starboard.iter().map(|p| [p[0], -p[1], p[2]]).collect();
        vec![starboard, port]
    }
}

/// How much wider than the breadth mark another place must be to be the widest, mm.
const WIDER: f64 = 0.01;

/// Where a section is widest: the breadth mark, unless another place is wider.
fn widest_of(section: &Section<'_>) -> f64 {
    let runs: Vec<_> = section.runs().collect();
    let mark = runs.iter().filter(|(half, _)| *half == geometry::control::Half::Upper).count() as f64;
    let width = |v: f64| {
        let k = (v as usize).min(runs.len().saturating_sub(1));
        runs.get(k).map_or(0.0, |(half, run)| section.at(*half, *run, v - k as f64).p[0])
    };
    let count = 24 * runs.len();
    let at = |i: usize| runs.len() as f64 * i as f64 / count as f64;
    let best = (0..=count).max_by(|a, b| width(at(*a)).total_cmp(&width(at(*b)))).unwrap_or(0);
    if width(at(best)) <= width(mark) + WIDER {
        return mark;
    }
    let (mut a, mut b) = (at(best.saturating_sub(1)), at((best + 1).min(count)));
    for _ in 0..40 {
        let (p, q) = (a + (b - a) / 3.0, b - (b - a) / 3.0);
        if width(p) < width(q) { a = p } else { b = q }
    }
    0.5 * (a + b)
}

/// A line from front to rear on the plug.
fn along(survey: &Survey<'_>, round: impl Fn(f64) -> f64) -> Vec<Vector> {
    let (low, high) = survey.loft().x_range();
    // A blunt end has no normal at its very point.
    let at = |k: u32| low + (high - low) * f64::from(k).clamp(1e-6, f64::from(STEPS) - 1e-6) / f64::from(STEPS);
    (0..=STEPS).filter_map(|k| survey.place(at(k), round(at(k)))).collect()
}

/// The starboard half of a section from crown to keel, and back along the port half.
fn once_round(survey: &Survey<'_>, station: f64) -> Vec<Vector> {
    let at = |k: u32| survey.place(station, survey.runs * f64::from(k) / f64::from(STEPS));
    let half: Vec<Vector> = (0..=STEPS).filter_map(at).collect();
    let port = half.iter().rev().skip(1).map(|p| [p[0], -p[1], p[2]]);
    half.iter().copied().chain(port).collect()
}
