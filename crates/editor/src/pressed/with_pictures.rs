//! Pictures: brought in, set to scale, checked, levelled, moved.

use super::*;
use crate::commands::Command;
use crate::slate::Ask;
use crate::view::Selected;
use egui::{Event, Modifiers, PointerButton, pos2};
use project::document::{Picture, PictureView};
use std::sync::Arc;

/// A PNG of so many pixels.
pub(crate) fn png(width: u32, height: u32) -> Vec<u8> {
    let mut bytes = std::io::Cursor::new(Vec::new());
    let image = image::RgbaImage::from_fn(width, height, |x, y| image::Rgba([x as u8, y as u8, 90, 255]));
    image.write_to(&mut bytes, image::ImageFormat::Png).expect("it is encoded");
    bytes.into_inner()
}

fn picture(window: &Window<'_>) -> Arc<Picture> {
    window.state().desk.document().pictures[0].clone()
}

/// Brings in a picture by the window's own dialogs, and lays it under a view.
pub(super) fn bring_in(window: &mut Window<'_>, path: &std::path::Path, view: &str) {
    ask(window, Ask::Command(Command::BringPicture));
    window.get_by_label("File name or path").type_text(&path.display().to_string());
    window.run_ok();
    click(window, "Open");
    // The dialog over the floor has a button with the view's name.
    click(window, view);
}

/// A window with a plain body and a side picture of 400 by 300 pixels under it.
fn with_side_picture<'a>() -> Window<'a> {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("from port.png");
    std::fs::write(&path, png(400, 300)).expect("written");
    let mut window = window(plain_desk());
    bring_in(&mut window, &path, "Side view");
    window
}

/// Clicks on the floor.
pub(crate) fn click_at(window: &mut Window<'_>, at: Pos2) {
    window.hover_at(at);
    for pressed in [true, false] {
        window.event(Event::PointerButton {
            pos: at,
            button: PointerButton::Primary,
            pressed,
            modifiers: Modifiers::NONE,
        });
    }
    window.run_ok();
    // Two clicks in quick succession would be one double click.
    for _ in 0..40 {
        window.step();
    }
}

/// Where a pixel of the side picture is on the screen.
fn place_of(window: &Window<'_>, px: [f64; 2]) -> Pos2 {
    let layout = window.state().layout().expect("drawn");
    layout.side.screen(picture(window).placement.to_view(px))
}

/// Types a distance into the open dialog, whose field has the keys, and sets it.
pub(super) fn type_distance(window: &mut Window<'_>, text: &str) {
    window.get_by_role_and_label(egui::Role::SpinButton, "Distance").type_text(text);
    window.run_ok();
    window.key_press(egui::Key::Tab);
    window.run_ok();
    click(window, "Set");
}

#[test]
fn a_picture_is_set_to_scale_by_two_points_and_the_lines_stay() {
    let mut window = with_side_picture();
    let lines = form(&window);
    assert_eq!(picture(&window).view, PictureView::Side);
    assert_eq!(picture(&window).name, "from port");
    ask(&mut window, Ask::Command(Command::ScalePicture));
    let ends = [place_of(&window, [100.0, 150.0]), place_of(&window, [300.0, 150.0])];
    ends.into_iter().for_each(|at| click_at(&mut window, at));
    type_distance(&mut window, "1000");
    // 200 px are 1000 mm of the full-size machine, 250 mm at 1 : 4.
    let scaled = picture(&window);
    assert!((scaled.placement.mm_per_px - 1.25).abs() < 0.02, "{:?}", scaled.placement);
    assert!(scaled.scale.expect("known").full_size);
    assert!(Arc::ptr_eq(&form(&window), &lines));

    // A second distance that is 5 % longer in truth than the picture has it.
    ask(&mut window, Ask::Command(Command::CheckPicture));
    let ends = [place_of(&window, [100.0, 100.0]), place_of(&window, [260.0, 100.0])];
    ends.into_iter().for_each(|at| click_at(&mut window, at));
    let measured = 160.0 * scaled.placement.mm_per_px;
    // It is taken for one of the full-size machine, as the first is: four times as long as on the model.
    type_distance(&mut window, &format!("{:.2}", 4.0 * measured * 1.05));
    let percent = picture(&window).disagreement_percent(4.0).expect("checked");
    assert!((percent + 4.8).abs() < 0.5, "{percent}");
    assert_eq!(picture(&window).placement, scaled.placement);
}

#[test]
fn a_picture_is_levelled_by_two_points() {
    let mut window = with_side_picture();
    ask(&mut window, Ask::Command(Command::LevelPicture));
    let ends = [place_of(&window, [100.0, 150.0]), place_of(&window, [300.0, 170.0])];
    ends.into_iter().for_each(|at| click_at(&mut window, at));
    let placement = picture(&window).placement;
    let [a, b] = [placement.to_view([100.0, 150.0]), placement.to_view([300.0, 170.0])];
    assert!((a[1] - b[1]).abs() < 1.0, "{a:?} {b:?}");
    assert!((placement.rotation_deg - 5.7).abs() < 0.5);
}

#[test]
fn a_selected_picture_is_dragged_and_a_locked_one_stays() {
    let mut window = with_side_picture();
    assert_eq!(window.state().view.selected, Selected::Picture(0));
    let before = picture(&window).placement.offset;
    let layout = window.state().layout().expect("drawn");
    let empty = layout.side.screen([220.0, -40.0]);
    drag(&mut window, empty, vec2(26.0, 13.0));
    let scale = scale(&window);
    let after = picture(&window).placement.offset;
    assert!((after[0] - before[0] - 26.0 / scale).abs() < 0.05 && (after[1] - before[1] + 13.0 / scale).abs() < 0.05);
    click(&mut window, "locked in place");
    drag(&mut window, empty, vec2(-26.0, 13.0));
    assert_eq!(picture(&window).placement.offset, after);
}

#[test]
fn a_picture_is_hidden_and_shown_again() {
    let mut window = with_side_picture();
    click(&mut window, "Show from port");
    assert!(picture(&window).hidden);
    click(&mut window, "Undo");
    assert!(!picture(&window).hidden);
}

#[test]
fn a_drag_of_the_opacity_is_one_step() {
    let mut window = with_side_picture();
    let slider = window.get_by_role_and_label(egui::Role::Slider, "Opacity of the picture").rect();
    let middle = slider.center();
    drag(&mut window, middle, vec2(slider.width(), 0.0));
    assert!((picture(&window).opacity - 1.0).abs() < 1e-9, "{}", picture(&window).opacity);
    drag(&mut window, slider.right_center() - vec2(6.0, 0.0), vec2(-2.0 * slider.width(), 0.0));
    assert_eq!(picture(&window).opacity, 0.0);
    click(&mut window, "Undo");
    assert!((picture(&window).opacity - 1.0).abs() < 1e-9);
    click(&mut window, "Undo");
    assert_eq!(picture(&window).opacity, 0.6);
}

#[test]
fn a_picked_point_is_dragged_and_the_picture_scaled_anew_when_it_is_let_go() {
    let mut window = with_side_picture();
    ask(&mut window, Ask::Command(Command::ScalePicture));
    let ends = [place_of(&window, [100.0, 150.0]), place_of(&window, [300.0, 150.0])];
    ends.into_iter().for_each(|at| click_at(&mut window, at));
    type_distance(&mut window, "1000");
    let before = picture(&window);
    let steps = window.state().desk.undo_label().map(str::to_owned);
    let second = "Picture from port, scale, point 2";
    let from = rect(&window, second).center();
    let to = place_of(&window, [200.0, 150.0]);

    begin_drag(&mut window, from, to - from);
    assert_eq!(picture(&window).placement, before.placement, "it moves when the point is let go");
    window.key_press(egui::Key::Escape);
    window.step();
    window.drop_at(to);
    window.run_ok();
    assert_eq!(picture(&window), before);
    assert_eq!(window.state().desk.undo_label().map(str::to_owned), steps);

    drag(&mut window, from, to - from);
    // 100 px are the 1000 mm now.
    let after = picture(&window);
    assert!((after.placement.mm_per_px - 2.5).abs() < 0.05, "{:?}", after.placement);
    // The first point stays where it was.
    let first = before.scale.expect("known").a;
    let moved = after.placement.to_view(first)[0] - before.placement.to_view(first)[0];
    assert!(moved.abs() < 1e-9, "{moved}");
    window.get_by_label(second).focus();
    window.run_ok();
    window.key_press(egui::Key::ArrowRight);
    window.run_ok();
    let nudged = picture(&window).scale.expect("known").b;
    assert!((nudged[0] - after.scale.expect("known").b[0] - 1.0 / after.placement.mm_per_px).abs() < 1e-6);
}

#[test]
fn a_point_of_a_picture_is_laid_on_the_datum() {
    let mut window = with_side_picture();
    ask(&mut window, Ask::Command(Command::DatumPicture));
    let at = place_of(&window, [120.0, 80.0]);
    click_at(&mut window, at);
    let [x, z] = picture(&window).placement.to_view([120.0, 80.0]);
    assert!(x.abs() < 0.5 && z.abs() < 0.5, "{x} {z}");
    assert_eq!(window.state().view.tool, crate::view::Tool::Select);
}

/// A file as the system hands it over.
#[derive(Debug)]
pub(crate) struct Dropped(pub(crate) std::path::PathBuf);

impl egui::DroppedFile for Dropped {
    fn path(&self) -> &std::path::Path {
        &self.0
    }

    fn bytes(&self) -> Result<Vec<u8>, String> {
        std::fs::read(&self.0).map_err(|e| e.to_string())
    }
}

#[test]
fn dropped_pictures_are_asked_about_one_after_the_other() {
    let folder = tempfile::tempdir().expect("a folder");
    let mut window = window(plain_desk());
    for name in ["one.png", "two.png"] {
        let path = folder.path().join(name);
        std::fs::write(&path, png(20, 10)).expect("written");
        window.input_mut().dropped_files.push(Arc::new(Dropped(path)));
    }
    window.run_ok();
    click(&mut window, "Side view");
    click(&mut window, "Face view");
    let pictures = window.state().desk.document().pictures.clone();
    let found: Vec<_> = pictures.iter().map(|p| (p.name.as_str(), p.view)).collect();
    assert_eq!(found, [("one", PictureView::Side), ("two", PictureView::Face)]);
}

#[test]
fn a_pasted_picture_asks_where_it_lies() {
    let mut window = window(plain_desk());
    let image = egui::ColorImage::filled([40, 30], egui::Color32::from_rgb(1, 2, 3));
    window.event(Event::PasteImage(Arc::new(image)));
    window.run_ok();
    click(&mut window, "Face view");
    assert_eq!(picture(&window).view, PictureView::Face);
    assert_eq!(picture(&window).size_px, [40, 30]);
}

#[test]
fn a_file_that_is_no_picture_says_so_and_changes_nothing() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("notes.png");
    std::fs::write(&path, "these are words").expect("written");
    let mut window = window(plain_desk());
    crate::pictures::from_file(window.state_mut(), &path);
    window.run_ok();
    assert!(message(&window).expect("a message").contains("not a JPEG or PNG"));
    assert!(window.state().desk.document().pictures.is_empty());
}

#[test]
fn escape_ends_picking() {
    let mut window = with_side_picture();
    ask(&mut window, Ask::Command(Command::ScalePicture));
    click_at(&mut window, pos2(300.0, 300.0));
    window.key_press(egui::Key::Escape);
    window.run_ok();
    assert_eq!(window.state().view.tool, crate::view::Tool::Select);
    assert_eq!(picture(&window).scale, None);
}
