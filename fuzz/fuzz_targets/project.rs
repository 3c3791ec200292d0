//! A project file: refused with a message, or read, written and read again as the same document.
#![no_main]

use libfuzzer_sys::fuzz_target;

fuzz_target!(|text: &str| {
    let Ok(opened) = project::file::from_file(text, &mut |_| Err("there is none".into())) else { return };
    let written = project::file::to_file(&opened.document).expect("what was read keeps the promises");
    let again = project::file::from_file(&written.text, &mut |_| Err("there is none".into()));
    assert_eq!(again.expect("what was written can be read").document, opened.document);
});
