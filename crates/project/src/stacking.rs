//! The stack laid between two stations, and the stations that follow from it.
//!
//! ```text
//!   front                                                        end
//!   |ring|nose foam|card|  board 1  |card|  board 2  |card| ... |card|
//!                       ^ a glue joint between every two layers
//! ```
//!
//! So a stack of n boards has n + 1 cards, and nine boards of 30 mm with ten cards of 2 mm are 290 mm long and not 270 (common
//! practice, no source). Where the foremost face is foam alone its card is left out.

use std::borrow::Cow;
use std::sync::Arc;

use crate::airframe::Airframe;
use crate::build::{Closing, Stack};
use crate::document::{Document, Form, LineName};

/// What a layer is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LayerKind {
    /// The plate at the front.
    RingPlate,
    /// Extra foam ahead of the first face.
    NoseFoam,
    /// A card; its number from the front, from 1.
    Card(usize),
    /// A board; its number from the front, from 1.
    Board(usize),
}

/// One layer of the stack.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Layer {
    /// What it is.
    pub kind: LayerKind,
    /// Thickness as measured, mm.
    pub measured: f64,
    /// Thickness that it must have in the stack, mm; differs from the measured one where the closing rule changed it.
    pub thickness: f64,
    /// Station of its front face, mm.
    pub front: f64,
    /// Station of its rear face, mm.
    pub rear: f64,
    /// Running sum from the front of the stack to its rear face, glue joints included, mm; 0 for a ring plate that stands ahead of
    /// the stack.
    pub sum: f64,
}

/// The stack, layer by layer from the front aft.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Ledger {
    /// The layers; none where the stack cannot be built.
    pub layers: Vec<Layer>,
    /// Thickness of each glue joint, mm.
    pub glue: f64,
    /// Station of the stack's front, mm.
    pub front: f64,
    /// Station of the stack's end: where it has to end, exactly, mm.
    pub end: f64,
    /// Length of the stack as measured, before anything was done to close it, mm.
    pub measured_length: f64,
    /// By how much the stack as measured is too short (positive) or too long (negative), mm.
    pub difference: f64,
}

/// What keeps a stack from being built as it is wanted.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum StackProblem {
    /// There are no boards.
    NoBoards,
    /// This board (from 1) would be left with so much thickness, mm.
    NoBoardLeft(usize, f64),
    /// The front was moved aft by this much, mm (ahead where negative), so that the end is met.
    FrontMoved(f64),
}

/// Least thickness of a board that can still be made and glued, mm (common practice, no source).
pub const LEAST_BOARD: f64 = 1.0;
/// A stack that misses its end by less than this as measured is taken as it is, mm.
const AS_IT_IS: f64 = 1e-9;

impl Ledger {
    /// The cards, from the front.
    pub fn cards(&self) -> impl Iterator<Item = &Layer> {
        self.layers.iter().filter(|l| matches!(l.kind, LayerKind::Card(_)))
    }

    /// The boards, from the front.
    pub fn boards(&self) -> impl Iterator<Item = &Layer> {
        self.layers.iter().filter(|l| matches!(l.kind, LayerKind::Board(_)))
    }

    /// The foremost layer behind the ring plate.
    pub fn foremost(&self) -> Option<&Layer> {
        self.layers.iter().find(|l| l.kind != LayerKind::RingPlate)
    }

    /// How many glue joints its length has; that of a ring plate ahead of the stack is not one of them.
    pub fn joints(&self) -> usize {
        self.layers.iter().filter(|l| l.sum > 0.0).count().saturating_sub(1)
    }
}

/// Lays the stack between `front` and `end` (stations of the form's front and of what the stack has to meet, mm) and closes it by
/// the builder's rule, so that its end is `end` within rounding. `plate` is the thickness of a ring plate within that length. Where
/// no board would be left the ledger has no layers.
pub fn lay(stack: &Stack, plate: f64, front: f64, end: f64) -> (Ledger, Option<StackProblem>) {
    let mut layers = layers(stack, plate);
    let joints = layers.len().saturating_sub(1) as f64;
    let length: f64 = layers.iter().map(|l| l.measured).sum::<f64>() + joints * stack.glue;
    let difference = end - front - length;
    let mut ledger = Ledger { layers: Vec::new(), glue: stack.glue, front, end, measured_length: length, difference };
    if stack.boards.is_empty() {
        return (ledger, Some(StackProblem::NoBoards));
    }
    let mut problem = close(stack.closing, &mut layers, &mut ledger);
    for layer in &layers {
        if let LayerKind::Board(number) = layer.kind
            && layer.thickness < LEAST_BOARD
        {
            problem = Some(StackProblem::NoBoardLeft(number, layer.thickness));
            return (ledger, problem);
        }
    }
    place(&mut layers, &ledger);
    ledger.layers = layers;
    (ledger, problem)
}

/// The layers with their measured thickness, not placed yet.
fn layers(stack: &Stack, plate: f64) -> Vec<Layer> {
    let layer = |kind, measured: f64| Layer { kind, measured, thickness: measured, front: 0.0, rear: 0.0, sum: 0.0 };
    let mut all = Vec::new();
    if plate > 0.0 {
        all.push(layer(LayerKind::RingPlate, plate));
    }
    if stack.nose_foam > 0.0 {
        all.push(layer(LayerKind::NoseFoam, stack.nose_foam));
    }
    let mut cards = 0;
    let mut card = |all: &mut Vec<Layer>| {
        cards += 1;
        all.push(layer(LayerKind::Card(cards), stack.card));
    };
    if !stack.foam_front {
        card(&mut all);
    }
    for (i, board) in stack.boards.iter().enumerate() {
        all.push(layer(LayerKind::Board(i + 1), *board));
        card(&mut all);
    }
    all
}

/// Takes up the difference by the builder's rule.
fn close(rule: Closing, layers: &mut [Layer], ledger: &mut Ledger) -> Option<StackProblem> {
    let difference = ledger.difference;
    if difference.abs() < AS_IT_IS {
        return None;
    }
    let mut boards: Vec<&mut Layer> = layers.iter_mut().filter(|l| matches!(l.kind, LayerKind::Board(_))).collect();
    let count = boards.len();
    match rule {
        Closing::LastBoard => {
            if let Some(last) = boards.last_mut() {
                last.thickness += difference;
            }
            None
        }
        Closing::Spread => {
            boards.iter_mut().for_each(|b| b.thickness += difference / count as f64);
            None
        }
        Closing::MoveDatum => {
            ledger.front += difference;
            Some(StackProblem::FrontMoved(difference))
        }
    }
}

/// Gives every layer its stations. The last rear face is set to the end itself, not to a sum.
fn place(layers: &mut [Layer], ledger: &Ledger) {
    let mut x = ledger.front;
    for layer in layers.iter_mut() {
        layer.front = x;
        layer.rear = x + layer.thickness;
        layer.sum = layer.rear - ledger.front;
        x = layer.rear + ledger.glue;
    }
    if let Some(last) = layers.last_mut() {
        last.rear = ledger.end;
        last.sum = ledger.end - ledger.front;
    }
}

/// The ring plate: the one of the thrust line's ring where there is a spinner, which stands ahead of the stack, or else the stack's
/// own, which is within its length.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum RingPlate {
    /// The thrust line's ring, of this thickness, mm.
    OnThrustLine(f64),
    /// The stack's own plate, of this thickness, mm; 0 for none.
    InStack(f64),
}

/// The ring plate of a stack: the one place where it is decided which of the two thicknesses counts.
pub fn ring_plate(stack: &Stack, airframe: &Airframe) -> RingPlate {
    match &airframe.thrust {
        Some(line) if line.spinner.diameter > 0.0 => RingPlate::OnThrustLine(line.ring.thickness),
        _ => RingPlate::InStack(stack.ring_plate),
    }
}

impl RingPlate {
    /// Its thickness within the stack's length, mm.
    pub fn within_stack(self) -> f64 {
        match self {
            Self::OnThrustLine(_) => 0.0,
            Self::InStack(thickness) => thickness,
        }
    }
}

/// Where the stack has to end on a form that reaches from `low` to `high`: at the fuselage if that lies on the form, or else (`Err`)
/// at the form's rear end.
///
/// # Errors
/// The fuselage's station lies off the form; the end that is taken instead.
pub fn end(airframe: &Airframe, (low, high): (f64, f64)) -> Result<f64, f64> {
    let Some(fuselage) = &airframe.fuselage else { return Ok(high) };
    let x = fuselage.station;
    if x > low + 1.0 && x <= high + 1e-6 { Ok(x.min(high)) } else { Err(high) }
}

impl Document {
    /// The document as everything reads it that is not an edit: where the first form's stack is used, its stations are both ends of
    /// the form and the middles of the cards between them. The builder's own stations stay in the document and come back when the
    /// stack is put out of use, or while it cannot be built.
    pub fn in_force(&self) -> Cow<'_, Self> {
        let Some(first) = self.forms.first().filter(|_| self.build.stack.used) else { return Cow::Borrowed(self) };
        let Some(stations) = self.stack_stations(first) else { return Cow::Borrowed(self) };
        let mut document = self.clone();
        if let Some(form) = document.forms.first_mut() {
            *form = Arc::new(Form { stations, ..(**first).clone() });
        }
        Cow::Owned(document)
    }

    /// Ends of the form and middles of the cards on it.
    fn stack_stations(&self, form: &Form) -> Option<Vec<f64>> {
        let (low, high) = length(form)?;
        let end = end(&self.airframe, (low, high)).unwrap_or_else(|rear| rear);
        let stack = &self.build.stack;
        let plate = ring_plate(stack, &self.airframe).within_stack();
        let (ledger, _) = lay(stack, plate, low, end);
        let middles = ledger.cards().map(|c| 0.5 * (c.front + c.rear));
        let inside: Vec<f64> = middles.filter(|x| *x > low + 1e-6 && *x < high - 1e-6).collect();
        (!inside.is_empty()).then(|| std::iter::once(low).chain(inside).chain([high]).collect())
    }
}

/// The stretch that all four master lines of a form share, as their points say.
fn length(form: &Form) -> Option<(f64, f64)> {
    let (mut low, mut high) = (f64::NEG_INFINITY, f64::INFINITY);
    for name in LineName::ALL {
        let points = &form.lines.get(name).points;
        low = low.max(points.first()?.x);
        high = high.min(points.last()?.x);
    }
    (high > low).then_some((low, high))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::build::Build;
    use crate::edit::Edit;
    use crate::starter::{blank_form, new_document};

    fn document() -> Document {
        let mut document = new_document("Stack");
        let mut form = blank_form(290.0, 90.0, 110.0, 80.0);
        form.stations = vec![0.0, 100.0, 290.0];
        document.forms = vec![Arc::new(form.clone()), Arc::new(form)];
        let mut build = Build::default();
        build.stack.used = true;
        build.stack.boards = vec![30.0; 9];
        document.build = Arc::new(build);
        document
    }

    #[test]
    fn the_stations_follow_the_cards_and_come_back_without_the_stack() {
        let mut document = document();
        let middles = (0..10).map(|i| 1.0 + 32.0 * f64::from(i));
        let expected: Vec<f64> = std::iter::once(0.0).chain(middles).chain([290.0]).collect();
        assert_eq!(document.in_force().forms[0].stations, expected);
        assert_eq!(document.in_force().forms[1].stations, [0.0, 100.0, 290.0], "only the first form has a stack");
        let mut build = (*document.build).clone();
        build.stack.boards[0] = 27.0;
        document = Edit::SetBuild(build.clone()).apply(&document).unwrap();
        // The last board takes up the difference: what lies between moves by it.
        let moved = document.in_force().forms[0].stations.clone();
        assert!((moved[2] - 30.0).abs() < 1e-9 && (moved[9] - 254.0).abs() < 1e-9 && moved[10] == expected[10]);
        build.stack.used = false;
        document = Edit::SetBuild(build).apply(&document).unwrap();
        assert_eq!(document.in_force().forms[0].stations, [0.0, 100.0, 290.0]);
    }

    #[test]
    fn a_stack_that_cannot_be_built_leaves_the_builders_own_stations() {
        let mut document = document();
        let mut build = (*document.build).clone();
        build.stack.boards = vec![80.0; 9];
        document.build = Arc::new(build);
        assert_eq!(document.in_force().forms[0].stations, [0.0, 100.0, 290.0]);
    }

    #[test]
    fn while_the_stack_sets_the_stations_they_are_not_edited() {
        let document = document();
        let refused = Edit::MoveStation { form: 0, station: 1, x: 90.0 }.apply(&document).unwrap_err();
        assert!(refused.hint.contains("boards"), "{refused:?}");
        assert!(Edit::MoveStation { form: 1, station: 1, x: 90.0 }.apply(&document).is_ok());
    }
}
