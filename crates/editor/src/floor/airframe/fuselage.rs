//! The fuselage end: both sections, the run between them, the lap, the screws, and their handles.

use super::{Held, Pen, Shapes, behind, bottom, top};
use crate::floor::item::{Grip, Item, Which};
use crate::floor::layout::View;
use crate::floor::scene::HandleShape;
use fit::fuselage::{FuselageShape, lap_outline, outline, screw_places};
use fit::outline::Outline;
use project::airframe::{FuselageEnd, FuselageSection};

/// Half the length of a screw's cross, mm.
const SCREW: f64 = 1.5;
/// Chord error of an outline on the screen, mm.
const DRAWN: f64 = 0.02;
/// How far behind its station a section has its handles in side view and plan, as a share of the way that is drawn: beside the
/// ends of the master lines, which lie on its edge too where the form fits.
const BESIDE: f64 = 0.6;

impl Shapes {
    /// `after` the widest station of the form, or not.
    pub(super) fn fuselage(&mut self, end: &FuselageEnd, after: bool, held: Held) {
        let Some(shape) = FuselageShape::of(end) else { return };
        let own = shape.outline();
        self.section(end.station, own, Pen::Whole, Item::Fuselage, after);
        let rear = end.further.as_ref().map_or(end.station + end.lap.length, |(x, _)| *x);
        if let Some((x, section)) = &end.further
            && let Some(further) = outline(section, DRAWN)
        {
            self.section(*x, &further, Pen::Dashed, Item::FuselageFurther, after);
        }
        self.run([end.station, rear], [own, &shape.at(rear)], Pen::Whole, Item::Fuselage);
        self.lap(end, &shape);
        for place in end.screws.iter().flat_map(|screws| screw_places(end, &shape, screws)) {
            self.screw(place);
        }
        self.stations(end, &shape);
        let beside = end.station + BESIDE * (rear - end.station);
        self.sizes(Which::End, &end.section, own, beside, held);
        if let Some((x, section)) = &end.further
            && let Some(further) = outline(section, DRAWN)
        {
            self.sizes(Which::Further, section, &further, *x, held);
        }
    }

    fn lap(&mut self, end: &FuselageEnd, shape: &FuselageShape) {
        if end.lap.length <= 0.0 {
            return;
        }
        let ends = [end.station, end.station + end.lap.length];
        let laps = ends.map(|x| lap_outline(end, shape, x));
        self.run(ends, [&laps[0], &laps[1]], Pen::Dashed, Item::Lap);
        self.edge(ends[1], &laps[1], Pen::Dashed, Item::Lap);
        self.around(ends[1], &laps[1], Pen::Dashed);
        self.handle(View::Side, Item::Lap, [ends[1], bottom(&laps[1])], HandleShape::Corner, "Lap, side view");
        let over = [ends[1], 0.75 * laps[1].widest()[0]];
        self.handle(View::Plan, Item::Lap, over, HandleShape::Corner, "Lap, plan");
        if let Some(screws) = &end.screws {
            let x = ends[1] - screws.edge_distance;
            let at = shape.at(x);
            let (high, out) = (0.8 * top(&at) + 0.2 * bottom(&at), 0.25 * at.widest()[0]);
            let circle = HandleShape::Smooth;
            self.handle(View::Side, Item::Screws, [x, high], circle, "Screws, side view");
            self.handle(View::Plan, Item::Screws, [x, out], circle, "Screws, plan");
        }
    }

    /// What moves the sections along the body.
    fn stations(&mut self, end: &FuselageEnd, shape: &FuselageShape) {
        let low = |o: &Outline| 0.25 * top(o) + 0.75 * bottom(o);
        let mut both = |x: f64, o: &Outline, item: Item, name: &str| {
            for (view, at) in [(View::Side, [x, low(o)]), (View::Plan, [x, 0.5 * o.widest()[0]])] {
                self.handle(view, item, at, HandleShape::Mark, format!("{name}, {}", behind(view)));
            }
        };
        both(end.station, shape.outline(), Item::Fuselage, "Fuselage end");
        if let Some((x, _)) = &end.further {
            both(*x, &shape.at(*x), Item::FuselageFurther, "Further fuselage section");
        }
    }

    /// What changes a section's size: in the face view for the one that is held, in side view and plan for both.
    fn sizes(&mut self, which: Which, section: &FuselageSection, outline: &Outline, beside: f64, held: Held) {
        let (widest, high, low) = (outline.widest()[0], top(outline), bottom(outline));
        let middle = f64::midpoint(high, low);
        let name = which.label();
        let mark = HandleShape::Mark;
        let mut grip = |view: View, grip: Grip, at: [f64; 2], what: &str, shape: HandleShape| {
            self.handle(view, Item::Section(which, grip), at, shape, format!("{name}, {what}, {}", behind(view)));
        };
        let is_held = held.which == which;
        if let FuselageSection::Measured(measured) = section {
            for (index, p) in measured.points.iter().enumerate().filter(|_| is_held && held.points) {
                let corner = measured.knuckles.iter().any(|k| k.point == index);
                let shape = if corner { HandleShape::Corner } else { HandleShape::Smooth };
                grip(View::Face, Grip::Point(index), [-p[0], p[1]], &format!("point {}", index + 1), shape);
            }
        } else {
            grip(View::Side, Grip::Height, [beside, high], "height", mark);
            grip(View::Plan, Grip::Width, [beside, widest], "width", mark);
        }
        if !is_held {
            return;
        }
        grip(View::Face, Grip::Centre, [widest, middle], "up and down", mark);
        if matches!(section, FuselageSection::Measured(_)) {
            return;
        }
        grip(View::Face, Grip::Width, [-widest, middle], "width", mark);
        grip(View::Face, Grip::Height, [0.0, high], "height", mark);
        if let FuselageSection::RoundedBox { width, height, radius, centre_height } = section {
            let inward = radius * (1.0 - std::f64::consts::FRAC_1_SQRT_2);
            let at = [0.5 * width - inward, centre_height + 0.5 * height - inward];
            grip(View::Face, Grip::Radius, at, "corner radius", HandleShape::Shoulder);
        }
    }

    /// A section of the fuselage: its outline in face view and body plan, its edge in side view and plan.
    fn section(&mut self, x: f64, outline: &Outline, pen: Pen, item: Item, after: bool) {
        let starboard = outline.points().iter().map(|p| [-p[0], p[1]]);
        let port = outline.points().iter().rev().copied();
        self.stroke(View::Face, pen, item, starboard.chain(port).collect());
        // In the body plan after sections lie on the left.
        let side = if after { -1.0 } else { 1.0 };
        self.stroke(View::Body, pen, item, outline.points().iter().map(|p| [side * p[0], p[1]]).collect());
        self.edge(x, outline, pen, item);
        self.around(x, outline, pen);
    }

    /// Once around, in the shaded view.
    fn around(&mut self, x: f64, outline: &Outline, pen: Pen) {
        let starboard = outline.points().iter().map(|p| [x, p[0], p[1]]);
        let port = outline.points().iter().rev().map(|p| [x, -p[0], p[1]]);
        self.shaded(pen, starboard.chain(port).collect());
    }

    fn edge(&mut self, x: f64, outline: &Outline, pen: Pen, item: Item) {
        let widest = outline.widest()[0];
        self.stroke(View::Side, pen, item, vec![[x, bottom(outline)], [x, top(outline)]]);
        self.stroke(View::Plan, pen, item, vec![[x, -widest], [x, widest]]);
    }

    /// From one section to another: crown and keel in the side view, both sides in the plan.
    fn run(&mut self, x: [f64; 2], outlines: [&Outline; 2], pen: Pen, item: Item) {
        let mut line = |view, of: &dyn Fn(&Outline) -> f64| {
            let points = vec![[x[0], of(outlines[0])], [x[1], of(outlines[1])]];
            self.stroke(view, pen, item, points);
        };
        line(View::Side, &top);
        line(View::Side, &bottom);
        line(View::Plan, &|o| o.widest()[0]);
        line(View::Plan, &|o| -o.widest()[0]);
        let middle = |o: &Outline, sign: f64| [sign * o.widest()[0], o.widest()[1]];
        for of in [&|o: &Outline| [0.0, top(o)] as [f64; 2], &|o: &Outline| [0.0, bottom(o)]]
            as [&dyn Fn(&Outline) -> [f64; 2]; 2]
        {
            let [a, b] = [of(outlines[0]), of(outlines[1])];
            self.shaded(pen, vec![[x[0], a[0], a[1]], [x[1], b[0], b[1]]]);
        }
        for sign in [1.0, -1.0] {
            let [a, b] = [middle(outlines[0], sign), middle(outlines[1], sign)];
            self.shaded(pen, vec![[x[0], a[0], a[1]], [x[1], b[0], b[1]]]);
        }
    }

    fn screw(&mut self, [x, y, z]: [f64; 3]) {
        for way in [[SCREW, 0.0, 0.0], [0.0, SCREW, 0.0], [0.0, 0.0, SCREW]] {
            let tip = |sign: f64| [x + sign * way[0], y + sign * way[1], z + sign * way[2]];
            self.line(Pen::Whole, Item::Screws, &[tip(-1.0), tip(1.0)]);
        }
    }
}
