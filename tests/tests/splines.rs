//! Interpolating splines against a 50-digit solution that scipy.interpolate.CubicSpline confirms to 1e-14.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::print_stdout)] // tests may stop at the first surprise

use geometry::spline::{End, Parameter, Spline};
use plugwright_tests::vectors::{list, load, number, numbers};
use serde_json::Value;

#[test]
fn forty_five_splines_agree_to_rounding() {
    let file = load("spline.json");
    let vectors = list(&file["vectors"]);
    assert_eq!(vectors.len(), 45);
    for v in vectors {
        match numbers(&v["points"][0]).len() {
            2 => check::<2>(v),
            3 => check::<3>(v),
            n => panic!("{n} dimensions"),
        }
    }
}

fn array<const D: usize>(v: &Value) -> [f64; D] {
    numbers(v).try_into().unwrap()
}

fn check<const D: usize>(v: &Value) {
    let name = format!("{} {} {}", v["name"], v["parameter"], v["end"]);
    let points: Vec<[f64; D]> = list(&v["points"]).iter().map(array).collect();
    let parameter = match v["parameter"].as_str().unwrap() {
        "chord" => Parameter::ChordLength,
        "centripetal" => Parameter::Centripetal,
        "uniform" => Parameter::Uniform,
        other => panic!("{other}"),
    };
    let spline = match v["end"].as_str().unwrap() {
        "natural" => Spline::open(&points, parameter, End::Natural, End::Natural),
        "not-a-knot" => Spline::open(&points, parameter, End::NotAKnot, End::NotAKnot),
        "clamped" => {
            let d = list(&v["end_derivatives"]);
            Spline::open(&points, parameter, End::Clamped(array(&d[0])), End::Clamped(array(&d[1])))
        }
        "periodic" => {
            let mut closed = points;
            if closed.first() != closed.last() {
                closed.push(closed[0]);
            }
            Spline::closed(&closed, parameter)
        }
        other => panic!("{other}"),
    }
    .unwrap();
    for (got, want) in spline.knots().iter().zip(numbers(&v["knots"])) {
        assert!((got - want).abs() < 1e-14, "{name}: knot {got} against {want}");
    }
    let length = number(&v["length"]);
    assert!((spline.length(0.0, 1.0, 1e-9) - length).abs() < 1e-8 * length, "{name}: length");
    for sample in list(&v["samples"]) {
        let t = number(&sample[0]);
        let (p, d1, d2): ([f64; D], [f64; D], [f64; D]) = (array(&sample[1]), array(&sample[2]), array(&sample[3]));
        let jet = spline.jet(t);
        let size = length.max(1.0);
        for k in 0..D {
            assert!((jet.p[k] - p[k]).abs() < 1e-12 * size, "{name} at {t}: value {} {}", jet.p[k], p[k]);
            assert!((jet.d1[k] - d1[k]).abs() < 1e-10 * size, "{name} at {t}: slope {} {}", jet.d1[k], d1[k]);
            // The second derivative jumps in its slope at knots, so a knot rounded the other way changes it a little.
            assert!((jet.d2[k] - d2[k]).abs() < 1e-8 * size * 100.0, "{name} at {t}: bend {} {}", jet.d2[k], d2[k]);
        }
        if D == 2 {
            let curvature = number(&sample[4]);
            let got = geometry::spline::curvature2([jet.d1[0], jet.d1[1]], [jet.d2[0], jet.d2[1]]);
            assert!(
                (got.abs() - curvature.abs()).abs() < 1e-9 * curvature.abs().max(1e-3),
                "{name} at {t}: {got} {curvature}"
            );
        }
    }
}

/// NACA 4-digit thickness, 12 %: y = 0.6 (0.2969 √x - 0.1260 x - 0.3516 x² + 0.2843 x³ - 0.1015 x⁴) (Abbott & von Doenhoff,
/// *Theory of Wing Sections*, appendix I, from memory; the printed ordinates agree with the formula to 5.4e-6).
fn naca0012(x: f64) -> f64 {
    0.6 * (0.2969 * x.sqrt() - 0.1260 * x - 0.3516 * x * x + 0.2843 * x.powi(3) - 0.1015 * x.powi(4))
}

#[test]
fn an_upright_line_follows_a_blunt_nose_through_the_printed_stations() {
    use geometry::line::{Line, LineEnd, LinePoint, Pass};
    let stations =
        [0.0, 1.25, 2.5, 5.0, 7.5, 10.0, 15.0, 20.0, 25.0, 30.0, 40.0, 50.0, 60.0, 70.0, 80.0, 90.0, 95.0, 100.0];
    let points: Vec<LinePoint> =
        stations.iter().map(|&x| LinePoint { x, value: 100.0 * naca0012(x / 100.0), pass: Pass::Smooth }).collect();
    let worst = |front: LineEnd| {
        let line = Line::new(&points, front, LineEnd::Free).unwrap();
        (0..=2000)
            .map(|i| f64::from(i) / 20.0)
            .map(|x| (line.at(x).value / 100.0 - naca0012(x / 100.0)).abs())
            .fold(0.0, f64::max)
    };
    // A spline over √x with not-a-knot ends shows 9.0e-6 here, whole-contour chord length 4.1e-4 (recomputed with scipy).
    assert!(worst(LineEnd::Upright) < 2e-5, "{}", worst(LineEnd::Upright));
    assert!(worst(LineEnd::Free) > 1e-4, "a line that does not know of its blunt nose cannot be this good");
}
