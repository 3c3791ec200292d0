//! A picture with what the camera wrote beside it.
#![no_main]

use libfuzzer_sys::fuzz_target;

/// Larger pictures are the decoder's own time, which other people test.
const MOST: u64 = 1_000_000;

fuzz_target!(|bytes: &[u8]| {
    let _ = project::file::picture_kind(bytes);
    if let Ok(shot) = photo::shot(bytes) {
        let _ = (shot.trim(), shot.focal_start());
    }
    let small = photo::size(bytes).is_ok_and(|[width, height]| u64::from(width) * u64::from(height) <= MOST);
    if small && let Ok(decoded) = photo::decode(bytes) {
        let _ = decoded.reduced(64);
    }
});
