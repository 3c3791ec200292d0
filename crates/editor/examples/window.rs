//! Opens the window on a project file, or on a new project.

fn main() -> Result<(), editor::WindowError> {
    let project = std::env::args_os().nth(1).map(Into::into);
    editor::run(editor::Start { project })
}
