//! `plugwright check`.

use super::say;
use crate::arguments::Check;
use crate::failure::Failure;
use form::{Finding, Part, Quantity, Severity};
use project::document::Document;
use project::file::Problem;
use serde_json::{Value, json};
use std::process::ExitCode;

pub(crate) fn run(arguments: &Check) -> Result<ExitCode, Failure> {
    let opened = super::whole(&arguments.project)?;
    let (document, problems) = (opened.document, opened.problems);
    let findings = desk::findings_anew(&document);
    if arguments.json {
        let missing = problems.iter().map(problem);
        let list: Vec<Value> = missing.chain(findings.iter().map(|f| finding(&document, f))).collect();
        say(&json!({ "findings": list }).to_string());
    } else if findings.is_empty() && problems.is_empty() {
        say("No findings.");
    } else {
        problems.iter().for_each(|p| say(&format!("{}: {p}", Severity::Warning.label())));
        findings.iter().for_each(|f| say(&in_words(&document, f)));
    }
    let is_error = findings.iter().any(|f| f.severity == Severity::Error);
    Ok(if is_error { ExitCode::from(1) } else { ExitCode::SUCCESS })
}

/// What could not be had of a project that opened all the same, such as a missing picture.
fn problem(p: &Problem) -> Value {
    json!({
        "severity": Severity::Warning.label(),
        "place": {
            "form": null,
            "part": p.place,
            "number": null,
            "station_mm": null,
            "half_breadth_height_mm": null,
            "label": p.place,
        },
        "what": p.reason,
        "measured": null,
        "allowed": null,
        "hint": p.hint,
    })
}

fn form_name<'a>(document: &'a Document, f: &Finding) -> Option<&'a str> {
    f.place.form.and_then(|i| document.forms.get(i)).map(|form| form.name.as_str())
}

fn finding(document: &Document, f: &Finding) -> Value {
    let quantity = |q: Option<Quantity>| q.map(|q| json!({ "value": q.value, "unit": q.unit }));
    let index = match f.place.part {
        Part::Section(i)
        | Part::Station(i)
        | Part::Picture(i)
        | Part::KeepOut(i)
        | Part::Gauge(i)
        | Part::Opening(i) => Some(i + 1),
        Part::Form | Part::Line(_) | Part::Fuselage | Part::Thrust | Part::DrawOff => None,
        Part::Mount | Part::Laminate | Part::Release | Part::Balance => None,
    };
    let part = match f.place.part {
        Part::Form => "form",
        Part::Line(name) => name.label(),
        Part::Section(_) => "control section",
        Part::Station(_) => "station",
        Part::Picture(_) => "picture",
        Part::Fuselage => "fuselage end",
        Part::Thrust => "thrust line",
        Part::KeepOut(_) => "keep-out",
        Part::Gauge(_) => "gauge",
        Part::DrawOff => "drawing off",
        Part::Opening(_) => "opening",
        Part::Mount => "place on the first form",
        Part::Laminate => "laminate",
        Part::Release => "release",
        Part::Balance => "balance",
    };
    json!({
        "severity": f.severity.label(),
        "place": {
            "form": form_name(document, f),
            "part": part,
            "number": index,
            "station_mm": f.place.station,
            "half_breadth_height_mm": f.place.at,
            "label": f.place_label(),
        },
        "what": f.what,
        "measured": quantity(f.measured),
        "allowed": quantity(f.allowed),
        "hint": f.hint,
        "mend": f.mend.as_ref().map(|mend| mend.label.as_str()),
    })
}

fn in_words(document: &Document, f: &Finding) -> String {
    let form = form_name(document, f).map_or_else(String::new, |n| format!("{n}, "));
    let measured = match (f.measured, f.allowed) {
        (Some(m), Some(a)) => format!(" Measured {m}, allowed {a}."),
        (Some(m), None) => format!(" Measured {m}."),
        _ => String::new(),
    };
    format!("{}: {form}{}: {}{measured} {}", f.severity.label(), f.place_label(), f.what, f.hint)
}
