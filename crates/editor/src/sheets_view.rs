//! The pages before they are written: laid out beside the window's thread, looked at, and written as PDF.

use crate::app::App;
use crate::dialogs::Purpose;
use crate::dialogs::path;
use crate::slate::field::{self, Number};
use crate::slate::{Ask, heading, note};
use crate::theme::{self, Theme};
use desk::output::{SheetsFailure, sheets_by};
use desk::{Outcome, PlanSource, Progress, Reckoned, Work};
use egui::{
    ColorImage, ProgressBar, Rect, RichText, ScrollArea, Sense, TextureHandle, TextureOptions, Ui, Vec2, pos2, vec2,
};
use form::Lofted;
use project::document::{Document, Paper, PaperSetup};
use project::edit::Edit;
use sheets::{Layout, Page};
use std::sync::Arc;

/// Pixels of the preview for one millimetre, and the most along a side.
const PX_PER_MM: f64 = 3.5;
const MOST_PX: f64 = 1700.0;

/// The open preview.
pub(crate) struct SheetsView {
    work: Work<Same, Result<Made, String>>,
    state: State,
    /// Width of a page on the screen, in points.
    width: f32,
}

enum State {
    /// Nothing to show yet.
    Empty,
    /// The builder stopped the work.
    Stopped,
    Failed(String),
    Ready(Ready),
}

struct Ready {
    layout: Layout,
    pages: Vec<TextureHandle>,
}

/// What the worker makes.
struct Made {
    layout: Layout,
    pages: Vec<ColorImage>,
}

/// The same document, the very one.
#[derive(Clone)]
struct Same(Arc<Document>);

impl PartialEq for Same {
    fn eq(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.0, &other.0)
    }
}

impl SheetsView {
    /// Opens the preview.
    pub(crate) fn new(ctx: &egui::Context) -> Self {
        let ctx = ctx.clone();
        Self { work: Work::new(Arc::new(move || ctx.request_repaint())), state: State::Empty, width: 250.0 }
    }

    fn refresh(&mut self, ctx: &egui::Context, app: &App) {
        let document = app.desk.document().clone();
        let lofted: Vec<Arc<Lofted>> = (0..document.forms.len()).filter_map(|form| app.desk.skin(form)).collect();
        if !matches!(self.state, State::Stopped) {
            let (job, known) = (document.clone(), app.desk.reckoned().clone());
            self.work.want(Same(document), move |progress| make(&job, &lofted, &known, progress));
        }
        if let Some((_, outcome)) = self.work.poll() {
            self.state = match outcome {
                Outcome::Done(Ok(made)) => State::Ready(Ready::new(ctx, made)),
                Outcome::Done(Err(why)) | Outcome::Broke(why) => State::Failed(why),
            };
        }
    }

    /// The laid-out pages, if they are up to date.
    pub(crate) fn layout(&self) -> Option<&Layout> {
        match (&self.state, self.work.progress()) {
            (State::Ready(ready), None) => Some(&ready.layout),
            _ => None,
        }
    }
}

impl Ready {
    fn new(ctx: &egui::Context, made: Made) -> Self {
        let pages =
            made.pages.into_iter().map(|image| ctx.load_texture("page", image, TextureOptions::LINEAR)).collect();
        Self { layout: made.layout, pages }
    }
}

/// Plans the plug if that was not done yet, lays out the pages and draws each: a fifth, one half and the rest of the work.
fn make(document: &Document, lofted: &[Arc<Lofted>], known: &Reckoned, progress: &Progress) -> Result<Made, String> {
    let tell = |share: f32| {
        progress.tell(share);
        !progress.is_cancelled()
    };
    let source = lofted.first().and_then(|first| PlanSource::of(document, first));
    if let Some(of) = &source {
        known.plans().planned(of, &mut |share| tell(0.2 * share)).map_err(|e| e.to_string())?;
    }
    let layout = sheets_by(document, lofted, known, &document.paper, &mut |share| tell(0.2 + 0.5 * share))
        .map_err(|e: SheetsFailure| e.to_string())?;
    let mut pages = Vec::new();
    for (index, page) in layout.set.pages.iter().enumerate() {
        if progress.is_cancelled() {
            return Err("Stopped.".into());
        }
        pages.push(picture(page)?);
        progress.tell(0.7 + 0.3 * (index + 1) as f32 / layout.set.pages.len() as f32);
    }
    Ok(Made { layout, pages })
}

/// A page as the PNG writer draws it: from the same items as the PDF.
fn picture(page: &Page) -> Result<ColorImage, String> {
    let scale = PX_PER_MM.min(MOST_PX / page.width_mm.max(page.height_mm));
    let png = sheets::png::page_to_png(page, scale).map_err(|e| e.to_string())?;
    let photo = photo::decode(&png).map_err(|e| e.to_string())?;
    Ok(ColorImage::from_rgba_unmultiplied([photo.width as usize, photo.height as usize], &photo.rgba))
}

/// The panel with paper and print correction, in the slate's place.
pub(crate) fn slate(ui: &mut Ui, app: &mut App, theme: &'static Theme, asks: &mut Vec<Ask>) {
    let Some(mut view) = app.sheets.take() else { return };
    let mut stay = true;
    view.refresh(ui.ctx(), app);
    ScrollArea::vertical().id_salt("sheets").auto_shrink([false, false]).show(ui, |ui| {
        ui.label(RichText::new("Sheets to print").font(theme::bold(theme::TITLE)));
        if ui.button("← Back to the floor").clicked() {
            stay = false;
        }
        paper(ui, app, asks);
        correction(ui, app, asks);
        heading(ui, "Pages");
        work(ui, &mut view, theme);
        if ui.add_enabled(view.layout().is_some(), egui::Button::new("Write the PDF…")).clicked() {
            let name = format!("{}.pdf", crate::dialogs::files::file_stem(&app.desk.document().name));
            path::ask(app, ui.ctx(), Purpose::WritePdf, &name);
        }
        note(ui, "Print at 100 %, never “fit to page”, then measure both 100 mm lines.");
    });
    if stay {
        app.sheets = Some(view);
    }
}

fn paper(ui: &mut Ui, app: &App, asks: &mut Vec<Ask>) {
    let now = app.desk.document().paper;
    let units = app.view.units;
    heading(ui, "Paper");
    field::row(ui, "Size", |ui| {
        let combo = egui::ComboBox::from_id_salt("paper").selected_text(now.paper.label()).width(100.0);
        let response = combo.show_ui(ui, |ui| {
            for paper in Paper::ALL {
                if ui.selectable_label(paper == now.paper, paper.label()).clicked() && paper != now.paper {
                    asks.push(Ask::Do(Edit::SetPaper(PaperSetup { paper, ..now })));
                }
            }
        });
        response.response.accessible_name("Paper size");
    });
    let set = |paper| Edit::SetPaper(paper);
    field::length(ui, "Margin", "Margin", now.margin, units, asks, |margin| set(PaperSetup { margin, ..now }));
    field::length(ui, "Overlap", "Overlap of tiles", now.overlap, units, asks, |overlap| {
        set(PaperSetup { overlap, ..now })
    });
}

fn correction(ui: &mut Ui, app: &App, asks: &mut Vec<Ask>) {
    let now = app.desk.document().paper;
    heading(ui, "Print correction");
    note(ui, "Type what the two 100 mm lines of a print measured; the next print comes out true.");
    for (axis, label) in [(0, "Line across"), (1, "Line upwards")] {
        let number = Number {
            label,
            name: format!("{label} measured"),
            suffix: "mm",
            decimals: 2,
            speed: 0.02,
            range: [80.0, 120.0],
        };
        field::number_field(ui, &number, now.measured[axis], asks, |value| {
            let mut measured = now.measured;
            measured[axis] = value;
            Edit::SetPaper(PaperSetup { measured, ..now })
        });
    }
}

fn work(ui: &mut Ui, view: &mut SheetsView, theme: &Theme) {
    if let Some(share) = view.work.progress() {
        ui.add(ProgressBar::new(share).text("laying out"));
        if ui.button("Stop").clicked() {
            view.work.cancel();
            view.state = State::Stopped;
        }
        return;
    }
    match &view.state {
        State::Ready(ready) => {
            let count = ready.layout.count;
            field::reading(ui, "With templates", count.pages.to_string());
            field::reading(ui, "Overview", ready.layout.overview_pages.to_string());
            field::reading(ui, "Row by row", count.naive_row_by_row.to_string());
            field::reading(ui, "At the very least", count.area_bound.to_string());
        }
        State::Failed(why) => {
            ui.colored_label(theme.warning, why);
        }
        State::Stopped => {
            note(ui, "Stopped.");
            if ui.button("Lay out again").clicked() {
                view.state = State::Empty;
            }
        }
        State::Empty => {}
    }
}

/// The pages, in the floor's place.
pub(crate) fn pages(ui: &mut Ui, view: &mut SheetsView, theme: &'static Theme) {
    ui.painter().rect_filled(ui.max_rect(), 0.0, theme.floor);
    let zoom = ui.input(|i| i.zoom_delta());
    view.width = (view.width * zoom).clamp(110.0, 1400.0);
    let State::Ready(ready) = &view.state else {
        let text = match &view.state {
            State::Failed(_) => "There are no pages yet: the reason stands on the right.",
            State::Stopped => "The layout was stopped.",
            _ => "Laying out the pages…",
        };
        let galley = ui.painter().layout(text.to_owned(), theme::small(), theme.weak, 420.0);
        let at = ui.max_rect().center() - 0.5 * galley.size();
        ui.painter().galley(at, galley, theme.weak);
        return;
    };
    let dimmed = if view.work.progress().is_some() { 0.5 } else { 1.0 };
    let mut width = view.width;
    ScrollArea::vertical().auto_shrink([false, false]).show(ui, |ui| {
        let margin = egui::Margin { left: 14, right: 4, top: 12, bottom: 12 };
        egui::Frame::NONE.inner_margin(margin).show(ui, |ui| {
            ui.horizontal_wrapped(|ui| {
                ui.spacing_mut().item_spacing = vec2(16.0, 14.0);
                for (index, (page, texture)) in ready.layout.set.pages.iter().zip(&ready.pages).enumerate() {
                    if one(ui, index, page, texture, view.width, dimmed, theme) {
                        // A click brings a page near, another shows all again.
                        width = if view.width < 500.0 { 760.0 } else { 250.0 };
                    }
                }
            });
        });
    });
    view.width = width;
}

fn one(
    ui: &mut Ui,
    index: usize,
    page: &Page,
    texture: &TextureHandle,
    width: f32,
    dimmed: f32,
    theme: &Theme,
) -> bool {
    let height = width * (page.height_mm / page.width_mm) as f32;
    let (rect, response) = ui.allocate_exact_size(Vec2::new(width, height + 20.0), Sense::click());
    let sheet = Rect::from_min_size(rect.min, vec2(width, height));
    let name = format!("Page {}: {}", index + 1, page.name);
    response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Image, true, &name));
    if ui.is_rect_visible(rect) {
        let painter = ui.painter();
        painter.rect_filled(sheet, 0.0, theme.paper);
        let whole = Rect::from_min_max(pos2(0.0, 0.0), pos2(1.0, 1.0));
        painter.image(texture.id(), sheet, whole, egui::Color32::WHITE.gamma_multiply(dimmed));
        let edge = if response.has_focus() || response.hovered() { theme.accent } else { theme.edge };
        painter.rect_stroke(sheet, 0.0, egui::Stroke::new(1.0, edge), egui::StrokeKind::Outside);
        let mut job = egui::text::LayoutJob::simple_singleline(name.clone(), theme::small(), theme.weak);
        job.wrap = egui::text::TextWrapping::truncate_at_width(width);
        painter.galley(sheet.left_bottom() + vec2(0.0, 4.0), painter.layout_job(job), theme.weak);
    }
    response.on_hover_text(name).clicked()
}
