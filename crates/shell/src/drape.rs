//! Cloth draped as a pin-jointed net.

mod bands;
mod build;
mod charts;
mod geodesic;
mod lay;
mod lines;
mod meet;
pub mod net;
pub mod outside;
mod patch;
mod portion;
pub mod shear;
mod stretch;
pub mod surface;

pub(crate) use lay::Arm;
pub use net::{DrapeError, Net, Node, Number, Start};
pub use outside::{Cover, End, Outside, OutsideError, Seam};
pub use portion::{Portion, is_closed, shallowest_parting};
pub use shear::{Cell, Stop};
pub use surface::{At, Jet, Margin, Surface};
