//! Cautions, and the order of the work.

use super::composer::Composer;
use super::{Subject, fine, mm};
use plug::{Plan, RingFront};
use project::build::Process;

/// What hurts and how it is kept from hurting; common practice, no source.
const CAUTIONS: [(&str, &str); 9] = [
    (
        "Dust",
        "Dust of foam, card, filler, glass and carbon goes deep into the lungs. Wear protection for fine particles, sand wet or with an \
         extractor where you can, clean with a damp cloth or a filtered cleaner, and never with compressed air.",
    ),
    (
        "Fumes",
        "A hot wire, a laser and many glues give off fumes. Cut hot only what its maker allows to be cut hot; never polyurethane or an \
         unknown foam, whose fumes are poisonous. Draw fumes off to the outside, and do not leave a laser or a hot wire alone.",
    ),
    (
        "Blades",
        "A fresh blade needs less force than a blunt one. Several light cuts along a steel rule, away from the other hand; cover blades \
         when they are put down, and collect broken ones in a box.",
    ),
    (
        "Resin",
        "Resin and hardener can make you allergic for life. Gloves of nitrile, eye protection and fresh air, from mixing until it has \
         cured. Weigh to the maker's ratio. A full cup heats itself up and can smoke or burn: mix little, and spread it out.",
    ),
    (
        "Solvents and paint",
        "No flames, no sparks, and a mask for vapours, not only for dust. Some solvents and paints melt foam: try a scrap.",
    ),
    (
        "Carbon near antennas",
        "Carbon cloth shields radio waves and conducts. Keep receiver and satellite antennas outside it and clear of it, keep it off bare \
         contacts, and do a range check with the new shell in place.",
    ),
    (
        "Spinning propellers",
        "Take the propeller off for every fitting of the shell; with an electric motor, unplug the battery as well. Before a run: model \
         held fast, nobody in or ahead of the propeller's plane, spinner and shell screwed down, nothing loose inside.",
    ),
    (
        "Cooling and balance",
        "A new shell changes the flow of air and the balance. Check that air comes in and goes out, weigh and balance the model anew, and \
         check all controls before the first flight.",
    ),
    ("Fire", "Foam, card, dust and solvent burn well. Keep them away from heat, and the means to put a fire out near."),
];

pub(super) fn cautions(c: &mut Composer) {
    c.chapter("Before you begin");
    c.loud(
        "The law and the rules of the place where you build and fly, the terms of your insurance and your club, and the word of those who \
         are licensed to inspect, to teach or to fly such a model go before anything in this book. So do the makers' data sheets.",
    );
    for (what, words) in CAUTIONS {
        c.lead(what, 16.0);
        c.text(words);
    }
}

pub(super) fn set(c: &mut Composer, s: &Subject<'_>) {
    c.chapter("Step by step");
    let steps = match &s.plan {
        Some(plan) => with_stack(s, plan),
        None => without_stack(s),
    };
    c.list(steps.into_iter().enumerate().map(|(k, words)| (format!("{}.", k + 1), words)));
}

fn print_and_measure() -> String {
    "Print the templates at 100 %, never fitted to the page. Measure both 100 mm lines on every page; if one is off, enter what you \
     measured as the print correction and print again."
        .to_owned()
}

fn without_stack(s: &Subject<'_>) -> Vec<String> {
    vec![
        print_and_measure(),
        "Glue the tiles together cross on cross, and check the length of the centre template against this book.".to_owned(),
        "Measure the boards of foam and the card that you have, and enter them as the stack: the templates then follow the real \
         thicknesses, formers get their slots, and this book its missing chapters."
            .to_owned(),
        format!(
            "Until then the templates show the finished outside of {}: neither laminate nor card is taken off.",
            s.form.name
        ),
    ]
}

fn with_stack(s: &Subject<'_>, plan: &Plan) -> Vec<String> {
    let build = &s.document.build;
    let mut steps = vec![
        "Measure every board and the card again, in several places. If one differs from the ledger, change it in the project and print \
         anew: the stations follow the real stack."
            .to_owned(),
        print_and_measure(),
        format!(
            "Transfer formers and templates to card of {} mm, with all marks and numbers. Cut holes and slots first, outlines last.",
            fine(plan.card)
        ),
    ];
    steps.push(
        "Put the card parts together dry, in the order that follows. Nothing may need force: ease a slot rather than bend a card."
            .to_owned(),
    );
    for step in &plan.steps {
        let hint = if step.free { "" } else { " Another part is in its way: see the findings." };
        steps.push(format!("{}: {}.{hint}", step.part, step.way.label()));
    }
    steps.push(
        "Check on a flat board that the centre template is straight, the formers stand square to it, and all centre lines and waterlines \
         agree; then glue the joints."
            .to_owned(),
    );
    steps.extend(dowels(plan, build.formers.dowel_diameter));
    steps.push(
        "Cut the blocks by the cutting plan, and name each as soon as it is cut. Where a board was to be made thinner, make it so before \
         the blocks are cut from it."
            .to_owned(),
    );
    steps.push(format!(
        "Glue the blocks into their bays from both sides, bay by bay, thin and even: {} mm are reckoned for a joint. After every few bays \
         measure the length and compare it with the running sum in the ledger.",
        fine(build.stack.glue)
    ));
    steps.extend(front(plan));
    steps.extend(plan.front.iter().map(ring));
    steps.push(format!(
        "Saw or wire away what stands far out, then sand along the body with long blocks until the edges of the cards are {} mm below the \
         surface all round: card is harder than foam and must not guide the block.",
        mm(build.formers.inset)
    ));
    steps.push(
        "Check with the outside templates and with calipers, both sides alike, and go on until the widths agree with the tables.".to_owned(),
    );
    steps.extend(finish(s, plan));
    steps
}

fn dowels(plan: &Plan, diameter: f64) -> Option<String> {
    plan.formers.iter().any(|f| !f.dowels.is_empty()).then(|| {
        format!(
            "The holes of {} mm are for dowels: slide them through all formers that have them to keep the set in line.",
            mm(diameter)
        )
    })
}

fn front(plan: &Plan) -> Option<String> {
    plan.first_face.as_ref().map(|(x, _)| {
        format!(
            "The foremost face, at station {} mm, is foam alone: draw its outline on the foam, level and in the middle, before you sand.",
            mm(*x)
        )
    })
}

/// The front is brought to the ring's plane once the stack is glued.
fn ring(front: &RingFront) -> String {
    let depths = front.clock.map(|c| c.packing);
    let (least, most) =
        (depths.iter().copied().fold(f64::MAX, f64::min), depths.iter().copied().fold(f64::MIN, f64::max));
    let [twelve, three, six, nine] = if most <= 0.0 { depths.map(|d| mm(-d)) } else { depths.map(mm) };
    let amounts = format!("{twelve} mm at 12 o'clock, {three} at 3, {six} at 6 and {nine} at 9, looking aft");
    let what = if most <= 0.0 {
        format!("Cut the glued front to the ring's plane: take off {amounts}.")
    } else if least >= 0.0 {
        format!("Pack the front out to the ring's plane: glue on foam or packing of {amounts}, and sand it level.")
    } else {
        format!("Bring the front to the ring's plane: {amounts}; what has a minus is taken off, the rest packed out.")
    };
    format!(
        "{what} Lay the template of the front on the ring plane on it, its centre plane upright, and draw round it."
    )
}

fn finish(s: &Subject<'_>, plan: &Plan) -> Vec<String> {
    match s.document.build.process {
        Process::OverPlug => vec![
            "Seal the foam, so that no resin runs into it, and put a release over it if the shell is to be drawn off the plug in one \
             piece."
                .to_owned(),
            format!(
                "Laminate over the plug, fill, and paint: {} mm in all are reckoned along the normal. More makes the shell larger than \
                 drawn.",
                fine(plan.taken_off)
            ),
        ],
        Process::FemaleMould => vec![
            "Seal, fill and polish the plug until it is as smooth as the finished form is to be: the mould shows every mark.".to_owned(),
            "Set the parting board on the centre plane, put release on, and take the mould off the plug.".to_owned(),
        ],
    }
}
