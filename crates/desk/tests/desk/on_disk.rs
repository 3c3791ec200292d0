//! What lies beside a project is not ours alone: other programs, other windows and protected files.

use std::fs;
use std::path::{Path, PathBuf};
use std::thread::sleep;
use std::time::Duration;

use desk::{Desk, DiskNow, FileFailure, Overwrite, StateFolder, files, recoveries};
use project::edit::Edit;
use tempfile::{TempDir, tempdir};

use crate::{a_form, a_picture};

fn rename(name: &str) -> Edit {
    Edit::SetName(name.into())
}

/// A folder of state, and a project on a desk that keeps its unsaved work there.
fn opened() -> (TempDir, StateFolder, PathBuf, Desk) {
    let folder = tempdir().unwrap();
    let state = StateFolder::at(folder.path().join("state"));
    let path = folder.path().join("cowl").join("cowl.plug.ron");
    fs::create_dir(folder.path().join("cowl")).unwrap();
    let mut desk = Desk::keeping(state.clone());
    desk.apply(&a_form()).unwrap();
    desk.apply(&a_picture("Side", b"side")).unwrap();
    desk.save_as(&path, Overwrite::Refuse).unwrap();
    (folder, state, path, desk)
}

#[test]
fn a_second_window_on_a_project_says_so_and_neither_overwrites_the_other() {
    let (_folder, state, path, mut first) = opened();
    assert!(!first.is_open_elsewhere());
    let mut second = Desk::keeping(state);
    second.open(&path).unwrap();
    assert!(second.is_open_elsewhere());
    // Opening it once more in the same window is no second window.
    first.open(&path).unwrap();
    assert!(!first.is_open_elsewhere());

    first.apply(&rename("First")).unwrap();
    first.save().unwrap();
    assert!(matches!(second.disk_now(), DiskNow::Changed(Some(_))));
    second.apply(&rename("Second")).unwrap();
    assert!(matches!(second.save(), Err(FileFailure::ChangedOnDisk { .. })));
    assert_eq!(files::open(&path).unwrap().document.name, "First");
    // Saved elsewhere it is its own, and told of as such.
    second.save_as(&path.with_file_name("second.plug.ron"), Overwrite::Refuse).unwrap();
    assert!(!second.is_open_elsewhere());
    assert_eq!(files::open(&path).unwrap().document.name, "First");
}

#[test]
fn a_window_that_is_gone_stands_in_nobodys_way() {
    let (_folder, state, path, first) = opened();
    drop(first);
    // The lock's file is still there, as after a kill; nobody holds it.
    assert_eq!(fs::read_dir(state.path().join("open")).unwrap().count(), 1);
    let mut second = Desk::keeping(state);
    second.open(&path).unwrap();
    assert!(!second.is_open_elsewhere());
}

#[test]
fn what_happens_to_the_file_is_seen() {
    let (_folder, _, path, mut desk) = opened();
    assert_eq!(desk.disk_now(), DiskNow::AsKnown);
    let text = fs::read_to_string(&path).unwrap();
    fs::write(&path, text.replace("Untitled", "Theirs")).unwrap();
    assert!(matches!(desk.disk_now(), DiskNow::Changed(Some(_))));
    // To take what is there is to open it again.
    desk.open(&path).unwrap();
    assert_eq!((desk.document().name.as_str(), desk.disk_now()), ("Theirs", DiskNow::AsKnown));
    fs::remove_file(&path).unwrap();
    assert_eq!(desk.disk_now(), DiskNow::Gone);
    desk.save().unwrap();
    assert_eq!(desk.disk_now(), DiskNow::AsKnown);
    assert_eq!(Desk::new().disk_now(), DiskNow::AsKnown, "no file, nothing to lose");
}

#[test]
fn a_renamed_folder_is_told_and_nothing_is_lost() {
    let (folder, state, path, mut desk) = opened();
    let moved = folder.path().join("moved");
    fs::rename(path.parent().unwrap(), &moved).unwrap();
    assert_eq!(desk.disk_now(), DiskNow::Gone);
    desk.apply(&rename("Mine")).unwrap();
    let failure = desk.save().unwrap_err();
    assert!(failure.to_string().contains("Its folder is not there") && failure.helps_elsewhere(), "{failure}");
    assert!(desk.is_changed());
    let there = moved.join("mine.plug.ron");
    desk.save_as(&there, Overwrite::Refuse).unwrap();
    assert_eq!(files::open(&there).unwrap().document, **desk.document());
    drop(desk);
    assert!(recoveries(&state).is_empty());
}

#[test]
fn a_protected_file_stays_as_it_is_and_the_work_goes_elsewhere() {
    let (_folder, state, path, mut desk) = opened();
    let before = fs::read(&path).unwrap();
    let protect = |path: &Path, on: bool| {
        let mut rights = fs::metadata(path).unwrap().permissions();
        rights.set_readonly(on);
        fs::set_permissions(path, rights).unwrap();
    };
    protect(&path, true);
    desk.apply(&rename("Mine")).unwrap();
    for overwrite in [Overwrite::Refuse, Overwrite::OnPurpose] {
        let failure = desk.save_as(&path, overwrite).unwrap_err();
        assert!(failure.to_string().contains("cowl.plug.ron is protected") && failure.helps_elsewhere(), "{failure}");
    }
    assert_eq!(fs::read(&path).unwrap(), before);
    assert!(desk.is_changed());
    desk.save_as(&path.with_file_name("mine.plug.ron"), Overwrite::Refuse).unwrap();
    protect(&path, false);
    drop(desk);
    assert!(recoveries(&state).is_empty());
}

#[test]
fn pictures_that_are_moved_or_replaced_while_open_are_never_written_over() {
    let (folder, _, path, mut desk) = opened();
    let picture = path.with_file_name(&desk.document().pictures[0].file);
    let bytes = fs::read(&picture).unwrap();
    // Moved away: it is written again from what the window has.
    fs::rename(&picture, folder.path().join("aside.png")).unwrap();
    desk.apply(&rename("One")).unwrap();
    desk.save().unwrap();
    assert_eq!(fs::read(&picture).unwrap(), bytes);
    // Replaced: it stays, and so does the project.
    fs::write(&picture, "Dear builder").unwrap();
    desk.apply(&rename("Two")).unwrap();
    let failure = desk.save().unwrap_err();
    assert!(matches!(failure, FileFailure::PictureInTheWay { .. }) && failure.helps_elsewhere(), "{failure}");
    assert_eq!(fs::read_to_string(&picture).unwrap(), "Dear builder");
    let elsewhere = tempdir().unwrap();
    let there = elsewhere.path().join("two.plug.ron");
    desk.save_as(&there, Overwrite::Refuse).unwrap();
    assert_eq!(fs::read(there.with_file_name(&desk.document().pictures[0].file)).unwrap(), bytes);
}

#[test]
fn a_state_folder_that_cannot_be_written_has_a_spare() {
    let folder = tempdir().unwrap();
    let file = folder.path().join("file");
    fs::write(&file, "x").unwrap();
    let state = StateFolder::at(&file).with_spare(folder.path().join("spare"));
    let mut desk = Desk::keeping(state.clone());
    desk.apply(&a_form()).unwrap();
    desk.apply(&rename("Lost")).unwrap();
    assert!(!desk.is_open_elsewhere());
    let expected = desk.document().clone();
    drop(desk);
    let [found] = <[_; 1]>::try_from(recoveries(&state)).unwrap();
    let mut next = Desk::keeping(state.clone());
    next.recover(found).unwrap();
    assert_eq!(next.document(), &expected);
    next.close();
    assert!(recoveries(&state).is_empty());
}

#[test]
fn an_edit_under_way_is_kept_too_and_one_that_was_given_up_is_not() {
    let folder = tempdir().unwrap();
    let state = StateFolder::at(folder.path());
    let mut desk = Desk::keeping(state.clone());
    desk.preview(&rename("Under way")).unwrap();
    drop(desk);
    let found = recoveries(&state).remove(0);
    assert_eq!(found.open().unwrap().document.name, "Under way");
    found.discard();

    let mut desk = Desk::keeping(state.clone());
    desk.preview(&rename("Given up")).unwrap();
    desk.cancel_preview();
    drop(desk);
    assert!(recoveries(&state).is_empty());

    let mut desk = Desk::keeping(state.clone());
    desk.preview(&rename("There")).unwrap();
    desk.preview(&rename("Untitled")).unwrap();
    assert!(!desk.commit_preview());
    sleep(Duration::from_millis(20));
    drop(desk);
    assert!(recoveries(&state).is_empty());
}

#[test]
fn what_is_written_takes_the_place_of_nothing_but_its_like() {
    let folder = tempdir().unwrap();
    let path = folder.path().join("t.csv");
    let table = |z: f64| format!("{}\n0.000000,1.000000,{z:.6}\n", project::table::HEADER);
    files::export(&path, table(1.0).as_bytes()).unwrap();
    files::export(&path, table(2.0).as_bytes()).unwrap();
    assert_eq!(fs::read_to_string(&path).unwrap(), table(2.0));
    for other in ["Dear", "station_mm,half_breadth_mm,height_mm\n0,1,2\n", "%PDF-1.7 /Creator (Plugwright)"] {
        fs::write(&path, other).unwrap();
        let failure = files::export(&path, table(3.0).as_bytes()).unwrap_err();
        assert!(matches!(failure, FileFailure::NotOurs { .. }), "{failure}");
        assert!(failure.to_string().contains("t.csv") && failure.to_string().contains("another name"), "{failure}");
        assert_eq!(fs::read_to_string(&path).unwrap(), other);
    }
    // A project is told as what it is, whatever its name.
    let (_folder, _, project, _desk) = opened();
    let before = fs::read(&project).unwrap();
    fs::write(&path, &before).unwrap();
    for project in [&project, &path] {
        let failure = files::export(project, table(3.0).as_bytes()).unwrap_err();
        assert!(matches!(failure, FileFailure::ProjectInTheWay { .. }), "{failure}");
        assert!(failure.to_string().contains("is a project"), "{failure}");
        assert_eq!(fs::read(project).unwrap(), before);
    }
}
