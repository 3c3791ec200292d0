//! What dragging an added form changes: its place, or which way it lies.

use crate::floor::layout::View;
use form::meeting::Placed;
use project::mount::Mount;

/// Where the handle of its way lies, as a place of the form's own axes: the rear end in side view and plan, the top in the face view.
pub(super) fn way_end(view: View, length: f64, height: f64) -> [f64; 3] {
    match view {
        View::Side | View::Plan => [length, 0.0, 0.0],
        View::Face | View::Body => [0.0, 0.0, height],
    }
}

/// Its place brought to a place of a view; the third coordinate stays.
pub(super) fn placed(mount: &Mount, view: View, [a, b]: [f64; 2]) -> Mount {
    let [x, y, z] = mount.place;
    let place = match view {
        View::Side => [a, y, b],
        View::Plan => [a, b, z],
        View::Face | View::Body => [x, -a, b],
    };
    Mount { place, ..*mount }
}

/// Turned so that the handle of its way points at a place of a view: by the pitch in the side view, the yaw in the plan, the roll in
/// the face view. `None` where the handle lies on the place itself or cannot be turned there.
pub(super) fn turned(mount: &Mount, view: View, at: [f64; 2]) -> Option<Mount> {
    let from = crate::floor::airframe::seen(view, mount.place);
    let [a, b] = [at[0] - from[0], at[1] - from[1]];
    if a.hypot(b) < 1e-6 {
        return None;
    }
    let mut next = *mount;
    match view {
        // The axis is (cos p cos y, cos p sin y, -sin p).
        View::Side => {
            let cos_yaw = mount.yaw_deg.to_radians().cos();
            next.pitch_deg = (-b * cos_yaw.abs()).atan2(a * cos_yaw.signum()).to_degrees();
        }
        View::Plan => {
            let ahead = mount.pitch_deg.to_radians().cos().signum();
            next.yaw_deg = (b * ahead).atan2(a * ahead).to_degrees();
        }
        View::Face | View::Body => next.roll_deg = roll(mount, [-a, b])?,
    }
    Some(next)
}

/// The roll by which the form's own up, as the face view shows it, lies along a way (to starboard, up): up is cos r · u + sin r · v
/// of the directions u and v that own up and own starboard have without roll.
fn roll(mount: &Mount, way: [f64; 2]) -> Option<f64> {
    let level = Placed::new(&Mount { roll_deg: 0.0, ..*mount });
    let [u, v] = [[0.0, 0.0, 1.0], [0.0, 1.0, 0.0]].map(|own| {
        let [_, y, z] = level.way_to_first(own);
        [y, z]
    });
    let cross = |p: [f64; 2]| p[0] * way[1] - p[1] * way[0];
    let (cu, cv) = (cross(u), cross(v));
    if cu.hypot(cv) < 1e-9 {
        return None;
    }
    let (sin, cos) = (-cu / cu.hypot(cv), cv / cu.hypot(cv));
    let along = (0..2).map(|k| (cos * u[k] + sin * v[k]) * way[k]).sum::<f64>();
    let [sin, cos] = if along < 0.0 { [-sin, -cos] } else { [sin, cos] };
    Some(sin.atan2(cos).to_degrees())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::floor::airframe::seen;

    fn end(mount: &Mount, view: View) -> [f64; 2] {
        seen(view, Placed::new(mount).to_first(way_end(view, 80.0, 30.0)))
    }

    fn mounts() -> [Mount; 3] {
        let turned = |roll_deg, pitch_deg, yaw_deg| Mount {
            place: [100.0, 60.0, -20.0],
            roll_deg,
            pitch_deg,
            yaw_deg,
            mirrored: false,
        };
        [turned(0.0, 0.0, 0.0), turned(95.0, -8.0, 12.0), turned(-150.0, 20.0, 170.0)]
    }

    /// A handle dragged to where it is changes nothing; dragged elsewhere, it lies on the ray from the place through the pointer.
    #[test]
    fn the_way_points_at_the_pointer() {
        for mount in mounts() {
            for view in [View::Side, View::Plan, View::Face] {
                let at = end(&mount, view);
                let still = turned(&mount, view, at).expect("apart");
                let again = end(&still, view);
                assert!((again[0] - at[0]).hypot(again[1] - at[1]) < 1e-6, "{view:?} {mount:?} {still:?}");
                let place = seen(view, mount.place);
                for by in [[5.0, 9.0], [-6.0, 3.0]] {
                    let to = [at[0] + by[0], at[1] + by[1]];
                    let next = end(&turned(&mount, view, to).expect("apart"), view);
                    let [a, b] = [[to[0] - place[0], to[1] - place[1]], [next[0] - place[0], next[1] - place[1]]];
                    let sine = (a[0] * b[1] - a[1] * b[0]) / (a[0].hypot(a[1]) * b[0].hypot(b[1]));
                    assert!(sine.abs() < 1e-9 && a[0] * b[0] + a[1] * b[1] > 0.0, "{view:?} {mount:?}");
                }
            }
        }
    }

    #[test]
    fn the_place_comes_to_the_pointer_in_every_view() {
        for mount in mounts() {
            for view in [View::Side, View::Plan, View::Face] {
                let next = placed(&mount, view, [7.0, -3.0]);
                assert_eq!(seen(view, next.place), [7.0, -3.0]);
                assert_eq!(Mount { place: mount.place, ..next }, mount);
            }
        }
    }
}
