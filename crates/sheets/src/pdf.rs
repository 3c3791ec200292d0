//! Writes a [`SheetSet`] as PDF, true to size.
//!
//! One millimetre is 72/25.4 points. Text is text in a subset of the bundled font, with a map back to characters. JPEG bytes
//! pass through unchanged. The file asks viewers not to scale it, claims no PDF standard and holds no time of day, so equal
//! sheets give equal bytes. Coordinates are rounded to 1e-3 pt (0.00035 mm).

mod content;
mod fonts;
mod picture;

use std::collections::BTreeMap;
use std::sync::Arc;

use pdf_writer::{Filter, Finish, Name, Pdf, Rect as PdfRect, Ref, TextStr};
use thiserror::Error;

use crate::sheet::{Item, Page, Picture, SheetSet};
use crate::side_by_side::{Task, side_by_side};
use content::Scale;
use fonts::FontUse;
use picture::Encoded;

/// Points in a millimetre.
pub const POINTS_PER_MM: f64 = 72.0 / 25.4;
/// The largest page side a reader must accept, in user units (ISO 32000-1, annex C).
const LARGEST_SIDE: f64 = 14_400.0;

/// Why a PDF could not be made.
#[derive(Debug, Error, PartialEq, Eq)]
pub enum PdfError {
    /// A page has no size or an absurd one.
    #[error("page {0} of the sheets has no usable size; check the paper and the size of the parts")]
    PageSize(usize),
    /// A picture cannot be read.
    #[error("a picture on page {page} cannot be put into the PDF: {why}")]
    Picture {
        /// The page, counted from 1.
        page: usize,
        /// What is wrong with it.
        why: String,
    },
    /// The bundled font is damaged.
    #[error("the bundled font cannot be read; please install the program again")]
    Font,
}

/// Writes the pages as a PDF file's bytes.
///
/// # Errors
/// A page without a usable size, a picture that cannot be read, a damaged font.
pub fn write_pdf(set: &SheetSet) -> Result<Vec<u8>, PdfError> {
    let used = Used::by(set)?;
    let streams = streams(set, &used)?;
    Writer::new(&used).written(set, &streams)
}

/// What the pages use, numbered in the order in which they use it; found before anything is written, so that pages can be written side by
/// side and equal sheets still give equal bytes.
struct Used<'a> {
    fonts: [FontUse; 2],
    /// Each picture once, with the first page that shows it.
    pictures: Vec<(usize, &'a Picture)>,
    numbers: BTreeMap<Arc<[u8]>, usize>,
}

impl<'a> Used<'a> {
    fn by(set: &'a SheetSet) -> Result<Self, PdfError> {
        let fonts = [false, true].map(FontUse::new);
        let mut used = Self { fonts, pictures: Vec::new(), numbers: BTreeMap::new() };
        for (k, page) in set.pages.iter().enumerate() {
            page_scale(k + 1, page)?;
            for placed in &page.items {
                match &placed.item {
                    Item::Path(_) => {}
                    Item::Text(t) => used.fonts[usize::from(t.bold)].add(&t.text)?,
                    Item::Picture(p) => used.picture(k + 1, p),
                }
            }
        }
        Ok(used)
    }

    fn picture(&mut self, page: usize, picture: &'a Picture) {
        if !self.numbers.contains_key(&picture.bytes[..]) {
            self.numbers.insert(Arc::clone(&picture.bytes), self.pictures.len());
            self.pictures.push((page, picture));
        }
    }

    fn number(&self, picture: &Picture) -> Option<usize> {
        self.numbers.get(&picture.bytes[..]).copied()
    }
}

/// What takes time: the streams of the file, squeezed.
enum Stream {
    Page(Vec<u8>),
    Picture(Encoded),
    /// A subset of a font, and its length before it was squeezed.
    Font(Vec<u8>, usize),
}

fn streams(set: &SheetSet, used: &Used<'_>) -> Result<Vec<Stream>, PdfError> {
    type Made = Result<Stream, PdfError>;
    let pictures = used.pictures.iter().map(|&(page, picture)| -> Task<'_, Made> {
        let wrong = move |why: String| PdfError::Picture { page, why };
        Box::new(move || picture::encoded(picture).map(Stream::Picture).map_err(wrong))
    });
    let fonts = used.fonts.iter().map(|font| -> Task<'_, Made> {
        Box::new(|| font.subset().map(|subset| Stream::Font(deflate(&subset), subset.len())))
    });
    let pages = set.pages.iter().enumerate().map(|(k, page)| -> Task<'_, Made> {
        Box::new(move || {
            let (scale, _) = page_scale(k + 1, page)?;
            Ok(Stream::Page(deflate(&content::of(page, scale, used)?)))
        })
    });
    side_by_side(pictures.chain(fonts).chain(pages)).into_iter().collect()
}

/// Page millimetres to user units, and how many points a user unit has.
fn page_scale(number: usize, page: &Page) -> Result<(Scale, f64), PdfError> {
    let longest = page.width_mm.max(page.height_mm) * POINTS_PER_MM;
    let shortest = page.width_mm.min(page.height_mm);
    if !longest.is_finite() || shortest.is_nan() || shortest <= 0.0 || longest > LARGEST_SIDE * 1000.0 {
        return Err(PdfError::PageSize(number));
    }
    // Beyond 200 inches the user unit grows (PDF 1.6), so that the one large sheet stays valid.
    let unit = (longest / LARGEST_SIDE).ceil().max(1.0);
    Ok((Scale(POINTS_PER_MM / unit), unit))
}

struct Writer<'a> {
    pdf: Pdf,
    next: Ref,
    catalog: Ref,
    tree: Ref,
    kids: Vec<Ref>,
    fonts: [Ref; 2],
    pictures: Vec<Ref>,
    used: &'a Used<'a>,
}

impl<'a> Writer<'a> {
    fn new(used: &'a Used<'a>) -> Self {
        let mut next = Ref::new(1);
        let (catalog, tree) = (next.bump(), next.bump());
        let fonts = [next.bump(), next.bump()];
        let pictures = used.pictures.iter().map(|_| next.bump()).collect();
        Self { pdf: Pdf::new(), next, catalog, tree, kids: Vec::new(), fonts, pictures, used }
    }

    fn written(mut self, set: &SheetSet, streams: &[Stream]) -> Result<Vec<u8>, PdfError> {
        let (mut pages, mut pictures, mut fonts) = (set.pages.iter(), self.pictures.clone().into_iter(), 0);
        for stream in streams {
            match stream {
                Stream::Page(bytes) => pages.next().into_iter().try_for_each(|page| self.page(page, bytes))?,
                Stream::Picture(encoded) => pictures.next().into_iter().for_each(|id| self.picture(id, encoded)),
                Stream::Font(bytes, length) => {
                    let (used, id) = (&self.used.fonts[fonts], self.fonts[fonts]);
                    used.write(&mut self.pdf, &mut self.next, id, (bytes, *length))?;
                    fonts += 1;
                }
            }
        }
        Ok(self.finish(&set.title))
    }

    fn page(&mut self, page: &Page, bytes: &[u8]) -> Result<(), PdfError> {
        let (scale, unit) = page_scale(self.kids.len() + 1, page)?;
        let (page_id, content_id) = (self.next.bump(), self.next.bump());
        self.pdf.stream(content_id, bytes).filter(Filter::FlateDecode);
        let mut dict = self.pdf.page(page_id);
        let box_ = PdfRect::new(0.0, 0.0, scale.length(page.width_mm), scale.length(page.height_mm));
        dict.media_box(box_).parent(self.tree).contents(content_id);
        if unit > 1.0 {
            dict.user_unit(unit as f32);
        }
        let mut resources = dict.resources();
        let mut fonts = resources.fonts();
        for (font, id) in self.used.fonts.iter().zip(self.fonts) {
            fonts.pair(Name(font.name()), id);
        }
        fonts.finish();
        let shown: BTreeMap<usize, Ref> = shown(page)
            .filter_map(|p| self.used.number(p))
            .filter_map(|number| Some((number, *self.pictures.get(number)?)))
            .collect();
        if !shown.is_empty() {
            let mut objects = resources.x_objects();
            for (number, id) in shown {
                objects.pair(Name(picture_name(number).as_bytes()), id);
            }
        }
        resources.finish();
        dict.finish();
        self.kids.push(page_id);
        Ok(())
    }

    fn picture(&mut self, id: Ref, encoded: &Encoded) {
        encoded.write(&mut self.pdf, id, &mut self.next);
    }

    fn finish(mut self, title: &str) -> Vec<u8> {
        let count = i32::try_from(self.kids.len()).unwrap_or(i32::MAX);
        self.pdf.pages(self.tree).kids(self.kids.iter().copied()).count(count);
        let mut catalog = self.pdf.catalog(self.catalog);
        catalog.pages(self.tree);
        catalog.viewer_preferences().pair(Name(b"PrintScaling"), Name(b"None"));
        catalog.finish();
        let info = self.next.bump();
        let mut dict = self.pdf.document_info(info);
        dict.title(TextStr(title)).creator(TextStr("Plugwright"));
        dict.finish();
        self.pdf.finish()
    }
}

/// The pictures of a page.
fn shown(page: &Page) -> impl Iterator<Item = &Picture> {
    page.items.iter().filter_map(|placed| match &placed.item {
        Item::Picture(p) => Some(p),
        _ => None,
    })
}

fn picture_name(index: usize) -> String {
    format!("P{index}")
}

fn deflate(bytes: &[u8]) -> Vec<u8> {
    miniz_oxide::deflate::compress_to_vec_zlib(bytes, 4)
}
