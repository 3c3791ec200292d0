//! What the demos show of the shell: one piece of cloth goes over the cowl, and does not go over the bowl until it is slit.

#![allow(clippy::unwrap_used, reason = "the lint knows test functions, not what they call")]

use form::PlugSurface;
use plugwright_demo_pictures::airframe::skin_of;
use plugwright_demo_pictures::{bowl, ostrel};
use project::document::Document;
use project::laminate::{Extent, Ply};
use project::promise::check_document;
use shell::cloth::{Cloth, judge, mend, search};
use shell::drape::{Cover, End, Net, Outside};

/// The outside of a demo's first form, its plug, as far as its cloth goes; with the seam opposite the start.
fn outside(document: &Document) -> Outside {
    let skin = skin_of(&document.forms[0]).unwrap();
    let off = PlugSurface::of(&skin, &document.build).taken_off();
    let draping = document.shell.draping;
    let end = |closed: bool, allowance: f64| if closed { End::Closed } else { End::Open(allowance) };
    let front = end(draping.closed_front, draping.allowance[0]);
    let cover = Cover { front, rear: end(draping.closed_rear, draping.allowance[1]), trim: None };
    let outside = Outside::new(skin.loft(), off, &cover).unwrap();
    let [x, turn] = draping.start.unwrap();
    let at = outside.at_station(x, turn).unwrap();
    let seam = outside.seam_opposite(at, draping.overlap);
    outside.with_seam(seam)
}

fn whole_plies(document: &Document) -> impl Iterator<Item = &Ply> {
    document.shell.laminate.plies.iter().filter(|ply| ply.extent == Extent::Whole)
}

fn net(document: &Document, outside: &Outside, ply: &Ply) -> (Net, Cloth) {
    let [x, turn] = document.shell.draping.start.unwrap();
    let at = outside.at_station(x, turn).unwrap();
    let net = Net::drape(outside, &outside.start(at, ply.warp_deg), document.shell.draping.cell.unwrap()).unwrap();
    (net, Cloth { locking_deg: ply.fabric.locking_deg, width: ply.fabric.roll_width })
}

#[test]
fn the_demos_keep_their_promises_and_have_no_findings() {
    for document in [ostrel::document(), bowl::document()] {
        assert_eq!(check_document(&document), Ok(()));
        assert_eq!(form::check_anew(&document), []);
    }
}

/// By the test pieces alone: a ply is as thick as its share of the piece, more where cloth crowds.
#[test]
fn the_plug_is_smaller_by_what_the_test_pieces_measured() {
    let document = ostrel::document();
    let pieces: f64 = whole_plies(&document)
        .map(|ply| {
            let coupon = ply.coupon.unwrap();
            ply.crowding * coupon.thickness / f64::from(coupon.plies)
        })
        .sum();
    assert!((document.build.coat.laminate - pieces).abs() < 1e-12);
    assert!((pieces - 0.4989).abs() < 1e-4 && document.build.coat.total() < 0.8, "{pieces}");
    assert_eq!(document.forms[1].build.as_ref().unwrap().coat, document.build.coat);
}

#[test]
fn one_piece_goes_over_the_cowl() {
    let document = ostrel::document();
    let outside = outside(&document);
    for ply in whole_plies(&document) {
        let (net, cloth) = net(&document, &outside, ply);
        let judgement = judge(&net, &cloth, outside.part_area());
        assert!(judgement.one_piece(), "{judgement:?}");
        assert!(judgement.greatest_deg.abs() < cloth.locking_deg && net.worst_link() < 1e-9);
        // Cloth laid on an area, as the laminate says.
        let laid: f64 = net.cells().filter(shell::drape::Cell::counts).map(|_| net.cell().powi(2)).sum();
        let crowding = laid / judgement.covered;
        assert!((crowding - ply.crowding).abs() < 0.005, "{crowding}");
    }
}

/// Over half a sphere a net shears by 52.425 degrees; the bowl is deeper than that.
#[test]
fn one_piece_does_not_go_over_the_bowl_and_slits_mend_it() {
    let document = bowl::document();
    let outside = outside(&document);
    let draping = document.shell.draping;
    // On the bias one slit in each quarter; along the body none above and three on either side below.
    for (ply, slits) in whole_plies(&document).zip([4, 6]) {
        let (net, cloth) = net(&document, &outside, ply);
        let judgement = judge(&net, &cloth, outside.part_area());
        assert!(!judgement.one_piece() && judgement.greatest_deg.abs() > 52.0, "{judgement:?}");
        let mended = mend(&outside, &net, (&cloth, outside.part_area()), draping.overlap, &mut |_| true).unwrap();
        assert_eq!(mended.cuts.len(), slits);
        assert!(mended.judgement.one_piece() && mended.judgement.greatest_deg.abs() < cloth.locking_deg);
    }
    let (_, cloth) = net(&document, &outside, whole_plies(&document).next().unwrap());
    let found = search(&outside, &cloth, draping.cell.unwrap(), draping.overlap, &mut |_| true).unwrap();
    assert!(!found.is_empty() && found.iter().all(|way| !way.judgement.one_piece()));
}
