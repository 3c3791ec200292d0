//! A value within a range in version 1: least, likely and greatest.

use crate::file::checked::Number;
use crate::span::Span as Document;

pub(super) type Span = (Number, Number, Number);

pub(super) fn document((low, likely, high): Span) -> Document {
    Document { low: low.0, likely: likely.0, high: high.0 }
}

pub(super) fn file(span: Document) -> Span {
    let [low, likely, high] = span.ends().map(Number);
    (low, likely, high)
}
