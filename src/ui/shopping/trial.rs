//! A change tried out before it is made: what it would do to yarn, balls and cost.

use egui::{Button, RichText, Ui};

use super::sums;
use crate::app::Action;
use crate::knit::Technique;
use crate::knit::pieces::{PiecesYarn, YarnChange};
use crate::plain_text::signed;
use crate::project::shopping::Shopping;
use crate::project::{Project, code_and_name};
use crate::ui::theme::{STEP, semibold};
use crate::ui::widgets::{Form, caption, heading};
use crate::units::{LengthUnit, Price};

/// What kind of change is tried.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
enum Kind {
    #[default]
    Nothing,
    Drop,
    Technique,
}

/// The change under consideration.
#[derive(Clone, Copy, Debug, Default)]
pub struct Trial {
    kind: Kind,
    slot: usize,
    heir: usize,
    technique: Technique,
}

impl Trial {
    /// The change, when it is one that this project could make.
    pub fn change(&self, project: &Project) -> Option<YarnChange> {
        let slots = project.palette.slots().len();
        match self.kind {
            Kind::Nothing => None,
            Kind::Drop => {
                let (slot, heir) = (self.slot, self.heir);
                (slot < slots && heir < slots && slot != heir).then_some(YarnChange::Drop { slot, heir })
            }
            Kind::Technique => Some(YarnChange::Technique(self.technique)),
        }
    }

    /// Takes up a kind of change with a choice that makes sense.
    fn begin(&mut self, kind: Kind, project: &Project) {
        self.kind = kind;
        let slots = project.palette.slots().len();
        self.heir = project.background_slot();
        self.slot = (0..slots).rev().find(|slot| *slot != self.heir).unwrap_or(0);
        let other = |technique: &Technique| *technique != project.plan.technique;
        self.technique = Technique::ALL.into_iter().find(other).unwrap_or_default();
    }
}

/// Shows the choice and its effect.
pub fn show(
    ui: &mut Ui,
    project: &Project,
    figures: Option<&Shopping>,
    trial: &mut Trial,
    actions: &mut Vec<Action>,
) {
    heading(ui, "Try a change");
    let several = project.palette.slots().len() > 1;
    ui.horizontal(|ui| {
        for (kind, text) in [(Kind::Drop, "Drop a colour"), (Kind::Technique, "Work it another way")] {
            let response = ui.add_enabled(several, Button::selectable(trial.kind == kind, text));
            if response.clicked() {
                let next = if trial.kind == kind { Kind::Nothing } else { kind };
                trial.begin(next, project);
            }
        }
    });
    match trial.kind {
        Kind::Nothing => {
            caption(ui, "See what it does to yarn, balls and cost before you do it.");
            return;
        }
        Kind::Drop => {
            slot_choice(ui, project, "Colour to drop", &mut trial.slot);
            slot_choice(ui, project, "Its stitches go to", &mut trial.heir);
        }
        Kind::Technique => technique_choice(ui, &mut trial.technique),
    }
    let Some(change) = trial.change(project) else {
        caption(ui, "Choose two different colours.");
        return;
    };
    let tried = figures.and_then(|figures| {
        let (found, yarn) = figures.tried.as_ref()?;
        (*found == change).then_some((figures, yarn))
    });
    match tried {
        Some((figures, yarn)) => effect(ui, project, &figures.yarn, yarn),
        None => {
            caption(ui, "Working it out…");
        }
    }
    let label = match change {
        YarnChange::Drop { .. } => "Drop colour",
        YarnChange::Technique(_) => "Technique",
    };
    let button = ui.add_enabled(project.is_changed_by(change), Button::new("Do it"));
    let button = button
        .on_hover_text("Chart, pieces and yarn follow; undo takes it back")
        .on_disabled_hover_text("The project is worked so already");
    if let Some(edit) = button.clicked().then(|| project.carry_out(change)).flatten() {
        actions.push(Action::edit(label, edit));
        trial.kind = Kind::Nothing;
    }
}

fn slot_choice(ui: &mut Ui, project: &Project, label: &str, slot: &mut usize) {
    let names = project.palette.slots().iter().enumerate().map(|(i, slot)| (i, code_and_name(i, slot)));
    Form::new(ui).choice(label, label, names, slot);
}

fn technique_choice(ui: &mut Ui, technique: &mut Technique) {
    let techniques = Technique::ALL.map(|each| (each, each.name()));
    Form::new(ui).choice("Bands of colours", "Technique to try", techniques, technique);
}

/// Columns of the differences.
const METRES: f32 = 68.0;
const BALLS: f32 = 44.0;
const COST: f32 = 56.0;

fn effect(ui: &mut Ui, project: &Project, before: &PiecesYarn, after: &PiecesYarn) {
    ui.scope(|ui| {
        ui.spacing_mut().item_spacing.y = 2.0;
        line(ui, ["", "Likely", "Balls", "Cost"].map(str::to_owned), RichText::weak);
        let slots = project.palette.slots().iter().zip(before.colours.iter().zip(&after.colours));
        let used = slots.enumerate().filter(|(_, (_, (old, new)))| old.stitches + new.stitches > 0);
        for (index, (slot, (old, new))) in used {
            let cells = [
                code_and_name(index, slot),
                metres(project.units, new.metres().likely - old.metres().likely),
                balls(i64::from(new.balls) - i64::from(old.balls)),
                cost(old.cost, new.cost),
            ];
            line(ui, cells, |text| text);
        }
        let count = |yarn: &PiecesYarn| yarn.balls() as i64;
        let cells = [
            "Together".to_owned(),
            metres(project.units, after.metres().likely - before.metres().likely),
            balls(count(after) - count(before)),
            cost(before.cost(), after.cost()),
        ];
        line(ui, cells, |text| text.family(semibold()));
    });
    caption(
        ui,
        format!(
            "Then {} in all, {}.",
            sums::length(project.units, after.metres().likely),
            sums::balls(after.balls())
        ),
    );
}

fn metres(units: LengthUnit, difference: f64) -> String {
    let shown = units.from_metres(difference);
    if shown.abs() < 0.5 {
        "same".to_owned()
    } else {
        format!("{} {}", signed(shown, 0), units.yarn_suffix())
    }
}

fn balls(difference: i64) -> String {
    if difference == 0 { "same".to_owned() } else { signed(difference as f64, 0) }
}

fn cost(before: Option<Price>, after: Option<Price>) -> String {
    match (before.map(Price::get), after.map(Price::get)) {
        (Some(before), Some(after)) if (after - before).abs() < 0.005 => "same".to_owned(),
        (Some(before), Some(after)) => signed(after - before, 2),
        _ => "–".to_owned(),
    }
}

fn line(ui: &mut Ui, cells: [String; 4], style: impl Fn(RichText) -> RichText) {
    let first = (ui.available_width() - METRES - BALLS - COST - 5.0 * STEP).max(60.0);
    sums::cells_in_line(ui, 18.0, [first, METRES, BALLS, COST], cells, style);
}
