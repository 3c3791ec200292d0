//! Random documents that keep every promise.

use std::sync::Arc;

use project::build::Coat;
use project::document::*;
use project::edit::lock_all;
use project::file::picture_file_name;
use project::photograph::Photograph;
use proptest::collection::vec;
use proptest::option;
use proptest::prelude::*;

/// The first bytes of a PNG, and some more: nothing here decodes pictures.
pub(crate) fn png(tail: &[u8]) -> Vec<u8> {
    [b"\x89PNG\r\n\x1a\n", tail].concat()
}

/// Places rising by at least 0.02 mm.
pub(crate) fn rising(count: impl Into<proptest::collection::SizeRange>) -> impl Strategy<Value = Vec<f64>> {
    (-500.0..500.0, vec(0.02..80.0, count)).prop_map(|(start, steps)| {
        let mut x = start;
        steps
            .into_iter()
            .map(|step: f64| {
                x += step;
                x
            })
            .collect()
    })
}

fn line_point_kind() -> impl Strategy<Value = LinePointKind> {
    prop_oneof![
        3 => Just(LinePointKind::Smooth),
        1 => Just(LinePointKind::Corner),
        1 => (-89.9..89.9).prop_map(LinePointKind::Slope),
    ]
}

fn line_end() -> impl Strategy<Value = LineEnd> {
    prop_oneof![Just(LineEnd::Free), Just(LineEnd::Natural), Just(LineEnd::Upright)]
}

fn line(values: std::ops::Range<f64>) -> impl Strategy<Value = Arc<MasterLine>> {
    let points = rising(0..8).prop_flat_map(move |xs| {
        let each = xs.into_iter().map(|x| (Just(x), values.clone(), line_point_kind()));
        each.collect::<Vec<_>>()
    });
    (points, line_end(), line_end()).prop_map(|(points, front, rear)| {
        let point = |(x, value, kind)| LinePoint { x, value, kind };
        Arc::new(MasterLine { points: points.into_iter().map(point).collect(), front, rear })
    })
}

fn arc() -> impl Strategy<Value = ArcKind> {
    prop_oneof![
        Just(ArcKind::Cubic),
        (0.05..0.95).prop_map(|rho| ArcKind::Conic { rho }),
        (1.0..20.0).prop_map(|exponent| ArcKind::Superelliptic { exponent }),
    ]
}

/// Points above and below the breadth at falling heights, each smooth or a knuckle with a number of its own.
fn unit_section() -> impl Strategy<Value = UnitSection> {
    let side = || vec((0.0..1.5f64, 0..3u8), 0..4);
    let sides = (side(), side(), option::of(Just(99u32)));
    (sides, vec(arc(), 8), any::<bool>(), any::<bool>()).prop_map(
        |((above, below, knuckle), arcs, crown_ridge, keel_ridge)| {
            let mut points = vec![UnitPoint { u: 0.0, v: 1.0, role: PointRole::Crown }];
            push_side(&mut points, &above, 0.9);
            points.push(UnitPoint { u: 1.0, v: 0.0, role: PointRole::Breadth { knuckle } });
            push_side(&mut points, &below, -0.1);
            points.push(UnitPoint { u: 0.0, v: -1.0, role: PointRole::Keel });
            let arcs = arcs[..points.len() - 1].to_vec();
            UnitSection { points, arcs, crown_ridge, keel_ridge }
        },
    )
}

fn push_side(points: &mut Vec<UnitPoint>, side: &[(f64, u8)], top: f64) {
    for (index, (u, kind)) in side.iter().enumerate() {
        let number = u32::try_from(points.len()).unwrap();
        let role = match kind {
            0 => PointRole::Smooth,
            1 => PointRole::Knuckle { number, faded: false },
            _ => PointRole::Knuckle { number, faded: true },
        };
        points.push(UnitPoint { u: *u, v: top - 0.2 * f64::from(u32::try_from(index).unwrap()), role });
    }
}

pub(crate) fn measured_section() -> impl Strategy<Value = MeasuredSection> {
    let inner = vec((0.5..200.0, 0.1..50.0f64, any::<bool>()), 1..8);
    (inner, -100.0..200.0, any::<bool>(), any::<bool>(), any::<bool>(), 0.1..30.0f64).prop_map(
        |(inner, crown, crown_ridge, keel_ridge, named, last)| {
            let mut points = vec![[0.0, crown]];
            let mut knuckles = Vec::new();
            let mut z: f64 = crown;
            for (y, drop, knuckle) in inner {
                if knuckle {
                    let number = u32::try_from(knuckles.len() + 1).unwrap();
                    knuckles.push(MeasuredKnuckle { point: points.len(), number });
                }
                z -= drop;
                points.push([y, z]);
            }
            points.push([0.0, z - last]);
            let breadth_point = named.then_some(1);
            let breadth_girth = (!named).then_some(0.4375);
            MeasuredSection { points, knuckles, crown_ridge, keel_ridge, breadth_point, breadth_girth }
        },
    )
}

pub(crate) fn section_shape() -> impl Strategy<Value = SectionShape> {
    prop_oneof![
        3 => unit_section().prop_map(SectionShape::Shaped),
        1 => measured_section().prop_map(SectionShape::Pinned),
        1 => (0.0..50.0).prop_map(|z| SectionShape::Pinned(edge(z))),
    ]
}

/// A stem edge of that height; 0 gives a point.
fn edge(height: f64) -> MeasuredSection {
    MeasuredSection {
        points: vec![[0.0, height], [0.0, 0.0]],
        knuckles: Vec::new(),
        crown_ridge: false,
        keel_ridge: false,
        breadth_point: None,
        breadth_girth: None,
    }
}

pub(crate) fn form() -> impl Strategy<Value = Form> {
    let lines = (line(-200.0..300.0), line(-300.0..100.0), line(0.0..300.0), line(-100.0..100.0));
    let sections =
        rising(0..5).prop_flat_map(|xs| xs.into_iter().map(|x| (Just(x), section_shape())).collect::<Vec<_>>());
    let openings = vec(crate::openings::opening().prop_map(Arc::new), 0..3);
    let rest = (any::<bool>(), 0.0..20.0, 0.0..20.0, openings);
    ("[a-zA-Z\"\\\\ äπ]{0,12}x", lines, sections, rising(0..20), rest).prop_map(
        |(name, lines, sections, stations, rest)| {
            let (crown, keel, breadth, breadth_height) = lines;
            let section = |(station, shape)| Arc::new(ControlSection { station, shape });
            let mut form = Form {
                name,
                lines: MasterLines { crown, keel, breadth, breadth_height },
                sections: sections.into_iter().map(section).collect(),
                stations,
                lengthwise: if rest.0 { Lengthwise::Fair } else { Lengthwise::Straight },
                front_edge_radius: rest.1,
                rear_edge_radius: rest.2,
                openings: rest.3,
                mount: None,
                build: None,
            };
            lock_all(&mut form).unwrap();
            form
        },
    )
}

/// A form that may be put on another, with a build of its own.
pub(crate) fn added_form() -> impl Strategy<Value = Form> {
    let build = option::of(crate::builds::build().prop_map(Arc::new));
    (form(), option::of(crate::openings::mount()), build).prop_map(|(form, mount, build)| Form { mount, build, ..form })
}

pub(crate) fn pick() -> impl Strategy<Value = [f64; 2]> {
    [0.0..4000.0, 0.0..3000.0]
}

pub(crate) fn known() -> impl Strategy<Value = KnownDistance> {
    (pick(), pick(), 1.0..20_000.0, any::<bool>())
        .prop_filter("apart", |(a, b, ..)| (a[0] - b[0]).hypot(a[1] - b[1]) > 50.0)
        .prop_map(|(a, b, distance_mm, full_size)| KnownDistance { a, b, distance_mm, full_size })
}

pub(crate) fn placement() -> impl Strategy<Value = Placement> {
    (0.001..10.0, -360.0..360.0, [-500.0..500.0, -500.0..500.0], any::<bool>())
        .prop_map(|(mm_per_px, rotation_deg, offset, mirrored)| Placement { mm_per_px, rotation_deg, offset, mirrored })
}

pub(crate) fn picture() -> impl Strategy<Value = Picture> {
    let view = prop_oneof![
        Just(PictureView::Side),
        Just(PictureView::Face),
        Just(PictureView::Plan),
        Just(PictureView::Reference)
    ];
    let what = ("[a-z ]{0,8}y", view, vec(any::<u8>(), 0..40), [1..9000u32, 1..9000u32]);
    let picks = (option::of(known()), option::of(known()), option::of(known()));
    let photograph = prop_oneof![Just(Photograph::default()), crate::photographs::photograph()];
    (what, placement(), picks, 0.0..1.0, [any::<bool>(), any::<bool>()], photograph).prop_map(
        |((name, view, tail, size_px), placement, (scale, check, level), opacity, [locked, hidden], photograph)| {
            let bytes = png(&tail);
            let file = picture_file_name(&name, &bytes);
            let level = level.map(|known| [known.a, known.b]);
            let bytes = bytes.into();
            Picture {
                name,
                view,
                bytes,
                file,
                size_px,
                placement,
                scale,
                check,
                level,
                opacity,
                locked,
                hidden,
                photograph,
            }
        },
    )
}

fn paper() -> impl Strategy<Value = PaperSetup> {
    (0..8usize, 0.0..60.0, 0.0..60.0, [95.0..105.0, 95.0..105.0]).prop_map(|(paper, margin, overlap, measured)| {
        PaperSetup { paper: Paper::ALL[paper], margin, overlap, measured }
    })
}

/// A document without forms after the first.
fn alone() -> impl Strategy<Value = Document> {
    let bench = (crate::airframes::airframe(), crate::builds::build(), crate::shells::shell());
    ("[a-zA-Z0-9 ]{0,12}z", 0.5..20.0, form(), vec(picture(), 0..3), paper(), bench).prop_map(
        |(name, model_scale, form, pictures, paper, (airframe, build, shell))| Document {
            name,
            model_scale,
            forms: vec![Arc::new(form)],
            pictures: pictures.into_iter().map(Arc::new).collect(),
            paper,
            airframe: Arc::new(airframe),
            build: Arc::new(build),
            shell: Arc::new(shell),
        },
    )
}

pub(crate) fn document() -> impl Strategy<Value = Document> {
    (alone(), vec(added_form(), 0..3)).prop_map(|(mut document, added)| {
        document.forms.extend(added.into_iter().map(Arc::new));
        if let Some(coat) = document.shell.coat() {
            follow(&mut document, coat);
        }
        document
    })
}

/// Every plug is made smaller by what the laminate comes to.
fn follow(document: &mut Document, coat: Coat) {
    Arc::make_mut(&mut document.build).coat = coat;
    for form in &mut document.forms {
        if let Some(build) = &mut Arc::make_mut(form).build {
            Arc::make_mut(build).coat = coat;
        }
    }
}
