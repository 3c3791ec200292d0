//! Random projects for laws that hold of every project: whatever keeps the promises of `project::promise` in the sizes of a
//! workbench, sensible or not. Parts miss each other, boards end anywhere, rings do not fit: that is what findings are for.

mod bench;
mod shells;

use crate::forms::{Bounds, LENGTH, any_form};
use bench::{any_airframe, any_build};
use project::document::{
    ControlSection, Document, Form, Lengthwise, LineEnd, LineName, MasterLine, PaperSetup, SectionShape,
};
use project::mount::Mount;
use project::starter::new_document;
use proptest::option;
use proptest::prelude::*;
use shells::{any_openings, any_shell};
use std::sync::Arc;

/// A random project of one form or two, from a spinner's size to that of a wing's fairing.
pub fn any_document() -> impl Strategy<Value = Document> {
    (0.1..4.0_f64).prop_flat_map(|scale| {
        let first = (any_body(scale), any_openings(LENGTH * scale));
        let added =
            (any_body(0.3 * scale), any_openings(0.3 * LENGTH * scale), any_mount(scale), any_build(0.3 * scale));
        let rest = (any_airframe(scale), any_build(scale), any_shell(scale), 0.0..40.0_f64);
        (first, option::of(added), rest).prop_map(|(first, added, (airframe, build, shell, margin))| {
            let mut document = new_document("Random");
            document.forms = vec![Arc::new(Form { openings: first.1, ..first.0 })];
            document.airframe = Arc::new(airframe);
            document.build = Arc::new(build);
            document.paper = PaperSetup { margin, ..document.paper };
            if let Some((body, openings, mount, build)) = added {
                let build = Some(Arc::new(build));
                document.forms.push(Arc::new(Form {
                    name: "Added".into(),
                    openings,
                    mount: Some(mount),
                    build,
                    ..body
                }));
            }
            follow(&mut document, shell);
            document
        })
    })
}

/// Gives the document its shell, with the coats that follow it.
fn follow(document: &mut Document, shell: project::shell::Shell) {
    if let Some(coat) = shell.coat() {
        Arc::make_mut(&mut document.build).coat = coat;
        for form in &mut document.forms {
            if let Some(build) = &mut Arc::make_mut(form).build {
                Arc::make_mut(build).coat = coat;
            }
        }
    }
    document.shell = Arc::new(shell);
}

/// A form `scale` times as large as [`any_form`] gives, its ends cut off flat or drawn together, with stations and edge radii.
fn any_body(scale: f64) -> impl Strategy<Value = Form> {
    let bounds = prop_oneof![Just(Bounds::built()), Just(Bounds::drawn())];
    let form = bounds.prop_flat_map(|bounds| any_form(&bounds));
    let ends = (any_end(), any_end());
    let edges = (prop_oneof![Just(0.0), 0.5..12.0_f64], prop_oneof![Just(0.0), 0.5..12.0_f64]);
    (form, ends, edges, 12.0..60.0_f64, any::<[bool; 3]>()).prop_map(
        move |(form, ends, edges, pitch, [straight, crown, keel])| {
            let mut form = scaled(form, scale);
            close(&mut form, [ends.0, ends.1]);
            if straight {
                form.lengthwise = Lengthwise::Straight;
            }
            ridges(&mut form, crown && straight, keel && straight);
            form.front_edge_radius = edges.0 * scale;
            form.rear_edge_radius = edges.1 * scale;
            let length = LENGTH * scale;
            let every = (0_u32..).map(|n| f64::from(n) * pitch * scale);
            form.stations = every.take_while(|x| *x < length - 0.01).chain([length]).collect();
            form
        },
    )
}

/// How the end of a form is drawn: as it came, or together to a point, sharp or blunt.
#[derive(Clone, Copy, Debug)]
enum EndKind {
    Flat,
    Pointed,
    Blunt,
}

fn any_end() -> impl Strategy<Value = EndKind> {
    prop_oneof![3 => Just(EndKind::Flat), 1 => Just(EndKind::Pointed), 1 => Just(EndKind::Blunt)]
}

fn close(form: &mut Form, ends: [EndKind; 2]) {
    for (rear, kind) in [false, true].into_iter().zip(ends) {
        if matches!(kind, EndKind::Flat) {
            continue;
        }
        for name in LineName::ALL {
            let line = Arc::make_mut(form.lines.get_mut(name));
            let point = if rear { line.points.last_mut() } else { line.points.first_mut() };
            if let Some(point) = point {
                point.value = 0.0;
            }
            if matches!(kind, EndKind::Blunt) && name != LineName::BreadthHeight {
                *(if rear { &mut line.rear } else { &mut line.front }) = LineEnd::Upright;
            }
        }
    }
}

fn ridges(form: &mut Form, crown: bool, keel: bool) {
    for section in &mut form.sections {
        if let SectionShape::Shaped(unit) = &mut Arc::make_mut(section).shape {
            (unit.crown_ridge, unit.keel_ridge) = (crown, keel);
        }
    }
}

/// The same form `by` times as large.
pub fn scaled(mut form: Form, by: f64) -> Form {
    for name in LineName::ALL {
        let line: &mut MasterLine = Arc::make_mut(form.lines.get_mut(name));
        for point in &mut line.points {
            (point.x, point.value) = (point.x * by, point.value * by);
        }
    }
    for section in &mut form.sections {
        let section: &mut ControlSection = Arc::make_mut(section);
        section.station *= by;
    }
    form
}

fn any_mount(scale: f64) -> impl Strategy<Value = Mount> {
    let place = (20.0..250.0_f64, -60.0..60.0_f64, -60.0..60.0_f64);
    let turns = (-30.0..30.0_f64, -30.0..30.0_f64, -30.0..30.0_f64);
    (place, turns, any::<bool>()).prop_map(move |((x, y, z), (roll_deg, pitch_deg, yaw_deg), mirrored)| {
        let place = [x * scale, y * scale, z * scale];
        Mount { place, roll_deg, pitch_deg, yaw_deg, mirrored }
    })
}
