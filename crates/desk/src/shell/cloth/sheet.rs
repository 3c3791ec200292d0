//! A plain sheet of glass or veneer wrapped round a stretch of the form, unfolded.

use super::{ClothFailure, ClothSurface};
use shell::cloth::develop::{Unfolded, develop};

/// A sheet wrapped round a stretch of the form, from the keel over the crown and back to the keel.
#[derive(Clone, Debug, PartialEq)]
pub struct WrappedSheet {
    /// From this station to that, mm.
    pub stations: [f64; 2],
    /// The sheet, unfolded, mm.
    pub unfolded: Unfolded,
}

/// Strips of a sheet: so many that the outline of a cone or cylinder of half a metre is true within 0.01 mm.
const STRIPS: usize = 720;

/// Unfolds the sheet between two stations. Whether it lies down is told by [`Unfolded::lies_down`].
///
/// # Errors
/// Stations that are not on the form, or not in order.
pub fn wrapped_sheet(surface: &ClothSurface, from: f64, to: f64) -> Result<WrappedSheet, ClothFailure> {
    let [low, high] = surface.stations;
    let failure = ClothFailure::Sheet { low, high };
    let outside = &surface.outside;
    let ends =
        (from < to).then(|| Some([outside.at_station(from, 0.0)?[0], outside.at_station(to, 0.0)?[0]])).flatten();
    let ends = ends.ok_or(failure)?;
    let round = [outside.keel() - 2.0 * outside.keel(), outside.keel()];
    Ok(WrappedSheet { stations: [from, to], unfolded: develop(outside, ends, round, STRIPS) })
}
