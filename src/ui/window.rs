//! The window: collects answers, dispatches keys, lays out the shell.

use std::path::PathBuf;
use std::sync::Arc;

use eframe::egui;

use super::canvas::CanvasTextures;
use super::{design, dialogs, fibre, pieces, shell, shopping, swatch, theme, yarn};
use crate::app::Action;
use crate::app::jobs::Jobs;
use crate::app::state::{Answer, Dialog, Home, Next, State};
use crate::app::update::{closing, collect, update};
use crate::app::view::{ThemeChoice, Workspace};
use crate::file;

/// The running window.
pub struct Window {
    /// What the program knows.
    pub state: State,
    textures: CanvasTextures,
    design: design::DesignView,
    fibre: fibre::FibreView,
    swatch: swatch::SwatchView,
    yarn: yarn::YarnView,
    pieces: pieces::PiecesView,
    shopping: shopping::ShoppingView,
    shown_title: String,
    shown_theme: Option<ThemeChoice>,
}

impl Window {
    /// A window on `path`, else on the last project, else on a demo.
    pub fn open(ctx: &egui::Context, path: Option<PathBuf>) -> Self {
        let home = Home::of_system();
        let left_behind = home.left_behind();
        let waker = ctx.clone();
        let jobs = Jobs::threaded(Arc::new(move || waker.request_repaint()));
        let mut window = Self::new(ctx, home, jobs);
        let last = window.state.settings.recent().first().cloned().filter(|last| last.is_file());
        if let Some(path) = path.or(last) {
            update(&mut window.state, Action::Go(Next::Open(Some(path))));
        }
        window.state.dialog = left_behind.map(Dialog::Recovered);
        window
    }

    /// A window on the first demo, with this memory and these workers.
    pub fn new(ctx: &egui::Context, home: Home, jobs: Jobs<Answer>) -> Self {
        theme::install(ctx);
        let demo = file::demos().first().and_then(|demo| demo.project().ok());
        Self {
            state: State::new(demo.unwrap_or_default(), home, jobs),
            textures: CanvasTextures::default(),
            design: design::DesignView::default(),
            fibre: fibre::FibreView::default(),
            swatch: swatch::SwatchView::default(),
            yarn: yarn::YarnView::default(),
            pieces: pieces::PiecesView::default(),
            shopping: shopping::ShoppingView::default(),
            shown_title: String::new(),
            shown_theme: None,
        }
    }

    /// Takes in what the threads answered.
    pub fn collect(&mut self) {
        collect(&mut self.state);
    }

    /// One frame.
    pub fn show(&mut self, ui: &mut egui::Ui) {
        self.apply_theme(ui.ctx());
        self.state.shows_dark = ui.visuals().dark_mode;
        self.apply_title(ui.ctx());
        let mut actions = if self.state.dialog.is_none() { shell::keys(ui, &self.state) } else { Vec::new() };
        actions.extend(shell::bar(ui, &self.state));
        actions.extend(shell::status(ui, &self.state));
        actions.extend(shell::rail(ui, &mut self.state.workspace));
        match self.state.workspace {
            Workspace::Fibre => actions.extend(fibre::show(ui, &self.state, &mut self.fibre)),
            Workspace::Yarn => actions.extend(yarn::show(ui, &self.state, &mut self.yarn)),
            Workspace::Swatch => actions.extend(swatch::show(ui, &self.state, &mut self.swatch)),
            Workspace::Pieces => actions.extend(pieces::show(ui, &self.state, &mut self.pieces)),
            Workspace::Shopping => actions.extend(shopping::show(ui, &self.state, &mut self.shopping)),
            Workspace::Design => {
                actions.extend(design::show(ui, &mut self.state, &mut self.design, &mut self.textures));
            }
        }
        actions.extend(shell::notices(ui, &self.state.notices));
        actions.extend(dialogs::show(ui, &mut self.state));
        for action in actions {
            update(&mut self.state, action);
        }
        self.close_if_asked(ui.ctx());
    }

    fn apply_theme(&mut self, ctx: &egui::Context) {
        let wanted = self.state.theme;
        if self.shown_theme != Some(wanted) {
            ctx.set_theme(match wanted {
                ThemeChoice::System => egui::ThemePreference::System,
                ThemeChoice::Light => egui::ThemePreference::Light,
                ThemeChoice::Dark => egui::ThemePreference::Dark,
            });
            self.shown_theme = Some(wanted);
            // The canvas draws "no stitch" in the surround's tone.
            self.state.view.stale.all = true;
        }
    }

    fn apply_title(&mut self, ctx: &egui::Context) {
        let mark = if self.state.document.is_unsaved() { "• " } else { "" };
        let title = format!("{mark}{} – Huegauge", self.state.name());
        if title != self.shown_title {
            ctx.send_viewport_cmd(egui::ViewportCommand::Title(title.clone()));
            self.shown_title = title;
        }
    }

    fn close_if_asked(&mut self, ctx: &egui::Context) {
        if ctx.input(|input| input.viewport().close_requested()) && !closing(&mut self.state) {
            ctx.send_viewport_cmd(egui::ViewportCommand::CancelClose);
        } else if self.state.may_close {
            ctx.send_viewport_cmd(egui::ViewportCommand::Close);
        }
    }
}

impl eframe::App for Window {
    fn logic(&mut self, _ctx: &egui::Context, _frame: &mut eframe::Frame) {
        self.collect();
    }

    fn ui(&mut self, ui: &mut egui::Ui, _frame: &mut eframe::Frame) {
        self.show(ui);
    }
}

/// Opens the window and stays until it closes.
///
/// # Errors
/// A line that says why no window could be opened, e.g. without a display.
pub fn run(path: Option<PathBuf>) -> Result<(), String> {
    let options = eframe::NativeOptions {
        viewport: egui::ViewportBuilder::default()
            .with_title("Huegauge")
            .with_app_id("huegauge")
            .with_inner_size([1280.0, 800.0])
            .with_min_inner_size([960.0, 600.0]),
        ..eframe::NativeOptions::default()
    };
    let start = move |context: &eframe::CreationContext<'_>| {
        let window: Box<dyn eframe::App> = Box::new(Window::open(&context.egui_ctx, path));
        Ok(window)
    };
    eframe::run_native("huegauge", options, Box::new(start)).map_err(|error| {
        log::error!("{error}");
        "no window can be opened here: is there a display? huegauge --help lists what works without one"
            .to_owned()
    })
}
