//! Edits keep every promise of the document, or are refused with a hint.

use std::sync::Arc;

use project::airframe::{DrawOff, FuselageEnd, Gauge, KeepOut, Pin, ThrustLine};
use project::document::*;
use project::edit::{Edit, locked_by};
use project::measured::master_values;
use project::promise::check_document;
use project::starter::{blank_form, new_document};
use proptest::collection::vec;
use proptest::prelude::*;

/// Numbers as a builder might give them, and some that nobody should.
fn number() -> impl Strategy<Value = f64> {
    prop_oneof![
        10 => -300.0..600.0,
        4 => (0..20).prop_map(|n| f64::from(n) * 30.0),
        2 => 0.0..1.0,
        1 => prop::sample::select(vec![f64::NAN, f64::INFINITY, -1e300, 1e6, 0.0, -0.0, 1e-12]),
    ]
}

fn index() -> impl Strategy<Value = usize> {
    0..6usize
}

fn line_name() -> impl Strategy<Value = LineName> {
    prop::sample::select(LineName::ALL.to_vec())
}

fn kind() -> impl Strategy<Value = LinePointKind> {
    prop_oneof![Just(LinePointKind::Smooth), Just(LinePointKind::Corner), number().prop_map(LinePointKind::Slope)]
}

fn role() -> impl Strategy<Value = PointRole> {
    prop_oneof![
        Just(PointRole::Smooth),
        (0..4u32, any::<bool>()).prop_map(|(number, faded)| PointRole::Knuckle { number, faded }),
        Just(PointRole::Breadth { knuckle: Some(9) }),
        Just(PointRole::Breadth { knuckle: None }),
        Just(PointRole::Crown),
        Just(PointRole::Keel),
    ]
}

fn arc() -> impl Strategy<Value = ArcKind> {
    prop_oneof![
        Just(ArcKind::Cubic),
        number().prop_map(|rho| ArcKind::Conic { rho }),
        number().prop_map(|exponent| ArcKind::Superelliptic { exponent }),
    ]
}

fn section() -> impl Strategy<Value = ControlSection> {
    (number(), crate::documents::section_shape()).prop_map(|(station, shape)| ControlSection { station, shape })
}

fn form_edit() -> impl Strategy<Value = Edit> {
    let form = || 0..2usize;
    prop_oneof![
        (form(), "[a-z]{0,3}").prop_map(|(form, name)| Edit::RenameForm { form, name }),
        crate::documents::added_form().prop_map(Edit::AddForm),
        (form(), crate::documents::added_form()).prop_map(|(form, with)| Edit::ReplaceForm { form, with }),
        form().prop_map(|form| Edit::RemoveForm { form }),
        (form(), number(), number()).prop_map(|(form, front, rear)| Edit::SetEdgeRadii { form, front, rear }),
        form().prop_map(|form| Edit::SetLengthwise { form, lengthwise: Lengthwise::Straight }),
        (form(), number()).prop_map(|(form, x)| Edit::AddStation { form, x }),
        (form(), index(), number()).prop_map(|(form, station, x)| Edit::MoveStation { form, station, x }),
        (form(), index()).prop_map(|(form, station)| Edit::RemoveStation { form, station }),
        (form(), vec(number(), 0..9)).prop_map(|(form, stations)| Edit::SetStations { form, stations }),
    ]
}

fn line_edit() -> impl Strategy<Value = Edit> {
    let at = || (0..2usize, line_name());
    prop_oneof![
        3 => (at(), number(), number(), kind()).prop_map(|((form, line), x, value, kind)| {
            Edit::AddLinePoint { form, line, point: LinePoint { x, value, kind } }
        }),
        3 => (at(), index(), number(), number())
            .prop_map(|((form, line), point, x, value)| Edit::MoveLinePoint { form, line, point, x, value }),
        1 => (at(), index(), kind())
            .prop_map(|((form, line), point, kind)| Edit::SetLinePointKind { form, line, point, kind }),
        1 => (at(), index()).prop_map(|((form, line), point)| Edit::RemoveLinePoint { form, line, point }),
        1 => at().prop_map(|(form, line)| {
            Edit::SetLineEnds { form, line, front: LineEnd::Upright, rear: LineEnd::Natural }
        }),
    ]
}

fn section_edit() -> impl Strategy<Value = Edit> {
    let at = || (0..2usize, 0..4usize);
    prop_oneof![
        2 => (0..2usize, section()).prop_map(|(form, section)| Edit::AddSection { form, section }),
        2 => (at(), section()).prop_map(|((form, section), with)| Edit::ReplaceSection { form, section, with }),
        2 => (at(), number()).prop_map(|((form, section), station)| Edit::MoveSection { form, section, station }),
        2 => (at(), number()).prop_map(|((form, section), station)| Edit::CopySection { form, section, station }),
        1 => at().prop_map(|(form, section)| Edit::RemoveSection { form, section }),
        2 => (at(), index(), number(), number(), role()).prop_map(|((form, section), after, u, v, role)| {
            Edit::AddSectionPoint { form, section, after, u, v, role }
        }),
        2 => (at(), index(), number(), number())
            .prop_map(|((form, section), point, u, v)| Edit::MoveSectionPoint { form, section, point, u, v }),
        2 => (at(), index(), role())
            .prop_map(|((form, section), point, role)| Edit::SetSectionPointRole { form, section, point, role }),
        1 => (at(), index()).prop_map(|((form, section), point)| Edit::RemoveSectionPoint { form, section, point }),
        1 => (at(), index(), arc()).prop_map(|((form, section), arc, kind)| Edit::SetArc { form, section, arc, kind }),
        1 => (at(), any::<bool>())
            .prop_map(|((form, section), crown)| Edit::SetRidges { form, section, crown, keel: !crown }),
    ]
}

fn known() -> impl Strategy<Value = KnownDistance> {
    (crate::documents::known(), number()).prop_map(|(known, distance_mm)| KnownDistance { distance_mm, ..known })
}

fn picture_edit() -> impl Strategy<Value = Edit> {
    let picture = || 0..3usize;
    prop_oneof![
        crate::documents::picture().prop_map(Edit::AddPicture),
        picture().prop_map(|picture| Edit::RemovePicture { picture }),
        (picture(), "[a-z]{0,3}").prop_map(|(picture, name)| Edit::RenamePicture { picture, name }),
        (picture(), crate::documents::placement(), number()).prop_map(|(picture, placement, mm_per_px)| {
            Edit::PlacePicture { picture, placement: Placement { mm_per_px, ..placement } }
        }),
        (picture(), known()).prop_map(|(picture, known)| Edit::ScalePicture { picture, known }),
        (picture(), prop::option::of(known())).prop_map(|(picture, known)| Edit::CheckPicture { picture, known }),
        (picture(), crate::documents::known())
            .prop_map(|(picture, known)| Edit::LevelPicture { picture, points: [known.a, known.b] }),
        (picture(), number(), any::<bool>()).prop_map(|(picture, opacity, locked)| Edit::ShowPicture {
            picture,
            opacity,
            locked,
            hidden: !locked
        }),
    ]
}

fn bench_edit() -> impl Strategy<Value = Edit> {
    use crate::airframes::{fuselage, gauge, keep_out, thrust};
    prop_oneof![
        (prop::option::of(fuselage()), number())
            .prop_map(|(end, station)| { Edit::SetFuselage(end.map(|end| FuselageEnd { station, ..end })) }),
        (fuselage(), 0..2usize, prop_oneof![2 => -1.0..3.0, 1 => number()]).prop_map(|(end, form, proud)| {
            Edit::SetFuselage(Some(FuselageEnd { pinned: Some(Pin { form, proud }), ..end }))
        }),
        (prop::option::of(thrust()), number()).prop_map(|(thrust, down_thrust_deg)| {
            Edit::SetThrust(thrust.map(|thrust| ThrustLine { down_thrust_deg, ..thrust }))
        }),
        (keep_out(), number()).prop_map(|(keep_out, clearance)| Edit::AddKeepOut(KeepOut { clearance, ..keep_out })),
        (0..3usize, keep_out()).prop_map(|(index, with)| Edit::ReplaceKeepOut { index, with }),
        (0..3usize).prop_map(|index| Edit::RemoveKeepOut { index }),
        (gauge(), number()).prop_map(|(gauge, tolerance)| Edit::AddGauge(Gauge { tolerance, ..gauge })),
        (0..3usize, gauge(), number())
            .prop_map(|(index, gauge, value)| Edit::ReplaceGauge { index, with: Gauge { value, ..gauge } }),
        (0..3usize).prop_map(|index| Edit::RemoveGauge { index }),
        any::<bool>().prop_map(|datum| Edit::SetDrawOff(if datum { DrawOff::Datum } else { DrawOff::ThrustLine })),
        (crate::builds::build(), number(), vec(number(), 0..5)).prop_map(|(mut build, laminate, stations)| {
            build.coat.laminate = laminate;
            build.sanding.stations = stations;
            Edit::SetBuild(build)
        }),
    ]
}

fn edit() -> impl Strategy<Value = Edit> {
    let single = prop_oneof![
        1 => "[a-z]{0,3}".prop_map(Edit::SetName),
        1 => number().prop_map(Edit::SetModelScale),
        1 => (number(), number()).prop_map(|(margin, overlap)| {
            Edit::SetPaper(PaperSetup { margin, overlap, ..PaperSetup::default() })
        }),
        4 => form_edit(),
        8 => line_edit(),
        10 => section_edit(),
        4 => picture_edit(),
        4 => crate::photographs::edit(|| number().boxed()),
        4 => bench_edit(),
        4 => crate::openings::edit(|| number().boxed()),
        4 => crate::shells::edit(|| number().boxed()),
    ];
    let together =
        |edit: BoxedStrategy<Edit>| vec(edit, 0..4).prop_map(|edits| Edit::Together { label: "Several".into(), edits });
    let single = single.boxed();
    prop_oneof![9 => single.clone(), 1 => together(single)]
}

/// Every pinned section has its points on the master lines.
fn assert_locked(document: &Document) {
    for form in &document.forms {
        for section in &form.sections {
            let SectionShape::Pinned(measured) = &section.shape else { continue };
            for name in LineName::ALL {
                let Some(value) = master_values(measured).get(name) else { continue };
                let point = form.lines.get(name).points.iter().find(|point| point.x == section.station);
                let there = point.is_some_and(|point| (point.value - value).abs() <= 1e-6);
                assert!(there, "{name:?} misses the pinned section at {}", section.station);
            }
        }
    }
}

proptest! {
    #[test]
    fn any_edits_keep_the_promises_or_are_refused(start in crate::documents::document(), edits in vec(edit(), 1..40)) {
        let mut document = start;
        for edit in edits {
            prop_assert!(!edit.label().is_empty() && edit.label() != "Change");
            match edit.apply(&document) {
                Ok(next) => document = next,
                Err(refused) => prop_assert!(!refused.reason.is_empty() && !refused.hint.is_empty()),
            }
            prop_assert_eq!(check_document(&document), Ok(()));
            assert_locked(&document);
        }
    }
}

fn started() -> Document {
    Edit::ReplaceForm { form: 0, with: blank_form(240.0, 90.0, 110.0, 80.0) }.apply(&new_document("Test")).unwrap()
}

fn measured() -> MeasuredSection {
    MeasuredSection {
        points: vec![[0.0, 70.0], [60.0, 40.0], [85.0, 5.0], [50.0, -40.0], [0.0, -60.0]],
        knuckles: Vec::new(),
        crown_ridge: false,
        keel_ridge: false,
        breadth_point: Some(2),
        breadth_girth: None,
    }
}

fn pinned_at(station: f64) -> Document {
    let section = ControlSection { station, shape: SectionShape::Pinned(measured()) };
    Edit::AddSection { form: 0, section }.apply(&started()).unwrap()
}

fn values_at(document: &Document, x: f64) -> Vec<Option<f64>> {
    let value = |name| document.forms[0].lines.get(name).points.iter().find(|p| p.x == x).map(|p| p.value);
    LineName::ALL.map(value).to_vec()
}

#[test]
fn pinning_sets_a_point_on_each_line_and_locks_it() {
    let document = pinned_at(60.0);
    assert_eq!(values_at(&document, 60.0), [Some(70.0), Some(-60.0), Some(85.0), Some(5.0)]);
    let at = 1;
    assert_eq!(document.forms[0].lines.crown.points[at].x, 60.0);
    assert_eq!(locked_by(&document.forms[0], LineName::Crown, 60.0), Some(1));
    let moved = Edit::MoveLinePoint { form: 0, line: LineName::Crown, point: at, x: 60.0, value: 71.0 };
    assert!(moved.apply(&document).unwrap_err().hint.contains("Unpin section 2"));
    let removed = Edit::RemoveLinePoint { form: 0, line: LineName::Keel, point: at };
    assert!(removed.apply(&document).unwrap_err().hint.contains("edit its measured points"));
    let cornered = Edit::SetLinePointKind { form: 0, line: LineName::Crown, point: at, kind: LinePointKind::Corner };
    assert!(cornered.apply(&document).is_ok());
}

#[test]
fn a_pinned_section_takes_its_locked_points_along_and_leaves_them_when_unpinned() {
    let moved = Edit::MoveSection { form: 0, section: 1, station: 75.0 }.apply(&pinned_at(60.0)).unwrap();
    assert_eq!(values_at(&moved, 60.0), [None; 4]);
    assert_eq!(values_at(&moved, 75.0), [Some(70.0), Some(-60.0), Some(85.0), Some(5.0)]);
    let copied = Edit::CopySection { form: 0, section: 1, station: 100.0 }.apply(&moved).unwrap();
    let with = ControlSection { station: 75.0, shape: copied.forms[0].sections[2].shape.clone() };
    let unpinned = Edit::ReplaceSection { form: 0, section: 1, with }.apply(&copied).unwrap();
    assert_eq!(values_at(&unpinned, 75.0), values_at(&moved, 75.0));
    let free = Edit::MoveLinePoint { form: 0, line: LineName::Crown, point: 1, x: 75.0, value: 71.0 };
    assert!(free.apply(&unpinned).is_ok());
}

#[test]
fn a_copy_of_a_pinned_section_has_its_points_in_unit_coordinates() {
    let copied = Edit::CopySection { form: 0, section: 1, station: 100.0 }.apply(&pinned_at(60.0)).unwrap();
    let SectionShape::Shaped(unit) = &copied.forms[0].sections[2].shape else { panic!("not shaped") };
    let [_, shoulder, breadth, chine, _] = &unit.points[..] else { panic!("not five points") };
    assert_eq!(breadth.role, PointRole::Breadth { knuckle: None });
    // u = y / breadth, v by the half box above (70 - 5) and below (5 + 60).
    assert!((shoulder.u - 60.0 / 85.0).abs() < 1e-12 && (shoulder.v - 35.0 / 65.0).abs() < 1e-12);
    assert!((chine.u - 50.0 / 85.0).abs() < 1e-12 && (chine.v + 45.0 / 65.0).abs() < 1e-12);
}

#[test]
fn sections_stay_in_order_and_one_a_station() {
    let document = pinned_at(60.0);
    let stations = |d: &Document| d.forms[0].sections.iter().map(|s| s.station).collect::<Vec<_>>();
    let moved = Edit::MoveSection { form: 0, section: 0, station: 120.0 }.apply(&document).unwrap();
    assert_eq!(stations(&moved), [60.0, 120.0, 240.0]);
    assert!(Edit::MoveSection { form: 0, section: 0, station: 60.005 }.apply(&document).is_err());
    assert!(Edit::MoveSection { form: 0, section: 0, station: 60.01 }.apply(&document).is_ok());
}

#[test]
fn a_point_stays_between_its_neighbours() {
    let document = started();
    let to = |x| Edit::MoveLinePoint { form: 0, line: LineName::Crown, point: 1, x, value: 100.0 }.apply(&document);
    assert!(to(239.999).is_ok());
    assert!(to(239.9995).unwrap_err().hint.contains("239.999"));
    assert!(to(-1.0).is_err());
    assert_eq!(document.forms[0].lines.crown.room(1), [0.001, 239.999]);
}

#[test]
fn marks_of_a_section_cannot_be_moved_or_removed() {
    let document = started();
    for point in 0..3 {
        let moved = Edit::MoveSectionPoint { form: 0, section: 0, point, u: 0.5, v: 0.5 };
        assert!(moved.apply(&document).unwrap_err().hint.contains("line at this station"));
        assert!(Edit::RemoveSectionPoint { form: 0, section: 0, point }.apply(&document).is_err());
    }
    let role = PointRole::Breadth { knuckle: Some(1) };
    assert!(Edit::SetSectionPointRole { form: 0, section: 0, point: 1, role }.apply(&document).is_ok());
}

#[test]
fn a_new_section_point_divides_its_arc() {
    let (u, v, role) = (0.7, 0.7, PointRole::Smooth);
    let added = Edit::AddSectionPoint { form: 0, section: 0, after: 0, u, v, role }.apply(&started()).unwrap();
    let SectionShape::Shaped(unit) = &added.forms[0].sections[0].shape else { panic!("not shaped") };
    assert_eq!(unit.points.len(), 4);
    assert_eq!(unit.arcs[0], unit.arcs[1]);
    let removed = Edit::RemoveSectionPoint { form: 0, section: 0, point: 1 }.apply(&added).unwrap();
    assert_eq!(removed, started());
}

#[test]
fn stations_are_sorted_and_each_is_once() {
    let set = Edit::SetStations { form: 0, stations: vec![30.0, 10.0, 30.0, 20.0, 10.0000001] };
    assert_eq!(set.apply(&started()).unwrap().forms[0].stations, [10.0, 20.0, 30.0]);
    let many = Edit::SetStations { form: 0, stations: (0..2001).map(f64::from).collect() };
    assert!(many.apply(&started()).unwrap_err().hint.contains("2000"));
    assert!(Edit::AddStation { form: 0, x: 30.0 }.apply(&started()).is_err());
}

#[test]
fn several_edits_are_one_step_and_all_or_none() {
    let good = Edit::AddStation { form: 0, x: 31.0 };
    let bad = Edit::RemoveForm { form: 0 };
    let together = Edit::Together { label: "Both".into(), edits: vec![good, bad] };
    assert!(together.apply(&started()).is_err());
}

fn with_picture(placement: Placement) -> Document {
    let picture = Picture {
        name: "Side".into(),
        view: PictureView::Side,
        bytes: crate::documents::png(b"side").into(),
        file: String::new(),
        size_px: [2000, 1000],
        placement,
        scale: None,
        check: None,
        level: None,
        opacity: 0.5,
        locked: false,
        hidden: false,
        photograph: project::photograph::Photograph::default(),
    };
    Edit::AddPicture(picture).apply(&started()).unwrap()
}

proptest! {
    #[test]
    fn scaling_a_picture_holds_its_first_point_and_moves_no_line(
        placement in crate::documents::placement(),
        known in crate::documents::known(),
    ) {
        let before = with_picture(placement);
        // Distances so large or small that a pixel leaves its range are refused.
        let Ok(after) = (Edit::ScalePicture { picture: 0, known }).apply(&before) else { return Ok(()) };
        let [old, new] = [&before, &after].map(|document| document.pictures[0].placement);
        let [from, to] = [old.to_view(known.a), new.to_view(known.a)];
        prop_assert!((from[0] - to[0]).hypot(from[1] - to[1]) < 1e-6);
        let other = new.to_view(known.b);
        let measured = (other[0] - to[0]).hypot(other[1] - to[1]);
        let distance = if known.full_size { known.distance_mm / before.model_scale } else { known.distance_mm };
        prop_assert!((measured - distance).abs() < 1e-6 * distance.max(1.0));
        prop_assert!(Arc::ptr_eq(&before.forms[0], &after.forms[0]));
    }
}

#[test]
fn a_locked_picture_stays_where_it_is() {
    let placement = Placement { mm_per_px: 0.5, rotation_deg: 0.0, offset: [0.0, 0.0], mirrored: false };
    let locked = Edit::ShowPicture { picture: 0, opacity: 0.5, locked: true, hidden: false }
        .apply(&with_picture(placement))
        .unwrap();
    let moved = Edit::PlacePicture { picture: 0, placement: Placement { offset: [9.0, 9.0], ..placement } };
    assert!(moved.apply(&locked).unwrap_err().hint.contains("Unlock"));
    let level = Edit::LevelPicture { picture: 0, points: [[0.0, 0.0], [100.0, 1.0]] };
    assert!(level.apply(&locked).is_err());
}

#[test]
fn a_picture_gets_a_file_name_of_its_own() {
    let placement = Placement { mm_per_px: 0.5, rotation_deg: 0.0, offset: [0.0, 0.0], mirrored: false };
    let file = &with_picture(placement).pictures[0].file;
    assert!(file.starts_with("pictures/side-") && file.ends_with(".png"), "{file}");
}

#[test]
fn points_on_one_another_and_a_knuckle_twice_are_refused() {
    let knuckle = PointRole::Knuckle { number: 1, faded: false };
    let add = |u, v, role| Edit::AddSectionPoint { form: 0, section: 0, after: 0, u, v, role };
    let once = add(0.7, 0.7, knuckle).apply(&started()).unwrap();
    let same_place = add(0.7, 0.7, PointRole::Smooth).apply(&once).unwrap_err();
    assert!(same_place.reason.contains("Points 2 and 3"), "{same_place}");
    let same_number = add(0.5, 0.8, knuckle).apply(&once).unwrap_err();
    assert!(same_number.reason.contains("Knuckle 1"), "{same_number}");
    assert!(add(0.5, 0.8, PointRole::Smooth).apply(&once).is_ok());
}
