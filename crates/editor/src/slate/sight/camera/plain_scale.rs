//! How wrong the picture would be if it were read by its plain scale, as if it were a drawing.

use super::super::OnTable;
use super::super::rows::fact;
use crate::slate::{Seen, note};
use crate::view::ViewState;
use desk::photographs::{Depth, FoundCamera};
use egui::Ui;
use form::landmark_place;
use photo::Plane;
use project::document::{LineName, PictureView};
use project::photograph::{LandmarkPlace, Side};

/// The worst places on the centre plane and on the near side, mm at the model.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
struct Worst {
    centre: f64,
    breadth: f64,
}

/// Shows it, where the picture has a scale and a depth to be read by.
pub(super) fn reading(
    ui: &mut Ui,
    seen: &Seen<'_>,
    view: &ViewState,
    on: &OnTable<'_>,
    found: Option<&std::sync::Arc<FoundCamera>>,
) {
    if on.picture.view == PictureView::Reference || on.picture.scale.is_none() {
        return;
    }
    let photograph = &on.picture.photograph;
    let depth = match found {
        Some(found) => Depth::through(on.picture, (**found).clone()),
        // Without landmarks no camera is sought, and the distance is at hand.
        None if photograph.landmarks.is_empty() && photograph.distance_mm.is_some() => {
            match Depth::of(seen.document, on.picture) {
                Ok(depth) => depth,
                Err(why) => return note(ui, why.to_string()),
            }
        }
        None => return,
    };
    let Some(worst) = worst(seen, on, &depth) else { return };
    let text = format!(
        "off by up to {} on the centre plane and {} at the breadth, at the model",
        view.units.length(worst.centre),
        view.units.length(worst.breadth)
    );
    fact(ui, "Plain scale", text).on_hover_text(
        "If the picture were read by its scale alone, as a drawing: perspective, tilt and depth uncorrected. Traces that are \
         read through the camera are free of it.",
    );
}

/// At the form's ends and between them, on crown and keel, and on the near breadth line.
fn worst(seen: &Seen<'_>, on: &OnTable<'_>, depth: &Depth) -> Option<Worst> {
    let form = seen.document.forms.first()?;
    let along = &form.lines.get(LineName::Crown).points;
    let (first, last) = (along.first()?.x, along.last()?.x);
    let side = if depth.side() < 0.0 { Side::Port } else { Side::Starboard };
    let mut worst = Worst::default();
    for share in [0.02, 0.25, 0.5, 0.75, 0.98] {
        let station = first + share * (last - first);
        let error = |place| error(seen, on, depth, place).unwrap_or(0.0);
        let centre = error(LandmarkPlace::Crown { station }).max(error(LandmarkPlace::Keel { station }));
        worst.centre = worst.centre.max(centre);
        worst.breadth = worst.breadth.max(error(LandmarkPlace::Breadth { station, side }));
    }
    Some(worst).filter(|worst| worst.centre > 0.0 || worst.breadth > 0.0)
}

/// How far a place of the form lies from where the plain scale shows it.
fn error(seen: &Seen<'_>, on: &OnTable<'_>, depth: &Depth, place: LandmarkPlace) -> Option<f64> {
    let at = landmark_place(seen.document, place).ok()?;
    if let Some(found) = depth.camera() {
        let pixel = found.resection.camera.project(at)?;
        let (shown, real) = (on.picture.placement.to_view(pixel), on.picture.view.view_from_model(at)?);
        return Some((shown[0] - real[0]).hypot(shown[1] - real[1]));
    }
    // With the distance alone: where the plain scale shows the place, read again at the plane where it lies.
    let real = on.picture.view.view_from_model(at)?;
    let plane = match on.picture.view {
        PictureView::Side => Plane::at_half_breadth(at[1]),
        PictureView::Face => Plane::at_station(at[0]),
        PictureView::Plan | PictureView::Reference => return None,
    };
    depth.read_shown(real, &plane).ok()?.error_mm()
}
