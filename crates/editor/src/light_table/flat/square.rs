//! The plane of a flat figure drawn square and to scale as a picture of its own, beside the window's thread.

use crate::app::App;
use crate::view::Selected;
use desk::{Outcome, Progress, Work};
use photo::rectification::{Mark, RectificationError, rectify};
use photo::{Photo, Rectification};
use project::document::{Document, KnownDistance, Picture, PictureView, Placement};
use project::edit::Edit;
use project::photograph::{FigurePoint, Photograph};
use std::sync::Arc;

/// The square picture has at most so many pixels: more than a screen shows, and quick to draw.
const MOST_PIXELS: f64 = 12e6;
/// Rows drawn between two looks at whether it is still wanted.
const STRIP: u32 = 64;
/// Share of the work that reading the photograph is.
const READING: f32 = 0.2;

/// The square picture that is being made.
pub(crate) struct Squaring {
    work: Work<u64, Result<Square, String>>,
    /// Counts what was asked for, so that the same may be asked for again.
    number: u64,
    of: Of,
    /// Why the last one could not be made.
    pub(crate) failure: Option<String>,
}

/// What the square picture is of.
#[derive(Clone)]
struct Of {
    /// The photograph's name.
    name: String,
    /// The view that the square picture lies under.
    view: PictureView,
    /// A pixel of the square picture and where the photograph shows the same on its view, mm; `None` if it lies under no view to
    /// scale.
    held: Option<([f64; 2], [f64; 2])>,
    mirrored: bool,
}

/// A plane drawn square.
struct Square {
    png: Vec<u8>,
    size_px: [u32; 2],
    mm_per_px: f64,
}

/// What is drawn: the area in the plane, mm, and how fine.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Area {
    pub(crate) least: [f64; 2],
    pub(crate) most: [f64; 2],
    pub(crate) mm_per_px: f64,
}

impl Squaring {
    /// How far it is, from 0 to 1.
    pub(crate) fn progress(&self) -> Option<f32> {
        self.work.progress()
    }

    /// Gives it up.
    pub(crate) fn stop(&mut self) {
        self.work.cancel();
    }
}

/// The figure's plane at the model with x to the right and y down as the picture shows it, whichever way the builder counts.
///
/// # Errors
/// The figure does not make its plane readable.
pub(crate) fn upright(document: &Document, picture: &Picture) -> Option<Result<Rectification, RectificationError>> {
    let figure = picture.photograph.figure.as_ref()?;
    let to_model = if figure.full_size { 1.0 / document.model_scale } else { 1.0 };
    Some(plane(&figure.points, to_model, picture.photograph.picked_px))
}

fn plane(points: &[FigurePoint], to_model: f64, picked_px: f64) -> Result<Rectification, RectificationError> {
    let marks = |turned: f64| {
        let mark =
            |p: &FigurePoint| Mark { plane: [p.plane[0] * to_model, turned * p.plane[1] * to_model], pixel: p.pixel };
        points.iter().map(mark).collect::<Vec<_>>()
    };
    let as_counted = rectify(&marks(1.0), picked_px)?;
    let upwards = points.first().is_some_and(|p| {
        let at = p.plane.map(|mm| mm * to_model);
        as_counted.to_picture.by_point(at).determinant() < 0.0
    });
    if upwards { rectify(&marks(-1.0), picked_px) } else { Ok(as_counted) }
}

/// What a square picture would show: the figure with room about it, as fine as the photograph is at the figure's middle.
pub(crate) fn area(picture: &Picture, plane: &Rectification, margin: f64) -> Option<Area> {
    let figure = picture.photograph.figure.as_ref()?;
    let places: Vec<[f64; 2]> = figure.points.iter().filter_map(|p| plane.read(p.pixel)).collect();
    let ends = |k: usize, pick: fn(f64, f64) -> f64| places.iter().map(|p| p[k]).reduce(pick);
    let low = [ends(0, f64::min)?, ends(1, f64::min)?];
    let high = [ends(0, f64::max)?, ends(1, f64::max)?];
    let room = margin * (high[0] - low[0]).max(high[1] - low[1]);
    let (least, most) = (low.map(|v| v - room), high.map(|v| v + room));
    let middle = [0, 1].map(|k| f64::midpoint(low[k], high[k]));
    let pixel = plane.show(middle)?;
    let aside = plane.show([middle[0] + 1.0, middle[1]])?;
    let below = plane.show([middle[0], middle[1] + 1.0])?;
    let across = |to: [f64; 2]| (to[0] - pixel[0]).hypot(to[1] - pixel[1]);
    let finest = 1.0 / across(aside).max(across(below));
    let coarse = ((most[0] - least[0]) * (most[1] - least[1]) / MOST_PIXELS).sqrt();
    Some(Area { least, most, mm_per_px: finest.max(coarse) }).filter(|a| a.mm_per_px.is_finite())
}

/// Begins to draw it.
pub(super) fn begin(app: &mut App, ctx: &egui::Context) {
    let document = app.desk.document().clone();
    let Some(p) = app.table.picture.and_then(|i| document.pictures.get(i)).cloned() else { return };
    let plane = match upright(&document, &p) {
        Some(Ok(plane)) => plane,
        Some(Err(why)) => {
            app.message = Some(why.to_string());
            return;
        }
        None => return,
    };
    let wanted = app.table.flat.wanted;
    let Some(area) = area(&p, &plane, wanted.margin) else { return };
    let of = of(&p, wanted.view.unwrap_or(p.view), &plane, area);
    let squaring = app.table.flat.squaring.get_or_insert_with(|| {
        let ctx = ctx.clone();
        let work = Work::new(Arc::new(move || ctx.request_repaint()));
        Squaring { work, number: 0, of: of.clone(), failure: None }
    });
    squaring.number += 1;
    (squaring.of, squaring.failure) = (of, None);
    let number = squaring.number;
    squaring.work.want(number, move |progress| drawn(&p, &plane, area, progress));
}

/// Under the photograph's own view the square picture lies where the photograph shows the figure.
fn of(p: &Picture, view: PictureView, plane: &Rectification, area: Area) -> Of {
    let same = view == p.view && view != PictureView::Reference && p.scale.is_some();
    let middle = [0, 1].map(|k| f64::midpoint(area.least[k], area.most[k]));
    let held = plane.show(middle).filter(|_| same).map(|pixel| {
        let square = [0, 1].map(|k| (middle[k] - area.least[k]) / area.mm_per_px);
        (square, p.placement.to_view(pixel))
    });
    Of { name: p.name.clone(), view, held, mirrored: same && p.placement.mirrored }
}

/// Draws it strip by strip, so that it can be given up.
fn drawn(picture: &Picture, plane: &Rectification, area: Area, progress: &Progress) -> Result<Square, String> {
    let photo = photo::decode(&picture.bytes).map_err(|e| e.to_string())?;
    progress.tell(READING);
    let rows = ((area.most[1] - area.least[1]) / area.mm_per_px).ceil().max(1.0) as u32;
    let mut whole = Photo { width: 0, height: 0, rgba: Vec::new() };
    while whole.height < rows && !progress.is_cancelled() {
        let count = STRIP.min(rows - whole.height);
        let top = area.least[1] + f64::from(whole.height) * area.mm_per_px;
        // Half a pixel short, so that rounding adds no row.
        let bottom = top + (f64::from(count) - 0.5) * area.mm_per_px;
        let part = [[area.least[0], top], [area.most[0], bottom]];
        let strip = photo.rectified(plane, picture.size_px, part, area.mm_per_px).map_err(|e| e.to_string())?;
        whole.width = strip.width;
        whole.height += strip.height;
        whole.rgba.extend(strip.rgba);
        progress.tell(READING + (0.95 - READING) * whole.height as f32 / rows as f32);
    }
    let size_px = [whole.width, whole.height];
    let png = crate::pictures::png_of(whole).map_err(|why| format!("The picture cannot be kept: {why}."))?;
    Ok(Square { png, size_px, mm_per_px: area.mm_per_px })
}

/// Takes what is done into the document, as one step.
pub(super) fn take(app: &mut App) {
    let Some(squaring) = &mut app.table.flat.squaring else { return };
    let Some((_, outcome)) = squaring.work.poll() else { return };
    let of = squaring.of.clone();
    match outcome {
        Outcome::Done(Ok(square)) => add(app, &of, square),
        Outcome::Done(Err(why)) | Outcome::Broke(why) => squaring.failure = Some(why),
    }
}

fn add(app: &mut App, of: &Of, square: Square) {
    let name = free_name(app.desk.document(), &format!("{}, square", of.name));
    let picture = picture(app, &name, of, square);
    crate::act::edit_once(app, &Edit::AddPicture(picture));
    if app.message.is_none() {
        let last = app.desk.document().pictures.len().saturating_sub(1);
        super::super::lay(app, last);
        app.view.selected = Selected::Picture(last);
        app.note = Some(format!("Made \"{name}\": square and to scale. Lay a point of it on the datum next."));
    }
}

fn free_name(document: &Document, name: &str) -> String {
    let taken = |name: &str| document.pictures.iter().any(|p| p.name == name);
    if !taken(name) {
        return name.to_owned();
    }
    (2..).map(|n| format!("{name} {n}")).find(|name| !taken(name)).unwrap_or_default()
}

/// The picture set to scale by its own breadth; where nothing says where it lies, its middle is where the form's is.
fn picture(app: &App, name: &str, of: &Of, square: Square) -> Picture {
    let Square { png, size_px, mm_per_px } = square;
    let [w, h] = size_px.map(f64::from);
    let view = of.view;
    let first = crate::pictures::first_placement(view, size_px, &app.scene.extents);
    let middle = [0.5 * w, 0.5 * h];
    let (pixel, at) = of.held.unwrap_or((middle, first.to_view(middle)));
    let placement = Placement { mm_per_px, mirrored: of.mirrored, ..first }.held_at(pixel, at);
    let known = KnownDistance { a: [0.0, 0.5 * h], b: [w, 0.5 * h], distance_mm: w * mm_per_px, full_size: false };
    Picture {
        name: name.to_owned(),
        view,
        file: project::file::picture_file_name(name, &png),
        bytes: png.into(),
        size_px,
        placement,
        scale: Some(known),
        check: None,
        level: None,
        opacity: 0.6,
        locked: false,
        hidden: false,
        photograph: Photograph::default(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Seen square on, 2 px to the mm, the picture's upper left at x 0; one builder counts heights upwards, one downwards.
    #[test]
    fn a_figure_is_upright_whichever_way_it_is_counted() {
        let corners = [[0.0, 0.0], [300.0, 0.0], [300.0, 200.0], [0.0, 200.0]];
        let pixel = |[x, y]: [f64; 2]| [100.0 + 2.0 * x, 80.0 + 2.0 * y];
        let downwards = corners.map(|at| FigurePoint { pixel: pixel(at), plane: at });
        let upwards = corners.map(|at| FigurePoint { pixel: pixel(at), plane: [at[0], 200.0 - at[1]] });
        for points in [downwards, upwards] {
            let plane = plane(&points, 1.0, 1.0).expect("a plane");
            let [low, high] =
                [[120.0, 90.0], [120.0, 390.0]].map(|pixel| plane.read(pixel).expect("before the camera"));
            assert!((high[1] - low[1] - 150.0).abs() < 1e-6, "{low:?} {high:?}");
        }
    }
}
