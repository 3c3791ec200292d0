//! Hostile input that was found by coverage and is kept: none of it makes any door of the program fall over.
#![allow(clippy::unwrap_used, clippy::expect_used)] // tests may stop at the first surprise

mod hostile;

use std::fs;
use std::path::Path;

/// Every kept file of one kind; how many there are, and how many of them are taken.
fn kept(kind: &str, taken: fn(&[u8]) -> bool) -> [usize; 2] {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../fuzz/kept").join(kind);
    let files = fs::read_dir(folder).unwrap().map(|entry| fs::read(entry.unwrap().path()).unwrap());
    files.fold([0, 0], |[all, good], bytes| [all + 1, good + usize::from(taken(&bytes))])
}

/// The corpus is not all refused at the first byte: some of it is taken, and most is not.
fn mixed([all, good]: [usize; 2]) {
    assert!(all >= 50 && good > 0 && good < all, "{good} of {all}");
}

#[test]
fn tables() {
    mixed(kept("offsets", hostile::offsets));
}

#[test]
fn pictures() {
    mixed(kept("picture", hostile::picture));
}

#[test]
fn projects() {
    mixed(kept("project", hostile::project));
}
