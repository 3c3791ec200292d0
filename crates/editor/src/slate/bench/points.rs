//! Measured points as rows of numbers: edited, added, removed, made corners; and the ways to bring in all of them.

use super::{BenchAsk, paste};
use crate::floor::airframe_drag::{add_point, move_point, remove_point};
use crate::floor::item::{Grip, Item, Which};
use crate::slate::field::{self, Number};
use crate::slate::part::Part;
use crate::slate::{Ask, Seen, note};
use crate::view::{Tool, ViewState};
use egui::{Button, RichText, ScrollArea, Ui};
use project::airframe::FuselageSection;
use project::document::{MeasuredKnuckle, MeasuredSection};
use project::edit::Edit;

/// Widths of a number in a row, where there is room and where there is little.
const CELL: [f32; 2] = [46.0, 74.0];
/// What a row takes beside its two numbers.
const BESIDE_CELLS: f32 = 124.0;
/// Height of the table before it scrolls.
const MOST_HEIGHT: f32 = 210.0;

/// The rows, and what brings in others.
pub(super) fn table(
    ui: &mut Ui,
    seen: &Seen<'_>,
    view: &ViewState,
    part: &Part<'_, FuselageSection>,
    which: Which,
    now: &MeasuredSection,
    asks: &mut Vec<Ask>,
) {
    note(ui, format!("From crown to keel ({}): half-breadth, height, corner.", part.units.sign()));
    let chosen = match view.selected.item() {
        Some(Item::Section(section, Grip::Point(index))) if section == which => Some(index),
        _ => None,
    };
    let cell = (0.5 * (ui.available_width() - BESIDE_CELLS)).clamp(CELL[0], CELL[1]).floor();
    ScrollArea::vertical().id_salt(part.name).max_height(MOST_HEIGHT).show(ui, |ui| {
        for index in 0..now.points.len() {
            Row { part, now, index, cell, chosen: chosen == Some(index) }.show(ui, seen, asks);
        }
    });
    ui.horizontal_wrapped(|ui| sources(ui, which, asks));
    paste::field(ui, seen, part, asks);
}

/// Buttons that bring in all points at once.
pub(super) fn sources(ui: &mut Ui, which: Which, asks: &mut Vec<Ask>) {
    let name = which.label().to_lowercase();
    let read = ui.button("Read a CSV file…").on_hover_text("Half-breadth and height, a row for each point.");
    if read.accessible_name(format!("Read a CSV file for the {name}")).clicked() {
        asks.push(Ask::Bench(BenchAsk::ReadPoints(which)));
    }
    let trace = ui.button("Trace from the picture");
    let trace = trace.on_hover_text("Click along its outline on a face picture that is to scale.");
    if trace.accessible_name(format!("Trace the {name} from the picture")).clicked() {
        asks.push(Ask::Bench(BenchAsk::Trace(which)));
    }
}

/// While a section is traced: how to end that without the keyboard.
pub(super) fn tracing(ui: &mut Ui, view: &ViewState, which: Which, asks: &mut Vec<Ask>) {
    if view.tool != Tool::Trace || super::meant(view) != which {
        return;
    }
    note(ui, "Click along one half of the outline in the face view, from centre line to centre line.");
    ui.horizontal_wrapped(|ui| {
        for (label, ask) in [
            ("Use what is traced", BenchAsk::EndTrace),
            ("Take the last point back", BenchAsk::TakeBack),
            ("Drop it", BenchAsk::DropTrace),
        ] {
            if ui.button(label).clicked() {
                asks.push(Ask::Bench(ask));
            }
        }
    });
}

/// One point.
struct Row<'a> {
    part: &'a Part<'a, FuselageSection>,
    now: &'a MeasuredSection,
    index: usize,
    cell: f32,
    chosen: bool,
}

impl Row<'_> {
    fn show(&self, ui: &mut Ui, seen: &Seen<'_>, asks: &mut Vec<Ask>) {
        let [y, z] = self.now.points[self.index];
        let units = self.part.units;
        let end = self.index == 0 || self.index + 1 == self.now.points.len();
        ui.horizontal(|ui| {
            ui.spacing_mut().item_spacing.x = 4.0;
            let colour = if self.chosen { seen.theme.accent } else { seen.theme.weak };
            let number = RichText::new((self.index + 1).to_string()).small().color(colour);
            let place = ui.add_sized([18.0, 22.0], egui::Label::new(number));
            super::come_into_view(ui, &place, self.chosen);
            ui.add_enabled_ui(!end, |ui| {
                self.cell(ui, "half-breadth", units.shown(y), asks, |v| [v * units.mm(), z]);
            });
            self.cell(ui, "height", units.shown(z), asks, |v| [y, v * units.mm()]);
            self.corner(ui, asks);
            let minus = ui.add_enabled(!end && self.now.points.len() > 3, Button::new("−").small());
            if minus.on_hover_text("Removes the point.").accessible_name(self.called("Remove", "")).clicked() {
                asks.push(Ask::Do(self.changed(|m| {
                    remove_point(m, self.index);
                })));
            }
            if self.index + 1 < self.now.points.len() {
                let plus = ui.small_button("+").on_hover_text("Adds a point half way to the next.");
                if plus.accessible_name(self.called("Add a point after", "")).clicked() {
                    asks.push(Ask::Do(self.changed(|m| add_between(m, self.index))));
                }
            }
        });
    }

    fn called(&self, before: &str, after: &str) -> String {
        let name = format!("{} point {}", self.part.name, self.index + 1);
        let name = if before.is_empty() { name } else { format!("{before} {}", name.to_lowercase()) };
        if after.is_empty() { name } else { format!("{name} {after}") }
    }

    fn cell(&self, ui: &mut Ui, what: &str, shown: f64, asks: &mut Vec<Ask>, to: impl Fn(f64) -> [f64; 2]) {
        let number = Number {
            label: "",
            name: self.called("", what),
            suffix: "",
            decimals: self.part.units.decimals(),
            speed: 0.2 / self.part.units.mm(),
            range: [f64::NEG_INFINITY, f64::INFINITY],
        };
        field::cell(ui, &number, shown, self.cell, asks, |v| self.changed(|m| move_point(m, self.index, to(v))));
    }

    fn corner(&self, ui: &mut Ui, asks: &mut Vec<Ask>) {
        let last = self.now.points.len() - 1;
        let mut is_corner = match self.index {
            0 => self.now.crown_ridge,
            i if i == last => self.now.keel_ridge,
            i => self.now.knuckles.iter().any(|k| k.point == i),
        };
        let ticked = ui.checkbox(&mut is_corner, "").on_hover_text("A corner: the outline breaks here.");
        if ticked.accessible_name(self.called("", "corner")).changed() {
            asks.push(Ask::Do(self.changed(|m| set_corner(m, self.index, is_corner))));
        }
    }

    fn changed(&self, change: impl FnOnce(&mut MeasuredSection)) -> Edit {
        let mut next = self.now.clone();
        change(&mut next);
        (self.part.edit)(FuselageSection::Measured(next))
    }
}

/// Half way along the curve to the next point, so that it changes as little as can be.
fn add_between(measured: &mut MeasuredSection, index: usize) {
    let [a, b] = [measured.points[index], measured.points[index + 1]];
    let outline = fit::fuselage::outline(&FuselageSection::Measured(measured.clone()), 0.01);
    let middle = [f64::midpoint(a[0], b[0]), f64::midpoint(a[1], b[1])];
    let at = outline.map_or(middle, |o| o.nearest(middle).at);
    add_point(measured, at);
}

/// Makes a point a corner or smooth; a new knuckle gets the least number that is free.
fn set_corner(measured: &mut MeasuredSection, index: usize, corner: bool) {
    if index == 0 {
        measured.crown_ridge = corner;
    } else if index + 1 == measured.points.len() {
        measured.keel_ridge = corner;
    } else if corner {
        let free = (1..).find(|n| measured.knuckles.iter().all(|k| k.number != *n)).unwrap_or(1);
        let at = measured.knuckles.partition_point(|k| k.point < index);
        measured.knuckles.insert(at, MeasuredKnuckle { point: index, number: free });
    } else {
        measured.knuckles.retain(|k| k.point != index);
    }
}
