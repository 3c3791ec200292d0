//! How far apart formers may stand: foam sanded straight from former to former misses the curve by the sagitta h²/8R.
//!
//! Along the body a place of the half section runs on a curve c(x) = (x, y(x), z(x)). Over a bay of length h the chord misses it,
//! square to the surface, by h² |c''·n| / 8 to first order, n being the unit normal: h²/8R where the bay lies square.

use geometry::control::Half;
use geometry::loft::Loft;

/// Formers nearer together than this are not proposed, mm (common practice, no source).
pub const LEAST_PITCH: f64 = 5.0;
/// Stations at which the bend is sampled, and places of each run.
const ALONG: usize = 240;
const AROUND: usize = 4;
/// Step for the second derivative, as a share of the length.
const STEP: f64 = 2e-4;

/// A bay and what sanding straight across it costs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BaySagitta {
    /// Front of the bay, mm.
    pub from: f64,
    /// Its rear, mm.
    pub to: f64,
    /// Greatest distance between the chord and the surface, mm, to first order.
    pub sagitta: f64,
}

/// Stations that keep the sagitta.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Proposal {
    /// From one end of the form to the other, mm.
    pub stations: Vec<f64>,
    /// What each of their bays leaves; more than was allowed only where [`LEAST_PITCH`] was reached.
    pub bays: Vec<BaySagitta>,
}

/// Stations from end to end, each bay as long as the allowed sagitta lets it be.
pub fn propose(loft: &Loft, tolerance: f64) -> Proposal {
    let bend = bends(loft);
    let (low, high) = loft.x_range();
    let step = (high - low) / ALONG as f64;
    let least = LEAST_PITCH.min(high - low);
    let mut stations = vec![low];
    let mut from = low;
    while high - from > 1e-6 {
        let mut to = from + least;
        while to < high && worst(&bend, (low, step), from, to + step) * (to + step - from).powi(2) / 8.0 <= tolerance {
            to += step;
        }
        // A last bay shorter than the least pitch would only be a sliver: it takes a share of the one before.
        if high - to < least {
            to = if to < high && high - least > from + least { high - least } else { high };
        }
        stations.push(to);
        from = to;
    }
    let bays = present(loft, &stations);
    Proposal { stations, bays }
}

/// What each bay between neighbouring stations (rising) leaves.
pub fn present(loft: &Loft, stations: &[f64]) -> Vec<BaySagitta> {
    let bend = bends(loft);
    let (low, high) = loft.x_range();
    let step = (high - low) / ALONG as f64;
    let bay = |w: &[f64]| {
        let sagitta = worst(&bend, (low, step), w[0], w[1]) * (w[1] - w[0]).powi(2) / 8.0;
        BaySagitta { from: w[0], to: w[1], sagitta }
    };
    stations.windows(2).map(bay).collect()
}

/// Greatest bend sampled between two stations, their neighbours included.
fn worst(bend: &[f64], (low, step): (f64, f64), from: f64, to: f64) -> f64 {
    let index = |x: f64| ((x - low) / step).clamp(0.0, ALONG as f64);
    let (first, last) = (index(from).floor() as usize, index(to).ceil() as usize);
    bend[first..=last.max(first)].iter().copied().fold(0.0, f64::max)
}

/// Greatest |c''·n| around the half section at each sampled station, 1/mm.
fn bends(loft: &Loft) -> Vec<f64> {
    let (low, high) = loft.x_range();
    let length = high - low;
    let places = places(loft);
    (0..=ALONG)
        .map(|i| {
            let h = STEP * length;
            let x = (low + length * i as f64 / ALONG as f64).clamp(low + h, high - h);
            places.iter().map(|&(half, run, f)| bend(loft, x, h, (half, run, f))).fold(0.0, f64::max)
        })
        .collect()
}

fn places(loft: &Loft) -> Vec<(Half, usize, f64)> {
    let (low, high) = loft.x_range();
    let runs: Vec<(Half, usize)> = loft.section(0.5 * (low + high)).map(|s| s.runs().collect()).unwrap_or_default();
    let fractions = |(half, run)| (0..=AROUND).map(move |i| (half, run, i as f64 / AROUND as f64));
    runs.into_iter().flat_map(fractions).collect()
}

fn bend(loft: &Loft, x: f64, h: f64, (half, run, fraction): (Half, usize, f64)) -> f64 {
    let slope = |x: f64| loft.section(x).map(|s| s.at(half, run, fraction).by_x);
    let normal = loft.normal(x, half, run, fraction);
    match (slope(x - h), slope(x + h)) {
        (Some(a), Some(b)) => {
            let second = [(b[0] - a[0]) / (2.0 * h), (b[1] - a[1]) / (2.0 * h)];
            let bend = (second[0] * normal[1] + second[1] * normal[2]).abs();
            if bend.is_finite() { bend } else { 0.0 }
        }
        _ => 0.0,
    }
}
