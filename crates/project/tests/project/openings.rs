//! Random openings and mounts that keep every promise, and what their edits answer.

use std::sync::Arc;

use project::build::Build;
use project::edit::{Edit, Refused};
use project::mount::Mount;
use project::opening::*;
use project::promise::{MAX_OPENINGS, MAX_OUTLINE_POINTS};
use project::starter::{empty_form, new_document};
use proptest::collection::vec;
use proptest::option;
use proptest::prelude::*;

fn place() -> impl Strategy<Value = [f64; 2]> {
    [-500.0..500.0, -300.0..300.0]
}

/// Points around a middle, each at another angle, so that no two neighbours lie on one another.
fn drawn() -> impl Strategy<Value = Outline> {
    (place(), vec((1.0..60.0, any::<bool>()), 3..9)).prop_map(|(middle, spokes): (_, Vec<(f64, bool)>)| {
        let step = std::f64::consts::TAU / spokes.len() as f64;
        let point = |(index, (reach, corner)): (usize, &(f64, bool))| {
            let (sine, cosine) = (step * index as f64).sin_cos();
            OutlinePoint { at: [middle[0] + reach * cosine, middle[1] + reach * sine], corner: *corner }
        };
        Outline::Drawn { points: spokes.iter().enumerate().map(point).collect() }
    })
}

pub(crate) fn outline() -> impl Strategy<Value = Outline> {
    let size = || [0.1..200.0, 0.1..200.0];
    let turn = || prop_oneof![Just(0.0), -180.0..180.0];
    let boxed = (place(), size(), prop_oneof![Just(0.0), 0.0..0.5], turn());
    prop_oneof![
        (place(), size(), turn()).prop_map(|(centre, size, turn_deg)| Outline::Ellipse { centre, size, turn_deg }),
        boxed.prop_map(|(centre, size, share, turn_deg)| {
            let radius = share * f64::min(size[0], size[1]);
            Outline::Box { centre, size, radius, turn_deg }
        }),
        drawn(),
    ]
}

fn duct() -> impl Strategy<Value = Duct> {
    let zero_or = |most: f64| prop_oneof![Just(0.0), 0.0..most];
    (0.1..300.0, zero_or(10.0), zero_or(4.0), option::of(outline())).prop_map(|(depth, lip_radius, wall, inner)| Duct {
        depth,
        lip_radius,
        wall,
        inner,
    })
}

pub(crate) fn opening() -> impl Strategy<Value = Opening> {
    let what = (prop::sample::select(Purpose::ALL.to_vec()), prop::sample::select(Seen::ALL.to_vec()), any::<bool>());
    ("[a-zA-Z \"é]{0,10}o", what, outline(), option::of(duct())).prop_map(
        |(name, (purpose, seen, mirrored), outline, duct)| Opening { name, purpose, seen, mirrored, outline, duct },
    )
}

pub(crate) fn mount() -> impl Strategy<Value = Mount> {
    let angle = || prop_oneof![Just(0.0), -180.0..180.0];
    ([-500.0..500.0, -300.0..300.0, -300.0..300.0], angle(), angle(), angle(), any::<bool>()).prop_map(
        |(place, roll_deg, pitch_deg, yaw_deg, mirrored)| Mount { place, roll_deg, pitch_deg, yaw_deg, mirrored },
    )
}

/// Edits of openings and mounts with a number among them that may be anything.
pub(crate) fn edit(number: impl Fn() -> BoxedStrategy<f64>) -> impl Strategy<Value = Edit> {
    let form = || 0..3usize;
    let spoilt = (opening(), number()).prop_map(|(mut opening, number)| {
        match &mut opening.outline {
            Outline::Ellipse { size, .. } => size[0] = number,
            Outline::Box { radius, .. } => *radius = number,
            Outline::Drawn { points } => points[0].at[1] = number,
        }
        opening
    });
    let with_duct = (opening(), duct(), number())
        .prop_map(|(opening, duct, depth)| Opening { duct: Some(Duct { depth, ..duct }), ..opening });
    let build = (crate::builds::build(), number(), vec(number(), 0..4)).prop_map(|(mut build, card, stations)| {
        (build.stack.card, build.sanding.stations) = (card, stations);
        build
    });
    prop_oneof![
        (form(), opening()).prop_map(|(form, opening)| Edit::AddOpening { form, opening }),
        (form(), spoilt).prop_map(|(form, opening)| Edit::AddOpening { form, opening }),
        (form(), 0..3usize, with_duct).prop_map(|(form, index, with)| Edit::ReplaceOpening { form, index, with }),
        (form(), 0..3usize).prop_map(|(form, index)| Edit::RemoveOpening { form, index }),
        (form(), option::of(mount())).prop_map(|(form, mount)| Edit::SetMount { form, mount }),
        (form(), mount(), number(), number()).prop_map(|(form, mount, x, pitch_deg)| {
            let place = [x, mount.place[1], mount.place[2]];
            Edit::SetMount { form, mount: Some(Mount { place, pitch_deg, ..mount }) }
        }),
        (form(), option::of(build)).prop_map(|(form, build)| Edit::SetFormBuild { form, build }),
    ]
}

fn round() -> Opening {
    Opening {
        name: "Left eye".into(),
        purpose: Purpose::Intake,
        seen: Seen::Ahead,
        mirrored: true,
        outline: Outline::Ellipse { centre: [40.0, 10.0], size: [30.0, 20.0], turn_deg: 0.0 },
        duct: None,
    }
}

/// That opening with one thing changed, refused both as a new one and in another's place.
fn refused(change: impl FnOnce(&mut Opening)) -> Refused {
    let mut opening = round();
    change(&mut opening);
    let document = Edit::AddOpening { form: 0, opening: round() }.apply(&new_document("Test")).unwrap();
    let replaced = Edit::ReplaceOpening { form: 0, index: 0, with: opening.clone() }.apply(&document).unwrap_err();
    let added = Edit::AddOpening { form: 0, opening }.apply(&document).unwrap_err();
    assert_eq!(added, replaced);
    added
}

#[test]
fn openings_are_added_replaced_and_removed() {
    let first = Edit::AddOpening { form: 0, opening: round() }.apply(&new_document("Test")).unwrap();
    let slot = Opening { name: "Slot".into(), purpose: Purpose::Outlet, ..round() };
    let both = Edit::AddOpening { form: 0, opening: slot.clone() }.apply(&first).unwrap();
    let names = |d: &project::document::Document| {
        d.forms[0].openings.iter().map(|opening| opening.name.clone()).collect::<Vec<_>>()
    };
    assert_eq!(names(&both), ["Left eye", "Slot"]);
    let replaced = Edit::ReplaceOpening { form: 0, index: 0, with: slot.clone() }.apply(&both).unwrap();
    assert_eq!(names(&replaced), ["Slot", "Slot"]);
    assert!(Arc::ptr_eq(&both.forms[0].openings[1], &replaced.forms[0].openings[1]));
    let removed = Edit::RemoveOpening { form: 0, index: 1 }.apply(&both).unwrap();
    assert_eq!(removed, first);
    assert!(Edit::RemoveOpening { form: 0, index: 1 }.apply(&first).unwrap_err().reason.contains("no opening 2"));
    let none = Edit::ReplaceOpening { form: 0, index: 7, with: slot };
    assert!(none.apply(&first).unwrap_err().reason.contains("no opening 8"));
    assert!(Edit::AddOpening { form: 5, opening: round() }.apply(&first).is_err());
}

#[test]
fn a_refused_opening_says_what_and_how_much() {
    assert!(refused(|o| o.name = " ".into()).reason.contains("needs a name"));
    let drawn = |points: Vec<[f64; 2]>| {
        refused(|o| {
            let point = |at: &[f64; 2]| OutlinePoint { at: *at, corner: false };
            o.outline = Outline::Drawn { points: points.iter().map(point).collect() };
        })
    };
    assert!(drawn(vec![[0.0, 0.0], [5.0, 0.0]]).hint.contains("at least three"));
    assert!(drawn(vec![[0.0, 0.0], [5.0, 0.0], [5.0, 0.005]]).hint.contains("0.01 mm"));
    assert!(drawn(vec![[0.0, 0.0], [5.0, 0.0], [5.0, 4.0], [0.0, 0.0]]).hint.contains("closes by itself"));
    assert!(drawn(vec![[0.0, 0.0], [5.0, 0.0], [f64::NAN, 4.0]]).reason.contains("no number"));
    let many = (0..=MAX_OUTLINE_POINTS).map(|n| [n as f64, (n % 2) as f64]).collect();
    assert!(drawn(many).hint.contains("500"));
    let rounder = |radius| {
        refused(|o| {
            o.outline = Outline::Box { centre: [0.0, 0.0], size: [40.0, 20.0], radius, turn_deg: 0.0 };
        })
    };
    assert!(rounder(10.5).hint.contains("at most 10 mm"));
    assert!(rounder(f64::NAN).reason.contains("corner radius"));
    let duct = |change: fn(&mut Duct)| {
        refused(|o| {
            let mut duct = Duct { depth: 60.0, lip_radius: 3.0, wall: 1.0, inner: None };
            change(&mut duct);
            o.duct = Some(duct);
        })
    };
    assert!(duct(|d| d.depth = 0.0).reason.contains("depth"));
    assert!(duct(|d| d.lip_radius = -1.0).reason.contains("lip radius"));
    assert!(duct(|d| d.wall = 1e9).reason.contains("wall"));
    assert!(duct(|d| d.inner = Some(Outline::Drawn { points: Vec::new() })).reason.contains("encloses nothing"));
}

#[test]
fn no_more_openings_than_can_be_listed() {
    let mut document = new_document("Test");
    let mut form = empty_form("Full");
    let opening = Arc::new(round());
    form.openings = vec![opening; MAX_OPENINGS];
    document.forms = vec![Arc::new(form)];
    let refused = Edit::AddOpening { form: 0, opening: round() }.apply(&document).unwrap_err();
    assert!(refused.hint.contains("500"), "{refused}");
}

fn at(place: [f64; 3]) -> Mount {
    Mount { place, ..Mount::default() }
}

fn with_blister() -> project::document::Document {
    Edit::AddForm(empty_form("Blister")).apply(&new_document("Test")).unwrap()
}

#[test]
fn a_form_is_put_on_the_first_and_taken_off() {
    let mount = Some(at([60.0, 40.0, -20.0]));
    let on = Edit::SetMount { form: 1, mount }.apply(&with_blister()).unwrap();
    assert_eq!(on.forms[1].mount, mount);
    assert_eq!(Edit::SetMount { form: 1, mount: None }.apply(&on).unwrap(), with_blister());
    let first = Edit::SetMount { form: 0, mount }.apply(&on).unwrap_err();
    assert!(first.hint.contains("after the first"), "{first}");
    assert!(Edit::SetMount { form: 0, mount: None }.apply(&on).is_ok());
    assert!(Edit::SetMount { form: 2, mount }.apply(&on).unwrap_err().reason.contains("no form 3"));
    let far = Edit::SetMount { form: 1, mount: Some(at([1e9, 0.0, 0.0])) }.apply(&on).unwrap_err();
    assert!(far.reason.contains("place of the form"), "{far}");
    let turned = Mount { yaw_deg: 181.0, ..Mount::default() };
    assert!(Edit::SetMount { form: 1, mount: Some(turned) }.apply(&on).unwrap_err().reason.contains("yaw"));
}

#[test]
fn a_build_of_its_own_is_for_forms_after_the_first() {
    let mut build = Build::default();
    build.sanding.stations = vec![20.0, 10.0, 20.0];
    let set = Edit::SetFormBuild { form: 1, build: Some(build.clone()) }.apply(&with_blister()).unwrap();
    assert_eq!(set.forms[1].build.as_ref().unwrap().sanding.stations, [10.0, 20.0]);
    assert_eq!(set.build, with_blister().build);
    let first = Edit::SetFormBuild { form: 0, build: Some(build.clone()) }.apply(&set).unwrap_err();
    assert!(first.hint.contains("build of the project"), "{first}");
    build.stack.card = f64::NAN;
    assert!(Edit::SetFormBuild { form: 1, build: Some(build) }.apply(&set).unwrap_err().reason.contains("card"));
    assert_eq!(Edit::SetFormBuild { form: 1, build: None }.apply(&set).unwrap(), with_blister());
}

/// The next form stands for itself then, and what was its own build is what the project says.
#[test]
fn when_the_first_form_goes_the_next_is_put_on_none() {
    let mut build = Build::default();
    build.stack.boards = vec![19.5];
    let edits = vec![
        Edit::AddForm(empty_form("Chin")),
        Edit::SetMount { form: 1, mount: Some(at([60.0, 40.0, -20.0])) },
        Edit::SetMount { form: 2, mount: Some(at([10.0, 0.0, -70.0])) },
        Edit::SetFormBuild { form: 1, build: Some(build.clone()) },
    ];
    let both = Edit::Together { label: "Put on".into(), edits }.apply(&with_blister()).unwrap();
    let removed = Edit::RemoveForm { form: 0 }.apply(&both).unwrap();
    assert_eq!((removed.forms[0].mount, &removed.forms[0].build), (None, &None));
    assert_eq!(*removed.build, build);
    assert_eq!(removed.forms[1].mount, both.forms[2].mount);
    let second = Edit::RemoveForm { form: 1 }.apply(&both).unwrap();
    assert_eq!(second.build, both.build);
    // A form with a mount that is put in the first one's place loses it too.
    let replaced = Edit::ReplaceForm { form: 0, with: (*both.forms[1]).clone() }.apply(&both).unwrap();
    assert_eq!((replaced.forms[0].mount, &replaced.forms[0].build), (None, &None));
    assert_eq!(replaced.build, both.build);
}
