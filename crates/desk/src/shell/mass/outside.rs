//! What of an added form's skin stands out of the first form: the rest is cut away along the line where they meet.

use crate::reckoned::Reckoned;
use crate::shell::Source;
use crate::shell::added::AddedMeeting;
use fit::outline::Outline;
use form::meeting::{MeetingLine, Placed, Stands, Stop};
use form::seen::Spot;
use form::space::Vector;
use geometry::loft::Loft;
use project::photograph::Side;

/// Chord error of the first form's sections where it is asked what lies in them, mm; that is asked far from the line only.
const CHORD: f64 = 0.05;

/// An added form as it is cut off.
pub(super) struct Outside<'a> {
    first: &'a Loft,
    own: &'a Loft,
    placed: Placed,
    /// The lines, in the parameters of its own skin.
    pub(super) lines: Vec<Vec<Spot>>,
}

/// Why an added form cannot be cut off, so that all of it is weighed.
pub(super) enum Whole {
    /// It does not meet the first form.
    Apart(&'static str),
    /// A line does not end on it.
    Open,
}

impl<'a> Outside<'a> {
    /// That of form number `form`.
    pub(super) fn of(source: &'a Source, form: usize, known: &Reckoned) -> Result<Self, Whole> {
        let met = known.meeting(source.document(), source.lofted(), form);
        let (Some(AddedMeeting { mount, meeting, .. }), Ok(skin), Ok(own)) = (met, source.skin(), source.skin_of(form))
        else {
            return Err(Whole::Apart("does not meet the first form"));
        };
        match meeting.stands {
            Stands::Meets => (),
            Stands::Free { .. } => return Err(Whole::Apart("does not touch the first form")),
            Stands::Sunk => return Err(Whole::Apart("lies wholly within the first form")),
            Stands::Around => return Err(Whole::Apart("encloses the first form")),
        }
        let open = |stop: &Stop| !matches!(stop, Stop::Rim { of_added: true, .. });
        if meeting.lines.iter().flat_map(|line| line.ends.iter().flatten()).any(open) {
            return Err(Whole::Open);
        }
        let lines = meeting.lines.iter().map(spots).collect();
        Ok(Self { first: skin.loft(), own: own.loft(), placed: Placed::new(&mount), lines })
    }

    /// The places of the lines, in the added form's own axes, mm.
    pub(super) fn places(&self) -> Vec<Vec<Vector>> {
        let place = |spot: &Spot| {
            let [y, z] = self.own.section(spot.x)?.at(spot.half, spot.run, spot.fraction).p;
            Some([spot.x, if spot.side == Side::Port { -y } else { y }, z])
        };
        self.lines.iter().map(|line| line.iter().filter_map(place).collect()).collect()
    }

    /// Whether a place, in the added form's own axes, stands out of the first form.
    pub(super) fn keeps(&self, p: Vector) -> bool {
        let [x, y, z] = self.placed.to_first(p);
        let outline = self.first.section(x).and_then(|section| Outline::new(section.polyline(CHORD)));
        !outline.is_some_and(|outline| outline.holds([y, z]))
    }
}

/// Its places on the added form; of a closed line the first once more.
fn spots(line: &MeetingLine) -> Vec<Spot> {
    let again = line.places.first().filter(|_| line.closed());
    line.places.iter().chain(again).map(|place| place.added).collect()
}
