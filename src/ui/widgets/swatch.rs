//! A colour with its sign, as on the chart.

use egui::{Color32, Painter, Pos2, Rect, Shape, Stroke, StrokeKind, Ui, Vec2};

use crate::app::view::Eyes;
use crate::export::symbols::{Mark, marks};
use crate::project::{Slot, Symbol};
use crate::ui::colours::{ink_on, seen};
use crate::ui::theme::Tokens;

/// Part of the swatch's shorter side that the sign takes.
const SIGN: f32 = 0.62;

/// Paints the colour and its sign.
pub fn paint_swatch(ui: &Ui, rect: Rect, slot: &Slot, eyes: Eyes) {
    let edge = Stroke::new(1.0, Tokens::of(ui).line);
    ui.painter().rect(rect, 3, seen(slot.colour, eyes), edge, StrokeKind::Inside);
    let side = rect.width().min(rect.height()) * SIGN;
    let square = Rect::from_center_size(rect.center(), Vec2::splat(side));
    paint_sign(ui.painter(), square, slot.symbol, ink_on(slot.colour));
}

/// Paints a sign into a square.
pub fn paint_sign(painter: &Painter, square: Rect, symbol: Symbol, ink: Color32) {
    let side = square.width();
    let place = |points: &[[f32; 2]]| -> Vec<Pos2> {
        points.iter().map(|p| square.min + Vec2::new(p[0], p[1]) * side).collect()
    };
    for mark in marks(symbol) {
        painter.add(match mark {
            Mark::Fill(points) => Shape::convex_polygon(place(&points), ink, Stroke::NONE),
            Mark::Stroke { points, width, closed: true } => {
                Shape::closed_line(place(&points), Stroke::new(width * side, ink))
            }
            Mark::Stroke { points, width, closed: false } => {
                Shape::line(place(&points), Stroke::new(width * side, ink))
            }
        });
    }
}
