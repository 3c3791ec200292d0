//! A line of the form from a trace: computed beside the window's thread, shown over the picture and on the floor, taken up as
//! one step.

use super::preview::Preview;
use crate::act;
use crate::app::App;
use desk::photographs::{Depth, Faired, LineFailure, LinePlace, LineReading, faired, read_line_through};
use desk::{Outcome, Work};
use project::document::{Document, LineName, Picture};
use std::sync::Arc;

/// Which line is made of which traces.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Asked {
    pub(crate) picture: usize,
    /// The trace that is selected.
    pub(crate) trace: usize,
    /// Further traces of the same line.
    pub(crate) also: Vec<usize>,
    pub(crate) line: LineName,
}

/// A line as it would be.
pub(crate) struct Proposed {
    pub(crate) faired: Faired,
    /// How many traced points it follows.
    pub(crate) count: usize,
    /// How wrong the picture's plain scale would have been at worst, mm.
    pub(crate) corrected: Option<f64>,
    /// How often it changes the side to which it bends.
    pub(crate) inflections: usize,
    pub(crate) preview: Preview,
}

/// What it is computed from.
#[derive(Clone)]
struct Key {
    document: Arc<Document>,
    asked: Asked,
    tolerance: f64,
}

impl PartialEq for Key {
    fn eq(&self, other: &Self) -> bool {
        let same = Arc::ptr_eq(&self.document, &other.document);
        same && self.asked == other.asked && self.tolerance == other.tolerance
    }
}

/// The line that is being made of a trace.
pub(crate) struct Fairing {
    work: Work<Key, Result<Proposed, String>>,
    found: Option<(Key, Result<Proposed, String>)>,
    pub(crate) asked: Option<Asked>,
}

impl Fairing {
    pub(super) fn new(ctx: &egui::Context) -> Self {
        let ctx = ctx.clone();
        Self { work: Work::new(Arc::new(move || ctx.request_repaint())), found: None, asked: None }
    }

    /// The line as it would be, or why there is none; `None` while it is computed.
    pub(crate) fn proposed(&self) -> Option<&Result<Proposed, String>> {
        let asked = self.asked.as_ref()?;
        self.found.as_ref().filter(|(key, _)| key.asked == *asked).map(|(_, found)| found)
    }

    /// Asks for a line of the selected trace, or for none.
    pub(super) fn ask(&mut self, (picture, trace): (usize, usize), line: Option<LineName>) {
        let also = self.asked.take().filter(|asked| (asked.picture, asked.trace) == (picture, trace));
        let also = also.map(|asked| asked.also).unwrap_or_default();
        self.asked = line.map(|line| Asked { picture, trace, also, line });
    }

    /// Takes a further trace with it, or leaves it out.
    pub(super) fn with(&mut self, trace: usize, taken: bool) {
        if let Some(asked) = &mut self.asked {
            asked.also.retain(|other| *other != trace);
            if taken {
                asked.also.push(trace);
            }
        }
    }

    /// Forgets it.
    pub(super) fn put_away(&mut self) {
        self.work.cancel();
        (self.found, self.asked) = (None, None);
    }
}

/// Keeps the line to what is traced.
pub(super) fn refresh(app: &mut App, tolerance: f64) {
    let selected = super::selected(app);
    let (document, previewing) = (app.desk.document().clone(), app.desk.is_previewing());
    let Some(fairing) = &mut app.table.tracing.fairing else { return };
    if let Some((key, outcome)) = fairing.work.poll() {
        let found = match outcome {
            Outcome::Done(found) => found,
            Outcome::Broke(why) => Err(why),
        };
        fairing.found = Some((key, found));
    }
    if fairing.asked.as_ref().is_some_and(|asked| selected != Some((asked.picture, asked.trace))) {
        fairing.put_away();
    }
    let Some(asked) = fairing.asked.clone().filter(|_| !previewing) else { return };
    let key = Key { document, asked, tolerance };
    if fairing.found.as_ref().is_none_or(|(found, _)| *found != key) {
        fairing.work.want(key.clone(), move |_| line(&key));
    }
}

/// Makes the line part of the form, as one step.
pub(super) fn accept(app: &mut App) {
    let Some(fairing) = &mut app.table.tracing.fairing else { return };
    let Some(Ok(proposed)) = fairing.proposed() else { return };
    let (edit, name, points) = (
        proposed.faired.edit.clone(),
        fairing.asked.as_ref().map_or("line", |asked| asked.line.label()),
        proposed.faired.line.points.len(),
    );
    act::edit_once(app, &edit);
    if app.message.is_none() {
        app.note = Some(format!("{name}: {points} points now."));
        if let Some(fairing) = &mut app.table.tracing.fairing {
            fairing.put_away();
        }
    }
}

fn line(key: &Key) -> Result<Proposed, String> {
    let document = &key.document;
    let picture = document.pictures.get(key.asked.picture).ok_or("The picture is gone.")?;
    let depth = Depth::of(document, picture).map_err(|e| e.to_string())?;
    let reading = reading(document, picture, &depth, &key.asked).map_err(|e| e.to_string())?;
    let faired = faired(document, &reading, key.tolerance).map_err(|e| e.to_string())?;
    let curve = form::line(&faired.line).map_err(|e| e.to_string())?;
    let preview = Preview::of(key.asked.line, &curve, &faired.line).over(document, picture, &depth);
    Ok(Proposed {
        count: reading.points.len(),
        corrected: reading.greatest_error(),
        inflections: inflections(&curve),
        faired,
        preview,
    })
}

/// All that was traced of the line.
fn reading(document: &Document, picture: &Picture, depth: &Depth, asked: &Asked) -> Result<LineReading, LineFailure> {
    let mut points = Vec::new();
    for trace in std::iter::once(&asked.trace).chain(&asked.also) {
        let Some(trace) = picture.photograph.traces.get(*trace) else { continue };
        let read = read_line_through(document, depth, &trace.points, asked.line)?;
        points.extend(own_part(read.points, asked.line));
    }
    points.sort_by(|a, b| a.x.total_cmp(&b.x));
    Ok(LineReading { line: asked.line, points })
}

/// Of a trace that runs round an end of the form the part that is the crown, or the keel: it is taken apart where it turns
/// back along x, and what lies in the upper or lower half of its height belongs to the line.
fn own_part(mut points: Vec<LinePlace>, line: LineName) -> Vec<LinePlace> {
    let upper = match line {
        LineName::Crown => true,
        LineName::Keel => false,
        LineName::Breadth | LineName::BreadthHeight => return points,
    };
    points.sort_by_key(|p| p.pixel);
    let by_x = |a: &(usize, &LinePlace), b: &(usize, &LinePlace)| a.1.x.total_cmp(&b.1.x);
    let ends = [points.iter().enumerate().min_by(by_x), points.iter().enumerate().max_by(by_x)];
    let mut turns: Vec<usize> = ends.into_iter().flatten().map(|(i, _)| i).collect();
    turns.retain(|i| *i > 0 && i + 1 < points.len());
    if turns.is_empty() {
        return points;
    }
    turns.extend([0, points.len() - 1]);
    turns.sort_unstable();
    turns.dedup();
    let value = |p: &LinePlace| p.value;
    let top = points.iter().map(value).fold(f64::NEG_INFINITY, f64::max);
    let middle = 0.5 * (top + points.iter().map(value).fold(f64::INFINITY, f64::min));
    let runs = turns.windows(2).map(|w| &points[w[0]..=w[1]]);
    let own = runs.filter(|run| {
        let mean = run.iter().map(value).sum::<f64>() / run.len() as f64;
        (mean > middle) == upper
    });
    let mut out: Vec<LinePlace> = own.flatten().copied().collect();
    out.dedup_by_key(|p| p.pixel);
    out
}

/// Bends of less than this, 1/mm, are straight: a radius of 50 m.
const STRAIGHT: f64 = 2e-5;

/// How often a line changes the side to which it bends.
fn inflections(curve: &geometry::line::Line) -> usize {
    let bends: Vec<f64> = curve.comb(24).iter().map(|t| t.curvature).filter(|c| c.abs() > STRAIGHT).collect();
    bends.windows(2).filter(|w| w[0].signum() != w[1].signum()).count()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn place(pixel: usize, x: f64, value: f64) -> LinePlace {
        LinePlace { x, value, sigma: None, error: None, pixel }
    }

    /// From the rear along the crown, round the nose, and back along the keel: a half circle of 50 mm.
    fn round_the_nose() -> Vec<LinePlace> {
        (0..=18_u8)
            .map(|i| {
                let (s, c) = (90.0 + 10.0 * f64::from(i)).to_radians().sin_cos();
                place(usize::from(i), 50.0 + 50.0 * c, 50.0 * s)
            })
            .collect()
    }

    #[test]
    fn a_trace_round_the_nose_gives_the_crown_its_upper_part_and_the_keel_its_lower() {
        let crown = own_part(round_the_nose(), LineName::Crown);
        let keel = own_part(round_the_nose(), LineName::Keel);
        assert_eq!((crown.len(), keel.len()), (10, 10));
        assert!(crown.iter().all(|p| p.value > -1e-9) && keel.iter().all(|p| p.value < 1e-9));
    }

    #[test]
    fn a_trace_that_runs_one_way_belongs_to_the_line_that_was_chosen() {
        let along: Vec<LinePlace> = (0..5_u8).map(|i| place(usize::from(i), 10.0 * f64::from(i), 40.0)).collect();
        assert_eq!(own_part(along.clone(), LineName::Keel), along);
    }

    #[test]
    fn a_wave_changes_its_bend_at_every_node_and_an_arc_never() {
        use geometry::line::{Line, LineEnd, LinePoint, Pass};
        let line = |f: &dyn Fn(f64) -> f64| {
            let points: Vec<LinePoint> = (0..=24_u8)
                .map(|i| 10.0 * f64::from(i))
                .map(|x| LinePoint { x, value: f(x), pass: Pass::Smooth })
                .collect();
            Line::new(&points, LineEnd::Free, LineEnd::Free).expect("rising")
        };
        // Two whole waves over 240 mm have nodes inside at 60, 120 and 180.
        assert_eq!(inflections(&line(&|x| 10.0 * (x * std::f64::consts::TAU / 120.0 + 0.4).sin())), 4);
        assert_eq!(inflections(&line(&|x| (200.0_f64.powi(2) - (x - 120.0).powi(2)).sqrt())), 0);
    }
}
