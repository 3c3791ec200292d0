//! No command destroys what it was given, or what happens to have the name it was told.

use crate::folder::Folder;

#[test]
fn no_output_is_written_over_a_project() {
    let folder = Folder::with_demo();
    let project = folder.demo_file();
    let before = std::fs::read(&project).unwrap();
    let name = project.to_str().unwrap();
    for arguments in [
        vec!["offsets", name, "--to", name],
        vec!["sheets", name, "--to", name],
        vec!["picture", name, "--view", "side", "--to", name],
    ] {
        let out = folder.run(&arguments);
        assert_eq!(out.code, 2, "{arguments:?}");
        assert_eq!(std::fs::read(&project).unwrap(), before, "{arguments:?}");
    }
}

#[test]
fn a_table_is_not_written_over_by_its_own_project() {
    let folder = Folder::with_demo();
    let table = folder.path("t.csv");
    let name = table.to_str().unwrap();
    assert_eq!(folder.run(&["offsets", folder.demo_file().to_str().unwrap(), "--to", name]).code, 0);
    let before = std::fs::read(&table).unwrap();
    assert_eq!(folder.run(&["from-offsets", name, "--to", name, "--overwrite"]).code, 2);
    assert_eq!(std::fs::read(&table).unwrap(), before);
}

#[cfg(unix)]
#[test]
fn a_link_stays_a_link_and_a_device_is_left_alone() {
    let folder = Folder::with_demo();
    let (target, link) = (folder.path("real.csv"), folder.path("link.csv"));
    std::fs::write(&target, "station_mm,half_breadth_mm,height_mm\n0.000000,1.000000,2.000000\n").unwrap();
    std::os::unix::fs::symlink(&target, &link).unwrap();
    let project = folder.demo_file();
    let name = project.to_str().unwrap();
    assert_eq!(folder.run(&["offsets", name, "--to", link.to_str().unwrap()]).code, 0);
    assert!(std::fs::symlink_metadata(&link).unwrap().file_type().is_symlink());
    let written = std::fs::read_to_string(&target).unwrap();
    assert!(written.starts_with("station_mm,") && written.lines().count() > 100, "{written}");
    let out = folder.run(&["offsets", name, "--to", folder.path(".").to_str().unwrap()]);
    assert_eq!(out.code, 2);
}

/// A command, the name of what it writes, and something else that may lie there under that name.
const WRITERS: [(&str, &[&str], &str); 6] = [
    ("offsets", &[], "t.csv"),
    ("sheets", &[], "t.pdf"),
    ("book", &[], "b.pdf"),
    ("mesh", &[], "m.stl"),
    ("mesh", &[], "m.3mf"),
    ("picture", &["--view", "side"], "p.png"),
];

#[test]
fn what_a_command_writes_takes_the_place_of_its_own_and_of_nothing_else() {
    let folder = Folder::with_demo();
    let project = folder.demo_file();
    let photograph = std::fs::read_dir(project.with_file_name("pictures")).unwrap().next().unwrap().unwrap().path();
    let photograph = image_as_png(&photograph);
    let strangers: [&[u8]; 5] = [
        b"Dear",
        b"station_mm,half_breadth_mm,height_mm\n0,1,2\n",
        b"%PDF-1.7\nof somebody",
        b"solid of somebody",
        &photograph,
    ];
    for (command, more, file) in WRITERS {
        let to = folder.path(file);
        let mut arguments = vec![command, project.to_str().unwrap()];
        arguments.extend(more);
        arguments.extend(["--to", to.to_str().unwrap()]);
        for stranger in strangers {
            std::fs::write(&to, stranger).unwrap();
            let out = folder.run(&arguments);
            assert_eq!(out.code, 2, "{arguments:?}");
            assert!(out.err.contains(file) && out.err.contains("another name"), "{arguments:?}: {}", out.err);
            assert_eq!(std::fs::read(&to).unwrap(), stranger, "{arguments:?}");
        }
        std::fs::remove_file(&to).unwrap();
        assert_eq!(folder.run(&arguments).code, 0, "{arguments:?}");
        // Its own, of another project: written anew.
        assert_eq!(folder.run(&arguments).code, 0, "{arguments:?}");
    }
}

/// A picture as a builder's program would write it.
fn image_as_png(path: &std::path::Path) -> Vec<u8> {
    let mut out = std::io::Cursor::new(Vec::new());
    image::open(path).unwrap().thumbnail(64, 64).write_to(&mut out, image::ImageFormat::Png).unwrap();
    out.into_inner()
}

#[test]
fn sheets_to_cut_are_all_written_or_none() {
    let folder = Folder::with_demo();
    let project = folder.demo_file();
    let to = folder.path("cut");
    let arguments = ["cut", project.to_str().unwrap(), "--to", to.to_str().unwrap()];
    assert_eq!(folder.run(&arguments).code, 0);
    let files = || {
        let mut all: Vec<_> = std::fs::read_dir(&to).unwrap().map(|e| e.unwrap().path()).collect();
        all.sort();
        all
    };
    let all = files();
    let last = all.last().unwrap();
    for file in &all[..all.len() - 1] {
        std::fs::remove_file(file).unwrap();
    }
    std::fs::write(last, "<svg>by hand</svg>").unwrap();
    let out = folder.run(&arguments);
    assert_eq!(out.code, 2);
    assert!(out.err.contains(last.to_str().unwrap()), "{}", out.err);
    assert_eq!(std::fs::read_to_string(last).unwrap(), "<svg>by hand</svg>");
    assert_eq!(files(), [last.as_path()]);
}
