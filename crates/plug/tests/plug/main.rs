//! Plugs planned for known and for random forms, rebuilt in space from their parts.

mod assembly;
mod closed_forms;
mod forms;
mod nesting;
