//! What follows from a swatch: gauge, change in the wash, yarn in a stitch, doubts and advice.

use egui::{Button, Label, Ui};

use super::{log, picture};
use crate::app::Action;
use crate::knit::{GaugeAdvice, MeasuredGauge, Swatch, advise_on_gauge, gauge_told, swatch_flags};
use crate::plain_text::signed;
use crate::project::{
    Edit, GAUGE_STEP, LoggedSwatch, Project, Weighing, gauges_alike, swatch_fabric, use_gauge_of,
};
use crate::ui::theme::STEP;
use crate::ui::widgets::{Icon, caption, heading, item, primary};
use crate::units::LengthUnit;
use crate::yarn::Needs;

/// Shows the results.
pub fn show(ui: &mut Ui, project: &Project, entry: &LoggedSwatch, actions: &mut Vec<Action>) {
    let units = project.units;
    heading(ui, "Gauge");
    gauges(ui, &entry.swatch, units);
    pooled(ui, project, entry);
    caption(ui, follows(project));
    caption(ui, project.gauge_words());
    if entry.swatch.before.is_some() || entry.swatch.after.is_some() {
        ui.add_space(STEP);
        picture::show(ui, &entry.swatch, units);
    }
    washed(ui, &entry.swatch);
    yarn(ui, project, entry, actions);
    doubts(ui, project, &entry.swatch);
    advice(ui, project, &entry.swatch);
    ui.add_space(STEP);
}

/// A measured gauge with what counting leaves open.
fn line(ui: &mut Ui, title: &str, measured: Option<&MeasuredGauge>, units: LengthUnit) {
    let factor = units.gauge_factor();
    let text = match measured {
        Some(measured) => format!("{title}: {} (stitches and rows)", log::gauge(measured, units)),
        None => format!("{title}: not measured"),
    };
    ui.add(Label::new(text).wrap());
    if let Some(measured) = measured {
        let how = if measured.read_off {
            "Off a photograph, two standard deviations"
        } else {
            "Counted to half a stitch"
        };
        caption(
            ui,
            format!(
                "{how}: {:.1} to {:.1} stitches, {:.1} to {:.1} rows; every width is sure to {:.1} %.",
                measured.stitches.0 * factor,
                measured.stitches.1 * factor,
                measured.rows.0 * factor,
                measured.rows.1 * factor,
                measured.width_error_percent()
            ),
        );
    }
}

fn gauges(ui: &mut Ui, swatch: &Swatch, units: LengthUnit) {
    line(ui, "Washed", swatch.gauge_after().as_ref(), units);
    line(ui, "Off the needles", swatch.gauge_before().as_ref(), units);
}

/// The gauge together with the swatches like it, when there are any.
fn pooled(ui: &mut Ui, project: &Project, entry: &LoggedSwatch) {
    let (count, measured) = project.material.gauge_with_likes(entry);
    if let Some(measured) = measured.filter(|_| count > 1) {
        line(ui, &format!("All {count} like it together, to compare"), Some(&measured), project.units);
    }
}

/// The buttons that plan with the washed gauge of this swatch and that follow it, always in view.
pub(super) fn apply(ui: &mut Ui, project: &Project, entry: &LoggedSwatch, actions: &mut Vec<Action>) {
    let planned = project.plan.gauge;
    let washed = entry.swatch.gauge_after().map(|measured| measured.gauge);
    let place = project.material.swatches.iter().position(|other| std::ptr::eq(other, entry));
    let followed = project.material.followed();
    let is_followed = followed.is_some_and(|followed| Some(followed.place) == place);
    let text = use_gauge_of(place.unwrap_or_default());
    ui.add_space(STEP);
    ui.horizontal_wrapped(|ui| {
        let wanted = washed.filter(|gauge| !gauges_alike(*gauge, planned));
        let response = primary(ui, wanted.is_some(), &text);
        let response = response
            .on_hover_text("The project follows this swatch, and every size, motif and yardage its washed gauge; undo takes it back")
            .on_disabled_hover_text(if washed.is_some() {
                "The project is planned with this gauge"
            } else {
                "Wash, dry and measure the swatch first"
            });
        if let (true, Some(gauge), Some(place)) = (response.clicked(), wanted, place) {
            actions.push(Action::edit(GAUGE_STEP, project.plan_with_gauge_of(place, gauge)));
            actions.push(Action::Done(format!("Planned at {} now.", gauge_told(gauge, project.units))));
        }
        let can = entry.swatch.is_measured() && !is_followed;
        let response = ui.add_enabled(can, Button::new("Follow this swatch"));
        let response = response
            .on_hover_text("The planned gauge is held against this swatch, here, in Design, Pieces, the sheet and inspect")
            .on_disabled_hover_text(if is_followed {
                "The project follows this swatch"
            } else {
                "Enter its counts and its size first"
            });
        if response.clicked() {
            let mut material = project.material.clone();
            material.follows = place;
            actions.push(Action::edit("Follow this swatch", Edit::Material(Box::new(material))));
        }
    });
    ui.add_space(STEP);
}

/// Which swatch the project follows, and why that one.
fn follows(project: &Project) -> String {
    let Some(followed) = project.material.followed() else {
        return "The project follows no swatch: none is measured.".to_owned();
    };
    format!("The project follows {}, {}.", followed.name(), followed.why())
}

fn washed(ui: &mut Ui, swatch: &Swatch) {
    let Some(change) = swatch.wash_change() else { return };
    let words = |percent: f64| match percent {
        p if p.abs() < 0.05 => "unchanged".to_owned(),
        p if p > 0.0 => format!("grew {p:.1} %"),
        p => format!("shrank {:.1} %", p.abs()),
    };
    part(ui, "In the wash");
    ui.add(
        Label::new(format!(
            "Width {}, length {}; area {}.",
            words(change.width_percent),
            words(change.length_percent),
            words(change.area_percent)
        ))
        .wrap(),
    );
}

fn part(ui: &mut Ui, text: &str) {
    ui.add_space(STEP);
    heading(ui, text);
}

/// Yarn in a stitch, from the scales, against the model.
fn yarn(ui: &mut Ui, project: &Project, entry: &LoggedSwatch, actions: &mut Vec<Action>) {
    let Ok(Some(metres)) = entry.swatch.metres_per_stitch(entry.grist) else { return };
    let units = project.units;
    part(ui, "Yarn in a stitch");
    let per_stitch = match units {
        LengthUnit::Metric => format!("{:.2} cm", metres * 100.0),
        LengthUnit::Imperial => format!("{:.2} in", units.from_cm(metres * 100.0)),
    };
    let (length, suffix) = (units.from_metres(metres * 1000.0), units.yarn_suffix());
    ui.add(Label::new(format!("{per_stitch} a stitch, {length:.1} {suffix} in 1000 stitches.")).wrap());
    if let Ok(Some(calibration)) = entry.swatch.calibration(entry.grist) {
        let verdict = if calibration.within_model { "inside" } else { "outside" };
        caption(
            ui,
            format!(
                "Sure to {:.1} % (one standard deviation: scales, counting, label, hands). It takes {} % \
                 against the loop model at this gauge, {verdict} the model's range.",
                calibration.error * 100.0,
                signed(calibration.disagreement_percent, 0)
            ),
        );
    }
    if let Some(weighing) = project.weighing(entry) {
        verdict(ui, project, entry, &weighing, actions);
    }
}

/// Whether the scales take the place of the model, what speaks against it, and the click that overrules.
fn verdict(
    ui: &mut Ui,
    project: &Project,
    entry: &LoggedSwatch,
    weighing: &Weighing,
    actions: &mut Vec<Action>,
) {
    let followed = project.loop_basis().swatch.map(|swatch| swatch.place);
    let place = project.material.swatches.iter().position(|other| std::ptr::eq(other, entry));
    for doubt in &weighing.doubts {
        item(ui, Icon::Warning, &doubt.words(project.units));
    }
    let (icon, words) = match (weighing.is_used(), weighing.doubts.is_empty()) {
        (false, _) => (Icon::Warning, "The project's yarn does not follow it: the loop model stays."),
        (true, _) if followed != place => (Icon::Note, "The project's yarn follows another weighed swatch."),
        (true, true) => (Icon::Tick, "It fits the model and the plan: the project's yarn follows it."),
        (true, false) => (Icon::Note, "You overruled this: the project's yarn follows the swatch."),
    };
    item(ui, icon, words);
    if weighing.doubts.is_empty() || !weighing.can_be_overruled() {
        return;
    }
    let (text, tip) = if weighing.trusted {
        ("Go by the model again", "The yarn of the project rests on the loop model")
    } else {
        ("Use it all the same", "The yarn of the project follows this swatch; undo takes it back")
    };
    if let (true, Some(place)) = (ui.button(text).on_hover_text(tip).clicked(), place) {
        let mut material = project.material.clone();
        if let Some(weighed) = &mut material.swatches[place].swatch.weighed {
            weighed.trusted = !weighing.trusted;
        }
        actions.push(Action::edit(text, Edit::Material(Box::new(material))));
    }
}

/// What is doubtful about the swatch.
fn doubts(ui: &mut Ui, project: &Project, swatch: &Swatch) {
    let flags = swatch_flags(swatch, swatch_fabric(project.plan.technique), project.plan.construction);
    let needs = project.material.needs;
    let cared = swatch.after.map(|_| swatch.care.doubts(needs.map(Needs::washed))).unwrap_or_default();
    part(ui, "Can it be trusted?");
    if flags.is_empty() && cared.is_empty() {
        item(ui, Icon::Tick, "Large enough, knitted, washed and dried as the piece will be.");
    }
    for flag in flags {
        item(ui, Icon::Warning, &flag.words());
    }
    for doubt in cared {
        item(ui, if doubt.is_not_noted() { Icon::Note } else { Icon::Warning }, &doubt.words());
    }
}

/// What to do about the planned gauge.
fn advice(ui: &mut Ui, project: &Project, swatch: &Swatch) {
    let Some(measured) = swatch.best_gauge() else { return };
    part(ui, "To meet the planned gauge");
    let example = project.plan.gauge.width(project.plan.needle_stitches).get();
    for advice in advise_on_gauge(&measured, project.plan.gauge, swatch.needle_mm) {
        let icon = if advice == GaugeAdvice::OnGauge { Icon::Tick } else { Icon::Note };
        item(ui, icon, &advice.words(example, project.units));
    }
    if !measured.washed {
        caption(ui, "Judged by the gauge off the needles; the washed one counts.");
    }
}
