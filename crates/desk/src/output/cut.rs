//! Sheets for machines that cut: parts nested on the card that the builder has, blocks on the boards, one file each.

use super::NotLofted;
use super::parts::parts_by;
use super::wire::wire_sheets;
use crate::failure::FileFailure;
use crate::files::{export, may_export};
use crate::plans::Planned;
use crate::reckoned::Reckoned;
use form::Lofted;
use plug::{BoardPlan, Nesting, Piece, Plan, Stock, nest};
use project::document::Document;
use sheets::kerf::compensated;
use sheets::svg::{SvgError, write_svg};
use sheets::{Affine, Anchor, Drawing, Page, Part, Path, Placed, Rect, Stroke, Text};
use std::path::Path as FilePath;
use std::sync::Arc;

/// Why there are no sheets to cut.
#[derive(Debug, thiserror::Error)]
pub enum CutFailure {
    /// A form cannot be lofted yet.
    #[error(transparent)]
    NotLofted(#[from] NotLofted),
    /// There are no parts.
    #[error("There is nothing to cut yet. Give the form a stack, or at least one station.")]
    NoParts,
    /// A sheet cannot be put together.
    #[error("A sheet cannot be written: {0}.")]
    Svg(#[from] SvgError),
    /// A file cannot be written.
    #[error(transparent)]
    File(#[from] FileFailure),
}

/// One sheet of card, or one board, with what is cut from it.
#[derive(Clone, Debug, PartialEq)]
pub struct CutSheet {
    /// The name of its file.
    pub file: String,
    /// The sheet in millimetres; its size is that of the material.
    pub page: Page,
}

/// All sheets of a project.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct CutSheets {
    /// The sheets, card first.
    pub sheets: Vec<CutSheet>,
    /// One sheet for every block, for a hot wire that follows the outlines of both its faces.
    pub wires: Vec<CutSheet>,
    /// Titles of parts that are larger than the material; each has a sheet of its own size.
    pub too_large: Vec<String>,
}

/// Least distance between two parts, mm, so that what lies between them holds.
const BETWEEN: f64 = 2.0;
/// Size of a block's name, mm.
const NAME: f64 = 12.0;

/// Every card part on sheets of card and every block on boards of foam, led for cuts of `card_kerf` mm in card and of the build's
/// own width in foam; see [`compensated`]. Templates that are only drawn on foam are left out.
///
/// # Errors
/// A form that cannot be lofted yet, or no parts.
pub fn cut_sheets(document: &Document, lofted: &[Arc<Lofted>], card_kerf: f64) -> Result<CutSheets, CutFailure> {
    cut_sheets_by(document, lofted, &Reckoned::default(), card_kerf)
}

/// The same with all that was reckoned of late.
///
/// # Errors
/// As [`cut_sheets`].
pub fn cut_sheets_by(
    document: &Document,
    lofted: &[Arc<Lofted>],
    known: &Reckoned,
    card_kerf: f64,
) -> Result<CutSheets, CutFailure> {
    let foam = &document.build.foam;
    let planned = known.planned(document, lofted)?;
    let plan = planned.as_deref().and_then(Planned::used);
    let parts = parts_by(document, lofted, known)?;
    let card: Vec<Part> = parts.iter().filter(|part| is_card(part)).cloned().collect();
    let pieces: Vec<Piece> = card.iter().map(|p| Piece { size: p.bounds.size() }).collect();
    let stock = Stock { size: foam.card_sheet, edge: foam.edge, kerf: BETWEEN + card_kerf };
    let mut out = CutSheets::default();
    out.add(
        &card,
        &nest(&pieces, &stock),
        &Material { stock, kerf: card_kerf, file: "card".into(), title: "Card".into() },
    );
    for (plan, boards) in plan.iter().flat_map(|p| p.boards.iter().map(move |b| (p, b))) {
        let material = Material {
            stock: Stock { size: foam.board, edge: foam.edge, kerf: foam.kerf },
            kerf: foam.kerf,
            file: format!("foam-{:.1}mm", boards.thickness),
            title: format!("Foam of {:.1} mm", boards.thickness),
        };
        out.add(&blocks(plan, boards), &boards.nesting, &material);
    }
    out.wires = plan.iter().flat_map(|p| wire_sheets(p, foam.allowance, foam.kerf)).collect();
    if out.sheets.is_empty() { Err(CutFailure::NoParts) } else { Ok(out) }
}

/// Writes every sheet as SVG into a folder, which is made if need be. Gives the names of other sheets that lie there, in order: of
/// more card, or of an earlier plug, so that nobody cuts them with these.
///
/// # Errors
/// The folder cannot be made, or a file cannot be written.
pub fn write_cut_sheets(sheets: &CutSheets, folder: &FilePath) -> Result<Vec<String>, CutFailure> {
    std::fs::create_dir_all(folder).map_err(|cause| FileFailure::unwritable(folder, cause))?;
    let files = sheets.sheets.iter().chain(&sheets.wires);
    let files: Vec<_> =
        files.map(|sheet| Ok((folder.join(&sheet.file), write_svg(&sheet.page)?))).collect::<Result<_, SvgError>>()?;
    for (path, svg) in &files {
        may_export(path, svg)?;
    }
    for (path, svg) in &files {
        export(path, svg)?;
    }
    Ok(others(sheets, folder))
}

/// Names of the sheets in a folder that are none of these.
fn others(sheets: &CutSheets, folder: &FilePath) -> Vec<String> {
    let ours = |name: &String| sheets.sheets.iter().chain(&sheets.wires).any(|s| s.file == *name);
    let is_sheet = |name: &String| {
        name.ends_with(".svg") && ["card-", "foam-", "wire-"].iter().any(|start| name.starts_with(start))
    };
    let entries = std::fs::read_dir(folder).into_iter().flatten().flatten();
    let names = entries.filter_map(|entry| entry.file_name().into_string().ok());
    let mut found: Vec<String> = names.filter(|name| is_sheet(name) && !ours(name)).collect();
    found.sort();
    found
}

/// Whether a part is cut from card: outlines of foam are on the templates too, but are drawn on the foam, and patterns of cloth.
fn is_card(part: &Part) -> bool {
    !["block-", "first-face", "cloth-"].iter().any(|other| part.id.contains(other))
}

/// The blocks that are cut from boards of one thickness, as rectangles with their names, in the order of the nesting's pieces.
fn blocks(plan: &Plan, boards: &BoardPlan) -> Vec<Part> {
    let part = |b: &plug::Block| {
        let mut d = Drawing::default();
        d.push(Path::rect(&Rect::at([0.0; 2], b.size), Some(Stroke::cut()), None));
        d.push(name(&b.name, b.size));
        Part::new(format!("block-{}", b.name), format!("Block {}", b.name), d)
    };
    boards.blocks.iter().filter_map(|&i| plan.blocks.get(i)).map(part).collect()
}

/// A name in the middle of its block, so small that it lies on it.
fn name(words: &str, size: [f64; 2]) -> Text {
    let mut text = Text::new(words, [0.5 * size[0], 0.0], NAME).anchored(Anchor::Middle);
    text.size_mm *= (0.8 * size[0] / text.width().max(1e-9)).min(0.5 * size[1] / NAME).min(1.0);
    text.at[1] = 0.5 * size[1] - 0.36 * text.size_mm;
    text
}

/// What parts are cut from.
struct Material {
    stock: Stock,
    /// Width of the cut, mm.
    kerf: f64,
    /// How its files' names begin.
    file: String,
    /// What it is called.
    title: String,
}

impl CutSheets {
    /// Adds the sheets of a nesting of parts.
    fn add(&mut self, parts: &[Part], nesting: &Nesting, material: &Material) {
        let Material { stock, kerf, file, title } = material;
        for number in 0..nesting.boards {
            let mut page = Page {
                width_mm: stock.size[0],
                height_mm: stock.size[1],
                name: format!("{title}, sheet {} of {}", number + 1, nesting.boards),
                items: Vec::new(),
            };
            for placed in nesting.placed.iter().filter(|p| p.board == number) {
                if let Some(part) = parts.get(placed.piece) {
                    put(&mut page, part, placed.at, placed.size, *kerf);
                }
            }
            self.sheets.push(CutSheet { file: format!("{file}-{}.svg", number + 1), page });
        }
        for (k, part) in nesting.too_large.iter().filter_map(|&i| parts.get(i)).enumerate() {
            self.too_large.push(part.title.clone());
            let name = format!("{title}: {}, larger than a sheet", part.title);
            let page = compensated(part, *kerf).drawing.into_page(name, stock.edge);
            self.sheets.push(CutSheet { file: format!("{file}-large-{}.svg", k + 1), page });
        }
    }
}

/// Puts a part on a sheet where its bounds have the lower left corner `at` and the size `size`, and leads its cuts for the kerf.
fn put(page: &mut Page, part: &Part, at: [f64; 2], size: [f64; 2], kerf: f64) {
    let turned = (size[0] - part.bounds.size()[0]).abs() > 1e-6;
    let map = if turned { Affine::quarter_turn() } else { Affine::IDENTITY };
    let corner = map.apply_rect(&part.bounds).min;
    let map = map.then(&Affine::shift([at[0] - corner[0], at[1] - corner[1]]));
    let led = compensated(part, kerf);
    page.items.extend(led.drawing.items.iter().map(|i| Placed { item: i.mapped(&map), clip: None }));
}
