//! One sheet type in millimetres; nesting, pages, and writers for PDF, SVG, PNG and meshes.
//!
//! Nothing here knows a document or a form. Callers hand in [`Part`]s (templates, drawn in their own millimetres);
//! [`layout::lay_out`] puts them on [`Page`]s; [`pdf::write_pdf`] and [`png::page_to_png`] write what they are given and
//! know nothing earlier. A preview on screen walks [`Page::items`], which are flat and already in page millimetres.
//!
//! Directions: y points UP everywhere, the origin of a page is its lower left corner.

pub mod card;
pub mod centre;
mod dress;
pub mod font;
pub mod former;
mod free_space;
mod guides;
mod hull;
mod jpeg_header;
pub mod kerf;
pub mod layout;
mod maxrects;
pub mod mesh_file;
mod names;
mod nest;
mod one_sheet;
mod overview;
pub mod pdf;
pub mod png;
pub mod sheet;
mod side_by_side;
mod split;
pub mod svg;
mod tile_label;
mod tiles;
mod words;

pub use card::{CardTemplate, Mark, MarkPen};
pub use centre::{CentreStation, CentreTemplate, set_picture};
pub use dress::MEASURED_LABEL;
pub use former::FormerTemplate;
pub use layout::{Layout, LayoutError, PageCount, PageSetup, PaperSize, Placement, Tile, lay_out};
pub use sheet::{
    Affine, Anchor, Drawing, Ink, Item, Page, Part, Path, Picture, PictureFormat, Placed, Purpose, Rect, Segment,
    SheetSet, Stroke, Text,
};
pub use side_by_side::{Task, side_by_side};
