//! The edits of how plugs are built.

use std::sync::Arc;

use super::{Refused, forms, stations};
use crate::build::{Build, Sanding};
use crate::document::Document;
use crate::promise;

pub(super) fn set(d: &mut Document, build: &Build) -> Result<(), Refused> {
    d.build = Arc::new(in_order(build)?);
    Ok(())
}

pub(super) fn set_of_form(d: &mut Document, form: usize, build: Option<&Build>) -> Result<(), Refused> {
    let build = build.map(in_order).transpose()?;
    let edited = forms::form_mut(d, form)?;
    edited.build = build.map(Arc::new);
    if form == 0 { promise::check_stands_alone(edited) } else { Ok(()) }
}

fn in_order(build: &Build) -> Result<Build, Refused> {
    let sanding = Sanding { stations: stations::in_order(&build.sanding.stations)?, ..build.sanding.clone() };
    let build = Build { sanding, ..build.clone() };
    promise::check_build(&build)?;
    Ok(build)
}
