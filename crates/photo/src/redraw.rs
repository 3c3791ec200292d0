//! A picture drawn anew, so that a plane in it is square and to scale, or straight lines are straight.

use crate::decode::MOST_PIXELS;
use crate::{Lens, Photo, Rectification};

/// Why a picture cannot be drawn anew. The text says what to do.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum RedrawError {
    /// Nothing to draw, or a number is not finite.
    #[error("The part to draw is empty. Choose an area of more than 0 mm and a scale of more than 0 mm to the pixel.")]
    Empty,
    /// More pixels than can be handled.
    #[error(
        "The picture would have {width:.0} x {height:.0} pixels, more than {} million. Choose a smaller area, or more mm to \
         the pixel.",
        MOST_PIXELS / 1_000_000
    )]
    TooLarge {
        /// Pixels across.
        width: f64,
        /// Pixels down.
        height: f64,
    },
}

impl Photo {
    /// A picture of `size` whose pixels come from where `source` says: given the middle of a pixel of the new picture, the
    /// place in this one. Between the middles of pixels colours are mixed (bilinear); where `source` gives nothing, or a
    /// place outside, the new picture is clear.
    ///
    /// # Errors
    /// [`RedrawError::Empty`], [`RedrawError::TooLarge`].
    pub fn redrawn(&self, size: [u32; 2], source: impl Fn([f64; 2]) -> Option<[f64; 2]>) -> Result<Self, RedrawError> {
        let [width, height] = size;
        refuse(f64::from(width), f64::from(height))?;
        let mut rgba = Vec::with_capacity(4 * width as usize * height as usize);
        for y in 0..height {
            for x in 0..width {
                let from = source([f64::from(x) + 0.5, f64::from(y) + 0.5]);
                rgba.extend(from.map_or([0; 4], |at| self.colour(at)));
            }
        }
        Ok(Self { width, height, rgba })
    }

    /// The plane of a known figure, square and to scale: from `least` to `most` in its mm, x to the right and y down, at
    /// `mm_per_px`. `full_px` is the size of the picture in which the figure was marked, of which this may be a reduced copy.
    ///
    /// # Errors
    /// As [`Photo::redrawn`].
    pub fn rectified(
        &self,
        plane: &Rectification,
        full_px: [u32; 2],
        [least, most]: [[f64; 2]; 2],
        mm_per_px: f64,
    ) -> Result<Self, RedrawError> {
        let sides = [0, 1].map(|k| ((most[k] - least[k]) / mm_per_px).ceil());
        refuse(sides[0], sides[1])?;
        let reduced = self.reduction(full_px);
        let source = |p: [f64; 2]| {
            let pixel = plane.show([0, 1].map(|k| least[k] + p[k] * mm_per_px))?;
            Some([pixel[0] * reduced[0], pixel[1] * reduced[1]])
        };
        self.redrawn(sides.map(|s| s as u32), source)
    }

    /// The whole picture as a pinhole without a lens would have taken it. `centre`, `focal_px` and `full_px` are those of the
    /// picture in which the lens was measured, of which this may be a reduced copy.
    ///
    /// # Errors
    /// As [`Photo::redrawn`].
    pub fn straightened(
        &self,
        lens: &Lens,
        centre: [f64; 2],
        focal_px: f64,
        full_px: [u32; 2],
    ) -> Result<Self, RedrawError> {
        let reduced = self.reduction(full_px);
        self.redrawn([self.width, self.height], |p| {
            let shown = lens.bent([0, 1].map(|k| p[k] / reduced[k]), centre, focal_px)?;
            Some([shown[0] * reduced[0], shown[1] * reduced[1]])
        })
    }

    fn reduction(&self, full_px: [u32; 2]) -> [f64; 2] {
        let side = |own: u32, full: u32| f64::from(own) / f64::from(full.max(1));
        [side(self.width, full_px[0]), side(self.height, full_px[1])]
    }

    /// The colour at a place; clear outside.
    fn colour(&self, [x, y]: [f64; 2]) -> [u8; 4] {
        let (width, height) = (f64::from(self.width), f64::from(self.height));
        if !(x >= 0.0 && y >= 0.0 && x <= width && y <= height) {
            return [0; 4];
        }
        // From pixel middles; the half pixel at the rim takes the rim's colour.
        let (x, y) = ((x - 0.5).clamp(0.0, width - 1.0), (y - 0.5).clamp(0.0, height - 1.0));
        let (left, top) = (x.floor(), y.floor());
        let (right, below) = ((left + 1.0).min(width - 1.0), (top + 1.0).min(height - 1.0));
        let (a, b) = (x - left, y - top);
        let corners = [
            (left, top, (1.0 - a) * (1.0 - b)),
            (right, top, a * (1.0 - b)),
            (left, below, (1.0 - a) * b),
            (right, below, a * b),
        ];
        let mut sum = [0.0; 4];
        for (x, y, share) in corners {
            let at = 4 * (y as usize * self.width as usize + x as usize);
            for (total, value) in sum.iter_mut().zip(self.rgba.iter().skip(at)) {
                *total += share * f64::from(*value);
            }
        }
        sum.map(|c| c.round() as u8)
    }
}

fn refuse(width: f64, height: f64) -> Result<(), RedrawError> {
    if !(width >= 1.0 && height >= 1.0 && width.is_finite() && height.is_finite()) {
        return Err(RedrawError::Empty);
    }
    if width * height > MOST_PIXELS as f64 { Err(RedrawError::TooLarge { width, height }) } else { Ok(()) }
}
