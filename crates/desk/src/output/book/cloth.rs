//! Cloth: how every ply lies, where it is slit, what comes off the roll, and how it is laid.

use super::composer::{Align, Composer, Table};
use super::facets::{Facet, legend, two_sides};
use super::{Subject, count, facts, mm};
use crate::output::cloth_parts;
use crate::reckoned::Reckoned;
use crate::shell::cloth::{
    ClothPlan, GapOnForm, HeatCell, OVERLAP, PlaceOnForm, PlyPlan, RollPlan, heat, heat_colour, lay_of, yarns,
};
use form::Lofted;
use form::space::Vector;
use project::document::Document;
use sheets::{Affine, Anchor, Drawing, Ink, Path, Rect, Stroke, Text};
use std::sync::Arc;

/// Height of the pictures on the form, mm on paper.
const HEIGHT: f64 = 56.0;
/// Height of a flat picture, mm on paper.
const FLAT: f64 = 66.0;
/// Height of the picture of a roll, mm on paper.
const ROLL: f64 = 66.0;
/// So many yarns are drawn over all, about.
const YARNS: i32 = 24;

pub(super) fn set(c: &mut Composer, s: &Subject<'_>, plan: &ClothPlan) {
    c.chapter("Cloth");
    c.text(&format!(
        "A weave is taken for a net of yarns that do not stretch and turn where they cross. Every ply starts with a cross at station {}; from there \
         one yarn of the warp and one of the weft are laid straight, and all others follow. Where the form bulges the squares of the weave are \
         sheared; past the locking angle of the cloth they fold.",
        lay_of(plan.start)
    ));
    c.text(&net(plan));
    plies(c, plan);
    locking(c);
    for ply in &plan.plies {
        one(c, plan, ply);
    }
    rolls(c, plan);
    laying(c, s, plan);
}

/// The net that was laid, and whether in halves.
fn net(plan: &ClothPlan) -> String {
    let (cell, set) = plan.cell;
    let why = if set { "as was asked for" } else { "after the form's size and curvature" };
    let halves = plan.halves.map_or_else(String::new, |parting| {
        let (line, _) = parting.labels();
        format!(
            " The form is closed at both ends, and no one piece laid from one start goes round it: every ply is laid in two halves that meet {line}, \
             the second overlapping the first; the start named above is that of the first half."
        )
    });
    format!("The net has cells of {cell:.2} mm, {why}.{halves}")
}

fn number(ply: &PlyPlan) -> String {
    ply.ply.name()
}

fn plies(c: &mut Composer, plan: &ClothPlan) {
    let right = Align::Right;
    let mut table = Table::new(&[
        ("Ply", right),
        ("Cloth", Align::Left),
        ("Warp", right),
        ("Greatest shear", right),
        ("Locks at", right),
        ("Where", Align::Left),
        ("One piece", Align::Left),
        ("Slits", right),
        ("Area m²", right),
    ]);
    for ply in &plan.plies {
        let laid = &ply.cloth().judgement;
        let one_piece = match (ply.one_piece(), ply.lies_down()) {
            (true, _) => "yes",
            (false, true) => "with slits",
            (false, false) => "folds",
        };
        table.row([
            number(ply),
            format!("{}, {:.0} g/m²", ply.ply.fabric.name, ply.ply.fabric.areal_weight),
            degrees(ply.ply.lies_at()),
            format!("{:.1}°", laid.greatest_deg.abs()),
            degrees(ply.ply.fabric.locking_deg),
            PlaceOnForm::of(laid.greatest_at).label(),
            one_piece.to_owned(),
            ply.slits.len().to_string(),
            format!("{:.3}", ply.pattern.area / 1e6),
        ]);
    }
    c.table(&table);
}

fn degrees(value: f64) -> String {
    super::signed(format!("{value:.0}°"))
}

fn locking(c: &mut Composer) {
    c.heading("The locking angle");
    c.text(
        "It is the shear at which the yarns of a cloth jam and folds begin. It decides on this page, and it is the weakest number on it: 40° for a \
         plain weave, 45° for a twill and 50° for a satin are common practice without a source, and the cloth at hand may lock 10° sooner or later; \
         a loose weave shears further than a tight one, a cloth with binder less.",
    );
    c.text(
        "Measure yours: draw a square of 100 mm along the yarns, pull it out along one diagonal until the first folds rise, and measure both diagonals. \
         The angle is 90° less twice the arc tangent of the short one by the long one: 173 and 100 mm make 30°, 181 and 85 mm make 40°. \
         Type it in as the cloth's locking angle. From four fifths of it on a place deserves a look.",
    );
}

fn one(c: &mut Composer, plan: &ClothPlan, ply: &PlyPlan) {
    let locking = ply.ply.fabric.locking_deg;
    let cells = heat(ply.cloth(), locking);
    let facets: Vec<Facet> =
        cells.iter().map(|cell| Facet { corners: cell.corners, ink: ink(cell, locking) }).collect();
    let every =
        ply.cloth().pieces.first().map_or(1, |piece| {
            piece.net.range().map(|(first, last)| last - first).into_iter().max().unwrap_or(0) / YARNS
        });
    let thin = || Stroke::solid(0.12, Ink::DARK);
    let lines: Vec<(Vec<Vector>, Stroke)> = yarns(ply.cloth(), every).into_iter().map(|line| (line, thin())).collect();
    c.heading_of(&ply.ply.label().replacen("ply", "Ply", 1), HEIGHT + 30.0);
    c.figure(&two_sides(&facets, &lines, c.width(), HEIGHT));
    c.figure(&scale(locking));
    c.caption(&verdict(ply));
    c.figure(&flat(plan, ply, &cells, [c.width(), FLAT]));
    c.caption(
        "The same flat: cut line full, trim and seam dashed, slits heavy with their numbers; the arrow is the warp. What folds outside the dashed line is cut off. The pattern is among the templates at 1 : 1.",
    );
    slits(c, ply);
}

fn ink(cell: &HeatCell, locking: f64) -> Ink {
    Ink(cell.colour(locking))
}

/// What the colours mean.
fn scale(locking: f64) -> Drawing {
    let at = |share: f64| Ink(heat_colour(share * locking, locking));
    let words = [0.0, 0.5, 0.8, 1.0].map(|share| format!("{:.0}°", share * locking));
    legend(&[
        (at(0.0), words[0].as_str()),
        (at(0.5), words[1].as_str()),
        (at(0.8), &format!("{}: look", words[2])),
        (at(1.0), words[3].as_str()),
        (at(1.01), "more: it folds"),
        (Ink(OVERLAP), "overlap, allowance"),
    ])
}

fn verdict(ply: &PlyPlan) -> String {
    let (uncut, laid) = (&ply.draped.judgement, &ply.cloth().judgement);
    let square = |area: f64| format!("{:.1} cm²", 0.01 * area);
    if ply.one_piece() {
        return format!(
            "One piece lies down without a fold; {} of it are sheared past four fifths of the locking angle.",
            square(uncut.watched)
        );
    }
    let stops = GapOnForm::largest(laid).map_or_else(String::new, |gap| {
        format!(" It stops at {}: {}. {}", gap.place.label(), gap.reason(), gap.remedy())
    });
    let alone =
        format!("In one piece {} would fold and {} would not be reached.", square(uncut.locked), square(uncut.missed));
    if ply.mended.is_none() {
        return alone + &stops;
    }
    let proof = if laid.one_piece() {
        "draped again it lies down everywhere".to_owned()
    } else {
        format!("draped again {} still fold and {} are not reached", square(laid.locked), square(laid.missed))
    };
    format!("{alone} With {} {proof}, sheared by {:.1}° at most.{stops}", ply.slits_in_words(), laid.greatest_deg.abs())
}

fn slits(c: &mut Composer, ply: &PlyPlan) {
    if ply.slits.is_empty() {
        return;
    }
    let right = Align::Right;
    let mut table = Table::new(&[
        ("Slit", right),
        ("Begins at", Align::Left),
        ("Ends at the edge at", Align::Left),
        ("Length mm", right),
        ("Its edges", Align::Left),
    ]);
    for (k, slit) in ply.slits.iter().enumerate() {
        let edges = if slit.lap < 0.0 {
            let gore = slit
                .gore
                .map_or_else(String::new, |[long, wide]| format!(" {long:.0} x {wide:.0} mm, overlap included"));
            format!("part by {:.0} mm: set in a gore{gore}", -slit.lap)
        } else if slit.strip > 0.0 {
            format!("lap by {:.0} mm at the edge; a strip under the first {:.0} mm", slit.overlap, slit.strip)
        } else {
            format!("lap by {:.0} mm", slit.overlap)
        };
        table.row([(k + 1).to_string(), slit.tip.label(), slit.mouth.label(), format!("{:.0}", slit.length), edges]);
    }
    c.table(&table);
}

/// The flat cloth, coloured, no larger than this on paper.
fn flat(plan: &ClothPlan, ply: &PlyPlan, cells: &[HeatCell], room: [f64; 2]) -> Drawing {
    let side = if plan.mirrored() { -1.0 } else { 1.0 };
    let mut bounds = Rect::NOTHING;
    ply.pattern.outlines.iter().flat_map(|o| &o.flat).for_each(|p| bounds.include([p[0], side * p[1]]));
    let mut d = Drawing::default();
    if bounds.is_empty() {
        return d;
    }
    let size = bounds.size();
    let k = (room[0] / size[0].max(1e-9)).min(room[1] / size[1].max(1e-9));
    let paper = |p: [f64; 2]| [k * (p[0] - bounds.min[0]), k * (side * p[1] - bounds.min[1])];
    for cell in cells {
        let ink = ink(cell, ply.ply.fabric.locking_deg);
        d.push(Path::polygon(&cell.flat.map(paper), Some(Stroke::solid(0.12, ink)), Some(ink)));
    }
    let round = |o: &shell::cloth::Outline| o.flat.iter().map(|p| paper(*p)).collect::<Vec<_>>();
    for outline in &ply.pattern.outlines {
        d.push(Path::polygon(&round(outline), Some(Stroke::solid(0.3, Ink::BLACK)), None));
    }
    for trim in &ply.pattern.trim {
        d.push(Path::polygon(&round(trim), Some(Stroke::dashed(0.18, Ink::DARK, &[1.5, 1.0])), None));
    }
    for (number, slit) in (1..).zip(&ply.pattern.slits) {
        let [tip, mouth] = slit.map(paper);
        d.push(Path::line(tip, mouth, Stroke::solid(0.6, Ink::BLACK)));
        d.push(Text::new(format!("{number}"), [tip[0] + 1.0, tip[1] + 1.0], 2.8).bold());
    }
    let [x, y] = paper([0.0, 0.0]);
    let arm = 3.0;
    d.push(Path::line([x - arm, y], [x + arm, y], Stroke::solid(0.35, Ink::BLACK)));
    d.push(Path::line([x, y - arm], [x, y + arm], Stroke::solid(0.35, Ink::BLACK)));
    let (from, to) = ([x + 5.0, y + 4.0], [x + 21.0, y + 4.0]);
    d.push(Path::line(from, to, Stroke::solid(0.35, Ink::BLACK)));
    d.push(Path::polyline(
        &[[to[0] - 2.0, to[1] + 0.9], to, [to[0] - 2.0, to[1] - 0.9]],
        Stroke::solid(0.35, Ink::BLACK),
    ));
    d.push(Text::new("warp", [from[0], from[1] + 1.0], 2.6));
    d
}

fn rolls(c: &mut Composer, plan: &ClothPlan) {
    for roll in &plan.rolls {
        let most = [c.width(), ROLL];
        let drawing = roll_drawing(plan, roll, most);
        let name = format!("Off the roll: {}, {:.0} g/m²", roll.fabric.name, roll.fabric.areal_weight);
        c.heading_of(&name, drawing.bounds().size()[1] + 30.0);
        c.table(&facts([
            (
                "Cut off".to_owned(),
                format!("{:.0} mm of a roll {:.0} mm wide", roll.length.ceil(), roll.fabric.roll_width),
            ),
            (
                "On it".to_owned(),
                format!(
                    "{}, {:.3} m² of cloth; {:.0} % is left over",
                    count(roll.laid.len(), "pattern"),
                    roll.cut_area / 1e6,
                    100.0 * roll.waste()
                ),
            ),
        ]));
        c.figure(&drawing);
        c.caption("The warp runs along the roll, from left to right; selvedges below and above. The small cross is the start, its number the ply.");
        for index in &roll.too_wide {
            if let Some(ply) = plan.plies.get(*index) {
                c.loud(&format!(
                    "Ply {} is {:.0} mm across and does not fit between the selvedges: join two breadths with an overlap, or turn its warp.",
                    number(ply),
                    ply.pattern.roll.across
                ));
            }
        }
    }
}

fn roll_drawing(plan: &ClothPlan, roll: &RollPlan, room: [f64; 2]) -> Drawing {
    let size = [roll.length, roll.fabric.roll_width];
    let k = (room[0] / size[0].max(1e-9)).min(room[1] / size[1].max(1e-9));
    let mut d = Drawing::default();
    d.push(Path::rect(&Rect::at([0.0; 2], size.map(|s| k * s)), Some(Stroke::solid(0.3, Ink::DARK)), Some(Ink::LIGHT)));
    let side = if plan.mirrored() { -1.0 } else { 1.0 };
    for laid in &roll.laid {
        let Some(ply) = plan.plies.get(laid.ply) else { continue };
        let place = |p: [f64; 2]| laid.place([p[0], side * p[1]]).map(|v| k * v);
        for outline in &ply.pattern.outlines {
            let points: Vec<[f64; 2]> = outline.flat.iter().map(|p| place(*p)).collect();
            d.push(Path::polygon(&points, Some(Stroke::solid(0.25, Ink::BLACK)), Some(Ink::WHITE)));
        }
        let [x, y] = place([0.0, 0.0]);
        for arm in [[2.0, 0.0], [0.0, 2.0]] {
            d.push(Path::line([x - arm[0], y - arm[1]], [x + arm[0], y + arm[1]], Stroke::solid(0.25, Ink::BLACK)));
        }
        let words = format!("ply {}", number(ply));
        d.push(Text::new(words, [x, y - 5.0], 3.0).anchored(Anchor::Middle).bold());
    }
    // Beside the lower selvedge.
    let mut arrow = Drawing::default();
    arrow.push(Path::line([0.0, 0.0], [18.0, 0.0], Stroke::solid(0.3, Ink::BLACK)));
    arrow.push(Path::polyline(&[[16.0, 0.8], [18.0, 0.0], [16.0, -0.8]], Stroke::solid(0.3, Ink::BLACK)));
    arrow.push(Text::new("warp, along the roll", [20.0, -0.9], 2.6));
    d.push_mapped(&arrow, &Affine::shift([0.0, -4.0]));
    d
}

fn laying(c: &mut Composer, s: &Subject<'_>, plan: &ClothPlan) {
    c.heading("Laying");
    let over = if plan.mirrored() { "in the mould" } else { "on the plug" };
    let draping = &s.document.shell.draping;
    let mut steps = vec![
        format!("Mark the start {over}: station {}, and from it a straight line along the warp of every ply.", lay_of(plan.start)),
        "Cut by the patterns, the arrow along the selvedge. Cloth is cut dry, on a clean table; tape along the cut line keeps the edge from fraying.".to_owned(),
        "Lay the cross of the cloth on the cross of the form, warp along its line. Stroke outward along that yarn first, then along the weft through the cross; \
         then every quarter between them from the cross to its corner. Never pull along the diagonal where it is to lie unsheared."
            .to_owned(),
        "Notches meet the stations at the edges: a place where they miss by more than a cell of the net was laid otherwise; lift it as far as the cross and stroke again."
            .to_owned(),
    ];
    if plan.plies.iter().any(|ply| !ply.slits.is_empty()) {
        steps.push(format!(
            "Cut a slit only when the cloth has been laid up to its tip. The edge that was cut goes over the other by {} mm; where the book says so a strip \
             twice as wide lies under it.",
            mm(draping.overlap)
        ));
    }
    if plan.plies.len() > 1 {
        steps.push(format!(
            "Seams of one ply lie {} mm or more aside from those of the last. Turn a ply that is not quite wet enough back from its edge, not from its middle.",
            mm(draping.stagger)
        ));
    }
    steps.push(format!(
        "Trim at the dashed line once it is cured through; {} mm at the front and {} mm at the rear are there to be cut off.",
        mm(draping.allowance[0]),
        mm(draping.allowance[1])
    ));
    c.list(steps.into_iter().enumerate().map(|(k, words)| (format!("{}.", k + 1), words)));
}

/// The cloth of the first form, if the laminate has a ply to be cut.
pub(super) fn plan(document: &Document, lofted: &Arc<Lofted>, known: &Reckoned) -> Option<Arc<ClothPlan>> {
    cloth_parts::plan(document, 0, lofted, known).ok().flatten()
}
