//! Blocks of foam, and how they are cut from boards.

use super::composer::{Align, Composer, Table, label};
use super::{count, mm};
use plug::{BoardPlan, Plan};
use project::build::Foam;
use sheets::{Affine, Anchor, Drawing, Ink, Path, Rect, Stroke, Text};

pub(super) fn set(c: &mut Composer, plan: &Plan, foam: &Foam) {
    c.chapter("Foam");
    c.text(&format!(
        "{}, each cut {} mm larger on every side that is sanded. Write its name on every block as soon as it is cut, and which face is \
         the front.",
        count(plan.blocks.len(), "block"),
        mm(foam.allowance)
    ));
    blocks(c, plan);
    c.heading("Cutting plan");
    c.text(&format!(
        "Trim {} mm off every edge of a board; a cut is taken to be {} mm wide. Every dashed line is a straight cut through the piece \
         that is left at that time.",
        mm(foam.edge),
        mm(foam.kerf)
    ));
    for boards in &plan.boards {
        for number in 0..boards.nesting.boards {
            c.figure(&board(plan, boards, number, foam, [c.width(), 0.4 * c.height()]));
            c.caption(&format!(
                "Board {} of {}, {} mm thick, {:.0} × {:.0} mm.",
                number + 1,
                boards.nesting.boards,
                mm(boards.thickness),
                foam.board[0],
                foam.board[1]
            ));
        }
        for &piece in &boards.nesting.too_large {
            if let Some(block) = boards.blocks.get(piece).and_then(|&i| plan.blocks.get(i)) {
                c.loud(&format!("Block {} is larger than a board: join boards edge to edge for it.", block.name));
            }
        }
    }
}

fn blocks(c: &mut Composer, plan: &Plan) {
    let right = Align::Right;
    let mut table = Table::new(&[
        ("Block", Align::Left),
        ("From mm", right),
        ("To mm", right),
        ("Thickness mm", right),
        ("Breadth mm", right),
        ("Height mm", right),
        ("As cut, litres", right),
        ("Sanded, litres", right),
    ]);
    for b in &plan.blocks {
        table.row([
            b.name.clone(),
            mm(b.stations.0),
            mm(b.stations.1),
            mm(b.thickness()),
            mm(b.size[0]),
            mm(b.size[1]),
            format!("{:.3}", b.cut_volume() / 1e6),
            format!("{:.3}", b.volume / 1e6),
        ]);
    }
    c.table(&table);
}

/// Size of names on a board, mm on paper.
const NAME: f64 = 2.6;

fn board(plan: &Plan, boards: &BoardPlan, number: usize, foam: &Foam, room: [f64; 2]) -> Drawing {
    let mut d = Drawing::default();
    let [w, h] = foam.board;
    let k = (room[0] / w.max(1e-9)).min(room[1] / h.max(1e-9));
    let map = Affine::scale([k, k]);
    let whole = Rect::at([0.0; 2], [k * w, k * h]);
    d.push(Path::rect(&whole, Some(Stroke::solid(0.35, Ink::DARK)), None));
    for cut in boards.nesting.cuts.iter().filter(|c| c.board == number) {
        d.push(Path::line(map.apply(cut.from), map.apply(cut.to), Stroke::dashed(0.12, Ink::MID, &[2.0, 1.0])));
    }
    for piece in boards.nesting.placed.iter().filter(|p| p.board == number) {
        let Some(block) = boards.blocks.get(piece.piece).and_then(|&i| plan.blocks.get(i)) else { continue };
        let area = map.apply_rect(&Rect::at(piece.at, piece.size));
        d.push(Path::rect(&area, Some(Stroke::solid(0.2, Ink::BLACK)), Some(Ink([236, 240, 244]))));
        let size = format!("{:.0} × {:.0}", piece.size[0], piece.size[1]);
        let c = area.centre();
        inscribe(&mut d, &area, &block.name, c[1] + 0.2 * NAME, true);
        inscribe(&mut d, &area, &size, c[1] - 1.1 * NAME, false);
    }
    d
}

/// Words in the middle of an area, smaller where they must be; left out where they could not be read.
fn inscribe(d: &mut Drawing, area: &Rect, words: &str, level: f64, bold: bool) {
    let mut text = Text::new(words, [area.centre()[0], level], NAME).anchored(Anchor::Middle);
    text.bold = bold;
    text.size_mm *= (0.92 * area.size()[0] / text.width().max(1e-9)).min(1.0);
    if text.size_mm >= 1.2 && area.holds(&text.bounds(), 0.3) {
        label(d, [text]);
    }
}
