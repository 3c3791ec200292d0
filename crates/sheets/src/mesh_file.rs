//! Meshes as files that other programs read: binary STL and 3MF, in millimetres.

use std::fmt::Write as _;
use std::io::{Cursor, Write as _};

use geometry::mesh::Mesh;
use quick_xml::events::{BytesDecl, BytesEnd, BytesStart, BytesText, Event};
use thiserror::Error;
use zip::ZipWriter;
use zip::write::SimpleFileOptions;

/// Why a mesh file could not be made.
#[derive(Debug, Error)]
pub enum MeshFileError {
    /// There is no triangle.
    #[error("there is no surface to write yet; draw a form first")]
    Empty,
    /// A triangle names a corner that does not exist, or a corner is not a number.
    #[error("triangle {0} of the mesh is damaged; please report this")]
    Damaged(usize),
    /// More triangles than the format can count.
    #[error("the mesh has {0} triangles, more than the format can hold; choose a larger tolerance")]
    TooMany(usize),
    /// The 3MF package could not be put together.
    #[error("the 3MF file could not be put together: {0}")]
    Package(String),
}

/// What the first 80 bytes of our STL files say. It must not begin with "solid", which would mean a text file.
const STL_HEADER: &[u8] = b"binary STL, lengths in millimetres, z up, written by Plugwright";

/// Binary STL: 84 + 50 n bytes, single precision, normals from the right-hand rule. STL itself knows no unit; the header
/// notes millimetres.
///
/// # Errors
/// An empty or damaged mesh, or more than 2³² triangles.
pub fn stl(mesh: &Mesh) -> Result<Vec<u8>, MeshFileError> {
    check(mesh)?;
    let count = u32::try_from(mesh.triangles.len()).map_err(|_| MeshFileError::TooMany(mesh.triangles.len()))?;
    let mut out = Vec::with_capacity(84 + 50 * mesh.triangles.len());
    out.extend_from_slice(STL_HEADER);
    out.resize(80, b' ');
    out.extend(count.to_le_bytes());
    for t in &mesh.triangles {
        let p = t.map(|k| mesh.vertices[k as usize]);
        for v in std::iter::once(normal(&p)).chain(p) {
            v.iter().for_each(|&c| out.extend((c as f32).to_le_bytes()));
        }
        out.extend([0, 0]);
    }
    Ok(out)
}

fn check(mesh: &Mesh) -> Result<(), MeshFileError> {
    if mesh.triangles.is_empty() {
        return Err(MeshFileError::Empty);
    }
    let sound =
        |k: &u32| mesh.vertices.get(*k as usize).is_some_and(|v| v.iter().all(|c| c.is_finite() && c.abs() < 1e9));
    match mesh.triangles.iter().position(|t| !t.iter().all(sound)) {
        Some(k) => Err(MeshFileError::Damaged(k)),
        None => Ok(()),
    }
}

/// Unit normal of a triangle; zero if it has no area (STL readers then work it out or ignore it).
fn normal(p: &[[f64; 3]; 3]) -> [f64; 3] {
    let d = |a: usize| [0, 1, 2].map(|c| p[a][c] - p[0][c]);
    let (u, v) = (d(1), d(2));
    let n = [u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]];
    let length = n.iter().map(|c| c * c).sum::<f64>().sqrt();
    if length > 0.0 { n.map(|c| c / length) } else { [0.0; 3] }
}

const CONTENT_TYPES: &str = concat!(
    r#"<?xml version="1.0" encoding="UTF-8"?>"#,
    "\n",
    r#"<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">"#,
    r#"<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>"#,
    r#"<Default Extension="model" ContentType="application/vnd.ms-package.3dmanufacturing-3dmodel+xml"/>"#,
    "</Types>"
);

const RELATIONSHIPS: &str = concat!(
    r#"<?xml version="1.0" encoding="UTF-8"?>"#,
    "\n",
    r#"<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">"#,
    r#"<Relationship Id="rel0" Target="/3D/3dmodel.model" "#,
    r#"Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"/>"#,
    "</Relationships>"
);

/// A 3MF package (core specification: one object, one build item) in millimetres, coordinates to 1e-5 mm. The same mesh and
/// title give the same bytes.
///
/// # Errors
/// An empty or damaged mesh, or a package that cannot be put together.
pub fn three_mf(mesh: &Mesh, title: &str) -> Result<Vec<u8>, MeshFileError> {
    check(mesh)?;
    let failed = |e: &dyn std::fmt::Display| MeshFileError::Package(e.to_string());
    let model = model_xml(mesh, title).map_err(|e| failed(&e))?;
    let mut package = ZipWriter::new(Cursor::new(Vec::new()));
    let options = SimpleFileOptions::default()
        .compression_method(zip::CompressionMethod::Deflated)
        .last_modified_time(zip::DateTime::default());
    for (name, bytes) in [
        ("[Content_Types].xml", CONTENT_TYPES.as_bytes()),
        ("_rels/.rels", RELATIONSHIPS.as_bytes()),
        ("3D/3dmodel.model", model.as_slice()),
    ] {
        package.start_file(name, options).map_err(|e| failed(&e))?;
        package.write_all(bytes).map_err(|e| failed(&e))?;
    }
    // So that the program knows its own files again.
    package.set_comment("Plugwright").map_err(|e| failed(&e))?;
    Ok(package.finish().map_err(|e| failed(&e))?.into_inner())
}

fn model_xml(mesh: &Mesh, title: &str) -> std::io::Result<Vec<u8>> {
    let mut w = quick_xml::Writer::new(Vec::new());
    let start = |name: &'static str| Event::Start(BytesStart::new(name));
    let end = |name: &'static str| Event::End(BytesEnd::new(name));
    w.write_event(Event::Decl(BytesDecl::new("1.0", Some("UTF-8"), None)))?;
    w.write_event(Event::Start(BytesStart::new("model").with_attributes([
        ("unit", "millimeter"),
        ("xml:lang", "en-GB"),
        ("xmlns", "http://schemas.microsoft.com/3dmanufacturing/core/2015/02"),
    ])))?;
    for (name, value) in [("Title", title), ("Application", "Plugwright")] {
        w.write_event(Event::Start(BytesStart::new("metadata").with_attributes([("name", name)])))?;
        w.write_event(Event::Text(BytesText::new(value)))?;
        w.write_event(end("metadata"))?;
    }
    w.write_event(start("resources"))?;
    w.write_event(Event::Start(BytesStart::new("object").with_attributes([("id", "1"), ("type", "model")])))?;
    w.write_event(start("mesh"))?;
    w.write_event(start("vertices"))?;
    let mut text = [String::new(), String::new(), String::new()];
    for v in &mesh.vertices {
        number_texts(&mut text, v, |t, c| {
            // Adding zero turns a minus zero into zero.
            let _ = write!(t, "{}", (c * 1e5).round() / 1e5 + 0.0);
        });
        let [x, y, z] = &text;
        let vertex = [("x", x.as_str()), ("y", y.as_str()), ("z", z.as_str())];
        w.write_event(Event::Empty(BytesStart::new("vertex").with_attributes(vertex)))?;
    }
    w.write_event(end("vertices"))?;
    w.write_event(start("triangles"))?;
    // The specification wants three different corners; a collapsed triangle bounds nothing.
    for t in mesh.triangles.iter().filter(|[a, b, c]| a != b && b != c && a != c) {
        number_texts(&mut text, t, |s, k| {
            let _ = write!(s, "{k}");
        });
        let [a, b, c] = &text;
        let triangle = [("v1", a.as_str()), ("v2", b.as_str()), ("v3", c.as_str())];
        w.write_event(Event::Empty(BytesStart::new("triangle").with_attributes(triangle)))?;
    }
    for name in ["triangles", "mesh", "object", "resources"] {
        w.write_event(end(name))?;
    }
    w.write_event(start("build"))?;
    w.write_event(Event::Empty(BytesStart::new("item").with_attributes([("objectid", "1")])))?;
    w.write_event(end("build"))?;
    w.write_event(end("model"))?;
    Ok(w.into_inner())
}

fn number_texts<T: Copy>(texts: &mut [String; 3], values: &[T; 3], write: impl Fn(&mut String, T)) {
    for (text, &value) in texts.iter_mut().zip(values) {
        text.clear();
        write(text, value);
    }
}
