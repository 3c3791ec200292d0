//! All findings of a document.

use crate::finding::{Finding, Part, Severity};
use crate::skin::{Lofted, loft};
use geometry::crossing::self_crossings;
use project::document::{Document, Form, KnownDistance, Picture};

/// Chord error of the outlines in which crossings are sought, mm.
const FINE: f64 = 0.01;
/// Two known distances of one picture may disagree by this much, per cent, before it is told.
const PICTURE_DISAGREEMENT: f64 = 2.0;

/// Every finding of a document, by form, the gravest first within a form; `lofted` gives the loft of each form.
pub fn check<'a>(document: &Document, lofted: impl Fn(usize) -> std::borrow::Cow<'a, Lofted>) -> Vec<Finding> {
    let mut all: Vec<Finding> = Vec::new();
    for (i, form) in document.forms.iter().enumerate() {
        let lofted = lofted(i);
        let mut own = lofted.findings.clone();
        own.extend(form_findings(form, &lofted));
        own.extend(crate::openings::findings(document, i, &lofted));
        own.iter_mut().for_each(|f| f.place.form = Some(i));
        own.sort_by_key(|f| std::cmp::Reverse(f.severity));
        all.extend(own);
    }
    all.extend(document.pictures.iter().enumerate().filter_map(|(i, p)| picture_finding(document, i, p)));
    all
}

/// Every finding of a document, lofting each form anew.
pub fn check_anew(document: &Document) -> Vec<Finding> {
    check(document, |i| std::borrow::Cow::Owned(loft(&document.forms[i])))
}

fn form_findings(form: &Form, lofted: &Lofted) -> Vec<Finding> {
    let mut findings = Vec::new();
    let Some(skin) = &lofted.skin else { return findings };
    let (low, high) = skin.loft().x_range();
    for (i, section) in form.sections.iter().enumerate() {
        section_findings(lofted, Part::Section(i), section.station, &mut findings);
    }
    for (i, &x) in form.stations.iter().enumerate() {
        if x < low - 1e-6 || x > high + 1e-6 {
            let what = format!("Station {} lies outside the form, which runs from {low:.1} to {high:.1} mm.", i + 1);
            let finding = Finding::new(Severity::Warning, Part::Station(i), what, "Move or remove the station.");
            let beyond = (low - x).max(x - high);
            findings.push(finding.at_station(x).with(beyond, 0.0, "mm"));
        } else if !form.sections.iter().any(|s| (s.station - x).abs() < 1e-6) {
            section_findings(lofted, Part::Station(i), x, &mut findings);
        }
    }
    findings
}

/// Whether the section crosses the centre plane or itself, or the crown lies below the keel.
fn section_findings(lofted: &Lofted, part: Part, x: f64, findings: &mut Vec<Finding>) {
    let Some(section) = lofted.skin.as_ref().and_then(|s| s.loft().section(x)) else { return };
    if section.crown() < section.keel() - 1e-6 {
        let what = "The crown lies below the keel here.";
        let finding = Finding::new(Severity::Error, part, what, "Lift the crown line or lower the keel line.");
        findings.push(finding.at_station(x).with(section.crown() - section.keel(), 0.0, "mm"));
        return;
    }
    let outline = section.polyline(FINE);
    let beyond = outline.iter().copied().min_by(|a, b| a[0].total_cmp(&b[0])).filter(|p| p[0] < -1e-6);
    if let Some(p) = beyond {
        let what = "The half section crosses the centre plane.";
        let hint = "Bring its points back to the starboard side.";
        let finding = Finding::new(Severity::Error, part, what, hint).at_station(x).at_point(p);
        findings.push(finding.with(p[0], 0.0, "mm"));
    }
    let crossings = self_crossings(&outline);
    if let Some(p) = crossings.first() {
        let what = "The half section crosses itself.";
        let hint = "Move the points of the loop apart, or remove one of them.";
        let finding = Finding::new(Severity::Error, part, what, hint).at_station(x).at_point(*p);
        findings.push(finding.with(crossings.len() as f64, 0.0, "crossings"));
    }
}

/// Two known distances that disagree.
fn picture_finding(document: &Document, i: usize, picture: &Picture) -> Option<Finding> {
    let mm_per_px = |k: &KnownDistance| k.mm_per_px(document.model_scale);
    let (a, b) = (picture.scale.as_ref().map(mm_per_px)?, picture.check.as_ref().map(mm_per_px)?);
    let per_cent = 100.0 * (b / a - 1.0);
    (per_cent.abs() > PICTURE_DISAGREEMENT).then(|| {
        let what = format!("The two known distances of \"{}\" disagree by {per_cent:+.1} %.", picture.name);
        let hint = "Check both figures; a photograph taken from near shows far things too small.";
        Finding::new(Severity::Warning, Part::Picture(i), what, hint).with(per_cent.abs(), PICTURE_DISAGREEMENT, "%")
    })
}
