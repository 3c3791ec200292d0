//! What a builder picks and traces in the photographs.
//!
//! Every pixel here was read off the picture files by eye under a magnifying grid, to a whole or half pixel; none is projected
//! from the known form or by the known cameras. If the pictures are made anew with other cameras, pick anew. Places are what a
//! tape on the machine gives, at the model, rounded to half a millimetre.

use project::photograph::{FocalLength, Landmark, LandmarkPlace, Photograph, Trace, Traced};

/// What is known of the photograph of this name.
pub fn photograph(name: &str) -> Photograph {
    match name {
        "Side" => side(),
        "Face" => face(),
        "Three-quarter" => three_quarter(),
        _ => Photograph::default(),
    }
}

/// The camera wrote 120 mm (35-mm equivalent).
fn side() -> Photograph {
    let crown = |station| LandmarkPlace::Crown { station };
    let keel = |station| LandmarkPlace::Keel { station };
    let tied = |name: &str, place, pixel| Landmark { name: name.into(), place, trust_mm: 1.0, pixel, used: true };
    let mut landmarks = vec![
        at(SPINNER_TIP, [413.5, 411.0]),
        at(UPPER_BLADE, [495.5, 12.0]),
        at(LOWER_BLADE, [521.0, 787.5]),
        at(MARK_1, [1216.5, 426.0]),
        at(MARK_2, [1327.0, 404.0]),
        at(FORWARD_JOINT, [679.0, 434.5]),
        at(MIDDLE_JOINT, [934.5, 431.5]),
        at(FIREWALL_CORNER, [1189.5, 428.5]),
        at(PORT_AXLE, [1275.0, 883.5]),
        at(("ranging pole, foot", [-190.0, 0.0, -307.5], 2.0), [233.0, 947.5]),
        at(("ranging pole, top", [-190.0, 0.0, 192.5], 2.0), [223.0, 80.0]),
    ];
    landmarks.extend([
        tied("crown at the firewall", crown(360.0), [1183.0, 294.5]),
        tied("keel at the firewall", keel(360.0), [1185.5, 580.0]),
        tied("crown at the middle joint", crown(216.0), [930.5, 302.5]),
        tied("keel at the middle joint", keel(216.0), [933.5, 586.0]),
    ]);
    Photograph { focal: focal(5233.0), landmarks, ..Photograph::default() }
}

/// The camera wrote 110 mm.
fn face() -> Photograph {
    let landmarks = vec![
        at(SPINNER_TIP, [600.5, 534.0]),
        at(UPPER_BLADE, [763.0, 111.0]),
        at(LOWER_BLADE, [438.5, 955.5]),
        at(("lying pole, starboard end", [216.0, 250.0, -304.0], 2.0), [165.5, 1059.0]),
        at(("lying pole, port end", [216.0, -250.0, -304.0], 2.0), [1026.0, 1066.5]),
        at(("standing pole, foot", [216.0, 265.0, -307.5], 2.0), [140.0, 1065.5]),
        at(("standing pole, top", [216.0, 265.0, 192.5], 2.0), [147.5, 204.0]),
    ];
    Photograph { focal: focal(4315.0), landmarks, ..Photograph::default() }
}

/// The camera wrote 105 mm.
fn three_quarter() -> Photograph {
    let landmarks = vec![
        at(UPPER_BLADE, [675.5, 66.0]),
        at(LOWER_BLADE, [413.5, 1002.5]),
        at(MARK_1, [1191.0, 493.0]),
        at(MARK_2, [1256.5, 454.5]),
        at(FORWARD_JOINT, [783.5, 574.5]),
        at(MIDDLE_JOINT, [1009.0, 538.0]),
        at(FIREWALL_CORNER, [1174.5, 499.5]),
        at(PORT_AXLE, [1475.0, 1015.5]),
        at(("starboard wheel axle, inboard", [390.0, 207.5, -260.5], 1.5), [786.0, 875.5]),
    ];
    let traces = vec![
        Trace { of: Traced::Outline, points: UPPER_OUTLINE.to_vec() },
        Trace { of: Traced::Outline, points: LOWER_OUTLINE.to_vec() },
        Trace { of: Traced::Seam { station: 72.0 }, points: FORWARD_SEAM.to_vec() },
        Trace { of: Traced::Seam { station: 216.0 }, points: MIDDLE_SEAM.to_vec() },
    ];
    Photograph { focal: focal(4712.0), landmarks, traces, ..Photograph::default() }
}

/// A place as a builder measures it: name, mm at the model, how far it may be off.
type Measured = (&'static str, [f64; 3], f64);

const SPINNER_TIP: Measured = ("spinner tip", [-82.5, 0.0, 0.0], 2.0);
const UPPER_BLADE: Measured = ("upper blade tip", [-27.5, -83.5, 222.5], 2.0);
const LOWER_BLADE: Measured = ("lower blade tip", [-27.5, 83.5, -222.5], 2.0);
const MARK_1: Measured = ("port mark 1", [375.0, -72.5, -15.0], 0.5);
const MARK_2: Measured = ("port mark 2", [437.5, -69.5, -3.0], 0.5);
const FORWARD_JOINT: Measured = ("forward joint at the split, port", [72.0, -59.5, -16.0], 1.0);
const MIDDLE_JOINT: Measured = ("middle joint at the split, port", [216.0, -79.0, -16.0], 1.0);
const FIREWALL_CORNER: Measured = ("firewall corner at the split, port", [360.0, -73.5, -16.0], 1.0);
const PORT_AXLE: Measured = ("port wheel axle", [390.0, -237.5, -260.5], 1.5);

fn at((name, place, trust_mm): Measured, pixel: [f64; 2]) -> Landmark {
    Landmark { name: name.into(), place: LandmarkPlace::At(place), trust_mm, pixel, used: true }
}

/// What the camera wrote, by the diagonal, trusted to 5 %.
fn focal(px: f64) -> Option<FocalLength> {
    Some(FocalLength { px, tolerance_px: 0.05 * px })
}

/// From the blade aft to the firewall, the cowl against wing and field.
const UPPER_OUTLINE: [[f64; 2]; 19] = [
    [640.0, 423.5],
    [660.0, 415.5],
    [680.0, 408.5],
    [700.0, 401.0],
    [720.0, 395.5],
    [740.0, 389.5],
    [760.0, 384.5],
    [780.0, 379.5],
    [800.0, 374.5],
    [820.0, 370.5],
    [840.0, 366.0],
    [860.0, 361.5],
    [880.0, 357.5],
    [900.0, 353.5],
    [920.0, 349.5],
    [940.0, 345.5],
    [960.0, 341.5],
    [980.0, 338.5],
    [1000.0, 335.0],
];

/// From the air intake aft to the firewall, the cowl against shadow and field; where the leg stands behind it nothing is traced.
const LOWER_OUTLINE: [[f64; 2]; 21] = [
    [650.0, 672.5],
    [670.0, 679.5],
    [690.0, 685.5],
    [710.0, 690.5],
    [730.0, 694.5],
    [750.0, 698.0],
    [770.0, 700.0],
    [790.0, 702.5],
    [854.0, 705.0],
    [878.0, 703.5],
    [890.0, 703.0],
    [930.0, 699.0],
    [950.0, 695.5],
    [970.0, 693.0],
    [990.0, 689.5],
    [1010.0, 685.5],
    [1030.0, 680.5],
    [1050.0, 673.5],
    [1070.0, 668.0],
    [1090.0, 661.0],
    [1110.0, 654.0],
];

/// The joint 288 mm aft of the front face.
const FORWARD_SEAM: [[f64; 2]; 19] = [
    [710.0, 424.0],
    [720.0, 428.5],
    [730.0, 435.5],
    [740.0, 443.0],
    [750.0, 453.5],
    [760.0, 467.0],
    [767.0, 480.0],
    [773.0, 493.0],
    [777.0, 506.0],
    [780.5, 519.0],
    [783.5, 542.0],
    [783.5, 574.0],
    [779.5, 606.0],
    [770.0, 633.0],
    [762.0, 647.0],
    [753.0, 659.0],
    [742.0, 670.0],
    [730.0, 678.5],
    [720.0, 682.5],
];

/// The joint 864 mm aft of the front face; an exhaust stub hides a piece of it.
const MIDDLE_SEAM: [[f64; 2]; 20] = [
    [910.0, 372.5],
    [930.0, 379.0],
    [940.5, 382.5],
    [950.5, 389.5],
    [960.5, 397.0],
    [970.0, 405.0],
    [980.0, 416.0],
    [987.5, 426.5],
    [992.0, 438.0],
    [1000.0, 467.5],
    [1005.0, 494.5],
    [1008.5, 522.5],
    [1009.0, 555.0],
    [1008.0, 572.5],
    [1001.0, 623.5],
    [996.0, 638.5],
    [989.5, 652.5],
    [981.0, 666.0],
    [970.0, 678.5],
    [960.5, 686.0],
];
