use super::trials::bad_in;
use super::*;
use crate::drape::{Cover, Outside};
use plugwright_tests::forms::{Bounds, any_form};
use proptest::strategy::{Strategy, ValueTree};
use proptest::test_runner::{Config, RngSeed, TestRunner};

/// On forms that swing from point to point: never more slits than one after the other, nor fewer than quarters lock, never a worse
/// cloth, and some are shown to be the fewest.
#[test]
#[allow(clippy::unwrap_used)] // a test may stop at the first surprise
fn sets_of_fewer_are_never_more_than_one_by_one() {
    let (mut slit, mut shown) = (0, 0);
    for seed in 0..12 {
        let mut runner = TestRunner::new(Config { rng_seed: RngSeed::Fixed(seed), ..Config::default() });
        let form = any_form(&Bounds::drawn()).new_tree(&mut runner).unwrap().current();
        let skin = form::loft(&form).skin.unwrap();
        let outside = Outside::new(skin.loft(), 0.0, &Cover::default()).unwrap();
        let at = outside.natural_start();
        let outside = outside.clone().with_seam(outside.seam_opposite(at, 15.0));
        let net = Net::drape(&outside, &outside.start(at, 0.0), 6.0).unwrap();
        let (cloth, area) = (Cloth { locking_deg: 32.0, width: 1000.0 }, outside.part_area());
        let mut greedy = Mended::uncut(net.clone(), &cloth);
        let search = Search { surface: &outside, with: (&cloth, 15.0) };
        for way in WAYS {
            let chain = search.one_by_one(&greedy.pieces[0], way, MOST, &mut || true).unwrap();
            greedy.take(way, &chain, 15.0);
        }
        greedy.judge(&cloth, area);
        let mended = mend(&outside, &net, (&cloth, area), 15.0, &mut |_| true).unwrap();
        slit += greedy.cuts.len();
        if mended.fewest && !mended.cuts.is_empty() {
            shown += 1;
        }
        // Every quarter that locks needs one.
        let locks = |way: &Number| !bad_in(&Mended::uncut(net.clone(), &cloth).pieces[0], *way, &cloth).0.is_empty();
        assert!(mended.cuts.len() >= WAYS.iter().filter(|way| locks(way)).count(), "{seed}");
        assert!(
            mended.judgement.bad() <= greedy.judgement.bad() + 1e-6,
            "{seed}: {:?} after {:?}",
            mended.judgement,
            greedy.judgement
        );
        if greedy.judgement.one_piece() {
            assert!(mended.judgement.one_piece() && mended.cuts.len() <= greedy.cuts.len(), "{seed}");
            // Gores close what lies open between edges.
            let closed = mended.judgement.covered + mended.cuts.iter().map(|cut| cut.gore).sum::<f64>();
            assert!(closed > 0.985 * area, "{seed}: {closed} of {area}");
        }
    }
    assert!(shown > 2 && slit > 20, "{shown} shown to be the fewest, {slit} slits");
}
