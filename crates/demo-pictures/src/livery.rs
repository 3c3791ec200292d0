//! How each part is painted, by the place on it. Lengths are mm at full size.

use crate::airframe::{EXHAUST_HEIGHT, EXHAUSTS, Kind, PROPELLER, WHEEL};
use crate::daylight::{Finish, smoothstep};
use crate::noise;
use crate::ostrel::{LENGTH, SCALE, WIDEST};

/// Stations of the panel joints that run round the cowl, mm aft at full size.
pub const JOINTS: [f64; 3] = [72.0 * SCALE, WIDEST * SCALE, LENGTH * SCALE];
/// Height of the joint between the upper and the lower half of the cowl, mm at full size.
pub const SPLIT: f64 = -64.0;
/// Marks of 60 mm diameter, black and white by quarters, on the fuselage's port and starboard side: their x and z, mm.
pub const MARKS: [[f64; 2]; 2] = [[1500.0, -60.0], [1750.0, -12.0]];
/// Radius of a mark, mm.
const MARK_RADIUS: f64 = 30.0;

const BLUE: [u8; 3] = [30, 68, 88];
const CREAM: [u8; 3] = [226, 218, 196];
const ORANGE: [u8; 3] = [206, 92, 46];
const MATT: [u8; 3] = [52, 56, 54];

/// The finish of a spot; `px` is how many mm a pixel of the picture spans there.
pub fn finish(kind: Kind, [x, y, z]: [f64; 3], normal: [f32; 3], px: f64) -> Finish {
    match kind {
        Kind::Cowl => cowl(x, y, z, normal, px),
        Kind::Skin => skin(x, y, z, px),
        Kind::Glass => glass(x, y, z, px),
        Kind::Spinner => lacquer(mixed(BLUE, ORANGE, step(x, -140.0, px))),
        Kind::Blade => blade(y.hypot(z), px),
        Kind::Exhaust => exhaust(y, normal),
        Kind::Leg => lacquer(colour(CREAM)),
        Kind::Tyre => tyre(x, z),
        Kind::Pole => Finish { albedo: colour([200, 60, 40]), mirror: 0.04, blur: 0.4 },
    }
}

/// A pole's bands, by the distance from its first end.
pub fn pole(along: f64, px: f64) -> Finish {
    let band = (along / 400.0).fract() * 400.0;
    let white = step(band, 200.0, px);
    Finish { albedo: mixed([206, 44, 34], [240, 240, 236], white), mirror: 0.04, blur: 0.4 }
}

fn cowl(x: f64, y: f64, z: f64, normal: [f32; 3], px: f64) -> Finish {
    let mut finish = livery(x, y, z, px);
    let joints = JOINTS.iter().map(|at| (x - at).abs()).fold(f64::INFINITY, f64::min);
    groove(&mut finish, joints, 3.2, px);
    if x > JOINTS[0] && z < 60.0 && y.abs() > 40.0 {
        groove(&mut finish, (z - SPLIT).abs(), 2.6, px);
        rivets(&mut finish, x, z - SPLIT, px);
    }
    for at in JOINTS {
        let around = y.abs().atan2(z + 90.0) * 300.0;
        rivets(&mut finish, around, x - at + 22.0, px);
    }
    hatch(&mut finish, x, z, y, px);
    louvres(&mut finish, x, z, y, px);
    soot(&mut finish, x, z, y);
    intakes(&mut finish, x, y, z, normal, px);
    finish
}

/// Blue above, cream below, an orange line between that sweeps up over the nose's flank.
fn livery(x: f64, y: f64, z: f64, px: f64) -> Finish {
    let t = (x / (SCALE * LENGTH)).clamp(0.0, 3.0);
    let edge = -22.0 + 92.0 * t * (1.0 - 0.36 * t);
    let mut albedo = mixed(CREAM, ORANGE, step(z, edge, px));
    albedo = blend(albedo, colour(CREAM), step(z, edge + 34.0, px));
    albedo = blend(albedo, colour(BLUE), step(z, edge + 46.0, px));
    let mut finish = lacquer(albedo);
    let matt = step(150.0 - 0.012 * x, y.abs(), px) * step(x, 300.0, px) * step(z, 100.0, px);
    finish.albedo = blend(finish.albedo, colour(MATT), matt);
    finish.mirror *= 1.0 - 0.7 * matt;
    finish.blur += 0.6 * matt;
    finish
}

fn lacquer(albedo: [f32; 3]) -> Finish {
    Finish { albedo, mirror: 0.045, blur: 0.0 }
}

/// A narrow dark line where `distance` from its middle is small.
fn groove(finish: &mut Finish, distance: f64, width: f64, px: f64) {
    let line = line(distance, width, px);
    finish.albedo = finish.albedo.map(|c| c * (1.0 - 0.72 * line));
    finish.mirror *= 1.0 - line;
}

/// A row of rivet heads of 6 mm every 42 mm, along `along`, at 0 of `aside`.
fn rivets(finish: &mut Finish, along: f64, aside: f64, px: f64) {
    let nearest = (along / 42.0 + 0.5).fract() - 0.5;
    let nearest = if nearest < -0.5 { nearest + 1.0 } else { nearest };
    let dot = line((nearest * 42.0).hypot(aside), 6.0, px);
    finish.albedo = finish.albedo.map(|c| c * (1.0 - 0.34 * dot));
}

/// The oil filler's hatch on the upper port side.
fn hatch(finish: &mut Finish, x: f64, z: f64, y: f64, px: f64) {
    if y > 0.0 {
        return;
    }
    let (half_length, half_height, round) = (88.0, 46.0, 18.0);
    let outside = |d: f64, half: f64| (d.abs() - half + round).max(0.0);
    let (dx, dz) = (x - 1030.0, z - 98.0);
    let distance = outside(dx, half_length).hypot(outside(dz, half_height)) - round;
    let inside = (dx.abs() - half_length).max(dz.abs() - half_height);
    let distance = if outside(dx, half_length) > 0.0 || outside(dz, half_height) > 0.0 { distance } else { inside };
    groove(finish, distance.abs(), 2.6, px);
    for side in [-54.0, 54.0] {
        let screw = line((dx - side).hypot(dz), 11.0, px);
        finish.albedo = finish.albedo.map(|c| c * (1.0 - 0.4 * screw));
    }
}

/// Slits behind the last exhaust stub, dark above, bright on their lower lip.
fn louvres(finish: &mut Finish, x: f64, z: f64, y: f64, px: f64) {
    if y.abs() < 100.0 {
        return;
    }
    for slit in 0..5 {
        let lean = 0.22 * (z + 215.0);
        let dx = x - (1236.0 + 33.0 * f64::from(slit)) - lean;
        let dz = (z + 215.0).abs() - 52.0;
        let dark = line(dx.hypot(dz.max(0.0)), 13.0, px);
        let lip = line((dx - 10.0).hypot(dz.max(0.0)), 5.0, px);
        finish.albedo = blend(finish.albedo.map(|c| c * (1.0 - 0.93 * dark)), [0.75, 0.72, 0.66], 0.3 * lip);
        finish.mirror *= 1.0 - dark;
    }
}

/// What the exhaust leaves behind each stub.
fn soot(finish: &mut Finish, x: f64, z: f64, y: f64) {
    if y.abs() < 90.0 {
        return;
    }
    for at in EXHAUSTS {
        let behind = x - at;
        let middle = EXHAUST_HEIGHT - 34.0 - 0.10 * behind;
        let width = 42.0 + 0.05 * behind.max(0.0);
        let across = ((z - middle) / width) as f32;
        let along = smoothstep(-46.0, 40.0, behind as f32) * (1.0 - smoothstep(60.0, 520.0, behind as f32));
        let streaks = 0.55 + 0.9 * (noise::layered(x / 3.0, z, 34.0, 4.0, 7) - 0.5);
        let dark = (along * (-across * across).exp() * streaks).clamp(0.0, 0.72);
        finish.albedo = blend(finish.albedo, [0.035, 0.032, 0.03], dark);
        finish.mirror *= 1.0 - 0.8 * dark;
    }
}

/// The opening in the chin, painted on.
fn intakes(finish: &mut Finish, x: f64, y: f64, z: f64, normal: [f32; 3], px: f64) {
    if normal[0] > -0.12 || x > 260.0 {
        return;
    }
    // An oval that smiles: its middle line rises a little to both sides with the ring's curve.
    let share = (y / 122.0).hypot((z + 208.0 - 0.0008 * y * y) / 42.0);
    let lip = step(1.16, share, px / 60.0);
    finish.albedo = blend(finish.albedo, colour(BLUE), lip);
    let dark = step(1.0, share, px / 60.0);
    finish.albedo = blend(finish.albedo, [0.012, 0.012, 0.013], dark);
    finish.mirror *= 1.0 - 0.95 * dark;
}

fn skin(x: f64, y: f64, z: f64, px: f64) -> Finish {
    let mut finish = livery(x, y, z, px);
    if y.abs() < 330.0 && x > 1400.0 {
        for at in [1990.0, 2620.0, 3300.0, 4000.0] {
            groove(&mut finish, (x - at).abs(), 3.0, px);
        }
        for [mx, mz] in MARKS {
            mark(&mut finish, x - mx, z - mz, px);
        }
    } else if y.abs() >= 330.0 {
        finish.albedo = mixed(CREAM, ORANGE, step(y.abs(), 3500.0, px));
        groove(&mut finish, (y.abs() - 1300.0).abs(), 3.0, px);
        groove(&mut finish, (y.abs() - 2400.0).abs(), 3.0, px);
    }
    finish
}

/// A round mark, black and white by quarters, whose middle can be picked exactly.
fn mark(finish: &mut Finish, dx: f64, dz: f64, px: f64) {
    let inside = step(MARK_RADIUS, dx.hypot(dz), px);
    let white = step(dx, 0.0, px) * step(dz, 0.0, px) + step(0.0, dx, px) * step(0.0, dz, px);
    finish.albedo = blend(finish.albedo, blend([0.015; 3], [0.86; 3], white), inside);
}

/// Dark glass between painted frames.
fn glass(x: f64, y: f64, z: f64, px: f64) -> Finish {
    let bow = [2130.0, 2900.0].iter().map(|at| (x - at).abs()).fold(f64::INFINITY, f64::min);
    let frame =
        line(bow, 52.0, px).max(step(288.0 + 0.004 * x, z, px)).max(line(y.abs(), 26.0, px) * step(x, 2100.0, px));
    let screen = line(y.abs(), 26.0, px) * step(2150.0, x, px);
    let frame = frame.max(screen).max(step(x, 3240.0, px));
    Finish {
        albedo: blend([0.018, 0.024, 0.026], colour(BLUE), frame),
        mirror: 0.075 + (0.045 - 0.075) * frame,
        blur: 0.0,
    }
}

/// Varnished wood with a white tip and an orange ring on it.
fn blade(radius: f64, px: f64) -> Finish {
    let grain = 0.8 + 0.4 * noise::layered(radius / 12.0, 0.0, 6.0, 1.0, 3);
    let wood = colour([126, 78, 44]).map(|c| c * grain);
    let tip = PROPELLER / 2.0;
    let white = blend(wood, colour([236, 232, 222]), step(radius, tip - 150.0, px));
    let ring = step(radius, tip - 110.0, px) * step(tip - 80.0, radius, px);
    Finish { albedo: blend(white, colour(ORANGE), ring), mirror: 0.05, blur: 0.15 }
}

/// Burnt steel, black where one looks into the pipe.
fn exhaust(y: f64, normal: [f32; 3]) -> Finish {
    let into = smoothstep(0.50, 0.58, normal[0]) * smoothstep(0.2, 0.4, (f64::from(normal[1]) * y.signum()) as f32);
    Finish { albedo: blend(colour([104, 86, 72]), [0.01; 3], into), mirror: 0.10 * (1.0 - into), blur: 0.7 }
}

fn tyre(x: f64, z: f64) -> Finish {
    let radius = (x - WHEEL[0]).hypot(z - WHEEL[1]);
    let rim = 1.0 - smoothstep(116.0, 120.0, radius as f32);
    let cap = 1.0 - smoothstep(44.0, 47.0, radius as f32);
    Finish {
        albedo: blend(blend([0.03, 0.03, 0.032], [0.34, 0.34, 0.33], rim), colour(ORANGE), cap),
        mirror: 0.03,
        blur: 0.8,
    }
}

/// 0 where `a` lies below `b`, 1 where above, softened over a pixel.
fn step(a: f64, b: f64, px: f64) -> f32 {
    (0.5 + (a - b) / px.max(1e-6)).clamp(0.0, 1.0) as f32
}

/// How much of a pixel a line of that width covers at a distance from its middle.
fn line(distance: f64, width: f64, px: f64) -> f32 {
    let cover = (0.5 + (width / 2.0 - distance) / px.max(1e-6)).clamp(0.0, 1.0);
    (cover * (width / px.max(1e-6)).min(1.0)) as f32
}

fn colour(screen: [u8; 3]) -> [f32; 3] {
    shade::from_srgb(screen)
}

fn mixed(a: [u8; 3], b: [u8; 3], t: f32) -> [f32; 3] {
    blend(colour(a), colour(b), t)
}

fn blend(a: [f32; 3], b: [f32; 3], t: f32) -> [f32; 3] {
    std::array::from_fn(|i| a[i] + (b[i] - a[i]) * t)
}
