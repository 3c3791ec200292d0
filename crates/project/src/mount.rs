//! Where a form that is added sits on the first one.

/// An added form's own axes, as they lie in those of the first form: turned by roll, then pitch, then yaw about its own origin, then
/// moved. Lengths in mm, angles in degrees.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Mount {
    /// Where its own origin lies.
    pub place: [f64; 3],
    /// Turned about its own axis: its up towards starboard.
    pub roll_deg: f64,
    /// Turned about y: its rear down.
    pub pitch_deg: f64,
    /// Turned about z: its rear to starboard.
    pub yaw_deg: f64,
    /// A second one sits on the other side, its mirror image.
    pub mirrored: bool,
}

impl Default for Mount {
    fn default() -> Self {
        Self { place: [0.0; 3], roll_deg: 0.0, pitch_deg: 0.0, yaw_deg: 0.0, mirrored: false }
    }
}
