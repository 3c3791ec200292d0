//! The finished picture and what stands behind the bodies.

use crate::colour::{from_srgb, mix};

/// An RGBA picture, 8 bits a channel, rows from the top.
///
/// Opacity is straight, not multiplied into the colours; where it is 0 the colours are 0 too.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Picture {
    /// Pixels across.
    pub width: u32,
    /// Pixels down.
    pub height: u32,
    /// Four bytes for each pixel: red, green, blue, opacity.
    pub rgba: Vec<u8>,
}

impl Picture {
    /// The four bytes of a pixel, `None` outside the picture.
    pub fn pixel(&self, x: u32, y: u32) -> Option<[u8; 4]> {
        if x >= self.width || y >= self.height {
            return None;
        }
        let at = 4 * (y as usize * self.width as usize + x as usize);
        self.rgba.get(at..at + 4)?.try_into().ok()
    }
}

/// What is seen where no body is.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Background {
    /// Nothing: transparent, to be laid over something else.
    #[default]
    Clear,
    /// One colour.
    Plain([u8; 3]),
    /// From one colour at the upper edge to another at the lower.
    Gradient {
        /// At the upper edge.
        top: [u8; 3],
        /// At the lower edge.
        bottom: [u8; 3],
    },
}

impl Background {
    /// Light and opacity at a height, 0 at the upper edge to 1 at the lower.
    pub(crate) fn light(self, down: f32) -> ([f32; 3], f32) {
        match self {
            Self::Clear => ([0.0; 3], 0.0),
            Self::Plain(colour) => (from_srgb(colour), 1.0),
            Self::Gradient { top, bottom } => (mix(from_srgb(top), from_srgb(bottom), down), 1.0),
        }
    }
}
