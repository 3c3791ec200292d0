//! What a camera sees of a form, by brute force: no code of the solve. The outline is the envelope of many projected sections.

use geometry::loft::Loft;
use photo::Camera;

/// Sections from end to end.
const SECTIONS: usize = 700;

/// The upper and the lower envelope of the body on a column of the picture, px, with the station each is seen at.
pub(crate) struct Envelope {
    sections: Vec<(f64, Vec<[f64; 2]>)>,
}

impl Envelope {
    pub(crate) fn new(loft: &Loft, camera: &Camera) -> Self {
        let (low, high) = loft.x_range();
        let at = |i: usize| low + (high - low) * (i as f64 + 0.5) / SECTIONS as f64;
        let seen = |x: f64| {
            let half = loft.section(x)?.polyline(0.01);
            let port = half.iter().rev().map(|p| [-p[0], p[1]]);
            let around = half.iter().copied().chain(port);
            Some((x, around.filter_map(|[y, z]| camera.project([x, y, z])).collect()))
        };
        Self { sections: (0..SECTIONS).filter_map(|i| seen(at(i))).collect() }
    }

    pub(crate) fn columns(&self) -> (f64, f64) {
        let all = || self.sections.iter().flat_map(|s| s.1.iter().map(|p| p[0]));
        (all().fold(f64::INFINITY, f64::min), all().fold(f64::NEG_INFINITY, f64::max))
    }

    /// Upper and lower row on a column, each with its station.
    pub(crate) fn rows(&self, column: f64) -> Option<[(f64, f64); 2]> {
        let mut rows: Option<[(f64, f64); 2]> = None;
        for (x, points) in &self.sections {
            for pair in points.windows(2) {
                let (a, b) = (pair[0], pair[1]);
                if (a[0] > column) == (b[0] > column) {
                    continue;
                }
                let row = a[1] + (column - a[0]) / (b[0] - a[0]) * (b[1] - a[1]);
                let [top, bottom] = rows.get_or_insert([(row, *x); 2]);
                if row < top.0 {
                    *top = (row, *x);
                }
                if row > bottom.0 {
                    *bottom = (row, *x);
                }
            }
        }
        rows
    }
}

/// The part of a section that faces the camera, px: where the surface's normal, from neighbouring sections, looks to it.
pub(crate) fn seam(loft: &Loft, camera: &Camera, station: f64) -> Vec<[f64; 2]> {
    let step = 0.05;
    let section = |x: f64| loft.section(x).map(|s| s.polyline(0.01)).unwrap_or_default();
    let (here, ahead, behind) = (section(station), section(station - step), section(station + step));
    let eye = camera.eye();
    let mut out = Vec::new();
    for side in [-1.0, 1.0] {
        let half = here.windows(3).filter_map(|w| {
            let (z, y) = (w[1][1], w[1][0]);
            // At one height: how the half-breadth grows aft, and with the height.
            let by_x = (at_height(&behind, z)? - at_height(&ahead, z)?) / (2.0 * step);
            let along = [w[2][0] - w[0][0], w[2][1] - w[0][1]];
            // Outward in (y, z) square to the section, and against the growth along x.
            let normal = [by_x * along[1], -along[1], along[0]];
            let to_eye = [eye[0] - station, side * eye[1] - y, eye[2] - z];
            let facing: f64 = (0..3).map(|k| normal[k] * to_eye[k]).sum();
            (facing > 0.0).then_some([station, side * y, z])
        });
        out.extend(half.filter_map(|p| camera.project(p)));
    }
    out
}

fn at_height(points: &[[f64; 2]], z: f64) -> Option<f64> {
    let pair = points.windows(2).find(|w| w[0][1] >= z && w[1][1] < z)?;
    let t = (pair[0][1] - z) / (pair[0][1] - pair[1][1]);
    Some(pair[0][0] + t * (pair[1][0] - pair[0][0]))
}
