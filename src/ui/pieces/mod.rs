//! The Pieces workspace: bands from cast-on to bind-off, the sizes, and the schematic.

mod amounts;
mod band_form;
mod bands;
mod colours;
mod compare;
mod fit;
mod follow;
mod list;
mod list_buttons;
mod piece_form;
mod published;
mod schematic;
mod sizes;
mod solve;
mod steps;
mod templates;
mod time;
mod words;

use egui::{CentralPanel, Frame, Margin, Panel, ScrollArea, Ui};

use super::theme::{STEP, Tokens};
use super::widgets::one_of_in;
use crate::app::Action;
use crate::app::pieces_desk::PiecesWorked;
use crate::app::state::State;
use crate::chart::Rect;
use crate::project::{Edit, PiecePlan, Project};
use crate::ui::widgets::{Follow, settled};

/// Width of the list of pieces.
const LIST: f32 = 252.0;
/// Width of the bands and their fields.
const BANDS: f32 = 396.0;
/// Width of the list of sizes and its fields.
const SIZES: f32 = 348.0;

/// A page of the workspace.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
enum Page {
    /// The pieces, their bands and the schematic.
    #[default]
    Bands,
    /// All sizes side by side.
    Sizes,
}

/// What the fields under the bands belong to.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
enum Form {
    /// The shown band.
    #[default]
    Band,
    /// The piece as a whole.
    Piece,
}

/// What the workspace remembers between frames.
#[derive(Default)]
pub struct PiecesView {
    /// The region chosen in Design, in this frame.
    region: Option<Rect>,
    page: Page,
    /// The piece that is shown, by its place in the plan.
    piece: usize,
    /// The band that is shown, by its place from the first row.
    band: usize,
    form: Form,
    /// The size that is edited, by its place in the plan.
    size: usize,
    templates: templates::TemplatesView,
    published: published::PublishedView,
    time: time::TimeView,
    schematic: schematic::SchematicView,
    solve: solve::SolveView,
}

/// The plan as it becomes in this frame: the one place where changes of the fields are gathered.
struct Draft {
    plan: PiecePlan,
    /// What undo will call the change.
    label: &'static str,
    /// Whether the change, or a field's gesture, is finished.
    ended: bool,
}

impl Draft {
    fn of(project: &Project) -> Self {
        Self { plan: project.pieces.clone(), label: "Pieces", ended: false }
    }

    /// A change that is finished at once.
    const fn step(&mut self, label: &'static str) {
        self.label = label;
        self.ended = true;
    }

    fn into_actions(self, project: &Project, actions: &mut Vec<Action>) {
        if self.plan != project.pieces {
            actions.push(Action::gesture(self.label, Edit::Pieces(Box::new(self.plan))));
        }
        if self.ended {
            actions.push(Action::EndGesture);
        }
    }
}

/// Shows the workspace; `region` is the one chosen in Design.
pub fn show(ui: &mut Ui, state: &State, region: Option<Rect>, view: &mut PiecesView) -> Vec<Action> {
    view.region = region;
    let mut actions = Vec::new();
    let project = state.project();
    let plan = &project.pieces;
    view.piece = view.piece.min(plan.pieces.len().saturating_sub(1));
    let bands = plan.pieces.get(view.piece).map_or(0, |piece| piece.bands.len());
    view.band = view.band.min(bands.saturating_sub(1));
    view.size = view.size.min(plan.sizes.len().saturating_sub(1));
    let mut draft = Draft::of(project);
    let worked = state.desks.pieces.worked(&state.document, &state.jobs).value();
    let worked = worked.as_deref();
    if plan.pieces.is_empty() && view.page == Page::Bands {
        CentralPanel::no_frame().frame(panel(ui)).show(ui, |ui| {
            scroll(ui, |ui| templates::show(ui, project, view, &mut draft, &mut actions));
        });
    } else {
        pages(ui, view, &mut draft);
        match view.page {
            Page::Bands => bands_page(ui, state, view, worked, &mut draft, &mut actions),
            Page::Sizes => sizes_page(ui, project, view, worked, &mut draft),
        }
    }
    draft.into_actions(project, &mut actions);
    actions
}

fn panel(ui: &Ui) -> Frame {
    Frame::new().fill(Tokens::of(ui).panel).inner_margin(Margin { left: 12, right: 10, top: 8, bottom: 0 })
}

fn ground(ui: &Ui) -> Frame {
    Frame::new().fill(Tokens::of(ui).rail).inner_margin(Margin { left: 12, right: 4, top: 8, bottom: 0 })
}

fn scroll(ui: &mut Ui, contents: impl FnOnce(&mut Ui)) {
    ScrollArea::vertical().auto_shrink([false, false]).follow(ui, contents);
}

/// The pages and the worked size.
fn pages(ui: &mut Ui, view: &mut PiecesView, draft: &mut Draft) {
    let frame = Frame::new().fill(Tokens::of(ui).panel).inner_margin(Margin::symmetric(12, 6));
    Panel::top("pieces pages").frame(frame).resizable(false).show(ui, |ui| {
        ui.horizontal(|ui| {
            ui.selectable_value(&mut view.page, Page::Bands, "Pieces and bands");
            ui.add_space(STEP / 2.0);
            ui.selectable_value(&mut view.page, Page::Sizes, "Sizes");
            ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
                worked_size(ui, draft);
                ui.label("Size");
            });
        });
    });
}

/// Chooses the size that schematic, times and yarn are for.
fn worked_size(ui: &mut Ui, draft: &mut Draft) {
    let plan = &mut draft.plan;
    if plan.sizes.is_empty() {
        ui.label(plan.size().name);
        return;
    }
    let before = plan.chosen;
    let sizes = plan.sizes.iter().map(|size| size.name.as_str()).enumerate();
    one_of_in(ui, ui.spacing().combo_width, "Size", sizes, &mut plan.chosen);
    if plan.chosen != before {
        draft.step("Size");
    }
}

fn bands_page(
    ui: &mut Ui,
    state: &State,
    view: &mut PiecesView,
    worked: Option<&PiecesWorked>,
    draft: &mut Draft,
    actions: &mut Vec<Action>,
) {
    let project = state.project();
    Panel::left("pieces list").frame(panel(ui)).exact_size(LIST).resizable(false).show(ui, |ui| {
        scroll(ui, |ui| {
            list::show(ui, project, view, worked, draft);
            time::show(ui, project, &mut view.time, worked, draft, actions);
        });
    });
    if view.templates.is_open() {
        CentralPanel::no_frame().frame(panel(ui)).show(ui, |ui| {
            scroll(ui, |ui| templates::show(ui, project, view, draft, actions));
        });
        return;
    }
    Panel::left("piece bands").frame(panel(ui)).exact_size(BANDS).resizable(false).show(ui, |ui| {
        scroll(ui, |ui| {
            settled(ui, "bands", |ui| bands::show(ui, project, view, worked, draft));
            ui.separator();
            ui.horizontal(|ui| {
                ui.selectable_value(&mut view.form, Form::Band, "This band");
                ui.selectable_value(&mut view.form, Form::Piece, "Whole piece");
            });
            match view.form {
                Form::Band => band_form::show(ui, state, view, worked, draft),
                Form::Piece => {
                    piece_form::show(ui, project, view.piece, draft);
                    if let Some(worked) = worked {
                        settled(ui, "passing", |ui| fit::passing(ui, project, view.piece, worked));
                    }
                    solve::show(ui, state, view.piece, &mut view.solve, draft);
                }
            }
            ui.add_space(STEP);
        });
    });
    CentralPanel::no_frame().frame(ground(ui)).show(ui, |ui| schematic::show(ui, state, view));
}

fn sizes_page(
    ui: &mut Ui,
    project: &Project,
    view: &mut PiecesView,
    worked: Option<&PiecesWorked>,
    draft: &mut Draft,
) {
    Panel::left("sizes list").frame(panel(ui)).exact_size(SIZES).resizable(false).show(ui, |ui| {
        scroll(ui, |ui| {
            sizes::show(ui, project, &mut view.size, draft);
            published::show(ui, project, &mut view.published, draft);
            ui.add_space(STEP);
        });
    });
    CentralPanel::no_frame().frame(ground(ui)).show(ui, |ui| {
        egui::ScrollArea::both()
            .auto_shrink([false, false])
            .follow(ui, |ui| compare::show(ui, project, worked, draft));
    });
}
