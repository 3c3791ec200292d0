//! What leaves the window: sheets, tables, meshes; and what the checks say.

use super::*;
use crate::commands::Command;
use crate::slate::Ask;
use crate::view::Selected;
use egui::{Key, Modifiers};
use project::document::Paper;

/// Waits for work on other threads.
pub(super) fn wait_for(window: &mut Window<'_>, ready: impl Fn(&App) -> bool) {
    for _ in 0..600 {
        window.run_ok();
        if ready(window.state()) {
            return;
        }
        std::thread::sleep(std::time::Duration::from_millis(20));
    }
    panic!("the work did not end");
}

pub(super) fn save_to(window: &mut Window<'_>, path: &std::path::Path) {
    window.get_by_label("File name or path").focus();
    window.run_ok();
    window.key_press_modifiers(Modifiers::COMMAND, Key::A);
    window.run_ok();
    window.get_by_label("File name or path").type_text(&path.display().to_string());
    window.run_ok();
    click(window, "Save");
}

#[test]
fn sheets_are_looked_at_and_written() {
    let folder = tempfile::tempdir().expect("a folder");
    let mut window = window(plain_desk());
    window.key_press_modifiers(Modifiers::COMMAND, Key::P);
    wait_for(&mut window, |app| app.sheets.as_ref().is_some_and(|s| s.layout().is_some()));
    window.get_by_label_contains("Page 1:");
    click(&mut window, "Write the PDF…");
    let path = folder.path().join("set.pdf");
    save_to(&mut window, &path);
    let pdf = std::fs::read(&path).expect("written");
    assert!(pdf.starts_with(b"%PDF-"), "{:?}", message(&window));
    // Other paper is laid out anew, and is one step to undo.
    ask(&mut window, Ask::Do(Edit::SetPaper(project::document::PaperSetup { paper: Paper::A3, ..Default::default() })));
    wait_for(&mut window, |app| app.sheets.as_ref().is_some_and(|s| s.layout().is_some()));
    let pages = &window.state().sheets.as_ref().and_then(|s| s.layout()).expect("laid out").set.pages;
    assert!((pages[0].width_mm.max(pages[0].height_mm) - 420.0).abs() < 0.1);
    click(&mut window, "← Back to the floor");
    window.get_by_label("Crown point 1");
}

/// Waits until a dialog that writes has gone.
fn written(window: &mut Window<'_>) {
    wait_for(window, |app| !matches!(app.dialog, Some(crate::dialogs::Dialog::Writing(_))));
}

#[test]
fn the_book_is_written_from_the_menu_and_is_the_commands_own() {
    let folder = tempfile::tempdir().expect("a folder");
    let mut window = window(plain_desk());
    ask(&mut window, Ask::Command(Command::PlanPlug));
    // The menu stands before the slate's page of the same name.
    window.get_all_by_label("Project").next().expect("the menu").click();
    window.run_ok();
    window.get_by_label_contains("Write the book…").click();
    window.run_ok();
    let path = folder.path().join("build");
    save_to(&mut window, &path);
    written(&mut window);
    let pdf = std::fs::read(folder.path().join("build.pdf")).expect("written");
    let note = window.state().note.clone().expect("told");
    assert!(note.contains("build.pdf") && note.contains("pages"), "{note}");
    let document = window.state().desk.document().clone();
    let lofted = [window.state().desk.skin(0).expect("a form")];
    let book = desk::output::book(&document, &lofted).expect("a book");
    assert_eq!(sheets::pdf::write_pdf(&book).expect("a PDF"), pdf, "what the command writes");
}

#[test]
fn a_book_never_takes_the_place_of_a_project() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("cowl.plug.ron");
    let mut window = window(plain_desk());
    window.state_mut().desk.save_as(&path, desk::Overwrite::Refuse).expect("saved");
    let before = std::fs::read(&path).expect("there");
    ask(&mut window, Ask::Command(Command::WriteBook));
    save_to(&mut window, &path);
    window.get_by_label_contains("is there already");
    click(&mut window, "Save");
    written(&mut window);
    window.get_by_label("Nothing was written");
    assert_eq!(std::fs::read(&path).expect("still there"), before);
}

#[test]
fn files_for_cutting_go_into_a_folder_for_the_cut_that_was_typed() {
    let folder = tempfile::tempdir().expect("a folder");
    let mut window = window(plain_desk());
    ask(&mut window, Ask::Command(Command::PlanPlug));
    ask(&mut window, Ask::Command(Command::WriteCut));
    type_into(&mut window, "Width of the cut in card", "0.2");
    if !matches!(window.state().dialog, Some(crate::dialogs::Dialog::Path(_))) {
        click(&mut window, "Choose a folder…");
    }
    let into = folder.path().join("cut");
    std::fs::create_dir(&into).expect("made");
    save_to(&mut window, &into);
    written(&mut window);
    let document = window.state().desk.document().clone();
    let lofted = [window.state().desk.skin(0).expect("a form")];
    let sheets = desk::output::cut_sheets(&document, &lofted, 0.2).expect("sheets");
    assert!(sheets.sheets.len() > 1);
    for sheet in sheets.sheets.iter().chain(&sheets.wires) {
        let svg = std::fs::read(into.join(&sheet.file)).expect("written");
        assert_eq!(svg, sheets::svg::write_svg(&sheet.page).expect("an SVG"), "{}", sheet.file);
    }
}

#[test]
fn the_table_of_offsets_goes_out_and_comes_back_as_a_form() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("table.csv");
    let mut window = window(plain_desk());
    ask(&mut window, Ask::Command(Command::WriteOffsets));
    save_to(&mut window, &path);
    let volume = window.state().derived.body.expect("measured").volume;
    ask(&mut window, Ask::Command(Command::ReadOffsets));
    window.get_by_label("File name or path").type_text(&path.display().to_string());
    window.run_ok();
    click(&mut window, "Open");
    // The form with work in it stays; the table is a second one, and is shown.
    assert_eq!(window.state().desk.document().forms.len(), 2);
    assert_eq!(window.state().view.form, 1);
    let again = window.state().derived.body.expect("measured").volume;
    assert!((again / volume - 1.0).abs() < 1e-4, "{volume} {again}");
}

#[test]
fn a_mesh_is_written_as_either_kind() {
    let folder = tempfile::tempdir().expect("a folder");
    let mut window = window(plain_desk());
    for (name, start) in [("body.stl", &b""[..]), ("body.3mf", &b"PK"[..])] {
        ask(&mut window, Ask::Command(Command::WriteMesh));
        let path = folder.path().join(name);
        save_to(&mut window, &path);
        let bytes = std::fs::read(&path).expect("written");
        assert!(bytes.len() > 1000 && bytes.starts_with(start));
    }
}

#[test]
fn a_finding_is_listed_and_a_click_selects_what_it_is_about() {
    let mut window = window(plain_desk());
    // A line of one point is none.
    for _ in 0..2 {
        ask(&mut window, Ask::Do(Edit::RemoveLinePoint { form: 0, line: LineName::Crown, point: 1 }));
    }
    settle(&mut window);
    let found = window.state().findings.as_ref().map(|f| f.counts()).expect("checked");
    assert!(found[0] > 0, "{found:?}");
    ask(&mut window, Ask::Command(Command::Findings));
    let first = window.get_all_by_label_contains("Crown line").next().expect("listed");
    first.click();
    window.run_ok();
    assert_eq!(window.state().view.selected, Selected::Line(LineName::Crown));
}

/// The one list: what `check` says of the demo, in its order, the plug's own included.
#[test]
fn the_list_is_that_of_the_command() {
    let mut desk = Desk::new();
    desk.open_demo().expect("the demo is built in");
    let document = desk.document().clone();
    let mut window = window(desk);
    measured(&mut window);
    let list = window.state().findings.as_ref().expect("checked").list().to_vec();
    assert_eq!(list, desk::findings_anew(&document));
    assert!(list.is_sorted_by_key(|f| std::cmp::Reverse(f.severity)));
    let spacing = list.iter().filter(|f| f.what.contains("anded straight")).count();
    let planned = window.state().planning.as_ref().and_then(|p| p.planned().cloned()).expect("planned");
    let allowed = document.build.stack.allowed_sagitta;
    assert_eq!(spacing, planned.present.iter().filter(|bay| bay.sagitta > allowed).count(), "one for each bay");
}

#[test]
fn the_window_asks_before_it_closes_on_unsaved_work() {
    let mut window = window(plain_desk());
    window.key_press_modifiers(Modifiers::COMMAND, Key::Q);
    window.run_ok();
    window.get_by_label_contains("Save “Untitled” first?");
    click(&mut window, "Don't save");
    assert!(window.state().quitting);
}

#[test]
fn the_fold_key_grows_one_view_after_the_other() {
    let mut window = window(plain_desk());
    let width = |window: &Window<'_>| window.state().layout().expect("drawn").face.rect.width();
    let even = width(&window);
    window.key_press(Key::W);
    window.run_ok();
    assert!(width(&window) < even, "the side view has grown");
    window.key_press(Key::W);
    window.run_ok();
    assert!(width(&window) > even, "the face view has grown");
    window.key_press(Key::Num0);
    window.run_ok();
    assert_eq!(width(&window), even);
}
