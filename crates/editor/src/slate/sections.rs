//! Control sections, their points and arcs.

use super::{Ask, Seen, command_button, heading, note};
use crate::commands::Command;
use crate::floor::scene::letter;
use crate::gesture::section_point_edit;
use crate::slate::field::{self, Number};
use crate::theme;
use crate::view::{Selected, ViewState};
use egui::{RichText, Ui};
use project::document::{ArcKind, PointRole, SectionShape, UnitSection};
use project::edit::Edit;
use project::starter::ELLIPSE_RHO;

/// All control sections with their stations.
pub(super) fn list(ui: &mut Ui, seen: &Seen<'_>, view: &ViewState, asks: &mut Vec<Ask>) {
    if seen.form.sections.is_empty() {
        note(ui, "None yet. Each one shapes the form at its station; between them it runs fair.");
    }
    for (section, control) in seen.form.sections.iter().enumerate() {
        let pinned = if matches!(control.shape, SectionShape::Pinned(_)) { "  pinned" } else { "" };
        let text = format!("{}   at {}{pinned}", letter(section), view.units.length(control.station));
        if ui.selectable_label(false, text).clicked() {
            asks.push(Ask::Select(Selected::Section(section)));
        }
    }
    ui.add_space(4.0);
    command_button(ui, Command::AddSection, asks);
}

/// One control section.
pub(super) fn section(ui: &mut Ui, seen: &Seen<'_>, view: &ViewState, section: usize, asks: &mut Vec<Ask>) {
    let Some(control) = seen.form.sections.get(section) else { return };
    let name = format!("Section {}", letter(section));
    title(ui, &name);
    let form = view.form;
    let at = format!("{name} aft of datum");
    field::length(ui, "Aft of datum", at, control.station, view.units, asks, |station| Edit::MoveSection {
        form,
        section,
        station,
    });
    match &control.shape {
        SectionShape::Shaped(unit) => shaped(ui, view, section, unit, asks),
        SectionShape::Pinned(_) if super::bench::follows(seen, view.form, control.station) => {
            note(ui, "It follows the fuselage end, whatever becomes of that. Change it on the Bench page.");
        }
        SectionShape::Pinned(measured) => {
            note(
                ui,
                format!("Pinned to {} measured points: it holds them and locks the lines here.", measured.points.len()),
            );
        }
    }
    ui.add_space(8.0);
    ui.horizontal_wrapped(|ui| {
        command_button(ui, Command::CopySection, asks);
        if matches!(control.shape, SectionShape::Pinned(_)) {
            command_button(ui, Command::Unpin, asks);
        }
        command_button(ui, Command::Delete, asks);
    });
}

fn shaped(ui: &mut Ui, view: &ViewState, section: usize, unit: &UnitSection, asks: &mut Vec<Ask>) {
    heading(ui, "Arcs, from crown to keel");
    for (arc, kind) in unit.arcs.iter().enumerate() {
        let label = format!("{} – {}", point_name(unit, arc), point_name(unit, arc + 1));
        arc_fields(ui, view.form, section, arc, *kind, &label, asks);
    }
    heading(ui, "Leaves the centre plane");
    let mut ridges = [unit.crown_ridge, unit.keel_ridge];
    let crown = ui.checkbox(&mut ridges[0], "at an angle at the crown (a ridge)").changed();
    let keel = ui.checkbox(&mut ridges[1], "at an angle at the keel (a ridge)").changed();
    if crown || keel {
        asks.push(Ask::Do(Edit::SetRidges { form: view.form, section, crown: ridges[0], keel: ridges[1] }));
    }
    note(ui, "Click the section in the face view with Ctrl, or twice, to add a point.");
}

fn point_name(unit: &UnitSection, point: usize) -> String {
    match unit.points.get(point).map(|p| p.role) {
        Some(PointRole::Crown) => "crown".into(),
        Some(PointRole::Breadth { .. }) => "breadth".into(),
        Some(PointRole::Keel) => "keel".into(),
        _ => format!("point {}", point + 1),
    }
}

/// One arc.
pub(super) fn arc(ui: &mut Ui, seen: &Seen<'_>, view: &ViewState, section: usize, arc: usize, asks: &mut Vec<Ask>) {
    let Some(SectionShape::Shaped(unit)) = seen.form.sections.get(section).map(|s| &s.shape) else { return };
    let Some(kind) = unit.arcs.get(arc) else { return };
    title(ui, &format!("Section {}, arc {}", letter(section), arc + 1));
    note(
        ui,
        format!(
            "From {} to {}. Drag the ring in the face view, or set the number.",
            point_name(unit, arc),
            point_name(unit, arc + 1)
        ),
    );
    arc_fields(ui, view.form, section, arc, *kind, "Curve", asks);
    back_to_section(ui, section, asks);
}

fn arc_fields(ui: &mut Ui, form: usize, section: usize, arc: usize, kind: ArcKind, label: &str, asks: &mut Vec<Ask>) {
    let name = format!("Section {} arc {}", letter(section), arc + 1);
    let set = |kind| Edit::SetArc { form, section, arc, kind };
    let kinds = [
        ("Conic", ArcKind::Conic { rho: ELLIPSE_RHO }),
        ("Superellipse", ArcKind::Superelliptic { exponent: 2.5 }),
        ("Cubic", ArcKind::Cubic),
    ];
    let now = kinds.iter().find(|(_, k)| std::mem::discriminant(k) == std::mem::discriminant(&kind));
    field::row(ui, label, |ui| {
        // As wide as the fields under it, whichever word stands in it.
        ui.spacing_mut().button_padding.x = 5.0;
        ui.spacing_mut().icon_width = 10.0;
        let combo = egui::ComboBox::from_id_salt(&name).selected_text(now.map_or("", |n| n.0)).width(field::FIELD);
        let response = combo.show_ui(ui, |ui| {
            for (label, other) in kinds {
                let chosen = std::mem::discriminant(&other) == std::mem::discriminant(&kind);
                if ui.selectable_label(chosen, label).clicked() && !chosen {
                    asks.push(Ask::Do(set(other)));
                }
            }
        });
        response.response.accessible_name(format!("{name} curve"));
    });
    match kind {
        ArcKind::Conic { rho } => {
            let number = Number {
                label: "   fullness",
                name: format!("{name} fullness"),
                suffix: "",
                decimals: 4,
                speed: 0.002,
                range: [0.02, 0.98],
            };
            field::number_field(ui, &number, rho, asks, |rho| set(ArcKind::Conic { rho }));
        }
        ArcKind::Superelliptic { exponent } => {
            let number = Number {
                label: "   exponent",
                name: format!("{name} exponent"),
                suffix: "",
                decimals: 3,
                speed: 0.01,
                range: [1.05, 40.0],
            };
            field::number_field(ui, &number, exponent, asks, |exponent| set(ArcKind::Superelliptic { exponent }));
        }
        ArcKind::Cubic => {}
    }
}

/// One point of a control section.
pub(super) fn point(ui: &mut Ui, seen: &Seen<'_>, view: &ViewState, section: usize, point: usize, asks: &mut Vec<Ask>) {
    let Some(control) = seen.form.sections.get(section) else { return };
    let SectionShape::Shaped(unit) = &control.shape else {
        title(ui, &format!("Section {} measured point {}", letter(section), point + 1));
        note(ui, "A pinned section holds its measured points. Unpin it to shape it by hand.");
        back_to_section(ui, section, asks);
        return;
    };
    let Some(p) = unit.points.get(point).copied() else { return };
    title(ui, &format!("Section {} {}", letter(section), point_name(unit, point)));
    let fixed = matches!(p.role, PointRole::Crown | PointRole::Breadth { .. } | PointRole::Keel);
    let half_box = seen.derived.half_box(control.station);
    if fixed {
        if let Some([y, z]) = half_box.map(|b| b.model([p.u, p.v])) {
            mark_fields(ui, seen, view, section, point, p.role, [y, z], asks);
        }
        note(ui, "This mark lies on the master lines: moving it leads them through another place here.");
    } else {
        place(ui, view, section, point, [p.u, p.v], half_box, asks);
    }
    role(ui, seen, view.form, section, point, p.role, asks);
    ui.add_space(8.0);
    if !fixed {
        command_button(ui, Command::Delete, asks);
    }
    back_to_section(ui, section, asks);
}

/// Where a mark lies; another place leads the master lines there.
#[expect(clippy::too_many_arguments, reason = "a mark is named by section, point, role and place")]
fn mark_fields(
    ui: &mut Ui,
    seen: &Seen<'_>,
    view: &ViewState,
    section: usize,
    point: usize,
    role: PointRole,
    [y, z]: [f64; 2],
    asks: &mut Vec<Ask>,
) {
    let name = format!("Section {} mark", letter(section));
    let to = |at: [f64; 2]| {
        let edit = section_point_edit(view.form, seen.form, seen.derived, section, point, at);
        edit.unwrap_or_else(|| Edit::Together { label: String::new(), edits: Vec::new() })
    };
    if matches!(role, PointRole::Breadth { .. }) {
        let label = format!("{name} half-breadth");
        field::length(ui, "Half-breadth", label, y, view.units, asks, |y| to([y, z]));
    } else {
        field::reading(ui, "Half-breadth", view.units.length(y));
    }
    field::length(ui, "Height", format!("{name} height"), z, view.units, asks, |z| to([y, z]));
}

fn place(
    ui: &mut Ui,
    view: &ViewState,
    section: usize,
    point: usize,
    [u, v]: [f64; 2],
    half_box: Option<crate::derived::HalfBox>,
    asks: &mut Vec<Ask>,
) {
    let name = format!("Section {} point {}", letter(section), point + 1);
    let to = |u: f64, v: f64| Edit::MoveSectionPoint { form: view.form, section, point, u, v };
    if let Some(half_box) = half_box {
        let [y, z] = half_box.model([u, v]);
        let placed = |y: f64, z: f64| half_box.unit([y, z]).map_or_else(|| to(u, v), |[u, v]| to(u, v));
        field::length(ui, "Half-breadth", format!("{name} half-breadth"), y, view.units, asks, |y| placed(y, z));
        field::length(ui, "Height", format!("{name} height"), z, view.units, asks, |z| placed(y, z));
    }
    let unit = |label, which: &str| Number {
        label,
        name: format!("{name} {which}"),
        suffix: "",
        decimals: 4,
        speed: 0.002,
        range: [-2.0, 2.0],
    };
    note(ui, "In parts of the half box:");
    field::number_field(ui, &unit("u, across", "u"), u, asks, |u| to(u, v));
    field::number_field(ui, &unit("v, upwards", "v"), v, asks, |v| to(u, v));
}

fn role(ui: &mut Ui, seen: &Seen<'_>, form: usize, section: usize, point: usize, role: PointRole, asks: &mut Vec<Ask>) {
    let set = |role| Ask::Do(Edit::SetSectionPointRole { form, section, point, role });
    let (smooth, knuckle) = match role {
        PointRole::Crown | PointRole::Keel => return,
        PointRole::Breadth { .. } => {
            (PointRole::Breadth { knuckle: None }, PointRole::Breadth { knuckle: Some(free_knuckle(seen)) })
        }
        _ => (PointRole::Smooth, PointRole::Knuckle { number: free_knuckle(seen), faded: false }),
    };
    heading(ui, "The section passes here");
    let number = role.knuckle();
    ui.horizontal(|ui| {
        if ui.selectable_label(number.is_none(), "Smooth").clicked() && number.is_some() {
            asks.push(set(smooth));
        }
        if ui.selectable_label(number.is_some(), "Knuckle").clicked() && number.is_none() {
            asks.push(set(knuckle));
        }
    });
    if let Some(now) = number {
        field::row(ui, "Knuckle", |ui| {
            let mut changed = now;
            let response = ui
                .add(egui::DragValue::new(&mut changed).range(1..=99).speed(0.05).update_while_editing(false))
                .accessible_name("Number of the knuckle");
            if response.changed() && changed != now {
                asks.push(set(match role {
                    PointRole::Knuckle { faded, .. } => PointRole::Knuckle { number: changed, faded },
                    _ => PointRole::Breadth { knuckle: Some(changed) },
                }));
            }
        });
        note(ui, "Knuckles of the same number run into one another along the body.");
    }
    if let PointRole::Knuckle { number, faded } = role {
        let mut fades = faded;
        if ui.checkbox(&mut fades, "has faded out here").changed() {
            asks.push(set(PointRole::Knuckle { number, faded: fades }));
        }
    }
}

/// The lowest knuckle's number that no section uses.
fn free_knuckle(seen: &Seen<'_>) -> u32 {
    let used: Vec<u32> = seen
        .form
        .sections
        .iter()
        .filter_map(|s| if let SectionShape::Shaped(unit) = &s.shape { Some(unit) } else { None })
        .flat_map(|unit| unit.points.iter().filter_map(|p| p.role.knuckle()))
        .collect();
    (1..).find(|n| !used.contains(n)).unwrap_or(1)
}

fn back_to_section(ui: &mut Ui, section: usize, asks: &mut Vec<Ask>) {
    ui.add_space(6.0);
    if ui.button(format!("Whole section {}", letter(section))).clicked() {
        asks.push(Ask::Select(Selected::Section(section)));
    }
}

fn title(ui: &mut Ui, text: &str) {
    ui.add_space(4.0);
    ui.label(RichText::new(text).font(theme::bold(theme::TITLE)));
}
