//! Whether the shell comes off.
