//! The form over the photograph, as the picture's camera shows it.
//!
//! What is seen is computed when form, camera or what is wanted has changed, and stays otherwise. [`pen`]: how its lines look;
//! [`draw`]: the drawing; [`find`]: what lies under the pointer; [`shade`]: the shaded surface; [`missing`]: why there is none.

pub(super) mod draw;
pub(crate) mod find;
pub(super) mod missing;
mod pen;
pub(super) mod shade;

use crate::app::App;
use crate::view::Selected;
use desk::photographs::FoundCamera;
use form::seen::{Seen, SeenPart, Wanted};
use project::document::LineName;
use shade::Shade;
use std::sync::Arc;

/// Lines keep within this of their curves on the screen, in points: less than is seen.
const DRAWN: f64 = 0.25;

/// The form as it is seen now.
#[derive(Default)]
pub(crate) struct Overlay {
    made: Option<Made>,
    seen: Seen,
    shade: Shade,
}

/// What it was made from.
#[derive(Clone)]
struct Made {
    revision: u64,
    camera: Arc<FoundCamera>,
    wanted: Wanted,
}

impl PartialEq for Made {
    fn eq(&self, other: &Self) -> bool {
        self.revision == other.revision && Arc::ptr_eq(&self.camera, &other.camera) && self.wanted == other.wanted
    }
}

impl Overlay {
    /// All lines, and the points that can be taken hold of; empty without a camera.
    pub(crate) fn seen(&self) -> &Seen {
        &self.seen
    }
}

/// The camera of the picture that lies on the table.
pub(crate) fn camera(app: &App) -> Option<Arc<FoundCamera>> {
    app.table.cameras.as_ref()?.found(app.table.picture?).cloned()
}

/// Brings what is seen up to date.
pub(crate) fn refresh(app: &mut App) {
    let Some(camera) = camera(app).filter(|_| app.table.shows.form) else {
        (app.table.overlay.made, app.table.overlay.seen) = (None, Seen::default());
        return;
    };
    let lit = Lit::of(app);
    let wanted = app.table.shows.wanted(tolerance(app.table.sheet.scale), lit.has_station());
    let made = Made { revision: app.derived.revision, camera, wanted };
    if app.table.overlay.made.as_ref() == Some(&made) {
        return;
    }
    let camera = made.camera.resection.camera;
    let form = app.form();
    let seen = app.derived.lofted().map(|lofted| form::seen::seen(lofted, &form, &camera, &made.wanted));
    (app.table.overlay.seen, app.table.overlay.made) = (seen.unwrap_or_default(), Some(made));
}

/// Chords in pixels of the picture for points on the screen, by powers of two, so that coming nearer seldom computes anew.
fn tolerance(scale: f64) -> f64 {
    (DRAWN / scale).log2().floor().exp2().clamp(0.03, 4.0)
}

/// What is selected, and what the pointer is over here or on the floor.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Lit {
    pub(crate) selected: Selected,
    pub(crate) hovered: Option<Selected>,
}

impl Lit {
    pub(crate) fn of(app: &App) -> Self {
        let on_floor = app.gesture.hover.map(|hit| hit.target(&app.scene));
        Self { selected: app.view.selected, hovered: app.table.hands.pulling.lit().or(on_floor) }
    }

    fn has_station(&self) -> bool {
        let station = |s: Selected| matches!(s, Selected::Station(_));
        station(self.selected) || self.hovered.is_some_and(station)
    }

    /// Whether a line is selected, whole or by one of its points.
    fn selects(&self, part: SeenPart) -> bool {
        belongs(part, self.selected)
    }

    /// Whether the pointer is over it.
    fn hovers(&self, part: SeenPart) -> bool {
        self.hovered.is_some_and(|hovered| belongs(part, hovered))
    }
}

/// What a click on a line selects.
pub(crate) fn target(part: SeenPart) -> Option<Selected> {
    match part {
        SeenPart::Crown => Some(Selected::Line(LineName::Crown)),
        SeenPart::Keel => Some(Selected::Line(LineName::Keel)),
        SeenPart::Breadth(_) => Some(Selected::Line(LineName::Breadth)),
        SeenPart::ControlSection(section) => Some(Selected::Section(section)),
        SeenPart::Station(station, _) => Some(Selected::Station(station)),
        SeenPart::Knuckle(..) | SeenPart::ControlLine(_) | SeenPart::Silhouette => None,
    }
}

fn belongs(part: SeenPart, selected: Selected) -> bool {
    match part {
        SeenPart::ControlSection(section) => selected.section() == Some(section),
        SeenPart::Station(station, _) => selected == Selected::Station(station),
        // The breadth line in the picture is breadth and breadth height in one.
        SeenPart::Breadth(_) => matches!(selected.line(), Some(LineName::Breadth | LineName::BreadthHeight)),
        SeenPart::Crown => selected.line() == Some(LineName::Crown),
        SeenPart::Keel => selected.line() == Some(LineName::Keel),
        SeenPart::Knuckle(..) | SeenPart::ControlLine(_) | SeenPart::Silhouette => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn chords_follow_the_zoom_by_powers_of_two() {
        assert_eq!(tolerance(1.0), 0.25);
        assert_eq!(tolerance(0.9), 0.25);
        assert_eq!(tolerance(0.4), 0.5);
        for scale in [0.01, 0.3, 2.0, 60.0] {
            let px = tolerance(scale);
            assert!(px * scale <= DRAWN.max(0.03 * scale) && px >= 0.03);
        }
    }

    #[test]
    fn a_point_lights_the_line_it_belongs_to() {
        let point = Selected::SectionPoint { section: 2, point: 1 };
        assert!(belongs(SeenPart::ControlSection(2), point) && !belongs(SeenPart::ControlSection(1), point));
        let height = Selected::LinePoint { line: LineName::BreadthHeight, point: 0 };
        assert!(belongs(SeenPart::Breadth(project::photograph::Side::Port), height));
        assert!(!belongs(SeenPart::Crown, height));
    }
}
