//! The proposal over the picture: the old line dashed, the new one in the accent, what is doubtful numbered in the warning
//! colour.

use super::{Following, Proposal};
use crate::light_table::draw::{Ground, label};
use crate::light_table::tracing::curve;
use crate::theme::Theme;
use egui::{Color32, Pos2, Shape, Stroke, vec2};

/// Numbers nearer to each other than this would lie over each other, points of the screen.
const NUMBERS_APART: f32 = 14.0;
/// Points nearer than this are no dots but a thick line.
const DOTS_APART: f32 = 8.0;

/// Draws it, if there is one.
pub(crate) fn draw(ground: &Ground<'_>) {
    let following: Option<&Following> = ground.app.table.tracing.following.as_ref();
    let Some(proposal) = following.and_then(|f| f.proposal.as_ref()) else { return };
    old(ground, proposal);
    let step = 4.0 / ground.app.table.sheet.scale;
    for piece in &proposal.found.pieces {
        ground.line(&curve::through(piece, step), 2.2, ground.theme.accent);
        dots(ground, piece);
    }
    doubtful(ground, proposal);
}

/// The points, where they are told apart.
fn dots(ground: &Ground<'_>, piece: &[[f64; 2]]) {
    let places: Vec<Pos2> = piece.iter().map(|p| ground.at(*p)).collect();
    let length: f32 = places.windows(2).map(|w| w[0].distance(w[1])).sum();
    if length / places.len() as f32 > DOTS_APART {
        for at in places.into_iter().filter(|at| ground.rect.contains(*at)) {
            ground.painter.circle_filled(at, 2.6, ground.theme.accent);
        }
    }
}

fn old(ground: &Ground<'_>, proposal: &Proposal) {
    let step = 4.0 / ground.app.table.sheet.scale;
    let line: Vec<Pos2> = curve::through(&proposal.before().points, step).into_iter().map(|p| ground.at(p)).collect();
    let shadow = Stroke::new(3.0, Color32::from_black_alpha(110));
    ground.painter.extend(Shape::dashed_line(&line, shadow, 6.0, 5.0));
    ground.painter.extend(Shape::dashed_line(&line, Stroke::new(1.4, Color32::WHITE), 6.0, 5.0));
}

fn doubtful(ground: &Ground<'_>, proposal: &Proposal) {
    let colour = Theme::of(true).warning;
    let mut last: Option<Pos2> = None;
    for (index, place) in proposal.found.doubtful.iter().enumerate() {
        if place.line.len() > 1 {
            ground.line(&place.line, 2.2, colour);
        }
        for at in place.line.iter().map(|p| ground.at(*p)) {
            ground.painter.circle(at, 3.0, Color32::from_black_alpha(150), Stroke::new(1.4, colour));
        }
        let Some(middle) = place.line.get(place.line.len() / 2) else { continue };
        let at = ground.at(*middle);
        if last.is_none_or(|last| last.distance(at) >= NUMBERS_APART) {
            label(ground, at + vec2(7.0, -7.0), &format!("{}", index + 1), colour);
            last = Some(at);
        }
    }
}
