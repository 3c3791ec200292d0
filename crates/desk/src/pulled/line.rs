//! Points and places of crown, keel and breadth line.

use super::sight::{SightLine, edge_on, miss};
use super::{Held, Moves, Pulled, at};
use geometry::line::Line;
use project::document::{LineName, LinePoint, LinePointKind, MasterLine};
use project::edit::{Edit, Refused, locked_by};
use project::photograph::Side;

/// A point of the line nearer than this share of its length to a place is moved instead of adding one.
const NEAR: f64 = 0.02;
/// Sine of the angle between line of sight and level plane from which a point of the breadth line goes along the body too: below
/// it a pixel up or down would be many millimetres.
const FROM_ABOVE: f64 = 0.35;

/// A master line's value, and for a point of it its station, under the pointer.
#[derive(Debug)]
pub(super) struct LineMove {
    line: LineName,
    side: Side,
    what: What,
}

#[derive(Debug)]
enum What {
    /// The point itself, along the body too where the picture tells.
    Point(usize),
    /// The line at a station, by the value of a point that lies there or near.
    Near { point: usize, station: f64 },
    /// The line at a station, by a new point.
    New { station: f64 },
}

/// A point of a line.
pub(super) fn at_point(held: &Held, line: LineName, point: usize, side: Side) -> Result<Moves, Refused> {
    let x = point_of(held.form()?.lines.get(line), line, point)?.x;
    check_free(held, line, x)?;
    Ok(Moves::Line(LineMove { line, side, what: What::Point(point) }))
}

/// A place of a line.
pub(super) fn at_station(held: &Held, line: LineName, [station, y, _]: [f64; 3]) -> Result<Moves, Refused> {
    let side = if y < 0.0 { Side::Port } else { Side::Starboard };
    by_value(held, line, station, side).map(Moves::Line)
}

/// A line's value at a station, on the side where it is pulled.
pub(super) fn by_value(held: &Held, line: LineName, station: f64, side: Side) -> Result<LineMove, Refused> {
    let points = &held.form()?.lines.get(line).points;
    let ends = points.first().zip(points.last()).map(|(a, b)| (a.x, b.x));
    let none = || Refused::new(format!("There is no {} line there.", name(line)), "Draw it first.");
    let (low, high) = ends.filter(|(low, high)| high > low).ok_or_else(none)?;
    let station = station.clamp(low, high);
    check_free(held, line, station)?;
    let nearest = (0..points.len()).min_by(|a, b| {
        let far = |i: &usize| points.get(*i).map_or(f64::INFINITY, |p| (p.x - station).abs());
        far(a).total_cmp(&far(b))
    });
    let near = nearest.filter(|i| points.get(*i).is_some_and(|p| (p.x - station).abs() <= NEAR * (high - low)));
    let free =
        near.filter(|i| points.get(*i).is_some_and(|p| held.form().is_ok_and(|f| locked_by(f, line, p.x).is_none())));
    let what = free.map_or(What::New { station }, |point| What::Near { point, station });
    Ok(LineMove { line, side, what })
}

impl LineMove {
    pub(super) fn label(&self, held: &Held) -> Result<String, Refused> {
        let name = name(self.line);
        Ok(match self.what {
            What::Point(point) => {
                let x = point_of(held.form()?.lines.get(self.line), self.line, point)?.x;
                format!("moves the {name} point {}", at(x))
            }
            What::Near { station, .. } => format!("moves the {name} {}", at(station)),
            What::New { station } => format!("adds a point to the {name} {}", at(station)),
        })
    }

    pub(super) fn pull(&self, held: &Held, pixel: [f64; 2]) -> Result<Pulled, Refused> {
        let sight = SightLine::through(&held.camera, pixel)?;
        match self.what {
            What::Point(point) => self.pull_point(held, point, &sight, pixel),
            What::Near { point, station } => {
                let value = self.value(held, station, &sight)?;
                self.pull_near(held, point, (station, value), pixel)
            }
            What::New { station } => {
                let value = self.value(held, station, &sight)?;
                let point = LinePoint { x: station, value, kind: LinePointKind::Smooth };
                let edit = Edit::AddLinePoint { form: held.form, line: self.line, point };
                Ok(Pulled { edit, miss_px: miss(&held.camera, self.place(held, station, value)?, pixel) })
            }
        }
    }

    /// The point goes where the line of sight meets the plane it may move in, as far as its neighbours let it; where that plane is
    /// seen edge on, its value alone follows.
    fn pull_point(&self, held: &Held, index: usize, sight: &SightLine, pixel: [f64; 2]) -> Result<Pulled, Refused> {
        let line = held.form()?.lines.get(self.line);
        let point = point_of(line, self.line, index)?;
        let here = self.place(held, point.x, point.value)?;
        let met = match self.line {
            LineName::Breadth => sight.on_plane(2, here[2]).filter(|_| looks_down(held, here)),
            _ => sight.on_plane(1, 0.0),
        };
        let [least, most] = line.room(index);
        let x = met.map_or(point.x, |p| p[0].clamp(least, most));
        // The ends hold the length, and the lines end together.
        let end = index == 0 || index + 1 == line.points.len();
        let x = if end { point.x } else { x };
        let value = match met {
            Some(p) if x == p[0] => {
                if self.line == LineName::Breadth {
                    (self.side.sign() * p[1]).max(0.0)
                } else {
                    p[2]
                }
            }
            _ => self.value(held, x, sight)?,
        };
        let edit = Edit::MoveLinePoint { form: held.form, line: self.line, point: index, x, value };
        Ok(Pulled { edit, miss_px: miss(&held.camera, self.place(held, x, value)?, pixel) })
    }

    /// A point near the station goes so far that the line at the station has the value: its value there is straight in the
    /// point's nearly, so a few secant steps do.
    fn pull_near(
        &self,
        held: &Held,
        index: usize,
        (station, wanted): (f64, f64),
        pixel: [f64; 2],
    ) -> Result<Pulled, Refused> {
        let line = held.form()?.lines.get(self.line);
        let point = point_of(line, self.line, index)?;
        let with = |value: f64| {
            let mut moved = MasterLine::clone(line);
            if let Some(p) = moved.points.get_mut(index) {
                p.value = value;
            }
            form::line(&moved).map(|l| l.at(station).value).ok()
        };
        let stuck = || Refused::new(format!("The {} line cannot be drawn.", name(self.line)), "Mend it first.");
        let (mut v0, mut at0) = (point.value, with(point.value).ok_or_else(stuck)?);
        let mut v1 = point.value + wanted - at0;
        for _ in 0..8 {
            let at1 = with(v1).ok_or_else(stuck)?;
            let slope = (at1 - at0) / (v1 - v0);
            if (at1 - wanted).abs() < 1e-9 || slope.abs().is_nan() || slope.abs() < 1e-6 {
                break;
            }
            (v0, at0, v1) = (v1, at1, v1 - (at1 - wanted) / slope);
        }
        let value = if self.line == LineName::Breadth { v1.max(0.0) } else { v1 };
        let reached = with(value).ok_or_else(stuck)?;
        let edit = Edit::MoveLinePoint { form: held.form, line: self.line, point: index, x: point.x, value };
        Ok(Pulled { edit, miss_px: miss(&held.camera, self.place(held, station, reached)?, pixel) })
    }

    /// The value at a station under the pointer.
    fn value(&self, held: &Held, station: f64, sight: &SightLine) -> Result<f64, Refused> {
        let place = self.place(held, station, 0.0)?;
        if self.line == LineName::Breadth {
            let y = sight.along_axis(1, place).ok_or_else(|| edge_on("the breadth"))?;
            return Ok((self.side.sign() * y).max(0.0));
        }
        sight.along_axis(2, place).ok_or_else(|| edge_on("the height"))
    }

    /// Where the line is with that value, mm.
    fn place(&self, held: &Held, station: f64, value: f64) -> Result<[f64; 3], Refused> {
        Ok(match self.line {
            LineName::Breadth => [station, self.side.sign() * value, breadth_height(held)?.at(station).value],
            // The breadth height is pulled where the form is widest.
            LineName::BreadthHeight => {
                let breadth = form::line(held.form()?.lines.get(LineName::Breadth));
                [station, self.side.sign() * breadth.map_or(0.0, |l| l.at(station).value), value]
            }
            LineName::Crown | LineName::Keel => [station, 0.0, value],
        })
    }
}

fn breadth_height(held: &Held) -> Result<Line, Refused> {
    let none = |_| Refused::new("The breadth height is not drawn yet.", "Draw it first.");
    form::line(held.form()?.lines.get(LineName::BreadthHeight)).map_err(none)
}

/// Whether a level plane is seen well enough to tell both breadth and station.
fn looks_down(held: &Held, point: [f64; 3]) -> bool {
    let eye = held.camera.camera.eye();
    let way: [f64; 3] = std::array::from_fn(|k| point[k] - eye[k]);
    way[2].abs() > FROM_ABOVE * (way[0].powi(2) + way[1].powi(2) + way[2].powi(2)).sqrt()
}

fn check_free(held: &Held, line: LineName, x: f64) -> Result<(), Refused> {
    match locked_by(held.form()?, line, x) {
        None => Ok(()),
        Some(section) => Err(Refused::new(
            format!("Section {} is pinned to measured points and holds the {} {}.", section + 1, name(line), at(x)),
            format!("Unpin section {}, or pull elsewhere.", section + 1),
        )),
    }
}

fn point_of(line: &MasterLine, name_of: LineName, index: usize) -> Result<LinePoint, Refused> {
    let gone =
        || Refused::new(format!("That point of the {} is not there any more.", name(name_of)), "Choose another.");
    line.points.get(index).copied().ok_or_else(gone)
}

pub(super) fn name(line: LineName) -> &'static str {
    match line {
        LineName::Crown => "crown",
        LineName::Keel => "keel",
        LineName::Breadth => "breadth",
        LineName::BreadthHeight => "breadth height",
    }
}
