//! A folder that vanishes, and the program run in it.

use serde_json::Value;
use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use tempfile::TempDir;

/// What the program did.
#[derive(Debug)]
pub(crate) struct Outcome {
    pub(crate) code: i32,
    pub(crate) out: String,
    pub(crate) err: String,
}

impl Outcome {
    /// Its answer as JSON.
    pub(crate) fn json(&self) -> Value {
        serde_json::from_str(&self.out).unwrap_or_else(|e| panic!("{e} in {}", self.out))
    }
}

pub(crate) struct Folder(TempDir);

impl Folder {
    pub(crate) fn new() -> Self {
        Self(tempfile::tempdir().unwrap())
    }

    /// A folder with the demo in `demo/`.
    pub(crate) fn with_demo() -> Self {
        let folder = Self::new();
        copy_all(&demo(), &folder.path("demo"));
        folder
    }

    pub(crate) fn path(&self, name: &str) -> PathBuf {
        self.0.path().join(name)
    }

    pub(crate) fn write(&self, name: &str, text: &str) {
        fs::write(self.path(name), text).unwrap();
    }

    pub(crate) fn read(&self, name: &str) -> Vec<u8> {
        fs::read(self.path(name)).unwrap()
    }

    pub(crate) fn text(&self, name: &str) -> String {
        String::from_utf8(self.read(name)).unwrap()
    }

    /// The demo's project file in this folder.
    pub(crate) fn demo_file(&self) -> PathBuf {
        project_file(&self.path("demo"))
    }

    /// The program here, without display and with settings of its own.
    pub(crate) fn command(&self, arguments: &[&str]) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_plugwright"));
        command.args(arguments).current_dir(self.0.path()).stdin(Stdio::null());
        for display in ["DISPLAY", "WAYLAND_DISPLAY", "WAYLAND_SOCKET"] {
            command.env_remove(display);
        }
        for home in ["HOME", "XDG_DATA_HOME", "XDG_CONFIG_HOME", "XDG_STATE_HOME", "XDG_CACHE_HOME"] {
            command.env(home, self.0.path().join(".settings"));
        }
        command
    }

    /// Runs the program; whatever it does, it does not panic and ends by itself.
    pub(crate) fn run(&self, arguments: &[&str]) -> Outcome {
        outcome(&mut self.command(arguments))
    }

    /// Runs it and expects exit code 0 and nothing to complain of.
    pub(crate) fn fine(&self, arguments: &[&str]) -> Outcome {
        let outcome = self.run(arguments);
        assert_eq!((outcome.code, outcome.err.as_str()), (0, ""), "{arguments:?}: {}", outcome.out);
        outcome
    }

    /// Runs it and expects exit code 2, a message, no answer, and every file here as it was. Gives the message.
    pub(crate) fn refused(&self, arguments: &[&str]) -> String {
        let before = everything(self.0.path());
        let outcome = self.run(arguments);
        assert_eq!(outcome.code, 2, "{arguments:?}: {}{}", outcome.out, outcome.err);
        assert!(!outcome.err.trim().is_empty(), "{arguments:?} is refused without a word");
        assert_eq!(outcome.out, "", "{arguments:?} answers although it is refused");
        assert!(before == everything(self.0.path()), "{arguments:?} is refused and yet changes files");
        outcome.err
    }

    /// A project made from the text of a table.
    pub(crate) fn project(&self, name: &str, table: &str) {
        let file = format!("{name}.csv");
        self.write(&file, table);
        self.fine(&["from-offsets", &file, "--to", name]);
    }

    /// Changes a project here by an edit.
    pub(crate) fn edit(&self, project: &str, edit: &project::edit::Edit) {
        let file = desk::files::find_project(&self.path(project)).unwrap();
        let document = desk::files::open(&file).unwrap().document;
        let edited = edit.apply(&document).unwrap();
        fs::write(file, project::file::to_file(&edited).unwrap().text).unwrap();
    }

    /// `measure --json` of a project at these stations (of the project, if none).
    pub(crate) fn measured(&self, project: &str, at: &[f64]) -> Value {
        let at: Vec<String> = at.iter().map(f64::to_string).collect();
        let mut arguments = vec!["measure", project, "--json"];
        at.iter().for_each(|x| arguments.extend(["--at", x]));
        self.fine(&arguments).json()
    }
}

pub(crate) fn outcome(command: &mut Command) -> Outcome {
    let output = command.output().unwrap();
    let outcome = Outcome {
        code: output.status.code().expect("it ends by itself"),
        out: String::from_utf8(output.stdout).unwrap(),
        err: String::from_utf8(output.stderr).unwrap(),
    };
    for sign in ["panicked", "RUST_BACKTRACE"] {
        assert!(!outcome.err.contains(sign), "{}", outcome.err);
    }
    outcome
}

/// A number of a JSON answer.
pub(crate) fn number(value: &Value) -> f64 {
    value.as_f64().unwrap_or_else(|| panic!("{value} is no number"))
}

/// The points of a JSON answer.
pub(crate) fn points(value: &Value) -> Vec<[f64; 2]> {
    value.as_array().unwrap().iter().map(|p| [number(&p[0]), number(&p[1])]).collect()
}

/// Within a share of the wanted value.
pub(crate) fn close(is: f64, want: f64, share: f64) {
    assert!((is - want).abs() <= share * want.abs(), "{is} is not {want} within {share}");
}

/// Every file under a folder with its bytes; folders have none.
pub(crate) fn everything(folder: &Path) -> BTreeMap<PathBuf, Option<Vec<u8>>> {
    let mut all = BTreeMap::new();
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            all.append(&mut everything(&path));
            all.insert(path, None);
        } else {
            let bytes = fs::read(&path).unwrap();
            all.insert(path, Some(bytes));
        }
    }
    all
}

pub(crate) fn copy_all(from: &Path, to: &Path) {
    fs::create_dir_all(to).unwrap();
    for entry in fs::read_dir(from).unwrap() {
        let path = entry.unwrap().path();
        let target = to.join(path.file_name().unwrap());
        if path.is_dir() {
            copy_all(&path, &target);
        } else {
            fs::copy(&path, &target).unwrap();
        }
    }
}

fn demo() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-projects/ostrel")
}

fn project_file(folder: &Path) -> PathBuf {
    let mut files = fs::read_dir(folder).unwrap().map(|e| e.unwrap().path());
    files.find(|p| p.to_string_lossy().ends_with(".plug.ron")).unwrap()
}
