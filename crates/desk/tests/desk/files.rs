//! The file door.

use std::fs;
use std::io;
use std::path::Path;

use desk::files::{self, ENDING, find_project, with_ending, write_whole};
use desk::{Desk, FileFailure, Overwrite, StateFolder, recent_projects};
use project::edit::Edit;
use tempfile::{TempDir, tempdir};

use crate::{a_form, a_picture};

fn drawn() -> Desk {
    let mut desk = Desk::new();
    desk.apply(&a_form()).unwrap();
    desk.apply(&a_picture("Side", b"side")).unwrap();
    desk.apply(&a_picture("Front", b"front")).unwrap();
    desk
}

/// A folder with a saved project.
fn saved() -> (TempDir, std::path::PathBuf, Desk) {
    let folder = tempdir().unwrap();
    let path = folder.path().join("cowl.plug.ron");
    let mut desk = drawn();
    desk.save_as(&path, Overwrite::Refuse).unwrap();
    (folder, path, desk)
}

fn rename(name: &str) -> Edit {
    Edit::SetName(name.into())
}

#[test]
fn a_project_opens_as_it_was_saved_pictures_and_all() {
    let (folder, path, desk) = saved();
    assert!(!desk.is_changed());
    assert_eq!(desk.path(), Some(&*path));
    let mut again = Desk::new();
    again.open(&path).unwrap();
    assert_eq!(again.document(), desk.document());
    assert_eq!(again.problems(), []);
    // Project, pictures folder and nothing else: no temporary file is left.
    let mut names: Vec<_> = fs::read_dir(folder.path()).unwrap().map(|entry| entry.unwrap().file_name()).collect();
    names.sort();
    assert_eq!(names, ["cowl.plug.ron", "pictures"]);
}

#[test]
fn a_moved_project_opens() {
    let (folder, _, desk) = saved();
    let elsewhere = tempdir().unwrap();
    let moved = elsewhere.path().join("mailed to a friend");
    fs::rename(folder.path(), &moved).unwrap();
    let mut again = Desk::new();
    again.open(&moved).unwrap();
    assert_eq!(again.document(), desk.document());
}

#[test]
fn saving_elsewhere_takes_the_pictures_along() {
    let (_folder, _, mut desk) = saved();
    let elsewhere = tempdir().unwrap();
    let path = elsewhere.path().join("copy.plug.ron");
    desk.save_as(&path, Overwrite::Refuse).unwrap();
    assert_eq!(files::open(&path).unwrap().document, **desk.document());
}

#[test]
fn a_missing_picture_is_told_and_its_place_survives_a_save() {
    let (folder, path, desk) = saved();
    let file = folder.path().join(&desk.document().pictures[0].file);
    let aside = folder.path().join("aside.png");
    fs::rename(&file, &aside).unwrap();
    let mut again = Desk::new();
    again.open(&path).unwrap();
    assert_eq!(again.problems().len(), 1);
    again.apply(&rename("Renamed")).unwrap();
    again.save().unwrap();
    fs::rename(&aside, &file).unwrap();
    again.open(&path).unwrap();
    assert_eq!(again.problems(), []);
    assert_eq!(again.document().pictures, desk.document().pictures);
    assert_eq!(again.document().name, "Renamed");
}

#[test]
fn a_file_that_somebody_else_changed_is_not_overwritten_unasked() {
    let (_folder, path, mut desk) = saved();
    let other = fs::read_to_string(&path).unwrap().replace("Untitled", "Theirs");
    fs::write(&path, &other).unwrap();
    desk.apply(&rename("Mine")).unwrap();
    let failure = desk.save().unwrap_err();
    assert!(matches!(failure, FileFailure::ChangedOnDisk { .. }) && failure.may_overwrite(), "{failure}");
    assert_eq!(fs::read_to_string(&path).unwrap(), other);
    assert!(desk.is_changed());
    desk.save_as(&path, Overwrite::OnPurpose).unwrap();
    assert!(fs::read_to_string(&path).unwrap().contains("Mine"));
    desk.apply(&rename("Mine again")).unwrap();
    desk.save().unwrap();
}

#[test]
fn another_file_of_that_name_is_not_overwritten_unasked() {
    let folder = tempdir().unwrap();
    let path = folder.path().join("letter.ron");
    fs::write(&path, "Dear").unwrap();
    let failure = drawn().save_as(&path, Overwrite::Refuse).unwrap_err();
    assert!(matches!(failure, FileFailure::Exists { .. }) && failure.may_overwrite());
    assert_eq!(fs::read_to_string(&path).unwrap(), "Dear");
}

#[test]
fn a_project_file_that_vanished_is_written_again() {
    let (_folder, path, mut desk) = saved();
    fs::remove_file(&path).unwrap();
    desk.apply(&rename("Back")).unwrap();
    desk.save().unwrap();
    assert!(path.is_file());
}

#[test]
fn a_folder_that_cannot_be_written_to_is_told_and_nothing_is_lost() {
    let folder = tempdir().unwrap();
    let file = folder.path().join("file");
    fs::write(&file, "x").unwrap();
    let mut desk = drawn();
    let before = desk.document().clone();
    for path in [file.join("cowl.plug.ron"), folder.path().join("nowhere/else/cowl.plug.ron"), folder.path().to_owned()]
    {
        let failure = desk.save_as(&path, Overwrite::Refuse).unwrap_err();
        assert!(matches!(failure, FileFailure::Unwritable { .. }), "{failure:?}");
        assert!(failure.to_string().contains("Nothing was written"), "{failure}");
    }
    assert!(desk.is_changed() && desk.path().is_none());
    assert_eq!(desk.document(), &before);
    assert!(matches!(desk.save(), Err(FileFailure::NoPath)));
}

#[test]
fn a_save_that_fails_leaves_the_old_project_whole() {
    let (folder, path, mut desk) = saved();
    let old = fs::read_to_string(&path).unwrap();
    desk.apply(&a_picture("Top", b"top")).unwrap();
    let in_the_way = folder.path().join(&desk.document().pictures[2].file);
    fs::write(&in_the_way, "something else").unwrap();
    let failure = desk.save().unwrap_err();
    assert!(matches!(failure, FileFailure::PictureInTheWay { .. }), "{failure}");
    assert_eq!(fs::read_to_string(&path).unwrap(), old);
    assert_eq!(fs::read_to_string(&in_the_way).unwrap(), "something else");
    fs::remove_file(in_the_way).unwrap();
    desk.save().unwrap();
}

#[test]
fn a_broken_project_leaves_the_desk_as_it_is() {
    let (_folder, path, desk) = saved();
    let text = fs::read_to_string(&path).unwrap();
    let broken = text.replacen("x: 120.0", "x: NaN", 1);
    fs::write(&path, &broken).unwrap();
    let mut other = drawn();
    let before = other.document().clone();
    let failure = other.open(&path).unwrap_err().to_string();
    let line = text[..text.find("x: 120.0").unwrap()].lines().count();
    assert!(failure.contains("cowl.plug.ron") && failure.contains(&format!("Line {line}")), "{failure}");
    assert_eq!(other.document(), &before);
    assert_eq!(fs::read_to_string(&path).unwrap(), broken);
    assert!(desk.path().is_some());
}

#[test]
fn what_cannot_be_a_project_is_refused_in_words() {
    let folder = tempdir().unwrap();
    let open = |path: &Path| files::open(path).unwrap_err();
    assert!(matches!(open(&folder.path().join("none.plug.ron")), FileFailure::Missing { .. }));
    assert!(matches!(open(folder.path()), FileFailure::NoProject { .. }));
    let binary = folder.path().join("binary.plug.ron");
    fs::write(&binary, [0xff, 0xfe, 0x00]).unwrap();
    assert!(open(&binary).to_string().contains("not text in UTF-8"));
    #[cfg(unix)]
    {
        // Not even begun to be read: another device would never give the first byte.
        let device = open(Path::new("/dev/zero"));
        assert!(
            matches!(device, FileFailure::Unreadable { .. }) && device.to_string().contains("not a file"),
            "{device}"
        );
    }
}

#[test]
fn a_folder_means_its_only_project() {
    let folder = tempdir().unwrap();
    for name in ["b.plug.ron", "other.ron", ".hidden.plug.ron", "notes.txt"] {
        fs::write(folder.path().join(name), "").unwrap();
    }
    assert_eq!(find_project(folder.path()).unwrap(), folder.path().join("b.plug.ron"));
    fs::write(folder.path().join("a.plug.ron"), "").unwrap();
    let failure = find_project(folder.path()).unwrap_err();
    assert!(failure.to_string().contains("a.plug.ron, b.plug.ron"), "{failure}");
}

#[test]
fn names_get_the_ending_of_a_project() {
    assert_eq!(with_ending(Path::new("a/cowl")), Path::new("a").join(format!("cowl{ENDING}")));
    assert_eq!(with_ending(Path::new("cowl 1.5")), Path::new("cowl 1.5.plug.ron"));
    assert_eq!(with_ending(Path::new("cowl.plug.ron")), Path::new("cowl.plug.ron"));
    assert_eq!(with_ending(Path::new("cowl.ron")), Path::new("cowl.ron"));
}

#[test]
fn hints_tell_what_to_do() {
    let folder = tempdir().unwrap();
    let failure = write_whole(&folder.path().join("no/such/file"), b"x").unwrap_err();
    assert!(failure.to_string().contains("Its folder is not there"), "{failure}");
    let FileFailure::Unwritable { cause, .. } = failure else { panic!("another failure") };
    assert_eq!(cause.kind(), io::ErrorKind::NotFound);
}

#[test]
fn the_projects_opened_last_are_remembered() {
    let state = tempdir().unwrap();
    let state = StateFolder::at(state.path().join("made when needed"));
    let (_one, first, _) = saved();
    let (two, second, _) = saved();
    let mut desk = Desk::keeping(state.clone());
    assert_eq!(recent_projects(&state), Vec::<std::path::PathBuf>::new());
    desk.open(&first).unwrap();
    desk.open(&second).unwrap();
    desk.open(&first).unwrap();
    assert_eq!(recent_projects(&state), [first.clone(), second.clone()]);
    drop(two);
    assert_eq!(recent_projects(&state), [first]);
}
