//! Random stacks meet the fuselage's station exactly, by each of the three ways, or say that they do not.

use form::Severity;
use plug::{LayerKind, Ledger, ledger};
use project::build::{Build, Closing, Stack};
use proptest::prelude::*;

/// The promise, mm.
const EXACT: f64 = 1e-9;
/// Least thickness of a board, mm (common practice, no source).
const LEAST_BOARD: f64 = 1.0;

fn any_stack() -> impl Strategy<Value = Stack> {
    let boards = prop::collection::vec(8.0..60.0_f64, 1..14);
    let layers = (0.5..5.0_f64, 0.0..0.4_f64, any::<bool>(), prop_oneof![Just(0.0), 2.0..40.0_f64]);
    let plate = prop_oneof![Just(0.0), 1.0..6.0_f64];
    let closing = prop_oneof![Just(Closing::LastBoard), Just(Closing::MoveDatum), Just(Closing::Spread)];
    (boards, layers, plate, closing).prop_map(|(boards, (card, glue, foam_front, nose_foam), ring_plate, closing)| {
        Stack { used: true, boards, card, glue, foam_front, nose_foam, ring_plate, closing, ..Build::default().stack }
    })
}

/// What every ledger with layers keeps: each layer begins a glue joint behind the one before, and the last ends at the end itself.
fn check_ledger(ledger: &Ledger, stack: &Stack, end: f64) -> Result<(), TestCaseError> {
    let layers = &ledger.layers;
    prop_assert_eq!(layers.last().map(|l| l.rear), Some(end));
    prop_assert!((layers[0].front - ledger.front).abs() < EXACT);
    for l in layers {
        prop_assert!((l.rear - l.front - l.thickness).abs() < EXACT, "{l:?}");
        prop_assert!((l.sum - (l.rear - ledger.front)).abs() < EXACT, "{l:?}");
    }
    for w in layers.windows(2) {
        prop_assert!((w[1].front - w[0].rear - stack.glue).abs() < EXACT, "{w:?}");
    }
    let sum: f64 = layers.iter().map(|l| l.thickness).sum::<f64>() + (layers.len() - 1) as f64 * stack.glue;
    prop_assert!((ledger.front + sum - end).abs() < EXACT, "{} against {end}", ledger.front + sum);
    let extra = usize::from(stack.nose_foam > 0.0) + usize::from(stack.ring_plate > 0.0);
    let cards = stack.boards.len() + usize::from(!stack.foam_front);
    prop_assert_eq!(layers.len(), extra + stack.boards.len() + cards);
    prop_assert_eq!(ledger.joints(), layers.len() - 1);
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { rng_seed: proptest::test_runner::RngSeed::Fixed(11), ..ProptestConfig::with_cases(400) })]

    #[test]
    fn the_end_is_met_exactly_or_it_is_said(stack in any_stack(), front in -50.0..50.0_f64, off in -40.0..40.0_f64) {
        let plain = ledger(&stack, front, front + 100.0).0;
        let end = front + plain.measured_length + off;
        let (ledger, found) = ledger(&stack, front, end);
        prop_assert!((ledger.difference - off).abs() < EXACT);
        let count = stack.boards.len();
        let last = stack.boards[count - 1];
        let least = match stack.closing {
            Closing::LastBoard => last + off,
            Closing::Spread => stack.boards.iter().copied().fold(f64::INFINITY, f64::min) + off / count as f64,
            Closing::MoveDatum => f64::INFINITY,
        };
        if least < LEAST_BOARD - EXACT {
            prop_assert!(ledger.layers.is_empty());
            prop_assert_eq!(found.len(), 1);
            prop_assert_eq!(found[0].severity, Severity::Error);
            return Ok(());
        }
        check_ledger(&ledger, &stack, end)?;
        let changed = |i: usize| ledger.boards().nth(i).map_or(f64::NAN, |b| b.thickness - stack.boards[i]);
        for i in 0..count {
            let by = match stack.closing {
                Closing::LastBoard => if i + 1 == count { off } else { 0.0 },
                Closing::Spread => off / count as f64,
                Closing::MoveDatum => 0.0,
            };
            prop_assert!((changed(i) - by).abs() < EXACT, "board {i}: {} against {by}", changed(i));
        }
        for layer in ledger.layers.iter().filter(|l| !matches!(l.kind, LayerKind::Board(_))) {
            prop_assert_eq!(layer.thickness, layer.measured);
        }
        let moved = stack.closing == Closing::MoveDatum;
        let moved_by = if moved { off } else { 0.0 };
        prop_assert!((ledger.front - front - moved_by).abs() < EXACT);
        prop_assert_eq!(found.len(), usize::from(moved));
        if moved {
            prop_assert!((found[0].measured.map_or(f64::NAN, |m| m.value) - off.abs()).abs() < EXACT);
        }
    }
}
