//! What was measured after sanding, on the form: at both ends of every measured width a bar as long as that side is off,
//! many times as large. Only what was measured is shown.

use crate::floor::draw::{Look, on_floor};
use crate::floor::layout::{View, Window};
use crate::theme::{self, Theme};
use desk::sanded::{Verdict, exaggeration};
use egui::{Align2, Color32, Painter, Pos2, Rect, Stroke, pos2, vec2};
use plug::Deviation;

/// The longest bar: in points, and as a share of the face view's width.
const LONGEST: f64 = 32.0;
const LONGEST_SHARE: f64 = 0.12;
/// The longest bar in space, as a share of the body's length.
const SPACE_SHARE: f64 = 0.06;
/// Half the width of the tick at the planned place, in points.
const TICK: f32 = 5.0;
/// The shortest bar that is seen, in points.
const SHORTEST: f32 = 2.0;
/// A section this near, mm, is the one at which it was measured.
const NEAR: f64 = 1.0;

/// What is drawn, and how.
pub(crate) struct Sanded<'a> {
    pub(crate) deviations: &'a [Deviation],
    /// The plan they were compared with is of before the last change.
    pub(crate) old: bool,
    /// Station of the section that the face view shows strongly.
    pub(crate) shown: Option<f64>,
}

/// Draws the bars in plan and face view, a dot in the side view, and what they mean.
pub(crate) fn draw(painter: &Painter, look: &Look<'_>, sanded: &Sanded<'_>) {
    if sanded.deviations.is_empty() {
        return;
    }
    let face = &look.layout.face;
    let longest = LONGEST.min(LONGEST_SHARE * f64::from(face.rect.width()));
    let times = exaggeration(sanded.deviations, longest / face.scale[0].max(1e-9));
    // The face view shows the widths of the section that is shown, and with none shown all.
    let here = |d: &Deviation| sanded.shown.is_none_or(|x| (d.measured.station - x).abs() <= NEAR);
    let mut taken = Vec::new();
    for deviation in sanded.deviations {
        let Some((verdict, ends)) = Verdict::of(deviation).zip(Ends::of(deviation, times)) else { continue };
        let colour = colour(look, verdict, sanded.old);
        for window in [&look.layout.face, &look.layout.plan] {
            let painter = painter.with_clip_rect(window.rect);
            if window.view == View::Plan || here(deviation) {
                bars(&painter, window, deviation, &ends, colour);
                if window.view == View::Face {
                    number(&painter, look, (deviation, &ends), colour, &mut taken);
                }
            }
        }
        let side = &look.layout.side;
        let at = side.screen([deviation.measured.station, deviation.measured.height]);
        painter.with_clip_rect(side.rect).circle(at, 3.0, colour, Stroke::new(1.0, look.theme.floor));
    }
    // Without room the slate's own colours have to do.
    if face.rect.width() > 150.0 && face.rect.height() > 170.0 {
        legend(painter, look, times, sanded.old);
    }
}

/// The bars of widths in space, for the shaded body: the longest a share of the body's length.
pub(crate) fn in_space(deviations: &[Deviation], length: f64, theme: &Theme) -> Vec<shade::Line> {
    let times = exaggeration(deviations, SPACE_SHARE * length);
    let bars = deviations.iter().flat_map(|deviation| {
        let Some((verdict, ends)) = Verdict::of(deviation).zip(Ends::of(deviation, times)) else { return Vec::new() };
        let [r, g, b, _] = theme.verdict(verdict).to_array();
        let m = &deviation.measured;
        let bar = |side: f64| shade::Line {
            points: vec![[m.station, side * ends.planned, m.height], [m.station, side * ends.drawn, m.height]],
            colour: [r, g, b],
            opacity: 1.0,
            width_px: 3.5,
            // A bar inward lies within the body and is seen all the same.
            bias_mm: 1.0 + (ends.planned - ends.drawn).max(0.0),
        };
        vec![bar(1.0), bar(-1.0)]
    });
    bars.collect()
}

/// Half-breadths of one width: as planned, and as the bar is drawn.
struct Ends {
    planned: f64,
    drawn: f64,
}

impl Ends {
    fn of(deviation: &Deviation, times: f64) -> Option<Self> {
        let (planned, over) = (0.5 * deviation.planned?, 0.5 * deviation.over()?);
        Some(Self { planned, drawn: planned + times * over })
    }
}

fn colour(look: &Look<'_>, verdict: Verdict, old: bool) -> Color32 {
    look.theme.verdict(verdict).gamma_multiply(if old { 0.5 } else { 1.0 })
}

fn bars(painter: &Painter, window: &Window, deviation: &Deviation, ends: &Ends, colour: Color32) {
    let m = &deviation.measured;
    let place = |y: f64| match window.view {
        View::Plan => window.screen([m.station, y]),
        _ => window.screen([-y, m.height]),
    };
    for side in [1.0, -1.0] {
        let (from, to) = (place(side * ends.planned), place(side * ends.drawn));
        let tick = if window.view == View::Plan { vec2(TICK, 0.0) } else { vec2(0.0, TICK) };
        painter.line_segment([from - tick, from + tick], Stroke::new(1.2, colour));
        painter.line_segment([from, at_least(from, to)], Stroke::new(4.0, colour));
    }
}

/// The bar's end, moved so that even a small bar is seen.
fn at_least(from: Pos2, to: Pos2) -> Pos2 {
    let along = to - from;
    if along.length() >= SHORTEST { to } else { from + along.normalized() * SHORTEST }
}

/// How much the width is off, beside its bar to port: outside, or inside where the view ends. Where another number stands
/// already it is left out; the slate has them all.
fn number(
    painter: &Painter,
    look: &Look<'_>,
    (deviation, ends): (&Deviation, &Ends),
    colour: Color32,
    taken: &mut Vec<Rect>,
) {
    let Some(over) = deviation.over() else { return };
    let sign = if over > 0.0 { "+" } else { "" };
    let galley = painter.layout_no_wrap(format!("{sign}{}", look.units.fine(over)), theme::small(), colour);
    let at = |y: f64| look.layout.face.screen([y, deviation.measured.height]);
    let (inner, outer) = (at(ends.planned.min(ends.drawn)), at(ends.planned.max(ends.drawn)));
    let mut place = Align2::LEFT_CENTER.anchor_size(outer + vec2(7.0, 0.0), galley.size());
    if place.right() > painter.clip_rect().right() - 2.0 {
        place = Align2::RIGHT_CENTER.anchor_size(inner - vec2(7.0, 0.0), galley.size());
    }
    let place = place.expand2(vec2(2.0, 0.0));
    if taken.iter().any(|other| other.intersects(place)) {
        return;
    }
    taken.push(place);
    painter.rect_filled(place, 2.0, look.theme.floor.gamma_multiply(0.82));
    painter.galley(place.min + vec2(2.0, 0.0), galley, colour);
}

/// What the bars mean, along the lower edge of the face view.
fn legend(painter: &Painter, look: &Look<'_>, times: f64, old: bool) {
    let rect = look.layout.face.rect;
    let painter = painter.with_clip_rect(rect);
    let lines = Verdict::ALL.len() as f32 + 1.0;
    let mut at = pos2(rect.left() + 10.0, rect.bottom() - 6.0 - 15.0 * lines);
    on_floor(&painter, at, &format!("Measured widths, × {times:.0}"), theme::small(), look.theme);
    for verdict in Verdict::ALL {
        at.y += 15.0;
        let bar = [at + vec2(1.0, 8.0), at + vec2(13.0, 8.0)];
        on_floor(&painter, at + vec2(18.0, 0.0), verdict.label(), theme::small(), look.theme);
        painter.line_segment(bar, Stroke::new(4.0, colour(look, verdict, old)));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use project::build::MeasuredWidth;

    fn deviation(width: f64, planned: Option<f64>) -> Deviation {
        Deviation { measured: MeasuredWidth { station: 50.0, height: -7.0, width }, planned }
    }

    /// 2 mm too wide are 1 mm on either side: with 6 mm allowed on 100 mm they are drawn 5 times as large.
    #[test]
    fn a_bar_begins_where_the_plug_should_be_and_is_as_long_as_one_side_is_off() {
        let theme = Theme::of(true);
        let all = [deviation(122.0, Some(120.0)), deviation(80.0, None)];
        let bars = in_space(&all, 100.0, theme);
        assert_eq!(bars.len(), 2, "one on either side of what was measured, none where the plug has no width");
        assert_eq!(bars[0].points, [[50.0, 60.0, -7.0], [50.0, 65.0, -7.0]]);
        assert_eq!(bars[1].points, [[50.0, -60.0, -7.0], [50.0, -65.0, -7.0]]);
        let narrow = in_space(&[deviation(118.0, Some(120.0))], 100.0, theme);
        assert_eq!(narrow[0].points[1], [50.0, 55.0, -7.0], "inward where too much was sanded");
        assert_ne!(narrow[0].colour, bars[0].colour);
    }
}
