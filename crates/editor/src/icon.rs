//! The window's icon: half sections as they stand in a body plan, drawn here so that no file has to be found.

use crate::theme::Theme;
use egui::{Color32, IconData};

const SIDE: u32 = 64;

/// The icon.
pub(crate) fn icon() -> IconData {
    let theme = Theme::of(true);
    let mut rgba = Vec::with_capacity((4 * SIDE * SIDE) as usize);
    for y in 0..SIDE {
        for x in 0..SIDE {
            rgba.extend_from_slice(&pixel(theme, f64::from(x) + 0.5, f64::from(y) + 0.5).to_array());
        }
    }
    IconData { rgba, width: SIDE, height: SIDE }
}

fn pixel(theme: &Theme, x: f64, y: f64) -> Color32 {
    // Three ellipses about the middle: the left half after, the right half forward.
    let (across, up) = ((x - 32.0) / 27.0, (y - 32.0) / 29.0);
    let radius = across.hypot(up);
    let rings: &[f64] = if across < 0.0 { &[0.96, 0.78] } else { &[0.96, 0.66, 0.36] };
    let near = rings.iter().map(|r| (radius - r).abs() * 28.0).fold(f64::INFINITY, f64::min);
    let centre = (x - 32.0).abs();
    let ink = if (across - 0.0).hypot(up + 0.96) * 28.0 < 5.0 {
        Some((theme.accent, 1.0))
    } else if near < 2.6 {
        Some((theme.text, (2.6 - near).min(1.0)))
    } else if centre < 1.2 && radius < 1.0 {
        Some((theme.weak, 1.0))
    } else {
        None
    };
    let corner = (x - 32.0).abs().max((y - 32.0).abs());
    let floor = if corner < 32.0 { theme.floor } else { Color32::TRANSPARENT };
    ink.map_or(floor, |(colour, share)| floor.lerp_to_gamma(colour, share as f32))
}
