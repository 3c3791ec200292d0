//! Sections solved from photographs: the solve beside the window's thread, its result before it is accepted, one step to
//! accept it, and what is said when there is nothing to solve or the project has changed since.

use super::*;
use crate::commands::Command;
use crate::light_table::marks::OnPicture;
use crate::light_table::solving::found::Found;
use crate::light_table::solving::{Solving, Standing};
use crate::slate::Ask;
use crate::view::{Selected, Shown};
use geometry::loft::Loft;
use sight::solution::Grade;
use std::sync::Arc;

/// The demo with its control sections between the ends taken out, and what it was before.
fn flattened() -> (Desk, Loft) {
    let mut desk = Desk::new();
    desk.open_demo().expect("it is built in");
    let truth = loft(&desk.document().forms[0]);
    let inner = desk.document().forms[0].sections.len() - 2;
    let edits = vec![Edit::RemoveSection { form: 0, section: 1 }; inner];
    desk.apply(&Edit::Together { label: "Flatten".into(), edits }).expect("both ends stay");
    (desk, truth)
}

fn loft(form: &Form) -> Loft {
    form::loft(form).skin.expect("a whole form").loft().clone()
}

/// Areas of sections amidships, mm²: what is compared of two forms.
fn areas(loft: &Loft) -> Vec<f64> {
    [72.0, 144.0, 216.0, 288.0].map(|x| loft.section(x).expect("inside").measures().area).to_vec()
}

/// Sum of the squares by which areas differ, as shares.
fn off(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| (a / b - 1.0).powi(2)).sum()
}

fn solving<'a>(window: &'a Window<'_>) -> &'a Solving {
    window.state().table.solving.as_ref().expect("made in the first frame")
}

fn found(window: &Window<'_>) -> Arc<Found> {
    solving(window).found().expect("solved").clone()
}

/// Until the solve has come.
fn solved(window: &mut Window<'_>) {
    for _ in 0..2000 {
        window.run_ok();
        if solving(window).progress().is_none() {
            window.run_ok();
            return;
        }
        std::thread::sleep(std::time::Duration::from_millis(10));
    }
    panic!("the solve does not end");
}

/// A window over the flattened demo, in which the key for solving was pressed.
fn begun<'a>() -> (Window<'a>, Loft) {
    let (desk, truth) = flattened();
    let mut window = window(desk);
    window.key_press(Key::Y);
    window.step();
    (window, truth)
}

fn text_with(window: &Window<'_>, part: &str) -> bool {
    window.query_all_by_label_contains(part).next().is_some()
}

#[test]
fn a_solve_shows_how_far_it_is_and_then_its_result_and_changes_nothing() {
    let (mut window, truth) = begun();
    let before = window.state().desk.document().clone();
    window.step();
    assert_eq!(window.state().view.tab, Tab::Pictures);
    assert!(window.state().table.is_open(), "a photograph lies on the table");
    window.get_by_label("Stop solving");
    solved(&mut window);
    assert_eq!(solving(&window).failure(), None);
    assert_eq!(solving(&window).standing(), Standing::Fresh);
    assert!(Arc::ptr_eq(window.state().desk.document(), &before), "nothing is accepted silently");
    let found = found(&window);
    assert!(
        off(&areas(&loft(&found.solved.after.forms[0])), &areas(&truth))
            < off(&areas(&loft(&before.forms[0])), &areas(&truth))
    );
    // Two of the three pictures take no part, and that is said before and after.
    assert!(text_with(&window, "takes no part: nothing is traced in it"));
    assert!(text_with(&window, "outline of"));
    assert!(text_with(&window, "Nothing of the project has changed yet."));
    window.get_by_label("Accept");
}

#[test]
fn every_station_is_told_with_its_change_band_and_grade_and_can_be_looked_at() {
    let (mut window, _) = begun();
    solved(&mut window);
    let found = found(&window);
    assert!(found.solved.stations.len() > 4);
    assert!(found.solved.stations.iter().any(|s| Found::grade(s) == Grade::Measured));
    let station = &found.solved.stations[2];
    press(&mut window, &format!("Look at the solved station {:.1}", station.station));
    let form = form(&window);
    let shown = form.stations.iter().position(|x| *x == station.station).map(Shown::Station);
    assert!(shown.is_some() && window.state().view.shown == shown);
    for text in [format!("{:.2}", station.greatest_change()), format!("{:.2}", station.band())] {
        assert!(text_with(&window, &text), "{text}");
    }
    assert!(text_with(&window, &format!("At {:.1} mm", station.station)));
    assert!(text_with(&window, "measured") && text_with(&window, "px rms"));
    assert!(text_with(&window, "What would help most"));
    assert_eq!(window.state().view.tab, Tab::Pictures, "the numbers stay in sight");
}

/// The band on the floor is that of the numbers: about the breadth, where a section stands upright, it is as wide to either
/// side as the half-breadth's deviation there.
#[test]
fn the_ribbon_is_as_wide_as_the_numbers_say() {
    let (mut window, _) = begun();
    solved(&mut window);
    let found = found(&window);
    for station in &found.solved.stations {
        let ribbon = found.section(station.station).expect("every told station has one");
        let widest = ribbon.after.iter().max_by(|a, b| a.at[0].total_cmp(&b.at[0])).expect("places");
        let row = station.rows.iter().min_by(|a, b| (a.z - widest.at[1]).abs().total_cmp(&(b.z - widest.at[1]).abs()));
        let sigma = row.expect("rows").sigma;
        assert!((widest.sigma / sigma - 1.0).abs() < 0.25, "{}: {} {sigma}", station.station, widest.sigma);
    }
    assert_eq!(found.lines.len(), 2, "breadth and breadth height are sought");
}

#[test]
fn accepting_is_one_step_that_undo_takes_back() {
    let (mut window, truth) = begun();
    solved(&mut window);
    let before = window.state().desk.document().clone();
    press(&mut window, "Accept");
    assert_eq!(message(&window), None);
    assert_eq!(solving(&window).standing(), Standing::Accepted);
    assert!(
        window.state().note.as_ref().is_some_and(|n| n.contains("Undo takes it back")),
        "{:?}",
        window.state().note
    );
    let accepted = loft(&window.state().desk.document().forms[0]);
    assert!(off(&areas(&accepted), &areas(&truth)) < off(&areas(&loft(&before.forms[0])), &areas(&truth)));
    assert!(window.query_by_label("Accept").is_none(), "it is not accepted twice");
    ask(&mut window, Ask::Command(Command::Undo));
    assert_eq!(window.state().desk.document().forms[0], before.forms[0]);
    assert_eq!(solving(&window).standing(), Standing::Fresh, "it could be accepted again");
    press(&mut window, "Drop");
    assert!(solving(&window).found().is_none());
}

#[test]
fn a_solve_that_is_stopped_leaves_nothing_and_can_begin_again() {
    let mut window = window(flattened().0);
    // Once the camera is found the page stays as it is while the solve runs.
    ask(&mut window, Ask::Command(Command::LightTable));
    let found = |w: &Window<'_>| w.state().table.cameras.as_ref().is_some_and(|c| c.found(2).is_some());
    for _ in 0..500 {
        if found(&window) {
            break;
        }
        window.run_ok();
        std::thread::sleep(std::time::Duration::from_millis(10));
    }
    window.run_ok();
    window.key_press(Key::Y);
    window.step();
    window.step();
    window.get_by_label("Stop solving").click();
    window.step();
    assert_eq!(solving(&window).progress(), None);
    std::thread::sleep(std::time::Duration::from_millis(300));
    window.run_ok();
    assert!(solving(&window).found().is_none() && solving(&window).failure().is_none());
    press(&mut window, "Solve the sections");
    solved(&mut window);
    assert!(solving(&window).found().is_some());
}

#[test]
fn a_result_is_of_before_once_the_project_has_changed_and_cannot_be_accepted() {
    let (mut window, _) = begun();
    solved(&mut window);
    let point = form(&window).lines.crown.points[1];
    let edit = Edit::MoveLinePoint { form: 0, line: LineName::Crown, point: 1, x: point.x, value: point.value + 1.0 };
    ask(&mut window, Ask::Do(edit));
    assert_eq!(solving(&window).standing(), Standing::Old);
    assert!(text_with(&window, "of before the project's last change"));
    assert!(window.query_by_label("Accept").is_none());
    let changed = window.state().desk.document().clone();
    ask(&mut window, Ask::Solving(crate::light_table::solving::act::SolvingAsk::Accept));
    assert!(Arc::ptr_eq(window.state().desk.document(), &changed), "not by any other way either");
    assert!(message(&window).is_some_and(|m| m.contains("solve again")));
    ask(&mut window, Ask::Command(Command::Undo));
    assert_eq!(solving(&window).standing(), Standing::Fresh);
}

/// What a solve does not read leaves its result as it is, such as a picture's name.
#[test]
fn a_result_stays_of_now_when_what_it_does_not_read_changes() {
    let (mut window, _) = begun();
    solved(&mut window);
    let name = window.state().desk.document().name.clone();
    ask(&mut window, Ask::Do(Edit::RenamePicture { picture: 0, name: format!("{name} 2") }));
    assert_eq!(solving(&window).standing(), Standing::Fresh);
}

#[test]
fn without_anything_traced_it_is_said_what_to_do() {
    let (mut desk, _) = flattened();
    for picture in 0..desk.document().pictures.len() {
        while !desk.document().pictures[picture].photograph.traces.is_empty() {
            desk.apply(&Edit::RemoveTrace { picture, index: 0 }).expect("it is there");
        }
    }
    let mut window = window(desk);
    ask(&mut window, Ask::Command(Command::SolveSections));
    solved(&mut window);
    let why = solving(&window).failure().expect("nothing can be solved").to_owned();
    assert!(why.contains("nothing is traced"), "{why}");
    assert!(text_with(&window, "No photograph can be used"));
    assert!(text_with(&window, "trace the form's outline"));
}

/// A point of the upper outline traced 30 px off.
#[test]
fn a_point_that_is_left_out_is_told_and_leads_to_its_place() {
    let (mut desk, _) = flattened();
    let mut with = desk.document().pictures[2].photograph.traces[0].clone();
    with.points[8][1] -= 30.0;
    desk.apply(&Edit::ReplaceTrace { picture: 2, index: 0, with }).expect("a good trace");
    let mut window = window(desk);
    ask(&mut window, Ask::Command(Command::SolveSections));
    solved(&mut window);
    let left_out = found(&window).photographs[0].residuals.iter().filter(|r| r.left_out).count();
    assert_eq!(left_out, 1);
    let told = window.query_all_by_label_contains("Point 9 of the outline").next().expect("told");
    told.click();
    window.run_ok();
    let what = OnPicture::TracePoint { trace: 0, point: 8 };
    assert_eq!(window.state().view.selected, Selected::OnPicture { picture: 2, what });
}

/// One outline and an unknown breadth: the band says how little that is, and so does the button.
#[test]
fn a_weak_result_says_so_and_its_button_too() {
    let (mut desk, _) = flattened();
    for index in [3, 2, 1] {
        desk.apply(&Edit::RemoveTrace { picture: 2, index }).expect("the demo has four traces");
    }
    let mut window = window(desk);
    ask(&mut window, Ask::Command(Command::SolveSections));
    solved(&mut window);
    assert!(found(&window).solved.is_weak());
    assert!(text_with(&window, "This result is weak"));
    assert!(text_with(&window, "guessed"));
    press(&mut window, "Accept although weak");
    assert_eq!(solving(&window).standing(), Standing::Accepted);
}

#[test]
fn with_the_breadth_known_no_line_is_solved() {
    let (mut window, _) = begun();
    solved(&mut window);
    press(&mut window, "Breadth is known and stays");
    ask(&mut window, Ask::Command(Command::SolveSections));
    solved(&mut window);
    let found = found(&window);
    let names: Vec<LineName> = found.lines.iter().map(|(name, _)| *name).collect();
    assert_eq!(names, [LineName::BreadthHeight]);
    assert!(text_with(&window, "Breadth known"));
}

#[test]
fn residuals_lie_at_the_traced_points_and_ticks_end_at_the_solved_form() {
    let (mut window, _) = begun();
    solved(&mut window);
    let found = found(&window);
    let photograph = &found.photographs[0];
    let traces = &window.state().desk.document().pictures[photograph.picture].photograph.traces;
    let points: usize = traces.iter().map(|t| t.points.len()).sum();
    assert_eq!(photograph.residuals.len(), points);
    let mine = found.solved.solution.observations();
    for (residual, observation) in photograph.residuals.iter().zip(mine) {
        assert!(traces.iter().any(|t| t.points.contains(&residual.at)));
        let Some([x, y]) = residual.to_form else { continue };
        // The nearest place of a curve lies square to it, as far off as the residual says.
        assert!((x.hypot(y) - observation.residual_px.abs()).abs() < 0.05, "{residual:?} {observation:?}");
    }
    assert!(!photograph.outline.is_empty());
    press(&mut window, "Before");
    assert!(!solving(&window).looks.before);
    ask(&mut window, Ask::Select(Selected::Nothing));
}
