//! What was found, in the builder's words.

use super::{Better, WayFrom};
use form::space::{Vector, length};
use form::{Finding, Part, Severity};
use geometry::loft::Loft;
use shell::release::{DIG_OUT, HalfShell, Joint, Patch, Release, Tight, Verdict, Wanted};

/// Undercut that holds nothing, mm².
const NOTHING: f64 = 1.0;
/// A patch whose middle lies within this share of the half section's size from its centre goes all round.
const ALL_ROUND: f64 = 0.35;

/// Where a patch is: "from 210 to 254 mm, below at starboard".
pub fn place_of(patch: &Patch, loft: &Loft) -> String {
    let (from, to) = patch.stations;
    let (low, high) = patch.heights;
    let words = format!("from {from:.0} to {to:.0} mm, {}, heights {low:.0} to {high:.0} mm", side_of(patch, loft));
    words.replace('-', "−")
}

fn side_of(patch: &Patch, loft: &Loft) -> &'static str {
    let (low, high) = loft.x_range();
    let Some(section) = loft.section(patch.centre[0].clamp(low, high)) else { return "all round" };
    let (top, bottom) = (section.top(), section.bottom());
    let share = |value: f64, size: f64| if size > 0.0 { value / size } else { 0.0 };
    let across = share(patch.centre[1], section.half_breadth());
    let up = share(patch.centre[2] - 0.5 * (top + bottom), 0.5 * (top - bottom));
    if across.hypot(up) < ALL_ROUND {
        return "all round";
    }
    let names = [
        "at starboard",
        "above at starboard",
        "on the crown",
        "above at port",
        "at port",
        "below at port",
        "on the keel",
        "below at starboard",
    ];
    let turn = up.atan2(across) / std::f64::consts::FRAC_PI_4;
    names[(turn.round() as i32).rem_euclid(8) as usize]
}

/// A way in words.
pub(super) fn way_words(way: Vector, from: WayFrom) -> String {
    match from {
        WayFrom::ThrustLine => "along the thrust line".into(),
        WayFrom::Datum => "straight ahead".into(),
        WayFrom::Own => direction(way),
    }
}

/// A direction by its greatest parts: "ahead, 12° down and 3° to port".
pub(super) fn direction(way: Vector) -> String {
    let names = [["ahead", "aft"], ["to port", "to starboard"], ["down", "up"]];
    let size = length(way).max(1e-300);
    let name = |axis: usize| names[axis][usize::from(way[axis] > 0.0)];
    let degrees = |axis: usize| (way[axis].abs() / size).clamp(0.0, 1.0).asin().to_degrees();
    let main = (0..3).max_by(|a, b| way[*a].abs().total_cmp(&way[*b].abs())).unwrap_or(0);
    let rest: Vec<String> = (0..3)
        .filter(|axis| *axis != main && degrees(*axis) >= 0.5)
        .map(|axis| format!("{:.0}° {}", degrees(axis), name(axis)))
        .collect();
    let main = if main == 0 { format!("straight {}", name(0)) } else { format!("straight {}", name(main)) };
    if rest.is_empty() { main } else { format!("{}, {}", main.trim_start_matches("straight "), rest.join(" and ")) }
}

/// The answer in a sentence or two.
pub(super) fn summary(wanted: &Wanted, from: WayFrom, whole: &Release, chosen: Option<&Joint>) -> String {
    if let Some(joint) = chosen {
        return parted(joint);
    }
    let way = way_words(whole.way, from);
    match whole.verdict {
        Verdict::Free => format!("Drawn off {way}, the shell comes off its plug: nothing holds it."),
        Verdict::Tight => format!(
            "Drawn off {way}, nothing holds the shell, but {:.0} mm² have less draft than {:.1}° and will stick.",
            whole.tight + whole.undercut,
            wanted.draft_deg
        ),
        Verdict::Springs => format!(
            "Drawn off {way}, the shell must be sprung over the plug by {:.2} mm; {:.2} mm are allowed.",
            excess(whole).map_or(0.0, |t| t.excess),
            wanted.spring
        ),
        Verdict::Held => match excess(whole) {
            Some(tight) => format!(
                "The shell does not come off in one piece {way}: the plug at {:.0} mm stands {:.1} mm beyond the shell's section \
                 at {:.0} mm, and {:.0} mm² are undercut.",
                tight.station, tight.excess, tight.passing, whole.undercut
            ),
            None => format!("The shell does not come off in one piece {way}: {:.0} mm² are undercut.", whole.undercut),
        },
    }
}

fn parted(joint: &Joint) -> String {
    let (line, names) = joint.parting.labels();
    let half = |(half, name): (&HalfShell, &str)| {
        let rest = if half.undercut < NOTHING {
            "nothing holds it".to_owned()
        } else {
            format!("{:.0} mm² stay undercut", half.undercut)
        };
        format!("the {name} goes {}, {rest}", direction(half.way))
    };
    let halves: Vec<String> = joint.halves.iter().zip(names).map(half).collect();
    format!("Parted {line}: {}.", halves.join("; "))
}

fn excess(whole: &Release) -> Option<Tight> {
    whole.passage.map(|p| p.worst).filter(|t| t.excess > 0.05)
}

/// What to do.
pub(super) fn advice(whole: &Release, better: Option<Better>, chosen: Option<&Joint>) -> Vec<String> {
    let mut out = Vec::new();
    if let Some(joint) = chosen {
        out.push(format!(
            "Mark the joint on plug and shell before the shell leaves the plug; it is {:.0} mm long. Lay up in one, cut along the \
             line, and join again inside with a strip of cloth; or lay up the halves one after the other with an overlap.",
            joint.length()
        ));
        if joint.undercut() >= NOTHING {
            out.push(DIG_OUT.into());
        }
        return out;
    }
    match whole.verdict {
        Verdict::Free => out.push("Wax and release the plug all the same, and try the cured shell loose with a thin wedge of plastic all round its rim.".into()),
        Verdict::Tight => out.push("Wax and release the tight places with most care, and loosen the rim all round before you draw.".into()),
        Verdict::Springs => out.push("Try on a cured strip of the same laminate whether it bends so far without whitening; loosen all round first, then spring it over.".into()),
        Verdict::Held => {
            if let Some(better) = better {
                out.push(format!("Drawn off {} only {:.0} mm² are undercut.", direction(better.way), better.undercut));
            }
            out.push("Part the shell along a joint line: see the proposals, the one with least undercut first.".into());
            out.push(DIG_OUT.into());
        }
    }
    out
}

/// What deserves a look.
pub(super) fn findings(wanted: &Wanted, whole: &Release, chosen: Option<&Joint>) -> Vec<Finding> {
    let mut found = match chosen {
        None => whole.findings(wanted),
        Some(joint) => of_joint(joint),
    };
    found.iter_mut().for_each(|f| f.place.form = Some(0));
    found
}

/// A joint that leaves something undercut.
fn of_joint(joint: &Joint) -> Vec<Finding> {
    let names = joint.parting.labels().1;
    let held = joint.halves.iter().zip(names).filter(|(half, _)| half.undercut >= NOTHING);
    held.map(|(half, name)| {
        let what = format!(
            "Even parted, the {name} has {:.0} mm² undercut when it goes {}.",
            half.undercut,
            direction(half.way)
        );
        let hint = "Take the plug out in pieces, or part the shell along another line.";
        let finding = Finding::new(Severity::Warning, Part::Release, what, hint).with(half.undercut, 0.0, "mm²");
        match half.patches.first() {
            Some(patch) => finding.at_station(patch.worst[0]).at_point([patch.worst[1], patch.worst[2]]),
            None => finding,
        }
    })
    .collect()
}
