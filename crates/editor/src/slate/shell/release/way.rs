//! The way off, and what is asked of it.

use super::{Page, tipped};
use crate::slate::{Ask, heading, note};
use desk::shell::release::way;
use egui::Ui;
use project::airframe::DrawOff;
use project::edit::Edit;

pub(super) fn part(ui: &mut Ui, page: &Page<'_>, asks: &mut Vec<Ask>) {
    heading(ui, "The way off");
    ui.horizontal_wrapped(|ui| choice(ui, page, asks));
    let set = page.shell.now.release;
    match set.way {
        Some(own) => vector(ui, page, own, asks),
        None if page.seen.document.airframe.thrust.is_none() => {
            note(ui, "There is no thrust line yet: the datum serves.");
        }
        None => note(ui, "The shell is drawn off forward, as the page Bench says."),
    }
    tipped(ui, "Sides with less draft than this will stick. 1 to 3° is common practice.", |ui| {
        page.shell.angle(ui, "Least draft", set.draft_deg, asks, |shell, degrees| shell.release.draft_deg = degrees);
    });
    tipped(
        ui,
        "By so much the cured shell may be sprung over the plug. Try it on a strip of the same laminate.",
        |ui| {
            page.shell.length(ui, "May be sprung by", set.spring, asks, |shell, mm| shell.release.spring = mm);
        },
    );
    let better = page.work.told().and_then(|told| told.releasing.better);
    if let Some(better) = better {
        let text = format!("Take the way with {:.0} mm² undercut", better.undercut);
        let tip = "Of all ways, the one with least undercut that was found.";
        page.shell.button(ui, &text, tip, asks, |shell| shell.release.way = Some(rounded(better.way)));
    }
}

/// Along the thrust line, along the datum, or a way of its own.
fn choice(ui: &mut Ui, page: &Page<'_>, asks: &mut Vec<Ask>) {
    let document = page.seen.document;
    let (now, own) = (document.airframe.draw_off, document.shell.release.way);
    for (label, off) in [("along the thrust line", DrawOff::ThrustLine), ("along the datum", DrawOff::Datum)] {
        let chosen = own.is_none() && now == off;
        let name = format!("Way off: {label}");
        if ui.selectable_label(chosen, label).accessible_name(name).clicked() && !chosen {
            let mut shell = page.shell.now.clone();
            shell.release.way = None;
            let edits = vec![Edit::SetDrawOff(off), Edit::SetShell(shell)];
            asks.push(Ask::Do(Edit::Together { label: "Set the way off".into(), edits }));
        }
    }
    if ui.selectable_label(own.is_some(), "another").accessible_name("Way off: another").clicked() && own.is_none() {
        let mut shell = page.shell.now.clone();
        shell.release.way = Some(rounded(way(document).0));
        asks.push(Ask::Do(Edit::SetShell(shell)));
    }
}

/// A way as three parts of any length.
fn vector(ui: &mut Ui, page: &Page<'_>, own: [f64; 3], asks: &mut Vec<Ask>) {
    let tip = "Only their proportion counts: -1, 0, 0 is straight ahead; 0, 0, 1 straight up.";
    for (axis, label) in ["Way aft", "Way to starboard", "Way up"].into_iter().enumerate() {
        tipped(ui, tip, |ui| {
            page.shell.number(ui, label, ("", 3, 0.01), own[axis], asks, |shell, value| {
                let mut next = own;
                next[axis] = value;
                shell.release.way = Some(next);
            });
        });
    }
}

/// To a thousandth, so that it can be read.
fn rounded(way: [f64; 3]) -> [f64; 3] {
    way.map(|c| (1000.0 * c).round() / 1000.0 + 0.0)
}
