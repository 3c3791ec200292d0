//! Writes a [`Page`] as SVG 1.1 for a machine that cuts: one user unit is one millimetre.
//!
//! What is on the page stands in three groups: `cut` (lines whose purpose is [`Purpose::Cut`]), `score` (all other lines, and the
//! outlines of dark fills such as arrow heads) and `text` (text, as text). Curves stay curves. White fills, which only keep paper
//! clear under words, and pictures have nothing to tell a machine and are left out. Coordinates are rounded to 1e-4 mm; equal
//! pages give equal bytes.

use std::fmt::Write as _;

use quick_xml::Writer;
use quick_xml::events::{BytesDecl, BytesEnd, BytesStart, BytesText, Event};
use thiserror::Error;

use crate::sheet::{Anchor, Ink, Item, Page, Path, Placed, Purpose, Rect, Segment, Stroke, Text};

/// Width of the pen of a filled shape without one, mm.
const FILLED_PEN: f64 = 0.13;

/// Why an SVG could not be made.
#[derive(Debug, Error)]
pub enum SvgError {
    /// The page has no size or no finite one.
    #[error("the sheet \"{0}\" has no usable size; check the size of the card or of the paper")]
    PageSize(String),
    /// The writer failed.
    #[error("the file cannot be put together: {0}")]
    Writing(#[from] std::io::Error),
}

/// A page as the bytes of an SVG file.
///
/// # Errors
/// A page without a usable size.
pub fn write_svg(page: &Page) -> Result<Vec<u8>, SvgError> {
    if ![page.width_mm, page.height_mm].iter().all(|s| s.is_finite() && *s > 0.0) {
        return Err(SvgError::PageSize(page.name.clone()));
    }
    let mut sheet = Sheet { height: page.height_mm, xml: Writer::new_with_indent(Vec::new(), b' ', 1) };
    sheet.write(page)?;
    Ok(sheet.xml.into_inner())
}

/// The groups, in the order in which a machine should do them: marks while the card still lies fast, cuts last.
const GROUPS: [Group; 3] = [Group::Text, Group::Score, Group::Cut];

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Group {
    Cut,
    Score,
    Text,
}

impl Group {
    fn id(self) -> &'static str {
        match self {
            Self::Cut => "cut",
            Self::Score => "score",
            Self::Text => "text",
        }
    }

    /// The group of an item; `None` for what a machine has no use for.
    fn of(item: &Item) -> Option<Self> {
        match item {
            Item::Text(_) => Some(Self::Text),
            Item::Picture(_) => None,
            Item::Path(p) => match (&p.stroke, p.fill) {
                (Some(s), _) if s.purpose == Purpose::Cut => Some(Self::Cut),
                (Some(_), _) => Some(Self::Score),
                (None, Some(ink)) if ink != Ink::WHITE && ink != Ink::LIGHT => Some(Self::Score),
                (None, _) => None,
            },
        }
    }
}

struct Sheet {
    height: f64,
    xml: Writer<Vec<u8>>,
}

impl Sheet {
    fn write(&mut self, page: &Page) -> std::io::Result<()> {
        let (width, height) = (number(page.width_mm), number(page.height_mm));
        self.xml.write_event(Event::Decl(BytesDecl::new("1.0", Some("UTF-8"), None)))?;
        // So that the program knows its own files again.
        self.xml.write_event(Event::Comment(BytesText::new(" Plugwright ")))?;
        let (across, up, view) = (format!("{width}mm"), format!("{height}mm"), format!("0 0 {width} {height}"));
        self.start(
            "svg",
            &[
                ("xmlns", "http://www.w3.org/2000/svg"),
                ("version", "1.1"),
                ("width", &across),
                ("height", &up),
                ("viewBox", &view),
            ],
        )?;
        self.start("title", &[])?;
        self.xml.write_event(Event::Text(BytesText::new(&page.name)))?;
        self.end("title")?;
        self.clips(page)?;
        for group in GROUPS {
            self.start("g", &[("id", group.id())])?;
            for (number, placed) in page.items.iter().enumerate() {
                if Group::of(&placed.item) == Some(group) {
                    self.item(number, placed)?;
                }
            }
            self.end("g")?;
        }
        self.end("svg")
    }

    /// The rectangles that items are clipped to, named by the items' numbers.
    fn clips(&mut self, page: &Page) -> std::io::Result<()> {
        let clips: Vec<(usize, Rect)> = page.items.iter().enumerate().filter_map(|(k, p)| Some((k, p.clip?))).collect();
        if clips.is_empty() {
            return Ok(());
        }
        self.start("defs", &[])?;
        for (k, r) in clips {
            let [w, h] = r.size().map(number);
            let (id, x, y) = (format!("clip{k}"), number(r.min[0]), number(self.height - r.max[1]));
            self.start("clipPath", &[("id", &id)])?;
            self.empty("rect", &[("x", &x), ("y", &y), ("width", &w), ("height", &h)])?;
            self.end("clipPath")?;
        }
        self.end("defs")
    }

    fn item(&mut self, number: usize, placed: &Placed) -> std::io::Result<()> {
        let clip = placed.clip.map(|_| format!("url(#clip{number})"));
        match &placed.item {
            Item::Path(p) => self.path(p, clip.as_deref()),
            Item::Text(t) => self.text(t, clip.as_deref()),
            Item::Picture(_) => Ok(()),
        }
    }

    fn path(&mut self, path: &Path, clip: Option<&str>) -> std::io::Result<()> {
        let filled = Stroke::solid(FILLED_PEN, path.fill.unwrap_or(Ink::BLACK));
        let stroke = path.stroke.as_ref().unwrap_or(&filled);
        let (steps, ink, width) = (self.steps(path), colour(stroke.ink), number(stroke.width_mm));
        let dashes: Vec<String> = stroke.dash_mm.iter().map(|&d| number(d)).collect();
        let dashes = dashes.join(" ");
        let mut attributes = vec![("d", steps.as_str()), ("fill", "none"), ("stroke", &ink), ("stroke-width", &width)];
        if !dashes.is_empty() {
            attributes.push(("stroke-dasharray", &dashes));
        }
        attributes.extend(clip.map(|c| ("clip-path", c)));
        self.empty("path", &attributes)
    }

    fn steps(&self, path: &Path) -> String {
        let mut d = String::new();
        for segment in &path.segments {
            // Writing to a string does not fail.
            let _ = match segment {
                Segment::Move(p) => write!(d, "M{} ", self.point(*p)),
                Segment::Line(p) => write!(d, "L{} ", self.point(*p)),
                Segment::Cubic(a, b, p) => write!(d, "C{} {} {} ", self.point(*a), self.point(*b), self.point(*p)),
                Segment::Close => write!(d, "Z "),
            };
        }
        d.truncate(d.trim_end().len());
        d
    }

    fn text(&mut self, text: &Text, clip: Option<&str>) -> std::io::Result<()> {
        let (at, size, ink) = (self.point(text.at), number(text.size_mm), colour(text.ink));
        let place = at.split_once(',').unwrap_or((&at, "0"));
        let turn = format!("rotate({} {} {})", number(-text.turn_deg), place.0, place.1);
        let anchor = match text.anchor {
            Anchor::Start => "start",
            Anchor::Middle => "middle",
            Anchor::End => "end",
        };
        let mut attributes = vec![
            ("x", place.0),
            ("y", place.1),
            ("font-family", "DejaVu Sans Condensed, sans-serif"),
            ("font-size", &size),
            ("text-anchor", anchor),
            ("fill", &ink),
        ];
        if text.bold {
            attributes.push(("font-weight", "bold"));
        }
        if text.turn_deg != 0.0 {
            attributes.push(("transform", &turn));
        }
        attributes.extend(clip.map(|c| ("clip-path", c)));
        // A text on one line, so that no blanks are added to it.
        let start = BytesStart::new("text").with_attributes(attributes);
        self.xml.write_event(Event::Start(start))?;
        self.xml.write_event(Event::Text(BytesText::new(&without_controls(&text.text))))?;
        self.end("text")
    }

    /// A point with y down, as SVG has it.
    fn point(&self, p: [f64; 2]) -> String {
        format!("{},{}", number(p[0]), number(self.height - p[1]))
    }

    fn start(&mut self, name: &str, attributes: &[(&str, &str)]) -> std::io::Result<()> {
        self.xml.write_event(Event::Start(BytesStart::new(name).with_attributes(attributes.iter().copied())))
    }

    fn empty(&mut self, name: &str, attributes: &[(&str, &str)]) -> std::io::Result<()> {
        self.xml.write_event(Event::Empty(BytesStart::new(name).with_attributes(attributes.iter().copied())))
    }

    fn end(&mut self, name: &str) -> std::io::Result<()> {
        self.xml.write_event(Event::End(BytesEnd::new(name)))
    }
}

/// Shortest decimal, rounded to 1e-4; a number that is not finite cannot be drawn and is written as 0.
fn number(value: f64) -> String {
    let rounded = (value * 1e4).round() / 1e4;
    // Adding zero turns a minus zero into zero.
    if rounded.is_finite() { format!("{}", rounded + 0.0) } else { "0".to_owned() }
}

fn colour(ink: Ink) -> String {
    let [r, g, b] = ink.0;
    format!("#{r:02x}{g:02x}{b:02x}")
}

/// XML 1.0 has no control characters; the writers of paper set them as blanks too.
fn without_controls(text: &str) -> String {
    text.chars().map(|c| if c.is_control() { ' ' } else { c }).collect()
}
