//! The numbers of a landmark's place, each with what it is at full size.

use super::super::rows::short;
use super::plain;
use crate::floor::scene::letter;
use crate::light_table::landmarks::things;
use crate::slate::{Seen, note};
use crate::units::Units;
use crate::view::ViewState;
use egui::{ComboBox, DragValue, Ui};
use project::photograph::LandmarkPlace;

/// What the builder did to a place.
pub(super) enum Choice {
    /// It is being dragged.
    Dragged(LandmarkPlace),
    /// What was dragged is let go.
    LetGo,
    /// It is so.
    Typed(LandmarkPlace),
}

/// What there is to type of a place; `whose` makes the fields' names.
pub(super) fn fields(
    ui: &mut Ui,
    seen: &Seen<'_>,
    view: &ViewState,
    whose: &str,
    place: LandmarkPlace,
) -> Option<Choice> {
    let scale = seen.document.model_scale;
    let length = |ui: &mut Ui, label: &str, mm: f64| number(ui, view.units, scale, label, whose, mm);
    match place {
        LandmarkPlace::At(at) => {
            let mut done = None;
            for (axis, label) in ["Aft, x", "Starboard, y", "Up, z"].into_iter().enumerate() {
                let with = |value: f64| {
                    let mut to = at;
                    to[axis] = value;
                    LandmarkPlace::At(to)
                };
                done = length(ui, label, at[axis]).map(|n| n.place(with)).or(done);
            }
            done
        }
        LandmarkPlace::SpinnerTip { ahead } => {
            length(ui, "Ahead of hub", ahead).map(|n| n.place(|ahead| LandmarkPlace::SpinnerTip { ahead }))
        }
        other => {
            let station = things::station(other)?;
            let typed = length(ui, "Station", station).map(|n| n.place(|station| things::at_station(other, station)));
            snapped(ui, seen, view.units, whose, other).map(Choice::Typed).or(typed)
        }
    }
}

/// The control sections and stations of the form, to take one of them over.
fn snapped(ui: &mut Ui, seen: &Seen<'_>, units: Units, whose: &str, place: LandmarkPlace) -> Option<LandmarkPlace> {
    let station = things::station(place)?;
    let form = seen.document.forms.first()?;
    let sections = form.sections.iter().enumerate().map(|(i, s)| (format!("section {}", letter(i)), s.station));
    let stations = form.stations.iter().enumerate().map(|(i, x)| (format!("station {}", i + 1), *x));
    let all: Vec<(String, f64)> = sections.chain(stations).collect();
    let here = all.iter().find(|(_, x)| (x - station).abs() < 0.05).map_or("elsewhere", |(name, _)| name.as_str());
    let mut chosen = None;
    short(ui, "that is", |ui| {
        let combo = ComboBox::from_id_salt(("station of", whose))
            .selected_text(here)
            .width(ui.available_width() - 4.0)
            .truncate();
        let response = combo.show_ui(ui, |ui| {
            for (name, x) in &all {
                let text = format!("{name}, {}", units.length(*x));
                if ui.selectable_label((x - station).abs() < 0.05, text).clicked() {
                    chosen = Some(*x);
                }
            }
        });
        response.response.accessible_name(format!("Section or station of {whose}"));
    });
    chosen.map(|x| things::at_station(place, x))
}

/// A number that was touched, mm.
pub(in super::super) enum Touched {
    Dragged(f64),
    LetGo,
    Typed(f64),
}

impl Touched {
    fn place(self, with: impl Fn(f64) -> LandmarkPlace) -> Choice {
        match self {
            Self::Dragged(mm) => Choice::Dragged(with(mm)),
            Self::LetGo => Choice::LetGo,
            Self::Typed(mm) => Choice::Typed(with(mm)),
        }
    }
}

/// Width of a number.
const NUMBER: f32 = 88.0;

/// A length at the model with its full size beside it.
pub(in super::super) fn number(
    ui: &mut Ui,
    units: Units,
    model_scale: f64,
    label: &str,
    whose: &str,
    mm: f64,
) -> Option<Touched> {
    short(ui, label, |ui| {
        let mut shown = units.shown(mm);
        let field = DragValue::new(&mut shown)
            .speed(0.2 / units.mm())
            .max_decimals(units.decimals())
            .min_decimals(1)
            .suffix(format!(" {}", units.sign()))
            .update_while_editing(false);
        let response = ui.add_sized([NUMBER, 22.0], field).accessible_name(format!("{label} of {whose}"));
        if model_scale != 1.0 {
            ui.scope(|ui| note(ui, format!("= {}", units.number(mm * model_scale))))
                .response
                .on_hover_text(format!("At full size, {} times as large as the model.", plain(model_scale)));
        }
        let now = shown * units.mm();
        if response.drag_stopped() {
            Some(Touched::LetGo)
        } else if !response.changed() || shown == units.shown(mm) {
            None
        } else if response.dragged() {
            Some(Touched::Dragged(now))
        } else {
            Some(Touched::Typed(now))
        }
    })
}
