//! Plugs planned for known and for random forms, rebuilt in space from their parts.

#![allow(clippy::expect_used, reason = "helpers of tests may stop at the first surprise, as tests do")]

mod assembly;
mod closed_forms;
mod forms;
mod front;
mod nesting;
mod openings;
mod stacks;
