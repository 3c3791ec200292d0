//! Openings held against closed forms: holes through cylinder, sphere, cone and plane; and against laws that hold of every form.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)] // tests may stop at the first surprise

mod areas;
mod bodies;
mod ducts;
mod edges;
mod found;
