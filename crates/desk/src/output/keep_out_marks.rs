//! Where keep-outs pass through a cross plane, to be dashed on the former there.

use fit::solid::Placed;
use project::airframe::Airframe;

/// Generators around a keep-out.
const AROUND: usize = 72;

/// Name and outline (y to starboard, z up, mm) of every keep-out that the cross plane at this station meets. Round ones are
/// polygons of 72 corners on their surface.
pub(super) fn outlines(airframe: &Airframe, station: f64) -> Vec<(String, Vec<[f64; 2]>)> {
    let shaft = airframe.thrust.as_ref().map(fit::thrust::shaft);
    let outline = |k: &project::airframe::KeepOut| {
        let solid = Placed::of(k, shaft.as_ref()).ok()?;
        let outline = outline(&solid, station);
        (outline.len() > 2).then(|| (k.name.clone(), outline))
    };
    airframe.keep_outs.iter().filter_map(outline).collect()
}

/// The closed outline in which the plane cuts a solid; the solids are convex, so its corners are in order by their direction from
/// their middle.
fn outline(solid: &Placed, station: f64) -> Vec<[f64; 2]> {
    let mut met: Vec<[f64; 2]> =
        (0..AROUND).flat_map(|i| crossings(solid, i as f64 / AROUND as f64, station)).collect();
    let count = met.len().max(1) as f64;
    let middle = [0, 1].map(|k| met.iter().map(|p| p[k]).sum::<f64>() / count);
    let direction = |p: &[f64; 2]| (p[1] - middle[1]).atan2(p[0] - middle[0]);
    met.sort_by(|a, b| direction(a).total_cmp(&direction(b)));
    met.extend(met.first().copied());
    met
}

/// Where the way over the solid, from the centre of its front over both edges to that of its rear, meets the plane.
fn crossings(solid: &Placed, round: f64, station: f64) -> impl Iterator<Item = [f64; 2]> {
    let corners = [0.0, 1.0, 2.0, 3.0].map(|along| solid.surface(round, along));
    let cross = move |w: [[f64; 3]; 2]| {
        let [a, b] = w;
        let share = (station - a[0]) / (b[0] - a[0]);
        let meets = (a[0] < station) != (b[0] < station);
        meets.then(|| [1, 2].map(|k| a[k] + share * (b[k] - a[k])))
    };
    [[corners[0], corners[1]], [corners[1], corners[2]], [corners[2], corners[3]]].into_iter().filter_map(cross)
}

#[cfg(test)]
mod tests {
    use super::*;
    use project::airframe::{KeepOut, KeepOutPlace, Solid};

    /// Closed form: a cylinder along x has its own circle in every cross plane, and one that leans an ellipse.
    #[test]
    fn a_leaning_cylinder_shows_an_ellipse() {
        let motor = |pitch_deg: f64| KeepOut {
            name: "Motor".to_owned(),
            shape: Solid::Cylinder { diameter: 40.0, length: 60.0 },
            place: KeepOutPlace::Free { front: [100.0, 3.0, 5.0], pitch_deg, yaw_deg: 0.0 },
            clearance: 2.0,
        };
        for pitch in [0.0, 20.0_f64] {
            let airframe = Airframe { keep_outs: vec![motor(pitch)], ..Airframe::default() };
            let all = outlines(&airframe, 130.0);
            let (tall, drop) = (20.0 / pitch.to_radians().cos(), 30.0 * pitch.to_radians().tan());
            for p in &all[0].1 {
                let on = ((p[0] - 3.0) / 20.0).powi(2) + ((p[1] - 5.0 + drop) / tall).powi(2);
                assert!((on - 1.0).abs() < 1e-9, "pitch {pitch}: {p:?}");
            }
            assert!(outlines(&airframe, 300.0).is_empty());
        }
    }
}
