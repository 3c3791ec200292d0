//! Random forms of several kinds: cowls, spats that are points at both ends, blisters with a flat rear, forms with a knuckle,
//! forms with a section pinned amidships.

use crate::dice::Dice;
use project::document::{
    ArcKind, ControlSection, Document, Form, LineEnd, LinePoint, LinePointKind, MasterLine, MasterLines,
    MeasuredSection, PointRole, SectionShape, UnitPoint, UnitSection,
};
use project::edit::Edit;
use project::starter::{empty_form, new_document};
use std::sync::Arc;

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Kind {
    Cowl,
    Spat,
    Blister,
    Knuckled,
    Pinned,
}

impl Kind {
    pub(crate) const ALL: [Self; 5] = [Self::Cowl, Self::Spat, Self::Blister, Self::Knuckled, Self::Pinned];

    fn ends(self) -> [f64; 2] {
        match self {
            Self::Spat => [0.0, 0.0],
            Self::Blister => [0.0, 0.95],
            _ => [0.45, 0.95],
        }
    }
}

pub(crate) const LENGTH: f64 = 360.0;

/// The form as it is, and as it is drawn before the photographs speak: without what was shaped between its ends.
pub(crate) fn form(kind: Kind, dice: &mut Dice) -> [Document; 2] {
    let lines = lines(kind, dice);
    let ends: Vec<ControlSection> = [0.0, LENGTH]
        .into_iter()
        .zip(kind.ends())
        .filter(|(_, share)| *share > 0.0)
        .map(|(x, _)| shaped(x, two(2.0 + 0.2 * dice.normal().abs(), 2.2)))
        .collect();
    let wanted = [0.35, 0.65].map(|share| {
        let (above, below) = (2.3 + 0.25 * dice.normal(), 2.3 + 0.25 * dice.normal());
        let unit = if kind == Kind::Knuckled { knuckled(dice) } else { two(above.max(1.6), below.max(1.6)) };
        shaped(share * LENGTH, unit)
    });
    let mut true_sections = ends.clone();
    true_sections.extend(wanted);
    let mut drawn = ends;
    if drawn.is_empty() {
        drawn.push(shaped(0.5 * LENGTH, two(2.2, 2.2)));
    }
    let whole = |mut sections: Vec<ControlSection>| {
        sections.sort_by(|a, b| a.station.total_cmp(&b.station));
        let stations = (1..12).map(|i| LENGTH * f64::from(i) / 12.0).collect();
        let sections = sections.into_iter().map(Arc::new).collect();
        let with = Form { lines: lines.clone(), sections, stations, ..empty_form("Planted") };
        Edit::ReplaceForm { form: 0, with }.apply(&new_document("Planted")).unwrap()
    };
    let [truth, mut start] = [whole(true_sections), whole(drawn)];
    if kind == Kind::Pinned {
        let pinned = pinned(&truth);
        start = Edit::AddSection { form: 0, section: pinned }.apply(&start).unwrap();
    }
    [truth, start]
}

/// The true section amidships as a hand would measure it.
fn pinned(truth: &Document) -> ControlSection {
    let lofted = form::loft(&truth.forms[0]);
    let x = 0.5 * LENGTH;
    let section = lofted.skin.as_ref().unwrap().loft().section(x).unwrap();
    let all = section.polyline(0.01);
    let last = all.len() - 1;
    let mut points: Vec<[f64; 2]> = (0..=16).map(|i| all[i * last / 16]).collect();
    (points[0][0], points[16][0]) = (0.0, 0.0);
    ControlSection { station: x, shape: SectionShape::Pinned(MeasuredSection::through(points)) }
}

fn shaped(station: f64, unit: UnitSection) -> ControlSection {
    ControlSection { station, shape: SectionShape::Shaped(unit) }
}

fn point(u: f64, v: f64, role: PointRole) -> UnitPoint {
    UnitPoint { u, v, role }
}

const CROWN: UnitPoint = UnitPoint { u: 0.0, v: 1.0, role: PointRole::Crown };
const BREADTH: UnitPoint = UnitPoint { u: 1.0, v: 0.0, role: PointRole::Breadth { knuckle: None } };
const KEEL: UnitPoint = UnitPoint { u: 0.0, v: -1.0, role: PointRole::Keel };

fn two(above: f64, below: f64) -> UnitSection {
    UnitSection {
        points: vec![CROWN, BREADTH, KEEL],
        arcs: [above, below].map(|exponent| ArcKind::Superelliptic { exponent }).to_vec(),
        crown_ridge: false,
        keel_ridge: false,
    }
}

fn knuckled(dice: &mut Dice) -> UnitSection {
    let out = 0.03 * dice.normal();
    let knuckle = point(0.80 + out, 0.68 + out, PointRole::Knuckle { number: 1, faded: false });
    UnitSection {
        points: vec![CROWN, point(0.42, 0.94, PointRole::Smooth), knuckle, BREADTH, KEEL],
        arcs: vec![
            ArcKind::Cubic,
            ArcKind::Cubic,
            ArcKind::Conic { rho: 0.46 },
            ArcKind::Superelliptic { exponent: 2.35 },
        ],
        crown_ridge: false,
        keel_ridge: false,
    }
}

fn lines(kind: Kind, dice: &mut Dice) -> MasterLines {
    let full = [dice.between(50.0, 65.0), dice.between(75.0, 105.0), dice.between(65.0, 85.0)];
    let line = |size: f64, dice: &mut Dice| {
        let [front, rear] = kind.ends();
        let swell = 1.0 + 0.03 * dice.normal();
        let at = [
            (0.0, front),
            (0.12, 0.45 + 0.45 * front),
            (0.35, 0.88),
            (0.6, swell),
            (0.85, 0.75 * swell + 0.25 * rear),
            (1.0, rear),
        ];
        let points = at.map(|(x, v)| LinePoint { x: x * LENGTH, value: size * v, kind: LinePointKind::Smooth });
        let end = |share: f64| if share == 0.0 { LineEnd::Upright } else { LineEnd::Free };
        MasterLine { points: points.to_vec(), front: end(front), rear: end(rear) }
    };
    let level = 4.0 * dice.normal();
    let height = [(0.0, 0.0), (0.5, level), (1.0, 0.0)];
    let height = height.map(|(x, value)| LinePoint { x: x * LENGTH, value, kind: LinePointKind::Smooth });
    MasterLines {
        crown: Arc::new(line(full[0], dice)),
        keel: Arc::new(line(-full[1], dice)),
        breadth: Arc::new(line(full[2], dice)),
        breadth_height: Arc::new(MasterLine { points: height.to_vec(), ..MasterLine::default() }),
    }
}
