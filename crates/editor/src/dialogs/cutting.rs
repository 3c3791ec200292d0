//! What files for machines need to know before they are written: how wide the machine cuts.

use super::{Purpose, Stay, buttons, files, modal, path};
use crate::app::App;
use crate::slate::{field, note};
use egui::DragValue;

/// No knife, laser or wire for card cuts wider than this, mm.
const WIDEST: f64 = 10.0;

/// The question.
pub(crate) struct Cutting {
    /// Width of the cut in card, mm.
    kerf: f64,
    fresh: bool,
}

impl Cutting {
    /// As a knife cuts.
    pub(crate) fn new() -> Self {
        Self { kerf: 0.0, fresh: true }
    }
}

/// Draws it.
pub(super) fn show(ctx: &egui::Context, app: &mut App, cutting: &mut Cutting) -> Stay {
    let mut stay = Stay::Open;
    let units = app.view.units;
    modal(ctx, "Files for cutting", 460.0, |ui| {
        note(ui, "One SVG in millimetres for every sheet of card and every board, with cuts, scores and words apart.");
        ui.add_space(4.0);
        field::row(ui, "Cut in card", |ui| {
            let mut shown = units.shown(cutting.kerf);
            let field = DragValue::new(&mut shown).speed(0.01 / units.mm()).range(0.0..=WIDEST / units.mm());
            let field = field.max_decimals(units.decimals()).suffix(format!(" {}", units.sign()));
            let response = ui.add_sized([120.0, 24.0], field).accessible_name("Width of the cut in card");
            if std::mem::take(&mut cutting.fresh) {
                response.request_focus();
            }
            cutting.kerf = shown * units.mm();
        });
        note(ui, "How wide the tool cuts: 0 for a knife, a few tenths for a laser; measure it on a scrap.");
        let foam = app.desk.document().build.foam.kerf;
        note(ui, format!("In foam it is {}, from the Build page.", units.length(foam)));
        match buttons(ui, &["Choose a folder…", "Cancel"], true) {
            Some(0) => {
                let name = format!("{}-cut", files::file_stem(&app.desk.document().name));
                path::ask(app, ctx, Purpose::WriteCut { kerf: cutting.kerf }, &name);
                stay = Stay::Closed;
            }
            Some(_) => stay = Stay::Closed,
            None => {}
        }
    });
    stay
}
