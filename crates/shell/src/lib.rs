//! The shell over the plug.

pub mod drape;
