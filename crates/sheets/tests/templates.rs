//! Templates: what they say, and that no word lies on a line or on another word.
#![allow(clippy::unwrap_used, clippy::panic)] // tests may stop at the first surprise
mod common;

use common::centre;
use sheets::{CentreTemplate, Drawing, Item, Part, Path, Rect, Segment, set_picture};

fn texts(part: &Part) -> Vec<(String, Rect)> {
    let text = |i: &Item| if let Item::Text(t) = i { Some((t.text.clone(), t.bounds())) } else { None };
    part.drawing.items.iter().filter_map(text).collect()
}

fn words(part: &Part) -> String {
    texts(part).into_iter().map(|t| t.0).collect::<Vec<_>>().join(" ")
}

/// The letters' own box: a little inside the line box, which counts accents and descenders that most words lack.
fn letters(r: &Rect) -> Rect {
    r.grown(-0.2)
}

fn outline(part: &Part) -> Vec<[f64; 2]> {
    let Item::Path(p) = &part.drawing.items[0] else { panic!("the outline comes first") };
    assert_eq!(p.segments.last(), Some(&Segment::Close));
    p.points().collect()
}

fn crosses(outline: &[[f64; 2]], r: &Rect) -> bool {
    (0..outline.len()).any(|k| {
        let (a, b) = (outline[k], outline[(k + 1) % outline.len()]);
        (0..=20).map(|t| f64::from(t) / 20.0).any(|t| {
            let p = [a[0] + (b[0] - a[0]) * t, a[1] + (b[1] - a[1]) * t];
            r.holds(&Rect { min: p, max: p }, 0.0)
        })
    })
}

fn assert_tidy(part: &Part, name: &str) {
    let texts = texts(part);
    let outline = outline(part);
    for (i, (a, ra)) in texts.iter().enumerate() {
        assert!(part.bounds.holds(ra, 1e-6), "{name}: {a:?} leaves the part");
        assert!(!crosses(&outline, &letters(ra)), "{name}: {a:?} lies on the outline");
        for (b, rb) in &texts[i + 1..] {
            assert!(!letters(ra).overlaps(&letters(rb), 0.0), "{name}: {a:?} lies on {b:?}");
        }
    }
}

#[test]
fn a_former_of_any_size_says_everything_and_nothing_overlaps() {
    for half_breadth in [1.0, 4.0, 9.0, 16.0, 25.0, 38.0, 55.0, 70.0, 150.0, 400.0] {
        for ratio in [0.4, 1.0, 2.5] {
            for rise in [0.0, 7.0, -400.0] {
                let part = common::former(11, half_breadth, half_breadth * ratio, rise).part();
                let name = format!("half-breadth {half_breadth}, ratio {ratio}, rise {rise}");
                assert_tidy(&part, &name);
                for (text, r) in texts(&part) {
                    let side = match text.as_str() {
                        "STARBOARD" => -r.max[0],
                        "PORT" => r.min[0],
                        _ => 0.0,
                    };
                    assert!(side >= 0.0, "{name}: {text} stands on the wrong side");
                }
                let words = words(&part);
                for want in ["Former 11", "station 346.5 mm", "looking aft", "Heron one", "Cowling"] {
                    assert!(words.contains(want), "{name}: {want:?} is missing in {words:?}");
                }
                let said = words.to_lowercase();
                for want in ["starboard", "port", "up"] {
                    assert!(said.contains(want), "{name}: {want:?} is missing in {words:?}");
                }
                for want in "finished outside: no laminate, no card thickness taken off".split(' ') {
                    assert!(words.contains(want), "{name}: {want:?} is missing in {words:?}");
                }
            }
        }
    }
}

/// Looking aft, the pilot's right hand is at the viewer's left.
#[test]
fn starboard_is_drawn_at_the_left() {
    let mut template = common::former(2, 70.0, 100.0, 0.0);
    template.knuckles.clear();
    let part = template.part();
    let at = |word: &str| texts(&part).into_iter().find(|t| t.0 == word).map(|t| t.1.centre()[0]).unwrap();
    assert!(at("STARBOARD") < 0.0 && at("PORT") > 0.0);
    let [w, h] = part.bounds.size();
    assert!((w - 140.0).abs() < 1e-9 && (h - 100.0).abs() < 1e-9, "all words found room inside");
}

#[test]
fn a_waterline_stands_where_the_datum_misses_the_section() {
    let part = common::former(2, 70.0, 100.0, 203.0).part();
    assert!(words(&part).contains("waterline 200.0 mm above the datum"), "{}", words(&part));
    let level = |i: &Item| {
        matches!(i, Item::Path(Path { segments, .. })
        if matches!(segments[..], [Segment::Move(a), Segment::Line(b)] if a[1] == 200.0 && b[1] == 200.0))
    };
    assert!(part.drawing.items.iter().any(level));
}

#[test]
fn the_centre_template_marks_every_station() {
    for scale in [0.05, 0.3, 1.0, 3.0] {
        let part = centre(scale).part();
        assert_tidy(&part, &format!("scale {scale}"));
        let words = words(&part);
        assert!(words.contains("Centre template") && words.contains("FRONT") && words.contains("laminate"));
        if scale >= 1.0 {
            for n in 1..=10 {
                let want = format!("{:.1} mm", f64::from(n) * 35.0 * scale);
                assert!(words.contains(&want), "{want} is missing in {words}");
            }
        }
    }
}

#[test]
fn the_set_picture_fits_the_room_it_is_given() {
    let halves = vec![vec![[0.0, 40.0], [50.0, 0.0], [0.0, -40.0]]; 3];
    for size in [[180.0, 60.0], [60.0, 60.0], [200.0, 20.0]] {
        let b = set_picture(&centre(2.0), &halves, size).bounds().size();
        assert!(b[0] <= size[0] + 3.0 && b[1] <= size[1] + 1.0, "{b:?} in {size:?}");
    }
    let none = CentreTemplate { crown: vec![], keel: vec![], stations: vec![], ..centre(1.0) };
    assert_eq!(set_picture(&none, &[], [10.0, 10.0]), Drawing::default());
}

/// Two faces a little apart at each end, as a front and its ring have; where a third stands as close, its number is left out.
#[test]
fn numbers_of_close_stations_stand_apart_in_the_set_picture() {
    for (extra, shown) in [(vec![], 10), (vec![0.5], 11), (vec![0.5, 0.9], 11)] {
        let mut template = centre(1.0);
        for (k, dx) in extra.iter().enumerate() {
            let first = template.stations[0];
            template.stations.insert(k + 1, sheets::CentreStation { x_mm: first.x_mm + dx, ..first });
        }
        template.stations.iter_mut().enumerate().for_each(|(k, s)| s.number = k + 1);
        let picture = set_picture(&template, &[], [180.0, 60.0]);
        let figures: Vec<(String, Rect)> = picture
            .items
            .iter()
            .filter_map(|i| if let Item::Text(t) = i { Some((t.text.clone(), letters(&t.bounds()))) } else { None })
            .collect();
        assert_eq!(figures.len(), shown, "{figures:?}");
        for (k, (a, r)) in figures.iter().enumerate() {
            assert!(r.min[1] >= 0.0, "{a} hangs below the picture");
            for (b, q) in &figures[k + 1..] {
                assert!(!r.overlaps(q, 0.0), "{a} lies on {b}");
            }
        }
    }
}
