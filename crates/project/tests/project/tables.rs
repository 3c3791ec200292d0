//! Tables of offsets: good ones give their stations, bad ones a message with line and hint.

use project::document::*;
use project::edit::{Edit, lock_all};
use project::promise::check_form;
use project::starter::new_document;
use project::table::{HEADER, TableError, TableStation, form_from_table, read_table, write_table};
use proptest::collection::vec;
use proptest::prelude::*;

fn table(rows: &str) -> Result<Vec<TableStation>, TableError> {
    read_table(&format!("{HEADER}\n{rows}"))
}

/// The table is refused in that line, for that reason; the error has a hint.
#[track_caller]
fn refused(rows: &str, line: usize, reason: &str) -> TableError {
    let error = table(rows).unwrap_err();
    assert_eq!(error.line, Some(line), "{error}");
    assert!(error.reason.contains(reason), "{error}");
    assert!(!error.hint.is_empty());
    error
}

const TWO: &str = "0,0,10\n0,8,2\n0,0,-9\n50,0,12\n50,9,3\n50,5,-4\n50,0,-10\n";

#[test]
fn stations_may_have_different_numbers_of_points() {
    let stations = table(TWO).unwrap();
    assert_eq!(stations.len(), 2);
    assert_eq!(stations[0].section.points, [[0.0, 10.0], [8.0, 2.0], [0.0, -9.0]]);
    assert_eq!(stations[1].x, 50.0);
    assert_eq!(stations[1].section.points.len(), 4);
}

#[test]
fn line_ends_marks_spaces_blanks_and_comments_are_taken_as_they_come() {
    let plain = table(TWO).unwrap();
    let text = format!("\u{feff}# measured\n\n Station_mm , half_breadth_mm,height_mm\n{TWO}").replace('\n', "\r\n");
    let spaced = text.replace("0,8,2", "  0 ,\t8.0, +2e0 \r\n  # a note, with commas\r\n   ");
    assert_eq!(read_table(&spaced).unwrap(), plain);
    assert_eq!(read_table(&format!("{HEADER}\n{}", TWO.trim_end())).unwrap(), plain);
}

#[test]
fn doubled_rows_are_knuckles_and_ridges() {
    let stations =
        table("0,0,10\n0,0,10\n0,8,2\n0,8,2\n0,0,-9\n50,0,9\n50,7,3\n50,7,3\n50,4,0\n50,0,-9\n50,0,-9\n").unwrap();
    let [front, rear] = &stations[..] else { panic!("not two") };
    assert!(front.section.crown_ridge && !front.section.keel_ridge);
    assert!(!rear.section.crown_ridge && rear.section.keel_ridge);
    assert_eq!(front.section.points.len(), 3);
    assert_eq!(front.section.knuckles, [MeasuredKnuckle { point: 1, number: 1 }]);
    assert_eq!(rear.section.knuckles, [MeasuredKnuckle { point: 1, number: 1 }]);
    // The last digit of a row that was reckoned twice does not matter.
    let nearly = table("0,0,10\n0,8,2\n0,8,2.0000000000001\n0,0,-9\n50,0,9\n50,7,3\n50,7,3\n50,0,-9\n").unwrap();
    assert_eq!(nearly[0].section.knuckles, [MeasuredKnuckle { point: 1, number: 1 }]);
    refused("0,0,10\n0,8,2\n0,8,2\n0,8,2\n0,0,-9\n", 5, "third time");
}

#[test]
fn unequal_knuckles_name_both_stations() {
    let error = table("0,0,10\n0,8,2\n0,8,2\n0,0,-9\n50,0,9\n50,7,3\n50,0,-9\n").unwrap_err();
    assert!(error.reason.contains("0 mm has 1") && error.reason.contains("50 mm has no knuckle"), "{error}");
    // A point has no knuckles and needs none.
    assert!(table("-5,0,1\n0,0,10\n0,8,2\n0,8,2\n0,0,-9\n50,0,9\n50,7,3\n50,7,3\n50,0,-9\n").is_ok());
}

#[test]
fn points_edges_and_flat_stations_give_no_shape() {
    let point = "-10,0,1\n-10,0,1\n-10,0,1\n";
    let edge = "80,0,10\n80,0,0\n80,0,-10\n";
    let flat = "90,0,5\n90,6,5\n90,0,5\n";
    let stations = table(&format!("{point}{TWO}{edge}{flat}")).unwrap();
    let shapes: Vec<_> = stations.iter().map(|station| station.section.has_shape()).collect();
    assert_eq!(shapes, [false, true, true, false, false]);
    assert_eq!(stations[0].section.points, [[0.0, 1.0], [0.0, 1.0]]);
}

#[test]
fn wrong_rows_are_named_by_line() {
    refused("0,0,10\n0,NaN,2\n", 3, "half-breadth");
    refused("0,0,inf\n", 2, "height");
    refused("0,0,10\n0,-3,2\n", 3, "negative");
    refused("0,0,10\n0,2e5,2\n", 3, "200000");
    refused("0,0\n", 2, "this one has 2");
    refused("0,0,ten\n", 2, "\"ten\"");
    refused("0,,10\n", 2, "no number");
    assert!(refused("0;0;10\n", 2, "three numbers").hint.contains("commas"));
    assert!(refused("0,5,0,0,10,0\n", 2, "three numbers").hint.contains("points in the numbers"));
}

#[test]
fn sections_run_from_centre_plane_to_centre_plane_from_crown_to_keel() {
    assert!(refused("0,1,10\n0,8,2\n0,0,-9\n", 2, "off the centre plane").reason.contains("Station 0 mm"));
    refused("0,0,10\n0,8,2\n0,3,-9\n50,0,1\n", 4, "off the centre plane");
    refused("0,0,-9\n0,8,2\n0,0,10\n", 2, "from the keel");
    assert!(table(&TWO.replacen("0,0,10", "0,0.0000009,10", 1)).is_ok());
}

#[test]
fn stations_rise_and_are_more_than_one() {
    refused(&format!("{TWO}0,0,10\n"), 9, "does not come behind");
    refused(&format!("{TWO}50.005,0,10\n"), 9, "does not come behind");
    assert!(table("0,0,10\n0,8,2\n0,0,-9\n").unwrap_err().reason.contains("one station only"));
    assert!(table("0,0,10\n0,0,-9\n1,0,3\n").unwrap_err().reason.contains("both breadth and height"));
}

#[test]
fn a_table_without_header_or_rows_is_told_so() {
    assert!(read_table("").unwrap_err().reason.contains("empty"));
    assert!(read_table("# nothing\n\n").unwrap_err().reason.contains("empty"));
    assert!(table("").unwrap_err().reason.contains("no rows"));
    let error = read_table("0,0,10\n").unwrap_err();
    assert!(error.line == Some(1) && error.hint.contains(HEADER), "{error}");
    let error = read_table(&format!("{}\n", HEADER.replace(',', ";"))).unwrap_err();
    assert!(error.hint.contains("commas"), "{error}");
}

#[test]
fn a_form_from_a_table_is_pinned_at_every_station() {
    let stations = table(&format!("-10,0,1\n{TWO}80,0,12\n80,0,-12\n")).unwrap();
    let form = form_from_table(&stations);
    assert_eq!(check_form(&form), Ok(()));
    let mut locked = form.clone();
    lock_all(&mut locked).unwrap();
    assert_eq!(locked, form);
    assert_eq!(form.stations, [-10.0, 0.0, 50.0, 80.0]);
    let points = |name| form.lines.get(name).points.iter().map(|p| (p.x, p.value)).collect::<Vec<_>>();
    assert_eq!(points(LineName::Crown), [(-10.0, 1.0), (0.0, 10.0), (50.0, 12.0), (80.0, 12.0)]);
    let breadth = points(LineName::Breadth);
    assert_eq!((breadth[0], breadth[3]), ((-10.0, 0.0), (80.0, 0.0)));
    // The curve through the points may be wider than the widest of them, but little.
    assert!((8.0..8.1).contains(&breadth[1].1) && (9.0..9.1).contains(&breadth[2].1), "{breadth:?}");
    // The stem edge tells no breadth height: it is carried on straight.
    let [_, (_, front), (_, rear), (x, carried)] = points(LineName::BreadthHeight)[..] else { panic!("not four") };
    let straight = rear + (rear - front) / 50.0 * 30.0;
    assert!(x == 80.0 && (carried - straight).abs() < 1e-12, "{carried} {straight}");
    assert!(Edit::AddForm(form).apply(&new_document("Test")).is_ok());
}

proptest! {
    #[test]
    fn a_written_table_reads_back(sections in vec((0.02..50.0, crate::documents::measured_section()), 2..6)) {
        let mut x: f64 = -100.0;
        let mut stations: Vec<_> = sections.into_iter().map(|(step, section)| {
            x += step;
            let points = section.points.iter().map(|point| point.map(|mm| (mm * 1e6).round() / 1e6)).collect();
            // The table has no place for a named breadth point, and its knuckles must be as many everywhere.
            let section = MeasuredSection { points, knuckles: Vec::new(), breadth_point: None, breadth_girth: None, ..section };
            TableStation { x: (x * 1e6).round() / 1e6, section }
        }).collect();
        for station in &mut stations {
            station.section.knuckles = vec![MeasuredKnuckle { point: 1, number: 1 }];
        }
        prop_assert_eq!(read_table(&write_table(&stations)).unwrap(), stations);
    }

    #[test]
    fn any_text_is_read_or_refused(rows in "([-0-9.,;eNa# \n]{0,12}\n){0,12}") {
        if let Ok(stations) = table(&rows) {
            prop_assert_eq!(check_form(&form_from_table(&stations)), Ok(()));
        }
    }
}
