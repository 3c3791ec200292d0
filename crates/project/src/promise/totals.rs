//! How much all forms of a project may ask for together. What a list of one form may hold is bounded where that list is checked; a
//! hundred such lists would still be more than anybody builds, and more than is made within seconds.

use crate::build::Build;
use crate::document::{Document, Form, LineName, SectionShape};
use crate::edit::Refused;
use crate::opening::{Opening, Outline};

/// All forms together have at most this many stations, and outside templates at as many.
pub const MAX_ALL_STATIONS: usize = 2000;
/// The master lines of all forms together have at most this many points.
pub const MAX_ALL_LINE_POINTS: usize = 1000;
/// The stacks of all forms together have at most this many boards.
pub const MAX_ALL_BOARDS: usize = 300;
/// All forms together have at most this many openings.
pub const MAX_ALL_OPENINGS: usize = 120;
/// The drawn outlines of all openings together have at most this many points.
pub const MAX_ALL_OUTLINE_POINTS: usize = 2000;
/// All forms together have at most this many control sections.
pub const MAX_ALL_SECTIONS: usize = 300;
/// All control sections together have at most this many points.
pub const MAX_ALL_SECTION_POINTS: usize = 20_000;

/// Something that is counted over all forms, each given with how its plug is built, if it has one.
struct Counted {
    what: &'static str,
    most: usize,
    of: fn(&Form, Option<&Build>) -> usize,
}

const COUNTED: [Counted; 8] = [
    Counted { what: "points in master lines", most: MAX_ALL_LINE_POINTS, of: |form, _| line_points(form) },
    Counted { what: "stations", most: MAX_ALL_STATIONS, of: |form, _| form.stations.len() },
    Counted {
        what: "outside templates",
        most: MAX_ALL_STATIONS,
        of: |_, build| build.map_or(0, |build| build.sanding.stations.len()),
    },
    Counted {
        what: "boards in stacks",
        most: MAX_ALL_BOARDS,
        of: |_, build| build.map_or(0, |build| build.stack.boards.len()),
    },
    Counted { what: "openings", most: MAX_ALL_OPENINGS, of: |form, _| form.openings.len() },
    Counted {
        what: "points in the outlines of openings",
        most: MAX_ALL_OUTLINE_POINTS,
        of: |form, _| outline_points(form),
    },
    Counted { what: "control sections", most: MAX_ALL_SECTIONS, of: |form, _| form.sections.len() },
    Counted { what: "points in control sections", most: MAX_ALL_SECTION_POINTS, of: |form, _| section_points(form) },
];

/// All forms of a document together.
///
/// # Errors
/// More of something than all forms together may have; the message names the form that goes beyond.
pub fn check_totals(document: &Document) -> Result<(), Refused> {
    COUNTED.iter().try_for_each(|counted| {
        let mut all = 0;
        document.forms.iter().enumerate().try_for_each(|(index, form)| {
            all += (counted.of)(form, form.build.as_deref().or((index == 0).then_some(&*document.build)));
            check_total(counted, all, form)
        })
    })
}

fn check_total(counted: &Counted, all: usize, form: &Form) -> Result<(), Refused> {
    if all <= counted.most {
        return Ok(());
    }
    Err(Refused::new(
        format!("With the form \"{}\" the project comes to {all} {}.", form.name, counted.what),
        format!("Keep to at most {} in all forms together.", counted.most),
    ))
}

fn line_points(form: &Form) -> usize {
    LineName::ALL.iter().map(|name| form.lines.get(*name).points.len()).sum()
}

fn outline_points(form: &Form) -> usize {
    let of = |outline: &Outline| if let Outline::Drawn { points } = outline { points.len() } else { 0 };
    let inner = |opening: &Opening| opening.duct.iter().filter_map(|duct| duct.inner.as_ref()).map(of).sum::<usize>();
    form.openings.iter().map(|opening| of(&opening.outline) + inner(opening)).sum()
}

fn section_points(form: &Form) -> usize {
    let of = |shape: &SectionShape| match shape {
        SectionShape::Shaped(unit) => unit.points.len(),
        SectionShape::Pinned(measured) => measured.points.len(),
    };
    form.sections.iter().map(|section| of(&section.shape)).sum()
}
