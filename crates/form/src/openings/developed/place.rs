//! A place by its distances from four others.

use super::Flat;

const MOST_STEPS: usize = 30;

/// The place whose distances from four corners miss the given lengths least, the nearest corner's most heavily weighed; `share` is
/// where it lies in the mesh, to begin with.
pub(super) fn placed(corners: [Flat; 4], lengths: [f64; 4], [s, t]: [f64; 2]) -> Flat {
    if let Some(k) = lengths.iter().position(|l| *l < 1e-9) {
        return corners[k];
    }
    let mix = [(1.0 - s) * (1.0 - t), s * (1.0 - t), s * t, (1.0 - s) * t];
    let mut p = [0, 1].map(|k| corners.iter().zip(mix).map(|(c, w)| w * c[k]).sum::<f64>());
    for _ in 0..MOST_STEPS {
        let (mut a, mut b) = ([0.0; 3], [0.0; 2]);
        for (corner, length) in corners.iter().zip(lengths) {
            let d = [p[0] - corner[0], p[1] - corner[1]];
            let far = d[0].hypot(d[1]).max(1e-12);
            let (way, weight) = ([d[0] / far, d[1] / far], 1.0 / (length * length));
            let miss = length - far;
            a = [a[0] + weight * way[0] * way[0], a[1] + weight * way[0] * way[1], a[2] + weight * way[1] * way[1]];
            b = [b[0] + weight * way[0] * miss, b[1] + weight * way[1] * miss];
        }
        let turn = a[0] * a[2] - a[1] * a[1];
        let step = [(b[0] * a[2] - b[1] * a[1]) / turn, (a[0] * b[1] - a[1] * b[0]) / turn];
        if !(step[0].is_finite() && step[1].is_finite()) {
            break;
        }
        p = [p[0] + step[0], p[1] + step[1]];
        if step[0].hypot(step[1]) < 1e-12 {
            break;
        }
    }
    p
}
