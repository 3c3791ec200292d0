//! A form and its master lines in version 1.

use std::sync::Arc;

use serde::{Deserialize, Deserializer, Serialize};

use super::build::Build;
use super::mount::{self, Mount};
use super::opening::{self, Opening};
use super::section::Section;
use super::{check_rising, is_default, same_variants};
use crate::document;
use crate::edit::{Refused, lock_all};
use crate::file::checked::{self, Number};
use crate::promise;

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Form {
    #[serde(deserialize_with = "super::name")]
    name: String,
    #[serde(default, skip_serializing_if = "is_default")]
    lengthwise: Lengthwise,
    #[serde(default, skip_serializing_if = "is_default")]
    front_edge_radius: Number,
    #[serde(default, skip_serializing_if = "is_default")]
    rear_edge_radius: Number,
    lines: Lines,
    #[serde(default, deserialize_with = "sections")]
    sections: Vec<Section>,
    #[serde(default, deserialize_with = "super::stations")]
    stations: Vec<Number>,
    #[serde(default, skip_serializing_if = "Vec::is_empty", deserialize_with = "opening::list")]
    openings: Vec<Opening>,
    #[serde(default, skip_serializing_if = "Option::is_none", deserialize_with = "mount::read")]
    mount: Option<Mount>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    build: Option<Build>,
}

#[derive(Clone, Copy, Default, PartialEq, Serialize, Deserialize)]
enum Lengthwise {
    #[default]
    Fair,
    Straight,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Lines {
    #[serde(deserialize_with = "heights")]
    crown: Line,
    #[serde(deserialize_with = "heights")]
    keel: Line,
    #[serde(deserialize_with = "half_breadths")]
    breadth: Line,
    #[serde(deserialize_with = "heights")]
    breadth_height: Line,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Line {
    #[serde(default, skip_serializing_if = "is_default")]
    front: LineEnd,
    #[serde(default, skip_serializing_if = "is_default")]
    rear: LineEnd,
    #[serde(deserialize_with = "points")]
    points: Vec<Point>,
}

#[derive(Clone, Copy, Default, PartialEq, Serialize, Deserialize)]
enum LineEnd {
    #[default]
    Free,
    Natural,
    Upright,
}

#[derive(Clone, Copy, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Point {
    x: Number,
    value: Number,
    #[serde(default, skip_serializing_if = "PointKind::is_smooth")]
    kind: PointKind,
}

#[derive(Clone, Copy, Default, Serialize, Deserialize)]
enum PointKind {
    #[default]
    Smooth,
    Corner,
    Slope(Number),
}

same_variants!(Lengthwise, document::Lengthwise, Fair, Straight);
same_variants!(LineEnd, document::LineEnd, Free, Natural, Upright);

impl PointKind {
    fn is_smooth(&self) -> bool {
        matches!(self, Self::Smooth)
    }
}

/// Points rise in x; whether their values suit the line is checked with the line.
fn points<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Vec<Point>, D::Error> {
    checked::list(deserializer, promise::MAX_POINTS, |before: Option<&Point>, point: &Point| {
        let any = document::LineName::Crown;
        promise::check_line_value(any, point.x.0, point.value.0)?;
        promise::check_line_kind(point.kind.into())?;
        before.map_or(Ok(()), |before| check_rising(before.x, point.x))
    })
}

fn heights<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Line, D::Error> {
    line(deserializer, document::LineName::Crown)
}

fn half_breadths<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Line, D::Error> {
    line(deserializer, document::LineName::Breadth)
}

fn line<'de, D: Deserializer<'de>>(deserializer: D, name: document::LineName) -> Result<Line, D::Error> {
    let line = Line::deserialize(deserializer)?;
    promise::check_line(name, &line.to_document()).map_err(checked::told)?;
    Ok(line)
}

fn sections<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Vec<Section>, D::Error> {
    checked::list(deserializer, promise::MAX_SECTIONS, |before: Option<&Section>, section: &Section| {
        let section = section.to_document();
        promise::check_section(&section)?;
        let order = before.map(|before| before.to_document().station).into_iter().chain([section.station]);
        promise::check_section_order(order.collect::<Vec<_>>().into_iter())
    })
}

impl Form {
    /// What cannot be seen in one of its parts alone.
    pub(super) fn check(&self) -> Result<(), Refused> {
        let mut form = self.to_document();
        promise::check_form(&form)?;
        lock_all(&mut form)
    }

    pub(super) fn to_document(&self) -> document::Form {
        document::Form {
            name: self.name.clone(),
            lines: document::MasterLines {
                crown: Arc::new(self.lines.crown.to_document()),
                keel: Arc::new(self.lines.keel.to_document()),
                breadth: Arc::new(self.lines.breadth.to_document()),
                breadth_height: Arc::new(self.lines.breadth_height.to_document()),
            },
            sections: self.sections.iter().map(|section| Arc::new(section.to_document())).collect(),
            stations: self.stations.iter().map(|x| x.0).collect(),
            lengthwise: self.lengthwise.into(),
            front_edge_radius: self.front_edge_radius.0,
            rear_edge_radius: self.rear_edge_radius.0,
            openings: self.openings.iter().map(|opening| Arc::new(opening.to_document())).collect(),
            mount: self.mount.map(crate::mount::Mount::from),
            build: self.build.as_ref().map(|build| Arc::new(build.to_document())),
        }
    }
}

impl From<&document::Form> for Form {
    fn from(form: &document::Form) -> Self {
        Self {
            name: form.name.clone(),
            lengthwise: form.lengthwise.into(),
            front_edge_radius: Number(form.front_edge_radius),
            rear_edge_radius: Number(form.rear_edge_radius),
            lines: Lines {
                crown: Line::from(&*form.lines.crown),
                keel: Line::from(&*form.lines.keel),
                breadth: Line::from(&*form.lines.breadth),
                breadth_height: Line::from(&*form.lines.breadth_height),
            },
            sections: form.sections.iter().map(|section| Section::from(&**section)).collect(),
            stations: form.stations.iter().copied().map(Number).collect(),
            openings: form.openings.iter().map(|opening| Opening::from(&**opening)).collect(),
            mount: form.mount.map(Mount::from),
            build: form.build.as_deref().map(Build::from),
        }
    }
}

impl Line {
    fn to_document(&self) -> document::MasterLine {
        let point = |point: &Point| document::LinePoint { x: point.x.0, value: point.value.0, kind: point.kind.into() };
        document::MasterLine {
            points: self.points.iter().map(point).collect(),
            front: self.front.into(),
            rear: self.rear.into(),
        }
    }
}

impl From<&document::MasterLine> for Line {
    fn from(line: &document::MasterLine) -> Self {
        let point = |point: &document::LinePoint| Point {
            x: Number(point.x),
            value: Number(point.value),
            kind: point.kind.into(),
        };
        Self { front: line.front.into(), rear: line.rear.into(), points: line.points.iter().map(point).collect() }
    }
}

impl From<PointKind> for document::LinePointKind {
    fn from(kind: PointKind) -> Self {
        match kind {
            PointKind::Smooth => Self::Smooth,
            PointKind::Corner => Self::Corner,
            PointKind::Slope(degrees) => Self::Slope(degrees.0),
        }
    }
}

impl From<document::LinePointKind> for PointKind {
    fn from(kind: document::LinePointKind) -> Self {
        match kind {
            document::LinePointKind::Smooth => Self::Smooth,
            document::LinePointKind::Corner => Self::Corner,
            document::LinePointKind::Slope(degrees) => Self::Slope(Number(degrees)),
        }
    }
}
