//! The yarns of the photograph: swatch, name, colour in figures, spread, error and doubts.

use egui::{
    Button, Frame, Label, Margin, Rect, RichText, Role, Sense, Stroke, StrokeKind, TextEdit, Ui, Vec2,
    WidgetInfo,
};

use super::known;
use super::light::{by_figures, doubt};
use super::{Marking, PhotographView, Place, photo, places, same_shade};
use crate::app::Action;
use crate::app::photo_desk::{DeskYarn, PhotoAction, Photograph, Reading, YarnReading};
use crate::app::state::State;
use crate::colour::Colour;
use crate::photo::MAX_FOUND;
use crate::ui::colours::paint;
use crate::ui::theme::{CORNER, STEP, Tokens};
use crate::ui::widgets::{Icon, caption, focus_ring, heading, name, sized_icon_button, text_field, tick_box};
use crate::yarn::{MAX_TEXT, VariationKind};

/// Shows the section.
pub fn show(
    ui: &mut Ui,
    state: &State,
    photograph: &Photograph,
    view: &mut PhotographView,
    actions: &mut Vec<Action>,
) {
    heading(ui, "The yarns");
    ui.horizontal(|ui| {
        let find = ui.add_enabled(!state.photo.is_busy(), Button::new("Find the yarns"));
        let tip = format!("Proposes up to {MAX_FOUND} regions; what is accepted stays");
        if find.on_hover_text(tip).clicked() {
            view.marking = Marking::Yarn;
            actions.push(photo(PhotoAction::FindYarns));
        }
        let open = photograph.yarns.iter().any(|yarn| !yarn.accepted);
        if ui.add_enabled(open, Button::new("Accept all")).clicked() {
            actions.push(photo(PhotoAction::AcceptAll));
        }
        if ui
            .button("Add by figures")
            .on_hover_text("For the keyboard: left, top, width and height")
            .clicked()
        {
            actions.push(photo(PhotoAction::AddYarn(by_figures(photograph))));
        }
    });
    if photograph.yarns.is_empty() {
        caption(
            ui,
            "None yet. Let them be found, or choose Ball of yarn above the picture and drag over each ball.",
        );
    }
    for (place, yarn) in photograph.yarns.iter().enumerate() {
        entry(ui, state, photograph, view, (place + 1, yarn), actions);
    }
    caption(
        ui,
        "The fibre's own colour, as a maker's measured shade is. Two readings in three lie within their ±: near \
         enough to plan with, not to match a dye lot. A swatch shows the colour as taken on the left, corrected on \
         the right.",
    );
}

fn entry(
    ui: &mut Ui,
    state: &State,
    photograph: &Photograph,
    view: &mut PhotographView,
    (number, yarn): (usize, &DeskYarn),
    actions: &mut Vec<Action>,
) {
    let tokens = Tokens::of(ui);
    let chosen = view.chosen == Some(yarn.id);
    let edge = Stroke::new(1.0, if chosen { tokens.text } else { tokens.line });
    let frame = Frame::new().stroke(edge).corner_radius(CORNER).inner_margin(Margin::same(6));
    ui.push_id(yarn.id, |ui| {
        frame.show(ui, |ui| {
            ui.set_width(ui.available_width() - STEP);
            ui.spacing_mut().item_spacing.y = 4.0;
            ui.horizontal(|ui| {
                if swatch(ui, number, yarn, chosen) {
                    if chosen {
                        view.chosen = None;
                    } else {
                        view.choose(yarn.id);
                    }
                }
                ui.vertical(|ui| title(ui, number, yarn, actions));
            });
            if let Reading::Failed(reason) = &yarn.reading {
                doubt(ui, reason);
                if ui.button("Read again").clicked() {
                    actions.push(photo(PhotoAction::ReadAgain(yarn.id)));
                }
            }
            if chosen {
                if let Some(reading) = yarn.done() {
                    details(ui, reading);
                    same_shade::show(ui, state, (number, yarn), reading, actions);
                }
                known::show(ui, state, (number, yarn), &mut view.known, actions);
                let what = format!("Yarn {number}");
                places::fields(ui, photograph, view, (Place::Yarn(yarn.id), &what), actions);
            }
        });
    });
}

/// Name, tick and cross, and the colour in short.
fn title(ui: &mut Ui, number: usize, yarn: &DeskYarn, actions: &mut Vec<Action>) {
    ui.horizontal(|ui| {
        let mut text = yarn.name.clone();
        let width = ui.available_width() - 118.0;
        let response = text_field(ui, &mut text, |text| {
            TextEdit::singleline(text).desired_width(width).char_limit(MAX_TEXT).hint_text("Name")
        });
        name(&response, &format!("Name of yarn {number}"));
        if response.changed() {
            actions.push(photo(PhotoAction::RenameYarn(yarn.id, text)));
        }
        let mut accepted = yarn.accepted;
        let tick = tick_box(ui, &mut accepted, "Accept");
        name(&tick, &format!("Accept yarn {number}"));
        if tick.changed() {
            actions.push(photo(PhotoAction::AcceptYarn(yarn.id, accepted)));
        }
        let label = format!("Drop yarn {number}");
        if sized_icon_button(ui, Icon::Close, &label, "Drop", false, Vec2::splat(24.0)).clicked() {
            actions.push(photo(PhotoAction::DropYarn(yarn.id)));
        }
    });
    ui.horizontal(|ui| {
        ui.add_space(4.0);
        if let Some(reading) = yarn.done() {
            let sample = &reading.sample;
            let (hex, error) = (sample.colour.to_hex(), sample.error.total());
            ui.label(RichText::new(format!("{hex}   {}   ±{error:.1}", sample.spread.kind.name())).small());
            if !sample.warnings.is_empty() {
                let (mark, response) = ui.allocate_exact_size(Vec2::splat(13.0), Sense::hover());
                Icon::Warning.paint(ui.painter(), mark, Tokens::of(ui).text);
                let words: Vec<String> = sample.warnings.iter().map(ToString::to_string).collect();
                response.on_hover_text(words.join("\n"));
            }
        } else if yarn.reading == Reading::Waiting {
            ui.label(RichText::new("Reading…").small().weak());
        }
    });
}

/// The colour as taken and corrected; whether it was clicked.
fn swatch(ui: &mut Ui, number: usize, yarn: &DeskYarn, chosen: bool) -> bool {
    let (rect, response) = ui.allocate_exact_size(Vec2::new(54.0, 48.0), Sense::click());
    let text = match yarn.done() {
        Some(reading) => {
            let (now, before) = (reading.sample.colour.to_hex(), reading.as_taken.to_hex());
            format!("Yarn {number}: {}, {now}, as taken {before}", yarn.name)
        }
        None => format!("Yarn {number}: {}, not read", yarn.name),
    };
    response.widget_info(|| WidgetInfo::selected(Role::Button, true, chosen, &text));
    let tokens = Tokens::of(ui);
    match yarn.done() {
        Some(reading) => halves(ui, rect, reading.as_taken, reading.sample.colour),
        None => {
            ui.painter().rect_filled(rect, 3, tokens.control);
        }
    }
    ui.painter().rect_stroke(rect, 3, Stroke::new(1.0, tokens.edge), StrokeKind::Inside);
    if response.has_focus() {
        focus_ring(ui, rect);
    }
    response.on_hover_text("Figures and place").clicked()
}

/// A third of one colour beside two thirds of another.
fn halves(ui: &Ui, rect: Rect, left: Colour, right: Colour) {
    ui.painter().rect_filled(rect, 3, paint(right));
    let third = Rect::from_min_size(rect.min, Vec2::new(rect.width() / 3.0, rect.height()));
    let corners = egui::CornerRadius { nw: 3, sw: 3, ne: 0, se: 0 };
    ui.painter().rect_filled(third, corners, paint(left));
}

const fn spread_words(kind: VariationKind) -> &'static str {
    match kind {
        VariationKind::Solid => "one colour throughout",
        VariationKind::Heathered => "several shades blended all along",
        VariationKind::Speckled => "small spots of other colours",
        VariationKind::LongChanges => "stretches of different colours",
    }
}

fn details(ui: &mut Ui, reading: &YarnReading) {
    let sample = &reading.sample;
    let lab = sample.colour.to_lab();
    let figures = format!(
        "Lab (D65) {:.1}, {:.1}, {:.1}     Oklch {:.3}, {:.3}, {:.0}°",
        lab.l,
        lab.a,
        lab.b,
        sample.colour.lightness(),
        sample.colour.chroma(),
        sample.colour.hue_angle()
    );
    ui.add(Label::new(RichText::new(figures).small()).wrap());
    let kind = sample.spread.kind;
    ui.label(RichText::new(format!("{}: {}", kind.name(), spread_words(kind))).small());
    if sample.spread.parts.len() > 1 {
        ui.horizontal_wrapped(|ui| {
            for part in &sample.spread.parts {
                let (rect, _) = ui.allocate_exact_size(Vec2::splat(14.0), Sense::hover());
                ui.painter().rect_filled(rect, 2, paint(part.colour));
                ui.label(RichText::new(format!("{:.0} %", part.share * 100.0)).small());
            }
        });
    }
    let (shadow, surface) = (sample.shadow_lstar(), sample.surface.to_hex());
    if shadow >= 0.5 {
        let text = format!(
            "The lit surface reads {surface}, L* {shadow:.1} darker than the fibre: the usual share of shadow between \
             strands is taken out. A yarn of known colour tells it exactly."
        );
        caption(ui, text);
    }
    let error = sample.error;
    caption(
        ui,
        format!(
            "±{:.1} CIEDE2000 (68 % lie within it, 95 % within twice it): light {:.1}, shadows between strands {:.1}, camera {:.1}{}.",
            error.total(),
            error.light,
            error.reading,
            error.camera,
            if error.flaws > 0.0 { format!(", flaws {:.1}", error.flaws) } else { String::new() }
        ),
    );
    for warning in &sample.warnings {
        doubt(ui, &warning.to_string());
    }
}
