//! What openings take out of a shell, and what the walls of their ducts add.

use crate::shell::Source;
use form::openings::{Hole, Passage, Target, holes};
use form::space::{Vector, add, cross, length, sub, times};
use project::document::{Document, Form};
use project::laminate::{Extent, Span};
use shell::mass::{CutOut, Part};

/// Chord error of an opening's edge, mm: far below what a saw leaves.
const EDGE: f64 = 0.05;

/// Openings of a form as masses.
#[derive(Default)]
pub(super) struct Holes {
    pub(super) cut: Vec<CutOut>,
    pub(super) ducts: Vec<Part>,
}

impl Holes {
    /// Those of a form; what misses the form takes nothing away (see the findings of openings).
    pub(super) fn of(source: &Source, form: usize) -> Self {
        let document = source.document();
        let (Some(it), Some(lofted)) = (document.forms.get(form), source.lofted().get(form)) else {
            return Self::default();
        };
        let Some(target) = Target::of(document, form, lofted).filter(|_| !it.openings.is_empty()) else {
            return Self::default();
        };
        let found: Vec<Hole> = holes(&target, it, EDGE).into_iter().flatten().collect();
        let cut = found.iter().filter_map(|hole| cut_out(it, hole, &target)).collect();
        let ducts = found.iter().filter_map(|hole| duct(document, it, hole, &hole.passage(&target)?)).collect();
        Self { cut, ducts }
    }
}

fn name(form: &Form, hole: &Hole) -> String {
    form.openings.get(hole.opening).map(|opening| opening.name.clone()).unwrap_or_default()
}

fn cut_out(form: &Form, hole: &Hole, target: &Target<'_>) -> Option<CutOut> {
    let centre = hole.centre.as_ref()?.point;
    Some(CutOut { name: name(form, hole), area: hole.areas(target).surface, centre })
}

/// The wall of a duct, of the laminate's own density; a plain hole has none.
fn duct(document: &Document, form: &Form, hole: &Hole, passage: &Passage) -> Option<Part> {
    let wall = hole.duct.as_ref().map(|duct| duct.wall).filter(|wall| *wall > 0.0)?;
    let (mut area, mut first) = (0.0, [0.0; 3]);
    let next = passage.strips.iter().cycle().skip(1);
    for (a, b) in passage.strips.iter().zip(next) {
        for [p, q, r] in [[a.outer.point, b.outer.point, b.inner], [a.outer.point, b.inner, a.inner]] {
            let size = 0.5 * length(cross(sub(q, p), sub(r, p)));
            area += size;
            first = add(first, times(add(add(p, q), r), size / 3.0));
        }
    }
    let centre: Vector = times(first, 1.0 / area);
    let mass = density(document)?.times(1e-3 * area * wall);
    (area > 0.0).then(|| Part::point(format!("duct of {}", name(form, hole)), mass, centre))
}

/// Of fibre and resin together in the first ply of the whole shell, g/cm³.
fn density(document: &Document) -> Option<Span> {
    let laminate = &document.shell.laminate;
    let at = laminate.plies.iter().position(|ply| ply.extent == Extent::Whole)?;
    let fraction = laminate.layers().ok()?.get(at)?.fibre_volume?;
    let (fibre, resin) = (laminate.plies[at].fabric.fibre_density, laminate.resin.density);
    Some(fraction.through(|v| v * fibre + (1.0 - v) * resin))
}
