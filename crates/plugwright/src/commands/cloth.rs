//! `plugwright cloth`.

use super::{complain, open_at, say};
use crate::arguments::Cloth as Asked;
use crate::failure::Failure;
use desk::Overwrite;
use desk::shell::cloth::{
    ClothPlan, ClothSurface, GapOnForm, PlaceOnForm, PlyPlan, Proposal, RollPlan, Slit, SurfaceSource, WrappedSheet,
    cloth_plan, lay_of, proposals, wrapped_sheet,
};
use project::build::Process;
use project::document::Document;
use project::shell::{Draping, Shell};
use serde_json::{Value, json};
use shell::cloth::Judgement;
use std::process::ExitCode;
use std::sync::Arc;

pub(crate) fn run(arguments: &Asked) -> Result<ExitCode, Failure> {
    let (mut document, index) = open_at(&arguments.source)?;
    if let Some(cell) = arguments.cell {
        let draping = Draping { cell: Some(cell), ..document.shell.draping };
        document.shell = Arc::new(Shell { draping, ..(*document.shell).clone() });
    }
    let form = &document.in_force().forms[index].clone();
    let lofted = Arc::new(form::loft(form));
    let asked = arguments.source.form;
    let there = document.forms.len();
    let source = SurfaceSource::of(&document, index, &lofted).ok_or(Failure::NoForm { asked, there })?;
    let surface = ClothSurface::new(&source)?;
    if let [from, to] = arguments.sheet[..] {
        return Ok(sheet(&wrapped_sheet(&surface, from, to)?, arguments.json));
    }
    if arguments.search {
        return search(&document, index, &surface, arguments);
    }
    // Nobody gives it up, so there is a plan.
    let Some(plan) = cloth_plan(&document, index, &surface, &mut |_| true)? else { return Ok(ExitCode::SUCCESS) };
    if arguments.json {
        say(&report(&form.name, &surface, &plan).to_string());
    } else {
        in_words(&form.name, &surface, &plan);
    }
    Ok(code(plan.plies.iter().all(PlyPlan::lies_down)))
}

fn code(fine: bool) -> ExitCode {
    if fine { ExitCode::SUCCESS } else { ExitCode::from(1) }
}

/// What goes for every locking angle.
const LOCKING: &str = "The locking angle decides, and none here is measured: 40 degrees for a plain weave, 45 for a twill and 50 for a satin are \
                       common practice without a source. Measure yours: draw a square along the yarns, pull the cloth over a corner or \
                       along its diagonal until folds rise, and take the angle there from 90 degrees.";

fn place(place: &PlaceOnForm) -> Value {
    let [x, y, z] = place.at;
    json!({ "station_mm": x, "half_breadth_mm": y, "height_mm": z, "side": place.side.label() })
}

fn judgement(j: &Judgement) -> Value {
    let wrinkle = |w: &shell::cloth::Wrinkle| json!({ "place": place(&PlaceOnForm::of(w.at)), "shear_deg": w.shear_deg, "area_mm2": w.area });
    let gap =
        |g: &GapOnForm| json!({ "place": place(&g.place), "why": g.key(), "reason": g.reason(), "area_mm2": g.area });
    json!({
        "one_piece": j.one_piece(), "greatest_shear_deg": j.greatest_deg, "greatest_at": place(&PlaceOnForm::of(j.greatest_at)),
        "rms_shear_deg": j.rms_deg, "covered_mm2": j.covered, "locked_mm2": j.locked, "watched_mm2": j.watched,
        "missed_mm2": j.missed, "wrinkles": j.wrinkles.iter().map(wrinkle).collect::<Vec<_>>(),
        "gaps": j.gaps.iter().map(GapOnForm::of).map(|g| gap(&g)).collect::<Vec<_>>(),
    })
}

fn report(name: &str, surface: &ClothSurface, plan: &ClothPlan) -> Value {
    json!({
        "form": name,
        "process": match plan.process { Process::OverPlug => "over the plug", Process::FemaleMould => "into a mould" },
        "taken_off_mm": surface.taken_off, "area_mm2": surface.part_area,
        "start": {
            "station_mm": plan.start[0], "turn": plan.start[1], "at_mm": plan.start_place,
        },
        "cell_mm": plan.cell.0, "cell_set": plan.cell.1, "halves": plan.halves.map(|parting| parting.labels().0),
        "assumed_ply": plan.assumed,
        "plies": plan.plies.iter().map(ply).collect::<Vec<_>>(),
        "rolls": plan.rolls.iter().map(|roll| rolled(plan, roll)).collect::<Vec<_>>(),
        "locking_angle": LOCKING,
    })
}

fn ply(ply: &PlyPlan) -> Value {
    let fabric = &ply.ply.fabric;
    json!({
        "number": ply.ply.ply.map(|k| k + 1), "half": ply.ply.half.map(|half| half.name()), "fabric": fabric.name, "areal_weight_g_m2": fabric.areal_weight,
        "warp_deg": ply.ply.lies_at(), "locking_deg": fabric.locking_deg,
        "one_piece": ply.one_piece(), "lies_down": ply.lies_down(), "crowding": ply.crowding(),
        "uncut": judgement(&ply.draped.judgement),
        "with_slits": ply.mended.as_ref().map(|mended| judgement(&mended.judgement)),
        "slits": ply.slits.iter().map(slit).collect::<Vec<_>>(),
        "fewer_slits_excluded": ply.lies_down() && ply.cloth().fewest,
        "pattern": {
            "pieces": ply.pattern.outlines.len(), "area_mm2": ply.pattern.area,
            "roll_length_mm": ply.pattern.roll.length, "roll_across_mm": ply.pattern.roll.across,
            "warp_along_roll": ply.pattern.roll.warp_along, "fits_roll": ply.pattern.roll.fits,
            "notches": ply.notches.iter().map(|n| json!({
                "station": n.number, "station_mm": n.station, "side": n.place.side.label(), "flat_mm": n.at,
            })).collect::<Vec<_>>(),
        },
    })
}

fn slit(slit: &Slit) -> Value {
    json!({
        "tip": place(&slit.tip), "mouth": place(&slit.mouth), "length_mm": slit.length, "overlap_mm": slit.overlap,
        "lap_mm": slit.lap, "strip_mm": slit.strip, "gore_mm": slit.gore,
    })
}

fn rolled(plan: &ClothPlan, roll: &RollPlan) -> Value {
    let number = |index: usize| plan.plies.get(index).and_then(|ply| ply.ply.ply).map(|k| k + 1);
    json!({
        "fabric": roll.fabric.name, "roll_width_mm": roll.fabric.roll_width, "length_mm": roll.length,
        "cut_area_mm2": roll.cut_area, "waste": roll.waste(),
        "laid": roll.laid.iter().map(|laid| json!({
            "ply": number(laid.ply), "cross_mm": laid.at, "turned_deg": 90 * u32::from(laid.quarters),
        })).collect::<Vec<_>>(),
        "too_wide": roll.too_wide.iter().map(|k| number(*k)).collect::<Vec<_>>(),
    })
}

fn in_words(name: &str, surface: &ClothSurface, plan: &ClothPlan) {
    let process = match plan.process {
        Process::OverPlug => "over the plug",
        Process::FemaleMould => "into a mould",
    };
    say(&format!(
        "{name}: cloth {process}, {:.2} mm below the finished skin, {:.4} m2 to cover",
        surface.taken_off,
        1e-6 * surface.part_area
    ));
    say(&format!("all plies start with a cross at station {}", lay_of(plan.start)));
    let (cell, set) = plan.cell;
    let why = if set { "as set" } else { "after the form's size and curvature" };
    say(&format!("net of cells of {cell:.3} mm, {why}"));
    if let Some(parting) = plan.halves {
        let (line, _) = parting.labels();
        say(&format!(
            "The form is closed at both ends, and no one piece laid from one start goes round it. It is laid in two halves that meet {line}."
        ));
    }
    if plan.assumed {
        say(
            "The laminate has no ply that covers the whole shell yet: one of the usual cloth, warp fore and aft, is taken for granted here.",
        );
    }
    for ply in &plan.plies {
        say("");
        ply_in_words(ply);
    }
    say("");
    plan.rolls.iter().for_each(|roll| roll_in_words(plan, roll));
    say(LOCKING);
}

fn ply_in_words(ply: &PlyPlan) {
    let piece = if ply.ply.half.is_some() { "one piece on this half" } else { "one piece" };
    say(&ply.ply.label());
    let locking = ply.ply.fabric.locking_deg;
    let uncut = &ply.draped.judgement;
    let greatest = |j: &Judgement| {
        format!(
            "greatest shear {:.1} of {locking:.0} degrees at {}",
            j.greatest_deg.abs(),
            PlaceOnForm::of(j.greatest_at).label()
        )
    };
    say(&format!("  {}", greatest(uncut)));
    if ply.one_piece() {
        let watched = 100.0 * uncut.watched / uncut.covered.max(f64::MIN_POSITIVE);
        say(&format!("  {piece} does it; {watched:.1} % of it comes within a fifth of its locking angle"));
    } else {
        say(&format!(
            "  {piece} does not do it: {:.1} cm2 past the locking angle, {:.1} cm2 not reached",
            0.01 * uncut.locked,
            0.01 * uncut.missed
        ));
        for wrinkle in ply.draped.wrinkles().iter().take(6) {
            say(&format!(
                "  it folds at {}: {:.0} degrees, {:.1} cm2 around",
                wrinkle.place.label(),
                wrinkle.shear_deg.abs(),
                0.01 * wrinkle.area
            ));
        }
    }
    for (k, slit) in ply.slits.iter().enumerate() {
        say(&format!("  slit {}: {}", k + 1, slit_in_words(slit)));
    }
    if let Some(mended) = &ply.mended {
        let j = &mended.judgement;
        let proof = if j.one_piece() {
            "draped again it lies down everywhere".to_owned()
        } else {
            format!("draped again {:.1} cm2 still fold and {:.1} cm2 are not reached", 0.01 * j.locked, 0.01 * j.missed)
        };
        say(&format!("  with {}: {proof}; {}", ply.slits_in_words(), greatest(j)));
    }
    for gap in ply.cloth().judgement.gaps.iter().take(6).map(GapOnForm::of) {
        say(&format!(
            "  it stops at {}, {:.1} cm2 around: {}. {}",
            gap.place.label(),
            0.01 * gap.area,
            gap.reason(),
            gap.remedy()
        ));
    }
    let roll = &ply.pattern.roll;
    let along = if roll.warp_along { "warp" } else { "weft" };
    let fits = if roll.fits { "" } else { ": wider than the roll, join two breadths with an overlap" };
    say(&format!("  off the roll {:.0} mm along the {along}, {:.0} mm across{fits}", roll.length, roll.across));
}

/// "1 slit", "2 slits".
fn slits(count: usize) -> String {
    if count == 1 { "1 slit".to_owned() } else { format!("{count} slits") }
}

fn slit_in_words(slit: &Slit) -> String {
    let lap = if slit.lap < 0.0 {
        let gore = slit.gore.map_or_else(String::new, |[long, wide]| {
            format!(", a triangle {long:.0} mm long and {wide:.0} mm wide with its overlap")
        });
        format!("its edges part by {:.0} mm there: set in a gore{gore}", -slit.lap)
    } else {
        format!("lap its edges by {:.0} mm there", slit.overlap)
    };
    let strip = if slit.strip > 0.0 && slit.gore.is_none() {
        format!(", and lay a strip under the first {:.0} mm", slit.strip)
    } else {
        String::new()
    };
    format!("{:.0} mm from {} to the edge at {}; {lap}{strip}", slit.length, slit.tip.label(), slit.mouth.label())
}

fn roll_in_words(plan: &ClothPlan, roll: &RollPlan) {
    let name = |index: usize| plan.plies.get(index).map_or_else(String::new, |ply| ply.ply.name());
    say(&format!(
        "{}: cut {:.0} mm off a roll {:.0} mm wide for {} of its patterns; {:.0} % is left over",
        roll.fabric.name,
        roll.length.ceil(),
        roll.fabric.roll_width,
        roll.laid.len(),
        100.0 * roll.waste()
    ));
    for index in &roll.too_wide {
        say(&format!("  ply {} is wider than the roll: join two breadths, or turn its warp", name(*index)));
    }
}

fn search(document: &Document, index: usize, surface: &ClothSurface, asked: &Asked) -> Result<ExitCode, Failure> {
    // Nobody gives it up, so there are some.
    let Some(found) = proposals(document, index, surface, &mut |_| true)? else { return Ok(ExitCode::SUCCESS) };
    let written = match (&asked.to, found.first()) {
        (Some(to), Some(best)) => {
            let changed = best.edit.apply(document)?;
            let on_disk = desk::files::save(&changed, to, None, Overwrite::Refuse)?;
            Some(on_disk.path.display().to_string())
        }
        _ => None,
    };
    if asked.json {
        say(&json!({ "proposals": found.iter().map(proposed).collect::<Vec<_>>(), "written": written }).to_string());
    } else {
        for (k, proposal) in found.iter().enumerate() {
            say(&format!("{}. {}", k + 1, proposal.label));
            let j = &proposal.judgement;
            let greatest = format!(
                "greatest shear {:.1} degrees at {}",
                j.greatest_deg.abs(),
                PlaceOnForm::of(j.greatest_at).label()
            );
            let piece = match &proposal.slits {
                _ if proposal.one_piece() => "one piece does it".to_owned(),
                Some((count, with)) if with.one_piece() => format!("with {} it lies down", slits(*count)),
                Some((count, with)) => format!(
                    "even with {} {:.1} cm2 fold or are not reached",
                    slits(*count),
                    0.01 * (with.locked + with.missed)
                ),
                None => {
                    format!("one piece does not do it: {:.1} cm2 fold or are not reached", 0.01 * (j.locked + j.missed))
                }
            };
            say(&format!("   {greatest}; {piece}"));
        }
        written.iter().for_each(|path| say(&format!("wrote {path} with the first of them")));
    }
    if asked.to.is_some() && written.is_none() {
        complain("Nothing was found to write.");
    }
    Ok(code(found.iter().any(Proposal::lies_down)))
}

fn proposed(proposal: &Proposal) -> Value {
    json!({
        "station_mm": proposal.start[0], "turn": proposal.start[1], "warp_deg": proposal.warp_deg,
        "at": place(&proposal.place), "first_ply": judgement(&proposal.judgement), "label": proposal.label,
        "lies_down": proposal.lies_down(),
        "slits": proposal.slits.as_ref().map(|(count, with)| json!({ "count": count, "first_ply": judgement(with) })),
    })
}

fn sheet(sheet: &WrappedSheet, as_json: bool) -> ExitCode {
    let flat = &sheet.unfolded;
    if as_json {
        let report = json!({
            "stations_mm": sheet.stations, "lies_down": flat.lies_down(), "twist_deg": flat.twist_deg, "bow_mm": flat.bow,
            "area_mm2": flat.area(), "front_edge_mm": flat.first, "rear_edge_mm": flat.second,
        });
        say(&report.to_string());
    } else {
        let [from, to] = sheet.stations;
        say(&format!(
            "a plain sheet wrapped round from station {from:.1} to {to:.1} mm, cut along the keel: {:.4} m2",
            1e-6 * flat.area()
        ));
        say(&format!("twist along a ruling up to {:.2} degrees, bow up to {:.2} mm", flat.twist_deg, flat.bow));
        say(if flat.lies_down() {
            "it lies down"
        } else {
            "it does not lie down: the form bends both ways there; use cloth, or narrower strips"
        });
    }
    code(flat.lies_down())
}
