//! Random builds that keep every promise, and what the edit of one answers.

use project::build::*;
use project::edit::{Edit, Refused};
use project::starter::new_document;
use proptest::collection::vec;
use proptest::option;
use proptest::prelude::*;

fn stack() -> impl Strategy<Value = Stack> {
    let closing = prop_oneof![Just(Closing::LastBoard), Just(Closing::MoveDatum), Just(Closing::Spread)];
    let boards = (vec(0.1..60.0, 0..6), 0.0..4.0, 0.0..0.5);
    let ends = (any::<bool>(), 0.0..40.0, 0.0..6.0, closing, 0.001..2.0);
    (any::<bool>(), boards, ends).prop_map(
        |(used, (boards, card, glue), (foam_front, nose_foam, ring_plate, closing, allowed_sagitta))| Stack {
            used,
            boards,
            card,
            glue,
            foam_front,
            nose_foam,
            ring_plate,
            closing,
            allowed_sagitta,
        },
    )
}

fn formers() -> impl Strategy<Value = Formers> {
    let outline = prop_oneof![Just(PrintedOutline::Smaller), Just(PrintedOutline::Front), Just(PrintedOutline::Rear)];
    let card = (0.0..2.0, outline, 0.0..1.0, 0.0..2.0, any::<bool>(), 0.0..20.0);
    let holes = (vec([0.0..80.0, -80.0..80.0], 0..3), 0.0..12.0, 0.0..30.0);
    (card, option::of(-80.0..80.0), 0.0..90.0, 0.0..60.0, holes).prop_map(
        |(card, breadth_template, bevel_from_deg, shaft_hole, (dowels, dowel_diameter, lightening_web))| {
            let (inset, outline, slot_clearance, end_clearance, centre_opens_up, least_web) = card;
            Formers {
                inset,
                outline,
                slot_clearance,
                end_clearance,
                centre_opens_up,
                least_web,
                breadth_template,
                bevel_from_deg,
                shaft_hole,
                dowels,
                dowel_diameter,
                lightening_web,
            }
        },
    )
}

fn foam() -> impl Strategy<Value = Foam> {
    let sides = || [100.0..2000.0, 100.0..2000.0];
    (0.0..20.0, sides(), 0.0..6.0, 0.0..49.0, 10.0..200.0, 100.0..3000.0, sides()).prop_map(
        |(allowance, board, kerf, edge, density, card_weight, card_sheet)| Foam {
            allowance,
            board,
            kerf,
            edge,
            density,
            card_weight,
            card_sheet,
        },
    )
}

fn sanding() -> impl Strategy<Value = Sanding> {
    let width = (-500.0..500.0, -100.0..100.0, 0.0..300.0).prop_map(|(station, height, width)| MeasuredWidth {
        station,
        height,
        width,
    });
    (crate::documents::rising(0..4), any::<bool>(), 0.0..40.0, vec(width, 0..3))
        .prop_map(|(stations, lines, land, measured)| Sanding { stations, lines, land, measured })
}

/// Each group is as it is by default half of the time, as the file leaves such groups out.
pub(crate) fn build() -> impl Strategy<Value = Build> {
    let process = prop_oneof![Just(Process::OverPlug), Just(Process::FemaleMould)];
    let coat = (0.0..3.0, 0.0..1.0, 0.0..0.5).prop_map(|(laminate, filler, paint)| Coat { laminate, filler, paint });
    (process, option::of(coat), option::of(stack()), option::of(formers()), option::of(foam()), option::of(sanding()))
        .prop_map(|(process, coat, stack, formers, foam, sanding)| {
            let plain = Build::default();
            Build {
                process,
                coat: coat.unwrap_or(plain.coat),
                stack: stack.unwrap_or(plain.stack),
                formers: formers.unwrap_or(plain.formers),
                foam: foam.unwrap_or(plain.foam),
                sanding: sanding.unwrap_or(plain.sanding),
            }
        })
}

/// The default build with one thing changed, refused.
fn refused(change: impl FnOnce(&mut Build)) -> Refused {
    let mut build = Build::default();
    change(&mut build);
    Edit::SetBuild(build).apply(&new_document("Test")).unwrap_err()
}

#[test]
fn the_build_is_set_as_a_whole() {
    let mut build = Build { process: Process::FemaleMould, ..Build::default() };
    build.stack.boards = vec![29.6, 30.2];
    let set = Edit::SetBuild(build.clone()).apply(&new_document("Test")).unwrap();
    assert_eq!(*set.build, build);
    assert_eq!(*new_document("Test").build, Build::default());
}

#[test]
fn stations_of_outside_templates_come_in_order_each_once() {
    let mut build = Build::default();
    build.sanding.stations = vec![120.0, 30.0, 120.0];
    let set = Edit::SetBuild(build).apply(&new_document("Test")).unwrap();
    assert_eq!(set.build.sanding.stations, [30.0, 120.0]);
}

#[test]
fn a_refused_build_says_what_and_how_much() {
    let thick = refused(|build| build.coat.laminate = 100.1);
    assert!(thick.reason.contains("laminate") && thick.hint.contains("0 to 100"), "{thick}");
    assert!(refused(|build| build.stack.card = f64::INFINITY).reason.contains("card"));
    assert!(refused(|build| build.stack.boards = vec![30.0, 0.0]).reason.contains("thickness of a board"));
    assert!(refused(|build| build.stack.boards = vec![30.0; 501]).hint.contains("500"));
    assert!(refused(|build| build.stack.allowed_sagitta = 0.0).reason.contains("sagitta"));
    assert!(refused(|build| build.formers.dowels = vec![[-5.0, 0.0]]).reason.contains("dowels"));
    assert!(refused(|build| build.formers.bevel_from_deg = f64::NAN).reason.contains("bevel"));
    assert!(refused(|build| build.foam.edge = 300.0).hint.contains("300 mm"));
    assert!(refused(|build| build.sanding.stations = vec![f64::NAN]).reason.contains("station"));
    let measured = MeasuredWidth { station: 30.0, height: 0.0, width: -1.0 };
    assert!(refused(|build| build.sanding.measured = vec![measured]).reason.contains("measured width"));
}
