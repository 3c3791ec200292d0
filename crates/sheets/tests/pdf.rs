//! The PDF read back by another library than the one that wrote it: boxes, lengths as drawn, words, pictures.
#![allow(clippy::unwrap_used, clippy::panic)] // tests may stop at the first surprise
mod common;

use std::sync::Arc;

use lopdf::content::Content;
use lopdf::{Document, Object, ObjectId};
use sheets::pdf::write_pdf;
use sheets::{Affine, Drawing, PageSetup, PaperSize, Part, Picture, PictureFormat, SheetSet, lay_out};

const MM: f64 = 25.4 / 72.0;

fn number(o: &Object) -> f64 {
    match o {
        Object::Integer(i) => *i as f64,
        Object::Real(r) => f64::from(*r),
        other => panic!("{other:?} is no number"),
    }
}

fn number_list(o: &Object) -> Vec<f64> {
    o.as_array().unwrap().iter().map(number).collect()
}

type Polyline = Vec<[f64; 2]>;

/// Stroked subpaths of a page in mm, as drawn (these pages hold no transforms but for pictures).
fn strokes(doc: &Document, page: ObjectId) -> Vec<Polyline> {
    let content = Content::decode(&doc.get_page_content(page)).unwrap();
    let (mut all, mut open): (Vec<Polyline>, Vec<Polyline>) = (Vec::new(), Vec::new());
    for op in &content.operations {
        let v: Vec<f64> = if matches!(op.operator.as_str(), "m" | "l" | "c") {
            op.operands.iter().map(|o| number(o) * MM).collect()
        } else {
            Vec::new()
        };
        match op.operator.as_str() {
            "m" => open.push(vec![[v[0], v[1]]]),
            "l" => open.last_mut().unwrap().push([v[0], v[1]]),
            "c" => open.last_mut().unwrap().push([v[4], v[5]]),
            "h" => {
                let first = open.last().unwrap()[0];
                open.last_mut().unwrap().push(first);
            }
            "S" | "B" => all.append(&mut open),
            "f" | "n" => open.clear(),
            _ => {}
        }
    }
    all
}

fn extent(path: &[[f64; 2]]) -> [f64; 2] {
    [0, 1].map(|k| {
        let (low, high) = path.iter().fold((f64::MAX, f64::MIN), |(l, h), p| (l.min(p[k]), h.max(p[k])));
        high - low
    })
}

fn written(parts: &[Part], setup: &PageSetup) -> Document {
    let layout = lay_out(parts, setup, &mut |_| true).unwrap();
    Document::load_mem(&write_pdf(&layout.set).unwrap()).unwrap()
}

/// ISO 216 and ANSI/ASME Y14.1 sizes in mm; one point is 25.4 / 72 mm.
#[test]
fn page_boxes_are_the_papers_within_a_hundredth_of_a_point() {
    let parts = common::ovals(&common::twelve(), 2.6);
    for size in [
        [210.0, 297.0],
        [297.0, 420.0],
        [420.0, 594.0],
        [594.0, 841.0],
        [841.0, 1189.0],
        [215.9, 279.4],
        [279.4, 431.8],
    ] {
        let doc = written(&parts, &PageSetup { paper: PaperSize::Size(size), ..PageSetup::default() });
        for (_, page) in doc.get_pages() {
            let dict = doc.get_dictionary(page).unwrap();
            let b = number_list(dict.get(b"MediaBox").unwrap());
            assert_eq!([b[0], b[1]], [0.0, 0.0]);
            assert!((b[2] - size[0] / MM).abs() < 0.01 && (b[3] - size[1] / MM).abs() < 0.01, "{b:?} for {size:?}");
            assert!(dict.get(b"UserUnit").is_err() && dict.get(b"Rotate").is_err());
        }
    }
}

/// Both measured lines stand on every page, 100 mm times the correction, and nowhere touch a part.
#[test]
fn every_page_has_its_two_lines_of_a_hundred_millimetres() {
    let parts = common::ovals(&common::twenty_five(), 2.6);
    for measured in [[100.0, 100.0], [99.2, 100.4]] {
        for margin in [0.0, 5.0, 10.0, 20.0] {
            let setup = PageSetup { measured_mm: measured, margin_mm: margin, ..PageSetup::default() };
            let doc = written(&parts, &setup);
            for (n, page) in doc.get_pages() {
                for axis in 0..2 {
                    let want = 100.0 * 100.0 / measured[axis];
                    let exact = strokes(&doc, page).into_iter().any(|s| {
                        let e = extent(&s);
                        s.len() == 2 && (e[axis] - want).abs() < 1e-3 && e[1 - axis].abs() < 1e-9
                    });
                    assert!(exact, "page {n} lacks its line along axis {axis}");
                }
            }
        }
    }
}

#[test]
fn a_former_is_drawn_as_broad_as_it_is() {
    let former = common::former(3, 70.0, 110.0, 12.0).part();
    for measured in [[100.0, 100.0], [99.2, 100.4]] {
        let doc = written(std::slice::from_ref(&former), &PageSetup { measured_mm: measured, ..PageSetup::default() });
        let page = doc.get_pages()[&1];
        let drawn =
            strokes(&doc, page).into_iter().map(|s| extent(&s)).max_by(|a, b| (a[0] * a[1]).total_cmp(&(b[0] * b[1])));
        let drawn = drawn.unwrap();
        let k = measured.map(|m| 100.0 / m);
        // Printed by such a printer, the former measures 140 by 110 mm, whichever way it is turned.
        let printed = [drawn[0] / k[0], drawn[1] / k[1]];
        let (long, short) = (printed[0].max(printed[1]), printed[0].min(printed[1]));
        assert!((long - 140.0).abs() < 1e-3 && (short - 110.0).abs() < 1e-3, "{printed:?}");
    }
}

#[test]
fn words_can_be_read_back_and_the_viewer_is_asked_not_to_scale() {
    let parts: Vec<Part> = (1..=8).map(|k| common::former(k, 60.0, 100.0, 0.0).part()).collect();
    let setup = PageSetup {
        project: "Häher – “zwei”".to_owned(),
        notes: vec!["finished outside: no laminate, no card thickness taken off".to_owned()],
        ..PageSetup::default()
    };
    let doc = written(&parts, &setup);
    let pages: Vec<u32> = doc.get_pages().keys().copied().collect();
    for &n in &pages {
        let text = doc.extract_text(&[n]).unwrap();
        assert!(text.matches(sheets::MEASURED_LABEL).count() == 2, "page {n}: {text}");
        assert!(text.contains(&format!("page {n} of {}", pages.len())) && text.contains("Häher"), "page {n}: {text}");
        assert!(text.contains("no laminate, no card thickness taken off"), "page {n}: {text}");
    }
    let all = doc.extract_text(&pages).unwrap();
    for k in 1..=8 {
        assert!(
            all.contains(&format!("Former {k}")) && all.contains(&format!("station {:.1} mm", 31.5 * f64::from(k)))
        );
    }
    let catalog = doc.catalog().unwrap();
    let viewer = doc.dereference(catalog.get(b"ViewerPreferences").unwrap()).unwrap().1.as_dict().unwrap();
    assert_eq!(viewer.get(b"PrintScaling").unwrap().as_name().unwrap(), b"None");
    for key in [b"OutputIntents".as_slice(), b"Metadata"] {
        assert!(catalog.get(key).is_err(), "no PDF standard is claimed");
    }
    let info = doc.trailer.get(b"Info").unwrap();
    let info = doc.dereference(info).unwrap().1.as_dict().unwrap();
    assert!(info.has(b"Title"));
    for key in [b"CreationDate".as_slice(), b"ModDate", b"GTS_PDFXVersion"] {
        assert!(!info.has(key));
    }
}

#[test]
fn fonts_are_embedded_as_subsets() {
    let layout = lay_out(&common::ovals(&common::twelve(), 2.6), &PageSetup::default(), &mut |_| true).unwrap();
    let bytes = write_pdf(&layout.set).unwrap();
    assert!(bytes.len() < 80_000, "{} bytes", bytes.len());
    let doc = Document::load_mem(&bytes).unwrap();
    let mut descriptors = 0;
    for object in doc.objects.values() {
        let Ok(dict) = object.as_dict() else { continue };
        if dict.has_type(b"FontDescriptor") {
            descriptors += 1;
            assert!(dict.has(b"FontFile2"));
            assert_eq!(dict.get(b"FontName").unwrap().as_name().unwrap()[6], b'+', "a subset is named with a tag");
        }
    }
    assert_eq!(descriptors, 2);
}

#[test]
fn a_jpeg_keeps_its_bytes_and_a_png_its_transparency() {
    let picture = image::RgbImage::from_fn(40, 30, |x, y| image::Rgb([x as u8 * 6, y as u8 * 8, 90]));
    let mut jpeg = std::io::Cursor::new(Vec::new());
    picture.write_to(&mut jpeg, image::ImageFormat::Jpeg).unwrap();
    let jpeg = jpeg.into_inner();
    let clear = image::RgbaImage::from_fn(8, 8, |x, _| image::Rgba([10, 200, 30, x as u8 * 30]));
    let mut png = std::io::Cursor::new(Vec::new());
    clear.write_to(&mut png, image::ImageFormat::Png).unwrap();
    let mut d = Drawing::default();
    let at = |x: f64| Affine([40.0, 0.0, 0.0, 30.0, x, 0.0]);
    let bytes: Arc<[u8]> = jpeg.clone().into();
    d.push(Picture { bytes: Arc::clone(&bytes), format: PictureFormat::Jpeg, placement: at(0.0) });
    d.push(Picture { bytes, format: PictureFormat::Jpeg, placement: at(50.0) });
    d.push(Picture { bytes: png.into_inner().into(), format: PictureFormat::Png, placement: at(100.0) });
    let set = SheetSet { title: "Pictures".to_owned(), pages: vec![d.into_page("pictures", 10.0)] };
    let doc = Document::load_mem(&write_pdf(&set).unwrap()).unwrap();
    let images: Vec<_> = doc
        .objects
        .values()
        .filter_map(|o| o.as_stream().ok())
        .filter(|s| s.dict.get(b"Subtype").and_then(Object::as_name).is_ok_and(|n| n == b"Image"))
        .collect();
    let filter = |name: &[u8]| {
        let name = name.to_vec();
        images
            .iter()
            .filter(move |s| s.dict.get(b"Filter").and_then(Object::as_name).is_ok_and(|n| n == name))
            .collect::<Vec<_>>()
    };
    let kept = filter(b"DCTDecode");
    assert_eq!(kept.len(), 1, "the same picture is stored once");
    assert_eq!(kept[0].content, jpeg);
    assert_eq!(
        (number(kept[0].dict.get(b"Width").unwrap()), number(kept[0].dict.get(b"Height").unwrap())),
        (40.0, 30.0)
    );
    assert_eq!(filter(b"FlateDecode").len(), 2, "colours and their mask");
    let broken = Picture { bytes: Arc::from(&b"no picture"[..]), format: PictureFormat::Jpeg, placement: at(0.0) };
    let mut d = Drawing::default();
    d.push(broken);
    let set = SheetSet { title: String::new(), pages: vec![d.into_page("broken", 10.0)] };
    assert!(write_pdf(&set).unwrap_err().to_string().contains("page 1"));
}

/// Beyond 14 400 units (200 in) a page needs a larger user unit (ISO 32000-1, annex C and table 30).
#[test]
fn a_sheet_longer_than_five_metres_stays_true() {
    let parts = [common::oval(1, [6000.0, 900.0], 2.2)];
    let doc = written(&parts, &PageSetup { paper: PaperSize::OneSheet, ..PageSetup::default() });
    let page = doc.get_pages()[&1];
    let dict = doc.get_dictionary(page).unwrap();
    let unit = number(dict.get(b"UserUnit").unwrap());
    let b = number_list(dict.get(b"MediaBox").unwrap());
    assert!(b[2] <= 14_400.0 && b[3] <= 14_400.0);
    assert!((b[2] * unit * MM - 6020.0).abs() < 0.01, "{b:?} {unit}");
    let longest = strokes(&doc, page).iter().map(|s| extent(s)[0] * unit).fold(0.0, f64::max);
    assert!((longest - 6000.0).abs() < 0.01, "{longest}");
}

#[test]
fn equal_sheets_give_equal_bytes() {
    let parts: Vec<Part> = (1..=5).map(|k| common::former(k, 130.0, 200.0, 8.0).part()).collect();
    let once = || write_pdf(&lay_out(&parts, &PageSetup::default(), &mut |_| true).unwrap().set).unwrap();
    assert_eq!(once(), once());
}

#[test]
fn a_page_without_a_size_is_refused() {
    let mut page = Drawing::default().into_page("nothing", 0.0);
    page.width_mm = f64::NAN;
    assert!(write_pdf(&SheetSet { title: String::new(), pages: vec![page] }).is_err());
}
