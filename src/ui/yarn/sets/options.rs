//! What sets are looked for: size, what counts, shades that must or must not be in.

use std::sync::Arc;

use egui::{Button, Slider, TextEdit, Ui, Vec2};

use super::deal::Rule;
use super::{SetsView, Target, nearest};
use crate::app::Action;
use crate::app::shelf::{SetsAsk, Shelved};
use crate::app::state::State;
use crate::app::timed_search::SearchTime;
use crate::ui::theme::STEP;
use crate::ui::widgets::{Icon, NumberField, caption, heading, name, row, sized_icon_button, text_field};
use crate::yarn::Shade;
use crate::yarn::best_sets::{MAX_WISH, SetWeights};

/// Shades offered while one is looked for by name.
const OFFERED: usize = 6;

/// The options as chosen.
#[derive(Default)]
pub(super) struct Options {
    /// Shades in a set; as many as the palette has colours until chosen.
    size: Option<usize>,
    weights: SetWeights,
    pinned: Vec<Arc<Shade>>,
    forbidden: Vec<Arc<Shade>>,
    pub(super) rule: Rule,
    /// The longest time of a search while it is dragged.
    dragged_time: Option<SearchTime>,
    /// A shade that is looked for by name or code.
    sought: String,
}

impl Options {
    fn size(&self, slots: usize) -> usize {
        self.size.unwrap_or_else(|| slots.clamp(2, 5))
    }

    /// What is to be searched for.
    pub(super) fn ask(&self, shelved: &Arc<Shelved>, targets: &[Target]) -> SetsAsk {
        let size = self.size(targets.len());
        let counted = if self.weights.wish > 0.0 { size.min(MAX_WISH) } else { 0 };
        SetsAsk {
            shelved: Arc::clone(shelved),
            size,
            weights: self.weights,
            pinned: self.pinned.clone(),
            forbidden: self.forbidden.clone(),
            wish: targets.iter().take(counted).map(|target| target.wish).collect(),
        }
    }

    pub(super) fn is_pinned(&self, shade: &Shade) -> bool {
        self.pinned.iter().any(|pinned| **pinned == *shade)
    }

    /// Pins a shade, or lets it go again.
    pub(super) fn pin(&mut self, shade: &Shade) {
        if self.is_pinned(shade) {
            self.pinned.retain(|pinned| **pinned != *shade);
        } else {
            self.forbidden.retain(|forbidden| **forbidden != *shade);
            self.pinned.push(Arc::new(shade.clone()));
        }
    }

    /// Rules a shade out.
    pub(super) fn rule_out(&mut self, shade: &Shade) {
        self.pinned.retain(|pinned| **pinned != *shade);
        self.forbidden.push(Arc::new(shade.clone()));
    }
}

/// Shows the options.
pub(super) fn show(
    ui: &mut Ui,
    state: &State,
    view: &mut SetsView,
    shelved: Option<&Arc<Shelved>>,
    actions: &mut Vec<Action>,
) {
    let slots = state.project().palette.slots().len();
    let options = &mut view.options;
    let chosen = options.size(slots);
    ui.horizontal(|ui| {
        ui.label("Shades in a set");
        ui.spacing_mut().item_spacing.x = 4.0;
        for size in 2..=5 {
            let button = Button::selectable(chosen == size, size.to_string()).frame_when_inactive(true);
            let button = ui.add(button);
            name(&button, &format!("Sets of {size}"));
            if button.clicked() {
                options.size = Some(size);
            }
        }
    });
    match chosen {
        size if size < slots => {
            let text = format!(
                "Recolours the first {size} of the palette's {slots} colours, by role. The score does not \
                 look at what stays."
            );
            caption(ui, text);
        }
        size if size > slots => {
            caption(ui, format!("The palette has {slots} colours; the other shades stay spare."));
        }
        _ => {}
    }
    weights(ui, &mut options.weights);
    if options.weights.wish > 0.0 {
        nearest::wish_row(ui, state, view);
    }
    search_time(ui, state, &mut view.options, actions);
    ui.separator();
    rule(ui, &mut view.options.rule);
    ui.separator();
    chosen_shades(ui, &mut view.options, shelved);
}

fn weights(ui: &mut Ui, weights: &mut SetWeights) {
    ui.add_space(STEP / 2.0);
    heading(ui, "What counts, each up to 100");
    let parts = [
        (
            "Hue template",
            "Hues that stand to each other as in one of the hue templates",
            &mut weights.template,
        ),
        (
            "Value",
            "The least difference of L* between two shades: what reads in greyscale",
            &mut weights.value,
        ),
        ("All eyes", "The least difference, also to protan, deutan and tritan eyes", &mut weights.vision),
        ("Near the wish", "Near the colours of the palette that are recoloured", &mut weights.wish),
        ("Low price", "The price of 100 m, against the dearest shade here", &mut weights.price),
        ("On hand", "Shades of which a ball is on hand", &mut weights.owned),
    ];
    ui.spacing_mut().slider_width = ui.available_width() - 158.0;
    for (label, tip, weight) in parts {
        ui.horizontal(|ui| {
            ui.allocate_ui_with_layout(
                Vec2::new(98.0, ui.spacing().interact_size.y),
                egui::Layout::left_to_right(egui::Align::Center),
                |ui| {
                    ui.set_width(98.0);
                    ui.label(label).on_hover_text(tip);
                },
            );
            let slider = ui.add(Slider::new(weight, 0.0..=1.0).step_by(0.05).show_value(false));
            name(&slider, &format!("Weight of {}", label.to_lowercase()));
            slider.on_hover_text(tip);
            ui.label(if *weight > 0.0 { format!("{:.0}", *weight * 100.0) } else { "off".to_owned() });
        });
    }
}

/// How long a search may take. While the number is dragged nothing is remembered yet.
fn search_time(ui: &mut Ui, state: &State, options: &mut Options, actions: &mut Vec<Action>) {
    let field = NumberField {
        label: "Search at most, in seconds",
        suffix: " s",
        range: 1.0..=f64::from(SearchTime::MOST),
        decimals: 0,
        speed: 1.0,
    };
    let shown = options.dragged_time.unwrap_or(state.search_time);
    let typed = row(ui, "Search at most", |ui| field.show(ui, f64::from(shown.seconds())));
    if let Some(time) = typed.and_then(|seconds| SearchTime::of_seconds(seconds.round() as u32)) {
        options.dragged_time = Some(time);
    }
    if !ui.input(|input| input.pointer.any_down())
        && let Some(time) = options.dragged_time.take()
    {
        actions.push(Action::SearchTime(time));
    }
}

fn rule(ui: &mut Ui, rule: &mut Rule) {
    heading(ui, "Which colour takes which");
    ui.horizontal(|ui| {
        ui.selectable_value(rule, Rule::Area, "By area")
            .on_hover_text("The largest area takes the quietest shade, the smallest the loudest");
        ui.selectable_value(rule, Rule::Likeness, "By likeness")
            .on_hover_text("Each colour takes the shade nearest to it");
    });
}

/// Shades that are pinned or ruled out, and the field that finds one to pin.
fn chosen_shades(ui: &mut Ui, options: &mut Options, shelved: Option<&Arc<Shelved>>) {
    heading(ui, "Pinned and ruled out");
    if options.pinned.is_empty() && options.forbidden.is_empty() {
        caption(
            ui,
            "Pin a shade that must be in every set, or rule one out: here by name, or in an opened set.",
        );
    }
    listed(ui, "Pinned", &mut options.pinned);
    listed(ui, "Ruled out", &mut options.forbidden);
    let width = ui.available_width() - 4.0;
    let edit = text_field(ui, &mut options.sought, |text| {
        TextEdit::singleline(text).hint_text("Find a shade").desired_width(width)
    });
    name(&edit, "Find a shade");
    let (Some(shelved), false) = (shelved, options.sought.trim().is_empty()) else { return };
    let sought = options.sought.trim().to_lowercase();
    let holds = |text: &str| text.to_lowercase().contains(&sought);
    let found = shelved.card.shades().iter().filter(|shade| holds(&shade.name) || holds(&shade.code));
    let mut none = true;
    for shade in found.take(OFFERED) {
        none = false;
        ui.horizontal(|ui| {
            ui.spacing_mut().item_spacing.x = 4.0;
            let pin = ui.button("Pin");
            name(&pin, &format!("Pin {}", shade.name));
            let out = ui.button("Rule out");
            name(&out, &format!("Rule out {}", shade.name));
            ui.add(egui::Label::new(&shade.name).truncate());
            if pin.clicked() && !options.is_pinned(shade) {
                options.pin(shade);
                options.sought.clear();
            }
            if out.clicked() {
                options.rule_out(shade);
                options.sought.clear();
            }
        });
    }
    if none {
        caption(ui, "No shade of that name or code among these.");
    }
}

fn listed(ui: &mut Ui, what: &str, shades: &mut Vec<Arc<Shade>>) {
    let mut dropped = None;
    for (place, shade) in shades.iter().enumerate() {
        ui.horizontal(|ui| {
            let label = format!("Let go of {}", shade.name);
            if sized_icon_button(ui, Icon::Close, &label, &label, false, Vec2::splat(22.0)).clicked() {
                dropped = Some(place);
            }
            ui.add(egui::Label::new(format!("{what}: {}", shade.name)).truncate());
        });
    }
    if let Some(place) = dropped {
        shades.remove(place);
    }
}
