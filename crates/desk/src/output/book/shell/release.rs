//! How the shell comes off its plug, with pictures of draft, undercut and joint line.

use super::super::composer::{Align, Composer, Table};
use super::super::facets::{Facet, legend, two_sides};
use super::super::{Subject, fine, mm};
use super::ShellSubject;
use crate::shell::release::Releasing;
use sheets::{Ink, Stroke};
use shell::release::{DraftCell, Joint, Parting};

/// Height of the pictures, mm on paper.
const HEIGHT: f64 = 66.0;
/// Undercut that holds nothing, mm².
const NOTHING: f64 = 1.0;
/// Draft that is plenty, degrees.
const PLENTY_DEG: f64 = 5.0;

const UNDERCUT: Ink = Ink([196, 62, 40]);
const TIGHT: Ink = Ink([238, 178, 74]);
const SOME: Ink = Ink([150, 196, 178]);
const PLENTY: Ink = Ink([86, 152, 160]);

pub(super) fn set(c: &mut Composer, s: &Subject<'_>, shell: &ShellSubject) {
    c.chapter("Getting the shell off");
    let found = match &shell.releasing {
        Ok(found) => found,
        Err(why) => {
            c.text(&format!("Whether the shell comes off cannot be told: {why}."));
            return;
        }
    };
    c.loud(&found.summary);
    picture(c, found);
    numbers(c, found);
    joints(c, found, &shell.joints);
    c.heading("What to do");
    c.list(found.advice.iter().map(|words| ("–", words)));
    if s.document.shell.release.parting != project::shell::Parting::Whole {
        c.text("The joint is drawn on centre template, breadth template and formers where it passes them.");
    }
}

fn ink(cell: &DraftCell, draft_deg: f64) -> Ink {
    let mean = cell.draft_deg.iter().sum::<f64>() / 4.0;
    if mean < -0.05 {
        UNDERCUT
    } else if mean < draft_deg {
        TIGHT
    } else if mean < PLENTY_DEG.max(draft_deg) {
        SOME
    } else {
        PLENTY
    }
}

fn picture(c: &mut Composer, found: &Releasing) {
    let facets: Vec<Facet> = found
        .draft
        .iter()
        .map(|cell| Facet { corners: cell.corners, ink: ink(cell, found.wanted.draft_deg) })
        .collect();
    let pen = Stroke::solid(0.7, Ink::BLACK);
    let lines: Vec<_> =
        found.chosen.iter().flat_map(|joint| &joint.lines).map(|line| (line.clone(), pen.clone())).collect();
    c.figure(&two_sides(&facets, &lines, c.width(), HEIGHT));
    let tight = format!("below {:.1}°: sticks", found.wanted.draft_deg);
    let some = format!("up to {PLENTY_DEG:.0}°");
    let mut bands = vec![(UNDERCUT, "undercut"), (TIGHT, &*tight), (SOME, &*some), (PLENTY, "more")];
    bands.extend(found.chosen.is_some().then_some((Ink::BLACK, "joint line")));
    c.figure(&legend(&bands));
    let joint = if found.chosen.is_some() { "; the joint line in black. Colours are those of one piece" } else { "" };
    c.caption(&format!("Draft of the plug along the way of the shell, the inside in grey{joint}."));
}

fn numbers(c: &mut Composer, found: &Releasing) {
    let whole = &found.whole;
    let mut rows = vec![
        ("Way, aft / to starboard / up".to_owned(), whole.way.map(fine).join(" / ")),
        ("Undercut in one piece".to_owned(), format!("{:.0} of {:.0} mm²", whole.undercut, whole.area)),
        (format!("With less draft than {:.1}°", found.wanted.draft_deg), format!("{:.0} mm²", whole.tight)),
    ];
    if let Some(passage) = &whole.passage {
        let rim = &passage.rim;
        rows.push((
            format!("The rim at {} mm", mm(rim.passing)),
            if rim.excess > 0.05 {
                format!("is narrower by {} mm than the plug at {} mm", fine(rim.excess), mm(rim.station))
            } else {
                "passes over all of the plug".into()
            },
        ));
    }
    c.table(&super::super::facts(rows));
    let held: Vec<_> = whole.patches.iter().zip(&found.places).filter(|(patch, _)| patch.area >= NOTHING).collect();
    if held.is_empty() {
        return;
    }
    c.lead("Where the plug is undercut in one piece", 16.0);
    let mut table = Table::new(&[("mm²", Align::Right), ("By up to", Align::Right), ("Where", Align::Left)]);
    for (patch, place) in held.into_iter().take(MOST) {
        table.row([format!("{:.0}", patch.area), format!("{:.1}°", -patch.worst_deg), place.clone()]);
    }
    c.table(&table);
}

/// Patches that are listed.
const MOST: usize = 8;

fn joints(c: &mut Composer, found: &Releasing, joints: &[Joint]) {
    if joints.is_empty() {
        return;
    }
    c.heading("Joint lines");
    c.text("Ways to part the shell, or a mould from it, in two, the one that leaves least undercut first. Each half goes its own way.");
    let mut table = Table::new(&[
        ("Parted", Align::Left),
        ("Joint mm", Align::Right),
        ("Undercut left mm²", Align::Right),
        ("Of which in each half", Align::Left),
    ]);
    for joint in joints {
        let (line, names) = joint.parting.labels();
        let at = if let Parting::Across(station) = joint.parting {
            format!(" at {} mm", mm(station))
        } else {
            String::new()
        };
        let chosen = if found.chosen.as_ref().is_some_and(|c| c.parting == joint.parting) { ", chosen" } else { "" };
        let halves: Vec<String> =
            joint.halves.iter().zip(names).map(|(half, name)| format!("{name} {:.0}", half.undercut)).collect();
        table.row([
            format!("{line}{at}{chosen}"),
            format!("{:.0}", joint.length()),
            format!("{:.0}", joint.undercut()),
            halves.join(", "),
        ]);
    }
    c.table(&table);
}
