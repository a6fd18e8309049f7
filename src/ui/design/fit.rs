//! Motif fit and repeat fit: does it survive at this gauge, and does it go around?

use egui::{Sense, Ui, Vec2};

use crate::app::Action;
use crate::app::chart_commands;
use crate::app::state::State;
use crate::app::view::ChartView;
use crate::chart::{BasicShape, MOST_STRETCH, MotifFit};
use crate::project::Project;
use crate::ui::theme::{Tokens, semibold};
use crate::ui::widgets::{Icon, NumberField, caption, count_field, figure, heading, one_of_in, row};
use crate::units::{LengthUnit, both_lengths, counted};
use crate::yarn::WeightClass;

/// What the sections remember between frames: what is asked for.
pub struct FitView {
    shape: BasicShape,
    width_cm: f64,
}

impl Default for FitView {
    fn default() -> Self {
        Self { shape: BasicShape::Circle, width_cm: 3.0 }
    }
}

/// Shows motif fit for a basic shape and for the chosen region, then the repeat fit.
pub fn show(
    ui: &mut Ui,
    state: &State,
    chart: &mut ChartView,
    view: &mut FitView,
    actions: &mut Vec<Action>,
) {
    heading(ui, "Motif fit");
    ask(ui, state.project(), view);
    let key = (view.shape, view.width_cm, state.project().plan.gauge);
    match state.desks.shape_fit(key, &state.jobs).value().as_deref() {
        Some(Ok(fit)) => shape_report(ui, state, chart, fit),
        Some(Err(reason)) => {
            caption(ui, format!("{reason}: ask for a smaller shape."));
        }
        None => {
            caption(ui, "Working it out…");
        }
    }
    ui.separator();
    repeat_section(ui, state, actions);
    ui.separator();
    // Last: it comes and goes with what is chosen on the chart.
    heading(ui, "Fit of the region");
    region_section(ui, state, chart.region);
}

fn ask(ui: &mut Ui, project: &Project, view: &mut FitView) {
    row(ui, "Shape", |ui| {
        let shapes = BasicShape::ALL.map(|shape| (shape, shape.name()));
        one_of_in(ui, ui.spacing().combo_width, "Shape", shapes, &mut view.shape);
    });
    row(ui, "Width", |ui| {
        let units = project.units;
        let suffix = format!(" {}", units.length_suffix());
        let field = NumberField {
            label: "Shape width",
            suffix: &suffix,
            range: units.from_cm(0.2)..=units.from_cm(100.0),
            decimals: 2,
            speed: 0.02,
        };
        if let Some(typed) = field.show(ui, units.from_cm(view.width_cm)) {
            view.width_cm = units.to_cm(typed);
        }
    });
    row(ui, "or in stitches", |ui| {
        let stitch = project.plan.gauge.width(1).get();
        let count = |cm: f64| (cm / stitch).round().max(1.0) as u32;
        let range = 1..=count(100.0).max(1);
        let label = "Shape width in stitches";
        if let Some(typed) = count_field(ui, label, " sts", range, count(view.width_cm)) {
            view.width_cm = project.plan.gauge.width(typed).get();
        }
    });
}

/// A verdict with its mark, in words.
fn verdict(ui: &mut Ui, good: bool, text: &str) {
    ui.horizontal(|ui| {
        let tokens = Tokens::of(ui);
        let (rect, _) = ui.allocate_exact_size(Vec2::splat(16.0), Sense::hover());
        let icon = if good { Icon::Tick } else { Icon::Warning };
        icon.paint(ui.painter(), rect, tokens.text);
        ui.add(egui::Label::new(egui::RichText::new(text).family(semibold())).wrap());
    });
}

fn shape_report(ui: &mut Ui, state: &State, chart: &mut ChartView, fit: &MotifFit) {
    let (units, gauge) = (state.project().units, state.project().plan.gauge);
    ui.horizontal_top(|ui| {
        figure(ui, "Shape in stitches", &fit.raster, gauge, 84.0);
        ui.vertical(|ui| {
            let shape = fit.shape.name();
            let text =
                if fit.is_legible() { format!("{shape} survives") } else { format!("{shape} is lost") };
            verdict(ui, fit.is_legible(), &text);
            caption(ui, format!("{} × {} stitches", fit.raster.width(), fit.raster.height()));
            caption(ui, format!("{} wide", both_lengths(fit.width_cm, units)));
            caption(ui, format!("{} high", both_lengths(fit.height_cm, units)));
            if ui
                .button("Stamp into chart")
                .on_hover_text("Hold the shape over the chart in the chosen colour")
                .clicked()
            {
                chart_commands::hold_figure(state.project(), chart, &fit.raster);
            }
        });
    });
    if !fit.is_legible() {
        let reasons: Vec<String> = fit.problems.iter().map(ToString::to_string).collect();
        caption(ui, format!("Here {}.", reasons.join("; ")));
    }
    let thinnest = fit.thinnest.map_or_else(
        || "nothing left".to_owned(),
        |part| {
            let stitches = counted(u64::from(part.stitches), "stitch", "stitches");
            let rows = counted(u64::from(part.rows), "row", "rows");
            format!("{stitches} or {rows} ({:.1} mm)", fit.thinnest_mm)
        },
    );
    caption(
        ui,
        format!(
            "{} Thinnest part {thinnest}. Overlap with the ideal outline {:.0} %, largest deviation {:.1} mm.",
            stretch_sentence(fit.stretch),
            fit.overlap * 100.0,
            fit.deviation_mm
        ),
    );
    caption(ui, smallest_words(fit, units));
}

/// How far the shape is out of proportion.
fn stretch_sentence(stretch: f64) -> String {
    let percent = (stretch - 1.0) * 100.0;
    match percent {
        p if p.abs() < 0.5 => "In proportion.".to_owned(),
        p => format!(
            "{:.0} % too {} for its width ({:.0} % is allowed).",
            p.abs(),
            if p > 0.0 { "high" } else { "low" },
            MOST_STRETCH * 100.0
        ),
    }
}

/// The smallest size at this gauge and the smallest gauge for this size, in words.
fn smallest_words(fit: &MotifFit, units: LengthUnit) -> String {
    let Some(smallest) = &fit.smallest else {
        return "On cells of this shape it never passes: they are much longer one way than the other."
            .to_owned();
    };
    let at_gauge = format!(
        "At this gauge it passes from {} × {} stitches, {}.",
        smallest.stitches,
        smallest.rows,
        both_lengths(smallest.width_cm, units)
    );
    let gauge = smallest.gauge.map_or_else(
        || "No gauge is fine enough for the asked size.".to_owned(),
        |gauge| {
            let count = gauge.stitches.get() * units.gauge_factor();
            let class = WeightClass::coarsest_reaching(gauge.stitches).map_or_else(
                || "finer than any yarn weight class".to_owned(),
                |class| format!("yarn weight {} {} or finer", class.facts().number, class.name()),
            );
            format!("The asked size passes from {count:.1} stitches in {}: {class}.", units.gauge_base())
        },
    );
    format!("{at_gauge} {gauge}")
}

fn region_section(ui: &mut Ui, state: &State, region: Option<crate::chart::Rect>) {
    let Some(region) = region else {
        caption(ui, "Choose a region of the chart to test a motif you have drawn.");
        return;
    };
    let project = state.project();
    let Some(fit) = state.desks.region_fit(&state.document, &state.jobs, region).value() else { return };
    let Some(fit) = fit.as_ref() else {
        caption(ui, "The region holds nothing but background.");
        return;
    };
    let good = fit.is_legible();
    verdict(ui, good, if good { "The region's motif survives" } else { "The region's motif is weak" });
    for line in fit.words(project.units) {
        caption(ui, line);
    }
}

fn repeat_section(ui: &mut Ui, state: &State, actions: &mut Vec<Action>) {
    heading(ui, "Repeat fit");
    let project = state.project();
    let Some(figures) = state.figures() else { return };
    let fit = &figures.repeat_fit;
    let repeat = project.chart.repeat().width;
    if fit.divides() {
        let (times, _) = project.repeats_around();
        verdict(ui, true, &format!("{repeat} stitches go {times} times around"));
        return;
    }
    verdict(ui, false, &format!("{repeat} stitches do not go around evenly"));
    for choice in [fit.below, fit.above].into_iter().flatten() {
        let change = both_lengths(choice.change_cm.abs(), project.units);
        let way = if choice.change_cm < 0.0 { "narrower" } else { "wider" };
        ui.horizontal_wrapped(|ui| {
            let text = format!("Use {} stitches", choice.stitches);
            if ui.button(text).clicked() {
                let mut plan = project.plan.clone();
                plan.needle_stitches = choice.stitches;
                let edit = crate::project::Edit::Plan(Box::new(plan));
                actions.push(Action::edit("Stitches on the needle", edit));
            }
            caption(ui, format!("{} repeats, {change} {way}", choice.repeats));
        });
    }
    if let Some(words) = fit.partial_words() {
        caption(ui, words);
    }
}
