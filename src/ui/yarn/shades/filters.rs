//! What is wanted of a card: words, and limits on fibre, weight, hue, stock, price and value.

use egui::{Align, Layout, Response, RichText, TextEdit, Ui, vec2};

use super::ShadesView;
use crate::app::cards::Found;
use crate::ui::theme::STEP;
use crate::ui::widgets::{NumberField, name, one_of, text_field};
use crate::yarn::{Available, Between, HueArc, ShadeCard, ShadeQuery, WeightClass};

/// Room for a range with its two ends.
const RANGE: f32 = 138.0;
/// Parts of the Oklch hue circle by everyday names, each up to the next (our division).
const HUES: [(&str, f64, f64); 8] = [
    ("Pinks", 340.0, 15.0),
    ("Reds", 15.0, 45.0),
    ("Oranges, browns", 45.0, 78.0),
    ("Yellows", 78.0, 112.0),
    ("Greens", 112.0, 165.0),
    ("Teals", 165.0, 220.0),
    ("Blues", 220.0, 285.0),
    ("Violets", 285.0, 340.0),
];

/// Shows the search box and the limits.
pub fn show(ui: &mut Ui, view: &mut ShadesView, card: &ShadeCard, found: Option<&Found>) {
    // What stands beside it takes 270.
    let width = (ui.available_width() - 270.0).clamp(90.0, 250.0);
    ui.horizontal(|ui| {
        let search = text_field(ui, &mut view.query.text, |text| {
            TextEdit::singleline(text).hint_text("Search").desired_width(width)
        });
        let tip = "Words from the name, the code, the fibre or the dye lot";
        name(&search.on_hover_text(tip), "Search shades");
        let stocks = Available::ALL.map(|available| (available, available.name().to_owned()));
        choice(ui, "Only by stock", 100.0, stocks.into_iter(), &mut view.query.available);
        let all = card.shades().len();
        let shown = found.map_or(all, |found| found.places.len());
        let count = if shown == all { format!("{all}") } else { format!("{shown} of {all}") };
        ui.label(RichText::new(count).weak());
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            let any =
                ShadeQuery { sort: view.query.sort, descending: view.query.descending, ..Default::default() };
            ui.add_enabled_ui(view.query != any, |ui| {
                if ui.button("Show all").on_hover_text("Take the search and every limit away").clicked() {
                    view.query = any;
                }
            });
        });
    });
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing = vec2(STEP * 0.5, STEP * 0.5);
        lists(ui, &mut view.query, found);
        ranges(ui, &mut view.query, found);
    });
    ui.add_space(STEP * 0.5);
}

fn lists(ui: &mut Ui, query: &mut ShadeQuery, found: Option<&Found>) {
    let fibres = found.map_or(&[][..], |found| &found.fibres);
    let fibres = fibres.iter().map(|fibre| (Some(fibre.clone()), fibre.clone()));
    choice(ui, "Only this fibre", 150.0, or_any("Any fibre", fibres), &mut query.fibre);
    let classes =
        WeightClass::ALL.map(|class| (Some(class.number()), format!("{} {}", class.number(), class.name())));
    choice(ui, "Only this weight", 116.0, or_any("Any weight", classes.into_iter()), &mut query.weight_class);
    let arcs = HUES.map(|(hue, from, to)| (Some(HueArc { from, to }), hue.to_owned()));
    choice(ui, "Only these hues", 100.0, or_any("Any hue", arcs.into_iter()), &mut query.hue);
}

/// No limit first, then the limits.
fn or_any<T>(
    any: &str,
    limits: impl Iterator<Item = (Option<T>, String)>,
) -> impl Iterator<Item = (Option<T>, String)> {
    std::iter::once((None, any.to_owned())).chain(limits)
}

/// A list to choose one of; the chosen text is cut to the width.
fn choice<T: Clone + PartialEq>(
    ui: &mut Ui,
    label: &str,
    width: f32,
    options: impl Iterator<Item = (T, String)>,
    value: &mut T,
) {
    // The cell is as wide as the control.
    cell(ui, width, |ui| {
        one_of(ui, label, options, value, -STEP);
    });
}

fn ranges(ui: &mut Ui, query: &mut ShadeQuery, found: Option<&Found>) {
    // Whole cents up, so that the dearest ball itself is not above the end of the range.
    let dearest = found.and_then(|found| found.dearest).map_or(0.0, |price| (price * 100.0).ceil() / 100.0);
    cell(ui, RANGE, |ui| {
        ui.add_enabled_ui(dearest > 0.0, |ui| between(ui, "Price", &mut query.price, dearest, 2));
    });
    cell(ui, RANGE, |ui| between(ui, "Value", &mut query.value, 100.0, 0))
        .on_hover_text("Lightness L*, 0 black to 100 white");
}

/// A part of a row, which goes to the next row where there is no room for its width.
fn cell(ui: &mut Ui, width: f32, contents: impl FnOnce(&mut Ui)) -> Response {
    let size = vec2(width, ui.spacing().interact_size.y);
    let row = Layout::left_to_right(Align::Center);
    ui.allocate_ui_with_layout(size, row, |ui| {
        ui.set_max_width(width);
        contents(ui);
    })
    .response
}

/// The two ends of a range from 0 to `most`; an end at its stop is open.
fn between(ui: &mut Ui, what: &str, range: &mut Between, most: f64, decimals: usize) {
    ui.spacing_mut().item_spacing.x = 4.0;
    ui.spacing_mut().interact_size.x = 36.0;
    ui.label(what);
    let end = |ui: &mut Ui, end: &str, value: f64| {
        let label = format!("{what} {end}");
        NumberField { label: &label, suffix: "", range: 0.0..=most, decimals, speed: most / 200.0 }
            .show(ui, value)
    };
    if let Some(from) = end(ui, "from", range.from.unwrap_or(0.0)) {
        range.from = (from > 0.0).then_some(from);
    }
    ui.label("–");
    if let Some(to) = end(ui, "to", range.to.unwrap_or(most)) {
        range.to = (to < most).then_some(to);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_hue_has_one_name() {
        for (place, (_, from, to)) in HUES.into_iter().enumerate() {
            assert_eq!(to, HUES[(place + 1) % HUES.len()].1, "no gap and no overlap");
            assert!(HueArc { from, to }.holds(from + 1.0));
        }
    }
}
