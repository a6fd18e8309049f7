//! The list of swatches.

use egui::{FontId, Role, Sense, Ui, Vec2, WidgetInfo};

use super::{SwatchView, gesture};
use crate::app::Action;
use crate::app::gauge_desk::GaugeAction;
use crate::knit::MeasuredGauge;
use crate::project::{LoggedSwatch, Project, swatch_fabric};
use crate::ui::theme::{BODY, CORNER, SMALL, STEP, Tokens, semibold};
use crate::ui::widgets::{caption, focus_ring, heading, truncated};
use crate::units::LengthUnit;

/// Needle of a new swatch in mm, to be changed to the one in hand.
const NEEDLE_MM: f64 = 3.5;

/// Shows the list.
pub fn show(ui: &mut Ui, project: &Project, view: &mut SwatchView, actions: &mut Vec<Action>) {
    let swatches = &project.material.swatches;
    heading(ui, "Swatch log");
    if swatches.is_empty() {
        caption(ui, "No swatch yet.");
    }
    for (place, entry) in swatches.iter().enumerate() {
        if row(ui, place, entry, place == view.shown, project.units) {
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
                if place < material.swatches.len() {
                    material.swatches.remove(place);
                }
            }));
            actions.push(Action::EndGesture);
        }
    });
}

/// A swatch to start from: as the one before it, else in the project's yarn and as it is planned; not yet
/// measured.
pub fn fresh(project: &Project) -> Option<LoggedSwatch> {
    let plan = &project.plan;
    let counts = (plan.gauge.stitches_in(10.0).max(1), plan.gauge.rows_in(10.0).max(1));
    let last = project.material.swatches.last();
    let needle_mm = last.map_or(NEEDLE_MM, |entry| entry.swatch.needle_mm);
    let main = project.palette.slot_of(crate::project::Role::Main).unwrap_or(0);
    let slot = project.palette.slots().get(main)?;
    let (yarn, grist) = match (last, &project.material.yarn) {
        (Some(entry), _) => (entry.yarn.clone(), entry.grist),
        (None, Some(yarn)) => (yarn.name.clone(), yarn.put_up.grist),
        (None, None) => (slot.name.clone(), slot.yarn.put_up.grist),
    };
    let how = (swatch_fabric(plan.technique), plan.construction);
    LoggedSwatch::new(yarn, grist, needle_mm, how, counts).ok()
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
fn row(ui: &mut Ui, place: usize, entry: &LoggedSwatch, shown: bool, units: LengthUnit) -> bool {
    let (rect, response) =
        ui.allocate_exact_size(Vec2::new(ui.available_width() - STEP, 46.0), Sense::click());
    let title = format!("{}. {}", place + 1, entry.yarn);
    let state = match entry.swatch.best_gauge() {
        Some(measured) if measured.washed => format!("{}, washed", gauge(&measured, units)),
        Some(measured) => format!("{}, not washed", gauge(&measured, units)),
        None => "not measured".to_owned(),
    };
    let text = format!("{} mm, {state}", entry.swatch.needle_mm);
    response
        .widget_info(|| WidgetInfo::selected(Role::Button, true, shown, format!("Swatch {title}: {text}")));
    let tokens = Tokens::of(ui);
    let fill = tokens.list_fill(shown, &response);
    ui.painter().rect_filled(rect, CORNER, fill);
    let line = |text: String, font: FontId, ink| truncated(ui, text, font, ink, rect.width() - 2.0 * STEP);
    let font = if shown { FontId::new(BODY, semibold()) } else { FontId::proportional(BODY) };
    let at = rect.min + Vec2::new(STEP, 4.0);
    ui.painter().galley(at, line(title, font, tokens.text), tokens.text);
    let small = FontId::proportional(SMALL);
    let ink = if shown { tokens.text } else { tokens.weak };
    ui.painter().galley(at + Vec2::new(0.0, 20.0), line(text, small, ink), ink);
    if response.has_focus() {
        focus_ring(ui, rect);
    }
    response.clicked()
}
