//! What can be a landmark, and what it is called.

use crate::units::Units;
use desk::snapped::Candidate;
use form::landmark_place;
use project::document::Document;
use project::photograph::{Landmark, LandmarkPlace, Photograph, Side};

/// A thing whose place is known.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Thing {
    pub(crate) name: String,
    pub(crate) place: LandmarkPlace,
    /// One standard deviation along each axis, mm at the model.
    pub(crate) trust_mm: f64,
}

/// Things of one kind.
pub(crate) struct Group {
    pub(crate) title: &'static str,
    pub(crate) things: Vec<Thing>,
}

/// How well what is tied to form or airframe is known until the builder says otherwise, mm at the model. Ours, no source.
const TRUST_MM: f64 = 1.0;

/// Everything that can be picked in a picture and is not picked there yet.
pub(crate) fn groups(document: &Document, picture: usize) -> Vec<Group> {
    let elsewhere = elsewhere(document, picture);
    let mut airframe = tied(document, picture, &of_airframe(document));
    airframe.retain(|thing| elsewhere.iter().all(|other| other.name != thing.name));
    let groups = [
        Group { title: "Picked in other pictures", things: elsewhere },
        Group { title: "Airframe", things: airframe },
        Group { title: "Form", things: tied(document, picture, &of_form(document)) },
    ];
    groups.into_iter().filter(|group| !group.things.is_empty()).collect()
}

/// What is picked in other pictures but not in this one, each once.
pub(crate) fn elsewhere(document: &Document, picture: usize) -> Vec<Thing> {
    let here = |name: &str| {
        document.pictures.get(picture).is_some_and(|p| p.photograph.landmarks.iter().any(|l| l.name == name))
    };
    let mut out: Vec<Thing> = Vec::new();
    let others = document.pictures.iter().enumerate().filter(|(index, _)| *index != picture);
    for landmark in others.flat_map(|(_, p)| &p.photograph.landmarks).filter(|l| !is_open(l)) {
        if !here(&landmark.name) && out.iter().all(|thing| thing.name != landmark.name) {
            out.push(Thing { name: landmark.name.clone(), place: landmark.place, trust_mm: landmark.trust_mm });
        }
    }
    out
}

/// Whether another picture has a landmark of this name.
pub(crate) fn is_elsewhere(document: &Document, picture: usize, name: &str) -> bool {
    let others = document.pictures.iter().enumerate().filter(|(index, _)| *index != picture);
    others.flat_map(|(_, p)| &p.photograph.landmarks).any(|l| l.name == name)
}

fn of_airframe(document: &Document) -> Vec<LandmarkPlace> {
    let diameter = document.airframe.thrust.as_ref().map_or(0.0, |t| t.spinner.diameter);
    let mut places = vec![
        LandmarkPlace::Hub,
        // The bench knows no length of the spinner: a round one, and the builder types its own.
        LandmarkPlace::SpinnerTip { ahead: 0.5 * diameter },
        LandmarkPlace::Mount,
        LandmarkPlace::FuselageCrown,
        LandmarkPlace::FuselageKeel,
    ];
    places.extend([Side::Port, Side::Starboard].map(|side| LandmarkPlace::FuselageBreadth { side }));
    places
}

fn of_form(document: &Document) -> Vec<LandmarkPlace> {
    let Some(form) = document.forms.first() else { return Vec::new() };
    let stations: Vec<f64> = form.sections.iter().map(|s| s.station).collect();
    let ends = form.lines.get(project::document::LineName::Crown).points.iter().map(|p| p.x).collect::<Vec<_>>();
    let any = if stations.is_empty() { &ends } else { &stations };
    let Some(station) = any.get(any.len() / 2).copied() else { return Vec::new() };
    let mut places = vec![LandmarkPlace::Crown { station }, LandmarkPlace::Keel { station }];
    places.extend([Side::Port, Side::Starboard].map(|side| LandmarkPlace::Breadth { station, side }));
    places
}

/// Those that have a place and are not picked in the picture.
fn tied(document: &Document, picture: usize, places: &[LandmarkPlace]) -> Vec<Thing> {
    let photograph = document.pictures.get(picture).map(|p| &p.photograph);
    // What is measured here under the very name is the thing itself.
    let here = |place| {
        let same = |l: &Landmark| l.place == place || l.name == name(place);
        photograph.is_some_and(|p| p.landmarks.iter().any(|l| !is_open(l) && same(l)))
    };
    let there = |place: &&LandmarkPlace| landmark_place(document, **place).is_ok();
    let free = places.iter().filter(there).filter(|place| !here(**place) || station(**place).is_some());
    free.map(|place| thing(photograph, *place)).collect()
}

/// A place with a name that is free in the photograph.
pub(crate) fn thing(photograph: Option<&Photograph>, place: LandmarkPlace) -> Thing {
    Thing { name: free_name(photograph, &name(place)), place, trust_mm: TRUST_MM }
}

/// What was found near a click: as it is known from another picture, or by its place.
pub(crate) fn of_candidate(document: &Document, picture: usize, candidate: &Candidate) -> Thing {
    let known = elsewhere(document, picture).into_iter().find(|thing| thing.place == candidate.place);
    let photograph = document.pictures.get(picture).map(|p| &p.photograph);
    known.unwrap_or_else(|| thing(photograph, candidate.place))
}

/// Each thing once that is not picked in the picture, and nothing whose place is guessed: the length of a spinner is known only
/// once the builder has typed it.
pub(crate) fn clear(document: &Document, picture: usize, candidates: &mut Vec<Candidate>) {
    let here = document.pictures.get(picture).map_or(&[][..], |p| &p.photograph.landmarks);
    let picked: Vec<LandmarkPlace> =
        document.pictures.iter().flat_map(|p| &p.photograph.landmarks).map(|l| l.place).collect();
    let mut seen: Vec<String> = Vec::new();
    candidates.retain(|candidate| {
        let certain = !matches!(candidate.place, LandmarkPlace::SpinnerTip { .. }) || picked.contains(&candidate.place);
        let name = label(candidate);
        let fresh = here.iter().all(|l| is_open(l) || (l.place != candidate.place && l.name != name));
        let keep = certain && fresh && !seen.contains(&name);
        if keep {
            seen.push(name);
        }
        keep
    });
}

/// What a candidate is called: as it was picked elsewhere, or by its place.
pub(crate) fn label(candidate: &Candidate) -> String {
    match candidate.place {
        LandmarkPlace::At(_) => candidate.label.clone(),
        place => name(place),
    }
}

/// A measured thing, with the place still to be typed.
pub(crate) fn measured(photograph: Option<&Photograph>) -> Thing {
    let name = photograph.map_or_else(|| "Landmark 1".into(), fresh_name);
    Thing { name, place: LandmarkPlace::At([0.0; 3]), trust_mm: TRUST_MM }
}

/// The first free name by number.
pub(crate) fn fresh_name(photograph: &Photograph) -> String {
    let taken = |name: &String| photograph.landmarks.iter().any(|l| l.name == *name);
    let names = (photograph.landmarks.len() + 1..).map(|n| format!("Landmark {n}"));
    names.into_iter().find(|name| !taken(name)).unwrap_or_default()
}

fn free_name(photograph: Option<&Photograph>, name: &str) -> String {
    let taken = |name: &str| photograph.is_some_and(|p| p.landmarks.iter().any(|l| l.name == name));
    if !taken(name) {
        return name.to_owned();
    }
    (2..).map(|n| format!("{name}, {n}")).find(|name| !taken(name)).unwrap_or_default()
}

/// Whether what it is has still to be told.
pub(crate) fn is_open(landmark: &Landmark) -> bool {
    !landmark.used && landmark.place == LandmarkPlace::At([0.0; 3])
}

/// The place that is set where one is chosen anew: a name that came from the place goes with it. What is tied counts at once;
/// of what is measured the other two numbers may still be missing, so it counts when the builder says so.
pub(crate) fn placed(landmark: &Landmark, place: LandmarkPlace) -> Landmark {
    let own = landmark.name.starts_with("Landmark ") || landmark.name == name(landmark.place);
    let renamed = if own && !matches!(place, LandmarkPlace::At(_)) { name(place) } else { landmark.name.clone() };
    let used = landmark.used || !matches!(place, LandmarkPlace::At(_));
    Landmark { name: renamed, place, used, ..landmark.clone() }
}

/// The station of what lies at one.
pub(crate) fn station(place: LandmarkPlace) -> Option<f64> {
    match place {
        LandmarkPlace::Crown { station } | LandmarkPlace::Keel { station } | LandmarkPlace::Breadth { station, .. } => {
            Some(station)
        }
        _ => None,
    }
}

/// The same at another station.
pub(crate) fn at_station(place: LandmarkPlace, station: f64) -> LandmarkPlace {
    match place {
        LandmarkPlace::Crown { .. } => LandmarkPlace::Crown { station },
        LandmarkPlace::Keel { .. } => LandmarkPlace::Keel { station },
        LandmarkPlace::Breadth { side, .. } => LandmarkPlace::Breadth { station, side },
        other => other,
    }
}

fn side_name(side: Side) -> &'static str {
    match side {
        Side::Port => "port",
        Side::Starboard => "starboard",
    }
}

/// What a landmark at this place is called until the builder calls it something else.
pub(crate) fn name(place: LandmarkPlace) -> String {
    match place {
        LandmarkPlace::At(_) => "measured point".into(),
        LandmarkPlace::Hub => "hub".into(),
        LandmarkPlace::SpinnerTip { .. } => "spinner tip".into(),
        LandmarkPlace::Mount => "shaft at the firewall".into(),
        LandmarkPlace::Crown { station } => format!("crown at {station} mm"),
        LandmarkPlace::Keel { station } => format!("keel at {station} mm"),
        LandmarkPlace::Breadth { station, side } => format!("{} breadth at {station} mm", side_name(side)),
        LandmarkPlace::FuselageCrown => "fuselage crown".into(),
        LandmarkPlace::FuselageKeel => "fuselage keel".into(),
        LandmarkPlace::FuselageBreadth { side } => format!("fuselage breadth, {}", side_name(side)),
    }
}

/// What kind of place it is, as it stands on a button.
pub(crate) fn kind(place: LandmarkPlace) -> &'static str {
    match place {
        LandmarkPlace::At(_) => "measured",
        LandmarkPlace::Hub => "hub",
        LandmarkPlace::SpinnerTip { .. } => "spinner tip",
        LandmarkPlace::Mount => "shaft at the firewall",
        LandmarkPlace::Crown { .. } => "crown of the form",
        LandmarkPlace::Keel { .. } => "keel of the form",
        LandmarkPlace::Breadth { side: Side::Port, .. } => "port breadth of the form",
        LandmarkPlace::Breadth { side: Side::Starboard, .. } => "starboard breadth of the form",
        LandmarkPlace::FuselageCrown => "crown of the fuselage end",
        LandmarkPlace::FuselageKeel => "keel of the fuselage end",
        LandmarkPlace::FuselageBreadth { side: Side::Port } => "port breadth of the fuselage",
        LandmarkPlace::FuselageBreadth { side: Side::Starboard } => "starboard breadth, fuselage",
    }
}

/// Where it lies, in words.
pub(crate) fn words(place: LandmarkPlace, units: Units) -> String {
    match place {
        LandmarkPlace::At([x, y, z]) => {
            format!("x {}, y {}, z {}", units.number(x), units.number(y), units.number(z))
        }
        LandmarkPlace::SpinnerTip { ahead } => format!("{} ahead of the hub", units.length(ahead)),
        other => match station(other) {
            Some(station) => format!("{} at {}", kind(other), units.length(station)),
            None => kind(other).into(),
        },
    }
}
