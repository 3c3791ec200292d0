//! Where cloth begins and which way its warp lies: handles in the views, and what drags and arrow keys make of them.

use super::ClothWork;
use crate::floor::layout::View;
use crate::floor::scene::{Handle, HandleShape, Scene, Stroke, StrokeKind};
use crate::on_shell::OnShell;
use crate::on_shell::heat::{VIEWS, flat, towards};
use crate::view::{Selected, ViewState};
use desk::shell::cloth::{ClothSurface, PlyToLay, resolved_start, start_at};
use form::space::{Vector, add, cross, dot, sub, times, unit};
use project::document::Document;
use project::edit::Edit;
use project::shell::Draping;
use shell::drape::At;

/// From the start to the handle of the way, mm: there one step of an arrow key, 1 mm, turns it by a degree.
const ARM: f64 = 57.3;
/// On a short form, as a share of its length.
const ARM_SHARE: f64 = 0.3;
/// A view that sees the cloth at the start nearly from its edge has no handle for the way: the least share that it shows.
const EDGE_ON: f64 = 0.2;

/// Where cloth begins, with the directions there.
struct Begun {
    at: At,
    place: Vector,
    /// The way forward, and square to it towards starboard on the crown, in the surface.
    ways: [Vector; 2],
    arm: f64,
}

impl Begun {
    fn of(surface: &ClothSurface, draping: &Draping) -> Option<Self> {
        let at = start_at(surface, draping).ok()?;
        let outside = &surface.outside;
        let ways = [0.0, 90.0].map(|deg| outside.start(at, deg).warp);
        let [low, high] = surface.stations;
        Some(Self { at, place: outside.place(at), ways, arm: ARM.min(ARM_SHARE * (high - low)) })
    }

    /// Outward.
    fn normal(&self) -> Vector {
        unit(cross(self.ways[1], self.ways[0]))
    }

    /// The way of the warp at an angle, of unit length.
    fn warp(&self, deg: f64) -> Vector {
        let (sin, cos) = deg.to_radians().sin_cos();
        add(times(self.ways[0], cos), times(self.ways[1], sin))
    }

    /// The angle of the warp that leads to a place of a view; `None` where the view sees it edge on.
    fn angle_to(&self, view: View, at: [f64; 2]) -> Option<f64> {
        let [f, r] = self.ways.map(|way| flat(view, way));
        let from = flat(view, self.place);
        let d = [at[0] - from[0], at[1] - from[1]];
        let det = f[0] * r[1] - f[1] * r[0];
        if det.abs() < EDGE_ON || d == [0.0, 0.0] {
            return None;
        }
        let (cos, sin) = ((d[0] * r[1] - d[1] * r[0]) / det, (f[0] * d[1] - f[1] * d[0]) / det);
        Some(sin.atan2(cos).to_degrees())
    }
}

/// Adds start and way of the chosen ply to the floor while the page is open.
pub(in crate::on_shell) fn add_to(scene: &mut Scene, document: &Document, view: &ViewState, work: &ClothWork) {
    if !super::is_open(view) {
        return;
    }
    let Some((surface, ply)) = work.surface().zip(work.chosen()) else { return };
    let Some(begun) = Begun::of(surface, &document.shell.draping) else { return };
    for view in VIEWS {
        strokes(scene, &begun, ply, view);
        handles(scene, &begun, ply, view);
    }
}

/// The first two yarns: the warp as far as its handle, the weft shorter.
fn strokes(scene: &mut Scene, begun: &Begun, ply: &PlyToLay, view: View) {
    let target = Some(Selected::OnShell { item: OnShell::ClothStart, view });
    for (deg, from, to) in [(ply.warp_deg, -0.4, 1.0), (ply.warp_deg + 90.0, -0.4, 0.4)] {
        let end = |share: f64| flat(view, add(begun.place, times(begun.warp(deg), share * begun.arm)));
        scene.strokes.push(Stroke { view, kind: StrokeKind::Shell, target, points: vec![end(from), end(to)] });
    }
}

fn handles(scene: &mut Scene, begun: &Begun, ply: &PlyToLay, view: View) {
    let mut push = |item: OnShell, at: Vector, shape: HandleShape, name: &str| {
        let seen = if dot(begun.normal(), towards(view)) < -0.05 { ", on the far side" } else { "" };
        scene.handles.push(Handle {
            view,
            at: flat(view, at),
            shape,
            target: Selected::OnShell { item, view },
            label: format!("{name}, {}{seen}", view.label().to_lowercase()),
            locked: false,
        });
    };
    push(OnShell::ClothStart, begun.place, HandleShape::Mark, "Start of the cloth");
    // A ply that is only taken for granted has no angle to be changed.
    if ply.ply.is_some() && dot(begun.normal(), towards(view)).abs() > EDGE_ON {
        let end = add(begun.place, times(begun.warp(ply.warp_deg), begun.arm));
        push(OnShell::ClothWay, end, HandleShape::Smooth, "Way of the warp");
    }
}

/// The edit that puts the start, or the handle of the way, at a place of a view.
pub(in crate::on_shell) fn edit_for(
    document: &Document,
    work: &ClothWork,
    item: OnShell,
    view: View,
    at: [f64; 2],
) -> Option<Edit> {
    let surface = work.surface()?;
    let begun = Begun::of(surface, &document.shell.draping)?;
    let mut shell = (*document.shell).clone();
    let label = match item {
        OnShell::ClothWay => {
            let ply = shell.laminate.plies.get_mut(work.chosen()?.ply?)?;
            ply.warp_deg = begun.angle_to(view, at)?;
            "Turn the cloth"
        }
        _ => {
            shell.draping.start = Some(start_towards(surface, &document.shell.draping, &begun, view, at)?);
            "Move the start of the cloth"
        }
    };
    Some(Edit::Together { label: label.into(), edits: vec![Edit::SetShell(shell)] })
}

/// Places round a section that are looked at for the one that is meant.
const ROUND: u32 = 96;
/// How far inside the ends the start stays, mm.
const INSIDE: f64 = 0.5;

/// The start nearest to a place of a view. Side view and plan keep the side of the form that it is on; in the face view it moves round
/// its station.
fn start_towards(
    surface: &ClothSurface,
    draping: &Draping,
    begun: &Begun,
    view: View,
    at: [f64; 2],
) -> Option<[f64; 2]> {
    let [low, high] = surface.stations;
    let station = if view == View::Face { resolved_start(surface, draping)[0] } else { at[0] };
    let station = station.clamp(low + INSIDE, (high - INSIDE).max(low + INSIDE));
    let outside = &surface.outside;
    let along = outside.at_station(station, outside.turn(begun.at))?[0];
    let place = |v: f64| outside.place([along, v]);
    let eye = towards(view);
    // On the edge between both sides it is the side that is turned to the eye.
    let facing = if dot(begun.normal(), eye) < -1e-3 { -1.0 } else { 1.0 };
    let far = |v: f64| {
        let p = flat(view, place(v));
        match view {
            View::Face => (p[0] - at[0]).hypot(p[1] - at[1]),
            _ => (p[1] - at[1]).abs(),
        }
    };
    let once = 2.0 * outside.keel();
    let step = once / f64::from(ROUND);
    let is_wanted = |v: f64| {
        let outward = unit(cross([1.0, 0.0, 0.0], sub(place(v + 0.01 * step), place(v - 0.01 * step))));
        view == View::Face || facing * dot(outward, eye) > -0.02
    };
    let tried = (0..ROUND).map(|k| f64::from(k) * step).filter(|v| is_wanted(*v));
    let best = tried.min_by(|a, b| far(*a).total_cmp(&far(*b)))?;
    let v = nearest(best - step, best + step, &|v| if is_wanted(v) { far(v) } else { far(v) + 1e3 });
    let turn = outside.turn([along, v]);
    // A whole turn is none.
    Some([station, if turn > 1.0 - 1e-9 { 0.0 } else { turn }])
}

/// Where a function with one least value between two places has it, by thirds.
fn nearest(mut from: f64, mut to: f64, far: &dyn Fn(f64) -> f64) -> f64 {
    for _ in 0..48 {
        let (a, b) = (from + (to - from) / 3.0, to - (to - from) / 3.0);
        if far(a) < far(b) { to = b } else { from = a }
    }
    0.5 * (from + to)
}
