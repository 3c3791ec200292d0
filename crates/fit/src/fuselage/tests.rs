//! Sections, gaps, breaks, laps and screws against closed forms.

use super::*;
use crate::testing::{cylinder, lofted, round};
use project::airframe::{FuselageSection, Lap, ScrewSpacing, Screws};

fn circle(r: f64) -> FuselageSection {
    FuselageSection::Circle { diameter: 2.0 * r, centre_height: 0.0 }
}

fn end(section: FuselageSection, further: Option<(f64, FuselageSection)>) -> FuselageEnd {
    FuselageEnd {
        station: 200.0,
        section,
        further,
        lap: Lap { side: LapSide::Over, length: 10.0, clearance: 0.4 },
        screws: None,
        allowed_gap: 0.5,
        allowed_break_deg: 2.0,
        pinned: None,
    }
}

/// Area of the whole outline by its chords.
fn area(outline: &Outline) -> f64 {
    outline.points().windows(2).map(|w| (w[0][0] + w[1][0]) * (w[0][1] - w[1][1])).sum()
}

/// Closed forms: π a b, and the box less (4 - π) r².
#[test]
fn primitives_have_the_areas_of_their_closed_forms() {
    let pi = std::f64::consts::PI;
    let check = |section: FuselageSection, expected: f64| {
        let found = area(&outline(&section, 1e-4).unwrap());
        assert!((found - expected).abs() < 0.02, "{section:?}: {found} against {expected}");
    };
    check(circle(50.0), pi * 2500.0);
    check(FuselageSection::Ellipse { width: 120.0, height: 100.0, centre_height: 7.0 }, pi * 3000.0);
    let rounded = |radius| FuselageSection::RoundedBox { width: 120.0, height: 100.0, radius, centre_height: -4.0 };
    check(rounded(20.0), 12000.0 - (4.0 - pi) * 400.0);
    check(rounded(0.0), 12000.0);
    check(rounded(50.0), 12000.0 - (4.0 - pi) * 2500.0);
    assert_eq!(outline(&circle(0.0), 0.01), None);
}

#[test]
fn an_ellipse_is_exact_at_every_point() {
    let section = FuselageSection::Ellipse { width: 120.0, height: 100.0, centre_height: 7.0 };
    for [y, z] in outline(&section, 0.01).unwrap().points() {
        assert!(((y / 60.0).powi(2) + ((z - 7.0) / 50.0).powi(2) - 1.0).abs() < 1e-12);
    }
}

/// Closed form: the circle through the points that a section is pinned to.
#[test]
fn measured_points_are_on_the_outline() {
    let pinned = project::fuselage::points(&circle(50.0), project::fuselage::FINE, 0.0).unwrap();
    let measured = outline(&FuselageSection::Measured(pinned.clone()), 0.002).unwrap();
    assert!(pinned.points.iter().all(|p| measured.nearest(*p).distance.abs() < 1e-6));
    assert!(measured.points().iter().all(|p| (p[0].hypot(p[1]) - 50.0).abs() < 0.01));
}

/// Closed form: circles of radius 50 and 49, and the same circle 0.8 mm higher, which stands proud below.
#[test]
fn the_widest_gap_is_signed_and_placed() {
    let at = |section: &FuselageSection| outline(section, 0.002).unwrap();
    let gap = widest_gap(&at(&circle(50.0)), &at(&circle(49.0)));
    assert!((gap.proud - 1.0).abs() < 0.003, "{gap:?}");
    let gap = widest_gap(&at(&circle(48.5)), &at(&circle(49.0)));
    assert!((gap.proud + 0.5).abs() < 0.003, "{gap:?}");
    let raised = FuselageSection::Circle { diameter: 100.0, centre_height: 0.8 };
    let gap = widest_gap(&at(&circle(50.0)), &at(&raised));
    assert!((gap.proud.abs() - 0.8).abs() < 0.003 && gap.at[0].abs() < 5.0, "{gap:?}");
}

fn ellipse(a: f64, b: f64) -> FuselageSection {
    FuselageSection::Ellipse { width: 2.0 * a, height: 2.0 * b, centre_height: 0.0 }
}

/// Closed form: between concentric circles the gap is the difference of the radii, at every place around.
#[test]
fn concentric_circles_have_the_same_gap_all_round() {
    let at = |r: f64| outline(&circle(r), 0.002).unwrap();
    for (form, fuselage) in [(51.2, 50.0), (49.6, 50.0), (80.0, 79.9)] {
        let (form_outline, fuselage_outline) = (at(form), at(fuselage));
        let wanted = form - fuselage;
        let gap = widest_gap(&form_outline, &fuselage_outline);
        assert!((gap.proud - wanted).abs() < 0.004, "{gap:?} against {wanted}");
        let least = least_proud(&form_outline, &fuselage_outline);
        assert!((least.proud - wanted).abs() < 0.004, "{least:?} against {wanted}");
        let all = form_outline.points().iter().map(|p| fuselage_outline.nearest(*p).distance);
        assert!(all.into_iter().all(|d| (d - wanted).abs() < 0.004));
    }
}

/// Closed form: an ellipse of half axes 60 and 50 touches the circle of 60 around it at the breadth and stands back by 10 mm at
/// crown and keel; at any place of the ellipse the gap is 60 less its distance from the centre. The circle of 50 within it is
/// touched at crown and keel, and the ellipse stands proud by 10 mm at the breadth.
#[test]
fn an_ellipse_within_a_circle_and_around_one() {
    let at = |section: &FuselageSection| outline(section, 0.002).unwrap();
    let (form, around, within) = (at(&ellipse(60.0, 50.0)), at(&circle(60.0)), at(&circle(50.0)));
    for p in form.points() {
        let expected = p[0].hypot(p[1]) - 60.0;
        assert!((around.nearest(*p).distance - expected).abs() < 0.004, "{p:?}");
    }
    let gap = widest_gap(&form, &around);
    assert!(
        (gap.proud + 10.0).abs() < 0.004 && gap.at[0].abs() < 1.0 && (gap.at[1].abs() - 60.0).abs() < 0.1,
        "{gap:?}"
    );
    let gap = widest_gap(&around, &form);
    assert!(
        (gap.proud - 10.0).abs() < 0.004 && gap.at[0].abs() < 1.0 && (gap.at[1].abs() - 50.0).abs() < 0.1,
        "{gap:?}"
    );
    let gap = widest_gap(&form, &within);
    assert!((gap.proud - 10.0).abs() < 0.004 && (gap.at[0] - 50.0).abs() < 0.1 && gap.at[1].abs() < 1.0, "{gap:?}");
    assert!(least_proud(&form, &within).proud.abs() < 0.004);
}

/// An elliptic cone that ends with these half axes at 200 mm, growing there by `growth` of itself per mm.
fn elliptic_cone([a, b]: [f64; 2], growth: f64) -> project::document::Form {
    use crate::testing::free;
    let line = |end: f64| free(&[[0.0, end * (1.0 - 200.0 * growth)], [200.0, end]]);
    let mut form = round(&[[0.0, 1.0], [200.0, 1.0]]);
    (form.lines.crown, form.lines.keel, form.lines.breadth) = (line(b), line(-b), line(a));
    form
}

/// Closed form: an elliptic cone grows by its half axis times the growth, so its surface opens by atan(60 · 0.002) at the
/// breadth and by atan(50 · 0.002) at the crown. Against a fuselage that runs straight on, the break is the greater of both,
/// at the breadth; against one that opens at the breadth alone, the rest, at crown or keel.
#[test]
fn the_break_of_an_elliptic_cone_is_the_greatest_around_the_section() {
    let form = elliptic_cone([60.0, 50.0], 0.002);
    let lofted = lofted(&form);
    let loft = lofted.skin.as_ref().unwrap().loft();
    let shape = |further| FuselageShape::of(&end(ellipse(60.0, 50.0), Some((230.0, further)))).unwrap();
    let found = greatest_break(loft, 200.0, &shape(ellipse(60.0, 50.0))).unwrap();
    assert!((found.degrees + 0.12_f64.atan().to_degrees()).abs() < 0.02, "{found:?}");
    assert!((found.at[0] - 60.0).abs() < 0.1 && found.at[1].abs() < 5.0, "{found:?}");
    let found = greatest_break(loft, 200.0, &shape(ellipse(63.6, 50.0))).unwrap();
    assert!((found.degrees + 0.1_f64.atan().to_degrees()).abs() < 0.02, "{found:?}");
    assert!(found.at[0].abs() < 5.0 && (found.at[1].abs() - 50.0).abs() < 0.5, "{found:?}");
    // Going on as the cone does, the joint is smooth all round.
    let found = greatest_break(loft, 200.0, &shape(ellipse(63.6, 53.0))).unwrap();
    assert!(found.degrees.abs() < 0.05, "{found:?}");
}

/// Closed form: a cone of radius 30 to 50 over 200 mm opens by atan 0.1; a cylinder behind it closes in by as much, and a
/// fuselage that narrows by 1 in 10 by twice as much.
#[test]
fn a_cone_breaks_against_a_cylinder_by_its_own_slope() {
    let lofted = lofted(&round(&[[0.0, 30.0], [200.0, 50.0]]));
    let loft = lofted.skin.as_ref().unwrap().loft();
    let slope = 0.1_f64.atan().to_degrees();
    for (further, breaks) in
        [(50.0, -slope), (47.0, -2.0 * slope), (53.0, 0.0), (59.0, 0.3_f64.atan().to_degrees() - slope)]
    {
        let shape = FuselageShape::of(&end(circle(50.0), Some((230.0, circle(further))))).unwrap();
        let found = greatest_break(loft, 200.0, &shape).unwrap();
        assert!((found.degrees - breaks).abs() < 0.01, "{further}: {found:?} against {breaks}");
    }
}

/// Closed form: a cylinder against a cone that opens by 1 in 10.
#[test]
fn the_slope_break_is_the_angle_between_the_surfaces() {
    let lofted = lofted(&cylinder(50.0, 200.0));
    let loft = lofted.skin.as_ref().unwrap().loft();
    let shape = |r| FuselageShape::of(&end(circle(50.0), Some((230.0, circle(r))))).unwrap();
    let found = greatest_break(loft, 200.0, &shape(53.0)).unwrap();
    assert!((found.degrees - 0.1_f64.atan().to_degrees()).abs() < 0.01, "{found:?}");
    let found = greatest_break(loft, 200.0, &shape(47.0)).unwrap();
    assert!((found.degrees + 0.1_f64.atan().to_degrees()).abs() < 0.01, "{found:?}");
    // A cone that goes on as the fuselage does has no break.
    let cone = crate::testing::lofted(&round(&[[0.0, 30.0], [100.0, 40.0], [200.0, 50.0]]));
    let found = greatest_break(cone.skin.as_ref().unwrap().loft(), 200.0, &shape(53.0)).unwrap();
    assert!(found.degrees.abs() < 0.01, "{found:?}");
    assert_eq!(greatest_break(loft, 200.0, &FuselageShape::of(&end(circle(50.0), None)).unwrap()), None);
}

/// A circle of radius 50 has a girth of 314.159 mm: a pitch of at most 60 mm takes six screws.
#[test]
fn screws_stand_evenly_on_both_sides() {
    let end = end(circle(50.0), None);
    let shape = FuselageShape::of(&end).unwrap();
    let screws = |spacing| Screws { spacing, edge_distance: 4.0, hole: 3.0 };
    let six = screw_places(&end, &shape, &screws(ScrewSpacing::Pitch(60.0)));
    assert_eq!(six.len(), 6);
    for (i, p) in six.iter().enumerate() {
        let a = std::f64::consts::TAU * (i as f64 + 0.5) / 6.0;
        assert!((p[0] - 206.0).abs() < 1e-12);
        assert!((p[1] - 50.0 * a.sin()).abs() < 0.01 && (p[2] - 50.0 * a.cos()).abs() < 0.01, "{p:?}");
        assert!(six.iter().any(|q| (q[1] + p[1]).abs() < 1e-6 && (q[2] - p[2]).abs() < 1e-6));
    }
    assert_eq!(screw_places(&end, &shape, &screws(ScrewSpacing::Count(5))).len(), 5);
    assert!(screw_places(&end, &shape, &screws(ScrewSpacing::Count(0))).is_empty());
    assert!(screw_places(&end, &shape, &screws(ScrewSpacing::Pitch(0.0))).is_empty());
}

/// Closed form: around circles the strip is π times their radius long and its holes lie at equal shares of it. Over the
/// fuselage of 50 mm it winds on 50 + 0.4 clearance + 0.8 wall, for a shell that goes in on the fuselage itself.
#[test]
fn the_screw_strip_is_as_long_as_the_surface_it_is_wrapped_round() {
    let pi = std::f64::consts::PI;
    let mut end = end(circle(50.0), None);
    assert_eq!(screw_strip(&end, 0.8), None);
    end.screws = Some(Screws { spacing: ScrewSpacing::Pitch(60.0), edge_distance: 4.0, hole: 3.2 });
    for (side, radius, from_edge) in [(LapSide::Over, 51.2, 4.0), (LapSide::Into, 50.0, 6.0)] {
        end.lap.side = side;
        let strip = screw_strip(&end, 0.8).unwrap();
        assert!((strip.half_girth - pi * radius).abs() < 0.02, "{strip:?}");
        assert!((strip.from_edge - from_edge).abs() < 1e-12 && strip.count == 6 && strip.hole == 3.2, "{strip:?}");
        let wanted = [1.0, 3.0, 5.0].map(|k| k * pi * radius / 6.0);
        assert!(strip.along.iter().zip(wanted).all(|(a, w)| (a - w).abs() < 0.02), "{strip:?}");
    }
    // Of five the middle one lies at the keel, on both halves.
    end.screws = Some(Screws { spacing: ScrewSpacing::Count(5), edge_distance: 4.0, hole: 3.2 });
    let strip = screw_strip(&end, 0.0).unwrap();
    assert!(strip.along.len() == 3 && (strip.along[2] - strip.half_girth).abs() < 1e-3, "{strip:?}");
}

#[test]
fn the_lap_outline_has_the_clearance_on_its_side() {
    let mut end = end(circle(50.0), Some((220.0, circle(52.0))));
    let shape = FuselageShape::of(&end).unwrap();
    let radius = |o: &Outline| o.points().iter().map(|p| p[0].hypot(p[1])).sum::<f64>() / o.points().len() as f64;
    assert!((radius(&lap_outline(&end, &shape, 210.0)) - 51.4).abs() < 0.002);
    end.lap.side = LapSide::Into;
    assert!((radius(&lap_outline(&end, &shape, 210.0)) - 50.6).abs() < 0.002);
}

#[test]
fn findings_tell_gap_break_end_and_lap() {
    let form = cylinder(50.0, 200.0);
    let lofted = lofted(&form);
    let loft = lofted.skin.as_ref().unwrap().loft();
    let told = |end: &FuselageEnd| findings(end, &form, 0, loft, 0.8);
    let fits =
        FuselageEnd { lap: Lap { side: LapSide::Into, length: 10.0, clearance: 0.4 }, ..end(circle(50.0), None) };
    assert_eq!(told(&fits), []);
    let lap = told(&end(circle(50.0), None));
    assert!(lap.len() == 1 && lap[0].severity == Severity::Note, "{lap:?}");
    assert!((lap[0].measured.unwrap().value + 0.8).abs() < 0.005 && lap[0].hint.contains("1.20"), "{lap:?}");
    let roomy = FuselageEnd { allowed_gap: 0.1, ..end(circle(48.8), None) };
    assert_eq!(told(&roomy), []);
    let mut off = FuselageEnd { station: 203.0, ..end(circle(53.0), Some((230.0, circle(60.0)))) };
    off.lap.side = LapSide::Into;
    let found = told(&off);
    assert_eq!(found.len(), 3, "{found:?}");
    assert!((found[0].measured.unwrap().value - 3.0).abs() < 1e-9 && found[0].what.contains("ahead of"));
    assert!((found[1].measured.unwrap().value - 3.0).abs() < 0.01 && found[1].what.contains("stands back"));
    assert!((found[2].measured.unwrap().value - (7.0_f64 / 27.0).atan().to_degrees()).abs() < 0.05, "{found:?}");
}

#[test]
fn the_edits_that_are_offered_join_form_and_fuselage() {
    let mut document = project::starter::new_document("Test");
    document.forms = vec![std::sync::Arc::new(cylinder(50.0, 200.0))];
    let ellipse = FuselageSection::Ellipse { width: 110.0, height: 104.0, centre_height: 1.5 };
    let mut away = FuselageEnd { station: 204.0, allowed_gap: 0.05, ..end(ellipse, None) };
    away.lap.side = LapSide::Into;
    for expected in ["Bring the rear ends", "Pin the rear"] {
        let form = document.forms[0].clone();
        let found = findings(&away, &form, 0, lofted(&form).skin.as_ref().unwrap().loft(), 0.8);
        let mend = found.iter().find_map(|f| f.mend.as_ref()).unwrap();
        assert!(mend.label.starts_with(expected), "{found:?}");
        document = mend.edit.apply(&document).unwrap();
    }
    let form = document.forms[0].clone();
    assert_eq!(findings(&away, &form, 0, lofted(&form).skin.as_ref().unwrap().loft(), 0.8), []);
}

#[test]
fn a_shell_that_goes_over_is_pinned_proud_by_its_step() {
    let form = cylinder(50.0, 200.0);
    let proud = FuselageEnd { allowed_gap: 0.1, ..end(circle(52.0), None) };
    let found = findings(&proud, &form, 0, lofted(&form).skin.as_ref().unwrap().loft(), 0.8);
    let mend = found[0].mend.as_ref().unwrap();
    assert!(mend.label.ends_with("1.20 mm proud of it"), "{mend:?}");
    let mut document = project::starter::new_document("Test");
    document.forms = vec![std::sync::Arc::new(form)];
    let joined = mend.edit.apply(&document).unwrap();
    let form = joined.forms[0].clone();
    let found = findings(&proud, &form, 0, lofted(&form).skin.as_ref().unwrap().loft(), 0.78);
    assert_eq!(found, []);
    let pinned = joined.airframe.fuselage.as_ref().unwrap().pinned.unwrap();
    assert!(pinned.form == 0 && (pinned.proud - 1.2).abs() < 1e-12, "{pinned:?}");
}

/// Closed form: over a fuselage of radius 80 a wall of 1.5 mm and a clearance of 0.4 mm need 81.9 mm. Against that the gap and
/// the room are measured; a flush form is only noted, since the fuselage may be rebated.
#[test]
fn the_gap_of_a_shell_that_goes_over_is_measured_from_its_step() {
    let end = FuselageEnd { allowed_gap: 0.3, ..end(circle(80.0), None) };
    let told = |radius| {
        let form = cylinder(radius, 200.0);
        findings(&end, &form, 0, lofted(&form).skin.as_ref().unwrap().loft(), 1.5)
    };
    assert_eq!(told(81.9), []);
    assert_eq!(told(81.895), [], "0.005 mm less than the clearance is within its tolerance");
    assert_eq!(told(82.15), []);
    let short = told(81.75);
    assert!(short.len() == 1 && short[0].severity == Severity::Note && short[0].what.contains("0.15 mm"), "{short:?}");
    let flush = told(80.0);
    assert!(flush.len() == 1 && flush[0].severity == Severity::Note && flush[0].what.contains("1.90 mm"), "{flush:?}");
    for (radius, off, way) in [(82.9, 1.0, "1.00 mm too far out"), (81.0, 0.9, "0.90 mm too far in")] {
        let found = told(radius);
        assert!(found.len() == 1 && found[0].severity == Severity::Warning && found[0].what.contains(way), "{found:?}");
        assert!((found[0].measured.unwrap().value - off).abs() < 0.005, "{found:?}");
    }
}

/// What is offered pins with the step, of a flush form too, and leaves nothing to tell.
#[test]
fn the_pin_of_a_shell_that_goes_over_leaves_nothing_to_tell() {
    let end = FuselageEnd { allowed_gap: 0.3, ..end(circle(80.0), None) };
    for radius in [78.0, 80.0, 81.0, 81.75, 84.0] {
        let form = cylinder(radius, 200.0);
        let found = findings(&end, &form, 0, lofted(&form).skin.as_ref().unwrap().loft(), 1.5);
        let mend = found[0].mend.as_ref().unwrap();
        assert!(mend.label.ends_with("1.90 mm proud of it"), "{radius}: {mend:?}");
        let mut document = project::starter::new_document("Test");
        document.forms = vec![std::sync::Arc::new(form)];
        let joined = mend.edit.apply(&document).unwrap();
        let pinned = joined.airframe.fuselage.as_ref().unwrap().pinned.unwrap();
        assert!((pinned.proud - 1.9).abs() < 1e-12, "{pinned:?}");
        let form = &joined.forms[0];
        let found = findings(&end, form, 0, lofted(form).skin.as_ref().unwrap().loft(), 1.5);
        assert_eq!(found, [], "{radius}");
    }
}

/// Pinned to any section, sharp corners and all, the lofted form meets the fuselage all round to a hundredth, or stands proud of
/// it by what was asked for.
#[test]
fn a_form_pinned_to_any_section_meets_it_all_round() {
    let boxed = |radius| FuselageSection::RoundedBox { width: 110.0, height: 96.0, radius, centre_height: 2.0 };
    let measured = project::fuselage::points(&ellipse(52.0, 61.0), project::fuselage::COARSE, 0.0).unwrap();
    for section in
        [circle(47.0), ellipse(60.0, 44.0), boxed(30.0), boxed(6.0), boxed(0.0), FuselageSection::Measured(measured)]
    {
        for proud in [0.0, 1.2] {
            let mut document = project::starter::new_document("Test");
            document.forms = vec![std::sync::Arc::new(cylinder(50.0, 200.0))];
            let pinned = Some(project::airframe::Pin { form: 0, proud });
            let end = FuselageEnd { pinned, ..end(section.clone(), None) };
            let next = project::edit::Edit::SetFuselage(Some(end.clone())).apply(&document).unwrap();
            let lofted = lofted(&next.forms[0]);
            assert!(lofted.findings.iter().all(|f| f.severity != Severity::Error), "{:?}", lofted.findings);
            let at = lofted.skin.as_ref().unwrap().loft().section(200.0).unwrap();
            let form = Outline::new(at.polyline(FINE)).unwrap();
            let fuselage = FuselageShape::of(&end).unwrap();
            // Around a sharp corner the mitre stands farther off than the sides: only flush is compared there.
            let sharp = matches!(section, FuselageSection::RoundedBox { radius, .. } if radius == 0.0);
            let (widest, least) = (widest_gap(&form, fuselage.outline()), least_proud(&form, fuselage.outline()));
            if !(sharp && proud > 0.0) {
                assert!((widest.proud - proud).abs() < 0.015, "{section:?} {proud}: {widest:?}");
            }
            assert!((least.proud - proud).abs() < 0.015, "{section:?} {proud}: {least:?}");
            // With a wall of 0.8 mm and a clearance of 0.4 mm the lap then has its step.
            if proud > 0.0 {
                let end = FuselageEnd { allowed_gap: 0.05, ..end };
                let found = findings(&end, &next.forms[0], 0, lofted.skin.as_ref().unwrap().loft(), 0.8);
                assert_eq!(found, [], "{section:?}");
            }
        }
    }
}
