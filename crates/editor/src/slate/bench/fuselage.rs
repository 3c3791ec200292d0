//! The end of the existing fuselage: where, which section, how it is lapped and screwed.

use super::{group, points, rear};
use crate::slate::part::Part;
use crate::slate::{Ask, Seen, heading, note};
use crate::view::{Item, ViewState};
use egui::Ui;
use project::airframe::{FuselageEnd, FuselageSection, Lap, LapSide, ScrewSpacing, Screws};
use project::document::{ControlSection, MeasuredSection, SectionShape};
use project::edit::Edit;

/// Points that a primitive is turned into when it is to be measured or pinned.
const AS_POINTS: usize = 17;

/// Everything about the fuselage end.
pub(super) fn part(ui: &mut Ui, seen: &Seen<'_>, view: &ViewState, asks: &mut Vec<Ask>) {
    let chosen =
        [Item::Fuselage, Item::FuselageWidth, Item::FuselageHeight, Item::FuselageFurther, Item::Lap, Item::Screws];
    let selected = view.selected.item().is_some_and(|item| chosen.contains(&item));
    group(ui, seen, "Fuselage end", selected);
    let Some(end) = &seen.document.airframe.fuselage else {
        note(ui, "Measure the section where the shell joins the fuselage, and how far aft of the datum it is.");
        if ui.button("Add the fuselage end").on_hover_text("Begins with the form's own rear end.").clicked() {
            asks.push(Ask::Do(Edit::SetFuselage(Some(begin(seen)))));
        }
        return;
    };
    let part = Part { name: "Fuselage end", now: end, units: view.units, edit: &|end| Edit::SetFuselage(Some(end)) };
    part.length(ui, "Station", end.station, asks, |end, x| end.station = x);
    section(ui, seen, &part, asks);
    further(ui, seen, &part, asks);
    lap(ui, &part, asks);
    screws(ui, &part, asks);
    heading(ui, "Allowed where they meet");
    part.length(ui, "Gap", end.allowed_gap, asks, |end, mm| end.allowed_gap = mm);
    part.angle(ui, "Break in slope", end.allowed_break_deg, asks, |end, degrees| end.allowed_break_deg = degrees);
    ui.add_space(6.0);
    ui.horizontal_wrapped(|ui| {
        pin(ui, seen, view, end, asks);
        if ui.button("Remove the fuselage end").clicked() {
            asks.push(Ask::Do(Edit::SetFuselage(None)));
        }
    });
}

/// As wide and high as the form's own rear end, or as a cowling's.
fn begin(seen: &Seen<'_>) -> FuselageEnd {
    let station = rear(seen);
    let at_rear = seen.derived.half_box(station);
    let (width, height, centre_height) =
        at_rear.map_or((150.0, 150.0, 0.0), |b| (2.0 * b.breadth, b.crown - b.keel, f64::midpoint(b.crown, b.keel)));
    FuselageEnd {
        station,
        section: FuselageSection::Ellipse { width: width.max(1.0), height: height.max(1.0), centre_height },
        further: None,
        lap: Lap { side: LapSide::Over, length: 15.0, clearance: 0.3 },
        screws: None,
        allowed_gap: 0.5,
        allowed_break_deg: 3.0,
        pinned: None,
    }
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
        Kind::Measured => {
            let measured = as_points(section).unwrap_or_else(|| measured(vec![[0.0, 75.0], [75.0, 0.0], [0.0, -75.0]]));
            FuselageSection::Measured(measured)
        }
    }
}

/// The section as measured points, those of a primitive evenly along its girth.
fn as_points(section: &FuselageSection) -> Option<MeasuredSection> {
    if let FuselageSection::Measured(measured) = section {
        return Some(measured.clone());
    }
    let mut points = fit::fuselage::outline(section, 0.01)?.even(AS_POINTS);
    for end in [0, AS_POINTS - 1] {
        points.get_mut(end)?[0] = 0.0;
    }
    Some(measured(points))
}

fn measured(points: Vec<[f64; 2]>) -> MeasuredSection {
    MeasuredSection {
        points,
        knuckles: Vec::new(),
        crown_ridge: false,
        keel_ridge: false,
        breadth_point: None,
        breadth_girth: None,
    }
}

fn section(ui: &mut Ui, seen: &Seen<'_>, end: &Part<'_, FuselageEnd>, asks: &mut Vec<Ask>) {
    let wrap = |section: FuselageSection| (end.edit)(FuselageEnd { section, ..end.now.clone() });
    let part = Part { name: "Fuselage section", now: &end.now.section, units: end.units, edit: &wrap };
    shape(ui, seen, &part, asks);
}

fn shape(ui: &mut Ui, seen: &Seen<'_>, part: &Part<'_, FuselageSection>, asks: &mut Vec<Ask>) {
    let kinds = [
        ("circle", Kind::Circle),
        ("ellipse", Kind::Ellipse),
        ("rounded box", Kind::RoundedBox),
        ("measured", Kind::Measured),
    ];
    part.choice(ui, "Section", &kinds, kind(part.now), asks, |section, kind| *section = turned_into(section, kind));
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
        FuselageSection::Measured(measured) => points::table(ui, seen, part, measured, asks),
    }
    if let FuselageSection::RoundedBox { radius, .. } = part.now {
        part.length(ui, "Corner radius", *radius, asks, |section, mm| {
            if let FuselageSection::RoundedBox { radius, .. } = section {
                *radius = mm;
            }
        });
    }
    if let Some(centre) = crate::floor::airframe_drag::centre_height(&mut part.now.clone()) {
        part.length(ui, "Centre height", *centre, asks, |section, mm| {
            if let Some(centre) = crate::floor::airframe_drag::centre_height(section) {
                *centre = mm;
            }
        });
    }
}

fn further(ui: &mut Ui, seen: &Seen<'_>, end: &Part<'_, FuselageEnd>, asks: &mut Vec<Ask>) {
    heading(ui, "Further section");
    let Some((station, section)) = &end.now.further else {
        note(ui, "A second section, 20 to 50 mm further aft, tells the slope with which the form must meet it.");
        end.button(ui, "Add a further section", "Begins as a copy 30 mm further aft.", asks, |end| {
            end.further = Some((end.station + 30.0, end.section.clone()));
        });
        return;
    };
    let wrap = |further| (end.edit)(FuselageEnd { further: Some(further), ..end.now.clone() });
    let both = (*station, section.clone());
    let part = Part { name: "Further section", now: &both, units: end.units, edit: &wrap };
    part.length(ui, "Station", *station, asks, |further, x| further.0 = x);
    let wrap = |section| (end.edit)(FuselageEnd { further: Some((*station, section)), ..end.now.clone() });
    let part = Part { name: "Further section", now: section, units: end.units, edit: &wrap };
    shape(ui, seen, &part, asks);
    end.button(ui, "Remove the further section", "The slope is not compared any more.", asks, |end| {
        end.further = None;
    });
}

fn lap(ui: &mut Ui, end: &Part<'_, FuselageEnd>, asks: &mut Vec<Ask>) {
    let now = end.now.lap;
    let sides = [("over the fuselage", LapSide::Over), ("into the fuselage", LapSide::Into)];
    end.choice(ui, "The shell goes", &sides, now.side, asks, |end, side| end.lap.side = side);
    end.length(ui, "Lap", now.length, asks, |end, mm| end.lap.length = mm);
    end.length(ui, "Clearance per side", now.clearance, asks, |end, mm| end.lap.clearance = mm);
}

fn screws(ui: &mut Ui, end: &Part<'_, FuselageEnd>, asks: &mut Vec<Ask>) {
    end.tick(ui, "Screws around it", end.now.screws.is_some(), asks, |end, wanted| {
        let begin = Screws { spacing: ScrewSpacing::Count(8), edge_distance: 7.0, hole: 3.0 };
        end.screws = wanted.then_some(begin);
    });
    let Some(now) = end.now.screws else { return };
    let wrap = |screws| (end.edit)(FuselageEnd { screws: Some(screws), ..end.now.clone() });
    let part = Part { name: "Screws", now: &now, units: end.units, edit: &wrap };
    let counted = matches!(now.spacing, ScrewSpacing::Count(_));
    part.choice(ui, "Spaced by", &[("count", true), ("pitch", false)], counted, asks, |screws, counted| {
        screws.spacing = if counted { ScrewSpacing::Count(8) } else { ScrewSpacing::Pitch(60.0) };
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
}

/// A control section that holds the fuselage's own points.
fn pin(ui: &mut Ui, seen: &Seen<'_>, view: &ViewState, end: &FuselageEnd, asks: &mut Vec<Ask>) {
    let tip = "The form passes through the fuselage's section exactly; the master lines are locked there.";
    if !ui.button("Pin a section to it").on_hover_text(tip).clicked() {
        return;
    }
    let Some(measured) = as_points(&end.section) else { return };
    let with = ControlSection { station: end.station, shape: SectionShape::Pinned(measured) };
    let there = seen.form.sections.iter().position(|s| (s.station - end.station).abs() < 1e-6);
    asks.push(Ask::Do(match there {
        Some(section) => Edit::ReplaceSection { form: view.form, section, with },
        None => Edit::AddSection { form: view.form, section: with },
    }));
}
