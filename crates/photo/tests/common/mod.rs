//! What several tests need: seeded chance, and the nose whose camera is known.

#![allow(dead_code, unreachable_pub, reason = "each test file uses its part")]
#![allow(clippy::unwrap_used, reason = "the lint knows test functions, not what they call")]

pub mod views;

use nalgebra::{Matrix3, Vector3};
use photo::{Camera, Landmark};

/// The same chance on every machine. Source: G. L. Steele et al., "Fast splittable pseudorandom number generators", 2014
/// (SplitMix64).
pub struct Chance(pub u64);

impl Chance {
    /// Evenly between 0 and 1.
    pub fn share(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// Evenly between two numbers.
    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.share()
    }

    /// Normal with deviation 1. Source: G. E. P. Box and M. E. Muller, 1958.
    pub fn normal(&mut self) -> f64 {
        let (u, v) = (1.0 - self.share(), self.share());
        (-2.0 * u.ln()).sqrt() * (std::f64::consts::TAU * v).cos()
    }
}

/// A nose at full size, 85 mm equivalent on 6000 x 4000, projected with OpenCV in another program.
pub fn nose_camera() -> Camera {
    Camera {
        rotation: Matrix3::new(
            -0.6691306063588582,
            0.7431448254773942,
            0.0,
            0.023211944604571256,
            0.020900128797973386,
            -0.9995120760870787,
            -0.7427822273462801,
            -0.6688041215351482,
            -0.031234752377721213,
        ),
        translation: Vector3::new(529.9514402362155, -33.501480277637526, 8591.7163952196),
        focal_px: 14166.666666666666,
        centre: [3000.0, 2000.0],
    }
}

/// Its landmarks with the pixels of the other program.
pub fn nose_landmarks(sigma_mm: f64, sigma_px: f64) -> Vec<Landmark> {
    let table: [(&str, [f64; 3], [f64; 2]); 8] = [
        ("crown aft", [72.0, 2.8763889781462825e-14, 469.62496875], [3800.7365719459867, 1166.9330499691905]),
        (
            "crown amidships",
            [720.0, 2.705704021866184e-14, 429.37500000000006],
            [3084.8527467296253, 1214.5601256573639],
        ),
        ("ring top", [1440.0, 1.6532731788489267e-14, 220.0], [2182.6448228813183, 1585.345605484785]),
        ("ring port", [1440.0, 270.0, -50.0], [2550.5859337233255, 2107.1551056769677]),
        ("ring bottom", [1440.0, 1.6532731788489267e-14, -320.0], [2184.4751397110326, 2601.430903084638]),
        ("breadth aft", [72.0, 599.7112466484374, -0.12500000000000003], [4614.671258244388, 1966.6231381933487]),
        ("lower aft", [72.0, 398.71315101088334, -398.8381510108833], [4330.600543736578, 2641.5444500033464]),
        ("ring starboard", [1440.0, -270.0, -49.999999999999964], [1833.7412105398805, 2081.3790035953616]),
    ];
    let landmark = |(name, at, pixel): &(&str, [f64; 3], [f64; 2])| Landmark {
        name: (*name).into(),
        at: *at,
        sigma_mm,
        pixel: *pixel,
        sigma_px,
    };
    table.iter().map(landmark).collect()
}

/// The landmarks, each moved by chance as its deviations say.
pub fn disturbed(exact: &[Landmark], chance: &mut Chance) -> Vec<Landmark> {
    let mut all = exact.to_vec();
    for landmark in &mut all {
        landmark.at = landmark.at.map(|c| c + landmark.sigma_mm * chance.normal());
        landmark.pixel = landmark.pixel.map(|c| c + landmark.sigma_px * chance.normal());
    }
    all
}

/// The angle between two poses, degrees.
pub fn degrees_between(a: &Matrix3<f64>, b: &Matrix3<f64>) -> f64 {
    // By the chord, which is exact near zero.
    (2.0 * ((a - b).norm() / 8.0_f64.sqrt()).min(1.0).asin()).to_degrees()
}
