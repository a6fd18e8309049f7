//! The bands of a piece as they grow: the last at the top, the first at the bottom.

use egui::{FontId, Rect, Role, Sense, Stroke, StrokeKind, Ui, Vec2, WidgetInfo};

use super::list_buttons::{Asked, list_buttons};
use super::{Draft, Form, PiecesView, fit, words};
use crate::app::pieces_desk::PiecesWorked;
use crate::knit::pieces::{
    Band, EndEdge, Fabric, GatherGrade, Length, Piece, StartEdge, Unworkable, Width, WorkedBand, WorkedPiece,
};
use crate::plain_text::sentence;
use crate::project::Project;
use crate::ui::colours::paint;
use crate::ui::theme::{BODY, CORNER, SMALL, STEP, Tokens, semibold};
use crate::ui::widgets::{Icon, caption, focus_ring, heading, reserved_caption, truncated};

/// Width of the strip of colours.
const STRIP: f32 = 14.0;

/// Shows the bands of the shown piece between its two edges.
pub fn show(
    ui: &mut Ui,
    project: &Project,
    view: &mut PiecesView,
    worked: Option<&PiecesWorked>,
    draft: &mut Draft,
) {
    let place = view.piece;
    let Some(piece) = project.pieces.pieces.get(place) else { return };
    let count = piece.bands.len();
    let asked = ui
        .horizontal(|ui| {
            heading(ui, "Bands");
            // Shown from the last to the first.
            list_buttons(ui, "band", count.saturating_sub(1 + view.band), count)
        })
        .inner;
    let result = worked.and_then(|worked| worked.piece(place));
    let counted = result.and_then(|result| result.as_ref().ok());
    said(ui, project, result);
    caption(ui, end_words(piece, counted));
    ui.spacing_mut().item_spacing.y = 3.0;
    let slots = worked.and_then(|worked| worked.slots.get(place));
    for (index, band) in piece.bands.iter().enumerate().rev() {
        let shown = Row {
            band,
            worked: result.and_then(|result| result.as_ref().ok()?.bands.get(index)),
            error: error_at(result, index),
            slots: slots.and_then(|slots| slots.get(index)).map_or(&[], Vec::as_slice),
        };
        if entry(ui, project, &shown, index == view.band) {
            view.band = index;
            view.form = Form::Band;
        }
    }
    ui.spacing_mut().item_spacing.y = STEP * 0.75;
    caption(ui, start_words(piece, counted));
    if let Some(asked) = asked {
        carry_out(asked, project, view, draft);
    }
}

/// What is to be said of the whole piece, in room that is there without it too: the fields below are dragged while
/// it comes and goes.
fn said(ui: &mut Ui, project: &Project, result: Option<&Result<WorkedPiece, Unworkable>>) {
    let mut warnings = Vec::new();
    let mut words = None;
    if let Some(Err(Unworkable { band: None, error })) = result {
        warnings.push(sentence(error));
    }
    let counted = result.and_then(|result| result.as_ref().ok());
    warnings.extend(counted.and_then(|counted| too_long(project, counted)));
    if let Some(gather) = counted.and_then(|counted| counted.gather(project.plan.gauge)) {
        let gathers = format!("Gathers by {:.0} %", gather.percent());
        match gather.grade() {
            GatherGrade::Comfortable => words = Some(format!("{gathers}: comfortable.")),
            GatherGrade::Strained => {
                warnings.push(format!("{gathers}: more than the 12 % that are comfortable."));
            }
            GatherGrade::Refused => {
                warnings.push(format!("{gathers}: more than the 20 % that can be worn."));
            }
        }
    }
    ui.horizontal_top(|ui| {
        if !warnings.is_empty() {
            let (mark, _) = ui.allocate_exact_size(Vec2::splat(14.0), Sense::hover());
            Icon::Warning.paint(ui.painter(), mark.translate(Vec2::new(0.0, 2.0)), Tokens::of(ui).text);
        }
        let text = if warnings.is_empty() { words } else { Some(warnings.join(" ")) };
        reserved_caption(ui, text.as_deref(), 2);
    });
}

/// Whether the bands that have a length of their own leave more than the piece was to have.
fn too_long(project: &Project, counted: &WorkedPiece) -> Option<String> {
    let (gauge, units) = (project.plan.gauge, project.units);
    let (wanted, height) = (counted.wanted_cm?, counted.height_cm(gauge));
    let over = height - wanted;
    // Bands are whole rows, and each may round.
    (over > gauge.row_height_cm() * counted.bands.len().max(2) as f64).then(|| {
        format!(
            "The bands come to {}, {} more than the length of the piece: shorten a band, or give the piece more.",
            words::length(height, units),
            words::length(over, units)
        )
    })
}

/// What becomes of the last row.
fn end_words(piece: &Piece, counted: Option<&WorkedPiece>) -> String {
    let Some(counted) = counted else { return piece.end.name().to_owned() };
    let aside = match (piece.end, counted.set_aside) {
        (EndEdge::Live, aside) if aside > 0 => format!(", {aside} of them set aside"),
        _ => String::new(),
    };
    format!("{} {} sts{aside}", piece.end.name(), counted.last_stitches())
}

/// How the first row comes about.
fn start_words(piece: &Piece, counted: Option<&WorkedPiece>) -> String {
    let Some(counted) = counted else { return piece.start.name().to_owned() };
    let first = counted.first_stitches();
    match (piece.start, counted.bands.first().and_then(|band| band.carried)) {
        (StartEdge::Joined, Some(live)) => format!("{live} live sts joined"),
        (start, _) => format!("{} {first} sts", start.name()),
    }
}

/// Why this band keeps its piece from being worked.
pub fn error_at(result: Option<&Result<WorkedPiece, Unworkable>>, index: usize) -> Option<String> {
    match result {
        Some(Err(unworkable)) if unworkable.band == Some(index) => Some(sentence(unworkable)),
        _ => None,
    }
}

fn carry_out(asked: Asked, project: &Project, view: &mut PiecesView, draft: &mut Draft) {
    let Some(piece) = draft.plan.pieces.get_mut(view.piece) else { return };
    let bands = &mut piece.bands;
    let index = view.band;
    match asked {
        Asked::Add => {
            let slot = project.background_slot();
            let fresh = Band::new(&format!("Band {}", bands.len() + 1), Fabric::Plain, Length::Cm(5.0), slot);
            let fresh = if bands.is_empty() { fresh.from(Width::Cm(20.0)) } else { fresh };
            let at = (index + 1).min(bands.len());
            bands.insert(at, fresh);
            view.band = at;
            view.form = Form::Band;
            draft.step("Add a band");
        }
        Asked::Remove => {
            bands.remove(index);
            view.band = index.saturating_sub(1);
            draft.step("Remove band");
        }
        // Shown from the last to the first, so up is later.
        Asked::Up => {
            bands.swap(index, index + 1);
            view.band = index + 1;
            draft.step("Move band");
        }
        Asked::Down => {
            bands.swap(index, index - 1);
            view.band = index - 1;
            draft.step("Move band");
        }
    }
}

/// What a row of the list shows.
struct Row<'a> {
    band: &'a Band,
    worked: Option<&'a WorkedBand>,
    error: Option<String>,
    slots: &'a [usize],
}

impl Row<'_> {
    /// Stitches, rows, and what is under them: shaping and chart.
    fn figures(&self, project: &Project) -> (String, String) {
        self.worked.map_or_else(Default::default, |band| {
            (words::stitches(band), words::rows(band, project.plan.gauge, project.units))
        })
    }

    fn made_of(&self) -> String {
        let several = self.slots.len() > 1;
        let technique =
            if several { format!(", {}", self.band.technique.name().to_lowercase()) } else { String::new() };
        format!("{}{technique}", words::fabric(self.band.fabric))
    }
}

/// One band; whether it was clicked.
fn entry(ui: &mut Ui, project: &Project, row: &Row, shown: bool) -> bool {
    let tokens = Tokens::of(ui);
    let (stitches, rows) = row.figures(project);
    let made_of = row.made_of();
    let notes = notes(row);
    let width = ui.available_width() - STEP / 2.0;
    let left = STRIP + 2.0 * STEP;
    let inner = width - left - STEP;
    let small = FontId::proportional(SMALL);
    let ink = if shown { tokens.text } else { tokens.weak };
    let notes: Vec<_> = notes
        .into_iter()
        .map(|(icon, words)| {
            let indent = if icon.is_some() { 18.0 } else { 0.0 };
            (icon, indent, ui.painter().layout(words, small.clone(), ink, inner - indent))
        })
        .collect();
    let notes_height: f32 = notes.iter().map(|(_, _, galley)| galley.size().y + 2.0).sum();
    let (rect, response) = ui.allocate_exact_size(Vec2::new(width, 44.0 + notes_height), Sense::click());
    let name = &row.band.name;
    let label = match &row.error {
        Some(error) => format!("Band {name}: {error}"),
        None => format!("Band {name}: {stitches}, {rows}, {made_of}"),
    };
    response.widget_info(|| WidgetInfo::selected(Role::Button, true, shown, &label));
    let fill = tokens.list_fill(shown, &response);
    ui.painter().rect_filled(rect, CORNER, fill);
    strip(ui, project, row.slots, rect);
    let at = rect.min + Vec2::new(left, 4.0);
    let right = |galley: &egui::Galley, y: f32| egui::pos2(rect.right() - STEP - galley.size().x, y);
    let body = FontId::proportional(BODY);
    let figure = truncated(ui, stitches, body.clone(), tokens.text, inner * 0.6);
    let font = if shown { FontId::new(BODY, semibold()) } else { body };
    let title = truncated(ui, name.as_str(), font, tokens.text, inner - figure.size().x - STEP);
    ui.painter().galley(right(&figure, at.y), figure, tokens.text);
    ui.painter().galley(at, title, tokens.text);
    let second = at.y + 20.0;
    let figure = truncated(ui, rows, small.clone(), ink, inner * 0.6);
    let made_of = truncated(ui, made_of, small, ink, inner - figure.size().x - STEP);
    ui.painter().galley(right(&figure, second), figure, ink);
    ui.painter().galley(egui::pos2(at.x, second), made_of, ink);
    let mut y = at.y + 38.0;
    for (icon, indent, galley) in notes {
        if let Some(icon) = icon {
            let mark = Rect::from_min_size(egui::pos2(at.x, y + 1.0), Vec2::splat(13.0));
            icon.paint(ui.painter(), mark, tokens.text);
        }
        let height = galley.size().y + 2.0;
        ui.painter().galley(egui::pos2(at.x + indent, y), galley, ink);
        y += height;
    }
    if response.has_focus() {
        focus_ring(ui, rect);
    }
    response.clicked()
}

/// What stands under a band: what is wrong with it, its shaping, and whether its chart divides.
fn notes(row: &Row) -> Vec<(Option<Icon>, String)> {
    if let Some(error) = &row.error {
        return vec![(Some(Icon::Warning), error.clone())];
    }
    let Some(band) = row.worked else { return Vec::new() };
    let mut notes: Vec<(Option<Icon>, String)> = Vec::new();
    notes.extend(words::shaping(band).map(|words| (None, words)));
    if let Some(chart) = &band.chart {
        let icon = if chart.divides() { Icon::Tick } else { Icon::Warning };
        notes.push((Some(icon), fit::verdict(chart, band)));
    }
    notes
}

/// The colours of a band, one above the other.
fn strip(ui: &Ui, project: &Project, slots: &[usize], row: Rect) {
    let area = Rect::from_min_size(
        row.min + Vec2::new(STEP, 7.0),
        Vec2::new(STRIP, (row.height() - 14.0).min(60.0)),
    );
    let each = area.height() / slots.len().max(1) as f32;
    for (i, slot) in slots.iter().enumerate() {
        let Some(slot) = project.palette.slots().get(*slot) else { continue };
        let part = Rect::from_min_size(
            area.min + Vec2::new(0.0, each * i as f32),
            Vec2::new(STRIP, each + if i + 1 < slots.len() { 0.5 } else { 0.0 }),
        );
        ui.painter().rect_filled(part, 0, paint(slot.colour));
    }
    let line = Stroke::new(1.0, Tokens::of(ui).line);
    ui.painter().rect_stroke(area, 2, line, StrokeKind::Outside);
}
