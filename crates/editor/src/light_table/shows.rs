//! What is shown on the light table: the builder looks at the photograph, at the form over it, or at both.

use super::marks::OnPicture;
use crate::theme::{self, Theme};
use egui::containers::menu::{MenuButton, MenuConfig};
use egui::{Button, PopupCloseBehavior, RichText, Slider, Ui};
use form::seen::{SeenPart, Wanted};

/// What is shown. What is hidden is not to be taken hold of either.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Shows {
    /// The form at all: one press shows the bare photograph.
    pub(crate) form: bool,
    /// Crown, keel and breadth line.
    pub(crate) lines: bool,
    /// Knuckles, and the lines along the body between marks.
    pub(crate) control_lines: bool,
    pub(crate) sections: bool,
    pub(crate) stations: bool,
    pub(crate) silhouette: bool,
    pub(crate) shaded: bool,
    /// How strongly the shaded form covers the photograph, 0 to 1.
    pub(crate) shade: f32,
    pub(crate) landmarks: bool,
    pub(crate) traces: bool,
    /// How strongly the photograph itself shows, 0 to 1.
    pub(crate) photograph: f32,
}

impl Default for Shows {
    fn default() -> Self {
        Self {
            form: true,
            lines: true,
            control_lines: false,
            sections: true,
            stations: false,
            silhouette: true,
            shaded: false,
            shade: 0.6,
            landmarks: true,
            traces: true,
            photograph: 1.0,
        }
    }
}

impl Shows {
    /// Whether a line of the form is shown for its kind.
    pub(crate) fn part(&self, part: SeenPart) -> bool {
        self.form
            && match part {
                SeenPart::Crown | SeenPart::Keel | SeenPart::Breadth(_) => self.lines,
                SeenPart::ControlSection(_) => self.sections,
                SeenPart::Station(..) => self.stations,
                SeenPart::Knuckle(..) | SeenPart::ControlLine(_) => self.control_lines,
                SeenPart::Silhouette => self.silhouette,
            }
    }

    /// Whether something that was picked on the picture is shown.
    pub(crate) fn mark(&self, what: OnPicture) -> bool {
        match what {
            OnPicture::Landmark(_) => self.landmarks,
            OnPicture::Trace(_) | OnPicture::TracePoint { .. } => self.traces,
            OnPicture::Distance { .. } | OnPicture::Straight { .. } | OnPicture::Figure(_) => true,
        }
    }

    /// What is kept as a habit, by its name; the form itself and the photograph are there at every start.
    pub(crate) fn switches(&mut self) -> [(&'static str, &mut bool); 8] {
        [
            ("table_lines", &mut self.lines),
            ("table_control_lines", &mut self.control_lines),
            ("table_sections", &mut self.sections),
            ("table_stations", &mut self.stations),
            ("table_silhouette", &mut self.silhouette),
            ("table_shaded", &mut self.shaded),
            ("table_landmarks", &mut self.landmarks),
            ("table_traces", &mut self.traces),
        ]
    }

    /// The lines to be computed, their chords within so many pixels. A station is there even while only one of them is lit.
    pub(crate) fn wanted(&self, tolerance_px: f64, lit_station: bool) -> Wanted {
        Wanted {
            tolerance_px,
            master_lines: true,
            sections: true,
            stations: self.stations || lit_station,
            control_lines: self.control_lines,
            silhouette: self.silhouette,
        }
    }
}

/// The button that lists all of it; `before` draws what stands above it in the menu.
pub(crate) fn menu(ui: &mut Ui, shows: &mut Shows, theme: &Theme, has_camera: bool, before: impl FnOnce(&mut Ui)) {
    let config = MenuConfig::default().close_behavior(PopupCloseBehavior::CloseOnClickOutside);
    let (response, _) = MenuButton::new("Show").config(config).ui(ui, |ui| {
        ui.set_min_width(236.0);
        before(ui);
        form(ui, shows, theme, has_camera);
        ui.separator();
        ui.checkbox(&mut shows.landmarks, "Landmarks");
        ui.checkbox(&mut shows.traces, "Traces");
        ui.separator();
        share(ui, &mut shows.photograph, "Photograph", "Strength of the photograph");
    });
    response.on_hover_text("What is shown on the light table, and how strongly.");
}

fn form(ui: &mut Ui, shows: &mut Shows, theme: &Theme, has_camera: bool) {
    if !has_camera {
        let why = "The form is drawn once the picture has its camera.";
        ui.add(egui::Label::new(RichText::new(why).font(theme::small()).color(theme.weak)).wrap());
    }
    let all = Button::new("The form over the photograph").selected(shows.form);
    if ui.add(all).on_hover_text("All of the form, or the bare photograph.").clicked() {
        shows.form = !shows.form;
    }
    ui.add_enabled_ui(shows.form, |ui| {
        let mut check = |on: &mut bool, name: &str, tip: &str| ui.checkbox(on, name).on_hover_text(tip);
        check(&mut shows.silhouette, "Silhouette", "Where the surface turns away; drag it to change the form.");
        check(&mut shows.lines, "Crown, keel and breadth line", "And their points, to be dragged.");
        check(&mut shows.sections, "Control sections", "And their points, to be dragged.");
        check(&mut shows.stations, "Stations", "Where the templates are cut.");
        check(&mut shows.control_lines, "Knuckles and control lines", "Along the body through corresponding points.");
        check(&mut shows.shaded, "Shaded", "The surface in even light, over the photograph.");
        ui.add_enabled_ui(shows.shaded, |ui| share(ui, &mut shows.shade, "Shading", "Strength of the shading"));
    });
}

fn share(ui: &mut Ui, value: &mut f32, name: &str, accessible: &str) {
    ui.horizontal(|ui| {
        ui.label(name);
        ui.spacing_mut().slider_width = 110.0;
        let mut percent = 100.0 * *value;
        let slider = Slider::new(&mut percent, 0.0..=100.0).fixed_decimals(0).suffix(" %");
        if ui.add(slider).accessible_name(accessible).changed() {
            *value = 0.01 * percent;
        }
    });
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_bare_photograph_shows_nothing_of_the_form_and_all_that_was_picked() {
        let bare = Shows { form: false, stations: true, control_lines: true, ..Shows::default() };
        let parts = [SeenPart::Crown, SeenPart::ControlSection(0), SeenPart::Station(0, 10.0), SeenPart::Silhouette];
        assert!(parts.iter().all(|part| !bare.part(*part)));
        assert!(bare.mark(OnPicture::Landmark(0)) && bare.mark(OnPicture::Trace(0)));
    }

    #[test]
    fn a_kind_is_hidden_alone() {
        let shows = Shows { lines: false, landmarks: false, ..Shows::default() };
        assert!(!shows.part(SeenPart::Crown) && !shows.part(SeenPart::Breadth(project::photograph::Side::Port)));
        assert!(shows.part(SeenPart::ControlSection(0)) && shows.part(SeenPart::Silhouette));
        assert!(!shows.mark(OnPicture::Landmark(0)) && shows.mark(OnPicture::TracePoint { trace: 0, point: 0 }));
    }
}
