//! The Fibre workspace: what the piece must withstand, and which fibres and blends answer it.

mod detail;
mod questions;
mod ranking;
mod table;

use egui::{CentralPanel, Frame, Margin, Painter, Panel, Rect, ScrollArea, TextEdit, Ui, Vec2};

use super::theme::{STEP, Tokens};
use super::widgets::{Follow, caption, name, text_field};
use crate::app::Action;
use crate::app::desks::FibreOrder;
use crate::app::state::State;
use crate::knit::Technique;
use crate::project::{Edit, Material, Project};
use crate::yarn::{Blend, Needs, PieceKind, Ranked};

/// Width of the column of questions.
const QUESTIONS: f32 = 292.0;
/// Width of the column on one fibre.
const DETAIL: f32 = 312.0;
/// What the order keeps beside the reasons, where enlarged text leaves little.
const MIDDLE: f32 = 256.0;

/// What the middle of the workspace shows.
#[derive(Clone, Copy, Default, PartialEq, Eq)]
enum Middle {
    /// The fibres in order.
    #[default]
    Order,
    /// Every figure of every fibre.
    Figures,
}

/// What the workspace remembers between frames.
#[derive(Default)]
pub struct FibreView {
    middle: Middle,
    /// The blend whose reasons are shown.
    looked_at: Option<Blend>,
    /// A blend of the knitter's own, as typed.
    typed: String,
    /// Blends of the knitter's own that are ranked with the rest.
    own: Vec<Blend>,
}

/// The answers of a project, or those to start from.
fn needs_of(project: &Project) -> Needs {
    let stranded = project.plan.technique == Technique::Stranded;
    project.material.needs.unwrap_or_else(|| Needs::preset(PieceKind::Own).where_worked(stranded))
}

/// An edit of the material.
fn edit(project: &Project, label: &'static str, change: impl FnOnce(&mut Material)) -> Action {
    let mut material = project.material.clone();
    change(&mut material);
    Action::edit(label, Edit::Material(Box::new(material)))
}

/// Shows the workspace.
pub fn show(ui: &mut Ui, state: &State, view: &mut FibreView) -> Vec<Action> {
    let mut actions = Vec::new();
    let project = state.project();
    let fill = Tokens::of(ui).panel;
    let margin = Margin { left: 12, right: 10, top: 8, bottom: 0 };
    let frame = Frame::new().fill(fill).inner_margin(margin);
    Panel::left("questions").frame(frame).exact_size(QUESTIONS).resizable(false).show(ui, |ui| {
        ScrollArea::vertical().auto_shrink([false, false]).follow(ui, |ui| {
            questions::show(ui, project, &mut actions);
        });
    });
    let asked = asked(view, project);
    // Until the first order is there, the next frame comes with it.
    let order = state.desks.fibres(&asked, &state.jobs).value();
    let order = order.as_deref();
    if let Some(order) = order.filter(|_| view.middle == Middle::Order) {
        let detail = DETAIL.min((ui.available_width() - MIDDLE).max(DETAIL / 2.0));
        Panel::right("fibre").frame(frame).exact_size(detail).resizable(false).show(ui, |ui| {
            let Some(ranked) = looked_at(view.looked_at.as_ref(), project, order) else { return };
            detail::head(ui, project, ranked, &mut actions);
            ScrollArea::vertical().auto_shrink([false, false]).follow(ui, |ui| {
                detail::show(ui, project, order.needs, ranked, &mut actions);
            });
        });
    }
    let ground =
        Frame::new().fill(Tokens::of(ui).rail).inner_margin(Margin { left: 12, right: 4, top: 8, bottom: 0 });
    CentralPanel::no_frame().frame(ground).show(ui, |ui| {
        toolbar(ui, view, &mut actions);
        match (view.middle, order) {
            (Middle::Order, Some(order)) => {
                let shown =
                    looked_at(view.looked_at.as_ref(), project, order).map(|ranked| ranked.blend.clone());
                ranking::changes(ui, order);
                if let Some(clicked) = ranking::list(ui, project, order, shown.as_ref()) {
                    view.looked_at = Some(clicked);
                }
            }
            (Middle::Order, None) => {
                caption(ui, "Working it out…");
            }
            (Middle::Figures, _) => table::show(ui),
        }
    });
    actions
}

/// What is to be put in order: the project's needs, the common blends and the knitter's own.
fn asked(view: &FibreView, project: &Project) -> (Needs, Vec<Blend>) {
    let mut candidates = Blend::common();
    for blend in view.own.iter().chain(&project.material.blend) {
        if !candidates.contains(blend) {
            candidates.push(blend.clone());
        }
    }
    (needs_of(project), candidates)
}

/// The candidate to show: the one clicked, else the project's, else the first.
fn looked_at<'a>(clicked: Option<&Blend>, project: &Project, order: &'a FibreOrder) -> Option<&'a Ranked> {
    let find = |blend: &Blend| order.ranked.iter().find(|ranked| ranked.blend == *blend);
    clicked
        .and_then(find)
        .or_else(|| project.material.blend.as_ref().and_then(find))
        .or_else(|| order.ranked.first())
}

/// The switch between order and figures, and the field for a blend of one's own.
fn toolbar(ui: &mut Ui, view: &mut FibreView, actions: &mut Vec<Action>) {
    ui.horizontal(|ui| {
        ui.selectable_value(&mut view.middle, Middle::Order, "Order");
        ui.selectable_value(&mut view.middle, Middle::Figures, "Figures and sources");
        if view.middle == Middle::Figures {
            return;
        }
        ui.add_space(STEP);
        let width = (ui.available_width() - 90.0).max(80.0);
        let response = text_field(ui, &mut view.typed, |text| {
            TextEdit::singleline(text).hint_text("Your own: 80 % wool, 20 % silk").desired_width(width)
        });
        name(&response, "Own blend");
        let entered = response.lost_focus() && ui.input(|input| input.key_pressed(egui::Key::Enter));
        let judge = ui.add_enabled(!view.typed.trim().is_empty(), egui::Button::new("Judge it"));
        if (judge.clicked() || entered) && !view.typed.trim().is_empty() {
            match Blend::parse(&view.typed) {
                Ok(blend) => {
                    if !view.own.contains(&blend) {
                        view.own.push(blend.clone());
                    }
                    view.looked_at = Some(blend);
                    view.typed.clear();
                }
                Err(error) => actions.push(Action::Complain(error.to_string())),
            }
        }
    });
}

/// A bar that is full at 1.
pub(in crate::ui) fn paint_bar(painter: &Painter, rect: Rect, share: f64, tokens: Tokens) {
    painter.rect_filled(rect, 2, tokens.control);
    let width = rect.width() * share.clamp(0.0, 1.0) as f32;
    painter.rect_filled(Rect::from_min_size(rect.min, Vec2::new(width, rect.height())), 2, tokens.weak);
}
