//! What can be wrong with a schedule, in words that say where.

use super::Span;

/// Why a schedule gives no laminate. Each message says what is wrong and, behind its last semicolon, what to do.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum LaminateError {
    /// There is no ply that covers the whole shell.
    #[error("no ply covers the whole shell; add one, or let one cover all of it")]
    NoShell,
    /// A number of a ply is out of its range.
    #[error("ply {}: its {what} is {value}, and must lie between {least} and {most}; correct it in the ply table", .ply + 1)]
    Ply {
        /// Which ply, by index.
        ply: usize,
        /// Which number.
        what: &'static str,
        /// What it is.
        value: f64,
        /// The least it may be.
        least: f64,
        /// The greatest.
        most: f64,
    },
    /// A strip ends ahead of where it begins.
    #[error("ply {}: its strip runs from {from} to {to} mm; give the foremost station first", .ply + 1)]
    Strip {
        /// Which ply, by index.
        ply: usize,
        /// Where it begins, mm.
        from: f64,
        /// Where it ends, mm.
        to: f64,
    },
    /// A coupon that cannot be of that cloth.
    #[error(
        "ply {}: a test piece of {plies} plies and {thickness} mm leaves no room for resin in this cloth, or may be no thickness \
         at all; count its plies, measure it again, or mend the areal weight",
        .ply + 1
    )]
    Coupon {
        /// Which ply, by index.
        ply: usize,
        /// Plies of the test piece.
        plies: u32,
        /// Its thickness, mm.
        thickness: f64,
    },
    /// A number of the resin's is out of its range.
    #[error(
        "resin \"{name}\": {what} is {value}, and must be more than {least} and at most {most}; see the maker's sheet"
    )]
    Resin {
        /// Its name.
        name: String,
        /// Which number.
        what: &'static str,
        /// What it is.
        value: f64,
        /// What it must exceed.
        least: f64,
        /// The greatest it may be.
        most: f64,
    },
    /// A range of filler, paint or soaked resin is none, or absurd.
    #[error(
        "{what}: {}, {}, {} is no range from 0 to {most}; give the least, the likely and the greatest value in this order",
        .span.low, .span.likely, .span.high
    )]
    Range {
        /// Of what.
        what: &'static str,
        /// What it is.
        span: Span,
        /// The greatest it may be.
        most: f64,
    },
    /// A list of areas that does not belong to the schedule.
    #[error("{areas} areas were given for {plies} plies; give one for each, in mm², none below 0")]
    Areas {
        /// How many areas.
        areas: usize,
        /// How many plies.
        plies: usize,
    },
    /// Far too many pots.
    #[error(
        "{grams:.0} g of resin in pots of {pot:.3} g are too many pots; check largest pot, pot life and ply weights"
    )]
    TooManyPots {
        /// All the resin, grams.
        grams: f64,
        /// Of one pot, grams.
        pot: f64,
    },
    /// Less cloth cut than covered.
    #[error("cloth cut is {share} of the area covered; it cannot be less than 1, and the ends must be in order")]
    Cut {
        /// The share.
        share: f64,
    },
}

impl LaminateError {
    /// What is wrong, and what to do, as two sentences.
    pub fn told(&self) -> (String, String) {
        let message = self.to_string();
        let (reason, hint) = message.rsplit_once("; ").unwrap_or((&message, "correct it in the ply table"));
        (sentence(reason), sentence(hint))
    }
}

fn sentence(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| format!("{}{}.", first.to_uppercase(), letters.as_str()))
}
