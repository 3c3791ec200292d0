//! What is found while a plug is planned belongs to the form as a whole, at a station.

use form::{Finding, Part, Severity};

/// A finding about the plug.
pub(crate) fn finding(severity: Severity, what: impl Into<String>, hint: impl Into<String>) -> Finding {
    Finding::new(severity, Part::Form, what, hint)
}
