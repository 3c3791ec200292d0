//! This machine's habits, kept in a small text beside the recovery: theme, units, scaling, what is switched on.
//!
//! One `name = value` a line. What cannot be read is left as it was: habits are a convenience and never in the way.

use crate::app::App;
use crate::light_table::shows::Shows;
use crate::units::Units;
use egui::Theme;
use std::fmt::Write as _;
use std::path::PathBuf;

/// Habits as text, and back.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Habits {
    dark: bool,
    zoom: f32,
    inches: bool,
    snap: bool,
    grid: bool,
    areas: bool,
    comb: bool,
    findings: bool,
    card: bool,
    card_place: [f32; 2],
    table: Shows,
}

impl Habits {
    fn of(app: &App, dark: bool, zoom: f32) -> Self {
        let view = &app.view;
        Self {
            dark,
            zoom,
            inches: view.units == Units::Inch,
            snap: view.snap.points,
            grid: view.snap.grid,
            areas: view.areas,
            comb: view.comb,
            findings: view.findings,
            card: view.card.open,
            card_place: view.card.from_corner,
            table: app.table.shows,
        }
    }

    fn text(&self) -> String {
        let mut text = String::new();
        let switches = [
            ("dark", self.dark),
            ("inches", self.inches),
            ("snap", self.snap),
            ("whole_mm", self.grid),
            ("curve_of_areas", self.areas),
            ("comb", self.comb),
            ("findings", self.findings),
            ("card", self.card),
        ];
        // Writing to a string does not fail.
        for (name, on) in switches {
            let _ = writeln!(text, "{name} = {on}");
        }
        for (name, on) in Shows::switches(&mut { self.table }) {
            let _ = writeln!(text, "{name} = {on}");
        }
        let _ = writeln!(text, "table_shading = {}", self.table.shade);
        let _ = writeln!(text, "scaling = {}", self.zoom);
        let _ = writeln!(text, "card_across = {}\ncard_down = {}", self.card_place[0], self.card_place[1]);
        text
    }

    fn read(&mut self, text: &str) {
        for line in text.lines() {
            let Some((name, value)) = line.split_once('=') else { continue };
            self.set(name.trim(), value.trim());
        }
    }

    fn set(&mut self, name: &str, value: &str) {
        let switch = match name {
            "dark" => &mut self.dark,
            "inches" => &mut self.inches,
            "snap" => &mut self.snap,
            "whole_mm" => &mut self.grid,
            "curve_of_areas" => &mut self.areas,
            "comb" => &mut self.comb,
            "findings" => &mut self.findings,
            "card" => &mut self.card,
            _ => {
                for (_, switch) in self.table.switches().into_iter().filter(|(kept, _)| *kept == name) {
                    *switch = value.parse().unwrap_or(*switch);
                }
                return self.set_number(name, value);
            }
        };
        *switch = value.parse().unwrap_or(*switch);
    }

    fn set_number(&mut self, name: &str, value: &str) {
        let Some(number) = value.parse::<f32>().ok().filter(|n| n.is_finite()) else { return };
        match name {
            "table_shading" => self.table.shade = number.clamp(0.0, 1.0),
            "scaling" => self.zoom = number.clamp(1.0, 2.0),
            "card_across" => self.card_place[0] = number,
            "card_down" => self.card_place[1] = number,
            _ => {}
        }
    }
}

fn file(app: &App) -> Option<PathBuf> {
    Some(app.state.as_ref()?.path().join("window.txt"))
}

/// Takes up the habits of this machine.
pub(crate) fn load(app: &mut App, ctx: &egui::Context) {
    let Some(text) = file(app).and_then(|path| desk::files::read_text(&path).ok()) else { return };
    let mut habits = Habits::of(app, ctx.theme() == Theme::Dark, ctx.zoom_factor());
    habits.read(&text);
    ctx.set_theme(if habits.dark { Theme::Dark } else { Theme::Light });
    ctx.set_zoom_factor(habits.zoom);
    let view = &mut app.view;
    view.units = if habits.inches { Units::Inch } else { Units::Millimetre };
    view.snap.points = habits.snap;
    view.snap.stations = habits.snap;
    view.snap.grid = habits.grid;
    view.areas = habits.areas;
    view.comb = habits.comb;
    view.findings = habits.findings;
    view.card.open = habits.card;
    view.card.from_corner = habits.card_place;
    app.table.shows = habits.table;
}

/// Keeps them. A text that cannot be written costs a convenience, and is no reason to trouble the builder.
pub(crate) fn save(app: &App) {
    let Some(path) = file(app) else { return };
    let habits = Habits::of(app, app.looks.0, app.looks.1);
    if let Some(folder) = path.parent() {
        let _ = std::fs::create_dir_all(folder);
    }
    let _ = desk::files::write_whole(&path, habits.text().as_bytes());
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn habits_come_back_and_nonsense_is_passed_over() {
        let app = App::over(desk::Desk::new());
        let mut habits = Habits::of(&app, false, 1.5);
        habits.inches = true;
        habits.card_place = [-310.5, -20.0];
        habits.table = Shows { stations: true, traces: false, shade: 0.25, ..habits.table };
        let mut again = Habits::of(&app, true, 1.0);
        again.read(&habits.text());
        assert_eq!(again, habits);
        again.read("scaling = NaN\ndark = perhaps\nno such = 3\n\u{1F6E9}");
        assert_eq!(again, habits);
    }
}
