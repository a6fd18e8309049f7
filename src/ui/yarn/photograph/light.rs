//! The light: what it was measured on, what was found, and what is doubtful about it.

use egui::{ComboBox, Label, RichText, Sense, Ui, Vec2};

use super::{Marking, PhotographView, Place, photo, places};
use crate::app::Action;
use crate::app::photo_desk::{CorrectedLight, PhotoAction, Photograph};
use crate::app::state::State;
use crate::photo::{Reference, Region};
use crate::ui::theme::{STEP, Tokens};
use crate::ui::widgets::{Icon, NumberField, caption, heading, name, row};

/// The neutral surface in the picture.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub enum Surface {
    #[default]
    GreyCard,
    WhitePaper,
    /// Another neutral surface that reflects this share of the light.
    Other(f64),
}

impl Surface {
    fn name(self) -> &'static str {
        match self {
            Self::GreyCard => "Grey card, 18 %",
            Self::WhitePaper => "White paper, 85 %",
            Self::Other(_) => "Another grey or white",
        }
    }

    /// Share of the light it reflects.
    const fn reflectance(self) -> f64 {
        match self {
            Self::GreyCard => Reference::GREY_CARD,
            Self::WhitePaper => Reference::WHITE_PAPER,
            Self::Other(share) => share,
        }
    }

    /// This surface in a region.
    pub const fn reference(self, region: Region) -> Reference {
        Reference { region, reflectance: self.reflectance() }
    }
}

/// Shows the section.
pub fn show(
    ui: &mut Ui,
    state: &State,
    photograph: &Photograph,
    view: &mut PhotographView,
    actions: &mut Vec<Action>,
) {
    ui.add_enabled_ui(!state.photo.is_locked(), |ui| {
        ui.horizontal(|ui| {
            heading(ui, "The light");
            ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
                ui.add_space(STEP);
                let tip = "The picture and every reading as taken again";
                if photograph.light.is_some() && ui.button("Drop the correction").on_hover_text(tip).clicked()
                {
                    view.draft = None;
                    actions.push(photo(PhotoAction::SetReference(None)));
                }
            });
        });
        surface(ui, photograph, view, actions);
        match &photograph.light {
            Some(light) => {
                found(ui, light);
                places::fields(ui, photograph, view, (Place::Reference, "Card"), actions);
            }
            None => unmeasured(ui, photograph, view, actions),
        }
    });
    ui.add_space(STEP);
}

/// What the light is measured on; another choice measures it anew.
fn surface(ui: &mut Ui, photograph: &Photograph, view: &mut PhotographView, actions: &mut Vec<Action>) {
    let before = view.surface;
    row(ui, "Measured on", |ui| {
        let combo = ComboBox::from_id_salt("reference surface")
            .width(ui.available_width() - STEP)
            .selected_text(before.name())
            .show_ui(ui, |ui| {
                let other = Surface::Other(before.reflectance());
                for surface in [Surface::GreyCard, Surface::WhitePaper, other] {
                    let is_it = surface.name() == before.name();
                    if ui.selectable_label(is_it, surface.name()).clicked() && !is_it {
                        view.surface = surface;
                    }
                }
            });
        name(&combo.response, "Measured on");
        combo
            .response
            .on_hover_text("Plain paper reflects 80 to 90 %; brightened paper looks bluish in daylight");
    });
    let (mut dragging, mut let_go) = (false, false);
    if let Surface::Other(share) = view.surface {
        row(ui, "It reflects", |ui| {
            let label = "Reflectance of the surface";
            let field = NumberField { label, suffix: " %", range: 2.0..=100.0, decimals: 1, speed: 0.2 };
            let (response, typed) = field.respond(ui, share * 100.0);
            (dragging, let_go) = (response.dragged(), response.drag_stopped());
            if let Some(typed) = typed {
                view.surface = Surface::Other(typed / 100.0);
            }
        });
    }
    let changed = (view.surface != before && !dragging) || let_go;
    if let Some(light) = photograph.light.as_ref().filter(|_| changed) {
        actions.push(view.put(Place::Reference, light.reference.region));
    }
}

fn found(ui: &mut Ui, light: &CorrectedLight) {
    let Some(measured) = light.balance.light() else { return };
    ui.add(Label::new(measured.words()).wrap());
    let exposure = measured.exposure;
    let brighter = if exposure >= 1.0 {
        format!("made {exposure:.2} times brighter")
    } else {
        format!("made {:.2} times darker", 1.0 / exposure)
    };
    let tip = "As the picture shows it: the camera may have taken part of its colour out already. The surface \
               now has the colour and lightness it should have.";
    caption(ui, format!("Taken out, and the picture {brighter}.")).on_hover_text(tip);
    for warning in light.balance.warnings() {
        doubt(ui, &warning.to_string());
    }
}

fn unmeasured(ui: &mut Ui, photograph: &Photograph, view: &mut PhotographView, actions: &mut Vec<Action>) {
    caption(
        ui,
        "Not measured yet: the colour of the lamp or the sky is still in every reading. Drag over the grey card or \
         the white paper in the picture, away from its edges.",
    );
    if ui
        .button("Place it by figures")
        .on_hover_text("For the keyboard: left, top, width and height")
        .clicked()
    {
        let (wide, high) = (photograph.picture.width(), photograph.picture.height());
        let region = Region::new(wide * 2 / 5, high * 2 / 5, wide / 5, high / 5);
        view.marking = Marking::Reference;
        actions.push(view.put(Place::Reference, region));
    }
}

/// A warning with its mark, as a sentence.
pub fn doubt(ui: &mut Ui, text: &str) {
    ui.horizontal_top(|ui| {
        let (mark, _) = ui.allocate_exact_size(Vec2::splat(14.0), Sense::hover());
        Icon::Warning.paint(ui.painter(), mark.translate(Vec2::new(0.0, 2.0)), Tokens::of(ui).text);
        ui.add(Label::new(RichText::new(sentence(text)).small()).wrap());
    });
}

/// The words with a capital and a full stop.
fn sentence(text: &str) -> String {
    let mut letters = text.chars();
    let first = letters.next().map(|first| first.to_uppercase().to_string()).unwrap_or_default();
    let stop = if text.ends_with(['.', '?', '!']) { "" } else { "." };
    format!("{first}{}{stop}", letters.as_str())
}
