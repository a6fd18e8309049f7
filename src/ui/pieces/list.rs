//! The list of pieces.

use egui::{FontId, Role, Sense, Ui, Vec2, WidgetInfo};

use super::list_buttons::{Asked, list_buttons};
use super::{Draft, PiecesView, words};
use crate::app::pieces_desk::PiecesWorked;
use crate::knit::pieces::{Piece, Template, Ways};
use crate::plain_text::sentence;
use crate::project::Project;
use crate::ui::theme::{BODY, CORNER, SMALL, STEP, Tokens, semibold};
use crate::ui::widgets::{Icon, caption, focus_ring, heading, truncated};
use crate::units::hours_of_parts;

/// Shows the list and the way to the templates.
pub fn show(
    ui: &mut Ui,
    project: &Project,
    view: &mut PiecesView,
    worked: Option<&PiecesWorked>,
    draft: &mut Draft,
) {
    let pieces = &project.pieces.pieces;
    let asked = ui
        .horizontal(|ui| {
            heading(ui, "Pieces");
            list_buttons(ui, "piece", view.piece, pieces.len())
        })
        .inner;
    let hours = worked.map(|worked| hours_each(project, worked)).unwrap_or_default();
    for (place, piece) in pieces.iter().enumerate() {
        let state = state_of(project, worked, (place, &hours));
        if entry(ui, piece, place == view.piece, &state) {
            view.piece = place;
            view.band = 0;
            view.templates.close();
        }
    }
    if let Some(asked) = asked {
        carry_out(asked, project, view, draft);
    }
    if ui.button("Start from a template…").on_hover_text("A set of pieces to start from").clicked() {
        view.templates.open();
    }
    caption(ui, project.gauge_words());
    ui.add_space(STEP / 2.0);
}

fn carry_out(asked: Asked, project: &Project, view: &mut PiecesView, draft: &mut Draft) {
    let pieces = &mut draft.plan.pieces;
    let place = view.piece;
    match asked {
        Asked::Add => {
            let mut fresh = Template::Blank.pieces(project.background_slot());
            if let Some(piece) = fresh.first_mut() {
                piece.name = format!("Piece {}", pieces.len() + 1);
            }
            pieces.extend(fresh);
            view.piece = pieces.len() - 1;
            view.band = 0;
            draft.step("Add a piece");
        }
        Asked::Remove => {
            pieces.remove(place);
            view.band = 0;
            draft.step("Remove piece");
        }
        Asked::Up => {
            pieces.swap(place, place - 1);
            view.piece = place - 1;
            draft.step("Move piece");
        }
        Asked::Down => {
            pieces.swap(place, place + 1);
            view.piece = place + 1;
            draft.step("Move piece");
        }
    }
}

/// The time of each piece, which add up to that of all of them (Time, below).
fn hours_each(project: &Project, worked: &PiecesWorked) -> Vec<String> {
    let hours = |ways: &Option<Ways>| ways.map_or(0.0, |ways| project.pieces.pace.hours(ways));
    hours_of_parts(&worked.stitches.iter().map(hours).collect::<Vec<_>>())
}

/// What a piece comes to in the chosen size, and whether it can be worked.
fn state_of(
    project: &Project,
    worked: Option<&PiecesWorked>,
    (place, hours): (usize, &[String]),
) -> Result<String, String> {
    let Some(worked) = worked else { return Ok("Counting…".to_owned()) };
    match worked.piece(place) {
        None => Ok("Counting…".to_owned()),
        Some(Err(unworkable)) => Err(sentence(unworkable)),
        Some(Ok(piece)) => {
            let known = worked.stitches.get(place).copied().flatten();
            let hours = hours.get(place).filter(|_| known.is_some());
            let hours = hours.map_or_else(String::new, |hours| format!(", {hours}"));
            let height = words::length(piece.height_cm(project.plan.gauge), project.units);
            Ok(format!("{} sts, {height}{hours}", piece.first_stitches()))
        }
    }
}

/// One piece; whether it was clicked.
fn entry(ui: &mut Ui, piece: &Piece, shown: bool, state: &Result<String, String>) -> bool {
    let (rect, response) =
        ui.allocate_exact_size(Vec2::new(ui.available_width() - STEP / 2.0, 46.0), Sense::click());
    let title =
        if piece.copies > 1 { format!("{} × {}", piece.copies, piece.name) } else { piece.name.clone() };
    let words = match state {
        Ok(words) | Err(words) => words,
    };
    response
        .widget_info(|| WidgetInfo::selected(Role::Button, true, shown, format!("Piece {title}: {words}")));
    let tokens = Tokens::of(ui);
    let fill = tokens.list_fill(shown, &response);
    ui.painter().rect_filled(rect, CORNER, fill);
    let ink = if shown { tokens.text } else { tokens.weak };
    let width = rect.width() - 2.0 * STEP;
    let font = if shown { FontId::new(BODY, semibold()) } else { FontId::proportional(BODY) };
    let at = rect.min + Vec2::new(STEP, 4.0);
    ui.painter().galley(at, truncated(ui, title.as_str(), font, tokens.text, width), tokens.text);
    let mut below = at + Vec2::new(0.0, 20.0);
    let mut shown_words = words.as_str();
    if state.is_err() {
        let mark = egui::Rect::from_min_size(below + Vec2::new(0.0, 2.0), Vec2::splat(13.0));
        Icon::Warning.paint(ui.painter(), mark, tokens.text);
        below.x += 18.0;
        shown_words = "Cannot be worked yet";
    }
    let small = FontId::proportional(SMALL);
    ui.painter().galley(below, truncated(ui, shown_words, small, ink, width - (below.x - at.x)), ink);
    if response.has_focus() {
        focus_ring(ui, rect);
    }
    let clicked = response.clicked();
    if let Err(words) = state {
        response.on_hover_text(words);
    }
    clicked
}
