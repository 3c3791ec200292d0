//! The shell over the plug.

pub mod cloth;
pub mod drape;
