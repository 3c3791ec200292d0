//! `picture`: each view is a picture of something, and not the same one.

use crate::folder::Folder;
use std::collections::BTreeSet;

#[test]
fn each_view_shows_something_of_its_own() {
    let folder = Folder::with_demo();
    let mut pictures = BTreeSet::new();
    let views = ["side", "face", "plan", "shaded", "body"];
    for view in views {
        folder.fine(&["picture", "demo", "--view", view, "--to", "out.png"]);
        let bytes = folder.read("out.png");
        let picture = image::load_from_memory(&bytes).unwrap().to_rgb8();
        assert!(picture.width() >= 400 && picture.height() >= 200, "{view}: {:?}", picture.dimensions());
        let colours: BTreeSet<[u8; 3]> = picture.pixels().map(|p| p.0).collect();
        assert!(colours.len() > 10, "{view} is blank");
        pictures.insert(bytes);
    }
    assert_eq!(pictures.len(), views.len());
}

#[test]
fn a_view_that_is_none_is_refused_with_those_there_are() {
    let folder = Folder::with_demo();
    let said = folder.refused(&["picture", "demo", "--view", "behind", "--to", "out.png"]);
    for view in ["side", "face", "plan", "shaded", "body"] {
        assert!(said.contains(view), "{said}");
    }
    folder.refused(&["picture", "demo", "--to", "out.png"]);
    folder.refused(&["picture", "demo", "--view", "side", "--to", "nowhere/out.png"]);
}
