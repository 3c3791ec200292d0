//! The whole plug, from the finished skin to what is cut.

use crate::breadth::{self, BreadthHalf};
use crate::centre::{self, Centre};
use crate::cut_outs;
use crate::difference::{Difference, differences};
use crate::finding::finding;
use crate::foam::{self, Block, BoardPlan, Mass, Through};
use crate::formers::{self, Former, foam_face};
use crate::front::{self, RingFront};
use crate::holes;
use crate::lightening::lighten;
use crate::nesting::{Nesting, Piece, Stock, nest};
use crate::openings::OpeningOnPlug;
use crate::order::{self, Step};
use crate::region::{Point, Region};
use crate::sanding::{self, Gauges};
use crate::slots::{Joining, Joint, Template, join_centre};
use crate::spacing::{BaySagitta, present};
use crate::stack::{LayerKind, Ledger, ledger_on};
use crate::surface::whole;
use crate::thrust::Shaft;
use form::openings::CutPlane;
use form::{Finding, FinishedSkin, PlugSurface, Severity};
use geometry::oblique::ObliquePlane;
use project::airframe::Airframe;
use project::build::Build;
use project::stacking;

/// All parts of a plug, in mm at the model; nothing here is drawn yet.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Plan {
    /// Thickness of a card.
    pub card: f64,
    /// Taken off the finished form along the normal.
    pub taken_off: f64,
    /// Finished form against plug.
    pub differences: Vec<Difference>,
    /// The stack.
    pub ledger: Ledger,
    /// Where the foremost face is foam alone: its station and half outline, to be drawn on the foam.
    pub first_face: Option<(f64, Vec<Point>)>,
    /// How the plug ends at its ring, where there is a thrust line with a ring.
    pub front: Option<RingFront>,
    /// Formers, from the front.
    pub formers: Vec<Former>,
    /// The centre template.
    pub centre: Option<Centre>,
    /// The halves of the breadth template; none or two.
    pub breadth: Vec<BreadthHalf>,
    /// All joints between formers and templates.
    pub joints: Vec<Joint>,
    /// The thrust line, whether or not it has a hole.
    pub shaft: Option<Shaft>,
    /// What sanding straight from face to face leaves, bay by bay.
    pub bays: Vec<BaySagitta>,
    /// Order of assembly.
    pub steps: Vec<Step>,
    /// Foam blocks.
    pub blocks: Vec<Block>,
    /// How they are cut from boards.
    pub boards: Vec<BoardPlan>,
    /// Formers and templates as rectangles on sheets of card: a bound from above on the sheets.
    pub card_sheets: Nesting,
    /// Foam and card.
    pub mass: Mass,
    /// Gauges to sand by.
    pub gauges: Gauges,
    /// What stands in the way or deserves a look.
    pub findings: Vec<Finding>,
}

/// Plans the plug of a finished skin without openings.
pub fn plan(skin: &FinishedSkin, build: &Build, airframe: &Airframe) -> Plan {
    plan_with(skin, build, airframe, &[])
}

/// Plans the plug of a finished skin, with cut-outs where the ducts of openings pass, and marks where their edges are.
pub fn plan_with(skin: &FinishedSkin, build: &Build, airframe: &Airframe, openings: &[OpeningOnPlug]) -> Plan {
    let plug = PlugSurface::of(skin, build);
    let mut plan = Plan { card: build.stack.card, taken_off: plug.taken_off(), ..Plan::default() };
    let (front, _) = plug.x_range();
    let end = plan.end(&plug, airframe);
    let (ledger, findings) = ledger_on(airframe, &build.stack, front, end);
    plan.ledger = ledger;
    plan.findings.extend(findings);
    plan.shaft = airframe.thrust.and_then(|_| Shaft::of(airframe, build.formers.shaft_hole.max(THIN)));
    let face = plan.ledger.foremost().map_or(front, |l| l.front);
    plan.front = airframe.thrust.as_ref().and_then(|line| front::front(line, skin, &plug, face));
    plan.differences = differences(skin, &plug, airframe, end, plan.front.as_ref());
    plan.cards(&plug, build, airframe, openings);
    plan.foam(&plug, build);
    plan.blocks.iter_mut().for_each(|b| b.mark_ducts(openings));
    plan.sagittas(skin, build.stack.allowed_sagitta);
    let cards: Vec<f64> = plan.formers.iter().map(Former::middle).collect();
    let (gauges, findings) = sanding::gauges(&plug, &build.sanding, (front, end), &cards);
    plan.gauges = gauges;
    plan.gauges.mark_openings(openings);
    plan.findings.extend(findings);
    plan.card_sheets = plan.nest_cards(build);
    plan
}

/// A thrust line without a hole is a line of this diameter, mm.
const THIN: f64 = 0.1;

impl Plan {
    /// Where the stack has to end: at the fuselage if that lies on the form, or else at the form's rear end.
    fn end(&mut self, plug: &PlugSurface, airframe: &Airframe) -> f64 {
        let end = match stacking::end(airframe, plug.x_range()) {
            Ok(end) => return end,
            Err(end) => end,
        };
        let Some(fuselage) = &airframe.fuselage else { return end };
        let x = fuselage.station;
        let what = format!(
            "The fuselage end at {x:.1} mm does not lie on the form; the stack ends at the form's rear instead."
        );
        let hint = "Let the form reach the fuselage end.";
        self.findings.push(finding(Severity::Error, what, hint).at_station(x).with(x, end, "mm"));
        end
    }

    /// Formers, templates, joints and holes.
    fn cards(&mut self, plug: &PlugSurface, build: &Build, airframe: &Airframe, openings: &[OpeningOnPlug]) {
        let wanted = &build.formers;
        let card = build.stack.card;
        for layer in self.ledger.cards() {
            let (former, findings) = formers::blank(plug, layer, wanted);
            self.formers.extend(former);
            self.findings.extend(findings);
        }
        self.trim_formers();
        if build.stack.foam_front {
            let first = self.ledger.boards().next().map(|b| (b.front, foam_face(plug, b.front)));
            self.first_face = first.filter(|(_, half)| whole(half).area() >= front::LEAST_FACE);
        }
        let shaft = Shaft::of(airframe, wanted.shaft_hole);
        if let Some(shaft) = &shaft {
            self.formers.iter_mut().for_each(|f| holes::cut_shaft(f, shaft));
        }
        self.centre(plug, build, shaft.as_ref());
        if let Some(height) = wanted.breadth_template {
            match breadth::halves(plug, &mut self.formers, height, card, wanted) {
                Some((mut halves, joints)) => {
                    if let Some(shaft) = &shaft {
                        let cut = |h: &mut BreadthHalf| {
                            h.part = h.part.without(&shaft.channel_at(height, 0.5 * card, h.range));
                        };
                        halves.iter_mut().for_each(cut);
                    }
                    if let Some(plane) = self.plane() {
                        let trim = |r: &mut Region| *r = front::trim_waterline(r, &plane, height, card);
                        halves.iter_mut().for_each(|h| [&mut h.outline, &mut h.part].into_iter().for_each(trim));
                    }
                    self.breadth = halves;
                    self.joints.extend(joints);
                    self.untouched_by_breadth(height);
                }
                None => self.findings.push(no_breadth(height)),
            }
        }
        self.openings(build, openings);
        self.holes(build);
        let (steps, findings) = order::steps(
            self.centre.as_ref(),
            &self.formers,
            &self.breadth,
            &self.joints,
            (card, wanted.centre_opens_up),
        );
        self.steps = steps;
        self.findings.extend(findings);
    }

    /// The plane that trims the front.
    fn plane(&self) -> Option<ObliquePlane> {
        self.front.as_ref().map(|f| f.plug.ring.rear.oblique())
    }

    /// Leaves of the formers what lies behind the ring's plane.
    fn trim_formers(&mut self) {
        let Some(trim) = self.front.as_ref().map(|f| f.plug.ring.rear) else { return };
        let findings = &mut self.findings;
        self.formers.retain_mut(|former| {
            let (left, found) = front::trim_former(former, &trim);
            findings.extend(found);
            left
        });
    }

    /// The centre template and its joints with all formers.
    fn centre(&mut self, plug: &PlugSurface, build: &Build, shaft: Option<&Shaft>) {
        let (Some(first), Some(last)) = (self.formers.first(), self.formers.last()) else { return };
        let (range, card) = ((first.front, last.rear), build.stack.card);
        let cards: Vec<(f64, f64)> = self.formers.iter().map(|f| (f.front, f.rear)).collect();
        let mut outline = centre::outline(plug, range, &cards, card, build.formers.inset);
        if let Some(plane) = self.plane() {
            outline = front::trim_centre(&outline, &plane, card);
        }
        let mut part = outline.clone();
        if let Some((shaft, (from, to))) = shaft.and_then(|s| Some((s, s.meets_centre(0.5 * card)?))) {
            let (from, to) = (from.max(range.0 - 1.0), to.min(range.1 + 1.0));
            if to > from {
                part = part.without(&shaft.channel(from, to));
            }
            if part.pieces.len() > 1 {
                self.findings.push(divided(from.max(range.0)));
            }
        }
        for former in &mut self.formers {
            let faces = (former.front, former.rear);
            if let Some(how) = join_centre(&mut former.part, &mut part, faces, card, &build.formers) {
                former.in_halves = how == Joining::Butted;
                self.joints.push(Joint { former: former.number, with: Template::Centre, how });
            }
        }
        let halves: Vec<String> = self.formers.iter().filter(|f| f.in_halves).map(|f| f.number.to_string()).collect();
        if !halves.is_empty() {
            self.findings.push(in_halves(&halves, build.formers.least_web));
        }
        self.centre = Some(Centre { range, outline, part, ticks: Vec::new(), cut_outs: Vec::new() });
    }

    /// Cuts ducts out of the cards and marks where edges cross them; before holes are placed, which then keep clear of them.
    fn openings(&mut self, build: &Build, openings: &[OpeningOnPlug]) {
        let (half, web, findings) = (0.5 * build.stack.card, build.formers.least_web, &mut self.findings);
        for opening in openings {
            for former in &mut self.formers {
                former.ticks.extend(opening.ticks(&former.outline, &opening.crossings(0, former.middle())));
                let Some(duct) = opening.cut_out([former.front, former.rear].map(CutPlane::Station)) else { continue };
                let name = format!("former {}", former.number);
                let mut found = Vec::new();
                if cut_outs::cut((&mut former.part, &former.outline), &duct, &name, web, &mut found) {
                    former.cut_outs.push(duct);
                }
                findings.extend(found.into_iter().map(|f| f.at_station(former.front)));
            }
            if let Some(centre) = &mut self.centre {
                centre.ticks.extend(opening.ticks(&centre.outline, &opening.crossings(1, 0.0)));
                if let Some(duct) = opening.cut_out([-half, half].map(CutPlane::Buttock))
                    && cut_outs::cut((&mut centre.part, &centre.outline), &duct, "the centre template", web, findings)
                {
                    centre.cut_outs.push(duct);
                }
            }
            for template in &mut self.breadth {
                let height = template.height;
                template.ticks.extend(opening.ticks(&template.outline, &opening.crossings(2, height)));
                if let Some(duct) = opening.cut_out([height - half, height + half].map(CutPlane::Height))
                    && cut_outs::cut(
                        (&mut template.part, &template.outline),
                        &duct,
                        "the breadth template",
                        web,
                        findings,
                    )
                {
                    template.cut_outs.push(duct);
                }
            }
        }
    }

    fn holes(&mut self, build: &Build) {
        let (wanted, card) = (&build.formers, build.stack.card);
        let bar = self.breadth.first().map(|b| b.height);
        for former in &mut self.formers {
            let no_room = holes::cut_dowels(former, card, wanted);
            self.findings.extend(no_room.iter().map(|p| dowel_without_room(former, *p)));
            lighten(former, card, bar, wanted.lightening_web);
        }
    }

    /// Formers within the plug's length that the breadth template does not reach.
    fn untouched_by_breadth(&mut self, height: f64) {
        let joined =
            |f: &Former| self.joints.iter().any(|j| j.former == f.number && j.with == Template::BreadthStarboard);
        let missing: Vec<String> = self.formers.iter().filter(|f| !joined(f)).map(|f| f.number.to_string()).collect();
        if !missing.is_empty() {
            let what = format!(
                "The breadth template at {height:.1} mm does not reach {}: there is no room for a half-lap with its webs.",
                named("former", &missing)
            );
            self.findings.push(finding(
                Severity::Note,
                what,
                "That is usual toward a narrow end; else choose another height.",
            ));
        }
    }

    fn foam(&mut self, plug: &PlugSurface, build: &Build) {
        let (card, plane) = (build.stack.card, self.plane());
        let within = |range: (f64, f64), front: f64, rear: f64| range.0 <= front + 1e-6 && range.1 >= rear - 1e-6;
        let foam = |k: LayerKind| matches!(k, LayerKind::Board(_) | LayerKind::NoseFoam);
        for layer in self.ledger.layers.iter().filter(|l| foam(l.kind)) {
            let through = Through {
                centre: self.centre.as_ref().is_some_and(|c| within(c.range, layer.front, layer.rear)),
                breadth: self.breadth.first().filter(|b| within(b.range, layer.front, layer.rear)).map(|b| b.height),
                card,
            };
            self.blocks.extend(foam::blocks(plug, layer, &through, build.foam.allowance, plane.as_ref()));
        }
        self.blocks.iter_mut().for_each(|b| b.take_dowels(&self.formers, build.stack.glue));
        self.boards = foam::boards(&self.blocks, &build.foam);
        for plan in &self.boards {
            let large = plan.nesting.too_large.iter().map(|&i| &self.blocks[plan.blocks[i]]);
            self.findings.extend(large.map(|b| too_large(b, build.foam.board)));
        }
        let area: f64 = self.card_parts().map(Region::area).sum();
        self.mass = foam::mass(&self.blocks, area, &build.foam);
    }

    /// The sagitta of every bay between two faces that guide the hand, and those above what is allowed.
    fn sagittas(&mut self, skin: &FinishedSkin, allowed: f64) {
        let faces = self.first_face.iter().map(|f| f.0).chain(self.formers.iter().map(Former::middle));
        self.bays = present(skin.loft(), &faces.collect::<Vec<_>>());
        self.findings.extend(self.bays.iter().filter(|b| b.sagitta > allowed).map(|b| too_coarse(b, allowed)));
    }

    /// Everything that is cut from card for the plug itself.
    fn card_parts(&self) -> impl Iterator<Item = &Region> {
        let formers = self.formers.iter().map(|f| &f.part);
        formers.chain(self.centre.iter().map(|c| &c.part)).chain(self.breadth.iter().map(|b| &b.part))
    }

    fn nest_cards(&self, build: &Build) -> Nesting {
        let each = self.card_parts().flat_map(|r| r.pieces.iter().cloned());
        let size = |piece: Vec<Vec<Point>>| {
            let (low, high) = Region { pieces: vec![piece] }.bounds()?;
            Some(Piece { size: [high[0] - low[0], high[1] - low[1]] })
        };
        let pieces: Vec<Piece> = each.filter_map(size).collect();
        nest(&pieces, &Stock { size: build.foam.card_sheet, edge: build.foam.edge, kerf: build.foam.kerf })
    }
}

fn too_coarse(bay: &BaySagitta, allowed: f64) -> Finding {
    // The sagitta falls with the square of the bay's length.
    let parts = (bay.sagitta / allowed.max(1e-3)).sqrt().ceil();
    let at: Vec<String> =
        (1..parts as usize).map(|i| format!("{:.0}", bay.from + (bay.to - bay.from) * i as f64 / parts)).collect();
    let what = format!(
        "Between {:.1} and {:.1} mm foam sanded straight from face to face misses the curve by {:.2} mm.",
        bay.from, bay.to, bay.sagitta
    );
    let hint = format!(
        "Use thinner boards there, with {} mm, or sand it round by an outside template.",
        if at.len() == 1 { format!("a card near {}", at[0]) } else { format!("cards near {}", at.join(", ")) }
    );
    finding(Severity::Note, what, hint).at_station(bay.from).with(bay.sagitta, allowed, "mm")
}

fn divided(x: f64) -> Finding {
    let what = "The shaft's hole runs through the whole centre template and divides it.";
    let hint = "Give a thrust line whose firewall lies on the plug, or leave the shaft's hole out.";
    finding(Severity::Warning, what, hint).at_station(x)
}

/// "former 1", or "formers 1, 2 and 3".
fn named(what: &str, numbers: &[String]) -> String {
    match numbers {
        [] => String::new(),
        [only] => format!("{what} {only}"),
        [first @ .., last] => format!("{what}s {} and {last}", first.join(", ")),
    }
}

fn in_halves(numbers: &[String], least_web: f64) -> Finding {
    let which = named("Former", numbers);
    let made = if numbers.len() == 1 { "is made" } else { "are each made" };
    let what = format!(
        "{which} {made} in two halves that butt on the centre template: a half-lap would leave webs of less than {least_web:.1} mm, or the shaft passes there."
    );
    finding(Severity::Note, what, "Glue the halves against the template's faces, centre lines and waterlines in line.")
}

fn no_breadth(height: f64) -> Finding {
    let what =
        format!("A breadth template at {height:.1} mm finds no two neighbouring formers with room for its half-laps.");
    finding(Severity::Warning, what, "Choose a height nearer to where the formers are widest.")
}

fn dowel_without_room(former: &Former, place: Point) -> Finding {
    let what = format!("A dowel hole finds no room in former {}.", former.number);
    let hint = "Move it away from edges, slots and the centre plane, or let the dowel end before this former.";
    finding(Severity::Note, what, hint).at_station(former.front).at_point(place)
}

fn too_large(block: &Block, board: [f64; 2]) -> Finding {
    let what = format!(
        "Block {} is {:.0} by {:.0} mm, larger than a board of {:.0} by {:.0} mm.",
        block.name, block.size[0], block.size[1], board[0], board[1]
    );
    finding(Severity::Warning, what, "Join boards edge to edge first, or use larger ones.").at_station(block.stations.0)
}
