//! Random airframes that keep every promise, and what the edits of one answer.

use project::airframe::*;
use project::document::{ControlSection, Document, LineName, MeasuredSection, SectionShape};
use project::edit::{Edit, Refused};
use project::promise::{MAX_GAUGES, MAX_KEEP_OUTS};
use project::starter::new_document;
use proptest::collection::vec;
use proptest::option;
use proptest::prelude::*;

fn section() -> impl Strategy<Value = FuselageSection> {
    let sides = (20.0..400.0, 20.0..400.0, 0.0..1.0, -100.0..100.0);
    prop_oneof![
        crate::documents::measured_section().prop_map(FuselageSection::Measured),
        (20.0..400.0, -100.0..100.0)
            .prop_map(|(diameter, centre_height)| FuselageSection::Circle { diameter, centre_height }),
        (20.0..400.0, 20.0..400.0, -100.0..100.0).prop_map(|(width, height, centre_height)| FuselageSection::Ellipse {
            width,
            height,
            centre_height
        }),
        sides.prop_map(|(width, height, share, centre_height): (f64, f64, f64, f64)| {
            let radius = share * width.min(height) / 2.0;
            FuselageSection::RoundedBox { width, height, radius, centre_height }
        }),
    ]
}

fn lap() -> impl Strategy<Value = Lap> {
    let side = prop_oneof![Just(LapSide::Over), Just(LapSide::Into)];
    (side, 0.0..40.0, 0.0..3.0).prop_map(|(side, length, clearance)| Lap { side, length, clearance })
}

fn screws() -> impl Strategy<Value = Screws> {
    let spacing = prop_oneof![(1..40u32).prop_map(ScrewSpacing::Count), (1.0..200.0).prop_map(ScrewSpacing::Pitch)];
    (spacing, 0.0..20.0, 0.1..8.0).prop_map(|(spacing, edge_distance, hole)| Screws { spacing, edge_distance, hole })
}

pub(crate) fn fuselage() -> impl Strategy<Value = FuselageEnd> {
    let further = option::of((1.0..100.0, section()));
    ((-500.0..500.0, section(), further), lap(), option::of(screws()), 0.0..5.0, 0.0..20.0).prop_map(
        |((station, section, further), lap, screws, allowed_gap, allowed_break_deg)| FuselageEnd {
            station,
            section,
            further: further.map(|(behind, section)| (station + behind, section)),
            lap,
            screws,
            allowed_gap,
            allowed_break_deg,
            pinned: None,
        },
    )
}

pub(crate) fn thrust() -> impl Strategy<Value = ThrustLine> {
    let shaft = (-500.0..500.0, 0.0..400.0, -100.0..100.0, -30.0..30.0, -30.0..30.0);
    let spinner = (30.0..200.0, 0.0..5.0).prop_map(|(diameter, gap)| Spinner { diameter, gap });
    let ring = (0.0..10.0, -5.0..10.0, any::<bool>()).prop_map(|(thickness, step, square_to_thrust)| Ring {
        thickness,
        step,
        square_to_thrust,
    });
    (shaft, spinner, ring).prop_map(
        |((firewall, hub_distance, hub_height, down_thrust_deg, side_thrust_deg), spinner, ring)| ThrustLine {
            firewall,
            hub_distance,
            hub_height,
            down_thrust_deg,
            side_thrust_deg,
            spinner,
            ring,
        },
    )
}

pub(crate) fn keep_out() -> impl Strategy<Value = KeepOut> {
    let shape = prop_oneof![
        (0.1..200.0, 0.1..200.0).prop_map(|(diameter, length)| Solid::Cylinder { diameter, length }),
        (0.1..200.0, 0.1..200.0, 0.1..200.0).prop_map(|(length, breadth, height)| Solid::Box {
            length,
            breadth,
            height
        }),
        (0.0..200.0, 0.1..200.0, 0.1..200.0).prop_map(|(front_diameter, rear_diameter, length)| Solid::Cone {
            front_diameter,
            rear_diameter,
            length
        }),
    ];
    let front = [-500.0..500.0, -200.0..200.0, -200.0..200.0];
    let place = prop_oneof![
        (-50.0..300.0).prop_map(|behind_hub| KeepOutPlace::OnThrustLine { behind_hub }),
        (front, -90.0..90.0, -180.0..180.0).prop_map(|(front, pitch_deg, yaw_deg)| KeepOutPlace::Free {
            front,
            pitch_deg,
            yaw_deg
        }),
    ];
    ("[a-zA-Z ü\"]{0,10}m", shape, place, 0.0..30.0).prop_map(|(name, shape, place, clearance)| KeepOut {
        name,
        shape,
        place,
        clearance,
    })
}

pub(crate) fn gauge() -> impl Strategy<Value = Gauge> {
    let measure = prop_oneof![
        (-200.0..200.0).prop_map(|height| GaugeMeasure::WidthAt { height }),
        (0.0..200.0).prop_map(|half_breadth| GaugeMeasure::HeightAt { half_breadth }),
    ];
    let rule = prop_oneof![Just(GaugeRule::AtLeast), Just(GaugeRule::AtMost), Just(GaugeRule::Exactly)];
    ("[a-z ]{0,10}g", -500.0..500.0, measure, rule, 0.0..400.0, 0.0..5.0).prop_map(
        |(name, station, measure, rule, value, tolerance)| Gauge { name, station, measure, rule, value, tolerance },
    )
}

pub(crate) fn airframe() -> impl Strategy<Value = Airframe> {
    let draw_off = prop_oneof![Just(DrawOff::ThrustLine), Just(DrawOff::Datum)];
    (option::of(fuselage()), option::of(thrust()), vec(keep_out(), 0..3), vec(gauge(), 0..3), draw_off).prop_map(
        |(fuselage, thrust, keep_outs, gauges, draw_off)| Airframe { fuselage, thrust, keep_outs, gauges, draw_off },
    )
}

fn circle(station: f64) -> FuselageEnd {
    FuselageEnd {
        station,
        section: FuselageSection::Circle { diameter: 150.0, centre_height: -20.0 },
        further: None,
        lap: Lap { side: LapSide::Over, length: 10.0, clearance: 0.4 },
        screws: None,
        allowed_gap: 0.5,
        allowed_break_deg: 2.0,
        pinned: None,
    }
}

fn shaft() -> ThrustLine {
    ThrustLine {
        firewall: 240.0,
        hub_distance: 230.0,
        hub_height: 0.0,
        down_thrust_deg: 2.0,
        side_thrust_deg: 2.5,
        spinner: Spinner { diameter: 70.0, gap: 2.0 },
        ring: Ring { thickness: 3.0, step: 0.0, square_to_thrust: true },
    }
}

fn motor() -> KeepOut {
    KeepOut {
        name: "Motor".into(),
        shape: Solid::Cylinder { diameter: 63.0, length: 60.0 },
        place: KeepOutPlace::OnThrustLine { behind_hub: 20.0 },
        clearance: 3.0,
    }
}

fn wheels() -> Gauge {
    Gauge {
        name: "Landing gear".into(),
        station: 200.0,
        measure: GaugeMeasure::WidthAt { height: -40.0 },
        rule: GaugeRule::AtLeast,
        value: 120.0,
        tolerance: 0.5,
    }
}

fn applied(edits: &[Edit]) -> Document {
    edits.iter().fold(new_document("Test"), |document, edit| edit.apply(&document).unwrap())
}

fn refused(edit: &Edit) -> Refused {
    edit.apply(&new_document("Test")).unwrap_err()
}

#[test]
fn each_part_of_the_airframe_is_set_and_cleared() {
    let set = applied(&[
        Edit::SetFuselage(Some(circle(240.0))),
        Edit::SetThrust(Some(shaft())),
        Edit::AddKeepOut(motor()),
        Edit::AddGauge(wheels()),
        Edit::SetDrawOff(DrawOff::Datum),
    ]);
    let whole = Airframe {
        fuselage: Some(circle(240.0)),
        thrust: Some(shaft()),
        keep_outs: vec![motor()],
        gauges: vec![wheels()],
        draw_off: DrawOff::Datum,
    };
    assert_eq!(*set.airframe, whole);
    let clear = [
        Edit::SetFuselage(None),
        Edit::SetThrust(None),
        Edit::RemoveKeepOut { index: 0 },
        Edit::RemoveGauge { index: 0 },
        Edit::SetDrawOff(DrawOff::ThrustLine),
    ];
    let cleared = clear.iter().fold(set, |document, edit| edit.apply(&document).unwrap());
    assert_eq!(*cleared.airframe, Airframe::default());
}

#[test]
fn one_of_a_list_is_changed_and_removed_by_its_place() {
    let second = KeepOut { name: "Battery".into(), ..motor() };
    let two = applied(&[Edit::AddKeepOut(motor()), Edit::AddKeepOut(second.clone())]);
    let wider = KeepOut { clearance: 9.0, ..motor() };
    let changed = Edit::ReplaceKeepOut { index: 0, with: wider.clone() }.apply(&two).unwrap();
    assert_eq!(changed.airframe.keep_outs, [wider, second.clone()]);
    let removed = Edit::RemoveKeepOut { index: 0 }.apply(&two).unwrap();
    assert_eq!(removed.airframe.keep_outs, [second]);
    assert!(Edit::RemoveKeepOut { index: 2 }.apply(&two).unwrap_err().reason.contains("keep-out 3"));
    assert!(refused(&Edit::ReplaceGauge { index: 0, with: wheels() }).reason.contains("gauge 1"));
}

#[test]
fn a_refused_edit_says_what_and_how_much() {
    let canted = refused(&Edit::SetThrust(Some(ThrustLine { side_thrust_deg: 31.0, ..shaft() })));
    assert!(canted.reason.contains("side-thrust") && canted.hint.contains("-30 to 30"), "{canted}");
    let lost = refused(&Edit::SetThrust(Some(ThrustLine { hub_height: f64::NAN, ..shaft() })));
    assert!(lost.reason.contains("height of the hub"), "{lost}");
    let ring = Ring { step: 35.0, ..shaft().ring };
    assert!(refused(&Edit::SetThrust(Some(ThrustLine { ring, ..shaft() }))).hint.contains("70 mm"));
    let section = FuselageSection::RoundedBox { width: 120.0, height: 90.0, radius: 46.0, centre_height: 0.0 };
    assert!(refused(&Edit::SetFuselage(Some(FuselageEnd { section, ..circle(0.0) }))).hint.contains("at most 45 mm"));
    let further = Some((240.5, circle(0.0).section));
    let near = refused(&Edit::SetFuselage(Some(FuselageEnd { further, ..circle(240.0) })));
    assert!(near.reason.contains("240.5 mm") && near.hint.contains("further aft"), "{near}");
    let point = Solid::Cone { front_diameter: 0.0, rear_diameter: 0.0, length: 10.0 };
    assert!(refused(&Edit::AddKeepOut(KeepOut { shape: point, ..motor() })).reason.contains("cone"));
    assert!(refused(&Edit::AddKeepOut(KeepOut { name: " ".into(), ..motor() })).reason.contains("needs a name"));
    assert!(refused(&Edit::AddGauge(Gauge { tolerance: -0.1, ..wheels() })).reason.contains("tolerance"));
}

#[test]
fn lists_have_an_end() {
    let mut document = new_document("Test");
    let airframe =
        Airframe { keep_outs: vec![motor(); MAX_KEEP_OUTS], gauges: vec![wheels(); MAX_GAUGES], ..Airframe::default() };
    document.airframe = airframe.into();
    assert!(Edit::AddKeepOut(motor()).apply(&document).unwrap_err().hint.contains("100"));
    assert!(Edit::AddGauge(wheels()).apply(&document).unwrap_err().hint.contains("100"));
}

#[test]
fn setting_and_clearing_are_named_apart() {
    assert_eq!(Edit::SetFuselage(Some(circle(0.0))).label(), "Set fuselage end");
    assert_eq!(Edit::SetFuselage(None).label(), "Remove fuselage end");
    assert_eq!(Edit::SetThrust(Some(shaft())).label(), "Set thrust line");
    assert_eq!(Edit::SetThrust(None).label(), "Remove thrust line");
}

/// A document with a plain body whose rear section follows a circle at its rear end.
fn following(proud: f64) -> Document {
    let mut document = new_document("Test");
    document.forms = vec![std::sync::Arc::new(project::starter::blank_form(300.0, 100.0, 90.0, 120.0))];
    let end = FuselageEnd { pinned: Some(Pin { form: 0, proud }), ..circle(300.0) };
    Edit::SetFuselage(Some(end)).apply(&document).unwrap()
}

/// The measured points of the section at a station.
fn pinned_at(document: &Document, x: f64) -> MeasuredSection {
    let section = document.forms[0].sections.iter().find(|s| s.station == x);
    match section.map(|s| &s.shape) {
        Some(SectionShape::Pinned(measured)) => measured.clone(),
        other => panic!("not pinned: {other:?}"),
    }
}

fn end_of(document: &Document) -> FuselageEnd {
    document.airframe.fuselage.clone().unwrap_or_else(|| panic!("no fuselage end"))
}

fn ends_at(document: &Document, name: LineName) -> (f64, f64) {
    document.forms[0].lines.get(name).points.last().map_or((0.0, 0.0), |last| (last.x, last.value))
}

#[test]
fn a_section_pinned_to_the_fuselage_follows_whatever_becomes_of_it() {
    let document = following(1.0);
    let count = document.forms[0].sections.len();
    let off = |document: &Document, x: f64, r: f64| {
        let points = pinned_at(document, x).points;
        points.iter().map(|p| (p[0].hypot(p[1] + 20.0) - r).abs()).fold(0.0, f64::max)
    };
    // 150 mm across and 1 mm proud.
    assert!(off(&document, 300.0, 76.0) < 1e-9);
    assert_eq!(ends_at(&document, LineName::Crown), (300.0, 56.0));
    let section = FuselageSection::Circle { diameter: 160.0, centre_height: -20.0 };
    let wider = Edit::SetFuselage(Some(FuselageEnd { section, ..end_of(&document) })).apply(&document).unwrap();
    assert!(off(&wider, 300.0, 81.0) < 1e-9);
    let moved = Edit::SetFuselage(Some(FuselageEnd { station: 312.0, ..end_of(&wider) })).apply(&wider).unwrap();
    assert!(off(&moved, 312.0, 81.0) < 1e-9);
    assert_eq!(ends_at(&moved, LineName::Crown), (312.0, 61.0));
    assert_eq!(moved.forms[0].sections.len(), count);
    let points = FuselageSection::Measured(MeasuredSection {
        points: vec![[0.0, 60.0], [50.0, 40.0], [70.0, 0.0], [40.0, -60.0], [0.0, -80.0]],
        ..pinned_at(&moved, 312.0)
    });
    let flush = FuselageEnd { section: points, pinned: Some(Pin { form: 0, proud: 0.0 }), ..end_of(&moved) };
    let measured = Edit::SetFuselage(Some(flush)).apply(&moved).unwrap();
    assert_eq!(pinned_at(&measured, 312.0).points[3], [40.0, -60.0]);
}

#[test]
fn the_link_ends_with_its_section_and_the_section_does_not_leave_the_fuselage() {
    let document = following(0.0);
    let index = document.forms[0].sections.iter().position(|s| s.station == 300.0).unwrap();
    let away = Edit::MoveSection { form: 0, section: index, station: 280.0 }.apply(&document).unwrap_err();
    assert!(away.reason.contains("follows the fuselage end") && away.hint.contains("bench"), "{away}");
    let shape = SectionShape::Shaped(project::starter::two_conics(0.45));
    let with = ControlSection { station: 300.0, shape };
    let freed = Edit::ReplaceSection { form: 0, section: index, with }.apply(&document).unwrap();
    assert_eq!(end_of(&freed).pinned, None);
    let removed = Edit::RemoveSection { form: 0, section: index }.apply(&document).unwrap();
    assert_eq!(end_of(&removed).pinned, None);
    let elsewhere = Edit::AddStation { form: 0, x: 123.0 }.apply(&document).unwrap();
    assert!(end_of(&elsewhere).pinned.is_some());
    // Let go, it stays where it is, pinned to the points it had.
    let loose = Edit::SetFuselage(Some(FuselageEnd { pinned: None, ..end_of(&document) })).apply(&document).unwrap();
    assert_eq!(pinned_at(&loose, 300.0), pinned_at(&document, 300.0));
    let no_form = FuselageEnd { pinned: Some(Pin { form: 7, proud: 0.0 }), ..end_of(&document) };
    assert!(Edit::SetFuselage(Some(no_form)).apply(&document).unwrap_err().reason.contains("form 8"));
}

#[test]
fn the_link_counts_forms_as_they_come_and_go() {
    let mut document = following(0.0);
    document.forms.insert(0, std::sync::Arc::new(project::starter::empty_form("Spat")));
    let end = FuselageEnd { pinned: Some(Pin { form: 1, proud: 0.0 }), ..end_of(&document) };
    std::sync::Arc::make_mut(&mut document.airframe).fuselage = Some(end);
    let one = Edit::RemoveForm { form: 0 }.apply(&document).unwrap();
    assert_eq!(end_of(&one).pinned, Some(Pin { form: 0, proud: 0.0 }));
    let other = Edit::RemoveForm { form: 1 }.apply(&document).unwrap();
    assert_eq!(end_of(&other).pinned, None);
}

#[test]
fn the_link_is_saved_and_a_broken_one_is_let_go_and_told() {
    let document = following(1.5);
    let text = project::file::to_file(&document).unwrap().text;
    let open = |text: &str| project::file::from_file(text, &mut |_| Err("none".into())).unwrap();
    let opened = open(&text);
    assert_eq!((opened.document, opened.problems), (document, vec![]));
    let broken = open(&text.replacen("diameter: 150.0", "diameter: 151.0", 1));
    assert_eq!(end_of(&broken.document).pinned, None);
    assert!(broken.problems.iter().any(|p| p.to_string().contains("let go")), "{:?}", broken.problems);
}
