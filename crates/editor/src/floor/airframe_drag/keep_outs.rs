//! Dragging keep-outs: where they are, how large, how long, which way they lie.

use crate::floor::airframe::{keep_outs::rim_of, seen};
use crate::floor::item::Item;
use crate::floor::layout::View;
use fit::solid::Placed;
use fit::thrust::Shaft;
use project::airframe::{KeepOut, KeepOutPlace, Solid};
use project::promise::MIN_SIZE;

/// Brings a handle to a place of its view.
pub(super) fn moved(keep_out: &mut KeepOut, shaft: Option<&Shaft>, item: Item, view: View, at: [f64; 2]) -> Option<()> {
    match item {
        Item::KeepOut(_) => place(keep_out, shaft, view, at),
        Item::KeepOutFront(_) => across(keep_out, shaft, view, at, [0.0, 1.0]),
        Item::KeepOutRearSize(_) => across(keep_out, shaft, view, at, [3.0, 2.0]),
        Item::KeepOutRear(_) => rear(keep_out, shaft, view, at),
        _ => None,
    }
}

fn place(keep_out: &mut KeepOut, shaft: Option<&Shaft>, view: View, [a, b]: [f64; 2]) -> Option<()> {
    match &mut keep_out.place {
        KeepOutPlace::OnThrustLine { behind_hub } => {
            let shaft = shaft?;
            *behind_hub = (a - shaft.hub[0]) / -shaft.ahead[0];
        }
        KeepOutPlace::Free { front, .. } => match view {
            View::Side => (front[0], front[2]) = (a, b),
            View::Plan => (front[0], front[1]) = (a, b),
            View::Face | View::Body => (front[1], front[2]) = (-a, b),
        },
    }
    Some(())
}

/// Sets what a solid measures across, by the distance of its rim from its centre as the view shows both.
fn across(
    keep_out: &mut KeepOut,
    shaft: Option<&Shaft>,
    view: View,
    at: [f64; 2],
    [centre, rim]: [f64; 2],
) -> Option<()> {
    let solid = Placed::of(keep_out, shaft).ok()?;
    let middle = seen(view, solid.surface(0.0, centre));
    let edge = seen(view, solid.surface(rim_of(view), rim));
    let from = [at[0] - middle[0], at[1] - middle[1]];
    let now = [edge[0] - middle[0], edge[1] - middle[1]];
    let size = across_of(&mut keep_out.shape, view, rim > 1.5)?;
    let length = now[0].hypot(now[1]);
    // A cone's point shows no rim yet.
    let share = if length > 0.05 { (from[0] * now[0] + from[1] * now[1]) / (length * length) } else { 0.0 };
    *size = if length > 0.05 { *size * share } else { 2.0 * from[0].hypot(from[1]) }.max(MIN_SIZE);
    Some(())
}

fn across_of(shape: &mut Solid, view: View, rear: bool) -> Option<&mut f64> {
    match shape {
        Solid::Cylinder { diameter, .. } => Some(diameter),
        Solid::Box { height, .. } if view == View::Side => Some(height),
        Solid::Box { breadth, .. } => Some(breadth),
        Solid::Cone { rear_diameter, .. } if rear => Some(rear_diameter),
        Solid::Cone { front_diameter, .. } => Some(front_diameter),
    }
}

/// Brings the rear's centre to a place: on the thrust line by the length alone, else by length and turn.
fn rear(keep_out: &mut KeepOut, shaft: Option<&Shaft>, view: View, [a, b]: [f64; 2]) -> Option<()> {
    let solid = Placed::of(keep_out, shaft).ok()?;
    let (front, end) = (solid.surface(0.0, 0.0), solid.surface(0.0, 3.0));
    let back = (a - front[0]).max(MIN_SIZE);
    if let KeepOutPlace::Free { pitch_deg, yaw_deg, .. } = &mut keep_out.place {
        let degrees = |across: f64| (across / back).atan().to_degrees();
        if view == View::Side {
            *pitch_deg = degrees(front[2] - b);
        } else {
            *yaw_deg = degrees(b - front[1]);
        }
    }
    let solid = Placed::of(keep_out, shaft).ok()?;
    let turned = solid.surface(0.0, 3.0);
    let along = (turned[0] - front[0]) / solid.length();
    let wanted = if along > 1e-3 { back / along } else { (end[0] - front[0]).hypot(end[2] - front[2]) };
    match &mut keep_out.shape {
        Solid::Cylinder { length, .. } | Solid::Box { length, .. } | Solid::Cone { length, .. } => {
            *length = wanted.max(MIN_SIZE);
        }
    }
    Some(())
}
