//! The light: what it was measured on, what was found, and what is doubtful about it.

use egui::{Label, RichText, Sense, Ui, Vec2};

use super::{Marking, PhotographView, Place, photo, places};
use crate::app::Action;
use crate::app::photo_desk::{CorrectedLight, PhotoAction, Photograph};
use crate::app::state::State;
use crate::photo::{Light, LightSource, MAX_REFERENCES, Reference, Region};
use crate::ui::theme::{STEP, Tokens};
use crate::ui::widgets::{Icon, NumberField, caption, heading, one_of_in, row, sized_icon_button};

/// Height kept for the place of a card in figures.
const FIELDS: f32 = 46.0;
/// Height kept for what was found of the light.
const SAID: f32 = 106.0;

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

    /// The surface that reflects this share.
    pub const fn of(reflectance: f64) -> Self {
        if reflectance == Reference::GREY_CARD {
            Self::GreyCard
        } else if reflectance == Reference::WHITE_PAPER {
            Self::WhitePaper
        } else {
            Self::Other(reflectance)
        }
    }

    /// This surface in a region.
    pub const fn reference(self, region: Region) -> Reference {
        Reference { region, reflectance: self.reflectance() }
    }
}

/// What a reference is called: `Card`, or `Card 2` where there are several.
pub fn card_name(number: usize, count: usize) -> String {
    if number == 0 && count < 2 { "Card".to_owned() } else { format!("Card {}", number + 1) }
}

/// The request that leaves a reference out.
pub fn without(photograph: &Photograph, view: &mut PhotographView, number: usize) -> Action {
    let mut references = photograph.references();
    if number < references.len() {
        references.remove(number);
    }
    view.reference = view.reference.min(references.len().saturating_sub(1));
    if let Some(reference) = references.get(view.reference) {
        view.surface = Surface::of(reference.reflectance);
    }
    view.draft = None;
    photo(PhotoAction::SetReferences(references))
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
        let references = photograph.references();
        ui.horizontal(|ui| {
            heading(ui, "The light");
            ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
                ui.add_space(STEP);
                let tip = "The picture and every reading as taken again";
                if !references.is_empty() && ui.button("Drop the correction").on_hover_text(tip).clicked() {
                    view.draft = None;
                    view.reference = 0;
                    actions.push(photo(PhotoAction::SetReferences(Vec::new())));
                }
            });
        });
        if references.is_empty() {
            by_figures_row(ui, photograph, view, actions);
        } else {
            cards(ui, photograph, view, actions);
        }
        surface(ui, photograph, view, actions);
        // A new one is chosen while it is still being measured.
        let shown = view.reference.min(references.len().saturating_sub(1));
        let name = if shown == 0 { "Card".to_owned() } else { card_name(shown, references.len()) };
        roomy(ui, FIELDS, |ui| {
            places::fields(ui, photograph, view, (Place::Reference(shown), &name), actions);
        });
        roomy(ui, SAID, |ui| {
            if let Some(light) = &photograph.light {
                found(ui, light);
                return;
            }
            caption(
                ui,
                "Not measured yet: the colour of the lamp or the sky is still in every reading. Drag over the \
                 grey card or the white paper in the picture, away from its edges.",
            );
            taken_in(ui, photograph, actions);
        });
    });
    ui.add_space(STEP);
}

/// Shows something in room that is kept for it while it is not there, so that what follows stays in its place
/// when a card is marked.
fn roomy(ui: &mut Ui, height: f32, contents: impl FnOnce(&mut Ui)) {
    ui.scope(|ui| {
        ui.set_min_height(height);
        contents(ui);
    });
}

/// The way to place the first reference without the pointer.
fn by_figures_row(
    ui: &mut Ui,
    photograph: &Photograph,
    view: &mut PhotographView,
    actions: &mut Vec<Action>,
) {
    let tip = "For the keyboard: left, top, width and height";
    if ui.button("Place it by figures").on_hover_text(tip).clicked() {
        view.marking = Marking::Reference;
        actions.push(view.put(photograph, Place::Reference(0), by_figures(photograph)));
    }
}

/// The references, one of which is chosen.
fn cards(ui: &mut Ui, photograph: &Photograph, view: &mut PhotographView, actions: &mut Vec<Action>) {
    let count = photograph.references().len();
    ui.horizontal_wrapped(|ui| {
        if count > 1 {
            for number in 0..count {
                let name = card_name(number, count);
                if ui.selectable_label(view.reference == number, name).clicked() {
                    view.choose_reference(photograph, number);
                    view.marking = Marking::Reference;
                }
            }
            let label = format!("Drop card {}", view.reference + 1);
            let size = Vec2::splat(24.0);
            if sized_icon_button(ui, Icon::Close, &label, "Drop this card", false, size).clicked() {
                actions.push(without(photograph, view, view.reference));
            }
        }
        let tip = "Drag over it in the picture, or place it by figures here. Two cards even out the light along \
                   the line between them, three all over the picture";
        let add = ui.add_enabled(count < MAX_REFERENCES, egui::Button::new("Another card"));
        if add.on_hover_text(tip).clicked() {
            view.marking = Marking::Reference;
            actions.push(view.put(photograph, Place::Reference(count), by_figures(photograph)));
        }
    });
}

/// What the chosen reference is; another choice measures the light anew.
fn surface(ui: &mut Ui, photograph: &Photograph, view: &mut PhotographView, actions: &mut Vec<Action>) {
    let before = view.surface;
    row(ui, "Measured on", |ui| {
        let surfaces = [Surface::GreyCard, Surface::WhitePaper, Surface::Other(before.reflectance())]
            .map(|surface| (surface, surface.name()));
        let width = ui.available_width() - STEP;
        one_of_in(ui, width, "Measured on", surfaces, &mut view.surface)
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
    if (view.surface != before && !dragging) || let_go {
        let mut references = photograph.references();
        if let Some(reference) = references.get_mut(view.reference) {
            *reference = view.surface.reference(reference.region);
            actions.push(photo(PhotoAction::SetReferences(references)));
        }
    }
}

/// What the light is said to have been, which tells how far it may have moved the colours.
fn taken_in(ui: &mut Ui, photograph: &Photograph, actions: &mut Vec<Action>) {
    let mut source = photograph.source;
    row(ui, "Taken in", |ui| {
        let width = ui.available_width() - STEP;
        let tip = "Without a card this tells how far each reading may be off. A lamp says on its box: warm is under 3500 K, white \
                   about 4000 K, and 5000 K or more is daylight";
        one_of_in(ui, width, "Taken in", LightSource::ALL.map(|one| (one, one.name())), &mut source)
            .on_hover_text(tip);
    });
    if source != photograph.source {
        actions.push(photo(PhotoAction::TellSource(source)));
    }
}

/// Where a reference or yarn that is placed by figures begins.
pub fn by_figures(photograph: &Photograph) -> Region {
    let (wide, high) = (photograph.picture.width(), photograph.picture.height());
    Region::new(wide * 2 / 5, high * 2 / 5, wide / 5, high / 5)
}

fn found(ui: &mut Ui, light: &CorrectedLight) {
    if let Some(measured) = light.balance.light() {
        taken_out(ui, measured);
    }
    if let Some(gain) = light.balance.known_gain() {
        let (times, word) = if gain >= 1.0 { (gain, "lighter") } else { (1.0 / gain, "darker") };
        let text = format!("A yarn of known colour makes every reading {times:.2} times {word} in light.");
        let tip =
            "It shows how a surface of this yarn comes out here, its shadows included, which no card can";
        caption(ui, text).on_hover_text(tip);
        if light.balance.light().is_some() {
            let factor = light.balance.colour_error_factor();
            let text = format!("Its hue and chroma make the error of colour {factor:.1} times the usual.");
            let tip = "A lamp of a few narrow bands may look white and still show dyes wrongly; a yarn whose colour is \
                       known tells";
            caption(ui, text).on_hover_text(tip);
        }
    }
    for warning in light.balance.warnings() {
        doubt(ui, &warning.to_string());
    }
}

fn taken_out(ui: &mut Ui, measured: Light) {
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
