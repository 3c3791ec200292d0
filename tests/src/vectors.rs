//! Reference values, made by independent numeric programs; each file says how.

use serde_json::Value;

/// The file of that name in `vectors/`.
///
/// # Panics
/// If the file is missing or is not JSON: the tests cannot run without it.
pub fn load(name: &str) -> Value {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("vectors").join(name);
    let text = std::fs::read_to_string(&path).unwrap_or_else(|e| panic!("{}: {e}", path.display()));
    serde_json::from_str(&text).unwrap_or_else(|e| panic!("{}: {e}", path.display()))
}

/// A number.
///
/// # Panics
/// If it is none.
pub fn number(v: &Value) -> f64 {
    v.as_f64().unwrap_or_else(|| panic!("{v} is not a number"))
}

/// A list of numbers.
pub fn numbers(v: &Value) -> Vec<f64> {
    list(v).iter().map(number).collect()
}

/// A list.
///
/// # Panics
/// If it is none.
pub fn list(v: &Value) -> &[Value] {
    v.as_array().unwrap_or_else(|| panic!("{v} is not a list"))
}
