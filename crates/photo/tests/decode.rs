//! Files as builders bring them: held sideways, broken, huge, or no pictures at all.

#![allow(clippy::unwrap_used, clippy::panic, reason = "the lint knows test functions, not what they call")]

use image::{DynamicImage, ImageFormat, Rgb, RgbImage};
use photo::{Photo, PhotoError, decode, size};
use std::io::Cursor;

const RED: [u8; 3] = [220, 20, 20];
const GREEN: [u8; 3] = [20, 200, 20];
const BLUE: [u8; 3] = [20, 20, 220];
const WHITE: [u8; 3] = [240, 240, 240];

/// 48 x 32: red upper left, green upper right, blue lower left, white lower right.
fn quarters() -> DynamicImage {
    RgbImage::from_fn(48, 32, |x, y| {
        Rgb(match (x < 24, y < 16) {
            (true, true) => RED,
            (false, true) => GREEN,
            (true, false) => BLUE,
            (false, false) => WHITE,
        })
    })
    .into()
}

fn encoded(format: ImageFormat) -> Vec<u8> {
    let mut bytes = Vec::new();
    quarters().write_to(&mut Cursor::new(&mut bytes), format).unwrap();
    bytes
}

/// A JPEG with an EXIF segment that holds nothing but the orientation (tag 0x0112, SHORT).
fn turned(orientation: u8) -> Vec<u8> {
    let tiff =
        [&b"MM\0*\0\0\0\x08\0\x01"[..], &[0x01, 0x12, 0, 3, 0, 0, 0, 1, 0, orientation, 0, 0], &[0, 0, 0, 0]].concat();
    let length = (2 + 6 + tiff.len() as u16).to_be_bytes();
    let plain = encoded(ImageFormat::Jpeg);
    [&plain[..2], &[0xFF, 0xE1], &length, b"Exif\0\0", &tiff, &plain[2..]].concat()
}

/// The colour in the middle of each quarter: upper left, upper right, lower left, lower right.
fn corners(photo: &Photo) -> [[u8; 3]; 4] {
    let at = |x: u32, y: u32| {
        let i = 4 * (y * photo.width + x) as usize;
        [RED, GREEN, BLUE, WHITE]
            .into_iter()
            .min_by_key(|c| (0..3).map(|k| u32::from(c[k].abs_diff(photo.rgba[i + k]))).sum::<u32>())
            .unwrap()
    };
    let (w, h) = (photo.width, photo.height);
    [at(w / 4, h / 4), at(3 * w / 4, h / 4), at(w / 4, 3 * h / 4), at(3 * w / 4, 3 * h / 4)]
}

/// Source: EXIF (CIPA DC-008), tag Orientation: where row 0 and column 0 of the stored picture belong: 1 top and left,
/// 2 top and right, 3 bottom and right, 4 bottom and left, 5 left and top, 6 right and top, 7 right and bottom, 8 left
/// and bottom.
#[test]
fn all_eight_orientations_come_out_upright() {
    let expected = [
        [RED, GREEN, BLUE, WHITE],
        [GREEN, RED, WHITE, BLUE],
        [WHITE, BLUE, GREEN, RED],
        [BLUE, WHITE, RED, GREEN],
        [RED, BLUE, GREEN, WHITE],
        [BLUE, RED, WHITE, GREEN],
        [WHITE, GREEN, BLUE, RED],
        [GREEN, WHITE, RED, BLUE],
    ];
    for (orientation, expected) in (1..).zip(expected) {
        let bytes = turned(orientation);
        let photo = decode(&bytes).unwrap();
        assert_eq!(corners(&photo), expected, "orientation {orientation}");
        let upright = if orientation < 5 { [48, 32] } else { [32, 48] };
        assert_eq!([photo.width, photo.height], upright, "orientation {orientation}");
        assert_eq!(size(&bytes).unwrap(), upright, "orientation {orientation}");
    }
    assert_eq!(corners(&decode(&turned(9)).unwrap()), expected[0], "an orientation that does not exist");
}

#[test]
fn a_png_comes_back_exactly() {
    let photo = decode(&encoded(ImageFormat::Png)).unwrap();
    assert_eq!(photo.rgba, quarters().into_rgba8().into_raw());
}

#[test]
fn a_file_that_breaks_off_is_found_out_wherever_it_breaks() {
    for format in [ImageFormat::Jpeg, ImageFormat::Png] {
        let whole = encoded(format);
        for length in 0..whole.len() {
            let cut = decode(&whole[..length]);
            // The last twelve bytes of a PNG hold no pixels (the empty chunk IEND).
            let complete = format == ImageFormat::Png && length >= whole.len() - 12;
            assert!(cut.is_err() || complete, "{format:?} cut to {length} of {} bytes", whole.len());
        }
    }
    let jpeg = encoded(ImageFormat::Jpeg);
    assert_eq!(decode(&jpeg[..jpeg.len() - 40]), Err(PhotoError::CutShort { format: "JPEG" }));
}

#[test]
fn what_is_no_picture_is_named() {
    let named = |bytes: &[u8]| match decode(bytes) {
        Err(PhotoError::NotAPicture { what, .. }) => what,
        other => panic!("{other:?}"),
    };
    assert_eq!(decode(b""), Err(PhotoError::Empty));
    assert_eq!(named(b"<!DOCTYPE html>\n<html><body>Not found</body></html>"), "a text file");
    assert_eq!(named(b"GIF89a..."), "a GIF picture");
    assert_eq!(named(b"%PDF-1.7"), "a PDF document");
    assert_eq!(named(b"\0\0\0\x18ftypheic\0\0"), "an HEIC picture, as some telephones make");
    assert_eq!(named(b"\0\x01\x02\xff"), "no kind of file known here");
    let text = decode(b"hello").unwrap_err().to_string();
    assert!(text.contains("text file") && text.contains("save the picture itself"), "{text}");
}

#[test]
fn a_header_of_absurd_size_is_refused_before_unpacking() {
    let mut png = encoded(ImageFormat::Png);
    png[16..24].copy_from_slice(&[0, 1, 0x86, 0xA0, 0, 1, 0x86, 0xA0]);
    let checksum = crc(&png[12..29]).to_be_bytes();
    png[29..33].copy_from_slice(&checksum);
    let refused = Err(PhotoError::TooLarge { width: 100_000, height: 100_000 });
    assert_eq!(size(&png).map(|_| ()), refused);
    assert_eq!(decode(&png).map(|_| ()), refused);

    let mut jpeg = encoded(ImageFormat::Jpeg);
    let sof = jpeg.windows(2).position(|m| m == [0xFF, 0xC0]).unwrap();
    jpeg[sof + 5..sof + 9].copy_from_slice(&[0xFF, 0xDC, 0xFF, 0xDC]);
    assert!(matches!(decode(&jpeg), Err(PhotoError::TooLarge { .. })));
}

/// CRC-32 as in ISO/IEC 15948 (PNG), annex D.
fn crc(bytes: &[u8]) -> u32 {
    !bytes.iter().fold(!0_u32, |crc, byte| {
        (0..8).fold(crc ^ u32::from(*byte), |c, _| if c & 1 == 1 { 0xEDB8_8320 ^ (c >> 1) } else { c >> 1 })
    })
}

#[test]
fn damage_never_panics() {
    for whole in [turned(6), encoded(ImageFormat::Png)] {
        for at in 0..whole.len() {
            let mut bytes = whole.clone();
            bytes[at] ^= 0x55;
            if let Ok(photo) = decode(&bytes) {
                assert_eq!(photo.rgba.len() as u64, 4 * u64::from(photo.width) * u64::from(photo.height));
            }
            let _ = size(&bytes).map_err(|e| e.to_string());
        }
    }
}

#[test]
fn a_reduced_picture_keeps_its_shape_and_colours() {
    let photo = decode(&encoded(ImageFormat::Png)).unwrap();
    let small = photo.clone().reduced(12);
    assert_eq!([small.width, small.height], [12, 8]);
    assert_eq!(corners(&small), corners(&photo));
    assert_eq!(photo.clone().reduced(48), photo);
    let sliver = Photo { width: 1000, height: 1, rgba: vec![7; 4000] }.reduced(10);
    assert_eq!(([sliver.width, sliver.height], sliver.rgba), ([10, 1], vec![7; 40]));
    assert_eq!(photo.reduced(0).rgba.len(), 4);
}
