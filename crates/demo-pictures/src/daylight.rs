//! Sun and sky: how bright a spot is, and what mirrors in it.
//!
//! The sun's shadow and the share of the sky that a spot sees are both read from depth maps, one looking from the sun,
//! the others from directions spread over the sky.

use nalgebra::{Matrix3, Vector3};
use shade::{Body, Camera, DepthMap, Lens, depth_map};

/// Around this point, mm at full size, things throw shadows,
const MIDDLE: [f64; 3] = [1100.0, 0.0, -150.0];
/// as far as this, mm.
const REACH: f64 = 4600.0;
/// Pixels a side of the sun's map.
const SUN_MAP: u32 = 4096;
/// Pixels a side of each map of the sky.
const SKY_MAP: u32 = 1280;
/// Directions over the sky.
const SKY_DIRECTIONS: u32 = 64;

/// Amounts of light of the sun and of the grass that throws it back.
const SUN: [f32; 3] = [2.20, 2.06, 1.80];
const BOUNCE: [f32; 3] = [0.27, 0.29, 0.19];

/// What a surface does with light.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Finish {
    /// Share of light thrown back evenly, by colour.
    pub albedo: [f32; 3],
    /// Share mirrored when looked at squarely: about 0.04 for lacquer, 0.6 for bare metal, 0 for rubber.
    pub mirror: f32,
    /// How blurred the mirrored is, 0 sharp to 1.
    pub blur: f32,
}

/// The light of one afternoon on one group of bodies.
pub struct Daylight {
    sun: Vector3<f32>,
    sun_map: Shadow,
    sky: Vec<(Vector3<f32>, Shadow)>,
}

impl Daylight {
    /// Light on the bodies with the sun towards a direction.
    pub fn new(bodies: &[&Body], towards_sun: [f64; 3]) -> Self {
        let sky = (0..SKY_DIRECTIONS).map(|i| {
            let towards = spread(i);
            (towards.cast(), Shadow::new(bodies, towards, SKY_MAP))
        });
        let towards_sun = Vector3::from(towards_sun).normalize();
        Self { sun: towards_sun.cast(), sun_map: Shadow::new(bodies, towards_sun, SUN_MAP), sky: sky.collect() }
    }

    /// The light that a spot sends to the eye, as the film sees it. `normal` and `to_eye` have length 1.
    pub fn on(&self, position: [f64; 3], normal: [f32; 3], to_eye: [f32; 3], finish: &Finish) -> [f32; 3] {
        let (n, eye) = (Vector3::from(normal), Vector3::from(to_eye));
        let lifted = Vector3::from(position) + n.cast::<f64>() * 9.0;
        let sunlit = if n.dot(&self.sun) > 0.0 { self.sun_map.lit(&lifted, 2.0) } else { 0.0 };
        let (from_sky, open) = self.skylight(&lifted, &n);
        let towards_sun = n.dot(&self.sun).max(0.0) * sunlit;
        let below = (0.5 - 0.5 * n.z) * (0.25 + 0.75 * open);
        let facing = n.dot(&eye).clamp(0.0, 1.0);
        let mirrored = (eye * -1.0 + n * (2.0 * n.dot(&eye))).normalize();
        let share = finish.mirror + (1.0 - finish.mirror) * fifth_power(1.0 - facing) * (1.0 - 0.7 * finish.blur);
        let share = if finish.mirror > 0.0 { share } else { 0.0 };
        let surroundings = surroundings(&mirrored, finish.blur);
        let glint = glint(mirrored.dot(&self.sun), finish.blur) * sunlit;
        std::array::from_fn(|i| {
            let matt = finish.albedo[i] * (SUN[i] * towards_sun + from_sky[i] + BOUNCE[i] * below);
            let metal = if finish.mirror > 0.3 { finish.albedo[i] } else { 1.0 };
            matt * (1.0 - share) + metal * share * (surroundings[i] * (0.35 + 0.65 * open) + SUN[i] * glint)
        })
    }

    /// Light from the sky on a spot, and the share of the sky over it that is open.
    fn skylight(&self, at: &Vector3<f64>, normal: &Vector3<f32>) -> ([f32; 3], f32) {
        let (mut light, mut open, mut all) = ([0.0; 3], 0.0, 0.0);
        for (towards, shadow) in &self.sky {
            let cosine = normal.dot(towards);
            if cosine <= 0.0 {
                continue;
            }
            all += cosine;
            let seen = shadow.open(at) * cosine;
            open += seen;
            let colour = sky(towards.z);
            light = std::array::from_fn(|i| light[i] + colour[i] * seen);
        }
        let even = 2.0 / SKY_DIRECTIONS as f32;
        (light.map(|c| c * even * 0.85), if all > 0.0 { open / all } else { 1.0 })
    }
}

/// Light of the sky at a height, by the sine of the angle: pale at the horizon, blue above.
pub fn sky(up: f32) -> [f32; 3] {
    let t = up.clamp(0.0, 1.0).sqrt();
    let (low, high) = ([0.98, 1.08, 1.18], [0.24, 0.46, 0.90]);
    std::array::from_fn(|i| low[i] + (high[i] - low[i]) * t)
}

/// Film and print: bright light is held back softly (after Narkowicz's curve, coefficients from memory).
pub fn film(light: [f32; 3]) -> [f32; 3] {
    let print = light.map(|c| {
        let c = c.max(0.0) * 0.66;
        (c * (2.51 * c + 0.03) / (c * (2.43 * c + 0.59) + 0.14)).clamp(0.0, 1.0)
    });
    // The curve deepens colours; a photograph's are milder.
    let grey = 0.3 * print[0] + 0.6 * print[1] + 0.1 * print[2];
    print.map(|c| c + (grey - c) * 0.16)
}

/// What a mirror sees in a direction: sky, a dark line of trees, grass.
fn surroundings(towards: &Vector3<f32>, blur: f32) -> [f32; 3] {
    let edge = 0.02 + 0.35 * blur;
    let above = smoothstep(-edge, edge, towards.z - 0.05);
    let trees = (1.0 - smoothstep(0.0, 0.05 + edge, (towards.z - 0.02).abs())) * (1.0 - blur) * 0.75;
    let (sky, grass, dark) = (sky(towards.z), [0.24, 0.27, 0.14], [0.09, 0.12, 0.09]);
    std::array::from_fn(|i| {
        let plain = grass[i] + (sky[i] - grass[i]) * above;
        plain + (dark[i] - plain) * trees
    })
}

/// The sun's mirror image, sharp on lacquer, broad on what is blurred.
fn glint(cosine: f32, blur: f32) -> f32 {
    let x = cosine.max(0.0);
    let power = if blur < 0.3 { 9 } else { 5 };
    let sharpened = (0..power).fold(x, |x, _| x * x);
    sharpened * if blur < 0.3 { 14.0 } else { 1.6 }
}

fn fifth_power(x: f32) -> f32 {
    (x * x) * (x * x) * x
}

/// 0 below `from`, 1 above `to`, smooth between.
pub fn smoothstep(from: f32, to: f32, x: f32) -> f32 {
    let t = ((x - from) / (to - from)).clamp(0.0, 1.0);
    t * t * (3.0 - 2.0 * t)
}

/// Directions spread evenly over the upper half of a ball (a Fibonacci spiral).
fn spread(i: u32) -> Vector3<f64> {
    let up = (f64::from(i) + 0.5) / f64::from(SKY_DIRECTIONS);
    let around = f64::from(i) * std::f64::consts::PI * (3.0 - 5.0_f64.sqrt());
    let (sin, cos) = around.sin_cos();
    let level = (1.0 - up * up).sqrt();
    Vector3::new(level * cos, level * sin, up)
}

/// What lies between a direction and everything else.
struct Shadow {
    camera: Camera,
    map: DepthMap,
    mm_per_px: f64,
}

impl Shadow {
    fn new(bodies: &[&Body], towards: Vector3<f64>, side: u32) -> Self {
        let forward = -towards;
        let aside = if towards.z.abs() < 0.9 { Vector3::z() } else { Vector3::x() };
        let right = forward.cross(&aside).normalize();
        let down = forward.cross(&right);
        let rotation = Matrix3::from_rows(&[right.transpose(), down.transpose(), forward.transpose()]);
        let mm_per_px = 2.0 * REACH / f64::from(side);
        let camera = Camera {
            rotation,
            translation: -(rotation * Vector3::from(MIDDLE)),
            lens: Lens::Orthographic { px_per_mm: 1.0 / mm_per_px },
            centre: [f64::from(side) / 2.0; 2],
        };
        Self { camera, map: depth_map(bodies, &camera, [side; 2]), mm_per_px }
    }

    /// 1 if nothing stands before the spot, 0 if something does.
    fn open(&self, at: &Vector3<f64>) -> f32 {
        let [x, y, z] = self.place(at);
        self.step(x, y, z)
    }

    /// The same, softened over a disc of a radius in pixels.
    fn lit(&self, at: &Vector3<f64>, radius: f64) -> f32 {
        let [x, y, z] = self.place(at);
        let mut sum = 0.0;
        for i in -2..=2 {
            for j in -2..=2 {
                sum += self.step(x + f64::from(i) * radius / 2.0, y + f64::from(j) * radius / 2.0, z);
            }
        }
        sum / 25.0
    }

    fn place(&self, at: &Vector3<f64>) -> [f64; 3] {
        let p = self.camera.to_camera((*at).into());
        [p.x / self.mm_per_px + self.camera.centre[0], p.y / self.mm_per_px + self.camera.centre[1], p.z]
    }

    fn step(&self, x: f64, y: f64, z: f64) -> f32 {
        if x < 0.0 || y < 0.0 {
            return 1.0;
        }
        let depth = self.map.depth(x as usize, y as usize);
        if depth.is_some_and(|d| d < z - 0.7 * self.mm_per_px) { 0.0 } else { 1.0 }
    }
}
