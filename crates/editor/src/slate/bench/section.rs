//! A section of the fuselage: its kind, its numbers, or its measured points.

use super::points;
use super::remove::with_section;
use crate::floor::airframe_drag::centre_height;
use crate::floor::item::Which;
use crate::slate::part::Part;
use crate::slate::{Ask, Seen};
use crate::view::ViewState;
use egui::Ui;
use project::airframe::{FuselageEnd, FuselageSection};
use project::document::MeasuredSection;
use project::fuselage::COARSE;

/// Everything about one of both sections.
pub(super) fn of(
    ui: &mut Ui,
    seen: &Seen<'_>,
    view: &ViewState,
    end: &Part<'_, FuselageEnd>,
    which: Which,
    asks: &mut Vec<Ask>,
) {
    let Some((_, now)) = which.of(&seen.document.airframe) else { return };
    let wrap = |section| (end.edit)(with_section(end.now.clone(), which, section));
    let part = Part { name: which.label(), now, units: end.units, edit: &wrap };
    let kinds = [
        ("circle", Kind::Circle),
        ("ellipse", Kind::Ellipse),
        ("rounded box", Kind::RoundedBox),
        ("measured", Kind::Measured),
    ];
    part.choice(ui, "Section", &kinds, kind(now), asks, |section, kind| *section = turned_into(section, kind));
    numbers(ui, &part, asks);
    match now {
        FuselageSection::Measured(measured) => points::table(ui, seen, view, &part, which, measured, asks),
        _ => {
            ui.horizontal_wrapped(|ui| points::sources(ui, which, asks));
        }
    }
    points::tracing(ui, view, which, asks);
}

/// The kinds of section, for choosing.
#[derive(Clone, Copy, PartialEq)]
enum Kind {
    Circle,
    Ellipse,
    RoundedBox,
    Measured,
}

fn kind(section: &FuselageSection) -> Kind {
    match section {
        FuselageSection::Circle { .. } => Kind::Circle,
        FuselageSection::Ellipse { .. } => Kind::Ellipse,
        FuselageSection::RoundedBox { .. } => Kind::RoundedBox,
        FuselageSection::Measured(_) => Kind::Measured,
    }
}

/// The same section as another kind, as near to it as that kind comes.
fn turned_into(section: &FuselageSection, kind: Kind) -> FuselageSection {
    let outline = fit::fuselage::outline(section, 0.01);
    let points = outline.as_ref().map_or(&[][..], |o| o.points());
    let ends = points.first().zip(points.last());
    let (height, centre_height) =
        ends.map_or((150.0, 0.0), |(crown, keel)| (crown[1] - keel[1], f64::midpoint(crown[1], keel[1])));
    let width = outline.as_ref().map_or(150.0, |o| 2.0 * o.widest()[0]);
    match kind {
        Kind::Circle => FuselageSection::Circle { diameter: width, centre_height },
        Kind::Ellipse => FuselageSection::Ellipse { width, height, centre_height },
        Kind::RoundedBox => {
            FuselageSection::RoundedBox { width, height, radius: 0.2 * width.min(height), centre_height }
        }
        Kind::Measured => FuselageSection::Measured(as_points(section)),
    }
}

/// The section as few measured points, to be moved by hand.
fn as_points(section: &FuselageSection) -> MeasuredSection {
    project::fuselage::points(section, COARSE, 0.0)
        .unwrap_or_else(|| MeasuredSection::through(vec![[0.0, 75.0], [75.0, 0.0], [0.0, -75.0]]))
}

fn numbers(ui: &mut Ui, part: &Part<'_, FuselageSection>, asks: &mut Vec<Ask>) {
    match part.now {
        FuselageSection::Circle { diameter, .. } => {
            part.length(ui, "Diameter", *diameter, asks, |section, mm| {
                if let FuselageSection::Circle { diameter, .. } = section {
                    *diameter = mm;
                }
            });
        }
        FuselageSection::Ellipse { width, height, .. } | FuselageSection::RoundedBox { width, height, .. } => {
            part.length(ui, "Width", *width, asks, |section, mm| {
                if let FuselageSection::Ellipse { width, .. } | FuselageSection::RoundedBox { width, .. } = section {
                    *width = mm;
                }
            });
            part.length(ui, "Height", *height, asks, |section, mm| {
                if let FuselageSection::Ellipse { height, .. } | FuselageSection::RoundedBox { height, .. } = section {
                    *height = mm;
                }
            });
        }
        FuselageSection::Measured(_) => {}
    }
    if let FuselageSection::RoundedBox { radius, .. } = part.now {
        part.length(ui, "Corner radius", *radius, asks, |section, mm| {
            if let FuselageSection::RoundedBox { radius, .. } = section {
                *radius = mm;
            }
        });
    }
    if let Some(centre) = centre_height(&mut part.now.clone()) {
        part.length(ui, "Centre height", *centre, asks, |section, mm| {
            if let Some(centre) = centre_height(section) {
                *centre = mm;
            }
        });
    }
}
