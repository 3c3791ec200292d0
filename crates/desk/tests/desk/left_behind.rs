//! A program that is killed while somebody works in it leaves all of the work but that of the last seconds.

#![allow(clippy::print_stdout, reason = "so the two processes speak")]

use std::env;
use std::io::{BufRead, BufReader};
use std::path::Path;
use std::process::{Command, Stdio};
use std::sync::Arc;
use std::thread::{self, sleep};
use std::time::{Duration, Instant};

use desk::{Desk, StateFolder, recoveries};
use project::document::Document;
use project::edit::Edit;
use tempfile::tempdir;

use crate::{a_form, a_picture};

/// Names the state folder to the process that works.
const STATE: &str = "PLUGWRIGHT_TEST_WORKED";
/// As much as may be lost.
const MOST_LOST: Duration = Duration::from_secs(10);
/// How often a worker is killed, at the same time: only the waiting takes long.
const KILLS: u64 = 12;

/// The work: a point dragged a little further, every few milliseconds, and a step of it made now and then.
fn step(desk: &mut Desk, number: u32) {
    desk.preview(&stations(number)).unwrap();
    if number.is_multiple_of(16) {
        desk.commit_preview();
        desk.apply(&Edit::SetName(format!("Step {number}"))).unwrap();
    }
}

fn stations(number: u32) -> Edit {
    Edit::SetStations { form: 0, stations: (0..=40).map(|n| f64::from(n) + f64::from(number)).collect() }
}

fn begun(state: StateFolder) -> Desk {
    let mut desk = Desk::keeping(state);
    desk.apply(&a_form()).unwrap();
    desk.apply(&a_picture("Side", &[7; 200_000])).unwrap();
    desk
}

#[test]
#[ignore = "only as the other process of the test below"]
fn works_without_end() {
    let Ok(state) = env::var(STATE) else { return };
    let mut desk = begun(StateFolder::at(state));
    for number in 0.. {
        step(&mut desk, number);
        println!("{number}");
        sleep(Duration::from_millis(5));
    }
}

/// What was done, and when it was.
type Done = Vec<(Instant, u32)>;

/// Lets somebody work for a while, and kills it.
fn killed_after(state: &Path, wait: Duration) -> (Done, Instant) {
    let mut worker = Command::new(env::current_exe().unwrap())
        .args(["--exact", "left_behind::works_without_end", "--ignored", "--nocapture"])
        .env(STATE, state)
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .unwrap();
    let lines = BufReader::new(worker.stdout.take().unwrap()).lines();
    let heard = thread::spawn(move || {
        let numbers = lines.map_while(Result::ok).filter_map(|line| line.trim().parse().ok());
        numbers.map(|number| (Instant::now(), number)).collect::<Done>()
    });
    sleep(wait);
    worker.kill().unwrap();
    let killed = Instant::now();
    worker.wait().unwrap();
    (heard.join().unwrap(), killed)
}

/// The document after that many steps, or while the last of them is still being dragged.
fn after(number: u32, dragged: bool) -> Arc<Document> {
    let mut desk = begun(StateFolder::at(tempdir().unwrap().path()));
    (0..number).for_each(|n| step(&mut desk, n));
    if dragged {
        desk.preview(&stations(number)).unwrap();
    } else {
        step(&mut desk, number);
    }
    let document = desk.document().clone();
    desk.close();
    document
}

fn is_kept(kill: u64) {
    let folder = tempdir().unwrap();
    // Not in step with the writing, which comes every five seconds.
    let (done, killed) = killed_after(folder.path(), Duration::from_millis(12_000 + kill * 7919 % 5000));
    let state = StateFolder::at(folder.path());
    let found = recoveries(&state).into_iter().next().unwrap();
    let mut desk = Desk::keeping(state);
    desk.recover(found).unwrap();
    assert_eq!(desk.problems(), []);
    let number = desk.document().forms[0].stations[0] as u32;
    // It may have been written down in the middle of a step, between the drag and what follows it.
    let whole = [false, true].into_iter().any(|dragged| *desk.document() == after(number, dragged));
    assert!(whole, "a mixture: {} at step {number}", desk.document().name);
    let since = done.iter().find(|(_, n)| *n > number).map_or(Duration::ZERO, |(first, _)| killed - *first);
    assert!(since <= MOST_LOST, "{since:?} of work are lost: step {number} of {:?}", done.last());
    desk.close();
}

#[test]
fn a_program_killed_at_any_moment_loses_no_more_than_ten_seconds_of_work() {
    let kills: Vec<_> = (0..KILLS).map(|kill| thread::spawn(move || is_kept(kill))).collect();
    kills.into_iter().for_each(|kill| kill.join().unwrap());
}
