//! How long one frame of the shaded view takes: `cargo bench -p plugwright-shade`.

use geometry::mesh::Mesh;
use shade::{Body, Normals, Orbit, Scene, Settings, Studio, Surface, render};

fn main() {
    divan::main();
}

/// An ellipsoid of about 100 000 triangles.
fn mesh() -> Mesh {
    let n = 224_u32;
    let mut mesh = Mesh::default();
    for i in 0..=n {
        let polar = std::f64::consts::PI * f64::from(i) / f64::from(n);
        for j in 0..n {
            let around = std::f64::consts::TAU * f64::from(j) / f64::from(n);
            let ring = polar.sin();
            mesh.vertices.push([180.0 * polar.cos(), 75.0 * ring * around.cos(), 82.0 * ring * around.sin()]);
        }
    }
    let at = |i: u32, j: u32| i * n + j % n;
    for (i, j) in (0..n).flat_map(|i| (0..n).map(move |j| (i, j))) {
        mesh.triangles.push([at(i, j), at(i + 1, j + 1), at(i + 1, j)]);
        mesh.triangles.push([at(i, j), at(i, j + 1), at(i + 1, j + 1)]);
    }
    mesh
}

#[divan::bench]
fn normals(bencher: divan::Bencher) {
    let mesh = mesh();
    bencher.bench(|| Body::new(&mesh, Normals::default()));
}

#[divan::bench(args = [false, true])]
fn frame(bencher: divan::Bencher, smooth_edges: bool) {
    let body = Body::new(&mesh(), Normals::default());
    let studio = Studio::default();
    let surfaces = [Surface { body: &body, paint: &studio }];
    let settings = Settings { size: [900, 700], smooth_edges, ..Settings::default() };
    let camera = Orbit::fitting(body.bounds()).camera(settings.size);
    bencher.bench(|| render(&Scene { surfaces: &surfaces, ..Scene::default() }, &camera, &settings));
}
