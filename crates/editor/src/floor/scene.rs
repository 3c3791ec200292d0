//! What there is to see and to take hold of: a plain list of strokes and handles in millimetres, made from the document
//! and what was derived from it. Drawing and hit testing both read it, so what is seen is what is hit.

use crate::derived::Derived;
use crate::floor::layout::{Extents, View};
use crate::view::{Selected, Shown, ViewState};
use project::document::{ArcKind, Form, LineName, LinePointKind, PointRole, SectionShape};

/// Everything on the floor that belongs to the form.
#[derive(Debug, Default)]
pub(crate) struct Scene {
    pub(crate) strokes: Vec<Stroke>,
    pub(crate) handles: Vec<Handle>,
    pub(crate) rails: Vec<Rail>,
    pub(crate) extents: Extents,
}

/// A line of the drawing.
#[derive(Debug)]
pub(crate) struct Stroke {
    pub(crate) view: View,
    pub(crate) kind: StrokeKind,
    /// What a click on it selects.
    pub(crate) target: Option<Selected>,
    pub(crate) points: Vec<[f64; 2]>,
}

/// What a stroke shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum StrokeKind {
    Master(LineName),
    /// The other half of a master line.
    Mirror(LineName),
    /// The shown section's half that is edited.
    Shown,
    /// The shown section's other half.
    ShownMirror,
    /// A control section that is not shown strongly.
    Control,
    /// A station's section.
    Station,
}

/// A place to take hold of.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Handle {
    pub(crate) view: View,
    pub(crate) at: [f64; 2],
    pub(crate) shape: HandleShape,
    pub(crate) target: Selected,
    /// The name for assistive technology and tests, e.g. "Crown point 3".
    pub(crate) label: String,
    /// Held by a pinned section: shown, selectable, not to be dragged.
    pub(crate) locked: bool,
}

/// How a handle looks.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum HandleShape {
    Smooth,
    Corner,
    /// With its slope in degrees.
    Slope(f64),
    /// A mark of a section: crown, breadth or keel.
    Mark,
    /// The shoulder of a conic or superelliptic arc.
    Shoulder,
}

/// A station or control section as it runs through side view and plan.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Rail {
    pub(crate) x: f64,
    pub(crate) target: Selected,
    /// Its number, or a control section's letter.
    pub(crate) name: String,
    pub(crate) control: bool,
    pub(crate) pinned: bool,
}

/// Letters for control sections: A to Z, then A2 to Z2 and so on.
pub(crate) fn letter(section: usize) -> String {
    let name = char::from(b'A' + (section % 26) as u8);
    if section < 26 { name.to_string() } else { format!("{name}{}", section / 26 + 1) }
}

impl Scene {
    /// The scene of a form.
    pub(crate) fn of(form: &Form, derived: &Derived, view: &ViewState) -> Self {
        let mut scene = Self { extents: extents(form, derived), ..Self::default() };
        scene.add_lines(form, derived);
        scene.add_rails(form);
        scene.add_sections(derived, view);
        scene.add_section_handles(form, derived, view);
        scene
    }

    fn add_lines(&mut self, form: &Form, derived: &Derived) {
        for line in LineName::ALL {
            let target = Some(Selected::Line(line));
            let points = derived.line(line).to_vec();
            let view = if line == LineName::Breadth { View::Plan } else { View::Side };
            if line == LineName::Breadth {
                let mirrored = points.iter().map(|p| [p[0], -p[1]]).collect();
                let kind = StrokeKind::Mirror(line);
                self.strokes.push(Stroke { view, kind, target: None, points: mirrored });
            }
            self.strokes.push(Stroke { view, kind: StrokeKind::Master(line), target, points });
            for (point, p) in form.lines.get(line).points.iter().enumerate() {
                self.handles.push(Handle {
                    view,
                    at: [p.x, p.value],
                    shape: match p.kind {
                        LinePointKind::Smooth => HandleShape::Smooth,
                        LinePointKind::Corner => HandleShape::Corner,
                        LinePointKind::Slope(degrees) => HandleShape::Slope(degrees),
                    },
                    target: Selected::LinePoint { line, point },
                    label: format!("{} point {}", line.label(), point + 1),
                    locked: pins(form, p.x),
                });
            }
        }
    }

    fn add_rails(&mut self, form: &Form) {
        for (station, &x) in form.stations.iter().enumerate() {
            let name = (station + 1).to_string();
            self.rails.push(Rail { x, target: Selected::Station(station), name, control: false, pinned: false });
        }
        for (index, section) in form.sections.iter().enumerate() {
            self.rails.push(Rail {
                x: section.station,
                target: Selected::Section(index),
                name: letter(index),
                control: true,
                pinned: matches!(section.shape, SectionShape::Pinned(_)),
            });
        }
    }

    fn add_sections(&mut self, derived: &Derived, view: &ViewState) {
        let widest = derived.widest_station();
        for measured in &derived.stations {
            let station = measured.station;
            let target = Some(Selected::Station(station));
            let side = if measured.x <= widest { 1.0 } else { -1.0 };
            let body = measured.outline.iter().map(|p| [side * p[0], p[1]]).collect();
            self.strokes.push(Stroke { view: View::Body, kind: StrokeKind::Station, target, points: body });
            if view.shown == Some(Shown::Station(station)) {
                self.add_shown(&measured.outline, target);
            } else {
                let points = both_halves(&measured.outline);
                self.strokes.push(Stroke { view: View::Face, kind: StrokeKind::Station, target, points });
            }
        }
        for (section, outline) in derived.controls.iter().enumerate() {
            let target = Some(Selected::Section(section));
            if view.shown == Some(Shown::Control(section)) {
                self.add_shown(outline, target);
            } else {
                let points = both_halves(outline);
                self.strokes.push(Stroke { view: View::Face, kind: StrokeKind::Control, target, points });
            }
        }
    }

    fn add_shown(&mut self, outline: &[[f64; 2]], target: Option<Selected>) {
        let half = |sign: f64| outline.iter().map(|p| [sign * p[0], p[1]]).collect();
        self.strokes.push(Stroke { view: View::Face, kind: StrokeKind::ShownMirror, target: None, points: half(1.0) });
        self.strokes.push(Stroke { view: View::Face, kind: StrokeKind::Shown, target, points: half(-1.0) });
    }

    fn add_section_handles(&mut self, form: &Form, derived: &Derived, view: &ViewState) {
        let Some(Shown::Control(section)) = view.shown else { return };
        let Some(control) = form.sections.get(section) else { return };
        match &control.shape {
            SectionShape::Pinned(measured) => {
                for (point, p) in measured.points.iter().enumerate() {
                    self.handles.push(Handle {
                        view: View::Face,
                        at: [-p[0], p[1]],
                        shape: HandleShape::Corner,
                        target: Selected::SectionPoint { section, point },
                        label: format!("Section {} measured point {}", letter(section), point + 1),
                        locked: true,
                    });
                }
            }
            SectionShape::Shaped(unit) => {
                let Some(half_box) = derived.half_box(control.station) else { return };
                for (point, p) in unit.points.iter().enumerate() {
                    let [y, z] = half_box.model([p.u, p.v]);
                    self.handles.push(Handle {
                        view: View::Face,
                        at: [-y, z],
                        shape: role_shape(p.role),
                        target: Selected::SectionPoint { section, point },
                        label: section_label(section, point, p.role),
                        locked: false,
                    });
                }
                for (arc, kind) in unit.arcs.iter().enumerate() {
                    let Some([u, v]) = shoulder(unit, arc, *kind) else { continue };
                    let [y, z] = half_box.model([u, v]);
                    self.handles.push(Handle {
                        view: View::Face,
                        at: [-y, z],
                        shape: HandleShape::Shoulder,
                        target: Selected::Arc { section, arc },
                        label: format!("Section {} shoulder {}", letter(section), arc + 1),
                        locked: false,
                    });
                }
            }
        }
    }
}

fn role_shape(role: PointRole) -> HandleShape {
    match role {
        PointRole::Crown | PointRole::Keel | PointRole::Breadth { .. } => HandleShape::Mark,
        PointRole::Smooth => HandleShape::Smooth,
        PointRole::Knuckle { .. } => HandleShape::Corner,
    }
}

fn section_label(section: usize, point: usize, role: PointRole) -> String {
    let letter = letter(section);
    match role {
        PointRole::Crown => format!("Section {letter} crown mark"),
        PointRole::Keel => format!("Section {letter} keel mark"),
        PointRole::Breadth { .. } => format!("Section {letter} breadth mark"),
        PointRole::Smooth | PointRole::Knuckle { .. } => format!("Section {letter} point {}", point + 1),
    }
}

fn both_halves(outline: &[[f64; 2]]) -> Vec<[f64; 2]> {
    let left = outline.iter().map(|p| [-p[0], p[1]]);
    left.chain(outline.iter().rev().copied()).collect()
}

/// Whether a pinned section holds the master lines at this x.
pub(crate) fn pins(form: &Form, x: f64) -> bool {
    form.sections.iter().any(|s| matches!(s.shape, SectionShape::Pinned(_)) && (s.station - x).abs() < 1e-6)
}

/// The corner of the unit box between two marks: the place a conic with upright and level ends leans to.
///
/// Only arcs from one mark to the next have their tangents along the box; the others have no handle, only a number.
pub(crate) fn box_corner(unit: &project::document::UnitSection, arc: usize) -> Option<[f64; 2]> {
    let (from, to) = (unit.points.get(arc)?, unit.points.get(arc + 1)?);
    match (from.role, to.role) {
        (PointRole::Crown, PointRole::Breadth { knuckle: None }) if !unit.crown_ridge => Some([1.0, 1.0]),
        (PointRole::Breadth { knuckle: None }, PointRole::Keel) if !unit.keel_ridge => Some([1.0, -1.0]),
        _ => None,
    }
}

/// Where the shoulder of an arc lies in unit coordinates.
fn shoulder(unit: &project::document::UnitSection, arc: usize, kind: ArcKind) -> Option<[f64; 2]> {
    let [_, corner] = box_corner(unit, arc)?;
    match kind {
        ArcKind::Cubic => None,
        // A conic's shoulder divides the way from the chord's middle to the corner in the ratio rho.
        ArcKind::Conic { rho } => Some([0.5 + 0.5 * rho, corner * (0.5 + 0.5 * rho)]),
        // On the diagonal of its box, both coordinates of a Lamé curve are 2^(-1/n).
        ArcKind::Superelliptic { exponent } => {
            let t = 0.5_f64.powf(1.0 / exponent);
            Some([t, corner * t])
        }
    }
}

/// The fullness or exponent that puts an arc's shoulder at the unit place nearest to `at`.
pub(crate) fn kind_through(kind: ArcKind, at: [f64; 2]) -> ArcKind {
    let t = f64::midpoint(at[0], at[1].abs());
    match kind {
        ArcKind::Cubic => ArcKind::Cubic,
        ArcKind::Conic { .. } => ArcKind::Conic { rho: (2.0 * t - 1.0).clamp(0.05, 0.95) },
        ArcKind::Superelliptic { .. } => {
            let t = t.clamp(0.55, 0.97);
            ArcKind::Superelliptic { exponent: (0.5_f64.ln() / t.ln()).clamp(1.2, 20.0) }
        }
    }
}

fn extents(form: &Form, derived: &Derived) -> Extents {
    let mut reach = Reach::default();
    for line in LineName::ALL {
        let points = form.lines.get(line).points.iter().map(|p| [p.x, p.value]);
        for [x, value] in points.chain(derived.line(line).iter().copied()) {
            reach.x(x);
            if line == LineName::Breadth { reach.breadth(value) } else { reach.z(value) }
        }
    }
    reach.extents()
}

#[derive(Default)]
struct Reach {
    x: Option<[f64; 2]>,
    z: Option<[f64; 2]>,
    breadth: f64,
}

impl Reach {
    fn x(&mut self, x: f64) {
        widen(&mut self.x, x);
    }

    fn z(&mut self, z: f64) {
        widen(&mut self.z, z);
    }

    fn breadth(&mut self, y: f64) {
        self.breadth = self.breadth.max(y.abs());
    }

    fn extents(self) -> Extents {
        let empty = Extents::default();
        let enough = |range: Option<[f64; 2]>, otherwise: [f64; 2]| match range {
            Some([low, high]) if high - low > 5.0 => [low, high],
            _ => otherwise,
        };
        Extents {
            x: enough(self.x, empty.x),
            z: enough(self.z, empty.z),
            half_breadth: if self.breadth > 2.0 { self.breadth } else { empty.half_breadth },
        }
    }
}

fn widen(range: &mut Option<[f64; 2]>, value: f64) {
    if !value.is_finite() {
        return;
    }
    *range = Some(match *range {
        Some([low, high]) => [low.min(value), high.max(value)],
        None => [value, value],
    });
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sections_go_by_letters() {
        assert_eq!(letter(0), "A");
        assert_eq!(letter(25), "Z");
        assert_eq!(letter(26), "A2");
    }

    #[test]
    fn a_shoulder_dragged_to_where_it_lies_changes_nothing() {
        for rho in [0.2, 0.414_213_562, 0.7] {
            let kind = ArcKind::Conic { rho };
            let ArcKind::Conic { rho: again } = kind_through(kind, [0.5 + 0.5 * rho, 0.5 + 0.5 * rho]) else {
                panic!()
            };
            assert!((again - rho).abs() < 1e-12);
        }
        let t = 0.5_f64.powf(1.0 / 2.5);
        let kind = kind_through(ArcKind::Superelliptic { exponent: 2.0 }, [t, -t]);
        let ArcKind::Superelliptic { exponent } = kind else { panic!() };
        assert!((exponent - 2.5).abs() < 1e-12);
    }
}
