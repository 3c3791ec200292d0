//! What colour a seen spot has.

use nalgebra::Vector3;

/// A spot on a body's surface that is seen at a pixel.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spot {
    /// Where it is, mm in project axes.
    pub position: [f64; 3],
    /// The surface's normal on the side that is seen, length 1, in project axes.
    pub normal: [f32; 3],
    /// The same normal in camera axes: x right, y down, z away from the eye.
    pub normal_in_camera: [f32; 3],
    /// From the spot towards the eye, length 1, in camera axes.
    pub to_eye_in_camera: [f32; 3],
    /// How many mm a pixel of the picture spans there, square to the line of sight.
    pub mm_per_px: f64,
}

/// Paint and light together: from a spot to its light, in amounts as [`crate::from_srgb`] gives them.
pub trait Paint: Sync {
    /// The light that reaches the eye.
    fn light(&self, spot: &Spot) -> [f32; 3];
}

/// Paint of one colour under soft studio lights that stay with the eye, so no side of a form is ever in the dark.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Studio {
    /// The paint's colour for a screen.
    pub colour: [u8; 3],
    /// How strongly the lights mirror in it, 0 matt to 1 lacquer.
    pub gloss: f32,
}

impl Default for Studio {
    fn default() -> Self {
        Self { colour: [206, 205, 200], gloss: 0.35 }
    }
}

/// A lamp: towards it in camera axes, and how strong it is.
struct Lamp {
    towards: [f32; 3],
    strength: f32,
}

/// Key from above left, fill from the right. A body between them shows both its bows and its flats.
const LAMPS: [Lamp; 2] =
    [Lamp { towards: [-0.50, -0.68, -0.54], strength: 0.70 }, Lamp { towards: [0.80, -0.05, -0.60], strength: 0.20 }];

/// Light from all round, stronger from above.
const AMBIENT: f32 = 0.16;

impl Paint for Studio {
    fn light(&self, spot: &Spot) -> [f32; 3] {
        let normal = Vector3::from(spot.normal_in_camera);
        let eye = Vector3::from(spot.to_eye_in_camera);
        let mut matt = AMBIENT * (0.75 + 0.45 * spot.normal[2]);
        let mut mirrored = 0.0;
        for lamp in &LAMPS {
            let towards = Vector3::from(lamp.towards);
            matt += lamp.strength * wrapped(normal.dot(&towards));
            let between = towards + eye;
            let facing = normal.dot(&between) / between.norm().max(1e-6);
            mirrored += lamp.strength * sixteenth_power(facing.max(0.0));
        }
        let grazing = 1.0 - normal.dot(&eye).clamp(0.0, 1.0);
        let rim = 0.14 * grazing * grazing * grazing * (0.5 - 0.5 * normal.y).clamp(0.0, 1.0);
        let shine = self.gloss * (0.22 * mirrored + rim);
        crate::colour::from_srgb(self.colour).map(|paint| paint * matt * 1.25 + shine)
    }
}

/// A large lamp reaches a little round the corner: the cosine, softened below a quarter.
fn wrapped(cosine: f32) -> f32 {
    let reach = ((cosine + 0.25) / 1.25).clamp(0.0, 1.0);
    reach * (0.35 + 0.65 * reach)
}

fn sixteenth_power(x: f32) -> f32 {
    let x4 = (x * x) * (x * x);
    let x8 = x4 * x4;
    x8 * x8
}
