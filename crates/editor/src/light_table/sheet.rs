//! How near the picture lies, and which part of it is in sight.

use egui::{Pos2, Rect, Vec2, pos2};

/// The map from the picture's pixels to the screen: never turned, only scaled and moved.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Sheet {
    /// Points of the screen for one pixel of the picture.
    pub(crate) scale: f64,
    /// The pixel in the middle of the table.
    pub(crate) middle: [f64; 2],
    /// The whole picture shows, and shall whenever the table changes its size.
    pub(crate) fitted: bool,
}

impl Default for Sheet {
    fn default() -> Self {
        Self { scale: 1.0, middle: [0.0; 2], fitted: true }
    }
}

/// Points for one pixel: from a large picture as a stamp to single pixels as tiles.
const SCALES: [f64; 2] = [0.01, 60.0];
/// Room around a picture that shows as a whole, as a share.
const ROOM: f64 = 0.96;

impl Sheet {
    /// Shows the whole picture.
    pub(crate) fn fit(&mut self, table: Rect, size_px: [u32; 2]) {
        let [w, h] = size_px.map(|s| f64::from(s.max(1)));
        let scale = (f64::from(table.width()) / w).min(f64::from(table.height()) / h) * ROOM;
        *self = Self { scale: scale.clamp(SCALES[0], SCALES[1]), middle: [0.5 * w, 0.5 * h], fitted: true };
    }

    /// Where a pixel is on the screen.
    pub(crate) fn screen(&self, table: Rect, [x, y]: [f64; 2]) -> Pos2 {
        let c = table.center();
        pos2(
            (f64::from(c.x) + (x - self.middle[0]) * self.scale) as f32,
            (f64::from(c.y) + (y - self.middle[1]) * self.scale) as f32,
        )
    }

    /// The pixel at a place of the screen.
    pub(crate) fn px(&self, table: Rect, at: Pos2) -> [f64; 2] {
        let by = at - table.center();
        [self.middle[0] + f64::from(by.x) / self.scale, self.middle[1] + f64::from(by.y) / self.scale]
    }

    /// Comes nearer, keeping the pixel under the pointer.
    pub(crate) fn zoom_at(&mut self, table: Rect, pointer: Pos2, factor: f64) {
        let keep = self.px(table, pointer);
        let scale = (self.scale * factor).clamp(SCALES[0], SCALES[1]);
        let share = self.scale / scale;
        self.middle = [0, 1].map(|i| keep[i] + (self.middle[i] - keep[i]) * share);
        (self.scale, self.fitted) = (scale, false);
    }

    /// Moves the picture by a distance on the screen.
    pub(crate) fn pan(&mut self, by: Vec2) {
        self.middle[0] -= f64::from(by.x) / self.scale;
        self.middle[1] -= f64::from(by.y) / self.scale;
        self.fitted = false;
    }

    /// Brings a pixel into sight, if it is out of it.
    pub(crate) fn reveal(&mut self, table: Rect, px: [f64; 2]) {
        if !table.shrink(20.0).contains(self.screen(table, px)) {
            (self.middle, self.fitted) = (px, false);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use egui::vec2;

    fn table() -> Rect {
        Rect::from_min_size(pos2(40.0, 60.0), vec2(600.0, 500.0))
    }

    #[test]
    fn a_fitted_picture_shows_whole_and_in_the_middle() {
        let mut sheet = Sheet::default();
        sheet.fit(table(), [4000, 3000]);
        for corner in [[0.0, 0.0], [4000.0, 3000.0]] {
            assert!(table().contains(sheet.screen(table(), corner)));
        }
        assert_eq!(sheet.screen(table(), [2000.0, 1500.0]), table().center());
    }

    #[test]
    fn coming_nearer_keeps_the_pixel_under_the_pointer() {
        let mut sheet = Sheet::default();
        sheet.fit(table(), [4000, 3000]);
        let pointer = pos2(100.0, 200.0);
        let before = sheet.px(table(), pointer);
        sheet.zoom_at(table(), pointer, 7.0);
        let after = sheet.px(table(), pointer);
        assert!((before[0] - after[0]).abs() < 1e-9 && (before[1] - after[1]).abs() < 1e-9);
        assert!(!sheet.fitted);
        sheet.reveal(table(), [3900.0, 2900.0]);
        assert!(table().contains(sheet.screen(table(), [3900.0, 2900.0])));
    }
}
