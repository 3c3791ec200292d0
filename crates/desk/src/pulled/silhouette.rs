//! The silhouette under the pointer, by one number of the form.

use super::line::name;
use super::{Held, Moves, Pulled, at};
use form::Lofted;
use form::seen::{SilhouetteKind, SilhouettePlace, SurfaceNode, contact};
use project::document::{ArcKind, Document, Form, LineName, PointRole, SectionShape};
use project::edit::{Edit, Refused, locked_by};

/// Solved when the silhouette is this near to the pointer, px.
const SOLVED_PX: f64 = 0.01;
/// Lofts for one step of a pull at most.
const MOST_LOFTS: usize = 12;
/// A number that moves the silhouette by less than this many px, for a change that counts as a millimetre or so, does not move
/// it.
const LEAST_INFLUENCE_PX: f64 = 0.02;
/// Changes that count as a millimetre or so at a quarter-scale cowl, by which numbers are compared: mm, rho, exponent.
const MM: f64 = 1.0;
const RHO: f64 = 0.02;
const EXPONENT: f64 = 0.1;

/// One number of the form.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Number {
    /// The value of a line's point.
    Line { line: LineName, point: usize },
    /// How far a section's point has moved along a direction (u, v), mm.
    Point { section: usize, point: usize, along: [f64; 2] },
    /// The fullness of an arc.
    Fullness { section: usize, arc: usize },
}

/// The silhouette, moved by one number.
#[derive(Debug)]
pub(super) struct SilhouetteMove {
    place: SilhouettePlace,
    number: Number,
    label: String,
    /// What it is in the document, what was last found, and px outward for one of it.
    start: f64,
    last: f64,
    slope: f64,
}

/// Chooses the number that moves the silhouette most at a place: each is changed a little, and the place is looked at again. (That
/// is right to first order, as the surface slides along the line of sight there.)
pub(super) fn choose(held: &mut Held, place: &SilhouettePlace) -> Result<Moves, Refused> {
    if place.kind == SilhouetteKind::Tip {
        return Err(Refused::new(
            "A pointed end is held by the ends of the four lines.",
            "Move the ends of the lines in the drawing.",
        ));
    }
    let document = std::sync::Arc::clone(&held.document);
    let here = pixel(held, &document, place);
    let here = here.ok_or_else(|| Refused::new("The form is not shown there.", "Take hold of it elsewhere."))?;
    let mut best: Option<(f64, Number, f64, f64)> = None;
    for (number, step) in numbers(held.form()?, place) {
        let Some(start) = number.start(held.form()?) else { continue };
        // A number at its limit is changed the other way.
        let moved = [step, -step].into_iter().find_map(|step| {
            let next = number.edit(held, start + step)?.apply(&document).ok()?;
            Some((step, pixel(held, &next, place)?))
        });
        let Some((step, there)) = moved else { continue };
        let outward: f64 = (0..2).map(|k| (there[k] - here[k]) * place.outward[k]).sum();
        if best.is_none_or(|(most, ..)| outward.abs() > most) {
            best = Some((outward.abs(), number, start, outward / step));
        }
    }
    let (_, number, start, slope) =
        best.filter(|b| b.0 >= LEAST_INFLUENCE_PX).ok_or_else(|| nothing_moves(held, place))?;
    let label = number.label(held.form()?);
    Ok(Moves::Silhouette(SilhouetteMove { place: *place, number, label, start, last: start, slope }))
}

/// Where the picture shows a spot of the surface of a document's form.
fn pixel(held: &mut Held, document: &Document, place: &SilhouettePlace) -> Option<[f64; 2]> {
    let lofted = lofted(held, document)?;
    let node = SurfaceNode::at(lofted.whole_skin()?.loft(), place.spot)?;
    held.camera.project(node.point)
}

fn lofted(held: &mut Held, document: &Document) -> Option<Lofted> {
    Some(form::loft_remembering(document.forms.get(held.form)?, &mut held.memory))
}

fn nothing_moves(held: &Held, place: &SilhouettePlace) -> Refused {
    let pinned = held.form().is_ok_and(|f| {
        f.sections.iter().any(|s| matches!(s.shape, SectionShape::Pinned(_)) && (s.station - place.spot.x).abs() < 1.0)
    });
    let why =
        if pinned { "the section there is pinned to measured points" } else { "no point or arc of the form lies near" };
    Refused::new(
        format!("Nothing moves the silhouette {}: {why}.", at(place.spot.x)),
        "Pull it elsewhere, or add a point to a line or a control section near there.",
    )
}

/// The numbers near a place, with the change by which they are compared.
fn numbers(form: &Form, place: &SilhouettePlace) -> Vec<(Number, f64)> {
    let x = place.spot.x;
    let mut out = Vec::new();
    for line in LineName::ALL {
        let points = &form.lines.get(line).points;
        let behind = points.partition_point(|p| p.x < x);
        let free = |i: &usize| points.get(*i).is_some_and(|p| locked_by(form, line, p.x).is_none());
        let near = (behind.saturating_sub(1)..=behind).filter(free);
        out.extend(near.map(|point| (Number::Line { line, point }, MM)));
    }
    let behind = form.sections.partition_point(|s| s.station < x);
    for section in behind.saturating_sub(1)..=behind {
        let Some(SectionShape::Shaped(unit)) = form.sections.get(section).map(|s| &s.shape) else { continue };
        out.extend(unit.arcs.iter().enumerate().filter_map(|(arc, kind)| match kind {
            ArcKind::Cubic => None,
            ArcKind::Conic { .. } => Some((Number::Fullness { section, arc }, RHO)),
            ArcKind::Superelliptic { .. } => Some((Number::Fullness { section, arc }, EXPONENT)),
        }));
        let free = |role: PointRole| matches!(role, PointRole::Smooth | PointRole::Knuckle { .. });
        let points = unit.points.iter().enumerate().filter(|(_, p)| free(p.role));
        let station = form.sections.get(section).map_or(x, |s| s.station);
        out.extend(points.filter_map(|(point, p)| {
            let along = outward(form, station, p.v > 0.0, place.normal)?;
            Some((Number::Point { section, point, along }, MM))
        }));
    }
    out
}

/// One millimetre along a normal, across the body, in unit coordinates at a station.
fn outward(form: &Form, station: f64, above: bool, normal: [f64; 3]) -> Option<[f64; 2]> {
    let value = |name| form::line(form.lines.get(name)).ok().map(|l| l.at(station).value);
    let middle = value(LineName::BreadthHeight)?;
    let height = if above { value(LineName::Crown)? - middle } else { middle - value(LineName::Keel)? };
    let breadth = value(LineName::Breadth)?;
    let across = normal[1].hypot(normal[2]);
    let along = [normal[1].abs() / across / breadth, normal[2] / across / height];
    (breadth > 0.01 && height > 0.01 && across > 0.01).then_some(along)
}

impl Number {
    fn start(self, form: &Form) -> Option<f64> {
        match self {
            Self::Line { line, point } => form.lines.get(line).points.get(point).map(|p| p.value),
            Self::Point { .. } => Some(0.0),
            Self::Fullness { section, arc } => match &form.sections.get(section)?.shape {
                SectionShape::Shaped(unit) => match unit.arcs.get(arc)? {
                    ArcKind::Conic { rho } => Some(*rho),
                    ArcKind::Superelliptic { exponent } => Some(*exponent),
                    ArcKind::Cubic => None,
                },
                SectionShape::Pinned(_) => None,
            },
        }
    }

    /// Least and greatest of what it may be.
    fn range(self, form: &Form) -> (f64, f64) {
        match self {
            Self::Line { line: LineName::Breadth, .. } => (0.0, project::promise::MAX_MM),
            Self::Line { .. } | Self::Point { .. } => (-project::promise::MAX_MM, project::promise::MAX_MM),
            Self::Fullness { section, arc } => match form.sections.get(section).map(|s| &s.shape) {
                Some(SectionShape::Shaped(unit)) if matches!(unit.arcs.get(arc), Some(ArcKind::Conic { .. })) => {
                    (geometry::conic::LEAST_RHO, geometry::conic::GREATEST_RHO)
                }
                _ => (geometry::superellipse::LEAST_EXPONENT, geometry::superellipse::GREATEST_EXPONENT),
            },
        }
    }

    fn edit(self, held: &Held, value: f64) -> Option<Edit> {
        let form = held.form().ok()?;
        let unit = |section: usize| match &form.sections.get(section)?.shape {
            SectionShape::Shaped(unit) => Some(unit),
            SectionShape::Pinned(_) => None,
        };
        Some(match self {
            Self::Line { line, point } => {
                let x = form.lines.get(line).points.get(point)?.x;
                Edit::MoveLinePoint { form: held.form, line, point, x, value }
            }
            Self::Point { section, point, along } => {
                let p = unit(section)?.points.get(point)?;
                let (u, v) = ((p.u + value * along[0]).max(0.0), p.v + value * along[1]);
                Edit::MoveSectionPoint { form: held.form, section, point, u, v }
            }
            Self::Fullness { section, arc } => {
                let kind = match unit(section)?.arcs.get(arc)? {
                    ArcKind::Conic { .. } => ArcKind::Conic { rho: value },
                    _ => ArcKind::Superelliptic { exponent: value },
                };
                Edit::SetArc { form: held.form, section, arc, kind }
            }
        })
    }

    fn label(self, form: &Form) -> String {
        let station = |section: usize| form.sections.get(section).map_or(0.0, |s| s.station);
        match self {
            Self::Line { line, point } => {
                let x = form.lines.get(line).points.get(point).map_or(0.0, |p| p.x);
                format!("moves the {} {}", name(line), at(x))
            }
            Self::Point { section, .. } => {
                format!("moves a point of control section {}, {}", section + 1, at(station(section)))
            }
            Self::Fullness { section, arc } => {
                let above = form.sections.get(section).is_some_and(|s| match &s.shape {
                    SectionShape::Shaped(unit) => {
                        let mark = unit.points.iter().position(|p| matches!(p.role, PointRole::Breadth { .. }));
                        mark.is_some_and(|mark| arc < mark)
                    }
                    SectionShape::Pinned(_) => false,
                });
                let half = if above { "above" } else { "below" };
                format!(
                    "sets the fullness {half} the breadth of control section {}, {}",
                    section + 1,
                    at(station(section))
                )
            }
        }
    }
}

impl SilhouetteMove {
    pub(super) fn label(&self) -> String {
        self.label.clone()
    }

    /// Solves the number by secant steps from the last one found, held within its range; where the silhouette is lost on the way,
    /// half the step is tried. The nearest found stands if it cannot be reached.
    pub(super) fn pull(&mut self, held: &mut Held, pixel: [f64; 2]) -> Result<Pulled, Refused> {
        let (least, most) = self.number.range(held.form()?);
        let mut tried: Vec<(f64, f64)> = Vec::new();
        let mut value = self.last;
        let mut lofts = 0;
        while lofts < MOST_LOFTS {
            lofts += 1;
            let Some(away) = self.away(held, value, pixel) else {
                // Back towards what was good.
                let good = tried.last().map_or(self.start, |t| t.0);
                if (value - good).abs() < 1e-9 {
                    break;
                }
                value = 0.5 * (value + good);
                continue;
            };
            tried.push((value, away));
            if away.abs() < SOLVED_PX {
                break;
            }
            let next = self.next(&tried).clamp(least, most);
            if (next - value).abs() < 1e-12 * (1.0 + value.abs()) {
                break;
            }
            value = next;
        }
        let best = tried.iter().min_by(|a, b| a.1.abs().total_cmp(&b.1.abs()));
        let lost = || Refused::new("The silhouette is lost there.", "Pull less far, or take hold of it again.");
        let &(value, away) = best.ok_or_else(lost)?;
        self.last = value;
        let edit = self.number.edit(held, value).ok_or_else(lost)?;
        Ok(Pulled { edit, miss_px: away.abs() })
    }

    /// From the silhouette to the pointer along the way outward, px, with that value of the number.
    fn away(&self, held: &mut Held, value: f64, pixel: [f64; 2]) -> Option<f64> {
        let next = self.number.edit(held, value)?.apply(&held.document).ok()?;
        let lofted = lofted(held, &next)?;
        contact(lofted.whole_skin()?.loft(), &held.camera, &self.place, pixel).map(|c| c.distance_px)
    }

    /// The next value to try: between two that lie on both sides by regula falsi with the last ones, else by the secant, else by
    /// the slope that was seen when it was taken hold of.
    fn next(&self, tried: &[(f64, f64)]) -> f64 {
        let Some(&(value, away)) = tried.last() else { return self.start };
        let newton = value + away / self.slope;
        let Some(&(before, was)) = tried.len().checked_sub(2).and_then(|i| tried.get(i)) else { return newton };
        let secant = value - away * (value - before) / (away - was);
        let other = tried.iter().rev().find(|t| t.1 * away < 0.0);
        let inside = |v: f64, bound: f64| (v - value) * (v - bound) <= 0.0;
        match other {
            Some(&(bound, _)) if !secant.is_finite() || !inside(secant, bound) => 0.5 * (value + bound),
            _ if secant.is_finite() && (secant - value).abs() < 4.0 * (newton - value).abs() => secant,
            _ => newton,
        }
    }
}
