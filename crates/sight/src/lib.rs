//! Sections from photographs: what is traced in one or more photographs - the outline against the background, seams at known
//! stations - is solved for the form and the cameras together.
//!
//! ```text
//!   Sketch (known lines, means) + Priors -> Model        what a form may be
//!   Model + Photographs + Landmarks      -> Task         what is seen of it
//!   solve(Task)                          -> Solution     form, cameras, bands, findings, advice
//! ```
//!
//! Crown and keel are known from the side picture. Sought are smooth functions of the station: both superelliptic exponents,
//! breadth height, and the half-breadth where it is not known. They deviate from the sketch by a Gaussian process
//! ([`sketch::Priors`]); a sought camera is held by landmarks, each trusted to its own deviation, and by a trust in its
//! focal length. Everything is found at once by least squares (Levenberg-Marquardt), robust against single gross mistakes.
//!
//! - [`shape`]: the surface, [`outline`] and `seam`: the place of it that a pixel shows, with its distance in pixels, and
//!   [`edge`]: the whole outline as a camera would show it.
//! - `look`: residuals and their derivatives; `search`: the descent; [`mod@solve`]: outliers and points that the form cannot
//!   follow ([`misfit`]); `weigh`: how much the halves differ and sections depart from superellipses.
//! - [`solution`]: sections before and after with the band of their standard deviation, what is measured and what guessed;
//!   [`finding`]: what to look at; [`advice`]: what would help most; [`control`]: the form as a document can hold it.
//!
//! Lengths are those of the task, usually mm at the model: landmarks, cameras and lines must share one scale. Axes: x aft,
//! y to starboard, z up.

pub mod advice;
pub mod control;
mod departure;
pub mod drawn;
pub mod edge;
pub mod error;
pub mod finding;
mod look;
pub mod misfit;
pub mod outline;
mod pose;
mod quarter;
mod runs;
mod seam;
mod search;
pub mod shape;
pub mod sketch;
mod smooth;
pub mod solution;
pub mod solve;
mod state;
pub mod task;
pub mod traced;
mod weigh;

pub use error::SightError;
pub use shape::Model;
pub use solution::Solution;
pub use solve::solve;
pub use task::Task;
