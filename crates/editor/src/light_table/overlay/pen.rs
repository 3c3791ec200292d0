//! How the form's lines look over a photograph: the floor's own colours, with a rim that parts them from any picture; what the form
//! hides is dashed and weak.

use super::Lit;
use crate::theme::Theme;
use egui::{Color32, Painter, Pos2, Rect, Shape, Stroke};
use form::seen::{SeenPart, Sight};
use project::document::LineName;

/// A line's look.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Pen {
    pub(super) colour: Color32,
    pub(super) width: f32,
    /// Long and short strokes in turn, points; whole where `None`.
    dash: Option<[f32; 2]>,
    /// Drawn in this order: what is strong lies on top.
    pub(super) rank: u8,
}

/// The look of a stretch of a line.
pub(super) fn pen(part: SeenPart, sight: Sight, lit: &Lit, theme: &Theme) -> Pen {
    let (colour, width, rank) = match part {
        SeenPart::Silhouette if sight == Sight::Outline => (theme.section, 2.6, 6),
        SeenPart::Silhouette => (theme.section, 1.6, 5),
        SeenPart::Crown => (theme.line(LineName::Crown), 2.0, 4),
        SeenPart::Keel => (theme.line(LineName::Keel), 2.0, 4),
        SeenPart::Breadth(_) => (theme.line(LineName::Breadth), 2.0, 4),
        SeenPart::Knuckle(..) => (theme.control, 1.5, 3),
        SeenPart::ControlSection(_) => (theme.control, 1.3, 3),
        SeenPart::ControlLine(_) => (theme.control.gamma_multiply(0.7), 1.0, 2),
        SeenPart::Station(..) => (theme.station, 1.0, 1),
    };
    let master = matches!(part, SeenPart::Crown | SeenPart::Keel | SeenPart::Breadth(_));
    let (colour, width, rank) = match (lit.selects(part), lit.hovers(part)) {
        // As on the floor: a master line keeps its colour and grows heavier.
        (true, _) if master => (colour, width + 1.2, 7),
        (true, _) => (theme.accent, width + 0.9, 7),
        (_, true) => (colour, width + 0.9, 7),
        _ => (colour, width, rank),
    };
    if sight == Sight::Hidden {
        return Pen { colour: colour.gamma_multiply(0.55), width: 0.7 * width, dash: Some([4.0, 5.0]), rank: 0 };
    }
    let dash = matches!(part, SeenPart::ControlLine(_)).then_some([7.0, 4.0]);
    Pen { colour, width, dash, rank }
}

/// What parts a line from the picture: dark under bright lines, bright under dark ones.
pub(super) fn rim(colour: Color32) -> Color32 {
    let [r, g, b, _] = colour.to_array();
    let bright = 3 * u32::from(r) + 6 * u32::from(g) + u32::from(b) > 10 * 110;
    if bright { Color32::from_black_alpha(120) } else { Color32::from_white_alpha(120) }
}

impl Pen {
    /// Draws a line, as much of it as is in sight.
    pub(super) fn draw(&self, painter: &Painter, points: &[Pos2]) {
        let room = painter.clip_rect().expand(8.0);
        for (stretch, from) in stretches(points, room) {
            match self.dash {
                Some([long, short]) => {
                    let offset = (-from).rem_euclid(long + short);
                    let stroke = Stroke::new(self.width, self.colour);
                    painter.extend(Shape::dashed_line_with_offset(&stretch, stroke, &[long], &[short], offset));
                }
                None => {
                    // Thin lines have thin rims, or many of them would cover the picture.
                    let rim_width = if self.width < 1.4 { 1.0 } else { 1.8 };
                    painter.line(stretch.clone(), Stroke::new(self.width + rim_width, rim(self.colour)));
                    painter.line(stretch, Stroke::new(self.width, self.colour));
                }
            }
        }
    }
}

/// The stretches of a line within a rectangle, each with how far along the line it begins: dashes of what is out of sight would
/// cost much when the picture is near.
fn stretches(points: &[Pos2], room: Rect) -> Vec<(Vec<Pos2>, f32)> {
    let mut out: Vec<(Vec<Pos2>, f32)> = Vec::new();
    let (mut along, mut open) = (0.0, false);
    for pair in points.windows(2) {
        let &[a, b] = pair else { continue };
        let length = a.distance(b);
        match within(a, b, room) {
            Some((enter, leave)) => {
                if !open {
                    out.push((vec![a.lerp(b, enter)], along + enter * length));
                }
                if let Some((stretch, _)) = out.last_mut() {
                    stretch.push(a.lerp(b, leave));
                }
                open = leave >= 1.0;
            }
            None => open = false,
        }
        along += length;
    }
    out
}

/// From which share to which a line from `a` to `b` runs within a rectangle (M. Cyrus and J. Beck, 1978, for upright sides).
fn within(a: Pos2, b: Pos2, room: Rect) -> Option<(f32, f32)> {
    let (mut enter, mut leave) = (0.0_f32, 1.0_f32);
    for (from, to, low, high) in [(a.x, b.x, room.left(), room.right()), (a.y, b.y, room.top(), room.bottom())] {
        let by = to - from;
        if by.abs() < 1e-6 {
            if from < low || from > high {
                return None;
            }
            continue;
        }
        let (first, second) = ((low - from) / by, (high - from) / by);
        enter = enter.max(first.min(second));
        leave = leave.min(first.max(second));
    }
    (enter <= leave).then_some((enter, leave))
}

#[cfg(test)]
mod tests {
    use super::*;
    use egui::pos2;

    fn room() -> Rect {
        Rect::from_min_max(pos2(0.0, 0.0), pos2(100.0, 100.0))
    }

    #[test]
    fn a_line_that_leaves_and_comes_back_is_two_stretches_that_know_where_they_begin() {
        let points = [pos2(-50.0, 50.0), pos2(50.0, 50.0), pos2(50.0, 300.0), pos2(60.0, 300.0), pos2(60.0, 50.0)];
        let found = stretches(&points, room());
        assert_eq!(found.len(), 2);
        let (first, from) = &found[0];
        assert_eq!(
            (first.as_slice(), *from),
            ([pos2(0.0, 50.0), pos2(50.0, 50.0), pos2(50.0, 100.0)].as_slice(), 50.0)
        );
        let (second, from) = &found[1];
        assert_eq!(
            (second.as_slice(), *from),
            ([pos2(60.0, 100.0), pos2(60.0, 50.0)].as_slice(), 100.0 + 250.0 + 10.0 + 200.0)
        );
    }

    #[test]
    fn a_line_far_out_of_sight_is_none() {
        assert!(stretches(&[pos2(-10.0, -10.0), pos2(-10.0, 500.0), pos2(-90.0, 60.0)], room()).is_empty());
    }

    #[test]
    fn what_is_hidden_is_dashed_and_the_outline_is_the_strongest() {
        let theme = Theme::of(true);
        let lit = Lit { selected: crate::view::Selected::Nothing, hovered: None };
        let outline = pen(SeenPart::Silhouette, Sight::Outline, &lit, theme);
        for part in [SeenPart::Crown, SeenPart::ControlSection(0), SeenPart::Station(0, 1.0), SeenPart::Silhouette] {
            let seen = pen(part, Sight::InSight, &lit, theme);
            let hidden = pen(part, Sight::Hidden, &lit, theme);
            assert!(outline.width > seen.width && outline.rank > seen.rank && seen.width > hidden.width);
            assert!(hidden.dash.is_some() && hidden.colour.a() < seen.colour.a());
        }
    }

    #[test]
    fn bright_lines_have_a_dark_rim_and_dark_ones_a_bright_one() {
        assert_eq!(rim(Theme::of(true).section).to_array()[0], 0);
        assert!(rim(Theme::of(false).section).to_array()[0] > 0);
    }
}
