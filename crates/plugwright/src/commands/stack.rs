//! `plugwright stack`.

use super::{open_project_of, say};
use crate::arguments::Stack;
use crate::failure::Failure;
use desk::Planned;
use plug::{BaySagitta, Block, Joining, Layer, LayerKind, Nesting, Plan, Point, Region, RingFront, Template};
use serde_json::{Value, json};
use std::process::ExitCode;
use std::sync::Arc;

pub(crate) fn run(arguments: &Stack) -> Result<ExitCode, Failure> {
    let document = open_project_of(&arguments.source)?;
    let form = document.forms.first().ok_or(Failure::NoForm { asked: 1, there: 0 })?;
    let planned = Planned::of(&document, &[Arc::new(form::loft(form))])?.ok_or(Failure::NoStack)?;
    let plan = planned.used().ok_or(Failure::NoStack)?;
    let allowed = document.build.stack.allowed_sagitta;
    if arguments.json {
        let mut report = report(plan);
        report["spacing"] = spacing(&planned, allowed);
        say(&report.to_string());
    } else {
        in_words(plan);
        spacing_in_words(&planned, allowed);
    }
    let is_error = plan.findings.iter().any(|f| f.severity == form::Severity::Error);
    Ok(if is_error { ExitCode::from(1) } else { ExitCode::SUCCESS })
}

fn kind(layer: &Layer) -> (&'static str, Option<usize>) {
    match layer.kind {
        LayerKind::RingPlate => ("ring plate", None),
        LayerKind::NoseFoam => ("nose foam", None),
        LayerKind::Card(n) => ("card", Some(n)),
        LayerKind::Board(n) => ("board", Some(n)),
    }
}

fn name(layer: &Layer) -> String {
    let (kind, number) = kind(layer);
    number.map_or_else(|| kind.to_owned(), |n| format!("{kind} {n}"))
}

fn report(plan: &Plan) -> Value {
    let layer = |l: &Layer| {
        let (kind, number) = kind(l);
        json!({
            "kind": kind, "number": number, "measured_mm": l.measured, "thickness_mm": l.thickness,
            "front_mm": l.front, "rear_mm": l.rear, "sum_mm": l.sum,
        })
    };
    json!({
        "taken_off_mm": plan.taken_off,
        "ledger": {
            "layers": plan.ledger.layers.iter().map(layer).collect::<Vec<_>>(),
            "glue_mm": plan.ledger.glue,
            "joints": plan.ledger.joints(),
            "front_mm": plan.ledger.front,
            "end_mm": plan.ledger.end,
            "measured_length_mm": plan.ledger.measured_length,
            "difference_mm": plan.ledger.difference,
        },
        "differences": plan.differences.iter().map(|d| json!({
            "what": d.what, "station_mm": d.station, "finished_mm": d.finished, "plug_mm": d.plug,
        })).collect::<Vec<_>>(),
        "front": plan.front.as_ref().map(front),
        "formers": formers(plan),
        "centre_template": plan.centre.as_ref().map(|c| json!({ "front_mm": c.range.0, "rear_mm": c.range.1 })),
        "breadth_template_mm": plan.breadth.first().map(|b| b.height),
        "bays": plan.bays.iter().map(|b| json!({
            "from_mm": b.from, "to_mm": b.to, "sagitta_mm": b.sagitta,
        })).collect::<Vec<_>>(),
        "assembly": plan.steps.iter().map(|s| json!({
            "part": s.part, "way": s.way.label(), "free": s.free,
        })).collect::<Vec<_>>(),
        "blocks": plan.blocks.iter().map(block).collect::<Vec<_>>(),
        "boards": boards(plan),
        "card_sheets": nesting(&plan.card_sheets),
        "mass": {
            "foam_volume_mm3": plan.mass.foam_volume, "foam_g": plan.mass.foam,
            "foam_as_cut_mm3": plan.mass.cut_volume,
            "card_area_mm2": plan.mass.card_area, "card_g": plan.mass.card,
        },
        "calipers": plan.gauges.calipers.iter().map(|r| json!({
            "station_mm": r.station, "greatest_mm": r.greatest, "keel_mm": r.heights.0, "crown_mm": r.heights.1,
            "widths_mm": r.widths,
        })).collect::<Vec<_>>(),
        "measured_widths": plan.gauges.deviations.iter().map(|d| json!({
            "station_mm": d.measured.station, "height_mm": d.measured.height, "width_mm": d.measured.width,
            "planned_mm": d.planned, "over_mm": d.over(),
        })).collect::<Vec<_>>(),
        "findings": plan.findings.iter().map(|f| json!({
            "severity": f.severity.label(), "what": f.what, "hint": f.hint, "station_mm": f.place.station,
        })).collect::<Vec<_>>(),
    })
}

/// How the plug ends at its ring.
fn front(front: &RingFront) -> Value {
    let rear = &front.plug.ring.rear;
    json!({
        "plane_mm": rear.point, "normal": rear.normal, "ring_diameter_mm": front.plug.ring.diameter,
        "trimmed": front.plug.is_trimmed(), "packed": front.plug.is_packed(), "face_mm": front.face,
        "clock": front.clock.iter().zip([12, 3, 6, 9]).map(|(c, hour)| json!({
            "hour": hour, "at_mm": c.at, "packing_mm": c.packing,
        })).collect::<Vec<_>>(),
        "form_beyond_ring_mm": front.finished.worst(72).map(|w| w.0),
    })
}

/// What the present pitch leaves, and the stations that the curve asks for.
fn spacing(planned: &Planned, allowed: f64) -> Value {
    let bays = |bays: &[BaySagitta]| -> Vec<Value> {
        bays.iter().map(|b| json!({ "from_mm": b.from, "to_mm": b.to, "sagitta_mm": b.sagitta })).collect()
    };
    json!({
        "allowed_sagitta_mm": allowed,
        "present": bays(&planned.present),
        "proposed_stations_mm": planned.proposal.stations,
        "proposed": bays(&planned.proposal.bays),
    })
}

fn spacing_in_words(planned: &Planned, allowed: f64) {
    say("");
    if let Some(worst) = planned.coarsest() {
        say(&format!(
            "sanded straight from face to face, foam misses the curve by up to {:.2} mm, between {:.1} and {:.1} mm; allowed {allowed:.2} mm",
            worst.sagitta, worst.from, worst.to
        ));
    }
    let stations: Vec<String> = planned.proposal.stations.iter().map(|x| format!("{x:.1}")).collect();
    say(&format!("the curve asks for faces at {} mm", stations.join(", ")));
}

fn formers(plan: &Plan) -> Vec<Value> {
    let joints = |number: usize| -> Vec<Value> {
        let own = plan.joints.iter().filter(|j| j.former == number);
        own.map(|j| {
            let with = match j.with {
                Template::Centre => "centre template",
                Template::BreadthStarboard => "breadth template, starboard",
                Template::BreadthPort => "breadth template, port",
            };
            match &j.how {
                Joining::HalfLap(lap) => json!({
                    "with": with, "material_mm": [lap.material.0, lap.material.1], "slot_width_mm": lap.width,
                    "former_slot_mm": lap.former_depth(), "template_slot_mm": lap.template_depth(),
                }),
                Joining::Butted => json!({ "with": with, "butted": true }),
            }
        })
        .collect()
    };
    plan.formers
        .iter()
        .map(|f| {
            json!({
                "number": f.number, "front_mm": f.front, "rear_mm": f.rear, "in_halves": f.in_halves,
                "area_mm2": f.part.area(), "pieces_mm": boxes(&f.part), "joints": joints(f.number),
                "steepest_bevel_deg": f.bevels.iter().map(|b| b.angle_deg).reduce(f64::max),
                "dowels": f.dowels, "shaft": f.shaft, "outlines_mm": f.part.pieces,
                "ducts": f.cut_outs.iter().map(|c| json!({
                    "name": c.name, "outlines_mm": c.region.pieces,
                })).collect::<Vec<_>>(),
            })
        })
        .collect()
}

/// The box of every piece of a part as it is cut: its lower corner, then its upper one.
fn boxes(part: &Region) -> Vec<[Point; 2]> {
    let each = part.pieces.iter().map(|p| Region { pieces: vec![p.clone()] }.bounds());
    each.flatten().map(|(low, high)| [low, high]).collect()
}

fn block(b: &Block) -> Value {
    json!({
        "name": b.name, "front_mm": b.stations.0, "rear_mm": b.stations.1,
        "size_mm": [b.size[0], b.size[1], b.thickness()], "volume_mm3": b.volume,
    })
}

fn boards(plan: &Plan) -> Vec<Value> {
    let named = |board: &plug::BoardPlan| {
        let names: Vec<&str> = board.blocks.iter().map(|&i| plan.blocks[i].name.as_str()).collect();
        let mut value = nesting(&board.nesting);
        value["thickness_mm"] = json!(board.thickness);
        value["blocks"] = json!(names);
        value
    };
    plan.boards.iter().map(named).collect()
}

fn nesting(n: &Nesting) -> Value {
    json!({
        "count": n.boards, "area_bound": n.area_bound, "waste": n.waste, "too_large": n.too_large,
        "placed": n.placed.iter().map(|p| json!({
            "piece": p.piece, "board": p.board + 1, "at_mm": p.at, "size_mm": p.size,
        })).collect::<Vec<_>>(),
        "cuts": n.cuts.iter().map(|c| json!({
            "board": c.board + 1, "from_mm": c.from, "to_mm": c.to,
        })).collect::<Vec<_>>(),
    })
}

fn in_words(plan: &Plan) {
    say(&format!(
        "{:<12}{:>12}{:>12}{:>12}{:>12}{:>12}",
        "layer", "measured", "thickness", "front mm", "rear mm", "sum mm"
    ));
    for l in &plan.ledger.layers {
        say(&format!(
            "{:<12}{:>12.2}{:>12.2}{:>12.2}{:>12.2}{:>12.2}",
            name(l),
            l.measured,
            l.thickness,
            l.front,
            l.rear,
            l.sum
        ));
    }
    let ledger = &plan.ledger;
    say(&format!(
        "{} glue joints of {:.2} mm; as measured {:.2} mm, closed by {:+.2} mm to end at {:.2} mm",
        ledger.joints(),
        ledger.glue,
        ledger.measured_length,
        ledger.difference,
        ledger.end,
    ));
    if let Some(front) = &plan.front {
        let [twelve, three, six, nine] = front.clock.map(|c| c.packing);
        say(&format!(
            "from the foremost face to the ring's plane, looking aft: {twelve:+.1} mm at 12, {three:+.1} at 3, {six:+.1} at 6, {nine:+.1} at 9; plus packs, minus takes off"
        ));
    }
    say("");
    for f in &plan.formers {
        let how = if f.in_halves { "two halves, butted on the centre template" } else { "half-lapped" };
        let bevel = f.bevels.iter().map(|b| b.angle_deg).reduce(f64::max);
        let bevel = bevel.map_or_else(String::new, |b| format!(", bevel up to {b:.0} degrees"));
        say(&format!("former {:<3} {:>8.2} to {:>8.2} mm, {how}{bevel}", f.number, f.front, f.rear));
    }
    say("");
    for b in &plan.blocks {
        say(&format!("block {:<10} {:>6.1} x {:>6.1} x {:>5.2} mm", b.name, b.size[0], b.size[1], b.thickness()));
    }
    say("");
    for board in &plan.boards {
        let n = &board.nesting;
        say(&format!(
            "boards of {:.2} mm: {} (by area alone no fewer than {}), {} blocks, {:.0} % waste",
            board.thickness,
            n.boards,
            n.area_bound,
            board.blocks.len(),
            100.0 * n.waste,
        ));
    }
    let n = &plan.card_sheets;
    say(&format!("sheets of card: {} (by the parts' boxes alone no fewer than {})", n.boards, n.area_bound));
    let m = &plan.mass;
    say(&format!(
        "foam {:.3} l, {:.0} g; card {:.4} m2, {:.0} g",
        m.foam_volume * 1e-6 + 0.0,
        m.foam + 0.0,
        m.card_area * 1e-6 + 0.0,
        m.card + 0.0
    ));
    for f in &plan.findings {
        say(&format!("{}: {}: {} {}", f.severity.label(), f.place_label(), f.what, f.hint));
    }
}
