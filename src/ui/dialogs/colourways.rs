//! The chart in other colours, large and side by side, with contrast, proportion and cost.

use egui::{Id, Label, Rect, ScrollArea, Sense, Stroke, StrokeKind, Ui, UiBuilder, Vec2, vec2};

use super::answers;
use crate::app::Action;
use crate::app::colourway_desk::{ColourwaysForm, ShownWays, Ways};
use crate::app::derived::Reading;
use crate::app::state::State;
use crate::colour::ValueContrast;
use crate::project::{
    BestBy, Colourway, Edit, MOST_KEPT, MOST_ORDERED, Project, Role as Part, WayTrial, colour_code, key_entry,
};
use crate::ui::colours::seen;
use crate::ui::theme::{STEP, Tokens, semibold};
use crate::ui::widgets::{ChartPictures, Follow, caption, colourway_button, one_of_in};

/// Least width of one colourway, its picture and all about it; the most it is enlarged to.
const WIDE: std::ops::RangeInclusive<f32> = 240.0..=560.0;
/// Height of a picture to its width.
const SHAPE: f32 = 0.66;
/// Height of the bar and the words below a picture.
const WORDS: f32 = 98.0;
const GAP: f32 = STEP * 1.5;
/// Room of the scroll bar.
const BAR: f32 = 14.0;
/// Height of all above and below the colourways, and the least width of that.
const BESIDES: f32 = 226.0;
const LEAST: f32 = 720.0;

/// How many there will be, at most: known before they are worked out, so that the question does not grow then.
const fn expected(project: &Project, form: &ColourwaysForm) -> usize {
    match form.shown {
        ShownWays::Kept => project.colourways.len() + 1,
        ShownWays::Orders => MOST_KEPT,
    }
}

/// What the list of colourways takes of the room, without its bar.
fn taken_of(project: &Project, form: &ColourwaysForm, room: Vec2) -> Vec2 {
    let most = room - vec2(BAR, BESIDES);
    let count = expected(project, form);
    let (across, wide) = tiles(most, count);
    let tall = count.div_ceil(across) as f32 * (wide * SHAPE + WORDS + GAP) - GAP;
    vec2(across as f32 * (wide + GAP) - GAP, tall).min(most)
}

/// Width of the question.
pub fn width(project: &Project, form: &ColourwaysForm, room: Vec2) -> f32 {
    (taken_of(project, form, room).x + BAR).max(LEAST)
}

/// Shows the colourways.
pub fn show(
    ui: &mut Ui,
    state: &State,
    pictures: &mut ChartPictures,
    (form, room): (&mut ColourwaysForm, Vec2),
    actions: &mut Vec<Action>,
) {
    let project = state.project();
    ui.horizontal(|ui| {
        let choices = ShownWays::ALL.map(|shown| (shown, shown.name()));
        one_of_in(ui, 220.0, "Which colourways", choices, &mut form.shown);
        ui.add_space(STEP);
        ui.label("Best by");
        ui.add_enabled_ui(form.shown == ShownWays::Orders, |ui| {
            let choices = BestBy::ALL.map(|by| (by, by.name()));
            one_of_in(ui, 110.0, "Best by", choices, &mut form.best_by);
        });
        ui.add_space(STEP);
        keep(ui, project, actions);
    });
    ui.horizontal(|ui| swap(ui, project, form, actions));
    let reading = state.desks.colourways.ask(&state.document, &state.jobs, *form);
    let is_stale = matches!(reading, Reading::Stale(_));
    let found = reading.value();
    let words = found.as_deref().filter(|_| !is_stale).map_or_else(|| "Working them out…".to_owned(), said);
    caption(ui, words);
    // As high from the first frame on: a question that grows would jump.
    let high = taken_of(project, form, room).y;
    let wide = (width(project, form, room) - BAR).min(ui.available_width());
    let list = ScrollArea::vertical().id_salt(("colourways", form.shown)).auto_shrink([false, false]);
    list.max_height(high).min_scrolled_height(high).follow(ui, |ui| {
        let ways = found.as_deref().and_then(|found| found.as_ref().ok());
        grid(ui, state, pictures, (ways.map_or(&[], Ways::trials), vec2(wide, high)), actions);
    });
    pictures.keep_up(ui, state);
    if answers(ui, &["Close"]).is_some() {
        actions.push(Action::CloseDialog);
    }
}

/// Two colours to be swapped on the chart.
fn swap(ui: &mut Ui, project: &Project, form: &mut ColourwaysForm, actions: &mut Vec<Action>) {
    let slots = project.palette.slots();
    let last = slots.len().saturating_sub(1);
    form.swap = form.swap.map(|slot| slot.min(last));
    ui.label("Swap");
    for (label, slot) in ["First colour", "Second colour"].into_iter().zip(&mut form.swap) {
        let choices = slots.iter().enumerate().map(|(index, slot)| (index, key_entry(index, slot)));
        one_of_in(ui, 120.0, label, choices, slot);
    }
    let [a, b] = form.swap;
    ui.add_enabled_ui(a != b, |ui| {
        if ui.button("Swap them").on_hover_text("Each stands where the other did, with its yarn").clicked()
            && let Some(edit) = project.swapped(a, b)
        {
            actions.push(Action::edit("Swap colours", edit));
        }
    });
}

/// Keeps the colours as they are now.
fn keep(ui: &mut Ui, project: &Project, actions: &mut Vec<Action>) {
    let name = format!("Colourway {}", project.colourways.len() + 1);
    let tip = "Keeps the colours; names, roles and yarns stay those of the palette";
    if ui.button("Keep the shades").on_hover_text(tip).clicked() {
        let colours = project.palette.slots().iter().map(|slot| slot.colour).collect();
        actions.push(kept(project, Colourway::of_colours(name.clone(), colours)));
    }
    let tip = "Keeps the colours with their names, roles, shades, yarns and prices";
    if ui.button("Keep the palette").on_hover_text(tip).clicked() {
        actions.push(kept(project, Colourway::of_palette(name, &project.palette)));
    }
}

fn kept(project: &Project, way: Colourway) -> Action {
    let mut ways = project.colourways.clone();
    ways.push(way);
    Action::edit("Keep colourway", Edit::Colourways(ways))
}

fn said(found: &Result<Ways, String>) -> String {
    match found {
        Err(reason) => format!("Not possible: {reason}"),
        Ok(Ways::Kept(ways)) if ways.len() == 1 => {
            "Nothing kept yet: keep the colours as they are, change them, and compare.".to_owned()
        }
        Ok(Ways::Kept(ways)) => format!("{} kept, and the chart as it is now.", ways.len() - 1),
        Ok(Ways::Orders(orders)) => {
            let left = match orders.left_out {
                0 => String::new(),
                left => format!(
                    " {left} more with fewer stitches stay where they are: of more than {MOST_ORDERED} there are too many orders."
                ),
            };
            format!(
                "All {} orders of {} colours tried, the best {} shown; locked colours stay.{left}",
                orders.tried,
                orders.moving,
                orders.best.len().min(MOST_KEPT)
            )
        }
    }
}

fn grid(
    ui: &mut Ui,
    state: &State,
    pictures: &mut ChartPictures,
    (ways, room): (&[WayTrial], Vec2),
    actions: &mut Vec<Action>,
) {
    let (across, wide) = tiles(room, ways.len());
    let tall = wide * SHAPE + WORDS;
    let rows = ways.len().div_ceil(across);
    let (area, _) = ui.allocate_exact_size(
        vec2(across as f32 * (wide + GAP) - GAP, (rows as f32 * (tall + GAP) - GAP).max(0.0)),
        Sense::hover(),
    );
    for (index, way) in ways.iter().enumerate() {
        let at = vec2((index % across) as f32 * (wide + GAP), (index / across) as f32 * (tall + GAP));
        let rect = Rect::from_min_size(area.min + at, vec2(wide, tall));
        if ui.is_rect_visible(rect) {
            let mut inner = ui.new_child(UiBuilder::new().id_salt(("colourway", index)).max_rect(rect));
            entry(&mut inner, state, pictures, (index, way), actions);
        }
    }
}

/// How many stand side by side and how wide each is: as large as all can be seen at once, or of the least width
/// where there are too many.
fn tiles(room: Vec2, count: usize) -> (usize, f32) {
    let each = |across: usize| (room.x + GAP) / across as f32 - GAP;
    let most = ((room.x + GAP) / (WIDE.start() + GAP)).floor().max(1.0) as usize;
    let seen_at_once = (1..=most).filter_map(|across| {
        let rows = count.div_ceil(across) as f32;
        let by_height = ((room.y + GAP) / rows.max(1.0) - GAP - WORDS) / SHAPE;
        let wide = each(across).min(by_height).min(*WIDE.end());
        (wide >= *WIDE.start()).then_some((across, wide))
    });
    let largest = seen_at_once.max_by(|one, other| one.1.total_cmp(&other.1));
    largest.unwrap_or((most, each(most).min(*WIDE.start())))
}

fn entry(
    ui: &mut Ui,
    state: &State,
    pictures: &mut ChartPictures,
    (index, way): (usize, &WayTrial),
    actions: &mut Vec<Action>,
) {
    let project = state.project();
    let worn = way.slots == project.palette.slots();
    ui.spacing_mut().item_spacing.y = 3.0;
    let wide = ui.max_rect().width();
    let (rect, _) = ui.allocate_exact_size(vec2(wide, wide * SHAPE), Sense::hover());
    let response = ui.interact(rect, Id::unique(("take up colourway", index)), Sense::click());
    let label = format!("Take up {} of the large ones", way.name);
    let picture = pictures.of(ui, state, &way.colours());
    if colourway_button(ui, project, response, (&label, worn), picture) {
        actions.extend(taken(project, index, way));
    }
    bar(ui, state, way);
    ui.horizontal(|ui| {
        let words = egui::RichText::new(&way.name).family(semibold());
        ui.allocate_ui(vec2(wide - 64.0, 20.0), |ui| ui.add(Label::new(words).truncate()));
        if way.order.is_some() && ui.small_button("Keep").clicked() {
            let slots = project.colourways.len() + 1;
            let mut palette = project.palette.clone();
            palette.slots_mut().clone_from_slice(&way.slots);
            let name = format!("Colourway {slots}");
            actions.push(kept(project, Colourway::of_palette(name, &palette)));
        }
    });
    for line in figures(project, way) {
        caption(ui, line);
    }
}

/// What taking it up comes to.
fn taken(project: &Project, index: usize, way: &WayTrial) -> Option<Action> {
    if let Some(order) = &way.order {
        return project.in_order(order).map(|edit| Action::edit("Order of colours", edit));
    }
    let kept = project.colourways.get(index.checked_sub(1)?)?;
    Some(Action::edit("Take up colourway", project.take_up(kept)))
}

/// The shares of its colours by role.
fn bar(ui: &mut Ui, state: &State, way: &WayTrial) {
    let (rect, _) = ui.allocate_exact_size(vec2(ui.max_rect().width(), 10.0), Sense::hover());
    let mut left = rect.left();
    for (role, share) in Part::PARTS.into_iter().zip(way.figures.part_shares) {
        let width = rect.width() * (share / 100.0) as f32;
        let part = Rect::from_min_size(egui::pos2(left, rect.top()), vec2(width, rect.height()));
        left += width;
        if let Some(slot) = way.slots.iter().find(|slot| slot.role == role) {
            ui.painter().rect_filled(part, 0, seen(slot.colour, state.eyes));
        }
    }
    ui.painter().rect_stroke(rect, 2, Stroke::new(1.0, Tokens::of(ui).edge), StrokeKind::Outside);
}

fn figures(project: &Project, way: &WayTrial) -> [String; 3] {
    let figures = &way.figures;
    let contrast = figures.weakest.map_or_else(
        || "No two colours touch".to_owned(),
        |(value, a, b)| {
            let word = ValueContrast::of(value).name().to_lowercase();
            format!("Least contrast {value:.0} ({word}): {} on {}", colour_code(a), colour_code(b))
        },
    );
    let shares: Vec<String> = figures.part_shares.iter().map(|share| format!("{share:.0}")).collect();
    let targets: Vec<String> = project.palette.targets().iter().map(|share| format!("{share:.0}")).collect();
    let cost = figures.cost.map_or_else(
        || "Cost not known: a yarn has no price".to_owned(),
        |price| format!("Cost {:.2} for the chosen size", price.get()),
    );
    [contrast, format!("Proportion {}, target {}", shares.join("-"), targets.join("-")), cost]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn few_colourways_are_large_and_many_keep_the_least_width() {
        for (width, height) in [(860.0, 430.0), (1106.0, 528.0), (1600.0, 800.0)] {
            let mut before = f32::INFINITY;
            for count in 1..40 {
                let (across, wide) = tiles(vec2(width, height), count);
                assert!(across as f32 * (wide + GAP) - GAP <= width + 0.1, "{count} in {width}");
                assert!(WIDE.contains(&wide) && wide <= before, "{count} in {width}: {wide} after {before}");
                before = wide;
            }
            assert!(tiles(vec2(width, height), 1).1 > 1.5 * WIDE.start());
        }
    }
}
