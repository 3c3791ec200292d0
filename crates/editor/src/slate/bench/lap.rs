//! How the shell laps the fuselage, and the screws that hold it.

use crate::slate::part::Part;
use crate::slate::{Ask, heading, note};
use egui::Ui;
use fit::fuselage::{FuselageShape, screw_places};
use project::airframe::{FuselageEnd, LapSide, ScrewSpacing, Screws};

/// Over or into, how far, how loosely.
pub(super) fn lap(ui: &mut Ui, end: &Part<'_, FuselageEnd>, asks: &mut Vec<Ask>) {
    heading(ui, "Lap");
    let now = end.now.lap;
    let sides = [("over the fuselage", LapSide::Over), ("into the fuselage", LapSide::Into)];
    end.choice(ui, "The shell goes", &sides, now.side, asks, |end, side| end.lap.side = side);
    end.length(ui, "Lap", now.length, asks, |end, mm| end.lap.length = mm);
    end.length(ui, "Clearance per side", now.clearance, asks, |end, mm| end.lap.clearance = mm);
    note(
        ui,
        match now.side {
            LapSide::Over => "Clearance between the inside of the shell and the fuselage, all round.",
            LapSide::Into => "Clearance between the outside of the shell's lap and the opening, all round.",
        },
    );
}

/// Whether there are screws, and how they are spaced.
pub(super) fn screws(ui: &mut Ui, end: &Part<'_, FuselageEnd>, asks: &mut Vec<Ask>) {
    end.tick(ui, "Screws around it", end.now.screws.is_some(), asks, |end, wanted| {
        let begin = Screws { spacing: ScrewSpacing::Count(8), edge_distance: 7.0, hole: 3.0 };
        end.screws = wanted.then_some(begin);
    });
    let Some(now) = end.now.screws else { return };
    let wrap = |screws| (end.edit)(FuselageEnd { screws: Some(screws), ..end.now.clone() });
    let part = Part { name: "Screws", now: &now, units: end.units, edit: &wrap };
    let places = FuselageShape::of(end.now).map(|shape| (screw_places(end.now, &shape, &now), girth(end.now, &shape)));
    let (count_now, pitch_now) = places.as_ref().map_or((8, 60.0), |(places, girth)| {
        let count = places.len().max(1) as u32;
        (count, (girth / f64::from(count) * 10.0).ceil() / 10.0)
    });
    let counted = matches!(now.spacing, ScrewSpacing::Count(_));
    // Chosen the other way, they stay as many as they are.
    part.choice(ui, "Spaced by", &[("count", true), ("pitch", false)], counted, asks, |screws, counted| {
        screws.spacing = if counted { ScrewSpacing::Count(count_now) } else { ScrewSpacing::Pitch(pitch_now) };
    });
    match now.spacing {
        ScrewSpacing::Count(count) => part.number(ui, "Count", ("", 0, 0.05), f64::from(count), asks, |screws, n| {
            screws.spacing = ScrewSpacing::Count(n.round().clamp(0.0, 1e6) as u32);
        }),
        ScrewSpacing::Pitch(pitch) => {
            part.length(ui, "Pitch at most", pitch, asks, |screws, mm| screws.spacing = ScrewSpacing::Pitch(mm));
        }
    }
    part.length(ui, "From the edge", now.edge_distance, asks, |screws, mm| screws.edge_distance = mm);
    part.length(ui, "Hole", now.hole, asks, |screws, mm| screws.hole = mm);
    if let Some((places, girth)) = places {
        let apart = girth / places.len().max(1) as f64;
        note(ui, format!("{} screws, {} apart around the section.", places.len(), end.units.length(apart)));
    }
}

/// Once around the fuselage where the screws stand.
fn girth(end: &FuselageEnd, shape: &FuselageShape) -> f64 {
    let x = end.station + end.lap.length - end.screws.map_or(0.0, |screws| screws.edge_distance);
    2.0 * shape.at(x).length()
}
