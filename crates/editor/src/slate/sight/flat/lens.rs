//! Lines that are straight in truth, and the lens that they tell.

use super::super::OnTable;
use super::super::rows::fact;
use crate::commands::Command;
use crate::light_table::flat::read::{Bent, Read};
use crate::light_table::marks::OnPicture;
use crate::slate::{Ask, Seen, command_button, heading, note};
use crate::view::Selected;
use egui::{Align, Layout, RichText, Ui};
use project::edit::Edit;

/// All of them.
pub(super) fn part(ui: &mut Ui, seen: &Seen<'_>, on: &OnTable<'_>, read: &Read, asks: &mut Vec<Ask>) {
    heading(ui, "Straight lines");
    command_button(ui, Command::MarkStraight, asks);
    let lines = &on.picture.photograph.straight;
    match &read.lens {
        None => note(ui, "Long lines near the edges of the picture show how its lens bends what is straight."),
        Some(Err(why)) => {
            ui.colored_label(seen.theme.warning, RichText::new(why.to_string()).small());
        }
        Some(Ok(bent)) => lens(ui, on, bent),
    }
    for (line, points) in lines.iter().enumerate() {
        let target = Selected::OnPicture { picture: on.index, what: OnPicture::Straight { line, point: 0 } };
        let residuals =
            read.lens.as_ref().and_then(|lens| lens.as_ref().ok()).and_then(|bent| bent.one.residuals.get(line));
        let worst = residuals.map(|all| all.iter().fold(0.0, |worst: f64, r| worst.max(r.abs())));
        ui.horizontal(|ui| {
            if ui.button(format!("Line {}", line + 1)).accessible_name(format!("Straight line {}", line + 1)).clicked()
            {
                asks.push(Ask::Select(target));
            }
            note(ui, format!("{} points", points.len()));
            ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                let name = format!("Remove straight line {}", line + 1);
                if ui.small_button("×").on_hover_text("Remove").accessible_name(name).clicked() {
                    let kept = lines.iter().enumerate().filter(|(i, _)| *i != line).map(|(_, l)| l.clone()).collect();
                    asks.push(Ask::Do(Edit::SetStraightLines { picture: on.index, lines: kept }));
                }
                if let Some(worst) = worst {
                    ui.label(RichText::new(format!("{worst:.1} px")).small())
                        .on_hover_text("The point that lies farthest from it, once the lens is taken out.");
                }
            });
        });
    }
}

fn lens(ui: &mut Ui, on: &OnTable<'_>, bent: &Bent) {
    let [k1, _] = bent.one.sigmas;
    fact(ui, "Lens", format!("k1 {:+.4} ± {k1:.4}", bent.one.lens.k1));
    let told = bent.one.lens.k1.abs() > 2.0 * k1;
    let (before, after) = (bent.one.before_px, bent.one.after_px);
    fact(ui, "Crookedness", format!("{before:.2} px as taken, {after:.2} px with the lens"));
    if let Some(two) = &bent.two {
        let [k1, k2] = two.sigmas;
        let text =
            format!("k1 {:+.4} ± {k1:.4}, k2 {:+.4} ± {k2:.4}, {:.2} px", two.lens.k1, two.lens.k2, two.after_px);
        fact(ui, "With two", text);
    }
    let corner = on.picture.size_px.map(|s| 0.5 * f64::from(s));
    let shown = bent.one.lens.distorted(corner.map(|c| c / bent.focal_px));
    let off = [0, 1].map(|k| shown[k] * bent.focal_px - corner[k]);
    let words = if bent.one.lens.k1 < 0.0 { "inwards" } else { "outwards" };
    match told {
        true => note(
            ui,
            format!(
                "It draws the picture's corners {:.1} px {words}. The camera is found with k1; in units of a focal length of \
                 {:.0} px.",
                off[0].hypot(off[1]),
                bent.focal_px
            ),
        ),
        false => note(ui, "No bend is seen: k1 is not told from 0. More and longer lines near the edges would tell."),
    }
}
