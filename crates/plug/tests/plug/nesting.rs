//! Cutting plans: counts against another packer's, and laws over random rectangles.

use plug::{Nesting, Piece, Stock, nest};
use proptest::prelude::*;

/// Boxes of 12 and of 25 formers of a lofted nose (breadth and height, mm), worked out by an independent script. Their blocks,
/// 4 mm larger on each side, were packed there by MaxRects (Python's rectpack); the counts are those it found.
const TWELVE: [[f64; 2]; 12] = [
    [140.0, 110.0],
    [139.7963, 109.8238],
    [139.184, 109.2918],
    [138.1509, 108.3865],
    [136.6507, 107.0617],
    [134.5622, 105.229],
    [131.634, 102.7433],
    [127.4125, 99.3887],
    [121.1541, 94.8644],
    [111.7215, 88.7705],
    [97.4639, 80.5937],
    [76.0812, 69.6936],
];
const TWENTY_FIVE: [[f64; 2]; 25] = [
    [300.0, 235.7143],
    [299.9049, 235.6321],
    [299.6198, 235.3854],
    [299.1443, 234.9733],
    [298.4773, 234.3937],
    [297.6163, 233.6424],
    [296.5557, 232.7124],
    [295.2853, 231.5936],
    [293.7888, 230.2716],
    [292.041, 228.7276],
    [290.0053, 226.9371],
    [287.6309, 224.8698],
    [284.8491, 222.4886],
    [281.5698, 219.749],
    [277.6775, 216.5985],
    [273.0268, 212.9758],
    [267.4374, 208.8102],
    [260.6894, 204.0211],
    [252.5176, 198.5169],
    [242.6056, 192.1947],
    [230.5798, 184.9396],
    [216.0027, 176.6239],
    [198.3662, 167.1063],
    [177.084, 156.2316],
    [151.4844, 143.8299],
];

fn board() -> Stock {
    Stock { size: [1250.0, 600.0], edge: 10.0, kerf: 4.0 }
}

fn blocks(formers: &[[f64; 2]], halved: bool) -> Vec<Piece> {
    let whole = |f: &[f64; 2]| vec![Piece { size: f.map(|s| s + 8.0) }];
    let halves = |f: &[f64; 2]| vec![Piece { size: [0.5 * f[0] + 4.0, f[1] + 8.0] }; 2];
    formers.iter().flat_map(|f| if halved { halves(f) } else { whole(f) }).collect()
}

#[test]
fn as_few_boards_as_another_packer_needed() {
    for (formers, halved, boards) in
        [(&TWELVE[..], false, 1), (&TWELVE[..], true, 1), (&TWENTY_FIVE[..], false, 3), (&TWENTY_FIVE[..], true, 3)]
    {
        let nesting = nest(&blocks(formers, halved), &board());
        assert_eq!(nesting.boards, boards, "{} formers, halved: {halved}", formers.len());
        assert!(nesting.area_bound <= nesting.boards && nesting.too_large.is_empty());
    }
}

#[test]
fn what_is_larger_than_a_board_is_told_and_the_rest_is_nested() {
    let nesting = nest(&[Piece { size: [1240.0, 100.0] }, Piece { size: [500.0, 1000.0] }], &board());
    assert_eq!((nesting.too_large, nesting.placed.len(), nesting.boards), (vec![0], 1, 1));
    assert_eq!(nest(&[], &board()).boards, 0);
}

/// Corners of a piece as it lies.
fn corners(nesting: &Nesting, i: usize) -> ([f64; 2], [f64; 2]) {
    let p = &nesting.placed[i];
    (p.at, [p.at[0] + p.size[0], p.at[1] + p.size[1]])
}

proptest! {
    #[test]
    fn pieces_never_overlap_never_leave_the_board_and_cuts_never_cross_them(
        sizes in prop::collection::vec((10.0..400.0_f64, 10.0..400.0_f64), 1..40),
        edge in 0.0..15.0_f64,
        kerf in 0.0..6.0_f64,
    ) {
        let pieces: Vec<Piece> = sizes.iter().map(|s| Piece { size: [s.0, s.1] }).collect();
        let stock = Stock { edge, kerf, ..board() };
        let nesting = nest(&pieces, &stock);
        prop_assert_eq!(nesting.placed.len(), pieces.len());
        prop_assert!(nesting.area_bound <= nesting.boards);
        prop_assert!((0.0..1.0).contains(&nesting.waste));
        for i in 0..pieces.len() {
            let (low, high) = corners(&nesting, i);
            prop_assert!((0..2).all(|k| low[k] >= edge - 1e-9 && high[k] <= stock.size[k] - edge + 1e-9));
            let placed = &nesting.placed[i];
            let [a, b] = pieces[placed.piece].size;
            prop_assert!(placed.size == [a, b] || placed.size == [b, a]);
            for j in 0..i {
                let (l, h) = corners(&nesting, j);
                let apart = (0..2).any(|k| low[k] >= h[k] + kerf - 1e-9 || l[k] >= high[k] + kerf - 1e-9);
                prop_assert!(apart || placed.board != nesting.placed[j].board, "{i} and {j} overlap");
            }
            for cut in nesting.cuts.iter().filter(|c| c.board == placed.board) {
                let across = usize::from(cut.from[0] != cut.to[0]);
                let beside = cut.from[across] <= low[across] - 0.5 * kerf + 1e-9
                    || cut.from[across] >= high[across] + 0.5 * kerf - 1e-9;
                let along = 1 - across;
                let (from, to) = (cut.from[along], cut.to[along]);
                prop_assert!(beside || to <= low[along] + 1e-9 || from >= high[along] - 1e-9, "{cut:?} crosses {placed:?}");
            }
        }
    }
}
