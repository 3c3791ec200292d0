//! Openings: where they are, how large, and how they are cut once the shell is there.

use super::composer::{Align, Composer, Table};
use super::{Subject, count, facts, fine, mm};
use crate::shell::airflow::{Airflow, RULE};
use form::openings::{Hole, Target, holes};
use form::space::Vector;
use project::opening::Purpose;
use sheets::{Affine, Anchor, Drawing, Ink, Path, Stroke, Text};

/// Chord error of what is drawn, and of the edges that areas are taken of, mm.
const DRAWN: f64 = 0.05;
/// Height of the drawings together, mm, at most.
const HIGH: f64 = 95.0;

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
    c.caption("From port and looking aft. Dashed: on the side that is turned away.");
    areas(c, s, s.air.as_ref(), &all);
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
    let of = |hole: &Hole| air?.holes.iter().find(|h| h.opening == hole.opening && h.mirrored == hole.mirrored);
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
    for hole in all {
        let lies_whole = hole.whole().is_some();
        let narrowest = of(hole).and_then(|h| h.narrowest).filter(|_| lies_whole);
        if let (Some(narrowest), Some(duct)) = (narrowest, &hole.duct) {
            c.text(&format!(
                "Duct of {}: {} mm deep, wall {} mm, lip of {} mm radius; narrowest {} mm² at {:.0} % of the way in.",
                named(s, hole),
                mm(duct.depth),
                mm(duct.wall),
                mm(duct.lip_radius),
                square(narrowest.area),
                100.0 * narrowest.share
            ));
        }
        if !lies_whole {
            c.loud(&format!(
                "The outline of {} does not lie on the form as a whole: there is no trim template of it.",
                named(s, hole)
            ));
        }
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
        let mut names: Vec<&str> = air.holes.iter().flat_map(|h| &h.blocked).map(|b| b.what.as_str()).collect();
        names.sort_unstable();
        names.dedup();
        rows.push((
            "Seen through the intakes, and taken off".to_owned(),
            format!("{} mm²: {}", square(blocked), names.join(", ")),
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
        "The templates of {drawn} are among the sheets, named \"Trim template\"; mirrored openings have two."
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

/// Side view and face beside each other, with the edges of the openings and their names.
fn drawing(s: &Subject<'_>, all: &[Hole], width: f64) -> Drawing {
    let mut side = Drawing::default();
    let mut face = Drawing::default();
    let bold = || Stroke::solid(0.35, Ink::BLACK);
    let lines = s.loft.lines();
    let (front, rear) = s.loft.x_range();
    let around = |a: Vec<[f64; 2]>, b: Vec<[f64; 2]>| a.into_iter().chain(b.into_iter().rev()).collect::<Vec<_>>();
    let scale = scale(s, width);
    let k = Affine::scale([scale, scale]);
    let to = |points: &[[f64; 2]]| points.iter().map(|p| k.apply(*p)).collect::<Vec<_>>();
    let within = |points: Vec<[f64; 2]>| points.into_iter().filter(|p| p[0] >= front && p[0] <= rear).collect();
    let outline = around(within(lines.crown.polyline(DRAWN)), within(lines.keel.polyline(DRAWN)));
    side.push(Path::polygon(&to(&outline), Some(bold()), None));
    for (x, ink) in [(rear, Ink::DARK), (widest(s), Ink::BLACK), (front, Ink::DARK)] {
        let Some(half) = s.loft.section(x).map(|q| q.polyline(DRAWN)) else { continue };
        let starboard = half.iter().map(|p| [-p[0], p[1]]);
        let whole: Vec<[f64; 2]> = starboard.chain(half.iter().rev().copied()).collect();
        face.push(Path::polygon(&to(&whole), Some(Stroke::solid(0.25, ink)), None));
    }
    for hole in all {
        let mut labels = [None; 2];
        for run in &hole.runs {
            let places: Vec<(Vector, Vector)> = run.places.iter().map(|p| (p.place.point, p.place.normal)).collect();
            let away =
                |axis: usize, sign: f64| 2 * places.iter().filter(|p| sign * p.1[axis] < 0.0).count() < places.len();
            let views: [(&mut Drawing, [usize; 2], f64, bool); 2] =
                [(&mut side, [0, 2], 1.0, away(1, 1.0)), (&mut face, [1, 2], -1.0, away(0, 1.0))];
            for (n, (d, axes, turn, hidden)) in views.into_iter().enumerate() {
                let mut points: Vec<[f64; 2]> =
                    places.iter().map(|p| k.apply([turn * p.0[axes[0]], p.0[axes[1]]])).collect();
                if run.closed {
                    points.extend(points.first().copied());
                }
                let pen =
                    if hidden { Stroke::dashed(0.2, Ink::DARK, &[1.2, 0.9]) } else { Stroke::solid(0.5, Ink::BLACK) };
                let middle = [0, 1].map(|k| points.iter().map(|p| p[k]).sum::<f64>() / points.len().max(1) as f64);
                labels[n] = (!hidden).then_some(middle);
                d.push(Path::polyline(&points, pen));
            }
        }
        let number = (hole.opening + 1).to_string();
        for (d, at) in [&mut side, &mut face].into_iter().zip(labels) {
            let Some([x, y]) = at else { continue };
            d.push(Text::new(number.clone(), [x, y - 1.0], 2.8).anchored(Anchor::Middle).bold());
        }
    }
    let gap = 8.0;
    let (a, b) = (side.bounds(), face.bounds());
    side.push_mapped(&face, &Affine::shift([a.max[0] + gap - b.min[0], 0.0]));
    side
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
