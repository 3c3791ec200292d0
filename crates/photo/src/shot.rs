//! What a camera wrote beside the pixels, and the focal length to start from.
//!
//! Tags after EXIF (CIPA DC-008, JEITA CP-3451): `FocalLengthIn35mmFilm` (41989, zero where unknown), `PixelXDimension` and
//! `PixelYDimension` (40962, 40963).

use crate::PhotoError;
use crate::camera::{focal_px_by_width, focal_px_from_equivalent};
use crate::decode::{sides_are_swapped, size};
use std::io::Cursor;

/// What a picture file says about how it was taken.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Shot {
    /// Pixels across and down, the right way up.
    pub size_px: [u32; 2],
    /// The size the camera wrote, the right way up; `None` where it wrote none.
    pub stated_px: Option<[u32; 2]>,
    /// The 35-mm-equivalent focal length, mm; `None` where it is unknown.
    pub equivalent_mm: Option<f64>,
}

/// What happened to a picture since it was taken, as far as the sizes tell. Shown as text, it says what that means.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Trim {
    /// The camera wrote no size.
    Unknown,
    /// The sizes agree.
    Whole,
    /// The shape is the same, the size is not.
    Resized {
        /// As the camera wrote it.
        from: [u32; 2],
        /// As the file is.
        to: [u32; 2],
    },
    /// The shape differs.
    Cropped {
        /// As the camera wrote it.
        from: [u32; 2],
        /// As the file is.
        to: [u32; 2],
    },
}

/// A focal length to start from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FocalStart {
    /// The focal length, pixels.
    pub px: f64,
    /// Its standard deviation, pixels: covers both conventions of the equivalent, its rounding and the lens's focusing.
    pub sigma_px: f64,
}

/// How far a picture's sides may be from the stated shape and still be its whole: cameras and programs round to blocks of
/// pixels.
const SAME_SHAPE: f64 = 0.01;
/// Focusing near and the maker's rounding change a focal length by about this share. Common practice, no source.
const FOCUSING: f64 = 0.03;
/// An equivalent is written in whole mm: the standard deviation of that rounding.
const ROUNDING_MM: f64 = 0.29;
/// Equivalents beyond this are mistakes, mm.
const LONGEST_MM: f64 = 5000.0;

/// Reads what the camera wrote, without unpacking the pixels. What is missing or damaged there counts as unknown.
///
/// # Errors
/// As [`crate::size`].
pub fn shot(bytes: &[u8]) -> Result<Shot, PhotoError> {
    let size_px = size(bytes)?;
    let exif = exif::Reader::new().read_from_container(&mut Cursor::new(bytes)).ok();
    let number = |tag| exif.as_ref()?.get_field(tag, exif::In::PRIMARY)?.value.get_uint(0).filter(|n| *n > 0);
    let equivalent = number(exif::Tag::FocalLengthIn35mmFilm).map(f64::from).filter(|mm| *mm <= LONGEST_MM);
    let stated = number(exif::Tag::PixelXDimension).zip(number(exif::Tag::PixelYDimension));
    let upright = |(x, y)| if sides_are_swapped(bytes) { [y, x] } else { [x, y] };
    Ok(Shot { size_px, stated_px: stated.map(upright), equivalent_mm: equivalent })
}

impl Shot {
    /// Whether the file is still what the camera took. A crop to the same shape cannot be told from a smaller copy.
    pub fn trim(&self) -> Trim {
        let Some(from) = self.stated_px else { return Trim::Unknown };
        let to = self.size_px;
        // A program may have turned the pixels and left the sizes as they were.
        if to == from || to == [from[1], from[0]] {
            return Trim::Whole;
        }
        let shape = |[a, b]: [u32; 2]| f64::from(a.max(b)) / f64::from(a.min(b).max(1));
        if (shape(to) / shape(from) - 1.0).abs() < SAME_SHAPE {
            Trim::Resized { from, to }
        } else {
            Trim::Cropped { from, to }
        }
    }

    /// The focal length to start from; `None` where none was written, or where the picture was cropped, so that it no longer
    /// holds.
    pub fn focal_start(&self) -> Option<FocalStart> {
        let usable = !matches!(self.trim(), Trim::Cropped { .. });
        self.equivalent_mm.filter(|_| usable).and_then(|mm| focal_start(mm, self.size_px))
    }
}

/// The focal length to start from for a 35-mm equivalent and an uncropped picture: midway between the conventions by the
/// diagonal and by the longer side, which are 4 % apart for sides of 4 to 3. `None` for what is not above zero.
pub fn focal_start(equivalent_mm: f64, size_px: [u32; 2]) -> Option<FocalStart> {
    let (by_diagonal, by_width) =
        (focal_px_from_equivalent(equivalent_mm, size_px), focal_px_by_width(equivalent_mm, size_px));
    let px = (by_diagonal + by_width) / 2.0;
    let apart = (by_diagonal - by_width).abs() / 2.0;
    let rounding = px * ROUNDING_MM / equivalent_mm;
    let sigma_px = apart.hypot(rounding).hypot(px * FOCUSING);
    (px > 0.0 && px.is_finite() && sigma_px.is_finite()).then_some(FocalStart { px, sigma_px })
}

impl std::fmt::Display for Trim {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Unknown => f.write_str("The camera wrote no size, so a crop would not be noticed."),
            Self::Whole => f.write_str("The picture is whole, as the camera took it."),
            Self::Resized { from, to } => write!(
                f,
                "The camera took {} x {} pixels, the file has {} x {}: a smaller or larger copy. If it was cropped to the \
                 same shape, the focal length does not hold.",
                from[0], from[1], to[0], to[1]
            ),
            Self::Cropped { from, to } => write!(
                f,
                "The picture was cropped: the camera took {} x {} pixels, the file has {} x {}. Its focal length and the \
                 middle of the picture do not hold; take the uncropped file, or solve the focal length from landmarks.",
                from[0], from[1], to[0], to[1]
            ),
        }
    }
}
