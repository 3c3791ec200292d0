//! Pages as PNG: size, place of lines, clips, words and pictures.
#![allow(clippy::unwrap_used, clippy::panic)] // tests may stop at the first surprise

use sheets::png::{PngError, page_to_png};
use sheets::{Affine, Drawing, Ink, Item, Page, Path, Picture, PictureFormat, Placed, Rect, Stroke, Text};

fn page(items: Vec<Placed>) -> Page {
    Page { width_mm: 50.0, height_mm: 30.0, name: String::new(), items }
}

fn draw(items: Vec<Placed>, pixels_per_mm: f64) -> image::RgbImage {
    let bytes = page_to_png(&page(items), pixels_per_mm).unwrap();
    image::load_from_memory_with_format(&bytes, image::ImageFormat::Png).unwrap().into_rgb8()
}

fn free(item: impl Into<Item>) -> Placed {
    Placed { item: item.into(), clip: None }
}

#[test]
fn a_line_lies_where_the_page_says_and_up_is_up() {
    let line = Path::line([10.0, 25.0], [40.0, 25.0], Stroke::solid(1.0, Ink::BLACK));
    let picture = draw(vec![free(line)], 10.0);
    assert_eq!(picture.dimensions(), (500, 300));
    // 25 mm up on 30 mm is 5 mm from the top: pixel rows 45 to 54 are black, from column 100 to 399.
    let dark = |x: u32, y: u32| picture.get_pixel(x, y).0[0] < 128;
    assert!(dark(100, 50) && dark(399, 50) && dark(250, 45) && dark(250, 54));
    assert!(!dark(98, 50) && !dark(401, 50) && !dark(250, 43) && !dark(250, 56) && !dark(250, 250));
}

#[test]
fn a_clip_cuts_and_dashes_leave_gaps() {
    let clip = Some(Rect { min: [20.0, 0.0], max: [30.0, 30.0] });
    let item: Item = Path::rect(&Rect { min: [5.0, 5.0], max: [45.0, 25.0] }, None, Some(Ink::BLACK)).into();
    let picture = draw(vec![Placed { item, clip }], 4.0);
    let dark = |x: f64, y: f64| picture.get_pixel((x * 4.0) as u32, (y * 4.0) as u32).0[0] < 128;
    assert!(dark(25.0, 15.0) && !dark(18.0, 15.0) && !dark(32.0, 15.0));
    let dashed = Path::line([5.0, 15.0], [45.0, 15.0], Stroke::dashed(1.0, Ink::BLACK, &[5.0, 5.0]));
    let picture = draw(vec![free(dashed)], 4.0);
    let dark = |x: f64| picture.get_pixel((x * 4.0) as u32, 60).0[0] < 128;
    assert!(dark(7.0) && !dark(12.0) && dark(17.0) && !dark(22.0));
}

#[test]
fn words_are_as_wide_as_layout_thinks() {
    let text = Text::new("HHHH", [5.0, 10.0], 8.0);
    let width = text.width();
    let picture = draw(vec![free(text)], 20.0);
    let dark = |x: u32| (0..picture.height()).any(|y| picture.get_pixel(x, y).0[0] < 128);
    let columns: Vec<u32> = (0..picture.width()).filter(|&x| dark(x)).collect();
    let drawn = f64::from(columns[columns.len() - 1] - columns[0]) / 20.0;
    // The side bearings of an H take about an eighth of its width on either side.
    assert!(drawn < width && drawn > width - 0.3 * 8.0, "{drawn} of {width}");
}

#[test]
fn a_picture_stands_upright_in_its_place() {
    let source =
        image::RgbaImage::from_fn(60, 60, |_, y| image::Rgba(if y < 30 { [255, 0, 0, 255] } else { [0, 0, 255, 255] }));
    let mut bytes = std::io::Cursor::new(Vec::new());
    source.write_to(&mut bytes, image::ImageFormat::Png).unwrap();
    let bytes: std::sync::Arc<[u8]> = bytes.into_inner().into();
    for pixels_per_mm in [2.0, 12.0] {
        let placement = Affine([20.0, 0.0, 0.0, 20.0, 10.0, 5.0]);
        let item = Picture { bytes: bytes.clone(), format: PictureFormat::Png, placement };
        let picture = draw(vec![free(item)], pixels_per_mm);
        let at = |x: f64, y: f64| picture.get_pixel((x * pixels_per_mm) as u32, ((30.0 - y) * pixels_per_mm) as u32).0;
        assert_eq!(at(20.0, 22.0), [255, 0, 0]);
        assert_eq!(at(20.0, 8.0), [0, 0, 255]);
        assert_eq!(at(35.0, 15.0), [255, 255, 255]);
    }
}

#[test]
fn absurd_sizes_and_broken_pictures_are_refused() {
    assert!(matches!(page_to_png(&page(vec![]), 0.0), Err(PngError::Size { .. })));
    assert!(matches!(page_to_png(&page(vec![]), 1e6), Err(PngError::Size { .. })));
    assert!(matches!(page_to_png(&page(vec![]), f64::NAN), Err(PngError::Size { .. })));
    let item = Picture { bytes: (*b"nothing").into(), format: PictureFormat::Jpeg, placement: Affine::IDENTITY };
    assert!(matches!(page_to_png(&page(vec![free(item)]), 1.0), Err(PngError::Picture(_))));
}

#[test]
fn a_drawing_becomes_a_page_with_paper_round_it() {
    let mut d = Drawing::default();
    d.push(Path::line([-5.0, 100.0], [15.0, 130.0], Stroke::solid(0.2, Ink::BLACK)));
    let page = d.into_page("line", 4.0);
    assert_eq!((page.width_mm, page.height_mm), (28.0, 38.0));
}
