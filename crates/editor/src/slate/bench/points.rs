//! Measured points as a table of two columns that can be typed, or pasted from a spreadsheet or a CSV file.

use crate::slate::part::Part;
use crate::slate::{Ask, Seen, note};
use crate::units::Units;
use egui::{RichText, ScrollArea, TextEdit, Ui};
use project::airframe::FuselageSection;
use project::document::MeasuredSection;

/// The table, and what is wrong with what was typed.
pub(super) fn table(
    ui: &mut Ui,
    seen: &Seen<'_>,
    part: &Part<'_, FuselageSection>,
    now: &MeasuredSection,
    asks: &mut Vec<Ask>,
) {
    note(
        ui,
        format!(
            "Half-breadth and height, in {}, a row each, from crown to keel. Paste columns here.",
            part.units.sign()
        ),
    );
    let name = format!("{} points", part.name);
    let id = ui.make_persistent_id(&name);
    let written = write(now, part.units);
    let mut text = ui.data(|d| d.get_temp::<String>(id)).unwrap_or_else(|| written.clone());
    let field = TextEdit::multiline(&mut text).desired_rows(7).desired_width(f32::INFINITY);
    let rows = ScrollArea::vertical().id_salt(&name).max_height(140.0);
    if rows.show(ui, |ui| ui.add(field).accessible_name(&name).changed()).inner {
        ui.data_mut(|d| d.insert_temp(id, text.clone()));
    }
    if text == written {
        return;
    }
    match read(&text, part.units) {
        Ok(points) => {
            let next = FuselageSection::Measured(with_points(now, points));
            let refused = project::promise::check_fuselage_section(&next).err();
            if let Some(refused) = &refused {
                wrong(ui, seen, &refused.to_string());
            }
            let label = format!("Use these points for the {}", part.name.to_lowercase());
            let button = ui.add_enabled(refused.is_none(), egui::Button::new("Use these points"));
            if button.accessible_name(label).clicked() {
                ui.data_mut(|d| d.remove_temp::<String>(id));
                asks.push(Ask::Do((part.edit)(next)));
            }
        }
        Err(why) => wrong(ui, seen, &why),
    }
    if ui.button("Put the points back").clicked() {
        ui.data_mut(|d| d.remove_temp::<String>(id));
    }
}

fn wrong(ui: &mut Ui, seen: &Seen<'_>, why: &str) {
    ui.label(RichText::new(why).small().color(seen.theme.error));
}

/// Knuckles are named by their points, so they stay only as long as there are as many.
fn with_points(now: &MeasuredSection, points: Vec<[f64; 2]>) -> MeasuredSection {
    let same = points.len() == now.points.len();
    let knuckles = if same { now.knuckles.clone() } else { Vec::new() };
    let breadth_point = now.breadth_point.filter(|_| same);
    MeasuredSection { points, knuckles, breadth_point, ..now.clone() }
}

fn write(section: &MeasuredSection, units: Units) -> String {
    let row = |p: &[f64; 2]| format!("{}\t{}", units.shown(p[0]), units.shown(p[1]));
    section.points.iter().map(row).collect::<Vec<_>>().join("\n")
}

/// Reads rows of two numbers, parted by tab, semicolon, comma or space; a decimal comma is understood wherever the comma
/// does not part the columns. A first row of words is a heading. A table from keel to crown is turned round.
fn read(text: &str, units: Units) -> Result<Vec<[f64; 2]>, String> {
    let mut points = Vec::new();
    for (index, line) in text.lines().enumerate() {
        let line = line.trim();
        if line.is_empty() || (index == 0 && !line.chars().any(|c| c.is_ascii_digit())) {
            continue;
        }
        let [y, z] = row(line)
            .ok_or_else(|| format!("Row {} is not two numbers: “{line}”. Give half-breadth and height.", index + 1))?;
        points.push([y * units.mm(), z * units.mm()]);
    }
    if points.len() < 3 {
        return Err("There are fewer than three points. Give at least three, better seven.".into());
    }
    if points.first().zip(points.last()).is_some_and(|(first, last)| first[1] < last[1]) {
        points.reverse();
    }
    Ok(points)
}

fn row(line: &str) -> Option<[f64; 2]> {
    let columns: Vec<String> = if line.contains(['\t', ';']) {
        line.split(['\t', ';']).map(|c| c.trim().replace(',', ".")).collect()
    } else if line.matches(',').count() == 1 && !line.contains(' ') || line.contains(", ") {
        line.split(',').map(|c| c.trim().to_owned()).collect()
    } else {
        line.split_whitespace().map(|c| c.replace(',', ".")).collect()
    };
    let numbers: Vec<f64> = columns.iter().filter(|c| !c.is_empty()).map(|c| c.parse().ok()).collect::<Option<_>>()?;
    let [y, z] = numbers[..] else { return None };
    (y.is_finite() && z.is_finite()).then_some([y, z])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_are_read_however_they_are_parted() {
        let wanted = vec![[0.0, 60.5], [40.25, 0.0], [0.0, -55.0]];
        for text in [
            "0\t60.5\n40.25\t0\n0\t-55",
            "half-breadth;height\n0;60,5\n40,25;0\n0;-55\n",
            "y,z\n0,60.5\n40.25,0\n0,-55",
            "0 60,5\n\n40,25 0\n0 -55",
            "0, 60.5\n40.25, 0\n0, -55",
            "0 -55\n40.25 0\n0 60.5",
        ] {
            assert_eq!(read(text, Units::Millimetre).as_ref(), Ok(&wanted), "{text}");
        }
    }

    #[test]
    fn inches_become_millimetres_and_what_is_wrong_is_named_by_its_row() {
        assert_eq!(read("0 2\n1 0\n0 -2", Units::Inch).unwrap()[1], [25.4, 0.0]);
        let why = read("0 60\n40 zero\n0 -60", Units::Millimetre).unwrap_err();
        assert!(why.starts_with("Row 2 is not two numbers: “40 zero”"), "{why}");
        assert!(read("0 60\n0 -60", Units::Millimetre).unwrap_err().contains("fewer than three"));
    }
}
