//! The table of shades. Only the rows in sight are made, so that thousands stay fluid.

use egui::{
    Align, EventFilter, FontFamily, FontId, Id, Key, Layout, Rect, Response, Role, ScrollArea, Sense, Shape,
    Stroke, StrokeKind, Ui, Vec2, WidgetInfo, pos2, vec2,
};
use egui_extras::{Column, TableBuilder, TableRow};

use super::ShadesView;
use crate::app::state::State;
use crate::app::view::Eyes;
use crate::ui::colours::seen;
use crate::ui::theme::{SMALL, Tokens, semibold};
use crate::ui::widgets::{Follow, Icon, focus_ring, truncated};
use crate::units::{Currency, LengthUnit};
use crate::yarn::{Fitness, Needs, OnHand, Shade, ShadeCard, ShadeQuery, SortBy, Stock, VariationKind};

const ROW: f32 = 26.0;
const GAP: f32 = 8.0;
const SWATCH: f32 = 38.0;
/// From this width on there is room for every column.
const WIDE: f32 = 740.0;
/// Columns grow up to this much in a wide window.
const STRETCH: f32 = 1.5;
/// Rows that Page up and Page down pass over.
const PAGE: isize = 16;

/// A column of text.
struct Field {
    /// Heading in metric and in imperial units.
    heading: [&'static str; 2],
    /// What it says on hover.
    tip: &'static str,
    /// Clicking the heading sorts by this.
    sort: Option<SortBy>,
    /// Width; the least when it grows.
    width: f32,
    /// Takes a part of the room that is left.
    grows: bool,
    /// Figures stand to the right.
    is_figure: bool,
    text: fn(&Shade, LengthUnit, &OnHand) -> String,
}

const FIELDS: [Field; 12] = [
    field(["Name"; 2], "What the shade is called", Some(SortBy::Name), 92.0, false, |shade, _, _| {
        shade.name.clone()
    })
    .growing(),
    field(["Code"; 2], "The maker's number", Some(SortBy::Code), 40.0, false, |shade, _, _| {
        shade.code.clone()
    }),
    field(["Fibre"; 2], "What it is spun of", Some(SortBy::Fibre), 84.0, false, |shade, _, _| {
        shade.fibre.clone()
    })
    .growing(),
    field(["Wt"; 2], "Weight class, 0 to 7", Some(SortBy::Weight), 26.0, true, |shade, _, _| {
        shade.weight_class.map_or_else(String::new, |class| class.to_string())
    }),
    field(["m/100 g", "yd/100 g"], "Length in 100 g", None, 50.0, true, grist),
    field(["Ball"; 2], "What a ball weighs", None, 44.0, true, |shade, units, _| {
        shade.put_up.map_or_else(String::new, |put_up| {
            let decimals = usize::from(units == LengthUnit::Imperial) * 2;
            format!("{:.decimals$} {}", units.from_grams(put_up.ball_g()), units.mass_suffix())
        })
    }),
    field(["Price"; 2], "Price of a ball", Some(SortBy::Price), 42.0, true, |shade, _, _| {
        shade.ball_price.map_or_else(String::new, |price| price.to_string())
    }),
    field(["Stock"; 2], "Balls on hand, or whether it can be had", None, 62.0, false, |shade, _, on_hand| {
        stock(shade, on_hand)
    }),
    field(["Lot"; 2], "Dye lot", None, 38.0, false, |shade, _, _| shade.dye_lot.clone()),
    field(
        ["L*"; 2],
        "Value: lightness L*, 0 black to 100 white",
        Some(SortBy::Value),
        30.0,
        true,
        |shade, _, _| format!("{:.0}", shade.colour.lstar()),
    ),
    field(
        ["Hue"; 2],
        "Hue on the Oklch circle; a grey has none",
        Some(SortBy::Hue),
        34.0,
        true,
        |shade, _, _| {
            shade.colour.hue().map_or_else(String::new, |hue| format!("{:.0}°", hue.round() % 360.0))
        },
    ),
    field(["Chroma"; 2], "How far from grey (Oklch)", Some(SortBy::Chroma), 48.0, true, |shade, _, _| {
        format!("{:.3}", shade.colour.chroma())
    }),
];

const fn field(
    heading: [&'static str; 2],
    tip: &'static str,
    sort: Option<SortBy>,
    width: f32,
    is_figure: bool,
    text: fn(&Shade, LengthUnit, &OnHand) -> String,
) -> Field {
    Field { heading, tip, sort, width, grows: false, is_figure, text }
}

impl Field {
    const fn growing(mut self) -> Self {
        self.grows = true;
        self
    }

    const fn heading(&self, units: LengthUnit) -> &'static str {
        match units {
            LengthUnit::Metric => self.heading[0],
            LengthUnit::Imperial => self.heading[1],
        }
    }
}

fn grist(shade: &Shade, units: LengthUnit, _: &OnHand) -> String {
    shade.put_up.map_or_else(String::new, |put_up| format!("{:.0}", units.from_metres(put_up.grist.get())))
}

/// Stock in a word or two; what the project has of it goes before what the card says.
fn stock(shade: &Shade, on_hand: &OnHand) -> String {
    let balls = on_hand.balls(shade);
    let decimals = usize::from(balls.fract() != 0.0);
    match shade.stock {
        _ if balls > 0.0 => format!("{balls:.decimals$} on hand"),
        Stock::Out => "out".to_owned(),
        Stock::InStock | Stock::Owned(_) => "to buy".to_owned(),
    }
}

/// Shows the shades in these places of the card.
pub fn show(ui: &mut Ui, state: &State, view: &mut ShadesView, card: &ShadeCard, places: &[usize]) {
    let fields = if ui.available_width() < WIDE { &FIELDS[..FIELDS.len() - 1] } else { &FIELDS[..] };
    let stretch = (ui.available_width() / WIDE).clamp(1.0, STRETCH);
    let list = list_box(ui, view, card, places);
    ScrollArea::horizontal().auto_shrink([false, false]).follow(ui, |ui| {
        ui.spacing_mut().item_spacing = vec2(GAP, 0.0);
        let mut table = TableBuilder::new(ui)
            .id_salt("shades")
            .auto_shrink([false, false])
            .cell_layout(Layout::left_to_right(Align::Center))
            .column(Column::exact(SWATCH * stretch).clip(false));
        for field in fields {
            let column = if field.grows {
                Column::remainder().at_least(field.width)
            } else {
                Column::exact(field.width * stretch)
            };
            table = table.column(column.clip(true));
        }
        if std::mem::replace(&mut view.reveal, false)
            && let Some(row) = places.iter().position(|place| *place == view.chosen)
        {
            table = table.scroll_to_row(row, None);
        }
        let (units, currency) = (state.project().units, &state.project().currency);
        table
            .header(ROW, |mut header| headings(&mut header, fields, (units, currency), &mut view.query))
            .body(|body| {
                let width = body.widths().iter().map(|width| width + GAP).sum::<f32>();
                body.rows(ROW, places.len(), |mut row| {
                    let place = places[row.index()];
                    let Some(shade) = card.shades().get(place) else { return };
                    let mark = Mark { chosen: place == view.chosen, has_focus: list.has_focus() };
                    if shade_row(&mut row, state, (place, shade), fields, width, mark) {
                        view.chosen = place;
                        list.request_focus();
                    }
                });
            });
    });
    if list.has_focus() && !places.contains(&view.chosen) {
        focus_ring(ui, list.rect);
    }
}

/// The list as one stop of the keyboard: arrows, Page, Home and End move the choice.
fn list_box(ui: &Ui, view: &mut ShadesView, card: &ShadeCard, places: &[usize]) -> Response {
    let rect = ui.available_rect_before_wrap();
    let list = ui.interact(rect, ui.scope_id().with("list of shades"), Sense::focusable_noninteractive());
    let chosen = card.shades().get(view.chosen).map_or("", |shade| shade.name.as_str());
    list.widget_info(|| {
        WidgetInfo::labeled(Role::ListBox, true, format!("Shades on the card; chosen: {chosen}"))
    });
    if list.has_focus() {
        let filter = EventFilter { vertical_arrows: true, ..EventFilter::default() };
        ui.memory_mut(|memory| memory.set_focus_lock_filter(list.id, filter));
        let steps = [
            (Key::ArrowDown, 1),
            (Key::ArrowUp, -1),
            (Key::PageDown, PAGE),
            (Key::PageUp, -PAGE),
            (Key::Home, isize::MIN),
            (Key::End, isize::MAX),
        ];
        for (key, step) in steps {
            if ui.input(|input| input.key_pressed(key)) {
                let at = places.iter().position(|place| *place == view.chosen);
                let to = at.map_or(0, |at| at.saturating_add_signed(step).min(places.len() - 1));
                if let Some(place) = places.get(to) {
                    view.choose(*place);
                }
            }
        }
    }
    list
}

fn headings(
    header: &mut TableRow<'_, '_>,
    fields: &[Field],
    (units, currency): (LengthUnit, &Currency),
    query: &mut ShadeQuery,
) {
    header.col(|ui| {
        heading(ui, "Card", "As the shades stand on the card", Some(SortBy::Card), false, query);
    });
    for field in fields {
        let mut title = field.heading(units).to_owned();
        if field.sort == Some(SortBy::Price) && !currency.written().is_empty() {
            title = format!("{title} {}", currency.written());
        }
        header.col(|ui| heading(ui, &title, field.tip, field.sort, field.is_figure, query));
    }
}

/// A heading; a click sorts by it, another the other way round.
fn heading(ui: &Ui, text: &str, tip: &str, sort: Option<SortBy>, is_figure: bool, query: &mut ShadeQuery) {
    let rect = ui.max_rect();
    let sense = if sort.is_some() { Sense::click() } else { Sense::hover() };
    let response = ui.interact(rect, ui.scope_id().with("heading"), sense);
    let sorted = sort == Some(query.sort);
    let label =
        sort.map_or_else(|| text.to_owned(), |sort| format!("Sort by {}", sort.name().to_lowercase()));
    response.widget_info(|| match sort {
        Some(_) => WidgetInfo::selected(Role::Button, true, sorted, &label),
        None => WidgetInfo::labeled(Role::Label, true, &label),
    });
    let tokens = Tokens::of(ui);
    if sort.is_some() && response.hovered() {
        ui.painter().rect_filled(rect.expand2(vec2(GAP / 2.0, 0.0)), 3, tokens.hover);
    }
    let (ink, family) =
        if sorted { (tokens.text, semibold()) } else { (tokens.weak, FontFamily::Proportional) };
    let galley = cell_text(ui, text.to_owned(), is_figure, FontId::new(SMALL, family), ink);
    if sorted && (query.sort != SortBy::Card || query.descending) {
        mark(ui, galley, query.descending);
    }
    if response.has_focus() {
        focus_ring(ui, rect.expand2(vec2(GAP / 2.0, 0.0)));
    }
    if response.on_hover_text(tip).clicked()
        && let Some(sort) = sort
    {
        query.descending = sorted && !query.descending;
        query.sort = sort;
    }
}

/// A small triangle over the text: upwards when the figures rise down the table.
fn mark(ui: &Ui, text: Rect, descending: bool) {
    let (x, y) = (text.center().x, text.top() - 1.0);
    let (tip, foot) = if descending { (2.0, -2.0) } else { (-2.0, 2.0) };
    let points = vec![pos2(x - 4.0, y + foot), pos2(x + 4.0, y + foot), pos2(x, y + tip)];
    ui.painter().add(Shape::convex_polygon(points, Tokens::of(ui).text, Stroke::NONE));
}

/// How a row stands out.
#[derive(Clone, Copy)]
struct Mark {
    /// Its shade is in the fields.
    chosen: bool,
    /// The list has the keyboard.
    has_focus: bool,
}

/// One shade; whether it was clicked.
fn shade_row(
    row: &mut TableRow<'_, '_>,
    state: &State,
    (place, shade): (usize, &Shade),
    fields: &[Field],
    width: f32,
    mark: Mark,
) -> bool {
    let units = state.project().units;
    let on_hand = state.project().on_hand();
    let texts: Vec<String> = fields.iter().map(|field| (field.text)(shade, units, &on_hand)).collect();
    let refused = state.project().material.needs.and_then(|needs| refusal(needs, shade));
    let even = row.index().is_multiple_of(2);
    let mut clicked = false;
    row.col(|ui| {
        // The ground of the whole row, under the cells that follow.
        let cell = ui.max_rect();
        let ground = Rect::from_min_size(cell.min - vec2(GAP / 2.0, 0.0), vec2(width, cell.height()));
        let response = ui.interact(ground, Id::unique(("shade", place)), Sense::CLICK);
        response.widget_info(|| {
            let why = refused.as_ref().map_or_else(String::new, |why| format!(", {why}"));
            let label = label(shade, fields, &texts, units);
            WidgetInfo::selected(Role::ListBoxOption, true, mark.chosen, format!("{label}{why}"))
        });
        let tokens = Tokens::of(ui);
        let fill = match (mark.chosen, response.hovered()) {
            (true, _) => Some(tokens.chosen),
            (false, true) => Some(tokens.hover),
            (false, false) => even.then_some(tokens.field),
        };
        if let Some(fill) = fill {
            ui.painter().rect_filled(ground, 0, fill);
        }
        let swatch = cell.shrink2(Vec2::new(1.0, 3.0));
        ui.painter().rect_filled(swatch, 3, seen(shade.colour, state.eyes));
        other_colours(ui, swatch, shade, state.eyes);
        ui.painter().rect_stroke(swatch, 3, Stroke::new(1.0, tokens.edge), StrokeKind::Inside);
        if mark.chosen && mark.has_focus {
            focus_ring(ui, ground.shrink2(vec2(GAP / 2.0, 0.0)));
        }
        clicked = response.clicked();
        let varies = shade.varies.as_ref().map(|varies| varies.kind.name());
        let tips: Vec<&str> = refused.as_deref().into_iter().chain(varies).collect();
        if !tips.is_empty() {
            response.on_hover_text(tips.join("\n"));
        }
    });
    for (field, text) in fields.iter().zip(texts) {
        row.col(|ui| {
            if refused.is_some() && field.sort == Some(SortBy::Fibre) {
                let cell = ui.max_rect();
                let mark = Rect::from_min_size(pos2(cell.left(), cell.center().y - 6.0), Vec2::splat(12.0));
                Icon::Warning.paint(ui.painter(), mark, Tokens::of(ui).text);
                let rest = Rect::from_min_max(cell.min + vec2(15.0, 0.0), cell.max);
                let font = FontId::proportional(SMALL + 1.0);
                let galley = truncated(ui, text, font, Tokens::of(ui).text, rest.width());
                let at = pos2(rest.left(), rest.center().y - galley.size().y / 2.0);
                ui.painter().galley(at, galley, Tokens::of(ui).text);
                return;
            }
            cell_text(ui, text, field.is_figure, FontId::proportional(SMALL + 1.0), Tokens::of(ui).text);
        });
    }
    clicked
}

/// The other colours of a yarn that changes: spots, or stretches beside its own colour.
fn other_colours(ui: &Ui, swatch: Rect, shade: &Shade, eyes: Eyes) {
    let Some(varies) = shade.varies.as_ref().filter(|varies| varies.kind.is_busy()) else { return };
    let count = varies.others.len() as f32;
    for (place, colour) in varies.others.iter().enumerate() {
        let at = place as f32;
        let ink = seen(*colour, eyes);
        if varies.kind == VariationKind::LongChanges {
            let wide = swatch.width() / (count + 1.0);
            let left = swatch.left() + wide * (at + 1.0);
            let part = Rect::from_min_size(pos2(left, swatch.top()), vec2(wide, swatch.height()));
            ui.painter().rect_filled(part, 0, ink);
        } else {
            for (number, share) in [0.2, 0.5, 0.8].into_iter().enumerate() {
                let x = swatch.left() + swatch.width() * (share + 0.06 * (at - count / 2.0));
                let y = swatch.top() + swatch.height() * (0.3 + 0.4 * ((number + place) % 2) as f32);
                ui.painter().circle_filled(pos2(x, y), 1.6, ink);
            }
        }
    }
}

/// Why a shade is not for this piece, when it is not.
fn refusal(needs: Needs, shade: &Shade) -> Option<String> {
    let (fitness, why) = needs.judge_shade(shade);
    (fitness == Fitness::Differs).then(|| format!("Not for this piece: {why}. {}", needs.washing_reason()))
}

/// The row in words: what is known of the shade, under the headings.
fn label(shade: &Shade, fields: &[Field], texts: &[String], units: LengthUnit) -> String {
    let known = fields.iter().zip(texts).skip(1).filter(|(_, text)| !text.is_empty());
    let known = known.map(|(field, text)| format!("{} {text}", field.heading(units).to_lowercase()));
    let known = known.chain(shade.varies.as_ref().map(|varies| varies.kind.name().to_lowercase()));
    std::iter::once(shade.name.clone()).chain(known).collect::<Vec<_>>().join(", ")
}

/// Writes a text into the cell, cut to its width; where it stands.
fn cell_text(ui: &Ui, text: String, to_the_right: bool, font: FontId, ink: egui::Color32) -> Rect {
    let cell = ui.max_rect();
    let galley = truncated(ui, text, font, ink, cell.width());
    let x = if to_the_right { cell.right() - galley.size().x } else { cell.left() };
    let at = pos2(x, cell.center().y - galley.size().y / 2.0);
    let rect = Rect::from_min_size(at, galley.size());
    ui.painter().galley(at, galley, ink);
    rect
}
