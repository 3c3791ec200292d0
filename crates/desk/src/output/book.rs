//! The build book: with it and the templates a builder can build the plug.
//!
//! Chapters are set one after the other by a small [composer]; every number comes from the document, the loft or the plan, none is
//! computed here.

mod added;
mod airframe;
mod assembly;
mod beside;
mod cloth;
mod composer;
mod cover;
mod facets;
mod findings;
mod foam;
mod formers;
mod gauges;
mod ledger;
mod materials;
mod openings;
mod sanded;
mod shell;
mod spacing;
mod steps;
mod templates;

use self::shell::ShellSubject;
use super::pages::sheets_by;
use super::{NotLofted, SheetsFailure};
use crate::plans::Planned;
use crate::reckoned::Reckoned;
use crate::shell::Source;
use crate::shell::added::AddedMeeting;
use beside::{Beside, Wanted};
use composer::{Composer, Table};
use form::{Finding, FinishedSkin, Lofted};
use geometry::loft::Loft;
use plug::Plan;
use project::document::{Document, Form, Paper};
use sheets::png::PngError;
use sheets::{Layout, LayoutError, SheetSet};
use std::sync::Arc;

/// Why there is no book.
#[derive(Debug, thiserror::Error)]
pub enum BookFailure {
    /// The first form cannot be lofted yet.
    #[error(transparent)]
    NotLofted(#[from] NotLofted),
    /// The picture on the cover cannot be drawn.
    #[error("The picture on the cover cannot be made: {0}.")]
    Picture(#[from] PngError),
    /// The project has no form.
    #[error("The project has no form yet. Draw one first.")]
    NoForm,
    /// Whoever wanted the book wants it no more.
    #[error("The book was given up before it was written.")]
    Stopped,
}

/// All that the chapters are about.
struct Subject<'a> {
    document: &'a Document,
    form: &'a Form,
    skin: &'a FinishedSkin,
    loft: &'a Loft,
    /// The plug as planned, and the stations that its curve asks for.
    planned: Option<&'a Planned>,
    /// The plan, if the plug is built by it.
    plan: Option<&'a Plan>,
    findings: Vec<Finding>,
    /// What the chapters on the shell are about, once it has plies.
    shell: Option<ShellSubject>,
    /// How its cloth lies.
    cloth: Option<Arc<crate::shell::cloth::ClothPlan>>,
    /// What its openings let in and out.
    air: Option<Arc<crate::shell::airflow::Airflow>>,
    /// Where added forms meet the first.
    added: Vec<AddedMeeting>,
    /// The templates on their pages, or why there are none.
    templates: Result<Layout, LayoutError>,
    /// The picture on the cover, as PNG.
    cover: Vec<u8>,
}

/// The book of a project's first form, on A4, or on Letter where the templates are printed on Letter or Tabloid. Where the project
/// has no stack yet, the book is shorter and says what is missing.
///
/// # Errors
/// No form, a form that cannot be lofted yet, or a picture that cannot be drawn.
pub fn book(document: &Document, lofted: &[Arc<Lofted>]) -> Result<SheetSet, BookFailure> {
    book_by(document, lofted, &Reckoned::default(), &mut |_| true)
}

/// The same with all that was reckoned of late. `progress` is told how far the work is, from 0 to 1, and answers whether to go on.
///
/// # Errors
/// As [`book`], or stopped.
pub fn book_by(
    document: &Document,
    lofted: &[Arc<Lofted>],
    known: &Reckoned,
    progress: &mut dyn FnMut(f32) -> bool,
) -> Result<SheetSet, BookFailure> {
    let (Some(form), Some(first)) = (document.forms.first(), lofted.first()) else { return Err(BookFailure::NoForm) };
    let skin = first.whole_skin().ok_or_else(|| NotLofted::of(&form.name, first))?;
    let loft = skin.loft();
    let planned = known.planned(document, lofted)?;
    let planned = planned.as_deref();
    let source = Source::of(document, lofted);
    let wanted = Wanted::new();
    let (findings, cover) = begun(document, lofted, known, &wanted);
    let templates = match sheets_by(document, lofted, known, &document.paper, &mut |s| progress(LAYOUT_SHARE * s)) {
        Ok(layout) => Ok(layout),
        Err(SheetsFailure::Layout(LayoutError::Cancelled)) => return Err(BookFailure::Stopped),
        Err(SheetsFailure::Layout(why)) => Err(why),
        Err(SheetsFailure::NotLofted(why)) => return Err(why.into()),
    };
    let mut reckoning = |share: f32| progress(LAYOUT_SHARE + (SHELL_SHARE - LAYOUT_SHARE) * share);
    let shell = ShellSubject::of(&source, known, &mut reckoning)?;
    let findings = findings.awaited(|| progress(SHELL_SHARE)).flatten().ok_or(BookFailure::Stopped)?;
    if !progress(FINDINGS_SHARE) {
        return Err(BookFailure::Stopped);
    }
    let plan = planned.and_then(Planned::used);
    let cloth = cloth::plan(document, first, known);
    let air = known.airflow(document, 0, lofted);
    let added = known.meetings(document, lofted);
    let cover = cover.awaited(|| progress(FINDINGS_SHARE)).ok_or(BookFailure::Stopped)??;
    let subject =
        Subject { document, form, skin, loft, planned, plan, findings, shell, cloth, air, added, templates, cover };
    let book = chapters(&subject);
    if progress(1.0) { Ok(book) } else { Err(BookFailure::Stopped) }
}

type Findings = Beside<Option<Vec<Finding>>>;
type Cover = Beside<Result<Vec<u8>, BookFailure>>;

/// Begins at once what takes long, beside the rest: findings, cover and shell. What is remembered is waited for by whoever asks for it.
fn begun(document: &Document, lofted: &[Arc<Lofted>], known: &Reckoned, wanted: &Wanted) -> (Findings, Cover) {
    let all = || (document.clone(), lofted.to_vec(), known.clone(), wanted.asked());
    let (document, lofts, reckoned, asked) = all();
    let findings = Beside::begin(move || crate::findings::all_findings(&document, &lofts, &reckoned, &asked));
    let (document, lofts, ..) = all();
    let cover = Beside::begin(move || {
        let (Some(form), Some(first)) = (document.forms.first(), lofts.first()) else {
            return Err(BookFailure::NoForm);
        };
        let skin = first.whole_skin().ok_or_else(|| NotLofted::of(&form.name, first))?;
        Ok(cover::picture(form, skin.loft())?)
    });
    let (document, lofts, reckoned, asked) = all();
    drop(Beside::begin(move || ShellSubject::begin(&Source::of(&document, &lofts), &reckoned, &asked)));
    (findings, cover)
}

/// Share of the work when the templates are laid out, when the shell is reckoned, and when the findings are there too.
const LAYOUT_SHARE: f32 = 0.5;
const SHELL_SHARE: f32 = 0.7;
const FINDINGS_SHARE: f32 = 0.8;

fn chapters(s: &Subject<'_>) -> SheetSet {
    let size = paper(s.document.paper.paper);
    let mut c = Composer::new(size, &format!("{}: build book", s.document.name));
    cover::set(&mut c, s);
    steps::cautions(&mut c);
    materials::set(&mut c, s);
    if let Some(plan) = s.plan {
        ledger::set(&mut c, s, plan);
        assembly::set(&mut c, s, plan);
        formers::set(&mut c, s, plan);
        foam::set(&mut c, plan, &s.document.build.foam);
    }
    steps::set(&mut c, s);
    if let Some(plan) = s.plan {
        gauges::set(&mut c, s, plan);
        sanded::set(&mut c, s, plan);
    }
    shell::order(&mut c, s);
    shell::laminate(&mut c, s);
    if let Some(plan) = &s.cloth {
        cloth::set(&mut c, s, plan);
    }
    shell::release_and_balance(&mut c, s);
    openings::set(&mut c, s);
    added::set(&mut c, s);
    airframe::set(&mut c, s);
    templates::set(&mut c, s);
    findings::set(&mut c, s);
    c.finish()
}

/// A book is read at the bench: on paper of a size that goes into a folder.
fn paper(templates: Paper) -> [f64; 2] {
    let small = if matches!(templates, Paper::Letter | Paper::Tabloid) { Paper::Letter } else { Paper::A4 };
    small.size_mm().unwrap_or([210.0, 297.0])
}

/// A length, mm, to a tenth.
fn mm(value: f64) -> String {
    signed(format!("{value:.1}"))
}

/// A length, mm, to a hundredth.
fn fine(value: f64) -> String {
    signed(format!("{value:.2}"))
}

/// With a true minus, and none before a zero.
fn signed(text: String) -> String {
    match text.strip_prefix('-') {
        Some(rest) if rest.chars().any(|c| c.is_ascii_digit() && c != '0') => format!("−{rest}"),
        Some(rest) => rest.to_owned(),
        None => text,
    }
}

/// "1 board", "2 boards".
fn count(number: usize, one: &str) -> String {
    if number == 1 { format!("1 {one}") } else { format!("{number} {one}s") }
}

/// A table of two columns without a head: what, and how much.
fn facts(rows: impl IntoIterator<Item = (String, String)>) -> Table {
    let mut table = Table::new(&[("", composer::Align::Left), ("", composer::Align::Left)]);
    rows.into_iter().for_each(|(what, value)| table.row([what, value]));
    table
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_have_a_true_minus_and_zero_has_none() {
        assert_eq!((mm(-7.13), mm(-0.01), fine(2.005)), ("−7.1".to_owned(), "0.0".to_owned(), "2.00".to_owned()));
        assert_eq!((count(1, "board"), count(0, "board")), ("1 board".to_owned(), "0 boards".to_owned()));
    }

    #[test]
    fn the_book_goes_on_letter_where_the_templates_do() {
        assert_eq!(paper(Paper::Tabloid), [215.9, 279.4]);
        assert_eq!((paper(Paper::A0), paper(Paper::OneSheet)), ([210.0, 297.0], [210.0, 297.0]));
    }
}
