//! `plugwright sheets`.

use super::{open, say};
use crate::arguments::Sheets;
use crate::failure::Failure;
use desk::output::sheets;
use serde_json::json;
use std::process::ExitCode;
use std::sync::Arc;

pub(crate) fn run(arguments: &Sheets) -> Result<ExitCode, Failure> {
    let document = open(&arguments.project)?;
    let mut paper = document.paper;
    if let Some(name) = arguments.paper {
        paper.paper = name.paper();
    }
    let lofted: Vec<_> = document.forms.iter().map(|f| Arc::new(form::loft(f))).collect();
    let layout = sheets(&document, &lofted, &paper, &mut |_| true)?;
    let pdf = ::sheets::pdf::write_pdf(&layout.set)?;
    desk::files::export(&arguments.to, &pdf)?;
    let count = layout.count;
    let parts = layout.placements.iter().map(|p| p.part).max().map_or(0, |last| last + 1);
    if arguments.json {
        let report = json!({
            "file": arguments.to.display().to_string(),
            "paper": paper.paper.label(),
            "parts": parts,
            "pages": count.pages,
            "naive_row_by_row": count.naive_row_by_row,
            "area_bound": count.area_bound,
            "overview_pages": layout.overview_pages,
            "pdf_pages": layout.set.pages.len(),
        });
        say(&report.to_string());
    } else {
        say(&format!("wrote {}", arguments.to.display()));
        say(&format!(
            "{parts} parts on {} pages of {} (row by row it would be {}; by area alone no fewer than {}), and {} for the overview",
            count.pages,
            paper.paper.label(),
            count.naive_row_by_row,
            count.area_bound,
            layout.overview_pages,
        ));
        say("Print at 100 %, never \"fit to page\", and measure both 100 mm lines.");
    }
    Ok(ExitCode::SUCCESS)
}
