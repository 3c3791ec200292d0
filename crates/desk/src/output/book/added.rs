//! Forms that are put on the first: where each belongs, along which line it is joined, and how.

use super::composer::{Align, Composer, Table};
use super::{Subject, count, facts, mm};
use crate::shell::added::{AddedMeeting, as_project, land};
use form::meeting::{MeetingLine, MeetingPlace, Stands};
use form::space::{Vector, add, sub, times};

pub(super) fn set(c: &mut Composer, s: &Subject<'_>) {
    if s.added.is_empty() {
        return;
    }
    c.chapter("Added forms");
    c.text(&format!(
        "Each is a small plug of its own, drawn and built in its own axes; its templates carry its name, and its cards the line along which \
         the surface of {} passes through it. The command \"plugwright book PROJECT --form 2\" writes the book of the second form alone.",
        s.form.name
    ));
    for added in &s.added {
        one(c, s, added);
    }
    steps(c, s);
}

fn one(c: &mut Composer, s: &Subject<'_>, added: &AddedMeeting) {
    let Some(form) = s.document.forms.get(added.form) else { return };
    c.heading(&form.name);
    let mount = &added.mount;
    let [x, y, z] = mount.place.map(mm);
    let stack = as_project(s.document, added.form).filter(|own| own.build.stack.used);
    let plug = stack.map_or("formers and centre template, without a stack".to_owned(), |own| {
        format!("a stack of {}", count(own.build.stack.boards.len(), "board"))
    });
    let lines = added.meeting.both(mount);
    let length: f64 = lines.iter().map(MeetingLine::length).sum();
    let met = match added.meeting.stands {
        Stands::Meets => format!("{}, {} mm together", count(lines.len(), "line"), mm(length)),
        _ => "none: it does not meet the first form; see the findings".to_owned(),
    };
    c.table(&facts([
        ("Its origin".to_owned(), format!("station {x} mm, {y} mm to starboard, height {z} mm")),
        (
            "Turned".to_owned(),
            format!(
                "roll {}° (up to starboard), then pitch {}° (rear down), then yaw {}° (rear to starboard)",
                mm(mount.roll_deg),
                mm(mount.pitch_deg),
                mm(mount.yaw_deg)
            ),
        ),
        (
            "How many".to_owned(),
            if mount.mirrored {
                "two shells from one plug, as the form is symmetric: one for each side, their lines of meeting mirrored"
                    .to_owned()
            } else {
                "one".to_owned()
            },
        ),
        ("Its plug".to_owned(), plug),
        ("Meets along".to_owned(), met),
    ]));
    let crossings = crossings(&added.meeting.lines, s);
    if crossings.is_empty() {
        return;
    }
    let side = if mount.mirrored { ", of the one that is drawn; the other is its mirror image" } else { "" };
    c.text(&format!("Where the line crosses the stations of {}{side}:", s.form.name));
    let right = Align::Right;
    let mut table = Table::new(&[("Station mm", right), ("To starboard mm", right), ("Height mm", right)]);
    for p in crossings {
        table.row([mm(p[0]), mm(p[1]), mm(p[2])]);
    }
    c.table(&table);
}

/// Where lines cross the first form's stations.
fn crossings(lines: &[MeetingLine], s: &Subject<'_>) -> Vec<Vector> {
    let document = s.document.in_force();
    let stations = document.forms.first().map(|form| form.stations.clone()).unwrap_or_default();
    let at = |x: f64| lines.iter().flat_map(move |line| steps_of(line).filter_map(move |(a, b)| crossed(a, b, x)));
    stations.into_iter().flat_map(at).collect()
}

fn crossed(a: &MeetingPlace, b: &MeetingPlace, x: f64) -> Option<Vector> {
    let (before, after) = (a.point[0] - x, b.point[0] - x);
    ((before > 0.0) != (after > 0.0)).then(|| add(a.point, times(sub(b.point, a.point), before / (before - after))))
}

fn steps_of(line: &MeetingLine) -> impl Iterator<Item = (&MeetingPlace, &MeetingPlace)> {
    let again = line.places.first().filter(|_| line.closed());
    line.places.iter().zip(line.places.iter().skip(1).chain(again))
}

fn steps(c: &mut Composer, s: &Subject<'_>) {
    c.heading("How they are joined");
    let land = mm(land(s.document));
    let first = &s.form.name;
    let steps = [
        format!("Finish the shell of {first} first, then cut its openings; added forms come last."),
        "Lay up each added form on its own plug and let it cure before it is drawn off.".to_owned(),
        format!("Mark the line of the surface of {first} and the land of {land} mm inside it on the small shell, by its cards; trim to the land."),
        format!("Wrap the fit line template round {first}, stations on stations, and draw the line."),
        "Roughen both within the land, dust off, and try the fit dry; slit the land where it must bend inward.".to_owned(),
        "Glue with thickened resin, hold with tape, and check from ahead and from above that both sides are alike.".to_owned(),
        "What air or exhaust passes through is opened in the first shell before gluing; leave room round an exhaust, as resin softens with heat.".to_owned(),
    ];
    c.list(steps.iter().enumerate().map(|(k, step)| (format!("{}.", k + 1), step)));
    c.text("Sanding dust of glass and carbon harms lungs and skin: wear a mask, gloves and goggles, and follow the resin maker's sheet and local rules.");
}
