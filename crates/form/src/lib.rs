//! From the document to the finished skin.
