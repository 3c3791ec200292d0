//! `plugwright release`.

use super::{open, say};
use crate::arguments::Release as Asked;
use crate::failure::Failure;
use desk::shell::Source;
use desk::shell::release::{Releasing, WayFrom, joints, release};
use project::shell::{Release, Shell};
use serde_json::{Value, json};
use shell::release::{Joint, Parting, Patch, Tight, Verdict};
use std::process::ExitCode;
use std::sync::Arc;

/// Undercut below this holds nothing, mm².
const HOLDS: f64 = 1.0;

pub(crate) fn run(arguments: &Asked) -> Result<ExitCode, Failure> {
    let mut document = open(&arguments.project)?;
    if let Some(way) = arguments.way {
        let asked = Release { way: Some(way.0), ..document.shell.release };
        document.shell = Arc::new(Shell { release: asked, ..(*document.shell).clone() });
    }
    let source = Source::anew(&document);
    // Nobody gives them up, so there are answers.
    let (Some(found), Some(joints)) = (release(&source, &mut |_| true)?, joints(&source, &mut |_| true)?) else {
        return Ok(ExitCode::SUCCESS);
    };
    if arguments.json {
        say(&report(&found, &joints).to_string());
    } else {
        in_words(&found, &joints);
    }
    Ok(if is_held(&found) { ExitCode::from(1) } else { ExitCode::SUCCESS })
}

fn is_held(found: &Releasing) -> bool {
    match &found.chosen {
        Some(joint) => joint.undercut() >= HOLDS,
        None => found.whole.verdict == Verdict::Held,
    }
}

fn verdict(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Free => "free",
        Verdict::Tight => "tight",
        Verdict::Springs => "springs",
        Verdict::Held => "held",
    }
}

fn report(found: &Releasing, joints: &[Joint]) -> Value {
    let from = match found.way_from {
        WayFrom::Own => "own",
        WayFrom::ThrustLine => "thrust line",
        WayFrom::Datum => "datum axis",
    };
    let whole = &found.whole;
    json!({
        "way": whole.way, "way_from": from, "draft_deg": found.wanted.draft_deg, "spring_mm": found.wanted.spring,
        "verdict": verdict(whole.verdict), "area_mm2": whole.area, "undercut_mm2": whole.undercut, "tight_mm2": whole.tight,
        "patches": whole.patches.iter().zip(&found.places).map(|(p, place)| patch(p, Some(place))).collect::<Vec<_>>(),
        "passage": whole.passage.map(|p| json!({
            "rim": tight(&p.rim), "worst": tight(&p.worst), "beyond_rim_mm2": p.beyond_rim,
        })),
        "better_way": found.better.map(|b| json!({ "way": b.way, "undercut_mm2": b.undercut })),
        "chosen": found.chosen.as_ref().map(joint),
        "joints": joints.iter().map(joint).collect::<Vec<_>>(),
        "summary": found.summary, "advice": found.advice,
    })
}

fn patch(patch: &Patch, place: Option<&String>) -> Value {
    json!({
        "area_mm2": patch.area, "from_mm": patch.stations.0, "to_mm": patch.stations.1,
        "heights_mm": [patch.heights.0, patch.heights.1], "centre_mm": patch.centre, "worst_deg": patch.worst_deg,
        "worst_mm": patch.worst, "place": place,
    })
}

fn tight(it: &Tight) -> Value {
    json!({ "excess_mm": it.excess, "station_mm": it.station, "half_breadth_height_mm": it.at, "passing_mm": it.passing })
}

fn joint(joint: &Joint) -> Value {
    let (name, halves) = joint.parting.labels();
    let station = if let Parting::Across(station) = joint.parting { Some(station) } else { None };
    json!({
        "parting": name, "station_mm": station, "length_mm": joint.length(), "undercut_mm2": joint.undercut(),
        "lines_mm": joint.lines,
        "halves": joint.halves.iter().zip(halves).map(|(half, name)| json!({
            "name": name, "way": half.way, "undercut_mm2": half.undercut, "area_mm2": half.area,
            "patches": half.patches.iter().map(|p| patch(p, None)).collect::<Vec<_>>(),
        })).collect::<Vec<_>>(),
    })
}

fn in_words(found: &Releasing, joints: &[Joint]) {
    let whole = &found.whole;
    say(&found.summary);
    say(&format!(
        "on the plug {:.0} mm2, undercut {:.0} mm2, less draft than {:.1} degrees {:.0} mm2",
        whole.area, whole.undercut, found.wanted.draft_deg, whole.tight
    ));
    for (patch, place) in whole.patches.iter().zip(&found.places).filter(|(p, _)| p.area >= HOLDS) {
        say(&format!("undercut {:>9.0} mm2 by up to {:.1} degrees, {place}", patch.area, -patch.worst_deg));
    }
    if let Some(p) = &whole.passage {
        let rim = &p.rim;
        let how = if rim.excess > 0.05 {
            format!("is passed by a plug that stands {:.2} mm beyond it at {:.0} mm", rim.excess, rim.station)
        } else {
            "passes over all of the plug".to_owned()
        };
        say(&format!("the rim at {:.0} mm {how}", rim.passing));
    }
    say("");
    for joint in joints {
        let at =
            if let Parting::Across(station) = joint.parting { format!(" at {station:.0} mm") } else { String::new() };
        say(&format!(
            "joint {}{at}: {:.0} mm long, leaves {:.0} mm2 undercut",
            joint.parting.labels().0,
            joint.length(),
            joint.undercut()
        ));
    }
    say("");
    found.advice.iter().for_each(|words| say(words));
}
