//! A table on its way in: which column holds what, the shades that come of it, and the lines set aside.

use egui::{Align, Button, Label, Layout, RichText, ScrollArea, Sense, Ui, UiBuilder, Vec2};

use crate::app::Action;
use crate::app::cards::{CardAction, shades};
use crate::app::derived::Reading;
use crate::app::state::State;
use crate::app::table_desk::{TableImport, TablePreview};
use crate::file::{HeadingFault, ShadeField};
use crate::ui::theme::{SMALL, STEP, Tokens, semibold};
use crate::ui::widgets::{Follow, caption, heading, one_of_in, paint_swatch};
use crate::units::{Currency, LengthUnit, and_more};
use crate::yarn::Shade;

/// Rows of a table whose cells are shown beside its headings.
const SAMPLES: usize = 3;
/// Height of a row of either list.
const ROW: f32 = 26.0;
/// Width of the choice of what a column holds.
const CHOICE: f32 = 168.0;

/// Shows the step before a table comes in.
pub fn show(ui: &mut Ui, state: &State, table: &TableImport, actions: &mut Vec<Action>) {
    let reading = table.preview(&state.jobs);
    let fresh = matches!(reading, Reading::Fresh(_));
    let preview = reading.value();
    let preview = preview.as_deref();
    head(ui, table, preview.filter(|_| fresh), &state.project().currency, actions);
    ui.add_space(STEP);
    let room = ui.available_rect_before_wrap();
    let (left, right) = room.split_left_right_at_fraction(0.46);
    let right = right.with_min_x(right.min.x + 2.0 * STEP);
    part(ui, "table columns", left, |ui| columns(ui, table, actions));
    let (above, below) = right.split_top_bottom_at_fraction(0.62);
    let units = state.project().units;
    part(ui, "table shades", above, |ui| sound(ui, state, preview, units));
    part(ui, "table lines aside", below, |ui| aside(ui, preview));
}

/// A place of its own, whatever stands beside it.
fn part(ui: &mut Ui, name: &str, place: egui::Rect, contents: impl FnOnce(&mut Ui)) {
    let builder = UiBuilder::new().id_salt(name).max_rect(place).layout(Layout::top_down(Align::Min));
    ui.scope_builder(builder, contents);
}

/// What the table is, what comes of it and what to do with it; always as high.
fn head(
    ui: &mut Ui,
    table: &TableImport,
    preview: Option<&TablePreview>,
    currency: &Currency,
    actions: &mut Vec<Action>,
) {
    heading(ui, "Bring in a table");
    ui.add(Label::new(RichText::new(outcome(table, preview, currency)).size(SMALL)).truncate());
    ui.horizontal(|ui| {
        let count = preview.and_then(|preview| preview.card.as_ref()).map(|card| card.shades().len());
        let words =
            count.map_or_else(|| "Bring in".to_owned(), |count| format!("Bring in {}", shades(count)));
        let button = Button::new(RichText::new(words).family(semibold())).min_size(Vec2::new(150.0, 30.0));
        let tip = "As a card of its own; the lines set aside stay out, and undo takes the card away again";
        if ui.add_enabled(count.is_some(), button).on_hover_text(tip).clicked() {
            actions.push(Action::Cards(CardAction::TakeIn));
        }
        let tip = "Mend the table in the spreadsheet, save it, and read it anew";
        if ui.button("Read it again").on_hover_text(tip).clicked() {
            actions.push(Action::Cards(CardAction::ImportAgain));
        }
        if ui.button("Cancel").on_hover_text("Nothing comes in").clicked() {
            actions.push(Action::Cards(CardAction::ForgetTable));
        }
    });
}

/// In one line.
fn outcome(table: &TableImport, preview: Option<&TablePreview>, currency: &Currency) -> String {
    let name = table.file_name();
    let Some(preview) = preview else { return format!("{name}: looking through it…") };
    if let Some(lacks) = &preview.lacks {
        return match lacks {
            HeadingFault::NoName => {
                format!("{name}: no heading says which column holds the name: say it below.")
            }
            HeadingFault::NoColour => {
                format!("{name}: no heading says which columns hold the colour: say it below.")
            }
            HeadingFault::Twice(_) => format!("{name}: {lacks}."),
        };
    }
    if let Some(reason) = &preview.no_card {
        return format!("{name}: {reason}");
    }
    let mut words = match preview.card.as_ref() {
        Some(card) => {
            format!("{name}: {} of {} lines are sound", card.shades().len(), table.table.rows.len())
        }
        None => format!("{name}: no line is sound"),
    };
    if let Some(written) = &preview.currency {
        words = format!("{words}, prices in {written}");
        let own = currency.written();
        if !own.is_empty() && !currency.is_written(written) {
            words = format!("{words} where the project's are in {own}: they come in as they stand");
        }
    }
    if let Some((code, lines)) = preview.twice.first() {
        let lines: Vec<String> = lines.iter().map(u64::to_string).collect();
        words = format!("{words}, code {code} stands in lines {}", lines.join(", "));
        if preview.twice.len() > 1 {
            words = format!("{words}{} codes stand twice", and_more(preview.twice.len() - 1));
        }
    }
    if let Some((line, said)) = preview.unpriced.first() {
        let others = and_more(preview.unpriced.len() - 1);
        words = format!("{words}, line {line}{others} without a price ('{said}')");
    }
    if let Some((line, said)) = preview.unknown_fibres.first() {
        let others = and_more(preview.unknown_fibres.len() - 1);
        words = format!("{words}, line {line}{others} of a fibre that is not known ('{said}')");
    }
    words + "."
}

fn columns(ui: &mut Ui, table: &TableImport, actions: &mut Vec<Action>) {
    ui.label(RichText::new("Which column holds what").family(semibold()));
    caption(ui, "A name and a colour are needed; choose what the headings do not say.");
    ScrollArea::vertical().id_salt("columns").auto_shrink([false, false]).follow(ui, |ui| {
        let options = || {
            let fields = ShadeField::ALL.iter().map(|field| (Some(*field), field.title()));
            std::iter::once((None, "Left out")).chain(fields)
        };
        for (column, title) in table.table.headings.iter().enumerate() {
            let samples: Vec<&str> = table
                .table
                .rows
                .iter()
                .take(SAMPLES)
                .filter_map(|row| row.cells.get(column).map(String::as_str).filter(|cell| !cell.is_empty()))
                .collect();
            let empty = title.is_empty() && samples.is_empty();
            if empty {
                continue;
            }
            ui.push_id(column, |ui| {
                ui.horizontal(|ui| {
                    let words = ui.available_width() - CHOICE - 3.0 * STEP;
                    let title = if title.is_empty() { "(no heading)" } else { title };
                    ui.allocate_ui(Vec2::new(words, 36.0), |ui| {
                        ui.vertical(|ui| {
                            ui.set_width(words);
                            ui.spacing_mut().item_spacing.y = 0.0;
                            ui.add(Label::new(title).truncate());
                            let samples = RichText::new(samples.join(" · ")).size(SMALL).weak();
                            ui.add(Label::new(samples).truncate());
                        });
                    });
                    let before = table.matching.field_of(column);
                    let mut field = before;
                    let label = format!("Column {}, {title}, holds", column + 1);
                    one_of_in(ui, CHOICE, &label, options(), &mut field);
                    if field != before {
                        actions.push(Action::Cards(CardAction::Column(column, field)));
                    }
                });
            });
        }
    });
}

/// The shades as they would come in.
fn sound(ui: &mut Ui, state: &State, preview: Option<&TablePreview>, units: LengthUnit) {
    ui.label(RichText::new("What comes in").family(semibold()));
    let Some(preview) = preview else { return };
    let Some(card) = &preview.card else {
        caption(ui, "Nothing yet.");
        return;
    };
    let rows = card.shades().len();
    let area = ScrollArea::vertical().id_salt("sound").auto_shrink([false, false]);
    area.show_rows(ui, ROW, rows, |ui, range| {
        for (shade, line) in card.shades()[range.clone()].iter().zip(&preview.lines[range]) {
            let (rect, response) =
                ui.allocate_exact_size(Vec2::new(ui.available_width() - STEP, ROW), Sense::hover());
            let swatch =
                egui::Rect::from_min_size(rect.min + Vec2::new(0.0, 3.0), Vec2::new(30.0, ROW - 6.0));
            paint_swatch(ui, swatch, shade.colour, &[], state.eyes);
            let text = rect.with_min_x(swatch.max.x + STEP);
            let words = words(shade, *line, units);
            let builder = UiBuilder::new().max_rect(text).layout(Layout::left_to_right(Align::Center));
            ui.scope_builder(builder, |ui| ui.add(Label::new(words.as_str()).truncate()));
            response.on_hover_text(format!("{words}. {}", shade.colour.to_hex()));
        }
    });
}

/// `Line 3: 101 Tarred fence, 75 % wool, 50 g, 110 m, 5.45`.
fn words(shade: &Shade, line: u64, units: LengthUnit) -> String {
    let mut parts = vec![[shade.code.as_str(), shade.name.as_str()].join(" ").trim().to_owned()];
    if !shade.fibre.is_empty() {
        parts.push(shade.fibre.clone());
    }
    if let Some(put_up) = shade.put_up {
        let decimals = usize::from(units == LengthUnit::Imperial);
        let (grams, metres) =
            (units.from_grams(put_up.ball_g()), units.from_metres(put_up.metres_per_ball()));
        let (mass, length) = (units.mass_suffix(), units.yarn_suffix());
        parts.push(format!("{metres:.0} {length} / {grams:.decimals$} {mass}"));
    }
    parts.extend(shade.ball_price.map(|price| price.to_string()));
    format!("Line {line}: {}", parts.join(", "))
}

/// The lines that stay out, with all that is wrong in each.
fn aside(ui: &mut Ui, preview: Option<&TablePreview>) {
    ui.label(RichText::new("Set aside").family(semibold()));
    let Some(preview) = preview else { return };
    if preview.set_aside.is_empty() {
        caption(ui, if preview.lacks.is_some() { "Nothing yet." } else { "Every line is sound." });
        return;
    }
    let fill = Tokens::of(ui).text;
    ScrollArea::vertical().id_salt("aside").auto_shrink([false, false]).follow(ui, |ui| {
        for (line, why) in &preview.set_aside {
            let text = RichText::new(format!("Line {line}: {why}")).size(SMALL).color(fill);
            ui.add(Label::new(text).wrap().selectable(true));
        }
    });
}
