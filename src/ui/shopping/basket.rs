//! One row a colour: what it takes, what is on hand, what to buy and what it costs.

use std::collections::BTreeSet;

use egui::{Align, CornerRadius, Frame, Label, Margin, Response, RichText, Sense, Ui, Vec2};

use super::sums::{self, cell, row};
use crate::app::Action;
use crate::app::state::State;
use crate::export::card::tolerance;
use crate::export::symbols::{Mark, distinct_marks};
use crate::knit::pieces::ColourYarn;
use crate::project::shopping::{LotAdvice, Shopping};
use crate::project::{Edit, Palette, Project, Slot, SlotYarn, code_and_role};
use crate::ui::theme::{BODY, CORNER, SMALL, STEP, Tokens, semibold};
use crate::ui::widgets::{
    FieldWords, Form, Icon, NumberField, ball_field, band_field, caption, paint_swatch, price_field,
    sized_icon_button,
};
use crate::units::LengthUnit;

const SIGN: f32 = 22.0;
const SWATCH: f32 = 30.0;
const GAP: f32 = STEP;
/// Inside a row, left and right.
const INSET: f32 = STEP;

/// Widths of the columns: wider where there is room.
#[derive(Clone, Copy)]
struct Columns {
    title: f32,
    metres: f32,
    mass: f32,
    on_hand: f32,
    price: f32,
    balls: f32,
    cost: f32,
}

impl Columns {
    /// The columns of a row that is `width` wide inside; narrower than usual in a small window, so that what it costs is seen.
    fn of(width: f32) -> Self {
        let wider = (width / 840.0).clamp(0.66, 1.7);
        let [metres, mass, on_hand, price, balls, cost] =
            [108.0, 56.0, 84.0, 76.0, 72.0, 66.0].map(|column| column * wider);
        let taken = SIGN + SWATCH + metres + mass + on_hand + price + balls + cost + 8.0 * GAP;
        Self { title: (width - taken).max(80.0), metres, mass, on_hand, price, balls, cost }
    }
}

/// Shows the rows and their total.
pub fn show(
    ui: &mut Ui,
    state: &State,
    figures: &Shopping,
    open: &mut BTreeSet<usize>,
    actions: &mut Vec<Action>,
) {
    let project = state.project();
    ui.spacing_mut().item_spacing.x = GAP;
    let width = ui.available_width() - STEP - 2.0 * INSET;
    let columns = Columns::of(width);
    header(ui, columns);
    let signs = distinct_marks(project);
    let rows = project.palette.slots().iter().zip(&figures.yarn.colours).enumerate();
    for ((index, (slot, yarn)), sign) in rows.zip(&signs) {
        let fill = Tokens::of(ui).field;
        let margin = Margin::symmetric(INSET as i8, 5);
        Frame::new().fill(fill).corner_radius(CornerRadius::same(CORNER)).inner_margin(margin).show(
            ui,
            |ui| {
                ui.set_width(width);
                let row = Row { state, index, slot, sign, yarn };
                row.show(ui, columns, open, actions);
                if open.contains(&index) {
                    opened(ui, project, figures, index, actions);
                }
            },
        );
    }
    total(ui, project, figures, columns);
}

fn header(ui: &mut Ui, columns: Columns) {
    row(ui, 20.0, |ui| {
        ui.add_space(INSET);
        let small = |text: &str| Label::new(RichText::new(text).size(SMALL).weak()).truncate();
        cell(ui, SIGN + SWATCH + columns.title + 2.0 * GAP, Align::Min, |ui| ui.add(small("Colour")));
        let titles = [
            ("Likely", columns.metres),
            ("Mass", columns.mass),
            ("On hand", columns.on_hand),
            ("A ball costs", columns.price),
            ("To buy", columns.balls),
            ("Cost", columns.cost),
        ];
        for (text, width) in titles {
            cell(ui, width, Align::Max, |ui| ui.add(small(text)));
        }
    });
}

/// One colour.
struct Row<'a> {
    state: &'a State,
    index: usize,
    slot: &'a Slot,
    sign: &'a [Mark],
    yarn: &'a ColourYarn,
}

impl Row<'_> {
    fn show(&self, ui: &mut Ui, columns: Columns, open: &mut BTreeSet<usize>, actions: &mut Vec<Action>) {
        let units = self.state.project().units;
        let mut wanted = self.slot.clone();
        let mut ended = false;
        row(ui, 38.0, |ui| {
            let is_open = open.contains(&self.index);
            let icon = if is_open { Icon::Remove } else { Icon::Add };
            let label = format!("Sum of {}", self.slot.name);
            let tip = "What the figure is made of, how the yarn is sold";
            if sized_icon_button(ui, icon, &label, tip, false, Vec2::splat(SIGN)).clicked()
                && !open.remove(&self.index)
            {
                open.insert(self.index);
            }
            self.swatch(ui);
            cell(ui, columns.title, Align::Min, |ui| self.title(ui));
            cell(ui, columns.metres, Align::Max, |ui| {
                two_lines(
                    ui,
                    &sums::length(units, self.yarn.metres().likely),
                    &sums::range(units, self.yarn.metres()),
                );
            });
            cell(ui, columns.mass, Align::Max, |ui| ui.label(sums::mass(units, self.yarn.grams().likely)));
            cell(ui, columns.on_hand, Align::Max, |ui| ended |= self.on_hand(ui, units, &mut wanted));
            cell(ui, columns.price, Align::Max, |ui| ended |= self.price(ui, &mut wanted.yarn));
            cell(ui, columns.balls, Align::Max, |ui| {
                ui.label(RichText::new(sums::balls(u64::from(self.yarn.balls))).family(semibold()));
            });
            let currency = &self.state.project().currency;
            let cost = self.yarn.cost.map_or_else(|| "–".to_owned(), |cost| currency.told(cost));
            cell(ui, columns.cost, Align::Max, |ui| ui.label(cost));
        });
        if let Some(advice) = LotAdvice::of(self.slot, self.yarn) {
            ui.horizontal_top(|ui| {
                ui.add_space(SIGN + GAP);
                caption(ui, advice.words());
            });
        }
        if wanted != *self.slot {
            let index = self.index;
            actions.push(edit(self.state.project(), true, |palette| palette.slots_mut()[index] = wanted));
        }
        if ended {
            actions.push(Action::EndGesture);
        }
    }

    /// The colour with its symbol, as on the chart.
    fn swatch(&self, ui: &mut Ui) {
        let (rect, response) = ui.allocate_exact_size(Vec2::splat(SWATCH), Sense::hover());
        paint_swatch(ui, rect, self.slot.colour, self.sign, self.state.eyes);
        let colour = self.slot.colour;
        let words = format!("{}, {}. {}.", colour.to_hex(), colour.words(), tolerance(self.slot));
        response.on_hover_text(words);
    }

    fn title(&self, ui: &mut Ui) {
        let under = format!("{}, {}", code_and_role(self.index, self.slot.role), share(self.yarn));
        ui.vertical(|ui| {
            ui.spacing_mut().item_spacing.y = 0.0;
            ui.add(Label::new(&self.slot.name).truncate());
            ui.add(Label::new(RichText::new(under).size(SMALL).weak()).truncate());
        });
    }

    fn on_hand(&self, ui: &mut Ui, units: LengthUnit, wanted: &mut Slot) -> bool {
        let suffix = format!(" {}", units.yarn_suffix());
        let label = format!("On hand, {}", self.slot.name);
        let field = NumberField {
            label: &label,
            suffix: &suffix,
            range: 0.0..=units.from_metres(SlotYarn::MOST_ON_HAND_M),
            decimals: 0,
            speed: 1.0,
        };
        let yarn = self.slot.stock();
        let read = |text: &str| {
            let metres = yarn.told_on_hand(text, units).map_err(|fault| fault.to_string())?;
            Ok(units.from_metres(metres))
        };
        let words = FieldWords { read: &read, nothing: None };
        let (response, typed) = field.respond_to_words(ui, units.from_metres(yarn.on_hand_m), words);
        if let Some(typed) = typed {
            wanted.set_on_hand(units.to_metres(typed));
        }
        let balls = yarn.on_hand_m / yarn.put_up.metres_per_ball();
        let grams = sums::mass(units, yarn.put_up.grams(yarn.on_hand_m));
        let of_shade = self.slot.left_shade().filter(|_| self.slot.yarn.on_hand_m > 0.0).map(|shade| {
            let metres = sums::length(units, self.slot.yarn.on_hand_m);
            format!(
                "\n{metres} of {} are on hand: they count when the colour is that shade's again.",
                shade.name
            )
        });
        let tip = format!(
            "Taken off what is bought. Type balls, a weight or a length: 2 balls, 80 g, 120 m.\nNow {balls:.1} balls, {grams}.{}",
            of_shade.unwrap_or_default()
        );
        done(&response.on_hover_text(tip))
    }

    fn price(&self, ui: &mut Ui, wanted: &mut SlotYarn) -> bool {
        let label = format!("Price of a ball, {}", self.slot.name);
        let currency = &self.state.project().currency;
        done(&price_field(ui, (&label, ""), currency, &mut wanted.ball_price))
    }
}

/// Whether a field was let go of.
fn done(response: &Response) -> bool {
    response.drag_stopped() || response.lost_focus()
}

fn share(yarn: &ColourYarn) -> String {
    if yarn.stitches == 0 {
        "not used".to_owned()
    } else {
        format!("{:.1} % of the stitches", yarn.share_percent)
    }
}

fn two_lines(ui: &mut Ui, first: &str, second: &str) {
    ui.vertical(|ui| {
        ui.spacing_mut().item_spacing.y = 0.0;
        for text in [RichText::new(first).size(BODY), RichText::new(second).size(SMALL).weak()] {
            ui.with_layout(egui::Layout::right_to_left(Align::Min), |ui| ui.label(text));
        }
    });
}

/// The sum of a colour, and how its yarn is sold.
fn opened(ui: &mut Ui, project: &Project, figures: &Shopping, index: usize, actions: &mut Vec<Action>) {
    let yarn = &figures.yarn;
    ui.indent(("sum of", index), |ui| {
        sums::show(ui, project.units, &yarn.lines(index), yarn.pieces.len() > 1);
        let colour = &yarn.colours[index];
        caption(
            ui,
            format!(
                "To buy: {}, the high figure less what is on hand.",
                sums::length(project.units, colour.to_buy_m)
            ),
        );
        put_up(ui, project, index, actions);
    });
}

/// How the yarn is sold.
fn put_up(ui: &mut Ui, project: &Project, index: usize, actions: &mut Vec<Action>) {
    let units = project.units;
    let slot = &project.palette.slots()[index];
    let yarn = slot.yarn;
    let mut wanted = yarn;
    let ended = ui.horizontal(|ui| {
        let mut form = Form::new(ui);
        form.label("Sold as");
        let label = format!("Ball, {}", slot.name);
        ball_field(&mut form, &label, units, &mut wanted.put_up);
        let label = format!("Length in 100 g, {}", slot.name);
        band_field(&mut form, &label, units, &mut wanted.put_up);
        form.label(format!("{} a ball", sums::length(units, yarn.put_up.metres_per_ball())));
        let same = project.palette.slots().iter().all(|other| other.yarn.put_up == yarn.put_up);
        if !same && form.button("Same for every colour").clicked() {
            actions.push(edit(project, false, |palette| palette.put_up_all(yarn.put_up)));
        }
        form.ended()
    });
    if wanted != yarn {
        actions.push(edit(project, true, |palette| palette.slots_mut()[index].yarn = wanted));
    }
    if ended.inner {
        actions.push(Action::EndGesture);
    }
}

fn total(ui: &mut Ui, project: &Project, figures: &Shopping, columns: Columns) {
    let (units, yarn) = (project.units, &figures.yarn);
    let strong = |text: String| RichText::new(text).family(semibold());
    let (metres, grams) = (yarn.metres(), yarn.grams());
    row(ui, 24.0, |ui| {
        ui.add_space(INSET);
        let first = SIGN + SWATCH + columns.title + 2.0 * GAP;
        cell(ui, first, Align::Min, |ui| ui.label(strong("Together".to_owned())));
        cell(ui, columns.metres, Align::Max, |ui| ui.label(strong(sums::length(units, metres.likely))))
            .on_hover_text(sums::range(units, metres));
        cell(ui, columns.mass, Align::Max, |ui| ui.label(strong(sums::mass(units, grams.likely))));
        ui.add_space(columns.on_hand + columns.price + 2.0 * GAP);
        cell(ui, columns.balls, Align::Max, |ui| ui.label(strong(sums::balls(yarn.balls()))));
        let cost = yarn.cost().map_or_else(|| "–".to_owned(), |cost| project.currency.told(cost));
        cell(ui, columns.cost, Align::Max, |ui| ui.label(strong(cost)));
    });
    let slots = project.palette.slots().iter().zip(&yarn.colours);
    let unpriced: Vec<&str> = slots
        .filter(|(_, colour)| colour.balls > 0 && colour.cost.is_none())
        .map(|(slot, _)| slot.name.as_str())
        .collect();
    let prices = match unpriced.len() {
        0 => String::new(),
        n if n == yarn.colours.len() => " No prices are given yet.".to_owned(),
        _ => format!(" No price is given for {}.", unpriced.join(", ")),
    };
    caption(ui, format!("Balls hold the high figure, less what is on hand.{prices}"));
    if let Some(caveat) = yarn.caveat() {
        caption(ui, caveat);
    }
}

fn edit(project: &Project, in_gesture: bool, change: impl FnOnce(&mut Palette)) -> Action {
    let mut palette = project.palette.clone();
    change(&mut palette);
    Action::Edit { label: "Yarn".into(), edit: Edit::Palette(Box::new(palette)), in_gesture }
}
