//! The shell over the plug.

pub mod balance;
pub mod cloth;
pub mod drape;
pub mod laminate;
pub mod mass;
pub mod release;
