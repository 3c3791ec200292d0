//! What lies on the bench already and the forms must fit: fuselage end, thrust line, keep-outs, gauges.
//!
//! Lengths in mm at the model, angles in degrees; x aft from the datum, y to starboard, z up.

use crate::document::MeasuredSection;

/// The airframe.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Airframe {
    /// The end of the existing fuselage, where the shell joins it.
    pub fuselage: Option<FuselageEnd>,
    /// Shaft, spinner and ring.
    pub thrust: Option<ThrustLine>,
    /// Things the shell must not touch.
    pub keep_outs: Vec<KeepOut>,
    /// Widths and heights the form must keep.
    pub gauges: Vec<Gauge>,
    /// The way the shell is drawn off.
    pub draw_off: DrawOff,
}

/// The end of the existing fuselage.
#[derive(Clone, Debug, PartialEq)]
pub struct FuselageEnd {
    /// Where it is.
    pub station: f64,
    /// Its section there.
    pub section: FuselageSection,
    /// Its section further aft, which gives the slope; station and section.
    pub further: Option<(f64, FuselageSection)>,
    /// How the shell laps it.
    pub lap: Lap,
    /// Screws around it.
    pub screws: Option<Screws>,
    /// Widest gap between form and fuselage that is allowed around the section; for a shell that goes over, from the step that its
    /// lap needs, unless the form is flush.
    pub allowed_gap: f64,
    /// Largest break in slope that is allowed.
    pub allowed_break_deg: f64,
    /// The control section that follows this one's section, if one does.
    pub pinned: Option<Pin>,
}

/// A form's control section at the fuselage end that follows the fuselage's section, whatever becomes of it: its station, its
/// kind, its numbers. The link is dropped when that section is reshaped or removed by hand.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pin {
    /// Index of the form.
    pub form: usize,
    /// How far the form stands proud of the fuselage all round, along the normal, mm; negative for standing back.
    pub proud: f64,
}

/// The section of a fuselage.
#[derive(Clone, Debug, PartialEq)]
pub enum FuselageSection {
    /// Measured points.
    Measured(MeasuredSection),
    /// A circle.
    Circle {
        /// Its diameter.
        diameter: f64,
        /// Height of its centre.
        centre_height: f64,
    },
    /// An ellipse.
    Ellipse {
        /// Whole width.
        width: f64,
        /// Whole height.
        height: f64,
        /// Height of its centre.
        centre_height: f64,
    },
    /// A box with rounded corners.
    RoundedBox {
        /// Whole width.
        width: f64,
        /// Whole height.
        height: f64,
        /// Radius of its corners.
        radius: f64,
        /// Height of its centre.
        centre_height: f64,
    },
}

/// How the shell laps the fuselage.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lap {
    /// Over or into it.
    pub side: LapSide,
    /// Length of the lap along x.
    pub length: f64,
    /// Clearance per side.
    pub clearance: f64,
}

/// Whether the shell goes over or into the fuselage.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum LapSide {
    /// The shell goes over the fuselage.
    #[default]
    Over,
    /// The shell goes into the fuselage.
    Into,
}

/// Screws around the fuselage end.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Screws {
    /// How they are spaced.
    pub spacing: ScrewSpacing,
    /// Distance of their centres from the shell's edge.
    pub edge_distance: f64,
    /// Hole diameter.
    pub hole: f64,
}

/// How screws are spaced around the whole section.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum ScrewSpacing {
    /// So many.
    Count(u32),
    /// At most this far apart along the girth.
    Pitch(f64),
}

/// Shaft, spinner and ring. The hub lies on the centre plane; the mount is shifted so that it does.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ThrustLine {
    /// Station of the firewall's front face.
    pub firewall: f64,
    /// Distance from the firewall to the hub (the spinner's back plate) along the shaft: L.
    pub hub_distance: f64,
    /// Height of the hub's centre.
    pub hub_height: f64,
    /// Shaft pointing down at the front.
    pub down_thrust_deg: f64,
    /// Shaft pointing to starboard at the front (negative: to port).
    pub side_thrust_deg: f64,
    /// Spinner.
    pub spinner: Spinner,
    /// Front plate of the form.
    pub ring: Ring,
}

/// The spinner.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spinner {
    /// Diameter at its back plate.
    pub diameter: f64,
    /// Gap between back plate and the ring's face.
    pub gap: f64,
}

/// The ring: the plate at the front of the form.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ring {
    /// Its thickness.
    pub thickness: f64,
    /// How far its edge stands back inside the spinner's (negative: outside).
    pub step: f64,
    /// Square to the thrust line (the default), or left square to the datum axis.
    pub square_to_thrust: bool,
}

/// Something the shell must not touch.
#[derive(Clone, Debug, PartialEq)]
pub struct KeepOut {
    /// What it is.
    pub name: String,
    /// Its shape.
    pub shape: Solid,
    /// Where it is.
    pub place: KeepOutPlace,
    /// Least distance to the inside of the shell.
    pub clearance: f64,
}

/// The shape of a keep-out; its axis begins at its front.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Solid {
    /// Along its axis.
    Cylinder {
        /// Across.
        diameter: f64,
        /// Along.
        length: f64,
    },
    /// Length along its axis, breadth and height across.
    Box {
        /// Along.
        length: f64,
        /// Whole breadth.
        breadth: f64,
        /// Whole height.
        height: f64,
    },
    /// Along its axis, from one diameter to the other.
    Cone {
        /// Across the front.
        front_diameter: f64,
        /// Across the rear.
        rear_diameter: f64,
        /// Along.
        length: f64,
    },
}

/// Where a keep-out is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum KeepOutPlace {
    /// On the thrust line, its front this far behind the hub along the shaft.
    OnThrustLine {
        /// How far its front lies behind the hub.
        behind_hub: f64,
    },
    /// Its front's centre here, its axis pointing aft, turned down and to starboard at its rear by these angles.
    Free {
        /// Centre of its front.
        front: [f64; 3],
        /// Axis turned down at the rear.
        pitch_deg: f64,
        /// Axis turned to starboard at the rear.
        yaw_deg: f64,
    },
}

/// A width or height the form must keep.
#[derive(Clone, Debug, PartialEq)]
pub struct Gauge {
    /// What it is for, e.g. the landing gear.
    pub name: String,
    /// Station.
    pub station: f64,
    /// What is measured.
    pub measure: GaugeMeasure,
    /// Least, most or exact.
    pub rule: GaugeRule,
    /// The value.
    pub value: f64,
    /// By how much it may be missed.
    pub tolerance: f64,
}

/// What a gauge measures on the section at its station.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum GaugeMeasure {
    /// Whole width at a height.
    WidthAt {
        /// The height.
        height: f64,
    },
    /// Whole height at a half-breadth.
    HeightAt {
        /// The half-breadth.
        half_breadth: f64,
    },
}

/// How a gauge's value is meant.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum GaugeRule {
    /// At least so much.
    AtLeast,
    /// At most so much.
    AtMost,
    /// So much.
    Exactly,
}

/// The way the shell is drawn off, forward.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum DrawOff {
    /// Along the thrust line.
    #[default]
    ThrustLine,
    /// Along the datum axis.
    Datum,
}
