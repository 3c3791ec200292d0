//! What holds of any bytes at all that are handed in, shared by ordinary tests and by those who look for such bytes.

use desk::output::form_from_offsets;

/// Larger pictures are the decoder's own time, which other people test.
const MOST: u64 = 1_000_000;

/// A table of offsets: refused with a message, or a project that keeps its promises, can be written, and is looked at. Whether it was taken.
pub(crate) fn offsets(bytes: &[u8]) -> bool {
    let Ok(text) = std::str::from_utf8(bytes) else { return false };
    let Ok(document) = form_from_offsets(text, "Read") else { return false };
    project::file::to_file(&document).expect("a table that is accepted makes a project that can be written");
    let lofted = form::loft(&document.forms[0]);
    let _ = desk::output::document_offsets(&document, 0, &lofted);
    true
}

/// A picture with what the camera wrote beside it; what can be decoded passes the check, too. Whether it could be decoded.
pub(crate) fn picture(bytes: &[u8]) -> bool {
    let _ = project::file::picture_kind(bytes);
    if let Ok(shot) = photo::shot(bytes) {
        let _ = (shot.trim(), shot.focal_start());
    }
    let small = photo::size(bytes).is_ok_and(|[width, height]| u64::from(width) * u64::from(height) <= MOST);
    let Some(decoded) = small.then(|| photo::decode(bytes).ok()).flatten() else { return false };
    let _ = decoded.reduced(64);
    assert_eq!(photo::check(bytes), Ok(()), "what can be decoded passes the check");
    true
}

/// A project file: refused with a message, or read, written and read again as the same document. Whether it was taken.
pub(crate) fn project(bytes: &[u8]) -> bool {
    let Ok(text) = std::str::from_utf8(bytes) else { return false };
    let Ok(opened) = project::file::from_file(text, &mut |_| Err("there is none".into())) else { return false };
    let written = project::file::to_file(&opened.document).expect("what was read keeps the promises");
    let again = project::file::from_file(&written.text, &mut |_| Err("there is none".into()));
    assert_eq!(again.expect("what was written can be read").document, opened.document);
    true
}
