//! One motif at one size in every weight class, side by side at one scale.

use egui::{Id, Rect, Role, Sense, Stroke, Ui, Vec2, WidgetInfo, pos2, vec2};

use super::answers;
use crate::app::Action;
use crate::app::state::State;
use crate::app::view::ChartView;
use crate::app::weights::{WeightsForm, WeightsOf};
use crate::chart::Cell;
use crate::knit::{AtWeight, begins_at};
use crate::ui::colours::seen;
use crate::ui::theme::{CORNER, STEP, Tokens, semibold};
use crate::ui::widgets::{NumberField, caption, one_of_in, one_scale, paint_stitches};
use crate::units::{LengthUnit, both_lengths};
use crate::yarn::WeightClass;

/// Classes side by side.
const ACROSS: usize = 4;
/// Height of the words under the stitches of one class, and of all around the classes.
const WORDS: f32 = 78.0;
const BESIDES: f32 = 230.0;

/// Height of the stitches of one class.
fn tall(room: Vec2) -> f32 {
    ((room.y - BESIDES) / 2.0 - WORDS).max(96.0)
}

/// Asks for the size and shows the motif in every class.
pub fn show(
    ui: &mut Ui,
    state: &State,
    chart: &ChartView,
    (form, room): (&mut WeightsForm, Vec2),
    actions: &mut Vec<Action>,
) {
    let units = state.project().units;
    ui.horizontal(|ui| {
        of(ui, state, chart, form);
        let field = NumberField {
            label: "Width of the motif",
            suffix: &format!(" {} wide", units.length_suffix()),
            range: units.from_cm(0.5)..=units.from_cm(100.0),
            decimals: 1,
            speed: 0.1,
        };
        if let Some(length) = field.show(ui, units.from_cm(form.width_cm)) {
            form.width_cm = units.to_cm(length);
        }
    });
    ui.add_space(STEP);
    let reading = state.desks.weights(&state.document, &state.jobs, form).value();
    let found = reading.as_deref();
    let at: &[AtWeight] = found.and_then(|found| found.as_deref().ok()).unwrap_or_default();
    let high = tall(room) + WORDS;
    let (rect, _) = ui.allocate_exact_size(vec2(ui.available_width(), 2.0 * high + STEP), Sense::hover());
    classes(ui, state, &form.colours(state.project(), chart.paint), rect, at);
    let verdict = match found {
        None => "Working it out…".to_owned(),
        Some(Err(reason)) => format!("Not possible: {reason}"),
        Some(Ok(at)) => verdict(form, at, units),
    };
    ui.label(egui::RichText::new(verdict).family(semibold()));
    caption(
        ui,
        "Each class at the middle of its published gauge (Craft Yarn Council), rows in the proportion of yours. A motif is \
         itself while it keeps its parts, openings, mirrors and 85 % of its outline (our judgement).",
    );
    if answers(ui, &["Close"]).is_some() {
        actions.push(Action::CloseDialog);
    }
}

/// Which motif it is: what was asked about first, the region or the repeat.
fn of(ui: &mut Ui, state: &State, chart: &ChartView, form: &mut WeightsForm) {
    let mut choices: Vec<(WeightsOf, String)> = Vec::new();
    if let WeightsOf::Motif(motif) = &form.of {
        choices.push((form.of.clone(), motif.name().to_owned()));
    }
    if let Some(region) = chart.region {
        choices.push((WeightsOf::Region(region), "The chosen region".to_owned()));
    }
    choices.push((WeightsOf::Repeat, "The repeat".to_owned()));
    let mut chosen = form.of.clone();
    ui.label("Motif");
    one_of_in(ui, 200.0, "Which motif", choices, &mut chosen);
    if chosen != form.of {
        *form = WeightsForm::of(state.project(), chosen);
    }
}

fn classes(ui: &mut Ui, state: &State, inks: &[Cell], rect: Rect, at: &[AtWeight]) {
    let cell =
        vec2((rect.width() - STEP * (ACROSS - 1) as f32) / ACROSS as f32, (rect.height() - STEP) / 2.0);
    let sizes = at.iter().map(|at| (at.knitted.width_cm, at.knitted.height_cm));
    let scale = one_scale(cell - vec2(STEP, WORDS + STEP), sizes);
    for (number, at) in at.iter().enumerate() {
        let step =
            vec2((number % ACROSS) as f32 * (cell.x + STEP), (number / ACROSS) as f32 * (cell.y + STEP));
        class(ui, state, inks, Rect::from_min_size(rect.min + step, cell), (at, scale));
    }
}

fn class(ui: &mut Ui, state: &State, inks: &[Cell], rect: Rect, (at, scale): (&AtWeight, f32)) {
    let AtWeight { class: of_class, knitted } = at;
    let project = state.project();
    let slots = project.palette.slots();
    let shown =
        |cell: Cell| cell.index().and_then(|slot| slots.get(slot)).map(|slot| seen(slot.colour, state.eyes));
    let picture = Rect::from_min_size(rect.min, vec2(rect.width(), rect.height() - WORDS));
    let tokens = Tokens::of(ui);
    let ground = shown(Cell::slot(project.background_slot() as u8)).unwrap_or(tokens.field);
    ui.painter().rect_filled(picture, CORNER, ground);
    let colours: Vec<_> = inks.iter().copied().filter_map(shown).collect();
    if let Some(stitches) = &knitted.stitches {
        let size = Vec2::new(knitted.width_cm as f32, knitted.height_cm as f32) * scale;
        let box_of = Rect::from_center_size(picture.center(), size);
        let shape = (knitted.gauge.cell_aspect() as f32, f32::INFINITY);
        paint_stitches(ui.painter(), box_of, stitches, shape, |ink| {
            colours.get(ink).or(colours.last()).copied().unwrap_or(tokens.text)
        });
    }
    let title = format!("{} {}", of_class.number(), of_class.name());
    let verdict = knitted.verdict();
    let response = ui.interact(picture, Id::unique(("motif at weight", of_class.number())), Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, format!("{title}: {verdict}")));
    let mut words = ui.new_child(
        egui::UiBuilder::new()
            .id_salt(("words of weight", of_class.number()))
            .max_rect(Rect::from_min_max(pos2(rect.left(), picture.bottom() + 2.0), rect.max)),
    );
    words.spacing_mut().item_spacing.y = 0.0;
    words.label(egui::RichText::new(title).family(semibold()));
    let size = knitted.stitches.as_ref().map_or_else(
        || "More than a chart holds".to_owned(),
        |stitches| format!("{} \u{d7} {} stitches", stitches.width(), stitches.height()),
    );
    let per = knitted.gauge.stitches.get() * project.units.gauge_factor();
    caption(&mut words, format!("{size}, {per:.0} in {}", project.units.gauge_base()));
    caption(&mut words, verdict);
    if knitted.survives() {
        let line = [pos2(rect.left(), picture.bottom() + 0.5), pos2(rect.right(), picture.bottom() + 0.5)];
        ui.painter().line_segment(line, Stroke::new(2.0, tokens.focus));
    }
}

fn verdict(form: &WeightsForm, at: &[AtWeight], units: LengthUnit) -> String {
    let size = both_lengths(form.width_cm, units);
    match begins_at(at) {
        None => format!("{} is itself in no weight at {size}: make it larger.", form.name()),
        Some(class) if at.last().is_some_and(|last| last.class == class) => {
            format!("{} is itself in every weight at {size}.", form.name())
        }
        Some(class) => {
            let named = |class: WeightClass| format!("{} ({})", class.number(), class.name());
            let thicker = at.iter().skip_while(|at| at.class != class).skip(1);
            let by_chance: Vec<String> =
                thicker.filter(|at| at.knitted.survives()).map(|at| named(at.class)).collect();
            let by_chance = if by_chance.is_empty() {
                String::new()
            } else {
                format!(
                    " At {} its stitches happen to fall well, with a weight between where they do not.",
                    by_chance.join(" and ")
                )
            };
            format!(
                "{} at {size} begins to be itself at weight {} and is in all thinner ones.{by_chance}",
                form.name(),
                named(class)
            )
        }
    }
}
