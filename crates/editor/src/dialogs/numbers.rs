//! Dialogs that ask for a number or two.

use super::{Stay, buttons, modal, select_all};
use crate::act;
use crate::app::App;
use crate::floor::scene::letter;
use crate::slate::note;
use crate::units::Units;
use crate::view::{PickPurpose, Selected};
use egui::{DragValue, TextEdit, Ui};
use project::document::KnownDistance;
use project::edit::Edit;

/// Stations at a pitch, or from a list.
pub(crate) struct Spread {
    pub(crate) from: f64,
    pub(crate) to: f64,
    pub(crate) pitch: f64,
    pub(crate) list: String,
    pub(crate) by_list: bool,
    /// Just opened: the first field takes the keys.
    pub(crate) fresh: bool,
}

impl Spread {
    /// Over the body from end to end, with the present stations as the list.
    pub(crate) fn new(reach: [f64; 2], stations: &[f64], units: Units) -> Self {
        let list = stations.iter().map(|x| units.number(*x)).collect::<Vec<_>>().join(", ");
        Self { from: reach[0], to: reach[1], pitch: 30.0, list, by_list: false, fresh: true }
    }

    /// The stations it asks for, or what is wrong.
    fn stations(&self, units: Units) -> Result<Vec<f64>, String> {
        if self.by_list { from_list(&self.list, units) } else { at_pitch(self.from, self.to, self.pitch) }
    }
}

const MOST: usize = 500;

fn at_pitch(from: f64, to: f64, pitch: f64) -> Result<Vec<f64>, String> {
    if !(pitch > 0.05 && to > from) {
        return Err("The pitch must be positive, and the last station aft of the first.".into());
    }
    // The last station may miss a whole pitch by a hair.
    let count = ((to - from) / pitch + 1e-6).floor() as usize + 1;
    if count > MOST {
        return Err(format!("That would be {count} stations; {MOST} are the most."));
    }
    Ok((0..count).map(|i| from + i as f64 * pitch).collect())
}

fn from_list(list: &str, units: Units) -> Result<Vec<f64>, String> {
    let words = list.split(|c: char| c == ',' || c == ';' || c.is_whitespace()).filter(|w| !w.is_empty());
    let mut stations = Vec::new();
    for word in words {
        let value: f64 = word.parse().map_err(|_| format!("“{word}” is no number. Use a point for decimals."))?;
        stations.push(value * units.mm());
    }
    stations.sort_by(f64::total_cmp);
    stations.dedup();
    if stations.is_empty() { Err("The list is empty.".into()) } else { Ok(stations) }
}

/// Draws the dialog about stations.
pub(super) fn spread(ctx: &egui::Context, app: &mut App, spread: &mut Spread) -> Stay {
    let mut stay = Stay::Open;
    let units = app.view.units;
    modal(ctx, "Stations", 440.0, |ui| {
        ui.horizontal(|ui| {
            ui.selectable_value(&mut spread.by_list, false, "At a pitch");
            ui.selectable_value(&mut spread.by_list, true, "From a list");
        });
        ui.add_space(6.0);
        if spread.by_list {
            note(ui, format!("Distances aft of the datum in {}, with commas or blanks between.", units.sign()));
            ui.add(TextEdit::multiline(&mut spread.list).desired_rows(4).desired_width(f32::INFINITY))
                .accessible_name("List of stations");
        } else {
            length(ui, "Pitch", &mut spread.pitch, units, &mut spread.fresh);
            length(ui, "First station", &mut spread.from, units, &mut false);
            length(ui, "No station behind", &mut spread.to, units, &mut false);
        }
        ui.add_space(6.0);
        let stations = spread.stations(units);
        match &stations {
            Ok(stations) => note(ui, format!("{} stations take the place of those that are there.", stations.len())),
            Err(problem) => {
                ui.colored_label(ui.visuals().error_fg_color, problem);
            }
        }
        match (buttons(ui, &["Set stations", "Cancel"], !spread.by_list), stations) {
            (Some(0), Ok(stations)) => {
                act::edit_once(app, &Edit::SetStations { form: app.view.form, stations });
                stay = Stay::Closed;
            }
            (Some(1), _) => stay = Stay::Closed,
            _ => {}
        }
    });
    stay
}

fn length(ui: &mut Ui, label: &str, mm: &mut f64, units: Units, fresh: &mut bool) {
    crate::slate::field::row(ui, label, |ui| {
        let mut shown = units.shown(*mm);
        let field = DragValue::new(&mut shown).speed(0.2 / units.mm()).max_decimals(units.decimals());
        let field = field.suffix(format!(" {}", units.sign()));
        let response = ui.add_sized([120.0, 24.0], field).accessible_name(label);
        if std::mem::take(fresh) {
            response.request_focus();
            select_all(ui, response.id);
        }
        if response.changed() {
            *mm = shown * units.mm();
        }
    });
}

/// Copies a control section to another station.
pub(crate) struct Copy {
    pub(crate) section: usize,
    pub(crate) station: f64,
    pub(crate) fresh: bool,
}

/// Draws the dialog about copying.
pub(super) fn copy(ctx: &egui::Context, app: &mut App, copy: &mut Copy) -> Stay {
    let mut stay = Stay::Open;
    modal(ctx, &format!("Copy section {}", letter(copy.section)), 400.0, |ui| {
        note(ui, "Its shape in parts of the half box goes to the other station; the lines there give it its size.");
        ui.add_space(6.0);
        length(ui, "To the station at", &mut copy.station, app.view.units, &mut copy.fresh);
        match buttons(ui, &["Copy", "Cancel"], true) {
            Some(0) => {
                let (section, station) = (copy.section, copy.station);
                act::edit_once(app, &Edit::CopySection { form: app.view.form, section, station });
                if app.message.is_none() {
                    let made = app.form().sections.iter().position(|s| s.station == station);
                    app.view.selected = made.map_or(app.view.selected, Selected::Section);
                    app.view.shown = made.map(crate::view::Shown::Control).or(app.view.shown);
                }
                stay = Stay::Closed;
            }
            Some(_) => stay = Stay::Closed,
            None => {}
        }
    });
    stay
}

/// The real distance between two picked points of a picture.
pub(crate) struct Distance {
    pub(crate) picture: usize,
    pub(crate) purpose: PickPurpose,
    pub(crate) points: [[f64; 2]; 2],
    pub(crate) mm: f64,
    pub(crate) full_size: bool,
    /// The project's model scale, which is asked for here because here it is needed first.
    pub(crate) model_scale: f64,
    pub(crate) fresh: bool,
}

/// Draws the dialog about a distance.
pub(super) fn distance(ctx: &egui::Context, app: &mut App, distance: &mut Distance) -> Stay {
    let mut stay = Stay::Open;
    let title = if distance.purpose == PickPurpose::Check { "A second distance" } else { "How far apart are they?" };
    modal(ctx, title, 430.0, |ui| {
        ui.horizontal(|ui| {
            ui.selectable_value(&mut distance.full_size, true, "on the full-size machine");
            ui.selectable_value(&mut distance.full_size, false, "on the model");
        });
        ui.add_space(6.0);
        length(ui, "Distance", &mut distance.mm, app.view.units, &mut distance.fresh);
        let known = distance.known();
        if distance.full_size {
            model_scale(ui, &mut distance.model_scale);
            let model = app.view.units.length(known.model_mm(distance.model_scale));
            note(ui, format!("That is {model} on the model."));
        }
        disagreement(ui, app, distance);
        match buttons(ui, &["Set", "Cancel"], true) {
            Some(0) if distance.mm > 0.0 => {
                act::edit_once(app, &distance.edit(app.desk.document().model_scale));
                if app.message.is_none() && distance.purpose == PickPurpose::Scale {
                    crate::pictures::scaled(app, distance.picture);
                }
                stay = Stay::Closed;
            }
            Some(1) => stay = Stay::Closed,
            _ => {}
        }
    });
    stay
}

fn model_scale(ui: &mut Ui, scale: &mut f64) {
    crate::slate::field::row(ui, "Model scale 1 :", |ui| {
        let field = DragValue::new(scale).speed(0.02).range(0.1..=1000.0).max_decimals(3);
        ui.add_sized([120.0, 24.0], field).accessible_name("Model scale of the project");
    });
}

impl Distance {
    /// What it comes to: the distance, and the model scale if another was typed.
    fn edit(&self, scale: f64) -> Edit {
        let (picture, known) = (self.picture, self.known());
        let (edit, label) = match self.purpose {
            PickPurpose::Check => (Edit::CheckPicture { picture, known: Some(known) }, "Check a picture"),
            _ => (Edit::ScalePicture { picture, known }, "Set a picture to scale"),
        };
        if !self.full_size || self.model_scale == scale {
            return edit;
        }
        Edit::Together { label: label.to_owned(), edits: vec![Edit::SetModelScale(self.model_scale), edit] }
    }

    fn known(&self) -> KnownDistance {
        let [a, b] = self.points;
        KnownDistance { a, b, distance_mm: self.mm, full_size: self.full_size }
    }
}

/// For a second distance: by how much the picture disagrees with it.
fn disagreement(ui: &mut Ui, app: &App, distance: &Distance) {
    if distance.purpose != PickPurpose::Check || distance.mm <= 0.0 {
        return;
    }
    let document = app.desk.document();
    if let Some(picture) = document.pictures.get(distance.picture) {
        let percent = picture.placement.disagreement_percent(&distance.known(), distance.model_scale);
        note(ui, format!("The picture measures {} against it.", crate::units::percent(percent)));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_pitch_fills_the_body_and_keeps_its_last_station() {
        assert_eq!(at_pitch(0.0, 90.0, 30.0).unwrap(), [0.0, 30.0, 60.0, 90.0]);
        assert_eq!(at_pitch(0.0, 100.0, 30.0).unwrap().len(), 4);
        assert_eq!(at_pitch(0.0, 0.3, 0.1).unwrap().len(), 4);
        assert!(at_pitch(10.0, 0.0, 5.0).is_err());
        assert!(at_pitch(0.0, 1e6, 1.0).is_err());
    }

    #[test]
    fn a_list_may_be_in_any_order_and_in_inches() {
        assert_eq!(from_list("60, 0; 30\n30", Units::Millimetre).unwrap(), [0.0, 30.0, 60.0]);
        assert_eq!(from_list("1 2", Units::Inch).unwrap(), [25.4, 50.8]);
        assert!(from_list("1,5 x", Units::Millimetre).unwrap_err().contains("“x”"));
    }
}
