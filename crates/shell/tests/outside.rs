//! The outside held against the loft it was read from, and nets on it.
#![allow(clippy::unwrap_used)] // a test may stop at the first surprise

mod common;

use common::{demo, round_form};
use form::PlugSurface;
use form::space::{length, sub};
use plugwright_tests::forms::{Bounds, any_form};
use proptest::prelude::*;
use shell::drape::{Cover, End, Net, Outside, Seam, Start, Surface};

/// Distance of a place of a half plane from a polyline, mm.
fn distance(line: &[[f64; 2]], p: [f64; 2]) -> f64 {
    let to = |w: &[[f64; 2]]| {
        let (d, q) = ([0, 1].map(|k| w[1][k] - w[0][k]), [0, 1].map(|k| p[k] - w[0][k]));
        let share = ((d[0] * q[0] + d[1] * q[1]) / (d[0] * d[0] + d[1] * d[1]).max(1e-300)).clamp(0.0, 1.0);
        (q[0] - share * d[0]).hypot(q[1] - share * d[1])
    };
    line.windows(2).map(to).fold(f64::INFINITY, f64::min)
}

/// Places of the outside lie on the plug's own sections, cut by another way.
fn lies_on_plug(outside: &Outside, plug: &PlugSurface, close: f64) -> Result<(), String> {
    let [low, high] = outside.ends();
    for i in 1..14 {
        for j in 0..17 {
            let at = [
                low + (high - low) * (f64::from(i) + 0.31) / 14.6,
                outside.keel() * 2.0 * (f64::from(j) + 0.17) / 17.0,
            ];
            let p = outside.place(at);
            let section = plug.section(p[0], 0.0, 1e-4);
            if section.outline.len() < 2 || !section.folded.is_empty() {
                continue;
            }
            let off = distance(&section.outline, [p[1].abs(), p[2]]);
            if off > close {
                return Err(format!("{at:?} {p:?} lies {off} mm off"));
            }
        }
    }
    Ok(())
}

#[test]
fn the_demo_is_read_within_a_thousandth_and_its_net_covers_it() {
    let (skin, build) = demo();
    let plug = PlugSurface::of(&skin, &build);
    let outside = Outside::new(skin.loft(), plug.taken_off(), &Cover::default()).unwrap();
    assert!(plug.taken_off() > 0.0 && outside.off() < 1e-3, "off {}", outside.off());
    lies_on_plug(&outside, &plug, 2e-3).unwrap();
    let outside = outside.clone().with_seam(Some(Seam { round: outside.keel(), overlap: 15.0 }));
    let [low, high] = outside.ends();
    let net = Net::drape(&outside, &Start { at: [0.5 * (low + high), 0.0], warp: [-1.0, 0.0, 0.0] }, 5.0).unwrap();
    assert!(net.worst_link() < 1e-9, "{}", net.worst_link());
    let share = net.covered_area() / outside.part_area();
    assert!((share - 1.0).abs() < 0.01, "covers {share}");
}

#[test]
fn a_finished_skin_has_the_area_that_the_loft_tells() {
    let (skin, _) = demo();
    let outside = Outside::new(skin.loft(), 0.0, &Cover::default()).unwrap();
    let told = skin.loft().measures(1e-6).lateral_surface;
    assert!((outside.part_area() / told - 1.0).abs() < 2e-3, "{} against {told}", outside.part_area());
}

#[test]
fn links_step_over_the_edge_of_a_closed_face() {
    let (skin, _) = demo();
    let outside = Outside::new(skin.loft(), 0.0, &Cover { front: End::Closed, ..Cover::default() }).unwrap();
    let net = Net::drape(&outside, &Start { at: [1.6, 0.0], warp: [-1.0, 0.0, 0.0] }, 5.0).unwrap();
    assert!(net.worst_link() < 1e-9);
    let front = skin.loft().x_range().0;
    let on_face = net.nodes().filter(|(_, n)| (n.p[0] - front).abs() < 1e-6).count();
    assert!(on_face > 20, "{on_face} nodes on the face");
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 12, ..ProptestConfig::default() })]

    #[test]
    fn any_form_less_a_coat_is_where_its_plug_is(form in any_form(&Bounds::built()), coat in 0.0..1.5_f64, corner in 0.0..1.0_f64) {
        let lofted = form::loft(&form);
        let skin = lofted.whole_skin();
        prop_assume!(skin.is_some());
        let skin = skin.unwrap();
        let mut build = demo().1;
        build.process = project::build::Process::OverPlug;
        build.coat.laminate = coat;
        let plug = PlugSurface::of(skin, &build);
        let outside = Outside::new(skin.loft(), plug.taken_off(), &Cover::default()).unwrap();
        if let Err(why) = lies_on_plug(&outside, &plug, 0.02) {
            prop_assert!(false, "{}", why);
        }
        let [low, high] = outside.ends();
        let at = [low + (0.2 + 0.6 * corner) * (high - low), 0.3];
        // With its seam, as it is laid everywhere: without one it winds round and round, until there are too many places.
        let seam = outside.seam_opposite(at, 15.0);
        let outside = outside.with_seam(seam);
        let net = Net::drape(&outside, &Start { at, warp: [-1.0, 0.5, 0.0] }, 6.0).unwrap();
        prop_assert!(net.worst_link() < 1e-9, "{}", net.worst_link());
        for (_, node) in net.nodes() {
            prop_assert!(length(sub(outside.jet(outside.sheet(node.at), node.at).p, node.p)) < 1e-9);
        }
    }
}

/// On a ball that is closed in front a yarn that leaves the tip along the centre plane lies on the joint of both halves all the way, and
/// one along the crown runs over the tip: neither must stop there.
#[test]
fn yarns_run_along_the_centre_plane_and_over_a_closed_tip() {
    let arc = |k: u32| std::f64::consts::FRAC_PI_2 * f64::from(k) / 12.0;
    let points: Vec<[f64; 2]> = (0..=12).map(|k| [80.0 * (1.0 - arc(k).cos()), 80.0 * arc(k).sin()]).collect();
    let skin = round_form(&points);
    let outside = Outside::new(skin.loft(), 0.0, &Cover { front: End::Closed, ..Cover::default() }).unwrap();
    let [low, high] = outside.ends();
    for angle in [0.0, 1e-4, 90.0] {
        let net = Net::drape(&outside, &outside.start([low + 1e-6, 0.0], angle), 5.0).unwrap();
        // Half a ball shears by no more than 52.4 degrees, so a net from the tip reaches all of it.
        assert!((net.covered_area() / outside.part_area() - 1.0).abs() < 0.005, "{angle}: {}", net.covered_area());
        assert!(net.worst_link() < 1e-9);
        let start = [0.5 * (low + high), 0.0];
        let seamed = outside.clone().with_seam(outside.seam_opposite(start, 15.0));
        let net = Net::drape(&seamed, &seamed.start(start, angle), 5.0).unwrap();
        // Over the tip and down to the open end below: three eighths of a great circle of 80 mm, in links of 5 mm.
        let farthest = net.range().into_iter().map(|(first, last)| (-first).max(last)).max().unwrap();
        assert!(farthest >= 37, "{angle}: {:?}", net.range());
        assert!(net.covered_area() > 0.75 * outside.part_area(), "{angle}: {}", net.covered_area());
    }
}
