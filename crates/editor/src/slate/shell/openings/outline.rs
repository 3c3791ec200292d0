//! The numbers of one outline: its shape, middle, size, turn and corners, or its points.

use crate::on_shell::openings::begin::Shape;
use crate::on_shell::openings::{axes, grips, sizes};
use crate::slate::field::{self, Number};
use crate::slate::part::Part;
use crate::slate::several::come_into_view;
use crate::slate::{Ask, Seen, note};
use egui::{Button, RichText, ScrollArea, Ui};
use project::edit::Edit;
use project::opening::{Outline, OutlinePoint, Seen as From};

/// Widths of a number in a row, where there is room and where there is little.
const CELL: [f32; 2] = [46.0, 74.0];
/// What a row takes beside its two numbers.
const BESIDE_CELLS: f32 = 124.0;
/// Height of the table before it scrolls.
const MOST_HEIGHT: f32 = 190.0;

/// Shape and numbers; `chosen` is the point of a drawn outline that is selected.
pub(super) fn fields(
    ui: &mut Ui,
    seen: &Seen<'_>,
    part: &Part<'_, Outline>,
    from: From,
    chosen: Option<usize>,
    asks: &mut Vec<Ask>,
) {
    let now = Shape::of(part.now);
    part.choice(ui, "Shape", &Shape::ALL, now, asks, |outline, shape| *outline = reshaped(outline, shape));
    middle(ui, part, from, asks);
    match part.now {
        Outline::Ellipse { size, turn_deg, .. } => {
            for (axis, label) in sizes(from).into_iter().enumerate() {
                part.length(ui, label, size[axis], asks, |outline, mm| set_size(outline, axis, mm));
            }
            turn(ui, part, *turn_deg, asks);
        }
        Outline::Box { size, radius, turn_deg, .. } => {
            for (axis, label) in sizes(from).into_iter().enumerate() {
                part.length(ui, label, size[axis], asks, |outline, mm| set_size(outline, axis, mm));
            }
            part.length(ui, "Corner radius", *radius, asks, |outline, mm| {
                if let Outline::Box { radius, .. } = outline {
                    *radius = mm;
                }
            });
            turn(ui, part, *turn_deg, asks);
        }
        Outline::Drawn { points } => table(ui, seen, part, from, points, chosen, asks),
    }
}

fn middle(ui: &mut Ui, part: &Part<'_, Outline>, from: From, asks: &mut Vec<Ask>) {
    let middle = grips::middle(part.now);
    for (axis, label) in axes(from).into_iter().enumerate() {
        let label = format!("Middle {label}");
        part.length(ui, &label, middle[axis], asks, |outline, mm| {
            let mut to = middle;
            to[axis] = mm;
            grips::place(outline, to);
        });
    }
}

fn turn(ui: &mut Ui, part: &Part<'_, Outline>, now: f64, asks: &mut Vec<Ask>) {
    part.angle(ui, "Turned", now, asks, |outline, degrees| match outline {
        Outline::Ellipse { turn_deg, .. } | Outline::Box { turn_deg, .. } => *turn_deg = degrees,
        Outline::Drawn { .. } => {}
    });
}

/// Corners that would not fit any more become rounder no further than they can.
fn set_size(outline: &mut Outline, axis: usize, mm: f64) {
    match outline {
        Outline::Ellipse { size, .. } => size[axis] = mm,
        Outline::Box { size, radius, .. } => {
            let slot = *radius >= 0.5 * size[0].min(size[1]);
            size[axis] = mm;
            let most = 0.5 * size[0].min(size[1]);
            *radius = if slot { most } else { radius.min(most) }.max(0.0);
        }
        Outline::Drawn { .. } => {}
    }
}

/// The same middle and size as another shape.
fn reshaped(outline: &Outline, shape: Shape) -> Outline {
    match outline {
        Outline::Ellipse { centre, size, turn_deg } | Outline::Box { centre, size, turn_deg, .. } => {
            shape.outline(*centre, *size, *turn_deg)
        }
        Outline::Drawn { .. } => shape.outline(grips::middle(outline), grips::bounds(outline), 0.0),
    }
}

/// Points as rows of numbers.
fn table(
    ui: &mut Ui,
    seen: &Seen<'_>,
    part: &Part<'_, Outline>,
    from: From,
    points: &[OutlinePoint],
    chosen: Option<usize>,
    asks: &mut Vec<Ask>,
) {
    let [a, b] = axes(from);
    note(ui, format!("Points in order ({}): {a}, {b}, corner. The outline closes by itself.", part.units.sign()));
    let cell = (0.5 * (ui.available_width() - BESIDE_CELLS)).clamp(CELL[0], CELL[1]).floor();
    ScrollArea::vertical().id_salt(part.name).max_height(MOST_HEIGHT).show(ui, |ui| {
        for index in 0..points.len() {
            Row { part, from, points, index, cell, chosen: chosen == Some(index) }.show(ui, seen, asks);
        }
    });
}

/// One point.
struct Row<'a> {
    part: &'a Part<'a, Outline>,
    from: From,
    points: &'a [OutlinePoint],
    index: usize,
    cell: f32,
    chosen: bool,
}

impl Row<'_> {
    fn show(&self, ui: &mut Ui, seen: &Seen<'_>, asks: &mut Vec<Ask>) {
        let Some(point) = self.points.get(self.index).copied() else { return };
        ui.horizontal(|ui| {
            ui.spacing_mut().item_spacing.x = 4.0;
            let colour = if self.chosen { seen.theme.accent } else { seen.theme.weak };
            let number = RichText::new((self.index + 1).to_string()).small().color(colour);
            let place = ui.add_sized([18.0, 22.0], egui::Label::new(number));
            come_into_view(ui, &place, self.chosen);
            for (axis, what) in axes(self.from).into_iter().enumerate() {
                self.cell(ui, what, point.at[axis], asks, axis);
            }
            let mut corner = point.corner;
            let tick = ui.checkbox(&mut corner, "").on_hover_text("A corner: the outline breaks here.");
            if tick.accessible_name(self.called("", "corner")).changed() {
                asks.push(Ask::Do(self.changed(|points, index| points[index].corner = corner)));
            }
            let minus = ui.add_enabled(self.points.len() > 3, Button::new("−").small());
            if minus.on_hover_text("Removes the point.").accessible_name(self.called("Remove", "")).clicked() {
                asks.push(Ask::Do(self.changed(|points, index| {
                    points.remove(index);
                })));
            }
            let plus = ui.small_button("+").on_hover_text("Adds a point half way to the next.");
            if plus.accessible_name(self.called("Add a point after", "")).clicked() {
                asks.push(Ask::Do(self.changed(add_between)));
            }
        });
    }

    fn cell(&self, ui: &mut Ui, what: &str, mm: f64, asks: &mut Vec<Ask>, axis: usize) {
        let units = self.part.units;
        let number = Number {
            label: "",
            name: self.called("", what),
            suffix: "",
            decimals: units.decimals(),
            speed: 0.2 / units.mm(),
            range: [f64::NEG_INFINITY, f64::INFINITY],
        };
        let edit = |v: f64| self.changed(|points, index| points[index].at[axis] = v * units.mm());
        field::cell(ui, &number, units.shown(mm), self.cell, asks, edit);
    }

    fn called(&self, before: &str, after: &str) -> String {
        let name = format!("{} point {}", self.part.name, self.index + 1);
        let name = if before.is_empty() { name } else { format!("{before} {}", name.to_lowercase()) };
        if after.is_empty() { name } else { format!("{name} {after}") }
    }

    /// The outline with its points changed; the index is within them.
    fn changed(&self, change: impl FnOnce(&mut Vec<OutlinePoint>, usize)) -> Edit {
        let mut points = self.points.to_vec();
        if self.index < points.len() {
            change(&mut points, self.index);
        }
        (self.part.edit)(Outline::Drawn { points })
    }
}

fn add_between(points: &mut Vec<OutlinePoint>, index: usize) {
    let next = points[(index + 1) % points.len()].at;
    let here = points[index].at;
    let at = std::array::from_fn(|axis| f64::midpoint(here[axis], next[axis]));
    points.insert(index + 1, OutlinePoint { at, corner: false });
}
