//! The lens and the camera behind it, against a published model and against differences.

#![allow(clippy::unwrap_used, reason = "the lint knows test functions, not what they call")]

use approx::assert_abs_diff_eq;
use photo::picture_camera::{PARAMETERS, Step};
use photo::{Camera, Lens, PictureCamera};
use proptest::prelude::*;

/// Source: the Brown-Conrady formulas evaluated independently (our table of check values).
#[test]
fn the_lens_draws_the_point_of_the_table() {
    let lens = Lens { k1: -0.1, k2: 0.01, p1: 0.001, p2: -0.0005 };
    let [x, y] = lens.distorted([0.3, 0.2]);
    assert_abs_diff_eq!(x, 0.2961157, epsilon = 6e-8);
    assert_abs_diff_eq!(y, 0.1975838, epsilon = 6e-8);
    let back = lens.undistorted([x, y]).unwrap();
    assert_abs_diff_eq!(back[0], 0.3, epsilon = 1e-12);
    assert_abs_diff_eq!(back[1], 0.2, epsilon = 1e-12);
}

/// r + k1 r³ stands still at r = 1 / √(-3 k1). Source: closed form.
#[test]
fn a_barrel_shows_nothing_beyond_its_fold() {
    let lens = Lens::radial(-0.12, 0.0);
    assert_abs_diff_eq!(lens.reach(), 1.0 / 0.36_f64.sqrt(), epsilon = 1e-14);
    let rim = lens.distorted([lens.reach(), 0.0])[0];
    assert!(lens.undistorted([rim * 0.999, 0.0]).is_some());
    assert_eq!(lens.undistorted([rim * 1.001, 0.0]), None);
    assert_eq!(lens.undistorted([f64::NAN, 0.0]), None);
    assert_eq!(Lens::radial(0.1, 0.0).reach(), f64::INFINITY);
    assert_abs_diff_eq!(Lens::radial(0.0, -0.2).reach(), 1.0, epsilon = 1e-14);
    assert_eq!(Lens::radial(-0.1, 0.1).reach(), f64::INFINITY);
}

#[test]
fn another_focal_length_keeps_every_pixel() {
    let lens = Lens { k1: -0.2, k2: 0.05, p1: 0.002, p2: -0.001 };
    let other = lens.at_focal(3000.0, 4200.0);
    let by = |lens: &Lens, focal: f64| lens.distorted([900.0 / focal, -500.0 / focal]).map(|c| c * focal);
    let (first, second) = (by(&lens, 3000.0), by(&other, 4200.0));
    assert_abs_diff_eq!(first[0], second[0], epsilon = 1e-9);
    assert_abs_diff_eq!(first[1], second[1], epsilon = 1e-9);
}

prop_compose! {
    fn picture_cameras()(
        eye in prop::array::uniform3(-4000.0..4000.0_f64),
        away in 3000.0..9000.0_f64,
        focal in 1500.0..9000.0_f64,
        k1 in -0.2..0.2_f64,
        k2 in -0.02..0.05_f64,
        p in prop::array::uniform2(-0.002..0.002_f64),
    ) -> PictureCamera {
        let camera = Camera::look_at([eye[0], -away, eye[2]], [0.0, 0.0, 50.0], focal, [2000.0, 1500.0]).unwrap();
        PictureCamera { camera, lens: Lens { k1, k2, p1: p[0], p2: p[1] } }
    }
}

proptest! {
    #[test]
    fn what_is_straightened_is_what_the_pinhole_shows(
        camera in picture_cameras(),
        point in prop::array::uniform3(-600.0..600.0_f64),
    ) {
        let shown = camera.project(point).unwrap();
        let ideal = camera.camera.project(point).unwrap();
        let straight = camera.straightened(shown).unwrap();
        prop_assert!((straight[0] - ideal[0]).hypot(straight[1] - ideal[1]) < 1e-8, "{straight:?} {ideal:?}");
        let (centre, focal) = (camera.camera.centre, camera.camera.focal_px);
        let bent = camera.lens.bent(ideal, centre, focal).unwrap();
        prop_assert!((bent[0] - shown[0]).hypot(bent[1] - shown[1]) < 1e-9);
        let (sight, eye) = (camera.sight(shown).unwrap(), camera.camera.eye());
        let to = nalgebra::Vector3::from(point) - nalgebra::Vector3::from(eye);
        prop_assert!(to.cross(&nalgebra::Vector3::from(sight)).norm() < 1e-7);
    }

    /// Against central differences.
    #[test]
    fn the_derivatives_are_those_of_the_pixel(
        camera in picture_cameras(),
        point in prop::array::uniform3(-600.0..600.0_f64),
    ) {
        let found = camera.projection(point).unwrap();
        prop_assert_eq!(found.pixel, camera.project(point).unwrap());
        prop_assert!((found.depth - camera.camera.depth(point)).abs() < 1e-9);
        let close = |known: f64, found: f64, size: f64| (known - found).abs() < 2e-6 * (1.0 + size);
        for column in 0..PARAMETERS {
            let h = if column < 3 { 1e-6 } else if column == 9 { 1e-5 } else { 1e-2 };
            let shown = |h: f64| {
                let mut step = [0.0; PARAMETERS];
                step[column] = h;
                camera.moved(&Step::from_array(step)).project(point).unwrap()
            };
            let (after, before) = (shown(h), shown(-h));
            for row in 0..2 {
                let known = (after[row] - before[row]) / (2.0 * h);
                let found = found.by_camera[(row, column)];
                prop_assert!(close(known, found, known.abs()), "{row} {column}: {known} {found}");
            }
        }
        for axis in 0..3 {
            let shown = |h: f64| {
                let mut moved = point;
                moved[axis] += h;
                camera.project(moved).unwrap()
            };
            let (after, before) = (shown(0.01), shown(-0.01));
            for row in 0..2 {
                let known = (after[row] - before[row]) / 0.02;
                prop_assert!(close(known, found.by_point[(row, axis)], known.abs()));
            }
        }
    }
}
