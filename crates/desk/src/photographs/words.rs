//! What a solve has to say, in words for the screen and the command line: where, what, and what the hand should do.

use super::solved::Solved;
use project::document::Document;
use project::photograph::Traced;
use sight::advice::{Advice, More};
use sight::finding::Finding;
use sight::misfit::Fit;
use sight::traced::Trace;

/// A finding of a solve in words.
#[derive(Clone, Debug, PartialEq)]
pub struct Words {
    /// Where: a picture, a landmark, or the form.
    pub place: String,
    /// What was found.
    pub what: String,
    /// What to do.
    pub hint: String,
    /// Where a click on it leads.
    pub spot: Spot,
}

/// What a finding of a solve is about.
#[derive(Clone, Debug, PartialEq)]
pub enum Spot {
    /// A picture of the document, by its index, and what was traced in it: indices of a trace and of its point.
    Picture {
        /// Index of the picture.
        picture: usize,
        /// Traced points, as (trace, point).
        points: Vec<(usize, usize)>,
    },
    /// A landmark, by its name.
    Landmark(String),
    /// A station of the form, mm aft of the datum.
    Station(f64),
    /// The form as a whole.
    Form,
}

impl std::fmt::Display for Words {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}: {} {}", self.place, self.what, self.hint)
    }
}

/// Why a result is weak, if it is; contradictions come first, as then the band says little too.
pub fn weakness(solved: &Solved) -> Option<&'static str> {
    if solved.solution.is_doubtful() {
        return Some(
            "This result is weak: what is traced hardly goes with the landmarks and with what was drawn. Look at the findings \
             before you accept it.",
        );
    }
    let guessed = "This result is weak: the photographs say little, and most of it is guessed from what was drawn.";
    solved.is_weak().then_some(guessed)
}

/// Everything that a solve has to say, points of one trace that were left out told together.
pub fn findings(document: &Document, solved: &Solved) -> Vec<Words> {
    let tell = Teller { document, solved };
    let all = solved.solution.findings();
    let others = all.iter().filter_map(|f| tell.finding(f));
    tell.left_out(all).into_iter().chain(others).collect()
}

/// What a further observation would be, in words.
pub fn advice(document: &Document, solved: &Solved, advice: &Advice) -> String {
    let tell = Teller { document, solved };
    match advice.more {
        More::Seam { photograph, station } => {
            format!("the seam at {station:.0} mm traced in {}", tell.name(photograph))
        }
        More::Breadth { station } => format!("the half-breadth at {station:.0} mm measured on the machine"),
        More::View { photograph, elevation_deg, round_deg, mirrored } => {
            let height = if elevation_deg < 0.0 { "from below" } else { "from above" };
            let side = if mirrored { "from the other side, " } else { "" };
            let round = if round_deg == 0.0 {
                String::new()
            } else if round_deg > 0.0 {
                format!(", {round_deg:.0}° further to the beam")
            } else {
                format!(", {:.0}° further to the end", -round_deg)
            };
            format!(
                "another photograph like {}, {side}{:.0}° {height}{round}",
                tell.name(photograph),
                elevation_deg.abs()
            )
        }
    }
}

/// A point this near to the form lies on it, px.
const NEAR: f64 = 1.0;

/// Of a photograph's outline or seam the points that were left out: index and distance, px.
type OutOfTrace = ((usize, Trace), Vec<(usize, f64)>);

struct Teller<'a> {
    document: &'a Document,
    solved: &'a Solved,
}

impl Teller<'_> {
    /// The picture behind a photograph of the solve, counted from 0.
    fn picture(&self, photograph: usize) -> usize {
        self.solved.used.get(photograph).map_or(usize::MAX, |used| used.picture)
    }

    fn name(&self, photograph: usize) -> &str {
        self.document.pictures.get(self.picture(photograph)).map_or("photograph", |p| p.name.as_str())
    }

    fn in_picture(&self, photograph: usize, points: Vec<(usize, usize)>) -> Spot {
        Spot::Picture { picture: self.picture(photograph), points }
    }

    /// A traced point of the solve as the document has it: (trace, point).
    fn traced(&self, photograph: usize, of: Trace, index: usize) -> Option<(usize, usize)> {
        let traces = &self.document.pictures.get(self.picture(photograph))?.photograph.traces;
        let (mut left, mut seam) = (index, 0);
        for (number, trace) in traces.iter().enumerate() {
            match (trace.of, of) {
                (Traced::Outline, Trace::Outline) if left < trace.points.len() => return Some((number, left)),
                (Traced::Outline, Trace::Outline) => left -= trace.points.len(),
                (Traced::Seam { .. }, Trace::Seam(wanted)) if wanted == seam => return Some((number, index)),
                (Traced::Seam { .. }, _) => seam += 1,
                _ => {}
            }
        }
        None
    }

    /// The outline, or a seam by its station.
    fn trace(&self, photograph: usize, trace: Trace) -> String {
        let Trace::Seam(seam) = trace else { return "the outline".into() };
        let task = self.solved.solution.task();
        let seam = task.photographs.get(photograph).and_then(|p| p.seams.get(seam));
        seam.map_or_else(|| "a seam".into(), |s| format!("the seam at {:.0} mm", s.station))
    }

    fn left_out(&self, all: &[Finding]) -> Vec<Words> {
        let mut groups: Vec<OutOfTrace> = Vec::new();
        for finding in all {
            let Finding::LeftOut { photograph, trace, index, residual_px } = finding else { continue };
            match groups.iter_mut().find(|(key, _)| *key == (*photograph, *trace)) {
                Some((_, points)) => points.push((*index, *residual_px)),
                None => groups.push(((*photograph, *trace), vec![(*index, *residual_px)])),
            }
        }
        let tell = |((photograph, trace), points): OutOfTrace| {
            let farthest = points.iter().map(|p| p.1).fold(0.0, f64::max);
            let of = self.trace(photograph, trace);
            let far = match farthest {
                far if !far.is_finite() => "far off".to_owned(),
                // The form moved towards it after it had been left out.
                near if near < NEAR => "near the form now, but did not go with the other points".to_owned(),
                far => format!("{far:.1} px off"),
            };
            let what = match points.as_slice() {
                [(index, _)] => format!("Point {} of {of} was left out: it lies {far}.", index + 1),
                many => format!("{} points of {of} were left out; the farthest lies {far}.", many.len()),
            };
            let traced = points.iter().filter_map(|(index, _)| self.traced(photograph, trace, *index)).collect();
            Words {
                place: self.name(photograph).into(),
                what,
                hint: "Look whether something stands before the form there; move or remove what does not follow it."
                    .into(),
                spot: self.in_picture(photograph, traced),
            }
        };
        groups.into_iter().map(tell).collect()
    }

    /// All but points left out, which are told together.
    fn finding(&self, finding: &Finding) -> Option<Words> {
        let in_picture = |photograph: usize, what: String, hint: &str| {
            let (place, spot) = (self.name(photograph).to_owned(), self.in_picture(photograph, Vec::new()));
            Words { place, what, hint: hint.into(), spot }
        };
        let words = match finding {
            Finding::LeftOut { .. } => return None,
            Finding::ManyLeftOut { photograph, outline, out, of } => {
                let what = format!("{out} of {of} points of {} were left out.", traces(*outline));
                in_picture(*photograph, what, "Look whether the others are right: the wrong ones may have won.")
            }
            Finding::Landmark { landmark, moved_mm, strain, residual_px } => {
                self.landmark(*landmark, *moved_mm, *strain, *residual_px)
            }
            Finding::Strained(fit) => in_picture(fit.photograph, strained(fit), STRAINED),
            Finding::FarFromSketch { function, station, deviations } => Words {
                place: format!("Station {station:.0} mm"),
                what: format!("{} lies {deviations:.1} times as far from what was drawn as is likely.", function.label()),
                hint: "Look at the traces there; if they are right, accept this and solve once more from it.".into(),
                spot: Spot::Station(*station),
            },
            Finding::Focal { photograph, factor, deviations } => {
                let change = 100.0 * (factor - 1.0);
                let what = format!("The focal length changed by {change:+.1} %, {deviations:.1} times what it is trusted.");
                in_picture(*photograph, what, "A cropped picture has another one: clear it, or trust it less.")
            }
            Finding::ShapeOnTrust => Words {
                place: "Form".into(),
                what: "No seam is traced, so between the two places that an outline shows of each section its shape is taken \
                       on trust."
                    .into(),
                hint: "Trace a seam at a known station.".into(),
                spot: Spot::Form,
            },
            Finding::BeyondEnd { photograph, points } => {
                let points = if *points == 1 { "1 point of the outline shows".into() } else { format!("{points} points of the outline show") };
                let what = format!("{points} what lies beyond an end of the form.");
                in_picture(*photograph, what, "Trace the form alone, from its front to its rear.")
            }
        };
        Some(words)
    }

    fn landmark(&self, landmark: usize, moved_mm: [f64; 3], strain: f64, residual_px: f64) -> Words {
        let name = self.solved.solution.task().landmarks.get(landmark).map_or("", |l| l.name.as_str());
        let moved = moved_mm.iter().map(|m| m * m).sum::<f64>().sqrt();
        Words {
            place: format!("Landmark {name}"),
            what: format!(
                "It does not fit: {residual_px:.1} px off, and it would have to lie {moved:.1} mm elsewhere, {strain:.1} times what \
                 it is trusted."
            ),
            hint: "Look at its pixel in every picture, and measure its place again.".into(),
            spot: Spot::Landmark(name.into()),
        }
    }
}

fn traces(outline: bool) -> &'static str {
    if outline { "the outline" } else { "the seams" }
}

const STRAINED: &str =
    "Look for lines that are drawn wrong, a seam at another station, or a knuckle that the form lacks.";

fn strained(fit: &Fit) -> String {
    format!(
        "The form cannot follow {} as closely as it was traced ({:.2} px); the band was widened {:.1} times.",
        traces(fit.outline),
        fit.rms_px,
        fit.widened
    )
}
