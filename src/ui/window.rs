//! The window: collects answers, dispatches keys, lays out the shell.

use std::path::PathBuf;
use std::sync::Arc;
use std::time::Instant;

use eframe::egui;

use super::canvas::{self, CanvasTextures};
use super::ending::Ending;
use super::kept::Kept;
use super::widgets::{ChartPictures, drops_typing, note_focus, ring_focus};
use super::{design, dialogs, fibre, pieces, shell, shopping, swatch, theme, yarn};
use crate::app::home::Home;
use crate::app::jobs::Jobs;
use crate::app::progress::Lead;
use crate::app::purpose::Next;
use crate::app::state::Program;
use crate::app::update::{closing, collect, end_now, keep_now, look_at_file, offer, tick, update};
use crate::app::view::{ThemeChoice, Workspace};
use crate::app::{Action, Command};
use crate::file;

/// The running window.
pub struct Window {
    /// The program; only [`update`] and [`collect`] are handed it whole.
    pub program: Program,
    textures: CanvasTextures,
    design: design::DesignView,
    pictures: ChartPictures,
    fibre: fibre::FibreView,
    swatch: swatch::SwatchView,
    yarn: yarn::YarnView,
    pieces: pieces::PiecesView,
    shopping: shopping::ShoppingView,
    shown_title: String,
    shown_theme: Option<ThemeChoice>,
    had_focus: bool,
    /// What had the keyboard at the end of the frame before.
    focused: Option<egui::Id>,
    /// The copied stitches the system's clipboard was last told of.
    told_copy: Option<String>,
    ending: Option<Ending>,
    kept: Kept,
}

impl Window {
    /// A window on `path`, else on the last project, else on a demo.
    pub fn open(ctx: &egui::Context, path: Option<PathBuf>) -> Self {
        let home = Home::of_system();
        let left_behind = home.left_behind();
        let waker = ctx.clone();
        let jobs = Jobs::threaded(Arc::new(move || waker.request_repaint()));
        let demo = file::demos().first().and_then(|demo| demo.project().ok());
        let mut window = Self::new(ctx, Program::new(demo.unwrap_or_default(), home, jobs));
        let last = window.program.state.settings.recent().first().cloned().filter(|last| last.is_file());
        if let Some(path) = path.or(last) {
            update(&mut window.program, Action::Go(Next::Open(Some(path))));
        }
        offer(&mut window.program, left_behind);
        window.ending = Ending::on_signal(ctx);
        window
    }

    /// A window on this program.
    pub fn new(ctx: &egui::Context, program: Program) -> Self {
        theme::install(ctx);
        Self {
            program,
            textures: CanvasTextures::default(),
            design: design::DesignView::default(),
            pictures: ChartPictures::default(),
            fibre: fibre::FibreView::default(),
            swatch: swatch::SwatchView::default(),
            yarn: yarn::YarnView::default(),
            pieces: pieces::PiecesView::default(),
            shopping: shopping::ShoppingView::default(),
            shown_title: String::new(),
            shown_theme: None,
            had_focus: false,
            focused: None,
            told_copy: None,
            ending: None,
            kept: Kept::default(),
        }
    }

    /// Takes in what the threads answered.
    pub fn collect(&mut self) {
        collect(&mut self.program);
    }

    /// One frame as it goes to the screen: [`Self::show`], with what has not changed since the last one as the
    /// triangles it was then.
    pub fn frame(&mut self, ui: &mut egui::Ui) {
        self.show(ui);
        self.kept.keep(ui.ctx());
    }

    /// What one frame shows and does.
    pub fn show(&mut self, ui: &mut egui::Ui) {
        note_focus(ui.ctx());
        canvas::note_press(ui.ctx());
        self.apply_theme(ui.ctx());
        self.apply_title(ui.ctx());
        let Program { state, view } = &mut self.program;
        let was_asked = view.dialog.is_some();
        view.shows_dark = ui.visuals().dark_mode;
        view.columns = self.design.shown(state.columns);
        let drops = drops_typing(ui.ctx(), self.focused);
        let mut actions =
            if view.dialog.is_none() { shell::keys(ui, state, view, drops) } else { Vec::new() };
        if actions.contains(&Action::Command(Command::NextPane)) {
            shell::next_pane(ui);
        }
        if actions.contains(&Action::Command(Command::ToChart)) {
            // A list that stays open would not show that keys go to the chart.
            egui::Popup::close_all(ui.ctx());
            ui.memory_mut(|memory| memory.request_focus(canvas::id()));
        }
        actions.extend(shell::bar(ui, state, view));
        if view.workspace == Workspace::Design {
            self.design.take_turns(state.columns, &mut actions);
        }
        actions.extend(shell::status(ui, state, view));
        shell::rail(ui, state, view);
        let is_here = |lead: &Lead| view.workspace == Workspace::Yarn && self.yarn.shows(lead);
        if let Some(lead) = shell::next_step(ui, state, view.workspace, is_here) {
            view.workspace = match lead {
                Lead::To(workspace) => workspace,
                Lead::ThisYarn | Lead::DescribeYarn | Lead::ShadeCards | Lead::Sets => Workspace::Yarn,
                Lead::Do(_) | Lead::Edit(..) => view.workspace,
            };
            actions.extend(self.yarn.follow(&lead, state.project()));
            actions.extend(shell::follow(lead));
        }
        actions.extend(match view.workspace {
            Workspace::Fibre => fibre::show(ui, state, &mut self.fibre),
            Workspace::Yarn => yarn::show(ui, state, view.dialog.is_none(), &mut self.yarn),
            Workspace::Swatch => swatch::show(ui, state, &mut self.swatch),
            Workspace::Pieces => pieces::show(ui, state, view.chart.region, &mut self.pieces),
            Workspace::Shopping => shopping::show(ui, state, &mut self.shopping),
            Workspace::Design => design::show(ui, state, view, &mut self.design, &mut self.textures),
        });
        actions.extend(shell::notices(ui, &state.notices, state.document.version()));
        actions.extend(dialogs::show(ui, state, view, &mut self.pictures));
        ring_focus(ui.ctx(), &theme::Tokens::of(ui));
        if drops {
            // What a field hands over as it is left was typed, too.
            actions.retain(|action| !matches!(action, Action::Edit { in_gesture: true, .. }));
            actions.insert(0, Action::DropGesture);
        }
        self.end_gestures(ui.ctx(), &mut actions);
        for action in actions {
            update(&mut self.program, action);
        }
        self.turn_to_question(ui.ctx(), was_asked);
        self.tell_clipboard(ui.ctx());
        self.close_if_asked(ui.ctx());
    }

    /// A question closes the menu it comes up over, which would stand in front of it; when it is answered, keys are
    /// for the chart again.
    fn turn_to_question(&self, ctx: &egui::Context, was_asked: bool) {
        let view = &self.program.view;
        match (was_asked, view.dialog.is_some()) {
            (false, true) => egui::Popup::close_all(ctx),
            (true, false) => shell::give_keys_to_chart(ctx),
            _ => {}
        }
        if view.dialog.is_none() {
            shell::hand_over_keys(ctx, view.workspace == Workspace::Design);
        }
    }

    /// A gesture lasts as long as the pointer is down or one control has the keyboard, and no longer: also
    /// when its control is gone and cannot say so.
    fn end_gestures(&mut self, ctx: &egui::Context, actions: &mut Vec<Action>) {
        let focused = ctx.memory(egui::Memory::focused);
        let moved = std::mem::replace(&mut self.focused, focused) != focused;
        let (pressed, held, released) = ctx.input(|input| {
            let pointer = &input.pointer;
            (pointer.any_pressed(), pointer.any_down(), pointer.any_released())
        });
        if !held || released {
            if moved || released {
                actions.push(Action::EndGesture);
            }
            return;
        }
        // What the pointer does from press to release is one gesture: a control that loses the keyboard by the press
        // ends what went on before, not this.
        let others = actions.len();
        actions.retain(|action| *action != Action::EndGesture);
        if pressed && (moved || actions.len() < others) {
            actions.insert(0, Action::EndGesture);
        }
    }

    /// Puts words that stand for copied stitches on the system's clipboard.
    fn tell_clipboard(&mut self, ctx: &egui::Context) {
        let words = self.program.state.clipboard.as_ref().map(|copied| &copied.words);
        if let Some(words) = words.filter(|words| self.told_copy.as_ref() != Some(*words)) {
            ctx.copy_text(words.clone());
            self.told_copy = Some(words.clone());
        }
    }

    fn apply_theme(&mut self, ctx: &egui::Context) {
        let scale = f32::from(self.program.state.text_size.percent()) / 100.0;
        if (ctx.zoom_factor() - scale).abs() > 1e-3 {
            ctx.set_zoom_factor(scale);
        }
        let wanted = self.program.state.theme;
        if self.shown_theme != Some(wanted) {
            ctx.set_theme(match wanted {
                ThemeChoice::System => egui::ThemePreference::System,
                ThemeChoice::Light => egui::ThemePreference::Light,
                ThemeChoice::Dark => egui::ThemePreference::Dark,
            });
            self.shown_theme = Some(wanted);
            // The canvas draws "no stitch" in the surround's tone.
            self.program.view.chart.stale.all = true;
        }
    }

    fn apply_title(&mut self, ctx: &egui::Context) {
        let mark = if self.program.state.document.is_unsaved() { "• " } else { "" };
        let title = format!("{mark}{} – Huegauge", self.program.state.name());
        if title != self.shown_title {
            ctx.send_viewport_cmd(egui::ViewportCommand::Title(title.clone()));
            self.shown_title = title;
        }
    }

    fn close_if_asked(&mut self, ctx: &egui::Context) {
        if ctx.input(|input| input.viewport().close_requested()) && !closing(&mut self.program) {
            ctx.send_viewport_cmd(egui::ViewportCommand::CancelClose);
        } else if self.program.state.may_close {
            ctx.send_viewport_cmd(egui::ViewportCommand::Close);
        }
    }
}

impl Window {
    /// Keeps copies of unsaved work: by time, when the person turns to another window, and when the
    /// system ends the program.
    fn keep_work(&mut self, ctx: &egui::Context) {
        if let Some(wait) = tick(&mut self.program, Instant::now()) {
            ctx.request_repaint_after(wait);
        }
        let has_focus = ctx.input(|input| input.focused);
        match (std::mem::replace(&mut self.had_focus, has_focus), has_focus) {
            (true, false) => keep_now(&mut self.program),
            (false, true) => look_at_file(&self.program.state),
            _ => {}
        }
        if self.ending.as_ref().is_some_and(Ending::is_asked) {
            end_now(&mut self.program);
            ctx.send_viewport_cmd(egui::ViewportCommand::Close);
        }
    }
}

impl eframe::App for Window {
    fn logic(&mut self, ctx: &egui::Context, _frame: &mut eframe::Frame) {
        self.collect();
        self.keep_work(ctx);
    }

    fn on_exit(&mut self, _graphics: Option<&eframe::glow::Context>) {
        self.program.state.jobs.finish();
    }

    fn ui(&mut self, ui: &mut egui::Ui, _frame: &mut eframe::Frame) {
        self.frame(ui);
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
