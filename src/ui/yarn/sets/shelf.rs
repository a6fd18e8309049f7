//! Which shades may be chosen from.

use std::sync::Arc;

use egui::{Align, Layout, Ui, Vec2};

use crate::app::Action;
use crate::app::shelf::{LeftOut, ShelfAsk, Shelved};
use crate::app::state::State;
use crate::project::Project;
use crate::ui::theme::STEP;
use crate::ui::widgets::{caption, eyes_choice, heading, one_of, one_of_in, tick_box};
use crate::yarn::{FibreWanted, Washing, WeightClass, YarnWanted};

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
    /// Only what stands the wash that the piece needs.
    washable: bool,
    /// No yarn that makes a pattern of its own, where the chart makes one.
    calm: bool,
}

impl Default for Choice {
    fn default() -> Self {
        let (fibre, weight) = (FibreChoice::default(), WeightChoice::default());
        Self { card: None, fibre, weight, to_be_had: true, washable: true, calm: true }
    }
}

impl Choice {
    /// What is to be looked for in the open project.
    pub(super) fn ask(&self, state: &State) -> ShelfAsk {
        let project = state.project();
        let busy = state.figures().is_some_and(|figures| figures.busy_chart);
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
        let needs = of_project.needs.filter(|_| self.washable);
        ShelfAsk {
            cards,
            wanted: YarnWanted { fibre, classes, needs, calm: busy && self.calm },
            to_be_had: self.to_be_had,
            on_hand: project.on_hand(),
        }
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
    tick_box(ui, &mut choice.to_be_had, "Only what can be had")
        .on_hover_text("Leaves out shades that are out of stock");
    if let Some(needs) = project.material.needs.filter(|needs| needs.washed() == Washing::Machine) {
        tick_box(ui, &mut choice.washable, "Only what stands the machine").on_hover_text(format!(
            "{} Leaves out shades whose fibre does not stand it, or is not known to.",
            needs.washing_reason()
        ));
    }
    if shelved.is_some_and(|shelved| shelved.left_out.busy > 0) || !choice.calm {
        tick_box(ui, &mut choice.calm, "No busy yarn for this chart").on_hover_text(
            "The chart changes colour at every fourth stitch or more: speckles and long colour changes would hide it. \
             Leaves such shades out; a heather stays.",
        );
    }
    labelled(ui, "Seen through", |ui| {
        if let Some(eyes) = eyes_choice(ui, state.eyes) {
            actions.push(Action::SeeThrough(eyes));
        }
    });
    if let Some(shelved) = shelved {
        caption(ui, counts(shelved));
        let colours = project.palette.slots().len();
        if shelved.card.shades().len() < colours {
            widen(ui, choice, shelved.left_out, colours);
        }
    }
}

fn counts(shelved: &Shelved) -> String {
    let left = shelved.card.shades().len();
    let named = match shelved.unknown_fibre {
        0 => String::new(),
        1 => " One of them names a fibre that the program does not know; look at its label.".to_owned(),
        some => format!(" {some} of them name a fibre that the program does not know; look at the labels."),
    };
    let doubt = match shelved.unknown {
        0 => String::new(),
        1 => " One of them does not say its fibre or weight; check its label.".to_owned(),
        unknown => format!(" {unknown} of them do not say their fibre or weight; check the labels."),
    };
    let out = shelved.left_out;
    let reasons = [
        (out.weight, "of another weight"),
        (out.fibre, "of another fibre"),
        (out.needs, "that would not stand the machine or are not known to"),
        (out.busy, "whose changes of colour would hide the chart's pattern"),
        (out.stock, "out of stock"),
    ];
    let reasons: Vec<String> =
        reasons.iter().filter(|(n, _)| *n > 0).map(|(n, why)| format!("{n} {why}")).collect();
    let left_out =
        if reasons.is_empty() { String::new() } else { format!(" Left out: {}.", reasons.join(", ")) };
    format!("{left} of {} shades.{left_out}{doubt}{named}", shelved.of)
}

/// Where fewer are left than the palette has colours, each wish that keeps shades out can be let go.
fn widen(ui: &mut Ui, choice: &mut Choice, out: LeftOut, colours: usize) {
    if out.weight + out.fibre + out.needs + out.stock > 0 {
        caption(
            ui,
            format!(
                "That is too few for {colours} colours. Let more in here, or describe the card's own yarn under This yarn."
            ),
        );
    }
    ui.horizontal_wrapped(|ui| {
        if out.needs > 0 && ui.button("Take any wash").clicked() {
            choice.washable = false;
        }
        if out.stock > 0 && ui.button("Take what is out of stock").clicked() {
            choice.to_be_had = false;
        }
        if out.weight > 0 && ui.button("Take any weight").clicked() {
            choice.weight = WeightChoice::Any;
        }
        if out.fibre > 0 && ui.button("Take any fibre").clicked() {
            choice.fibre = FibreChoice::Any;
        }
    });
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

fn card(ui: &mut Ui, project: &Project, choice: &mut Choice) {
    choice.card.take_if(|place| *place >= project.shade_cards.len());
    let cards = project.shade_cards.iter().enumerate().map(|(place, card)| (Some(place), card.name.as_str()));
    one_of(ui, "Card", std::iter::once((None, "All cards")).chain(cards), &mut choice.card, 0.0);
}

fn fibre(ui: &mut Ui, project: &Project, choice: &mut Choice, shelved: Option<&Arc<Shelved>>) {
    let mut options = vec![(FibreChoice::Any, "Any fibre".to_owned())];
    if let FibreWanted::Like(blend) = project.wanted_yarn().fibre {
        options.insert(0, (FibreChoice::Project, format!("Like {}", blend.name())));
    }
    let labels = shelved.iter().flat_map(|shelved| shelved.labels.iter().cloned());
    options.extend(labels.map(|label| (FibreChoice::Label(label.clone()), label)));
    if let FibreChoice::Label(label) = &choice.fibre {
        still_chosen(&mut options, &choice.fibre, label);
    }
    let width = ui.available_width() - STEP;
    let tip = "Like the project's yarn: the same main fibre, and every share within 10 points";
    let mut chosen = if_offered(&options, choice.fibre.clone(), FibreChoice::Any);
    if one_of_in(ui, width, "Fibre", options, &mut chosen).on_hover_text(tip).changed() {
        choice.fibre = chosen;
    }
}

fn weight(ui: &mut Ui, project: &Project, choice: &mut Choice, shelved: Option<&Arc<Shelved>>) {
    let class_name = |number: u8| {
        let class = WeightClass::from_number(number);
        class.map_or_else(String::new, |class| format!("{number} {}", class.name()))
    };
    let mut options = vec![(WeightChoice::Any, "Any weight".to_owned())];
    let names: Vec<String> = project.wanted_yarn().classes.into_iter().map(class_name).collect();
    if !names.is_empty() {
        options.insert(0, (WeightChoice::Project, format!("As the yarn: {}", names.join(" or "))));
    }
    let classes = shelved.iter().flat_map(|shelved| shelved.classes.iter().copied());
    options.extend(classes.map(|class| (WeightChoice::Class(class), class_name(class))));
    if let WeightChoice::Class(class) = choice.weight {
        still_chosen(&mut options, &choice.weight, &class_name(class));
    }
    let mut chosen = if_offered(&options, choice.weight, WeightChoice::Any);
    if one_of(ui, "Weight", options, &mut chosen, 0.0) {
        choice.weight = chosen;
    }
}

/// What was chosen stays in the list while the shades are sought anew.
fn still_chosen<T: Clone + PartialEq>(options: &mut Vec<(T, String)>, chosen: &T, words: &str) {
    if options.iter().all(|(option, _)| option != chosen) {
        options.push((chosen.clone(), words.to_owned()));
    }
}

/// The project's own where the project says something, else `any`.
fn if_offered<T: PartialEq>(options: &[(T, String)], chosen: T, any: T) -> T {
    if options.iter().any(|(option, _)| *option == chosen) { chosen } else { any }
}
