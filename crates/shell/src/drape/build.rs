//! Reads a loft into the patches of an outside.

use super::bands::{BandRow, Bands};
use super::lines::Lines;
use super::outside::{Cover, End, Outside};
use super::patch::{POINTS, Patch, basis, points};
use form::space::{Vector, add, cross, dot, length, sub, times, unit};
use geometry::control::Half;
use std::sync::Arc;

/// How close polynomials are asked to follow curves along the body and across it, mm.
const CLOSE: f64 = 5e-5;
/// Radius of the cap round a pole in which parameters are polar and creases are not followed, for a form of the usual size, mm.
const CAP: f64 = 20.0;
/// How far past its cut line a net goes on at first, mm.
const OVERRUN: f64 = 40.0;
/// Sides of a square as large as the form between which those lengths are what they are; they are less and more in proportion for
/// others, mm.
const USUAL: [f64; 2] = [250.0, 1000.0];
/// Normals of two bands that differ by less than this angle belong to one smooth surface.
const SMOOTH: f64 = 1e-3;

type Values = [[Vector; POINTS]; POINTS];

/// The outside, or `None` where the loft cannot be read.
pub(super) fn built(bands: &Bands<'_>, cover: &Cover) -> Option<Outside> {
    let basis = basis();
    let first_lines = bands.first_lines(&basis, CLOSE)?;
    let second_lines = bands.second_lines(&basis, CLOSE)?;
    let wide = second_lines.intervals();
    let mut values: Vec<Values> = Vec::with_capacity(wide * first_lines.intervals());
    for s in first_lines.windows() {
        let rows = points().map(|t| row_at(bands, s, t));
        let rows: Vec<BandRow<'_>> = rows.into_iter().collect::<Option<_>>()?;
        for v in second_lines.windows() {
            values.push(std::array::from_fn(|i| points().map(|t| place_at(&rows[i], v, t))));
        }
    }
    let creases = join_bands(bands, &first_lines, wide, &mut values);
    let patches: Vec<Patch> = values.iter().map(|v| Patch::through(v, &basis)).collect();
    let mut outside = Outside {
        patches: Arc::new(patches),
        runs: bands.body.runs.len() as f64,
        angles: angles(bands),
        creases,
        caps: [f64::NEG_INFINITY, f64::INFINITY],
        cover: *cover,
        off: 0.0,
        seam: None,
        portion: None,
        overrun: 0.0,
        longest: 0.0,
        first_lines: Arc::new(first_lines),
        second_lines: Arc::new(second_lines),
    };
    let [long, girth] = outside.extents();
    // From one end to the other and half round, and as much again as yarns stray.
    outside.longest = 1.5 * (long + 0.5 * girth) + cover_beyond(cover);
    let side = (long * girth).sqrt();
    let proportion = if side < USUAL[0] { side / USUAL[0] } else { (side / USUAL[1]).max(1.0) };
    outside.overrun = OVERRUN * proportion;
    outside.caps = caps(bands, &outside, CAP * proportion);
    outside.off = off(bands, &outside)?;
    Some(outside)
}

/// The most that cloth hangs over, mm.
fn cover_beyond(cover: &Cover) -> f64 {
    let beyond = |end: End| if let End::Open(allowance) = end { allowance } else { 0.0 };
    beyond(cover.front).max(beyond(cover.rear))
}

/// The row at a place, from -1 to 1, of an interval of the first parameter.
fn row_at<'a>(bands: &Bands<'a>, s: &[f64], t: f64) -> Option<BandRow<'a>> {
    let band = s[0].floor();
    bands.row(band as usize, (0.5 * (s[0] + s[1]) + 0.5 * (s[1] - s[0]) * t - band).clamp(0.0, 1.0))
}

fn place_at(row: &BandRow<'_>, v: &[f64], t: f64) -> Vector {
    let run = v[0].floor();
    row.place(run as usize, (0.5 * (v[0] + v[1]) + 0.5 * (v[1] - v[0]) * t - run).clamp(0.0, 1.0))
}

/// Makes neighbouring bands meet, and tells where they do so in a crease. A coat taken off leaves a gap at a crease, or makes the
/// bands cross: they are drawn to where the two planes meet once moved.
fn join_bands(bands: &Bands<'_>, lines: &Lines, wide: usize, values: &mut [Values]) -> Vec<f64> {
    let t = bands.body.taken_off;
    let last = POINTS - 1;
    let mut creases = Vec::new();
    let inner = lines.windows().map(|w| w[1]).take(lines.intervals() - 1);
    for (k, line) in inner.enumerate().filter(|(_, line)| line.fract() == 0.0) {
        let mut crease = false;
        for j in 0..wide {
            let (before, after) = (k * wide + j, (k + 1) * wide + j);
            let normals = |row: usize, band: usize| edge_normals(&values[band], row);
            let (na, nb) = (normals(last, before), normals(0, after));
            for c in 0..POINTS {
                let (a, b) = (values[before][last][c], values[after][0][c]);
                let bends = length(sub(na[c], nb[c])) > SMOOTH;
                crease |= bends;
                let apart = dot(sub(a, b), sub(a, b)) > 1e-12;
                let meet = if bends && apart && t != 0.0 {
                    let on = times(add(add(a, times(na[c], t)), add(b, times(nb[c], t))), 0.5);
                    sub(on, times(add(na[c], nb[c]), t / (1.0 + dot(na[c], nb[c]))))
                } else {
                    times(add(a, b), 0.5)
                };
                shift(&mut values[before], c, sub(meet, a), true);
                shift(&mut values[after], c, sub(meet, b), false);
            }
        }
        if crease {
            creases.push(line);
        }
    }
    creases
}

/// Moves the last or first row of a patch's column, and the others of the column by the share they lie from the other end.
fn shift(values: &mut Values, column: usize, by: Vector, last: bool) {
    for (row, t) in points().into_iter().enumerate() {
        let share = 0.5 * if last { 1.0 + t } else { 1.0 - t };
        values[row][column] = add(values[row][column], times(by, share));
    }
}

/// Outward normals along the first or last row of a patch.
fn edge_normals(values: &Values, row: usize) -> [Vector; POINTS] {
    let patch = Patch::through(values, &basis());
    let s = if row == 0 { -1.0 } else { 1.0 };
    points().map(|t| {
        let [a, b] = patch.read([s, t]).by;
        unit(cross(a, b))
    })
}

/// Clock angles of the edges between runs, in half turns: the breadth is a quarter turn, runs share their half evenly.
fn angles(bands: &Bands<'_>) -> Vec<f64> {
    let upper = bands.body.runs.iter().filter(|(half, _)| *half == Half::Upper).count();
    let lower = bands.body.runs.len() - upper;
    let of = |k: usize| {
        if k <= upper { 0.5 * k as f64 / upper as f64 } else { 0.5 + 0.5 * (k - upper) as f64 / lower as f64 }
    };
    (0..=upper + lower).map(of).collect()
}

/// Where polar caps begin: the first value by which all of the row lies a cap's radius from the pole, or else half way.
fn caps(bands: &Bands<'_>, outside: &Outside, radius: f64) -> [f64; 2] {
    let [low, high] = outside.ends();
    let pole = |end: usize| {
        let band = if end == 0 { 0 } else { bands.bands.len() - 1 };
        bands.points[end] || !super::outside::is_body(bands.bands[band])
    };
    let far = |from: f64, s: f64| {
        let p = outside.place([from, 0.0]);
        let near = |k: usize| length(sub(outside.place([s, outside.runs * k as f64 / 12.0]), p));
        (0..=12).map(near).fold(f64::INFINITY, f64::min)
    };
    let from = |end: usize| {
        let (pole, other) = if end == 0 { (low, high) } else { (high, low) };
        let at = |k: u32| pole + 0.5 * (other - pole) * f64::from(k) / 100.0;
        (1..=100).map(at).find(|s| far(pole, *s) >= radius).unwrap_or_else(|| at(100))
    };
    [if pole(0) { from(0) } else { f64::NEG_INFINITY }, if pole(1) { from(1) } else { f64::INFINITY }]
}

/// What the patches miss along the normal at two places each.
fn off(bands: &Bands<'_>, outside: &Outside) -> Option<f64> {
    let mut worst = 0.0_f64;
    let wide = outside.second_lines.intervals();
    for (i, s) in outside.first_lines.windows().enumerate() {
        if bands.bands.get(s[0] as usize).is_none_or(|band| !super::outside::is_body(*band)) {
            continue;
        }
        for at in [[0.35, -0.52], [-0.61, 0.2]] {
            let row = row_at(bands, s, at[0])?;
            for (j, v) in outside.second_lines.windows().enumerate() {
                let run = v[0].floor();
                let fraction = 0.5 * (v[0] + v[1]) + 0.5 * (v[1] - v[0]) * at[1] - run;
                let miss = sub(outside.patches[i * wide + j].read(at).p, row.place(run as usize, fraction));
                worst = worst.max(dot(miss, row.normal(run as usize, fraction)).abs());
            }
        }
    }
    Some(worst)
}
