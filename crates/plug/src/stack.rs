//! The ledger of the stack and what is found about it: what lies where between the front of the plug and its rear end, as
//! [`project::stacking`] lays it.

use crate::finding::finding;
use form::shaft::ring;
use form::{Finding, Severity};
use project::airframe::Airframe;
use project::build::Stack;
use project::stacking::{LEAST_BOARD, RingPlate, StackProblem, lay, ring_plate};

pub use project::stacking::{Layer, LayerKind, Ledger};

/// The ledger of a stack whose ring plate, if it has one, is its own; see [`lay`].
pub fn ledger(stack: &Stack, front: f64, end: f64) -> (Ledger, Vec<Finding>) {
    told(stack, lay(stack, stack.ring_plate, front, end))
}

/// The ledger of a stack on an airframe: the ring of its thrust line is the ring plate, and stands ahead of the stack with its rear
/// face on the plane that trims the front; its stations are those at its centre.
pub(crate) fn ledger_on(airframe: &Airframe, stack: &Stack, front: f64, end: f64) -> (Ledger, Vec<Finding>) {
    let plate = ring_plate(stack, airframe);
    let (mut ledger, findings) = told(stack, lay(stack, plate.within_stack(), front, end));
    if let (RingPlate::OnThrustLine(thickness), Some(line)) = (plate, &airframe.thrust)
        && thickness > 0.0
        && !ledger.layers.is_empty()
    {
        let place = ring(line);
        let (front, rear) = (place.front.point[0], place.rear.point[0]);
        let kind = LayerKind::RingPlate;
        ledger.layers.insert(0, Layer { kind, measured: thickness, thickness, front, rear, sum: 0.0 });
    }
    (ledger, findings)
}

/// A problem of a stack in words.
fn told(stack: &Stack, (ledger, problem): (Ledger, Option<StackProblem>)) -> (Ledger, Vec<Finding>) {
    let found = match problem {
        None => None,
        Some(StackProblem::NoBoards) => {
            let what = "The stack has no boards yet.";
            Some(finding(Severity::Error, what, "Measure the boards and enter their thicknesses."))
        }
        Some(StackProblem::NoBoardLeft(number, left)) => Some(impossible(number, left, ledger.difference)),
        Some(StackProblem::FrontMoved(by)) => Some(front_moved(stack, &ledger, by)),
    };
    (ledger, found.into_iter().collect())
}

fn front_moved(stack: &Stack, ledger: &Ledger, by: f64) -> Finding {
    let mm = by.abs();
    let (what, hint) = if by > 0.0 {
        (
            format!("The stack begins {mm:.1} mm aft of the form's front, which stays without foam."),
            if stack.nose_foam > 0.0 {
                "Add a board, or make the nose foam thicker."
            } else {
                "Add a board or nose foam."
            },
        )
    } else {
        (
            format!("The stack begins {mm:.1} mm ahead of the form's front."),
            "The foam ahead of the front is cut off; or leave a board out.",
        )
    };
    finding(Severity::Warning, what, hint).at_station(ledger.front).with(mm, 0.0, "mm")
}

fn impossible(number: usize, left: f64, difference: f64) -> Finding {
    let what = if difference < 0.0 {
        format!("The stack is {:.1} mm too long: board {number} would be left with {left:.1} mm.", -difference)
    } else {
        format!("Board {number} is {left:.1} mm thick, too thin to be made and glued.")
    };
    let hint = "Leave a board out, choose thinner boards, or let all boards share the difference.";
    finding(Severity::Error, what, hint).with(left, LEAST_BOARD, "mm")
}

#[cfg(test)]
mod tests {
    use super::*;
    use project::build::{Build, Closing};

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
