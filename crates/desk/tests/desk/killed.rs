//! A program that is killed while it saves leaves the project of before or the one of after, whole, and its pictures with it.

#![allow(clippy::print_stdout, reason = "so the two processes speak")]

use std::env;
use std::io::{BufRead, BufReader};
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::thread::sleep;
use std::time::Duration;

use desk::{Desk, Overwrite, files};
use project::edit::Edit;
use tempfile::tempdir;

use crate::{a_form, a_picture};

/// How often the saving program is killed.
const KILLS: u64 = 500;
/// Names the project to the process that saves it.
const PROJECT: &str = "PLUGWRIGHT_TEST_SAVED";

/// Every save gives the project another name and the same number as a station, so that a mixture of two would tell itself.
fn number(desk: &mut Desk, number: u32) {
    desk.apply(&Edit::SetName(format!("Save {number}"))).unwrap();
    desk.apply(&Edit::SetStations { form: 0, stations: (0..=400).map(|n| f64::from(n) + f64::from(number)).collect() })
        .unwrap();
}

/// The process that is killed: it saves without end, a new picture now and then.
#[test]
#[ignore = "only as the other process of the test below"]
fn saves_without_end() {
    let Ok(path) = env::var(PROJECT) else { return };
    let mut desk = Desk::new();
    desk.open(Path::new(&path)).unwrap();
    let begun: u32 = desk.document().name.rsplit(' ').next().unwrap().parse().unwrap();
    for n in begun + 1.. {
        number(&mut desk, n);
        if n % 16 == 0 {
            desk.apply(&a_picture(&format!("Picture {n}"), &n.to_le_bytes().repeat(20_000))).unwrap();
        }
        if desk.document().pictures.len() > 20 {
            desk.apply(&Edit::RemovePicture { picture: 0 }).unwrap();
        }
        desk.save().unwrap();
        println!("{n}");
    }
}

/// Kills it after that time from its first save on.
fn killed_after(path: &Path, wait: Duration) {
    let mut saver = Command::new(env::current_exe().unwrap())
        .args(["--exact", "killed::saves_without_end", "--ignored", "--nocapture"])
        .env(PROJECT, path)
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .unwrap();
    let mut lines = BufReader::new(saver.stdout.take().unwrap()).lines();
    let saved = lines.by_ref().map_while(Result::ok).any(|line| line.trim().parse::<u32>().is_ok());
    assert!(saved, "nothing was saved");
    sleep(wait);
    saver.kill().unwrap();
    saver.wait().unwrap();
}

/// What lies there opens without any problem, and is one save and not two.
fn whole(path: &Path) -> u32 {
    let opened = files::open(path).unwrap();
    assert_eq!(opened.problems, []);
    let name = &opened.document.name;
    let number: u32 = name.strip_prefix("Save ").unwrap().parse().unwrap();
    assert_eq!(opened.document.forms[0].stations[0], f64::from(number), "{name}");
    assert!(opened.document.pictures.iter().all(|picture| !picture.bytes.is_empty()));
    number
}

fn begun(folder: &Path) -> PathBuf {
    let path = folder.join("cowl.plug.ron");
    let mut desk = Desk::new();
    desk.apply(&a_form()).unwrap();
    number(&mut desk, 0);
    desk.save_as(&path, Overwrite::Refuse).unwrap();
    path
}

#[test]
fn the_project_is_whole_however_often_its_saving_is_killed() {
    let folder = tempdir().unwrap();
    let path = begun(folder.path());
    let mut last = 0;
    for kill in 0..KILLS {
        // Spread over some saves, by a step that has nothing in common with their time.
        killed_after(&path, Duration::from_micros(kill * 7919 % 6000));
        let number = whole(&path);
        assert!(number > last, "what was saved is lost: {number} after {last}");
        last = number;
    }
}
