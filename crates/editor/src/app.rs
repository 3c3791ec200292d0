//! One frame of the window, from keys to drawing to what was asked for.

use crate::card::CardPicture;
use crate::clock::Clock;
use crate::derived::Derived;
use crate::dialogs::path::{self, Pending};
use crate::dialogs::{self, Dialog};
use crate::disk::{self, Watch};
use crate::figures::{Figures, Measures};
use crate::findings::{self, Findings};
use crate::floor::airframe::{AirframeShapes, Held};
use crate::floor::layout::{Camera, Layout};
use crate::floor::scene::Scene;
use crate::gesture::{Gesture, Hands};
use crate::light_table::{self, LightTable};
use crate::on_shell::{self, ShellWork};
use crate::pictures::Decoded;
use crate::planning::Planning;
use crate::sheets_view::{self, SheetsView};
use crate::slate::{self, Ask, Seen};
use crate::theme::{self, Theme};
use crate::view::{Card, Tab, Tool, ViewState};
use crate::window::Start;
use crate::{act, bars, card, commands, floor, kept_view, pictures, settings};
use desk::{Desk, Planned, Recovery, StateFolder};
use egui::{CentralPanel, Frame, Id, Margin, Panel, Rect, Ui};
use project::document::Form;
use std::collections::VecDeque;
use std::path::PathBuf;
use std::sync::Arc;
use std::time::{Instant, SystemTime};

/// The window's state: the session, and everything about looking at it.
pub(crate) struct App {
    pub(crate) desk: Desk,
    pub(crate) view: ViewState,
    pub(crate) derived: Derived,
    pub(crate) scene: Scene,
    /// What lies on the bench, as it is drawn.
    pub(crate) airframe: AirframeShapes,
    /// What is measured between form and bench, beside the window's thread.
    pub(crate) figures: Option<Figures>,
    /// The plug, planned beside the window's thread.
    pub(crate) planning: Option<Planning>,
    /// The shell, computed beside the window's thread.
    pub(crate) shell: Option<ShellWork>,
    pub(crate) gesture: Gesture,
    /// A section of the fuselage that is being traced on a picture.
    pub(crate) trace: Option<floor::trace::Trace>,
    /// A photograph beside the drawing.
    pub(crate) table: LightTable,
    /// Where the floor was in the last frame.
    pub(crate) floor: Option<Rect>,
    /// Where the slate was in the last frame.
    pub(crate) slate: Option<Rect>,
    /// Why something could not be done, for the status line.
    pub(crate) message: Option<String>,
    /// What was done last, or what to do next.
    pub(crate) note: Option<String>,
    pub(crate) card_picture: CardPicture,
    pub(crate) decoded: Decoded,
    pub(crate) findings: Option<Findings>,
    pub(crate) sheets: Option<SheetsView>,
    /// Where this machine's habits are kept.
    pub(crate) state: Option<StateFolder>,
    pub(crate) dialog: Option<Dialog>,
    /// What is known of the project's file on disk.
    pub(crate) watch: Watch,
    /// Unsaved work of an earlier run, offered once nothing else is to be read.
    pub(crate) left_behind: Option<Recovery>,
    /// Files that were dropped and not dealt with yet.
    dropped: VecDeque<PathBuf>,
    /// A system dialog that is open.
    pub(crate) pending_path: Option<Pending>,
    /// Files are chosen in the window: the system has no dialog.
    pub(crate) own_dialogs: bool,
    /// The builder was asked about unsaved work and wants to go.
    pub(crate) quitting: bool,
    /// Dark or light, and the scaling, as they were in the last frame.
    pub(crate) looks: (bool, f32),
    title: String,
    clock: Clock,
}

/// The floor's widget.
pub(crate) fn floor_id() -> Id {
    Id::unique("the floor")
}

impl App {
    /// A window that opens with `start`.
    pub(crate) fn new(ctx: &egui::Context, start: &Start) -> Self {
        theme::install(ctx);
        // The scaling has commands of its own, from 100 to 200 %.
        ctx.options_mut(|o| o.zoom_with_keyboard = false);
        let mut app = crate::start::open(start, StateFolder::find());
        settings::load(&mut app, ctx);
        app.clock = Clock::find();
        app
    }

    /// A window over a desk.
    pub(crate) fn over(desk: Desk) -> Self {
        Self {
            desk,
            view: ViewState::default(),
            derived: Derived::default(),
            scene: Scene::default(),
            airframe: AirframeShapes::default(),
            figures: None,
            planning: None,
            shell: None,
            gesture: Gesture::default(),
            trace: None,
            table: LightTable::default(),
            floor: None,
            slate: None,
            message: None,
            note: None,
            card_picture: CardPicture::default(),
            decoded: Decoded::default(),
            findings: None,
            sheets: None,
            state: None,
            dialog: None,
            watch: Watch::default(),
            left_behind: None,
            dropped: VecDeque::new(),
            pending_path: None,
            own_dialogs: false,
            quitting: false,
            looks: (true, 1.0),
            title: String::new(),
            clock: Clock::default(),
        }
    }

    /// The form that is shown.
    pub(crate) fn form(&self) -> Arc<Form> {
        let form = self.desk.form(self.view.form).or_else(|| self.desk.form(0));
        form.unwrap_or_else(|| Arc::new(project::starter::empty_form("Form 1")))
    }

    /// The floor's layout, once its size is known.
    pub(crate) fn layout(&self) -> Option<Layout> {
        let view = &self.view;
        let floor = self.floor?;
        let card = self.stage().and_then(|stage| card::lies_at(self.card(), stage));
        Some(Layout::new(floor, &view.camera, view.fold, &self.scene.extents, view.areas, card))
    }

    /// The loose card as it is now: without a surface there is nothing to show, and its room is of use elsewhere; so it is
    /// beside a photograph, where the slate has more to tell.
    pub(crate) fn card(&self) -> Card {
        let card = self.view.card;
        let in_the_way = self.table.is_open() && self.view.tab == Tab::Pictures && !card.large;
        Card { open: card.open && self.derived.loft().is_some() && !in_the_way, ..card }
    }

    /// Floor and slate together: where the loose card may lie.
    pub(crate) fn stage(&self) -> Option<Rect> {
        self.floor.map(|floor| self.slate.map_or(floor, |slate| floor.union(slate)))
    }

    /// One frame.
    pub(crate) fn frame(&mut self, ui: &mut Ui) {
        let ctx = ui.ctx().clone();
        path::take_answer(self, &ctx);
        self.arrivals(&ctx);
        disk::look(self, &ctx);
        self.offer_left_behind();
        self.refresh();
        self.decoded.refresh(&ctx, self.desk.document(), self.table.picture);
        light_table::refresh(self, &ctx);
        on_shell::refresh(self, &ctx);
        let planning = self.planning.get_or_insert_with(|| Planning::new(&ctx));
        planning.refresh(&self.desk);
        self.findings.get_or_insert_with(|| Findings::new(&ctx)).refresh(&self.desk, planning);
        self.figures.get_or_insert_with(|| Figures::new(&ctx)).refresh(&self.desk);
        if self.dialog.is_none() {
            self.gestures(&ctx);
            light_table::show::gestures(self, &ctx);
            floor::trace::keys(self, &ctx);
            on_shell::openings::drawing::keys(self, &ctx);
            light_table::picking::keys(self, &ctx);
            for command in commands::pressed(&ctx) {
                act::command(self, &ctx, command);
            }
            act::nudge(self, &ctx);
        }
        self.refresh();
        let mut asks = Vec::new();
        self.panels(ui, &mut asks);
        act::all(self, &ctx, asks);
        dialogs::show(&ctx, self);
        self.closing(&ctx);
        self.looks = (ctx.theme() == egui::Theme::Dark, ctx.zoom_factor());
        self.name_window(&ctx);
    }

    /// Offers unsaved work of an earlier run, once nothing else is to be read.
    pub(crate) fn offer_left_behind(&mut self) {
        if self.dialog.is_none() {
            self.dialog = self.left_behind.take().map(|recovery| Dialog::Recovery(Some(recovery)));
        }
    }

    /// Files that were dropped on the window, one after the other, and pictures that were pasted.
    fn arrivals(&mut self, ctx: &egui::Context) {
        let pasted = ctx.input(|i| {
            i.events.iter().find_map(|e| match e {
                egui::Event::PasteImage(image) => Some(image.clone()),
                _ => None,
            })
        });
        let dropped = ctx.input(|i| i.raw.dropped_files.iter().map(|f| f.path().to_owned()).collect::<Vec<_>>());
        self.dropped.extend(dropped);
        if self.dialog.is_some() {
            return;
        }
        if let Some(path) = self.dropped.pop_front() {
            dialogs::files::dropped(self, ctx, &path);
            // The next one is taken when this one is dealt with.
            ctx.request_repaint();
        } else if let Some(image) = pasted {
            pictures::pasted(self, &image);
        }
    }

    /// Asks about unsaved work before the window goes.
    fn closing(&mut self, ctx: &egui::Context) {
        let asked = ctx.input(|i| i.viewport().close_requested());
        if asked && self.desk.is_changed() && !self.quitting {
            ctx.send_viewport_cmd(egui::ViewportCommand::CancelClose);
            dialogs::files::quit(self, ctx);
        }
    }

    /// Brings everything derived up to date with the document.
    pub(crate) fn refresh(&mut self) {
        let document = self.desk.document().clone();
        self.view.form = self.view.form.min(document.forms.len().saturating_sub(1));
        let form = self.form();
        if !self.view.selected.exists(&document, &form) {
            self.view.selected = crate::view::Selected::Nothing;
        }
        let (desk, index) = (&self.desk, self.view.form);
        self.derived.refresh(&form, || desk.skin(index).unwrap_or_else(|| Arc::new(form::loft(&form))));
        self.scene = Scene::of(&form, &self.derived, &self.view);
        // What lies on the bench is in the axes of the first form; a form that is put on it has its own.
        if form.mount.is_none() {
            self.airframe.add_to(&mut self.scene, &document.airframe, &self.derived, Held::of(&self.view));
        }
        on_shell::refresh_at_once(self);
        if let Some(shell) = &self.shell {
            on_shell::add_to(&mut self.scene, &document, &self.view, shell);
        }
        let moved = self.gesture.drag.map(|drag| (drag.target, drag.at));
        if !self.table.is_open() {
            self.scene.add_picked_points(&document, &self.view, moved);
        }
        if self.derived.loft().is_none()
            && document.pictures.iter().any(|p| !p.hidden && pictures::view_of(p).is_some())
        {
            self.scene.reach_over_pictures(&document);
        }
        if let (true, Some(floor)) = (self.view.fit_wanted, self.floor) {
            self.view.camera = Camera::fitting(floor, &self.scene.extents, self.view.areas, self.view.fold);
            self.view.fit_wanted = false;
            self.view.fitted = true;
        }
    }

    fn gestures(&mut self, ctx: &egui::Context) {
        let Some(layout) = self.layout() else { return };
        let Some(floor) = ctx.read_response(floor_id()) else { return };
        let mut hands = Hands {
            desk: &mut self.desk,
            view: &mut self.view,
            derived: &self.derived,
            scene: &self.scene,
            layout: &layout,
            shell: self.shell.as_ref(),
            moves_pictures: !self.table.is_open(),
        };
        self.gesture.run(ctx, &floor, &mut hands);
        if let Some(pointer) = self.gesture.picked.take()
            && let Some(window) = layout.at(pointer)
        {
            match self.view.tool {
                Tool::Trace => floor::trace::clicked(self, window, pointer),
                Tool::Outline => {
                    let corner = ctx.input(|i| i.modifiers.shift);
                    on_shell::openings::drawing::clicked(self, window, pointer, corner);
                }
                _ => pictures::picked(self, window, pointer),
            }
        }
        if let Some(refused) = self.gesture.refused.take() {
            self.message = Some(refused);
        }
    }

    fn panels(&mut self, ui: &mut Ui, asks: &mut Vec<Ask>) {
        let theme = Theme::shown(ui.ctx());
        bars::top(ui, self, theme, asks);
        bars::status(ui, self, theme, asks);
        findings::list::panel(ui, self, theme, asks);
        let document = self.desk.document().clone();
        let form = self.form();
        let margin = Frame::new().fill(theme.panel).inner_margin(Margin { left: 14, right: 8, top: 8, bottom: 8 });
        let most = (0.42 * ui.max_rect().width()).clamp(200.0, 420.0);
        let width = Panel::right("slate").frame(margin).default_size(320.0).size_range(200.0..=most);
        width.show(ui, |ui| {
            self.slate = Some(ui.max_rect());
            if self.sheets.is_some() {
                sheets_view::slate(ui, self, theme, asks);
                return;
            }
            let (nothing, unplanned) = (Measures::default(), Planned::default());
            let planning = self.planning.as_ref();
            // A form that is put on the first one is planned as a project of its own.
            let plug = self.shell.as_ref().and_then(|shell| shell.added.plug());
            let planned = match plug {
                Some(plug) => plug.planned(),
                None => planning.and_then(Planning::planned).map(|planned| &**planned),
            };
            let seen = Seen {
                document: plug.map_or(&*document, |plug| plug.project()),
                form: &form,
                derived: &self.derived,
                theme,
                pictures: &self.decoded,
                table: &self.table,
                measures: self.figures.as_ref().map_or(&nothing, Figures::measures),
                planned: planned.unwrap_or(&unplanned),
                age: plug.map_or_else(|| planning.map(Planning::age).unwrap_or_default(), |plug| plug.age()),
                shell: self.shell.as_ref(),
            };
            let card = self.floor.and_then(|floor| card::lies_at(self.card(), floor.union(ui.max_rect())));
            slate::show(ui, &seen, &mut self.view, card, asks);
        });
        let at_table = self.table.is_open() && self.sheets.is_none();
        if at_table && !self.table.alone {
            light_table::show::beside(ui, self, theme, asks);
        }
        let alone = at_table && self.table.alone;
        if alone {
            self.floor = None;
        }
        CentralPanel::default().frame(Frame::NONE).show(ui, |ui| match &mut self.sheets {
            None if alone => light_table::show::show(ui, self, theme, asks),
            Some(view) => sheets_view::pages(ui, view, theme),
            None => floor::show::show(ui, self, theme, asks),
        });
    }

    /// The project's name and whether it has unsaved work, in the window's title.
    fn name_window(&mut self, ctx: &egui::Context) {
        let changed = if self.desk.is_changed() { "• " } else { "" };
        let title = format!("{changed}{} – Plugwright", self.desk.document().clone().name);
        if title != self.title {
            ctx.send_viewport_cmd(egui::ViewportCommand::Title(title.clone()));
            self.title = title;
        }
    }
}

impl eframe::App for App {
    fn ui(&mut self, ui: &mut Ui, _frame: &mut eframe::Frame) {
        let (began, since) = (SystemTime::now(), Instant::now());
        self.frame(ui);
        self.clock.frame(began, since.elapsed());
    }

    fn on_exit(&mut self, _gl: Option<&eframe::glow::Context>) {
        settings::save(self);
        kept_view::save(self);
        // Closed on purpose: nothing is kept for the next start.
        std::mem::take(&mut self.desk).close();
    }
}
