//! Parts shared by the tests of this crate.
#![allow(dead_code)] // each test file uses some of them

use sheets::{Drawing, Ink, Part, Path, Stroke};

/// Boxes of a CSV under tests/data.
pub(crate) fn boxes(csv: &str) -> Vec<[f64; 2]> {
    csv.lines()
        .filter(|l| !l.starts_with('#'))
        .map(|l| {
            let mut v = l.split(',').map(|n| n.parse().unwrap());
            [v.next().unwrap(), v.next().unwrap()]
        })
        .collect()
}

pub(crate) fn twelve() -> Vec<[f64; 2]> {
    boxes(include_str!("../data/formers-12.csv"))
}

pub(crate) fn twenty_five() -> Vec<[f64; 2]> {
    boxes(include_str!("../data/formers-25.csv"))
}

/// A superelliptic outline of exponent `n` in a box.
pub(crate) fn oval(id: usize, [w, h]: [f64; 2], n: f64) -> Part {
    let points: Vec<[f64; 2]> = (0..360)
        .map(|k| f64::from(k).to_radians())
        .map(|a| {
            let f = |v: f64| v.signum() * v.abs().powf(2.0 / n);
            [w / 2.0 * f(a.cos()), h / 2.0 * f(a.sin())]
        })
        .collect();
    let mut d = Drawing::default();
    d.push(Path::polygon(&points, Some(Stroke::solid(0.25, Ink::BLACK)), None));
    Part::new(format!("former-{id}"), format!("Former {id}"), d)
}

/// Ovals for boxes.
pub(crate) fn ovals(boxes: &[[f64; 2]], n: f64) -> Vec<Part> {
    boxes.iter().enumerate().map(|(k, &b)| oval(k + 1, b, n)).collect()
}
