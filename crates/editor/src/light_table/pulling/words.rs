//! What a pull moves, in the editor's own words: sections go by letters here, lengths are in the units of the view.

use super::first;
use crate::app::App;
use crate::floor::scene::letter;
use crate::floor::show::name_of;
use crate::view::Selected;
use project::document::{LineName, PointRole, SectionShape};
use project::edit::Edit;

/// What a pull moves.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Moved {
    /// Such as "moves the breadth at 216.0 mm".
    pub(super) says: String,
    pub(super) target: Option<Selected>,
}

/// What an edit of a pull moves; `label` is what the grip says of it.
pub(super) fn told(app: &App, edit: &Edit, label: &str) -> Moved {
    let at = |x: f64| format!("at {}", app.view.units.length(x));
    let form = app.form();
    let station = |section: usize| form.sections.get(section).map_or(0.0, |s| s.station);
    let section_at = |section: usize| format!("section {} {}", letter(section), at(station(section)));
    match *first(edit) {
        Edit::MoveLinePoint { line, point, x, .. } => Moved {
            says: format!("moves the {} {}", lower(line), at(x)),
            target: Some(Selected::LinePoint { line, point }),
        },
        Edit::AddLinePoint { line, point: added, .. } => {
            let there = form.lines.get(line).points.iter().position(|p| p.x == added.x);
            Moved {
                says: format!("adds a point to the {} {}", lower(line), at(added.x)),
                target: Some(there.map_or(Selected::Line(line), |point| Selected::LinePoint { line, point })),
            }
        }
        Edit::MoveSectionPoint { section, point, .. } => Moved {
            says: format!("moves point {} of {}", point + 1, section_at(section)),
            target: Some(Selected::SectionPoint { section, point }),
        },
        Edit::AddSectionPoint { section, .. } => {
            Moved { says: format!("adds a point to {}", section_at(section)), target: Some(Selected::Section(section)) }
        }
        Edit::SetArc { section, arc, .. } => Moved {
            says: format!("sets the fullness {} of {}", half(app, section, arc), section_at(section)),
            target: Some(Selected::Arc { section, arc }),
        },
        _ => Moved { says: label.to_owned(), target: None },
    }
}

/// What was refused, with sections by their letters.
pub(super) fn lettered(app: &App, text: &str) -> String {
    // From the last one on: 12 begins like 1.
    let sections = (0..app.form().sections.len()).rev();
    sections.fold(text.to_owned(), |text, section| {
        text.replace(&format!("ection {}", section + 1), &format!("ection {}", letter(section)))
    })
}

fn lower(line: LineName) -> String {
    line.label().to_lowercase()
}

/// Above or below the breadth.
fn half(app: &App, section: usize, arc: usize) -> &'static str {
    let form = app.form();
    let Some(SectionShape::Shaped(unit)) = form.sections.get(section).map(|s| &s.shape) else { return "" };
    let breadth = unit.points.iter().position(|p| matches!(p.role, PointRole::Breadth { .. }));
    if breadth.is_some_and(|breadth| arc < breadth) { "above the breadth" } else { "below the breadth" }
}

/// What something is called.
pub(super) fn name(app: &App, target: Selected) -> Option<String> {
    let form = app.form();
    match target {
        Selected::SectionPoint { section, point } => {
            let role = super::super::overlay::find::role(&form, section, point);
            let what = match role {
                Some(PointRole::Crown) => "crown mark".into(),
                Some(PointRole::Keel) => "keel mark".into(),
                Some(PointRole::Breadth { .. }) => "breadth mark".into(),
                _ => format!("point {}", point + 1),
            };
            Some(format!("Section {} {what}", letter(section)))
        }
        Selected::Line(LineName::Breadth) => Some("Breadth line".into()),
        Selected::Line(line) => Some(line.label().to_owned()),
        other => name_of(app, other),
    }
}
