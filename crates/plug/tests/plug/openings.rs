//! Openings on the plug's cards: cut-outs where ducts pass, ticks where edges cross.

use crate::forms::{LENGTH, elliptic};
use form::openings::Target;
use form::{PlugSurface, Severity};
use plug::{CentreLine, Plan, Side, openings_on_plug, plan, plan_with};
use project::airframe::Airframe;
use project::build::Build;
use project::document::Form;
use project::opening::{Duct, Opening, Outline, Purpose, Seen};
use std::sync::Arc;

const RADIUS: f64 = 60.0;
/// Middle of the opening in y, and its size in y.
const MIDDLE: f64 = 14.0;
const WIDE: f64 = 20.0;
const DEEP: f64 = 25.0;
const WALL: f64 = 1.5;

fn build() -> Build {
    let mut build = Build::default();
    build.stack.used = true;
    build.stack.boards = vec![LENGTH / 5.0; 5];
    build.stack.closing = project::build::Closing::Spread;
    build.coat.laminate = 0.8;
    build
}

/// A tube with a box-shaped opening in its back, 40 mm long about a station.
fn tube(station: f64, wide: f64, duct: bool) -> Form {
    let mut form = elliptic(|_| RADIUS, |_| RADIUS, 3);
    let duct = duct.then_some(Duct { depth: DEEP, lip_radius: 0.0, wall: WALL, inner: None });
    let outline = Outline::Box { centre: [station, MIDDLE], size: [40.0, wide], radius: 0.0, turn_deg: 0.0 };
    let opening = Opening {
        name: "Outlet".to_owned(),
        purpose: Purpose::Outlet,
        seen: Seen::Above,
        mirrored: false,
        outline,
        duct,
    };
    form.openings = vec![Arc::new(opening)];
    form
}

fn planned(form: &Form, build: &Build) -> Plan {
    let skin = crate::forms::skin(form);
    let target = Target::new(skin.loft(), None);
    let openings = openings_on_plug(&target, form, PlugSurface::of(&skin, build).taken_off());
    plan_with(&skin, build, &Airframe::default(), &openings)
}

/// The former in the middle, as planned without openings: its number and station.
fn middle_former(build: &Build) -> (usize, f64) {
    let plan = plan(&crate::forms::skin(&tube(0.5 * LENGTH, WIDE, false)), build, &Airframe::default());
    let former = &plan.formers[plan.formers.len() / 2];
    (former.number, former.middle())
}

/// Closed form: the duct runs straight down, so it takes out what lies between its outer walls, from `DEEP` below the middle of the
/// opening, which lies on the circle, upward; and the edge's ticks stand where the circle of the card has the box's two sides.
#[test]
fn a_duct_is_cut_out_of_the_card_that_it_passes() {
    let build = build();
    let (number, station) = middle_former(&build);
    let plan = planned(&tube(station, WIDE, true), &build);
    let floor = (RADIUS * RADIUS - MIDDLE * MIDDLE).sqrt() - DEEP;
    let walls = [MIDDLE - 0.5 * WIDE - WALL, MIDDLE + 0.5 * WIDE + WALL];
    for former in &plan.formers {
        let own = former.number == number;
        assert_eq!((former.cut_outs.len(), former.ticks.len()), if own { (1, 2) } else { (0, 0) }, "{}", former.number);
        let ends: Vec<f64> = former.part.spans(1, floor + 5.0).iter().flat_map(|s| [s.0, s.1]).collect();
        let has = |y: f64| ends.iter().any(|e| (e - y).abs() < 0.05);
        assert_eq!(walls.map(has), [own; 2], "{ends:?}");
        let below: Vec<f64> = former.part.spans(1, floor - 0.2).iter().flat_map(|s| [s.0, s.1]).collect();
        assert!(!below.iter().any(|e| (e - walls[1]).abs() < 0.05), "{below:?}");
    }
    let former = plan.formers.iter().find(|f| f.number == number).unwrap();
    let on_card = RADIUS - build.coat.total() - build.formers.inset;
    let mut ticks: Vec<_> = former.ticks.iter().collect();
    ticks.sort_by(|a, b| a.line[0][0].total_cmp(&b.line[0][0]));
    for (tick, y) in ticks.into_iter().zip([MIDDLE - 0.5 * WIDE, MIDDLE + 0.5 * WIDE]) {
        let at = tick.line[0];
        // The edge is moved in along the normal, so its place on the card is nearer to the middle by as much.
        let moved = y * (RADIUS - build.coat.total()) / RADIUS;
        assert!(at[0].hypot(at[1]) - on_card < 0.02 && (at[0] - moved).abs() < 0.5, "{tick:?}, {moved}");
        assert!(tick.line[1][0].hypot(tick.line[1][1]) < on_card - 5.0, "it points inward");
    }
    // The duct keeps clear of the centre plane.
    assert!(plan.centre.as_ref().unwrap().cut_outs.is_empty());
    let passed: Vec<&str> =
        plan.blocks.iter().filter(|b| b.ducts.iter().any(|d| !d.is_empty())).map(|b| b.name.as_str()).collect();
    assert!(!passed.is_empty() && passed.iter().all(|name| name.contains('S')), "starboard only: {passed:?}");
}

/// A duct that runs down beside the card's edge takes the edge with it. Closed form: at every level above its floor nothing is left
/// outside its inner wall, where less card than its outer wall needs would stand; below the floor all is as without it. So the card is
/// as broad there as its circle is at the floor.
#[test]
fn a_duct_at_the_edge_takes_the_edge() {
    let build = build();
    let (number, station) = middle_former(&build);
    let (middle, wide, deep) = (46.5, 23.0, 45.0);
    let mut form = tube(station, wide, true);
    let mut opening = (*form.openings[0]).clone();
    opening.outline = Outline::Box { centre: [station, middle], size: [40.0, wide], radius: 0.0, turn_deg: 0.0 };
    opening.duct = Some(Duct { depth: deep, lip_radius: 0.0, wall: WALL, inner: None });
    form.openings = vec![Arc::new(opening)];
    let without = plan(&crate::forms::skin(&form), &build, &Airframe::default());
    let with = planned(&form, &build);
    let own = |plan: &Plan| plan.formers.iter().find(|f| f.number == number).unwrap().part.clone();
    let (whole, left) = (own(&without), own(&with));
    let floor = (RADIUS * RADIUS - middle * middle).sqrt() - deep;
    let radius = RADIUS - build.coat.total() - build.formers.inset;
    let walls = [middle - 0.5 * wide - WALL, middle + 0.5 * wide + WALL];
    assert!(walls[1] > radius && floor < -5.0, "the outer wall lies outside the card: {walls:?}, {floor}");
    let high = whole.bounds().unwrap().1[1];
    let mut level = -high + 0.37;
    while level < high {
        if (level - floor).abs() > 0.1 {
            let limit = if level > floor { walls[0] } else { f64::INFINITY };
            let stays = |(a, b): (f64, f64)| (a < limit).then_some((a, b.min(limit)));
            let expected: Vec<(f64, f64)> = whole.spans(1, level).into_iter().filter_map(stays).collect();
            let found = left.spans(1, level);
            let off = expected.iter().zip(&found).map(|(p, q)| (p.0 - q.0).abs().max((p.1 - q.1).abs()));
            let off = off.fold(0.0, f64::max);
            assert!(expected.len() == found.len() && off < 0.05, "{level}: {expected:?} {found:?}");
        }
        level += 0.73;
    }
    let broad = left.bounds().unwrap().1[0];
    assert!((broad - (radius * radius - floor * floor).sqrt()).abs() < 0.05, "{broad}");
    assert!((whole.bounds().unwrap().1[0] - radius).abs() < 0.02 && broad < radius - 0.3);
}

/// A duct across the centre plane cuts the centre template too, over its length and from its floor up; it meets the half-lap's slot,
/// which is told.
#[test]
fn a_duct_across_the_centre_plane_cuts_the_centre_template_and_is_told() {
    let build = build();
    let (_, station) = middle_former(&build);
    let plan = planned(&tube(station, 60.0, true), &build);
    let centre = plan.centre.as_ref().unwrap();
    assert_eq!((centre.cut_outs.len(), centre.ticks.len()), (1, 2));
    let floor = (RADIUS * RADIUS - MIDDLE * MIDDLE).sqrt() - DEEP;
    let ends: Vec<f64> = centre.part.spans(1, floor + 8.0).iter().flat_map(|s| [s.0, s.1]).collect();
    for x in [station - 20.0 - WALL, station + 20.0 + WALL] {
        assert!(ends.iter().any(|e| (e - x).abs() < 0.05), "{x} in {ends:?}");
    }
    let told = |words: &str| plan.findings.iter().any(|f| f.severity == Severity::Warning && f.what.contains(words));
    assert!(told("slot or hole"), "{:?}", plan.findings);
    assert_eq!(plan.gauges.lines.iter().filter(|t| t.line == CentreLine::Crown && t.ticks.len() == 2).count(), 1);
}

/// Without a duct nothing is cut out, but marked: on formers, and on the outside templates of the side where it lies.
#[test]
fn a_plain_hole_is_only_marked() {
    let mut build = build();
    let (number, station) = middle_former(&build);
    build.sanding.stations = vec![station + 10.0];
    let plan = planned(&tube(station, WIDE, false), &build);
    assert!(plan.formers.iter().all(|f| f.cut_outs.is_empty()));
    assert_eq!(plan.formers.iter().filter(|f| f.ticks.len() == 2).map(|f| f.number).collect::<Vec<_>>(), [number]);
    for t in &plan.gauges.stations {
        assert_eq!(t.ticks.len(), if t.side == Side::Starboard { 2 } else { 0 });
        for tick in &t.ticks {
            let [from, to] = tick.line.map(|p| p[0].hypot(p[1]));
            assert!(
                (from - (RADIUS - build.coat.total())).abs() < 0.05 && to > from + 4.0,
                "into the template: {tick:?}"
            );
        }
    }
}
