//! SVG for machines, read back with quick-xml's reader.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)] // tests may stop at the first surprise

use std::collections::BTreeMap;

use quick_xml::Reader;
use quick_xml::events::Event;
use sheets::svg::{SvgError, write_svg};
use sheets::{Affine, Anchor, Drawing, Ink, Item, Page, Part, Path, Placed, Rect, Segment, Stroke, Text, kerf};

/// An element as it was read: its group, name, attributes and words.
#[derive(Debug)]
struct Element {
    group: String,
    name: String,
    attributes: BTreeMap<String, String>,
    words: String,
}

fn read(bytes: &[u8]) -> Vec<Element> {
    let text = std::str::from_utf8(bytes).unwrap();
    let mut reader = Reader::from_str(text);
    let (mut out, mut group): (Vec<Element>, String) = (Vec::new(), String::new());
    let mut open = false;
    loop {
        let event = reader.read_event().unwrap();
        match &event {
            Event::Start(_) => open = true,
            Event::Empty(_) | Event::End(_) => open = false,
            _ => {}
        }
        match event {
            Event::Eof => return out,
            Event::Start(e) | Event::Empty(e) => {
                let name = e.name().as_ref().to_owned();
                let attributes: BTreeMap<String, String> = e
                    .attributes()
                    .map(|a| a.unwrap())
                    .map(|a| {
                        (
                            a.key.as_ref().to_owned(),
                            a.normalized_value(quick_xml::XmlVersion::Explicit1_0).unwrap().into_owned(),
                        )
                    })
                    .collect();
                if name == "g" {
                    group = attributes["id"].clone();
                }
                out.push(Element { group: group.clone(), name, attributes, words: String::new() });
            }
            Event::End(e) if e.name().as_ref() == "g" => group.clear(),
            Event::Text(t) => {
                // Blanks after an element has ended are only there for the eye.
                if let Some(last) = out.last_mut().filter(|_| open) {
                    last.words.push_str(&t);
                }
            }
            Event::GeneralRef(r) => {
                let c = match &*r {
                    "amp" => '&',
                    "lt" => '<',
                    "gt" => '>',
                    "quot" => '"',
                    "apos" => '\'',
                    other => panic!("an entity nobody wrote: {other}"),
                };
                out.last_mut().unwrap().words.push(c);
            }
            _ => {}
        }
    }
}

fn in_group<'a>(elements: &'a [Element], group: &str) -> Vec<&'a Element> {
    elements.iter().filter(|e| e.group == group && e.name != "g").collect()
}

/// All coordinates of a path's steps, in pairs.
fn points(element: &Element) -> Vec<[f64; 2]> {
    let d = &element.attributes["d"];
    let numbers = d.split([' ', ',']).map(|w| w.trim_start_matches(['M', 'L', 'C', 'Z']));
    let numbers: Vec<f64> = numbers.filter(|w| !w.is_empty()).map(|w| w.parse().unwrap()).collect();
    numbers.chunks_exact(2).map(|c| [c[0], c[1]]).collect()
}

fn bounds<'a>(elements: impl IntoIterator<Item = &'a Element>) -> Rect {
    let mut r = Rect::NOTHING;
    elements.into_iter().flat_map(points).for_each(|p| r.include(p));
    r
}

fn page(items: Vec<Item>) -> Page {
    let items = items.into_iter().map(|item| Placed { item, clip: None }).collect();
    Page { width_mm: 594.0, height_mm: 420.0, name: "Card <1> & \"more\"".to_owned(), items }
}

/// SVG 1.1, sections 7.2 and 7.7: with equal numbers in width (mm), height (mm) and viewBox a user unit is a millimetre.
#[test]
fn a_line_of_100_mm_is_100_units_on_a_sheet_in_millimetres() {
    let line = Path::line([20.0, 30.0], [120.0, 30.0], Stroke::cut());
    let elements = read(&write_svg(&page(vec![line.into()])).unwrap());
    let svg = &elements[0].attributes;
    assert_eq!((svg["width"].as_str(), svg["height"].as_str()), ("594mm", "420mm"));
    assert_eq!(svg["viewBox"], "0 0 594 420");
    let cut = in_group(&elements, "cut");
    // y points down in SVG, up on our sheets: 420 - 30.
    assert_eq!(points(cut[0]), [[20.0, 390.0], [120.0, 390.0]]);
}

#[test]
fn cuts_marks_and_words_stand_in_groups_of_their_own() {
    let words = Text::new("F3 <up> & \"out\"", [50.0, 60.0], 5.0).anchored(Anchor::Middle).turned(90.0);
    let items: Vec<Item> = vec![
        Path::circle([100.0, 100.0], 10.0, Some(Stroke::cut()), None).into(),
        Path::line([0.0, 0.0], [9.0, 9.0], Stroke::dashed(0.13, Ink::DARK, &[8.0, 1.5])).into(),
        Path::rect(&Rect::at([0.0; 2], [5.0; 2]), None, Some(Ink::WHITE)).into(),
        Path::polygon(&[[1.0, 1.0], [2.0, 1.0], [1.0, 2.0]], None, Some(Ink::BLACK)).into(),
        words.clone().into(),
    ];
    let bytes = write_svg(&page(items.clone())).unwrap();
    assert_eq!(bytes, write_svg(&page(items)).unwrap(), "equal pages give equal bytes");
    let elements = read(&bytes);
    assert_eq!(elements.iter().find(|e| e.name == "title").unwrap().words.trim(), "Card <1> & \"more\"");
    let (cut, score, text) = (in_group(&elements, "cut"), in_group(&elements, "score"), in_group(&elements, "text"));
    assert_eq!((cut.len(), score.len(), text.len()), (1, 2, 1));
    assert_eq!(cut[0].attributes["d"].matches('C').count(), 4, "a circle stays curves");
    assert_eq!(score[0].attributes["stroke-dasharray"], "8 1.5");
    assert!(!cut[0].attributes.contains_key("stroke-dasharray"));
    assert_eq!(text[0].words, words.text);
    let about = &text[0].attributes;
    assert_eq!((about["x"].as_str(), about["y"].as_str(), about["font-size"].as_str()), ("50", "360", "5"));
    // Counter-clockwise with y up is negative with y down.
    assert_eq!((about["transform"].as_str(), about["text-anchor"].as_str()), ("rotate(-90 50 360)", "middle"));
}

#[test]
fn what_is_clipped_on_a_page_is_clipped_in_the_file() {
    let mut clipped = page(vec![Path::line([0.0, 0.0], [90.0, 0.0], Stroke::cut()).into()]);
    clipped.items[0].clip = Some(Rect::at([10.0, 20.0], [30.0, 40.0]));
    let elements = read(&write_svg(&clipped).unwrap());
    let rect = &elements.iter().find(|e| e.name == "rect").unwrap().attributes;
    assert_eq!([&rect["x"], &rect["y"], &rect["width"], &rect["height"]], ["10", "360", "30", "40"]);
    let id = &elements.iter().find(|e| e.name == "clipPath").unwrap().attributes["id"];
    assert_eq!(in_group(&elements, "cut")[0].attributes["clip-path"], format!("url(#{id})"));
}

#[test]
fn a_page_without_a_size_is_refused_with_its_name() {
    let bad = Page { width_mm: f64::NAN, height_mm: 10.0, name: "Card 1".to_owned(), items: Vec::new() };
    assert!(matches!(write_svg(&bad), Err(SvgError::PageSize(name)) if name == "Card 1"));
}

fn square_with_holes() -> Part {
    let mut d = Drawing::default();
    d.push(Path::rect(&Rect::at([0.0; 2], [100.0, 100.0]), Some(Stroke::cut()), None));
    d.push(Path::rect(&Rect::at([40.0, 60.0], [2.2, 20.0]), Some(Stroke::cut()), None));
    d.push(Path::circle([70.0, 30.0], 6.0, Some(Stroke::cut()), None));
    d.push(Path::line([0.0, 50.0], [100.0, 50.0], Stroke::solid(0.13, Ink::DARK)));
    Part::new("square", "Square", d)
}

/// Closed form: an outline moved out by half the kerf is larger by the kerf, a hole moved in smaller by it.
#[test]
fn a_square_grows_by_the_kerf_and_its_holes_shrink_by_it() {
    for wide in [0.1, 0.2, 1.5] {
        let part = kerf::compensated(&square_with_holes(), wide);
        let page = part.drawing.clone().into_page("Card", 10.0);
        let elements = read(&write_svg(&page).unwrap());
        let mut cut = in_group(&elements, "cut");
        assert_eq!(cut.len(), 3, "outline, slot and hole");
        cut.sort_by(|a, b| bounds([*a]).size()[0].total_cmp(&bounds([*b]).size()[0]));
        let near = |got: [f64; 2], want: [f64; 2]| (0..2).all(|k| (got[k] - want[k]).abs() < 0.01);
        let [slot, hole, outline] = [0, 1, 2].map(|k| bounds([cut[k]]).size());
        assert!(near(outline, [100.0 + wide; 2]), "{outline:?} for a kerf of {wide}");
        assert!(near(slot, [2.2 - wide, 20.0 - wide]), "{slot:?} for a kerf of {wide}");
        assert!(near(hole, [12.0 - wide; 2]), "{hole:?} for a kerf of {wide}");
        // A line that is only scored stays as long as it is.
        assert_eq!(bounds(in_group(&elements, "score")).size()[0], 100.0);
    }
}

/// Closed form (Steiner): the outside of a convex outline of area A and girth G, moved out by r, has area A + G r + π r².
#[test]
fn the_grown_outline_has_the_area_of_steiners_formula() {
    let part = kerf::compensated(&square_with_holes(), 2.0);
    let outline = part.drawing.items.iter().filter_map(|i| match i {
        Item::Path(p) if p.stroke.as_ref().is_some_and(|s| s.purpose == sheets::Purpose::Cut) => Some(p),
        _ => None,
    });
    let area = |p: &Path| {
        let q: Vec<[f64; 2]> = p.points().collect();
        let twice: f64 =
            (0..q.len()).map(|k| (q[k], q[(k + 1) % q.len()])).map(|(a, b)| a[0] * b[1] - a[1] * b[0]).sum();
        0.5 * twice.abs()
    };
    let largest = outline.map(area).fold(0.0, f64::max);
    let steiner = 100.0 * 100.0 + 400.0 + std::f64::consts::PI;
    assert!((largest - steiner).abs() < 0.02, "{largest} against {steiner}");
}

#[test]
fn a_slot_narrower_than_the_cut_vanishes_and_no_kerf_changes_nothing() {
    let part = square_with_holes();
    for none in [0.0, -1.0, f64::NAN] {
        assert_eq!(kerf::compensated(&part, none), part);
    }
    let cut = |p: &Part| {
        p.drawing.items.iter().filter(|i| matches!(i, Item::Path(p) if p.stroke == Some(Stroke::cut()))).count()
    };
    assert_eq!(cut(&kerf::compensated(&part, 2.4)), 2, "the slot of 2.2 mm is gone, outline and hole are there");
}

/// An open cut is led as drawn, and a path that comes home without saying so counts as closed.
#[test]
fn open_cuts_stay_and_closed_ones_are_known() {
    let mut d = Drawing::default();
    d.push(Path::line([0.0, 0.0], [50.0, 0.0], Stroke::cut()));
    let home = [[0.0, 10.0], [30.0, 10.0], [30.0, 40.0], [0.0, 40.0], [0.0, 10.0]];
    d.push(Path::polyline(&home, Stroke::cut()));
    let part = kerf::compensated(&Part::new("p", "P", d), 1.0);
    let paths: Vec<&Path> =
        part.drawing.items.iter().filter_map(|i| if let Item::Path(p) = i { Some(p) } else { None }).collect();
    assert_eq!(paths.len(), 2);
    assert_eq!(paths[0].segments, [Segment::Move([0.0, 0.0]), Segment::Line([50.0, 0.0])]);
    let size = paths[1].segments.iter().fold(Rect::NOTHING, |mut r, s| {
        if let Segment::Move(p) | Segment::Line(p) = s {
            r.include(*p);
        }
        r
    });
    assert!((size.size()[0] - 31.0).abs() < 0.01 && paths[1].segments.last() == Some(&Segment::Close));
}

/// Moving a part to its sheet does not change what its lines are for.
#[test]
fn a_moved_line_keeps_its_purpose() {
    let item: Item = Path::line([0.0; 2], [1.0, 0.0], Stroke::cut()).into();
    let moved = item.mapped(&Affine::quarter_turn());
    let elements = read(&write_svg(&page(vec![moved])).unwrap());
    assert_eq!(in_group(&elements, "cut").len(), 1);
}
