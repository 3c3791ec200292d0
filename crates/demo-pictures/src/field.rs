//! What stands behind the aircraft: grass, a line of trees, hills and sky, by the direction of sight.

use crate::airframe::GROUND;
use crate::daylight::{Daylight, Finish, sky, smoothstep};
use crate::noise;

/// How far away the trees stand, mm.
const TREES: f64 = 110_000.0;

/// Light along a line of sight from `start`; `along` has length 1 and `px` is the angle of a pixel, radians.
pub fn light(daylight: &Daylight, start: [f64; 3], along: [f64; 3], px: f64) -> [f32; 3] {
    let level = along[0].hypot(along[1]).max(1e-9);
    let rise = along[2] / level;
    let around = along[1].atan2(along[0]);
    if rise < 0.0 {
        let distance = (GROUND - start[2]) / along[2];
        if distance * level < TREES {
            return grass(daylight, start, along, distance, px);
        }
    }
    beyond(around, rise + (start[2] - GROUND) / TREES)
}

/// Trees up to their tops, then hills, then sky. `rise` is the tangent of the height over the trees' feet.
fn beyond(around: f64, rise: f64) -> [f32; 3] {
    let at = around * 110.0;
    let top = 0.022 + 0.030 * f64::from(noise::layered(at, 0.0, 5.0, 0.05, 11));
    let crown = noise::layered(at, rise * 150.0, 1.3, 0.05, 23);
    let tree = [0.085, 0.125, 0.07].map(|c| c * (0.10 + 1.9 * crown * crown + 0.3 * crown));
    let hazy = blend(tree, [0.52, 0.60, 0.66], 0.22);
    let hill_top = 0.026 + 0.044 * f64::from(noise::layered(at, 5.0, 26.0, 1.0, 31));
    let hill = blend([0.20, 0.27, 0.24], [0.62, 0.71, 0.79], 0.72);
    let up = (rise as f32).max(0.0);
    let far = blend(hill, open_sky(around, up), smoothstep(-0.0006, 0.0006, (rise - hill_top) as f32));
    blend(hazy, far, smoothstep(-0.0008, 0.0008, (rise - top) as f32))
}

/// Fair-weather sky with thin cloud.
fn open_sky(around: f64, rise: f32) -> [f32; 3] {
    let plain = sky(rise * 1.9 + 0.04).map(|c| c * 1.18);
    let height = 1.0 / (f64::from(rise) + 0.12);
    let cloud = noise::layered(around * height * 1.1, height * 1.6, 2.6, 0.02, 41);
    blend(plain, [1.5, 1.49, 1.46], 0.8 * smoothstep(0.42, 0.70, cloud))
}

fn grass(daylight: &Daylight, start: [f64; 3], along: [f64; 3], distance: f64, px: f64) -> [f32; 3] {
    let at: [f64; 3] = std::array::from_fn(|i| start[i] + along[i] * distance);
    // A pixel reaches far along the ground where it is seen at a grazing angle.
    let footprint = px * distance / along[2].abs().max(0.02);
    let blades = noise::layered(at[0], at[1], 160.0, footprint, 53);
    let patches = noise::layered(at[0], at[1], 5200.0, footprint.max(300.0), 61);
    let mown = smoothstep(-0.25, 0.25, (at[1] / 2600.0).sin() as f32);
    let tone = 0.50 + 0.85 * blades * (0.75 + 0.5 * patches);
    let green = blend([0.105, 0.142, 0.052], [0.170, 0.178, 0.080], 0.65 * patches + 0.35 * mown);
    let finish = Finish { albedo: green.map(|c| c * tone), mirror: 0.0, blur: 1.0 };
    let to_eye = along.map(|c| -c as f32);
    let lit = daylight.on([at[0], at[1], GROUND], [0.0, 0.0, 1.0], to_eye, &finish);
    blend(lit, [0.60, 0.68, 0.72], smoothstep(20_000.0, 400_000.0, distance as f32) * 0.8)
}

fn blend(a: [f32; 3], b: [f32; 3], t: f32) -> [f32; 3] {
    std::array::from_fn(|i| a[i] + (b[i] - a[i]) * t)
}
