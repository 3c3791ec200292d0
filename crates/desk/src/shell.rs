//! What the document says of the shell, computed: openings, cloth, laminate, release, mass and balance, and the forms that are
//! added to the first.

pub mod added;
pub mod airflow;
pub mod cloth;
pub mod mass;
pub mod release;
mod source;

pub use source::{Source, cover};
