//! Version 1 of the file. Never changed once published: a new version gets a module of its own and a conversion from
//! this one.

mod airframe;
mod build;
mod form;
mod fuselage;
mod gauge;
mod keep_out;
mod measured;
mod mount;
mod opening;
mod photograph;
mod picture;
mod section;
mod shell;
mod span;
mod thrust;

use std::sync::Arc;

use serde::{Deserialize, Deserializer, Serialize};

use super::checked::{self, Number, told};
use crate::document::{self, Document};
use crate::edit::Refused;
use crate::promise::{self, MIN_POINT_GAP, apart};

/// The whole project.
#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Project {
    format: String,
    version: u32,
    #[serde(deserialize_with = "name")]
    name: String,
    #[serde(deserialize_with = "model_scale")]
    model_scale: Number,
    #[serde(default, deserialize_with = "paper")]
    paper: PaperSetup,
    #[serde(deserialize_with = "forms")]
    forms: Vec<form::Form>,
    #[serde(default, deserialize_with = "pictures")]
    pictures: Vec<picture::Picture>,
    #[serde(default, skip_serializing_if = "is_default")]
    airframe: airframe::Airframe,
    #[serde(default, skip_serializing_if = "is_default")]
    build: build::Build,
    #[serde(default, skip_serializing_if = "is_default", deserialize_with = "shell::read")]
    shell: shell::Shell,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct PaperSetup {
    paper: Paper,
    margin: Number,
    overlap: Number,
    measured: (Number, Number),
}

#[derive(Clone, Copy, Serialize, Deserialize)]
enum Paper {
    A4,
    A3,
    A2,
    A1,
    A0,
    Letter,
    Tabloid,
    OneSheet,
}

impl Project {
    /// `files` holds the paths of the pictures, in order.
    pub(super) fn from_document(document: &Document, files: &[String]) -> Self {
        let picture =
            |(picture, file): (&Arc<document::Picture>, &String)| picture::Picture::new(picture, file.clone());
        Self {
            format: super::FORMAT.into(),
            version: 1,
            name: document.name.clone(),
            model_scale: Number(document.model_scale),
            paper: PaperSetup::from(&document.paper),
            forms: document.forms.iter().map(|form| form::Form::from(&**form)).collect(),
            pictures: document.pictures.iter().zip(files).map(picture).collect(),
            airframe: airframe::Airframe::from(&*document.airframe),
            build: build::Build::from(&*document.build),
            shell: shell::Shell::from(&*document.shell),
        }
    }

    /// The document, its pictures without bytes.
    pub(super) fn into_document(self) -> Document {
        Document {
            name: self.name,
            model_scale: self.model_scale.0,
            forms: self.forms.iter().map(|form| Arc::new(form.to_document())).collect(),
            pictures: self.pictures.iter().map(|picture| Arc::new(picture.to_document())).collect(),
            paper: self.paper.to_document(),
            airframe: Arc::new(self.airframe.to_document()),
            build: Arc::new(self.build.to_document()),
            shell: Arc::new(self.shell.to_document()),
        }
    }
}

fn name<'de, D: Deserializer<'de>>(deserializer: D) -> Result<String, D::Error> {
    let name = String::deserialize(deserializer)?;
    promise::check_name("This", &name).map_err(told)?;
    Ok(name)
}

fn model_scale<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Number, D::Error> {
    let scale = Number::deserialize(deserializer)?;
    promise::check_model_scale(scale.0).map_err(told)?;
    Ok(scale)
}

fn paper<'de, D: Deserializer<'de>>(deserializer: D) -> Result<PaperSetup, D::Error> {
    checked::whole(deserializer, |setup: &PaperSetup| promise::check_paper(&setup.to_document()))
}

fn forms<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Vec<form::Form>, D::Error> {
    let forms = checked::list(deserializer, promise::MAX_FORMS, |before: Option<&form::Form>, form: &form::Form| {
        form.check()?;
        before.map_or_else(|| promise::check_stands_alone(&form.to_document()), |_| Ok(()))
    })?;
    promise::check_form_count(forms.len()).map_err(told)?;
    Ok(forms)
}

fn pictures<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Vec<picture::Picture>, D::Error> {
    checked::list(deserializer, promise::MAX_PICTURES, |_, picture: &picture::Picture| {
        promise::check_picture(&picture.to_document())
    })
}

fn stations<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Vec<Number>, D::Error> {
    checked::list(deserializer, promise::MAX_STATIONS, |before: Option<&Number>, x: &Number| {
        promise::check_mm("The station", x.0)?;
        before.map_or(Ok(()), |before| check_rising(*before, *x))
    })
}

fn check_rising(before: Number, x: Number) -> Result<(), Refused> {
    if apart(before.0, x.0, MIN_POINT_GAP) {
        return Ok(());
    }
    Err(Refused::new(
        format!("{} mm does not come behind {} mm.", promise::told(x.0), promise::told(before.0)),
        format!("List from front to rear, at least {MIN_POINT_GAP} mm apart."),
    ))
}

impl Default for PaperSetup {
    fn default() -> Self {
        Self::from(&document::PaperSetup::default())
    }
}

impl From<&document::PaperSetup> for PaperSetup {
    fn from(setup: &document::PaperSetup) -> Self {
        let [width, height] = setup.measured.map(Number);
        Self {
            paper: setup.paper.into(),
            margin: Number(setup.margin),
            overlap: Number(setup.overlap),
            measured: (width, height),
        }
    }
}

impl PaperSetup {
    fn to_document(&self) -> document::PaperSetup {
        document::PaperSetup {
            paper: self.paper.into(),
            margin: self.margin.0,
            overlap: self.overlap.0,
            measured: pair(self.measured),
        }
    }
}

/// A field that is as it is by default need not be written.
fn is_default<T: Default + PartialEq>(value: &T) -> bool {
    *value == T::default()
}

/// Two numbers side by side, as they stand in the file and in the document.
fn pair((first, second): (Number, Number)) -> [f64; 2] {
    [first.0, second.0]
}

fn numbers([first, second]: [f64; 2]) -> (Number, Number) {
    (Number(first), Number(second))
}

fn triple((x, y, z): (Number, Number, Number)) -> [f64; 3] {
    [x.0, y.0, z.0]
}

fn triple_of(mm: [f64; 3]) -> (Number, Number, Number) {
    let [x, y, z] = mm.map(Number);
    (x, y, z)
}

/// An enum of the file that has the variants of one of the document.
macro_rules! same_variants {
    ($file:ty, $document:ty, $($variant:ident),+) => {
        impl From<$document> for $file {
            fn from(value: $document) -> Self {
                match value { $(<$document>::$variant => Self::$variant),+ }
            }
        }
        impl From<$file> for $document {
            fn from(value: $file) -> Self {
                match value { $(<$file>::$variant => Self::$variant),+ }
            }
        }
    };
}
use same_variants;

same_variants!(Paper, document::Paper, A4, A3, A2, A1, A0, Letter, Tabloid, OneSheet);
