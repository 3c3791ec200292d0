//! What is known of a camera beforehand: focal length, distance, how closely things were picked.

use super::super::OnTable;
use crate::slate::field::{self, Number};
use crate::slate::{Ask, Seen, note};
use crate::view::ViewState;
use egui::{Button, Ui};
use photo::camera::{field_of_view_deg, focal_px_from_equivalent};
use photo::shot::{Shot, Trim};
use project::edit::Edit;
use project::photograph::FocalLength;

/// Share of a typed focal length that it may be off until the builder says otherwise. Common practice, no source.
const TYPED: f64 = 0.1;

/// The focal length to start from.
pub(super) fn focal(ui: &mut Ui, seen: &Seen<'_>, _view: &ViewState, on: &OnTable<'_>, asks: &mut Vec<Ask>) {
    let picture = on.index;
    let set = |focal: Option<FocalLength>| Edit::SetFocalLength { picture, focal };
    let shot = seen.table.flat.read().and_then(|read| read.shot);
    let start = shot.and_then(|shot| shot.focal_start());
    let there = on.picture.photograph.focal;
    match there {
        Some(focal) => numbers(ui, on, focal, asks, &|focal| set(Some(focal))),
        None => note(ui, "No focal length is given: six landmarks or more tell it by themselves."),
    }
    ui.horizontal_wrapped(|ui| {
        let from_file = ui.add_enabled(start.is_some(), Button::new("From the file"));
        let from_file = from_file.on_hover_text("The focal length that the camera wrote into the picture (EXIF).");
        if let (true, Some(start)) = (from_file.clicked(), start) {
            asks.push(Ask::Do(set(Some(FocalLength { px: start.px, tolerance_px: start.sigma_px }))));
        }
        if there.is_none() {
            let found = seen.table.cameras.as_ref().and_then(|cameras| cameras.found(on.index));
            // Until it is typed: what the landmarks say, or a long normal lens, as one should take for such pictures.
            let px = found.map_or_else(
                || focal_px_from_equivalent(85.0, on.picture.size_px),
                |f| f.resection.camera.camera.focal_px,
            );
            let typed = FocalLength { px: px.round(), tolerance_px: (TYPED * px).round() };
            if ui.button("Type it").accessible_name("Type the focal length").clicked() {
                asks.push(Ask::Do(set(Some(typed))));
            }
        } else if ui.button("Clear").accessible_name("Clear the focal length").clicked() {
            asks.push(Ask::Do(set(None)));
        }
    });
    note(ui, caveat(shot));
}

/// What the picture's file says, and how far that goes.
fn caveat(shot: Option<Shot>) -> String {
    let Some(shot) = shot else { return "The picture's file cannot be read for a focal length.".into() };
    let Some(mm) = shot.equivalent_mm else {
        return "The picture's file names no focal length; copies that were sent or edited often lose it.".into();
    };
    let trim = shot.trim();
    let convention =
        "Makers count it by the diagonal or by the longer side, so it is a start with a tolerance, never gospel.";
    match trim {
        Trim::Cropped { .. } => format!("The file says {mm:.0} mm (35-mm equivalent), but: {trim}"),
        _ => format!("The file says {mm:.0} mm (35-mm equivalent). {convention} {trim}"),
    }
}

fn numbers(ui: &mut Ui, on: &OnTable<'_>, focal: FocalLength, asks: &mut Vec<Ask>, set: &dyn Fn(FocalLength) -> Edit) {
    let size = on.picture.size_px;
    let longer = size[0].max(size[1]);
    let number = |label, name: &str, suffix, decimals, range| Number {
        label,
        name: name.to_owned(),
        suffix,
        decimals,
        speed: if decimals == 0 { 5.0 } else { 0.1 },
        range,
    };
    // The tolerance keeps its share when the length is typed anew.
    let share = focal.tolerance_px / focal.px;
    let to = |px: f64| set(FocalLength { px, tolerance_px: share * px });
    let px = number("Focal length", "Focal length in pixels", "px", 0, [1.0, 1e6]);
    field::number_field(ui, &px, focal.px, asks, to);
    let tolerance = number("Known to ±", "Tolerance of the focal length", "px", 0, [0.0, 1e6]);
    field::number_field(ui, &tolerance, focal.tolerance_px, asks, |tolerance_px| {
        set(FocalLength { tolerance_px, ..focal })
    });
    let unit = focal_px_from_equivalent(1.0, size);
    let equivalent = number("35-mm equivalent", "Focal length as 35-mm equivalent", "mm", 1, [1.0, 5000.0]);
    field::number_field(ui, &equivalent, focal.px / unit, asks, |mm| to(mm * unit));
    let angle = number("Angle, longer side", "Angle of view", "°", 1, [0.1, 170.0]);
    field::number_field(ui, &angle, field_of_view_deg(focal.px, longer), asks, |degrees| {
        to(0.5 * f64::from(longer) / (0.5 * degrees.to_radians()).tan())
    });
}

/// The distance to the centre plane, for a picture without a camera.
pub(super) fn distance(ui: &mut Ui, seen: &Seen<'_>, view: &ViewState, on: &OnTable<'_>, asks: &mut Vec<Ask>) {
    let picture = on.index;
    let set = |distance_mm: Option<f64>| Edit::SetCameraDistance { picture, distance_mm };
    ui.add_space(4.0);
    match on.picture.photograph.distance_mm {
        Some(mm) => {
            field::length(ui, "Distance, full size", "Distance to the camera", mm, view.units, asks, |mm| {
                set(Some(mm))
            });
            if ui.button("Clear").accessible_name("Clear the distance to the camera").clicked() {
                asks.push(Ask::Do(set(None)));
            }
        }
        None => {
            let tip = "From the camera to the centre plane, at full size. Without landmarks, depth is read by it.";
            if ui.button("Type the distance").on_hover_text(tip).clicked() {
                let cameras = seen.table.cameras.as_ref();
                let eye = cameras.and_then(|c| c.found(on.index)).map(|f| f.resection.camera.camera.eye());
                let found = eye.map(|eye| (eye[1].abs() * seen.document.model_scale).round());
                // A place from which such pictures are taken, until it is typed.
                asks.push(Ask::Do(set(Some(found.filter(|mm| *mm > 500.0).unwrap_or(6000.0)))));
            }
        }
    }
}

/// How closely a hand picks and traces in this picture.
pub(super) fn closeness(ui: &mut Ui, on: &OnTable<'_>, asks: &mut Vec<Ask>) {
    let photograph = &on.picture.photograph;
    let (picked_px, traced_px) = (photograph.picked_px, photograph.traced_px);
    let picture = on.index;
    let number = |label, name: &str| Number {
        label,
        name: name.to_owned(),
        suffix: "px",
        decimals: 1,
        speed: 0.05,
        range: [0.05, 1000.0],
    };
    ui.add_space(4.0);
    field::number_field(ui, &number("Picked to ±", "Landmarks are picked to"), picked_px, asks, |picked_px| {
        Edit::SetCloseness { picture, picked_px, traced_px }
    });
    field::number_field(ui, &number("Traced to ±", "Lines are traced to"), traced_px, asks, |traced_px| {
        Edit::SetCloseness { picture, picked_px, traced_px }
    });
    note(ui, "One standard deviation: two picks in three are nearer than that.");
}
