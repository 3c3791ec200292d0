//! What is known and found of the photograph on the light table: a step of the job after the other.

mod camera;
mod flat;
mod landmarks;
mod rows;
mod solving;
mod traces;

use super::{Ask, Seen};
use crate::view::ViewState;
use egui::{CollapsingHeader, Ui};
use project::document::Picture;

/// The picture on the table.
pub(super) struct OnTable<'a> {
    pub(super) index: usize,
    pub(super) picture: &'a Picture,
}

/// The part with the solve: it comes into sight when one begins.
const SOLVING: &str = "Sections from photographs";

/// The pages under the list of pictures.
pub(super) fn pages(ui: &mut Ui, seen: &Seen<'_>, view: &ViewState, on: &OnTable<'_>, asks: &mut Vec<Ask>) {
    let solving = solving::came_anew(ui, seen);
    let mut part = |title: &str, open: bool, contents: &mut dyn FnMut(&mut Ui)| {
        let header = CollapsingHeader::new(egui::RichText::new(title).font(crate::theme::bold(crate::theme::BODY)));
        let reveal = solving && title == SOLVING;
        let header = header.id_salt(("sight", title)).default_open(open).open(reveal.then_some(true));
        let shown = header.show_unindented(ui, |ui| contents(ui));
        if reveal {
            shown.header_response.scroll_to_me(Some(egui::Align::Min));
        }
    };
    part("Landmarks", true, &mut |ui| landmarks::page(ui, seen, view, on, asks));
    part("Camera", true, &mut |ui| camera::page(ui, seen, view, on, asks));
    part("Traces", true, &mut |ui| traces::page(ui, seen, view, on, asks));
    part(SOLVING, true, &mut |ui| solving::page(ui, seen, view, on, asks));
    part("Distances, lens, flat figure", false, &mut |ui| flat::page(ui, seen, view, on, asks));
}
