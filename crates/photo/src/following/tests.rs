//! Edges of drawn shapes, held against the shapes' own formulas.

use super::*;

/// Even numbers of a fixed sequence (xorshift; G. Marsaglia 2003, from memory).
struct Dice(u64);

impl Dice {
    fn even(&mut self) -> f64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 >> 11) as f64 / (1u64 << 53) as f64
    }

    fn normal(&mut self) -> f64 {
        (-2.0 * (1.0 - self.even()).ln()).sqrt() * (std::f64::consts::TAU * self.even()).cos()
    }
}

/// A scene in linear light, and how it is taken: a Gaussian blur in pixels, noise in levels of 255.
struct Scene<F: Fn([f64; 2]) -> [f64; 3]> {
    size: [usize; 2],
    light: F,
    blur: f64,
    noise: f64,
}

fn coded(light: f64) -> f64 {
    if light <= 0.003_130_8 { 12.92 * light } else { 1.055 * light.powf(1.0 / 2.4) - 0.055 }
}

impl<F: Fn([f64; 2]) -> [f64; 3]> Scene<F> {
    fn photo(&self) -> Photo {
        let [w, h] = self.size;
        let mut plane = vec![[0.0; 3]; w * h];
        for (i, slot) in plane.iter_mut().enumerate() {
            for s in 0..64 {
                let at = |k: usize, n: usize| k as f64 + (n as f64 + 0.5) / 8.0;
                let light = (self.light)([at(i % w, s % 8), at(i / w, s / 8)]);
                *slot = [0, 1, 2].map(|k| slot[k] + light[k] / 64.0);
            }
        }
        let plane = blurred(&blurred(&plane, w, h, self.blur, 1), w, h, self.blur, w);
        let mut dice = Dice(0x9E37_79B9_7F4A_7C15);
        let mut rgba = Vec::with_capacity(4 * w * h);
        for pixel in plane {
            rgba.extend(pixel.map(|l| (255.0 * coded(l) + self.noise * dice.normal()).round().clamp(0.0, 255.0) as u8));
            rgba.push(255);
        }
        Photo { width: w as u32, height: h as u32, rgba }
    }
}

fn blurred(plane: &[[f64; 3]], w: usize, h: usize, sigma: f64, stride: usize) -> Vec<[f64; 3]> {
    if sigma <= 0.0 {
        return plane.to_vec();
    }
    let half = (4.0 * sigma).ceil() as i64;
    let (length, weight) = (if stride == 1 { w } else { h }, |k: i64| (-0.5 * (k as f64 / sigma).powi(2)).exp());
    let total: f64 = (-half..=half).map(weight).sum();
    let mixed = |i: usize| {
        let place = if stride == 1 { i % w } else { i / w };
        (-half..=half).fold([0.0; 3], |sum, k| {
            let other = (place as i64 + k).clamp(0, length as i64 - 1) as usize;
            let from = plane[i + other * stride - place * stride];
            [0, 1, 2].map(|c| sum[c] + from[c] * weight(k) / total)
        })
    };
    (0..plane.len()).map(mixed).collect()
}

const DARK: [f64; 3] = [0.04, 0.05, 0.09];
const LIGHT: [f64; 3] = [0.62, 0.60, 0.55];

fn disc(centre: [f64; 2], radius: f64) -> impl Fn([f64; 2]) -> [f64; 3] {
    move |p| if (p[0] - centre[0]).hypot(p[1] - centre[1]) < radius { DARK } else { LIGHT }
}

fn rms(values: impl Iterator<Item = f64>) -> f64 {
    let (sum, n) = values.fold((0.0, 0.0), |(s, n), v| (s + v * v, n + 1.0));
    f64::sqrt(sum / n)
}

/// Picks round a circle, off by 2 to 5 px inwards and outwards in turn.
fn picks_round(centre: [f64; 2], radius: f64, count: usize, to: f64) -> Vec<[f64; 2]> {
    let off = [3.0, -4.0, 2.0, -2.5, 5.0, -3.0, 4.0, -2.0, 3.5, -5.0];
    let pick = |i: usize| {
        let a = to * i as f64 / (count - 1) as f64;
        let r = radius + off[i % off.len()];
        [centre[0] + r * a.cos(), centre[1] + r * a.sin()]
    };
    (0..count).map(pick).collect()
}

const NOISY: f64 = 3.0;

#[test]
fn an_arc_picked_roughly_is_found_to_a_tenth_of_a_pixel() {
    let (centre, radius) = ([140.37, 150.81], 110.0);
    let photo = Scene { size: [280, 290], light: disc(centre, radius), blur: 1.0, noise: NOISY }.photo();
    let found = follow(&photo, &picks_round(centre, radius, 8, 4.5), &Following::default()).unwrap();
    assert!(!found.closed);
    let off = |p: &EdgePoint| (p.pixel[0] - centre[0]).hypot(p.pixel[1] - centre[1]) - radius;
    let share = found.sure().count() as f64 / found.points.len() as f64;
    assert!(share > 0.97, "{share}");
    let error = rms(found.sure().map(off));
    let expected = rms(found.sure().map(|p| off(p) / p.deviation));
    println!("arc: rms {error:.4} px, {expected:.2} deviations");
    assert!(error < 0.1, "{error}");
    assert!((0.6..1.6).contains(&expected), "the deviation is honest: {expected}");
    let step: Vec<f64> = found.points.windows(2).map(|w| curve::distance(w[0].pixel, w[1].pixel)).collect();
    assert!(step.iter().all(|s| (2.5..5.5).contains(s)), "spaced as asked: {step:?}");
}

#[test]
fn a_closed_loop_goes_all_round_once() {
    let (centre, radius) = ([101.2, 99.6], 70.0);
    let photo = Scene { size: [200, 200], light: disc(centre, radius), blur: 1.0, noise: NOISY }.photo();
    let mut picks = picks_round(centre, radius, 9, std::f64::consts::TAU);
    picks[8] = [picks[0][0] + 1.0, picks[0][1] - 1.0];
    let found = follow(&photo, &picks, &Following::default()).unwrap();
    assert!(found.closed);
    let off = |p: &EdgePoint| (p.pixel[0] - centre[0]).hypot(p.pixel[1] - centre[1]) - radius;
    let error = rms(found.points.iter().map(off));
    println!("loop: rms {error:.4} px over {}", found.points.len());
    assert!(error < 0.1, "{error}");
    assert!((found.points.len() as f64 - std::f64::consts::TAU * radius / 4.0).abs() < 3.0);
    let seam = curve::distance(found.points[0].pixel, found.points[found.points.len() - 1].pixel);
    assert!((2.0..7.0).contains(&seam), "{seam}");
}

/// What blur takes off a bend is put back: of 2 px blur on a radius of 20 px, b²/2R = 0.1 px.
#[test]
fn a_tight_bend_is_not_cut_short() {
    let (centre, radius) = ([40.2, 39.7], 20.0);
    let photo = Scene { size: [80, 80], light: disc(centre, radius), blur: 2.0, noise: 0.0 }.photo();
    let pick = |i: i32| {
        let (s, c) = (std::f64::consts::FRAC_PI_4 * f64::from(i % 8)).sin_cos();
        let r = radius + if i % 2 == 0 { 1.5 } else { -1.5 };
        [centre[0] + r * c, centre[1] + r * s]
    };
    let picks: Vec<[f64; 2]> = (0..9).map(pick).collect();
    let found = follow(&photo, &picks, &Following { spacing: 1.0, ..Following::default() }).unwrap();
    let off = |p: &EdgePoint| (p.pixel[0] - centre[0]).hypot(p.pixel[1] - centre[1]) - radius;
    let mean = found.sure().map(off).sum::<f64>() / found.sure().count() as f64;
    println!("bend: mean {mean:.4}, rms {:.4} px", rms(found.sure().map(off)));
    assert!(mean.abs() < 0.03, "{mean}");
    assert!(rms(found.sure().map(off)) < 0.08);
}

/// Distance from an ellipse to first order: F / |∇F|, exact to the square of a small distance.
#[test]
fn an_ellipse_is_found_from_picks_a_hundred_pixels_apart() {
    let (c, a, b) = ([330.4, 160.3], 280.0, 110.0);
    let f = move |p: [f64; 2]| ((p[0] - c[0]) / a).powi(2) + ((p[1] - c[1]) / b).powi(2) - 1.0;
    let light = move |p| if f(p) < 0.0 { LIGHT } else { DARK };
    let photo = Scene { size: [660, 320], light, blur: 1.0, noise: NOISY }.photo();
    let pick = |i: usize| {
        let t = 3.3 + 2.8 * i as f64 / 6.0;
        let off = if i.is_multiple_of(2) { 3.0 } else { -3.0 };
        [c[0] + (a + off) * t.cos(), c[1] + (b + off) * t.sin()]
    };
    let picks: Vec<[f64; 2]> = (0..7).map(pick).collect();
    let found = follow(&photo, &picks, &Following::default()).unwrap();
    let off = |p: [f64; 2]| {
        let slope = [2.0 * (p[0] - c[0]) / (a * a), 2.0 * (p[1] - c[1]) / (b * b)];
        f(p) / slope[0].hypot(slope[1])
    };
    let error = rms(found.sure().map(|p| off(p.pixel)));
    println!("ellipse: rms {error:.4} px, {} of {} sure", found.sure().count(), found.points.len());
    assert!(error < 0.1, "{error}");
    assert!(found.sure().count() * 20 > found.points.len() * 19);
}

fn half_plane(through: [f64; 2], degrees: f64, above: [f64; 3], below: [f64; 3]) -> impl Fn([f64; 2]) -> [f64; 3] {
    move |p| if from_line(p, through, degrees) < 0.0 { above } else { below }
}

fn from_line(p: [f64; 2], through: [f64; 2], degrees: f64) -> f64 {
    let (s, c) = degrees.to_radians().sin_cos();
    (p[1] - through[1]) * c - (p[0] - through[0]) * s
}

#[test]
fn two_picks_are_enough_and_the_edge_lies_where_light_is_halved() {
    let through = [100.0, 60.43];
    let light = half_plane(through, 7.0, [0.01; 3], [0.9; 3]);
    let photo = Scene { size: [200, 120], light, blur: 1.3, noise: 1.0 }.photo();
    let found = follow(&photo, &[[15.0, 53.0], [185.0, 68.0]], &Following::default()).unwrap();
    let off: Vec<f64> = found.sure().map(|p| from_line(p.pixel, through, 7.0)).collect();
    let mean = off.iter().sum::<f64>() / off.len() as f64;
    println!("line: mean {mean:.4}, rms {:.4} px", rms(off.iter().copied()));
    assert!(off.len() + 1 >= found.points.len());
    // In coded values the steepest place would lie 0.9 px to the dark side.
    assert!(mean.abs() < 0.03 && rms(off.into_iter()) < 0.06);
    assert!(found.sure().all(|p| (p.strength / (0.89 * 3f64.sqrt()) - 1.0).abs() < 0.1));
}

/// Both colours have the same luminance (0.2126 R + 0.7152 G + 0.0722 B, Rec. 709), so a grey picture shows nothing.
#[test]
fn an_edge_of_colour_alone_is_found() {
    let (red, green) = ([0.60, 0.15, 0.20], [0.10, 0.298_63, 0.20]);
    let lightness = |c: [f64; 3]| 0.2126 * c[0] + 0.7152 * c[1] + 0.0722 * c[2];
    assert!((lightness(red) - lightness(green)).abs() < 1e-5);
    let through = [100.0, 60.77];
    let photo =
        Scene { size: [200, 120], light: half_plane(through, -11.0, red, green), blur: 1.0, noise: NOISY }.photo();
    let found = follow(&photo, &[[20.0, 80.0], [100.0, 57.0], [180.0, 47.0]], &Following::default()).unwrap();
    let error = rms(found.sure().map(|p| from_line(p.pixel, through, -11.0)));
    println!("colour: rms {error:.4} px, {} of {}", found.sure().count(), found.points.len());
    assert!(found.sure().count() + 1 >= found.points.len());
    assert!(error < 0.15, "{error}");
}

/// A stripe twelve pixels beside the edge has four times its contrast.
#[test]
fn a_stronger_edge_twelve_pixels_away_does_not_win() {
    let through = [150.0, 70.2];
    let light = move |p: [f64; 2]| match from_line(p, through, 4.0) {
        d if d < 0.0 => [0.30; 3],
        d if d < 12.0 => [0.18; 3],
        _ => [0.75, 0.70, 0.60],
    };
    let photo = Scene { size: [300, 150], light, blur: 1.0, noise: 2.0 }.photo();
    let picks = [[20.0, 64.0], [80.0, 62.0], [150.0, 73.0], [220.0, 71.5], [280.0, 81.0]];
    let found = follow(&photo, &picks, &Following::default()).unwrap();
    let error = rms(found.points.iter().map(|p| from_line(p.pixel, through, 4.0)));
    println!("competing: rms {error:.4} px, {} of {} sure", found.sure().count(), found.points.len());
    assert!(error < 0.2, "{error}");
}

/// Two edges six pixels apart, as strong and as near: whichever is followed, it is said.
#[test]
fn edges_that_compete_are_told() {
    let light = |p: [f64; 2]| match p[1] {
        y if y < 37.0 => [0.2; 3],
        y if y < 43.0 => [0.5; 3],
        _ => [0.2; 3],
    };
    let photo = Scene { size: [160, 80], light, blur: 0.8, noise: 1.0 }.photo();
    let found = follow(&photo, &[[10.0, 40.0], [150.0, 40.0]], &Following::default()).unwrap();
    let told = found.points.iter().filter(|p| p.doubt == Some(Doubt::TwoEdges)).count();
    assert!(told * 10 > found.points.len() * 9, "{told} of {}", found.points.len());
}

/// Another edge ends on the one that is followed.
#[test]
fn at_a_t_junction_the_line_goes_on() {
    let through = [120.0, 60.3];
    let light = move |p: [f64; 2]| match (from_line(p, through, 0.0) < 0.0, p[0] < 120.0) {
        (true, true) => [0.65; 3],
        (true, false) => [0.40; 3],
        (false, _) => [0.06; 3],
    };
    let photo = Scene { size: [240, 120], light, blur: 1.0, noise: 2.0 }.photo();
    let found =
        follow(&photo, &[[15.0, 63.0], [85.0, 57.0], [150.0, 63.0], [225.0, 59.0]], &Following::default()).unwrap();
    let off: Vec<f64> = found.sure().map(|p| from_line(p.pixel, through, 0.0)).collect();
    let most = off.iter().fold(0.0, |m: f64, o| m.max(o.abs()));
    println!(
        "junction: rms {:.4}, most {most:.3}, {} of {} sure",
        rms(off.iter().copied()),
        off.len(),
        found.points.len()
    );
    assert!(most < 0.4 && off.len() * 10 > found.points.len() * 9);
}

/// Something stands before the edge for 40 px: nothing is invented there.
#[test]
fn where_the_edge_is_hidden_it_is_said() {
    let light = |p: [f64; 2]| match (p[1] < 60.4, (100.0..160.0).contains(&p[0])) {
        (_, true) => [0.4; 3],
        (true, false) => LIGHT,
        (false, false) => DARK,
    };
    let photo = Scene { size: [260, 120], light, blur: 1.0, noise: 2.0 }.photo();
    let found =
        follow(&photo, &[[10.0, 58.0], [80.0, 63.0], [170.0, 58.0], [250.0, 62.0]], &Following::default()).unwrap();
    let hidden = |p: &&EdgePoint| (106.0..154.0).contains(&p.pixel[0]);
    assert!(found.points.iter().filter(hidden).all(|p| p.doubt.is_some()));
    assert!(found.sure().all(|p| (p.pixel[1] - 60.4).abs() < 0.1 + 3.0 * p.deviation));
    assert!(found.sure().filter(|p| p.deviation < 0.1).count() > 40);
}

#[test]
fn a_corner_is_where_both_sides_meet() {
    let at = [100.3, 50.6];
    let light =
        move |p: [f64; 2]| if from_line(p, at, 12.0) > 0.0 && from_line(p, at, -60.0) < 0.0 { DARK } else { LIGHT };
    let photo = Scene { size: [220, 140], light, blur: 1.0, noise: 2.0 }.photo();
    // Below the first line and left of the second: the edge runs along both from where they meet.
    let along = |degrees: f64, t: f64| {
        let (s, c) = degrees.to_radians().sin_cos();
        [at[0] + t * c, at[1] + t * s]
    };
    let mut picks = vec![along(12.0, -90.0), along(12.0, -45.0), [at[0] + 2.0, at[1] + 2.0]];
    picks.extend([along(-60.0, -40.0), along(-60.0, -80.0)]);
    for (i, pick) in picks.iter_mut().enumerate().filter(|(i, _)| *i != 2) {
        pick[1] += if i % 2 == 0 { 2.0 } else { -2.0 };
    }
    let found = follow(&photo, &picks, &Following { corners: vec![2], ..Following::default() }).unwrap();
    let nearest = found.sure().map(|p| curve::distance(p.pixel, at)).fold(f64::MAX, f64::min);
    println!("corner: {nearest:.3} px off");
    assert!(nearest < 0.25, "{nearest}");
    let off = |p: &EdgePoint| from_line(p.pixel, at, 12.0).abs().min(from_line(p.pixel, at, -60.0).abs());
    assert!(found.sure().all(|p| off(p) < 0.4));
}

#[test]
fn a_pick_is_drawn_to_the_strongest_edge_near_it() {
    let (centre, radius) = ([60.3, 61.8], 40.0);
    let photo = Scene { size: [120, 120], light: disc(centre, radius), blur: 1.0, noise: NOISY }.photo();
    for i in 0..12 {
        let a = 0.5 * f64::from(i);
        let r = radius + if i % 2 == 0 { 4.0 } else { -4.0 };
        let p = snap(&photo, [centre[0] + r * a.cos(), centre[1] + r * a.sin()], &Following::default()).unwrap();
        let off = (p.pixel[0] - centre[0]).hypot(p.pixel[1] - centre[1]) - radius;
        assert!(off.abs() < 0.25, "{i}: {off}");
    }
    assert_eq!(snap(&photo, centre, &Following::default()), Err(FollowError::NoEdge));
    assert_eq!(snap(&photo, [-3.0, 5.0], &Following::default()), Err(FollowError::OffPicture));
}

fn flat(width: u32, height: u32) -> Photo {
    Photo { width, height, rgba: [128, 128, 128, 255].repeat((width * height) as usize) }
}

#[test]
fn where_there_is_no_edge_it_says_so() {
    let plain = follow(&flat(100, 80), &[[10.0, 40.0], [90.0, 40.0]], &Following::default());
    assert_eq!(plain, Err(FollowError::NoEdge));
    let noise = Scene { size: [300, 80], light: |_| [0.4; 3], blur: 0.0, noise: 5.0 }.photo();
    match follow(&noise, &[[10.0, 40.0], [290.0, 40.0]], &Following::default()) {
        Err(e) => assert_eq!(e, FollowError::NoEdge),
        Ok(found) => assert!(found.sure().count() <= 2, "{} points invented", found.sure().count()),
    }
}

#[test]
fn what_runs_off_the_picture_is_marked() {
    let through = [50.0, 40.5];
    let photo = Scene { size: [100, 80], light: half_plane(through, 0.0, LIGHT, DARK), blur: 1.0, noise: 1.0 }.photo();
    let found = follow(&photo, &[[-40.0, 41.0], [40.0, 39.0], [140.0, 41.0]], &Following::default()).unwrap();
    let on = |p: &EdgePoint| (0.0..=100.0).contains(&p.pixel[0]);
    assert!(found.points.iter().filter(|p| !on(p)).all(|p| p.doubt == Some(Doubt::OffPicture)));
    assert!(found.points.iter().filter(|p| !on(p)).count() > 10);
    assert!(found.sure().count() > 20 && found.sure().all(|p| from_line(p.pixel, through, 0.0).abs() < 0.2));
    let along_the_border = follow(&photo, &[[5.0, 0.0], [95.0, 0.0]], &Following::default());
    assert!(along_the_border.map_or(0, |f| f.sure().count()) <= 1, "a border is no edge");
}

#[test]
fn bad_input_is_refused_with_a_hint_and_never_panics() {
    let photo = flat(40, 30);
    let how = Following::default();
    let refused = |picks: &[[f64; 2]], how: &Following| follow(&photo, picks, how).unwrap_err();
    assert_eq!(refused(&[], &how), FollowError::TooFew(0));
    assert_eq!(refused(&[[5.0, 5.0]], &how), FollowError::TooFew(1));
    assert_eq!(refused(&[[5.0, 5.0]; 3], &how), FollowError::TooFew(1));
    assert_eq!(refused(&[[5.0, 5.0], [f64::NAN, 5.0]], &how), FollowError::NotANumber(1));
    assert_eq!(refused(&[[-5.0, 5.0], [-5.0, 50.0]], &how), FollowError::OffPicture);
    assert!(matches!(refused(&[[5.0, 5.0], [1e9, 5.0]], &how), FollowError::TooLong(_)));
    let corner = Following { corners: vec![1], ..Following::default() };
    assert_eq!(refused(&[[5.0, 5.0], [9.0, 5.0]], &corner), FollowError::NoSuchCorner(1));
    for bad in [f64::NAN, 0.0, -3.0, 1e9] {
        let wide = Following { half_width: bad, ..how.clone() };
        assert!(matches!(refused(&[[5.0, 5.0], [9.0, 5.0]], &wide), FollowError::Setting { .. }));
    }
    let torn = Photo { width: 40, height: 30, rgba: vec![0; 7] };
    assert_eq!(follow(&torn, &[[5.0, 5.0], [9.0, 5.0]], &how), Err(FollowError::NoPicture));
    for (w, h) in [(1, 1), (2, 1), (3, 3), (1, 40)] {
        let tiny = flat(w, h);
        assert!(
            follow(&tiny, &[[0.0, 0.0], [f64::from(w), f64::from(h)]], &how).is_err_and(|e| !e.to_string().is_empty())
                || follow(&tiny, &[[0.0, 0.0], [f64::from(w), f64::from(h)]], &how)
                    .is_ok_and(|f| f.sure().count() == 0)
        );
        assert!(snap(&tiny, [0.5, 0.5], &how).is_err());
    }
}
