//! What all forms of a project may have together: each list may be within its own limit and all of them still be more than anybody
//! builds. The limits are ours; common practice, no source.

use std::sync::Arc;

use project::build::Build;
use project::document::{
    ControlSection, Document, Form, LinePoint, LinePointKind, MasterLine, MasterLines, PointRole, SectionShape,
    UnitPoint,
};
use project::edit::Edit;
use project::file::{from_file, to_file};
use project::opening::{Opening, Outline, OutlinePoint, Purpose, Seen};
use project::promise::{
    MAX_ALL_BOARDS, MAX_ALL_LINE_POINTS, MAX_ALL_OPENINGS, MAX_ALL_OUTLINE_POINTS, MAX_ALL_SECTION_POINTS,
    MAX_ALL_SECTIONS, MAX_ALL_STATIONS,
};
use project::starter::{blank_form, new_document, two_conics};

/// So many forms share what is asked for.
const FORMS: usize = 10;

fn rising(count: usize) -> Vec<f64> {
    (0..count).map(|i| i as f64).collect()
}

fn opening(points: usize) -> Arc<Opening> {
    let at = |i: usize| {
        let turn = std::f64::consts::TAU * i as f64 / points as f64;
        OutlinePoint { at: [100.0 + 20.0 * turn.cos(), 20.0 * turn.sin()], corner: false }
    };
    let outline = Outline::Drawn { points: (0..points).map(at).collect() };
    let (purpose, seen) = (Purpose::Access, Seen::Starboard);
    Arc::new(Opening { name: "Hole".into(), purpose, seen, mirrored: false, outline, duct: None })
}

/// A section of so many points.
fn section(station: f64, points: usize) -> Arc<ControlSection> {
    let mut unit = two_conics(0.41);
    for i in 0..points.saturating_sub(unit.points.len()) {
        let turn = std::f64::consts::FRAC_PI_2 * (i + 1) as f64 / points as f64;
        unit.points.insert(1 + i, UnitPoint { u: turn.sin(), v: turn.cos(), role: PointRole::Smooth });
        unit.arcs.insert(1, unit.arcs[0]);
    }
    Arc::new(ControlSection { station, shape: SectionShape::Shaped(unit) })
}

fn built(form: &mut Form, change: impl FnOnce(&mut Build)) {
    let mut build = Build::default();
    change(&mut build);
    form.build = Some(Arc::new(build));
}

/// A project whose forms after the first each have what `fill` gives them; and one form more.
fn filled(fill: impl Fn(&mut Form)) -> (Document, Form) {
    let form = |k: usize| {
        let mut form = blank_form(200.0, 40.0, 50.0, 40.0);
        form.name = format!("Form {k}");
        form.sections.clear();
        form.stations.clear();
        form.lines = MasterLines::default();
        fill(&mut form);
        form
    };
    let mut document = new_document("Test");
    let mut first = blank_form(200.0, 40.0, 50.0, 40.0);
    first.sections.clear();
    first.stations.clear();
    first.lines = MasterLines::default();
    document.forms = std::iter::once(first).chain((1..=FORMS).map(form)).map(Arc::new).collect();
    (document, form(FORMS + 1))
}

/// All forms together are at the limit, and no edit and no file goes beyond it.
#[track_caller]
fn holds(what: &str, most: usize, fill: impl Fn(&mut Form)) {
    let (full, one_more) = filled(fill);
    let text = to_file(&full).unwrap().text;
    assert_eq!(from_file(&text, &mut |_| Err("there is none".into())).unwrap().document, full);
    let told = format!("With the form \"Form 11\" the project comes to {} {what}.", most + most / FORMS);
    let hint = format!("Keep to at most {most} in all forms together.");
    let refused = Edit::AddForm(one_more.clone()).apply(&full).unwrap_err();
    assert_eq!((&refused.reason, &refused.hint), (&told, &hint));

    let mut beyond = full;
    beyond.forms.push(Arc::new(one_more));
    let unwritten = to_file(&beyond).unwrap_err().to_string();
    assert!(unwritten.contains(&told) && unwritten.contains(&hint), "{unwritten}");
    // Written by hand: the last form of the file once more.
    let last = text.find("name: \"Form 10\"").unwrap();
    let (from, to) = (text[..last].rfind("        (\n").unwrap(), text.rfind("        ),\n    ],\n").unwrap() + 11);
    let form = text[from..to].replace("Form 10", "Form 11");
    let unread = from_file(&format!("{}{form}{}", &text[..to], &text[to..]), &mut |_| Err("none".into())).unwrap_err();
    assert!(unread.to_string().contains(&told) && unread.to_string().contains(&hint), "{unread}");
}

#[test]
fn all_forms_together_are_bounded() {
    holds("points in master lines", MAX_ALL_LINE_POINTS, |form| {
        let point = |x| LinePoint { x, value: 10.0, kind: LinePointKind::Smooth };
        let points = rising(MAX_ALL_LINE_POINTS / FORMS).into_iter().map(point).collect();
        form.lines.keel = Arc::new(MasterLine { points, ..MasterLine::default() });
    });
    holds("stations", MAX_ALL_STATIONS, |form| form.stations = rising(MAX_ALL_STATIONS / FORMS));
    holds("openings", MAX_ALL_OPENINGS, |form| form.openings = vec![opening(3); MAX_ALL_OPENINGS / FORMS]);
    holds("points in the outlines of openings", MAX_ALL_OUTLINE_POINTS, |form| {
        form.openings = vec![opening(MAX_ALL_OUTLINE_POINTS / FORMS)];
    });
    holds("control sections", MAX_ALL_SECTIONS, |form| {
        form.sections = rising(MAX_ALL_SECTIONS / FORMS).into_iter().map(|x| section(x, 3)).collect();
    });
    holds("points in control sections", MAX_ALL_SECTION_POINTS, |form| {
        form.sections = vec![section(100.0, MAX_ALL_SECTION_POINTS / FORMS)];
    });
    holds("boards in stacks", MAX_ALL_BOARDS, |form| {
        built(form, |build| build.stack.boards = vec![20.0; MAX_ALL_BOARDS / FORMS]);
    });
    holds("outside templates", MAX_ALL_STATIONS, |form| {
        built(form, |build| build.sanding.stations = rising(MAX_ALL_STATIONS / FORMS));
    });
}

/// The first form's plug is built as the project says, and counts.
#[test]
fn the_projects_own_stack_counts() {
    let (mut full, _) = filled(|form| built(form, |build| build.stack.boards = vec![20.0; MAX_ALL_BOARDS / FORMS]));
    let mut build = Build::default();
    build.stack.boards = vec![20.0; MAX_ALL_BOARDS / FORMS];
    let refused = Edit::SetBuild(build.clone()).apply(&full).unwrap_err();
    assert!(refused.reason.contains("boards in stacks"), "{refused}");
    full.forms.pop();
    assert!(Edit::SetBuild(build).apply(&full).is_ok());
}

/// So what is read from a table can be saved.
#[test]
fn a_table_keeps_to_the_same() {
    let table = |stations: usize, points: usize| {
        let mut text = format!("{}\n", project::table::HEADER);
        for x in 0..stations {
            for i in 0..points {
                let turn = std::f64::consts::PI * i as f64 / (points - 1) as f64;
                let (y, z) = (if i + 1 == points { 0.0 } else { 10.0 * turn.sin() }, 10.0 * turn.cos());
                text += &format!("{x},{y},{z}\n");
            }
        }
        project::table::read_table(&text)
    };
    assert!(table(MAX_ALL_SECTIONS, 3).is_ok());
    let refused = table(MAX_ALL_SECTIONS + 1, 3).unwrap_err().to_string();
    assert!(refused.contains("301 stations") && refused.contains("at most 300"), "{refused}");
    let refused = table(100, MAX_ALL_SECTION_POINTS / 100 + 1).unwrap_err().to_string();
    assert!(refused.contains("20100 points") && refused.contains("at most 20000"), "{refused}");
}
