//! One result of a check.

use project::document::LineName;
use project::edit::Edit;

/// How much a finding matters.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Severity {
    /// Worth knowing.
    Note,
    /// Probably not what was meant.
    Warning,
    /// Templates cannot be made, or would be wrong.
    Error,
}

impl Severity {
    /// The word for it.
    pub fn label(self) -> &'static str {
        match self {
            Self::Note => "note",
            Self::Warning => "warning",
            Self::Error => "error",
        }
    }
}

/// Where a finding points to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Place {
    /// Index of the form; `None` for what belongs to the project as a whole.
    pub form: Option<usize>,
    /// The part of it.
    pub part: Part,
    /// Distance aft of the datum, mm.
    pub station: Option<f64>,
    /// Half-breadth and height on a section, mm.
    pub at: Option<[f64; 2]>,
}

/// What a finding is about.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Part {
    /// The form as a whole.
    Form,
    /// A master line.
    Line(LineName),
    /// A control section, by its index.
    Section(usize),
    /// A station, by its index.
    Station(usize),
    /// A picture, by its index.
    Picture(usize),
    /// The end of the existing fuselage.
    Fuselage,
    /// Shaft, spinner and ring.
    Thrust,
    /// Something the shell must not touch, by its index.
    KeepOut(usize),
    /// A width or height gauge, by its index.
    Gauge(usize),
    /// The way the shell is drawn off the model.
    DrawOff,
    /// An opening of the form, by its index.
    Opening(usize),
    /// Where a form sits on the first one, and how it meets it; the place is in the axes of the first.
    Mount,
    /// Plies, filler and paint.
    Laminate,
    /// How the shell comes off its plug.
    Release,
    /// What the shell weighs, and the balance of the aircraft.
    Balance,
}

/// An edit that mends a finding, in one undoable step.
#[derive(Clone, Debug, PartialEq)]
pub struct Mend {
    /// What it does, as a command: "Move point 3 of the breadth line out by 3.2 mm".
    pub label: String,
    /// The edit, for the document that was checked.
    pub edit: Edit,
}

/// A measured or allowed value with its unit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Quantity {
    /// The value.
    pub value: f64,
    /// Its unit, e.g. "mm".
    pub unit: &'static str,
}

impl std::fmt::Display for Quantity {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let unit = if self.unit.is_empty() { String::new() } else { format!(" {}", self.unit) };
        if self.value.fract() == 0.0 && self.value.abs() < 1e9 {
            write!(f, "{:.0}{unit}", self.value)
        } else {
            write!(f, "{:.2}{unit}", self.value)
        }
    }
}

/// One result of a check.
#[derive(Clone, Debug, PartialEq)]
pub struct Finding {
    /// How much it matters.
    pub severity: Severity,
    /// Where.
    pub place: Place,
    /// What was found, one sentence.
    pub what: String,
    /// What was measured.
    pub measured: Option<Quantity>,
    /// What would be allowed.
    pub allowed: Option<Quantity>,
    /// What the hand can do about it.
    pub hint: String,
    /// An edit that mends it, where a single number does.
    pub mend: Option<Mend>,
}

impl Finding {
    /// A finding about a part, without a place or values yet: what was found in one sentence, and a hint for the hand.
    pub fn new(severity: Severity, part: Part, what: impl Into<String>, hint: impl Into<String>) -> Self {
        let place = Place { form: None, part, station: None, at: None };
        Self { severity, place, what: what.into(), measured: None, allowed: None, hint: hint.into(), mend: None }
    }

    /// At this station, mm aft of the datum.
    #[must_use]
    pub fn at_station(mut self, x: f64) -> Self {
        self.place.station = Some(x);
        self
    }

    /// At this half-breadth and height of a section, mm; negative half-breadths are to port.
    #[must_use]
    pub fn at_point(mut self, p: [f64; 2]) -> Self {
        self.place.at = Some(p);
        self
    }

    /// With what was measured and what would be allowed.
    #[must_use]
    pub fn with(mut self, measured: f64, allowed: f64, unit: &'static str) -> Self {
        self.measured = Some(Quantity { value: measured, unit });
        self.allowed = Some(Quantity { value: allowed, unit });
        self
    }

    /// With an edit that mends it.
    #[must_use]
    pub fn mended_by(mut self, mend: Option<Mend>) -> Self {
        self.mend = mend;
        self
    }

    /// The place in words: "section 2 at 120 mm".
    pub fn place_label(&self) -> String {
        let part = match self.place.part {
            Part::Form => "form".to_owned(),
            Part::Line(name) => format!("{} line", name.label().to_lowercase()),
            Part::Section(i) => format!("control section {}", i + 1),
            Part::Station(i) => format!("station {}", i + 1),
            Part::Picture(i) => format!("picture {}", i + 1),
            Part::Fuselage => "fuselage end".to_owned(),
            Part::Thrust => "thrust line".to_owned(),
            Part::KeepOut(i) => format!("keep-out {}", i + 1),
            Part::Gauge(i) => format!("gauge {}", i + 1),
            Part::DrawOff => "drawing off".to_owned(),
            Part::Opening(i) => format!("opening {}", i + 1),
            Part::Laminate => "laminate".to_owned(),
            Part::Mount => "place on the first form".to_owned(),
            Part::Release => "release".to_owned(),
            Part::Balance => "balance".to_owned(),
        };
        let station = self.place.station.map_or_else(String::new, |x| format!(" at {x:.1} mm"));
        let point = self.place.at.map_or_else(String::new, |[y, z]| format!(", y {y:.1}, z {z:.1}"));
        format!("{part}{station}{point}")
    }
}
