//! Random airframes that keep every promise, and what the edits of one answer.

use project::airframe::*;
use project::document::Document;
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
    assert!(Edit::AddKeepOut(motor()).apply(&document).unwrap_err().hint.contains("500"));
    assert!(Edit::AddGauge(wheels()).apply(&document).unwrap_err().hint.contains("500"));
}

#[test]
fn setting_and_clearing_are_named_apart() {
    assert_eq!(Edit::SetFuselage(Some(circle(0.0))).label(), "Set fuselage end");
    assert_eq!(Edit::SetFuselage(None).label(), "Remove fuselage end");
    assert_eq!(Edit::SetThrust(Some(shaft())).label(), "Set thrust line");
    assert_eq!(Edit::SetThrust(None).label(), "Remove thrust line");
}
