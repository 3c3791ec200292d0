//! Interface tests: they press what a person sees, without a display.

mod looks;
mod main_job;
mod on_the_table;
mod papers;
mod renderer;
mod solving;
mod through_the_camera;
mod tracing_pictures;
pub(crate) mod with_pictures;
mod work;

use crate::app::App;
use crate::view::Tab;
use crate::{slate, theme};
use desk::Desk;
use egui::{Key, Modifiers, Pos2, Rect, Vec2, vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use project::document::{Form, LineName};
use project::edit::Edit;
use renderer::CpuRenderer;

pub(crate) type Window<'a> = Harness<'a, App>;

/// A window of the usual size over a desk.
pub(crate) fn window<'a>(desk: Desk) -> Window<'a> {
    sized(desk, vec2(1280.0, 800.0))
}

/// A window over a desk.
pub(crate) fn sized<'a>(desk: Desk, size: Vec2) -> Window<'a> {
    let mut app = App::over(desk);
    app.own_dialogs = true;
    let mut harness = Harness::builder()
        .with_size(size)
        .with_max_steps(12)
        .with_step_dt(1.0 / 60.0)
        .with_render_cursor(false)
        .with_context_setup(theme::install)
        .renderer(CpuRenderer::default())
        .build_ui_state(|ui, app: &mut App| app.frame(ui), app);
    settle(&mut harness);
    harness
}

/// Runs until the checks and what is drawn on threads of their own are done too.
pub(crate) fn settle(window: &mut Window<'_>) {
    for _ in 0..400 {
        window.run_ok();
        if window.state().findings.as_ref().is_some_and(|f| !f.is_checking()) && !is_drawing(window.state()) {
            return;
        }
        std::thread::sleep(std::time::Duration::from_millis(5));
    }
}

/// Whether lines or pictures of it are being made beside the window's thread.
fn is_drawing(app: &App) -> bool {
    let shell = app.shell.as_ref();
    app.card_picture.is_under_way()
        || shell.is_some_and(|shell| shell.openings.laid.is_under_way() || shell.added.is_under_way())
}

/// A desk with a plain body on it.
pub(crate) fn plain_desk() -> Desk {
    let mut desk = Desk::new();
    let with = project::starter::blank_form(300.0, 100.0, 90.0, 120.0);
    desk.apply(&Edit::ReplaceForm { form: 0, with }).expect("the starter's form keeps every promise");
    desk
}

/// The form that the window shows.
pub(crate) fn form(window: &Window<'_>) -> std::sync::Arc<Form> {
    window.state().form()
}

/// A point of a line: x and value.
pub(crate) fn point(window: &Window<'_>, line: LineName, point: usize) -> [f64; 2] {
    let p = form(window).lines.get(line).points[point];
    [p.x, p.value]
}

/// Where a named thing is.
pub(crate) fn rect(window: &Window<'_>, label: &str) -> Rect {
    window.get_by_label(label).rect()
}

/// Drags by the pointer, a few steps on the way.
pub(crate) fn drag(window: &mut Window<'_>, from: Pos2, by: Vec2) {
    begin_drag(window, from, by);
    window.drop_at(from + by);
    window.run_ok();
}

/// Drags without letting go.
pub(crate) fn begin_drag(window: &mut Window<'_>, from: Pos2, by: Vec2) {
    window.hover_at(from);
    window.step();
    window.drag_at(from);
    window.step();
    for share in [0.3, 0.6, 1.0] {
        window.hover_at(from + by * share);
        window.step();
    }
}

/// Clicks what has that label.
pub(crate) fn click(window: &mut Window<'_>, label: &str) {
    window.get_by_label(label).click();
    window.run_ok();
}

/// Points on the screen for one millimetre in the side view.
pub(crate) fn scale(window: &Window<'_>) -> f64 {
    window.state().layout().expect("the floor was drawn").side.scale[0]
}

/// Whether the window says so in its status line.
pub(crate) fn message(window: &Window<'_>) -> Option<String> {
    window.state().message.clone()
}

/// The slate's way to ask, for tests that need no pointer.
pub(crate) fn ask(window: &mut Window<'_>, ask: slate::Ask) {
    let ctx = window.ctx.clone();
    crate::act::all(window.state_mut(), &ctx, vec![ask]);
    window.run_ok();
}

/// A window on the page, over a plain body 300 mm long, 200 wide at its widest.
pub(crate) fn on<'a>(tab: Tab) -> Window<'a> {
    let mut window = window(plain_desk());
    window.state_mut().view.snap.points = false;
    window.state_mut().view.snap.stations = false;
    window.state_mut().view.tab = tab;
    window.run_ok();
    window
}

/// Types a number into a field.
pub(crate) fn type_into(window: &mut Window<'_>, label: &str, text: &str) {
    window.get_by_label(label).scroll_to_me();
    window.run_ok();
    window.get_by_label(label).focus();
    window.run_ok();
    window.key_press_modifiers(Modifiers::COMMAND, Key::A);
    window.run_ok();
    window.get_by_label(label).type_text(text);
    window.run_ok();
    window.key_press(Key::Enter);
    window.run_ok();
}

/// Presses what has that label, wherever on the slate it is.
pub(crate) fn press(window: &mut Window<'_>, label: &str) {
    window.get_by_label(label).scroll_to_me();
    window.run_ok();
    click(window, label);
}

/// Until what is measured beside the window's thread is there.
pub(crate) fn measured(window: &mut Window<'_>) {
    settle(window);
    for _ in 0..600 {
        window.run_ok();
        if window.state().figures.as_ref().is_some_and(|f| !f.is_measuring()) && planned(window.state()) {
            window.run_ok();
            return;
        }
        std::thread::sleep(std::time::Duration::from_millis(10));
    }
    panic!("the figures did not come");
}

/// Whether the plug that is shown is that of the document.
fn planned(app: &App) -> bool {
    app.planning.as_ref().is_some_and(|p| p.age() == crate::planning::Age::Fresh)
}

/// How the plug is built.
pub(crate) fn build(window: &Window<'_>) -> std::sync::Arc<project::build::Build> {
    window.state().desk.document().build.clone()
}
