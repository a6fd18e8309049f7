//! What sets are looked for: size, what counts, shades that must or must not be in.

use std::sync::Arc;

use egui::{Button, Slider, TextEdit, Ui, Vec2};

use super::deal::Rule;
use super::{SetsView, Target, nearest};
use crate::app::shelf::{SetsAsk, Shelved};
use crate::app::state::State;
use crate::ui::theme::STEP;
use crate::ui::widgets::{Icon, caption, heading, name, sized_icon_button};
use crate::yarn::best_sets::{MAX_WISH, SetWeights};
use crate::yarn::{Shade, ShadeQuery};

/// Shades offered while one is looked for by name.
const OFFERED: usize = 6;

/// The options as chosen.
pub(super) struct Options {
    size: usize,
    weights: SetWeights,
    pinned: Vec<Arc<Shade>>,
    forbidden: Vec<Arc<Shade>>,
    pub(super) rule: Rule,
    /// A shade that is looked for by name.
    sought: String,
    /// What was found for it, on which shelf.
    found: Option<(String, Arc<Shelved>, Vec<usize>)>,
}

impl Default for Options {
    fn default() -> Self {
        Self {
            size: 3,
            weights: SetWeights::default(),
            pinned: Vec::new(),
            forbidden: Vec::new(),
            rule: Rule::default(),
            sought: String::new(),
            found: None,
        }
    }
}

impl Options {
    /// What is to be searched for.
    pub(super) fn ask(&self, shelved: &Arc<Shelved>, targets: &[Target]) -> SetsAsk {
        let counted = if self.weights.wish > 0.0 { self.size.min(MAX_WISH) } else { 0 };
        SetsAsk {
            shelved: Arc::clone(shelved),
            size: self.size,
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
pub(super) fn show(ui: &mut Ui, state: &State, view: &mut SetsView, shelved: Option<&Arc<Shelved>>) {
    let slots = state.project().palette.slots().len();
    let options = &mut view.options;
    ui.horizontal(|ui| {
        ui.label("Shades in a set");
        ui.spacing_mut().item_spacing.x = 4.0;
        for size in 2..=5 {
            let button = Button::selectable(options.size == size, size.to_string()).frame_when_inactive(true);
            let button = ui.add(button);
            name(&button, &format!("Sets of {size}"));
            if button.clicked() {
                options.size = size;
            }
        }
    });
    match options.size {
        size if size < slots => {
            caption(ui, format!("Recolours the first {size} of the palette's {slots} colours, by role."));
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
    ui.separator();
    rule(ui, &mut view.options.rule);
    ui.separator();
    chosen_shades(ui, &mut view.options, shelved);
}

fn weights(ui: &mut Ui, weights: &mut SetWeights) {
    ui.add_space(STEP / 2.0);
    heading(ui, "What counts");
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
        ("Owned", "Shades of which a ball is at home", &mut weights.owned),
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
    let edit = TextEdit::singleline(&mut options.sought)
        .hint_text("Find a shade")
        .desired_width(ui.available_width() - 4.0);
    let edit = ui.add(edit);
    name(&edit, "Find a shade");
    let (Some(shelved), false) = (shelved, options.sought.trim().is_empty()) else { return };
    for place in found(options, shelved) {
        let Some(shade) = shelved.card.shades().get(place) else { continue };
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
}

/// The first shades that hold the sought words, looked up again only when those or the shelf change.
fn found(options: &mut Options, shelved: &Arc<Shelved>) -> Vec<usize> {
    let fresh = options
        .found
        .as_ref()
        .is_some_and(|(text, of, _)| *text == options.sought && Arc::ptr_eq(of, shelved));
    if !fresh {
        let query = ShadeQuery { text: options.sought.clone(), ..ShadeQuery::default() };
        let mut places = query.run(&shelved.card);
        places.truncate(OFFERED);
        options.found = Some((options.sought.clone(), Arc::clone(shelved), places));
    }
    options.found.as_ref().map(|found| found.2.clone()).unwrap_or_default()
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
