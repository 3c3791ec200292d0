//! The bar with the menus above the floor and the status line under it.

use crate::app::App;
use crate::commands::{self, Command, Menu};
use crate::on_shell::OnShell;
use crate::planning::{Age, Planning};
use crate::slate::Ask;
use crate::theme::{self, Theme};
use crate::view::{Fold, PickPurpose, Tool};
use crate::{findings, floor};
use egui::{Align, Button, Frame, Layout, Margin, Panel, RichText, Ui};
use project::document::{Picture, PictureView};

/// Menus, undo and the views.
pub(crate) fn top(ui: &mut Ui, app: &App, theme: &'static Theme, asks: &mut Vec<Ask>) {
    let frame = Frame::new().fill(theme.panel).inner_margin(Margin::symmetric(10, 5));
    Panel::top("top bar").frame(frame).show(ui, |ui| {
        egui::MenuBar::new().ui(ui, |ui| {
            for menu in Menu::ALL {
                menu_button(ui, app, menu, asks);
            }
            ui.separator();
            tools(ui, app, asks);
            find(ui, theme, asks);
        });
    });
}

fn find(ui: &mut Ui, theme: &Theme, asks: &mut Vec<Ask>) {
    ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
        let list = Command::List.entry();
        let key = list.keys().first().map(|k| ui.ctx().format_shortcut(k)).unwrap_or_default();
        let narrow = ui.ctx().content_rect().width() < 820.0;
        let label = if narrow { key } else { format!("Find a command   {key}") };
        let button = ui.button(RichText::new(label).color(theme.weak)).on_hover_text(list.tip);
        if button.accessible_name("Find a command").clicked() {
            asks.push(Ask::Command(Command::List));
        }
    });
}

/// The projects that were open last.
fn recent(ui: &mut Ui, app: &App, asks: &mut Vec<Ask>) {
    let Some(state) = &app.state else { return };
    ui.menu_button("Open again", |ui| {
        for path in desk::recent_projects(state) {
            let name = path.file_name().map_or_else(String::new, |n| n.to_string_lossy().into_owned());
            if ui.button(name).on_hover_text(path.display().to_string()).clicked() {
                asks.push(Ask::Open(path));
                ui.close();
            }
        }
    });
}

fn menu_button(ui: &mut Ui, app: &App, menu: Menu, asks: &mut Vec<Ask>) {
    ui.menu_button(menu.label(), |ui| {
        ui.set_min_width(250.0);
        if menu == Menu::Project {
            recent(ui, app, asks);
        }
        for entry in commands::ALL.iter().filter(|e| e.menu == menu) {
            let key = entry.keys().first().map(|k| ui.ctx().format_shortcut(k)).unwrap_or_default();
            let name = name_of(app, entry.command).unwrap_or_else(|| entry.name.to_owned());
            let button = Button::new(name).shortcut_text(key).selected(is_on(app, entry.command));
            if ui.add_enabled(can(app, entry.command), button).on_hover_text(entry.tip).clicked() {
                asks.push(Ask::Command(entry.command));
                ui.close();
            }
        }
    });
}

/// Undo and redo say what they would take back.
fn name_of(app: &App, command: Command) -> Option<String> {
    match command {
        Command::Undo => app.desk.undo_label().map(|l| format!("Undo: {l}")),
        Command::Redo => app.desk.redo_label().map(|l| format!("Redo: {l}")),
        _ => None,
    }
}

/// Whether a command can do anything now.
pub(crate) fn can(app: &App, command: Command) -> bool {
    use crate::view::Selected as S;
    let of_the_floor = matches!(command.entry().menu, Menu::Lines | Menu::Sections | Menu::Pictures | Menu::Shell);
    if app.sheets.is_some() && (of_the_floor || command == Command::Delete) {
        return false;
    }
    match command {
        Command::Undo => app.desk.undo_label().is_some(),
        Command::Redo => app.desk.redo_label().is_some(),
        Command::Delete => match app.view.selected {
            S::PicturePoint { purpose, .. } => purpose == PickPurpose::Check,
            other => !matches!(other, S::Nothing | S::Line(_) | S::Arc { .. }),
        },
        Command::Smooth | Command::Corner => {
            let of_outline = app.view.selected.on_shell().is_some_and(OnShell::is_outline_point);
            of_outline || matches!(app.view.selected, S::LinePoint { .. } | S::SectionPoint { .. })
        }
        Command::Slope => matches!(app.view.selected, S::LinePoint { .. }),
        Command::PointInGap => app.view.selected.line().is_some(),
        Command::Unpin => is_pinned(app),
        Command::GoOnTracing | Command::FollowEdge => crate::light_table::tracing::selected(app).is_some(),
        Command::PlanPlug => app.derived.loft().is_some() && !has_a_stack(app),
        Command::CopyOpening => matches!(app.view.selected.on_shell(), Some(OnShell::Opening { .. })),
        Command::OpenAdded => matches!(app.view.selected.on_shell(), Some(OnShell::Added { .. })),
        Command::FirstForm => app.view.form != 0,
        Command::AddIntake | Command::AddOutlet | Command::DrawOpening => app.derived.loft().is_some(),
        Command::CopySection => app.view.selected.section().is_some(),
        Command::Reference => {
            let is_reference = |p: &std::sync::Arc<Picture>| p.view == PictureView::Reference;
            app.desk.document().pictures.iter().any(is_reference)
        }
        Command::ScalePicture
        | Command::CheckPicture
        | Command::LevelPicture
        | Command::DatumPicture
        | Command::LightTable
        | Command::PickLandmarks
        | Command::TraceOutline
        | Command::TraceSeam
        | Command::MarkDistance
        | Command::MarkStraight
        | Command::MarkFigure
        | Command::SolveSections => !app.desk.document().pictures.is_empty(),
        _ => true,
    }
}

/// Whether the plug of the form that is shown is built as a stack.
fn has_a_stack(app: &App) -> bool {
    let own = || app.form().build.as_ref().is_some_and(|build| build.stack.used);
    if app.view.form == 0 { app.desk.document().build.stack.used } else { own() }
}

fn is_pinned(app: &App) -> bool {
    let section = app.view.selected.section().and_then(|s| app.form().sections.get(s).cloned());
    section.is_some_and(|s| matches!(s.shape, project::document::SectionShape::Pinned(_)))
}

/// Whether a command that switches something is on.
fn is_on(app: &App, command: Command) -> bool {
    let view = &app.view;
    match command {
        Command::Select => view.tool == Tool::Select,
        Command::AddPoint => view.tool == Tool::AddPoint(None),
        Command::Even => view.fold == Fold::Even,
        Command::GrowSide => view.fold == Fold::Side,
        Command::GrowPlan => view.fold == Fold::Plan,
        Command::GrowFace => view.fold == Fold::Face,
        Command::GrowBody => view.fold == Fold::Body,
        Command::Card => view.card.open,
        Command::CardLarge => view.card.large,
        Command::Reference => view.reference.open,
        Command::Areas => view.areas,
        Command::Comb => view.comb,
        Command::Findings => view.findings,
        Command::Loupe => !app.table.no_loupe,
        Command::SnapOn => view.snap.points,
        Command::Grid => view.snap.grid,
        Command::Inches => view.units == crate::units::Units::Inch,
        _ => false,
    }
}

fn tools(ui: &mut Ui, app: &App, asks: &mut Vec<Ask>) {
    let width = ui.ctx().content_rect().width();
    let mut button = |label: &str, command: Command, on: bool| {
        let entry = command.entry();
        let key = entry.keys().first().map(|k| ui.ctx().format_shortcut(k)).unwrap_or_default();
        let button = Button::new(label).selected(on);
        let response = ui.add_enabled(can(app, command), button).on_hover_text(format!("{}\n{key}", entry.tip));
        if response.clicked() {
            asks.push(Ask::Command(command));
        }
    };
    button("Undo", Command::Undo, false);
    button("Redo", Command::Redo, false);
    // At large type on a small screen the menus and keys have to do.
    if width < 820.0 {
        return;
    }
    button("Select", Command::Select, app.view.tool == Tool::Select);
    button("Add points", Command::AddPoint, matches!(app.view.tool, Tool::AddPoint(_)));
    button("Fit", Command::Fit, false);
    button("Fold", Command::Fold, app.view.fold != Fold::Even);
}

/// Where the pointer is, what it would snap to, the zoom, and the last message.
pub(crate) fn status(ui: &mut Ui, app: &App, theme: &'static Theme, asks: &mut Vec<Ask>) {
    let frame = Frame::new().fill(theme.panel).inner_margin(Margin::symmetric(10, 3));
    Panel::bottom("status").frame(frame).exact_size(26.0).show(ui, |ui| {
        ui.spacing_mut().button_padding = egui::Vec2::ZERO;
        ui.spacing_mut().interact_size.y = 16.0;
        ui.spacing_mut().item_spacing.x = 14.0;
        // What is short and always there keeps its room; what is said last takes the rest.
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            standing(ui, app, theme, asks);
            ui.with_layout(Layout::left_to_right(Align::Center), |ui| said(ui, app, theme));
        });
    });
}

fn small(text: impl Into<String>) -> RichText {
    RichText::new(text).font(theme::small())
}

fn standing(ui: &mut Ui, app: &App, theme: &'static Theme, asks: &mut Vec<Ask>) {
    let roomy = ui.available_width() > 700.0;
    if roomy {
        ui.label(small(format!("1 mm = {:.2} px", app.view.camera.scale)).color(theme.weak));
        let snap = match (app.view.snap.points, app.view.snap.grid) {
            (true, true) => "snap: points, stations, whole mm",
            (true, false) => "snap: points, stations",
            (false, true) => "snap: whole mm",
            (false, false) => "snap off",
        };
        ui.label(small(snap).color(theme.weak));
    }
    planning(ui, app, theme, asks);
    if let Some(found) = &app.findings {
        let text = small(findings::summary(app, found)).color(findings::gravest(app, found, theme));
        if ui.add(Button::new(text).frame(false)).on_hover_text(Command::Findings.entry().tip).clicked() {
            asks.push(Ask::Command(Command::Findings));
        }
    }
    reading(ui, app, theme, asks);
}

/// While the plug is planned: how far it is, and a way to give that up.
fn planning(ui: &mut Ui, app: &App, theme: &Theme, asks: &mut Vec<Ask>) {
    let used = app.desk.document().build.stack.used;
    let (text, button, tip, stop) = match app.planning.as_ref().filter(|_| used).map(Planning::age) {
        Some(Age::Old(share)) => {
            let text = format!("planning the plug: {:.0} %", 100.0 * share);
            (text, "Stop", "Leaves the numbers of the plug as they were.", true)
        }
        Some(Age::Stopped) => {
            ("the plug is of before".to_owned(), "Plan again", "Plans the plug as the project is now.", false)
        }
        Some(Age::Fresh) | None => return,
    };
    if ui.add(Button::new(small(button))).on_hover_text(tip).clicked() {
        asks.push(Ask::StopPlanning(stop));
    }
    ui.label(small(text).color(theme.weak));
}

/// While a picture is decoded: a way to give that up, which hides it.
fn reading(ui: &mut Ui, app: &App, theme: &Theme, asks: &mut Vec<Ask>) {
    let pictures = &app.desk.document().pictures;
    let Some((picture, p)) = pictures.iter().enumerate().find(|(_, p)| app.decoded.is_waiting(p)) else { return };
    let tip = "Gives the reading up and hides the picture; show it again on the Pictures page.";
    if ui.add(Button::new(small("Cancel"))).on_hover_text(tip).clicked() {
        let (opacity, locked) = (p.opacity, p.locked);
        asks.push(Ask::Do(project::edit::Edit::ShowPicture { picture, opacity, locked, hidden: true }));
    }
    ui.label(small(format!("reading {}…", p.name)).color(theme.weak));
    ui.add(egui::Spinner::new().size(12.0));
}

fn said(ui: &mut Ui, app: &App, theme: &Theme) {
    let mut line = |text: RichText| {
        ui.add(egui::Label::new(text).truncate());
    };
    let trouble = app.desk.autosave_trouble();
    if let Some(trouble) = trouble {
        line(small(trouble).color(theme.error));
    } else if let Some(message) = &app.message {
        line(small(message.clone()).color(theme.warning));
    } else if app.sheets.is_some() {
        // The floor is not seen: nothing is said about it.
        let text = app.note.clone().unwrap_or_else(|| "Click a page to see it larger. Escape goes back.".to_owned());
        line(small(text));
    } else {
        let place = pointer_text(ui.ctx(), app);
        let hovered = app.gesture.hover.and_then(|h| floor::show::name_of(app, h.target(&app.scene)));
        let on_table = crate::light_table::show::says(app);
        let note = app.gesture.snapped.as_ref().map(|s| format!("on {s}")).or(on_table);
        let note = note.or_else(|| app.note.clone()).or(hovered);
        if let Some(place) = place {
            ui.add(egui::Label::new(small(place)).truncate());
        } else if note.is_none() {
            ui.add(egui::Label::new(small(tool_text(ui.ctx(), app))).truncate());
        }
        if let Some(note) = note {
            ui.add(egui::Label::new(small(note).color(theme.accent)).truncate());
        }
    }
}

/// Where the pointer is on the drawing.
fn pointer_text(ctx: &egui::Context, app: &App) -> Option<String> {
    if let Some(text) = ctx.pointer_hover_pos().and_then(|at| crate::light_table::show::pointer_text(app, at)) {
        return Some(text);
    }
    let place = ctx.pointer_hover_pos().and_then(|at| {
        let layout = app.layout()?;
        let window = *layout.at(at)?;
        Some((window.view, app.gesture.drag.map_or_else(|| window.model(at), |d| d.at)))
    });
    let (view, [a, b]) = place?;
    let n = |value: f64| app.view.units.length(value);
    let view = app.gesture.drag.map_or(view, |d| d.view);
    Some(match view {
        crate::floor::layout::View::Side => format!("{} aft, height {}", n(a), n(b)),
        crate::floor::layout::View::Plan => format!("{} aft, half-breadth {}", n(a), n(b)),
        _ => {
            let side = if a < 0.0 { "starboard" } else { "port" };
            format!("{} to {side}, height {}", n(a.abs()), n(b))
        }
    })
}

fn tool_text(ctx: &egui::Context, app: &App) -> String {
    match app.view.tool {
        Tool::Select => {
            let key = ctx.format_modifiers(egui::Modifiers::COMMAND);
            format!("Click to select, drag to move. {key}+click a line to add a point.")
        }
        Tool::AddPoint(_) => "Click to add points. Escape ends it.".to_owned(),
        Tool::Pick(pick) if pick.purpose == PickPurpose::Datum => {
            "Pick one point of the picture. Escape ends it.".to_owned()
        }
        Tool::Pick(_) => "Pick two points of the picture. Escape ends it.".to_owned(),
        Tool::Trace => {
            "Click along the outline. Enter ends it, Backspace takes the last point back, Escape drops it.".to_owned()
        }
        Tool::Outline => {
            "Click around the opening, with Shift for a corner. Enter closes it, Backspace takes the last point back, Escape drops it."
                .to_owned()
        }
        Tool::Mark(marking) => crate::light_table::picking::to_do(app, marking),
    }
}
