//! The page about cloth: whether one piece of it goes round, where it begins, what is slit, and what comes off the roll.

mod found;
mod laying;
mod slits;
#[cfg(test)]
mod tests;

use crate::on_shell::ShellAsk;
use crate::on_shell::cloth::lies::Lies;
use crate::on_shell::cloth::{ClothAsk, ClothWork, Looks, Planned, Standing, flat};
use crate::slate::field::reading;
use crate::slate::part::Part;
use crate::slate::{Ask, Seen, heading, note};
use crate::theme;
use crate::units::Units;
use crate::view::{Spot, ViewState};
use desk::shell::cloth::{GapOnForm, PlaceOnForm, PlyPlan};
use egui::{Color32, Label, ProgressBar, RichText, Sense, Ui, vec2};
use project::edit::Edit;
use project::laminate::{Fabric, Ply};
use project::shell::Shell;
use shell::cloth::Judgement;

/// What the parts of the page read.
struct Page<'a> {
    seen: &'a Seen<'a>,
    cloth: &'a ClothWork,
    shell: Part<'a, Shell>,
    units: Units,
}

pub(super) fn page(ui: &mut Ui, seen: &Seen<'_>, view: &mut ViewState, asks: &mut Vec<Ask>) {
    let Some(work) = seen.shell else { return };
    let shell = Part { name: "Cloth", now: &*seen.document.shell, units: view.units, edit: &Edit::SetShell };
    let page = Page { seen, cloth: &work.cloth, shell, units: view.units };
    if seen.derived.loft().is_none() {
        note(ui, "Cloth is laid on the form: draw its four lines and a control section first.");
        return;
    }
    // What comes and goes above a field must not take its name, and with it the focus, while something is typed.
    ui.push_id("plies", |ui| page.plies(ui, asks));
    ui.push_id("verdict", |ui| page.verdict(ui, view, asks));
    ui.push_id("start", |ui| page.start(ui, asks));
    ui.push_id("found", |ui| found::part(ui, &page, asks));
    ui.push_id("slits", |ui| slits::part(ui, &page, view, asks));
    ui.push_id("flat", |ui| page.flat(ui, asks));
    ui.push_id("laying", |ui| laying::part(ui, &page, asks));
}

fn ask(asked: ClothAsk) -> Ask {
    Ask::Shell(ShellAsk::Cloth(asked))
}

/// Fields whose meaning is told when they are pointed at.
fn tipped(ui: &mut Ui, tip: &str, fields: impl FnOnce(&mut Ui)) {
    ui.scope(fields).response.on_hover_text(tip);
}

/// Words that lead to a place of the form when they are clicked.
fn leads(ui: &mut Ui, view: &mut ViewState, text: RichText, place: &PlaceOnForm) {
    let label = ui.add(Label::new(text).wrap().sense(Sense::click()));
    if label.on_hover_text(format!("{}. A click marks it on the floor.", place.label())).clicked() {
        view.spot = Some(Spot { station: Some(place.at[0]), at: Some([place.at[1], place.at[2]]) });
    }
}

impl Page<'_> {
    /// Which of the plies is looked at; without one, how to begin.
    fn plies(&self, ui: &mut Ui, asks: &mut Vec<Ask>) {
        let plies = self.cloth.plies();
        if plies.iter().any(|ply| ply.ply.is_none()) {
            note(ui, "The laminate has no ply over the whole shell yet. For now one of glass, plain weave, is laid.");
            let tip = "Glass, plain weave, 160 g/m²; its numbers are on the page Laminate.";
            self.shell.button(ui, "Add this ply to the laminate", tip, asks, |shell| {
                shell.laminate.plies.push(Ply::whole(Fabric::usual(), 0.0));
            });
            return;
        }
        ui.horizontal_wrapped(|ui| {
            ui.label("Ply");
            for (k, ply) in plies.iter().enumerate() {
                let mark = ply.mark();
                let button = ui.selectable_label(self.cloth.ply == k, mark.as_str());
                if button.on_hover_text(ply.label()).accessible_name(format!("Look at ply {mark}")).clicked() {
                    asks.push(ask(ClothAsk::Ply(k)));
                }
            }
        });
        if let Some(ply) = self.cloth.chosen() {
            note(ui, ply.label());
        }
    }

    /// Whether it goes round, in words, and the numbers behind that.
    fn verdict(&self, ui: &mut Ui, view: &mut ViewState, asks: &mut Vec<Ask>) {
        if let Some(why) = self.cloth.failure() {
            ui.add(Label::new(RichText::new(why).color(self.seen.theme.error)).wrap());
        }
        let Some(lies) = self.cloth.in_one_piece() else {
            if self.cloth.failure().is_none() {
                note(ui, "Draping…");
            }
            return;
        };
        ui.scope(|ui| {
            if self.cloth.standing() == Standing::Old {
                ui.visuals_mut().override_text_color = Some(self.seen.theme.weak);
            }
            self.says(ui, lies);
            self.numbers(ui, view, lies);
        });
        self.under_way(ui, asks);
    }

    fn says(&self, ui: &mut Ui, lies: &Lies) {
        let theme = self.seen.theme;
        let is_half = self.cloth.chosen().is_some_and(|ply| ply.half.is_some());
        let (text, colour): (String, Color32) = if lies.judgement.one_piece() && is_half {
            ("This half goes over its side without a fold.".into(), theme.good)
        } else if lies.judgement.one_piece() {
            ("One piece goes round without a fold.".into(), theme.good)
        } else {
            match self.mended() {
                Some((ply, with)) if with.judgement.one_piece() => {
                    (format!("One piece folds; with {} it goes round.", slits_in_words(ply.slits.len())), theme.good)
                }
                Some((ply, _)) if !ply.slits.is_empty() => {
                    (format!("Even with {} it does not go round.", slits_in_words(ply.slits.len())), theme.error)
                }
                _ => ("One piece does not go round.".into(), theme.warning),
            }
        };
        ui.add(Label::new(RichText::new(text).font(theme::bold(theme::BODY)).color(colour)).wrap());
        let next = self.next(lies);
        if !next.is_empty() {
            note(ui, next);
        }
    }

    /// What to do next.
    fn next(&self, lies: &Lies) -> String {
        let judgement = &lies.judgement;
        if judgement.one_piece() {
            let close = judgement.watched > 0.0;
            return if close {
                "Where it is warm the yarns are near to jamming: smooth the cloth from the start outward, and try it dry first."
                    .into()
            } else {
                "Smooth it from the start cross outward.".into()
            };
        }
        if judgement.locked == 0.0 && judgement.missed > 0.0 {
            let area = self.units.area(judgement.missed);
            return GapOnForm::largest(judgement).map_or_else(
                || {
                    format!(
                        "{area} are not reached by the yarns from this start. Move the start, or seek the best one."
                    )
                },
                |gap| format!("{area} are not reached: {}. {}", gap.reason(), gap.remedy()),
            );
        }
        let cured = self.mended().is_some_and(|(ply, with)| with.judgement.one_piece() && !ply.slits.is_empty());
        if cured {
            return "Mark the slits on the cloth before it is cut, and cut them dry. A better start may need fewer."
                .into();
        }
        let slits = self.seen.document.shell.draping.slits;
        let first = "Seek the best start and direction";
        if slits && self.cloth.fresh_plan().is_some() {
            format!("{first}, take a cloth that bears more shear, or part the shell.")
        } else if slits {
            format!("{first}; slits are being worked out.")
        } else {
            format!("{first}, or allow slits.")
        }
    }

    fn numbers(&self, ui: &mut Ui, view: &mut ViewState, lies: &Lies) {
        let judgement = &lies.judgement;
        let greatest = lies.greatest();
        ui.horizontal_wrapped(|ui| {
            ui.spacing_mut().item_spacing.x = 4.0;
            ui.label("Greatest shear");
            let text = RichText::new(format!("{:.1}°", judgement.greatest_deg.abs())).font(theme::bold(theme::BODY));
            leads(ui, view, text, &greatest);
            ui.label("at");
            let text = RichText::new(self.place(&greatest)).underline();
            leads(ui, view, text, &greatest);
        });
        let share = 100.0 * judgement.locked_share();
        reading(ui, "Past locking", format!("{} ({share:.1} %)", self.units.area(judgement.locked)));
        if judgement.missed > 0.0 {
            reading(ui, "Not reached", self.units.area(judgement.missed));
        }
        if let Some((_, with)) = self.mended().filter(|(ply, _)| !ply.slits.is_empty()) {
            let after = &with.judgement;
            reading(ui, "With slits", format!("greatest shear {:.1}°", after.greatest_deg.abs()));
            if after.locked > 0.0 {
                reading(ui, "  still past it", self.units.area(after.locked));
            }
        }
        self.stops(ui, view, judgement);
        for (k, wrinkle) in judgement.wrinkles.iter().enumerate().take(4) {
            let place = PlaceOnForm::of(wrinkle.at);
            let text = format!("Fold {}: {}, {}", k + 1, self.units.area(wrinkle.area), self.place(&place));
            leads(ui, view, RichText::new(text).small().underline(), &place);
        }
    }

    /// Where the cloth stops, and what keeps it from going on at the first of these places.
    fn stops(&self, ui: &mut Ui, view: &mut ViewState, judgement: &Judgement) {
        for (k, gap) in judgement.gaps.iter().map(GapOnForm::of).enumerate().take(4) {
            let text = format!("Stop {}: {}", k + 1, self.place(&gap.place));
            leads(ui, view, RichText::new(text).small().underline(), &gap.place);
            if k == 0 {
                note(ui, format!("There {}.", gap.reason()));
            }
        }
    }

    /// A place in a few words.
    fn place(&self, place: &PlaceOnForm) -> String {
        let [x, _, z] = place.at;
        format!("station {}, {}, {}", self.units.length(x), self.units.height(z), place.side.label())
    }

    /// How far slits and patterns are.
    fn under_way(&self, ui: &mut Ui, asks: &mut Vec<Ask>) {
        match self.cloth.standing() {
            Standing::Draped(share) if share > 0.0 => {
                bar(ui, "slits and patterns", share, "Stop working out slits", ask(ClothAsk::StopPlan(true)), asks);
            }
            Standing::Stopped => {
                let tip = "Works out the slits and the flat patterns of all plies.";
                if ui.button("Work out slits and patterns").on_hover_text(tip).clicked() {
                    asks.push(ask(ClothAsk::StopPlan(false)));
                }
            }
            _ => {}
        }
    }

    /// Where cloth begins and which way it lies.
    fn start(&self, ui: &mut Ui, asks: &mut Vec<Ask>) {
        heading(ui, "Start and direction");
        let draping = &self.shell.now.draping;
        let surface = self.cloth.last_surface();
        let at = surface.map(|surface| desk::shell::cloth::resolved_start(surface, draping)).or(draping.start);
        let Some([station, turn]) = at else { return };
        let tip = "The first two yarns cross here. Drag the mark on the floor; the cloth follows.";
        tipped(ui, tip, |ui| {
            self.shell.length(ui, "Start station", station, asks, |shell, mm| {
                shell.draping.start = Some([mm, turn]);
            });
        });
        let tip = "0° is the crown, 90° starboard, 180° the keel, 270° port.";
        tipped(ui, tip, |ui| {
            self.shell.number(ui, "Round from crown", ("°", 1, 0.5), 360.0 * turn, asks, |shell, degrees| {
                shell.draping.start = Some([station, (degrees / 360.0).rem_euclid(1.0)]);
            });
        });
        if let Some((index, ply)) = self.cloth.chosen().and_then(|ply| Some((ply.ply?, ply))) {
            let tip = "Angle of the warp from the way forward, towards starboard on the crown. Drag the round handle on the floor.";
            tipped(ui, tip, |ui| {
                self.shell.angle(ui, "Warp angle", ply.warp_deg, asks, |shell, degrees| {
                    if let Some(ply) = shell.laminate.plies.get_mut(index) {
                        ply.warp_deg = degrees;
                    }
                });
            });
        }
        if draping.start.is_some() {
            let tip = "The crown at the middle of the form's length.";
            self.shell.button(ui, "Back to the middle of the crown", tip, asks, |shell| shell.draping.start = None);
        }
    }

    /// What will be cut.
    fn flat(&self, ui: &mut Ui, asks: &mut Vec<Ask>) {
        let (Some(planned), theme) = (self.cloth.planned(), self.seen.theme) else { return };
        heading(ui, "In the flat");
        ui.scope(|ui| {
            if self.cloth.fresh_plan().is_none() {
                ui.visuals_mut().override_text_color = Some(theme.weak);
            }
            let size = vec2(ui.available_width(), 170.0);
            let large = Looks { flat_large: true, ..self.cloth.looks };
            if let Some(drawing) = flat::drawing(ui, theme, size, planned, self.cloth.ply)
                && drawing.on_hover_text("A click shows it large.").clicked()
            {
                asks.push(ask(ClothAsk::Look(large)));
            }
            if ui.button("Larger").on_hover_text("Shows the cloth in the flat large over the floor.").clicked() {
                asks.push(ask(ClothAsk::Look(large)));
            }
            self.sizes(ui, planned);
        });
        note(ui, "Whole line: cut. Dashed: trim on the form. Ticks: stations. The cross is the start.");
    }

    fn sizes(&self, ui: &mut Ui, planned: &Planned) {
        let Some(ply) = planned.plan.plies.get(self.cloth.ply) else { return };
        let units = self.units;
        if let Some([low, high]) = flat::bounds(ply) {
            let [warp, weft] = [0, 1].map(|k| units.number(high[k] - low[k]));
            reading(ui, "Pattern", format!("{warp} × {weft} {}", units.sign()));
        }
        reading(ui, "Its area", units.area(ply.pattern.area));
        for roll in &planned.plan.rolls {
            reading(ui, "Off the roll", units.length(roll.length));
            let plies = roll.laid.len();
            let plies = if plies == 1 { "one ply".to_owned() } else { format!("{plies} plies") };
            note(ui, format!("of {}, {} wide: {plies}", roll.fabric.name, units.length(roll.fabric.roll_width)));
            if !roll.too_wide.is_empty() {
                let text = "A pattern is wider than this roll. Take a wider cloth, or begin it at another angle.";
                ui.add(Label::new(RichText::new(text).color(self.seen.theme.warning)).wrap());
            }
        }
    }

    /// The chosen ply of the plan as it is laid in the end, if the plan is of the document.
    fn mended(&self) -> Option<(&PlyPlan, &Lies)> {
        let planned = self.cloth.fresh_plan()?;
        Some((planned.plan.plies.get(self.cloth.ply)?, planned.lies.get(self.cloth.ply)?))
    }
}

fn slits_in_words(count: usize) -> String {
    if count == 1 { "one slit".into() } else { format!("{count} slits") }
}

/// How far something is, and a way to give it up.
fn bar(ui: &mut Ui, what: &str, share: f32, name: &str, stop: Ask, asks: &mut Vec<Ask>) {
    ui.horizontal(|ui| {
        let bar = ProgressBar::new(share).desired_width((ui.available_width() - 62.0).max(60.0));
        ui.add(bar.corner_radius(2.0).text(format!("{what}: {:.0} %", 100.0 * share)));
        if ui.button("Stop").on_hover_text("Gives it up; nothing changes.").accessible_name(name).clicked() {
            asks.push(stop);
        }
    });
}
