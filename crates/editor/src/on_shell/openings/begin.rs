//! Where a new opening is put: at once on the form, and where such an opening usually is. The hand moves it from there.
//!
//! An intake is drawn in the face view, on what of the form is seen from ahead beside the spinner; an outlet from below, near the
//! rear; an exhaust hole and an access hole from the side. Sizes are shares of the form's own: they only have to be seen.

use crate::derived::Derived;
use crate::on_shell::felt::{COARSE, reach};
use form::shaft;
use geometry::loft::Loft;
use project::airframe::Airframe;
use project::document::Form;
use project::opening::{Opening, Outline, OutlinePoint, Purpose, Seen};
use std::f64::consts::TAU;

/// How many sections the outline from ahead is read from.
const SECTIONS: u32 = 24;
/// An opening is as wide as this share of the room it has.
const SHARE: f64 = 0.6;
/// Level with the spinner is where an intake is put if it has more than this share of the most room there is.
const LEVEL: f64 = 0.35;
/// An intake is no wider than this share of the spinner's radius.
const MOST: f64 = 0.7;
/// Points of an outline that is to be drawn further.
const DRAWN_POINTS: u32 = 8;

/// The shapes that are offered.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Shape {
    Ellipse,
    Box,
    Slot,
    Drawn,
}

impl Shape {
    /// All of them, by name.
    pub(crate) const ALL: [(&'static str, Shape); 4] =
        [("ellipse", Self::Ellipse), ("box", Self::Box), ("slot", Self::Slot), ("drawn", Self::Drawn)];

    /// That of an outline.
    pub(crate) fn of(outline: &Outline) -> Self {
        match outline {
            Outline::Ellipse { .. } => Self::Ellipse,
            Outline::Box { size, radius, .. } if *radius >= 0.5 * size[0].min(size[1]) => Self::Slot,
            Outline::Box { .. } => Self::Box,
            Outline::Drawn { .. } => Self::Drawn,
        }
    }

    /// An outline of this shape in that place.
    pub(crate) fn outline(self, centre: [f64; 2], size: [f64; 2], turn_deg: f64) -> Outline {
        let least = size[0].min(size[1]);
        match self {
            Self::Ellipse => Outline::Ellipse { centre, size, turn_deg },
            Self::Box => Outline::Box { centre, size, radius: 0.15 * least, turn_deg },
            Self::Slot => Outline::Box { centre, size, radius: 0.5 * least, turn_deg },
            Self::Drawn => Outline::Drawn { points: around(centre, size, turn_deg) },
        }
    }
}

/// Points on an ellipse.
fn around(centre: [f64; 2], size: [f64; 2], turn_deg: f64) -> Vec<OutlinePoint> {
    let (turn_sin, turn_cos) = turn_deg.to_radians().sin_cos();
    let place = |n: u32| {
        let (sin, cos) = (TAU * f64::from(n) / f64::from(DRAWN_POINTS)).sin_cos();
        let [a, b] = [0.5 * size[0] * cos, 0.5 * size[1] * sin];
        [centre[0] + a * turn_cos - b * turn_sin, centre[1] + a * turn_sin + b * turn_cos]
    };
    (0..DRAWN_POINTS).map(|n| OutlinePoint { at: place(n), corner: false }).collect()
}

/// A place and a size in a view.
struct Room {
    seen: Seen,
    centre: [f64; 2],
    size: [f64; 2],
    mirrored: bool,
}

/// A new opening of a form; `airframe` where the spinner stands before that form.
pub(crate) fn opening(
    form: &Form,
    derived: &Derived,
    airframe: Option<&Airframe>,
    purpose: Purpose,
    shape: Shape,
) -> Opening {
    let room = derived.loft().map_or_else(nowhere, |loft| match purpose {
        Purpose::Intake => beside_the_spinner(loft, airframe).unwrap_or_else(|| on_the_side(loft, 0.2)),
        Purpose::Outlet => below(loft),
        Purpose::Exhaust => low_on_the_side(loft),
        Purpose::Access => on_the_side(loft, 0.8),
    });
    let outline = shape.outline(room.centre, room.size, 0.0);
    Opening { name: name(form, purpose), purpose, seen: room.seen, mirrored: room.mirrored, outline, duct: None }
}

/// A name that no other opening of the form has.
pub(super) fn name(form: &Form, purpose: Purpose) -> String {
    let taken = |name: &str| form.openings.iter().any(|o| o.name == name);
    let numbered = (2..).map(|n: usize| format!("{} {n}", purpose.label()));
    let mut names = std::iter::once(purpose.label().to_owned()).chain(numbered);
    names.find(|name| !taken(name)).unwrap_or_default()
}

/// Without a form yet: by the datum.
fn nowhere() -> Room {
    Room { seen: Seen::Ahead, centre: [40.0, 0.0], size: [30.0, 20.0], mirrored: true }
}

/// Middle, half-breadth, crown and keel of a section.
fn section(loft: &Loft, x: f64) -> Option<(f64, f64, f64, f64)> {
    let section = loft.section(x)?;
    Some((section.breadth_height(), section.half_breadth(), section.top(), section.bottom()))
}

/// A station at a share of the form's length.
fn along(loft: &Loft, share: f64) -> f64 {
    let (front, rear) = loft.x_range();
    front + share * (rear - front)
}

/// Between the spinner, or the form's own front face, and the outline from ahead: level with the spinner if there is room, else
/// where there is most.
fn beside_the_spinner(loft: &Loft, airframe: Option<&Airframe>) -> Option<Room> {
    let (front, rear) = loft.x_range();
    let line = airframe.and_then(|a| a.thrust.as_ref());
    let face = loft.section(front)?.polyline(COARSE);
    let (hub, spinner) = line.map_or_else(
        || (face_middle(&face), 0.0),
        |line| (shaft::shaft(line).hub[2], 0.5 * line.spinner.diameter + line.spinner.gap),
    );
    let all: Vec<Vec<[f64; 2]>> = (0..=SECTIONS)
        .filter_map(|n| loft.section(front + (rear - front) * f64::from(n) / f64::from(SECTIONS)))
        .map(|s| s.polyline(COARSE))
        .collect();
    let room = |degrees: f64| {
        let way = [degrees.to_radians().cos(), degrees.to_radians().sin()];
        let inner = reach(&face, hub, way).max(spinner);
        let outer = all.iter().map(|outline| reach(outline, hub, way)).fold(0.0, f64::max);
        (outer - inner, inner, way)
    };
    let level = room(0.0);
    let most = (-5..=5).map(|n| room(12.0 * f64::from(n))).max_by(|a, b| a.0.total_cmp(&b.0))?;
    let (wide, inner, way) = if level.0 > LEVEL * most.0 { level } else { most };
    if wide < 2.0 {
        return None;
    }
    // Wide noses and deep chins have more room than an intake needs.
    let size = (SHARE * wide).min(MOST * inner.max(10.0));
    let at = inner + 0.5 * wide;
    Some(Room {
        seen: Seen::Ahead,
        centre: [at * way[0], hub + at * way[1]],
        size: [size, (1.4 * size).min(at)],
        mirrored: true,
    })
}

fn face_middle(face: &[[f64; 2]]) -> f64 {
    face.first().zip(face.last()).map_or(0.0, |(top, bottom)| f64::midpoint(top[1], bottom[1]))
}

fn below(loft: &Loft) -> Room {
    let x = along(loft, 0.8);
    let length = along(loft, 1.0) - along(loft, 0.0);
    let half = section(loft, x).map_or(20.0, |s| s.1);
    Room { seen: Seen::Below, centre: [x, 0.0], size: [0.15 * length, 0.7 * half], mirrored: false }
}

fn low_on_the_side(loft: &Loft) -> Room {
    let x = along(loft, 0.6);
    let (middle, _, _, keel) = section(loft, x).unwrap_or((0.0, 0.0, 0.0, 0.0));
    let size = (0.3 * (middle - keel)).max(4.0);
    let height = middle - 0.4 * (middle - keel);
    Room { seen: Seen::Starboard, centre: [x, height], size: [1.3 * size, size], mirrored: false }
}

fn on_the_side(loft: &Loft, share: f64) -> Room {
    let x = along(loft, share);
    let (middle, _, crown, _) = section(loft, x).unwrap_or((0.0, 0.0, 0.0, 0.0));
    let size = (0.2 * (crown - middle)).max(4.0);
    Room { seen: Seen::Starboard, centre: [x, middle + 0.2 * (crown - middle)], size: [size; 2], mirrored: true }
}
