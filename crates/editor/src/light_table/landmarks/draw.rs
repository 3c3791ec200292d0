//! Residuals, candidates and offers on the picture.

use super::rows::{Off, Row, State, rows};
use super::things;
use crate::light_table::draw::{Ground, ink, label};
use crate::light_table::marks::OnPicture;
use crate::light_table::picking::Marking;
use crate::slate::Ask;
use crate::view::Tool;
use egui::{Align2, Area, Button, Color32, Frame, Id, Order, Painter, Pos2, Shape, Stroke, Ui, Vec2, vec2};

/// Residuals are drawn this much longer where they could hardly be seen.
const ENLARGED: f32 = 10.0;
/// Below this length, in points, they could not.
const HARDLY: f32 = 8.0;
/// No arrow is longer than this, in points: what is so wrong needs no measure.
const LONGEST: f32 = 90.0;

/// Residuals and candidates, under the handles.
pub(in crate::light_table) fn under(ground: &Ground<'_>, picture: usize) {
    if matches!(ground.app.view.tool, Tool::Mark(Marking::Landmark)) {
        candidates(ground);
    }
    if !ground.app.table.shows.landmarks {
        return;
    }
    let cameras = ground.app.table.cameras.as_ref();
    let Some(found) = cameras.and_then(|cameras| cameras.found(picture)) else { return };
    let rows = rows(ground.app.desk.document(), picture, Some(found));
    residuals(ground, &rows);
}

/// What the camera shows and could be picked.
fn candidates(ground: &Ground<'_>) {
    let colour = ink().accent.gamma_multiply(0.55);
    let pointer = ground.painter.ctx().pointer_hover_pos();
    for candidate in ground.app.table.landmarks.candidates() {
        let at = ground.at(candidate.pixel);
        if !ground.rect.contains(at) {
            continue;
        }
        for (width, colour) in [(2.6, Color32::from_black_alpha(90)), (1.0, colour)] {
            for arm in [vec2(5.0, 5.0), vec2(5.0, -5.0)] {
                ground.painter.line_segment([at - arm, at + arm], Stroke::new(width, colour));
            }
        }
        if pointer.is_some_and(|pointer| pointer.distance(at) < 10.0) {
            label(ground, at + vec2(9.0, 16.0), &things::label(candidate), colour);
        }
    }
}

/// An arrow for each landmark, from where it was picked to where the camera shows it.
fn residuals(ground: &Ground<'_>, rows: &[Row]) {
    let scale = ground.app.table.sheet.scale as f32;
    let counts = |row: &&Row| row.state == State::Counts;
    let largest = rows.iter().filter(counts).filter_map(|row| row.off).map(|off| off.px as f32).fold(0.0, f32::max);
    let times = if largest * scale < HARDLY { ENLARGED } else { 1.0 };
    let mut wrong = false;
    for row in rows {
        let (Some(off), Some(landmark)) = (row.off, ground.picture.photograph.landmarks.get(row.index)) else {
            continue;
        };
        let at = ground.at(landmark.pixel);
        match row.state {
            State::Suspect { .. } => {
                wrong = true;
                arrow(ground.painter, at, true_size(off, scale), ink().warning, 2.0);
            }
            State::Counts => arrow(ground.painter, at, times * true_size(off, scale), ink().good, 1.4),
            _ => {}
        }
    }
    let text = match (times > 1.0, wrong) {
        _ if largest == 0.0 => return,
        (true, false) => "Arrows: ten times from the pick to where the camera shows it",
        (true, true) => "Arrows: ten times from the pick to where the camera shows it; doubtful ones in true size",
        (false, _) => "Arrows: from the pick to where the camera shows it",
    };
    note(ground, text);
}

fn true_size(off: Off, scale: f32) -> Vec2 {
    -scale * vec2(off.by[0] as f32, off.by[1] as f32)
}

fn arrow(painter: &Painter, from: Pos2, by: Vec2, colour: Color32, width: f32) {
    let length = by.length();
    if length < 1.5 {
        return;
    }
    let cut = length > LONGEST;
    let by = if cut { by * (LONGEST / length) } else { by };
    let (to, along) = (from + by, by.normalized());
    let across = along.rot90();
    let head = (0.4 * by.length()).min(6.0);
    let wings = [to - head * along + 0.5 * head * across, to - head * along - 0.5 * head * across];
    for (width, colour) in [(width + 2.0, Color32::from_black_alpha(120)), (width, colour)] {
        let stroke = Stroke::new(width, colour);
        match cut {
            true => {
                painter.extend(Shape::dashed_line(&[from, to], stroke, 6.0, 4.0));
            }
            false => {
                painter.line_segment([from, to], stroke);
            }
        }
        for wing in wings {
            painter.line_segment([to, wing], stroke);
        }
    }
}

/// What the arrows mean, in the picture's lower left corner.
fn note(ground: &Ground<'_>, text: &str) {
    let font = crate::theme::small();
    let room = (ground.rect.width() - 24.0).max(80.0);
    let galley = ground.painter.layout(text.to_owned(), font, ink().good, room);
    let at = ground.rect.left_bottom() + vec2(12.0, -10.0 - galley.size().y);
    ground.painter.rect_filled(
        egui::Rect::from_min_size(at, galley.size()).expand2(vec2(5.0, 2.0)),
        2.0,
        Color32::from_black_alpha(170),
    );
    ground.painter.galley(at, galley, ink().good);
}

/// What a fresh landmark may be, as buttons beside it.
pub(in crate::light_table) fn offers(ui: &Ui, ground: &Ground<'_>, picture: usize, asks: &mut Vec<Ask>) {
    let Some(OnPicture::Landmark(index)) = crate::light_table::selected(ground.app) else { return };
    let Some(landmark) = ground.picture.photograph.landmarks.get(index) else { return };
    let offers = ground.app.table.landmarks.offers(index);
    let at = ground.at(landmark.pixel);
    if offers.is_empty() || !ground.rect.contains(at) || !ground.app.table.hands.is_free() {
        return;
    }
    // On the side where there is more room.
    let (pivot, aside) = match at.x > ground.rect.center().x {
        true => (Align2::RIGHT_TOP, vec2(-14.0, 14.0)),
        false => (Align2::LEFT_TOP, vec2(14.0, 14.0)),
    };
    let area = Area::new(Id::unique("offers at the landmark")).order(Order::Middle).pivot(pivot).fixed_pos(at + aside);
    area.constrain_to(ground.rect).show(ui.ctx(), |ui| {
        Frame::popup(ui.style()).show(ui, |ui| {
            for candidate in offers {
                let thing = things::of_candidate(ground.app.desk.document(), picture, candidate);
                let label = things::label(candidate);
                let button = ui.add(Button::new(&label).small());
                let button = button.on_hover_text("It is this: takes its place over. The pick stays where it is.");
                if button.accessible_name(format!("It is {label}")).clicked() {
                    asks.push(Ask::Do(super::told(picture, index, landmark, &thing)));
                }
            }
        });
    });
}
