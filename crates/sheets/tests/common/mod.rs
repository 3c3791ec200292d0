//! Parts shared by the tests of this crate.
#![allow(dead_code)] // each test file uses some of them
#![allow(clippy::unwrap_used)] // tests may stop at the first surprise

use sheets::{CentreStation, CentreTemplate, Drawing, FormerTemplate, Ink, Part, Path, Stroke};

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

/// A former with a superelliptic section of exponent 2.5, its breadth line `rise` above the datum.
pub(crate) fn former(number: usize, half_breadth: f64, height: f64, rise: f64) -> FormerTemplate {
    let half_section: Vec<[f64; 2]> = (0..=180)
        .map(|k| f64::from(k).to_radians().sin_cos())
        .map(|(s, c)| {
            let y = if s < 1e-12 { 0.0 } else { half_breadth * s.powf(0.8) };
            [y, rise + height / 2.0 * c.signum() * c.abs().powf(0.8)]
        })
        .collect();
    FormerTemplate {
        number,
        station_mm: 31.5 * number as f64,
        knuckles: vec![half_section[120]],
        half_section,
        breadth_height: rise,
        half_breadth,
        datum_z: 0.0,
        marks: Vec::new(),
        notes: vec!["finished outside: no laminate, no card thickness taken off".to_owned()],
        project: "Heron one".to_owned(),
        form: "Cowling".to_owned(),
    }
}

/// A centre template 360 mm long times `scale`, with ten stations.
pub(crate) fn centre(scale: f64) -> CentreTemplate {
    let line =
        |f: fn(f64) -> f64| (0..=60).map(|k| f64::from(k) / 60.0).map(|t| [360.0 * t * scale, f(t) * scale]).collect();
    let crown = |t: f64| 60.0 * t.powf(0.4);
    let keel = |t: f64| -50.0 * t.powf(0.5);
    let stations = (1..=10)
        .map(|n| {
            let x = f64::from(n) * 35.0;
            CentreStation {
                number: n as usize,
                x_mm: x * scale,
                low_mm: keel(x / 360.0) * scale,
                high_mm: crown(x / 360.0) * scale,
            }
        })
        .collect();
    CentreTemplate {
        crown: line(crown),
        keel: line(keel),
        stations,
        datum_z: 0.0,
        marks: Vec::new(),
        notes: vec!["finished outside: no laminate, no card thickness taken off".to_owned()],
        project: "Heron one".to_owned(),
        form: "Cowling".to_owned(),
    }
}
