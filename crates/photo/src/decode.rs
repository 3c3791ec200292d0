//! From a file's bytes to pixels the right way up.

use image::metadata::Orientation;
use image::{DynamicImage, ImageDecoder, ImageFormat, ImageReader, Limits, RgbaImage};
use std::io::Cursor;

/// Pictures of more pixels than this are refused before anything is unpacked: 200 million, four times what a large
/// camera makes.
pub const MOST_PIXELS: u64 = 200_000_000;

/// What unpacking may take beside the pixels, bytes.
const MOST_MEMORY: u64 = 1 << 30;

/// A picture, 8 bits a channel, the right way up.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Photo {
    /// Pixels across, after the camera's orientation is applied.
    pub width: u32,
    /// Pixels down, after the camera's orientation is applied.
    pub height: u32,
    /// Four bytes for each pixel, rows from the top: red, green, blue, opacity (straight).
    pub rgba: Vec<u8>,
}

/// Why a file is no picture that can be used. The text says what to do.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum PhotoError {
    /// There are no bytes.
    #[error("The file is empty. Copy it again from the camera or the web page.")]
    Empty,
    /// Neither JPEG nor PNG.
    #[error("This is {what}, not a JPEG or PNG picture. {hint}")]
    NotAPicture {
        /// What it looks like.
        what: &'static str,
        /// What to do.
        hint: &'static str,
    },
    /// It begins as a picture but ends too early.
    #[error("The {format} picture breaks off before its end. Copy the file again; the transfer was cut short.")]
    CutShort {
        /// JPEG or PNG.
        format: &'static str,
    },
    /// It contradicts its own format.
    #[error(
        "The {format} picture is damaged ({reason}). Open it in a picture viewer and save it again as JPEG or PNG."
    )]
    Damaged {
        /// JPEG or PNG.
        format: &'static str,
        /// What the decoder says.
        reason: String,
    },
    /// It says it has more pixels than can be handled.
    #[error(
        "The picture says it is {width} x {height} pixels, more than {} million. Save a smaller copy; 6000 pixels a \
         side are plenty to draw over.",
        MOST_PIXELS / 1_000_000
    )]
    TooLarge {
        /// Pixels across.
        width: u32,
        /// Pixels down.
        height: u32,
    },
}

/// Width and height in pixels, the right way up, read from the header alone.
///
/// # Errors
/// As [`decode`], but damage behind the header goes unnoticed.
pub fn size(bytes: &[u8]) -> Result<[u32; 2], PhotoError> {
    let (format, name) = format(bytes)?;
    let decoder = decoder(bytes, format, name)?;
    let [width, height] = checked_size(&decoder)?;
    Ok(if sides_are_swapped(bytes) { [height, width] } else { [width, height] })
}

/// Whether a file is a JPEG or PNG picture that could be decoded, as far as that is seen without unpacking its pixels: its header, its
/// size, and that it does not break off.
///
/// # Errors
/// As [`decode`], but damage within the pixels goes unnoticed.
pub fn check(bytes: &[u8]) -> Result<(), PhotoError> {
    let (format, name) = format(bytes)?;
    checked_size(&decoder(bytes, format, name)?)?;
    let whole = if format == ImageFormat::Jpeg { has_jpeg_end(bytes) } else { has_png_end(bytes) };
    if whole { Ok(()) } else { Err(PhotoError::CutShort { format: name }) }
}

/// Decodes a JPEG or PNG file and turns it as its EXIF orientation says.
///
/// # Errors
/// Anything that is not a whole JPEG or PNG picture of at most [`MOST_PIXELS`].
pub fn decode(bytes: &[u8]) -> Result<Photo, PhotoError> {
    let (format, name) = format(bytes)?;
    let decoder = decoder(bytes, format, name)?;
    checked_size(&decoder)?;
    // The JPEG decoder fills what is missing with grey, so a file that breaks off must be found out beforehand.
    if format == ImageFormat::Jpeg && !has_jpeg_end(bytes) {
        return Err(PhotoError::CutShort { format: name });
    }
    let mut image = DynamicImage::from_decoder(decoder).map_err(|e| damaged(name, &e))?;
    image.apply_orientation(orientation(bytes));
    let rgba = image.into_rgba8();
    Ok(Photo { width: rgba.width(), height: rgba.height(), rgba: rgba.into_raw() })
}

impl Photo {
    /// A copy whose longer side has at most `max_side` pixels (at least 1), each the mean of what it covers; the
    /// picture itself where it is small enough.
    #[must_use]
    pub fn reduced(self, max_side: u32) -> Self {
        let longer = self.width.max(self.height);
        let max_side = max_side.max(1);
        if longer <= max_side {
            return self;
        }
        let side = |s: u32| ((u64::from(s) * u64::from(max_side)).div_ceil(u64::from(longer)) as u32).max(1);
        let (width, height) = (side(self.width), side(self.height));
        let Some(whole) = RgbaImage::from_raw(self.width, self.height, self.rgba) else {
            // Only a picture put together by hand can have a size that its bytes do not fit.
            return Self { width: 0, height: 0, rgba: Vec::new() };
        };
        let rgba = image::imageops::thumbnail(&whole, width, height).into_raw();
        Self { width, height, rgba }
    }
}

fn format(bytes: &[u8]) -> Result<(ImageFormat, &'static str), PhotoError> {
    const PNG: &[u8] = b"\x89PNG\r\n\x1a\n";
    if bytes.is_empty() {
        Err(PhotoError::Empty)
    } else if bytes.starts_with(&[0xFF, 0xD8, 0xFF]) {
        Ok((ImageFormat::Jpeg, "JPEG"))
    } else if bytes.starts_with(PNG) {
        Ok((ImageFormat::Png, "PNG"))
    } else {
        Err(other(bytes))
    }
}

/// Says what a file is by its first bytes, as far as builders are likely to meet it.
fn other(bytes: &[u8]) -> PhotoError {
    let at = |from: usize, magic: &[u8]| bytes.get(from..from + magic.len()) == Some(magic);
    let save = "Open it in a picture viewer and save it as JPEG or PNG.";
    let (what, hint) = if at(4, b"ftypheic") || at(4, b"ftypheix") || at(4, b"ftypmif1") {
        ("an HEIC picture, as some telephones make", save)
    } else if at(0, b"GIF8") {
        ("a GIF picture", save)
    } else if at(0, b"RIFF") && at(8, b"WEBP") {
        ("a WebP picture", save)
    } else if at(0, b"II*\0") || at(0, b"MM\0*") {
        ("a TIFF or raw picture", save)
    } else if at(0, b"BM") {
        ("a BMP picture", save)
    } else if at(0, b"%PDF") {
        ("a PDF document", "Save the page as a PNG picture.")
    } else if std::str::from_utf8(&bytes[..bytes.len().min(512)]).map_or_else(|e| e.valid_up_to() > 500, is_text) {
        ("a text file", "A web page may have been saved in the picture's place; save the picture itself.")
    } else {
        ("no kind of file known here", save)
    };
    PhotoError::NotAPicture { what, hint }
}

fn is_text(text: &str) -> bool {
    text.chars().all(|c| !c.is_control() || c.is_whitespace())
}

fn decoder<'a>(bytes: &'a [u8], format: ImageFormat, name: &'static str) -> Result<impl ImageDecoder + 'a, PhotoError> {
    let mut limits = Limits::default();
    limits.max_alloc = Some(MOST_MEMORY);
    let mut reader = ImageReader::with_format(Cursor::new(bytes), format);
    reader.limits(limits);
    reader.into_decoder().map_err(|e| damaged(name, &e))
}

fn checked_size(decoder: &impl ImageDecoder) -> Result<[u32; 2], PhotoError> {
    let (width, height) = decoder.dimensions();
    if u64::from(width) * u64::from(height) > MOST_PIXELS {
        return Err(PhotoError::TooLarge { width, height });
    }
    Ok([width, height])
}

fn damaged(format: &'static str, error: &image::ImageError) -> PhotoError {
    let reason = error.to_string();
    let ended = matches!(error, image::ImageError::IoError(e) if e.kind() == std::io::ErrorKind::UnexpectedEof);
    if ended { PhotoError::CutShort { format } } else { PhotoError::Damaged { format, reason } }
}

/// Whether the mark that ends a JPEG picture (FF D9, ITU-T T.81 B.1.1.3) follows its pixels. Marks inside the header's
/// segments, such as the end of a small preview picture, do not count.
fn has_jpeg_end(bytes: &[u8]) -> bool {
    jpeg_scan_start(bytes).is_some_and(|start| bytes[start..].windows(2).any(|pair| pair == [0xFF, 0xD9]))
}

/// Whether the chunk that ends a PNG picture (IEND, W3C PNG 11.2.5) follows the others.
fn has_png_end(bytes: &[u8]) -> bool {
    let mut at = 8;
    while let Some(&[a, b, c, d, ref kind @ ..]) = bytes.get(at..at + 8) {
        if kind == b"IEND" {
            return true;
        }
        // Length, kind and checksum are four bytes each.
        at = at.saturating_add(u32::from_be_bytes([a, b, c, d]) as usize).saturating_add(12);
    }
    false
}

/// Where the segment that begins the pixels (SOS, FF DA) starts.
fn jpeg_scan_start(bytes: &[u8]) -> Option<usize> {
    let mut at = 2;
    loop {
        match *bytes.get(at..at + 4)? {
            [0xFF, 0xDA, ..] => return Some(at),
            // Fill bytes may stand before a mark.
            [0xFF, 0xFF, ..] => at += 1,
            [0xFF, _, high, low] => at += 2 + usize::from(u16::from_be_bytes([high, low])),
            _ => return None,
        }
    }
}

/// As the camera was held; upright where the file does not say, or says it wrongly.
fn orientation(bytes: &[u8]) -> Orientation {
    let exif = exif::Reader::new().read_from_container(&mut Cursor::new(bytes)).ok();
    let value = exif.and_then(|exif| exif.get_field(exif::Tag::Orientation, exif::In::PRIMARY)?.value.get_uint(0));
    value.and_then(|v| Orientation::from_exif(u8::try_from(v).ok()?)).unwrap_or(Orientation::NoTransforms)
}

/// Whether the camera was held upright, so that the stored picture lies on its side.
pub(crate) fn sides_are_swapped(bytes: &[u8]) -> bool {
    swaps_sides(orientation(bytes))
}

fn swaps_sides(orientation: Orientation) -> bool {
    matches!(
        orientation,
        Orientation::Rotate90 | Orientation::Rotate270 | Orientation::Rotate90FlipH | Orientation::Rotate270FlipH
    )
}
