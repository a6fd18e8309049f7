//! Sets of pieces to start from, each with its own outline.

use std::sync::LazyLock;

use egui::{Color32, FontId, Pos2, Rect, Role, Sense, Shape, Stroke, Ui, Vec2, WidgetInfo};

use super::{Draft, PiecesView};
use crate::app::Action;
use crate::chart::{Cell, Grid};
use crate::knit::Gauge;
use crate::knit::pieces::{
    Body, Footprint, Pattern, Piece, PieceOutline, PieceRows, Room, Size, Template, work,
};
use crate::project::{PiecePlan, Project};
use crate::ui::theme::{BODY, CORNER, STEP, Tokens, semibold};
use crate::ui::widgets::{caption, focus_ring, heading};

/// Cards in a row.
const ACROSS: f32 = 5.0;
/// Least and greatest width of a card with its outline and its name; it is nearly square.
const CARD: (f32, f32) = (150.0, 320.0);

/// Whether the templates are shown, and which one is asked about.
#[derive(Default)]
pub struct TemplatesView {
    open: bool,
    asked: Option<Template>,
}

impl TemplatesView {
    /// Shows the templates over a plan that has pieces.
    pub const fn open(&mut self) {
        self.open = true;
        self.asked = None;
    }

    /// Back to the pieces.
    pub const fn close(&mut self) {
        self.open = false;
        self.asked = None;
    }

    /// Whether they are shown.
    pub const fn is_open(&self) -> bool {
        self.open
    }
}

/// Shows the templates; one that is chosen becomes the plan, or is added to it.
pub fn show(
    ui: &mut Ui,
    project: &Project,
    view: &mut PiecesView,
    draft: &mut Draft,
    actions: &mut Vec<Action>,
) {
    let is_empty = draft.plan.pieces.is_empty();
    ui.horizontal(|ui| {
        heading(ui, "What do you knit?");
        if !is_empty && ui.button("Back to the pieces").clicked() {
            view.templates.close();
        }
    });
    caption(
        ui,
        "Each starts with usual proportions and with your chart where it mostly sits. Every band, width and \
         length can be changed afterwards.",
    );
    if is_empty {
        caption(ui, "Without pieces the project is its chart as it is planned in Design.");
    }
    ui.add_space(STEP / 2.0);
    let width = (ui.available_width() / ACROSS - STEP - 2.0).clamp(CARD.0, CARD.1).floor();
    let mut clicked = None;
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing = Vec2::splat(STEP);
        for template in Template::ALL {
            if card(ui, template, width, view.templates.asked == Some(template)) {
                clicked = Some(template);
            }
        }
    });
    if let Some(template) = clicked {
        if is_empty {
            take(project, view, draft, actions, (template, true));
        } else {
            view.templates.asked = Some(template);
        }
    }
    if let Some(template) = view.templates.asked {
        let asked = ui.scope(|ui| ask(ui, project, view, draft, actions, template));
        if clicked.is_some() {
            // The question may lie below what is in view.
            asked.response.scroll_to_me(Some(egui::Align::BOTTOM));
        }
    }
    ui.add_space(STEP);
}

/// Whether the template takes the place of the pieces there are.
fn ask(
    ui: &mut Ui,
    project: &Project,
    view: &mut PiecesView,
    draft: &mut Draft,
    actions: &mut Vec<Action>,
    template: Template,
) {
    ui.add_space(STEP);
    heading(ui, template.name());
    let count = draft.plan.pieces.len();
    let pieces = if count == 1 { "the piece".to_owned() } else { format!("the {count} pieces") };
    ui.label(format!("Put it in the place of {pieces} there are, or add it to them? Undo brings them back."));
    ui.horizontal(|ui| {
        if ui.button("Replace the pieces").clicked() {
            take(project, view, draft, actions, (template, true));
        }
        let room = count + template.pieces(0).len() <= PiecePlan::MOST;
        if ui.add_enabled(room, egui::Button::new("Add to the pieces")).clicked() {
            take(project, view, draft, actions, (template, false));
        }
        if ui.button("Leave it").clicked() {
            view.templates.asked = None;
        }
    });
}

/// Puts the template's pieces into the plan, and its sizes where the plan's do not know what it needs.
fn take(
    project: &Project,
    view: &mut PiecesView,
    draft: &mut Draft,
    actions: &mut Vec<Action>,
    (template, replaces): (Template, bool),
) {
    let plan = &mut draft.plan;
    let fresh = template.pieces(project.background_slot());
    let knows =
        |size: &Size| fresh.iter().flat_map(Piece::measures).all(|measure| size.body.get(measure).is_some());
    let sizes_serve = !plan.sizes.is_empty() && plan.sizes.iter().all(knows);
    if plan.sizes.is_empty() || (replaces && !sizes_serve) {
        match template.sizes_for(project.material.needs.map(|needs| needs.piece)) {
            Ok(sizes) => {
                plan.chosen = sizes.len() / 2;
                plan.sizes = sizes;
            }
            Err(error) => actions.push(Action::Complain(error.to_string())),
        }
    }
    if replaces {
        plan.pieces.clear();
    }
    view.piece = plan.pieces.len();
    view.band = 0;
    plan.pieces.extend(fresh);
    view.templates.close();
    draft.step("Start from a template");
}

/// One template; whether it was clicked.
fn card(ui: &mut Ui, template: Template, width: f32, chosen: bool) -> bool {
    let (rect, response) = ui.allocate_exact_size(Vec2::new(width, width * 0.96), Sense::click());
    let label = format!("Template: {}", template.name());
    response.widget_info(|| WidgetInfo::selected(Role::Button, true, chosen, &label));
    let tokens = Tokens::of(ui);
    let fill = tokens.list_fill(chosen, &response);
    ui.painter().rect_filled(rect, CORNER, fill);
    let picture = Rect::from_min_max(rect.min + Vec2::splat(STEP), rect.max - Vec2::new(STEP, 34.0));
    silhouette(ui, template, picture, fill);
    let at = Pos2::new(rect.center().x, rect.bottom() - 17.0);
    let font = FontId::new(BODY, semibold());
    ui.painter().text(at, egui::Align2::CENTER_CENTER, template.name(), font, tokens.text);
    if response.has_focus() {
        focus_ring(ui, rect);
    }
    response.clicked()
}

/// The pieces of a template as they lie flat.
fn silhouette(ui: &Ui, template: Template, area: Rect, ground: Color32) {
    let place = Template::ALL.iter().position(|other| *other == template).unwrap_or(0);
    let Some(outlines) = OUTLINES.get(place) else { return };
    let sizes: Vec<Footprint> =
        outlines.iter().map(|o| Footprint::bare(o.width_cm(), o.height_cm())).collect();
    let room = Room { above: 4.0, below: 4.0, beside: 8.0, narrowest: 4.0 };
    let scales = (0..200).map(|step| 16.0 * 0.96_f64.powi(step));
    let size = (f64::from(area.width()) + room.beside, f64::from(area.height()));
    let Some(shelves) = PieceRows::largest(scales, &sizes, &room, size) else { return };
    let mut top = area.center().y - shelves.height() as f32 / 2.0;
    for shelf in &shelves.shelves {
        let left = area.center().x - (shelf.width - room.beside) as f32 / 2.0;
        let foot = top + (shelf.height - room.below) as f32;
        for (piece, x) in &shelf.standing {
            let at = |(cm_x, cm_y): (f64, f64)| {
                let scale = shelves.per_cm;
                Pos2::new(left + (x + cm_x * scale) as f32, foot - (cm_y * scale) as f32)
            };
            outline(ui, &outlines[*piece], &at, ground);
        }
        top += shelf.height as f32;
    }
}

fn outline(ui: &Ui, outline: &PieceOutline, at: &dyn Fn((f64, f64)) -> Pos2, ground: Color32) {
    let tokens = Tokens::of(ui);
    for band in &outline.bands {
        let corners = band.corners().map(at);
        // A band that holds the chart is darker.
        let fill: Color32 = if band.chart.is_some() { tokens.weak } else { tokens.surround };
        ui.painter().add(Shape::convex_polygon(corners.to_vec(), fill, Stroke::NONE));
    }
    let neck: Vec<Pos2> = outline.neck().into_iter().map(at).collect();
    if !neck.is_empty() {
        ui.painter().add(Shape::convex_polygon(neck, ground, Stroke::NONE));
    }
    let corners = outline.corners().into_iter().map(at).collect();
    ui.painter().add(Shape::closed_line(corners, Stroke::new(1.2, tokens.text)));
}

/// Every template at one gauge and in a usual size: what it looks like, whatever is knitted of it.
static OUTLINES: LazyLock<Vec<Vec<PieceOutline>>> = LazyLock::new(|| {
    let Ok(gauge) = Gauge::new(22.0, 30.0) else { return Vec::new() };
    let Ok(grid) = Grid::new(12, 20, Cell::slot(0)) else { return Vec::new() };
    let pattern = Pattern { grid: &grid, repeat: grid.bounds() };
    let outlines = |template: Template| {
        let sizes = template.sizes().unwrap_or_default();
        let nobody = Size { name: String::new(), body: Body::default(), ease_cm: 0.0 };
        let size = sizes.get(sizes.len() / 2).unwrap_or(&nobody);
        let pieces = work(&template.pieces(0), size, gauge, &pattern).unwrap_or_default();
        pieces.iter().map(|piece| PieceOutline::of(piece, gauge)).collect()
    };
    Template::ALL.into_iter().map(outlines).collect()
});

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_template_has_an_outline() {
        for (template, outlines) in Template::ALL.iter().zip(OUTLINES.iter()) {
            assert_eq!(outlines.len(), template.pieces(0).len(), "{}", template.name());
        }
    }
}
