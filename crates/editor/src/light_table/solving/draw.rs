//! On the light table: the solved form's outline through the solved camera, and how far each traced point lies from it.

use super::found::{Residual, SolvedPhotograph};
use super::{Solving, Standing};
use crate::light_table::draw::Ground;
use crate::theme::{self, Theme};
use egui::{Align2, Color32, Pos2, Rect, Shape, Stroke, Vec2, vec2};

/// Length of the longest tick that is drawn, in points.
const LONGEST: f64 = 22.0;
/// Enlargements that are easy to reckon with.
const TIMES: [f64; 11] = [1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1000.0, 2000.0];

/// What a solve has for this picture, if it is to be seen.
fn solved<'a>(ground: &Ground<'a>, index: usize) -> Option<(&'a Solving, &'a SolvedPhotograph)> {
    let solving = ground.app.table.solving.as_ref().filter(|s| s.looks.after)?;
    let photographs = &solving.found()?.photographs;
    Some((solving, photographs.iter().find(|p| p.picture == index)?))
}

/// A photograph is as dark by day as by night: bright colours are seen on it in either room.
fn on_photographs() -> &'static Theme {
    Theme::of(true)
}

fn accent(solving: &Solving) -> Color32 {
    on_photographs().accent.gamma_multiply(if solving.standing() == Standing::Old { 0.5 } else { 1.0 })
}

/// The solved outline, under all handles.
pub(in crate::light_table) fn under(ground: &Ground<'_>, index: usize) {
    let Some((solving, photograph)) = solved(ground, index) else { return };
    for run in &photograph.outline {
        dashed(ground, run, accent(solving));
    }
}

/// The residuals, over the traced points, and what everything means.
pub(in crate::light_table) fn over(ground: &Ground<'_>, index: usize) {
    let Some((solving, photograph)) = solved(ground, index) else { return };
    let mut ticks = None;
    // Traces that have changed since are not where the residuals were.
    if solving.standing() != Standing::Old {
        let times = enlargement(&photograph.residuals, ground.app.table.sheet.scale);
        photograph.residuals.iter().for_each(|residual| tick(ground, residual, times));
        ticks = Some((photograph, times));
    }
    legend(ground, solving, ticks, accent(solving));
}

fn dashed(ground: &Ground<'_>, run: &[[f64; 2]], colour: Color32) {
    let points: Vec<Pos2> = run.iter().map(|p| ground.at(*p)).collect();
    for (width, colour) in [(3.4, Color32::from_black_alpha(110)), (1.6, colour)] {
        ground.painter.extend(Shape::dashed_line(&points, Stroke::new(width, colour), 8.0, 5.0));
    }
}

/// How many times as long as they are the ticks are drawn: the longest that counts is near [`LONGEST`].
fn enlargement(residuals: &[Residual], scale: f64) -> f64 {
    let counting = residuals.iter().filter(|r| !r.left_out).filter_map(|r| r.to_form);
    let longest = counting.map(|[x, y]| x.hypot(y)).fold(0.0, f64::max) * scale;
    TIMES.into_iter().rev().find(|times| times * longest <= LONGEST).unwrap_or(1.0)
}

/// From a traced point towards the solved form, many times as long; a point that was left out is ringed.
fn tick(ground: &Ground<'_>, residual: &Residual, times: f64) {
    let at = ground.at(residual.at);
    if !ground.rect.expand(30.0).contains(at) {
        return;
    }
    if residual.left_out {
        for (width, colour) in [(4.0, Color32::from_black_alpha(150)), (2.0, on_photographs().error)] {
            ground.painter.circle_stroke(at, 8.0, Stroke::new(width, colour));
            ground.painter.line_segment([at - vec2(5.6, -5.6), at + vec2(5.6, -5.6)], Stroke::new(width, colour));
        }
        return;
    }
    let Some([x, y]) = residual.to_form else { return };
    let by = ground.app.table.sheet.scale * times;
    let to = at + vec2((x * by) as f32, (y * by) as f32);
    for (width, colour) in [(4.2, Color32::from_black_alpha(130)), (2.0, on_photographs().good)] {
        ground.painter.line_segment([at, to], Stroke::new(width, colour));
    }
}

/// What is drawn, in the lower right corner of the table, above what is said along its edge.
fn legend(ground: &Ground<'_>, solving: &Solving, ticks: Option<(&SolvedPhotograph, f64)>, accent: Color32) {
    let solved = match solving.standing() {
        Standing::Accepted => "solved outline, accepted",
        Standing::Old => "solved outline, of before the last change",
        Standing::Fresh | Standing::Nothing => "solved outline",
    };
    let mut lines = vec![(solved.to_owned(), accent)];
    if let Some((photograph, times)) = ticks {
        let what = format!("from traced point to solved form, × {times:.0}");
        lines.push((what, on_photographs().good));
        let out = photograph.residuals.iter().filter(|r| r.left_out).count();
        if out > 0 {
            lines.push((format!("left out: {out}"), on_photographs().error));
        }
    }
    let galleys: Vec<_> = lines
        .into_iter()
        .map(|(text, colour)| (ground.painter.layout_no_wrap(text, theme::small(), ground.theme.text), colour))
        .collect();
    let wide = galleys.iter().map(|(g, _)| g.size().x).fold(0.0, f32::max) + 34.0;
    // Without room the slate's own words have to do.
    if wide > ground.rect.width() - 16.0 {
        return;
    }
    let size = vec2(wide, 16.0 * galleys.len() as f32 + 8.0);
    let place = Align2::RIGHT_BOTTOM.anchor_size(ground.rect.right_bottom() + vec2(-8.0, -34.0), size);
    ground.painter.rect_filled(place, 3.0, ground.theme.panel.gamma_multiply(0.88));
    for (row, (galley, colour)) in galleys.into_iter().enumerate() {
        let at = place.min + vec2(8.0, 4.0 + 16.0 * row as f32);
        let mark = Rect::from_min_size(at + vec2(0.0, 6.5), Vec2::new(13.0, 3.0));
        ground.painter.rect_filled(mark, 1.0, colour);
        ground.painter.galley(at + vec2(19.0, 0.0), galley, ground.theme.text);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn residual(px: f64, left_out: bool) -> Residual {
        Residual { at: [0.0; 2], to_form: Some([px, 0.0]), left_out }
    }

    #[test]
    fn ticks_are_as_long_as_they_go_by_a_plain_factor_and_outliers_do_not_count() {
        let all = [residual(0.5, false), residual(-1.0, false), residual(80.0, true)];
        // The longest, 1 px, is 0.2 points: a hundred times that is 20, two hundred would be 40.
        assert_eq!(enlargement(&all, 0.2), 100.0);
        assert_eq!(enlargement(&[residual(500.0, false)], 1.0), 1.0);
    }
}
