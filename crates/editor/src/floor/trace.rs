//! Tracing a section of the fuselage on a face picture: clicks along one half of its outline become measured points.
//!
//! The points are kept in mm of the face view until the builder ends it; then they become the section, as one step. A click near
//! the centre plane lies on it. Where the camera or the distance to it is known, each is read at the section's own station.

mod depth;

use crate::act;
use crate::app::App;
use crate::floor::draw;
use crate::floor::drawing_keys::{DrawingKey, drawing_key};
use crate::floor::item::{Grip, Item, Which};
use crate::floor::layout::{Layout, View, Window};
use crate::light_table::tracing::curve as table_curve;
use crate::slate::bench;
use crate::theme::{self, Theme};
use crate::units::Units;
use crate::view::{Fold, Selected, Tab, Tool};
use depth::AtDepth;
use egui::{Painter, Pos2, Shape, Stroke, pos2};
use project::airframe::{FuselageEnd, FuselageSection};
use project::document::{Document, MeasuredSection, Picture, PictureView};
use project::edit::Edit;
use std::sync::Arc;

/// A click this near to the centre plane lies on it, in points of the screen.
const ON_CENTRE: f64 = 9.0;
/// A click this near to the last point is the second of a double click.
const SAME: f32 = 3.0;

/// A trace under way.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Trace {
    pub(crate) which: Which,
    /// (half-breadth, height) in the order of the clicks, mm.
    pub(crate) points: Vec<[f64; 2]>,
    /// The clicks themselves on the face view, mm.
    shown: Vec<[f64; 2]>,
    /// How far clicks that lie behind the picture's plane of scale were off, mm.
    corrected: Vec<f64>,
    depth: Option<AtDepth>,
    /// 1 if the starboard half is traced, on the left of the view, -1 for port; 0 until a point lies off the centre plane.
    side: f64,
}

/// Begins to trace, or says what has to be done first.
pub(crate) fn begin(app: &mut App, which: Which) {
    match face_picture(app.desk.document(), app.view.selected.picture()) {
        Ok(picture) => {
            let picture = picture.clone();
            let depth = AtDepth::of(app.desk.document(), &picture, station(app, which));
            let how = depth.as_ref().map_or("", |_| " It is read at its own station.");
            app.trace = Some(Trace { depth, ..Trace::new(which) });
            app.view.tool = Tool::Trace;
            app.view.tab = Tab::Bench;
            // The picture's own marks would lie over the outline.
            let item = which.item();
            let there = item.exists(&app.desk.document().airframe);
            app.view.selected = if there { Selected::Bench { item, view: View::Face } } else { Selected::Nothing };
            if !matches!(app.view.fold, Fold::Even | Fold::Face) {
                app.view.fold = Fold::Face;
                app.view.fit_wanted = true;
            }
            app.message = None;
            let name = &picture.name;
            app.note = Some(format!(
                "Click along the outline on “{name}”, one half, from crown to keel or the other way.{how}"
            ));
        }
        Err(why) => app.message = Some(why),
    }
}

/// Where the section lies that is traced.
fn station(app: &App, which: Which) -> f64 {
    let end = app.desk.document().airframe.fuselage.clone().unwrap_or_else(|| bench::begin_fuselage(&app.derived));
    match (which, &end.further) {
        (Which::Further, Some((station, _))) => *station,
        _ => end.station,
    }
}

/// The picture to trace on: the selected one, or the first face picture that is to scale.
fn face_picture(document: &Document, selected: Option<usize>) -> Result<&Arc<Picture>, String> {
    let chosen = selected.and_then(|picture| document.pictures.get(picture));
    let faces = document.pictures.iter().filter(|p| p.view == PictureView::Face);
    let first = chosen.into_iter().chain(faces).filter(|p| p.view == PictureView::Face);
    let mut unscaled = None;
    for picture in first {
        match (picture.scale, picture.hidden) {
            (Some(_), false) => return Ok(picture),
            (Some(_), true) => {
                unscaled = unscaled.or_else(|| Some(format!("Show “{}” first: it is hidden.", picture.name)));
            }
            (None, _) => {
                let what = format!("Set “{}” to scale first, and lay its centre line on the datum.", picture.name);
                unscaled = unscaled.or(Some(what));
            }
        }
    }
    Err(unscaled.unwrap_or_else(|| {
        "There is no face picture to trace on. Bring in one that looks along the body, and set it to scale.".into()
    }))
}

/// A click on the floor while a section is traced.
pub(crate) fn clicked(app: &mut App, window: &Window, pointer: Pos2) {
    let Some(trace) = &mut app.trace else {
        app.view.tool = Tool::Select;
        return;
    };
    if window.view != View::Face {
        app.message = Some("The fuselage is traced in the face view. Click there.".into());
        return;
    }
    if trace.last_on(window).is_some_and(|last| last.distance(pointer) < SAME) {
        return;
    }
    let shown = window.model(pointer);
    let read = trace.depth.as_ref().and_then(|depth| depth.read(shown));
    let ([a, height], corrected) = read.map_or((shown, 0.0), |read| (read.at, read.corrected));
    let across = if (a * window.scale[0]).abs() < ON_CENTRE { 0.0 } else { -a };
    if across != 0.0 && trace.side != 0.0 && across.signum() != trace.side {
        app.message = Some("That lies on the other half. Trace one half only: the other is its mirror.".into());
        return;
    }
    if across != 0.0 {
        trace.side = across.signum();
    }
    trace.points.push([across.abs(), height]);
    // On the centre plane, or read plainly, it shows where it is taken to lie.
    trace.shown.push(if trace.depth.is_none() { [-across, height] } else { shown });
    trace.corrected.push(corrected);
    app.message = None;
    app.note = Some(trace.next());
}

/// Keys while a section is traced: Enter ends it, Escape drops it, Backspace takes the last point back.
pub(crate) fn keys(app: &mut App, ctx: &egui::Context) {
    if app.trace.is_none() {
        return;
    }
    if app.view.tool != Tool::Trace {
        app.trace = None;
        return;
    }
    match drawing_key(ctx) {
        Some(DrawingKey::Finish) => finish(app),
        Some(DrawingKey::Cancel) => cancel(app),
        Some(DrawingKey::TakeBack) => take_back(app),
        None => (),
    }
}

/// Takes the last point back.
pub(crate) fn take_back(app: &mut App) {
    let Some(trace) = &mut app.trace else { return };
    trace.points.pop();
    trace.shown.pop();
    trace.corrected.pop();
    if trace.points.iter().all(|p| p[0] == 0.0) {
        trace.side = 0.0;
    }
    app.note = Some(trace.next());
}

/// Drops what was traced.
pub(crate) fn cancel(app: &mut App) {
    app.trace = None;
    app.view.tool = Tool::Select;
    app.note = Some("Nothing was changed.".into());
}

/// Makes the traced points the section, as one step; what is missing is told, and tracing goes on.
pub(crate) fn finish(app: &mut App) {
    let Some(trace) = app.trace.clone() else { return };
    let section = match trace.section() {
        Ok(section) => section,
        Err(why) => {
            app.message = Some(why);
            return;
        }
    };
    let (count, how) = (section.points.len(), trace.told(app.view.units));
    let edit = traced(app, trace.which, FuselageSection::Measured(section));
    act::edit_once(app, &edit);
    if app.message.is_none() {
        app.trace = None;
        app.view.tool = Tool::Select;
        app.view.selected = Selected::Bench { item: trace.which.item(), view: View::Face };
        app.note = Some(format!("{count} points traced{how} Drag them to correct; Ctrl+click the outline to add one."));
    }
}

fn traced(app: &App, which: Which, section: FuselageSection) -> Edit {
    let old = app.desk.document().airframe.fuselage.clone();
    let end = old.unwrap_or_else(|| bench::begin_fuselage(&app.derived));
    let end = match (which, end.further.clone()) {
        (Which::Further, Some((x, _))) => FuselageEnd { further: Some((x, section)), ..end },
        _ => FuselageEnd { section, ..end },
    };
    Edit::Together { label: "Trace the fuselage".into(), edits: vec![Edit::SetFuselage(Some(end))] }
}

impl Trace {
    fn new(which: Which) -> Self {
        Self { which, points: Vec::new(), shown: Vec::new(), corrected: Vec::new(), depth: None, side: 0.0 }
    }

    /// How the points were read, as the end of a sentence.
    fn told(&self, units: Units) -> String {
        match &self.depth {
            Some(depth) => {
                let most = self.corrected.iter().copied().fold(0.0, f64::max);
                format!(", corrected for their depth by up to {}, from {}.", units.length(most), depth.source())
            }
            None => ", by the picture's plain scale: neither camera nor distance is known.".into(),
        }
    }

    /// What the points are as a section, from crown to keel.
    fn section(&self) -> Result<MeasuredSection, String> {
        let mut points = self.points.clone();
        if points.len() < 3 {
            return Err(format!("{} so far: at least three points are needed, better seven.", count(points.len())));
        }
        for (end, name) in [(points[0], "first"), (points[points.len() - 1], "last")] {
            if end[0] != 0.0 {
                return Err(format!(
                    "The {name} point lies off the centre line. Begin and end on it: click where the outline crosses it."
                ));
            }
        }
        if points[0][1] < points[points.len() - 1][1] {
            points.reverse();
        }
        let section = MeasuredSection::through(points);
        project::promise::check_measured(&section).map_err(|refused| refused.to_string())?;
        if section.has_shape() { Ok(section) } else { Err("These points have no breadth, or no height.".into()) }
    }

    /// What to do next.
    fn next(&self) -> String {
        let n = self.points.len();
        let closed = n >= 3 && self.points[0][0] == 0.0 && self.points[n - 1][0] == 0.0;
        match n {
            0 => "Click where the outline crosses the centre line, at the crown or the keel.".into(),
            _ if closed => format!("{}, from centre line to centre line. Enter makes them the section.", count(n)),
            _ => format!("{}. Go on to where the outline meets the centre line again.", count(n)),
        }
    }

    fn last_on(&self, window: &Window) -> Option<Pos2> {
        self.shown.last().map(|p| window.screen(*p))
    }
}

fn count(n: usize) -> String {
    if n == 1 { "1 point".into() } else { format!("{n} points") }
}

/// Draws what was traced so far: points and curve, its mirror dashed, and a line to the pointer.
pub(crate) fn draw(painter: &Painter, app: &App, layout: &Layout, theme: &Theme) {
    let Some(trace) = app.trace.as_ref().filter(|_| app.view.tool == Tool::Trace) else { return };
    let window = &layout.face;
    let painter = painter.with_clip_rect(window.rect);
    let side = if trace.side == 0.0 { 1.0 } else { trace.side };
    let on = |sign: f64, p: &[f64; 2]| window.screen([-sign * side * p[0], p[1]]);
    let stroke = Stroke::new(2.0, theme.accent);
    let dashed = |points: &[[f64; 2]], sign: f64| {
        let line: Vec<Pos2> = points.iter().map(|p| on(sign, p)).collect();
        painter.extend(Shape::dashed_line(&line, Stroke::new(1.4, theme.accent.gamma_multiply(0.7)), 5.0, 4.0));
    };
    let section = curve(&trace.points);
    if trace.depth.is_some() {
        // Over the picture lies what was clicked; the section, read at its station, beside it.
        painter.line(table_curve::through(&trace.shown, 0.5).iter().map(|p| window.screen(*p)).collect(), stroke);
        dashed(&section, 1.0);
    } else {
        painter.line(section.iter().map(|p| on(1.0, p)).collect(), stroke);
    }
    dashed(&section, -1.0);
    for p in &trace.shown {
        painter.circle(window.screen(*p), 4.0, theme.floor, stroke);
    }
    let pointer = painter.ctx().pointer_hover_pos().filter(|at| window.rect.contains(*at));
    if let (Some(last), Some(pointer)) = (trace.shown.last(), pointer) {
        painter.line_segment([window.screen(*last), pointer], Stroke::new(1.0, theme.accent));
    }
    let at = pos2(window.rect.left() + 10.0, window.rect.bottom() - 24.0);
    draw::on_floor(&painter, at, "Tracing: Enter ends, Escape drops it", theme::small(), theme);
}

/// The curve through the points as it would be measured; until there is one, the points themselves.
fn curve(points: &[[f64; 2]]) -> Vec<[f64; 2]> {
    let [first, .., last] = points else { return points.to_vec() };
    let section = Trace { points: points.to_vec(), ..Trace::new(Which::End) }.section().ok();
    let outline = section.and_then(|s| fit::fuselage::outline(&FuselageSection::Measured(s), 0.05));
    match outline {
        Some(outline) if first[1] >= last[1] => outline.points().to_vec(),
        Some(outline) => outline.points().iter().rev().copied().collect(),
        None => points.to_vec(),
    }
}

/// Adds a measured point to a fuselage section where its outline was clicked; false where it has no points of its own.
pub(crate) fn add_point(app_document: &Document, which: Which, at: [f64; 2]) -> Option<(Edit, Item)> {
    let end = app_document.airframe.fuselage.clone()?;
    let (_, section) = which.of(&app_document.airframe)?;
    let FuselageSection::Measured(measured) = section else { return None };
    let mut next = measured.clone();
    let index = super::airframe_drag::add_point(&mut next, [at[0].abs(), at[1]])?;
    let section = FuselageSection::Measured(next);
    let end = match (which, &end.further) {
        (Which::End, _) => FuselageEnd { section, ..end },
        (Which::Further, further) => FuselageEnd { further: further.as_ref().map(|(x, _)| (*x, section)), ..end },
    };
    Some((Edit::SetFuselage(Some(end)), Item::Section(which, Grip::Point(index))))
}
