//! Writes sheets of an invented form on several papers, to look at:
//! `cargo run -p plugwright-sheets --example sample -- FOLDER`.
#![allow(clippy::print_stdout)]

use std::f64::consts::FRAC_PI_2;
use std::path::Path;
use std::time::Instant;

use sheets::{
    CentreStation, CentreTemplate, FormerTemplate, PageSetup, PaperSize, Part, lay_out, pdf, png, set_picture,
};

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let folder = std::env::args().nth(1).ok_or("which folder?")?;
    let folder = Path::new(&folder);
    std::fs::create_dir_all(folder)?;
    for (scale, name) in [(0.3, "tiny"), (1.0, "small"), (2.6, "large")] {
        let (parts, picture) = parts(scale, 12);
        for (paper, size) in [
            ("a4", PaperSize::Size([210.0, 297.0])),
            ("a3", PaperSize::Size([297.0, 420.0])),
            ("letter", PaperSize::Size([215.9, 279.4])),
            ("one", PaperSize::OneSheet),
        ] {
            let measured_mm = if paper == "letter" { [99.2, 100.4] } else { [100.0; 2] };
            let setup = PageSetup {
                paper: size,
                measured_mm,
                project: "Heron one".to_owned(),
                notes: vec!["finished outside: no laminate, no card thickness taken off".to_owned()],
                set_picture: Some(picture.clone()),
                ..PageSetup::default()
            };
            let start = Instant::now();
            let layout = lay_out(&parts, &setup, &mut |_| true)?;
            let packed = start.elapsed();
            let bytes = pdf::write_pdf(&layout.set)?;
            println!("{name} {paper}: {:?}, laid out in {packed:.1?}, all in {:.1?}", layout.count, start.elapsed());
            std::fs::write(folder.join(format!("{name}-{paper}.pdf")), bytes)?;
            if let (1.0, "a4", Some(page)) = (scale, paper, layout.set.pages.get(1)) {
                std::fs::write(folder.join("page-2.png"), png::page_to_png(page, 4.0)?)?;
            }
        }
    }
    let start = Instant::now();
    let (parts, picture) = parts(1.5, 29);
    let drawn = start.elapsed();
    let setup = PageSetup { set_picture: Some(picture), project: "Heron one".to_owned(), ..PageSetup::default() };
    let layout = lay_out(&parts, &setup, &mut |_| true)?;
    let packed = start.elapsed();
    let bytes = pdf::write_pdf(&layout.set)?;
    println!(
        "30 parts: {:?}; drawn in {drawn:.1?}, laid out after {packed:.1?}, written after {:.1?}, {} bytes",
        layout.count,
        start.elapsed(),
        bytes.len()
    );
    Ok(())
}

fn half_section(x: f64, scale: f64) -> (Vec<[f64; 2]>, f64, f64) {
    let t = 1.0 - x / 360.0;
    let b = scale * (70.0 - 38.0 * (0.35 * t * t + 0.65 * t.powi(6)));
    let up = scale * (58.0 - 26.0 * (0.5 * t * t + 0.5 * t.powi(5)));
    let down = 0.85 * up;
    let z = -6.0 * scale * t * t - 14.0 * scale;
    let n = 2.5;
    let points = (0..=360)
        .map(|k| f64::from(k) / 360.0 * 2.0 * FRAC_PI_2)
        .map(|a| {
            let (s, c) = a.sin_cos();
            let high = if c > 0.0 { up } else { down };
            let y = if s.abs() < 1e-12 { 0.0 } else { b * s.powf(2.0 / n) };
            [y, z + high * c.signum() * c.abs().powf(2.0 / n)]
        })
        .collect();
    (points, z, b)
}

fn parts(scale: f64, count: usize) -> (Vec<Part>, sheets::Drawing) {
    let notes = vec!["finished outside: no laminate, no card thickness taken off".to_owned()];
    let pitch = 346.5 / (count - 1) as f64;
    let station = |k: usize| 8.0 + k as f64 * pitch;
    let mut parts = Vec::new();
    let mut sections = Vec::new();
    let (mut crown, mut keel, mut stations) = (Vec::new(), Vec::new(), Vec::new());
    for k in 0..=72 {
        let x = f64::from(k) * 5.0;
        let (half, ..) = half_section(x, scale);
        crown.push([x * scale, half[0][1]]);
        keel.push([x * scale, half[half.len() - 1][1]]);
    }
    for k in 0..count {
        let (half, z, b) = half_section(station(k), scale);
        let low = half[half.len() - 1][1];
        stations.push(CentreStation { number: k + 1, x_mm: station(k) * scale, low_mm: low, high_mm: half[0][1] });
        sections.push(half.clone());
        let former = FormerTemplate {
            number: k + 1,
            station_mm: station(k) * scale,
            knuckles: vec![half[230]],
            half_section: half,
            breadth_height: z,
            half_breadth: b,
            datum_z: 0.0,
            marks: Vec::new(),
            notes: notes.clone(),
            project: "Heron one".to_owned(),
            form: "Cowling".to_owned(),
        };
        parts.push(former.part());
    }
    let (project, form) = ("Heron one".to_owned(), "Cowling".to_owned());
    let centre = CentreTemplate { crown, keel, stations, datum_z: 0.0, marks: Vec::new(), notes, project, form };
    parts.push(centre.part());
    let picture = set_picture(&centre, &sections, [180.0, 60.0]);
    (parts, picture)
}
