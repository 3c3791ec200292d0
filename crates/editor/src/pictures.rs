//! Pictures under the drawing: bringing them in, decoding them off the window's thread, drawing them, picking points.

use crate::act;
use crate::app::App;
use crate::commands::Command;
use crate::dialogs::questions::NewPicture;
use crate::dialogs::{Dialog, Distance};
use crate::floor::layout::{Extents, Layout, View, Window};
use crate::loose;
use crate::theme::{self, Theme};
use crate::units::Units;
use crate::view::{Pick, PickPurpose, Selected, Tab, Tool};
use egui::epaint::{Mesh, Vertex};
use egui::{
    Align2, Color32, ColorImage, Painter, Pos2, Rect, Shape, Stroke, TextureHandle, TextureOptions, pos2, vec2,
};
use photo::Photo;
use project::document::{Document, KnownDistance, Picture, PictureView, Placement};
use project::edit::Edit;
use std::path::Path;
use std::sync::Arc;
use std::sync::mpsc::{Receiver, channel};

/// Longer sides are shown reduced to this many pixels.
const SHOWN: u32 = 4096;
/// Width of the card with a reference picture, in points.
const REFERENCE_WIDTH: f32 = 250.0;
/// Larger files are no pictures to draw over, bytes.
const MOST_BYTES: u64 = 512 * 1024 * 1024;

/// Decoded pictures, by their bytes.
#[derive(Default)]
pub(crate) struct Decoded {
    pictures: Vec<(Arc<[u8]>, State)>,
}

enum State {
    Waiting(Receiver<Result<Photo, String>>),
    Ready(TextureHandle),
    Failed(String),
}

impl Decoded {
    /// Starts what is new, takes what is done, and drops what the document has lost. What lies on the light table is in
    /// sight there, hidden under the drawing or not.
    pub(crate) fn refresh(&mut self, ctx: &egui::Context, document: &Document, on_table: Option<usize>) {
        self.pictures.retain(|(bytes, _)| document.pictures.iter().any(|p| Arc::ptr_eq(&p.bytes, bytes)));
        // What is hidden is decoded when it is shown again; hiding one that is being read gives the reading up.
        let is_hidden = |index: usize, p: &Picture| p.hidden && on_table != Some(index);
        let hidden = |bytes: &Arc<[u8]>| {
            let mut of = document.pictures.iter().enumerate().filter(|(_, p)| Arc::ptr_eq(&p.bytes, bytes));
            of.all(|(index, p)| is_hidden(index, p))
        };
        self.pictures.retain(|(bytes, state)| !matches!(state, State::Waiting(_)) || !hidden(bytes));
        let shown = |(index, p): &(usize, &Arc<Picture>)| !p.bytes.is_empty() && !is_hidden(*index, p);
        for (_, picture) in document.pictures.iter().enumerate().filter(shown) {
            if !self.pictures.iter().any(|(bytes, _)| Arc::ptr_eq(bytes, &picture.bytes)) {
                self.pictures.push((picture.bytes.clone(), State::Waiting(decode(ctx, &picture.bytes))));
            }
        }
        for (_, state) in &mut self.pictures {
            let State::Waiting(answer) = state else { continue };
            match answer.try_recv() {
                Ok(Ok(photo)) => *state = State::Ready(texture(ctx, &photo)),
                Ok(Err(why)) => *state = State::Failed(why),
                Err(_) => {}
            }
        }
    }

    /// Whether this one is still being read.
    pub(crate) fn is_waiting(&self, picture: &Picture) -> bool {
        matches!(self.state(picture), Some(State::Waiting(_)))
    }

    fn state(&self, picture: &Picture) -> Option<&State> {
        self.pictures.iter().find(|(bytes, _)| Arc::ptr_eq(bytes, &picture.bytes)).map(|(_, s)| s)
    }

    /// The picture for the graphics card, once it is there.
    pub(crate) fn texture(&self, picture: &Picture) -> Option<&TextureHandle> {
        match self.state(picture) {
            Some(State::Ready(texture)) => Some(texture),
            _ => None,
        }
    }

    /// Why it cannot be shown.
    pub(crate) fn failure(&self, picture: &Picture) -> Option<&str> {
        match self.state(picture) {
            Some(State::Failed(why)) => Some(why),
            None if picture.bytes.is_empty() => {
                Some("The picture's file is missing. Put it back beside the project, then open the project again.")
            }
            _ => None,
        }
    }
}

fn decode(ctx: &egui::Context, bytes: &Arc<[u8]>) -> Receiver<Result<Photo, String>> {
    let (send, answer) = channel();
    let (ctx, bytes) = (ctx.clone(), bytes.clone());
    std::thread::spawn(move || {
        let photo = photo::decode(&bytes).map(|p| p.reduced(SHOWN)).map_err(|e| e.to_string());
        // The picture may have been removed meanwhile; then nobody listens.
        let _ = send.send(photo);
        ctx.request_repaint();
    });
    answer
}

fn texture(ctx: &egui::Context, photo: &Photo) -> TextureHandle {
    let image = ColorImage::from_rgba_unmultiplied([photo.width as usize, photo.height as usize], &photo.rgba);
    let options = TextureOptions { mipmap_mode: Some(egui::TextureFilter::Linear), ..TextureOptions::LINEAR };
    ctx.load_texture("picture", image, options)
}

/// Takes a picture file; the builder is asked which view it lies under.
pub(crate) fn from_file(app: &mut App, path: &Path) {
    let name = path.file_stem().map_or_else(|| "Picture".into(), |n| n.to_string_lossy().into_owned());
    let file = path.to_owned();
    crate::dialogs::waiting::begin(app, format!("Reading {}", path.display()), move || {
        let read = read(&file);
        Box::new(move |app: &mut App| match read {
            Ok(bytes) => offer(app, name, bytes),
            Err(why) => app.message = Some(why),
        })
    });
}

fn read(path: &Path) -> Result<Vec<u8>, String> {
    let about = std::fs::metadata(path).map_err(|e| format!("{} cannot be read: {e}.", path.display()))?;
    if about.len() > MOST_BYTES {
        return Err(format!("{} is too large for a picture.", path.display()));
    }
    std::fs::read(path).map_err(|e| format!("{} cannot be read: {e}.", path.display()))
}

/// Takes a picture from the clipboard.
pub(crate) fn pasted(app: &mut App, image: &ColorImage) {
    match png(image) {
        Ok(bytes) => offer(app, "Pasted picture".into(), bytes),
        Err(why) => app.message = Some(format!("The pasted picture cannot be kept: {why}.")),
    }
}

fn png(image: &ColorImage) -> Result<Vec<u8>, String> {
    let [width, height] = image.size;
    let rgba: Vec<u8> = image.pixels.iter().flat_map(Color32::to_srgba_unmultiplied).collect();
    png_of(Photo { width: width as u32, height: height as u32, rgba })
}

/// Pixels as the bytes of a PNG file.
pub(crate) fn png_of(photo: Photo) -> Result<Vec<u8>, String> {
    let buffer = image::RgbaImage::from_raw(photo.width, photo.height, photo.rgba).ok_or("its size is wrong")?;
    let mut bytes = std::io::Cursor::new(Vec::new());
    buffer.write_to(&mut bytes, image::ImageFormat::Png).map_err(|e| e.to_string())?;
    Ok(bytes.into_inner())
}

fn offer(app: &mut App, name: String, bytes: Vec<u8>) {
    match photo::size(&bytes) {
        Ok(_) => {
            let taken: Vec<PictureView> = app.desk.document().pictures.iter().map(|p| p.view).collect();
            app.dialog = Some(Dialog::PictureView(NewPicture::new(name, bytes, &taken)));
        }
        Err(error) => app.message = Some(format!("{name}: {error}")),
    }
}

/// Lays a picture under a view, about as large as the form.
pub(crate) fn add(app: &mut App, name: &str, bytes: &[u8], view: PictureView) {
    let size_px = match photo::size(bytes) {
        Ok(size) => size,
        Err(error) => {
            app.message = Some(error.to_string());
            return;
        }
    };
    let picture = Picture {
        name: name.to_owned(),
        view,
        file: project::file::picture_file_name(name, bytes),
        bytes: bytes.into(),
        size_px,
        placement: first_placement(view, size_px, &app.scene.extents),
        scale: None,
        check: None,
        level: None,
        opacity: 0.6,
        locked: false,
        hidden: false,
        photograph: project::photograph::Photograph::default(),
    };
    act::edit_once(app, &Edit::AddPicture(picture));
    if app.message.is_none() {
        let last = app.desk.document().pictures.len().saturating_sub(1);
        app.view.selected = Selected::Picture(last);
        app.view.tab = Tab::Pictures;
        fit_while_tracing(app);
        app.note = Some(match view {
            PictureView::Reference => "It lies on a loose card.".to_owned(),
            _ => format!("Next: set it to scale ({}).", Command::ScalePicture.entry().name),
        });
        app.view.reference.open |= view == PictureView::Reference;
    }
}

/// A picture has been set to scale.
pub(crate) fn scaled(app: &mut App, picture: usize) {
    fit_while_tracing(app);
    let unscaled = |p: &Arc<Picture>| p.scale.is_none() && view_of(p).is_some();
    let more = app.desk.document().pictures.iter().enumerate().any(|(i, p)| i != picture && unscaled(p));
    let then = if more { " Then set the next picture to scale." } else { " Then draw the crown over it." };
    app.note = Some(format!("Next: lay a point of it on the datum.{then}"));
}

/// Until there is a surface, the pictures are what there is to see.
fn fit_while_tracing(app: &mut App) {
    app.view.fit_wanted |= app.derived.loft().is_none();
}

/// The two points that were picked on a picture for a purpose, px.
pub(crate) fn picked_points(picture: &Picture, purpose: PickPurpose) -> Option<[[f64; 2]; 2]> {
    match purpose {
        PickPurpose::Scale => picture.scale.map(|known| [known.a, known.b]),
        PickPurpose::Check => picture.check.map(|known| [known.a, known.b]),
        PickPurpose::Level => picture.level,
        PickPurpose::Datum => None,
    }
}

/// The edit that puts a picked point at a place of its view, mm: the picture is scaled, checked or levelled anew.
pub(crate) fn point_moved(
    p: &Picture,
    picture: usize,
    purpose: PickPurpose,
    second: bool,
    at: [f64; 2],
) -> Option<Edit> {
    let mut points = picked_points(p, purpose)?;
    points[usize::from(second)] = p.placement.to_px(at);
    let [a, b] = points;
    match purpose {
        PickPurpose::Scale => {
            p.scale.map(|known| Edit::ScalePicture { picture, known: KnownDistance { a, b, ..known } })
        }
        PickPurpose::Check => {
            p.check.map(|known| Edit::CheckPicture { picture, known: Some(KnownDistance { a, b, ..known }) })
        }
        PickPurpose::Level => Some(Edit::LevelPicture { picture, points }),
        PickPurpose::Datum => None,
    }
}

pub(crate) fn first_placement(view: PictureView, [width, height]: [u32; 2], extents: &Extents) -> Placement {
    let (middle, across) = match view {
        PictureView::Side | PictureView::Reference => (
            [f64::midpoint(extents.x[0], extents.x[1]), f64::midpoint(extents.z[0], extents.z[1])],
            extents.x[1] - extents.x[0],
        ),
        PictureView::Face => ([0.0, f64::midpoint(extents.z[0], extents.z[1])], 2.0 * extents.half_breadth),
        PictureView::Plan => ([f64::midpoint(extents.x[0], extents.x[1]), 0.0], extents.x[1] - extents.x[0]),
    };
    let mm_per_px = across / f64::from(width.max(1));
    let offset = [middle[0] - 0.5 * across, middle[1] + 0.5 * f64::from(height) * mm_per_px];
    Placement { mm_per_px, rotation_deg: 0.0, offset, mirrored: false }
}

/// The view that a picture is drawn under.
pub(crate) fn view_of(picture: &Picture) -> Option<View> {
    match picture.view {
        PictureView::Side => Some(View::Side),
        PictureView::Face => Some(View::Face),
        PictureView::Plan => Some(View::Plan),
        PictureView::Reference => None,
    }
}

/// Draws the pictures of all views.
pub(crate) fn draw(painter: &Painter, app: &App, layout: &Layout, theme: &Theme) {
    // Pictures lie in the axes of the first form; a form that is put on it has its own.
    if app.form().mount.is_some() {
        return;
    }
    let document = app.desk.document();
    for (index, picture) in document.pictures.iter().enumerate().filter(|(_, p)| !p.hidden) {
        let Some(window) = view_of(picture).map(|v| layout.window(v)) else { continue };
        let painter = painter.with_clip_rect(window.rect);
        let corners = corners(picture).map(|c| window.screen(c));
        match app.decoded.texture(picture) {
            Some(texture) => {
                painter.add(Shape::mesh(quad(texture, corners, picture.opacity)));
            }
            None => note(&painter, corners, theme, app.decoded.failure(picture)),
        }
        if app.view.selected.picture() == Some(index) && !app.table.is_open() {
            let outline = corners.into_iter().chain([corners[0]]).collect();
            painter.line(outline, Stroke::new(1.5, theme.accent));
        }
    }
}

/// The corners on the view, mm, from the upper left one onwards.
pub(crate) fn corners(picture: &Picture) -> [[f64; 2]; 4] {
    let [w, h] = picture.size_px.map(f64::from);
    [[0.0, 0.0], [w, 0.0], [w, h], [0.0, h]].map(|px| picture.placement.to_view(px))
}

fn quad(texture: &TextureHandle, corners: [Pos2; 4], opacity: f64) -> Mesh {
    let mut mesh = Mesh::with_texture(texture.id());
    let color = Color32::from_white_alpha((255.0 * opacity.clamp(0.0, 1.0)) as u8);
    let uvs = [pos2(0.0, 0.0), pos2(1.0, 0.0), pos2(1.0, 1.0), pos2(0.0, 1.0)];
    mesh.vertices = corners.into_iter().zip(uvs).map(|(pos, uv)| Vertex { pos, uv, color }).collect();
    mesh.indices = vec![0, 1, 2, 0, 2, 3];
    mesh
}

fn note(painter: &Painter, corners: [Pos2; 4], theme: &Theme, failure: Option<&str>) {
    let text = failure.unwrap_or("Reading the picture…");
    let middle = corners[0].lerp(corners[2], 0.5);
    painter.add(Shape::closed_line(corners.to_vec(), Stroke::new(1.0, theme.weak)));
    let galley = painter.layout(text.to_owned(), theme::small(), theme.weak, 260.0);
    painter.galley(middle - 0.5 * galley.size(), galley, theme.weak);
}

/// The card with a picture that lies under no view: the selected one, or the first that is not hidden.
pub(crate) fn reference_card(ui: &egui::Ui, app: &mut App, theme: &Theme) {
    let document = app.desk.document().clone();
    let is_shown = |p: &Picture| p.view == PictureView::Reference && !p.hidden;
    let selected = match app.view.selected {
        Selected::Picture(picture) => document.pictures.get(picture).filter(|p| is_shown(p)),
        _ => None,
    };
    let Some(picture) = selected.or_else(|| document.pictures.iter().find(|p| is_shown(p))) else { return };
    let Some(stage) = app.stage().filter(|_| app.view.reference.open) else { return };
    let Some(texture) = app.decoded.texture(picture) else { return };
    let [w, h] = picture.size_px.map(|s| s.max(1) as f32);
    let size = vec2(REFERENCE_WIDTH, REFERENCE_WIDTH * (h / w).clamp(0.3, 1.4));
    let corner = stage.min + egui::Vec2::from(app.view.reference.from_corner);
    let place = loose::kept_on(stage, Rect::from_min_size(corner, loose::outer(size)));
    let id = texture.id();
    let mut close = false;
    let buttons = |ui: &mut egui::Ui| close = loose::button(ui, "close", Command::Reference.entry().tip);
    let dragged = loose::show(ui, "reference", place, &picture.name, theme, buttons, |ui| {
        let (rect, response) = ui.allocate_exact_size(size, egui::Sense::hover());
        response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Image, true, &picture.name));
        let whole = Rect::from_min_max(pos2(0.0, 0.0), pos2(1.0, 1.0));
        ui.painter().image(id, rect, whole, Color32::WHITE);
    });
    let reference = &mut app.view.reference;
    reference.open &= !close;
    if dragged != egui::Vec2::ZERO {
        let corner = place.min + dragged - stage.min;
        reference.from_corner = [corner.x, corner.y];
    }
}

/// Draws the picked points of the selected picture, and what is being picked.
pub(crate) fn draw_marks(painter: &Painter, app: &App, layout: &Layout, theme: &Theme) {
    let document = app.desk.document();
    let picking = match app.view.tool {
        Tool::Pick(pick) => Some(pick),
        _ => None,
    };
    let shown = picking.map(|pick| pick.picture).or(app.view.selected.picture());
    let Some(picture) = shown.and_then(|p| document.pictures.get(p)).filter(|p| !p.hidden) else { return };
    let Some(window) = view_of(picture).map(|v| layout.window(v)) else { return };
    let painter = painter.with_clip_rect(window.rect);
    let place = |px: [f64; 2]| window.screen(picture.placement.to_view(px));
    let units = app.view.units;
    let texts = [
        (PickPurpose::Scale, picture.scale.map(|known| label(&known, units))),
        (PickPurpose::Check, picture.check.map(|known| label(&known, units))),
        (PickPurpose::Level, picture.level.map(|_| "level".to_owned())),
    ];
    for (purpose, text) in texts {
        // Where the handles are: one of them may be on its way.
        let ends: Vec<Pos2> = app
            .scene
            .handles
            .iter()
            .filter(|h| matches!(h.target, Selected::PicturePoint { purpose: p, .. } if p == purpose))
            .map(|h| window.screen(h.at))
            .collect();
        if let (Some(text), [from, to]) = (text, ends.as_slice()) {
            distance(&painter, [*from, *to], &text, theme, purpose);
        }
    }
    if let Some(first) = picking.and_then(|p| p.first) {
        let from = place(first);
        cross(&painter, from, theme.accent);
        if let Some(pointer) = painter.ctx().pointer_hover_pos() {
            painter.line_segment([from, pointer], Stroke::new(1.2, theme.accent));
        }
    }
}

fn label(known: &KnownDistance, units: Units) -> String {
    let which = if known.full_size { "full size" } else { "model" };
    format!("{} {which}", units.length(known.distance_mm))
}

fn distance(painter: &Painter, [from, to]: [Pos2; 2], text: &str, theme: &Theme, purpose: PickPurpose) {
    let stroke = Stroke::new(1.4, theme.accent);
    if purpose != PickPurpose::Scale {
        painter.extend(Shape::dashed_line(&[from, to], stroke, 6.0, 4.0));
    } else {
        painter.line_segment([from, to], stroke);
    }
    let galley = painter.layout_no_wrap(text.to_owned(), theme::small(), theme.text);
    let middle = from.lerp(to, 0.5);
    // Often the same two points are levelled and measured: both can be read.
    let rect = if purpose == PickPurpose::Level {
        Align2::CENTER_TOP.anchor_size(middle + vec2(0.0, 6.0), galley.size())
    } else {
        Align2::CENTER_BOTTOM.anchor_size(middle - vec2(0.0, 6.0), galley.size())
    };
    painter.rect_filled(rect.expand(3.0), 2.0, theme.panel);
    painter.galley(rect.min, galley, theme.text);
}

fn cross(painter: &Painter, at: Pos2, colour: Color32) {
    for arm in [vec2(6.0, 6.0), vec2(6.0, -6.0)] {
        painter.line_segment([at - arm, at + arm], Stroke::new(1.6, colour));
    }
}

/// Begins to pick two points of a picture: of the selected one, or of the first that has no scale yet.
pub(crate) fn begin_pick(app: &mut App, purpose: PickPurpose) {
    let document = app.desk.document().clone();
    let selected = app.view.selected.picture();
    let unscaled = document.pictures.iter().position(|p| p.scale.is_none() && view_of(p).is_some());
    let first = document.pictures.iter().position(|p| view_of(p).is_some());
    // With none selected, the checklist's next one is meant.
    let Some(picture) = selected.or(unscaled).or(first) else { return };
    if document.pictures.get(picture).and_then(|p| view_of(p)).is_none() {
        app.message = Some("A reference picture lies under no view and cannot be set to scale.".into());
        return;
    }
    app.view.selected = Selected::Picture(picture);
    app.view.tab = Tab::Pictures;
    app.view.tool = Tool::Pick(Pick { picture, purpose, first: None });
    app.note = Some(match purpose {
        PickPurpose::Datum => datum_question(app, picture),
        _ => "Click the first of two points on the picture. Zoom in for a close pick.".to_owned(),
    });
}

fn datum_question(app: &App, picture: usize) -> String {
    let view = app.desk.document().pictures.get(picture).map(|p| p.view);
    let place = match view {
        Some(PictureView::Face) => "on the centre plane at height 0",
        Some(PictureView::Plan) => "on the centre plane at 0 aft",
        _ => "at 0 aft and at height 0",
    };
    format!("Click the point of the picture that lies {place}.")
}

/// A click on the floor while points are picked; true when it belonged to that.
pub(crate) fn picked(app: &mut App, window: &Window, pointer: Pos2) {
    let Tool::Pick(pick) = app.view.tool else { return };
    let document = app.desk.document().clone();
    let Some(picture) = document.pictures.get(pick.picture) else {
        app.view.tool = Tool::Select;
        return;
    };
    if view_of(picture) != Some(window.view) {
        app.message = Some(format!("“{}” lies under another view. Click there.", picture.name));
        return;
    }
    let px = picture.placement.to_px(window.model(pointer));
    match pick.first {
        None if pick.purpose == PickPurpose::Datum => {
            app.view.tool = Tool::Select;
            app.note = None;
            let placement = picture.placement.held_at(px, [0.0, 0.0]);
            act::edit_once(app, &Edit::PlacePicture { picture: pick.picture, placement });
            fit_while_tracing(app);
        }
        None => {
            app.view.tool = Tool::Pick(Pick { first: Some(px), ..pick });
            app.note = Some("Now click the second point.".into());
        }
        Some(first) => {
            app.view.tool = Tool::Select;
            app.message = None;
            app.note = None;
            finish_pick(app, picture, pick, [first, px]);
        }
    }
}

fn finish_pick(app: &mut App, picture: &Picture, pick: Pick, points: [[f64; 2]; 2]) {
    if pick.purpose == PickPurpose::Level {
        act::edit_once(app, &Edit::LevelPicture { picture: pick.picture, points });
        fit_while_tracing(app);
        return;
    }
    let before = if pick.purpose == PickPurpose::Check { picture.check } else { picture.scale };
    let [a, b] = points;
    let model_scale = app.desk.document().model_scale;
    let measured = (b[0] - a[0]).hypot(b[1] - a[1]) * picture.placement.mm_per_px;
    // A second distance is most likely known on the same machine as the first.
    let full_size = before.or(picture.scale).is_none_or(|known| known.full_size);
    let mm = match before {
        Some(known) => known.distance_mm,
        None => (if full_size { measured * model_scale } else { measured }).round().max(1.0),
    };
    let (picture, purpose) = (pick.picture, pick.purpose);
    app.dialog = Some(Dialog::Distance(Distance { picture, purpose, points, mm, full_size, model_scale, fresh: true }));
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_new_picture_lies_over_the_form() {
        let extents = Extents { x: [0.0, 400.0], z: [-100.0, 100.0], half_breadth: 90.0, port: 0.0 };
        let placement = first_placement(PictureView::Side, [2000, 1000], &extents);
        assert_eq!(placement.to_view([0.0, 0.0]), [0.0, 100.0]);
        assert_eq!(placement.to_view([2000.0, 1000.0]), [400.0, -100.0]);
        let face = first_placement(PictureView::Face, [900, 900], &extents);
        assert_eq!(face.to_view([0.0, 0.0]), [-90.0, 90.0]);
    }

    #[test]
    fn a_pasted_picture_becomes_a_file_with_the_same_pixels() {
        let image = ColorImage::new([2, 1], vec![Color32::from_rgb(10, 200, 30), Color32::from_rgb(0, 0, 255)]);
        let photo = photo::decode(&png(&image).unwrap()).unwrap();
        assert_eq!([photo.width, photo.height], [2, 1]);
        assert_eq!(&photo.rgba[..8], &[10, 200, 30, 255, 0, 0, 255, 255]);
    }
}
