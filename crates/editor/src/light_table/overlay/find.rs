//! What of the form lies under the pointer: only what is shown, what is in sight before what is hidden, points before lines.

use super::{Lit, target};
use crate::app::App;
use crate::view::Selected;
use form::seen::{Handle, HandleOf, Near, NearWhat, Sight};
use project::document::{Form, PointRole, SectionShape};

/// How near the pointer must come to a point and to a line, in points.
const REACH: [f64; 2] = [9.0, 6.0];

/// Of a picture that lies far away points are smaller by this factor, or they would cover what they lie on.
pub(super) fn nearness(app: &App) -> f64 {
    (app.table.sheet.scale / 0.5).clamp(0.62, 1.0)
}

/// The nearest thing of the form to take hold of or to select.
pub(crate) fn under(app: &App, pixel: [f64; 2]) -> Option<Near> {
    let table = &app.table;
    let (shows, lit) = (table.shows, Lit::of(app));
    let per_point = 1.0 / table.sheet.scale;
    let point_reach = REACH[0] * nearness(app) * per_point;
    let near = table.overlay.seen().near(pixel, point_reach.max(REACH[1] * per_point));
    let offered = near.into_iter().filter(|near| match near.what {
        NearWhat::Handle(handle) => offers(app, &handle, &lit) && near.distance_px <= point_reach,
        NearWhat::Line(part) => shows.part(part) && near.distance_px <= REACH[1] * per_point,
        NearWhat::Silhouette(_) => {
            shows.silhouette && near.sight != Sight::Hidden && near.distance_px <= REACH[1] * per_point
        }
    });
    // Where a point of a section lies on a point of a line, the selected one stays in hand, else the line's is meant.
    let favour = |near: &Near| match near.what {
        NearWhat::Handle(handle) if target_of(handle.of) == lit.selected => -1.0,
        NearWhat::Handle(handle) if matches!(handle.of, HandleOf::LinePoint { .. }) => -0.1,
        _ => 0.0,
    };
    let key = |near: &Near| {
        let is_line = !matches!(near.what, NearWhat::Handle(_));
        (near.sight == Sight::Hidden, is_line, near.distance_px / per_point + favour(near))
    };
    offered.min_by(|a, b| {
        let ((a, b, c), (d, e, f)) = (key(a), key(b));
        (a, b).cmp(&(d, e)).then(c.total_cmp(&f))
    })
}

/// Whether a point can be seen and taken hold of: those that the form hides only while they are lit.
pub(super) fn offers(app: &App, handle: &Handle, lit: &Lit) -> bool {
    let shows = &app.table.shows;
    let (kind, chosen) = match handle.of {
        HandleOf::SectionPoint { section, .. } => (shows.sections, lit.selected.section() == Some(section)),
        HandleOf::LinePoint { line, .. } => (shows.lines, lit.selected.line() == Some(line)),
    };
    let lit = chosen || lit.hovered == Some(target_of(handle.of));
    shows.form && (kind || lit) && (lit || handle.sight != Sight::Hidden)
}

/// What a point stands for.
pub(crate) fn target_of(of: HandleOf) -> Selected {
    match of {
        HandleOf::SectionPoint { section, point } => Selected::SectionPoint { section, point },
        HandleOf::LinePoint { line, point } => Selected::LinePoint { line, point },
    }
}

/// What a click on it selects; nothing by the silhouette alone.
pub(crate) fn clicked(near: &Near) -> Option<Selected> {
    match near.what {
        NearWhat::Handle(handle) => Some(target_of(handle.of)),
        NearWhat::Line(part) => target(part),
        NearWhat::Silhouette(_) => None,
    }
}

/// What a point of a control section is for.
pub(in crate::light_table) fn role(form: &Form, section: usize, point: usize) -> Option<PointRole> {
    match &form.sections.get(section)?.shape {
        SectionShape::Shaped(unit) => unit.points.get(point).map(|p| p.role),
        SectionShape::Pinned(_) => None,
    }
}
