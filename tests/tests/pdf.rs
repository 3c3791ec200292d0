//! The demo's templates as a PDF, plain and as a plug, read back by lopdf, which did not write it: page boxes (ISO 216 and ANSI/ASME Y14.1 sizes,
//! 72/25.4 pt a mm), the lines of 100 mm, the formers as drawn against the form's own measures, and what viewers are told.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)] // tests may stop at the first surprise

use desk::output::{UNFINISHED_NOTE, former_stations, sheets as lay_out};
use form::Lofted;
use lopdf::content::Content;
use lopdf::{Dictionary, Document as Pdf, Object, ObjectId};
use project::document::{Document, Paper, PaperSetup};
use sheets::Layout;
use std::sync::Arc;

/// One point in millimetres.
const POINT: f64 = 25.4 / 72.0;
/// What a printer made of 100 mm, across and up.
const UNTRUE: [f64; 2] = [99.0, 100.5];

/// The demo, its lofts, its sheets, and the file as lopdf reads it.
struct Printed {
    document: Document,
    lofted: Vec<Arc<Lofted>>,
    layout: Layout,
    pdf: Pdf,
    /// How much longer than true everything is drawn, so that it prints true.
    k: [f64; 2],
}

fn printed(paper: Paper, measured: [f64; 2]) -> Printed {
    let mut document = desk::demo::document().unwrap();
    // Plain formers at the project's stations: the plug has its own test below.
    Arc::make_mut(&mut document.build).stack.used = false;
    print(document, paper, measured)
}

fn print(document: Document, paper: Paper, measured: [f64; 2]) -> Printed {
    let lofted: Vec<Arc<Lofted>> = document.forms.iter().map(|f| Arc::new(form::loft(f))).collect();
    let setup = PaperSetup { paper, measured, ..document.paper };
    let layout = lay_out(&document, &lofted, &setup, &mut |_| true).unwrap();
    let bytes = sheets::pdf::write_pdf(&layout.set).unwrap();
    let pdf = Pdf::load_mem(&bytes).unwrap();
    Printed { document, lofted, layout, pdf, k: measured.map(|m| 100.0 / m) }
}

fn number(object: &Object) -> f64 {
    match object {
        Object::Integer(i) => *i as f64,
        Object::Real(r) => f64::from(*r),
        other => panic!("{other:?} is no number"),
    }
}

/// A stroked path of straight lines, mm as drawn.
struct Drawn {
    points: Vec<[f64; 2]>,
    closed: bool,
}

impl Drawn {
    fn size(&self) -> [f64; 2] {
        [0, 1].map(|k| {
            let values = || self.points.iter().map(|p| p[k]);
            values().fold(f64::MIN, f64::max) - values().fold(f64::MAX, f64::min)
        })
    }
}

/// The stroked paths of a page. Its only transforms would be those of pictures, and the demo's sheets hold none.
fn drawn(pdf: &Pdf, page: ObjectId) -> Vec<Drawn> {
    let content = Content::decode(&pdf.get_page_content(page)).unwrap();
    let (mut all, mut open): (Vec<Drawn>, Vec<Drawn>) = (Vec::new(), Vec::new());
    for operation in &content.operations {
        let point = || [0, 1].map(|k| number(&operation.operands[k]) * POINT);
        match operation.operator.as_str() {
            "m" => open.push(Drawn { points: vec![point()], closed: false }),
            "l" => open.last_mut().unwrap().points.push(point()),
            "h" => open.last_mut().unwrap().closed = true,
            "S" | "B" => all.append(&mut open),
            "f" | "n" => open.clear(),
            "cm" => panic!("a transform"),
            _ => {}
        }
    }
    all
}

#[test]
fn every_page_is_as_large_as_its_paper() {
    for paper in Paper::ALL {
        let printed = printed(paper, [100.0, 100.0]);
        let pages = printed.pdf.get_pages();
        assert_eq!(pages.len(), printed.layout.count.pages + printed.layout.overview_pages);
        for (number_of_page, page) in pages {
            let dictionary = printed.pdf.get_dictionary(page).unwrap();
            let media = dictionary.get(b"MediaBox").unwrap().as_array().unwrap();
            let media: Vec<f64> = media.iter().map(number).collect();
            let drawn_on = &printed.layout.set.pages[number_of_page as usize - 1];
            let want = paper.size_mm().unwrap_or([drawn_on.width_mm, drawn_on.height_mm]);
            assert_eq!(media[..2], [0.0, 0.0]);
            for (is, mm) in media[2..].iter().zip(want) {
                assert!((is - mm / POINT).abs() < 0.01, "{} page {number_of_page}: {media:?}", paper.label());
            }
            for key in [b"UserUnit".as_slice(), b"Rotate", b"CropBox"] {
                assert!(dictionary.get(key).is_err(), "nothing changes the size of a page");
            }
        }
    }
}

#[test]
fn every_page_has_a_line_of_a_hundred_millimetres_along_each_axis() {
    for paper in [Paper::A4, Paper::A3, Paper::Letter, Paper::OneSheet] {
        for measured in [[100.0, 100.0], UNTRUE] {
            let printed = printed(paper, measured);
            for (number_of_page, page) in printed.pdf.get_pages() {
                let paths = drawn(&printed.pdf, page);
                for axis in 0..2 {
                    let want = 100.0 * printed.k[axis];
                    let there = paths.iter().any(|d| {
                        let size = d.size();
                        d.points.len() == 2 && (size[axis] - want).abs() < 1e-3 && size[1 - axis] == 0.0
                    });
                    assert!(there, "{} page {number_of_page}, axis {axis}: no line of {want} mm", paper.label());
                }
                let said = printed.pdf.extract_text(&[number_of_page]).unwrap();
                assert_eq!(said.matches(sheets::MEASURED_LABEL).count(), 2, "{said}");
            }
        }
    }
}

/// Every former that is in one piece, on the page and the way round that the layout says, against the form's own section.
#[test]
fn formers_are_drawn_as_broad_and_high_as_the_form_is() {
    for paper in [Paper::A4, Paper::A3, Paper::Letter, Paper::OneSheet] {
        for measured in [[100.0, 100.0], UNTRUE] {
            let printed = printed(paper, measured);
            let pages = printed.pdf.get_pages();
            let (form, lofted) = (&printed.document.forms[0], &printed.lofted[0]);
            let loft = lofted.skin.as_ref().unwrap().loft();
            let mut whole = 0;
            for (part, (former, x)) in former_stations(form, loft).into_iter().enumerate() {
                let mut placed = printed.layout.placements.iter().filter(|p| p.part == part);
                let (Some(placement), None) = (placed.next(), placed.next()) else { continue };
                whole += 1;
                let section = loft.section(x).unwrap();
                let mut want = [2.0 * section.half_breadth(), section.top() - section.bottom()];
                if placement.turned {
                    want.reverse();
                }
                let page = u32::try_from(placement.page + 1).unwrap();
                let nearest = drawn(&printed.pdf, pages[&page])
                    .iter()
                    .filter(|d| d.closed && d.points.len() > 20)
                    .map(|d| {
                        let size = d.size();
                        [0, 1].map(|k| (size[k] / printed.k[k] - want[k]).abs()).into_iter().fold(0.0, f64::max)
                    })
                    .fold(f64::MAX, f64::min);
                assert!(nearest < 0.01, "former {former} on page {page} of {} is {nearest} mm off", paper.label());
                let said = printed.pdf.extract_text(&[page]).unwrap();
                assert!(said.contains(&format!("Former {former}")), "{said}");
            }
            assert!(whole >= 10, "{whole} formers of the demo are in one piece on {}", paper.label());
        }
    }
}

/// Every contour of every card part of the plug (slots, holes and all) stands in the file as it was planned: as many corners, the
/// same way round, every side as long. The plan's parts themselves are put together in space by the tests of the crate `plug`.
#[test]
fn the_parts_of_the_plug_are_drawn_as_they_were_planned() {
    let mut demo = desk::demo::document().unwrap();
    let mut with_breadth = demo.clone();
    let formers = &mut Arc::make_mut(&mut with_breadth.build).formers;
    (formers.breadth_template, formers.centre_opens_up, formers.lightening_web) = (Some(-20.0), false, 9.0);
    Arc::make_mut(&mut demo.build).stack.foam_front = false;
    for document in [demo, with_breadth] {
        let printed = print(document, Paper::OneSheet, [100.0, 100.0]);
        let plan = desk::output::plug_plan(&printed.document, &printed.lofted[0]).unwrap().unwrap();
        let paths: Vec<Drawn> = printed.pdf.get_pages().values().flat_map(|p| drawn(&printed.pdf, *p)).collect();
        let formers = plan.formers.iter().map(|f| (format!("former {}", f.number), f.part.mirrored()));
        let centre = plan.centre.iter().map(|c| ("centre template".to_owned(), c.part.clone()));
        let breadth = plan.breadth.iter().map(|b| ("breadth template".to_owned(), b.part.clone()));
        let mut contours = 0;
        for (name, region) in formers.chain(centre).chain(breadth) {
            for contour in region.pieces.iter().flatten() {
                contours += 1;
                let there = paths.iter().any(|d| d.closed && is_same(&d.points, contour));
                assert!(there, "a contour of {} corners of {name} is not in the file", contour.len());
            }
        }
        assert!(contours > 20 && plan.joints.len() >= plan.formers.len(), "{contours} contours");
    }
}

/// Whether two polygons are the same but for a shift and a turn, within the file's rounding.
fn is_same(a: &[[f64; 2]], b: &[[f64; 2]]) -> bool {
    let sides = |p: &[[f64; 2]]| -> Vec<f64> {
        (0..p.len()).map(|i| (p[(i + 1) % p.len()][0] - p[i][0]).hypot(p[(i + 1) % p.len()][1] - p[i][1])).collect()
    };
    let area = |p: &[[f64; 2]]| -> f64 {
        (1..p.len().saturating_sub(1))
            .map(|i| {
                let [u, v] = [i, i + 1].map(|k| [p[k][0] - p[0][0], p[k][1] - p[0][1]]);
                0.5 * (u[0] * v[1] - u[1] * v[0])
            })
            .sum()
    };
    a.len() == b.len()
        && sides(a).iter().zip(sides(b)).all(|(a, b)| (a - b).abs() < 0.005)
        && (area(a) - area(b)).abs() < 0.5
}

/// PDF viewer preferences, ISO 32000-1 table 150; no claim of a standard whose rules were not followed.
#[test]
fn viewers_are_asked_not_to_scale_and_no_standard_is_claimed() {
    let printed = printed(Paper::A4, [100.0, 100.0]);
    let catalog = printed.pdf.catalog().unwrap();
    let viewer = printed.pdf.dereference(catalog.get(b"ViewerPreferences").unwrap()).unwrap().1.as_dict().unwrap();
    assert_eq!(viewer.get(b"PrintScaling").unwrap().as_name().unwrap(), b"None");
    for key in [b"Metadata".as_slice(), b"OutputIntents"] {
        assert!(catalog.get(key).is_err());
    }
    let info = printed.pdf.dereference(printed.pdf.trailer.get(b"Info").unwrap()).unwrap().1.as_dict().unwrap();
    assert!(info.iter().all(|(key, _)| !key.starts_with(b"GTS_")));
}

/// Every font is embedded as a subset and maps back to characters, and so the words can be searched.
#[test]
fn text_is_text() {
    let printed = printed(Paper::A4, [100.0, 100.0]);
    let fonts: Vec<&Dictionary> = dictionaries(&printed.pdf, b"Font");
    let composite: Vec<_> =
        fonts.iter().filter(|f| f.get(b"Subtype").and_then(Object::as_name).is_ok_and(|n| n == b"Type0")).collect();
    assert!(!composite.is_empty());
    for font in composite {
        let map = printed.pdf.dereference(font.get(b"ToUnicode").unwrap()).unwrap().1.as_stream().unwrap();
        let map = map.decompressed_content().unwrap_or_else(|_| map.content.clone());
        assert!(map.windows(6).any(|w| w == b"bfchar" || w == b"bfrang"), "a map with characters in it");
    }
    for descriptor in dictionaries(&printed.pdf, b"FontDescriptor") {
        assert!(descriptor.has(b"FontFile2"));
        assert_eq!(descriptor.get(b"FontName").unwrap().as_name().unwrap()[6], b'+');
    }
    let pages: Vec<u32> = printed.pdf.get_pages().keys().copied().collect();
    let said = printed.pdf.extract_text(&pages).unwrap().split_whitespace().collect::<Vec<_>>().join(" ");
    let formers = former_stations(&printed.document.forms[0], printed.lofted[0].skin.as_ref().unwrap().loft()).len();
    assert!(
        said.matches(UNFINISHED_NOTE).count() > formers,
        "each former and the centre template says what was not taken off"
    );
    assert!(said.contains(&printed.document.name));
}

fn dictionaries<'a>(pdf: &'a Pdf, kind: &[u8]) -> Vec<&'a Dictionary> {
    pdf.objects.values().filter_map(|o| o.as_dict().ok()).filter(|d| d.has_type(kind)).collect()
}
