//! Puts the light table into the window, at the left of the floor or in its place.

use super::draw::{self, Ground};
use super::marks::{self, Mark, OnPicture};
use super::{bar, following, hands, loupe, overlay, pulling};
use crate::app::App;
use crate::gesture::select;
use crate::slate::Ask;
use crate::theme::{self, Theme};
use crate::view::{Selected, Tool};
use egui::{Color32, CursorIcon, EventFilter, Frame, Id, Margin, Panel, Rect, Role, Sense, Ui, Vec2, WidgetInfo, pos2};

/// Share of the room that the picture takes beside the drawing.
const SHARE: f32 = 0.56;

/// The picture's widget.
pub(crate) fn table_id() -> Id {
    Id::unique("the light table")
}

/// The table beside the floor.
pub(crate) fn beside(ui: &mut Ui, app: &mut App, theme: &'static Theme, asks: &mut Vec<Ask>) {
    let room = ui.available_width();
    let frame = Frame::new().fill(theme.panel).inner_margin(Margin::ZERO);
    let panel = Panel::left("light table").frame(frame).resizable(true).default_size(room * SHARE);
    panel.size_range(220.0..=(room - 160.0).max(230.0)).show(ui, |ui| show(ui, app, theme, asks));
}

/// The table with its bar.
pub(crate) fn show(ui: &mut Ui, app: &mut App, theme: &'static Theme, asks: &mut Vec<Ask>) {
    ui.spacing_mut().item_spacing.y = 0.0;
    bar::show(ui, app, theme, asks);
    let rect = ui.available_rect_before_wrap();
    ui.allocate_rect(rect, Sense::hover());
    let Some(index) = app.table.picture else { return };
    let Some(picture) = app.desk.document().pictures.get(index).cloned() else { return };
    if app.table.sheet.fitted && app.table.place != Some(rect) {
        app.table.sheet.fit(rect, picture.size_px);
    }
    app.table.place = Some(rect);
    let response = ui.interact(rect, table_id(), Sense::CLICK | Sense::DRAG);
    response.widget_info(|| WidgetInfo::labeled(Role::Canvas, true, "The light table"));
    let painter = ui.painter_at(rect);
    painter.rect_filled(rect, 0.0, theme.floor);
    overlay::refresh(app);
    overlay::shade::refresh(app, ui.ctx(), rect, theme);
    let ground = Ground { painter: &painter, rect, theme, app, picture: &picture };
    paper(&ground);
    overlay::draw::shaded(&ground);
    overlay::draw::lines(&ground);
    draw::lines(&ground);
    super::solving::draw::under(&ground, index);
    super::landmarks::draw::under(&ground, index);
    super::flat::draw::figure(&ground);
    let marks = hands::shown_marks(app, &picture);
    overlay::draw::handles(&ground);
    overlay::draw::spot(&ground);
    draw::handles(&ground, &marks);
    super::solving::draw::over(&ground, index);
    following::draw::draw(&ground);
    super::tracing::preview::on_picture(&ground);
    draw::unfinished(&ground);
    loupe::draw(&ground);
    super::landmarks::draw::offers(ui, &ground, index, asks);
    widgets(ui, app, index, rect, &marks);
    overlay::missing::note(ui, app, rect, theme, asks);
    cursor(ui, app, &response);
}

/// The photograph, or why it cannot be shown.
fn paper(ground: &Ground<'_>) {
    let [w, h] = ground.picture.size_px.map(f64::from);
    let place = Rect::from_two_pos(ground.at([0.0, 0.0]), ground.at([w, h]));
    match ground.app.decoded.texture(ground.picture) {
        Some(texture) => {
            let whole = Rect::from_min_max(pos2(0.0, 0.0), pos2(1.0, 1.0));
            let strength = ground.app.table.shows.photograph.clamp(0.0, 1.0);
            let tint = Color32::from_white_alpha((255.0 * strength) as u8);
            ground.painter.image(texture.id(), place, whole, tint);
        }
        None => {
            let text = ground.app.decoded.failure(ground.picture).unwrap_or("Reading the picture…");
            let galley = ground.painter.layout(text.to_owned(), theme::small(), ground.theme.weak, 260.0);
            ground.painter.galley(ground.rect.center() - 0.5 * galley.size(), galley, ground.theme.weak);
        }
    }
}

/// A widget for every handle: found by name, reached by Tab, nudged by the arrow keys.
fn widgets(ui: &Ui, app: &mut App, picture: usize, rect: Rect, marks: &[Mark]) {
    let mut wanted = None;
    for mark in marks {
        let at = app.table.sheet.screen(rect, mark.at);
        if !rect.contains(at) {
            continue;
        }
        let id = widget_id(mark.what);
        let response = ui.interact(Rect::from_center_size(at, Vec2::splat(14.0)), id, Sense::FOCUSABLE);
        let chosen = super::selected(app) == Some(mark.what);
        response.widget_info(|| WidgetInfo::selected(Role::GraphicsSymbol, true, chosen, &mark.label));
        if response.gained_focus() {
            wanted = Some(mark.what);
        }
        if response.has_focus() {
            let arrows = EventFilter { horizontal_arrows: true, vertical_arrows: true, ..EventFilter::default() };
            ui.memory_mut(|m| m.set_focus_lock_filter(response.id, arrows));
        }
    }
    if let Some(what) = wanted {
        select(&mut app.view, Selected::OnPicture { picture, what });
    }
}

fn widget_id(what: OnPicture) -> Id {
    Id::unique(("on the light table", what))
}

/// Whether the keyboard's focus lies on something on the table.
pub(crate) fn holds_focus(app: &App, id: Id) -> bool {
    let Some(p) = app.table.picture.and_then(|p| app.desk.document().pictures.get(p)) else { return false };
    marks::of(&p.photograph).iter().any(|m| widget_id(m.what) == id)
}

/// Reads the pointer on the table, before anything is drawn.
pub(crate) fn gestures(app: &mut App, ctx: &egui::Context) {
    if let Some(response) = ctx.read_response(table_id()) {
        hands::run(app, ctx, &response);
    }
}

/// What the pointer is over on the picture, and what can be done with it, for the status line.
pub(crate) fn says(app: &App) -> Option<String> {
    let picture = app.table.picture.and_then(|p| app.desk.document().pictures.get(p))?;
    let Some(what) = app.table.hands.hover.filter(|_| !super::picking::is_picking(app)) else {
        return pulling::says(app);
    };
    let label = hands::shown_marks(app, picture).into_iter().find(|m| m.what == what)?.label;
    let pixel = app.table.hands.pointer?;
    let both = pulling::is_at(app, pixel);
    Some(if both { format!("{label}; Shift takes the form under it") } else { label })
}

/// Where the pointer is on the picture.
pub(crate) fn pointer_text(app: &App, at: egui::Pos2) -> Option<String> {
    let rect = app.table.place.filter(|rect| app.table.is_open() && rect.contains(at))?;
    let [x, y] = app.table.sheet.px(rect, at);
    Some(format!("pixel {x:.1}, {y:.1}"))
}

fn cursor(ui: &Ui, app: &App, table: &egui::Response) {
    if !table.hovered() && app.table.hands.is_free() {
        return;
    }
    let icon = match (app.table.hands.is_free(), app.table.hands.hover, app.view.tool) {
        (false, ..) => CursorIcon::Grabbing,
        (_, _, Tool::Mark(_)) => CursorIcon::Crosshair,
        (_, Some(_), _) => CursorIcon::Grab,
        _ if app.table.hands.pulling.can_pull() => CursorIcon::Grab,
        _ if app.table.hands.pulling.is_over() => CursorIcon::PointingHand,
        _ if app.table.hands.is_panning() => CursorIcon::AllScroll,
        _ => CursorIcon::Default,
    };
    ui.ctx().set_cursor_icon(icon);
}
