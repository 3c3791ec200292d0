//! Tables of offsets that are no good: a message with the line or the stations, and nothing written.

use crate::folder::Folder;
use crate::tables::{self, HEADER, half_ellipse};

/// What `from-offsets` says of a table.
fn said_of(table: &str) -> String {
    let folder = Folder::new();
    folder.write("table.csv", table);
    let said = folder.refused(&["from-offsets", "table.csv", "--to", "project"]);
    assert!(said.contains("table.csv"), "it names the file: {said}");
    said
}

/// The lines of a good table, the header first.
fn lines() -> Vec<String> {
    tables::cylinder().lines().map(str::to_owned).collect()
}

#[test]
fn unequal_knuckles_name_both_stations() {
    let mut table = lines();
    let row = table[10].clone();
    table.insert(10, row);
    let said = said_of(&table.join("\n"));
    assert!(said.contains("-20 mm") && said.contains("30 mm") && said.contains("knuckle"), "{said}");
}

#[test]
fn numbers_that_are_none_name_their_line() {
    for bad in ["30,NaN,3", "30,inf,3", "30,1e300,3", "30,twelve,3", "30,,3", "-20,-5,3", "30,1"] {
        let mut table = lines();
        table[30] = bad.to_owned();
        let said = said_of(&table.join("\n"));
        assert!(said.contains("Line 31"), "{bad}: {said}");
    }
}

#[test]
fn stations_that_do_not_rise_are_refused() {
    let ring = half_ellipse(40.0, 40.0, 25);
    let table = tables::text(&[(0.0, ring.clone()), (50.0, ring.clone()), (20.0, ring)]);
    let said = said_of(&table);
    assert!(said.contains("50 mm") && said.contains("20 mm"), "{said}");
}

#[test]
fn commas_cannot_part_columns_and_decimals_at_once() {
    let said = said_of(&tables::cylinder().replace('.', ","));
    assert!(said.contains("commas do both"), "{said}");
}

#[test]
fn nothing_to_read_is_said() {
    for table in ["", "\n\n", "# only a comment\n", HEADER] {
        said_of(table);
    }
    let without_header = tables::cylinder().replace(HEADER, "");
    assert!(said_of(&without_header).contains("station_mm,half_breadth_mm,height_mm"));
}

#[test]
fn sections_must_run_from_centre_plane_to_centre_plane() {
    let ring = half_ellipse(40.0, 40.0, 25);
    for part in [1..25, 0..24] {
        let table = tables::text(&[(0.0, ring.clone()), (50.0, ring[part].to_vec())]);
        let said = said_of(&table);
        assert!(said.contains("50 mm") && said.contains("centre plane"), "{said}");
    }
}

#[test]
fn one_station_makes_no_body() {
    said_of(&tables::text(&[(0.0, half_ellipse(40.0, 40.0, 25))]));
    said_of(&tables::text(&[(0.0, vec![[0.0, 0.0]]), (50.0, vec![[0.0, 0.0]])]));
}

#[test]
fn a_point_three_times_is_a_slip() {
    let mut table = lines();
    for _ in 0..2 {
        let row = table[10].clone();
        table.insert(10, row);
    }
    said_of(&table.join("\n"));
}

#[test]
fn bytes_that_are_no_text_are_refused() {
    let folder = Folder::new();
    std::fs::write(folder.path("table.csv"), [0xff, 0xfe, 0, 0x73, 0x9f]).unwrap();
    folder.refused(&["from-offsets", "table.csv", "--to", "project"]);
    folder.refused(&["from-offsets", "nowhere.csv", "--to", "project"]);
    std::fs::create_dir(folder.path("folder.csv")).unwrap();
    folder.refused(&["from-offsets", "folder.csv", "--to", "project"]);
}

#[test]
fn what_is_there_is_kept_unless_told() {
    let folder = Folder::new();
    folder.project("cylinder", &tables::cylinder());
    folder.write("house.csv", &tables::house());
    let said = folder.refused(&["from-offsets", "house.csv", "--to", "cylinder"]);
    assert!(said.contains("exists"), "{said}");
    folder.fine(&["from-offsets", "house.csv", "--to", "cylinder", "--overwrite"]);
    assert!(folder.text("cylinder").contains("house"));
}

/// What parts the columns is found out, and with it whether a comma is a decimal sign.
#[test]
fn other_separators_give_the_same_form() {
    let folder = Folder::new();
    let plain = tables::cylinder();
    folder.project("plain", &plain);
    let semicolons = plain.replace(',', ";");
    for (name, table) in [
        ("decimal-commas", semicolons.replace('.', ",")),
        ("tabs", plain.replace(',', "\t")),
        ("semicolons", semicolons),
    ] {
        folder.project(name, &table);
        assert_eq!(folder.measured(name, &[0.0]), folder.measured("plain", &[0.0]), "{name}");
    }
}

/// Comments, blank lines, line ends of another system and a byte order mark are no fault.
#[test]
fn harmless_habits_of_spreadsheets_are_taken() {
    let folder = Folder::new();
    let mut table = format!("\u{feff}# a cowl\r\n{}", tables::cylinder().replace('\n', "\r\n"));
    table.push_str("\r\n# the end\r\n");
    folder.project("harmless", &table);
    folder.project("plain", &tables::cylinder());
    assert_eq!(folder.measured("harmless", &[0.0]), folder.measured("plain", &[0.0]));
}
