//! One pick drawn to the strongest edge near it.

use super::curve::Frame;
use super::measure::Measure;
use super::strip::{Sampling, Strip, is_on, margin, samples};
use super::{Doubt, EdgePoint, FollowError, Following, check_picture, check_settings};
use crate::Photo;

/// Rows along the edge that are averaged.
const ROWS: i32 = 6;

/// The strongest edge within the half width of `at`, nearer ones preferred; `how` says how far and at which scale.
///
/// # Errors
/// A place that is no number or not on the picture, a setting out of range, no edge near.
pub fn snap(picture: &Photo, at: [f64; 2], how: &Following) -> Result<EdgePoint, FollowError> {
    check_picture(picture)?;
    check_settings(how)?;
    if !at.iter().all(|c| c.is_finite()) {
        return Err(FollowError::NotANumber(0));
    }
    if !is_on(picture, at) {
        return Err(FollowError::OffPicture);
    }
    let (place, normal) = strongest(picture, at, how).ok_or(FollowError::NoEdge)?;
    let frames: Vec<Frame> = (-ROWS..=ROWS)
        .map(f64::from)
        .map(|k| Frame { at: [place[0] - k * normal[1], place[1] + k * normal[0]], normal, source: 0 })
        .collect();
    let row = ROWS as usize;
    let reach = samples(how.half_width) + margin(how.scale);
    let strip = Strip::sampled(picture, &frames, reach, Sampling::Measured);
    let strip = strip.averaged_along(1.5).differentiated_across(how.scale);
    let Measure { offset, strength, signal_to_noise, deviation, .. } =
        strip.measure(row, reach, how.scale).filter(|m| m.signal_to_noise >= 5.0).ok_or(FollowError::NoEdge)?;
    let rival = strip.has_rival(row, reach, samples(how.half_width), |_| 1.0);
    let doubt = rival.then_some(Doubt::TwoEdges);
    Ok(EdgePoint { pixel: frames[row].across(offset), strength, signal_to_noise, deviation, doubt })
}

/// Place and normal of the strongest change of colour, on a lattice of whole pixels about `at`: the larger eigenvalue of the
/// tensor of all colours' gradients (S. Di Zenzo, CVGIP 33, 1986).
fn strongest(picture: &Photo, at: [f64; 2], how: &Following) -> Option<([f64; 2], [f64; 2])> {
    let half = how.half_width.floor() as i32;
    let derivative = |normal: [f64; 2]| {
        let frame = |k: i32| {
            let k = f64::from(k);
            Frame { at: [at[0] + k * normal[1], at[1] + k * normal[0]], normal, source: 0 }
        };
        let frames: Vec<Frame> = (-half..=half).map(frame).collect();
        let reach = samples(f64::from(half)) + margin(how.scale);
        let strip = Strip::sampled(picture, &frames, reach, Sampling::Seen);
        strip.averaged_along(how.scale).differentiated_across(how.scale)
    };
    let (by_x, by_y) = (derivative([1.0, 0.0]), derivative([0.0, 1.0]));
    let read = |strip: &Strip, row: i32, across: i32| {
        strip.at((row + half) as usize, (strip.reach as i32 + 2 * across) as usize)
    };
    let (mut best, mut found) = (0.0, None);
    for (x, y) in (-half..=half).flat_map(|y| (-half..=half).map(move |x| (x, y))) {
        let away = f64::from(x * x + y * y) / (how.half_width * how.half_width);
        let (dx, dy) = (read(&by_x, y, x), read(&by_y, x, y));
        let sum = |a: [f32; 3], b: [f32; 3]| f64::from(a[0] * b[0] + a[1] * b[1] + a[2] * b[2]);
        let (xx, xy, yy) = (sum(dx, dx), sum(dx, dy), sum(dy, dy));
        let larger = 0.5 * (xx + yy) + (0.25 * (xx - yy) * (xx - yy) + xy * xy).sqrt();
        let worth = larger.sqrt() * (1.0 - 0.6 * away);
        if away <= 1.0 && worth > best {
            let turn = 0.5 * (2.0 * xy).atan2(xx - yy);
            best = worth;
            found = Some(([at[0] + f64::from(x), at[1] + f64::from(y)], [turn.cos(), turn.sin()]));
        }
    }
    found
}
