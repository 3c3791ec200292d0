use super::*;
use crate::reckoned::Reckoned;
use form::meeting::{Stands, mirrored};
use form::seen::SurfaceNode;
use form::space::{length, sub};
use form::{Lofted, Part, Severity};
use project::airframe::{Airframe, KeepOut, KeepOutPlace, Solid};
use project::document::{LineEnd, LineName, LinePoint, LinePointKind, MasterLine};
use project::edit::Edit;
use project::starter::{blank_form, new_document};

/// A blister 120 mm long, pointed at both ends, 25 mm high above and 15 mm deep below its axis.
pub(crate) fn blister() -> Form {
    let mut form = blank_form(120.0, 30.0, 25.0, 15.0);
    form.name = "Blister".to_owned();
    for (name, full) in [(LineName::Crown, 25.0), (LineName::Keel, -15.0), (LineName::Breadth, 30.0)] {
        let point = |(x, share)| LinePoint { x, value: share * full, kind: LinePointKind::Smooth };
        let points = [(0.0, 0.0), (40.0, 1.0), (80.0, 0.8), (120.0, 0.0)].map(point).to_vec();
        *form.lines.get_mut(name) = Arc::new(MasterLine { points, front: LineEnd::Upright, rear: LineEnd::Free });
    }
    form.stations = vec![20.0, 40.0, 60.0, 80.0, 100.0];
    form
}

/// Its axis along the body, its crown outboard, on both sides.
pub(crate) fn on_the_side() -> Mount {
    Mount { place: [60.0, 82.0, 10.0], roll_deg: 90.0, yaw_deg: 2.0, mirrored: true, ..Mount::default() }
}

/// A cowl with a blister on each side.
pub(crate) fn document() -> Document {
    let mut document = new_document("Test");
    let mut cowl = blank_form(240.0, 90.0, 110.0, 80.0);
    cowl.name = "Cowl".to_owned();
    document.forms = vec![Arc::new(cowl), Arc::new(Form { mount: Some(on_the_side()), ..blister() })];
    document
}

pub(crate) fn lofted(document: &Document) -> Vec<Arc<Lofted>> {
    document.forms.iter().map(|form| Arc::new(form::loft(form))).collect()
}

#[test]
fn an_added_form_is_a_project_of_its_own_without_mount_airframe_and_stack() {
    let document = document();
    assert_eq!(as_project(&document, 0), None);
    assert_eq!(as_project(&document, 2), None);
    assert_eq!(project_of(&document, 0).unwrap().as_ref(), &document);
    let own = as_project(&document, 1).unwrap();
    assert_eq!((own.forms.len(), own.forms[0].mount, &own.forms[0].name), (1, None, &"Blister".to_owned()));
    assert!(*own.airframe == Airframe::default() && !own.build.stack.used);
    assert_eq!(own.build.coat, document.build.coat);
    assert!(project::promise::check_document(&own).is_ok());
}

#[test]
fn the_coat_of_an_added_plug_follows_the_laminate_as_that_of_the_first_does() {
    let mut document = document();
    let mut shell = Shell { feeds_coat: true, ..Shell::default() };
    shell.laminate.plies.push(project::laminate::Ply::whole(project::laminate::Fabric::usual(), 0.0));
    document = Edit::SetShell(shell).apply(&document).unwrap();
    assert!(document.build.coat.total() > 0.0);
    assert_eq!(as_project(&document, 1).unwrap().build.coat, document.build.coat);
    let own = Build {
        stack: project::build::Stack { used: true, boards: vec![20.0; 4], ..Build::default().stack },
        ..Build::default()
    };
    document = Edit::SetFormBuild { form: 1, build: Some(own) }.apply(&document).unwrap();
    let project = as_project(&document, 1).unwrap();
    assert!(project.build.stack.used && project.build.coat == document.build.coat);
}

#[test]
fn both_blisters_meet_the_cowl_in_one_loop_each() {
    let document = document();
    let lofted = lofted(&document);
    let all = Reckoned::default().meetings(&document, &lofted);
    assert_eq!(all.len(), 1);
    let lines = all[0].meeting.both(&all[0].mount);
    assert!(lines.len() == 2 && lines.iter().all(form::meeting::MeetingLine::closed));
    let skin = lofted[0].whole_skin().unwrap().loft();
    for place in lines.iter().flat_map(|line| &line.places) {
        let on = SurfaceNode::at(skin, place.first).unwrap().point;
        assert!(length(sub(on, place.point)) < 1e-6);
    }
    assert!(lines[0].places.iter().all(|p| p.point[1] > 0.0) && lines[1].places.iter().all(|p| p.point[1] < 0.0));
    assert_eq!(findings(&document, &lofted, &Reckoned::default()), Vec::new());
}

#[test]
fn a_form_that_floats_or_is_sunk_or_reaches_over_the_end_is_told_with_its_form() {
    let with = |place: [f64; 3]| {
        let mut document = document();
        let mount = Mount { place, ..on_the_side() };
        document = Edit::SetMount { form: 1, mount: Some(mount) }.apply(&document).unwrap();
        let found = findings(&document, &lofted(&document), &Reckoned::default());
        assert!(found.iter().all(|f| f.place.form == Some(1)));
        found
    };
    let found = with([60.0, 140.0, 10.0]);
    assert!(found.len() == 1 && found[0].what.contains("does not touch"), "{found:?}");
    let found = with([60.0, 30.0, 10.0]);
    assert!(found.len() == 1 && found[0].what.contains("wholly within"), "{found:?}");
    let found = with([170.0, 88.0, 10.0]);
    assert!(found.len() == 1 && found[0].what.contains("over the rear end"), "{found:?}");
}

#[test]
fn a_keep_out_that_breaks_through_the_wall_is_told_and_one_inside_the_cowl_is_not() {
    let mut document = document();
    let keep_out = |name: &str, front: [f64; 3]| KeepOut {
        name: name.to_owned(),
        shape: Solid::Cylinder { diameter: 10.0, length: 30.0 },
        place: KeepOutPlace::Free { front, pitch_deg: 0.0, yaw_deg: 0.0 },
        clearance: 2.0,
    };
    let all = vec![keep_out("Pipe", [90.0, -105.0, 10.0]), keep_out("Tank", [90.0, 40.0, 10.0])];
    document.airframe = Arc::new(Airframe { keep_outs: all, ..Airframe::default() });
    let found = findings(&document, &lofted(&document), &Reckoned::default());
    assert_eq!(found.len(), 1, "{found:?}");
    assert!(found[0].what.starts_with("Pipe goes") && found[0].severity == Severity::Error);
    assert!(found[0].place.part == Part::KeepOut(0) && found[0].place.at.unwrap()[0] < 0.0, "on the port side");
}

#[test]
fn its_curves_lie_on_the_skin_as_it_is_placed() {
    let document = document();
    let lofted = lofted(&document);
    assert!(shape(&document, 0, &lofted[0], 0.05).is_none());
    let found = shape(&document, 1, &lofted[1], 0.05).unwrap();
    let twice = found.centre.len() + found.breadth.len() + found.sections.len() + found.rims.len();
    assert!(found.mirrored && found.curves().len() == 2 * twice);
    // The crown stands outboard: 25 mm beyond the axis, which leans aft by 2 degrees of yaw.
    let highest = found.centre[0].iter().map(|p| p[1]).fold(f64::MIN, f64::max);
    assert!((82.0 + 25.0..82.0 + 25.0 + 4.0).contains(&highest), "{highest}");
    // Seen from ahead the outline reaches as far as the crown.
    let seen = outline(&document, 1, &lofted[1], [1.0, 0.0, 0.0], 0.05);
    let far = seen.iter().flatten().map(|p| p[1]).fold(f64::MIN, f64::max);
    assert!((far - highest).abs() < 0.2, "{far} {highest}");
    assert!(seen.iter().flatten().all(|p| mirrored(*p)[1] < 0.0));
    assert_eq!(Reckoned::default().meetings(&document, &lofted)[0].meeting.stands, Stands::Meets);
}
