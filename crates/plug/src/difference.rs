//! Finished skin against plug, where the difference matters on the bench.

use crate::front::RingFront;
use crate::region::Point;
use crate::surface::{CUT, half, half_breadth_at};
use form::front::Front;
use form::{FinishedSkin, PlugSurface};
use project::airframe::{Airframe, GaugeMeasure};

/// One row of the table.
#[derive(Clone, Debug, PartialEq)]
pub struct Difference {
    /// What is compared.
    pub what: String,
    /// Station, mm.
    pub station: f64,
    /// On the finished form, mm.
    pub finished: f64,
    /// On the plug, mm.
    pub plug: f64,
}

/// Width and height at the front, on the ring's plane, at every gauge, and at the rear.
pub(crate) fn differences(
    skin: &FinishedSkin,
    plug: &PlugSurface,
    airframe: &Airframe,
    rear: f64,
    ring: Option<&RingFront>,
) -> Vec<Difference> {
    let (front, _) = plug.x_range();
    let mut rows = Vec::new();
    let mut at = |station: f64, measures: &[(String, Measure<'_>)]| {
        let finished = skin.loft().section(station).map(|s| s.polyline(CUT)).unwrap_or_default();
        let plug = half(plug, station, 0.0, CUT);
        for (what, measure) in measures {
            if let (Some(finished), Some(plug)) = (measure(&finished), measure(&plug)) {
                rows.push(Difference { what: what.clone(), station, finished, plug });
            }
        }
    };
    for (end, x) in [("front", front), ("rear", rear)] {
        at(x, &[(format!("width at the {end}"), &greatest_width), (format!("height at the {end}"), &height)]);
    }
    for gauge in &airframe.gauges {
        if let GaugeMeasure::WidthAt { height } = gauge.measure {
            at(gauge.station, &[(gauge.name.clone(), &|half| half_breadth_at(half, height).map(|y| 2.0 * y))]);
        }
    }
    rows.extend(ring.into_iter().flat_map(on_the_ring));
    rows
}

/// What is measured on a half outline.
type Measure<'a> = &'a dyn Fn(&[Point]) -> Option<f64>;

/// Width and height of both outlines in the ring's plane.
fn on_the_ring(front: &RingFront) -> [Difference; 2] {
    let extent = |front: &Front, k: usize| {
        let values = || front.outline.iter().map(|p| p.on_plane[k]);
        values().fold(f64::NEG_INFINITY, f64::max) - values().fold(f64::INFINITY, f64::min)
    };
    [("width on the ring's plane", 0), ("height on the ring's plane", 1)].map(|(what, k)| Difference {
        what: what.to_owned(),
        station: front.plug.ring.rear.point[0],
        finished: extent(&front.finished, k),
        plug: extent(&front.plug, k),
    })
}

fn greatest_width(half: &[Point]) -> Option<f64> {
    half.iter().map(|p| 2.0 * p[0]).max_by(f64::total_cmp)
}

fn height(half: &[Point]) -> Option<f64> {
    Some(half.first()?[1] - half.last()?[1])
}
