//! The stack to begin with: boards of the usual thickness that fill the length of the plug.

use form::FinishedSkin;
use project::build::{Build, Closing, Stack};
use project::document::Document;
use project::stacking::ring_plate;

/// Thickness of the boards, mm (common practice, no source).
pub const FIRST_BOARD: f64 = 30.0;
/// A last board thinner than this, mm, shares what is left with the one before (common practice, no source).
const LEAST_LAST: f64 = 10.0;

/// The build of a document with a stack of such boards, closed by the last one; `None` where the form is too short for even one
/// board between two cards.
pub fn first_stack(document: &Document, skin: &FinishedSkin) -> Option<Build> {
    let stack = Stack { used: true, boards: Vec::new(), closing: Closing::LastBoard, ..document.build.stack.clone() };
    let empty = Build { stack, ..(*document.build).clone() };
    // Where the stack begins and must end is the planner's to say.
    let ledger = plug::plan(skin, &empty, &document.airframe).ledger;
    // A ring on the thrust line stands ahead of the stack and takes none of its length.
    let plate = ring_plate(&empty.stack, &document.airframe).within_stack();
    let boards = boards_filling(ledger.end - ledger.front, &Stack { ring_plate: plate, ..empty.stack.clone() });
    let stack = Stack { boards, ..empty.stack };
    (!stack.boards.is_empty()).then_some(Build { stack, ..empty })
}

/// Boards that fill a length with all that lies between and ahead of them, mm: of [`FIRST_BOARD`], and the last as thick as is left.
fn boards_filling(length: f64, stack: &Stack) -> Vec<f64> {
    let ahead = [stack.ring_plate, stack.nose_foam].into_iter().filter(|layer| *layer > 0.0);
    let first_card = if stack.foam_front { 0.0 } else { stack.card };
    // Every layer but the last has a joint behind it; the last layer is a card.
    let fixed: f64 = ahead.map(|layer| layer + stack.glue).sum::<f64>()
        + if first_card > 0.0 { first_card + stack.glue } else { 0.0 };
    let with_board = stack.card + 2.0 * stack.glue;
    let foam = length - fixed + stack.glue;
    let mut boards = Vec::new();
    let mut last = foam - with_board;
    while last > FIRST_BOARD + 1e-9 {
        boards.push(FIRST_BOARD);
        last -= FIRST_BOARD + with_board;
    }
    match boards.last_mut() {
        // What is left may even be too little for its card: the two together still come out.
        Some(before) if last < LEAST_LAST => {
            let each = 0.5 * (*before + last);
            *before = each;
            boards.push(each);
        }
        None if last < 1.0 => {}
        _ => boards.push(last),
    }
    boards
}

#[cfg(test)]
mod tests {
    use super::*;
    use project::starter::{blank_form, new_document};
    use std::sync::Arc;

    fn stack(card: f64, glue: f64, foam_front: bool) -> Stack {
        Stack { card, glue, foam_front, ..Build::default().stack }
    }

    /// Nine boards of 30 mm and ten cards of 2 mm are 290 mm (common practice, no source).
    #[test]
    fn nine_boards_fill_290_mm() {
        let boards = boards_filling(290.0, &stack(2.0, 0.0, false));
        assert_eq!(boards, [30.0; 9]);
    }

    /// The planner's own ledger says whether the boards come out: nothing is left to close, whatever lies between.
    #[test]
    fn the_ledger_of_the_first_stack_closes_without_a_difference() {
        for length in [45.0, 63.0, 97.0, 131.0, 290.0, 333.3, 720.0] {
            for (card, glue, foam_front) in [(2.0, 0.0, false), (1.5, 0.2, true), (3.0, 0.1, false)] {
                for (ring_plate, nose_foam) in [(0.0, 0.0), (3.0, 12.0)] {
                    let stack = Stack { ring_plate, nose_foam, ..stack(card, glue, foam_front) };
                    let boards = boards_filling(length, &stack);
                    let (ledger, found) = plug::ledger(&Stack { boards: boards.clone(), ..stack }, 0.0, length);
                    assert!(ledger.difference.abs() < 1e-9, "{length}: {boards:?} {}", ledger.difference);
                    assert!(found.is_empty(), "{found:?}");
                    assert!(boards.iter().all(|b| *b <= FIRST_BOARD + 1e-9), "{boards:?}");
                    assert!(boards.len() < 2 || boards.iter().all(|b| *b >= LEAST_LAST), "{boards:?}");
                }
            }
        }
    }

    #[test]
    fn a_form_with_no_room_for_a_board_gets_no_stack() {
        let mut document = new_document("Short");
        document.forms = vec![Arc::new(blank_form(40.0, 30.0, 30.0, 30.0))];
        let lofted = form::loft(&document.forms[0]);
        let skin = lofted.skin.as_ref().unwrap();
        assert_eq!(first_stack(&document, skin).map(|b| b.stack.boards.len()), Some(2));
        Arc::make_mut(&mut document.build).stack.card = 25.0;
        assert!(first_stack(&document, skin).is_none());
    }
}
