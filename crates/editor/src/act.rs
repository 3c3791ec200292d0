//! Does what commands, keys and panels ask for.

use crate::app::App;
use crate::commands::Command;
use crate::dialogs::{Copy, Cutting, Dialog, Palette, Purpose, Spread, files, path};
use crate::findings;
use crate::floor;
use crate::gesture::select;
use crate::light_table;
use crate::light_table::picking::{self, Marking};
use crate::light_table::tracing::asks::{TraceAsk, act as trace_ask};
use crate::on_shell;
use crate::pictures;
use crate::sheets_view::SheetsView;
use crate::slate::{Ask, bench};
use crate::units::Units;
use crate::view::{Fold, PickPurpose, Selected, Tab, Tool};
use desk::demo::Demo;
use egui::{Key, Modifiers};
use project::document::{ControlSection, Form, LineName, LinePoint, LinePointKind, PointRole, SectionShape};
use project::edit::Edit;
use project::opening::Purpose as Opens;
use project::photograph::Traced;

/// Everything the panels asked for.
pub(crate) fn all(app: &mut App, ctx: &egui::Context, asks: Vec<Ask>) {
    if asks.is_empty() {
        return;
    }
    for ask in asks {
        match ask {
            Ask::Do(edit) => edit_once(app, &edit),
            Ask::Preview(edit) => app.message = app.desk.preview(&edit).err().map(|r| r.to_string()),
            Ask::Commit => {
                app.desk.commit_preview();
            }
            Ask::Command(asked) => command(app, ctx, asked),
            Ask::Bench(asked) => bench::act(app, ctx, asked),
            Ask::Trace(asked) => trace_ask(app, ctx, asked),
            Ask::Landmark(asked) => light_table::landmarks::act(app, asked),
            Ask::Flat(asked) => light_table::flat::act(app, ctx, asked),
            Ask::Select(target) => select(&mut app.view, target),
            Ask::GoTo(finding) => findings::place::go(app, &finding),
            Ask::StopPlanning(stop) => stop_planning(app, stop),
            Ask::Open(path) => files::open_this(app, ctx, path),
            Ask::ShowForm(form) => show_form(app, form),
            Ask::Shell(asked) => on_shell::act(app, asked),
            Ask::Solving(asked) => light_table::solving::act::act(app, asked),
        }
    }
    // What was drawn before is old now.
    ctx.request_repaint();
}

/// Gives the plan of the plug up, or goes on with it.
fn stop_planning(app: &mut App, stop: bool) {
    match &mut app.planning {
        Some(planning) if stop => planning.stop(),
        Some(planning) => planning.go_on(),
        None => {}
    }
}

/// One edit as one step; a refusal goes to the status line.
pub(crate) fn edit_once(app: &mut App, edit: &Edit) {
    app.message = app.desk.apply(edit).err().map(|r| r.to_string());
}

/// One command.
pub(crate) fn command(app: &mut App, ctx: &egui::Context, command: Command) {
    if !crate::bars::can(app, command) {
        return;
    }
    app.message = None;
    app.note = None;
    match command {
        Command::New => files::new(app, ctx),
        Command::Open => files::open(app, ctx),
        Command::Save => files::save(app, ctx, None),
        Command::SaveAs => files::ask_save_as(app, ctx, None),
        Command::Quit => files::quit(app, ctx),
        Command::List => app.dialog = Some(Dialog::Palette(Palette::new())),
        Command::SpreadStations => {
            let spread = Spread::new(reach(app), &app.form().stations, app.view.units);
            app.dialog = Some(Dialog::Spread(spread));
        }
        Command::CopySection => ask_copy(app),
        Command::ReadOffsets => path::ask(app, ctx, Purpose::ReadOffsets, ""),
        Command::WriteOffsets => ask_write(app, ctx, Purpose::WriteOffsets, "csv"),
        Command::WriteMesh => ask_write(app, ctx, Purpose::WriteMesh, "stl"),
        Command::Sheets => {
            app.sheets = if app.sheets.is_some() { None } else { Some(SheetsView::new(ctx)) };
        }
        Command::PlanPlug => plan_plug(app),
        Command::WriteBook => {
            let name = format!("{}-book.pdf", files::file_stem(&app.desk.document().name));
            path::ask(app, ctx, Purpose::WriteBook, &name);
        }
        Command::WriteCut => app.dialog = Some(Dialog::Cutting(Cutting::new())),
        Command::Demo => files::demo(app, ctx, Demo::Cowl),
        Command::DemoOfCloth => files::demo(app, ctx, Demo::Bowl),
        Command::ReadPoints => bench::act(app, ctx, bench::BenchAsk::ReadPoints(bench::meant(&app.view))),
        Command::TraceFuselage => bench::act(app, ctx, bench::BenchAsk::Trace(bench::meant(&app.view))),
        Command::BringPicture => path::ask(app, ctx, Purpose::Picture, ""),
        Command::ScalePicture => pictures::begin_pick(app, PickPurpose::Scale),
        Command::CheckPicture => pictures::begin_pick(app, PickPurpose::Check),
        Command::LevelPicture => pictures::begin_pick(app, PickPurpose::Level),
        Command::DatumPicture => pictures::begin_pick(app, PickPurpose::Datum),
        Command::LightTable => light_table::toggle(app),
        Command::PickLandmarks => picking::begin(app, Marking::Landmark),
        Command::TraceOutline => picking::begin(app, Marking::Trace(Traced::Outline)),
        Command::TraceSeam => {
            picking::begin(app, Marking::Trace(Traced::Seam { station: light_table::seam_station(app) }));
        }
        Command::GoOnTracing => trace_ask(app, ctx, TraceAsk::GoOn),
        Command::FollowEdge => trace_ask(app, ctx, TraceAsk::Follow),
        Command::Loupe => app.table.no_loupe = !app.table.no_loupe,
        Command::MarkDistance => picking::begin(app, Marking::Distance),
        Command::MarkStraight => picking::begin(app, Marking::Straight),
        Command::MarkFigure => picking::begin(app, Marking::Figure),
        Command::SolveSections => light_table::solving::act::begin(app),
        Command::AddIntake => on_shell::openings::add_plain(app, Opens::Intake),
        Command::AddOutlet => on_shell::openings::add_plain(app, Opens::Outlet),
        Command::DrawOpening => on_shell::openings::drawing::begin(app, Opens::Intake),
        Command::CopyOpening => on_shell::openings::copy_selected(app),
        Command::OpenAdded => {
            if let Some(on_shell::OnShell::Added { form, .. }) = app.view.selected.on_shell() {
                show_form(app, form);
            }
        }
        Command::FirstForm => show_form(app, 0),
        Command::PutOnForm => on_shell::open(app, on_shell::ShellPage::Added),
        Command::Undo => {
            app.desk.undo();
        }
        Command::Redo => {
            app.desk.redo();
        }
        Command::Delete => delete(app),
        Command::Deselect => deselect(app),
        Command::Select => app.view.tool = Tool::Select,
        Command::AddPoint => app.view.tool = Tool::AddPoint(None),
        Command::DrawCrown => draw_line(app, LineName::Crown),
        Command::DrawKeel => draw_line(app, LineName::Keel),
        Command::DrawBreadth => draw_line(app, LineName::Breadth),
        Command::DrawBreadthHeight => draw_line(app, LineName::BreadthHeight),
        Command::PointInGap => {
            if let Some(line) = app.view.selected.line() {
                add_point(app, line);
            }
        }
        Command::Unpin => unpin(app),
        Command::Smooth => point_kind(app, LinePointKind::Smooth, false),
        Command::Corner => point_kind(app, LinePointKind::Corner, true),
        Command::Slope => point_kind(app, LinePointKind::Slope(0.0), false),
        Command::StartForm => start_form(app),
        Command::AddSection => add_section(app),
        Command::AddStation => add_station(app),
        Command::Fit => app.view.fit_wanted = true,
        Command::Fold => fold(app, app.view.fold.next()),
        Command::Even => fold(app, Fold::Even),
        Command::GrowSide => fold(app, Fold::Side),
        Command::GrowPlan => fold(app, Fold::Plan),
        Command::GrowFace => fold(app, Fold::Face),
        Command::GrowBody => fold(app, Fold::Body),
        Command::ZoomIn => zoom(app, ctx, 1.25),
        Command::ZoomOut => zoom(app, ctx, 0.8),
        Command::Card | Command::CardLarge if app.derived.loft().is_none() => {
            app.note = Some("The shaded body appears once all four lines and a control section are there.".to_owned());
        }
        Command::Card => app.view.card.open = !app.view.card.open,
        Command::CardLarge => app.view.card.large = !app.view.card.large,
        Command::Reference => app.view.reference.open = !app.view.reference.open,
        Command::Areas => {
            app.view.areas = !app.view.areas;
            app.view.fit_wanted |= app.view.fitted;
        }
        Command::Comb => app.view.comb = !app.view.comb,
        Command::Findings => app.view.findings = !app.view.findings,
        Command::SnapOn => {
            app.view.snap.points = !app.view.snap.points;
            app.view.snap.stations = app.view.snap.points;
        }
        Command::Grid => app.view.snap.grid = !app.view.snap.grid,
        Command::Inches => {
            app.view.units = if app.view.units == Units::Inch { Units::Millimetre } else { Units::Inch };
        }
        Command::Theme => {
            let dark = ctx.theme() == egui::Theme::Dark;
            ctx.set_theme(if dark { egui::Theme::Light } else { egui::Theme::Dark });
        }
        Command::Larger => ctx.set_zoom_factor((ctx.zoom_factor() + 0.25).min(2.0)),
        Command::Smaller => ctx.set_zoom_factor((ctx.zoom_factor() - 0.25).max(1.0)),
    }
    ctx.request_repaint();
}

/// Arrow keys move what is selected: 1 mm, with Shift 10, with Alt 0.1.
pub(crate) fn nudge(app: &mut App, ctx: &egui::Context) {
    let elsewhere = ctx
        .memory(|m| m.focused())
        .is_some_and(|id| !floor::show::holds_focus(app, id) && !light_table::show::holds_focus(app, id));
    if elsewhere || app.sheets.is_some() || app.gesture.drag.is_some() || egui::Popup::is_any_open(ctx) {
        return;
    }
    let mut by = [0.0, 0.0];
    ctx.input_mut(|input| {
        for (modifiers, step) in [(Modifiers::SHIFT, 10.0), (Modifiers::ALT, 0.1), (Modifiers::NONE, 1.0)] {
            let mut count = |key| input.count_and_consume_key(modifiers, key) as f64;
            by[0] += step * (count(Key::ArrowRight) - count(Key::ArrowLeft));
            by[1] += step * (count(Key::ArrowUp) - count(Key::ArrowDown));
        }
    });
    if by == [0.0, 0.0] {
        return;
    }
    match nudged(app, by) {
        Some(edit) => edit_once(app, &edit),
        None => pan(app, by),
    }
}

/// With nothing to move, the arrow keys move the drawing.
fn pan(app: &mut App, by: [f64; 2]) {
    let Some(layout) = app.layout() else { return };
    let step = egui::vec2(-(by[0] * 40.0) as f32, (by[1] * 40.0) as f32);
    app.view.camera.pan(&layout.side, step);
    app.view.fitted = false;
}

fn nudged(app: &App, by: [f64; 2]) -> Option<Edit> {
    let form = app.form();
    let index = app.view.form;
    match app.view.selected {
        Selected::LinePoint { line, point } => {
            let p = form.lines.get(line).points.get(point)?;
            Some(Edit::MoveLinePoint { form: index, line, point, x: p.x + by[0], value: p.value + by[1] })
        }
        Selected::Station(station) => {
            Some(Edit::MoveStation { form: index, station, x: form.stations.get(station)? + by[0] })
        }
        Selected::Section(section) => {
            let station = form.sections.get(section)?.station + by[0];
            Some(Edit::MoveSection { form: index, section, station })
        }
        Selected::SectionPoint { section, point } => {
            let control = form.sections.get(section)?;
            let SectionShape::Shaped(unit) = &control.shape else { return None };
            let half_box = app.derived.half_box(control.station)?;
            let p = unit.points.get(point)?;
            let [y, z] = half_box.model([p.u, p.v]);
            // The face view shows starboard on its left.
            let to = [y - by[0], z + by[1]];
            crate::gesture::section_point_edit(index, &form, &app.derived, section, point, to)
        }
        Selected::Bench { item, view } => {
            let at = app.scene.handles.iter().find(|h| h.target == app.view.selected)?.at;
            let to = [at[0] + by[0], at[1] + by[1]];
            floor::airframe_drag::edit_for(&app.desk.document().airframe, &app.derived, item, view, to)
        }
        Selected::OnShell { item, view } => {
            let at = app.scene.handles.iter().find(|h| h.target == app.view.selected)?.at;
            let to = [at[0] + by[0], at[1] + by[1]];
            on_shell::edit_for(app.desk.document(), app.shell.as_ref(), index, item, view, to)
        }
        Selected::PicturePoint { picture, purpose, second } => {
            let p = app.desk.document().pictures.get(picture)?.clone();
            let at = p.placement.to_view(pictures::picked_points(&p, purpose)?[usize::from(second)]);
            pictures::point_moved(&p, picture, purpose, second, [at[0] + by[0], at[1] + by[1]])
        }
        Selected::OnPicture { picture, what } => {
            let p = app.desk.document().pictures.get(picture)?.clone();
            let mark = light_table::marks::of(&p.photograph).into_iter().find(|m| m.what == what)?;
            // A pixel for each step; the picture's heights run downwards.
            light_table::marks::moved(&p, picture, what, [mark.at[0] + by[0], mark.at[1] - by[1]])
        }
        _ => None,
    }
}

pub(crate) fn show_form(app: &mut App, form: usize) {
    if form < app.desk.document().forms.len() {
        app.view.form = form;
        app.view.selected = Selected::Nothing;
        app.view.shown = None;
        app.view.spot = None;
        app.view.fit_wanted = true;
    }
}

/// Adds a point of a line without the pointer: in its longest gap, on the curve; the first two at the ends.
fn add_point(app: &mut App, line: LineName) {
    let points = app.form().lines.get(line).points.clone();
    let ends = reach(app);
    let (x, value) = match (points.first(), points.last()) {
        (Some(first), Some(last)) if points.len() > 1 => {
            let taken: Vec<f64> = points.iter().map(|p| p.x).collect();
            let x = middle_of_longest_gap([first.x, last.x], &taken);
            (x, app.derived.value(line, x).unwrap_or(first.value))
        }
        (Some(first), _) => (if first.x < ends[1] - 1.0 { ends[1] } else { ends[0] }, first.value),
        _ => (ends[0], first_value(app, line)),
    };
    let point = LinePoint { x, value, kind: LinePointKind::Smooth };
    edit_once(app, &Edit::AddLinePoint { form: app.view.form, line, point });
    let index = app.form().lines.get(line).points.iter().position(|p| *p == point);
    if let (None, Some(point)) = (&app.message, index) {
        select(&mut app.view, Selected::LinePoint { line, point });
    }
}

/// Where an empty line begins: half way out, so that it is seen.
fn first_value(app: &App, line: LineName) -> f64 {
    let extents = &app.scene.extents;
    match line {
        LineName::Crown => 0.5 * extents.z[1],
        LineName::Keel => 0.5 * extents.z[0],
        LineName::Breadth => 0.5 * extents.half_breadth,
        LineName::BreadthHeight => 0.0,
    }
}

fn fold(app: &mut App, fold: Fold) {
    app.view.fold = fold;
    app.view.fit_wanted = true;
}

fn ask_write(app: &mut App, ctx: &egui::Context, purpose: Purpose, ending: &str) {
    let name = format!("{}.{ending}", files::file_stem(&app.desk.document().name));
    path::ask(app, ctx, purpose, &name);
}

/// Begins the stack with boards that fill the length; what there is of it already is used as it is.
fn plan_plug(app: &mut App) {
    let (form, whole) = (app.view.form, app.desk.document().clone());
    let Some(document) = on_shell::added::plug::to_be_built(&whole, form) else { return };
    let begun = match app.desk.skin(form).as_ref().and_then(|lofted| lofted.skin.as_ref()) {
        Some(_) if !document.build.stack.boards.is_empty() => {
            let mut build = (*document.build).clone();
            build.stack.used = true;
            Some(build)
        }
        Some(skin) => desk::first_stack(&document, skin),
        None => None,
    };
    let Some(build) = begun else {
        app.message = Some("The form is too short for a board between two cards.".to_owned());
        return;
    };
    let boards = build.stack.boards.len();
    edit_once(app, &on_shell::added::plug::built(form, build));
    app.view.tab = Tab::Build;
    if app.message.is_none() {
        app.note = Some(format!("A stack of {boards} boards. Measure each and type its thickness."));
    }
}

fn ask_copy(app: &mut App) {
    let Some(section) = app.view.selected.section() else { return };
    let form = app.form();
    let taken: Vec<f64> = form.sections.iter().map(|s| s.station).collect();
    let station = middle_of_longest_gap(reach(app), &taken);
    app.dialog = Some(Dialog::Copy(Copy { section, station, fresh: true }));
}

/// A pinned section becomes one to be shaped by hand, as near to its points as unit coordinates hold it.
fn unpin(app: &mut App) {
    let Some(section) = app.view.selected.section() else { return };
    let Some(control) = app.form().sections.get(section).cloned() else { return };
    let SectionShape::Pinned(measured) = &control.shape else { return };
    match project::measured::unit_section(measured) {
        Some(unit) => {
            let with = ControlSection { station: control.station, shape: SectionShape::Shaped(unit) };
            edit_once(app, &Edit::ReplaceSection { form: app.view.form, section, with });
        }
        None => {
            app.message = Some("This section has no breadth or no height, so there is no shape to set free.".into());
        }
    }
}

fn deselect(app: &mut App) {
    if app.sheets.take().is_some() {
        return;
    }
    if app.view.card.large && app.view.card.open {
        app.view.card.large = false;
        return;
    }
    if app.view.tool == Tool::Select {
        app.view.selected = Selected::Nothing;
        app.view.spot = None;
    }
    app.view.tool = Tool::Select;
}

fn draw_line(app: &mut App, line: LineName) {
    app.view.tool = Tool::AddPoint(Some(line));
    select(&mut app.view, Selected::Line(line));
    let place = if line == LineName::Breadth { "the half-breadth plan" } else { "the side view" };
    app.note = Some(format!("Click in {place} to add points of the {}. Escape ends it.", line.label().to_lowercase()));
}

fn delete(app: &mut App) {
    let form = app.view.form;
    let edit = match app.view.selected {
        Selected::LinePoint { line, point } => Edit::RemoveLinePoint { form, line, point },
        Selected::Section(section) => Edit::RemoveSection { form, section },
        Selected::SectionPoint { section, point } => Edit::RemoveSectionPoint { form, section, point },
        Selected::Station(station) => Edit::RemoveStation { form, station },
        Selected::Picture(picture) => Edit::RemovePicture { picture },
        Selected::Bench { item, .. } => match crate::slate::removed(&app.desk.document().airframe, item) {
            Some(edit) => edit,
            None => return,
        },
        Selected::OnShell { item, .. } => match item.removed(app.desk.document(), form) {
            Some(edit) => edit,
            None => return,
        },
        Selected::OnPicture { picture, what } => {
            let p = app.desk.document().pictures.get(picture).cloned();
            match p.and_then(|p| light_table::marks::removed(&p, picture, what)) {
                Some(edit) => edit,
                None => return,
            }
        }
        // The second distance only checks; scale and level have moved the picture and stay.
        Selected::PicturePoint { picture, purpose: PickPurpose::Check, .. } => {
            Edit::CheckPicture { picture, known: None }
        }
        Selected::PicturePoint { .. } => return,
        Selected::Nothing | Selected::Line(_) | Selected::Arc { .. } => return,
    };
    edit_once(app, &edit);
    if app.message.is_none() {
        let after = match app.view.selected {
            Selected::LinePoint { line, .. } => Selected::Line(line),
            Selected::SectionPoint { section, .. } => Selected::Section(section),
            Selected::PicturePoint { picture, .. } => Selected::Picture(picture),
            Selected::OnPicture { picture, what } => light_table::after_removal(app, picture, what),
            _ => Selected::Nothing,
        };
        select(&mut app.view, after);
    }
}

fn point_kind(app: &mut App, kind: LinePointKind, knuckle: bool) {
    let form = app.view.form;
    match app.view.selected {
        Selected::LinePoint { line, point } => {
            edit_once(app, &Edit::SetLinePointKind { form, line, point, kind });
        }
        Selected::SectionPoint { section, point } => {
            let number = knuckle.then_some(1);
            let shape = app.form().sections.get(section).map(|s| s.shape.clone());
            let Some(SectionShape::Shaped(unit)) = shape else { return };
            let role = match (unit.points.get(point).map(|p| p.role), number) {
                (Some(PointRole::Breadth { .. }), knuckle) => PointRole::Breadth { knuckle },
                (_, Some(number)) => PointRole::Knuckle { number, faded: false },
                (_, None) => PointRole::Smooth,
            };
            edit_once(app, &Edit::SetSectionPointRole { form, section, point, role });
        }
        Selected::OnShell { item, .. } => {
            let document = app.desk.document().clone();
            if let Some(edit) = on_shell::openings::with_corner(&document, form, item, knuckle) {
                edit_once(app, &edit);
            }
        }
        _ => {}
    }
}

/// A form drawn anew: what had been cut through the old one, where that sat and how it was built stays.
pub(crate) fn in_place_of(old: &Form, new: Form) -> Form {
    Form { openings: old.openings.clone(), mount: old.mount, build: old.build.clone(), ..new }
}

fn start_form(app: &mut App) {
    let with = project::starter::blank_form(300.0, 105.0, 95.0, 120.0);
    let with = Form { name: app.form().name.clone(), ..in_place_of(&app.form(), with) };
    edit_once(app, &Edit::ReplaceForm { form: app.view.form, with });
    app.view.fit_wanted = true;
}

/// Where the form reaches along x.
fn reach(app: &App) -> [f64; 2] {
    app.scene.extents.x
}

/// The middle of the longest gap between the ends and what is there.
fn middle_of_longest_gap(ends: [f64; 2], taken: &[f64]) -> f64 {
    let mut places = vec![ends[0], ends[1]];
    places.extend_from_slice(taken);
    places.sort_by(f64::total_cmp);
    let widest = places.windows(2).max_by(|a, b| (a[1] - a[0]).total_cmp(&(b[1] - b[0])));
    widest.map_or(ends[0], |gap| (f64::midpoint(gap[0], gap[1]) * 2.0).round() / 2.0)
}

fn add_section(app: &mut App) {
    let form = app.form();
    let taken: Vec<f64> = form.sections.iter().map(|s| s.station).collect();
    let station = match app.view.selected {
        // At the selected station, unless a section stands there already.
        Selected::Station(station) => form.stations.get(station).copied(),
        _ => None,
    };
    let station = station
        .filter(|x| taken.iter().all(|t| (t - x).abs() > 0.5))
        .unwrap_or_else(|| middle_of_longest_gap(reach(app), &taken));
    // The shape that is there already, so that adding a section changes nothing.
    let near = form.sections.iter().filter_map(|s| match &s.shape {
        SectionShape::Shaped(unit) => Some((s.station, unit)),
        SectionShape::Pinned(_) => None,
    });
    let nearest = near.min_by(|a, b| (a.0 - station).abs().total_cmp(&(b.0 - station).abs()));
    let unit = nearest.map_or_else(|| project::starter::two_conics(project::starter::ELLIPSE_RHO), |n| n.1.clone());
    let section = ControlSection { station, shape: SectionShape::Shaped(unit) };
    edit_once(app, &Edit::AddSection { form: app.view.form, section });
    if app.message.is_none()
        && let Some(section) = app.form().sections.iter().position(|s| s.station == station)
    {
        select(&mut app.view, Selected::Section(section));
    }
}

fn add_station(app: &mut App) {
    let form = app.form();
    let x = middle_of_longest_gap(reach(app), &form.stations);
    edit_once(app, &Edit::AddStation { form: app.view.form, x });
    if app.message.is_none()
        && let Some(station) = app.form().stations.iter().position(|s| *s == x)
    {
        select(&mut app.view, Selected::Station(station));
    }
}

fn zoom(app: &mut App, ctx: &egui::Context, factor: f64) {
    let Some(layout) = app.layout() else { return };
    let pointer = ctx.pointer_hover_pos().filter(|at| layout.at(*at).is_some());
    let at = pointer.unwrap_or_else(|| layout.side.rect.center());
    if let Some(window) = layout.at(at) {
        app.view.camera.zoom_at(window, at, factor);
        app.view.fitted = false;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_new_station_goes_where_there_is_most_room() {
        assert_eq!(middle_of_longest_gap([0.0, 300.0], &[]), 150.0);
        assert_eq!(middle_of_longest_gap([0.0, 300.0], &[30.0, 60.0]), 180.0);
        assert_eq!(middle_of_longest_gap([-20.0, 100.0], &[50.0]), 15.0);
    }
}
