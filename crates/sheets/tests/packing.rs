//! Packing against counts reached by an independent nesting script, and laws over random parts.
mod common;

use sheets::{PageSetup, lay_out};

#[test]
fn twelve_formers_take_five_pages_and_none_is_split() {
    let parts = common::ovals(&common::twelve(), 2.6);
    let l = lay_out(&parts, &PageSetup::default(), &mut |_| true).unwrap();
    println!("{:?}", l.count);
    assert_eq!(l.count.pages, 5);
    assert!(l.placements.iter().all(|p| p.tile.is_none()));
}

#[test]
fn twenty_five_larger_formers_take_no_more_than_thirty_three_pages() {
    let parts = common::ovals(&common::twenty_five(), 2.6);
    let t = std::time::Instant::now();
    let l = lay_out(&parts, &PageSetup::default(), &mut |_| true).unwrap();
    println!("{:?} {:?} {} tiles", l.count, t.elapsed(), l.placements.len());
    assert!(l.count.pages <= 33);
    assert_eq!(l.count.naive_row_by_row, 48);
}
