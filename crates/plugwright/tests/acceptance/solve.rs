//! `solve`: sections from the demo's photographs, written into a new project.

use crate::camera::changed;
use crate::folder::{Folder, everything, number};
use project::edit::Edit;
use project::photograph::{FocalLength, Landmark, LandmarkPlace, Trace, Traced};

/// What a builder picks by hand in the demo's pictures.
#[path = "../../../desk/tests/from_pictures/picks.rs"]
mod picks;

fn flattened(folder: &Folder) {
    let sections = desk::files::open(&folder.demo_file()).unwrap().document.forms[0].sections.len();
    changed(folder, &vec![Edit::RemoveSection { form: 0, section: 1 }; sections - 2]);
}

/// Half-breadths of what was written, measured by the program itself, against those of the demo: what was solved is in the
/// project, and nearer to the truth than the blend it came from.
#[test]
fn a_new_project_has_the_sections_that_were_solved() {
    let folder = Folder::with_demo();
    let at = [72.0, 144.0, 216.0, 288.0];
    let area = |project: &str| -> Vec<f64> {
        folder.measured(project, &at)["stations"].as_array().unwrap().iter().map(|s| number(&s["area_mm2"])).collect()
    };
    let truth = area("demo");
    flattened(&folder);
    let blend = area("demo");
    let told = folder.fine(&["solve", "demo", "--to", "new.plug.ron", "--breadth-known", "--json"]).json();
    let solved = area("new.plug.ron");
    let off = |areas: &[f64]| areas.iter().zip(&truth).map(|(a, t)| (a / t - 1.0).powi(2)).sum::<f64>().sqrt();
    assert!(off(&solved) < off(&blend), "{solved:?} {blend:?} {truth:?}");
    assert_eq!(told["weak"], false);
    assert!(number(&told["band_mm"]) < 0.5 * number(&told["prior_band_mm"]));
    for station in told["stations"].as_array().unwrap() {
        assert_eq!(station["before"]["breadth_mm"], station["after"]["breadth_mm"], "the breadth is known");
        let x = number(&station["station_mm"]);
        let rows = station["half_breadths"].as_array().unwrap();
        let measured = folder.measured("new.plug.ron", &[x]);
        let outline = crate::folder::points(&measured["stations"][0]["half_section_mm"]);
        for row in rows {
            let z = number(&row["height_mm"]);
            let pair = outline.windows(2).find(|w| w[0][1] >= z && w[1][1] < z).unwrap();
            let t = (pair[0][1] - z) / (pair[0][1] - pair[1][1]);
            let y = pair[0][0] + t * (pair[1][0] - pair[0][0]);
            assert!((y - number(&row["after_mm"])).abs() < 0.05, "{x} {z}: {y} {row}");
            assert!(number(&row["sigma_mm"]) > 0.0);
        }
    }
    let photograph = &told["photographs"][0];
    assert_eq!(photograph["name"], "Three-quarter");
    assert!(photograph["residuals"].as_array().unwrap().iter().all(|r| number(&r["rms_px"]) < 1.0), "{photograph}");
    assert_eq!(told["left_out"].as_array().unwrap().len(), 2);
    assert!(!told["would_help"].as_array().unwrap().is_empty());
}

#[test]
fn nothing_that_is_there_is_written_over() {
    let folder = Folder::with_demo();
    folder.fine(&["solve", "demo", "--to", "new.plug.ron"]);
    let before = everything(&folder.path("."));
    for taken in ["new.plug.ron", "demo/ostrel.plug.ron"] {
        assert!(folder.refused(&["solve", "demo", "--to", taken]).contains("exists already"));
    }
    assert!(everything(&folder.path(".")) == before);
}

#[test]
fn words_tell_residuals_sections_the_band_and_what_would_help() {
    let folder = Folder::with_demo();
    flattened(&folder);
    let told = folder.fine(&["solve", "demo", "--to", "new.plug.ron"]).out;
    for part in
        ["outline within", "seams within", "Side: not used", "band over the form", "would help:", "added", "wrote"]
    {
        assert!(told.contains(part), "{part} is missing from {told}");
    }
}

/// With the outline of one photograph and a breadth that is not known, the band says how little that is.
#[test]
fn a_weak_result_is_said_to_be_weak() {
    let folder = Folder::with_demo();
    let remove = |index| Edit::RemoveTrace { picture: 2, index };
    // The seams and the lower outline go.
    changed(&folder, &[remove(3), remove(2), remove(1)]);
    let told = folder.run(&["solve", "demo", "--to", "weak.plug.ron"]);
    assert_eq!(told.code, 0, "a weak result is a result");
    assert!(told.err.contains("This result is weak"), "{told:?}");
    assert!(told.out.contains("guessed:"), "{told:?}");
    let told = folder.run(&["solve", "demo", "--to", "again.plug.ron", "--json"]);
    assert_eq!((told.code, &told.json()["weak"]), (0, &true.into()));
}

#[test]
fn without_traces_or_cameras_it_is_refused_with_what_to_do() {
    let folder = Folder::with_demo();
    let there = desk::files::open(&folder.demo_file()).unwrap().document.pictures[2].photograph.landmarks.clone();
    let out = |(index, landmark): (usize, Landmark)| Edit::ReplaceLandmark {
        picture: 2,
        index,
        with: Landmark { used: false, ..landmark },
    };
    changed(&folder, &there.into_iter().enumerate().map(out).collect::<Vec<_>>());
    let why = folder.refused(&["solve", "demo", "--to", "new.plug.ron"]);
    assert!(why.contains("Three-quarter: All landmarks of this picture are left out"), "{why}");
    folder.project("cylinder", &crate::tables::cylinder());
    let why = folder.refused(&["solve", "cylinder", "--to", "new.plug.ron"]);
    assert!(why.contains("No photograph can be used"), "{why}");
}

/// The demo with nothing drawn: what lies on the bench, and what was picked by hand in its pictures.
fn blank(folder: &Folder) {
    let demo = desk::files::open(&folder.demo_file()).unwrap().document;
    let mut edits = vec![Edit::ReplaceForm { form: 0, with: project::starter::empty_form("Nose cowl") }];
    for (picture, landmarks) in picks::landmarks().into_iter().enumerate() {
        let there = &demo.pictures[picture].photograph;
        edits.extend(there.landmarks.iter().map(|_| Edit::RemoveLandmark { picture, index: 0 }));
        edits.extend(there.traces.iter().map(|_| Edit::RemoveTrace { picture, index: 0 }));
        edits.extend(landmarks.into_iter().map(|landmark| Edit::AddLandmark { picture, landmark }));
        let px = picks::FOCALS[picture];
        edits.push(Edit::SetFocalLength { picture, focal: Some(FocalLength { px, tolerance_px: 0.05 * px }) });
        edits.push(Edit::SetCloseness { picture, picked_px: 0.5, traced_px: 1.0 });
    }
    let traced: [(usize, Traced, &[[f64; 2]]); 9] = [
        (0, Traced::Outline, &picks::CROWN),
        (0, Traced::Outline, &picks::KEEL_FRONT),
        (0, Traced::Outline, &picks::KEEL_REAR),
        (1, Traced::Outline, &picks::FACE_STARBOARD),
        (1, Traced::Outline, &picks::FACE_PORT),
        (2, Traced::Outline, &picks::THREE_QUARTER_UPPER),
        (2, Traced::Outline, &picks::THREE_QUARTER_LOWER),
        (2, Traced::Seam { station: 72.0 }, &picks::FORWARD_SEAM),
        (2, Traced::Seam { station: 216.0 }, &picks::MIDDLE_SEAM),
    ];
    let trace = |(picture, of, points): (usize, Traced, &[[f64; 2]])| Edit::AddTrace {
        picture,
        trace: Trace { of, points: points.to_vec() },
    };
    edits.extend(traced.into_iter().map(trace));
    changed(folder, &edits);
}

/// An empty form is begun from the side picture and solved, and comes near to the one that was photographed: areas within 3 %
/// by coarse picks alone, no edge followed. Without an outline from the side it is refused with what to trace.
#[test]
fn a_form_that_is_not_drawn_is_begun_first() {
    let folder = Folder::with_demo();
    let at = [72.0, 144.0, 216.0, 288.0];
    let areas = |project: &str| -> Vec<f64> {
        folder.measured(project, &at)["stations"].as_array().unwrap().iter().map(|s| number(&s["area_mm2"])).collect()
    };
    let truth = areas("demo");
    blank(&folder);
    let told = folder.fine(&["solve", "demo", "--to", "new.plug.ron", "--fairing", "0.5", "--json"]).json();
    assert_eq!(told["begun"]["ends"], serde_json::json!(["the ring", "the fuselage's end"]));
    assert!(told["begun"]["lines"].as_array().unwrap().iter().all(|line| number(&line["rms_mm"]) < 0.5), "{told}");
    assert_eq!((told["photographs"].as_array().unwrap().len(), &told["weak"]), (3, &false.into()));
    let solved = areas("new.plug.ron");
    assert!(solved.iter().zip(&truth).all(|(a, t)| (a / t - 1.0).abs() < 0.03), "{solved:?} {truth:?}");
    let words = folder.fine(&["solve", "demo", "--to", "again.plug.ron", "--fairing", "0.5"]).out;
    assert!(words.contains("The form was begun, from the ring to the fuselage's end."), "{words}");
    changed(&folder, &vec![Edit::RemoveTrace { picture: 0, index: 0 }; 3]);
    let why = folder.refused(&["solve", "demo", "--to", "none.plug.ron"]);
    assert!(why.contains("No outline is traced in a picture of the side"), "{why}");
}

/// One name at two places, more points than can be weighed, and landmarks that make nonsense of the form: refused by name, and
/// nothing is written.
#[test]
fn what_contradicts_itself_is_refused() {
    let folder = Folder::with_demo();
    let demo = desk::files::open(&folder.demo_file()).unwrap().document;
    let landmarks = |picture: usize| demo.pictures[picture].photograph.landmarks.clone();
    let blade = landmarks(0).iter().position(|l| l.name == "upper blade tip").unwrap();
    let place = LandmarkPlace::At([-27.5, -83.5, 252.5]);
    let with = Landmark { place, ..landmarks(0)[blade].clone() };
    let outline = |picture, points: &[[f64; 2]]| Edit::AddTrace {
        picture,
        trace: Trace { of: Traced::Outline, points: points.to_vec() },
    };
    changed(&folder, &[Edit::ReplaceLandmark { picture: 0, index: blade, with }, outline(0, &picks::CROWN)]);
    let why = folder.refused(&["solve", "demo", "--to", "new.plug.ron"]);
    assert!(why.contains("\"upper blade tip\" lies at one place in Side and at another in Three-quarter"), "{why}");

    let many: Vec<[f64; 2]> = (0..3000).map(|i| [400.0 + 0.2 * f64::from(i), 400.0]).collect();
    changed(&folder, &[Edit::RemoveTrace { picture: 0, index: 0 }, outline(2, &many)]);
    let why = folder.refused(&["solve", "demo", "--to", "new.plug.ron"]);
    assert!(why.contains("points are traced in all. Leave out some: 3000 are plenty"), "{why}");
    assert!(!folder.path("new.plug.ron").exists());
}

/// What cannot be written is no answer.
#[cfg(target_os = "linux")]
#[test]
fn a_full_disk_behind_standard_output_is_told() {
    let folder = Folder::with_demo();
    let full = std::fs::OpenOptions::new().write(true).open("/dev/full").unwrap();
    let mut command = std::process::Command::new(env!("CARGO_BIN_EXE_plugwright"));
    let done = command.arg("camera").arg(folder.path("demo")).stdout(full).output().unwrap();
    assert_eq!(done.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&done.stderr).contains("could not be written"), "{done:?}");
}
