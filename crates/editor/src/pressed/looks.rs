//! Pictures of the window: the layout in both themes and at the scaling's ends. Tolerant, few, and looked at by hand.

use super::*;
use egui_kittest::SnapshotOptions;

/// A pixel may differ by this much, and this many may differ by more: glyph edges move with font libraries.
fn tolerant() -> SnapshotOptions {
    SnapshotOptions::new().threshold(2.0).max_failed_pixels(400_usize)
}

#[test]
fn an_empty_project_says_what_to_do_first() {
    let mut window = window(Desk::new());
    settle(&mut window);
    window.snapshot_options("empty-dark", &tolerant());
}

#[test]
fn a_plain_body_in_a_light_room() {
    let mut window = window(plain_desk());
    window.ctx.set_theme(egui::Theme::Light);
    settle(&mut window);
    window.snapshot_options("body-light", &tolerant());
}
