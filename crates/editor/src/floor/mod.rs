//! The floor: one drawing with the views lined up, as on a mould-loft floor.

pub(crate) mod airframe;
pub(crate) mod airframe_drag;
pub(crate) mod draw;
pub(crate) mod hit;
mod hull;
pub(crate) mod layout;
pub(crate) mod scene;
pub(crate) mod shoulder;
pub(crate) mod show;
