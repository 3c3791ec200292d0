//! Traces changed: points inserted, traces gone on with, and split.

use super::{apart, curve};
use crate::light_table::marks::OnPicture;
use project::edit::Edit;
use project::photograph::{Photograph, Trace};

/// An edit, and what is selected after it.
pub(crate) type Made = (Edit, OnPicture);

/// A point more on a trace, where its line passes nearest.
pub(crate) fn inserted(photograph: &Photograph, picture: usize, trace: usize, px: [f64; 2]) -> Option<Made> {
    let mut with = photograph.traces.get(trace)?.clone();
    let place = curve::nearest(&with.points, px)?;
    with.points.insert(place.after + 1, place.at);
    let what = OnPicture::TracePoint { trace, point: place.after + 1 };
    Some((Edit::ReplaceTrace { picture, index: trace, with }, what))
}

/// The end of a trace that lies nearer to a pixel: whether it is the first, and where it lies.
pub(crate) fn nearer_end(trace: &Trace, px: [f64; 2]) -> Option<(bool, [f64; 2])> {
    let (first, last) = (*trace.points.first()?, *trace.points.last()?);
    let is_first = apart(first, px) < apart(last, px);
    Some((is_first, if is_first { first } else { last }))
}

/// A trace with clicks added to the end that is nearer to the first of them.
pub(crate) fn gone_on(photograph: &Photograph, picture: usize, trace: usize, clicked: &[[f64; 2]]) -> Option<Made> {
    let mut with = photograph.traces.get(trace)?.clone();
    let (is_first, _) = nearer_end(&with, *clicked.first()?)?;
    let point = if is_first {
        with.points.splice(0..0, clicked.iter().rev().copied());
        0
    } else {
        with.points.extend_from_slice(clicked);
        with.points.len() - 1
    };
    Some((Edit::ReplaceTrace { picture, index: trace, with }, OnPicture::TracePoint { trace, point }))
}

/// Where a trace is taken apart.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Cut {
    /// At a point, which both parts keep.
    AtPoint,
    /// Between a point and the next: what lies between is left out.
    AfterPoint,
}

/// Whether a trace can be taken apart there.
pub(crate) fn can_split(trace: &Trace, point: usize, cut: Cut) -> bool {
    let count = trace.points.len();
    match cut {
        Cut::AtPoint => point >= 1 && point + 1 < count,
        Cut::AfterPoint => point >= 1 && point + 2 < count,
    }
}

/// A trace taken apart, as one step.
pub(crate) fn split(photograph: &Photograph, picture: usize, trace: usize, point: usize, cut: Cut) -> Option<Made> {
    let whole = photograph.traces.get(trace).filter(|whole| can_split(whole, point, cut))?;
    let from = if cut == Cut::AtPoint { point } else { point + 1 };
    let part = |points: &[[f64; 2]]| Trace { of: whole.of, points: points.to_vec() };
    let label = match cut {
        Cut::AtPoint => "Split the trace",
        Cut::AfterPoint => "Leave a stretch out of the trace",
    };
    let edits = vec![
        Edit::ReplaceTrace { picture, index: trace, with: part(whole.points.get(..=point)?) },
        Edit::AddTrace { picture, trace: part(whole.points.get(from..)?) },
    ];
    Some((Edit::Together { label: label.into(), edits }, OnPicture::TracePoint { trace, point }))
}

#[cfg(test)]
mod tests {
    use super::*;
    use project::photograph::Traced;

    fn photograph() -> Photograph {
        let points = (0..5).map(|i| [100.0 * f64::from(i), 50.0]).collect();
        Photograph { traces: vec![Trace { of: Traced::Outline, points }], ..Photograph::default() }
    }

    fn replaced(edit: &Edit) -> Vec<[f64; 2]> {
        match edit {
            Edit::ReplaceTrace { with, .. } => with.points.clone(),
            other => panic!("{other:?}"),
        }
    }

    #[test]
    fn a_point_is_inserted_on_the_line_between_its_neighbours() {
        let (edit, what) = inserted(&photograph(), 0, 0, [250.0, 58.0]).expect("a trace");
        assert_eq!(what, OnPicture::TracePoint { trace: 0, point: 3 });
        let points = replaced(&edit);
        assert_eq!(points.len(), 6);
        assert!(apart(points[3], [250.0, 50.0]) < 1e-6, "{:?}", points[3]);
    }

    #[test]
    fn a_trace_goes_on_from_the_end_that_is_nearer_to_the_first_click() {
        let (edit, what) = gone_on(&photograph(), 0, 0, &[[-40.0, 50.0], [-90.0, 60.0]]).expect("a trace");
        assert_eq!(replaced(&edit)[..3], [[-90.0, 60.0], [-40.0, 50.0], [0.0, 50.0]]);
        assert_eq!(what, OnPicture::TracePoint { trace: 0, point: 0 });
        let (edit, what) = gone_on(&photograph(), 0, 0, &[[450.0, 50.0]]).expect("a trace");
        assert_eq!(replaced(&edit)[4..], [[400.0, 50.0], [450.0, 50.0]]);
        assert_eq!(what, OnPicture::TracePoint { trace: 0, point: 5 });
    }

    #[test]
    fn a_split_keeps_every_point_and_a_stretch_left_out_keeps_its_ends() {
        let parts = |cut| match split(&photograph(), 0, 0, 2, cut).expect("an inner point").0 {
            Edit::Together { edits, .. } => match edits.as_slice() {
                [Edit::ReplaceTrace { with, .. }, Edit::AddTrace { trace, .. }] => {
                    [with.points.len(), trace.points.len()]
                }
                other => panic!("{other:?}"),
            },
            other => panic!("{other:?}"),
        };
        assert_eq!(parts(Cut::AtPoint), [3, 3]);
        assert_eq!(parts(Cut::AfterPoint), [3, 2]);
        for (point, cut) in [(0, Cut::AtPoint), (4, Cut::AtPoint), (0, Cut::AfterPoint), (3, Cut::AfterPoint)] {
            assert_eq!(split(&photograph(), 0, 0, point, cut), None, "{point} {cut:?}");
        }
    }
}
