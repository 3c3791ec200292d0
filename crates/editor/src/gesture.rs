//! Gestures on the floor: pointing, dragging, zooming and panning.
//!
//! They are read at the start of a frame, before anything is drawn, so that a drag shows in every view within its own
//! frame. A drag previews edits; letting go makes one step of them; Escape drops them.

use crate::derived::Derived;
use crate::floor;
use crate::floor::hit::{self, Hit};
use crate::floor::layout::{Layout, View};
use crate::floor::scene::Scene;
use crate::floor::shoulder;
use crate::on_shell::{self, OnShell, ShellWork};
use crate::pictures;
use crate::view::{Item, Selected, Shown, Snap, Tab, Tool, ViewState};
use desk::Desk;
use egui::{Key, Modifiers, PointerButton, Pos2, Response};
use project::document::{Form, LineName, LinePoint, LinePointKind, Placement, PointRole, SectionShape};
use project::edit::Edit;

/// A drag under way, if any, and what the pointer is over.
#[derive(Debug, Default)]
pub(crate) struct Gesture {
    pub(crate) drag: Option<Drag>,
    /// What lay on the floor to snap to when the drag began.
    candidates: Candidates,
    pub(crate) hover: Option<Hit>,
    /// What the drag snapped to, for the status line.
    pub(crate) snapped: Option<String>,
    /// Why the last preview was refused, for the status line.
    pub(crate) refused: Option<String>,
    /// A click while points of a picture are picked.
    pub(crate) picked: Option<Pos2>,
    panning: bool,
    /// Escape was pressed: nothing happens until the button is let go.
    cancelled: bool,
}

/// What is being dragged.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Drag {
    pub(crate) target: Selected,
    pub(crate) view: View,
    /// From the pointer to the middle of what is dragged, mm, so that it does not jump.
    grip: [f64; 2],
    /// Where it is now, mm on its view.
    pub(crate) at: [f64; 2],
}

/// What gestures read and change.
pub(crate) struct Hands<'a> {
    pub(crate) desk: &'a mut Desk,
    pub(crate) view: &'a mut ViewState,
    pub(crate) derived: &'a Derived,
    pub(crate) scene: &'a Scene,
    pub(crate) layout: &'a Layout,
    /// What was computed of the shell.
    pub(crate) shell: Option<&'a ShellWork>,
    /// A selected picture is moved by dragging it: not while it lies on the light table, where it is worked on.
    pub(crate) moves_pictures: bool,
}

impl Gesture {
    /// Reads this frame's input on the floor.
    pub(crate) fn run(&mut self, ctx: &egui::Context, floor: &Response, hands: &mut Hands<'_>) {
        self.zoom_and_pan(ctx, floor, hands);
        let pointer = floor.interact_pointer_pos().or_else(|| floor.hover_pos());
        self.hover = match (self.drag, floor.hover_pos()) {
            (None, Some(at)) => hit::hit(hands.scene, hands.layout, hands.view.selected, at),
            _ => None,
        };
        if self.drag.is_some() && ctx.input_mut(|i| i.consume_key(Modifiers::NONE, Key::Escape)) {
            self.cancel(hands);
        }
        if self.panning {
            return;
        }
        if floor.drag_started_by(PointerButton::Primary) {
            self.begin(ctx, hands);
        }
        if let (Some(pointer), true) = (pointer, floor.dragged_by(PointerButton::Primary)) {
            self.follow(ctx, pointer, hands);
        }
        if floor.drag_stopped_by(PointerButton::Primary) {
            self.finish(hands);
        }
        if let Some(pointer) = pointer {
            self.click(ctx, floor, pointer, hands);
        }
    }

    fn zoom_and_pan(&mut self, ctx: &egui::Context, floor: &Response, hands: &mut Hands<'_>) {
        let space = ctx.input(|i| i.key_down(Key::Space)) && !ctx.text_edit_focused();
        let middle = floor.dragged_by(PointerButton::Middle);
        self.panning = middle || (space && floor.dragged_by(PointerButton::Primary) && self.drag.is_none());
        let Some(pointer) = floor.interact_pointer_pos().or_else(|| floor.hover_pos()) else { return };
        let Some(window) = hands.layout.at(pointer).copied() else { return };
        if self.panning {
            hands.view.camera.pan(&window, floor.drag_delta());
            hands.view.fitted = false;
            return;
        }
        if !floor.contains_pointer() {
            return;
        }
        let (scroll, pinch, source) = ctx.input(|i| (i.smooth_scroll_delta(), i.zoom_delta(), i.scroll_source()));
        let fingers = source == Some(egui::MouseWheelSource::Trackpad);
        let factor = f64::from(pinch) * if fingers { 1.0 } else { (f64::from(scroll.y) / 240.0).exp2() };
        if (factor - 1.0).abs() > 1e-6 {
            hands.view.camera.zoom_at(&window, pointer, factor);
            hands.view.fitted = false;
        }
        let slide = if fingers { scroll } else { egui::vec2(scroll.x, 0.0) };
        if slide != egui::Vec2::ZERO {
            hands.view.camera.pan(&window, slide);
            hands.view.fitted = false;
        }
    }

    fn begin(&mut self, ctx: &egui::Context, hands: &mut Hands<'_>) {
        // The end of a drag that Escape gave up may not be told.
        self.cancelled = false;
        let Some(press) = ctx.input(|i| i.pointer.press_origin()) else { return };
        if matches!(hands.view.tool, Tool::Pick(_) | Tool::Trace | Tool::Outline) {
            return;
        }
        let Some(found) = hit::hit(hands.scene, hands.layout, hands.view.selected, press) else {
            self.begin_picture(press, hands);
            return;
        };
        let target = found.target(hands.scene);
        let (view, at) = match found {
            Hit::Handle(index) => {
                let Some(handle) = hands.scene.handles.get(index) else { return };
                if handle.locked {
                    let why = match target {
                        Selected::PicturePoint { .. } => "The picture is locked. Unlock it to move its points.",
                        _ => "This point is held by a pinned section.",
                    };
                    self.refused = Some(why.into());
                    select(hands.view, target);
                    return;
                }
                (handle.view, handle.at)
            }
            Hit::Rail { target, tab: true } => match rail_x(hands.scene, target) {
                Some(x) => (View::Side, [x, 0.0]),
                None => return,
            },
            Hit::Rail { .. } | Hit::Stroke { .. } => return,
        };
        let grabbed = hands.layout.window(view).model(press);
        let grip = [at[0] - grabbed[0], at[1] - grabbed[1]];
        select(hands.view, target);
        let drag = Drag { target, view, grip, at };
        self.candidates = candidates(hands.scene, &drag);
        self.drag = Some(drag);
    }

    /// A selected picture is moved by dragging it where nothing else lies.
    fn begin_picture(&mut self, press: Pos2, hands: &Hands<'_>) {
        let Some(index) = hands.view.selected.picture().filter(|_| hands.moves_pictures) else { return };
        let Some(picture) = hands.desk.document().pictures.get(index).filter(|p| !p.locked && !p.hidden) else {
            return;
        };
        let Some(window) = hands.layout.at(press).filter(|w| pictures::view_of(picture) == Some(w.view)) else {
            return;
        };
        let at = picture.placement.offset;
        let grabbed = window.model(press);
        let grip = [at[0] - grabbed[0], at[1] - grabbed[1]];
        self.drag = Some(Drag { target: Selected::Picture(index), view: window.view, grip, at });
    }

    fn follow(&mut self, ctx: &egui::Context, pointer: Pos2, hands: &mut Hands<'_>) {
        let Some(drag) = &mut self.drag else { return };
        let window = hands.layout.window(drag.view);
        let free = window.model(pointer);
        let free = [free[0] + drag.grip[0], free[1] + drag.grip[1]];
        let suspended = ctx.input(|i| i.modifiers.command);
        let reach = [7.0 / window.scale[0], 7.0 / window.scale[1]];
        let document = hands.desk.document().clone();
        let Some(form) = document.forms.get(hands.view.form) else { return };
        if matches!(drag.target, Selected::PicturePoint { .. }) {
            // Shown where the pointer is; the picture itself moves when the point is let go.
            drag.at = free;
            return;
        }
        let picture = matches!(drag.target, Selected::Picture(_));
        let (at, snapped) = if suspended || picture {
            (free, None)
        } else {
            snap(free, reach, drag.target, hands.view.snap, &self.candidates)
        };
        drag.at = at;
        self.snapped = if suspended { Some("snap off while held".into()) } else { snapped };
        let edit = match drag.target {
            Selected::Picture(picture) => document
                .pictures
                .get(picture)
                .map(|p| Edit::PlacePicture { picture, placement: Placement { offset: drag.at, ..p.placement } }),
            Selected::Bench { item, view } => {
                floor::airframe_drag::edit_for(&document.airframe, hands.derived, item, view, drag.at)
            }
            Selected::OnShell { item, view } => {
                on_shell::edit_for(&document, hands.shell, hands.view.form, item, view, drag.at)
            }
            _ => edit_for(drag, hands.view.form, form, hands.derived),
        };
        let Some(edit) = edit else { return };
        self.refused = hands.desk.preview(&edit).err().map(|r| r.to_string());
    }

    fn finish(&mut self, hands: &mut Hands<'_>) {
        match self.drag.take().filter(|_| !self.cancelled) {
            Some(Drag { target: Selected::PicturePoint { picture, purpose, second }, at, .. }) => {
                let document = hands.desk.document().clone();
                let moved = document.pictures.get(picture);
                if let Some(edit) = moved.and_then(|p| pictures::point_moved(p, picture, purpose, second, at)) {
                    self.refused = hands.desk.apply(&edit).err().map(|r| r.to_string());
                }
            }
            Some(_) => {
                hands.desk.commit_preview();
            }
            None => {}
        }
        self.cancelled = false;
        self.snapped = None;
    }

    fn cancel(&mut self, hands: &mut Hands<'_>) {
        hands.desk.cancel_preview();
        self.drag = None;
        self.cancelled = true;
        self.snapped = None;
    }

    fn click(&mut self, ctx: &egui::Context, floor: &Response, pointer: Pos2, hands: &mut Hands<'_>) {
        if floor.secondary_clicked() {
            let found = hit::hit(hands.scene, hands.layout, hands.view.selected, pointer);
            select(hands.view, found.map_or(Selected::Nothing, |h| h.target(hands.scene)));
        }
        if !floor.clicked() {
            return;
        }
        self.refused = None;
        if matches!(hands.view.tool, Tool::Pick(_) | Tool::Trace | Tool::Outline) {
            self.picked = Some(pointer);
            return;
        }
        let found = hit::hit(hands.scene, hands.layout, hands.view.selected, pointer);
        let adding = matches!(hands.view.tool, Tool::AddPoint(_))
            || floor.double_clicked()
            || ctx.input(|i| i.modifiers.command);
        if adding && self.add_point(pointer, found, hands) {
            return;
        }
        let target = found.map_or(Selected::Nothing, |h| h.target(hands.scene));
        select(hands.view, target);
        let held = matches!(found, Some(Hit::Handle(_) | Hit::Rail { .. }));
        floor::show::focus(ctx, held.then_some(target));
    }

    /// Adds a point where the pointer is; false if there is nothing to add one to.
    fn add_point(&mut self, pointer: Pos2, found: Option<Hit>, hands: &mut Hands<'_>) -> bool {
        let Some(window) = hands.layout.at(pointer) else { return false };
        let (line, at) = match (found, hands.view.tool) {
            (Some(Hit::Stroke { target: Selected::Line(line), at, .. }), _) => (line, at),
            (Some(Hit::Stroke { target: Selected::Section(section), at, .. }), _) => {
                return self.add_section_point(section, at, hands);
            }
            (Some(Hit::Stroke { target: Selected::Bench { item, view: View::Face }, at, .. }), _) => {
                return self.add_fuselage_point(item, at, hands);
            }
            (Some(Hit::Stroke { target: Selected::OnShell { item, .. }, view, at }), _) => {
                return self.add_opening_point(item, view, at, hands);
            }
            (_, Tool::AddPoint(Some(line))) => (line, window.model(pointer)),
            _ => return false,
        };
        let fits = if line == LineName::Breadth { View::Plan } else { View::Side };
        if window.view != fits {
            return false;
        }
        let value = if line == LineName::Breadth { at[1].max(0.0) } else { at[1] };
        let point = LinePoint { x: at[0], value, kind: LinePointKind::Smooth };
        let edit = Edit::AddLinePoint { form: hands.view.form, line, point };
        match hands.desk.apply(&edit) {
            Ok(()) => {
                let document = hands.desk.document().clone();
                let points = document.forms.get(hands.view.form).map(|f| f.lines.get(line).clone());
                let index = points.and_then(|l| l.points.iter().position(|p| *p == point));
                select(hands.view, index.map_or(Selected::Line(line), |point| Selected::LinePoint { line, point }));
            }
            Err(refused) => self.refused = Some(refused.to_string()),
        }
        true
    }

    /// Adds a measured point to one of the fuselage's sections.
    fn add_fuselage_point(&mut self, item: Item, at: [f64; 2], hands: &mut Hands<'_>) -> bool {
        let added = item.section().and_then(|which| floor::trace::add_point(hands.desk.document(), which, at));
        let Some((edit, item)) = added else { return false };
        match hands.desk.apply(&edit) {
            Ok(()) => select(hands.view, Selected::Bench { item, view: View::Face }),
            Err(refused) => self.refused = Some(refused.to_string()),
        }
        true
    }

    /// Adds a point to the drawn outline of an opening.
    fn add_opening_point(&mut self, item: OnShell, view: View, at: [f64; 2], hands: &mut Hands<'_>) -> bool {
        let added = on_shell::openings::with_point(hands.desk.document(), hands.view.form, item, view, at);
        let Some((edit, target)) = added else { return false };
        match hands.desk.apply(&edit) {
            Ok(()) => select(hands.view, target),
            Err(refused) => self.refused = Some(refused.to_string()),
        }
        true
    }

    fn add_section_point(&mut self, section: usize, [a, z]: [f64; 2], hands: &mut Hands<'_>) -> bool {
        let document = hands.desk.document().clone();
        let Some(control) = document.forms.get(hands.view.form).and_then(|f| f.sections.get(section)) else {
            return false;
        };
        let SectionShape::Shaped(unit) = &control.shape else { return false };
        let half_box = hands.derived.half_box(control.station);
        let Some([u, v]) = half_box.and_then(|b| b.unit([a.abs(), z])) else { return false };
        let Some(after) = arc_at(unit, [u, v]) else { return false };
        let edit = Edit::AddSectionPoint { form: hands.view.form, section, after, u, v, role: PointRole::Smooth };
        match hands.desk.apply(&edit) {
            Ok(()) => select(hands.view, Selected::SectionPoint { section, point: after + 1 }),
            Err(refused) => self.refused = Some(refused.to_string()),
        }
        true
    }
}

/// The arc whose ends embrace a place, by the angle about the box's middle, which runs on from crown to keel.
fn arc_at(unit: &project::document::UnitSection, at: [f64; 2]) -> Option<usize> {
    let angle = |[u, v]: [f64; 2]| u.max(0.0).atan2(v);
    let here = angle(at);
    let after = unit.points.iter().rposition(|p| angle([p.u, p.v]) <= here)?;
    Some(after.min(unit.arcs.len().saturating_sub(1)))
}

/// Selects something and shows what belongs to it.
pub(crate) fn select(view: &mut ViewState, target: Selected) {
    view.selected = target;
    view.spot = None;
    if let Selected::OnShell { item, .. } = target {
        view.shell = item.page();
    }
    match target {
        Selected::Station(station) => view.shown = Some(Shown::Station(station)),
        _ => {
            if let Some(section) = target.section() {
                view.shown = Some(Shown::Control(section));
            }
        }
    }
    view.tab = match target {
        Selected::Nothing => view.tab,
        Selected::Picture(_) | Selected::PicturePoint { .. } | Selected::OnPicture { .. } => Tab::Pictures,
        Selected::Bench { .. } => Tab::Bench,
        Selected::OnShell { .. } => Tab::Shell,
        Selected::Station(_) if view.tab == Tab::Stations => Tab::Stations,
        _ => Tab::Shape,
    };
}

fn rail_x(scene: &Scene, target: Selected) -> Option<f64> {
    scene.rails.iter().find(|r| r.target == target).map(|r| r.x)
}

/// The edit that puts what is dragged where it is now.
fn edit_for(drag: &Drag, form_index: usize, form: &Form, derived: &Derived) -> Option<Edit> {
    let [a, b] = drag.at;
    let form_edit = form_index;
    match drag.target {
        Selected::LinePoint { line, point } => {
            let room = form.lines.get(line).room(point);
            let x = a.clamp(room[0], room[1].max(room[0]));
            let value = if line == LineName::Breadth { b.max(0.0) } else { b };
            Some(Edit::MoveLinePoint { form: form_edit, line, point, x, value })
        }
        Selected::Station(station) => Some(Edit::MoveStation { form: form_edit, station, x: a }),
        Selected::Section(section) => Some(Edit::MoveSection { form: form_edit, section, station: a }),
        Selected::SectionPoint { section, point } => {
            section_point_edit(form_edit, form, derived, section, point, [-a, b])
        }
        Selected::Arc { section, arc } => {
            let control = form.sections.get(section)?;
            let SectionShape::Shaped(unit) = &control.shape else { return None };
            let at = derived.half_box(control.station)?.unit([-a, b])?;
            let shoulder = shoulder::of(control).get(arc).copied().flatten()?;
            let kind = shoulder.kind_through(*unit.arcs.get(arc)?, at);
            Some(Edit::SetArc { form: form_edit, section, arc, kind })
        }
        Selected::Nothing
        | Selected::Line(_)
        | Selected::Bench { .. }
        | Selected::OnShell { .. }
        | Selected::Picture(_)
        | Selected::PicturePoint { .. }
        | Selected::OnPicture { .. } => None,
    }
}

/// The edit that puts a point of a shaped section at (half-breadth, height) in mm. A mark lies on the master lines, so
/// these are led through the place.
pub(crate) fn section_point_edit(
    form_index: usize,
    form: &Form,
    derived: &Derived,
    section: usize,
    point: usize,
    [y, z]: [f64; 2],
) -> Option<Edit> {
    let control = form.sections.get(section)?;
    let SectionShape::Shaped(unit) = &control.shape else { return None };
    let y = y.max(0.0);
    match unit.points.get(point)?.role {
        PointRole::Crown => set_line_at(form_index, form, control.station, &[(LineName::Crown, z)]),
        PointRole::Keel => set_line_at(form_index, form, control.station, &[(LineName::Keel, z)]),
        PointRole::Breadth { .. } => {
            let values = [(LineName::Breadth, y), (LineName::BreadthHeight, z)];
            set_line_at(form_index, form, control.station, &values)
        }
        PointRole::Smooth | PointRole::Knuckle { .. } => {
            let [u, v] = derived.half_box(control.station)?.unit([y, z])?;
            Some(Edit::MoveSectionPoint { form: form_index, section, point, u, v })
        }
    }
}

/// Leads master lines through values at one station: moves the point that is there, or adds one.
fn set_line_at(form: usize, document_form: &Form, x: f64, values: &[(LineName, f64)]) -> Option<Edit> {
    let edits: Vec<Edit> = values
        .iter()
        .map(|&(line, value)| {
            let points = &document_form.lines.get(line).points;
            match points.iter().position(|p| (p.x - x).abs() < 0.05) {
                Some(point) => Edit::MoveLinePoint { form, line, point, x: points[point].x, value },
                None => Edit::AddLinePoint { form, line, point: LinePoint { x, value, kind: LinePointKind::Smooth } },
            }
        })
        .collect();
    let label = match values {
        [(line, _)] => format!("Move {} at a section", line.label().to_lowercase()),
        _ => "Move breadth at a section".to_owned(),
    };
    Some(Edit::Together { label, edits })
}

/// Places a drag may snap to: per axis, a value and its name.
#[derive(Debug, Default)]
struct Candidates {
    stations: Vec<(f64, String)>,
    points: [Vec<(f64, String)>; 2],
}

fn candidates(scene: &Scene, drag: &Drag) -> Candidates {
    let mut found = Candidates::default();
    if matches!(drag.view, View::Side | View::Plan) {
        for rail in scene.rails.iter().filter(|r| r.target != drag.target) {
            let kind = if rail.control { "section" } else { "station" };
            found.stations.push((rail.x, format!("{kind} {}", rail.name)));
        }
        found.points[0].push((0.0, "datum".into()));
    }
    for handle in scene.handles.iter().filter(|h| !h.target.is_same_as(drag.target)) {
        let same_x = matches!(drag.view, View::Side | View::Plan) && matches!(handle.view, View::Side | View::Plan);
        if same_x || handle.view == drag.view {
            found.points[0].push((handle.at[0], handle.label.clone()));
        }
        let heights = matches!(drag.view, View::Side | View::Face) && matches!(handle.view, View::Side | View::Face);
        if handle.view == drag.view || heights {
            found.points[1].push((handle.at[1], handle.label.clone()));
        }
    }
    found.points[1].push((0.0, if drag.view == View::Plan { "centre plane" } else { "datum waterline" }.into()));
    found
}

/// The nearest candidates on each axis, or the free place.
fn snap(
    free: [f64; 2],
    reach: [f64; 2],
    target: Selected,
    on: Snap,
    candidates: &Candidates,
) -> ([f64; 2], Option<String>) {
    let mut at = free;
    let mut names = Vec::new();
    for axis in 0..2 {
        // A station or section moves along x alone.
        if axis == 1 && matches!(target, Selected::Station(_) | Selected::Section(_)) {
            continue;
        }
        let stations = candidates.stations.iter().filter(|_| axis == 0 && on.stations);
        let points = candidates.points[axis].iter().filter(|_| on.points);
        let near = stations
            .chain(points)
            .map(|(value, name)| ((value - free[axis]).abs(), *value, name))
            .filter(|(distance, ..)| *distance < reach[axis])
            .min_by(|a, b| a.0.total_cmp(&b.0));
        if let Some((_, value, name)) = near {
            at[axis] = value;
            names.push(name.clone());
        } else if on.grid {
            at[axis] = free[axis].round();
            names.push("1 mm grid".to_owned());
        }
    }
    names.dedup();
    (at, (!names.is_empty()).then(|| names.join(" and ")))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn candidates() -> Candidates {
        Candidates {
            stations: vec![(60.0, "station 3".into())],
            points: [vec![(100.0, "Crown point 2".into())], vec![(0.0, "datum waterline".into())]],
        }
    }

    #[test]
    fn a_drag_snaps_per_axis_and_only_when_near() {
        let target = Selected::LinePoint { line: LineName::Crown, point: 0 };
        let on = Snap { points: true, stations: true, grid: false };
        let (at, name) = snap([61.0, 40.0], [2.0, 2.0], target, on, &candidates());
        assert_eq!(at, [60.0, 40.0]);
        assert_eq!(name.as_deref(), Some("station 3"));
        let (at, _) = snap([70.0, 0.5], [2.0, 2.0], target, on, &candidates());
        assert_eq!(at, [70.0, 0.0]);
        let off = Snap { points: false, stations: false, grid: false };
        assert_eq!(snap([61.0, 0.5], [2.0, 2.0], target, off, &candidates()), ([61.0, 0.5], None));
    }

    #[test]
    fn the_grid_takes_what_is_near_nothing_else() {
        let target = Selected::Station(0);
        let on = Snap { points: false, stations: false, grid: true };
        let (at, _) = snap([61.3, 7.7], [2.0, 2.0], target, on, &candidates());
        assert_eq!(at, [61.0, 7.7]);
    }
}
