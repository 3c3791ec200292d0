//! A place of the form in a builder's words.

use form::space::Vector;

/// On which side of the centre plane.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// Within a millimetre of it.
    Centre,
    /// To starboard.
    Starboard,
    /// To port.
    Port,
}

impl Side {
    /// The word for it.
    pub fn label(self) -> &'static str {
        match self {
            Self::Centre => "centre",
            Self::Starboard => "starboard",
            Self::Port => "port",
        }
    }
}

/// A place of the form.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PlaceOnForm {
    /// x aft, y to starboard, z up, mm.
    pub at: Vector,
    /// Side of the centre plane.
    pub side: Side,
}

/// Within this of the centre plane a place has no side, mm.
const CENTRE: f64 = 1.0;

impl PlaceOnForm {
    /// Of a place in space.
    pub fn of(at: Vector) -> Self {
        let side = match at[1] {
            y if y.abs() < CENTRE => Side::Centre,
            y if y > 0.0 => Side::Starboard,
            _ => Side::Port,
        };
        Self { at, side }
    }

    /// "station 120.0 mm, height 35.2 mm, starboard".
    pub fn label(&self) -> String {
        let [x, _, z] = self.at.map(|c| if c.abs() < 0.05 { 0.0 } else { c });
        format!("station {x:.1} mm, height {z:.1} mm, {}", self.side.label())
    }
}
