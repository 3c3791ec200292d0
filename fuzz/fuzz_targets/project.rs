//! A project file.
#![no_main]

#[path = "../../tests/tests/hostile/mod.rs"]
#[allow(dead_code, reason = "each target needs one of them")]
mod hostile;

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    let _ = hostile::project(bytes);
});
