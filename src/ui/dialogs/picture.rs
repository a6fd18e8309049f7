//! A chart from a picture: what it is to be like, and a look at it.

use egui::{Id, Sense, Slider, TextStyle, Ui, Vec2, vec2};

use super::{FIELD, answers_if, fitted};
use crate::app::Action;
use crate::app::derived::Reading;
use crate::app::picture_desk::{ColourChoice, PictureForm, PictureSource, PictureTrial};
use crate::app::purpose::Next;
use crate::app::state::State;
use crate::app::view::ChartView;
use crate::chart::MAX_SIDE;
use crate::from_picture::MOST_COLOURS;
use crate::project::Project;
use crate::ui::theme::{CORNER, STEP, Tokens};
use crate::ui::widgets::{
    NumberField, caption, count_field, name, one_of_in, project_picture, row, row_if, tick_box, tip_beside,
};
use crate::units::both_lengths;

/// Width of the fields, and height of all above and below the picture.
const FIELDS: f32 = 2.0 * (FIELD + STEP * 2.0);
const BESIDES: f32 = 130.0;

/// The picture of the chart, which is of the shape of the source.
fn look(source: &PictureSource, room: Vec2) -> Vec2 {
    let shape = source.picture.width() as f32 / source.picture.height().max(1) as f32;
    fitted(shape, room - vec2(FIELDS + STEP * 2.0, BESIDES))
}

/// Width of the question.
pub fn width(state: &State, room: Vec2) -> f32 {
    state.desks.picture.source().map_or(0.0, |source| look(source, room).x + STEP * 2.0) + FIELDS
}

/// Asks and shows.
pub fn show(
    ui: &mut Ui,
    state: &State,
    chart: &mut ChartView,
    (form, room): (&mut PictureForm, Vec2),
    actions: &mut Vec<Action>,
) {
    let desk = &state.desks.picture;
    let Some(source) = desk.source() else {
        actions.push(Action::CloseDialog);
        return;
    };
    let reading = desk.trial(&state.document, &state.jobs, form);
    let fresh = matches!(reading, Reading::Fresh(_));
    let trial = reading.value();
    ui.horizontal_top(|ui| {
        ui.spacing_mut().item_spacing.x = STEP * 2.0;
        let (rect, response) = ui.allocate_exact_size(look(source, room), Sense::hover());
        response.widget_info(|| {
            egui::WidgetInfo::labeled(egui::Role::Image, true, format!("The chart of {}", source.name))
        });
        ui.painter().rect_filled(rect, CORNER, Tokens::of(ui).surround);
        if let Some(Ok(trial)) = trial.as_deref() {
            let place = Id::unique("chart from a picture");
            project_picture(ui, place, &trial.project, state.eyes, rect);
        }
        ui.vertical(|ui| {
            caption(ui, notes(source));
            fields(ui, state.project(), form);
            ui.add_space(STEP / 2.0);
            said(ui, trial.as_deref(), state.project(), form);
        });
    });
    let can_be = !matches!(trial.as_deref(), Some(Err(_)));
    let ready = trial.filter(|_| fresh);
    let ready = ready.as_deref().and_then(|trial| trial.as_ref().ok());
    match (answers_if(ui, can_be, &["Put in this project", "As a new project", "Cancel"]), ready) {
        (Some(0), Some(trial)) => {
            // Another size: the whole of it is to be seen.
            chart.fit = true;
            actions.push(Action::edit("Chart from a picture", trial.edit.clone()));
            actions.push(Action::CloseDialog);
        }
        (Some(1), Some(trial)) => {
            actions.push(Action::CloseDialog);
            actions.push(Action::Go(Next::Show(trial.alone.clone())));
        }
        (Some(2), _) => actions.push(Action::CloseDialog),
        (Some(_) | None, _) => {}
    }
}

fn notes(source: &PictureSource) -> String {
    let picture = &source.picture;
    let mut text = format!("{}, {} \u{d7} {} pixels.", source.name, picture.width(), picture.height());
    for note in &source.notes {
        text = format!("{text} {note}");
    }
    text
}

fn fields(ui: &mut Ui, project: &Project, form: &mut PictureForm) {
    let gauge = project.plan.gauge;
    row(ui, "Width", |ui| {
        if let Some(stitches) = count_field(ui, "Width", " stitches", 1..=MAX_SIDE, form.stitches) {
            form.stitches = stitches;
        }
    });
    row(ui, "which is", |ui| {
        let units = project.units;
        let field = NumberField {
            label: "Width as a length",
            suffix: &format!(" {}", units.length_suffix()),
            range: units.from_cm(gauge.width(1).get())..=units.from_cm(gauge.width(MAX_SIDE).get()),
            decimals: 1,
            speed: 0.5,
        };
        if let Some(length) = field.show(ui, units.from_cm(gauge.width(form.stitches).get())) {
            form.stitches = gauge.stitches_in(units.to_cm(length)).clamp(1, MAX_SIDE);
        }
    });
    row(ui, "Colours", |ui| {
        let choices = ColourChoice::ALL.map(|choice| (choice, choice.name()));
        one_of_in(ui, FIELD, "Colours", choices, &mut form.from);
    });
    row_if(ui, form.from != ColourChoice::Palette, "at most", |ui| {
        let kept = project.protected().count().max(1) as u32;
        let range = kept..=MOST_COLOURS as u32;
        if let Some(colours) = count_field(ui, "Colours at most", " colours", range, form.colours) {
            form.colours = colours;
        }
    });
    row_if(ui, !form.dither, "Tidy up", |ui| {
        let value = ui.spacing_mut();
        value.interact_size.x = 40.0;
        value.slider_width = FIELD - 40.0 - value.item_spacing.x;
        let slider = ui.add(Slider::new(&mut form.tidy, 0.0..=100.0).fixed_decimals(0));
        name(&slider, "Tidy up");
        tip_beside(slider, "Larger areas, fewer lone stitches");
    });
    row(ui, "In a row", |ui| {
        tick_box(ui, &mut form.limits_rows, "at most");
        ui.add_enabled_ui(form.limits_rows, |ui| {
            ui.spacing_mut().interact_size.x = ui.available_width();
            let range = 1..=MOST_COLOURS as u32;
            if let Some(most) = count_field(ui, "Colours in a row", " colours", range, form.per_row) {
                form.per_row = most;
            }
        });
    });
    row(ui, "Dither", |ui| {
        tick_box(ui, &mut form.dither, "mix colours stitch by stitch");
    });
}

/// Lines of figures.
const LINES: usize = 6;

/// The figures of the chart, or why there is none; as high in any case, so that nothing moves.
fn said(ui: &mut Ui, trial: Option<&Result<PictureTrial, String>>, project: &Project, form: &PictureForm) {
    let line = ui.text_style_height(&TextStyle::Small) + ui.spacing().item_spacing.y;
    let size = Vec2::new(ui.available_width(), line * LINES as f32);
    ui.allocate_ui(size, |ui| {
        ui.set_min_size(size);
        match trial {
            None => {}
            Some(Err(reason)) => drop(caption(ui, format!("Not possible: {reason}."))),
            Some(Ok(trial)) => {
                for line in figures(trial, project, form) {
                    caption(ui, line);
                }
            }
        }
    });
}

fn figures(trial: &PictureTrial, project: &Project, form: &PictureForm) -> [String; LINES] {
    let grid = &trial.project.chart.grid;
    let gauge = project.plan.gauge;
    let (width, height) = (gauge.width(grid.width()).get(), gauge.height(grid.height()).get());
    let figures = trial.figures;
    let rows = match (form.limits_rows, trial.rows_are_exact) {
        (false, _) => "",
        (true, true) => ", the best choice for every row",
        (true, false) => ", a good choice for every row",
    };
    let what = if project.pieces.pieces.is_empty() { "the chart as planned" } else { "all pieces" };
    let protected = project.protected().count();
    let kept = match (form.from, protected) {
        (ColourChoice::Palette, _) => String::new(),
        (_, 0) => "A colour that is locked in the palette is kept.".to_owned(),
        (_, n) => format!("Locked colours are kept: {n}."),
    };
    [
        format!(
            "{} \u{d7} {}: {} wide, {} tall.",
            grid.width(),
            grid.height(),
            both_lengths(width, project.units),
            both_lengths(height, project.units)
        ),
        format!(
            "Off by {:.1} on average, {:.1} for all but 5 of 100 stitches (CIEDE2000).",
            trial.closeness.mean, trial.closeness.p95
        ),
        format!(
            "Lone stitches: {}. Colours in a row: up to {}{rows}.",
            figures.lone_stitches, figures.colours_per_row_max
        ),
        format!("Floats over the limit: {}.", figures.long_floats),
        format!(
            "Yarn for {what}: about {:.0} {} in all.",
            project.units.from_metres(trial.metres),
            project.units.yarn_suffix()
        ),
        kept,
    ]
}
