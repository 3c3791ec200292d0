//! Edits that mend: one point of a master line is moved, or set where there is none, until a measure is what it should be.
//!
//! The value is found by the secant rule on the form lofted anew. What is offered was applied and measured: it mends the
//! measure, and leaves the form without a new error.

use form::{Lofted, Mend, Severity, UnitMemory, loft_remembering};
use project::document::{Document, Form, LineName, LinePoint, LinePointKind};
use project::edit::{Edit, locked_by};
use std::sync::Arc;

/// Most lofts for one point.
const MOST_TRIALS: usize = 8;
/// A point whose move is more than this many times what is missing has too little to do with it.
const MOST_LEVER: f64 = 3.0;
/// Values are offered rounded to this, mm.
const ROUNDED: f64 = 0.001;

/// What a form is measured by.
type Value<'a> = &'a dyn Fn(&Lofted) -> Option<f64>;

/// A form on which edits are tried.
pub(crate) struct Trial<'a> {
    document: Document,
    memory: UnitMemory,
    index: usize,
    target: f64,
    tolerance: f64,
    value: Value<'a>,
    fits: &'a dyn Fn(f64) -> bool,
    start: f64,
    errors: usize,
}

/// One point of one line, to be moved or set.
#[derive(Clone, Copy)]
struct Handle {
    line: LineName,
    /// The point to move; `None` sets one.
    point: Option<usize>,
    x: f64,
    value: f64,
}

impl<'a> Trial<'a> {
    /// A trial on a form that is number `index` in its document; `None` where nothing can be measured on it.
    pub(crate) fn new(
        form: &Form,
        index: usize,
        target: f64,
        tolerance: f64,
        value: Value<'a>,
        fits: &'a dyn Fn(f64) -> bool,
    ) -> Option<Self> {
        let document = scratch(form);
        let mut memory = UnitMemory::default();
        let lofted = loft_remembering(form, &mut memory);
        let start = value(&lofted)?;
        let errors = errors(&lofted);
        Some(Self { document, memory, index, target, tolerance, value, fits, start, errors })
    }

    /// The edit of a line near a station that mends the measure, if one does.
    pub(crate) fn mend(&mut self, line: LineName, station: f64) -> Option<Mend> {
        let handles = self.handles(line, station);
        handles.into_iter().find_map(|handle| {
            let value = self.solve(&handle)?;
            let (label, edit) = (label(&handle, value), edit(&handle, value, self.index));
            Some(Mend { label, edit })
        })
    }

    /// The nearest free point, and a new one at the station itself.
    fn handles(&self, line: LineName, station: f64) -> Vec<Handle> {
        let form = &self.document.forms[0];
        let points = form.lines.get(line).points.iter().enumerate();
        let free = points.filter(|(_, p)| locked_by(form, line, p.x).is_none());
        let nearest = free.min_by(|a, b| (a.1.x - station).abs().total_cmp(&(b.1.x - station).abs()));
        let mut handles: Vec<Handle> =
            nearest.map(|(i, p)| Handle { line, point: Some(i), x: p.x, value: p.value }).into_iter().collect();
        let there = form.lines.get(line).points.iter().any(|p| (p.x - station).abs() < 1.0);
        let here = form::line(form.lines.get(line)).ok().map(|l| l.at(station).value);
        if let (false, Some(value)) = (there, here) {
            handles.push(Handle { line, point: None, x: station, value });
        }
        handles
    }

    fn measure(&mut self, handle: &Handle, value: f64) -> Option<f64> {
        let next = edit(handle, value, 0).apply(&self.document).ok()?;
        let lofted = loft_remembering(&next.forms[0], &mut self.memory);
        if errors(&lofted) > self.errors { None } else { (self.value)(&lofted) }
    }

    fn solve(&mut self, handle: &Handle) -> Option<f64> {
        let missing = self.target - self.start;
        let outward = if handle.line == LineName::Keel { -1.0 } else { 1.0 };
        let close = (0.5 * self.tolerance).clamp(0.002, 0.05);
        let (mut a, mut fa) = (handle.value, -missing);
        let mut b = handle.value + outward * 0.5 * missing;
        for _ in 0..MOST_TRIALS {
            let fb = self.measure(handle, b)? - self.target;
            if fb.abs() <= close {
                return self.confirm(handle, b);
            }
            let next = b - fb * (b - a) / (fb - fa);
            if !next.is_finite() || (next - handle.value).abs() > MOST_LEVER * missing.abs() {
                return None;
            }
            (a, fa, b) = (b, fb, next);
        }
        None
    }

    /// The value rounded, if it still mends.
    fn confirm(&mut self, handle: &Handle, value: f64) -> Option<f64> {
        let rounded = (value / ROUNDED).round() * ROUNDED;
        let measured = self.measure(handle, rounded)?;
        (self.fits)(measured).then_some(rounded)
    }
}

/// A document with this form alone, to try edits on.
pub(crate) fn scratch(form: &Form) -> Document {
    let mut document = project::starter::new_document("");
    document.forms = vec![Arc::new(form.clone())];
    document
}

/// How many errors a form has.
pub(crate) fn errors(lofted: &Lofted) -> usize {
    lofted.findings.iter().filter(|f| f.severity == Severity::Error).count()
}

fn edit(handle: &Handle, value: f64, form: usize) -> Edit {
    let Handle { line, x, .. } = *handle;
    match handle.point {
        Some(point) => Edit::MoveLinePoint { form, line, point, x, value },
        None => Edit::AddLinePoint { form, line, point: LinePoint { x, value, kind: LinePointKind::Smooth } },
    }
}

fn label(handle: &Handle, value: f64) -> String {
    let name = handle.line.label().to_lowercase();
    let by = value - handle.value;
    let way = match (handle.line, by > 0.0) {
        (LineName::Breadth, true) => "out",
        (LineName::Breadth, false) => "in",
        (_, true) => "up",
        (_, false) => "down",
    };
    match handle.point {
        Some(point) => format!("Move point {} of the {name} line {way} by {:.2} mm", point + 1, by.abs()),
        None => format!("Add a point to the {name} line at {:.1} mm, {:.2} mm farther {way}", handle.x, by.abs()),
    }
}
