//! An edge followed through a picture, from a few picks near it. Tracing is help, not magic: it is done on request, every
//! point says how sure it is, where no edge is found or two compete it says that too, and the builder decides.
//!
//! ```text
//!   pick o........        the coarse line: a smooth curve through the picks
//!          ----___'''..o
//!   edge          '--.__     searched across the line, as far as the half width
//! ```
//!
//! 1. A centripetal curve goes through the picks (C. Yuksel, S. Schaefer, J. Keyser, "Parameterization and applications of
//!    Catmull-Rom curves", Computer-Aided Design 43, 2011).
//! 2. Across it, every pixel, the colours are differentiated with a Gaussian (J. Canny, "A computational approach to edge
//!    detection", IEEE PAMI 8, 1986), all three at once, so that an edge between two colours of one lightness counts too
//!    (S. Di Zenzo, "A note on the gradient of a multi-image", CVGIP 33, 1986). Coded values stand for what the eye tells apart.
//! 3. One edge is chosen for the whole line by dynamic programming (A. J. Viterbi, IEEE Trans. Information Theory 13, 1967):
//!    strong, near to the line, without jumps.
//! 4. Along the edge so found it is measured again, narrower and in linear light, because lenses mix light and not its code:
//!    in coded values every edge would lie too far towards its dark side. The peak is that of a Gaussian through three samples.
//!    Samples are averaged along the curve and not along its tangent, so a bend is not cut short; what the blur of the picture
//!    itself takes off a bend (b² / 2R, from the edge of a blurred disc) is put back.
//!
//! Sources are cited from memory. Only the strip along the line is read, so the size of the picture does not matter.

mod corner;
mod curve;
mod measure;
mod pass;
mod path;
mod smooth;
mod snap;
mod strip;

use crate::Photo;
use pass::{Run, followed};
pub use snap::snap;

/// How an edge is to be followed.
#[derive(Clone, Debug, PartialEq)]
pub struct Following {
    /// How far to each side of the picked line the edge is sought, pixels: 2 to 60.
    pub half_width: f64,
    /// Distance of the answer's points along the edge, pixels: 1 to 1000.
    pub spacing: f64,
    /// The scale of the Gaussian that differentiates, pixels: 0.7 to 5. More for blurred or noisy pictures.
    pub scale: f64,
    /// Picks, counted from 0, where the edge turns sharply. The edge is followed to each side of them by itself, and the
    /// corner is where both sides meet.
    pub corners: Vec<usize>,
}

impl Default for Following {
    fn default() -> Self {
        Self { half_width: 8.0, spacing: 4.0, scale: 1.2, corners: Vec::new() }
    }
}

/// A place on an edge.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct EdgePoint {
    /// Where, pixels. Where there is no edge it lies on the line that was followed.
    pub pixel: [f64; 2],
    /// Change of the light across the edge, all colours together: 1 from black to a colour's full light, √3 from black to
    /// white.
    pub strength: f64,
    /// How many times steeper than the noise and texture beside it.
    pub signal_to_noise: f64,
    /// Standard deviation across the edge, pixels, as that noise warrants; it does not know of a wrong edge.
    pub deviation: f64,
    /// What speaks against it.
    pub doubt: Option<Doubt>,
}

/// What speaks against a point.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Doubt {
    /// Nothing stands out of the noise here.
    NoEdge,
    /// The search runs off the picture.
    OffPicture,
    /// Another edge, about as strong, lies within the half width.
    TwoEdges,
    /// It lies off the line of its neighbours.
    OffLine,
    /// So near to a corner that the other side of it disturbs the measurement.
    AtCorner,
}

impl Doubt {
    /// What to tell the builder.
    pub fn text(self) -> &'static str {
        match self {
            Self::NoEdge => "No edge stands out here. Leave this piece out, or pick it by eye.",
            Self::OffPicture => "The search runs off the picture here.",
            Self::TwoEdges => "Two edges compete here. Pick closer, or search less wide.",
            Self::OffLine => "This lies off the line of its neighbours. Look whether something stands before the edge.",
            Self::AtCorner => "Too near to the corner to be measured.",
        }
    }
}

/// An edge as it was found.
#[derive(Clone, Debug, PartialEq)]
pub struct Followed {
    /// In the order of the picks.
    pub points: Vec<EdgePoint>,
    /// Whether the line ends where it began; then its last point is not repeated.
    pub closed: bool,
}

impl Followed {
    /// The points nothing speaks against.
    pub fn sure(&self) -> impl Iterator<Item = &EdgePoint> {
        self.points.iter().filter(|p| p.doubt.is_none())
    }
}

/// Why no edge can be followed at all. The text says what to do.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum FollowError {
    /// Fewer than two different picks.
    #[error("An edge needs at least two picks at different places; here is {0}. Pick along the edge.")]
    TooFew(usize),
    /// A pick is not a finite number.
    #[error("Pick {n} is not a usable place. Pick it again.", n = .0 + 1)]
    NotANumber(usize),
    /// A setting is outside of its range.
    #[error("The {what} must be {least} to {most}.")]
    Setting {
        /// Which.
        what: &'static str,
        /// Least.
        least: f64,
        /// Most.
        most: f64,
    },
    /// A corner at a pick that is not there, or at an end.
    #[error("There is no pick {n} between two others that could be a corner.", n = .0 + 1)]
    NoSuchCorner(usize),
    /// No pick lies on the picture.
    #[error("None of the picks lies on the picture. Pick on the picture itself.")]
    OffPicture,
    /// The line is absurdly long.
    #[error("The line is {0:.0} px long, more than {MOST_LENGTH} px. Follow it in pieces.")]
    TooLong(f64),
    /// The picture has no pixels, or not as many as it says.
    #[error("The picture has no pixels to look at. Bring it in again.")]
    NoPicture,
    /// Nothing stands out anywhere on the line.
    #[error("No edge stands out anywhere near this line. Pick closer to the edge, or draw it by eye.")]
    NoEdge,
}

/// Longest line that is followed at once, pixels.
pub const MOST_LENGTH: f64 = 30_000.0;

/// Closer than this, first and last pick are one place, and the line is closed; it needs four picks.
const SAME_PLACE: f64 = 3.0;

/// The edge along `picks` (pixels, in order), as [`Following`] says. The line ends at the first and last pick; where both
/// are one place the edge is followed all round.
///
/// # Errors
/// What [`FollowError`] lists. Single points that cannot be found are no error but have a [`Doubt`].
pub fn follow(picture: &Photo, picks: &[[f64; 2]], how: &Following) -> Result<Followed, FollowError> {
    let runs = runs(picture, picks, how)?;
    let closed = runs.len() == 1 && runs[0].closed;
    let mut points: Vec<EdgePoint> = Vec::new();
    for run in &runs {
        let next = followed(picture, run, how);
        corner::join(&mut points, next, how);
    }
    if points.iter().all(|p| p.doubt == Some(Doubt::NoEdge)) {
        return Err(FollowError::NoEdge);
    }
    Ok(Followed { points, closed })
}

/// The picks between corners.
fn runs(picture: &Photo, picks: &[[f64; 2]], how: &Following) -> Result<Vec<Run>, FollowError> {
    check_picture(picture)?;
    check_settings(how)?;
    if let Some(i) = picks.iter().position(|p| !p.iter().all(|c| c.is_finite())) {
        return Err(FollowError::NotANumber(i));
    }
    let length: f64 = picks.windows(2).map(|w| (w[1][0] - w[0][0]).hypot(w[1][1] - w[0][1])).sum();
    if length > MOST_LENGTH {
        return Err(FollowError::TooLong(length));
    }
    if let Some(&corner) = how.corners.iter().find(|&&c| c == 0 || c + 1 >= picks.len()) {
        return Err(FollowError::NoSuchCorner(corner));
    }
    if !picks.is_empty() && !picks.iter().any(|p| strip::is_on(picture, *p)) {
        return Err(FollowError::OffPicture);
    }
    let mut breaks = how.corners.clone();
    breaks.extend([0, picks.len().saturating_sub(1)]);
    breaks.sort_unstable();
    breaks.dedup();
    let runs: Vec<Run> = breaks.windows(2).map(|w| Run::new(&picks[w[0]..=w[1]])).collect();
    match runs.iter().find(|r| r.picks.len() < 2) {
        Some(r) => Err(FollowError::TooFew(r.picks.len())),
        None if runs.is_empty() => Err(FollowError::TooFew(picks.len())),
        None => Ok(runs),
    }
}

fn check_picture(picture: &Photo) -> Result<(), FollowError> {
    let pixels = picture.width as usize * picture.height as usize;
    if pixels == 0 || picture.rgba.len() != 4 * pixels { Err(FollowError::NoPicture) } else { Ok(()) }
}

fn check_settings(how: &Following) -> Result<(), FollowError> {
    let ranges = [
        ("half width", how.half_width, 2.0, 60.0),
        ("spacing", how.spacing, 1.0, 1000.0),
        ("scale", how.scale, 0.7, 5.0),
    ];
    match ranges.iter().find(|(_, value, least, most)| !(least..=most).contains(&value)) {
        Some(&(what, _, least, most)) => Err(FollowError::Setting { what, least, most }),
        None => Ok(()),
    }
}

#[cfg(test)]
mod tests;
