//! Openings in the shell: closed outlines drawn in a view and cut through the form along the line of sight.
//!
//! Lengths in mm at the model, angles in degrees; x aft from the datum, y to starboard, z up. Where an opening is and how large it
//! is on the surface is computed (see the crate `form`); the document holds only what is drawn.

/// An opening.
#[derive(Clone, Debug, PartialEq)]
pub struct Opening {
    /// What the builder calls it.
    pub name: String,
    /// What it is for.
    pub purpose: Purpose,
    /// From where it is drawn and cut.
    pub seen: Seen,
    /// Whether its mirror image is cut too.
    pub mirrored: bool,
    /// Its outline in the view.
    pub outline: Outline,
    /// How deep it goes; `None` for a plain hole in the shell.
    pub duct: Option<Duct>,
}

/// What an opening is for.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Purpose {
    /// Lets cooling air in.
    #[default]
    Intake,
    /// Lets cooling air out.
    Outlet,
    /// Lets an exhaust out.
    Exhaust,
    /// For a screw, a screwdriver, a hand or a plug of the starter: no air is counted.
    Access,
}

impl Purpose {
    /// All of them, in the order in which they are offered.
    pub const ALL: [Self; 4] = [Self::Intake, Self::Outlet, Self::Exhaust, Self::Access];

    /// Its name.
    pub fn label(self) -> &'static str {
        match self {
            Self::Intake => "Air intake",
            Self::Outlet => "Air outlet",
            Self::Exhaust => "Exhaust hole",
            Self::Access => "Access hole",
        }
    }
}

/// From where an opening is drawn. It is cut where the line of sight first meets the form.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Seen {
    /// In the face view, looking aft: places are (y, z).
    #[default]
    Ahead,
    /// In the side view, from starboard: places are (x, z).
    Starboard,
    /// In the side view, from port: places are (x, z).
    Port,
    /// In the plan, from above: places are (x, y).
    Above,
    /// In the plan, from below: places are (x, y).
    Below,
}

impl Seen {
    /// All of them, in the order in which they are offered.
    pub const ALL: [Self; 5] = [Self::Ahead, Self::Starboard, Self::Port, Self::Above, Self::Below];

    /// Its name.
    pub fn label(self) -> &'static str {
        match self {
            Self::Ahead => "from ahead",
            Self::Starboard => "from starboard",
            Self::Port => "from port",
            Self::Above => "from above",
            Self::Below => "from below",
        }
    }

    /// Which of x, y, z the two places of the view are.
    pub fn axes(self) -> [usize; 2] {
        match self {
            Self::Ahead => [1, 2],
            Self::Starboard | Self::Port => [0, 2],
            Self::Above | Self::Below => [0, 1],
        }
    }

    /// The line of sight, of length 1.
    pub fn sight(self) -> [f64; 3] {
        match self {
            Self::Ahead => [1.0, 0.0, 0.0],
            Self::Starboard => [0.0, -1.0, 0.0],
            Self::Port => [0.0, 1.0, 0.0],
            Self::Above => [0.0, 0.0, -1.0],
            Self::Below => [0.0, 0.0, 1.0],
        }
    }
}

/// A closed outline in a view.
#[derive(Clone, Debug, PartialEq)]
pub enum Outline {
    /// An ellipse.
    Ellipse {
        /// Its middle.
        centre: [f64; 2],
        /// Its whole size along the two places of the view, before it is turned.
        size: [f64; 2],
        /// Turned from the first place towards the second, degrees.
        turn_deg: f64,
    },
    /// A box with rounded corners; a slot where the radius is half of the smaller side.
    Box {
        /// Its middle.
        centre: [f64; 2],
        /// Its whole size along the two places of the view, before it is turned.
        size: [f64; 2],
        /// Radius of its corners.
        radius: f64,
        /// Turned from the first place towards the second, degrees.
        turn_deg: f64,
    },
    /// A closed curve through points: a periodic cubic, or from corner to corner.
    Drawn {
        /// The points in order, at least three.
        points: Vec<OutlinePoint>,
    },
}

/// A point of a drawn outline.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OutlinePoint {
    /// Its place in the view.
    pub at: [f64; 2],
    /// The outline breaks here.
    pub corner: bool,
}

/// How an opening goes on behind the surface: lofted from its outline to an inner one.
#[derive(Clone, Debug, PartialEq)]
pub struct Duct {
    /// How far along the line of sight the inner outline lies behind the middle of the opening on the surface.
    pub depth: f64,
    /// Radius of the lip, from the surface into the duct.
    pub lip_radius: f64,
    /// Thickness of its wall.
    pub wall: f64,
    /// Its inner outline in the same view; `None` for the opening's own.
    pub inner: Option<Outline>,
}
