//! A line of the form read in a photograph: traced pixels become places in mm, each at the depth where the line lies.

use super::depth::{Depth, DepthFailure, Reading};
use photo::Plane;
use project::document::{Document, Form, LineName, Picture};
use project::edit::Refused;

/// A line as a photograph shows it.
#[derive(Clone, Debug, PartialEq)]
pub struct LineReading {
    /// The line.
    pub line: LineName,
    /// Its points by rising station.
    pub points: Vec<LinePlace>,
}

/// A point of a line, read.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LinePlace {
    /// mm aft of the datum.
    pub x: f64,
    /// Height or half-breadth, mm.
    pub value: f64,
    /// Standard deviation, mm; `None` where only the distance to the camera is known.
    pub sigma: Option<f64>,
    /// How wrong the picture's plain scale would be here, mm at the model; `None` for a picture without a scale.
    pub error: Option<f64>,
    /// Index of the traced pixel.
    pub pixel: usize,
}

impl LineReading {
    /// The greatest error that the plain scale would have made, mm at the model.
    pub fn greatest_error(&self) -> Option<f64> {
        self.points.iter().filter_map(|p| p.error).reduce(f64::max)
    }

    /// Standard deviation of its points, root mean square, mm; `None` where it is not known.
    pub fn sigma(&self) -> Option<f64> {
        let squares: Vec<f64> = self.points.iter().filter_map(|p| p.sigma.map(|s| s * s)).collect();
        (!squares.is_empty()).then(|| (squares.iter().sum::<f64>() / squares.len() as f64).sqrt())
    }
}

/// Why a line cannot be read.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum LineFailure {
    /// Nothing to read.
    #[error("Nothing is traced. Trace the line from front to rear.")]
    Nothing,
    /// The picture or a pixel cannot be read at depth.
    #[error("{0}")]
    Depth(#[from] DepthFailure),
    /// The line lies at a depth that another line says.
    #[error("The {line} line lies where the {needed} line says. {refused}", line = .line.label().to_lowercase(), needed = .needed.label().to_lowercase())]
    Needs {
        /// The line.
        line: LineName,
        /// The line that is missing.
        needed: LineName,
        /// What is wrong with it.
        refused: Refused,
    },
}

/// Times that a depth is corrected by the place that was read with it: each brings the error down by the share of the depth in
/// the distance.
const ROUNDS: usize = 4;

/// Reads a line of the first form where it was traced in a picture, px: crown and keel on the centre plane, the breadth at the
/// breadth height, the breadth height at the half-breadth on the camera's side.
///
/// # Errors
/// Nothing is traced, the picture cannot be read at depth, or its view does not show that line.
pub fn read_line(
    document: &Document,
    picture: &Picture,
    pixels: &[[f64; 2]],
    line: LineName,
) -> Result<LineReading, LineFailure> {
    let depth = Depth::of(document, picture)?;
    read_line_through(document, &depth, pixels, line)
}

/// [`read_line`] with the depth at hand, for many traces of one picture.
///
/// # Errors
/// As [`read_line`].
pub fn read_line_through(
    document: &Document,
    depth: &Depth,
    pixels: &[[f64; 2]],
    line: LineName,
) -> Result<LineReading, LineFailure> {
    if pixels.is_empty() {
        return Err(LineFailure::Nothing);
    }
    let form = document.forms.first();
    let mut points = Vec::with_capacity(pixels.len());
    for (pixel, at) in pixels.iter().enumerate() {
        let reading = match line {
            LineName::Crown | LineName::Keel => depth.read(*at, &Plane::at_half_breadth(0.0))?,
            LineName::Breadth => at_line(form, depth, *at, (line, LineName::BreadthHeight))?,
            LineName::BreadthHeight => at_line(form, depth, *at, (line, LineName::Breadth))?,
        };
        let value = if line == LineName::Breadth { reading.at[1].abs() } else { reading.at[2] };
        points.push(LinePlace { x: reading.at[0], value, sigma: reading.sigma, error: reading.error_mm(), pixel });
    }
    points.sort_by(|a, b| a.x.total_cmp(&b.x));
    Ok(LineReading { line, points })
}

/// Reads a pixel of a line whose depth another line says: that one is read at the station found, until both agree.
fn at_line(
    form: Option<&std::sync::Arc<Form>>,
    depth: &Depth,
    pixel: [f64; 2],
    (line, needed): (LineName, LineName),
) -> Result<Reading, LineFailure> {
    let missing = || LineFailure::Needs {
        line,
        needed,
        refused: Refused::new("The first form does not have it yet.", "Begin the form, or draw that line first."),
    };
    let curve = form.and_then(|f| form::line(f.lines.get(needed)).ok()).ok_or_else(missing)?;
    let plane = |x: Option<f64>| {
        let value = x.map_or_else(|| curve.points()[0].value, |x| curve.at(x).value);
        match line {
            LineName::BreadthHeight => Plane::at_half_breadth(depth.side() * value),
            _ => Plane { at: [0.0, 0.0, value], normal: [0.0, 0.0, 1.0] },
        }
    };
    let mut reading = depth.read(pixel, &plane(None))?;
    for _ in 0..ROUNDS {
        reading = depth.read(pixel, &plane(Some(reading.at[0])))?;
    }
    Ok(reading)
}
