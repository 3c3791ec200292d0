//! Each photograph of a solve: how closely it is followed, where its camera went, and which landmarks moved.

use crate::light_table::solving::found::{CameraMove, Found, SolvedPhotograph};
use crate::slate::{Seen, note};
use crate::theme;
use crate::view::ViewState;
use egui::{CollapsingHeader, Grid, RichText, Ui};
use sight::misfit::Fit;
use sight::solution::CameraSigma;

/// Landmarks that moved by less than this many of their deviations are not told one by one.
const TOLD: f64 = 1.0;

/// A part that is opened when it is wanted.
pub(super) fn fold(ui: &mut Ui, title: &str, contents: impl FnOnce(&mut Ui)) {
    ui.add_space(4.0);
    let header = CollapsingHeader::new(RichText::new(title).font(theme::bold(theme::SMALL)));
    header.id_salt(("solved", title)).default_open(false).show_unindented(ui, contents);
}

/// All of them.
pub(super) fn part(ui: &mut Ui, seen: &Seen<'_>, view: &ViewState, found: &Found) {
    for (number, photograph) in found.photographs.iter().enumerate() {
        let name = found.picture_name(photograph.picture);
        ui.add_space(8.0);
        ui.label(RichText::new(name).font(theme::bold(theme::BODY)));
        let fits = found.solved.solution.fits().iter().filter(|f| f.photograph == number);
        fits.for_each(|fit| followed(ui, seen, fit));
        left_out(ui, seen, photograph);
        let sigma = found.solved.solution.cameras().get(number).and_then(|c| c.sigma);
        camera(ui, view, &photograph.camera, sigma);
    }
    for left in &found.solved.left_out {
        note(ui, format!("{} took no part: {}", found.picture_name(left.picture), left.why));
    }
    landmarks(ui, seen, view, found);
}

fn followed(ui: &mut Ui, seen: &Seen<'_>, fit: &Fit) {
    let what = if fit.outline { "Outline" } else { "Seams" };
    ui.label(RichText::new(format!("{what} within {:.2} px rms, {} points", fit.rms_px, fit.points)).small());
    if fit.is_strained() {
        let text = format!("more than noise: the band was widened {:.1} times", fit.widened);
        ui.label(RichText::new(text).small().color(seen.theme.warning));
    }
}

fn left_out(ui: &mut Ui, seen: &Seen<'_>, photograph: &SolvedPhotograph) {
    let out = photograph.residuals.iter().filter(|r| r.left_out).count();
    if out > 0 {
        let text = format!("{out} of {} traced points left out, ringed on the photograph", photograph.residuals.len());
        ui.label(RichText::new(text).small().color(seen.theme.error));
    }
}

/// Where the camera went with the form in sight, against the landmarks alone.
fn camera(ui: &mut Ui, view: &ViewState, moved: &CameraMove, sigma: Option<CameraSigma>) {
    let [before, after] = moved.focal_px;
    let doubt = sigma.map_or(String::new(), |s| format!(" ± {:.0}", s.focal_px));
    let lines = [
        format!("Camera moved {}, turned {:.2}°", view.units.length(moved.eye_mm), moved.turn_deg),
        format!("Focal length {before:.0} → {after:.0}{doubt} px"),
        format!("Landmarks within {:.2} px", moved.landmarks_px),
    ];
    for line in lines {
        note(ui, line);
    }
}

/// Landmarks that lie elsewhere than they are said to.
fn landmarks(ui: &mut Ui, seen: &Seen<'_>, view: &ViewState, found: &Found) {
    let solution = &found.solved.solution;
    let named = solution.task().landmarks.iter().zip(solution.landmarks()).filter(|(_, after)| after.used);
    let mut all: Vec<_> = named.map(|(landmark, after)| (landmark.name.as_str(), after)).collect();
    all.sort_by(|a, b| b.1.strain.total_cmp(&a.1.strain));
    let moved: Vec<_> = all.iter().filter(|(_, after)| after.strain > TOLD).collect();
    let title = match moved.len() {
        0 => "Landmarks: all within their trust".to_owned(),
        n => format!("Landmarks: {n} of {} moved", all.len()),
    };
    fold(ui, &title, |ui| {
        Grid::new("moved landmarks").num_columns(3).spacing([8.0, 2.0]).show(ui, |ui| {
            for text in ["", "moved", "by its trust"] {
                note(ui, text);
            }
            ui.end_row();
            for (name, after) in &all {
                let moved = after.moved_mm.iter().map(|m| m * m).sum::<f64>().sqrt();
                ui.add(egui::Label::new(RichText::new(*name).small()).truncate());
                ui.label(RichText::new(view.units.length(moved)).small());
                let strain = RichText::new(format!("{:.1} ×", after.strain)).small();
                ui.label(if after.strain > 3.0 { strain.color(seen.theme.warning) } else { strain });
                ui.end_row();
            }
        });
    });
}
