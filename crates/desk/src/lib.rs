//! All that a front end may call: document, history, remembered results, background work, the file door.
//!
//! Besides the binary and the editor, this is the one crate that touches disk, clock and environment.

pub mod desk;
pub mod failure;
pub mod files;
pub mod output;
pub mod state;

pub use desk::Desk;
pub use failure::FileFailure;
pub use files::Overwrite;
pub use state::StateFolder;
