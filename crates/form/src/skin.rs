//! The finished skin of a form: what will be seen when the model stands on the field.

use crate::finding::{Finding, Part, Severity};
use crate::sections::{SectionProblem, control_shape};
use geometry::control::ControlShape;
use geometry::line::{Inside, Line};
use geometry::loft::{Lengthwise, Lines, Loft, LoftError};
use geometry::unit::UnitForm;
use project::document::{self as doc, ControlSection, Form, LineName};
use std::sync::Arc;

/// The finished outside of a form. (The plug is another surface and will be another type.)
#[derive(Clone, Debug)]
pub struct FinishedSkin {
    loft: Loft,
}

impl FinishedSkin {
    /// The surface.
    pub fn loft(&self) -> &Loft {
        &self.loft
    }
}

/// What can be made of a form.
#[derive(Clone, Debug)]
pub struct Lofted {
    /// The finished skin, if the form is complete enough.
    pub skin: Option<FinishedSkin>,
    /// The master lines that can be drawn, in the order of [`LineName::ALL`].
    pub lines: [Option<Line>; 4],
    /// What stands in the way, or deserves a look.
    pub findings: Vec<Finding>,
}

impl Lofted {
    /// That master line, if it can be drawn.
    pub fn line(&self, name: LineName) -> Option<&Line> {
        LineName::ALL.iter().position(|n| *n == name).and_then(|i| self.lines[i].as_ref())
    }

    /// The skin, if every line has one value at a station; where one turns back the surface is torn there, and nothing can be
    /// fitted to it or built after it.
    pub fn whole_skin(&self) -> Option<&FinishedSkin> {
        let torn = self.lines.iter().flatten().any(|line| line.turns_back().is_some());
        self.skin.as_ref().filter(|_| !torn)
    }
}

/// The unit form of the control sections that were lofted last, so that dragging a line does not make it anew.
#[derive(Debug, Default)]
pub struct UnitMemory(Option<(Vec<Arc<ControlSection>>, doc::Lengthwise, Units)>);

/// The unit form of some control sections, and what was found while it was made.
#[derive(Clone, Debug)]
struct Units {
    unit: Arc<UnitForm>,
    findings: Vec<Finding>,
}

impl UnitMemory {
    /// The unit form of a form's control sections: the one remembered, if it was made of these very sections.
    fn units(&mut self, form: &Form) -> Units {
        let same = |(sections, lengthwise, _): &&(Vec<Arc<ControlSection>>, doc::Lengthwise, Units)| {
            *lengthwise == form.lengthwise
                && sections.len() == form.sections.len()
                && sections.iter().zip(&form.sections).all(|(a, b)| Arc::ptr_eq(a, b))
        };
        if let Some((_, _, units)) = self.0.as_ref().filter(same) {
            return units.clone();
        }
        let units = Units::new(form);
        self.0 = Some((form.sections.clone(), form.lengthwise, units.clone()));
        units
    }
}

impl Units {
    fn new(form: &Form) -> Self {
        let mut findings = Vec::new();
        let shapes = control_shapes(form, &mut findings);
        let lengthwise = match form.lengthwise {
            doc::Lengthwise::Fair => Lengthwise::Fair,
            doc::Lengthwise::Straight => Lengthwise::Straight,
        };
        Self { unit: UnitForm::new(&shapes, lengthwise), findings }
    }
}

/// Lofts a form.
pub fn loft(form: &Form) -> Lofted {
    loft_remembering(form, &mut UnitMemory::default())
}

/// Lofts a form; the unit form of its control sections is taken from `memory` if it is there, and kept in it.
pub fn loft_remembering(form: &Form, memory: &mut UnitMemory) -> Lofted {
    let mut findings = Vec::new();
    let lines = LineName::ALL.map(|name| master_line(form, name, &mut findings));
    let units = memory.units(form);
    findings.extend(units.findings);
    let skin = skin(form, &lines, units.unit, &mut findings);
    if let Some(skin) = &skin {
        loft_findings(&skin.loft, &mut findings);
    }
    Lofted { skin, lines, findings }
}

fn master_line(form: &Form, name: LineName, findings: &mut Vec<Finding>) -> Option<Line> {
    let part = Part::Line(name);
    match crate::lines::line(form.lines.get(name)) {
        Ok(line) => {
            if let Some(x) = line.turns_back() {
                let what = format!("The {} line turns back on itself.", name.label().to_lowercase());
                let hint = "Add a point there, or move its neighbours further apart along the body.";
                findings.push(Finding::new(Severity::Error, part, what, hint).at_station(x));
            }
            Some(line)
        }
        Err(e) => {
            let what = format!("The {} line cannot be drawn: {e}.", name.label().to_lowercase());
            let hint = "Add points to it in the side or plan view.";
            let points = form.lines.get(name).points.len() as f64;
            findings.push(Finding::new(Severity::Error, part, what, hint).with(points, 2.0, "points"));
            None
        }
    }
}

fn control_shapes(form: &Form, findings: &mut Vec<Finding>) -> Vec<ControlShape> {
    let mut shapes = Vec::new();
    for (i, section) in form.sections.iter().enumerate() {
        let (shape, problem) = control_shape(section);
        let finding = match problem {
            Some(SectionProblem::NoCurve(why)) => Some(Finding::new(
                Severity::Error,
                Part::Section(i),
                format!("This control section has no curve: {why}."),
                "Move or remove the point.",
            )),
            Some(SectionProblem::NotConic(arcs)) => Some(Finding::new(
                Severity::Warning,
                Part::Section(i),
                format!("No conic joins the tangents at the ends of arc {}; a cubic stands in for it.", arcs[0] + 1),
                "Make the arc a cubic, or move its end points so that the curve bends one way between them.",
            )),
            None => None,
        };
        findings.extend(finding.map(|f| f.at_station(section.station)));
        shapes.extend(shape);
    }
    shapes
}

fn skin(
    form: &Form,
    lines: &[Option<Line>; 4],
    unit: Arc<UnitForm>,
    findings: &mut Vec<Finding>,
) -> Option<FinishedSkin> {
    let [Some(crown), Some(keel), Some(breadth), Some(breadth_height)] = lines.clone() else {
        return None;
    };
    let lines = with_rounded_edges(form, Lines { crown, keel, breadth, breadth_height }, findings);
    ends_differ(&lines, findings);
    match Loft::along(lines, unit) {
        Ok(loft) => Some(FinishedSkin { loft }),
        Err(LoftError::NoControl) => {
            let what = "The form has no control section yet, so nothing can be lofted.";
            let hint = "Add a control section where you know the shape, at the front face for instance.";
            findings.push(Finding::new(Severity::Error, Part::Form, what, hint).with(0.0, 1.0, "control sections"));
            None
        }
        Err(LoftError::NoLength) => {
            let what = "The four master lines have no stretch of the body in common.";
            let hint = "Let all four lines run from the same first end to the same last end.";
            findings.push(Finding::new(Severity::Error, Part::Form, what, hint));
            None
        }
    }
}

/// The lines with the edges of flat ends rounded; as they are, with a finding, where a radius finds no room.
fn with_rounded_edges(form: &Form, lines: Lines, findings: &mut Vec<Finding>) -> Lines {
    let radii = (form.front_edge_radius, form.rear_edge_radius);
    if radii == (0.0, 0.0) {
        return lines;
    }
    match rounded(&lines, radii).filter(keeps_its_face) {
        Some(rounded) => rounded,
        None => {
            let what = "The edge radius finds no room at its end, so the edge is left sharp.";
            let hint = "Choose a smaller radius; an end that is a point or upright has no edge to round.";
            findings.push(Finding::new(Severity::Warning, Part::Form, what, hint));
            lines
        }
    }
}

fn rounded(lines: &Lines, (front, rear): (f64, f64)) -> Option<Lines> {
    Some(Lines {
        crown: lines.crown.rounded(Inside::Below, front, rear)?,
        keel: lines.keel.rounded(Inside::Above, front, rear)?,
        breadth: lines.breadth.rounded(Inside::Below, front, rear)?,
        breadth_height: lines.breadth_height.clone(),
    })
}

/// Whether some face is left at both ends: breadth, and height above and below the breadth.
fn keeps_its_face(lines: &Lines) -> bool {
    let (front, rear) = lines.breadth.range();
    [front, rear].into_iter().all(|x| {
        let middle = lines.breadth_height.at(x).value;
        lines.breadth.at(x).value >= 0.0 && lines.crown.at(x).value >= middle && lines.keel.at(x).value <= middle
    })
}

/// How far the ends of two master lines may lie apart before it is told, mm.
const SAME_END: f64 = 0.001;

fn ends_differ(lines: &Lines, findings: &mut Vec<Finding>) {
    let named = [&lines.crown, &lines.keel, &lines.breadth, &lines.breadth_height];
    let ranges = named.map(Line::range);
    let front = ranges.iter().map(|r| r.0).fold(f64::NEG_INFINITY, f64::max);
    let rear = ranges.iter().map(|r| r.1).fold(f64::INFINITY, f64::min);
    for (name, range) in LineName::ALL.into_iter().zip(ranges) {
        let (over_front, over_rear) = (front - range.0, range.1 - rear);
        let over = over_front.max(over_rear);
        if over > SAME_END {
            let end = if over_front >= over_rear { "ahead of" } else { "aft of" };
            let what = format!(
                "The {} line runs {over:.1} mm {end} the others; the form is lofted only where all four are.",
                name.label().to_lowercase()
            );
            let x = if over_front >= over_rear { range.0 } else { range.1 };
            let finding =
                Finding::new(Severity::Warning, Part::Line(name), what, "Bring the ends of all four lines together.");
            findings.push(finding.at_station(x).with(over, 0.0, "mm"));
        }
    }
}

fn loft_findings(loft: &Loft, findings: &mut Vec<Finding>) {
    for bay in loft.limited_bays() {
        let what = format!(
            "Between the control sections at {:.1} and {:.1} mm the shape would swing past both; it was held back there.",
            bay.bay.0, bay.bay.1
        );
        let hint = "Add a control section between them, or make the two more alike.";
        let place = 0.5 * (bay.bay.0 + bay.bay.1);
        let finding = Finding::new(Severity::Warning, Part::Form, what, hint).at_station(place);
        findings.push(finding.with(bay.excess, geometry::loft::OVERSHOOT, "mm"));
    }
    for k in loft.knuckles_out_of_order() {
        let what = format!(
            "Knuckle {} lies on one side of a mark at {:.1} mm and on the other at {:.1} mm, so it cannot run along the body.",
            k.number, k.here, k.there
        );
        let hint = "Give it the same order along every section, or let it fade out before it crosses.";
        findings.push(Finding::new(Severity::Error, Part::Form, what, hint).at_station(k.there));
    }
}
