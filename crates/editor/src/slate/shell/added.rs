//! The page about added forms: what is put on the first one, where it sits, and how it meets it.

#[cfg(test)]
mod tests;

use crate::floor::layout::View;
use crate::on_shell::added::kinds::Kind;
use crate::on_shell::added::plug::begun;
use crate::on_shell::added::{AddedAsk, selected};
use crate::on_shell::item::AddedGrip;
use crate::on_shell::{OnShell, ShellAsk};
use crate::slate::field::reading;
use crate::slate::part::Part;
use crate::slate::several::{notice, one_of_several};
use crate::slate::{Ask, Seen, heading, note};
use crate::units::Units;
use crate::view::ViewState;
use egui::{Id, RichText, Ui};
use form::meeting::{Meeting, Stands, Stop};
use project::document::Form;
use project::edit::Edit;
use project::mount::Mount;

pub(super) fn page(ui: &mut Ui, seen: &Seen<'_>, view: &ViewState, asks: &mut Vec<Ask>) {
    let chosen = view.selected.on_shell();
    notice(ui, chosen.map(Id::unique));
    if view.form != 0 {
        shown(ui, seen, view, asks);
    }
    add(ui, seen, asks);
    for (form, f) in seen.document.forms.iter().enumerate().skip(1) {
        let whole = OnShell::Added { form, grip: AddedGrip::Place };
        let open = chosen.map(OnShell::thing) == Some(whole) || view.form == form;
        one_of_several(ui, ("added form", form - 1), &f.name, open, |ui| {
            One { form, f }.show(ui, seen, view, asks);
        });
    }
}

fn ask(asked: AddedAsk) -> Ask {
    Ask::Shell(ShellAsk::Added(asked))
}

/// While one of them is on the floor.
fn shown(ui: &mut Ui, seen: &Seen<'_>, view: &ViewState, asks: &mut Vec<Ask>) {
    ui.add_space(4.0);
    let ghost = seen.form.mount.is_some();
    let what = if ghost {
        "is on the floor in its own axes; the first form is there as a ghost, in the place where this one sits."
    } else {
        "is on the floor. It stands for itself: it sits on no other form."
    };
    note(ui, format!("“{}” {what}", seen.form.name));
    if let Some(first) = seen.document.forms.first().filter(|_| view.form != 0) {
        let back = ui.button("Back to the first form").on_hover_text(format!("Shows “{}”.", first.name));
        if back.clicked() {
            asks.push(Ask::ShowForm(0));
        }
    }
}

fn add(ui: &mut Ui, seen: &Seen<'_>, asks: &mut Vec<Ask>) {
    heading(ui, "Put on the first form");
    let whole = seen.shell.is_some_and(|shell| shell.added.has_ground());
    if !whole {
        note(ui, "Draw the first form first: something has to be there to put it on.");
        return;
    }
    ui.horizontal_wrapped(|ui| {
        for kind in Kind::ALL {
            let button = ui.button(kind.label()).on_hover_text(kind.tip());
            if button.accessible_name(format!("Add: {}", kind.label().to_lowercase())).clicked() {
                asks.push(ask(AddedAsk::Add(kind)));
            }
        }
    });
    note(ui, "Each is a form of its own: a small plug, laid up by itself and joined to the shell later.");
}

/// One form after the first.
struct One<'a> {
    form: usize,
    f: &'a Form,
}

impl One<'_> {
    fn show(&self, ui: &mut Ui, seen: &Seen<'_>, view: &ViewState, asks: &mut Vec<Ask>) {
        let name = format!("Form {}", self.form + 1);
        let form = self.form;
        ui.label("Name");
        crate::slate::project_page::text_field(ui, &format!("{name} name"), &self.f.name, |name| {
            asks.push(Ask::Do(Edit::RenameForm { form, name }));
        });
        match &self.f.mount {
            Some(mount) => {
                self.mounted(ui, &name, mount, view, asks);
                let meeting = seen.shell.and_then(|shell| shell.added.meeting(form));
                met(ui, seen, meeting, view.units);
            }
            None => {
                note(ui, "It stands for itself.");
                let put = ui.button("Put it on the first form").on_hover_text("At its own place; drag it from there.");
                if put.accessible_name(format!("Put {} on the first form", name.to_lowercase())).clicked() {
                    asks.push(ask(AddedAsk::PutOn(form)));
                }
            }
        }
        self.build(ui, &name, seen, asks);
        self.buttons(ui, &name, view, asks);
    }

    fn mounted(&self, ui: &mut Ui, name: &str, mount: &Mount, view: &ViewState, asks: &mut Vec<Ask>) {
        let form = self.form;
        let edit = |mount| Edit::SetMount { form, mount: Some(mount) };
        let part = Part { name, now: mount, units: view.units, edit: &edit };
        for (axis, label) in ["Origin aft", "Origin starboard", "Origin height"].into_iter().enumerate() {
            part.length(ui, label, mount.place[axis], asks, |mount, mm| mount.place[axis] = mm);
        }
        part.angle(ui, "Up to starboard", mount.roll_deg, asks, |mount, degrees| mount.roll_deg = degrees);
        part.angle(ui, "Rear turned down", mount.pitch_deg, asks, |mount, degrees| mount.pitch_deg = degrees);
        part.angle(ui, "Rear to starboard", mount.yaw_deg, asks, |mount, degrees| mount.yaw_deg = degrees);
        part.tick(ui, "Its mirror image too", mount.mirrored, asks, |mount, both| mount.mirrored = both);
    }

    /// A stack of its own, or the project's settings without one.
    fn build(&self, ui: &mut Ui, name: &str, seen: &Seen<'_>, asks: &mut Vec<Ask>) {
        let form = self.form;
        let mut own = self.f.build.is_some();
        let tick = ui.checkbox(&mut own, "A build of its own").accessible_name(format!("{name} a build of its own"));
        let tip = "Boards, cards and foam of its own plug; else it is built as the first form, without a stack.";
        if tick.on_hover_text(tip).changed() {
            let build = own.then(|| begun(&seen.document.build, self.f));
            asks.push(Ask::Do(Edit::SetFormBuild { form, build }));
        }
    }

    fn buttons(&self, ui: &mut Ui, name: &str, view: &ViewState, asks: &mut Vec<Ask>) {
        let (form, name) = (self.form, name.to_lowercase());
        ui.horizontal_wrapped(|ui| {
            let open = ui.add_enabled(view.form != form, egui::Button::new("Open it"));
            let open = open.on_hover_text("Shows it on the floor, to shape it where it sits.");
            if open.accessible_name(format!("Open {name}")).clicked() {
                asks.push(Ask::ShowForm(form));
            }
            if self.f.mount.is_some() {
                let show = ui.button("Show where it sits").on_hover_text("Selects it on the first form.");
                if show.accessible_name(format!("Show {name}")).clicked() {
                    asks.push(Ask::ShowForm(0));
                    asks.push(Ask::Select(selected(form, AddedGrip::Place, View::Side)));
                }
                let off = ui.button("Take it off").on_hover_text("It stays in the project and stands for itself.");
                if off.accessible_name(format!("Take {name} off")).clicked() {
                    asks.push(Ask::Do(Edit::SetMount { form, mount: None }));
                }
            }
            let remove = ui.button("Remove it").on_hover_text("Removes the form; Undo brings it back.");
            if remove.accessible_name(format!("Remove {name}")).clicked() {
                asks.push(Ask::Do(Edit::RemoveForm { form }));
            }
        });
    }
}

/// The meeting line, or why there is none.
fn met(ui: &mut Ui, seen: &Seen<'_>, meeting: Option<&Meeting>, units: Units) {
    let Some(meeting) = meeting else {
        note(ui, "Its meeting line is told once both forms have a surface.");
        return;
    };
    let length: f64 = meeting.lines.iter().map(form::meeting::MeetingLine::length).sum();
    if !meeting.lines.is_empty() {
        reading(ui, "Meeting line", units.length(length));
    }
    for line in &meeting.lines {
        note(ui, runs(line.ends));
    }
    let wrong = match meeting.stands {
        Stands::Meets if meeting.lost() => {
            "The skins touch at so small an angle that the line is lost there. Sink it further in, or turn it."
                .to_owned()
        }
        Stands::Meets => return,
        Stands::Free { gap } => {
            format!("It does not touch the first form: {} apart. Bring it nearer.", units.length(gap))
        }
        Stands::Sunk => "It lies wholly within the first form. Bring it out.".to_owned(),
        Stands::Around => "The first form lies wholly within it. Make it smaller, or move it.".to_owned(),
    };
    ui.label(RichText::new(wrong).color(seen.theme.warning));
}

/// Where a line runs.
fn runs(ends: Option<[Stop; 2]>) -> String {
    let Some(ends) = ends else { return "A closed line.".to_owned() };
    let end = |stop: Stop| match stop {
        Stop::Rim { of_added, front } => {
            let of = if of_added { "its" } else { "the first form's" };
            format!("{of} {} rim", if front { "front" } else { "rear" })
        }
        Stop::Lost => "where it is lost".to_owned(),
    };
    let [from, to] = ends.map(end);
    format!("From {from} to {to}.")
}
