//! A table of offsets: refused with a message, or a project that keeps its promises, can be written, and is looked at.
#![no_main]

use desk::output::form_from_offsets;
use libfuzzer_sys::fuzz_target;

fuzz_target!(|text: &str| {
    let Ok(document) = form_from_offsets(text, "Read") else { return };
    project::file::to_file(&document).expect("a table that is accepted makes a project that can be written");
    let lofted = form::loft(&document.forms[0]);
    let _ = desk::output::document_offsets(&document, 0, &lofted);
});
