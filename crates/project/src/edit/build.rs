//! The edit of how the plug is built.

use std::sync::Arc;

use super::{Refused, stations};
use crate::build::{Build, Sanding};
use crate::document::Document;
use crate::promise;

pub(super) fn set(d: &mut Document, build: &Build) -> Result<(), Refused> {
    let sanding = Sanding { stations: stations::in_order(&build.sanding.stations)?, ..build.sanding.clone() };
    let build = Build { sanding, ..build.clone() };
    promise::check_build(&build)?;
    d.build = Arc::new(build);
    Ok(())
}
