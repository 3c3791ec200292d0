//! The window: floor, slate, gestures, theme.
//!
//! The document is desk's; this crate holds view state and gestures only. A frame runs in this order: keys and gestures
//! become edits and are applied, everything derived is brought up to date, the panels and the floor are drawn from one
//! immutable document, and what they ask for is applied after the last of them is drawn. So a drag is seen in all views
//! within its own frame, and nothing changes in the middle of one. What takes longer than a frame may (openings on the surface, meeting
//! lines, the shaded body) is made beside the window's thread and follows a drag a moment later: `follower`.

mod act;
mod app;
mod bars;
mod card;
mod clock;
mod comb;
mod commands;
mod derived;
mod dialogs;
mod disk;
mod export;
mod figures;
mod findings;
mod floor;
mod follower;
mod gesture;
mod icon;
mod kept_view;
mod light_table;
mod loose;
mod on_shell;
mod pictures;
mod planning;
mod plots;
#[cfg(test)]
mod pressed;
mod settings;
mod sheets_view;
mod slate;
mod start;
mod theme;
mod units;
mod view;
mod window;

pub use window::{Start, WindowError, run};
