//! Where the photograph was taken from: what is known of it beforehand, and what the landmarks say.

mod known;
mod plain_scale;
mod pose;

use super::OnTable;
use super::rows::fact;
use crate::slate::{Ask, Seen, heading, note};
use crate::units::Units;
use crate::view::ViewState;
use desk::photographs::{CameraFailure, FoundCamera};
use egui::{RichText, Ui};
use photo::camera::{field_of_view_deg, focal_px_from_equivalent};
use photo::resection::Resection;
use pose::{Pose, shaft_height};

/// The page.
pub(super) fn page(ui: &mut Ui, seen: &Seen<'_>, view: &ViewState, on: &OnTable<'_>, asks: &mut Vec<Ask>) {
    let Some(cameras) = &seen.table.cameras else { return };
    if cameras.is_seeking() {
        ui.horizontal(|ui| {
            ui.spinner();
            note(ui, "Looking for the camera…");
        });
    }
    match cameras.of(on.index) {
        None => {}
        Some(Err(why)) => refusal(ui, seen, why),
        Some(Ok(found)) => result(ui, seen, view, on, found),
    }
    plain_scale::reading(ui, seen, view, on, cameras.found(on.index));
    heading(ui, "Known beforehand");
    known::focal(ui, seen, view, on, asks);
    known::distance(ui, seen, view, on, asks);
    known::closeness(ui, on, asks);
}

/// Why there is no camera, and what to do.
fn refusal(ui: &mut Ui, seen: &Seen<'_>, why: &CameraFailure) {
    if why.is_no_landmarks() {
        note(ui, why.to_string());
    } else {
        ui.colored_label(seen.theme.warning, RichText::new(format!("No camera yet. {why}")).small());
    }
}

fn result(ui: &mut Ui, seen: &Seen<'_>, view: &ViewState, on: &OnTable<'_>, found: &FoundCamera) {
    let resection = &found.resection;
    let shaft = shaft_height(seen.document);
    let pose = Pose::of(found, shaft.0);
    place(ui, seen, view.units, &pose, shaft.1);
    lens(ui, on, resection);
    ui.add_space(2.0);
    trust(ui, seen, on, found);
}

/// Where it stood and how it was held.
fn place(ui: &mut Ui, seen: &Seen<'_>, units: Units, pose: &Pose, level: &str) {
    let scale = seen.document.model_scale;
    let (far, off) = (pose.distance_mm, pose.sigma.distance_mm);
    fact(ui, "Distance", format!("{} ± {} m at full size", metres(far * scale), metres(off * scale)))
        .on_hover_text(format!("{} at the model, to the middle of the landmarks.", units.length(far)));
    let (high, off) = (pose.height_mm, pose.sigma.height_mm);
    let above = if high >= 0.0 { "above" } else { "below" };
    fact(
        ui,
        "Height",
        format!("{} ± {} m {above} {level}, at full size", metres(high.abs() * scale), metres(off * scale)),
    );
    let side = if pose.to_port { "port" } else { "starboard" };
    let from = pose.from_ahead_deg;
    let words = match from {
        a if a < 2.0 => format!("from ahead: {a:.1} ± {:.1}° to {side}", pose.sigma.bearing_deg),
        a if a > 178.0 => format!("from astern: {:.1} ± {:.1}° to {side}", 180.0 - a, pose.sigma.bearing_deg),
        a if a <= 90.0 => {
            format!("{a:.1} ± {:.1}° from ahead to {side}, {:.1}° short of abeam", pose.sigma.bearing_deg, 90.0 - a)
        }
        a => format!("{a:.1} ± {:.1}° from ahead to {side}, {:.1}° aft of abeam", pose.sigma.bearing_deg, a - 90.0),
    };
    fact(ui, "Direction", words);
    let up = if pose.above_deg >= 0.0 { "above" } else { "below" };
    fact(ui, "Seen from", format!("{:.1} ± {:.1}° {up} level", pose.above_deg.abs(), pose.sigma.above_deg));
    let lean = if pose.leans_deg >= 0.0 { "left" } else { "right" };
    fact(ui, "Held", format!("leaning {:.1} ± {:.1}° to the {lean}", pose.leans_deg.abs(), pose.sigma.leans_deg));
}

fn lens(ui: &mut Ui, on: &OnTable<'_>, resection: &Resection) {
    let (px, off) = (resection.camera.camera.focal_px, resection.sigmas.focal_px);
    let size = on.picture.size_px;
    // What one millimetre of equivalent is in this picture.
    let unit = focal_px_from_equivalent(1.0, size);
    fact(
        ui,
        "Focal length",
        format!("{px:.0} ± {off:.0} px: {:.1} ± {:.1} mm as 35-mm equivalent", px / unit, off / unit),
    )
    .on_hover_text("By the pictures' diagonals, for an uncropped picture.");
    fact(
        ui,
        "Angle of view",
        format!("{:.1}° across, {:.1}° down", field_of_view_deg(px, size[0]), field_of_view_deg(px, size[1])),
    );
    let k1 = resection.camera.lens.k1;
    if k1 != 0.0 {
        fact(ui, "Lens", format!("k1 {k1:+.4}, from the straight lines"));
    }
}

/// How far all this can be trusted.
fn trust(ui: &mut Ui, seen: &Seen<'_>, on: &OnTable<'_>, found: &FoundCamera) {
    let resection = &found.resection;
    let used = resection.landmarks.iter().filter(|fit| fit.used).count();
    let picked = on.picture.photograph.landmarks.len();
    let spare = match resection.freedom {
        0 => "none to spare: a wrong one would not be noticed.".to_owned(),
        n => format!("{n} numbers to spare."),
    };
    fact(ui, "Found from", format!("{used} of {picked} landmarks, {spare}"));
    let misfit = resection.misfit;
    if resection.freedom > 0 {
        let words = match misfit {
            m if m < 0.5 => "better than their trust says: it may be too modest",
            m if m <= 1.3 => "as well as their trust says",
            _ => "worse than their trust says",
        };
        fact(ui, "Landmarks fit", format!("{words} ({misfit:.1} times)"));
    }
    let mut warn = |text: String| {
        ui.colored_label(seen.theme.warning, RichText::new(text).small());
    };
    if resection.widened > 1.05 {
        warn(format!(
            "More than chance explains: all ± here were made {:.1} times wider. Look at the worst landmarks first.",
            resection.widened
        ));
    }
    if let Some(pull) = resection.focal_pull.filter(|pull| pull.abs() > 3.0) {
        warn(format!(
            "The focal length given beforehand is off by {:.1} times its tolerance: the picture was cropped, or a landmark is \
             wrong. Widen the tolerance or clear it.",
            pull.abs()
        ));
    }
    if resection.condition > 1000.0 {
        warn(
            "These landmarks hold the camera badly: small mistakes have large consequences. Add some nearer to the camera and \
             farther from it, and to the sides."
                .into(),
        );
    }
    let unchecked: Vec<&str> =
        resection.landmarks.iter().filter(|fit| fit.used && !fit.checked).map(|fit| fit.name.as_str()).collect();
    if !unchecked.is_empty() && resection.freedom > 0 {
        note(ui, format!("If wrong, the others would not tell of: {}.", unchecked.join(", ")));
    }
}

/// Metres, to a centimetre.
fn metres(mm: f64) -> String {
    format!("{:.2}", mm / 1000.0)
}
