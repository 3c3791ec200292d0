//! What every document promises, in one place: edits, the file form and tables of offsets all ask here.
//!
//! Lengths in mm, angles in degrees. A check answers with the first broken promise, in words for the builder.

mod airframe;
mod build;
mod openings;
mod photographs;
mod pictures;
mod sections;
mod shell;
mod totals;

pub use airframe::{
    MAX_CANT_DEG, MAX_GAUGES, MAX_KEEP_OUTS, MAX_SCREWS, MIN_FURTHER, MIN_SIZE, check_airframe, check_fuselage,
    check_fuselage_section, check_gauge, check_keep_out, check_thrust,
};
pub use build::{
    MAX_BOARDS, MAX_DOWELS, MAX_MEASURED, MIN_BOARD, check_board, check_build, check_coat, check_dowel, check_foam,
    check_formers, check_measured_width, check_sanding, check_stack,
};
pub use openings::{
    MAX_OPENINGS, MAX_OUTLINE_POINTS, MIN_OUTLINE_GAP, check_duct, check_mount, check_opening, check_outline,
};
pub(crate) use photographs::check_new_name;
pub use photographs::{
    MAX_DISTANCES, MAX_LANDMARKS, MAX_TRACE_POINTS, MAX_TRACES, MIN_FIGURE_POINTS, MIN_STRAIGHT_POINTS,
    check_camera_distance, check_closeness, check_distances, check_figure, check_focal, check_landmark,
    check_landmarks, check_photograph, check_straight, check_trace,
};
pub(crate) use pictures::check_opacity;
pub use pictures::{MAX_PIXELS, check_known, check_level, check_picture, check_placement};
pub use sections::{MIN_MEASURED_GAP, MIN_UNIT_GAP, ON_CENTRE, check_arc, check_measured, check_section, check_unit};
pub use shell::{
    MAX_AREAL_MASS, MAX_GRAMS, MAX_PATCHES, MAX_PLIES, MAX_WEIGHED, check_air_ratio, check_ballast, check_draping,
    check_film, check_laminate, check_ply, check_release, check_resin, check_shell, check_weighed, check_weights,
};
pub use totals::{
    MAX_ALL_BOARDS, MAX_ALL_LINE_POINTS, MAX_ALL_OPENINGS, MAX_ALL_OUTLINE_POINTS, MAX_ALL_SECTION_POINTS,
    MAX_ALL_SECTIONS, MAX_ALL_STATIONS, check_totals,
};

use crate::document::{Document, Form, LineName, LinePointKind, MasterLine, PaperSetup};
use crate::edit::Refused;

/// Every length lies within this many mm of 0: a hundred metres is no model.
pub const MAX_MM: f64 = 100_000.0;
/// Thicknesses, clearances and gaps are at most this, mm.
pub const MAX_THICKNESS: f64 = 100.0;
/// Neighbouring points of a master line lie at least this far apart in x, mm.
pub const MIN_POINT_GAP: f64 = 0.001;
/// Control sections lie at least this far apart, mm.
pub const MIN_SECTION_GAP: f64 = 0.01;
/// A form has at most this many stations.
pub const MAX_STATIONS: usize = 2000;
/// A form has at most this many control sections.
pub const MAX_SECTIONS: usize = 2000;
/// A line or section has at most this many points.
pub const MAX_POINTS: usize = 2000;
/// A project has at most this many forms.
pub const MAX_FORMS: usize = 40;
/// A project has at most this many pictures.
pub const MAX_PICTURES: usize = 200;
/// A name has at most this many characters.
pub const MAX_NAME: usize = 200;

/// Share of a smallest gap that rounding may take away.
const ROUNDING: f64 = 1e-6;

/// Whether two places are at least `gap` apart, rounding forgiven.
pub fn apart(from: f64, to: f64, gap: f64) -> bool {
    to - from >= gap * (1.0 - ROUNDING)
}

/// A number as a message tells it: short, however near to nothing it is.
pub(crate) fn told(v: f64) -> String {
    if v != 0.0 && v.abs() < 1e-6 { format!("{v:e}") } else { format!("{v}") }
}

/// A length in mm: finite and within [`MAX_MM`].
///
/// # Errors
/// NaN, infinite or absurdly large.
pub fn check_mm(what: &str, mm: f64) -> Result<(), Refused> {
    check_range(what, mm, -MAX_MM, MAX_MM)
}

/// A thickness, clearance or gap in mm: from 0 to [`MAX_THICKNESS`].
///
/// # Errors
/// NaN, infinite, negative or absurdly large.
pub fn check_thickness(what: &str, mm: f64) -> Result<(), Refused> {
    check_range(what, mm, 0.0, MAX_THICKNESS)
}

/// A number within a range.
///
/// # Errors
/// NaN, infinite or out of the range.
pub fn check_range(what: &str, value: f64, least: f64, most: f64) -> Result<(), Refused> {
    if (least..=most).contains(&value) {
        return Ok(());
    }
    let reason = if value.is_finite() {
        format!("{what} cannot be {value:?}.")
    } else {
        format!("{what} cannot be {value}: that is no number to draw with.")
    };
    Err(Refused::new(reason, format!("Give a number from {least} to {most}.")))
}

/// A count within its limit.
///
/// # Errors
/// Too many.
pub fn check_count(what: &str, count: usize, most: usize) -> Result<(), Refused> {
    if count <= most {
        return Ok(());
    }
    Err(Refused::new(format!("There are {count} {what}."), format!("Keep to at most {most}.")))
}

/// A name: some visible characters on one line.
///
/// # Errors
/// Empty, too long, or with control characters.
pub fn check_name(what: &str, name: &str) -> Result<(), Refused> {
    if name.trim().is_empty() {
        return Err(Refused::new(format!("{what} needs a name."), "Type at least one letter."));
    }
    if name.chars().count() > MAX_NAME {
        return Err(Refused::new(
            format!("The name of {what} is too long."),
            format!("Keep to {MAX_NAME} characters."),
        ));
    }
    if name.chars().any(char::is_control) {
        return Err(Refused::new(
            format!("The name of {what} holds a line break or another invisible character."),
            "Keep it to one plain line.",
        ));
    }
    Ok(())
}

/// Full size divided by model.
///
/// # Errors
/// Not a number, or not from 0.01 to 1000.
pub fn check_model_scale(scale: f64) -> Result<(), Refused> {
    check_range("The model scale", scale, 0.01, 1000.0)
}

/// Paper margin, overlap and print correction.
///
/// # Errors
/// A length out of its range, or a margin and overlap that leave nothing of the paper.
pub fn check_paper(setup: &PaperSetup) -> Result<(), Refused> {
    check_range("The paper margin", setup.margin, 0.0, 60.0)?;
    check_range("The overlap of tiles", setup.overlap, 0.0, 60.0)?;
    for measured in setup.measured {
        check_range("The measured length of the 100 mm line", measured, 80.0, 125.0)?;
    }
    Ok(())
}

/// A whole document, pictures and all.
///
/// # Errors
/// The first promise that is broken.
pub fn check_document(document: &Document) -> Result<(), Refused> {
    check_name("The project", &document.name)?;
    check_model_scale(document.model_scale)?;
    check_paper(&document.paper)?;
    check_form_count(document.forms.len())?;
    check_count("pictures", document.pictures.len(), MAX_PICTURES)?;
    document.forms.iter().try_for_each(|form| check_form(form))?;
    document.pictures.iter().try_for_each(|picture| check_picture(picture))?;
    check_airframe(&document.airframe)?;
    check_follows(document)?;
    check_build(&document.build)?;
    check_shell(&document.shell)?;
    document.forms.first().map_or(Ok(()), |first| check_stands_alone(first))?;
    check_coats(document)?;
    check_totals(document)
}

/// The first form is put on none and built as the project says.
///
/// # Errors
/// It has a mount or a build of its own.
pub fn check_stands_alone(first: &Form) -> Result<(), Refused> {
    if first.mount.is_some() {
        return Err(Refused::new(
            "The first form is the one that others are put on.",
            "Choose a form after the first, or add one.",
        ));
    }
    if first.build.is_some() {
        return Err(Refused::new("The first form is built as the project says.", "Set the build of the project."));
    }
    Ok(())
}

/// The coat of every plug is what the laminate comes to, where that feeds it.
fn check_coats(document: &Document) -> Result<(), Refused> {
    if crate::edit::shell::strays(document) {
        return Err(Refused::new(
            "What is taken off the plug does not follow the laminate.",
            "Let the thickness follow the plies again.",
        ));
    }
    Ok(())
}

/// A control section that is linked to the fuselage end is what the fuselage says.
fn check_follows(document: &Document) -> Result<(), Refused> {
    if crate::edit::pin::follows(document) {
        return Ok(());
    }
    Err(Refused::new(
        "The section that is pinned to the fuselage end does not follow it.",
        "Let it go, or pin it to the fuselage end again.",
    ))
}

/// At least one form, and not too many.
///
/// # Errors
/// None, or more than [`MAX_FORMS`].
pub fn check_form_count(count: usize) -> Result<(), Refused> {
    if count == 0 {
        return Err(Refused::new(
            "A project needs at least one form.",
            "Keep one, even if nothing is drawn in it yet.",
        ));
    }
    check_count("forms", count, MAX_FORMS)
}

/// A whole form. Lines may be empty: half-drawn is normal.
///
/// # Errors
/// The first promise that is broken.
pub fn check_form(form: &Form) -> Result<(), Refused> {
    check_name("The form", &form.name)?;
    for name in LineName::ALL {
        check_line(name, form.lines.get(name))?;
    }
    form.sections.iter().try_for_each(|section| check_section(section))?;
    check_section_order(form.sections.iter().map(|section| section.station))?;
    check_stations(&form.stations)?;
    check_edge_radii(form.front_edge_radius, form.rear_edge_radius)?;
    check_count("openings", form.openings.len(), MAX_OPENINGS)?;
    form.openings.iter().try_for_each(|opening| check_opening(opening))?;
    form.mount.iter().try_for_each(check_mount)?;
    form.build.iter().try_for_each(|build| check_build(build))
}

/// The edge radii of flat ends.
///
/// # Errors
/// Negative or out of range.
pub fn check_edge_radii(front: f64, rear: f64) -> Result<(), Refused> {
    check_range("The front edge radius", front, 0.0, MAX_MM)?;
    check_range("The rear edge radius", rear, 0.0, MAX_MM)
}

/// A master line: strictly rising in x, breadths not negative.
///
/// # Errors
/// The first promise that is broken.
pub fn check_line(name: LineName, line: &MasterLine) -> Result<(), Refused> {
    check_count(&format!("points in the {} line", name.label().to_lowercase()), line.points.len(), MAX_POINTS)?;
    for point in &line.points {
        check_line_value(name, point.x, point.value)?;
        check_line_kind(point.kind)?;
    }
    for pair in line.points.windows(2) {
        check_rising(name, pair[0].x, pair[1].x)?;
    }
    Ok(())
}

/// Two neighbouring points of a line rise in x.
///
/// # Errors
/// They do not, or lie nearer than [`MIN_POINT_GAP`].
pub fn check_rising(name: LineName, x: f64, next: f64) -> Result<(), Refused> {
    if apart(x, next, MIN_POINT_GAP) {
        return Ok(());
    }
    Err(Refused::new(
        format!("{} has a point at {next} mm right behind one at {x} mm.", name.label()),
        format!("Points run from front to rear, each at least {MIN_POINT_GAP} mm behind the one before."),
    ))
}

/// Place and value of a line's point.
///
/// # Errors
/// Out of range, or a negative half-breadth.
pub fn check_line_value(name: LineName, x: f64, value: f64) -> Result<(), Refused> {
    check_mm("The distance aft of the datum", x)?;
    if name == LineName::Breadth {
        return check_range("The half-breadth", value, 0.0, MAX_MM);
    }
    check_mm("The height", value)
}

/// How a line passes a point.
///
/// # Errors
/// A slope that is not between -89.9 and 89.9 degrees.
pub fn check_line_kind(kind: LinePointKind) -> Result<(), Refused> {
    match kind {
        LinePointKind::Slope(degrees) => check_range("The slope in degrees", degrees, -89.9, 89.9),
        LinePointKind::Smooth | LinePointKind::Corner => Ok(()),
    }
}

/// Control sections rise from front to rear, one a station.
///
/// # Errors
/// Two nearer than [`MIN_SECTION_GAP`] or out of order, or more than [`MAX_SECTIONS`].
pub fn check_section_order(stations: impl ExactSizeIterator<Item = f64>) -> Result<(), Refused> {
    check_count("control sections", stations.len(), MAX_SECTIONS)?;
    let mut before = None;
    for station in stations {
        if before.is_some_and(|x| !apart(x, station, MIN_SECTION_GAP)) {
            return Err(section_in_the_way(station));
        }
        before = Some(station);
    }
    Ok(())
}

/// There is a control section already.
pub(crate) fn section_in_the_way(station: f64) -> Refused {
    Refused::new(
        format!("There is a control section at {station} mm already, or the sections are not in order."),
        format!("Keep one control section a station, front to rear, at least {MIN_SECTION_GAP} mm apart."),
    )
}

/// Stations rise and are not too many.
///
/// # Errors
/// Out of range, out of order, repeated or more than [`MAX_STATIONS`].
pub fn check_stations(stations: &[f64]) -> Result<(), Refused> {
    check_count("stations", stations.len(), MAX_STATIONS)?;
    stations.iter().try_for_each(|x| check_mm("The station", *x))?;
    match stations.windows(2).find(|pair| !apart(pair[0], pair[1], MIN_POINT_GAP)) {
        None => Ok(()),
        Some(pair) => Err(Refused::new(
            format!("The station at {} mm comes right behind the one at {} mm.", pair[1], pair[0]),
            format!("List stations from front to rear, at least {MIN_POINT_GAP} mm apart."),
        )),
    }
}
