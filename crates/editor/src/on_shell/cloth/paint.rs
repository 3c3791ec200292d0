//! Cloth on the floor: its shear, its yarns, where it folds, its slits.

use super::{Standing, is_open};
use crate::app::App;
use crate::floor::draw::Look;
use crate::on_shell::heat::draw::{self, Paint};
use crate::theme;
use egui::{Align2, Painter, vec2};

/// So many folds are named; the page has them all.
const NAMED: usize = 3;

/// Paints the chosen ply under the floor's lines.
pub(in crate::on_shell) fn paint(painter: &Painter, app: &App, look: &Look<'_>) {
    let Some(cloth) = app.shell.as_ref().map(|shell| &shell.cloth).filter(|_| is_open(&app.view)) else { return };
    let Some(lies) = cloth.shown() else { return };
    let old = cloth.standing() == Standing::Old && !app.desk.is_previewing();
    draw::map(painter, look, &lies.heat, &Paint { scale: lies.scale, old, lines: cloth.looks.yarns });
    for slit in &lies.slits {
        draw::line(painter, look, &lies.heat, slit, look.theme.section);
    }
    for wrinkle in lies.judgement.wrinkles.iter().take(NAMED) {
        let text = format!("folds: {:.0}°", wrinkle.shear_deg.abs());
        draw::mark(painter, look, &lies.heat, (wrinkle.at, &text), look.theme.error);
    }
    if lies.judgement.wrinkles.is_empty() {
        let text = format!("{:.0}°", lies.judgement.greatest_deg.abs());
        draw::mark(painter, look, &lies.heat, (lies.judgement.greatest_at, &text), look.theme.weak);
    }
    let title = format!("Shear of ply {}, degrees", cloth.chosen().and_then(|ply| ply.ply).map_or(1, |k| k + 1));
    draw::legend(painter, look, &title, lies.scale);
    under_the_pointer(painter, app, look, |view, at| {
        let patch = lies.heat.under(view, at)?;
        let aside = if patch.faint { "overlap, " } else { "" };
        Some(format!("{aside}shear {:.1}°", patch.value))
    });
}

/// Tells the value where the pointer is, beside it.
pub(in crate::on_shell) fn under_the_pointer(
    painter: &Painter,
    app: &App,
    look: &Look<'_>,
    tell: impl Fn(crate::floor::layout::View, [f64; 2]) -> Option<String>,
) {
    if app.gesture.drag.is_some() || app.gesture.hover.is_some() {
        return;
    }
    let Some(pointer) = painter.ctx().pointer_hover_pos().filter(|at| look.layout.floor.contains(*at)) else { return };
    let Some(window) = look.layout.at(pointer) else { return };
    let Some(text) = tell(window.view, window.model(pointer)) else { return };
    let galley = painter.layout_no_wrap(text, theme::small(), look.theme.text);
    let rect = Align2::LEFT_BOTTOM.anchor_size(pointer + vec2(12.0, -6.0), galley.size());
    painter.rect_filled(rect.expand2(vec2(4.0, 2.0)), 2.0, look.theme.panel.gamma_multiply(0.92));
    painter.galley(rect.min, galley, look.theme.text);
}
