//! What is known of photographs: set, changed and refused.

use project::document::*;
use project::edit::{Edit, Refused};
use project::photograph::*;
use project::starter::new_document;
use proptest::collection::vec;
use proptest::option;
use proptest::prelude::*;

use crate::documents::{known, pick};

fn place() -> impl Strategy<Value = LandmarkPlace> {
    let mm = || -2000.0..2000.0;
    let side = || prop_oneof![Just(Side::Port), Just(Side::Starboard)];
    prop_oneof![
        4 => [mm(), mm(), mm()].prop_map(LandmarkPlace::At),
        1 => Just(LandmarkPlace::Hub),
        1 => mm().prop_map(|ahead| LandmarkPlace::SpinnerTip { ahead }),
        1 => Just(LandmarkPlace::Mount),
        1 => mm().prop_map(|station| LandmarkPlace::Crown { station }),
        1 => mm().prop_map(|station| LandmarkPlace::Keel { station }),
        1 => (mm(), side()).prop_map(|(station, side)| LandmarkPlace::Breadth { station, side }),
        1 => Just(LandmarkPlace::FuselageCrown),
        1 => Just(LandmarkPlace::FuselageKeel),
        1 => side().prop_map(|side| LandmarkPlace::FuselageBreadth { side }),
    ]
}

pub(crate) fn landmark() -> impl Strategy<Value = Landmark> {
    ("[a-zA-Z äπ\"]{0,8}l", place(), 0.0..50.0, pick(), any::<bool>())
        .prop_map(|(name, place, trust_mm, pixel, used)| Landmark { name, place, trust_mm, pixel, used })
}

pub(crate) fn trace() -> impl Strategy<Value = Trace> {
    let of = prop_oneof![Just(Traced::Outline), (-500.0..2000.0).prop_map(|station| Traced::Seam { station })];
    (of, vec(pick(), 1..9)).prop_map(|(of, points)| Trace { of, points })
}

pub(crate) fn figure() -> impl Strategy<Value = FlatFigure> {
    let point = (pick(), [-900.0..900.0, -900.0..900.0]).prop_map(|(pixel, plane)| FigurePoint { pixel, plane });
    (vec(point, 4..9), any::<bool>()).prop_map(|(points, full_size)| FlatFigure { points, full_size })
}

pub(crate) fn distances() -> impl Strategy<Value = Vec<NamedDistance>> {
    let one = ("[a-z]{1,6}", known(), 0.0..9.0);
    vec(one.prop_map(|(name, known, trust_mm)| NamedDistance { name, known, trust_mm }), 0..3)
}

pub(crate) fn focal() -> impl Strategy<Value = FocalLength> {
    (100.0..9000.0, 0.0..900.0).prop_map(|(px, tolerance_px)| FocalLength { px, tolerance_px })
}

pub(crate) fn photograph() -> impl Strategy<Value = Photograph> {
    let known = (distances(), option::of(figure()), vec(vec(pick(), 3..6), 0..3), option::of(focal()));
    let picked = (option::of(1.0..90_000.0), vec(landmark(), 0..6), vec(trace(), 0..4), 0.1..9.0, 0.1..9.0);
    (known, picked).prop_map(
        |((distances, figure, straight, focal), (distance_mm, mut landmarks, traces, picked_px, traced_px))| {
            for (i, landmark) in landmarks.iter_mut().enumerate() {
                landmark.name += &i.to_string();
            }
            Photograph { distances, figure, straight, focal, distance_mm, landmarks, picked_px, traces, traced_px }
        },
    )
}

/// Edits of the photographs of a few pictures, some of them with numbers that nobody should give.
pub(crate) fn edit(number: impl Fn() -> BoxedStrategy<f64>) -> impl Strategy<Value = Edit> {
    let picture = || 0..3usize;
    let index = || 0..4usize;
    let spoilt = (landmark(), number(), number()).prop_map(|(landmark, trust_mm, x)| Landmark {
        trust_mm,
        pixel: [x, 1.0],
        ..landmark
    });
    let landmark_too = prop_oneof![2 => landmark(), 1 => spoilt].boxed();
    let change = landmark_too.clone();
    prop_oneof![
        (picture(), distances()).prop_map(|(picture, distances)| Edit::SetDistances { picture, distances }),
        (picture(), option::of(figure())).prop_map(|(picture, figure)| Edit::SetFigure { picture, figure }),
        (picture(), vec(vec(pick(), 2..5), 0..3))
            .prop_map(|(picture, lines)| Edit::SetStraightLines { picture, lines }),
        (picture(), option::of(focal()), number()).prop_map(|(picture, focal, tolerance_px)| Edit::SetFocalLength {
            picture,
            focal: focal.map(|focal| FocalLength { tolerance_px, ..focal }),
        }),
        (picture(), option::of(number()))
            .prop_map(|(picture, distance_mm)| Edit::SetCameraDistance { picture, distance_mm }),
        (picture(), number(), number()).prop_map(|(picture, picked_px, traced_px)| Edit::SetCloseness {
            picture,
            picked_px,
            traced_px
        }),
        (picture(), landmark_too).prop_map(|(picture, landmark)| Edit::AddLandmark { picture, landmark }),
        (picture(), index(), change).prop_map(|(picture, index, with)| Edit::ReplaceLandmark { picture, index, with }),
        (picture(), index()).prop_map(|(picture, index)| Edit::RemoveLandmark { picture, index }),
        (picture(), trace()).prop_map(|(picture, trace)| Edit::AddTrace { picture, trace }),
        (picture(), index(), trace()).prop_map(|(picture, index, with)| Edit::ReplaceTrace { picture, index, with }),
        (picture(), index()).prop_map(|(picture, index)| Edit::RemoveTrace { picture, index }),
    ]
}

fn with_picture() -> Document {
    let picture = Picture {
        name: "Bow".into(),
        view: PictureView::Reference,
        bytes: crate::documents::png(b"bow").into(),
        file: String::new(),
        size_px: [2000, 1000],
        placement: Placement { mm_per_px: 0.5, rotation_deg: 0.0, offset: [0.0, 0.0], mirrored: false },
        scale: None,
        check: None,
        level: None,
        opacity: 1.0,
        locked: true,
        hidden: false,
        photograph: Photograph::default(),
    };
    Edit::AddPicture(picture).apply(&new_document("Test")).unwrap()
}

fn hub() -> Landmark {
    Landmark { name: "hub".into(), place: LandmarkPlace::Hub, trust_mm: 1.0, pixel: [500.0, 400.0], used: true }
}

fn refused(edit: &Edit, document: &Document) -> Refused {
    edit.apply(document).unwrap_err()
}

#[test]
fn landmarks_are_added_changed_and_removed_even_where_the_picture_is_locked() {
    let add = Edit::AddLandmark { picture: 0, landmark: hub() };
    let one = add.apply(&with_picture()).unwrap();
    assert_eq!(one.pictures[0].photograph.landmarks, [hub()]);
    let with = Landmark { used: false, ..hub() };
    let out = Edit::ReplaceLandmark { picture: 0, index: 0, with }.apply(&one).unwrap();
    assert!(!out.pictures[0].photograph.landmarks[0].used);
    let none = Edit::RemoveLandmark { picture: 0, index: 0 }.apply(&out).unwrap();
    assert_eq!(none, with_picture());
    assert_eq!(add.label(), "Add landmark");
}

#[test]
fn no_two_landmarks_of_a_picture_have_one_name() {
    let add = |name: &str| Edit::AddLandmark { picture: 0, landmark: Landmark { name: name.into(), ..hub() } };
    let two = add("tip").apply(&add("hub").apply(&with_picture()).unwrap()).unwrap();
    assert!(refused(&add("tip"), &two).reason.contains("\"tip\""));
    let rename = Edit::ReplaceLandmark { picture: 0, index: 0, with: Landmark { name: "tip".into(), ..hub() } };
    assert!(refused(&rename, &two).hint.contains("another name"));
}

#[test]
fn what_cannot_be_is_refused_and_says_how_much() {
    let document = with_picture();
    let landmark = |trust_mm, x| Edit::AddLandmark {
        picture: 0,
        landmark: Landmark { trust_mm, place: LandmarkPlace::At([x, 0.0, 0.0]), ..hub() },
    };
    assert!(refused(&landmark(f64::NAN, 0.0), &document).reason.contains("no number"));
    assert!(refused(&landmark(-1.0, 0.0), &document).hint.contains("from 0"));
    assert!(refused(&landmark(1.0, f64::INFINITY), &document).reason.contains("place of a landmark"));
    let points = vec![FigurePoint { pixel: [0.0, 0.0], plane: [0.0, 0.0] }; 3];
    let figure = Some(FlatFigure { points, full_size: true });
    assert!(refused(&Edit::SetFigure { picture: 0, figure }, &document).hint.contains("at least 4"));
    let lines = vec![vec![[0.0, 0.0], [9.0, 9.0]]];
    assert!(refused(&Edit::SetStraightLines { picture: 0, lines }, &document).hint.contains("at least 3"));
    let trace = Trace { of: Traced::Seam { station: f64::NAN }, points: vec![[1.0, 1.0]] };
    assert!(refused(&Edit::AddTrace { picture: 0, trace }, &document).reason.contains("station of a seam"));
    let trace = Trace { of: Traced::Outline, points: Vec::new() };
    assert!(refused(&Edit::AddTrace { picture: 0, trace }, &document).hint.contains("at least 1"));
    let focal = Some(FocalLength { px: 0.0, tolerance_px: 1.0 });
    assert!(refused(&Edit::SetFocalLength { picture: 0, focal }, &document).reason.contains("focal length"));
    let distance_mm = Some(-5.0);
    assert!(refused(&Edit::SetCameraDistance { picture: 0, distance_mm }, &document).reason.contains("camera"));
    let closeness = Edit::SetCloseness { picture: 0, picked_px: 0.0, traced_px: 1.0 };
    assert!(refused(&closeness, &document).reason.contains("picked"));
    assert!(refused(&Edit::RemoveTrace { picture: 0, index: 0 }, &document).reason.contains("no trace 1"));
    assert!(refused(&Edit::RemoveLandmark { picture: 4, index: 0 }, &document).reason.contains("no picture 5"));
}

#[test]
fn setting_and_clearing_are_named_apart() {
    let focal = FocalLength { px: 4000.0, tolerance_px: 100.0 };
    assert_eq!(Edit::SetFocalLength { picture: 0, focal: Some(focal) }.label(), "Set focal length");
    assert_eq!(Edit::SetFocalLength { picture: 0, focal: None }.label(), "Clear focal length");
    assert_eq!(Edit::SetFigure { picture: 0, figure: None }.label(), "Clear flat figure");
    assert_eq!(Edit::SetCameraDistance { picture: 0, distance_mm: None }.label(), "Clear distance to camera");
}
