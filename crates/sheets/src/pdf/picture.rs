//! A picture as a PDF carries it.

use std::sync::Arc;

use pdf_writer::{Filter, Finish, Pdf, Ref};

use super::deflate;
use crate::jpeg_header::{self, JpegHeader};
use crate::sheet::{Picture, PictureFormat};

/// A picture, ready to be written.
pub(super) enum Encoded {
    /// The file as it is.
    Jpeg(JpegHeader, Arc<[u8]>),
    /// Squeezed pixels, and how much of each is seen where that is not all.
    Pixels { size: [i32; 2], rgb: Vec<u8>, alpha: Option<Vec<u8>> },
}

/// A picture ready to be written, or what is wrong with it.
pub(super) fn encoded(p: &Picture) -> Result<Encoded, String> {
    match p.format {
        PictureFormat::Jpeg => {
            let head = jpeg_header::read(&p.bytes).ok_or("it is not a JPEG file that a PDF can carry")?;
            Ok(Encoded::Jpeg(head, Arc::clone(&p.bytes)))
        }
        PictureFormat::Png => {
            let format = image::ImageFormat::Png;
            let picture = image::load_from_memory_with_format(&p.bytes, format).map_err(|e| e.to_string())?;
            let size = [picture.width().cast_signed(), picture.height().cast_signed()];
            let alpha = picture.color().has_alpha().then(|| {
                let alpha: Vec<u8> = picture.to_rgba8().pixels().map(|p| p.0[3]).collect();
                deflate(&alpha)
            });
            Ok(Encoded::Pixels { size, rgb: deflate(picture.to_rgb8().as_raw()), alpha })
        }
    }
}

impl Encoded {
    /// Writes it; `next` is the next free number of an object.
    pub(super) fn write(&self, pdf: &mut Pdf, id: Ref, next: &mut Ref) {
        match self {
            Self::Jpeg(head, bytes) => jpeg(pdf, id, head, bytes),
            Self::Pixels { size, rgb, alpha } => {
                let mask = alpha.as_ref().map(|alpha| (next.bump(), alpha));
                let mut x = pdf.image_xobject(id, rgb);
                x.filter(Filter::FlateDecode);
                x.width(size[0]).height(size[1]).bits_per_component(8).color_space().device_rgb();
                if let Some((mask, _)) = &mask {
                    x.s_mask(*mask);
                }
                x.finish();
                if let Some((mask, alpha)) = mask {
                    let mut m = pdf.image_xobject(mask, alpha);
                    m.filter(Filter::FlateDecode);
                    m.width(size[0]).height(size[1]).bits_per_component(8).color_space().device_gray();
                }
            }
        }
    }
}

fn jpeg(pdf: &mut Pdf, id: Ref, head: &JpegHeader, bytes: &[u8]) {
    let mut x = pdf.image_xobject(id, bytes);
    x.filter(Filter::DctDecode);
    x.width(i32::from(head.width)).height(i32::from(head.height)).bits_per_component(8);
    match head.channels {
        1 => x.color_space().device_gray(),
        3 => x.color_space().device_rgb(),
        _ => x.color_space().device_cmyk(),
    }
    if head.channels == 4 && head.adobe {
        x.decode([1.0, 0.0, 1.0, 0.0, 1.0, 0.0, 1.0, 0.0]);
    }
}
