//! The whole main job in one go, by what a person sees: from two pictures to a former on paper, true to size.

use super::papers::{save_to, wait_for};
use super::with_pictures::{bring_in, click_at, png, type_distance};
use super::*;
use egui::{Key, Modifiers};
use lopdf::content::Content;
use lopdf::{Document, Object};
use project::document::{ArcKind, SectionShape};

/// A place of one of the pictures on the screen.
fn place_of(window: &Window<'_>, picture: usize, px: [f64; 2]) -> Pos2 {
    let app = window.state();
    let p = &app.desk.document().pictures[picture];
    let view = crate::pictures::view_of(p).expect("it lies under a view");
    app.layout().expect("drawn").window(view).screen(p.placement.to_view(px))
}

/// Sets the selected picture to scale by a pole of 2 m, and lays the foot of the pole on the datum.
fn scale_by_a_pole(window: &mut Window<'_>, picture: usize, pole: [[f64; 2]; 2]) {
    window.key_press(Key::R);
    window.run_ok();
    for px in pole {
        let at = place_of(window, picture, px);
        click_at(window, at);
    }
    type_distance(window, "2000");
    window.key_press(Key::D);
    window.run_ok();
    let at = place_of(window, picture, pole[0]);
    click_at(window, at);
}

/// Draws a line by clicks, in the view that is asked for.
fn draw(window: &mut Window<'_>, step: &str, plan: bool, points: &[[f64; 2]]) {
    click(window, step);
    for p in points {
        let layout = window.state().layout().expect("drawn");
        let view = if plan { &layout.plan } else { &layout.side };
        let at = view.screen(*p);
        assert!(view.rect.contains(at), "{step}: {p:?} is in sight");
        click_at(window, at);
    }
    window.key_press(Key::Escape);
    window.key_press(Key::Escape);
    window.run_ok();
}

#[test]
fn from_two_pictures_to_a_former_on_paper() {
    let folder = tempfile::tempdir().expect("a folder");
    let at = |name: &str| folder.path().join(name);
    std::fs::write(at("side.png"), png(800, 500)).expect("written");
    std::fs::write(at("face.png"), png(600, 600)).expect("written");
    let mut first = window(Desk::new());

    bring_in(&mut first, &at("side.png"), "Side view");
    scale_by_a_pole(&mut first, 0, [[100.0, 250.0], [600.0, 250.0]]);
    bring_in(&mut first, &at("face.png"), "Face view");
    scale_by_a_pole(&mut first, 1, [[300.0, 300.0], [300.0, 50.0]]);
    for (picture, mm_per_px) in [(0, 1.0), (1, 2.0)] {
        let found = first.state().desk.document().pictures[picture].placement.mm_per_px;
        assert!((found / mm_per_px - 1.0).abs() < 0.01, "500 mm at 1 : 4, {found} mm for a pixel");
    }

    click(&mut first, "Shape");
    draw(&mut first, "Draw the crown", false, &[[5.0, 40.0], [120.0, 62.0], [300.0, 66.0]]);
    draw(&mut first, "Draw the keel", false, &[[5.0, -40.0], [120.0, -75.0], [300.0, -82.0]]);
    draw(&mut first, "Draw the breadth in the plan", true, &[[5.0, 38.0], [120.0, 66.0], [300.0, 72.0]]);
    draw(&mut first, "Draw the breadth height", false, &[[5.0, 2.0], [300.0, -8.0]]);
    click(&mut first, "Add a control section and shape it");
    let from = rect(&first, "Section A shoulder 1").center();
    drag(&mut first, from, vec2(-5.0, -5.0));
    let SectionShape::Shaped(unit) = &form(&first).sections[0].shape else { panic!("it is shaped") };
    assert!(matches!(unit.arcs[0], ArcKind::Conic { rho } if rho > 0.5), "{:?}", unit.arcs);
    first.key_press(Key::Escape);
    first.run_ok();
    click(&mut first, "Stations");
    first.key_press_modifiers(Modifiers::NONE, Key::Escape);
    first.run_ok();
    ask(&mut first, slate::Ask::Command(crate::commands::Command::SpreadStations));
    first.get_by_role_and_label(egui::Role::SpinButton, "Pitch").type_text("50");
    first.run_ok();
    first.key_press(Key::Tab);
    first.run_ok();
    click(&mut first, "Set stations");
    assert_eq!(form(&first).stations.len(), 6, "{:?}", form(&first).stations);

    first.key_press_modifiers(Modifiers::COMMAND, Key::S);
    first.run_ok();
    save_to(&mut first, &at("cowl.plug.ron"));
    assert!(!first.state().desk.is_changed(), "{:?}", message(&first));

    let mut second = window(Desk::new());
    second.key_press_modifiers(Modifiers::COMMAND, Key::O);
    second.run_ok();
    second.get_by_label("File name or path").type_text(&at("cowl.plug.ron").display().to_string());
    second.run_ok();
    click(&mut second, "Open");
    assert_eq!(form(&second), form(&first));
    assert_eq!(second.state().desk.document().pictures, first.state().desk.document().pictures);

    second.key_press_modifiers(Modifiers::COMMAND, Key::P);
    wait_for(&mut second, |app| app.sheets.as_ref().is_some_and(|s| s.layout().is_some()));
    click(&mut second, "Write the PDF…");
    save_to(&mut second, &at("cowl.pdf"));
    let pdf = Document::load(at("cowl.pdf")).expect("a PDF");
    let drawn = extents(&pdf);
    for station in &second.state().derived.stations {
        let want = [2.0 * station.half_breadth, station.top - station.bottom];
        // A part may be turned on its page.
        let is = |e: &[f64; 2]| (e[0] - want[0]).abs() < 0.02 && (e[1] - want[1]).abs() < 0.02;
        let found = drawn.iter().any(|e| is(e) || is(&[e[1], e[0]]));
        assert!(found, "the former at {} mm measures {want:?} mm", station.x);
    }
}

/// How far each stroked outline of the pages reaches across and upwards, mm, read by another library than the writer.
fn extents(pdf: &Document) -> Vec<[f64; 2]> {
    const MM: f64 = 25.4 / 72.0;
    let number = |o: &Object| match o {
        Object::Integer(i) => *i as f64,
        Object::Real(r) => f64::from(*r),
        other => panic!("{other:?} is no number"),
    };
    let mut all = Vec::new();
    for page in pdf.get_pages().into_values() {
        let mut reach: Vec<[[f64; 2]; 2]> = Vec::new();
        for op in Content::decode(&pdf.get_page_content(page)).expect("page content").operations {
            let end = || {
                let last: Vec<f64> = op.operands.iter().rev().take(2).map(|o| number(o) * MM).collect();
                [last[1], last[0]]
            };
            match op.operator.as_str() {
                "m" => reach.push(end().map(|v| [v, v])),
                "l" | "c" => {
                    let path = reach.last_mut().expect("a path has begun");
                    for (range, v) in path.iter_mut().zip(end()) {
                        *range = [range[0].min(v), range[1].max(v)];
                    }
                }
                "S" | "B" => all.extend(reach.drain(..).map(|path| path.map(|[low, high]| high - low))),
                "f" | "n" => reach.clear(),
                _ => {}
            }
        }
    }
    all
}
