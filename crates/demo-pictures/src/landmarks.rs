//! Points that can be found on the aircraft in more than one picture, mm at full size.

use crate::airframe::{BLADE_ANGLE, BLADES, NoSkin, PROPELLER, SPINNER_TIP, fuselage, skin_of};
use crate::livery::{JOINTS, MARKS};
use crate::ostrel::{self, LENGTH, SCALE};

/// A point that can be found on the aircraft.
#[derive(Clone, Debug, PartialEq)]
pub struct Landmark {
    /// What it is.
    pub name: String,
    /// Where it is, mm at full size.
    pub at: [f64; 3],
}

/// All landmarks.
///
/// # Errors
/// A form cannot be lofted, which would be a mistake in this crate.
pub fn landmarks() -> Result<Vec<Landmark>, NoSkin> {
    let mut all = vec![named("spinner tip".into(), [SPINNER_TIP, 0.0, 0.0])];
    for (label, side) in [("upper", 1.0), ("lower", -1.0)] {
        let (sin, cos) = BLADE_ANGLE.sin_cos();
        let tip = side * PROPELLER / 2.0;
        all.push(named(format!("{label} blade tip"), [BLADES, -tip * sin, tip * cos]));
    }
    let cowl = skin_of(&ostrel::cowl())?;
    for x in JOINTS {
        let Some(section) = cowl.loft().section((x / SCALE).min(LENGTH)) else { continue };
        all.push(named(format!("crown at the joint {x} mm aft"), [x, 0.0, SCALE * section.crown()]));
        all.push(named(format!("keel at the joint {x} mm aft"), [x, 0.0, SCALE * section.keel()]));
    }
    for (number, [x, z]) in (1..).zip(MARKS) {
        let Some(y) = half_breadth(x, z)? else { continue };
        all.push(named(format!("port mark {number}"), [x, -y, z]));
        all.push(named(format!("starboard mark {number}"), [x, y, z]));
    }
    Ok(all)
}

fn named(name: String, at: [f64; 3]) -> Landmark {
    Landmark { name, at }
}

/// Half-breadth of the fuselage at a station and height, all mm at full size.
fn half_breadth(x: f64, z: f64) -> Result<Option<f64>, NoSkin> {
    let skin = skin_of(&fuselage())?;
    let outline = skin.loft().section(x / SCALE).map(|section| section.polyline(0.001)).unwrap_or_default();
    let z = z / SCALE;
    let crossing = outline.windows(2).find(|pair| pair[0][1] >= z && pair[1][1] < z);
    Ok(crossing.map(|pair| {
        let t = (pair[0][1] - z) / (pair[0][1] - pair[1][1]);
        SCALE * (pair[0][0] + t * (pair[1][0] - pair[0][0]))
    }))
}
