//! The build in version 1. A group that is as it is by default is left out; in a group that is given, any field may be.

mod foam;
mod formers;
mod sanding;
mod stack;

use serde::{Deserialize, Deserializer, Serialize};

use super::{is_default, same_variants};
use crate::build as document;
use crate::file::checked::{self, Number};
use crate::promise;

#[derive(Default, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub(super) struct Build {
    #[serde(skip_serializing_if = "is_default")]
    process: Process,
    #[serde(skip_serializing_if = "is_default", deserialize_with = "coat")]
    coat: Coat,
    #[serde(skip_serializing_if = "is_default", deserialize_with = "stack::read")]
    stack: stack::Stack,
    #[serde(skip_serializing_if = "is_default", deserialize_with = "formers::read")]
    formers: formers::Formers,
    #[serde(skip_serializing_if = "is_default", deserialize_with = "foam::read")]
    foam: foam::Foam,
    #[serde(skip_serializing_if = "is_default", deserialize_with = "sanding::read")]
    sanding: sanding::Sanding,
}

#[derive(Clone, Copy, Default, PartialEq, Serialize, Deserialize)]
enum Process {
    #[default]
    OverPlug,
    FemaleMould,
}

#[derive(Clone, Copy, Default, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
struct Coat {
    laminate: Number,
    filler: Number,
    paint: Number,
}

same_variants!(Process, document::Process, OverPlug, FemaleMould);

fn coat<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Coat, D::Error> {
    checked::whole(deserializer, |coat: &Coat| promise::check_coat(&coat.to_document()))
}

impl Coat {
    fn to_document(self) -> document::Coat {
        document::Coat { laminate: self.laminate.0, filler: self.filler.0, paint: self.paint.0 }
    }
}

impl Build {
    pub(super) fn to_document(&self) -> document::Build {
        document::Build {
            process: self.process.into(),
            coat: self.coat.to_document(),
            stack: self.stack.to_document(),
            formers: self.formers.to_document(),
            foam: self.foam.to_document(),
            sanding: self.sanding.to_document(),
        }
    }
}

impl From<&document::Build> for Build {
    fn from(build: &document::Build) -> Self {
        let document::Coat { laminate, filler, paint } = build.coat;
        Self {
            process: build.process.into(),
            coat: Coat { laminate: Number(laminate), filler: Number(filler), paint: Number(paint) },
            stack: stack::Stack::from(&build.stack),
            formers: formers::Formers::from(&build.formers),
            foam: foam::Foam::from(&build.foam),
            sanding: sanding::Sanding::from(&build.sanding),
        }
    }
}
