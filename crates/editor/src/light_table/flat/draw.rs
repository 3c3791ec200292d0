//! How far a reading in the figure's plane may be off, across the picture.

use crate::light_table::draw::{Ground, ink, label};
use crate::light_table::marks::OnPicture;
use egui::{Align2, Color32, Stroke, vec2};
use photo::Rectification;

/// Places where the error is told, as shares of the picture.
const ACROSS: [f64; 3] = [0.06, 0.5, 0.94];

/// The figure's grid laid over the picture, and the error across it, while the figure is selected.
pub(in crate::light_table) fn figure(ground: &Ground<'_>) {
    let read = ground.app.table.flat.read().and_then(|read| read.figure.as_ref());
    let Some(Ok(plane)) = read else { return };
    outline(ground, plane);
    let Some(OnPicture::Figure(_)) = crate::light_table::selected(ground.app) else { return };
    residuals(ground, plane);
    let size = ground.picture.size_px.map(f64::from);
    let units = ground.app.view.units;
    for (x, y) in ACROSS.iter().flat_map(|y| ACROSS.iter().map(move |x| (x, y))) {
        let pixel = [x * size[0], y * size[1]];
        let at = ground.at(pixel);
        if !ground.rect.contains(at) {
            continue;
        }
        let text = match plane.read_with_error(pixel, plane.sigma_px()) {
            Some(reading) => format!("± {}", units.length(reading.error())),
            None => "beyond the plane's horizon".into(),
        };
        small(ground, at, &text);
    }
}

/// The rectangle about a figure of many points, as its plane is seen.
fn outline(ground: &Ground<'_>, plane: &Rectification) {
    let points = ground.picture.photograph.figure.iter().flat_map(|f| &f.points);
    let places: Vec<[f64; 2]> = points.filter_map(|p| plane.read(p.pixel)).collect();
    if places.len() <= 4 {
        return;
    }
    let end = |k: usize, pick: fn(f64, f64) -> f64| places.iter().map(|p| p[k]).reduce(pick).unwrap_or_default();
    let ([left, top], [right, bottom]) = ([end(0, f64::min), end(1, f64::min)], [end(0, f64::max), end(1, f64::max)]);
    let corners = [[left, top], [right, top], [right, bottom], [left, bottom], [left, top]];
    let shown: Option<Vec<[f64; 2]>> = corners.into_iter().map(|at| plane.show(at)).collect();
    if let Some(shown) = shown {
        ground.line(&shown, 1.2, ink().good);
    }
}

fn small(ground: &Ground<'_>, at: egui::Pos2, text: &str) {
    let colour = ink().good;
    let galley = ground.painter.layout_no_wrap(text.to_owned(), crate::theme::small(), colour);
    let rect = Align2::CENTER_CENTER.anchor_size(at, galley.size());
    ground.painter.rect_filled(rect.expand2(vec2(3.0, 1.0)), 2.0, Color32::from_black_alpha(170));
    ground.painter.galley(rect.min, galley, colour);
}

/// How far each point lies from where its plane shows it, where that is to be seen.
fn residuals(ground: &Ground<'_>, plane: &Rectification) {
    let points = ground.picture.photograph.figure.iter().flat_map(|f| &f.points);
    for (number, (point, residual)) in points.zip(&plane.residuals).enumerate() {
        let shown = [0, 1].map(|k| point.pixel[k] - residual.off_px[k]);
        ground.painter.line_segment([ground.at(point.pixel), ground.at(shown)], Stroke::new(1.6, ink().warning));
        label(ground, ground.at(point.pixel) + vec2(8.0, -6.0), &format!("{}", number + 1), ink().text);
    }
}
