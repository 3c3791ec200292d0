//! Whole bodies given as tables of offsets, held against closed forms.

use geometry::control::ControlShape;
use geometry::line::{Line, LineEnd, LinePoint, Pass};
use geometry::loft::{Lengthwise, Lines, Loft};
use geometry::measured::{Measured, MeasuredCurve};

type Section = (f64, Vec<[f64; 2]>);

fn loft(stations: &[Section], ridge: bool, front: LineEnd, rear: LineEnd) -> Loft {
    let mut lines: [Vec<LinePoint>; 4] = Default::default();
    let mut controls: Vec<ControlShape> = Vec::new();
    for (x, points) in stations {
        let m = Measured { points, knuckles: &[], crown_ridge: ridge, keel_ridge: ridge, breadth_point: None };
        let curve = MeasuredCurve::new(&m).unwrap();
        let values = [curve.crown, curve.keel, curve.half_breadth, curve.breadth_height];
        for (line, value) in lines.iter_mut().zip(values) {
            line.push(LinePoint { x: *x, value, pass: Pass::Smooth });
        }
        let shape = curve.control_shape(*x);
        if shape.upper.is_some() || shape.lower.is_some() {
            controls.push(shape);
        }
    }
    let line = |i: usize| Line::new(&lines[i], front, rear).unwrap();
    let bh = Line::new(&lines[3], LineEnd::Free, LineEnd::Free).unwrap();
    Loft::new(
        Lines { crown: line(0), keel: line(1), breadth: line(2), breadth_height: bh },
        &controls,
        Lengthwise::Fair,
    )
    .unwrap()
}

fn superelliptic(b: f64, h: f64, zc: f64, n: f64) -> Vec<[f64; 2]> {
    let power = |c: f64| c.signum() * c.abs().powf(2.0 / n);
    (0..25)
        .map(|i| {
            let a = std::f64::consts::PI * f64::from(i) / 24.0;
            let y = if i == 0 || i == 24 { 0.0 } else { b * power(a.sin()) };
            [y, zc + h * power(a.cos())]
        })
        .collect()
}

fn report(name: &str, loft: &Loft, volume: f64, surface: f64, areas: &[(f64, f64)]) {
    let m = loft.measures(1e-6);
    println!(
        "{name}: volume {:+.2e} surface {:+.2e} limited {:?}",
        m.volume / volume - 1.0,
        m.lateral_surface / surface - 1.0,
        loft.limited_bays().count()
    );
    for (x, a) in areas {
        println!("   x {x:8.3} area {:+.2e}", loft.section(*x).unwrap().area() / a - 1.0);
    }
}

#[test]
fn probe() {
    let stations: Vec<Section> = (0..13)
        .map(|i| {
            let x = -72.0 + 14.0 * f64::from(i);
            let k = f64::sqrt(1.0 - (x / 120.0) * (x / 120.0));
            (x, superelliptic(70.0 * k, 55.0 * k, 0.0, 2.0))
        })
        .collect();
    let l = loft(&stations, false, LineEnd::Free, LineEnd::Free);
    let areas: Vec<(f64, f64)> = (0..12)
        .map(|i| {
            let x = -65.0 + 14.0 * f64::from(i);
            (x, std::f64::consts::PI * 70.0 * 55.0 * (1.0 - x * x / 14400.0))
        })
        .collect();
    report("ellipsoid", &l, 1679771.892762619, 61671.139573701264, &areas);

    let stations: Vec<Section> = (0..13)
        .map(|i| {
            let x = -500.0 + 1000.0 / 12.0 * f64::from(i);
            let k = 50.0 * (1.0 - (x / 500.0).powi(2)).max(0.0);
            (
                x,
                (0..25)
                    .map(|i| {
                        let a = std::f64::consts::PI * f64::from(i) / 24.0;
                        [if i == 0 || i == 24 { 0.0 } else { k * a.sin().powi(2) }, 62.5 * a.cos()]
                    })
                    .collect(),
            )
        })
        .collect();
    let l = loft(&stations, true, LineEnd::Free, LineEnd::Free);
    report("hull", &l, 8.0 / 9.0 * 1000.0 * 100.0 * 62.5, 2.0 * 148790.63, &[]);

    let stations: Vec<Section> = (0..13)
        .map(|i| {
            let xf = 360.0 * f64::from(i) / 12.0;
            let t = xf / 360.0;
            let b = 70.0 - 38.0 * (0.35 * t * t + 0.65 * t.powi(6));
            let h = 55.0 - 23.0 * (0.5 * t * t + 0.5 * t.powi(5));
            let n = 2.6 - 0.6 * (3.0 * t * t - 2.0 * t * t * t);
            (xf, superelliptic(b, h, -6.0 * t * t, n))
        })
        .collect();
    let l = loft(&stations, false, LineEnd::Free, LineEnd::Free);
    report("nose", &l, 1.0, 1.0, &[]);
    println!("{:?}", l.measures(1e-6));
}

#[test]
fn probe_points() {
    use std::f64::consts::PI;
    for (name, ends) in [("upright", LineEnd::Upright), ("free", LineEnd::Free)] {
        let stations: Vec<Section> = (0..13)
            .map(|i| {
                let x = -120.0 + 20.0 * f64::from(i);
                let k = f64::sqrt((1.0 - (x / 120.0) * (x / 120.0)).max(0.0));
                (x, if k == 0.0 { vec![[0.0, 0.0], [0.0, 0.0]] } else { superelliptic(70.0 * k, 55.0 * k, 0.0, 2.0) })
            })
            .collect();
        // point stations are not sections: lines only
        let mut lines: [Vec<LinePoint>; 4] = Default::default();
        let mut controls = vec![];
        for (x, p) in &stations {
            let values = if p.len() == 2 {
                [0.0; 4]
            } else {
                let m =
                    Measured { points: p, knuckles: &[], crown_ridge: false, keel_ridge: false, breadth_point: None };
                let c = MeasuredCurve::new(&m).unwrap();
                controls.push(c.control_shape(*x));
                [c.crown, c.keel, c.half_breadth, c.breadth_height]
            };
            for (l, v) in lines.iter_mut().zip(values) {
                l.push(LinePoint { x: *x, value: v, pass: Pass::Smooth });
            }
        }
        let line = |i: usize| Line::new(&lines[i], ends, ends).unwrap();
        println!("turn back {:?}", line(0).turns_back());
        let bh = Line::new(&lines[3], LineEnd::Free, LineEnd::Free).unwrap();
        let l = Loft::new(
            Lines { crown: line(0), keel: line(1), breadth: line(2), breadth_height: bh },
            &controls,
            Lengthwise::Fair,
        )
        .unwrap();
        let areas: Vec<(f64, f64)> = (0..6)
            .map(|i| {
                let x = -119.0 + 20.0 * f64::from(i);
                (x, PI * 70.0 * 55.0 * (1.0 - x * x / 14400.0))
            })
            .collect();
        report(name, &l, 4.0 / 3.0 * PI * 120.0 * 70.0 * 55.0, 1.0, &areas);
    }
}

#[test]
fn probe_mesh() {
    let stations: Vec<Section> = (0..13)
        .map(|i| {
            let x = -72.0 + 14.0 * f64::from(i);
            let k = f64::sqrt(1.0 - (x / 120.0) * (x / 120.0));
            (x, superelliptic(70.0 * k, 55.0 * k, 0.0, 2.0))
        })
        .collect();
    let l = loft(&stations, false, LineEnd::Free, LineEnd::Free);
    for tol in [1.0, 0.1, 0.01] {
        let t = std::time::Instant::now();
        let m = l.mesh(tol);
        println!("tol {tol} tri {} open {} vol {:+.2e} bound {:.2e} time {:?}", m.triangles.len(), m.open_edges(), m.volume() / 1679771.892762619 - 1.0, tol * 61671.0 / 1679771.0, t.elapsed());
    }
    let t = std::time::Instant::now();
    let b = l.measures(1e-4);
    println!("measures {:?} {}", t.elapsed(), b.volume);
}
