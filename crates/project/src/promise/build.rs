//! What the build promises.

use super::{MAX_MM, MAX_STATIONS, check_count, check_mm, check_range, check_stations, check_thickness};
use crate::build::{Build, Coat, Foam, Formers, MeasuredWidth, Sanding, Stack};
use crate::edit::Refused;

/// A stack has at most this many boards.
pub const MAX_BOARDS: usize = 500;
/// Formers have at most this many pairs of dowels.
pub const MAX_DOWELS: usize = 50;
/// At most this many measured widths are kept.
pub const MAX_MEASURED: usize = 2000;
/// A board is at least this thick, mm.
pub const MIN_BOARD: f64 = 0.1;
/// Foam, webs, lands and holes measure at most this much, mm.
const MAX_FOAM: f64 = 1000.0;
/// A side of a board or sheet is at least this long, mm.
const MIN_SIDE: f64 = 10.0;

/// The whole build.
///
/// # Errors
/// The first promise that is broken.
pub fn check_build(build: &Build) -> Result<(), Refused> {
    check_coat(&build.coat)?;
    check_stack(&build.stack)?;
    check_formers(&build.formers)?;
    check_foam(&build.foam)?;
    check_sanding(&build.sanding)
}

/// Thicknesses over the plug.
///
/// # Errors
/// One out of range.
pub fn check_coat(coat: &Coat) -> Result<(), Refused> {
    check_thickness("The thickness of the laminate", coat.laminate)?;
    check_thickness("The thickness of the filler", coat.filler)?;
    check_thickness("The thickness of the paint", coat.paint)
}

/// Boards, cards and glue.
///
/// # Errors
/// A thickness out of range or too many boards.
pub fn check_stack(stack: &Stack) -> Result<(), Refused> {
    check_count("boards in the stack", stack.boards.len(), MAX_BOARDS)?;
    stack.boards.iter().try_for_each(|board| check_board(*board))?;
    check_thickness("The thickness of a card", stack.card)?;
    check_thickness("The thickness of a glue joint", stack.glue)?;
    check_range("The foam ahead of the first face", stack.nose_foam, 0.0, MAX_FOAM)?;
    check_thickness("The thickness of the ring plate", stack.ring_plate)?;
    check_range("The sagitta that is allowed between formers", stack.allowed_sagitta, 0.001, 100.0)
}

/// The measured thickness of a board.
///
/// # Errors
/// Out of range.
pub fn check_board(board: f64) -> Result<(), Refused> {
    check_range("The thickness of a board", board, MIN_BOARD, MAX_FOAM)
}

/// Formers and their templates.
///
/// # Errors
/// A value out of range or too many dowels.
pub fn check_formers(formers: &Formers) -> Result<(), Refused> {
    check_thickness("The inset of the formers", formers.inset)?;
    check_thickness("The clearance of a slot", formers.slot_clearance)?;
    check_thickness("The clearance at the end of two slots", formers.end_clearance)?;
    check_range("The least web of a former", formers.least_web, 0.0, MAX_FOAM)?;
    formers.breadth_template.iter().try_for_each(|z| check_mm("The height of the breadth template", *z))?;
    check_range("The bevel from which on it is given, in degrees,", formers.bevel_from_deg, 0.0, 90.0)?;
    check_range("The diameter of the shaft hole", formers.shaft_hole, 0.0, MAX_FOAM)?;
    check_count("pairs of dowels", formers.dowels.len(), MAX_DOWELS)?;
    formers.dowels.iter().try_for_each(|dowel| check_dowel(*dowel))?;
    check_thickness("The diameter of the dowels", formers.dowel_diameter)?;
    check_range("The web around lightening holes", formers.lightening_web, 0.0, MAX_FOAM)
}

/// A pair of dowels by the one to starboard.
///
/// # Errors
/// Out of range, or to port.
pub fn check_dowel([y, z]: [f64; 2]) -> Result<(), Refused> {
    check_range("The half-breadth of a pair of dowels", y, 0.0, MAX_MM)?;
    check_mm("The height of a dowel", z)
}

/// Foam blocks, boards and sheets of card.
///
/// # Errors
/// A value out of range, or an edge that leaves nothing of the board.
pub fn check_foam(foam: &Foam) -> Result<(), Refused> {
    check_thickness("The sanding allowance", foam.allowance)?;
    foam.board.iter().try_for_each(|side| check_range("The side of a foam board", *side, MIN_SIDE, MAX_MM))?;
    check_thickness("The width of the cut between blocks", foam.kerf)?;
    check_range("The margin at the edge of a board", foam.edge, 0.0, MAX_FOAM)?;
    check_range("The density of the foam in kg/m³", foam.density, 0.0, 2000.0)?;
    check_range("The weight of the card in g/m²", foam.card_weight, 0.0, 100_000.0)?;
    foam.card_sheet.iter().try_for_each(|side| check_range("The side of a sheet of card", *side, MIN_SIDE, MAX_MM))?;
    check_edge(foam)
}

fn check_edge(foam: &Foam) -> Result<(), Refused> {
    let half = foam.board[0].min(foam.board[1]) / 2.0;
    if foam.edge < half {
        return Ok(());
    }
    Err(Refused::new(
        format!("A margin of {} mm leaves nothing of the foam board.", foam.edge),
        format!("Keep it below half of the smaller side: {half} mm."),
    ))
}

/// Outside templates and what was measured after sanding.
///
/// # Errors
/// Stations out of order, a value out of range, or too many.
pub fn check_sanding(sanding: &Sanding) -> Result<(), Refused> {
    check_count("outside templates", sanding.stations.len(), MAX_STATIONS)?;
    check_stations(&sanding.stations)?;
    check_range("The least width of an outside template", sanding.land, 0.0, MAX_FOAM)?;
    check_count("measured widths", sanding.measured.len(), MAX_MEASURED)?;
    sanding.measured.iter().try_for_each(|measured| check_measured_width(*measured))
}

/// A width measured with calipers.
///
/// # Errors
/// Out of range.
pub fn check_measured_width(measured: MeasuredWidth) -> Result<(), Refused> {
    check_mm("The station of a measured width", measured.station)?;
    check_mm("The height of a measured width", measured.height)?;
    check_range("A measured width", measured.width, 0.0, MAX_MM)
}
