//! The plug's parts on one sheet, told apart by their titles and put in the place where each belongs in the plug.

use super::bodies::Wanted;
use super::flat::{Point, bounds, outer};
use super::paper::Part;
use crate::folder::number;
use serde_json::Value;
use std::collections::BTreeMap;

/// A part of card in the plug's own millimetres.
#[derive(Clone, Debug)]
pub(crate) struct Card {
    /// As the plug has it: (y, z) of a former, (x, z) of the centre template, (x, y) of a breadth template.
    pub(crate) contours: Vec<Vec<Point>>,
    /// As it was drawn.
    pub(crate) part: Part,
}

/// All parts of a plug.
#[derive(Debug, Default)]
pub(crate) struct Set {
    pub(crate) formers: BTreeMap<usize, Card>,
    pub(crate) centre: Option<Card>,
    /// Starboard, then port.
    pub(crate) breadth: Vec<Card>,
    pub(crate) first_face: Option<Part>,
    /// The front as the ring's plane cuts it.
    pub(crate) front_plane: Option<Part>,
    /// By the starboard block's name.
    pub(crate) blocks: BTreeMap<String, Part>,
    /// Of stations and of lines.
    pub(crate) outside: (Vec<Part>, Vec<Part>),
}

impl Set {
    /// Sorts what was drawn; `said` is what `stack --json` says of where templates begin.
    pub(crate) fn sorted(parts: Vec<Part>, wanted: &Wanted, said: &Value) -> Self {
        let mut set = Self::default();
        for part in parts {
            let words = part.words.clone();
            if let Some(name) = after(&words, "Blocks ") {
                set.blocks.insert(name.split(" and ").next().unwrap().to_owned(), part);
            } else if words.contains("First face") {
                assert!(set.first_face.replace(part).is_none(), "two first faces");
            } else if words.contains("Front, on the ring plane") {
                assert!(set.front_plane.replace(part).is_none(), "two fronts on the ring's plane");
            } else if words.contains("Centre template") {
                let front = number(&said["centre_template"]["front_mm"]);
                assert!(set.centre.replace(Card::centre(part, front)).is_none(), "two centre templates");
            } else if words.contains("Breadth template") {
                let port = words.contains("Breadth template, port");
                set.breadth.push(Card::breadth(part, port, wanted, said));
            } else if words.contains("Outside of the") {
                set.outside.1.push(part);
            } else if words.contains("Outside ") {
                set.outside.0.push(part);
            } else {
                let name = after(&words, "Former ").unwrap_or_else(|| panic!("a part without a title: {words}"));
                let digits: String = name.chars().take_while(char::is_ascii_digit).collect();
                let n: usize = digits.parse().unwrap();
                let planned = said["formers"].as_array().unwrap().iter().find(|f| f["number"] == n);
                let former = Card::former(part, planned.unwrap_or_else(|| panic!("former {n} was not planned")));
                assert!(set.formers.insert(n, former).is_none(), "two formers {n}");
            }
        }
        set
    }
}

fn after<'a>(words: &'a str, title: &str) -> Option<&'a str> {
    words.split_once(title).map(|w| w.1)
}

impl Card {
    fn moved(part: Part, to: impl Fn(Point) -> Point) -> Self {
        let contours = part.contours.iter().map(|c| c.iter().map(|&p| to(p)).collect()).collect();
        Self { contours, part }
    }

    /// Drawn looking aft, so mirrored. Both sides need not be alike, for a shaft to one side can take the edge of a small one: what
    /// is planned farthest to starboard is drawn farthest to the left.
    fn former(part: Part, planned: &Value) -> Self {
        let pieces = planned["pieces_mm"].as_array().unwrap();
        let starboard = pieces.iter().map(|p| number(&p[1][0])).fold(f64::NEG_INFINITY, f64::max);
        let (middle, datum) = (bounds(&part.contours).0[0] + starboard, datum(&part));
        Self::moved(part, |p| [middle - p[0], p[1] - datum])
    }

    fn centre(part: Part, front: f64) -> Self {
        let (low, datum) = (bounds(&part.contours).0, datum(&part));
        Self::moved(part, |p| [p[0] - low[0] + front, p[1] - datum])
    }

    /// Begins at the first former that is joined to it, and butts on the centre template's face.
    fn breadth(part: Part, port: bool, wanted: &Wanted, said: &Value) -> Self {
        let (low, high) = bounds(&part.contours);
        let joined = |f: &&Value| {
            let joints = f["joints"].as_array().unwrap();
            joints.iter().any(|j| j["with"].as_str().unwrap().starts_with("breadth"))
        };
        let first = said["formers"].as_array().unwrap().iter().find(joined).expect("a former that is joined");
        let front = number(&first["front_mm"]);
        let inner = if port { high[1] + 0.5 * wanted.card } else { low[1] - 0.5 * wanted.card };
        Self::moved(part, |p| [p[0] - low[0] + front, p[1] - inner])
    }

    pub(crate) fn pieces(&self) -> usize {
        outer(&self.contours).len()
    }
}

/// Where the datum waterline lies on the sheet.
fn datum(part: &Part) -> f64 {
    part.level().unwrap_or_else(|| panic!("no datum waterline on {}", part.words)).points[0][1]
}
