//! Reading at a depth, against closed forms and another program's figures.

#![allow(clippy::unwrap_used, reason = "the lint knows test functions, not what they call")]

use approx::assert_abs_diff_eq;
use photo::depth::DepthError;
use photo::{Camera, Lens, PictureCamera, Plane, SideView, read_on_plane};
use proptest::prelude::*;

/// Source: closed form z / (D - z); the figures are of our table of check values.
#[test]
fn what_is_nearer_is_shown_too_large() {
    for (nearer, distance, percent) in
        [(0.5, 20.0, 2.5641), (-0.5, 20.0, -2.4390), (0.5, 10.0, 5.2632), (1.0, 30.0, 3.4483)]
    {
        let view = SideView::new(distance, [0.0; 2]).unwrap();
        assert_abs_diff_eq!(view.size_error(nearer).unwrap() * 100.0, percent, epsilon = 6e-5);
    }
}

/// Source: closed form r / √(1 - (r / D)²) and r² / D; the figures are of our table of check values (r = 0.5).
#[test]
fn a_round_body_is_shown_too_large() {
    for (distance, percent) in [(5.0, 0.504), (10.0, 0.125), (20.0, 0.031)] {
        let view = SideView::new(distance, [0.0; 2]).unwrap();
        let shown = view.shown_radius(0.5).unwrap();
        assert_abs_diff_eq!((shown / 0.5 - 1.0) * 100.0, percent, epsilon = 6e-4);
        assert_abs_diff_eq!(view.real_radius(shown), 0.5, epsilon = 1e-14);
        // The rim is where sight touches: read there, the shown radius gives the rim's own height.
        let nearer = view.rim_nearer(0.5).unwrap();
        let rim = view.read([0.0, shown], nearer).unwrap()[1];
        assert_abs_diff_eq!(rim.hypot(nearer), 0.5, epsilon = 1e-14);
    }
    assert_abs_diff_eq!(SideView::new(10.0, [0.0; 2]).unwrap().rim_nearer(0.5).unwrap(), 0.025, epsilon = 1e-15);
}

/// Distance in mm; where the crown amidships is seen too high and its sight's point of touch; then x and the errors of a
/// feature on the near side 200 above the camera's height, for four stations. The camera is at x = 720 and z = -12.5. Source: another program, exact projection of a nose at full
/// size (stations counted forward there, which changes nothing here).
const SIDE: [(f64, f64, f64, [[f64; 3]; 4]); 4] = [
    (
        3000.0,
        13.701989080100816,
        157.77044721755595,
        [
            [72.0, -161.90255746753843, 49.96992514430198],
            [360.0, -88.64078327150642, 49.24487959528135],
            [1080.0, 71.45720240137345, 39.6984457785408],
            [1368.0, 82.30104211341157, 25.40155620784308],
        ],
    ),
    (
        6000.0,
        3.9007384019899973,
        92.54671833389745,
        [
            [72.0, -71.9615016117433, 22.210340003624474],
            [360.0, -39.46212290782776, 21.92340161545987],
            [1080.0, 32.50282237175051, 18.057123539861397],
            [1368.0, 38.6933432247252, 11.942389884174442],
        ],
    ),
    (
        12000.0,
        1.1345272414475858,
        54.304839384668306,
        [
            [72.0, -34.08798638665529, 10.520983452671384],
            [360.0, -18.705823264002568, 10.392124035556982],
            [1080.0, 15.549464674365892, 8.638591485758829],
            [1368.0, 18.78580314864146, 5.798087391556006],
        ],
    ),
    (
        40000.0,
        0.1343886855999017,
        21.528942958570155,
        [
            [72.0, -9.863198979604675, 3.044197215927369],
            [360.0, -5.414797609839672, 3.0082208943553734],
            [1080.0, 4.527936911916131, 2.5155206066200725],
            [1368.0, 5.523647868868924, 1.7048295891570753],
        ],
    ),
];

/// The nose's half breadth, as that program defines it: 600 - 330 (0.35 t² + 0.65 t⁶) with t = x / 1440.
fn half_breadth(x: f64) -> f64 {
    let t = x / 1440.0;
    600.0 - 330.0 * (0.35 * t.powi(2) + 0.65 * t.powi(6))
}

#[test]
fn a_side_photograph_is_as_wrong_as_another_program_says() {
    for (distance, too_high, touch, features) in SIDE {
        let view = SideView::new(distance, [720.0, -12.5]).unwrap();
        for [x, x_error, z_error] in features {
            let shown = [x + x_error, 187.5 + z_error];
            let nearer = half_breadth(x);
            let found = view.error(shown, nearer, 1.0).unwrap();
            // The other program's heights are solved for, to about 1e-5.
            assert_abs_diff_eq!(found[0], x_error, epsilon = 1e-6);
            assert_abs_diff_eq!(found[1], z_error, epsilon = 1e-6);
            assert_abs_diff_eq!(view.error(shown, nearer, 0.25).unwrap()[0], x_error / 4.0, epsilon = 1e-6);
        }
        // Read where sight touches, the crown is a point of the section |y/B|^2.3 + |(z + 12.5)/H|^2.3 = 1, and below its
        // top of 429.375.
        let top = view.read([720.0, 429.375 + too_high], touch).unwrap()[1];
        let sum = (touch / half_breadth(720.0)).powf(2.3) + ((top + 12.5) / 441.875).powf(2.3);
        assert_abs_diff_eq!(sum, 1.0, epsilon = 1e-6);
        assert!(top < 429.375);
    }
    // The table's percentages for the near and the far side, 600 mm from the centre plane.
    for (distance, near, far) in [(3000.0, 25.0, -16.666_666_667), (6000.0, 11.111_111_111, -9.090_909_091)] {
        let view = SideView::new(distance, [0.0; 2]).unwrap();
        assert_abs_diff_eq!(view.size_error(600.0).unwrap() * 100.0, near, epsilon = 1e-8);
        assert_abs_diff_eq!(view.size_error(-600.0).unwrap() * 100.0, far, epsilon = 1e-8);
        // Scaled on the near side, the centre plane is what looks small.
        let scaled = view.scaled_nearer(600.0).unwrap();
        assert_abs_diff_eq!(scaled.size_error(-600.0).unwrap(), -600.0 / distance, epsilon = 1e-12);
    }
}

#[test]
fn what_cannot_be_is_refused() {
    assert_eq!(SideView::new(0.0, [0.0; 2]), Err(DepthError::NoDistance));
    assert_eq!(SideView::new(f64::NAN, [0.0; 2]), Err(DepthError::NoDistance));
    assert_eq!(SideView::new(10.0, [f64::INFINITY, 0.0]), Err(DepthError::NoDistance));
    let view = SideView::new(1000.0, [0.0; 2]).unwrap();
    assert_eq!(view.read([1.0; 2], 1000.0), Err(DepthError::BehindCamera));
    assert_eq!(view.read([1.0; 2], f64::NAN), Err(DepthError::BehindCamera));
    assert_eq!(view.shown_radius(1000.0), Err(DepthError::InsideBody));
    let camera = Camera::look_at([0.0, -1000.0, 0.0], [0.0; 3], 1000.0, [500.0; 2]).unwrap();
    let behind = read_on_plane(&camera.into(), [500.0; 2], &Plane::at_half_breadth(-2000.0));
    assert_eq!(behind, Err(DepthError::MissesPlane));
    let along = read_on_plane(&camera.into(), [500.0; 2], &Plane::at_station(5.0));
    assert_eq!(along, Err(DepthError::MissesPlane));
}

proptest! {
    /// The plane of scale and the camera tell the same: a point on a plane is read back from its pixel by either.
    #[test]
    fn a_point_is_read_where_it_lies(
        at in prop::array::uniform3(-500.0..500.0_f64),
        distance in 2000.0..20000.0_f64,
        k1 in -0.1..0.1_f64,
    ) {
        let pinhole = Camera::look_at([300.0, -distance, 50.0], [300.0, 0.0, 50.0], 6000.0, [3000.0, 2000.0]).unwrap();
        let camera = PictureCamera { camera: pinhole, lens: Lens::radial(k1, 0.0) };
        let read = read_on_plane(&camera, camera.project(at).unwrap(), &Plane::at_half_breadth(at[1])).unwrap();
        prop_assert!((0..3).all(|k| (read[k] - at[k]).abs() < 1e-7), "{read:?}");

        let seeming = read_on_plane(&pinhole.into(), pinhole.project(at).unwrap(), &Plane::at_half_breadth(0.0)).unwrap();
        let view = SideView::new(distance, [300.0, 50.0]).unwrap();
        let real = view.read([seeming[0], seeming[2]], -at[1]).unwrap();
        prop_assert!((real[0] - at[0]).abs() < 1e-7 && (real[1] - at[2]).abs() < 1e-7, "{real:?}");
        let shown = view.shown(real, -at[1]).unwrap();
        prop_assert!((shown[0] - seeming[0]).abs() < 1e-7);
    }
}
