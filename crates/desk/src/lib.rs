//! All that a front end may call: document, history, remembered results, background work, the file door.
//!
//! Besides the binary and the editor, this is the one crate that touches disk, clock and environment.

pub mod autosave;
mod claim;
pub mod demo;
pub mod desk;
pub mod failure;
pub mod files;
mod findings;
mod first_stack;
mod ours;
pub mod output;
mod patience;
pub mod photographs;
pub mod plans;
pub mod pulled;
pub mod recent;
mod reckoned;
pub mod recovery;
mod remembered;
pub mod sanded;
pub mod shaded;
pub mod shell;
mod skins;
pub mod snapped;
pub mod state;
pub mod work;

pub use desk::Desk;
pub use failure::FileFailure;
pub use files::{DiskNow, Overwrite};
pub use findings::{findings, findings_anew, joined};
pub use first_stack::{FIRST_BOARD, first_stack};
pub use plans::{PlanSource, Planned, Plans};
pub use recent::recent_projects;
pub use reckoned::Reckoned;
pub use recovery::{Recovery, recoveries};
pub use remembered::Remembered;
pub use state::StateFolder;
pub use work::{Outcome, Progress, Wake, Work};
