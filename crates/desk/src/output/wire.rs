//! Sheets for a hot wire: of every block the outlines of both faces, with marks that belong together.

use super::cut::CutSheet;
use plug::{Block, Plan, Region, Side};
use sheets::kerf::compensated;
use sheets::{Affine, Drawing, Ink, Page, Part, Path, Placed, Rect, Stroke, Text};

/// Paper round the faces and between them, mm.
const MARGIN: f64 = 20.0;
/// Length of a mark, mm, from the outline outward.
const MARK: f64 = 5.0;
/// Sizes of words, mm.
const TITLE: f64 = 5.0;
const SMALL: f64 = 3.0;

/// One sheet for each block that a wire can cut, in the blocks' order. Outlines hold the sanding allowance and are led for cuts of
/// `kerf` mm.
pub(super) fn wire_sheets(plan: &Plan, allowance: f64, kerf: f64) -> Vec<CutSheet> {
    plan.blocks.iter().filter_map(|b| sheet(b, allowance, kerf)).collect()
}

/// Both faces side by side, each within the block as it is cut, so that the two stand at the same height.
fn sheet(block: &Block, allowance: f64, kerf: f64) -> Option<CutSheet> {
    let path = block.wire(allowance)?;
    let (width, height) = (block.size[0] + 2.0 * MARGIN, block.size[1] + 2.0 * MARGIN + TITLE);
    let page_name = format!(
        "Block {} for the wire: {:.0} × {:.0} × {:.2} mm, {allowance:.1} mm to sand",
        block.name,
        block.size[0],
        block.size[1],
        block.thickness()
    );
    let mut page = Page { width_mm: 2.0 * width, height_mm: height, name: page_name, items: Vec::new() };
    let faces = [
        (&path.front, &path.front_marks, "front face", block.stations.0),
        (&path.rear, &path.rear_marks, "rear face", block.stations.1),
    ];
    for (k, (face, marks, name, station)) in faces.into_iter().enumerate() {
        let drawing = face_drawing(block, face, marks, &format!("{} · {name} · {station:.1}", block.name));
        let led = compensated(&Part::new("face", name, drawing), kerf);
        // Starboard is drawn at the left, so the block's lower left corner is that of its mirror.
        let left = -(block.corner[0] + block.size[0]);
        let shift = Affine::shift([MARGIN + k as f64 * width - left, MARGIN - block.corner[1]]);
        page.items.extend(led.drawing.items.iter().map(|i| Placed { item: i.mapped(&shift), clip: None }));
    }
    let words = "both looking aft; turn the rear face's over to pin it on; same numbers at the same time";
    let note = Text::new(words, [MARGIN, 0.2 * MARGIN], SMALL);
    page.items.push(Placed { item: note.into(), clip: None });
    let file = format!("wire-{}.svg", block.name.to_lowercase().replace(' ', "-"));
    Some(CutSheet { file, page })
}

fn face_drawing(block: &Block, face: &Region, marks: &[[f64; 2]], title: &str) -> Drawing {
    let mut d = Drawing::default();
    let aft = |[y, z]: [f64; 2]| [-y, z];
    let (low, size) = (block.corner, block.size);
    let side = if block.side == Side::Port { -1.0 } else { 1.0 };
    let around = Rect::at([-(low[0] + size[0]), low[1]], size);
    d.push(Path::rect(&around, Some(Stroke::solid(0.13, Ink::DARK)), None));
    for contour in face.mirrored().pieces.iter().flatten() {
        d.push(Path::polygon(contour, Some(Stroke::cut()), None));
    }
    for (i, p) in marks.iter().enumerate() {
        let before = marks[i.saturating_sub(1)];
        let after = marks[(i + 1).min(marks.len() - 1)];
        // Down the curve outward is to the left on the starboard side.
        let along = [after[0] - before[0], after[1] - before[1]];
        let length = along[0].hypot(along[1]).max(1e-9);
        let out = [-side * along[1] / length, side * along[0] / length];
        let at = |reach: f64| aft([p[0] + reach * out[0], p[1] + reach * out[1]]);
        d.push(Path::line(at(0.0), at(MARK), Stroke::solid(0.18, Ink::BLACK)));
        let mut number = Text::new(i.to_string(), at(MARK + 2.0), SMALL).anchored(sheets::Anchor::Middle);
        number.at[1] -= 0.36 * SMALL;
        d.push(number);
    }
    let at = [around.min[0], around.max[1] + 0.75 * MARGIN];
    d.push(Text::new(title, at, TITLE).bold());
    d
}
