//! The palette against the photograph: each colour beside a yarn, how far apart they are, and the
//! chart knitted in those yarns.

use egui::{Button, ComboBox, Label, Rect, RichText, Role, Sense, Stroke, StrokeKind, Ui, Vec2, WidgetInfo};

use super::light::doubt;
use super::{PhotographView, photo};
use crate::app::Action;
use crate::app::photo_desk::{DeskYarn, PhotoAction, Photograph, YarnReading, pair};
use crate::app::state::State;
use crate::colour::{Colour, Likeness};
use crate::project::{Slot, key_entry};
use crate::ui::colours::paint;
use crate::ui::theme::{STEP, Tokens};
use crate::ui::widgets::{ChartPictures, caption, heading, name, paint_chart};

/// What the section remembers between frames.
#[derive(Default)]
pub struct AgainstView {
    /// What the pairing was worked out for.
    of: (Vec<Colour>, Vec<(u64, Colour)>),
    /// The yarn of each slot by its number.
    yarns: Vec<Option<u64>>,
    pictures: ChartPictures,
}

/// Height of the chart's pictures.
const PREVIEW: f32 = 240.0;

impl AgainstView {
    /// Pairs anew when the palette or the yarns have changed.
    fn settle(&mut self, slots: &[Slot], photograph: &Photograph) {
        let colours: Vec<Colour> = slots.iter().map(|slot| slot.colour).collect();
        let yarns: Vec<(u64, Colour)> =
            photograph.accepted().map(|(yarn, reading)| (yarn.id, reading.sample.colour)).collect();
        if (&colours, &yarns) == (&self.of.0, &self.of.1) {
            return;
        }
        let found: Vec<Colour> = yarns.iter().map(|(_, colour)| *colour).collect();
        let pairings = pair(&colours, &found);
        self.yarns = pairings.iter().map(|pairing| pairing.map(|p| yarns[p.yarn].0)).collect();
        self.of = (colours, yarns);
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
    heading(ui, "Palette against photograph");
    let project = state.project();
    let slots = project.palette.slots();
    let against = &mut view.against;
    against.settle(slots, photograph);
    if against.of.1.is_empty() {
        caption(
            ui,
            "Accept the yarns first: each colour of the palette is then shown beside its nearest yarn.",
        );
        return;
    }
    caption(
        ui,
        "Each colour with a yarn of its own, so that all together are as near as can be (CIEDE2000). Choose others where you like.",
    );
    for (number, slot) in slots.iter().enumerate() {
        entry(ui, photograph, (number, slot), &mut against.yarns[number]);
    }
    shared(ui, slots, &against.yarns);
    ui.add_space(STEP / 2.0);
    let any = against.yarns.iter().any(Option::is_some);
    let knit = ui.add_enabled(any, Button::new("Knit the chart in these yarns"));
    if knit.on_hover_text("Every chart shows the yarns' colours; undo takes it back").clicked() {
        actions.push(photo(PhotoAction::KnitIn(against.yarns.clone(), view.balls.facts.clone())));
    }
    caption(
        ui,
        "Up to 1 looks the same, up to 2 close, up to 5 similar (conventions). The reading's own error comes on top.",
    );
    ui.add_space(STEP);
    let yarn = |id: &Option<u64>| against.of.1.iter().find(|(yarn, _)| Some(*yarn) == *id).map(|(_, c)| *c);
    let colours: Vec<Colour> =
        slots.iter().zip(&against.yarns).map(|(slot, id)| yarn(id).unwrap_or(slot.colour)).collect();
    preview(ui, state, &mut against.pictures, &colours);
}

/// A warning for two colours that would be knitted in one yarn.
fn shared(ui: &mut Ui, slots: &[Slot], yarns: &[Option<u64>]) {
    let same = |first: usize| {
        let later =
            (first + 1..yarns.len()).find(|later| yarns[first].is_some() && yarns[first] == yarns[*later]);
        later.map(|later| (first, later))
    };
    if let Some((first, later)) = (0..yarns.len()).find_map(same) {
        let (first, later) = (&slots[first].name, &slots[later].name);
        doubt(ui, &format!("{first} and {later} have the same yarn: the chart cannot tell them apart"));
    }
}

/// The chart as it is beside the chart as it would be.
fn preview(ui: &mut Ui, state: &State, pictures: &mut ChartPictures, colours: &[Colour]) {
    let now: Vec<Colour> = state.project().palette.slots().iter().map(|slot| slot.colour).collect();
    let width = (ui.available_width() - 2.0 * STEP) / 2.0;
    ui.horizontal_top(|ui| {
        for (colours, title) in [(now.as_slice(), "As it is"), (colours, "In these yarns")] {
            ui.vertical(|ui| {
                let (rect, response) = ui.allocate_exact_size(Vec2::new(width, PREVIEW), Sense::hover());
                response
                    .widget_info(|| WidgetInfo::labeled(Role::Image, true, format!("The chart: {title}")));
                let picture = pictures.of(ui, state, colours);
                paint_chart(ui, state.project(), rect, picture);
                caption(ui, title);
            });
        }
    });
    pictures.keep_up(ui, state);
}

/// A colour of the palette and its yarn.
fn entry(ui: &mut Ui, photograph: &Photograph, (number, slot): (usize, &Slot), chosen: &mut Option<u64>) {
    let yarns: Vec<(&DeskYarn, &YarnReading)> = photograph.accepted().collect();
    let find = |id: &Option<u64>| yarns.iter().find(|(yarn, _)| Some(yarn.id) == *id);
    ui.horizontal(|ui| {
        let (rect, _) = ui.allocate_exact_size(Vec2::new(64.0, 46.0), Sense::hover());
        let (left, right) = rect.split_left_right_at_x(rect.center().x);
        ui.painter().rect_filled(left, 0, paint(slot.colour));
        let tokens = Tokens::of(ui);
        let yarn = find(chosen);
        ui.painter().rect_filled(right, 0, yarn.map_or(tokens.control, |(_, r)| paint(r.sample.colour)));
        ui.painter().rect_stroke(rect, 0, Stroke::new(1.0, tokens.edge), StrokeKind::Inside);
        ui.vertical(|ui| {
            ui.spacing_mut().item_spacing.y = 2.0;
            let title = key_entry(number, slot);
            ui.add(Label::new(RichText::new(title).small()).truncate());
            ui.horizontal(|ui| {
                let text = yarn.map_or("Stays as it is", |(yarn, _)| yarn.name.as_str());
                let combo = ComboBox::from_id_salt(("yarn for slot", number))
                    .width(150.0)
                    .height(400.0)
                    .selected_text(text)
                    .truncate()
                    .show_ui(ui, |ui| options(ui, slot, &yarns, chosen));
                name(&combo.response, &format!("Yarn for colour {}", number + 1));
                if let Some((_, reading)) = find(chosen) {
                    ui.label(apart(slot.colour, reading.sample.colour));
                }
            });
        });
    });
}

/// How far apart two colours are, in figures and a word.
fn apart(a: Colour, b: Colour) -> String {
    let difference = a.difference(b);
    format!("{difference:.1}, {}", Likeness::of(difference).name().to_lowercase())
}

/// The yarns to choose from, the nearest first.
fn options(ui: &mut Ui, slot: &Slot, yarns: &[(&DeskYarn, &YarnReading)], chosen: &mut Option<u64>) {
    let mut near: Vec<_> = yarns.to_vec();
    let distance = |(_, reading): &(&DeskYarn, &YarnReading)| reading.sample.colour.difference(slot.colour);
    near.sort_by(|a, b| distance(a).total_cmp(&distance(b)));
    for (yarn, reading) in near {
        let colour = reading.sample.colour;
        ui.horizontal(|ui| {
            let (rect, _) = ui.allocate_exact_size(Vec2::splat(16.0), Sense::hover());
            ui.painter().rect_filled(
                Rect::from_center_size(rect.center(), Vec2::splat(14.0)),
                2,
                paint(colour),
            );
            let text = format!("{}   {}", yarn.name, apart(slot.colour, colour));
            if ui.selectable_value(chosen, Some(yarn.id), text).clicked() {
                ui.close();
            }
        });
    }
    if ui.selectable_value(chosen, None, "Stays as it is").clicked() {
        ui.close();
    }
}
