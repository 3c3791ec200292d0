//! Guide lines inside an outline: level lines cut to it, and the pens all templates share.

use crate::sheet::{Affine, Drawing, Ink, Item, Path, Rect, Stroke};

/// The line that is cut along.
pub(crate) fn cut_pen() -> Stroke {
    Stroke::cut()
}

/// The centre plane: long and short dashes.
pub(crate) fn centre_pen() -> Stroke {
    Stroke::dashed(0.13, Ink::DARK, &[8.0, 1.5, 1.0, 1.5])
}

/// A height: the datum or another waterline.
pub(crate) fn level_pen() -> Stroke {
    Stroke::dashed(0.13, Ink::DARK, &[12.0, 2.0])
}

/// The breadth line.
pub(crate) fn breadth_pen() -> Stroke {
    Stroke::dashed(0.13, Ink::DARK, &[2.5, 1.5])
}

/// A station.
pub(crate) fn station_pen() -> Stroke {
    Stroke::solid(0.13, Ink::DARK)
}

/// Whether words on white paper may interrupt an item: only a station's line is drawn with such a pen.
pub(crate) fn may_be_covered(item: &Item) -> bool {
    matches!(item, Item::Path(p) if p.stroke == Some(station_pen()) && p.fill.is_none())
}

/// Where a level crosses a polygon, from left to right, in pairs of (enter, leave).
pub(crate) fn chords(polygon: &[[f64; 2]], level: f64) -> Vec<[f64; 2]> {
    let n = polygon.len();
    let mut cuts: Vec<f64> = (0..n)
        .map(|k| (polygon[k], polygon[(k + 1) % n]))
        .filter(|(a, b)| (a[1] > level) != (b[1] > level))
        .map(|(a, b)| a[0] + (b[0] - a[0]) * (level - a[1]) / (b[1] - a[1]))
        .collect();
    cuts.sort_by(f64::total_cmp);
    cuts.chunks_exact(2).map(|c| [c[0], c[1]]).collect()
}

/// A height to align by: the datum if it runs through enough of the outline, else the round height nearest its middle.
pub(crate) fn reference_level(polygon: &[[f64; 2]], bounds: &Rect, datum: f64) -> f64 {
    let [width, height] = bounds.size();
    let long: f64 = chords(polygon, datum).iter().map(|c| c[1] - c[0]).sum();
    if long > 0.3 * width {
        return datum;
    }
    let step = [100.0, 50.0, 20.0, 10.0, 5.0, 1.0].into_iter().find(|s| *s < 0.3 * height).unwrap_or(1.0);
    datum + ((bounds.centre()[1] - datum) / step).round() * step
}

/// What a reference level is called.
pub(crate) fn level_name(level: f64, datum: f64) -> String {
    let above = level - datum;
    if above.abs() < 1e-9 {
        "datum waterline".to_owned()
    } else {
        let side = if above > 0.0 { "above" } else { "below" };
        format!("waterline {} mm {side} the datum", crate::words::millimetres(above.abs()))
    }
}

/// Draws a level cut to the outline.
pub(crate) fn draw_level(d: &mut Drawing, polygon: &[[f64; 2]], level: f64) {
    for [from, to] in chords(polygon, level) {
        d.push(Path::line([from, level], [to, level], level_pen()));
    }
}

/// An arrow from one point to another with a filled head of `head` mm.
pub(crate) fn arrow(d: &mut Drawing, from: [f64; 2], to: [f64; 2], head: f64) {
    let (dx, dy) = (to[0] - from[0], to[1] - from[1]);
    let length = dx.hypot(dy).max(1e-9);
    let (ux, uy) = (dx / length, dy / length);
    let base = [to[0] - ux * head, to[1] - uy * head];
    d.push(Path::line(from, base, Stroke::solid(0.3, Ink::BLACK)));
    let wing = head * 0.35;
    let corners = [to, [base[0] - uy * wing, base[1] + ux * wing], [base[0] + uy * wing, base[1] - ux * wing]];
    d.push(Path::polygon(&corners, None, Some(Ink::BLACK)));
}

/// A polyline taken elsewhere and thinned for a small picture: points nearer than `least` mm to the last are left out.
pub(crate) fn coarse(points: &[[f64; 2]], map: &Affine, least: f64) -> Vec<[f64; 2]> {
    let mut out: Vec<[f64; 2]> = Vec::new();
    for p in points.iter().map(|&p| map.apply(p)) {
        if out.last().is_none_or(|q| (p[0] - q[0]).hypot(p[1] - q[1]) >= least) {
            out.push(p);
        }
    }
    // The end stays where it is.
    if let (Some(last), Some(&end)) = (out.last_mut(), points.last()) {
        *last = map.apply(end);
    }
    out
}
