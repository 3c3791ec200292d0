//! The order in which the shell is made: first the shell, then its openings, then the forms that are added.

use super::super::composer::Composer;
use super::super::{Subject, count, mm};
use super::ShellSubject;
use project::build::Process;
use project::laminate::{Extent, LayUp};
use project::shell::Parting;

/// Cautions that belong to the shell; common practice, no source.
const CAUTIONS: [(&str, &str); 5] = [
    (
        "Dust of cured cloth",
        "Glass and carbon, cut or sanded, are needles: protection for fine particles, long sleeves, wet sanding, and no vacuum cleaner \
         without a fine filter. Dust of resin that is not cured through is the surest way to an allergy: wait the maker's full time.",
    ),
    (
        "Carbon",
        "It conducts: keep battery, controller and bare contacts from touching it, and put something between it and aluminium. It shields \
         radio: antennas outside, at right angles to each other; do the range check of your radio's manual with the new shell on, motor \
         running as well, and do not fly if it falls short.",
    ),
    (
        "Solvents and foam",
        "Acetone and many sprays dissolve polystyrene foam, which can be wanted or not. They also swell resin that is not cured through. \
         Outdoors or drawn off, away from flames and sparks, gloves that the maker names for it.",
    ),
    (
        "Hot wire",
        "Only foams whose maker allows it, never polyurethane or an unknown foam. Draw the fumes off to the outside.",
    ),
    (
        "Trying it with the motor",
        "Propeller off for every fitting. For the first run with the new shell: model held fast, nobody in or ahead of the propeller's \
         plane, everything screwed down; stop and look for rubbing and heat after half a minute.",
    ),
];

pub(super) fn set(c: &mut Composer, s: &Subject<'_>, shell: &ShellSubject) {
    c.chapter("The shell: order of the work");
    c.text("First the shell of the first form, then its openings, then the forms that are added. Try every step on an offcut before.");
    let steps = steps(s, shell);
    c.list(steps.into_iter().enumerate().map(|(k, words)| (format!("{}.", k + 1), words)));
    c.heading("Cautions for cloth and resin");
    c.text(
        "They come besides those at the head of this book. Makers' sheets and the rules of the place go before them.",
    );
    for (what, words) in CAUTIONS {
        c.lead(what, 14.0);
        c.text(words);
    }
}

fn steps(s: &Subject<'_>, shell: &ShellSubject) -> Vec<String> {
    let document = s.document;
    let laminate = &document.shell.laminate;
    let whole = laminate.plies.iter().filter(|ply| ply.extent == Extent::Whole).count();
    let over = document.build.process == Process::OverPlug;
    let mut steps = vec![if over {
        "Seal the plug, sand it smooth, mark its stations, its centre plane and the start of the cloth on it, then wax and release it as the \
         maker of the release says. Every mark shows through one ply of glass."
            .to_owned()
    } else {
        "Take the female mould off the plug, trim it, wax and release it as the maker of the release says; mark stations and centre plane on \
         its flange."
            .to_owned()
    }];
    steps.push("Cut all cloth before any resin is mixed: by the patterns, warp along the arrow, and lay the plies down in their order.".into());
    steps.push(format!(
        "Lay up {} one on the other while the last is still wet, each from its start outward along warp and weft, then into the sheared \
         corners. Mix a pot only when the last one is empty.",
        count(whole, "whole ply").replace("plys", "plies")
    ));
    steps.push(match laminate.lay_up {
        LayUp::Brush | LayUp::Squeegee => "Draw surplus resin off towards the edges, lay peel ply where something is glued on later, and let it cure as long and as warm as the maker says.".to_owned(),
        LayUp::Bag => "Peel ply, perforated film, breather and bag go over it within the pot life; draw the air out slowly, look for leaks, and let it cure under vacuum.".to_owned(),
        LayUp::Infusion => "Dry cloth, peel ply, flow mesh and bag first; hold vacuum for ten minutes without a drop before resin is let in.".to_owned(),
    });
    steps.push("Before the shell leaves the plug: mark centre plane, stations, rims and the outlines of the openings on it with their templates.".into());
    steps.push(off(s, shell));
    if laminate.plies.iter().any(|ply| ply.extent != Extent::Whole) {
        steps.push("Sand the inside dull where strips and patches go, and lay them in.".into());
    }
    if let Some(end) = &document.airframe.fuselage {
        steps.push(format!(
            "Trim the rims by their lines: {} mm of lap behind the joint. Try the shell on, propeller off, and ease it until it goes on \
             without force.",
            mm(end.lap.length)
        ));
    }
    if !s.form.openings.is_empty() {
        steps.push(format!(
            "Cut the {} by the trim templates: drill the corners first, saw inside the line, sand to it; then close ducts and lips behind them.",
            count(s.form.openings.len(), "opening")
        ));
    }
    if document.airframe.thrust.is_some() {
        steps.push(
            "Glue the ring in, square to the shaft, with the spinner in place and its gap kept by card all round."
                .into(),
        );
    }
    let added = document.forms.iter().skip(1).filter(|form| form.mount.is_some()).count();
    if added > 0 {
        steps.push(format!(
            "Build the {} on small plugs, one for each and for each side, trim them along the line where they meet the shell, tack them on, \
             and join them with strips of cloth over a fillet, inside and out.",
            if added == 1 { "form that is added".to_owned() } else { format!("{added} forms that are added") }
        ));
    }
    steps.push("Fill, sand and paint; weigh after every step and write it beside the numbers of this book.".into());
    steps.push("Drill and screw by the screw strip, then weigh and balance the aircraft anew, check all controls, and do the range check.".into());
    steps
}

/// How it comes off, in a sentence.
fn off(s: &Subject<'_>, shell: &ShellSubject) -> String {
    let words = match &shell.releasing {
        Ok(found) => found.summary.clone(),
        Err(why) => format!("Whether the shell comes off cannot be told: {why}."),
    };
    let joint = match s.document.shell.release.parting {
        Parting::Whole => "",
        Parting::BreadthLine | Parting::CentrePlane | Parting::Across(_) => {
            " The joint line stands on the templates; draw it on the plug."
        }
    };
    format!("Take it off. {words}{joint} See the page on that.")
}
