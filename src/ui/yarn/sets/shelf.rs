//! Which shades may be chosen from.

use std::sync::Arc;

use egui::{Align, ComboBox, Layout, Ui, Vec2};

use crate::app::Action;
use crate::app::shelf::{ShelfAsk, Shelved};
use crate::app::state::State;
use crate::project::Project;
use crate::ui::widgets::{caption, eyes_choice, heading, name};
use crate::yarn::{FibreWanted, WeightClass, YarnWanted};

/// The choice of fibre.
#[derive(Clone, Debug, Default, PartialEq)]
enum FibreChoice {
    /// Like the fibre chosen for the project, any when none is.
    #[default]
    Project,
    Any,
    Label(String),
}

/// The choice of weight.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
enum WeightChoice {
    /// That of the project's yarn, else of the shades it is knitted in; any when none is chosen.
    #[default]
    Project,
    Any,
    Class(u8),
}

/// Cards and filters as chosen.
#[derive(Clone, Debug)]
pub(super) struct Choice {
    /// One card by its place, or all.
    card: Option<usize>,
    fibre: FibreChoice,
    weight: WeightChoice,
    to_be_had: bool,
}

impl Default for Choice {
    fn default() -> Self {
        let (fibre, weight) = (FibreChoice::default(), WeightChoice::default());
        Self { card: None, fibre, weight, to_be_had: true }
    }
}

impl Choice {
    /// What is to be looked for in this project.
    pub(super) fn ask(&self, project: &Project) -> ShelfAsk {
        let cards = &project.shade_cards;
        let one = self.card.and_then(|place| cards.get(place));
        let of_project = project.wanted_yarn();
        let fibre = match &self.fibre {
            FibreChoice::Project => of_project.fibre,
            FibreChoice::Any => FibreWanted::Any,
            FibreChoice::Label(label) => FibreWanted::Label(label.clone()),
        };
        let classes = match self.weight {
            WeightChoice::Project => of_project.classes,
            WeightChoice::Any => Vec::new(),
            WeightChoice::Class(class) => vec![class],
        };
        let cards = one.map_or_else(|| cards.clone(), |card| vec![Arc::clone(card)]);
        ShelfAsk { cards, wanted: YarnWanted { fibre, classes }, to_be_had: self.to_be_had }
    }
}

/// Shows the choices and how many shades they leave.
pub(super) fn show(
    ui: &mut Ui,
    state: &State,
    choice: &mut Choice,
    shelved: Option<&Arc<Shelved>>,
    actions: &mut Vec<Action>,
) {
    let project = state.project();
    heading(ui, "Shades to choose from");
    labelled(ui, "Card", |ui| card(ui, project, choice));
    labelled(ui, "Fibre", |ui| fibre(ui, project, choice, shelved));
    labelled(ui, "Weight", |ui| weight(ui, project, choice, shelved));
    ui.checkbox(&mut choice.to_be_had, "Only what can be had")
        .on_hover_text("Leaves out shades that are out of stock");
    if let Some(shelved) = shelved {
        caption(ui, counts(shelved));
    }
    labelled(ui, "Seen through", |ui| {
        if let Some(eyes) = eyes_choice(ui, state.eyes) {
            actions.push(Action::SeeThrough(eyes));
        }
    });
}

fn counts(shelved: &Shelved) -> String {
    let left = shelved.card.shades().len();
    let doubt = match shelved.unknown {
        0 => String::new(),
        1 => " One of them does not say its fibre or weight; check its label.".to_owned(),
        unknown => format!(" {unknown} of them do not say their fibre or weight; check the labels."),
    };
    let mend = if left == 0 { " Choose another card, fibre or weight." } else { "" };
    format!("{left} of {} shades.{doubt}{mend}", shelved.of)
}

/// A choice with its label in a narrow column: what is chosen needs the room.
fn labelled(ui: &mut Ui, text: &str, control: impl FnOnce(&mut Ui)) {
    ui.horizontal(|ui| {
        let size = Vec2::new(84.0, ui.spacing().interact_size.y);
        ui.allocate_ui_with_layout(size, Layout::left_to_right(Align::Center), |ui| {
            ui.set_width(size.x);
            ui.label(text);
        });
        control(ui);
    });
}

/// A choice that fills the rest of its row.
fn combo(ui: &mut Ui, label: &str, shown: &str, list: impl FnOnce(&mut Ui)) {
    let width = ui.available_width() - 4.0;
    let combo = ComboBox::from_id_salt(label)
        .width(width)
        .truncate()
        .height(320.0)
        .selected_text(shown)
        .show_ui(ui, list);
    name(&combo.response, label);
}

fn card(ui: &mut Ui, project: &Project, choice: &mut Choice) {
    let cards = &project.shade_cards;
    let shown = choice.card.and_then(|place| cards.get(place)).map_or("All cards", |card| card.name.as_str());
    combo(ui, "Card", shown, |ui| {
        ui.selectable_value(&mut choice.card, None, "All cards");
        for (place, card) in cards.iter().enumerate() {
            ui.selectable_value(&mut choice.card, Some(place), card.name.as_str());
        }
    });
}

fn fibre(ui: &mut Ui, project: &Project, choice: &mut Choice, shelved: Option<&Arc<Shelved>>) {
    let of_project = match project.wanted_yarn().fibre {
        FibreWanted::Like(blend) => Some(format!("Like {}", blend.name())),
        FibreWanted::Any | FibreWanted::Label(_) => None,
    };
    let shown = match &choice.fibre {
        FibreChoice::Project => of_project.as_deref().unwrap_or("Any fibre"),
        FibreChoice::Any => "Any fibre",
        FibreChoice::Label(label) => label,
    };
    let shown = shown.to_owned();
    combo(ui, "Fibre", &shown, |ui| {
        if let Some(of_project) = &of_project {
            ui.selectable_value(&mut choice.fibre, FibreChoice::Project, of_project.as_str())
                .on_hover_text("The same main fibre, and every share within 10 points");
        }
        let any = matches!(choice.fibre, FibreChoice::Any)
            || (of_project.is_none() && choice.fibre == FibreChoice::Project);
        if ui.selectable_label(any, "Any fibre").clicked() {
            choice.fibre = FibreChoice::Any;
        }
        for label in shelved.iter().flat_map(|shelved| &shelved.labels) {
            ui.selectable_value(&mut choice.fibre, FibreChoice::Label(label.clone()), label.as_str());
        }
    });
}

fn weight(ui: &mut Ui, project: &Project, choice: &mut Choice, shelved: Option<&Arc<Shelved>>) {
    let class_name = |number: u8| {
        let class = WeightClass::from_number(number);
        class.map_or_else(String::new, |class| format!("{number} {}", class.name()))
    };
    let names: Vec<String> = project.wanted_yarn().classes.into_iter().map(class_name).collect();
    let of_project = (!names.is_empty()).then(|| format!("As the yarn: {}", names.join(" or ")));
    let shown = match choice.weight {
        WeightChoice::Project => of_project.clone().unwrap_or_else(|| "Any weight".to_owned()),
        WeightChoice::Any => "Any weight".to_owned(),
        WeightChoice::Class(class) => class_name(class),
    };
    combo(ui, "Weight", &shown, |ui| {
        if let Some(of_project) = &of_project {
            ui.selectable_value(&mut choice.weight, WeightChoice::Project, of_project.as_str());
        }
        let any = choice.weight == WeightChoice::Any
            || (of_project.is_none() && choice.weight == WeightChoice::Project);
        if ui.selectable_label(any, "Any weight").clicked() {
            choice.weight = WeightChoice::Any;
        }
        for class in shelved.iter().flat_map(|shelved| &shelved.classes) {
            ui.selectable_value(&mut choice.weight, WeightChoice::Class(*class), class_name(*class));
        }
    });
}
