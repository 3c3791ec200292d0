//! Mass, centre and inertia held against handbook formulas of thin shells (from memory; each is a short integral), and the ranges
//! against every corner.
#![allow(clippy::unwrap_used)] // a test may stop at the first surprise

mod common;

use common::{arc_points, demo, round_form};
use form::meeting::{MeetingLine, Placed, meeting};
use form::seen::Spot;
use form::shaft::RingTrim;
use form::space::{Vector, length, sub, unit};
use geometry::loft::Loft;
use project::mount::Mount;
use proptest::prelude::*;
use shell::drape::{Cover, End, Outside};
use shell::laminate::{Extent, Fabric, Film, LayUp, Ply, Resin, Schedule, Span};
use shell::mass::{CutOut, MassError, MassProperties, Part, ShellLayers, ShellSurface, plug_volume, ring_part};
use std::f64::consts::PI;

fn schedule(weight: f64, extent: Extent) -> Schedule {
    let fabric = Fabric { name: "glass".into(), areal_weight: weight, fibre_density: 2.55, ..Fabric::usual() };
    let ply = |extent| Ply { fabric: fabric.clone(), warp_deg: 0.0, extent, crowding: 1.0, coupon: None };
    let mut plies = vec![ply(Extent::Whole)];
    if extent != Extent::Whole {
        plies.push(ply(extent));
    }
    Schedule {
        plies,
        lay_up: LayUp::Bag,
        resin: Resin::default(),
        filler: Film::default(),
        paint: Film::default(),
        soak: Span::default(),
    }
}

fn ply_areas(surface: &ShellSurface<'_>, schedule: &Schedule) -> Result<Vec<f64>, MassError> {
    Ok(ShellLayers::new(surface, schedule)?.ply_areas())
}

fn shell_parts(surface: &ShellSurface<'_>, schedule: &Schedule, cut: &[CutOut]) -> Result<Vec<Part>, MassError> {
    ShellLayers::new(surface, schedule)?.parts(cut)
}

/// Density of the bagged ply, g/mm³, at the likely fraction of one half.
fn density() -> f64 {
    0.5e-3 * (2.55 + 1.15)
}

fn properties(loft: &Loft, schedule: &Schedule, cover: &Cover) -> MassProperties {
    MassProperties::of(&shell_parts(&ShellSurface::new(loft, cover), schedule, &[]).unwrap()).unwrap()
}

/// `found` against `[mass, centre x, moment about the axis, moment across]`.
fn holds(found: &MassProperties, expected: [f64; 4], share: f64) {
    let got = [found.mass, found.centre[0], found.inertia[0], found.inertia[1]].map(|s| s.likely);
    for (g, e) in got.into_iter().zip(expected) {
        assert!((g / e - 1.0).abs() < share, "{got:?} against {expected:?}");
    }
    assert!((found.inertia[1].likely / found.inertia[2].likely - 1.0).abs() < 1e-6);
    assert!(found.centre[1].likely.abs() < 1e-9 && found.centre[2].likely.abs() < 1e-6);
}

/// Thin cylinder of radius r, length l: m r² about its axis, m (r²/2 + l²/12) across. A ply of 1000 g/m² is 0.784 mm thick, so r is
/// that of its middle.
#[test]
fn a_cylinder() {
    let skin = round_form(&[[0.0, 50.0], [120.0, 50.0]]);
    let found = properties(skin.loft(), &schedule(1000.0, Extent::Whole), &Cover::default());
    let t = 1.0 / (2.55 * 0.5);
    let (r, l) = (50.0 - 0.5 * t, 120.0);
    let m = 2.0 * PI * r * l * t * density();
    holds(&found, [m, 60.0, m * r * r, m * (r * r / 2.0 + l * l / 12.0)], 1e-6);
}

/// Thin cone of base radius r, height h, open at its base: centre h/3 from the base, m r²/2 about its axis, m (r²/4 + h²/18) across.
#[test]
fn a_cone() {
    let skin = round_form(&[[0.0, 1e-4], [150.0, 60.0]]);
    let found = properties(skin.loft(), &schedule(5.0, Extent::Whole), &Cover::default());
    let (r, h) = (60.0_f64, 150.0_f64);
    let m = PI * r * r.hypot(h) * 5e-3 / (2.55 * 0.5) * density();
    holds(&found, [m, 100.0, m * r * r / 2.0, m * (r * r / 4.0 + h * h / 18.0)], 3e-4);
}

/// Thin hemisphere: centre r/2 from its base, 2/3 m r² about its axis, 5/12 m r² across; a ply of 1000 g/m² at its middle radius.
#[test]
fn a_hemisphere() {
    let skin = round_form(&arc_points(80.0, 0.5, 24));
    let found = properties(skin.loft(), &schedule(1000.0, Extent::Whole), &Cover::default());
    let t = 1.0 / (2.55 * 0.5);
    let r = 80.0 - 0.5 * t;
    let m = 2.0 * PI * r * r * t * density();
    holds(&found, [m, 80.0 - r / 2.0, 2.0 / 3.0 * m * r * r, 5.0 / 12.0 * m * r * r], 2e-4);
}

/// A closed can: two discs of m r²/4 across besides, at its ends.
#[test]
fn a_closed_can() {
    let skin = round_form(&[[0.0, 50.0], [120.0, 50.0]]);
    let cover = Cover { front: End::Closed, rear: End::Closed, trim: None };
    let found = properties(skin.loft(), &schedule(5.0, Extent::Whole), &cover);
    let (r, l) = (50.0, 120.0);
    let areal = 5e-3 / (2.55 * 0.5) * density();
    let (wall, disc) = (2.0 * PI * r * l * areal, PI * r * r * areal);
    let across = wall * (r * r / 2.0 + l * l / 12.0) + 2.0 * disc * (r * r / 4.0 + l * l / 4.0);
    holds(&found, [wall + 2.0 * disc, 60.0, wall * r * r + disc * r * r, across], 3e-4);
}

/// A cylinder cut by a slanting plane through its axis at x = 30 has the area and the centre of one cut square there but for the second
/// moment of the slant: centre x = (l + a)/2 - (r tan)² / (4 (l - a)).
#[test]
fn a_slanting_front() {
    let skin = round_form(&[[0.0, 50.0], [120.0, 50.0]]);
    let slope = 0.2_f64;
    let trim = Some(RingTrim { point: [30.0, 0.0, 0.0], normal: unit([-1.0, 0.0, slope]) });
    let found = properties(skin.loft(), &schedule(5.0, Extent::Whole), &Cover { trim, ..Cover::default() });
    let areal = 5e-3 / (2.55 * 0.5) * density();
    assert!((found.mass.likely / (2.0 * PI * 50.0 * 90.0 * areal) - 1.0).abs() < 2e-4);
    let centre = 75.0 - (50.0 * slope).powi(2) / (4.0 * 90.0);
    assert!((found.centre[0].likely - centre).abs() < 1e-3, "{:?} against {centre}", found.centre);
}

#[test]
fn strips_patches_and_holes_have_their_own_area() {
    let skin = round_form(&[[0.0, 50.0], [120.0, 50.0]]);
    let surface = ShellSurface::new(skin.loft(), &Cover::default());
    let strip = schedule(5.0, Extent::Strip { from: 100.0, to: 130.0 });
    let areas = ply_areas(&surface, &strip).unwrap();
    assert!((areas[1] / (2.0 * PI * 50.0 * 20.0) - 1.0).abs() < 2e-4, "{areas:?}");
    let places = vec![[110.0, 50.0, 0.0], [110.0, -50.0, 0.0]];
    assert_eq!(ply_areas(&surface, &schedule(5.0, Extent::Patches { places, size: [20.0, 15.0] })).unwrap()[1], 600.0);
    let hole = CutOut { name: "intake".into(), area: 1000.0, centre: [10.0, 0.0, 50.0] };
    let plain = schedule(5.0, Extent::Whole);
    let cut = MassProperties::of(&shell_parts(&surface, &plain, std::slice::from_ref(&hole)).unwrap()).unwrap();
    let whole = properties(skin.loft(), &plain, &Cover::default());
    assert!((cut.mass.likely / whole.mass.likely - (1.0 - 1000.0 / areas[0])).abs() < 1e-9);
    assert!(cut.centre[0].likely > 60.0 && cut.centre[2].likely < 0.0);
    let all = CutOut { area: 1e6, ..hole };
    assert!(shell_parts(&surface, &plain, &[all]).unwrap_err().to_string().contains("holes take away"));
}

/// Volumes under a coat: a cylinder and a hemisphere of a smaller radius.
#[test]
fn the_plug_under_its_coat() {
    let volume = |skin: &form::FinishedSkin, t: f64| {
        plug_volume(&ShellSurface::new(skin.loft(), &Cover::default()), skin.loft().measures(1e-6).volume, t)
    };
    let can = round_form(&[[0.0, 50.0], [120.0, 50.0]]);
    assert!((volume(&can, 1.5) / (PI * 48.5 * 48.5 * 120.0) - 1.0).abs() < 1e-6);
    let bowl = round_form(&arc_points(80.0, 0.5, 24));
    assert!((volume(&bowl, 1.5) / (2.0 / 3.0 * PI * 78.5_f64.powi(3)) - 1.0).abs() < 1e-4);
}

/// The demo's area is that of its loft's own measures (another quadrature), and under the coat that of the draped outside (another
/// reading of the surface).
#[test]
fn the_demo_has_the_area_that_others_find() {
    let (skin, build) = demo();
    let area = |depth: f64| {
        let mut sum = 0.0;
        let surface = ShellSurface::new(skin.loft(), &Cover::default());
        surface.each(skin.loft().x_range(), |e| sum += e.at_depth(depth).1);
        sum
    };
    let measured = skin.loft().measures(1e-6).lateral_surface;
    assert!((area(0.0) / measured - 1.0).abs() < 1e-5, "{} against {measured}", area(0.0));
    let coat = build.coat.total();
    let outside = Outside::new(skin.loft(), coat, &Cover::default()).unwrap().part_area();
    println!("area {measured}, under {coat} mm {} against {outside}", area(coat));
    assert!((area(coat) / outside - 1.0).abs() < 3e-3);
}

/// Where a form that is put on another meets it, in the parameters of its own skin.
fn met(first: &Loft, added: &Loft, mount: &Mount) -> Vec<Vec<Spot>> {
    let lines = meeting(first, added, mount, 0.01).lines;
    let spots = |line: &MeetingLine| {
        let again = line.places.first().filter(|_| line.closed());
        line.places.iter().chain(again).map(|place| place.added).collect()
    };
    lines.iter().map(spots).collect()
}

/// Closed form: of a cylinder of radius r whose axis lies d above that of one of radius R there stands out what lies within the angle a
/// of its crown with cos a = (R² - r² - d²) / (2 r d): 2 r a of its round, its middle r sin a / a above its axis. The lines run from rim
/// to rim.
#[test]
fn a_cylinder_that_is_sunk_in_another_keeps_its_arc() {
    let (first, added) = (round_form(&[[0.0, 50.0], [200.0, 50.0]]), round_form(&[[0.0, 20.0], [80.0, 20.0]]));
    let (big, r) = (50.0_f64, 20.0_f64);
    for d in [40.0_f64, 48.0, 60.0] {
        let mount = Mount { place: [60.0, 0.0, d], ..Mount::default() };
        let lines = met(first.loft(), added.loft(), &mount);
        assert_eq!(lines.len(), 2);
        let keeps = |p: Vector| p[1].hypot(p[2] + d) > big;
        let surface = ShellSurface::beside(added.loft(), &lines, &keeps);
        let layers = ShellLayers::new(&surface, &schedule(5.0, Extent::Whole)).unwrap();
        let angle = ((big * big - r * r - d * d) / (2.0 * r * d)).acos();
        let area = 2.0 * r * angle * 80.0;
        assert!((layers.skin_area() / area - 1.0).abs() < 3e-4, "{} against {area}", layers.skin_area());
        let centre = MassProperties::of(&layers.parts(&[]).unwrap()).unwrap().centre.map(|c| c.likely);
        assert!((centre[2] - r * angle.sin() / angle).abs() < 0.02, "{centre:?}");
        assert!((centre[0] - 40.0).abs() < 1e-6 && centre[1].abs() < 0.02, "{centre:?}");
    }
}

/// Closed form: of a ball of radius r whose middle lies d from that of one of radius R a cap stands out, 2 π r² (1 - cos a) with the
/// same a; its middle lies r (1 + cos a) / 2 out. The line turns back twice, over crown or keel or on both sides, as the ball is turned.
#[test]
fn a_ball_that_is_sunk_in_another_keeps_its_cap() {
    let ball = |radius: f64| {
        let mut points = arc_points(radius, 1.0, 24);
        if let Some(last) = points.last_mut() {
            *last = [2.0 * radius, 0.0];
        }
        round_form(&points)
    };
    let (big, r, d) = (60.0_f64, 25.0_f64, 55.0_f64);
    let (first, added) = (ball(big), ball(r));
    let cos = (big * big - r * r - d * d) / (2.0 * r * d);
    for [pitch, roll] in [[0.0, 0.0], [25.0, 0.0], [0.0, 90.0], [-40.0, 130.0], [90.0, 0.0]] {
        // Its middle d above that of the first, whichever way it is turned.
        let turned = Mount { pitch_deg: pitch, roll_deg: roll, ..Mount::default() };
        let middle = Placed::new(&turned).to_first([r, 0.0, 0.0]);
        let mount = Mount { place: sub([big, 0.0, d], middle), ..turned };
        let placed = Placed::new(&mount);
        let keeps = |p: Vector| length(sub(placed.to_first(p), [big, 0.0, 0.0])) > big;
        let surface = ShellSurface::beside(added.loft(), &met(first.loft(), added.loft(), &mount), &keeps);
        let layers = ShellLayers::new(&surface, &schedule(5.0, Extent::Whole)).unwrap();
        let area = 2.0 * PI * r * r * (1.0 - cos);
        assert!(
            (layers.skin_area() / area - 1.0).abs() < 2e-3,
            "{pitch} {roll}: {} against {area}",
            layers.skin_area()
        );
        let centre = MassProperties::of(&layers.parts(&[]).unwrap()).unwrap().centre.map(|c| c.likely);
        let out = sub(placed.to_first(centre), [big, 0.0, d]);
        assert!(
            (out[2] - 0.5 * r * (1.0 + cos)).abs() < 0.05 && out[0].hypot(out[1]) < 0.05,
            "{pitch} {roll}: {out:?}"
        );
    }
}

/// Handbook: an annulus has m (R² + r²)/2 about its axis and half of it across.
#[test]
fn a_ring() {
    let ring = ring_part("ring", Span::exact(20.0), [0.0; 3], [-1.0, 0.0, 0.0], [30.0, 38.0]);
    let found = MassProperties::of(&[ring]).unwrap();
    let about = 20.0 * (30.0_f64.powi(2) + 38.0_f64.powi(2)) / 2.0;
    assert!((found.inertia[0].likely - about).abs() < 1e-9 && (found.inertia[1].likely - 0.5 * about).abs() < 1e-9);
}

#[test]
fn parts_that_are_none_are_told() {
    let bad = Part::point("screw", Span { low: 2.0, likely: 1.0, high: 3.0 }, [0.0; 3]);
    assert!(MassProperties::of(&[bad]).unwrap_err().to_string().contains("screw"));
    let nan = Part::point("nut", Span::exact(1.0), [f64::NAN, 0.0, 0.0]);
    assert!(MassProperties::of(&[nan]).unwrap_err().to_string().contains("nut"));
    assert!(MassProperties::of(&[]).unwrap_err().to_string().contains("nothing"));
}

fn parts() -> impl Strategy<Value = Vec<Part>> {
    let place = || -100.0..100.0_f64;
    let one = (0.0..50.0_f64, 0.1..30.0_f64, 0.0..30.0_f64, place(), place(), place());
    prop::collection::vec(one, 2..6).prop_map(|all| {
        let part = |(low, a, b, x, y, z)| Part::point("part", Span::new(low, low + a, low + a + b), [x, y, z]);
        all.into_iter().map(part).collect()
    })
}

proptest! {
    /// Of all corners of the masses' ranges the centre's ends are the outermost, exactly; inertia is least with all light and greatest
    /// with all heavy.
    #[test]
    fn ranges_are_those_of_the_corners(parts in parts()) {
        let whole = MassProperties::of(&parts).unwrap();
        let mut ends = [[f64::INFINITY, f64::NEG_INFINITY]; 6];
        for bits in 0..1_u32 << parts.len() {
            let pick = |(i, p): (usize, &Part)| Part {
                mass: Span::exact(if bits >> i & 1 == 1 { p.mass.high } else { p.mass.low }), ..p.clone()
            };
            let at: Vec<Part> = parts.iter().enumerate().map(pick).collect();
            let Ok(found) = MassProperties::of(&at) else { continue };
            for k in 0..3 {
                for (slot, v) in [(k, found.centre[k].likely), (k + 3, found.inertia[k].likely)] {
                    ends[slot] = [ends[slot][0].min(v), ends[slot][1].max(v)];
                }
            }
        }
        for k in 0..3 {
            prop_assert!((whole.centre[k].low - ends[k][0]).abs() < 1e-9 && (whole.centre[k].high - ends[k][1]).abs() < 1e-9);
            let (i, slot) = (whole.inertia[k], ends[k + 3]);
            prop_assert!((i.low - slot[0]).abs() < 1e-6 && (i.high - slot[1]).abs() < 1e-6, "{i:?} {slot:?}");
        }
    }

    /// With places in ranges too, every case lies within what is given.
    #[test]
    fn bounds_hold_with_uncertain_places(parts in parts(), within in 0.5..10.0_f64,
                                         shares in prop::collection::vec(0.0..1.0_f64, 24)) {
        let loose: Vec<Part> = parts.iter().map(|p| p.clone().within(within)).collect();
        let whole = MassProperties::of(&loose).unwrap();
        let at = |s: Span, share: f64| Span::exact(s.low + share * (s.high - s.low));
        let pick = |(i, p): (usize, &Part)| Part {
            mass: at(p.mass, shares[4 * i]),
            centre: [0, 1, 2].map(|k| at(p.centre[k], shares[4 * i + 1 + k])),
            ..p.clone()
        };
        let case: Vec<Part> = loose.iter().enumerate().map(pick).collect();
        let found = MassProperties::of(&case).unwrap();
        for k in 0..3 {
            prop_assert!(whole.centre[k].low - 1e-9 <= found.centre[k].likely && found.centre[k].likely <= whole.centre[k].high + 1e-9);
            prop_assert!(whole.inertia[k].low <= found.inertia[k].likely + 1e-6 && found.inertia[k].likely <= whole.inertia[k].high + 1e-6);
        }
        let again = MassProperties::of(&[whole.part("all")]).unwrap();
        prop_assert!(length(sub(again.centre.map(|c| c.likely), whole.centre.map(|c| c.likely))) < 1e-9);
        prop_assert!((0..3).all(|k| (again.inertia[k].likely - whole.inertia[k].likely).abs() < 1e-6 * (1.0 + whole.inertia[k].likely)));
    }
}
