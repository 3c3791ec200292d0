//! Motor and other things the shell must not touch.

use super::{group, one_of_several, thrust_line::fine};
use crate::slate::field::reading;
use crate::slate::part::Part;
use crate::slate::{Ask, Seen, note};
use crate::view::{Item, ViewState};
use egui::Ui;
use project::airframe::{KeepOut, KeepOutPlace, Solid};
use project::edit::Edit;

/// All keep-outs.
pub(super) fn part(ui: &mut Ui, seen: &Seen<'_>, view: &ViewState, asks: &mut Vec<Ask>) {
    let selected = view.selected.item().map(Item::thing);
    group(ui, seen, "Keep-outs", matches!(selected, Some(Item::KeepOut(_))));
    let all = &seen.document.airframe.keep_outs;
    if all.is_empty() {
        note(ui, "Motor, mount, exhaust, cooling: what must keep its distance from the inside of the shell.");
    }
    for (index, keep_out) in all.iter().enumerate() {
        let title = format!("{}. {}", index + 1, keep_out.name);
        one_of_several(ui, ("keep-out", index), &title, selected == Some(Item::KeepOut(index)), |ui| {
            one(ui, seen, view, index, keep_out, asks);
        });
    }
    if ui.button("Add a keep-out").on_hover_text("Begins as a cylinder, on the thrust line if there is one.").clicked()
    {
        asks.push(Ask::Do(Edit::AddKeepOut(begin(seen))));
    }
}

fn begin(seen: &Seen<'_>) -> KeepOut {
    let place = if seen.document.airframe.thrust.is_some() {
        KeepOutPlace::OnThrustLine { behind_hub: 30.0 }
    } else {
        KeepOutPlace::Free { front: [50.0, 0.0, 0.0], pitch_deg: 0.0, yaw_deg: 0.0 }
    };
    let number = seen.document.airframe.keep_outs.len() + 1;
    let name = if number == 1 { "Motor".to_owned() } else { format!("Keep-out {number}") };
    KeepOut { name, shape: Solid::Cylinder { diameter: 50.0, length: 60.0 }, place, clearance: 3.0 }
}

fn one(ui: &mut Ui, seen: &Seen<'_>, view: &ViewState, index: usize, keep_out: &KeepOut, asks: &mut Vec<Ask>) {
    let name = format!("Keep-out {}", index + 1);
    let edit = |with| Edit::ReplaceKeepOut { index, with };
    let part = Part { name: &name, now: keep_out, units: view.units, edit: &edit };
    part.text(ui, "Name", &keep_out.name, asks, |keep_out, name| keep_out.name = name);
    shape(ui, &part, asks);
    place(ui, seen, &part, asks);
    part.length(ui, "Clearance wanted", keep_out.clearance, asks, |keep_out, mm| keep_out.clearance = mm);
    match seen.measures.keep_outs.get(index) {
        Some(Some(clearance)) => {
            reading(ui, "Least clearance", fine(clearance.distance, view.units));
            let ([x, y, z], units) = (clearance.on_shell, view.units);
            note(ui, format!("There: station {}, {}, {}.", units.length(x), units.aside(y), units.height(z)));
        }
        _ => note(ui, "Its clearance is told once the form is whole and it has its place."),
    }
    if ui.button("Remove it").accessible_name(format!("Remove {}", name.to_lowercase())).clicked() {
        asks.push(Ask::Do(Edit::RemoveKeepOut { index }));
    }
}

/// The kinds of solid, for choosing.
#[derive(Clone, Copy, PartialEq)]
enum Kind {
    Cylinder,
    Box,
    Cone,
}

/// Length along, breadth or front diameter, height or rear diameter.
fn sizes(shape: Solid) -> (Kind, [f64; 3]) {
    match shape {
        Solid::Cylinder { diameter, length } => (Kind::Cylinder, [length, diameter, diameter]),
        Solid::Box { length, breadth, height } => (Kind::Box, [length, breadth, height]),
        Solid::Cone { front_diameter, rear_diameter, length } => (Kind::Cone, [length, front_diameter, rear_diameter]),
    }
}

fn solid(kind: Kind, [length, one, other]: [f64; 3]) -> Solid {
    match kind {
        Kind::Cylinder => Solid::Cylinder { diameter: one, length },
        Kind::Box => Solid::Box { length, breadth: one, height: other },
        Kind::Cone => Solid::Cone { front_diameter: one, rear_diameter: other, length },
    }
}

fn shape(ui: &mut Ui, part: &Part<'_, KeepOut>, asks: &mut Vec<Ask>) {
    let (kind, sizes) = sizes(part.now.shape);
    let kinds = [("cylinder", Kind::Cylinder), ("box", Kind::Box), ("cone", Kind::Cone)];
    part.choice(ui, "Shape", &kinds, kind, asks, |keep_out, kind| keep_out.shape = solid(kind, sizes));
    let labels: &[(usize, &str)] = match kind {
        Kind::Cylinder => &[(1, "Diameter"), (0, "Length")],
        Kind::Box => &[(0, "Length"), (1, "Breadth"), (2, "Height")],
        Kind::Cone => &[(1, "Front diameter"), (2, "Rear diameter"), (0, "Length")],
    };
    for (which, label) in labels {
        part.length(ui, label, sizes[*which], asks, |keep_out, mm| {
            let mut sizes = sizes;
            sizes[*which] = mm;
            keep_out.shape = solid(kind, sizes);
        });
    }
}

fn place(ui: &mut Ui, seen: &Seen<'_>, part: &Part<'_, KeepOut>, asks: &mut Vec<Ask>) {
    let on_line = matches!(part.now.place, KeepOutPlace::OnThrustLine { .. });
    let shaft = seen.document.airframe.thrust.as_ref().map(fit::thrust::shaft);
    part.choice(
        ui,
        "Placed",
        &[("on the thrust line", true), ("freely", false)],
        on_line,
        asks,
        |keep_out, on_line| {
            // It stays where it is, as far as the other way of placing it allows.
            let hub = shaft.map_or([0.0; 3], |s| s.hub);
            keep_out.place = match keep_out.place {
                KeepOutPlace::Free { front, .. } if on_line => {
                    let ahead = shaft.map_or([-1.0, 0.0, 0.0], |s| s.ahead);
                    let behind_hub = (0..3).map(|k| (hub[k] - front[k]) * ahead[k]).sum();
                    KeepOutPlace::OnThrustLine { behind_hub }
                }
                KeepOutPlace::OnThrustLine { behind_hub } if !on_line => {
                    let ahead = shaft.map_or([-1.0, 0.0, 0.0], |s| s.ahead);
                    let front = std::array::from_fn(|k| hub[k] - behind_hub * ahead[k]);
                    // Its axis points aft along the shaft.
                    let turned = |across: f64| (across / -ahead[0]).atan().to_degrees();
                    KeepOutPlace::Free { front, pitch_deg: turned(ahead[2]), yaw_deg: turned(-ahead[1]) }
                }
                same => same,
            };
        },
    );
    match part.now.place {
        KeepOutPlace::OnThrustLine { behind_hub } => {
            part.length(ui, "Front behind hub", behind_hub, asks, |keep_out, mm| {
                keep_out.place = KeepOutPlace::OnThrustLine { behind_hub: mm };
            });
            if shaft.is_none() {
                note(ui, "There is no thrust line yet. Add it above, or place this freely.");
            }
        }
        KeepOutPlace::Free { front, pitch_deg, yaw_deg } => {
            for (axis, label) in ["Front aft", "Front to starboard", "Front height"].into_iter().enumerate() {
                part.length(ui, label, front[axis], asks, |keep_out, mm| {
                    let mut front = front;
                    front[axis] = mm;
                    keep_out.place = KeepOutPlace::Free { front, pitch_deg, yaw_deg };
                });
            }
            part.angle(ui, "Rear turned down", pitch_deg, asks, |keep_out, pitch_deg| {
                keep_out.place = KeepOutPlace::Free { front, pitch_deg, yaw_deg };
            });
            part.angle(ui, "Rear to starboard", yaw_deg, asks, |keep_out, yaw_deg| {
                keep_out.place = KeepOutPlace::Free { front, pitch_deg, yaw_deg };
            });
        }
    }
}
