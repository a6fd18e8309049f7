//! 60-30-10: the target beside what the chart really uses.

use egui::{Rect, Sense, Stroke, StrokeKind, Ui, Vec2};

use super::edit_palette;
use crate::app::Action;
use crate::app::state::State;
use crate::plain_text::signed;
use crate::project::{Project, Proportion, Role};
use crate::ui::colours::{ink_on, seen};
use crate::ui::theme::{CORNER, SMALL, Tokens};
use crate::ui::widgets::{NumberField, caption, heading};

/// Shows both bars, the deviation per role and the mend.
pub fn show(ui: &mut Ui, state: &State, actions: &mut Vec<Action>) {
    let project = state.project();
    ui.horizontal(|ui| {
        heading(ui, "Proportion");
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            let tip = "Gives the colours to the chart's areas so that the shares come nearest to the target";
            if ui.button("Reassign").on_hover_text(tip).clicked() {
                match project.nearest_proportion() {
                    Some(edit) => actions.push(Action::edit("Reassign colours", edit)),
                    None => {
                        actions.push(Action::Notify("The colours already stand as near as they can.".into()));
                    }
                }
            }
        });
    });
    target_fields(ui, project, actions);
    let Some(figures) = state.figures() else {
        caption(ui, "Counting…");
        return;
    };
    let targets = project.palette.targets();
    bar(ui, state, "Target", targets);
    bar(ui, state, "Chart", figures.part_shares);
    bar(ui, state, "Worked", figures.worked_part_shares);
    let words: Vec<String> = Role::PARTS
        .iter()
        .zip(figures.part_shares.iter().zip(targets))
        .map(|(role, (real, target))| format!("{} {}", role.name(), signed(real - target, 0)))
        .collect();
    let (chart, worked) = (figures.ground_share, figures.worked_ground_share);
    caption(ui, format!("The chart's points off target: {}.", words.join(", ")));
    caption(ui, format!("Ground {chart:.0} % of the chart, {worked:.0} % of all that is worked."))
        .on_hover_text(figures.knitted.of.words());
}

fn target_fields(ui: &mut Ui, project: &Project, actions: &mut Vec<Action>) {
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 4.0;
        ui.label("Target");
        let shares = project.palette.targets();
        for (number, role) in Role::PARTS.into_iter().enumerate() {
            let label = format!("Target share of {}", role.word());
            let field =
                NumberField { label: &label, suffix: " %", range: 0.0..=100.0, decimals: 0, speed: 0.3 };
            let (response, typed) = field.respond(ui, shares[number]);
            if let Some(typed) = typed
                && let Ok(wanted) = with_share(shares, number, typed)
            {
                actions.push(edit_palette(project, "Target shares", true, |palette| {
                    palette.proportion = wanted;
                }));
            }
            if response.drag_stopped() || response.lost_focus() {
                actions.push(Action::EndGesture);
            }
        }
    });
}

/// One share as typed, the other two keeping their ratio in what is left.
fn with_share(
    shares: [f64; 3],
    number: usize,
    typed: f64,
) -> Result<Proportion, crate::project::ProjectError> {
    let others: f64 = shares.iter().enumerate().filter(|(i, _)| *i != number).map(|(_, s)| s).sum();
    let mut wanted = shares;
    for (i, share) in wanted.iter_mut().enumerate() {
        let part = if others > 0.0 { *share / others } else { 0.5 };
        *share = if i == number { typed } else { part * (100.0 - typed) };
    }
    Proportion::new(wanted[0], wanted[1], wanted[2])
}

fn bar(ui: &mut Ui, state: &State, label: &str, shares: [f64; 3]) {
    let tokens = Tokens::of(ui);
    ui.horizontal(|ui| {
        ui.allocate_ui_with_layout(
            Vec2::new(46.0, 22.0),
            egui::Layout::left_to_right(egui::Align::Center),
            |ui| {
                ui.set_width(46.0);
                ui.label(egui::RichText::new(label).small());
            },
        );
        let (rect, response) = ui.allocate_exact_size(Vec2::new(ui.available_width(), 22.0), Sense::hover());
        let words =
            Role::PARTS.iter().zip(shares).map(|(role, share)| format!("{} {share:.0} %", role.name()));
        let description = format!("{label} shares: {}", words.collect::<Vec<_>>().join(", "));
        response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Image, true, &description));
        let mut left = rect.left();
        for (role, share) in Role::PARTS.into_iter().zip(shares) {
            let width = rect.width() * (share / 100.0) as f32;
            let part = Rect::from_min_size(egui::pos2(left, rect.top()), Vec2::new(width, rect.height()));
            left += width;
            let slot =
                state.project().palette.slot_of(role).map(|index| &state.project().palette.slots()[index]);
            let Some(slot) = slot else { continue };
            let ground = seen(slot.colour, state.eyes);
            ui.painter().rect_filled(part, 0, ground);
            if width > 24.0 {
                let font = egui::FontId::proportional(SMALL);
                let text = format!("{share:.0}");
                ui.painter().text(part.center(), egui::Align2::CENTER_CENTER, text, font, ink_on(ground));
            }
        }
        ui.painter().rect_stroke(rect, CORNER - 3, Stroke::new(1.0, tokens.edge), StrokeKind::Outside);
    });
}
