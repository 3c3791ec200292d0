//! What deserves a look about the shell.

use super::{Source, added, cloth, mass};
use crate::plans::Planned;
use crate::reckoned::Reckoned;
use form::{Finding, Part, Severity};
use project::build::Process;
use project::document::Document;
use project::laminate::{Extent, LaminateError};
use project::shell::Shell;
use shell::balance::{Balance, Ballast};
use shell::laminate::Span;

/// What takes no reckoning: the laminate as it is entered. Nothing as long as nobody has begun with a shell.
pub fn findings(document: &Document) -> Vec<Finding> {
    let laminate = &document.shell.laminate;
    let mut found = match mass::thickness(document) {
        Err(LaminateError::NoShell) if is_begun(document) => vec![no_plies(document)],
        Err(LaminateError::NoShell) => Vec::new(),
        Err(why) => {
            let (what, hint) = why.told();
            vec![Finding::new(Severity::Warning, Part::Laminate, what, hint)]
        }
        Ok(over) => plug_differs(&over).into_iter().chain(wide_range(&over)).collect(),
    };
    if laminate.thickness().is_ok() && document.build.process == Process::OverPlug {
        found.extend(crowded(document));
    }
    found.iter_mut().for_each(|f| f.place.form = Some(0));
    found
}

/// What has to be reckoned: how added forms meet the first, whether the shell comes off its plug, and the balance. Some tenths of a
/// second; `None` when `progress` says not to go on. Of release and balance nothing without a ply, or without a surface.
pub fn slow_findings(
    source: &Source,
    planned: Option<&Planned>,
    known: &Reckoned,
    progress: &mut dyn FnMut(f32) -> bool,
) -> Option<Vec<Finding>> {
    let mut found = added::findings(source.document(), source.lofted(), known);
    if source.document().shell.laminate.thickness().is_err() || !source.has_surface() {
        return progress(1.0).then_some(found);
    }
    match known.release(source, &mut |share| progress(0.6 * share)) {
        Ok(None) => return None,
        Ok(Some(releasing)) => found.extend(releasing.findings.iter().cloned()),
        Err(why) => {
            let hint = "Correct it where the release is set.";
            found.push(Finding::new(
                Severity::Warning,
                Part::Release,
                format!("Whether the shell comes off cannot be told: {why}."),
                hint,
            ));
        }
    }
    found.extend(cloth::findings(source.document(), source.lofted(), known, &mut |_| progress(0.6))?);
    // A form without a surface was sent home above.
    if let Ok(weighed) = known.weighing(source, planned, &mut |share| progress(0.6 + 0.4 * share)) {
        found.extend(weighed?.balance.and_then(|it| out_of_balance(&it, source.document())));
    }
    Some(found)
}

/// Whether something of the shell is entered that needs a laminate.
fn is_begun(document: &Document) -> bool {
    let usual = Shell { laminate: document.shell.laminate.clone(), ..Shell::default() };
    let entered = *document.shell != usual || !document.shell.laminate.plies.is_empty();
    entered || document.forms.iter().any(|form| !form.openings.is_empty())
}

fn no_plies(document: &Document) -> Finding {
    let what = if document.shell.laminate.plies.is_empty() {
        "The shell has no plies yet."
    } else {
        "No ply covers the whole shell."
    };
    let hint = "Enter the plies, from the plug outward: thickness, resin, mass and balance follow from them.";
    Finding::new(Severity::Note, Part::Laminate, what, hint)
}

/// How far the plug may be from the schedule before it is told, mm.
const SAME: f64 = 0.02;

fn plug_differs(over: &mass::OverPlug) -> Option<Finding> {
    let wanted = over.schedule.coat().total();
    let off = over.taken_off - wanted;
    (!over.female_mould && off.abs() > SAME).then(|| {
        let way = if off < 0.0 { "larger" } else { "smaller" };
        let what = format!(
            "{:.2} mm are taken off the plug, but plies, filler and paint come to {wanted:.2} mm: the finished shell will be {:.2} mm \
             {way} all round.",
            over.taken_off,
            off.abs()
        );
        let hint = "Let the laminate set what is taken off the plug, or enter the thickness by hand again.";
        Finding::new(Severity::Warning, Part::Laminate, what, hint).with(over.taken_off, wanted, "mm")
    })
}

/// A range of thickness this wide is worth a coupon, mm.
const WIDE: f64 = 0.3;

fn wide_range(over: &mass::OverPlug) -> Option<Finding> {
    let Span { low, high, .. } = over.schedule.laminate;
    (high - low > WIDE).then(|| {
        let what = format!("The laminate may come out anywhere from {low:.2} to {high:.2} mm thick.");
        let hint = "Lay up a coupon of the same cloth the same way, measure it, and enter it with its plies.";
        Finding::new(Severity::Note, Part::Laminate, what, hint).with(high - low, WIDE, "mm")
    })
}

/// Strips and patches between whole plies lift what comes after them.
fn crowded(document: &Document) -> Option<Finding> {
    let plies = &document.shell.laminate.plies;
    let last = plies.iter().rposition(|ply| ply.extent == Extent::Whole)?;
    let under = plies.iter().take(last).position(|ply| ply.extent != Extent::Whole)?;
    let what = format!(
        "Ply {} is a reinforcement under a ply that covers the whole shell: it will show as a step outside.",
        under + 1
    );
    let hint = "Lay reinforcements last, inside the shell once it is off, or reckon with filling the step.";
    Some(Finding::new(Severity::Note, Part::Laminate, what, hint))
}

fn out_of_balance(balance: &Balance, document: &Document) -> Option<Finding> {
    let weights = &document.shell.weights;
    let shift = balance.after[0].likely - weights.wanted.unwrap_or(balance.before[0].likely);
    let way = if shift < 0.0 { "ahead of" } else { "aft of" };
    let what = format!("With the shell the centre of gravity lies {:.1} mm {way} where it is to be.", shift.abs());
    let hint = match &balance.ballast {
        Ballast::None => return None,
        Ballast::Add { place, station, grams } => {
            let name = weights.ballast.get(*place).map_or("the ballast", |p| p.name.as_str());
            format!(
                "{:.0} g in \"{name}\" at {station:.0} mm restore it ({:.0} to {:.0} g); weigh again before you fly.",
                grams.likely, grams.low, grams.high
            )
        }
        Ballast::NoPlace { aft } => {
            let side = if *aft { "behind" } else { "ahead of" };
            format!("Name a place for ballast {side} the centre of gravity, or move something heavy.")
        }
    };
    Some(Finding::new(Severity::Warning, Part::Balance, what, hint).with(shift, weights.allowed, "mm"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use project::laminate::{Fabric, Ply};
    use project::shell::Parting;
    use project::starter::new_document;
    use std::sync::Arc;

    fn with(shell: Shell) -> Document {
        Document { shell: Arc::new(shell), ..new_document("Test") }
    }

    #[test]
    fn a_project_without_a_shell_is_left_alone_and_one_that_is_begun_asks_for_plies() {
        assert_eq!(findings(&with(Shell::default())), Vec::new());
        let mut begun = Shell::default();
        begun.release.parting = Parting::CentrePlane;
        let found = findings(&with(begun));
        assert!(found.len() == 1 && found[0].what.contains("no plies") && found[0].place.part == Part::Laminate);
    }

    /// One ply of 160 g/m² glass at 0.33 is 160 / (2550 · 0.33) = 0.190 mm.
    #[test]
    fn a_plug_that_does_not_follow_the_plies_is_told_and_one_that_does_is_not() {
        let mut shell = Shell::default();
        shell.laminate.plies.push(Ply::whole(Fabric::usual(), 0.0));
        let mut document = with(shell);
        let found = findings(&document);
        assert!(found.len() == 1 && found[0].what.contains("0.19 mm larger"), "{found:?}");
        let coat = document.shell.laminate.thickness().unwrap().coat();
        document.build = Arc::new(project::build::Build { coat, ..(*document.build).clone() });
        assert_eq!(findings(&document), Vec::new());
    }
}
