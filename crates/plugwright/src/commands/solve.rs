//! `plugwright solve`.

use super::{complain, open, say};
use crate::arguments::Solve;
use crate::failure::Failure;
use desk::Overwrite;
use desk::photographs::{Begun, Breadth, EndKind, Solved, begin_form, solve, words};
use project::document::{Document, LineName};
use serde_json::{Value, json};
use sight::solution::SectionNumbers;
use std::process::ExitCode;

pub(crate) fn run(arguments: &Solve) -> Result<ExitCode, Failure> {
    let opened = open(&arguments.project)?;
    let begun = is_blank(&opened).then(|| begin_form(&opened, arguments.fairing)).transpose()?;
    let document = begun.as_ref().map_or(opened, |begun| begun.after.clone());
    let breadth = if arguments.breadth_known { Breadth::Known } else { Breadth::Sought };
    let solved = solve(&document, breadth, &|_| true)?;
    let on_disk = desk::files::save(&solved.after, &arguments.to, None, Overwrite::Refuse)?;
    if arguments.json {
        let mut report = report(&document, &solved);
        report["begun"] = begun.as_ref().map_or(Value::Null, begun_report);
        say(&report.to_string());
    } else {
        begun.iter().for_each(tell_begun);
        in_words(&document, &solved);
        say(&format!("wrote {}", on_disk.path.display()));
    }
    if let Some(why) = words::weakness(&solved) {
        complain(why);
    }
    Ok(ExitCode::SUCCESS)
}

/// Whether nothing of the first form is drawn.
fn is_blank(document: &Document) -> bool {
    let blank = |form: &project::document::Form| {
        form.sections.is_empty() && LineName::ALL.iter().all(|line| form.lines.get(*line).points.is_empty())
    };
    document.forms.first().is_some_and(|form| blank(form))
}

fn end_text(end: EndKind) -> &'static str {
    match end {
        EndKind::Ring => "the ring",
        EndKind::Fuselage => "the fuselage's end",
        EndKind::Point => "a point",
    }
}

fn begun_report(begun: &Begun) -> Value {
    let lines = begun.read.iter().zip(&begun.fits).map(|(read, fit)| {
        json!({
            "line": read.line.label(), "points": read.points.len(), "worst_mm": fit.worst, "worst_at_mm": fit.worst_at,
            "rms_mm": fit.rms, "plain_scale_would_err_mm": read.greatest_error(),
        })
    });
    json!({ "ends": begun.ends.map(end_text), "lines": lines.collect::<Vec<_>>(), "notes": begun.notes })
}

fn tell_begun(begun: &Begun) {
    say(&format!("The form was begun, from {} to {}.", end_text(begun.ends[0]), end_text(begun.ends[1])));
    for (read, fit) in begun.read.iter().zip(&begun.fits) {
        let plain =
            read.greatest_error().map(|mm| format!("; the picture's plain scale would have erred by up to {mm:.1} mm"));
        say(&format!(
            "{}: {} traced points, faired within {:.2} mm (rms {:.2}){}",
            read.line.label(),
            read.points.len(),
            fit.worst,
            fit.rms,
            plain.unwrap_or_default()
        ));
    }
    begun.notes.iter().for_each(|note| say(&format!("note: {note}")));
    say("");
}

fn report(document: &Document, solved: &Solved) -> Value {
    let name = |picture: usize| document.pictures.get(picture).map(|p| p.name.as_str());
    json!({
        "photographs": photographs(document, solved),
        "left_out": solved.left_out.iter().map(|l| json!({
            "name": name(l.picture), "why": l.why.to_string(),
        })).collect::<Vec<_>>(),
        "stations": solved.stations.iter().map(|s| json!({
            "station_mm": s.station, "before": numbers(&s.before), "after": numbers(&s.after),
            "half_breadths": s.rows.iter().map(|r| json!({
                "height_mm": r.z, "before_mm": r.before, "after_mm": r.after, "sigma_mm": r.sigma,
                "prior_sigma_mm": r.prior_sigma,
            })).collect::<Vec<_>>(),
            "unknown": solved.solution.trust(s.station).iter().map(|t| json!({
                "function": t.function.label(), "deviation": t.deviation, "sigma": t.sigma,
                "prior_sigma": t.prior_sigma, "grade": format!("{:?}", t.grade()).to_lowercase(),
            })).collect::<Vec<_>>(),
        })).collect::<Vec<_>>(),
        "control_sections": solved.sections.iter().map(|(x, how)| json!({
            "station_mm": x, "how": how.label(),
        })).collect::<Vec<_>>(),
        "band_mm": solved.band,
        "prior_band_mm": solved.prior_band,
        "weak": solved.is_weak(),
        "guessed": solved.guessed().iter().map(|(function, stations)| json!({
            "function": function, "stations_mm": stations,
        })).collect::<Vec<_>>(),
        "findings": words::findings(document, solved).iter().map(|w| json!({
            "place": w.place, "what": w.what, "hint": w.hint,
        })).collect::<Vec<_>>(),
        "would_help": solved.advice.iter().map(|a| json!({
            "what": words::advice(document, solved, a), "band_now_mm": a.now, "band_then_mm": a.then,
        })).collect::<Vec<_>>(),
    })
}

fn numbers(n: &SectionNumbers) -> Value {
    json!({
        "breadth_mm": n.breadth, "breadth_height_mm": n.breadth_height, "exponent_above": n.above,
        "exponent_below": n.below,
    })
}

fn photographs(document: &Document, solved: &Solved) -> Vec<Value> {
    let cameras = solved.used.iter().zip(solved.solution.cameras()).enumerate();
    let one = |(number, (used, after)): (usize, (&desk::photographs::Used, &sight::solution::CameraAfter))| {
        let camera = &after.camera;
        let row = |i: usize| [0, 1, 2].map(|j| camera.rotation[(i, j)]);
        let fits = solved.solution.fits().iter().filter(|f| f.photograph == number);
        json!({
            "name": document.pictures.get(used.picture).map(|p| p.name.as_str()),
            "camera": {
                "eye_mm": camera.eye(), "rotation": [row(0), row(1), row(2)], "focal_px": camera.focal_px,
                "centre_px": camera.centre,
            },
            "sigma": after.sigma.as_ref().map(|s| json!({
                "turn_deg": s.turn_deg, "shift_mm": s.shift_mm, "focal_px": s.focal_px,
            })),
            "landmarks_px": after.sightings_px,
            "residuals": fits.map(|f| json!({
                "of": if f.outline { "outline" } else { "seams" }, "points": f.points, "rms_px": f.rms_px,
                "chi_square": f.chi_square, "widened": f.widened,
            })).collect::<Vec<_>>(),
        })
    };
    cameras.map(one).collect()
}

fn in_words(document: &Document, solved: &Solved) {
    for (number, used) in solved.used.iter().enumerate() {
        tell_photograph(document, solved, number, used.picture);
    }
    for left in &solved.left_out {
        say(&format!("{}: not used; {}.", picture(document, left.picture), left.why));
    }
    say("");
    tell_sections(solved);
    for (station, how) in &solved.sections {
        say(&format!("control section at {station:.1} mm: {}", how.label()));
    }
    say("");
    tell_trust(solved);
    for note in words::findings(document, solved) {
        say(&format!("note: {note}"));
    }
    for a in solved.advice.iter().take(3) {
        say(&format!(
            "would help: {} (band from {:.2} to {:.2} mm)",
            words::advice(document, solved, a),
            a.now,
            a.then
        ));
    }
}

fn picture(document: &Document, index: usize) -> &str {
    document.pictures.get(index).map_or("picture", |p| p.name.as_str())
}

fn tell_photograph(document: &Document, solved: &Solved, number: usize, index: usize) {
    let fits = solved.solution.fits().iter().filter(|f| f.photograph == number);
    let fits = fits.map(|f| {
        let what = if f.outline { "outline" } else { "seams" };
        format!("{what} within {:.2} px ({} points)", f.rms_px, f.points)
    });
    say(&format!("{}: {}", picture(document, index), fits.collect::<Vec<_>>().join(", ")));
    let Some(after) = solved.solution.cameras().get(number) else { return };
    let landmarks = after.sightings_px.iter().map(|[x, y]| x.hypot(*y)).fold(0.0, f64::max);
    if let Some(sigma) = &after.sigma {
        say(&format!(
            "  camera: focal length {:.0} ± {:.0} px, distance ± {:.1} mm, landmarks within {landmarks:.2} px",
            after.camera.focal_px, sigma.focal_px, sigma.shift_mm[2]
        ));
    }
}

fn tell_sections(solved: &Solved) {
    say("sections before -> after in mm; fullness is the exponent of the nearest superellipse");
    let heads = ["station", "breadth", "breadth height", "full above", "full below", "most changed", "band ±"];
    let widths = [8, 18, 20, 16, 16, 14, 8];
    say(&heads.iter().zip(widths).map(|(h, w)| format!("{h:>w$}")).collect::<String>());
    for s in &solved.stations {
        let (b, a) = (&s.before, &s.after);
        let cells = [
            format!("{:.1}", s.station),
            format!("{:.1} -> {:.1}", b.breadth, a.breadth),
            format!("{:.1} -> {:.1}", b.breadth_height, a.breadth_height),
            format!("{:.2} -> {:.2}", b.above, a.above),
            format!("{:.2} -> {:.2}", b.below, a.below),
            format!("{:.2}", s.greatest_change()),
            format!("{:.2}", s.band()),
        ];
        say(&cells.iter().zip(widths).map(|(c, w)| format!("{c:>w$}")).collect::<String>());
    }
    say("");
}

fn tell_trust(solved: &Solved) {
    say(&format!(
        "band over the form: ± {:.2} mm of half-breadth (one standard deviation), ± {:.2} mm before the photographs",
        solved.band, solved.prior_band
    ));
    for (function, stations) in solved.guessed() {
        let at = stations.iter().map(|x| format!("{x:.0}")).collect::<Vec<_>>().join(", ");
        say(&format!("guessed: {} at {at} mm", function.to_lowercase()));
    }
}
