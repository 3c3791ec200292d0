//! Tables of offsets of bodies with closed forms, as text.

use plugwright_tests::tables::superellipse;
pub(crate) use plugwright_tests::tables::{HEADER, Station, text};

/// Half an ellipse at equal eccentric angles.
pub(crate) fn half_ellipse(half_breadth: f64, half_height: f64, count: usize) -> Vec<[f64; 2]> {
    superellipse(half_breadth, half_height, 0.0, 2.0, count)
}

/// A round cylinder of radius 40 from -20 to 80.
pub(crate) fn cylinder() -> String {
    text(&[-20.0, 30.0, 80.0].map(|x| (x, half_ellipse(40.0, 40.0, 25))))
}

/// The ellipsoid of semi-axes 120, 70 and 55 at these stations.
pub(crate) fn ellipsoid(xs: &[f64], count: usize) -> String {
    let at = |&x: &f64| {
        let k = (1.0 - (x / 120.0) * (x / 120.0)).max(0.0).sqrt();
        // The pole is one point.
        (x, if k == 0.0 { vec![[0.0, 0.0]] } else { half_ellipse(70.0 * k, 55.0 * k, count) })
    };
    text(&xs.iter().map(at).collect::<Vec<_>>())
}

/// A straight box from 0 to 100, 60 broad and 40 high, with a roof: a ridge at the crown and a knuckle at each corner.
pub(crate) fn house() -> String {
    let half = vec![
        [0.0, 30.0],
        [0.0, 30.0],
        [15.0, 25.0],
        [30.0, 20.0],
        [30.0, 20.0],
        [30.0, 0.0],
        [30.0, -20.0],
        [30.0, -20.0],
        [15.0, -20.0],
        [0.0, -20.0],
    ];
    text(&[(0.0, half.clone()), (100.0, half)])
}
