//! The page about release: whether the shell comes off its plug, what holds it, and along which line it would be parted.

mod joints;
#[cfg(test)]
mod tests;
mod way;

use crate::on_shell::ShellAsk;
use crate::on_shell::release::{ReleaseAsk, ReleaseWork, Standing, Told};
use crate::slate::field::reading;
use crate::slate::part::Part;
use crate::slate::{Ask, Seen, heading, note};
use crate::theme;
use crate::units::Units;
use crate::view::{Spot, ViewState};
use egui::{Label, ProgressBar, RichText, Sense, Ui};
use form::space::Vector;
use project::edit::Edit;
use project::shell::Shell;
use shell::release::{DIG_OUT, Tight, Verdict};

/// What the parts of the page read.
struct Page<'a> {
    seen: &'a Seen<'a>,
    work: &'a ReleaseWork,
    shell: Part<'a, Shell>,
    units: Units,
}

pub(super) fn page(ui: &mut Ui, seen: &Seen<'_>, view: &mut ViewState, asks: &mut Vec<Ask>) {
    let Some(work) = seen.shell else { return };
    if view.form != 0 {
        note(
            ui,
            "The release is that of the first form; a form that is put on it is built as a small plug of its own.",
        );
        if ui.button("Show the first form").clicked() {
            asks.push(Ask::ShowForm(0));
        }
        return;
    }
    if seen.derived.loft().is_none() {
        note(ui, "Whether the shell comes off is told once the form has its four lines and a control section.");
        return;
    }
    let shell = Part { name: "Release", now: &*seen.document.shell, units: view.units, edit: &Edit::SetShell };
    let page = Page { seen, work: &work.release, shell, units: view.units };
    let told = page.work.told();
    // What comes and goes above a field must not take its name, and with it the focus, while something is typed.
    ui.push_id("verdict", |ui| {
        page.under_way(ui, asks);
        if let Some(why) = page.work.failure() {
            ui.add(Label::new(RichText::new(why).color(seen.theme.error)).wrap());
        }
        if let Some(told) = told {
            page.derived(ui, |ui| page.verdict(ui, told));
        }
    });
    ui.push_id("way", |ui| way::part(ui, &page, asks));
    if let Some(told) = told {
        page.derived(ui, |ui| page.undercut(ui, view, told));
        page.derived(ui, |ui| page.rim(ui, view, told));
    }
    ui.push_id("joints", |ui| joints::part(ui, &page, told.map(|told| &**told), asks));
    if told.is_some_and(|told| told.releasing.advice.iter().any(|advice| advice == DIG_OUT)) {
        heading(ui, "If nothing frees it");
        let text = RichText::new(DIG_OUT).small().color(seen.theme.warning);
        ui.add(Label::new(text).wrap());
    }
}

impl Page<'_> {
    /// What follows from the document; weak while it is of before.
    fn derived(&self, ui: &mut Ui, body: impl FnOnce(&mut Ui)) {
        ui.scope(|ui| {
            if self.work.standing() != Standing::Fresh {
                ui.visuals_mut().override_text_color = Some(self.seen.theme.weak);
            }
            body(ui);
        });
    }

    /// How far it is.
    fn under_way(&self, ui: &mut Ui, asks: &mut Vec<Ask>) {
        let stop = |stop| Ask::Shell(ShellAsk::Release(ReleaseAsk::Stop(stop)));
        match self.work.standing() {
            Standing::Fresh => {}
            Standing::Old(share) => {
                ui.horizontal(|ui| {
                    let bar = ProgressBar::new(share).desired_width((ui.available_width() - 62.0).max(60.0));
                    ui.add(bar.corner_radius(2.0).text(format!("looking: {:.0} %", 100.0 * share)));
                    let button = ui.button("Stop").on_hover_text("Gives it up; what is shown stays.");
                    if button.accessible_name("Stop looking whether it comes off").clicked() {
                        asks.push(stop(true));
                    }
                });
            }
            Standing::Stopped => {
                note(ui, "What is shown is of before the last change.");
                if ui.button("Look again").on_hover_text("Looks whether the shell comes off.").clicked() {
                    asks.push(stop(false));
                }
            }
        }
    }

    /// The answer, and what to do.
    fn verdict(&self, ui: &mut Ui, told: &Told) {
        let (found, theme) = (&told.releasing, self.seen.theme);
        let held = found.chosen.as_ref().map_or(found.whole.verdict == Verdict::Held, |joint| joint.undercut() >= 1.0);
        let colour = match found.whole.verdict {
            _ if held => theme.error,
            Verdict::Free | Verdict::Held => theme.good,
            Verdict::Tight | Verdict::Springs if found.chosen.is_some() => theme.good,
            Verdict::Tight | Verdict::Springs => theme.warning,
        };
        let text = RichText::new(&found.summary).font(theme::bold(theme::BODY)).color(colour);
        ui.add(Label::new(text).wrap());
        for advice in found.advice.iter().filter(|advice| *advice != DIG_OUT) {
            note(ui, advice.as_str());
        }
    }

    /// What is undercut, and where.
    fn undercut(&self, ui: &mut Ui, view: &mut ViewState, told: &Told) {
        heading(ui, "Undercut in one piece");
        let whole = &told.releasing.whole;
        let share = 100.0 * whole.undercut / whole.area.max(f64::MIN_POSITIVE);
        reading(ui, "All of it", format!("{:.0} mm² ({share:.1} %)", whole.undercut));
        reading(ui, "Too little draft", format!("{:.0} mm²", whole.tight));
        for (k, patch) in whole.patches.iter().enumerate() {
            let place = told.releasing.places.get(k).map_or("", String::as_str);
            let text = format!("{}. {:.0} mm² {place}", k + 1, patch.area);
            let tip = format!("Worst draft {:.1}°. A click marks it on the floor.", patch.worst_deg);
            leads(ui, view, text, &tip, patch.worst);
        }
        if whole.patches.is_empty() {
            note(ui, "Nothing of the plug faces against the way off.");
        }
    }

    /// Whether every section passes over the plug, the rim last.
    fn rim(&self, ui: &mut Ui, view: &mut ViewState, told: &Told) {
        heading(ui, "Over the rim");
        let Some(passage) = &told.releasing.whole.passage else {
            note(ui, "The way leads across the body: no section passes over another.");
            return;
        };
        let at = |tight: &Tight| [tight.station, tight.at[0], tight.at[1]];
        let units = self.units;
        for (tight, what) in [(&passage.rim, "the rim"), (&passage.worst, "the shell")] {
            if tight.excess <= 0.05 {
                continue;
            }
            let text = format!(
                "At {} the plug stands {} beyond {what}, at {}.",
                units.length(tight.station),
                units.length(tight.excess),
                units.length(tight.passing)
            );
            leads(ui, view, text, "A click marks it on the floor.", at(tight));
            if passage.rim == passage.worst {
                break;
            }
        }
        if passage.worst.excess <= 0.05 && passage.rim.excess <= 0.05 {
            note(ui, "Every section of the shell passes over the plug, the rim too.");
        } else if passage.beyond_rim > 0.0 {
            reading(ui, "Beyond the rim", format!("{:.0} mm² as seen along", passage.beyond_rim));
        }
    }
}

/// Words that lead to a place of the form when they are clicked.
fn leads(ui: &mut Ui, view: &mut ViewState, text: String, tip: &str, [x, y, z]: Vector) {
    let label = ui.add(Label::new(RichText::new(text).underline()).wrap().sense(Sense::click()));
    if label.on_hover_text(tip).clicked() {
        view.spot = Some(Spot { station: Some(x), at: Some([y, z]) });
    }
}

/// Fields whose meaning is told when they are pointed at.
fn tipped(ui: &mut Ui, tip: &str, fields: impl FnOnce(&mut Ui)) {
    ui.scope(fields).response.on_hover_text(tip);
}
