//! The plan of the plug: made once for all that ask for it, and anew only when what it is made of has changed.

use desk::{Desk, PlanSource, Planned, Plans};
use project::airframe::{KeepOut, KeepOutPlace, Solid};
use project::build::{Build, MeasuredWidth};
use project::edit::Edit;
use std::sync::{Arc, Barrier};

fn stacked() -> Desk {
    let mut desk = Desk::new();
    let with = project::starter::blank_form(200.0, 70.0, 80.0, 60.0);
    desk.apply(&Edit::ReplaceForm { form: 0, with }).unwrap();
    let mut build = Build::default();
    build.stack.used = true;
    build.stack.boards = vec![30.0; 6];
    desk.apply(&Edit::SetBuild(build)).unwrap();
    desk
}

fn planned(desk: &Desk) -> Arc<Planned> {
    desk.plans().planned(&desk.plan_source().unwrap(), &mut |_| true).unwrap().unwrap()
}

#[test]
fn a_plan_is_the_planners_own() {
    let desk = stacked();
    let lofted = desk.skin(0).unwrap();
    let document = desk.document();
    let direct = plug::plan(lofted.skin.as_ref().unwrap(), &document.build, &document.airframe);
    let planned = planned(&desk);
    assert_eq!(planned.plan, direct);
    assert_eq!(planned.present, direct.bays);
    assert_eq!(planned.findings().len(), direct.findings.len());
    assert!(planned.findings().iter().all(|f| f.place.form == Some(0)));
}

#[test]
fn what_a_plan_does_not_read_leaves_it_as_it_is() {
    let mut desk = stacked();
    let first = planned(&desk);
    desk.apply(&Edit::SetName("Another".into())).unwrap();
    // The builder's own stations rest while the stack is used.
    desk.apply(&Edit::MoveStation { form: 0, station: 0, x: 7.0 }).unwrap_err();
    let place = KeepOutPlace::Free { front: [10.0, 0.0, 0.0], pitch_deg: 0.0, yaw_deg: 0.0 };
    let shape = Solid::Cylinder { diameter: 40.0, length: 50.0 };
    let keep_out = KeepOut { name: "Motor".into(), shape, place, clearance: 3.0 };
    desk.apply(&Edit::AddKeepOut(keep_out)).unwrap();
    assert!(desk.plans().known(&desk.plan_source().unwrap()).is_some_and(|known| Arc::ptr_eq(&known, &first)));
    let mut build = (*desk.document().build).clone();
    build.sanding.measured.push(MeasuredWidth { station: 100.0, height: 0.0, width: 130.0 });
    desk.apply(&Edit::SetBuild(build)).unwrap();
    assert!(desk.plans().known(&desk.plan_source().unwrap()).is_none());
    assert_eq!(planned(&desk).plan.gauges.deviations.len(), 1);
    // Back and forth between two steps nothing is planned anew.
    desk.undo();
    assert!(desk.plans().known(&desk.plan_source().unwrap()).is_some_and(|known| Arc::ptr_eq(&known, &first)));
}

/// Without a stack the stations of the form are what stands; with one they are the cards' own.
#[test]
fn without_a_stack_the_stations_count_and_no_finding_does() {
    let mut desk = stacked();
    let mut build = (*desk.document().build).clone();
    build.stack.used = false;
    desk.apply(&Edit::SetBuild(build)).unwrap();
    let stations = desk.document().forms[0].stations.clone();
    let before = planned(&desk);
    assert!(before.used().is_none() && before.findings().is_empty());
    assert_eq!(before.present.len(), stations.len() - 1);
    desk.apply(&Edit::MoveStation { form: 0, station: 1, x: stations[1] + 1.0 }).unwrap();
    assert_ne!(planned(&desk).present, before.present);
}

#[test]
fn whoever_asks_at_the_same_time_gets_the_same() {
    let desk = stacked();
    let (source, start) = (desk.plan_source().unwrap(), Barrier::new(3));
    let plans: Vec<Arc<Planned>> = std::thread::scope(|threads| {
        let ask = |plans: Plans| {
            let (source, start) = (&source, &start);
            threads.spawn(move || {
                start.wait();
                plans.planned(source, &mut |_| true).unwrap().unwrap()
            })
        };
        let asked: Vec<_> = (0..3).map(|_| ask(desk.plans().clone())).collect();
        asked.into_iter().map(|thread| thread.join().unwrap()).collect()
    });
    assert!(plans.windows(2).all(|w| Arc::ptr_eq(&w[0], &w[1])));
}

#[test]
fn a_plan_that_is_given_up_is_none_and_can_be_asked_for_again() {
    let desk = stacked();
    let source = desk.plan_source().unwrap();
    let mut told = Vec::new();
    let mut once = |share: f32| {
        told.push(share);
        told.len() < 2
    };
    assert!(desk.plans().planned(&source, &mut once).unwrap().is_none());
    assert_eq!(told[0], 0.0);
    assert!(desk.plans().known(&source).is_none());
    assert!(desk.plans().planned(&source, &mut |_| true).unwrap().is_some());
}

#[test]
fn a_form_without_a_surface_says_why_it_has_no_plan() {
    let desk = Desk::new();
    let source = PlanSource::of(desk.document(), &desk.skin(0).unwrap()).unwrap();
    let why = desk.plans().planned(&source, &mut |_| true).unwrap_err();
    assert!(why.to_string().contains("cannot be lofted yet"), "{why}");
    assert!(desk.plans().planned(&source, &mut |_| true).is_err(), "and again");
}
