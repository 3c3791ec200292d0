//! All that a front end may call: document, history, remembered results, background work, the file door.
