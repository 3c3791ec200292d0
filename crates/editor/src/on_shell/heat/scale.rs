//! From values to colours: quiet where nothing is amiss, warmer towards the limit, a colour of its own past it.

use crate::theme::Theme;
use desk::shell::cloth::heat_colour;
use egui::Color32;
use shell::cloth::WATCH;

/// What a map shows, with its limits.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Scale {
    /// Shear of cloth, degrees, by size; past the locking angle it folds.
    Shear {
        /// The locking angle.
        locking_deg: f64,
    },
    /// Draft, degrees; below 0 the plug is undercut.
    Draft {
        /// Below this it is tight.
        wanted_deg: f64,
    },
}

/// Draft from which nothing is said any more, degrees.
const AMPLE: f64 = 30.0;
/// How far the legend reaches below no draft, degrees.
const UNDER: f64 = 10.0;

/// A tick of a legend.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Tick {
    pub(crate) value: f64,
    pub(crate) label: String,
}

impl Scale {
    /// Share of the limit: from 1 on a value is past it.
    pub(crate) fn share(self, value: f64) -> f64 {
        match self {
            Self::Shear { locking_deg } => value.abs() / locking_deg.max(f64::MIN_POSITIVE),
            Self::Draft { .. } if value < 0.0 => 2.0,
            Self::Draft { wanted_deg } if value < wanted_deg => 1.0 - (1.0 - WATCH) * value / wanted_deg,
            Self::Draft { wanted_deg } => {
                let ample = (AMPLE - wanted_deg).max(1.0);
                0.5 * (1.0 - ((value - wanted_deg) / ample).min(1.0))
            }
        }
    }

    /// The colour of a value.
    pub(crate) fn colour(self, theme: &Theme, value: f64) -> Color32 {
        of_share(theme, self.share(value))
    }

    /// From the least to the greatest value of the legend.
    pub(crate) fn reach(self) -> [f64; 2] {
        match self {
            Self::Shear { locking_deg } => [0.0, 1.25 * locking_deg],
            Self::Draft { .. } => [-UNDER, AMPLE],
        }
    }

    /// What is off the scale, in a word.
    pub(crate) fn aside(self) -> Option<&'static str> {
        matches!(self, Self::Shear { .. }).then_some("overlap")
    }

    /// Values past the limit within the legend.
    pub(crate) fn beyond(self) -> [f64; 2] {
        match self {
            Self::Shear { locking_deg } => [locking_deg, self.reach()[1]],
            Self::Draft { .. } => [-UNDER, 0.0],
        }
    }

    /// What stands along the legend.
    pub(crate) fn ticks(self) -> Vec<Tick> {
        let tick = |value: f64, label: String| Tick { value, label };
        match self {
            Self::Shear { locking_deg } => {
                vec![
                    tick(0.0, "0".into()),
                    tick(WATCH * locking_deg, format!("{:.0}", WATCH * locking_deg)),
                    tick(locking_deg, format!("{locking_deg:.0}° folds")),
                ]
            }
            Self::Draft { wanted_deg } => {
                let ample = tick(AMPLE, format!("{AMPLE:.0}°"));
                // Two numbers beside each other would run into one.
                if wanted_deg < 4.0 {
                    vec![tick(-UNDER, "held".into()), tick(0.0, "0".into()), ample]
                } else {
                    vec![
                        tick(-UNDER, "held".into()),
                        tick(0.0, "0".into()),
                        tick(wanted_deg, format!("{wanted_deg:.0}")),
                        ample,
                    ]
                }
            }
        }
    }
}

/// The colour of a share of the limit: one scale for window, book and legend in a light room, the same hues darkened for a dark one.
fn of_share(theme: &Theme, share: f64) -> Color32 {
    if !theme.dark {
        let [r, g, b] = heat_colour(share, 1.0);
        return Color32::from_rgb(r, g, b);
    }
    const DARK: [(f64, [f64; 3]); 4] = [
        (0.0, [34.0, 48.0, 55.0]),
        (0.5, [44.0, 96.0, 102.0]),
        (WATCH, [140.0, 118.0, 52.0]),
        (1.0, [158.0, 92.0, 38.0]),
    ];
    const LOCKED: Color32 = Color32::from_rgb(0x9e, 0x2c, 0x40);
    if share > 1.0 {
        return LOCKED;
    }
    let k = DARK.iter().rposition(|(from, _)| *from <= share).unwrap_or(0).min(DARK.len() - 2);
    let ((from, a), (to, b)) = (DARK[k], DARK[k + 1]);
    let t = (share - from) / (to - from);
    let [r, g, b] = [0, 1, 2].map(|c| (a[c] + t * (b[c] - a[c])).round() as u8);
    Color32::from_rgb(r, g, b)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn shear_counts_by_size_and_draft_from_its_wrong_end() {
        let shear = Scale::Shear { locking_deg: 40.0 };
        assert_eq!(shear.share(-20.0), 0.5);
        assert!(shear.share(40.5) > 1.0 && shear.share(40.0) <= 1.0);
        let draft = Scale::Draft { wanted_deg: 2.0 };
        assert!(draft.share(-0.1) > 1.0, "undercut");
        assert_eq!(draft.share(0.0), 1.0);
        assert!(draft.share(1.0) < 1.0 && draft.share(1.0) > WATCH, "tight");
        assert!(draft.share(2.0) <= 0.5 && draft.share(60.0) == 0.0);
    }

    /// From half the limit on it only grows warmer, in either room, and what is past the limit is a step away from all below it.
    #[test]
    fn colours_run_one_way_and_past_the_limit_is_a_step() {
        let scale = Scale::Shear { locking_deg: 40.0 };
        for theme in [Theme::of(true), Theme::of(false)] {
            let warmth = |value: f64| {
                let c = scale.colour(theme, value);
                f64::from(c.r()) - f64::from(c.b())
            };
            let run: Vec<f64> = (0..=40).map(|k| warmth(f64::from(k))).collect();
            assert!(run[..=20].windows(2).all(|w| w[1] <= w[0]), "cool at first: {run:?}");
            assert!(run[20..].windows(2).all(|w| w[1] > w[0]), "then warmer: {run:?}");
            let (last, past) = (scale.colour(theme, 40.0), scale.colour(theme, 40.1));
            assert!(last.g().abs_diff(past.g()) > 40, "{last:?} {past:?}");
        }
    }
}
