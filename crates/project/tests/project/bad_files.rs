//! Broken projects give a message with line and hint, and never a panic.

use std::sync::Arc;

use project::document::*;
use project::edit::Edit;
use project::file::{FileError, NoPicture, check_picture_path, from_file, picture_kind, to_file};
use project::starter::{blank_form, new_document};

fn document() -> Document {
    let mut document = new_document("Test");
    document.forms = vec![Arc::new(blank_form(240.0, 90.0, 110.0, 80.0))];
    let picture = Picture {
        name: "Side".into(),
        view: PictureView::Side,
        bytes: crate::documents::png(b"side").into(),
        file: String::new(),
        size_px: [2000, 1000],
        placement: Placement { mm_per_px: 0.5, rotation_deg: 0.0, offset: [0.0, 0.0], mirrored: false },
        scale: None,
        check: None,
        level: None,
        opacity: 0.5,
        locked: false,
        hidden: false,
        photograph: project::photograph::Photograph::default(),
    };
    Edit::AddPicture(picture).apply(&document).unwrap()
}

fn good() -> String {
    to_file(&document()).unwrap().text
}

fn line_of(text: &str, part: &str) -> usize {
    text[..text.find(part).unwrap()].lines().count()
}

fn error_of(text: &str) -> FileError {
    from_file(text, &mut |_| Ok(crate::documents::png(b"side"))).unwrap_err()
}

/// The project with one place spoilt: the error, after a check that it names the line or one of the two behind it.
#[track_caller]
fn spoilt(part: &str, with: &str) -> FileError {
    spoilt_within(part, with, 2)
}

/// The same where only the end of the element around it can be named, so many lines on.
#[track_caller]
fn spoilt_within(part: &str, with: &str, lines: usize) -> FileError {
    let good = good();
    assert!(good.contains(part), "{part} is not in the text");
    let error = error_of(&good.replacen(part, with, 1));
    let (line, _) = error.position.unwrap();
    let place = line_of(&good, part);
    assert!((place..=place + lines).contains(&line), "{with}: line {line} instead of {place}: {error}");
    assert!(!error.hint.is_empty());
    error
}

#[test]
fn numbers_that_are_none_are_named_with_their_line() {
    for number in ["NaN", "inf", "-inf", "1e300", "1e999", "1000001"] {
        spoilt("x: 120.0", &format!("x: {number}"));
        spoilt("value: 104.5", &format!("value: {number}"));
        spoilt("rho: 0.4", &format!("rho: {number}, // "));
        spoilt("mm_per_px: 0.5", &format!("mm_per_px: {number}"));
        spoilt("model_scale: 4.0", &format!("model_scale: {number}"));
    }
    assert!(spoilt("x: 120.0", "x: 200000.0").hint.contains("100000"));
}

#[test]
fn values_out_of_range_are_named_with_their_line() {
    assert!(spoilt_within("margin: 10.0", "margin: -1.0", 3).reason.contains("margin"));
    assert!(spoilt("x: 120.0", "x: -5.0").reason.contains("behind"));
    assert!(spoilt("model_scale: 4.0", "model_scale: 0.0").reason.contains("model scale"));
    assert!(spoilt_within("opacity: 0.5", "opacity: 1.5", 3).reason.contains("opacity"));
    assert!(spoilt("rho: 0.41421356237309515", "rho: 0.99").reason.contains("fullness"));
    assert!(spoilt("value: 104.5", "value: 104.5, kind: Slope(90.0)").reason.contains("slope"));
}

#[test]
fn a_negative_half_breadth_is_refused() {
    let error = spoilt_within("(x: 0.0, value: 62.99", "(x: 0.0, value: -62.99", 4);
    assert!(error.reason.contains("half-breadth"), "{error}");
}

/// The example of FILE.md, which has every part of airframe and build, with one place spoilt.
#[track_caller]
fn spoilt_example(part: &str, with: &str, lines: usize) -> FileError {
    let (_, rest) = include_str!("../../FILE.md").split_once("```ron\n").unwrap();
    let (example, _) = rest.split_once("```").unwrap();
    assert!(example.contains(part), "{part} is not in the example");
    let error = error_of(&example.replacen(part, with, 1));
    let ((line, _), place) = (error.position.unwrap(), line_of(example, part));
    assert!((place..=place + lines).contains(&line), "{with}: line {line} instead of {place}: {error}");
    assert!(!error.hint.is_empty());
    error
}

#[test]
fn a_broken_airframe_is_named_with_its_line() {
    for number in ["NaN", "inf", "1e300", "\"far\""] {
        spoilt_example("firewall: 200.0", &format!("firewall: {number}"), 1);
        spoilt_example("front: (110.0, 0.0, -30.0)", &format!("front: (110.0, {number}, -30.0)"), 1);
    }
    assert!(spoilt_example("radius: 60.0", "radius: 90.0", 3).hint.contains("at most 89 mm"));
    assert!(spoilt_example("(89.5, 5.0)", "(-89.5, 5.0)", 5).reason.contains("half-breadth"));
    assert!(spoilt_example("station: 280.0", "station: 240.0", 25).reason.contains("behind the fuselage end"));
    assert!(spoilt_example("spacing: Count(8)", "spacing: Count(0)", 8).reason.contains("number of screws"));
    assert!(spoilt_example("down_thrust_deg: 2.0", "down_thrust_deg: 60.0", 12).reason.contains("down-thrust"));
    assert!(spoilt_example("diameter: 63.0", "diameter: 0.0", 8).reason.contains("diameter of the cylinder"));
    assert!(spoilt_example("name: \"Motor\"", "name: \"\"", 1).reason.contains("needs a name"));
    assert!(spoilt_example("value: 118.0", "value: -118.0", 3).reason.contains("value of the gauge"));
    assert!(spoilt_example("draw_off: Datum", "draw_off: Up", 1).reason.contains("Up"));
    assert!(spoilt_example("hub_height: 2.0,", "", 13).reason.contains("hub_height is missing"));
}

#[test]
fn a_broken_photograph_is_named_with_its_line() {
    assert!(spoilt_example("(ahead: 62.0)", "(ahead: NaN)", 1).reason.contains("no number"));
    assert!(spoilt_example("trust_mm: 3.0", "trust_mm: -3.0", 4).reason.contains("may be off"));
    assert!(spoilt_example("name: \"wheel axle\"", "name: \"\"", 6).reason.contains("needs a name"));
    assert!(spoilt_example("name: \"wheel axle\"", "name: \"spinner tip\"", 30).reason.contains("\"spinner tip\""));
    assert!(spoilt_example("place: At(", "place: Beside(", 1).reason.contains("Beside"));
    assert!(spoilt_example("points: [(420.0, 1262.0), (980.0, 1133.0)]", "points: []", 3).hint.contains("at least 1"));
    assert!(spoilt_example("tolerance_px: 240.0", "tolerance_px: -1.0", 40).reason.contains("focal length"));
    assert!(spoilt_example("(px: (1500.0, 1100.0), mm: (0.0, 0.0)),", "", 60).hint.contains("at least 4"));
    assert!(spoilt_example("picked_px: 2.0", "picked_pxs: 2.0", 1).reason.contains("picked_pxs"));
}

#[test]
fn a_broken_build_is_named_with_its_line() {
    assert!(spoilt_example("laminate: 0.366", "laminate: -0.5", 4).reason.contains("laminate"));
    assert!(spoilt_example("30.2,", "0.0,", 1).reason.contains("thickness of a board"));
    assert!(spoilt_example("allowed_sagitta: 0.3", "allowed_sagitta: 0.0", 2).reason.contains("sagitta"));
    assert!(spoilt_example("(25.0, 20.0)", "(-25.0, 20.0)", 1).reason.contains("dowels"));
    assert!(spoilt_example("edge: 10.0", "edge: 300.0", 5).hint.contains("300 mm"));
    assert!(spoilt_example("180.0,", "50.0,", 1).reason.contains("does not come behind"));
    assert!(spoilt_example("width: 170.4", "width: -1.0", 2).reason.contains("measured width"));
    assert!(spoilt_example("inset: 0.3", "insett: 0.3", 1).reason.contains("insett"));
    let boards = "30.0, ".repeat(501);
    assert!(spoilt_example("30.2,", &boards, 2).reason.contains("more than 500"));
}

#[test]
fn a_broken_shell_is_named_with_its_line() {
    assert!(
        spoilt_example("areal_weight: 80.0", "areal_weight: 1.0", 12).reason.starts_with("Ply 2: its areal weight")
    );
    assert!(spoilt_example("to: 240.0", "to: 210.0", 4).hint.contains("foremost station first"));
    assert!(spoilt_example("thickness: 1.1", "thickness: 0.1", 5).reason.contains("no room for resin"));
    assert!(spoilt_example("size: (30.0, 30.0)", "size: (30.0, 0.0)", 8).reason.contains("width of a patch"));
    assert!(spoilt_example("hardener_per_100: 30.0", "hardener_per_100: 0.0", 6).hint.contains("maker's sheet"));
    assert!(spoilt_example("(0.05, 0.2, 0.3)", "(0.3, 0.2, 0.05)", 3).reason.starts_with("Filler: 0.3, 0.2, 0.05"));
    let two = spoilt_example("(60.0, 100.0, 150.0)", "(60.0, 100.0)", 1);
    assert!(two.reason.contains("size 3"), "{two}");
    assert!(spoilt_example("soak: (20.0, 30.0, 50.0)", "soak: (-1.0, 30.0, 50.0)", 3).reason.contains("soaked up"));
    assert!(spoilt_example("cell: 5.0", "cell: 0.0", 8).reason.contains("cell of the net"));
    assert!(spoilt_example("turn: 0.5", "turn: 1.5", 12).reason.contains("turn of the start"));
    assert!(spoilt_example("way: (-1.0, 0.0, 0.0)", "way: (0.0, 0.0, 0.0)", 5).hint.contains("ahead"));
    assert!(spoilt_example("parting: Whole", "parting: Somewhere", 1).reason.contains("Somewhere"));
    assert!(spoilt_example("(6150.0, 6200.0, 6250.0)", "(6150.0, 6100.0, 6250.0)", 5).reason.contains("no range"));
    assert!(spoilt_example("name: \"Exhaust stacks\"", "name: \"\"", 1).reason.contains("needs a name"));
    assert!(spoilt_example("stations: (195.0, 200.0)", "stations: (201.0, 200.0)", 3).hint.contains("foremost"));
    assert!(spoilt_example("aim: (2.0, 2.5)", "aim: (3.0, 2.5)", 3).hint.contains("smaller one first"));
    assert!(spoilt_example("feeds_coat: true", "feeds_coats: true", 1).reason.contains("feeds_coats"));
}

#[test]
fn a_broken_opening_or_mount_is_named_with_its_line() {
    assert!(spoilt_example("seen: Ahead", "seen: Behind", 1).reason.contains("Behind"));
    assert!(spoilt_example("size: (24.0, 18.0)", "size: (24.0, 0.0)", 4).reason.contains("size of the outline"));
    assert!(spoilt_example("radius: 6.0", "radius: 10.5", 5).hint.contains("at most 10 mm"));
    assert!(spoilt_example("(at: (230.0, 35.0)),", "(at: (230.0, -35.0)),", 5).hint.contains("0.01 mm"));
    assert!(spoilt_example("depth: 60.0", "depth: -60.0", 12).reason.contains("depth of the duct"));
    assert!(spoilt_example("yaw_deg: 8.0", "yaw_deg: 800.0", 4).reason.contains("yaw"));
    assert!(spoilt_example("place: (130.0, 72.0, -30.0)", "place: (130.0, 72.0)", 1).reason.contains("size 3"));
}

/// The first form is the one that others are put on, and is built as the project says.
#[test]
fn a_first_form_that_is_put_on_another_is_refused() {
    let lines = "lines: (crown: (points: []), keel: (points: []), breadth: (points: []), breadth_height: (points: []))";
    let with = |more: &str| {
        let form = format!("(name: \"F\", {lines}, {more})");
        format!("(format: \"plugwright project\", version: 1, name: \"A\", model_scale: 4, forms: [{form}, {form}])")
    };
    assert!(error_of(&with("mount: (place: (0, 0, 0))")).reason.contains("others are put on"));
    assert!(error_of(&with("build: (process: FemaleMould)")).hint.contains("build of the project"));
    assert!(from_file(&with("stations: []"), &mut |_| Err("missing".into())).is_ok());
}

/// What was changed by hand in the text follows the plies when the project opens, in added forms too, and is told once.
#[test]
fn a_coat_that_is_not_what_the_plies_come_to_is_mended_and_told() {
    let (_, rest) = include_str!("../../FILE.md").split_once("```ron\n").unwrap();
    let (example, _) = rest.split_once("```").unwrap();
    let mut load = |_: &str| Ok(crate::documents::png(b"side"));
    let good = from_file(example, &mut load).unwrap();
    assert_eq!(good.problems, []);
    let at = |text: &str, with: &str| text.replacen("laminate: 0.366", with, 1);
    let first = at(example, "laminate: 0.4");
    for text in [first.clone(), at(&first, "laminate: 0.5"), example.replace("paint: 0.1,", "paint: 0.11,")] {
        let opened = from_file(&text, &mut load).unwrap();
        let [problem] = &opened.problems[..] else { panic!("{:?}", opened.problems) };
        assert!(problem.to_string().contains("follows them now"), "{problem}");
        let mended = to_file(&opened.document).unwrap().text;
        assert_eq!(from_file(&mended, &mut load).unwrap().problems, []);
        let coat = opened.document.shell.coat().unwrap();
        assert_eq!(opened.document.build.coat, coat);
        assert_eq!(opened.document.forms[1].build.as_ref().unwrap().coat, coat);
    }
    let by_hand = at(example, "laminate: 0.4").replacen("feeds_coat: true,", "", 1);
    let opened = from_file(&by_hand, &mut load).unwrap();
    assert_eq!((opened.problems.len(), opened.document.forms[1].build.as_ref().unwrap().coat.laminate), (0, 0.4));
}

/// A project that was written before there were airframes, builds and shells opens with none.
#[test]
fn what_is_not_there_is_as_in_a_new_project() {
    let opened = from_file(&good(), &mut |_| Ok(crate::documents::png(b"side"))).unwrap();
    assert!(["airframe", "build", "shell", "openings", "mount"].iter().all(|part| !good().contains(part)));
    assert_eq!(opened.document.airframe, new_document("Test").airframe);
    assert_eq!(opened.document.build, new_document("Test").build);
    assert_eq!(opened.document.shell, new_document("Test").shell);
}

#[test]
fn a_group_may_hold_some_of_its_fields_only() {
    let text = good().replacen("    forms: [", "    build: (stack: (used: true), foam: (edge: 20)),\n    forms: [", 1);
    let build = from_file(&text, &mut |_| Ok(crate::documents::png(b"side"))).unwrap().document.build;
    let mut expected = project::build::Build::default();
    (expected.stack.used, expected.foam.edge) = (true, 20.0);
    assert_eq!(*build, expected);
    let part =
        "shell: (laminate: (soak: (1, 2, 3), resin: (waste: 0.1)), release: (spring: 1), weights: (allowed: 5)),";
    let text = good().replacen("    forms: [", &format!("    {part}\n    forms: ["), 1);
    let shell = from_file(&text, &mut |_| Ok(crate::documents::png(b"side"))).unwrap().document.shell;
    let mut expected = project::shell::Shell::default();
    expected.laminate.soak = project::laminate::Span::new(1.0, 2.0, 3.0);
    (expected.laminate.resin.waste, expected.release.spring, expected.weights.allowed) = (0.1, 1.0, 5.0);
    assert_eq!(*shell, expected);
}

#[test]
fn text_that_is_no_project_is_told_so() {
    for text in ["", "   ", "()", "hello", "{\"format\": 1}", "\u{0}", "(format: \"other\", version: 1)", "[", "(("] {
        let error = error_of(text);
        assert!(!error.reason.is_empty() && !error.hint.is_empty());
    }
}

#[test]
fn another_version_is_named() {
    let error = error_of(&good().replacen("version: 1", "version: 7", 1));
    assert!(error.reason.contains("version 7") && error.hint.contains("newer"), "{error}");
    // What comes behind the version may be anything that a newer program writes.
    let error = error_of("(format: \"plugwright project\", version: 2, forms: {\"a\": Some(1)}, laminate: [1, 2])");
    assert!(error.reason.contains("version 2"), "{error}");
}

#[test]
fn deep_nesting_is_an_error() {
    for bracket in ["(", "[", "Some(", "(a:", "{1:"] {
        error_of(&bracket.repeat(100_000));
        error_of(&format!("(format: \"plugwright project\", version: 1, name: {}", bracket.repeat(100_000)));
        error_of(&format!("(format: \"plugwright project\", version: 1, more: {}", bracket.repeat(100_000)));
    }
}

#[test]
fn repeated_missing_and_unknown_fields_are_named() {
    assert!(spoilt("name: \"Test\"", "name: \"Test\", name: \"Twice\"").reason.contains("name is given twice"));
    assert!(spoilt("offset: (0.0, 0.0)", "ofset: (0.0, 0.0)").reason.contains("ofset"));
    assert!(error_of(&good().replacen("name: \"Test\",", "", 1)).reason.contains("name is missing"));
}

#[test]
fn wrong_types_are_errors() {
    spoilt("name: \"Test\"", "name: 5");
    spoilt("stations: [", "stations: 5, //");
    spoilt("x: 120.0", "x: \"far\"");
    spoilt("paper: A4", "paper: A9");
    spoilt("size_px: (2000, 1000)", "size_px: (-1, 1000)");
    spoilt_within("size_px: (2000, 1000)", "size_px: (0, 1000)", 8);
}

#[test]
fn a_project_without_forms_is_refused() {
    let text = "(format: \"plugwright project\", version: 1, name: \"A\", model_scale: 4, forms: [])";
    assert!(error_of(text).reason.contains("at least one form"));
}

#[test]
fn an_empty_form_is_fine() {
    let empty = "(points: [])";
    let lines = format!("(crown: {empty}, keel: {empty}, breadth: {empty}, breadth_height: {empty})");
    let form = format!("(name: \"F\", lines: {lines})");
    let text = format!("(format: \"plugwright project\", version: 1, name: \"A\", model_scale: 4, forms: [{form}])");
    let opened = from_file(&text, &mut |_| Err("missing".into())).unwrap();
    assert_eq!(opened.document.forms.len(), 1);
    assert_eq!(opened.document.paper, PaperSetup::default());
}

#[test]
fn too_many_stations_are_refused_at_the_first_too_many() {
    let all: String = (0..10_000).map(|n| format!("{n}.5,\n")).collect();
    let good = good();
    let (front, _) = good.split_at(good.rfind("stations: [").unwrap());
    let error = error_of(&format!("{front}stations: [\n{all}])])"));
    assert!(error.reason.contains("2000"), "{error}");
}

#[test]
fn stations_that_fall_are_refused() {
    let text = good().replacen("            stations: [\n", "            stations: [\n                900.0,\n", 1);
    let error = error_of(&text);
    assert_eq!(error.position.unwrap().0, line_of(&text, "900.0,") + 1);
}

#[test]
fn a_section_without_its_marks_is_refused() {
    assert!(error_of(&good().replacen(", role: Crown", "", 1)).reason.contains("crown mark"));
    assert!(error_of(&good().replacen(", role: Breadth", "", 1)).reason.contains("breadth mark"));
    assert!(error_of(&good().replacen("Conic(rho: 0.41421356237309515),", "", 1)).reason.contains("1 arcs"));
    let bare = "Shaped(station: 1.0, points: [], arcs: []),";
    assert!(error_of(&good().replacen("sections: [", &format!("sections: [{bare}"), 1)).reason.contains("crown mark"));
}

#[test]
fn a_measured_section_that_cannot_be_is_refused() {
    let with = |points: &str| {
        let section = format!("Pinned(station: -50.0, points: [{points}]),");
        error_of(&good().replacen("sections: [", &format!("sections: [{section}"), 1)).reason
    };
    assert!(with("").contains("no points"));
    assert!(with("(0, 1)").contains("single point"));
    assert!(with("(5, 1), (5, 0), (0, -1)").contains("centre plane"));
    assert!(with("(0, -1), (5, 0), (0, 1)").contains("from the keel"));
    assert!(with("(0, 1), (5, 0), (5, 0), (0, -1)").contains("lie on one another"));
    assert!(with("(0, 1), (-5, 0), (0, -1)").contains("half-breadth"));
    assert!(with("(0, 1), (5, 0), (0, -1)], knuckles: [(point: 7, number: 1)").contains("cannot carry"));
}

#[test]
fn a_picture_path_stays_beside_the_project() {
    let paths = [
        "/etc/passwd",
        "../a.jpg",
        "pictures/../../a.jpg",
        "pictures\\a.jpg",
        "C:/a.jpg",
        "",
        "a//b.jpg",
        "./a.jpg",
        "a\nb",
    ];
    for path in paths {
        assert!(check_picture_path(path).is_err(), "{path:?}");
    }
    assert!(check_picture_path("pictures/side view ä.jpg").is_ok());
    let file = document().pictures[0].file.clone();
    assert!(spoilt(&file, "../../secret.png").reason.contains("beside the project"));
    assert!(spoilt(&file, "a\\\\b.png").reason.contains("beside the project"));
}

#[test]
fn a_missing_or_broken_picture_is_a_problem_and_nothing_is_lost() {
    let good = good();
    let broken = NoPicture::Broken("It breaks off.".into());
    for (answer, is_broken) in [
        (Err("not found".into()), false),
        (Err(broken), true),
        (Ok(b"no picture".to_vec()), true),
        (Ok(Vec::new()), true),
    ] {
        let opened = from_file(&good, &mut |_| answer.clone()).unwrap();
        assert_eq!(opened.problems.len(), 1);
        assert!(opened.problems[0].to_string().contains("Side"), "{}", opened.problems[0]);
        assert_eq!(opened.problems[0].broken, is_broken);
        let again = to_file(&opened.document).unwrap();
        assert_eq!(again.text, good);
        assert_eq!(again.pictures, []);
    }
}

#[test]
fn a_picture_named_by_hand_is_never_overwritten() {
    let file = document().pictures[0].file.clone();
    let by_hand = good().replacen(&file, "pictures/mine.png", 1);
    let opened = from_file(&by_hand, &mut |path| {
        assert_eq!(path, "pictures/mine.png");
        Ok(crate::documents::png(b"side"))
    });
    let saved = to_file(&opened.unwrap().document).unwrap();
    assert_eq!(saved.pictures[0].0, file);
}

#[test]
fn a_line_that_misses_a_pinned_section_is_mended_and_told() {
    let pinned = "Pinned(station: 60.0, points: [(0, 70), (85, 5), (0, -60)]),\n";
    let mut text = good();
    let last = text.rfind("                Shaped(").unwrap();
    text.insert_str(last, pinned);
    let opened = from_file(&text, &mut |_| Ok(crate::documents::png(b"side"))).unwrap();
    assert!(opened.problems[0].reason.contains("pinned section"));
    let crown = &opened.document.forms[0].lines.crown;
    assert!(crown.points.iter().any(|point| point.x == 60.0 && point.value == 70.0));
}

#[test]
fn pictures_are_told_by_their_first_bytes() {
    assert!(picture_kind(b"\xff\xd8\xff\xe0").is_some());
    assert!(picture_kind(&crate::documents::png(b"")).is_some());
    assert!(picture_kind(b"GIF89a").is_none());
    assert!(picture_kind(b"").is_none());
}

#[test]
fn too_much_text_is_refused_unread() {
    assert!(error_of(&" ".repeat(33 * 1024 * 1024)).reason.contains("32 MiB"));
}

#[test]
fn a_document_that_could_not_be_opened_is_not_written() {
    let mut document = document();
    document.model_scale = f64::NAN;
    assert!(to_file(&document).unwrap_err().reason.contains("model scale"));
}
