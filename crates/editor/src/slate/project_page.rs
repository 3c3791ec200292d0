//! The project: name, scale, forms, measures, and what to do next.

use super::{Ask, Seen, command_button, heading, note};
use crate::commands::Command;
use crate::slate::field::{self, Number};
use crate::theme;
use crate::view::ViewState;
use egui::{RichText, Ui};
use project::document::{Lengthwise, LineName, PictureView};
use project::edit::Edit;

/// The page about the project as a whole.
pub(super) fn page(ui: &mut Ui, seen: &Seen<'_>, view: &ViewState, asks: &mut Vec<Ask>) {
    ui.add_space(4.0);
    field::row(ui, "Name", |ui| {
        text_field(ui, "Project name", &seen.document.name, |name| asks.push(Ask::Do(Edit::SetName(name))));
    });
    let number = Number {
        label: "Model scale 1 :",
        name: "Model scale".into(),
        suffix: "",
        decimals: 3,
        speed: 0.02,
        range: [0.1, 1000.0],
    };
    field::number_field(ui, &number, seen.document.model_scale, asks, Edit::SetModelScale);
    forms(ui, seen, view, asks);
    run(ui, seen, view, asks);
    heading(ui, "The body");
    match seen.derived.body {
        Some(body) => {
            field::reading(ui, "Length", view.units.length(seen.derived.length));
            field::reading(ui, "Volume", view.units.volume(body.volume));
            field::reading(ui, "Surface", view.units.area(body.lateral_surface));
            field::reading(ui, "Centroid aft", view.units.length(body.centroid[0]));
            field::reading(ui, "Centroid height", view.units.length(body.centroid[2]));
        }
        None => note(ui, "No surface yet: all four lines and at least one control section are needed."),
    }
}

/// The forms of the project: choose, rename, add, remove.
fn forms(ui: &mut Ui, seen: &Seen<'_>, view: &ViewState, asks: &mut Vec<Ask>) {
    heading(ui, "Forms");
    for (form, f) in seen.document.forms.iter().enumerate() {
        let button = egui::Button::selectable(view.form == form, &f.name).truncate();
        if ui.add(button).on_hover_text("Shows this form on the floor.").clicked() {
            asks.push(Ask::ShowForm(form));
        }
    }
    field::row(ui, "Its name", |ui| {
        text_field(ui, "Name of the form", &seen.form.name, |name| {
            asks.push(Ask::Do(Edit::RenameForm { form: view.form, name }));
        });
    });
    ui.horizontal_wrapped(|ui| {
        if ui.button("Add a form").on_hover_text("One more body in this project, empty at first.").clicked() {
            let name = format!("Form {}", seen.document.forms.len() + 1);
            asks.push(Ask::Do(Edit::AddForm(project::starter::empty_form(&name))));
            asks.push(Ask::ShowForm(seen.document.forms.len()));
        }
        let several = seen.document.forms.len() > 1;
        let remove = ui.add_enabled(several, egui::Button::new("Remove this form"));
        if remove.on_hover_text("Removes the form that is shown; Undo brings it back.").clicked() {
            asks.push(Ask::Do(Edit::RemoveForm { form: view.form }));
        }
    });
}

/// How the shape runs along the body, and its flat ends.
fn run(ui: &mut Ui, seen: &Seen<'_>, view: &ViewState, asks: &mut Vec<Ask>) {
    heading(ui, "Along the body");
    let form = view.form;
    field::row(ui, "Between sections", |ui| {
        for (label, lengthwise) in [("fair", Lengthwise::Fair), ("straight", Lengthwise::Straight)] {
            let chosen = seen.form.lengthwise == lengthwise;
            if ui.selectable_label(chosen, label).clicked() && !chosen {
                asks.push(Ask::Do(Edit::SetLengthwise { form, lengthwise }));
            }
        }
    });
    let (front, rear) = (seen.form.front_edge_radius, seen.form.rear_edge_radius);
    let radii = |front: f64, rear: f64| Edit::SetEdgeRadii { form, front: front.max(0.0), rear: rear.max(0.0) };
    field::length(ui, "Front edge radius", "Front edge radius", front, view.units, asks, |front| radii(front, rear));
    field::length(ui, "Rear edge radius", "Rear edge radius", rear, view.units, asks, |rear| radii(front, rear));
}

/// A line of text that becomes one step when it is left.
pub(crate) fn text_field(ui: &mut Ui, name: &str, now: &str, mut changed: impl FnMut(String)) {
    let id = ui.make_persistent_id(name);
    let mut text = ui.data(|d| d.get_temp::<String>(id)).unwrap_or_else(|| now.to_owned());
    let response = ui.add(egui::TextEdit::singleline(&mut text).desired_width(150.0)).accessible_name(name);
    if response.has_focus() {
        ui.data_mut(|d| d.insert_temp(id, text.clone()));
    } else {
        ui.data_mut(|d| d.remove_temp::<String>(id));
    }
    if response.lost_focus() && text != now {
        changed(text);
    }
}

/// One step of the way from nothing to a form: whether it is done, what it says, and what does it.
type Step = (bool, &'static str, Option<Command>);

fn steps(seen: &Seen<'_>) -> [Step; 9] {
    let form = seen.form;
    let drawn = |line| form.lines.get(line).points.len() >= 2;
    let picture = |view| seen.document.pictures.iter().any(|p| p.view == view);
    let any_picture = !seen.document.pictures.is_empty();
    let scaled =
        any_picture && seen.document.pictures.iter().all(|p| p.scale.is_some() || p.view == PictureView::Reference);
    [
        (picture(PictureView::Side), "Bring in a side picture", Some(Command::BringPicture)),
        (picture(PictureView::Face), "Bring in a face picture", Some(Command::BringPicture)),
        (scaled, "Set each picture to scale", any_picture.then_some(Command::ScalePicture)),
        (drawn(LineName::Crown), "Draw the crown", Some(Command::DrawCrown)),
        (drawn(LineName::Keel), "Draw the keel", Some(Command::DrawKeel)),
        (drawn(LineName::Breadth), "Draw the breadth in the plan", Some(Command::DrawBreadth)),
        (drawn(LineName::BreadthHeight), "Draw the breadth height", Some(Command::DrawBreadthHeight)),
        (!form.sections.is_empty(), "Add a control section and shape it", Some(Command::AddSection)),
        (!form.stations.is_empty(), "Set the stations", Some(Command::SpreadStations)),
    ]
}

/// Whether all that a form needs is there; pictures help, but are no part of it.
fn is_whole(steps: &[Step; 9]) -> bool {
    steps[3..].iter().all(|s| s.0)
}

/// What to do next, as long as something essential is missing.
pub(super) fn checklist(ui: &mut Ui, seen: &Seen<'_>, asks: &mut Vec<Ask>) {
    let steps = steps(seen);
    ui.add_space(4.0);
    if is_whole(&steps) {
        note(ui, "Nothing is selected. Click a line, a point, a section or a station to see its numbers here.");
        if !seen.document.build.stack.used {
            note(ui, "The form is drawn. Next come boards, formers and foam:");
            command_button(ui, Command::PlanPlug, asks);
        }
        return;
    }
    ui.label(RichText::new("What to do next").font(theme::bold(theme::TITLE)));
    for (index, (done, text, command)) in steps.iter().enumerate() {
        step(ui, seen, index, *done, text, *command, asks);
    }
    if LineName::ALL.iter().all(|line| seen.form.lines.get(*line).points.is_empty()) {
        if !seen.document.pictures.is_empty() {
            ui.add_space(6.0);
            note(
                ui,
                "Or let the photographs begin it: pick landmarks, trace outlines, and both are read where they lie:",
            );
            command_button(ui, Command::LightTable, asks);
        }
        ui.add_space(6.0);
        note(ui, "No picture at hand? Begin with a plain body and pull it into shape:");
        command_button(ui, Command::StartForm, asks);
    }
}

/// The first thing that is missing, for the pages that are not about it.
pub(in crate::slate) fn next_step(ui: &mut Ui, seen: &Seen<'_>, asks: &mut Vec<Ask>) {
    let steps = steps(seen);
    let next = steps.iter().enumerate().find(|(_, s)| !s.0);
    if let (false, Some((index, (done, text, command)))) = (is_whole(&steps), next) {
        heading(ui, "What to do next");
        step(ui, seen, index, *done, text, *command, asks);
    }
}

fn step(
    ui: &mut Ui,
    seen: &Seen<'_>,
    index: usize,
    done: bool,
    text: &str,
    command: Option<Command>,
    asks: &mut Vec<Ask>,
) {
    ui.horizontal(|ui| {
        let mark = if done { "✔".to_owned() } else { (index + 1).to_string() };
        let colour = if done { seen.theme.good } else { seen.theme.weak };
        ui.add_sized([18.0, 20.0], egui::Label::new(RichText::new(mark).color(colour)));
        match command {
            Some(command) if !done => {
                if ui.link(RichText::new(text).color(seen.theme.text)).on_hover_text(command.entry().tip).clicked() {
                    asks.push(Ask::Command(command));
                }
            }
            _ => {
                ui.label(RichText::new(text).color(if done { seen.theme.weak } else { seen.theme.text }));
            }
        }
    });
}
