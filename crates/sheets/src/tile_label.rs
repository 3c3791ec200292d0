//! What a tile says of itself, in words for wide tiles and for narrow ones.

use crate::font;
use crate::layout::Tile;
use crate::words::{Block, Line};

const SIZE_MM: f64 = 2.6;
/// The smallest size, 6 pt, mm.
const LEAST_SIZE_MM: f64 = 6.0 * 25.4 / 72.0;

/// A tile's part and place.
pub(crate) struct TileLabel<'a> {
    pub(crate) title: &'a str,
    pub(crate) tile: Tile,
}

impl TileLabel<'_> {
    /// Everything on one line or two, the best first.
    pub(crate) fn whole(&self) -> Vec<Block> {
        [1.2 * SIZE_MM, SIZE_MM, LEAST_SIZE_MM].iter().flat_map(|&size| [self.two(size), self.one(size)]).collect()
    }

    /// For tiles with little room, the best first: wrapped to the room or to columns, then the place first and the title
    /// shortened, then the place alone. `room` is the tile's width and height, mm; the words may run along either.
    pub(crate) fn narrow(&self, room: [f64; 2]) -> Vec<Block> {
        let size = LEAST_SIZE_MM;
        let mut widths = vec![room[0].max(room[1]), room[0].min(room[1]), 20.0 * size, 12.0 * size, 7.0 * size];
        widths.retain(|&w| w <= room[0].max(room[1]));
        widths.sort_by(|a, b| b.total_cmp(a));
        let mut blocks = vec![self.two(size), self.one(size)];
        blocks.extend(widths.iter().map(|&w| self.two(size).wrapped(w)));
        blocks.extend(widths.iter().map(|&w| self.shortened(size, w)));
        let place = Line::bold(self.place(), size);
        blocks.push(Block::new(vec![place.clone()]));
        blocks.extend(widths.iter().map(|&w| Block::new(vec![place.clone()]).wrapped(w)));
        blocks.push(Block::new(vec![Line::bold(format!("{}/{}", self.tile.row, self.tile.column), size)]));
        blocks
    }

    fn one(&self, size: f64) -> Block {
        Block::new(vec![Line::bold(format!("{}: {}", self.title, self.place()), size)])
    }

    fn two(&self, size: f64) -> Block {
        Block::new(vec![Line::bold(self.title, size), Line::new(self.place(), size)])
    }

    /// The place wrapped to a width, and under it what fits of the title.
    fn shortened(&self, size: f64, width: f64) -> Block {
        let mut block = Block::new(vec![Line::bold(self.place(), size)]).wrapped(width);
        let title = font::fitted(self.title, size, false, width);
        block.lines.extend(Some(title).filter(|t| !t.is_empty()).map(|t| Line::new(t, size)));
        block
    }

    fn place(&self) -> String {
        let Tile { row, rows, column, columns } = self.tile;
        match (rows, columns) {
            (_, 1) => format!("row {row} of {rows}"),
            (1, _) => format!("column {column} of {columns}"),
            _ => format!("row {row} of {rows}, column {column} of {columns}"),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const TILE: Tile = Tile { row: 1, rows: 3, column: 2, columns: 2 };

    /// A tile 15 mm wide and 12 mm high holds none of the long forms, yet says its row and column whole.
    #[test]
    fn a_small_tile_still_says_its_row_and_column() {
        let label = TileLabel { title: "Outside 750.0 mm, starboard", tile: TILE };
        let room = [15.0, 12.0];
        let fits = |b: &Block| (0..2).all(|k| b.size()[k] <= room[k]);
        assert!(!label.whole().iter().any(fits));
        let narrow = label.narrow(room);
        let first = narrow.iter().find(|b| fits(b)).map(|b| {
            let lines: Vec<&str> = b.lines.iter().map(|l| l.text.as_str()).collect();
            lines.join(" ")
        });
        assert!(first.as_ref().is_some_and(|w| w.starts_with("row 1 of 3, column 2 of 2")), "{first:?}");
    }

    #[test]
    fn nothing_is_set_smaller_than_six_points() {
        let label = TileLabel { title: "Outside of the crown line", tile: TILE };
        let blocks = label.whole().into_iter().chain(label.narrow([8.0, 200.0]));
        for line in blocks.flat_map(|b| b.lines) {
            assert!(line.size_mm * 72.0 / 25.4 >= 6.0 - 1e-9, "{line:?}");
        }
    }

    #[test]
    fn every_form_names_the_place_in_full_or_as_the_map_does() {
        let label = TileLabel { title: "Keel", tile: TILE };
        for block in label.whole().into_iter().chain(label.narrow([9.0, 60.0])) {
            let lines: Vec<&str> = block.lines.iter().map(|l| l.text.as_str()).collect();
            let words = lines.join(" ");
            assert!(words.contains("row 1 of 3, column 2 of 2") || words == "1/2", "{words}");
        }
    }
}
