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
    // Across at the station that was chosen, or else at that which is proposed.
    let proposed = told.and_then(|told| told.joints.iter().find_map(|joint| station_of(joint.parting)));
    let chosen = if let Chosen::Across(station) = now { Some(station) } else { None };
    let across = chosen.or(proposed).map(|station| ("across", Chosen::Across(station)));
    let ways: Vec<(&str, Chosen)> = ways.into_iter().chain(across).collect();
    page.shell.choice(ui, "Parted", &ways, now, asks, |shell, parting| shell.release.parting = parting);
    if let Some(station) = chosen {
        page.shell.length(ui, "Joint station", station, asks, |shell, mm| shell.release.parting = Chosen::Across(mm));
    }
    let Some(told) = told else { return };
    note(ui, "What stays undercut, each half drawn its own best way:");
    page.derived(ui, |ui| {
        for joint in told.joints.iter() {
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
}

fn station_of(parting: Parting) -> Option<f64> {
    if let Parting::Across(station) = parting { Some(station) } else { None }
}
