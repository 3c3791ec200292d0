//! The square picture of a flat figure's plane.

use super::super::OnTable;
use super::distances::per_px;
use crate::light_table::flat::square::{area, upright};
use crate::light_table::flat::{FlatAsk, Wanted};
use crate::slate::field::row;
use crate::slate::{Ask, Seen, heading, note};
use crate::view::ViewState;
use egui::{Button, ComboBox, DragValue, ProgressBar, RichText, Ui};
use project::document::PictureView;

/// What it would be, and the button that makes it.
pub(super) fn part(ui: &mut Ui, seen: &Seen<'_>, view: &ViewState, on: &OnTable<'_>, asks: &mut Vec<Ask>) {
    heading(ui, "Square picture");
    let wanted = seen.table.flat.wanted;
    let mut now = wanted;
    row(ui, "Room about it", |ui| {
        let mut percent = 100.0 * now.margin;
        let field = DragValue::new(&mut percent).range(0.0..=1000.0).speed(1.0).max_decimals(0).suffix(" %");
        if ui.add_sized([76.0, 22.0], field).accessible_name("Room about the figure").changed() {
            now.margin = percent / 100.0;
        }
    });
    row(ui, "Lies under", |ui| {
        let lies = now.view.unwrap_or(on.picture.view);
        let combo = ComboBox::from_id_salt("view of the square picture").selected_text(words(lies)).width(110.0);
        let response = combo.show_ui(ui, |ui| {
            for to in [PictureView::Side, PictureView::Face, PictureView::Plan, PictureView::Reference] {
                if ui.selectable_label(lies == to, words(to)).clicked() {
                    now.view = Some(to);
                }
            }
        });
        response.response.accessible_name("View of the square picture");
    });
    if now != wanted {
        asks.push(Ask::Flat(FlatAsk::Want(now)));
    }
    size(ui, seen, view, on, now);
    let squaring = seen.table.flat.squaring.as_ref();
    if let Some(share) = squaring.and_then(|s| s.progress()) {
        ui.horizontal(|ui| {
            ui.add(ProgressBar::new(share).desired_width(150.0).show_percentage());
            if ui.button("Stop").accessible_name("Stop drawing the square picture").clicked() {
                asks.push(Ask::Flat(FlatAsk::StopSquaring));
            }
        });
        return;
    }
    if let Some(why) = squaring.and_then(|s| s.failure.as_deref()) {
        ui.colored_label(seen.theme.warning, RichText::new(why).small());
    }
    let button = Button::new("Make a square picture of it");
    if ui
        .add(button)
        .on_hover_text("A new picture of this project, to scale: only what lies in the plane is true in it.")
        .clicked()
    {
        asks.push(Ask::Flat(FlatAsk::Square));
    }
}

/// What it will show.
fn size(ui: &mut Ui, seen: &Seen<'_>, view: &ViewState, on: &OnTable<'_>, wanted: Wanted) {
    let Some(Ok(plane)) = upright(seen.document, on.picture) else { return };
    let Some(area) = area(on.picture, &plane, wanted.margin) else { return };
    let side = |k: usize| area.most[k] - area.least[k];
    let pixels = [0, 1].map(|k| (side(k) / area.mm_per_px).ceil());
    note(
        ui,
        format!(
            "{} by {} at the model, {:.0} x {:.0} px of {} mm.",
            view.units.length(side(0)),
            view.units.length(side(1)),
            pixels[0],
            pixels[1],
            per_px(area.mm_per_px)
        ),
    );
}

fn words(view: PictureView) -> &'static str {
    match view {
        PictureView::Side => "side view",
        PictureView::Face => "face view",
        PictureView::Plan => "plan",
        PictureView::Reference => "no view",
    }
}
