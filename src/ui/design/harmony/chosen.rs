//! The chosen colour: name, role, hex, Oklch, field, tint, shade and tone, symbol.

use egui::{Button, ComboBox, Key, Rect, Sense, Slider, TextEdit, Ui, Vec2};

use super::held;
use super::{HarmonyView, edit_palette, recoloured, shown, step_of};
use crate::app::Action;
use crate::app::state::State;
use crate::colour::{Blend, Colour};
use crate::export::symbols::{COLOURS_ONLY, distinct_marks, marks};
use crate::plain_text::number;
use crate::project::{Edit, Role, Symbol};
use crate::ui::widgets::{
    NumberField, caption, name, one_of_in, paint_sign, paint_swatch, row, say_refusal, steady, text_field,
};

/// Width of a list that shows the longest name of a symbol, in points.
const NAME_OF_SYMBOL: f32 = 158.0;

/// Shows the editor of the chosen colour.
pub fn show(ui: &mut Ui, state: &State, index: usize, view: &mut HarmonyView, actions: &mut Vec<Action>) {
    title_row(ui, state, index, actions);
    let locked = state.project().palette.slots()[index].locked;
    ui.add_enabled_ui(!locked, |ui| {
        blend_sliders(ui, state, view, index, actions);
        hex_row(ui, state, view, index, actions);
        oklch_row(ui, state, view, index, actions);
    });
    symbol_row(ui, state, index, actions);
    let colour = state.project().palette.slots()[index].colour;
    let locked = if locked { " Locked." } else { "" };
    caption(ui, format!("{} Value L* {:.0} of 100.{locked}", COLOURS_ONLY.concat(), colour.lstar()));
}

fn title_row(ui: &mut Ui, state: &State, index: usize, actions: &mut Vec<Action>) {
    let slot = &state.project().palette.slots()[index];
    ui.horizontal(|ui| {
        let mut text = slot.name.clone();
        let edit = ui
            .add(TextEdit::singleline(&mut text).desired_width(ui.available_width() - 148.0).char_limit(60));
        name(&edit, "Colour name");
        if edit.changed() {
            actions.push(edit_palette(state.project(), "Name colour", true, |palette| {
                palette.slots_mut()[index].name = text;
            }));
        }
        if edit.lost_focus() {
            actions.push(Action::EndGesture);
        }
        let mut role = slot.role;
        let roles = Role::ALL.map(|role| (role, role.name()));
        if one_of_in(ui, 108.0, "Role", roles, &mut role).changed() {
            actions.push(edit_palette(state.project(), "Role", false, |palette| {
                palette.slots_mut()[index].role = role;
            }));
        }
    });
}

/// Where the sliders of a colour stand. At black, white or grey neither the pure colour nor the tone can
/// be told from the colour, so they are kept as long as the colour is the one they made.
pub struct BlendOf {
    slot: usize,
    makes: Colour,
    pure: Colour,
    blend: Blend,
}

fn blend_sliders(
    ui: &mut Ui,
    state: &State,
    view: &mut HarmonyView,
    index: usize,
    actions: &mut Vec<Action>,
) {
    let palette = &state.project().palette;
    let colour = palette.slots()[index].colour;
    let kept = view.blend.as_ref().filter(|kept| kept.slot == index && kept.makes == colour);
    let (pure, mut blend) = kept.map_or_else(|| Blend::split(colour), |kept| (kept.pure, kept.blend));
    ui.spacing_mut().slider_width = ui.available_width() - 146.0;
    let before = blend;
    for (label, range) in [("Shade – tint", -1.0..=1.0), ("Tone", 0.0..=1.0)] {
        let value = if label == "Tone" { &mut blend.tone } else { &mut blend.lightness_shift };
        let slider = steady(ui, (label, index), |ui| row_slider(ui, label, value, range));
        if blend != before && slider.changed() {
            let wanted = blend.apply(pure);
            let by = (slider.id, "Tint, shade or tone");
            actions.push(held::step(view, palette, by, index, |_| wanted));
            view.blend = Some(BlendOf { slot: index, makes: shown(wanted), pure, blend });
        }
        if slider.drag_stopped() || slider.lost_focus() {
            actions.push(Action::EndGesture);
        }
    }
}

fn row_slider(
    ui: &mut Ui,
    label: &str,
    value: &mut f64,
    range: std::ops::RangeInclusive<f64>,
) -> egui::Response {
    ui.horizontal(|ui| {
        ui.allocate_ui_with_layout(
            egui::vec2(76.0, ui.spacing().interact_size.y),
            egui::Layout::left_to_right(egui::Align::Center),
            |ui| {
                ui.set_width(76.0);
                ui.label(label);
            },
        );
        let mut edited = *value;
        let slider = ui.add(Slider::new(&mut edited, range).show_value(false));
        // The slider may round what it shows; only a change by hand counts.
        if slider.changed() {
            *value = edited;
        }
        name(&slider, label);
        ui.label(format!("{} %", number(*value * 100.0, 0)));
        slider
    })
    .inner
}

fn hex_row(ui: &mut Ui, state: &State, view: &mut HarmonyView, index: usize, actions: &mut Vec<Action>) {
    let colour = state.project().palette.slots()[index].colour;
    row(ui, "Hex (sRGB)", |ui| {
        let edit_id = ui.make_persistent_id("hex");
        let typing = ui.memory(|memory| memory.has_focus(edit_id));
        if !typing && view.hex_of != Some((index, colour)) {
            view.hex = colour.to_hex();
            view.hex_of = Some((index, colour));
        }
        let edit = text_field(ui, &mut view.hex, |text| {
            TextEdit::singleline(text).id(edit_id).desired_width(84.0).char_limit(9)
        });
        name(&edit, "Hex");
        let wrong = Colour::from_hex(&view.hex).err();
        if let (true, Some(reason)) = (edit.has_focus(), &wrong) {
            edit.show_tooltip_text(reason.to_string());
        }
        let left = edit.lost_focus() || (typing && ui.input(|input| input.key_pressed(Key::Enter)));
        let refused = wrong.filter(|_| left && !view.hex.trim().is_empty());
        say_refusal(ui, &edit, refused.map(|reason| reason.to_string()));
        if left {
            view.hex_of = None;
            if let Ok(typed) = Colour::from_hex(&view.hex)
                && typed.to_hex() != colour.to_hex()
            {
                let (palette, note) = recoloured(&state.project().palette, index, typed, view.ground_follows);
                view.note = note;
                let label = step_of("Hex", &state.project().palette, index);
                actions.push(Action::edit(label, Edit::Palette(Box::new(palette))));
            }
        }
    });
}

fn oklch_row(ui: &mut Ui, state: &State, view: &mut HarmonyView, index: usize, actions: &mut Vec<Action>) {
    let colour = state.project().palette.slots()[index].colour;
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 4.0;
        let fields: [(&str, &str, f64, f64, usize, f64); 3] = [
            ("Lightness", "L", colour.lightness(), 1.0, 3, 0.002),
            ("Chroma", "C", colour.chroma(), Colour::MAX_CHROMA, 3, 0.001),
            ("Hue in degrees", "h", colour.hue_angle(), 360.0, 1, 0.5),
        ];
        for (number, (label, letter, value, max, decimals, speed)) in fields.into_iter().enumerate() {
            ui.label(letter).on_hover_text(label);
            let suffix = if number == 2 { "°" } else { "" };
            let field = NumberField { label, suffix, range: 0.0..=max, decimals, speed };
            let (response, typed) = steady(ui, (label, index), |ui| field.respond(ui, value));
            if let Some(typed) = typed {
                let wanted = |start: Colour| match number {
                    0 => start.with_lightness(typed),
                    1 => start.with_chroma(typed),
                    _ => start.with_hue(typed),
                };
                let by = (response.id, ["Lightness", "Chroma", "Hue"][number]);
                actions.push(held::step(view, &state.project().palette, by, index, wanted));
            }
            if response.drag_stopped() || response.lost_focus() {
                actions.push(Action::EndGesture);
            }
        }
    });
}

fn symbol_row(ui: &mut Ui, state: &State, index: usize, actions: &mut Vec<Action>) {
    let slot = &state.project().palette.slots()[index];
    ui.horizontal(|ui| {
        ui.label("Symbol");
        // Where the column is narrow, the room is the name's.
        if ui.available_width() > NAME_OF_SYMBOL + ui.spacing().interact_size.y + ui.spacing().item_spacing.x
        {
            let (rect, _) = ui.allocate_exact_size(Vec2::splat(ui.spacing().interact_size.y), Sense::hover());
            let signs = distinct_marks(state.project());
            let sign = signs.get(index).map_or(&[][..], Vec::as_slice);
            paint_swatch(ui, rect, slot.colour, sign, state.eyes);
        }
        let combo = ComboBox::from_id_salt("symbol")
            .width(ui.available_width())
            .selected_text(slot.symbol.name())
            .truncate()
            .height(340.0)
            .show_ui(ui, |ui| {
                for symbol in Symbol::ALL {
                    if choice(ui, symbol, slot.symbol == symbol) {
                        actions.push(edit_palette(state.project(), "Symbol", false, |palette| {
                            palette.slots_mut()[index].symbol = symbol;
                        }));
                        ui.close();
                    }
                }
            });
        name(&combo.response, "Chart symbol");
        combo.response.on_hover_text(COLOURS_ONLY.concat());
    });
}

/// A symbol to choose, drawn after its name; whether it was clicked.
fn choice(ui: &mut Ui, symbol: Symbol, chosen: bool) -> bool {
    let button = Button::selectable(chosen, symbol.name()).min_size(Vec2::new(180.0, 24.0));
    let response = ui.add(button);
    let middle = response.rect.right_center() - Vec2::new(16.0, 0.0);
    let ink = ui.visuals().text_color();
    paint_sign(ui.painter(), Rect::from_center_size(middle, Vec2::splat(16.0)), &marks(symbol), ink);
    response.clicked()
}
