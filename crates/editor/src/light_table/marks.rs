//! What was picked on a photograph: everything that has a handle on the light table, and the edits that move or remove it.

use project::document::{KnownDistance, Picture};
use project::edit::Edit;
use project::photograph::{FigurePoint, FlatFigure, Landmark, NamedDistance, Photograph, Trace, Traced};

/// Something on a picture.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(crate) enum OnPicture {
    /// A thing whose place is known.
    Landmark(usize),
    /// An outline or a seam.
    Trace(usize),
    /// One of its points.
    TracePoint { trace: usize, point: usize },
    /// An end of a further known distance.
    Distance { distance: usize, second: bool },
    /// A point of a line that is straight in truth.
    Straight { line: usize, point: usize },
    /// A point of the flat figure.
    Figure(usize),
}

/// A handle.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Mark {
    pub(crate) what: OnPicture,
    /// Where, px.
    pub(crate) at: [f64; 2],
    /// Its name for assistive technology and the status line.
    pub(crate) label: String,
}

/// All handles of a picture, in the order in which they are drawn.
pub(crate) fn of(photograph: &Photograph) -> Vec<Mark> {
    let mut out = Vec::new();
    for (line, points) in photograph.straight.iter().enumerate() {
        for (point, at) in points.iter().enumerate() {
            let label = format!("Straight line {}, point {}", line + 1, point + 1);
            out.push(Mark { what: OnPicture::Straight { line, point }, at: *at, label });
        }
    }
    for (point, p) in photograph.figure.iter().flat_map(|f| &f.points).enumerate() {
        out.push(Mark { what: OnPicture::Figure(point), at: p.pixel, label: format!("Figure point {}", point + 1) });
    }
    for (distance, d) in photograph.distances.iter().enumerate() {
        for (second, at) in [(false, d.known.a), (true, d.known.b)] {
            let label = format!("{}, {} end", d.name, if second { "second" } else { "first" });
            out.push(Mark { what: OnPicture::Distance { distance, second }, at, label });
        }
    }
    for (trace, t) in photograph.traces.iter().enumerate() {
        for (point, at) in t.points.iter().enumerate() {
            let label = format!("{}, point {}", trace_name(t), point + 1);
            out.push(Mark { what: OnPicture::TracePoint { trace, point }, at: *at, label });
        }
    }
    for (landmark, l) in photograph.landmarks.iter().enumerate() {
        let label = format!("Landmark {}", l.name);
        out.push(Mark { what: OnPicture::Landmark(landmark), at: l.pixel, label });
    }
    out
}

/// What a trace is called.
pub(crate) fn trace_name(trace: &Trace) -> String {
    match trace.of {
        Traced::Outline => "Outline".into(),
        Traced::Seam { station } => format!("Seam at {station:.1} mm"),
    }
}

/// Whether it is still there.
pub(crate) fn exists(photograph: &Photograph, what: OnPicture) -> bool {
    let figure = photograph.figure.as_ref().map_or(0, |f| f.points.len());
    match what {
        OnPicture::Landmark(index) => index < photograph.landmarks.len(),
        OnPicture::Trace(trace) => trace < photograph.traces.len(),
        OnPicture::TracePoint { trace, point } => photograph.traces.get(trace).is_some_and(|t| point < t.points.len()),
        OnPicture::Distance { distance, .. } => distance < photograph.distances.len(),
        OnPicture::Straight { line, point } => photograph.straight.get(line).is_some_and(|l| point < l.len()),
        OnPicture::Figure(point) => point < figure,
    }
}

/// The edit that puts a mark at a pixel; a trace as a whole is not moved.
pub(crate) fn moved(p: &Picture, picture: usize, what: OnPicture, to: [f64; 2]) -> Option<Edit> {
    let photograph = &p.photograph;
    match what {
        OnPicture::Landmark(index) => {
            let with = Landmark { pixel: to, ..photograph.landmarks.get(index)?.clone() };
            Some(Edit::ReplaceLandmark { picture, index, with })
        }
        OnPicture::Trace(_) => None,
        OnPicture::TracePoint { trace, point } => {
            let mut with = photograph.traces.get(trace)?.clone();
            *with.points.get_mut(point)? = to;
            Some(Edit::ReplaceTrace { picture, index: trace, with })
        }
        OnPicture::Distance { distance, second } => {
            let mut distances = photograph.distances.clone();
            let there: &mut NamedDistance = distances.get_mut(distance)?;
            there.known = match second {
                false => KnownDistance { a: to, ..there.known },
                true => KnownDistance { b: to, ..there.known },
            };
            Some(Edit::SetDistances { picture, distances })
        }
        OnPicture::Straight { line, point } => {
            let mut lines = photograph.straight.clone();
            *lines.get_mut(line)?.get_mut(point)? = to;
            Some(Edit::SetStraightLines { picture, lines })
        }
        OnPicture::Figure(point) => {
            let mut figure: FlatFigure = photograph.figure.clone()?;
            let there: &mut FigurePoint = figure.points.get_mut(point)?;
            there.pixel = to;
            Some(Edit::SetFigure { picture, figure: Some(figure) })
        }
    }
}

/// The edit that removes it: a point of a trace or a line goes alone while enough are left, else the whole.
pub(crate) fn removed(p: &Picture, picture: usize, what: OnPicture) -> Option<Edit> {
    let photograph = &p.photograph;
    match what {
        OnPicture::Landmark(index) => Some(Edit::RemoveLandmark { picture, index }),
        OnPicture::Trace(index) => Some(Edit::RemoveTrace { picture, index }),
        OnPicture::TracePoint { trace, point } => {
            let mut with = photograph.traces.get(trace)?.clone();
            if with.points.len() <= 2 || point >= with.points.len() {
                return Some(Edit::RemoveTrace { picture, index: trace });
            }
            with.points.remove(point);
            Some(Edit::ReplaceTrace { picture, index: trace, with })
        }
        OnPicture::Distance { distance, .. } => {
            let mut distances = photograph.distances.clone();
            (distance < distances.len()).then(|| distances.remove(distance))?;
            Some(Edit::SetDistances { picture, distances })
        }
        OnPicture::Straight { line, point } => {
            let mut lines = photograph.straight.clone();
            let points = lines.get_mut(line)?;
            if points.len() > 3 && point < points.len() {
                points.remove(point);
            } else {
                lines.remove(line);
            }
            Some(Edit::SetStraightLines { picture, lines })
        }
        OnPicture::Figure(_) => Some(Edit::SetFigure { picture, figure: None }),
    }
}

/// What is selected once that is gone.
pub(crate) fn after_removal(photograph: &Photograph, what: OnPicture) -> Option<OnPicture> {
    match what {
        OnPicture::TracePoint { trace, .. } => Some(OnPicture::Trace(trace)).filter(|what| exists(photograph, *what)),
        _ => None,
    }
}
