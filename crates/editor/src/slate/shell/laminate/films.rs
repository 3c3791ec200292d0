//! Filler, paint, and what the plug soaks up: each as least, likely and greatest.

use crate::slate::field::{self, Number};
use crate::slate::part::Part;
use crate::slate::{Ask, heading, note};
use egui::Ui;
use project::laminate::{Film, Schedule, Span};
use project::shell::Shell;

/// Filler and paint.
pub(super) fn part(ui: &mut Ui, shell: &Part<'_, Shell>, asks: &mut Vec<Ask>) {
    heading(ui, "Filler, paint, soaked resin");
    note(ui, "Least, likely and greatest; the likely thickness is what the plug is made smaller by.");
    let laminate = &shell.now.laminate;
    let film = |ui: &mut Ui, label: &str, film: Film, of: fn(&mut Schedule) -> &mut Film, asks: &mut Vec<Ask>| {
        let (thick, heavy) = (format!("{label}, mm"), format!("{label}, g/m²"));
        span(ui, shell, &thick, film.thickness, asks, |shell, span| of(&mut shell.laminate).thickness = span);
        span(ui, shell, &heavy, film.areal_mass, asks, |shell, span| of(&mut shell.laminate).areal_mass = span);
    };
    film(ui, "Filler", laminate.filler, |laminate| &mut laminate.filler, asks);
    film(ui, "Paint", laminate.paint, |laminate| &mut laminate.paint, asks);
    span(ui, shell, "Soaked up, g/m²", laminate.soak, asks, |shell, span| shell.laminate.soak = span);
    note(ui, "Resin that bare foam drinks: 0 on a sealed plug, some 20 to 50 g/m² on sanded foam.");
}

/// Three numbers beside each other, kept in order: whichever is typed, the others give way.
pub(in crate::slate::shell) fn span<T: Clone>(
    ui: &mut Ui,
    part: &Part<'_, T>,
    label: &str,
    now: Span,
    asks: &mut Vec<Ask>,
    set: impl Fn(&mut T, Span),
) {
    ui.label(label);
    ui.horizontal(|ui| {
        for (which, word) in ["least", "likely", "greatest"].into_iter().enumerate() {
            let number = Number {
                label: word,
                name: format!("{} {}, {word}", part.name, label.to_lowercase()),
                suffix: "",
                decimals: 2,
                speed: 0.01 * now.likely.max(1.0),
                range: [0.0, f64::INFINITY],
            };
            let edit = |value: f64| {
                let mut next = part.now.clone();
                set(&mut next, with(now, which, value));
                (part.edit)(next)
            };
            field::cell(ui, &number, now.ends()[which], crate::slate::part::CELL, asks, edit);
        }
    });
}

fn with(now: Span, which: usize, value: f64) -> Span {
    match which {
        0 => Span { low: value, likely: now.likely.max(value), high: now.high.max(value) },
        1 => Span { low: now.low.min(value), likely: value, high: now.high.max(value) },
        _ => Span { low: now.low.min(value), likely: now.likely.min(value), high: value },
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn whichever_end_is_typed_the_range_stays_in_order() {
        let now = Span::new(1.0, 2.0, 3.0);
        for (which, value) in [(0, 5.0), (1, 0.5), (1, 9.0), (2, 0.2)] {
            let after = with(now, which, value);
            assert!(after.is_at_least(0.0), "{after:?}");
            assert_eq!(after.ends()[which], value);
        }
    }
}
