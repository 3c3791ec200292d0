//! A form through a camera, held against closed forms (the contours of sphere and cylinder), against lines of sight tried one by one on
//! a fine mesh, and against laws that hold of every form.
#![allow(clippy::unwrap_used, clippy::expect_used)] // tests may stop at the first surprise

use form::Lofted;
use form::seen::{
    Near, NearWhat, Seen, SeenPart, Sight, SilhouetteKind, SilhouettePlace, Spot, SurfaceNode, Wanted, contact, seen,
    silhouette,
};
use geometry::mesh::Mesh;
use photo::{Camera, Lens, PictureCamera};
use plugwright_tests::forms::{Bounds, LENGTH, any_form};
use project::document::{ControlSection, Form, LineEnd, LineName, LinePoint, LinePointKind, MasterLine, SectionShape};
use project::starter::{ELLIPSE_RHO, empty_form, two_conics};
use proptest::prelude::*;
use std::sync::Arc;

type Vector = [f64; 3];

fn sub(a: Vector, b: Vector) -> Vector {
    std::array::from_fn(|k| a[k] - b[k])
}

fn dot(a: Vector, b: Vector) -> f64 {
    (0..3).map(|k| a[k] * b[k]).sum()
}

fn cross(a: Vector, b: Vector) -> Vector {
    [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
}

fn length(a: Vector) -> f64 {
    dot(a, a).sqrt()
}

fn camera(eye: Vector, target: Vector) -> PictureCamera {
    PictureCamera::from(Camera::look_at(eye, target, 4000.0, [2000.0, 1500.0]).unwrap())
}

fn line(points: &[[f64; 2]], end: LineEnd) -> Arc<MasterLine> {
    let point = |p: &[f64; 2]| LinePoint { x: p[0], value: p[1], kind: LinePointKind::Smooth };
    Arc::new(MasterLine { points: points.iter().map(point).collect(), front: end, rear: end })
}

fn form(radius: impl Fn(f64) -> f64, xs: &[f64], end: LineEnd) -> Form {
    let mut form = empty_form("round");
    let of = |sign: f64| xs.iter().map(|x| [*x, sign * radius(*x)]).collect::<Vec<_>>();
    form.lines.crown = line(&of(1.0), end);
    form.lines.keel = line(&of(-1.0), end);
    form.lines.breadth = line(&of(1.0), end);
    form.lines.breadth_height = line(&[[xs[0], 0.0], [xs[xs.len() - 1], 0.0]], LineEnd::Free);
    let section = |x: f64| ControlSection { station: x, shape: SectionShape::Shaped(two_conics(ELLIPSE_RHO)) };
    form.sections = vec![Arc::new(section(0.5 * (xs[0] + xs[xs.len() - 1])))];
    form.stations = vec![xs[0] + 0.3 * (xs[xs.len() - 1] - xs[0])];
    form
}

const RADIUS: f64 = 80.0;

/// From -80 to 80 about the origin; by its lines, which follow a circle within 1e-3 mm.
fn sphere() -> Form {
    let xs: Vec<f64> = (0..=24).map(|i| -RADIUS * (std::f64::consts::PI * f64::from(i) / 24.0).cos()).collect();
    form(|x| (RADIUS * RADIUS - x * x).max(0.0).sqrt(), &xs, LineEnd::Upright)
}

fn cylinder() -> Form {
    form(|_| RADIUS, &[0.0, 150.0, 300.0], LineEnd::Free)
}

fn facing(place: &SilhouettePlace, eye: Vector) -> f64 {
    let way = sub(eye, place.point);
    dot(place.normal, way) / length(way)
}

/// Seen from a distance d the contour of a sphere of radius r is the circle whose radius stands at acos(r / d) from the eye's
/// direction, and the picture shows it under asin(r / d) (elementary geometry).
#[test]
fn the_silhouette_of_a_sphere_is_the_circle_it_should_be() {
    let form = sphere();
    let lofted = form::loft(&form);
    for eye in [[-300.0, 400.0, 250.0], [-700.0, 10.0, 5.0], [3.0, 500.0, 2.0], [0.0, 0.5, 900.0], [-600.0, 0.0, 0.0]] {
        let camera = camera(eye, [0.3, 0.2, 0.1]);
        let curves = silhouette(&lofted, &form, &camera);
        let places: Vec<_> = curves.iter().flatten().filter(|p| p.kind != SilhouetteKind::Tip).collect();
        assert_eq!(curves.len(), 1, "one closed curve from {eye:?}");
        assert!(places.len() > 40 && curves[0].first().unwrap().point == curves[0].last().unwrap().point);
        let d = length(eye);
        for p in places {
            let angle = (dot(p.point, eye) / length(p.point) / d).acos();
            // The lines follow the circle within 1e-3 mm, their slopes within about 1e-3.
            assert!((angle - (RADIUS / d).acos()).abs() < 3e-3, "{p:?} from {eye:?}");
            let way = sub(p.point, eye);
            let seen_under = (-dot(way, eye) / length(way) / d).acos();
            assert!((seen_under - (RADIUS / d).asin()).abs() < 1e-5, "{seen_under} for {p:?}");
            assert_eq!(p.sight, Sight::Outline, "{p:?} from {eye:?}");
        }
        // What is drawn between them stays on the circle's picture to half a pixel, some 0.05 mm.
        let seen = seen(&lofted, &form, &camera, &Wanted::default());
        let drawn = seen.lines.iter().find(|l| l.part == SeenPart::Silhouette).unwrap();
        for w in drawn.runs.iter().flat_map(|r| r.places.windows(2)) {
            let middle = [0, 1].map(|k| 0.5 * (w[0].pixel[k] + w[1].pixel[k]));
            for pixel in [w[0].pixel, middle] {
                let way = camera.sight(pixel).unwrap();
                let seen_under = (-dot(way, eye) / d).acos();
                assert!((seen_under - (RADIUS / d).asin()).abs() < 0.6 / 4000.0, "{pixel:?} from {eye:?}");
            }
        }
    }
}

/// The silhouette lines of a cylinder of radius r from a distance d of its axis lie acos(r / d) to both sides of the eye's direction,
/// and appear asin(r / d) to both sides of the axis (elementary geometry). Its rims close them to one outline.
#[test]
fn the_silhouette_of_a_cylinder_is_two_lines_and_its_rims() {
    let form = cylinder();
    let lofted = form::loft(&form);
    let eye = [100.0, 500.0, 300.0];
    let camera = camera(eye, [150.0, 0.0, 0.0]);
    let curves = silhouette(&lofted, &form, &camera);
    assert_eq!(curves.len(), 1);
    let d = eye[1].hypot(eye[2]);
    let (mut lines, mut rims) = (0, 0);
    for p in curves.iter().flatten() {
        let away = ((p.point[1] * eye[1] + p.point[2] * eye[2]) / d / RADIUS).min(1.0).acos();
        match p.kind {
            SilhouetteKind::Surface => {
                lines += 1;
                assert!((away - (RADIUS / d).acos()).abs() < 1e-6, "{p:?}");
                assert_eq!(p.sight, Sight::Outline, "{p:?}");
            }
            SilhouetteKind::Rim => {
                rims += 1;
                // Both faces are turned away (the eye stands between them), so the rims are where the side faces the eye.
                assert!(away < (RADIUS / d).acos() + 1e-6 && (p.point[0] == 0.0 || p.point[0] == 300.0));
                assert_eq!(p.sight, Sight::Outline, "{p:?}");
            }
            kind => panic!("{kind:?}"),
        }
    }
    assert!(lines > 60 && rims > 20, "{lines} and {rims}");
}

#[test]
fn a_face_towards_the_eye_shows_its_whole_rim_as_outline() {
    let form = cylinder();
    // From straight ahead and near, the side is wholly behind the face.
    let camera = camera([-400.0, 0.0, 0.0], [0.0, 0.0, 0.0]);
    let curves = silhouette(&form::loft(&form), &form, &camera);
    assert_eq!(curves.len(), 1);
    assert!(curves[0].iter().all(|p| p.kind == SilhouetteKind::Rim && p.point[0] == 0.0 && p.sight == Sight::Outline));
    // Its section at the face is in sight, and the other lines are not.
    let seen = seen(&form::loft(&form), &form, &camera, &Wanted::default());
    let station = seen.lines.iter().find(|l| matches!(l.part, SeenPart::Station(..))).unwrap();
    assert!(station.runs.iter().all(|r| r.sight == Sight::Hidden), "{station:?}");
}

/// Whether the segment from the eye to a place meets the mesh before it, more than `margin` mm ahead of it (Möller, Trumbore
/// 1997).
fn hidden(mesh: &Mesh, eye: Vector, place: Vector, margin: f64) -> bool {
    let way = sub(place, eye);
    let most = 1.0 - margin / length(way);
    mesh.triangles.iter().any(|t| {
        let [a, b, c] = t.map(|i| mesh.vertices[i as usize]);
        let (ab, ac) = (sub(b, a), sub(c, a));
        let across = cross(way, ac);
        let volume = dot(ab, across);
        if volume.abs() < 1e-12 {
            return false;
        }
        let from = sub(eye, a);
        let u = dot(from, across) / volume;
        let turned = cross(from, ab);
        let v = dot(way, turned) / volume;
        let t = dot(ac, turned) / volume;
        u >= 0.0 && v >= 0.0 && u + v <= 1.0 && t > 0.0 && t < most
    })
}

fn any_camera() -> impl Strategy<Value = PictureCamera> {
    (-180.0..180.0_f64, -40.0..50.0_f64, 500.0..3000.0_f64).prop_map(|(azimuth, elevation, d)| {
        let (a, e) = (azimuth.to_radians(), elevation.to_radians());
        let target = [0.5 * LENGTH, 0.0, 0.0];
        let eye = [target[0] - d * a.cos() * e.cos(), d * a.sin() * e.cos(), d * e.sin()];
        camera(eye, target)
    })
}

fn whole(form: &Form) -> Option<Lofted> {
    let lofted = form::loft(form);
    lofted.whole_skin().is_some().then_some(lofted)
}

/// Pixels of the surface, all over.
fn samples(lofted: &Lofted, camera: &PictureCamera) -> Vec<[f64; 2]> {
    let loft = lofted.skin.as_ref().unwrap().loft();
    let mut out = Vec::new();
    for i in 0..=120 {
        let x = LENGTH * f64::from(i) / 120.0;
        let section = loft.section(x).unwrap();
        for [y, z] in section.polyline_of(0.5, 8) {
            out.extend([y, -y].into_iter().filter_map(|y| camera.project([x, y, z])));
        }
    }
    out
}

fn bound(pixels: impl Iterator<Item = [f64; 2]>, direction: [f64; 2]) -> f64 {
    pixels.map(|p| p[0] * direction[0] + p[1] * direction[1]).fold(f64::NEG_INFINITY, f64::max)
}

fn is_edge_on(place: &SilhouettePlace, eye: Vector) -> bool {
    facing(place, eye).abs() < 1e-6
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(40))]

    /// Every smooth place of the silhouette is seen edge on, and the form reaches exactly as far in every direction of the picture as
    /// its outline does.
    #[test]
    fn the_outline_bounds_every_form(form in any_form(&Bounds::built()), camera in any_camera()) {
        let Some(lofted) = whole(&form) else { return Ok(()) };
        let curves = silhouette(&lofted, &form, &camera);
        let eye = camera.camera.eye();
        let loft = lofted.skin.as_ref().unwrap().loft();
        for p in curves.iter().flatten().filter(|p| !is_edge_on(p, eye)) {
            // Where a bay of the loft is held back, its surface has faint edges along the body: there it turns away at once.
            prop_assert!(loft.limited_bays().next().is_some(), "{} {p:?}", facing(p, eye));
            let [before, behind] = [-1e-5, 1e-5].map(|f| {
                let node = SurfaceNode::at(loft, Spot { fraction: p.spot.fraction + f, ..p.spot }).unwrap();
                dot(node.normal, sub(eye, node.point))
            });
            prop_assert!(before * behind < 0.0, "{} {p:?}", facing(p, eye));
        }
        let outline = || curves.iter().flatten().filter(|p| p.sight == Sight::Outline).filter_map(|p| p.pixel);
        let all = samples(&lofted, &camera);
        let size = bound(all.iter().copied(), [1.0, 0.0]) + bound(all.iter().copied(), [-1.0, 0.0]);
        for i in 0..24 {
            let a = std::f64::consts::TAU * f64::from(i) / 24.0;
            let (form, line) = (bound(all.iter().copied(), [a.cos(), a.sin()]), bound(outline(), [a.cos(), a.sin()]));
            // Places of the outline lie some 1/40 of the form apart, so its chords stay within a part in 2000 of its size.
            prop_assert!((form - line).abs() < 0.002 * size, "{form} against {line} in a picture of {size} px");
        }
    }

    /// What is in sight and what is hidden, against lines of sight through a mesh of 0.1 mm. Where it depends on how near to the place
    /// the mesh is believed, within 4 mm, either answer will do; places within 1.5 px of the silhouette are left out.
    #[test]
    fn lines_are_hidden_where_the_form_stands_before_them(form in any_form(&Bounds::built()), camera in any_camera()) {
        let Some(lofted) = whole(&form) else { return Ok(()) };
        let mesh = lofted.skin.as_ref().unwrap().loft().mesh(0.1);
        let eye = camera.camera.eye();
        let wanted = Wanted { control_lines: false, ..Wanted::default() };
        let (mut wrong, mut all) = (0, 0);
        let seen = seen(&lofted, &form, &camera, &wanted);
        for line in seen.lines.iter().filter(|l| l.part != SeenPart::Silhouette) {
            for run in &line.runs {
                // The places where sight changes belong to both.
                let inner = run.places.get(2..run.places.len().saturating_sub(2)).unwrap_or_default();
                for place in inner.iter().step_by(3) {
                    let near = seen.near(place.pixel, 1.5);
                    if near.iter().any(|n| matches!(n.what, NearWhat::Silhouette(_))) {
                        continue;
                    }
                    let answers = [4.0, 0.7, 0.02].map(|margin| hidden(&mesh, eye, place.point, margin));
                    all += 1;
                    let told = run.sight == Sight::Hidden;
                    wrong += usize::from(!answers.contains(&told));
                    if !answers.contains(&told) { eprintln!("{:?} {told} {place:?}", line.part); }
                }
            }
        }
        prop_assert!(wrong * 100 <= all, "{wrong} of {all}");
    }

    /// The contact found from a place of the silhouette is that place, and for a pixel moved outward it tells by how much. (Where the
    /// silhouette runs along the line of sight for a while, a few are found elsewhere on it, or not at all.)
    #[test]
    fn a_contact_tells_how_far_the_silhouette_is(form in any_form(&Bounds::built()), camera in any_camera(), out in -3.0..3.0_f64) {
        let Some(lofted) = whole(&form) else { return Ok(()) };
        let loft = lofted.skin.as_ref().unwrap().loft();
        let places: Vec<_> = silhouette(&lofted, &form, &camera).into_iter().flatten().collect();
        let (mut found, mut all) = (0, 0);
        let eye = camera.camera.eye();
        let smooth = places.iter().step_by(7).filter(|p| is_edge_on(p, eye));
        for p in smooth.filter(|p| p.kind != SilhouetteKind::Tip && p.sight == Sight::Outline) {
            let pixel = p.pixel.unwrap();
            let asked = [0, 1].map(|k| pixel[k] + out * p.outward[k]);
            all += 1;
            let Some(c) = contact(loft, &camera, p, asked) else { continue };
            // Whatever place it found lies on the line through the pixel, at the distance it tells.
            let at = camera.project(c.point).unwrap();
            let way = [asked[0] - at[0], asked[1] - at[1]];
            let (across, along) = (
                way[0] * p.outward[1] - way[1] * p.outward[0],
                way[0] * p.outward[0] + way[1] * p.outward[1],
            );
            prop_assert!(across.abs() < 1e-3 && (along - c.distance_px).abs() < 1e-9, "{c:?} for {p:?}");
            let node = SurfaceNode::at(loft, c.spot).unwrap();
            let turned = dot(node.normal, sub(eye, node.point)) / length(sub(eye, node.point));
            // It may have come to a knuckle, or to a faint edge of a bay that is held back; else the surface is seen edge on there.
            let at_mark = c.spot.fraction.min(1.0 - c.spot.fraction) < 1e-5 || loft.limited_bays().next().is_some();
            let smooth = p.kind == SilhouetteKind::Surface && !at_mark;
            prop_assert!(!smooth || turned.abs() < 1e-5, "{turned} at {c:?}");
            found += usize::from((c.distance_px - out).abs() < 1e-3);
        }
        prop_assert!(found * 10 >= all * 8, "{found} of {all}");
    }

    /// Every place is where the camera shows it, lens and all, wherever the camera stands: nothing wraps round from behind it.
    #[test]
    fn places_are_where_the_camera_shows_them(
        form in any_form(&Bounds::built()),
        eye in (-100.0..400.0_f64, -250.0..250.0_f64, -150.0..150.0_f64),
        target in (0.0..300.0_f64, -20.0..20.0_f64),
        k1 in -0.2..0.1_f64,
    ) {
        let Some(lofted) = whole(&form) else { return Ok(()) };
        let Some(pinhole) = Camera::look_at(eye.into(), [target.0, target.1, 0.0], 1500.0, [900.0, 700.0]) else {
            return Ok(());
        };
        let camera = PictureCamera { camera: pinhole, lens: Lens::radial(k1, 0.0) };
        let seen = seen(&lofted, &form, &camera, &Wanted::default());
        for place in seen.lines.iter().filter(|l| l.part != SeenPart::Silhouette).flat_map(|l| &l.runs).flat_map(|r| &r.places) {
            let shown = camera.project(place.point);
            prop_assert!(shown.is_some_and(|q| (q[0] - place.pixel[0]).hypot(q[1] - place.pixel[1]) < 1e-6), "{place:?}");
        }
    }
}

/// What is nearest to a place of a line is that line.
#[test]
fn what_is_near_a_pixel_is_found() {
    let form = cylinder();
    let lofted = form::loft(&form);
    let camera = camera([-200.0, 500.0, 300.0], [150.0, 0.0, 0.0]);
    let seen = seen(&lofted, &form, &camera, &Wanted::default());
    let crown = camera.project([100.0, 0.0, RADIUS]).unwrap();
    let near: Vec<Near> = seen.near(crown, 6.0);
    assert!(matches!(near[0].what, NearWhat::Line(SeenPart::Crown)), "{near:?}");
    assert!(near[0].distance_px < 0.3 && (near[0].place.point[0] - 100.0).abs() < 0.5, "{near:?}");
    let place =
        seen.silhouette[0].iter().find(|p| p.kind == SilhouetteKind::Surface && p.sight == Sight::Outline).unwrap();
    let near = seen.near(place.pixel.unwrap(), 3.0);
    assert!(near.iter().any(|n| matches!(n.what, NearWhat::Silhouette(p) if p.spot == place.spot)), "{near:?}");
    // The crown's middle point, at 150 mm, can be taken hold of.
    let handle = camera.project([150.0, 0.0, RADIUS]).unwrap();
    assert!(matches!(seen.near(handle, 3.0)[0].what, NearWhat::Handle(_)));
    assert!(seen.near([9e9, 9e9], 10.0).is_empty());
}

#[test]
fn a_form_that_is_half_drawn_shows_the_lines_it_has() {
    let mut form = cylinder();
    form.sections.clear();
    let lofted = form::loft(&form);
    let camera = camera([-200.0, 500.0, 300.0], [150.0, 0.0, 0.0]);
    let Seen { lines, silhouette, .. } = seen(&lofted, &form, &camera, &Wanted::default());
    assert_eq!(lines.len(), 4);
    assert!(silhouette.is_empty());
    *form.lines.get_mut(LineName::Breadth) = Arc::default();
    assert_eq!(seen_parts(&form, &camera), [SeenPart::Crown, SeenPart::Keel]);
}

fn seen_parts(form: &Form, camera: &PictureCamera) -> Vec<SeenPart> {
    seen(&form::loft(form), form, camera, &Wanted::default()).lines.iter().map(|l| l.part).collect()
}

/// The normal points out of the form on both sides.
#[test]
fn normals_point_outward() {
    let form = cylinder();
    let lofted = form::loft(&form);
    let loft = lofted.skin.as_ref().unwrap().loft();
    for p in silhouette(&lofted, &form, &camera([-300.0, -300.0, 200.0], [150.0, 0.0, 0.0])).iter().flatten() {
        let node = SurfaceNode::at(loft, p.spot).unwrap();
        assert!(node.normal[1] * node.point[1] + node.normal[2] * node.point[2] > 0.99 * RADIUS, "{node:?}");
    }
}

/// All chords of a section stay within the tolerance that was asked for, across its marks too: held against the circle it is.
#[test]
fn sections_are_followed_all_round() {
    let form = cylinder();
    let camera = camera([-200.0, 500.0, 300.0], [150.0, 0.0, 0.0]);
    let seen = seen(&form::loft(&form), &form, &camera, &Wanted::default());
    let line = seen.lines.iter().find(|l| matches!(l.part, SeenPart::Station(..))).unwrap();
    let circle: Vec<[f64; 2]> = (0..3600)
        .filter_map(|i| {
            let (s, c) = (std::f64::consts::TAU * f64::from(i) / 3600.0).sin_cos();
            camera.project([90.0, RADIUS * s, RADIUS * c])
        })
        .collect();
    let mut round = 0.0;
    for w in line.runs.iter().flat_map(|r| r.places.windows(2)) {
        let middle = [0, 1].map(|k| 0.5 * (w[0].pixel[k] + w[1].pixel[k]));
        let off = circle.iter().map(|p| (p[0] - middle[0]).hypot(p[1] - middle[1])).fold(f64::INFINITY, f64::min);
        // Half the distance of the circle's own points is 0.5 px at most.
        assert!(off < 0.3 + 0.5, "{off} px: {w:?}");
        round += length(sub(w[0].point, w[1].point));
    }
    assert!((round - std::f64::consts::TAU * RADIUS).abs() < 0.01 * RADIUS, "{round}");
}
