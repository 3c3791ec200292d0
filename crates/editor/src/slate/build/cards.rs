//! Formers and the templates they interlock with.

use super::cross;
use crate::slate::part::Part;
use crate::slate::{Ask, heading, note};
use egui::Ui;
use project::build::{Build, PrintedOutline};

/// All settings of formers and templates.
pub(super) fn part(ui: &mut Ui, build: &Part<'_, Build>, asks: &mut Vec<Ask>) {
    let formers = &build.now.formers;
    build.explained(
        ui,
        ("Inset", "How far card lies inside the foam, so that it never stands proud when the foam is sanded."),
        formers.inset,
        asks,
        |build, mm| build.formers.inset = mm,
    );
    let faces = [
        ("the smaller", PrintedOutline::Smaller),
        ("front face", PrintedOutline::Front),
        ("rear face", PrintedOutline::Rear),
    ];
    build.choice(ui, "Outline that is printed", &faces, formers.outline, asks, |build, outline| {
        build.formers.outline = outline;
    });
    build.explained(
        ui,
        ("Slot clearance", "How much wider a slot is than the card is thick."),
        formers.slot_clearance,
        asks,
        |build, mm| build.formers.slot_clearance = mm,
    );
    build.explained(
        ui,
        ("End clearance", "What is left free where the two slots of a joint meet."),
        formers.end_clearance,
        asks,
        |build, mm| build.formers.end_clearance = mm,
    );
    let ways = [("upward", true), ("downward", false)];
    build.choice(ui, "Slots of the centre template open", &ways, formers.centre_opens_up, asks, |build, up| {
        build.formers.centre_opens_up = up;
    });
    build.explained(
        ui,
        ("Least web", "Where less card would be left beside a slot, the former is made in two halves."),
        formers.least_web,
        asks,
        |build, mm| build.formers.least_web = mm,
    );
    build.tick(ui, "A breadth template too", formers.breadth_template.is_some(), asks, |build, wanted| {
        build.formers.breadth_template = wanted.then_some(0.0);
    });
    if let Some(height) = formers.breadth_template {
        build.explained(ui, ("Its height", "Of the waterline along which it is cut."), height, asks, |build, mm| {
            build.formers.breadth_template = Some(mm);
        });
    }
    let bevel = ui.scope(|ui| {
        build.angle(ui, "Bevel from", formers.bevel_from_deg, asks, |build, degrees| {
            build.formers.bevel_from_deg = degrees;
        });
    });
    bevel.response.on_hover_text("Edges that lean more than this get their bevel marked on the template.");
    holes(ui, build, asks);
}

fn holes(ui: &mut Ui, build: &Part<'_, Build>, asks: &mut Vec<Ask>) {
    let formers = &build.now.formers;
    heading(ui, "Holes");
    note(ui, "A diameter or web of 0 means none.");
    build.explained(
        ui,
        ("Shaft hole", "Diameter of the hole along the thrust line; 0 for none."),
        formers.shaft_hole,
        asks,
        |build, mm| build.formers.shaft_hole = mm,
    );
    build.explained(
        ui,
        ("Lightening web", "Card left around lightening holes; 0 for no holes."),
        formers.lightening_web,
        asks,
        |build, mm| build.formers.lightening_web = mm,
    );
    build.explained(
        ui,
        ("Dowel holes", "Diameter of the holes for alignment dowels, at the same place on all formers."),
        formers.dowel_diameter,
        asks,
        |build, mm| build.formers.dowel_diameter = mm,
    );
    for (index, place) in formers.dowels.iter().enumerate() {
        let set = |axis: usize| {
            move |build: &mut Build, mm: f64| {
                if let Some(place) = build.formers.dowels.get_mut(index) {
                    place[axis] = mm;
                }
            }
        };
        build.length(ui, &format!("Dowel {} across", index + 1), place[0], asks, set(0));
        ui.horizontal(|ui| {
            build.length(ui, &format!("Dowel {} height", index + 1), place[1], asks, set(1));
            if cross(ui, &format!("Remove dowel {}", index + 1)) {
                let mut next = build.now.clone();
                next.formers.dowels.remove(index);
                asks.push(Ask::Do((build.edit)(next)));
            }
        });
    }
    build.button(ui, "Add a dowel", "On both sides of the centre plane, the same on all formers.", asks, |build| {
        build.formers.dowels.push([20.0, 0.0]);
    });
}
