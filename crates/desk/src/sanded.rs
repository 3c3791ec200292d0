//! What measured widths say of a sanded plug.

use plug::{ALLOWED_DEVIATION, Deviation};

/// What is to be done where a width was measured.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// Wider than planned: foam is left to sand.
    LeftToSand,
    /// As planned, within what is allowed.
    Done,
    /// Narrower than planned: sanded too far, to be filled.
    TooFar,
}

impl Verdict {
    /// All of them, from too wide to too narrow.
    pub const ALL: [Self; 3] = [Self::LeftToSand, Self::Done, Self::TooFar];

    /// That of a measured width; `None` where the plug has no width.
    pub fn of(deviation: &Deviation) -> Option<Self> {
        let over = deviation.over()?;
        Some(match over {
            over if over > ALLOWED_DEVIATION => Self::LeftToSand,
            over if over < -ALLOWED_DEVIATION => Self::TooFar,
            _ => Self::Done,
        })
    }

    /// The words for it.
    pub fn label(self) -> &'static str {
        match self {
            Self::LeftToSand => "left to sand",
            Self::Done => "as planned",
            Self::TooFar => "sanded too far",
        }
    }
}

/// Deviations may be drawn so many times as large as they are.
const TIMES: [f64; 6] = [50.0, 20.0, 10.0, 5.0, 2.0, 1.0];

/// How many times as large the deviations of one side are drawn, so that the largest is at most `most` mm long.
pub fn exaggeration(deviations: &[Deviation], most: f64) -> f64 {
    let largest = deviations.iter().filter_map(Deviation::over).map(|over| 0.5 * over.abs()).fold(0.0, f64::max);
    TIMES.into_iter().find(|times| times * largest <= most).unwrap_or(1.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use project::build::MeasuredWidth;

    fn over(by: f64) -> Deviation {
        let measured = MeasuredWidth { station: 10.0, height: 0.0, width: 100.0 + by };
        Deviation { measured, planned: Some(100.0) }
    }

    #[test]
    fn wide_is_left_to_sand_and_narrow_is_too_far() {
        let verdicts = [0.6, 0.5, 0.0, -0.5, -0.6].map(|by| Verdict::of(&over(by)));
        use Verdict::{Done, LeftToSand, TooFar};
        assert_eq!(verdicts, [Some(LeftToSand), Some(Done), Some(Done), Some(Done), Some(TooFar)]);
        assert_eq!(Verdict::of(&Deviation { planned: None, ..over(1.0) }), None);
    }

    /// Half of it lies on either side: 3 mm in width are 1.5 mm a side, ten times as large 15 mm.
    #[test]
    fn the_largest_deviation_keeps_within_its_room() {
        assert_eq!(exaggeration(&[over(0.4), over(-3.0)], 15.0), 10.0);
        assert_eq!(exaggeration(&[over(-3.0)], 14.0), 5.0);
        assert_eq!(exaggeration(&[over(900.0)], 14.0), 1.0);
        assert_eq!(exaggeration(&[], 14.0), 50.0);
    }
}
