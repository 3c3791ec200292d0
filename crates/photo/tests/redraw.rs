//! Pictures drawn anew, against what they show.

#![allow(clippy::unwrap_used, reason = "the lint knows test functions, not what they call")]

use photo::rectification::{rectangle, rectify};
use photo::redraw::RedrawError;
use photo::{Camera, Lens, Photo};

/// A picture whose colours are given at the middle of each pixel.
fn painted(width: u32, height: u32, colour: impl Fn([f64; 2]) -> [u8; 3]) -> Photo {
    let mut rgba = Vec::new();
    for y in 0..height {
        for x in 0..width {
            let [r, g, b] = colour([f64::from(x) + 0.5, f64::from(y) + 0.5]);
            rgba.extend([r, g, b, 255]);
        }
    }
    Photo { width, height, rgba }
}

fn at(photo: &Photo, x: u32, y: u32) -> [u8; 4] {
    let i = 4 * (y * photo.width + x) as usize;
    [0, 1, 2, 3].map(|k| photo.rgba[i + k])
}

#[test]
fn the_same_place_gives_the_same_picture() {
    let photo = painted(7, 5, |[x, y]| [(x * 30.0) as u8, (y * 40.0) as u8, 9]);
    assert_eq!(photo.redrawn([7, 5], Some).unwrap(), photo);
    assert_eq!(photo.straightened(&Lens::NONE, [3.5, 2.5], 9.0, [7, 5]).unwrap(), photo);
    // Half a pixel on, the mean of neighbours; outside, clear.
    let moved = photo.redrawn([7, 5], |[x, y]| Some([x + 0.5, y])).unwrap();
    assert_eq!(
        at(&moved, 2, 2)[0],
        (u16::from(at(&photo, 2, 2)[0]) + u16::from(at(&photo, 3, 2)[0])).div_ceil(2) as u8
    );
    let outside = photo.redrawn([7, 5], |[x, y]| Some([x + 7.0, y])).unwrap();
    assert!(outside.rgba.iter().all(|c| *c == 0));
}

/// A chequered wall seen aslant becomes square: every field has its colour where the wall has it, in a full and in a reduced
/// picture.
#[test]
fn a_wall_seen_aslant_becomes_square() {
    let camera = Camera::look_at([900.0, -1100.0, 500.0], [150.0, 0.0, -100.0], 900.0, [400.0, 300.0]).unwrap();
    let shown = |[x, y]: [f64; 2]| camera.project([x, 0.0, -y]).unwrap();
    let corners = [[0.0, 0.0], [300.0, 0.0], [300.0, 200.0], [0.0, 200.0]].map(shown);
    let plane = rectify(&rectangle(300.0, 200.0, corners).unwrap(), 0.5).unwrap();
    let field = |[x, y]: [f64; 2]| (x / 50.0).floor() as i64 + (y / 50.0).floor() as i64;
    let wall = |pixel: [f64; 2]| {
        let on = plane.read(pixel).unwrap_or([-25.0, -25.0]);
        if field(on).rem_euclid(2) == 0 { [230, 230, 20] } else { [10, 10, 90] }
    };
    let photo = painted(800, 600, wall);
    for photo in [photo.clone(), photo.reduced(400)] {
        let square = photo.rectified(&plane, [800, 600], [[0.0, 0.0], [300.0, 200.0]], 2.0).unwrap();
        assert_eq!([square.width, square.height], [150, 100]);
        for (column, row) in (0..6).flat_map(|c| (0..4).map(move |r| (c, r))) {
            let colour = at(&square, 12 + 25 * column, 12 + 25 * row);
            let known = if (column + row) % 2 == 0 { [230, 230, 20, 255] } else { [10, 10, 90, 255] };
            assert_eq!(colour, known, "{column} {row}");
        }
    }
}

#[test]
fn a_bent_line_becomes_straight() {
    let (lens, centre, focal) = (Lens::radial(-0.2, 0.0), [200.0, 150.0], 250.0);
    let upright = |pixel: [f64; 2]| {
        let straight = lens.straightened(pixel, centre, focal);
        if straight.is_some_and(|[x, _]| x < 60.0) { [255, 0, 0] } else { [0, 0, 255] }
    };
    let bent = painted(400, 300, upright);
    assert_ne!(at(&bent, 75, 150)[0], at(&bent, 75, 10)[0], "the edge is bent");
    let straight = bent.straightened(&lens, centre, focal, [400, 300]).unwrap();
    for y in [20, 80, 150, 220, 280] {
        assert_eq!((at(&straight, 56, y)[0], at(&straight, 63, y)[0]), (255, 0), "{y}");
    }
}

#[test]
fn what_cannot_be_drawn_is_refused() {
    let photo = painted(4, 4, |_| [1, 2, 3]);
    assert_eq!(photo.redrawn([0, 5], Some), Err(RedrawError::Empty));
    assert!(matches!(photo.redrawn([100_000, 100_000], Some), Err(RedrawError::TooLarge { .. })));
    let corners = [[0.0, 0.0], [4.0, 0.0], [4.0, 4.0], [0.0, 4.0]];
    let plane = rectify(&rectangle(10.0, 10.0, corners).unwrap(), 0.5).unwrap();
    let drawn = |area, mm| photo.rectified(&plane, [4, 4], area, mm);
    assert_eq!(drawn([[0.0; 2], [10.0; 2]], 0.0), Err(RedrawError::Empty));
    assert_eq!(drawn([[0.0; 2], [10.0; 2]], f64::NAN), Err(RedrawError::Empty));
    assert_eq!(drawn([[10.0; 2], [0.0; 2]], 1.0), Err(RedrawError::Empty));
    assert!(matches!(drawn([[0.0; 2], [1e6; 2]], 1.0), Err(RedrawError::TooLarge { .. })));
}
