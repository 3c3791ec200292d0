//! The ledger of the stack: what lies where between the front of the plug and its rear end.
//!
//! ```text
//!   front                                                        end
//!   |ring|nose foam|card|  board 1  |card|  board 2  |card| ... |card|
//!                       ^ a glue joint between every two layers
//! ```
//!
//! So a stack of n boards has n + 1 cards, and nine boards of 30 mm with ten cards of 2 mm are 290 mm long and not 270 (common
//! practice, no source). Where the foremost face is foam alone its card is left out.

use crate::finding::finding;
use form::{Finding, Severity};
use project::build::{Closing, Stack};

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
    /// Running sum from the front of the stack to its rear face, glue joints included, mm.
    pub sum: f64,
}

/// The stack, layer by layer from the front aft.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Ledger {
    /// The layers.
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

    /// How many glue joints there are.
    pub fn joints(&self) -> usize {
        self.layers.len().saturating_sub(1)
    }
}

/// Least thickness of a board that can still be made and glued, mm (common practice, no source).
const LEAST_BOARD: f64 = 1.0;

/// Lays the stack between `front` and `end` (stations of the form's front and of what the stack has to meet, mm) and closes it by
/// the builder's rule, so that its end is `end` within rounding. A stack that cannot be built gives findings; its layers then
/// still stand in the ledger as long as every board keeps some thickness.
pub fn ledger(stack: &Stack, front: f64, end: f64) -> (Ledger, Vec<Finding>) {
    let mut layers = layers(stack);
    let joints = layers.len().saturating_sub(1) as f64;
    let length: f64 = layers.iter().map(|l| l.measured).sum::<f64>() + joints * stack.glue;
    let difference = end - front - length;
    let mut ledger = Ledger { layers: Vec::new(), glue: stack.glue, front, end, measured_length: length, difference };
    if stack.boards.is_empty() {
        let what = "The stack has no boards yet.";
        return (ledger, vec![finding(Severity::Error, what, "Measure the boards and enter their thicknesses.")]);
    }
    let mut findings = close(stack.closing, &mut layers, &mut ledger);
    let thin = layers.iter().find(|l| matches!(l.kind, LayerKind::Board(_)) && l.thickness < LEAST_BOARD);
    if let Some(board) = thin {
        findings.push(impossible(stack, board, difference));
        return (ledger, findings);
    }
    place(&mut layers, &ledger);
    ledger.layers = layers;
    (ledger, findings)
}

/// The layers with their measured thickness, not placed yet.
fn layers(stack: &Stack) -> Vec<Layer> {
    let layer = |kind, measured: f64| Layer { kind, measured, thickness: measured, front: 0.0, rear: 0.0, sum: 0.0 };
    let mut all = Vec::new();
    if stack.ring_plate > 0.0 {
        all.push(layer(LayerKind::RingPlate, stack.ring_plate));
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
fn close(rule: Closing, layers: &mut [Layer], ledger: &mut Ledger) -> Vec<Finding> {
    let difference = ledger.difference;
    if difference.abs() < 1e-9 {
        return Vec::new();
    }
    let mut boards: Vec<&mut Layer> = layers.iter_mut().filter(|l| matches!(l.kind, LayerKind::Board(_))).collect();
    let count = boards.len();
    match rule {
        Closing::LastBoard => {
            if let Some(last) = boards.last_mut() {
                last.thickness += difference;
            }
            Vec::new()
        }
        Closing::Spread => {
            boards.iter_mut().for_each(|b| b.thickness += difference / count as f64);
            Vec::new()
        }
        Closing::MoveDatum => {
            ledger.front += difference;
            let (what, hint) = if difference > 0.0 {
                ("The stack begins aft of the form's front, which stays without foam.", "Add a board or nose foam.")
            } else {
                (
                    "The stack begins ahead of the form's front.",
                    "The foam ahead of the front is cut off; or leave a board out.",
                )
            };
            let found = finding(Severity::Warning, what, hint).at_station(ledger.front);
            vec![found.with(difference.abs(), 0.0, "mm")]
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

fn impossible(stack: &Stack, board: &Layer, difference: f64) -> Finding {
    let number = if let LayerKind::Board(n) = board.kind { n } else { stack.boards.len() };
    let what = format!(
        "The stack is {:.1} mm too long: board {number} would be left with {:.1} mm.",
        -difference, board.thickness
    );
    let hint = "Leave a board out, choose thinner boards, or let all boards share the difference.";
    finding(Severity::Error, what, hint).with(board.thickness, LEAST_BOARD, "mm")
}

#[cfg(test)]
mod tests {
    use super::*;
    use project::build::Build;

    fn stack(boards: &[f64], closing: Closing) -> Stack {
        Stack { used: true, boards: boards.to_vec(), card: 2.0, closing, ..Build::default().stack }
    }

    /// Common practice, no source: card thickness forgotten makes a stack 20 mm too long.
    #[test]
    fn nine_boards_of_30_and_ten_cards_of_2_are_290_and_not_270() {
        let (ledger, findings) = ledger(&stack(&[30.0; 9], Closing::LastBoard), 0.0, 290.0);
        assert!(findings.is_empty());
        assert_eq!((ledger.boards().count(), ledger.cards().count(), ledger.joints()), (9, 10, 18));
        assert_eq!((ledger.measured_length, ledger.difference), (290.0, 0.0));
        let last = ledger.layers.last().unwrap();
        assert_eq!((last.kind, last.front, last.rear, last.sum), (LayerKind::Card(10), 288.0, 290.0, 290.0));
        let third = ledger.boards().nth(2).unwrap();
        assert_eq!((third.front, third.rear), (66.0, 96.0));
    }

    #[test]
    fn glue_ring_and_nose_count_and_a_foam_front_saves_a_card() {
        let all = Stack {
            glue: 0.2,
            ring_plate: 3.0,
            nose_foam: 12.0,
            foam_front: true,
            ..stack(&[31.0, 29.5], Closing::Spread)
        };
        let (ledger, _) = ledger(&all, -5.0, 80.0);
        let kinds: Vec<LayerKind> = ledger.layers.iter().map(|l| l.kind).collect();
        use LayerKind::{Board, Card, NoseFoam, RingPlate};
        assert_eq!(kinds, [RingPlate, NoseFoam, Board(1), Card(1), Board(2), Card(2)]);
        assert!((ledger.measured_length - (3.0 + 12.0 + 31.0 + 29.5 + 4.0 + 5.0 * 0.2)).abs() < 1e-12);
        for w in ledger.layers.windows(2) {
            assert!((w[1].front - w[0].rear - 0.2).abs() < 1e-12);
        }
        let share = ledger.difference / 2.0;
        assert!(ledger.boards().all(|b| (b.thickness - b.measured - share).abs() < 1e-12));
    }

    #[test]
    fn every_closing_rule_meets_the_end_exactly() {
        for closing in [Closing::LastBoard, Closing::MoveDatum, Closing::Spread] {
            let (ledger, _) = ledger(&stack(&[28.3, 31.7, 30.1], closing), 7.0, 104.321);
            let last = ledger.layers.last().unwrap();
            assert_eq!(last.rear, 104.321, "{closing:?}");
            let sum: f64 = ledger.layers.iter().map(|l| l.thickness).sum();
            assert!(
                (last.front + last.thickness - last.rear).abs() < 1e-9 && (ledger.front + sum - 104.321).abs() < 1e-9
            );
            let moved = closing == Closing::MoveDatum;
            assert_eq!((ledger.front - 7.0).abs() > 1e-9, moved);
        }
    }

    #[test]
    fn a_stack_that_is_too_long_says_which_board_vanishes() {
        let (ledger, findings) = ledger(&stack(&[30.0; 9], Closing::LastBoard), 0.0, 255.0);
        assert!(ledger.layers.is_empty());
        assert_eq!(findings.len(), 1);
        assert_eq!(findings[0].severity, Severity::Error);
        assert!(findings[0].what.contains("35.0 mm too long: board 9"), "{}", findings[0].what);
        assert!((findings[0].measured.unwrap().value + 5.0).abs() < 1e-9);
    }

    #[test]
    fn no_boards_is_told() {
        let (_, findings) = ledger(&stack(&[], Closing::Spread), 0.0, 100.0);
        assert!(findings[0].what.contains("no boards"));
    }
}
