//! What would help most: further observations are tried on the linearised equations, and what each would leave of the band is
//! computed from them. Nothing of the order in which they come out is written down beforehand.
//!
//! An observation with the derivative a and the deviation s adds a aᵀ / s² to the information; the covariance after it does
//! not depend on what would be observed.

use crate::look::form_row;
use crate::outline::{Contact, Sight};
use crate::pose::{MOVES, Pose};
use crate::shape::Shape;
use crate::sketch::Function;
use crate::solution::{Solution, half_breadth_row};
use crate::task::CameraTrust;
use nalgebra::{Cholesky, DMatrix, DVector, Dyn, Matrix2x3, Vector2, Vector3};
use photo::Camera;
use std::f64::consts::TAU;

/// Something more that the builder could give.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum More {
    /// Another photograph from the place of one that is there, seen round the form's middle from lower, higher or further
    /// round. Its camera would be sought from the same landmarks.
    View {
        /// The photograph it starts from, counted from 0.
        photograph: usize,
        /// Above the horizontal through the form's middle, degrees.
        elevation_deg: f64,
        /// How much further round towards the beam (positive) or the end (negative), degrees.
        round_deg: f64,
        /// From the other side of the form, as in a mirror.
        mirrored: bool,
    },
    /// The seam at this station traced in a photograph that is there.
    Seam {
        /// The photograph, counted from 0.
        photograph: usize,
        /// mm aft of the datum.
        station: f64,
    },
    /// The greatest half-breadth measured at this station on the machine.
    Breadth {
        /// mm aft of the datum.
        station: f64,
    },
}

/// What one further observation would do.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Advice {
    /// What it is.
    pub more: More,
    /// Root mean square of the band over the inner stations now, mm.
    pub now: f64,
    /// What it would be, mm.
    pub then: f64,
}

/// Points that a further outline or seam would have.
const OUTLINE_POINTS: usize = 40;
const SEAM_POINTS: usize = 16;
/// Stations and heights over which the band is averaged.
const STATIONS: usize = 11;
const HEIGHTS: usize = 11;
/// Stations at which seams and breadths are tried, as shares of the length.
const SHARES: [f64; 3] = [0.25, 0.5, 0.75];
/// Elevations that are tried, degrees, where no photograph lies within [`NEAR`] of them.
const ELEVATIONS: [f64; 4] = [-12.0, 0.0, 12.0, 25.0];
const NEAR: f64 = 5.0;
/// Turns further round that are tried, degrees.
const ROUNDS: [f64; 2] = [-25.0, 25.0];
/// How closely a breadth is measured on the machine, as a share of the form's length.
const MEASURED: f64 = 0.0015;

impl Solution {
    /// Everything that could be tried, what helps most first.
    pub fn advice(&self) -> Vec<Advice> {
        let Some(information) = Cholesky::new(self.covariance.clone()).map(|root| root.inverse()) else {
            return Vec::new();
        };
        let measures = self.measures();
        let Some(now) = left(&information, &measures) else { return Vec::new() };
        let shape = self.shape();
        let tried = self.candidates().into_iter().filter_map(|more| {
            let rows = self.rows(&shape, more)?;
            let then = left(&extended(&information, &rows), &measures)?;
            Some(Advice { more, now, then })
        });
        let mut out: Vec<Advice> = tried.collect();
        out.sort_by(|a, b| a.then.total_cmp(&b.then));
        out
    }

    /// The half-breadths over which the band is averaged, as rows over the form's unknowns.
    fn measures(&self) -> Vec<DVector<f64>> {
        let (low, high) = self.task.model.range();
        let shape = self.shape();
        let mut out = Vec::new();
        for i in 0..STATIONS {
            let Some(frame) = shape.frame(low + (high - low) * (i as f64 + 1.0) / (STATIONS as f64 + 1.0)) else {
                continue;
            };
            let (crown, keel) = frame.span();
            let height = |j: usize| keel + (crown - keel) * (j as f64 + 0.5) / HEIGHTS as f64;
            out.extend((0..HEIGHTS).filter_map(|j| half_breadth_row(self, &frame, height(j))));
        }
        out
    }

    fn candidates(&self) -> Vec<More> {
        let (low, high) = self.task.model.range();
        let stations = || SHARES.iter().map(|s| low + (high - low) * s);
        let mut out = Vec::new();
        for (photograph, p) in self.task.photographs.iter().enumerate() {
            let near = |x: f64| p.seams.iter().any(|s| (s.station - x).abs() < 0.1 * (high - low));
            out.extend(stations().filter(|x| !near(*x)).map(|station| More::Seam { photograph, station }));
        }
        if self.task.model.functions().contains(&Function::Breadth) {
            out.extend(stations().map(|station| More::Breadth { station }));
        }
        if self.task.photographs.is_empty() {
            return out;
        }
        let taken: Vec<f64> = (0..self.task.photographs.len()).map(|k| self.elevation(k)).collect();
        let view = |elevation_deg: f64, round_deg: f64, mirrored: bool| More::View {
            photograph: 0,
            elevation_deg,
            round_deg,
            mirrored,
        };
        let free = ELEVATIONS.iter().filter(|e| taken.iter().all(|t| (t - *e).abs() > NEAR));
        out.extend(free.map(|e| view(*e, 0.0, false)));
        out.extend(ROUNDS.iter().map(|r| view(taken[0], *r, false)));
        out.push(view(taken[0], 0.0, true));
        out
    }

    fn middle(&self) -> Vector3<f64> {
        let (low, high) = self.task.model.range();
        let x = 0.5 * (low + high);
        Vector3::new(x, 0.0, self.shape().frame(x).map_or(0.0, |f| 0.5 * (f.span().0 + f.span().1)))
    }

    fn arm(&self, photograph: usize) -> Vector3<f64> {
        Vector3::from(self.cameras()[photograph].camera.eye()) - self.middle()
    }

    /// How far above the horizontal through the form's middle a photograph was taken from, degrees.
    pub fn elevation(&self, photograph: usize) -> f64 {
        let arm = self.arm(photograph);
        arm.z.atan2(arm.x.hypot(arm.y)).to_degrees()
    }

    fn rows(&self, shape: &Shape<'_>, more: More) -> Option<Rows> {
        match more {
            More::Seam { photograph, station } => self.seam_rows(shape, photograph, station),
            More::Breadth { station } => self.breadth_rows(station),
            More::View { photograph, elevation_deg, round_deg, mirrored } => {
                let camera = self.moved_camera(photograph, elevation_deg, round_deg, mirrored)?;
                self.view_rows(shape, photograph, &camera)
            }
        }
    }

    fn breadth_rows(&self, station: f64) -> Option<Rows> {
        let model = &self.task.model;
        let place = model.functions().iter().position(|f| *f == Function::Breadth)?;
        let shares = model.shares(station);
        let sigma = MEASURED * model.length();
        let mut row = vec![0.0; self.settled.layout.total];
        let scale = model.priors().breadth / sigma;
        shares.iter().enumerate().for_each(|(j, s)| row[place * shares.len() + j] = s * scale);
        Some(Rows { more: 0, rows: vec![row] })
    }

    fn seam_rows(&self, shape: &Shape<'_>, photograph: usize, station: f64) -> Option<Rows> {
        let pose = &self.settled.state.poses[photograph];
        let sight = Sight::new(shape, pose);
        let frame = shape.frame(station)?;
        let angle = |i: usize| TAU * i as f64 / 360.0;
        let faces = |i: &usize| sight.facing(&frame.place(angle(*i))) < 0.0;
        let seen: Vec<f64> = (0..360).filter(faces).map(angle).collect();
        let sigma = self.task.photographs[photograph].seam_sigma;
        let mut rows = Vec::new();
        for i in 0..SEAM_POINTS.min(seen.len()) {
            let angle = seen[i * seen.len() / SEAM_POINTS.min(seen.len())];
            let pixel = pose.pixel(&frame.place(angle).point)?;
            let contact = sight.nearest_on_seam(pixel, station, Some(angle))?;
            rows.push(self.contact_row(pose, &contact, self.settled.layout.cameras[photograph], 0, sigma)?);
        }
        Some(Rows { more: 0, rows })
    }

    /// A new photograph: its own camera follows the unknowns that are there.
    fn view_rows(&self, shape: &Shape<'_>, like: usize, camera: &Camera) -> Option<Rows> {
        let photograph = &self.task.photographs[like];
        let pose = Pose::new(camera, self.middle());
        let sight = Sight::new(shape, &pose);
        let edge: Vec<_> = sight.edge_curves().into_iter().flatten().collect();
        if edge.len() < OUTLINE_POINTS {
            return None;
        }
        let total = self.settled.layout.total;
        let (more, at) = if photograph.is_sought() { (MOVES, Some(total)) } else { (0, None) };
        let mut rows = Vec::new();
        for i in 0..OUTLINE_POINTS {
            let (spot, pixel) = edge[i * edge.len() / OUTLINE_POINTS];
            let contact = sight.contact(pixel, spot)?;
            rows.push(self.contact_row(&pose, &contact, at, more, photograph.outline_sigma)?);
        }
        if let (Some(at), CameraTrust::Sought { focal_share }) = (at, photograph.trust) {
            rows.extend(self.sighting_rows(like, &pose, at)?);
            let mut focal = vec![0.0; total + more];
            focal[at + MOVES - 1] = 1.0 / focal_share;
            rows.push(focal);
        }
        Some(Rows { more, rows })
    }

    fn contact_row(
        &self,
        pose: &Pose,
        contact: &Contact,
        camera: Option<usize>,
        more: usize,
        sigma: f64,
    ) -> Option<Vec<f64>> {
        let seen = pose.see(&contact.point)?;
        let mut row = vec![0.0; self.settled.layout.total + more];
        let normal = contact.normal.transpose() / sigma;
        let by_point = normal * seen.by_point;
        form_row(&self.task.model, &contact.frame, contact.spot.angle, [by_point[1], by_point[2]], &mut row);
        if let Some(at) = camera {
            let by_moves = normal * seen.by_moves;
            (0..MOVES).for_each(|m| row[at + m] = by_moves[m]);
        }
        Some(row)
    }

    fn sighting_rows(&self, like: usize, pose: &Pose, at: usize) -> Option<Vec<Vec<f64>>> {
        let photograph = &self.task.photographs[like];
        let mut out = Vec::new();
        for sighting in &photograph.sightings {
            let seen = pose.see(&self.settled.state.landmark(&self.task, sighting.landmark))?;
            let sigma = self.task.landmarks[sighting.landmark].sigma;
            for axis in 0..2 {
                let mut row = vec![0.0; self.settled.layout.total + MOVES];
                (0..MOVES).for_each(|m| row[at + m] = seen.by_moves[(axis, m)] / photograph.landmark_sigma);
                if let Some(own) = self.settled.layout.landmarks[sighting.landmark] {
                    let by_point: &Matrix2x3<f64> = &seen.by_point;
                    (0..3).for_each(|m| row[own + m] = by_point[(axis, m)] * sigma[m] / photograph.landmark_sigma);
                }
                out.push(row);
            }
        }
        Some(out)
    }

    fn moved_camera(&self, photograph: usize, elevation_deg: f64, round_deg: f64, mirrored: bool) -> Option<Camera> {
        let arm = self.arm(photograph);
        let camera = &self.cameras()[photograph].camera;
        let side = if mirrored { -1.0 } else { 1.0 };
        // The angle from the form's length, so that more of it goes towards the beam on either side.
        let towards_beam = round_deg.to_radians() * (arm.x * arm.y).signum();
        let turned = Vector2::new(arm.x, arm.y);
        let turned = nalgebra::Rotation2::new(towards_beam) * turned;
        let level = turned.normalize() * elevation_deg.to_radians().cos();
        let way = Vector3::new(level.x, side * level.y, elevation_deg.to_radians().sin());
        let middle = self.middle();
        Camera::look_at((middle + way * arm.norm()).into(), middle.into(), camera.focal_px, camera.centre)
    }
}

/// Further observations, each divided by its deviation, over the unknowns that are there and `more` new ones.
struct Rows {
    more: usize,
    rows: Vec<Vec<f64>>,
}

fn extended(information: &DMatrix<f64>, rows: &Rows) -> DMatrix<f64> {
    let size = information.nrows() + rows.more;
    let mut out = DMatrix::zeros(size, size);
    out.view_mut((0, 0), information.shape()).copy_from(information);
    let flat: Vec<f64> = rows.rows.iter().flatten().copied().collect();
    let jacobian = DMatrix::from_row_slice(rows.rows.len(), size, &flat);
    out + jacobian.tr_mul(&jacobian)
}

/// Root mean square of the deviations of these measures.
fn left(information: &DMatrix<f64>, measures: &[DVector<f64>]) -> Option<f64> {
    let root: Cholesky<f64, Dyn> = Cholesky::new(information.clone())?;
    let size = information.nrows();
    let padded = DMatrix::from_fn(size, measures.len(), |i, j| measures[j].get(i).copied().unwrap_or(0.0));
    let spread = root.l_dirty().solve_lower_triangular(&padded)?;
    (!measures.is_empty()).then(|| (spread.norm_squared() / measures.len() as f64).sqrt())
}
