//! The same piece in two yarns or weight classes side by side.

use egui::{Align2, FontId, Label, Rect, RichText, Role, ScrollArea, Sense, Ui, Vec2, WidgetInfo, vec2};

use crate::app::Action;
use crate::app::state::State;
use crate::chart::Cell;
use crate::project::{Project, Side, SideFigures};
use crate::ui::colours::seen;
use crate::ui::shopping::sums;
use crate::ui::theme::{BODY, CORNER, STEP, Tokens, semibold};
use crate::ui::widgets::{Follow, caption, heading, name, one_of_in, one_scale, paint_stitches, truncated};
use crate::units::{both_lengths, hours_words};
use crate::yarn::WeightClass;

/// Width of the column that says what a row holds.
const WHAT: f32 = 136.0;
/// Least and greatest width of a side.
const COLUMN: (f32, f32) = (260.0, 420.0);
/// Height of a row, and of the drawn repeat.
const ROW: f32 = 24.0;
const TALL: f32 = 168.0;
/// What each column is called by assistive tools.
const SIDES: [&str; 2] = ["First side", "Second side"];

/// What the page remembers between frames.
#[derive(Default)]
pub struct SideView {
    sides: Option<[Side; 2]>,
}

/// A row of the table: what it holds, its figure on both sides, and where it comes from.
struct Row {
    what: &'static str,
    cells: [String; 2],
    tip: String,
}

/// Shows the page.
pub fn show(ui: &mut Ui, state: &State, view: &mut SideView) -> Vec<Action> {
    let mut actions = Vec::new();
    let tokens = Tokens::of(ui);
    let frame = egui::Frame::new().fill(tokens.rail).inner_margin(STEP * 1.5);
    egui::CentralPanel::no_frame().frame(frame).show(ui, |ui| {
        ScrollArea::vertical()
            .auto_shrink([false, false])
            .follow(ui, |ui| page(ui, state, view, &mut actions));
    });
    actions
}

fn page(ui: &mut Ui, state: &State, view: &mut SideView, actions: &mut Vec<Action>) {
    let project = state.project();
    let column = ((ui.available_width() - WHAT - 2.0 * STEP) / 2.0).clamp(COLUMN.0, COLUMN.1);
    heading(ui, "The same piece in two yarns");
    caption(
        ui,
        "As large in cm and with its colours where they are. Choose your yarn, one you kept, or a weight class.",
    );
    ui.add_space(STEP / 2.0);
    let sides = view.sides.get_or_insert_with(|| project.first_sides());
    choose(ui, state, sides, column);
    let asked = sides.clone();
    let found = state.desks.side_by_side(&state.document, &state.own_yarns, &state.jobs, asked).value();
    match found.as_deref() {
        None => {
            caption(ui, "Working it out…");
        }
        Some(Err(reason)) => {
            caption(ui, format!("Not possible: {reason}"));
        }
        Some(Ok(found)) => {
            if let [one, other] = found.as_slice() {
                let rows = rows(project, [one, other]);
                let half = rows.iter().position(|row| row.what == WARMTH).unwrap_or(rows.len());
                ui.spacing_mut().item_spacing.y = 0.0;
                table(ui, &rows[..half], column);
                pictures(ui, state, [one, other], column);
                table(ui, &rows[half..], column);
                ui.add_space(STEP);
                take(ui, project, sides, [one, other], (column, actions));
                foot(ui, [one, other]);
            }
        }
    }
}

fn choose(ui: &mut Ui, state: &State, sides: &mut [Side; 2], column: f32) {
    let own = state.project().material.yarn.as_ref();
    let own = own
        .map_or_else(|| "As the project stands".to_owned(), |yarn| format!("{} (this project)", yarn.name));
    let mut choices = vec![(Side::Project, own)];
    for yarn in state.own_yarns.yarns().iter() {
        choices.push((Side::Yarn(Box::new(yarn.clone())), format!("{} (kept)", yarn.name)));
    }
    for class in WeightClass::ALL {
        choices.push((Side::Class(class), format!("Weight {}, {}", class.number(), class.name())));
    }
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 0.0;
        ui.add_space(WHAT);
        for (side, label) in sides.iter_mut().zip(SIDES) {
            one_of_in(ui, column - 2.0 * STEP, label, choices.clone(), side);
            ui.add_space(2.0 * STEP);
        }
    });
    ui.add_space(STEP / 2.0);
}

fn rows(project: &Project, sides: [&SideFigures; 2]) -> Vec<Row> {
    let units = project.units;
    let row = |what, tip: &str, cell: &dyn Fn(&SideFigures) -> String| Row {
        what,
        cells: sides.map(cell),
        tip: tip.to_owned(),
    };
    let (factor, base) = (units.gauge_factor(), units.gauge_base());
    let smallest = |found: Option<(f64, u32)>| {
        found.map_or_else(
            || "None at this proportion".to_owned(),
            |(cm, stitches)| format!("{} across, {stitches} stitches", both_lengths(cm, units)),
        )
    };
    let each = |of: fn(&SideFigures) -> &str| {
        let [one, other] = sides.map(of);
        format!("Left: {one} Right: {other}")
    };
    vec![
        row("Gauge", &each(|side| side.gauge_from.as_str()), &|side| {
            let (stitches, rows) = (side.gauge.stitches.get() * factor, side.gauge.rows.get() * factor);
            format!("{stitches:.1} × {rows:.1} in {base}")
        }),
        row("Stitches", "Of the whole piece; they go with the gauge across and up.", &|side| {
            side.stitches.to_string()
        }),
        row("Time", "At your pace (Pieces), before sewing up and weaving in.", &|side| {
            hours_words(side.hours)
        }),
        row("Yarn", "Likely, as Shopping counts it.", &|side| sums::length(units, side.sum.metres().likely)),
        row("Weighs", "Likely, as Shopping counts it.", &|side| sums::mass(units, side.sum.grams().likely)),
        row(
            "Balls in all",
            "Whole balls of every colour, on the upper figure; nothing on hand is taken off, on either side.",
            &|side| {
                let ball = sums::mass(units, side.yarn.put_up.ball_g());
                format!("{} of {ball}", sums::balls(side.sum.balls()))
            },
        ),
        row(
            "Cost in all",
            &each(|side| if side.price_from.is_empty() { "No price is known." } else { &side.price_from }),
            &|side| side.sum.cost().map_or_else(|| UNPRICED.to_owned(), |cost| project.currency.told(cost)),
        ),
        row("To buy", "As Shopping counts it: what is on hand is of the yarn of this project.", &|side| {
            let balls = sums::balls(side.to_buy.balls());
            let cost = side.to_buy.cost().map(|cost| format!(", {}", project.currency.told(cost)));
            let on_hand = if side.on_hand { "on hand taken off" } else { "none of it is on hand" };
            format!("{balls}{}; {on_hand}", cost.unwrap_or_default())
        }),
        row(
            "Smallest square",
            "The smallest that can be told for a square at this gauge (motif fit).",
            &|side| smallest(side.smallest_square),
        ),
        row(
            "Smallest circle",
            "The smallest that can be told for a circle at this gauge (motif fit).",
            &|side| smallest(side.smallest_circle),
        ),
        row(WARMTH, PRACTICE, &|side| side.meaning.warmth.to_owned()),
        row("Drape (judged)", PRACTICE, &|side| side.meaning.drape.to_owned()),
        row("Fabric", "Plain, at this gauge, by the thickness of the strand.", &|side| {
            side.cover.words().split([':', ';']).next().unwrap_or_default().to_owned()
        }),
    ]
}

const UNPRICED: &str = "No price is known";
const WARMTH: &str = "Warmth (judged)";
const PRACTICE: &str =
    "Of the weight class: common practice, no published source. Fibre and spin count as well.";

fn table(ui: &mut Ui, rows: &[Row], column: f32) {
    let tokens = Tokens::of(ui);
    for (place, row) in rows.iter().enumerate() {
        let (rect, response) = ui.allocate_exact_size(vec2(WHAT + 2.0 * column, ROW), Sense::hover());
        let said = format!("{}: {} against {}", row.what, row.cells[0], row.cells[1]);
        response.widget_info(|| WidgetInfo::labeled(Role::Label, true, &said));
        if place % 2 == 0 {
            ui.painter().rect_filled(rect, 3, tokens.panel);
        }
        let text = |left: f32, words: &str, ink, width: f32| {
            let words = truncated(ui, words, FontId::proportional(BODY), ink, width);
            let at = egui::pos2(rect.left() + left, rect.center().y - words.size().y / 2.0);
            ui.painter().galley(at, words, ink);
        };
        text(STEP / 2.0, row.what, tokens.weak, WHAT - STEP);
        for (side, cell) in row.cells.iter().enumerate() {
            text(WHAT + side as f32 * column, cell, tokens.text, column - STEP);
        }
        response.on_hover_text(&row.tip);
    }
}

/// The repeat of the chart in both, at one scale.
fn pictures(ui: &mut Ui, state: &State, sides: [&SideFigures; 2], column: f32) {
    ui.add_space(STEP / 2.0);
    let (rect, _) = ui.allocate_exact_size(vec2(WHAT + 2.0 * column, TALL + ROW), Sense::hover());
    let tokens = Tokens::of(ui);
    ui.painter().text(
        rect.min + vec2(STEP / 2.0, 4.0),
        Align2::LEFT_TOP,
        "The repeat",
        FontId::proportional(BODY),
        tokens.weak,
    );
    let drawn = sides.map(|side| side.repeat.as_ref());
    let sizes = drawn.iter().flatten().map(|at| (at.width_cm, at.height_cm));
    let scale = one_scale(vec2(column - 2.0 * STEP, TALL - STEP), sizes);
    let slots = state.project().palette.slots();
    let shown = |slot: usize| slots.get(slot).map_or(tokens.field, |slot| seen(slot.colour, state.eyes));
    let ground = shown(state.project().background_slot().min(Cell::MAX_SLOTS));
    for (place, at) in drawn.into_iter().enumerate() {
        let left = rect.left() + WHAT + place as f32 * column;
        let field = Rect::from_min_size(egui::pos2(left, rect.top()), vec2(column - STEP, TALL));
        ui.painter().rect_filled(field, CORNER, ground);
        let words = match at {
            Err(reason) => reason.clone(),
            Ok(at) => match &at.stitches {
                None => "More stitches than a chart holds".to_owned(),
                Some(grid) => {
                    let size = Vec2::new(at.width_cm as f32, at.height_cm as f32) * scale;
                    let inside = Rect::from_center_size(field.center(), size);
                    let shape = (at.gauge.cell_aspect() as f32, f32::INFINITY);
                    paint_stitches(ui.painter(), inside, grid, shape, shown);
                    let verdict = at.verdict();
                    format!("{} × {} stitches. {verdict}", grid.width(), grid.height())
                }
            },
        };
        let response = ui.interact(field, egui::Id::unique(("repeat on side", place)), Sense::hover());
        response.widget_info(|| WidgetInfo::labeled(Role::Image, true, format!("{}: {words}", SIDES[place])));
        let words = truncated(ui, words, FontId::proportional(BODY), tokens.text, column - STEP);
        ui.painter().galley(field.left_bottom() + vec2(0.0, 3.0), words, tokens.text);
    }
    ui.add_space(STEP / 2.0);
}

/// The button that knits the project in a kept yarn, under its side.
fn take(
    ui: &mut Ui,
    project: &Project,
    sides: &[Side; 2],
    found: [&SideFigures; 2],
    (column, actions): (f32, &mut Vec<Action>),
) {
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 0.0;
        ui.add_space(WHAT);
        for (place, (side, figures)) in sides.iter().zip(found).enumerate() {
            ui.allocate_ui_with_layout(
                vec2(column, 28.0),
                egui::Layout::left_to_right(egui::Align::Center),
                |ui| {
                    ui.set_min_width(column);
                    let Side::Yarn(yarn) = side else { return };
                    // While the figures are still those of another choice, nothing is knitted in it.
                    if figures.yarn != **yarn {
                        return;
                    }
                    let replaced = project.replaced_by(yarn);
                    let tip = format!("{replaced} The gauge stays as planned until a swatch says otherwise.");
                    let button =
                        ui.push_id(place, |ui| ui.button("Knit it in this")).inner.on_hover_text(tip);
                    name(&button, &format!("Knit it in {}", yarn.name));
                    if button.clicked() {
                        actions.push(Action::edit("Knit in another yarn", project.knit_in_yarn(yarn)));
                        actions.push(Action::Done(format!("Knitted in {} now. {replaced}", yarn.name)));
                    }
                },
            );
        }
    });
}

fn foot(ui: &mut Ui, sides: [&SideFigures; 2]) {
    let size = &sides[0].size;
    ui.add_space(STEP);
    let words = format!(
        "Size: {size}. Stitches go with both gauges, floats with the rows, edges with the stitches (geometry); yarn and \
         balls are counted as everywhere. A class stands for a typical yarn at the middle of its published gauge. Warmth \
         and drape are common practice, no published source: the swatch decides."
    );
    ui.add(Label::new(RichText::new(words).small().color(Tokens::of(ui).weak)).wrap());
    for (side, figures) in SIDES.into_iter().zip(sides) {
        ui.label(RichText::new(format!("{side}: {}", figures.name)).family(semibold()).small());
        caption(ui, format!("{} {}", figures.gauge_from, figures.price_from));
    }
    ui.add_space(STEP);
}
