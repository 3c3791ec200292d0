//! A line of the form that is proposed, as it shows on the floor and over the picture.

use crate::app::App;
use crate::floor::layout::Layout;
use crate::light_table::draw::Ground;
use crate::theme::{self, Theme};
use desk::photographs::Depth;
use egui::{Painter, Pos2, Stroke};
use geometry::line::Line;
use project::document::{Document, LineName, MasterLine, Picture, PictureView};

/// How far the drawn line may lie off the curve, mm.
const CHORD: f64 = 0.02;
/// Pieces of the line over the picture.
const PIECES: u32 = 160;

/// A proposed line.
pub(crate) struct Preview {
    line: LineName,
    /// On its view, (x, value), mm.
    places: Vec<[f64; 2]>,
    /// Its points.
    points: Vec<[f64; 2]>,
    /// Over a picture, px.
    over: Option<(usize, Vec<[f64; 2]>)>,
}

impl Preview {
    pub(super) fn of(line: LineName, curve: &Line, master: &MasterLine) -> Self {
        let points = master.points.iter().map(|p| [p.x, p.value]).collect();
        Self { line, places: curve.polyline(CHORD), points, over: None }
    }

    /// The same, to be shown over that picture too, where it is known how the picture shows it.
    pub(super) fn over(mut self, document: &Document, picture: &Picture, depth: &Depth) -> Self {
        let index = document.pictures.iter().position(|p| std::ptr::eq(&**p, picture));
        let pixels = places_in_space(document, &self.places, self.line, depth.side())
            .and_then(|places| pixels(picture, depth, &places, self.line));
        self.over = index.zip(pixels);
        self
    }
}

/// Where the line runs; a breadth needs the height at which it lies, and a height the breadth.
fn places_in_space(document: &Document, places: &[[f64; 2]], line: LineName, side: f64) -> Option<Vec<[f64; 3]>> {
    let other = |name: LineName| {
        let form = document.forms.first()?;
        form::line(form.lines.get(name)).ok()
    };
    let (Some(first), Some(last)) = (places.first(), places.last()) else { return None };
    let even = |i: u32| first[0] + (last[0] - first[0]) * f64::from(i) / f64::from(PIECES);
    Some(match line {
        LineName::Crown | LineName::Keel => places.iter().map(|p| [p[0], 0.0, p[1]]).collect(),
        LineName::Breadth => {
            let heights = other(LineName::BreadthHeight)?;
            places.iter().map(|p| [p[0], side * p[1], heights.at(p[0]).value]).collect()
        }
        LineName::BreadthHeight => {
            let breadths = other(LineName::Breadth)?;
            let height = |x: f64| places.iter().rev().find(|p| p[0] <= x).map_or(first[1], |p| p[1]);
            (0..=PIECES).map(even).map(|x| [x, side * breadths.at(x).value, height(x)]).collect()
        }
    })
}

/// By the camera; without one only the centre plane is where the picture's scale shows it.
fn pixels(picture: &Picture, depth: &Depth, places: &[[f64; 3]], line: LineName) -> Option<Vec<[f64; 2]>> {
    match depth.camera() {
        Some(found) => Some(places.iter().filter_map(|p| found.resection.camera.project(*p)).collect()),
        None if picture.view == PictureView::Side && matches!(line, LineName::Crown | LineName::Keel) => {
            Some(places.iter().map(|p| picture.placement.to_px([p[0], p[2]])).collect())
        }
        None => None,
    }
}

/// What is proposed now.
fn shown(app: &App) -> Vec<&Preview> {
    let fairing = app.table.tracing.fairing.as_ref().and_then(super::fairing::Fairing::proposed);
    let beginning = app.table.tracing.beginning.as_ref().and_then(super::beginning::Beginning::begun);
    let faired = fairing.and_then(|proposed| proposed.as_ref().ok()).map(|proposed| &proposed.preview);
    let begun = beginning.and_then(|begun| begun.as_ref().ok()).into_iter().flat_map(|begun| &begun.previews);
    faired.into_iter().chain(begun).collect()
}

/// Draws them on the floor.
pub(crate) fn on_floor(painter: &Painter, app: &App, layout: &Layout, theme: &Theme) {
    for preview in shown(app) {
        let window = if preview.line == LineName::Breadth { &layout.plan } else { &layout.side };
        let painter = painter.with_clip_rect(window.rect);
        let line: Vec<Pos2> = preview.places.iter().map(|p| window.screen(*p)).collect();
        painter.line(line, Stroke::new(2.2, theme.accent));
        for p in &preview.points {
            painter.circle(window.screen(*p), 3.2, theme.floor, Stroke::new(1.6, theme.accent));
        }
    }
}

/// Draws them over the picture that lies on the table.
pub(in crate::light_table) fn on_picture(ground: &Ground<'_>) {
    for preview in shown(ground.app) {
        let Some((picture, pixels)) = &preview.over else { continue };
        if ground.app.table.picture == Some(*picture) {
            ground.line(pixels, 2.0, theme::Theme::of(true).accent);
        }
    }
}
