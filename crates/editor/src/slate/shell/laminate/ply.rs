//! One ply: its cloth, its angle, what it covers, and the builder's own test piece.

use crate::slate::part::Part;
use crate::slate::{Ask, Seen, note};
use crate::view::ViewState;
use egui::{CollapsingHeader, Ui};
use project::edit::Edit;
use project::laminate::{Coupon, Extent, Fabric, FibreKind, Ply};
use project::shell::Shell;
use shell::cloth::Weave;

/// A ply, folded away but the first.
pub(super) fn part(ui: &mut Ui, seen: &Seen<'_>, view: &ViewState, index: usize, asks: &mut Vec<Ask>) {
    let shell = &*seen.document.shell;
    let Some(ply) = shell.laminate.plies.get(index) else { return };
    let name = format!("Ply {}", index + 1);
    let edit = |with: Ply| {
        let mut next = shell.clone();
        if let Some(ply) = next.laminate.plies.get_mut(index) {
            *ply = with;
        }
        Edit::SetShell(next)
    };
    let part = Part { name: &name, now: ply, units: view.units, edit: &edit };
    let title = format!("{}. {}, {} g/m², {}", index + 1, ply.fabric.name, ply.fabric.areal_weight, covers(ply));
    CollapsingHeader::new(title).id_salt(("ply", index)).default_open(index == 0).show_unindented(ui, |ui| {
        cloth(ui, &part, asks);
        extent(ui, seen, &part, asks);
        coupon(ui, &part, asks);
        order(ui, shell, index, &name, asks);
    });
}

fn covers(ply: &Ply) -> String {
    match &ply.extent {
        Extent::Whole => format!("{:.0}°", ply.warp_deg),
        Extent::Strip { .. } => "strip".to_owned(),
        Extent::Patches { places, .. } => format!("{} patches", places.len()),
    }
}

fn cloth(ui: &mut Ui, part: &Part<'_, Ply>, asks: &mut Vec<Ask>) {
    let fabric = &part.now.fabric;
    part.text(ui, "Cloth", &fabric.name, asks, |ply, name| ply.fabric.name = name);
    part.number(ui, "Areal weight", ("g/m²", 0, 1.0), fabric.areal_weight, asks, |ply, v| ply.fabric.areal_weight = v);
    let kinds = [("glass", FibreKind::Glass), ("carbon", FibreKind::Carbon), ("aramid", FibreKind::Aramid)];
    let is = |kind: FibreKind| (fabric.fibre_density - kind.density()).abs() < 1e-9;
    let now = kinds.iter().map(|(_, kind)| *kind).find(|kind| is(*kind));
    let options: Vec<_> = kinds.iter().map(|(label, kind)| (*label, Some(*kind))).collect();
    part.choice(ui, "Fibre", &options, now, asks, |ply, kind| {
        ply.fabric.fibre_density = kind.map_or(ply.fabric.fibre_density, FibreKind::density);
    });
    part.number(ui, "Fibre density", ("g/cm³", 2, 0.01), fabric.fibre_density, asks, |ply, v| {
        ply.fabric.fibre_density = v;
    });
    part.angle(ui, "Warp from ahead", part.now.warp_deg, asks, |ply, degrees| ply.warp_deg = degrees);
    locking(ui, part, fabric, asks);
    part.length(ui, "Width off the roll", fabric.roll_width, asks, |ply, mm| ply.fabric.roll_width = mm);
}

fn locking(ui: &mut Ui, part: &Part<'_, Ply>, fabric: &Fabric, asks: &mut Vec<Ask>) {
    part.angle(ui, "Locks at", fabric.locking_deg, asks, |ply, degrees| ply.fabric.locking_deg = degrees);
    let weaves = [("plain", Weave::Plain), ("twill", Weave::Twill), ("satin", Weave::Satin)];
    ui.horizontal_wrapped(|ui| {
        note(ui, "usual for");
        for (label, weave) in weaves {
            let degrees = weave.usual_locking_deg();
            let tip = format!("Sets {degrees:.0}°: common practice, no source.");
            part.button(ui, label, &tip, asks, |ply| ply.fabric.locking_deg = degrees);
        }
    });
    note(ui, "Measure it: draw a square along the yarns, pull it over a corner, and read the angle when folds rise.");
}

/// What a ply may cover, for choosing.
#[derive(Clone, Copy, PartialEq)]
enum Kind {
    Whole,
    Strip,
    Patches,
}

fn extent(ui: &mut Ui, seen: &Seen<'_>, part: &Part<'_, Ply>, asks: &mut Vec<Ask>) {
    let kind = match part.now.extent {
        Extent::Whole => Kind::Whole,
        Extent::Strip { .. } => Kind::Strip,
        Extent::Patches { .. } => Kind::Patches,
    };
    let kinds = [("the whole", Kind::Whole), ("a strip", Kind::Strip), ("patches", Kind::Patches)];
    let (front, rear) = seen.derived.loft().map_or((0.0, 300.0), geometry::loft::Loft::x_range);
    part.choice(ui, "Covers", &kinds, kind, asks, |ply, kind| {
        ply.extent = match kind {
            Kind::Whole => Extent::Whole,
            Kind::Strip => Extent::Strip { from: (rear - 30.0).max(front), to: rear },
            Kind::Patches => Extent::Patches { places: Vec::new(), size: [30.0, 30.0] },
        };
    });
    match &part.now.extent {
        Extent::Whole => (),
        Extent::Strip { from, to } => {
            let (from, to) = (*from, *to);
            part.length(ui, "From station", from, asks, |ply, from| ply.extent = Extent::Strip { from, to });
            part.length(ui, "To station", to, asks, |ply, to| ply.extent = Extent::Strip { from, to });
        }
        Extent::Patches { places, size } => patches(ui, part, places, *size, asks),
    }
}

fn patches(ui: &mut Ui, part: &Part<'_, Ply>, places: &[[f64; 3]], size: [f64; 2], asks: &mut Vec<Ask>) {
    for (axis, label) in ["Patch length", "Patch width"].into_iter().enumerate() {
        part.length(ui, label, size[axis], asks, |ply, mm| {
            if let Extent::Patches { size, .. } = &mut ply.extent {
                size[axis] = mm;
            }
        });
    }
    match places.len() {
        0 => note(ui, "Their places come from the screws: use the button below the plies."),
        count => note(ui, format!("{count} places, one at each screw.")),
    }
}

fn coupon(ui: &mut Ui, part: &Part<'_, Ply>, asks: &mut Vec<Ask>) {
    let own = part.now.coupon;
    part.tick(ui, "Use my own test piece", own.is_some(), asks, |ply, own| {
        let guess = ply.fabric.areal_weight / (1000.0 * ply.fabric.fibre_density * 0.4);
        ply.coupon = own.then_some(Coupon { plies: 4, thickness: 4.0 * guess, within: 0.02 });
    });
    let Some(coupon) = own else { return };
    part.number(ui, "Its plies", ("", 0, 0.1), f64::from(coupon.plies), asks, |ply, plies| {
        // At least one, and no more than anybody lays.
        let plies = plies.round().clamp(1.0, 1000.0) as u32;
        ply.coupon = Some(Coupon { plies, ..coupon });
    });
    part.length(ui, "Its thickness", coupon.thickness, asks, |ply, thickness| {
        ply.coupon = Some(Coupon { thickness, ..coupon });
    });
    part.length(ui, "Measured within", coupon.within, asks, |ply, within| {
        ply.coupon = Some(Coupon { within, ..coupon });
    });
}

/// Earlier, later, or away.
fn order(ui: &mut Ui, shell: &Shell, index: usize, name: &str, asks: &mut Vec<Ask>) {
    let with = |change: &dyn Fn(&mut Vec<Ply>)| {
        let mut next = shell.clone();
        change(&mut next.laminate.plies);
        Ask::Do(Edit::SetShell(next))
    };
    let lower = name.to_lowercase();
    let last = index + 1 == shell.laminate.plies.len();
    ui.horizontal(|ui| {
        let nearer = ui.add_enabled(index > 0, egui::Button::new("Nearer the plug"));
        if nearer.accessible_name(format!("Move {lower} nearer the plug")).clicked() {
            asks.push(with(&|plies| plies.swap(index, index.saturating_sub(1))));
        }
        let outward = ui.add_enabled(!last, egui::Button::new("Outward"));
        if outward.accessible_name(format!("Move {lower} outward")).clicked() {
            asks.push(with(&|plies| plies.swap(index, index + 1)));
        }
        if ui.button("Remove it").accessible_name(format!("Remove {lower}")).clicked() {
            asks.push(with(&|plies| drop(plies.remove(index))));
        }
    });
}
