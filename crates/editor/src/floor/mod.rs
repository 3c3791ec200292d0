//! The floor: one drawing with the views lined up, as on a mould-loft floor.

pub(crate) mod draw;
pub(crate) mod hit;
pub(crate) mod layout;
pub(crate) mod scene;
pub(crate) mod shoulder;
pub(crate) mod show;
