//! What the document says of the shell, computed: openings, cloth, laminate, release, mass and balance, and the forms that are
//! added to the first.

pub mod added;
pub mod airflow;
pub mod cloth;
mod findings;
pub mod mass;
pub mod release;
mod source;

pub use findings::{findings, slow_findings};
pub use source::{Source, cover};
