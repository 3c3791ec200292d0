//! Where the shell or its mould would be parted in two.

use super::Page;
use crate::on_shell::release::Told;
use crate::slate::{Ask, heading, note};
use desk::shell::release::parting_of;
use egui::{Label, RichText, Ui};
use project::shell::Parting as Chosen;
use shell::release::{Joint, Parting};

pub(super) fn part(ui: &mut Ui, page: &Page<'_>, told: Option<&Told>, asks: &mut Vec<Ask>) {
    heading(ui, "Joint line");
    let ways = [
        ("none: in one piece", Chosen::Whole),
        ("along the greatest breadth", Chosen::BreadthLine),
        ("along the centre plane", Chosen::CentrePlane),
    ];
    let now = page.shell.now.release.parting;
    page.shell.choice(ui, "Parted", &ways, now, asks, |shell, parting| shell.release.parting = parting);
    let Some(told) = told else { return };
    note(ui, "What stays undercut, each half drawn its own best way:");
    page.derived(ui, |ui| {
        for joint in &told.joints {
            one(ui, page, joint, parting_of(now));
        }
    });
    note(ui, "The chosen line is drawn on the floor, and on the templates.");
}

fn one(ui: &mut Ui, page: &Page<'_>, joint: &Joint, chosen: Option<Parting>) {
    let (line, names) = joint.parting.labels();
    let units = page.units;
    let line = match joint.parting {
        Parting::Across(station) => format!("{line} at {}", units.length(station)),
        _ => line.to_owned(),
    };
    let colour = if chosen == Some(joint.parting) { page.seen.theme.text } else { page.seen.theme.weak };
    let title = format!("{line}: {:.0} mm², {} long", joint.undercut(), units.length(joint.length()));
    ui.add(Label::new(RichText::new(title).color(colour)).wrap());
    let halves: Vec<String> =
        names.iter().zip(&joint.halves).map(|(name, half)| format!("{name} {:.0} mm²", half.undercut)).collect();
    note(ui, format!("    {}", halves.join(", ")));
    if matches!(joint.parting, Parting::Across(_)) {
        note(ui, "    To part it so, make the front and the rear two forms.");
    }
}
