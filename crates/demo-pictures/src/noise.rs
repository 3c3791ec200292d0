//! Noise that is the same everywhere: from whole numbers, without a random generator.

/// A number from 0 to 1 for a place on a lattice.
pub fn at(x: i64, y: i64, seed: u32) -> f32 {
    let mut h = (x as u64).wrapping_mul(0x9E37_79B9_7F4A_7C15)
        ^ (y as u64).wrapping_mul(0xC2B2_AE3D_27D4_EB4F)
        ^ u64::from(seed).wrapping_mul(0x1656_67B1_9E37_79F9);
    h = (h ^ (h >> 29)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    h = (h ^ (h >> 32)).wrapping_mul(0x94D0_49BB_1331_11EB);
    ((h >> 40) as f32) / 16_777_216.0
}

/// Smooth noise from 0 to 1 that changes over a distance of about 1.
pub fn smooth(x: f64, y: f64, seed: u32) -> f32 {
    let (cell_x, cell_y) = (x.floor(), y.floor());
    let ease = |t: f32| t * t * (3.0 - 2.0 * t);
    let (u, v) = (ease((x - cell_x) as f32), ease((y - cell_y) as f32));
    let (i, j) = (cell_x as i64, cell_y as i64);
    let row = |j: i64| at(i, j, seed) * (1.0 - u) + at(i + 1, j, seed) * u;
    row(j) * (1.0 - v) + row(j + 1) * v
}

/// Several sizes of smooth noise together, each half as strong and half as wide as the one before, about 0.5. Sizes
/// below `finest` are left out.
pub fn layered(x: f64, y: f64, widest: f64, finest: f64, seed: u32) -> f32 {
    let (mut sum, mut strength, mut width) = (0.5, 0.5, widest);
    for octave in 0..9 {
        if width < finest {
            break;
        }
        sum += strength * (smooth(x / width, y / width, seed + octave) - 0.5);
        strength /= 2.0;
        width /= 2.0;
    }
    sum
}
