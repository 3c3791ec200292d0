//! What there is to see and to take hold of: a plain list of strokes and handles in millimetres, made from the document
//! and what was derived from it. Drawing and hit testing both read it, so what is seen is what is hit.

use crate::derived::Derived;
use crate::floor::airframe::Pen;
use crate::floor::layout::{Extents, View};
use crate::floor::shoulder;
use crate::pictures;
use crate::view::{PickPurpose, Selected, Shown, ViewState};
use project::document::{Document, Form, LineName, LinePointKind, PointRole, SectionShape};

/// Everything on the floor that belongs to the form.
#[derive(Debug, Default)]
pub(crate) struct Scene {
    pub(crate) strokes: Vec<Stroke>,
    pub(crate) handles: Vec<Handle>,
    pub(crate) rails: Vec<Rail>,
    pub(crate) extents: Extents,
}

/// A line of the drawing.
#[derive(Clone, Debug)]
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
    /// What lies on the bench.
    Airframe(Pen),
    /// Of the shell: an opening, an added form, a meeting line.
    Shell,
    /// The same as it lies on the surface in another view, or its mirror image.
    ShellFaint,
    /// Of the shell, and out of sight: a duct.
    ShellHidden,
    /// Where an added form meets the first one.
    Meeting,
    /// The first form in the axes of an added one.
    Ghost,
    /// Its section in the plane of the one that is shown strongly.
    GhostSection,
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
    /// A point picked on a picture.
    Cross,
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

    /// The picked points of the selected picture; `moved` is one that is being dragged, and where it is.
    pub(crate) fn add_picked_points(
        &mut self,
        document: &Document,
        view: &ViewState,
        moved: Option<(Selected, [f64; 2])>,
    ) {
        let Some(picture) = view.selected.picture() else { return };
        let Some(p) = document.pictures.get(picture).filter(|p| !p.hidden) else { return };
        let Some(under) = pictures::view_of(p) else { return };
        for (purpose, name) in
            [(PickPurpose::Scale, "scale"), (PickPurpose::Check, "second distance"), (PickPurpose::Level, "level")]
        {
            for (index, px) in pictures::picked_points(p, purpose).into_iter().flatten().enumerate() {
                let target = Selected::PicturePoint { picture, purpose, second: index == 1 };
                let dragged = moved.filter(|(what, _)| *what == target).map(|(_, at)| at);
                self.handles.push(Handle {
                    view: under,
                    at: dragged.unwrap_or_else(|| p.placement.to_view(px)),
                    shape: HandleShape::Cross,
                    target,
                    label: format!("Picture {}, {name}, point {}", p.name, index + 1),
                    locked: p.locked,
                });
            }
        }
    }

    /// Until there is a surface, what is to be seen is the pictures too.
    pub(crate) fn reach_over_pictures(&mut self, document: &Document) {
        let mut reach = Reach::over(&self.extents);
        let mut found = Reach::default();
        for p in document.pictures.iter().filter(|p| !p.hidden) {
            let Some(view) = pictures::view_of(p) else { continue };
            for [a, b] in pictures::corners(p) {
                found.place(view, [a, b]);
                reach.place(view, [a, b]);
            }
        }
        // An empty floor has room for a cowling by default; pictures that are there already are smaller or larger.
        let drawn = self.handles.iter().any(|h| matches!(h.target, Selected::LinePoint { .. }));
        self.extents = if drawn { reach.extents() } else { found.extents() };
    }

    /// What is to be seen reaches over these too.
    pub(crate) fn reach_over(&mut self, strokes: &[Stroke]) {
        if strokes.is_empty() {
            return;
        }
        let mut reach = Reach::over(&self.extents);
        strokes.iter().for_each(|s| s.points.iter().for_each(|p| reach.place(s.view, *p)));
        self.extents = reach.extents();
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
                for (arc, shoulder) in shoulder::of(control).into_iter().enumerate() {
                    let Some(shoulder) = shoulder else { continue };
                    let [y, z] = half_box.model(shoulder.at());
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
    port: f64,
}

impl Reach {
    fn over(extents: &Extents) -> Self {
        Self { x: Some(extents.x), z: Some(extents.z), breadth: extents.half_breadth, port: extents.port }
    }

    /// A place of one of the views.
    fn place(&mut self, view: View, [a, b]: [f64; 2]) {
        match view {
            View::Side => {
                self.x(a);
                self.z(b);
            }
            View::Plan => {
                self.x(a);
                self.breadth(b);
                self.port = self.port.max(-b);
            }
            View::Face => {
                self.breadth(a);
                self.z(b);
            }
            View::Body => {}
        }
    }

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
            port: self.port,
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
}
