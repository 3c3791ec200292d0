//! All points of a section at once: pasted from a spreadsheet, typed as text, or read from a file.

use crate::act;
use crate::app::App;
use crate::dialogs::questions::tell;
use crate::dialogs::{Purpose, path, waiting};
use crate::floor::item::Which;
use crate::floor::layout::View;
use crate::slate::part::Part;
use crate::slate::{Ask, Seen, note};
use crate::units::Units;
use crate::view::{Selected, Tab};
use egui::{RichText, TextEdit, Ui};
use project::airframe::FuselageSection;
use project::edit::Edit;
use project::table::{PointsRead, read_points};
use std::path::Path;

/// Larger files are no points of a section, bytes.
const MOST_BYTES: u64 = 32 * 1024 * 1024;

/// A place to paste rows into, what they would be, and a button to use them.
pub(super) fn field(ui: &mut Ui, seen: &Seen<'_>, part: &Part<'_, FuselageSection>, asks: &mut Vec<Ask>) {
    let name = format!("{} points", part.name);
    let id = ui.make_persistent_id(&name);
    let mut text = ui.data(|d| d.get_temp::<String>(id)).unwrap_or_default();
    let rows = if text.is_empty() { 2 } else { 6 };
    let hint = "Paste two columns here: half-breadth and height.";
    let field = TextEdit::multiline(&mut text).desired_rows(rows).desired_width(f32::INFINITY).hint_text(hint);
    let show = |ui: &mut Ui| ui.add(field).accessible_name(&name).changed();
    if egui::ScrollArea::vertical().id_salt(&name).max_height(130.0).show(ui, show).inner {
        ui.data_mut(|d| d.insert_temp(id, text.clone()));
    }
    if text.trim().is_empty() {
        return;
    }
    let mut done = false;
    match read_points(&text, part.units.mm()) {
        Ok(read) => {
            note(ui, summary(&read));
            let label = format!("Use these points for the {}", part.name.to_lowercase());
            if ui.button("Use these points").accessible_name(label).clicked() {
                asks.push(Ask::Do((part.edit)(FuselageSection::Measured(read.section))));
                done = true;
            }
        }
        Err(error) => {
            ui.label(RichText::new(error.to_string()).small().color(seen.theme.error));
        }
    }
    done |= ui.button("Clear what was pasted").clicked();
    if done {
        ui.data_mut(|d| d.remove_temp::<String>(id));
    }
}

fn summary(read: &PointsRead) -> String {
    let mut text = format!("{} points.", read.section.points.len());
    for sentence in &read.notes {
        text.push(' ');
        text.push_str(sentence);
    }
    text
}

/// Asks for a file with the points of a section.
pub(super) fn ask_file(app: &mut App, ctx: &egui::Context, which: Which) {
    path::ask(app, ctx, Purpose::ReadPoints(which), "");
}

/// Reads the points of a section from a file, in the unit that is shown if the file does not name one.
pub(crate) fn read_file(app: &mut App, which: Which, path: &Path) {
    let (file, units) = (path.to_owned(), app.view.units);
    waiting::begin(app, format!("Reading {}", path.display()), move || {
        let read = points_of(&file, units);
        Box::new(move |app: &mut App| match read {
            Ok(read) => use_points(app, which, read),
            Err(why) => tell(app, "The points cannot be read", format!("{}\n\n{why}", file.display())),
        })
    });
}

fn points_of(path: &Path, units: Units) -> Result<PointsRead, String> {
    let about = std::fs::metadata(path).map_err(|e| format!("The file cannot be read: {e}."))?;
    if about.len() > MOST_BYTES {
        return Err("The file is larger than 32 MiB. Leave out what is not needed.".into());
    }
    let bytes = std::fs::read(path).map_err(|e| format!("The file cannot be read: {e}."))?;
    read_points(&text_of(&bytes), units.mm()).map_err(|error| error.to_string())
}

/// The text of a file as spreadsheets write it: UTF-8, or UTF-16 with its mark; digits are the same in all else.
fn text_of(bytes: &[u8]) -> String {
    let wide = |of: fn([u8; 2]) -> u16| {
        let units: Vec<u16> = bytes[2..].chunks_exact(2).map(|c| of([c[0], c[1]])).collect();
        String::from_utf16_lossy(&units)
    };
    match bytes {
        [0xff, 0xfe, ..] => wide(u16::from_le_bytes),
        [0xfe, 0xff, ..] => wide(u16::from_be_bytes),
        _ => String::from_utf8_lossy(bytes).into_owned(),
    }
}

fn use_points(app: &mut App, which: Which, read: PointsRead) {
    let said = summary(&read);
    let old = app.desk.document().airframe.fuselage.clone();
    let end = old.unwrap_or_else(|| super::begin_fuselage(&app.derived));
    let end = super::remove::with_section(end, which, FuselageSection::Measured(read.section));
    let label = "Read the fuselage's points".to_owned();
    act::edit_once(app, &Edit::Together { label, edits: vec![Edit::SetFuselage(Some(end))] });
    if app.message.is_none() {
        app.view.selected = Selected::Bench { item: which.item(), view: View::Face };
        app.view.tab = Tab::Bench;
        app.note = Some(said);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn files_of_other_encodings_are_read_as_text() {
        let text = "y;z\n0;60,5";
        let wide: Vec<u8> = [0xff, 0xfe].into_iter().chain(text.encode_utf16().flat_map(u16::to_le_bytes)).collect();
        assert_eq!(text_of(&wide), text);
        assert_eq!(text_of(text.as_bytes()), text);
        assert!(text_of(b"H\xf6he;0\n1;2").ends_with("he;0\n1;2"));
    }
}
