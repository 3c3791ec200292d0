//! The binary: commands, and the window when none is given.

mod arguments;
mod commands;
mod failure;
mod without_window;

use arguments::{Arguments, Command};
use clap::Parser;
use failure::Failure;
use std::process::ExitCode;

fn main() -> ExitCode {
    let arguments = Arguments::parse();
    let outcome = match arguments.command {
        Some(command) => run(command),
        None => open_window(arguments.project),
    };
    match outcome {
        Ok(_) if !commands::all_said() => {
            commands::complain("The answer could not be written: standard output is full or closed.");
            ExitCode::from(2)
        }
        Ok(code) => code,
        Err(failure) => {
            commands::complain(&failure.to_string());
            ExitCode::from(2)
        }
    }
}

fn run(command: Command) -> Result<ExitCode, Failure> {
    match command {
        Command::Measure(a) => commands::measure::run(&a),
        Command::Check(a) => commands::check::run(&a),
        Command::Offsets(a) => commands::offsets::run(&a),
        Command::FromOffsets(a) => commands::from_offsets::run(&a),
        Command::Sheets(a) => commands::sheets::run(&a),
        Command::Stack(a) => commands::stack::run(&a),
        Command::Mesh(a) => commands::mesh::run(&a),
        Command::Picture(a) => commands::picture::run(&a),
        Command::Book(a) => commands::book::run(&a),
        Command::Cut(a) => commands::cut::run(&a),
        Command::Camera(a) => commands::camera::run(&a),
        Command::Mass(a) => commands::mass::run(&a),
        Command::Release(a) => commands::release::run(&a),
        Command::Solve(a) => commands::solve::run(&a),
        Command::Cloth(a) => commands::cloth::run(&a),
    }
}

/// Opens the editor. Without a display, the demo's full output is written instead; a project that was named is only
/// reported, as nothing was asked to be done with it.
fn open_window(project: Option<std::path::PathBuf>) -> Result<ExitCode, Failure> {
    if let Some(path) = project.as_ref().filter(|path| !path.exists()) {
        return Err(Failure::NoSuchProject(path.display().to_string()));
    }
    let named = project.is_some();
    match editor::run(editor::Start { project }) {
        Ok(()) => Ok(ExitCode::SUCCESS),
        Err(editor::WindowError::NoDisplay(_)) if !named => without_window::write_demo(),
        Err(e) => Err(Failure::Window(e.to_string())),
    }
}
