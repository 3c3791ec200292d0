//! What of a seen form lies near a pixel.

use super::path::distance;
use super::{Handle, Seen, SeenPart, SeenPlace, Sight, SilhouettePlace};

/// Something near a pixel.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Near {
    /// What it is.
    pub what: NearWhat,
    /// How far from the pixel, px.
    pub distance_px: f64,
    /// The place nearest to it. On a line it lies on the chord between two of the line's places.
    pub place: SeenPlace,
    /// How it is seen.
    pub sight: Sight,
}

/// What lies near a pixel.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum NearWhat {
    /// A point that can be taken hold of.
    Handle(Handle),
    /// A line other than the silhouette.
    Line(SeenPart),
    /// The silhouette: the nearest of its places.
    Silhouette(SilhouettePlace),
}

impl Seen {
    /// All that lies within `radius_px` of a pixel: points first, then lines, each kind by its distance, and of two equally
    /// far the one in sight first.
    pub fn near(&self, pixel: [f64; 2], radius_px: f64) -> Vec<Near> {
        let mut points: Vec<Near> = self.handles.iter().map(|h| near_handle(h, pixel)).collect();
        let lines = self.lines.iter().filter(|l| l.part != SeenPart::Silhouette);
        let mut lines: Vec<Near> = lines
            .flat_map(|l| l.runs.iter().filter_map(move |r| near_run(l.part, r, pixel)))
            .chain(self.silhouette.iter().filter_map(|curve| near_silhouette(curve, pixel)))
            .collect();
        for list in [&mut points, &mut lines] {
            list.retain(|n| n.distance_px <= radius_px);
            let key = |n: &Near| n.distance_px + if n.sight == Sight::Hidden { 1.0 } else { 0.0 };
            list.sort_by(|a, b| key(a).total_cmp(&key(b)));
        }
        points.append(&mut lines);
        points
    }
}

fn near_handle(handle: &Handle, pixel: [f64; 2]) -> Near {
    Near {
        what: NearWhat::Handle(*handle),
        distance_px: distance(handle.pixel, pixel),
        place: SeenPlace { pixel: handle.pixel, point: handle.point },
        sight: handle.sight,
    }
}

fn near_run(part: SeenPart, run: &super::Run, pixel: [f64; 2]) -> Option<Near> {
    let chords = run.places.windows(2).filter_map(|w| Some(on_chord(w.first()?, w.get(1)?, pixel)));
    let (distance_px, place) = chords.min_by(|a, b| a.0.total_cmp(&b.0))?;
    Some(Near { what: NearWhat::Line(part), distance_px, place, sight: run.sight })
}

/// The place of a chord nearest to a pixel, and its distance.
fn on_chord(a: &SeenPlace, b: &SeenPlace, pixel: [f64; 2]) -> (f64, SeenPlace) {
    let (d, e) = ([0, 1].map(|k| b.pixel[k] - a.pixel[k]), [0, 1].map(|k| pixel[k] - a.pixel[k]));
    let square = d[0] * d[0] + d[1] * d[1];
    let t = if square > 0.0 { ((e[0] * d[0] + e[1] * d[1]) / square).clamp(0.0, 1.0) } else { 0.0 };
    let place = SeenPlace {
        pixel: [0, 1].map(|k| a.pixel[k] + t * d[k]),
        point: std::array::from_fn(|k| a.point[k] + t * (b.point[k] - a.point[k])),
    };
    (distance(place.pixel, pixel), place)
}

fn near_silhouette(curve: &[SilhouettePlace], pixel: [f64; 2]) -> Option<Near> {
    let chords = curve.windows(2).filter_map(|w| {
        let (a, b) = (w.first()?, w.get(1)?);
        let place = |p: &SilhouettePlace| Some(SeenPlace { pixel: p.pixel?, point: p.point });
        let (from, to) = (place(a)?, place(b)?);
        let (far, at) = on_chord(&from, &to, pixel);
        let nearer = if distance(from.pixel, at.pixel) <= distance(to.pixel, at.pixel) { a } else { b };
        Some((far, at, *nearer))
    });
    let (distance_px, place, nearest) = chords.min_by(|a, b| a.0.total_cmp(&b.0))?;
    Some(Near { what: NearWhat::Silhouette(nearest), distance_px, place, sight: nearest.sight })
}
