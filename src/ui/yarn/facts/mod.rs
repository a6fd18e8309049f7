//! The yarn itself: as on its band, what follows from that, and what may stand in for it.

mod figures;
mod form;
mod stand_in;

use egui::{CentralPanel, Frame, Margin, Panel, ScrollArea, Ui};

use crate::app::Action;
use crate::app::state::State;
use crate::project::{Edit, Material, Project, UNNAMED_YARN, sold};
use crate::ui::theme::{STEP, Tokens};
use crate::ui::widgets::{Follow, caption, heading, name};
use crate::yarn::Yarn;

/// Width of the fields.
const FORM: f32 = 324.0;
/// Width of the column on stand-ins.
const STAND_IN: f32 = 372.0;

/// Width of the window the columns are as wide in, and the least share of it they keep in a narrow one.
const WHOLE: f32 = 1280.0;
const LEAST: f32 = 0.84;

/// Which yarn is shown.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
enum Which {
    /// The one the piece is knitted in.
    #[default]
    Knitted,
    /// The one the pattern names.
    Pattern,
}

impl Which {
    const ALL: [Self; 2] = [Self::Knitted, Self::Pattern];

    const fn name(self) -> &'static str {
        match self {
            Self::Knitted => "Knitted in",
            Self::Pattern => "The pattern's yarn",
        }
    }

    const fn of(self, material: &Material) -> Option<&Yarn> {
        match self {
            Self::Knitted => material.yarn.as_ref(),
            Self::Pattern => material.pattern_yarn.as_ref(),
        }
    }

    fn put(self, material: &mut Material, yarn: Option<Yarn>) {
        match self {
            Self::Knitted => material.yarn = yarn,
            Self::Pattern => material.pattern_yarn = yarn,
        }
    }
}

/// What the page remembers between frames.
#[derive(Default)]
pub struct FactsView {
    which: Which,
    /// The blend as it is being typed.
    typed_blend: Option<(egui::Id, String)>,
    /// The length of one colour as it is being typed.
    typed_change: Option<(egui::Id, String)>,
    /// A length of yarn on the scales: metres and grams.
    weighed_length: (f64, f64),
    /// The stand-in whose comparison is open, by its place in the list.
    opened: usize,
}

/// Shows the page.
pub fn show(ui: &mut Ui, state: &State, view: &mut FactsView) -> Vec<Action> {
    let mut actions = Vec::new();
    let project = state.project();
    let tokens = Tokens::of(ui);
    // The figures between the columns keep their room in a narrow window.
    let share = (ui.ctx().content_rect().width() / WHOLE).clamp(LEAST, 1.0);
    let frame =
        |fill| Frame::new().fill(fill).inner_margin(Margin { left: 12, right: 10, top: 8, bottom: 0 });
    Panel::left("yarn fields").frame(frame(tokens.panel)).exact_size(FORM * share).resizable(false).show(
        ui,
        |ui| {
            ui.horizontal(|ui| {
                for which in Which::ALL {
                    if ui.selectable_value(&mut view.which, which, which.name()).clicked() {
                        (view.typed_blend, view.typed_change) = (None, None);
                    }
                }
            });
            ui.add_space(STEP / 2.0);
            scroll(ui, |ui| match view.which.of(&project.material) {
                Some(yarn) => form::show(ui, state, view, yarn, &mut actions),
                None => undescribed(ui, state, view.which, &mut actions),
            });
        },
    );
    if project.yarn_to_replace().is_some() {
        Panel::right("stand-ins")
            .frame(frame(tokens.panel))
            .exact_size(STAND_IN * share)
            .resizable(false)
            .show(ui, |ui| {
                Panel::bottom("knit it in this").frame(Frame::new()).resizable(false).show(ui, |ui| {
                    stand_in::take(ui, state, view, &mut actions);
                });
                scroll(ui, |ui| stand_in::show(ui, state, view));
            });
    }
    let shown = view.which.of(&project.material);
    CentralPanel::no_frame().frame(frame(tokens.rail)).show(ui, |ui| match shown {
        Some(yarn) => scroll(ui, |ui| figures::show(ui, state, yarn, &mut actions)),
        None => empty(ui),
    });
    actions
}

impl FactsView {
    /// Shows the yarn the piece is knitted in, and begins its description where there is none.
    pub(super) fn describe(&mut self, project: &Project) -> Option<Action> {
        self.which = Which::Knitted;
        let is_blank = project.material.yarn.is_none();
        is_blank.then(|| put(project, "Describe yarn", self.which, Some(project.typical_yarn(UNNAMED_YARN))))
    }
}

fn scroll(ui: &mut Ui, contents: impl FnOnce(&mut Ui)) {
    ScrollArea::vertical().auto_shrink([false, false]).follow(ui, contents);
}

fn empty(ui: &mut Ui) {
    ui.set_max_width(ui.available_width().min(440.0));
    heading(ui, "What the band says, and what follows from it");
    caption(
        ui,
        "Describe the yarn and this page gives its thickness, its weight class with gauge and needles, how it \
         covers at your gauge, what its spin and ply do, and its care. With shade cards in the project it also \
         ranks what may stand in for it, and how many balls that takes.",
    );
}

/// Nothing is known of the yarn yet.
fn undescribed(ui: &mut Ui, state: &State, which: Which, actions: &mut Vec<Action>) {
    let project = state.project();
    let about = match which {
        Which::Knitted => "The yarn you knit this piece in. Begin with what stands on its band.",
        Which::Pattern => {
            "The yarn that the pattern names, if you are to replace it: out of make, too dear, or the wrong fibre. \
             Yarns on your shade cards are then held against it, point by point."
        }
    };
    caption(ui, about);
    ui.add_space(STEP / 2.0);
    let other = match which {
        Which::Knitted => project.material.pattern_yarn.as_ref(),
        Which::Pattern => project.material.yarn.as_ref(),
    };
    if ui.button("Describe it").clicked() {
        actions.push(put(project, "Describe yarn", which, Some(project.typical_yarn(UNNAMED_YARN))));
    }
    if let Some(other) = other
        && ui.button("Begin with a copy of the other").clicked()
    {
        actions.push(put(project, "Describe yarn", which, Some(other.clone())));
    }
    kept(ui, state, which, actions);
}

/// The button that takes the last change of the list of yarns back.
fn take_back(ui: &mut Ui, state: &State, actions: &mut Vec<Action>) {
    let back = ui.add_enabled(state.own_yarns.can_take_back(), egui::Button::new("Undo in my yarns"));
    let back =
        back.on_hover_text("Takes the last change of your list of yarns back; once more makes it again");
    if back.on_disabled_hover_text("Your list of yarns has not been changed since the start").clicked() {
        actions.push(Action::YarnsBack);
    }
}

/// The yarns kept before, to begin with one of them.
fn kept(ui: &mut Ui, state: &State, which: Which, actions: &mut Vec<Action>) {
    if state.own_yarns.yarns().is_empty() && !state.own_yarns.can_take_back() {
        return;
    }
    ui.add_space(STEP);
    heading(ui, "Your yarns");
    take_back(ui, state, actions);
    for yarn in state.own_yarns.yarns().iter() {
        ui.horizontal(|ui| {
            let tip = format!(
                "{}, {}",
                yarn.blend.name(),
                sold(yarn.put_up, yarn.ball_price, state.project().units, &state.project().currency)
            );
            let button = ui.button(&yarn.name).on_hover_text(tip);
            name(&button, &format!("Begin with {}", yarn.name));
            if button.clicked() {
                actions.push(put(state.project(), "Describe yarn", which, Some(yarn.clone())));
            }
            let forget = ui.small_button("Forget");
            name(&forget, &format!("Forget {}", yarn.name));
            if forget.clicked() {
                actions.push(Action::ForgetYarn(yarn.name.clone()));
            }
        });
    }
}

fn put(project: &Project, label: &'static str, which: Which, yarn: Option<Yarn>) -> Action {
    let mut material = project.material.clone();
    which.put(&mut material, yarn);
    Action::edit(label, Edit::Material(Box::new(material)))
}
