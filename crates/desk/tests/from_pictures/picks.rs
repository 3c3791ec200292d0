//! What a builder picks by hand in the demo's picture files: coarse pixels, read by eye under a magnifying grid.
//!
//! None is projected from the known form or by the known cameras. Places are what a tape on the machine gives, at the model,
//! rounded to half a millimetre; none lies on the form itself.

use project::photograph::{Landmark, LandmarkPlace};

type Measured = (&'static str, [f64; 3], f64);

const SPINNER_TIP: Measured = ("spinner tip", [-82.5, 0.0, 0.0], 2.0);
const UPPER_BLADE: Measured = ("upper blade tip", [-27.5, -83.5, 222.5], 2.0);
const LOWER_BLADE: Measured = ("lower blade tip", [-27.5, 83.5, -222.5], 2.0);
const MARK_1: Measured = ("port mark 1", [375.0, -72.5, -15.0], 0.5);
const MARK_2: Measured = ("port mark 2", [437.5, -69.5, -3.0], 0.5);
const PORT_AXLE: Measured = ("port wheel axle", [390.0, -237.5, -260.5], 1.5);
const STARBOARD_AXLE: Measured = ("starboard wheel axle, inboard", [390.0, 207.5, -260.5], 1.5);
const FORWARD_JOINT: Measured = ("forward joint at the split, port", [72.0, -59.5, -16.0], 1.0);
const MIDDLE_JOINT: Measured = ("middle joint at the split, port", [216.0, -79.0, -16.0], 1.0);
const FIREWALL_CORNER: Measured = ("firewall corner at the split, port", [360.0, -73.5, -16.0], 1.0);

fn at((name, place, trust_mm): Measured, pixel: [f64; 2]) -> Landmark {
    Landmark { name: name.into(), place: LandmarkPlace::At(place), trust_mm, pixel, used: true }
}

/// The camera wrote 120 mm, 110 mm and 105 mm (35-mm equivalent).
pub(crate) const FOCALS: [f64; 3] = [5233.0, 4315.0, 4712.0];

pub(crate) fn landmarks() -> [Vec<Landmark>; 3] {
    let side = vec![
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
    let face = vec![
        at(SPINNER_TIP, [600.5, 534.0]),
        at(UPPER_BLADE, [763.0, 111.0]),
        at(LOWER_BLADE, [438.5, 955.5]),
        at(("lying pole, starboard end", [216.0, 250.0, -304.0], 2.0), [165.5, 1059.0]),
        at(("lying pole, port end", [216.0, -250.0, -304.0], 2.0), [1026.0, 1066.5]),
        at(("standing pole, foot", [216.0, 265.0, -307.5], 2.0), [140.0, 1065.5]),
        at(("standing pole, top", [216.0, 265.0, 192.5], 2.0), [147.5, 204.0]),
    ];
    let three_quarter = vec![
        at(UPPER_BLADE, [675.5, 66.0]),
        at(LOWER_BLADE, [413.5, 1002.5]),
        at(MARK_1, [1191.0, 493.0]),
        at(MARK_2, [1256.5, 454.5]),
        at(FORWARD_JOINT, [783.5, 574.5]),
        at(MIDDLE_JOINT, [1009.0, 538.0]),
        at(FIREWALL_CORNER, [1174.5, 499.5]),
        at(PORT_AXLE, [1475.0, 1015.5]),
        at(STARBOARD_AXLE, [786.0, 875.5]),
    ];
    [side, face, three_quarter]
}

/// Against the sky, from the ring to the joint at the firewall.
pub(crate) const CROWN: [[f64; 2]; 29] = [
    [556.0, 352.5],
    [560.0, 349.0],
    [570.0, 343.5],
    [580.0, 339.5],
    [590.0, 336.0],
    [600.0, 333.5],
    [610.0, 331.0],
    [620.0, 329.0],
    [630.0, 327.5],
    [640.0, 326.0],
    [650.0, 324.0],
    [660.0, 323.0],
    [680.0, 320.0],
    [700.0, 317.5],
    [720.0, 315.0],
    [740.0, 313.0],
    [760.0, 312.0],
    [780.0, 310.0],
    [820.0, 308.0],
    [840.0, 306.5],
    [860.0, 305.5],
    [880.0, 304.5],
    [920.0, 302.0],
    [960.0, 301.0],
    [1000.0, 299.5],
    [1040.0, 298.0],
    [1080.0, 297.0],
    [1120.0, 295.5],
    [1180.0, 294.0],
];

/// Against wood and grass, to where the shaded belly ends in a lit rim as bright as the grass.
pub(crate) const KEEL_FRONT: [[f64; 2]; 26] = [
    [557.0, 466.5],
    [558.0, 468.5],
    [560.0, 471.0],
    [562.0, 473.5],
    [564.0, 475.0],
    [567.0, 478.0],
    [580.0, 487.5],
    [590.0, 494.0],
    [600.0, 500.5],
    [610.0, 506.0],
    [620.0, 511.5],
    [630.0, 515.5],
    [640.0, 520.5],
    [650.0, 525.5],
    [660.0, 529.0],
    [670.0, 533.0],
    [680.0, 536.5],
    [700.0, 543.5],
    [720.0, 550.0],
    [740.0, 555.0],
    [760.0, 560.0],
    [780.0, 564.5],
    [800.0, 568.0],
    [820.0, 572.0],
    [840.0, 575.5],
    [870.0, 579.5],
];

/// Where only the colour changes: from the rim to the grass.
pub(crate) const KEEL_REAR: [[f64; 2]; 9] = [
    [900.0, 583.5],
    [934.0, 586.0],
    [960.0, 587.5],
    [1000.0, 589.0],
    [1040.0, 589.0],
    [1080.0, 588.5],
    [1120.0, 586.0],
    [1160.0, 582.5],
    [1180.0, 581.0],
];

/// To starboard, above and below the exhausts: the outer side of the rim that mirrors what is beside it.
pub(crate) const FACE_STARBOARD: [[f64; 2]; 17] = [
    [485.5, 480.0],
    [481.0, 490.0],
    [478.0, 500.0],
    [473.5, 510.0],
    [471.0, 520.0],
    [468.0, 530.0],
    [466.0, 540.0],
    [464.0, 550.0],
    [463.5, 560.0],
    [463.0, 570.0],
    [462.5, 580.0],
    [463.5, 590.0],
    [471.5, 640.0],
    [475.5, 650.0],
    [480.0, 660.0],
    [486.0, 670.0],
    [493.0, 680.0],
];

/// To port.
pub(crate) const FACE_PORT: [[f64; 2]; 17] = [
    [714.0, 480.0],
    [718.5, 490.0],
    [722.0, 500.0],
    [726.0, 510.0],
    [730.0, 520.0],
    [732.0, 530.0],
    [734.5, 540.0],
    [735.5, 550.0],
    [736.5, 560.0],
    [736.5, 570.0],
    [736.5, 580.0],
    [736.0, 590.0],
    [727.5, 640.0],
    [724.0, 650.0],
    [720.0, 660.0],
    [714.5, 670.0],
    [707.5, 680.0],
];

pub(crate) const THREE_QUARTER_UPPER: [[f64; 2]; 19] = [
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

pub(crate) const THREE_QUARTER_LOWER: [[f64; 2]; 21] = [
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

/// The joint 288 mm aft of the front face at full size.
pub(crate) const FORWARD_SEAM: [[f64; 2]; 19] = [
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

/// The joint 864 mm aft of it.
pub(crate) const MIDDLE_SEAM: [[f64; 2]; 20] = [
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
