//! What the builder has weighed, and where ballast could go.

use crate::slate::part::Part;
use crate::slate::shell::laminate::span;
use crate::slate::{Ask, Seen, note};
use egui::{CollapsingHeader, Ui};
use project::laminate::Span;
use project::shell::{BallastPlace, Shell, Weighed, Weights};

/// Which weighed thing is meant.
#[derive(Clone, Copy, PartialEq)]
pub(super) enum Place {
    /// The aircraft.
    Aircraft,
    /// What is taken off.
    Replaced,
    /// One of the other parts.
    Part(usize),
}

impl Place {
    fn of(self, weights: &Weights) -> Option<&Weighed> {
        match self {
            Self::Aircraft => weights.aircraft.as_ref(),
            Self::Replaced => weights.replaces.as_ref(),
            Self::Part(index) => weights.parts.get(index),
        }
    }

    fn change(self, shell: &mut Shell, change: impl FnOnce(&mut Weighed)) {
        let weights = &mut shell.weights;
        let there = match self {
            Self::Aircraft => weights.aircraft.as_mut(),
            Self::Replaced => weights.replaces.as_mut(),
            Self::Part(index) => weights.parts.get_mut(index),
        };
        if let Some(weighed) = there {
            change(weighed);
        }
    }

    fn remove(self, shell: &mut Shell) {
        match self {
            Self::Aircraft => shell.weights.aircraft = None,
            Self::Replaced => shell.weights.replaces = None,
            Self::Part(index) if index < shell.weights.parts.len() => drop(shell.weights.parts.remove(index)),
            Self::Part(_) => (),
        }
    }
}

/// Something that is weighed once: a button to begin, then its fields.
pub(super) fn weighed(ui: &mut Ui, shell: &Part<'_, Shell>, name: &str, place: Place, asks: &mut Vec<Ask>) {
    if place.of(&shell.now.weights).is_some() {
        fields(ui, shell, name, place, asks);
        return;
    }
    let (label, begin) = match place {
        Place::Aircraft => ("It has been weighed", begin(name, 10_000.0, 300.0)),
        _ => ("There is one, and it has been weighed", begin(name, 200.0, 100.0)),
    };
    shell.button(ui, label, "Begins with round numbers: put in your own.", asks, |shell| match place {
        Place::Aircraft => shell.weights.aircraft = Some(begin),
        Place::Replaced => shell.weights.replaces = Some(begin),
        Place::Part(_) => shell.weights.parts.push(begin),
    });
}

fn begin(name: &str, grams: f64, station: f64) -> Weighed {
    Weighed { name: name.to_owned(), mass: Span::exact(grams), centre: [station, 0.0, 0.0], within: 2.0 }
}

fn fields(ui: &mut Ui, shell: &Part<'_, Shell>, name: &str, place: Place, asks: &mut Vec<Ask>) {
    let Some(now) = place.of(&shell.now.weights) else { return };
    let part = Part { name, now: shell.now, units: shell.units, edit: shell.edit };
    part.text(ui, "Name", &now.name, asks, |shell, text| place.change(shell, |w| w.name = text));
    span(ui, &part, "Mass, g", now.mass, asks, |shell, mass| place.change(shell, |w| w.mass = mass));
    let labels = ["Centre, station", "Centre to starboard", "Centre, height"];
    for (axis, label) in labels.into_iter().enumerate() {
        part.length(ui, label, now.centre[axis], asks, |shell, mm| place.change(shell, |w| w.centre[axis] = mm));
    }
    part.length(ui, "Known within", now.within, asks, |shell, mm| place.change(shell, |w| w.within = mm));
    part.button(ui, &format!("Remove {}", name.to_lowercase()), "It counts no more.", asks, |shell| {
        place.remove(shell);
    });
}

/// Other parts that come on: battery trays, exhaust, a heavier spinner.
pub(super) fn parts(ui: &mut Ui, shell: &Part<'_, Shell>, asks: &mut Vec<Ask>) {
    let count = shell.now.weights.parts.len();
    for index in 0..count {
        let Some(weighed) = shell.now.weights.parts.get(index) else { continue };
        let name = format!("Other part {}", index + 1);
        let title = format!("{}. {}, {:.0} g", index + 1, weighed.name, weighed.mass.likely);
        CollapsingHeader::new(title).id_salt(("weighed part", index)).show_unindented(ui, |ui| {
            fields(ui, shell, &name, Place::Part(index), asks);
        });
    }
    let tip = "Anything else that comes on with the shell, weighed by itself.";
    shell.button(ui, "Add another part", tip, asks, |shell| {
        shell.weights.parts.push(begin(&format!("Part {}", count + 1), 50.0, 100.0));
    });
}

/// Ring plate and screws.
pub(super) fn ring_and_screws(ui: &mut Ui, seen: &Seen<'_>, shell: &Part<'_, Shell>, asks: &mut Vec<Ask>) {
    let weights = &shell.now.weights;
    if seen.document.airframe.thrust.is_some() {
        shell.number(ui, "Ring density", ("g/cm³", 2, 0.01), weights.ring_density, asks, |shell, v| {
            shell.weights.ring_density = v;
        });
        shell.number(ui, "Ring opening", ("%", 0, 0.2), 100.0 * weights.ring_bore, asks, |shell, v| {
            shell.weights.ring_bore = 0.01 * v;
        });
    }
    if seen.document.airframe.fuselage.as_ref().is_some_and(|end| end.screws.is_some()) {
        span(ui, shell, "Screw with anchor, g", weights.screw, asks, |shell, mass| shell.weights.screw = mass);
    }
}

/// The balance that is wanted, and where ballast could go.
pub(super) fn balance(ui: &mut Ui, shell: &Part<'_, Shell>, asks: &mut Vec<Ask>) {
    let weights = &shell.now.weights;
    let label = "Another station than before";
    let now = weights.aircraft.as_ref().map_or(300.0, |aircraft| aircraft.centre[0]);
    shell.tick(ui, label, weights.wanted.is_some(), asks, |shell, own| shell.weights.wanted = own.then_some(now));
    if let Some(wanted) = weights.wanted {
        shell.length(ui, "Station wanted", wanted, asks, |shell, mm| shell.weights.wanted = Some(mm));
    }
    shell.length(ui, "May be off by", weights.allowed, asks, |shell, mm| shell.weights.allowed = mm);
    for (index, place) in weights.ballast.iter().enumerate() {
        ballast(ui, shell, index, place, asks);
    }
    let tip = "A stretch of the aircraft where lead could be fixed well.";
    shell.button(ui, "Add a place for ballast", tip, asks, |shell| {
        let name = format!("Place {}", shell.weights.ballast.len() + 1);
        shell.weights.ballast.push(BallastPlace { name, stations: [1200.0, 1400.0] });
    });
    if weights.ballast.is_empty() {
        note(ui, "Without a place for ballast it is only told which way the balance has gone.");
    }
}

fn ballast(ui: &mut Ui, shell: &Part<'_, Shell>, index: usize, place: &BallastPlace, asks: &mut Vec<Ask>) {
    let name = format!("Ballast {}", index + 1);
    let part = Part { name: &name, now: shell.now, units: shell.units, edit: shell.edit };
    CollapsingHeader::new(&place.name).id_salt(("ballast", index)).default_open(true).show_unindented(ui, |ui| {
        part.text(ui, "Name", &place.name, asks, |shell, text| with(shell, index, |place| place.name = text));
        for (end, label) in ["Foremost station", "Rearmost station"].into_iter().enumerate() {
            part.length(ui, label, place.stations[end], asks, |shell, mm| {
                with(shell, index, |place| {
                    place.stations[end] = mm;
                    // The other end gives way, so that dragging never meets a refusal.
                    let other = &mut place.stations[1 - end];
                    *other = if end == 0 { other.max(mm) } else { other.min(mm) };
                });
            });
        }
        part.button(ui, &format!("Remove {}", name.to_lowercase()), "No ballast goes there.", asks, |shell| {
            if index < shell.weights.ballast.len() {
                shell.weights.ballast.remove(index);
            }
        });
    });
}

fn with(shell: &mut Shell, index: usize, change: impl FnOnce(&mut BallastPlace)) {
    if let Some(place) = shell.weights.ballast.get_mut(index) {
        change(place);
    }
}
