//! The shell: order of the work, plies and resin, release, mass and balance.

mod balance;
mod laminate;
mod order;
mod release;

use super::composer::Composer;
use super::{BookFailure, Subject};
use crate::reckoned::Reckoned;
use crate::shell::Source;
use crate::shell::mass::Weighing;
use crate::shell::release::Releasing;
use project::laminate::Span;
use shell::release::Joint;
use std::sync::Arc;

/// What the chapters on the shell are about.
pub(super) struct ShellSubject {
    weighing: Weighing,
    /// Whether the shell comes off, or why that cannot be told.
    releasing: Result<Arc<Releasing>, String>,
    joints: Arc<Vec<Joint>>,
}

impl ShellSubject {
    /// Reckons what takes long of it, to be remembered; as far as it is `wanted`.
    pub(super) fn begin(source: &Source, known: &Reckoned, wanted: &dyn Fn() -> bool) {
        if source.document().shell.laminate.thickness().is_ok() {
            let mut go_on = |_: f32| wanted();
            // Whoever asks for them is told why there are none.
            let _ = known.release(source, &mut go_on);
            let _ = known.joints(source, &mut go_on);
        }
    }

    /// That of a document; `None` while no ply covers the whole shell.
    pub(super) fn of(
        source: &Source,
        known: &Reckoned,
        progress: &mut dyn FnMut(f32) -> bool,
    ) -> Result<Option<Self>, BookFailure> {
        if source.document().shell.laminate.thickness().is_err() {
            return Ok(None);
        }
        let planned = known.planned(source.document(), source.lofted())?;
        let weighing = known
            .weighing(source, planned.as_deref(), &mut |share| progress(0.3 * share))?
            .ok_or(BookFailure::Stopped)?;
        let releasing = match known.release(source, &mut |share| progress(0.3 + 0.3 * share)) {
            Ok(found) => Ok(found.ok_or(BookFailure::Stopped)?),
            Err(why) => Err(why.to_string()),
        };
        let joints = known.joints(source, &mut |share| progress(0.6 + 0.4 * share)).ok().flatten().unwrap_or_default();
        Ok(Some(Self { weighing, releasing, joints }))
    }
}

/// What is done first, before the pages on openings and added forms.
pub(super) fn order(c: &mut Composer, s: &Subject<'_>) {
    if let Some(shell) = &s.shell {
        order::set(c, s, shell);
    }
}

/// Plies, resin and what to buy.
pub(super) fn laminate(c: &mut Composer, s: &Subject<'_>) {
    if let Some(shell) = &s.shell {
        laminate::set(c, s, shell);
    }
}

/// How the shell comes off; mass and balance.
pub(super) fn release_and_balance(c: &mut Composer, s: &Subject<'_>) {
    if let Some(shell) = &s.shell {
        release::set(c, s, shell);
        balance::set(c, s, shell);
    }
}

/// "0.40 (0.31 to 0.53)", without a range where there is none.
pub(super) fn ranged(span: Span, digits: usize) -> String {
    let [low, likely, high] = span.ends().map(|v| super::signed(format!("{v:.digits$}")));
    if low == high { likely } else { format!("{likely} ({low} to {high})") }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_range_is_told_where_there_is_one() {
        assert_eq!(ranged(Span::new(-0.31, 0.4, 0.53), 2), "0.40 (−0.31 to 0.53)");
        assert_eq!(ranged(Span::exact(3.0), 1), "3.0");
    }
}
