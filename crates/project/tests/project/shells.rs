//! Random shells that keep every promise, what their edits answer, and that plugs follow a laminate that feeds them.

use std::sync::Arc;

use project::build::{Build, Coat};
use project::document::Document;
use project::edit::{Edit, Refused};
use project::history::History;
use project::laminate::*;
use project::mount::Mount;
use project::promise::{MAX_PATCHES, MAX_PLIES, check_document};
use project::shell::*;
use project::starter::{empty_form, new_document};
use proptest::collection::vec;
use proptest::option;
use proptest::prelude::*;

fn name() -> impl Strategy<Value = String> {
    "[a-zA-Z0-9 ;\"\\\\é]{0,10}n"
}

pub(crate) fn span(most: f64) -> impl Strategy<Value = Span> {
    let ends = [0.0..most, 0.0..most, 0.0..most].prop_map(|mut ends| {
        ends.sort_by(f64::total_cmp);
        Span { low: ends[0], likely: ends[1], high: ends[2] }
    });
    prop_oneof![ends, (0.0..most).prop_map(Span::exact)]
}

fn fabric() -> impl Strategy<Value = Fabric> {
    (name(), 5.0..600.0, 0.5..5.0, 5.0..85.0, 10.0..3000.0).prop_map(
        |(name, areal_weight, fibre_density, locking_deg, roll_width)| Fabric {
            name,
            areal_weight,
            fibre_density,
            locking_deg,
            roll_width,
        },
    )
}

fn extent() -> impl Strategy<Value = Extent> {
    let place = [-500.0..500.0, -300.0..300.0, -300.0..300.0];
    prop_oneof![
        Just(Extent::Whole),
        (-500.0..500.0, 0.01..100.0).prop_map(|(from, length)| Extent::Strip { from, to: from + length }),
        (vec(place, 0..4), [1.0..90.0, 1.0..90.0]).prop_map(|(places, size)| Extent::Patches { places, size }),
    ]
}

/// A test piece whose fibre takes up between a fifth and four fifths of it, give or take what leaves room.
fn coupon() -> impl Strategy<Value = (u32, f64, f64)> {
    (1..12u32, 0.2..0.8, prop_oneof![Just(0.0), 0.0..0.1])
}

fn ply() -> impl Strategy<Value = Ply> {
    (fabric(), -180.0..180.0, extent(), prop_oneof![Just(1.0), 1.0..1.6], option::of(coupon())).prop_map(
        |(fabric, warp_deg, extent, crowding, coupon)| {
            let coupon = coupon.map(|(plies, fraction, within)| {
                let thickness = f64::from(plies) * fabric.areal_weight / (1000.0 * fabric.fibre_density * fraction);
                Coupon { plies, thickness, within: within * thickness }
            });
            Ply { fabric, warp_deg, extent, crowding, coupon }
        },
    )
}

fn resin() -> impl Strategy<Value = Resin> {
    let hours = (1.0..600.0, 1.0..2000.0, 0.1..100.0, 0.0..1.0);
    (name(), 0.6..3.0, 1.0..200.0, hours).prop_map(
        |(name, density, hardener_per_100, (pot_life, largest_pot, laid_per_minute, waste))| Resin {
            name,
            density,
            hardener_per_100,
            pot_life,
            largest_pot,
            laid_per_minute,
            waste,
        },
    )
}

fn film() -> impl Strategy<Value = Film> {
    (span(2.0), span(400.0)).prop_map(|(thickness, areal_mass)| Film { thickness, areal_mass })
}

fn schedule() -> impl Strategy<Value = Schedule> {
    let films = (option::of(film()), option::of(film()), prop_oneof![Just(Span::default()), span(60.0)]);
    (vec(ply(), 0..5), prop::sample::select(LayUp::ALL.to_vec()), option::of(resin()), films).prop_map(
        |(plies, lay_up, resin, (filler, paint, soak))| Schedule {
            plies,
            lay_up,
            resin: resin.unwrap_or_default(),
            filler: filler.unwrap_or_default(),
            paint: paint.unwrap_or_default(),
            soak,
        },
    )
}

fn draping() -> impl Strategy<Value = Draping> {
    let start = option::of([-300.0..600.0, 0.0..1.0]);
    let edges = (0.0..200.0, 0.0..500.0, [0.0..80.0, 0.0..80.0]);
    (start, option::of(0.5..50.0), edges, [any::<bool>(), any::<bool>(), any::<bool>()]).prop_map(
        |(start, cell, (overlap, stagger, allowance), [closed_front, closed_rear, slits])| Draping {
            start,
            cell,
            allowance,
            closed_front,
            closed_rear,
            overlap,
            stagger,
            slits,
        },
    )
}

fn release() -> impl Strategy<Value = Release> {
    let way = option::of([0.01..1.0, -1.0..1.0, -1.0..1.0]);
    let across = (-500.0..2000.0).prop_map(Parting::Across);
    let parting = prop_oneof![Just(Parting::Whole), Just(Parting::BreadthLine), Just(Parting::CentrePlane), across];
    (way, 0.0..45.0, 0.0..10.0, parting).prop_map(|(way, draft_deg, spring, parting)| Release {
        way,
        draft_deg,
        spring,
        parting,
    })
}

fn weighed() -> impl Strategy<Value = Weighed> {
    let centre = [-500.0..2000.0, -300.0..300.0, -300.0..300.0];
    (name(), span(20_000.0), centre, prop_oneof![Just(0.0), 0.0..50.0])
        .prop_map(|(name, mass, centre, within)| Weighed { name, mass, centre, within })
}

fn weights() -> impl Strategy<Value = Weights> {
    let ballast = (name(), -500.0..2000.0, 0.0..300.0)
        .prop_map(|(name, from, length)| BallastPlace { name, stations: [from, from + length] });
    let ring = (span(5.0), 0.1..3.0, 0.0..0.99);
    let wanted = (option::of(0.0..900.0), 0.0..20.0, vec(ballast, 0..3));
    (option::of(weighed()), option::of(weighed()), vec(weighed(), 0..3), ring, wanted).prop_map(
        |(aircraft, replaces, parts, (screw, ring_density, ring_bore), (wanted, allowed, ballast))| Weights {
            aircraft,
            replaces,
            parts,
            screw,
            ring_density,
            ring_bore,
            wanted,
            allowed,
            ballast,
        },
    )
}

/// Each group is as it is by default half of the time, as the file leaves such groups out. The plug follows the laminate where it can.
pub(crate) fn shell() -> impl Strategy<Value = Shell> {
    let groups = (option::of(schedule()), option::of(draping()), option::of(release()), option::of(weights()));
    let air =
        (0.0..10.0, 0.0..10.0, 0.0..10.0).prop_map(|(least, from, more)| AirRatio { least, aim: [from, from + more] });
    (groups, option::of(air), any::<bool>()).prop_map(|((laminate, draping, release, weights), air, feeds)| {
        let laminate = laminate.unwrap_or_default();
        let feeds_coat = feeds && laminate.thickness().is_ok_and(|thickness| thickness.laminate.likely < 100.0);
        Shell {
            laminate,
            feeds_coat,
            draping: draping.unwrap_or_default(),
            release: release.unwrap_or_default(),
            weights: weights.unwrap_or_default(),
            air_ratio: air.unwrap_or_default(),
        }
    })
}

/// Edits that set a shell with a number in it that may be anything, and laminates that a plug might not follow.
pub(crate) fn edit(number: impl Fn() -> BoxedStrategy<f64>) -> impl Strategy<Value = Edit> {
    let spoilt = (shell(), number(), 0..16usize, any::<bool>()).prop_map(|(mut shell, number, which, feeds)| {
        spoil(&mut shell, which, number);
        shell.feeds_coat |= feeds;
        shell
    });
    prop_oneof![shell(), spoilt].prop_map(Edit::SetShell)
}

fn spoil(shell: &mut Shell, which: usize, number: f64) {
    let laminate = &mut shell.laminate;
    let ply = laminate.plies.first_mut();
    match (which, ply) {
        (0, Some(ply)) => ply.fabric.areal_weight = number,
        (1, Some(ply)) => ply.extent = Extent::Strip { from: 0.0, to: number },
        (2, Some(ply)) => ply.extent = Extent::Patches { places: vec![[0.0, number, 0.0]], size: [20.0, 20.0] },
        (3, Some(ply)) => ply.coupon = Some(Coupon { plies: 3, thickness: number, within: 0.1 }),
        (4, Some(ply)) => ply.coupon = Some(Coupon { plies: 3, thickness: 1.0, within: number }),
        (5, Some(ply)) => ply.warp_deg = number,
        (6, _) => laminate.resin.density = number,
        (7, _) => laminate.filler.thickness = Span { low: 0.0, likely: 0.0, high: number },
        (8, _) => laminate.paint.areal_mass = Span { low: number, likely: number, high: number },
        (9, _) => laminate.soak.high = number,
        (10, _) => shell.draping.start = Some([number, 0.5]),
        (11, _) => shell.draping.cell = Some(number),
        (12, _) => shell.release.way = Some([number, 0.0, 0.0]),
        (13, _) => shell.weights.screw = Span { low: 0.0, likely: number, high: number },
        (14, _) => shell.weights.wanted = Some(number),
        _ => shell.air_ratio.aim[0] = number,
    }
}

/// Plain weave of 200 g/m² and 1.78 g/cm³ at a fibre volume fraction of 0.33, twice, and 0.1 and 0.07 mm over it:
/// 2 x 200 / (1000 x 1.78 x 0.33) = 0.68096 mm.
fn two_plies() -> Schedule {
    let fabric = Fabric { areal_weight: 200.0, fibre_density: 1.78, ..Fabric::usual() };
    let plies = vec![Ply::whole(fabric.clone(), 0.0), Ply::whole(fabric, 45.0)];
    Schedule { plies, filler: Film::usual_filler(), paint: Film::usual_paint(), ..Schedule::default() }
}

fn feeding() -> Shell {
    Shell { laminate: two_plies(), feeds_coat: true, ..Shell::default() }
}

/// That shell with one thing changed, refused.
fn refused(change: impl FnOnce(&mut Shell)) -> Refused {
    let mut shell = feeding();
    change(&mut shell);
    let refused = Edit::SetShell(shell).apply(&new_document("Test")).unwrap_err();
    assert!(!refused.reason.is_empty() && !refused.hint.is_empty());
    refused
}

#[test]
fn the_shell_is_set_as_a_whole_and_the_coat_follows() {
    let before = new_document("Test");
    let set = Edit::SetShell(feeding()).apply(&before).unwrap();
    assert_eq!(*set.shell, feeding());
    assert!((set.build.coat.laminate - 0.680_96).abs() < 1e-5, "{:?}", set.build.coat);
    assert_eq!((set.build.coat.filler, set.build.coat.paint), (0.10, 0.07));
    let by_hand = Edit::SetShell(Shell { feeds_coat: false, ..feeding() }).apply(&before).unwrap();
    assert_eq!(by_hand.build, before.build);
}

/// A first form and a blister with a build of its own, fed by two plies.
fn fed() -> Document {
    let own = Build { coat: Coat { laminate: 9.0, filler: 9.0, paint: 9.0 }, ..Build::default() };
    let edits = vec![
        Edit::SetShell(feeding()),
        Edit::AddForm(empty_form("Blister")),
        Edit::SetMount { form: 1, mount: Some(Mount::default()) },
        Edit::SetFormBuild { form: 1, build: Some(own) },
    ];
    Edit::Together { label: "Begin".into(), edits }.apply(&new_document("Test")).unwrap()
}

fn coats(document: &Document) -> Vec<Coat> {
    let own = document.forms.iter().filter_map(|form| form.build.as_ref()).map(|build| build.coat);
    own.chain([document.build.coat]).collect()
}

#[test]
fn every_plug_follows_the_laminate_after_every_edit() {
    let follows = feeding().coat().unwrap();
    let document = fed();
    assert_eq!(coats(&document), [follows; 2]);
    let by_hand = Build { coat: Coat { laminate: 0.5, filler: 0.0, paint: 0.0 }, ..Build::default() };
    let mut with_own = empty_form("Chin");
    with_own.build = Some(Arc::new(by_hand.clone()));
    let edits = [
        Edit::SetBuild(by_hand.clone()),
        Edit::SetFormBuild { form: 1, build: Some(by_hand.clone()) },
        Edit::AddForm(with_own.clone()),
        Edit::ReplaceForm { form: 1, with: with_own },
        Edit::RemoveForm { form: 0 },
        Edit::SetName("Other".into()),
        Edit::Together { label: "Both".into(), edits: vec![Edit::SetBuild(by_hand), Edit::SetModelScale(3.0)] },
    ];
    for edit in edits {
        let next = edit.apply(&document).unwrap();
        assert!(coats(&next).iter().all(|coat| *coat == follows), "{edit:?}");
        assert_eq!(check_document(&next), Ok(()));
    }
    let mut thicker = feeding();
    thicker.laminate.plies.push(thicker.laminate.plies[0].clone());
    let thicker = Edit::SetShell(thicker).apply(&document).unwrap();
    assert!(coats(&thicker).iter().all(|coat| (coat.laminate - 1.5 * follows.laminate).abs() < 1e-12));
}

/// Where the laminate feeds it no longer, the last thickness stays and may be set by hand.
#[test]
fn a_coat_that_is_let_go_stays_until_it_is_set() {
    let free = Edit::SetShell(Shell { feeds_coat: false, ..feeding() }).apply(&fed()).unwrap();
    assert_eq!(coats(&free), coats(&fed()));
    let by_hand = Build { coat: Coat { laminate: 0.5, filler: 0.0, paint: 0.0 }, ..Build::default() };
    assert_eq!(*Edit::SetBuild(by_hand.clone()).apply(&free).unwrap().build, by_hand);
}

#[test]
fn undo_brings_the_coat_of_that_laminate_back() {
    let mut history = History::new(new_document("Test"));
    let by_hand = history.document().build.coat;
    let edit = Edit::SetShell(feeding());
    let next = edit.apply(history.document()).unwrap();
    history.push(edit.label(), Arc::new(next));
    assert!(history.undo());
    assert_eq!(history.document().build.coat, by_hand);
    assert!(history.redo());
    assert_eq!(history.document().build.coat, feeding().coat().unwrap());
}

#[test]
fn a_plug_cannot_follow_a_laminate_without_a_whole_ply() {
    let none = refused(|shell| shell.laminate.plies.clear());
    assert!(none.reason.contains("No ply covers the whole shell.") && none.hint.contains("by hand"), "{none}");
    refused(|shell| shell.laminate.plies.iter_mut().for_each(|p| p.extent = Extent::Strip { from: 0.0, to: 9.0 }));
    let thick = refused(|shell| {
        let heavy = Fabric { areal_weight: 2000.0, fibre_density: 0.5, ..Fabric::usual() };
        shell.laminate.plies = vec![Ply::whole(heavy, 0.0); 20];
    });
    assert!(thick.reason.contains("laminate") && thick.hint.contains("0 to 100"), "{thick}");
    let unfed = Shell { feeds_coat: false, ..Shell::default() };
    assert!(Edit::SetShell(unfed).apply(&new_document("Test")).is_ok());
}

#[test]
fn a_refused_laminate_says_what_and_how_much() {
    let of = |change: fn(&mut Schedule)| refused(|shell| change(&mut shell.laminate));
    let light = of(|l| l.plies[1].fabric.areal_weight = 1.0);
    assert!(
        light.reason.starts_with("Ply 2: its areal weight") && light.hint == "Correct it in the ply table.",
        "{light}"
    );
    assert!(of(|l| l.plies = vec![l.plies[0].clone(); MAX_PLIES + 1]).hint.contains("50"));
    assert!(of(|l| l.plies[0].fabric.name.clear()).reason.contains("cloth"));
    assert!(of(|l| l.plies[0].crowding = f64::NAN).reason.contains("NaN"));
    assert!(of(|l| l.plies[0].extent = Extent::Strip { from: 5.0, to: 5.0 }).hint.contains("foremost station first"));
    assert!(of(|l| l.plies[0].extent = Extent::Strip { from: 5.0, to: 1e300 }).reason.contains("strip"));
    let patches = |places: usize| Extent::Patches { places: vec![[0.0; 3]; places], size: [20.0, 20.0] };
    assert!(refused(|s| s.laminate.plies[0].extent = patches(MAX_PATCHES + 1)).hint.contains("500"));
    let coupon = |plies, thickness, within| {
        refused(|shell| shell.laminate.plies[0].coupon = Some(Coupon { plies, thickness, within }))
    };
    assert!(coupon(8, 0.5, 0.0).reason.contains("no room for resin"));
    assert!(coupon(3, 1.0, 2.0).reason.contains("no thickness"));
    assert!(coupon(3, 1.0, f64::NAN).reason.contains("either way"));
    assert!(coupon(3, 1e300, 0.0).reason.contains("mm thick"));
    assert!(coupon(0, 1.0, 0.0).reason.contains("plies in a test piece"));
    assert!(of(|l| l.resin.name = "two\nlines".into()).reason.contains("resin"));
    assert!(of(|l| l.resin.hardener_per_100 = 0.0).hint.contains("maker's sheet"));
    assert!(of(|l| l.filler.thickness.high = 0.01).reason.starts_with("Filler: "));
    assert!(of(|l| l.paint.areal_mass.high = 1e300).reason.contains("0 to 100000"));
    assert!(of(|l| l.soak = Span::exact(f64::NAN)).reason.contains("soaked"));
}

#[test]
fn other_parts_of_a_refused_shell_are_named() {
    assert!(refused(|s| s.draping.cell = Some(0.1)).reason.contains("cell"));
    assert!(refused(|s| s.draping.start = Some([0.0, 1.5])).reason.contains("turn"));
    assert!(refused(|s| s.release.way = Some([0.0; 3])).reason.contains("no direction"));
    assert!(refused(|s| s.release.draft_deg = 60.0).reason.contains("draft"));
    let of = |change: fn(&mut Weights)| refused(|shell| change(&mut shell.weights));
    let part = |mass| Weighed { name: "Old cowl".into(), mass, centre: [0.0; 3], within: 0.0 };
    let heavy = refused(|s| s.weights.replaces = Some(part(Span::exact(1e7))));
    assert!(heavy.reason.contains("Old cowl"), "{heavy}");
    let mixed = refused(|s| s.weights.aircraft = Some(part(Span { low: 3.0, likely: 2.0, high: 1.0 })));
    assert!(mixed.reason.contains("no range"), "{mixed}");
    assert!(of(|w| w.ring_bore = 1.0).reason.contains("ring"));
    assert!(
        of(|w| w.ballast = vec![BallastPlace { name: "Nose".into(), stations: [5.0, 4.0] }]).hint.contains("first")
    );
    assert!(refused(|s| s.air_ratio.aim = [3.0, 2.0]).hint.contains("smaller one first"));
}

/// The hint is what stands behind the last semicolon, whatever the builder's own names hold.
#[test]
fn what_is_wrong_and_what_to_do_are_two_sentences() {
    let named = refused(|s| {
        s.laminate.resin.name = "Fast; cold".into();
        s.laminate.resin.density = 9.0;
    });
    assert!(named.reason.starts_with("Resin \"Fast; cold\": density"), "{named}");
    assert_eq!(named.hint, "See the maker's sheet.");
}
