//! The document, its edits and history, and the file form.
//!
//! Nothing here touches a disk, a clock or a window: bytes come in and go out.

pub mod airframe;
pub mod build;
pub mod document;
pub mod edit;
pub mod file;
pub mod fuselage;
pub mod history;
pub mod laminate;
pub mod measured;
pub mod mount;
pub mod opening;
pub mod photograph;
pub mod placement;
pub mod promise;
pub mod shell;
mod span;
pub mod stacking;
pub mod starter;
pub mod table;
