//! The place of a finding: what it is called, and the way there. Its part is selected, its page of the slate opened, and the
//! spot marked on the floor and brought into view.

use super::Findings;
use crate::act;
use crate::app::App;
use crate::floor::layout::{View, Window};
use crate::gesture::select;
use crate::on_shell::item::{AddedGrip, OpeningGrip};
use crate::on_shell::{ShellPage, added, openings};
use crate::view::{Item, Selected, Shown, Spot, Tab};
use egui::Rect;
use form::{Finding, Part};

/// A station this near, mm, is the one that is meant.
const NEAR: f64 = 0.6;
/// A spot nearer than this to the edge of a view, in points, is as good as out of it.
const INSIDE: f32 = 16.0;

/// The place in the editor's own words: sections go by letters here, lengths are in the units of the view.
pub(super) fn label(app: &App, finding: &Finding) -> String {
    let place = &finding.place;
    let airframe = &app.desk.document().airframe;
    let part = match place.part {
        Part::Section(section) => format!("Section {}", crate::floor::scene::letter(section)),
        Part::Form if place.station.is_some() => String::new(),
        Part::Form => "Form".to_owned(),
        Part::KeepOut(index) => {
            airframe.keep_outs.get(index).map_or_else(|| format!("Keep-out {}", index + 1), |k| k.name.clone())
        }
        Part::Gauge(index) => format!("Gauge {}", index + 1),
        Part::Line(line) => format!("{} line", line.label()),
        Part::Station(index) => format!("Station {}", index + 1),
        Part::Picture(index) => format!("Picture {}", index + 1),
        Part::Fuselage => "Fuselage end".to_owned(),
        Part::Thrust => "Thrust line".to_owned(),
        Part::DrawOff => "Drawing off".to_owned(),
        Part::Opening(index) => {
            let form = place.form.map_or_else(|| Some(app.form()), |form| app.desk.form(form));
            let opening = form.and_then(|form| form.openings.get(index).cloned());
            opening.map_or_else(|| format!("Opening {}", index + 1), |opening| opening.name.clone())
        }
        Part::Mount => {
            let form = place.form.and_then(|form| app.desk.document().forms.get(form));
            form.map_or_else(|| "Added form".to_owned(), |form| form.name.clone())
        }
        Part::Laminate => "Laminate".to_owned(),
        Part::Release => "Release".to_owned(),
        Part::Balance => "Balance".to_owned(),
    };
    match place.station {
        Some(x) if part.is_empty() => format!("At {}", app.view.units.length(x)),
        Some(x) => format!("{part} at {}", app.view.units.length(x)),
        None => part,
    }
}

/// Goes there.
pub(crate) fn go(app: &mut App, finding: &Finding) {
    app.sheets = None;
    let on_the_first = on_the_first(app, finding);
    let form = if on_the_first.is_some() { Some(0) } else { finding.place.form };
    if let Some(form) = form.filter(|form| *form != app.view.form) {
        act::show_form(app, form);
    }
    let of_plug = app.findings.as_ref().is_some_and(|f: &Findings| f.is_of_plug(finding));
    let target = on_the_first.unwrap_or_else(|| target(app, finding));
    select(&mut app.view, target);
    if of_plug {
        app.view.tab = Tab::Build;
    }
    if let Some(page) = page_of_shell(finding.place.part).filter(|_| on_the_first.is_none()) {
        app.view.tab = Tab::Shell;
        app.view.shell = page;
    }
    let spot = Spot { station: finding.place.station, at: finding.place.at };
    show_section(app, spot);
    app.view.spot = (spot != Spot::default()).then_some(spot);
    bring_into_view(app, spot);
}

/// An added form where it sits on the first one: what is found about that, or what it hits there, has its place in the axes of the first.
fn on_the_first(app: &App, finding: &Finding) -> Option<Selected> {
    let form = finding.place.form?;
    app.desk.document().forms.get(form)?.mount?;
    let there = matches!(finding.place.part, Part::Mount | Part::KeepOut(_) | Part::Thrust);
    there.then(|| added::selected(form, AddedGrip::Place, View::Side))
}

/// The page of the shell on which a part of it stands.
fn page_of_shell(part: Part) -> Option<ShellPage> {
    match part {
        Part::Opening(_) => Some(ShellPage::Openings),
        Part::Mount => Some(ShellPage::Added),
        Part::Laminate => Some(ShellPage::Laminate),
        Part::Release => Some(ShellPage::Release),
        Part::Balance => Some(ShellPage::Weights),
        _ => None,
    }
}

fn target(app: &App, finding: &Finding) -> Selected {
    let bench = |item, view| Selected::Bench { item, view };
    match finding.place.part {
        Part::Form => station_near(app, finding.place.station).map_or(Selected::Nothing, Selected::Station),
        Part::Opening(index) => app
            .form()
            .openings
            .get(index)
            .map_or(Selected::Nothing, |opening| openings::selected(index, OpeningGrip::Whole, opening.seen)),
        Part::Mount | Part::Laminate | Part::Release | Part::Balance => Selected::Nothing,
        Part::DrawOff => bench(in_the_way(app, finding).unwrap_or(Item::WayOff), View::Side),
        Part::Fuselage => bench(Item::Fuselage, View::Side),
        Part::Thrust => bench(Item::Hub, View::Side),
        Part::KeepOut(index) => bench(Item::KeepOut(index), View::Side),
        Part::Gauge(index) => bench(Item::Gauge(index), View::Face),
        Part::Line(line) => Selected::Line(line),
        Part::Section(section) => Selected::Section(section),
        Part::Station(station) => Selected::Station(station),
        Part::Picture(picture) => Selected::Picture(picture),
    }
}

/// What the shell hits while it is drawn off; the finding calls it by its name.
fn in_the_way(app: &App, finding: &Finding) -> Option<Item> {
    let airframe = &app.desk.document().airframe;
    let named = |name: &str| finding.what.contains(name);
    let keep_out = airframe.keep_outs.iter().position(|k| !k.name.is_empty() && named(&k.name));
    keep_out
        .map(Item::KeepOut)
        .or_else(|| (airframe.fuselage.is_some() && named("the fuselage")).then_some(Item::Fuselage))
        .or_else(|| (airframe.thrust.is_some() && named("back plate")).then_some(Item::Spinner))
}

fn station_near(app: &App, x: Option<f64>) -> Option<usize> {
    let x = x?;
    let form = app.form();
    let nearest = form.stations.iter().enumerate().min_by(|a, b| (a.1 - x).abs().total_cmp(&(b.1 - x).abs()))?;
    ((nearest.1 - x).abs() <= NEAR).then_some(nearest.0)
}

/// The face view shows the section at the spot, and all of them where none is cut there.
fn show_section(app: &mut App, spot: Spot) {
    if app.view.selected.section().is_some() {
        return;
    }
    match station_near(app, spot.station) {
        Some(station) => app.view.shown = Some(Shown::Station(station)),
        None if spot.at.is_some() => app.view.shown = None,
        None => {}
    }
}

/// Moves the drawing as little as needed, if the spot lies out of a view.
fn bring_into_view(app: &mut App, spot: Spot) {
    let Some(layout) = app.layout() else { return };
    let out = |window: &Window, at: [f64; 2]| {
        let (inside, place): (Rect, _) = (window.rect.shrink(INSIDE), window.screen(at));
        [!inside.x_range().contains(place.x), !inside.y_range().contains(place.y)]
    };
    let camera = &mut app.view.camera;
    let before = *camera;
    if let Some(x) = spot.station
        && out(&layout.side, [x, 0.0])[0]
    {
        camera.x = x;
    }
    if let Some([y, z]) = spot.at {
        if out(&layout.side, [0.0, z])[1] {
            camera.z = z;
        }
        if out(&layout.face, [-y, z])[0] {
            camera.across = -y;
        }
        if out(&layout.plan, [0.0, y])[1] {
            camera.y = y;
        }
    }
    app.view.fitted &= *camera == before;
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pressed::{Window, ask, on, press, settle};
    use crate::slate::Ask;
    use form::Severity;
    use project::airframe::{KeepOut, KeepOutPlace, Solid};
    use project::document::LineName;
    use project::edit::Edit;

    fn on_the_bench<'a>() -> Window<'a> {
        let mut window = on(Tab::Bench);
        press(&mut window, "Add the fuselage end");
        let place = KeepOutPlace::Free { front: [40.0, 0.0, 0.0], pitch_deg: 0.0, yaw_deg: 0.0 };
        let shape = Solid::Cylinder { diameter: 60.0, length: 80.0 };
        let motor = KeepOut { name: "Motor".into(), shape, place, clearance: 3.0 };
        ask(&mut window, Ask::Do(Edit::AddKeepOut(motor)));
        settle(&mut window);
        window
    }

    fn go_to(window: &mut Window<'_>, finding: Finding) {
        ask(window, Ask::GoTo(Box::new(finding)));
    }

    fn found(part: Part, what: &str) -> Finding {
        Finding::new(Severity::Warning, part, what, "A hint.")
    }

    /// What stands in the way while the shell is drawn off is what a hand can change: that is selected, and the spot is marked.
    #[test]
    fn drawing_off_leads_to_what_is_in_the_way() {
        let mut window = on_the_bench();
        let spot = [12.0, -30.0];
        let ways = [
            ("Drawn off, the shell hits Motor: it stands 2 mm beyond.", Some(Item::KeepOut(0))),
            ("Drawn off, the shell hits the fuselage: it stands 2 mm beyond.", Some(Item::Fuselage)),
            ("Drawn off, the shell hits itself.", Some(Item::WayOff)),
        ];
        for (what, item) in ways {
            go_to(&mut window, found(Part::DrawOff, what).at_station(90.0).at_point(spot));
            let view = &window.state().view;
            assert_eq!((view.tab, view.selected.item()), (Tab::Bench, item), "{what}");
            assert_eq!(view.spot, Some(Spot { station: Some(90.0), at: Some(spot) }));
        }
    }

    #[test]
    fn every_part_leads_to_its_page_and_selection() {
        let mut window = on_the_bench();
        let stations = window.state().form().stations.clone();
        let bench = |item, view| Selected::Bench { item, view };
        let cases = [
            (found(Part::Fuselage, "A gap.").at_station(300.0), bench(Item::Fuselage, View::Side), Tab::Bench),
            (found(Part::KeepOut(0), "Too near."), bench(Item::KeepOut(0), View::Side), Tab::Bench),
            (
                found(Part::Line(LineName::Keel), "Not fair.").at_station(80.0),
                Selected::Line(LineName::Keel),
                Tab::Shape,
            ),
            (found(Part::Section(1), "Crosses."), Selected::Section(1), Tab::Shape),
            (found(Part::Form, "Coarse.").at_station(stations[2] + 0.2), Selected::Station(2), Tab::Shape),
            (found(Part::Form, "Whole."), Selected::Nothing, Tab::Shape),
        ];
        for (finding, selected, tab) in cases {
            go_to(&mut window, finding.clone());
            let view = &window.state().view;
            assert_eq!((view.selected, view.tab), (selected, tab), "{}", finding.what);
            assert_eq!(view.spot.and_then(|s| s.station), finding.place.station, "{}", finding.what);
        }
    }

    #[test]
    fn openings_and_mounts_lead_to_their_pages() {
        let mut window = on_the_bench();
        window.state_mut().view.tab = Tab::Shell;
        window.run_ok();
        press(&mut window, "Add: air outlet");
        press(&mut window, "Shell: Added forms");
        press(&mut window, "Add: chin scoop");
        ask(&mut window, Ask::ShowForm(1));
        let mut at_the_outlet = found(Part::Opening(0), "It leaves the form.");
        at_the_outlet.place.form = Some(0);
        go_to(&mut window, at_the_outlet.clone());
        let view = &window.state().view;
        assert_eq!((view.form, view.tab, view.shell), (0, Tab::Shell, ShellPage::Openings));
        assert!(matches!(view.selected.on_shell(), Some(crate::on_shell::OnShell::Opening { opening: 0, .. })));
        assert_eq!(super::label(window.state(), &at_the_outlet), "Air outlet");
        ask(&mut window, Ask::ShowForm(1));
        let mut apart = found(Part::Mount, "It does not touch.");
        apart.place.form = Some(1);
        for part in [Part::Mount, Part::KeepOut(0)] {
            apart.place.part = part;
            go_to(&mut window, apart.clone());
            let view = &window.state().view;
            assert_eq!((view.form, view.tab, view.shell), (0, Tab::Shell, ShellPage::Added), "{part:?}");
            assert!(matches!(view.selected.on_shell(), Some(crate::on_shell::OnShell::Added { form: 1, .. })));
        }
    }

    #[test]
    fn the_face_view_shows_the_section_at_the_spot_or_all() {
        let mut window = on_the_bench();
        let stations = window.state().form().stations.clone();
        go_to(&mut window, found(Part::Fuselage, "A gap.").at_station(stations[3]).at_point([60.0, 10.0]));
        assert_eq!(window.state().view.shown, Some(Shown::Station(3)));
        let between = f64::midpoint(stations[3], stations[4]);
        go_to(&mut window, found(Part::Form, "Too wide.").at_station(between).at_point([60.0, 10.0]));
        assert_eq!(window.state().view.shown, None);
    }

    #[test]
    fn a_spot_out_of_sight_comes_into_view_and_one_in_sight_moves_nothing() {
        let mut window = on_the_bench();
        let before = window.state().view.camera;
        go_to(&mut window, found(Part::Form, "Near.").at_station(150.0).at_point([10.0, 0.0]));
        assert_eq!(window.state().view.camera, before);
        go_to(&mut window, found(Part::Form, "Far.").at_station(2000.0).at_point([-900.0, 700.0]));
        let layout = window.state().layout().expect("drawn");
        for (window, at) in
            [(&layout.side, [2000.0, 700.0]), (&layout.plan, [2000.0, -900.0]), (&layout.face, [900.0, 700.0])]
        {
            assert!(window.rect.contains(window.screen(at)), "{:?}", window.view);
        }
    }

    #[test]
    fn lengths_are_called_by_the_units_of_the_view_and_things_by_their_names() {
        let mut window = on_the_bench();
        let label = |window: &Window<'_>, finding: &Finding| super::label(window.state(), finding);
        assert_eq!(label(&window, &found(Part::KeepOut(0), "").at_station(25.4)), "Motor at 25.4 mm");
        ask(&mut window, Ask::Command(crate::commands::Command::Inches));
        assert_eq!(label(&window, &found(Part::Form, "").at_station(25.4)), "At 1.000 in");
        assert_eq!(label(&window, &found(Part::Section(1), "")), "Section B");
    }
}
