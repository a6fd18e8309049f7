//! Gauge, technique and how often the chart repeats.

use egui::{CollapsingHeader, Ui};

use crate::app::Action;
use crate::chart::Rect;
use crate::knit::{Construction, Gauge, Technique};
use crate::project::chart_edits::set_repeat;
use crate::project::{Edit, KnitPlan, Project};
use crate::ui::widgets::{Form, NumberField, caption, count_field, row};
use crate::units::{LengthUnit, RowsPer10Cm, StitchesPer10Cm, both_lengths};

/// Shows the plan.
pub fn show(ui: &mut Ui, project: &Project, actions: &mut Vec<Action>) {
    ui.horizontal(|ui| {
        ui.label("Units");
        super::at_right(ui, |ui| {
            for unit in LengthUnit::ALL.into_iter().rev() {
                let chosen = project.units == unit;
                let text = unit.length_suffix();
                if ui.selectable_label(chosen, text).on_hover_text("Units shown and typed").clicked()
                    && !chosen
                {
                    actions.push(Action::edit("Units", Edit::Units(unit)));
                }
            }
        });
    });
    gauge_fields(ui, project, actions);
    caption(ui, project.gauge_words());
    choices(ui, project, actions);
    counts(ui, project, actions);
    CollapsingHeader::new("Repeat box").show(ui, |ui| repeat_box(ui, project, actions));
    CollapsingHeader::new("Rules and allowances").show(ui, |ui| rules(ui, project, actions));
}

/// An edit of the plan.
fn plan(project: &Project, label: &'static str, change: impl FnOnce(&mut KnitPlan)) -> Action {
    let mut plan = project.plan.clone();
    change(&mut plan);
    Action::gesture(label, Edit::Plan(Box::new(plan)))
}

/// Shows a number of the plan and turns a change of it into an action.
fn field(
    ui: &mut Ui,
    text: &str,
    number: &NumberField,
    value: f64,
    actions: &mut Vec<Action>,
    change: impl FnOnce(f64) -> Action,
) {
    let mut form = Form::new(ui);
    if let Some(typed) = form.number(text, number, value) {
        actions.push(change(typed));
    }
    if form.ended() {
        actions.push(Action::EndGesture);
    }
}

fn gauge_fields(ui: &mut Ui, project: &Project, actions: &mut Vec<Action>) {
    let units = project.units;
    let (factor, suffix) = (units.gauge_factor(), format!(" in {}", units.gauge_base()));
    let gauge = project.plan.gauge;
    let number = |label, min: f64, max: f64| NumberField {
        label,
        suffix: &suffix,
        range: min * factor..=max * factor,
        decimals: 2,
        speed: 0.1,
    };
    let stitches = number("Gauge, stitches", StitchesPer10Cm::MIN, StitchesPer10Cm::MAX);
    field(ui, "Stitches (washed)", &stitches, gauge.stitches.get() * factor, actions, |typed| {
        plan(project, "Gauge", |plan| {
            plan.gauge = Gauge { stitches: StitchesPer10Cm::clamped(typed / factor), ..gauge };
        })
    });
    let rows = number("Gauge, rows", RowsPer10Cm::MIN, RowsPer10Cm::MAX);
    field(ui, "Rows (washed)", &rows, gauge.rows.get() * factor, actions, |typed| {
        plan(project, "Gauge", |plan| {
            plan.gauge = Gauge { rows: RowsPer10Cm::clamped(typed / factor), ..gauge };
        })
    });
}

fn choices(ui: &mut Ui, project: &Project, actions: &mut Vec<Action>) {
    let (mut technique, mut construction) = (project.plan.technique, project.plan.construction);
    let mut form = Form::new(ui);
    form.choice("Technique", "Technique", Technique::ALL.map(|one| (one, one.name())), &mut technique);
    form.choice("Worked", "Worked", Construction::ALL.map(|one| (one, one.name())), &mut construction);
    if technique != project.plan.technique {
        actions.push(plan(project, "Technique", |plan| plan.technique = technique));
    }
    if construction != project.plan.construction {
        actions.push(plan(project, "Construction", |plan| plan.construction = construction));
    }
    if form.ended() {
        actions.push(Action::EndGesture);
    }
}

fn counts(ui: &mut Ui, project: &Project, actions: &mut Vec<Action>) {
    let number =
        |label, suffix, max| NumberField { label, suffix, range: 0.0..=max, decimals: 0, speed: 0.3 };
    let value = &project.plan;
    let needle = NumberField { range: 1.0..=20_000.0, ..number("Stitches on the needle", " stitches", 0.0) };
    field(ui, "On the needle", &needle, f64::from(value.needle_stitches), actions, |typed| {
        plan(project, "Stitches on the needle", |plan| plan.needle_stitches = typed as u32)
    });
    let edge = number("Edge stitches", " stitches", 2000.0);
    field(ui, "At the edges", &edge, f64::from(value.edge_stitches), actions, |typed| {
        plan(project, "Edge stitches", |plan| plan.edge_stitches = typed as u32)
    });
    let up = NumberField { range: 1.0..=2000.0, ..number("Repeats up", "", 0.0) };
    field(ui, "Repeats up", &up, f64::from(value.repeats_up), actions, |typed| {
        plan(project, "Repeats up", |plan| plan.repeats_up = typed as u32)
    });
    let (around, over) = project.repeats_around();
    let gauge = value.gauge;
    let tall = gauge.height(project.chart.repeat().height.saturating_mul(value.repeats_up)).get();
    let rest = if over == 0 { String::new() } else { format!(" and {over} stitches over") };
    let alone = if project.pieces.pieces.is_empty() { "" } else { "The chart alone, not the pieces: " };
    let plural = if around == 1 { "" } else { "s" };
    let (across, wide) = match value.construction {
        Construction::InTheRound => ("around", "around"),
        Construction::Flat => ("across", "wide"),
    };
    caption(
        ui,
        format!(
            "{alone}{around} repeat{plural} {across}{rest}: {} {wide}, {} tall, washed.",
            both_lengths(gauge.width(value.needle_stitches).get(), project.units),
            both_lengths(tall, project.units)
        ),
    );
}

fn repeat_box(ui: &mut Ui, project: &Project, actions: &mut Vec<Action>) {
    let (grid, repeat) = (&project.chart.grid, project.chart.repeat());
    let mut wanted = repeat;
    let from_right = grid.width() - repeat.x - repeat.width + 1;
    row(ui, "First stitch", |ui| {
        let most = grid.width() - repeat.width + 1;
        if let Some(first) = count_field(ui, "Repeat from stitch", "", 1..=most, from_right) {
            wanted.x = grid.width() - repeat.width - (first - 1);
        }
    });
    row(ui, "Stitches", |ui| {
        let most = repeat.x + repeat.width;
        if let Some(width) = count_field(ui, "Repeat stitches", "", 1..=most, repeat.width) {
            wanted = Rect { x: repeat.x + repeat.width - width, width, ..repeat };
        }
    });
    row(ui, "First row", |ui| {
        let most = grid.height() - repeat.height + 1;
        if let Some(first) = count_field(ui, "Repeat from row", "", 1..=most, repeat.y + 1) {
            wanted.y = first - 1;
        }
    });
    row(ui, "Rows", |ui| {
        let most = grid.height() - repeat.y;
        if let Some(height) = count_field(ui, "Repeat rows", "", 1..=most, repeat.height) {
            wanted.height = height;
        }
    });
    if wanted != repeat
        && let Ok(edit) = set_repeat(project, wanted)
    {
        actions.push(Action::edit("Repeat box", edit));
    }
    caption(ui, "Or choose a region on the chart and make it the repeat.");
}

fn rules(ui: &mut Ui, project: &Project, actions: &mut Vec<Action>) {
    let value = &project.plan;
    let units = project.units;
    let stitches = NumberField {
        label: "Longest float in stitches",
        suffix: " sts",
        range: 1.0..=50.0,
        decimals: 0,
        speed: 0.1,
    };
    field(ui, "Longest float", &stitches, f64::from(value.float_limit.stitches), actions, |typed| {
        plan(project, "Float limit", |plan| plan.float_limit.stitches = typed as u32)
    });
    let suffix = format!(" {}", units.length_suffix());
    let length = |label, min: f64, max: f64| NumberField {
        label,
        suffix: &suffix,
        range: units.from_cm(min)..=units.from_cm(max),
        decimals: 2,
        speed: 0.05,
    };
    field(
        ui,
        "And at most",
        &length("Longest float in length", 0.5, 20.0),
        units.from_cm(value.float_limit.cm),
        actions,
        |typed| plan(project, "Float limit", |plan| plan.float_limit.cm = units.to_cm(typed)),
    );
    let colours =
        NumberField { label: "Colours in a row", suffix: "", range: 1.0..=64.0, decimals: 0, speed: 0.1 };
    field(ui, "Colours in a row", &colours, f64::from(value.colours_per_row), actions, |typed| {
        plan(project, "Colours in a row", |plan| plan.colours_per_row = typed as u32)
    });
    let waste = NumberField { label: "Waste", suffix: " %", range: 0.0..=100.0, decimals: 1, speed: 0.2 };
    field(ui, "Waste and knots", &waste, value.waste_percent, actions, |typed| {
        plan(project, "Waste", |plan| plan.waste_percent = typed)
    });
    field(
        ui,
        "Tail at each join",
        &length("Tail", 0.0, 100.0),
        units.from_cm(value.tail_cm),
        actions,
        |typed| plan(project, "Tail", |plan| plan.tail_cm = units.to_cm(typed)),
    );
    field(
        ui,
        "Swatch side",
        &length("Swatch", 0.0, 100.0),
        units.from_cm(value.swatch_cm),
        actions,
        |typed| plan(project, "Swatch", |plan| plan.swatch_cm = units.to_cm(typed)),
    );
    caption(ui, "Five stitches or 2.5 cm, two colours in a row: common practice; change them to your hand.");
}
