//! How far apart formers may stand: foam sanded straight from former to former misses the curve by the sagitta, h²/8R where the
//! bay is short against the radius R along the body.
//!
//! It is measured, not estimated: a place of the half section runs on a curve along the body, and its distance from the chord
//! between the bay's two ends is taken. So rounded edges and upright ends count as they are.

use geometry::loft::Loft;

/// Formers nearer together than this are not proposed, mm (common practice, no source).
pub const LEAST_PITCH: f64 = 5.0;
/// Steps by which a proposed bay grows, over the form's length.
const STEPS: f64 = 240.0;
/// Places of each run that are followed along the body, and places along a bay at which each is measured.
const AROUND: usize = 4;
const ALONG: usize = 12;

/// A bay and what sanding straight across it costs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BaySagitta {
    /// Front of the bay, mm.
    pub from: f64,
    /// Its rear, mm.
    pub to: f64,
    /// Greatest distance between chord and surface, mm, measured at eleven places along the bay.
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

/// Stations from end to end, each bay as long as the allowed sagitta lets it be, to a 240th of the form's length.
pub fn propose(loft: &Loft, tolerance: f64) -> Proposal {
    let (low, high) = loft.x_range();
    let step = (high - low) / STEPS;
    let least = LEAST_PITCH.min(high - low);
    let mut stations = vec![low];
    let mut from = low;
    while high - from > 1e-6 {
        let mut to = from + least;
        while to < high && sagitta(loft, from, (to + step).min(high)) <= tolerance {
            to = (to + step).min(high);
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
    let bay = |w: &[f64]| BaySagitta { from: w[0], to: w[1], sagitta: sagitta(loft, w[0], w[1]) };
    stations.windows(2).map(bay).collect()
}

/// Greatest distance of the surface from the chords of a bay, over places all around the half section.
fn sagitta(loft: &Loft, from: f64, to: f64) -> f64 {
    let rows: Vec<Vec<[f64; 3]>> =
        (0..=ALONG).map(|i| row(loft, from + (to - from) * i as f64 / ALONG as f64)).collect();
    let (Some(first), Some(last)) = (rows.first(), rows.last()) else { return 0.0 };
    let ends = first.iter().zip(last).enumerate();
    let of = |(k, (a, b)): (usize, (&[f64; 3], &[f64; 3]))| {
        rows.iter().filter_map(|r| r.get(k)).map(|p| from_chord(*p, *a, *b)).fold(0.0, f64::max)
    };
    ends.map(of).fold(0.0, f64::max)
}

/// The places followed, at a station.
fn row(loft: &Loft, x: f64) -> Vec<[f64; 3]> {
    let Some(section) = loft.section(x) else { return Vec::new() };
    let places = section.runs().flat_map(|run| (0..=AROUND).map(move |i| (run, i as f64 / AROUND as f64)));
    places.map(|((half, run), f)| section.at(half, run, f).p).map(|[y, z]| [x, y, z]).collect()
}

fn from_chord(p: [f64; 3], a: [f64; 3], b: [f64; 3]) -> f64 {
    let along = [0, 1, 2].map(|k| b[k] - a[k]);
    let off = [0, 1, 2].map(|k| p[k] - a[k]);
    let dot = |u: [f64; 3], v: [f64; 3]| u[0] * v[0] + u[1] * v[1] + u[2] * v[2];
    let share = dot(off, along) / dot(along, along).max(f64::MIN_POSITIVE);
    let miss = [0, 1, 2].map(|k| off[k] - share * along[k]);
    dot(miss, miss).sqrt()
}
