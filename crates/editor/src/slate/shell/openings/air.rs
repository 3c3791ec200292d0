//! The air through all openings: what goes in beside what goes out, and their ratio.

use crate::slate::field::reading;
use crate::slate::part::Part;
use crate::slate::{Ask, Seen, heading, note};
use crate::units::Units;
use crate::view::ViewState;
use desk::shell::airflow::{Airflow, HoleAir, RULE};
use egui::{RichText, Ui};
use project::edit::Edit;
use project::opening::Purpose;
use project::shell::Shell;

/// Both sums, what each is made of, the ratio and the rule of thumb it is held against.
pub(super) fn part(ui: &mut Ui, seen: &Seen<'_>, view: &ViewState, asks: &mut Vec<Ask>) {
    heading(ui, "Air in and out");
    let Some((air, fresh)) = seen.shell.and_then(|shell| shell.openings.air()) else {
        note(ui, "Told once there is an opening, or a gap between spinner and ring.");
        return;
    };
    ui.scope(|ui| {
        if !fresh {
            ui.visuals_mut().override_text_color = Some(seen.theme.weak);
        }
        told(ui, seen, air, view.units);
    });
    rule(ui, seen, view, asks);
}

fn told(ui: &mut Ui, seen: &Seen<'_>, air: &Airflow, units: Units) {
    ui.columns(2, |columns| {
        let [ins, outs] = columns else { return };
        sum(ins, "In", air.intake, units);
        sum(outs, "Out", air.outlet, units);
        for hole in &air.holes {
            match hole.purpose {
                Purpose::Intake => one(ins, hole, units),
                Purpose::Outlet | Purpose::Exhaust => one(outs, hole, units),
                Purpose::Access => {}
            }
        }
        if let Some(gap) = air.ring_gap {
            let tip = format!(
                "{} all round at the spinner, {} through the ring; the smaller counts.",
                units.area(gap.around),
                units.area(gap.bore)
            );
            let what = format!("Gap at the ring {}", units.area(gap.effective));
            ins.label(RichText::new(what).small()).on_hover_text(tip);
        }
    });
    match air.ratio {
        Some(ratio) => {
            let good = ratio >= air.rule.least;
            let colour = if good { seen.theme.good } else { seen.theme.warning };
            reading(ui, "Out to in", format!("{ratio:.2}"));
            let [from, to] = air.rule.aim;
            let what = if !good {
                format!(
                    "Below {}: little draws the air through. Make outlets larger, or intakes smaller.",
                    air.rule.least
                )
            } else if (from..=to).contains(&ratio) {
                format!("Within {from} to {to}, which is aimed for.")
            } else {
                format!("{from} to {to} is aimed for.")
            };
            ui.label(RichText::new(what).small().color(colour));
        }
        None => note(ui, "There is no intake yet."),
    }
    note(ui, format!("The ratio is {RULE}."));
}

fn sum(ui: &mut Ui, what: &str, area: f64, units: Units) {
    let name = format!("{what} {}", units.area(area));
    ui.label(RichText::new(name).font(crate::theme::bold(crate::theme::BODY)));
}

/// One hole: what it counts for, and why not for more.
fn one(ui: &mut Ui, hole: &HoleAir, units: Units) {
    let side = if hole.mirrored { ", other side" } else { "" };
    let line = ui.label(RichText::new(format!("{}{side} {}", hole.name, units.area(hole.effective))).small());
    let mut tip = match hole.purpose {
        Purpose::Intake => format!("{} square to the flow.", units.area(hole.areas.to_flow)),
        _ => format!("{} on the skin.", units.area(hole.areas.surface)),
    };
    if let Some(narrowest) = hole.narrowest {
        tip.push_str(&format!("\nIts duct lets {} through.", units.area(narrowest.area)));
    }
    line.on_hover_text(tip);
    for blocked in &hole.blocked {
        ui.label(RichText::new(format!("  − {} {}", blocked.name, units.area(blocked.area))).small().weak());
    }
}

/// The rule of thumb, to be changed.
fn rule(ui: &mut Ui, seen: &Seen<'_>, view: &ViewState, asks: &mut Vec<Ask>) {
    let now = &*seen.document.shell;
    let part = Part::<Shell> { name: "Air", now, units: view.units, edit: &Edit::SetShell };
    let plain = ("", 2, 0.02);
    part.number(ui, "Warn below", plain, now.air_ratio.least, asks, |shell, ratio| shell.air_ratio.least = ratio);
    part.number(ui, "Aim from", plain, now.air_ratio.aim[0], asks, |shell, ratio| shell.air_ratio.aim[0] = ratio);
    part.number(ui, "Aim to", plain, now.air_ratio.aim[1], asks, |shell, ratio| shell.air_ratio.aim[1] = ratio);
}
