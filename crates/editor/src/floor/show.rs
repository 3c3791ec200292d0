//! Puts the floor into the window: drawing, and handles for keyboard and assistive technology.

use crate::app::{App, floor_id};
use crate::commands::Command;
use crate::floor::draw::{self, Look};
use crate::floor::layout::{Layout, View};
use crate::floor::sanded::{self, Sanded};
use crate::floor::scene::{Handle, Rail};
use crate::floor::solved;
use crate::floor::spot;
use crate::floor::trace;
use crate::gesture::select;
use crate::planning::Age;
use crate::slate::Ask;
use crate::theme::{self, Theme};
use crate::view::{Selected, Shown, Tool};
use crate::{bars, card, comb, pictures, plots};
use egui::{CursorIcon, EventFilter, Id, Rect, Role, Sense, Ui, Vec2, WidgetInfo, pos2, vec2};
use project::document::LineName;

/// Draws the floor.
pub(crate) fn show(ui: &mut Ui, app: &mut App, theme: &'static Theme, asks: &mut Vec<Ask>) {
    let rect = ui.max_rect();
    if app.floor != Some(rect) {
        app.view.fit_wanted |= app.view.fitted;
        app.floor = Some(rect);
        ui.ctx().request_repaint();
    }
    let response = ui.interact(rect, floor_id(), Sense::CLICK | Sense::DRAG);
    response.widget_info(|| WidgetInfo::labeled(Role::Canvas, true, "The floor"));
    context_menu(&response, app, asks);
    let Some(layout) = app.layout() else { return };
    let hovered = app.gesture.hover.map(|h| h.target(&app.scene)).or(app.table.hands.pulling.lit());
    let look = Look { theme, layout: &layout, units: app.view.units, selected: app.view.selected, hovered };
    let painter = ui.painter_at(rect);
    draw::ground(&painter, &look);
    pictures::draw(&painter, app, &layout, theme);
    crate::on_shell::paint_under(&painter, app, &look);
    draw::rails(&painter, &app.scene, &look);
    draw::strokes(&painter, &app.scene, &look, &|line| !solved::hides(app, line));
    solved::draw(&painter, app, &look);
    comb(&painter, app, &look);
    sanded(&painter, app, &look);
    projections(&painter, app, &look);
    draw::handles(&painter, &app.scene, &look);
    if let Some(spot) = app.view.spot {
        spot::draw(&painter, &look, spot);
    }
    pictures::draw_marks(&painter, app, &layout, theme);
    trace::draw(&painter, app, &layout, theme);
    crate::on_shell::openings::drawing::draw(&painter, app, &layout, theme);
    crate::light_table::tracing::preview::on_floor(&painter, app, &layout, theme);
    draw::ruler(&painter, &look);
    draw::stations_strip(&painter, &app.scene, &look);
    draw::heights_gap(&painter, &look);
    draw::titles(&painter, &look, &face_note(app));
    plots::areas(ui, &layout, theme, &app.derived, app.view.units);
    hint(&painter, app, &look);
    landing(&painter, &look);
    handles(ui, app, &layout);
    pictures::reference_card(ui, app, theme);
    card::show(ui, app, theme, asks);
    crate::on_shell::cloth::flat::card(ui, app, theme, asks);
    cursor(ui, app, &response);
}

/// What can be done with what was clicked by the other button.
fn context_menu(floor: &egui::Response, app: &App, asks: &mut Vec<Ask>) {
    let commands: &[Command] = match app.view.selected {
        Selected::LinePoint { .. } => &[Command::Smooth, Command::Corner, Command::Slope, Command::Delete],
        Selected::Line(_) => &[Command::PointInGap, Command::Comb],
        Selected::SectionPoint { .. } => &[Command::Smooth, Command::Corner, Command::Delete],
        Selected::Section(_) | Selected::Arc { .. } => {
            &[Command::CopySection, Command::Unpin, Command::Comb, Command::Delete]
        }
        Selected::Station(_) => &[Command::AddSection, Command::Delete],
        Selected::Bench { .. } => &[Command::Delete, Command::Fit],
        Selected::OnShell { .. } => {
            &[Command::Smooth, Command::Corner, Command::CopyOpening, Command::OpenAdded, Command::Delete, Command::Fit]
        }
        Selected::Picture(_) | Selected::PicturePoint { .. } | Selected::OnPicture { .. } => {
            &[Command::ScalePicture, Command::LevelPicture, Command::DatumPicture, Command::CheckPicture]
        }
        Selected::Nothing => &[Command::AddSection, Command::AddStation, Command::Fit, Command::Fold],
    };
    floor.context_menu(|ui| {
        for command in commands.iter().filter(|c| bars::can(app, **c)) {
            let entry = command.entry();
            if ui.button(entry.name).on_hover_text(entry.tip).clicked() {
                asks.push(Ask::Command(*command));
                ui.close();
            }
        }
    });
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

/// What was measured after sanding belongs to the plug of the first form.
fn sanded(painter: &egui::Painter, app: &App, look: &Look<'_>) {
    let Some(planning) = app.planning.as_ref().filter(|_| app.view.form == 0) else { return };
    let Some(planned) = planning.planned() else { return };
    let form = app.form();
    let shown = app.view.shown.and_then(|shown| match shown {
        Shown::Control(section) => form.sections.get(section).map(|s| s.station),
        Shown::Station(station) => form.stations.get(station).copied(),
    });
    let old = planning.age() != Age::Fresh;
    let sanded = Sanded { deviations: &planned.plan.gauges.deviations, old, shown };
    sanded::draw(painter, look, &sanded);
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
        let breadth = (view == View::Side).then(|| app.derived.value(LineName::Breadth, at[0]));
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
        let id = widget_id(handle.target);
        let response = ui.interact(Rect::from_center_size(at, Vec2::splat(14.0)), id, Sense::FOCUSABLE);
        let chosen = handle.target == app.view.selected;
        response.widget_info(|| WidgetInfo::selected(Role::GraphicsSymbol, !handle.locked, chosen, &handle.label));
        if response.gained_focus() {
            wanted = Some(handle.target);
        }
        keep_arrows(ui, &response);
    }
    for rail in &app.scene.rails {
        let x = layout.side.screen([rail.x, 0.0]).x;
        if !layout.stations.x_range().contains(x) {
            continue;
        }
        let middle = layout.stations.top() + layout.stations.height() * if rail.control { 0.26 } else { 0.73 };
        let place = Rect::from_center_size(pos2(x, middle), vec2(15.0, 13.0));
        let id = widget_id(rail.target);
        let response = ui.interact(place, id, Sense::FOCUSABLE);
        let label = rail_name(app, rail);
        let chosen = rail.target == app.view.selected;
        response.widget_info(|| WidgetInfo::selected(Role::GraphicsSymbol, true, chosen, &label));
        if response.gained_focus() {
            wanted = Some(rail.target);
        }
        keep_arrows(ui, &response);
    }
    if let Some(target) = wanted {
        select(&mut app.view, target);
    }
}

/// The arrow keys move what is focused here, not the focus.
fn keep_arrows(ui: &Ui, response: &egui::Response) {
    if response.has_focus() {
        let arrows = EventFilter { horizontal_arrows: true, vertical_arrows: true, ..EventFilter::default() };
        ui.memory_mut(|m| m.set_focus_lock_filter(response.id, arrows));
    }
}

/// On an empty floor: what to do first, where it is done.
fn hint(painter: &egui::Painter, app: &App, look: &Look<'_>) {
    let form = app.form();
    let empty = LineName::ALL.iter().all(|line| form.lines.get(*line).points.is_empty());
    if !empty || !app.desk.document().pictures.is_empty() || app.view.tool != Tool::Select {
        return;
    }
    let rect = look.layout.side.rect;
    let text = "Drop a side picture here, or follow the list on the right.";
    let galley = painter.layout(text.to_owned(), theme::small(), look.theme.weak, rect.width() - 40.0);
    let at = rect.center() - 0.5 * galley.size() - vec2(0.0, 40.0);
    painter.rect_filled(Rect::from_min_size(at, galley.size()).expand(6.0), 3.0, look.theme.floor);
    painter.galley(at, galley, look.theme.weak);
}

/// While files hang over the window: what letting go would do.
fn landing(painter: &egui::Painter, look: &Look<'_>) {
    if painter.ctx().input(|i| i.raw.hovered_files.is_empty()) {
        return;
    }
    let rect = look.layout.floor;
    painter.rect_filled(rect, 0.0, look.theme.floor.gamma_multiply(0.7));
    painter.rect_stroke(rect.shrink(8.0), 4.0, egui::Stroke::new(2.0, look.theme.accent), egui::StrokeKind::Inside);
    let text = "Let go to bring in the picture, to open the project, or to read points (CSV).";
    painter.text(rect.center(), egui::Align2::CENTER_CENTER, text, theme::bold(theme::TITLE), look.theme.text);
}

/// The widget of something on the floor.
fn widget_id(target: Selected) -> Id {
    Id::unique(("on the floor", target))
}

/// Whether the keyboard's focus lies on something on the floor.
pub(crate) fn holds_focus(app: &App, id: Id) -> bool {
    let handles = app.scene.handles.iter().map(|h| h.target);
    handles.chain(app.scene.rails.iter().map(|r| r.target)).any(|target| widget_id(target) == id)
}

/// Gives the keyboard's focus to something on the floor, or takes it from wherever it is.
pub(crate) fn focus(ctx: &egui::Context, target: Option<Selected>) {
    ctx.memory_mut(|m| match (target, m.focused()) {
        (Some(target), _) => m.request_focus(widget_id(target)),
        (None, Some(id)) => m.surrender_focus(id),
        (None, None) => {}
    });
}

/// What something on the floor is called.
pub(crate) fn name_of(app: &App, target: Selected) -> Option<String> {
    let scene = &app.scene;
    if let Some(handle) = scene.handles.iter().find(|h| h.target == target) {
        let held = if handle.locked { ", held by a pinned section" } else { "" };
        return Some(format!("{}{held}", handle.label));
    }
    if let Some(rail) = scene.rails.iter().find(|r| r.target == target) {
        return Some(rail_name(app, rail));
    }
    match target {
        Selected::Line(line) => Some(line.label().to_owned()),
        _ => None,
    }
}

fn rail_name(app: &App, rail: &Rail) -> String {
    let kind = if rail.control { "Section" } else { "Station" };
    format!("{kind} {} at {}", rail.name, app.view.units.length(rail.x))
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
        (_, _, Tool::AddPoint(_) | Tool::Pick(_) | Tool::Trace | Tool::Outline) => CursorIcon::Crosshair,
        (_, Some(_), _) => CursorIcon::PointingHand,
        _ => CursorIcon::Default,
    };
    ui.ctx().set_cursor_icon(icon);
}
