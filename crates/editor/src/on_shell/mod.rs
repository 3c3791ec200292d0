//! The shell in the window: what of it lies on the floor and can be taken hold of, what is computed beside the window's thread, and
//! what its pages ask for. The pages themselves are in `slate/shell`.

pub(crate) mod added;
pub(crate) mod cloth;
mod felt;
pub(crate) mod heat;
pub(crate) mod item;
pub(crate) mod openings;
pub(crate) mod release;
pub(crate) mod weights;

pub(crate) use item::OnShell;

use crate::app::App;
use crate::floor::layout::View;
use crate::floor::scene::Scene;
use crate::on_shell::heat::HeatMap;
use crate::on_shell::heat::scale::Scale;
use crate::view::{Tab, ViewState};
use form::space::Vector;
use project::document::Document;
use project::edit::Edit;
use std::sync::Arc;

/// The pages of the shell, in the order of the work.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub(crate) enum ShellPage {
    /// Openings of the shown form, and the air through them.
    #[default]
    Openings,
    /// Forms that are put on the first one.
    Added,
    /// Plies, resin, filler, paint.
    Laminate,
    /// Cloth around the plug.
    Cloth,
    /// Whether the shell comes off.
    Release,
    /// Mass and balance.
    Weights,
}

impl ShellPage {
    /// All of them.
    pub(crate) const ALL: [Self; 6] =
        [Self::Openings, Self::Added, Self::Laminate, Self::Cloth, Self::Release, Self::Weights];

    /// Its title.
    pub(crate) fn label(self) -> &'static str {
        match self {
            Self::Openings => "Openings",
            Self::Added => "Added forms",
            Self::Laminate => "Laminate",
            Self::Cloth => "Cloth",
            Self::Release => "Release",
            Self::Weights => "Weights",
        }
    }
}

/// What is computed of the shell beside the window's thread, and how it is looked at.
pub(crate) struct ShellWork {
    pub(crate) cloth: cloth::ClothWork,
    pub(crate) release: release::ReleaseWork,
    pub(crate) weights: weights::WeightsWork,
    pub(crate) openings: openings::OpeningsWork,
    pub(crate) added: added::AddedWork,
}

impl ShellWork {
    /// Nothing computed yet.
    pub(crate) fn new(ctx: &egui::Context) -> Self {
        Self {
            cloth: cloth::ClothWork::new(ctx),
            release: release::ReleaseWork::new(ctx),
            weights: weights::WeightsWork::new(ctx),
            openings: openings::OpeningsWork::new(ctx),
            added: added::AddedWork::new(ctx),
        }
    }
}

/// Something about the shell that is no edit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum ShellAsk {
    /// About cloth.
    Cloth(cloth::ClothAsk),
    /// About the release.
    Release(release::ReleaseAsk),
    /// About mass and balance.
    Weights(weights::WeightsAsk),
    /// About openings.
    Openings(openings::OpeningsAsk),
    /// About added forms.
    Added(added::AddedAsk),
}

/// Opens a page of the shell.
pub(crate) fn open(app: &mut App, page: ShellPage) {
    app.view.tab = Tab::Shell;
    app.view.shell = page;
}

/// Does what a page asked for.
pub(crate) fn act(app: &mut App, asked: ShellAsk) {
    match asked {
        ShellAsk::Cloth(asked) => cloth::act(app, asked),
        ShellAsk::Release(asked) => release::act(app, asked),
        ShellAsk::Weights(asked) => weights::act(app, asked),
        ShellAsk::Openings(asked) => openings::act(app, asked),
        ShellAsk::Added(asked) => added::act(app, asked),
    }
}

/// Brings up to date what is drawn with the scene: called whenever that is made anew. While something is dragged, what takes long
/// follows a moment later.
pub(crate) fn refresh_at_once(app: &mut App) {
    openings::refresh(app);
    added::refresh(app);
}

/// Brings what is shown up to date with the document; called once a frame, before anything is drawn.
pub(crate) fn refresh(app: &mut App, ctx: &egui::Context) {
    app.shell.get_or_insert_with(|| ShellWork::new(ctx));
    added::plug::refresh(app, ctx);
    cloth::refresh(app);
    release::refresh(app);
    weights::refresh(app);
}

/// Adds what lies on the floor to the scene.
pub(crate) fn add_to(scene: &mut Scene, document: &Document, view: &ViewState, work: &ShellWork) {
    openings::add_to(scene, document, view, &work.openings);
    added::add_to(scene, document, view, &work.added);
    cloth::add_to(scene, document, view, &work.cloth);
}

/// The edit that puts what is dragged at a place of a view, mm.
pub(crate) fn edit_for(
    document: &Document,
    work: Option<&ShellWork>,
    form: usize,
    item: OnShell,
    view: View,
    at: [f64; 2],
) -> Option<Edit> {
    match item {
        OnShell::Opening { opening, grip } => openings::edit_for(document, form, opening, grip, at),
        OnShell::Added { form, grip } => added::edit_for(document, form, grip, view, at),
        OnShell::ClothStart | OnShell::ClothWay => cloth::edit_for(document, &work?.cloth, item, view, at),
    }
}

/// Paints heat maps on the views of the floor, under its lines.
pub(crate) fn paint_under(painter: &egui::Painter, app: &App, look: &crate::floor::draw::Look<'_>) {
    if app.view.tab != crate::view::Tab::Shell {
        return;
    }
    match app.view.shell {
        ShellPage::Cloth => cloth::paint(painter, app, look),
        ShellPage::Release => release::paint(painter, app, look),
        _ => {}
    }
}

/// A heat map that is shown on the shaded body too.
#[derive(Clone, Copy)]
pub(crate) struct Warmth<'a> {
    pub(crate) map: &'a Arc<HeatMap>,
    pub(crate) scale: Scale,
    /// Slits or joint lines.
    pub(crate) lines: &'a [Vec<Vector>],
    /// Another whenever something else is shown.
    pub(crate) revision: u64,
}

/// The heat map of the open page.
pub(crate) fn warmth<'a>(view: &ViewState, work: Option<&'a ShellWork>) -> Option<Warmth<'a>> {
    let work = work?;
    if cloth::is_open(view) {
        let lies = work.cloth.shown()?;
        let revision = 2 * work.cloth.revision() + 1;
        return Some(Warmth { map: &lies.heat, scale: lies.scale, lines: &lies.slits, revision });
    }
    let told = work.release.told().filter(|_| release::is_open(view))?;
    let lines = told.releasing.chosen.as_ref().map_or(&[][..], |joint| &joint.lines);
    Some(Warmth { map: &told.draft, scale: told.scale, lines, revision: 2 * work.release.revision() + 2 })
}
