//! The camera against figures made without it.

use approx::assert_abs_diff_eq;
use nalgebra::{Matrix3, Rotation3, Vector3};
use photo::Camera;
use photo::camera::{field_of_view_deg, focal_px_by_width, focal_px_from_equivalent};

/// Source: computed independently from the written convention X_c = R X + T, pixels rounded to 1e-4 (our table of check
/// values for pose solvers; f = 3000, c = (2000, 1500), R = Rz(3°) Ry(20°) Rx(-10°), T = (0.5, -0.2, 12)).
#[test]
fn points_fall_on_the_pixels_of_the_pose_table() {
    let turn = |axis: Vector3<f64>, degrees: f64| {
        Rotation3::from_axis_angle(&nalgebra::Unit::new_normalize(axis), degrees.to_radians())
    };
    let rotation = turn(Vector3::z(), 3.0) * turn(Vector3::y(), 20.0) * turn(Vector3::x(), -10.0);
    let camera = Camera {
        rotation: rotation.into_inner(),
        translation: Vector3::new(0.5, -0.2, 12.0),
        focal_px: 3000.0,
        centre: [2000.0, 1500.0],
    };
    let table = [
        ([0.0, 0.0, 0.0], [2125.0, 1450.0]),
        ([2.0, 0.0, 0.0], [2630.1214, 1473.0538]),
        ([0.0, 1.0, 0.0], [2098.6285, 1697.7768]),
        ([2.0, 1.0, 0.0], [2609.5229, 1736.3650]),
        ([1.0, 0.5, 0.8], [2400.6257, 1619.8822]),
        ([3.0, -0.5, 0.4], [2919.3882, 1377.5863]),
    ];
    for (point, pixel) in table {
        let found = camera.project(point).unwrap();
        assert_abs_diff_eq!(found[0], pixel[0], epsilon = 6e-5);
        assert_abs_diff_eq!(found[1], pixel[1], epsilon = 6e-5);
    }
}

/// Source: projected with OpenCV in another program (a nose at full size, 85 mm equivalent on 6000 x 4000).
#[test]
fn points_fall_where_another_library_puts_them() {
    let camera = Camera {
        rotation: Matrix3::new(
            -0.6691306063588582,
            0.7431448254773942,
            0.0,
            0.023211944604571256,
            0.020900128797973386,
            -0.9995120760870787,
            -0.7427822273462801,
            -0.6688041215351482,
            -0.031234752377721213,
        ),
        translation: Vector3::new(529.9514402362155, -33.501480277637526, 8591.7163952196),
        focal_px: focal_px_from_equivalent(85.0, [6000, 4000]),
        centre: [3000.0, 2000.0],
    };
    assert_abs_diff_eq!(camera.focal_px, 14166.666666666666, epsilon = 1e-8);
    let eye = camera.eye();
    for (found, known) in eye.iter().zip([6737.1586038191535, 5353.044850870866, 234.875]) {
        assert_abs_diff_eq!(*found, known, epsilon = 1e-8);
    }
    let landmarks = [
        ([72.0, 0.0, 469.62496875], [3800.7365719459867, 1166.9330499691905]),
        ([720.0, 0.0, 429.375], [3084.8527467296253, 1214.5601256573639]),
        ([1440.0, 0.0, 220.0], [2182.6448228813183, 1585.345605484785]),
        ([1440.0, 270.0, -50.0], [2550.5859337233255, 2107.1551056769677]),
        ([1440.0, 0.0, -320.0], [2184.4751397110326, 2601.430903084638]),
        ([72.0, 599.711246648, -0.125], [4614.671258244388, 1966.6231381933487]),
        ([72.0, 398.713151011, -398.838151011], [4330.600543736578, 2641.5444500033464]),
        ([1440.0, -270.0, -50.0], [1833.7412105398805, 2081.3790035953616]),
    ];
    for (point, pixel) in landmarks {
        let found = camera.project(point).unwrap();
        assert_abs_diff_eq!(found[0], pixel[0], epsilon = 1e-6);
        assert_abs_diff_eq!(found[1], pixel[1], epsilon = 1e-6);
    }
}

/// An object nearer than the plane that was scaled by z, from D away, looks larger by z / (D - z). Source: closed form;
/// the figures are of our table of check values.
#[test]
fn what_is_nearer_looks_larger_by_z_over_d_less_z() {
    let cases = [(0.5, 20.0, 2.5641), (-0.5, 20.0, -2.4390), (0.5, 10.0, 5.2632), (1.0, 30.0, 3.4483)];
    for (nearer, distance, percent) in cases {
        let camera = Camera::look_at([0.0, -distance, 0.0], [0.0; 3], 4000.0, [0.0; 2]).unwrap();
        let width = |y: f64| camera.project([1.0, y, 0.0]).unwrap()[0] - camera.project([-1.0, y, 0.0]).unwrap()[0];
        assert_abs_diff_eq!((width(-nearer) / width(0.0) - 1.0) * 100.0, percent, epsilon = 6e-5);
    }
}

/// Source: closed form, 2 atan(side / 2f) on the 36 x 24 mm frame; the figures are of our table of check values.
#[test]
fn the_field_of_view_is_that_of_the_lens_table() {
    let table =
        [(24.0, 73.74, 53.13), (35.0, 54.43, 37.85), (50.0, 39.60, 26.99), (85.0, 23.91, 16.07), (135.0, 15.19, 10.16)];
    for (equivalent, level, upright) in table {
        let focal = focal_px_from_equivalent(equivalent, [3600, 2400]);
        assert_abs_diff_eq!(field_of_view_deg(focal, 3600), level, epsilon = 0.006);
        assert_abs_diff_eq!(field_of_view_deg(focal, 2400), upright, epsilon = 0.006);
    }
}

/// CIPA DC-008 leaves open whether the diagonal or the width is meant; ours is the diagonal. Source of the figures: our
/// table of check values.
#[test]
fn the_equivalent_focal_length_goes_by_the_diagonal() {
    assert_abs_diff_eq!(focal_px_from_equivalent(26.0, [4000, 3000]), 3004.63, epsilon = 0.006);
    assert_abs_diff_eq!(focal_px_from_equivalent(50.0, [4000, 3000]), 5778.13, epsilon = 0.006);
    assert_abs_diff_eq!(focal_px_from_equivalent(50.0, [6000, 4000]), 8333.33, epsilon = 0.006);
    assert_abs_diff_eq!(focal_px_by_width(26.0, [4000, 3000]), 2888.89, epsilon = 0.006);
    assert_abs_diff_eq!(focal_px_by_width(50.0, [3000, 4000]), 5555.56, epsilon = 0.006);
    assert_abs_diff_eq!(focal_px_by_width(50.0, [6000, 4000]), 8333.33, epsilon = 0.006);
}

#[test]
fn looking_at_a_point_puts_it_in_the_middle_and_up_upwards() {
    let camera = Camera::look_at([-3000.0, -4000.0, 1500.0], [200.0, 0.0, 100.0], 2500.0, [800.0, 550.0]).unwrap();
    let pixel = camera.project([200.0, 0.0, 100.0]).unwrap();
    assert_abs_diff_eq!(pixel[0], 800.0, epsilon = 1e-9);
    assert_abs_diff_eq!(pixel[1], 550.0, epsilon = 1e-9);
    let above = camera.project([200.0, 0.0, 300.0]).unwrap();
    assert_abs_diff_eq!(above[0], 800.0, epsilon = 1e-9);
    assert!(above[1] < 550.0);
    assert_abs_diff_eq!(camera.rotation.determinant(), 1.0, epsilon = 1e-12);
    assert_eq!(camera.project([-6200.0, -8000.0, 2900.0]), None, "behind the camera");
}

#[test]
fn a_camera_without_a_direction_is_refused() {
    assert_eq!(Camera::look_at([1.0; 3], [1.0; 3], 1000.0, [0.0; 2]), None);
    assert_eq!(Camera::look_at([0.0, 0.0, 10.0], [0.0; 3], 1000.0, [0.0; 2]), None);
    assert_eq!(Camera::look_at([f64::NAN, 0.0, 10.0], [0.0; 3], 1000.0, [0.0; 2]), None);
}
