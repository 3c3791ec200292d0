//! Sections solved from photographs, on the floor before they are accepted: dashed over what is drawn, with the band of one
//! standard deviation around them, coloured by how much of it the photographs say.

pub(crate) mod ribbon;

use crate::app::App;
use crate::floor::draw::{Look, on_floor};
use crate::floor::layout::{View, Window};
use crate::floor::scene::{Stroke as Line, StrokeKind};
use crate::light_table::solving::found::Found;
use crate::light_table::solving::{Looks, Solving, Standing};
use crate::theme::{self, Theme};
use crate::view::Shown;
use egui::epaint::Mesh;
use egui::{Color32, Painter, Pos2, Shape, Stroke, pos2, vec2};
use project::document::LineName;
use ribbon::{BandPlace, Ribbon};
use sight::solution::Grade;

/// How much of the floor shows through a band.
const WASH: f32 = 0.34;
/// Height of a line of the legend, in points.
const LEGEND: f32 = 15.0;

/// The colour of what is measured, partly measured, or guessed.
pub(crate) fn grade_colour(theme: &Theme, grade: Grade) -> Color32 {
    match grade {
        Grade::Measured => theme.good,
        Grade::Partly => theme.warning,
        Grade::Guessed => theme.error,
    }
}

/// That in a word.
pub(crate) fn grade_word(grade: Grade) -> &'static str {
    match grade {
        Grade::Measured => "measured",
        Grade::Partly => "partly",
        Grade::Guessed => "guessed",
    }
}

/// What is to be drawn, and how.
struct Drawn<'a> {
    found: &'a Found,
    looks: Looks,
    standing: Standing,
    /// The station that the face view shows strongly.
    station: Option<f64>,
}

/// The result that the floor shows: that of the first form, if it is to be seen.
fn shown(app: &App) -> Option<Drawn<'_>> {
    let solving: &Solving = app.table.solving.as_ref().filter(|_| app.view.form == 0)?;
    let (found, looks) = (solving.found()?, solving.looks);
    let form = app.form();
    let station = match app.view.shown {
        Some(Shown::Control(section)) => form.sections.get(section).map(|s| s.station),
        Some(Shown::Station(station)) => form.stations.get(station).copied(),
        None => looks.station,
    };
    Some(Drawn { found, looks, standing: solving.standing(), station })
}

/// Whether a line of the drawing is to be left out, so that what was solved is seen alone.
pub(crate) fn hides(app: &App, line: &Line) -> bool {
    let Some(shown) = shown(app) else { return false };
    if shown.looks.before || !shown.looks.after || shown.standing != Standing::Fresh {
        return false;
    }
    match line.kind {
        StrokeKind::Shown | StrokeKind::ShownMirror => shown.station.is_some_and(|x| shown.found.section(x).is_some()),
        StrokeKind::Station => line.view == View::Body,
        StrokeKind::Master(name) | StrokeKind::Mirror(name) => shown.found.lines.iter().any(|(line, _)| *line == name),
        _ => false,
    }
}

/// Bands, solved sections and lines, and what they mean.
pub(crate) fn draw(painter: &Painter, app: &App, look: &Look<'_>) {
    let Some(shown) = shown(app) else { return };
    let pen = Pen { look, shown: &shown, faint: false };
    let widest = app.derived.widest_station();
    for station in &shown.found.solved.stations {
        let Some(ribbon) = shown.found.section(station.station) else { continue };
        let side = if station.station <= widest { 1.0 } else { -1.0 };
        Pen { faint: true, ..pen }.ribbon(painter, &look.layout.body, ribbon, &|p| [side * p[0], p[1]]);
    }
    if let Some(ribbon) = shown.station.and_then(|x| shown.found.section(x)) {
        for side in [-1.0, 1.0] {
            pen.ribbon(painter, &look.layout.face, ribbon, &|p| [side * p[0], p[1]]);
        }
    }
    for (name, ribbon) in &shown.found.lines {
        let window = if *name == LineName::Breadth { &look.layout.plan } else { &look.layout.side };
        pen.ribbon(painter, window, ribbon, &|p| p);
    }
    let rect = look.layout.face.rect;
    // Without room the slate's own words have to do.
    if shown.looks.after && rect.width() > 150.0 && rect.height() > 170.0 {
        let planned = app.planning.as_ref().and_then(|p| p.planned());
        let widths = planned.is_some_and(|p| !p.plan.gauges.deviations.is_empty());
        legend(painter, &pen, if widths { 4.0 * LEGEND } else { 0.0 });
    }
}

/// How a ribbon is drawn.
#[derive(Clone, Copy)]
struct Pen<'a> {
    look: &'a Look<'a>,
    shown: &'a Drawn<'a>,
    /// One of many.
    faint: bool,
}

impl Pen<'_> {
    fn accent(&self) -> Color32 {
        let old = if self.shown.standing == Standing::Old { 0.45 } else { 1.0 };
        self.look.theme.accent.gamma_multiply(if self.faint { 0.75 * old } else { old })
    }

    fn wash(&self, grade: Grade) -> Color32 {
        let old = if self.shown.standing == Standing::Old { 0.5 } else { 1.0 };
        grade_colour(self.look.theme, grade).gamma_multiply(WASH * old)
    }

    fn ribbon(&self, painter: &Painter, window: &Window, ribbon: &Ribbon, place: &dyn Fn([f64; 2]) -> [f64; 2]) {
        let painter = painter.with_clip_rect(window.rect);
        let screen = |p: [f64; 2]| window.screen(place(p));
        let looks = self.shown.looks;
        // What is drawn is what was before, until it is accepted or changed.
        if looks.before && self.shown.standing != Standing::Fresh {
            let points: Vec<Pos2> = ribbon.before.iter().map(|p| screen(*p)).collect();
            let stroke = Stroke::new(1.0, self.look.theme.weak.gamma_multiply(0.8));
            painter.extend(Shape::dashed_line(&points, stroke, 2.0, 3.0));
        }
        if looks.after {
            painter.add(band(&ribbon.after, looks.times, &screen, &|grade| self.wash(grade)));
            let points: Vec<Pos2> = ribbon.after.iter().map(|p| screen(p.at)).collect();
            let (width, dash) = if self.faint { (1.0, 4.0) } else { (1.7, 7.0) };
            painter.extend(Shape::dashed_line(&points, Stroke::new(width, self.accent()), dash, 0.7 * dash));
        }
    }
}

/// A strip from one standard deviation inside to one outside, each place in the colour of its grade.
fn band(
    places: &[BandPlace],
    times: f64,
    screen: &dyn Fn([f64; 2]) -> Pos2,
    colour: &dyn Fn(Grade) -> Color32,
) -> Shape {
    let mut mesh = Mesh::default();
    for place in places {
        for side in [times, -times] {
            mesh.colored_vertex(screen(place.off(side)), colour(place.grade));
        }
    }
    for i in 0..(places.len() as u32).saturating_sub(1) {
        let [a, b, c, d] = [0, 1, 2, 3].map(|k| 2 * i + k);
        mesh.add_triangle(a, b, c);
        mesh.add_triangle(b, d, c);
    }
    Shape::mesh(mesh)
}

/// What dashes and bands mean, along the lower edge of the face view.
fn legend(painter: &Painter, pen: &Pen<'_>, raised: f32) {
    let rect = pen.look.layout.face.rect;
    let painter = painter.with_clip_rect(rect);
    let solved = match pen.shown.standing {
        Standing::Accepted => "solved, accepted",
        Standing::Old => "solved before the last change",
        Standing::Fresh | Standing::Nothing => "solved, not accepted",
    };
    let old_line = pen.shown.looks.before && pen.shown.standing != Standing::Fresh;
    let lines = 5.0 + f32::from(u8::from(old_line));
    let mut at = pos2(rect.left() + 10.0, rect.bottom() - 6.0 - LEGEND * lines - raised);
    let sample = |at: Pos2| [at + vec2(0.0, 8.0), at + vec2(14.0, 8.0)];
    let mut entry = |text: &str, mark: &dyn Fn(Pos2) -> Vec<Shape>| {
        let indent = if text.starts_with('±') { 0.0 } else { 18.0 };
        on_floor(&painter, at + vec2(indent, 0.0), text, theme::small(), pen.look.theme);
        painter.extend(mark(at));
        at.y += LEGEND;
    };
    entry(solved, &|at| Shape::dashed_line(&sample(at), Stroke::new(1.7, pen.accent()), 6.0, 3.0));
    if old_line {
        let stroke = Stroke::new(1.0, pen.look.theme.weak);
        entry("drawn before", &|at| Shape::dashed_line(&sample(at), stroke, 2.0, 3.0));
    }
    let times = pen.shown.looks.times;
    let wide = if times > 1.0 { format!(", × {times:.0}") } else { String::new() };
    entry(&format!("± one standard deviation{wide}:"), &|_| Vec::new());
    for grade in [Grade::Measured, Grade::Partly, Grade::Guessed] {
        let stroke = Stroke::new(7.0, pen.wash(grade).gamma_multiply(1.6));
        entry(grade_word(grade), &|at| vec![Shape::line_segment(sample(at), stroke)]);
    }
}
