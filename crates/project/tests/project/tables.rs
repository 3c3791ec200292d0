//! Tables of offsets: good ones give their stations, bad ones a message with line and hint.

use project::document::*;
use project::edit::{Edit, lock_all};
use project::promise::check_form;
use project::starter::new_document;
use project::table::{
    HEADER, PointsRead, TableError, TableStation, form_from_table, read_points, read_table, write_table,
};
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
fn spreadsheets_may_write_semicolons_or_tabs_and_decimal_commas() {
    let plain = table("0,0,10.5\n0,8,2\n0,0,-9\n50,0,12\n50,9.25,3\n50,0,-10\n").unwrap();
    for to in [";", "\t"] {
        let rows = "0;0;10,5\n0;8;2\n0;0;-9\n50;0;12\n50;9,25;3\n50;0;-10\n".replace(';', to);
        assert_eq!(read_table(&format!("{}\n{rows}", HEADER.replace(',', to))).unwrap(), plain, "{rows}");
    }
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
    refused("0,0,ten\n", 2, "“ten”");
    refused("0,,10\n", 2, "no number");
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
    assert!(error.reason.contains("no rows"), "{error}");
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

const HALF: [[f64; 2]; 5] = [[0.0, 60.5], [40.25, 40.0], [52.0, 0.0], [40.0, -40.0], [0.0, -55.0]];

#[track_caller]
fn read(text: &str) -> PointsRead {
    read_points(text, 1.0).unwrap_or_else(|error| panic!("{error}: {text}"))
}

/// The points are refused in that line, for that reason; the error has a hint.
#[track_caller]
fn no_points(text: &str, line: Option<usize>, reason: &str) {
    let error = read_points(text, 1.0).unwrap_err();
    assert_eq!(error.line, line, "{error}");
    assert!(error.reason.contains(reason), "{error}");
    assert!(!error.hint.is_empty());
}

#[test]
fn measured_points_are_read_however_they_are_written() {
    let rows = "0;60,5\n40,25;40\n52;0\n40;-40\n0;-55";
    let dotted = rows.replace(',', ".");
    for text in [
        rows.to_owned(),
        rows.replace(';', "\t"),
        rows.replace(';', "  "),
        dotted.replace(';', ","),
        dotted.replace(';', ", "),
        dotted.replace('\n', "\r\n\r\n"),
        format!("\u{feff}half-breadth;height\n# on the bench\n{rows}\n\n;\n"),
        format!("\"y\",\"z\"\n{}", dotted.replace(';', ",").replace("40.25", "\"40.25\"")),
        rows.lines().rev().collect::<Vec<_>>().join("\n"),
        rows.replace('-', "\u{2212}"),
    ] {
        assert_eq!(read(&text).section.points, HALF, "{text}");
    }
    let turned = read(&rows.lines().rev().collect::<Vec<_>>().join("\n"));
    assert!(turned.notes[0].contains("turned round"), "{:?}", turned.notes);
}

#[test]
fn inches_come_by_the_unit_or_by_the_heading() {
    let rows = "0,2.5\n1.25,0\n0,-2";
    let inches = [[0.0, 63.5], [31.75, 0.0], [0.0, -50.8]];
    assert_eq!(read_points(rows, 25.4).unwrap().section.points, inches);
    assert_eq!(read(&format!("half-breadth (in),height (in)\n{rows}")).section.points, inches);
    let millimetres = read_points(&format!("half_breadth_mm,height_mm\n{rows}"), 25.4).unwrap();
    assert_eq!(millimetres.section.points, [[0.0, 2.5], [1.25, 0.0], [0.0, -2.0]]);
}

/// The port half in the test is 0.5 mm fuller at one point; its distance from the starboard half's chords, which stand at
/// that corner, is the 0.5 mm themselves times no more than 1.
#[test]
fn both_halves_give_starboard_and_say_how_far_port_differs() {
    let starboard = "0 60.5\n40.25 40\n52 0\n40 -40\n0 -55\n";
    let up_port = "-40 -40\n-52.5 0\n-40.25 40\n";
    let port_first = "-52.5 0\n-40.25 40\n0 60.5\n40.25 40\n52 0\n40 -40\n0 -55\n-40 -40";
    for text in [
        format!("{starboard}{up_port}"),
        format!("{starboard}{up_port}0 60.5"),
        format!("{starboard}0 60.5\n-40.25 40\n-52.5 0\n-40 -40\n0 -55"),
        format!("{starboard}0 -55\n{up_port}0 60.5"),
        port_first.to_owned(),
    ] {
        let found = read(&text);
        assert_eq!(found.section.points, HALF, "{text}");
        assert!(!found.section.crown_ridge && !found.section.keel_ridge, "{text}");
        assert!(found.notes.iter().any(|n| n.contains("up to 0.50 mm")), "{:?}", found.notes);
    }
    let port = read("0 60.5\n-40.25 40\n-52 0\n-40 -40\n0 -55");
    assert_eq!(port.section.points, HALF);
    assert!(port.notes[0].contains("port half"), "{:?}", port.notes);
    // Without a point on the centre plane the straight line across gives one.
    let open = read("-2 60\n2 60\n50 0\n4 -50\n-4 -52\n-50 0");
    assert_eq!((open.section.points[0], open.section.points[4]), ([0.0, 60.0], [0.0, -51.0]));
    no_points("2 60\n-50 10\n50 0\n-50 -10\n3 -50", Some(4), "change sides");
}

#[test]
fn repeated_points_are_corners_and_a_third_time_is_a_slip() {
    let corners = read("0 60\n0 60\n50 60\n50 60\n50 -40\n0 -40");
    assert_eq!(corners.section.points, [[0.0, 60.0], [50.0, 60.0], [50.0, -40.0], [0.0, -40.0]]);
    assert_eq!(corners.section.knuckles, [MeasuredKnuckle { point: 1, number: 1 }]);
    assert!(corners.section.crown_ridge && corners.notes[0].contains("2 rows"), "{:?}", corners.notes);
    no_points("0 60\n50 0\n50 0\n50 0\n0 -60", Some(4), "third time");
}

#[test]
fn wrong_points_are_named_by_their_line() {
    no_points("", None, "no rows");
    no_points("y;z\n", None, "no rows");
    no_points("0 60\n0 -60", None, "2 points only");
    no_points("0 60\n0 10\n0 -60", None, "no breadth");
    no_points("y z\n\n0 60\n40 zero\n0 -60", Some(4), "“zero”");
    no_points("0;60\n40\n0;-60", Some(2), "this one has 1");
    no_points("0,5,60\n40,2\n0,-60", Some(1), "three numbers");
    no_points("3 60\n40 0\n0 -60", Some(1), "crown lies 3.00 mm off");
    no_points("0 60\n40 0\n4 -60", Some(3), "keel lies 4.00 mm off");
    no_points("0 60\n2e6 0\n0 -60", Some(2), "2000000");
}

proptest! {
    #[test]
    fn any_text_gives_points_or_a_reason(rows in "([-0-9.,;e \t#]{0,9}\n){0,9}") {
        if let Ok(read) = read_points(&rows, 1.0) {
            prop_assert_eq!(project::promise::check_measured(&read.section), Ok(()));
        }
    }

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
