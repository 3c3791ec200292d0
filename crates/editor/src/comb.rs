//! The curvature comb: teeth across the selected line, as long as it is bent there. Where their tips run smoothly, the
//! line is fair.

use crate::derived::Derived;
use crate::floor::layout::{Layout, View, Window};
use crate::theme::Theme;
use crate::view::{Selected, Shown};
use egui::{Painter, Pos2, Stroke, Vec2, vec2};
use geometry::section::Section;
use project::document::LineName;

/// One tooth: place, unit normal and signed curvature in 1/mm, on a view.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Tooth {
    at: [f64; 2],
    normal: [f64; 2],
    curvature: f64,
}

/// Places in every bay of a line or run of a section.
const PER_BAY: usize = 28;
/// Length of the longest tooth, in points.
const LONGEST: f64 = 64.0;
/// Teeth are shortened to fit their view, but not below this share.
const SHORTEST: f32 = 0.3;
/// A tooth as long as the longest stands for at least this curvature, so that a straight line has no wild comb, 1/mm.
const LEAST_FULL: f64 = 1e-4;

/// Draws the comb of what is selected.
pub(crate) fn draw(
    painter: &Painter,
    layout: &Layout,
    theme: &Theme,
    derived: &Derived,
    selected: Selected,
    shown: Option<Shown>,
    x_of_section: impl Fn(Shown) -> Option<f64>,
) {
    if let Some(line) = selected.line() {
        let view = if line == LineName::Breadth { View::Plan } else { View::Side };
        comb(painter, layout.window(view), theme.line(line), &line_teeth(derived, line));
    } else if let Some(shown) = shown.filter(|_| selected != Selected::Nothing) {
        let section = x_of_section(shown).and_then(|x| derived.loft()?.section(x));
        if let Some(section) = section {
            comb(painter, &layout.face, theme.section, &section_teeth(&section));
        }
    }
}

fn line_teeth(derived: &Derived, line: LineName) -> Vec<Tooth> {
    let teeth = derived.curve(line).map(|curve| curve.comb(PER_BAY)).unwrap_or_default();
    teeth.iter().map(|t| Tooth { at: t.at, normal: t.normal, curvature: t.curvature }).collect()
}

/// The comb of a half section as the face view shows it, starboard on the left.
fn section_teeth(section: &Section<'_>) -> Vec<Tooth> {
    let mut teeth = Vec::new();
    for (half, run) in section.runs() {
        for i in 0..=PER_BAY {
            // Just inside the ends, where the derivative has one value.
            let f = 0.01 + 0.98 * i as f64 / PER_BAY as f64;
            let along = |f: f64| section.at(half, run, f).by_fraction;
            let (d, ahead, behind) = (along(f), along(f + 0.005), along(f - 0.005));
            let dd = [(ahead[0] - behind[0]) / 0.01, (ahead[1] - behind[1]) / 0.01];
            let speed = d[0].hypot(d[1]);
            if speed < 1e-9 {
                continue;
            }
            let at = section.at(half, run, f).p;
            let curvature = (d[0] * dd[1] - d[1] * dd[0]) / speed.powi(3);
            // Mirrored to the left half, the way runs the other way round.
            teeth.push(Tooth { at: [-at[0], at[1]], normal: [d[1] / speed, d[0] / speed], curvature });
        }
    }
    teeth
}

fn comb(painter: &Painter, window: &Window, colour: egui::Color32, teeth: &[Tooth]) {
    let most = teeth.iter().map(|t| t.curvature.abs()).filter(|c| c.is_finite()).fold(0.0, f64::max);
    if most <= 0.0 {
        return;
    }
    let painter = painter.with_clip_rect(window.rect);
    let scale = LONGEST / most.max(LEAST_FULL);
    let full: Vec<(Pos2, Pos2)> = teeth.iter().map(|t| tooth(window, t, scale)).collect();
    let share = room(window.rect, &full);
    let tips: Vec<(Pos2, Pos2)> = full.into_iter().map(|(root, tip)| (root, root + share * (tip - root))).collect();
    for (root, tip) in &tips {
        painter.line_segment([*root, *tip], Stroke::new(1.0, colour.gamma_multiply(0.35)));
    }
    for pair in tips.windows(2) {
        painter.line_segment([pair[0].1, pair[1].1], Stroke::new(1.2, colour.gamma_multiply(0.75)));
    }
}

/// What share of their length all teeth may have so that those that stand in the view end in it.
fn room(rect: egui::Rect, teeth: &[(Pos2, Pos2)]) -> f32 {
    let inside = rect.shrink(4.0);
    let share = |root: f32, tip: f32, range: egui::Rangef| {
        let edge = if tip > root { range.max } else { range.min };
        if range.contains(tip) { 1.0 } else { (edge - root) / (tip - root) }
    };
    let shares = teeth
        .iter()
        .filter(|(root, _)| inside.contains(*root))
        .map(|(root, tip)| share(root.x, tip.x, inside.x_range()).min(share(root.y, tip.y, inside.y_range())));
    // Too short a comb tells nothing: better cut off where the builder has come very near.
    shares.fold(1.0, f32::min).max(SHORTEST)
}

/// Root and tip on the screen. Teeth stand on the outside of the bend.
fn tooth(window: &Window, tooth: &Tooth, scale: f64) -> (Pos2, Pos2) {
    let root = window.screen(tooth.at);
    // A view that is pressed flat bends the normal too.
    let normal = vec2((tooth.normal[0] * window.scale[1]) as f32, (-tooth.normal[1] * window.scale[0]) as f32);
    let length = (-tooth.curvature * scale) as f32;
    let way = if normal.length() > 0.0 { normal.normalized() } else { Vec2::ZERO };
    (root, root + way * length)
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::sync::Arc;

    #[test]
    fn teeth_are_shortened_to_end_in_their_view() {
        let rect = egui::Rect::from_min_size(egui::pos2(0.0, 0.0), vec2(200.0, 100.0));
        let tooth = |x: f32| (egui::pos2(54.0, 50.0), egui::pos2(x, 50.0));
        assert_eq!(room(rect, &[tooth(10.0)]), 1.0);
        assert_eq!(room(rect, &[tooth(10.0), tooth(-46.0)]), 0.5);
        assert_eq!(room(rect, &[tooth(-5000.0)]), SHORTEST);
        // What stands outside has no say.
        assert_eq!(room(rect, &[(egui::pos2(-20.0, 50.0), egui::pos2(-90.0, 50.0))]), 1.0);
    }

    /// A section of two quarter ellipses with equal axes is a circle: every tooth is 1/R, and points outwards.
    #[test]
    fn a_round_section_has_an_even_comb() {
        let mut derived = Derived::default();
        derived.refresh_alone(&Arc::new(project::starter::blank_form(300.0, 100.0, 100.0, 100.0)));
        let loft = derived.loft().unwrap();
        let teeth = section_teeth(&loft.section(300.0).unwrap());
        assert!(teeth.len() > 40);
        for tooth in teeth {
            assert!((tooth.curvature.abs() - 0.01).abs() < 1e-4, "{tooth:?}");
            let outwards = -tooth.curvature.signum();
            let cosine = outwards * (tooth.at[0] * tooth.normal[0] + tooth.at[1] * tooth.normal[1]) / 100.0;
            assert!(cosine > 0.999, "{tooth:?}");
        }
    }
}
