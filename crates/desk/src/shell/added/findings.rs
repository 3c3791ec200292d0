//! What deserves a look about forms that are put on the first.

use super::hits::hits;
use super::{AddedMeeting, as_project};
use crate::reckoned::Reckoned;
use form::meeting::{Meeting, MeetingLine, Stands, Stop};
use form::{Finding, Lofted, Part, Severity};
use project::document::Document;
use std::sync::Arc;

/// What is found about all added forms: how each meets the first, what it hits, and what its own plug says. Some tenths of a second
/// for forms with a stack.
pub fn findings(document: &Document, lofted: &[Arc<Lofted>], known: &Reckoned) -> Vec<Finding> {
    let mut all = Vec::new();
    for index in 1..document.forms.len() {
        let mut own = Vec::new();
        if let Some(meeting) = known.meeting(document, lofted, index) {
            own.extend(of_meeting(document, &meeting));
            own.extend(hits(document, lofted, &meeting));
        }
        own.extend(of_plug(document, lofted, index, known));
        own.iter_mut().for_each(|f| f.place.form = Some(index));
        all.extend(own);
    }
    all
}

/// What its plug says, where it is built as a stack.
fn of_plug(document: &Document, lofted: &[Arc<Lofted>], index: usize, known: &Reckoned) -> Vec<Finding> {
    let project = as_project(document, index).filter(|own| own.build.stack.used);
    // A form without a surface has no plug; why it has none is among its findings already.
    let planned = project
        .zip(lofted.get(index))
        .and_then(|(own, lofted)| known.planned(&own, std::slice::from_ref(lofted)).ok().flatten());
    planned.map(|planned| planned.findings()).unwrap_or_default()
}

fn of_meeting(document: &Document, AddedMeeting { form, meeting, .. }: &AddedMeeting) -> Vec<Finding> {
    let first = document.forms.first().map_or("the first form", |f| f.name.as_str());
    let name = document.forms.get(*form).map_or("", |f| f.name.as_str());
    let told = |severity: Severity, what: String, hint: &str| Finding::new(severity, Part::Mount, what, hint);
    match meeting.stands {
        Stands::Free { gap } => {
            let what = format!("{name} does not touch {first}: some {gap:.0} mm are between them.");
            return vec![told(Severity::Warning, what, "Move it in until the two meet.").with(gap, 0.0, "mm")];
        }
        Stands::Sunk => {
            let what = format!("{name} lies wholly within {first}: nothing of it shows.");
            return vec![told(Severity::Warning, what, "Move it out until the two meet.")];
        }
        Stands::Around => {
            let what = format!("{name} encloses {first} wholly.");
            return vec![told(Severity::Warning, what, "Make it smaller, or move it until the two meet.")];
        }
        Stands::Meets => (),
    }
    let mut found = Vec::new();
    if meeting.lost() {
        let what = format!(
            "{name} touches {first} at so small an angle that the line of meeting cannot be followed to its end."
        );
        found.push(told(Severity::Warning, what, "Sink it a little deeper, or lift it out."));
    }
    found.extend(over_a_rim(name, first, meeting));
    found.extend(ahead_of_ring(document, name, &meeting.lines));
    found
}

/// A line of meeting that runs out over an end of the first form.
fn over_a_rim(name: &str, first: &str, meeting: &Meeting) -> Option<Finding> {
    let ends = meeting.lines.iter().filter_map(|line| Some((line, line.ends?)));
    let places = ends.flat_map(|(line, ends)| ends.into_iter().zip([line.places.first(), line.places.last()]));
    places.into_iter().find_map(|(stop, place)| match stop {
        Stop::Rim { of_added: false, front } => {
            let end = if front { "front" } else { "rear" };
            let what = format!("{name} reaches over the {end} end of {first}, where it has nothing to lie on.");
            let hint = "Move it along the body, or make it shorter.";
            let [x, y, z] = place?.point;
            Some(Finding::new(Severity::Warning, Part::Mount, what, hint).at_station(x).at_point([y, z]))
        }
        _ => None,
    })
}

/// A line of meeting that lies on what the plane of the ring cuts off.
fn ahead_of_ring(document: &Document, name: &str, lines: &[MeetingLine]) -> Option<Finding> {
    let trim = fit::ring_trim(&document.airframe)?;
    let places = lines.iter().flat_map(|line| &line.places).map(|p| (trim.ahead(p.point), p.point));
    let (ahead, [x, y, z]) = places.max_by(|a, b| a.0.total_cmp(&b.0)).filter(|(ahead, _)| *ahead > 0.0)?;
    let what = format!("{name} lies {ahead:.1} mm ahead of the plane of the ring, where the form is cut off.");
    let finding = Finding::new(Severity::Warning, Part::Mount, what, "Move it aft.").at_station(x).at_point([y, z]);
    Some(finding.with(ahead, 0.0, "mm"))
}
