//! Takes a photograph: renders, exposes, adds grain, and develops to JPEG.

use crate::airframe::{Kind, Part};
use crate::daylight::{Daylight, film};
use crate::views::Shot;
use crate::{field, livery, noise};
use image::ExtendedColorType;
use image::codecs::jpeg::JpegEncoder;
use nalgebra::Vector3;
use shade::{Body, Camera, Lens, Normals, Paint, Scene, Settings, Spot, Surface};

/// Towards the sun: from ahead, to port, and high.
const TOWARDS_SUN: [f64; 3] = [-0.52, -0.58, 0.66];
/// Quality of the JPEG.
const QUALITY: u8 = 88;

/// A developed photograph.
#[derive(Clone, Debug)]
pub struct Print {
    /// The JPEG file.
    pub jpeg: Vec<u8>,
}

/// Takes the photograph of the aircraft and the shot's poles.
///
/// # Errors
/// The JPEG could not be encoded.
pub fn take(shot: &Shot, aircraft: &[Part]) -> Result<Print, image::ImageError> {
    let props = shot.props();
    let parts: Vec<&Part> = aircraft.iter().chain(&props).collect();
    let bodies: Vec<Body> =
        parts.iter().map(|part| Body::new(&part.mesh, Normals::Smooth { crease_deg: crease(part.kind) })).collect();
    let daylight = Daylight::new(&bodies.iter().collect::<Vec<_>>(), TOWARDS_SUN);
    let camera = renderer_camera(&shot.camera);
    let paints: Vec<Paints> = parts.iter().map(|part| Paints { kind: part.kind, shot, daylight: &daylight }).collect();
    let surfaces: Vec<Surface> =
        bodies.iter().zip(&paints).map(|(body, paint)| Surface { body, paint: paint as &dyn Paint }).collect();
    let settings = Settings { size: shot.size, fine_paint: true, ..Settings::default() };
    let subject = shade::render(&Scene { surfaces: &surfaces, ..Scene::default() }, &camera, &settings);
    let exposed = expose(shot, &camera, &daylight, &subject);
    let mut jpeg = Vec::new();
    JpegEncoder::new_with_quality(&mut jpeg, QUALITY).encode(
        &grained(&exposed, shot.size),
        shot.size[0],
        shot.size[1],
        ExtendedColorType::Rgb8,
    )?;
    Ok(Print { jpeg })
}

/// The same camera in the renderer's words: both count pixels from the upper left corner.
pub fn renderer_camera(camera: &photo::Camera) -> Camera {
    Camera {
        rotation: camera.rotation,
        translation: camera.translation,
        lens: Lens::Perspective { focal_px: camera.focal_px },
        centre: camera.centre,
    }
}

fn crease(kind: Kind) -> f64 {
    match kind {
        Kind::Cowl | Kind::Skin | Kind::Glass => 12.0,
        _ => 35.0,
    }
}

/// A part's livery in daylight.
struct Paints<'a> {
    kind: Kind,
    shot: &'a Shot,
    daylight: &'a Daylight,
}

impl Paint for Paints<'_> {
    fn light(&self, spot: &Spot) -> [f32; 3] {
        let finish = if self.kind == Kind::Pole {
            livery::pole(self.along_pole(spot.position), spot.mm_per_px)
        } else {
            livery::finish(self.kind, spot.position, spot.normal, spot.mm_per_px)
        };
        let eye = Vector3::from(self.shot.camera.eye());
        let to_eye = (eye - Vector3::from(spot.position)).normalize().cast::<f32>();
        film(self.daylight.on(spot.position, spot.normal, to_eye.into(), &finish))
    }
}

impl Paints<'_> {
    /// Distance along the nearest of the shot's poles from its first end.
    fn along_pole(&self, position: [f64; 3]) -> f64 {
        let p = Vector3::from(position);
        let along = self.shot.poles.iter().map(|&(from, along)| {
            let offset = p - Vector3::from(from);
            let along = offset.dot(&Vector3::from(along));
            (along, offset.norm_squared() - along * along)
        });
        along.min_by(|a, b| a.1.total_cmp(&b.1)).map_or(0.0, |nearest| nearest.0)
    }
}

/// The subject before the field, in the renderer's square-root scale, 0 to 1.
fn expose(shot: &Shot, camera: &Camera, daylight: &Daylight, subject: &shade::Picture) -> Vec<[f32; 3]> {
    let [width, height] = shot.size;
    let angle = 1.0 / shot.camera.focal_px;
    let row = |y: u32| -> Vec<[f32; 3]> {
        (0..width)
            .map(|x| {
                let pixel = subject.pixel(x, y).unwrap_or_default();
                let cover = f32::from(pixel[3]) / 255.0;
                let own = shade::from_srgb([pixel[0], pixel[1], pixel[2]]);
                let behind = if cover < 1.0 { behind(camera, daylight, [x, y], angle) } else { [0.0; 3] };
                std::array::from_fn(|i| (own[i] * cover + behind[i] * (1.0 - cover)).max(0.0).sqrt())
            })
            .collect()
    };
    let half = height / 2;
    std::thread::scope(|scope| {
        let lower = scope.spawn(|| (half..height).map(row).collect::<Vec<_>>());
        let mut rows: Vec<_> = (0..half).map(row).collect();
        rows.extend(lower.join().unwrap_or_default());
        rows.concat()
    })
}

/// The field's light at a pixel, from four lines of sight.
fn behind(camera: &Camera, daylight: &Daylight, [x, y]: [u32; 2], angle: f64) -> [f32; 3] {
    let mut sum = [0.0; 3];
    for [dx, dy] in [[0.25, 0.25], [0.75, 0.25], [0.25, 0.75], [0.75, 0.75]] {
        let (start, along) = camera.sight([f64::from(x) + dx, f64::from(y) + dy]);
        let light = film(field::light(daylight, start, along, angle));
        sum = std::array::from_fn(|i| sum[i] + light[i] / 4.0);
    }
    sum
}

/// Softens as a lens does (evenly to all sides, so nothing shifts), darkens the corners and adds grain.
fn grained(exposed: &[[f32; 3]], [width, height]: [u32; 2]) -> Vec<u8> {
    let at = |x: i64, y: i64| {
        let (x, y) = (x.clamp(0, i64::from(width) - 1), y.clamp(0, i64::from(height) - 1));
        exposed[(y * i64::from(width) + x) as usize]
    };
    let mut bytes = Vec::with_capacity(3 * exposed.len());
    for y in 0..i64::from(height) {
        for x in 0..i64::from(width) {
            let (middle, l, r, u, d) = (at(x, y), at(x - 1, y), at(x + 1, y), at(x, y - 1), at(x, y + 1));
            let grain = (noise::at(x, y, 71) + noise::at(x, y, 72) + noise::at(x, y, 73) - 1.5) * 0.016;
            let corner = ((x as f32 / width as f32 - 0.5).powi(2) + (y as f32 / height as f32 - 0.5).powi(2)) * 0.22;
            for i in 0..3 {
                let soft = 0.64 * middle[i] + 0.09 * (l[i] + r[i] + u[i] + d[i]);
                bytes.push(((soft * (1.0 - corner) + grain).clamp(0.0, 1.0) * 255.0 + 0.5) as u8);
            }
        }
    }
    bytes
}
