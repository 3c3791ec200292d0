//! What cameras write, in files made byte by byte after the standard.

#![allow(clippy::unwrap_used, reason = "the lint knows test functions, not what they call")]

use approx::assert_abs_diff_eq;
use image::{DynamicImage, ImageFormat, RgbImage};
use photo::shot::{FocalStart, Shot, Trim, focal_start, shot};
use std::io::Cursor;

/// A picture of 48 x 32 pixels.
fn encoded(format: ImageFormat) -> Vec<u8> {
    let mut bytes = Vec::new();
    DynamicImage::from(RgbImage::new(48, 32)).write_to(&mut Cursor::new(&mut bytes), format).unwrap();
    bytes
}

/// A TIFF body with orientation (0x0112), sizes (0xA002, 0xA003) and equivalent (0xA405), big-endian. Source: TIFF 6.0,
/// section 2, and EXIF (CIPA DC-008), 4.6.
fn exif_body(orientation: u16, sides: [u32; 2], equivalent: u16) -> Vec<u8> {
    let short =
        |tag: u16, value: u16| [&tag.to_be_bytes()[..], &[0, 3, 0, 0, 0, 1], &value.to_be_bytes(), &[0, 0]].concat();
    let long = |tag: u16, value: u32| [&tag.to_be_bytes()[..], &[0, 4, 0, 0, 0, 1], &value.to_be_bytes()].concat();
    let first = [&[0, 2][..], &short(0x0112, orientation), &long(0x8769, 38), &[0; 4]].concat();
    let second =
        [&[0, 3][..], &long(0xA002, sides[0]), &long(0xA003, sides[1]), &short(0xA405, equivalent), &[0; 4]].concat();
    [&b"MM\0*\0\0\0\x08"[..], &first, &second].concat()
}

fn jpeg(orientation: u16, sides: [u32; 2], equivalent: u16) -> Vec<u8> {
    let body = exif_body(orientation, sides, equivalent);
    let length = (2 + 6 + body.len() as u16).to_be_bytes();
    let plain = encoded(ImageFormat::Jpeg);
    [&plain[..2], &[0xFF, 0xE1], &length, b"Exif\0\0", &body, &plain[2..]].concat()
}

#[test]
fn the_equivalent_and_the_sizes_are_read() {
    let found = shot(&jpeg(1, [48, 32], 85)).unwrap();
    assert_eq!(found, Shot { size_px: [48, 32], stated_px: Some([48, 32]), equivalent_mm: Some(85.0) });
    assert_eq!(found.trim(), Trim::Whole);
    let upright = shot(&jpeg(6, [48, 32], 85)).unwrap();
    assert_eq!(upright, Shot { size_px: [32, 48], stated_px: Some([32, 48]), equivalent_mm: Some(85.0) });
    assert_eq!(upright.trim(), Trim::Whole);
    assert_eq!(upright.focal_start().unwrap(), found.focal_start().unwrap());
}

/// Zero means unknown, by the standard.
#[test]
fn what_was_not_written_is_unknown() {
    let zero = shot(&jpeg(1, [0, 0], 0)).unwrap();
    assert_eq!(zero, Shot { size_px: [48, 32], stated_px: None, equivalent_mm: None });
    assert_eq!((zero.trim(), zero.focal_start()), (Trim::Unknown, None));
    for format in [ImageFormat::Jpeg, ImageFormat::Png] {
        let plain = shot(&encoded(format)).unwrap();
        assert_eq!((plain.stated_px, plain.equivalent_mm), (None, None));
    }
    assert_eq!(shot(&jpeg(1, [48, 32], 60_000)).unwrap().equivalent_mm, None, "no lens is that long");
    assert!(shot(b"no picture").is_err());
}

#[test]
fn a_crop_is_told_from_a_smaller_copy() {
    let copy = shot(&jpeg(1, [6000, 4000], 85)).unwrap();
    assert_eq!(copy.trim(), Trim::Resized { from: [6000, 4000], to: [48, 32] });
    assert!(copy.focal_start().is_some());
    let cropped = shot(&jpeg(1, [6000, 5000], 85)).unwrap();
    assert_eq!(cropped.trim(), Trim::Cropped { from: [6000, 5000], to: [48, 32] });
    assert_eq!(cropped.focal_start(), None);
    let text = cropped.trim().to_string();
    assert!(text.contains("6000 x 5000") && text.contains("48 x 32") && text.contains("do not hold"), "{text}");
    // Turned by a program that left the camera's sizes.
    assert_eq!(shot(&jpeg(1, [32, 48], 85)).unwrap().trim(), Trim::Whole);
}

/// Source: our table of check values: 4000 x 3000 at 26 mm is 3004.63 px by the diagonal and 2888.89 by the width; 6000 x
/// 4000 at 50 mm is 8333.33 by both.
#[test]
fn the_start_covers_both_conventions() {
    for (equivalent, by_diagonal, by_width) in [(26.0, 3004.63, 2888.89), (50.0, 5778.13, 5555.56)] {
        let FocalStart { px, sigma_px } = focal_start(equivalent, [4000, 3000]).unwrap();
        assert_abs_diff_eq!(px, (by_diagonal + by_width) / 2.0, epsilon = 0.01);
        assert!(px + sigma_px > by_diagonal && px - sigma_px < by_width);
        assert!(sigma_px < 0.06 * px);
        assert_eq!(focal_start(equivalent, [3000, 4000]), focal_start(equivalent, [4000, 3000]));
    }
    let start = focal_start(50.0, [6000, 4000]).unwrap();
    assert_abs_diff_eq!(start.px, 8333.33, epsilon = 0.01);
    assert!(start.sigma_px > 0.02 * start.px && start.sigma_px < 0.04 * start.px);
    for mm in [0.0, -5.0, f64::NAN] {
        assert_eq!(focal_start(mm, [6000, 4000]), None);
    }
}

#[test]
fn damage_never_panics() {
    let whole = jpeg(6, [48, 32], 85);
    for at in 0..200 {
        for flip in [0x55, 0xFF, 0x80] {
            let mut bytes = whole.clone();
            bytes[at] ^= flip;
            if let Ok(found) = shot(&bytes) {
                let _ = (found.trim().to_string(), found.focal_start());
            }
        }
    }
}
