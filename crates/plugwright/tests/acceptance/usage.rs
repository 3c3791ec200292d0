//! Help and slips of the pen.

use crate::folder::Folder;

#[test]
fn help_names_every_command() {
    let said = Folder::new().fine(&["--help"]).out;
    for command in ["measure", "check", "offsets", "from-offsets", "sheets", "mesh", "picture"] {
        assert!(said.contains(command), "{said}");
        let help = Folder::new().fine(&[command, "--help"]).out;
        assert!(help.contains("Usage"), "{help}");
    }
}

#[test]
fn slips_are_refused() {
    let folder = Folder::with_demo();
    for arguments in [
        &["measure"][..],
        &["measure", "demo", "--at"],
        &["measure", "demo", "--jason"],
        &["check", "demo", "demo"],
        &["offsets", "demo"],
        &["from-offsets", "--to", "out"],
        &["demo", "measure"],
        &["--wrong"],
    ] {
        folder.refused(arguments);
    }
}

/// A project on the command line is to be looked at; where nothing can be shown, nothing is written in its stead.
#[cfg(all(unix, not(target_os = "macos")))]
#[test]
fn a_project_without_a_display_is_refused() {
    let folder = Folder::with_demo();
    let said = folder.refused(&["demo"]);
    assert!(said.contains("display"), "{said}");
}
