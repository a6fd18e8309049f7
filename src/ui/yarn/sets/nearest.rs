//! The shade nearest to each colour, its alternatives and cost, and the chart knitted in them.

use std::sync::Arc;

use egui::{
    Align2, CentralPanel, FontId, Frame, Margin, Panel, Rect, Role, ScrollArea, Sense, TextEdit, Ui, Vec2,
    WidgetInfo, pos2,
};

use super::deal::recoloured;
use super::{SetsView, Target, swatch};
use crate::app::Action;
use crate::app::shelf::Matched;
use crate::app::state::State;
use crate::colour::{Colour, Likeness};
use crate::project::code_and_role;
use crate::ui::shopping::sums::balls;
use crate::ui::theme::{BODY, CORNER, SMALL, STEP, Tokens, semibold};
use crate::ui::widgets::{
    Follow, caption, focus_ring, heading, name, paint_chart, paint_swatch, primary, text_field, truncated,
};
use crate::yarn::{Candidate, Matching, SetCost, ShadeCard};

const ROW: f32 = 88.0;
/// Width of the parts of a row: role, both swatches, one alternative, cost.
const ROLE: f32 = 108.0;
const SWATCHES: f32 = 132.0;
const ALTERNATIVE: f32 = 46.0;
const COST: f32 = 104.0;
/// Room for the alternatives of a row.
const MOST_ALTERNATIVES: usize = 5;

/// What is remembered of the nearest shades.
#[derive(Default)]
pub(super) struct NearestView {
    /// Colours are typed instead of taken from the palette.
    is_typed: bool,
    typed: String,
    /// The shades as taken by hand, and the answer they belong to.
    taken: Vec<usize>,
    taken_of: Option<Arc<Matched>>,
}

impl NearestView {
    /// The typed colours; `None` when the palette counts or what is typed is not all colours.
    pub(super) fn typed_colours(&self) -> Option<Vec<Colour>> {
        if !self.is_typed {
            return None;
        }
        parse(&self.typed).ok().filter(|colours| !colours.is_empty())
    }

    /// The shades as they stand: as matched, with what was taken by hand.
    fn settle(&mut self, matched: &Arc<Matched>, matching: &Matching) {
        if self.taken_of.as_ref().is_some_and(|of| Arc::ptr_eq(of, matched)) {
            return;
        }
        let before = self.taken_of.replace(Arc::clone(matched)).filter(|of| of.ask.wishes_as(&matched.ask));
        let chosen = matching.matched.iter().map(|one| one.chosen.shade).collect();
        let taken = std::mem::replace(&mut self.taken, chosen);
        // Other metres, and what is on hand, change what it costs, not what was taken by hand: that stays as long as it
        // is on the shelf.
        let Some((before, Ok(old))) = before.as_ref().map(|of| (of, &of.result)) else { return };
        for (place, (shade, one)) in taken.into_iter().zip(&old.matched).enumerate() {
            let by_hand = before.ask.shelved.card.shades().get(shade).filter(|_| shade != one.chosen.shade);
            let shades = matched.ask.shelved.card.shades().iter();
            if let Some(now) = by_hand.and_then(|wanted| shades.clone().position(|it| it.is_same(wanted))) {
                self.take(place, now);
            }
        }
    }

    /// Takes another shade; a colour that had it takes this one's.
    fn take(&mut self, place: usize, shade: usize) {
        if let Some(other) = self.taken.iter().position(|taken| *taken == shade) {
            self.taken.swap(place, other);
        } else if let Some(taken) = self.taken.get_mut(place) {
            *taken = shade;
        }
    }
}

/// Colours in a text, apart by commas or spaces.
fn parse(text: &str) -> Result<Vec<Colour>, String> {
    let words = text.split([',', ';', ' ', '\n']).map(str::trim).filter(|word| !word.is_empty());
    words.map(|word| Colour::from_hex(word).map_err(|error| error.to_string())).collect()
}

/// Shows what is wished for, on the left.
pub(super) fn choices(ui: &mut Ui, state: &State, view: &mut SetsView) {
    let palette = &state.project().palette;
    heading(ui, "Wished colours");
    ui.horizontal(|ui| {
        ui.selectable_value(&mut view.nearest.is_typed, false, "The palette");
        ui.selectable_value(&mut view.nearest.is_typed, true, "Typed");
    });
    if view.nearest.is_typed {
        let width = ui.available_width() - 4.0;
        let edit = text_field(ui, &mut view.nearest.typed, |text| {
            TextEdit::multiline(text).hint_text("#1f5a7a, #c9971c").desired_rows(2).desired_width(width)
        });
        name(&edit, "Typed colours");
        let text = match parse(&view.nearest.typed) {
            Err(reason) => reason,
            Ok(colours) if colours.is_empty() => {
                "Type colours as hex, apart by commas; until then the palette counts.".to_owned()
            }
            Ok(colours) if colours.len() > palette.slots().len() => format!(
                "The palette has {} colours: the first {0} of the typed ones are matched.",
                palette.slots().len()
            ),
            Ok(_) => {
                "Given to the palette's colours in the order main, supporting, accent, ground.".to_owned()
            }
        };
        caption(ui, text);
        return;
    }
    wish_row(ui, state, view);
}

/// The wish where it is other than the palette, and the button that renews it.
pub(super) fn wish_row(ui: &mut Ui, state: &State, view: &mut SetsView) {
    let palette = &state.project().palette;
    if !view.wish.differs(palette) {
        caption(ui, "The colours of the palette, as chosen in Design.");
        return;
    }
    caption(ui, "The colours the palette had before it was knitted in shades.");
    let (rect, _) = ui.allocate_exact_size(Vec2::new(ui.available_width() - 6.0, 20.0), Sense::hover());
    let parts: Vec<(Colour, f32)> =
        palette.by_role().into_iter().filter_map(|slot| Some((view.wish.of(slot)?, 1.0))).collect();
    swatch::side_by_side(ui.painter(), rect.shrink(1.0), &parts, state, Tokens::of(ui));
    if ui.button("Wish for the palette as it is now").clicked() {
        view.wish.renew(palette);
    }
}

/// Shows the table and, under it, the chart in the shades.
pub(super) fn show(
    ui: &mut Ui,
    state: &State,
    view: &mut SetsView,
    targets: &[Target],
    matched: Option<&Arc<Matched>>,
    actions: &mut Vec<Action>,
) {
    let tokens = Tokens::of(ui);
    let result_of = matched.and_then(|matched| Some((matched, matched.result.as_ref().ok()?)));
    if let Some((matched, matching)) = result_of {
        view.nearest.settle(matched, matching);
        // The table takes what it needs, the charts the rest.
        let table = 42.0 + (ROW + 4.0) * targets.len() as f32 + 40.0;
        let height = (ui.available_height() - table).clamp(176.0, 560.0);
        let frame = Frame::new().fill(tokens.panel).inner_margin(Margin::symmetric(12, 8));
        Panel::bottom("nearest chart").frame(frame).exact_size(height).resizable(false).show(ui, |ui| {
            result(ui, state, view, targets, matched, actions);
        });
    }
    CentralPanel::no_frame().frame(super::frame(tokens.rail)).show(ui, |ui| {
        heading(ui, "Nearest shades");
        match matched.map(|matched| (matched, &matched.result)) {
            None => {
                caption(ui, "Looking…");
            }
            Some((_, Err(reason))) => {
                caption(ui, format!("No shades can be given: {reason}."));
                caption(ui, "The column on the left tells what keeps shades out: allow more there.");
            }
            Some((matched, Ok(_))) => table(ui, state, view, targets, matched),
        }
    });
}

fn table(ui: &mut Ui, state: &State, view: &mut SetsView, targets: &[Target], matched: &Arc<Matched>) {
    ScrollArea::vertical().auto_shrink([false, false]).follow(ui, |ui| {
        ui.spacing_mut().item_spacing.y = 4.0;
        for (place, target) in targets.iter().enumerate() {
            row(ui, state, view, (place, target), matched);
        }
        caption(
            ui,
            "Every colour gets a shade of its own, so that the sum of the differences (CIEDE2000) is least. \
             Click another shade to take it instead.",
        );
        ui.add_space(STEP);
    });
}

/// One colour: wish beside shade, the difference, other shades, cost.
fn row(
    ui: &mut Ui,
    state: &State,
    view: &mut SetsView,
    (place, target): (usize, &Target),
    matched: &Arc<Matched>,
) {
    let card = &matched.ask.shelved.card;
    let Some(slot) = state.project().palette.slots().get(target.slot) else { return };
    let Some(shade) = view.nearest.taken.get(place).and_then(|taken| card.shades().get(*taken)) else {
        return;
    };
    let difference = target.wish.difference(shade.colour);
    let word = Likeness::of(difference).name().to_lowercase();
    let (rect, response) =
        ui.allocate_exact_size(Vec2::new(ui.available_width() - STEP, ROW), Sense::hover());
    response.widget_info(|| {
        let text = format!("{}: {}, CIEDE2000 {difference:.1}, {word}", slot.name, shade.name);
        WidgetInfo::labeled(Role::Label, true, text)
    });
    let tokens = Tokens::of(ui);
    let painter = ui.painter().with_clip_rect(rect);
    painter.rect_filled(rect, CORNER, tokens.field);
    let inner = rect.shrink2(Vec2::new(STEP, 10.0));
    let (body, small) = (FontId::proportional(BODY), FontId::proportional(SMALL));
    let strong = FontId::new(BODY, semibold());
    let line = |text: &str, font: &FontId, x: f32, y: f32, ink, width: f32| {
        painter.galley(pos2(x, inner.top() + y), truncated(ui, text, font.clone(), ink, width), ink);
    };
    line(&code_and_role(target.slot, slot.role), &strong, inner.left(), 2.0, tokens.text, ROLE - STEP);
    line(&slot.name, &small, inner.left(), 24.0, tokens.weak, ROLE - STEP);
    let both =
        Rect::from_min_size(pos2(inner.left() + ROLE, inner.top()), Vec2::new(SWATCHES, inner.height()));
    swatch::side_by_side(&painter, both, &[(target.wish, 1.0), (shade.colour, 1.0)], state, tokens);
    let left = both.right() + 12.0;
    let cost_left = inner.right() - COST;
    let others_left = cost_left - ALTERNATIVE * MOST_ALTERNATIVES as f32 - 4.0;
    let width = others_left - left - STEP;
    let title = format!("{}  {}", shade.name, shade.code);
    line(title.trim(), &strong, left, 0.0, tokens.text, width);
    line(&swatch::facts(shade), &small, left, 20.0, tokens.weak, width);
    line(&format!("CIEDE2000 {difference:.1}, {word}"), &body, left, 36.0, tokens.text, width);
    let source = shade.source.name().to_lowercase();
    let sure = match shade.uncertainty {
        sure if difference < sure => format!("Within the card's own ±{sure:.0} ({source})"),
        sure => format!("The card is sure to ±{sure:.0} ({source})"),
    };
    line(&sure, &small, left, 54.0, tokens.weak, width);
    let cost = SetCost::of(card, [(view.nearest.taken[place], target.metres)]);
    let count = cost.balls.first().copied().unwrap_or(0);
    let price = match shade.ball_price {
        _ if target.metres.is_some_and(|metres| metres <= 0.0) => "not in the chart".to_owned(),
        _ if count == 0 => "on hand".to_owned(),
        Some(_) => state.project().currency.told(cost.known),
        None => "no price".to_owned(),
    };
    let at = |y| pos2(inner.right(), inner.top() + y);
    let balls = if count == 0 { "none to buy".to_owned() } else { balls(u64::from(count)) };
    painter.text(at(0.0), Align2::RIGHT_TOP, balls, strong, tokens.text);
    painter.text(at(20.0), Align2::RIGHT_TOP, price, body, tokens.text);
    let each = swatch::ball_length(shade, state.project().units);
    painter.text(at(42.0), Align2::RIGHT_TOP, each, small, tokens.weak);
    let area = Rect::from_min_max(pos2(others_left, inner.top()), pos2(cost_left, inner.bottom()));
    alternatives(ui, state, view, (place, target), matched, area);
}

/// Other shades to take instead, the nearest first.
fn alternatives(
    ui: &mut Ui,
    state: &State,
    view: &mut SetsView,
    (place, target): (usize, &Target),
    matched: &Arc<Matched>,
    area: Rect,
) {
    let Ok(matching) = &matched.result else { return };
    let Some(found) = matching.matched.get(place) else { return };
    let card = &matched.ask.shelved.card;
    let now = view.nearest.taken[place];
    let mut others: Vec<Candidate> = found.alternatives.clone();
    others.push(found.chosen);
    others.retain(|other| other.shade != now);
    others.sort_by(|a, b| a.difference.total_cmp(&b.difference));
    let role = state.project().palette.slots().get(target.slot).map_or("", |slot| slot.name.as_str());
    for (index, other) in others.iter().take(MOST_ALTERNATIVES).enumerate() {
        let min = area.min + Vec2::new(ALTERNATIVE * index as f32, 0.0);
        let rect = Rect::from_min_size(min, Vec2::new(ALTERNATIVE - 4.0, area.height()));
        if alternative(ui, state, card, *other, role, rect) {
            view.nearest.take(place, other.shade);
        }
    }
}

fn alternative(ui: &Ui, state: &State, card: &ShadeCard, other: Candidate, role: &str, rect: Rect) -> bool {
    let Some(shade) = card.shades().get(other.shade) else { return false };
    let response = ui.interact(rect, ui.scope_id().with((role, other.shade)), Sense::click());
    let label = format!("Take {} for {role}", shade.name);
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, &label));
    let tokens = Tokens::of(ui);
    if response.hovered() {
        ui.painter().rect_filled(rect.expand(1.0), CORNER, tokens.hover);
    }
    let swatch = Rect::from_min_size(rect.min + Vec2::splat(4.0), Vec2::splat(rect.width() - 8.0));
    paint_swatch(ui, swatch, shade.colour, &[], state.eyes);
    let text = format!("{:.1}", other.difference);
    let at = pos2(rect.center().x, swatch.bottom() + 6.0);
    ui.painter().text(at, Align2::CENTER_TOP, text, FontId::proportional(SMALL), tokens.text);
    if response.has_focus() {
        focus_ring(ui, rect);
    }
    let word = other.likeness().name().to_lowercase();
    let tip = format!(
        "{}: CIEDE2000 {:.1}, {word}. A colour that has it already takes this one's shade.",
        shade.name, other.difference
    );
    response.on_hover_text(tip).clicked()
}

/// The chart as it is and in the shades, what they cost, and the button that knits it in them.
fn result(
    ui: &mut Ui,
    state: &State,
    view: &mut SetsView,
    targets: &[Target],
    matched: &Arc<Matched>,
    actions: &mut Vec<Action>,
) {
    let project = state.project();
    let card = &matched.ask.shelved.card;
    let taken = view.nearest.taken.clone();
    let shade = |place: &usize| card.shades().get(*place);
    let pairs = || targets.iter().zip(&taken).filter_map(|(target, place)| Some((target, shade(place)?)));
    let wished = recoloured(project, targets.iter().map(|target| (target.slot, target.wish)));
    let real = recoloured(project, pairs().map(|(target, shade)| (target.slot, shade.colour)));
    let cost = SetCost::of(card, taken.iter().copied().zip(targets.iter().map(|target| target.metres)));
    let sum: f64 = pairs().map(|(target, shade)| target.wish.difference(shade.colour)).sum();
    ui.horizontal_top(|ui| {
        let words = (ui.available_width() * 0.22).clamp(248.0, 340.0);
        let height = ui.available_height() - 20.0;
        let width = ((ui.available_width() - words) / 2.0 - STEP).clamp(120.0, height * 1.5);
        for (title, colours) in [("As wished", &wished), ("In these shades", &real)] {
            ui.vertical(|ui| {
                ui.spacing_mut().item_spacing.y = 2.0;
                ui.set_width(width);
                caption(ui, title);
                let (rect, response) = ui.allocate_exact_size(Vec2::new(width, height), Sense::hover());
                response.widget_info(|| WidgetInfo::labeled(Role::Image, true, format!("Chart, {title}")));
                let picture = view.pictures.of(ui, state, colours);
                paint_chart(ui, project, rect, picture);
            });
        }
        ui.vertical(|ui| {
            ui.set_width(words);
            ui.add(egui::Label::new(strong(&swatch::cost_words(&cost, &state.project().currency))).wrap());
            caption(ui, format!("Differences add up to {sum:.1}. {}", super::counted_for(state)));
            if targets.len() < project.palette.slots().len() {
                caption(ui, format!("The first {} colours by role; the others stay.", targets.len()));
            }
            let worn = pairs().all(|(target, shade)| {
                let slot = project.palette.slots().get(target.slot).and_then(|slot| slot.shade());
                slot.is_some_and(|worn| **worn == *shade)
            });
            let button = primary(ui, !worn, "Knit the chart in these")
                .on_hover_text("Colours, names, put-up and prices of the palette follow; undo takes it back")
                .on_disabled_hover_text("The palette is knitted in these shades");
            if button.clicked() {
                let shades = pairs().map(|(target, shade)| (target.slot, Arc::new(shade.clone())));
                actions.extend(super::knitted(project.knit_in(shades.collect::<Vec<_>>())));
            }
            if worn {
                caption(ui, "The palette is knitted in these shades.");
            }
        });
    });
}

fn strong(text: &str) -> egui::RichText {
    egui::RichText::new(text).size(crate::ui::theme::HEADING).family(semibold())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn typed_colours_are_read_or_the_wrong_one_is_named() {
        assert_eq!(parse("#a03020, #fff; 1f2a4d").unwrap().len(), 3);
        assert!(parse("").unwrap().is_empty());
        assert!(parse("#a03020, blu").unwrap_err().contains("blu"));
    }

    #[test]
    fn taking_a_shade_that_is_in_use_swaps_the_two() {
        let mut view = NearestView { taken: vec![4, 7], ..NearestView::default() };
        view.take(0, 7);
        assert_eq!(view.taken, [7, 4]);
        view.take(1, 9);
        assert_eq!(view.taken, [7, 9]);
    }
}
