//! Sheets for a machine that cuts, read back with an XML reader: size in millimetres, parts that lie apart on the sheet, and the
//! width of the cut against what is on paper.

use super::Plugged;
use super::flat::{Point, bounds, distance, holds, outer, size};
use quick_xml::Reader;
use quick_xml::events::{BytesStart, Event};

/// One file.
#[derive(Debug, Default)]
pub(crate) struct Sheet {
    pub(crate) file: String,
    width: String,
    height: String,
    view: String,
    /// Cut lines, y up.
    cuts: Vec<Vec<Point>>,
    words: String,
}

impl Sheet {
    pub(crate) fn read(file: &str, text: &str) -> Self {
        let mut sheet = Self { file: file.to_owned(), ..Self::default() };
        let (mut reader, mut group, mut words) = (Reader::from_str(text), String::new(), Vec::new());
        let mut in_text = false;
        loop {
            match reader.read_event().unwrap() {
                Event::Eof => break,
                Event::Start(e) | Event::Empty(e) => {
                    in_text = e.name().as_ref() == "text";
                    match e.name().as_ref() {
                        "svg" => sheet.head(&e),
                        "g" => group = attribute(&e, "id"),
                        "path" if group == "cut" => sheet.cuts.push(path(&attribute(&e, "d"))),
                        _ => {}
                    }
                }
                Event::Text(t) if in_text => words.push(t.to_string().trim().to_owned()),
                Event::End(_) => in_text = false,
                _ => {}
            }
        }
        sheet.words = words.join(" ");
        sheet
    }

    fn head(&mut self, e: &BytesStart<'_>) {
        [&mut self.width, &mut self.height, &mut self.view]
            .into_iter()
            .zip(["width", "height", "viewBox"])
            .for_each(|(to, name)| *to = attribute(e, name));
    }

    /// Parts in the order in which they lie: title and cut lines, halves of a former together.
    fn parts(&self, pieces: impl Fn(&str) -> usize) -> Vec<(String, Vec<Vec<Point>>)> {
        let mut pieces_left = outer(&self.cuts).into_iter();
        let mut all = Vec::new();
        for title in titles(&self.words) {
            let own: Vec<&Vec<Point>> = pieces_left.by_ref().take(pieces(&title)).collect();
            let within = |c: &&Vec<Point>| own.iter().any(|o| o == c || holds(&[(*o).clone()], c[0]));
            all.push((title, self.cuts.iter().filter(within).cloned().collect()));
        }
        assert_eq!(pieces_left.count(), 0, "{}: cut lines without a title", self.file);
        all
    }
}

fn attribute(e: &BytesStart<'_>, name: &str) -> String {
    e.try_get_attribute(name).unwrap().map(|a| a.value.to_string()).unwrap_or_default()
}

/// Corners of a path of straight lines; y of a file runs down.
fn path(steps: &str) -> Vec<Point> {
    let corner = |step: &str| -> Option<Point> {
        let (x, y) = step.trim_start_matches(['M', 'L']).split_once(',')?;
        Some([x.parse().unwrap(), -y.parse::<f64>().unwrap()])
    };
    assert!(!steps.contains('C'), "cut lines are straight from corner to corner here");
    steps.split_whitespace().filter_map(corner).collect()
}

/// What stands on a sheet, in order.
fn titles(words: &str) -> Vec<String> {
    const TITLES: [&str; 6] =
        ["Former ", "Centre template", "Front, on the ring plane", "Breadth template, ", "Outside of the ", "Outside "];
    let mut out = Vec::new();
    let mut rest = words;
    while let Some((at, title)) = TITLES.iter().filter_map(|t| Some((rest.find(t)?, t))).min_by_key(|f| f.0) {
        rest = &rest[at + title.len()..];
        let own = match *title {
            "Outside " => {
                let (station, side) = rest.split_once(" mm, ").unwrap();
                format!("{title}{station} mm, {}", side.split_whitespace().next().unwrap())
            }
            "Centre template" | "Front, on the ring plane" => (*title).to_owned(),
            _ => format!("{title}{}", rest.split_whitespace().next().unwrap()),
        };
        out.push(own);
    }
    out
}

pub(crate) fn check(plug: &Plugged, sheets: &[Sheet], kerf: f64) {
    for sheet in sheets {
        let large = sheet.file.contains("-large-");
        let (material, edge) = if sheet.file.contains("card") {
            (plug.wanted.card_sheet, plug.wanted.edge)
        } else {
            (plug.wanted.board, plug.wanted.edge)
        };
        in_millimetres(sheet, (!large).then_some(material));
        let height: f64 = sheet.height.trim_end_matches("mm").parse().unwrap();
        let width: f64 = sheet.width.trim_end_matches("mm").parse().unwrap();
        let own = if sheet.file.contains("card") { kerf } else { plug.wanted.kerf };
        for cut in &sheet.cuts {
            let (low, high) = bounds([cut]);
            // Half a cut may fall into the margin.
            let room = [low[0], width - high[0], low[1] + height, -high[1]];
            assert!(room.iter().all(|r| *r > edge - 0.5 * own - 0.01), "{}: {room:?} of {edge}", sheet.file);
        }
    }
    card(plug, sheets, kerf);
    foam(plug, sheets);
}

fn in_millimetres(sheet: &Sheet, material: Option<Point>) {
    let side = |text: &str| -> f64 {
        text.strip_suffix("mm").unwrap_or_else(|| panic!("{}: {text} is not in mm", sheet.file)).parse().unwrap()
    };
    let is = [side(&sheet.width), side(&sheet.height)];
    assert_eq!(sheet.view, format!("0 0 {} {}", is[0], is[1]), "{}", sheet.file);
    if let Some(want) = material {
        assert_eq!(is, want, "{}", sheet.file);
    }
}

/// Every part of card lies there once, apart from the others, and its cut lines half a cut outside of what is on paper.
fn card(plug: &Plugged, sheets: &[Sheet], kerf: f64) {
    let mut paper = plug.card_parts();
    let number = |contours: &Vec<Vec<Point>>| outer(contours).len();
    for sheet in sheets.iter().filter(|s| s.file.contains("card")) {
        let parts = sheet.parts(|title| paper.get(title).map_or(1, number));
        apart(sheet, &parts, kerf);
        for (title, cuts) in parts {
            let drawn = paper.remove(&title).unwrap_or_else(|| panic!("{}: {title} once too often", sheet.file));
            let off = led(&drawn, &cuts, kerf);
            assert!(off < 0.02, "{}: {title} is led {off} mm off, for a cut of {kerf}", sheet.file);
        }
    }
    assert!(paper.is_empty(), "not cut: {:?}", paper.keys());
}

/// What lies between two parts is more than the cut.
fn apart(sheet: &Sheet, parts: &[(String, Vec<Vec<Point>>)], kerf: f64) {
    let boxes: Vec<(Point, Point)> = parts.iter().map(|p| bounds(&p.1)).collect();
    for (i, a) in boxes.iter().enumerate() {
        for (j, b) in boxes.iter().enumerate().take(i) {
            let between = (0..2).map(|k| (b.0[k] - a.1[k]).max(a.0[k] - b.1[k])).fold(f64::NEG_INFINITY, f64::max);
            assert!(between > kerf, "{}: {} and {} are {between} mm apart", sheet.file, parts[i].0, parts[j].0);
        }
    }
}

/// By how much cut lines differ from lines half a cut in the waste, lying whichever way round fits better.
fn led(drawn: &[Vec<Point>], cuts: &[Vec<Point>], kerf: f64) -> f64 {
    if drawn.len() != cuts.len() {
        return f64::INFINITY;
    }
    let ways: [fn(Point) -> Point; 2] = [|p| p, |p| [-p[1], p[0]]];
    let off = |way: fn(Point) -> Point| {
        let turned: Vec<Vec<Point>> = drawn.iter().map(|c| c.iter().map(|&p| way(p)).collect()).collect();
        let (from, to) = (bounds(&turned), bounds(cuts));
        let shift = [0, 1].map(|k| 0.5 * (to.0[k] + to.1[k] - from.0[k] - from.1[k]));
        let there: Vec<Vec<Point>> =
            turned.iter().map(|c| c.iter().map(|p| [p[0] + shift[0], p[1] + shift[1]]).collect()).collect();
        let grown = (0..2).map(|k| (size(to)[k] - size(from)[k] - kerf).abs()).fold(0.0, f64::max);
        let away = |p: &Point| {
            let in_waste = kerf == 0.0 || !holds(&there, *p);
            if in_waste { (distance(&there, *p) - 0.5 * kerf).abs() } else { f64::INFINITY }
        };
        cuts.iter().flatten().map(away).fold(grown, f64::max)
    };
    ways.into_iter().map(off).fold(f64::INFINITY, f64::min)
}

/// As many blocks as were planned, each as large as planned and half a cut more all round.
fn foam(plug: &Plugged, sheets: &[Sheet]) {
    let mut planned: Vec<Point> = plug.blocks().into_iter().map(sorted).collect();
    for cut in sheets.iter().filter(|s| s.file.contains("foam")).flat_map(|s| &s.cuts) {
        let [w, h] = sorted(size(bounds([cut])).map(|s| s - plug.wanted.kerf));
        let found = planned.iter().position(|p| (p[0] - w).abs() < 0.02 && (p[1] - h).abs() < 0.02);
        planned.remove(found.unwrap_or_else(|| panic!("a block of {w} by {h} mm that was not planned")));
    }
    assert!(planned.is_empty(), "blocks that are not cut: {planned:?}");
    for sheet in sheets.iter().filter(|s| s.file.contains("foam")) {
        let each: Vec<(String, Vec<Vec<Point>>)> =
            sheet.cuts.iter().map(|c| ("a block".to_owned(), vec![c.clone()])).collect();
        // Neighbours share their cut.
        apart(sheet, &each, -0.01);
    }
}

fn sorted([a, b]: Point) -> Point {
    [a.min(b), a.max(b)]
}
