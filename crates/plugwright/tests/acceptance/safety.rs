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
    std::fs::write(&target, "old").unwrap();
    std::os::unix::fs::symlink(&target, &link).unwrap();
    let project = folder.demo_file();
    let name = project.to_str().unwrap();
    assert_eq!(folder.run(&["offsets", name, "--to", link.to_str().unwrap()]).code, 0);
    assert!(std::fs::symlink_metadata(&link).unwrap().file_type().is_symlink());
    assert!(std::fs::read_to_string(&target).unwrap().starts_with("station_mm,"));
    let out = folder.run(&["offsets", name, "--to", folder.path(".").to_str().unwrap()]);
    assert_eq!(out.code, 2);
}
