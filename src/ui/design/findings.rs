//! What is worth a second look; a click shows the stitches, or where it is mended.

use egui::{Label, Rect, RichText, Role, Sense, Ui, Vec2, WidgetInfo};

use crate::app::state::State;
use crate::app::view::{View, Workspace};
use crate::app::{Action, Command};
use crate::project::findings::{Finding, FindingKind, Severity};
use crate::ui::theme::{CORNER, STEP, Tokens, semibold};
use crate::ui::widgets::{Icon, caption, focus_ring, heading};

/// Findings shown before "show all".
const FIRST: usize = 4;

/// Shows the list.
pub fn show(ui: &mut Ui, state: &State, view: &mut View, actions: &mut Vec<Action>) {
    let Some(figures) = state.figures() else {
        heading(ui, "Findings");
        caption(ui, "Looking…");
        return;
    };
    let count = figures.findings.len();
    heading(ui, &if count == 0 { "Findings".to_owned() } else { format!("Findings ({count})") });
    if count == 0 {
        caption(
            ui,
            "Nothing to mend: floats, colours in a row, contrast, proportion and repeat all look well.",
        );
        return;
    }
    let id = ui.make_persistent_id("all findings");
    let mut all: bool = ui.data(|data| data.get_temp(id)).unwrap_or(false);
    let shown = if all { count } else { FIRST.min(count) };
    ui.spacing_mut().item_spacing.y = 3.0;
    let mut mended = false;
    for finding in &figures.findings[..shown] {
        if entry(ui, finding) {
            reveal(view, finding, actions);
        }
        // Under the first of them only: it mends all.
        if finding.kind == FindingKind::LongFloat && !mended {
            mended = true;
            let info = Command::MendFloats.info();
            if ui.button(info.label).on_hover_text(info.tip).clicked() {
                actions.push(Action::Command(Command::MendFloats));
            }
        }
    }
    ui.spacing_mut().item_spacing.y = STEP * 0.75;
    if count > FIRST {
        let text = if all { "Show fewer".to_owned() } else { format!("Show {} more", count - FIRST) };
        if ui.button(text).clicked() {
            all = !all;
            ui.data_mut(|data| data.insert_temp(id, all));
        }
    }
}

const fn icon(severity: Severity) -> Icon {
    match severity {
        Severity::Note => Icon::Note,
        Severity::Warning => Icon::Warning,
        Severity::Problem => Icon::Problem,
    }
}

/// The workspace a finding without stitches is mended in.
const fn mended_in(finding: &Finding) -> Option<Workspace> {
    match finding.kind {
        FindingKind::Yarn => Some(Workspace::Yarn),
        FindingKind::Swatch => Some(Workspace::Swatch),
        FindingKind::OpenStitches
        | FindingKind::Gathering
        | FindingKind::ChartSide
        | FindingKind::Opening => Some(Workspace::Pieces),
        _ => None,
    }
}

/// What a click on it does, in words.
fn offer(finding: &Finding) -> Option<String> {
    match finding.place {
        Some(_) => Some("Show the stitches".to_owned()),
        None => mended_in(finding).map(|workspace| format!("Go to {}", workspace.name())),
    }
}

/// One finding; whether it was clicked.
fn entry(ui: &mut Ui, finding: &Finding) -> bool {
    let tokens = Tokens::of(ui);
    let width = ui.available_width();
    let text_width = width - 38.0;
    let title = RichText::new(finding.kind.name()).family(semibold());
    let body = RichText::new(&finding.message).small();
    let start = ui.cursor().min;
    // Painted under the text, once its height is known.
    let back = ui.painter().add(egui::Shape::Noop);
    let inner = ui.scope_builder(
        egui::UiBuilder::new().max_rect(Rect::from_min_size(start, Vec2::new(width, f32::INFINITY))),
        |ui| {
            ui.add_space(5.0);
            ui.horizontal_top(|ui| {
                ui.add_space(8.0);
                let (mark, _) = ui.allocate_exact_size(Vec2::splat(16.0), Sense::hover());
                icon(finding.severity).paint(ui.painter(), mark.translate(Vec2::new(0.0, 1.0)), tokens.text);
                ui.vertical(|ui| {
                    ui.set_width(text_width);
                    ui.spacing_mut().item_spacing.y = 1.0;
                    ui.add(Label::new(title));
                    ui.add(Label::new(body).wrap());
                });
            });
            ui.add_space(5.0);
        },
    );
    let rect = Rect::from_min_size(start, Vec2::new(width, inner.response.rect.height()));
    let offer = offer(finding);
    let sense = if offer.is_some() { Sense::click() } else { Sense::hover() };
    let response =
        ui.interact(rect, ui.scope_id().with((&finding.message, finding.place.map(|p| (p.x, p.y)))), sense);
    let name = format!("{}: {}. {}", finding.severity.name(), finding.kind.name(), finding.message);
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, &name));
    let fill = if response.hovered() && offer.is_some() { tokens.hover } else { tokens.field };
    ui.painter().set(back, egui::Shape::rect_filled(rect, CORNER, fill));
    if response.has_focus() {
        focus_ring(ui, rect);
    }
    let response = match offer {
        Some(offer) => response.on_hover_text(offer).on_hover_cursor(egui::CursorIcon::PointingHand),
        None => response,
    };
    response.clicked()
}

/// Shows the finding's stitches on the chart, or goes to where it is mended.
fn reveal(view: &mut View, finding: &Finding, actions: &mut Vec<Action>) {
    let Some(place) = finding.place else {
        view.workspace = mended_in(finding).unwrap_or(view.workspace);
        return;
    };
    view.chart.highlight = vec![place];
    view.chart.reveal = Some(place);
    view.chart.cursor = crate::chart::Point::new(place.x + place.width.saturating_sub(1), place.y);
    actions.push(Action::EndGesture);
}
