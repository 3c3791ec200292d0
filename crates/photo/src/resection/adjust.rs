//! Least squares over the camera and, within their trust, the landmarks.
//!
//! Levenberg and Marquardt's method on the sum of squared standard deviations: pixels off, landmarks off their given place,
//! and the focal length, principal point and k1 off what was expected of them. Landmarks are eliminated from each step
//! (Hartley and Zisserman, *Multiple View Geometry*, 2nd ed. 2004, appendix 6), which leaves for each a weight
//! V⁻¹ = (σ_px² + J σ_mm² Jᵀ)⁻¹.
//!
//! The camera is moved in numbers that stay nearly independent when it is far away: the turn about the landmarks' middle,
//! the pixel of that middle, the logarithm of the picture's scale there, and the inverse depth. Focal length and distance
//! hardly differ in what they do to a distant body; scale is what a picture shows, and inverse depth what it hardly does.

use super::{Landmark, LensStart, Start};
use crate::picture_camera::{PARAMETERS, Projection};
use crate::{Camera, Lens, PictureCamera};
use nalgebra::{DMatrix, DVector, Matrix2, Matrix2x3, OMatrix, Rotation3, U2, Vector2, Vector3};

/// A dynamic number of columns, two rows: a pixel by the free numbers.
type ByFree = OMatrix<f64, U2, nalgebra::Dyn>;

/// What is solved for beside the pose, and what is expected of it.
pub(super) struct Task<'a> {
    pub(super) landmarks: &'a [&'a Landmark],
    pub(super) start: &'a Start,
    /// The landmarks' middle.
    middle: Vector3<f64>,
    /// The pixels' focal lengths that are allowed.
    focal_range: [f64; 2],
}

/// A minimum that was found.
#[derive(Clone)]
pub(super) struct Minimum {
    pub(super) camera: PictureCamera,
    /// Sum of squared standard deviations.
    pub(super) cost: f64,
    /// How far each landmark was moved.
    shifts: Vec<Vector3<f64>>,
}

/// What a step is computed from.
struct Normal {
    matrix: DMatrix<f64>,
    right: DVector<f64>,
    landmarks: Vec<LandmarkRow>,
}

struct LandmarkRow {
    by_free: ByFree,
    by_point: Matrix2x3<f64>,
    weight: Matrix2<f64>,
    off: Vector2<f64>,
}

const ITERATIONS: usize = 60;
/// A step of fewer standard deviations than this is none.
const STEP_TOLERANCE: f64 = 1e-9;

impl<'a> Task<'a> {
    pub(super) fn new(landmarks: &'a [&'a Landmark], start: &'a Start) -> Self {
        let sum: Vector3<f64> = landmarks.iter().map(|l| Vector3::from(l.at)).sum();
        let diagonal = f64::from(start.size_px[0]).hypot(f64::from(start.size_px[1]));
        let middle = sum / landmarks.len().max(1) as f64;
        Self { landmarks, start, middle, focal_range: [0.1 * diagonal, 100.0 * diagonal] }
    }

    fn frees_focal(&self) -> bool {
        self.start.focal.is_none_or(|(_, sigma)| sigma > 0.0)
    }

    fn k1_sigma(&self) -> Option<f64> {
        match self.start.lens {
            LensStart::Unknown { k1_sigma } => Some(k1_sigma),
            LensStart::None | LensStart::Known { .. } => None,
        }
    }

    /// How many numbers are solved for.
    pub(super) fn unknowns(&self) -> usize {
        6 + usize::from(self.frees_focal())
            + if self.start.centre_sigma_px > 0.0 { 2 } else { 0 }
            + usize::from(self.k1_sigma().is_some())
    }

    /// How many observations there are, expectations with a standard deviation among them.
    pub(super) fn observations(&self) -> usize {
        let focal = usize::from(self.start.focal.is_some_and(|(_, sigma)| sigma > 0.0));
        let centre = if self.start.centre_sigma_px > 0.0 { 2 } else { 0 };
        2 * self.landmarks.len() + focal + centre + usize::from(self.k1_sigma().is_some())
    }

    /// Derivative of the camera's [`PARAMETERS`] by the free numbers: turn about the middle (3), the middle's pixel (2),
    /// logarithm of the scale there, then, where free, logarithm of the inverse depth, principal point, k1.
    pub(super) fn parameters_by_free(&self, camera: &PictureCamera) -> DMatrix<f64> {
        let Camera { rotation, translation, focal_px, .. } = camera.camera;
        let seen = rotation * self.middle + translation;
        let back = rotation.transpose();
        let mut all = DMatrix::zeros(PARAMETERS, self.unknowns());
        all.fixed_view_mut::<3, 3>(0, 0).fill_with_identity();
        all.fixed_view_mut::<3, 3>(3, 0).copy_from(&(-back * seen.cross_matrix()));
        let mut eye = |column: usize, moved: Vector3<f64>| {
            all.fixed_view_mut::<3, 1>(3, column).copy_from(&-(back * moved));
        };
        let per_pixel = seen.z / focal_px;
        eye(3, Vector3::new(per_pixel, 0.0, 0.0));
        eye(4, Vector3::new(0.0, per_pixel, 0.0));
        let mut next = 6;
        if self.frees_focal() {
            eye(5, Vector3::new(-seen.x, -seen.y, 0.0));
            eye(6, Vector3::new(0.0, 0.0, -seen.z));
            all[(6, 5)] = focal_px;
            all[(6, 6)] = -focal_px;
            next = 7;
        } else {
            eye(5, -seen);
        }
        if self.start.centre_sigma_px > 0.0 {
            all[(7, next)] = 1.0;
            all[(8, next + 1)] = 1.0;
            next += 2;
        }
        if self.k1_sigma().is_some() {
            all[(9, next)] = 1.0;
        }
        all
    }

    fn stepped(&self, camera: &PictureCamera, step: &DVector<f64>) -> PictureCamera {
        let Camera { rotation, translation, focal_px, mut centre } = camera.camera;
        let seen = rotation * self.middle + translation;
        let scale = focal_px / seen.z * step[5].clamp(-1.0, 1.0).exp();
        let pixel = Vector2::new(seen.x, seen.y) * (focal_px / seen.z) + Vector2::new(step[3], step[4]);
        let (focal, mut next) = if self.frees_focal() {
            let depth = seen.z / (1.0 + step[6].clamp(-0.7, 2.0));
            ((scale * depth).clamp(self.focal_range[0], self.focal_range[1]), 7)
        } else {
            (focal_px, 6)
        };
        let seen = Vector3::new(pixel.x / scale, pixel.y / scale, focal / scale);
        let turned = Rotation3::new(Vector3::new(step[0], step[1], step[2])).into_inner() * rotation;
        if self.start.centre_sigma_px > 0.0 {
            centre = [centre[0] + step[next], centre[1] + step[next + 1]];
            next += 2;
        }
        let k1 = camera.lens.k1 + if self.k1_sigma().is_some() { step[next] } else { 0.0 };
        let moved = Camera { rotation: turned, translation: seen - turned * self.middle, focal_px: focal, centre };
        PictureCamera { camera: moved, lens: Lens { k1, ..camera.lens } }
    }

    /// Expectations: index into the camera's parameters, how far the camera is off, standard deviation.
    fn expectations(&self, camera: &PictureCamera) -> Vec<(usize, f64, f64)> {
        let mut all = Vec::new();
        if let Some((focal, sigma)) = self.start.focal.filter(|(_, sigma)| *sigma > 0.0) {
            all.push((6, focal - camera.camera.focal_px, sigma));
        }
        if self.start.centre_sigma_px > 0.0 {
            for k in 0..2 {
                all.push((7 + k, self.start.centre[k] - camera.camera.centre[k], self.start.centre_sigma_px));
            }
        }
        if let Some(sigma) = self.k1_sigma() {
            all.push((9, -camera.lens.k1, sigma));
        }
        all
    }

    /// Sum of squared standard deviations; infinite where a landmark is not before the camera.
    fn cost(&self, camera: &PictureCamera, shifts: &[Vector3<f64>]) -> f64 {
        let mut cost: f64 = self.expectations(camera).iter().map(|(_, off, sigma)| (off / sigma).powi(2)).sum();
        for (landmark, shift) in self.landmarks.iter().zip(shifts) {
            let Some(pixel) = camera.project((Vector3::from(landmark.at) + shift).into()) else { return f64::INFINITY };
            let off = Vector2::from(landmark.pixel) - Vector2::from(pixel);
            cost += off.norm_squared() / landmark.sigma_px.powi(2);
            if landmark.sigma_mm > 0.0 {
                cost += shift.norm_squared() / landmark.sigma_mm.powi(2);
            }
        }
        if cost.is_finite() { cost } else { f64::INFINITY }
    }

    fn normal(&self, camera: &PictureCamera, shifts: &[Vector3<f64>]) -> Option<Normal> {
        let by_free = self.parameters_by_free(camera);
        let n = by_free.ncols();
        let mut normal = Normal {
            matrix: DMatrix::zeros(n, n),
            right: DVector::zeros(n),
            landmarks: Vec::with_capacity(shifts.len()),
        };
        for (landmark, shift) in self.landmarks.iter().zip(shifts) {
            let seen = camera.projection((Vector3::from(landmark.at) + shift).into())?;
            let off = Vector2::from(landmark.pixel) - Vector2::from(seen.pixel) + seen.by_point * shift;
            let weight = spread(landmark, &seen).try_inverse()?;
            let row = LandmarkRow { by_free: seen.by_camera * &by_free, by_point: seen.by_point, weight, off };
            let weighted = row.by_free.transpose() * weight;
            normal.matrix += &weighted * &row.by_free;
            normal.right += weighted * off;
            normal.landmarks.push(row);
        }
        for (index, off, sigma) in self.expectations(camera) {
            let row = by_free.row(index) / sigma;
            normal.matrix += row.transpose() * row.clone();
            normal.right += row.transpose() * (off / sigma);
        }
        Some(normal)
    }

    /// The inverse covariance of the free numbers at a minimum.
    pub(super) fn information(&self, minimum: &Minimum) -> Option<DMatrix<f64>> {
        Some(self.normal(&minimum.camera, &minimum.shifts)?.matrix)
    }

    /// The minimum to which a camera leads; `None` if it does not see the landmarks or no step can be computed.
    pub(super) fn minimise(&self, from: &PictureCamera) -> Option<Minimum> {
        let mut shifts = vec![Vector3::zeros(); self.landmarks.len()];
        let mut camera = *from;
        let mut cost = self.cost(&camera, &shifts);
        let mut damping = 1e-3;
        if !cost.is_finite() {
            return None;
        }
        'steps: for _ in 0..ITERATIONS {
            let normal = self.normal(&camera, &shifts)?;
            loop {
                let step = normal.step(damping)?;
                let next = self.stepped(&camera, &step);
                let next_shifts = self.shifts(&normal, &step);
                let next_cost = self.cost(&next, &next_shifts);
                let length = step.dot(&(&normal.matrix * &step)).max(0.0).sqrt();
                if next_cost <= cost {
                    let gained = cost - next_cost;
                    (camera, shifts, cost) = (next, next_shifts, next_cost);
                    damping = (damping * 0.1).max(1e-12);
                    if length < STEP_TOLERANCE || (gained < 1e-13 * cost && length < 1e-4) {
                        break 'steps;
                    }
                    break;
                }
                damping *= 10.0;
                // Rounding alone hinders a step as short as this.
                if length < 1e-6 || damping > 1e12 {
                    break 'steps;
                }
            }
        }
        Some(Minimum { camera, cost, shifts })
    }

    /// Where the landmarks are best after a step.
    fn shifts(&self, normal: &Normal, step: &DVector<f64>) -> Vec<Vector3<f64>> {
        let shift = |(landmark, row): (&&Landmark, &LandmarkRow)| {
            let left = row.off - &row.by_free * step;
            row.by_point.transpose() * (row.weight * left) * landmark.sigma_mm.powi(2)
        };
        self.landmarks.iter().zip(&normal.landmarks).map(shift).collect()
    }
}

/// Covariance of a landmark's pixel: of picking it, and of its place on the machine.
pub(super) fn spread(landmark: &Landmark, seen: &Projection) -> Matrix2<f64> {
    Matrix2::identity() * landmark.sigma_px.powi(2)
        + seen.by_point * seen.by_point.transpose() * landmark.sigma_mm.powi(2)
}

impl Normal {
    /// The damped step, by Cholesky's method after scaling to a unit diagonal.
    fn step(&self, damping: f64) -> Option<DVector<f64>> {
        let scale = unit_diagonal(&self.matrix);
        let mut scaled = scaled(&self.matrix, &scale);
        for k in 0..scale.len() {
            scaled[(k, k)] += damping;
        }
        let step = scaled.cholesky()?.solve(&self.right.component_mul(&scale));
        Some(step.component_mul(&scale))
    }
}

/// What each row and column has to be multiplied with to make the diagonal one.
pub(super) fn unit_diagonal(matrix: &DMatrix<f64>) -> DVector<f64> {
    matrix.diagonal().map(|d| if d > 0.0 { 1.0 / d.sqrt() } else { 1.0 })
}

/// Rows and columns multiplied by `scale`.
pub(super) fn scaled(matrix: &DMatrix<f64>, scale: &DVector<f64>) -> DMatrix<f64> {
    let mut all = matrix.clone();
    for (i, mut column) in all.column_iter_mut().enumerate() {
        column.component_mul_assign(scale);
        column *= scale[i];
    }
    all
}
