//! Numbers and choices of one part of the document that is replaced as a whole, such as the thrust line.

use super::Ask;
use super::field::{self, Number};
use crate::units::Units;
use egui::Ui;
use project::edit::Edit;

/// Width of a cell, in points: three and a cross stand beside each other.
pub(super) const CELL: f32 = 68.0;

/// One part, its name for assistive technology, and the edit that puts another in its place.
pub(super) struct Part<'a, T> {
    pub(super) name: &'a str,
    pub(super) now: &'a T,
    pub(super) units: Units,
    pub(super) edit: &'a dyn Fn(T) -> Edit,
}

impl<T: Clone> Part<'_, T> {
    fn with(&self, change: impl FnOnce(&mut T)) -> Edit {
        let mut next = self.now.clone();
        change(&mut next);
        (self.edit)(next)
    }

    fn called(&self, label: &str) -> String {
        format!("{} {}", self.name, label.to_lowercase())
    }

    /// A length in mm.
    pub(super) fn length(&self, ui: &mut Ui, label: &str, mm: f64, asks: &mut Vec<Ask>, set: impl Fn(&mut T, f64)) {
        field::length(ui, label, self.called(label), mm, self.units, asks, |mm| self.with(|part| set(part, mm)));
    }

    /// A length in mm whose name needs a word of explanation, which its label gives when it is pointed at.
    pub(super) fn explained(
        &self,
        ui: &mut Ui,
        (label, tip): (&str, &str),
        mm: f64,
        asks: &mut Vec<Ask>,
        set: impl Fn(&mut T, f64),
    ) {
        ui.scope(|ui| self.length(ui, label, mm, asks, set)).response.on_hover_text(tip);
    }

    /// A length in mm as a cell of a table that names it and its unit.
    pub(super) fn cell(&self, ui: &mut Ui, label: &str, mm: f64, asks: &mut Vec<Ask>, set: impl Fn(&mut T, f64)) {
        let units = self.units;
        let number = Number {
            label,
            name: self.called(label),
            suffix: "",
            decimals: units.decimals(),
            speed: 0.2 / units.mm(),
            range: [f64::NEG_INFINITY, f64::INFINITY],
        };
        let edit = |value: f64| self.with(|part| set(part, value * units.mm()));
        field::cell(ui, &number, units.shown(mm), CELL, asks, edit);
    }

    /// An angle in degrees.
    pub(super) fn angle(&self, ui: &mut Ui, label: &str, degrees: f64, asks: &mut Vec<Ask>, set: impl Fn(&mut T, f64)) {
        self.number(ui, label, ("°", 2, 0.05), degrees, asks, set);
    }

    /// Another number, with its unit, its decimals and how fast it is dragged.
    pub(super) fn number(
        &self,
        ui: &mut Ui,
        label: &str,
        (suffix, decimals, speed): (&str, usize, f64),
        value: f64,
        asks: &mut Vec<Ask>,
        set: impl Fn(&mut T, f64),
    ) {
        let range = [f64::NEG_INFINITY, f64::INFINITY];
        let number = Number { label, name: self.called(label), suffix, decimals, speed, range };
        field::number_field(ui, &number, value, asks, |value| self.with(|part| set(part, value)));
    }

    /// One of a few, side by side.
    pub(super) fn choice<V: PartialEq + Copy>(
        &self,
        ui: &mut Ui,
        label: &str,
        options: &[(&str, V)],
        now: V,
        asks: &mut Vec<Ask>,
        set: impl Fn(&mut T, V),
    ) {
        ui.add_space(2.0);
        ui.label(label);
        ui.horizontal_wrapped(|ui| {
            for (option, value) in options {
                let chosen = *value == now;
                let name = format!("{}: {option}", self.called(label));
                if ui.selectable_label(chosen, *option).accessible_name(name).clicked() && !chosen {
                    asks.push(Ask::Do(self.with(|part| set(part, *value))));
                }
            }
        });
    }

    /// Yes or no.
    pub(super) fn tick(
        &self,
        ui: &mut Ui,
        label: &str,
        now: bool,
        asks: &mut Vec<Ask>,
        set: impl FnOnce(&mut T, bool),
    ) {
        let mut ticked = now;
        let response = ui.checkbox(&mut ticked, label).accessible_name(self.called(label));
        if response.changed() {
            asks.push(Ask::Do(self.with(|part| set(part, ticked))));
        }
    }

    /// A line of text.
    pub(super) fn text(&self, ui: &mut Ui, label: &str, now: &str, asks: &mut Vec<Ask>, set: impl Fn(&mut T, String)) {
        ui.label(label);
        super::project_page::text_field(ui, &self.called(label), now, |text| {
            asks.push(Ask::Do(self.with(|part| set(part, text))));
        });
    }

    /// A button that changes it.
    pub(super) fn button(&self, ui: &mut Ui, label: &str, tip: &str, asks: &mut Vec<Ask>, set: impl FnOnce(&mut T)) {
        if ui.button(label).on_hover_text(tip).clicked() {
            asks.push(Ask::Do(self.with(set)));
        }
    }
}
