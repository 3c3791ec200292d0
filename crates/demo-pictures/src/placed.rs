//! Lays the photographs under the drawing, in the steps a builder would take: scale, level, check, move.

use crate::airframe::{GROUND, NoSkin, skin_of};
use crate::livery::{JOINTS, SPLIT};
use crate::ostrel::{self, LENGTH, SCALE, WIDEST};
use crate::picked;
use crate::views::Shot;
use project::document::{KnownDistance, Picture, PictureView, Placement};
use std::sync::Arc;

/// A pole's length, mm at full size.
pub const POLE: f64 = 2000.0;

/// What a builder picks on a photograph, and knows of it. Lengths are mm at full size, in the project's axes.
struct Picks {
    /// Ends of the pole that sets the scale.
    scale: [[f64; 3]; 2],
    /// Two points whose distance checks it.
    check: [[f64; 3]; 2],
    /// Two points that lie level.
    level: [[f64; 3]; 2],
    /// A point whose place is known.
    known: [f64; 3],
}

/// The picture as it lies in the project.
///
/// # Errors
/// The cowl cannot be lofted, which would be a mistake in this crate.
pub fn picture(shot: &Shot, jpeg: Vec<u8>) -> Result<Picture, NoSkin> {
    let bytes: Arc<[u8]> = jpeg.into();
    let mut picture = Picture {
        name: shot.name.into(),
        view: shot.view,
        file: project::file::picture_file_name(shot.name, &bytes),
        bytes,
        size_px: shot.size,
        placement: Placement { mm_per_px: 1.0, rotation_deg: 0.0, offset: [0.0; 2], mirrored: false },
        scale: None,
        check: None,
        level: None,
        opacity: if shot.view == PictureView::Reference { 1.0 } else { 0.5 },
        locked: true,
        hidden: false,
        photograph: picked::photograph(shot.name),
    };
    if let Some(picks) = picks(shot)? {
        place(&mut picture, shot, &picks);
    }
    Ok(picture)
}

fn picks(shot: &Shot) -> Result<Option<Picks>, NoSkin> {
    let along = |from: [f64; 3], to: [f64; 3]| [from, std::array::from_fn(|i| from[i] + POLE * to[i])];
    let cowl = skin_of(&ostrel::cowl())?;
    let at = |x: f64| cowl.loft().section(x / SCALE);
    Ok(match (shot.view, shot.poles.as_slice()) {
        (PictureView::Side, &[(from, to)]) => {
            let crown = |x: f64| at(x).map(|section| [x, 0.0, SCALE * section.crown()]);
            // The level joint between the cowl's halves, where its side runs nearly straight aft.
            let joint = |x: f64| at(x).map(|section| [x, -SCALE * section.breadth(), SPLIT]);
            let ends = (crown(0.0), crown(SCALE * LENGTH), joint(700.0), joint(JOINTS[2]));
            let (Some(front), Some(rear), Some(first), Some(last)) = ends else { return Ok(None) };
            Some(Picks { scale: along(from, to), check: [front, rear], level: [first, last], known: front })
        }
        (PictureView::Face, &[(level, across), (upright, up)]) => {
            let lying = along(level, across);
            // Right to left on the picture is starboard: pick from left to right.
            let scale = [lying[1], lying[0]];
            let known = [SCALE * WIDEST, 0.0, level[2]];
            debug_assert!(level[2] > GROUND);
            Some(Picks { scale, check: along(upright, up), level: scale, known })
        }
        _ => None,
    })
}

fn place(picture: &mut Picture, shot: &Shot, picks: &Picks) {
    let known_distance = |pair: [[f64; 3]; 2]| {
        let [a, b] = pixels(shot, pair)?;
        let square = (0..3).map(|i| (pair[1][i] - pair[0][i]).powi(2)).sum::<f64>();
        // A tape is read to the millimetre.
        Some(KnownDistance { a, b, distance_mm: square.sqrt().round(), full_size: true })
    };
    picture.scale = known_distance(picks.scale);
    picture.check = known_distance(picks.check);
    picture.level = pixels(shot, picks.level);
    if let Some(scale) = &picture.scale {
        picture.placement = picture.placement.scaled_about(scale.a, scale.mm_per_px(SCALE));
    }
    if let Some(level) = picture.level {
        picture.placement = picture.placement.levelled(level);
    }
    let there = picture.view.view_from_model(picks.known.map(|c| c / SCALE));
    if let (Some(there), Some(px)) = (there, shot.camera.project(picks.known)) {
        picture.placement = picture.placement.held_at(picked(px), there);
    }
}

fn pixels(shot: &Shot, pair: [[f64; 3]; 2]) -> Option<[[f64; 2]; 2]> {
    Some([picked(shot.camera.project(pair[0])?), picked(shot.camera.project(pair[1])?)])
}

/// A pixel as a patient builder picks it, zoomed in: to a quarter of a pixel.
fn picked(px: [f64; 2]) -> [f64; 2] {
    px.map(|c| (c * 4.0).round() / 4.0)
}
