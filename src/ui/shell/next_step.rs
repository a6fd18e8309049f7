//! One line above the status bar: how far this workspace has come, and the button to the next step.

use egui::{Align, Frame, Label, Layout, Margin, Panel, Popup, RichText, TextStyle, Ui, Vec2};

use super::LINE;
use super::rail::mark;
use crate::app::Action;
use crate::app::progress::{Lead, Progress, Standing};
use crate::app::state::State;
use crate::app::view::Workspace;
use crate::ui::theme::{STEP, Tokens, semibold};
use crate::ui::widgets::{primary, truncated};

/// Room of the button after words that are cut, and the width in which they are read whole.
const MORE: f32 = 72.0;
const READABLE: f32 = 420.0;

/// Shows the line; where the step leads, when its button was pressed. There is no button where the step
/// leads to what `is_here` already.
pub fn next_step(
    ui: &mut Ui,
    state: &State,
    workspace: Workspace,
    is_here: impl Fn(&Lead) -> bool,
) -> Option<Lead> {
    let standings = state.standings();
    let frame = Frame::new().fill(Tokens::of(ui).panel).inner_margin(Margin::symmetric(12, 3));
    let mut lead = None;
    Panel::bottom("next step").frame(frame).exact_size(LINE).resizable(false).show(ui, |ui| {
        // Nothing is said until it is known; the line keeps its room.
        let Some(progress) = standings.as_ref().map(|standings| standings.at(workspace)) else { return };
        ui.horizontal_centered(|ui| {
            let (rect, _) = ui.allocate_exact_size(Vec2::splat(14.0), egui::Sense::hover());
            mark(ui, rect, progress.standing);
            ui.label(RichText::new(capital(progress.standing)).family(semibold()).small());
            ui.add_space(STEP / 2.0);
            ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                if let Some(step) = progress.step.as_ref().filter(|step| !is_here(&step.lead))
                    && primary(ui, true, &step.label).clicked()
                {
                    lead = step_now(state, workspace, &step.label);
                }
                ui.with_layout(Layout::left_to_right(Align::Center), |ui| said(ui, &progress.words));
            });
        });
    });
    lead
}

/// The words; where the window is too narrow for all of them, a button opens the whole, for what is to be done stands
/// at their end.
fn said(ui: &mut Ui, words: &str) {
    let font = TextStyle::Small.resolve(ui.style());
    let ink = Tokens::of(ui).text;
    if !truncated(ui, words, font.clone(), ink, ui.available_width()).elided {
        ui.label(RichText::new(words).small());
        return;
    }
    let line = truncated(ui, words, font, ink, ui.available_width() - MORE);
    ui.add(Label::new(line));
    let more = ui.small_button("All of it");
    Popup::from_toggle_button_response(&more).width(READABLE).show(|ui| {
        ui.add(Label::new(words).wrap());
    });
}

/// The step of this label in the project as it is: what is shown may be of a moment before, and an edit made
/// then would take back what was done since.
fn step_now(state: &State, workspace: Workspace, label: &str) -> Option<Lead> {
    let figures = state.figures();
    let progress = Progress::of(workspace, state.project(), figures.as_deref());
    progress.step.filter(|step| step.label == label).map(|step| step.lead)
}

fn capital(standing: Standing) -> &'static str {
    match standing {
        Standing::Untouched => "Untouched",
        Standing::Begun => "Begun",
        Standing::Done => "Done",
        Standing::Contradicts => "Contradicts",
    }
}

/// What a lead asks of the program; the workspace it shows is the window's to change.
pub fn follow(lead: Lead) -> Vec<Action> {
    match lead {
        Lead::Edit(label, edit) => {
            vec![Action::edit(label, edit), Action::Done(format!("{label}: done."))]
        }
        Lead::Do(command) => vec![Action::Command(command)],
        Lead::To(_) | Lead::ThisYarn | Lead::DescribeYarn | Lead::ShadeCards | Lead::Sets => Vec::new(),
    }
}
