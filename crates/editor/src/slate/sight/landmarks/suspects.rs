//! Landmarks that contradict the others, in words, with what would put them right.

use super::super::OnTable;
use crate::light_table::landmarks::fits::{self, Slip};
use crate::light_table::landmarks::target;
use crate::slate::{Ask, Seen, note};
use crate::view::ViewState;
use desk::photographs::FoundCamera;
use egui::{Frame, RichText, Stroke, Ui};
use photo::resection::Suspect;
use project::edit::Edit;
use project::photograph::{Landmark, LandmarkPlace};

/// A box for each.
pub(super) fn boxes(
    ui: &mut Ui,
    seen: &Seen<'_>,
    view: &ViewState,
    on: &OnTable<'_>,
    found: &FoundCamera,
    asks: &mut Vec<Ask>,
) {
    for suspect in &found.resection.suspects {
        let Some(index) = found.landmarks.get(suspect.index).copied() else { continue };
        let Some(landmark) = on.picture.photograph.landmarks.get(index) else { continue };
        let frame = Frame::new().stroke(Stroke::new(1.0, seen.theme.warning)).inner_margin(6).corner_radius(3);
        frame.show(ui, |ui| {
            ui.set_width(ui.available_width());
            one(ui, seen, view, on, found, suspect, (index, landmark), asks);
        });
    }
}

#[expect(clippy::too_many_arguments, reason = "a box reads the page, the camera and the landmark")]
fn one(
    ui: &mut Ui,
    seen: &Seen<'_>,
    view: &ViewState,
    on: &OnTable<'_>,
    found: &FoundCamera,
    suspect: &Suspect,
    (index, landmark): (usize, &Landmark),
    asks: &mut Vec<Ask>,
) {
    let doubt = if suspect.certain { "does not go with the others" } else { "may be wrong" };
    let text = RichText::new(format!("{} {doubt}", landmark.name)).color(seen.theme.warning);
    if ui.add(egui::Label::new(text).sense(egui::Sense::click())).clicked() {
        asks.push(Ask::Select(target(on.index, index)));
    }
    let full = suspect.mm * seen.document.model_scale;
    let off = format!(
        "It is off by {:.1} px: {} at the model, {} at full size.",
        suspect.px,
        view.units.length(suspect.mm),
        view.units.length(full)
    );
    let state = match suspect.certain {
        true => " All others agree without it, so the camera was found without it.",
        false => " Something here is wrong; the camera was found with it.",
    };
    note(ui, off + state);
    let with = |with: Landmark| Ask::Do(Edit::ReplaceLandmark { picture: on.index, index, with });
    let exchanged = other_way_round(on, found, suspect)
        .and_then(|other| Some((other, on.picture.photograph.landmarks.get(other)?)));
    if let Some((_, other)) = exchanged {
        note(
            ui,
            format!(
                "It fits where {} was picked, and that one here: are the two exchanged? Drag each to its place.",
                other.name
            ),
        );
    } else {
        repairs(ui, seen, view, on, found, suspect, landmark, asks, &with);
    }
    ui.horizontal_wrapped(|ui| {
        if ui.button("Show it").accessible_name(format!("Show {}", landmark.name)).clicked() {
            asks.push(Ask::Select(target(on.index, index)));
        }
        if ui.button("Leave it out").accessible_name(format!("Leave {} out", landmark.name)).clicked() {
            asks.push(with(Landmark { used: false, ..landmark.clone() }));
        }
    });
}

/// A coordinate that would fit, as an offer; a place that is tied is picked again.
#[expect(clippy::too_many_arguments, reason = "a box reads the page, the camera and the landmark")]
fn repairs(
    ui: &mut Ui,
    seen: &Seen<'_>,
    view: &ViewState,
    on: &OnTable<'_>,
    found: &FoundCamera,
    suspect: &Suspect,
    landmark: &Landmark,
    asks: &mut Vec<Ask>,
    with: &dyn Fn(Landmark) -> Ask,
) {
    let LandmarkPlace::At(at) = landmark.place else {
        note(ui, "Pick it again, or look whether it is tied to the right thing.");
        return;
    };
    let within = within_px(on, found, suspect.index);
    let camera = &found.resection.camera;
    let fits = fits::coordinates(camera, at, landmark.pixel, within);
    if fits.is_empty() {
        note(
            ui,
            "No single coordinate would put it right: pick it again, or look whether it has the name of another thing.",
        );
    }
    let mm_per_px = camera.camera.depth(at) / camera.camera.focal_px;
    for fit in fits.iter().take(2) {
        let axis = ["x", "y", "z"].get(fit.axis).copied().unwrap_or_default();
        let now = at.get(fit.axis).copied().unwrap_or_default();
        let scale = seen.document.model_scale;
        let slip = fits::slip(now, fit.value, scale, within * mm_per_px);
        let why = match slip {
            Some(Slip::Sign) => " The sign may be the wrong one.",
            Some(Slip::Decimal) => " A decimal point may have slipped.",
            Some(Slip::FullSize) => " It may have been typed at full size.",
            None => "",
        };
        let value = meant(now, fit.value, scale, slip);
        note(
            ui,
            format!(
                "It would fit with {axis} {} in place of {}.{why}",
                view.units.number(value),
                view.units.length(now)
            ),
        );
        let text = format!("Take {axis} {}", view.units.length(value));
        if ui.button(&text).accessible_name(format!("{text} for {}", landmark.name)).clicked() {
            asks.push(with(Landmark { place: corrected(at, fit.axis, value), ..landmark.clone() }));
        }
    }
}

/// What the builder meant to type, or what fits to a tenth of a millimetre: more is not known.
fn meant(typed: f64, fits: f64, model_scale: f64, slip: Option<Slip>) -> f64 {
    match slip {
        Some(Slip::Sign) => -typed,
        Some(Slip::Decimal) if fits.abs() > typed.abs() => typed * 10.0,
        Some(Slip::Decimal) => typed / 10.0,
        Some(Slip::FullSize) => typed / model_scale,
        None => (fits * 10.0).round() / 10.0,
    }
}

fn corrected(mut at: [f64; 3], axis: usize, mm: f64) -> LandmarkPlace {
    if let Some(value) = at.get_mut(axis) {
        *value = mm;
    }
    LandmarkPlace::At(at)
}

/// What the landmark with this place in the resection may be off by the hand, by its trust and by the camera: three deviations,
/// px.
fn within_px(on: &OnTable<'_>, found: &FoundCamera, index: usize) -> f64 {
    let resection = &found.resection;
    let landmark = found.landmarks.get(index).and_then(|l| on.picture.photograph.landmarks.get(*l));
    let depth = resection.landmarks.get(index).map_or(f64::INFINITY, |fit| fit.depth_mm);
    let by_place = landmark.map_or(0.0, |l| l.trust_mm) * resection.camera.camera.focal_px / depth.max(1.0);
    let shown = found.places.get(index).and_then(|at| resection.shown(*at));
    let by_camera = shown.map_or(0.0, |(_, covariance)| covariance.trace().max(0.0).sqrt());
    3.0 * on.picture.photograph.picked_px.hypot(by_place).hypot(by_camera)
}

/// The suspect with which this one fits once their names are exchanged.
fn other_way_round(on: &OnTable<'_>, found: &FoundCamera, suspect: &Suspect) -> Option<usize> {
    let shown = |index: usize| {
        let at = *found.places.get(index)?;
        let off = found.resection.landmarks.get(index)?.off_px;
        let seen = found.resection.camera.project(at)?;
        Some((at, [seen[0] + off[0], seen[1] + off[1]]))
    };
    let within = |other: usize| within_px(on, found, suspect.index).max(within_px(on, found, other));
    let own = shown(suspect.index)?;
    let others = found.resection.suspects.iter().filter(|other| other.index != suspect.index);
    let other = others
        .filter_map(|other| Some((other.index, shown(other.index)?)))
        .find(|(index, other)| fits::swapped(&found.resection.camera, [own, *other], within(*index)))?;
    found.landmarks.get(other.0).copied()
}
