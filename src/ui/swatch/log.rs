//! The list of swatches.

use egui::{FontId, Role, Sense, Ui, Vec2, WidgetInfo};

use super::{SwatchView, gesture};
use crate::app::Action;
use crate::app::gauge_desk::GaugeAction;
use crate::knit::{MeasuredGauge, Swatch};
use crate::project::{LoggedSwatch, Project, swatch_fabric};
use crate::ui::theme::{BODY, CORNER, SMALL, STEP, Tokens, semibold};
use crate::ui::widgets::{caption, focus_ring, heading, truncated};
use crate::units::LengthUnit;

/// Height of a swatch in the list, in points.
const ROW: f32 = 62.0;

/// Shows the list.
pub fn show(ui: &mut Ui, project: &Project, view: &mut SwatchView, actions: &mut Vec<Action>) {
    let swatches = &project.material.swatches;
    heading(ui, "Swatch log");
    if swatches.is_empty() {
        caption(ui, "No swatch yet.");
    }
    let followed = project.material.followed().map(|followed| followed.place);
    for (place, entry) in swatches.iter().enumerate() {
        if row(ui, (place, entry), (place == view.shown, followed == Some(place)), project.units) {
            view.shown = place;
        }
    }
    let tip = "Stitches and rows off a picture of a swatch beside a card, a ruler or a coin";
    if ui.button("Gauge from a photograph…").on_hover_text(tip).clicked() {
        actions.push(Action::Gauge(GaugeAction::Pick));
    }
    ui.horizontal(|ui| {
        if ui.button("Add a swatch").clicked()
            && let Some(fresh) = fresh(project)
        {
            view.shown = swatches.len();
            actions.push(gesture(project, "Add a swatch", |material| material.swatches.push(fresh)));
            actions.push(Action::EndGesture);
        }
        if !swatches.is_empty()
            && ui.button("Remove").on_hover_text("Remove the swatch that is shown").clicked()
        {
            let place = view.shown;
            actions.push(gesture(project, "Remove swatch", |material| {
                material.remove_swatch(place);
            }));
            actions.push(Action::EndGesture);
        }
    });
}

/// A swatch to start from, in the yarn of the one before it, else of the project, and in the planned stitch; nobody told
/// its needle, counted or measured it yet.
pub fn fresh(project: &Project) -> Option<LoggedSwatch> {
    let plan = &project.plan;
    let last = project.material.swatches.last();
    let main = project.palette.slot_of(crate::project::Role::Main).unwrap_or(0);
    let slot = project.palette.slots().get(main)?;
    let (yarn, grist) = match (last, &project.material.yarn) {
        (Some(entry), _) => (entry.yarn.clone(), entry.grist),
        (None, Some(yarn)) => (yarn.name.clone(), yarn.put_up.grist),
        (None, None) => (slot.name.clone(), slot.yarn.put_up.grist),
    };
    Some(LoggedSwatch::uncounted(yarn, grist, (swatch_fabric(plan.technique), plan.construction)))
}

/// The needle in words.
pub fn needle(swatch: &Swatch) -> String {
    swatch.needle_mm.map_or_else(|| "needle not told".to_owned(), |mm| format!("{mm} mm"))
}

/// The state of a swatch in words: its gauge, or what is to be entered before it has one.
pub fn state(swatch: &Swatch, units: LengthUnit) -> String {
    match swatch.best_gauge() {
        Some(measured) => format!("{}, {}", gauge(&measured, units), measured.state()),
        None => format!("not measured: {}", swatch.to_be_measured()),
    }
}

/// A gauge in words: `28.0 × 32.0 in 10 cm`.
pub fn gauge(measured: &MeasuredGauge, units: LengthUnit) -> String {
    let factor = units.gauge_factor();
    let gauge = measured.gauge;
    format!(
        "{:.1} × {:.1} in {}",
        gauge.stitches.get() * factor,
        gauge.rows.get() * factor,
        units.gauge_base()
    )
}

/// One swatch; whether it was clicked.
fn row(
    ui: &mut Ui,
    (place, entry): (usize, &LoggedSwatch),
    (shown, followed): (bool, bool),
    units: LengthUnit,
) -> bool {
    let (rect, response) =
        ui.allocate_exact_size(Vec2::new(ui.available_width() - STEP, ROW), Sense::click());
    let title = format!("{}. {}", place + 1, entry.yarn);
    let text = format!("{}, {}", needle(&entry.swatch), state(&entry.swatch, units));
    let second = if followed { "; the project follows it" } else { "" };
    response.widget_info(|| {
        WidgetInfo::selected(Role::Button, true, shown, format!("Swatch {title}: {text}{second}"))
    });
    let tokens = Tokens::of(ui);
    let fill = tokens.list_fill(shown, &response);
    ui.painter().rect_filled(rect, CORNER, fill);
    let line = |text: String, font: FontId, ink| truncated(ui, text, font, ink, rect.width() - 2.0 * STEP);
    let font = if shown { FontId::new(BODY, semibold()) } else { FontId::proportional(BODY) };
    let at = rect.min + Vec2::new(STEP, 4.0);
    ui.painter().galley(at, line(title, font, tokens.text), tokens.text);
    let small = FontId::proportional(SMALL);
    let ink = if shown { tokens.text } else { tokens.weak };
    let texts = [needle(&entry.swatch) + second, state(&entry.swatch, units)];
    for (text, down) in texts.into_iter().zip([20.0, 36.0]) {
        ui.painter().galley(at + Vec2::new(0.0, down), line(text, small.clone(), ink), ink);
    }
    if response.has_focus() {
        focus_ring(ui, rect);
    }
    response.clicked()
}
