//! The floor: one drawing with the views lined up, as on a mould-loft floor.

pub(crate) mod airframe;
pub(crate) mod airframe_drag;
pub(crate) mod draw;
pub(crate) mod drawing_keys;
pub(crate) mod hit;
mod hull;
pub(crate) mod item;
pub(crate) mod layout;
pub(crate) mod sanded;
pub(crate) mod scene;
pub(crate) mod shoulder;
pub(crate) mod show;
pub(crate) mod solved;
pub(crate) mod spot;
pub(crate) mod trace;
