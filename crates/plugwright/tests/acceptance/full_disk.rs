//! A disk that takes no more: every command says so and ends with 2, and what was there stays as it was.
//!
//! The limit on a file's size (`ulimit -f`, with its signal ignored) gives the error that a full disk gives, in the middle of a file and
//! without a disk of one's own.

use crate::folder::{Folder, Outcome};
use std::process::{Command, Stdio};

/// Runs the program where no file may grow beyond so many blocks of 512 bytes.
fn limited(folder: &Folder, blocks: u32, arguments: &[&str]) -> Outcome {
    let plain = folder.command(arguments);
    let mut command = Command::new("sh");
    command.arg("-c").arg(format!("trap '' XFSZ; ulimit -f {blocks}; exec \"$0\" \"$@\"")).arg(plain.get_program());
    command.args(plain.get_args()).current_dir(folder.path(".")).stdin(Stdio::null());
    for (name, value) in plain.get_envs() {
        match value {
            Some(value) => command.env(name, value),
            None => command.env_remove(name),
        };
    }
    crate::folder::outcome(&mut command)
}

/// What writes a file, and the file.
const WRITERS: [(&[&str], &str); 7] = [
    (&["offsets", "demo", "--to", "out.csv"], "out.csv"),
    (&["sheets", "demo", "--to", "out.pdf"], "out.pdf"),
    (&["book", "demo", "--to", "book.pdf"], "book.pdf"),
    (&["mesh", "demo", "--to", "out.stl"], "out.stl"),
    (&["mesh", "demo", "--to", "out.3mf"], "out.3mf"),
    (&["picture", "demo", "--view", "shaded", "--to", "out.png"], "out.png"),
    (&["from-offsets", "table.csv", "--to", "made.plug.ron", "--overwrite"], "made.plug.ron"),
];

#[test]
fn a_full_disk_is_told_and_what_was_there_stays() {
    let folder = Folder::with_demo();
    folder.fine(&["offsets", "demo", "--to", "table.csv"]);
    for (arguments, file) in WRITERS {
        // Of the same kind: anything else would not be written over with all the room there is.
        folder.fine(arguments);
        let before = folder.read(file);
        let outcome = limited(&folder, 4, arguments);
        assert_eq!((outcome.code, outcome.out.as_str()), (2, ""), "{arguments:?}: {}", outcome.err);
        assert!(outcome.err.contains(file) && outcome.err.contains("Nothing was written"), "{}", outcome.err);
        assert!(folder.read(file) == before, "{arguments:?}");
    }
    let left: Vec<String> =
        std::fs::read_dir(folder.path(".")).unwrap().map(|e| e.unwrap().file_name().into_string().unwrap()).collect();
    assert!(left.iter().all(|name| !name.contains("tmp")), "{left:?}");
    // The same commands with room.
    for (arguments, file) in WRITERS {
        std::fs::remove_file(folder.path(file)).unwrap();
        folder.fine(arguments);
        assert!(folder.read(file).len() > 4 * 512, "{file} would have fitted");
    }
}

#[test]
fn a_cutting_file_that_does_not_fit_is_told() {
    let folder = Folder::with_demo();
    let outcome = limited(&folder, 4, &["cut", "demo", "--to", "cut"]);
    assert_eq!(outcome.code, 2, "{}{}", outcome.out, outcome.err);
    assert!(outcome.err.contains("Nothing was written"), "{}", outcome.err);
}
