//! Puts the floor into the window: drawing, and handles for keyboard and assistive technology.

use crate::app::{App, floor_id};
use crate::floor::draw::{self, Look};
use crate::floor::layout::{Layout, View};
use crate::floor::scene::Handle;
use crate::gesture::select;
use crate::slate::Ask;
use crate::theme::Theme;
use crate::view::Shown;
use crate::{card, comb, pictures, plots};
use egui::{CursorIcon, EventFilter, Id, Rect, Role, Sense, Ui, Vec2, WidgetInfo};

/// Draws the floor.
pub(crate) fn show(ui: &mut Ui, app: &mut App, theme: &'static Theme, asks: &mut Vec<Ask>) {
    let rect = ui.max_rect();
    if app.floor != Some(rect) {
        app.view.fit_wanted |= app.floor.is_none() || app.view.fitted;
        app.floor = Some(rect);
        ui.ctx().request_repaint();
    }
    let response = ui.interact(rect, floor_id(), Sense::CLICK | Sense::DRAG);
    response.widget_info(|| WidgetInfo::labeled(Role::Canvas, true, "The floor"));
    let Some(layout) = app.layout() else { return };
    let hovered = app.gesture.hover.map(|h| h.target(&app.scene));
    let look = Look { theme, layout: &layout, units: app.view.units, selected: app.view.selected, hovered };
    let painter = ui.painter_at(rect);
    draw::ground(&painter, &look);
    pictures::draw(&painter, app, &layout, theme);
    draw::rails(&painter, &app.scene, &look);
    draw::strokes(&painter, &app.scene, &look);
    comb(&painter, app, &look);
    projections(&painter, app, &look);
    draw::handles(&painter, &app.scene, &look);
    pictures::draw_marks(&painter, app, &layout, theme);
    draw::ruler(&painter, &look);
    draw::stations_strip(&painter, &app.scene, &look);
    draw::heights_gap(&painter, &look);
    draw::titles(&painter, &look, &face_note(app));
    plots::areas(ui, &layout, theme, &app.derived, app.view.units);
    handles(ui, app, &layout);
    card::show(ui, app, theme, asks);
    cursor(ui, app, &response);
}

/// Which section the face view shows.
fn face_note(app: &App) -> String {
    let shown = match app.view.shown {
        Some(Shown::Control(section)) => format!("section {}", crate::floor::scene::letter(section)),
        Some(Shown::Station(station)) => format!("station {}", station + 1),
        None => "all sections".to_owned(),
    };
    format!("← starboard, looking aft: {shown}")
}

fn comb(painter: &egui::Painter, app: &App, look: &Look<'_>) {
    if !app.view.comb {
        return;
    }
    let form = app.form();
    let x = |shown| match shown {
        Shown::Control(section) => form.sections.get(section).map(|s| s.station),
        Shown::Station(station) => form.stations.get(station).copied(),
    };
    comb::draw(painter, look.layout, look.theme, &app.derived, app.view.selected, app.view.shown, x);
}

fn projections(painter: &egui::Painter, app: &App, look: &Look<'_>) {
    let place = match (app.gesture.drag, app.gesture.hover) {
        (Some(drag), _) => Some((drag.view, drag.at)),
        (None, Some(crate::floor::hit::Hit::Handle(index))) => {
            app.scene.handles.get(index).map(|h: &Handle| (h.view, h.at))
        }
        _ => None,
    };
    if let Some((view, at)) = place {
        let breadth = (view == View::Side).then(|| app.derived.value(project::document::LineName::Breadth, at[0]));
        draw::projections(painter, look, view, at, breadth.flatten());
    }
}

/// A widget for every handle: found by name, reached by Tab, nudged by the arrow keys.
fn handles(ui: &Ui, app: &mut App, layout: &Layout) {
    let mut wanted = None;
    for handle in &app.scene.handles {
        let window = layout.window(handle.view);
        let at = window.screen(handle.at);
        if !window.rect.contains(at) {
            continue;
        }
        let id = handle_id(handle);
        let response = ui.interact(Rect::from_center_size(at, Vec2::splat(14.0)), id, Sense::FOCUSABLE);
        let chosen = handle.target == app.view.selected;
        response.widget_info(|| WidgetInfo::selected(Role::GraphicsSymbol, !handle.locked, chosen, &handle.label));
        if response.gained_focus() {
            wanted = Some(handle.target);
        }
        if response.has_focus() {
            let arrows = EventFilter { horizontal_arrows: true, vertical_arrows: true, ..EventFilter::default() };
            ui.memory_mut(|m| m.set_focus_lock_filter(id, arrows));
        }
    }
    if let Some(target) = wanted {
        select(&mut app.view, target);
    }
}

fn handle_id(handle: &Handle) -> Id {
    Id::unique(("handle", handle.target))
}

fn cursor(ui: &Ui, app: &App, floor: &egui::Response) {
    use crate::floor::hit::Hit;
    if !floor.hovered() && app.gesture.drag.is_none() {
        return;
    }
    let icon = match (app.gesture.drag.is_some(), app.gesture.hover, app.view.tool) {
        (true, ..) => CursorIcon::Grabbing,
        (_, Some(Hit::Handle(_)), _) => CursorIcon::Grab,
        (_, Some(Hit::Rail { tab: true, .. }), _) => CursorIcon::ResizeHorizontal,
        (_, _, crate::view::Tool::AddPoint(_) | crate::view::Tool::Pick(_)) => CursorIcon::Crosshair,
        (_, Some(_), _) => CursorIcon::PointingHand,
        _ => CursorIcon::Default,
    };
    ui.ctx().set_cursor_icon(icon);
}
