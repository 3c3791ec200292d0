//! A line of the form from the selected trace: which, how closely, and how it would be.

use super::chosen::Chosen;
use crate::light_table::tracing::asks::TraceAsk;
use crate::light_table::tracing::fairing::{Asked, Proposed};
use crate::slate::field::{self, Number, reading};
use crate::slate::{Ask, Seen, heading, note};
use crate::view::ViewState;
use egui::Ui;
use geometry::faired::Outcome;
use project::document::LineName;
use project::photograph::Traced;

/// The part.
pub(super) fn part(ui: &mut Ui, seen: &Seen<'_>, view: &ViewState, chosen: &Chosen<'_>, asks: &mut Vec<Ask>) {
    let drawn = seen.document.forms.first().is_some_and(|form| !form.sections.is_empty());
    if !drawn || chosen.there.of != Traced::Outline {
        return;
    }
    let fairing = seen.table.tracing.fairing.as_ref();
    let asked = fairing.and_then(|f| f.asked.as_ref());
    heading(ui, "A line of the form");
    which(ui, asked, asks);
    let Some(asked) = asked else {
        note(
            ui,
            "Makes the traced points a fair line of the form. You see it over the picture and on the floor first.",
        );
        return;
    };
    together(ui, chosen, asked, asks);
    tolerance(ui, seen, view, asks);
    match fairing.and_then(|f| f.proposed()) {
        None => note(ui, "Drawing the line…"),
        Some(Err(why)) => {
            ui.colored_label(seen.theme.warning, why);
        }
        Some(Ok(proposed)) => result(ui, seen, view, proposed, asks),
    }
}

fn which(ui: &mut Ui, asked: Option<&Asked>, asks: &mut Vec<Ask>) {
    let now = asked.map(|asked| asked.line);
    ui.horizontal_wrapped(|ui| {
        for line in LineName::ALL {
            let tip = match line {
                LineName::Crown | LineName::Keel => "Read on the centre plane.",
                LineName::Breadth => "Read at the breadth height of the form, in a picture from above or below.",
                LineName::BreadthHeight => "Read at the form's half-breadth, on the camera's side.",
            };
            let name = format!("Make it the {}", line.label().to_lowercase());
            let chosen = now == Some(line);
            if ui.selectable_label(chosen, line.label()).on_hover_text(tip).accessible_name(name).clicked() {
                asks.push(Ask::Trace(TraceAsk::Line((!chosen).then_some(line))));
            }
        }
    });
}

/// Further outlines that belong to the same line.
fn together(ui: &mut Ui, chosen: &Chosen<'_>, asked: &Asked, asks: &mut Vec<Ask>) {
    let traces = chosen.on.picture.photograph.traces.iter().enumerate();
    let others: Vec<usize> =
        traces.filter(|(i, t)| *i != chosen.trace && t.of == Traced::Outline).map(|(i, _)| i).collect();
    if others.is_empty() {
        return;
    }
    ui.horizontal_wrapped(|ui| {
        ui.label("with outline").on_hover_text("Further traces of the same line, such as behind an exhaust.");
        for other in others {
            let taken = asked.also.contains(&other);
            let name = format!("With outline {}", other + 1);
            if ui.selectable_label(taken, (other + 1).to_string()).accessible_name(name).clicked() {
                asks.push(Ask::Trace(TraceAsk::With { trace: other, taken: !taken }));
            }
        }
    });
}

/// How far traced points may lie from the line.
pub(super) fn tolerance(ui: &mut Ui, seen: &Seen<'_>, view: &ViewState, asks: &mut Vec<Ask>) {
    let units = view.units;
    let number = Number {
        label: "Tolerance",
        name: "Tolerance of the faired line".into(),
        suffix: units.sign(),
        decimals: units.decimals(),
        speed: 0.01 / units.mm(),
        range: [0.01 / units.mm(), 20.0 / units.mm()],
    };
    let tip = "Nineteen of twenty traced points lie so near to the line, with the fewest points that hold it.";
    let now = units.shown(seen.table.tracing.tolerance());
    ui.scope(|ui| {
        field::asking(ui, &number, now, asks, |shown| Ask::Trace(TraceAsk::Tolerance(shown * units.mm())));
    })
    .response
    .on_hover_text(tip);
}

fn result(ui: &mut Ui, seen: &Seen<'_>, view: &ViewState, proposed: &Proposed, asks: &mut Vec<Ask>) {
    let fit = &proposed.faired.fit;
    let units = view.units;
    let fine = |mm: f64| format!("{} {}", units.fine(mm), units.sign());
    reading(ui, "Points", format!("{} for {} traced", proposed.faired.line.points.len(), proposed.count));
    reading(ui, "Misfit", format!("{} rms", fine(fit.rms)));
    let bends = match proposed.inflections {
        0 => "No inflection.".to_owned(),
        1 => "One inflection, where it changes the side to which it bends.".to_owned(),
        n => format!("{n} inflections, where it changes the side to which it bends."),
    };
    let (worst, at) = (fine(fit.worst), units.length(fit.worst_at));
    note(ui, format!("The farthest traced point lies {worst} off, at {at}. {bends}"));
    if let Some(error) = proposed.corrected {
        note(ui, format!("Read at its depth: the picture's plain scale would be up to {} off.", units.length(error)));
    }
    if fit.outcome != Outcome::Holds {
        ui.colored_label(seen.theme.warning, fit.outcome.text());
    }
    ui.horizontal(|ui| {
        let take = egui::Button::new("Take the line").fill(seen.theme.accent_wash);
        if ui.add(take).on_hover_text("Replaces the form's line, as one step.").clicked() {
            asks.push(Ask::Trace(TraceAsk::AcceptLine));
        }
        if ui.button("Drop the line").clicked() {
            asks.push(Ask::Trace(TraceAsk::Line(None)));
        }
    });
}
