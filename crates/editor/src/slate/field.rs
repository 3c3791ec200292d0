//! Numbers that can be dragged, typed, and read out by assistive technology.

use crate::slate::Ask;
use crate::units::Units;
use egui::{DragValue, Response, Ui};
use project::edit::Edit;

/// Width of the labels before the fields.
const LABEL: f32 = 118.0;
/// Width of the fields.
pub(crate) const FIELD: f32 = 100.0;

/// How a number is shown and how fast it is dragged.
pub(crate) struct Number<'a> {
    /// What stands before the field.
    pub(crate) label: &'a str,
    /// The name for assistive technology, unique on the slate.
    pub(crate) name: String,
    pub(crate) suffix: &'a str,
    pub(crate) decimals: usize,
    /// Change per point of dragging.
    pub(crate) speed: f64,
    pub(crate) range: [f64; 2],
}

/// A length in mm, shown in the units of the view.
pub(crate) fn length(
    ui: &mut Ui,
    label: &str,
    name: impl Into<String>,
    mm: f64,
    units: Units,
    asks: &mut Vec<Ask>,
    edit: impl Fn(f64) -> Edit,
) {
    let number = Number {
        label,
        name: name.into(),
        suffix: units.sign(),
        decimals: units.decimals(),
        speed: 0.2 / units.mm(),
        range: [f64::NEG_INFINITY, f64::INFINITY],
    };
    number_field(ui, &number, units.shown(mm), asks, |value| edit(value * units.mm()));
}

/// A number: dragging previews, letting go or typing makes one step.
pub(crate) fn number_field(
    ui: &mut Ui,
    number: &Number<'_>,
    value: f64,
    asks: &mut Vec<Ask>,
    edit: impl Fn(f64) -> Edit,
) {
    row(ui, number.label, |ui| cell(ui, number, value, FIELD, asks, edit));
}

/// The field of a number alone, so wide, as in a table.
pub(crate) fn cell(
    ui: &mut Ui,
    number: &Number<'_>,
    value: f64,
    width: f32,
    asks: &mut Vec<Ask>,
    edit: impl Fn(f64) -> Edit,
) {
    let mut changed = value;
    let response = drag_value(ui, number, &mut changed, width);
    if response.dragged() {
        if response.changed() {
            asks.push(Ask::Preview(edit(changed)));
        }
    } else if response.drag_stopped() {
        asks.push(Ask::Commit);
    } else if response.changed() && changed != value {
        asks.push(Ask::Do(edit(changed)));
    }
}

/// A number that is no part of the document: every change is asked for at once.
pub(crate) fn asking(ui: &mut Ui, number: &Number<'_>, value: f64, asks: &mut Vec<Ask>, ask: impl Fn(f64) -> Ask) {
    row(ui, number.label, |ui| {
        let mut changed = value;
        if drag_value(ui, number, &mut changed, FIELD).changed() && changed != value {
            asks.push(ask(changed));
        }
    });
}

fn drag_value(ui: &mut Ui, number: &Number<'_>, value: &mut f64, width: f32) -> Response {
    let suffix = if number.suffix.is_empty() { String::new() } else { format!(" {}", number.suffix) };
    let field = DragValue::new(value)
        .speed(number.speed)
        .range(number.range[0]..=number.range[1])
        .max_decimals(number.decimals)
        .min_decimals(number.decimals.min(2))
        .suffix(suffix)
        .update_while_editing(false);
    ui.add_sized([width, 22.0], field).accessible_name(number.name.clone())
}

/// A label and what belongs to it.
pub(crate) fn row<R>(ui: &mut Ui, label: &str, contents: impl FnOnce(&mut Ui) -> R) -> R {
    ui.horizontal(|ui| {
        let left = egui::Layout::left_to_right(egui::Align::Center);
        ui.allocate_ui_with_layout(egui::vec2(LABEL, 22.0), left, |ui| {
            ui.set_min_width(LABEL);
            ui.add(egui::Label::new(label).truncate());
        });
        contents(ui)
    })
    .inner
}

/// A label and a text that is only read.
pub(crate) fn reading(ui: &mut Ui, label: &str, text: impl Into<String>) {
    row(ui, label, |ui| ui.label(text.into()));
}
