//! `plugwright camera`.

use super::{open, say};
use crate::arguments::Camera;
use crate::failure::Failure;
use desk::photographs::{CameraFailure, FoundCamera, camera, distance_names, figure, scale};
use project::document::{Document, Picture};
use serde_json::{Value, json};
use std::process::ExitCode;

pub(crate) fn run(arguments: &Camera) -> Result<ExitCode, Failure> {
    let document = open(&arguments.project)?;
    if document.pictures.is_empty() {
        return Err(Failure::NoPictures);
    }
    let found: Vec<_> = document.pictures.iter().map(|p| (&**p, camera(&document, p))).collect();
    if arguments.json {
        let list: Vec<Value> = found.iter().map(|(picture, found)| report(&document, picture, found)).collect();
        say(&json!({ "pictures": list }).to_string());
    } else {
        found.iter().for_each(|(picture, found)| in_words(&document, picture, found));
    }
    let doubtful = found.iter().any(|(_, found)| match found {
        Ok(found) => !found.resection.suspects.is_empty(),
        Err(failure) => !failure.is_no_landmarks(),
    });
    Ok(if doubtful { ExitCode::from(1) } else { ExitCode::SUCCESS })
}

fn report(document: &Document, picture: &Picture, found: &Result<FoundCamera, CameraFailure>) -> Value {
    let head = json!({
        "name": picture.name, "file": picture.file, "size_px": picture.size_px,
        "scale": scale_report(document, picture), "figure": figure_report(document, picture),
    });
    let rest = match found {
        Ok(found) => solved(found),
        Err(failure) => json!({ "solved": false, "why": failure.to_string(), "landmarks": [], "suspects": [] }),
    };
    merged(head, rest)
}

fn scale_report(document: &Document, picture: &Picture) -> Value {
    scale(document, picture).map_or(Value::Null, |scale| {
        let distances = distance_names(picture).into_iter().zip(&scale.distances);
        json!({
            "mm_per_px": scale.mm_per_px, "sigma": scale.sigma, "disagreement": scale.disagreement,
            "distances": distances.map(|(name, fit)| json!({
                "name": name, "px": fit.px, "residual_mm": fit.residual_mm, "deviations": fit.deviations, "out": fit.out,
            })).collect::<Vec<_>>(),
        })
    })
}

fn figure_report(document: &Document, picture: &Picture) -> Value {
    match figure(document, picture) {
        None => Value::Null,
        Some(Err(why)) => json!({ "readable": false, "why": why.to_string() }),
        Some(Ok(plane)) => json!({
            "readable": true, "misfit": plane.misfit,
            "points": plane.residuals.iter().map(|r| json!({ "px": r.px, "mm": r.mm })).collect::<Vec<_>>(),
        }),
    }
}

/// One object with the fields of both.
fn merged(mut first: Value, second: Value) -> Value {
    if let (Value::Object(all), Value::Object(more)) = (&mut first, second) {
        all.extend(more);
    }
    first
}

fn solved(found: &FoundCamera) -> Value {
    let r = &found.resection;
    let camera = &r.camera.camera;
    let row = |i: usize| [0, 1, 2].map(|j| camera.rotation[(i, j)]);
    json!({
        "solved": true,
        "camera": {
            "eye_mm": camera.eye(), "rotation": [row(0), row(1), row(2)],
            "translation_mm": [camera.translation.x, camera.translation.y, camera.translation.z],
            "focal_px": camera.focal_px, "centre_px": camera.centre, "k1": r.camera.lens.k1,
        },
        "sigma": {
            "turn_deg": r.sigmas.turn_deg, "eye_mm": r.sigmas.eye_mm, "distance_mm": r.sigmas.distance_mm,
            "focal_px": r.sigmas.focal_px,
        },
        "landmarks": r.landmarks.iter().zip(&found.places).map(|(l, at)| json!({
            "name": l.name, "at_mm": at, "off_px": l.off_px, "px": l.px, "mm": l.mm, "deviations": l.deviations,
            "checked": l.checked, "used": l.used,
        })).collect::<Vec<_>>(),
        "suspects": r.suspects.iter().map(|s| json!({
            "name": s.name, "px": s.px, "mm": s.mm, "certain": s.certain,
        })).collect::<Vec<_>>(),
        "misfit": r.misfit, "freedom": r.freedom, "widened": r.widened, "focal_pull": r.focal_pull,
        "condition": r.condition,
        "lens": found.lens.as_ref().map(|lens| json!({
            "k1": lens.lens.k1, "sigma_k1": lens.sigmas[0], "before_px": lens.before_px, "after_px": lens.after_px,
        })),
    })
}

fn in_words(document: &Document, picture: &Picture, found: &Result<FoundCamera, CameraFailure>) {
    match found {
        Ok(found) => tell(&picture.name, found),
        Err(failure) => say(&format!("{}: no camera. {failure}", picture.name)),
    }
    tell_scale(document, picture);
    tell_figure(document, picture);
    say("");
}

fn tell_scale(document: &Document, picture: &Picture) {
    let Ok(scale) = scale(document, picture) else { return };
    say(&format!("  scale         {:.4} ± {:.4} mm at the model to the pixel", scale.mm_per_px, scale.sigma));
    for (name, fit) in distance_names(picture).iter().zip(&scale.distances) {
        let out = if fit.out { "  does not go with the others and was left out" } else { "" };
        say(&format!("    {name}: {:+.2} mm off{out}", fit.residual_mm));
    }
    if let Some(deviations) = scale.disagreement {
        say(&format!(
            "    The two distances disagree by {deviations:.1} deviations: one is wrong, or they lie at different depths."
        ));
    }
}

fn tell_figure(document: &Document, picture: &Picture) {
    match figure(document, picture) {
        None => {}
        Some(Ok(plane)) => {
            let worst = plane.residuals.iter().map(|r| r.px).fold(0.0, f64::max);
            say(&format!("  flat figure   its points within {worst:.2} px"));
        }
        Some(Err(why)) => say(&format!("  flat figure   cannot be read. {why}")),
    }
}

fn tell(name: &str, found: &FoundCamera) {
    let r = &found.resection;
    let used = r.landmarks.iter().filter(|l| l.used).count();
    say(&format!("{name}: camera from {used} of {} landmarks; mm at the model", r.landmarks.len()));
    let (eye, s) = (r.camera.camera.eye(), &r.sigmas);
    let axes = ["x", "y", "z"].iter().zip(eye.iter().zip(&s.eye_mm));
    let eye = axes.map(|(axis, (at, sigma))| format!("{axis} {at:.1} ± {sigma:.1}")).collect::<Vec<_>>().join("  ");
    say(&format!("  stands at     {eye}"));
    let [tilt, pan, roll] = s.turn_deg;
    say(&format!("  direction     known to {tilt:.2}° in tilt, {pan:.2}° in pan, {roll:.2}° in roll"));
    say(&format!("  distance      known to {:.1} mm", s.distance_mm));
    let focal = &r.camera.camera.focal_px;
    say(&format!("  focal length  {focal:.0} ± {:.0} px", s.focal_px));
    if let Some(pull) = r.focal_pull.filter(|pull| pull.abs() > 3.0) {
        say(&format!("  The focal length that was given lies {:.1} deviations off: it is hardly right.", pull.abs()));
    }
    if let Some(lens) = &found.lens {
        say(&format!(
            "  lens          straight lines within {:.2} px, {:.2} px without it",
            lens.after_px, lens.before_px
        ));
    }
    let width = r.landmarks.iter().map(|l| l.name.chars().count()).max().unwrap_or(0).max(8);
    say(&format!("  {:width$}{:>10}{:>10}{:>12}", "landmark", "off px", "off mm", "deviations"));
    for l in &r.landmarks {
        let note = match (l.used, l.checked) {
            (false, _) => "  left out",
            (true, false) => "  not checked by the others",
            (true, true) => "",
        };
        say(&format!("  {:width$}{:>10.2}{:>10.2}{:>12.1}{note}", l.name, l.px, l.mm, l.deviations));
    }
    if r.widened > 1.0 {
        say(&format!(
            "  The landmarks fit worse than they are trusted; every ± here was widened {:.1} times.",
            r.widened
        ));
    }
    for s in &r.suspects {
        let how = if s.certain { "contradicts all others and was left out" } else { "may be wrong" };
        say(&format!(
            "  {} {how}: {:.1} px or {:.1} mm off. Look at its pixel and its place again.",
            s.name, s.px, s.mm
        ));
    }
}
