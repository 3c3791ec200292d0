//! Lengths on screen: millimetres inside, shown in millimetres or inches.

/// The unit in which lengths are shown and typed.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) enum Units {
    /// Millimetres.
    #[default]
    Millimetre,
    /// Inches, 25.4 mm each.
    Inch,
}

const MM_PER_INCH: f64 = 25.4;

impl Units {
    /// A length in mm as a number in this unit.
    pub(crate) fn shown(self, mm: f64) -> f64 {
        mm / self.mm()
    }

    /// Millimetres in one of this unit.
    pub(crate) fn mm(self) -> f64 {
        match self {
            Self::Millimetre => 1.0,
            Self::Inch => MM_PER_INCH,
        }
    }

    /// The unit's sign.
    pub(crate) fn sign(self) -> &'static str {
        match self {
            Self::Millimetre => "mm",
            Self::Inch => "in",
        }
    }

    /// Decimals that show a hundredth of a millimetre, near enough.
    pub(crate) fn decimals(self) -> usize {
        match self {
            Self::Millimetre => 2,
            Self::Inch => 4,
        }
    }

    /// A length with its unit, to a tenth of a millimetre or a thousandth of an inch.
    pub(crate) fn length(self, mm: f64) -> String {
        format!("{} {}", self.number(mm), self.sign())
    }

    /// A height with its unit, told from the datum waterline.
    pub(crate) fn height(self, mm: f64) -> String {
        let from = self.length(mm.abs());
        match from.strip_prefix("0.0 ").or(from.strip_prefix("0.000 ")) {
            Some(_) => "at the height of the datum".to_owned(),
            None if mm > 0.0 => format!("{from} above the datum"),
            None => format!("{from} below the datum"),
        }
    }

    /// A distance from the centre plane with its unit.
    pub(crate) fn aside(self, y: f64) -> String {
        let from = self.length(y.abs());
        match from.strip_prefix("0.0 ").or(from.strip_prefix("0.000 ")) {
            Some(_) => "on the centre plane".to_owned(),
            None if y > 0.0 => format!("{from} to starboard"),
            None => format!("{from} to port"),
        }
    }

    /// A length without its unit, rounded as [`Self::length`] does.
    pub(crate) fn number(self, mm: f64) -> String {
        let (value, decimals) = match self {
            Self::Millimetre => (mm, 1),
            Self::Inch => (self.shown(mm), 3),
        };
        plain(value, decimals)
    }

    /// A length without its unit, to a hundredth of a millimetre or a thousandth of an inch.
    pub(crate) fn fine(self, mm: f64) -> String {
        plain(self.shown(mm), if self == Self::Inch { 3 } else { 2 })
    }

    /// An area with its unit, in cm² or square inches.
    pub(crate) fn area(self, mm2: f64) -> String {
        match self {
            Self::Millimetre => format!("{:.1} cm²", mm2 / 100.0),
            Self::Inch => format!("{:.2} in²", mm2 / (MM_PER_INCH * MM_PER_INCH)),
        }
    }

    /// A volume with its unit, in cm³ or cubic inches.
    pub(crate) fn volume(self, mm3: f64) -> String {
        match self {
            Self::Millimetre => format!("{:.0} cm³", mm3 / 1000.0),
            Self::Inch => format!("{:.1} in³", mm3 / MM_PER_INCH.powi(3)),
        }
    }
}

/// A number with so many decimals, never minus zero: that reads as a mistake.
fn plain(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    let is_zero = text.chars().all(|c| matches!(c, '-' | '0' | '.'));
    if is_zero { text.trim_start_matches('-').to_owned() } else { text }
}

/// A difference in per cent with its sign.
pub(crate) fn percent(value: f64) -> String {
    let text = plain(value, 1);
    let sign = if text.starts_with('-') || plain(value, 1) == "0.0" { "" } else { "+" };
    format!("{sign}{text} %")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lengths_are_shown_in_either_unit() {
        assert_eq!(Units::Millimetre.length(12.34), "12.3 mm");
        assert_eq!(Units::Inch.length(25.4), "1.000 in");
        assert_eq!(Units::Millimetre.length(-0.01), "0.0 mm");
        assert_eq!([percent(1.26), percent(-0.04), percent(-2.0)], ["+1.3 %", "0.0 %", "-2.0 %"]);
        assert_eq!(Units::Millimetre.area(12_345.0), "123.5 cm²");
    }

    #[test]
    fn places_are_told_from_datum_and_centre_plane() {
        let mm = Units::Millimetre;
        assert_eq!(
            [5.0, -5.04, 0.02].map(|z| mm.height(z)),
            ["5.0 mm above the datum", "5.0 mm below the datum", "at the height of the datum"]
        );
        assert_eq!(
            [5.0, -5.0, -0.01].map(|y| mm.aside(y)),
            ["5.0 mm to starboard", "5.0 mm to port", "on the centre plane"]
        );
        assert_eq!(Units::Inch.height(-25.4), "1.000 in below the datum");
        assert_eq!(Units::Inch.height(0.001), "at the height of the datum");
    }
}
