//! What the renderer draws, held against closed forms.

use geometry::mesh::Mesh;
use shade::{
    Background, Body, Camera, Lens, Line, Normals, Orbit, Paint, Picture, Scene, Settings, Spot, Studio, Surface, View,
    depth_map, render,
};

/// Paint of one colour that no light changes.
struct Plain([u8; 3]);

impl Paint for Plain {
    fn light(&self, _: &Spot) -> [f32; 3] {
        shade::from_srgb(self.0)
    }
}

/// A sphere about the origin, `n` bands from pole to pole.
fn sphere(radius: f64, n: u32) -> Mesh {
    let mut mesh = Mesh::default();
    for i in 0..=n {
        let polar = std::f64::consts::PI * f64::from(i) / f64::from(n);
        for j in 0..2 * n {
            let around = std::f64::consts::PI * f64::from(j) / f64::from(n);
            let ring = radius * polar.sin();
            mesh.vertices.push([ring * around.cos(), ring * around.sin(), radius * polar.cos()]);
        }
    }
    let at = |i: u32, j: u32| i * 2 * n + j % (2 * n);
    for i in 0..n {
        for j in 0..2 * n {
            mesh.triangles.push([at(i, j), at(i + 1, j), at(i + 1, j + 1)]);
            mesh.triangles.push([at(i, j), at(i + 1, j + 1), at(i, j + 1)]);
        }
    }
    mesh
}

/// A box between two corners.
fn cuboid(a: [f64; 3], b: [f64; 3]) -> Mesh {
    let corner = |i: usize| [[a, b][i & 1][0], [a, b][i >> 1 & 1][1], [a, b][i >> 2 & 1][2]];
    let quads = [[0, 4, 6, 2], [1, 3, 7, 5], [0, 1, 5, 4], [2, 6, 7, 3], [0, 2, 3, 1], [4, 5, 7, 6]];
    let triangles = quads.iter().flat_map(|q| [[q[0], q[1], q[2]], [q[0], q[2], q[3]]]).collect();
    Mesh { vertices: (0..8).map(corner).collect(), triangles }
}

fn draw(surfaces: &[Surface], lines: &[Line], camera: &Camera, settings: &Settings) -> Picture {
    render(&Scene { surfaces, lines, background: Background::Plain([255; 3]) }, camera, settings)
}

fn orbit(azimuth_deg: f64, elevation_deg: f64, span_mm: f64, view: View) -> Orbit {
    Orbit { azimuth_deg, elevation_deg, target: [0.0; 3], span_mm, view }
}

fn settings(size: [u32; 2]) -> Settings {
    Settings { size, smooth_edges: false, fine_paint: false, threads: 1 }
}

/// In perspective the outline of a sphere is a cone about the line of sight: its radius is f R / sqrt(D² - R²), not
/// f R / D (closed form).
#[test]
fn a_sphere_has_the_outline_of_its_tangent_cone() {
    let body = Body::new(&sphere(50.0, 120), Normals::default());
    let black = Plain([0; 3]);
    let surfaces = [Surface { body: &body, paint: &black }];
    let (size, span, distance, radius) = (601.0_f64, 150.0, 200.0_f64, 50.0_f64);
    let focal = size * distance / span;
    let cases = [
        (View::Orthographic, size * radius / span),
        (View::Perspective { distance_mm: distance }, focal * radius / (distance * distance - radius * radius).sqrt()),
    ];
    for (view, expected) in cases {
        let picture = draw(&surfaces, &[], &orbit(30.0, 25.0, span, view).camera([601; 2]), &settings([601; 2]));
        let dark = picture.rgba.chunks(4).filter(|p| p[0] == 0).count();
        let measured = (dark as f64 / std::f64::consts::PI).sqrt();
        assert!((measured - expected).abs() < 0.15, "{view:?}: {measured} px measured, {expected} px expected");
        let row = (0..601).filter(|&x| picture.pixel(x, 300).unwrap()[0] == 0).count() as f64;
        assert!((row / 2.0 - expected).abs() <= 1.0, "{view:?}: half of the middle row {}", row / 2.0);
    }
}

/// Two boxes cross like a plus sign laid askew in depth: where they overlap the nearer surface must win, which changes
/// from one to the other along the line where their front faces cross.
#[test]
fn of_two_boxes_that_cross_the_nearer_surface_is_seen() {
    let level = Body::new(&cuboid([-10.0, -50.0, -10.0], [10.0, 50.0, 10.0]), Normals::Flat);
    // A box sheared so that its front stands at x = -10 - y / 2: behind the first box's to port, ahead to starboard.
    let mut mesh = cuboid([-10.0, -40.0, -5.0], [10.0, 40.0, 5.0]);
    for v in &mut mesh.vertices {
        v[0] -= v[1] / 2.0;
    }
    let askew = Body::new(&mesh, Normals::Flat);
    let (red, blue) = (Plain([255, 0, 0]), Plain([0, 0, 255]));
    let there = [Surface { body: &level, paint: &red }, Surface { body: &askew, paint: &blue }];
    let back = [there[1], there[0]];
    for view in [View::Orthographic, View::Perspective { distance_mm: 400.0 }] {
        let camera = orbit(0.0, 0.0, 120.0, view).camera([240, 240]);
        for surfaces in [&there, &back] {
            let picture = draw(surfaces, &[], &camera, &settings([240; 2]));
            for y in [-39.0, -20.0, -2.0, 2.0, 20.0, 39.0] {
                let front = if y > 0.0 { -10.0 - y / 2.0 } else { -10.0 };
                let [px, py] = camera.project([front, y, 0.0]).unwrap();
                let expected = if y > 0.0 { [0, 0, 255, 255] } else { [255, 0, 0, 255] };
                assert_eq!(picture.pixel(px as u32, py as u32), Some(expected), "{view:?} at y = {y}");
            }
        }
    }
}

#[test]
fn depth_is_measured_from_the_eye() {
    let body = Body::new(&sphere(50.0, 90), Normals::default());
    for (view, distance) in [(View::Orthographic, 0.0), (View::Perspective { distance_mm: 300.0 }, 300.0)] {
        let camera = orbit(10.0, 40.0, 120.0, view).camera([101, 101]);
        let map = depth_map(&[&body], &camera, [101, 101]);
        let depth = map.depth(50, 50).unwrap();
        assert!((depth - (distance - 50.0)).abs() < 0.05, "{depth}");
        assert_eq!(map.depth(0, 0), None);
        assert_eq!(map.depth(101, 0), None);
    }
}

/// Paint that is white where the normal is turned to the eye by as much as it should be.
struct Towards([f32; 3]);

impl Paint for Towards {
    fn light(&self, spot: &Spot) -> [f32; 3] {
        let along: f32 = (0..3).map(|i| spot.normal[i] * self.0[i]).sum();
        let to_eye: f32 = (0..3).map(|i| spot.normal_in_camera[i] * spot.to_eye_in_camera[i]).sum();
        [if along > 0.999 && to_eye > 0.0 { 1.0 } else { 0.0 }; 3]
    }
}

#[test]
fn an_open_surface_turns_the_side_that_is_seen_to_the_eye() {
    let mesh =
        Mesh { vertices: vec![[0.0, -50.0, -40.0], [0.0, 50.0, -40.0], [0.0, 0.0, 60.0]], triangles: vec![[0, 1, 2]] };
    let body = Body::new(&mesh, Normals::Flat);
    for smooth_edges in [false, true] {
        for (azimuth, towards) in [(0.0, [-1.0, 0.0, 0.0]), (180.0, [1.0, 0.0, 0.0])] {
            let paint = Towards(towards);
            let surfaces = [Surface { body: &body, paint: &paint }];
            let camera = orbit(azimuth, 10.0, 120.0, View::Perspective { distance_mm: 300.0 }).camera([60, 60]);
            let settings = Settings { smooth_edges, ..settings([60; 2]) };
            let picture = render(&Scene { surfaces: &surfaces, ..Scene::default() }, &camera, &settings);
            assert_eq!(picture.pixel(30, 30), Some([255; 4]), "from {azimuth}°");
        }
    }
}

/// Lighting a pixel once or at each of its samples makes no difference that is seen on a smooth body.
#[test]
fn sharing_light_within_a_pixel_does_not_show() {
    let body = Body::new(&sphere(50.0, 90), Normals::default());
    let studio = Studio::default();
    let surfaces = [Surface { body: &body, paint: &studio }];
    let camera = Orbit::fitting(body.bounds()).camera([200, 200]);
    let draw_with = |fine_paint| {
        let settings = Settings { smooth_edges: true, fine_paint, ..settings([200; 2]) };
        render(&Scene { surfaces: &surfaces, ..Scene::default() }, &camera, &settings)
    };
    let (shared, fine) = (draw_with(false), draw_with(true));
    let worst = shared.rgba.iter().zip(&fine.rgba).map(|(a, b)| a.abs_diff(*b)).max();
    assert!(worst <= Some(6), "{worst:?} of 255");
    assert!(shared != fine, "both ways are the same code");
}

#[test]
fn the_same_scene_gives_the_same_bytes_for_any_number_of_threads() {
    let body = Body::new(&sphere(50.0, 150), Normals::default());
    let studio = Studio::default();
    let surfaces = [Surface { body: &body, paint: &studio }];
    let ring = (0..=60_i32).map(|i| f64::from(i).to_radians() * 6.0).map(|a| [0.0, 50.0 * a.cos(), 50.0 * a.sin()]);
    let lines = [Line { points: ring.collect(), ..Line::default() }];
    let camera = Orbit::fitting(body.bounds()).camera([300, 211]);
    let one = Settings { size: [300, 211], smooth_edges: true, fine_paint: false, threads: 1 };
    let first = draw(&surfaces, &lines, &camera, &one);
    for threads in [1, 2, 3, 7] {
        assert!(draw(&surfaces, &lines, &camera, &Settings { threads, ..one }) == first, "{threads} threads differ");
    }
}

#[test]
fn a_line_shows_before_a_body_and_hides_behind_it() {
    let body = Body::new(&sphere(50.0, 60), Normals::default());
    let white = Plain([250; 3]);
    let surfaces = [Surface { body: &body, paint: &white }];
    let camera = orbit(0.0, 0.0, 150.0, View::Perspective { distance_mm: 500.0 }).camera([300, 300]);
    let level = |x: f64| Line {
        points: vec![[x, -70.0, 0.0], [x, 70.0, 0.0]],
        colour: [0, 120, 0],
        width_px: 3.0,
        ..Line::default()
    };
    let seen = |x: f64| {
        let picture = draw(&surfaces, &[level(x)], &camera, &settings([300; 2]));
        [0.0, 65.0].map(|y| {
            let [px, py] = camera.project([x, y, 0.0]).unwrap();
            picture.pixel(px as u32, py as u32) == Some([0, 120, 0, 255])
        })
    };
    assert_eq!(seen(-60.0), [true, true]);
    assert_eq!(seen(60.0), [false, true], "behind the sphere, but beside it further out");
}

/// Half the pixels' width covered means half the light in a square-root scale: a level line whose edge lies in the
/// middle of a pixel row.
#[test]
fn a_line_covers_part_of_a_pixel() {
    let camera = orbit(90.0, 0.0, 100.0, View::Orthographic).camera([100, 100]);
    let line =
        Line { points: vec![[-40.0, 0.0, 0.0], [40.0, 0.0, 0.0]], colour: [0; 3], width_px: 1.0, ..Line::default() };
    let picture = draw(&[], &[line], &camera, &settings([100; 2]));
    let grey = (0.5_f32.sqrt() * 255.0).round() as u8;
    for row in [49, 50] {
        assert_eq!(picture.pixel(50, row), Some([grey, grey, grey, 255]));
    }
    assert_eq!(picture.pixel(50, 51), Some([255; 4]));
}

#[test]
fn nothing_to_draw_is_no_reason_to_fail() {
    let empty = Body::new(&Mesh::default(), Normals::default());
    let studio = Studio::default();
    let surfaces = [Surface { body: &empty, paint: &studio }];
    let camera = Orbit::fitting(empty.bounds()).camera([0, 0]);
    for size in [[0, 0], [0, 10], [10, 0]] {
        assert!(draw(&surfaces, &[], &camera, &settings(size)).rgba.is_empty());
    }
    let clear = render(&Scene { surfaces: &surfaces, ..Scene::default() }, &camera, &settings([4, 3]));
    assert_eq!(clear.rgba, vec![0; 48]);
    let gradient = Background::Gradient { top: [0; 3], bottom: [255; 3] };
    let picture = render(
        &Scene { background: gradient, ..Scene::default() },
        &camera,
        &Settings { size: [1, 64], ..settings([0; 2]) },
    );
    assert!(picture.pixel(0, 0).unwrap()[0] < 40 && picture.pixel(0, 63).unwrap()[0] > 250);
}

#[test]
fn numbers_that_are_none_and_places_far_away_do_no_harm() {
    let nan = f64::NAN;
    let mesh = Mesh {
        vertices: vec![
            [nan, 0.0, 0.0],
            [0.0, 50.0, 0.0],
            [0.0, 0.0, 50.0],
            [1e300, 0.0, 0.0],
            [-1e9, -3e9, -20.0],
            [1e9, -3e9, -20.0],
            [1e9, 3e9, -20.0],
            [-1e9, 3e9, -20.0],
            [f64::MAX, f64::MIN, f64::MAX],
        ],
        triangles: vec![[0, 1, 2], [1, 2, 3], [4, 5, 6], [4, 6, 7], [1, 2, 8]],
    };
    let body = Body::new(&mesh, Normals::default());
    let red = Plain([255, 0, 0]);
    let surfaces = [Surface { body: &body, paint: &red }];
    let lines = [Line { points: vec![[nan; 3], [0.0; 3], [1e300; 3], [-1e6, 0.0, 0.0]], ..Line::default() }];
    let camera = orbit(0.0, 30.0, 100.0, View::Perspective { distance_mm: 300.0 }).camera([64, 64]);
    let picture = draw(&surfaces, &lines, &camera, &settings([64; 2]));
    // The huge level plane runs under the eye and behind it: it must be cut, not lost.
    assert_eq!(picture.pixel(10, 60), Some([255, 0, 0, 255]));
    let lost = Camera { lens: Lens::Perspective { focal_px: nan }, ..camera };
    assert_eq!(draw(&surfaces, &lines, &lost, &settings([8; 2])).rgba.len(), 256);
}
