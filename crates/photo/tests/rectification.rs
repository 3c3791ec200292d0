//! Planes made readable, against closed forms, another program's figures and planted errors.

#![allow(clippy::unwrap_used, clippy::panic, reason = "the lint knows test functions, not what they call")]

mod common;

use approx::assert_abs_diff_eq;
use common::Chance;
use nalgebra::Matrix3;
use photo::rectification::{Mark, Rectification, RectificationError, grid, rectangle, rectify};
use photo::{Camera, Homography};
use proptest::prelude::*;

/// The unit square goes to (0, 0), (4, 0), (3, 2), (1, 2). Source: closed form, worked independently: H = [[4, 2, 0],
/// [0, 4, 0], [0, 1, 1]]; the middle goes where the diagonals cross, (2, 4/3).
#[test]
fn the_unit_square_goes_to_the_trapezium_of_the_table() {
    let square = [[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]];
    let trapezium = [[0.0, 0.0], [4.0, 0.0], [3.0, 2.0], [1.0, 2.0]];
    let pairs: Vec<_> = square.into_iter().zip(trapezium).collect();
    let map = Homography::through(&pairs).unwrap();
    let matrix = map.matrix() / map.matrix()[(2, 2)];
    let known = Matrix3::new(4.0, 2.0, 0.0, 0.0, 4.0, 0.0, 0.0, 1.0, 1.0);
    assert!((matrix - known).abs().max() < 1e-12, "{matrix}");
    let middle = map.apply([0.5, 0.5]).unwrap();
    assert_abs_diff_eq!(middle[0], 2.0, epsilon = 1e-12);
    assert_abs_diff_eq!(middle[1], 4.0 / 3.0, epsilon = 1e-12);
    let other = map.apply([0.25, 0.75]).unwrap();
    assert_abs_diff_eq!(other[0], 10.0 / 7.0, epsilon = 1e-12);
    assert_abs_diff_eq!(other[1], 12.0 / 7.0, epsilon = 1e-12);
    let back = map.inverse().unwrap().apply(other).unwrap();
    assert_abs_diff_eq!(back[0], 0.25, epsilon = 1e-12);

    let marks: Vec<Mark> = pairs.iter().map(|(plane, pixel)| Mark { plane: *plane, pixel: *pixel }).collect();
    let read = rectify(&marks, 0.01).unwrap().read([2.0, 4.0 / 3.0]).unwrap();
    assert_abs_diff_eq!(read[0], 0.5, epsilon = 1e-12);
    assert_abs_diff_eq!(read[1], 0.5, epsilon = 1e-12);
}

/// A line seen foreshortened: i = 10 z / (1 + z / 10), so z = 0, 2, 5 show at 0, 16.66667, 33.33333 and infinity at 100.
/// Source: the cross ratio (A. Criminisi, I. Reid, A. Zisserman, "Single view metrology", IJCV 40, 2000), worked
/// independently.
#[test]
fn heights_follow_the_cross_ratio() {
    let shown = |z: f64| 10.0 * z / (1.0 + 0.1 * z);
    let narrowing = |z: f64| 1.0 / (1.0 + 0.1 * z);
    let corner = |x: f64, z: f64| Mark { plane: [x, z], pixel: [x * narrowing(z), shown(z)] };
    let plane = rectify(&[corner(0.0, 0.0), corner(3.0, 0.0), corner(3.0, 2.0), corner(0.0, 2.0)], 0.1).unwrap();
    assert_abs_diff_eq!(plane.read([0.0, 100.0 / 3.0]).unwrap()[1], 5.0, epsilon = 1e-9);
    assert_abs_diff_eq!(plane.read([0.0, 99.0]).unwrap()[1], 990.0, epsilon = 1e-3);
    assert_eq!(plane.read([0.0, 101.0]), None, "beyond the horizon");
}

/// From another program: the pixels of a rectangle 1000 x 400 mm on a body's side from three directions, the map from pixels
/// to mm, and the root mean square errors of its readings for 0.5 px noise, inside and over twice the sides.
struct Case {
    degrees: f64,
    map: [f64; 9],
    corners: [[f64; 2]; 4],
    inside: f64,
    twice: f64,
    twice_at_2_px: f64,
}

const CASES: [Case; 3] = [
    Case {
        degrees: 20.0,
        map: [
            -0.5702522108887847,
            -0.0011750061604884005,
            2267.9706652177942,
            -0.01045879204298141,
            -0.5230866314012647,
            1262.504312341628,
            -2.3769981915866926e-05,
            -1.9583436008134597e-06,
            1.0,
        ],
        corners: [
            [3813.6583252613477, 2337.3146618554147],
            [2150.8557276285933, 2370.561366193055],
            [2149.5543886621426, 1647.434598886813],
            [3814.8530938511803, 1644.4030943518394],
        ],
        inside: 0.38316,
        twice: 0.79914,
        twice_at_2_px: 3.24333,
    },
    Case {
        degrees: 45.0,
        map: [
            -0.6918421837380034,
            -0.0010448097808059074,
            2570.9985672672387,
            -0.025551284964766725,
            -0.46512609641960184,
            1171.3668465640426,
            -5.807110219265162e-05,
            -1.7413496346760297e-06,
            1.0,
        ],
        corners: [
            [3598.9093015462204, 2320.682708940336],
            [2345.8018776981426, 2389.5210414369976],
            [2344.7753687773506, 1649.1635558799267],
            [3599.769519829461, 1642.8867035507305],
        ],
        inside: 0.44351,
        twice: 0.91541,
        twice_at_2_px: 3.67102,
    },
    Case {
        degrees: 70.0,
        map: [
            -1.1146888071007013,
            -0.0008009680255571968,
            3723.903258310824,
            -0.05381766206453519,
            -0.3565731656886453,
            1000.677617890098,
            -0.00012231286832848896,
            -1.334946709261924e-06,
            1.0,
        ],
        corners: [
            [3285.714887934224, 2310.460246832524],
            [2678.6929626203155, 2402.0781922805927],
            [2678.181011567761, 1650.308728024465],
            [3286.1196288044284, 1641.9547356825105],
        ],
        inside: 0.68607,
        twice: 1.37788,
        twice_at_2_px: 5.8487,
    },
];

const SIDES: [[f64; 2]; 4] = [[100.0, 0.0], [1100.0, 0.0], [1100.0, 400.0], [100.0, 400.0]];

fn marks(corners: &[[f64; 2]; 4]) -> Vec<Mark> {
    SIDES.into_iter().zip(*corners).map(|(plane, pixel)| Mark { plane, pixel }).collect()
}

/// Root mean square of the foretold errors on a raster over the rectangle, its sides `times` as long.
fn foretold(plane: &Rectification, times: f64) -> f64 {
    let error = |k: i32| {
        let (a, b) = (f64::from(k % 9) / 4.0 - 1.0, f64::from(k / 9) / 4.0 - 1.0);
        let at = [600.0 + times * 500.0 * a, 200.0 + times * 200.0 * b];
        plane.read_with_error(plane.to_picture.apply(at).unwrap(), 0.0).unwrap().error()
    };
    ((0..81).map(|k| error(k).powi(2)).sum::<f64>() / 81.0).sqrt()
}

#[test]
fn a_rectangle_is_rectified_as_by_another_program() {
    for case in &CASES {
        let plane = rectify(&marks(&case.corners), 0.5).unwrap();
        let found = plane.to_plane.matrix() / plane.to_plane.matrix()[(2, 2)];
        let known = Matrix3::from_row_slice(&case.map);
        for (f, k) in found.iter().zip(&known) {
            assert_abs_diff_eq!(*f, *k, epsilon = 1e-9 * (1.0 + k.abs()));
        }
        for (pixel, side) in case.corners.iter().zip(SIDES) {
            let read = plane.read(*pixel).unwrap();
            assert!((read[0] - side[0]).hypot(read[1] - side[1]) < 1e-8);
        }
        assert!(plane.residuals.iter().all(|r| r.px < 1e-9 && r.mm < 1e-9));
    }
}

/// The other program's figures are samples, and its raster is not known (ours is nine by nine points): within 8 %; far outside
/// the marks and with 2 px of noise, where errors are no longer small against the figure, within 10 %.
#[test]
fn errors_are_foretold_as_another_program_met_them() {
    for case in &CASES {
        let plane = rectify(&marks(&case.corners), 0.5).unwrap();
        let coarse = rectify(&marks(&case.corners), 2.0).unwrap();
        let table = [
            (foretold(&plane, 1.0), case.inside, 0.08),
            (foretold(&plane, 2.0), case.twice, 0.08),
            (foretold(&coarse, 2.0), case.twice_at_2_px, 0.1),
        ];
        for (found, known, within) in table {
            assert!((found / known - 1.0).abs() < within, "{} degrees: {found} {known}", case.degrees);
        }
    }
}

/// A chequered board marked by chance: 68.3 % of true errors within one foretold deviation, along each axis.
#[test]
fn foretold_errors_of_readings_are_honest() {
    let mut chance = Chance(17);
    let camera = Camera::look_at([900.0, -1500.0, 700.0], [120.0, 0.0, 80.0], 4000.0, [2000.0, 1500.0]).unwrap();
    let shown = |[x, z]: [f64; 2]| camera.project([x, 0.0, z]).unwrap();
    let (mut within, mut all) = (0, 0);
    for _ in 0..400 {
        let crossing = |k: usize| {
            let [u, v] = shown([(k % 5) as f64 * 60.0, (k / 5) as f64 * 60.0]);
            [u + 0.7 * chance.normal(), v + 0.7 * chance.normal()]
        };
        let pixels: Vec<[f64; 2]> = (0..20).map(crossing).collect();
        let plane = rectify(&grid(5, 4, 60.0, &pixels).unwrap(), 0.7).unwrap();
        let place = [chance.between(-100.0, 340.0), chance.between(-80.0, 260.0)];
        let pixel = shown(place);
        let pointed = [pixel[0] + 0.4 * chance.normal(), pixel[1] + 0.4 * chance.normal()];
        let reading = plane.read_with_error(pointed, 0.4).unwrap();
        for ((found, known), sigma) in reading.at.iter().zip(place).zip(reading.sigmas()) {
            within += i32::from((found - known).abs() < sigma);
            all += 1;
        }
    }
    let share = f64::from(within) / f64::from(all);
    assert!((share - 0.683).abs() < 0.04, "{share}");
}

#[test]
fn a_mark_that_is_off_shows_in_its_residual() {
    let camera = Camera::look_at([900.0, -1500.0, 700.0], [120.0, 0.0, 80.0], 4000.0, [2000.0, 1500.0]).unwrap();
    let place = |k: usize| [(k % 4) as f64 * 60.0, 0.0, (k / 4) as f64 * 60.0];
    let mut pixels: Vec<[f64; 2]> = (0..12).map(|k| camera.project(place(k)).unwrap()).collect();
    pixels[5][0] += 9.0;
    let plane = rectify(&grid(4, 3, 60.0, &pixels).unwrap(), 0.5).unwrap();
    let worst = plane.residuals.iter().enumerate().max_by(|a, b| a.1.px.total_cmp(&b.1.px)).unwrap().0;
    assert_eq!(worst, 5);
    assert!(plane.widened > 3.0, "{}", plane.widened);
}

#[test]
fn what_gives_no_plane_is_refused_with_a_hint() {
    let corners = CASES[0].corners;
    let good = marks(&corners);
    let refused = |marks: &[Mark]| rectify(marks, 0.5).unwrap_err();
    assert_eq!(refused(&good[..3]), RectificationError::TooFew { found: 3 });

    let mut line = good.clone();
    line[2].pixel = [0, 1].map(|k| (line[0].pixel[k] + line[1].pixel[k]) / 2.0);
    assert_eq!(refused(&line), RectificationError::InALine { three: Some([1, 2, 3]) });
    assert!(refused(&line).to_string().contains("points 1, 2 and 3"));

    let all_but_one: Vec<Mark> =
        (0..6).map(|k| Mark { plane: [f64::from(k) * 10.0, 0.0], pixel: [f64::from(k) * 25.0, 7.0] }).collect();
    let all_but_one = [all_but_one, vec![Mark { plane: [5.0, 40.0], pixel: [9.0, 90.0] }]].concat();
    assert!(matches!(refused(&all_but_one), RectificationError::InALine { .. }));

    let mut repeated = good.clone();
    repeated[3].pixel = repeated[1].pixel;
    assert_eq!(refused(&repeated), RectificationError::Repeated { first: 2, second: 4 });

    let mut nan = good.clone();
    nan[2].plane[1] = f64::NAN;
    assert_eq!(refused(&nan), RectificationError::NotFinite { point: 3 });

    let crossed = rectangle(1000.0, 400.0, [corners[0], corners[2], corners[1], corners[3]]).unwrap();
    assert_eq!(refused(&crossed), RectificationError::Crossed);

    assert_eq!(rectify(&good, 0.0).unwrap_err(), RectificationError::NoDeviation);
    assert_eq!(rectangle(0.0, 400.0, corners).unwrap_err(), RectificationError::NoSize);
    let short = grid(3, 2, 20.0, &corners).unwrap_err();
    assert_eq!(short, RectificationError::Count { expected: 6, found: 4 });
    assert!(Homography::new(Matrix3::zeros()).is_none());
}

proptest! {
    /// What a camera shows of a plane is read back, whatever the camera.
    #[test]
    fn readings_are_the_places_that_were_shown(
        eye in prop::array::uniform2(-2000.0..2000.0_f64),
        away in 2000.0..8000.0_f64,
        places in prop::array::uniform5(prop::array::uniform2(-40.0..40.0_f64)),
    ) {
        let camera = Camera::look_at([eye[0], -away, eye[1]], [0.0; 3], 5000.0, [2000.0, 1500.0]).unwrap();
        let shown = |[x, z]: [f64; 2]| camera.project([x, 0.0, z]).unwrap();
        let base = [[-300.0, -200.0], [300.0, -200.0], [300.0, 200.0], [-300.0, 200.0], [0.0, 0.0]];
        let places: Vec<[f64; 2]> = base.iter().zip(places).map(|(b, p)| [b[0] + p[0], b[1] + p[1]]).collect();
        let marks: Vec<Mark> = places.iter().map(|p| Mark { plane: *p, pixel: shown(*p) }).collect();
        let plane = rectify(&marks, 0.5).unwrap();
        let read = plane.read(shown([123.0, -77.0])).unwrap();
        prop_assert!((read[0] - 123.0).hypot(read[1] + 77.0) < 1e-6, "{read:?}");
        prop_assert!(plane.misfit < 1e-6 && plane.widened == 1.0);
    }
}
