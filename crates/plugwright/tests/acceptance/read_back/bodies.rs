//! Random bodies as tables of offsets, and random plugs for them as a builder's project file says it.

use crate::tables::{Station, text};
use proptest::prelude::*;
use std::f64::consts::FRAC_PI_2;

/// What the upper half of every section is like.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Upper {
    /// A superelliptic quarter of this exponent.
    Round(f64),
    /// It leaves the centre plane at an angle.
    Ridge,
    /// A corner at these shares of breadth and height.
    Knuckle(f64, f64),
}

#[derive(Clone, Debug)]
pub(crate) struct Body {
    pub(crate) length: f64,
    breadth: f64,
    heights: (f64, f64),
    upper: Upper,
    lower: f64,
    /// Share of the full size at a flat front; a point if there is none.
    pub(crate) front: Option<f64>,
    rear: f64,
    /// By how much the breadth line rises with the size, mm.
    rise: f64,
    /// Ratios of the distances between stations.
    spacing: Vec<f64>,
}

impl Body {
    pub(crate) fn has_ridge(&self) -> bool {
        matches!(self.upper, Upper::Ridge)
    }

    pub(crate) fn table(&self) -> String {
        let whole: f64 = self.spacing.iter().sum();
        let mut sum = 0.0;
        let mut stations = vec![self.station(0.0)];
        for s in &self.spacing {
            sum += s / whole;
            // A point is followed by stations that lie close.
            let t = if self.front.is_none() { sum.powf(1.6) } else { sum };
            stations.push(self.station(t.min(1.0)));
        }
        text(&stations)
    }

    fn station(&self, t: f64) -> Station {
        let bow = 1.0 - (1.0 - t) * (1.0 - t);
        let front = self.front.map_or_else(|| bow.sqrt(), |share| share + (1.0 - share) * bow);
        let k = front * (1.0 - (1.0 - self.rear) * t.powi(3));
        let x = self.length * t;
        if k == 0.0 {
            return (x, vec![[0.0, 0.0]]);
        }
        let place = |[u, v]: Point| {
            let high = if v > 0.0 { self.heights.0 } else { self.heights.1 };
            [self.breadth * k * u, self.rise * k + high * k * v]
        };
        (x, self.unit().into_iter().map(place).collect())
    }

    /// A half section of breadth 1, from 1 down to -1.
    fn unit(&self) -> Vec<Point> {
        let steps = |n: usize| (0..=n).map(move |i| i as f64 / n as f64);
        let quarter = |n: f64, s: f64| {
            let (sin, cos) = (FRAC_PI_2 * s).sin_cos();
            if s == 0.0 { [0.0, 1.0] } else { [sin.powf(2.0 / n), cos.max(0.0).powf(2.0 / n)] }
        };
        let mut points: Vec<Point> = match self.upper {
            Upper::Round(n) => steps(10).map(|s| quarter(n, s)).collect(),
            Upper::Ridge => {
                let ridge = steps(10).map(|s| [(FRAC_PI_2 * s).sin().powi(2), (FRAC_PI_2 * s).cos()]);
                std::iter::once([0.0, 1.0]).chain(ridge).collect()
            }
            Upper::Knuckle(u, v) => {
                let above = steps(6).map(|s| [u * s, 1.0 - (1.0 - v) * s * s]);
                let below = steps(6).map(|s| [1.0 - (1.0 - u) * (1.0 - s) * (1.0 - s), v * (1.0 - s)]);
                above.chain(below).collect()
            }
        };
        points.pop();
        let lower = steps(10).map(|s| quarter(self.lower, 1.0 - s)).map(|[u, v]| [u, -v]);
        points.extend(lower);
        points
    }
}

type Point = [f64; 2];

fn any_body() -> impl Strategy<Value = Body> {
    let upper = prop_oneof![
        (1.8..3.2_f64).prop_map(Upper::Round),
        Just(Upper::Ridge),
        (0.80..0.88_f64, 0.60..0.75_f64).prop_map(|(u, v)| Upper::Knuckle(u, v)),
    ];
    let sizes = (150.0..350.0_f64, 38.0..85.0_f64, (32.0..65.0_f64, 32.0..75.0_f64));
    let shape = (upper, 1.8..3.0_f64, prop::option::of(0.4..0.8_f64), 0.8..1.0_f64, -8.0..8.0_f64);
    (sizes, shape, prop::collection::vec(0.5..1.0_f64, 5..9)).prop_map(|(sizes, shape, spacing)| {
        let (length, breadth, heights) = sizes;
        let (upper, lower, front, rear, rise) = shape;
        Body { length, breadth, heights, upper, lower, front, rear, rise, spacing }
    })
}

/// Which outline of a card is printed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Printed {
    Smaller,
    Front,
    Rear,
}

/// Everything that a builder decides of a plug.
#[derive(Clone, Debug)]
pub(crate) struct Wanted {
    pub(crate) over_plug: bool,
    coat: [f64; 3],
    boards: Vec<f64>,
    pub(crate) card: f64,
    glue: f64,
    pub(crate) foam_front: bool,
    extra: [f64; 2],
    closing: &'static str,
    pub(crate) inset: f64,
    pub(crate) outline: Printed,
    pub(crate) slot_clearance: f64,
    pub(crate) end_clearance: f64,
    pub(crate) centre_opens_up: bool,
    pub(crate) least_web: f64,
    pub(crate) breadth_template: Option<f64>,
    pub(crate) dowel: Point,
    pub(crate) dowel_diameter: f64,
    lightening_web: f64,
    /// Diameter of the shaft's hole, down-thrust and side-thrust, degrees.
    pub(crate) shaft: Option<[f64; 3]>,
    pub(crate) allowance: f64,
    pub(crate) board: Point,
    pub(crate) kerf: f64,
    pub(crate) edge: f64,
    pub(crate) card_sheet: Point,
    pub(crate) gauges: Vec<f64>,
    pub(crate) lines: bool,
    /// Of the machine that cuts card.
    pub(crate) card_kerf: f64,
}

impl Wanted {
    /// What comes off the finished form along its normal before there is foam, mm.
    pub(crate) fn taken_off(&self) -> f64 {
        if self.over_plug { self.coat.iter().sum() } else { 0.0 }
    }

    /// Width of every slot, mm.
    pub(crate) fn slot(&self) -> f64 {
        self.card + self.slot_clearance
    }

    /// Boards of these ratios as thick as a body of that length asks for, and not longer together.
    fn stack(&self, length: f64) -> Vec<f64> {
        let count = self.boards.len() as f64;
        let room = length - self.extra.iter().sum::<f64>();
        let each = room / count - self.card - 2.0 * self.glue - self.card / count;
        self.boards.iter().map(|b| (each * b * 10.0).round() / 10.0).collect()
    }

    /// The project file that `from-offsets` wrote, with this plug in it.
    pub(crate) fn in_file(&self, plain: &str, length: f64) -> String {
        let end = plain.rfind(')').expect("a project file ends with a bracket");
        format!("{}{}{})\n", &plain[..end], self.thrust(length), self.build(length))
    }

    fn thrust(&self, length: f64) -> String {
        let Some([_, down, side]) = self.shaft else { return String::new() };
        let firewall = 0.45 * length;
        format!(
            "airframe: (thrust: (firewall: {firewall}, hub_distance: {}, hub_height: 1.0, down_thrust_deg: {down}, \
             side_thrust_deg: {side}, spinner: (diameter: 50.0, gap: 2.0), ring: (thickness: 3.0))),\n",
            firewall + 10.0
        )
    }

    /// Where the shaft's middle is at a station: it leaves a hub on the centre plane, its front down and to starboard.
    pub(crate) fn shaft_at(&self, x: f64, length: f64) -> Option<Point> {
        let [_, down, side] = self.shaft?;
        let (down, side) = (down.to_radians().tan(), side.to_radians().tan());
        let firewall = 0.45 * length;
        let hub = firewall - (firewall + 10.0) / (1.0 + down * down + side * side).sqrt();
        (x < firewall).then(|| [-(x - hub) * side, 1.0 + (x - hub) * down])
    }

    fn build(&self, length: f64) -> String {
        let [laminate, filler, paint] = self.coat;
        let [nose, ring] = self.extra;
        let boards: String = self.stack(length).iter().map(|b| format!("{b:?},")).collect();
        let process = if self.over_plug { "OverPlug" } else { "FemaleMould" };
        let breadth = self.breadth_template.map_or_else(String::new, |z| format!("breadth_template: {z},"));
        let gauges: String = self.gauges.iter().map(|share| format!("{:?},", share * length)).collect();
        let pair = |[a, b]: Point| format!("({a:?}, {b:?})");
        let Self { card, glue, foam_front, closing, inset, outline, slot_clearance, end_clearance, .. } = self;
        let Self { centre_opens_up, least_web, dowel_diameter, lightening_web, allowance, kerf, edge, lines, .. } =
            self;
        format!(
            "build: (process: {process}, coat: (laminate: {laminate:?}, filler: {filler:?}, paint: {paint:?}),
             stack: (used: true, boards: [{boards}], card: {card:?}, glue: {glue:?}, foam_front: {foam_front},
                     nose_foam: {nose:?}, ring_plate: {ring:?}, closing: {closing}),
             formers: (inset: {inset:?}, outline: {outline:?}, slot_clearance: {slot_clearance:?},
                       end_clearance: {end_clearance:?}, centre_opens_up: {centre_opens_up}, least_web: {least_web:?},
                       {breadth} shaft_hole: {:?}, dowels: [{}], dowel_diameter: {dowel_diameter:?},
                       lightening_web: {lightening_web:?}),
             foam: (allowance: {allowance:?}, board: {}, kerf: {kerf:?}, edge: {edge:?}, card_sheet: {}),
             sanding: (stations: [{gauges}], lines: {lines})),\n",
            self.shaft.map_or(0.0, |s| s[0]),
            pair(self.dowel),
            pair(self.board),
            pair(self.card_sheet),
        )
    }
}

/// A body, and a plug that is wanted of it.
pub(crate) fn any_project() -> impl Strategy<Value = (Body, Wanted)> {
    (any_body(), any_plug())
}

fn any_plug() -> impl Strategy<Value = Wanted> {
    let process = (prop::bool::weighted(0.75), (0.0..1.2_f64, 0.0..0.4_f64, 0.0..0.2_f64));
    let extra = prop_oneof![3 => Just([0.0, 0.0]), 1 => (0.0..12.0_f64, 1.0..4.0_f64).prop_map(|(n, r)| [n, r])];
    let closing = prop::sample::select(vec!["LastBoard", "MoveDatum", "Spread"]);
    let boards = prop::collection::vec(0.85..1.0_f64, 3..8);
    let stack = (boards, 1.0..3.2_f64, 0.0..0.3_f64, any::<bool>(), extra, closing);
    let outline = prop_oneof![4 => Just(Printed::Smaller), 1 => Just(Printed::Front), 1 => Just(Printed::Rear)];
    let slots = (0.0..0.5_f64, 0.0..1.0_f64, any::<bool>(), 4.0..10.0_f64, prop::option::of(-10.0..10.0_f64));
    let holes = (
        (16.0..26.0_f64, -9.0..9.0_f64, 3.0..7.0_f64),
        prop_oneof![Just(0.0), 5.0..9.0_f64],
        prop::option::of((6.0..10.0_f64, -3.0..3.0_f64, -3.0..3.0_f64).prop_map(|(d, a, b)| [d, a, b])),
    );
    let foam = (
        0.0..6.0_f64,
        prop::sample::select(vec![[1250.0, 600.0], [600.0, 400.0]]),
        1.0..4.0_f64,
        0.0..10.0_f64,
        prop::sample::select(vec![[594.0, 420.0], [420.0, 297.0], [1000.0, 700.0]]),
    );
    let gauges = (prop::collection::vec(0.1..0.95_f64, 0..3), any::<bool>(), 0.05..0.4_f64);
    ((process, stack), (0.0..0.8_f64, outline), slots, holes, foam, gauges).prop_map(
        |((process, stack), (inset, outline), slots, holes, foam, gauges)| {
            let (boards, card, glue, foam_front, extra, closing) = stack;
            let (slot_clearance, end_clearance, centre_opens_up, least_web, breadth_template) = slots;
            let ((dowel_y, dowel_z, dowel_diameter), lightening_web, shaft) = holes;
            let (allowance, board, kerf, edge, card_sheet) = foam;
            let (mut stations, lines, card_kerf) = gauges;
            stations.sort_by(f64::total_cmp);
            let (laminate, filler, paint) = process.1;
            Wanted {
                over_plug: process.0,
                coat: [laminate, filler, paint],
                boards,
                card,
                glue,
                foam_front,
                extra,
                closing,
                inset,
                outline,
                slot_clearance,
                end_clearance,
                centre_opens_up,
                least_web,
                breadth_template,
                dowel: [dowel_y, dowel_z],
                dowel_diameter,
                lightening_web,
                shaft,
                allowance,
                board,
                kerf,
                edge,
                card_sheet,
                gauges: stations,
                lines,
                card_kerf,
            }
        },
    )
}
