//! Yarn per piece and per colour; each figure opens into its own sum.

use egui::{Align2, FontId, Rect, Role, ScrollArea, Sense, Ui, Vec2, WidgetInfo};

use super::sums;
use crate::app::state::State;
use crate::export::symbols::distinct_marks;
use crate::knit::{Amount, Estimate, YarnLine};
use crate::project::code_and_name;
use crate::project::shopping::Shopping;
use crate::ui::theme::{BODY, CORNER, SMALL, STEP, Tokens, semibold};
use crate::ui::widgets::{Follow, caption, focus_ring, heading, paint_swatch, truncated};
use crate::units::LengthUnit;

const TITLE: f32 = 148.0;
const ROW: f32 = 40.0;
/// Narrowest and widest column of a colour.
const NARROWEST: f32 = 96.0;
const WIDEST: f32 = 260.0;
const GAP: f32 = 3.0;

/// A cell: the place of a piece, or `None` for what is added to all, and of a colour.
pub type Place = (Option<usize>, usize);

/// Shows the matrix and the sum of the chosen cell.
pub fn show(ui: &mut Ui, state: &State, figures: &Shopping, chosen: &mut Option<Place>) {
    heading(ui, "By piece");
    let used: Vec<usize> = figures
        .yarn
        .colours
        .iter()
        .enumerate()
        .filter(|(_, c)| c.stitches > 0)
        .map(|(slot, _)| slot)
        .collect();
    if used.is_empty() {
        caption(ui, "There is nothing to knit yet.");
        return;
    }
    let room = ui.available_width() - TITLE - 2.0 * STEP;
    let width = (room / (used.len() + 1) as f32 - GAP).clamp(NARROWEST, WIDEST);
    let table = Table { state, figures, used: &used, width };
    ScrollArea::horizontal().id_salt("by piece").auto_shrink([false, true]).follow(ui, |ui| {
        ui.spacing_mut().item_spacing = Vec2::splat(GAP);
        table.header(ui);
        for piece in (0..figures.yarn.pieces.len()).map(Some).chain([None]) {
            table.row(ui, piece, chosen);
        }
    });
    let shown = chosen.filter(|place| used.contains(&place.1));
    match shown.and_then(|place| Some((place, table.lines(place)?))) {
        Some((place, lines)) => {
            let slot = &state.project().palette.slots()[place.1];
            ui.add_space(STEP / 2.0);
            ui.label(
                egui::RichText::new(format!("{}: {}", table.name(place.0), slot.name)).family(semibold()),
            );
            let lines: Vec<(Option<&str>, YarnLine)> = lines.iter().map(|line| (None, *line)).collect();
            sums::show(ui, state.project().units, &lines, false);
        }
        None => {
            caption(ui, "Click a figure to see its sum.");
        }
    }
}

struct Table<'a> {
    state: &'a State,
    figures: &'a Shopping,
    /// Colours that are knitted with.
    used: &'a [usize],
    width: f32,
}

impl Table<'_> {
    fn units(&self) -> LengthUnit {
        self.state.document.project().units
    }

    fn name(&self, piece: Option<usize>) -> String {
        match piece.and_then(|piece| self.figures.yarn.pieces.get(piece)) {
            Some(piece) if piece.copies > 1 => format!("{} × {}", piece.name, piece.copies),
            Some(piece) => piece.name.clone(),
            None => "Swatch, joins, waste".to_owned(),
        }
    }

    fn lines(&self, (piece, slot): Place) -> Option<&[YarnLine]> {
        match piece {
            Some(piece) => Some(&self.figures.yarn.pieces.get(piece)?.colours.get(slot)?.lines),
            None => Some(&self.figures.yarn.colours.get(slot)?.added),
        }
    }

    fn amount(&self, place: Place) -> Amount {
        self.lines(place).unwrap_or_default().iter().map(|line| line.amount).sum()
    }

    fn header(&self, ui: &mut Ui) {
        let tokens = Tokens::of(ui);
        let small = FontId::proportional(SMALL);
        let signs = distinct_marks(self.state.project());
        ui.horizontal(|ui| {
            ui.add_space(TITLE + GAP);
            for slot in self.used {
                let (rect, _) = ui.allocate_exact_size(Vec2::new(self.width, 22.0), Sense::hover());
                let colour = &self.state.project().palette.slots()[*slot];
                let swatch = Rect::from_min_size(rect.min + Vec2::new(STEP, 3.0), Vec2::splat(16.0));
                let sign = signs.get(*slot).map_or(&[][..], Vec::as_slice);
                paint_swatch(ui, swatch, colour.colour, sign, self.state.eyes);
                let left = swatch.right() + 6.0;
                let room = rect.right() - left;
                let title = code_and_name(*slot, colour);
                let galley = truncated(ui, title, small.clone(), tokens.weak, room);
                let y = rect.center().y - galley.size().y / 2.0;
                ui.painter().galley(egui::pos2(left, y), galley, tokens.weak);
            }
            let (rect, _) = ui.allocate_exact_size(Vec2::new(self.width, 22.0), Sense::hover());
            let at = rect.right_center() - Vec2::new(STEP, 0.0);
            ui.painter().text(at, Align2::RIGHT_CENTER, "Together", small.clone(), tokens.weak);
        });
    }

    fn row(&self, ui: &mut Ui, piece: Option<usize>, chosen: &mut Option<Place>) {
        let tokens = Tokens::of(ui);
        ui.horizontal(|ui| {
            let (rect, _) = ui.allocate_exact_size(Vec2::new(TITLE, ROW), Sense::hover());
            let name = self.name(piece);
            let galley = truncated(ui, name, FontId::proportional(BODY), tokens.text, TITLE - STEP);
            let y = rect.center().y - galley.size().y / 2.0;
            ui.painter().galley(egui::pos2(rect.left() + STEP, y), galley, tokens.text);
            for slot in self.used {
                self.figure(ui, (piece, *slot), chosen);
            }
            let all: Amount = self.used.iter().map(|slot| self.amount((piece, *slot))).sum();
            let (rect, _) = ui.allocate_exact_size(Vec2::new(self.width, ROW), Sense::hover());
            self.two_lines(ui, rect, all.estimate());
        });
    }

    /// One figure, to be clicked.
    fn figure(&self, ui: &mut Ui, place: Place, chosen: &mut Option<Place>) {
        let metres = self.amount(place).estimate();
        let tokens = Tokens::of(ui);
        let empty = metres.high <= 0.0;
        let sense = if empty { Sense::hover() } else { Sense::click() };
        let (rect, response) = ui.allocate_exact_size(Vec2::new(self.width, ROW), sense);
        if empty {
            let at = rect.right_center() - Vec2::new(STEP, 0.0);
            ui.painter().text(at, Align2::RIGHT_CENTER, "–", FontId::proportional(BODY), tokens.weak);
            return;
        }
        let shown = *chosen == Some(place);
        let slot = &self.state.project().palette.slots()[place.1];
        response.widget_info(|| {
            let figure = sums::length(self.units(), metres.likely);
            let label = format!("{} of {}: {figure}", self.name(place.0), slot.name);
            WidgetInfo::selected(Role::Button, true, shown, label)
        });
        let fill = tokens.list_fill(shown, &response);
        ui.painter().rect_filled(rect, CORNER, fill);
        self.two_lines(ui, rect, metres);
        if response.has_focus() {
            focus_ring(ui, rect);
        }
        if response.clicked() {
            *chosen = if shown { None } else { Some(place) };
        }
    }

    fn two_lines(&self, ui: &Ui, rect: Rect, metres: Estimate) {
        let tokens = Tokens::of(ui);
        let right = rect.right() - STEP;
        let painter = ui.painter();
        let likely = sums::length(self.units(), metres.likely);
        let at = egui::pos2(right, rect.top() + 3.0);
        painter.text(at, Align2::RIGHT_TOP, likely, FontId::proportional(BODY), tokens.text);
        let at = egui::pos2(right, rect.bottom() - 4.0);
        let range = sums::range(self.units(), metres);
        painter.text(at, Align2::RIGHT_BOTTOM, range, FontId::proportional(SMALL), tokens.weak);
    }
}
