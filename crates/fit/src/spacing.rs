//! Stations too far apart for the curvature: what a straight edge from former to former would sand away.
//!
//! ```text
//!        former       former
//!          |.-- s --.|           s = h² / (8 R), the sagitta of an arc of radius R over the pitch h
//!          '=========            R < 0 where the body is hollow along its length: foam is left standing instead
//!               h
//! ```
//!
//! The sagitta is measured, not estimated: for the strands along crown, keel, breadth, every knuckle and the middles between
//! them, the greatest distance of the strand from its chord between the two stations. For an arc that is h² / (8 R) but for a
//! share of (h / 4R)².

use form::{Finding, Mend, Part, Severity};
use geometry::control::Half;
use geometry::loft::Loft;
use project::document::Form;
use project::edit::Edit;

/// Places on a strand between two stations.
const BETWEEN: u32 = 12;
/// Stations nearer than this are not proposed, mm: less is no board (common practice, no source).
pub const LEAST_PITCH: f64 = 10.0;
/// Most stations that are proposed at once.
const MOST_PROPOSED: usize = 40;

/// How far a strand of the body leaves its chord between two stations.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sagitta {
    /// The distance, mm.
    pub value: f64,
    /// The two stations.
    pub bay: (f64, f64),
    /// Where it is greatest: station, half-breadth, height.
    pub at: [f64; 3],
    /// The radius of the strand there, mm: that of the circle through this place and the strand's two ends on the stations.
    /// In the middle of a chord of length c that is c² / (8 s) + s / 2. Infinite for a straight strand.
    pub radius: f64,
}

/// A strand along the body: half, run, fraction.
type Strand = (Half, usize, f64);

fn strands(loft: &Loft) -> Vec<Strand> {
    let Some(section) = loft.section(loft.x_range().0) else { return Vec::new() };
    let runs: Vec<(Half, usize)> = section.runs().collect();
    let mut all: Vec<Strand> = runs.iter().flat_map(|&(half, run)| [(half, run, 0.0), (half, run, 0.5)]).collect();
    all.extend(runs.last().map(|&(half, run)| (half, run, 1.0)));
    all
}

/// The greatest sagitta between two stations; `None` where they do not both lie on the form.
pub fn sagitta(loft: &Loft, from: f64, to: f64) -> Option<Sagitta> {
    sagitta_of(loft, &strands(loft), from, to)
}

fn sagitta_of(loft: &Loft, strands: &[Strand], from: f64, to: f64) -> Option<Sagitta> {
    let places = |x: f64| -> Option<Vec<[f64; 3]>> {
        let section = loft.section(x)?;
        let place = |&(half, run, f): &Strand| {
            let [y, z] = section.at(half, run, f).p;
            [x, y, z]
        };
        Some(strands.iter().map(place).collect())
    };
    let (a, b) = (places(from)?, places(to)?);
    let mut worst = Sagitta { value: 0.0, bay: (from, to), at: *a.first()?, radius: f64::INFINITY };
    for i in 1..BETWEEN {
        let here = places(from + (to - from) * f64::from(i) / f64::from(BETWEEN))?;
        for (k, p) in here.iter().enumerate() {
            let value = off_chord(*p, a[k], b[k]);
            if value > worst.value {
                worst = Sagitta { value, at: *p, radius: radius(*p, a[k], b[k], value), ..worst };
            }
        }
    }
    Some(worst)
}

fn off_chord(p: [f64; 3], a: [f64; 3], b: [f64; 3]) -> f64 {
    use crate::space::{cross, length, sub};
    let chord = sub(b, a);
    length(cross(chord, sub(p, a))) / length(chord).max(f64::MIN_POSITIVE)
}

/// The radius of the circle through three places, `p` at a distance `off` from the chord of the other two: the product of the
/// triangle's sides by four times its area, in which the chord cancels.
fn radius(p: [f64; 3], a: [f64; 3], b: [f64; 3], off: f64) -> f64 {
    use crate::space::{length, sub};
    length(sub(p, a)) * length(sub(p, b)) / (2.0 * off)
}

/// The bays of a form between neighbouring stations whose sagitta exceeds what is allowed.
pub fn coarse_bays(form: &Form, loft: &Loft, allowed: f64) -> Vec<Sagitta> {
    let strands = strands(loft);
    let bays = form.stations.windows(2).filter_map(|w| sagitta_of(loft, &strands, w[0], w[1]));
    bays.filter(|s| s.value > allowed).collect()
}

/// Stations to add between two, so that no bay exceeds what is allowed or all are down to [`LEAST_PITCH`]: the bay in equal
/// parts, as few as do it.
pub fn stations_between(loft: &Loft, bay: (f64, f64), allowed: f64) -> Vec<f64> {
    let strands = strands(loft);
    let most = ((bay.1 - bay.0) / LEAST_PITCH + 1e-9).floor().max(1.0) as u32;
    let at = |i: u32, parts: u32| bay.0 + (bay.1 - bay.0) * f64::from(i) / f64::from(parts);
    let fits = |parts: u32| {
        (0..parts)
            .all(|i| sagitta_of(loft, &strands, at(i, parts), at(i + 1, parts)).is_none_or(|s| s.value <= allowed))
    };
    let parts = (1..=most).find(|parts| fits(*parts)).unwrap_or(most);
    (1..parts).map(|i| (at(i, parts) * 10.0).round() / 10.0).collect()
}

/// What is found about the pitch of the stations, as one finding at the worst place; `index` is the form's in the document.
pub fn finding(form: &Form, index: usize, loft: &Loft, allowed: f64) -> Option<Finding> {
    let coarse = coarse_bays(form, loft, allowed);
    let worst = coarse.iter().max_by(|a, b| a.value.total_cmp(&b.value))?;
    let mut added: Vec<f64> = coarse.iter().flat_map(|s| stations_between(loft, s.bay, allowed)).collect();
    added.truncate(MOST_PROPOSED);
    let what = format!(
        "Sanded straight from former to former, the form loses up to {:.2} mm (radius {:.0} mm along the body), in {} of {} bays more than is allowed.",
        worst.value,
        worst.radius,
        coarse.len(),
        form.stations.len() - 1
    );
    let [x, y, z] = worst.at;
    let finding = Finding::new(Severity::Note, Part::Form, what, hint(&added)).at_station(x).at_point([y, z]);
    Some(finding.with(worst.value, allowed, "mm").mended_by(mend(form, index, loft, allowed, &added)))
}

fn hint(added: &[f64]) -> String {
    let round = "sand to an outside template there";
    match added {
        [] => format!("The bays are down to {LEAST_PITCH} mm; {round}."),
        some => {
            let list: Vec<String> = some.iter().take(8).map(|x| format!("{x:.1}")).collect();
            let more = if some.len() > 8 { format!(" and {} more", some.len() - 8) } else { String::new() };
            format!("Add stations at {}{more} mm, or {round}.", list.join(", "))
        }
    }
}

/// The stations with those that are proposed, offered if no bay is then too coarse.
fn mend(form: &Form, index: usize, loft: &Loft, allowed: f64, added: &[f64]) -> Option<Mend> {
    let mut stations: Vec<f64> = form.stations.iter().chain(added).copied().collect();
    stations.sort_by(f64::total_cmp);
    let next = Form { stations: stations.clone(), ..form.clone() };
    let allowed_rounded = allowed * 1.001;
    (!added.is_empty() && coarse_bays(&next, loft, allowed_rounded).is_empty()).then(|| Mend {
        label: if added.len() == 1 {
            "Add the station".to_owned()
        } else {
            format!("Add the {} stations", added.len())
        },
        edit: Edit::SetStations { form: index, stations },
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::{cylinder, forms, lofted, round};
    use proptest::prelude::*;

    /// A barrel whose radius along the body is 300 mm.
    fn barrel() -> Form {
        let at = |i: i32| {
            let x = 5.0 * f64::from(i);
            [x, 50.0 + f64::sqrt(300.0 * 300.0 - x * x) - 300.0]
        };
        round(&(-18..=18).map(at).collect::<Vec<_>>())
    }

    /// Closed form h² / (8 R): 30 mm and 300 mm give 0.375 mm.
    #[test]
    fn the_sagitta_of_a_barrel() {
        let lofted = lofted(&barrel());
        let s = sagitta(lofted.skin.as_ref().unwrap().loft(), -15.0, 15.0).unwrap();
        assert!((s.value - 0.375).abs() < 1e-3, "{s:?}");
        assert!((s.radius - 300.0).abs() < 0.5 && s.at[0].abs() < 1e-9, "{s:?}");
        let straight = crate::testing::lofted(&cylinder(50.0, 200.0));
        assert!(sagitta(straight.skin.as_ref().unwrap().loft(), 0.0, 200.0).unwrap().value < 1e-9);
    }

    /// Closed form: on a sphere of radius 100 every strand along the body is an arc of it, however far its chord leans; over
    /// the bay from 80 to 40 mm ahead of the centre that of the crown has the sagitta R (1 - cos(turn / 2)).
    #[test]
    fn the_radius_on_a_sphere_is_its_own_in_every_bay() {
        let at = |i: i32| {
            let x = 10.0 * f64::from(i);
            [x, f64::sqrt(100.0 * 100.0 - x * x)]
        };
        let lofted = lofted(&round(&(-8..=8).map(at).collect::<Vec<_>>()));
        let loft = lofted.skin.as_ref().unwrap().loft();
        for (from, to) in [(-80.0, -40.0), (-40.0, 0.0), (0.0, 40.0), (40.0, 80.0)] {
            let s = sagitta(loft, from, to).unwrap();
            assert!((s.radius - 100.0).abs() < 1.0, "{s:?}");
            let turn = f64::asin(to / 100.0) - f64::asin(from / 100.0);
            let closed = 100.0 * (1.0 - (0.5 * turn).cos());
            assert!((s.value - closed).abs() < 0.01 * closed, "{s:?} against {closed}");
        }
    }

    /// Closed form: h <= √(8 R s); 0.1 mm on 300 mm allow 15.49 mm, so 30 mm are divided in two.
    #[test]
    fn stations_are_proposed_as_few_as_do_it() {
        let lofted = lofted(&barrel());
        let loft = lofted.skin.as_ref().unwrap().loft();
        assert_eq!(stations_between(loft, (-15.0, 15.0), 0.1), [0.0]);
        assert!(stations_between(loft, (-15.0, 15.0), 0.4).is_empty());
        assert_eq!(stations_between(loft, (-15.0, 15.0), 0.001).len(), 2);
    }

    #[test]
    fn the_finding_offers_stations_that_do_it() {
        let form = Form { stations: vec![-60.0, -30.0, 0.0, 30.0, 60.0], ..barrel() };
        let lofted = lofted(&form);
        let loft = lofted.skin.as_ref().unwrap().loft();
        assert_eq!(finding(&form, 0, loft, 0.4), None);
        let told = finding(&form, 0, loft, 0.2).unwrap();
        let mut document = project::starter::new_document("Test");
        document.forms = vec![std::sync::Arc::new(form)];
        let next = told.mend.unwrap().edit.apply(&document).unwrap();
        assert_eq!(next.forms[0].stations.len(), 9);
        assert_eq!(finding(&next.forms[0], 0, loft, 0.2), None);
        let half_drawn = Form { stations: vec![], ..Form::clone(&next.forms[0]) };
        assert_eq!(finding(&half_drawn, 0, loft, 0.0), None);
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(32))]

        #[test]
        fn proposed_bays_keep_the_sagitta_or_the_least_pitch(form in forms(), allowed in 0.1..1.0_f64) {
            let lofted = lofted(&form);
            let loft = lofted.skin.as_ref().unwrap().loft();
            for bay in coarse_bays(&form, loft, allowed) {
                let mut stations = stations_between(loft, bay.bay, allowed);
                stations.insert(0, bay.bay.0);
                stations.push(bay.bay.1);
                for w in stations.windows(2) {
                    let s = sagitta(loft, w[0], w[1]).unwrap();
                    prop_assert!(s.value <= allowed + 0.02 || w[1] - w[0] < 2.0 * LEAST_PITCH, "{s:?}");
                }
            }
        }
    }
}
