//! Tracing on the light table: clicked, gone on with, corrected, split, and drawn to the edge of a picture whose edge is known.

use super::with_pictures::click_at;
use super::*;
use crate::commands::Command;
use crate::light_table::marks::OnPicture;
use crate::slate::Ask;
use crate::view::{Selected, Tool};
use egui::{Event, PointerButton};
use photo::following::Doubt;
use project::document::PictureView;
use project::photograph::{Photograph, Trace, Traced};

const MIDDLE: [f64; 2] = [600.0, 450.0];
const RADIUS: f64 = 300.0;

/// Where the picture's edge is at an angle, px, so far outside of it.
fn rim(degrees: f64, outside: f64) -> [f64; 2] {
    let (s, c) = degrees.to_radians().sin_cos();
    [MIDDLE[0] + (RADIUS + outside) * c, MIDDLE[1] - (RADIUS + outside) * s]
}

fn off_rim(p: [f64; 2]) -> f64 {
    (p[0] - MIDDLE[0]).hypot(p[1] - MIDDLE[1]) - RADIUS
}

/// A dark disc before a bright sky, its edge a pixel soft; `covered` hides what lies there behind one grey.
fn disc(covered: impl Fn([f64; 2]) -> bool) -> Vec<u8> {
    let light = |x: u32, y: u32| {
        let at = [f64::from(x) + 0.5, f64::from(y) + 0.5];
        if covered(at) {
            return [120, 120, 118, 255];
        }
        // Linear light of the two, mixed as a lens mixes it, and then encoded with the usual exponent.
        let share = (0.5 - off_rim(at)).clamp(0.0, 1.0);
        let linear = share * 0.04 + (1.0 - share) * 0.6;
        // A little noise, always the same.
        let noise = f64::from((x.wrapping_mul(7919) ^ y.wrapping_mul(104_729)) % 5) - 2.0;
        let coded = (255.0 * linear.powf(1.0 / 2.2) + noise).round() as u8;
        [coded, coded, coded, 255]
    };
    let mut bytes = std::io::Cursor::new(Vec::new());
    let image = image::RgbaImage::from_fn(1200, 900, |x, y| image::Rgba(light(x, y)));
    image.write_to(&mut bytes, image::ImageFormat::Png).expect("it is encoded");
    bytes.into_inner()
}

/// A window with that picture on the light table, and the traces on it.
fn laid<'a>(bytes: &[u8], traces: Vec<Trace>) -> Window<'a> {
    let mut window = window(plain_desk());
    crate::pictures::add(window.state_mut(), "Disc", bytes, PictureView::Side);
    for trace in traces {
        window.state_mut().desk.apply(&Edit::AddTrace { picture: 0, trace }).expect("a good trace");
    }
    ask(&mut window, Ask::Command(Command::LightTable));
    settle(&mut window);
    for _ in 0..200 {
        let app = window.state();
        if app.decoded.texture(&app.desk.document().pictures[0]).is_some() {
            break;
        }
        std::thread::sleep(std::time::Duration::from_millis(5));
        window.step();
    }
    window
}

/// The upper half of the disc, coarsely: up to four pixels off.
fn coarse() -> Trace {
    let points = (0..=6).map(|i| rim(10.0 + 26.0 * f64::from(i), if i % 2 == 0 { 4.0 } else { -3.0 }));
    Trace { of: Traced::Outline, points: points.collect() }
}

fn photograph(window: &Window<'_>) -> Photograph {
    window.state().desk.document().pictures[0].photograph.clone()
}

fn points(window: &Window<'_>, trace: usize) -> Vec<[f64; 2]> {
    photograph(window).traces[trace].points.clone()
}

fn on_screen(window: &Window<'_>, px: [f64; 2]) -> Pos2 {
    let table = &window.state().table;
    table.sheet.screen(table.place.expect("drawn"), px)
}

fn click_px(window: &mut Window<'_>, px: [f64; 2]) {
    let at = on_screen(window, px);
    click_at(window, at);
}

fn near(a: [f64; 2], b: [f64; 2], px: f64) -> bool {
    (a[0] - b[0]).hypot(a[1] - b[1]) <= px
}

fn choose(window: &mut Window<'_>, what: OnPicture) {
    ask(window, Ask::Select(Selected::OnPicture { picture: 0, what }));
}

/// Until the edge was followed, or could not be.
fn followed(window: &mut Window<'_>) {
    for _ in 0..1000 {
        window.run_ok();
        let following = window.state().table.tracing.following.as_ref().expect("it was asked for");
        if following.progress().is_none() {
            window.run_ok();
            return;
        }
        std::thread::sleep(std::time::Duration::from_millis(5));
    }
    panic!("the edge is followed for ever");
}

fn proposes(window: &Window<'_>) -> bool {
    window.state().table.tracing.following.as_ref().is_some_and(|f| f.proposal.is_some())
}

#[test]
fn an_outline_is_clicked_along_and_gone_on_with_from_its_nearer_end() {
    let mut window = laid(&disc(|_| false), Vec::new());
    window.key_press(Key::Q);
    window.run_ok();
    for degrees in [60.0, 80.0, 100.0] {
        click_px(&mut window, rim(degrees, 0.0));
    }
    window.key_press(Key::Enter);
    window.run_ok();
    assert_eq!(window.state().view.tool, Tool::Select);
    assert_eq!((photograph(&window).traces.len(), points(&window, 0).len()), (1, 3));
    assert!(points(&window, 0).iter().all(|p| off_rim(*p).abs() < 1.5));

    press(&mut window, "Go on with the trace");
    // The first end is nearer to these, so they come before it.
    click_px(&mut window, rim(40.0, 0.0));
    click_px(&mut window, rim(20.0, 0.0));
    window.key_press(Key::Enter);
    window.run_ok();
    let longer = points(&window, 0);
    assert_eq!(longer.len(), 5);
    assert!(near(longer[0], rim(20.0, 0.0), 1.5) && near(longer[4], rim(100.0, 0.0), 1.5), "{longer:?}");
    click(&mut window, "Undo");
    assert_eq!(points(&window, 0).len(), 3);
}

#[test]
fn a_click_on_a_trace_selects_it_and_adds_a_point_with_the_command_key_or_a_second_click() {
    let mut window = laid(&disc(|_| false), vec![coarse()]);
    let between = |window: &Window<'_>, i: usize| {
        let p = points(window, 0);
        let curve = crate::light_table::tracing::curve::through(&p[i..=i + 1], 1.0);
        curve[curve.len() / 2]
    };
    click_px(&mut window, [600.0, 450.0]);
    assert_eq!(window.state().view.selected, Selected::Picture(0), "the disc's middle is no trace");
    // Halfway between two points the chord lies some pixels inside the smooth line; the click is meant for that line.
    let at = crate::light_table::tracing::curve::nearest(&points(&window, 0), between(&window, 2)).expect("there").at;
    click_px(&mut window, at);
    assert_eq!(window.state().view.selected, Selected::OnPicture { picture: 0, what: OnPicture::Trace(0) });

    let place = on_screen(&window, at);
    window.hover_at(place);
    window.event(Event::ModifiersChanged(Modifiers::COMMAND));
    for pressed in [true, false] {
        window.event(Event::PointerButton {
            pos: place,
            button: PointerButton::Primary,
            pressed,
            modifiers: Modifiers::COMMAND,
        });
    }
    window.run_ok();
    window.event(Event::ModifiersChanged(Modifiers::NONE));
    for _ in 0..40 {
        window.step();
    }
    let more = points(&window, 0);
    assert_eq!(more.len(), 8);
    assert!(near(more[3], at, 1.5), "{:?} {at:?}", more[3]);
    assert_eq!(
        window.state().view.selected,
        Selected::OnPicture { picture: 0, what: OnPicture::TracePoint { trace: 0, point: 3 } }
    );

    let at = crate::light_table::tracing::curve::nearest(&more, between(&window, 5)).expect("there").at;
    let place = on_screen(&window, at);
    window.hover_at(place);
    for pressed in [true, false, true, false] {
        window.event(Event::PointerButton {
            pos: place,
            button: PointerButton::Primary,
            pressed,
            modifiers: Modifiers::NONE,
        });
    }
    window.run_ok();
    assert_eq!(points(&window, 0).len(), 9);
}

#[test]
fn a_stretch_that_is_covered_is_left_out_and_the_parts_are_named() {
    let mut window = laid(&disc(|_| false), vec![coarse()]);
    choose(&mut window, OnPicture::TracePoint { trace: 0, point: 2 });
    press(&mut window, "Leave out to the next point");
    let counts: Vec<usize> = photograph(&window).traces.iter().map(|t| t.points.len()).collect();
    assert_eq!(counts, [3, 4]);
    window.get_by_label("1 Outline");
    window.get_by_label("2 Outline");
    click(&mut window, "Undo");
    assert_eq!(photograph(&window).traces.len(), 1, "one step");
    choose(&mut window, OnPicture::TracePoint { trace: 0, point: 0 });
    press(&mut window, "Split here");
    assert_eq!(photograph(&window).traces.len(), 1, "nothing lies before the first point");
}

#[test]
fn what_a_trace_is_and_where_its_seam_lies_can_be_changed() {
    let mut window = laid(&disc(|_| false), vec![coarse()]);
    choose(&mut window, OnPicture::Trace(0));
    press(&mut window, "a seam");
    assert!(matches!(photograph(&window).traces[0].of, Traced::Seam { .. }));
    type_into(&mut window, "Station of the seam", "87.5");
    assert_eq!(photograph(&window).traces[0].of, Traced::Seam { station: 87.5 });
    press(&mut window, "Station of the seam, from the form");
    let section = form(&window).sections[1].station;
    window.get_by_label(&format!("control section at {section:.1} mm")).click_accesskit();
    window.run_ok();
    assert_eq!(photograph(&window).traces[0].of, Traced::Seam { station: section });
    press(&mut window, "an outline");
    assert_eq!(photograph(&window).traces[0].of, Traced::Outline);
    // While a seam is traced its station can be typed before the first click.
    window.key_press_modifiers(Modifiers::SHIFT, Key::Q);
    window.run_ok();
    type_into(&mut window, "Station of the seam that is traced", "140");
    for degrees in [200.0, 220.0] {
        click_px(&mut window, rim(degrees, 0.0));
    }
    window.key_press(Key::Enter);
    window.run_ok();
    assert_eq!(photograph(&window).traces[1].of, Traced::Seam { station: 140.0 });
}

#[test]
fn the_edge_is_proposed_first_and_taken_up_in_one_step() {
    let mut window = laid(&disc(|_| false), vec![coarse()]);
    choose(&mut window, OnPicture::Trace(0));
    let before = photograph(&window);
    let coarsest = before.traces[0].points.iter().map(|p| off_rim(*p).abs()).fold(0.0, f64::max);
    assert!(coarsest > 2.5);
    window.key_press(Key::X);
    window.step();
    followed(&mut window);
    assert!(proposes(&window));
    assert_eq!(photograph(&window), before, "nothing has changed yet");
    window.key_press(Key::Escape);
    window.run_ok();
    assert!(!proposes(&window));
    assert_eq!(photograph(&window), before);

    press(&mut window, "Follow the edge");
    followed(&mut window);
    press(&mut window, "also: traced to ± 0.3 px");
    window.key_press(Key::Tab);
    ask(&mut window, Ask::Trace(crate::light_table::tracing::asks::TraceAsk::Accept));
    let after = photograph(&window);
    let worst = after.traces[0].points.iter().map(|p| off_rim(*p).abs()).fold(0.0, f64::max);
    assert!(after.traces[0].points.len() > 20 && worst < 0.5, "{} points, {worst} px", after.traces[0].points.len());
    assert_eq!((after.traced_px, after.traces.len()), (0.3, 1));
    click(&mut window, "Undo");
    assert_eq!(photograph(&window), before, "one step");
}

#[test]
fn enter_takes_the_edge_and_a_proposal_of_another_trace_is_dropped() {
    let mut window = laid(&disc(|_| false), vec![coarse()]);
    choose(&mut window, OnPicture::Trace(0));
    window.key_press(Key::X);
    window.step();
    followed(&mut window);
    ask(&mut window, Ask::Select(Selected::Picture(0)));
    assert!(!proposes(&window), "it belongs to what was selected");
    choose(&mut window, OnPicture::Trace(0));
    window.key_press(Key::X);
    window.step();
    followed(&mut window);
    window.key_press(Key::Enter);
    window.run_ok();
    assert!(points(&window, 0).iter().all(|p| off_rim(*p).abs() < 0.5));
}

#[test]
fn one_point_or_the_stretch_about_it_is_drawn_to_the_edge_alone() {
    let mut window = laid(&disc(|_| false), vec![coarse()]);
    let before = points(&window, 0);
    choose(&mut window, OnPicture::TracePoint { trace: 0, point: 2 });
    press(&mut window, "Follow: this point");
    press(&mut window, "Follow the edge");
    followed(&mut window);
    press(&mut window, "Take the edge");
    let after = points(&window, 0);
    assert!(off_rim(after[2]).abs() < 0.5, "{}", off_rim(after[2]));
    assert!(before.iter().zip(&after).enumerate().all(|(i, (a, b))| i == 2 || a == b), "the others stay");

    press(&mut window, "Follow: about the point");
    press(&mut window, "Follow the edge");
    followed(&mut window);
    press(&mut window, "Take the edge");
    let stretch = points(&window, 0);
    assert_eq!((stretch[0], stretch.last()), (before[0], before.last()));
    assert!(stretch.len() > before.len() && stretch[1..stretch.len() - 3].iter().all(|p| off_rim(*p).abs() < 0.5));
}

#[test]
fn where_the_edge_is_covered_it_is_said_by_number_and_left_out() {
    let covered = |p: [f64; 2]| (560.0..660.0).contains(&p[0]) && p[1] < 260.0;
    let mut window = laid(&disc(covered), vec![coarse()]);
    choose(&mut window, OnPicture::Trace(0));
    window.key_press(Key::X);
    window.step();
    followed(&mut window);
    let following = window.state().table.tracing.following.as_ref().expect("it was followed");
    let found = &following.proposal.as_ref().expect("an edge").found;
    assert!(
        found.doubtful.iter().any(|d| d.doubt == Doubt::NoEdge || d.doubt == Doubt::TwoEdges),
        "{:?}",
        found.doubtful
    );
    assert!(found.pieces.len() >= 2);
    window.get_all_by_label_contains("Doubtful places are left out").next().expect("said");
    press(&mut window, "Take the edge");
    let all: Vec<[f64; 2]> = photograph(&window).traces.iter().flat_map(|t| t.points.clone()).collect();
    // The cover's own corners lie near the rim; inside of it nothing is invented.
    assert!(all.iter().all(|p| off_rim(*p).abs() < 1.0), "{all:?}");
    assert!(!all.iter().any(|p| (575.0..645.0).contains(&p[0])));
    click(&mut window, "Undo");
    assert_eq!(photograph(&window).traces, [coarse()]);
}

#[test]
fn where_there_is_no_edge_it_says_so_and_changes_nothing() {
    let inside = Trace { of: Traced::Outline, points: vec![[500.0, 440.0], [700.0, 460.0]] };
    let mut window = laid(&disc(|_| false), vec![inside.clone()]);
    choose(&mut window, OnPicture::Trace(0));
    window.key_press(Key::X);
    window.step();
    followed(&mut window);
    assert!(message(&window).expect("said").contains("No edge"), "{:?}", message(&window));
    assert_eq!(photograph(&window).traces, [inside]);
}

#[test]
fn a_table_that_is_folded_away_keeps_no_search_and_no_proposal() {
    let mut window = laid(&disc(|_| false), vec![coarse()]);
    choose(&mut window, OnPicture::Trace(0));
    window.key_press(Key::X);
    window.step();
    ask(&mut window, Ask::Command(Command::LightTable));
    let following = window.state().table.tracing.following.as_ref().expect("it was asked for");
    assert!(following.progress().is_none() && following.proposal.is_none());
    ask(&mut window, Ask::Command(Command::LightTable));
    assert!(!proposes(&window));
}

/// Picked by eye on the demo's picture of the side, from the ring to the joint at the firewall, px.
const UPPER: [[f64; 2]; 14] = [
    [556.0, 352.5],
    [560.0, 349.0],
    [580.0, 339.5],
    [600.0, 333.5],
    [630.0, 327.5],
    [660.0, 323.0],
    [700.0, 317.5],
    [760.0, 312.0],
    [820.0, 308.0],
    [880.0, 304.5],
    [960.0, 301.0],
    [1040.0, 298.0],
    [1120.0, 295.5],
    [1180.0, 294.0],
];
/// The same along the lower edge.
const LOWER: [[f64; 2]; 16] = [
    [557.0, 466.5],
    [560.0, 471.0],
    [567.0, 478.0],
    [580.0, 487.5],
    [600.0, 500.5],
    [630.0, 515.5],
    [660.0, 529.0],
    [700.0, 543.5],
    [740.0, 555.0],
    [800.0, 568.0],
    [870.0, 579.5],
    [934.0, 586.0],
    [1000.0, 589.0],
    [1080.0, 588.5],
    [1120.0, 586.0],
    [1180.0, 581.0],
];

/// The demo with both edges of its side picture traced, the picture on the table; without its form if wanted.
fn traced_demo<'a>(empty: bool) -> Window<'a> {
    let mut desk = Desk::new();
    desk.open_demo().expect("it is built in");
    let side = desk.document().pictures.iter().position(|p| p.view == PictureView::Side).expect("there is one");
    assert_eq!(side, 0);
    for points in [UPPER.to_vec(), LOWER.to_vec()] {
        let trace = Trace { of: Traced::Outline, points };
        desk.apply(&Edit::AddTrace { picture: 0, trace }).expect("a good trace");
    }
    if empty {
        let with = project::starter::empty_form("Cowl");
        desk.apply(&Edit::ReplaceForm { form: 0, with }).expect("an empty form keeps every promise");
        // What is tied to the form has no place without it.
        for (index, landmark) in desk.document().pictures[0].photograph.landmarks.clone().into_iter().enumerate() {
            if crate::light_table::cameras::is_tied(landmark.place) {
                let with = project::photograph::Landmark { used: false, ..landmark };
                desk.apply(&Edit::ReplaceLandmark { picture: 0, index, with }).expect("a good landmark");
            }
        }
    }
    let mut window = window(desk);
    choose(&mut window, OnPicture::Trace(0));
    ask(&mut window, Ask::Command(Command::LightTable));
    window
}

/// The farthest that a line lies from the demo's own, between two stations, mm along its value.
fn off_demo(window: &Window<'_>, name: LineName, [from, to]: [f64; 2]) -> f64 {
    let demo = desk::demo::document().expect("it is built in");
    let [own, now] =
        [demo.forms[0].lines.get(name), form(window).lines.get(name)].map(|l| form::line(l).expect("a line"));
    let places = (0..=60).map(|i| from + (to - from) * f64::from(i) / 60.0);
    places.map(|x| (own.at(x).value - now.at(x).value).abs()).fold(0.0, f64::max)
}

/// Until something is computed beside the window's thread.
fn until(window: &mut Window<'_>, ready: impl Fn(&App) -> bool) {
    for _ in 0..1000 {
        window.run_ok();
        if ready(window.state()) {
            window.run_ok();
            return;
        }
        std::thread::sleep(std::time::Duration::from_millis(5));
    }
    panic!("it does not come");
}

#[test]
fn an_empty_form_is_begun_from_what_is_traced_after_it_was_told_what_it_will_be() {
    let mut window = traced_demo(true);
    until(&mut window, |app| app.table.tracing.beginning.as_ref().is_some_and(|b| b.begun().is_some()));
    assert!(form(&window).sections.is_empty(), "only told");
    window.get_all_by_label_contains("from the ring at").next().expect("the ends are told");
    press(&mut window, "Begin the form");
    assert!(!form(&window).sections.is_empty());
    // Picked coarsely by eye, half a pixel being a fifth of a millimetre: within a millimetre and a half of the known form.
    let off = [LineName::Crown, LineName::Keel].map(|line| off_demo(&window, line, [30.0, 330.0]));
    assert!(off.iter().all(|off| *off < 1.5), "{off:?}");
    assert!(window.query_by_label("Begin the form").is_none(), "it is begun");
    click(&mut window, "Undo");
    assert!(form(&window).sections.is_empty(), "one step");
}

#[test]
fn a_trace_becomes_a_line_of_the_form_in_one_step() {
    let mut window = traced_demo(false);
    // A crown that was dragged off what is traced.
    let crown = form(&window).lines.get(LineName::Crown).points.clone();
    let (point, there) = (crown.len() / 2, crown[crown.len() / 2]);
    let value = there.value + 6.0;
    ask(&mut window, Ask::Do(Edit::MoveLinePoint { form: 0, line: LineName::Crown, point, x: there.x, value }));
    assert!(off_demo(&window, LineName::Crown, [30.0, 330.0]) > 5.0);
    let before = form(&window);
    press(&mut window, "Make it the crown");
    until(&mut window, |app| app.table.tracing.fairing.as_ref().is_some_and(|f| f.proposed().is_some()));
    assert_eq!(form(&window), before, "only shown");
    type_into(&mut window, "Tolerance of the faired line", "0.5");
    until(&mut window, |app| app.table.tracing.fairing.as_ref().is_some_and(|f| f.proposed().is_some()));
    press(&mut window, "Take the line");
    let off = off_demo(&window, LineName::Crown, [30.0, 330.0]);
    assert!(off < 1.5, "{off}");
    assert_eq!(form(&window).lines.get(LineName::Keel), before.lines.get(LineName::Keel));
    click(&mut window, "Undo");
    assert_eq!(form(&window), before, "one step");
    press(&mut window, "Make it the crown");
    press(&mut window, "Drop the line");
    assert_eq!(form(&window), before);
}
