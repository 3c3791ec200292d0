//! Openings: where they are, how large, and how they are cut once the shell is there.

use super::composer::{Align, Composer, Table};
use super::{Subject, count, facts, fine, mm};
use crate::shell::airflow::{Airflow, RULE};
use form::openings::{Hole, Target, holes};
use form::space::{Vector, dot};
use plug::Region;
use project::opening::{Purpose, Seen};
use sheets::{Affine, Anchor, Drawing, Ink, Path, Stroke, Text};

/// Chord error of what is drawn, and of the edges that areas are taken of, mm.
const DRAWN: f64 = 0.05;
/// Height of the side view, mm, at most.
const HIGH: f64 = 60.0;

pub(super) fn set(c: &mut Composer, s: &Subject<'_>) {
    if s.form.openings.is_empty() {
        return;
    }
    let target = Target::new(s.loft, fit::ring_trim(&s.document.airframe));
    let all: Vec<Hole> = holes(&target, s.form, DRAWN).into_iter().flatten().collect();
    c.chapter("Openings");
    c.text(
        "Openings are marked and cut in the finished shell, after it has come off the plug and before anything is added to it. Areas are \
         those of the finished outside.",
    );
    c.figure(&drawing(s, &all, c.width()));
    c.caption("From port, looking aft, and from above or below where openings are drawn so. Dashed: on the side that is turned away.");
    areas(c, s, s.air.as_deref(), &all);
    if let Some(air) = &s.air {
        air_in_and_out(c, air);
    }
    order(c, s);
    cautions(c);
}

/// The name of a hole; of a mirrored one with its side.
fn named(s: &Subject<'_>, hole: &Hole) -> String {
    let Some(opening) = s.form.openings.get(hole.opening) else { return String::new() };
    let side = match hole.centre {
        Some(centre) if opening.mirrored && centre.point[1] < 0.0 => ", port",
        Some(_) if opening.mirrored => ", starboard",
        _ => "",
    };
    format!("{}{side}", opening.name)
}

fn areas(c: &mut Composer, s: &Subject<'_>, air: Option<&Airflow>, all: &[Hole]) {
    let right = Align::Right;
    let mut table = Table::new(&[
        ("Opening", Align::Left),
        ("For", Align::Left),
        ("Drawn", Align::Left),
        ("On the surface mm²", right),
        ("As drawn mm²", right),
        ("Square to the flow mm²", right),
        ("Counts for mm²", right),
    ]);
    let of = |hole: &Hole| {
        air?.holes.iter().find(|h| h.form == 0 && h.opening == hole.opening && h.mirrored == hole.mirrored)
    };
    for hole in all {
        let Some(found) = of(hole) else { continue };
        table.row([
            format!("{} {}", hole.opening + 1, named(s, hole)),
            hole.purpose.label().to_owned(),
            hole.seen.label().to_owned(),
            square(found.areas.surface),
            square(found.areas.seen),
            square(found.areas.to_flow),
            if found.purpose == Purpose::Access { "–".to_owned() } else { square(found.effective) },
        ]);
    }
    c.table(&table);
    c.text(
        "An intake counts for its area square to the flow, less what stands behind it, an outlet for its area on the surface; neither \
         for more than its duct lets through at its narrowest place.",
    );
    for hole in all.iter().filter(|hole| hole.whole().is_none()) {
        let name = named(s, hole);
        c.loud(&format!("The outline of {name} does not lie on the form as a whole: there is no trim template of it."));
    }
    for hole in all.iter().filter(|hole| !hole.mirrored && hole.whole().is_some()) {
        let narrowest = of(hole).and_then(|h| h.narrowest);
        let (Some(narrowest), Some(duct)) = (narrowest, &hole.duct) else { continue };
        let place = match narrowest.share {
            share if share < 0.005 => "at its edge".to_owned(),
            share if share > 0.995 => "at its inner end".to_owned(),
            share => format!("{:.0} % of the way in", 100.0 * share),
        };
        let name = s.form.openings.get(hole.opening).map_or("", |o| o.name.as_str());
        c.text(&format!(
            "Duct of {name}: {} mm deep, wall {} mm, lip of {} mm radius; narrowest {} mm², {place}.",
            mm(duct.depth),
            mm(duct.wall),
            mm(duct.lip_radius),
            square(narrowest.area),
        ));
    }
}

/// An area, mm², to the whole square millimetre.
fn square(area: f64) -> String {
    format!("{area:.0}")
}

/// Outlets against intakes.
fn air_in_and_out(c: &mut Composer, air: &Airflow) {
    c.heading("Air in and out");
    let mut rows = Vec::new();
    if let Some(gap) = &air.ring_gap {
        rows.push((
            "Gap at the spinner's ring".to_owned(),
            format!(
                "{} mm² all round ({} mm wide), bore {} mm²: counts as intake with {} mm²",
                square(gap.around),
                fine(gap.gap),
                square(gap.bore),
                square(gap.effective)
            ),
        ));
    }
    let blocked: f64 = air.holes.iter().map(|h| h.blocked_area).sum();
    if blocked > 0.0 {
        let mut names: Vec<&str> = air.holes.iter().flat_map(|h| &h.blocked).map(|b| b.name.as_str()).collect();
        names.sort_unstable();
        names.dedup();
        rows.push((
            "Seen through the intakes, and taken off".to_owned(),
            format!("{} mm²: {}", square(blocked), names.join(", ")),
        ));
    }
    for hole in air.holes.iter().filter(|hole| hole.form > 0 && hole.purpose != Purpose::Access) {
        let what = format!("{} of {}", hole.purpose.label(), hole.name);
        rows.push((
            what,
            format!("{} mm² square to the flow, counts for {} mm²", square(hole.areas.to_flow), square(hole.effective)),
        ));
    }
    rows.push(("Intakes".to_owned(), format!("{} mm²", square(air.intake))));
    rows.push(("Outlets and exhaust holes".to_owned(), format!("{} mm²", square(air.outlet))));
    if let Some(ratio) = air.ratio {
        rows.push(("Outlets to intakes".to_owned(), format!("{} times", fine(ratio))));
    }
    c.table(&facts(rows));
    let [from, to] = air.rule.aim.map(mm);
    c.text(&format!(
        "{from} to {to} times are aimed for, and less than {} is warned of: {RULE}. Look at the motor, its controller and the battery \
         after short first runs, before long ones.",
        mm(air.rule.least)
    ));
    if air.ratio.is_some_and(|ratio| ratio < air.rule.least) {
        c.loud("The outlets are smaller than the rule of thumb asks for: air that cannot leave does not come in.");
    }
}

fn order(c: &mut Composer, s: &Subject<'_>) {
    c.heading("Order of work");
    let ducts = s.form.openings.iter().filter(|o| o.duct.is_some()).count();
    let mut steps = vec![
        "Let the shell cure as long as its resin's maker asks, take it off the plug, and fit it to the fuselage first: openings are the \
         last thing to be cut."
            .to_owned(),
        "Cut out the trim templates on the outer line; leave the opening in. Where a template says so, slit its margin until it lies flat."
            .to_owned(),
        "Lay the template on the shell, printed side out. Its lines are stations, waterlines or distances from the centre plane: bring \
         them onto the same lines on the shell, the cross onto its place, and tape it down. Check both sides against each other."
            .to_owned(),
        "Mark the edge through the paper, take the template off, and drill a small hole into every corner, inside the line.".to_owned(),
        "Cut inside the line with a fine abrasive disc at low speed, leave half a millimetre, and file and sand to the line. A support \
         of foam behind the shell keeps the edge from tearing."
            .to_owned(),
        "Seal the cut edge with thin resin, so that no moisture and no fibre comes out.".to_owned(),
    ];
    if ducts > 0 {
        steps.push(format!(
            "Fit {} from inside, flush with the outside, tack, check, then glue all round; round the lip when the glue is hard.",
            if ducts == 1 { "the duct" } else { "the ducts" }
        ));
    }
    steps.push("Only then join added forms to the shell.".to_owned());
    c.list(steps.into_iter().enumerate().map(|(k, words)| (format!("{}.", k + 1), words)));
    let drawn = count(s.form.openings.len(), "opening");
    c.text(&format!(
        "The templates of {drawn} are among the sheets, named \"Trim\" with the number of the opening; mirrored openings have two."
    ));
}

fn cautions(c: &mut Composer) {
    c.heading("Cautions");
    c.list([
        (
            "–",
            "Dust of cured carbon or glass belongs in nobody's lungs: cut outdoors or with extraction at the disc, or wet; wear a \
             particle mask of class P3 (FFP3), goggles that close all round, long sleeves and gloves. Wash cold, never blow dust about.",
        ),
        (
            "–",
            "Carbon dust and splinters conduct: keep them away from the motor, its controller, receiver, batteries and the shop's \
             sockets, switches and chargers. Vacuum the shell before electrics go in.",
        ),
        (
            "–",
            "Cut edges are as sharp as needles: gloves until they are sealed. Splinters are taken out at once.",
        ),
        (
            "–",
            "Small abrasive discs shatter: face shield, guard on, never over the maker's speed, never toward the hand that holds the \
             shell. Knives only for paper and thin glass, and away from the body.",
        ),
        ("–", "Local rules and the sheets of the makers of resin, cloth and tools go before all of this."),
    ]);
}

/// One view of the form.
struct View {
    drawing: Drawing,
    sight: Vector,
    /// Where the view shows a place.
    place: fn(Vector) -> [f64; 2],
}

/// Side view and face beside each other, and the view from above or below where openings are drawn in it.
fn drawing(s: &Subject<'_>, all: &[Hole], width: f64) -> Drawing {
    let k = scale(s, width);
    let scaled = |points: &[[f64; 2]]| points.iter().map(|p| p.map(|c| k * c)).collect::<Vec<_>>();
    let outlined = |points: &[[f64; 2]], width: f64| {
        let mut d = Drawing::default();
        d.push(Path::polygon(&scaled(points), Some(Stroke::solid(width, Ink::BLACK)), None));
        d
    };
    let (front, rear) = s.loft.x_range();
    let lines = s.loft.lines();
    let within = |line: &geometry::line::Line| {
        let points = line.polyline(DRAWN).into_iter();
        points.filter(|p| p[0] >= front && p[0] <= rear).collect::<Vec<_>>()
    };
    let around = |a: Vec<[f64; 2]>, b: Vec<[f64; 2]>| a.into_iter().chain(b.into_iter().rev()).collect::<Vec<_>>();
    let side = outlined(&around(within(&lines.crown), within(&lines.keel)), 0.35);
    let mut face = Drawing::default();
    for (x, width) in [(rear, 0.2), (widest(s), 0.35), (front, 0.2)] {
        let Some(half) = s.loft.section(x).map(|q| q.polyline(DRAWN)) else { continue };
        let port = half.iter().map(|p| [-p[0], p[1]]).collect();
        face.items.extend(outlined(&around(half, port), width).items);
    }
    let mut views = vec![
        View { drawing: side, sight: [0.0, 1.0, 0.0], place: |p| [p[0], p[2]] },
        View { drawing: face, sight: [1.0, 0.0, 0.0], place: |p| [-p[1], p[2]] },
    ];
    let breadth = within(&lines.breadth);
    let other: Vec<[f64; 2]> = breadth.iter().map(|p| [p[0], -p[1]]).collect();
    for (seen, place) in [(Seen::Above, (|p| [p[0], p[1]]) as fn(Vector) -> [f64; 2]), (Seen::Below, |p| [p[0], -p[1]])]
    {
        if all.iter().any(|hole| hole.seen == seen) {
            let drawing = outlined(&around(breadth.clone(), other.clone()), 0.35);
            views.push(View { drawing, sight: seen.sight(), place });
        }
    }
    views.iter_mut().for_each(|view| view.edges(all, k));
    arranged(views.into_iter().map(|view| view.drawing))
}

impl View {
    /// Draws the edges of openings, dashed where they are turned away, and numbers those that are not.
    fn edges(&mut self, all: &[Hole], k: f64) {
        for hole in all {
            let Some(first) = hole.runs.first() else { continue };
            let facing = hole.places().filter(|p| dot(p.normal, self.sight) < 0.0).count();
            let hidden = 2 * facing < hole.places().count();
            let pen = if hidden { Stroke::dashed(0.2, Ink::DARK, &[1.2, 0.9]) } else { Stroke::solid(0.5, Ink::BLACK) };
            for run in &hole.runs {
                let ends = run.places.first().filter(|_| run.closed);
                let places = run.places.iter().chain(ends).map(|p| (self.place)(p.place.point).map(|c| k * c));
                self.drawing.push(Path::polyline(&places.collect::<Vec<_>>(), pen.clone()));
            }
            let seen: Vec<[f64; 2]> = first.places.iter().map(|p| (self.place)(p.place.point).map(|c| k * c)).collect();
            let region = Region::of(&seen);
            let (Some((low, high)), Some(middle)) = (region.bounds(), region.centroid()) else { continue };
            // Of an edge that is seen from its side there is no inside to stand in.
            let thick = region.area() / (high[0] - low[0]).hypot(high[1] - low[1]).max(1e-9);
            if !hidden && thick > 2.2 {
                let at = [middle[0], middle[1] - 1.0];
                let number = (hole.opening + 1).to_string();
                self.drawing.push(Text::new(number, at, 2.8).anchored(Anchor::Middle).bold());
            }
        }
    }
}

/// The first two beside each other, every further one under the first.
fn arranged(drawings: impl Iterator<Item = Drawing>) -> Drawing {
    let gap = 6.0;
    let mut all = Drawing::default();
    for (n, drawing) in drawings.enumerate() {
        let (own, whole) = (drawing.bounds(), all.bounds());
        let to = match n {
            0 => [0.0, 0.0],
            1 => [whole.max[0] + gap - own.min[0], 0.0],
            _ => [0.0, whole.min[1] - gap - own.max[1]],
        };
        all.push_mapped(&drawing, &Affine::shift(to));
    }
    all
}

/// The station of the greatest section.
fn widest(s: &Subject<'_>) -> f64 {
    let areas = s.loft.curve_of_areas(61);
    areas.iter().max_by(|a, b| a.area.total_cmp(&b.area)).map_or(0.0, |a| a.x)
}

/// Both drawings beside each other within the width, and not too high.
fn scale(s: &Subject<'_>, width: f64) -> f64 {
    let (front, rear) = s.loft.x_range();
    let Some(q) = s.loft.section(widest(s)) else { return 1.0 };
    let across = (rear - front) + 2.0 * q.half_breadth();
    ((width - 8.0) / across.max(1.0)).min(HIGH / (q.top() - q.bottom()).max(1.0)).min(1.0)
}
