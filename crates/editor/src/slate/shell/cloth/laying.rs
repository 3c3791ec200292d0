//! How cloth is laid, and the cloth itself.

use super::{Page, ask, tipped};
use crate::on_shell::cloth::{ClothAsk, Looks};
use crate::slate::{Ask, heading, note};
use egui::Ui;
use project::laminate::Fabric;

pub(super) fn part(ui: &mut Ui, page: &Page<'_>, asks: &mut Vec<Ask>) {
    fabric(ui, page, asks);
    laying(ui, page, asks);
    shown(ui, page, asks);
}

/// What matters of the chosen ply's cloth here.
fn fabric(ui: &mut Ui, page: &Page<'_>, asks: &mut Vec<Ask>) {
    heading(ui, "The cloth");
    let Some((index, fabric)) = page.cloth.chosen().and_then(|ply| Some((ply.ply?, &ply.fabric))) else {
        note(ui, "Its numbers can be set once the ply is in the laminate.");
        return;
    };
    let change = |shell: &mut project::shell::Shell, set: &dyn Fn(&mut Fabric)| {
        if let Some(ply) = shell.laminate.plies.get_mut(index) {
            set(&mut ply.fabric);
        }
    };
    let tip = "Shear at which its yarns jam and folds rise. Draw a square along the yarns, pull the cloth over a corner until it folds, and measure the square's angle: 90° less that.";
    tipped(ui, tip, |ui| {
        page.shell.angle(ui, "Locking angle", fabric.locking_deg, asks, |shell, degrees| {
            change(shell, &|fabric| fabric.locking_deg = degrees);
        });
    });
    note(ui, "A weak number: usual values differ by 10° between cloths of one weave. Measure yours.");
    tipped(ui, "From selvedge to selvedge.", |ui| {
        page.shell.length(ui, "Roll width", fabric.roll_width, asks, |shell, mm| {
            change(shell, &|fabric| fabric.roll_width = mm);
        });
    });
}

fn laying(ui: &mut Ui, page: &Page<'_>, asks: &mut Vec<Ask>) {
    heading(ui, "Laying");
    let (shell, draping) = (&page.shell, &page.shell.now.draping);
    let cell = page.cloth.last_surface().map(|surface| surface.cell(draping)).or(draping.cell);
    if let Some(cell) = cell {
        let tip = "Side of a cell of the net. Smaller cells tell more and take longer. Left alone it follows the form's size and curvature.";
        tipped(ui, tip, |ui| {
            shell.length(ui, "Cell", cell, asks, |shell, mm| shell.draping.cell = Some(mm));
        });
    }
    if draping.cell.is_some() {
        let tip = "The cell follows the form's size and curvature again.";
        shell.button(ui, "Let the cell follow the form", tip, asks, |shell| shell.draping.cell = None);
    }
    shell.tick(ui, "Closed over the front", draping.closed_front, asks, |shell, closed| {
        shell.draping.closed_front = closed;
    });
    shell.tick(ui, "Closed over the rear", draping.closed_rear, asks, |shell, closed| {
        shell.draping.closed_rear = closed;
    });
    for (end, label, closed) in
        [(0, "Allowance, front", draping.closed_front), (1, "Allowance, rear", draping.closed_rear)]
    {
        if closed {
            continue;
        }
        tipped(ui, "Cloth beyond the trim at the open end; it is cut off once the shell is cured.", |ui| {
            shell.length(ui, label, draping.allowance[end], asks, |shell, mm| shell.draping.allowance[end] = mm);
        });
    }
    tipped(ui, "By so much the seam of one ply lies aside from that of the ply below.", |ui| {
        shell.length(ui, "Stagger of seams", draping.stagger, asks, |shell, mm| shell.draping.stagger = mm);
    });
}

/// What is drawn on the floor.
fn shown(ui: &mut Ui, page: &Page<'_>, asks: &mut Vec<Ask>) {
    heading(ui, "On the floor");
    let now = page.cloth.looks;
    let mut looks = now;
    ui.checkbox(&mut looks.yarns, "Every fourth yarn").on_hover_text("Draws the net that the cloth becomes.");
    let slit = page.mended().is_some_and(|(ply, _)| !ply.slits.is_empty());
    let uncut = egui::Checkbox::new(&mut looks.uncut, "As it lies without slits");
    ui.add_enabled(slit, uncut).on_hover_text("Shows where it folds before it is slit.");
    if looks != now {
        asks.push(ask(ClothAsk::Look(Looks { flat_large: now.flat_large, ..looks })));
    }
}
